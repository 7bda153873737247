"""Whether the adjuster of a gate can make the move that is advised after the first fit."""

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
    """What of a move an adjuster cannot make.

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


def out_of_reach(move: fitting.Move, adjusters: Sequence[AdjusterResult]) -> Iterator[OutOfReach]:
    """Yield what is out of reach of a slot or of shims that move a hole alone; an eccentric bush is not judged."""
    for hole, shift in (("jamb", move.body), ("gate", move.panel)):
        own = [a for a in adjusters if a.hole == hole]
        if len(own) != 1 or not math.isfinite(own[0].angle_deg):
            continue
        along, across = Pose(0.0, 0.0, -own[0].angle_deg).apply(shift)
        over = max(float(along) - own[0].forward, -float(along) - own[0].backward, 0.0)
        if abs(across) >= STILL or over >= STILL:
            yield OutOfReach(own[0].name, Pose(0.0, 0.0, own[0].angle_deg).apply((0.0, across)), over)
