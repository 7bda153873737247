"""Circular arcs given by what a tape and a straightedge can measure."""

from __future__ import annotations

from typing import Any, Literal

from foldswing import _core

__all__ = ["radius"]


def radius(chord: Any, rise: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Radius of the arc that rises `rise` above the middle of a chord.

    Parameters
    ----------
    chord : length or array of lengths
        Straight distance between the arc's ends, mm; finite, > 0.
    rise : length or array of lengths
        Height at mid-chord, mm; finite, > 0. More than half the chord is allowed (beyond a half circle).
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Radius, mm, broadcast over the inputs.

    Raises
    ------
    InvalidInput
        When a value is not finite or not > 0; the message names it and its place in an array.

    Notes
    -----
    R = chord**2 / (8 rise) + rise / 2, the intersecting-chords theorem (Euclid III.35). On a shallow arc the radius is
    about as wrong, in per cent, as the rise is.

    Examples
    --------
    >>> radius(8.0, 2.0)
    5.0
    """
    return _core.arc.radius(chord, rise, invalid=invalid)
