"""What one bend takes from the flat sheet: allowance, setback, deduction, and the k-factor behind them.

The bend angle is the angle the metal is *turned through*: 0 is flat, 90 a square corner, 180 folded back on itself. A
drawing often gives the *included* angle between the legs, 180 less it: say which by the keyword `included_deg`. The
inside radius runs from 0. The k-factor places the neutral line, the layer that keeps its length: its distance from the
inside face as a fraction of the thickness. Lengths are mm; every argument may be an array, broadcast with the others.
"""

from __future__ import annotations

from typing import Any, Literal

from foldswing import _core
from foldswing._bend_rules import (
    BendByRule,
    KTable,
    Rule,
    RuleRangeWarning,
    RuleSpread,
    by_rule,
    k_factor,
    rules,
    spread,
)
from foldswing._calibration import Calibration, KEstimate, calibrate
from foldswing._core import InvalidInput
from foldswing._core.bend import Coupon

__all__ = [
    "BendByRule",
    "Calibration",
    "Coupon",
    "KEstimate",
    "KTable",
    "Rule",
    "RuleRangeWarning",
    "RuleSpread",
    "allowance_from_coupon",
    "bend_allowance",
    "bend_angle_from_included",
    "bend_deduction",
    "by_rule",
    "calibrate",
    "deduction_from_coupon",
    "inside_setback",
    "k_factor",
    "k_factor_from_allowance",
    "k_factor_from_coupon",
    "k_factor_from_deduction",
    "rules",
    "setback",
    "spread",
]

_Invalid = Literal["raise", "nan"]
_Measured = Literal["outside", "inside", "flat", "overall"]


def _turned(angle_deg: Any, included_deg: Any) -> Any:
    """Bend angle from whichever of the two was given."""
    if included_deg is None:
        if angle_deg is None:
            raise InvalidInput("angle_deg must be given (the angle turned through), or included_deg, got neither")
        return angle_deg
    if angle_deg is not None:
        raise InvalidInput("included_deg must be given alone, got angle_deg as well")
    return _core.bend.bend_angle_from_included(included_deg)


def bend_angle_from_included(included_deg: Any, *, invalid: _Invalid = "raise") -> Any:
    """Bend angle (turned through) of an included angle (between the legs).

    Parameters
    ----------
    included_deg : angle or array of angles
        Angle between the legs, degrees, 0 to 180.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        180 - included_deg, degrees.

    Raises
    ------
    InvalidInput
        When an angle is not within 0 to 180; the message names it and its place in an array.

    Examples
    --------
    >>> bend_angle_from_included(120.0)
    60.0
    """
    return _core.bend.bend_angle_from_included(included_deg, invalid=invalid)


def bend_allowance(
    angle_deg: Any = None,
    radius: Any = None,
    thickness: Any = None,
    k_factor: Any = None,
    *,
    included_deg: Any = None,
    invalid: _Invalid = "raise",
) -> Any:
    """Length of metal in a bend, along the neutral line from tangent line to tangent line.

    Parameters
    ----------
    angle_deg : angle or array
        Bend angle, the angle the metal is turned through, degrees, 0 to 180.
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    k_factor : number or array
        Neutral line from the inside face as a fraction of the thickness, 0 to 1.
    included_deg : angle or array, optional
        The included angle (between the legs) in place of `angle_deg`.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Bend allowance, mm.

    Raises
    ------
    InvalidInput
        When a value breaks its rule; the message names it and its place in an array.

    Notes
    -----
    BA = a (R + K T), a the bend angle in radians: the arc of the neutral line.

    Examples
    --------
    >>> round(bend_allowance(90.0, 1.2, 1.2, 0.42), 3)
    2.677
    """
    angle_deg = angle_deg if included_deg is None and angle_deg is not None else _turned(angle_deg, included_deg)
    return _core.bend.bend_allowance(angle_deg, radius, thickness, k_factor, invalid=invalid)


