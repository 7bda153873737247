"""The k-factor by the rules in print and by the shop's own table, each within the range it is for."""

from __future__ import annotations

import functools
import math
import warnings
from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core import InvalidInput
from foldswing._values import value

_Invalid = Literal["raise", "nan"]
_WITHIN, _ANGLE, _BELOW, _ABOVE, _JUMP = range(5)  # bend_rule.hpp: Range


class RuleRangeWarning(UserWarning):
    """A rule was used for a bend that it is not for."""


@value
class Rule:
    """A rule for the k-factor, as printed.

    Attributes
    ----------
    name : str
        Its name here, such as 'din6935'.
    formula, source : str
        What it says, and where it is printed and how it was seen.
    angle_from_deg, angle_to_deg : float
        Bend angles it is for, turned through.
    ratio_from, ratio_to : float
        Inside radius over thickness it is for; infinity where the source names no end.
    """

    name: str
    formula: str
    source: str
    angle_from_deg: float
    angle_to_deg: float
    ratio_from: float
    ratio_to: float

    @property
    def range(self) -> str:
        """What it is for, in words."""
        lo, hi = self.angle_from_deg, self.angle_to_deg
        said = [
            f"bend angles of {lo:g}\N{DEGREE SIGN} only"
            if lo == hi
            else f"bend angles of {lo:g} to {hi:g}\N{DEGREE SIGN}"
        ]
        if self.ratio_from > 0.0:
            said.append(f"inside radius at least {self.ratio_from:g} of the thickness")
        if math.isfinite(self.ratio_to):
            said.append(f"inside radius at most {self.ratio_to:g} times the thickness")
        return ", ".join(said)


@value
class KTable:
    """A shop's own k-factors over inside radius/thickness: straight between its points, the end one held outside them.

    Attributes
    ----------
    ratios, k_factors : tuple of float
        Inside radius/thickness, strictly increasing, and the k-factor there.
    source : str
        Where they come from.
    """

    ratios: tuple[float, ...]
    k_factors: tuple[float, ...]
    source: str = "this shop's own table"


@value
class BendByRule:
    """A bend by one rule; arrays where the bend was given as arrays.

    Attributes
    ----------
    rule, source : str
        Its name, and where it is printed.
    k_factor, allowance, deduction : float or ndarray
        mm but the first; the deduction is NaN at 180 degrees.
    in_range : bool or ndarray
        Whether the rule is for this bend.
    warnings : tuple of str
        What is to be said: outside its range, or near a jump. Empty where there is nothing.
    """

    rule: str
    source: str
    k_factor: Any
    allowance: Any
    deduction: Any
    in_range: Any
    warnings: tuple[str, ...]


@value
class RuleSpread:
    """What every rule makes of one bend.

    Attributes
    ----------
    bends : tuple of BendByRule
        Every rule in print but those for metal pressed home in a die; NaN where a rule has no figure for so small a
        radius.
    shortest, longest : float
        Least and greatest allowance of the rules that are for this bend, mm.
    spread : float
        Their difference: how far the blank is in doubt for each such bend, mm.
    """

    bends: tuple[BendByRule, ...]
    shortest: float
    longest: float
    spread: float

    @property
    def shortest_rule(self) -> str:
        """Name of the rule in range that gives the shortest blank."""
        return min((b.allowance, b.rule) for b in self.bends if b.in_range)[1]

    @property
    def longest_rule(self) -> str:
        """Name of the rule in range that gives the longest blank."""
        return max((b.allowance, b.rule) for b in self.bends if b.in_range)[1]


@functools.cache
def _facts() -> dict[str, Rule]:
    return {row[0]: Rule(*row) for row in _core.bend.rule_facts()}


def rules() -> tuple[Rule, ...]:
    """Return every rule in print that the library knows; 'constant' and 'table' take the user's own figures.

    Examples
    --------
    >>> [r.name for r in rules()][:3]
    ['din6935', 'din6935_tenths', 'handbook_soft']
    """
    return tuple(_facts().values())


