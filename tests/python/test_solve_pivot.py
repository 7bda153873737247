"""The pivot that puts every landing right: statuses, least worst, nearest feasible, and what must not change it."""

from __future__ import annotations

from itertools import combinations

import foldswing as fs
import numpy as np
import pytest
from foldswing import hinge
from foldswing.hinge import Landing, solve_pivot
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog, minimize


def rotation(turn_deg):
    """Rotation matrices by plain radians: independent of the library's trigonometry."""
    a = np.radians(turn_deg)
    return np.moveaxis(np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]), (0, 1), (-2, -1))


def landed(point, pivot, turn_deg):
    return pivot + np.einsum("...ij,...j->...i", rotation(turn_deg), point - pivot)


def rows(landings):
    """Row a and value b of each landing: miss = a.P - b, straight from the design's equation."""
    a = np.array([(np.eye(2) - rotation(g.turn_deg)).T @ g.normal for g in landings])
    b = np.array([g.offset - g.normal @ rotation(g.turn_deg) @ g.point for g in landings])
    return a, b


def excess(landings, pivot):
    """How many tolerances each landing is broken by, beyond the first."""
    a, b = rows(landings)
    miss = a @ pivot - b
    breach = [{"on": abs(m), "at_least": -m, "at_most": m}[g.kind] for g, m in zip(landings, miss, strict=True)]
    return np.array(breach) / np.array([g.tolerance for g in landings]) - 1.0


def sides(landings, widen):
    """One-sided rows A P - widen_k excess <= c for linprog."""
    a, b = rows(landings)
    left, right = [], []
    for ak, bk, g, w in zip(a, b, landings, widen, strict=True):
        if g.kind != "at_least":
            left.append([*ak, -w])
            right.append(bk + g.tolerance)
        if g.kind != "at_most":
            left.append([*-ak, -w])
            right.append(g.tolerance - bk)
    return np.array(left), np.array(right)


def least_worst(landings):
    left, right = sides(landings, [g.tolerance for g in landings])
    return linprog([0, 0, 1], left, right, bounds=[(None, None), (None, None), (0, None)], method="highs").fun


def random_landings(rng, n, spread, kinds=("on",), tolerance=(0.2, 2.0)):
    pivot = rng.uniform(-100, 100, 2)
    out = []
    for _ in range(n):
        turn = rng.uniform(20, 340)
        point = rng.uniform(-300, 300, 2)
        normal = rng.normal(size=2)
        normal /= np.hypot(*normal)
        offset = normal @ landed(point, pivot, turn) + rng.normal() * spread
        out.append(Landing(turn, point, normal, offset, rng.uniform(*tolerance), str(rng.choice(kinds))))
    return out


