"""Where the pivot may be drilled: windows against direct replay, gaps sampled densely, an independent LP."""

from __future__ import annotations

import pickle

import foldswing as fs
import numpy as np
import pytest
import shapely
import window_cases as cases
from foldswing import hinge, plane
from foldswing.hinge import FreeStop, Landing
from gap_cases import box
from gap_oracle import Turn, polygon, union
from scipy.optimize import linprog

LEVEL = hinge.lands_at_height(-90, (-28, 0), 0)
BESIDE = Landing(-90, (-28, -36), (1, 0), -28)
NOSE = fs.Outline(box(-200, -40, -31, 0))
SLAB = fs.Outline(box(-28, -36, 0, 324))


def at_angle(given: Landing, turn_deg: float) -> Landing:
    return Landing(turn_deg, given.point, given.normal, given.offset, given.tolerance, given.kind)


def flip(given: Landing) -> Landing:
    mirrored = given.point * (-1, 1), given.normal * (-1, 1)
    return Landing(-given.turn_deg, *mirrored, given.offset, given.tolerance, given.kind)


def test_inside_every_landing_holds_and_outside_not(size, show):
    count, points = size(12, 200), size(500, 2000)
    wrong = worst = 0.0
    for seed in range(count):
        rng = np.random.default_rng([1, seed])
        middle = rng.uniform(-100, 100, 2)
        landings = cases.random_landings(rng, middle, int(rng.integers(1, 5)))
        region = cases.random_region(rng, middle)
        window = hinge.pivot_window(landings, region)
        # Half of them where the window is, so that thin ones are met too.
        spread = np.where(np.arange(points)[:, None] % 2 == 0, 45.0, 3.0)
        p = middle + spread * rng.uniform(-1, 1, (points, 2))
        breach = np.max([cases.replay(asked, p) for asked in landings], axis=0)
        allowed = union(region)
        within = shapely.intersects(allowed, shapely.points(p))
        border = shapely.distance(allowed.boundary, shapely.points(p))
        truth = (breach <= 0.0) & within
        for i in np.flatnonzero(truth != cases.covered(window.outlines, p)):
            off = border[i] if breach[i] <= 0.0 else abs(breach[i])
            worst = max(worst, float(off))
            wrong += off > 1e-9
    assert wrong == 0
    show(
        "window: random pivots on the wrong side beyond 1e-9 mm", f"{wrong:.0f} of {count * points} (worst {worst:.1e})"
    )


def test_largest_circle_agrees_with_linear_programming(size, show):
    worst, met = 0.0, 0
    for seed in range(size(25, 300)):
        rng = np.random.default_rng([2, seed])
        landings = cases.random_landings(rng, rng.uniform(-100, 100, 2), int(rng.integers(2, 6)))
        post = fs.Outline(rng.uniform(-100, 100, 2) + box(-60, -60, 60, 60))
        window = hinge.pivot_window(landings, post)
        (x0, y0), (x1, y1) = post.points.min(axis=0), post.points.max(axis=0)
        rows = np.vstack([window.half_planes, [(1, 0, x1), (-1, 0, -x0), (0, 1, y1), (0, -1, -y0)]])
        best = linprog([0, 0, -1], np.column_stack([rows[:, :2], np.ones(len(rows))]), rows[:, 2], bounds=(None, None))
        if window.status == "none":
            assert best.x[2] < 1e-6
            continue
        worst = max(worst, abs(best.x[2] - window.forgiveness))
        met += 1
    assert met >= 5
    assert worst < 1e-6
    show("window: largest circle against a linear programme", f"{worst:.1e} mm over {met} windows")


