"""What the names of parameters and result fields stand for: the one table behind sweep attributes and plot labels.

Units are those of every public boundary; names that end in _deg are degrees whether or not they are listed.
"""

from __future__ import annotations

from typing import NamedTuple


class Quantity(NamedTuple):
    """Unit and long name of a quantity; `xy` where its last axis holds x and y."""

    unit: str
    long_name: str
    xy: bool = False


_MM = {
    "allowance": "bend allowance",
    "allowance_from_coupon": "bend allowance",
    "along": "distance along the arc from its top",
    "behind": "behind the outer face",
    "bend_allowance": "bend allowance",
    "bend_deduction": "bend deduction",
    "best_forgiveness": "how far off the hole may be at the best angle",
    "best_gap": "smallest gap at the best angle",
    "cell": "side of a cell",
    "centre_from_end": "bend centre line from the end of the blank",
    "chord": "chord",
    "chord_error": "reading error of the chord",
    "clear_of_bend": "hole to the tangent line of its bend",
    "clearance": "clearance",
    "corner_gap": "gap where two flanges meet",
    "deduction": "bend deduction",
    "deduction_error": "standard error of the deduction",
    "deduction_from_coupon": "bend deduction",
    "depth": "deepest overlap",
    "developed_length": "developed length",
    "distance": "distance",
    "drop": "drop below the face",
    "flat_length": "length of the flat strip",
    "forgiveness": "how far off the hole may be",
    "gap": "smallest gap",
    "height": "height",
    "heights": "height above the chord",
    "inner_length": "length along the inner face",
    "inner_radius": "radius of the inner face",
    "inside_setback": "inside setback",
    "largest": "largest radius",
    "leg_a": "first leg of the bent strip",
    "leg_b": "second leg of the bent strip",
    "length": "length",
    "length_error": "reading error of a length",
    "lengths": "length",
    "longest": "longest allowance of the rules",
    "lower_bound": "lower bound of the gap",
    "middle_length": "length along the middle of the layer",
    "offset": "offset",
    "outer_length": "length along the outer face",
    "outer_radius": "radius of the outer face",
    "past": "past the edge of the flange",
    "pin_diameter": "pin diameter",
    "pin_diameters": "pin diameter",
    "radii": "radius",
    "radius": "radius",
    "radius_error": "reading error of the inside radius",
    "radius_standard_error": "standard error of the radius",
    "reading_error": "standard error of a reading",
    "residuals": "miss",
    "rise": "rise",
    "rise_error": "reading error of the rise",
    "rms": "root mean square miss",
    "sagitta": "sagitta",
    "setback": "outside setback",
    "shortest": "shortest allowance of the rules",
    "sight": "sight line",
    "sight_from_end": "sight line from the end of the blank",
    "smallest": "smallest radius",
    "spread": "how far the rules differ",
    "standard_error": "standard error",
    "station": "distance from the middle of the chord",
    "stations": "distance from the middle of the chord",
    "stray": "departure of the motion from its poses",
    "tangent": "tangent line",
    "tangent_from_end": "tangent line from the end of the blank",
    "thickness": "thickness",
    "thickness_error": "reading error of the thickness",
    "thicknesses": "thickness",
    "tolerance": "tolerance",
    "width": "width",
    "x": "across, outward to the right",
    "y": "up",
}
_MM_XY = {
    "best_pivot": "best place for the pivot",
    "near": "spot wanted",
    "centre": "centre",
    "centre_standard_error": "standard error of the centre",
    "centroid": "centre of the area",
    "edge": "edge of the panel",
    "face_point": "point of the face",
    "feet": "nearest point of the circle",
    "fixed_point": "nearest point of the fixed body",
    "panel_point": "nearest point of the panel",
    "pins": "centre of a pin hole",
    "pivot": "pivot",
    "point": "point",
    "point_a": "nearest point of the first",
    "point_b": "nearest point of the second",
    "points": "point",
    "sight_after": "sight line after the bend",
    "sight_before": "sight line before the bend",
    "tangent_after": "tangent line after the bend",
    "tangent_before": "tangent line before the bend",
    "target": "point to land on",
}
_DEGREES = {
    "angle": "angle at the centre",
    "bend_angle_from_included": "bend angle",
    "turn_to_face": "turn to the face",
    "turn_to_level": "turn to level",
}
_NUMBERS = {
    "at": "place in the motion, 0 to 1",
    "best_hole": "which of the holes at the best angle",
    "best_score": "how well the best angle meets the wish",
    "body": "index of the fixed body",
    "chance": "chance of as much scatter by reading alone",
    "chi_squared": "chi-squared",
    "clear_until": "place in the motion before which nothing touches",
    "constant": "k-factor",
    "deepest_at": "place in the motion of the deepest overlap",
    "error": "standard error",
    "high": "upper end of 95 in 100",
    "hole": "which of the holes",
    "index_a": "which of the first",
    "index_b": "which of the second",
    "iterations": "steps of the search",
    "k_factor": "k-factor",
    "k_factor_from_allowance": "k-factor",
    "k_factor_from_coupon": "k-factor",
    "k_factor_from_deduction": "k-factor",
    "k_factors": "k-factors",
    "level": "k-factor at the middle of the strips",
    "level_error": "standard error of the k-factor at the middle",
    "low": "lower end of 95 in 100",
    "mitre_limit": "longest mitre over the distance",
    "part": "which part of the profile",
    "ratio_from": "smallest inside radius over thickness",
    "ratio_to": "largest inside radius over thickness",
    "ratios": "inside radius over thickness",
    "residual": "k-factor beyond the fit",
    "s": "place in the motion, 0 to 1",
    "score": "how well an angle meets the wish",
    "slope": "k-factor per tenfold radius over thickness",
    "slope_error": "standard error of the slope",
    "spare": "strips beyond the number fitted",
    "strip_error": "standard error of a strip's k-factor",
    "strip_k": "k-factor of a strip",
    "strip_ratio": "inside radius over thickness of a strip",
}
_PER_MM = {"curvature": "curvature", "curvature_standard_error": "standard error of the curvature"}

_TABLE = {
    **{name: Quantity("mm", words) for name, words in _MM.items()},
    **{name: Quantity("mm", words, xy=True) for name, words in _MM_XY.items()},
    **{name: Quantity("degree", words) for name, words in _DEGREES.items()},
    **{name: Quantity("1", words) for name, words in _NUMBERS.items()},
    **{name: Quantity("mm-1", words) for name, words in _PER_MM.items()},
    "area": Quantity("mm2", "area"),
    "clear_area": Quantity("mm2", "area that clears"),
    "fouled_area": Quantity("mm2", "area that fouls"),
    "undecided_area": Quantity("mm2", "area too close to call"),
    "direction": Quantity("1", "direction", xy=True),
    "face": Quantity("1", "direction along the face", xy=True),
    "face_normal": Quantity("1", "outward from the face", xy=True),
    "normal": Quantity("1", "normal of the line", xy=True),
    "wanted": Quantity("1", "wanted direction", xy=True),
}


def quantity(name: str) -> Quantity | None:
    """Return what a parameter or field of that name is, or None where the table has no word for it."""
    found = _TABLE.get(name)
    if found is None and name.endswith("_deg"):
        return Quantity("degree", name[: -len("_deg")].replace("_", " "))
    return found
