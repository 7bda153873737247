"""The table of keys: each field of a job value says its name, kind, limits, default and meaning once.

The reader's checks, the JSON Schema and the help text are all made from it.
"""

from __future__ import annotations

import dataclasses
import difflib
import math
import re
import reprlib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

from foldswing import units
from foldswing._core import InvalidInput
from foldswing._values import value as _value

if TYPE_CHECKING:
    from typing_extensions import dataclass_transform
else:  # needed by type checkers only, and not in Python 3.10

    def dataclass_transform(**_options: Any) -> Any:
        """Return a decorator that does nothing."""
        return lambda function: function


T = TypeVar("T")

REQUIRED: Any = object()
LONGEST_LENGTH = 100_000.0  # mm; a panel is not 100 m long: a slip of unit or of the decimal point
LARGEST_MASS = 10_000.0  # kg, for the same reason
LONGEST_TEXT = 500  # characters of a title, name or note
MOST_ITEMS = 200  # of one list
MOST_READINGS = 20  # of one size
_REPORTED = 15  # problems shown at once

_BLANK = re.compile(r"\s*([A-Z]\d{0,3})?\s*\?\s*")  # how a form's job file marks what is not filled in yet: "A?"

_MEASURES = {"length": "mm", "angle": "deg", "mass": "kg"}
_SAY = {
    "length": "a length",
    "angle": "an angle",
    "mass": "a mass",
    "number": "a number",
    "count": "a whole number",
    "text": "text in quotes",
    "flag": "true or false",
    "table": "a table",
}
_LIKE = {
    "length": ", such as 12.5 or '3 5/16 in'",
    "angle": ", such as 35 or '35 deg'",
    "mass": ", such as '6.5 kg' or '14.3 lb'",
}


@dataclass(frozen=True)
class Key:
    """One key of a job file.

    Attributes
    ----------
    name, kind, help : str
        Kind is 'length', 'angle', 'mass', 'number', 'count', 'text', 'word', 'flag' or 'table'.
    required : bool
        Whether a file must give it.
    default : object
        What it is otherwise; None means not given.
    allowed : tuple of str
        The words a 'word' may be.
    zero : bool
        Whether 0 is allowed; a negative measure never is.
    most : float or None
        Upper limit, in the unit of the kind.
    of : type or None
        The class of a 'table'.
    many : bool
        Whether it is a list of such values ([[name]] for tables).
    """

    name: str
    kind: str
    help: str
    required: bool
    default: Any
    allowed: tuple[str, ...]
    zero: bool
    most: float | None
    of: Any
    many: bool

    @property
    def unit(self) -> str:
        """The unit of the value once read: mm, deg, kg or none."""
        return _MEASURES.get(self.kind, "")

    @property
    def limit(self) -> float | None:
        """Upper limit in force."""
        return self.most if self.most is not None else {"length": LONGEST_LENGTH, "mass": LARGEST_MASS}.get(self.kind)

    def rule(self) -> str:
        """Say what the value must be."""
        if self.kind == "word":
            return "one of " + ", ".join(f"'{w}'" for w in self.allowed)
        text = _SAY[self.kind]
        if self.kind in {"length", "angle", "mass", "number", "count"}:
            text += " >= 0" if self.zero else " > 0"
            if self.limit is not None:
                text += f" and <= {self.limit:g}{' ' + self.unit if self.unit else ''}"
        return text + _LIKE.get(self.kind, "")


def key(
    kind: str,
    help: str,
    *,
    default: Any = REQUIRED,
    allowed: tuple[str, ...] = (),
    zero: bool = False,
    most: float | None = None,
    of: Any = None,
    many: bool = False,
) -> Any:
    """Declare a field of a job value: one row of the table of keys."""
    required = default is REQUIRED
    if many and required is False and default is None:
        default = ()
    row = Key("", kind, help, required, None if required else default, allowed, zero, most, of, many)
    given: dict[str, Any] = {} if required else {"default": default}
    return dataclasses.field(kw_only=True, metadata={"key": row}, **given)


@cache
def keys_of(cls: Any) -> dict[str, Key]:
    """Return the keys of a job class by name."""
    return {f.name: dataclasses.replace(f.metadata["key"], name=f.name) for f in dataclasses.fields(cls)}


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(key,))
def keyed(cls: type[T]) -> type[T]:
    """Make a class body of keys a frozen value that holds its own rules.

    The class may carry `one_of`, `together` (tuples of tuples of names) and `check(self)`, which yields
    (key, what is wrong) for rules between keys.
    """

    def __post_init__(self: Any) -> None:  # noqa: N807
        for name, row in keys_of(made).items():
            given = getattr(self, name)
            if given is None and not row.required:
                continue
            if row.many:
                if not isinstance(given, (tuple, list)):
                    raise InvalidInput(f"{made.__name__}.{name} must be a list, got {brief(given)}")
                object.__setattr__(self, name, tuple(given))
            for one in given if row.many else (given,):
                problem = _misfit(row, one)
                if problem:
                    raise InvalidInput(f"{made.__name__}.{name} must be {problem}, got {brief(one)}")
        for name, problem in rules_broken(self):
            raise InvalidInput(f"{made.__name__}{'.' + name if name else ''}: {problem}")

    cls.__post_init__ = __post_init__  # type: ignore[attr-defined]
    made: Any = _value(cls)
    made.from_dict = classmethod(_from_dict)
    return made  # type: ignore[no-any-return]


