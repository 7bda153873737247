"""Shop units in, millimetres and degrees out.

Numbers are mm, degrees, N and kg. Wherever one is asked for, a shop string (``"3 5/16 in"``, ``"2 ft 4-1/2 in"``,
``"12.5 mm"``, ``"16 ga steel"``, ``"35 deg"``, ``"14.3 lb"``), a quantity of a units library, or a list of these may
stand. Inch fractions are exact rational arithmetic until the last step, so ``"3 5/16 in"`` is the double nearest to
84.1375 mm.
"""

from __future__ import annotations

import difflib
import math
import numbers
import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from importlib import resources
from typing import Any

import numpy as np

from foldswing import _core

__all__ = [
    "Mark",
    "deg",
    "fraction",
    "gauge",
    "gauge_series",
    "kg",
    "mark",
    "mm",
    "newton",
    "on_ruler",
    "parse",
    "ruler_step",
    "show",
]

INCH = Fraction(254, 10)  # mm, exact since 1959
_POUND = Fraction(45359237, 100000000)  # kg, exact (international pound)
_G = Fraction(980665, 100000)  # m/s^2, standard gravity

# What one unit is worth in the unit of the kind; the first name of each group is the one shown.
_UNITS: dict[str, dict[str, Fraction]] = {
    "length": {
        **dict.fromkeys(("mm", "millimetre", "millimeter", "millimetres", "millimeters"), Fraction(1)),
        **dict.fromkeys(("cm", "centimetre", "centimeter", "centimetres", "centimeters"), Fraction(10)),
        **dict.fromkeys(("m", "metre", "meter", "metres", "meters"), Fraction(1000)),
        **dict.fromkeys(("um", "micron", "microns"), Fraction(1, 1000)),
        **dict.fromkeys(("in", "inch", "inches", '"'), INCH),
        **dict.fromkeys(("ft", "foot", "feet", "'"), 12 * INCH),
        **dict.fromkeys(("thou",), INCH / 1000),
    },
    "angle": {
        **dict.fromkeys(("deg", "degree", "degrees", "°"), Fraction(1)),
        **dict.fromkeys(("min", "minute", "minutes", "'"), Fraction(1, 60)),
        **dict.fromkeys(("turn", "turns"), Fraction(360)),
        # not rational: 180/pi to 40 digits, so that the result is the nearest double
        **dict.fromkeys(("rad", "radian", "radians"), Fraction("57.29577951308232087679815481410517033240547")),
    },
    "mass": {
        **dict.fromkeys(("kg", "kilogram", "kilograms", "kilo", "kilos"), Fraction(1)),
        **dict.fromkeys(("g", "gram", "grams"), Fraction(1, 1000)),
        **dict.fromkeys(("lb", "lbs", "pound", "pounds"), _POUND),
        **dict.fromkeys(("oz", "ounce", "ounces"), _POUND / 16),
    },
    "force": {
        **dict.fromkeys(("N", "newton", "newtons"), Fraction(1)),
        **dict.fromkeys(("kN",), Fraction(1000)),
        **dict.fromkeys(("lbf",), _POUND * _G),
        **dict.fromkeys(("kgf", "kp"), _G),
    },
    "number": {},
}
# Units that may follow one another in one size, larger first: "2 ft 4 1/2 in", "14 lb 5 oz", "35° 30'".
_CHAINS = ((12 * INCH, INCH), (_POUND, _POUND / 16), (Fraction(1), Fraction(1, 60)))
_BASE = {"length": "mm", "angle": "degree", "mass": "kg", "force": "N", "number": ""}
_SAY = {
    "length": "a length: a number of mm, or text such as '12.5 mm', '3 5/16 in', '2 ft 4 1/2 in', '16 ga steel'",
    "angle": "an angle: a number of degrees, or text such as '35 deg', '0.5 rad'",
    "mass": "a mass: a number of kg, or text such as '6.5 kg', '14.3 lb'",
    "force": "a force: a number of N, or text such as '300 N', '40 lbf'",
    "number": "a plain number",
}
_DEEPEST = 8  # lists in lists: no array here has more axes
_LONGEST = 80  # characters of a shop string: longer text is no size, and is not worth parsing

