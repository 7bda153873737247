"""What may be out of a size that carries no tolerance of its own: the general tolerances of ISO 2768-1.

A drawing that says 'ISO 2768-m' means them. They tell whether what the rules for a bend differ by, or what a tape reads
over, matters to whoever asked for the part.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any, Literal, get_args

from foldswing._core import InvalidInput
from foldswing._tables import table, told
from foldswing._values import value
from foldswing.units import _door

__all__ = ["Grade", "Kind", "Tolerance", "allowed"]

Grade = Literal["fine", "medium", "coarse", "very coarse"]
Kind = Literal["length", "radius", "angle"]


@value
class Tolerance:
    """What a size may be out.

    Attributes
    ----------
    plus_minus : float
        Either way: mm; of an angle, degrees.
    unit : str
        'mm' or 'deg'.
    source : str
        Where that is printed, with its status.
    """

    plus_minus: float
    unit: str
    source: str


@cache
def _rows() -> dict[tuple[str, str], list[tuple[float, float, Tolerance]]]:
    out: dict[tuple[str, str], list[tuple[float, float, Tolerance]]] = {}
    for row in table("general_tolerances"):
        made = Tolerance(float(row["plus_minus"]), row["unit"], told(row))
        out.setdefault((row["kind"], row["grade"]), []).append(
            (float(row["over_mm"]), float(row["up_to_mm"] or "inf"), made)
        )
    return out


def allowed(size: Any, grade: Grade = "medium", *, kind: Kind = "length") -> Tolerance | None:
    """Return what a size may be out, or None where the table has no row: such a size needs a tolerance of its own.

    Parameters
    ----------
    size : length
        The size, mm, >= 0; of an angle, the length of its shorter leg.
    grade : {'fine', 'medium', 'coarse', 'very coarse'}
        Class f, m, c or v of the standard.
    kind : {'length', 'radius', 'angle'}
        What the size is: a length; an outside radius or the height of a chamfer; or the leg of an angle.

    Raises
    ------
    InvalidInput
        When the size is negative or not finite, or a word is another.

    Notes
    -----
    ISO 2768-1, tables 1 to 3; the lengths read in a summary sheet, radii and angles from memory (see `source`).

    Examples
    --------
    >>> allowed(330).plus_minus, allowed(330, kind="angle").unit, allowed(5000)
    (0.5, 'deg', None)
    """
    for name, given, words in (("grade", grade, get_args(Grade)), ("kind", kind, get_args(Kind))):
        if not isinstance(given, str) or given not in words:
            raise InvalidInput(f"{name} must be one of {', '.join(map(repr, words))}, got {str(given)[:40]!r}")
    read = _door(size, "size", "length")
    mm = float(read) if read.ndim == 0 else math.nan
    if not (math.isfinite(mm) and mm >= 0.0):
        raise InvalidInput(f"size must be one length >= 0, got {str(size)[:40]!r}")
    for over, up_to, made in _rows()[kind, grade]:
        if over < mm <= up_to or mm == over == _LEAST[kind]:
            return made
    return None


_LEAST = {"length": 0.5, "radius": 0.5, "angle": 0.0}  # mm; the first row holds from here on
