"""A gate after its first fit: both holes as built at each end, what to move, what will be left."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np

from foldswing import fitting, gate, hinge
from foldswing._core import InvalidInput
from foldswing._values import value
from foldswing.evaluation.fit_advice import WITHIN, average, fit_advice
from foldswing.evaluation.gate_section import (
    each_asked,
    limit_words,
    of_kind,
    opening_by_tilt,
    section,
    signed,
    with_angle,
)
from foldswing.evaluation.gates import GateResult, evaluate_gate
from foldswing.evaluation.openings import with_bare_gaps, with_sizes
from foldswing.evaluation.reach import (
    STILL,
    Ask,
    Beyond,
    OutOfReach,
    beyond_reach,
    corrected_by,
    out_of_reach,
    slots,
)
from foldswing.evaluation.stations import along
from foldswing.evaluation.true_pivot import (
    Doubt,
    Drawn,
    PivotFound,
    Place,
    Poses,
    compared,
    from_poses,
    from_trace,
    read_poses,
    turned,
    wrong_poses,
)
from foldswing.job import Gate, Job
from foldswing.job.first_fit import FirstFitFile, MeasuredAgain, SideReadings
from foldswing.job.keys import keys_of, listed, nearest

PACKING = 0.1  # mm; how true a gate is packed up shut, one standard deviation; common practice, no source
_HOW = {
    "drilling": ("body", "panel", "both", "together"),
    "adjuster on the jamb": ("body",),
    "adjuster on the gate": ("panel",),
    "adjusters on both": ("body", "panel", "both"),
}
_EDGE_OF = {"nose_gap": 0, "sill_gap": 1, "head_gap": 2}  # edges whose place was measured with the tape
_TOTAL = {"face": "step of the inner face", "nose gap": "gap to the nose", "edge": "height of the free edge"}


@value
class ReadAtFit:
    """One size that was read.

    Attributes
    ----------
    path, stop, words : str
        Its place in the file; 'shut' or the stop's name; what it is.
    values : tuple of float
        Readings, mm, as read.
    off : float
        Mean reading less what the holes found say, mm.
    checked : bool
        Whether other readings check it.
    noticed : float
        Smallest error of this size that would be noticed, mm; infinite where nothing checks it.
    suspect : bool
        Whether it looks wrong, or cannot be told from one that does.
    error : float
        How far one reading of it is usually out, mm.
    """

    path: str
    stop: str
    words: str
    values: tuple[float, ...]
    off: float
    checked: bool
    noticed: float
    suspect: bool
    error: float


@value
class Afterwards:
    """One thing that must be true: how it is now and how it will be; mm.

    Attributes
    ----------
    stop, words : str
        Where, and what.
    wanted, within : float
        What is wanted, and how far it may be out.
    limit : str
        'or more', 'or less', 'or higher' or 'or lower' where what is wanted is a limit; else empty.
    now, then : float
        As it is by the holes found, and as it will be after the move.
    give_or_take : float
        19 in 20 come out within this of `then`; infinite where the readings do not tell.
    """

    stop: str
    words: str
    wanted: float
    within: float
    limit: str
    now: float
    then: float
    give_or_take: float


@value
class SideFit:
    """One end of the gate.

    Attributes
    ----------
    end : str
        'left end' or 'right end'.
    fit : fitting.HolesFit or None
        Both holes as built, without what looks wrong; None where a trace alone was read, or the poses tell no pivot.
    readings : tuple of ReadAtFit
        All that was read, in file order.
    left_out : tuple of str
        Paths of readings that look wrong and were left out.
    left_out_by : float
        How far it is off, mm; NaN where nothing looks wrong.
    not_sure : bool
        Whether several look equally wrong; then none is left out.
    move : fitting.Move or None
        What is advised; None where the holes are not told.
    moves : tuple of fitting.Move
        All that are open, 'none' first.
    after : tuple of Afterwards
        What the move leaves.
    once : tuple of str
        Fixed edges that were not measured again: 'nose', 'sill', 'head'.
    pivots : tuple of PivotFound
        Where the pivot is by poses and by a trace, where these were read.
    out_of_reach : tuple of OutOfReach
        What a slot lacks for every stop and gap to come right; `move` is the best it does.
    beyond : tuple of Beyond
        What the move asks that the job's eccentric bushes, or several adjusters of one hole, do not reach.
    """

    end: str
    fit: fitting.HolesFit | None
    readings: tuple[ReadAtFit, ...]
    left_out: tuple[str, ...]
    left_out_by: float
    not_sure: bool
    move: fitting.Move | None
    moves: tuple[fitting.Move, ...]
    after: tuple[Afterwards, ...]
    once: tuple[str, ...]
    pivots: tuple[PivotFound, ...] = ()
    out_of_reach: tuple[OutOfReach, ...] = ()
    beyond: tuple[Beyond, ...] = ()

    @property
    def right(self) -> bool:
        """Whether nothing is to be moved, nothing looks wrong, and no two ways of reading contradict each other."""
        if any(r.suspect for r in self.readings) or not all(p.right for p in self.pivots):
            return False
        if self.move is not None:
            return self.move.which == "none" and not self.out_of_reach
        return all(np.hypot(*(p.pivot - p.drawn)) <= WITHIN for p in self.pivots)


@value
class FirstFitResult:
    """A gate after its first fit.

    Attributes
    ----------
    gate : str
        Its name.
    sides : tuple of SideFit
        The ends that were read.
    pair : fitting.Pair or None
        How far the two ends are out of line, where both were read.
    bush_length : float
        Taken for the clearance that hides it, mm.
    average : int
        How many readings of a size are worth averaging before a hole is moved; of those read too seldom, the most.
    few : int
        Fewest readings there are of these; as many as `average` where all were read often enough.
    ceiling : float or None
        Share of gates that can land right where one hole is drilled through both, 0 to 1; by the drill alone. None
        where no stop asks anything.
    corrected_by : str
        As the file says; where it says nothing, by the job's adjusters, else by drilling.
    """

    gate: str
    sides: tuple[SideFit, ...]
    pair: fitting.Pair | None
    bush_length: float
    average: int
    few: int
    ceiling: float | None
    corrected_by: str

    @property
    def right(self) -> bool:
        """Whether nothing is to be moved and nothing looks wrong."""
        return all(s.right for s in self.sides)


class _End(NamedTuple):
    """The section at one end, the holes as drawn there, and the stops' turns from shut."""

    sizes: gate.Sizes
    holes: gate.Holes
    openings: dict[str, float]
    edges: tuple[fitting.Measured, ...]  # how far nose, sill and head lie beyond where they are drawn


