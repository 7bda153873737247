"""Full-size drawings for the bench: lines by trade meaning, in millimetres, written as SVG, DXF or tiled PDF.

A `Drawing` is a title, the view it shows, and a tuple of entities: `Stroke` (lines and arcs), `Circle`, `CentreMark`
and `Text`. Every entity is on a layer named by what it means to the person at the bench, and layers differ in dash and
width as well as in colour. x runs right, y up, 1 unit is 1 mm.

    >>> import foldswing as fs
    >>> strip = fs.drawing.polyline([(0, 0), (80, 0), (80, 25), (0, 25)], "cut", closed=True)
    >>> hole = fs.drawing.Circle((12.5, 12.5), 4.0)
    >>> sheet = fs.drawing.Drawing("Hinge strip", "seen from outside", (strip, hole, *fs.drawing.mark((12.5, 12.5))))
    >>> [round(float(v), 3) for v in sheet.bounds]
    [0.0, 0.0, 80.0, 25.0]
    >>> fs.drawing.to_svg(sheet)[:4]
    '<svg'
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path as FilePath
from typing import Any, Literal, NamedTuple

import numpy as np

from foldswing import _lettering
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Outline, Path, Pose
from foldswing._files import write_whole
from foldswing._values import frozen_array, value
from foldswing.units import _door

__all__ = [
    "LAYERS",
    "PAPERS",
    "CentreMark",
    "Circle",
    "Drawing",
    "Layer",
    "Stroke",
    "Text",
    "TilePlan",
    "line",
    "mark",
    "outline",
    "polyline",
    "rectangle",
    "save",
    "tile_plan",
    "to_dxf",
    "to_pdf",
    "to_svg",
]

Anchor = Literal["left", "middle", "right"]
Level = Literal["base", "middle", "top"]


class Layer(NamedTuple):
    """What a kind of line means and how it is drawn.

    Attributes
    ----------
    meaning : str
        Words for the key.
    colour : str
        '#rrggbb', from a palette that colour-blind readers tell apart; never the only difference.
    width : float
        Line width on paper, mm.
    dashes : tuple of float
        Dash, gap, dash, gap ... on paper, mm; empty for an unbroken line.
    name : str
        Layer name in DXF.
    """

    meaning: str
    colour: str
    width: float
    dashes: tuple[float, ...]
    name: str


LAYERS: dict[str, Layer] = {
    "cut": Layer("cut line", "#000000", 0.5, (), "CUT_LINE"),
    "hole": Layer("hole", "#000000", 0.35, (), "HOLE"),
    "bend_up": Layer("bend line, folds up toward you", "#0072b2", 0.4, (9.0, 3.0), "BEND_LINE_UP"),
    "bend_down": Layer("bend line, folds down away from you", "#d55e00", 0.4, (7.0, 2.0, 1.0, 2.0), "BEND_LINE_DOWN"),
    "tangent": Layer("bend tangent line: the curve starts here", "#666666", 0.18, (1.5, 1.5), "BEND_TANGENT"),
    "bend_hem": Layer("bend line of a hem, wire or seam: folded back", "#882255", 0.4, (5.0, 1.5), "BEND_LINE_HEM"),
    "sight": Layer("sight line: set level with the brake's nose", "#117733", 0.18, (4.0, 1.5, 0.5, 1.5), "SIGHT_LINE"),
    "roll": Layer("roll line: lies in a curve", "#0072b2", 0.18, (6.0, 2.0), "ROLL_LINE"),
    "datum": Layer("real face to measure from", "#006b4f", 1.0, (), "DATUM_FACE"),
    "fold": Layer("fold line of a paper tab, on the face it folds over", "#000000", 0.5, (4.0, 2.0), "FOLD_LINE"),
    "panel": Layer("outline, not cut", "#000000", 0.35, (), "PANEL"),
    "neighbour": Layer("part next to it", "#555555", 0.25, (3.0, 2.0), "NEIGHBOUR"),
    "swing": Layer("path over the swing", "#8f4b78", 0.25, (0.6, 1.4), "SWING"),
    "centre": Layer("centre line, centre mark", "#000000", 0.18, (8.0, 1.5, 1.5, 1.5), "CENTRE"),
    "dimension": Layer("dimension", "#333333", 0.18, (), "DIMENSION"),
    "text": Layer("text", "#000000", 0.18, (), "TEXT"),
}

# width and height upright, mm: ISO 216 and the ANSI sheets
PAPERS: dict[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}

_LARGEST = 1e5  # mm; 100 m of template is a slip of units, and stays exact in every file format


def _numbers(name: str, given: Any, count: int) -> np.ndarray:
    """Return `count` finite lengths in mm."""
    array = np.asarray(_door(given, name, "length"), dtype=float)
    wanted = () if count == 1 else (count,)
    if array.shape != wanted:
        raise InvalidInput(f"{name} must be {'one number' if count == 1 else f'{count} numbers'}, got {given!r}")
    if not np.all(np.isfinite(array)) or np.any(np.abs(array) > _LARGEST):
        raise InvalidInput(f"{name} must be finite and within {_LARGEST:g} mm, got {given!r}")
    return frozen_array(array)


def _positive(name: str, given: Any) -> float:
    number = float(_numbers(name, given, 1))
    if not number > 0.0:
        raise InvalidInput(f"{name} must be > 0, got {given!r}")
    return number


def _word(name: str, given: Any, allowed: Iterable[Any]) -> None:
    if given not in (words := list(allowed)):
        raise InvalidInput(f"{name} must be one of {', '.join(map(str, words))}, got {str(given)[:80]!r}")


@value
class Stroke:
    """A run of lines and arcs.

    Parameters
    ----------
    path : Path
        Lines and arcs, mm.
    layer : str
        A key of `LAYERS`.
    """

    path: Path
    layer: str = "cut"

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        if not isinstance(self.path, Path):
            raise InvalidInput(f"path must be a Path, got {self.path!r}")
        _word("layer", self.layer, LAYERS)
        _numbers("path", drafting.bounds(self.path), 4)

    @property
    def bounds(self) -> np.ndarray:
        """Left, bottom, right, top; mm."""
        return drafting.bounds(self.path)


@value
class Circle:
    """A full circle.

    Parameters
    ----------
    centre : point
        mm.
    radius : length
        > 0, mm.
    layer : str
        A key of `LAYERS`.
    """

    centre: Any
    radius: float
    layer: str = "hole"

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["centre"] = _numbers("centre", self.centre, 2)
        self.__dict__["radius"] = _positive("radius", self.radius)
        _word("layer", self.layer, LAYERS)

    @property
    def path(self) -> Path:
        """Return the circle as two half turns."""
        x, y = (float(v) for v in self.centre)
        return Path([(x + self.radius, y), (x - self.radius, y)], [180.0, 180.0], closed=True)

    @property
    def bounds(self) -> np.ndarray:
        """Left, bottom, right, top; mm."""
        return frozen_array([*(self.centre - self.radius), *(self.centre + self.radius)])


@value
class CentreMark:
    """A cross to prick and drill at.

    Parameters
    ----------
    centre : point
        mm.
    size : length
        Length of each arm from tip to tip, mm; > 0.
    """

    centre: Any
    size: float = 10.0
    layer: str = "centre"

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["centre"] = _numbers("centre", self.centre, 2)
        self.__dict__["size"] = _positive("size", self.size)
        _word("layer", self.layer, LAYERS)

    @property
    def arms(self) -> tuple[Path, Path]:
        """Return the two lines of the cross."""
        (x, y), r = (float(v) for v in self.centre), 0.5 * self.size
        return Path([(x - r, y), (x + r, y)], [0.0]), Path([(x, y - r), (x, y + r)], [0.0])

    @property
    def bounds(self) -> np.ndarray:
        """Left, bottom, right, top; mm."""
        return frozen_array([*(self.centre - 0.5 * self.size), *(self.centre + 0.5 * self.size)])


@value
class Text:
    """One line of text.

    Parameters
    ----------
    text : str
        Control characters are shown as a mark; line ends become spaces.
    at : point
        Where the anchor lies, mm.
    height : length
        Height of the capitals, mm; > 0.
    rotation_deg : float
        Counter-clockwise from reading level.
    anchor : {'left', 'middle', 'right'}
        Which end of the text lies at the point.
    level : {'base', 'middle', 'top'}
        Whether the foot, the middle or the top of the capitals lies at the point.
    bold : bool
        Heavy letters.
    """

    text: str
    at: Any
    height: float = 3.5
    rotation_deg: float = 0.0
    anchor: Anchor = "left"
    level: Level = "base"
    bold: bool = False
    layer: str = "text"

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["text"] = _lettering.clean(self.text)
        self.__dict__["at"] = _numbers("at", self.at, 2)
        self.__dict__["height"] = _positive("height", self.height)
        self.__dict__["rotation_deg"] = float(Pose(0.0, 0.0, self.rotation_deg).angle_deg)
        _word("anchor", self.anchor, ("left", "middle", "right"))
        _word("level", self.level, ("base", "middle", "top"))
        _word("layer", self.layer, LAYERS)

    @property
    def width(self) -> float:
        """Printed length, mm."""
        return _lettering.width(self.text, self.height, bold=self.bold)

    @property
    def drop(self) -> float:
        """From the anchor point down to the foot of the capitals, mm."""
        return {"base": 0.0, "middle": 0.5, "top": 1.0}[self.level] * self.height

    @property
    def bounds(self) -> np.ndarray:
        """Left, bottom, right, top of the letters; mm."""
        left = -{"left": 0.0, "middle": 0.5, "right": 1.0}[self.anchor] * self.width
        low = -self.drop - _lettering.DESCENT * self.height
        high = -self.drop + 1.1 * self.height
        corners = np.array([(x, y) for x in (left, left + self.width) for y in (low, high)])
        placed = Pose(float(self.at[0]), float(self.at[1]), self.rotation_deg).apply(corners)
        return frozen_array([*placed.min(axis=0), *placed.max(axis=0)])


Entity = Stroke | Circle | CentreMark | Text


@value
class Drawing:
    """Something to be cut, bent, drilled or held against the work, full size.

    Parameters
    ----------
    title : str
        What it is.
    view : str
        From where it is seen.
    entities : sequence of Stroke, Circle, CentreMark, Text
        At least one.
    revision : str
        Date or revision, in the caller's words: the same input always gives the same file.
    """

    title: str
    view: str
    entities: tuple[Entity, ...]
    revision: str = ""

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        for name in ("title", "view", "revision"):
            self.__dict__[name] = _lettering.clean(getattr(self, name))
        self.__dict__["entities"] = entities = tuple(self.entities)
        for i, entity in enumerate(entities):
            if not isinstance(entity, (Stroke, Circle, CentreMark, Text)):
                raise InvalidInput(f"entities[{i}] must be a Stroke, Circle, CentreMark or Text, got {entity!r}")
        if not entities:
            raise InvalidInput("entities must hold something to draw, got none")

    @property
    def bounds(self) -> np.ndarray:
        """Left, bottom, right, top of everything drawn, letters included; mm."""
        boxes = np.array([e.bounds for e in self.entities])
        return frozen_array([*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)])

    @property
    def layers(self) -> tuple[str, ...]:
        """Return the layers in use, in the order of `LAYERS`."""
        used = {e.layer for e in self.entities}
        return tuple(name for name in LAYERS if name in used)


class TilePlan(NamedTuple):
    """How a drawing is cut into sheets of paper.

    Attributes
    ----------
    columns, rows : int
        Columns from the left, rows from the top.
    page : tuple of float
        Width and height of the sheet as it lies, mm.
    window : tuple of float
        Width and height of drawing on each sheet, mm.
    step : tuple of float
        From sheet to sheet, mm: the window less the overlap.
    origin : tuple of float
        Left and top of the first window in the drawing, mm.
    printed : tuple of float
        What the printer makes of 1 mm, across and up the sheet; the sheet is drawn so that it comes out true.
    holes : str
        How the holes lie to the joints, in words; empty where there is no hole.
    """

    columns: int
    rows: int
    page: tuple[float, float]
    window: tuple[float, float]
    step: tuple[float, float]
    origin: tuple[float, float]
    printed: tuple[float, float] = (1.0, 1.0)
    holes: str = ""

    def corner(self, column: int, row: int) -> tuple[float, float]:
        """Return the left and bottom of one window in the drawing, mm; column and row count from 0."""
        return self.origin[0] + column * self.step[0], self.origin[1] - self.window[1] - row * self.step[1]


def line(a: Any, b: Any, layer: str = "cut") -> Stroke:
    """Return the straight line from a to b."""
    return Stroke(Path([_numbers("a", a, 2), _numbers("b", b, 2)], [0.0]), layer)


def polyline(points: Any, layer: str = "cut", *, closed: bool = False) -> Stroke:
    """Return straight lines from point to point, and back to the first when closed."""
    count = len(np.atleast_2d(points))
    return Stroke(Path(points, np.zeros(count if closed else max(count - 1, 0)), closed=closed), layer)


def rectangle(centre: Any, size: Any, layer: str = "hole") -> Stroke:
    """Return a rectangle as a closed stroke, sides left to right and up."""
    half = 0.5 * _numbers("size", size, 2)
    corners = _numbers("centre", centre, 2) + half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return polyline(corners, layer, closed=True)


def outline(shape: Outline | Path, layer: str = "cut") -> tuple[Stroke, ...]:
    """Return an outline and its holes, or a path, as lines."""
    if isinstance(shape, Path):
        return (Stroke(shape, layer),)
    return tuple(polyline(ring, layer, closed=True) for ring in (shape.points, *shape.holes))


def mark(centre: Any, label: str = "", *, size: Any = 10.0, height: Any = 3.5) -> tuple[Entity, ...]:
    """Return a centre mark with a label beside it."""
    cross = CentreMark(centre, size)
    if not label:
        return (cross,)
    x, y = (float(v) for v in cross.centre)
    offset = 0.5 * cross.size
    return cross, Text(label, (x + offset, y + 0.4 * offset), height)


def to_svg(drawing: Drawing, *, scale: float = 1.0, margin: float = 5.0) -> str:
    """Return a drawing as SVG: width and height in mm, arcs as arcs.

    Parameters
    ----------
    drawing : Drawing
        What to draw.
    scale : float
        Printed size over real size; 1 for anything that goes to the bench. Line widths and dashes keep their size
        on paper.
    margin : length
        Clear space all round on paper, mm.

    Returns
    -------
    str
        One `<svg>` element, complete in itself.
    """
    from foldswing import _svg  # noqa: PLC0415

    return _svg.written(drawing, _positive("scale", scale), float(_numbers("margin", margin, 1)))


def to_dxf(drawing: Drawing) -> bytes:
    """Return a drawing as DXF (release 2010) in millimetres: arcs as arcs, one layer for each meaning.

    Parameters
    ----------
    drawing : Drawing
        What to draw.

    Returns
    -------
    bytes
        The file, the same for the same drawing.
    """
    from foldswing import _dxf  # noqa: PLC0415

    return _dxf.written(drawing)


def to_pdf(
    drawings: Drawing | Sequence[Drawing], *, paper: str = "A4", max_sheets: int = 120, bars: Any = None
) -> bytes:
    """Return one or several drawings as PDF, full size on as many sheets as it takes.

    Every sheet carries bars of exactly 100 mm both ways, its place in the whole, and 10 mm of overlap with the next.
    A drawing on more than one sheet begins with a map of the sheets.

    Parameters
    ----------
    drawings : Drawing or sequence of Drawing
        What to draw, each on its own sheets.
    paper : {'A4', 'A3', 'Letter', 'Tabloid'}
        Sheet in the printer.
    max_sheets : int
        Refuse a drawing that needs more.
    bars : pair of lengths or None
        What the two 100 mm bars of an earlier print measured, along the short and the long side of the paper; the
        print is corrected for it and says so on every sheet.

    Returns
    -------
    bytes
        The file, the same for the same drawings.

    Raises
    ------
    InvalidInput
        When the drawing is too large for `max_sheets`, or a bar is not within 90 to 110 mm.
    """
    from foldswing import _tiles  # noqa: PLC0415

    several = [drawings] if isinstance(drawings, Drawing) else list(drawings)
    if not several:
        raise InvalidInput("drawings must hold at least one drawing, got none")
    return _tiles.written([(d, tile_plan(d, paper=paper, max_sheets=max_sheets, bars=bars)) for d in several])


def tile_plan(drawing: Drawing, *, paper: str = "A4", max_sheets: int = 120, bars: Any = None) -> TilePlan:
    """Return how a drawing is cut into sheets, upright or lying.

    No joint comes within 40 mm of a hole and all holes lie on one sheet, where the paper allows; then as few sheets as
    do.

    Parameters
    ----------
    drawing : Drawing
        What to draw.
    paper : {'A4', 'A3', 'Letter', 'Tabloid'}
        Sheet in the printer.
    max_sheets : int
        Refuse a drawing that needs more.
    bars : pair of lengths or None
        What the two 100 mm bars measured on paper, along its short and its long side.

    Returns
    -------
    TilePlan
        Columns, rows and where each window lies.

    Raises
    ------
    InvalidInput
        When the drawing is too large for `max_sheets`, or a bar is not within 90 to 110 mm.
    """
    from foldswing import _tile_plan  # noqa: PLC0415

    _word("paper", paper, PAPERS)
    return _tile_plan.planned(drawing, PAPERS[paper], paper, max_sheets, _tile_plan.bars_read(bars))


def save(
    drawings: Drawing | Sequence[Drawing], path: str | os.PathLike[str], *, paper: str = "A4", overwrite: bool = False
) -> FilePath:
    """Write a drawing to a file, whole or not at all; the ending of the name says what kind.

    Parameters
    ----------
    drawings : Drawing or sequence of Drawing
        What to draw; several only in a PDF.
    path : path
        A name that ends in .svg, .dxf or .pdf.
    paper : {'A4', 'A3', 'Letter', 'Tabloid'}
        Sheet in the printer, for PDF.
    overwrite : bool
        Replace a file that is there already.

    Returns
    -------
    pathlib.Path
        The file written.

    Raises
    ------
    FileExistsError
        When the file exists and `overwrite` is false.
    InvalidInput
        When the ending is another, or the drawing is too large for the paper.
    """
    ending = FilePath(path).suffix.lower()
    _word("the ending of path", ending, (".svg", ".dxf", ".pdf"))
    if ending == ".pdf":
        return write_whole(path, to_pdf(drawings, paper=paper), overwrite=overwrite)
    if not isinstance(drawings, Drawing):
        raise InvalidInput(f"drawings must be one drawing for {ending}, got {len(drawings)}")
    return write_whole(path, to_svg(drawings) if ending == ".svg" else to_dxf(drawings), overwrite=overwrite)
