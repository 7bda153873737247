"""A blank on the sheet."""

from __future__ import annotations

import numpy as np

from foldswing import pictures
from foldswing.evaluation import BlankResult
from foldswing.job import Job
from foldswing.report.words import VERDICTS, Words, sentences, warnings
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table


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
                f"{least:.2f} mm" if np.isfinite(least) else "not known",
                "; ".join(bad + unknown) or ("no objection" if made.checks else "not checked"),
                f"{over.angle_deg:.1f}\N{DEGREE SIGN}" if over else "not known",
                f"{over.extra_deg:.1f}\N{DEGREE SIGN}" if over else "not known",
                f"{over.radius:.2f} mm" if over else "not known",
                f"{1e-3 * made.force:.1f} kN" if made.force is not None else "not known",
            )
        )
    way = "given" if checks.opening_given else "recommended for this thickness"
    blocks: list[Block] = [
        Table(
            ("Bend", "Least radius", "Checks", "On the tool", "Springs back", "Radius on the tool", "Force"),
            tuple(rows),
            "Can the bends be made; what to bend to on the tool, so that it springs back to the bend angle",
        )
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
    drawing = pictures.blank(done, job)
    blocks.append(Figure(drawing, "Blank", height=110.0))
    rows = [
        ("Blank, without ears" if done.ears else "Blank", f"{words.size(done.length)} by {words.size(done.width)}"),
        *((("Ears", done.ears),) if done.ears else ()),
        ("Sheet", f"{done.metal}, {done.thickness:.2f} mm; inside radius {done.radius:.2f} mm"),
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
            "Bend lines, all from one edge. Bend angle: what the metal is turned through. Sight line: one inside "
            "radius from the tangent line under the brake's nose, set level with the brake's nose",
        )
    )
    blocks += check_blocks(done, words)
    section = pictures.folded(done, job)
    if section is not None:
        blocks.append(Figure(section, "Folded section, drawn back from the blank", height=70.0))
    return blocks