def test_largest_circle_in_any_shape_is_not_beaten(size):
    for seed in range(size(6, 60)):
        rng = np.random.default_rng([3, seed])
        region = cases.random_region(rng, np.zeros(2))
        merged = plane.unite(region)
        circle = plane.largest_circle(merged)
        edge = union(region).boundary
        assert shapely.distance(edge, shapely.Point(circle.centre)) == pytest.approx(circle.radius, abs=1e-9)
        p = rng.uniform(-60, 60, (4000, 2))
        p = np.vstack([p, circle.centre + rng.normal(scale=0.5, size=(2000, 2))])
        p = p[shapely.intersects(union(region), shapely.points(p))]
        assert shapely.distance(edge, shapely.points(p)).max() <= circle.radius + 1e-9


def sampled_gap(panel, fixed, pivot, travel, samples) -> tuple[float, float]:
    """The least of many poses, and how much nearer it may come between them."""
    turn = Turn([panel], pivot, *travel)
    body = union(fixed)
    gap = min(shapely.distance(turn.at(s), body) for s in np.linspace(0, 1, samples))
    return float(gap), float(turn.stray(np.array([1.0 / (samples - 1)]))[0])


def check_cells(rng, window, scene, count, samples):
    """Sample pivots in cells of each verdict; return how many were looked at."""
    panel, fixed, travel, wanted = scene
    looked = 0
    for status in (1, -1):
        cells = window.cells[window.cell_status == status]
        if not len(cells):
            continue
        for x, y, side in cells[rng.integers(0, len(cells), count)]:
            pivot = (x, y) + side * rng.choice([rng.random(2), rng.integers(0, 2, 2)])
            gap, between = sampled_gap(panel, fixed, pivot, travel, samples)
            if status == 1:
                assert gap >= wanted, "a clear cell fouls"
            else:
                assert gap < wanted + between or gap == 0.0, "a fouled cell clears"
            looked += 1
    return looked


def test_cells_are_what_dense_sampling_says(size, show):
    looked = 0
    for seed in range(size(6, 60)):
        rng = np.random.default_rng([4, seed])
        panel = fs.Outline(cases.star(rng, (150.0, 0.0), 120.0, 7))
        fixed = [fs.Outline(cases.star(rng, rng.uniform(-250, 250, 2), 60.0, 6)) for _ in range(2)]
        travel = float(rng.choice([0.0, -30.0, 200.0])), float(rng.choice([-125.0, 90.0, 300.0]))
        wanted = float(rng.choice([0.0, 2.0, 25.0]))
        region = fs.Outline(rng.uniform(-40, 40, 2) + box(-50, -50, 50, 50))
        window = hinge.pivot_window(
            [], region, panel=panel, clear_of=fixed, travel_from_deg=travel[0], travel_to_deg=travel[1], gap=wanted,
            cell=100 / 64,
        )  # fmt: skip
        total = window.clear_area + window.undecided_area + window.fouled_area
        assert total == pytest.approx(10_000.0)
        looked += check_cells(rng, window, (panel, fixed, travel, wanted), size(5, 12), size(101, 201))
    show("window: cells clear or fouled as densely sampled", f"{looked} pivots, none wrong")


def test_the_demo_leaves_little_undecided(size, show):
    window = hinge.pivot_window(
        [], cases.SEARCHED, panel=cases.GATE, clear_of=cases.AROUND, travel_to_deg=-125, gap=2.0, cell=0.25
    )
    share = window.undecided_area / 40_000.0
    assert window.clear_area + window.undecided_area + window.fouled_area == pytest.approx(40_000.0)
    assert share <= 0.02
    show("window: undecided of 200 x 200 mm at 0.25 mm cells, gap 2", f"{100 * share:.2f} %")
    rng = np.random.default_rng(5)
    check_cells(rng, window, (cases.GATE, cases.AROUND, (0, -125), 2.0), size(8, 60), size(126, 251))


