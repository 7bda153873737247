"""Measuring: a one-page form and its job file, questions in the terminal, a file for the shop.

>>> from foldswing import forms
>>> [(size.letter, size.words) for size in forms.sizes("lid")][:2]
[('A', 'straight span across'), ('B', 'rise at the middle of that span')]
"""

from __future__ import annotations

from foldswing._core import InvalidInput
from foldswing.forms.asking import Left, Talk
from foldswing.forms.blanks import blank_job, blank_shop
from foldswing.forms.first_fit import blank_first_fit, first_fit_drawing, first_fit_pdf
from foldswing.forms.interview import asked
from foldswing.forms.page import form_drawing, form_pdf
from foldswing.forms.sizes import KINDS, TABLES, Size
from foldswing.forms.true_pivot import true_pivot_drawing

__all__ = [
    "KINDS",
    "Left",
    "Size",
    "Talk",
    "asked",
    "blank_first_fit",
    "blank_job",
    "blank_shop",
    "first_fit_drawing",
    "first_fit_pdf",
    "form_drawing",
    "form_pdf",
    "sizes",
    "true_pivot_drawing",
]


def sizes(kind: str) -> tuple[Size, ...]:
    """Return the lettered sizes of a kind of part, in the order of its form.

    Parameters
    ----------
    kind : {'gate', 'panel', 'lid', 'bent'}
        What is measured.

    Raises
    ------
    InvalidInput
        When it is no such kind.
    """
    if kind not in TABLES:
        raise InvalidInput(f"kind must be one of {', '.join(KINDS)}, got {str(kind)[:40]!r}")
    return TABLES[kind]
