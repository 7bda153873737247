"""Templates for the bench and pictures for the sheet, built from finished geometry.

Every function takes plain geometry and gives a `drawing.Drawing`. Nothing is designed here: pivots, blanks and arcs
come from their own topics. Words are never mirrored: the other hand is drawn anew from mirrored geometry.

    >>> import foldswing as fs
    >>> panel = fs.plane.Path([(-28, -36), (0, -36), (0, 324), (-28, 324)], [0, 0, 0, 0], closed=True)
    >>> left = fs.template.end_template(
    ...     panel, (-10, -18), holes=[(12, "bush"), (8, "pin")], title="Counter gate", hand="left", outside="right",
    ...     view="seen from the left end as you stand outside",
    ...     faces=[fs.template.Face("inner face", (-28, -36), (-28, 324)),
    ...            fs.template.Face("lower edge", (-28, -36), (0, -36))])
    >>> left.title
    'Counter gate: end template, left hand'
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

import numpy as np

from foldswing import _lettering, arc
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path, Pose
from foldswing._flat_drawing import BendLine, blank_template, pan_blank, profile_blank
from foldswing._layout import (
    LETTERS,
    WIDEST,
    Line,
    Placer,
    Show,
    arrow,
    beside_lines,
    block,
    dimension,
    millimetres,
    paragraph,
    short,
    unit,
)
from foldswing._pictures import blank_picture, close_up, folded_section, swing_picture
from foldswing._values import frozen_array, value
from foldswing.drawing import Circle, Drawing, Entity, Stroke, Text, _numbers, _positive, _word, line, mark

__all__ = [
    "BendLine",
    "Face",
    "blank_picture",
    "blank_template",
    "close_up",
    "crown_gauge",
    "end_template",
    "folded_section",
    "pan_blank",
    "profile_blank",
    "swing_picture",
]

_OUTSIDE_AT = 0.4  # of the panel's height: off the middle, where a tall template is parted between two sheets
_BLOCK = 70.0  # mm; longest line of the notes on an end template


@value
class Face:
    """A real face to measure from, as the straight line it shows in the section.

    Parameters
    ----------
    name : str
        What the fabricator calls it.
    a, b : point
        Ends of the line, mm; not the same point.
    """

    name: str
    a: Any
    b: Any

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["a"], self.__dict__["b"] = _numbers("a", self.a, 2), _numbers("b", self.b, 2)
        if np.array_equal(self.a, self.b):
            raise InvalidInput(f"b must be another point than a, got {self.b.tolist()!r} for face {self.name!r}")


def end_template(
    panel: Path,
    pivot: Any,
    *,
    title: str,
    view: str,
    hand: Literal["left", "right"],
    outside: Literal["left", "right"],
    holes: Sequence[tuple[Any, str]],
    faces: Sequence[Face],
    drawn_as: Literal["left", "right"] = "left",
    neighbours: Mapping[str, Outline] | None = None,
    surround: Any = 45.0,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    label: Show | None = None,
) -> Drawing:
    """Return the full-size template of a panel's end, to prick the pivot through.

    Parameters
    ----------
    panel : Path
        End of the panel, shut, corners rounded; closed.
    pivot : point
        Centre of the hole, mm.
    title : str
        Name of the panel.
    view : str
        From where this hand is seen.
    hand : {'left', 'right'}
        Which end of the panel this template is for.
    outside : {'left', 'right'}
        On which side of the given geometry the outside is.
    holes : sequence of (diameter, words)
        Circles about the pivot, the one to drill first: (12, 'bush'), (8, 'pin').
    faces : sequence of Face
        Real faces of the panel from which the pivot is measured; two that are not parallel decide it.
    drawn_as : {'left', 'right'}
        The hand that the geometry shows; the other hand is its mirror image.
    neighbours : mapping of name to Outline
        What stands around it, drawn dashed.
    surround : length
        How much of the neighbours is shown round the panel, mm.
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
        Section axes kept (mirrored left to right for the other hand).
    """
    for name, word in (("hand", hand), ("outside", outside), ("drawn_as", drawn_as)):
        _word(name, word, ("left", "right"))
    if not panel.closed:
        raise InvalidInput("panel must be a closed path, got an open one")
    if not holes:
        raise InvalidInput("holes must hold the hole to drill, got none")
    neighbours = dict(neighbours or {})
    centre: Any = _numbers("pivot", pivot, 2)
    side = 1.0 if outside == "right" else -1.0
    if hand != drawn_as:
        upright = ((0.0, 0.0), (0.0, 1.0))
        panel = panel.mirrored(*upright)
        centre = _mirrored(centre)
        faces = [Face(f.name, _mirrored(f.a), _mirrored(f.b)) for f in faces]
        neighbours = {name: body.mirrored(*upright) for name, body in neighbours.items()}
        side = -side

    box = drafting.bounds(panel)
    reach = _positive("surround", surround)
    window = box + np.array([-reach, -reach, reach, reach])
    entities: list[Entity] = [Stroke(panel, "cut")]
    sizes = []
    for i, (diameter, words) in enumerate(holes):
        entities.append(Circle(centre, 0.5 * _positive("holes", diameter), "hole" if i == 0 else "panel"))
        sizes.append(f"{words} {show(float(diameter))} diameter")
    largest = max(float(d) for d, _ in holes)
    entities += mark(centre, size=largest + 6.0)
    beside, placer = label or millimetres, Placer()
    shown = [entity for face in faces for entity in _face(face, centre, panel, beside, placer)]
    corners = _corner_labels(panel, beside, placer)
    said: list[Entity] = []
    middle = 0.5 * (box[:2] + box[2:])
    said += arrow((middle[0], box[3] + 4.0), (middle[0], box[3] + 16.0), 4.0)
    said.append(Text("TOP", (middle[0] + 3.0, box[3] + 10.0), 5.0, bold=True))
    face_x = float(box[2] if side > 0.0 else box[0])
    anchor: Literal["left", "right"] = "left" if side > 0.0 else "right"
    level = float(box[1] + _OUTSIDE_AT * (box[3] - box[1]))
    said += arrow((face_x + 4.0 * side, level), (face_x + 16.0 * side, level), 4.0)
    said.append(Text("OUTSIDE", (face_x + 4.0 * side, level + 3.0), 5.0, anchor=anchor, bold=True))
    room = float(box[3] - centre[1])
    along = Text(
        f"{title}, {hand} hand end".upper(), (middle[0], centre[1] + 0.33 * room), 4.0, 90.0, "middle", "middle", True
    )
    if along.height < 0.4 * (box[2] - box[0]) and 0.5 * along.width < 0.33 * room - largest:
        said.append(along)
    pieces = {name: drafting.clipped(body, window) for name, body in neighbours.items()}
    lines: list[Line] = [
        (f"{hand.upper()} HAND", 6.0, True),
        *paragraph(title, LETTERS, _BLOCK, bold=True),
        *paragraph(view, LETTERS, _BLOCK),
        ("Pivot:", LETTERS, True),
        *(text for size in sizes for text in paragraph(size, LETTERS, _BLOCK)),
        *(t for f in faces for t in paragraph(f"{show(_away(centre, f))} from the {f.name}", LETTERS, _BLOCK)),
        *(text for note in notes for text in paragraph(note, LETTERS, _BLOCK)),
        *(text for text in paragraph(beside_lines(label).strip(), LETTERS, _BLOCK) if text[0]),
    ]
    notes_at = _beside(box, window, side, lines, [q for several in pieces.values() for q in several])
    said += block(lines, notes_at)
    placer = Placer([*entities, *shown, *corners, *said])
    for name, several in pieces.items():
        entities += [Stroke(piece, "neighbour") for piece in several]
        if several:
            entities.append(placer.name(name, several, 2.5))
    entities += [*shown, *corners, *said]
    return Drawing(f"{title}: end template, {hand} hand", view, tuple(entities), revision)


def _beside(
    box: np.ndarray, window: np.ndarray, side: float, lines: list[Line], pieces: list[Path]
) -> tuple[float, float]:
    """Return the top left corner for the notes: close outside the panel where nothing stands, else clear of all."""
    width = max(_lettering.width(words, height, bold=bold) for words, height, bold in lines)
    depth = sum(1.9 * height for _, height, _ in lines)
    high = float(box[3])
    off = 22.0 if high - depth > box[1] + _OUTSIDE_AT * (box[3] - box[1]) + 10.0 else 50.0
    left = float(box[2]) + off if side > 0.0 else float(box[0]) - off - width
    for piece in pieces:
        near = drafting.bounds(piece)
        if near[0] < left + width and near[2] > left and near[1] < high and near[3] > high - depth:
            return (float(window[2]) + 6.0 if side > 0.0 else float(window[0]) - 6.0 - width), high
    return left, high


def _mirrored(point: np.ndarray) -> np.ndarray:
    """Return a point left for right."""
    return frozen_array(point * np.array([-1.0, 1.0]))


def _away(point: Any, face: Face) -> float:
    """Return the distance of a point from a face."""
    return float(np.hypot(*(drafting.foot(point, face.a, face.b) - point)))


def _face(face: Face, centre: Any, panel: Path, label: Show, placer: Placer) -> list[Entity]:
    """Return a face drawn heavy and the pivot's distance from it, outside the panel, off other words."""
    along = unit(face.b - face.a)
    foot = drafting.foot(centre, face.a, face.b)
    if np.array_equal(foot, centre):
        return [line(face.a, face.b, "datum")]
    reach = (panel.points - centre) @ along
    words = f"{label(_away(centre, face))} from the {short(face.name, 3.0)}"
    for off in (13.0, 20.0, 27.0, 34.0, 41.0):
        away = (reach.max() + off) * along if reach.max() < -reach.min() else (reach.min() - off) * along
        lines, said = dimension(foot, centre, away, words, 3.0)
        if placer.free(said, foot + away, centre + away):
            break
    return [line(face.a, face.b, "datum"), *lines, said]


