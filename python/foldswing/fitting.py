"""After the first fit: from what is measured to both holes as built, what to move, and what will be left.

There are two holes, the panel's and the body's, each with its own error. Turned by t, the panel carries its point q to
body + R(t)(q - panel). A reading is how far a panel point stands beyond a fixed line. Shut, readings know the
difference of the holes alone; at a stop they know more. Axes and turns are those of hinge; lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, Literal, NamedTuple

import numpy as np

from foldswing import Pose, _core
from foldswing._core import InvalidInput
from foldswing._core.hinge import Landing
from foldswing._values import value

__all__ = [
    "Agreement",
    "ArcPivot",
    "Check",
    "Correction",
    "Ellipse",
    "HolesFit",
    "Measured",
    "Move",
    "Pair",
    "PairAt",
    "PosePivot",
    "Reading",
    "Slot",
    "Stop",
    "agreement",
    "correct",
    "drilling_ceiling",
    "ellipse",
    "fit_holes",
    "measured_again",
    "pair_out_of_line",
    "pivot_from_arc",
    "pivot_from_poses",
    "readings_to_average",
]

Which = Literal["body", "panel", "both", "together"]


@value
class Ellipse:
    """Where a point is likely to be: an ellipse about the estimate.

    Attributes
    ----------
    semi_major, semi_minor : float
        Half axes, mm; infinite along what was not seen.
    angle_deg : float
        Of the major axis from x, counter-clockwise, in (-90, 90].
    """

    semi_major: float
    semi_minor: float
    angle_deg: float


@value
class PosePivot:
    """One pivot for measured poses; the answer of pivot_from_poses.

    Attributes
    ----------
    status : str
        'point'; 'infinity' for a slide without a turn; 'any' for poses that coincide.
    pivot : (2,) ndarray
        Fixed coordinates, mm; NaN unless 'point'.
    panel_point : (2,) ndarray
        The panel point that stays nearest to the pivot, panel coordinates; NaN unless 'point'.
    direction : (2,) ndarray
        Unit vector to the pivot at infinity; NaN unless 'infinity'.
    residuals : (n, 2) ndarray
        Where each pose carries `panel_point`, less the pivot; for 'infinity' how far each is off a straight slide.
    scatter : float
        Standard error of a pose of weight 1 along x and along y, mm; NaN where nothing tells.
    covariance : (2, 2) ndarray
        Of the pivot, mm^2; NaN unless 'point', or where `scatter` is NaN.
    explanation : str
        A sentence for the bench.
    """

    status: str
    pivot: np.ndarray
    panel_point: np.ndarray
    direction: np.ndarray
    residuals: np.ndarray
    scatter: float
    covariance: np.ndarray
    explanation: str


@value
class ArcPivot:
    """The pivot of a traced arc; the answer of pivot_from_arc.

    Attributes
    ----------
    status : str
        'circle', 'straight' or 'not_converged'.
    pivot : (2,) ndarray
        Centre of the trace, mm; NaN for a straight one.
    covariance : (2, 2) ndarray
        Of the pivot, mm^2; NaN where nothing tells.
    radius : float
        mm.
    swept_deg : float
        Of the arc, seen from the pivot.
    explanation : str
        A sentence for the bench.
    """

    status: str
    pivot: np.ndarray
    covariance: np.ndarray
    radius: float
    swept_deg: float
    explanation: str


@value
class Agreement:
    """Whether two places of one pivot agree; the answer of agreement.

    Attributes
    ----------
    apart : float
        mm.
    agrees : bool
        Whether their errors together allow it.
    """

    apart: float
    agrees: bool


@value
class Stop:
    """A position that readings are taken in.

    Parameters
    ----------
    turn_deg : angle
        From shut, counter-clockwise; as read or as set, or a first guess where it is not read.
    standard_error_deg : angle
        Of the turn; 0: known exactly; math.inf: not read, the other readings must tell.
    """

    turn_deg: Any
    standard_error_deg: Any = 0.0


@value
class Reading:
    """With the panel at a stop, a panel point stands `distance` beyond the line normal . x = offset.

    Parameters
    ----------
    stop : int
        Which of the stops, from 0.
    point : (2,) lengths
        Panel point, shut coordinates, as drawn, mm.
    normal : (2,)
        Any vector but zero; made a unit vector, with the offset divided by the same length.
    offset, distance : length
        Of the line, and what was read on the side the normal points to, mm.
    standard_error : length
        Of the reading, > 0, mm; of a mean of n readings that of one over the root of n.
    edge : int or None
        Which of the edges the line is, where its place is uncertain.
    """

    stop: int
    point: Any
    normal: Any
    offset: Any
    distance: Any
    standard_error: Any = 0.5
    edge: int | None = None


@value
class Check:
    """How far one reading is borne out by the others.

    Attributes
    ----------
    residual : float
        Reading less what the holes found say, mm.
    redundancy : float
        0 to 1: share of its own error that shows in its residual; 0 where nothing checks it.
    normalised : float
        Residual in standard errors of itself; 0 where nothing checks it.
    smallest_noticed : float
        Smallest error noticed four times in five, mm; infinite where nothing checks it.
    checked : bool
        Whether the others check it at all.
    """

    residual: float
    redundancy: float
    normalised: float
    smallest_noticed: float
    checked: bool


@value
class HolesFit:
    """Both holes as built; the answer of fit_holes.

    Attributes
    ----------
    status : str
        'both'; 'partly' where some way of moving the holes changes no reading; 'not_converged'.
    panel, body : (2,) ndarray
        The holes, shut coordinates, mm; along what is not seen as near to the drawing as the rest allows.
    panel_drawn, body_drawn : (2,) ndarray
        As drawn.
    covariance : (m, m) ndarray
        Of panel x, y, body x, y, then of each edge, mm^2; of what is seen.
    panel_ellipse, body_ellipse : Ellipse
        That hold the holes with the confidence asked for.
    unseen : tuple of (4,) ndarray
        Unit vectors (panel x, y, body x, y): shifts together like these change no reading.
    turns_deg, turn_standard_errors : ndarray
        Turn of each stop as found; 0 where known, infinite where not seen.
    edges : ndarray
        How far each edge is found beyond where it was said to be, mm.
    checks : tuple of Check
        Of each reading.
    suspect : int or None
        The reading that looks wrong, from 0.
    alike : tuple of int
        Readings that an error of the suspect cannot be told from.
    misfit : float
        Root mean square of the residuals over what was to be expected, about 1; NaN with no reading to spare.
    spare : int
        Readings more than needed.
    explanation : str
        What was found, for the bench; readings are counted from 1.
    """

    status: str
    panel: np.ndarray
    body: np.ndarray
    panel_drawn: np.ndarray
    body_drawn: np.ndarray
    covariance: np.ndarray
    panel_ellipse: Ellipse
    body_ellipse: Ellipse
    unseen: tuple[np.ndarray, ...]
    turns_deg: np.ndarray
    turn_standard_errors: np.ndarray
    edges: np.ndarray
    checks: tuple[Check, ...]
    suspect: int | None
    alike: tuple[int, ...]
    misfit: float
    spare: int
    explanation: str


@value
class Slot:
    """The way a hole can go and no other: a slotted hole, or shims behind its plate.

    Parameters
    ----------
    direction : (2,)
        Of `forward`, any length but zero; shut coordinates.
    forward, backward : length
        How far it goes each way from where it stands, mm, >= 0.
    """

    direction: Any
    forward: Any
    backward: Any = 0.0


@value
class Move:
    """A move and what it leaves.

    Attributes
    ----------
    which : str
        'none', 'body', 'panel', 'both', or 'together': plug both, pack the panel up shut, drill through both.
    panel, body : (2,) ndarray
        How far to move each hole, mm.
    left, spread : ndarray
        Miss expected at each landing afterwards, signed, and its standard deviation, mm; infinite where not seen.
    worst : float
        Greatest breach expected, in tolerances.
    right_at_least : float
        Share of cases in which every landing comes within its tolerance, at least; 0 to 1.
    """

    which: str
    panel: np.ndarray
    body: np.ndarray
    left: np.ndarray
    spread: np.ndarray
    worst: float
    right_at_least: float


@value
class Correction:
    """The moves that are open, and which is advised; the answer of correct.

    Attributes
    ----------
    moves : tuple of Move
        'none' first, then those allowed, the simpler first.
    advised : int
        The simplest of those with the best share of success.
    """

    moves: tuple[Move, ...]
    advised: int

    @property
    def move(self) -> Move:
        """The one advised."""
        return self.moves[self.advised]


@value
class PairAt:
    """How the right-hand end of a panel is out against the left at one turn.

    Attributes
    ----------
    turn_deg : float
        The turn.
    apart : (2,) ndarray
        Where the right side's panel points come, less the left's, mm.
    covariance : (2, 2) ndarray
        Of `apart`, mm^2.
    tilt_deg : float
        Between pins and bores.
    clearance : float
        Play across the diameter, over the bush's length, that hides the tilt, mm.
    seen : bool
        Whether it is more than the readings' own errors make in 19 of 20 cases.
    """

    turn_deg: float
    apart: np.ndarray
    covariance: np.ndarray
    tilt_deg: float
    clearance: float
    seen: bool


@value
class Pair:
    """How far two side pivots are out of line; the answer of pair_out_of_line.

    Attributes
    ----------
    body, panel : (2,) ndarray
        The right hole out against the left one, each against its own drawing, mm.
    at : tuple of PairAt
        At each turn asked.
    worst : PairAt
        Where within the travel they are farthest apart.
    """

    body: np.ndarray
    panel: np.ndarray
    at: tuple[PairAt, ...]
    worst: PairAt


def ellipse(covariance: Any, *, confidence: Any = 0.95) -> Ellipse:
    """Return the ellipse that holds a point with two normal errors in this share of cases.

    Parameters
    ----------
    covariance : (2, 2)
        mm^2.
    confidence : float
        Between 0 and 1.

    Raises
    ------
    InvalidInput
        When it is no covariance, or the confidence out of range.

    Examples
    --------
    >>> round(ellipse([[1, 0], [0, 4]]).semi_major, 3)
    4.895
    """
    return Ellipse(*_core.fitting.ellipse(covariance, confidence))


def agreement(
    pivot: Any, pivot_covariance: Any, other: Any, other_covariance: Any, *, confidence: Any = 0.999
) -> Agreement:
    """Tell whether two places of one pivot, each found by itself, agree.

    Parameters
    ----------
    pivot, other : (2,) lengths
        Where each way of measuring has it, mm.
    pivot_covariance, other_covariance : (2, 2)
        mm^2.
    confidence : float
        Of the ellipse of their difference, in which they agree; between 0 and 1.

    Raises
    ------
    InvalidInput
        When a place is not finite, a matrix no covariance, or the confidence out of range.

    Examples
    --------
    >>> agreement((0, 0), [[0.04, 0], [0, 1]], (0.3, 1.5), [[0.04, 0], [0, 1]]).agrees
    True
    """
    return Agreement(*_core.fitting.agreement(pivot, pivot_covariance, other, other_covariance, confidence))


def pivot_from_poses(poses: Any, *, weights: Any = None, pose_error: Any = None) -> PosePivot:
    """Find the point about which measured poses turn.

    Parameters
    ----------
    poses : Pose or list of Pose
        A batch, or single poses; two at least.
    weights : (n,) or None
        > 0; the standard error of a pose is scatter / sqrt(weight).
    pose_error : length or None
        Standard error of a pose of weight 1, mm; without it the scatter comes from the residuals, over 2n - 4.

    Returns
    -------
    PosePivot
        For two poses their pole; for more the panel point whose weighted places scatter least, and their mean.
        Headings are taken as read.

    Raises
    ------
    InvalidInput
        For fewer than two poses, a number not finite, weights of another number or out of 1e-12 .. 1e12.

    Examples
    --------
    >>> pivot_from_poses([Pose(0, 0, 0), Pose(8, -28, -90)]).pivot.tolist()
    [-10.0, -18.0]
    """
    if not isinstance(poses, Pose):
        several = list(poses)
        if not all(isinstance(p, Pose) for p in several):
            raise InvalidInput("poses must be a Pose, single or a batch, or a list of them")
        poses = Pose([p.x for p in several], [p.y for p in several], [p.angle_deg for p in several])
    return PosePivot(*_core.fitting.pivot_from_poses(poses, weights, pose_error))


def pivot_from_arc(points: Any, *, reading_error: Any = None) -> ArcPivot:
    """Find the pivot from an arc that a pencil fixed to the panel traced on a card fixed to the body.

    Parameters
    ----------
    points : (n, 2) lengths
        On the trace, in any order, mm.
    reading_error : length or None
        Standard error of each square to the trace, mm; without it from their scatter.

    Raises
    ------
    InvalidInput
        As arc.fit.

    Examples
    --------
    >>> trace = pivot_from_arc([(100, 0), (80, 60), (60, 80), (0, 100)])
    >>> (round(float(trace.pivot[0]), 6) + 0.0, round(trace.radius, 6), round(trace.swept_deg, 3))
    (0.0, 100.0, 90.0)
    """
    return ArcPivot(*_core.fitting.pivot_from_arc(points, reading_error))


def fit_holes(
    readings: Iterable[Reading],
    stops: Iterable[Stop],
    *,
    panel: Any,
    body: Any = None,
    edge_errors: Any = (),
    drilling_error: Any = math.inf,
    apart_error: Any = math.inf,
    confidence: Any = 0.95,
    pivot: Any = None,
    pivot_covariance: Any = None,
) -> HolesFit:
    """Find both holes as built from readings shut and at the stops.

    Parameters
    ----------
    readings : list of Reading
        At most 300.
    stops : list of Stop
        At most 20.
    panel, body : (2,) lengths
        The holes as drawn, shut coordinates, mm; `body` left out is where `panel` is.
    edge_errors : (k,) lengths
        Standard error of where each edge is along its normal, mm; 0: known exactly.
    drilling_error : length
        Of each hole along x and y, standard deviation, where it is to be used as a further reading, mm.
    apart_error : length
        Of one hole against the other: small where both were drilled through together, mm.
    confidence : float
        Of the ellipses.
    pivot : (2,) lengths
        Where a traced arc or poses have the body's hole: counts as two further readings of it, mm.
    pivot_covariance : (2, 2)
        Its covariance, mm^2; both are given or neither.

    Returns
    -------
    HolesFit
        Least squares by singular values; what no reading sees is left as drawn and said.

    Raises
    ------
    InvalidInput
        For no readings or too many, a stop or edge there is none of, or a number out of its range; a covariance that is
        none or nearly nothing some way.

    Notes
    -----
    Redundancies and normalised residuals are those of W. Baarda, A Testing Procedure for Use in Geodetic Networks,
    1968 (from memory): a sound reading is called wrong once in a thousand, and an error is noticed if it is four times
    in five.

    Examples
    --------
    Shut alone, readings see how far the holes are apart, and nothing else:

    >>> shut = Stop(0)
    >>> gaps = [Reading(0, (-28, -18), (1, 0), -31, 3.4), Reading(0, (-10, -36), (0, 1), -40, 4)]
    >>> fit = fit_holes(gaps, [shut], panel=(-10, -18))
    >>> fit.status, (fit.body - fit.panel).round(6).tolist(), len(fit.unseen)
    ('partly', [0.4, 0.0], 2)
    """
    rows = list(readings)
    at = list(stops)
    if not all(isinstance(r, Reading) for r in rows) or not all(isinstance(s, Stop) for s in at):
        raise InvalidInput("readings and stops must be lists of Reading and of Stop")
    if (pivot is None) != (pivot_covariance is None):
        raise InvalidInput("pivot and pivot_covariance must be given together")
    columns = (
        [float(r.stop) for r in rows],
        [r.point for r in rows] or np.empty((0, 2)),
        [r.normal for r in rows] or np.empty((0, 2)),
        [r.offset for r in rows],
        [r.distance for r in rows],
        [r.standard_error for r in rows],
        [-1.0 if r.edge is None else float(r.edge) for r in rows],
    )
    t = _core.fitting.fit_holes(
        columns,
        [s.turn_deg for s in at],
        [s.standard_error_deg for s in at],
        panel,
        panel if body is None else body,
        list(edge_errors),
        drilling_error,
        apart_error,
        confidence,
        pivot,
        pivot_covariance,
    )
    made = (*t[:6], Ellipse(*t[6]), Ellipse(*t[7]), *t[8:12], tuple(Check(*c) for c in t[12]), *t[13:])
    return HolesFit(*made)


def _fit(fit: HolesFit) -> tuple[Any, ...]:
    if not isinstance(fit, HolesFit):
        raise InvalidInput(f"fit must be a HolesFit, got an object of type {type(fit).__name__}")
    return (
        fit.status,
        fit.panel,
        fit.body,
        fit.panel_drawn,
        fit.body_drawn,
        fit.covariance,
        fit.unseen,
        fit.edges,
    )


def correct(
    fit: HolesFit,
    landings: Sequence[Landing],
    *,
    edges: Sequence[int | None] | None = None,
    turn_errors_deg: Any = None,
    setting_error: Any = 0.4,
    packing_error: Any = 0.1,
    anew: bool = False,
    allowed: Sequence[Which] = ("body", "panel", "both", "together"),
    panel_slot: Slot | None = None,
    body_slot: Slot | None = None,
) -> Correction:
    """Find what to move so that every landing is met, and what will be left.

    Parameters
    ----------
    fit : HolesFit
        Both holes as built.
    landings : list of Landing
        What must be true afterwards, gaps shut included; tolerances > 0.
    edges : list of int or None
        Which uncertain edge the line of each is.
    turn_errors_deg : (n,) angles or None
        How far the turn of each landing's stop is usually out, standard deviation; None: not at all.
    setting_error : length
        Of where a moved hole comes to lie along x and y, standard deviation, mm.
    packing_error : length
        Of how the panel is packed up shut before drilling through both, mm.
    anew : bool
        Both holes are plugged and marked anew from the faces, so that where they are found to be does not matter;
        otherwise each is moved from where it stands. One hole alone always is; 'together' never.
    allowed : list of {'body', 'panel', 'both', 'together'}
        The moves open besides leaving it.
    panel_slot, body_slot : Slot, optional
        Keeps that hole to its slot, moved alone or with the other; not with `anew`.

    Returns
    -------
    Correction
        One hole alone, or one through both, goes where the worst miss expected is least, in tolerances, by the shortest
        such move; both by the shortest pair of moves with the least sum of squared misses. Along a slot, of the places
        that it reaches.

    Raises
    ------
    InvalidInput
        When there is no landing, a tolerance is 0, an edge is none, a slot has no direction or goes less than nothing,
        or the fit has not converged.
    """
    wanted = list(landings)
    slots = (panel_slot, body_slot)
    if not all(s is None or isinstance(s, Slot) for s in slots):
        raise InvalidInput("panel_slot and body_slot must be a Slot or None")
    lines = [None] * len(wanted) if edges is None else list(edges)
    turns = [0.0] * len(wanted) if turn_errors_deg is None else turn_errors_deg
    moves, advised = _core.fitting.correct(
        _fit(fit),
        wanted,
        ([-1.0 if e is None else float(e) for e in lines], turns),
        setting_error,
        packing_error,
        bool(anew),
        list(allowed),
        tuple(None if s is None else (s.direction, s.forward, s.backward) for s in slots),
    )
    return Correction(tuple(Move(*m) for m in moves), advised)


def pair_out_of_line(
    left: HolesFit,
    right: HolesFit,
    *,
    span: Any,
    bush_length: Any,
    turns_deg: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
) -> Pair:
    """Find how far two side pivots are out of line, from what was found on both sides.

    Parameters
    ----------
    left, right : HolesFit
        From readings on each side, each against its own drawing.
    span : length
        Between the two bushes, mm.
    bush_length : length
        mm.
    turns_deg : (n,) angles
        At which it is wanted.
    turn_from_deg, turn_to_deg : angle
        The travel, for the worst of it.

    Returns
    -------
    Pair
        A stiff panel leans its pins in their bores; held square it is twisted by as much.

    Raises
    ------
    InvalidInput
        When a number is out of range or a fit has not converged.
    """
    body, panel, at, worst = _core.fitting.pair_out_of_line(
        _fit(left), _fit(right), span, bush_length, turns_deg, turn_from_deg, turn_to_deg
    )
    return Pair(body, panel, tuple(PairAt(*a) for a in at), PairAt(*worst))


class Measured(NamedTuple):
    """A size and its standard error, mm."""

    value: float
    standard_error: float


def measured_again(before: Any, before_error: Any, again: Any, reading_error: Any) -> Measured:
    """Return a size that was measured before and is measured again.

    Parameters
    ----------
    before, before_error : length
        As it was, and its standard error, mm; an error of 0 means it is known, and it stays.
    again : (n,) lengths
        Readings of it, at least one, mm.
    reading_error : length
        Standard error of one of them, mm.

    Returns
    -------
    Measured
        Mean of both by the inverses of their variances.

    Raises
    ------
    InvalidInput
        When there is no reading, or an error is out of range.

    Examples
    --------
    >>> measured_again(40, 0.5, [40.6, 40.8], 0.5).value
    40.46666666666667
    """
    return Measured(*_core.fitting.measured_again(before, before_error, again, reading_error))


def readings_to_average(reading_error: Any, setting_error: Any, *, tolerance: Any = 1.0, share: Any = 0.99) -> int:
    """Return how many readings to average before a hole is moved.

    The fewest with which one landing comes right in `share` of cases; where no number is enough, the fewest with which
    it comes right as often as with perfect readings, but for one in a thousand.

    Parameters
    ----------
    reading_error : length
        Standard error of one reading, mm.
    setting_error : length
        Of the adjuster, or of the drill, mm.
    tolerance : length
        Within which the landing must come, mm.
    share : float
        Of cases in which it must; 0 up to, not including, 1.

    Examples
    --------
    >>> readings_to_average(0.5, 0.15), readings_to_average(0.5, 0.15, share=0.999), readings_to_average(0.5, 0.4)
    (2, 4, 70)
    """
    return _core.fitting.readings_to_average(reading_error, setting_error, tolerance, share)


def drilling_ceiling(deviation: Any, turns_deg: Any, *, tolerance: Any = 1.0) -> float:
    """Return the share of panels that can land right at best, with one hole drilled through both parts.

    Parameters
    ----------
    deviation : length
        Of the hole along x and along y, standard deviation, mm.
    turns_deg : (n,) angles
        The stops, one landing at each.
    tolerance : length
        Within which each must land, mm.

    Returns
    -------
    float
        0 to 1: the smallest share over the stops; no skill passes it, for the drill alone is the cause. A landing at
        turn t is out by 2 sin(t/2) times the deviation.

    Examples
    --------
    >>> round(drilling_ceiling(0.4, [90, 125]), 3)
    0.841
    """
    return _core.fitting.drilling_ceiling(deviation, tolerance, turns_deg)
