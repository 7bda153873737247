"""A drop-down gate: where its pivot goes, how it lands, what it passes on the way."""

from __future__ import annotations

import dataclasses
import functools
import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from foldswing import clearance, cure, gate, hinge, plane, tolerance, units
from foldswing._core.plane import Outline
from foldswing._values import value
from foldswing.evaluation.adjusters import AdjustingResult, Standing, evaluate_adjusters
from foldswing.evaluation.brackets import BracketResult, allowed, evaluate_bracket
from foldswing.evaluation.cures import Cure, Swung, evaluate_cures, in_words, smallest_radii, too_close
from foldswing.evaluation.findings import SAGITTA, Approach, Finding, Likely, Verdict, Wants, approaches, judge, verdict
from foldswing.evaluation.fit_advice import FitAdvice, fit_advice
from foldswing.evaluation.free_angles import FreeAngle, choose_angle, off_its_hole
from foldswing.evaluation.gate_section import (
    Asked,
    above_asked,
    asked,
    beyond,
    drop_asked,
    each_asked,
    edge_kind,
    face_kind,
    nose_kind,
    opening_asked,
    section,
    surroundings,
    with_angle,
)
from foldswing.evaluation.hardware import Hardware, bought_pivot, eared_section, evaluate_hardware
from foldswing.evaluation.openings import (
    END_GAPS,
    OpeningResult,
    ShutGap,
    coat,
    evaluate_opening,
    shut_gaps,
    with_bare_gaps,
    with_sizes,
)
from foldswing.evaluation.reliefs import ReliefResult, evaluate_reliefs
from foldswing.evaluation.seams import SeamResult, evaluate_seams
from foldswing.evaluation.stations import (
    AxisResult,
    EndResult,
    Ends,
    Hand,
    Run,
    StationResult,
    Swing,
    along,
    axis_result,
    ends,
    evaluate_stations,
    findings_along,
    in_main_section,
    landings,
    shift_findings,
)
from foldswing.evaluation.stays import StayResult, evaluate_stays
from foldswing.evaluation.windows import WindowResult, best_place, evaluate_window
from foldswing.job import Gate, Job, Stop
from foldswing.job.gates import WISHES

NO_OTHER = 0.005  # mm; gaps that print alike are alike
SWUNG_ON = 270.0  # degrees from shut; how far the gate is followed once nothing holds it

_PUT = frozenset(WISHES[2:])  # wishes that put the pivot in a place of its own
CURE = "larger radius on the corner that passes there, a wider gap, or the pivot moved"


@value
class StopResult:
    """How the gate stands at one stop; lengths mm, angles degrees.

    Attributes
    ----------
    name : str
        Of the stop.
    opening_deg : float
        Angle opened from shut; NaN where the stop cannot be reached.
    edge_drop, edge_above_floor, edge_per_degree : float
        Free edge of the inner face: below the worktop surface, above the floor, and how much one degree moves it.
    face_step, nose_gap : float or None
        Inner face above the worktop's plane, and gap to the nose, where the stop asks for them.
    level_from, level_to : float or None
        Where the inner face lies flush: from and to, outward of the wall's outer face, before rounding of corners.
    rest_gap : float or None
        Gap to the body it rests on: how thick the pad there must be.
    """

    name: str
    opening_deg: float
    edge_drop: float
    edge_above_floor: float
    edge_per_degree: float
    face_step: float | None
    nose_gap: float | None
    level_from: float | None
    level_to: float | None
    rest_gap: float | None


