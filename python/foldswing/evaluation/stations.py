"""Places along a gate's hinge: one straight axis, at each place its own section, and the worst of them named.

The section as stated holds at both ends of the opening unless a station within a tenth of its width speaks for that
end (common practice, no source). Between measured places sizes run straight; over a width a station stands for they
are as measured there. Places are made where a body begins and ends, and along a crowned edge.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

import numpy as np

from foldswing import axis, gate, hinge, station
from foldswing._core import InvalidInput
from foldswing._core.plane import Path
from foldswing._values import value
from foldswing.evaluation.findings import ROUNDING, SAGITTA, Approach, Finding, Likely, Wants, approaches, judge, stands
from foldswing.evaluation.gate_section import above_asked, beyond, body_outline, face_kind, nose_kind
from foldswing.evaluation.hardware import eared_section
from foldswing.job import Body, CrownedEdge, Gate, Station, Stop

END_REACH = 0.1  # of the opening's width; a station nearer to an end speaks for it (common practice, no source)
APART = 0.1  # mm; pivots nearer to each other than this are drilled at one height (common practice, no source)
ALLOWED = 1.0  # mm; what a landing may be out where no stop says (the default of a stop)

Hand = Literal["left", "right"]  # as you stand outside

CURE = "dress the worktop or the gate there, shift all marks toward it, or allow more: one straight axis serves all"


@value
class StationLanding:
    """How the gate lands at one stop at one station, mm.

    Attributes
    ----------
    stop : str
        Name of the stop.
    face_step, nose_gap : float
        Inner face above the worktop's plane there, and gap to the nose.
    step_out, gap_out : float or None
        How much they are over what the stop asks (negative: under), 0 on the better side of a limit; None where it does
        not ask.
    within : float
        How far they may be out.
    """

    stop: str
    face_step: float
    nose_gap: float
    step_out: float | None
    gap_out: float | None
    within: float


@value
class StationResult:
    """What the gate does at one place along the hinge, mm.

    Attributes
    ----------
    name : str
        Of the place.
    from_left, stands_from, stands_to : float
        Where it is, and the stretch it stands for, from the left end of the opening.
    sizes : gate.Sizes
        Of the section there.
    holes : gate.Holes
        Where the axis passes there, in the gate and in the jambs.
    face_step, nose_gap : float
        At the stop at which the face lands.
    landings : tuple of StationLanding
        At every stop that asks for a face or a gap.
    closest : tuple of Approach
        To every body that is there, on every leg.
    """

    name: str
    from_left: float
    stands_from: float
    stands_to: float
    sizes: gate.Sizes
    holes: gate.Holes
    face_step: float
    nose_gap: float
    landings: tuple[StationLanding, ...]
    closest: tuple[Approach, ...]


@value
class EndResult:
    """What is marked at one end of a tilted axis: the section there, the pivot, and its marks."""

    sizes: gate.Sizes
    pivot: np.ndarray
    marks: gate.Marks
    holes: gate.Holes


@value
class SidewaysShift:
    """How far the free edge has moved along the opening at a stop, to the right positive, mm: its two ends."""

    stop: str
    opening_deg: float
    left_end: float
    right_end: float

    @property
    def most(self) -> float:
        """The larger of the two."""
        return max((self.left_end, self.right_end), key=abs)


@value
class AxisResult:
    """One straight axis through the pivots that left and right ask for.

    Attributes
    ----------
    left, right : EndResult
        At the jambs.
    tilt_deg, up, out : float
        To the run of the opening, degrees; the right hole above and outward of the left one, mm.
    shifts : tuple of SidewaysShift
        At every stop.
    off_section : float
        The most any corner leaves the plain turn of its section at a stop: what sections leave out, mm.
    """

    left: EndResult
    right: EndResult
    tilt_deg: float
    up: float
    out: float
    shifts: tuple[SidewaysShift, ...]
    off_section: float


class Run(NamedTuple):
    """A gate along its hinge: what was measured where, and the places looked at."""

    width: float
    stated: gate.Sizes
    measured: tuple[station.Measured, ...]
    bows: tuple[station.Bow, ...]
    stretches: tuple[station.Stretch, ...]
    names: Mapping[float, str]

    def name(self, at: float) -> str:
        """Return what a place is called."""
        return self.names.get(at, f"{at:.0f} mm from the left")

    def sizes(self, at: float) -> gate.Sizes:
        """Return the sizes of the section at a place."""
        try:
            return station.sizes_at(self.stated, station.differences_at(self.measured, self.bows, at))
        except InvalidInput as why:
            raise InvalidInput(f"at {self.name(at)}: {why}") from None


def _differences(at: Station, stated: gate.Sizes) -> station.Differences:
    def way(plus: float | None, minus: float | None) -> float:
        return (plus or 0.0) - (minus or 0.0)

    return station.Differences(
        worktop_up=way(at.worktop_up, at.worktop_down),
        nose_out=way(at.nose_outward, at.nose_inward),
        sill_up=way(at.sill_up, at.sill_down),
        head_up=way(at.head_up, at.head_down),
        lower_edge_up=way(at.lower_edge_up, at.lower_edge_down),
        outer_face_out=way(at.outer_face_outward, at.outer_face_inward),
        thicker=0.0 if at.thickness is None else at.thickness - stated.thickness,
    )


_BULGES = {
    ("worktop", "up"): "worktop_up",
    ("worktop", "outward"): "nose_out",
    ("lower edge", "up"): "lower_edge_up",
    ("lower edge", "outward"): "outer_face_out",
    ("sill", "up"): "sill_up",
    ("head", "up"): "head_up",
}
_OTHER_WAY = {"down": "up", "inward": "outward"}


def _bow(edge: CrownedEdge, width: float) -> station.Bow:
    positive = _OTHER_WAY.get(edge.bulges, edge.bulges)
    toward = station.Differences(**{_BULGES[edge.edge, positive]: 1.0 if positive == edge.bulges else -1.0})
    start = 0.5 * (width - edge.chord) if edge.chord_from_left is None else edge.chord_from_left
    return station.Bow(start, edge.chord, edge.rise, toward)


def _measured(wanted: Gate, stated: gate.Sizes, width: float) -> tuple[station.Measured, ...]:
    given = sorted(wanted.station, key=lambda s: s.from_left)
    as_stated = station.Differences()
    out = [station.Measured(s.from_left, _differences(s, stated), s.width or np.nan) for s in given]
    reach = END_REACH * width
    if not given or (given[0].from_left > reach and given[0].from_left > given[0].half_width):
        out.insert(0, station.Measured(0.0, as_stated))
    if not given or (width - given[-1].from_left > reach and width - given[-1].from_left > given[-1].half_width):
        out.append(station.Measured(width, as_stated))
    return tuple(out)


def along(wanted: Gate, stated: gate.Sizes) -> Run | None:
    """Return a gate along its hinge; None where one section says it all."""
    width = wanted.opening.width_bottom
    parts = [b for b in wanted.body if b.from_left is not None or b.to_left is not None]
    if not (wanted.station or wanted.crowned_edge or parts):
        return None
    names: dict[float, str] = {0.0: "left end", width: "right end"}
    for body in parts:
        if body.from_left is not None:
            names.setdefault(body.from_left, f"where the {body.name} begins")
        if body.to_left is not None:
            names.setdefault(body.to_left, f"where the {body.name} ends")
    bows = tuple(_bow(edge, width) for edge in wanted.crowned_edge)
    allowed = min((s.within for s in wanted.stop if s.within > 0.0), default=ALLOWED)
    places = list(names)
    for edge, bow in zip(wanted.crowned_edge, bows, strict=True):
        middle = bow.from_left + 0.5 * bow.chord
        names.setdefault(middle, f"middle of the crowned {edge.edge}")
        places += [bow.from_left + x for x in station.bow_places(bow.chord, bow.rise, 0.5 * allowed)]
    names |= {s.from_left: s.called for s in wanted.station}
    measured = _measured(wanted, stated, width)
    inside = [min(max(x, 0.0), width) for x in places]
    return Run(width, stated, measured, bows, station.stretches(width, inside, measured), names)


def is_there(body: Body, stretch: station.Stretch) -> bool:
    """Whether a body reaches into a stretch."""
    begins_before = body.from_left is None or body.from_left < stretch.end
    return begins_before and (body.to_left is None or body.to_left > stretch.start)


def in_main_section(body: Body, run: Run | None, sizes: gate.Sizes, axis_ends: Ends | None) -> bool:
    """Whether a body stands somewhere where the section is the main one."""
    if run is None:
        return True
    places = run.stretches if axis_ends is None else run.stretches[:1]
    return any(is_there(body, s) and run.sizes(s.from_left) == sizes for s in places)


class Ends(NamedTuple):
    """The two ends of a tilted axis, and the axis through the holes in the gate and through those in the jambs."""

    left: EndResult
    right: EndResult
    gate_axis: axis.Axis
    jamb_axis: axis.Axis

    def holes(self, at: float) -> gate.Holes:
        """Return where the axis passes at a place."""
        return gate.Holes(axis.at(self.gate_axis, at), axis.at(self.jamb_axis, at))


def ends(
    run: Run | None,
    solve: Callable[[gate.Sizes], np.ndarray | None],
    mark: Callable[[gate.Sizes, np.ndarray], tuple[gate.Marks, gate.Holes]],
) -> Ends | None:
    """Return the axis through the pivots that left and right ask for; None where one pivot serves both.

    Parameters
    ----------
    run : Run or None
        Along the hinge.
    solve : callable
        Returns the pivot that a section asks for, None where it asks for none or for more than one.
    mark : callable
        Returns the marks of a pivot in a section, and the holes as marked.
    """
    if run is None or len(run.measured) < 2:
        return None
    first, last = (m.from_left for m in (run.measured[0], run.measured[-1]))
    left, right = solve(run.sizes(first)), solve(run.sizes(last))
    if left is None or right is None or float(np.hypot(*(left - right))) <= APART:
        return None
    asked = axis.Axis(left, first, right, last)

    def end(at: float) -> EndResult:
        sizes, pivot = run.sizes(at), axis.at(asked, at)
        return EndResult(sizes, pivot, *mark(sizes, pivot))

    a, b = end(0.0), end(run.width)
    return Ends(
        a,
        b,
        axis.Axis(a.holes.gate, 0.0, b.holes.gate, run.width),
        axis.Axis(a.holes.jamb, 0.0, b.holes.jamb, run.width),
    )


def axis_result(run: Run, through: Ends, stops: Iterable[tuple[str, float]], end_gap: float) -> AxisResult:
    """Return the tilt of an axis and what it does at the stops; the gate's ends stand `end_gap` from the jambs."""
    tilt = axis.tilt(through.jamb_axis)
    shifts, off = [], 0.0
    places = (end_gap, run.width - end_gap)
    for name, opening in stops:
        moved = []
        for at in places:
            # Turned about the axis through the holes of the jambs, from where it hangs shut.
            shut = gate.pose(through.holes(at), 0.0).apply(gate.corners(run.sizes(at)))
            turned = [axis.turned(through.jamb_axis, corner, at, -opening) for corner in shut]
            off = max(off, *(t.off_section for t in turned))
            moved.append(turned[3].sideways)
        shifts.append(SidewaysShift(name, opening, *moved))
    return AxisResult(through.left, through.right, tilt.angle_deg, tilt.up, tilt.out, tuple(shifts), off)


