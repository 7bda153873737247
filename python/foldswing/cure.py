"""What would keep a panel off its neighbours: larger corner radii, the pivot moved, a body moved."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from foldswing import _core
from foldswing._core.gate import Sizes
from foldswing._values import value
from foldswing.gate import Holes

__all__ = ["Radii", "body_move", "pivot_move", "smallest_radii"]

WITHIN = 0.005  # mm; a gap that prints as the wanted one is the wanted one


@value
class Radii:
    """Corner radii of a gate's lower edge, and what they leave.

    Attributes
    ----------
    inner, outer : float
        Smallest radius with which the corner keeps the gaps, mm; NaN where none does.
    fits : bool
        Both were found, and together they are no longer than the edge.
    gaps : tuple of float
        Of the gate rounded so, to each body over the turn, mm; empty unless they fit.
    """

    inner: float
    outer: float
    fits: bool
    gaps: tuple[float, ...]


def smallest_radii(
    sizes: Sizes, holes: Any, opening_deg: Any, bodies: Iterable[tuple[Any, Any]], *, within: Any = WITHIN
) -> Radii:
    """Return the smallest radii of the lower inner and outer corner that leave the gaps wanted.

    Each corner is looked at by itself: what a face or the flat of the edge comes to is in `gaps`.

    Parameters
    ----------
    sizes : gate.Sizes
        The gate; the lower corner radii in it are not used.
    holes : gate.Holes or point
        Both holes, or one pivot for both, mm.
    opening_deg : angle
        From shut to the last stop; 0 to 360 degrees.
    bodies : iterable of (Outline or list of them, wanted)
        Fixed bodies, and the gap wanted to each over the whole turn, mm.
    within : length
        A gap counts as kept when it lacks no more than this, mm.

    Returns
    -------
    Radii
        To within 0.001 mm.

    Raises
    ------
    InvalidInput
        When a number is out of its range, or no body is given.
    """
    panel_hole, body_hole = (holes.gate, holes.jamb) if isinstance(holes, Holes) else (holes, holes)
    return Radii(*_core.cure.smallest_radii(sizes, panel_hole, body_hole, opening_deg, bodies, within))


def pivot_move(
    panel: Any,
    bodies: Iterable[tuple[Any, Any]],
    *,
    pivot: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    way: Any,
    most: Any,
    within: Any = WITHIN,
) -> float:
    """Return how far the pivot must go one way so that the panel, shut where it is, keeps every gap.

    Parameters
    ----------
    panel : Outline or list of them
        As it hangs shut.
    bodies : iterable of (Outline or list of them, wanted)
        Fixed bodies, and the gap wanted to each, mm.
    pivot : point
        Where it is now, mm.
    turn_from_deg, turn_to_deg : angle
        The turn, degrees.
    way : vector
        Of any length but zero.
    most : length
        The farthest it may go, mm.
    within : length
        A gap counts as kept when it lacks no more than this, mm.

    Returns
    -------
    float
        mm; 0 where the gaps are kept already, NaN where they are kept nowhere on the way.

    Raises
    ------
    InvalidInput
        When a number is out of its range, or there is no panel or no body.
    """
    return _core.cure.pivot_move(panel, bodies, pivot, turn_from_deg, turn_to_deg, way, most, within)


def body_move(
    panel: Any,
    body: Any,
    wanted: Any,
    *,
    pivot: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    way: Any,
    most: Any,
    within: Any = WITHIN,
) -> float:
    """Return how far one body must go one way so that the panel keeps the gap wanted to it; see pivot_move."""
    return _core.cure.body_move(panel, body, wanted, pivot, turn_from_deg, turn_to_deg, way, most, within)
