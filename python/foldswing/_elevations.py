"""Pictures along a hinge, from outside: an opening with stations, a crowned edge. Public through `template`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from foldswing import arc
from foldswing._core import InvalidInput
from foldswing._layout import Placer, running
from foldswing._pictures import picture_letters
from foldswing.drawing import Drawing, Entity, Text, _numbers, _positive, line, mark, polyline

_STEEPEST = 0.3  # of the chord; as high as a crowned edge is drawn, so that words find room between its heights
_LARGER = (1, 2, 5, 10, 20, 50, 100)  # times; how much larger heights may be drawn


def _box(box: np.ndarray, layer: str) -> Entity:
    left, right, low, high = (float(v) for v in box)
    return polyline([(left, low), (right, low), (right, high), (left, high)], layer, closed=True)


def opening_elevation(
    opening: Any,
    panel: Any,
    stations: Sequence[tuple[float, str]],
    *,
    title: str,
    axis: tuple[Any, Any] | None = None,
    bodies: Mapping[str, Any] | None = None,
    worktop: Sequence[Any] = (),
    revision: str = "",
) -> Drawing:
    """Return an opening seen from outside, with the places along its hinge that are looked at.

    Parameters
    ----------
    opening, panel : (left, right, low, high)
        Distances from the left end of the opening and heights above the worktop as stated, mm.
    stations : sequence of (from_left, name)
        In order; each gets a line and its name below.
    title : str
        What it is.
    axis : two points or None
        Ends of the hinge axis.
    bodies : mapping of name to (left, right, low, high)
        Fixed bodies as far as they reach along the hinge.
    worktop : sequence of points
        Its surface along the opening.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        x from the left end of the opening, y up from the worktop.
    """
    if not stations:
        raise InvalidInput("stations must hold at least one place, got none")
    boxes = {"opening": _numbers("opening", opening, 4), "panel": _numbers("panel", panel, 4)}
    boxes |= {name: _numbers("bodies", box, 4) for name, box in (bodies or {}).items()}
    every = np.array(list(boxes.values()))
    low, high = float(every[:, 2].min()), float(every[:, 3].max())
    width = float(every[:, 1].max() - every[:, 0].min())
    letters = picture_letters(np.array([0.0, 0.0, width, high - low]))
    entities: list[Entity] = [_box(box, "panel" if name == "panel" else "neighbour") for name, box in boxes.items()]
    if len(worktop) > 1:
        entities.append(polyline(worktop, "datum"))
    left, right = float(boxes["opening"][0]), float(boxes["opening"][1])
    foot = low - letters
    for at, _ in stations:
        entities.append(line((at, foot), (at, high), "centre"))
    places = [(float(at), f"{name} {at:.0f}".strip()) for at, name in stations]
    entities += running((0.0, foot), (1.0, 0.0), (0.0, -1.0), places, offset=0.5 * letters, height=letters)
    placer = Placer(entities, letters)
    if axis is not None:
        a, b = (_numbers("axis", end, 2) for end in axis)
        entities += [line(a, b, "swing"), *mark(a, size=2.0 * letters), *mark(b, size=2.0 * letters)]
        entities.append(placer.text("axis", 0.3 * a + 0.7 * b + np.array([0.0, 1.2 * letters]), letters))
    for name, box in boxes.items():
        if name in (bodies or {}):
            entities.append(placer.text(name, (0.5 * (box[0] + box[1]), box[2] - 1.2 * letters), letters))
    panel_box = boxes["panel"]
    entities.append(placer.text("gate, shut", (0.5 * (left + right), 0.7 * panel_box[3]), letters, bold=True))
    entities.append(placer.text("left", (left, high + 1.5 * letters), letters))
    entities.append(placer.text("right", (right, high + 1.5 * letters), letters))
    return Drawing(
        title, "seen from outside; distances from the left end of the opening, mm", tuple(entities), revision
    )


def edge_elevation(
    chord: Any,
    rise: Any,
    axes: Sequence[tuple[float, str]],
    *,
    from_middle: Any,
    title: str,
    view: str,
    revision: str = "",
) -> Drawing:
    """Return a crowned edge with the straight axes it might be hinged on.

    Parameters
    ----------
    chord, rise : length
        Of the edge, mm; both > 0.
    axes : sequence of (height above the chord, words)
        The axes.
    from_middle : length
        Distance of the hinges from the middle; their pins are marked on every axis.
    title, view : str
        What it is and from where it is seen.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        x from the middle of the chord; heights are drawn larger by a round number, which the view names.
    """
    chord, rise, from_middle = (
        _positive("chord", chord),
        _positive("rise", rise),
        float(_numbers("from_middle", from_middle, 1)),
    )
    larger = next((n for n in reversed(_LARGER) if n * rise <= _STEEPEST * chord), 1)
    letters = picture_letters(np.array([0.0, 0.0, 1.25 * chord, larger * rise]))
    x = np.linspace(-0.5 * chord, 0.5 * chord, 121)
    heights = np.array([arc.height(chord, rise, float(v)) for v in x])
    entities: list[Entity] = [polyline(np.column_stack([x, larger * heights]), "panel")]
    over = 0.5 * chord + 2.0 * letters
    for height, _ in axes:
        y = larger * height
        entities.append(line((-over, y), (over, y), "swing"))
        for pin in (-from_middle, from_middle):
            entities += mark((pin, y), size=2.0 * letters)
    foot = -5.0 * letters
    entities.append(line((-0.5 * chord, foot), (0.5 * chord, foot), "dimension"))
    placer = Placer(entities, letters)
    words = []
    for height, text in axes:
        y = larger * height
        trials = [Text(text, (0.0, y + way * 1.1 * letters), letters, 0.0, "middle", "middle") for way in (1.0, -1.0)]
        beside = Text(text, (over + 0.5 * letters, y), letters, 0.0, "left", "middle")  # free, if the rest is not
        words.append(placer.best([*trials, beside]))
    words.append(placer.text(f"chord {chord:.0f}", (0.0, foot + 1.1 * letters), letters))
    words.append(placer.text("pins", (-from_middle, larger * rise + 2.5 * letters), letters))
    said = f"{view}; heights drawn {larger} times larger" if larger > 1 else view
    return Drawing(title, said, (*entities, *words), revision)