@value
class GateResult:
    """A gate worked out.

    Attributes
    ----------
    name, verdict, explanation : str
        Verdict is 'go', 'change this first' or 'cannot'; the explanation says how the pivot came about.
    pivot_status : str
        As hinge.solve_pivot; 'given'; or 'chosen' where the stops leave a choice.
    pivot : (2,) ndarray
        The exact pivot, section axes, mm; NaN where there is none.
    place : gate.Place or None
        The exact pivot's distances from real faces.
    free_angle : FreeAngle or None
        How the angle of a stop that left it open was found, and the pivot over the range.
    bracket : BracketResult or None
        What the hole must be in where the job says so, and the metal it keeps round it.
    hardware : Hardware or None
        Pins, metal round the holes, what fills the end gap.
    marks, holes : gate.Marks and gate.Holes, or None
        What is marked and drilled: both holes rounded together to the ruler. All below is worked out from them.
    exact_step, rounded_step : float
        Worst step of the inner face at the stops that ask for it, with the exact pivot and with the marks as rounded.
    width, height : float
        Of the gate, mm.
    opening : OpeningResult
        The opening, and what the gate is cut to.
    sizes : gate.Sizes
        What the section was built from.
    stops, gaps, closest, stations : tuples
        How it stands at each stop, gaps shut, closest approaches by body and leg, and places along the hinge; none
        where one section says it all.
    stays : StayResult or None
        Lengths, hooks and loads of what holds it open.
    adjusting : AdjustingResult or None
        What its adjusters recover at each stop.
    seams : tuple of SeamResult
        How even the gaps run along the edges known from more than one place.
    reliefs : tuple of ReliefResult
        What would come off a fixed part, or off the gate, where it passes too close.
    axis : AxisResult or None
        Where left and right ask for different pivots: the axis through both. Sizes, pivot, marks, holes and what
        follows from them are then those of the left end.
    smallest_radii : cure.Radii or None
        Smallest lower corner radii that leave every moving gap wanted, bodies it rests on left out.
    cures : tuple of Cure
        What would cure approaches that are too close.
    square : tuple of Approach
        Closest approaches that would be closer if every corner were left square.
    window : WindowResult or None
        Where the pivot may be drilled; in the main section, or that of the left end where there is an axis.
    right_window : WindowResult or None
        The same at the right end, where there is an axis.
    swung_on : tuple of (body, opening_deg)
        What it would hit if nothing held it at the last stop, the first hit first.
    advice : FitAdvice
        How often to read after the first fit, and what the drill alone leaves.
    findings : tuple of Finding
        What is wrong.
    """

    name: str
    verdict: Verdict
    explanation: str
    pivot_status: str
    pivot: np.ndarray
    place: gate.Place | None
    free_angle: FreeAngle | None
    bracket: BracketResult | None
    hardware: Hardware | None
    marks: gate.Marks | None
    holes: gate.Holes | None
    exact_step: float
    rounded_step: float
    width: float
    height: float
    opening: OpeningResult
    sizes: gate.Sizes
    stops: tuple[StopResult, ...]
    gaps: tuple[ShutGap, ...]
    closest: tuple[Approach, ...]
    smallest_radii: cure.Radii | None
    cures: tuple[Cure, ...]
    square: tuple[Approach, ...]
    stations: tuple[StationResult, ...]
    axis: AxisResult | None
    window: WindowResult | None
    right_window: WindowResult | None
    swung_on: tuple[tuple[str, float], ...]
    stays: StayResult | None
    adjusting: AdjustingResult | None
    seams: tuple[SeamResult, ...]
    reliefs: tuple[ReliefResult, ...]
    advice: FitAdvice
    findings: tuple[Finding, ...]

    def end_at(self, hand: Hand) -> EndResult | GateResult:
        """Return what holds the section and the holes of an end: both ends alike, or each its own on an axis."""
        if self.axis is None:
            return self
        return self.axis.left if hand == "left" else self.axis.right

    def window_at(self, hand: Hand) -> WindowResult | None:
        """Return the window that holds at the left or the right end."""
        return self.window if self.axis is None or hand == "left" else self.right_window


class Solved(NamedTuple):
    """Where the pivot goes, how that came about, and what was asked of it."""

    status: str
    pivot: np.ndarray
    explanation: str
    asked: Asked


