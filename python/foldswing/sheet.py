"""Sheets for the bench: one document, printed as a self-contained HTML page and as a PDF.

A `Document` is a title and a list of blocks. What a block says is the caller's; how it looks is decided here, the same
for both outputs: large enough to read at arm's length, nothing told by colour alone.

    >>> import foldswing as fs
    >>> doc = fs.sheet.Document("Counter gate", blocks=[
    ...     fs.sheet.Heading("Pivot"),
    ...     fs.sheet.KeyValues([("from the inner face", "18.0 mm"), ("below the worktop", "18.0 mm")]),
    ...     fs.sheet.Warning("outer lower corner to the nose", "0.41 mm at 119 degrees", "rubs on the way to the lean"),
    ... ])
    >>> fs.sheet.to_html(doc)[:15]
    '<!DOCTYPE html>'
"""

from __future__ import annotations

import functools
import os
from pathlib import Path as FilePath
from typing import Any, Literal

from foldswing import _lettering
from foldswing._core import InvalidInput
from foldswing._files import write_whole
from foldswing._values import value
from foldswing.drawing import PAPERS, Drawing, _positive, _word, to_svg

__all__ = [
    "Banner",
    "Bullets",
    "Caution",
    "Columns",
    "Document",
    "Figure",
    "Heading",
    "KeyValues",
    "PageBreak",
    "Paragraph",
    "Table",
    "Warning",
    "save",
    "to_html",
    "to_pdf",
]

# paper over drawing, as printed; 1 : n for whole-number n a fabricator can check with a rule
_SCALES = (
    1.0,
    1 / 2,
    1 / 3,
    1 / 4,
    1 / 5,
    1 / 6,
    1 / 8,
    1 / 10,
    1 / 12,
    1 / 15,
    1 / 20,
    1 / 25,
    1 / 30,
    1 / 40,
    1 / 50,
    1 / 100,
)
_FIGURE = (165.0, 170.0)  # mm; most room for a figure on A4 and Letter alike
_USUAL = (165.0, 132.0)  # mm; leaves room for words on the same page


@value
class Heading:
    """The start of a section.

    Parameters
    ----------
    text : str
        Its title.
    level : {1, 2}
        Section or part of one.
    """

    text: str
    level: int = 1

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        _word("level", self.level, (1, 2))


@value
class Paragraph:
    """Running text.

    Parameters
    ----------
    text : str
        Line ends are kept.
    """

    text: str


@value
class Bullets:
    """A list of short statements.

    Parameters
    ----------
    items : sequence of str
        One each.
    ordered : bool
        Numbered steps.
    """

    items: tuple[str, ...]
    ordered: bool = False

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["items"] = _strings("items", self.items)


@value
class KeyValues:
    """Names and their values.

    Parameters
    ----------
    rows : sequence of (name, value)
        In the order they are read.
    """

    rows: tuple[tuple[str, str], ...]

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["rows"] = rows = tuple(_strings(f"rows[{i}]", r) for i, r in enumerate(self.rows))
        for i, row in enumerate(rows):
            if len(row) != 2:
                raise InvalidInput(f"rows[{i}] must be a name and a value, got {row!r}")


@value
class Table:
    """A table with a header.

    Parameters
    ----------
    header : sequence of str
        Column titles.
    rows : sequence of sequence of str
        Each as long as the header.
    caption : str
        What it shows.
    note : str
        What is needed to read it, in ordinary letters beneath the caption.
    """

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        self.__dict__["header"] = header = _strings("header", self.header)
        self.__dict__["rows"] = rows = tuple(_strings(f"rows[{i}]", r) for i, r in enumerate(self.rows))
        if not header:
            raise InvalidInput("header must hold a column, got none")
        for i, row in enumerate(rows):
            if len(row) != len(header):
                raise InvalidInput(f"rows[{i}] must have {len(header)} cells, got {len(row)}")


@value
class Warning:
    """Something that will not do as it stands.

    Parameters
    ----------
    what : str
        What it is.
    number : str
        How much, with its unit.
    feel : str
        What the fabricator would feel: rubs, binds, drops, pops.
    advice : str
        What to do about it.
    """

    what: str
    number: str
    feel: str
    advice: str = ""


@value
class Caution:
    """A danger, or work that needs more than this sheet.

    Parameters
    ----------
    danger : str
        In the usual words of the trade.
    """

    danger: str


@value
class Figure:
    """A drawing made to fit the sheet; its scale is printed beneath.

    Parameters
    ----------
    drawing : Drawing
        What to show.
    caption : str
        What it shows.
    width, height : length
        Room on paper, mm; > 0, used up to 165 x 170.
    enlarged : number
        How many times full size the drawing itself is.
    """

    drawing: Drawing
    caption: str = ""
    width: float = _USUAL[0]
    height: float = _USUAL[1]
    enlarged: float = 1.0

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        for name, most in zip(("width", "height"), _FIGURE, strict=True):
            self.__dict__[name] = min(_positive(name, getattr(self, name)), most)

    @property
    def scale(self) -> float:
        """Paper over drawing: the largest of a short row of plain scales that fits; beyond those, whatever fits."""
        left, bottom, right, top = (float(v) for v in self.drawing.bounds)
        room = min((self.width - 2.0) / max(right - left, 1e-3), (self.height - 2.0) / max(top - bottom, 1e-3))
        return next((s for s in _SCALES if s <= room), room)

    @property
    def scale_words(self) -> str:
        """Return the scale as printed."""
        scale = self.scale * self.enlarged
        if scale > 1.0:
            return f"drawn {scale:.4g} : 1"
        return "full size" if scale == 1.0 else f"drawn 1 : {1.0 / scale:.4g}"

    @property
    def words(self) -> str:
        """Return what is printed beneath: the caption, the view unless the caption says it, the scale."""
        view = self.drawing.view
        beside = f"({view}; {self.scale_words})" if view and view not in self.caption else f"({self.scale_words})"
        return f"{self.caption} {beside}".strip()


