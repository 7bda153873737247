"""Drawings of flat blanks: cut line, bend lines, everything measured from two edges. Public through `template`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path, Pose
from foldswing._layout import (
    LEADING,
    LETTERS,
    WIDEST,
    Placer,
    Show,
    beside_lines,
    block,
    millimetres,
    paragraph,
    running,
)
from foldswing._values import value
from foldswing.drawing import (
    Circle,
    Drawing,
    Entity,
    Stroke,
    Text,
    _numbers,
    _positive,
    _word,
    line,
    mark,
    outline,
    rectangle,
)

_FROM_ABOVE = "from above: a bend marked UP folds toward you"
_FOLDS = ("hem", "wire", "seam")
_REPEAT = 120.0  # mm; words along a bend line come again, so that every sheet of paper shows them


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
    sight : length or None
        Distance of the sight line, which is set level with the brake's nose, from the same edge.
    kind : {'bend', 'return', 'tab', 'hem', 'wire', 'seam'}
        What it makes; the last three are folds of a finished edge and have a line of their own.
    name : str
        What it is called; its kind stands for it where it has no name.
    """

    distance: float
    edge: Literal["left", "bottom"] = "left"
    ends: tuple[float, float] | None = None
    way: Literal["up", "down"] = "up"
    angle_deg: float = 90.0
    order: int | None = None
    tangents: tuple[float, float] | None = None
    sight: float | None = None
    kind: Literal["bend", "return", "tab", "hem", "wire", "seam"] = "bend"
    name: str = ""

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["distance"] = _positive("distance", self.distance)
        self.__dict__["angle_deg"] = float(Pose(0.0, 0.0, self.angle_deg).angle_deg)
        _word("edge", self.edge, ("left", "bottom"))
        _word("way", self.way, ("up", "down"))
        _word("kind", self.kind, ("bend", "return", "tab", *_FOLDS))
        if self.sight is not None:
            self.__dict__["sight"] = float(_numbers("sight", self.sight, 1))
        for name in ("ends", "tangents"):
            pair = getattr(self, name)
            if pair is not None:
                low, high = (float(v) for v in _numbers(name, pair, 2))
                if not low < high:
                    raise InvalidInput(f"{name} must be two ascending distances, got {pair!r}")
                self.__dict__[name] = (low, high)