def chosen_gate(job: Job, name: str | None) -> Gate:
    """Return the gate that was fitted.

    Raises
    ------
    InvalidInput
        When the job has none of that name, or several and none is named.
    """
    names = [g.name for g in job.gate]
    if name is None and len(names) == 1:
        return job.gate[0]
    if not names:
        raise InvalidInput("gate: the job has no gate; a first fit is worked out for gates")
    if name is None:
        raise InvalidInput(f"gate: say which, there is {listed([repr(n) for n in names], 'and')}")
    if name not in names:
        there = f"; there is {listed([repr(n) for n in names], 'and')}"
        raise InvalidInput(f"gate must be one of the job, got {name[:80]!r}{nearest(name, names) or there}")
    return job.gate[names.index(name)]


def _edges_found(
    sizes: gate.Sizes, side: SideReadings, file: FirstFitFile, path: str, error: float
) -> tuple[fitting.Measured, ...]:
    """Return how far each edge lies beyond where it is drawn, toward the gate; measured again or not."""
    drawn = {
        "nose_behind_wall": sizes.nose_behind_wall,
        "sill_below_worktop": sizes.sill_below_worktop - sizes.worktop_drop,
        "head_above_worktop": sizes.head_above_worktop + sizes.worktop_drop,
    }
    out = []
    for name, before in drawn.items():
        mean = getattr(side.again, name) if side.again is not None else None
        if mean is None:
            out.append(fitting.Measured(0.0, error))
            continue
        # All three are measured away from the gate: a larger size is an edge farther off.
        readings = [before - size for size in file.several.get(f"{path}.again.{name}", (mean,))]
        out.append(fitting.measured_again(0.0, error, readings, file.fit.reading_error))
    return tuple(out)


