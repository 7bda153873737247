"""From what the tape says of an opening to the panel that is cut for it.

Opening axes: seen from outside, x to the right along the sill from its left end, y square to it, upward; mm. Corners go
bottom left, bottom right, top right, top left; edges sill, right, head, left.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._values import value

__all__ = [
    "EDGES",
    "READINGS",
    "EdgeGap",
    "Opening",
    "OutOfSquare",
    "Panel",
    "Seal",
    "bare_gap",
    "deepest_panel",
    "fit",
    "given_panel",
    "longest_panel",
    "matched_panel",
    "out_of_square",
    "painted_gap",
    "square_panel",
]

READINGS = ("width_top", "width_bottom", "height_left", "height_right", "diagonal_rising", "diagonal_falling")
EDGES = ("sill", "right", "head", "left")


@value
class OutOfSquare:
    """How a fabricator says that an opening is not square, mm.

    Attributes
    ----------
    corners : (4,) ndarray
        For each corner: put a square to the sill (to the head, at the upper corners); how far the far end of the jamb
        stands off its blade. Positive: the jamb closes in (under 90 degrees); negative: it opens out.
    diagonals, widths, heights : float
        Rising less falling diagonal, width at the head less at the sill, left height less right.
    """

    corners: np.ndarray
    diagonals: float
    widths: float
    heights: float


@value
class Opening:
    """An opening; numbers are NaN where there are none.

    Attributes
    ----------
    status : {'checked', 'misread', 'decided', 'assumed', 'impossible'}
        All six were read and agree; all six were read and one is wrong; five were read, which nothing checks; no
        diagonal was read, so the shape nearest square was assumed; no opening has these sizes.
    corners : (4, 2) ndarray
        Opening axes, mm.
    sizes, misfit : (6,) ndarray
        Sizes of the shape found in the order of READINGS, and what they are beyond the readings (NaN: not read), mm.
    worst_misfit : float
        The largest misfit without its sign, mm.
    worst : str or None
        Whose it is.
    should_read : (6,) ndarray
        What the other five make of each reading; NaN unless all six were read.
    suspect : str or None
        With status 'misread': the reading without which the opening comes out at least twice as square as without any
        other. Any five readings agree, so nothing but squareness can tell; None where two are alike.
    square : OutOfSquare
        How far out of square it is.
    explanation : str
        The same in words of the shop.
    """

    status: str
    corners: np.ndarray
    sizes: np.ndarray
    misfit: np.ndarray
    worst_misfit: float
    worst: str | None
    should_read: np.ndarray
    suspect: str | None
    square: OutOfSquare
    explanation: str


@value
class Seal:
    """Seal or rubber on an edge, mm: the painted gap must stay between both heights along the whole edge.

    Attributes
    ----------
    free : float
        Height with nothing on it; more than squeezed.
    squeezed : float
        Least height it can be pressed to, >= 0.
    """

    free: float
    squeezed: float


@value
class EdgeGap:
    """The gap along one edge, mm.

    Attributes
    ----------
    edge : str
        One of EDGES.
    wanted, paint : float
        Least gap as stated; paint on both faces together.
    seal : Seal or None
        On this edge.
    needed : float
        Bare: what the wanted gap, or the seal and paint, ask for at least.
    least_bare, greatest_bare, least_painted, greatest_painted : float
        What there is; negative where metal or paint overlap.
    state : {'kept', 'tight', 'leaks', 'will not shut'}
        Never less than needed and touched by its seal all along; less than needed; wider than the seal is free; paint,
        seal or metal in the way.
    """

    edge: str
    wanted: float
    paint: float
    seal: Seal | None
    needed: float
    least_bare: float
    greatest_bare: float
    least_painted: float
    greatest_painted: float
    state: str


@value
class Panel:
    """A panel in its opening, bare metal; numbers are NaN where there is none.

    Attributes
    ----------
    status : {'fits', 'tight', 'leaks', 'will not shut', 'none'}
        The worst of its gaps; 'none' when no panel keeps the gaps wanted.
    corners : (4, 2) ndarray
        Opening axes, mm.
    sides : (4,) ndarray
        Lengths in the order of EDGES, mm.
    diagonal_rising, diagonal_falling : float
        Bottom left to top right, top left to bottom right: to check the cut panel with, mm.
    gaps : tuple of EdgeGap
        In the order of EDGES.
    explanation : str
        In words of the shop.
    """

    status: str
    corners: np.ndarray
    sides: np.ndarray
    diagonal_rising: float
    diagonal_falling: float
    gaps: tuple[EdgeGap, ...]
    explanation: str


def fit(
    width_top: Any,
    width_bottom: Any,
    height_left: Any,
    height_right: Any,
    *,
    diagonal_rising: Any = None,
    diagonal_falling: Any = None,
    reading_error: Any = 1.0,
) -> Opening:
    """Return the opening that fits what was read with the tape.

    Five sizes decide a shape of four corners and the sixth checks it. With all six the sum of squared misfits is
    least; with one diagonal the shape is the one these sizes give; with none, of all shapes with these sides, the one
    whose corners have the least sum of squared cosines.

    Parameters
    ----------
    width_top, width_bottom, height_left, height_right : length
        Edge to edge, from 0.001 to 1e6 mm.
    diagonal_rising, diagonal_falling : length or None
        Bottom left to top right and top left to bottom right, seen from outside.
    reading_error : length
        A misfit beyond it means that a number was misread; >= 0, mm.

    Returns
    -------
    Opening
        Readings that no opening has give status 'impossible' and the reason.

    Raises
    ------
    InvalidInput
        When a number is out of its range.

    Examples
    --------
    >>> found = fit(400, 400, 300, 300, diagonal_rising=510, diagonal_falling=500)
    >>> found.status, found.suspect, round(float(found.should_read[4]), 6)
    ('misread', 'diagonal_rising', 500.0)
    """
    status, corners, sizes, misfit, worst_misfit, worst, should_read, suspect, square, explanation = _core.opening.fit(
        width_top, width_bottom, height_left, height_right, diagonal_rising, diagonal_falling, reading_error
    )
    return Opening(
        status,
        corners,
        sizes,
        misfit,
        worst_misfit,
        worst,
        should_read,
        suspect,
        OutOfSquare(*square),
        explanation,
    )


def out_of_square(opening: Any) -> OutOfSquare:
    """Return how far an opening, or four corners (4, 2) in opening axes, is out of square."""
    return OutOfSquare(*_core.opening.out_of_square(_corners(opening)))


def bare_gap(painted: Any, paint_panel: Any, paint_body: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Return the bare gap that leaves `painted` once both faces have their paint, mm; arrays broadcast.

    Parameters
    ----------
    painted : length
        Any number.
    paint_panel, paint_body : length
        On a face of the panel and of the body, >= 0.
    invalid : {'raise', 'nan'}
        What bad elements of an array give.

    Returns
    -------
    float or ndarray
        mm.

    Examples
    --------
    >>> bare_gap(4.0, 0.25, 0.25)
    4.5
    """
    return _core.opening.bare_gap(painted, paint_panel, paint_body, invalid=invalid)


