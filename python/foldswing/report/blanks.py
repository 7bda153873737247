"""A blank on the sheet."""

from __future__ import annotations

import dataclasses

import numpy as np

from foldswing import pictures
from foldswing.evaluation import Bending, BlankResult, BrakeOrder, CutSheet, DevelopedResult
from foldswing.evaluation.ordering import brake_used
from foldswing.job import Job
from foldswing.job.keys import listed
from foldswing.report.words import VERDICTS, Words, rules_named, sentences, sheet_of, warnings, with_columns
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table

_UNKNOWN = "not known"
_LINES, _LINES_TALL = (160.0, 115.0), (160.0, 150.0)  # mm; room for a blank with the distances of its lines


def check_blocks(done: BlankResult, words: Words) -> list[Block]:
    """Return what the checks say of the bends; nothing where nothing is known of the metal or the brake."""
    checks = done.checks
    if checks is None or not any(b.checks or b.over_bend or b.force for b in checks.bends):
        return []
    rows = []
    for made in checks.bends:
        least = made.least_radius.radius
        over = made.over_bend
        bad = [c.what.lower() for c in made.checks if c.outcome == "fails"]
        unknown = [c.what.lower() for c in made.checks if c.outcome == "not known"]
        rows.append(
            (
                made.name,
                f"{least:.2f} mm" if np.isfinite(least) else _UNKNOWN,
                "; ".join(bad + unknown) or ("no objection" if made.checks else "not checked"),
                f"{over.angle_deg:.1f}\N{DEGREE SIGN}" if over else _UNKNOWN,
                f"{over.extra_deg:.1f}\N{DEGREE SIGN}" if over else _UNKNOWN,
                f"{over.radius:.2f} mm" if over else _UNKNOWN,
                f"{1e-3 * made.force:.1f} kN" if made.force is not None else _UNKNOWN,
            )
        )
    ways = {"material": "given", "brake": f"of the {checks.brake}", "thickness": "recommended for this thickness"}
    way = ways[checks.opening_from]
    header = ("Bend", "Least radius", "Checks", "On the tool", "Springs back", "Radius on the tool", "Force")
    table = with_columns(header, rows, but=_UNKNOWN)
    silent = [name.lower() for name in header if name not in table.header]
    notes = []
    if "On the tool" in table.header:
        notes.append("On the tool: what to bend to, so that it springs back to the bend angle.")
    if silent:
        notes.append(f"Not known of this metal or brake: {listed(silent, 'and')}.")
    blocks: list[Block] = [
        dataclasses.replace(table, caption="Can the bends be made", note=" ".join(notes)),
    ]
    told = [f"Springback by {checks.springback}"] if checks.springback else []
    if any(b.force is not None for b in checks.bends):
        told.append(
            f"Force of air bending over the V of {checks.opening:.1f} mm {way}: 1.33 S L T\N{SUPERSCRIPT TWO}/W, from "
            "memory; an article gives 0.75 to 2.5 in place of 1.33, so see that the brake is good for twice as much"
        )
    if checks.relief is not None:
        told.append(
            f"Corner relief: drill {words.hole(checks.relief)} or more where two bend lines cross, before the notch is "
            "cut (FAA handbook, for aluminium; other metals: common practice, no source)"
        )
    if checks.metal is not None:
        told.append(f"Figures of {checks.metal}: {'; '.join(checks.sources)}")
    blocks += [Paragraph(sentences(text)) for text in told]
    return blocks


