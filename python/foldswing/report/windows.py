"""Where a gate's hole may lie, on the sheet."""

from __future__ import annotations

import math

from foldswing import pictures
from foldswing.evaluation import GateResult
from foldswing.evaluation.stations import Hand
from foldswing.evaluation.windows import WindowResult
from foldswing.job import Gate, Job
from foldswing.report.words import ABOVE, BELOW, INWARD, OUTWARD, Words, sentences
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table


def window_blocks(wanted: Gate, done: GateResult, job: Job, words: Words) -> list[Block]:
    """Return where the hole may lie, the best place and what stops it on each side; nothing without a pivot."""
    hands: tuple[Hand, ...] = ("left",) if done.axis is None else ("left", "right")
    return [block for hand in hands for block in _at_end(wanted, done, job, words, hand)]


def _at_end(wanted: Gate, done: GateResult, job: Job, words: Words, hand: Hand) -> list[Block]:
    found = done.window_at(hand)
    if found is None:
        return []
    which = f"{hand} end" if done.axis is not None else "main section"
    swing = f", {words.gap(found.gap)} is kept on the way" if found.clear and found.gap > 0.0 else ""
    drilled = "bush" if wanted.hinge.bush_diameter else "hole"
    metal = f" and {found.metal:.0f} mm of metal is left round the {drilled}" if found.metal > 0.0 else ""
    held = done.bracket
    if held is not None:
        also = " and" if metal or swing else ","
        metal += f"{also} {held.least_metal:g} mm is left round the hole in the {held.name}"
    about = f"Every place where each stop lands within what it allows{swing}{metal}"
    holes = (
        "Gate and jamb drilled through together count as one hole; marked and drilled apart, each adds its own error"
    )
    ear = "The ear's own gaps are in the table of tightest places" if wanted.hinge.ear_radius is not None else ""
    blocks: list[Block] = [
        Heading("Where the hole may lie" if done.axis is None else f"Where the hole may lie, {hand} end", 2),
        Paragraph(sentences(found.explanation, f"{about}; in the {which}", _edge(found), holes, ear)),
    ]
    rows = []
    if found.outlines:
        rows.append(("The window, across and up", f"{words.gap(found.width)} x {words.gap(found.height)}"))
    if found.place is not None and found.marks is not None:
        rows += [
            ("Best place, from the inner face", _either(words, found.place.from_inner_face, OUTWARD)),
            ("Best place, from the lower edge", _either(words, found.place.above_lower_edge, ABOVE)),
            ("Best place in the jamb, from the worktop surface", _either(words, found.marks.jamb_below_worktop, BELOW)),
            ("Best place in the jamb, from the wall's outer face", _either(words, found.marks.jamb_inward, INWARD)),
            ("There the hole may be off any way by", _off(words, found.forgiveness)),
        ]
    if math.isfinite(found.as_marked):
        rows.append(("As marked above it may be off any way by", _as_marked(found.as_marked, found.cell, words)))
    if rows:
        blocks.append(KeyValues(tuple(rows)))
    if found.binding:
        numbered = tuple((str(k), *row) for k, row in enumerate(found.binding, start=1))
        drawing = pictures.gate_window(wanted, done, job, hand)
        said = "Where the hole may lie, enlarged: do not measure from it"
        blocks.append(Figure(drawing, said, 90.0, 90.0, enlarged=pictures.window_enlarged(found)))
        header = ("Side", "Past the window", "What goes wrong")
        blocks.append(Table(header, numbered, "What stops the hole on each side"))
    return blocks


def _edge(found: WindowResult) -> str:
    """Return how closely the edge that the swing sets is known; nothing where the swing sets none."""
    if not found.clear or not any("on the way" in what for _, what in found.binding):
        return ""
    return f"Its edge is known to {found.cell:.2f} mm; places not sure to be clear are left out"


def _either(words: Words, length: float, way: tuple[str, str]) -> str:
    return words.either(length, *way, fine=True)


def _as_marked(room: float, cell: float, words: Words) -> str:
    """Return what the marks forgive; the edge of the window is known to a cell, and judged on the safe side."""
    if room > 2.0 * cell:
        return words.gap(room)
    if room > -2.0 * cell:
        return "next to nothing: the mark lies on the edge of the window"
    return f"nothing: the mark lies {words.gap(-room)} outside the window"


def _off(words: Words, room: float) -> str:
    return words.gap(room) if room > 0.0 else "nothing: a stop allows nothing"
