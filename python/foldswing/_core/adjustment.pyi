from typing import Any

import numpy as np

def slot(
    landing: Any, hole: str, direction: Any, forward: Any, backward: Any
) -> tuple[float, float, float]: ...
def eccentric(landing: Any, hole: str, throw_mm: Any) -> tuple[float, float, float]: ...
def eccentric_settings(
    landing: Any, hole: str, throw_mm: Any, shift: Any
) -> tuple[str, np.ndarray, np.ndarray]: ...
def pad_shim(
    landing: Any, panel_hole: Any, body_hole: Any, pad: Any, normal: Any, thickness: Any
) -> tuple[bool, float, float, float]: ...
