"""What a job comes to beyond the demo: pivots that are not decided, stops not reached, ways of giving a stop."""

from __future__ import annotations

import dataclasses
import html
import math

import foldswing as fs
import numpy as np
import pytest
import shapely
import shapely.affinity
from foldswing import evaluation, job, report
from foldswing.evaluation.flips import looks
from foldswing.evaluation.gate_section import section, surroundings
from foldswing.sheet import to_html
from hypothesis import given
from hypothesis import strategies as st

DEMO = job.read(job.shipped()["lantern_nine"])
INCH = job.read(job.shipped()["teasel_four"])
GATE = DEMO.gate[0]


def with_stops(*stops, hinge=None, gaps=None):
    changed = dataclasses.replace(GATE, stop=stops, hinge=hinge or GATE.hinge, gaps=gaps or GATE.gaps)
    return evaluation.evaluate_gate(changed, DEMO)


def test_level_and_the_right_height_at_a_further_lean_decide_the_pivot():
    # The hard case: flush at level, and the edge at a height of its own 35 degrees further down.
    level = job.Stop(name="level", lands="level", face="flush", within=0.5)
    lean = job.Stop(name="lean", below_level=35.0, edge_drop=201.0, within=0.5)
    result = with_stops(level, lean)
    assert result.pivot_status == "point"
    assert result.stops[0].face_step == pytest.approx(0.0, abs=1e-9)
    exact = fs.gate.opened(result.sizes, result.pivot, 125.0)
    assert exact.edge_drop == pytest.approx(201.0, abs=1e-9)
    assert result.stops[1].edge_drop == pytest.approx(201.0, abs=0.5)  # its marks are on the ruler


def test_two_heights_for_the_same_edge_cannot_be():
    one = job.Stop(name="level", lands="level", face="flush", within=0.0)
    other = job.Stop(name="again", turn=90.0, face="proud", face_by=4.0, within=0.0)
    result = with_stops(one, other)
    assert result.verdict == "cannot"
    assert result.pivot_status == "none"
    assert "4.0" in result.explanation or "4 mm" in result.explanation
    assert result.closest == ()


def test_flush_alone_leaves_a_line_and_the_shut_gap_to_the_nose_decides():
    result = with_stops(job.Stop(name="level", lands="level", face="flush"))
    assert result.pivot_status == "point"
    np.testing.assert_allclose(result.pivot, (-10.0, -18.0), atol=1e-9)
    assert "line of pivots" in result.explanation


def test_flush_alone_without_a_gap_wanted_stays_a_line():
    result = with_stops(
        job.Stop(name="level", lands="level", face="flush"), gaps=dataclasses.replace(GATE.gaps, nose=None)
    )
    assert result.pivot_status == "line"
    assert result.verdict == "change this first"


def test_stops_that_ask_nothing_leave_any_pivot():
    result = with_stops(job.Stop(name="open", turn=100.0))
    assert result.pivot_status == "any"
    assert result.findings[0].stops_work


def test_a_given_pivot_is_checked_and_its_misses_are_told():
    hinge = dataclasses.replace(GATE.hinge, pivot_from_inner_face=18.0, pivot_below_worktop=15.0)
    result = with_stops(*GATE.stop, hinge=hinge)
    assert result.pivot_status == "given"
    # common practice, no source, and plain geometry: at 90 degrees 1 mm of pivot height is 1 mm of step
    assert result.stops[0].face_step == pytest.approx(3.0, abs=1e-9)
    assert any(f.what.startswith("Inner face is out") for f in result.findings)


def test_a_stop_by_height_above_the_floor_is_a_stop_by_drop():
    level = GATE.stop[0]
    by_drop = with_stops(level, job.Stop(name="low", edge_drop=150.0))
    by_floor = with_stops(level, job.Stop(name="low", edge_above_floor=750.0))
    assert by_drop.stops[1].opening_deg == by_floor.stops[1].opening_deg
    assert by_drop.stops[1].edge_drop == pytest.approx(150.0, abs=1e-9)


def test_a_height_the_edge_never_reaches_is_told():
    result = with_stops(GATE.stop[0], job.Stop(name="floor", edge_drop=700.0))
    assert [s.name for s in result.stops] == ["level"]
    assert any("cannot be reached" in f.what for f in result.findings)


def test_paint_counts_once_on_a_body_without_it():
    bare_rail = dataclasses.replace(GATE.body[0], painted=False)
    result = evaluation.evaluate_gate(dataclasses.replace(GATE, body=(bare_rail,)), DEMO)
    (row,) = [a for a in result.closest if a.body == "guard rail" and a.leg == "level to lean"]
    assert row.bare - row.painted == pytest.approx(0.15, abs=1e-12)


def test_a_rail_that_stops_the_gate_before_it_is_to_rest_there_stops_the_work():
    thick = dataclasses.replace(GATE.body[0], diameter=50.0)
    result = evaluation.evaluate_gate(dataclasses.replace(GATE, body=(thick,)), DEMO, likely_errors=False)
    (early,) = [f for f in result.findings if "comes to rest" in f.what]
    assert early.what == "It comes to rest on the guard rail before 'lean'"
    assert early.stops_work
    assert result.verdict == "change this first"
    corners = [(0, -36), (0, 324), (-28, 324), (-28, -36)]  # the rail passes no rounded corner
    rail = shapely.Point(120, -150)

    def clear(opening):
        shut = shapely.Polygon(corners)
        return shapely.affinity.rotate(shut, -opening, origin=(-10, -18)).distance(rail) - 25.0

    low, high = 90.0, 125.0
    while high - low > 1e-3:
        low, high = (low, mid) if clear(mid := 0.5 * (low + high)) < 0.0 else (mid, high)
    assert early.number.startswith(f"at {low:.1f}\N{DEGREE SIGN} open")


