"""Templates that hook over two real faces, to prick a hole through. Public through `template`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal, NamedTuple

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path, Pose
from foldswing._layout import (
    LEADING,
    LETTERS,
    Line,
    Placer,
    Show,
    arrow,
    beside_lines,
    block,
    dimension,
    millimetres,
    paragraph,
    readable,
    short,
    unit,
)
from foldswing._values import frozen_array, value
from foldswing.drawing import Circle, Drawing, Entity, Stroke, Text, _numbers, _positive, _word, line, mark

TAB = 16.0  # mm; depth of a paper tab: enough to hold with a thumb
_LONGEST_TAB = 60.0  # mm
_LEAST_TAB = 6.0  # mm; on less than this a paper fold does not lie true
_TWO_TABS = 200.0  # mm; a face longer than this gets a tab near either end
_ON_FACE = 1e-6  # mm; how far the end of a flat may be from the face it belongs to: rounding, far below any rule
_OUTSIDE_AT = 0.4  # of the panel's height: off the middle, where a tall template is parted between two sheets
_SMALL = 150.0  # mm; the notes of a template less high than this stand below it, so that one sheet takes both
_ROOM_BELOW = 150.0  # mm; their longest line
_PRICKED = 8.0  # mm; cross at a further place to prick
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
    kind: str = "end template",
    square: Path | None = None,
    inside: Sequence[Path] = (),
    fine: Sequence[Path] = (),
    must_be_in: tuple[str, Outline] | None = None,
    marks: Sequence[tuple[Any, str]] = (),
    slot: tuple[Path, str] | None = None,
    called: str = "",
    neighbours: Mapping[str, Outline] | None = None,
    surround: Any = 45.0,
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    label: Show | None = None,
) -> Drawing:
    """Return the full-size template of a panel's end, to prick the pivot through; its tabs hook over the faces.

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
    kind : str
        What the template is called behind its title.
    square : Path or None
        The panel with its corners left square: cut instead where rounding leaves a face no flat for a tab to fold on.
    inside : sequence of Path
        Further outlines drawn on it, such as an ear.
    fine : sequence of Path
        Small outlines drawn thin, such as where the hole may lie.
    must_be_in : (name, Outline) or None
        What the hole must be in, such as a post, with the holes it has already; drawn light as far as shown.
    marks : sequence of (point, words)
        Further places to prick, such as the pin of a stay: small crosses, each with its words beside it.
    slot : (path, words) or None
        A slotted hole cut instead of the first round one, with its words; crosses stand at the middles of its ends.
    called : str
        What stands beside the hole where it is no plain one: 'slot', 'eccentric bush'.
    neighbours : mapping of name to Outline
        What stands around it, drawn dashed.
    surround : length
        How much of the neighbours, and of what the hole must be in, is shown round the panel, mm.
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
    marks = [(_numbers(f"marks[{i}]", at, 2), words) for i, (at, words) in enumerate(marks)]
    centre: Any = _numbers("pivot", pivot, 2)
    side = 1.0 if outside == "right" else -1.0
    if hand != drawn_as:
        upright = ((0.0, 0.0), (0.0, 1.0))
        panel = panel.mirrored(*upright)
        centre = _mirrored(centre)
        faces = [Face(f.name, _mirrored(f.a), _mirrored(f.b)) for f in faces]
        neighbours = {name: body.mirrored(*upright) for name, body in neighbours.items()}
        must_be_in = (must_be_in[0], must_be_in[1].mirrored(*upright)) if must_be_in else None
        square = square.mirrored(*upright) if square else None
        inside = [path.mirrored(*upright) for path in inside]
        fine = [path.mirrored(*upright) for path in fine]
        marks = [(_mirrored(at), words) for at, words in marks]
        slot = (slot[0].mirrored(*upright), slot[1]) if slot else None
        side = -side

    cut, tabs = _hooked(panel, faces, centre)
    notes = list(notes)
    drawn = list(inside)
    if square is not None and len({t.face for t in tabs}) < len(faces):
        cut, tabs = _hooked(square, faces, centre)
        drawn.append(panel)
        notes.append("Corners are square on the paper, for the tabs; round them by the radius gauges.")
    without = [f.name for f in faces if f.name not in {t.face for t in tabs}]
    notes += [f"No flat is left for a tab on the {name}: set the template to it with a square." for name in without]
    inner, box = drafting.bounds(panel), drafting.bounds(cut)
    reach = _positive("surround", surround)
    window = inner + np.array([-reach, -reach, reach, reach])
    entities: list[Entity] = [Stroke(cut, "cut"), *(Stroke(path, "panel") for path in drawn)]
    entities += [Stroke(path, "dimension") for path in fine]
    if must_be_in is not None:
        entities += [Stroke(piece, "panel") for piece in drafting.clipped(must_be_in[1], window)]
        notes.insert(0, f"Light outline, not cut: the {must_be_in[0]}.")
    entities += [line(tab.a, tab.b, "fold") for tab in tabs]
    sizes = []
    for i, (diameter, words) in enumerate(holes):
        if slot is None:
            entities.append(Circle(centre, 0.5 * _positive("holes", diameter), "hole" if i == 0 else "panel"))
        sizes.append(f"{words} {show(float(diameter))} diameter")
    largest = max(float(d) for d, _ in holes)
    entities += mark(centre, size=largest + 6.0)
    if slot is not None:
        entities.append(Stroke(slot[0], "hole"))
        sizes[0] = slot[1]
        for end in slot[0].centres[np.isfinite(slot[0].radii)]:
            entities += mark(end, size=_PRICKED)
    for at, _ in marks:
        entities += mark(at, size=_PRICKED)
    said: list[Entity] = []
    middle = 0.5 * (inner[:2] + inner[2:])
    anchor: Literal["left", "right"] = "left" if side > 0.0 else "right"
    inward: Literal["left", "right"] = "right" if side > 0.0 else "left"
    said += arrow((middle[0], box[3] + 4.0), (middle[0], box[3] + 16.0), 4.0)
    said.append(Text("TOP", (middle[0] - 3.0 * side, box[3] + 10.0), 5.0, anchor=inward, bold=True))
    face_x = float(inner[2] if side > 0.0 else inner[0])
    level = _outside_level(tabs, inner, box, side)
    said += arrow((face_x + 4.0 * side, level), (face_x + 16.0 * side, level), 4.0)
    said.append(Text("OUTSIDE", (face_x + 4.0 * side, level + 3.0), 5.0, anchor=anchor, bold=True))
    beside, placer = label or millimetres, Placer([*entities, *said])
    within = [_within_tab(tab, placer) for tab in tabs]
    shown = [entity for face in faces for entity in _face(face, centre, cut, beside, placer)]
    corners = radius_labels(panel, beside, placer)
    if called:
        shown.append(placer.best(_beside_hole(called, slot[0] if slot else Circle(centre, 0.5 * largest).path, side)))
    for at, words in marks:
        shown.append(placer.text(words, np.asarray(at) - (0.0, _PRICKED), 2.5))
    beyond = Placer([*entities, *said, *shown, *corners])
    entities += [text or _beyond_tab(tab, beyond) for tab, text in zip(tabs, within, strict=True)]
    room = float(inner[3] - centre[1])
    along = Text(
        f"{title}, {hand} hand end".upper(), (middle[0], centre[1] + 0.33 * room), 4.0, 90.0, "middle", "middle", True
    )
    if along.height < 0.4 * (inner[2] - inner[0]) and 0.5 * along.width < 0.33 * room - largest:
        said.append(along)
    pieces = {name: drafting.clipped(body, window) for name, body in neighbours.items()}
    small = inner[3] - inner[1] < _SMALL
    wide = _ROOM_BELOW if small else _BLOCK
    if small and notes:
        notes = [" ".join(notes)]  # beneath it, lines are dear
    lines: list[Line] = [
        (f"{hand.upper()} HAND", 6.0, True),
        *paragraph(title, LETTERS, wide, bold=True),
        *paragraph(view, LETTERS, wide),
        ("Pivot:", LETTERS, True),
        *(text for size in sizes for text in paragraph(size, LETTERS, wide)),
        *(t for f in faces for t in paragraph(f"{show(_away(centre, f))} from the {f.name}", LETTERS, wide)),
        *(text for note in notes for text in paragraph(note, LETTERS, wide)),
        *(
            t
            for words in (
                "Heavy lines: the faces to measure from. Cut round the tabs; fold them on the dashes.",
                revision,
            )
            for t in paragraph(words, LETTERS, wide)
            if t[0]
        ),
        *(text for text in paragraph(beside_lines(label).strip(), LETTERS, wide) if text[0]),
    ]
    if small:
        every = [e.bounds for e in (*entities, *shown, *corners, *said)]
        every += [drafting.bounds(q) for several in pieces.values() for q in several]
        lowest = min(float(bounds[1]) for bounds in every) - 9.0  # the name of a body may stand beneath it
        left = min(float(bounds[0]) for bounds in every)
        notes_at = (left, lowest)
    else:
        notes_at = _beside(inner, window, side, lines, [q for several in pieces.values() for q in several])
    said += block(lines, notes_at)
    placer = Placer([*entities, *shown, *corners, *said])
    for name, several in pieces.items():
        entities += [Stroke(piece, "neighbour") for piece in several]
        if several:
            entities.append(placer.name(name, several, 2.5))
    entities += [*shown, *corners, *said]
    return Drawing(f"{title}: {kind}, {hand} hand", view, tuple(entities), revision)