def _solve(wanted: Gate, sizes: gate.Sizes) -> Solved:
    nowhere = np.full(2, math.nan)
    h = wanted.hinge
    stops = asked(wanted, sizes)
    if h.pivot_from_inner_face is not None:
        at = gate.pivot_at(sizes, h.pivot_from_inner_face, h.pivot_below_worktop)
        return Solved("given", at, "The pivot was given; it is checked, not worked out.", stops)
    bought = bought_pivot(wanted, sizes)
    if bought is not None:
        return Solved("given", bought, "The pivot is the bought hinge's pin; it is checked, not worked out.", stops)
    if not stops.all:
        said = "No stop says how the gate must land, so any pivot would do: give a stop 'face' or 'nose_gap'."
        return Solved("any", nowhere, said, stops)
    solved = hinge.solve_pivot(stops.all)
    more = _nose_kept(wanted, sizes) if solved.status == "line" else None
    if more is not None:
        both = Asked(stops.faces, [*stops.others, more[1]], [*stops.all, more[1]])
        kept = hinge.solve_pivot(both.all)
        if kept.status == "point" or not stops.limits:  # else the limit decides
            said = f"The stops leave a line of pivots; the nose gap shut is kept at '{more[0]}' too."
            # beside a limit the gap shut only decides among pivots that all do: it narrows no window
            every = stops.all if stops.limits else both.all
            return Solved(kept.status, kept.pivot, f"{said} {kept.explanation}", both._replace(all=every))
    return Solved(solved.status, solved.pivot, solved.explanation, stops)


def _choose(wanted: Gate, sizes: gate.Sizes, solved: Solved, among: tuple[dict[str, plane.Path], Wants]) -> Solved:
    """Return the pivot that forgives most where limits leave a choice of pivots that all do."""
    around, wants = among
    openings = [opening for stop in wanted.stop if (opening := opening_asked(stop, sizes)) is not None]
    passed = {name: path for name, path in around.items() if name not in {stop.rests_on for stop in wanted.stop}}
    if not allowed(wanted, sizes, None).within:
        return solved
    found = best_place(wanted, sizes, solved.asked.all, (max(openings), passed, wants))
    if found.status == "none":
        said = f"The stops leave a choice of pivots, but none of them is in the gate: {found.explanation}"
        return solved._replace(status="none", explanation=said)
    if not np.isfinite(found.best_pivot).all():
        return solved
    said = (
        "The stops leave a choice of pivots, for some of what they ask are limits: this is the place where the hole "
        f"may be off farthest any way, {found.forgiveness:.2f} mm."
    )
    return solved._replace(status="chosen", pivot=found.best_pivot, explanation=said)


def _nose_kept(wanted: Gate, sizes: gate.Sizes) -> tuple[str, hinge.Landing] | None:
    """Return the stop at which the nose gap shut may be kept too, and that as a landing."""
    if wanted.gaps.nose is None:
        return None
    for stop in wanted.stop:
        opening = opening_asked(stop, sizes)
        if stop.face is not None and (stop.nose_gap is None or nose_kind(stop) != "on") and opening is not None:
            return stop.name, gate.nose_gap_landing(sizes, opening, wanted.gaps.nose, tolerance=stop.within)
    return None


def _stops(
    wanted: Gate, sizes: gate.Sizes, holes: gate.Holes, panel: Outline, bodies: dict[str, Outline]
) -> tuple[list[StopResult], list[Finding]]:
    out: list[StopResult] = []
    findings: list[Finding] = []
    for stop in wanted.stop:
        opening = opening_asked(stop, sizes)
        drop = drop_asked(stop, sizes)
        if opening is None and drop is not None:
            opening = gate.opening_to_drop(sizes, holes, drop)
        if opening is None or math.isnan(opening):
            text = f"Stop '{stop.name}' cannot be reached"
            findings.append(
                Finding(
                    text,
                    f"{drop:.1f} mm below the worktop",
                    "the free edge never comes to that height",
                    "another height, or the stop given as an angle",
                    True,
                )
            )
            continue
        now = gate.opened(sizes, holes, opening)
        rest = None
        if stop.rests_on in bodies:
            rest = plane.distance(panel.moved(gate.pose(holes, opening)), bodies[stop.rests_on]).distance
        out.append(
            StopResult(
                stop.name,
                opening,
                now.edge_drop,
                now.edge_above_floor,
                now.edge_per_degree,
                now.face_step if stop.face is not None else None,
                now.nose_gap if stop.nose_gap is not None else None,
                float(now.face_from[0]) if stop.face is not None else None,
                float(now.face_to[0]) if stop.face is not None else None,
                rest,
            )
        )
        findings += _misses(stop, now, drop)
    return sorted(out, key=lambda s: s.opening_deg), findings