class Swing(NamedTuple):
    """What all stations share: the stops reached and their openings, where they are on the travel, what is wanted."""

    stops: Sequence[tuple[Stop, float]]
    marks: Sequence[tuple[str, float]]
    landed_deg: float
    wants: Wants


def landings(sizes: gate.Sizes, holes: gate.Holes, stops: Iterable[tuple[Stop, float]]) -> tuple[StationLanding, ...]:
    """Return how a section lands at every stop that asks for a face or a gap."""
    out = []
    for stop, opening in stops:
        if stop.face is None and stop.nose_gap is None:
            continue
        now = gate.opened(sizes, holes, opening)
        out.append(
            StationLanding(
                stop.name,
                now.face_step,
                now.nose_gap,
                beyond(face_kind(stop), now.face_step - above_asked(stop)) if stop.face is not None else None,
                beyond(nose_kind(stop), now.nose_gap - stop.nose_gap) if stop.nose_gap is not None else None,
                stop.within,
            )
        )
    return tuple(out)


def evaluate_stations(
    wanted: Gate,
    run: Run,
    holes_at: Callable[[float], gate.Holes],
    swing: Swing,
    likely: Callable[[Path, Mapping[str, Path]], Likely] | None = None,
) -> tuple[StationResult, ...]:
    """Return what the gate does at every place along its hinge, each worked out as a section of its own.

    likely : from the section as it hangs shut and the bodies there, what likely errors are reckoned from.
    """
    out = []
    last = swing.stops[-1][1]
    for stretch in run.stretches:
        at = stretch.from_left
        sizes, holes = run.sizes(at), holes_at(at)
        around = _around(wanted, sizes, stretch)
        try:
            at_end = stretch in (run.stretches[0], run.stretches[-1])  # ears stand round the pins, at the ends
            panel = eared_section(wanted, sizes, holes) if at_end else gate.panel(sizes)
            hung = panel.moved(gate.pose(holes, 0.0))
            shut = hung.outline(SAGITTA)
        except InvalidInput as why:
            raise InvalidInput(f"at {run.name(at)}: {why}") from None
        motion = hinge.PivotHinge(holes.jamb, 0.0, -last)
        now = gate.opened(sizes, holes, swing.landed_deg)
        out.append(
            StationResult(
                run.name(at),
                at,
                stretch.start,
                stretch.end,
                sizes,
                holes,
                now.face_step,
                now.nose_gap,
                landings(sizes, holes, swing.stops),
                approaches(
                    shut,
                    {name: path.outline(SAGITTA) for name, path in around.items()},
                    motion,
                    list(swing.marks),
                    swing.wants,
                    likely=likely(hung, around) if likely else None,
                ),
            )
        )
    return tuple(out)