def blank_blocks(done: BlankResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of one blank."""
    blocks: list[Block] = [
        Heading(f"{done.name}: blank"),
        Paragraph(sentences(VERDICTS[done.verdict], done.explanation)),
    ]
    blocks += warnings(done.findings)
    room = _LINES if done.width <= done.length else _LINES_TALL
    blocks.append(Figure(pictures.blank_lines(done, job, room), "Blank, all from one edge", *room))
    rows = [
        (_blank_name(done), f"{words.size(done.length)} by {words.size(done.width)}"),
        *((("Ears", done.ears),) if done.ears else ()),
        sheet_of(done.metal, done.thickness, done.radius),
        ("Bend figure", done.basis),
    ]
    rows += [(f"Corner notch, {name}", f"{along:.1f} by {across:.1f} mm") for name, along, across in done.notches]
    blocks.append(KeyValues(tuple(rows)))
    if done.allowances:
        blocks.append(Heading("Finished edges and offsets", 2))
        blocks.append(KeyValues(done.allowances))
    if done.holes:
        blocks.append(
            Table(
                ("Hole", "From the left", "From the bottom", "Diameter"),
                tuple(
                    (str(i), words.size(x), words.size(y), f"{d:.1f} mm")
                    for i, ((x, y), d) in enumerate(done.holes, start=1)
                ),
                "Holes, carried from the folded part to the blank",
            )
        )
    blocks += joint_blocks(done, words)
    blocks.append(
        Table(
            ("Bend", "Kind", "From the", "Bend line", "Tangent lines", "Sight line", "Bend angle", "Way", "Deduction"),
            tuple(
                (
                    b.name,
                    b.kind,
                    b.edge,
                    words.size(b.centre),
                    f"{b.tangents[0]:.1f} and {b.tangents[1]:.1f} mm" if b.allowance > 0.0 else "none: no length",
                    f"{b.sight:.1f} mm",
                    f"{b.angle_deg:.1f}\N{DEGREE SIGN} ({180.0 - b.angle_deg:.1f}\N{DEGREE SIGN} between the legs)",
                    b.way,
                    f"{b.deduction:.2f} mm" if np.isfinite(b.deduction) else "none at 180\N{DEGREE SIGN}",
                )
                for b in done.bends
            ),
            "Bend lines, all from one edge",
            "Bend angle: what the metal is turned through. Sight line: one inside radius from the tangent line under "
            "the brake's nose, set level with the brake's nose.",
        )
    )
    blocks += check_blocks(done, words)
    blocks += order_blocks(done, job, words)
    if done.bending is not None:
        blocks += _bending_blocks(done.bending, words)
    section = pictures.folded(done, job)
    if section is not None:
        blocks.append(Figure(section, "Folded section, drawn back from the blank", height=70.0))
    return blocks


def _blank_name(done: BlankResult) -> str:
    more = [*(["ears"] if done.ears else []), *(["tabs"] if done.tabs else [])]
    return f"Blank, without {' and '.join(more)}" if more else "Blank"


def joint_blocks(done: BlankResult, words: Words) -> list[Block]:
    """Return the tabs and slots of a blank; nothing where it has none."""
    blocks: list[Block] = []
    if done.tabs:
        rows = [
            (
                row.joint,
                f"{row.edge}, foot at {words.size(row.foot)}",
                str(i),
                words.size(float(low)),
                words.size(float(high)),
                words.gap(row.size.tab_height),
            )
            for row in done.tabs
            for i, (low, high) in enumerate(row.spans, start=1)
        ]
        blocks.append(
            Table(
                ("Joint", "Edge", "Tab", "From the bottom", "To", "Stands past the edge"),
                tuple(rows),
                "Tabs for plug welds",
            )
        )
    if done.slots:
        slots = [
            (row.joint, row.of, str(i), words.size(float(x)), words.size(float(y)), *(words.gap(v) for v in row.size))
            for row in done.slots
            for i, (x, y) in enumerate(row.centres, start=1)
        ]
        blocks.append(
            Table(
                ("Joint", "For the tabs of", "Slot", "Middle from the left", "From the bottom", "Left to right", "Up"),
                tuple(slots),
                "Slots for plug welds, carried from the folded part to the blank",
            )
        )
    return blocks


_CHECKED = (
    "Face up: whether the face you look at on the blank's drawing looks up. Behind: the part of the blank that goes "
    "into the brake. Checked over every whole turn: metal against the tools, metal against metal, and that the part "
    "comes off. Not checked: {invented}tilting the part in or out, springback. Try the order on a strip of card first."
)


def _checked(order: BrakeOrder) -> str:
    """Return what the bend sheet means and what was checked in it."""
    if not order.invented:
        return _CHECKED.format(invented="")
    tools = listed(order.invented, "and")
    plural = "outlines" if len(order.invented) > 1 else "outline"
    stand = "invented ones of bench size stand for them" if len(order.invented) > 1 else "an invented one stands for it"
    return _CHECKED.format(invented=f"the real {plural} of this brake's {tools} ({stand}), ")


def _two_openings(done: BlankResult, order: BrakeOrder, job: Job) -> tuple[str, ...]:
    """Return what is to be said where the sheet's V is another than the brake's; else nothing."""
    tool = brake_used(order, job)
    if tool is None or tool.v_opening is None or done.checks is None or done.checks.opening_from != "material":
        return ()
    if tool.v_opening == done.checks.opening:
        return ()
    return (
        f"The order is for the brake's V of {tool.v_opening:.1f} mm; the checks above take the "
        f"{done.checks.opening:.1f} mm given with the material: say the same of both",
    )


def order_blocks(done: BlankResult, job: Job, words: Words) -> list[Block]:
    """Return the bend sheet of a blank: in which order it is bent, on which brake; nothing where no brake is named.

    Parameters
    ----------
    done : BlankResult
        As worked out.
    job : Job
        As given.
    words : Words
        Lengths in words.
    """
    order = done.order
    if order is None:
        return []
    blocks: list[Block] = [
        Heading(f"Bend order on the {order.brake}", 2),
        *([] if order.found is None else [Paragraph(order.found.explanation)]),
        *(Paragraph(sentences(text)) for text in (*order.left_out, *_two_openings(done, order, job))),
    ]
    if order.found is not None and order.found.steps:
        lines = {b.name: b for b in done.bends}
        over = {
            b.name: f", on the tool {b.over_bend.angle_deg:.1f}\N{DEGREE SIGN}"
            for b in (done.checks.bends if done.checks is not None else ())
            if b.over_bend is not None
        }
        rows = []
        for i, step in enumerate(order.found.steps, start=1):
            line = lines[step.name]
            rows.append(
                (
                    str(i),
                    ", ".join(step.moves) or "-",
                    step.name,
                    f"{step.angle_deg:.1f}\N{DEGREE SIGN} {line.way}{over.get(step.name, '')}",
                    step.face,
                    order.behind[i - 1],
                    words.size(step.gauge),
                    words.size(step.gauge_tangent),
                    f"{words.size(line.centre)} from the {line.edge}",
                    " + ".join(f"{w:g}" for w in step.fingers) or "-",
                )
            )
        table = with_columns(
            (
                "Order",
                "First",
                "Bend",
                "Bend angle, way",
                "Face up",
                "Behind",
                f"Stop to {order.line}",
                "Stop to tangent line",
                "Bend line",
                "Fingers, mm",
            ),
            rows,
            but="-",
        )
        blocks.append(dataclasses.replace(table, caption="Bends in their order"))
        blocks.append(Paragraph(_checked(order)))
        drawing = pictures.bend_steps(done, job)
        blocks.append(Figure(drawing, "Metal at the end of each bend, and dotted at its start", height=120.0))
    return blocks


_SEAMS = (
    "Patterns are laid as drawn, each in its rectangle: seams that lap need more, so cut those with room, or turn them "
    "about each other by hand to waste less."
)


def cut_blocks(
    sheets: tuple[CutSheet, ...], developed: tuple[DevelopedResult, ...], job: Job, words: Words
) -> list[Block]:
    """Return the cut list of a job; nothing where it names no stock.

    Parameters
    ----------
    sheets : tuple of CutSheet
        As worked out.
    developed : tuple of DevelopedResult
        Whose patterns are among the pieces.
    job : Job
        As given.
    words : Words
        Lengths in words.
    """
    blocks: list[Block] = []
    patterns = {name for d in developed for name in d.piece_names}
    for group in sheets:
        blocks += [
            Heading(f"Cut list: {group.metal}, {group.thickness:.2f} mm"),
            Paragraph(group.layout.explanation),
            *([Paragraph(_SEAMS)] if patterns & {p.name for s in group.layout.sheets for p in s.pieces} else []),
        ]
        for i, sheet in enumerate(group.layout.sheets, start=1):
            blocks.append(Figure(pictures.cut_sheet(group, i - 1, job), f"Sheet {i}: {sheet.name}", height=90.0))
            rows = [
                (f"{n} {p.name}", words.size(p.x), words.size(p.y), f"{words.size(p.length)} by {words.size(p.width)}")
                for n, p in enumerate(sheet.pieces, start=1)
            ]
            rows += [
                (f"remnant {n}", words.size(x), words.size(y), f"{words.size(long)} by {words.size(wide)}")
                for n, (x, y, long, wide) in enumerate(sheet.remnants, start=1)
            ]
            blocks.append(
                Table(
                    ("Piece", "From the left", "From the bottom", "Along by across the sheet"),
                    tuple(rows),
                    f"{_share(sheet.use)} of the sheet is used; kerf {job.cutting.kerf:g} mm",
                    "On the drawing a piece too small for words has its number; r stands for remnant.",
                )
            )
    return blocks


def _share(part: float) -> str:
    return f"{100.0 * part:.0f} %" if part >= 0.01 else "less than 1 %"


def _bending_blocks(about: Bending, words: Words) -> list[Block]:
    """Return how far the rules disagree, and whether a test strip is worth cutting."""
    rows = []
    for s in about.spreads:
        way = "length" if s.edge == "left" else "width"
        between = f"no rule in print is for these bends; this sheet says {words.size(s.size)}"
        if s.shortest is not None and s.longest is not None:
            shortest, longest = rules_named(s.shortest_rule or ""), rules_named(s.longest_rule or "")
            between = (
                f"{words.size(s.shortest)} ({shortest}) to {words.size(s.longest)} ({longest}): "
                f"{s.spread:.2f} mm; this sheet says {words.size(s.size)}"
            )
        rows.append((f"Blank {way} between the rules", between))
        if s.low is not None and s.high is not None:
            rows.append((f"Blank {way} by the test strips", f"{s.low:.1f} to {s.high:.1f} mm with 95 in 100"))
    rows.append(("Test strip", about.test_strip))
    left_out = dict.fromkeys(w for s in about.spreads for w in s.outside)
    if left_out:
        rows.append(("Rules left out", rules_named("; ".join(left_out))))
    return [KeyValues(tuple(rows))]