def _misses(stop: Stop, now: gate.Opened, drop: float | None) -> list[Finding]:
    """Return what a stop asks for and does not get."""
    asked: list[tuple[str, str, float, str]] = []
    past = " past its limit"
    if stop.face is not None:
        feel = "a step: things catch on the joint"
        asked.append(("Inner face", face_kind(stop), now.face_step - above_asked(stop), feel))
    if stop.nose_gap is not None:
        feel = "an uneven gap, or it binds"
        asked.append(("Gap to the nose", nose_kind(stop), now.nose_gap - stop.nose_gap, feel))
    if drop is not None:
        asked.append(("Free edge", edge_kind(stop), drop - now.edge_drop, "it stands at another height than wanted"))
    return [
        Finding(
            f"{what} is out at '{stop.name}'",
            f"{abs(beyond(kind, miss)):.2f} mm{past if kind != 'on' else ''}; {stop.within:.2f} mm allowed",
            feel,
            "move the pivot, mark with a finer ruler, or allow more there",
            True,
        )
        for what, kind, miss, feel in asked
        if abs(beyond(kind, miss)) > stop.within + 1e-9 * max(1.0, abs(now.edge_drop))  # rounding of its own arithmetic
    ]


def _counted(landings: Sequence[hinge.Landing], pivot: np.ndarray, step: float) -> list[hinge.Landing]:
    """Return the landings that a rounding of the marks can spoil: sizes, and limits at which the pivot stands."""
    misses = [(landing, float(landing.miss(pivot))) for landing in landings]
    return [ln for ln, miss in misses if ln.kind == "on" or abs(miss) <= step or beyond(ln.kind, miss) != 0.0]


def _rounded(solved: Solved, sizes: gate.Sizes, step: float) -> gate.RoundedMarks:
    faces = _counted(solved.asked.faces, solved.pivot, step)
    others = _counted(solved.asked.others, solved.pivot, step)
    return gate.round_marks(sizes, solved.pivot, faces=faces, others=others, step=step)


def _one_pivot(wanted: Gate, sizes: gate.Sizes) -> np.ndarray | None:
    """Return the pivot the stops ask for in a section, if they ask for one."""
    solved = _solve(wanted, sizes)
    return solved.pivot if solved.status == "point" else None


def _marked(wanted: Gate, sizes: gate.Sizes, pivot: np.ndarray, step: float) -> tuple[gate.Marks, gate.Holes]:
    """Return the marks of a pivot in a section, rounded to the ruler, and the holes so marked."""
    marks = _rounded(_solve(wanted, sizes)._replace(pivot=pivot), sizes, step).marks
    return marks, gate.holes(sizes, marks)


