"""SVG writer: width and height in mm over a viewBox in mm, arcs as elliptical-arc commands."""

from __future__ import annotations

import math
from html import escape
from typing import TYPE_CHECKING

from foldswing import _lettering
from foldswing._core import drafting

if TYPE_CHECKING:
    from foldswing._core.plane import Path
    from foldswing.drawing import Circle, Drawing, Text

_ARC_DEG = 120.0  # a reader finds the centre from the two ends; well away from 180 and 360 degrees it does so exactly


def number(v: float) -> str:
    """Return a length to a millionth of a mm, without trailing zeros."""
    text = f"{v:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path_data(path: Path) -> str:
    """Return the d attribute; y is turned over, since SVG counts it downwards."""
    pieces = drafting.split(path, _ARC_DEG)
    ends = [*pieces.points, pieces.points[0]] if pieces.closed else list(pieces.points)
    out = [f"M{number(ends[0][0])} {number(-ends[0][1])}"]
    last = len(pieces.sweep_deg) - 1
    for i, (sweep, radius) in enumerate(zip(pieces.sweep_deg, drafting.radii(pieces), strict=True)):
        x, y = ends[i + 1]
        if sweep == 0.0 and pieces.closed and i == last:
            continue  # Z draws it
        place = f"{number(x)} {number(-y)}"
        out.append(
            f"L{place}" if sweep == 0.0 else f"A{number(radius)} {number(radius)} 0 0 {int(sweep < 0.0)} {place}"
        )
    return "".join(out) + ("Z" if pieces.closed else "")


def _circle(c: Circle) -> str:
    return f'<circle cx="{number(c.centre[0])}" cy="{number(-c.centre[1])}" r="{number(c.radius)}"/>'


def _text(t: Text) -> str:
    place = f"translate({number(t.at[0])} {number(-t.at[1])})"
    if t.rotation_deg:
        place += f" rotate({number(-t.rotation_deg)})"
    anchor = "" if t.anchor == "left" else f' text-anchor="{"end" if t.anchor == "right" else "middle"}"'
    drop = f' y="{number(t.drop)}"' if t.drop else ""
    weight = ' font-weight="bold"' if t.bold else ""
    size = number(t.height / _lettering.CAPITALS)
    return f'<text transform="{place}" font-size="{size}"{drop}{anchor}{weight}>{escape(t.text)}</text>'


def written(drawing: Drawing, scale: float, margin: float) -> str:
    """Return the svg element of a drawing."""
    from foldswing.drawing import LAYERS, CentreMark, Circle, Text  # noqa: PLC0415

    clear = margin / scale
    left, bottom, right, top = (float(v) for v in drawing.bounds)
    # outwards to whole hundredths, so that the stated size is the exact size
    x, y = math.floor((left - clear) * 100.0) / 100.0, math.floor((-top - clear) * 100.0) / 100.0
    width, height = math.ceil((right + clear - x) * 100.0) / 100.0, math.ceil((clear - bottom - y) * 100.0) / 100.0
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(width * scale)}mm" height="{number(height * scale)}mm"'
        f' viewBox="{number(x)} {number(y)} {number(width)} {number(height)}" fill="none" role="img">',
        f"<title>{escape(drawing.title)}</title>",
        f"<desc>{escape(f'{drawing.view} {drawing.revision}'.strip())}</desc>",
    ]
    for name in drawing.layers:
        layer = LAYERS[name]
        dashes = " ".join(number(d / scale) for d in layer.dashes)
        out.append(
            f'<g class="{name}" stroke="{layer.colour}" stroke-width="{number(layer.width / scale)}"'
            + (f' stroke-dasharray="{dashes}"' if dashes else "")
            + ">"
        )
        texts = []
        for entity in drawing.entities:
            if entity.layer != name:
                continue
            if isinstance(entity, Text):
                texts.append(_text(entity))
            elif isinstance(entity, Circle):
                out.append(_circle(entity))
            elif isinstance(entity, CentreMark):
                data = "".join(path_data(arm) for arm in entity.arms)
                out.append(f'<path d="{data}" stroke-dasharray="none"/>')
            else:
                out.append(f'<path d="{path_data(entity.path)}"/>')
        if texts:
            out.append(f'<g fill="{layer.colour}" stroke="none" font-family="{_lettering.FAMILY}">{"".join(texts)}</g>')
        out.append("</g>")
    return "\n".join([*out, "</svg>", ""])
