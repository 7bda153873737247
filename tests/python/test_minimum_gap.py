"""The smallest gap: a witness that stands, an independent certified search, and every hard case."""

from __future__ import annotations

import copy
import pickle

import foldswing as fs
import numpy as np
import pytest
import shapely
from foldswing.clearance import minimum_gap
from foldswing.hinge import PivotHinge
from foldswing.motion import Tabulated
from gap_cases import KINDS, box, case
from gap_oracle import Knots, Turn, bracket, is_clear, union
from hypothesis import given
from hypothesis import strategies as st


def check_witness(found, motion, fixed) -> float:
    """The two points are `gap` apart, each on its own, and nothing is nearer in that pose: the largest miss, mm."""
    bodies, panel = union(fixed), motion.at(found.at)
    misses = [
        abs(np.hypot(*(found.panel_point - found.fixed_point)) - found.gap),
        shapely.Point(found.panel_point).distance(panel),
        shapely.Point(found.fixed_point).distance(union([fixed[found.body]])),
        abs(panel.distance(bodies) - found.gap),
    ]
    return max(misses)


def test_the_smallest_gap_of_one_pivot_is_exact(size, show):
    n = size(60, 500)
    worst_witness = worst_oracle = 0.0
    contacts = 0
    for i in range(n):
        kind = KINDS[i % len(KINDS)]
        panel, fixed, pivot, start, end = case(kind, i)
        found = minimum_gap(panel, fixed, PivotHinge(pivot, start, end))
        motion, bodies = Turn(panel, pivot, start, end), union(fixed)
        miss = check_witness(found, motion, fixed)
        assert miss < 1e-9, (kind, i, miss)
        worst_witness = max(worst_witness, miss)
        assert found.lower_bound == found.gap
        if found.gap == 0.0:
            contacts += 1
            assert found.clear_until == found.at
            # Nothing is touched up to a hair's breadth (1e-4 mm of travel) before.
            before = found.at - 1e-4 / (motion.reach * np.deg2rad(abs(end - start)))
            assert before <= 0.0 or is_clear(motion, bodies, before), (kind, i)
        else:
            assert found.clear_until == 1.0
            floor, ceiling, _ = bracket(motion, bodies, close=5e-3)
            assert floor <= found.gap + 1e-9, (kind, i)
            assert abs(ceiling - found.gap) < 1e-9, (kind, i, ceiling, found.gap)
            worst_oracle = max(worst_oracle, abs(ceiling - found.gap))
    assert 0.1 * n < contacts < 0.7 * n
    show(
        "minimum_gap, one pivot",
        f"{n} cases, {contacts} contacts: witness within {worst_witness:.1e} mm, oracle within {worst_oracle:.1e} mm",
    )


def test_the_certified_search_brackets_the_exact_gap(size, show):
    """A table of two poses about its own origin is a plain turn that does not say so."""
    n = size(60, 500)
    widest = worst = 0.0
    for i in range(n):
        kind = KINDS[i % len(KINDS)]
        panel, fixed, pivot, start, end = case(kind, 1000 + i)
        panel = [fs.Outline(o.points - pivot, [h - pivot for h in o.holes]) for o in panel]
        fixed = [fs.Outline(o.points - pivot, [h - pivot for h in o.holes]) for o in fixed]
        exact = minimum_gap(panel, fixed, PivotHinge((0, 0), start, end))
        found = minimum_gap(panel, fixed, Tabulated([0, 1], [fs.Pose(0, 0, start), fs.Pose(0, 0, end)]))
        assert found.lower_bound - 1e-9 <= exact.gap <= found.gap + 1e-9, (kind, i)
        assert found.gap - found.lower_bound <= 0.01
        miss = check_witness(found, Turn(panel, (0, 0), start, end), fixed)
        assert miss < 1e-9, (kind, i, miss)
        if exact.gap == 0.0:
            assert found.gap == 0.0
            assert found.clear_until <= exact.at + 1e-12
            assert exact.at <= found.at + 1e-12
            assert found.at - found.clear_until < 0.02, (kind, i)
        widest, worst = max(widest, found.gap - found.lower_bound), max(worst, miss)
    show("minimum_gap, tabulated", f"{n} cases: gap - lower bound <= {widest:.4f} mm, witness within {worst:.1e} mm")