def evaluate_gate(wanted: Gate, job: Job, *, marks: gate.Marks | None = None, likely_errors: bool = True) -> GateResult:
    """Work out one gate of a job.

    Parameters
    ----------
    wanted : Gate
        As measured and wanted.
    job : Job
        For paint.
    marks : gate.Marks or None
        Where the holes are marked already; None to work it out.
    likely_errors : bool
        Whether to reckon what likely errors leave of every gap, which takes most of the time.

    Returns
    -------
    GateResult
        Verdict 'cannot' with an explanation where no pivot does what the stops ask.

    Raises
    ------
    InvalidInput
        When the sizes make no gate, such as radii that do not fit on its edge.
    """
    given = _set_up(wanted, job)
    wanted, cut, sizes, solved = given.wanted, given.cut, given.sizes, given.solved
    goes_in = not math.isnan(cut.width)
    decided = solved.status in {"point", "given", "chosen"}
    rounded = _rounded(solved, sizes, given.step) if decided and marks is None else None
    marked = rounded.marks if rounded else marks
    holes = gate.holes(sizes, marked) if marked else None
    cross = eared_section(wanted, sizes, holes) if holes else gate.panel(sizes)
    hung = cross.moved(gate.pose(holes, 0.0)) if holes else cross
    gaps, findings = shut_gaps(wanted, cut, hung.outline(SAGITTA), given.bodies, given.wants) if goes_in else ((), [])
    findings += cut.findings
    undecided = GateResult(
        name=wanted.name,
        verdict="cannot" if solved.status == "none" else "change this first",
        explanation=solved.explanation,
        pivot_status=solved.status,
        pivot=solved.pivot,
        place=None,
        free_angle=given.free,
        bracket=None,
        hardware=None,
        marks=marked,
        holes=holes,
        exact_step=max((abs(beyond(f.kind, float(f.miss(solved.pivot)))) for f in solved.asked.faces), default=0.0),
        rounded_step=rounded.face_step if rounded else math.nan,
        width=cut.width,
        height=cut.height,
        opening=cut,
        sizes=sizes,
        stops=(),
        gaps=gaps,
        closest=(),
        smallest_radii=None,
        cures=(),
        square=(),
        stations=(),
        axis=None,
        window=None,
        right_window=None,
        swung_on=(),
        stays=None,
        adjusting=None,
        seams=evaluate_seams(wanted, cut, ()),
        reliefs=(),
        advice=fit_advice(job.errors, [a.landing.turn_deg for a in each_asked(wanted, sizes)]),
        findings=tuple(findings),
    )
    if not goes_in:
        return dataclasses.replace(undecided, verdict="cannot")
    if holes is None:
        stuck = _undecided(solved.status, solved.explanation, left_open=given.free is not None)
        return dataclasses.replace(undecided, findings=(stuck, *findings))
    place = gate.place(sizes, solved.pivot)
    stops, missed = _stops(wanted, sizes, holes, cross.outline(SAGITTA), given.bodies)
    end_gap = min(g.bare for g in gaps if g.name in END_GAPS)
    hardware, wrong = evaluate_hardware(wanted, gate.place(sizes, holes.gate), holes.jamb, end_gap, given.bodies)
    tilted = given.tilted
    both = [holes] if tilted is None else [tilted.left.holes, tilted.right.holes]
    bracket, too_near = evaluate_bracket(wanted, sizes, both)
    findings += missed + wrong + too_near + off_its_hole(given.free, wanted, holes)
    if not stops:
        return dataclasses.replace(undecided, verdict="cannot", place=place, bracket=bracket, findings=tuple(findings))
    done = dataclasses.replace(
        undecided, place=place, bracket=bracket, hardware=hardware, stops=tuple(stops), findings=tuple(findings)
    )
    return _swung(given, done, holes, hung, likely_errors=likely_errors)


class Given(NamedTuple):
    """What a gate is worked out from, once: its sizes, what stands round it, and what is asked of the pivot."""

    wanted: Gate
    job: Job
    cut: OpeningResult
    sizes: gate.Sizes
    step: float  # of the ruler
    run: Run | None
    tilted: Ends | None
    around: dict[str, plane.Path]
    bodies: dict[str, Outline]
    wants: Wants
    solved: Solved
    free: FreeAngle | None


def _set_up(wanted: Gate, job: Job) -> Given:
    wanted = with_bare_gaps(wanted, job)
    cut = evaluate_opening(wanted, job)
    if not math.isnan(cut.width):
        wanted = with_sizes(wanted, cut)
    stated = section(wanted)
    step = units.ruler_step(job.sheet_ruler)
    free = choose_angle(wanted, stated, surroundings(wanted, stated))
    if free is not None:
        wanted = with_angle(wanted, free.stop, free.best.opening_deg)
    run = along(wanted, stated)
    # a pivot that was put on a hole, or nearest to a spot, stays there: one axis square to the jambs
    kept = free is not None and free.wish in _PUT
    own = None if kept else run
    tilted = ends(own, lambda at: _one_pivot(wanted, at), lambda at, pivot: _marked(wanted, at, pivot, step))
    sizes = tilted.left.sizes if tilted else stated
    around = surroundings(wanted, sizes)
    bodies = {name: path.outline(SAGITTA) for name, path in around.items()}
    wants = _wants(wanted, job, bodies)
    solved = _solve(wanted, sizes)
    if free is None and solved.status in {"line", "any"} and solved.asked.limits:
        solved = _choose(wanted, sizes, solved, (around, wants))
    if free is not None:
        status = "chosen" if free.found else "none"
        solved = Solved(status, free.best.pivot, f"{free.explanation}.", solved.asked)
    if tilted:
        said = "Left and right ask for different pivots: one straight axis is drawn through both."
        solved = solved._replace(pivot=tilted.left.pivot, explanation=f"{said} {solved.explanation}")
    return Given(wanted, job, cut, sizes, step, run, tilted, around, bodies, wants, solved, free)


