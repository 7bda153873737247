"""PDF of a sheet: the blocks flow over as many pages as they take, figures as lines, not pixels."""

from __future__ import annotations

import functools
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal
from xml.sax.saxutils import escape

from foldswing import _ink, _lettering
from foldswing._ink import MM

if TYPE_CHECKING:
    from foldswing.sheet import Block, Document, Figure

_MARGIN = 12.5  # mm
_SHORT = 0.22  # of a page; a table no higher than this is not parted
_BODY = ("rows", "whole")  # what a heading stands over


@functools.cache
def _styles() -> dict[str, Any]:
    from reportlab.lib.styles import ParagraphStyle  # noqa: PLC0415

    _lettering.register()
    base = ParagraphStyle(
        "body",
        fontName=_lettering.REGULAR,
        fontSize=10.5,
        leading=14.5,
        spaceBefore=2,
        spaceAfter=4,
        splitLongWords=1,
        allowWidows=0,
        allowOrphans=0,
    )
    cell = ParagraphStyle("cell", parent=base, spaceBefore=0, spaceAfter=0, fontSize=10, leading=13)
    return {
        "body": base,
        "title": ParagraphStyle("title", parent=base, fontName=_lettering.BOLD, fontSize=19, leading=23, spaceAfter=1),
        "under": ParagraphStyle("under", parent=base, spaceAfter=6),
        "1": ParagraphStyle(
            "1",
            parent=base,
            fontName=_lettering.BOLD,
            fontSize=14,
            leading=18,
            spaceBefore=12,
            spaceAfter=3,
        ),
        "2": ParagraphStyle(
            "2",
            parent=base,
            fontName=_lettering.BOLD,
            fontSize=11.5,
            leading=15,
            spaceBefore=7,
            spaceAfter=2,
        ),
        "small": ParagraphStyle("small", parent=base, fontSize=9, leading=11.5, spaceBefore=0, spaceAfter=2),
        "banner": ParagraphStyle("banner", parent=base, fontName=_lettering.BOLD, fontSize=18, leading=22),
        "cell": cell,
        "strong": ParagraphStyle("strong", parent=cell, fontName=_lettering.BOLD),
        "number": ParagraphStyle("number", parent=cell, fontName=_lettering.BOLD, fontSize=12.5, leading=17),
        "caption": ParagraphStyle("caption", parent=base, fontSize=9.5, leading=12.5, spaceAfter=8),
    }


def _text(words: str, style: str, *, prefix: str = "") -> Any:
    """Return a paragraph of plain text: nothing in it is taken for markup."""
    from reportlab.platypus import Paragraph  # noqa: PLC0415

    safe = escape(_lettering.clean(words, keep_lines=True)).replace("\n", "<br/>")
    return Paragraph(prefix + safe, _styles()[style])


def _table(
    cells: list[list[Any]], widths: list[float], style: list[Any], *, header: int = 0, parted: bool = False
) -> Any:
    from reportlab.platypus import Table  # noqa: PLC0415

    base: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3.5),
    ]
    if not parted and len(cells) > header + 3:  # no row is left alone on a page
        base += [("NOSPLIT", (0, header), (-1, header + 1)), ("NOSPLIT", (0, -2), (-1, -1))]
    return Table(
        cells,
        colWidths=widths,
        style=base + style,
        repeatRows=header,
        spaceBefore=3,
        spaceAfter=7,
        splitInRow=int(parted),
        hAlign="LEFT",
    )


def _column_widths(rows: list[tuple[str, ...]], room: float) -> list[float]:
    """Return widths that follow the longest word and the length of text in each column."""
    columns = list(zip(*rows, strict=True))
    size = 10.0 * _lettering.CAPITALS

    def printed(text: str) -> float:
        return _lettering.width(_lettering.clean(text)[:200], size, bold=True)

    least = [
        min(0.4 * room, max(printed(w) for cell in column for w in [*cell.split(), ""]) + 10.0) for column in columns
    ]
    want = [max(printed(cell) for cell in column) + 10.0 for column in columns]
    if sum(want) <= room:
        return [w + (room - sum(want)) / len(want) for w in want]
    if sum(least) >= room:
        return [w * room / sum(least) for w in least]
    more = [max(w - lo, 0.0) for w, lo in zip(want, least, strict=True)]
    spare = (room - sum(least)) / sum(more)
    return [lo + m * spare for lo, m in zip(least, more, strict=True)]


def _figure(figure: Figure) -> Any:
    from reportlab.platypus import Flowable  # noqa: PLC0415

    class Picture(Flowable):  # type: ignore[misc]
        """A drawing at the figure's scale."""

        def __init__(self) -> None:
            super().__init__()
            left, bottom, right, top = (float(v) for v in figure.drawing.bounds)
            self.corner = (left, bottom)
            self.scale = figure.scale
            self.width = (right - left) * self.scale * MM + 2.0 * MM
            self.height = (top - bottom) * self.scale * MM + 2.0 * MM

        def wrap(self, *_room: float) -> tuple[float, float]:
            return self.width, self.height

        def draw(self) -> None:
            canvas = self.canv
            canvas.saveState()
            canvas.translate(MM, MM)
            canvas.scale(MM * self.scale, MM * self.scale)
            canvas.translate(-self.corner[0], -self.corner[1])
            canvas.setLineJoin(1)
            _ink.drawing(canvas, figure.drawing, self.scale)
            canvas.restoreState()

    return Picture()


