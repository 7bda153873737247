"""A developed part on the sheet."""

from __future__ import annotations

from foldswing import pictures
from foldswing.development import Pattern
from foldswing.evaluation import DevelopedResult
from foldswing.job import Job
from foldswing.report.words import VERDICTS, Words, sentences, warnings
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table

_MOST_ROWS = 40  # lines of a pattern told one by one; the template has all of them


def _method(pattern: Pattern) -> str:
    """Return how a pattern was found, and by how much it is off."""
    if pattern.method == "exact":
        return "exact: it rolls up into the part"
    if pattern.method == "stretched":
        return "true down the middle and across; the edges have to be shrunk"
    return f"flat triangles between the lines, up to {pattern.surface_error:.2f} mm off the smooth skin"


def developed_blocks(done: DevelopedResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of a developed part."""
    blocks: list[Block] = [
        Heading(f"{done.name}: {done.kind}"),
        Paragraph(sentences(VERDICTS[done.verdict], done.explanation)),
        *warnings(done.findings),
    ]
    for each in done.patterns:
        pattern = each.pattern
        corner = pattern.points.min(axis=0)
        blocks.append(Figure(pictures.pattern(done, each, job), f"{each.name}, outer face up", height=110.0))
        blocks.append(
            KeyValues(
                (
                    ("Cut", f"{each.count} of {words.size(pattern.length)} by {words.size(pattern.width)}"),
                    ("Method", _method(pattern)),
                    ("Sheet", f"{done.metal}, {done.thickness:.2f} mm; worked out on the middle of the sheet"),
                    ("Seam allowance", "none on the pattern: add yours"),
                    *((f"Edge, {e.label}", words.size(e.length)) for e in pattern.edges),
                    ("Area", f"{1e-6 * pattern.area:.4f} m\N{SUPERSCRIPT TWO}"),
                )
            )
        )
        twists = any(line.twist_deg for line in pattern.lines)
        rows = tuple(
            (
                line.label,
                line.kind,
                words.size(line.length),
                f"{abs(line.angle_deg):.1f}\N{DEGREE SIGN}" if line.kind == "fold" else "",
                *((f"{abs(line.twist_deg):.2f}\N{DEGREE SIGN}",) if twists else ()),
                *(f"{x:.1f}, {y:.1f}" for x, y in line.ends - corner),
            )
            for line in pattern.lines[:_MOST_ROWS]
        )
        if rows:
            blocks.append(
                Table(
                    (
                        *("Line", "Kind", "True length", "Fold"),
                        *(("Twist",) if twists else ()),
                        *("Lower end, mm", "Upper end, mm"),
                    ),
                    rows,
                    "Lines on the pattern; ends from its left and its bottom edge"
                    + (". Twist: between the sheet's planes at both ends" if twists else ""),
                )
            )
    return blocks
