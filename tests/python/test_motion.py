"""Motions: poses in order, bounds that hold, tables that are checked."""

from __future__ import annotations

import copy
import pickle

import foldswing as fs
import numpy as np
import pytest
from foldswing.hinge import PivotHinge
from foldswing.motion import Motion, Tabulated
from hypothesis import given
from hypothesis import strategies as st

POSES = fs.Pose([0.0, 10.0, 30.0], [0.0, -5.0, 5.0], [0.0, 40.0, -20.0])
TABLE = Tabulated([0.0, 0.25, 1.0], POSES)
CORNERS = np.array([(0.0, 0.0), (80.0, 5.0), (-20.0, 60.0)])


def test_a_table_gives_back_its_knots_and_is_linear_between():
    at = TABLE.poses([0.0, 0.25, 1.0, 0.625])
    assert at.x.tolist() == [0.0, 10.0, 30.0, 20.0]
    assert at.y.tolist() == [0.0, -5.0, 5.0, 0.0]
    assert at.angle_deg.tolist() == [0.0, 40.0, -20.0, 10.0]
    assert TABLE.breaks.tolist() == [0.25]
    assert isinstance(TABLE.poses(0.5).x, float)


def test_a_table_is_a_value_and_takes_a_list_of_poses():
    table = Tabulated([0, 1], [fs.Pose(0, 0, 0), fs.Pose(1, 2, 3)], stray=0.5)
    assert table == Tabulated([0, 1], fs.Pose([0, 1], [0, 2], [0, 3]), 0.5)
    assert table == pickle.loads(pickle.dumps(table)) == copy.deepcopy(table) == Tabulated.from_dict(table.to_dict())
    assert eval(repr(table), {"Tabulated": Tabulated, "Pose": fs.Pose}) == table
    assert hash(table) == hash(copy.copy(table))
    assert table != Tabulated([0, 1], fs.Pose([0, 1], [0, 2], [0, 3]))
    assert table.departure == 0.5
    assert not table.s.flags.writeable
    assert isinstance(table, Motion)


@given(
    pivot=st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
    turn=st.tuples(st.floats(-720, 720), st.floats(-720, 720)),
    ends=st.tuples(st.floats(0, 1), st.floats(0, 1)),
    table=st.booleans(),
)
def test_no_corner_strays_farther_than_the_bound(pivot, turn, ends, table):
    s0, s1 = sorted(ends)
    motion = PivotHinge(pivot, *turn)
    if table:
        motion = Tabulated([0, 1], fs.Pose([pivot[0], 7.0], [pivot[1], -3.0], list(turn)))
    carried = motion.poses(np.linspace(s0, s1, 41)).apply(CORNERS)
    middle = motion.poses(0.5 * (s0 + s1)).apply(CORNERS)
    farthest = np.hypot(*(carried - middle).T).max()
    bound = motion.stray(CORNERS, s0, s1)
    assert farthest <= bound + 1e-9
    assert motion.stray(CORNERS, s0, s0) == 0.0


@given(x=st.floats(-300, 300), y=st.floats(-300, 300), angle=st.floats(-90, 90))
def test_the_bound_of_a_small_piece_is_close_to_the_truth(x, y, angle):
    motion = Tabulated([0, 1], fs.Pose([0, x], [0, y], [0, angle]))
    s0, s1 = 0.4, 0.401
    carried = motion.poses([s0, s1]).apply(CORNERS)
    farthest = np.hypot(*(carried - motion.poses(0.4005).apply(CORNERS)).T).max()
    assert motion.stray(CORNERS, s0, s1) <= 3.0 * farthest + 1e-6


def test_batches_take_one_s_or_one_each():
    many = PivotHinge((0, 0), 0, [90.0, 180.0])
    assert many.poses(0.5).angle_deg.tolist() == [45.0, 90.0]
    assert many.poses([0.0, 1.0]).angle_deg.tolist() == [0.0, 180.0]
    with pytest.raises(fs.InvalidInput, match="s must be"):
        many.poses([0.0, 0.5, 1.0])
    with pytest.raises(fs.InvalidInput, match="motion must be one motion"):
        many.stray(CORNERS, 0, 1)


TWO = [fs.Pose(0, 0, 0), fs.Pose(1, 0, 0)]


@pytest.mark.parametrize(
    ("make", "word"),
    [
        (lambda: Tabulated([0], TWO[:1]), "s must be at least two"),
        (lambda: Tabulated([], []), "s must be at least two"),
        (lambda: Tabulated([0.1, 1], TWO), r"s\[0\] must be 0"),
        (lambda: Tabulated([0, 0.9], TWO), r"s\[1\] must be 1"),
        (lambda: Tabulated([0, 0.5, 0.5, 1], TWO + TWO), r"s\[2\] must be ascending"),
        (lambda: Tabulated([0, 0.7, 0.5, 1], TWO + TWO), r"s\[2\] must be ascending"),
        (lambda: Tabulated([0, float("nan"), 1], [*TWO, TWO[0]]), r"s\[1\] must be ascending"),
        (lambda: Tabulated([0, 1], [*TWO, TWO[0]]), "poses must be one pose for each"),
        (lambda: Tabulated([0, 1], fs.Pose(0, 0, 0)), "poses must be one pose for each"),
        (lambda: Tabulated([0, 1], "poses"), "poses"),
        (lambda: Tabulated([0, 1], 3.0), "poses"),
        (lambda: Tabulated([0, 1], [TWO[0], (0, 0, 0)]), r"poses\[1\]"),
        (lambda: Tabulated([0, 1], np.zeros((2, 3))), r"poses\[0\]"),
        (lambda: Tabulated([[0, 1]], TWO), "s must be one axis"),
        (lambda: Tabulated([0, 1], TWO, stray=-1.0), "stray"),
        (lambda: Tabulated([0, 1], TWO, stray=float("inf")), "stray"),
        (lambda: Tabulated(["a", "b"], TWO), "s"),
        (lambda: TABLE.poses(1.5), "s must be from 0 to 1"),
        (lambda: TABLE.poses(float("nan")), "s must be from 0 to 1"),
        (lambda: TABLE.poses([0.5, -0.1]), r"s\[1\] must be from 0 to 1"),
        (lambda: TABLE.poses([[0.5]]), "s must be a number or one axis"),
        (lambda: TABLE.stray(CORNERS, 0.0, 1.0), "s1 must be within one piece"),
        (lambda: TABLE.stray(CORNERS, 0.9, 0.8), "s1"),
        (lambda: TABLE.stray([(0, float("nan"))], 0.5, 0.8), "points"),
        (lambda: TABLE.stray(CORNERS, -0.1, 0.2), "s0"),
    ],
)
def test_bad_input_is_refused_by_name(make, word):
    with pytest.raises(fs.InvalidInput, match=word):
        make()