def _beside(
    box: np.ndarray, window: np.ndarray, side: float, lines: list[Line], pieces: list[Path]
) -> tuple[float, float]:
    """Return the top left corner for the notes: close outside the panel where nothing stands, else clear of all."""
    width = max(_lettering.width(words, height, bold=bold) for words, height, bold in lines)
    depth = sum(LEADING * height for _, height, _ in lines)
    high = float(box[3])
    off = 22.0 if high - depth > box[1] + _OUTSIDE_AT * (box[3] - box[1]) + 10.0 else 50.0
    left = float(box[2]) + off if side > 0.0 else float(box[0]) - off - width
    for piece in pieces:
        near = drafting.bounds(piece)
        if near[0] < left + width and near[2] > left and near[1] < high and near[3] > high - depth:
            return (float(window[2]) + 6.0 if side > 0.0 else float(window[0]) - 6.0 - width), high
    return left, high


class _Tab(NamedTuple):
    """A paper tab: the face it folds over, the ends of its fold line, and its tip."""

    face: str
    a: np.ndarray
    b: np.ndarray
    tip: tuple[np.ndarray, np.ndarray]


def _hooked(ring: Path, faces: Sequence[Face], centre: np.ndarray) -> tuple[Path, list[_Tab]]:
    """Return the outline with a paper tab, or two, past each face where it has a flat, and the tabs."""
    corners = [np.asarray(p) for p in ring.points]
    sweeps = [float(v) for v in ring.sweep_deg]
    ends = [*corners[1:], corners[0]]
    turn = sum(float(a[0] * b[1] - a[1] * b[0]) for a, b in zip(corners, ends, strict=True))
    on: dict[int, list[_Tab]] = {}
    for face in faces:
        flats = [
            (float(np.hypot(*(b - a))), i)
            for i, (a, b, sweep) in enumerate(zip(corners, ends, sweeps, strict=True))
            if sweep == 0.0 and max(_away(a, face), _away(b, face)) < _ON_FACE
        ]
        length, i = max(flats, default=(0.0, -1))
        if length < _LEAST_TAB:
            continue
        along = unit(ends[i] - corners[i])
        out = np.array([along[1], -along[0]]) * (1.0 if turn > 0.0 else -1.0)
        width = min(length, _LONGEST_TAB)
        places = [0.5]
        if length > _TWO_TABS:
            places = [0.3, 0.85]
            if np.hypot(*(corners[i] - centre)) > np.hypot(*(ends[i] - centre)):
                places = [0.15, 0.7]
        slant = min(3.0, width / 6.0)
        for place in places:
            a, b = (corners[i] + (place * length + half * width) * along for half in (-0.5, 0.5))
            tip = (a + TAB * out + slant * along, b + TAB * out - slant * along)
            on.setdefault(i, []).append(_Tab(face.name, a, b, tip))
    points: list[np.ndarray] = []
    turns: list[float] = []
    for i, (corner, sweep) in enumerate(zip(corners, sweeps, strict=True)):
        points.append(corner)
        turns.append(sweep)
        for tab in on.get(i, ()):
            chain = [tab.a, *tab.tip, tab.b]
            chain = [p for p in chain if np.hypot(*(p - corner)) > _ON_FACE and np.hypot(*(p - ends[i])) > _ON_FACE]
            points += chain
            turns += [0.0] * len(chain)
    return Path(points, turns, closed=True), [tab for several in on.values() for tab in several]


