"""Shop metals by name and temper: what they weigh, how stiff and strong they are, how tight they bend, with sources.

The tables are in foldswing/data. What no source gives is None, never a guess, and no property is taken from another
temper. Strengths MPa, moduli GPa, densities kg/m3.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache
from typing import Literal

from foldswing import _tables, bend_check
from foldswing._core import InvalidInput
from foldswing._values import value

__all__ = [
    "LeastRadius",
    "Metal",
    "MillRange",
    "RadiusRow",
    "RadiusTable",
    "find",
    "least_radius",
    "mill_range",
    "names",
]

_INCH = 25.4  # mm
# Words that say what kind of metal it is, not which: '5052-H32 aluminium' is '5052-H32'.
_KINDS = {"aluminium", "aluminum", "steel", "stainless", "brass", "copper", "sheet", "alloy"}


@value
class RadiusRow:
    """One row of a table of least inside radii.

    Attributes
    ----------
    up_to : float
        Thickness it holds to, mm; infinity for any.
    radius, times_thickness : float
        The least radius is the larger of this radius, mm, and this multiple of the thickness; 0 where not used.
    along : float or None
        The multiple where the bend line runs along the grain; None where the source gives none.
    """

    up_to: float
    radius: float
    times_thickness: float
    along: float | None = None


@value
class RadiusTable:
    """Least inside radii from one source.

    Attributes
    ----------
    source, status : str
        Where it comes from; status 'read', or how else it is known.
    rows : tuple of RadiusRow
        Thinnest first.
    """

    source: str
    status: str
    rows: tuple[RadiusRow, ...]


@value
class Metal:
    """A metal in one temper; None and empty where no source says.

    Attributes
    ----------
    name : str
        Such as '5052-H32', 'DC01' or 'C26000 half hard'.
    density : float or None
        kg/m3.
    modulus : float or None
        Of elasticity, GPa; the lower one where the source gives a range.
    yield_least, yield_typical, yield_most : float or None
        MPa. Least: guaranteed. Typical: not for design. Most: the upper limit.
    ultimate_least, ultimate_typical, ultimate_most : float or None
        Tensile strength, MPa.
    elongation : float or None
        At break, percent; the lower one where the source gives a range.
    radii : tuple of RadiusTable
        Least inside radii, a table for each source.
    springback : tuple of (float, float)
        Inside radius over thickness, and angle wanted over angle on the tool.
    sources : tuple of str
        Where all this comes from, each with its status.
    """

    name: str
    density: float | None = None
    modulus: float | None = None
    yield_least: float | None = None
    yield_typical: float | None = None
    yield_most: float | None = None
    ultimate_least: float | None = None
    ultimate_typical: float | None = None
    ultimate_most: float | None = None
    elongation: float | None = None
    radii: tuple[RadiusTable, ...] = ()
    springback: tuple[tuple[float, float], ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def yield_upper(self) -> float | None:
        """The highest yield given, MPa: what springback and force are reckoned with."""
        return next((y for y in (self.yield_most, self.yield_typical, self.yield_least) if y is not None), None)

    @property
    def ultimate_upper(self) -> float | None:
        """The highest tensile strength given, MPa."""
        return next(
            (u for u in (self.ultimate_most, self.ultimate_typical, self.ultimate_least) if u is not None), None
        )


@value
class LeastRadius:
    """The least inside radius of a metal, as its most cautious source has it.

    Attributes
    ----------
    radius : float
        mm; NaN where no table reaches.
    source : str
        Which table; empty where none reaches.
    others : tuple of (source, radius)
        What the other tables say.
    """

    radius: float
    source: str
    others: tuple[tuple[str, float], ...] = ()


@value
class MillRange:
    """What a mill may send for a gauge of steel sheet.

    Attributes
    ----------
    nominal, least, most : float
        Thickness, mm.
    source : str
        Where that is printed, with its status.
    """

    nominal: float
    least: float
    most: float
    source: str


_FIELDS = {
    "density": "density_kg_m3",
    "modulus": "modulus_gpa",
    "yield_least": "yield_least_mpa",
    "yield_typical": "yield_typical_mpa",
    "yield_most": "yield_most_mpa",
    "ultimate_least": "ultimate_least_mpa",
    "ultimate_typical": "ultimate_typical_mpa",
    "ultimate_most": "ultimate_most_mpa",
    "elongation": "elongation_pct",
}


@cache
def _radii() -> dict[str, tuple[RadiusTable, ...]]:
    sources = {row["id"]: row for row in _tables.table("radius_sources")}
    rows: dict[tuple[str, str], list[RadiusRow]] = {}
    for row in _tables.table("least_radius"):
        along = float(row["along_times_thickness"]) if row["along_times_thickness"] else None
        one = RadiusRow(
            float(row["up_to_mm"] or "inf"), float(row["radius_mm"] or 0), float(row["times_thickness"] or 0), along
        )
        rows.setdefault((row["metal"], row["source"]), []).append(one)
    out: dict[str, tuple[RadiusTable, ...]] = {}
    for (metal, source), table in rows.items():
        known = sources[source]
        told = RadiusTable(f"{known['source']}, {known['locator']}", known["status"], tuple(table))
        out[metal] = (*out.get(metal, ()), told)
    return out


@cache
def _all() -> dict[str, Metal]:
    radii = _radii()
    factors: dict[str, list[dict[str, str]]] = {}
    for row in _tables.table("springback_factor"):
        factors.setdefault(row["metal"], []).append(row)
    known: dict[str, list[dict[str, str]]] = {}
    for row in _tables.table("metals"):
        known.setdefault(row["name"], []).append(row)
    out = {}
    for name in sorted({*known, *radii, *factors}):
        rows = known.get(name, [])
        figures = {
            field: next((float(row[column]) for row in rows if row[column]), None) for field, column in _FIELDS.items()
        }
        tables = radii.get(name, ()) + tuple(t for row in rows for t in radii.get(row["radius_table"], ()))
        bends = tuple((float(row["radius_over_thickness"]), float(row["factor"])) for row in factors.get(name, []))
        told = [_tables.told(row) for row in rows]
        told += [f"least radius: {t.source} ({t.status})" for t in tables]
        told += [f"springback: {_tables.told(factors[name][0])}"] if bends else []
        out[name] = Metal(name, **figures, radii=tables, springback=bends, sources=tuple(told))
    return out


def names() -> tuple[str, ...]:
    """Return the names of the metals there are data for."""
    return tuple(_all())


def _words(name: str) -> frozenset[str]:
    words = frozenset(re.findall(r"[a-z0-9+]+", name.casefold()))
    return words - _KINDS or words


def find(name: str, own: Iterable[Metal] = ()) -> Metal | None:
    """Return the metal of a name, or None: a name without its temper finds nothing of another.

    Parameters
    ----------
    name : str
        Such as '5052-H32 aluminium'. Capitals, order, hyphens and words for the kind of metal do not count.
    own : iterable of Metal
        The shop's own, which win.

    Raises
    ------
    InvalidInput
        When the name is no text.

    Examples
    --------
    >>> find("5052-H32 aluminium sheet").yield_least
    160.0
    >>> find("5052") is None
    True
    """
    if not isinstance(name, str):
        raise InvalidInput(f"name must be text, such as '5052-H32 aluminium', got {str(name)[:40]!r}")
    words = _words(name)
    for metal in (*own, *_all().values()):
        if _words(metal.name) == words:
            return metal
    return None


def least_radius(
    metal: Metal, thickness: object, grain: Literal["across", "along"] = "across", angle_deg: object = 90.0
) -> LeastRadius:
    """Return the least inside radius of a metal: sources disagree, and the largest figure is taken.

    Parameters
    ----------
    metal : Metal
        With its tables.
    thickness : length
        Of the sheet.
    grain : {'across', 'along'}
        How the bend line runs to the grain.
    angle_deg : angle
        Turned through, 0 to 180.

    Raises
    ------
    InvalidInput
        When the metal is none, the thickness is not > 0 or the angle not 0 to 180.

    Examples
    --------
    >>> least_radius(find("DC01"), 1.2).radius
    1.6
    """
    if not isinstance(metal, Metal):
        raise InvalidInput(f"metal must be a Metal, such as find('DC01') gives, got {str(metal)[:40]!r}")
    told: Sequence[tuple[str, float]] = [
        (table.source, bend_check.least_radius(table.rows, thickness, grain, angle_deg)) for table in metal.radii
    ]
    reached = sorted((t for t in told if t[1] == t[1]), key=lambda t: -t[1])  # NaN: the table does not reach
    if not reached:
        return LeastRadius(float("nan"), "")
    return LeastRadius(reached[0][1], reached[0][0], tuple(reached[1:]))


def mill_range(gauge: int, rolled: Literal["hot", "cold"]) -> MillRange | None:
    """Return what a mill may send for a manufacturers' steel gauge, or None where no source says (read: 10 to 18).

    Parameters
    ----------
    gauge : int
        Number of the gauge.
    rolled : {'hot', 'cold'}
        How the sheet is rolled.

    Raises
    ------
    InvalidInput
        When rolled is another word.

    Examples
    --------
    >>> round(mill_range(18, "cold").least, 3)
    1.113
    """
    if not isinstance(rolled, str) or rolled not in {"hot", "cold"}:
        raise InvalidInput(f"rolled must be 'hot' or 'cold', got {str(rolled)[:40]!r}")
    for row in _tables.table("mill_range"):
        if row["gauge"] == str(gauge):
            nominal, least, most = (
                _INCH * float(row[c]) for c in ("nominal_in", f"{rolled}_least_in", f"{rolled}_most_in")
            )
            return MillRange(nominal, least, most, _tables.told(row))
    return None
