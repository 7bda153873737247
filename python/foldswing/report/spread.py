"""How the sheet tells what several readings of one size leave uncertain."""

from __future__ import annotations

from foldswing import sheet
from foldswing.evaluation import ReadSize, Results
from foldswing.sheet import Block, Heading, Paragraph, Table

_UNITS = {"mm": " mm", "deg": "\N{DEGREE SIGN}", "kg": " kg"}


def spread_blocks(results: Results) -> list[Block]:
    """Return the sizes that were read several times, questions about them, and what they leave uncertain."""
    if not results.readings:
        return []
    blocks: list[Block] = [Heading("What the readings leave uncertain")]
    blocks += [
        sheet.Warning(f"{read.words}: {read.question}", _readings(read), "it does not fit", "measure it again")
        for read in results.readings
        if read.question
    ]
    rows = tuple((r.words, _readings(r), _say(r.mean, r.unit), _say(r.spread, r.unit)) for r in results.readings)
    blocks.append(Table(("Size", "Readings", "Mean, worked with", "Spread"), rows, "Sizes read several times"))
    if not results.uncertain:
        return [*blocks, Paragraph("Nothing that is marked, cut or passed moves by as much as is printed.")]
    moved = tuple(
        (u.part, u.what, f"\N{PLUS-MINUS SIGN} {_say(u.plus_minus, u.unit)}", u.chief) for u in results.uncertain
    )
    blocks.append(
        Table(("Part", "Result", "One in three is out by more", "Mostly from"), moved, "What they leave uncertain")
    )
    return blocks


def _say(value: float, unit: str) -> str:
    return f"{value:.2f}{_UNITS[unit]}"


def _readings(read: ReadSize) -> str:
    return f"{', '.join(f'{v:.6g}' for v in read.readings)}{_UNITS[read.unit]}"
