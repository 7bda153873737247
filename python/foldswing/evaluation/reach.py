"""What the slots of a gate, or shims, let a hole do after the first fit, and what they lack."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from foldswing import Pose, fitting
from foldswing._values import value
from foldswing.evaluation.adjusters import AdjusterResult

STILL = 0.05  # mm; a move that prints as 0.0 is none


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


def sliding(adjusters: Sequence[AdjusterResult]) -> dict[str, AdjusterResult]:
    """Return for each hole the slot, or the shims, that move it alone; an eccentric bush does not slide."""
    out = {}
    for hole in ("jamb", "gate"):
        own = [a for a in adjusters if a.hole == hole]
        if len(own) == 1 and math.isfinite(own[0].angle_deg):
            out[hole] = own[0]
    return out


def slots(adjusters: Sequence[AdjusterResult]) -> dict[str, fitting.Slot]:
    """Return what holds a correction to these adjusters, as fitting.correct takes it."""
    return {
        "body_slot" if hole == "jamb" else "panel_slot": fitting.Slot(
            Pose(0.0, 0.0, a.angle_deg).apply((1.0, 0.0)), a.forward, a.backward
        )
        for hole, a in sliding(adjusters).items()
    }


def out_of_reach(move: fitting.Move, adjusters: Sequence[AdjusterResult]) -> Iterator[OutOfReach]:
    """Yield what each adjuster that slides lacks for a move."""
    for hole, own in sliding(adjusters).items():
        along, across = Pose(0.0, 0.0, -own.angle_deg).apply(move.body if hole == "jamb" else move.panel)
        over = max(float(along) - own.forward, -float(along) - own.backward, 0.0)
        if abs(across) >= STILL or over >= STILL:
            yield OutOfReach(own.name, Pose(0.0, 0.0, own.angle_deg).apply((0.0, across)), over)