def _corner_labels(panel: Path, label: Show, placer: Placer) -> list[Entity]:
    """Return the radius of every rounded corner, on a leader from the middle of its arc outward."""
    out: list[Entity] = []
    ends = [*panel.points, panel.points[0]]
    for i, (sweep, radius) in enumerate(zip(panel.sweep_deg, drafting.radii(panel), strict=True)):
        if sweep == 0.0 or abs(sweep) > 180.0:
            continue
        middle = drafting.split(Path([ends[i], ends[i + 1]], [sweep]), max(1.0, 0.5 * abs(float(sweep)))).points[1]
        outward = unit(middle - 0.5 * (ends[i] + ends[i + 1]))
        for length, lean_deg in ((n, a) for n in (7.0, 14.0, 21.0, 28.0) for a in (0.0, 30.0, -30.0, 55.0, -55.0)):
            way = Pose(0.0, 0.0, lean_deg).apply(outward)
            anchor: Literal["left", "right"] = "left" if way[0] >= 0.0 else "right"
            tip = middle + length * way
            words = Text(f"R {label(float(radius))}", tip + way, LETTERS, 0.0, anchor, "middle", layer="dimension")
            if placer.free(words, middle, tip):
                break
        out += [line(middle, tip, "dimension"), words]
    return out


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
