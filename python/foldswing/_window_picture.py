"""The enlarged picture of where a gate's hole may lie. Public by `pictures`."""

from __future__ import annotations

import numpy as np

from foldswing._core.plane import Path
from foldswing._job_drawing import revision, seen, seen_point, title, view_of
from foldswing._layout import LETTERS, Placer, unit
from foldswing.drawing import Circle, Drawing, Entity, Stroke, Text, mark
from foldswing.evaluation import GateResult
from foldswing.evaluation.stations import Hand
from foldswing.evaluation.windows import WindowResult
from foldswing.job import Gate, Job

_ROOM = 55.0  # mm on paper for the window
_ENLARGED = (1, 2, 5, 10, 20, 50, 100, 200)  # plain scales


def window_enlarged(found: WindowResult) -> float:
    """Return how many times full size the picture of a gate's window is."""
    size = max(found.width, found.height)
    return float(max(k for k in _ENLARGED if k == 1 or k * size <= _ROOM))


def gate_window(wanted: Gate, done: GateResult, job: Job, hand: Hand = "left") -> Drawing:
    """Return the window of a gate's pivot, enlarged, its sides numbered as in the table of what stops the hole.

    Where left and right have pivots of their own it is that of the one end.
    """
    found = done.window_at(hand)
    holes = done.end_at(hand).holes
    assert found is not None
    assert holes is not None
    corners = np.concatenate([o.points for o in found.outlines])
    origin = 0.5 * (corners.min(axis=0) + corners.max(axis=0))
    times = window_enlarged(found)

    def big(points: object) -> np.ndarray:
        there: np.ndarray = (np.asarray(points, float) - origin) * times
        return there

    edges = [Path(big(ring), 0.0, closed=True) for o in found.outlines for ring in (o.points, *o.holes)]
    entities: list[Entity] = [Stroke(seen(wanted, path), "panel") for path in edges]
    best, marked = seen_point(wanted, big(found.best)), seen_point(wanted, big(holes.jamb))
    if found.forgiveness > 0.0:
        entities.append(Circle(best, times * found.forgiveness))
    entities += [*mark(best, size=8.0), *mark(marked, size=4.0)]
    placer = Placer(entities, LETTERS)
    words: list[Entity] = []
    for number, (start, end) in enumerate(found.sides, start=1):
        along = unit(end - start)
        out = np.array([along[1], -along[0]])
        trials = [
            Text(
                str(number),
                seen_point(wanted, 0.5 * (big(start) + big(end)) + off * out + slide * along),
                LETTERS,
                0.0,
                "middle",
                "middle",
                bold=True,
            )
            for off in (4.0, 5.0, 6.5)
            for slide in (0.0, 3.0, -3.0, 6.0, -6.0)
        ]
        words.append(placer.best(trials))
    words.append(placer.text("best", (best[0] + 4.0, best[1] + 3.0), LETTERS))
    lowest = [float(t.bounds[1]) for t in words if isinstance(t, Text)]
    below = min(*lowest, float(big(corners)[:, 1].min()), marked[1] - 2.0) - 1.5
    words.append(Text("small cross: as marked", (marked[0], below), LETTERS, anchor="middle", level="top"))
    return Drawing(
        title(job, f"{done.name}: window{f', {hand} end' if done.axis is not None else ''}"),
        view_of(wanted),
        (*entities, *words),
        revision(job),
    )
