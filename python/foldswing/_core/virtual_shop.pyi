from typing import Any

import numpy as np
from foldswing._core.gate import Sizes

def run(
    tape_error: Any,
    protractor_error_deg: Any,
    drilling_error: Any,
    setting_error: Any,
    packing_error: Any,
    paint_per_face: Any,
    tolerance: Any,
    design_readings: int,
    fit_readings: int,
    together: bool,
    gates: int,
    seed: int,
) -> tuple[int, int, int, int, int, int, int, int, int, int, int, int]: ...
def random_gate(number: int) -> tuple[Sizes, np.ndarray, float, float]: ...
