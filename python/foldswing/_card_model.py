"""A card model: the panel's section to cut out, and the fixed bodies it is pinned on, to swing by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path
from foldswing._layout import LEADING, LETTERS, Line, Placer, Show, block, millimetres, paragraph
from foldswing.drawing import Circle, Drawing, Entity, Stroke, Text, _numbers, mark, polyline

_PIN = 1.5  # mm; a drawing pin or a nail
_ROUND = np.array([40.0, 28.0])  # mm on the card; how much is shown round the pin, across and up
_PAST = 9.0  # mm on the card; and past a body
_APART = 14.0  # mm on the card; between the two pieces
_LARGEST_SCALE = 50


def card_model(
    panel: Path,
    pivot: Any,
    fixed: Mapping[str, Outline],
    *,
    title: str,
    view: str,
    name: str = "panel",
    scale: int = 1,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
) -> Drawing:
    """Return a card model: the body with a pin hole, and beside it the panel's section to cut out and pin on it.

    Parameters
    ----------
    panel : Path
        Section of the panel, shut; closed.
    pivot : point
        mm.
    fixed : mapping of name to Outline
        What the panel must clear; far parts of a large body are left out.
    title, view : str
        What it is and from where it is seen.
    name : str
        What is written on the panel's piece.
    scale : int
        1 for full size, 2 for 1 : 2 and so on.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.
    show : callable
        Turns mm into words.

    Returns
    -------
    Drawing
        Both pieces on one drawing, already at scale; the pin of the body at the origin.
    """
    if not panel.closed:
        raise InvalidInput("panel must be a closed path, got an open one")
    if not (isinstance(scale, int) and 1 <= scale <= _LARGEST_SCALE):
        raise InvalidInput(f"scale must be a whole number from 1 to {_LARGEST_SCALE}, got {scale!r}")
    centre = _numbers("pivot", pivot, 2)
    factor = 1.0 / scale

    def small(points: Any) -> np.ndarray:
        """Return points at scale, the pivot at the origin."""
        out: np.ndarray = factor * (np.asarray(points) - centre)
        return out

    piece = Path(small(panel.points), panel.sweep_deg, closed=True)
    reach = max(float(np.hypot(*p)) for p in piece.points)
    bodies = {what: Outline(small(body.points)) for what, body in fixed.items()}
    window = np.array([*-_ROUND, *_ROUND])
    for body in bodies.values():
        low, high = np.asarray(body.points).min(axis=0), np.asarray(body.points).max(axis=0)
        if max(np.hypot(*low), np.hypot(*high)) < reach:  # a whole body the panel can strike, such as a rail
            window[:2] = np.minimum(window[:2], low - _PAST)
            window[2:] = np.maximum(window[2:], high + _PAST)
    board = polyline([window[[0, 1]], window[[2, 1]], window[[2, 3]], window[[0, 3]]], "cut", closed=True)
    entities: list[Entity] = [board]
    seen = {what: drafting.clipped(body, window) for what, body in bodies.items()}
    entities += [Stroke(p, "panel") for several in seen.values() for p in several]
    box = drafting.bounds(piece)
    shift = np.array([window[2] + _APART - box[0], window[1] - box[1]])
    entities.append(Stroke(Path(np.asarray(piece.points) + shift, piece.sweep_deg, closed=True), "cut"))
    for at in (np.zeros(2), shift):
        entities += [Circle(at, 0.5 * _PIN, "hole"), *mark(at, size=10.0)]

    said = "full size" if scale == 1 else f"scale 1 : {scale}, NOT full size"
    upright = box[3] - box[1] > box[2] - box[0]
    room = float(window[2] - window[0]) + (0.0 if upright else _APART + float(box[2] - box[0]))
    room = max(room, 60.0)
    lines: list[Line] = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(f"{view}; {said}", LETTERS, room, bold=True),
        *paragraph(
            "Glue to card. Cut out the two pieces, prick both crosses, pin through, swing by hand all the way.",
            LETTERS,
            room,
        ),
        *(t for words in (*notes, revision) for t in paragraph(words, LETTERS, room) if t[0]),
    ]
    top = float(window[3]) if upright else max(float(window[3]), float(box[3] + shift[1]))  # beside a tall piece
    entities += block(lines, (float(window[0]), top + 6.0 + sum(LEADING * height for _, height, _ in lines)))
    placer = Placer(entities)
    entities += [placer.name(what, several, 2.6) for what, several in seen.items() if several]
    entities.append(_on_piece(name, box, shift))
    words = _lettering.clean(f"{title}: card model, {said}")
    return Drawing(words, view, tuple(entities), revision)


def _on_piece(name: str, box: np.ndarray, shift: np.ndarray) -> Text:
    """Return what stands on the panel's piece, along its longer side, clear of the pin."""
    wide, high = float(box[2] - box[0]), float(box[3] - box[1])
    upright = high > wide
    long, across = (high, wide) if upright else (wide, high)
    text, size = _lettering.fitted(name, min(4.0, 0.5 * across), 0.5 * long, least=1.0, bold=True)
    k = 1 if upright else 0
    far = box[k + 2] if box[k + 2] > -box[k] else box[k]  # the pin is at 0
    at = 0.5 * (box[:2] + box[2:])
    at[k] = 0.5 * far
    return Text(text, at + shift, size, 90.0 if upright else 0.0, "middle", "middle", bold=True)
