"""Second page of the first-fit form, for where readings do not settle it: an arc traced on a card, and whole poses."""

from __future__ import annotations

import json

import numpy as np

from foldswing import gate, plane
from foldswing.drawing import PAPERS, Drawing, Entity, Text
from foldswing.forms.page import EACH_END, EDGE, Form, head, square
from foldswing.forms.sketches import Sketch
from foldswing.job import Gate, Job

_WORDS = 2.3  # mm; capitals
_ROW = 8.0  # mm
_POINTS = 12  # of a trace, in two columns
_POSITIONS = 7
_SCALE = 0.15
_SIZES = gate.Sizes(
    thickness=40.0, height=250.0, lower_edge_below_worktop=44.0, nose_behind_wall=58.0, nose_depth=50.0,
    worktop_depth=60.0, worktop_above_floor=400.0, head_above_worktop=220.0, sill_below_worktop=60.0, jamb_depth=110.0,
    lower_inner_radius=10.0, lower_outer_radius=6.0,
)  # fmt: skip
_PIVOT = (-18.0, -24.0)
_PENCIL = (-20.0, 170.0)
_SWING = 118.0  # degrees
_TRACING = (
    "Fix a card to the jamb, its edges level and upright, and a pencil to the gate's end, far from the pivot.",
    "Swing the gate slowly from shut as far as it goes. Draw the wall's outer face and the worktop's level on it.",
    "Measure points along the whole arc from these two lines, and write the word too: 12 out, 3 down.",
)
_CAUTION = (
    "CAUTION: between its stops nothing holds the gate. One holds its free edge, or a prop does,",
    "while the other measures; fingers out of the gaps.",
)
_CARD = "Or measure from the card's inner and lower edge; its lower inner corner was then"
_POSING = (
    "Make two marks on the gate's end, as far apart as there is room, or use both ends of the inner face.",
    "Measure both from the wall's outer face and the worktop's level, shut, at the stops and between: three positions",
    "or more, the word too. One mark and the angle finder on the inner face will do instead of two marks.",
)


def true_pivot_drawing(job: Job, wanted: Gate, *, paper: str) -> Drawing:
    """Return the page for a traced arc and for measured poses, as large as the paper.

    Parameters
    ----------
    job : Job
        For its units.
    wanted : Gate
        One of its gates.
    paper : {'A4', 'Letter'}
        What it is printed on.
    """
    wide, high = PAPERS[paper]
    right, top = wide - EDGE, high - EDGE
    form = Form(
        f"pivot of the {wanted.name}",
        (),
        EACH_END,
        "",
        0.0,
        lambda at, wide: [],
        False,
        "Only where the first page leaves a doubt, or instead of it: each of the two tells where the pivot really is.",
    )
    out: list[Entity] = [*head(form, job.units, right, top)]
    low = _traced(out, right, top - 29.0)
    low = _posed(out, wanted, right, low - 7.0)
    out += [Text(words, (EDGE, low - 6.0 - 4.2 * i), _WORDS, bold=True) for i, words in enumerate(_CAUTION)]
    return Drawing(f"Measuring form: {form.name}", "", tuple(out))


def _paragraph(out: list[Entity], title: str, lines: tuple[str, ...], y: float) -> float:
    """Write a heading and lines under it; return where the last one stands."""
    out.append(Text(title, (EDGE, y), 3.0, bold=True))
    for i, words in enumerate(lines):
        out.append(Text(words, (EDGE, y - 5.5 - 4.2 * i), _WORDS))
    return y - 5.5 - 4.2 * (len(lines) - 1)


