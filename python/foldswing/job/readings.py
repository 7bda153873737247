"""Several readings of one size: their mean is the size, and how far they lie apart is kept with the job."""

from __future__ import annotations

import dataclasses
import math
import re
import statistics
from typing import Any

from foldswing._core import InvalidInput
from foldswing.job.keys import Key, key, keyed, keys_of

_STEP = re.compile(r"([a-z_]+)((?:\[\d{1,4}\])*)")

# How far one reading may stand off the others before it is asked after: three times what a careful reading is out (tape
# 1 mm, angle finder 0.5 degree, scale 0.1 kg; common practice, no source), and as many times what the others differ.
ODD_BY = {"length": 3.0, "angle": 1.5, "mass": 0.3}
ODD_TIMES = 3.0


def odd_one(values: tuple[float, ...], kind: str) -> float | None:
    """Return the one reading that stands off all the others, or None.

    Parameters
    ----------
    values : tuple of float
        At least three, or nothing can be said: of two that differ either may be right.
    kind : {'length', 'angle', 'mass'}
        What they measure, in mm, degrees or kg.
    """
    if len(values) < 3:
        return None
    ranked = sorted(values)
    low, high = ranked[1] - ranked[0], ranked[-1] - ranked[-2]
    odd, off = (ranked[0], low) if low > high else (ranked[-1], high)
    rest = ranked[1:] if low > high else ranked[:-1]
    return odd if off > max(ODD_BY[kind], ODD_TIMES * (rest[-1] - rest[0])) else None


def far_apart(values: tuple[float, ...], kind: str) -> bool:
    """Tell whether readings differ by more than careful ones do, though none stands off all the others."""
    return max(values) - min(values) > ODD_BY[kind] * (1.0 if len(values) == 2 else ODD_TIMES)


@keyed
class Readings:
    """Readings of one size, mm, degrees or kg; a size given as a list of readings is noted here by itself."""

    size: str = key("text", "Which size, such as 'gate[1].opening.width_top'.")
    values: tuple[float, ...] = key("number", "The readings, at least two.", many=True, zero=True)

    @property
    def mean(self) -> float:
        """Their mean: the size that is worked with."""
        return mean(self.values)

    @property
    def spread(self) -> float:
        """Sample standard deviation of one reading."""
        return statistics.stdev(self.values)

    def check(self) -> Any:
        """Yield what contradicts itself."""
        if len(self.values) < 2:
            yield "values", f"must be at least two readings, got {len(self.values)}"


def mean(values: tuple[float, ...]) -> float:
    """Return the mean of readings, rounded once."""
    return math.fsum(values) / len(values)


def _steps(size: str) -> list[str | int]:
    """Return 'gate[1].opening' as ['gate', 0, 'opening']."""
    out: list[str | int] = []
    for part in size.split("."):
        found = _STEP.fullmatch(part)
        if not found:
            raise InvalidInput(f"must be the path of a size, such as 'gate[1].opening.width_top', got {size[:80]!r}")
        out += [found[1], *(int(n) - 1 for n in re.findall(r"\d+", found[2]))]
    return out


def row_of(job: Any, size: str) -> Key:
    """Return the key that a path means in a job.

    Raises
    ------
    InvalidInput
        When the job has no such size, or it is no length, angle or mass.
    """
    here: Any = job
    row: Key | None = None
    steps = _steps(size)
    for step in steps:
        if isinstance(step, int):
            known = isinstance(here, tuple) and 0 <= step < len(here)
            here = here[step] if known else None
        else:
            kind: Any = type(here)
            row = keys_of(kind).get(step) if hasattr(kind, "__dataclass_fields__") else None
            here = getattr(here, step, None) if row else None
        if here is None:
            raise InvalidInput(f"names the size {size[:80]!r}, which this job does not give")
    if row is None or not row.unit or not isinstance(here, float):
        raise InvalidInput(f"names {size[:80]!r}, which is no length, angle or mass")
    return row


def at(job: Any, size: str) -> float:
    """Return a size of a job by its path; mm, degrees or kg."""
    here = job
    for step in _steps(size):
        here = here[step] if isinstance(step, int) else getattr(here, step)
    return float(here)


def moved(job: Any, size: str, by: float) -> Any:
    """Return the job with one size changed.

    Raises
    ------
    InvalidInput
        When the job would then break a rule.
    """

    def change(value: Any, steps: list[str | int]) -> Any:
        if not steps:
            return value + by
        step = steps[0]
        if isinstance(step, int):
            return tuple(change(v, steps[1:]) if i == step else v for i, v in enumerate(value))
        return dataclasses.replace(value, **{step: change(getattr(value, step), steps[1:])})

    return change(job, _steps(size))
