"""Points, poses, outlines and paths in the section plane: x right, y up, turns counter-clockwise, mm."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core.plane import Outline, Path, Pose
from foldswing._values import value

__all__ = [
    "Circle",
    "Outline",
    "Path",
    "Pose",
    "Separation",
    "area",
    "centroid",
    "distance",
    "largest_circle",
    "locate",
    "mirror",
    "offset",
    "room",
    "round_corners",
    "unite",
    "with_disc",
]

_PLACES = {-1: "outside", 0: "on_edge", 1: "inside"}


@value
class Separation:
    """How two bodies, or two groups of bodies, lie to each other.

    Attributes
    ----------
    distance : float
        Smallest distance, mm; 0 when they touch or overlap.
    depth : float
        0 when they are apart or touch; else how deep they overlap, mm (see `distance`).
    point_a, point_b : (2,) ndarray
        The nearest points of the two. Where they overlap: the deepest point, and the edge of the other nearest to it.
    index_a, index_b : int
        Which bodies of the two groups these are.
    """

    distance: float
    depth: float
    point_a: np.ndarray
    point_b: np.ndarray
    index_a: int = 0
    index_b: int = 0


@value
class Circle:
    """A circle.

    Attributes
    ----------
    centre : (2,) ndarray
        mm.
    radius : float
        mm.
    """

    centre: np.ndarray
    radius: float


def area(outline: Outline) -> float:
    """Area of an outline, holes taken out.

    Parameters
    ----------
    outline : Outline

    Returns
    -------
    float
        mm^2.

    Examples
    --------
    >>> area(Outline([(0, 0), (40, 0), (40, 3), (0, 3)]))
    120.0
    """
    return _core.plane.area(outline)


def centroid(outline: Outline) -> np.ndarray:
    """Centre of the area of an outline, holes counted.

    Parameters
    ----------
    outline : Outline

    Returns
    -------
    (2,) ndarray
        mm.

    Examples
    --------
    >>> centroid(Outline([(0, 0), (40, 0), (40, 3), (0, 3)])).tolist()
    [20.0, 1.5]
    """
    return _core.plane.centroid(outline)


def locate(outline: Outline, points: Any) -> Any:
    """Where points lie: exact, a point on the edge is told from one beside it.

    Parameters
    ----------
    outline : Outline
    points : (2,) or (n, 2) lengths
        mm, finite.

    Returns
    -------
    str or (n,) int8 ndarray
        For one point 'inside', 'on_edge' or 'outside'; for several 1, 0 or -1 each.

    Examples
    --------
    >>> locate(Outline([(0, 0), (40, 0), (40, 3), (0, 3)]), (40, 1))
    'on_edge'
    """
    places = _core.plane.locate(outline, points)
    return _PLACES[int(places)] if places.ndim == 0 else places


def mirror(x: Any, point: Any, direction: Any) -> Any:
    """Reflect points, an outline or a path in a line.

    Parameters
    ----------
    x : (2,) or (n, 2) lengths, Outline, or Path
    point : (2,) lengths
        Any point of the line, mm.
    direction : (2,) numbers
        Direction of the line, any length but zero.

    Returns
    -------
    ndarray, Outline or Path
        As x. An outline stays counter-clockwise, its corner 0 first; the arcs of a path turn the other way.

    Raises
    ------
    InvalidInput
        When direction is zero or a number is not finite.

    Examples
    --------
    >>> mirror((3.0, 1.0), point=(0, 0), direction=(0, 1)).tolist()
    [-3.0, 1.0]
    """
    if isinstance(x, (Outline, Path)):
        return x.mirrored(point, direction)
    return _core.plane.mirror(x, point, direction)


def round_corners(outline: Outline, radii: Any) -> Path:
    """Round the corners of an outline.

    Parameters
    ----------
    outline : Outline
        Without holes: round each ring by itself.
    radii : length or (n,) lengths
        mm, >= 0; one for all corners, or one for each of ``outline.points`` in their order. 0 keeps the corner. Reflex
        corners are rounded too.

    Returns
    -------
    Path
        Closed; arcs tangent to the sides.

    Raises
    ------
    InvalidInput
        When a side is too short for the radii at its ends (the side, its length and what they need are named), a radius
        is negative or not finite, or the rounded outline would cross itself.

    Notes
    -----
    An arc of radius r at a corner that turns by t begins and ends r tan(t / 2) from the corner.

    Examples
    --------
    >>> path = round_corners(Outline([(0, 0), (40, 0), (40, 30), (0, 30)]), 5.0)
    >>> round(path.length, 6)  # 140 - 8 r + 2 pi r
    131.415927
    """
    return _core.plane.round_corners(outline, radii)


def with_disc(ring: Path, centre: Any, radius: Any) -> Path:
    """Join a closed path with a disc, such as the metal left round a pin near its edge.

    Parameters
    ----------
    ring : Path
        Closed.
    centre : point
        Of the disc, mm.
    radius : length
        mm, > 0.

    Returns
    -------
    Path
        What bounds the two together, holes between them filled; arcs stay arcs. Runs round the same way as the path.

    Raises
    ------
    InvalidInput
        When the path is open or crosses itself, the radius is not > 0, or the two do not overlap.

    Examples
    --------
    >>> bar = Path([(0, 0), (40, 0), (40, 10), (0, 10)], [0, 0, 0, 0], closed=True)
    >>> eared = with_disc(bar, (20, 5), 10)
    >>> round(float(eared.outline(0.001).points[:, 1].max()), 6)
    15.0
    """
    return _core.plane.with_disc(ring, centre, radius)


def distance(a: Outline | Sequence[Outline], b: Outline | Sequence[Outline]) -> Separation:
    """Distance between two bodies, or two groups of bodies, with the nearest points.

    Parameters
    ----------
    a, b : Outline, or list or tuple of them

    Returns
    -------
    Separation
        Of groups: the deepest overlap where any two overlap, else the nearest pair; the first of equals.

    Raises
    ------
    InvalidInput
        When a group is empty or holds something else.

    Notes
    -----
    Whether they meet is decided exactly. The depth of an overlap is the greatest distance by which a point on the edge
    of either lies inside the other: mostly an overlapping corner; where a bar crosses a bar, half the width of the
    wider. No shift shorter than the depth parts the two. It is exact at corners, elsewhere within 1e-9 mm. Where both
    cover the same region no edge is inside; then the deepest point is sought on lines square across from the middle of
    each side.

    Examples
    --------
    >>> bar = Outline([(0, 0), (40, 0), (40, 3), (0, 3)])
    >>> post = Outline([(45, -10), (50, -10), (50, 10), (45, 10)])
    >>> distance(bar, post).distance
    5.0
    """
    return Separation(*_core.plane.distance(a, b))


def offset(
    outline: Outline,
    distance: Any,
    *,
    corners: Literal["round", "mitre"] = "round",
    sagitta: Any = 0.005,
    mitre_limit: Any = 4.0,
) -> tuple[Outline, ...]:
    """Grow or shrink an outline by a distance.

    Parameters
    ----------
    outline : Outline
    distance : length
        mm; > 0 grows, < 0 shrinks.
    corners : {'round', 'mitre'}
        'round': every point within the distance. 'mitre': the sides run on to where they meet.
    sagitta : length
        How far a rounded corner may stand off the true arc, mm; at least a millionth of the distance.
    mitre_limit : number
        A mitre longer than this many distances is squared off there; >= 1.

    Returns
    -------
    tuple of Outline
        Shrinking may split an outline in several or leave none; growing may close holes.

    Raises
    ------
    InvalidInput
        When a number is not finite or an option is out of its range.

    Notes
    -----
    The new edge is never nearer to the old than the distance (within rounding) and, at rounded corners, never farther
    than distance + sagitta: a grown outline contains the true one, a shrunk one is contained in it. Points may be off
    by about 1e-12 of the largest coordinate; parts and holes thinner than that are left out.

    Examples
    --------
    >>> bar = Outline([(0, 0), (40, 0), (40, 3), (0, 3)])
    >>> [area(o) for o in offset(bar, -1.0)]
    [38.0]
    >>> offset(bar, -2.0)
    ()
    """
    return _core.plane.offset(outline, distance, corners, sagitta, mitre_limit)


def unite(outlines: Outline | Sequence[Outline]) -> tuple[Outline, ...]:
    """Join outlines into the region that any of them covers.

    Parameters
    ----------
    outlines : Outline, or list or tuple of them

    Returns
    -------
    tuple of Outline
        They do not overlap; as exact as `offset`.

    Examples
    --------
    >>> bar = Outline([(0, 0), (40, 0), (40, 3), (0, 3)])
    >>> leg = Outline([(0, 3), (3, 3), (3, 20), (0, 20)])
    >>> [area(o) for o in unite([bar, leg])]
    [171.0]
    """
    return _core.plane.unite(outlines)


def largest_circle(outlines: Outline | Sequence[Outline]) -> Circle:
    """Find the largest circle that fits into outlines, clear of their holes.

    Parameters
    ----------
    outlines : Outline, or list or tuple of them

    Returns
    -------
    Circle
        Of equal ones any. To within 1e-12 of the size.

    Examples
    --------
    >>> post = Outline([(0, 0), (40, 0), (40, 30), (0, 30)])
    >>> largest_circle(post).radius
    15.0
    """
    return Circle(*_core.plane.largest_circle(outlines))


def room(outlines: Outline | Sequence[Outline], points: Any) -> Any:
    """Distance of points from the edge of outlines: how far each may be moved any way and stay inside.

    Parameters
    ----------
    outlines : Outline, or list or tuple of them
    points : (2,) or (n, 2) lengths

    Returns
    -------
    float or (n,) ndarray
        mm; below zero outside all of them.

    Raises
    ------
    InvalidInput
        When outlines is empty or a number is not finite.

    Examples
    --------
    >>> room(Outline([(0, 0), (40, 0), (40, 30), (0, 30)]), [(5, 10), (45, 10)]).tolist()
    [5.0, -5.0]
    """
    return _core.plane.room(outlines, points)