def test_replay_puts_every_landing_back(size, show):
    rng = np.random.default_rng(2)
    n = size(2000, 100_000)
    m = 3
    pivot = rng.uniform(-1000, 1000, (n, 2))
    turn = np.where(rng.random((m, n)) < 0.5, -1, 1) * rng.uniform(1, 359, (m, n))
    turn[:, : n // 50] = rng.choice([90.0, 180.0, 270.0, 450.0], (m, n // 50))
    point = rng.uniform(-1000, 1000, (m, n, 2))
    normal = rng.normal(size=(m, n, 2)) * 10.0 ** rng.uniform(-3, 3, (m, n, 1))
    offset = np.einsum("mni,mni->mn", normal, landed(point, pivot, turn))
    tolerance = np.where(rng.random((m, n)) < 0.3, 0.0, rng.uniform(0.1, 2, (m, n)))
    solved = solve_pivot([Landing(turn[k], point[k], normal[k], offset[k], tolerance[k]) for k in range(m)])
    # Well posed: strips that decide (the exact ones, where there are two) cross at 3 degrees or more.
    half = np.radians(turn) / 2
    unit = normal / np.linalg.norm(normal, axis=-1, keepdims=True)
    u = np.stack(
        [
            np.sin(half) * unit[..., 0] - np.cos(half) * unit[..., 1],
            np.sin(half) * unit[..., 1] + np.cos(half) * unit[..., 0],
        ],
        axis=-1,
    )
    exact = tolerance == 0
    sine = np.zeros(n)
    for i, j in ((0, 1), (0, 2), (1, 2)):
        decide = exact[i].astype(int) + exact[j] >= np.minimum(exact.sum(axis=0), 2)
        sine = np.maximum(sine, decide * abs(u[i, :, 0] * u[j, :, 1] - u[i, :, 1] * u[j, :, 0]))
    well = sine > 0.05
    assert well.mean() > 0.95
    assert (solved.status == hinge.PIVOT_STATUS.index("point")).all()
    again = landed(point, solved.pivot, turn)
    miss = abs(np.einsum("mni,mni->mn", unit, again) - offset / np.linalg.norm(normal, axis=-1))
    assert miss[:, well].max() < 1e-9
    assert abs(solved.residuals[well]).max() < 1e-9
    show("replay of solved pivots", f"{well.sum()} cases of 3 landings, worst miss {miss[:, well].max():.1e} mm")


q = Landing


STATUSES = {
    "two directions": ([q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (1, 0), 4)], "point", "true"),
    "a turn of 0.001 degree": (
        [q(0.001, (0, 0), (0, 1), 1e-3), q(0.001, (0, 0), (1, 0), 0)],
        "point",
        "moves the pivot",
    ),
    "one landing": ([q(90, (0, 0), (0, 1), 10)], "line", "one stop leaves a line"),
    "the same twice": ([q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (0, -5), -50)], "line", "same line"),
    "contradiction within tolerance": ([q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (0, 1), 11.9)], "line", "line"),
    "contradiction just at tolerance": ([q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (0, 1), 12)], "line", "line"),
    "two heights": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (0, 1), 14)],
        "none",
        "both stops ask the same edge for two heights: 10.0 and 14.0 mm",
    ),
    "two heights, one normal down": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (0, -2), -28)],
        "none",
        "10.0 and 14.0 mm",
    ),
    "two places sideways": ([q(90, (0, 0), (1, 0), 10), q(90, (0, 0), (1, 0), 10.04, 0)], "line", "line"),
    "exact and apart": ([q(90, (0, 0), (1, 0), 10, 0), q(90, (0, 0), (1, 0), 10.04, 0)], "none", "10.00 and 10.04 mm"),
    "no height serves": (
        [q(30, (9, 9), (0, 1), 5, 0.5, "at_most"), q(30, (9, 9), (0, 1), 9, 0.5, "at_least")],
        "none",
        "at most 5.0 and at least 9.0 mm",
    ),
    "three ways": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (1, 0), 0), q(90, (0, 0), (1, 1), 40)],
        "none",
        "no pivot serves all 3 stops",
    ),
    "shut and met": ([q(0, (4, 5), (0, 1), 5.5)], "any", "any pivot does"),
    "shut and unmet": (
        [q(0, (4, 5), (0, 1), 7)],
        "none",
        "stands at 5.0 mm where 7.0 mm is asked and 1.0 mm is allowed",
    ),
    "two turns and unmet": ([q(720, (4, 5), (1, 0), 7)], "none", "whole revolutions (720 degrees)"),
    "shut, unmet and one more": ([q(0, (4, 5), (0, 1), 7), q(90, (0, 0), (0, 1), 10)], "none", "stop 1 is shut"),
    "shut, met and one more": ([q(0, (4, 5), (0, 1), 5), q(90, (0, 0), (0, 1), 10)], "line", "one stop leaves"),
    "only one-sided": ([q(90, (0, 0), (0, 1), 10, kind="at_least")], "any", "to one side"),
    "one-sided and contradictory": (
        [q(90, (0, 0), (0, 1), 10, kind="at_least"), q(90, (0, 0), (0, 1), 0, kind="at_most")],
        "none",
        "at least 10.0 and at most 0.0 mm",
    ),
    "a strip and a side": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (1, 0), 50, kind="at_least")],
        "line",
        "one-sided",
    ),
    "a strip and its own side": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (0, 1), 10.5, 0, "at_least")],
        "line",
        "line",
    ),
    "a point and a side": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (1, 0), 4), q(90, (0, 0), (1, 0), 4.5, 0, "at_least")],
        "point",
        "moved",
    ),
    "a point and a side too far": (
        [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (1, 0), 4), q(90, (0, 0), (1, 0), 6, 0, "at_least")],
        "none",
        "stop 2 misses most, by 2.0 mm where 1.0 mm is allowed",
    ),
}


