from typing import Any

from foldswing._core.plane import Outline, Path

def off_body(
    panel: list[Path],
    bodies: list[Path],
    pivot: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
    gap: Any,
    sagitta: Any,
) -> tuple[Any, ...]: ...
def off_panel(
    panel: list[Path],
    bodies: list[Path],
    pivot: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
    gap: Any,
    sagitta: Any,
) -> tuple[Any, ...]: ...
def free_pivots(
    panel: Any, bodies: Any, turn_from_deg: Any, turn_to_deg: Any, gap: Any, within: Any, cell: Any
) -> tuple[Any, ...]: ...
def swept_room(
    panel: list[Path], pivot: Any, turn_from_deg: Any, turn_to_deg: Any, gap: Any, sagitta: Any
) -> tuple[Outline, ...]: ...