def _from_dict(cls: Any, fields: dict[str, Any]) -> Any:
    """Build the value from what to_dict gave: mm, degrees and kg."""
    reader = Reader(unit="mm")
    made = reader.table(cls, _without_none(fields), ())
    reader.finish()
    return made


def _without_none(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _without_none(v) for k, v in value.items() if v is not None}
    return [_without_none(v) for v in value] if isinstance(value, list) else value


def brief(value: Any) -> str:
    """Return a value as an error shows it: short whatever it is."""
    short = reprlib.Repr()
    short.maxstring = short.maxother = short.maxlong = 60
    return short.repr(value)


def _misfit(row: Key, value: Any) -> str | None:
    """Return what a read value should have been, or None when it is right."""
    if row.kind == "table":
        return None if isinstance(value, row.of) else f"a {row.of.__name__}"
    if row.kind == "word":
        return None if isinstance(value, str) and value in row.allowed else row.rule()
    if row.kind == "flag":
        return None if isinstance(value, bool) else row.rule()
    if row.kind == "text":
        fine = isinstance(value, str) and value.strip() and len(value) <= LONGEST_TEXT and _printable(value)
        return None if fine else f"{row.rule()}, 1 to {LONGEST_TEXT} characters that can be printed"
    wanted = int if row.kind == "count" else (int, float)
    if isinstance(value, bool) or not isinstance(value, wanted) or not _finite(value):
        return row.rule()
    if value < 0 or (value == 0 and not row.zero) or (row.limit is not None and value > row.limit):
        return row.rule()
    return None


def _finite(value: Any) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def _printable(text: str) -> bool:
    return all(ch.isprintable() or ch in "\n\t" for ch in text)


def rules_broken(value: Any) -> Iterator[tuple[str, str]]:
    """Yield (key, what is wrong) for every rule between keys that a value breaks."""
    given = {f.name for f in dataclasses.fields(value) if getattr(value, f.name) not in (None, ())}
    before = False
    for key_name, problem in group_problems(type(value), given):
        before = True
        yield key_name, problem
    if not before and hasattr(value, "check"):
        yield from value.check()