def test_a_table_with_bends_is_certified_against_the_oracle(size):
    rng = np.random.default_rng(5)
    for i in range(size(12, 100)):
        panel, fixed, _, start, _ = case("apart", 2000 + i)
        s = np.array([0.0, *np.sort(rng.uniform(0.1, 0.9, 3)), 1.0])
        x, y = rng.uniform(-200, 200, (2, 5))
        angle = start + np.cumsum(rng.uniform(-60, 60, 5))
        motion = Knots(panel, s, x, y, angle)
        found = minimum_gap(panel, fixed, Tabulated(s, fs.Pose(x, y, angle)), tolerance=0.02)
        assert check_witness(found, motion, fixed) < 1e-9
        floor, ceiling, _ = bracket(motion, union(fixed), close=0.05)
        assert found.lower_bound <= ceiling + 1e-9
        assert floor <= found.gap + 1e-9
        assert found.gap - found.lower_bound <= 0.02


def test_a_table_of_a_swing_with_its_stray_encloses_the_exact_gap():
    panel, fixed, pivot, start, end = case("mid-swing", 3)
    exact = minimum_gap(panel, fixed, PivotHinge(pivot, start, end))
    s = np.linspace(0, 1, 181)
    # The place of the panel's origin moves on an arc; a chord of it stays within the rise.
    rise = np.hypot(*pivot) * (1 - np.cos(np.deg2rad(abs(end - start)) / 360))
    found = minimum_gap(panel, fixed, Tabulated(s, PivotHinge(pivot, start, end).poses(s), stray=rise))
    assert found.lower_bound <= exact.gap <= found.gap + rise
    assert found.gap - found.lower_bound <= 0.01 + rise


def test_arrays_of_pivots_give_the_same_bits_as_one_by_one():
    panel, fixed, pivot, start, end = case("apart", 7)
    pivots = pivot + np.random.default_rng(1).normal(scale=20, size=(50, 2))
    many = minimum_gap(panel, fixed, PivotHinge(pivots, start, end))
    assert many.gap.shape == (50,)
    assert many.panel_point.shape == (50, 2)
    assert not many.gap.flags.writeable
    for i, p in enumerate(pivots):
        one = minimum_gap(panel, fixed, PivotHinge(p, start, end))
        assert (one.gap, one.at, one.body) == (many.gap[i], many.at[i], many.body[i])
        assert np.array_equal(one.fixed_point, many.fixed_point[i])


@given(seed=st.integers(0, 10**6), kind=st.sampled_from(KINDS), turn=st.floats(-180, 180), mirror=st.booleans())
def test_turning_or_mirroring_the_whole_scene_changes_nothing(seed, kind, turn, mirror):
    panel, fixed, pivot, start, end = case(kind, seed)
    pose = fs.Pose(3.0, -7.0, turn)
    flip = np.array([-1.0 if mirror else 1.0, 1.0])

    def moved(outlines):
        return [fs.Outline(pose.apply(o.points * flip), [pose.apply(h * flip) for h in o.holes]) for o in outlines]

    a = minimum_gap(panel, fixed, PivotHinge(pivot, start, end))
    sense = -1 if mirror else 1
    b = minimum_gap(moved(panel), moved(fixed), PivotHinge(pose.apply(pivot * flip), sense * start, sense * end))
    if max(a.gap, b.gap) > 1e-9:
        assert b.gap == pytest.approx(a.gap, abs=1e-9)
    assert (a.gap > 1e-9) == (b.gap > 1e-9)


@given(seed=st.integers(0, 10**6), kind=st.sampled_from(KINDS))
def test_running_the_turn_backwards_gives_the_same_gap(seed, kind):
    panel, fixed, pivot, start, end = case(kind, seed)
    a = minimum_gap(panel, fixed, PivotHinge(pivot, start, end))
    b = minimum_gap(panel, fixed, PivotHinge(pivot, end, start))
    assert b.gap == pytest.approx(a.gap, abs=1e-9)


GATE = fs.Outline(box(-28, -36, 0, 324))
SILL = fs.Outline(box(-60, -60, 0, -40))


def test_the_square_outer_corner_passes_the_sill_by_hand_calculation():
    found = minimum_gap(GATE, SILL, PivotHinge((-10, -18), 0, -90))
    # The corner (0, -36) is hypot(10, 18) from the pivot, the sill's top 22 below it.
    assert found.gap == pytest.approx(22 - np.hypot(10, 18), abs=1e-12)
    assert found.turn_deg == pytest.approx(-np.rad2deg(np.arctan2(10, 18)), abs=1e-10)


