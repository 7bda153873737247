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

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Any, Literal

import numpy as np

from foldswing import _lettering, arc
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path, Pose
from foldswing._layout import Line, Placer, arrow, block, dimension, paragraph, running, short, unit
from foldswing._values import frozen_array, value
from foldswing.drawing import Circle, Drawing, Entity, Stroke, Text, _numbers, _positive, _word, line, mark, polyline

__all__ = [
    "BendLine",
    "Face",
    "blank_template",
    "crown_gauge",
    "end_template",
    "folded_section",
    "pan_blank",
    "profile_blank",
    "swing_picture",
]

LETTERS = 3.5  # mm; capitals read at arm's length
_FROM_ABOVE = "from above: a bend marked UP folds toward you"
_OUTSIDE_AT = 0.4  # of the panel's height: off the middle, where a tall template is parted between two sheets
_REPEAT = 180.0  # mm; words along a bend line come again, so that every sheet of paper shows them
_WIDEST = 190.0  # mm; longest line of the notes on a long drawing: one lying sheet shows most of it
_BLOCK = 70.0  # mm; longest line of the notes on an end template
_PICTURE = (135.0, 105.0)  # mm; what a sheet gives the lines of a figure, words round them left out
_PICTURE_LETTERS = 2.4  # mm; capitals in a figure, as printed

Show = Callable[[float], str]


def millimetres(length: float) -> str:
    """Return a length as on a tape: millimetres to a tenth."""
    return f"{length:.1f}"


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


@value
class BendLine:
    """A bend line on a blank, by its distance from an edge of the blank.

    Parameters
    ----------
    distance : length
        From the edge, mm; > 0.
    edge : {'left', 'bottom'}
        Edge it runs parallel to.
    ends : pair of lengths or None
        Where it begins and stops, measured along it from the other edge; None for all the way across.
    way : {'up', 'down'}
        Up: the flange comes toward you as you look at the blank.
    angle_deg : float
        Bend angle: what the metal is turned through.
    order : int or None
        When it is bent; None leaves a box to write it in.
    tangents : pair of lengths or None
        Distances of the two tangent lines from the same edge.
    """

    distance: float
    edge: Literal["left", "bottom"] = "left"
    ends: tuple[float, float] | None = None
    way: Literal["up", "down"] = "up"
    angle_deg: float = 90.0
    order: int | None = None
    tangents: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["distance"] = _positive("distance", self.distance)
        self.__dict__["angle_deg"] = float(Pose(0.0, 0.0, self.angle_deg).angle_deg)
        _word("edge", self.edge, ("left", "bottom"))
        _word("way", self.way, ("up", "down"))
        for name in ("ends", "tangents"):
            pair = getattr(self, name)
            if pair is not None:
                low, high = (float(v) for v in _numbers(name, pair, 2))
                if not low < high:
                    raise InvalidInput(f"{name} must be two ascending distances, got {pair!r}")
                self.__dict__[name] = (low, high)


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
    shown = [entity for face in faces for entity in _face(face, centre, panel, label or millimetres)]
    corners = _corner_labels(panel, label or millimetres, Placer(shown))
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
        *(text for text in paragraph(_beside_lines(label).strip(), LETTERS, _BLOCK) if text[0]),
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


def _face(face: Face, centre: Any, panel: Path, label: Show) -> list[Entity]:
    """Return a face drawn heavy and the pivot's distance from it, outside the panel on its nearer side."""
    along = unit(face.b - face.a)
    foot = drafting.foot(centre, face.a, face.b)
    if np.array_equal(foot, centre):
        return [line(face.a, face.b, "datum")]
    reach = (panel.points - centre) @ along
    away = (reach.max() + 13.0) * along if reach.max() < -reach.min() else (reach.min() - 13.0) * along
    words = f"{label(_away(centre, face))} from the {short(face.name, 3.0)}"
    return [line(face.a, face.b, "datum"), *dimension(foot, centre, away, words, 3.0)]


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


