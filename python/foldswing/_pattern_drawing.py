"""Drawings of developed patterns: cut line, roll and fold lines with their labels. Public through `template`."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput
from foldswing._core.plane import Pose
from foldswing._layout import LEADING, LETTERS, WIDEST_ALONE, Show, block, in_degrees, millimetres, paragraph
from foldswing.development import Pattern, PatternLine
from foldswing.drawing import Drawing, Entity, Text, line, polyline

_FROM_OUTSIDE = "outer face up: roll and fold away from you"
_LAYERS = {"roll": "roll", "tangent": "tangent"}
_TWIST = 0.05  # degrees; less prints as none
_SHARE = 0.3  # of a line, from its bottom: where its label stands


def pattern_template(
    pattern: Pattern,
    *,
    title: str,
    view: str = _FROM_OUTSIDE,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    letters: float = LETTERS,
    headed: bool = True,
) -> Drawing:
    """Return a developed pattern at full size, with its roll and fold lines.

    Parameters
    ----------
    pattern : development.Pattern
        The pattern.
    title : str
        Name of the part.
    view : str
        Which face of the sheet is drawn.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.
    show : callable
        Turns mm into words for the notes.
    letters : length
        Height of the capitals beside lines, mm of the drawing: larger for a picture that is made smaller.
    headed : bool
        Whether title, view, sizes and notes stand above it.

    Returns
    -------
    Drawing
        Moved so that the lower left of the pattern is the origin.

    Raises
    ------
    InvalidInput
        When something else is given.
    """
    if not isinstance(pattern, Pattern):
        raise InvalidInput(f"pattern must be a development.Pattern, got {pattern!r:.80}")
    low = pattern.points.min(axis=0)
    size = pattern.points.max(axis=0) - low
    entities: list[Entity] = [polyline(ring - low, closed=True) for ring in (pattern.points, *pattern.holes)]
    for each in pattern.lines:
        entities += _line(each, low, letters)
    if not headed:
        return Drawing(title, view, tuple(entities), revision)
    room = min(max(float(size[0]), 120.0), WIDEST_ALONE)
    edges = ", ".join(f"{e.label} {show(e.length)}" for e in pattern.edges)
    said = [
        f"{show(float(size[0]))} x {show(float(size[1]))} flat, no seam allowance on it: add yours",
        f"Edges: {edges}",
        in_degrees(pattern.explanation),
        *notes,
    ]
    lines = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(view, LETTERS, room),
        *(text for each in said for text in paragraph(each, LETTERS, room)),
    ]
    rows = sum(LEADING * height for _, height, _ in lines)
    entities += block(lines, (0.0, float(size[1]) + 4.0 + rows))
    return Drawing(f"{title}: flat", view, tuple(entities), revision)


def pattern_picture(pattern: Pattern, *, title: str, view: str = _FROM_OUTSIDE, revision: str = "") -> Drawing:
    """Return the small picture of a pattern: its edge and its lines, without words.

    Parameters
    ----------
    pattern : development.Pattern
        The pattern.
    title, view, revision : str
        What it is, which face is drawn, date or revision.

    Returns
    -------
    Drawing
        In the coordinates of the pattern.
    """
    rings = [polyline(ring, closed=True) for ring in (pattern.points, *pattern.holes)]
    return Drawing(
        title, view, (*rings, *(line(each.ends[0], each.ends[1], _layer(each)) for each in pattern.lines)), revision
    )


def line_words(each: PatternLine) -> str:
    """Return what stands beside a line of a pattern."""
    label = in_degrees(each.label)
    if each.kind == "fold":
        way = "away" if each.angle_deg > 0.0 else "toward you"
        return f"{label}: fold {abs(each.angle_deg):.1f}\N{DEGREE SIGN} {way}"
    twist = abs(each.twist_deg)
    return f"{label}: twist {twist:.1f}\N{DEGREE SIGN}" if twist >= _TWIST else label


def _layer(each: PatternLine) -> str:
    return _LAYERS.get(each.kind) or ("bend_down" if each.angle_deg > 0.0 else "bend_up")


def _line(each: PatternLine, low: np.ndarray, letters: float) -> list[Entity]:
    start, stop = each.ends - low
    layer = _layer(each)
    along = stop - start
    length = float(np.hypot(*along))
    out: list[Entity] = [line(start, stop, layer)]
    words, height = line_words(each), letters
    if _lettering.width(words, height) > 0.6 * length:
        words, height = _lettering.fitted(words, height, 0.6 * length, least=0.57 * letters)
    turned = math.degrees(math.atan2(along[1], along[0]))
    if turned > 90.0 or turned <= -90.0:  # never upside down
        turned -= math.copysign(180.0, turned)
    beside = 0.9 * height * np.array([-along[1], along[0]]) / length
    at = start + _SHARE * along + beside
    out.append(Text(words, at, height, float(Pose(0.0, 0.0, turned).angle_deg), "middle", "middle", layer=layer))
    return out
