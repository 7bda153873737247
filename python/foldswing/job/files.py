"""From the bytes of a job file to plain tables, with the line of every key and a hint for the usual slips."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from typing import Any

from foldswing._core import InvalidInput

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

LARGEST_FILE = 200_000  # bytes; a job is a few pages of text

_LOOKED_AT = 200  # characters of a line that are searched for a usual slip
_LONGEST_PATH = 16  # names joined by points; the TOML reader takes quadratic time over them

_LONG_PATH = re.compile(rf"(?<![\w\-\"'])(?:[\w\-\"']+[ \t]*\.[ \t]*){{{_LONGEST_PATH}}}")
_AT = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)")
_HEADER = re.compile(r"\s*(\[\[?)([^\[\]]+)\]")
_NOT_IN_KEY = re.compile(r"[#\"'\[\]{}]")
_INCH_IN_QUOTES = re.compile(r"=.*\d\s*\"\"(?!\")")
_BARE_SIZE = re.compile(
    r"=\s*-?[\d.]+(?:\s*-?\s*\d+)?(?:\s*/\s*\d+)?\s*(?:\"|'|in\b|mm\b|cm\b|ft\b|deg\b|ga\b|kg\b|lb\b|[A-Za-z°]|/|\d)"
)
_COMMA_DECIMAL = re.compile(r"=\s*\d+,\d+\s*(?:#.*)?$")
_LEADING_ZERO = re.compile(r"=\s*0\d")
_NO_QUOTES = re.compile(r"=\s*[A-Za-z]")
_TYPOGRAPHIC = re.compile("[\u201c\u201d\u2018\u2019]")


def decode(data: bytes, name: str) -> str:
    """Return the text of a job file.

    Raises
    ------
    InvalidInput
        When it is too large, or is no UTF-8 text.
    """
    if len(data) > LARGEST_FILE:
        raise InvalidInput(f"{name}: a job file is at most {LARGEST_FILE} bytes long; this is no job file")
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        raise InvalidInput(f"{name}: saved as UTF-16; save it as plain text in UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        line = data.count(b"\n", 0, why.start) + 1
        raise InvalidInput(
            f"{name} line {line}: byte 0x{data[why.start]:02x} is no UTF-8 text; save the file as plain text in UTF-8"
        ) from None
    if "\x00" in text:
        raise InvalidInput(f"{name} line {text[: text.index(chr(0))].count(chr(10)) + 1}: binary data, not a text file")
    return text


def load(text: str, name: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises
    ------
    InvalidInput
        With the line, and a hint where the slip is a usual one.
    """
    path = _LONG_PATH.search(text)
    if path:
        line = text.count("\n", 0, path.start()) + 1
        raise InvalidInput(f"{name} line {line}: more than {_LONGEST_PATH} names joined by points; this is no job file")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InvalidInput(f"{name}: brackets nested too deeply; this is no job file") from None
    except ValueError as why:  # the TOML error, and whatever a value beyond the machine's limits raises
        raise InvalidInput(_explain(str(why), text, name)) from None


def _explain(message: str, text: str, name: str) -> str:
    found = _AT.search(message)
    lines = text.split("\n")
    reason = _AT.sub("", message).strip()
    reason = reason[:200] if reason.isprintable() else ascii(reason)[:200]
    if found is None:
        return f"{name}: cannot be read as TOML: {reason}"
    number = min(int(found[1]), len(lines)) if found[1] else len(lines)
    line = lines[number - 1][:_LOOKED_AT] if 0 < number <= len(lines) else ""
    place = f"{name} line {number}" if found[1] else f"{name}: ends too early (line {number})"
    shown = line.strip()
    shown = shown[:80] if shown.isprintable() else ascii(shown)[:80]
    return f"{place}: cannot be read as TOML: {reason}; the line is: {shown}{_hint(line, reason)}"


def _hint(line: str, reason: str) -> str:
    """Return what a fabricator most likely did."""
    if "overwrite" in reason or "twice" in reason or "Cannot declare" in reason or "Duplicate" in reason:
        return ". Hint: the same key or table is given twice; several of a kind are written [[name]]"
    if _TYPOGRAPHIC.search(line):
        return '. Hint: use straight quotes, "like this"'
    if _INCH_IN_QUOTES.search(line) or (line.count('"') % 2 and re.search(r"\d\s*\"", line)):
        return '. Hint: an inch mark ends the text too early; write "4 1/2 in", or \'4 1/2"\' in single quotes'
    if line.count("'") % 2 and re.search(r"\d\s*'", line):
        return '. Hint: a foot mark ends the text too early; write "2 ft 4 1/2 in"'
    if _COMMA_DECIMAL.search(line):
        return ". Hint: write the decimal sign as a point"
    if _LEADING_ZERO.search(line):
        return ". Hint: a number does not start with 0 unless a point follows"
    if _BARE_SIZE.search(line):
        return '. Hint: a size with a fraction or a unit goes in quotes, such as "4 1/2 in"'
    if _NO_QUOTES.search(line):
        return ". Hint: words go in quotes"
    return ""


def line_numbers(text: str) -> dict[tuple[Any, ...], int]:
    """Return the line of every table and key that is written in the usual way, one to a line.

    Only for pointing at mistakes: what is not found is reported by its path alone.
    """
    lines: dict[tuple[Any, ...], int] = {}
    count: dict[tuple[Any, ...], int] = {}
    prefix: tuple[Any, ...] = ()
    inside = ""
    for number, line in enumerate(text.split("\n"), 1):
        if inside:
            inside = "" if inside in line else inside
            continue
        line = line[:_LOOKED_AT]  # noqa: PLW2901
        header = _HEADER.match(line)
        if header:
            path: tuple[Any, ...] = ()
            parts = _parts(header[2])
            for i, part in enumerate(parts):
                path = (*path, part)
                if i == len(parts) - 1 and header[1] == "[[":
                    count[path] = count.get(path, -1) + 1
                if path in count:
                    path = (*path, count[path])
            prefix = path
            lines.setdefault(prefix, number)
            continue
        name, equals, _ = line.partition("=")
        if equals and not _NOT_IN_KEY.search(name):
            lines.setdefault((*prefix, *_parts(name)), number)
            for quotes in ('"""', "'''"):
                if line.count(quotes) % 2:
                    inside = quotes
    return lines


def places(text: str, name: str) -> Callable[[tuple[Any, ...]], str]:
    """Return what gives the place of a path in a file, such as 'gate.toml line 12: '."""
    lines = line_numbers(text)

    def place(path: tuple[Any, ...]) -> str:
        for end in range(len(path), 0, -1):
            if path[:end] in lines:
                return f"{name} line {lines[path[:end]]}: "
        return f"{name}: "

    return place


def _parts(dotted: str) -> list[str]:
    return [part.strip().strip("\"'") for part in dotted.split(".")]