def _end(wanted: Gate, job: Job, result: GateResult, file: FirstFitFile, number: int) -> _End:
    """Return the section at an end; where left and right have pivots of their own, with its own holes."""
    side = file.fit.side[number]
    right = side.end == "right end"
    holes: gate.Holes | None
    if result.axis is not None:
        there = result.end_at("right" if right else "left")
        sizes, holes = there.sizes, there.holes
    else:
        run = along(wanted, section(wanted))
        sizes = result.sizes if run is None else run.sizes(run.width if right else 0.0)
        holes = result.holes
    if holes is None:
        raise InvalidInput(f"gate '{wanted.name}' has no pivot yet: {result.explanation}")
    edges = _edges_found(sizes, side, file, f"side[{number + 1}]", job.errors.measured)
    return _End(sizes, holes, {s.name: s.opening_deg for s in result.stops}, edges)


class _Edges(NamedTuple):
    """Where the shut gate's gaps are read: point, normal, offset of nose, sill and head."""

    nose: hinge.Landing
    sill: hinge.Landing
    head: hinge.Landing


def _edges(sizes: gate.Sizes) -> _Edges:
    lower_inner, lower_outer, upper_outer, upper_inner = gate.corners(sizes)
    nose_x, nose_y = -sizes.nose_behind_wall, -sizes.worktop_drop
    face = upper_inner - lower_inner
    by_nose = lower_inner + (nose_y - lower_inner[1]) / face[1] * face
    below = min((lower_inner, lower_outer), key=lambda p: float(p[1]))
    top = max((upper_inner, upper_outer), key=lambda p: float(p[1]))
    return _Edges(
        hinge.Landing(0, by_nose, (1, 0), nose_x),
        hinge.Landing(0, below, (0, 1), -sizes.sill_below_worktop),
        hinge.Landing(0, top, (0, -1), -sizes.head_above_worktop),
    )


def _places(side: SideReadings, at: _End, file: FirstFitFile, path: str) -> Iterator[Place]:
    """Yield what was read at one end."""
    several, fine = file.several, file.fit.gap_error

    def values(where: str, mean: float, sign: float = 1.0, base: float = 0.0) -> tuple[float, ...]:
        return tuple(base + sign * v for v in several.get(where, (mean,)))

    if side.shut is not None:
        edges = _edges(at.sizes)
        for name, words, line in (
            ("nose_gap", "gap to the nose", edges.nose),
            ("sill_gap", "gap to the sill", edges.sill),
            ("head_gap", "gap to the head", edges.head),
        ):
            mean = getattr(side.shut, name)
            if mean is not None:
                here = f"{path}.shut.{name}"
                yield Place(here, 0, "shut", words, line, values(here, mean), _EDGE_OF[name], fine)
    for i, stop in enumerate(side.stop):
        here = f"{path}.stop[{i + 1}]"
        opening = at.openings[stop.name]
        if stop.face_step is not None:
            where = f"{here}.face_step"
            line = gate.face_landing(at.sizes, opening, 0.0)
            sign = signed(1.0, stop.face or "proud", "proud")
            yield Place(where, i + 1, stop.name, "step of the inner face", line, values(where, stop.face_step, sign))
        if stop.nose_gap is not None:
            where = f"{here}.nose_gap"
            line = gate.nose_gap_landing(at.sizes, opening, 0.0)
            yield Place(
                where,
                i + 1,
                stop.name,
                "gap to the nose",
                line,
                values(where, stop.nose_gap),
                _EDGE_OF["nose_gap"],
                fine,
            )
        line = gate.edge_landing(at.sizes, opening, 0.0)
        if stop.edge_drop is not None:
            where = f"{here}.edge_drop"
            yield Place(
                where, i + 1, stop.name, "free edge below the worktop", line, values(where, stop.edge_drop, -1.0)
            )
        if stop.edge_above_floor is not None:
            where = f"{here}.edge_above_floor"
            base = -at.sizes.worktop_above_floor + at.sizes.worktop_drop
            yield Place(
                where,
                i + 1,
                stop.name,
                "free edge above the floor",
                line,
                values(where, stop.edge_above_floor, 1.0, base),
            )


