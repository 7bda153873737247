"""A panel hidden in smooth bodywork that flips about pins near one edge, in its section.

Section axes lie in the skin: x from the panel's hinged edge toward its free edge, y from the outer surface inward.
An opening angle is positive: downward (out of the skin) is a clockwise turn, upward a counter-clockwise one.
"""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core.flip_panel import Sizes
from foldswing._core.plane import Path
from foldswing._values import value

__all__ = [
    "Reach",
    "Sizes",
    "free_side",
    "hinged_side",
    "inner_face_looks",
    "metal_at_pin",
    "opening_to_upright",
    "outer_face_looks",
    "panel",
    "pivot",
    "reach",
]

Sizes.__doc__ = """The panel and the body round it, shut.

Parameters
----------
length, depth : length
    Hinged edge to free edge, and depth of the flanges, outside; > 0, mm.
skin_thickness : length
    Of the body's skin and its return, > 0.
corner_radius : length
    Outside radius where the flanges are bent up, >= 0. Default 0.
gap : length
    To the body all round, > 0.
return_depth : length
    Depth of the body's return along the hinged edge, square to the skin, >= 0.
slope_deg : angle
    Of the skin from level, rising from the hinged to the free edge; negative: falling. Within +-90, default 0.
pivot_from_edge, pivot_behind_skin : length
    Pivot along the skin from the hinged edge, and behind the outer surface.
ear_radius : length
    Radius of the ears left standing round the pins on the end flanges, >= 0; 0 for none, the default.

Raises
------
InvalidInput
    Naming the size that breaks its rule.
"""


@value
class Reach:
    """How far a panel comes on its way, square to the skin, mm.

    Attributes
    ----------
    behind, out, stands_out : float
        Highest into the body from the outer surface; farthest out of it on the way; out of it once open.
    """

    behind: float
    out: float
    stands_out: float


def panel(sizes: Sizes) -> Path:
    """Return the panel's section, shut, its outer corners rounded, its ears included."""
    return _core.flip_panel.panel(sizes)


def hinged_side(sizes: Sizes) -> Path:
    """Return the section of the body's skin and return at the hinged edge."""
    return _core.flip_panel.hinged_side(sizes)


def free_side(sizes: Sizes) -> Path:
    """Return the section of the body's skin at the free edge."""
    return _core.flip_panel.free_side(sizes)


def pivot(sizes: Sizes) -> np.ndarray:
    """Return the pivot, section axes, mm."""
    return _core.flip_panel.pivot(sizes)


def opening_to_upright(sizes: Sizes, opens: Literal["down", "up"]) -> float:
    """Return the opening angle, degrees, after which the panel stands upright: 90 + slope down, 90 - slope up."""
    return _core.flip_panel.opening_to_upright(sizes, opens)


def inner_face_looks(sizes: Sizes, opens: Literal["down", "up"], opening_deg: Any) -> float:
    """Return the elevation the inner face looks in, degrees, measured from the direction hinged edge to free edge.

    Within (-180, 180]: 0 is level that way, 180 level the other way, 90 straight up. The outer face looks opposite.
    """
    return _core.flip_panel.inner_face_looks(sizes, opens, opening_deg)


def outer_face_looks(sizes: Sizes, opens: Literal["down", "up"], opening_deg: Any) -> float:
    """Return the elevation the outer face looks in, degrees; see inner_face_looks."""
    return _core.flip_panel.outer_face_looks(sizes, opens, opening_deg)


def reach(sizes: Sizes, opens: Literal["down", "up"], opening_deg: Any) -> Reach:
    """Return how far the panel comes, square to the skin, anywhere on its way from shut to open."""
    return Reach(*_core.flip_panel.reach(sizes, opens, opening_deg))


def metal_at_pin(sizes: Sizes, pin_diameter: Any) -> float:
    """Return the metal, mm, between a hole of this diameter and the nearest edge of the flange it is drilled in.

    The ears count as part of the flange. Negative where the hole breaks out.
    """
    return _core.flip_panel.metal_at_pin(sizes, pin_diameter)