@pytest.mark.parametrize("case", STATUSES)
def test_every_status_is_decided_and_explained(case):
    landings, status, words = STATUSES[case]
    found = solve_pivot(landings)
    assert found.status == status
    assert words in found.explanation
    np.testing.assert_allclose(
        found.residuals, [g.miss(found.pivot) if g.turn_deg % 360 else g.miss((0, 0)) for g in landings]
    )
    if status != "none":
        assert (
            excess(
                [g for g in landings if g.tolerance], found.pivot if status != "any" or "only" in case else np.zeros(2)
            )
            <= 1e-9
        ).all()
    if status == "line":
        first = found.direction[np.flatnonzero(found.direction)[0]]
        assert first > 0
        assert np.hypot(*found.direction) == pytest.approx(1, abs=1e-15)


def test_statuses_show(show):
    show("statuses of solve_pivot", f"{len(STATUSES)} situations, each with its sentence")


def test_parallel_means_within_1e_9_radian():
    def pair(apart):  # two strips at 90 degrees of turn whose directions differ by `apart` radian
        return [q(90, (0, 0), (0, 1), 10), q(90, (0, 0), (np.sin(apart), np.cos(apart)), 10)]

    assert solve_pivot(pair(0.9e-9)).status == "line"
    assert solve_pivot(pair(1.1e-9)).status == "point"


def test_normals_of_any_length_give_the_same_pivot():
    base = solve_pivot([q(33, (5, 6), (3, 4), 50), q(33, (5, 6), (4, -3), 10)])
    for k in (1e-150, 1e-3, 7.0, 1e150):
        scaled = solve_pivot([q(33, (5, 6), (3 * k, 4 * k), 50 * k), q(33, (5, 6), (4 * k, -3 * k), 10 * k)])
        assert scaled.status == "point"
        np.testing.assert_allclose(scaled.pivot, base.pivot, rtol=1e-14)


def test_a_line_is_given_by_its_point_nearest_the_origin():
    rng = np.random.default_rng(5)
    for _ in range(100):
        (landing,) = random_landings(rng, 1, 5.0)
        found = solve_pivot([landing])
        (a,), (b,) = rows([landing])
        np.testing.assert_allclose(found.pivot, a * b / (a @ a), atol=1e-10)
        assert abs(a @ found.direction) < 1e-12


def test_the_least_worst_pivot_against_linear_programming(size, show):
    rng = np.random.default_rng(3)
    n, found, worst = size(300, 20_000), 0, 0.0
    for _ in range(n):
        kinds = [("on",), ("on", "at_least", "at_most"), ("at_least", "at_most")][rng.integers(3)]
        landings = random_landings(rng, int(rng.integers(2, 9)), 8.0, kinds)
        want = least_worst(landings)
        solved = solve_pivot(landings)
        assert (solved.status == "none") == (want > 1e-9)
        if solved.status == "none":
            found += 1
            got = excess(landings, solved.pivot).max()
            worst = max(worst, abs(got - want) / (1 + want))
    assert found > n / 4
    assert worst < 1e-7  # linprog's own feasibility tolerance
    show("least worst pivot against linear programming", f"{found} contradictory cases, worst difference {worst:.1e}")


def test_the_least_worst_pivot_where_many_stops_ask_in_the_same_few_directions(size):
    rng = np.random.default_rng(13)
    normals = np.array([(1.0, 0.0), (0.0, 1.0), (-2.0, 0.0), (1.0, 1.0)])
    none = lines = 0
    for _ in range(size(300, 5000)):
        landings = [
            Landing(
                rng.choice([90, -90]),
                rng.uniform(-50, 50, 2),
                normals[rng.integers(rng.integers(1, 5))],
                rng.uniform(-30, 30),
                rng.uniform(0.5, 9),
                str(rng.choice(["on", "on", "at_least", "at_most"])),
            )
            for _ in range(rng.integers(2, 8))
        ]
        solved, want = solve_pivot(landings), least_worst(landings)
        assert (solved.status == "none") == (want > 1e-9)
        assert max(excess(landings, solved.pivot).max(), 0) == pytest.approx(want, rel=1e-7, abs=1e-9)
        none += solved.status == "none"
        lines += solved.status == "line"
    assert none > 50
    assert lines > 5


