"""How a full-size drawing is cut into sheets of paper: no joint near a hole, all holes of a part on one sheet.

Sheets overlap: between two of them lies a strip that both show, and the joint is somewhere in it. A hole keeps its
distance from the whole strip.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from foldswing._core import InvalidInput

if TYPE_CHECKING:
    from foldswing.drawing import Drawing, TilePlan

MARGIN = 8.0  # mm; printers leave 3 to 6 mm blank (common practice, no source)
RIGHT = 13.0  # mm; strip for the upright bar
BELOW = 38.0  # mm; strip for the level bar and the words
OVERLAP = 10.0  # mm
CLEAR = 3.0  # mm; least space between the drawing and the window, for lines of any width
BAR = 100.0  # mm; length of the check bars, outside to outside
JOINT = 40.0  # mm; least distance from a joint to the edge of a hole
FARTHEST_OFF = 10.0  # mm in 100; a printer farther off than this is set to fit the page, or a bar was misread

_TRIALS = 65  # places tried for the first sheet where no place keeps the joints clear of all holes


def bars_read(given: Any) -> tuple[float, float]:
    """Return what the two bars measured, mm; exact where nothing is given."""
    if given is None:
        return BAR, BAR
    from foldswing.units import _door  # noqa: PLC0415

    try:
        pair = list(given)
    except TypeError:
        pair = [given]
    if isinstance(given, str) or len(pair) != 2:
        raise InvalidInput(f"bars must be two lengths, along the short and the long side of the paper, got {given!r}")
    short, long = (_bar_read(f"bars[{i}]", _door(one, f"bars[{i}]", "length"), one) for i, one in enumerate(pair))
    return short, long


def _bar_read(name: str, length: Any, given: Any) -> float:
    bar = float(length)
    if BAR - FARTHEST_OFF <= bar <= BAR + FARTHEST_OFF:
        return bar
    guess = "was the print made to fit the page?"
    for unit, size in (("centimetres", 10.0), ("inches", 25.4)):
        if BAR - FARTHEST_OFF <= bar * size <= BAR + FARTHEST_OFF:
            guess = f"was it read in {unit}? Then it is {bar * size:.4g} mm"
    raise InvalidInput(
        f"{name} must be what a 100 mm bar measured, within {BAR - FARTHEST_OFF:g} to {BAR + FARTHEST_OFF:g} mm, "
        f"got {given!r}: {guess}"
    )


class _Cut(NamedTuple):
    """How one direction is cut: sheets, start of the first window, and how well the holes fare.

    `level` is 0 where all holes lie on one sheet clear of joints, 1 where each is clear of joints, 2 where one is not.
    """

    sheets: int
    start: float
    level: int


def _count(length: float, window: float) -> int:
    """Return how many windows cover a length; a hair over (a billionth of a mm) does not take another sheet."""
    return max(1, math.ceil((length - OVERLAP) / (window - OVERLAP) - 1e-9))


def _nearest_free(wanted: float, low: float, high: float, forbidden: np.ndarray) -> float | None:
    """Return the place in [low, high] nearest to the wanted one in none of the open intervals, (n, 2)."""
    free, at = [], low
    for start, end in sorted(map(tuple, forbidden)):
        if start >= at:
            free.append((at, min(start, high)))
        at = max(at, end)
        if at > high:
            break
    if at <= high:
        free.append((at, high))
    places = [min(max(wanted, a), b) for a, b in free if a <= b]
    return min(places, key=lambda p: abs(p - wanted), default=None)


def _forbidden(spans: np.ndarray, count: int, step: float) -> np.ndarray:
    """Return where the first window may not start, so that no strip shared by two sheets comes near a span, (n, 2)."""
    joints = step * np.arange(1, count)
    low = (spans[:, 0] - JOINT - OVERLAP)[:, None] - joints
    high = (spans[:, 1] + JOINT)[:, None] - joints
    return np.stack([low.ravel(), high.ravel()], axis=1)


def _parting(words: np.ndarray, count: int, step: float) -> np.ndarray:
    """Return where the first window may not start, so that some sheet shows each of the words whole, (n, 2)."""
    joints = step * np.arange(1, count)
    low = words[:, :1] - joints
    high = words[:, 1:] - OVERLAP - joints
    return np.stack([low.ravel(), high.ravel()], axis=1)


def _cuts(low: float, high: float, window: float, spans: np.ndarray, words: np.ndarray, *, middle: bool) -> list[_Cut]:
    """Return ways to cut one direction, at most one for each number of sheets and level.

    `words` are lines of words from end to end, (n, 2): where there is a choice, no joint parts one of them.

    `spans` are the holes, from edge to edge, (n, 2). With one sheet more than is needed every place of the joints can
    be had, so that a third try would find nothing new. `middle` asks for equal spare space at both ends.
    """
    step, least = window - OVERLAP, _count(high - low, window)
    out = []
    for count in (least, least + 1):
        first = high - (count * step + OVERLAP)  # the lowest start that still reaches the end
        wanted = 0.5 * (first + low) if least == count == 1 or middle else low
        lines = _parting(words, count, step)
        if len(spans) == 0 or count == 1:
            whole = _nearest_free(wanted, first, low, lines) if count == least else None
            out.append(_Cut(count, wanted if whole is None else whole, 0))
            break
        together = np.array([[spans[:, 0].min(), spans[:, 1].max()]])
        for level, kept in ((0, together), (1, spans)):
            near = _forbidden(kept, count, step)
            start = _nearest_free(wanted, first, low, np.vstack([near, lines]))
            if start is None:
                start = _nearest_free(wanted, first, low, near)
            if start is not None:
                out.append(_Cut(count, start, level))
                break
        else:
            trials = np.linspace(first, low, _TRIALS)
            blocked = _forbidden(spans, count, step)
            reach = np.minimum(trials[:, None] - blocked[:, 0], blocked[:, 1] - trials[:, None])
            best = int(np.argmin(reach.max(axis=1)))
            out.append(_Cut(count, float(trials[best]), 2))
    return out


def holes_of(drawing: Drawing) -> np.ndarray:
    """Return left, bottom, right, top of every hole, (n, 4)."""
    from foldswing.drawing import Circle  # noqa: PLC0415

    boxes = [e.bounds for e in drawing.entities if isinstance(e, Circle) and e.layer == "hole"]
    return np.array(boxes).reshape(-1, 4)


def _notes_of(drawing: Drawing) -> np.ndarray:
    """Return left, bottom, right, top of every level line of notes, (n, 4)."""
    from foldswing.drawing import Text  # noqa: PLC0415

    lines = [e for e in drawing.entities if isinstance(e, Text) and e.layer == "text" and e.rotation_deg == 0.0]
    return np.array([e.bounds for e in lines]).reshape(-1, 4)


def planned(
    drawing: Drawing, paper: tuple[float, float], name: str, max_sheets: int, bars: tuple[float, float] = (BAR, BAR)
) -> TilePlan:
    """Return the best plan: joints clear of holes first, then holes together, then few sheets, then upright."""
    from foldswing.drawing import TilePlan  # noqa: PLC0415

    left, bottom, right, top = (float(v) for v in drawing.bounds)
    holes, notes = holes_of(drawing), _notes_of(drawing)
    off = (bars[0] / BAR, bars[1] / BAR)  # what the printer makes of a mm, along the short and the long side
    plans: list[tuple[int, int, int, TilePlan]] = []
    for page, real in ((paper, off), (paper[::-1], off[::-1])):
        window = (page[0] * real[0] - 2.0 * MARGIN - RIGHT, page[1] * real[1] - 2.0 * MARGIN - BELOW)
        for across in _cuts(left - CLEAR, right + CLEAR, window[0], holes[:, 0::2], notes[:, 0::2], middle=False):
            for up in _cuts(bottom - CLEAR, top + CLEAR, window[1], holes[:, 1::2], notes[:, 1::2], middle=True):
                step = (window[0] - OVERLAP, window[1] - OVERLAP)
                origin = (across.start, up.start + up.sheets * step[1] + OVERLAP)
                level = max(across.level, up.level)
                said = _words(name, level, len(holes))
                plan = TilePlan(across.sheets, up.sheets, page, window, step, origin, real, said)
                plans.append((level, across.sheets * up.sheets, len(plans), plan))
    _, sheets, _, best = min(plans)
    if sheets > max_sheets:
        raise InvalidInput(
            f"drawing must fit on {max_sheets} sheets of {name}, got {right - left:.0f} x {top - bottom:.0f} mm, "
            f"which takes {best.columns} x {best.rows} sheets: use a larger paper, or the SVG or DXF file"
        )
    return best


def _words(paper: str, level: int, holes: int) -> str:
    """Return what the map page says of the holes."""
    if holes == 0:
        return ""
    if level == 0:
        return f"No joint comes within {JOINT:.0f} mm of a hole."
    if level == 1:
        return (
            f"The holes lie too far apart for one sheet of {paper}: measure from hole to hole across the joints. "
            f"No joint comes within {JOINT:.0f} mm of a hole."
        )
    return (
        f"On {paper} a joint must come within {JOINT:.0f} mm of a hole: tape it flat, and check every hole from "
        "both edges with the rule before it is pricked through."
    )
