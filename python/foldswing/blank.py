"""Flat patterns: a section as flats and bends, and the pan with four flanges.

A bend angle is the angle the metal is *turned through* (see `foldswing.bend`). A folded section is drawn with the first
flat's lower face along +x from the origin and the thickness above it; a bend 'up' turns what follows it up.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core.bend import Coupon
from foldswing._core.blank import Bend, Flat, Pan, Profile
from foldswing._core.plane import Path
from foldswing._values import value

__all__ = [
    "Bend",
    "BendLine",
    "Coupon",
    "EaredBlank",
    "Flat",
    "Folded",
    "Pan",
    "PanLine",
    "PinEar",
    "Profile",
    "developed_length",
    "with_ears",
]


@value
class BendLine:
    """Where one bend lies on the blank, told from either end.

    Attributes
    ----------
    part : int
        Its place among the parts of the profile.
    angle_deg : float
        Bend angle, turned through, degrees.
    radius : float
        Inside radius, mm.
    direction : str
        'up' or 'down'.
    allowance, deduction : float
        What the bend holds, and what it takes off the summed outside lengths, mm; the deduction is NaN at 180.
    k_factor : float
        What the allowance implies. Outside 0 to 1 where a plain deduction and the radius disagree; NaN at 0 degrees.
    centre : float
        Bend centre line: the middle of the bend allowance, mm from the start of the blank.
    tangent : (2,) ndarray
        Tangent lines: where the metal starts and stops curving, mm from the start.
    sight : (2,) ndarray
        Sight lines: one inside radius from the tangent line that goes under the brake's nose, mm from the start. First
        with the metal before the bend under the nose, then with the metal after it.
    centre_from_end, tangent_from_end, sight_from_end : float, (2,) ndarray, (2,) ndarray
        The same lines in the same order, mm from the end of the blank.
    """

    part: int
    angle_deg: float
    radius: float
    direction: str
    allowance: float
    deduction: float
    k_factor: float
    centre: float
    tangent: np.ndarray
    sight: np.ndarray
    centre_from_end: float
    tangent_from_end: np.ndarray
    sight_from_end: np.ndarray


@value
class Folded:
    """A section drawn back from its blank.

    Attributes
    ----------
    outside : Path
        The face that is outside at the first bend, from the start of the blank.
    inside : Path
        The other face.
    outline : Path
        Both faces and the cut ends, closed, counter-clockwise.
    outside_is : str
        'lower' or 'upper': which face of the blank `outside` was on the bench.
    """

    outside: Path
    inside: Path
    outline: Path
    outside_is: str


@value
class PanLine:
    """One bend of a pan on its blank, between the notches.

    Attributes
    ----------
    side : str
        'left', 'right', 'bottom' or 'top'.
    line : BendLine
        Positions from the left edge (left, right) or the bottom edge (bottom, top) of the blank.
    centre, tangent_before, tangent_after, sight_before, sight_after : (2, 2) ndarray
        The two ends of each line on the blank, mm from its lower left corner. Before and after are in the order of
        `line`: from the left or the bottom edge.
    """

    side: str
    line: BendLine
    centre: np.ndarray
    tangent_before: np.ndarray
    tangent_after: np.ndarray
    sight_before: np.ndarray
    sight_after: np.ndarray


@value
class PinEar:
    """A pin through one flange of a pan, with an ear round it where the flange leaves too little metal.

    Parameters
    ----------
    side : {'left', 'right', 'bottom', 'top'}
        Flange it goes through.
    from_side : {'left', 'right', 'bottom', 'top'}
        Neighbouring side, from whose outer face `along` is measured.
    along, behind : length
        Of the pin: from that outer face, and from the outer face of the base, mm.
    radius : length
        Of the ear, mm; > 0.
    pin_diameter : length
        mm; > 0.
    """

    side: str
    from_side: str
    along: Any
    behind: Any
    radius: Any
    pin_diameter: Any


@value
class EaredBlank:
    """A pan's blank with ears standing past its edges.

    Attributes
    ----------
    outline : Path
        Edge of the blank, from the lower left corner of the smallest rectangle that holds it: the sheet as sheared.
    length, width : float
        Of that rectangle, mm.
    past : (4,) ndarray
        How far ears stand past the edges of the flanges left, right, bottom, top, mm.
    bend_lines : tuple of PanLine
        From the same corner.
    pins : (n, 2) ndarray
        Centres of the pin holes, in the order of the ears.
    pin_diameters : (n,) ndarray
        mm.
    clear_of_bend : (n,) ndarray
        Edge of each hole to the tangent line of its flange's bend, mm; negative where the bend pulls it oval.
    """

    outline: Path
    length: float
    width: float
    past: np.ndarray
    bend_lines: tuple[PanLine, ...]
    pins: np.ndarray
    pin_diameters: np.ndarray
    clear_of_bend: np.ndarray


def with_ears(pan: Pan, ears: Sequence[PinEar]) -> EaredBlank:
    """Return the blank of a pan with ears round its pins.

    An ear is an arc about the pin; where the pin lies past the flange's edge, its sides come straight down to it.

    Parameters
    ----------
    pan : Pan
        The pan.
    ears : sequence of PinEar
        At most one on each flange.

    Returns
    -------
    EaredBlank
        Everything moved so that the rectangle to shear has its lower left corner at the origin.

    Raises
    ------
    InvalidInput
        When two ears share a flange, `from_side` is not next to `side`, or the pin lies off the flange.

    Examples
    --------
    >>> pan = Pan(330, 178, 14, thickness=1.2, radius=1.2, k_factor=0.42)
    >>> made = with_ears(pan, [PinEar("left", "bottom", 16, 10, 10, 6)])
    >>> round(made.length - pan.blank_length, 9)  # the pin is 4 in from the flange's edge
    6.0
    """
    return _core.blank.with_ears(pan, ears)


def developed_length(
    lengths: Any,
    angles_deg: Any,
    radii: Any,
    thickness: Any,
    k_factor: Any,
    *,
    measured: Literal["outside", "inside", "flat", "overall"] = "outside",
    invalid: Literal["raise", "nan"] = "raise",
) -> Any:
    """Developed length of many sections of n + 1 flats and n bends at once.

    Parameters
    ----------
    lengths : (..., n + 1) lengths
        The flats, mm, >= 0.
    angles_deg : angle or (..., n) angles
        Bend angles, turned through, degrees, 0 to 180.
    radii : length or (..., n) lengths
        Inside radii, mm, >= 0.
    thickness : length or (...) lengths
        mm, > 0.
    k_factor : number or (...) numbers
        0 to 1.
    measured : {'outside', 'inside', 'flat', 'overall'}
        What all the lengths are measured to (see `Flat`).
    invalid : {'raise', 'nan'}
        What a bad section of an array does.

    Returns
    -------
    float or (...) ndarray
        Developed length, mm. Leading axes broadcast together. The section is not drawn: only `Profile` looks whether
        it crosses itself.

    Raises
    ------
    InvalidInput
        When a value breaks its rule or a flat comes out negative; the place in an array is named.

    Examples
    --------
    >>> round(developed_length([14.0, 330.0, 14.0], 90.0, 1.2, 1.2, 0.42), 1)
    353.8
    """
    return _core.blank.developed_length(
        lengths, angles_deg, radii, thickness, k_factor, measured=measured, invalid=invalid
    )