def test_first_of_equal_minima_is_reported():
    blade = fs.Outline(box(-1, 0, 1, 50))
    posts = [fs.Outline(box(60, -5, 70, 5)), fs.Outline(box(-5, 60, 5, 70)), fs.Outline(box(-70, -5, -60, 5))]
    found = minimum_gap(blade, posts, PivotHinge((0, 0), -180, 180))
    assert found.gap == pytest.approx(60 - np.hypot(1, 50), abs=1e-12)
    assert found.body == 0  # pointing down at the start, it meets the post on the right first
    assert found.turn_deg == pytest.approx(-90 - np.rad2deg(np.arctan2(1, 50)), abs=1e-9)


def test_zero_turn_is_the_distance_as_it_stands():
    found = minimum_gap(GATE, SILL, PivotHinge((5, 5), 0, 0))
    assert (found.gap, found.at) == (4.0, 0.0)


def test_a_panel_in_a_hole_is_clear_until_it_reaches_the_rim():
    ring = fs.Outline(box(-100, -100, 100, 100), [box(-50, -50, 50, 50)])
    bar = fs.Outline(box(-45, -2, 45, 2))
    clear = minimum_gap(bar, ring, PivotHinge((0, 0), 0, 360))
    assert clear.gap == pytest.approx(50 - np.hypot(45, 2), abs=1e-12)
    hit = minimum_gap(fs.Outline(box(-55, -2, 45, 2)), ring, PivotHinge((-8, 0), 0, 360))
    assert hit.gap == 0.0
    solid = fs.Outline(box(-100, -100, 100, 100))
    assert minimum_gap(bar, solid, PivotHinge((0, 0), 0, 360)).at == 0.0


def test_a_body_in_the_hole_of_a_panel_is_clear():
    frame = fs.Outline(box(-100, -100, 100, 100), [box(-50, -50, 50, 50)])
    post = fs.Outline(box(-10, -10, 10, 10))
    found = minimum_gap(frame, post, PivotHinge((0, 0), 0, 90))
    assert found.gap == pytest.approx(50 - np.hypot(10, 10), abs=1e-12)
    assert found.turn_deg == pytest.approx(45, abs=1e-9)


def test_a_gap_is_a_value():
    g = minimum_gap(GATE, SILL, PivotHinge((-10, -18), 0, -90))
    assert pickle.loads(pickle.dumps(g)) == g == copy.deepcopy(g)
    assert fs.clearance.Gap.from_dict(g.to_dict()) == g
    assert eval(repr(g), {"Gap": fs.clearance.Gap}) == g
    assert hash(g) == hash(pickle.loads(pickle.dumps(g)))
    with pytest.raises(AttributeError):
        g.gap = 1.0


HINGE = PivotHinge((0, 0), 0, 90)


@pytest.mark.parametrize(
    ("args", "word"),
    [
        (([], SILL, HINGE), "panel"),
        ((GATE, [], HINGE), "fixed"),
        ((GATE, {"sill": SILL}, HINGE), "fixed"),
        ((GATE, "sill", HINGE), "fixed"),
        ((GATE, [SILL, None], HINGE), r"fixed\[1\]"),
        ((GATE.points, SILL, HINGE), "panel"),
        ((GATE, SILL, None), "motion"),
        ((GATE, SILL, 90.0), "motion"),
        ((GATE, SILL, HINGE, 0.0), "tolerance"),
        ((GATE, SILL, HINGE, -1.0), "tolerance"),
        ((GATE, SILL, HINGE, float("nan")), "tolerance"),
        ((GATE, SILL, HINGE, float("inf")), "tolerance"),
        ((GATE, SILL, HINGE, 1e-9), "tolerance"),
        ((GATE, SILL, HINGE, True), "tolerance"),
        ((GATE, SILL, HINGE, 1j), "tolerance"),
        ((GATE, SILL, HINGE, "close"), "tolerance"),
        ((GATE, SILL, HINGE, [0.1, 0.2]), "tolerance"),
    ],
)
def test_bad_input_is_refused_by_name(args, word):
    with pytest.raises(fs.InvalidInput, match=word):
        minimum_gap(*args)