def test_the_window_is_what_is_clear(size):
    window = hinge.pivot_window([LEVEL, BESIDE], SLAB, panel=cases.GATE, clear_of=cases.AROUND, travel_to_deg=-125,
                                gap=1.8, cell=0.05)  # fmt: skip
    assert window.status == "window"
    assert 0.0 < plane.area(window.outlines[0]) < plane.area(window.landed[0])
    clear = shapely.union_all([shapely.box(x, y, x + s, y + s) for x, y, s in window.cells[window.cell_status == 1]])
    truth = shapely.intersection(clear, union(window.landed))
    assert union(window.outlines).symmetric_difference(truth).area < 1e-9
    assert any("on the way" in text for text in window.binding)
    for angle in np.linspace(0, 2 * np.pi, size(9, 90)):
        pivot = window.best_pivot + 0.999 * window.forgiveness * np.array([np.cos(angle), np.sin(angle)])
        assert fs.clearance.minimum_gap(cases.GATE, cases.AROUND, hinge.PivotHinge(pivot, 0, -125)).gap >= 1.8
        assert max(cases.replay(asked, pivot[None])[0] for asked in (LEVEL, BESIDE)) <= 0.0


def test_sides_say_what_binds():
    window = hinge.pivot_window([LEVEL, BESIDE], fs.Outline(box(-10.2, -40, 10, 10)))
    assert set(window.binding) == {
        "on its upper right side: stop 1 would land more than 1.0 mm too high",
        "on its lower right side: stop 2 would land more than 1.0 mm too far right",
        "on its lower left side: stop 1 would land more than 1.0 mm too low",
        "on its upper left side: stop 2 would land more than 1.0 mm too far left",
        "on its left side: the edge of the allowed region",
    }
    for side, limit in zip(window.sides, window.side_limits, strict=True):
        if limit == -1:
            assert np.allclose(side[:, 0], -10.2)
            continue
        a, b, c = window.half_planes[limit]
        assert np.allclose(side @ (a, b), c)
        outward = side.mean(axis=0) + 1e-6 * np.array([a, b])
        assert cases.replay((LEVEL, BESIDE)[window.half_plane_stops[limit]], outward[None])[0] > 0.0


def test_mirrored_moved_and_reordered_windows_follow():
    rng = np.random.default_rng(6)
    landings = cases.random_landings(rng, np.zeros(2), 3)
    region = cases.random_region(rng, np.zeros(2))
    window = hinge.pivot_window(landings, region)
    again = hinge.pivot_window(landings[::-1], region[::-1])
    assert again.forgiveness == pytest.approx(window.forgiveness, abs=1e-9)
    assert union(again.outlines).symmetric_difference(union(window.outlines)).area < 1e-9
    flipped = [flip(asked) for asked in landings]
    mirrored = hinge.pivot_window(flipped, [plane.mirror(o, (0, 0), (0, 1)) for o in region])
    assert mirrored.forgiveness == pytest.approx(window.forgiveness, abs=1e-9)
    assert mirrored.status == window.status


@pytest.mark.parametrize("landings", [1, 2])
@pytest.mark.parametrize("angles", ["some", "every"])
def test_a_free_angle_is_held_between_inner_and_outer(landings, angles, size):
    rng = np.random.default_rng([7, landings])
    height = -250 if (landings, angles) == (1, "some") else -190  # such that the stop cuts the window
    lean = [hinge.lands_at_height(-120, (-28, 324), height, tolerance=16), Landing(-120, (-28, 324), (1, 0), 270, 16)]
    ends = (-110.0, -130.0) if angles == "some" else (-121.0, -124.0)
    stop = FreeStop(lean[:landings], *ends, angles=angles)
    window = hinge.pivot_window([LEVEL, stop], fs.Outline(box(-60, -60, 40, 40)), sagitta=0.1)
    p = rng.uniform(-60, 40, (size(3000, 30000), 2))
    each = np.array(
        [
            np.max([cases.replay(at_angle(asked, a), p) for asked in stop.landings], axis=0)
            for a in np.linspace(*ends, 801)
        ]
    )
    stopped = each.min(axis=0) if angles == "some" else each.max(axis=0)
    fixed = cases.replay(LEVEL, p) <= 0.0
    inner, outer = cases.covered(window.outlines, p), cases.covered(window.outer, p)
    # Between two sampled angles the stop may yet land, by no more than a half step moves the edge.
    half_step = 400 * np.deg2rad(abs(ends[1] - ends[0])) / 800 / 2
    assert not (inner & ~(fixed & (stopped <= half_step))).any()
    assert not (fixed & (stopped <= 0.0) & ~outer).any()
    gap = union(window.outer).area - union(window.outlines).area
    assert 0.0 <= gap <= 0.1 * union(window.outer).length
    assert "a stop with a free angle" in " ".join(window.binding)


