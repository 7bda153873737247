"""From what was typed to what a job file says: sizes with fractions or units, several readings, words, yes or no."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from foldswing.job import keys
from foldswing.job.keys import Key

LONGEST_ANSWER = 500  # characters; more was not typed by a hand

_PLAIN = re.compile(r"\d{1,12}(?:\.\d{0,12})?|\.\d{1,12}", re.ASCII)
_COMMA = re.compile(r"(\d{1,9}),(\d{1,9})", re.ASCII)
_FRACTION = re.compile(r"\d+/\d+", re.ASCII)
_UNIT_WORD = re.compile(r"[A-Za-z\"'\u00b0\u2032\u2033]+\.?")


class Given(NamedTuple):
    """An answer: what the job file will say, and every reading in mm, degrees or kg (words as they are)."""

    raw: Any
    values: tuple[Any, ...]

    @property
    def value(self) -> Any:
        """The mean of readings, or the word."""
        return sum(self.values) / len(self.values) if len(self.values) > 1 else self.values[0]


class Doubtful(Exception):
    """Why an answer cannot be taken, as a question; `instead` is what was probably meant."""

    def __init__(self, question: str, instead: str | None = None) -> None:
        super().__init__(question)
        self.instead = instead


def unit_word(row: Key, unit: str) -> str:
    """Return the unit a bare number has, in words; empty where it has none."""
    if row.kind == "mass" and unit == "in":
        return "say kg or lb"
    return {"length": "inch" if unit == "in" else "mm", "angle": "degrees", "mass": "kg"}.get(row.kind, "")


def read(text: str, row: Key, unit: str) -> Given:
    """Read an answer.

    Raises
    ------
    Doubtful
        With a question, when it cannot be taken.
    """
    if len(text) > LONGEST_ANSWER:
        raise Doubtful(f"That is {len(text)} characters long: what is the answer?")
    if row.unit:
        return _measures(text, row, unit)
    if row.kind == "flag":
        return _flag(text)
    if row.kind == "word":
        return _word(text, row)
    if row.kind in {"number", "count"}:
        return _number(text, row)
    said = text[1:-1] if len(text) > 1 and text[0] == text[-1] and text[0] in "\"'" else text
    _demand(row, said, unit)
    return Given(said, (said,))


def yes_or_no(text: str) -> bool:
    """Return whether an answer is a yes.

    Raises
    ------
    Doubtful
        When it is neither yes nor no.
    """
    word = text.strip().lower()
    if word in {"y", "yes"}:
        return True
    if word in {"n", "no"}:
        return False
    raise Doubtful(f"'{_shown(text)}' is neither yes nor no: which is it?")


def _flag(text: str) -> Given:
    said = yes_or_no(text)
    return Given(said, (said,))


def _word(text: str, row: Key) -> Given:
    word = " ".join(text.lower().split())
    if word.isdecimal() and word.isascii() and 1 <= int(word[:9]) <= len(row.allowed):
        word = row.allowed[int(word) - 1]
    starts = [w for w in row.allowed if w.lower().startswith(word)]
    same = [w for w in row.allowed if w.lower() == word]
    if same:
        return Given(same[0], (same[0],))
    if len(starts) == 1 and word:
        return Given(starts[0], (starts[0],))
    hint = keys.nearest(word, row.allowed).removeprefix("; ")
    raise Doubtful(f"'{_shown(text)}' is none of {keys.listed(row.allowed, 'or')}: {hint or 'which one is it?'}")


def _number(text: str, row: Key) -> Given:
    bare = text.strip()
    if not _PLAIN.fullmatch(bare):
        raise Doubtful(f"'{_shown(text)}' is no number: what is it?")
    number = float(bare) if row.kind == "number" or "." in bare else int(bare)
    _demand(row, number, "mm")
    return Given(number, (number,))


def _demand(row: Key, value: Any, unit: str) -> None:
    """Raise Doubtful when a value breaks the rule of its key."""
    reader = keys.Reader(unit)
    reader.one(row, value)
    if reader.problems:
        raise Doubtful(f"That cannot be: {reader.problems[0].strip()}. What is it?")


def _measures(text: str, row: Key, unit: str) -> Given:
    problem = ""
    try:
        raw, value = _measure(text, row, unit)
    except Doubtful as why:
        problem = str(why)
    else:
        return Given(raw, (value,))
    several = _pieces(text)
    if len(several) > 1:
        try:
            pairs = [_measure(piece, row, unit) for piece in several[: keys.MOST_READINGS + 1]]
        except Doubtful:
            pass
        else:
            if len(pairs) > keys.MOST_READINGS:
                raise Doubtful(f"More than {keys.MOST_READINGS} readings: which is the size?")
            return Given([raw for raw, _ in pairs], tuple(value for _, value in pairs))
    comma = _COMMA.fullmatch(text.strip())
    if comma:
        point, whole = f"{comma[1]}.{comma[2]}", f"{comma[1]}{comma[2]}"
        meant = whole if len(comma[2]) == 3 and comma[1] != "0" else point
        raise Doubtful(f"'{text.strip()}' has a comma: the decimal sign is a point. Is it {meant}?", meant)
    raise Doubtful(problem)


def _measure(text: str, row: Key, unit: str) -> tuple[Any, float]:
    """Return one size as the file says it, and in mm, degrees or kg."""
    bare = text.strip()
    raw: Any = bare
    if _PLAIN.fullmatch(bare):
        raw = float(bare) if "." in bare else int(bare)
    if isinstance(raw, int) and row.kind == "mass" and unit == "in":
        raw = bare
    reader = keys.Reader(unit)
    value = reader.one(row, raw)
    if reader.problems:
        said = reader.problems[0].strip()
        asked = f"How many {unit_word(row, unit)}" if "say" not in unit_word(row, unit) else "How much, in kg or lb"
        if bare.startswith("-"):
            raise Doubtful(f"'{_shown(bare)}' is below nothing, and no size is: is it {bare.lstrip('- ')}?",
                           bare.lstrip("- ") or None)  # fmt: skip
        raise Doubtful(f"'{_shown(bare)}' cannot be it: {said}. {asked}?")
    return raw, float(value)


def _pieces(text: str) -> list[str]:
    """Return what may be several readings: between semicolons, or words with their fractions and units."""
    if ";" in text:
        return [piece for piece in text.split(";") if piece.strip()]
    words = re.sub(r",\s+|\s+and\s+", " ", text).split()
    out: list[str] = []
    for word in words:
        whole = bool(out) and out[-1].isdecimal()
        if out and ((whole and _FRACTION.fullmatch(word)) or _UNIT_WORD.fullmatch(word)):
            out[-1] += f" {word}"
        else:
            out.append(word)
    return out


def _shown(text: str) -> str:
    short = text if len(text) <= 40 else text[:40] + "..."
    return "".join(ch if ch.isprintable() else "\N{REPLACEMENT CHARACTER}" for ch in short)


def of_key(row: Key, raw: Any, unit: str) -> Any:
    """Return a raw value of a job file as read; None where it cannot be."""
    reader = keys.Reader(unit)
    value = reader.one(row, raw)
    return None if reader.problems else value


__all__ = ["Doubtful", "Given", "of_key", "read", "unit_word", "yes_or_no"]
