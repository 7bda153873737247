from typing import Any

from foldswing.curved_flange import CurvedFlange

def curved_flange(
    curve: str,
    radius_in_plan: Any,
    arc_deg: Any,
    depth: Any,
    angle_deg: Any,
    strain_limit: Any,
    flat_tolerance: Any,
    metal: tuple[Any, ...],
    /,
) -> CurvedFlange: ...