def test_a_range_of_one_angle_is_a_landing():
    lean = hinge.lands_at_height(-125, (-28, 324), -199)
    region = fs.Outline(box(-60, -60, 40, 40))
    fixed = hinge.pivot_window([LEVEL, lean], region)
    for angles in ("some", "every"):
        free = hinge.pivot_window([LEVEL, FreeStop(lean, -125, -125, angles=angles)], region)
        assert union(free.outlines).symmetric_difference(union(fixed.outlines)).area < 1e-6


def test_best_angle_keeps_the_wish(size):
    level = hinge.lands_at_height(-90, (-28, 0), 0)
    stop = FreeStop([hinge.lands_at_height(-125, (-28, 324), -199)], -110, -130)
    rail = {"within": SLAB, "panel": SLAB, "clear_of": [cases.RAIL], "angles": 31}
    for wish, more in (
        ("forgiveness", {}),
        ("gap", {}),
        ("near", {"near": (-10, -21)}),
        ("hole", {"holes": [(-12, -20), (-9, -19), (-10, -16)]}),
    ):
        found = hinge.pivot_by_angle([level, stop], wish=wish, **more, **rail)
        assert found.best_score >= np.nanmax(found.score)
        finer = hinge.pivot_by_angle([level, stop], wish=wish, **more, **(rail | {"angles": size(101, 2001)}))
        assert np.nanmax(finer.score) <= found.best_score + 1e-3
        landed = [level, at_angle(stop.landings[0], found.best_turn_deg)]
        assert all(cases.replay(asked, found.best_pivot[None])[0] <= 1e-6 for asked in landed)
        assert found.explanation.startswith("a turn of")
        assert pickle.loads(pickle.dumps(found)) == found


def test_the_pivot_by_angle_runs_along_the_curve():
    level = hinge.lands_at_height(-90, (-28, 0), 0, tolerance=0)
    stop = FreeStop(hinge.lands_at_height(-125, (-28, 324), -199.4, tolerance=0), -110, -130)
    found = hinge.pivot_by_angle([level, stop], angles=11)
    for turn, pivot in zip(found.turn_deg, found.pivot, strict=True):
        solved = hinge.solve_pivot([level, hinge.lands_at_height(turn, (-28, 324), -199.4, tolerance=0)])
        assert np.allclose(pivot, solved.pivot, atol=1e-8)


def test_no_window_says_why():
    high = hinge.lands_at_height(-90, (-28, 0), 14)
    none = hinge.pivot_window([LEVEL, high])
    assert none.status == "none"
    assert "ask the same edge for two heights: 0.0 and 14.0 mm" in none.explanation
    assert np.isnan(none.forgiveness)
    assert np.isnan(none.best_pivot).all()
    assert "lies outside it" in hinge.pivot_window([LEVEL, BESIDE], fs.Outline(box(50, 50, 60, 60))).explanation
    wide = hinge.pivot_window([LEVEL, BESIDE], SLAB, panel=SLAB, clear_of=NOSE, gap=5.0)
    assert wide.status == "none"
    assert "nearer than 5.0 mm" in wide.explanation
    tiny = hinge.pivot_window([hinge.lands_at_height(1e-9, (0, 0), 5, tolerance=0.1)])
    assert "thousand kilometres" in tiny.explanation


