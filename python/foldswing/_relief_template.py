"""Templates of what comes off a part so that a panel swings past. Public through `template`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path
from foldswing._end_template import radius_labels
from foldswing._layout import LETTERS, Line, Placer, Show, beside_lines, block, millimetres, paragraph
from foldswing.drawing import Drawing, Entity, Stroke, _numbers, _positive, mark

_NEAR = 120.0  # mm; a pivot farther from the relief than this is not drawn: its place is given in words alone
_WIDE = 125.0  # mm; longest line of the notes


def relief_template(
    cuts: Sequence[Path],
    part: Outline,
    pivot: Any,
    *,
    title: str,
    view: str,
    name: str,
    panel: Outline | None = None,
    depth: Any = None,
    surround: Any = 30.0,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    label: Show | None = None,
) -> Drawing:
    """Return the full-size template of what comes off a part: its real faces heavy, the line to cut to, the radii.

    Parameters
    ----------
    cuts : sequence of Path
        Closed; what comes off, with true arcs.
    part : Outline
        The part as it is, its section.
    pivot : point
        Centre of the arcs about it, mm.
    title, view, name : str
        Name of the drawing, from where it is seen, and what the part is called.
    panel : Outline, optional
        The panel, shut; drawn dashed.
    depth : length, optional
        How deep the cut goes at most, mm.
    surround : length
        How much of the part is shown round the cut, mm.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.
    show, label : callable
        Turn mm into words for the notes, and into few words beside lines.

    Returns
    -------
    Drawing
        Section axes kept.

    Raises
    ------
    InvalidInput
        When there is no cut, or one is open.
    """
    if not cuts or not all(cut.closed for cut in cuts):
        raise InvalidInput("cuts must be closed paths, at least one")
    centre = _numbers("pivot", pivot, 2)
    boxes = np.array([drafting.bounds(cut) for cut in cuts])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    reach = _positive("surround", surround)
    if np.hypot(*(np.clip(centre, low, high) - centre)) < _NEAR:
        low, high = np.minimum(low, centre - 6.0), np.maximum(high, centre + 6.0)
    window = np.array([*(low - reach), *(high + reach)])
    inside = bool(np.all(centre > window[:2]) and np.all(centre < window[2:]))
    beside = label or millimetres
    faces = drafting.clipped(part, window)
    beyond = drafting.clipped(panel, window) if panel is not None else []
    entities: list[Entity] = [Stroke(piece, "neighbour") for piece in beyond]
    entities += [Stroke(piece, "datum") for piece in faces]
    entities += [Stroke(cut, "cut") for cut in cuts]
    if inside:
        entities += mark(centre, size=12.0)
    placer = Placer(entities)
    words = [entity for cut in cuts for entity in radius_labels(cut, beside, placer)]
    lowest = min(float(drafting.bounds(piece)[1]) for piece in faces) if faces else float(low[1])
    words.append(placer.text(name, (0.5 * (low[0] + high[0]) - 0.5 * reach, lowest - 4.0), 2.5, layer="neighbour"))
    if beyond:
        words.append(placer.name("panel, shut", beyond, 2.5))
    if inside:
        words.append(placer.text("pivot", (centre[0], centre[1] + 9.0), 2.5))
    lines: list[Line] = [
        ("TAKE OFF INSIDE THE CUT LINE", 5.0, True),
        *paragraph(title, LETTERS, _WIDE, bold=True),
        *paragraph(view, LETTERS, _WIDE),
        *(
            paragraph(f"Deepest: {show(_positive('depth', depth))} from the part's own edge.", LETTERS, _WIDE)
            if depth
            else ()
        ),
        *(t for note in notes for t in paragraph(note, LETTERS, _WIDE)),
        *paragraph("Heavy lines: the part's real faces; lay them on the part and scribe the cut line.", LETTERS, _WIDE),
        *(t for t in paragraph(revision, LETTERS, _WIDE) if t[0]),
        *(t for t in paragraph(beside_lines(label).strip(), LETTERS, _WIDE) if t[0]),
    ]
    bounds = np.array([e.bounds for e in (*entities, *words)])
    said = block(lines, (float(bounds[:, 0].min()), float(bounds[:, 1].min()) - 9.0))
    return Drawing(f"{title}: relief template", view, (*entities, *words, *said), revision)
