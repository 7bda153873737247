"""The demo job against the check values of its scenario, which were worked out by independent sweeps.

The scenario is invented; its derived figures are to the digits given. Tolerances are half of the last digit.
"""

from __future__ import annotations

import dataclasses

import foldswing as fs
import numpy as np
import pytest
from foldswing import evaluation, flip_panel, job, report, sheet
from foldswing.evaluation.findings import SAGITTA, Wants, approaches

DEMO = job.read(job.shipped()["lantern_nine"])
GATE = DEMO.gate[0]


def rounded(inner, outer):
    panel = dataclasses.replace(GATE.panel, lower_inner_corner_radius=inner, lower_outer_corner_radius=outer)
    return evaluation.evaluate_gate(dataclasses.replace(GATE, panel=panel), DEMO)


@pytest.fixture(scope="module")
def gate():
    return evaluation.evaluate_gate(GATE, DEMO)


def nearest(result, body, leg):
    (row,) = [a for a in result.closest if a.body == body and a.leg == leg]
    return row


def test_pivot_is_18_from_inner_face_18_below_the_worktop_18_above_the_lower_edge(gate):
    np.testing.assert_allclose(gate.pivot, (-10.0, -18.0), atol=1e-9)
    assert gate.place.from_inner_face == pytest.approx(18.0, abs=1e-9)
    assert gate.place.below_worktop == pytest.approx(18.0, abs=1e-9)
    assert gate.place.above_lower_edge == pytest.approx(18.0, abs=1e-9)
    assert gate.place.from_outer_face == pytest.approx(10.0, abs=1e-9)


def test_gaps_shut_are_3_4_4_and_5_at_the_ends(gate):
    assert [round(g.bare, 9) for g in gate.gaps] == [3.0, 4.0, 4.0, 5.0]
    assert [round(g.painted, 9) for g in gate.gaps] == [2.7, 3.7, 3.7, 4.7]


def test_level_surface_spans_28_inside_to_332_outside_at_worktop_height(gate):
    level = gate.stops[0]
    assert (level.opening_deg, level.face_step) == (90.0, 0.0)
    assert (level.level_from, level.level_to) == pytest.approx((-28.0, 332.0), abs=1e-9)
    assert level.edge_drop == pytest.approx(0.0, abs=1e-9)


def test_lean_stop(gate):
    lean = gate.stops[1]
    assert lean.opening_deg == 125.0
    assert lean.edge_drop == pytest.approx(199.4, abs=0.05)
    assert lean.edge_per_degree == pytest.approx(5.1, abs=0.05)


def test_stay(gate):
    level, lean = gate.stays.stops
    assert level.length == pytest.approx(384.8, abs=0.05)
    assert lean.length == pytest.approx(472.0, abs=0.05)
    assert gate.stays.spacing == (("level", "lean", pytest.approx(87.2, abs=0.05)),)
    assert level.lever_arm == pytest.approx(174.4, abs=0.05)
    assert lean.lever_arm == pytest.approx(108.7, abs=0.05)
    assert level.edge_per_mm == pytest.approx(1.96, abs=0.005)
    assert lean.edge_per_mm == pytest.approx(3.15, abs=0.005)
    assert level.pull_each == pytest.approx(222, abs=0.5)
    assert lean.pull_each == pytest.approx(302, abs=0.5)
    assert lean.pull_alone == pytest.approx(604, abs=1)
    assert gate.stays.worst == "lean"
    assert gate.stays.shut == pytest.approx(31.6, abs=0.05)
    assert level.slack_shut == pytest.approx(353, abs=0.5)
    assert lean.slack_shut == pytest.approx(440, abs=0.5)


@pytest.mark.parametrize(
    ("radii", "first", "first_at", "second", "second_at"),
    [
        ((12.0, 0.0), 0.51, 45.0, 0.41, 119.05),  # the trap: the other, outer corner comes round after level
        ((12.0, 6.0), 0.51, 45.0, 2.35, 108.4),
        ((15.6, 4.8), 2.01, 45.0, 2.01, 111.5),
        ((18.0, 10.0), 3.00, None, 3.00, None),
    ],
)
def test_nose_on_both_legs(radii, first, first_at, second, second_at):
    result = rounded(*radii)
    up_to_level = nearest(result, "worktop nose", "shut to level")
    to_lean = nearest(result, "worktop nose", "level to lean")
    assert up_to_level.bare == pytest.approx(first, abs=0.0051)
    assert to_lean.bare == pytest.approx(second, abs=0.0051)
    if first_at is not None:
        # The gap is flat about its least: flattening the arcs moves the angle by up to a tenth of a degree.
        assert up_to_level.opening_deg == pytest.approx(first_at, abs=0.1)
        assert to_lean.opening_deg == pytest.approx(second_at, abs=0.1)


def test_square_corner_overlaps_the_nose():
    row = nearest(rounded(0.0, 0.0), "worktop nose", "shut to level")
    assert row.bare == 0.0
    assert row.depth == pytest.approx(4.46, abs=0.005)


@pytest.mark.parametrize(("outer", "gap", "at"), [(0.0, 1.41, 29.1), (6.0, 3.35, 18.4)])
def test_sill_on_the_way_to_level(outer, gap, at):
    row = nearest(rounded(12.0, outer), "sill", "shut to level")
    assert row.bare == pytest.approx(gap, abs=0.0051)
    assert row.opening_deg == pytest.approx(at, abs=0.1)


