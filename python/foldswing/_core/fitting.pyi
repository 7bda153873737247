from collections.abc import Iterable
from typing import Any

import numpy as np

def ellipse(covariance: Any, confidence: Any) -> tuple[float, float, float]: ...
def pivot_from_poses(
    poses: Any, weights: Any, pose_error: Any
) -> tuple[str, np.ndarray, np.ndarray, np.ndarray, np.ndarray, float, np.ndarray, str]: ...
def pivot_from_arc(points: Any, reading_error: Any) -> tuple[str, np.ndarray, np.ndarray, float, float, str]: ...
def fit_holes(
    columns: tuple[Any, ...],
    turns: Any,
    turn_errors: Any,
    panel: Any,
    body: Any,
    edge_errors: Any,
    drilling_error: Any,
    apart_error: Any,
    confidence: Any,
    pivot: Any,
    pivot_covariance: Any,
) -> tuple[Any, ...]: ...
def agreement(
    pivot: Any, pivot_covariance: Any, other: Any, other_covariance: Any, confidence: Any
) -> tuple[float, bool]: ...
def correct(
    fit: tuple[Any, ...],
    landings: Iterable[Any],
    lines: tuple[Any, Any],
    error: Any,
    packing: Any,
    anew: bool,
    allowed: list[str],
    slots: tuple[Any, ...],
) -> tuple[tuple[Any, ...], int]: ...
def pair_out_of_line(
    left: tuple[Any, ...],
    right: tuple[Any, ...],
    span: Any,
    bush_length: Any,
    turns_deg: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
) -> tuple[np.ndarray, np.ndarray, tuple[Any, ...], tuple[Any, ...]]: ...
def measured_again(before: Any, before_error: Any, again: Any, reading_error: Any) -> tuple[float, float]: ...
def readings_to_average(reading_error: Any, setting_error: Any, tolerance: Any, share: Any) -> int: ...
def drilling_ceiling(deviation: Any, tolerance: Any, turns_deg: Any) -> float: ...
