"""Where the pivot may be drilled, and the best angle of a stop that leaves it free: the part of hinge for windows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from foldswing._core import InvalidInput
from foldswing._core import hinge as _hinge
from foldswing._core.hinge import Landing
from foldswing._core.plane import Outline
from foldswing._values import value

__all__ = ["WINDOW_STATUS", "FreeStop", "PivotByAngle", "PivotWindow", "pivot_by_angle", "pivot_window"]

Angles = Literal["some", "every"]
Wish = Literal["forgiveness", "gap", "near", "hole"]

WINDOW_STATUS = ("window", "line", "point", "none", "any")
"""Words of PivotWindow.status; an array holds their places in this table."""

_WISHES = ("forgiveness", "gap", "near", "hole")


@value
class FreeStop:
    """A stop whose angle is not fixed, only a range: "lean between 110 and 130".

    Parameters
    ----------
    landings : Landing or list of Landing
        What the panel does there, all at one and the same angle; their own `turn_deg` counts for nothing.
    turn_from_deg, turn_to_deg : angle
        The range, turns from shut, either way round; without a whole revolution (or 0) in it.
    angles : {'some', 'every'}
        'some', the default: they hold at some angle of the range, which is then the stop's. 'every': they hold wherever
        in the range the stop comes to stand.

    Examples
    --------
    >>> lean = FreeStop([Landing(-120, (-28, 324), (0, 1), -199)], -110, -130)
    >>> lean.angles
    'some'
    """

    landings: tuple[Landing, ...]
    turn_from_deg: Any
    turn_to_deg: Any
    angles: Angles = "some"

    def __post_init__(self) -> None:
        given = self.landings
        self.__dict__["landings"] = (given,) if isinstance(given, Landing) else tuple(given)
        if self.angles not in {"some", "every"}:
            msg = f"angles must be 'some' or 'every', got {self.angles!r}"
            raise InvalidInput(msg)

    def _plain(self) -> tuple[Any, ...]:
        return (self.landings, self.turn_from_deg, self.turn_to_deg, self.angles == "every")


@value
class PivotWindow:
    """Where the pivot may be drilled; the answer of pivot_window. Lengths in mm.

    Attributes
    ----------
    status : str
        'window': a region; 'line': it has no width; 'point': single points; 'none': nowhere; 'any': nothing is asked of
        the pivot.
    outlines : tuple of Outline
        The window, in parts that do not overlap. With bodies to clear, what is certified clear for the whole swing.
        With a free stop, inside the true window.
    outer : tuple of Outline
        With a free stop: outside these no pivot lands; elsewhere as `outlines` (before the swing is looked at).
    bounded : bool
        False where the landings alone leave it without end; the outlines are then cut off some way out.
    half_planes : ndarray, (n, 3)
        Rows (a, b, c): a pivot (x, y) keeps that limit of a landing where a x + b y <= c; (a, b) is a unit vector. Two
        rows for each landing 'on', one for each other, in the order given; none for whole revolutions.
    half_plane_stops : ndarray of int32, (n,)
        Which landing each row belongs to, counted from 0.
    binding : tuple of str
        What stops the pivot on each side of the window, in words. Stops are counted from 1 in the order given.
    sides : ndarray, (m, 2, 2)
        The pieces of the window's edge, from and to, the window on the left.
    side_limits : ndarray of int32, (m,)
        What stops the pivot there: a row of `half_planes`; -1 the edge of `within`; -2 nothing, it goes on; -3 the
        swing; -4 a free stop.
    side_binding : ndarray of int32, (m,)
        Which sentence of `binding` says so; -1 for specks that need none.
    runs : ndarray, (k, 2, 2)
        Where the window has no width: its pieces of a line, or points (both ends equal).
    best_pivot : ndarray, (2,)
        Centre of the largest circle that fits: the best place to drill. NaN where there is none.
    forgiveness : float
        Its radius: how far off any way the hole may be. 0 on a line or a point.
    explanation : str
        A sentence for the bench.
    landed : tuple of Outline
        With bodies to clear: the window of the landings alone.
    cells : ndarray, (c, 3)
        With bodies to clear: the squares looked at, as lower left corner x, y and side.
    cell_status : ndarray of int8, (c,)
        1 clear: every pivot in it keeps the gap; -1 fouled: none does; 0 undecided at this size of cell.
    clear_area, undecided_area, fouled_area : float
        Of the cells, mm^2, as far as they lie in the box round the landings' window.
    """

    status_words: ClassVar = WINDOW_STATUS
    status: str
    outlines: tuple[Outline, ...]
    outer: tuple[Outline, ...]
    bounded: bool
    half_planes: np.ndarray
    half_plane_stops: NDArray[np.int32]
    binding: tuple[str, ...]
    sides: np.ndarray
    side_limits: NDArray[np.int32]
    side_binding: NDArray[np.int32]
    runs: np.ndarray
    best_pivot: np.ndarray
    forgiveness: float
    explanation: str
    landed: tuple[Outline, ...]
    cells: np.ndarray
    cell_status: NDArray[np.int8]
    clear_area: float
    undecided_area: float
    fouled_area: float


@value
class PivotByAngle:
    """The pivot as a function of a free stop's angle, and the best angle; the answer of pivot_by_angle.

    Attributes
    ----------
    turn_deg : ndarray, (n,)
        The angles looked at.
    status : ndarray of int8, (n,)
        Places of the words in WINDOW_STATUS. By wish 'hole': 'point' where a hole serves, else 'none'.
    pivot : ndarray, (n, 2)
        The best place at each angle; by wish 'near' the one nearest the spot, by 'hole' the best hole. NaN where none.
    forgiveness : ndarray, (n,)
        Radius of the largest circle in the window at that angle; NaN where there is no window.
    gap : ndarray, (n,)
        Smallest gap over the swing about `pivot`; NaN where no panel and bodies were given.
    score : ndarray, (n,)
        What the wish is judged by, more is better: forgiveness; gap; minus the distance from the spot; minus the worst
        part of a tolerance that the hole uses up (-1: all of it).
    hole : ndarray of int32, (n,)
        Which of the holes, counted from 0; -1 elsewhere.
    best_turn_deg, best_status, best_pivot, best_forgiveness, best_gap, best_score, best_hole
        The same at the best angle, searched for between the angles looked at; the status as a word.
    """

    turn_deg: np.ndarray
    status: NDArray[np.int8]
    pivot: np.ndarray
    forgiveness: np.ndarray
    gap: np.ndarray
    score: np.ndarray
    hole: NDArray[np.int32]
    best_turn_deg: float
    best_status: str
    best_pivot: np.ndarray
    best_forgiveness: float
    best_gap: float
    best_score: float
    best_hole: int

    @property
    def explanation(self) -> str:
        """A sentence for the bench."""
        if not math.isfinite(self.best_score):
            return "at no angle of the range is there a place for the pivot"
        turn = f"a turn of {abs(self.best_turn_deg):.1f} degrees suits best"
        if self.best_hole >= 0:
            used = -self.best_score
            fit = "puts every stop within its tolerance" if used <= 1.0 else "misses, by least"
            return f"{turn}: hole {self.best_hole + 1} {fit}; it uses up {100.0 * used:.0f} % of the tightest tolerance"
        more = f"; the gap on the way is then {self.best_gap:.2f} mm" if math.isfinite(self.best_gap) else ""
        return f"{turn}: the hole may be {self.best_forgiveness:.2f} mm off any way{more}"


_Stops = tuple[tuple[Landing, ...], list[FreeStop]]


def _split(landings: Any) -> _Stops:
    if isinstance(landings, (Landing, FreeStop)):
        landings = [landings]
    if not isinstance(landings, Iterable) or isinstance(landings, str):
        msg = f"landings must be a list of Landing and FreeStop, got {type(landings).__name__}"
        raise InvalidInput(msg)
    every = tuple(landings)
    return tuple(x for x in every if not isinstance(x, FreeStop)), [x for x in every if isinstance(x, FreeStop)]


def _swing(stops: _Stops, panel: Any, clear_of: Any, travel: tuple[Any, Any], fine: tuple[Any, Any]) -> Any:
    """Return what the swing has to clear, as the compiled part takes it, or None where nothing is given."""
    given = not (isinstance(clear_of, (tuple, list)) and len(clear_of) == 0)
    if panel is None and not given:
        return None
    if panel is None or not given:
        msg = f"{'panel' if panel is None else 'clear_of'} must be given where {'clear_of' if given else 'panel'} is"
        raise InvalidInput(msg)
    start, end = travel
    if end is None:
        turns = [x.turn_deg for x in stops[0]] + [t for f in stops[1] for t in (f.turn_from_deg, f.turn_to_deg)]
        if not turns:
            msg = "travel_to_deg must be given where there are no landings, got None"
            raise InvalidInput(msg)
        end = max(turns, key=abs)
    return panel, clear_of, start, end, *fine


def pivot_window(
    landings: Iterable[Landing | FreeStop],
    within: Outline | Sequence[Outline] | None = None,
    *,
    panel: Outline | Sequence[Outline] | None = None,
    clear_of: Outline | Sequence[Outline] = (),
    travel_from_deg: Any = 0.0,
    travel_to_deg: Any = None,
    gap: Any = 0.0,
    cell: Any = 0.5,
    sagitta: Any = 0.05,
) -> PivotWindow:
    """Find every pivot that meets every landing within its tolerance: where the hole may be drilled.

    Parameters
    ----------
    landings : list of Landing and FreeStop
        Single ones, not batches; may be empty where `within` is given.
    within : Outline or list of Outline, optional
        Where metal is: the pivot must lie in one of these, clear of their holes.
    panel : Outline or list of Outline, optional
        The panel in shut coordinates. Given with `clear_of`, the whole swing about each pivot is looked at too.
    clear_of : Outline or list of Outline
        Bodies that stand still.
    travel_from_deg, travel_to_deg : angle
        The travel, turns from shut. Default: from shut to the landing turned farthest.
    gap : length
        Wanted at least on the way, mm, >= 0; 0: no overlap.
    cell : length
        Side of the smallest square of pivots that is judged as one, mm.
    sagitta : length
        With a FreeStop: how far the edges of `outlines` and `outer` may be apart, mm.

    Returns
    -------
    PivotWindow
        With `.outlines`, `.bounded`, `.half_planes`, `.binding`, `.best_pivot`, `.forgiveness`, `.explanation`.

    Raises
    ------
    InvalidInput
        When there is nothing to go by, a number is not finite or out of its range, a panel is given without bodies or
        the other way round, the window is not bounded where a swing or a free stop is looked at, or the cell or sagitta
        would make millions of pieces.

    Notes
    -----
    A landing of turn t allows the pivot a strip of width tolerance / |sin(t/2)|, or a half-plane for 'at_least' and
    'at_most'. Their corners are exact but for rounding, about 1e-12 of the size. A tolerance of 0 leaves a line, two of
    them a point: see `runs`.

    With a swing, pivots are certified by squares. The smallest gap changes by at most L = 2 max |sin(a/2)| mm for each
    mm of pivot, a running over the turn. A square of half-diagonal r is clear where the gap at its middle less L r is
    enough, and fouled where the gap plus L r is not, an overlap counting as minus its depth. What is between is
    quartered down to `cell`. No pivot of `outlines` comes nearer anywhere on the way, nor at its ends.

    With a free stop the edges are curved (parabolas): `outlines` lies inside the true window, `outer` outside, the two
    no more than `sagitta` apart along each edge.

    Examples
    --------
    Inner face level and flush within 1 mm, gap to the nose kept within 1 mm:

    >>> from foldswing import hinge
    >>> gate = [hinge.lands_at_height(-90, (-28, 0), 0), Landing(-90, (-28, -36), (1, 0), -28)]
    >>> w = pivot_window(gate)
    >>> [round(float(v), 6) for v in w.best_pivot], round(w.forgiveness, 6)
    ([-10.0, -18.0], 0.707107)
    >>> print(w.explanation)  # doctest: +NORMALIZE_WHITESPACE
    the hole may lie anywhere in a window of 2.0 square mm; drilled in the best place, the hole may be 0.71 mm off any
    way
    """
    fixed, free = _split(landings)
    swing = _swing((fixed, free), panel, clear_of, (travel_from_deg, travel_to_deg), (gap, cell))
    return PivotWindow(*_hinge.pivot_window(fixed, within, swing, [f._plain() for f in free], sagitta))


def pivot_by_angle(
    landings: Iterable[Landing | FreeStop],
    *,
    wish: Wish = "forgiveness",
    near: Any = None,
    holes: Any = None,
    within: Outline | Sequence[Outline] | None = None,
    panel: Outline | Sequence[Outline] | None = None,
    clear_of: Outline | Sequence[Outline] = (),
    travel_from_deg: Any = 0.0,
    travel_to_deg: Any = None,
    angles: int = 91,
) -> PivotByAngle:
    """Follow the pivot over the angles of a free stop, and find the angle that suits a wish best.

    Parameters
    ----------
    landings : list of Landing and one FreeStop
    wish : {'forgiveness', 'gap', 'near', 'hole'}
        The largest drilling error forgiven; the largest smallest gap on the way; a pivot as near as can be to `near`; a
        pivot on one of the `holes` of a bracket, with the least part of the tolerances used up.
    near : (2,) lengths
        The spot wanted.
    holes : (n, 2) lengths
        The bracket's holes where it would be fixed.
    within, panel, clear_of, travel_from_deg, travel_to_deg
        As for pivot_window. A travel that ends in the free range ends at the angle looked at.
    angles : int
        How many angles to look at, >= 2, both ends of the range among them.

    Returns
    -------
    PivotByAngle

    Raises
    ------
    InvalidInput
        As pivot_window, and when there is not exactly one FreeStop, or the wish lacks what it needs.

    Notes
    -----
    The best angle is the best of those looked at, then searched for by thirds between its neighbours; a peak narrower
    than their spacing may be missed.

    Examples
    --------
    A gate that lands level and then leans to 199 mm below the worktop, at 110 to 130 degrees, hinged as near as can be
    to a spot 20 below the worktop:

    >>> from foldswing import hinge
    >>> level = hinge.lands_at_height(-90, (-28, 0), 0, tolerance=0)
    >>> lean = FreeStop([hinge.lands_at_height(-125, (-28, 324), -199, tolerance=0)], -110, -130)
    >>> found = pivot_by_angle([level, lean], wish="near", near=(-10, -20))
    >>> round(found.best_turn_deg, 2), [round(float(v), 1) for v in found.best_pivot]
    (-124.77, [-9.0, -19.0])
    """
    fixed, free = _split(landings)
    if len(free) != 1:
        msg = f"landings must be with one FreeStop, got {len(free)}"
        raise InvalidInput(msg)
    if wish not in _WISHES:
        msg = f"wish must be one of {', '.join(map(repr, _WISHES))}, got {wish!r}"
        raise InvalidInput(msg)
    spots = {"near": near, "hole": holes}.get(wish)
    if wish in {"near", "hole"} and spots is None:
        msg = f"{'near' if wish == 'near' else 'holes'} must be given where the wish is {wish!r}, got None"
        raise InvalidInput(msg)
    swing = _swing((fixed, free), panel, clear_of, (travel_from_deg, travel_to_deg), (0.0, 1.0))
    rows, best = _hinge.pivot_by_angle(fixed, free[0]._plain(), within, swing, wish, spots, angles)
    return PivotByAngle(*rows, *best)
