"""Points, poses, outlines and paths: against 50-digit arithmetic and Shapely."""

from __future__ import annotations

import math

import foldswing as fs
import mpmath
import numpy as np
import pytest
import shapely
from foldswing import plane
from hypothesis import assume, given
from hypothesis import strategies as st

SQUARE = fs.Outline([(0, 0), (10, 0), (10, 10), (0, 10)])
length = st.floats(-1e6, 1e6, allow_subnormal=False)
angle = st.one_of(st.floats(-1080, 1080), st.sampled_from([0.0, 90.0, -90.0, 180.0, 270.0, 360.0, 450.0, 1e-9]))


def polygon(outline: fs.Outline) -> shapely.Polygon:
    return shapely.Polygon(outline.points, outline.holes)


def star(rng: np.random.Generator, corners: int, centre=(0.0, 0.0), radius=100.0) -> np.ndarray:
    """A ring round a centre, with random corners in order of direction: simple whatever the radii."""
    turn = (np.arange(corners) + rng.uniform(0.05, 0.95, corners)) * 2 * np.pi / corners
    r = radius * rng.uniform(0.15, 1.0, corners)
    return np.c_[centre[0] + r * np.cos(turn), centre[1] + r * np.sin(turn)]


def plate(rng: np.random.Generator, holes: int = 1) -> fs.Outline:
    """A star with a hole in its middle."""
    corners = int(rng.integers(5, 14))
    outer = star(rng, corners)
    room = shapely.Polygon(outer).exterior.distance(shapely.Point(0, 0))
    return fs.Outline(outer, [star(rng, 5, radius=0.9 * room)] if holes else [])


# ---- poses ----------------------------------------------------------------------------------------------------------


def exact_pose(x: float, y: float, angle_deg: float, p: tuple[float, float]):
    turn = mpmath.mpf(angle_deg) * mpmath.pi / 180
    c, s = mpmath.cos(turn), mpmath.sin(turn)
    px, py = (mpmath.mpf(v) for v in p)
    return (c * px - s * py + mpmath.mpf(x), s * px + c * py + mpmath.mpf(y)), max(abs(px), abs(py), abs(x), abs(y))


def test_poses_agree_with_50_digits(size, show):
    rng = np.random.default_rng(1)
    n = size(2000, 100_000)
    worst = 0.0
    scale = 10 ** rng.uniform(-6, 9, (4, n))
    x, y, px, py = rng.uniform(-1, 1, (4, n)) * scale
    turn = np.where(
        rng.random(n) < 0.2, rng.integers(-8, 9, n) * 90.0, rng.uniform(-1, 1, n) * 10 ** rng.uniform(-9, 3, n)
    )
    poses = fs.Pose(x, y, turn)
    back = poses.inverse()
    about = fs.Pose.about(np.c_[x, y], turn)
    with mpmath.workdps(50):
        for i in range(n):
            pose = fs.Pose(poses.x[i], poses.y[i], poses.angle_deg[i])
            wanted, largest = exact_pose(x[i], y[i], turn[i], (px[i], py[i]))
            got = pose.apply((px[i], py[i]))
            worst = max(worst, *(float(abs(w - g) / largest) for w, g in zip(wanted, got, strict=True)))
            home, largest = exact_pose(0, 0, -turn[i], (-x[i], -y[i]))
            got = (back.x[i], back.y[i])
            worst = max(worst, *(float(abs(w - g) / largest) for w, g in zip(home, got, strict=True)))
            # About a pivot: relative to the travel itself, however small the turn.
            t = mpmath.mpf(turn[i]) * mpmath.pi / 180
            v, s = 2 * mpmath.sin(t / 2) ** 2, mpmath.sin(t)
            for got_one, a, b in ((about.x[i], v * x[i], s * y[i]), (about.y[i], v * y[i], -s * x[i])):
                if turn[i] != 0 and turn[i] % 90 != 0:
                    worst = max(worst, float(abs(a + b - got_one) / max(abs(a), abs(b))))
    assert worst <= 1e-13
    show("poses against 50-digit arithmetic", f"{n} poses, worst relative error {worst:.1e}")


