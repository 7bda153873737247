"""Trays and boxes: a base, up to four flanges, returns turned in or out, corners notched, relieved and lapped.

A tray carries places of its folded panels to the blank (`place`, `path_on_blank`, `to_blank`) and back (`to_folded`).
"""

from __future__ import annotations

import numpy as np

from foldswing._core.tray import Return, Tray
from foldswing._values import value
from foldswing.blank import BendLine

__all__ = ["LapHole", "Return", "Tray", "TrayLine"]


@value
class TrayLine:
    """One bend of a tray on its blank.

    Attributes
    ----------
    kind : str
        'flange', 'return' or 'tab'.
    side : str
        Flange it belongs to: 'left', 'right', 'bottom' or 'top'.
    line : BendLine
        Positions from the left edge of the blank where the line runs bottom to top, else from its bottom edge.
    centre, tangent_before, tangent_after, sight_before, sight_after : (2, 2) ndarray
        The two ends of each line on the blank, mm.
    """

    kind: str
    side: str
    line: BendLine
    centre: np.ndarray
    tangent_before: np.ndarray
    tangent_after: np.ndarray
    sight_before: np.ndarray
    sight_after: np.ndarray


@value
class LapHole:
    """A hole of a lap, on the blank.

    Attributes
    ----------
    side : str
        Flange it is drilled in.
    in_tab : bool
        Through the tab, or through the flange the tab lies against.
    at : (2,) ndarray
        mm.
    diameter : float
        mm.
    """

    side: str
    in_tab: bool
    at: np.ndarray
    diameter: float
