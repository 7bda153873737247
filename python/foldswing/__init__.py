"""Geometry for people who make one-off moving panels and formed skins by hand.

Lengths are mm, angles degrees (counter-clockwise positive), forces N, masses kg, moments N·m. Topics are modules and
load on first use: plane, motion, hinge, clearance, tolerance, relief, seam, stay, folding_stay, fitting, adjustment,
gate, flip_panel, opening, axis, station, crowned_edge, cure, virtual_shop, bend, bend_check, bend_order, cut_list,
metals, general_tolerance, blank, carry, tray, ready_section, edge_finish, curved_flange, arc, development, units,
sweep, plot, drawing, template, sheet; job, evaluation, pictures, report and output carry a whole job.
"""

from __future__ import annotations

import importlib
from typing import Any

from foldswing._core import InvalidInput, __version__
from foldswing._core.plane import Outline, Pose

_VALUES = ("InvalidInput", "Outline", "Pose", "__version__")

__all__ = [
    "InvalidInput",
    "Outline",
    "Pose",
    "__version__",
    "adjustment",
    "arc",
    "axis",
    "bend",
    "bend_check",
    "bend_order",
    "blank",
    "carry",
    "clearance",
    "crowned_edge",
    "cure",
    "curved_flange",
    "cut_list",
    "development",
    "drawing",
    "edge_finish",
    "evaluation",
    "fitting",
    "flip_panel",
    "folding_stay",
    "gate",
    "general_tolerance",
    "hinge",
    "job",
    "metals",
    "motion",
    "opening",
    "output",
    "pictures",
    "plane",
    "plot",
    "ready_section",
    "relief",
    "report",
    "seam",
    "sheet",
    "station",
    "stay",
    "sweep",
    "template",
    "tolerance",
    "tray",
    "units",
    "virtual_shop",
]


def __getattr__(name: str) -> Any:
    if name in __all__ and name not in _VALUES:
        return importlib.import_module(f"foldswing.{name}")
    msg = f"module 'foldswing' has no attribute {name!r}"
    raise AttributeError(msg)


def __dir__() -> list[str]:
    return __all__