def setback(
    angle_deg: Any = None,
    radius: Any = None,
    thickness: Any = None,
    *,
    included_deg: Any = None,
    invalid: _Invalid = "raise",
) -> Any:
    """Outside setback: from the tangent line to the mould point, where the two outside faces would meet.

    Parameters
    ----------
    angle_deg : angle or array
        Bend angle, the angle the metal is turned through, degrees, 0 to less than 180.
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    included_deg : angle or array, optional
        The included angle (between the legs) in place of `angle_deg`.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Setback, mm.

    Raises
    ------
    InvalidInput
        When a value breaks its rule; 180 is refused, since parallel faces have no mould point: dimension a fold-back to
        its tangent lines, or overall.

    Notes
    -----
    SB = (R + T) tan(a/2), AC 43.13-1B table 4-7 and FAA-H-8083-31 chapter 4. The tangent is taken as the cotangent of
    the complement above 90 degrees.

    Examples
    --------
    >>> setback(90.0, 4.0, 1.0)
    5.0
    """
    angle_deg = angle_deg if included_deg is None and angle_deg is not None else _turned(angle_deg, included_deg)
    return _core.bend.setback(angle_deg, radius, thickness, invalid=invalid)


def inside_setback(
    angle_deg: Any = None, radius: Any = None, *, included_deg: Any = None, invalid: _Invalid = "raise"
) -> Any:
    """Inside setback: from the tangent line to the point where the two inside faces would meet.

    Parameters
    ----------
    angle_deg : angle or array
        Bend angle, the angle the metal is turned through, degrees, 0 to less than 180.
    radius : length or array
        Inside radius, mm, >= 0.
    included_deg : angle or array, optional
        The included angle (between the legs) in place of `angle_deg`.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        R tan(a/2), mm.

    Raises
    ------
    InvalidInput
        When a value breaks its rule; 180 is refused as in `setback`.
    """
    angle_deg = angle_deg if included_deg is None and angle_deg is not None else _turned(angle_deg, included_deg)
    return _core.bend.inside_setback(angle_deg, radius, invalid=invalid)


def bend_deduction(
    angle_deg: Any = None,
    radius: Any = None,
    thickness: Any = None,
    k_factor: Any = None,
    *,
    included_deg: Any = None,
    invalid: _Invalid = "raise",
) -> Any:
    """Bend deduction: what to take off the summed outside lengths of the two legs to get the flat length.

    Parameters
    ----------
    angle_deg : angle or array
        Bend angle, the angle the metal is turned through, degrees, 0 to less than 180.
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    k_factor : number or array
        Neutral line from the inside face as a fraction of the thickness, 0 to 1.
    included_deg : angle or array, optional
        The included angle (between the legs) in place of `angle_deg`.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Deduction, mm. Above 90 degrees the outside lengths are to the mould point, which no calliper reaches.

    Raises
    ------
    InvalidInput
        When a value breaks its rule; 180 is refused as in `setback`.

    Notes
    -----
    BD = 2 SB - BA = (R + T)(2 tan(a/2) - a) + a T (1 - K): two terms that are never negative, so that flat bends keep
    their digits too.

    Examples
    --------
    >>> round(bend_deduction(90.0, 1.2, 1.2, 0.42), 2)
    2.12
    """
    angle_deg = angle_deg if included_deg is None and angle_deg is not None else _turned(angle_deg, included_deg)
    return _core.bend.bend_deduction(angle_deg, radius, thickness, k_factor, invalid=invalid)


def k_factor_from_allowance(
    allowance: Any, angle_deg: Any, radius: Any, thickness: Any, *, invalid: _Invalid = "raise"
) -> Any:
    """k-factor that a known bend allowance implies.

    Parameters
    ----------
    allowance : length or array
        Bend allowance, mm, >= 0.
    angle_deg : angle or array
        Bend angle, the angle the metal is turned through, degrees, more than 0 to 180.
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        K = (BA/a - R)/T.

    Raises
    ------
    InvalidInput
        When a value breaks its rule, or K falls outside 0 to 1: the measurements contradict each other.
    """
    return _core.bend.k_factor_from_allowance(allowance, angle_deg, radius, thickness, invalid=invalid)


def k_factor_from_deduction(
    deduction: Any, angle_deg: Any, radius: Any, thickness: Any, *, invalid: _Invalid = "raise"
) -> Any:
    """k-factor that a known bend deduction implies; with it the deduction at any other angle follows.

    Parameters
    ----------
    deduction : length or array
        Bend deduction, mm, >= 0.
    angle_deg : angle or array
        Bend angle the deduction was found at, turned through, degrees, more than 0 and less than 180.
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        K = 1 - (BD - (R + T)(2 tan(a/2) - a))/(a T).

    Raises
    ------
    InvalidInput
        When a value breaks its rule, or K falls outside 0 to 1: the measurements contradict each other.

    Examples
    --------
    >>> round(k_factor_from_deduction(2.12, 90.0, 1.2, 1.2), 2)
    0.42
    """
    return _core.bend.k_factor_from_deduction(deduction, angle_deg, radius, thickness, invalid=invalid)


