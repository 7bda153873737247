"""Job files as text: tables with their letters in comments, and the blank of a job to fill in."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from foldswing.forms import plan
from foldswing.forms.asking import join
from foldswing.forms.sizes import lettered
from foldswing.job import keys
from foldswing.job.keys import Key

_WIDE = 44  # characters before a comment


def value_text(value: Any) -> str:
    """Return a value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, list):
        return "[" + ", ".join(value_text(v) for v in value) + "]"
    return json.dumps(str(value), ensure_ascii=False)


def _line(name: str, value: str, comment: str = "") -> str:
    text = f"{name} = {value}"
    return f"{text.ljust(_WIDE)} # {comment}" if comment else text


def _comment(kind: str, path: str) -> str:
    found = lettered(kind, path)
    if found is None:
        pair = [lettered(kind, f"{path}[{n}]") for n in (1, 2, 3, 4)]
        named = [f"{p[0]} {p[1].words}" for p in pair if p is not None]
        return "; ".join(named)
    letter, size = found
    return f"{letter}: {size.words}, by {size.tool}"


def table_lines(kind: str, header: str, path: str, table: dict[str, Any]) -> Iterator[str]:
    """Yield the lines of a table, its own values before the tables within it.

    Parameters
    ----------
    kind : str
        Whose letters stand in the comments.
    header : str
        Such as '[[gate]]'; empty for the head of the file.
    path : str
        Its path in the job, with the number of the part.
    table : dict
        As the file says it.
    """
    if header:
        yield ""
        yield header
    inner = {
        k: v for k, v in table.items() if isinstance(v, dict) or (isinstance(v, list) and v and isinstance(v[0], dict))
    }
    for name, given in table.items():
        if name not in inner:
            yield _line(name, value_text(given), _comment(kind, join(path, name)))
    home = header.strip("[]")
    for name, given in inner.items():
        inside = join(home, name)
        if isinstance(given, dict):
            yield from table_lines(kind, f"[{inside}]", join(path, name), given)
        else:
            for i, one in enumerate(given, 1):
                yield from table_lines(kind, f"[[{inside}]]", f"{join(path, name)}[{i}]", one)


def part_text(kind: str, parts: list[tuple[str, int, dict[str, Any]]]) -> str:
    """Return the text of parts, each with the name of its table and its number in the job."""
    lines: list[str] = []
    for name, number, table in parts:
        lines += table_lines(kind, f"[[{name}]]", f"{name}[{number}]", table)
    return "\n".join(lines).strip("\n") + "\n"


def head_text(kind: str, head: dict[str, Any]) -> str:
    """Return the head of a job file."""
    unit = "inches; a fraction goes in quotes" if head.get("units") == "inch" else "millimetres"
    lines = [f"# Bare numbers are {unit}. Letters in the remarks are those of the measuring form.", ""]
    return "\n".join([*lines, *table_lines(kind, "", "", head)]) + "\n"


def blank_lines(kind: str, cls: Any, header: str, path: str, *, out: bool = False) -> Iterator[str]:
    """Yield the lines of a table that is still to be filled in; `out` has every line commented out.

    What must be filled in is marked "A?" by its letter, or "?"; what may be left out stands commented out.
    """
    mark = "# " if out else ""
    rows = keys.keys_of(cls)
    if header:
        yield ""
        yield f"{mark}{header}"
    tables = []
    for name in plan.order(cls):
        row = rows[name]
        here = join(path, name)
        letters = lettered(kind, here) or lettered(kind, f"{here}[1]")
        if row.kind == "table":
            tables.append(row)
        elif plan.straight(cls, row, lettered=letters is not None):
            needed = (row.required or plan.never_assumed(cls, name)) and not out
            yield ("" if needed else "# ") + _line(name, _blank(kind, here, row), _said(kind, here, row))
    for group in (*getattr(cls, "one_of", ()), *getattr(cls, "at_most_one", ())):
        which = "exactly one" if group in getattr(cls, "one_of", ()) else "at most one"
        yield f"# (of {', '.join(group)}: {which})"
    home = header.strip("[]")
    for row in tables:
        inside = join(home, row.name)
        head = f"[[{inside}]]" if row.many else f"[{inside}]"
        place = join(path, row.name) + ("[1]" if row.many else "")
        if not (row.required and not out):
            yield ""
            yield f"# {row.help} Leave out what there is not."
        yield from blank_lines(kind, row.of, head, place, out=out or not row.required)


def _blank(kind: str, path: str, row: Key) -> str:
    found = lettered(kind, path)
    if row.many:
        letters = [lettered(kind, f"{path}[{n}]") for n in range(1, 5)]
        return "[" + ", ".join(f'"{p[0]}?"' for p in letters if p is not None) + "]" if any(letters) else "[]"
    if row.kind in {"number", "count", "flag"}:
        return '"?"'
    return f'"{found[0]}?"' if found else '"?"'


def _said(kind: str, path: str, row: Key) -> str:
    said = _comment(kind, path)
    if said:
        return said
    return row.help + (f" {' / '.join(row.allowed)}" if row.kind == "word" else "")
