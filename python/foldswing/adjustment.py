"""What a slotted hole, an eccentric bush or a shim can recover at a stop, in mm of landing per mm of adjustment.

All of it is linear in the holes, so it is exact over the whole range; only a shim under a stop's pad changes the turn.
"""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from foldswing._core import adjustment as _adjustment
from foldswing._core.hinge import Landing
from foldswing._values import value

__all__ = ["EccentricSettings", "PadShim", "Reach", "eccentric", "eccentric_settings", "pad_shim", "shim", "slot"]

Hole = Literal["body", "panel", "together"]


@value
class Reach:
    """What an adjuster does to a landing: its miss can be changed by anything from `least` to `most`.

    Attributes
    ----------
    per_mm : float
        mm of landing per mm of adjustment.
    least, most : float
        mm.
    """

    per_mm: float
    least: float
    most: float


@value
class EccentricSettings:
    """How an eccentric bush is set; the answer of eccentric_settings.

    Attributes
    ----------
    status : str
        'none', 'one', 'two' or 'any'.
    angle_deg : (2,) ndarray
        Of the bore from the bush's centre, counter-clockwise from x, the smaller first; NaN where void.
    per_degree : (2,) ndarray
        mm of landing per degree of setting there.
    """

    status: str
    angle_deg: np.ndarray
    per_degree: np.ndarray


@value
class PadShim:
    """A shim under the pad that the panel comes to rest on; the answer of pad_shim.

    Attributes
    ----------
    reached : bool
        False where no turn nearby lifts the panel by that much; then turn and shift are NaN.
    turn_deg : float
        The landing's turn with the shim in.
    shift : float
        Change of the landing's miss, mm, exact.
    per_mm : float
        mm of landing per mm of shim at its start.
    """

    reached: bool
    turn_deg: float
    shift: float
    per_mm: float


def slot(landing: Landing, hole: Hole, direction: Any, *, forward: Any, backward: Any = 0.0) -> Reach:
    """Return what a hole that slides along a straight slot recovers at a landing.

    Parameters
    ----------
    landing : Landing
        At one stop.
    hole : {'body', 'panel', 'together'}
        Which hole slides; 'together': the pin itself, in both.
    direction : (2,)
        Of `forward`, any length but zero; shut coordinates for the panel's hole.
    forward, backward : length
        How far it can go each way from where it stands, mm, >= 0.

    Raises
    ------
    InvalidInput
        When a number is out of range or the word unknown.

    Examples
    --------
    >>> level = Landing(-90, (-28, 0), (0, 1), 0)
    >>> slot(level, "panel", (1, 0), forward=2, backward=1)
    Reach(per_mm=1.0, least=-1.0, most=2.0)
    """
    return Reach(*_adjustment.slot(landing, hole, direction, forward, backward))


def shim(landing: Landing, hole: Hole, direction: Any, *, thickness: Any) -> Reach:
    """Return what shims up to `thickness`, mm, behind the plate that carries a hole recover: a slot that goes one way.

    Parameters and errors as for `slot`.
    """
    return slot(landing, hole, direction, forward=thickness)


def eccentric(landing: Landing, hole: Hole, throw_mm: Any) -> Reach:
    """Return what an eccentric bush recovers at a landing, against one whose bore stood at its centre.

    Parameters
    ----------
    landing, hole
        As for `slot`.
    throw_mm : length
        From the bush's centre to its bore, mm.

    Raises
    ------
    InvalidInput
        As `slot`.
    """
    return Reach(*_adjustment.eccentric(landing, hole, throw_mm))


def eccentric_settings(landing: Landing, hole: Hole, throw_mm: Any, shift: Any) -> EccentricSettings:
    """Return the settings at which an eccentric bush changes a landing's miss by `shift`, mm.

    Parameters and errors as for `eccentric`.

    Examples
    --------
    >>> level = Landing(-90, (-28, 0), (0, 1), 0)
    >>> eccentric_settings(level, "body", 1.0, 0.5).angle_deg.round(6).tolist()
    [30.0, 150.0]
    """
    return EccentricSettings(*_adjustment.eccentric_settings(landing, hole, throw_mm, shift))


def pad_shim(landing: Landing, *, panel: Any, body: Any = None, pad: Any, normal: Any, thickness: Any) -> PadShim:
    """Return what a shim under the pad of a stop does to a landing.

    Parameters
    ----------
    landing : Landing
        At that stop.
    panel, body : (2,) lengths
        The holes, shut coordinates, mm; `body` left out is where `panel` is.
    pad : (2,) lengths
        Panel point over the pad, shut coordinates, mm.
    normal : (2,)
        Out of the pad, any length but zero.
    thickness : length
        mm; negative: taken off the pad.

    Raises
    ------
    InvalidInput
        When a number is not finite or beyond 1e6 mm, or the pad is at the panel's hole.
    """
    return PadShim(*_adjustment.pad_shim(landing, panel, panel if body is None else body, pad, normal, thickness))
