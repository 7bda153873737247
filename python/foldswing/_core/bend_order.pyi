from collections.abc import Sequence
from typing import Any

import numpy as np
from foldswing._core import BoundValue
from foldswing._core.blank import Profile
from foldswing._core.plane import Outline
from foldswing.bend_order import Order

class Brake(BoundValue):
    def __init__(
        self,
        name: str,
        kind: str,
        upper: Outline,
        lower: Outline,
        leaf: Outline | None = None,
        *,
        opens: Any,
        greatest_angle_deg: Any = 135.0,
        least_hold: Any = 0.0,
        least_flange: Any = 0.0,
        v_opening: Any = 0.0,
        gauge_from: Any = 0.0,
        gauge_to: Any,
        fingers: Any = (),
        finger_height: Any = 0.0,
        open_ended: bool = False,
        least_cover: Any = 0.9,
    ) -> None: ...
    @property
    def name(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def upper(self) -> Outline: ...
    @property
    def lower(self) -> Outline: ...
    @property
    def leaf(self) -> Outline | None: ...
    @property
    def opens(self) -> float: ...
    @property
    def greatest_angle_deg(self) -> float: ...
    @property
    def least_hold(self) -> float: ...
    @property
    def least_flange(self) -> float: ...
    @property
    def v_opening(self) -> float: ...
    @property
    def gauge_from(self) -> float: ...
    @property
    def gauge_to(self) -> float: ...
    @property
    def fingers(self) -> np.ndarray: ...
    @property
    def finger_height(self) -> float: ...
    @property
    def open_ended(self) -> bool: ...
    @property
    def least_cover(self) -> float: ...

def invented_leaf_brake() -> Brake: ...
def invented_box_and_pan_brake() -> Brake: ...
def invented_press_brake(v_opening: Any) -> Brake: ...
def search_section(
    section: Profile,
    brake: Brake,
    gauge: str,
    names: Sequence[str],
    flats: Sequence[str],
    ends: Sequence[str],
    made: Sequence[int],
) -> Order: ...
def search_tray(
    lengthwise: Profile,
    base_lengthwise: int,
    crosswise: Profile,
    base_crosswise: int,
    brake: Brake,
    gauge: str,
    names: Sequence[str],
    flats: Sequence[str],
    ends: Sequence[str],
    made: Sequence[int],
) -> Order: ...
def obstacle(section: Profile, brake: Brake, made: Sequence[int], bend: int, at_gauge: str, gauge: str) -> str: ...