def _around(wanted: Gate, sizes: gate.Sizes, stretch: station.Stretch) -> dict[str, Path]:
    built = {"worktop nose": gate.worktop(sizes), "sill": gate.sill(sizes), "head": gate.head(sizes)}
    there = {b.name: body_outline(b, sizes.worktop_above_floor) for b in wanted.body if is_there(b, stretch)}
    return built | there


def worst_along(main: Sequence[Approach], stations: Sequence[StationResult]) -> tuple[Approach, ...]:
    """Return the closest approach to each body on each leg along the whole hinge; those of a station name it."""
    found = {(row.body, row.leg): row for row in main}
    for at in stations:
        for row in at.closest:
            known = found.get((row.body, row.leg))
            if known is None or _closer(row, known):
                found[row.body, row.leg] = dataclasses.replace(row, leg=f"{row.leg}, {at.name}")
    return tuple(found.values())


def _closer(row: Approach, other: Approach) -> bool:
    return row.bare < other.bare - ROUNDING or row.depth > other.depth + ROUNDING


def worst_landings(
    stations: Sequence[StationResult],
) -> tuple[tuple[StationResult, StationLanding] | None, tuple[StationResult, StationLanding] | None]:
    """Return where the face step, and where the gap to the nose, is out most; None where no stop asks."""
    rows = [(at, landing) for at in stations for landing in at.landings]
    steps = [(at, landing) for at, landing in rows if landing.step_out is not None]
    gaps = [(at, landing) for at, landing in rows if landing.gap_out is not None]
    return (
        max(steps, key=lambda r: abs(r[1].step_out or 0.0), default=None),
        max(gaps, key=lambda r: abs(r[1].gap_out or 0.0), default=None),
    )


