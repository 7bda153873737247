"""Pictures for the sheet: a folded section, a panel at its stops. Public through `template`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path, Pose
from foldswing._layout import (
    Placer,
    short,
    unit,
)
from foldswing.drawing import Circle, Drawing, Entity, Stroke, Text, _numbers, line, mark, outline, rectangle

_PICTURE = (135.0, 105.0)  # mm; what a sheet gives the lines of a figure, words round them left out
_ROUND = 14.0  # mm; of a close-up's room, for words that stand off its edge
PICTURE_LETTERS = 2.4  # mm; capitals in a figure, as printed


def picture_letters(box: Any, room: tuple[float, float] = _PICTURE) -> float:
    """Return the height of letters, in mm of the drawing, that print legibly once it is made to fit the room."""
    return float(PICTURE_LETTERS * max((box[2] - box[0]) / room[0], (box[3] - box[1]) / room[1]))


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
    letters = picture_letters(np.array([*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)]))
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
    room: tuple[float, float] = _PICTURE,
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
    room : pair of lengths
        Width and height the picture gets on paper, mm: letters are made to be legible there.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        In fixed coordinates.
    """
    if not stops:
        raise InvalidInput("stops must hold at least one pose, got none")
    closed = [stroke.path for stroke in outline(panel)]
    placed = {name: [p.moved(pose) for p in closed] for name, pose in stops.items()}
    boxes = [drafting.bounds(p) for paths in placed.values() for p in paths] + [drafting.bounds(t) for t in tracks]
    around = np.array([*np.min(boxes, axis=0)[:2], *np.max(boxes, axis=0)[2:]])
    letters = picture_letters(around, room)
    clear = 0.06 * max(around[2] - around[0], around[3] - around[1]) + 5.0 * letters
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


def close_up(
    panel: Path,
    fixed: Mapping[str, Outline],
    between: tuple[Any, Any],
    words: str,
    *,
    title: str,
    view: str,
    room: tuple[float, float],
    scale: float = 1.0,
    revision: str = "",
) -> Drawing:
    """Return the picture of one tight place: panel and bodies as they stand there, and the gap between them.

    Parameters
    ----------
    panel : Path
        As it stands at that moment; closed.
    fixed : mapping of name to Outline
        Bodies round it.
    between : (point, point)
        The two nearest points.
    words : str
        Printed beside the gap.
    title, view : str
        What it is and from where it is seen.
    room : pair of lengths
        Width and height it gets on paper, mm.
    scale : float
        Paper over drawing; 1 is full size.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        In fixed coordinates, cut off at the room round the gap.
    """
    a, b = _numbers("between", between[0], 2), _numbers("between", between[1], 2)
    half = 0.5 * (np.array(room) - _ROUND) / scale
    middle = 0.5 * (a + b)
    window = np.array([*(middle - half), *(middle + half)])
    letters = PICTURE_LETTERS / scale
    entities: list[Entity] = [Stroke(piece, "panel") for piece in drafting.clipped(panel.outline(0.01), window)]
    bodies = {name: drafting.clipped(body, window) for name, body in fixed.items()}
    entities += [Stroke(piece, "neighbour") for several in bodies.values() for piece in several]
    ring = 0.8 * letters + 0.5 * float(np.hypot(*(b - a)))
    entities.append(Circle(middle, ring, "dimension"))
    placer = Placer(entities, letters)
    entities.append(placer.text(words, middle + np.array([0.0, ring + letters]), letters, bold=True))
    entities += [placer.name(name, several, letters) for name, several in bodies.items() if several]
    return Drawing(title, view, tuple(entities), revision)