def _stops(side: SideReadings, at: _End, file: FirstFitFile, path: str) -> list[fitting.Stop]:
    """Return shut, and each stop with its turn as the angle finder read it, or to be found."""
    out = [fitting.Stop(0.0)]
    for i, stop in enumerate(side.stop):
        if stop.name not in at.openings:
            raise InvalidInput(
                f"{path}.stop[{i + 1}].name must be a stop of the job, got {stop.name[:80]!r}"
                f"{nearest(stop.name, at.openings)}"
            )
        if stop.tilt is None:
            out.append(fitting.Stop(-at.openings[stop.name], math.inf))
            continue
        times = len(file.several.get(f"{path}.stop[{i + 1}].tilt", (stop.tilt,)))
        out.append(fitting.Stop(-opening_by_tilt(at.sizes, stop.tilt, stop.falls), file.fit.angle_error / times**0.5))
    return out


class _Target(NamedTuple):
    stop: str
    words: str
    wanted: float
    landing: hinge.Landing
    edge: int | None
    limit: str = ""


def _targets(wanted: Gate, at: _End) -> list[_Target]:
    """Return what must be true: gaps shut, and what the stops ask; the wanted figure as it would be read."""
    drawn = _edges(at.sizes)
    shut = at.holes.jamb - at.holes.gate
    out = []
    for edge, (words, line, gap) in enumerate(
        (
            ("gap to the nose", drawn.nose, wanted.gaps.nose),
            ("gap to the sill", drawn.sill, wanted.gaps.sill),
            ("gap to the head", drawn.head, wanted.gaps.head),
        )
    ):
        as_drawn = float(np.dot(line.normal, line.point + shut)) - line.offset
        asks = gap if gap is not None and abs(gap - as_drawn) <= WITHIN else as_drawn
        landing = hinge.Landing(0, line.point, line.normal, line.offset + asks, tolerance=WITHIN)
        out.append(_Target("shut", words, asks, landing, edge))
    for ask in each_asked(wanted, at.sizes):
        landing = ask.landing
        within = landing.tolerance or WITHIN
        asks = {
            "face": signed(ask.stop.face_by, ask.stop.face or "", "proud"),
            "nose gap": ask.stop.nose_gap or 0.0,
            "edge": landing.offset + at.sizes.worktop_drop,
        }[ask.what]
        again = of_kind(landing, landing.kind, within)
        read_to = 0 if ask.what == "nose gap" else None
        limit = limit_words(ask.what, landing.kind)
        out.append(_Target(ask.stop.name, _TOTAL[ask.what], asks, again, read_to, limit))
    return out


def _rows(places: Sequence[Place], at: _End, error: float) -> tuple[list[fitting.Reading], list[int]]:
    """Return each single reading, and which size it belongs to; to an edge where it was found."""
    rows, of = [], []
    for k, place in enumerate(places):
        line = place.line
        offset = line.offset if place.edge is None else line.offset + at.edges[place.edge].value
        for distance in place.distance:
            off = error if place.error is None else place.error
            rows.append(fitting.Reading(place.stop, line.point, line.normal, offset, distance, off, place.edge))
            of.append(k)
    return rows, of