def test_with_one_sided_stops_alone_the_pivot_is_the_nearest_to_the_origin(size):
    rng = np.random.default_rng(14)
    for _ in range(size(300, 5000)):
        place = rng.uniform(-100, 100, 2)  # a pivot that serves them all
        landings = []
        for _ in range(rng.integers(1, 12)):
            (g,) = random_landings(rng, 1, 0.0, ("at_least", "at_most"))
            shift = abs(rng.normal(scale=20)) * (-1 if g.kind == "at_least" else 1)
            offset = g.normal @ landed(g.point, place, g.turn_deg) + shift
            landings.append(Landing(g.turn_deg, g.point, g.normal, offset, g.tolerance, g.kind))
        solved = solve_pivot(landings)
        assert solved.status == "any"
        assert excess(landings, solved.pivot).max() < 1e-9
        origin = np.zeros(2)
        want = 0.0 if excess(landings, origin).max() <= 0 else nearest_by_trying_all(landings, origin)
        assert np.hypot(*solved.pivot) == pytest.approx(want, abs=1e-9)


def test_many_landings_are_solved_too():
    rng = np.random.default_rng(4)
    landings = random_landings(rng, 400, 3.0)
    solved = solve_pivot(landings)
    assert solved.status == "none"
    assert excess(landings, solved.pivot).max() == pytest.approx(least_worst(landings), rel=1e-7)


def test_exact_landings_hold_while_the_others_share_the_worst():
    rng = np.random.default_rng(6)
    none = 0
    for _ in range(100):
        soft = random_landings(rng, 4, 5.0)
        (hard,) = random_landings(rng, 1, 5.0, tolerance=(0.0, 0.0))
        solved = solve_pivot([*soft, hard])
        assert abs(solved.residuals[-1]) < 1e-9
        left, right = sides([*soft, hard], [g.tolerance for g in [*soft, hard]])
        want = linprog([0, 0, 1], left, right, bounds=[(None, None), (None, None), (0, None)], method="highs").fun
        none += solved.status == "none"
        assert (solved.status == "none") == (want > 1e-9)
        if solved.status == "none":
            assert excess(soft, solved.pivot).max() == pytest.approx(want, rel=1e-6, abs=1e-6)
    assert none > 20


def test_exact_landings_that_contradict_share_the_miss_in_mm():
    clash = [q(90, (0, 0), (0, 1), 10, 0), q(90, (0, 0), (0, 1), 14, 0), q(40, (7, 0), (0, 1), 30, 5)]
    solved = solve_pivot(clash)
    assert solved.status == "none"
    np.testing.assert_allclose(solved.residuals[:2], [2, -2], atol=1e-9)


def weighted_least_squares(landings):
    a, b = rows(landings)
    w = np.array([1 / g.tolerance for g in landings])
    return np.linalg.lstsq(a * w[:, None], b * w, rcond=None)[0]


def nearest_by_trying_all(landings, wanted):
    """Distance from `wanted` to the nearest pivot that serves: every edge and every corner tried."""
    left, right = sides(landings, np.zeros(len(landings)))
    left = left[:, :2]
    gain = np.linalg.norm(left, axis=1)
    u, c = left / gain[:, None], right / gain
    tries = [wanted + (ck - uk @ wanted) * uk for uk, ck in zip(u, c, strict=True)]
    for i, j in combinations(range(len(c)), 2):
        if abs(np.linalg.det(u[[i, j]])) > 1e-7:
            tries.append(np.linalg.solve(u[[i, j]], c[[i, j]]))
    serve = [p for p in tries if (left @ p - right).max() <= 1e-9]
    return min(np.hypot(*(p - wanted)) for p in serve)


def test_the_pivot_is_the_least_squares_one_or_the_nearest_that_serves(size, show):
    rng = np.random.default_rng(8)
    n, moved, worst = size(600, 10_000), 0, 0.0
    for _ in range(n):
        strips = random_landings(rng, int(rng.integers(2, 6)), 1.0, tolerance=(0.3, 3.0))
        one_sided = random_landings(rng, int(rng.integers(0, 3)), 3.0, ("at_least", "at_most"))
        landings = strips + one_sided
        solved = solve_pivot(landings)
        if solved.status != "point":
            continue
        best = weighted_least_squares(strips)
        if excess(landings, best).max() <= 0:
            np.testing.assert_allclose(solved.pivot, best, atol=1e-8)
            continue
        moved += 1
        assert excess(landings, solved.pivot).max() < 1e-9
        left, right = sides(landings, np.zeros(len(landings)))
        left = left[:, :2]
        want = minimize(
            lambda p, best=best: ((p - best) ** 2).sum(),
            best,
            jac=lambda p, best=best: 2 * (p - best),
            constraints={"type": "ineq", "fun": lambda p, a=left, c=right: c - a @ p, "jac": lambda p, a=left: -a},
            method="SLSQP",
            options={"ftol": 1e-14},
        )
        distance = np.hypot(*(solved.pivot - best))
        assert distance == pytest.approx(np.sqrt(want.fun), rel=1e-4, abs=1e-5)  # as far as SLSQP goes
        worst = max(worst, abs(distance - nearest_by_trying_all(landings, best)))
    assert moved > n / 30
    assert worst < 1e-9
    show("pivot moved to the nearest that serves", f"{moved} cases, within {worst:.1e} mm of trying all; SLSQP agrees")