_SERIES_WORDS = {
    **dict.fromkeys(("steel", "mild steel", "ms", "crs", "cold rolled steel", "hot rolled steel"), "steel"),
    **dict.fromkeys(
        ("galvanised", "galvanized", "galv", "galvanised steel", "galvanized steel", "galv steel"), "galvanised"
    ),
    **dict.fromkeys(("stainless", "stainless steel", "ss"), "stainless"),
    **dict.fromkeys(("stainless thin", "thin stainless"), "stainless thin"),
    **dict.fromkeys(
        ("aluminium", "aluminum", "alu", "brass", "copper", "b&s", "brown and sharpe", "awg"),
        "aluminium",
    ),
    **dict.fromkeys(("us standard", "uss"), "us standard"),
}

_NUMBER = re.compile(
    r"(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<num>\d+)\s*/\s*(?P<den>\d+)"
    r"|(?P<num1>\d+)\s*/\s*(?P<den1>\d+)"
    r"|(?P<decimal>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?)",
    re.ASCII,
)
_UNIT = re.compile(r"[A-Za-z]+\.?|[\"'°]")
_GAUGE = re.compile(r"(?P<gauge>\d+|\d/0)\s*-?\s*(?:ga|gauge|gage|g)\b\.?(?P<series>.*)", re.IGNORECASE | re.ASCII)
_PLAIN_MARKS = str.maketrans(  # primes, curly quotes, fraction slash, minus, dash, ordinal for degree, the two mu
    "\u2033\u201d\u201c\u2032\u2019\u2018\u2044\u2212\u2013\u00ba\u00b5\u03bc", "\"\"\"'''/--°uu"
)


class _UnreadableError(Exception):
    """Why a text is not a size."""


def _plain_text(text: str) -> str:
    """Write typographic marks plainly: 4½″ becomes 4 1/2"."""
    out = []
    for ch in text:
        if unicodedata.category(ch) == "No" and unicodedata.decomposition(ch).startswith("<fraction>"):
            out.append(" " + unicodedata.normalize("NFKC", ch))
        else:
            out.append(ch)
    return "".join(out).translate(_PLAIN_MARKS).replace("''", '"').replace("\u00a0", " ").strip()


def _read_number(match: re.Match[str]) -> Fraction:
    if match["decimal"] is not None:
        return Fraction(match["decimal"])
    den = int(match["den"] or match["den1"])
    if den == 0:
        raise _UnreadableError("a fraction cannot have 0 below the line")
    part = Fraction(int(match["num"] or match["num1"]), den)
    if match["whole"] is None:
        return part
    if part >= 1:
        raise _UnreadableError(f"the fraction {match['num']}/{match['den']} is a whole or more: a slip of the pencil?")
    return int(match["whole"]) + part


def _find_unit(word: str, kind: str) -> Fraction:
    table = _UNITS[kind]
    bare = word.rstrip(".")
    found = table.get(bare) or table.get(bare.lower())
    if found is not None:
        return found
    if kind == "force" and bare.lower() in {"lb", "lbs", "pound", "pounds", "kg"}:
        raise _UnreadableError(f"'{bare}' is a mass; for a force write '{'kgf' if bare.lower() == 'kg' else 'lbf'}'")
    for other, units in _UNITS.items():
        if bare in units or bare.lower() in units:
            raise _UnreadableError(f"'{bare}' is a unit of {other}")
    near = difflib.get_close_matches(bare.lower(), table, n=1, cutoff=0.5)
    hint = f", did you mean '{near[0]}'?" if near else ""
    raise _UnreadableError(f"unknown unit '{bare}'{hint}")


