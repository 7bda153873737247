"""Answers to the questions of `foldswing ask`, looked up in a job file by what is asked."""

from __future__ import annotations

import re
from typing import Any

from foldswing import forms
from foldswing.job import files

PARTS = {"lantern_nine": ("gate", "panel", "lid"), "teasel_four": ("gate", "bent", "lid")}


def typed(value: Any) -> str:
    """A value of a file as a hand would type it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(typed(v) for v in value)
    return str(value)


def look_up(tables: dict[str, Any], path: str) -> Any:
    here: Any = tables
    for name, place in re.findall(r"([a-z_]+)|\[(\d+)\]", path):
        if name:
            here = here.get(name) if isinstance(here, dict) else None
        else:
            here = here[int(place) - 1] if isinstance(here, list) and int(place) <= len(here) else None
    return here


def answer(tables: dict[str, Any], path: str, prompt: str) -> str:
    if path == "shape":
        return "flats and bends"
    if path == "more" or path.endswith(".more"):
        return "y"
    if path.endswith(".there"):
        return "y" if look_up(tables, path.removesuffix(".there")) is not None else ""
    if path.endswith(":which"):
        home = path.removesuffix(":which").rpartition(".")[0]
        given = look_up(tables, home) or {}
        names = re.findall(r"^  \d  ([a-z ]+):", prompt, re.M)
        chosen = [n for n in names if n.replace(" ", "_") in given]
        return chosen[0] if chosen else ""
    found = look_up(tables, path)
    if found is None and path.endswith((".tilt", ".lean")):
        return "0"  # read every time; files leave it out where it is level or upright
    return "" if found is None else typed(found)


def script(tables: dict[str, Any], kind: str, text: str = "", **options: Any) -> tuple[str, list[str]]:
    """Ask a part, answered from tables; return the file's text and the lines that were typed."""
    lines: list[str] = []
    said: list[str] = []

    def read(prompt: str) -> str:
        assert len(lines) < 2000, said[-20:]
        line = answer(tables, talk.asking, said[-1] if said else "")
        said.append(prompt + line)
        lines.append(line)
        return line

    talk = forms.Talk(read, said.append)
    return forms.asked(kind, talk, text=text, **options), lines


def tables_of(text: str) -> dict[str, Any]:
    return files.load(text, "x")
