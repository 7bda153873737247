"""The gap all along a shut line: even, tapered, or with tight and wide spots. Lengths mm."""

from __future__ import annotations

from typing import Any

import numpy as np

from foldswing import _core
from foldswing._core.plane import Path
from foldswing._values import value

__all__ = ["Place", "Seam", "Spot", "Stretch", "along", "between"]


@value
class Place:
    """A gap at a place along the seam, mm; negative where the panel overlaps its neighbour."""

    at: float
    gap: float


@value
class Stretch:
    """A part of the seam along which the gap runs straight, within what is allowed.

    Attributes
    ----------
    start, end : Place
        Its ends.
    taper_per_metre : float
        mm of gap for a metre of seam; positive where it opens onward.
    """

    start: Place
    end: Place
    taper_per_metre: float


@value
class Spot:
    """Where the gap leaves the straight line through the whole seam by more than is allowed.

    Attributes
    ----------
    start, end : float
        Where, mm along the seam.
    worst : Place
        The tightest, or widest, place.
    off : float
        From that line, mm; negative for a tight spot.
    """

    start: float
    end: float
    worst: Place
    off: float


@value
class Seam:
    """The gap all along a seam.

    Attributes
    ----------
    kind : str
        'even', 'tapered' or 'uneven'.
    kept : bool
        Whether it is nowhere farther from the gap wanted than is allowed.
    places : ndarray, shape (n, 2)
        Place along the seam and gap, straight between.
    smallest, largest : Place
        The first of equals.
    mean, rms : float
        Mean gap; root of the mean square of what it is off the gap wanted; over the length of the seam.
    taper_per_metre : float
        Of the line of least squares through the whole seam, mm per metre.
    line_from, line_to : Place
        That line at both ends.
    stretches : tuple of Stretch
        The fewest straight ones that leave the gap by no more than is allowed: where they meet, the taper changes.
    spots : tuple of Spot
        Tight and wide ones.
    explanation : str
        A sentence for the bench.
    """

    kind: str
    kept: bool
    places: np.ndarray
    smallest: Place
    largest: Place
    mean: float
    rms: float
    taper_per_metre: float
    line_from: Place
    line_to: Place
    stretches: tuple[Stretch, ...]
    spots: tuple[Spot, ...]
    explanation: str


def _seam(given: tuple[Any, ...]) -> Seam:
    kind, kept, places, smallest, largest, mean, rms, taper, line_from, line_to, stretches, spots, explanation = given
    return Seam(
        kind,
        kept,
        places,
        Place(*smallest),
        Place(*largest),
        mean,
        rms,
        taper,
        Place(*line_from),
        Place(*line_to),
        tuple(Stretch(Place(a, ga), Place(b, gb), t) for a, ga, b, gb, t in stretches),
        tuple(Spot(a, b, Place(at, gap), off) for a, b, at, gap, off in spots),
        explanation,
    )


def along(at: Any, gap: Any, *, wanted: Any, allowed: Any = 0.25) -> Seam:
    """Look at a seam from gaps measured at places along it.

    Parameters
    ----------
    at, gap : sequences of lengths
        Places in ascending order, at least two, and the gap at each, mm.
    wanted : length
        The gap wanted, mm.
    allowed : length
        How far a gap may be out before it shows, mm, > 0 (0.25: common practice, no source).

    Returns
    -------
    Seam
        Mean, RMS and the line are integrals along the seam, so a place counts for the stretch it stands for.

    Raises
    ------
    InvalidInput
        When places are too few or not in order, or `allowed` is not > 0.

    Examples
    --------
    >>> seam = along([0, 300, 600, 900, 1180], [3.0, 3.1, 3.0, 3.9, 4.8], wanted=3)
    >>> seam.kind, [round(s.taper_per_metre, 1) for s in seam.stretches]
    ('uneven', [0.0, 3.1])
    """
    return _seam(_core.seam.along(at, gap, wanted, allowed))


def between(panel_edge: Path, body_edge: Path, *, wanted: Any, allowed: Any = 0.25) -> Seam:
    """Look at the seam between two edges drawn in one view.

    Parameters
    ----------
    panel_edge, body_edge : Path
        Open paths that run forward along the seam; arcs are looked at by chords within 0.001 mm.
    wanted, allowed : length
        As `along`, mm.

    Returns
    -------
    Seam
        Gaps square to the line from the first to the last point of the body's edge; places count from its first.

    Raises
    ------
    InvalidInput
        As `along`, and when an edge turns back or the two do not lie beside each other.

    Examples
    --------
    >>> from foldswing.plane import Path
    >>> sill = Path([(0, 0), (1200, 0)], [0])
    >>> gate = Path([(10, 3), (1190, 5)], [0])
    >>> between(gate, sill, wanted=4).kind
    'tapered'
    """
    return _seam(_core.seam.between(panel_edge, body_edge, wanted, allowed))
