"""What the adjusters of a gate let a hole do after the first fit, and what they lack."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple, TypeVar

import numpy as np

from foldswing import Pose, fitting
from foldswing._core.hinge import Landing
from foldswing._values import value
from foldswing.evaluation.adjusters import HOLE, AdjusterResult, reach
from foldswing.job import Adjuster, Gate

STILL = 0.05  # mm; a move that prints as 0.0 is none
_Adjuster = TypeVar("_Adjuster", Adjuster, AdjusterResult)


@value
class OutOfReach:
    """What an adjuster lacks for a move.

    Attributes
    ----------
    name : str
        Of the adjuster, and where it is: 'slotted hole in the jamb'.
    askew : (2,) ndarray
        The part of the move that is square to the way it goes, mm, outward and up.
    over : float
        How much farther the rest is than it goes, mm.
    """

    name: str
    askew: np.ndarray
    over: float


@value
class Beyond:
    """What a correction asks of a landing that the adjusters do not reach.

    Attributes
    ----------
    stop, words : str
        'shut' or the stop's name, and what is to change.
    asked : float
        By how much it is to change, mm; counted as Lands.
    least, most : float
        What the adjusters can change there, mm.
    within : float
        How far out it may be left, mm.
    """

    stop: str
    words: str
    asked: float
    least: float
    most: float
    within: float

    @property
    def left_over(self) -> float:
        """How far out it stays once they are set as far as they go, mm."""
        return max(self.asked - self.most, self.least - self.asked)


class Ask(NamedTuple):
    """What a correction asks of a landing: at which stop, in words, by how much it is to change."""

    stop: str
    words: str
    landing: Landing
    change: float


def corrected_by(wanted: Gate) -> str:
    """Return how holes are corrected after the first fit: by the adjusters of the job, or by drilling anew."""
    on = {a.hole for a in wanted.adjuster if a.hole is not None}
    if len(on) == 2:
        return "adjusters on both"
    return f"adjuster on the {on.pop()}" if on else "drilling"


def sliding(adjusters: Sequence[_Adjuster]) -> dict[str, _Adjuster]:
    """Return for each hole the slot, or the shims, that move it alone; an eccentric bush does not slide."""
    out = {}
    for hole in HOLE:
        own = [a for a in adjusters if a.hole == hole]
        if len(own) == 1 and own[0].kind != "eccentric bush":
            out[hole] = own[0]
    return out


def slots(adjusters: Sequence[AdjusterResult]) -> dict[str, fitting.Slot]:
    """Return what holds a correction to these adjusters, as fitting.correct takes it."""
    return {
        f"{HOLE[hole]}_slot": fitting.Slot(Pose(0.0, 0.0, a.angle_deg).apply((1.0, 0.0)), a.forward, a.backward)
        for hole, a in sliding(adjusters).items()
    }


def out_of_reach(move: fitting.Move, adjusters: Sequence[AdjusterResult]) -> Iterator[OutOfReach]:
    """Yield what each adjuster that slides lacks for a move."""
    for hole, own in sliding(adjusters).items():
        along, across = Pose(0.0, 0.0, -own.angle_deg).apply(getattr(move, HOLE[hole]))
        over = max(float(along) - own.forward, -float(along) - own.backward, 0.0)
        if abs(across) >= STILL or over >= STILL:
            yield OutOfReach(own.name, Pose(0.0, 0.0, own.angle_deg).apply((0.0, across)), over)


def beyond_reach(
    wanted: Gate, lean_deg: float, which: str, asks: Sequence[Ask], set_within: float
) -> tuple[Beyond, ...]:
    """Return what a correction asks that the job's adjusters do not reach.

    Parameters
    ----------
    wanted : Gate
        Its adjusters; of a hole without one nothing is said, and a hole's only slot is kept to already.
    lean_deg : float
        Lean of the shut gate.
    which : {'none', 'body', 'panel', 'both', 'together'}
        Which holes are moved.
    asks : sequence of Ask
        What the move changes.
    set_within : float
        How near an adjuster is set: less left over than this is none, mm.
    """
    mine = [a for a in wanted.adjuster if a.hole is not None and which in {HOLE[a.hole], "both"}]
    if all(a.hole in sliding(mine) for a in mine):
        return ()
    out = []
    for ask in asks:
        reaches = [reach(a, ask.landing, lean_deg) for a in mine]
        least, most = sum(r.least for r in reaches), sum(r.most for r in reaches)
        row = Beyond(ask.stop, ask.words, ask.change, least + 0.0, most + 0.0, float(ask.landing.tolerance))
        if row.left_over > set_within:
            out.append(row)
    return tuple(out)
