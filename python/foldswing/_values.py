"""What every value of the package has: equality, hash, a repr that evaluates, pickling, copying, to_dict, from_dict."""

from __future__ import annotations

import dataclasses
import math
import re
import types
import typing
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

if TYPE_CHECKING:
    from typing_extensions import dataclass_transform
else:  # needed by type checkers only, and not in Python 3.10

    def dataclass_transform(**_options: Any) -> Any:
        """Return a decorator that does nothing."""
        return lambda function: function


_T = TypeVar("_T")


def plain(value: Any) -> Any:
    """Return the value with arrays as nested lists and tuples of values unfolded: what to_dict and repr show."""
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, (tuple, list)):
        return [plain(v) for v in value]
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, np.generic):
        return value.item()
    if hasattr(value, "to_dict"):
        return value.to_dict()
    return value


def _key(value: Any) -> Any:
    """Return a hashable stand-in; NaN equals NaN, so that a result equals itself."""
    if isinstance(value, np.ndarray):
        return _key(value.tolist())
    if isinstance(value, (tuple, list)):
        return tuple(_key(v) for v in value)
    if isinstance(value, dict):
        return tuple((k, _key(v)) for k, v in value.items())
    if isinstance(value, float) and math.isnan(value):
        return "nan"
    return value


def _show(value: Any) -> str:
    if isinstance(value, (np.ndarray, np.generic)):
        return _show(value.tolist())
    if isinstance(value, (tuple, list)):
        inner = ", ".join(_show(v) for v in value)
        if isinstance(value, list):
            return f"[{inner}]"
        return f"({inner},)" if len(value) == 1 else f"({inner})"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k!r}: {_show(v)}" for k, v in value.items()) + "}"
    if isinstance(value, float) and not np.isfinite(value):
        return f"float('{value}')"
    return repr(value)


def _fields(self: Any) -> tuple[str, ...]:
    names: tuple[str, ...] = type(self)._fields
    return names


def _get(self: Any, field: str) -> Any:
    """Return the field; a class that keeps it under another name than its constructor takes says so in _kept_as."""
    return getattr(self, type(self)._kept_as.get(field, field))


def _to_dict(self: Any) -> dict[str, Any]:
    """Return the fields as plain Python numbers, words and lists."""
    return {name: plain(_get(self, name)) for name in _fields(self)}


def _restore(hint: Any, given: Any) -> Any:
    """Give back to a plain value the type its field is annotated with: inner values and tuples of them."""
    if isinstance(given, dict) and hasattr(hint, "from_dict"):
        return hint.from_dict(given)
    arguments = typing.get_args(hint)
    origin = typing.get_origin(hint)
    if isinstance(given, list) and origin is tuple:
        inner = arguments[:1] * len(given) if arguments[-1] is Ellipsis else arguments
        return tuple(_restore(h, v) for h, v in zip(inner, given, strict=True))
    if isinstance(given, list) and origin is list:
        return [_restore(arguments[0], v) for v in given]
    if isinstance(given, dict) and origin is dict:
        return {k: _restore(arguments[1], v) for k, v in given.items()}
    if origin in {typing.Union, types.UnionType} and given is not None:
        kinds = [h for h in arguments if h is not type(None)]
        same = [h for h in kinds if isinstance(given, dict) and set(given) == set(getattr(h, "_fields", ()))]
        return _restore((same or kinds)[0], given)
    return given


def _from_dict(cls: Any, fields: dict[str, Any]) -> Any:
    """Build the value from what to_dict gave."""
    hints = typing.get_type_hints(cls) if dataclasses.is_dataclass(cls) else {}
    return cls(**{name: _restore(hints.get(name), given) for name, given in fields.items()})


def _repr(self: Any) -> str:
    return f"{type(self).__name__}({', '.join(f'{n}={_show(_get(self, n))}' for n in _fields(self))})"


def _eq(self: Any, other: object) -> Any:
    if type(self) is not type(other):
        return NotImplemented
    return all(_key(_get(self, n)) == _key(_get(other, n)) for n in _fields(self))


def _hash(self: Any) -> int:
    return hash((type(self).__name__, *(_key(_get(self, n)) for n in _fields(self))))


def _build(cls: Any, values: tuple[Any, ...]) -> Any:
    return cls(**dict(zip(cls._fields, values, strict=True)))


def _reduce(self: Any) -> tuple[Any, ...]:
    return _build, (type(self), tuple(_get(self, n) for n in _fields(self)))


def _same(self: Any, _memo: Any = None) -> Any:
    return self  # immutable: a copy is the thing itself


def _frozen(self: Any, name: str, _value: Any = None) -> None:
    msg = f"{type(self).__name__} is frozen: cannot change '{name}'"
    raise AttributeError(msg)


def attach(cls: Any, fields: tuple[str, ...]) -> Any:
    """Give a class whose constructor takes `fields` by name the methods of a value."""
    cls._fields = fields
    cls._kept_as = {}
    cls.__module__ = "foldswing" if cls.__name__ in {"Pose", "Outline"} else cls.__module__.replace("._core", "")
    cls.to_dict = _to_dict
    cls.from_dict = classmethod(_from_dict)
    cls.__repr__ = _repr
    cls.__eq__ = _eq
    cls.__hash__ = _hash
    cls.__reduce__ = _reduce
    cls.__copy__ = _same
    cls.__deepcopy__ = _same
    cls.__setattr__ = _frozen
    cls.__delattr__ = _frozen
    return cls


def frozen_array(value: Any, dtype: Any = float) -> np.ndarray:
    """Return a read-only copy."""
    out = np.array(value, dtype=dtype)
    out.setflags(write=False)
    return out


def _frozen_field(given: Any, dtype: Any, several: bool) -> Any:
    if several:
        return tuple(_frozen_field(g, dtype, several=False) for g in given)
    if given is None or (isinstance(given, np.ndarray) and not given.flags.writeable):
        return given
    return frozen_array(given, None if isinstance(given, np.ndarray) else dtype)


def _array_fields(cls: Any) -> list[tuple[str, Any, bool]]:
    """Name, element type and whether it is a tuple of arrays, of each field annotated as an array."""
    found = []
    for field in dataclasses.fields(cls):
        text = str(field.type)
        if "ndarray" in text.lower():
            element = re.search(r"NDArray\[np\.(\w+)\]", text)
            found.append((field.name, getattr(np, element[1]) if element else float, text.startswith("tuple")))
    return found


@dataclass_transform(frozen_default=True, eq_default=False)
def value(cls: type[_T]) -> type[_T]:
    """Make a class body of annotated fields a frozen value; the decorator of every result type.

    Array fields are given as arrays or nested lists; annotate them `np.ndarray` (floats), `NDArray[np.int8]` or a tuple
    of these, and they are stored read-only.
    """
    made: Any = dataclasses.dataclass(frozen=True, eq=False, repr=False)(cls)
    arrays = _array_fields(made)
    if arrays:
        init = made.__init__

        def __init__(self: Any, *args: Any, **kwargs: Any) -> None:  # noqa: N807
            init(self, *args, **kwargs)
            for name, dtype, several in arrays:
                self.__dict__[name] = _frozen_field(self.__dict__[name], dtype, several)

        __init__.__wrapped__ = init  # type: ignore[attr-defined]
        made.__init__ = __init__
    module = made.__module__
    attach(made, tuple(f.name for f in dataclasses.fields(made)))
    made.__module__ = module
    result: type[_T] = made
    return result