def test_quarter_turns_are_exact():
    for quarter, wanted in enumerate([(3.0, 4.0), (-4.0, 3.0), (-3.0, -4.0), (4.0, -3.0)]):
        for turns in (-2, 0, 3):
            assert tuple(fs.Pose(0, 0, 90.0 * quarter + 360.0 * turns).apply((3, 4))) == wanted


@given(length, length, angle, length, length, angle, length, length)
def test_compose_and_inverse(x, y, a, u, v, b, px, py):  # noqa: PLR0917
    first, second = fs.Pose(u, v, b), fs.Pose(x, y, a)
    size = 1 + max(map(abs, (x, y, u, v, px, py)))
    both = second.compose(first)
    assert both.angle_deg == a + b
    assert np.allclose(both.apply((px, py)), second.apply(first.apply((px, py))), rtol=0, atol=1e-14 * 16 * size)
    assert np.allclose(second.inverse().apply(second.apply((px, py))), (px, py), rtol=0, atol=1e-14 * 16 * size)


@given(length, length, angle)
def test_the_pivot_keeps_its_place(x, y, turn):
    assert np.allclose(
        fs.Pose.about((x, y), turn).apply((x, y)), (x, y), rtol=0, atol=1e-15 * 8 * (1 + abs(x) + abs(y))
    )


def test_a_batch_puts_its_axis_first():
    poses = fs.Pose([0.0, 1.0, 2.0], 5.0, [0.0, 90.0, 180.0])
    points = np.array([(1.0, 2.0), (3.0, 4.0)])
    assert poses.y.tolist() == [5.0, 5.0, 5.0]
    assert poses.apply(points).shape == (3, 2, 2)
    assert poses.apply((1.0, 2.0)).shape == (3, 2)
    for i in range(3):
        one = fs.Pose(poses.x[i], poses.y[i], poses.angle_deg[i])
        assert np.array_equal(one.apply(points), poses.apply(points)[i])
        assert poses.compose(fs.Pose(1, 2, 3)).x[i] == one.compose(fs.Pose(1, 2, 3)).x
        assert poses.inverse().y[i] == one.inverse().y
    moved = SQUARE.moved(poses)
    assert [o == SQUARE.moved(fs.Pose(i, 5.0, 90.0 * i)) for i, o in enumerate(moved)] == [True] * 3


def test_units_come_in_by_the_door():
    assert fs.Pose("1 in", "10 mm", "90 deg") == fs.Pose(25.4, 10, 90)
    assert np.allclose(fs.Outline([("0 in", 0), ("1 in", 0), (0, "1 in")]).points, [(0, 0), (25.4, 0), (0, 25.4)])


# ---- outlines -------------------------------------------------------------------------------------------------------


def test_validity_is_shapelys(size, show):
    rng = np.random.default_rng(2)
    n = size(3000, 60_000)
    accepted = 0
    for _ in range(n):
        k = int(rng.integers(3, 8))
        ring = rng.integers(0, 7, (k, 2)).astype(float) if rng.random() < 0.7 else rng.normal(size=(k, 2))
        if len({tuple(p) for p in ring}) < k:
            continue  # a repeated corner: refused here, sometimes let pass there
        wanted = shapely.Polygon(ring).is_valid
        try:
            made = fs.Outline(ring)
        except fs.InvalidInput:
            assert not wanted, ring
            continue
        assert wanted, ring
        accepted += 1
        assert plane.area(made) == pytest.approx(shapely.Polygon(ring).area, rel=1e-12)
    show("validity of random rings", f"{n} rings, {accepted} accepted, every verdict as Shapely's")


