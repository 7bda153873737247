"""Places along a gate's hinge where the section differs from the one stated, and the stretch each stands for.

Distances along the hinge count from the left end of the opening as you stand outside, mm.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core.gate import Sizes
from foldswing._values import value

__all__ = ["Bow", "Differences", "Measured", "Stretch", "bow_places", "differences_at", "sizes_at", "stretches"]


@value
class Differences:
    """What differs from the section as stated, mm; up, outward and thicker are positive.

    Attributes
    ----------
    worktop_up, nose_out, sill_up, head_up : float
        The whole worktop, its nose, top of the sill, underside of the head.
    lower_edge_up : float
        The gate's lower edge along its face; its upper edge stays.
    outer_face_out, thicker : float
        The whole gate; its thickness with the outer face where it was.
    """

    worktop_up: float = 0.0
    nose_out: float = 0.0
    sill_up: float = 0.0
    head_up: float = 0.0
    lower_edge_up: float = 0.0
    outer_face_out: float = 0.0
    thicker: float = 0.0


@value
class Measured:
    """A place where something was measured; `width`: over which it holds as measured (NaN: only there), mm."""

    from_left: float
    there: Differences
    width: float = math.nan


@value
class Bow:
    """An edge that runs as an arc over a chord from `from_left`; `toward`: what 1 mm of its height changes."""

    from_left: float
    chord: float
    rise: float
    toward: Differences


@value
class Stretch:
    """A place along the hinge and the ends of the stretch it stands for, from the left, mm."""

    from_left: float
    start: float
    end: float


def _numbers(differences: Differences) -> tuple[float, ...]:
    return dataclasses.astuple(differences)


def _rows(measured: Iterable[Measured]) -> np.ndarray:
    return np.array([(m.from_left, m.width, *_numbers(m.there)) for m in measured], dtype=float)


def sizes_at(stated: Sizes, differences: Differences) -> Sizes:
    """Return the sizes of the section where it differs from the one stated.

    Raises
    ------
    InvalidInput
        Where the differences leave no gate; it names the size that breaks its rule.
    """
    return _core.station.sizes_at(stated, _numbers(differences))


def differences_at(measured: Iterable[Measured], bows: Iterable[Bow], from_left: Any) -> Differences:
    """Return what differs at a place along the hinge.

    Measured places are joined by straight lines, each held over its width, constant beyond the first and the last.
    Bows come on top.

    Parameters
    ----------
    measured : iterable of Measured
        In order along the hinge, their widths not overlapping; none: as stated.
    bows : iterable of Bow
        Sizes hold at the ends of their chords and beyond.
    from_left : length
        The place.

    Raises
    ------
    InvalidInput
        When places are not in order or overlap, a rise is over half of its chord, or a number is not finite.
    """
    arcs = np.array([(b.from_left, b.chord, b.rise, *_numbers(b.toward)) for b in bows], dtype=float)
    return Differences(*_core.station.differences_at(_rows(measured), arcs, from_left))


def bow_places(chord: Any, rise: Any, most: Any) -> np.ndarray:
    """Return places along a bow from its chord's left end, mm: both ends, quarter points, the middle, and more.

    As many more, evenly spread, as it takes that nothing within the half stretch to the next place is higher or lower
    by over `most` mm; 24 stretches at most, for a bow that needs more is out of any allowance wherever one looks.

    Examples
    --------
    >>> bow_places(1200, 2, 1.0).tolist()
    [0.0, 300.0, 600.0, 900.0, 1200.0]
    """
    return _core.station.bow_places(chord, rise, most)


def stretches(width: Any, places: Sequence[float], measured: Iterable[Measured]) -> tuple[Stretch, ...]:
    """Return the stretches that places along an opening stand for; together they cover it.

    Half-way to the neighbours, or to the edge of the width a measured place stands for, and out to the ends.

    Parameters
    ----------
    width : length
        Of the opening, > 0.
    places : sequence of float
        From the left, mm, within the opening; any order. Those within 1 mm of another are one.
    measured : iterable of Measured
        In order; each is a place of its own.

    Raises
    ------
    InvalidInput
        As differences_at, or when a place is outside the opening.
    """
    return tuple(Stretch(*s) for s in _core.station.stretches(width, np.array(places, dtype=float), _rows(measured)))
