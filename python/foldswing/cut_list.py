"""Blanks on stock sheets: kerf, grain, cuts that run right across, remnants.

A sheet lies with its length along x and its width along y, its lower left corner in the origin. The layout is the best
of many tries by rules of thumb (free rectangles, best fit: Jylanki 2010, "A thousand ways to pack the bin"); it is not
proved the best there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._values import value

__all__ = ["Blank", "Layout", "Left", "Placed", "Sheet", "UsedSheet", "lay_out"]


@value
class Sheet:
    """Sheets of one size in stock, or one remnant.

    Parameters
    ----------
    name : str
        What it is called.
    length, width : length
        mm; > 0.
    count : int
        How many there are, 1 to 500.
    grain : {'length', 'width', 'any'}
        Along which side the grain runs; 'any': not known, and then no blank that asks for a grain is laid on it.
    """

    name: str
    length: Any
    width: Any
    count: int = 1
    grain: Literal["length", "width", "any"] = "length"


@value
class Blank:
    """Blanks of one kind.

    Parameters
    ----------
    name : str
        What it is called.
    length, width : length
        mm; > 0.
    count : int
        How many are wanted, 1 to 500.
    grain : {'any', 'length', 'width'}
        Along which of its sides the grain must run; 'any': it may be laid either way.
    """

    name: str
    length: Any
    width: Any
    count: int = 1
    grain: Literal["any", "length", "width"] = "any"


@value
class Placed:
    """A blank on a sheet.

    Attributes
    ----------
    blank, piece : int
        Which of the blanks, and which of its count, from 0.
    name : str
        Of the blank.
    x, y : float
        Its lower left corner on the sheet, mm.
    length, width : float
        Along the sheet's length and width, as it lies, mm.
    turned : bool
        Whether its own length lies along the sheet's width.
    """

    blank: int
    piece: int
    name: str
    x: float
    y: float
    length: float
    width: float
    turned: bool


@value
class UsedSheet:
    """One sheet with its blanks.

    Attributes
    ----------
    stock : int
        Which of the sheets in stock, from 0.
    name : str
        Of the sheet.
    length, width : float
        mm.
    pieces : tuple of Placed
        In the order they were laid.
    remnants : tuple of (x, y, length, width)
        What is left in rectangles that do not overlap, the largest first, mm.
    use : float
        Area of the blanks as a part of the sheet's.
    """

    stock: int
    name: str
    length: float
    width: float
    pieces: tuple[Placed, ...]
    remnants: tuple[tuple[float, float, float, float], ...]
    use: float


@value
class Left:
    """A blank that is on no sheet.

    Attributes
    ----------
    blank : int
        Which of the blanks, from 0.
    pieces : int
        How many of it.
    fits_none : bool
        Whether it goes on no sheet even when that is empty; else the sheets ran out.
    reason : str
        In words, with what to change.
    """

    blank: int
    pieces: int
    fits_none: bool
    reason: str


@value
class Layout:
    """Blanks on sheets.

    Attributes
    ----------
    status : str
        'all', 'short_of_stock' (the sheets ran out) or 'too_large' (a blank goes on no sheet there is).
    sheets : tuple of UsedSheet
        The sheets used.
    left : tuple of Left
        What is on none.
    use : float
        Area of the blanks laid as a part of that of the sheets used.
    explanation : str
        In words.
    """

    status: str
    sheets: tuple[UsedSheet, ...]
    left: tuple[Left, ...]
    use: float
    explanation: str


def lay_out(
    blanks: Sequence[Blank],
    sheets: Sequence[Sheet],
    *,
    kerf: Any = 0.0,
    edge: Any = 0.0,
    guillotine: bool = True,
    least_remnant: Any = 50.0,
) -> Layout:
    """Lay blanks on stock sheets.

    Parameters
    ----------
    blanks : sequence of Blank
        At most 500 pieces in all.
    sheets : sequence of Sheet
        What there is. List remnants as sheets too: they are used like any other.
    kerf : length
        What a cut takes away, mm, >= 0; 0 for a shear.
    edge : length
        Taken off all round every sheet before it is used, mm.
    guillotine : bool
        Whether every cut must run right across what is being cut, as on a shear.
    least_remnant : length
        A remnant is listed when both its sides are at least this, mm (common practice, no source).

    Returns
    -------
    Layout
        As few sheets as were found, by area; what goes on none is in `left` with the reason.

    Raises
    ------
    InvalidInput
        When there are no blanks or sheets, too many pieces, or a number breaks its rule.

    Examples
    --------
    >>> done = lay_out([Blank("pan", 350, 200, 6)], [Sheet("full sheet", 2000, 1000)], kerf=2)
    >>> done.status, len(done.sheets), round(done.use, 2)
    ('all', 1, 0.21)
    """
    for name, given, kind in (("blanks", blanks, Blank), ("sheets", sheets, Sheet)):
        for i, each in enumerate(given):
            if not isinstance(each, kind):
                raise InvalidInput(f"{name}[{i}] must be a {kind.__name__}, got {str(each)[:40]!r}")
    return _core.cut_list.lay_out(list(blanks), list(sheets), kerf, edge, guillotine, least_remnant)
