"""A stay of two links that folds as the panel shuts, and locks past its centre when it is open.

One link turns on the pin in the body, the other on the pin in the panel; they meet in a joint. Panel points are given
as the panel hangs shut; turns from there, counter-clockwise positive. Lengths mm, angles degrees.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core.folding_stay import LinkMotion
from foldswing._core.plane import Outline, Path
from foldswing._values import value

__all__ = [
    "FoldingStay",
    "LinkGap",
    "LinkMotion",
    "Wanted",
    "folding_stay",
    "link_bar",
    "link_motion",
    "links_gap",
    "links_room",
    "lug_moment",
    "seen_from_panel",
]


@value
class Wanted:
    """What is wanted of a folding stay.

    Attributes
    ----------
    fixed, panel : point
        Its pins: on the body, and on the panel as it hangs shut, mm.
    pivot : point
        mm.
    turn_deg : angle
        From shut to the stop it holds, within +-360 degrees and not 0.
    past_centre_deg : angle
        By how much the joint goes past straight at the stop, 0 to 60.
    share : number
        The body's link as part of both, 0.01 to 0.99.
    folds : {'left', 'right'}
        Side the joint folds to, on the way from the pin in the body to the pin in the panel.
    """

    fixed: Any
    panel: Any
    pivot: Any
    turn_deg: Any
    past_centre_deg: Any = 0.0
    share: Any = 0.5
    folds: str = "left"


@value
class FoldingStay:
    """A folding stay; numbers that do not exist are NaN.

    Attributes
    ----------
    status : str
        'fits'; 'cannot fold' where the pins are nearer shut than the links differ; 'cannot reach' where the panel never
        opens the links straight; 'straight on the way' where they are pulled straight before the stop.
    first, second : float
        Lengths of the body's and the panel's link, pin to joint, mm.
    joint_shut, joint_stop : ndarray, shape (2,)
        Where the joint lies, fixed coordinates.
    folded_deg : float
        Angle between the links with the panel shut: 0 folded flat, 180 straight.
    past_centre : float
        How far the joint stands past the line through the pins at the stop, mm.
    straight_deg : float
        Turn at which the links are straight: the panel must open so far to lock.
    longer : float
        Both links together less the distance of the pins at the stop, mm.
    explanation : str
        A sentence for the bench.
    """

    status: str
    first: float
    second: float
    joint_shut: np.ndarray
    joint_stop: np.ndarray
    folded_deg: float
    past_centre: float
    straight_deg: float
    longer: float
    explanation: str


@value
class LinkGap:
    """How near a link comes to fixed bodies on the way from shut to locked.

    Attributes
    ----------
    gap, lower_bound : float
        Smallest gap found, and what no smaller gap is below, mm.
    turn_deg : float
        Turn of the panel there, degrees.
    link_point, fixed_point : ndarray, shape (2,)
        The two nearest points.
    body : int
        Index of the body.
    """

    gap: float
    lower_bound: float
    turn_deg: float
    link_point: np.ndarray
    fixed_point: np.ndarray
    body: int


def _given(w: Wanted) -> tuple[Any, ...]:
    return w.fixed, w.panel, w.pivot, w.turn_deg, w.past_centre_deg, w.share, w.folds


def folding_stay(wanted: Wanted) -> FoldingStay:
    """Return the two lengths, the folded shape and how it locks.

    Parameters
    ----------
    wanted : Wanted
        Pins, stop, and how far past centre.

    Returns
    -------
    FoldingStay
        From the distance d of the pins at the stop, by the law of cosines: both links together are
        d / sqrt(1 - 4 share (1 - share) sin^2(past / 2)).

    Raises
    ------
    InvalidInput
        When a number is out of its range, a pin is at the pivot, or the pins meet at the stop.

    Examples
    --------
    >>> made = folding_stay(Wanted((-40, 120), (-14, 232), (-10, -18), -90, past_centre_deg=5))
    >>> made.status, round(made.first, 1), round(made.past_centre, 1)
    ('fits', 155.4, 6.8)
    """
    return FoldingStay(*_core.folding_stay.folding_stay(_given(wanted)))


def seen_from_panel(wanted: Wanted) -> Wanted:
    """Return the same stay seen from the panel: to check its links against the panel itself."""
    return Wanted(*_core.folding_stay.seen_from_panel(_given(wanted)))


def lug_moment(stay: FoldingStay, push: Any) -> float:
    """Return the moment that a push along the line of the pins puts on the lug that stops the joint, N·m.

    Parameters
    ----------
    stay : FoldingStay
        For how far it stands past its centre.
    push : force
        N, >= 0.

    Returns
    -------
    float
        Push times the distance past centre.

    Raises
    ------
    InvalidInput
        When the push is negative or not finite.
    """
    return _core.folding_stay.lug_moment(stay.past_centre, push)


def link_motion(wanted: Wanted, link: str) -> LinkMotion:
    """Return how one link moves, from shut to straight and back to the stop, past centre.

    Parameters
    ----------
    wanted : Wanted
        The stay.
    link : {'body', 'panel'}
        Which of the two.

    Returns
    -------
    LinkMotion
        A motion whose poses carry link coordinates: the joint at the origin, the link's pin at (length, 0).

    Raises
    ------
    InvalidInput
        When such a stay does not fit.
    """
    return _core.folding_stay.link_motion(_given(wanted), link)


def link_bar(length: Any, width: Any) -> Path:
    """Return a link as a flat bar with round ends of its width, in its own coordinates, mm."""
    return _core.folding_stay.link_bar(length, width)


def links_gap(
    wanted: Wanted, width: Any, fixed: Outline | list[Outline], tolerance: Any = 0.01
) -> tuple[LinkGap, LinkGap]:
    """Return how near both links come to fixed bodies: the body's link, the panel's link.

    Parameters
    ----------
    wanted : Wanted
        The stay.
    width : length
        Of the links, mm.
    fixed : Outline or list of Outlines
        The bodies.
    tolerance : length
        As clearance.minimum_gap; no smaller gap than `lower_bound` occurs, not even between samples.

    Returns
    -------
    tuple of two LinkGap
        Round ends are taken by chords 0.01 mm inside them.

    Raises
    ------
    InvalidInput
        As `link_motion` and clearance.minimum_gap.
    """
    body, panel = _core.folding_stay.links_gap(_given(wanted), width, fixed, tolerance)
    return LinkGap(*body), LinkGap(*panel)


def links_room(wanted: Wanted, width: Any, sagitta: Any = 0.5) -> tuple[Outline, ...]:
    """Return all the room both links take on the way; they exceed the true region by no more than `sagitta`, mm."""
    return _core.folding_stay.links_room(_given(wanted), width, sagitta)