def group_problems(cls: Any, given: set[str]) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with the choice of keys: one of several asked for, or several that go together."""
    for group in getattr(cls, "one_of", ()):
        have = [name for name in group if name in given]
        if len(have) != 1:
            yield (
                (have[1] if have else ""),
                f"give exactly one of {listed(group, 'or')}, got {listed(have, 'and') or 'none'}",
            )
    for group in getattr(cls, "at_most_one", ()):
        have = [name for name in group if name in given]
        if len(have) > 1:
            yield have[1], f"give at most one of {listed(group, 'or')}, got {listed(have, 'and')}"
    for group in getattr(cls, "together", ()):
        have = [name for name in group if name in given]
        if have and len(have) < len(group):
            yield (
                have[0],
                f"{listed(group, 'and')} go together: {listed([n for n in group if n not in given], 'and')} missing",
            )


def repeated(what: str, values: Any) -> Iterator[tuple[str, str]]:
    """Yield a problem for every name that comes more than once."""
    for name, count in Counter(v.name for v in values).items():
        if count > 1:
            yield what, f"has the name '{name}' {count} times; names tell things apart"


def listed(words: Any, last: str) -> str:
    """Return words as 'a, b or c'."""
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""


def nearest(word: str, choices: Any) -> str:
    """Return ", did you mean 'x'?" when a choice is near, else an empty text."""
    near = difflib.get_close_matches(word.lower().replace("-", "_")[:60], list(choices), n=1, cutoff=0.6)
    return f"; did you mean '{near[0]}'?" if near else ""


@dataclass
class Reader:
    """Turns plain tables into job values, collecting every problem with its place.

    Attributes
    ----------
    unit : str
        'mm' or 'in': what a bare number of length means.
    place : callable
        Gives the place of a path in the file, such as 'gate.toml line 12: '.
    elsewhere : callable
        Gives a hint for an unknown key that belongs into another table.
    told : set
        Paths of the tables whose keys have been listed.
    readings : dict
        The readings of every size that was given as a list of them, by its path.
    """

    unit: str
    place: Callable[[tuple[Any, ...]], str] = lambda path: ""
    elsewhere: Callable[[str], str] = lambda name: ""
    problems: list[str] = dataclasses.field(default_factory=list)
    told: set[tuple[Any, ...]] = dataclasses.field(default_factory=set)
    readings: dict[str, tuple[float, ...]] = dataclasses.field(default_factory=dict)

    def complain(self, path: tuple[Any, ...], text: str) -> None:
        """Note a problem."""
        label = path_text(path)
        self.problems.append(f"{self.place(path)}{label}{' ' if label else ''}{text}")
        if len(self.problems) > 2 * _REPORTED:  # enough to see that this is no job file
            self.finish()

    def finish(self) -> None:
        """Raise InvalidInput when there was any problem; all of them in one message, a line each."""
        if self.problems:
            shown = list(dict.fromkeys(self.problems))
            more = ["... and more"] if len(shown) > _REPORTED else []
            raise InvalidInput("\n".join(shown[:_REPORTED] + more))

    def table(self, cls: Any, table: Any, path: tuple[Any, ...]) -> Any:
        """Read one table as a value of `cls`; None when something was wrong."""
        before = len(self.problems)
        rows = keys_of(cls)
        for name in table:
            if name not in rows:
                self._unknown(str(name), rows, path)
        values = {}
        for name, row in rows.items():
            if name in table:
                values[name] = (
                    self._many(row, table[name], (*path, name))
                    if row.many
                    else self._one(row, table[name], (*path, name))
                )
            elif row.required:
                self.complain(path, f"lacks '{name}': {row.help}")
        for name, problem in group_problems(cls, {n for n in rows if n in table}):
            self.complain((*path, name) if name else path, f"is one too many: {problem}" if name else f"- {problem}")
        if len(self.problems) > before:
            return None
        made = cls.__new__(cls)
        made.__dict__.update({n: values.get(n, row.default) for n, row in rows.items()})
        for name, problem in rules_broken(made):
            self.complain((*path, name) if name else path, problem)
        return None if len(self.problems) > before else cls(**values)

    def _unknown(self, name: str, rows: dict[str, Key], path: tuple[Any, ...]) -> None:
        hint = nearest(name, rows) or self.elsewhere(name)
        if not hint and path not in self.told:  # once for a table is enough
            self.told.add(path)
            hint = f"; the keys here are {', '.join(rows)}"
        self.complain((*path, name), f"is an unknown key{hint}")

    def _many(self, row: Key, given: Any, path: tuple[Any, ...]) -> tuple[Any, ...] | None:
        if row.kind == "table" and isinstance(given, dict):
            self.complain(path, f"may come several times: write [[{_dotted(path)}]] with two brackets")
            return None
        if not isinstance(given, list):
            self.complain(path, f"must be a list of which each is {row.rule()}, got {brief(given)}")
            return None
        if len(given) > MOST_ITEMS:
            self.complain(path, f"must come at most {MOST_ITEMS} times, got {len(given)}")
            return None
        return tuple(self._one(row, one, (*path, i)) for i, one in enumerate(given))

    def _one(self, row: Key, given: Any, path: tuple[Any, ...]) -> Any:
        if row.kind == "table":
            if isinstance(given, dict):
                return self.table(row.of, given, path)
            if isinstance(given, list) and not row.many:
                self.complain(path, f"comes once: write [{_dotted(path)}] with one bracket")
                return None
            self.complain(path, f"must be a table with {listed(keys_of(row.of), 'and')}, got {brief(given)}")
            return None
        if isinstance(given, str) and (blank := _BLANK.fullmatch(given)):
            letter = f": it is letter {blank[1]} of the measuring form" if blank[1] else ""
            self.complain(path, f"is still empty{letter}; {row.help}")
            return None
        if row.kind in _MEASURES and isinstance(given, list) and len(given) > 1:
            return self._mean(row, given, path)
        try:
            read = self._measure(row, given) if row.kind in _MEASURES else given
        except InvalidInput as why:
            self.complain(path, str(why).removeprefix("value "))
            return None
        if row.kind == "number" and isinstance(read, int) and not isinstance(read, bool) and _finite(read):
            read = float(read)
        problem = _misfit(row, read)
        if problem:
            self.complain(path, f"must be {problem}, got {brief(given)}{self._hint(row, given)}")
            return None
        return read

    def _mean(self, row: Key, given: list[Any], path: tuple[Any, ...]) -> float | None:
        """Return the mean of several readings of one size, and keep them."""
        if len(given) > MOST_READINGS:
            self.complain(path, f"must have at most {MOST_READINGS} readings, got {len(given)}")
            return None
        if any(isinstance(one, list) for one in given):
            self.complain(path, "must be one size or a list of readings of it, got lists within a list")
            return None
        read = [self._one(row, one, path) for one in given]
        values = tuple(float(one) for one in read if one is not None)
        if len(values) < len(read):
            return None
        self.readings[path_text(path)] = values
        return math.fsum(values) / len(values)

    def one(self, row: Key, given: Any) -> Any:
        """Read one value by itself; None, and a problem noted, when it breaks a rule of its key."""
        return self._one(row, given, ())

    def measured(self, given: Any) -> float | None:
        """Return a length, or the mean of a list of readings; None where it is none."""
        trial = Reader(self.unit)
        row = Key("", "length", "", True, None, (), True, None, None, False)
        read = trial._one(row, given, ())
        return None if trial.problems else float(read)

    def _measure(self, row: Key, given: Any) -> Any:
        """Return a length, angle or mass in mm, degrees or kg; what is none of these comes back as it is."""
        if isinstance(given, bool) or not isinstance(given, (int, float, str)):
            return given
        if not isinstance(given, str):
            if not _finite(given):
                return given
            if row.kind == "mass" and self.unit == "in":
                raise InvalidInput(f"must name its unit in a file in inches, such as '14.3 lb', got {brief(given)}")
            if row.kind != "length" or self.unit == "mm":
                return float(given)
            given = repr(float(given))
        bare = {"length": self.unit, "angle": "deg", "mass": "kg" if self.unit == "mm" else None}[row.kind]
        return units.parse(given, row.kind, bare=bare)

    @staticmethod
    def _hint(row: Key, given: Any) -> str:
        if row.kind == "word" and isinstance(given, str):
            return nearest(given, row.allowed)
        if row.kind in _MEASURES and str(given).lstrip().startswith("-"):
            return "; distances are positive, a word or another key says which way"
        if row.kind in {"number", "count"} and isinstance(given, str):
            return "; write it without quotes"
        return ""


def path_text(path: tuple[Any, ...]) -> str:
    """Return a path as written: gate[2].opening.head; places in lists count from 1."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f"{'.' if text else ''}{_safe(part)}"
    return text