def test_validity_of_holes_is_shapelys(size, show):
    rng = np.random.default_rng(3)
    n = size(2000, 40_000)
    accepted = 0
    for _ in range(n):
        holes = [rng.integers(0, 9, (int(rng.integers(3, 5)), 2)).astype(float) for _ in range(int(rng.integers(1, 3)))]
        outer = np.array([(0, 0), (8, 0), (8, 4), (4, 4), (4, 8), (0, 8)], float)
        if any(len({tuple(p) for p in h}) < len(h) or not shapely.Polygon(h).is_valid for h in holes):
            continue
        wanted = shapely.Polygon(outer, holes).is_valid
        try:
            made = fs.Outline(outer, holes)
        except fs.InvalidInput:
            assert not wanted, holes
            continue
        assert wanted, holes
        accepted += 1
        assert plane.area(made) == pytest.approx(shapely.Polygon(outer, holes).area, rel=1e-12)
    show("validity of random holes", f"{n} outlines, {accepted} accepted, every verdict as Shapely's")


REFUSED = {
    "too few": ([(0, 0), (1, 1)], (), "at least three corners, got 2"),
    "closing point does not count": ([(0, 0), (1, 1), (0, 0)], (), "at least three corners, got 2"),
    "none": (np.zeros((0, 2)), (), "at least three corners, got 0"),
    "repeated": ([(0, 0), (4, 0), (4, 0), (0, 4)], (), r"corner 3 on top of corner 2 \(4, 0\)"),
    "repeated later": ([(0, 0), (4, 0), (4, 4), (4, 0), (0, 4)], (), "doubling back|on top of corner 2"),
    "figure of eight at a corner": (
        [(0, 0), (2, 2), (4, 0), (4, 4), (2, 2), (0, 4)],
        (),
        "corner 5 on top of corner 2",
    ),
    "one line": ([(0, 0), (1, 2), (2, 4)], (), "zero area"),
    "crossing": ([(0, 0), (4, 4), (4, 0), (0, 4)], (), r"crossing the side from corner 3 .* near \(2, 2\)"),
    "touching": ([(0, 0), (8, 0), (8, 4), (4, 0), (0, 4)], (), "touching"),
    "spike": ([(0, 0), (8, 0), (8, 9), (8, 4)], (), "doubling back"),
    "nan": ([(0, 0), (math.nan, 0), (0, 1)], (), r"points\[1\] must be finite"),
    "inf": ([(0, 0), (1, 0), (0, math.inf)], (), r"points\[2\] must be finite"),
    "huge": ([(0, 0), (1e200, 0), (0, 1)], (), "within"),
    "three axes": (np.zeros((3, 3)), (), "shape"),
    "flat list": ([1, 2, 3], (), "shape"),
    "strings": ([("a", "b"), (1, 0), (0, 1)], (), "points"),
    "complex": ([(0, 0), (1j, 0), (0, 1)], (), "points"),
    "nothing": (None, (), "points"),
    "hole outside": (SQUARE.points, [[(20, 0), (21, 0), (20, 1)]], r"holes\[0\] must be inside the outline"),
    "hole across": (SQUARE.points, [[(5, 5), (15, 5), (5, 6)]], r"holes\[0\] must be inside the outline"),
    "hole along a side": (SQUARE.points, [[(2, 0), (4, 0), (3, 1)]], "running along"),
    "holes overlap": (SQUARE.points, [[(1, 1), (5, 1), (5, 5)], [(4, 2), (9, 2), (9, 4)]], r"clear of holes\[0\]"),
    "hole in a hole": (SQUARE.points, [[(1, 1), (8, 1), (8, 8)], [(6, 2), (7, 2), (7, 3)]], r"clear of holes\[0\]"),
    "hole too thin": (SQUARE.points, [[(1, 1), (2, 2), (3, 3)]], r"holes\[0\] .*zero area"),
    "hole cuts in two": (SQUARE.points, [[(0, 5), (5, 4), (10, 5), (5, 6)]], "in one piece"),
    "holes a number": (SQUARE.points, 5, "sequence of rings"),
    "holes a word": (SQUARE.points, "round", "sequence of rings"),
}


@pytest.mark.parametrize("case", REFUSED, ids=str)
def test_a_refused_outline_says_what_is_wrong(case):
    points, holes, words = REFUSED[case]
    with pytest.raises(fs.InvalidInput, match=words) as refusal:
        fs.Outline(points, holes)
    for raw in ("Geometry", "boost", "turn", "interior", "segment"):  # the shop's words only
        assert raw not in str(refusal.value)


