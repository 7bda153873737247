"""Shop units in, millimetres and degrees out."""

from __future__ import annotations

from typing import Any

import numpy as np

from foldswing import _core


def _door(value: Any, name: str, kind: str) -> Any:
    """Turn what the bindings could not take as numbers into a float64 array; called by the bindings only."""
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise _core.InvalidInput(f"{name} must be a {kind}, got {value!r}") from None
    return array