def _beside_hole(words: str, hole: Path, side: float) -> list[Text]:
    """Return where the name of a hole may stand: level with its top, on the outer side first."""
    left, _, right, top = (float(v) for v in drafting.bounds(hole))
    places: dict[float, tuple[float, Literal["left", "right"]]] = {
        1.0: (right + 3.0, "left"),
        -1.0: (left - 3.0, "right"),
    }
    return [
        Text(words, (places[way][0], top + up), 2.5, anchor=places[way][1])
        for way in (side, -side)
        for up in (1.0, 5.0, 9.0, 13.0)
    ]


def _outside_level(tabs: Sequence[_Tab], inner: np.ndarray, box: np.ndarray, side: float) -> float:
    """Return the height of the word OUTSIDE: beside the outer face, off its tabs; above it where they leave no room."""
    face = inner[2] if side > 0.0 else inner[0]
    taken = [sorted((tab.a[1], tab.b[1])) for tab in tabs if (tab.tip[0][0] - face) * side > 1.0]
    for share in (_OUTSIDE_AT, 0.75, 0.15):
        level = float(inner[1] + share * (inner[3] - inner[1]))
        if not any(low - 12.0 < level < high + 5.0 for low, high in taken):
            return level
    return float(box[3]) + 4.0


def _tab_says(tab: _Tab) -> str:
    return f"fold over the {short(tab.face, 2.6)}"