def blank_template(
    blank: Path | Outline,
    bends: Sequence[BendLine],
    *,
    title: str,
    view: str = _FROM_ABOVE,
    holes: Sequence[tuple[Any, Any]] = (),
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    label: Show | None = None,
) -> Drawing:
    """Return a flat blank with its bend lines, all measured from the left and the bottom edge.

    Parameters
    ----------
    blank : Path or Outline
        Edge of the blank, notches included.
    bends : sequence of BendLine
        May be empty: a flat part.
    title : str
        Name of the part.
    view : str
        Which face of the sheet is drawn.
    holes : sequence of (centre, diameter)
        Centres in the coordinates of the blank, mm.
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
        Moved so that the lower left of the blank is the origin.

    Raises
    ------
    InvalidInput
        When a bend line lies off the blank.
    """
    edges = (
        [blank] if isinstance(blank, Path) else [polyline(r, closed=True).path for r in (blank.points, *blank.holes)]
    )
    boxes = np.array([drafting.bounds(p) for p in edges])
    low = boxes[:, :2].min(axis=0)
    to_corner = Pose(-float(low[0]), -float(low[1]), 0.0)
    edges = [p.moved(to_corner) for p in edges]
    size = boxes[:, 2:].max(axis=0) - low
    entities: list[Entity] = [Stroke(p, "cut") for p in edges]
    beside = label or millimetres
    stations: dict[str, list[float]] = {"left": [], "bottom": []}
    for i, bend in enumerate(bends):
        across, length = (0, 1) if bend.edge == "left" else (1, 0)
        if not bend.distance < size[across] or (
            bend.ends and not (bend.ends[0] >= 0.0 and bend.ends[1] <= size[length])
        ):
            raise InvalidInput(f"bends[{i}] must lie on the blank of {size[0]:.6g} x {size[1]:.6g} mm, got {bend!r}")
        entities += _bend(bend, size)
        stations[bend.edge].append(bend.distance)
    for i, (centre, diameter) in enumerate(holes):
        at = _numbers(f"holes[{i}] centre", centre, 2) - low
        entities += [
            Circle(at, 0.5 * _positive(f"holes[{i}] diameter", diameter)),
            *mark(at, size=float(diameter) + 6.0),
        ]
        stations["left"].append(float(at[0]))
        stations["bottom"].append(float(at[1]))
    for edge, along, away in (("left", (1.0, 0.0), (0.0, -1.0)), ("bottom", (0.0, 1.0), (-1.0, 0.0))):
        full = float(size[0] if edge == "left" else size[1])
        places = _distinct([0.0, *stations[edge], full])
        words = [(s, beside(s) if s > 0.0 else "0") for s in places]
        entities += running((0.0, 0.0), along, away, words, offset=6.0, height=LETTERS)
    room = min(max(float(size[0]), 120.0), _WIDEST)
    lines = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(view, LETTERS, room),
        *paragraph(f"{show(float(size[0]))} x {show(float(size[1]))} flat", LETTERS, room),
        (f"{_beside_lines(label)}All from one edge: do not chain them.", LETTERS, False),
        *(text for note in notes for text in paragraph(note, LETTERS, room)),
    ]
    rows = sum(1.9 * height for _, height, _ in lines)
    entities += block(lines, (0.0, float(size[1]) + 4.0 + rows))
    return Drawing(f"{title}: blank", view, tuple(entities), revision)


def _beside_lines(label: Show | None) -> str:
    """Return what is said of the sizes beside the lines when they carry no unit."""
    return "" if label else "Sizes beside the lines in mm. "


def _distinct(places: Sequence[float]) -> list[float]:
    """Return the places in order, those that print as one (closer than a hundredth of a mm) once."""
    out: list[float] = []
    for place in sorted(places):
        if not out or place - out[-1] > 0.01:
            out.append(place)
    return out


def _bend(bend: BendLine, size: np.ndarray) -> list[Entity]:
    """Return a bend line, its tangent lines, and what is to be done there."""
    upright = bend.edge == "left"
    full = float(size[1] if upright else size[0])
    start, stop = bend.ends or (0.0, full)

    def at(across: float, along: float) -> tuple[float, float]:
        return (across, along) if upright else (along, across)

    layer = f"bend_{bend.way}"
    out: list[Entity] = [line(at(bend.distance, start), at(bend.distance, stop), layer)]
    for tangent in bend.tangents or ():
        out.append(line(at(tangent, start), at(tangent, stop), "tangent"))
    order = f"  bend no. {bend.order}" if bend.order is not None else "  bend no. [    ]"
    words = f"{bend.way.upper()} {bend.angle_deg:.4g}\N{DEGREE SIGN}{order}"
    height = LETTERS
    room = 0.9 * (stop - start)
    if _lettering.width(words, height) > room:
        words, height = _lettering.fitted(words, height, room, least=2.0)
    edge = max((abs(t - bend.distance) for t in bend.tangents or ()), default=0.0)
    gap = edge + 0.9 * height
    across = bend.distance - gap if upright else bend.distance + gap
    times = max(1, round((stop - start) / _REPEAT))
    for k in range(times):
        place = at(across, start + (stop - start) * (k + 0.5) / times)
        out.append(Text(words, place, height, 90.0 if upright else 0.0, "middle", "middle", layer=layer))
    return out


