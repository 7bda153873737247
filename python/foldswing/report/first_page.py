"""The page to pin up, one for each part: verdict, section, what to drill and cut, tightest places, order of work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from foldswing import pictures
from foldswing.evaluation import (
    Approach,
    BlankResult,
    CrownResult,
    CurvedFlangeResult,
    DevelopedResult,
    Finding,
    FlipResult,
    GateResult,
)
from foldswing.evaluation.adjusters import hole_in
from foldswing.evaluation.findings import stands
from foldswing.evaluation.stations import worst_along
from foldswing.job import Gate, Job
from foldswing.report.closing import SHORT_CAUTIONS, not_checked, order_of_work
from foldswing.report.curved_flanges import cut_rows as flange_cuts
from foldswing.report.curved_flanges import lines_table, strain_rows
from foldswing.report.gates import pads_of
from foldswing.report.openings import cut_rows
from foldswing.report.stays import chosen_pins
from foldswing.report.words import ABOVE, BELOW, INWARD, OUTWARD, VERDICTS, Words, sentences, sheet_of, tightest
from foldswing.sheet import Banner, Block, Bullets, Caution, Columns, Figure, Heading, KeyValues, Paragraph, Table

_FIGURE = (80.0, 78.0)  # mm; room beside the drilling figures
_DETAIL = (92.0, 36.0)  # mm; for the tightest place
_ROWS = 4  # approaches shown, fewer where more is to be drilled; the details have all of them


# when the folds are made that the order of the bends does not hold
_UNNUMBERED = {"hem": "first", "wire": "first", "tab": "see details"}


def banner(done: Any, name: str = "") -> Banner:
    """Return the name and verdict of a part, and under it the first thing that stops the work."""
    text = f"{name or done.name}: {VERDICTS[done.verdict]}"
    first = next((f for f in done.findings if f.stops_work), None)
    if first is not None:
        return Banner(text, _said(first))
    many = len(done.findings)
    more = f"{many} warning{'s' if many > 1 else ''} in the details"
    return Banner(text, f"Nothing here stops the work; {more}." if many else "")


def _said(finding: Finding) -> str:
    return sentences(f"{finding.what}: {finding.number}; {finding.feel}", f"Cure: {finding.advice}")


def gate_page(wanted: Gate, done: GateResult, job: Job, words: Words) -> list[Block]:
    """Return the page of a gate."""
    swing = pictures.gate_swing(wanted, done, job, room=_FIGURE)
    shown: list[Block] = [Figure(swing, "Shut and at every stop", *_FIGURE)]
    if done.closest:
        close = min(done.closest, key=stands)
        said = f"Tightest: {close.body}, {close.at}"
        shown.append(Figure(pictures.gate_tightest(wanted, done, job, close, room=_DETAIL), said, *_DETAIL))
    drill = [_drill(wanted, done, words)] if done.marks is not None else []
    return [
        banner(done),
        Columns(tuple(shown[:1]), (*shown[1:], _cut(wanted, done, words)), share=0.45),
        *drill,
        *_tightest(worst_along(done.closest, done.stations), fewer=len(chosen_pins(done.stays, words))),
        *_foot("gate", ("gate",), (done,)),
    ]


def _drill(wanted: Gate, done: GateResult, words: Words) -> Table:
    assert done.marks is not None
    gate_hole, jamb_hole = (hole_in(wanted, hole, words.hole, whole=False) for hole in ("gate", "jamb"))
    held = wanted.hinge.bracket
    into = {held.fixed_to: f"in the {held.name}"} if held is not None else {}
    sides = {"": done.marks}
    if done.axis is not None:
        sides = {"left": done.axis.left.marks, "right": done.axis.right.marks}
    rows = []
    for side, marks in sides.items():
        rows += [
            (
                f"Gate, {f'{side} end' if side else 'both ends'}: {gate_hole}",
                "inner face",
                words.mark(marks.gate_from_inner_face, *OUTWARD),
            ),
            (into.get("gate", ""), "lower edge", words.mark(marks.gate_above_lower_edge, *ABOVE)),
            (
                f"Jamb, {side}: {jamb_hole}" if side else f"Jambs, both: {jamb_hole}",
                "worktop surface",
                words.mark(marks.jamb_below_worktop, *BELOW),
            ),
            (into.get("jamb", ""), "wall's outer face", words.mark(marks.jamb_inward, *INWARD)),
        ]
    rows += chosen_pins(done.stays, words)
    alike = "left and right each its own" if done.axis is not None else "left and right alike"
    return Table((f"Drill, {alike}", "Measured from the", "Mark"), tuple(rows))


def _cut(wanted: Gate, done: GateResult, words: Words) -> Table:
    s = done.sizes
    lower = {"lower inner": s.lower_inner_radius, "lower outer": s.lower_outer_radius}
    upper = {"upper inner": s.upper_inner_radius, "upper outer": s.upper_outer_radius}
    rows = [
        *cut_rows(done.opening, words),
        ("thick", words.size(s.thickness)),
        *_radii(lower, words),
        *_radii(upper, words),
        *_angle_taken(done),
        *((f"pad at '{stop}'", f"{thick} less paint") for stop, _, thick in pads_of(wanted, done, words)),
    ]
    return Table(("Cut", "Size"), tuple(rows))


def _angle_taken(done: GateResult) -> list[tuple[str, str]]:
    """Return the angle of a stop that left it open."""
    found = done.free_angle
    if found is None or not found.found:
        return []
    return [(f"'{found.stop}', left open", f"{found.best.opening_deg:.1f}\N{DEGREE SIGN} from shut")]


def _radii(two: dict[str, float], words: Words) -> list[tuple[str, str]]:
    """Return the radii of two corners beside each other in one row where both are round: the page is full."""
    round_ones = {name: f"R {words.hole(r)}" for name, r in two.items() if r > 0.0}
    if len(round_ones) < 2:
        return [(f"{name} corner", r) for name, r in round_ones.items()]
    first, second = round_ones
    return [(f"{first} / {second.split()[1]} corner", " / ".join(round_ones.values()))]


def flip_page(done: FlipResult, job: Job, words: Words) -> list[Block]:
    """Return the page of a flip panel."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    figure = Figure(pictures.flip_swing(done, job, room=_FIGURE), "Shut and open, the tightest place ringed", *_FIGURE)
    beside = (
        Heading("Drill, both ends", 2),
        KeyValues(
            (
                ("From the hinged edge, along the skin", words.size(float(done.pivot[0]))),
                ("Behind the outer surface", words.size(float(done.pivot[1]))),
                ("Hole for the pin", words.hole(wanted.pin_diameter)),
            )
        ),
        Heading("Which way it looks", 2),
        Table(
            ("Stop", "Outer face", "Inner face"),
            tuple((f.stop, f.outer, f.inner) for f in done.faces),
        ),
    )
    return [
        banner(done),
        Columns((figure,), beside, share=0.5),
        *_tightest(done.closest),
        *_foot("flip panel", ("flip panel",)),
    ]


