"""How near a moving panel comes to fixed bodies, where, and all the room it takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core.motion import Motion
from foldswing._core.plane import Outline
from foldswing._values import value

__all__ = ["Approach", "Gap", "closest_approaches", "minimum_gap", "swept_outline"]


@value
class Gap:
    """The smallest gap over a motion; every field is an array, batch axis first, where the motion is a batch.

    Attributes
    ----------
    gap : float
        Smallest gap found, mm; 0 on contact or overlap.
    lower_bound : float
        No smaller gap occurs anywhere in the motion, mm; equal to `gap` for a plain turn.
    at : float
        s in [0, 1] of the first of equal minima, or of the first contact found.
    clear_until : float
        No contact before this s: 1 where there is none at all; on contact [clear_until, at] brackets the first touch.
    turn_deg : float
        Angle of the panel's pose at `at`, degrees.
    panel_point, fixed_point : ndarray, shape (2,)
        The two nearest points, in fixed coordinates, with the panel as it stands at `at`: exactly `gap` apart.
    body : int
        Index of the body in `fixed`.
    """

    gap: Any
    lower_bound: Any
    at: Any
    clear_until: Any
    turn_deg: Any
    panel_point: np.ndarray
    fixed_point: np.ndarray
    body: Any


@value
class Approach:
    """The closest approach to one body on one leg of the travel, or the overlap there.

    Attributes
    ----------
    body, leg : str
        The body's name, and the leg's, such as 'shut to level'.
    gap, lower_bound, at, clear_until, turn_deg, panel_point, fixed_point
        As in `Gap`, over this leg; every s is that of the whole motion.
    depth : float
        Greatest distance of a corner of either inside the other, mm; 0 where there is no overlap.
    deepest_at, deepest_turn_deg : float
        s and pose angle of the deepest overlap; NaN where depth is 0.
    """

    body: str
    leg: str
    gap: float
    lower_bound: float
    depth: float
    at: float
    clear_until: float
    turn_deg: float
    panel_point: np.ndarray
    fixed_point: np.ndarray
    deepest_at: float
    deepest_turn_deg: float


def minimum_gap(
    panel: Outline | Sequence[Outline], fixed: Outline | Sequence[Outline], motion: Motion, tolerance: Any = 0.01
) -> Gap:
    """Smallest gap between a moving panel and fixed bodies, over the whole motion and not at samples of it.

    Parameters
    ----------
    panel : Outline or sequence of Outlines
        What moves, in panel coordinates; several outlines move together.
    fixed : Outline or sequence of Outlines
        The bodies, in fixed coordinates. They may overlap each other; holes are open space.
    motion : Motion
        One motion, or a batch (a PivotHinge of arrays).
    tolerance : length
        How closely a motion other than a plain turn is searched, mm; >= 0.0001. Not used for a plain turn.

    Returns
    -------
    Gap
        With .gap, .lower_bound, .at, .panel_point, .fixed_point and more; arrays for a batch of motions.

    Raises
    ------
    InvalidInput
        When nothing is given to compare, or the tolerance is out of range.

    Notes
    -----
    A plain turn is answered in closed form. Any other motion is subdivided until gap - lower_bound <= tolerance, plus
    what the motion says it may depart from its poses (the `stray` of a Tabulated).

    Examples
    --------
    >>> from foldswing import Outline
    >>> from foldswing.hinge import PivotHinge
    >>> gate = Outline([(0, 0), (100, 0), (100, 10), (0, 10)])
    >>> post = Outline([(90, 60), (120, 60), (120, 90), (90, 90)])
    >>> round(minimum_gap(gate, post, PivotHinge((0, 0), 0, 30)).gap, 3)
    7.668
    """
    return Gap(*_core.clearance.minimum_gap(panel, fixed, motion, tolerance))


def closest_approaches(
    panel: Outline | Sequence[Outline],
    fixed: Mapping[str, Outline | Sequence[Outline]] | Outline | Sequence[Outline],
    motion: Motion,
    stops: Sequence[tuple[str, float]] = (("start", 0.0), ("end", 1.0)),
    tolerance: Any = 0.01,
) -> tuple[Approach, ...]:
    """Closest approach to each body on each leg of the travel: one smallest number would hide the next one.

    Parameters
    ----------
    panel : Outline or sequence of Outlines
        What moves, in panel coordinates.
    fixed : mapping of names to Outlines (or sequences of them), or a sequence of Outlines
        The bodies; without names they are called 'body 1', 'body 2', ...
    motion : Motion
        One motion.
    stops : sequence of (name, s)
        Where the motion rests, s ascending; a leg runs from each to the next.
    tolerance : length
        As in `minimum_gap`; overlaps are sought ten times as closely.

    Returns
    -------
    tuple of Approach
        Bodies in order, legs within them.

    Raises
    ------
    InvalidInput
        As `minimum_gap`, and when stops are too few, unnamed, outside [0, 1] or not ascending.

    Examples
    --------
    >>> from foldswing import Outline
    >>> from foldswing.hinge import PivotHinge
    >>> gate = Outline([(0, 0), (100, 0), (100, 10), (0, 10)])
    >>> posts = {"low": Outline([(104, -9), (120, -9), (120, -2)]), "high": Outline([(0, 70), (9, 120), (-9, 120)])}
    >>> stops = [("shut", 0), ("half", 0.5), ("open", 1)]
    >>> for row in closest_approaches(gate, posts, PivotHinge((0, 0), 0, 60), stops):
    ...     print(row.body, row.leg, round(row.gap, 2))
    low shut to half 9.85
    low half to open 59.79
    high shut to half 50.62
    high half to open 25.0
    """
    if isinstance(fixed, Outline):
        fixed = [fixed]
    if not isinstance(fixed, Mapping):
        fixed = {f"body {i}": outline for i, outline in enumerate(fixed, start=1)}
    rows = _core.clearance.closest_approaches(panel, dict(fixed), motion, stops, tolerance)
    return tuple(Approach(*row) for row in rows)


def swept_outline(panel: Outline | Sequence[Outline], motion: Motion, sagitta: Any = 0.1) -> tuple[Outline, ...]:
    """All the room the panel takes during the motion, the arcs of its corners included.

    Parameters
    ----------
    panel : Outline or sequence of Outlines
        What moves, in panel coordinates.
    motion : Motion
        One motion.
    sagitta : length
        How far the result may exceed the true region, mm; >= 0.001.

    Returns
    -------
    tuple of Outlines
        Disjoint, with holes where the panel leaves room; they contain the true region and exceed it nowhere by more
        than `sagitta` (and twice what the motion says it may depart from its poses).

    Raises
    ------
    InvalidInput
        When nothing is given to sweep, or the sagitta is out of range.

    Examples
    --------
    >>> from foldswing import Outline, plane
    >>> from foldswing.hinge import PivotHinge
    >>> bar = Outline([(0, 0), (100, 0), (100, 1), (0, 1)])
    >>> (room,) = swept_outline(bar, PivotHinge((0, 0), 0, 90))
    >>> round(plane.area(room))
    7961
    """
    outlines: tuple[Outline, ...] = _core.clearance.swept_outline(panel, motion, sagitta)
    return outlines