def test_area_and_centroid_are_shapelys(size):
    rng = np.random.default_rng(4)
    for i in range(size(300, 5000)):
        outline = plate(rng, i % 2)
        shift = rng.uniform(-1e6, 1e6, 2) if i % 3 == 0 else np.zeros(2)
        wanted = polygon(outline)
        moved = outline.moved(fs.Pose(*shift, 0.0))
        assert plane.area(moved) == pytest.approx(wanted.area, rel=1e-12 if i % 3 else 1e-8)
        at = wanted.centroid
        assert np.allclose(plane.centroid(moved) - shift, (at.x, at.y), rtol=0, atol=1e-11 if i % 3 else 1e-7)


def test_locate_is_shapelys(size):
    rng = np.random.default_rng(5)
    words = {1: "inside", 0: "on_edge", -1: "outside"}
    for _ in range(size(60, 600)):
        outline = plate(rng)
        points = np.vstack([rng.uniform(-100, 100, (60, 2)), outline.points, outline.holes[0]])
        codes = plane.locate(outline, points)
        assert codes.dtype == np.int8
        shape = polygon(outline)
        assert np.array_equal(codes == 1, shapely.contains_xy(shape, points))
        assert np.all(codes[60:] == 0)
        assert np.all(codes[:60] != 0)
        assert [plane.locate(outline, p) for p in points[:5]] == [words[c] for c in codes[:5].tolist()]


def test_locate_is_exact_to_the_last_bit():
    """Points a few roundings off a side at 45 degrees: the side is x = y, so the bits themselves say where they lie."""
    outline = fs.Outline([(-12.1, -12.1), (24.3, 24.3), (-12.1, 24.3)])
    i, j = (k.ravel() for k in np.meshgrid(np.arange(64), np.arange(64)))
    points = np.c_[0.5 + i * 2.0**-53, 0.5 + j * 2.0**-53]  # rounded to even where the last bit does not fit
    assert np.array_equal(plane.locate(outline, points), np.sign(points[:, 1] - points[:, 0]))


@given(st.integers(0, 10**6), length, length, angle)
def test_mirrored_twice_is_itself(seed, x, y, turn):
    rng = np.random.default_rng(seed)
    outline = plate(rng)
    direction = (math.cos(turn), math.sin(turn))
    once = plane.mirror(outline, (x, y), direction)
    twice = plane.mirror(once, (x, y), direction)
    tol = 1e-14 * 16 * (100 + abs(x) + abs(y))
    assert np.allclose(twice.points, outline.points, rtol=0, atol=tol)
    assert np.allclose(twice.holes[0], outline.holes[0], rtol=0, atol=tol)
    assert np.allclose(plane.mirror(outline.points[0], (x, y), direction), once.points[0], rtol=0, atol=tol)
    assert polygon(once).exterior.is_ccw
    far = plane.mirror(outline.points, (x, y), (-3 * direction[0], -3 * direction[1]))
    assert np.allclose(far[0], once.points[0], rtol=0, atol=tol)


@given(st.integers(0, 10**6), length, length, angle)
def test_area_does_not_change_with_the_pose(seed, x, y, turn):
    outline = plate(np.random.default_rng(seed))
    moved = outline.moved(fs.Pose(x, y, turn))
    tol = 1e-13 * (100 + abs(x) + abs(y))
    assert plane.area(moved) == pytest.approx(plane.area(outline), abs=tol * 1000)
    assert np.allclose(
        plane.centroid(moved), fs.Pose(x, y, turn).apply(plane.centroid(outline)), rtol=0, atol=100 * tol
    )


# ---- paths ----------------------------------------------------------------------------------------------------------


