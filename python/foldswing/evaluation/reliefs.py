"""What would have to come off a fixed part, or off the gate, where the gate passes too close."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from foldswing import relief
from foldswing._core import InvalidInput
from foldswing._core.plane import Path
from foldswing._values import value
from foldswing.evaluation.findings import Approach, Finding

SAGITTA = 0.02  # mm; of the chords, the scribed arcs are true ones: finer than any scriber


@value
class ReliefResult:
    """What would cure one tight place by taking metal or wood off.

    Attributes
    ----------
    body : str
        The fixed part.
    gap : float
        Left all the way, bare, mm.
    fixed : relief.Relief
        What comes off the fixed part, section axes.
    panel : relief.Relief
        What would come off the gate instead, as it hangs shut.
    pivot : (2,) ndarray
        Where the jamb's hole is: the arcs' centre.
    """

    body: str
    gap: float
    fixed: relief.Relief
    panel: relief.Relief
    pivot: np.ndarray


def evaluate_reliefs(
    hung: Path,
    around: Mapping[str, Path],
    pivot: np.ndarray,
    opening_deg: float,
    tight: Iterable[Approach],
) -> tuple[tuple[ReliefResult, ...], list[Finding]]:
    """Return the reliefs for every body that is passed too closely, and what is to be said of those not worked out.

    Parameters
    ----------
    hung : Path
        The gate's section as it hangs shut.
    around : mapping of names to Paths
        The bodies.
    pivot : (2,) ndarray
        The jamb's hole.
    opening_deg : float
        From shut to the last stop.
    tight : iterable of Approach
        Those that are too close; bodies the gate rests on left out.

    Returns
    -------
    tuple of ReliefResult
        One for each body, in the order of the approaches.
    list of Finding
        One for each body whose relief takes more corners than are looked at.
    """
    out: dict[str, ReliefResult] = {}
    left_out: dict[str, Finding] = {}
    for row in tight:
        if row.body in out or row.body in left_out:
            continue
        asked = {"pivot": pivot, "turn_to_deg": -opening_deg, "gap": row.wanted, "sagitta": SAGITTA}
        body = around[row.body]
        try:
            off = relief.off_body(hung, body, **asked)
            if off.cuts:
                out[row.body] = ReliefResult(row.body, row.wanted, off, relief.off_panel(hung, body, **asked), pivot)
        except InvalidInput as limit:
            # the round of an ear about the pin is cut into very many chords, which all sweep
            if not str(limit).startswith("sagitta"):
                raise
            left_out[row.body] = Finding(
                f"The relief in the {row.body} is not drawn",
                "it has more corners than are worked out",
                "the gap there stays as tight as it is",
                f"swing the card model and scribe it on the {row.body}, or see what else cures the gap",
                stops_work=False,
            )
    return tuple(out.values()), list(left_out.values())
