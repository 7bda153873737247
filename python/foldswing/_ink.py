"""Drawings on a PDF canvas: shared by the tiled templates and the figures of a sheet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from foldswing import _lettering
from foldswing._core import drafting

if TYPE_CHECKING:
    from foldswing.drawing import Drawing

MM = 72.0 / 25.4  # PDF units in a millimetre


def page_size(width: float, height: float) -> tuple[float, float]:
    """Return a page size in PDF units."""
    return width * MM, height * MM


def begin(canvas: Any) -> None:
    """Make the canvas count in millimetres, with fonts ready."""
    _lettering.register()
    canvas.scale(MM, MM)
    canvas.setLineCap(0)
    canvas.setLineJoin(1)


def curve(canvas: Any, paths: Iterable[Any]) -> None:
    """Stroke paths of lines and arcs; each arc as cubics that leave it by less than 4e-7 of its radius."""
    pen = canvas.beginPath()
    for path in paths:
        cubics = drafting.cubics(path)
        pen.moveTo(*(float(v) for v in cubics[0][0]))
        for piece in cubics:
            pen.curveTo(*(float(v) for v in piece[1:].ravel()))
        if path.closed:
            pen.close()
    canvas.drawPath(pen, stroke=1, fill=0)


def letters(
    canvas: Any,
    text: str,
    x: float,
    y: float,
    height: float,
    *,
    anchor: str = "left",
    bold: bool = False,
    rotation_deg: float = 0.0,
    drop: float = 0.0,
) -> None:
    """Write one line of text, its foot at y - drop, in capitals `height` mm high."""
    canvas.saveState()
    canvas.translate(x, y)
    canvas.rotate(rotation_deg)
    canvas.setFont(_lettering.BOLD if bold else _lettering.REGULAR, height / _lettering.CAPITALS)
    write = {"left": canvas.drawString, "middle": canvas.drawCentredString, "right": canvas.drawRightString}[anchor]
    write(0.0, -drop, text)
    canvas.restoreState()


def drawing(canvas: Any, what: Drawing, scale: float = 1.0) -> None:
    """Draw on a canvas that counts in mm of the drawing; `scale` is paper over drawing, for line widths and dashes."""
    from reportlab.lib.colors import HexColor  # noqa: PLC0415

    from foldswing.drawing import LAYERS, CentreMark, Text  # noqa: PLC0415

    for name in what.layers:
        layer = LAYERS[name]
        canvas.saveState()
        canvas.setStrokeColor(HexColor(layer.colour))
        canvas.setFillColor(HexColor(layer.colour))
        canvas.setLineWidth(layer.width / scale)
        dashes = [d / scale for d in layer.dashes]
        for entity in what.entities:
            if entity.layer != name:
                continue
            canvas.setDash([] if isinstance(entity, CentreMark) else dashes)
            if isinstance(entity, Text):
                x, y = (float(v) for v in entity.at)
                letters(
                    canvas, entity.text, x, y, entity.height, anchor=entity.anchor,
                    bold=entity.bold, rotation_deg=entity.rotation_deg, drop=entity.drop,
                )  # fmt: skip
            elif isinstance(entity, CentreMark):
                curve(canvas, entity.arms)
            else:
                curve(canvas, [entity.path])
        canvas.restoreState()
