"""The motion of one pivot, the pole of two poses, and trade statements as turns and landings."""

from __future__ import annotations

import copy
import csv
import pickle
from pathlib import Path

import foldswing as fs
import mpmath as mp
import numpy as np
import pytest
from foldswing import hinge
from foldswing.hinge import Landing, PivotHinge

POLES = Path(__file__).parents[1] / "reference" / "poles.csv"


def reference_poles():
    with POLES.open() as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", reference_poles(), ids=lambda row: row["id"])
def test_poles_of_the_reference_set(row):
    a = fs.Pose(float(row["ax"]), float(row["ay"]), float(row["a_deg"]))
    b = fs.Pose(float(row["bx"]), float(row["by"]), float(row["b_deg"]))
    found = hinge.pole(a, b)
    assert found.status == row["kind"]
    if row["kind"] == "point":
        want = np.array([float(row["x"]), float(row["y"])])
        # What rounding the poses alone costs, and a few units in the last place of the pole itself.
        allowed = 4.0 * float(row["shift_if_rounded"] or 0.0) + 8.0 * np.spacing(np.abs(want).max())
        assert np.hypot(*(found.pivot - want)) <= allowed
        assert np.isnan(found.direction).all()
    elif row["kind"] == "infinity":
        np.testing.assert_allclose(found.direction, [float(row["x"]), float(row["y"])], atol=1e-12)
        assert np.isnan(found.pivot).all()
    else:
        assert np.isnan([*found.pivot, *found.direction]).all()


def test_poles_show(show):
    rows = [r for r in reference_poles() if r["kind"] == "point"]
    show(
        "poles of two poses",
        f"{len(reference_poles())} reference cases, {len(rows)} finite, within rounding of the poses",
    )


def test_poles_come_in_batches():
    rows = reference_poles()
    column = {k: np.array([float(r[k]) for r in rows]) for k in ("ax", "ay", "a_deg", "bx", "by", "b_deg")}
    a = fs.Pose(column["ax"], column["ay"], column["a_deg"])
    b = fs.Pose(column["bx"], column["by"], column["b_deg"])
    found = hinge.pole(a, b)
    assert found.status.dtype == np.int8
    assert found.pivot.shape == (len(rows), 2)
    assert [hinge.POLE_STATUS[k] for k in found.status] == [r["kind"] for r in rows]
    one = hinge.pole(fs.Pose(column["ax"][3], column["ay"][3], column["a_deg"][3]), b)
    assert one.pivot.shape == (len(rows), 2)
    assert (one.pivot[3] == found.pivot[3]).all()
    with pytest.raises(fs.InvalidInput, match="pose_b"):
        hinge.pole(a, fs.Pose(column["ax"][:2], 0.0, 0.0))


