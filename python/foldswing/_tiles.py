"""Full-size PDF on ordinary paper: the drawing cut into overlapping sheets, with bars to check the printer by.

Each sheet, inside a margin no printer reaches beyond, has a window onto the drawing, a strip on its right with an
upright bar and a strip below with a level bar, the title, the place of the sheet and a small map. Nothing of the
drawing is ever under bars or words. Sheets are joined by cutting off the white margin on the left and at the top and
laying the cut edge on the line of the sheet before, so that the half diamonds close; bars and words vanish beneath.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from foldswing import _ink, _lettering
from foldswing._tile_plan import BAR, BELOW, MARGIN, OVERLAP, RIGHT

if TYPE_CHECKING:
    from foldswing.drawing import Drawing, TilePlan

INCH_BAR = 101.6  # mm; 4 inches
DOT = 25.4 / 300.0  # mm; bars begin on a whole dot of a common printer, so that their ends are crisp
THICK = 1.4  # mm; thickness of a bar
GREY = "#777777"
MAP_ROOM = (30.0, 24.0)  # mm; small map, in the corner


def column_letters(column: int) -> str:
    """Return A, B ... Z, AA, AB ..."""
    head, tail = divmod(column, 26)
    return (column_letters(head - 1) if head else "") + chr(ord("A") + tail)


def place(column: int, row: int) -> str:
    """Return the name of a sheet: its column's letter and its row's number."""
    return f"{column_letters(column)}{row + 1}"


def written(jobs: Iterable[tuple[Drawing, TilePlan]]) -> bytes:
    """Return the bytes of the PDF."""
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415

    jobs = list(jobs)
    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1, pageCompression=1)
    canvas.setTitle(jobs[0][0].title)
    canvas.setCreator("foldswing")
    canvas.setSubject("Full-size drawing: print at 100 %")
    canvas.setViewerPreference("PrintScaling", "None")
    for drawing, plan in jobs:
        if plan.columns * plan.rows > 1:
            _map_page(canvas, drawing, plan)
        for row in range(plan.rows):
            for column in range(plan.columns):
                _tile(canvas, drawing, plan, column, row)
    canvas.save()
    return stream.getvalue()


def _tile(canvas: Any, drawing: Drawing, plan: TilePlan, column: int, row: int) -> None:
    """Draw one sheet."""
    sheet = f"Sheet {place(column, row)}"
    if plan.columns * plan.rows > 1:
        sheet += f": column {column + 1} of {plan.columns} from the left, row {row + 1} of {plan.rows} from the top"
    else:
        sheet = "One sheet, complete"
    _frame(canvas, drawing, plan, sheet, (column, row))
    _neighbours(canvas, plan, column, row)
    x, y = MARGIN, MARGIN + BELOW
    width, height = plan.window
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(x, y, width, height)
    canvas.clipPath(clip, stroke=0, fill=0)
    _joins(canvas, plan, column, row)
    corner = plan.corner(column, row)
    canvas.translate(x - corner[0], y - corner[1])
    _ink.drawing(canvas, drawing)
    canvas.restoreState()
    canvas.showPage()


def _frame(canvas: Any, drawing: Drawing, plan: TilePlan, sheet: str, here: tuple[int, int] | None) -> None:
    """Begin a page: window border, bars, words, small map."""
    from reportlab.lib.colors import HexColor, black  # noqa: PLC0415

    canvas.setPageSize(_ink.page_size(*plan.page))
    _ink.begin(canvas)
    canvas.scale(1.0 / plan.printed[0], 1.0 / plan.printed[1])  # what the printer makes too short is drawn longer
    width = plan.window[0] + RIGHT
    canvas.setStrokeColor(HexColor(GREY))
    canvas.setLineWidth(0.15)
    canvas.setDash([])
    canvas.rect(MARGIN, MARGIN + BELOW, *plan.window, stroke=1, fill=0)
    canvas.setFillColor(black)
    _bar(canvas, MARGIN, MARGIN + 10.5, BAR, _bar_words(plan, 0), parts=10)
    _bar(canvas, MARGIN, MARGIN + 2.5, INCH_BAR, "must measure exactly 4 in", parts=4)
    canvas.saveState()
    canvas.translate(MARGIN + plan.window[0] + 6.0, MARGIN + BELOW)
    canvas.rotate(90)
    _bar(canvas, 0.0, 0.0, BAR, _bar_words(plan, 1), parts=10)
    canvas.restoreState()

    many = here is None or plan.columns * plan.rows > 1
    right = MARGIN + width - (MAP_ROOM[0] + 3.0 if many and here is not None else 0.0)
    lines = [
        (MARGIN, MARGIN + 32.3, drawing.title, 3.6, True),
        (MARGIN, MARGIN + 26.8, drawing.view, 2.8, False),
        (MARGIN, MARGIN + 22.2, sheet, 2.4, True),
        (MARGIN, MARGIN + 17.6, "; ".join(w for w in (drawing.revision, _correction(plan)) if w), 2.4, False),
    ]
    beside = MARGIN + INCH_BAR + 4.0
    lines += [
        (beside, MARGIN + 10.5, "Print at 100 %, actual size.", 2.4, True),
        (beside, MARGIN + 6.2, "Do not fit to page.", 2.4, True),
    ]
    for x, y, words, height, bold in lines:
        text, size = _lettering.fitted(words, height, right - x, bold=bold)
        _ink.letters(canvas, text, x, y, size, bold=bold)
    if many and here is not None:
        _small_map(canvas, plan, MARGIN + width - MAP_ROOM[0], MARGIN + 1.0, here)


def _bar_words(plan: TilePlan, way: int) -> str:
    """Return what stands over a bar; way 0 across the sheet, 1 up it. A printer errs by the sides of the paper."""
    side = "short" if plan.page[way] < plan.page[1 - way] else "long"
    return f"along the {side} side of the paper: must measure exactly 100 mm"


def _correction(plan: TilePlan) -> str:
    """Return what the print is corrected for, in words; nothing where it is not."""
    if plan.printed == (1.0, 1.0):
        return ""
    short, long = plan.printed if plan.page[0] < plan.page[1] else plan.printed[::-1]
    return (
        f"corrected for a printer that printed {BAR * short:.4g} / {BAR * long:.4g} mm for 100 "
        "(short / long side of the paper)"
    )


def _bar(canvas: Any, x: float, y: float, length: float, words: str, *, parts: int) -> None:
    """Draw a bar of exactly `length` from outside to outside: a solid rule with division marks inside its ends."""
    x = math.ceil(x / DOT) * DOT
    canvas.rect(x, y, length, THICK, stroke=0, fill=1)
    for i in range(parts + 1):
        tick = 0.25
        canvas.rect(min(max(x, x + length * i / parts - 0.5 * tick), x + length - tick), y, tick, 2.6, stroke=0, fill=1)
    _ink.letters(canvas, words, x + 0.5 * length, y + 3.2, 2.0, anchor="middle")


def _small_map(canvas: Any, plan: TilePlan, x: float, y: float, here: tuple[int, int]) -> None:
    """Draw the grid of sheets with this one filled."""
    cell = min(MAP_ROOM[0] / (plan.columns * plan.window[0]), MAP_ROOM[1] / (plan.rows * plan.window[1]))
    w, h = cell * plan.window[0], cell * plan.window[1]
    x += MAP_ROOM[0] - plan.columns * w
    canvas.setLineWidth(0.15)
    canvas.setStrokeGray(0.0)
    for row in range(plan.rows):
        for column in range(plan.columns):
            filled = (column, row) == here
            canvas.setFillGray(0.0 if filled else 1.0)
            canvas.rect(x + column * w, y + (plan.rows - 1 - row) * h, w, h, stroke=1, fill=1)
            size = min(2.4, 0.4 * h, w / (1.2 * len(place(column, row))))
            canvas.setFillGray(1.0 if filled else 0.0)
            _ink.letters(
                canvas, place(column, row), x + (column + 0.5) * w, y + (plan.rows - 0.5 - row) * h, size,
                anchor="middle", drop=0.5 * size,
            )  # fmt: skip
    canvas.setFillGray(0.0)


def _neighbours(canvas: Any, plan: TilePlan, column: int, row: int) -> None:
    """Say, above the upright bar, which sheets are laid on this one."""
    x = MARGIN + plan.window[0] + 4.5
    for words, there in (("right", (column + 1, row)), ("below", (column, row + 1))):
        if there[0] < plan.columns and there[1] < plan.rows:
            text = f"{words}: sheet {place(*there)} on the dashed line"
            text, size = _lettering.fitted(text, 2.0, plan.window[1] - BAR - 8.0, least=1.5)
            _ink.letters(canvas, text, x, MARGIN + BELOW + BAR + 6.0, size, rotation_deg=90.0)
            x += 5.0


def _joins(canvas: Any, plan: TilePlan, column: int, row: int) -> None:
    """Draw where the sheets to the right and below will lie, and the diamonds that close on them."""
    from reportlab.lib.colors import HexColor  # noqa: PLC0415

    x, y = MARGIN, MARGIN + BELOW
    (width, height), step_x = plan.window, plan.step[0]
    canvas.saveState()
    canvas.setStrokeColor(HexColor(GREY))
    canvas.setLineWidth(0.15)
    marks = []
    if column + 1 < plan.columns:
        canvas.setDash([1.0, 1.0])
        canvas.line(x + step_x, y, x + step_x, y + height)
        canvas.setDash([])
        marks += [(x + step_x, y + f * height) for f in (0.2, 0.8)]
    if row + 1 < plan.rows:
        canvas.setDash([1.0, 1.0])
        canvas.line(x, y + OVERLAP, x + width, y + OVERLAP)
        canvas.setDash([])
        marks += [(x + f * width, y + OVERLAP) for f in (0.2, 0.8)]
    if column > 0:
        marks += [(x, y + f * height) for f in (0.2, 0.8)]
    if row > 0:
        marks += [(x + f * width, y + height) for f in (0.2, 0.8)]
    half = 2.5
    for mx, my in marks:
        pen = canvas.beginPath()
        pen.moveTo(mx - half, my)
        for px, py in ((mx, my + half), (mx + half, my), (mx, my - half)):
            pen.lineTo(px, py)
        pen.close()
        canvas.drawPath(pen, stroke=1, fill=0)
    canvas.restoreState()


def _map_page(canvas: Any, drawing: Drawing, plan: TilePlan) -> None:
    """Draw the map: the whole drawing made small, the sheets over it, how to join them, and what the lines mean."""
    from reportlab.lib.colors import HexColor  # noqa: PLC0415

    from foldswing.drawing import LAYERS  # noqa: PLC0415

    _frame(canvas, drawing, plan, f"Map of {plan.columns * plan.rows} sheets: NOT full size (the bars are)", None)
    x, y = MARGIN + 4.0, MARGIN + BELOW + 4.0
    width, height = plan.window[0] - 8.0, plan.window[1] - 8.0
    steps = [
        "1  Print this page alone first. Both 100 mm bars must measure 100 mm by a steel rule, or the printer scales.",
        "2  Print the rest at 100 %. Check both bars on every sheet.",
        "3  Cut off the blank margin along the frame: on the left except in column A, at the top except in row 1.",
        "4  Lay each cut edge on the dashed line of its neighbour so that the diamonds close; tape. Measure across.",
    ]
    if plan.holes:
        steps.append(f"5  {plan.holes}")
    text_height, top = 2.4, y + height
    for step in steps:
        for text in _lettering.wrapped(step, text_height, width):
            top -= text_height * _lettering.LINE
            _ink.letters(canvas, text, x, top, text_height)
    low = y
    lined = [name for name in drawing.layers if name not in {"text", "dimension"}]
    for name in reversed(lined):
        layer = LAYERS[name]
        canvas.setStrokeColor(HexColor(layer.colour))
        canvas.setLineWidth(layer.width)
        canvas.setDash(list(layer.dashes))
        canvas.line(x, low + 1.1, x + 30.0, low + 1.1)
        _ink.letters(canvas, layer.meaning, x + 34.0, low, 2.2)
        low += 5.0
    canvas.setDash([])
    room = (width, top - low - 8.0)
    whole = (plan.columns * plan.step[0] + OVERLAP, plan.rows * plan.step[1] + OVERLAP)
    scale = min(room[0] / whole[0], room[1] / whole[1])
    canvas.saveState()
    canvas.translate(x + 0.5 * (width - scale * whole[0]), low + 4.0 + 0.5 * (room[1] - scale * whole[1]))
    canvas.scale(scale, scale)
    canvas.translate(-plan.origin[0], whole[1] - plan.origin[1])
    _ink.drawing(canvas, drawing, max(scale, 0.3))
    canvas.setStrokeColor(HexColor(GREY))
    canvas.setFillColor(HexColor(GREY))
    for row in range(plan.rows):
        for column in range(plan.columns):
            left, bottom = plan.corner(column, row)
            canvas.setLineWidth(0.25 / scale)
            canvas.setDash([])
            canvas.rect(left, bottom, *plan.window, stroke=1, fill=0)
            size = min(3.5 / scale, 0.2 * min(plan.window))
            at = (left + OVERLAP + 0.4 * size, bottom + plan.window[1] - OVERLAP - 1.5 * size)
            _ink.letters(canvas, place(column, row), at[0], at[1], size, bold=True)
    canvas.restoreState()
    canvas.showPage()
