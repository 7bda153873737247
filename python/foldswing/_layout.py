"""Placing of words and dimensions on a drawing: where they go, never what they say."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np

from foldswing import _lettering
from foldswing._core import drafting
from foldswing._core.plane import Path
from foldswing.drawing import Circle, Entity, Stroke, Text, line

LETTERS = 3.5  # mm; capitals read at arm's length
WIDEST = 145.0  # mm; longest line of the notes: one upright sheet shows it, with the sizes that stand left of the part
LEADING = 1.7  # from line to line of notes, in heights of capitals
WIDEST_ALONE = 170.0  # mm; where nothing stands left of the part
Show = Callable[[float], str]  # a length in words
Line = tuple[str, float, bool]  # words, height of the capitals in mm, bold
_MOST_LINES = 8


def unit(vector: Any) -> np.ndarray:
    """Return the direction of a vector."""
    v = np.asarray(vector, dtype=float)
    out: np.ndarray = v / np.hypot(*v)
    return out


def readable(direction: Any) -> tuple[float, bool]:
    """Return the angle at which words along a direction read from below or the right, and whether that is backwards."""
    angle = float(np.degrees(np.arctan2(direction[1], direction[0])))
    if -90.0 < angle <= 90.0:
        return angle, False
    return (angle + 180.0 if angle <= -90.0 else angle - 180.0), True


def spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Return places at least `gap` apart and as near as can be (least squares) to those wanted, which ascend."""
    blocks: list[tuple[float, int]] = []  # mean of (wanted - its own offset), members
    for i, place in enumerate(wanted):
        mean, count = place - i * gap, 1
        while blocks and blocks[-1][0] > mean:
            before, members = blocks.pop()
            mean = (mean * count + before * members) / (count + members)
            count += members
        blocks.append((mean, count))
    means = [mean for mean, count in blocks for _ in range(count)]
    return [mean + i * gap for i, mean in enumerate(means)]


def arrow(tail: Any, tip: Any, head: float, layer: str = "text") -> tuple[Entity, ...]:
    """Return an arrow with an open head."""
    tail, tip = np.asarray(tail, dtype=float), np.asarray(tip, dtype=float)
    along = unit(tip - tail)
    side = np.array([-along[1], along[0]])
    barbs = [tip - head * along + 0.4 * head * side, tip, tip - head * along - 0.4 * head * side]
    return line(tail, tip, layer), Stroke(Path(barbs, [0.0, 0.0]), layer)


def dimension(a: Any, b: Any, away: Any, words: str, height: float) -> tuple[tuple[Entity, ...], Text]:
    """Return the dimension between two points: its line moved by `away`, square to a-b, and the words beyond it."""
    a, b, away = (np.asarray(v, dtype=float) for v in (a, b, away))
    out = unit(away)
    along = unit(b - a)
    gap, over, tick = 0.5 * height, 0.5 * height, 0.35 * height * (along + out)
    angle, _ = readable(along)
    ends = [line(p + gap * out, p + away + over * out, "dimension") for p in (a, b) if np.hypot(*away) > gap]
    ticks = [line(p + away - tick, p + away + tick, "dimension") for p in (a, b)]
    middle = 0.5 * (a + b) + away + (over + 0.9 * height) * out
    label = Text(words, middle, height, angle, "middle", "middle", layer="dimension")
    return (*ends, line(a + away, b + away, "dimension"), *ticks), label


def running(
    origin: Any, along: Any, away: Any, stations: Sequence[tuple[float, str]], *, offset: float, height: float
) -> tuple[Entity, ...]:
    """Return running dimensions: every station measured from the one origin, words turned to stand side by side.

    `stations` are (distance from the origin, words), ascending; `offset` is from the measured edge to the line.
    """
    origin, along, away = np.asarray(origin, dtype=float), unit(along), unit(away)
    places = spread([s for s, _ in stations], 1.6 * height)
    angle, backwards = readable(away)
    base = origin + offset * away
    entities: list[Entity] = [line(base + stations[0][0] * along, base + stations[-1][0] * along, "dimension")]
    for (station, words), place in zip(stations, places, strict=True):
        foot = origin + station * along
        entities.append(line(foot + 0.4 * height * away, foot + (offset + 0.4 * height) * away, "dimension"))
        knee = base + 0.4 * height * away + station * along
        turn = base + 1.6 * height * away + place * along
        end = turn + 0.6 * height * away
        entities.append(Stroke(Path([knee, turn, end], [0.0, 0.0]), "dimension"))
        at = end + 0.4 * height * away
        anchor = "right" if backwards else "left"
        entities.append(Text(words, at, height, angle, anchor, "middle", layer="dimension"))  # type: ignore[arg-type]
    start = base + stations[0][0] * along
    r = 0.3 * height
    ring = Circle(start, r, "dimension")
    return (*entities, ring)


def paragraph(words: str, height: float, room: float, *, bold: bool = False) -> list[Line]:
    """Return words broken into lines of at most `room` mm; past eight lines the rest is cut off, visibly."""
    lines = _lettering.wrapped(words, height, room, bold=bold)
    if len(lines) > _MOST_LINES:
        last = " ".join(lines[_MOST_LINES - 1 :])
        lines = [*lines[: _MOST_LINES - 1], _lettering.fitted(last, height, room, least=height, bold=bold)[0]]
    return [(line, height, bold) for line in lines]


