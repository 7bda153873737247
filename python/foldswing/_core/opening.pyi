from typing import Any

import numpy as np

_Square = tuple[np.ndarray, float, float, float]
_Gap = tuple[str, float, float, tuple[float, float] | None, float, float, float, float, float, str]
_Panel = tuple[str, np.ndarray, np.ndarray, float, float, list[_Gap], str]

def fit(
    width_top: Any,
    width_bottom: Any,
    height_left: Any,
    height_right: Any,
    diagonal_rising: Any,
    diagonal_falling: Any,
    reading_error: Any,
) -> tuple[str, np.ndarray, np.ndarray, np.ndarray, float, str | None, np.ndarray, str | None, _Square, str]: ...
def out_of_square(opening: Any) -> _Square: ...
def bare_gap(painted: Any, paint_panel: Any, paint_body: Any, *, invalid: str = "raise") -> Any: ...
def painted_gap(bare: Any, paint_panel: Any, paint_body: Any, *, invalid: str = "raise") -> Any: ...
def square_panel(
    opening: Any, gaps: Any, seals: list[Any], hinge: str, painted: bool, paint_panel: Any, paint_body: Any
) -> _Panel: ...
def matched_panel(
    opening: Any, gaps: Any, seals: list[Any], hinge: str, painted: bool, paint_panel: Any, paint_body: Any
) -> _Panel: ...
def longest_panel(
    opening: Any, gaps: Any, seals: list[Any], hinge: str, painted: bool, paint_panel: Any, paint_body: Any, across: Any
) -> _Panel: ...
def deepest_panel(
    opening: Any, gaps: Any, seals: list[Any], hinge: str, painted: bool, paint_panel: Any, paint_body: Any, along: Any
) -> _Panel: ...
def given_panel(
    opening: Any,
    gaps: Any,
    seals: list[Any],
    hinge: str,
    painted: bool,
    paint_panel: Any,
    paint_body: Any,
    along: Any,
    across: Any,
    hinge_gap: Any,
) -> _Panel: ...
