"""Hems, wired edges, lock seams, tabs and slots: what they add to an edge.

Each addition is given twice: by the rule that the trade prints, which leaves thickness out, and by the neutral line of
the fold itself. `finished` puts the fold on a profile, whose outer flat then measures over the finished edge.
"""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core.blank import Bend, Flat, Profile
from foldswing._values import value

__all__ = ["EdgeFinish", "TabsAndSlots", "finished", "hem", "lock_seam", "tabs_and_slots", "wired_edge"]


@value
class EdgeFinish:
    """What a finished edge adds to a blank.

    Attributes
    ----------
    tail : tuple of Bend and Flat
        The fold, from the sheet outward; bent up.
    addition : float
        Blank past the finished edge by the neutral line, mm. Of a lock seam: of both edges together, past the middle.
    rule : float
        The same by the printed rule, mm; NaN where none was found.
    edge_from_line : float
        How far the finished edge stands past what the flat's length is measured to, mm: half the width for a seam.
    rule_text, source, note : str
        The rule, where it was read, and what to mind.
    """

    tail: tuple[Bend | Flat, ...]
    addition: float
    rule: float
    edge_from_line: float
    rule_text: str
    source: str
    note: str


@value
class TabsAndSlots:
    """Tabs along an edge and the slots they go through, for plug welds.

    Attributes
    ----------
    centres : (n,) ndarray
        Of tabs and slots, from the start of the edge, mm.
    tab_width, tab_height : float
        Along the edge, and past it, mm.
    slot_length, slot_width : float
        mm.
    between, to_end : float
        Solid metal between slots, and from the outer ones to the ends of the edge, mm.
    """

    centres: np.ndarray
    tab_width: float
    tab_height: float
    slot_length: float
    slot_width: float
    between: float
    to_end: float


def hem(
    kind: Literal["closed", "open", "teardrop", "double"],
    width: Any,
    *,
    opening: Any = 0.0,
    thickness: Any,
    k_factor: Any,
) -> EdgeFinish:
    """Return what a hem adds to an edge.

    Rule: the width of the hem; twice the width for a double hem (US Navy training manual Steelworker, volume 2, Edges).

    Parameters
    ----------
    kind : {'closed', 'open', 'teardrop', 'double'}
        Folded flat; with a gap; with a round fold whose edge touches; folded over twice.
    width : length
        Over the bend to the hem's own edge, mm.
    opening : length
        Gap of an open hem, inside diameter of a teardrop's fold, mm; 0 for the others.
    thickness : length
        mm, > 0.
    k_factor : number
        Of the fold, 0 to 1.

    Returns
    -------
    EdgeFinish

    Raises
    ------
    InvalidInput
        When the width is less than the fold takes: the least is named.

    Examples
    --------
    >>> made = hem("closed", 8, thickness=1, k_factor=0.44)
    >>> made.rule, round(made.addition, 3)
    (8.0, 7.382)
    """
    return _core.edge_finish.hem(kind, width, opening, thickness, k_factor)


def wired_edge(wire_diameter: Any, *, thickness: Any, k_factor: Any, turned_deg: Any = 270.0) -> EdgeFinish:
    """Return what a wired edge adds.

    Rule: 2.5 wire diameters (US Navy training manual Steelworker, volume 2, Edges, Fig 2-56).

    Parameters
    ----------
    wire_diameter : length
        mm, > 0.
    thickness : length
        mm, > 0.
    k_factor : number
        0 to 1.
    turned_deg : angle
        How far the sheet is wrapped round the wire, degrees, 180 to 330.

    Returns
    -------
    EdgeFinish

    Examples
    --------
    >>> wired_edge("1/8 in", thickness=1, k_factor=0.44).rule / 25.4  # the manual prints 5/16
    0.3125
    """
    return _core.edge_finish.wired_edge(wire_diameter, thickness, k_factor, turned_deg)


def lock_seam(kind: Literal["single", "double"], width: Any, *, thickness: Any, k_factor: Any) -> EdgeFinish:
    """Return one edge's half of a lock seam, and what both edges add together.

    Rule: 3 widths for the single (grooved) seam (practitioner page; thickness ignored). For the double seam no rule was
    read: the geometry of the folds stands alone.

    Parameters
    ----------
    kind : {'single', 'double'}
        A hook on either edge; the same folded over once more.
    width : length
        Of the finished seam, mm.
    thickness : length
        mm, > 0.
    k_factor : number
        0 to 1.

    Returns
    -------
    EdgeFinish
        Lengths of the two sheets run to the middle of the seam.

    Raises
    ------
    InvalidInput
        When the seam is too narrow for its folds: the least width is named.
    """
    return _core.edge_finish.lock_seam(kind, width, thickness, k_factor)


def finished(profile: Profile, *, start: EdgeFinish | None = None, end: EdgeFinish | None = None) -> Profile:
    """Return a profile with one or both edges finished.

    Parameters
    ----------
    profile : Profile
        Its first or last flat then measures over the finished edge (of a seam: to its middle).
    start, end : EdgeFinish, optional
        What is done to the edge.

    Returns
    -------
    Profile

    Raises
    ------
    InvalidInput
        When the flat is too short for its finish, or the fold runs into the section.

    Examples
    --------
    >>> from foldswing.ready_section import angle
    >>> bracket = angle(25, 40, thickness=1, radius=1, k_factor=0.4)
    >>> made = hem("closed", 8, thickness=1, k_factor=0.44)
    >>> round(finished(bracket, end=made).developed_length - bracket.developed_length, 3)
    7.382
    """
    return _core.edge_finish.finished(profile, start, end)


def tabs_and_slots(
    edge: Any,
    count: int,
    tab_width: Any,
    *,
    thickness: Any,
    through: Any,
    proud: Any = 0.0,
    clearance: Any = 0.2,
) -> TabsAndSlots:
    """Return tabs along an edge and the slots they go through, evenly spread, half a spacing from the ends.

    Parameters
    ----------
    edge : length
        Length of the joint, mm.
    count : int
        Number of tabs, 1 to 10000.
    tab_width : length
        Along the edge, mm.
    thickness : length
        Of the sheet with the tabs, mm.
    through : length
        Thickness of the sheet with the slots, mm.
    proud : length
        How far the tabs stand out of it, mm, >= 0; 0 for plug welds.
    clearance : length
        Slot over tab in either direction, mm, >= 0 (0.2: common practice, no source).

    Returns
    -------
    TabsAndSlots

    Raises
    ------
    InvalidInput
        When less than a thickness of metal would be left between slots.
    """
    return _core.edge_finish.tabs_and_slots(edge, count, tab_width, thickness, through, proud, clearance)
