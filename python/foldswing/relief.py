"""What must be taken off a fixed body, or off the panel, so that the panel swings past with a gap. Lengths mm."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._core.plane import Outline, Path
from foldswing._values import value

__all__ = ["FreePivots", "Relief", "free_pivots", "off_body", "off_panel", "swept_room"]

Sections = Path | Outline | Iterable[Path | Outline]


@value
class Relief:
    """What is cut off one part.

    Attributes
    ----------
    cuts : tuple of Path
        Closed, with true arcs, ready to be scribed with a compass: what is cut counter-clockwise, what stays inside it
        clockwise.
    outlines : tuple of Outline
        The same with chords: they hold the true relief and exceed it by no more than the sagitta.
    area, depth : float
        mm^2, and how deep the cut goes in at most from the part's own edge, mm.
    deepest : ndarray, shape (2,)
        Where that is; NaN where nothing is cut.
    exact : bool
        Whether every side was found on a line or a true arc; else some are left as chords, within the sagitta.
    explanation : str
        A sentence for the bench.
    """

    cuts: tuple[Path, ...]
    outlines: tuple[Outline, ...]
    area: float
    depth: float
    deepest: np.ndarray
    exact: bool
    explanation: str


@value
class FreePivots:
    """Where the pivot may sit so that nothing need come off anything, among the places asked about.

    Attributes
    ----------
    outlines : tuple of Outline
        Places that are clear for certain over the whole turn; empty where there is none.
    best_pivot : ndarray, shape (2,)
        Farthest from trouble; NaN where there is none.
    forgiveness : float
        How far off any way the hole may be there, mm.
    clear_area, undecided_area, fouled_area : float
        Of the places asked about, mm^2.
    explanation : str
        Where, or that no such place exists, or that smaller cells must decide.
    """

    outlines: tuple[Outline, ...]
    best_pivot: np.ndarray
    forgiveness: float
    clear_area: float
    undecided_area: float
    fouled_area: float
    explanation: str


def _sections(given: Sections, name: str) -> list[Path]:
    """Return every section as a closed path."""
    out: list[Path] = []
    for one in [given] if isinstance(given, (Path, Outline)) else given:
        if isinstance(one, Outline):
            if one.holes:
                raise InvalidInput(f"{name}: an outline with holes; give the sections without them")
            out.append(Path(one.points, [0.0] * len(one.points), closed=True))
        else:
            out.append(one)
    return out


def off_body(
    panel: Sections,
    bodies: Sections,
    *,
    pivot: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    gap: Any = 0.0,
    sagitta: Any = 0.05,
) -> Relief:
    """Return what must be taken off fixed bodies so that the panel swings past with a gap.

    Parameters
    ----------
    panel : Path, Outline, or several
        Closed sections without holes, where they hang shut; they move together. Arcs of a path count as arcs.
    bodies : Path, Outline, or several
        The fixed ones.
    pivot : point
        mm.
    turn_from_deg, turn_to_deg : angle
        From shut, within +-360 degrees.
    gap : length
        Left all the way, mm; 0: they just touch.
    sagitta : length
        How far the outlines may exceed the true relief, mm, >= 0.002.

    Returns
    -------
    Relief
        Nothing in it where nothing need be cut; cuts nowhere deeper than the sagitta are left out.

    Raises
    ------
    InvalidInput
        When a group is empty, a path is open or crosses itself, or a number is out of its range.

    Notes
    -----
    The panel grown by the gap and swept is bounded by pieces of the grown panel where the turn begins and ends, and by
    circles about the pivot: so true arcs are known, and put back where chords follow them.

    Examples
    --------
    >>> from foldswing import Outline
    >>> bar = Outline([(-30, -10), (0, -10), (0, 300), (-30, 300)])
    >>> sill = Outline([(-100, -60), (100, -60), (100, -12), (-100, -12)])
    >>> hollow = off_body(bar, sill, pivot=(-15, 5), turn_to_deg=-90, gap=2)
    >>> round(hollow.depth, 1), round(float(min(hollow.cuts[0].radii)), 1)
    (6.2, 23.2)
    """
    return Relief(
        *_core.relief.off_body(
            _sections(panel, "panel"), _sections(bodies, "bodies"), pivot, turn_from_deg, turn_to_deg, gap, sagitta
        )
    )


def off_panel(
    panel: Sections,
    bodies: Sections,
    *,
    pivot: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    gap: Any = 0.0,
    sagitta: Any = 0.05,
) -> Relief:
    """Return what must be taken off the panel instead, as it hangs shut; otherwise as `off_body`."""
    return Relief(
        *_core.relief.off_panel(
            _sections(panel, "panel"), _sections(bodies, "bodies"), pivot, turn_from_deg, turn_to_deg, gap, sagitta
        )
    )


def free_pivots(
    panel: Outline | list[Outline],
    bodies: Outline | list[Outline],
    *,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    within: Outline | list[Outline],
    gap: Any = 0.0,
    cell: Any = 0.5,
) -> FreePivots:
    """Return every pivot about which the panel, shut where it is, swings past with the gap and nothing comes off.

    Parameters
    ----------
    panel, bodies : Outline or list of Outlines
        What turns, as it hangs shut, and what stands still.
    turn_from_deg, turn_to_deg : angle
        The turn, the same about every pivot.
    within : Outline or list of Outlines
        The places asked about.
    gap : length
        Left all the way, mm.
    cell : length
        Side of the smallest square of pivots judged as one, mm.

    Returns
    -------
    FreePivots
        Certified, as hinge.pivot_window without landings.

    Raises
    ------
    InvalidInput
        As hinge.pivot_window.

    Examples
    --------
    >>> from foldswing import Outline
    >>> bar = Outline([(-30, -10), (0, -10), (0, 300), (-30, 300)])
    >>> sill = Outline([(-100, -60), (100, -60), (100, -12), (-100, -12)])
    >>> low = Outline([(-30, -10), (-25, -10), (-25, 10), (-30, 10)])
    >>> free_pivots(bar, sill, turn_to_deg=-90, within=low, gap=1, cell=1).explanation
    'No pivot among the places asked about swings past with 1.0 mm left all the way without something coming off.'
    >>> high = Outline([(-30, -10), (0, -10), (0, 40), (-30, 40)])
    >>> round(free_pivots(bar, sill, turn_to_deg=-90, within=high, gap=1, cell=1).forgiveness)
    4
    """
    return FreePivots(*_core.relief.free_pivots(panel, bodies, turn_from_deg, turn_to_deg, gap, within, cell))


def swept_room(
    panel: Sections,
    *,
    pivot: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    gap: Any = 0.0,
    sagitta: Any = 0.05,
) -> tuple[Outline, ...]:
    """Return the room the panel takes over the turn, grown by the gap; holds the true region, exceeds it by `sagitta`.

    Raises
    ------
    InvalidInput
        As `off_body`.
    """
    return _core.relief.swept_room(_sections(panel, "panel"), pivot, turn_from_deg, turn_to_deg, gap, sagitta)
