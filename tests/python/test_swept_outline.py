"""The swept outline holds everything the panel passes over, and little more."""

from __future__ import annotations

import foldswing as fs
import numpy as np
import pytest
import shapely
from foldswing import plane
from foldswing.clearance import swept_outline
from foldswing.hinge import PivotHinge
from foldswing.motion import Tabulated
from gap_cases import box, case
from gap_oracle import Knots, Turn, nearest_pass, passes_within, polygon, union
from hypothesis import given
from hypothesis import strategies as st

ROUNDING = 1e-9  # mm


def miss_and_excess(swept, motion, rng, sagitta) -> tuple[float, float]:
    """How far sampled panel points lie outside, and the swept edge from all that the panel passed over."""
    region = union(swept)
    outside = 0.0
    for shape in (motion.at(v) for v in [0.0, 1.0, *rng.random(40)]):
        points = shapely.get_coordinates(shapely.segmentize(shape, 15.0))
        outside = max(outside, shapely.distance(shapely.points(points), region).max())
    edge = shapely.get_coordinates(shapely.segmentize(region, 20.0))
    excess = nearest_pass(motion, edge)
    # A pass between two poses can escape the search beside the nearest: such points are decided by subdivision.
    for i in np.flatnonzero(excess > sagitta):
        if passes_within(motion, edge[i], sagitta + ROUNDING):
            excess[i] = sagitta
    return float(outside), float(excess.max())


def test_a_turn_is_swept_within_its_sagitta(size, show):
    rng = np.random.default_rng(3)
    n = size(16, 150)
    worst_out = worst_over = 0.0
    for i in range(n):
        panel, _, pivot, start, end = case(("apart", "long turn", "in a hole", "many bodies")[i % 4], 5000 + i)
        sagitta = float(rng.choice([0.02, 0.1, 1.0]))
        swept = swept_outline(panel, PivotHinge(pivot, start, end), sagitta)
        motion = Turn(panel, pivot, start, end)
        outside, excess = miss_and_excess(swept, motion, rng, sagitta)
        assert outside <= ROUNDING, (i, outside)
        assert excess <= sagitta + ROUNDING, (i, excess)
        worst_out, worst_over = max(worst_out, outside), max(worst_over, excess / sagitta)
    show(
        "swept_outline, turns",
        f"{n} cases: contained within {worst_out:.1e} mm, excess {worst_over:.2f} of allowed",
    )


def test_a_table_is_swept_within_its_sagitta(size, show):
    rng = np.random.default_rng(4)
    n = size(6, 60)
    worst_out = worst_over = 0.0
    for i in range(n):
        panel, _, _, start, _ = case("apart", 6000 + i)
        s = np.array([0.0, *np.sort(rng.uniform(0.1, 0.9, 2)), 1.0])
        x, y = rng.uniform(-200, 200, (2, 4))
        angle = start + np.cumsum(rng.uniform(-50, 50, 4))
        swept = swept_outline(panel, Tabulated(s, fs.Pose(x, y, angle)), 0.5)
        motion = Knots(panel, s, x, y, angle)
        outside, excess = miss_and_excess(swept, motion, rng, 0.5)
        assert outside <= ROUNDING, (i, outside)
        assert excess <= 0.5 + ROUNDING, (i, excess)
        worst_out, worst_over = max(worst_out, outside), max(worst_over, excess / 0.5)
    show(
        "swept_outline, tables",
        f"{n} cases: contained within {worst_out:.1e} mm, excess {worst_over:.2f} of allowed",
    )


def test_a_bar_about_its_end_sweeps_a_quarter_disc():
    (room,) = swept_outline(fs.Outline(box(0, 0, 100, 1)), PivotHinge((0, 0), 0, 90), 0.01)
    r = np.hypot(100, 1)
    # The far corner's sector over the turn, half the bar below it at the start and half beyond it at the end.
    true = 0.5 * r**2 * np.pi / 2 + 100.0
    assert true < plane.area(room) < true + 0.01 * (r * np.pi / 2 + 2 * 102)


