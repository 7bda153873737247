"""What must be taken off a fixed body, or off the panel, so that the panel swings past with a gap. Lengths mm."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._core.plane import Outline, Path
from foldswing._values import value

__all__ = ["Relief", "off_body", "off_panel", "swept_room"]

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
