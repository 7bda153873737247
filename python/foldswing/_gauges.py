"""Gauges to cut from card: crown gauges as long as the chord, corner-radius gauges. Public through `template`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

import numpy as np

from foldswing import _lettering, arc
from foldswing._core import InvalidInput
from foldswing._core.plane import Path, Pose
from foldswing._layout import (
    LEADING,
    LETTERS,
    WIDEST,
    Line,
    Show,
    arrow,
    beside_lines,
    block,
    millimetres,
    paragraph,
)
from foldswing.drawing import Drawing, Entity, Stroke, Text, _positive, _word, line


def crown_gauge(
    chord: Any,
    rise: Any,
    *,
    title: str,
    view: str = "seen square to the gauge",
    edge: Literal["hollow", "full"] = "hollow",
    every: Any = 100.0,
    depth: Any = 45.0,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    label: Show | None = None,
) -> Drawing:
    """Return a gauge as long as the chord, its arc on the working edge, the rise at stations marked and listed.

    Parameters
    ----------
    chord : length
        Straight distance between the arc's ends, mm; > 0.
    rise : length
        Height at mid-chord, mm; > 0, at most half the chord.
    title : str
        Name of the panel and the way across it.
    view : str
        From where it is seen.
    edge : {'hollow', 'full'}
        Hollow is held against the outside of a crowned panel; full is the shape of the panel itself (a buck station).
    every : length
        Distance of the stations from the middle, mm.
    depth : length
        Material behind the deepest point of the working edge, mm.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.
    show : callable
        Turns mm into words for the notes.
    label : callable or None
        Turns mm into the few words that stand beside a line; None for millimetres to a tenth.

    Returns
    -------
    Drawing
        Chord on the x axis, middle at 0.
    """
    _word("edge", edge, ("hollow", "full"))
    c, h, behind, step = (
        _positive(n, v) for n, v in (("chord", chord), ("rise", rise), ("depth", depth), ("every", every))
    )
    if h > 0.5 * c:
        raise InvalidInput(f"rise must be at most half the chord for a gauge, got {h:g} on {c:g}")
    if 0.5 * c / step > 200.0:
        raise InvalidInput(f"every must give at most 200 stations to a side, got {every!r} on a chord of {c:g}")
    half = 0.5 * c
    back = h + behind if edge == "hollow" else -behind
    turn = float(arc.angle(c, h))
    body = Path([(-half, 0.0), (half, 0.0), (half, back), (-half, back)], [-turn, 0.0, 0.0, 0.0], closed=True)
    places = [k * step for k in range(int(np.ceil(half / step))) if half - k * step > 1e-9 * half] + [half]
    table = arc.height(c, h, np.array(places[:-1]))
    rises = [*(float(v) for v in np.atleast_1d(table)), 0.0]
    into = 1.0 if edge == "hollow" else -1.0
    beside = label or millimetres
    entities: list[Entity] = [Stroke(body, "cut")]
    for place, height in zip(places[:-1], rises[:-1], strict=True):
        start = height + 10.0 * into
        words, letters = _lettering.fitted(beside(height), LETTERS, abs(back - start) - 2.0)
        length = _lettering.width(words, letters)
        if edge == "full" and start - length < 1.0:
            start = min(start, -2.5)  # keep off the chord
            words, letters = _lettering.fitted(beside(height), LETTERS, abs(back - start) - 2.0)
            length = _lettering.width(words, letters)
        for sign in (1.0,) if place == 0.0 else (-1.0, 1.0):
            x = sign * place
            entities.append(line((x, height), (x, height + 8.0 * into), "dimension"))
            anchor: Literal["left", "right"] = "left" if into > 0.0 else "right"
            entities.append(Text(words, (x, start), letters, 90.0, anchor, "middle"))
        if place == 0.0:
            entities.append(line((0.0, start + (length + 2.0) * into), (0.0, back), "centre"))
    entities.append(line((-half, 0.0), (half, 0.0), "centre"))
    for sign in (-1.0, 1.0):
        entities += arrow((sign * (half - 30.0), -7.0), (sign * half, -7.0), 4.0)
        side: Literal["left", "right"] = "left" if sign < 0.0 else "right"
        entities.append(Text("END OF CHORD", (sign * (half - 2.0), -10.0), 2.5, anchor=side, level="top"))
        entities.append(line((sign * half, -1.0), (sign * half, -10.0), "dimension"))
    radius = float(arc.radius(c, h))
    listed = [f"{beside(p) if p else 'middle'}: {beside(r)}" for p, r in zip(places[:-1], rises[:-1], strict=True)]
    listed.append(f"end of chord, {beside(half)}: 0")
    room = min(max(c - 10.0, 120.0), WIDEST)
    together = 1 if len(listed) <= 7 else max(1, int(room / max(_lettering.width(t, LETTERS) + 6.0 for t in listed)))
    lines: list[Line] = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(f"chord {show(c)};  rise {show(h)};  radius {show(radius)}", LETTERS, room, bold=True),
        (f"{beside_lines(label)}Distance from the middle: rise above the chord", LETTERS, False),
        *((";   ".join(listed[i : i + together]), LETTERS, False) for i in range(0, len(listed), together)),
        *(text for note in notes for text in paragraph(note, LETTERS, room)),
    ]
    low = min(-18.0, back - 6.0 if edge == "full" else -18.0)
    entities += block(lines, (-half + 2.0, low))
    return Drawing(f"{title}: crown gauge", view, tuple(entities), revision)


def radius_gauges(
    radii: Mapping[str, Any],
    *,
    title: str,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
) -> Drawing:
    """Return two gauges to cut from card for every corner radius: one laid over the corner, one laid into a hollow.

    Parameters
    ----------
    radii : mapping of name to length
        What each radius is for, and the radius, mm; > 0. Equal radii share their gauges.
    title : str
        Name of the job.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.
    show : callable
        Turns mm into words.

    Returns
    -------
    Drawing
        In rows as wide as an upright sheet.

    Raises
    ------
    InvalidInput
        When there is no radius, or one is not > 0.
    """
    if not radii:
        raise InvalidInput("radii must hold at least one radius, got none")
    shared: dict[float, list[str]] = {}
    for name, radius in radii.items():
        shared.setdefault(_positive(f"radii[{name!r}]", radius), []).append(name)
    entities: list[Entity] = []
    x = y = low = 0.0
    for radius, names in sorted(shared.items()):
        side = radius + _LEG + _BEYOND
        cell = 2.0 * side + _APART
        words = [
            *paragraph(f"R {show(radius)}", LETTERS, cell, bold=True),
            *(t for name in names for t in paragraph(name, 2.8, cell)),
        ]
        if x > 0.0 and x + cell > _ROW:
            x, y = 0.0, low - _APART
        over = Path(
            [(0, 0), (side, 0), (side, _LEG), (_LEG + radius, _LEG), (_LEG, _LEG + radius), (_LEG, side), (0, side)],
            [0.0, 0.0, 0.0, -90.0, 0.0, 0.0, 0.0],
            closed=True,
        )
        into = Path(
            [(0, 0), (side - radius, 0), (side, radius), (side, side), (0, side)],
            [0.0, 90.0, 0.0, 0.0, 0.0],
            closed=True,
        )
        top = y - side
        mm, _, inches = show(radius).partition(" = ")
        for shape, left, said, at in (
            (over, x, "over the corner", (0.5 * side, 0.5 * _LEG)),
            (into, x + side + _APART, "into the hollow", (0.5 * side, side - 0.5 * _LEG)),
        ):
            entities.append(Stroke(shape.moved(Pose(left, top, 0.0)), "cut"))
            rows = ((f"R {mm}", 3.5, True), (inches, 2.6, False), (said, 2.6, False))
            for (line_words, height, bold), up in zip(rows, (4.4, -0.4, -4.5), strict=True):
                if line_words:
                    text, size = _lettering.fitted(line_words, height, side - 3.0, bold=bold)
                    place = (left + at[0], top + at[1] + up)
                    entities.append(Text(text, place, size, 0.0, "middle", "middle", bold=bold))
        entities += block(words, (x, top - 3.0))
        low = min(low, top - 3.0 - sum(LEADING * height for _, height, _ in words))
        x += cell + _APART
    lines: list[Line] = [
        *paragraph(title, 5.0, _ROW, bold=True),
        *paragraph("Cut from card on the line. No light may show between gauge and corner.", LETTERS, _ROW),
        *(t for words in (*notes, revision) for t in paragraph(words, LETTERS, _ROW) if t[0]),
    ]
    entities += block(lines, (0.0, 6.0 + sum(LEADING * height for _, height, _ in lines)))
    return Drawing(f"{title}: corner-radius gauges", "seen from above", tuple(entities), revision)


_LEG = 16.0  # mm; width of a leg of the gauge laid over a corner
_BEYOND = 15.0  # mm; how far a leg runs on past the arc, to lie on the face
_APART = 8.0  # mm; between gauges
_ROW = 172.0  # mm; of an upright sheet