def test_pole_against_fifty_digits(size):
    rng = np.random.default_rng(20)
    n = size(2000, 100_000)
    a = np.column_stack([rng.uniform(-1e3, 1e3, (n, 2)), rng.uniform(-360, 360, n)])
    turn = np.where(rng.random(n) < 0.5, rng.uniform(-720, 720, n), 10.0 ** rng.uniform(-6, 2, n))
    turn[: n // 20] = rng.choice([90.0, -90.0, 180.0, 270.0, 179.9999999], n // 20)
    b = np.column_stack([rng.uniform(-1e3, 1e3, (n, 2)), a[:, 2] + turn])
    found = hinge.pole(fs.Pose(*a.T), fs.Pose(*b.T))
    assert (found.status == 0).all()
    worst = 0.0
    with mp.workdps(50):
        for i in range(n):
            half = mp.radians(mp.mpf(float(b[i, 2] - a[i, 2]))) / 2  # the turn as the function sees it
            cot = mp.cot(half) / 2
            dx, dy = mp.mpf(b[i, 0]) - mp.mpf(a[i, 0]), mp.mpf(b[i, 1]) - mp.mpf(a[i, 1])
            x = mp.mpf(a[i, 0]) + dx / 2 - cot * dy
            y = mp.mpf(a[i, 1]) + dy / 2 + cot * dx
            largest = max(abs(a[i, :2]).max(), abs(b[i, :2]).max(), abs(x), abs(y))
            worst = max(
                worst, abs(mp.mpf(found.pivot[i, 0]) - x) / largest, abs(mp.mpf(found.pivot[i, 1]) - y) / largest
            )
    assert worst < 1e-13


def test_miss_against_fifty_digits(size, show):
    rng = np.random.default_rng(21)
    n = size(2000, 100_000)
    turn = np.where(rng.random(n) < 0.5, rng.uniform(-720, 720, n), 10.0 ** rng.uniform(-12, 2, n))
    point, pivot = rng.uniform(-1e3, 1e3, (2, n, 2))
    angle = rng.uniform(0, 2 * np.pi, n)
    landing = Landing(turn, point, np.column_stack([np.cos(angle), np.sin(angle)]), rng.uniform(-1e3, 1e3, n))
    found = landing.miss(pivot)
    worst = 0.0
    with mp.workdps(50):
        for i in range(n):
            t = mp.radians(mp.mpf(float(turn[i])))
            nx, ny = map(mp.mpf, landing.normal[i])
            qx, qy = map(mp.mpf, point[i])
            px, py = map(mp.mpf, pivot[i])
            x = px + mp.cos(t) * (qx - px) - mp.sin(t) * (qy - py)
            y = py + mp.sin(t) * (qx - px) + mp.cos(t) * (qy - py)
            want = nx * x + ny * y - mp.mpf(float(landing.offset[i]))
            largest = max(abs(qx), abs(qy), abs(px), abs(py), abs(landing.offset[i]))
            worst = max(worst, abs(mp.mpf(float(found[i])) - want) / largest)
    assert worst < 1e-13
    show("landing miss against 50 digits", f"{n} cases, worst {float(worst):.1e} of the largest length")


def test_turns_against_fifty_digits(size):
    rng = np.random.default_rng(22)
    n = size(2000, 100_000)
    face, wanted = rng.normal(size=(2, n, 2)) * 10.0 ** rng.uniform(-5, 5, (2, n, 1))
    wanted[: n // 10] = face[: n // 10] * [[1.0, 1.0 + 1e-9]]  # nearly the same direction
    turn = hinge.turn_to_face(face, wanted)
    clockwise = hinge.turn_to_face(face, wanted, way="clockwise")
    counter = hinge.turn_to_face(face, wanted, way="counter-clockwise")
    worst = 0.0
    with mp.workdps(50):
        for i in range(n):
            (ax, ay), (bx, by) = map(mp.mpf, face[i]), map(mp.mpf, wanted[i])
            want = mp.degrees(mp.atan2(ax * by - ay * bx, ax * bx + ay * by))
            worst = max(worst, abs(mp.mpf(float(turn[i])) - want) / abs(want))
            assert abs(clockwise[i] - (want - 360 if want > 0 else want)) < 1e-12
            assert abs(counter[i] - (want + 360 if want < 0 else want)) < 1e-12
    assert worst < 1e-13


@pytest.mark.parametrize("quarter", range(4))
@pytest.mark.parametrize("to", range(4))
def test_quarter_turns_of_faces_are_exact(quarter, to):
    directions = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
    face, wanted = directions[quarter], directions[to]
    turn = (to - quarter) % 4 * 90.0
    assert hinge.turn_to_face(face, wanted, way="counter-clockwise") == turn
    assert hinge.turn_to_face(face, wanted, way="clockwise") == (turn - 360.0 if turn else 0.0)
    assert hinge.turn_to_face(face, wanted) == (turn if turn <= 180.0 else turn - 360.0)
    assert hinge.turn_to_level(face) == (90.0 if quarter % 2 else 0.0)
    assert hinge.turn_to_level(face, way="clockwise") == (-90.0 if quarter % 2 else 0.0)


def turned(point, pivot, turn_deg):
    a = np.radians(turn_deg)
    d = np.subtract(point, pivot)
    return pivot + np.array([np.cos(a) * d[0] - np.sin(a) * d[1], np.sin(a) * d[0] + np.cos(a) * d[1]])


def test_trade_statements_land_what_they_say():
    pivot = np.array([-12.0, 31.0])
    edge = np.array([60.0, 200.0])
    height = hinge.lands_at_height(-75, edge, turned(edge, pivot, -75)[1])
    assert abs(height.miss(pivot)) < 1e-12
    assert height.miss(pivot) - hinge.lands_at_height(-75, edge, height.offset + 3).miss(pivot) == pytest.approx(3)
    # 4 below a face that leans back 30 degrees and passes (10, 5)
    normal = np.array([-np.sin(np.pi / 6), np.cos(np.pi / 6)])
    below = hinge.lands_below(-75, edge, (10, 5), 7 * normal, 4)
    assert below.miss(pivot) == pytest.approx(normal @ (turned(edge, pivot, -75) - [10, 5]) + 4, abs=1e-12)
    face = np.array([[-28.0, -36.0], [-28.0, 324.0]])
    flush = hinge.lands_flush(face, [(-300, 0), (-31, 0)])
    assert flush.turn_deg == -90.0
    assert abs(flush.miss((-10, -18))) < 1e-12  # the level gate is flush with the worktop
    assert hinge.lands_flush(face, [(-300, 0), (-31, 0)], way="counter-clockwise").turn_deg == 270.0
    across, up = hinge.lands_on_point(40, edge, turned(edge, pivot, 40))
    np.testing.assert_allclose(hinge.solve_pivot([across, up]).pivot, pivot, atol=1e-10)


def test_statements_take_arrays():
    turns = np.array([-80.0, -90.0, -100.0])
    assert hinge.lands_at_height(turns, (0, 1), 5).turn_deg.tolist() == turns.tolist()
    assert hinge.lands_below(-90, (0, 1), (0, 0), (0, 1), [1, 2]).offset.tolist() == [-1, -2]
    across, up = hinge.lands_on_point(turns, (0, 300), (300, 0))
    assert across.offset.tolist() == [300, 300, 300]
    assert hinge.solve_pivot([across, up]).pivot.shape == (3, 2)
    assert hinge.turn_to_level([(0, 1), (1, 1)]).tolist() == pytest.approx([90, -45])


def test_where_in_the_travel_a_turn_is():
    gate = PivotHinge((-10, -18), 0, -125)
    assert gate.s_at_turn(-90) == 0.72
    assert gate.turn_at([0, 0.5, 1]).tolist() == [0, -62.5, -125]
    gates = PivotHinge([(-10, -18), (-11, -18)], 0, [-100, -125])
    assert gates.s_at_turn(-100).tolist() == [1.0, 0.8]
    with pytest.raises(fs.InvalidInput, match=r"turn_deg\[0\] must be within the travel, -100 to 0, got -110"):
        gates.s_at_turn(-110)


VALUES = [
    PivotHinge((-10, -18), 0, -125),
    PivotHinge([(-10, -18), (1 / 3, 2)], 0, [-125, -90]),
    Landing(-90, (-28, 0), (3, 4), 10, 0.5, "at_least"),
    Landing([-90, -91], (-28, 0), (1 / 3, 1 / 7), [10, 11]),
    hinge.lands_at_height(-90, (-28, 0), 0),
]


@pytest.mark.parametrize("given", VALUES, ids=lambda v: type(v).__name__)
def test_values_are_values(given):
    again = eval(repr(given), {"PivotHinge": PivotHinge, "Landing": Landing})
    for same in (
        again,
        pickle.loads(pickle.dumps(given)),
        copy.deepcopy(given),
        type(given).from_dict(given.to_dict()),
    ):
        assert same == given
        assert hash(same) == hash(given)
    with pytest.raises(AttributeError):
        given.turn_deg = 3


def test_results_are_values():
    solved = hinge.solve_pivot([Landing(-90, (-28, 0), (0, 1), 0)])
    assert solved == pickle.loads(pickle.dumps(solved))
    assert hash(solved) == hash(hinge.solve_pivot([Landing(-90, (-28, 0), (0, 1), 0)]))
    assert not solved.pivot.flags.writeable
    assert type(solved).from_dict(solved.to_dict()) == solved


BAD = [
    lambda: Landing(float("nan"), (0, 0), (1, 0), 0),
    lambda: Landing(90, (float("inf"), 0), (1, 0), 0),
    lambda: Landing(90, (0, 0), (0, 0), 0),
    lambda: Landing(90, (0, 0), (1, float("nan")), 0),
    lambda: Landing(90, (0, 0, 0), (1, 0), 0),
    lambda: Landing(90, (0, 0), (1, 0), "ten"),
    lambda: Landing(90, (0, 0), (1, 0), "5 kg"),
    lambda: Landing(90, (0, 0), (1, 0), 0, -1),
    lambda: Landing(90, (0, 0), (1, 0), 0, 1, "near"),
    lambda: Landing(90, (0, 0), (1, 0), 0, kind=3),
    lambda: Landing(True, (0, 0), (1, 0), 0),
    lambda: Landing(1j, (0, 0), (1, 0), 0),
    lambda: Landing([1, 2], [(0, 0)] * 3, (1, 0), 0),
    lambda: Landing([[1, 2]], (0, 0), (1, 0), 0),
    lambda: Landing(90, (1e200, 0), (1, 0), 0),
    lambda: Landing(90, (0, 0), (1e-300, 0), 1),
    lambda: hinge.solve_pivot([]),
    lambda: hinge.solve_pivot(None),
    lambda: hinge.solve_pivot("landings"),
    lambda: hinge.solve_pivot([1, 2]),
    lambda: hinge.solve_pivot(Landing(90, (0, 0), (1, 0), 0)),
    lambda: hinge.solve_pivot([Landing([1, 2], (0, 0), (1, 0), 0), Landing([1, 2, 3], (0, 0), (1, 0), 0)]),
    lambda: hinge.solve_pivot([Landing(1e-200, (0, 0), (1, 0), 1)]),
    lambda: hinge.turn_to_face((0, 0), (1, 0)),
    lambda: hinge.turn_to_face((1, 0), (1, 0), way="up"),
    lambda: hinge.turn_to_level((float("inf"), 0)),
    lambda: hinge.lands_flush([(0, 0)], [(0, 0), (1, 0)]),
    lambda: hinge.lands_flush([(0, 0), (0, 0)], [(0, 0), (1, 0)]),
    lambda: hinge.lands_on_point(90, (0, 0), (0, float("nan"))),
    lambda: hinge.lands_below(90, (0, 0), (0, 0), (0, 0), 1),
    lambda: PivotHinge((0, 0), 0, float("inf")),
    lambda: PivotHinge((0, 0), 0, 90).turn_at(1.0001),
    lambda: PivotHinge((0, 0), 0, 90).s_at_turn(float("nan")),
]


@pytest.mark.parametrize("call", range(len(BAD)))
def test_bad_input_is_refused(call):
    with pytest.raises(fs.InvalidInput, match=" must be "):
        BAD[call]()