def _read_gauge(match: re.Match[str]) -> Fraction:
    number, series = match["gauge"], " ".join(match["series"].lower().split())
    if number.endswith("/0"):
        number = "0" * int(number[0])
    if not series:
        rows = ((s, table[number]) for s, table in _gauges().items() if number in table)
        sizes = ", ".join(f"{float(t * INCH):.3f} mm in {s}" for s, t in rows)
        choices = f": {sizes}" if sizes else f" ({', '.join(_gauges())})"
        raise _UnreadableError(f"a gauge number alone fixes no thickness, name the series{choices}")
    name = _SERIES_WORDS.get(series)
    if name is None:
        near = difflib.get_close_matches(series, _SERIES_WORDS, n=1, cutoff=0.6)
        hint = f", did you mean '{near[0]}'?" if near else ""
        raise _UnreadableError(f"unknown gauge series '{series}'{hint}; the series are {', '.join(_gauges())}")
    table = _gauges()[name]
    if number not in table:
        raise _UnreadableError(
            f"the {name} list has gauges {', '.join(table)}; measure the sheet and give its thickness"
        )
    return table[number] * INCH


def _read(text: str, kind: str, bare: str | None) -> Fraction:
    """Return the exact value of a shop string in the unit of the kind."""
    if len(text) > _LONGEST:
        raise _UnreadableError(f"longer than {_LONGEST} characters")
    text = _plain_text(text)
    if not text:
        raise _UnreadableError("empty text")
    if kind == "length" and (gauge_match := _GAUGE.fullmatch(text)):
        return _read_gauge(gauge_match)
    sign, rest = (-1, text[1:].lstrip()) if text.startswith("-") else (1, text.removeprefix("+").lstrip())
    total, worth = Fraction(0), None
    while rest:
        number = _NUMBER.match(rest)
        if number is None:
            raise _UnreadableError(f"no number at '{rest}'")
        value = _read_number(number)
        rest = rest[number.end() :].lstrip()
        unit = _UNIT.match(rest)
        if unit is None:
            if rest.startswith(","):
                raise _UnreadableError("write the decimal sign as a point")
            if rest or bare is None or worth is not None:
                raise _UnreadableError(f"'{rest}' is not a unit" if rest else "the unit is missing")
            this = _find_unit(bare, kind)
        else:
            this = _find_unit(unit[0], kind)
            rest = re.sub(r"^\s*[-,]?\s*(?=[\d.])", "", rest[unit.end() :]).lstrip()
        if worth is not None and (worth, this) not in _CHAINS:
            raise _UnreadableError(
                "sizes that follow one another must be feet then inches, pounds then ounces, degrees then minutes"
            )
        if worth is not None and value * this >= worth:
            raise _UnreadableError("the smaller part is as large as one of the larger unit: a slip of the pencil?")
        total += value * this
        worth = this
    return sign * total


def parse(text: str, kind: str = "length", *, bare: str | None = None, name: str = "value") -> float:
    """Read one shop string.

    Parameters
    ----------
    text : str
        ``"3 5/16 in"``, ``"4-1/2 in"``, ``"2 ft 4 1/2 in"``, ``"12.5 mm"``, ``"16 ga steel"``, ``"35 deg"``.
    kind : {'length', 'angle', 'mass', 'force'}
        Which units are allowed.
    bare : str, optional
        The unit of a text that names none; without it such a text is refused.
    name : str
        What an error calls the value.

    Returns
    -------
    float
        mm, degrees, kg or N: the double nearest to the exact value.

    Raises
    ------
    InvalidInput
        With what is allowed and, where one is near, the unit that was meant.

    Examples
    --------
    >>> parse("3 5/16 in")
    84.1375
    """
    if kind not in _UNITS:
        raise _core.InvalidInput(f"kind must be one of {', '.join(_UNITS)}, got {kind!r}")
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
    if not _UNITS[kind]:
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}, got the text {shown!r}")
    try:
        return float(_read(text, kind, bare))
    except _UnreadableError as why:
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}; got {shown!r}: {why}") from None
    except OverflowError:
        raise _core.InvalidInput(f"{name} must be finite, got {shown!r}") from None


def _is_quantity(value: Any) -> bool:
    return hasattr(value, "magnitude") and hasattr(value, "m_as")