@pytest.mark.parametrize("radii", [(12.0, 0.0), (12.0, 6.0), (15.6, 4.8), (18.0, 10.0)])
def test_sill_at_the_lean_stop_whatever_the_radius(radii):
    row = nearest(rounded(*radii), "sill", "level to lean")
    assert row.bare == pytest.approx(2.29, abs=0.005)
    assert row.opening_deg == pytest.approx(125.0, abs=1e-6)


def test_rail_is_the_lean_stop_and_sill_comes_next(gate):
    row = nearest(gate, "guard rail", "level to lean")
    assert row.bare == pytest.approx(7.56, abs=0.005)
    assert gate.stops[1].rest_gap == pytest.approx(7.56, abs=0.005)
    (first, at), (second, then) = gate.swung_on[:2]
    assert (first, second) == ("guard rail", "sill")
    assert at == pytest.approx(127.4, abs=0.05)
    assert then == pytest.approx(131.1, abs=0.05)


def test_the_trap_stands_on_the_sheet_without_being_asked():
    page = sheet.to_html(report.job_sheet(DEMO, evaluation.evaluate(DEMO)))
    assert "119.05" in page
    assert "0.41 mm" in page


def test_tail_panel():
    panel = evaluation.evaluate_flip_panel(DEMO.flip_panel[0], DEMO)
    assert panel.opening_deg == 102.0
    assert panel.faces[-1].inner == "rearward"
    row = panel.closest[0]
    assert row.bare == pytest.approx(1.52, abs=0.005)
    assert row.opening_deg == pytest.approx(29.2, abs=0.05)
    assert panel.room_behind == pytest.approx(27.3, abs=0.05)
    assert panel.stands_out == pytest.approx(149.3, abs=0.05)
    assert panel.reach_out > panel.stands_out  # it hangs past straight down
    assert panel.metal_without_ears == pytest.approx(1.0, abs=1e-9)
    # with ears of 10 round the pin, which lies 10 behind the outer surface: the box's own figures stay as they were
    assert panel.metal_at_pin == pytest.approx(7.0, abs=1e-9)
    assert "it stays 1.52 mm at 29.2" in panel.ears


def test_tail_panel_as_a_square_box():
    sizes = flip_panel.Sizes(
        **{**evaluation.evaluate_flip_panel(DEMO.flip_panel[0], DEMO).sizes.to_dict(), "corner_radius": 0.0}
    )
    (row,) = approaches(
        flip_panel.panel(sizes).outline(SAGITTA),
        {"return": flip_panel.hinged_side(sizes).outline(SAGITTA)},
        fs.hinge.PivotHinge(flip_panel.pivot(sizes), 0.0, -102.0),
        [("shut", 0.0), ("open", 1.0)],
        Wants({"return": 0.0}, {"return": 0.0}),
    )
    assert row.bare == pytest.approx(0.63, abs=0.005)
    assert row.opening_deg == pytest.approx(32.0, abs=0.05)


def test_hinged_at_the_rear_edge_the_plate_would_face_forward():
    wrong = dataclasses.replace(DEMO.flip_panel[0], hinged_edge="rear", lower_edge="rear")
    result = evaluation.evaluate_flip_panel(wrong, DEMO)
    assert result.faces[-1].inner == "forward"
    assert any("looks the wrong way" in f.what for f in result.findings)


def test_a_deep_pivot_throws_the_corner_into_the_return():
    wrong = dataclasses.replace(DEMO.flip_panel[0], pivot_behind_skin=22.0)
    result = evaluation.evaluate_flip_panel(wrong, DEMO)
    assert result.verdict == "change this first"
    assert any("binds" in f.feel for f in result.findings)


def test_pan_blank():
    pan = evaluation.evaluate_pan(DEMO.pan[0], DEMO)
    assert pan.length == pytest.approx(353.8, abs=0.05)
    assert pan.width == pytest.approx(201.8, abs=0.05)
    # the pin is 4 from the flange's edge, its ear of 10 stands 6 past it on both end flanges
    assert pan.sheet == pytest.approx((pan.length + 12.0, pan.width), abs=1e-9)
    assert all(b.deduction == pytest.approx(2.12, abs=0.005) for b in pan.bends)
    assert all(n == pytest.approx(12.9, abs=0.15) for _, a, b in pan.notches for n in (a, b))  # "about 12.9 square"
    np.testing.assert_allclose(pan.remeasured, (14.0, 330.0, 14.0), atol=1e-9)


def test_roof_lid():
    lid = evaluation.evaluate_crown(DEMO.crown[0], DEMO)
    across, along = lid.ways
    assert across.radius == pytest.approx(4915.1, abs=0.05)
    assert across.length == pytest.approx(1223.2, abs=0.05)
    assert along.radius == pytest.approx(6022.7, abs=0.05)
    assert along.length == pytest.approx(760.5, abs=0.05)
    np.testing.assert_allclose(across.rises.heights, [38.0, 37.0, 33.9, 28.8, 21.7, 12.5, 1.2], atol=0.051)
    assert across.radius - across.smallest_radius == pytest.approx(125.0, abs=0.05)
    assert across.largest_radius - across.radius == pytest.approx(131.8, abs=0.05)
