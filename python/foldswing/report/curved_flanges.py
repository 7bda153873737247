"""A flange along a curved edge on the sheet."""

from __future__ import annotations

from foldswing import pictures
from foldswing.evaluation import ArcOnBlank, CurvedFlangeResult
from foldswing.job import Job
from foldswing.report.words import VERDICTS, Words, sentences, sheet_of, warnings
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table


def curved_flange_blocks(done: CurvedFlangeResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of a flange along a curved edge."""
    rows = [
        (
            "Finished edge",
            f"{done.edge}, radius {words.size(done.edge_radius)}; {words.size(done.edge_length)} round it",
        ),
        ("Flange", f"{words.size(done.depth)} deep, turned through {done.angle_deg:.1f}\N{DEGREE SIGN}"),
        sheet_of(done.metal, done.thickness, done.radius),
        ("Bend figure", done.basis),
        *((("Test strip", done.bending.test_strip),) if done.bending is not None else ()),
        *strain_rows(done),
        *((("Figures of the metal", "; ".join(done.sources)),) if done.sources else ()),
        ("Worked out", "the metal moving along the edge alone, nothing drawn in from the base; derived, no source"),
    ]
    return [
        Heading(f"{done.name}: curved flange"),
        Paragraph(sentences(VERDICTS[done.verdict], done.explanation)),
        *warnings(done.findings),
        Figure(pictures.curved_flange(done, job), "Blank", height=110.0),
        KeyValues(tuple(rows)),
        *cut_rows(done, words),
        lines_table(done, words),
        Figure(pictures.folded(done, job), "Section, drawn back from the blank", height=60.0),
    ]


def strain_rows(done: CurvedFlangeResult) -> tuple[tuple[str, str], ...]:
    """Return what the edge must stretch or shrink by, and what it takes."""
    must = f"The edge must {'stretch' if done.made.strain > 0.0 else 'shrink'} by"
    takes = f"not known: {done.takes_from}" if done.takes is None else f"{100.0 * done.takes:.1f} %, {done.takes_from}"
    return (must, f"{100.0 * abs(done.made.strain):.1f} %"), ("It takes", takes)


def cut_rows(done: CurvedFlangeResult, words: Words) -> list[Block]:
    """Return how slits or darts are cut; nothing where there are none."""
    made = done.made
    if not made.cuts:
        return []
    slits = made.easing == "notches"
    return [
        KeyValues(
            (
                ("Slits" if slits else "Darts", f"{made.cuts}, evenly spread, half a spacing from the ends"),
                ("From one to the next", f"{words.size(done.edge_length / made.cuts)} along the finished edge"),
                ("Deep from the edge", words.size(made.cut_depth)),
                ("Open to, at the edge" if slits else "Wide at the edge", words.size(made.cut_width)),
            )
        )
    ]


def lines_table(done: CurvedFlangeResult, words: Words) -> Table:
    """Return how the lines of the blank are struck."""

    def row(what: str, line: ArcOnBlank) -> tuple[str, str, str, str]:
        circle = line.chord != line.chord
        return (
            what,
            words.size(line.radius),
            "whole circle" if circle else words.size(line.chord),
            "" if circle else words.size(line.rise),
        )

    rows = [row("Edge of the flange: cut", done.edge_on_blank), row("The bend starts here", done.bend_on_blank)]
    rows += [row("Edge of the base: cut", done.base_on_blank)] if done.base_on_blank is not None else []
    return Table(
        ("On the blank", "Radius", "Chord", "Rise"),
        tuple(rows),
        "All from one centre, or each by its own chord and rise",
    )