def blank_page(done: BlankResult, job: Job, words: Words) -> list[Block]:
    """Return the page of a blank."""
    numbers = done.order.numbers if done.order is not None else {}
    bends = Table(
        (*(("Order",) if numbers else ()), "Bend", "Line, from the edge named", "Angle, way"),
        tuple(
            (
                *((str(numbers.get(b.name, _UNNUMBERED.get(b.kind, "-"))),) if numbers else ()),
                b.name,
                f"{words.size(b.centre)} from the {b.edge}",
                f"{b.angle_deg:.1f}\N{DEGREE SIGN} {b.way}",
            )
            for b in done.bends
        ),
        "Bend lines: middle of the bend, all from one edge",
    )
    cut = KeyValues(
        (
            ("Cut, left to right", words.size(done.sheet[0])),
            ("Cut, up the drawing", words.size(done.sheet[1])),
            sheet_of(done.metal, done.thickness, done.radius),
        )
    )
    joints = [Paragraph(text) for text in pictures.joint_notes(done)]
    tall = done.width > done.length
    room = (70.0, 150.0) if tall else (150.0, 80.0)
    figure = Figure(pictures.blank_small(done, job, room), "Blank", *room)
    shown: list[Block] = [Columns((figure,), (cut, bends), share=0.4)] if tall else [figure, cut, bends]
    return [
        banner(done, f"{done.name}, blank"),
        *shown,
        *joints,
        *_foot("blank", ("blank",), (done,)),
    ]


