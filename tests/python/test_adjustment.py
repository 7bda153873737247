"""Slots, eccentric bushes and shims: what they say against moving the holes and landing again."""

from __future__ import annotations

import math

import foldswing as fs
import numpy as np
import pytest
from fit_sessions import PIVOT, turned
from foldswing import adjustment, hinge
from hypothesis import given, settings
from hypothesis import strategies as st

ANGLE = st.floats(-180, 180)
SIZE = st.floats(-300, 300)


def miss(landing, panel, body) -> float:
    return float(np.dot(landing.normal, body + turned(landing.point - panel, landing.turn_deg)) - landing.offset)


def moved(landing, hole, shift) -> float:
    panel = PIVOT + (np.asarray(shift) if hole in {"panel", "together"} else 0)
    body = PIVOT + (np.asarray(shift) if hole in {"body", "together"} else 0)
    return miss(landing, panel, body) - miss(landing, PIVOT, PIVOT)


@given(ANGLE, st.tuples(SIZE, SIZE), ANGLE, ANGLE, st.sampled_from(["body", "panel", "together"]))
@settings(max_examples=40)
def test_adjusters_move_a_landing_by_what_they_say(turn, point, line, way, hole) -> None:
    landing = hinge.Landing(turn, point, turned(np.array([1.0, 0.0]), line), 3.0)
    along = turned(np.array([1.0, 0.0]), way)
    reach = adjustment.slot(landing, hole, along, forward=2, backward=1.5)
    for by in (2.0, -1.5, 0.3):
        assert moved(landing, hole, by * along) == pytest.approx(by * reach.per_mm, abs=1e-9)
    assert (reach.least, reach.most) == pytest.approx(tuple(sorted((2 * reach.per_mm, -1.5 * reach.per_mm))), abs=1e-12)
    assert adjustment.shim(landing, hole, along, thickness=2).per_mm == reach.per_mm

    bush = adjustment.eccentric(landing, hole, 1.5)
    round_ = [moved(landing, hole, 1.5 * turned(np.array([1.0, 0.0]), a)) for a in range(360)]
    assert (bush.least, bush.most) == pytest.approx((min(round_), max(round_)), abs=1e-3)
    wanted = 0.6 * bush.most
    found = adjustment.eccentric_settings(landing, hole, 1.5, wanted)
    if bush.per_mm < 1e-9:
        return
    assert found.status == "two"
    for angle, rate in zip(found.angle_deg, found.per_degree, strict=True):
        at = [moved(landing, hole, 1.5 * turned(np.array([1.0, 0.0]), a)) for a in (angle, angle + 1e-4)]
        assert at[0] == pytest.approx(wanted, abs=1e-9)
        assert (at[1] - at[0]) / 1e-4 == pytest.approx(rate, abs=1e-5)


def test_an_eccentric_bush_that_does_not_reach_says_so() -> None:
    landing = hinge.Landing(-90, (-28, 0), (0, 1), 0)
    assert adjustment.eccentric_settings(landing, "body", 0.5, 0.6).status == "none"
    assert adjustment.eccentric_settings(landing, "body", 0.5, 0.5).status == "one"
    shut = hinge.Landing(0, (-28, 0), (0, 1), 0)
    assert adjustment.eccentric_settings(shut, "together", 0.5, 0.0).status == "any"  # shut, the pin moves nothing
    assert adjustment.eccentric_settings(shut, "together", 0.5, 0.1).status == "none"


@given(st.floats(-5, 5), st.floats(-170, 0))
@settings(max_examples=30)
def test_a_shim_under_the_pad_lifts_the_panel_over_it(thickness, turn) -> None:
    landing = hinge.Landing(turn, (-28, 324), (0, 1), -200)
    pad, normal = np.array([0.0, 160.0]), turned(np.array([0.0, 1.0]), 90 + turn + 20)
    s = adjustment.pad_shim(landing, panel=PIVOT, pad=pad, normal=normal, thickness=thickness)
    assert s.reached
    rise = normal @ (turned(pad - PIVOT, s.turn_deg) - turned(pad - PIVOT, turn))
    assert rise == pytest.approx(thickness, abs=1e-9)
    then = hinge.Landing(s.turn_deg, (-28, 324), (0, 1), -200)
    assert miss(then, PIVOT, PIVOT) - miss(landing, PIVOT, PIVOT) == pytest.approx(s.shift, abs=1e-9)
    small = adjustment.pad_shim(landing, panel=PIVOT, pad=pad, normal=normal, thickness=1e-6)
    assert small.shift / 1e-6 == pytest.approx(s.per_mm, rel=1e-4, abs=1e-5)


def test_what_no_shim_lifts_is_said() -> None:
    landing = hinge.Landing(-90, (-28, 324), (0, 1), 0)
    far = adjustment.pad_shim(landing, panel=(0, 0), pad=(0, 100), normal=(0, 1), thickness=101)
    assert not far.reached
    assert math.isnan(far.turn_deg)


def test_bad_calls_are_refused() -> None:
    landing = hinge.Landing(-90, (-28, 0), (0, 1), 0)
    with pytest.raises(fs.InvalidInput, match="hole must be body, panel or together"):
        adjustment.slot(landing, "both", (1, 0), forward=1)  # type: ignore[arg-type]
    with pytest.raises(fs.InvalidInput, match="forward"):
        adjustment.slot(landing, "body", (1, 0), forward=-1)
    with pytest.raises(fs.InvalidInput, match="direction"):
        adjustment.slot(landing, "body", (0, 0), forward=1)
    with pytest.raises(fs.InvalidInput, match="throw_mm"):
        adjustment.eccentric(landing, "body", math.nan)
    with pytest.raises(fs.InvalidInput, match="pad must be a point away"):
        adjustment.pad_shim(landing, panel=(0, 0), pad=(0, 0), normal=(0, 1), thickness=1)
    with pytest.raises(fs.InvalidInput, match="Landing"):
        adjustment.slot("level", "body", (1, 0), forward=1)  # type: ignore[arg-type]