def _from_quantity(value: Any, name: str, kind: str) -> Any:
    """Return a quantity's magnitude in the unit of the kind; its own registry converts."""
    if kind == "angle" and value.unitless:  # a bare number, which the registry would take for radians
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}; got a quantity without a unit")
    if kind == "number" and not value.to_base_units().unitless:
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}, got a quantity in {value.units}")
    try:
        return value.m_as(_BASE[kind])
    except Exception as why:  # each registry has its own error classes
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}; got a quantity in {value.units}: {why}") from None


def _door(value: Any, name: str, kind: str, *, bare: str | None = None, depth: int = 0) -> Any:
    """Turn what the bindings could not take as numbers into a float64 array, naming the element at fault.

    Lists (nested and ragged-checked), integer and text arrays, quantities and shop strings come here; NaN passes, the
    rule of the called function judges it.
    """
    if isinstance(value, str):
        return np.asarray(parse(value, kind, bare=bare, name=name))
    if _is_quantity(value):
        return _door(_from_quantity(value, name, kind), name, kind)
    if isinstance(value, (bool, np.bool_)) or value is None:
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}, got {value!r}")
    if isinstance(value, (numbers.Real, Decimal)):
        try:
            return np.asarray(float(value))
        except (OverflowError, ValueError):
            raise _core.InvalidInput(f"{name} must be finite, got a number too large for the machine") from None
    if isinstance(value, (list, tuple, range)):
        if all(isinstance(v, float) for v in value):
            return np.array(value, dtype=float)
        if depth == _DEEPEST:
            raise _core.InvalidInput(f"{name} must have at most {_DEEPEST} axes")
        parts = [_door(v, f"{name}[{i}]", kind, bare=bare, depth=depth + 1) for i, v in enumerate(value)]
        if len({p.shape for p in parts}) > 1:
            raise _core.InvalidInput(f"{name} must have rows of one length, got {_shapes(parts)}")
        return np.array(parts, dtype=float)
    if isinstance(value, np.ma.MaskedArray) and np.ma.is_masked(value):
        raise _core.InvalidInput(f"{name} must have no masked element")
    if hasattr(value, "__array__") and not isinstance(value, type):
        array = np.asarray(value)
        if array.dtype.kind in "iuf":
            return array.astype(float)
        if array.dtype.kind in "OU":
            return _door(array.tolist(), name, kind, bare=bare)
        raise _core.InvalidInput(f"{name} must be {_SAY[kind]}; got an array of {array.dtype}")
    raise _core.InvalidInput(f"{name} must be {_SAY[kind]}; got {_brief(value)}")


def _shapes(parts: list[np.ndarray]) -> str:
    return " and ".join(dict.fromkeys("one number" if p.ndim == 0 else f"{p.shape[0]}" for p in parts))


def _brief(value: Any) -> str:
    text = repr(value) if isinstance(value, (complex, bytes)) else f"an object of type {type(value).__name__}"
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "..."


def _out(value: Any, kind: str) -> Any:
    array = _door(value, "value", kind)
    return float(array) if array.ndim == 0 else array


def mm(value: Any) -> Any:
    """Return a length, or a list or array of them, in millimetres.

    Parameters
    ----------
    value : number, str, quantity, or list or array of these
        Numbers are mm already.

    Returns
    -------
    float or ndarray
        mm.

    Raises
    ------
    InvalidInput
        When the value is no length; an element of a list is named by its place.

    Examples
    --------
    >>> mm("2 ft 4 1/2 in")
    723.9
    """
    return _out(value, "length")


def deg(value: Any) -> Any:
    """Return an angle, or a list or array of them, in degrees; numbers are degrees already (see `mm`).

    Examples
    --------
    >>> deg("35° 30'")
    35.5
    """
    return _out(value, "angle")


def kg(value: Any) -> Any:
    """Return a mass, or a list or array of them, in kilograms; numbers are kg already (see `mm`).

    Examples
    --------
    >>> kg("500 g")
    0.5
    """
    return _out(value, "mass")


