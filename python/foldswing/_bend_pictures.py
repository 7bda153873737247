"""Pictures of bends in the brake and of blanks on a sheet. Public through `pictures`."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldswing import _lettering
from foldswing._core import drafting
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
    half = min(1.1 * reach, _WIDEST)
    cell = 2.3 * half
    columns = max(range(1, len(steps) + 1), key=lambda n: min(_ROOM[0] / n, _ROOM[1] / _rows(steps, n)))
    letters = _LETTERS * max(columns * cell / _ROOM[0], _rows(steps, columns) * cell / _ROOM[1])
    cell = max(cell, 2.0 * half + 5.8 * letters)
    window = np.array([-half, -half, half, half])
    entities: list[Entity] = []
    for i, step in enumerate(steps):
        shift = np.array([(i % columns) * cell, -(i // columns) * cell])
        shown = [(points, "neighbour") for points in (t.outline for t in step.tools_after)]
        shown += [(step.before, "swing"), (step.after, "panel")]
        for points, layer in shown:
            entities += [
                Stroke(piece.moved(Pose(float(shift[0]), float(shift[1]), 0.0)), layer)
                for piece in drafting.clipped(_outline(points), window)
            ]
        lines = [f"{i + 1}: {step.name}, face {step.face}"]
        if moves := step.moves:
            lines.append(f"before it: {', '.join(moves)}")
        for down, words in zip((1.5, 3.2), lines, strict=False):
            size = min(letters, letters * 0.98 * cell / max(_lettering.width(words, letters, bold=True), 1e-9))
            at = shift + np.array([0.0, -half - down * letters])
            entities.append(Text(words, at, size, anchor="middle", bold=True))
    return Drawing(title, view, tuple(entities), revision)


def _outline(points: np.ndarray) -> Outline:
    """Return metal or a tool as an outline: where an arc meets a flat, a corner may come twice but for rounding."""
    apart = np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > _SAME
    return Outline(points[apart])


def _rows(steps: Sequence[Step], columns: int) -> int:
    return -(-len(steps) // columns)


def cut_sheet_picture(sheet: UsedSheet, *, title: str, view: str, revision: str = "") -> Drawing:
    """Return a sheet with its blanks, named and sized, and its remnants.

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
    for p in sheet.pieces:
        entities.append(_rectangle(p.x, p.y, p.length, p.width, "cut"))
        size = f"{p.length:.1f} x {p.width:.1f}{', turned' if p.turned else ''}"
        entities += _within((p.x, p.y, p.length, p.width), (p.name, size), letters)
    for x, y, length, width in sheet.remnants:
        entities.append(_rectangle(x, y, length, width, "neighbour"))
        entities += _within((x, y, length, width), ("remnant", f"{length:.1f} x {width:.1f}"), letters)
    return Drawing(title, view, tuple(entities), revision)


def _rectangle(x: float, y: float, length: float, width: float, layer: str) -> Stroke:
    return polyline([(x, y), (x + length, y), (x + length, y + width), (x, y + width)], layer, closed=True)


def _within(box: tuple[float, float, float, float], lines: Sequence[str], letters: float) -> list[Entity]:
    """Return lines of words in the middle of a box, upright where it is higher than wide, as small as they must be."""
    x, y, length, width = box
    upright = width > length
    along, across = max(length, width), min(length, width)
    wide = max(_lettering.width(words, 1.0) for words in lines)
    size = min(letters, 0.9 * along / wide, 0.9 * across / (1.8 * len(lines)))
    middle = np.array([x + 0.5 * length, y + 0.5 * width])
    out: list[Entity] = []
    for i, words in enumerate(lines):
        off = (0.5 * (len(lines) - 1) - i) * 1.8 * size
        at = middle + (np.array([-off, 0.0]) if upright else np.array([0.0, off]))
        out.append(Text(words, at, size, 90.0 if upright else 0.0, "middle", "middle"))
    return out
