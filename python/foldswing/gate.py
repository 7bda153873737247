"""A drop-down gate in its section, built from the sizes a fabricator measures.

Section axes: x out from the wall's outer face, y up from the worktop surface at its nose, seen from the left end as you
stand outside. The gate is hinged low and its top drops outward; an opening angle is positive here and is a clockwise
(negative) turn of the panel.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core.gate import Sizes
from foldswing._core.hinge import Landing
from foldswing._core.plane import Path, Pose
from foldswing._values import value

__all__ = [
    "Holes",
    "Marks",
    "Opened",
    "Place",
    "RoundedMarks",
    "Sizes",
    "centre",
    "corners",
    "edge_landing",
    "end_gap",
    "face_landing",
    "head",
    "height_below_head",
    "holes",
    "marks",
    "miss",
    "nose_gap_landing",
    "opened",
    "opening_in_line",
    "opening_to_drop",
    "opening_to_level",
    "panel",
    "pivot_at",
    "place",
    "pose",
    "round_marks",
    "sill",
    "stay_pin",
    "width_between",
    "worktop",
]

Sizes.__doc__ = """What is measured with the gate shut.

Parameters
----------
thickness, height : length
    Of the gate; > 0, mm. The height is taken along its face.
lower_edge_below_worktop : length
    Lower outer corner below the worktop surface, >= 0.
outer_face_out : length
    Outer face beyond the wall's at the lower edge; negative where it is set back. Default 0.
lean_deg : angle
    Lean of the face from upright, top outward positive; within +-60. Default 0.
lower_inner_radius, lower_outer_radius, upper_outer_radius, upper_inner_radius : length
    Corner radii, >= 0. Default 0.
nose_behind_wall : length
    Worktop nose inward from the wall's outer face, >= 0.
nose_depth, nose_radius : length
    Height of the nose face, > 0; radius on its upper edge, default 0.
worktop_depth : length
    How far the worktop runs inward, > 0. Default 600.
worktop_fall_deg : angle
    Fall of its surface, outward positive; within +-45. Default 0.
worktop_drop : length
    How much lower the whole worktop is at this station; default 0.
worktop_above_floor, head_above_worktop, jamb_depth : length
    > 0; the last is how far sill and head reach inward.
sill_below_worktop : length
    >= 0.

Raises
------
InvalidInput
    Naming the size that breaks its rule.
