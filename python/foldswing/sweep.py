"""Any function over any of its inputs, as an xarray Dataset: a map instead of a number."""

from __future__ import annotations

import inspect
import itertools
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from foldswing import InvalidInput, Outline, units
from foldswing._core import __version__
from foldswing._core.plane import Path
from foldswing._quantities import Quantity, quantity

if TYPE_CHECKING:
    import xarray as xr

__all__ = ["over", "words"]

BAD_INPUT, FAILED = -1, -2
"""Codes of `status` where the function refused a point, and where it broke down."""

_SMALLEST_BATCH = 4  # points: below it a trial of arrays costs more than it saves
_LARGEST_BATCH = 65_536  # points: bounds the memory of one call
_CONVERT = {"mm": units.mm, "degree": units.deg, "kg": units.kg, "N": units.newton}
_SAME_REL = 1e-12  # a function of arrays may round otherwise than of numbers, by a few units in the last place
_SHAPES = (Outline, Path)  # drawn things stay whole, one to a point


class _Leaf(NamedTuple):
    field: str
    value: Any


class _Refused(NamedTuple):
    code: int
    reason: str
    error: Exception


_Leaves = dict[str, _Leaf]


class _UnlikeError(Exception):
    """The result of a call with arrays is not one result a point."""


def over(
    function: Callable[..., Any],
    axes: Mapping[str, Any],
    *,
    fixed: Mapping[str, Any] | None = None,
    units: Mapping[str, str] | None = None,
    name: str | None = None,
    batch: bool | None = None,
) -> xr.Dataset:
    """Evaluate a function at every combination of some of its inputs.

    Parameters
    ----------
    function : callable
        Of the package or your own; called with keywords.
    axes : mapping of input name to its values
        Numbers, shop strings, a quantity array, or words; each a list of at least one. The order is that of the axes.
    fixed : mapping of input name to value, optional
        The other inputs.
    units : mapping of name to unit, optional
        For inputs and results of your own functions that the package has no word for: 'mm', 'degree', '1' ...
    name : str, optional
        Of the variable, where the function gives a plain number or array; otherwise the function's own name.
    batch : bool, optional
        Whether the function takes arrays for its inputs and gives one result each. Found by trial when left out: arrays
        are used only where they give what single calls gave at some points of the sweep.

    Returns
    -------
    xarray.Dataset
        One variable for the function, or for each field of its result value; points have a last axis 'xy', other array
        results axes of their own, padded with NaN where lengths differ. Beside them

        - `status`, int8 with `flag_values` and `flag_meanings`: 'ok', or the result's own word; -1 'bad_input' where
          the function refused the inputs, -2 'failed' where it raised anything else. See `words`.
        - `reason`: the refusal, or the result's own explanation; empty where there is none.

        Values are NaN where there is no result. Attributes: units, long_name, source.

    Raises
    ------
    InvalidInput
        When the sweep itself is ill-stated.
    Exception
        What the function raised, if it raised something other than InvalidInput at every point: the call is wrong.

    Examples
    --------
    >>> from foldswing import arc
    >>> lid = over(arc.radius, {"rise": [36.0, 38.0, 0.0]}, fixed={"chord": 1220.0})
    >>> lid.radius.values.round(1).tolist(), words(lid).values.tolist()
    ([5186.1, 4915.1, nan], ['ok', 'ok', 'bad_input'])
    """
    if not callable(function):
        msg = f"function must be callable, got {function!r}"
        raise InvalidInput(msg)
    own = dict(units or {})
    fixed = dict(fixed or {})
    values = _read_axes(axes, fixed, own)
    points = _Points(function, values, fixed, name or _name_of(function))
    outcomes = list(_loop(points, range(points.count)) if _must_loop(points, batch) else _batches(points, batch))
    _raise_if_hopeless(outcomes)
    return _dataset(points, outcomes, own)