def _dotted(path: tuple[Any, ...]) -> str:
    """Return a table's path as its heading in a file has it."""
    return ".".join(str(p) for p in path if not isinstance(p, int))


def _safe(part: str) -> str:
    return part if part.isprintable() and len(part) <= 60 else brief(part)


def schema_of(cls: Any) -> dict[str, Any]:
    """Return the JSON Schema of a job class; texts with units are checked by the reader, not by the schema."""
    rows = keys_of(cls)
    out: dict[str, Any] = {
        "type": "object",
        "description": (cls.__doc__ or "").strip().split("\n")[0],
        "properties": {name: _schema_of_key(row) for name, row in rows.items()},
        "required": [name for name, row in rows.items() if row.required],
        "additionalProperties": False,
    }
    conditions: list[dict[str, Any]] = [
        {"oneOf": [{"required": [name]} for name in group]} for group in getattr(cls, "one_of", ())
    ]
    for group in getattr(cls, "at_most_one", ()):
        pairs = [{"required": [a, b]} for i, a in enumerate(group) for b in group[i + 1 :]]
        conditions.append({"not": {"anyOf": pairs}})
    dependent = {a: [b for b in group if b != a] for group in getattr(cls, "together", ()) for a in group}
    if conditions:
        out["allOf"] = conditions
    if dependent:
        out["dependentRequired"] = dependent
    return out


def _schema_of_key(row: Key) -> dict[str, Any]:
    if row.kind == "table":
        one = schema_of(row.of)
    elif row.kind == "word":
        one = {"type": "string", "enum": list(row.allowed)}
    elif row.kind == "flag":
        one = {"type": "boolean"}
    elif row.kind == "text":
        one = {"type": "string", "minLength": 1, "maxLength": LONGEST_TEXT}
    else:
        one = {"type": "integer" if row.kind == "count" else "number", "minimum" if row.zero else "exclusiveMinimum": 0}
        if row.limit is not None and row.kind in {"count", "number", "angle"}:
            one["maximum"] = row.limit
        if row.kind in _MEASURES:
            either = [one, {"type": "string", "pattern": "[0-9\\u00bc-\\u00be\\u2150-\\u215e]"}]
            several = {
                "type": "array",
                "items": {"anyOf": either},
                "minItems": 2,
                "maxItems": MOST_READINGS,
                "description": "Several readings of it: their mean is the size.",
            }
            one = {"anyOf": [*either, several]}
    one["description"] = row.help + (f" [{row.unit}]" if row.unit else "")
    if not row.required and row.kind != "table" and row.default not in (None, ()):
        one["default"] = row.default
    return {"type": "array", "items": one} if row.many else one