def findings_along(
    main: tuple[Sequence[StationLanding], Sequence[Approach]],
    stations: Sequence[StationResult],
    resting: set[tuple[str | None, str]],
) -> list[Finding]:
    """Return what is wrong at stations beyond what the main section says: of each kind the worst, named.

    Parameters
    ----------
    main : (landings, approaches)
        Of the main section, which has findings of its own.
    stations : sequence of StationResult
        Along the hinge.
    resting : set of (body, stop)
        What the gate rests on, and where: no clash.
    """
    said, closest = main
    out = []
    for field, what, over, under, feel in (
        ("step_out", "Inner face", "high", "low", "a step: things catch on the joint"),
        ("gap_out", "Gap to the nose", "too wide", "too narrow", "an uneven gap, or it binds"),
    ):
        for stop in dict.fromkeys(landing.stop for at in stations for landing in at.landings):
            rows = [
                (at, ln) for at in stations for ln in at.landings if ln.stop == stop and getattr(ln, field) is not None
            ]
            out_there = [(at, ln) for at, ln in rows if abs(getattr(ln, field)) > ln.within + ROUNDING]
            if not out_there:
                continue
            at, landing = max(out_there, key=lambda r: abs(getattr(r[1], field)))
            miss = getattr(landing, field)
            at_main = next((abs(getattr(ln, field)) for ln in said if ln.stop == stop), 0.0)
            if abs(miss) <= at_main + ROUNDING:
                continue
            others = f"; out at {len(out_there) - 1} more of {len(stations)} stations" if len(out_there) > 1 else ""
            number = f"{abs(miss):.2f} mm {over if miss > 0.0 else under}; {landing.within:.2f} mm allowed{others}"
            out.append(Finding(f"{what} is out at '{stop}', {at.name}", number, feel, CURE, stops_work=False))
    of_main = {(row.body, row.leg): row for row in closest}
    legs = dict.fromkeys((row.body, row.leg) for at in stations for row in at.closest)
    for body, leg in legs:
        if (body, leg.rpartition(" to ")[2]) in resting:
            continue
        rows_there = [(at, row) for at in stations for row in at.closest if (row.body, row.leg) == (body, leg)]
        where, worst = min(rows_there, key=lambda r: stands(r[1]))
        if (body, leg) in of_main and not _closer(worst, of_main[body, leg]):
            continue
        out += judge([dataclasses.replace(worst, leg=f"{leg}, {where.name}")], CURE)
    return out


def shift_findings(tilted: AxisResult, end_gap: float) -> list[Finding]:
    """Return whether the tilted axis carries the gate sideways into a jamb: past the gap that paint leaves there."""
    most = max(tilted.shifts, key=lambda s: abs(s.most), default=None)
    if most is None or abs(most.most) < end_gap - ROUNDING:
        return []
    way = "right" if most.most > 0.0 else "left"
    return [
        Finding(
            "The tilted axis carries the free edge sideways past the end gap",
            f"{abs(most.most):.2f} mm to the {way} at '{most.stop}'; {end_gap:.2f} mm there is, painted",
            "binds on the jamb or on what stands beside the open gate",
            "true the worktop so that left and right ask for one pivot, or a wider end gap",
            stops_work=True,
        )
    ]
