from typing import Any

import numpy as np

GRAVITY: float

def hold(
    pins: tuple[Any, ...], load: tuple[Any, ...], pose: Any, pivot: Any, count: int
) -> tuple[str, float, float, float, float, float, float, np.ndarray]: ...
def strap(
    pins: tuple[Any, ...], load: tuple[Any, ...], pivot: Any, turns_deg: Any, count: int
) -> tuple[float, list[Any], tuple[float, ...], tuple[float, ...], int, tuple[float, ...]]: ...
def taut_at(pins: tuple[Any, ...], pivot: Any, turn_from_deg: Any, turn_to_deg: Any, length: Any) -> float: ...
def mismatch(edge_per_mm: Any, difference: Any, width: Any) -> tuple[float, float]: ...
def stiffness(modulus: Any, area: Any, length: Any, *, invalid: str = "raise") -> Any: ...
def stiffness_from_test(mass: Any, stretch: Any, *, invalid: str = "raise") -> Any: ...
def catch_load(
    pins: tuple[Any, ...],
    mass: Any,
    centre: Any,
    edge: Any,
    pivot: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
    stiffness: Any,
    count: int,
) -> tuple[str, float, float, float, float, float]: ...
def grid(region: Any, step: Any) -> np.ndarray: ...
def choose(
    on_body: Any,
    on_panel: Any,
    load: tuple[Any, ...],
    pivot: Any,
    turns_deg: Any,
    count: int,
    most_pull: Any,
    most_edge_per_mm: Any,
    longest: Any,
    least_spacing: Any,
    wish: str,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, int, int, int, int, int, int, str]: ...
