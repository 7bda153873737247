"""One pivot: where it must be for the panel to land true, and the motion it gives.

Section coordinates: x right, y up, mm; turns in degrees, counter-clockwise positive, counted from the shut panel.
Numbers may be given as shop strings or quantities, and as arrays, which make batches: the batch axis comes first.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar, Literal

import numpy as np

from foldswing import Pose
from foldswing._core import hinge as _hinge
from foldswing._core.hinge import Landing, PivotHinge
from foldswing._pivot_windows import (
    WINDOW_STATUS,
    FreeStop,
    PivotByAngle,
    PivotWindow,
    pivot_by_angle,
    pivot_window,
)
from foldswing._values import value

__all__ = [
    "PIVOT_STATUS",
    "POLE_STATUS",
    "WINDOW_STATUS",
    "FreeStop",
    "Landing",
    "PivotByAngle",
    "PivotHinge",
    "PivotSolution",
    "PivotWindow",
    "Pole",
    "lands_at_height",
    "lands_below",
    "lands_flush",
    "lands_on_point",
    "pivot_by_angle",
    "pivot_window",
    "pole",
    "solve_pivot",
    "turn_to_face",
    "turn_to_level",
]

Kind = Literal["on", "at_least", "at_most"]
Way = Literal["shorter", "clockwise", "counter-clockwise"]

PIVOT_STATUS = ("point", "line", "none", "any")
"""Words of PivotSolution.status; a batch holds their places in this table."""

POLE_STATUS = ("point", "infinity", "any")
"""Words of Pole.status; a batch holds their places in this table."""

PivotHinge.__doc__ = """A panel that turns about one fixed pivot; the turn is linear in s. A motion.

Parameters
----------
pivot : (2,) or (n, 2) lengths
    The pivot in fixed coordinates, mm. With the panel shut (no turn) panel and fixed coordinates agree.
turn_from_deg, turn_to_deg : angle or (n,) angles
    Turn from shut at s = 0 and s = 1, degrees, counter-clockwise positive; any two finite angles.

Raises
------
InvalidInput
    When a number is not finite; in a batch its index is named.

Notes
-----
The pose at s is the turn by ``from + s (to - from)`` about the pivot, which keeps its place exactly.

Examples
--------
>>> gate = PivotHinge((-10, -18), 0, -125)
>>> gate.s_at_turn(-90)
0.72
>>> gate.turn_at(0.36)
-45.0
"""
Landing.__doc__ = """What the panel must do at a stop: a point of it lands on a line.

At rotation `turn_deg` the panel point `point` lies on the line ``normal . x = offset``.

Parameters
----------
turn_deg : angle or (n,) angles
    Turn from shut, degrees, counter-clockwise positive.
point : (2,) or (n, 2) lengths
    Panel point in shut coordinates, mm.
normal : (2,) or (n, 2)
    Any vector but zero; kept as a unit vector, with offset divided by the same length.
offset : length or (n,) lengths
    ``normal . x`` of the line, mm (times the length of `normal`).
tolerance : length or (n,) lengths
    How far off is still right, mm, >= 0; 0 means exact.
kind : {'on', 'at_least', 'at_most'}
    On the line within +- tolerance; or ``normal . x >= offset - tolerance``; or ``<= offset + tolerance``.

Raises
------
InvalidInput
    When a number is not finite or a length beyond 1e100 mm, the normal is zero, the tolerance negative or the word
    unknown.

Notes
-----
A point q turned by t about the pivot P misses the line by ``n.q - d + n.(I - R)(P - q)``: linear in P.

