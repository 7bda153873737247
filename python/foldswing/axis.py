"""One straight hinge axis through two pivots: its tilt, and how far a panel moves sideways as it turns about it.

Sections as in gate: x out, y up, seen from the left end as you stand outside; distances along the hinge count from the
left end of the opening to the right. A turn is counter-clockwise positive in that view.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from foldswing import _core
from foldswing._values import value

__all__ = ["Axis", "Tilt", "Turned", "at", "tilt", "turned"]


@value
class Axis:
    """The axis through a pivot of one section and a pivot of another.

    Attributes
    ----------
    left, right : (2,) ndarray
        Pivots, section axes, mm.
    left_at, right_at : float
        Where the two sections are, from the left end of the opening, mm; right_at > left_at.
    """

    left: np.ndarray
    left_at: float
    right: np.ndarray
    right_at: float


@value
class Tilt:
    """How an axis stands to the straight run of the opening.

    Attributes
    ----------
    angle_deg : float
        Between the two, 0 to 90 degrees.
    up, out : float
        Right pivot above and outward of the left one, mm; negative below and inward.
    """

    angle_deg: float
    up: float
    out: float


@value
class Turned:
    """Where a panel point is after a turn about an axis.

    Attributes
    ----------
    at : (2,) ndarray
        In section axes, mm.
    sideways : float
        How far it has moved along the opening, to the right positive, mm.
    off_section : float
        Distance of `at` from where a plain turn of its section would put it, mm.
    """

    at: np.ndarray
    sideways: float
    off_section: float


def at(axis: Axis, from_left: Any) -> np.ndarray:
    """Return the pivot (2,) in the section at `from_left`, mm; the axis runs on beyond both its pivots.

    Raises
    ------
    InvalidInput
        When a number is not finite or beyond 1e100 mm, or right_at is not beyond left_at.

    Examples
    --------
    >>> at(Axis((-10, -18), 0, (-11, -20), 1000), 500).tolist()
    [-10.5, -19.0]
    """
    return _core.axis.at(axis.left, axis.left_at, axis.right, axis.right_at, from_left)


def tilt(axis: Axis) -> Tilt:
    """Return how an axis stands to the straight run of the opening; errors as `at`."""
    return Tilt(*_core.axis.tilt(axis.left, axis.left_at, axis.right, axis.right_at))


def turned(axis: Axis, point: Any, from_left: Any, turn_deg: Any) -> Turned:
    """Turn a panel point about an axis, in space.

    Parameters
    ----------
    axis : Axis
        The axis.
    point : point
        Section axes, mm.
    from_left : length
        The section it is in, from the left end of the opening.
    turn_deg : angle
        Counter-clockwise positive in the view from the left end.

    Returns
    -------
    Turned
        Exact but for rounding; formed without differences, so that a slight tilt keeps its digits.

    Raises
    ------
    InvalidInput
        As `at`.

    Notes
    -----
    The rotation formula of Rodrigues, with u the unit vector along the axis and d the point's distance from the axis
    in its section: d cos + (u x d) sin + (1 - cos)(u.d) u. Own derivation of the parts along and within the section.

    Examples
    --------
    >>> sloping = Axis((0, 0), 0, (0, 10), 1000)
    >>> round(turned(sloping, (0, 100), 0, -90).sideways, 3)
    1.0
    """
    return Turned(*_core.axis.turned(axis.left, axis.left_at, axis.right, axis.right_at, point, from_left, turn_deg))