def _k_and_codes(
    bend: tuple[Any, Any, Any], rule: str, constant: Any, table: KTable | None, invalid: _Invalid
) -> tuple[Any, Any]:
    """Return the k-factor and the range code of each bend (angle, radius, thickness); angle None: not looked at."""
    angle_deg, radius, thickness = bend
    if (constant is not None) != (rule == "constant"):
        word = "with rule='constant' only" if constant is not None else "with rule='constant'"
        got = f"it with rule={rule!r}" if constant is not None else "nothing"
        raise InvalidInput(f"constant must be given {word}, got {got}")
    if (table is not None) != (rule == "table"):
        word = "with rule='table' only" if table is not None else "with rule='table', a KTable"
        got = f"it with rule={rule!r}" if table is not None else "nothing"
        raise InvalidInput(f"table must be given {word}, got {got}")
    if rule == "constant":
        return _core.bend.k_factor_constant(radius, thickness, constant, invalid=invalid), _WITHIN
    if rule == "table":
        if not isinstance(table, KTable):
            raise InvalidInput(f"table must be a KTable, got {type(table).__name__}")
        if invalid != "raise":
            raise InvalidInput("invalid must be 'raise' with rule='table', got 'nan'")
        k, code = _core.bend.by_table(table.ratios, table.k_factors, radius, thickness)
        return (float(k), int(code)) if k.ndim == 0 else (k, code)
    if rule not in _facts():
        raise InvalidInput(f"rule must be 'constant', 'table' or one of {', '.join(map(repr, _facts()))}, got {rule!r}")
    k = getattr(_core.bend, f"k_factor_{rule}")(radius, thickness, invalid=invalid)
    angle = 90.0 if angle_deg is None else angle_deg  # every rule is for 90
    codes = getattr(_core.bend, f"range_{rule}")(angle, radius, thickness, invalid=invalid)
    return k, codes


def _said(rule: str, code: int, where: str, table: KTable | None) -> str:
    """Return the sentence of one range code."""
    if rule == "table" and table is not None:
        low, high = table.ratios[0], table.ratios[-1]
        return (
            f"{table.source} runs from {low:g} to {high:g} of radius/thickness{where}: its end value is used beyond it"
        )
    fact = _facts()[rule]
    if code == _JUMP:
        return (
            f"rule '{rule}' jumps at a radius near this one{where}: a radius read a tenth wrong changes the blank by "
            "the whole step; bend a test strip"
        )
    if code == _ABOVE:
        return f"rule '{rule}' puts the neutral line outside the metal for so large a radius{where}: take another rule"
    return f"rule '{rule}' is for {fact.range}{where}: bend a test strip or take another rule"


def _axes(given: Any) -> int:
    """Return how many axes an argument has; a list of lists is left to the door, which says what is wrong with it."""
    return int(given.ndim) if isinstance(given, np.ndarray) else 2 * isinstance(given, (list, tuple))


def _where(n: int, of: int) -> str:
    """Return how many bends a warning is of, where there are several."""
    return f" ({n} of {of} bends)" if of > 1 else ""


def _warnings(rule: str, codes: Any, table: KTable | None) -> tuple[str, ...]:
    flat = np.atleast_1d(np.asarray(codes)).ravel()
    out = []
    for code in (_ANGLE, _BELOW, _ABOVE, _JUMP):
        n = int(np.count_nonzero(flat == code))
        if n:
            said = _said(rule, code, _where(n, flat.size), table)
            if said not in out:
                out.append(said)
    return tuple(out)