def _fit(
    rows: list[fitting.Reading], stops: list[fitting.Stop], at: _End, traced: PivotFound | None
) -> fitting.HolesFit:
    """Return both holes as built, the jamb's as traced too; the edges are told from where they are drawn."""
    fit = fitting.fit_holes(
        rows,
        stops,
        panel=at.holes.gate,
        body=at.holes.jamb,
        edge_errors=[e.standard_error for e in at.edges],
        pivot=traced.pivot if traced else None,
        pivot_covariance=traced.covariance if traced else None,
    )
    return dataclasses.replace(fit, edges=fit.edges + [e.value for e in at.edges])


def _sizes_in_doubt(fit: fitting.HolesFit, of: list[int]) -> list[int]:
    """Return the sizes that look wrong: the suspect's, and those that cannot be told from it."""
    if fit.suspect is None:
        return []
    return list(dict.fromkeys(of[i] for i in (fit.suspect, *fit.alike)))


class _Session(NamedTuple):
    """Both holes by some of the sizes read at one end, and what looks wrong among these."""

    places: list[Place]
    fit: fitting.HolesFit  # without what looks wrong
    readings: tuple[ReadAtFit, ...]
    left_out: tuple[str, ...]
    off_by: float
    doubtful: list[int]


def _session(
    places: list[Place],
    stops: list[fitting.Stop],
    at: _End,
    error: float,
    path: str,
    *,
    traced: PivotFound | None = None,
) -> _Session:
    """Return both holes by these sizes, and by a traced arc where there is one."""
    rows, of = _rows(places, at, error)
    whole = _fit(rows, stops, at, traced)
    if whole.status == "not_converged":
        raise InvalidInput(f"{path}: {whole.explanation}")
    doubtful = _sizes_in_doubt(whole, of)
    fit, off_by = whole, math.nan
    out: tuple[str, ...] = ()
    if doubtful:
        suspect = whole.checks[whole.suspect or 0]
        off_by = abs(suspect.residual / suspect.redundancy)
    if len(doubtful) == 1:
        # One reading of several, if the others of the same size agree; else the size.
        without = [r for i, r in enumerate(rows) if i != whole.suspect]
        again = _fit(without, stops, at, traced) if without else whole
        kept = [k for i, k in enumerate(of) if i != whole.suspect]
        if _sizes_in_doubt(again, kept) == doubtful:
            without = [r for r, k in zip(rows, of, strict=True) if k != doubtful[0]]
            again = _fit(without, stops, at, traced) if without else whole
        if again.status != "not_converged":
            fit, out = again, (places[doubtful[0]].path,)
    readings = []
    for k, place in enumerate(places):
        own = [i for i, s in enumerate(of) if s == k]
        checks = [whole.checks[i] for i in own]
        readings.append(
            ReadAtFit(
                place.path,
                place.stop_name,
                place.words,
                place.distance,
                sum(c.residual for c in checks) / len(checks),
                _borne_out(whole, (rows, of), k, lambda alone: _fit(alone, stops, at, traced)),
                min(c.smallest_noticed for c in checks),
                k in doubtful,
                error if place.error is None else place.error,
            )
        )
    return _Session(places, fit, tuple(readings), out, off_by, doubtful)


class _Found(NamedTuple):
    """What was found at one end: by gaps and steps together with the poses, and each pivot found besides."""

    session: _Session | None
    pivots: tuple[PivotFound, ...]


