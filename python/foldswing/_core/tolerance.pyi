from typing import Any

from foldswing._core.plane import Path

def likely_gap(
    panel: Path,
    section: Path,
    across: Any,
    up: Any,
    contact: Any,
    pivot: Any,
    turn_from_deg: Any,
    turn_to_deg: Any,
    hole: Any,
    together: bool,
) -> tuple[float, float, float, float, float]: ...
def signed_gap(panel: Path, body: Path, pivot: Any, turn_from_deg: Any, turn_to_deg: Any) -> float: ...