def painted_gap(bare: Any, paint_panel: Any, paint_body: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Return what paint on both faces leaves of a bare gap, mm; negative where it overlaps. See bare_gap."""
    return _core.opening.painted_gap(bare, paint_panel, paint_body, invalid=invalid)


def square_panel(
    opening: Any,
    gaps: Any,
    *,
    hinge: str = "sill",
    gaps_are: Literal["bare", "painted"] = "bare",
    paint_panel: Any = 0.0,
    paint_body: Any = 0.0,
    seals: Mapping[str, Seal] | None = None,
) -> Panel:
    """Return the largest rectangle that keeps every gap, set parallel to the hinge side at exactly its gap.

    Parameters
    ----------
    opening : Opening or (4, 2) array
        As found, or its corners: counter-clockwise from the bottom left, none of them straight or pointing inward.
    gaps : length, four lengths, or mapping
        Least gap wanted, square to the opening's edge: one for all, in the order of EDGES, or by edge; >= 0, mm.
    hinge : {'sill', 'right', 'head', 'left'}
        The edge it is hinged at.
    gaps_are : {'bare', 'painted'}
        Whether the gaps are between bare metal or with paint on.
    paint_panel, paint_body : length
        On a face of the panel and of the opening, >= 0.
    seals : mapping of edge to Seal
        Seals and rubbers; the gap is then never less than the squeezed height and the paint.

    Returns
    -------
    Panel
        Bare metal. Where the gaps leave no panel its status is 'none', with the reason.

    Raises
    ------
    InvalidInput
        When the opening is none (status 'impossible'), or a number or word is out of its range.

    Examples
    --------
    >>> square_panel([(0, 0), (1190, 0), (1190, 368), (0, 368)], {"sill": 4, "right": 5, "head": 4, "left": 5}).sides
    array([1180.,  360., 1180.,  360.])
    """
    return _panel(_core.opening.square_panel(*_asked(opening, gaps, seals, hinge, gaps_are), paint_panel, paint_body))


def matched_panel(
    opening: Any,
    gaps: Any,
    *,
    hinge: str = "sill",
    gaps_are: Literal["bare", "painted"] = "bare",
    paint_panel: Any = 0.0,
    paint_body: Any = 0.0,
    seals: Mapping[str, Seal] | None = None,
) -> Panel:
    """Return the panel whose every edge is parallel to the opening's, exactly the gap needed away; see square_panel."""
    return _panel(_core.opening.matched_panel(*_asked(opening, gaps, seals, hinge, gaps_are), paint_panel, paint_body))


def longest_panel(
    opening: Any,
    gaps: Any,
    *,
    across: Any,
    hinge: str = "sill",
    gaps_are: Literal["bare", "painted"] = "bare",
    paint_panel: Any = 0.0,
    paint_body: Any = 0.0,
    seals: Mapping[str, Seal] | None = None,
) -> Panel:
    """Return the longest rectangle that keeps the gaps at both ends, its size from the hinge side given.

    Parameters
    ----------
    opening, gaps, hinge, gaps_are, paint_panel, paint_body, seals
        As square_panel takes them.
    across : length
        Size from the hinge side to the other; > 0, mm. The gap at that side comes out as it does.

    Returns
    -------
    Panel
        As square_panel.

    Raises
    ------
    InvalidInput
        As square_panel.
    """
    asked = _asked(opening, gaps, seals, hinge, gaps_are)
    return _panel(_core.opening.longest_panel(*asked, paint_panel, paint_body, across))


def deepest_panel(
    opening: Any,
    gaps: Any,
    *,
    along: Any,
    hinge: str = "sill",
    gaps_are: Literal["bare", "painted"] = "bare",
    paint_panel: Any = 0.0,
    paint_body: Any = 0.0,
    seals: Mapping[str, Seal] | None = None,
) -> Panel:
    """Return the rectangle that reaches farthest from the hinge side, its size along the hinge side given.

    Parameters
    ----------
    opening, gaps, hinge, gaps_are, paint_panel, paint_body, seals
        As square_panel takes them.
    along : length
        Size along the hinge side; > 0, mm. Both ends get the same to spare.

    Returns
    -------
    Panel
        As square_panel; status 'none' where a panel of this length does not go in.

    Raises
    ------
    InvalidInput
        As square_panel.
    """
    asked = _asked(opening, gaps, seals, hinge, gaps_are)
    return _panel(_core.opening.deepest_panel(*asked, paint_panel, paint_body, along))


def given_panel(
    opening: Any,
    gaps: Any,
    *,
    along: Any,
    across: Any,
    hinge_gap: Any,
    hinge: str = "sill",
    gaps_are: Literal["bare", "painted"] = "bare",
    paint_panel: Any = 0.0,
    paint_body: Any = 0.0,
    seals: Mapping[str, Seal] | None = None,
) -> Panel:
    """Return the gaps round a rectangle of a given size.

    Parameters
    ----------
    opening, gaps, hinge, gaps_are, paint_panel, paint_body, seals
        As square_panel takes them.
    along, across : length
        Size along the hinge side and from it to the other; > 0, mm.
    hinge_gap : length
        Bare gap at the hinge edge, >= 0. Both ends get the same to spare beyond what they need.

    Returns
    -------
    Panel
        Where gaps are not kept its status says so.

    Raises
    ------
    InvalidInput
        As square_panel.
    """
    asked = _asked(opening, gaps, seals, hinge, gaps_are)
    return _panel(_core.opening.given_panel(*asked, paint_panel, paint_body, along, across, hinge_gap))


def _corners(opening: Any) -> Any:
    if not isinstance(opening, Opening):
        return opening
    if opening.status == "impossible":
        raise InvalidInput("opening must be one that can be, got status 'impossible'")
    return opening.corners


def _asked(
    opening: Any, gaps: Any, seals: Mapping[str, Seal] | None, hinge: str, gaps_are: str
) -> tuple[Any, Any, list[Any], str, bool]:
    if gaps_are not in {"bare", "painted"}:
        raise InvalidInput(f"gaps_are must be 'bare' or 'painted', got {gaps_are!r}")
    seals = seals or {}
    for what, given in (("gaps", gaps), ("seals", seals)):
        wrong = [name for name in given if name not in EDGES] if isinstance(given, Mapping) else []
        if wrong:
            raise InvalidInput(f"{what} must name edges among 'sill', 'right', 'head', 'left', got {wrong[0]!r}")
    if isinstance(gaps, Mapping):
        missing = [edge for edge in EDGES if edge not in gaps]
        if missing:
            raise InvalidInput(f"gaps must have one for each edge, got none for '{missing[0]}'")
        gaps = [gaps[edge] for edge in EDGES]
    pairs = [(seals[edge].free, seals[edge].squeezed) if edge in seals else None for edge in EDGES]
    return _corners(opening), gaps, pairs, hinge, gaps_are == "painted"


def _panel(made: Any) -> Panel:
    status, corners, sides, rising, falling, gaps, explanation = made
    rows = tuple(
        EdgeGap(edge, wanted, paint, Seal(*seal) if seal else None, *rest) for edge, wanted, paint, seal, *rest in gaps
    )
    return Panel(status, corners, sides, rising, falling, rows, explanation)