def words(dataset: xr.Dataset) -> xr.DataArray:
    """Return the status of a sweep in words.

    Parameters
    ----------
    dataset : xarray.Dataset
        From `over`.

    Returns
    -------
    xarray.DataArray
        Of str, with the axes of the sweep.
    """
    status = dataset["status"]
    table = dict(zip(status.attrs["flag_values"].tolist(), status.attrs["flag_meanings"].split(), strict=True))
    text = np.array([table[code] for code in status.values.ravel().tolist()]).reshape(status.shape)
    return status.copy(data=text).drop_attrs()


# --- inputs ---


def _name_of(function: Any) -> str:
    name = getattr(function, "__name__", type(function).__name__)
    return name if name.isidentifier() else "value"


def _meaning(name: str, own: Mapping[str, str]) -> Quantity | None:
    known = quantity(name)
    if name in own:
        return Quantity(own[name], known.long_name if known else name.replace("_", " "), bool(known and known.xy))
    return known


def _read_axes(axes: Any, fixed: Mapping[str, Any], own: Mapping[str, str]) -> dict[str, np.ndarray]:
    if not isinstance(axes, Mapping) or not axes:
        msg = f"axes must be a mapping of at least one input name to its values, got {axes!r}"
        raise InvalidInput(msg)
    return {key: _read_axis(key, given, fixed, own) for key, given in axes.items()}


def _read_axis(key: Any, given: Any, fixed: Mapping[str, Any], own: Mapping[str, str]) -> np.ndarray:
    if not isinstance(key, str) or not key.isidentifier():
        msg = f"axes must be named as the function's inputs are, got {key!r}"
        raise InvalidInput(msg)
    if key in fixed:
        msg = f"{key} must be an axis or fixed, not both"
        raise InvalidInput(msg)
    if key in {"status", "reason", "xy"}:
        msg = f"axes must not take a name the sweep uses itself, got {key!r}"
        raise InvalidInput(msg)
    meaning = _meaning(key, own)
    convert = _CONVERT.get(meaning.unit) if meaning else None
    if hasattr(given, "magnitude") and convert is None:
        msg = f"{key} must be plain numbers, or have its unit named by units={{{key!r}: 'mm'}}"
        raise InvalidInput(msg)
    out = given if isinstance(given, np.ndarray) else None
    if out is None:
        out = np.asarray(convert(given)) if convert else _plain_axis(key, given)
    if out.ndim != 1 or out.size == 0:
        msg = f"{key} must be a list of at least one value, got shape {out.shape}"
        raise InvalidInput(msg)
    return out


def _plain_axis(key: str, given: Any) -> np.ndarray:
    try:
        items = list(given)
    except TypeError:
        msg = f"{key} must be a list of values, got {given!r}"
        raise InvalidInput(msg) from None
    if all(isinstance(v, str) for v in items):
        return np.array(items, dtype=object)
    if all(isinstance(v, (int, float, np.number)) and not isinstance(v, bool) for v in items):
        return np.array(items)
    out = np.empty(len(items), dtype=object)
    out[:] = items
    return out


class _Points:
    """The grid, point by point, last axis fastest."""

    def __init__(
        self, function: Callable[..., Any], values: dict[str, np.ndarray], fixed: dict[str, Any], name: str
    ) -> None:
        self.function = function
        self.values = values
        self.fixed = fixed
        self.name = name
        self.shape = tuple(v.size for v in values.values())
        self.count = int(np.prod(self.shape))
        self.table: tuple[str, ...] | None = None
        self.numeric = all(v.dtype.kind in "fiu" for v in values.values())

    def call(self, inputs: Mapping[str, Any]) -> Any:
        result = self.function(**inputs, **self.fixed)
        self.table = getattr(type(result), "status_words", self.table)
        return result

    def at(self, i: int) -> dict[str, Any]:
        places = np.unravel_index(i, self.shape)
        chosen = {k: v[p] for (k, v), p in zip(self.values.items(), places, strict=True)}
        return {k: v.item() if isinstance(v, np.generic) else v for k, v in chosen.items()}

    def columns(self, indices: np.ndarray) -> dict[str, np.ndarray]:
        places = np.unravel_index(indices, self.shape)
        return {k: v[p] for (k, v), p in zip(self.values.items(), places, strict=True)}