def profile_blank(
    profile: Any, width: Any, *, title: str, order: Sequence[int] | None = None, **options: Any
) -> Drawing:
    """Return the blank of a folded strip: as long as the profile develops, its bend lines right across.

    Parameters
    ----------
    profile : blank.Profile
        The section; the start of its blank lies on the left.
    width : length
        Size of the strip along the bends, mm; > 0.
    title : str
        Name of the part.
    order : sequence of int or None
        When each bend is made, in the order of the bend lines.
    **options
        `view`, `holes`, `notes`, `revision`, `show`, `label` of `blank_template`.

    Returns
    -------
    Drawing
        Lower left of the blank at the origin.
    """
    long, wide = float(profile.developed_length), _positive("width", width)
    lines = [_as_drawn(b, "left", (0.0, wide), n) for b, n in _numbered(profile.bend_lines, order)]
    edge = Outline([(0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)])
    return blank_template(edge, lines, title=title, **{"view": _FROM_ABOVE, **options})


def pan_blank(pan: Any, *, title: str, order: Sequence[int] | None = None, **options: Any) -> Drawing:
    """Return the blank of a pan with four flanges, corners cut.

    Parameters
    ----------
    pan : blank.Pan
        The pan.
    title : str
        Name of the part.
    order : sequence of int or None
        When each bend is made, in the order of the pan's bend lines.
    **options
        `view`, `holes`, `notes`, `revision`, `show`, `label` of `blank_template`.

    Returns
    -------
    Drawing
        Lower left of the blank at the origin.
    """
    lines = [_as_drawn(made.line, *_across(made), n) for made, n in _numbered(pan.bend_lines, order)]
    return blank_template(pan.outline, lines, title=title, **{"view": _FROM_ABOVE, **options})


def _numbered(bends: Sequence[Any], order: Sequence[int] | None) -> list[tuple[Any, int | None]]:
    """Return the bends, each with its number in the order of bending."""
    if order is None:
        return [(bend, None) for bend in bends]
    if len(order) != len(bends):
        raise InvalidInput(f"order must have a number for each of {len(bends)} bends, got {len(order)}")
    return list(zip(bends, order, strict=True))


def _across(made: Any) -> tuple[Literal["left", "bottom"], tuple[float, float]]:
    """Return the edge a pan's bend is measured from, and where along it the bend begins and ends."""
    upright = made.side in {"left", "right"}
    low, high = sorted(float(v) for v in made.centre[:, 1 if upright else 0])
    return ("left" if upright else "bottom"), (low, high)


def _as_drawn(bend: Any, edge: Literal["left", "bottom"], ends: tuple[float, float], order: int | None) -> BendLine:
    """Return a line of the flat pattern as it is drawn; a bend of no length has no tangent lines of its own."""
    low, high = (float(v) for v in bend.tangent)
    pair = (low, high) if low < high else None
    return BendLine(bend.centre, edge, ends, bend.direction, bend.angle_deg, order, pair)


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
    room = min(max(c - 10.0, 120.0), _WIDEST)
    together = 1 if len(listed) <= 7 else max(1, int(room / max(_lettering.width(t, LETTERS) + 6.0 for t in listed)))
    lines: list[Line] = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(f"chord {show(c)};  rise {show(h)};  radius {show(radius)}", LETTERS, room, bold=True),
        (f"{_beside_lines(label)}Distance from the middle: rise above the chord", LETTERS, False),
        *((";   ".join(listed[i : i + together]), LETTERS, False) for i in range(0, len(listed), together)),
        *(text for note in notes for text in paragraph(note, LETTERS, room)),
    ]
    low = min(-18.0, back - 6.0 if edge == "full" else -18.0)
    entities += block(lines, (-half + 2.0, low))
    return Drawing(f"{title}: crown gauge", view, tuple(entities), revision)


def _picture_letters(box: np.ndarray) -> float:
    """Return the height of letters in mm of the drawing that prints legibly when the drawing is made to fit a sheet."""
    return float(_PICTURE_LETTERS * max(1.0, (box[2] - box[0]) / _PICTURE[0], (box[3] - box[1]) / _PICTURE[1]))


