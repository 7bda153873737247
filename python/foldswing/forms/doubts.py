"""What makes an answer doubtful: a size no such part has, a slip of the unit, swapped digits, a contradiction.

Every doubt is a question. Whoever measured may keep the answer: the limits are common practice, without a source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from foldswing.forms.answers import Given
from foldswing.forms.sizes import Size
from foldswing.job.keys import Key
from foldswing.job.readings import far_apart, odd_one

ALIKE = 0.1  # of the size; two that should be alike and differ by more are asked after
OFF_SQUARE = 0.03  # of the diagonal an opening of these sizes would have if it were square
NOTICED = 1.0  # mm
DEEP = 0.25  # of the chord; a crown with more rise is nearly a half circle
USUAL_LENGTH = 10_000.0  # mm; whatever has no line of its own in the table of sizes


class Doubt(NamedTuple):
    """A question about an answer, and what was probably meant, as it would be typed."""

    question: str
    instead: str | None = None


Sizes = Mapping[str, float]  # what is known of the part so far, by path without the part's number; mm, degrees, kg


def doubts(path: str, row: Key, size: Size | None, given: Given, *, known: Sizes, unit: str) -> Iterator[Doubt]:
    """Yield what is doubtful about an answer.

    Parameters
    ----------
    path : str
        Of the size within its part, such as 'gate.opening.width_top'.
    row, size : Key, Size or None
        Its rows in the two tables.
    given : Given
        The answer.
    known : mapping
        What is known so far.
    unit : {'mm', 'in'}
        What a bare length means.
    """
    if not row.unit:
        return
    if len(given.values) > 1:
        odd = odd_one(given.values, row.kind)
        if odd is not None:
            said = _said(odd, row, unit)
            yield Doubt(f"{said} stands off the other readings: is one of these misread?")
        elif far_apart(given.values, row.kind):
            apart = _said(max(given.values) - min(given.values), row, unit)
            yield Doubt(f"These readings lie {apart} apart: is one of these misread?")
    value = float(given.value)
    ranged = _range(row, size, given, value, unit)
    if ranged is not None:
        yield ranged
        return
    check = _CHECKS.get(path)
    if check is not None:
        for doubt in check(value, known, lambda mm: _said(mm, row, unit)):
            yield _with_swap(doubt, given, path, known, unit)


def from_level(path: str, text: str) -> Doubt | None:
    """Return the question after a lean that was read from level, where upright is 90."""
    if path not in _FROM_UPRIGHT or not text.replace(".", "", 1).isdecimal() or not text.isascii():
        return None
    angle = float(text)
    if not 60.0 < angle < 120.0:
        return None
    off = f"{abs(90.0 - angle):g}"
    return Doubt(f"{text} degrees looks like a reading from level, where upright is 90. Is it {off} from upright?", off)


def _said(value: float, row: Key, unit: str) -> str:
    if row.kind == "length":
        return f"{value / 25.4:.6g} in" if unit == "in" else f"{value:.6g} mm"
    return f"{value:.6g} {'degrees' if row.kind == 'angle' else 'kg'}"


def _range(row: Key, size: Size | None, given: Given, value: float, unit: str) -> Doubt | None:
    """Return the doubt about a size that no such part has, with the unit that would explain it."""
    if size is None:
        if row.kind == "length" and value > USUAL_LENGTH:
            return Doubt(f"{_said(value, row, unit)} is very long: is that right?")
        return None
    if size.low <= value <= size.high:
        return None
    said = _said(value, row, unit)
    usual = f"{_said(size.low, row, unit)} to {_said(size.high, row, unit)}"
    what = f"{said} for '{size.words}' is {'much' if value > size.high else 'little'} (usual: {usual})"
    raw = given.raw
    if row.kind == "length" and isinstance(raw, (int, float)):
        units = ["cm", "in", "mm"] if isinstance(raw, int) else ["in", "cm", "mm"]
        worth = {"cm": 10.0, "in": 25.4, "mm": 1.0}
        fits = [u for u in units if u != unit and size.low <= raw * worth[u] <= size.high and worth[u] * raw != value]
        if fits:
            other = f" (or {raw:g} {fits[1]})" if len(fits) > 1 else ""
            return Doubt(f"{what}. Did you mean {raw:g} {fits[0]}{other}?", f"{raw:g} {fits[0]}")
        for factor in (10.0, 100.0):
            if size.low <= value / factor <= size.high:
                return Doubt(
                    f"{what}. Is it {raw / factor:g}: a digit too many, a point left out?", f"{raw / factor:g}"
                )
    return Doubt(f"{what}. Is that right?")


def _with_swap(doubt: Doubt, given: Given, path: str, known: Sizes, unit: str) -> Doubt:
    """Return the doubt with the swap of two digits that would explain it, if one does."""
    check = _CHECKS[path]
    if doubt.instead is not None or not isinstance(given.raw, int):
        return doubt
    digits = str(given.raw)
    factor = 25.4 if unit == "in" else 1.0
    for i in range(len(digits) - 1):
        swapped = digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
        if swapped != digits and swapped[0] != "0" and not any(check(float(swapped) * factor, known, str)):
            return Doubt(f"{doubt.question} Are two digits swapped: {swapped}?", swapped)
    return doubt


Say = Callable[[float], str]
Check = Callable[[float, Sizes, Say], Iterator[Doubt]]


def _alike(other: str, words: str) -> Check:
    def check(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
        if other in known and abs(value - known[other]) > ALIKE * max(value, known[other]):
            yield Doubt(f"{say(value)}, but {words} is {say(known[other])}: which is right?")

    return check


def _diagonal(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
    try:
        wide = 0.5 * (known["gate.opening.width_top"] + known["gate.opening.width_bottom"])
        high = known["gate.opening.head_above_worktop"] + known["gate.opening.sill_below_worktop"]
    except KeyError:
        return
    square = math.hypot(wide, high)
    if abs(value - square) > OFF_SQUARE * square:
        yield Doubt(
            f"{say(value)}, but an opening of these widths and heights has diagonals of about {say(square)}: "
            "is it misread, or one of the widths or heights?"
        )


def _not_over(other: str, words: str, consequence: str, *, part: float = 1.0, slack: float = 0.0) -> Check:
    """Return the check that a size is not over another (times `part`)."""

    def check(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
        if other in known and value > part * known[other] + slack:
            yield Doubt(f"{say(value)}, but {words} is {say(known[other])}: {consequence}")

    return check


def _height(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
    low, head = known.get("gate.panel.lower_edge_below_worktop"), known.get("gate.opening.head_above_worktop")
    lean = math.radians(known.get("gate.panel.lean", 0.0))
    if low is not None and head is not None and value * math.cos(lean) - low > head:
        yield Doubt(
            f"{say(value)}: its top would stand {say(value * math.cos(lean) - low - head)} into the head. "
            "Which is misread?"
        )


def _width(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
    widths = [known[w] for w in ("gate.opening.width_top", "gate.opening.width_bottom") if w in known]
    if widths and value >= min(widths):
        yield Doubt(f"{say(value)}, but the opening is {say(min(widths))}: it would not go in. Which is misread?")
    elif widths and value < (1.0 - ALIKE) * min(widths):
        yield Doubt(f"{say(value)}, but the opening is {say(min(widths))}: so much less?")


def _nose_gap(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
    nose, thick = known.get("gate.worktop.nose_behind_wall"), known.get("gate.panel.thickness")
    if nose is None or thick is None or known.get("gate.panel.outer_face_by") or known.get("gate.panel.lean"):
        return
    if abs(nose - thick - value) > NOTICED:
        yield Doubt(f"{say(value)}, but a gate flush outside leaves {say(nose - thick)} to the nose: which is right?")


def _edge(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
    top = known.get("gate.worktop.above_floor")
    if top is not None and value > top:
        yield Doubt(f"{say(value)} is above the worktop ({say(top)} above the floor): is it the edge of the open gate?")


def _strip(value: float, known: Sizes, say: Say) -> Iterator[Doubt]:
    flat, other = known.get("material.test_strip.flat"), known.get("material.test_strip.outside_a")
    thick = known.get("material.thickness")
    if flat is None or other is None or thick is None:
        return
    gained = value + other - flat
    if not 0.0 < gained < 4.0 * thick:
        yield Doubt(
            f"{say(value)}: the two flanges together would be {say(value + other)} from a strip of {say(flat)}; "
            "a bend adds one to three thicknesses. Which is misread?"
        )


_FROM_UPRIGHT = frozenset({"gate.panel.lean"})

_CHECKS: dict[str, Check] = {
    "gate.opening.width_bottom": _alike("gate.opening.width_top", "the width at the head"),
    "gate.opening.diagonals[1]": _diagonal,
    "gate.opening.diagonals[2]": _diagonal,
    "gate.opening.head_above_worktop": _not_over(
        "gate.opening.width_top", "the opening's width", "an opening twice as high as wide?", part=2.0
    ),
    "gate.panel.thickness": _not_over(
        "gate.worktop.nose_behind_wall", "the nose behind the wall", "flush outside, it would stand in the nose. Right?"
    ),
    "gate.panel.lower_edge_below_worktop": _not_over(
        "gate.opening.sill_below_worktop", "the sill below the worktop", "its edge would stand in the sill. Right?"
    ),
    "gate.panel.height": _height,
    "gate.panel.width": _width,
    "gate.gaps.nose": _nose_gap,
    "gate.stop.edge_above_floor": _edge,
    "gate.hinge.pin_diameter": _not_over("gate.panel.thickness", "the gate's thickness", "a pin so thick?", part=0.6),
    "gate.hinge.bush_diameter": _not_over("gate.panel.thickness", "the gate's thickness", "is there metal round it?"),
    "pan.depth": _not_over("pan.length", "front to rear", "deeper than half of it?", part=0.5),
    "flip_panel.plate_width": _not_over("pan.width", "the panel's width", "does the plate go on it?"),
    "flip_panel.plate_height": _not_over("pan.length", "the panel's length", "does the plate go on it?"),
    "flip_panel.pivot_from_hinged_edge": _not_over("pan.length", "the panel's length", "beyond the panel?"),
    "crown.rise_across": _not_over("crown.chord_across", "the span", "so deep a crown?", part=DEEP),
    "crown.rise_along": _not_over("crown.chord_along", "the span", "so deep a crown?", part=DEEP),
    "crown.inset": _not_over("crown.chord_across", "the span", "nothing would be left. Right?", part=0.4),
    "material.inside_radius": _not_over(
        "material.thickness", "the sheet's thickness", "so large a radius?", part=10.0, slack=0.5
    ),
    "material.test_strip.outside_b": _strip,
}