def test_a_whole_turn_leaves_the_hole_about_the_pivot():
    (room,) = swept_outline(fs.Outline(box(40, -5, 60, 5)), PivotHinge((0, 0), 0, 360), 0.05)
    (hole,) = room.holes
    radii = np.hypot(*hole.T)
    assert radii.max() <= 40 + ROUNDING  # nearest to the pivot is the middle of the inner edge
    assert radii.min() >= 40 - 0.05 - ROUNDING
    outer = np.hypot(*room.points.T)
    assert outer.min() >= np.hypot(60, 5) * np.cos(np.deg2rad(3)) - ROUNDING
    assert outer.max() <= np.hypot(60, 5) + 0.05 + ROUNDING


def test_no_turn_sweeps_the_panel_itself():
    panel = fs.Outline(box(0, 0, 10, 4), [box(2, 1, 8, 3)])
    (room,) = swept_outline(panel, PivotHinge((5, 5), 30, 30))
    there = polygon(panel.moved(PivotHinge((5, 5), 30, 30).poses(0.0)))
    assert polygon(room).symmetric_difference(there).area < 1e-9


def test_a_table_that_may_depart_is_swept_wider():
    panel = fs.Outline(box(0, 0, 10, 4))
    straight = fs.Pose([0, 50], [0, 0], [0, 0])
    (bare,) = swept_outline(panel, Tabulated([0, 1], straight), 0.01)
    (wide,) = swept_outline(panel, Tabulated([0, 1], straight, stray=0.5), 0.01)
    assert polygon(bare).symmetric_difference(shapely.box(0, 0, 60, 4)).area < 0.01 * 128
    assert polygon(wide).buffer(ROUNDING).contains(shapely.box(0, 0, 60, 4).buffer(0.5, quad_segs=64))


@given(pivot=st.tuples(st.floats(-60, 60), st.floats(-60, 60)), turn=st.floats(-400, 400))
def test_the_room_does_not_depend_on_where_the_drawing_starts(pivot, turn):
    panel = fs.Outline([(0, 0), (80, 0), (80, 30), (40, 10), (0, 30)])
    here = swept_outline(panel, PivotHinge(pivot, 0, turn), 0.2)
    moved = swept_outline(
        panel.moved(fs.Pose(500, -300, 0)), PivotHinge((pivot[0] + 500, pivot[1] - 300), 0, turn), 0.2
    )
    assert sum(map(plane.area, here)) == pytest.approx(sum(map(plane.area, moved)), rel=1e-6)


PANEL = fs.Outline(box(0, 0, 50, 10))
HINGE = PivotHinge((0, 0), 0, 90)


@pytest.mark.parametrize(
    ("args", "word"),
    [
        (([], HINGE), "panel"),
        ((None, HINGE), "panel"),
        ((PANEL.points, HINGE), "panel"),
        (([PANEL, 3], HINGE), r"panel\[1\]"),
        ((PANEL, None), "motion"),
        ((PANEL, PivotHinge([(0, 0), (1, 1)], 0, 90)), "one motion"),
        ((PANEL, HINGE, 0), "sagitta"),
        ((PANEL, HINGE, -0.1), "sagitta"),
        ((PANEL, HINGE, 1e-6), "sagitta"),
        ((PANEL, HINGE, float("nan")), "sagitta"),
        ((PANEL, HINGE, float("inf")), "sagitta"),
        ((PANEL, HINGE, "fine"), "sagitta"),
        ((PANEL, HINGE, [0.1]), "sagitta"),
        ((PANEL, Tabulated([0, 1], fs.Pose([0, 1], [0, 0], [0, 3.6e6])), 0.01), "sagitta must be coarser"),
    ],
)
def test_bad_input_is_refused_by_name(args, word):
    with pytest.raises(fs.InvalidInput, match=word):
        swept_outline(*args)