def _within_tab(tab: _Tab, placer: Placer) -> Text | None:
    """Return what stands on a tab, along its fold; None where it is too narrow for the words."""
    words = _tab_says(tab)
    middle = 0.25 * (tab.a + tab.b + tab.tip[0] + tab.tip[1])
    angle, _ = readable(tab.b - tab.a)
    room = 0.9 * float(np.hypot(*(tab.tip[1] - tab.tip[0])))
    fitting, height = _lettering.fitted(words, 2.6, room, least=2.2)
    if fitting != words:
        return None
    text = Text(words, middle, height, angle, "middle", "middle")
    placer.free(text, middle, middle)
    return text


def _beyond_tab(tab: _Tab, placer: Placer) -> Text:
    """Return the words of a narrow tab beyond its tip, or beside it, where fewest lines are in the way."""
    along = tab.b - tab.a
    angle, _ = readable(along)
    out, run = unit(0.5 * (tab.tip[0] + tab.tip[1] - tab.a - tab.b)), unit(along)
    trials = [
        Text(_tab_says(tab), 0.5 * (tab.tip[0] + tab.tip[1]) + off * out + slide * run, 2.6, angle, "middle", "middle")
        for off in (4.0, 8.0, 12.0, -3.0)
        for slide in (0.0, 8.0, -8.0, 16.0, -16.0, 24.0, -24.0, 30.0, -30.0)
    ]
    return placer.best(trials)


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


def radius_labels(panel: Path, label: Show, placer: Placer) -> list[Entity]:
    """Return the radius of every rounded corner, on a leader from the middle of its arc outward."""
    out: list[Entity] = []
    ends = [*panel.points, panel.points[0]]
    for i, (sweep, radius) in enumerate(zip(panel.sweep_deg, drafting.radii(panel), strict=True)):
        if sweep == 0.0 or abs(sweep) > 180.0:
            continue
        middle = drafting.split(Path([ends[i], ends[i + 1]], [sweep]), max(1.0, 0.5 * abs(float(sweep)))).points[1]
        outward = unit(middle - 0.5 * (ends[i] + ends[i + 1]))
        places = [(n, a) for n in (7.0, 14.0, 21.0, 28.0) for a in (0.0, 30.0, -30.0, 55.0, -55.0)]
        for off_lines, (length, lean_deg) in ((b, place) for b in (True, False) for place in places):
            way = Pose(0.0, 0.0, lean_deg).apply(outward)
            anchor: Literal["left", "right"] = "left" if way[0] >= 0.0 else "right"
            tip = middle + length * way
            words = Text(f"R {label(float(radius))}", tip + way, LETTERS, 0.0, anchor, "middle", layer="dimension")
            if placer.free(words, middle, tip, off_lines=off_lines):
                break
        out += [line(middle, tip, "dimension"), words]
    return out