def test_arcs_agree_with_50_digits(size, show):
    rng = np.random.default_rng(6)
    worst = 0.0
    n = size(500, 20_000)
    with mpmath.workdps(50):
        for _ in range(n):
            a, b = rng.uniform(-1000, 1000, (2, 2))
            sweep = float(rng.choice([-1, 1]) * rng.choice([rng.uniform(1, 359), 10 ** rng.uniform(-12, 0)]))
            path = plane.Path([a, b], sweep)
            chord = mpmath.hypot(mpmath.mpf(b[0]) - a[0], mpmath.mpf(b[1]) - a[1])
            half = abs(mpmath.mpf(sweep)) * mpmath.pi / 360
            radius = chord / (2 * mpmath.sin(half))
            worst = max(
                worst, float(abs(path.radii[0] / radius - 1)), float(abs(path.length / (2 * half * radius) - 1))
            )
            # the middle lies a sagitta off the chord, to the right of the walk where the arc turns left
            rise = radius * (1 - mpmath.cos(half)) * mpmath.sign(sweep)
            middle = path.flatten(float(abs(rise)) / 3)
            if len(middle) % 2 == 1:
                got = middle[len(middle) // 2]
                for k, (mid, across) in enumerate(((a[0] + b[0], b[1] - a[1]), (a[1] + b[1], a[0] - b[0]))):
                    wanted = mpmath.mpf(mid) / 2 + rise * across / chord
                    worst = max(worst, float(abs(wanted - got[k]) / max(1000, radius * 0 + abs(rise))))
    assert worst <= 1e-13
    show("arcs of paths against 50-digit arithmetic", f"{n} arcs, worst relative error {worst:.1e}")


def test_rounded_rectangle_has_its_closed_form():
    path = plane.round_corners(fs.Outline([(0, 0), (40, 0), (40, 30), (0, 30)]), [0, 2, 5, 10])
    assert path.closed
    assert path.length == pytest.approx(140 - 2 * 17 + math.pi / 2 * 17, rel=1e-14)
    assert sorted(path.radii[np.isfinite(path.radii)].tolist()) == pytest.approx([2, 5, 10])
    wanted = 1200 - (1 - math.pi / 4) * (4 + 25 + 100)
    assert plane.area(path.outline(1e-5)) == pytest.approx(wanted, rel=1e-6)
    assert plane.area(path.outline(1e-5)) < wanted  # corners lie on the arcs


def test_rounding_is_opening_and_closing(size):
    """An independent construction: shrink and grow by r rounds outer corners, grow and shrink the reflex ones."""
    rng = np.random.default_rng(7)
    done = 0
    for _ in range(size(40, 400)):
        outline = fs.Outline(star(rng, int(rng.integers(3, 8))))
        r = float(rng.uniform(0.5, 3))
        try:
            path = plane.round_corners(outline, r)
        except fs.InvalidInput:
            continue  # a side too short
        done += 1
        shape = polygon(outline)
        rounded = shape.buffer(-r, quad_segs=200, join_style="mitre", mitre_limit=1e9).buffer(r, quad_segs=200)
        rounded = rounded.buffer(r, join_style="mitre", mitre_limit=1e9).buffer(-r, quad_segs=200)
        ours = polygon(path.outline(1e-4))
        assert ours.symmetric_difference(rounded).area < 2e-3 * shape.length
    assert done >= 10


@given(st.integers(0, 10**6), st.floats(0, 12))
def test_arcs_are_tangent_to_the_sides(seed, r):
    outline = fs.Outline(star(np.random.default_rng(seed), 5))
    try:
        path = plane.round_corners(outline, r)
    except fs.InvalidInput:
        assume(False)
    sweep = math.fsum(path.sweep_deg)
    n = len(path.points)
    chords = np.roll(path.points, -1, axis=0) - path.points
    heading = np.degrees(np.arctan2(chords[:, 1], chords[:, 0]))
    for i in range(n):
        turn = heading[(i + 1) % n] - heading[i] - (path.sweep_deg[i] + path.sweep_deg[(i + 1) % n]) / 2
        if r > 1e-3:
            assert math.remainder(turn, 360) == pytest.approx(0, abs=1e-7)
    if r > 1e-3:
        assert sweep == pytest.approx(360, abs=1e-9)


def test_a_path_keeps_its_shape_when_carried():
    path = plane.Path([(0, 0), (10, 0), (15, 5), (0, 30)], [0, 90, -200, 30], closed=True)
    moved = path.moved(fs.Pose(3, 4, 37))
    assert moved.length == pytest.approx(path.length, rel=1e-14)
    assert np.allclose(moved.flatten(0.01), fs.Pose(3, 4, 37).apply(path.flatten(0.01)), rtol=0, atol=1e-12)
    mirrored = plane.mirror(path, (1, 2), (1, 1))
    assert np.allclose(mirrored.flatten(0.01), plane.mirror(path.flatten(0.01), (1, 2), (1, 1)), rtol=0, atol=1e-12)
    back = path.reversed()
    assert back.length == pytest.approx(path.length, rel=1e-15)
    assert back.points[0].tolist() == path.points[0].tolist()
    ours, theirs = (shapely.LineString(np.vstack([p.flatten(1e-3), p.points[:1]])) for p in (path, back))
    assert shapely.hausdorff_distance(ours, theirs) < 1e-2


BAD_PATHS = [
    ([(0, 0)], [], "at least two points"),
    ([(0, 0), (1, 0)], [0, 0], "one value a segment"),
    ([(0, 0), (1, 0)], [360.0], "between -360 and 360"),
    ([(0, 0), (1, 0)], [math.nan], "between -360 and 360"),
    ([(0, 0), (1, 0)], [[0.0]], "axes"),
    ([(0, 0), (1, 0)], "round", "sweep_deg"),
    ([(0, 0), (1, 0)], True, "sweep_deg"),
    ([(0, 0), (0, 0)], [0.0], "full circle"),
    ([(0, 0), (math.inf, 0)], [0.0], "finite"),
]


@pytest.mark.parametrize(("points", "sweep", "words"), BAD_PATHS)
def test_bad_paths_are_refused(points, sweep, words):
    with pytest.raises(fs.InvalidInput, match=words):
        plane.Path(points, sweep)


BAD_CALLS = [
    (lambda: fs.Pose(math.nan, 0, 0), "x must be finite"),
    (lambda: fs.Pose([0, math.inf], 0, 0), r"x\[1\] must be finite"),
    (lambda: fs.Pose([0, 1], [0, 1, 2], 0), "as long as"),
    (lambda: fs.Pose(np.zeros((2, 2)), 0, 0), "axes"),
    (lambda: fs.Pose(True, 0, 0), "x"),
    (lambda: fs.Pose("3 furlongs", 0, 0), "x"),
    (lambda: fs.Pose(0, 0, "3 mm"), "angle_deg"),
    (lambda: fs.Pose(0, 0, 0).apply([1, 2, 3]), "points"),
    (lambda: fs.Pose(0, 0, 0).apply("here"), "points"),
    (lambda: fs.Pose.about((0, math.nan), 10), "finite"),
    (lambda: plane.locate(SQUARE, (math.nan, 0)), "finite"),
    (lambda: plane.mirror((0, 0), (0, 0), (0, 0)), "direction must be"),
    (lambda: plane.mirror((0, 0), (0, 0), (math.inf, 0)), "direction must be"),
    (lambda: plane.mirror(SQUARE, (math.nan, 0), (1, 0)), "finite"),
    (lambda: plane.mirror((math.nan, 0), (0, 0), (1, 0)), "finite"),
    (lambda: plane.round_corners(SQUARE, -1), "radii must be"),
    (lambda: plane.round_corners(SQUARE, math.nan), "radii must be"),
    (lambda: plane.round_corners(SQUARE, [1, 2, 3]), "one a corner"),
    (lambda: plane.round_corners(SQUARE, [0, 6, 6, 0]), r"radii must be small enough .* is 10 mm long .* use 12 mm"),
    (lambda: plane.Path([(0, 0), (1, 0)], 90).flatten(0), "sagitta must be"),
    (lambda: plane.Path([(0, 0), (1, 0)], 90).flatten(1e-30), "a million points"),
    (lambda: plane.Path([(0, 0), (1, 0)], 90).outline(), "closed"),
    (lambda: plane.Path([(0, 0), (1, 1), (1, 0), (0, 1)], 0, closed=True).outline(), "crossing"),
]


@pytest.mark.parametrize(("call", "words"), BAD_CALLS)
def test_bad_calls_are_refused_by_name(call, words):
    with pytest.raises(fs.InvalidInput, match=words):
        call()
