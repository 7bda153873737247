"""The angle that a stop left open, on the sheet: the pivot over the range, and the angle taken."""

from __future__ import annotations

import dataclasses
import math

from foldswing.evaluation import GateResult
from foldswing.evaluation.free_angles import AngleRow, FreeAngle
from foldswing.report.words import BELOW, OUTWARD, Words, sentences, with_columns
from foldswing.sheet import Block, Heading, Paragraph

_VOID = "-"
_SEEN = 0.05  # degrees; less prints as nothing
_NO_PLACE = "no place"
_SAME = 0.005  # degrees; angles nearer than this print alike


def angle_blocks(done: GateResult, words: Words) -> list[Block]:
    """Return the pivot as a function of the angle, and why which angle was taken; nothing where none was left open."""
    found = done.free_angle
    if found is None:
        return []
    said = [found.explanation, f"What is wished: {found.wish}"]
    if done.axis is not None:
        said.append("It was looked for in the section as stated; left and right then got pivots of their own")
    blocks: list[Block] = [Heading(f"The angle of '{found.stop}'", 2), Paragraph(sentences(*said))]
    if found.rows:
        header = (
            "Opened; inner face from level",
            "Pivot from the inner face",
            "Pivot from the worktop",
            "Off the spot wanted",
            "Hole of the bracket: allowance it uses up",
            "In the best place the hole may be off by",
            "Gap on the way",
        )
        table = with_columns(header, [_cells(row, found, words) for row in _with_best(found)], but=_VOID)
        caption = (
            "The pivot at every angle, not rounded; what the hole may be off by is for the landings alone, and gaps "
            "leave out what the gate rests on"
        )
        blocks.append(dataclasses.replace(table, caption=caption))
    return blocks


def _with_best(found: FreeAngle) -> list[AngleRow]:
    """Return the rows in order with the angle taken among them, once."""
    if not found.found:
        return list(found.rows)
    rows = [row for row in found.rows if abs(row.opening_deg - found.best.opening_deg) > _SAME]
    return sorted([*rows, found.best], key=lambda row: row.opening_deg)


def _cells(row: AngleRow, found: FreeAngle, words: Words) -> tuple[str, ...]:
    level, way = abs(row.below_level_deg), "below" if row.below_level_deg > 0.0 else "above"
    face = "level" if level < _SEEN else f"{level:.1f}\N{DEGREE SIGN} {way}"
    taken = ": TAKEN" if found.found and row is found.best else ""
    inner, below = _NO_PLACE, _NO_PLACE
    if row.place is not None:
        inner = words.either(row.place.from_inner_face, *OUTWARD, fine=True)
        below = words.either(row.place.below_worktop, *BELOW, fine=True)
    return (
        f"{row.opening_deg:.1f}\N{DEGREE SIGN}; {face}{taken}",
        inner,
        below,
        _gap(row.off_spot, words),
        _hole(row),
        _gap(row.forgiveness, words),
        "none" if row.gap == 0.0 else _gap(row.gap, words),
    )


def _hole(row: AngleRow) -> str:
    if not row.hole:
        return _VOID
    return f"{row.hole}: {100.0 * row.used:.0f} %" if row.used <= 1.0 else f"{row.hole}: misses"


def _gap(length: float, words: Words) -> str:
    return words.gap(length) if math.isfinite(length) else _VOID