# --- evaluation: outcomes are (indices, leaves or refusal), leaves of arrays where there are several indices ---

_Outcome = tuple[np.ndarray, "_Leaves | _Refused", bool]


def _one(points: _Points, i: int) -> _Outcome:
    where = np.array([i])
    try:
        return where, _unfold(points.call(points.at(i)), points.name, None), False
    except InvalidInput as e:
        return where, _Refused(BAD_INPUT, str(e), e), False
    except Exception as e:  # one bad point must not end the sweep; _raise_if_hopeless tells a wrong call
        return where, _Refused(FAILED, f"{type(e).__name__}: {e}", e), False


def _loop(points: _Points, indices: Any) -> Iterator[_Outcome]:
    return (_one(points, int(i)) for i in indices)


def _must_loop(points: _Points, batch: bool | None) -> bool:
    if batch is not None and not isinstance(batch, bool):
        msg = f"batch must be True, False or left out, got {batch!r}"
        raise InvalidInput(msg)
    if batch and not points.numeric:
        msg = "batch must be False where an axis holds words or objects"
        raise InvalidInput(msg)
    return batch is False or not points.numeric or (batch is None and points.count < _SMALLEST_BATCH)


def _batches(points: _Points, batch: bool | None) -> Iterator[_Outcome]:
    everything = np.arange(points.count)
    if batch is None and not _takes_arrays(points):
        return _loop(points, everything)
    parts = np.split(everything, range(_LARGEST_BATCH, points.count, _LARGEST_BATCH))
    return itertools.chain.from_iterable(_halving(points, part) for part in parts)


def _many(points: _Points, indices: np.ndarray) -> _Leaves:
    return _unfold(points.call(points.columns(indices)), points.name, indices.size)


def _halving(points: _Points, indices: np.ndarray) -> Iterator[_Outcome]:
    """Arrays as far as they go: where an element is refused, its half is done in smaller parts."""
    if indices.size == 1:
        yield _one(points, int(indices[0]))
        return
    try:
        leaves = _many(points, indices)
    except Exception:  # found again, and named, at the single point it comes from
        middle = indices.size // 2
        yield from _halving(points, indices[:middle])
        yield from _halving(points, indices[middle:])
        return
    yield indices, leaves, True


def _takes_arrays(points: _Points) -> bool:
    """Whether a call with arrays gives what single calls give, tried at a few points spread over the sweep."""
    tried = np.unique(np.linspace(0, points.count - 1, 7).astype(int))
    singles = [o for o in _loop(points, tried) if not isinstance(o[1], _Refused)]
    if len(singles) < 2:
        return False
    indices = np.concatenate([o[0] for o in singles])
    try:
        together: list[_Outcome] = [(indices, _many(points, indices), True)]
    except Exception:  # a function of numbers only
        return False
    position = {int(i): k for k, i in enumerate(indices)}
    apart, joined = (_gather(o, position) for o in (singles, together))
    return apart.keys() == joined.keys() and all(_same(apart[k][1], joined[k][1]) for k in apart)


def _same(a: np.ndarray, b: np.ndarray) -> bool:
    if a.ndim != b.ndim or a.shape[0] != b.shape[0]:
        return False
    if a.dtype.kind not in "fiub" or b.dtype.kind not in "fiub":
        return a.shape == b.shape and bool(np.all(a == b))
    shape = tuple(np.maximum(a.shape, b.shape))
    return np.allclose(_padded(a, shape), _padded(b, shape), rtol=_SAME_REL, atol=0.0, equal_nan=True)


def _raise_if_hopeless(outcomes: list[_Outcome]) -> None:
    refusals = [leaves for _, leaves, _ in outcomes if isinstance(leaves, _Refused)]
    if len(refusals) == len(outcomes) and all(r.code == FAILED for r in refusals):
        raise refusals[0].error


# --- results into leaves ---