def test_the_sheet_says_how_thick_the_pad_is_that_the_gate_rests_on():
    results = evaluation.evaluate(alone := dataclasses.replace(DEMO, flip_panel=(), pan=(), crown=()))
    page = html.unescape(to_html(report.job_sheet(alone, results)))
    assert not [f for f in results.gates[0].findings if "comes to rest" in f.what]
    assert "At 'lean' it rests on the guard rail: pad 7.56 mm thick, less the paint on both." in page
    assert page.count("pad at 'lean'") == 1


def test_the_low_station_shows_a_step_of_2():
    (station,) = [s for s in evaluation.evaluate_gate(GATE, DEMO).stations if s.from_left == 900.0]
    assert station.from_left == 900.0
    assert station.face_step == pytest.approx(2.0, abs=1e-9)


def test_bodies_stand_where_they_were_measured():
    body = job.Body(name="box", shape="block", inward=100.0, above_floor=700.0, width=50.0, height=20.0)
    gate = dataclasses.replace(GATE, stop=GATE.stop[:1], body=(body,))
    box = surroundings(gate, section(gate))["box"].outline(0.01)
    assert (box.points.min(axis=0).tolist(), box.points.max(axis=0).tolist()) == ([-150.0, -220.0], [-100.0, -200.0])


def test_inch_job_lands_flush_at_level():
    result = evaluation.evaluate_gate(INCH.gate[0], INCH)
    assert abs(result.stops[0].face_step) < 1e-9
    assert result.stops[0].nose_gap == pytest.approx(25.4 / 8.0, abs=1e-9)
    # the narrower width less two end gaps, and what the opening leans over the height of the gate
    assert (24 + 7 / 16 - 3 / 8) * 25.4 - 0.2 < result.width < (24 + 7 / 16 - 3 / 8) * 25.4
    by_name = {g.name: g for g in result.gaps}
    assert min(by_name["left jamb"].bare, by_name["right jamb"].bare) == pytest.approx(3 / 16 * 25.4, abs=1e-9)


def test_inch_channel_uses_its_test_strip():
    (part,) = [b for b in evaluation.evaluate(INCH).blanks if b.name == "drip channel"]
    # each 90 degree bend takes off what the strip showed: 1.031 + 1.031 - 2.000 in
    assert part.bends[0].deduction == pytest.approx(0.062 * 25.4, abs=1e-9)
    np.testing.assert_allclose(part.remeasured, [25.4 * v for v in (0.5, 1.375, 0.75, 0.375)], atol=1e-9)


@pytest.mark.parametrize(
    ("elevation", "words"),
    [(0.0, "rearward"), (180.0, "forward"), (90.0, "straight up"), (-90.0, "straight down")],
)
def test_directions_in_words(elevation, words):
    assert looks(elevation, "rearward") == words


@given(st.floats(-179.0, 179.0))
def test_directions_are_never_signed(elevation):
    assert "-" not in looks(elevation, "rearward")


@given(
    lean=st.floats(-20.0, 30.0), thickness=st.floats(10.0, 60.0), gap=st.floats(2.0, 8.0), below=st.floats(30.0, 60.0)
)
def test_solved_gates_replay_flush(lean, thickness, gap, below):
    panel = dataclasses.replace(
        GATE.panel,
        thickness=thickness,
        lean=abs(lean),
        leans="upright" if lean == 0 else "outward" if lean > 0 else "inward",
        lower_edge_below_worktop=below,
        lower_inner_corner_radius=0.0,
        lower_outer_corner_radius=0.0,
    )
    level = job.Stop(name="level", lands="level", face="flush", nose_gap=gap, within=0.0)
    gate = dataclasses.replace(GATE, panel=panel, stop=(level,), body=(), stay=None)
    result = evaluation.evaluate_gate(gate, DEMO, likely_errors=False)
    assert result.pivot_status == "point"
    sizes = section(gate)
    moved = fs.gate.corners(sizes)
    landed = fs.plane.Pose.about(result.pivot, -fs.gate.opening_to_level(sizes)).apply(moved)
    assert landed[0] == pytest.approx((-31.0 + gap, 0.0), abs=1e-9)  # lower inner corner: at the gap, at the surface
    assert landed[3][1] == pytest.approx(0.0, abs=1e-9)


def test_results_are_values():
    results = evaluation.evaluate(INCH)
    again = evaluation.evaluate(INCH)
    assert results == again
    assert hash(results) == hash(again)
    assert not math.isnan(results.gates[0].pivot[0])


def test_an_opening_out_of_square_is_told():
    findings = evaluation.evaluate_gate(INCH.gate[0], INCH).findings
    assert {f.number for f in findings if "not square" in f.what} == {"by 1.6 mm"}  # both: 1/16 in


def test_a_gate_wider_than_its_opening_does_not_shut():
    wide = dataclasses.replace(GATE.panel, width=1200.0)
    result = evaluation.evaluate_gate(dataclasses.replace(GATE, panel=wide), DEMO)
    assert result.verdict == "change this first"
    assert any("jamb" in f.what and f.number == "by 5.00 mm" for f in result.findings)


def test_a_plate_larger_than_its_panel_is_told():
    big = dataclasses.replace(DEMO.flip_panel[0], plate_width=340.0)
    assert any("plate" in f.what for f in evaluation.evaluate_flip_panel(big, DEMO).findings)
