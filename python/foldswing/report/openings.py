"""An opening on the sheet: what to cut, how to check it, how far the opening is out of square, the gap budget."""

from __future__ import annotations

import math

from foldswing import opening
from foldswing.evaluation.openings import EDGES, JAMBS, OpeningResult
from foldswing.job import Gate
from foldswing.report.words import Words, sentences
from foldswing.sheet import Block, Heading, KeyValues, Paragraph, Table

CORNERS = ("bottom left", "bottom right", "top right", "top left")
READ = {
    "width_top": "width at the head",
    "width_bottom": "width at the sill",
    "height_left": "height at the left",
    "height_right": "height at the right",
    "diagonal_rising": "bottom left to top right",
    "diagonal_falling": "top left to bottom right",
}
SQUARE = 0.05  # mm; less than this prints as nothing
NOT_MEASURED = (
    "The heights of the opening were not given: the gate is cut square, to its narrower width. "
    "With both heights and both diagonals the panel is worked out from the opening as it is."
)


def opening_blocks(wanted: Gate, done: OpeningResult, words: Words) -> list[Block]:
    """Return what to cut, out of square and the gap budget; seen from outside, the hinge side first."""
    how = "square" if done.fit == "square" else "to the opening: every edge parallel to it"
    thick = ("thick", f"{wanted.panel.thickness:.1f} mm")
    rows = (*cut_rows(done, words), thick, *_check_rows(done, words), ("How", f"{how}; bare metal"))
    blocks: list[Block] = [Heading("What to cut", 2), KeyValues(rows)]
    if done.shape is None:
        return [*blocks, Paragraph(NOT_MEASURED)]
    blocks += [Heading("The opening, seen from outside", 2), Paragraph(sentences(done.shape.explanation))]
    if done.shape.status != "impossible":
        blocks += [_readings(wanted, done.shape, words), _square(done.shape.square, words)]
    if done.panel is not None:
        blocks.append(_budget(wanted, done.panel, words))
        if done.panel.status not in {"fits", "tight"}:
            blocks.append(Paragraph(sentences(done.panel.explanation)))
    return blocks


def cut_rows(done: OpeningResult, words: Words) -> list[tuple[str, str]]:
    """Return what the gate is cut to, bare metal."""
    if math.isnan(done.width):
        return [("Gate", "none goes in: see the warnings")]
    if done.fit == "square" or done.panel is None:
        return [("Gate, wide", words.size(done.width)), ("high", words.size(done.height))]
    lower, right, upper, left = (words.size(float(side)) for side in done.panel.sides)
    return [("Gate, lower edge", lower), ("upper edge", upper), ("left end", left), ("right end", right)]


def _check_rows(done: OpeningResult, words: Words) -> list[tuple[str, str]]:
    """Return the diagonals to check the cut gate with."""
    panel = done.panel
    if panel is None or panel.status == "none":
        return []
    rising, falling = words.size(panel.diagonal_rising), words.size(panel.diagonal_falling)
    if done.fit == "square":
        return [("Check: both diagonals", rising)]
    return [("Check: bottom left to top right", rising), ("Check: top left to bottom right", falling)]


def _readings(wanted: Gate, shape: opening.Opening, words: Words) -> Table:
    o = wanted.opening
    read = (o.width_top, o.width_bottom, o.height_left, o.height_right, *(o.diagonals or (None, None)))
    rows = []
    for name, given, size, out, should in zip(
        opening.READINGS, read, shape.sizes, shape.misfit, shape.should_read, strict=True
    ):
        row = [READ[name], words.size(given) if given is not None else "not read", words.size(float(size))]
        row.append(words.either(float(out), "more", "less", fine=True) if given is not None else "")
        if shape.status == "misread":
            row.append(words.size(float(should)) if math.isfinite(should) else "nothing")
        rows.append(tuple(row))
    heads: tuple[str, ...] = ("Size", "Read", "Of the shape found", "Shape against reading")
    if shape.status == "misread":
        heads = (*heads, "What the other five make it")
    return Table(heads, tuple(rows), "What was read, and the opening found from it")


def _square(square: opening.OutOfSquare, words: Words) -> Table:
    rows = []
    for corner, out in zip(CORNERS, square.corners, strict=True):
        jamb = "left jamb" if "left" in corner else "right jamb"
        far = "at the head" if "bottom" in corner else "at the sill"
        rows.append((corner, _off(float(out), f"the {jamb} closes in", f"the {jamb} opens out", far)))
    rows += [
        (
            "diagonals",
            _off(square.diagonals, "bottom left to top right is longer", "top left to bottom right is longer"),
        ),
        ("widths", _off(square.widths, "wider at the head", "wider at the sill")),
        ("heights", _off(square.heights, "higher at the left", "higher at the right")),
    ]
    caption = "Out of square: a square on the sill (upper corners: on the head) shows"
    return Table(("Where", "How much"), tuple(rows), caption)


def _off(out: float, positive: str, negative: str, where: str = "") -> str:
    if abs(out) < SQUARE:
        return "square" if where else "alike"
    return f"{positive if out > 0.0 else negative} by {abs(out):.1f} mm {where}".strip()


def _budget(wanted: Gate, panel: opening.Panel, words: Words) -> Table:
    g = wanted.gaps
    left = g.left_end if g.left_end is not None else g.ends
    right = g.right_end if g.right_end is not None else g.ends
    stated = {"sill": g.sill, "head": g.head, "left": left, "right": right}
    by_edge = {gap.edge: gap for gap in panel.gaps}
    rows = []
    for edge in ("sill", "left", "right", "head"):
        gap, want = by_edge[edge], stated[edge]
        rows.append(
            (
                f"{JAMBS.get(edge, EDGES[edge])}{' (hinge side)' if edge == 'sill' else ''}",
                f"{words.gap(want)} {g.are}" if want is not None else "not stated",
                words.gap(gap.paint),
                f"{gap.seal.squeezed:.1f} to {gap.seal.free:.1f} mm" if gap.seal else "none",
                _from_to(gap.least_bare, gap.greatest_bare, words),
                _from_to(gap.least_painted, gap.greatest_painted, words),
                _state(gap, want if g.are == "bare" or want is None else want + gap.paint)
                if panel.status != "none"
                else "no gate",
            )
        )
    heads = ("Edge", "Wanted, least", "Paint, both faces", "Seal, squeezed to free", "Bare", "Painted", "")
    return Table(heads, tuple(rows), "Gap budget, hinge side first: from its least to its greatest along the edge")


def _state(gap: opening.EdgeGap, wanted: float | None) -> str:
    # at the sill the room there is, not the gap wanted, decides what the gate is cut to
    needed = max(gap.needed, wanted or 0.0) if gap.edge == "sill" else gap.needed
    short = needed - gap.least_bare
    if gap.state == "tight" or (gap.state == "kept" and short > SQUARE):
        return f"{short:.2f} mm short"
    return gap.state


def _from_to(least: float, greatest: float, words: Words) -> str:
    if math.isnan(least):  # no gate
        return "none"
    texts = [words.gap(max(0.0, v)) if v > -SQUARE else f"overlaps {words.gap(-v)}" for v in (least, greatest)]
    return texts[0] if texts[0] == texts[1] else " to ".join(texts)
