"""In which order the bends of a section or a tray can be made on a brake, or why in none.

The brake is seen from its end, the operator at the right, the stop behind at the left. Every bend is turned up in it; a
bend that goes down on the part is made with the part turned over. The search is exact: the shape in the brake depends
only on which bends are made, so every set of bends that can be reached is tried.

Checked at every bend, over the whole turn: metal against tools and metal against metal, by subdivision with a bound on
how far any point moves, so that nothing between two steps is missed; and that the part comes off when the upper tool
lifts and it is raised and drawn straight out. Not checked: tilting the part in or out, springback and over-bend, sag of
the sheet, the bend zone itself while it forms.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core.bend_order import Brake
from foldswing._core.blank import Pan, Profile
from foldswing._values import value

__all__ = [
    "MOST_BENDS",
    "Brake",
    "Order",
    "Standing",
    "Step",
    "Tray",
    "invented_box_and_pan_brake",
    "invented_leaf_brake",
    "invented_press_brake",
    "obstacle",
    "search",
]

MOST_BENDS = 14  # of one part


@value
class Standing:
    """A tool as it stands at one moment.

    Attributes
    ----------
    name : str
        'nose', 'bed', 'leaf', 'punch' or 'die'.
    outline : (n, 2) ndarray
        Its corners, mm.
    """

    name: str
    outline: np.ndarray


@value
class Step:
    """One bend in the brake.

    Attributes
    ----------
    bend : int
        Which, counted from 0 from the start of the blank; of a tray the lengthwise section's bends come first.
    name : str
        What it is called.
    angle_deg : float
        Bend angle, turned through, degrees.
    at_gauge : str
        'start' or 'end': which end of the blank is behind, in the brake.
    face : str
        'up' or 'down': where the upper face of the blank looks.
    flipped, turned, quarter : bool
        Whether the part is turned over, end for end, or by a quarter onto its other pair of edges, before this bend.
    gauge, gauge_tangent : float
        From the stop to the line set under the tool (sight line; press brake: bend centre line), and to the tangent
        line on that side of the bend, mm.
    fingers : (n,) ndarray
        Widths of the finger set to use where flanges stand across the bend, mm; empty where none is asked for.
    before, after : (n, 2) ndarray
        Outline of the metal in the brake at the start and at the end of the bend, mm, as drawn: arcs in chords.
    tools_before, tools_after : tuple of Standing
        The tools as they stand then.
    """

    bend: int
    name: str
    angle_deg: float
    at_gauge: str
    face: str
    flipped: bool
    turned: bool
    quarter: bool
    gauge: float
    gauge_tangent: float
    fingers: np.ndarray
    before: np.ndarray
    after: np.ndarray
    tools_before: tuple[Standing, ...]
    tools_after: tuple[Standing, ...]

    @property
    def moves(self) -> tuple[str, ...]:
        """What is done with the part before this bend, in words."""
        told = ((self.flipped, "turn over"), (self.turned, "end for end"), (self.quarter, "quarter turn"))
        return tuple(what for asked, what in told if asked)


@value
class Order:
    """The best order of the bends, or why there is none.

    Attributes
    ----------
    status : str
        'found', or 'none': proved, since every set of bends that can be reached was tried.
    steps : tuple of Step
        The order with the fewest flips, then the fewest turns of either kind.
    flips, turns, quarters : int
        How often the part is turned over, end for end, and, of a tray, by a quarter: from the bends of one section to
        those of the other.
    orders : float
        How many orders of the bends can be bent.
    tried : int
        Bends tried, each in one shape of the metal and one way round.
    blocking : tuple of int
        Where there is none: the bends that block.
    explanation : str
        In the words of the shop.
    """

    status: str
    steps: tuple[Step, ...]
    flips: int
    turns: int
    quarters: int
    orders: float
    tried: int
    blocking: tuple[int, ...]
    explanation: str


@value
class Tray:
    """A tray: two sections that cross in their base.

    Attributes
    ----------
    lengthwise, crosswise : Profile
        The sections, of one thickness.
    base_lengthwise, base_crosswise : int
        Which of the flats of each is the base, counted from 0.
    """

    lengthwise: Profile
    base_lengthwise: int
    crosswise: Profile
    base_crosswise: int


def invented_leaf_brake() -> Brake:
    """Return a bench-size leaf brake of no make, invented to try things on."""
    return _core.bend_order.invented_leaf_brake()


def invented_box_and_pan_brake() -> Brake:
    """Return a bench-size leaf brake with fingers, of no make, invented to try things on."""
    return _core.bend_order.invented_box_and_pan_brake()


def invented_press_brake(v_opening: Any = 10.0) -> Brake:
    """Return a press brake of no make, invented to try things on.

    Parameters
    ----------
    v_opening : length
        Width of the V, mm, 4 to 60.
    """
    return _core.bend_order.invented_press_brake(v_opening)


def search(
    part: Profile | Pan | Tray,
    brake: Brake,
    *,
    gauge: Literal["behind", "front"] = "behind",
    names: Sequence[str] = (),
    flats: Sequence[str] = (),
    ends: Sequence[str] = (),
    made: Sequence[int] = (),
) -> Order:
    """Find the order in which the bends of a part can be made on a brake with the least turning over.

    Parameters
    ----------
    part : Profile, Pan or Tray
        At most 14 bends. Of a tray, corners are not looked at: that is what the notches are for. Where a flange of the
        other section already stands, the base must be the part that is held, a set of fingers must fit between what
        stands, the beam must clear it, and nothing may hang down.
    brake : Brake
        The brake.
    gauge : {'behind', 'front'}
        Where the stop is that the part is pushed against.
    names : sequence of str
        What the bends are called; a pan's are 'left', 'right', 'bottom', 'top' unless said otherwise.
    flats, ends : sequence of str
        What the flats, and start and end, are called in explanations; of a tray those of the lengthwise section first,
        four ends. Left out: 'flat 1', 'start', 'end'.
    made : sequence of int
        Bends made before, counted from 0, such as hems closed on the flat sheet: none of the steps.

    Returns
    -------
    Order
        With status 'found' or 'none'.

    Raises
    ------
    InvalidInput
        When there are too many bends, the names do not fit, or `made` names no bend.

    Examples
    --------
    >>> from foldswing.blank import Bend, Flat, Profile
    >>> channel = Profile([Flat(30), Bend(90, 1.5), Flat(120), Bend(90, 1.5), Flat(30)], 1.2, k_factor=0.42)
    >>> search(channel, invented_leaf_brake()).explanation
    'Make bend 1 and bend 2, in this order; the part is never turned over and never turned end for end.'
    """
    words = (list(names), list(flats), list(ends), list(made))
    if isinstance(part, Pan):
        part = Tray(part.lengthwise, 1, part.crosswise, 1)
        words = (list(names) or ["left", "right", "bottom", "top"], *words[1:])
    if isinstance(part, Tray):
        return _core.bend_order.search_tray(
            part.lengthwise, part.base_lengthwise, part.crosswise, part.base_crosswise, brake, gauge, *words
        )
    return _core.bend_order.search_section(part, brake, gauge, *words)


def obstacle(
    section: Profile,
    brake: Brake,
    made: Sequence[int],
    bend: int,
    *,
    at_gauge: Literal["start", "end"] = "start",
    gauge: Literal["behind", "front"] = "behind",
) -> str:
    """Tell what stands in the way of one bend when others are made already; an empty text where nothing does.

    Parameters
    ----------
    section : Profile
        The section.
    brake : Brake
        The brake.
    made : sequence of int
        Bends made already, counted from 0.
    bend : int
        The bend to make.
    at_gauge : {'start', 'end'}
        Which end of the blank is behind, in the brake.
    gauge : {'behind', 'front'}
        Where the stop is.

    Examples
    --------
    >>> from foldswing.blank import Bend, Flat, Profile
    >>> strip = Profile([Flat(5), Bend(90, 1.5), Flat(120)], 1.2, k_factor=0.42)
    >>> obstacle(strip, invented_leaf_brake(), [], 0)
    'only 2.3 mm of straight metal to hold under the nose, at least 8.0 mm wanted'
    """
    return _core.bend_order.obstacle(section, brake, list(made), bend, at_gauge, gauge)