Examples
--------
>>> Landing(-90, (-28, 0), (0, 2), 10, tolerance=0.5)
Landing(turn_deg=-90.0, point=[-28.0, 0.0], normal=[0.0, 1.0], offset=5.0, tolerance=0.5, kind='on')
"""


@value
class PivotSolution:
    """What the landings say about the pivot; the answer of solve_pivot.

    Attributes
    ----------
    status : str or ndarray of int8
        'point', 'line', 'none' or 'any'; in a batch the place of the word in PIVOT_STATUS.
    pivot : ndarray, (2,) or (n, 2)
        mm; NaN only where no landing depends on the pivot.
    direction : ndarray, (2,) or (n, 2)
        Unit vector along the line of pivots, its first non-zero component positive; NaN where they form no line.
    residuals : ndarray, (m,) or (n, m)
        Signed miss of each of the m landings at the pivot, mm.
    explanation : str or tuple of str
        A sentence for the bench. Stops are counted from 1 in the order given.
    """

    status_words: ClassVar = PIVOT_STATUS
    status: Any
    pivot: np.ndarray
    direction: np.ndarray
    residuals: np.ndarray
    explanation: Any


@value
class Pole:
    """The centre of the rotation from one pose to another; the answer of pole.

    Attributes
    ----------
    status : str or ndarray of int8
        'point'; 'infinity' for a pure translation; 'any' for poses that coincide. In a batch the place in POLE_STATUS.
    pivot : ndarray, (2,) or (n, 2)
        The centre in fixed coordinates, mm; NaN unless 'point'.
    direction : ndarray, (2,) or (n, 2)
        Unit vector to the pole at infinity, a quarter turn counter-clockwise from the translation; NaN unless
        'infinity'.
    turn_deg : float or ndarray
        From a to b as recorded, whole revolutions included.
    """

    status_words: ClassVar = POLE_STATUS
    status: Any
    pivot: np.ndarray
    direction: np.ndarray
    turn_deg: Any


def pole(pose_a: Pose, pose_b: Pose) -> Pole:
    """Find the centre of the rotation that carries one pose to another.

    Parameters
    ----------
    pose_a, pose_b : Pose
        One pose or a batch each.

    Returns
    -------
    Pole
        With `.status`, `.pivot`, `.direction`, `.turn_deg`.

    Notes
    -----
    P = (a + b)/2 + cot(turn/2)/2 J (b - a) for the translations a, b and the quarter turn J: the perpendicular
    bisector, own derivation. An error e in the translation moves P by e / (2 |sin(turn/2)|). Headings a whole number of
    revolutions apart, to within the rounding of the headings themselves, count as equal.

    Examples
    --------
    >>> from foldswing import Pose
    >>> pole(Pose(0, 0, 0), Pose(8, -28, -90)).pivot.tolist()
    [-10.0, -18.0]
    """
    return Pole(*_hinge.pole(pose_a, pose_b))


def solve_pivot(landings: Iterable[Landing]) -> PivotSolution:
    """Find the pivot that puts every landing right.

    Parameters
    ----------
    landings : list of Landing
        At least one. Landings that are batches are solved item by item; single ones stand in every item.

    Returns
    -------
    PivotSolution
        With `.status`, `.pivot`, `.direction`, `.residuals`, `.explanation`.

    Raises
    ------
    InvalidInput
        When the list is empty or holds something else, batches differ in length, or a turn is so small that its
        strip of pivots lies beyond 1e100 mm.

    Notes
    -----
    Each landing of a real turn t allows a strip of pivots, of half-width tolerance / (2 |sin(t/2)|). The rank comes
    from the directions of the strips alone, parallel within 1e-9 radian: a turn of 0.001 degree is still a turn.
    Whole revolutions ask nothing of the pivot and are met or not.

    - 'point': the least-squares pivot, misses divided by tolerances; a landing of tolerance 0 holds exactly. If that
      breaks another's tolerance, the nearest pivot that breaks none.
    - 'line': all strips run one way. The least-squares pivot nearest the origin of coordinates, moved to the nearest
      that meets every landing where it does not.
    - 'any': no strip. With inequalities the pivot nearest the origin that meets them, otherwise NaN.
    - 'none': no pivot meets all within tolerance. The pivot whose worst excess, in tolerances, is least; landings of
      tolerance 0 hold exactly unless they contradict each other, then their worst miss in mm is made least.

    A finite method (vertices and edges of the strips): exact but for rounding, for which a landing is allowed 1e-12 of
    the size of the problem beyond its tolerance.

    Examples
    --------
    A gate 28 thick whose inner face, turned level outward, is flush with the worktop and keeps its gap to the nose:

    >>> gate = [lands_at_height(-90, (-28, 0), 0), Landing(-90, (-28, -36), (1, 0), -28)]
    >>> solve_pivot(gate).pivot.tolist()
    [-10.0, -18.0]
    """
    return PivotSolution(*_hinge.solve_pivot(landings))


def turn_to_face(face: Any, wanted: Any, *, way: Way = "shorter") -> Any:
    """Turn that brings a face to lie along a wanted direction.

    Parameters
    ----------
    face, wanted : (2,) or (n, 2)
        Directions along the face, shut and landed; any length but zero. Both point the same way along the face.
    way : {'shorter', 'clockwise', 'counter-clockwise'}
        Which way round.

    Returns
    -------
    float or ndarray
        Degrees: in (-180, 180], (-360, 0] or [0, 360). Exact at multiples of 90.

    Raises
    ------
    InvalidInput
        When a direction is zero or not finite, or the word unknown.

    Examples
    --------
    >>> turn_to_face((0, 1), (1, 0))
    -90.0
    """
    return _hinge.turn_to_face(face, wanted, way=way)


def turn_to_level(face: Any, *, way: Way = "shorter") -> Any:
    """Turn after which a face is level, either of its ends leading.

    Parameters
    ----------
    face : (2,) or (n, 2)
        Direction along the shut face; any length but zero.
    way : {'shorter', 'clockwise', 'counter-clockwise'}
        Which way round.

    Returns
    -------
    float or ndarray
        Degrees: in (-90, 90], (-180, 0] or [0, 180).

    Raises
    ------
    InvalidInput
        When the direction is zero or not finite, or the word unknown.

    Examples
    --------
    >>> turn_to_level((0, 1), way="clockwise")
    -90.0
    """
    return _hinge.turn_to_level(face, way=way)


def lands_at_height(turn_deg: Any, edge: Any, height: Any, *, tolerance: Any = 1.0, kind: Kind = "on") -> Landing:
    """State that an edge lands at a height.

    Parameters
    ----------
    turn_deg : angle or (n,) angles
        Turn from shut at the stop, degrees.
    edge : (2,) or (n, 2) lengths
        The edge in shut coordinates, mm.
    height : length or (n,) lengths
        Its y when landed, mm.
    tolerance, kind
        As for Landing.

    Returns
    -------
    Landing
        On the level line at that height.
    """
    return _hinge.lands_at_height(turn_deg, edge, height, tolerance=tolerance, kind=kind)


def lands_below(
    turn_deg: Any,
    edge: Any,
    face_point: Any,
    face_normal: Any,
    drop: Any,
    *,
    tolerance: Any = 1.0,
    kind: Kind = "on",
) -> Landing:
    """State that an edge lands a drop below a fixed face.

    Parameters
    ----------
    turn_deg : angle or (n,) angles
        Turn from shut at the stop, degrees.
    edge : (2,) or (n, 2) lengths
        The edge in shut coordinates, mm.
    face_point : (2,) or (n, 2) lengths
        Any point of the fixed face, mm.
    face_normal : (2,) or (n, 2)
        Outward from the face; any length but zero.
    drop : length or (n,) lengths
        How far below the face, mm; negative stands proud of it.
    tolerance, kind
        As for Landing, counted along face_normal: 'at_most' is as low as that or lower.

    Returns
    -------
    Landing
        On the line parallel to the face.
    """
    return _hinge.lands_below(turn_deg, edge, face_point, face_normal, drop, tolerance=tolerance, kind=kind)


def lands_flush(face: Any, line: Any, *, way: Way = "shorter", tolerance: Any = 1.0, kind: Kind = "on") -> Landing:
    """State that a panel face lands flush with a fixed line; the turn follows from the two directions.

    Parameters
    ----------
    face : (2, 2) lengths
        Two points along the panel face, shut coordinates, mm.
    line : (2, 2) lengths
        Two points along the fixed line, pointing the way the face is to point, mm.
    way : {'shorter', 'clockwise', 'counter-clockwise'}
        Which way round the panel turns.
    tolerance, kind
        As for Landing, counted to the left of the line.

    Returns
    -------
    Landing
        The middle of the face on the line, at the turn that makes them parallel (`.turn_deg`).

    Examples
    --------
    >>> lands_flush([(-28, -36), (-28, 324)], [(-100, 0), (0, 0)]).turn_deg
    -90.0
    """
    return _hinge.lands_flush(face, line, way=way, tolerance=tolerance, kind=kind)


def lands_on_point(turn_deg: Any, point: Any, target: Any, *, tolerance: Any = 1.0) -> tuple[Landing, Landing]:
    """State that a panel point lands on a fixed point: two landings, across (x) and up (y).

    Parameters
    ----------
    turn_deg : angle or (n,) angles
        Turn from shut at the stop, degrees.
    point, target : (2,) or (n, 2) lengths
        The panel point in shut coordinates and where it lands, mm.
    tolerance : length or (n,) lengths
        As for Landing, in x and in y.

    Returns
    -------
    tuple of two Landing
        Enough for solve_pivot unless the turn is a whole revolution.

    Examples
    --------
    >>> solve_pivot(lands_on_point(180, (0, 0), (10, 4))).pivot.tolist()
    [5.0, 2.0]
    """
    return _hinge.lands_on_point(turn_deg, point, target, tolerance=tolerance)
