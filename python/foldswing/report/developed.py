"""A developed part on the sheet."""

from __future__ import annotations

from foldswing import pictures
from foldswing._layout import in_degrees
from foldswing.development import Pattern
from foldswing.evaluation import DevelopedResult
from foldswing.job import Job
from foldswing.report.words import VERDICTS, Words, sentences, sheet_of, warnings
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table

_ROOM = (160.0, 110.0)  # mm; for a pattern with its lines
_MOST_ROWS = 40  # lines of a pattern told one by one; the template has all of them


def _method(pattern: Pattern) -> str:
    """Return how a pattern was found, and by how much it is off."""
    if pattern.method == "exact":
        return "exact: it rolls up into the part"
    if pattern.method == "stretched":
        return "true down the middle and across; the edges have to be shrunk"
    return f"flat triangles between the lines, up to {pattern.surface_error:.2f} mm off the smooth skin"


def _rest(left_out: int) -> str:
    return f" {left_out} more lines stand on the pattern itself." if left_out > 0 else ""


def developed_blocks(done: DevelopedResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of a developed part."""
    blocks: list[Block] = [
        Heading(f"{done.name}: {done.kind}"),
        Paragraph(sentences(VERDICTS[done.verdict], in_degrees(done.explanation))),
        *warnings(done.findings),
    ]
    for each in done.patterns:
        pattern = each.pattern
        corner = pattern.points.min(axis=0)
        blocks.append(Figure(pictures.pattern_lines(done, each, job, _ROOM), each.name, *_ROOM))
        blocks.append(
            KeyValues(
                (
                    ("Cut", f"{each.count} of {words.size(pattern.length)} by {words.size(pattern.width)}"),
                    ("Method", f"{_method(pattern)}; worked out on the middle of the sheet"),
                    sheet_of(done.metal, done.thickness),
                    ("Seam allowance", "none on the pattern: add yours"),
                    *((f"Edge, {e.label}", words.size(e.length)) for e in pattern.edges),
                    ("Area", f"{1e-6 * pattern.area:.4f} m\N{SUPERSCRIPT TWO}"),
                )
            )
        )
        folds = any(line.kind == "fold" for line in pattern.lines)
        twists = any(line.twist_deg for line in pattern.lines)
        rows = tuple(
            (
                in_degrees(line.label),
                line.kind,
                words.size(line.length),
                *((f"{abs(line.angle_deg):.1f}\N{DEGREE SIGN}" if line.kind == "fold" else "-",) if folds else ()),
                *((f"{abs(line.twist_deg):.2f}\N{DEGREE SIGN}",) if twists else ()),
                *(f"{x:.1f}, {y:.1f}" for x, y in line.ends - corner),
            )
            for line in pattern.lines[:_MOST_ROWS]
        )
        if rows:
            blocks.append(
                Table(
                    (
                        *("Line", "Kind", "True length"),
                        *(("Fold",) if folds else ()),
                        *(("Twist",) if twists else ()),
                        *("Lower end, mm", "Upper end, mm"),
                    ),
                    rows,
                    f"Lines on the pattern: {each.name}",
                    "Ends are measured from its left and its bottom edge."
                    + (" Twist: between the sheet's planes at both ends." if twists else "")
                    + _rest(len(pattern.lines) - _MOST_ROWS),
                )
            )
    return blocks
