"""A virtual shop: gates measured, designed, drilled, fitted, measured again and corrected, with a shop's usual errors.

It tells how many gates land right at first fit and after one correction, before anyone drills. Errors are normal and
independent, given as standard deviations; all of them can be changed.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._core.gate import Sizes
from foldswing._values import value

__all__ = ["Drawn", "Share", "Shop", "Tally", "random_gate", "run"]


@value
class Shop:
    """How a shop works. The defaults are the project's own figures for a careful one-person shop, no source.

    Attributes
    ----------
    tape_error : length
        Of one reading of a length, mm.
    protractor_error_deg : angle
        Of one reading of an angle.
    drilling_error, setting_error : length
        Of a hole, and of a slotted hole or an eccentric bush, along x and along y, mm.
    packing_error : length
        Of how the gate is packed up shut to drill through both, mm.
    paint_per_face : length
        mm.
    tolerance : length
        Within which every stop and every gap must come, mm.
    design_readings : int
        Readings of each size that are averaged before anything is cut.
    fit_readings : int
        The same after the first fit; 0: as advised for the way holes are moved (fitting.readings_to_average).
    together : bool
        Both holes drilled through together at first, the gate packed up shut.
    """

    tape_error: Any = 0.5
    protractor_error_deg: Any = 0.25
    drilling_error: Any = 0.4
    setting_error: Any = 0.15
    packing_error: Any = 0.1
    paint_per_face: Any = 0.15
    tolerance: Any = 1.0
    design_readings: int = 3
    fit_readings: int = 0
    together: bool = False


class Share(NamedTuple):
    """A share of the gates and its standard error."""

    share: float
    standard_error: float


@value
class Tally:
    """How many gates came out right; the answer of run.

    Every stop and every gap is within tolerance of what was wanted, and nothing touches on the way once painted. A gate
    that needs no correction is left as it is.

    Attributes
    ----------
    gates : int
        How many were made.
    first_fit : int
        Right at first fit.
    adjusted, adjusted_ceiling : int
        Right after one correction by adjusters on jamb, gate or both, as advised from the readings; and with the holes
        known exactly.
    one_adjuster : int
        The same with a single adjuster, on the jamb or on the gate.
    redrilled, redrilled_ceiling : int
        Right after one correction by drilling anew: one hole, both, or through both together.
    through, through_ceiling : int
        Right after plugging and drilling through both again, the gate packed up shut.
    through_drilled, through_drilled_right : int
        Of `through_ceiling`: gates that were drilled through anew, and how many of these came out right. The others
        were right as they were.
    rubbed : int
        At first fit something touched on the way once painted.
    """

    gates: int
    first_fit: int
    adjusted: int
    adjusted_ceiling: int
    one_adjuster: int
    redrilled: int
    redrilled_ceiling: int
    through: int
    through_ceiling: int
    through_drilled: int
    through_drilled_right: int
    rubbed: int

    def share(self, name: str) -> Share:
        """Return one of the counts as a share of the gates."""
        p = float(getattr(self, name)) / self.gates
        return Share(p, float(np.sqrt(p * (1.0 - p) / self.gates)))


@value
class Drawn:
    """One gate as the shop drew it; the answer of random_gate.

    Attributes
    ----------
    sizes : gate.Sizes
        Its section.
    pivot : (2,) ndarray
        mm.
    opening_to_level, opening_to_lean : float
        Its two stops, degrees opened from shut.
    """

    sizes: Sizes
    pivot: np.ndarray
    opening_to_level: float
    opening_to_lean: float


def _whole(name: str, given: Any, most: int) -> int:
    if isinstance(given, bool) or not isinstance(given, (int, np.integer)) or not 0 <= given <= most:
        raise InvalidInput(f"{name} must be a whole number from 0 to {most}, got {str(given)[:40]!r}")
    return int(given)


def random_gate(number: int) -> Drawn:
    """Return a gate of random but plausible sizes; the same number gives the same gate.

    22 to 45 mm thick, 250 to 500 high, leaning up to 5 degrees, gaps of 2 to 6, the second stop 20 to 40 degrees past
    level; the pivot from what must be true at level, the lower corners rounded so that it passes worktop and sill.

    Raises
    ------
    InvalidInput
        When the number is no whole number.
    """
    return Drawn(*_core.virtual_shop.random_gate(_whole("number", number, 2**63)))


def run(shop: Shop | None = None, *, gates: int = 2000, seed: int = 1) -> Tally:
    """Make gates and count how many come out right.

    Parameters
    ----------
    shop : Shop or None
        How the shop works; None: the defaults.
    gates : int
        How many, 1 to 1000000.
    seed : int
        Number of the first gate: same seed, same gates and same errors.

    Returns
    -------
    Tally
        Counts; `.share(name)` gives one as a share with its standard error.

    Raises
    ------
    InvalidInput
        When an error or a count is out of range.

    Notes
    -----
    Each gate has three gaps shut (nose, sill, head), a step and a gap at level, and a gap at its second stop. What was
    measured is out by the tape's error over the root of the readings; each stop's turn by the protractor's, holes by
    the drill's. After the first fit all six are read, the turns too, nose, sill and head
    are measured again as often, both holes are worked out (fitting.fit_holes, with
    what the shop knows of its own errors) and moved as fitting.correct advises. The ceiling moves them as it would
    advise if the holes were known exactly, with the same draws of the hand.
    """
    s = Shop() if shop is None else shop
    if not isinstance(s, Shop):
        raise InvalidInput(f"shop must be a Shop, got an object of type {type(s).__name__}")
    return Tally(
        *_core.virtual_shop.run(
            s.tape_error,
            s.protractor_error_deg,
            s.drilling_error,
            s.setting_error,
            s.packing_error,
            s.paint_per_face,
            s.tolerance,
            _whole("design_readings", s.design_readings, 2**31 - 1),
            _whole("fit_readings", s.fit_readings, 2**31 - 1),
            bool(s.together),
            _whole("gates", gates, 2**31 - 1),
            _whole("seed", seed, 2**63),
        )
    )
