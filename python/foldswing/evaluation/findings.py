"""Closest approaches with paint on, and what is wrong in shop words."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

import numpy as np

from foldswing import clearance, hinge, tolerance
from foldswing._core.motion import Motion
from foldswing._core.plane import Outline, Path
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
    apart, together : tolerance.LikelyGap or None
        How the painted gap comes out after likely errors, with the two holes drilled apart and drilled through
        together; None where the gap is so wide that no error matters, or errors were not asked about.
    drilled : {'apart', 'together'}
        How this job drills them.
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
    apart: tolerance.LikelyGap | None = None
    together: tolerance.LikelyGap | None = None
    drilled: Literal["apart", "together"] = "apart"

    @property
    def likely(self) -> tolerance.LikelyGap | None:
        """How the painted gap comes out after likely errors, the holes drilled as this job does."""
        return self.together if self.drilled == "together" else self.apart

    @property
    def at(self) -> str:
        """Where on the travel, in words."""
        return f"{self.opening_deg:.2f}\N{DEGREE SIGN} open"


def stands(row: Approach) -> tuple[float, float]:
    """Return what approaches are sorted by: the tightest first, of overlaps the deepest."""
    return row.bare, -row.depth


class Wants(NamedTuple):
    """What paint takes off the gap to each body (both faces), and the gap wanted bare; mm by name of body."""

    paint: Mapping[str, float]
    gap: Mapping[str, float]


class Likely(NamedTuple):
    """What likely errors are reckoned from.

    panel : section as it stands shut; bodies : by name, each with how well its place is known and its paint;
    hole : standard deviation of each hole, mm; drilled : how.
    """

    panel: Path
    bodies: Mapping[str, tolerance.Obstacle]
    hole: float
    drilled: Literal["apart", "together"] = "apart"

    def gap(self, name: str, motion: hinge.PivotHinge, s0: float, s1: float, *, together: bool) -> tolerance.LikelyGap:
        """Return how the painted gap to a body comes out over a piece of a turn."""
        x, y = (float(v) for v in motion.pivot)
        turn = Turn((x, y), motion.turn_at(s0), motion.turn_at(s1))
        return _likely_gap(self.panel, self.bodies[name], turn, self.hole, together)

    def matters(self, name: str, painted: float) -> bool:
        """Tell whether errors can close a gap this wide."""
        body = self.bodies[name]
        return painted <= FAR * float(np.hypot(2.0 * self.hole, np.hypot(body.across, body.up)))


class Turn(NamedTuple):
    """A piece of a plain turn."""

    pivot: tuple[float, float]
    from_deg: float
    to_deg: float


@functools.lru_cache(maxsize=1024)  # places along a hinge share most of their sections, and this takes the time
def _likely_gap(panel: Path, body: tolerance.Obstacle, turn: Turn, hole: float, together: bool) -> tolerance.LikelyGap:
    return tolerance.likely_gap(
        panel,
        body,
        pivot=turn.pivot,
        turn_from_deg=turn.from_deg,
        turn_to_deg=turn.to_deg,
        hole=hole,
        together=together,
    )


FAR = 5.0  # standard deviations: 3 in 10 million cases go beyond


def approaches(
    panel: Outline,
    bodies: Mapping[str, Outline],
    motion: Motion,
    stops: Sequence[tuple[str, float]],
    wants: Wants,
    *,
    likely: Likely | None = None,
) -> tuple[Approach, ...]:
    """Return the closest approach of a panel to every body on every leg of its travel.

    Parameters
    ----------
    panel, bodies, motion, stops
        As clearance.closest_approaches takes them.
    wants : Wants
        For every body.
    likely : Likely, optional
        For the columns of likely errors; the motion must then be a PivotHinge.
    """
    out = []
    legs = len(stops) - 1
    for i, row in enumerate(clearance.closest_approaches(panel, bodies, motion, stops)):
        painted = row.gap - wants.paint[row.body]
        apart = together = None
        if likely is not None and isinstance(motion, hinge.PivotHinge) and likely.matters(row.body, painted):
            s0, s1 = (s for _, s in stops[i % legs : i % legs + 2])
            apart, together = (likely.gap(row.body, motion, s0, s1, together=way) for way in (False, True))
        out.append(
            Approach(
                row.body,
                row.leg,
                row.gap,
                max(0.0, painted),
                wants.gap[row.body],
                row.depth,
                abs(row.turn_deg),
                row.panel_point,
                row.fixed_point,
                apart,
                together,
                likely.drilled if likely else "apart",
            )
        )
    return tuple(out)


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
        elif (made := row.likely) is not None and min(made.kept, row.painted - 2.0 * made.deviation) <= 0.0:
            out.append(
                Finding(
                    f"Panel may rub on the {place}",
                    f"{row.bare:.2f} mm bare, {row.painted:.2f} painted at {row.at}; errors usually come to "
                    f"{made.deviation:.2f} mm there, and {odds(made.share)} rub",
                    "rubs through the paint where the errors add up",
                    cure,
                    False,
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


NEVER = 1e-4  # a share of panels too small to plan for


def odds(share: float) -> str:
    """Return a share in words: '1 in 12', 'about half', 'nearly all'."""
    if share < NEVER:
        return "fewer than 1 in 10000"
    if share > 0.9:
        return "nearly all"
    if share > 0.4:
        return "about half" if share < 0.6 else f"{round(10.0 * share)} in 10"
    return f"about 1 in {float(f'{1.0 / share:.1g}' if share < 0.1 else round(1.0 / share)):.0f}"


ROUNDING = 0.005  # mm; half of the last digit printed: a gap that prints as the wanted one is the wanted one


def verdict(findings: Iterable[Finding]) -> Verdict:
    """Return 'change this first' when a finding stops the work, else 'go'."""
    return "change this first" if any(f.stops_work for f in findings) else "go"
