"""The tables that come with the package: how they are read, and how their source is told."""

from __future__ import annotations

import csv
from importlib import resources


def table(name: str) -> list[dict[str, str]]:
    """Return the rows of one table in data/."""
    text = (resources.files("foldswing") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def told(row: dict[str, str]) -> str:
    """Return where a row is printed and how it was seen."""
    place = f"{row['source']}, {row['locator']}" if row["locator"] else row["source"]
    return f"{place} ({row['status']})"
