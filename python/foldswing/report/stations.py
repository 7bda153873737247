"""A gate along its hinge on the sheet: where it is looked at, what it does there, the worst first."""

from __future__ import annotations

from foldswing import pictures
from foldswing.evaluation import GateResult
from foldswing.evaluation.findings import stands
from foldswing.evaluation.stations import AxisResult, StationResult, worst_along, worst_landings
from foldswing.job import Gate, Job
from foldswing.report.words import Words, likely, sentences
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table

_FIGURE = 90.0  # mm; height of the elevation


def station_blocks(wanted: Gate, done: GateResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of a gate along its hinge; none where one section says it all."""
    if not done.stations:
        return []
    blocks: list[Block] = [
        Heading("Along the hinge", 2),
        Paragraph(_worst(done, words)),
        Figure(pictures.gate_elevation(wanted, done, job), "Places looked at, from outside", height=_FIGURE),
        Table(
            (
                "Place",
                "From the left",
                "Stands for",
                "Face to worktop",
                "Gap to nose",
                "Closest: bare, painted",
                "Left after likely errors",
                "Where",
            ),
            tuple(_row(at, words) for at in done.stations),
            "Each place worked out as a section of its own; one straight axis through all",
        ),
    ]
    if done.axis is not None:
        blocks += _axis(done.axis, words)
    return blocks


def _worst(done: GateResult, words: Words) -> str:
    """Return where step, gap and approach are worst."""
    step, gap = worst_landings(done.stations)
    said = []
    if step is not None:
        at, landing = step
        off = words.either(landing.step_out or 0.0, "high", "low", fine=True)
        said.append(f"worst face step: {off} at '{landing.stop}', {_at(at)}")
    if gap is not None:
        at, landing = gap
        off = words.either(landing.gap_out or 0.0, "too wide", "too narrow", fine=True)
        said.append(f"gap to the nose most off what is wanted: {off} at '{landing.stop}', {_at(at)}")
    rows = worst_along(done.closest, done.stations)
    if rows:
        row = min(rows, key=stands)
        close = f"overlaps {words.gap(row.depth)}" if row.depth > 0.0 else f"{words.gap(row.bare)} bare"
        said.append(f"worst approach: {row.body}, {close} at {row.at}, {row.leg}")
    return sentences(*said)


def _at(station: StationResult) -> str:
    return station.name


def _row(at: StationResult, words: Words) -> tuple[str, ...]:
    close = min(at.closest, key=stands)
    bare = f"overlaps {words.gap(close.depth)}" if close.depth > 0.0 else words.gap(close.bare)
    return (
        at.name,
        f"{at.from_left:.0f} mm",
        f"{at.stands_from:.0f} to {at.stands_to:.0f} mm",
        words.either(at.face_step, "proud", "low", fine=True),
        words.either(at.nose_gap, "", "over the nose", fine=True),
        f"{bare}, {words.gap(close.painted)}",
        likely(close.likely),
        f"{close.body}, {close.at}",
    )


def _axis(axis: AxisResult, words: Words) -> list[Block]:
    """Return the marks of both ends and what the tilt does."""
    rows = []
    for name, field, positive, negative in (
        ("Gate: from the inner face", "gate_from_inner_face", "outward", "behind it"),
        ("Gate: from the lower edge", "gate_above_lower_edge", "up", "below it"),
        ("Jamb: from the worktop surface", "jamb_below_worktop", "down", "above it"),
        ("Jamb: from the wall's outer face", "jamb_inward", "inward", "outward"),
    ):
        left, right = (words.mark(getattr(end.marks, field), positive, negative) for end in (axis.left, axis.right))
        rows.append((name, left, right))
    tilt = (
        f"the right hole is {words.either(axis.up, 'higher', 'lower', fine=True)} and "
        f"{words.either(axis.out, 'farther out', 'farther in', fine=True)} than the left one "
        f"({axis.tilt_deg:.3f}\N{DEGREE SIGN} of tilt)"
    )
    shifts = tuple(
        (f"at '{s.stop}' the free edge has moved", words.either(s.most, "to the right", "to the left", fine=True))
        for s in axis.shifts
    )
    return [
        Table(("Hole, from real faces at that end", "Left", "Right"), tuple(rows), "Left and right are not alike"),
        KeyValues((("Axis", tilt), *shifts)),
    ]
