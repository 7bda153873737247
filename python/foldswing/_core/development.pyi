from typing import Any

from foldswing._core.plane import Path
from foldswing.development import Branch, Elbow, Pattern

def cylinder(
    diameter: Any,
    length: Any,
    bottom_tilt_deg: Any,
    bottom_high_deg: Any,
    top_tilt_deg: Any,
    top_high_deg: Any,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Pattern: ...
def elbow(
    diameter: Any,
    angle_deg: Any,
    radius: Any,
    pieces: int,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Elbow: ...
def branch(
    main_diameter: Any,
    branch_diameter: Any,
    angle_deg: Any,
    main_length: Any,
    branch_length: Any,
    along: Any,
    offset: Any,
    main_thickness: Any,
    branch_thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Branch: ...
def cone(
    diameter: Any,
    height: Any,
    top_diameter: Any,
    bottom_tilt_deg: Any,
    bottom_high_deg: Any,
    top_tilt_deg: Any,
    top_high_deg: Any,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Pattern: ...
def oblique_cone(
    diameter: Any,
    height: Any,
    offset: Any,
    top_diameter: Any,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Pattern: ...
def transition(
    bottom: Path,
    top: Path,
    height: Any,
    offset: Any,
    tilt_deg: Any,
    high_deg: Any,
    surface: str,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Pattern: ...
def to_point(
    bottom: Path,
    apex: Any,
    height: Any,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Pattern: ...
def gore(
    diameter: Any,
    gores: int,
    from_deg: Any,
    to_deg: Any,
    thickness: Any,
    measured: str,
    sagitta: Any,
    lines: int,
) -> Pattern: ...
def ruled_strip(bottom: Any, top: Any, rulings: int, thickness: Any) -> Pattern: ...
def round_outline(diameter: Any) -> Path: ...
def rectangle_outline(length: Any, width: Any, corner_radius: Any) -> Path: ...