def _swung(given: Given, done: GateResult, holes: gate.Holes, hung: plane.Path, *, likely_errors: bool) -> GateResult:
    """Return the result with what the gate passes on its way from stop to stop, here and along the hinge."""
    wanted, sizes, wants, stops, run, tilted = (
        given.wanted,
        given.sizes,
        given.wants,
        done.stops,
        given.run,
        given.tilted,
    )
    shut = hung.outline(SAGITTA)
    findings = list(done.findings)
    travel = _travel(holes, stops)
    elsewhere = {b.name for b in wanted.body if not in_main_section(b, run, sizes, tilted)}
    near = {name: body for name, body in given.bodies.items() if name not in elsewhere}
    likely = functools.partial(_likely, wanted, given.job, wants=wants) if likely_errors else None
    errors = likely(hung, given.around) if likely else None
    closest = approaches(shut, near, travel.motion, travel.marks, wants, likely=errors)
    left_square = approaches(
        Outline(gate.corners(sizes)).moved(gate.pose(holes, 0.0)), near, travel.motion, travel.marks, wants
    )
    square = [
        s for s, c in zip(left_square, closest, strict=True) if (s.bare, -s.depth) < (c.bare - NO_OTHER, -c.depth)
    ]
    resting = {(stop.rests_on, at.name) for stop in wanted.stop for at in stops if at.name == stop.name}
    passing = [a for a in closest if (a.body, a.leg.rpartition(" to ")[2]) not in resting]
    swung = Swung(sizes, holes, shut, stops[-1].opening_deg, given.solved.asked.faces)
    kept = {name: body for name, body in near.items() if name not in {rest for rest, _ in resting}}
    radii = smallest_radii(swung, kept, wants)
    tight = [row for row in passing if row.body in kept and too_close(row)]
    cures = evaluate_cures(swung, kept, wants, radii, tight)
    reliefs, undrawn = evaluate_reliefs(hung, given.around, holes.jamb, stops[-1].opening_deg, tight)
    findings += judge(passing, in_words(cures, CURE)) + undrawn
    for row in closest:
        stop = next((s for s in wanted.stop if (row.body, row.leg.rpartition(" to ")[2]) == (s.rests_on, s.name)), None)
        if stop is not None and row.depth > stop.within:
            met = clearance.minimum_gap(shut, given.bodies[row.body], travel.motion)
            findings.append(_stops_early(row, stop.name, met, travel.motion))
    passed = {name: given.around[name] for name in kept}
    asked = given.solved.asked.all
    window = evaluate_window(wanted, sizes, asked, holes, (stops[-1].opening_deg, passed, wants))
    right_window = None
    if tilted is not None:
        there = surroundings(wanted, tilted.right.sizes)
        right_window = evaluate_window(
            wanted,
            tilted.right.sizes,
            _solve(wanted, tilted.right.sizes).asked.all,
            tilted.right.holes,
            (stops[-1].opening_deg, {name: there[name] for name in kept}, wants),
        )
    places: tuple[StationResult, ...] = ()
    axis = None
    if run is not None:
        opened = {s.name: s.opening_deg for s in stops}
        swing = Swing(
            sorted(((s, opened[s.name]) for s in wanted.stop if s.name in opened), key=lambda at: at[1]),
            travel.marks,
            travel.landed_deg,
            wants,
        )
        places = evaluate_stations(wanted, run, tilted.holes if tilted else lambda _: holes, swing, likely)
        findings += findings_along((landings(sizes, holes, swing.stops), closest), places, resting)
        if tilted is not None:
            end = min((g for g in done.gaps if g.name in END_GAPS), key=lambda g: g.painted)
            axis = axis_result(run, tilted, [(s.name, s.opening_deg) for s in stops], end.bare)
            findings += shift_findings(axis, end.painted)
    stays, sagging = evaluate_stays(wanted, sizes, holes, [(s.name, s.opening_deg) for s in stops], near)
    findings += sagging
    standing = Standing(sizes, holes, shut, {s.name: s.opening_deg for s in stops}, near)
    adjusting, unset = evaluate_adjusters(wanted, given.job.errors, standing)
    findings += unset
    return dataclasses.replace(
        done,
        verdict=verdict(findings),
        closest=closest,
        smallest_radii=radii,
        cures=cures,
        square=tuple(square),
        stations=places,
        axis=axis,
        window=window,
        right_window=right_window,
        swung_on=tuple(_swung_on(shut, given.bodies, holes.jamb, stops[-1].opening_deg)),
        stays=stays,
        adjusting=adjusting,
        seams=evaluate_seams(wanted, given.cut, places, sill=next(g.bare for g in done.gaps if g.name == "sill")),
        reliefs=reliefs,
        findings=tuple(findings),
    )