def blank_picture(
    edge: Outline | Path,
    bends: Sequence[tuple[Any, Any, str, str]],
    *,
    slots: Sequence[tuple[Any, Any]] = (),
    holes: Sequence[tuple[Any, Any]] = (),
    title: str,
    view: str,
    room: tuple[float, float],
    letters: float | None = None,
    revision: str = "",
) -> Drawing:
    """Return the small picture of a blank: its edge and its bend lines by name.

    Parameters
    ----------
    edge : Outline or Path
        Of the blank.
    bends : sequence of (point, point, name, way)
        Ends of each bend line, what it is called, and 'up' or 'down'.
    slots : sequence of (centre, size)
        Rectangles cut out, sizes left to right and up, mm.
    holes : sequence of (centre, diameter)
        Round holes, mm.
    title, view : str
        What it is and from where it is seen.
    room : pair of lengths
        Width and height it gets on paper, mm.
    letters : length or None
        Height of the capitals, mm of the drawing; None for what is legible in the room.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        In the coordinates of the blank.
    """
    around = outline(edge)
    strokes: list[Entity] = [*around, *(rectangle(*slot) for slot in slots)]
    strokes += [line(a, b, f"bend_{way}") for a, b, _, way in bends]
    boxes = np.array([drafting.bounds(stroke.path) for stroke in around])
    box = np.array([*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)])
    letters = letters or picture_letters(box, (room[0] - 2.0 * _ROUND, room[1] - _ROUND))
    strokes += [Circle(centre, 0.5 * diameter) for centre, diameter in holes]
    placer = Placer(strokes, letters)
    named = [(_numbers("bends", a, 2), _numbers("bends", b, 2), f"{name} {way}") for a, b, name, way in bends]
    upright = [one for one in named if abs(one[1][1] - one[0][1]) > abs(one[1][0] - one[0][0])]
    widest = max((_lettering.width(text, letters, bold=True) for _, _, text in upright), default=0.0)
    places = sorted(float(a[0]) for a, _, _ in upright)
    apart = min((b - a for a, b in pairwise(places)), default=np.inf)
    if upright and widest > 0.8 * apart:  # words between the lines would lie across them
        placed = _over_lines(upright, box, letters)
        named = [one for one in named if not any(one is other for other in upright)]
    else:
        placed = []
    return Drawing(title, view, (*strokes, *placed, *_by_lines(named, letters, placer)), revision)


def _by_lines(bends: Sequence[tuple[np.ndarray, np.ndarray, str]], letters: float, placer: Placer) -> list[Entity]:
    """Return the names of bend lines, each beside the middle of its line and clear of all lines where it can be."""
    out: list[Entity] = []
    for a, b, text in bends:
        along = unit(b - a)
        upright = abs(along[1]) > abs(along[0])
        off = 0.5 * _lettering.width(text, letters, bold=True) + letters if upright else 1.2 * letters
        length = float(np.hypot(*(b - a)))
        if not upright and _lettering.width(text, letters, bold=True) > length:  # as of a corner tab
            out.append(placer.text(text, 0.5 * (a + b), letters, bold=True))
            continue
        trials = []
        for further in (1.0, 2.0, 3.0):
            for side in (np.array([1.0, 0.0]), np.array([-1.0, 0.0])) if upright else (
                np.array([0.0, 1.0]), np.array([0.0, -1.0]),
            ):  # fmt: skip
                for shift in (0.0, -0.2, 0.2, -0.35, 0.35):
                    away = off + (further - 1.0) * 2.4 * letters
                    at = 0.5 * (a + b) + shift * length * along + side * away
                    trials.append(Text(text, at, letters, 0.0, "middle", "middle", bold=True, layer="text"))
        out.append(placer.best(trials))
    return out


def _over_lines(bends: Sequence[tuple[np.ndarray, np.ndarray, str]], box: np.ndarray, letters: float) -> list[Entity]:
    """Return the names of upright bend lines above the blank, each a step lower than the one before and led down."""
    out: list[Entity] = []
    ordered = sorted(bends, key=lambda one: float(one[0][0]))
    for i, (a, b, text) in enumerate(ordered):
        x, top = float(a[0]), max(float(a[1]), float(b[1]))
        level = float(box[3]) + (1.2 + 1.7 * (len(ordered) - 1 - i)) * letters
        out.append(line((x, top), (x, level + 0.5 * letters), "dimension"))
        out.append(Text(text, (x + 0.6 * letters, level), letters, bold=True))
    return out