def test_values_and_shop_numbers():
    window = hinge.pivot_window([LEVEL, BESIDE], panel=SLAB, clear_of=NOSE, gap="1/64 in", cell="1/16 in")
    assert hinge.PivotWindow.from_dict(window.to_dict()) == window
    assert pickle.loads(pickle.dumps(window)) == window
    assert window == hinge.pivot_window((LEVEL, BESIDE), None, panel=[SLAB], clear_of=[NOSE], travel_from_deg=0,
                                        travel_to_deg=-90, gap=25.4 / 64, cell=25.4 / 16)  # fmt: skip


SWING = {"panel": SLAB, "clear_of": [NOSE]}
LEAN = FreeStop([LEVEL], -110, -130)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: hinge.pivot_window([]), "landings"),
        (lambda: hinge.pivot_window(3), "landings"),
        (lambda: hinge.pivot_window("level"), "landings"),
        (lambda: hinge.pivot_window([LEVEL, "level"]), "landings"),
        (lambda: hinge.pivot_window([hinge.lands_at_height([-90, -80], (0, 0), 1)]), "landings"),
        (lambda: hinge.pivot_window([LEVEL], [1]), "within"),
        (lambda: hinge.pivot_window([LEVEL], []), "within"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, panel=SLAB), "clear_of"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, clear_of=[NOSE]), "panel"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, panel=SLAB, clear_of=[1]), "clear_of"),
        (lambda: hinge.pivot_window([], SLAB, **SWING), "travel_to_deg"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, **SWING, travel_to_deg=float("inf")), "travel_to_deg"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, **SWING, gap=-1), "gap"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, **SWING, gap="wide"), "gap"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, **SWING, cell=0), "cell"),
        (lambda: hinge.pivot_window([LEVEL], SLAB, **SWING, cell=1e-5), "cell"),
        (lambda: hinge.pivot_window([LEVEL], **SWING), "within"),
        (lambda: hinge.pivot_window([LEVEL, LEAN]), "within"),
        (lambda: hinge.pivot_window([LEVEL, LEAN], SLAB, sagitta=0), "sagitta"),
        (lambda: hinge.pivot_window([LEVEL, LEAN], SLAB, sagitta=float("nan")), "sagitta"),
        (lambda: hinge.pivot_window([FreeStop([], -1, -2)], SLAB), "landings"),
        (lambda: hinge.pivot_window([FreeStop([LEVEL], -10, 10)], SLAB), "whole revolution"),
        (lambda: hinge.pivot_window([FreeStop([LEVEL], 350, 370)], SLAB), "whole revolution"),
        (lambda: FreeStop([LEVEL], -10, -20, angles="all"), "angles"),
        (lambda: hinge.pivot_by_angle([LEVEL]), "FreeStop"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN, LEAN]), "FreeStop"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN], wish="best"), "wish"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN], wish="near"), "near"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN], wish="hole"), "holes"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN], wish="gap"), "panel"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN], wish="near", near=(0, float("nan"))), "spots"),
        (lambda: hinge.pivot_by_angle([LEVEL, LEAN], angles=1), "angles"),
        (lambda: plane.largest_circle([]), "outlines"),
        (lambda: fs.plot.pivot_window(3), "window"),
    ],
)
def test_bad_input_is_named(call, names):
    with pytest.raises(fs.InvalidInput, match=names):
        call()


def test_hostile_sizes_stay_finite():
    for scale in (1e-6, 1e6):
        landings = [hinge.lands_at_height(-90, (-28 * scale, 0), 0, tolerance=scale),
                    Landing(-90, (-28 * scale, -36 * scale), (1, 0), -28 * scale, scale)]  # fmt: skip
        window = hinge.pivot_window(landings)
        assert window.forgiveness == pytest.approx(scale * np.sqrt(0.5), rel=1e-9)
    far = fs.Outline(box(1e9, 1e9, 1e9 + 100, 1e9 + 100))
    assert hinge.pivot_window([], far).status == "any"
    assert polygon(far).area > 0.0
    spiral = [LEVEL] * 40
    assert hinge.pivot_window(spiral, SLAB).forgiveness == pytest.approx(np.sqrt(0.5), abs=1e-9)