def _find(side: SideReadings, at: _End, file: FirstFitFile, path: str) -> _Found:
    """Return the holes, by all that was read unless poses contradict the rest, and the pivots of trace and poses."""
    stops = _stops(side, at, file, path)
    places = list(_places(side, at, file, path))
    error = file.fit.reading_error
    alone = _session(places, stops, at, error, path) if places else None
    used, used_stops, pivots = alone, stops, []
    trusted: tuple[str, PivotFound] | None = None
    if side.pose:
        read = read_poses(side, Drawn(at.sizes, at.holes), file, path, len(stops))
        by_poses = _session(read.places, stops + read.stops, at, error, path) if turned(read) else None
        found = _against(_pivot_of(read, by_poses, at, len(stops)), alone, None)
        pivots.append(found)
        if by_poses is not None and found.agrees:
            used_stops = stops + read.stops
            used = by_poses if alone is None else _session(places + read.places, used_stops, at, error, path)
            trusted = "the poses", found
    if side.trace is not None:
        traced = from_trace(side.trace, Drawn(at.sizes, at.holes), file, f"{path}.trace")
        traced = _against(traced, alone, trusted)
        pivots.append(traced)
        if used is not None and traced.agrees and traced.sound and traced.ellipse is not None:
            used = _session(used.places, used_stops, at, error, path, traced=traced)
    return _Found(used, tuple(pivots))


def _pivot_of(read: Poses, by_poses: _Session | None, at: _End, first: int) -> PivotFound:
    if by_poses is None:
        return from_poses(read, Drawn(at.sizes, at.holes), Doubt((), math.nan, math.nan, 0))
    wrong = wrong_poses(by_poses.places, by_poses.doubtful, read, first)
    fit = by_poses.fit
    return from_poses(read, Drawn(at.sizes, at.holes), Doubt(wrong, by_poses.off_by, fit.misfit, fit.spare))


def _against(found: PivotFound, alone: _Session | None, poses: tuple[str, PivotFound] | None) -> PivotFound:
    """Return a pivot found, compared with the jamb's hole by gaps and steps, else with the poses."""
    result = None
    if alone is not None and alone.fit.status == "both":
        result = compared(found, "the gaps and steps", alone.fit.body, alone.fit.covariance[2:4, 2:4])
    elif poses is not None:
        result = compared(found, poses[0], poses[1].pivot, poses[1].covariance)
    if result is None:
        return found
    against, apart, agrees = result
    return dataclasses.replace(found, against=against, apart=apart, agrees=agrees)


def _by(wanted: Gate, file: FirstFitFile) -> str:
    """Return how holes are corrected: as the file says, else by the adjusters of the job."""
    return file.fit.corrected_by or corrected_by(wanted)


def _side(wanted: Gate, job: Job, file: FirstFitFile, number: int, result: GateResult) -> SideFit:
    side = file.fit.side[number]
    path = f"side[{number + 1}]"
    at = _end(wanted, job, result, file, number)
    session, pivots = _find(side, at, file, path)
    if session is None:
        if not pivots:
            raise InvalidInput(f"{path} has no reading yet: nothing can be worked out")
        return SideFit(side.end, None, (), (), math.nan, False, None, (), (), (), pivots)
    fit = session.fit
    targets = _targets(wanted, at)
    by = _by(wanted, file)
    setting = job.errors.hole if by == "drilling" else file.fit.set_within
    options: dict[str, Any] = {
        "setting_error": setting,
        "packing_error": PACKING,
        "anew": by == "drilling",
    }
    now = _moves(fit, targets, [], options).moves[0]
    seen = [t for t, s in zip(targets, now.spread, strict=True) if math.isfinite(s)]
    adjusters = () if by == "drilling" or result.adjusting is None else result.adjusting.adjusters
    free = _moves(fit, seen or targets, _HOW[by], options)
    options |= slots(adjusters)
    advised = _moves(fit, seen or targets, _HOW[by], options)
    move = advised.move
    if max(np.abs(move.panel).max(), np.abs(move.body).max()) < STILL:
        move = advised.moves[0]  # nobody plugs a hole to drill it again where it was
    # Chosen by what the readings tell; told of everything.
    alike = _moves(fit, targets, [] if move.which == "none" else [move.which], options).moves[-1]
    holes = gate.Holes(fit.panel + move.panel, fit.body + move.body)
    then = [gate.miss(t.landing, holes) - (0.0 if t.edge is None else float(fit.edges[t.edge])) for t in targets]
    after = tuple(
        Afterwards(
            t.stop,
            t.words,
            t.wanted,
            t.landing.tolerance,
            t.limit,
            t.wanted + float(n),
            t.wanted + left,
            1.96 * float(spread),
        )
        for t, n, left, spread in zip(targets, now.left, then, alike.spread, strict=True)
    )
    asks = [Ask(t.stop, t.words, t.landing, a.then - a.now) for t, a in zip(targets, after, strict=True)]
    beyond: tuple[Beyond, ...] = ()
    if by != "drilling":
        beyond = beyond_reach(wanted, at.sizes.lean_deg, move.which, asks, file.fit.set_within)
    once = tuple(
        name.partition("_")[0]
        for name in keys_of(MeasuredAgain)
        if side.again is None or getattr(side.again, name) is None
    )
    return SideFit(
        side.end,
        fit,
        session.readings,
        session.left_out,
        session.off_by,
        len(session.doubtful) > 1,
        move,
        advised.moves,
        after,
        once,
        pivots,
        tuple(out_of_reach(free.move, adjusters)) if advised.move.worst > 1.0 else (),
        beyond,
    )


