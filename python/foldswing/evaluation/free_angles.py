"""A stop that leaves its angle open: the pivot at every angle of the range, and the angle that suits a wish best."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from foldswing import gate, hinge
from foldswing._core.plane import Outline, Path
from foldswing._values import value
from foldswing.evaluation.brackets import FLAT, Allowed, allowed, pin_holes
from foldswing.evaluation.findings import Finding
from foldswing.evaluation.gate_section import asked, asked_at, opening_asked, opening_range
from foldswing.job import Gate, Stop
from foldswing.job.gates import WISHES

_WISHES: dict[str, Any] = dict(zip(WISHES, ("forgiveness", "gap", "near", "hole"), strict=True))
_STEPS = (0.25, 0.5, 1.0, 2.0, 2.5, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0)  # degrees between rows of the table
_ROWS = 8  # steps of the table at most
_LOOKED_AT = 80  # steps that are looked at, at least
_ALIKE = 0.005  # mm; places that forgive this much less print alike
OFF_HOLE = 0.05  # mm; less prints as nothing
_AT_END = 1e-3  # of the range; a best angle nearer than this to an end is that end


@value
class AngleRow:
    """What one angle comes to; lengths mm, angles degrees.

    Attributes
    ----------
    opening_deg, below_level_deg : float
        Opened from shut, and past level; negative before it.
    pivot : (2,) ndarray
        The best place at this angle, section axes; by the wish for a spot the one nearest to it, by the wish for a
        hole the best hole. NaN where there is none.
    place : gate.Place or None
        Its distances from real faces.
    forgiveness : float
        How far off any way the hole may be in the best place at this angle; NaN where there is none or it is a hole.
    gap : float
        Smallest gap on the way, what the gate rests on left out; NaN where nothing stands round it.
    off_spot : float
        How far the pivot is from the spot wanted; NaN by other wishes.
    hole : int
        Which of the bracket's holes, counted from 1 as the job gives them; 0 by other wishes.
    used : float
        By the wish for a hole: what part of the tightest allowance it uses up; over 1 a stop is missed. Else NaN.
    """

    opening_deg: float
    below_level_deg: float
    pivot: np.ndarray
    place: gate.Place | None
    forgiveness: float
    gap: float
    off_spot: float
    hole: int
    used: float


@value
class FreeAngle:
    """The angle that was left open.

    Attributes
    ----------
    stop, wish : str
        Which stop, and what decided.
    from_deg, to_deg : float
        The range, opened from shut.
    found : bool
        Whether there is a place for the pivot at any angle of it.
    best : AngleRow
        The angle taken.
    rows : tuple of AngleRow
        The pivot over the range, every few degrees.
    explanation : str
        Why this angle, in shop words.
    """

    stop: str
    wish: str
    from_deg: float
    to_deg: float
    found: bool
    best: AngleRow
    rows: tuple[AngleRow, ...]
    explanation: str


def choose_angle(wanted: Gate, sizes: gate.Sizes, around: Mapping[str, Path]) -> FreeAngle | None:
    """Find the angle of the stop that leaves it open; None where every stop has its own.

    Parameters
    ----------
    wanted : Gate
        Its stops and what is wished.
    sizes : gate.Sizes
        Of its section.
    around : mapping of name to Path
        What stands round it.
    """
    stop = next((s for s in wanted.stop if s.is_open), None)
    ends = opening_range(stop, sizes) if stop is not None else None
    if stop is None or ends is None:
        return None
    h = wanted.hinge
    word = h.wish or WISHES[0]
    wish = _WISHES[word]
    low, high = ends
    room = allowed(wanted, sizes, None)
    own = _for_holes(wanted, sizes, room) if wish == "hole" else room.within
    shown, every = _steps(high - low)
    if not own and wish != "hole":
        return _nothing(stop, word, ends, sizes, room.nowhere)
    rests = {s.rests_on for s in wanted.stop}
    bodies = [path.outline(FLAT) for name, path in around.items() if name not in rests]
    openings = [o for s in wanted.stop if (o := opening_asked(s, sizes)) is not None]
    landings = tuple(a.landing for a in asked_at(stop, sizes, high))
    spot = gate.pivot_at(sizes, h.spot_from_inner_face, h.spot_below_worktop) if wish == "near" else None
    holes = pin_holes(h.bracket, sizes.worktop_above_floor) if wish == "hole" and h.bracket is not None else None
    made = hinge.pivot_by_angle(
        [*asked(wanted, sizes).all, hinge.FreeStop(landings, -low, -high)],
        wish=wish,
        near=spot,
        holes=holes,
        within=own or None,
        panel=gate.panel(sizes).outline(FLAT) if bodies else None,
        clear_of=bodies,
        travel_to_deg=-max([high, *openings]),
        angles=shown * every + 1,
    )
    numbers = [i for i, hole in enumerate(h.bracket.hole, 1) if hole.takes_pin] if h.bracket is not None else []
    kind = (sizes, wish, numbers)
    serves = np.isfinite(made.score) & ((made.score >= -1.0) | (wish != "hole"))
    rows = [_row(made, kind, k) for k in _shown(serves, every)]
    best, alike = _row(made, kind, None), False
    if wish == "forgiveness" and bodies:
        near = np.flatnonzero(made.score >= made.best_score - _ALIKE)
        as_good = [best, *(_row(made, kind, int(k)) for k in near)]
        best, alike = max(as_good, key=lambda row: row.gap), len(as_good) > 2
    if not math.isfinite(made.best_score):
        what = "is there a place for the pivot that does what the stops ask and leaves metal enough round the hole"
        if wish == "hole" and h.bracket is not None:
            metal = "leave metal enough round the hole in the gate"
            what = f"does a hole of the {h.bracket.name} do what the stops ask and {metal}"
        said = f"at no angle of '{stop.name}' {what}"
        return FreeAngle(stop.name, word, low, high, False, best, tuple(rows), said)
    said = _why(wanted, stop, best, (low, high), wish)
    if alike:
        said += ". Several angles are alike in that; of them this one keeps most on the way"
    serve = np.flatnonzero(serves)
    if wish != "hole" and len(serve) and len(serve) < len(made.score):
        first, last = (_angle(stop, _row(made, kind, int(k))) for k in (serve[0], serve[-1]))
        said += f". Of the range only about {first} to {last} has a place for the pivot"
    elif wish != "hole" and not len(serve):
        said += ". Only there, and hardly beside it, is there a place for the pivot"
    return FreeAngle(stop.name, word, low, high, True, best, tuple(rows), said)


def off_its_hole(found: FreeAngle | None, wanted: Gate, holes: gate.Holes) -> list[Finding]:
    """Return that the marks miss the bracket's hole that is the pivot: it lies on no mark of the ruler."""
    bracket = wanted.hinge.bracket
    if found is None or bracket is None or not found.found or not found.best.hole:
        return []
    marked = holes.jamb if bracket.fixed_to == "jamb" else holes.gate
    off = float(np.hypot(*(marked - found.best.pivot)))
    if off <= OFF_HOLE:
        return []
    return [
        Finding(
            f"The marks miss hole {found.best.hole} of the {bracket.name}",
            f"{off:.2f} mm: its middle lies on no mark of the ruler",
            "the pin sits in the hole as it is, and the gate lands that much off what is told here",
            "a finer ruler in the job, or put the bracket where its hole comes to lie on a mark",
            stops_work=False,
        )
    ]


