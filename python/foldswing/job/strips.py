"""The test strips in a shop file, and from them the k-factor of a job's sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from foldswing import bend
from foldswing.job.keys import key, keyed

_SAME = 0.02  # mm; thicknesses or radii this near are the same sheet and tool (common practice, no source)


@keyed
class StripErrors:
    """How well the shop reads a test strip: standard deviations, of which a third of all readings exceed one."""

    length: float = key("length", "Of the strip's length and of each flange.", most=10)
    radius: float = key("length", "Of the inside radius; left out, taken as exact.", default=0.0, zero=True, most=10)
    thickness: float = key("length", "Of the thickness; left out, taken as exact.", default=0.0, zero=True, most=5)
    angle: float = key("angle", "Of the bend angle; left out, taken as exact.", default=0.0, zero=True, most=20)


@keyed
class Coupon:
    """A test strip bent on this shop's brake; several of one metal are taken together."""

    metal: str = key("text", "The metal, as a job's [[material]] names it.")
    thickness: float = key("length", "Measured thickness, or a gauge with its series.")
    inside_radius: float = key("length", "Inside radius of the bend.", zero=True)
    flat: float = key("length", "Length of the strip before bending.")
    leg_a: float = key("length", "One flange after bending.")
    leg_b: float = key("length", "The other flange.")
    measured: str = key(
        "word", "How the flanges were measured.", default="outside", allowed=("outside", "inside", "flat")
    )
    bend_angle: float = key("angle", "Angle it was bent through from flat.", default=90.0, most=179)
    note: str | None = key("text", "Date, die, or what else tells it apart.", default=None)


def figure(
    coupons: Sequence[Coupon], errors: StripErrors | None, metal: str, thickness: float, radius: float
) -> dict[str, Any] | None:
    """Return k-factor, its error and its basis from the strips of a metal; None where none of them speaks of the bend.

    Strips of the very sheet and radius are pooled. Otherwise those of the metal are joined by a curve over
    radius/thickness, where they have two ratios at least and the bend lies within them or near.
    """
    of_metal = [c for c in coupons if c.metal.casefold() == metal.casefold()]
    same = [c for c in of_metal if abs(c.thickness - thickness) <= _SAME and abs(c.inside_radius - radius) <= _SAME]
    curve = [c for c in of_metal if c.inside_radius > 0.0]
    if errors is None or not of_metal:
        return None
    if same:
        ways = {c.measured for c in same}
        found = _calibrated([c for c in same if c.measured == same[0].measured] if len(ways) > 1 else same, errors)
        said = "1 test strip" if found.strip_k.size == 1 else f"{found.strip_k.size} test strips"
    elif len({c.inside_radius / c.thickness for c in curve}) > 1 and len({c.measured for c in curve}) == 1:
        found = _calibrated(curve, errors, curve=True)
        if radius <= 0.0 or not found.covers(radius, thickness):
            return None
        said = f"curve through {len(curve)} test strips"
    else:
        return None
    k = found.at(radius, thickness)
    doubt = f"; {found.warnings[0]}" if found.warnings else ""
    return {
        "k_factor": k.k_factor,
        "k_error": min(1.0, k.error),
        "basis": f"{said} of this shop, 95 in 100: {k.low:.3f} to {k.high:.3f}{doubt}",
    }


def _calibrated(strips: Sequence[Coupon], errors: StripErrors, *, curve: bool = False) -> bend.Calibration:
    return bend.calibrate(
        [c.flat for c in strips],
        [c.leg_a for c in strips],
        [c.leg_b for c in strips],
        [c.inside_radius for c in strips],
        [c.thickness for c in strips],
        angle_deg=[c.bend_angle for c in strips],
        measured=strips[0].measured,
        length_error=errors.length,
        radius_error=errors.radius,
        thickness_error=errors.thickness,
        angle_error_deg=errors.angle,
        curve=curve,
    )