def short(words: str, height: float) -> str:
    """Return a name cut to what a drawing has room for, thirty capitals or so."""
    return _lettering.fitted(words, height, 30.0 * height, least=height)[0]


def block(lines: Iterable[Line], at: Any) -> tuple[Entity, ...]:
    """Return lines of text one below the other, (words, height, bold) each, from the top left corner down."""
    x, y = (float(v) for v in at)
    out: list[Entity] = []
    for words, height, bold in lines:
        out.append(Text(words, (x, y), height, level="top", bold=bold))
        y -= LEADING * height
    return tuple(out)


def _samples(path: Path, spacing: float) -> np.ndarray:
    """Return points along a path, close enough together that no word slips between them."""
    pieces = drafting.split(path, 10.0)
    ends = np.vstack([pieces.points, pieces.points[:1]]) if pieces.closed else pieces.points
    out = [
        a + (b - a) * np.linspace(0.0, 1.0, min(2 + int(np.hypot(*(b - a)) / spacing), 2000))[:, None]
        for a, b in zip(ends[:-1], ends[1:], strict=True)  # noqa: RUF007  rows of an array
    ]
    return np.vstack(out)


class Placer:
    """Finds a free place for a word near a point, off the words placed before and off the lines."""

    def __init__(self, taken: Iterable[Entity] = (), height: float = 2.5) -> None:
        taken = tuple(taken)
        self._boxes = [e.bounds for e in taken if isinstance(e, Text)]
        paths = [e.path for e in taken if isinstance(e, (Stroke, Circle))]
        self._points = np.vstack([np.empty((0, 2)), *(_samples(p, 0.5 * height) for p in paths)])

    def text(self, words: str, near: Any, height: float, *, layer: str = "text", bold: bool = False) -> Text:
        """Return the text as near to the point as leaves other words free and crosses fewest lines."""
        words, near = short(words, height), np.asarray(near, dtype=float)
        best: tuple[float, Text] | None = None
        for ring in range(12):
            for k in range(1 if ring == 0 else 8):
                shift = ring * 1.2 * height * np.array([np.sin(0.25 * np.pi * k), np.cos(0.25 * np.pi * k)])
                trial = Text(words, near + shift, height, 0.0, "middle", "middle", bold=bold, layer=layer)
                hidden = self._covered(trial.bounds)
                if best is None or hidden < best[0]:
                    best = hidden, trial
            if best is not None and best[0] == 0.0:
                break
        assert best is not None
        self._boxes.append(best[1].bounds)
        return best[1]

    def best(self, trials: Sequence[Text]) -> Text:
        """Return the text among those tried, the first of equals, that covers least, and take its place."""
        found = min(trials, key=lambda text: self._covered(text.bounds))
        self._boxes.append(found.bounds)
        return found

    def name(self, words: str, pieces: Sequence[Path], height: float) -> Text:
        """Return the name of a body: within what is seen of it where there is room, else beneath."""
        words = short(words, height)
        boxes = np.array([drafting.bounds(p) for p in pieces])
        low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        middle = 0.5 * (low + high)
        trial = Text(words, middle, height, 0.0, "middle", "middle", layer="neighbour")
        if trial.width > 0.9 * (high[0] - low[0]) or 2.0 * height > high[1] - low[1]:
            middle = np.array([middle[0], low[1] - 1.2 * height])
        return self.text(words, middle, height, layer="neighbour")

    def free(self, text: Text, start: np.ndarray, tip: np.ndarray, *, off_lines: bool = False) -> bool:
        """Tell whether a text on a leader from start to tip covers no word, or no line either; if so it is placed."""
        if off_lines and self._covered(text.bounds) > 0.0:
            return False
        leader = start + (tip - start) * np.linspace(0.0, 1.0, 30)[:, None]
        for box in self._boxes:
            if self._shared(text.bounds, box) > 0.0:
                return False
            if np.any(np.all((leader > box[:2]) & (leader < box[2:]), axis=1)):
                return False
        self._boxes.append(text.bounds)
        return True

    def _covered(self, box: np.ndarray) -> float:
        """Return how much a box is in the way: mm2 of other words, and a tenth of a mm2 for each point of a line."""
        x, y = self._points.T
        total = 0.1 * float(np.count_nonzero((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])))
        return total + sum(self._shared(box, other) for other in self._boxes)

    @staticmethod
    def _shared(box: np.ndarray, other: np.ndarray) -> float:
        wide = min(box[2], other[2]) - max(box[0], other[0])
        high = min(box[3], other[3]) - max(box[1], other[1])
        return float(max(wide, 0.0) * max(high, 0.0))


def millimetres(length: float) -> str:
    """Return a length as on a tape: millimetres to a tenth."""
    return f"{length:.1f}"


def in_degrees(words: str) -> str:
    """Return words with the sign of degrees in place of 'deg', as every other angle on paper has it."""
    return re.sub(r"(?<=\d) deg\b", "\N{DEGREE SIGN}", words)


def beside_lines(label: Show | None) -> str:
    """Return what is said of the sizes beside the lines when they carry no unit."""
    return "" if label else "Sizes beside the lines in mm. "