def newton(value: Any) -> Any:
    """Return a force, or a list or array of them, in newtons; numbers are N already (see `mm`).

    Examples
    --------
    >>> newton("1 lbf")
    4.4482216152605
    """
    return _out(value, "force")


@lru_cache(maxsize=1)
def _gauges() -> dict[str, dict[str, Fraction]]:
    """Thickness in inches by series and gauge, as printed in the lists that data/gauges.csv names."""
    tables: dict[str, dict[str, Fraction]] = {}
    lines = resources.files("foldswing").joinpath("data", "gauges.csv").read_text("utf-8").splitlines()
    for line in lines:
        if not line.startswith(("#", "series,")):
            series, number, thickness = line.split(",")[:3]
            tables.setdefault(series, {})[number] = Fraction(thickness)
    return tables


def gauge_series() -> tuple[str, ...]:
    """Return the names of the gauge series: the word that must follow a gauge number."""
    return tuple(_gauges())


def gauge(number: int | str, series: str) -> float:
    """Return the thickness of a sheet gauge.

    Parameters
    ----------
    number : int or str
        Gauge number, such as 16 (or ``"000"`` in the US standard list).
    series : str
        Which list: one of `gauge_series`, or a usual word for it ('galvanized', 'aluminum', 'brass').

    Returns
    -------
    float
        mm, as the list prints it (inches to four decimals). Real sheet varies: measure it.

    Raises
    ------
    InvalidInput
        Unknown series, or a gauge that the series does not list.

    Examples
    --------
    >>> gauge(16, "steel")
    1.51892
    """
    return parse(f"{number} ga {series}", name="gauge")


@dataclass(frozen=True)
class Mark:
    """A length as it is marked with a ruler.

    Attributes
    ----------
    inches : Fraction
        The mark, exact.
    error_mm : float
        Mark minus true length, mm.
    text : str
        ``15-5/32 in``; reads back as a length.
    """

    inches: Fraction
    error_mm: float

    @property
    def text(self) -> str:
        """The mark as written on a sheet."""
        whole, part = divmod(abs(self.inches), 1)
        sign = "-" if self.inches < 0 else ""
        words = "-".join(str(p) for p in (whole, part) if p) or "0"
        return f"{sign}{words} in"


def ruler_step(ruler: Any) -> float:
    """Return the step of a ruler in mm.

    Parameters
    ----------
    ruler : str or number
        An inch fraction such as '1/32 in', or mm such as '0.5 mm'.

    Raises
    ------
    InvalidInput
        When it is no step > 0.

    Examples
    --------
    >>> ruler_step("1/32 in")
    0.79375
    """
    in_own_unit, in_inches = _step(ruler)
    return float(in_own_unit * INCH if in_inches else in_own_unit)


_LONGEST_STEP = 1000  # mm; no ruler is coarser


def _step(ruler: Any) -> tuple[Fraction, bool]:
    """Return the step of a ruler in its own unit, and whether that is the inch."""
    if isinstance(ruler, str):
        try:
            step = _read(ruler, "length", None)
        except _UnreadableError as why:
            raise _core.InvalidInput(
                f"ruler must be a step such as '1/32 in' or '0.5 mm'; got {ruler!r}: {why}"
            ) from None
        in_inches = (step / INCH).denominator in {1, 2, 4, 8, 16, 32, 64, 128, 10, 20, 50, 100}
        if 0 < step <= _LONGEST_STEP:
            return (step / INCH, True) if in_inches else (step, False)
    elif isinstance(ruler, (int, float)) and not isinstance(ruler, bool) and 0 < ruler <= _LONGEST_STEP:
        return Fraction(ruler).limit_denominator(1000), False
    raise _core.InvalidInput(f"ruler must be a step > 0 and up to 1 m such as '1/32 in' or '0.5 mm', got {ruler!r}")


def _length(value: Any) -> Fraction:
    length = mm(value)
    if not isinstance(length, float) or not math.isfinite(length):
        raise _core.InvalidInput(f"length must be one finite length, got {value!r}")
    return Fraction(length)