def _wants(wanted: Gate, job: Job, bodies: Mapping[str, Outline]) -> Wants:
    """Return what paint takes off the gap to each body, and the gap wanted to it on the way."""
    film = coat(job)
    unpainted = {b.name for b in wanted.body if not b.painted}
    own = {b.name: b.moving_gap for b in wanted.body if b.moving_gap is not None}
    return Wants(
        {name: film if name in unpainted else 2.0 * film for name in bodies},
        {name: own.get(name, wanted.gaps.moving) for name in bodies},
    )


def _likely(wanted: Gate, job: Job, panel: plane.Path, around: Mapping[str, plane.Path], *, wants: Wants) -> Likely:
    """Return what likely errors are reckoned from.

    Heights are measured from the worktop and distances from the wall's outer face: what lies in one of these is out
    the other way only.
    """
    measured = job.errors.measured
    out = {"worktop nose": (measured, 0.0), "sill": (0.0, measured), "head": (0.0, measured)}
    bodies = {
        name: tolerance.Obstacle(path, *out.get(name, (measured, measured)), contact=wants.paint[name])
        for name, path in around.items()
    }
    return Likely(panel, bodies, job.errors.hole, "together" if wanted.hinge.drilled == "together" else "apart")


def _undecided(status: str, explanation: str, *, left_open: bool) -> Finding:
    said = {"none": "no pivot meets every stop", "line": "a whole line of pivots would do", "any": "any pivot would do"}
    cure = "change the stops, their allowance, or give the pivot"
    if left_open:
        cure = "a wider range for the angle, more allowance at the stops, or other things asked of them"
    return Finding(
        "The pivot is not decided by the stops", said[status], explanation.rstrip("."), cure, stops_work=True
    )


class Travel(NamedTuple):
    """The motion from shut to the last stop, where on it the stops are, and the opening at which the face lands.

    The motion turns the gate about the jamb's hole from where it hangs shut: shifted by what the two holes differ.
    """

    holes: gate.Holes
    motion: hinge.PivotHinge
    marks: list[tuple[str, float]]
    landed_deg: float


def _travel(holes: gate.Holes, stops: Sequence[StopResult]) -> Travel:
    motion = hinge.PivotHinge(holes.jamb, 0.0, -stops[-1].opening_deg)
    marks = [("shut", 0.0), *((s.name, motion.s_at_turn(-s.opening_deg)) for s in stops)]
    return Travel(holes, motion, marks, next((s for s in stops if s.face_step is not None), stops[0]).opening_deg)


def _stops_early(row: Approach, stop: str, met: clearance.Gap, motion: hinge.PivotHinge) -> Finding:
    """Return what is to be said of a body that holds the gate before the stop at which it is to rest there."""
    at = f"{abs(motion.turn_at(met.at)):.1f}\N{DEGREE SIGN}"
    return Finding(
        f"It comes to rest on the {row.body} before '{stop}'",
        f"at {at} open; at '{stop}' it would stand {row.depth:.1f} mm deep in it",
        "it stops short, its free edge too high",
        f"the {row.body} farther away, with a pad's room between, or the stop where it comes to rest: {at}",
        stops_work=True,
    )


def _swung_on(shut: Outline, bodies: Mapping[str, Outline], pivot: np.ndarray, last: float) -> list[tuple[str, float]]:
    """Return what the gate hits beyond its last stop if nothing holds it, the first first."""
    if last >= SWUNG_ON:
        return []
    onward = hinge.PivotHinge(pivot, -last, -SWUNG_ON)
    found = {name: clearance.minimum_gap(shut, body, onward) for name, body in bodies.items()}
    hits = [(name, abs(onward.turn_at(gap.at))) for name, gap in found.items() if gap.gap == 0.0]
    return sorted(hits, key=lambda hit: hit[1])