def carried(landings, turn_deg, shift, scale, mirror):
    """Turn, shift, scale and mirror the whole shop, fixed and panel alike."""
    flip = np.diag([-1.0 if mirror else 1.0, 1.0])
    m = rotation(turn_deg) @ flip
    out = []
    for g in landings:
        n = m @ g.normal
        out.append(
            Landing(
                -g.turn_deg if mirror else g.turn_deg,
                scale * (m @ g.point) + shift,
                n,
                scale * g.offset + n @ shift,
                scale * g.tolerance,
                g.kind,
            )
        )
    return out, lambda p: scale * (m @ p) + shift


@given(
    seed=st.integers(0, 10**6),
    n=st.integers(2, 6),
    turn=st.floats(-180, 180),
    shift=st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
    scale=st.floats(0.1, 10),
    mirror=st.booleans(),
)
def test_the_answer_goes_along_with_the_shop(*, seed, n, turn, shift, scale, mirror):
    rng = np.random.default_rng(seed)
    landings = random_landings(rng, n, float(rng.choice([0.0, 1.0, 10.0])), ("on", "on", "at_least"))
    there, carry = carried(landings, turn, np.array(shift), scale, mirror)
    before, after = solve_pivot(landings), solve_pivot(there)
    assert before.status == after.status
    if sum(g.kind == "on" for g in landings) >= 2:  # else the pivot depends on where the origin is
        a, _ = rows([g for g in landings if g.kind == "on"])
        room = 1e-10 / np.linalg.svd(a)[1][-1] ** 2
        np.testing.assert_allclose(after.pivot, carry(before.pivot), atol=1e-9 * scale + scale * room)
    order = rng.permutation(n)
    shuffled = solve_pivot([landings[i] for i in order])
    assert shuffled.status == before.status
    np.testing.assert_allclose(excess(landings, shuffled.pivot).max(), excess(landings, before.pivot).max(), atol=1e-7)


def test_batches_answer_like_single_calls():
    rng = np.random.default_rng(9)
    cases = [random_landings(rng, 4, float(s)) for s in rng.choice([0.0, 1.0, 9.0], 50)]
    stacked = [
        Landing(
            *(
                np.array([getattr(c[k], f) for c in cases])
                for f in ("turn_deg", "point", "normal", "offset", "tolerance")
            )
        )
        for k in range(4)
    ]
    batch = solve_pivot(stacked)
    assert batch.status.dtype == np.int8
    assert batch.residuals.shape == (50, 4)
    for i, case in enumerate(cases):
        one = solve_pivot(case)
        assert hinge.PIVOT_STATUS[batch.status[i]] == one.status
        assert batch.explanation[i] == one.explanation
        assert (batch.pivot[i] == one.pivot).all()
    assert len(set(batch.status.tolist())) > 1
    mixed = solve_pivot([stacked[0], cases[0][1]])  # one landing stands in every item
    assert mixed.pivot.shape == (50, 2)


def test_the_demo_gate_gets_its_pivot_from_its_stops(show):
    # Invented demo gate: 28 thick, 360 high, lower edge -36, worktop 0, nose -31; level when turned 90 outward.
    level = hinge.turn_to_face((0, 1), (1, 0), way="clockwise")
    flush = hinge.lands_at_height(level, (-28, -36), 0)
    gap = hinge.lands_below(level, (-28, -36), (-31, 0), (1, 0), -3)
    solved = solve_pivot([flush, gap])
    assert solved.status == "point"
    assert solved.pivot.tolist() == [-10.0, -18.0]
    lean = fs.hinge.lands_at_height(-125, (-28, 324), -199.4, tolerance=0.05)  # printed to 0.1 mm
    assert abs(lean.miss(solved.pivot)) <= 0.05
    assert solve_pivot([flush, gap, lean]).status == "point"
    show(
        "demo gate",
        f"pivot {solved.pivot.tolist()} from level, flush and gap; edge {lean.miss(solved.pivot) - 199.4:.2f} at lean",
    )