def mark(length: Any, ruler: Any = "1/32 in") -> Mark:
    """Return the nearest mark of an inch ruler to a length; halfway goes to the larger.

    Parameters
    ----------
    length : length
        mm, or a shop string.
    ruler : str
        Step of the ruler: ``'1/16 in'``, ``'1/32 in'``, ``'1/64 in'``.

    Returns
    -------
    Mark
        The mark in inches and its error.

    Raises
    ------
    InvalidInput
        When the length is not finite or the ruler is no inch ruler.

    Examples
    --------
    >>> mark(1190).text
    '46-27/32 in'
    """
    step, in_inches = _step(ruler)
    if not in_inches:
        raise _core.InvalidInput(f"ruler must be an inch ruler such as '1/32 in', got {ruler!r}")
    true = _length(length)
    inches = step * ((true / INCH / step + Fraction(1, 2)) // 1)
    return Mark(inches, float(inches * INCH - true))


def fraction(length: Any, ruler: Any = "1/32 in") -> str:
    """Return a length as inches and a fraction, rounded to the ruler: the text of `mark`.

    Examples
    --------
    >>> fraction(1190, "1/16 in")
    '46-7/8 in'
    """
    return mark(length, ruler).text


def _off(error: float) -> str:
    """Return the rounding error of a mark in brackets; nothing where it is none to two decimals."""
    text = f"{error:+.2f}"
    return "" if text in {"+0.00", "-0.00"} else f" ({text})"


def on_ruler(length: Any, ruler: Any) -> str:
    """Return a length as the nearest mark of a ruler: mm, or inches and a fraction with the mm behind.

    Parameters
    ----------
    length : length
        mm, or a shop string.
    ruler : str or number
        Step of the ruler in use: an inch fraction, or mm (``'0.5 mm'``).

    Raises
    ------
    InvalidInput
        When the length is not finite or the ruler is no step.

    Examples
    --------
    >>> on_ruler(18.0, "0.5 mm")
    '18.0 mm'
    >>> on_ruler(18.25625, "1/32 in")
    '23/32 in (18.26 mm)'
    """
    step, in_inches = _step(ruler)
    true = _length(length)
    if in_inches:
        at = mark(length, ruler)
        return f"{at.text} ({float(true) + at.error_mm:.2f} mm)"
    return f"{_places(step * ((true / step + Fraction(1, 2)) // 1), step)} mm"


def _places(length: Fraction, step: Fraction) -> str:
    """Return mm with as many decimals as the step of the ruler has, three at most."""
    places = max(0, len(f"{float(step):.3f}".rstrip("0").split(".")[1]))
    return f"{float(length):.{places}f}"


def show(length: Any, ruler: Any = "1/32 in", *, decimals: int = 1) -> str:
    """Return a length in mm and as a ruler mark with the rounding error.

    Parameters
    ----------
    length : length
        mm, or a shop string.
    ruler : str or number
        Step of the ruler in use: an inch fraction, or mm (``'0.5 mm'``).
    decimals : int
        Decimals of the mm figure.

    Returns
    -------
    str
        The error in brackets is mark minus true length, mm; left out where it is nothing to two decimals.

    Raises
    ------
    InvalidInput
        When the length is not finite or the ruler is no step.

    Examples
    --------
    >>> show(384.84)
    '384.8 mm = 15-5/32 in (+0.13)'
    >>> show(384.84, "0.5 mm")
    '384.8 mm, mark 385.0 mm (+0.16)'
    """
    step, in_inches = _step(ruler)
    true = _length(length)
    left = f"{float(true):.{decimals}f} mm"
    if in_inches:
        at = mark(length, ruler)
        return f"{left} = {at.text}{_off(at.error_mm)}"
    rounded = step * ((true / step + Fraction(1, 2)) // 1)
    off = _off(float(rounded - true))
    return f"{left}, mark {_places(rounded, step)} mm{off}" if off else f"{_places(rounded, step)} mm"