def folded_section(
    faces: Sequence[Path],
    *,
    title: str,
    view: str,
    labels: Sequence[tuple[Any, str]] = (),
    revision: str = "",
) -> Drawing:
    """Return the picture of a bent section, drawn back from the blank.

    Parameters
    ----------
    faces : sequence of Path
        Outside and inside face, in step: their ends are joined by the edges of the metal.
    title, view : str
        What it is and from where it is seen.
    labels : sequence of (point, words)
        Words beside points of the section.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        In the coordinates of the faces.
    """
    if not faces:
        raise InvalidInput("faces must hold the faces of the section, got none")
    boxes = np.array([drafting.bounds(p) for p in faces])
    letters = _picture_letters(np.array([*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)]))
    entities: list[Entity] = [Stroke(p, "panel") for p in faces]
    for one, other in pairwise(faces):
        for a, b in ((one.points[0], other.points[0]), (one.points[-1], other.points[-1])):
            if not (one.closed or np.array_equal(a, b)):
                entities.append(line(a, b, "panel"))
    placer = Placer(entities, letters)
    entities += [placer.text(words, at, letters) for at, words in labels]
    return Drawing(title, view, tuple(entities), revision)


def swing_picture(
    panel: Outline | Path,
    stops: Mapping[str, Pose],
    *,
    title: str,
    view: str,
    fixed: Mapping[str, Outline] | None = None,
    pivot: Any = None,
    tracks: Sequence[Path] = (),
    approaches: Sequence[tuple[Any, Any, str]] = (),
    revision: str = "",
) -> Drawing:
    """Return the picture of a panel at each of its stops among what stands around it.

    Parameters
    ----------
    panel : Outline or Path
        The panel, shut.
    stops : mapping of name to Pose
        Where it stops, the shut pose among them.
    title, view : str
        What it is and from where it is seen.
    fixed : mapping of name to Outline
        Bodies that stand still; far parts of a large body are left out.
    pivot : point or None
        Marked with a cross when given.
    tracks : sequence of Path
        What corners pass over.
    approaches : sequence of (point, point, words)
        Where panel and body come closest, each with the words printed beside it.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        In fixed coordinates.
    """
    if not stops:
        raise InvalidInput("stops must hold at least one pose, got none")
    closed = (
        [panel] if isinstance(panel, Path) else [polyline(r, closed=True).path for r in (panel.points, *panel.holes)]
    )
    placed = {name: [p.moved(pose) for p in closed] for name, pose in stops.items()}
    boxes = [drafting.bounds(p) for paths in placed.values() for p in paths] + [drafting.bounds(t) for t in tracks]
    around = np.array([*np.min(boxes, axis=0)[:2], *np.max(boxes, axis=0)[2:]])
    letters = _picture_letters(around)
    clear = 0.06 * max(around[2] - around[0], around[3] - around[1]) + 8.0 * letters
    window = around + clear * np.array([-1.0, -1.0, 1.0, 1.0])
    entities: list[Entity] = [Stroke(t, "swing") for t in tracks]
    words: list[tuple[str, np.ndarray]] = []
    for name, paths in placed.items():
        entities += [Stroke(p, "panel") for p in paths]
        corners = np.vstack([p.points for p in paths])
        hub = 0.5 * (around[:2] + around[2:]) if pivot is None else _numbers("pivot", pivot, 2)
        tip = corners[np.argmax(np.hypot(*(corners - hub).T))]
        out = unit(tip - hub)
        half = 0.5 * _lettering.width(short(name, letters), letters, bold=True)
        words.append((name, tip + (1.2 * letters + half * abs(float(out[0]))) * out))
    bodies = {name: drafting.clipped(body, window) for name, body in (fixed or {}).items()}
    for several in bodies.values():
        entities += [Stroke(piece, "neighbour") for piece in several]
    placer = Placer(entities, letters)
    if pivot is not None:
        entities += mark(pivot, size=4.0 * letters)
    for near, far, text in approaches:
        a, b = _numbers("approaches", near, 2), _numbers("approaches", far, 2)
        ring = 0.8 * letters + 0.5 * float(np.hypot(*(b - a)))
        entities.append(Circle(0.5 * (a + b), ring, "dimension"))
        label = placer.text(text, 0.5 * (a + b) + np.array([0.0, ring + letters]), letters, bold=True)
        entities.append(label)
    entities += [placer.text(name, at, letters, bold=True) for name, at in words]
    entities += [placer.name(name, several, letters) for name, several in bodies.items() if several]
    return Drawing(title, view, tuple(entities), revision)