def blank_template(
    blank: Path | Outline,
    bends: Sequence[BendLine],
    *,
    title: str,
    view: str = _FROM_ABOVE,
    holes: Sequence[tuple[Any, Any]] = (),
    slots: Sequence[tuple[Any, Any]] = (),
    labels: Sequence[tuple[Any, str]] = (),
    marks: Sequence[tuple[Literal["left", "bottom"], Any]] = (),
    notes: Sequence[str] = (),
    revision: str = "",
    show: Show = millimetres,
    label: Show | None = None,
    letters: float = LETTERS,
    headed: bool = True,
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
    slots : sequence of (centre, size)
        Rectangles cut out: centres in the coordinates of the blank, sizes left to right and up, mm.
    labels : sequence of (point, words)
        Words near places of the blank, such as the letter of a joint.
    marks : sequence of ('left' or 'bottom', distance)
        Further places to measure, such as flange edges that ears stand past: from that edge of the blank, mm.
    notes : sequence of str
        What else to print on it.
    revision : str
        Date or revision.
    show : callable
        Turns mm into words for the notes.
    label : callable or None
        Turns mm into the few words that stand beside a line; None for millimetres to a tenth.
    letters : length
        Height of the capitals beside lines, mm of the drawing: larger for a picture that is made smaller.
    headed : bool
        Whether title, view, size and notes stand above it.

    Returns
    -------
    Drawing
        Moved so that the lower left of the blank is the origin.

    Raises
    ------
    InvalidInput
        When a bend line lies off the blank.
    """
    edges = [stroke.path for stroke in outline(blank)]
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
    for i, (centre, dimensions) in enumerate(slots):
        at = _numbers(f"slots[{i}] centre", centre, 2) - low
        entities.append(rectangle(at, [_positive(f"slots[{i}] size", v) for v in dimensions]))
        stations["left"].append(float(at[0]))
        stations["bottom"].append(float(at[1]))
    placer = Placer(entities, letters)
    entities += [text for bend in bends for text in _bend_words(bend, size, placer, letters)]
    if labels:
        entities += [
            placer.text(words, _numbers(f"labels[{i}] point", near, 2) - low, letters, bold=True)
            for i, (near, words) in enumerate(labels)
        ]
    for i, (of, distance) in enumerate(marks):
        _word(f"marks[{i}] edge", of, ("left", "bottom"))
        stations[of].append(float(_numbers(f"marks[{i}] distance", distance, 1)))
    for edge, along, away in (("left", (1.0, 0.0), (0.0, -1.0)), ("bottom", (0.0, 1.0), (-1.0, 0.0))):
        full = float(size[0] if edge == "left" else size[1])
        places = _distinct([0.0, *stations[edge], full])
        words = [(s, beside(s) if s > 0.0 else "0") for s in places]
        entities += running((0.0, 0.0), along, away, words, offset=6.0 * letters / LETTERS, height=letters)
    if not headed:
        return Drawing(f"{title}: flat", view, tuple(entities), revision)
    room = min(max(float(size[0]), 120.0), WIDEST)
    lines = [
        *paragraph(title, 5.0, room, bold=True),
        *paragraph(view, LETTERS, room),
        *paragraph(f"{show(float(size[0]))} x {show(float(size[1]))} flat", LETTERS, room),
        *paragraph(f"{beside_lines(label)}All from one edge: do not chain them.", LETTERS, room),
        *(text for note in notes for text in paragraph(note, LETTERS, room)),
    ]
    rows = sum(LEADING * height for _, height, _ in lines)
    entities += block(lines, (0.0, float(size[1]) + 4.0 + rows))
    return Drawing(f"{title}: flat", view, tuple(entities), revision)


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

    layer = "bend_hem" if bend.kind in _FOLDS else f"bend_{bend.way}"
    out: list[Entity] = [line(at(bend.distance, start), at(bend.distance, stop), layer)]
    for tangent in bend.tangents or ():
        out.append(line(at(tangent, start), at(tangent, stop), "tangent"))
    if bend.sight is not None:
        out.append(line(at(bend.sight, start), at(bend.sight, stop), "sight"))
    return out


def _bend_words(bend: BendLine, size: np.ndarray, placer: Placer, letters: float) -> list[Entity]:
    """Return what is to be done at a bend, along its line and on the side of it where fewest lines are in the way."""
    upright = bend.edge == "left"
    start, stop = bend.ends or (0.0, float(size[1] if upright else size[0]))
    words, height = _fitting(bend, 0.9 * (stop - start), letters)
    edge = max((abs(t - bend.distance) for t in bend.tangents or ()), default=0.0)
    half = 0.5 * _lettering.width(words, height)
    layer = "bend_hem" if bend.kind in _FOLDS else f"bend_{bend.way}"
    times = max(1, round((stop - start) / (_REPEAT * letters / LETTERS)))
    out: list[Entity] = []
    for k in range(times):
        middle = start + (stop - start) * (k + 0.5) / times
        slack = max(0.5 * (stop - start) / times - half, 0.0)
        trials = []
        for off in (0.9, 2.4, 4.0):
            for side in (-1.0, 1.0) if upright else (1.0, -1.0):  # beside an upright line words stand to its left
                for shift in (0.0, -0.6, 0.6):
                    across, along = bend.distance + side * (edge + off * height), middle + shift * slack
                    at = (across, along) if upright else (along, across)
                    trials.append(Text(words, at, height, 90.0 if upright else 0.0, "middle", "middle", layer=layer))
        out.append(placer.best(trials))
    return out


def _fitting(bend: BendLine, room: float, letters: float) -> tuple[str, float]:
    """Return the words of a bend and the height of their letters: all of them where its line is long enough."""
    turn = f"{bend.way.upper()} {bend.angle_deg:.4g}\N{DEGREE SIGN}"
    order = f"  order {bend.order}" if bend.order is not None else "  order [    ]"
    kind = "" if bend.kind == "bend" else f"{bend.kind.upper()} "
    full = [f"{bend.name}: {turn}{order}"] * bool(bend.name)
    if bend.name and bend.order is None:
        full.append(f"{bend.name}: {turn}")
    for words in (*full, f"{kind}{turn}{order}", f"{kind}{turn}", turn):
        for height in (letters, 0.8 * letters):
            if _lettering.width(words, height) <= room:
                return words, height
    return _lettering.fitted(turn, letters, room, least=0.57 * letters)


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
        `view`, `holes`, `slots`, `labels`, `notes`, `revision`, `show`, `label` of `blank_template`.

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
        `view`, `holes`, `slots`, `labels`, `notes`, `revision`, `show`, `label` of `blank_template`.

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