def _unfold(result: Any, name: str, count: int | None, prefix: str = "") -> _Leaves:
    """Take result values apart field by field; `count` results at once where it is not None."""
    if isinstance(result, (tuple, list)) and result and all(_is_value(r) for r in result):
        return _stack([_unfold(r, name, count) for r in result], name, count)
    if not _is_value(result):
        return {name: _Leaf(name, _leaf(result, count))}
    out: _Leaves = {}
    fields = result if isinstance(result, Mapping) else {f: getattr(result, f) for f in result._fields}
    table = getattr(type(result), "status_words", None)
    for field, inner in fields.items():
        given = inner
        if field == "status" and isinstance(inner, np.ndarray):
            if table is None:
                raise _UnlikeError
            given = np.array(table, dtype=object)[inner]
        for key, leaf in _unfold(given, f"{prefix}{field}", count, f"{prefix}{field}_").items():
            out[key] = leaf if _is_value(given) or isinstance(given, (tuple, list)) else _Leaf(field, leaf.value)
    return out


def _is_value(result: Any) -> bool:
    return isinstance(result, Mapping) or (hasattr(result, "_fields") and not isinstance(result, _SHAPES))


def _leaf(result: Any, count: int | None) -> Any:
    if count is None:
        if isinstance(result, (tuple, list)):
            return _objects(result) if any(isinstance(r, _SHAPES) for r in result) else np.asarray(result)
        return result
    if isinstance(result, str) and not result:
        return np.full(count, "", dtype=object)
    array = _objects(result) if isinstance(result, tuple) else np.asarray(result)
    if array.ndim == 0 or array.shape[0] != count:
        raise _UnlikeError
    return array


def _objects(items: Any) -> np.ndarray:
    out = np.empty(len(items), dtype=object)
    out[:] = items
    return out


def _stack(each: list[_Leaves], name: str, count: int | None) -> _Leaves:
    """Several values of one kind: an axis of their own, before that of their fields."""
    axis = 0 if count is None else 1
    out: _Leaves = {}
    for key, leaf in each[0].items():
        parts = [np.asarray(e[key].value) for e in each if key in e]
        if len({p.shape for p in parts}) != 1 or len(parts) != len(each):
            raise _UnlikeError
        out[f"{name}_{key}"] = _Leaf(leaf.field, np.stack(parts, axis=axis))
    return out


def _padded(array: np.ndarray, shape: tuple[int, ...]) -> np.ndarray:
    if array.shape == shape:
        return array
    out = np.full(
        shape, None if array.dtype.kind == "O" else np.nan, dtype=object if array.dtype.kind == "O" else float
    )
    out[tuple(slice(n) for n in array.shape)] = array
    return out


def _gather(outcomes: list[_Outcome], position: Mapping[int, int]) -> dict[str, tuple[str, np.ndarray]]:
    """Field and array of each leaf over all points; NaN, '' or None where a point has none."""
    found: dict[str, list[tuple[list[int], np.ndarray]]] = {}
    fields: dict[str, str] = {}
    for indices, leaves, several in outcomes:
        if isinstance(leaves, _Refused):
            continue
        where = [position[int(i)] for i in indices]
        for key, leaf in leaves.items():
            value = leaf.value if several else _single(leaf.value)
            found.setdefault(key, []).append((where, value))
            fields[key] = leaf.field
    return {key: (fields[key], _join(parts, len(position))) for key, parts in found.items()}


def _single(value: Any) -> np.ndarray:
    if value is None:
        return np.array([np.nan])
    if isinstance(value, (str, *_SHAPES)) or not isinstance(value, (bool, int, float, np.generic, np.ndarray)):
        return _objects([value])
    return np.asarray(value)[np.newaxis]