def k_factor(
    radius: Any,
    thickness: Any,
    *,
    rule: str = "constant",
    constant: Any = None,
    table: KTable | None = None,
    invalid: _Invalid = "raise",
) -> Any:
    """k-factor by a named rule. No rule replaces a test strip of the user's own metal on the user's own machine.

    Parameters
    ----------
    radius : length or array
        Inside radius, mm, >= 0.
    thickness : length or array
        Metal thickness, mm, > 0.
    rule : str
        'constant': the number given as `constant`; 'table': between the points of `table`; or a rule in print, by name:

        - 'din6935': K = k/2, k = 0.65 + 0.5 log10(R/T) up to R/T = 5, k = 1 above; refused below R/T = 0.0502, where
          the formula turns negative. 'din6935_tenths': the same k to the nearest tenth, as read from a diagram.
        - 'handbook_soft', 'handbook_medium', 'handbook_hard': 0.55 T, 0.64 T, 0.71 T + 1.57 R at 90 degrees.
        - 'aviation': (0.01743 R + 0.0078 T) for each degree.
        - 'two_step': 0.33 below R = 2T, 0.5 from there on; the allowance jumps by 0.17 a T there.
        - 'mid_plane': 0.5. 'trade_school', 'school_book': rules of thumb for 90 degrees alone.
        - 'air_bend_soft', 'air_bend_medium', 'air_bend_hard': a generic table in three steps. 'bottoming_soft' and so
          on, 'coining_soft' and so on: the same table for metal pressed home in the die; from memory.

        `rules` tells formula, source and range of each.
    constant : number or array, optional
        The k-factor of the rule 'constant', 0 to 1.
    table : KTable, optional
        The shop's own table, for the rule 'table'.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        k-factor: of a rule printed as an allowance or deduction, the one that gives back the printed figure.

    Raises
    ------
    InvalidInput
        When a value breaks its rule or the rule is not known.

    Warns
    -----
    RuleRangeWarning
        When the radius is outside the range of the rule, or near a jump of it. `by_rule` looks at the angle as well.

    Examples
    --------
    >>> round(k_factor(6.0, 5.0, rule='din6935'), 4)
    0.3448
    """
    rows = max(_axes(radius), _axes(thickness)) == 1
    if rows and rule in _facts() and constant is None and table is None and invalid == "raise":
        k, *counts = _core.bend.k_factors(rule, radius, thickness)
        said = tuple(
            _said(rule, code, _where(n, np.size(k)), None)
            for code, n in zip((_BELOW, _ABOVE, _JUMP), counts, strict=True)
            if n
        )
    else:
        k, codes = _k_and_codes((None, radius, thickness), rule, constant, table, invalid)
        said = _warnings(rule, codes, table)
    for text in said:
        warnings.warn(text, RuleRangeWarning, stacklevel=2)
    return k


def by_rule(
    angle_deg: Any,
    radius: Any,
    thickness: Any,
    *,
    rule: str,
    constant: Any = None,
    table: KTable | None = None,
    invalid: _Invalid = "raise",
) -> BendByRule:
    """Return what a named rule makes of a bend, and whether the rule is for it.

    Parameters
    ----------
    angle_deg : angle or array
        Bend angle, the angle the metal is turned through, degrees, 0 to 180.
    radius, thickness : length or array
        Inside radius >= 0 and thickness > 0, mm.
    rule, constant, table
        As in `k_factor`.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    BendByRule
        k-factor, allowance, deduction, and the warnings in words.

    Raises
    ------
    InvalidInput
        When a value breaks its rule or the rule is not known.

    Examples
    --------
    >>> by_rule(45.0, 2.0, 2.0, rule='trade_school').warnings[0][:50]
    "rule 'trade_school' is for bend angles of 90\N{DEGREE SIGN} only"
    """
    k, codes = _k_and_codes((angle_deg, radius, thickness), rule, constant, table, invalid)
    allowance = _core.bend.bend_allowance(angle_deg, radius, thickness, k, invalid=invalid)
    deduction = _core.bend.bend_deduction(angle_deg, radius, thickness, k, invalid="nan")
    source = {"constant": "the figure given", "table": table.source if table is not None else ""}.get(rule)
    within = np.isin(codes, (_WITHIN, _JUMP))
    return BendByRule(
        rule,
        source if source is not None else _facts()[rule].source,
        k,
        allowance,
        deduction,
        bool(within) if np.ndim(within) == 0 else within,
        _warnings(rule, codes, table),
    )


def spread(angle_deg: Any, radius: Any, thickness: Any) -> RuleSpread:
    """Return what every rule in print makes of one bend, and how far they disagree.

    Parameters
    ----------
    angle_deg : angle
        Bend angle, the angle the metal is turned through, degrees, more than 0 to 180.
    radius, thickness : length
        Inside radius >= 0 and thickness > 0, mm.

    Returns
    -------
    RuleSpread
        The allowances, and the spread of those that are for this bend.

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> round(spread(90.0, 2.0, 2.0).spread, 2)
    0.71
    """
    rows, shortest, longest, width = _core.bend.spread(angle_deg, radius, thickness)
    bends = tuple(
        BendByRule(
            name, _facts()[name].source, k, allowance, deduction, code in (_WITHIN, _JUMP), _warnings(name, code, None)
        )
        for name, code, k, allowance, deduction in rows
    )
    return RuleSpread(bends, shortest, longest, width)
