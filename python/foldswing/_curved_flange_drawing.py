"""Drawings of the blank of a flange along a curved edge: cut lines, slits, where the bend starts. By `template`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Path, Pose
from foldswing._layout import LEADING, LETTERS, WIDEST_ALONE, Placer, block, paragraph
from foldswing.drawing import Drawing, Entity, Stroke, mark

_FROM_ABOVE = "from above: the flange turns UP toward you"
_MARK = 6.0  # mm; of the cross at the root of a cut


def _strokes(cut: Sequence[Path], bend_start: Path, slits: Sequence[Path]) -> list[Entity]:
    if not cut:
        raise InvalidInput("cut must hold the lines to cut, got none")
    return [*(Stroke(path, "cut") for path in (*cut, *slits)), Stroke(bend_start, "tangent")]


def curved_flange_template(
    cut: Sequence[Path],
    bend_start: Path,
    *,
    slits: Sequence[Path] = (),
    roots: Any = (),
    title: str,
    view: str = _FROM_ABOVE,
    notes: Sequence[str] = (),
    revision: str = "",
) -> Drawing:
    """Return the blank of a flange along a curved edge at full size.

    Parameters
    ----------
    cut : sequence of Path
        Lines to cut, darts in them.
    bend_start : Path
        Where the bend starts.
    slits : sequence of Path
        Slits to saw.
    roots : (n, 2) lengths
        Where slits or darts end: marked for the drill.
    title : str
        Name of the part.
    view : str
        Which face of the sheet is drawn.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        Moved so that the lower left of all lines is the origin.

    Raises
    ------
    InvalidInput
        When there is nothing to cut.
    """
    _strokes(cut, bend_start, slits)
    boxes = np.array([drafting.bounds(path) for path in (*cut, bend_start)])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    home = Pose(-float(low[0]), -float(low[1]), 0.0)
    entities = _strokes([p.moved(home) for p in cut], bend_start.moved(home), [p.moved(home) for p in slits])
    for root in np.asarray(roots, dtype=float).reshape(-1, 2):
        entities += mark(root - low, size=_MARK)
    size = high - low
    middle = drafting.split(bend_start.moved(home), 10.0).points
    near = middle[np.argmax(middle[:, 1])]
    label = Placer(entities, LETTERS).text("the bend starts on this line", near, LETTERS, layer="tangent")
    entities.append(label)
    room = min(max(float(size[0]), 120.0), WIDEST_ALONE)
    lines = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(view, LETTERS, room),
        *(text for note in notes for text in paragraph(note, LETTERS, room)),
    ]
    rows = sum(LEADING * height for _, height, _ in lines)
    entities += block(lines, (0.0, max(float(size[1]), float(label.bounds[3])) + 4.0 + rows))
    return Drawing(f"{title}: flat", view, tuple(entities), revision)


def curved_flange_picture(
    cut: Sequence[Path],
    bend_start: Path,
    *,
    slits: Sequence[Path] = (),
    title: str,
    view: str = _FROM_ABOVE,
    revision: str = "",
) -> Drawing:
    """Return the small picture of such a blank, without words.

    Parameters
    ----------
    cut, bend_start, slits
        As `curved_flange_template` takes them.
    title, view, revision : str
        What it is, which face is drawn, date or revision.

    Returns
    -------
    Drawing
        In the coordinates of the paths.
    """
    return Drawing(title, view, tuple(_strokes(cut, bend_start, slits)), revision)
