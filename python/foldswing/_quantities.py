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
    "along": "distance along the arc from its top",
    "allowance": "bend allowance",
    "bend_allowance": "bend allowance",
    "bend_deduction": "bend deduction",
    "chord": "chord",
    "chord_error": "reading error of the chord",
    "clearance": "clearance",
    "deduction": "bend deduction",
    "depth": "deepest overlap",
    "developed_length": "developed length",
    "distance": "distance",
    "drop": "drop below the face",
    "gap": "smallest gap",
    "height": "height above the chord",
    "heights": "height above the chord",
    "inner_length": "length along the inner face",
    "inner_radius": "radius of the inner face",
    "inside_setback": "inside setback",
    "largest": "largest radius",
    "length": "length",
    "lower_bound": "lower bound of the gap",
    "middle_length": "length along the middle of the layer",
    "offset": "offset",
    "outer_length": "length along the outer face",
    "outer_radius": "radius of the outer face",
    "radius": "radius",
    "radius_standard_error": "standard error of the radius",
    "reading_error": "standard error of a reading",
    "residuals": "miss",
    "rise": "rise",
    "rise_error": "reading error of the rise",
    "rms": "root mean square miss",
    "sagitta": "sagitta",
    "setback": "outside setback",
    "smallest": "smallest radius",
    "standard_error": "standard error",
    "station": "distance from the middle of the chord",
    "stations": "distance from the middle of the chord",
    "thickness": "thickness",
    "thicknesses": "thickness",
    "tolerance": "tolerance",
    "x": "across, outward to the right",
    "y": "up",
}
_MM_XY = {
    "centre": "centre",
    "centre_standard_error": "standard error of the centre",
    "feet": "nearest point of the circle",
    "fixed_point": "nearest point of the fixed body",
    "panel_point": "nearest point of the panel",
    "pivot": "pivot",
    "point": "point",
    "point_a": "nearest point of the first",
    "point_b": "nearest point of the second",
}
_DEGREES = {"angle": "angle at the centre"}
_NUMBERS = {
    "at": "place in the motion, 0 to 1",
    "body": "index of the fixed body",
    "clear_until": "place in the motion before which nothing touches",
    "deepest_at": "place in the motion of the deepest overlap",
    "index_a": "which of the first",
    "index_b": "which of the second",
    "iterations": "steps of the search",
    "k_factor": "k-factor",
    "s": "place in the motion, 0 to 1",
}
_PER_MM = {"curvature": "curvature", "curvature_standard_error": "standard error of the curvature"}

_TABLE = {
    **{name: Quantity("mm", words) for name, words in _MM.items()},
    **{name: Quantity("mm", words, xy=True) for name, words in _MM_XY.items()},
    **{name: Quantity("degree", words) for name, words in _DEGREES.items()},
    **{name: Quantity("1", words) for name, words in _NUMBERS.items()},
    **{name: Quantity("mm-1", words) for name, words in _PER_MM.items()},
    "direction": Quantity("1", "direction", xy=True),
    "normal": Quantity("1", "normal of the line", xy=True),
}


def quantity(name: str) -> Quantity | None:
    """Return what a parameter or field of that name is, or None where the table has no word for it."""
    found = _TABLE.get(name)
    if found is None and name.endswith("_deg"):
        return Quantity("degree", name[: -len("_deg")].replace("_", " "))
    return found