def _box(cells: list[Any], width: float, colour: str, page: float, *, dashed: bool = False) -> _Piece:
    """Return a box with a heavy left edge."""
    from reportlab.lib.colors import HexColor  # noqa: PLC0415

    ink = HexColor(colour)
    edge: list[Any] = [("BOX", (0, 0), (-1, -1), 1.2, ink, None, (4, 2) if dashed else None)]
    edge += [("LINEBEFORE", (0, 0), (0, -1), 7, ink), ("LEFTPADDING", (0, 0), (-1, -1), 10)]
    made = _rows([[cell] for cell in cells], [width], edge, page)
    return _Piece("whole", made.parts, made.height, made.height)


def _flow(document: Document, width: float, height: float) -> list[Any]:
    """Return the title and the blocks as reportlab's flowing parts."""
    from reportlab.lib.colors import black  # noqa: PLC0415
    from reportlab.platypus import HRFlowable  # noqa: PLC0415

    under = " \N{MIDDLE DOT} ".join(w for w in (document.subtitle, document.revision) if w)
    out: list[Any] = [_text(document.title, "title")]
    if under:
        out.append(_text(under, "under"))
    out.append(HRFlowable(width="100%", thickness=1.5, color=black, spaceAfter=6))
    return out + _paged(_pieces(document.blocks, width, height), height)


@dataclass(frozen=True)
class _Piece:
    """Flowing parts of one block: a 'heading' and 'words' stay with what follows, 'rows' may be parted, a 'whole' not.

    A 'break' begins a new page. Heights in points: of all of it, and of the least that the page it begins on must hold.
    """

    kind: Literal["heading", "words", "rows", "whole", "break"]
    parts: list[Any]
    height: float = 0.0
    least: float = 0.0


def _paged(pieces: Sequence[_Piece], height: float) -> list[Any]:
    """Return the parts of all pieces; a new page begins where a heading, with what belongs to it, finds no room."""
    from reportlab.platypus import CondPageBreak  # noqa: PLC0415

    out: list[Any] = []
    held = False  # what comes next belongs to a heading, for which room was asked for already
    for i, piece in enumerate(pieces):
        if (piece.kind == "heading" or len(piece.parts) > 1) and not held:
            need = 0.0
            for each in pieces[i:]:
                need += each.least
                if each.kind in {*_BODY, "break"} or need > 0.6 * height:
                    break
            asked = CondPageBreak(min(need, height - 1.0))
            asked._SPACETRANSFER = True  # else the spaces before and after it would be added up
            out.append(asked)
        held = piece.kind == "heading" or (held and piece.kind == "words")
        out += piece.parts
    return out


def _words(kind: Literal["heading", "words"], words: str, style: str, width: float) -> _Piece:
    part = _text(words, style)
    height = _tall(part, width)
    return _Piece(kind, [part], height, height)


def _rows(cells: list[list[Any]], widths: list[float], style: list[Any], page: float, header: int = 0) -> _Piece:
    """Return a table; no row of it is parted unless no page could hold it."""
    heights = [max(_tall(cell, w - 8.0) for cell, w in zip(row, widths, strict=True)) + 6.0 for row in cells]
    whole = sum(heights) + 10.0
    header = header if sum(heights[:header]) < 0.3 * page else 0  # one that leaves no room would repeat for ever
    table = _table(cells, widths, style, header=header, parted=max(heights) > 0.5 * page)
    return _Piece("rows", [table], whole, whole if whole <= _SHORT * page else sum(heights[: header + 3]) + 10.0)


def _tall(part: Any, width: float) -> float:
    """Return the height of a paragraph, or of several one below the other, with the space round it."""
    if isinstance(part, list):
        return sum(_tall(one, width) for one in part)
    return float(part.wrap(width, 1e6)[1] + part.getSpaceBefore() + part.getSpaceAfter())


