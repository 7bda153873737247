"""Pictures of bends in the brake and of blanks on a sheet. Public through `pictures`."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Pose
from foldswing.bend_order import Step
from foldswing.cut_list import UsedSheet
from foldswing.drawing import Drawing, Entity, Stroke, Text, polyline

_WIDEST = 90.0  # mm either side of the bend that a picture of it shows
_SAME = 1e-9  # mm; corners nearer than this are one: far below what is drawn, far above rounding
_LETTERS = 2.4  # mm; capitals in a figure, as printed
_ROOM = (135.0, 110.0)  # mm; what a sheet gives a figure


def bend_steps_picture(steps: Sequence[Step], *, title: str, view: str, revision: str = "") -> Drawing:
    """Return every bend in the brake at its end, with the metal as it lay at its start, row by row.

    Under each stands what is done with the part before it: turned over, end for end, or by a quarter.

    Parameters
    ----------
    steps : sequence of Step
        In their order.
    title, view : str
        What it is and from where it is seen.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        The metal heavy, its start dotted, the tools broken: told apart without colour.
    """
    reach = max(float(np.abs(points).max()) for s in steps for points in (s.before, s.after))
    outlines = {id(points): _outline(points) for s in steps for points in (s.before, s.after)}
    half = 1.1 * reach if None in outlines.values() else min(1.1 * reach, _WIDEST)
    cell = 2.3 * half
    columns = max(range(1, len(steps) + 1), key=lambda n: min(_ROOM[0] / n, _ROOM[1] / _rows(steps, n)))
    letters = _LETTERS * max(columns * cell / _ROOM[0], _rows(steps, columns) * cell / _ROOM[1])
    cell = max(cell, 2.0 * half + 5.8 * letters)
    window = np.array([-half, -half, half, half])
    entities: list[Entity] = []
    for i, step in enumerate(steps):
        shift = np.array([(i % columns) * cell, -(i // columns) * cell])
        shown = [(t.outline, _outline(t.outline), "neighbour") for t in step.tools_after]
        shown += [(p, outlines[id(p)], layer) for p, layer in ((step.before, "swing"), (step.after, "panel"))]
        for points, outline, layer in shown:
            pieces = [polyline(points, closed=True).path] if outline is None else drafting.clipped(outline, window)
            entities += [Stroke(piece.moved(Pose(float(shift[0]), float(shift[1]), 0.0)), layer) for piece in pieces]
        lines = [f"{i + 1}: {step.name}, face {step.face}"]
        if moves := step.moves:
            lines.append(f"before it: {', '.join(moves)}")
        for down, words in zip((1.5, 3.2), lines, strict=False):
            size = min(letters, letters * 0.98 * cell / max(_lettering.width(words, letters, bold=True), 1e-9))
            at = shift + np.array([0.0, -half - down * letters])
            entities.append(Text(words, at, size, anchor="middle", bold=True))
    return Drawing(title, view, tuple(entities), revision)


def _outline(points: np.ndarray) -> Outline | None:
    """Return metal or a tool as an outline; None for metal that lies on itself, as in a closed hem.

    Where an arc meets a flat, a corner may come twice but for rounding.
    """
    apart = np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > _SAME
    try:
        return Outline(points[apart])
    except InvalidInput:
        return None


def _rows(steps: Sequence[Step], columns: int) -> int:
    return -(-len(steps) // columns)


def cut_sheet_picture(sheet: UsedSheet, *, title: str, view: str, revision: str = "") -> Drawing:
    """Return a sheet with its blanks, numbered, named and sized where there is room, and its remnants.

    Parameters
    ----------
    sheet : UsedSheet
        As laid out.
    title, view : str
        What it is and from where it is seen.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        Blanks in cut lines, remnants in broken ones: told apart without colour.
    """
    letters = _LETTERS * max(sheet.length / _ROOM[0], sheet.width / _ROOM[1])
    entities: list[Entity] = [_rectangle(0.0, 0.0, sheet.length, sheet.width, "panel")]
    for number, p in enumerate(sheet.pieces, start=1):
        entities.append(_rectangle(p.x, p.y, p.length, p.width, "cut"))
        size = f"{p.length:.1f} x {p.width:.1f}{', turned' if p.turned else ''}"
        entities += _within((p.x, p.y, p.length, p.width), (f"{number} {p.name}", size), f"{number}", letters)
    for number, (x, y, length, width) in enumerate(sheet.remnants, start=1):
        entities.append(_rectangle(x, y, length, width, "neighbour"))
        size = f"{length:.1f} x {width:.1f}"
        entities += _within((x, y, length, width), (f"remnant {number}", size), f"r{number}", letters)
    return Drawing(title, view, tuple(entities), revision)


def _rectangle(x: float, y: float, length: float, width: float, layer: str) -> Stroke:
    return polyline([(x, y), (x + length, y), (x + length, y + width), (x, y + width)], layer, closed=True)


def _within(box: tuple[float, float, float, float], lines: Sequence[str], number: str, letters: float) -> list[Entity]:
    """Return words in the middle of a box, all of one height: the lines where they have room, else the number alone.

    They stand upright where only so there is room for them.
    """
    x, y, length, width = box
    middle = np.array([x + 0.5 * length, y + 0.5 * width])
    for words in (lines, (number,)):
        wide, high = max(_lettering.width(text, letters) for text in words), 1.8 * letters * len(words)
        for along, across, angle in ((length, width, 0.0), (width, length, 90.0)):
            if wide > 0.94 * along or high > 0.94 * across:
                continue
            out: list[Entity] = []
            for i, text in enumerate(words):
                off = (0.5 * (len(words) - 1) - i) * 1.8 * letters
                at = middle + (np.array([-off, 0.0]) if angle else np.array([0.0, off]))
                out.append(Text(text, at, letters, angle, "middle", "middle"))
            return out
    fits = min(1.0, 0.94 * length / _lettering.width(number, letters), 0.94 * width / (1.8 * letters))
    return [Text(number, middle, letters * fits, 0.0, "middle", "middle")]
