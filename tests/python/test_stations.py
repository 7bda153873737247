"""A gate along its hinge: every station a gate of its own, bodies where they are, one straight axis; a lid's edge."""

from __future__ import annotations

import dataclasses

import foldswing as fs
import numpy as np
import pytest
from foldswing import evaluation, job
from foldswing.evaluation.gate_section import section
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

DEMO = job.read(job.shipped()["lantern_nine"])
GATE = DEMO.gate[0]
W = GATE.opening.width_bottom
LENGTH = st.floats(-50.0, 50.0)


def evaluated(*, likely_errors=False, **changes):
    return evaluation.evaluate_gate(dataclasses.replace(GATE, **changes), DEMO, likely_errors=likely_errors)


@given(st.tuples(LENGTH, LENGTH, LENGTH, LENGTH), st.floats(100.0, 2000.0), LENGTH, st.floats(-360.0, 360.0))
def test_a_turn_about_a_tilted_axis_is_scipys(pivots, run, from_left, turn):
    lx, ly, rx, ry = pivots
    axis = fs.axis.Axis((lx, ly), 0.0, (rx, ry), run)
    done = fs.axis.turned(axis, (-28.0, 324.0), from_left, turn)
    # right-handed: the third axis points at the viewer at the left end, so that a distance from the left is -z
    start, end = np.array([lx, ly, 0.0]), np.array([rx, ry, -run])
    along = (start - end) / np.linalg.norm(start - end)
    rotation = Rotation.from_rotvec(np.radians(turn) * along)
    there = start + rotation.apply(np.array([-28.0, 324.0, -from_left]) - start)
    np.testing.assert_allclose(done.at, there[:2], atol=1e-9)
    assert done.sideways == pytest.approx(-there[2] - from_left, abs=1e-9)
    pivot = fs.axis.at(axis, from_left)
    plain = fs.plane.Pose.about(pivot, turn).apply((-28.0, 324.0))
    assert done.off_section == pytest.approx(float(np.hypot(*(there[:2] - plain))), abs=1e-9)


def test_the_low_station_of_the_demo_is_named_in_a_warning():
    done = evaluated()
    (said,) = [f for f in done.findings if "900 mm from the left" in f.what]
    assert said.number.startswith("2.00 mm high")
    assert not said.stops_work


def test_likely_errors_are_reckoned_in_the_section_of_each_place():
    done = evaluated(likely_errors=True)
    (at,) = [s for s in done.stations if s.from_left == 900.0]
    rows = [row for row in at.closest if row.likely is not None and row.bare > 0.0]
    assert rows
    for row in rows:  # what is drawn there is what errors are added to
        assert row.likely.as_drawn == pytest.approx(row.painted, abs=2e-4)
    elsewhere = {(row.body, row.leg): row for row in done.closest}
    assert any(row.likely != elsewhere[row.body, row.leg].likely for row in rows)


@settings(max_examples=10)
@given(down=st.floats(0.1, 3.0), nose=st.floats(0.1, 2.0), lower=st.floats(0.1, 2.0), thick=st.floats(26.0, 30.0))
def test_a_station_is_a_gate_of_its_own(down, nose, lower, thick):
    station = job.Station(
        from_left=500.0, worktop_down=down, nose_outward=nose, sill_down=1.0, lower_edge_down=lower, thickness=thick
    )
    done = evaluated(station=(station,))
    (at,) = [s for s in done.stations if s.from_left == 500.0]
    panel = dataclasses.replace(
        GATE.panel,
        thickness=thick,
        height=GATE.panel.height + lower,
        lower_edge_below_worktop=GATE.panel.lower_edge_below_worktop + lower,
    )
    own = dataclasses.replace(
        GATE,
        panel=panel,
        station=(),
        opening=dataclasses.replace(GATE.opening, sill_below_worktop=GATE.opening.sill_below_worktop + 1.0),
        worktop=dataclasses.replace(GATE.worktop, nose_behind_wall=GATE.worktop.nose_behind_wall - nose),
    )
    sizes = fs.gate.Sizes(**{**section(own).to_dict(), "worktop_drop": down})
    # the oracle: its own outlines, swung about the same axis
    panel_out = fs.gate.panel(sizes).outline(5e-5).moved(fs.gate.pose(done.holes, 0.0))
    motion = fs.hinge.PivotHinge(done.holes.jamb, 0.0, -done.stops[-1].opening_deg)
    for name, body in (("worktop nose", fs.gate.worktop(sizes)), ("sill", fs.gate.sill(sizes))):
        gap = fs.clearance.minimum_gap(panel_out, body.outline(5e-5), motion).gap
        assert min(a.bare for a in at.closest if a.body == name) == pytest.approx(gap, abs=1e-9)
    corner = fs.gate.pose(done.holes, 90.0).apply(fs.gate.corners(sizes)[0])
    assert at.landings[0].face_step == pytest.approx(corner[1] + down, abs=1e-9)
    assert at.landings[0].nose_gap == pytest.approx(corner[0] + 31.0 - nose, abs=1e-9)


@settings(max_examples=8)
@given(st.floats(150.0, 1000.0), st.floats(0.2, 3.0), st.floats(0.2, 2.0))
def test_mirrored_left_to_right_the_stations_swap(from_left, down, out):
    one = evaluated(station=(job.Station(from_left=from_left, worktop_down=down, nose_outward=out),))
    other = evaluated(station=(job.Station(from_left=W - from_left, worktop_down=down, nose_outward=out),))
    for a, b in zip(one.stations, reversed(other.stations), strict=True):
        assert a.from_left == pytest.approx(W - b.from_left, abs=1e-9)
        assert a.face_step == pytest.approx(b.face_step, abs=1e-9)
        assert [r.bare for r in a.closest] == pytest.approx([r.bare for r in b.closest], abs=1e-9)