"""


@value
class Place:
    """A pivot by its distances from real faces, mm, each square to the face named.

    Attributes
    ----------
    from_inner_face, from_outer_face : float
        Outward from the inner face, inward from the outer face; negative beyond the face.
    below_worktop, above_lower_edge : float
        Below the level through the nose's upper edge; above the gate's lower edge, along its face.
    """

    from_inner_face: float
    from_outer_face: float
    below_worktop: float
    above_lower_edge: float


@value
class Holes:
    """Where the two holes stand with the gate shut; they are drilled separately.

    Opened, the gate carries its point q to jamb + R(q - gate); as drawn both coincide with the pivot.

    Attributes
    ----------
    gate, jamb : (2,) ndarray
        Section axes, mm.
    """

    gate: np.ndarray
    jamb: np.ndarray


@value
class Marks:
    """The two holes as they are marked, mm, each distance square to the face named.

    Attributes
    ----------
    gate_from_inner_face, gate_above_lower_edge : float
        The gate's hole: outward from the inner face, above the lower edge along the face; negative beyond them.
    jamb_below_worktop, jamb_inward : float
        The jamb's hole: below the level through the nose's upper edge, inward from the wall's outer face; negative
        above and outward.
    """

    gate_from_inner_face: float
    gate_above_lower_edge: float
    jamb_below_worktop: float
    jamb_inward: float


@value
class RoundedMarks:
    """Marks rounded together, and what is left over at the landings.

    Attributes
    ----------
    marks : Marks
        On the ruler.
    face_step, other_miss : float
        Worst miss of the landings that bring a face flush, and of the others; >= 0, mm.
    rounding : float
        Sum of what the four marks were moved by, mm.
    """

    marks: Marks
    face_step: float
    other_miss: float
    rounding: float


@value
class Opened:
    """Where things are once the gate has opened by some angle.

    Attributes
    ----------
    face_from, face_to : (2,) ndarray
        Inner face: its end at the lower edge and its free edge, mm.
    edge_drop, edge_above_floor : float
        Free edge below the worktop surface (negative: above), and above the floor, mm.
    edge_per_degree : float
        How much the free edge rises or falls for one degree more, mm.
    face_step : float
        Lower end of the inner face above the plane of the worktop's surface; negative: below, mm.
    nose_gap : float
        Lower inner corner, before rounding, outward of the nose face, mm.
    """

    face_from: np.ndarray
    face_to: np.ndarray
    edge_drop: float
    edge_above_floor: float
    edge_per_degree: float
    face_step: float
    nose_gap: float


def corners(sizes: Sizes) -> np.ndarray:
    """Return the (4, 2) corners before rounding, shut: lower inner, lower outer, upper outer, upper inner; mm."""
    return _core.gate.corners(sizes)


def panel(sizes: Sizes) -> Path:
    """Return the gate's section, shut, with its corners rounded.

    Raises
    ------
    InvalidInput
        Where two radii do not fit on one side.
    """
    return _core.gate.panel(sizes)


def worktop(sizes: Sizes) -> Path:
    """Return the section of the worktop."""
    return _core.gate.worktop(sizes)


def sill(sizes: Sizes) -> Path:
    """Return the section of the wall below the opening, down to the floor."""
    return _core.gate.sill(sizes)


def head(sizes: Sizes) -> Path:
    """Return the section of the wall above the opening."""
    return _core.gate.head(sizes)


def height_below_head(sizes: Sizes, gap: Any) -> float:
    """Return the height, mm, that leaves `gap` under the head; the height in `sizes` is not used."""
    return _core.gate.height_below_head(sizes, gap)


def width_between(width_top: Any, width_bottom: Any, end_gap: Any) -> float:
    """Return the width, mm, that leaves `end_gap` at each jamb of an opening, by its narrower width."""
    return _core.gate.width_between(width_top, width_bottom, end_gap)


def end_gap(width_top: Any, width_bottom: Any, width: Any) -> float:
    """Return the gap, mm, at each end of a gate by the opening's narrower width; negative where it does not go in."""
    return _core.gate.end_gap(width_top, width_bottom, width)


def opening_to_level(sizes: Sizes) -> float:
    """Return the opening angle, degrees, after which the inner face is level: 90 less the outward lean."""
    return _core.gate.opening_to_level(sizes)


def opening_in_line(sizes: Sizes) -> float:
    """Return the opening angle, degrees, after which the inner face runs on in line with the worktop's surface."""
    return _core.gate.opening_in_line(sizes)


def face_landing(sizes: Sizes, opening_deg: Any, above: Any = 0.0, *, tolerance: Any = 1.0) -> Landing:
    """Ask that the inner face stand `above` the plane of the worktop's surface.

    For a face parallel to the surface this is one landing; otherwise it is that of the face's lower end.

    Parameters
    ----------
    sizes : Sizes
        The gate.
    opening_deg : angle
        Opening at the stop, degrees.
    above : length
        Proud positive, low negative, mm.
    tolerance : length
        mm; 0 is exact.

    Returns
    -------
    Landing
        For hinge.solve_pivot.
    """
    return _core.gate.face_landing(sizes, opening_deg, above, tolerance=tolerance)


def nose_gap_landing(sizes: Sizes, opening_deg: Any, gap: Any, *, tolerance: Any = 1.0) -> Landing:
    """Ask that the lower inner corner, before rounding, rest `gap` mm outward of the nose face; see face_landing."""
    return _core.gate.nose_gap_landing(sizes, opening_deg, gap, tolerance=tolerance)


def edge_landing(sizes: Sizes, opening_deg: Any, drop: Any, *, tolerance: Any = 1.0) -> Landing:
    """Ask that the inner face's free edge rest `drop` mm below the worktop surface; see face_landing."""
    return _core.gate.edge_landing(sizes, opening_deg, drop, tolerance=tolerance)


def place(sizes: Sizes, pivot: Any) -> Place:
    """Return a pivot's distances from the gate's faces and the worktop."""
    return Place(*_core.gate.place(sizes, pivot))


def pivot_at(sizes: Sizes, from_inner_face: Any, below_worktop: Any) -> np.ndarray:
    """Return the pivot (2,) that stands at these two distances, mm (see Place)."""
    return _core.gate.pivot_at(sizes, from_inner_face, below_worktop)


