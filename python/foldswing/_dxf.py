"""DXF writer: millimetres, one layer for each meaning, arcs as arcs."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING, Any

from foldswing._core import drafting

if TYPE_CHECKING:
    from foldswing.drawing import Drawing

# What the writing library fills in from the clock and a random source; a drawing is the same file every time.
_DATES = re.compile(r"(\$TD(?:CREATE|UCREATE|UPDATE|UUPDATE)\n *40\n)[^\n]*")
_IDS = re.compile(r"(\$(?:FINGERPRINTGUID|VERSIONGUID)\n *2\n)[^\n]*")
_STAMP = re.compile(r"(\d @ )\d{4}-\d\d-\d\dT[^\n]*")
_NOON_2000 = "2451545.0"  # Julian date


def _plain(text: str) -> str:
    r"""Return a text in which nothing is taken for a formatting code (%%c, ^J, \\U+)."""
    return text.replace("%%", "% %").replace("^", "^ ").replace("\\", "/")


def written(drawing: Drawing) -> bytes:
    """Return the bytes of a DXF file."""
    from ezdxf.enums import TextEntityAlignment as Align  # noqa: PLC0415
    from ezdxf.filemanagement import new  # noqa: PLC0415
    from ezdxf.lldxf.const import LWPOLYLINE_CLOSED  # noqa: PLC0415

    from foldswing.drawing import LAYERS, CentreMark, Circle, Text  # noqa: PLC0415

    doc = new("R2010", units=4)  # 4: millimetres; sets metric measurement too
    doc.header["$LTSCALE"] = 1.0
    doc.styles.get("Standard").dxf.font = "DejaVuSans.ttf"
    for name in drawing.layers:
        layer = LAYERS[name]
        if layer.dashes:
            strokes = [d if i % 2 == 0 else -d for i, d in enumerate(layer.dashes)]
            doc.linetypes.add(layer.name, pattern=[sum(layer.dashes), *strokes], description=layer.meaning)
        made = doc.layers.add(
            layer.name, linetype=layer.name if layer.dashes else "Continuous", lineweight=round(layer.width * 100.0)
        )
        made.description = layer.meaning
        made.color = 7  # black on white, white on black, for readers without true colour
        red, green, blue = (int(layer.colour[i : i + 2], 16) for i in (1, 3, 5))
        made.rgb = (red, green, blue)
    space = doc.modelspace()
    for entity in drawing.entities:
        on: dict[str, Any] = {"layer": LAYERS[entity.layer].name}
        if isinstance(entity, Text):
            level = {"base": "", "middle": "MIDDLE_", "top": "TOP_"}[entity.level]
            side = {"left": "LEFT", "middle": "CENTER", "right": "RIGHT"}[entity.anchor]
            text = space.add_text(
                _plain(entity.text), height=entity.height, rotation=entity.rotation_deg, dxfattribs=on
            )
            text.set_placement(tuple(entity.at), align=Align[level + side])
            text.dxf.width = 1.0
        elif isinstance(entity, Circle):
            space.add_circle(tuple(entity.centre), entity.radius, dxfattribs=on)
        elif isinstance(entity, CentreMark):
            for arm in entity.arms:
                a, b = (tuple(p) for p in arm.points)
                space.add_line(a, b, dxfattribs={**on, "linetype": "Continuous"})
        else:
            path = drafting.split(entity.path, _SEMICIRCLE)
            bulges = [*drafting.bulges(path), *([] if path.closed else [0.0])]
            rows = [(float(x), float(y), float(b)) for (x, y), b in zip(path.points, bulges, strict=True)]
            line = space.add_lwpolyline(rows, format="xyb", dxfattribs=on)
            if path.closed:
                line.dxf.flags |= LWPOLYLINE_CLOSED
    left, bottom, right, top = (float(v) for v in drawing.bounds)
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (left, bottom, 0.0), (right, top, 0.0)
    doc.header["$PROJECTNAME"] = ""
    stream = io.StringIO()
    doc.write(stream)
    text_out = stream.getvalue()
    text_out = _DATES.sub(rf"\g<1>{_NOON_2000}", text_out)
    text_out = _IDS.sub(r"\g<1>{00000000-0000-0000-0000-000000000000}", text_out)
    text_out = _STAMP.sub(r"\g<1>2000-01-01T12:00:00+00:00", text_out)
    data: bytes = doc.encode(text_out)
    return data


_SEMICIRCLE = 180.0  # a bulge grows without limit toward a full turn; half a turn is 1