def deduction_from_coupon(flat_length: Any, leg_a: Any, leg_b: Any, *, invalid: _Invalid = "raise") -> Any:
    """Bend deduction that one bent test strip shows: both legs measured outside, less the strip's flat length.

    Parameters
    ----------
    flat_length, leg_a, leg_b : length or array
        Length of the strip before bending, and its two legs afterwards measured to the mould point, mm, > 0.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        leg_a + leg_b - flat_length, mm. It belongs to this angle, radius, thickness and set-up only.

    Raises
    ------
    InvalidInput
        When a value breaks its rule, or the deduction would be negative.

    Examples
    --------
    >>> deduction_from_coupon(50.0, 26.0, 26.125)
    2.125
    """
    return _core.bend.deduction_from_coupon(flat_length, leg_a, leg_b, invalid=invalid)


def _by_measure(what: str, measured: str) -> Any:
    if measured not in ("outside", "inside", "flat", "overall"):
        raise InvalidInput(f"measured must be 'outside', 'inside', 'flat' or 'overall', got {measured!r}")
    return getattr(_core.bend, f"{what}_from_coupon_{measured}")


def k_factor_from_coupon(
    flat_length: Any,
    leg_a: Any,
    leg_b: Any,
    radius: Any,
    thickness: Any,
    *,
    angle_deg: Any = None,
    included_deg: Any = None,
    measured: _Measured = "outside",
    invalid: _Invalid = "raise",
) -> Any:
    """k-factor of one test strip: cut to length, bent once, its legs measured.

    Parameters
    ----------
    flat_length : length or array
        Length of the strip before bending, mm, > 0.
    leg_a, leg_b : length or array
        The two legs after bending, mm, > 0.
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    angle_deg : angle or array, optional
        Bend angle, the angle the strip was turned through, degrees, more than 0 to 180; 90 when neither is given.
    included_deg : angle or array, optional
        The included angle (between the legs) in place of `angle_deg`.
    measured : {'outside', 'inside', 'flat', 'overall'}
        Where the legs are measured to: the mould point of the outside faces, the meeting point of the inside faces, the
        tangent line, or over the bend with a calliper (90 degrees and more). At 90 'outside' and 'overall' agree.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        k-factor, 0 to 1.

    Raises
    ------
    InvalidInput
        When a value breaks its rule, or K falls outside 0 to 1: the measurements contradict each other.

    Notes
    -----
    BA = flat length - legs + 2 x what lies between tangent line and measuring point; K = (BA/a - R)/T. A leg read 0.1
    mm wrong moves K by 0.1/(a T): 0.05 at 90 degrees in 1.2 mm sheet. Average several strips.

    Examples
    --------
    >>> round(k_factor_from_coupon(50.0, 26.06, 26.06, 1.2, 1.2), 2)
    0.42
    """
    turned = 90.0 if angle_deg is None and included_deg is None else _turned(angle_deg, included_deg)
    return _by_measure("k_factor", measured)(flat_length, leg_a, leg_b, turned, radius, thickness, invalid=invalid)


def allowance_from_coupon(
    flat_length: Any,
    leg_a: Any,
    leg_b: Any,
    radius: Any,
    thickness: Any,
    *,
    angle_deg: Any = None,
    included_deg: Any = None,
    measured: _Measured = "outside",
    invalid: _Invalid = "raise",
) -> Any:
    """Bend allowance of one test strip; the arguments are those of `k_factor_from_coupon`.

    Parameters
    ----------
    flat_length, leg_a, leg_b, radius, thickness : length or array
        As in `k_factor_from_coupon`, mm.
    angle_deg, included_deg : angle or array, optional
        Bend angle turned through, or the included angle in its place; 90 when neither is given.
    measured : {'outside', 'inside', 'flat', 'overall'}
        Where the legs are measured to.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Bend allowance, mm, >= 0.

    Raises
    ------
    InvalidInput
        When a value breaks its rule, or the allowance would be negative.
    """
    turned = 90.0 if angle_deg is None and included_deg is None else _turned(angle_deg, included_deg)
    return _by_measure("allowance", measured)(flat_length, leg_a, leg_b, turned, radius, thickness, invalid=invalid)
