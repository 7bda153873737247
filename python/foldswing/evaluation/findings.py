"""Closest approaches with paint on, and what is wrong in shop words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

import numpy as np

from foldswing import clearance
from foldswing._core.motion import Motion
from foldswing._core.plane import Outline
from foldswing._values import value

SAGITTA = 5e-5  # mm; how far a flattened arc may stand off the true one: too little to change a printed figure

Verdict = Literal["go", "change this first", "cannot"]


@value
class Finding:
    """Something the fabricator must know before metal is cut.

    Attributes
    ----------
    what, number, feel, advice : str
        What it is, how much, what would be felt (rubs, binds, drops, pops), what would cure it.
    stops_work : bool
        True when nothing should be cut before it is cured.
    """

    what: str
    number: str
    feel: str
    advice: str
    stops_work: bool


@value
class Approach:
    """The closest approach to one body on one leg of the travel.

    Attributes
    ----------
    body, leg : str
        What is approached, and between which stops.
    bare, painted, wanted : float
        Gap of bare metal, with paint on both faces (0 where the paint touches), and wanted bare; mm.
    depth : float
        How deep they overlap, bare; 0 where they do not, mm.
    opening_deg : float
        Angle opened from shut, degrees.
    panel_point, fixed_point : (2,) ndarray
        The two nearest points, section axes, mm.
    """

    body: str
    leg: str
    bare: float
    painted: float
    wanted: float
    depth: float
    opening_deg: float
    panel_point: np.ndarray
    fixed_point: np.ndarray

    @property
    def at(self) -> str:
        """Where on the travel, in words."""
        return f"{self.opening_deg:.2f}\N{DEGREE SIGN} open"


class Wants(NamedTuple):
    """What paint takes off the gap to each body (both faces), and the gap wanted bare; mm by name of body."""

    paint: Mapping[str, float]
    gap: Mapping[str, float]


def approaches(
    panel: Outline, bodies: Mapping[str, Outline], motion: Motion, stops: Sequence[tuple[str, float]], wants: Wants
) -> tuple[Approach, ...]:
    """Return the closest approach of a panel to every body on every leg of its travel.

    Parameters
    ----------
    panel, bodies, motion, stops
        As clearance.closest_approaches takes them.
    wants : Wants
        For every body.
    """
    return tuple(
        Approach(
            row.body,
            row.leg,
            row.gap,
            max(0.0, row.gap - wants.paint[row.body]),
            wants.gap[row.body],
            row.depth,
            abs(row.turn_deg),
            row.panel_point,
            row.fixed_point,
        )
        for row in clearance.closest_approaches(panel, bodies, motion, stops)
    )


def judge(rows: Iterable[Approach], cure: str) -> list[Finding]:
    """Return a finding for every approach that is closer than wanted; nothing is said of those that are not."""
    out = []
    for row in rows:
        place = f"{row.body}, {row.leg}"
        if row.depth > 0.0:
            out.append(
                Finding(
                    f"Panel runs into the {place}",
                    f"overlaps by {row.depth:.2f} mm, deepest at {row.at}",
                    "binds: it will not pass",
                    cure,
                    True,
                )
            )
        elif row.painted <= 0.0:
            out.append(
                Finding(
                    f"Panel touches the {place}",
                    f"{row.bare:.2f} mm bare at {row.at}, nothing left once painted",
                    "rubs through the paint",
                    cure,
                    True,
                )
            )
        elif row.bare < row.wanted - ROUNDING:
            out.append(
                Finding(
                    f"Panel passes close to the {place}",
                    f"{row.bare:.2f} mm bare, {row.painted:.2f} painted at {row.at}; {row.wanted:.2f} mm wanted bare",
                    "rubs as soon as a hole is a little out, the panel racks or a pin wears",
                    cure,
                    False,
                )
            )
    return out


ROUNDING = 0.005  # mm; half of the last digit printed: a gap that prints as the wanted one is the wanted one


def verdict(findings: Iterable[Finding]) -> Verdict:
    """Return 'change this first' when a finding stops the work, else 'go'."""
    return "change this first" if any(f.stops_work for f in findings) else "go"
