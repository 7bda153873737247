"""What stays the same from job to job in one shop: its rulers, drills and pins, its paint, how far it is usually out.

A shop file is read like a job file. What it says stands in for what a job leaves out; a job's own value always wins.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any, ClassVar

from foldswing import units
from foldswing._core import InvalidInput, __version__
from foldswing._values import value
from foldswing.job import files, keys, strips
from foldswing.job.brakes import BrakeTool, Cutting, Rolls, Stock
from foldswing.job.keys import key, keyed, repeated
from foldswing.job.metals import OwnMetal
from foldswing.job.parts import PARTS

SHOP_FORMAT = 1
SHOP_FILE = "shop.toml"  # looked for beside the job file, then in the user's own folder
SAME_SHEET = 0.02  # mm; thicknesses or radii this near are the same sheet and tool (common practice, no source)


@keyed
class Paint:
    """Paint on every painted face."""

    per_face: float = key("length", "Thickness on one face, all coats.", zero=True, most=5)


@keyed
class Errors:
    """How far this shop is usually out: standard deviations, of which a third of all cases exceed one."""

    hole: float = key("length", "Of a drilled hole, sideways and up or down each.", default=0.4, zero=True, most=10)
    measured: float = key(
        "length", "Of a place measured with the tape, such as the worktop nose.", default=0.5, zero=True, most=25
    )


@keyed
class BrakeFigure:
    """How one sheet bends on this shop's brake."""

    metal: str = key("text", "The metal, as a job's [[material]] names it.")
    thickness: float = key("length", "Measured thickness, or a gauge with its series.")
    inside_radius: float = key("length", "Inside radius of the bends.", zero=True)
    deduction: float | None = key("length", "Bend deduction for one 90 degree bend.", default=None)
    k_factor: float | None = key(
        "number", "Neutral line from the inside face, as a part of the thickness.", default=None, most=1
    )
    basis: str | None = key("text", "Where that figure comes from, such as the date of the strip.", default=None)

    one_of: ClassVar = (("deduction", "k_factor"),)