def _join(parts: list[tuple[list[int], np.ndarray]], count: int) -> np.ndarray:
    arrays = [array for _, array in parts]
    depth = max(a.ndim for a in arrays)
    arrays = [a.reshape(a.shape + (1,) * (depth - a.ndim)) for a in arrays]
    tail = tuple(max(a.shape[k] for a in arrays) for k in range(1, depth))
    kinds = {a.dtype.kind for a in arrays}
    whole = sum(len(where) for where, _ in parts) == count and all(a.shape[1:] == tail for a in arrays)
    if kinds & set("OU"):
        text = all(isinstance(v, str) for a in arrays for v in a.ravel())
        out = np.full((count, *tail), "" if text else None, dtype=object)
    elif whole and len(kinds) == 1:
        out = np.empty((count, *tail), dtype=np.result_type(*arrays))
    else:
        out = np.full((count, *tail), np.nan)
    for (where, _), a in zip(parts, arrays, strict=True):
        place: Any = (where, *(slice(n) for n in a.shape[1:]))
        out[place] = a
    return out


# --- leaves into a dataset ---


def _dataset(points: _Points, outcomes: list[_Outcome], own: Mapping[str, str]) -> xr.Dataset:
    import xarray as xr  # noqa: PLC0415 heavy: loaded when first needed

    gathered = _gather(outcomes, {i: i for i in range(points.count)})
    source = _source(points.function)
    dims = tuple(points.values)
    data: dict[str, Any] = {}
    coords: dict[str, Any] = {}
    for key, values in points.values.items():
        coords[key] = (key, values, _attributes(key, key, own, source))
    said = gathered.pop("explanation", (None, None))[1]
    status, attrs = _status(points, outcomes, gathered.pop("status", (None, None))[1])
    for key, (field, array) in gathered.items():
        name = f"{key}_out" if key in coords or key in {"status", "reason"} else key
        meaning = _meaning(field, own)
        extra = [f"{name}_{k}" for k in range(array.ndim - 1)]
        if meaning and meaning.xy and array.ndim > 1 and array.shape[-1] == 2:
            extra[-1] = "xy"
            coords["xy"] = ("xy", ["x", "y"])
        shaped = array.reshape(points.shape + array.shape[1:])
        data[name] = ((*dims, *extra), shaped, _attributes(field, key, own, source))
    data["status"] = (dims, status.reshape(points.shape), {"long_name": "status", **attrs, "source": source})
    reason = np.full(points.count, "", dtype=object)
    if said is not None:
        reason[:] = said
    for indices, leaves, _ in outcomes:
        if isinstance(leaves, _Refused):
            reason[indices] = leaves.reason
    data["reason"] = (dims, reason.reshape(points.shape), {"long_name": "reason for the status", "source": source})
    shown = {k: repr(v) for k, v in points.fixed.items()}
    inputs = "; ".join(f"{k} = {v if len(v) <= 200 else v[:197] + '...'}" for k, v in shown.items())
    return xr.Dataset(data, coords, {"source": source, "fixed_inputs": inputs})


def _status(points: _Points, outcomes: list[_Outcome], own: np.ndarray | None) -> tuple[np.ndarray, dict[str, Any]]:
    table = ["ok"] if own is None else list(points.table or sorted({w for w in own.ravel() if w}))
    codes = np.zeros(points.count, dtype=np.int8)
    if own is not None:
        codes[:] = [table.index(w) if w else 0 for w in own]
    for indices, leaves, _ in outcomes:
        if isinstance(leaves, _Refused):
            codes[indices] = leaves.code
    values = np.array([*range(len(table)), BAD_INPUT, FAILED], dtype=np.int8)
    return codes, {"flag_values": values, "flag_meanings": " ".join([*table, "bad_input", "failed"])}


def _attributes(field: str, key: str, own: Mapping[str, str], source: str) -> dict[str, str]:
    meaning = _meaning(field, own)
    if meaning is None:
        return {"long_name": key.replace("_", " "), "source": source}
    return {"units": meaning.unit, "long_name": meaning.long_name, "source": source}


def _source(function: Any) -> str:
    module = getattr(inspect.unwrap(function), "__module__", None) or type(function).__module__
    name = getattr(function, "__qualname__", type(function).__qualname__)
    return f"{module}.{name}, foldswing {__version__}"
