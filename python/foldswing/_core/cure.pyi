from collections.abc import Iterable
from typing import Any

from foldswing._core.gate import Sizes

def smallest_radii(
    sizes: Sizes,
    gate_hole: Any,
    jamb_hole: Any,
    opening_deg: Any,
    bodies: Iterable[tuple[Any, Any]],
    within: Any,
) -> tuple[float, float, bool, tuple[float, ...]]: ...
def pivot_move(
    panel: Any,
    bodies: Iterable[tuple[Any, Any]],
    pivot: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
    way: Any,
    most: Any,
    within: Any,
) -> float: ...
def body_move(
    panel: Any,
    body: Any,
    wanted: Any,
    pivot: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
    way: Any,
    most: Any,
    within: Any,
) -> float: ...