def _borne_out(
    whole: fitting.HolesFit, session: tuple[list[fitting.Reading], list[int]], size: int, again: Callable[..., Any]
) -> bool:
    """Whether readings of other sizes check this one: repeats of itself share whatever is wrong with how it is read."""
    rows, of = session
    own = [i for i, s in enumerate(of) if s == size]
    if len(own) == 1:
        return whole.checks[own[0]].checked
    alone = [r for i, r in enumerate(rows) if i not in own[1:]]
    return bool(again(alone).checks[own[0]].checked)


def _moves(
    fit: fitting.HolesFit, targets: Sequence[_Target], allowed: Sequence[Any], options: dict[str, Any]
) -> fitting.Correction:
    return fitting.correct(
        fit, [t.landing for t in targets], edges=[t.edge for t in targets], allowed=allowed, **options
    )


def evaluate_first_fit(job: Job, file: FirstFitFile) -> FirstFitResult:
    """Work out what to move after the first fit of a gate.

    Parameters
    ----------
    job : Job
        As it was made.
    file : FirstFitFile
        What was read.

    Raises
    ------
    InvalidInput
        When the file names a gate or a stop the job has not, or nothing was read.
    """
    asked_for = chosen_gate(job, file.fit.gate)
    result = evaluate_gate(asked_for, job, likely_errors=False)
    wanted = with_sizes(with_bare_gaps(asked_for, job), result.opening)
    if result.free_angle is not None:
        wanted = with_angle(wanted, result.free_angle.stop, result.free_angle.best.opening_deg)
    sides = tuple(_side(wanted, job, file, i, result) for i in range(len(file.fit.side)))
    turns = [-s.opening_deg for s in result.stops]
    pair = None
    fits = [s.fit for s in sorted(sides, key=lambda s: s.end) if s.fit is not None]
    if len(fits) == 2:
        pair = fitting.pair_out_of_line(
            *fits,
            span=result.width,
            bush_length=file.fit.bush_length,
            turns_deg=[0.0, *turns],
            turn_to_deg=min(turns),
        )
    by = _by(wanted, file)
    drilling = by == "drilling"
    setting = job.errors.hole if drilling else file.fit.set_within
    asked = max(len(s.after) for s in sides)
    wanting = {r.error: average(r.error, setting, asked) for s in sides for r in s.readings}
    # of what was read too seldom, or else of everything
    short = [r for s in sides for r in s.readings if len(r.values) < wanting[r.error]]
    times = max((wanting[r.error] for r in short or [r for s in sides for r in s.readings]), default=1)
    few = min((len(r.values) for r in short), default=times)
    asking = [a.landing.turn_deg for a in each_asked(wanted, result.sizes)]
    ceiling = fit_advice(job.errors, asking).ceiling
    return FirstFitResult(asked_for.name, sides, pair, file.fit.bush_length, times, few, ceiling, by)