@value
class Banner:
    """The one thing to know, in letters that are read across the shop.

    Parameters
    ----------
    text : str
        A few words.
    under : str
        Why, in one sentence.
    """

    text: str
    under: str = ""


@value
class PageBreak:
    """What follows begins a new page."""


@value
class Columns:
    """Blocks side by side; on a narrow screen one below the other.

    Parameters
    ----------
    left, right : sequence of blocks
        Neither columns nor page breaks themselves; a figure says the width it takes.
    share : float
        Part of the width that the left ones get, 0.2 to 0.8.
    small : bool
        In smaller letters: what is read once, at the desk.
    """

    left: tuple[Block, ...]
    right: tuple[Block, ...]
    share: float = 0.5
    small: bool = False

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        for name in ("left", "right"):
            self.__dict__[name] = _blocks(name, getattr(self, name), _SIMPLE)
        self.__dict__["share"] = share = _positive("share", self.share)
        if not 0.2 <= share <= 0.8:
            raise InvalidInput(f"share must be 0.2 to 0.8, got {share:g}")


Block = Heading | Paragraph | Bullets | KeyValues | Table | Warning | Caution | Figure | Banner | PageBreak | Columns
_SIMPLE = (Heading, Paragraph, Bullets, KeyValues, Table, Warning, Caution, Figure, Banner)


def _blocks(name: str, given: Any, kinds: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return a row of blocks of these kinds."""
    blocks = tuple(given)
    for i, item in enumerate(blocks):
        if not isinstance(item, kinds):
            raise InvalidInput(f"{name}[{i}] must be a block of this module, got {item!r}")
    return blocks


@value
class Document:
    """A sheet.

    Parameters
    ----------
    title : str
        What it is about.
    subtitle : str
        One line beneath.
    revision : str
        Date or revision, in the caller's words.
    blocks : sequence of blocks
        Any of this module.
    """

    title: str
    subtitle: str = ""
    revision: str = ""
    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        """Check and freeze what was given."""
        for name in ("title", "subtitle", "revision"):
            self.__dict__[name] = _lettering.clean(getattr(self, name))
        self.__dict__["blocks"] = _blocks("blocks", self.blocks, (*_SIMPLE, PageBreak, Columns))


def _strings(name: str, given: Any) -> tuple[str, ...]:
    """Return a row of texts; one text alone is a mistake, not a row of letters."""
    if isinstance(given, (str, bytes)):
        raise InvalidInput(f"{name} must be a sequence of texts, got one text {given!r}")
    return tuple(str(v) for v in given)


@functools.cache
def _page() -> Any:
    """Return the compiled page."""
    import jinja2  # noqa: PLC0415

    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("foldswing", "pages"), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    environment.tests["kind"] = lambda item, name: type(item).__name__ == name
    environment.filters["clean"] = functools.partial(_lettering.clean, keep_lines=True)
    return environment.get_template("sheet.html")


def to_html(document: Document) -> str:
    """Return the sheet as one HTML page that needs nothing else: figures are in it, and it prints well.

    Parameters
    ----------
    document : Document
        What to write.

    Returns
    -------
    str
        The page.
    """
    from markupsafe import Markup  # noqa: PLC0415

    def picture(figure: Figure) -> Markup:
        return Markup(to_svg(figure.drawing, scale=figure.scale, margin=1.0))

    page: str = _page().render(document=document, picture=picture, family=_lettering.FAMILY)
    return page


def to_pdf(document: Document, *, paper: str = "A4") -> bytes:
    """Return the sheet as PDF.

    Parameters
    ----------
    document : Document
        What to write.
    paper : {'A4', 'A3', 'Letter', 'Tabloid'}
        Sheet in the printer.

    Returns
    -------
    bytes
        The file, the same for the same document.
    """
    from foldswing import _pages  # noqa: PLC0415

    _word("paper", paper, PAPERS)
    return _pages.written(document, PAPERS[paper])


def save(
    document: Document,
    path: str | os.PathLike[str],
    *,
    paper: Literal["A4", "A3", "Letter", "Tabloid"] = "A4",
    overwrite: bool = False,
) -> FilePath:
    """Write the sheet to a file, whole or not at all; the ending of the name says what kind.

    Parameters
    ----------
    document : Document
        What to write.
    path : path
        A name that ends in .html or .pdf.
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
        When the ending is another.
    """
    ending = FilePath(path).suffix.lower()
    _word("the ending of path", ending, (".html", ".pdf"))
    return write_whole(
        path, to_html(document) if ending == ".html" else to_pdf(document, paper=paper), overwrite=overwrite
    )