def _traced(out: list[Entity], right: float, y: float) -> float:
    """Draw the block for a traced arc; return where it ends."""
    last = _paragraph(out, "An arc traced on a card", _TRACING, y) - 6.6
    label = Text(_CARD, (EDGE, last), _WORDS)
    out.append(label)
    x = EDGE + label.width + 2.0
    for word in ("in", "down"):
        out.append(square(x, last - 2.0, 16.0, 6.0))
        out.append(Text(word, (x + 17.5, last), _WORDS))
        x += 24.0
    top = last - 9.0
    block = 60.0
    for column in range(2):
        left = right - (2 - column) * block
        for k, words in enumerate(("out or in", "up or down")):
            out.append(Text(words, (left + 7.0 + (k + 0.5) * 25.0, top + 1.0), _WORDS, anchor="middle"))
        for row in range(_POINTS // 2):
            low = top - (row + 1) * _ROW
            number = str(column * _POINTS // 2 + row + 1)
            out.append(Text(number, (left + 5.0, low + 0.5 * _ROW), _WORDS, anchor="right", level="middle"))
            out += [square(left + 7.0 + k * 25.0, low + 0.5, 24.0, _ROW - 1.0) for k in range(2)]
    out += _tracing((EDGE + 22.0, top - 30.0))
    return top - _POINTS / 2 * _ROW - 8.5


def _posed(out: list[Entity], wanted: Gate, right: float, y: float) -> float:
    """Draw the block for measured poses; return where it ends."""
    last = _paragraph(out, "The whole gate, measured where it stands", _POSING, y)
    out += _marked((EDGE + 14.0, last - 40.0))
    for i, mark in enumerate(("lower mark", "upper mark")):
        x, foot = EDGE + 34.0, last - 16.0 - 12.0 * i
        out.append(Text(f"{mark}, gate shut:", (x, foot + 2.0), _WORDS, bold=True))
        for k, words in enumerate(("from the lower edge", "from the inner face")):
            left = x + 44.0 + k * 56.0
            out.append(square(left, foot, 19.0, 6.0))
            out.append(Text(words, (left + 20.5, foot + 2.0), _WORDS))
    top = last - 58.0
    boxes = ("out or in", "up or down", "out or in", "up or down", "tilt, falls")
    step = 27.0
    left = right - len(boxes) * step
    for k, words in enumerate(boxes):
        out.append(Text(words, (left + (k + 0.5) * step, top + 1.0), _WORDS, anchor="middle"))
    for across, words in ((1.0, "lower mark"), (3.0, "upper mark"), (4.5, "or degrees")):
        out.append(Text(words, (left + across * step, top + 5.0), _WORDS, anchor="middle", bold=True))
    out.append(Text("position", (EDGE, top + 1.0), _WORDS))
    named = ["shut", *(s.name for s in wanted.stop)][: _POSITIONS - 1]
    for row in range(_POSITIONS):
        under = top - (row + 1) * _ROW
        words = _within(named[row] if row < len(named) else "", left - EDGE - 4.0)
        out.append(Text(words or ". . . . . . . . . . . .", (EDGE, under + 0.5 * _ROW), _WORDS, level="middle"))
        out += [square(left + k * step + 0.5, under + 0.5, step - 1.0, _ROW - 1.0) for k in range(len(boxes))]
    return top - _POSITIONS * _ROW


def _within(words: str, room: float) -> str:
    """Return words cut to the room there is."""
    while words and Text(words, (0.0, 0.0), _WORDS).width > room:
        words = words[:-1]
    return words


def _gate(s: Sketch, opening: float, layer: str) -> None:
    holes = gate.Holes(np.array(_PIVOT), np.array(_PIVOT))
    s.shape(gate.panel(_SIZES).moved(gate.pose(holes, opening)), layer)


def _tracing(at: tuple[float, float]) -> list[Entity]:
    """Sketch the card, the pencil and the arc."""
    s = Sketch(_SCALE, at)
    holes = gate.Holes(np.array(_PIVOT), np.array(_PIVOT))
    s.lines([(-80.0, -140.0), (190.0, -140.0), (190.0, 190.0), (-80.0, 190.0)], "neighbour", closed=True)
    _gate(s, 0.0, "panel")
    _gate(s, 70.0, "neighbour")
    swept = plane.Path([_PENCIL, gate.pose(holes, _SWING).apply(np.array(_PENCIL))], [-_SWING])
    s.lines(swept.flatten(0.2), "panel")
    s.circle(_PENCIL, 6.0, "panel")
    s.circle(_PIVOT, 7.0, "hole")
    s.lines([(0.0, -140.0), (0.0, 190.0)], "centre")
    s.lines([(-80.0, 0.0), (190.0, 0.0)], "centre")
    s.words("pencil", _PENCIL, (-3.0, 6.0), anchor="right")
    s.words("card", (190.0, -140.0), (0.0, -2.8), anchor="right")
    s.words("wall's outer face", (0.0, 190.0), (0.0, 2.8))
    s.words("worktop", (190.0, 0.0), (1.2, 0.0))
    return s.entities


def _marked(at: tuple[float, float]) -> list[Entity]:
    """Sketch the two marks on the shut gate's end."""
    s = Sketch(_SCALE, at)
    _gate(s, 0.0, "panel")
    s.circle(_PIVOT, 7.0, "hole")
    for words, y in (("lower", -8.0), ("upper", 190.0)):
        s.circle((-26.0, y), 4.0, "panel")
        s.words(words, (0.0, y), (1.5, 0.0))
    return s.entities


def blank_true_pivot(wanted: Gate) -> list[str]:
    """Return the lines of the file of readings for a traced arc and for poses; all remarks until they are filled in."""
    names = ["shut", *(s.name for s in wanted.stop)]
    lines = [
        "# Seldom needed: second page of the form. Take away the # before the lines that are filled in.",
        "# [side.trace] # outward or inward of the wall's outer face, up or down of the worktop surface",
        '# card = { inward = "?", down = "?" } # its lower inner corner, only where points are measured from its edges',
        "# point = [ # or from_inner_edge and from_lower_edge",
        *['#   { outward = "?", up = "?" },'] * 3,
        "# ]",
        "# [side.marks] # on the gate's end, gate shut; without them poses are of both ends of the inner face",
        '# lower = { from_lower_edge = "?", from_inner_face = "?" }',
        '# upper = { from_lower_edge = "?", from_inner_face = "?" }',
    ]
    for name in names:
        lines += [
            "# [[side.pose]]",
            f"# name = {json.dumps(name, ensure_ascii=False)}",
            '# lower = { inward = "?", down = "?" } # or outward, up',
            '# upper = { inward = "?", up = "?" } # or instead: tilt = "?" and falls = "inward" or "outward"',
        ]
    return lines