def curved_flange_page(done: CurvedFlangeResult, job: Job, words: Words) -> list[Block]:
    """Return the page of a flange along a curved edge."""
    room = (150.0, 78.0)
    cut = KeyValues(
        (
            ("Cut, left to right", words.size(done.sheet[0])),
            ("Cut, up the drawing", words.size(done.sheet[1])),
            sheet_of(done.metal, done.thickness, done.radius),
            ("Turn up", f"{words.size(done.depth)} through {done.angle_deg:.1f}\N{DEGREE SIGN}"),
            *strain_rows(done),
        )
    )
    return [
        banner(done, f"{done.name}, edge {done.edge}"),
        Figure(pictures.curved_flange(done, job), "Blank", *room),
        cut,
        lines_table(done, words),
        *flange_cuts(done, words),
        *_foot("curved flange", ("curved flange",), (done,)),
    ]


def developed_page(done: DevelopedResult, job: Job, words: Words) -> list[Block]:
    """Return the page of a developed part."""
    shown: list[Block] = []
    room = (150.0, 110.0 / len(done.patterns))
    for each in done.patterns:
        shown.append(Figure(pictures.pattern_small(done, each, job), each.name, *room))
    rows = tuple(
        (
            each.name,
            f"{each.count}",
            f"{words.size(each.pattern.length)} by {words.size(each.pattern.width)}",
            f"{len(each.pattern.lines)}",
        )
        for each in done.patterns
    )
    cut = Table(("Piece", "Cut", "Left to right by up the drawing", "Lines"), rows, "No seam allowance: add yours")
    return [
        banner(done, done.name if done.name == done.kind else f"{done.name}, {done.kind}"),
        *shown,
        cut,
        KeyValues((sheet_of(done.metal, done.thickness),)),
        *_foot("developed", ("developed",)),
    ]


def crown_page(done: CrownResult, job: Job, words: Words) -> list[Block]:
    """Return the page of a crowned skin."""
    rows = []
    for way in done.ways:
        rows.append((f"{way.way}: gauge and frame, radius of the outer face", f"{way.radius:.0f} mm"))
        rows += [
            (f"{way.way}: {layer.name}, length along its middle", words.size(layer.middle_length))
            for layer in way.layers
        ]
    rises = tuple(
        Table(
            ("From the middle", "Rise"),
            tuple((f"{x:.0f} mm", words.size(y)) for x, y in zip(way.rises.stations, way.rises.heights, strict=True)),
            f"Rises {way.way}",
        )
        for way in done.ways
    )
    columns: list[Block] = [Columns(rises[:1], rises[1:], share=0.5)] if len(rises) > 1 else list(rises)
    return [
        banner(done),
        Heading("Cut and check against", 2),
        KeyValues(tuple(rows)),
        *columns,
        *_foot("crown", ("crown",)),
    ]


def _tightest(rows: Sequence[Approach], *, fewer: int = 0) -> list[Block]:
    if not rows:
        return []
    return [tightest(sorted(rows, key=stands)[: _ROWS - fewer], "Tightest places, worst first")]


def _foot(kind: str, kinds: Sequence[str], parts: Sequence[Any] = ()) -> list[Block]:
    """Return order of work, what was not checked, and the cautions in short."""
    return [
        Columns(
            (Heading("Order of work", 2), Bullets(order_of_work(kinds, parts), ordered=True)),
            (
                Heading("Not checked", 2),
                Paragraph(sentences(*not_checked(kind, parts))),
                *(Caution(text) for text in SHORT_CAUTIONS[kind]),
            ),
            share=0.52,
            small=True,
        )
    ]