@keyed
class Shop:
    """A shop: what a job leaves out is taken from here."""

    format: int = key("count", "Format of the file: 1.", most=SHOP_FORMAT)
    name: str | None = key("text", "What the shop is called, on every sheet.", default=None)
    units: str = key("word", "What a bare length means, here and in jobs that do not say.", allowed=("mm", "inch"))
    ruler: str | None = key("text", "Step of the ruler in use.", default=None)
    paper: str | None = key("word", "Paper in the printer.", default=None, allowed=("A4", "Letter"))
    drills: tuple[float, ...] = key("length", "Diameters of the drills and reamers there are.", default=None, many=True)
    pins: tuple[float, ...] = key("length", "Diameters of the pins in stock.", default=None, many=True)
    paint: Paint | None = key("table", "Its paint.", default=None, of=Paint)
    errors: Errors | None = key("table", "How far it is usually out.", default=None, of=Errors)
    brake: tuple[BrakeFigure, ...] = key(
        "table", "How its sheets bend on its brake.", default=None, of=BrakeFigure, many=True
    )
    metal: tuple[OwnMetal, ...] = key(
        "table", "Metals of its own, with their figures.", default=None, of=OwnMetal, many=True
    )
    brake_tool: tuple[BrakeTool, ...] = key("table", "Its brakes.", default=None, of=BrakeTool, many=True)
    stock: tuple[Stock, ...] = key("table", "Sheets and remnants there are.", default=None, of=Stock, many=True)
    cutting: Cutting | None = key("table", "How it cuts sheets.", default=None, of=Cutting)
    rolls: Rolls | None = key("table", "Its bending rolls.", default=None, of=Rolls)
    coupon: tuple[strips.Coupon, ...] = key(
        "table", "Test strips bent on it.", default=None, of=strips.Coupon, many=True
    )
    coupon_errors: strips.StripErrors | None = key(
        "table", "How well a test strip is read.", default=None, of=strips.StripErrors
    )

    together: ClassVar = (("coupon", "coupon_errors"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.ruler is not None:
            try:
                units.show(1.0, self.ruler)
            except InvalidInput as why:
                yield "ruler", str(why).removeprefix("ruler ")
        yield from repeated("metal", self.metal)
        yield from repeated("brake_tool", self.brake_tool)
        for i, row in enumerate(self.brake):
            for other in self.brake[:i]:
                if _same_bend(row, other.metal, other.thickness, other.inside_radius):
                    bend = f"{row.metal} {row.thickness:g} mm, inside radius {row.inside_radius:g} mm"
                    yield "brake", f"has two figures for {bend}"


def _same_bend(row: BrakeFigure, metal: str, thickness: float, radius: float) -> bool:
    near = abs(row.thickness - thickness) <= SAME_SHEET and abs(row.inside_radius - radius) <= SAME_SHEET
    return near and row.metal.casefold() == metal.casefold()


@value
class ShopFile:
    """A shop file as read.

    Attributes
    ----------
    name, sha256 : str
        Of the file.
    shop : Shop
        What it says.
    given : tuple of str
        The keys it gives, such as 'errors.hole'.
    """

    name: str
    sha256: str
    shop: Shop
    given: tuple[str, ...]


@value
class ShopUse:
    """What a job took from a shop file.

    Attributes
    ----------
    name, sha256 : str
        Of the file.
    shop : str or None
        What the shop is called.
    values : tuple of (str, str)
        What was taken: the key in the job, and its value in words.
    """

    name: str
    sha256: str
    shop: str | None
    values: tuple[tuple[str, str], ...]


def read_shop(path: str | os.PathLike[str]) -> ShopFile:
    """Read a shop file.

    Parameters
    ----------
    path : path
        A TOML file like a job file; `help_text('shop')` tells its keys.

    Raises
    ------
    InvalidInput
        When it is no such file or breaks a rule; every problem found, a line each.
    OSError
        When it cannot be opened.
    """
    path = Path(path)
    with path.open("rb") as file:
        data = file.read(files.LARGEST_FILE + 1)
    return loads_shop(data, name=path.name)


def loads_shop(data: bytes, *, name: str = SHOP_FILE) -> ShopFile:
    """Read a shop file from its bytes; see `read_shop`."""
    text = files.decode(data, name)
    tables = files.load(text, name)
    given = tables.get("format")
    if isinstance(given, bool) or not isinstance(given, int) or given < 1:
        raise InvalidInput(f"{name}: a shop file begins with the line: format = {SHOP_FORMAT}")
    if given > SHOP_FORMAT:
        raise InvalidInput(
            f"{name}: this is a shop file of format {keys.brief(given)}; "
            f"foldswing {__version__} reads formats up to {SHOP_FORMAT}"
        )
    for part in ("title", *PARTS):
        if part in tables:
            raise InvalidInput(f"{name}: '{part}' belongs in a job file; a shop file says what stays the same")
    reader = keys.Reader("in" if tables.get("units") == "inch" else "mm", files.places(text, name))
    shop = reader.table(Shop, tables, ())
    reader.finish()
    inside = {n: t for n, t in tables.items() if n in {"paint", "errors"}}
    paths = [n for n in tables if n not in inside] + [f"{n}.{k}" for n, t in inside.items() for k in t]
    return ShopFile(name, hashlib.sha256(data).hexdigest(), shop, tuple(paths))


_AS_SHOP = {"cutting": "as the shop cuts", "rolls": "the shop's rolls"}


def completed(tables: dict[str, Any], file: ShopFile) -> tuple[dict[str, Any], ShopUse]:
    """Return the tables of a job with what they leave out taken from the shop, and what was taken."""
    out, taken = dict(tables), []
    shop = file.shop
    for name in ("units", "ruler", "paper"):
        said = getattr(shop, name)
        if said is not None and name not in out:
            out[name] = said
            taken.append((name, str(said)))
    for name in ("drills", "pins"):
        if getattr(shop, name) and name not in out:
            out[name] = [_text(v) for v in getattr(shop, name)]
            taken.append((name, ", ".join(_text(v) for v in getattr(shop, name))))
    for name in ("brake_tool", "stock", "cutting", "rolls"):
        said = getattr(shop, name)
        if said and name not in out:
            out[name] = [_table(one) for one in said] if isinstance(said, tuple) else _table(said)
            of = f"{len(said)} of the shop's" if isinstance(said, tuple) else _AS_SHOP[name]
            taken.append((name, of))
    for path in file.given:
        table, _, name = path.partition(".")
        own = out.get(table, {})
        if name and isinstance(own, dict) and name not in own:
            said = _text(getattr(getattr(shop, table), name))
            out[table] = {**own, name: said}
            taken.append((path, said))
    _take_metals(out, shop, taken)
    if isinstance(out.get("material"), list):
        unit = "in" if out.get("units") == "inch" else "mm"
        out["material"] = [
            completed_material(m, shop, unit, taken) if isinstance(m, dict) else m for m in out["material"]
        ]
    return out, ShopUse(file.name, file.sha256, shop.name, tuple(taken))


def _take_metals(out: dict[str, Any], shop: Shop, taken: list[tuple[str, str]]) -> None:
    """Add the shop's metals that a job does not give itself."""
    own = out.get("metal", [])
    if not shop.metal or not isinstance(own, list):
        return
    given = {m["name"].casefold() for m in own if isinstance(m, dict) and isinstance(m.get("name"), str)}
    wanted = [m for m in shop.metal if m.name.casefold() not in given]
    names = keys.keys_of(OwnMetal)
    out["metal"] = own + [{n: getattr(m, n) for n in names if getattr(m, n) is not None} for m in wanted]
    taken.extend(("metal", m.name) for m in wanted)


def completed_material(
    material: dict[str, Any], shop: Shop, unit: str, taken: list[tuple[str, str]] | None = None
) -> dict[str, Any]:
    """Return the table of a material with the shop's bend figure where it gives none of its own."""
    if {"deduction", "k_factor", "test_strip", "rule"} & set(material):
        return material
    reader = keys.Reader(unit)
    thickness, radius = (reader.measured(material.get(n)) for n in ("thickness", "inside_radius"))
    metal = material.get("metal")
    if not isinstance(metal, str) or thickness is None or radius is None:
        return material  # the job reader says what is wrong with it
    found = strips.figure(shop.coupon, shop.coupon_errors, metal, thickness, radius)
    if found is not None:
        if taken is not None:
            taken.append((f"k_factor of material '{str(material.get('name'))[:40]}'", f"{found['k_factor']:.3f}"))
        return {**material, **found}
    for row in shop.brake:
        if _same_bend(row, metal, thickness, radius):
            figure = {"deduction": _text(row.deduction)} if row.deduction is not None else {"k_factor": row.k_factor}
            (name, said), *_ = figure.items()
            if taken is not None:
                taken.append((f"{name} of material '{str(material.get('name'))[:40]}'", str(said)))
            return {"basis": row.basis or "this shop's figure", **material, **figure}
    return material


def _table(given: Any) -> dict[str, Any]:
    """Return the table of a file that reads back as this value."""
    out: dict[str, Any] = {}
    kind: Any = type(given)
    for name, row in keys.keys_of(kind).items():
        said = getattr(given, name)
        if said is None or (row.many and not said):
            continue
        if row.kind == "table":
            out[name] = [_table(v) for v in said] if row.many else _table(said)
        elif row.kind == "length":
            out[name] = [_text(v) for v in said] if row.many else _text(said)
        else:
            out[name] = list(said) if row.many else said
    return out


def _text(length: float) -> str:
    """Return a length as text that reads back exactly."""
    return f"{length!r} mm"


def find_shop(beside: Path, own: Path) -> Path | None:
    """Return the shop file beside a job file, else the user's own, else None."""
    return next((p for p in (beside / SHOP_FILE, own / SHOP_FILE) if p.is_file()), None)
