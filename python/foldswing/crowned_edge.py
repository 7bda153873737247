"""A lid hinged along an edge that is itself an arc: no straight axis follows it.

The axis runs straight, right above or below the chord of the edge. A point of the edge above the axis goes back into
the body behind it as the lid opens; a point below the axis comes forward.
"""

from __future__ import annotations

from typing import Any, Literal

from foldswing import _core
from foldswing._values import value

__all__ = ["Swing", "swing"]


@value
class Swing:
    """What one straight axis does to a crowned edge, mm.

    Attributes
    ----------
    above_corners : float
        Height of the axis above the chord.
    middle_above : float
        The middle of the edge above the axis.
    back, most_back : float
        How far the middle has gone back into the body at the opening angle, and at most on the way there.
    corners_forward : float
        How far the corners have come forward, away from the body, at the opening angle.
    pins_above_skin : float
        Pins above the skin where the hinges sit; negative: below it.
    """

    above_corners: float
    middle_above: float
    back: float
    most_back: float
    corners_forward: float
    pins_above_skin: float


def swing(
    chord: Any, rise: Any, *, axis: Literal["corner", "skin", "crown"], from_middle: Any, opening_deg: Any
) -> Swing:
    """Return what one straight axis does to a crowned edge as the lid opens.

    Parameters
    ----------
    chord, rise : length
        Of the edge; chord > 0, 0 <= rise <= chord/2, mm.
    axis : {'corner', 'skin', 'crown'}
        The axis at the height of the corners, of the skin where the hinges sit, or of the crown.
    from_middle : length
        Distance of the hinges from the middle of the edge, 0 to chord/2.
    opening_deg : angle
        0 to 180 degrees.

    Returns
    -------
    Swing
        A point h above the axis goes back by h sin(opening) (plain geometry).

    Raises
    ------
    InvalidInput
        Naming the argument that breaks its rule.

    Examples
    --------
    >>> round(swing(1220, 38, axis="corner", from_middle=400, opening_deg=75).back, 1)
    36.7
    """
    return Swing(*_core.crowned_edge.swing(chord, rise, axis, from_middle, opening_deg))
