"""The measuring form: one page with a sketch, a line for every letter, and three boxes on each for three readings."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from foldswing import _ink, _lettering
from foldswing._core import InvalidInput
from foldswing.drawing import PAPERS, Circle, Drawing, Entity, Text, line, polyline
from foldswing.forms import sketches
from foldswing.forms.sizes import KINDS, SELDOM, TABLES, Size

EDGE = 11.0  # mm; clear of what printers cannot reach
BOX = 17.0  # mm; wide enough to write 46 27/32 in by hand
HEAD = 23.0  # mm; title and the lines to fill in
FOOT = 4.0  # mm
SELDOM_HEIGHT = 11.5  # mm; the line for what few gates have
EACH_END = "One form for each end, seen from outside: left end / right end (strike one out). Gate hung bare."
_NAMES = {"gate": "gate", "panel": "flip panel", "lid": "crowned lid", "bent": "bent part"}
_SEEN = {
    "gate": "The section is seen from the left end as you stand outside. Seen from the right end instead: tick here",
    "panel": "The section runs from the hinged edge (left). Hinged edge: front / rear (strike one out)",
    "lid": "Across is seen from the front, along from the left.",
    "bent": "The section is seen from its end, first flat at the start. Sizes are outside / inside (strike one out)",
}
_ALSO = {
    "gate": "Decide too: gaps wanted (nose, sill, head, ends, moving), stops, pin and bush, load leaned on it.",
    "panel": "Decide too: which edge is lower, which way it opens, which face is seen and where it looks, least gap.",
    "lid": "Note too: how far a rise may be misread, spacing of the rise table.",
    "bent": "Note too for every bend: up or down, and whether the angle is turned from flat or between the flats.",
}
_WORDS = 2.5  # mm; capitals of what a size is
_WHERE = 1.9  # mm; capitals of where to hold the tool
_SKETCH_HEIGHT = {"gate": 79.0, "panel": 92.0, "lid": 100.0, "bent": 98.0}


def form_drawing(kind: str, units: str, *, paper: str = "A4") -> Drawing:
    """Return the measuring form of a kind of part, as large as the paper.

    Parameters
    ----------
    kind : {'gate', 'panel', 'lid', 'bent'}
        What is measured.
    units : {'mm', 'inch'}
        What is written in the boxes.
    paper : {'A4', 'Letter'}
        What it is printed on.

    Raises
    ------
    InvalidInput
        When one of these is none of its words.
    """
    for name, given, allowed in (
        ("kind", kind, KINDS), ("units", units, ("mm", "inch")), ("paper", paper, ("A4", "Letter")),
    ):  # fmt: skip
        if given not in allowed:
            raise InvalidInput(f"{name} must be one of {', '.join(allowed)}, got {str(given)[:40]!r}")
    return page(
        Form(
            _NAMES[kind],
            tuple(size for size in TABLES[kind] if size.letter not in SELDOM),
            _SEEN[kind],
            _ALSO[kind],
            _SKETCH_HEIGHT[kind],
            lambda at, wide: _sketch(kind, at, wide),
            kind == "gate",
            seldom=tuple(size for size in TABLES[kind] if size.letter in SELDOM),
        ),
        units,
        paper,
    )


def form_pdf(kind: str, units: str, *, paper: str = "A4") -> bytes:
    """Return the measuring form as a PDF of one page; see `form_drawing`."""
    return pdf([form_drawing(kind, units, paper=paper)], paper)


class Form(NamedTuple):
    """What a form is made of.

    Attributes
    ----------
    name : str
        What is measured.
    rows : tuple of Size
        A line for each.
    seen, also : str
        How it is seen, above the sketches; what is to be noted too, at the foot.
    sketch_height : float
        Room for the sketches, mm.
    sketch : callable
        Draws them, given their lower left corner and the width there is.
    tick : bool
        Whether a box to tick follows `seen`.
    read : str
        How often to read.
    boxes : (int, float)
        How many boxes on each line, and how wide each is, mm.
    seldom : tuple of Size
        Of a gate: a seal's and a bowed edge's two sizes, on one line at the foot.
    """

    name: str
    rows: tuple[Size, ...]
    seen: str
    also: str
    sketch_height: float
    sketch: Callable[[tuple[float, float], float], list[Entity]]
    tick: bool
    read: str = "Read every size three times, taking the tool off in between. Empty: not there."
    boxes: tuple[int, float] = (3, BOX)
    seldom: tuple[Size, ...] = ()


def page(form: Form, units: str, paper: str) -> Drawing:
    """Return a form as large as the paper."""
    wide, high = PAPERS[paper]
    right, top = wide - EDGE, high - EDGE
    entities: list[Entity] = [*head(form, units, right, top)]
    table_top = top - HEAD - form.sketch_height
    entities += form.sketch((EDGE, table_top), right - EDGE)
    strip = SELDOM_HEIGHT if form.seldom else 0.0
    pitch = min(10.5, (table_top - EDGE - FOOT - strip - 2.5) / len(form.rows))
    entities += _rows(form, right, table_top, pitch)
    if form.seldom:
        entities += _seldom(form.seldom, EDGE + FOOT + 2.0, right)
    foot = EDGE + 1.0
    entities.append(Text(_fit(form.also, 2.3, right - EDGE), (EDGE, foot), 2.3))
    return Drawing(f"Measuring form: {form.name}", "", tuple(entities))


def pdf(drawings: Sequence[Drawing], paper: str) -> bytes:
    """Return a form as a PDF, a page for each drawing."""
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415

    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=_ink.page_size(*PAPERS[paper]), invariant=1, pageCompression=1)
    canvas.setTitle(drawings[0].title)
    canvas.setCreator("foldswing")
    for drawing in drawings:
        _ink.begin(canvas)
        _ink.drawing(canvas, drawing)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _fit(words: str, height: float, room: float, *, bold: bool = False) -> str:
    return _lettering.fitted(words, height, room, least=height, bold=bold)[0]


def head(form: Form, units: str, right: float, top: float) -> list[Entity]:
    """Return title, what to do, and the lines to fill in."""
    title, height = _lettering.fitted(f"Measuring form: {form.name}", 5.0, right - EDGE - 54.0, least=3.0, bold=True)
    out: list[Entity] = [
        Text(title, (EDGE, top), height, level="top", bold=True),
        Text(f"all lengths in {units}", (right, top), 3.5, anchor="right", level="top", bold=True),
    ]
    x, y = EDGE, top - 11.0
    for words, room in (("job", 0.5), ("measured by", 0.26), ("date", 0.24)):
        span = room * (right - EDGE)
        label = Text(words, (x, y), 2.3)
        out += [label, line((x + label.width + 1.5, y - 0.6), (x + span - 3.0, y - 0.6), "dimension")]
        x += span
    read, height = _lettering.fitted(form.read, 2.3, right - EDGE)
    out.append(Text(read, (EDGE, y - 5.0), height))
    seen = Text(form.seen, (EDGE, y - 9.5), 2.3, bold=True)
    out.append(seen)
    if form.tick:
        out.append(square(EDGE + seen.width + 2.0, y - 10.0, 3.2, 3.2))
    return out


def square(x: float, y: float, wide: float, high: float, layer: str = "panel") -> Entity:
    """Return a box to write in, or to tick."""
    return polyline([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], layer, closed=True)


def _rows(form: Form, right: float, top: float, pitch: float) -> list[Entity]:
    """Return a line for every letter."""
    out: list[Entity] = []
    count, box = form.boxes
    boxes = right - count * box
    for n in range(count):
        nth = ("1st", "2nd", "3rd")[n] if n < 3 else f"{n + 1}th"
        out.append(Text(nth, (boxes + (n + 0.5) * box, top + 1.0), 2.3, anchor="middle"))
    out.append(Text("tool: where to hold it", (EDGE + 9.0, top + 1.0), 2.3))
    room = boxes - EDGE - 11.0
    ring = min(2.6, 0.42 * pitch)
    words, where = min(_WORDS, 0.375 * pitch), min(_WHERE, 0.29 * pitch)
    # Above a baseline letters stand 1.05 of their capitals, below it 0.3: both lines lie clear of the lines between.
    spare = 0.5 * (pitch - 1.45 * words - 1.35 * where)
    first = 0.5 * pitch - spare - 1.05 * words
    for i, size in enumerate(form.rows):
        y = top - (i + 0.5) * pitch
        out.append(line((EDGE, y - 0.5 * pitch), (boxes, y - 0.5 * pitch), "tangent"))
        out.append(Circle((EDGE + 3.5, y), ring, "text"))
        high = sketches.letter_height(size.letter, ring)
        out.append(Text(size.letter, (EDGE + 3.5, y), high, anchor="middle", level="middle", bold=True))
        unit = (
            ""
            if size.tool not in {"angle finder", "scale"}
            else (" (degrees)" if size.tool != "scale" else " (kg or lb)")
        )
        out.append(Text(_fit(f"{size.words}{unit}", words, room, bold=True), (EDGE + 9.0, y + first), words, bold=True))
        text, height = _lettering.fitted(f"{size.tool}: {size.where}", where, room, least=1.6)
        out.append(Text(text, (EDGE + 9.0, y + first - 0.4 * words - 1.05 * where), height))
        out += [square(boxes + n * box + 0.5, y - 0.42 * pitch, box - 1.0, 0.84 * pitch) for n in range(count)]
    return out


def _seldom(rows: tuple[Size, ...], y: float, right: float) -> list[Entity]:
    """Return one line with a seal and a bowed edge, each with its sketch and where it is to be written down."""
    out: list[Entity] = []
    half = 0.5 * (right - EDGE)
    sketched = (sketches.gate_seal((EDGE + 14.0, y + 0.5)), sketches.gate_bow((EDGE + half + 2.0, y + 0.9)))
    for n, (words, room) in enumerate((("seal on the", 29.0), ("bowed edge:", 40.0))):
        x = EDGE + n * half
        out += sketched[n]
        label = Text(words, (x + room, y + 6.3), _WHERE)
        out += [label, line((x + room + label.width + 1.0, y + 5.8), (x + half - 3.0, y + 5.8), "dimension")]
        for i, size in enumerate(rows[2 * n : 2 * n + 2]):
            left = x + room + i * (half - room) / 2
            out.append(Text(size.letter, (left, y + 2.2), _WORDS, level="middle", bold=True))
            out.append(square(left + 6.0, y, BOX - 2.0, 4.6))
    return out


def _sketch(kind: str, at: tuple[float, float], wide: float) -> list[Entity]:
    """Return the sketches, between the table and the head; `at` is their lower left corner."""
    x, y = at
    spare = wide - 187.9
    parts: list[Any]
    if kind == "gate":
        parts = [
            sketches.gate_opening((x, y + 3.5), 48.0, 68.0),
            sketches.gate_section((x + 103.0 + 0.5 * spare, y + 34.5), 0.113),
            sketches.gate_stay((x + 177.0 + spare, y + 25.0), 0.145),
        ]
    elif kind == "panel":
        parts = [
            sketches.panel_section((x + 34.0, y + 61.0), 0.34),
            sketches.panel_slope((x + 4.0, y + 16.0)),
            sketches.panel_face((x + 64.0, y + 9.0)),
            sketches.sheet_details((x + 140.0 + spare, y + 32.0), ("N", "P", "Q", "R", "S")),
        ]
    elif kind == "lid":
        parts = [
            sketches.lid_way((x + 12.0, y + 66.0), 90.0, 14.0, ("A", "B"), "across, seen from the front"),
            sketches.lid_way((x + 122.0, y + 66.0), 56.0, 10.0, ("C", "D"), "along, seen from the left"),
            sketches.lid_layers((x + 30.0, y + 36.0)),
        ]
    else:
        parts = [
            sketches.bent_section((x + 20.0, y + 45.0), 0.33),
            sketches.bent_length((x + 8.0, y + 19.0)),
            sketches.bent_pan((x + 72.0, y + 19.0)),
            sketches.sheet_details((x + 140.0 + spare, y + 32.0), ("J", "K", "L", "M", "N")),
        ]
    return [entity for part in parts for entity in part]