def test_a_body_counts_only_where_it_is():
    rail = dataclasses.replace(GATE.body[0], from_left=300.0, to_left=500.0)
    done = evaluated(station=(), body=(rail,))
    seen = [s.name for s in done.stations if any(a.body == "guard rail" for a in s.closest)]
    assert seen == ["where the guard rail begins", "where the guard rail ends"]
    for s in done.stations:
        overlaps = s.stands_from < 500.0 and s.stands_to > 300.0
        assert any(a.body == "guard rail" for a in s.closest) == overlaps


def test_different_ends_tilt_the_axis_and_both_land_flush():
    done = evaluated(
        station=(
            job.Station(name="left jamb", from_left=0.0, worktop_down=1.0),
            job.Station(name="right jamb", from_left=W, worktop_up=2.0, nose_outward=1.0),
        )
    )
    axis = done.axis
    assert axis is not None
    for s in done.stations:
        assert s.face_step == pytest.approx(0.0, abs=1e-9)  # measured ends, and the straight run between them
        assert s.nose_gap == pytest.approx(3.0, abs=1.0)
    across = axis.right.holes.jamb - axis.left.holes.jamb
    assert (axis.out, axis.up) == pytest.approx(tuple(across), abs=1e-12)
    assert axis.off_section < 0.01  # of second order in the tilt: sections tell the truth
    # first order in the tilt: the free edge, 342 above the axis and 18 behind it, at level
    level = axis.shifts[0]
    assert level.most == pytest.approx(0.0, abs=1.0)
    assert level.most != 0.0


def test_a_crowned_worktop_makes_its_own_stations_and_the_middle_is_worst():
    bow = job.CrownedEdge(edge="worktop", bulges="down", chord=W, rise=3.0)
    done = evaluated(station=(), crowned_edge=(bow,))
    worst = max(done.stations, key=lambda s: abs(s.face_step))
    assert worst.name == "middle of the crowned worktop"
    assert worst.face_step == pytest.approx(3.0, abs=1e-9)
    assert {0.0, W / 4, W / 2, 3 * W / 4, W} <= {s.from_left for s in done.stations}
    assert any("middle of the crowned worktop" in f.what for f in done.findings)


@pytest.mark.parametrize(
    ("station", "said"),
    [
        ({"from_left": 5000.0}, "beyond the opening"),
        ({"from_left": 900.5, "worktop_up": 1.0}, "one place"),
        ({"from_left": 700.0, "width": 600.0}, "overlap"),
        ({"from_left": 500.0, "worktop_up": 1.0, "worktop_down": 1.0}, "at most one"),
    ],
)
def test_stations_that_contradict_are_refused(station, said):
    other = job.Station(from_left=900.0, worktop_down=2.0)
    with pytest.raises(fs.InvalidInput, match=said):
        dataclasses.replace(GATE, station=(other, job.Station(**station)))


def test_a_body_that_ends_before_it_begins_is_refused():
    with pytest.raises(fs.InvalidInput, match="to_left"):
        dataclasses.replace(GATE.body[0], from_left=500.0, to_left=400.0)


def test_sizes_that_leave_no_gate_name_the_station():
    with pytest.raises(fs.InvalidInput, match="thin place"):
        evaluated(station=(job.Station(name="thin place", from_left=500.0, thickness=5.0),))


def test_the_lids_rear_edge_is_followed_by_no_straight_axis():
    lid = evaluation.evaluate_crown(DEMO.crown[0], DEMO)
    assert lid.verdict == "change this first"
    corner, skin, top = (a.swing for a in lid.hinge.axes)
    assert corner.back == pytest.approx(36.7, abs=0.05)
    assert skin.back == pytest.approx(15.7, abs=0.05)
    assert top.back == 0.0
    assert top.pins_above_skin == pytest.approx(16.3, abs=0.05)
    assert "No straight axis follows the rear edge" in lid.hinge.explanation


@pytest.mark.parametrize(
    ("at", "room", "verdict"),
    [("skin height", 18.0, "go"), ("skin height", 10.0, "change this first"), ("crown height", None, "go")],
)
def test_a_way_out_that_fits_lets_the_work_go(at, room, verdict):
    hinge = dataclasses.replace(DEMO.crown[0].hinge, axis_at=at, room_behind=room)
    assert evaluation.evaluate_crown(dataclasses.replace(DEMO.crown[0], hinge=hinge), DEMO).verdict == verdict


def test_a_crowned_edge_against_points_turned_one_by_one():
    x = np.linspace(-610.0, 610.0, 2001)
    radius = 1220.0**2 / (8 * 38.0) + 19.0
    heights = np.sqrt(radius**2 - x**2) - (radius - 38.0)
    for name, above in (("corner", 0.0), ("skin", np.sqrt(radius**2 - 400.0**2) - (radius - 38.0)), ("crown", 38.0)):
        turned = Rotation.from_euler("x", 110.0, degrees=True).apply(
            np.column_stack([x, np.zeros_like(x), heights - above])
        )
        done = fs.crowned_edge.swing(1220, 38, axis=name, from_middle=400, opening_deg=110)
        assert done.back == pytest.approx(max(0.0, -turned[:, 1].min()), abs=1e-8)
        assert done.corners_forward == pytest.approx(max(0.0, turned[:, 1].max()), abs=1e-8)