def _pieces(blocks: Sequence[Block], width: float, height: float, *, small: bool = False) -> list[_Piece]:
    """Return blocks as pieces, for a column this wide on a page this high."""
    from reportlab.lib.colors import HexColor, black  # noqa: PLC0415
    from reportlab.platypus import KeepInFrame, ListFlowable, PageBreak  # noqa: PLC0415

    from foldswing import sheet  # noqa: PLC0415

    thin, thick = HexColor("#777777"), black
    body, cell = ("small", "small") if small else ("body", "cell")
    out: list[_Piece] = []
    for item in blocks:
        if isinstance(item, sheet.Heading):
            out.append(_words("heading", item.text, str(item.level), width))
        elif isinstance(item, sheet.Paragraph):
            out.append(_words("words", item.text, body, width))
        elif isinstance(item, sheet.Bullets):
            kind: dict[str, Any] = (
                {"bulletType": "1"} if item.ordered else {"bulletType": "bullet", "start": "\N{BULLET}"}
            )
            rows = [_text(t, body) for t in item.items]
            if rows:
                listed = ListFlowable(rows, bulletFontName=_lettering.REGULAR, bulletFontSize=10, leftIndent=18, **kind)
                out.append(_Piece("rows", [listed], _tall(rows, width), _tall(rows[:3], width)))
        elif isinstance(item, sheet.KeyValues):
            if item.rows:
                cells = [[_text(k, "cell"), _text(v, "strong")] for k, v in item.rows]
                share = _name_share(item.rows, width)
                lines = [("LINEBELOW", (0, 0), (-1, -1), 0.4, thin)]
                out.append(_rows(cells, [share * width, (1.0 - share) * width], lines, height))
        elif isinstance(item, sheet.Table):
            cells = [[_text(c, "strong") for c in item.header], *([_text(c, "cell") for c in r] for r in item.rows)]
            rules = [("LINEBELOW", (0, 1), (-1, -1), 0.4, thin), ("LINEBELOW", (0, 0), (-1, 0), 1.2, thick)]
            if item.caption:
                out.append(_words("heading", item.caption, "2", width))
            if item.note:
                out.append(_words("words", item.note, body, width))
            out.append(_rows(cells, _column_widths([item.header, *item.rows], width), rules, height, 1))
        elif isinstance(item, sheet.Warning):
            parts = [
                _text(item.what, "strong", prefix="\N{BLACK UP-POINTING TRIANGLE} WARNING: "),
                _text(item.number, "number"),
                _text(item.feel, "cell", prefix="What you would feel: "),
            ]
            parts += [_text(item.advice, "cell")] * bool(item.advice)
            out.append(_box(parts, width, "#a03000", height))
        elif isinstance(item, sheet.Caution):
            parts = [_text(item.danger, cell, prefix="<b>CAUTION</b> ")]
            out.append(_box(parts, width, "#000000", height, dashed=True))
        elif isinstance(item, sheet.Banner):
            under = [_text(item.under, "cell")] * bool(item.under)
            frame = [("BOX", (0, 0), (-1, -1), 2.2, black), ("LEFTPADDING", (0, 0), (-1, -1), 10)]
            out.append(_rows([[[_text(item.text, "banner"), *under]]], [width], frame, height))
        elif isinstance(item, sheet.PageBreak):
            out.append(_Piece("break", [PageBreak()]))
        elif isinstance(item, sheet.Columns):
            between = 4.0 * MM
            left = item.share * (width - between)
            widths = (left, width - between - left)
            sides, tall = [], 0.0
            for side, w in zip((item.left, item.right), widths, strict=True):
                within = _pieces(side, w, height, small=item.small)
                # made smaller where one is higher than a page: a row of a table cannot be parted
                tall = max(tall, sum(each.height for each in within))
                sides.append(KeepInFrame(w, height, [p for each in within for p in each.parts], mode="shrink"))
            flush = [(f"{edge}PADDING", (0, 0), (-1, -1), 0) for edge in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
            table = _table([[sides[0], "", sides[1]]], [widths[0], between, widths[1]], flush)
            out.append(_Piece("whole", [table], tall, tall))
        elif isinstance(item, sheet.Figure):
            picture, caption = _figure(item), _text(item.words, "caption")
            tall = picture.height + _tall(caption, width)
            out.append(_Piece("whole", [picture, caption], tall, tall))
    return out


def _name_share(rows: Sequence[tuple[str, str]], width: float) -> float:
    """Return the part of the width that the names of a list of values get: one of two, so that lists stand in line."""
    longest = max(_lettering.width(_lettering.clean(name)[:200], 10.0 * _lettering.CAPITALS) for name, _ in rows)
    return next((share for share in (0.36, 0.5) if longest + 9.0 <= share * width), 0.55)


def written(document: Document, paper: tuple[float, float]) -> bytes:
    """Return the bytes of the PDF."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate  # noqa: PLC0415

    def foot(canvas: Any, _doc: Any) -> None:
        canvas.saveState()
        _ink.begin(canvas)
        room = paper[0] - 2.0 * _MARGIN
        words, size = _lettering.fitted(
            " \N{MIDDLE DOT} ".join(w for w in (document.title, document.revision) if w), 2.2, room - 22.0
        )
        _ink.letters(canvas, words, _MARGIN, 8.0, size)
        _ink.letters(canvas, f"page {canvas.getPageNumber()}", paper[0] - _MARGIN, 8.0, 2.2, anchor="right")
        canvas.restoreState()

    stream = io.BytesIO()
    width, height = _ink.page_size(*paper)
    edge = _MARGIN * MM
    template = BaseDocTemplate(
        stream,
        pagesize=(width, height),
        invariant=1,
        pageCompression=1,
        title=document.title,
        creator="foldswing",
        author="",
    )
    frame = Frame(edge, edge, width - 2.0 * edge, height - 2.0 * edge, 0, 0, 0, 0)
    template.addPageTemplates([PageTemplate("page", [frame], onPage=foot)])
    template.build(_flow(document, width - 2.0 * edge, height - 2.0 * edge - MM))
    return stream.getvalue()
