"""What holds a panel open: length, load, slack and catch load of a strap, cable, chain or hooked bar.

One pin is on the body, one on the panel. Panel points are given as the panel hangs shut; turns from there,
counter-clockwise positive; weight acts along -y. Lengths mm, masses kg, forces N, moments N·m, energies J.
People lean, sit and stand on what a stay holds: these figures do not replace local codes and licensed practice.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core.plane import Pose
from foldswing._core.stay import GRAVITY
from foldswing._values import value

__all__ = [
    "GRAVITY",
    "Catch",
    "Choices",
    "Hold",
    "Load",
    "Mismatch",
    "Pins",
    "Strap",
    "catch_load",
    "choose",
    "grid",
    "hold",
    "mismatch",
    "stiffness",
    "stiffness_from_test",
    "strap",
    "taut_at",
]


@value
class Pins:
    """The two pins a stay runs between: on the body, and on the panel as it hangs shut; points, mm."""

    fixed: Any
    panel: Any


@value
class Load:
    """What the stays and the pivot carry; panel points as the panel hangs shut.

    Attributes
    ----------
    mass : mass
        Of the panel, kg.
    centre : point
        Its centre of mass, mm.
    edge : point
        Where people lean, and whose movement is told, mm.
    leaned : mass
        What leans there, kg.
    """

    mass: Any
    centre: Any
    edge: Any
    leaned: Any = 0.0


@value
class Hold:
    """A stay at one place of the panel.

    Attributes
    ----------
    state : str
        'holds'; 'goes slack' where the load turns the panel the other way; 'dead centre' where the stay points at the
        pivot and holds nothing.
    length, lever_arm : float
        Between the pins, and of the stay's pull about the pivot, mm.
    edge_per_mm : float
        Movement of the edge for 1 mm of stay; infinite at dead centre.
    moment : float
        Of the loads about the pivot, N·m; positive where it pulls on the stay.
    pull_each, pull_alone : float
        N, the stays sharing alike, and one carrying all; negative where it would have to push, NaN at dead centre.
    on_pivot : ndarray, shape (2,)
        What the panel presses on the pivot pins with, all together, N.
    """

    state: str
    length: float
    lever_arm: float
    edge_per_mm: float
    moment: float
    pull_each: float
    pull_alone: float
    on_pivot: np.ndarray


@value
class Strap:
    """One stay with a hook, hole or link for each stop.

    Attributes
    ----------
    shut : float
        Between the pins with the panel shut, mm.
    stops : tuple of Hold
        In the order asked.
    spacing : tuple of float
        From each stop's hook to the next one's, mm.
    slack_shut : tuple of float
        To stow with the panel shut, hooked for each stop, mm; negative where it cannot shut.
    worst : int
        Index of the stop with the greatest pull.
    taut_at_deg : tuple of float
        Turn at which the stay hooked for each stop first comes taut: the stop's own where all is well.
    """

    shut: float
    stops: tuple[Hold, ...]
    spacing: tuple[float, ...]
    slack_shut: tuple[float, ...]
    worst: int
    taut_at_deg: tuple[float, ...]


@value
class Mismatch:
    """What a difference in length between left and right does: `edge` mm out of level, `twist_deg` along the edge."""

    edge: float
    twist_deg: float


@value
class Catch:
    """What happens when the panel is let fall.

    Attributes
    ----------
    state : str
        'caught', or 'not caught' where the stay passes its longest place first.
    fall : float
        Of the edge, from its highest place on the way to where the stay comes taut, mm.
    energy : float
        Given up by the panel until then, J.
    pull_each : float
        Peak pull on each stay, N; NaN where not caught.
    stretch, edge_overrun : float
        Of each stay at the peak, and of the edge beyond where the stay is just taut, mm.
    """

    state: str
    fall: float
    energy: float
    pull_each: float
    stretch: float
    edge_overrun: float


@value
class Choices:
    """Pairs of pins that keep every limit, the best by the wish first.

    Attributes
    ----------
    fixed, panel : ndarray, shape (n, 2)
        The pins, mm.
    pull, edge_per_mm, longest, spacing, slack : ndarray, shape (n,)
        Of each pair: pull on each stay and movement of the edge per mm at the worst stop, greatest length, least
        distance between hooks (infinite with one stop), most to stow when shut.
    tried, no_hold, too_much, too_lively, too_long, too_close : int
        How many pairs were tried, and how many were left out for what.
    explanation : str
        A sentence for the bench.
    """

    fixed: np.ndarray
    panel: np.ndarray
    pull: np.ndarray
    edge_per_mm: np.ndarray
    longest: np.ndarray
    spacing: np.ndarray
    slack: np.ndarray
    tried: int
    no_hold: int
    too_much: int
    too_lively: int
    too_long: int
    too_close: int
    explanation: str


def _pins(pins: Pins) -> tuple[Any, Any]:
    return pins.fixed, pins.panel


def _load(load: Load) -> tuple[Any, Any, Any, Any]:
    return load.mass, load.centre, load.leaned, load.edge


def hold(pins: Pins, load: Load, pose: Pose, pivot: Any, *, count: int = 1) -> Hold:
    """Return what a stay does with the panel posed somewhere, turning (for this moment) about a pivot.

    Parameters
    ----------
    pins : Pins
        Where it runs.
    load : Load
        What it carries.
    pose : Pose
        Of the panel, from where it hangs shut.
    pivot : point
        Fixed coordinates, mm; of any hinge, the centre it turns about just then.
    count : int
        How many stays share the load, 1 to 10.

    Returns
    -------
    Hold
        Lengths mm, forces N, moment N·m.

    Raises
    ------
    InvalidInput
        When a number is out of its range, or the pins coincide there.

    Examples
    --------
    A shelf 1 m deep with 10 kg on its edge, held by a wire from the edge up the wall at 45 degrees:

    >>> from foldswing import Pose
    >>> held = hold(Pins((0, 1000), (1000, 0)), Load(0, (500, 0), (1000, 0), 10), Pose(0, 0, 0), (0, 0))
    >>> round(held.pull_alone, 1), round(held.edge_per_mm, 3)
    (138.7, 1.414)
    """
    return Hold(*_core.stay.hold(_pins(pins), _load(load), pose, pivot, count))


def strap(pins: Pins, load: Load, pivot: Any, turns_deg: Any, *, count: int = 1) -> Strap:
    """Return the stay's length, load and slack for each stop, and how far apart its hooks are.

    Parameters
    ----------
    pins, load : Pins, Load
        Where it runs, and what it carries.
    pivot : point
        mm.
    turns_deg : sequence of angles
        From shut to each stop, within +-360 degrees and not 0.
    count : int
        How many stays share the load, 1 to 10.

    Returns
    -------
    Strap
        Stops in the order asked.

    Raises
    ------
    InvalidInput
        As `hold`, or when there is no stop.

    Examples
    --------
    >>> pins = Pins((-40, 250), (-14, 232))
    >>> gate = Load("6.5 kg", (-14, 144), (-28, 324), "20 kg")
    >>> two = strap(pins, gate, (-10, -18), [-90, -125], count=2)
    >>> [round(stop.length, 1) for stop in two.stops], round(two.spacing[0], 1)
    ([384.8, 472.0], 87.2)
    >>> [round(stop.pull_each) for stop in two.stops]
    [222, 302]
    """
    shut, stops, spacing, slack, worst, taut = _core.stay.strap(_pins(pins), _load(load), pivot, turns_deg, count)
    return Strap(shut, tuple(Hold(*stop) for stop in stops), spacing, slack, worst, taut)


def taut_at(pins: Pins, pivot: Any, turn_from_deg: Any, turn_to_deg: Any, length: Any) -> float:
    """Return the first turn on the way at which a stay of this length comes taut, degrees.

    The start where the pins are that far apart already, or farther; NaN where they never are.

    Raises
    ------
    InvalidInput
        When the length is not > 0, or the turn is over 360 degrees.
    """
    return _core.stay.taut_at(_pins(pins), pivot, turn_from_deg, turn_to_deg, length)


def mismatch(edge_per_mm: Any, difference: Any, width: Any) -> Mismatch:
    """Return what a difference in length between left and right does to a panel that gives.

    A panel too stiff to twist hangs on the shorter stay alone: see Hold.pull_alone.

    Parameters
    ----------
    edge_per_mm : number
        Hold.edge_per_mm of the stop.
    difference : length
        Of the two lengths, mm, >= 0.
    width : length
        Between the stays, mm.

    Returns
    -------
    Mismatch
        mm and degrees.

    Raises
    ------
    InvalidInput
        When a number is out of its range.

    Examples
    --------
    >>> mismatch(3.15, 1, 1180).edge
    3.15
    """
    return Mismatch(*_core.stay.mismatch(edge_per_mm, difference, width))


def stiffness(modulus: Any, area: Any, length: Any, *, invalid: str = "raise") -> Any:
    """Return the stiffness of a straight wire, rod or strap: modulus times section over length.

    Parameters
    ----------
    modulus : number or array
        GPa; a wire rope's own is well below that of its steel: measure it, or ask its maker.
    area : number or array
        Of its section, mm^2.
    length : length or array
        mm.
    invalid : {'raise', 'nan'}
        What an element out of range does.

    Returns
    -------
    float or ndarray
        N/mm.

    Raises
    ------
    InvalidInput
        When a number is not > 0.

    Examples
    --------
    >>> stiffness(200, 10, 500)
    4000.0
    """
    return _core.stay.stiffness(modulus, area, length, invalid=invalid)


def stiffness_from_test(mass: Any, stretch: Any, *, invalid: str = "raise") -> Any:
    """Return the stiffness of a stay from a test: a mass hung on it stretched it so far.

    Parameters
    ----------
    mass : mass or array
        kg; heavy enough that the stretch can be read, light enough to be safe.
    stretch : length or array
        With hooks and fixings, mm.
    invalid : {'raise', 'nan'}
        What an element out of range does.

    Returns
    -------
    float or ndarray
        N/mm.

    Raises
    ------
    InvalidInput
        When a number is not > 0.

    Examples
    --------
    >>> round(stiffness_from_test("20 kg", 2), 1)
    98.1
    """
    return _core.stay.stiffness_from_test(mass, stretch, invalid=invalid)


def catch_load(
    pins: Pins, load: Load, pivot: Any, *, turn_from_deg: Any = 0.0, turn_to_deg: Any, stiffness: Any, count: int = 1
) -> Catch:
    """Return the peak pull where the panel is let fall and caught by stays that are just taut at `turn_to_deg`.

    Parameters
    ----------
    pins : Pins
        Where the stays run.
    load : Load
        The panel; what leans on it is not counted, for nobody leans on a falling panel.
    pivot : point
        mm.
    turn_from_deg, turn_to_deg : angle
        Where it is let go at the earliest, and where the stays are taut; it starts from its highest place between.
    stiffness : number
        Of one stay with its hooks and what they are fixed to, N/mm.
    count : int
        How many stays catch it together.

    Returns
    -------
    Catch
        Forces N, lengths mm, energy J.

    Raises
    ------
    InvalidInput
        As `taut_at`, and where the pins do not part at `turn_to_deg`: the stay would not come taut there.

    Notes
    -----
    Energy is kept: what the weight gives up stretches the stays, in proportion to their pull. Panel, pins and body are
    taken as stiff and nothing rubs; so the pull is overstated, except where one stay takes it all. Where the lever arm
    hardly changes this is the textbook's F = F0 + sqrt(F0^2 + 2 k E), F0 the pull at rest.

    Examples
    --------
    >>> gate = Load(6.5, (-14, 144), (-28, 324))
    >>> fall = catch_load(Pins((-40, 250), (-14, 232)), gate, (-10, -18), turn_to_deg=-90, stiffness=500, count=2)
    >>> fall.state, round(fall.energy, 1), round(fall.pull_each)
    ('caught', 10.1, 2274)
    """
    return Catch(
        *_core.stay.catch_load(
            _pins(pins), load.mass, load.centre, load.edge, pivot, turn_from_deg, turn_to_deg, stiffness, count
        )
    )


def grid(region: Any, step: Any) -> np.ndarray:
    """Return the points of a square grid that lie in a region, edges included.

    Parameters
    ----------
    region : Outline or sequence of Outlines
        Where a pin may go; holes are kept out of.
    step : length
        mm; the grid starts at the region's left and lowest.

    Returns
    -------
    ndarray, shape (n, 2)
        Row by row from below.

    Raises
    ------
    InvalidInput
        When there are over 100000 points.
    """
    return _core.stay.grid(region, step)


def choose(
    on_body: Any,
    on_panel: Any,
    load: Load,
    pivot: Any,
    turns_deg: Any,
    *,
    count: int = 2,
    most_pull: Any = 0.0,
    most_edge_per_mm: Any = 0.0,
    longest: Any = 0.0,
    least_spacing: Any = 0.0,
    wish: str = "least pull",
) -> Choices:
    """Return every pair of pins that holds the panel at every stop within the limits, the best first.

    Parameters
    ----------
    on_body, on_panel : points
        Where a pin may go: holes of a bracket, or the `grid` of a region; panel points as it hangs shut.
    load, pivot, turns_deg, count
        As `strap`.
    most_pull : force
        On each stay at the worst stop, N; 0 for no limit.
    most_edge_per_mm : number
        Movement of the edge for 1 mm of stay at the worst stop; 0 for no limit.
    longest : length
        Between the pins at any stop, mm; 0 for no limit.
    least_spacing : length
        Between hooks of successive stops, mm, so that they are not mixed up.
    wish : {'least pull', 'least movement', 'shortest', 'least slack'}
        What is best.

    Returns
    -------
    Choices
        A stay holds where it is slack shut, taut at the stop and not before, and the load pulls on it.

    Raises
    ------
    InvalidInput
        When a list is empty or there are over a million pairs.

    Examples
    --------
    >>> from foldswing import Outline
    >>> jamb = grid(Outline([(-55, 150), (-35, 150), (-35, 300), (-55, 300)]), 10)
    >>> gate = Load(6.5, (-14, 144), (-28, 324), 20)
    >>> found = choose(jamb, [(-14, 232), (-14, 182)], gate, (-10, -18), [-90, -125], most_pull=300)
    >>> found.explanation.split(".")[0]
    '13 of 96 pairs of places will do'
    """
    found = _core.stay.choose(
        on_body,
        on_panel,
        _load(load),
        pivot,
        turns_deg,
        count,
        most_pull,
        most_edge_per_mm,
        longest,
        least_spacing,
        wish,
    )
    pull, edge_per_mm, greatest, spacing, slack = found[2].T
    return Choices(found[0], found[1], pull, edge_per_mm, greatest, spacing, slack, *found[3:])
