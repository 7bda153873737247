"""A job file: what a fabricator measured and wants, read into frozen values with clear errors."""

from __future__ import annotations

import dataclasses
import os
from collections import Counter
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path
from typing import Any

from foldswing._core import InvalidInput, __version__
from foldswing.job import files, keys
from foldswing.job.adjusters import Adjuster
from foldswing.job.brakes import BrakeTool, Cutting, Rolls, Stock, ToolCorner
from foldswing.job.curved_flanges import CurvedFlange
from foldswing.job.developed import Developed
from foldswing.job.first_fit import FirstFit, FirstFitFile, loads_first_fit
from foldswing.job.gates import (
    Body,
    BoughtHinge,
    Corner,
    CrownedEdge,
    Gaps,
    Gate,
    Hinge,
    Load,
    Opening,
    Panel,
    Seal,
    Station,
    Stop,
    Worktop,
)
from foldswing.job.joints import FlatSlots, PanelSlots, Tabs
from foldswing.job.keys import Key
from foldswing.job.metals import OwnMetal
from foldswing.job.model import Job
from foldswing.job.parts import Bend, BendStrip, BentPart, Crown, CrownHinge, FlipPanel, Layer, Material, Pan
from foldswing.job.readings import Readings
from foldswing.job.shop import (
    BrakeFigure,
    Errors,
    Paint,
    Shop,
    ShopFile,
    ShopUse,
    completed,
    find_shop,
    loads_shop,
    read_shop,
)
from foldswing.job.stays import GatePlace, GatePlaceCorner, JambPlace, JambPlaceCorner, Stay
from foldswing.job.strips import Coupon, StripErrors
from foldswing.job.trays import FinishedEdge, FlatHole, PanelHole, Section, Tray

__all__ = [
    "Adjuster",
    "Bend",
    "BendStrip",
    "BentPart",
    "Body",
    "BoughtHinge",
    "BrakeFigure",
    "BrakeTool",
    "Corner",
    "Coupon",
    "Crown",
    "CrownHinge",
    "CrownedEdge",
    "CurvedFlange",
    "Cutting",
    "Developed",
    "Errors",
    "FinishedEdge",
    "FirstFit",
    "FirstFitFile",
    "FlatHole",
    "FlatSlots",
    "FlipPanel",
    "Gaps",
    "Gate",
    "GatePlace",
    "GatePlaceCorner",
    "Hinge",
    "JambPlace",
    "JambPlaceCorner",
    "Job",
    "Key",
    "Layer",
    "Load",
    "Material",
    "Opening",
    "OwnMetal",
    "Paint",
    "Pan",
    "Panel",
    "PanelHole",
    "PanelSlots",
    "Readings",
    "Rolls",
    "Seal",
    "Section",
    "Shop",
    "ShopFile",
    "ShopUse",
    "Station",
    "Stay",
    "Stock",
    "Stop",
    "StripErrors",
    "Tabs",
    "ToolCorner",
    "Tray",
    "Worktop",
    "find_shop",
    "help_text",
    "loads",
    "loads_first_fit",
    "loads_shop",
    "loads_with_shop",
    "read",
    "read_shop",
    "schema",
    "shipped",
    "table_of_keys",
    "text_of",
]

FORMAT = 1

# What turns the tables of an older format into those of the next, by the older number; format 1 is the first.
_MIGRATIONS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}


def read(path: str | os.PathLike[str]) -> Job:
    """Read a job file.

    Parameters
    ----------
    path : path
        A TOML file, UTF-8, at most 200 kB. `help_text` tells its keys, `shipped` the examples that come along.

    Returns
    -------
    Job
        Lengths in mm, angles in degrees, masses in kg, whatever the units of the file.

    Raises
    ------
    InvalidInput
        When it is no such file or breaks a rule: file, line, key, value and what is allowed; every problem found, a
        line each.
    OSError
        When there is no such file or it cannot be opened.
    """
    path = Path(path)
    with path.open("rb") as file:
        data = file.read(files.LARGEST_FILE + 1)
    return loads(data, name=path.name)


def loads(data: str | bytes, *, name: str = "job") -> Job:
    r"""Read a job from the text or bytes of a file.

    Parameters
    ----------
    data : str or bytes
        The whole file.
    name : str
        What errors call it.

    Returns
    -------
    Job
        As `read`.

    Raises
    ------
    InvalidInput
        As `read`.

    Examples
    --------
    >>> loads("format = 1\ntitle = 'Lid'\nunits = 'furlong'")
    Traceback (most recent call last):
    foldswing.InvalidInput: job line 3: units must be one of 'mm', 'inch', got 'furlong'
    """
    return loads_with_shop(data, None, name=name)[0]


def loads_with_shop(data: str | bytes, shop: ShopFile | None, *, name: str = "job") -> tuple[Job, ShopUse | None]:
    """Read a job from the text or bytes of a file; what it leaves out is taken from a shop file.

    Parameters
    ----------
    data : str or bytes
        The whole file.
    shop : ShopFile or None
        As `read_shop` gives it; a job's own value always wins.
    name : str
        What errors call it.

    Returns
    -------
    Job, ShopUse or None
        The job, and what it took from the shop.

    Raises
    ------
    InvalidInput
        As `read`.
    """
    if not isinstance(data, (str, bytes)):
        raise InvalidInput(f"data must be the text or bytes of a job file, got {keys.brief(data)}")
    try:
        raw = data.encode() if isinstance(data, str) else data
    except UnicodeEncodeError:
        raise InvalidInput(f"{name}: holds characters that are no text") from None
    text = files.decode(raw, name)
    tables = _of_this_format(files.load(text, name), name)
    use = None
    if shop is not None:
        tables, use = completed(tables, shop)
    unit = "in" if tables.get("units") == "inch" else "mm"
    reader = keys.Reader(unit, files.places(text, name), _elsewhere)
    job = reader.table(Job, tables, ())
    reader.finish()
    if reader.readings:
        several = [Readings(size=size, values=values) for size, values in reader.readings.items()]
        job = dataclasses.replace(job, readings=(*job.readings, *several))
    return job, use