def _for_holes(wanted: Gate, sizes: gate.Sizes, room: Allowed) -> tuple[Outline, ...]:
    """Return where a hole of the bracket may be: in the gate's own metal where the bracket is fixed to the jamb."""
    bracket = wanted.hinge.bracket
    return room.edges[0].within if bracket is not None and bracket.fixed_to == "jamb" and room.edges else ()


def _steps(span: float) -> tuple[int, int]:
    """Return into how many rows a range is divided for the table, whole degrees where it can be, and each of these."""
    whole = [s for s in _STEPS if span / s <= _ROWS and abs(span / s - round(span / s)) < 1e-9]
    rows = round(span / whole[0]) if whole else 6
    return rows, -(-_LOOKED_AT // rows)


def _shown(there: np.ndarray, every: int) -> range:
    """Return which of the angles looked at stand in the table: closer where only a small part of the range serves."""
    found = np.flatnonzero(there)
    if not len(found):
        return range(0, len(there), every)
    low, high = max(0, int(found[0]) - 1), min(len(there) - 1, int(found[-1]) + 1)
    apart = next(k for k in range(1, every + 1) if every % k == 0 and (k == every or high - low <= _ROWS * k))
    return range(low - low % apart, min(len(there), high + apart), apart)


def _nothing(stop: Stop, word: str, ends: tuple[float, float], sizes: gate.Sizes, said: str) -> FreeAngle:
    void = math.nan
    middle = 0.5 * (ends[0] + ends[1])
    row = AngleRow(middle, middle - gate.opening_to_level(sizes), np.full(2, void), None, void, void, void, 0, void)
    return FreeAngle(stop.name, word, *ends, False, row, (), said)


def _row(made: hinge.PivotByAngle, kind: tuple[gate.Sizes, str, list[int]], k: int | None) -> AngleRow:
    """Return one angle that was looked at, or the best one."""
    sizes, wish, numbers = kind

    def of(name: str) -> Any:
        return getattr(made, f"best_{name}") if k is None else getattr(made, name)[k]

    opening = -float(of("turn_deg"))
    pivot, score = np.array(of("pivot")), float(of("score"))
    there = bool(np.isfinite(pivot).all())
    return AngleRow(
        opening_deg=opening,
        below_level_deg=opening - gate.opening_to_level(sizes),
        pivot=pivot,
        place=gate.place(sizes, pivot) if there else None,
        forgiveness=math.nan if wish == "hole" or not there else float(of("forgiveness")),
        gap=float(of("gap")),
        off_spot=-score if wish == "near" else math.nan,
        hole=numbers[int(of("hole"))] if int(of("hole")) >= 0 else 0,
        used=-score if wish == "hole" else math.nan,
    )


def _angle(stop: Stop, row: AngleRow) -> str:
    """Return an angle the way the stop gives its range."""
    if stop.below_level_from is not None:
        return f"{row.below_level_deg:.1f}\N{DEGREE SIGN} below level"
    return f"{row.opening_deg:.1f}\N{DEGREE SIGN} open"


def _why(wanted: Gate, stop: Stop, best: AngleRow, ends: tuple[float, float], wish: str) -> str:
    """Return why this angle was taken."""
    low, high = ends
    name = wanted.hinge.bracket.name if wanted.hinge.bracket is not None else "bracket"
    because = {
        "forgiveness": f"there the hole may be off farthest with each stop landing, {best.forgiveness:.2f} mm any way",
        "gap": f"there the gap on the way is largest, {best.gap:.2f} mm",
        "near": f"there the pivot comes nearest to the spot wanted, {best.off_spot:.2f} mm from it",
        "hole": _of_hole(best, name),
    }[wish]
    said = f"'{stop.name}' was left open; it is taken at {_angle(stop, best)}: {because}"
    near_end = min(best.opening_deg - low, high - best.opening_deg) < _AT_END * (high - low)
    free = wish in {"forgiveness", "gap"} or (wish == "near" and best.off_spot > 0.005)
    return f"{said}. That is an end of the range: a wider one may do better" if near_end and free else said


def _of_hole(best: AngleRow, name: str) -> str:
    if best.used > 1.0:
        return f"no hole of the {name} serves; hole {best.hole} misses least"
    share = f"{100.0 * best.used:.0f} % of the tightest allowance used up"
    return f"there hole {best.hole} of the {name} serves best, with {share}"
