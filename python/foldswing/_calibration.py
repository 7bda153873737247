"""From bent test strips, read as well as a shop can read, to a k-factor or a deduction and how sure it is."""

from __future__ import annotations

from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._values import value

_SCATTER = 0.01  # chance below which the strips are said to disagree (common practice, no source)


@value
class KEstimate:
    """A k-factor with its uncertainty.

    Attributes
    ----------
    k_factor, error : float
        Best value, and its standard deviation.
    low, high : float
        The true one lies between with 95 in 100.
    """

    k_factor: float
    error: float
    low: float
    high: float


@value
class Calibration:
    """What one or more test strips say of a metal on one machine.

    Attributes
    ----------
    kind : {'pooled', 'curve'}
        One k-factor for all, or k = level + slope (log10(radius/thickness) - middle).
    strip_k, strip_error, strip_ratio, residual : ndarray
        Of each strip: k-factor as read, its standard deviation, radius/thickness, and how far it lies off the fit.
    level, slope, middle, level_error, slope_error : float
        The fit; level and slope are independent. slope and middle are 0 where pooled.
    ratio_from, ratio_to : float
        Radius/thickness of the strips.
    chi_squared, spare, chance : float, int, float
        Scatter against the reading errors, strips beyond the number fitted, and the chance of as much by reading alone.
    deduction, deduction_error : float
        Of strips that all have one angle, radius and thickness, mm; NaN otherwise.
    warnings : tuple of str
        What is to be said.
    """

    kind: str
    strip_k: np.ndarray
    strip_error: np.ndarray
    strip_ratio: np.ndarray
    residual: np.ndarray
    level: float
    slope: float
    middle: float
    level_error: float
    slope_error: float
    ratio_from: float
    ratio_to: float
    chi_squared: float
    spare: int
    chance: float
    deduction: float
    deduction_error: float
    warnings: tuple[str, ...]

    def at(self, radius: Any, thickness: Any) -> KEstimate:
        """Return the k-factor for a bend, with its uncertainty.

        Parameters
        ----------
        radius, thickness : length
            Inside radius >= 0 (on a curve > 0) and thickness > 0, mm.

        Raises
        ------
        InvalidInput
            When a value breaks its rule.
        """
        fit = (self.kind == "curve", self.middle, self.level, self.slope, self.level_error, self.slope_error)
        return KEstimate(*_core.bend.estimate(*fit, radius, thickness))

    def covers(self, radius: float, thickness: float) -> bool:
        """Whether a bend lies between the strips' own radius/thickness, or within a tenth of them."""
        return self.ratio_from * 0.9 <= radius / thickness <= self.ratio_to * 1.1

    @property
    def deduction_low(self) -> float:
        """Lower end of the deduction's 95 in 100, mm."""
        return self.deduction - _core.bend.two_sided_95 * self.deduction_error

    @property
    def deduction_high(self) -> float:
        """Upper end of the deduction's 95 in 100, mm."""
        return self.deduction + _core.bend.two_sided_95 * self.deduction_error


def calibrate(
    flat_length: Any,
    leg_a: Any,
    leg_b: Any,
    radius: Any,
    thickness: Any,
    *,
    length_error: Any,
    radius_error: Any = 0.0,
    thickness_error: Any = 0.0,
    angle_error_deg: Any = 0.0,
    angle_deg: Any = None,
    included_deg: Any = None,
    measured: str = "outside",
    curve: bool = False,
) -> Calibration:
    """Return the k-factor of one or more bent test strips, with its uncertainty.

    Parameters
    ----------
    flat_length, leg_a, leg_b : length or array
        Of each strip: its length before bending, and its legs after, mm.
    radius, thickness : length or array
        Inside radius and thickness of each strip, mm; one number stands for all.
    length_error : length
        Standard deviation of one reading of a length, mm, > 0: a third of all readings are off by more.
    radius_error, thickness_error, angle_error_deg : length, length, angle
        Of one reading of the inside radius, the thickness, the bend angle; 0 where taken as exact, which is said.
    angle_deg, included_deg : angle or array, optional
        Bend angle turned through, or the included angle in its place; 90 when neither is given.
    measured : {'outside', 'inside', 'flat', 'overall'}
        Where the legs are measured to; see `k_factor_from_coupon`.
    curve : bool
        Fit a curve over radius/thickness, in the form of the standard's formula; asks strips of two ratios at least.

    Returns
    -------
    Calibration
        `at(radius, thickness)` gives k-factor, standard deviation and 95 in 100 interval.

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Notes
    -----
    K = (BA/a - R)/T of each strip, its error carried through to first order, every reading on its own; strips are
    weighted by what that leaves. On a curve the errors of R and T count on both axes (effective variance).

    Examples
    --------
    >>> strips = calibrate([50.0, 50.0], [26.06, 26.1], [26.08, 26.0], 1.2, 1.2, length_error=0.1)
    >>> k = strips.at(1.2, 1.2)
    >>> print(f"{k.k_factor:.2f} +- {k.error:.2f}, deduction {strips.deduction:.2f} +- {strips.deduction_error:.2f} mm")
    0.42 +- 0.06, deduction 2.12 +- 0.12 mm
    """
    if angle_deg is not None and included_deg is not None:
        raise InvalidInput("included_deg must be given alone, got angle_deg as well")
    turned = 90.0 if angle_deg is None else angle_deg
    if included_deg is not None:
        turned = _core.bend.bend_angle_from_included(included_deg)
    rows, is_curve, *fit = _core.bend.calibrate(
        flat_length, leg_a, leg_b, radius, thickness, turned, measured, length_error, radius_error, thickness_error,
        angle_error_deg, curve,
    )  # fmt: skip
    middle, level, slope, level_error, slope_error, low, high, chi, spare, chance, deduction, deduction_error = fit
    k, error, ratio, residual = np.array(rows).T
    exact = [
        word
        for word, e in (("radius", radius_error), ("thickness", thickness_error), ("angle", angle_error_deg))
        if isinstance(e, (int, float)) and e == 0.0
    ]
    said = []
    if exact:
        verb = "is" if len(exact) == 1 else "are"
        said.append(
            f"{', '.join(exact)} {verb} taken as exact: say how well each is read, or the interval is too narrow"
        )
    if chance < _SCATTER:
        said.append(
            "the strips disagree by more than their reading errors allow: one was cut, bent or read otherwise than "
            "the rest; bend it again before trusting the mean"
        )
    if not ((k >= 0.0) & (k <= 1.0)).all():
        said.append(
            "a strip puts the neutral line outside the metal: check its legs, how they were measured, radius and angle"
        )
    if spare == 0:
        said.append("no strip to spare: a mistake in one reading would not show; bend one more")
    return Calibration(
        "curve" if is_curve else "pooled", k, error, ratio, residual, level, slope, middle, level_error, slope_error,
        low, high, chi, int(spare), chance, deduction, deduction_error, tuple(said),
    )  # fmt: skip