def marks(sizes: Sizes, pivot: Any) -> Marks:
    """Return the marks of both holes for one pivot (x, y), section axes, mm."""
    return Marks(*_core.gate.marks(sizes, pivot))


def holes(sizes: Sizes, marks: Marks) -> Holes:
    """Return where the two holes stand that are marked so."""
    fields = (marks.gate_from_inner_face, marks.gate_above_lower_edge, marks.jamb_below_worktop, marks.jamb_inward)
    return Holes(*_core.gate.holes(sizes, *fields))


def _both(pivot: Any) -> tuple[Any, Any]:
    """Return gate hole and jamb hole of one pivot or of two holes."""
    return (pivot.gate, pivot.jamb) if isinstance(pivot, Holes) else (pivot, pivot)


def pose(holes: Holes, opening_deg: Any) -> Pose:
    """Return where the gate is once it has opened by some angle: q goes to jamb + R(q - gate)."""
    return _core.gate.pose(*_both(holes), opening_deg)


def miss(landing: Landing, holes: Holes) -> float:
    """Return how far beyond its line a landing's point comes with these two holes, mm; negative short of it."""
    return _core.gate.miss(landing, *_both(holes))


def round_marks(
    sizes: Sizes, pivot: Any, *, faces: Iterable[Landing] = (), others: Iterable[Landing] = (), step: Any
) -> RoundedMarks:
    """Round the marks of a pivot to a ruler as one set, so that the landing step is least.

    Of all sets in which each mark goes up or down to the ruler (one that is on it stays): the set with the least worst
    face step; of those the one with the least worst other miss; of those the one moved least. Misses nearer to each
    other than 1e-9 mm are the same.

    Parameters
    ----------
    sizes : Sizes
        The gate.
    pivot : point
        Section axes, mm.
    faces, others : iterables of hinge.Landing
        What the stops ask: landings that bring a face flush, and the others.
    step : length
        Of the ruler, mm; >= 0.000001.

    Returns
    -------
    RoundedMarks
        The marks and what is left over.

    Raises
    ------
    InvalidInput
        When a number is not finite or the step too fine.

    Examples
    --------
    Two marks of 18 rounded the same way leave no step; one up and one down would leave a whole 1/32 in.

    >>> gate = Sizes(
    ...     thickness=28, height=360, lower_edge_below_worktop=36, nose_behind_wall=31, nose_depth=40,
    ...     worktop_above_floor=900, head_above_worktop=328, sill_below_worktop=40, jamb_depth=60)
    >>> flush = face_landing(gate, 90, 0)
    >>> done = round_marks(gate, (-10, -18), faces=[flush], step="1/32 in")
    >>> round(done.marks.gate_from_inner_face, 2), round(done.marks.jamb_below_worktop, 2), round(done.face_step, 9)
    (18.26, 18.26, 0.0)
    """
    marked, *left = _core.gate.round_marks(sizes, pivot, faces, others, step)
    return RoundedMarks(Marks(*marked), *left)


def opening_to_drop(sizes: Sizes, pivot: Any, drop: Any) -> float:
    """Return the opening angle, degrees, at which the free edge has come down to `drop` below the worktop surface.

    The edge is on its way from its highest place to its lowest; NaN where it never is that high or that low. The pivot
    is a point or the two Holes.
    """
    return _core.gate.opening_to_drop(sizes, *_both(pivot), drop)


def opened(sizes: Sizes, pivot: Any, opening_deg: Any) -> Opened:
    """Return where faces and edges are once the gate has opened by some angle about a pivot, or on its two Holes."""
    return Opened(*_core.gate.opened(sizes, *_both(pivot), opening_deg))


def stay_pin(sizes: Sizes, pivot: Any, *, above_pivot: Any, from_inner_face: Any) -> np.ndarray:
    """Return the place of a stay's pin on the shut gate.

    Parameters
    ----------
    sizes : Sizes
        The gate.
    pivot : point or Holes
        Section axes, mm.
    above_pivot, from_inner_face : length
        Along the face from the gate's hole, and square to it outward from the inner face, gate shut, mm.

    Returns
    -------
    (2,) ndarray
        Section axes, mm, on the gate as drawn shut.
    """
    return _core.gate.stay_pin(sizes, *_both(pivot), above_pivot, from_inner_face)


def centre(sizes: Sizes) -> np.ndarray:
    """Return the centre of the shut gate's section, mm: its centre of mass where it is the same all through."""
    return _core.gate.centre(sizes)