def text_of(data: bytes, *, name: str = "job") -> str:
    """Return the bytes of a job file as text.

    Raises
    ------
    InvalidInput
        When it is too large, or is no text.
    """
    return files.decode(data, name)


def _of_this_format(tables: dict[str, Any], name: str) -> dict[str, Any]:
    """Return the tables in the present format; older ones are migrated in memory, newer ones refused by name."""
    given = tables.get("format")
    if given is None:
        raise InvalidInput(f"{name}: a job file begins with the line: format = {FORMAT}")
    if isinstance(given, bool) or not isinstance(given, int) or given < 1:
        raise InvalidInput(f"{name}: format must be a whole number from 1 to {FORMAT}, got {keys.brief(given)}")
    if given > FORMAT:
        raise InvalidInput(
            f"{name}: this is a job file of format {keys.brief(given)}; "
            f"foldswing {__version__} reads formats up to {FORMAT}"
        )
    while given < FORMAT:
        tables = _MIGRATIONS[given](tables)
        given += 1
    return {**tables, "format": FORMAT}


def _elsewhere(name: str) -> str:
    """Return where else a key that is unknown here belongs."""
    homes = [path for path, _ in _walk() if path.rpartition(".")[2] == name]
    return f"; '{name}' belongs in {keys.listed(homes[:3], 'or')}" if homes else ""


def _walk(cls: Any = Job, prefix: str = "") -> Iterator[tuple[str, Key]]:
    for name, row in keys.keys_of(cls).items():
        yield prefix + name, row
        if row.kind == "table":
            yield from _walk(row.of, f"{prefix}{name}.")


def table_of_keys() -> dict[str, Key]:
    """Return every key of a job file by its path, such as 'gate.opening.width_top'; the one place that defines them."""
    return dict(_walk())


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a job file, as plain tables.

    Texts with units, and rules between tables, are checked by `read` only.
    """
    top = keys.schema_of(Job)
    top["properties"]["format"] = {"const": FORMAT, "description": top["properties"]["format"]["description"]}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "foldswing job", **top}


_OTHERS = {"shop": Shop, "fit": FirstFit}  # files beside the job's


def help_text(under: str = "") -> str:
    """Return the keys of a job file in words.

    Parameters
    ----------
    under : str
        A table such as 'gate' or 'gate.worktop'; all by default; 'shop' for those of a shop file, 'fit' for those of a
        file of readings, after the first fit.

    Returns
    -------
    str
        A line per key: name, kind, whether needed, what is allowed, meaning.

    Raises
    ------
    InvalidInput
        When there is no such table.
    """
    top: Any = Job
    if under in _OTHERS:
        top, under = _OTHERS[under], ""
    table = dict(_walk(top))
    shared = Counter(row.of for row in table.values() if row.kind == "table")
    tables = [""] + [path for path, row in table.items() if row.kind == "table"]
    if under not in tables:
        raise InvalidInput(
            f"under must be a table of the job file, got {keys.brief(under)}{keys.nearest(under, tables)}"
        )
    out: list[str] = []
    for home in tables:
        if home != under and not home.startswith(f"{under}." if under else ""):
            continue
        row = table.get(home)
        cls = row.of if row else top
        if row:
            out += ["", f"[[{home}]]" if row.many else f"[{home}]"]
        if row and shared[row.of] > 1:  # what tells it from others of the same keys
            out.append(f"  # {row.help}")
        out.append("  # " + (cls.__doc__ or "").strip().split("\n")[0])
        for name, own in keys.keys_of(cls).items():
            if own.kind == "table":
                continue
            out.append(f"  {name:<28}{_needed(own):<15} {own.help} {_allowed(own)}".rstrip())
        for group in getattr(cls, "one_of", ()):
            out.append(f"  Exactly one of: {keys.listed(group, 'or')}.")
        for group in getattr(cls, "together", ()):
            out.append(f"  Together or not at all: {keys.listed(group, 'and')}.")
    return "\n".join(out).lstrip("\n") + "\n"


def _needed(row: Key) -> str:
    if row.required:
        return "needed"
    if row.default in (None, ()):
        return "optional"
    return f"else {str(row.default).lower() if isinstance(row.default, bool) else row.default}"


def _allowed(row: Key) -> str:
    if row.kind == "word":
        return f"({keys.listed([repr(w) for w in row.allowed], 'or')})"
    return f"({row.kind}{', ' + row.unit if row.unit else ''}{', a list' if row.many else ''})"


def shipped() -> dict[str, Path]:
    """Return the example jobs that come along, by name; all of them are invented and marked so."""
    home = resources.files("foldswing") / "jobs"
    return {p.stem: p for p in sorted(Path(str(home)).glob("*.toml"))}
