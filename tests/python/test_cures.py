"""What would cure a tight place: the smallest radii, moves of pivot and body, each tried out by swinging again."""

from __future__ import annotations

import dataclasses
import math

import foldswing as fs
import foldswing.job as jobs
import numpy as np
import pytest
from foldswing import InvalidInput, cure, evaluation, gate
from foldswing.evaluation import cures, gate_section
from foldswing.evaluation.findings import SAGITTA

JOB = jobs.read(jobs.shipped()["lantern_nine"])
GATE = JOB.gate[0]
SIZES = gate_section.section(GATE)
PIVOT = np.array([-10.0, -18.0])
NOSE, SILL = gate.worktop(SIZES).outline(SAGITTA), gate.sill(SIZES).outline(SAGITTA)
OPEN = 125.0


def section(inner, outer):
    sizes = {**SIZES.to_dict(), "lower_inner_radius": inner, "lower_outer_radius": outer}
    return gate.panel(gate.Sizes(**sizes)).outline(SAGITTA)


def gap(panel, body, pivot=PIVOT):
    return fs.clearance.minimum_gap(panel, body, fs.hinge.PivotHinge(pivot, 0.0, -OPEN)).gap


@pytest.mark.parametrize(
    ("wanted", "inner", "outer"),
    [(1.0, 13.2, 1.7), (2.0, 15.6, 4.8), (3.0, 18.0, 10.0)],  # the invented scenario's own check values
)
def test_smallest_radii_are_those_of_the_scenario_and_no_smaller_ones_do(wanted, inner, outer, show):
    found = cure.smallest_radii(SIZES, PIVOT, OPEN, [(NOSE, wanted)], within=0.0005)
    show(f"smallest radii for {wanted:g} mm to the nose", f"{found.inner:.2f} / {found.outer:.2f}")
    assert found.fits
    assert found.inner == pytest.approx(inner, abs=0.05)
    assert outer - 0.3 <= found.outer <= outer + 0.05  # for 3 mm the scenario takes all the flat there is
    assert gap(section(found.inner, found.outer), NOSE) >= wanted - 0.001
    assert gap(section(found.inner - 0.05, found.outer), NOSE) < wanted - 0.001
    assert gap(section(found.inner, found.outer - 0.05), NOSE) < wanted - 0.001
    assert found.gaps[0] == pytest.approx(gap(section(found.inner, found.outer), NOSE), abs=1e-3)


def test_a_body_that_no_radius_helps_with_is_told_and_does_not_stop_the_search():
    found = cure.smallest_radii(SIZES, PIVOT, OPEN, [(NOSE, 2.0), (SILL, 3.0)])
    assert found.fits
    assert found.gaps[1] == pytest.approx(2.29, abs=0.005)  # whatever the radius, as the scenario says


@pytest.mark.parametrize("way", [(-1.0, 0.0), (1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (1.0, 1.0)])
def test_a_pivot_moved_so_far_keeps_the_gap_and_no_shorter_move_does(way):
    panel = section(12.0, 6.0)
    far = cure.pivot_move(panel, [(NOSE, 1.0)], pivot=PIVOT, turn_to_deg=-OPEN, way=way, most=12.0)
    unit = np.array(way) / math.hypot(*way)
    tried = np.arange(0.0, 12.0, 0.05)
    kept = [gap(panel, NOSE, PIVOT + t * unit) >= 1.0 - 0.005 for t in tried]
    if not any(kept):
        assert math.isnan(far)
        return
    first = tried[kept.index(True)]
    assert first - 0.06 <= far <= first + 0.01
    assert gap(panel, NOSE, PIVOT + far * unit) >= 1.0 - 0.006


def test_a_body_moved_so_far_keeps_the_gap():
    panel = section(12.0, 0.0)
    far = cure.body_move(panel, NOSE, 2.0, pivot=PIVOT, turn_to_deg=-OPEN, way=(-1.0, 0.0), most=10.0)
    assert gap(panel, NOSE.moved(fs.Pose(-far, 0.0, 0.0))) == pytest.approx(2.0, abs=0.006)
    assert cure.body_move(panel, NOSE, 0.1, pivot=PIVOT, turn_to_deg=-OPEN, way=(-1.0, 0.0), most=10.0) == 0.0


def test_a_gate_that_rubs_is_told_every_cure_with_its_number_and_price():
    panel = dataclasses.replace(GATE.panel, lower_inner_corner_radius=12.0, lower_outer_corner_radius=0.0)
    result = evaluation.evaluate_gate(dataclasses.replace(GATE, panel=panel), JOB)
    said = {c.what: c for c in result.cures}
    assert said["Round the lower corners more"].how == "lower inner corner R 15.6 mm, lower outer corner R 4.8 mm"
    assert said["A wider gap to the worktop nose"].how == "worktop nose 1.6 mm inward"
    rub = next(f for f in result.findings if "level to lean" in f.what and "nose" in f.what)
    assert rub.what == "Panel may rub on the worktop nose, level to lean"
    assert "R 15.6 mm" in rub.advice
    assert not rub.stops_work
    good = evaluation.evaluate_gate(GATE, JOB)
    assert good.cures == ()
    assert (good.smallest_radii.inner, good.smallest_radii.outer) == pytest.approx((15.6, 4.8), abs=0.1)


def test_drilled_through_together_the_columns_change_places():
    together = dataclasses.replace(GATE, hinge=dataclasses.replace(GATE.hinge, drilled="together"))
    one, other = evaluation.evaluate_gate(GATE, JOB), evaluation.evaluate_gate(together, JOB)
    assert one.closest[0].likely == one.closest[0].apart
    assert other.closest[0].likely == one.closest[0].together
    assert cures.too_close(dataclasses.replace(one.closest[0], wanted=5.0))


@pytest.mark.parametrize(
    "wrong",
    [
        {"opening_deg": math.nan},
        {"opening_deg": 400.0},
        {"bodies": []},
        {"bodies": [(NOSE, -1.0)]},
        {"bodies": [(NOSE, math.inf)]},
        {"bodies": [NOSE]},
        {"within": 0.0},
        {"within": math.nan},
        {"holes": (math.inf, 0.0)},
    ],
)
def test_radii_of_hostile_input_are_refused(wrong):
    given = {"sizes": SIZES, "holes": PIVOT, "opening_deg": OPEN, "bodies": [(NOSE, 1.0)], **wrong}
    with pytest.raises(InvalidInput):
        cure.smallest_radii(**given)


@pytest.mark.parametrize(
    "wrong",
    [
        {"way": (0.0, 0.0)},
        {"way": (math.nan, 1.0)},
        {"most": -1.0},
        {"most": math.inf},
        {"pivot": (1.0,)},
        {"within": 0},
    ],
)
def test_moves_of_hostile_input_are_refused(wrong):
    given = {"pivot": PIVOT, "turn_to_deg": -OPEN, "way": (1.0, 0.0), "most": 5.0, **wrong}
    with pytest.raises(InvalidInput):
        cure.pivot_move(section(12.0, 6.0), [(NOSE, 1.0)], **given)
