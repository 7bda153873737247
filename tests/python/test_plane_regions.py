"""Offsets, unions and distances of outlines: against Shapely, and against what the words promise."""

from __future__ import annotations

import math

import foldswing as fs
import numpy as np
import pytest
import shapely
from foldswing import plane
from hypothesis import given
from hypothesis import strategies as st

SQUARE = fs.Outline([(0, 0), (10, 0), (10, 10), (0, 10)])


def polygon(outline: fs.Outline) -> shapely.Polygon:
    return shapely.Polygon(outline.points, outline.holes)


def region(outlines) -> shapely.Geometry:
    return shapely.MultiPolygon([polygon(o) for o in outlines])


def corners(outlines) -> np.ndarray:
    return np.concatenate([ring for o in outlines for ring in (o.points, *o.holes)])


def box(x0, y0, x1, y1) -> fs.Outline:
    return fs.Outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def star(rng: np.random.Generator, count: int, centre=(0.0, 0.0), radius=100.0) -> np.ndarray:
    turn = (np.arange(count) + rng.uniform(0.05, 0.95, count)) * 2 * np.pi / count
    r = radius * rng.uniform(0.15, 1.0, count)
    return np.c_[centre[0] + r * np.cos(turn), centre[1] + r * np.sin(turn)]


def disc_at(centre, radius) -> plane.Path:
    (x, y), r = centre, radius
    return plane.Path([(x - r, y), (x + r, y)], [180, 180], closed=True)


def boxes(rng: np.random.Generator) -> shapely.Geometry:
    """Boxes on whole millimetres, joined: sides in line, necks and slots of whole widths, holes."""
    made = []
    for _ in range(int(rng.integers(2, 9))):
        x, y = rng.integers(0, 12, 2)
        w, h = rng.integers(1, 8, 2)
        made.append(shapely.box(x, y, x + w, y + h))
    return made


def workpiece(rng: np.random.Generator, i: int) -> tuple[fs.Outline, shapely.Polygon]:
    """An outline at any size and pose, and the same at size 1 as drawn."""
    if i % 2:
        joined = shapely.union_all(boxes(rng))
        drawn = max(shapely.get_parts(joined), key=shapely.area)
    else:
        drawn = shapely.Polygon(star(rng, int(rng.integers(3, 12)), radius=9))
    return fs.Outline(
        shapely.get_coordinates(drawn.exterior), [shapely.get_coordinates(h) for h in drawn.interiors]
    ), drawn


@pytest.mark.parametrize("kind", ["round", "mitre"])
def test_offsets_are_as_far_as_they_say(kind, size, show):
    """Whole distances on whole widths, as drawn and in a skew pose, where rounding decides which sides still meet."""
    rng = np.random.default_rng(11)
    n = size(250, 4000)
    count = empty = 0
    for i in range(n):
        outline, drawn = workpiece(rng, i)
        scale = float(10 ** rng.uniform(-2, 3)) if i % 4 else 1.0
        turn, x, y = (float(v) for v in rng.uniform(-500, 500, 3)) if i % 3 else (0.0, 0.0, 0.0)
        scaled = fs.Outline(outline.points * scale, [h * scale for h in outline.holes])
        placed = scaled.moved(fs.Pose(x, y, turn))
        edge = polygon(placed).boundary
        rounding = 1e-11 * (np.abs(placed.points).max() + scale)
        for d in (1.0, -1.0, 0.5, -0.5, 2.0, -2.0, -1.0 - 1e-13, -1.0 + 1e-12):
            made = plane.offset(placed, d * scale, corners=kind, sagitta=0.001 * scale)
            count += 1
            # An independent construction on the drawing, where Shapely meets whole numbers only.
            true = drawn.buffer(d, quad_segs=90)
            got = sum(plane.area(o) for o in made) / scale**2
            if kind == "round":
                assert got == pytest.approx(true.area, abs=0.001 * (drawn.length + 7 * abs(d)) + 1e-6)
            elif d > 0:
                assert got > true.area - 1e-3 * abs(d)
            if not made:
                empty += 1
                continue
            shape = region(made)
            assert all(part.is_valid for part in shape.geoms)
            assert shapely.distance(shape.boundary, edge) >= abs(d) * scale - rounding
            if kind == "round":
                stand = shapely.distance(shapely.points(corners(made)), edge).max()
                assert stand <= (abs(d) + 0.001) * scale + rounding
    show(f"offsets, {kind} corners", f"{count} offsets, {empty} vanish, each as far from the edge as promised")


def test_offset_contains_or_is_contained_as_stated():
    rng = np.random.default_rng(12)
    for _ in range(40):
        outline = fs.Outline(star(rng, 8))
        shape = polygon(outline)
        for sagitta in (1.0, 0.01):
            grown = region(plane.offset(outline, 7.0, sagitta=sagitta))
            inscribed = shape.buffer(7.0, quad_segs=300)  # so smaller than the true one
            assert inscribed.difference(grown).area < 1e-6
            assert shape.buffer(7.0 + 1.01 * sagitta + 0.001, quad_segs=300).contains(grown)
            for part in plane.offset(outline, -7.0, sagitta=sagitta):
                assert shape.buffer(-7.0 + 0.001, quad_segs=300).contains(polygon(part))


def test_growing_and_shrinking_with_mitres_goes_back():
    ell = fs.Outline([(0, 0), (40, 0), (40, 3), (3, 3), (3, 40), (0, 40)])
    (grown,) = plane.offset(ell, 2.5, corners="mitre")
    (back,) = plane.offset(grown, -2.5, corners="mitre")
    assert plane.area(back) == plane.area(ell)
    assert sorted(back.points.tolist()) == sorted(ell.points.tolist())


@given(st.integers(0, 10**6), st.floats(-8, 8).filter(lambda d: abs(d) > 1e-3), st.floats(-180, 180))
def test_offset_goes_with_pose_and_mirror(seed, d, turn):
    rng = np.random.default_rng(seed)
    outline = fs.Outline(star(rng, 7))
    pose = fs.Pose(31.0, -12.0, turn)
    wanted = sum(plane.area(o) for o in plane.offset(outline, d, sagitta=0.01))
    moved = plane.offset(outline.moved(pose), d, sagitta=0.01)
    mirrored = plane.offset(plane.mirror(outline, (3, 4), (1, 2)), d, sagitta=0.01)
    assert sum(plane.area(o) for o in moved) == pytest.approx(wanted, abs=1e-7)
    assert sum(plane.area(o) for o in mirrored) == pytest.approx(wanted, abs=1e-7)


def test_unions_have_the_area_of_shapelys(size, show):
    rng = np.random.default_rng(13)
    n = size(200, 3000)
    for i in range(n):
        made = [fs.Outline(shapely.get_coordinates(b)) for b in boxes(rng)]
        pose = fs.Pose(*rng.uniform(-50, 50, 2), float(rng.uniform(-180, 180)))
        if i % 3 == 1:
            made = [o.moved(pose) for o in made]
        if i % 3 == 2:  # one panel in many poses close to each other, as a swing has them
            made = [made[0].moved(fs.Pose.about((3.0, 4.0), 1.5 * k)) for k in range(20)]
        joined = plane.unite(made)
        # A grid for Shapely too: without one it loses parts where sides are nearly in line.
        wanted = shapely.union_all([polygon(o) for o in made], grid_size=2.0**-36)
        assert sum(plane.area(o) for o in joined) == pytest.approx(wanted.area, rel=1e-9)
        assert all(polygon(o).is_valid for o in joined)
        assert len(joined) == shapely.get_num_geometries(wanted) or i % 3
    show("unions against Shapely", f"{n} groups, area within 1e-9")


def test_touching_lobes_stay_apart_and_holes_stay_open():
    two = plane.unite([box(0, 0, 1, 1), box(1, 1, 2, 2)])
    assert len(two) == 2
    (ring,) = plane.unite([box(0, 0, 9, 3), box(6, 0, 9, 9), box(0, 6, 9, 9), box(0, 0, 3, 9)])
    assert len(ring.holes) == 1
    assert plane.area(ring) == 72
    waist = fs.Outline(
        [(0, 0), (10, 0), (10, 4), (20, 4), (20, 0), (30, 0), (30, 10), (20, 10), (20, 6), (10, 6), (10, 10), (0, 10)]
    )
    assert [len(plane.offset(waist, -d)) for d in (0.9, 1.0, 1.1, 5.0)] == [1, 2, 2, 0]


# ---- distance -------------------------------------------------------------------------------------------------------


def test_distances_are_shapelys_with_witnesses(size, show):
    rng = np.random.default_rng(14)
    n = size(500, 10_000)
    worst = 0.0
    for _ in range(n):
        a = fs.Outline(star(rng, int(rng.integers(3, 12))))
        b = fs.Outline(star(rng, int(rng.integers(3, 12)), centre=rng.uniform(-300, 300, 2)))
        gap = plane.distance(a, b)
        wanted = polygon(a).distance(polygon(b))
        worst = max(worst, abs(gap.distance - wanted))
        assert (gap.depth > 0) == (polygon(a).intersection(polygon(b)).area > 1e-9)
        if gap.depth == 0:
            assert math.dist(gap.point_a, gap.point_b) == pytest.approx(wanted, abs=1e-12)
            assert polygon(a).distance(shapely.Point(gap.point_a)) < 1e-12
            assert polygon(b).distance(shapely.Point(gap.point_b)) < 1e-12
        other = plane.distance(b, a)
        assert (other.distance, other.depth) == pytest.approx((gap.distance, gap.depth), abs=1e-9)
    assert worst <= 1e-12
    show("distance of outlines against Shapely", f"{n} pairs, largest difference {worst:.1e} mm")


def deepest_by_sampling(a: shapely.Polygon, b: shapely.Polygon, step: float) -> float:
    """The depth by its definition, from points along both edges."""
    best = 0.0
    for one, other in ((a, b), (b, a)):
        ring = one.boundary
        points = np.concatenate(
            [
                shapely.line_interpolate_point(ring, np.arange(0, ring.length, step)),
                shapely.points(shapely.get_coordinates(ring)),
            ]
        )
        inside = points[shapely.contains_xy(other, shapely.get_x(points), shapely.get_y(points))]
        if inside.size:
            best = max(best, shapely.distance(inside, other.boundary).max())
    return best


def test_depth_is_its_definition_and_no_shorter_shift_parts_them(size, show):
    rng = np.random.default_rng(15)
    n = size(25, 800)
    worst = 0.0
    for i in range(n):
        a = fs.Outline(star(rng, int(rng.integers(3, 9))))
        b = fs.Outline(star(rng, int(rng.integers(3, 9)), centre=rng.uniform(-90, 90, 2)))
        if i % 5 == 0:  # a bar across a bar: no corner inside
            a, b = box(-90, -5, 90, 5), box(-8, -60, 8, 60).moved(fs.Pose(0, 0, float(rng.uniform(-40, 40))))
        found = plane.distance(a, b)
        sampled = deepest_by_sampling(polygon(a), polygon(b), 0.02)
        assert sampled - 1e-9 <= found.depth <= sampled + 0.01
        worst = max(worst, found.depth - sampled)
        if found.depth > 0:
            assert math.dist(found.point_a, found.point_b) == pytest.approx(found.depth, abs=1e-9)
            for turn in np.linspace(0, 2 * np.pi, 16):
                step = 0.999 * found.depth
                shifted = b.moved(fs.Pose(step * math.cos(turn), step * math.sin(turn), 0))
                assert plane.distance(a, shifted).depth > 0
    show(
        "overlap depth against its definition", f"{n} pairs, sampled value reached or passed by at most {worst:.1e} mm"
    )


def test_known_depths():
    assert plane.distance(SQUARE, box(8, 7, 20, 20)).depth == 2
    assert plane.distance(SQUARE, box(2, 3, 4, 5)).depth == 4
    assert plane.distance(box(-9, -1, 9, 1), box(-2, -9, 2, 9)).depth == 2  # half of the wider bar
    assert plane.distance(SQUARE, SQUARE).depth == 5
    # A square turned by 45 degrees: the middle of each of its sides is 5 from the centre, so 5 - 5 / sqrt 2 deep.
    turned = SQUARE.moved(fs.Pose.about((5, 5), 45))
    assert plane.distance(SQUARE, turned).depth == pytest.approx(5 - 5 / math.sqrt(2), abs=1e-9)


@pytest.mark.parametrize(
    "other",
    [
        box(10, 2, 20, 5),  # along a side
        box(10, 10, 20, 20),  # at a corner
        fs.Outline([(10, 5), (20, 0), (20, 10)]),  # a corner on a side
        fs.Outline([(-5, -5), (15, -5), (15, 15), (-5, 15)], holes=[SQUARE.points]),  # fills the hole
    ],
)
def test_touching_is_neither_gap_nor_overlap(other):
    found = plane.distance(SQUARE, other)
    assert (found.distance, found.depth) == (0, 0)
    assert found.point_a.tolist() == found.point_b.tolist()
    assert plane.distance(other, SQUARE).depth == 0


def test_a_body_in_a_hole_is_apart():
    frame = fs.Outline(SQUARE.points, holes=[[(1, 1), (9, 1), (9, 9), (1, 9)]])
    assert plane.distance(frame, box(4, 3, 5, 4)).distance == 2
    assert plane.distance(box(4, 3, 5, 4), frame).distance == 2


def test_groups_name_the_pair():
    posts = [box(20, 0, 21, 1), box(13, 0, 14, 1)]
    found = plane.distance(SQUARE, posts)
    assert (found.distance, found.index_a, found.index_b) == (3, 0, 1)
    assert plane.distance(posts, (SQUARE, box(13.25, 0.25, 13.5, 0.5))).index_b == 1  # an overlap comes before any gap


@given(st.integers(0, 10**6), st.floats(-1e4, 1e4), st.floats(-180, 180))
def test_distance_goes_with_pose_and_mirror(seed, x, turn):
    rng = np.random.default_rng(seed)
    a = fs.Outline(star(rng, 6))
    b = fs.Outline(star(rng, 6, centre=rng.uniform(-200, 200, 2)))
    here, pose = plane.distance(a, b), fs.Pose(x, -x / 3, turn)
    there = plane.distance(a.moved(pose), b.moved(pose))
    mirrored = plane.distance(plane.mirror(a, (1, 2), (3, 4)), plane.mirror(b, (1, 2), (3, 4)))
    for other in (there, mirrored):
        assert other.distance == pytest.approx(here.distance, abs=1e-10)
        assert other.depth == pytest.approx(here.depth, abs=1e-8)


BAD_CALLS = [
    (lambda: plane.offset(SQUARE, math.nan), "distance must be finite"),
    (lambda: plane.offset(SQUARE, 1e300), "distance must be finite, within"),
    (lambda: plane.offset(SQUARE, "wide"), "distance"),
    (lambda: plane.offset(SQUARE, [1.0, 2.0]), "one number"),
    (lambda: plane.offset(SQUARE, 1, corners="bevel"), "'round' or 'mitre'"),
    (lambda: plane.offset(SQUARE, 1, sagitta=0), "sagitta must be"),
    (lambda: plane.offset(SQUARE, 1, sagitta=1e-9), "a millionth of the distance"),
    (lambda: plane.offset(SQUARE, 1, sagitta=math.nan), "sagitta must be"),
    (lambda: plane.offset(SQUARE, 1, mitre_limit=0.5), "mitre_limit must be"),
    (lambda: plane.offset(SQUARE, 1, mitre_limit=math.inf), "mitre_limit must be"),
    (lambda: plane.distance(SQUARE, []), "b must be an Outline or a list of them, got none"),
    (lambda: plane.distance(None, SQUARE), "a must be an Outline"),
    (lambda: plane.distance(SQUARE, [SQUARE, 3]), "b must be an Outline"),
    (lambda: plane.distance(SQUARE, SQUARE.points), "b must be an Outline"),
    (lambda: plane.unite([]), "outlines must be"),
    (lambda: plane.unite("all"), "outlines must be"),
]


@pytest.mark.parametrize(("call", "words"), BAD_CALLS)
def test_bad_calls_are_refused_by_name(call, words):
    with pytest.raises(fs.InvalidInput, match=words):
        call()


def test_a_section_joined_with_a_disc_is_what_shapely_makes_of_the_two(size, show):
    rng = np.random.default_rng(11)
    worst = 0.0
    done = 0
    for _ in range(size(50, 2000)):
        corners = star(rng, int(rng.integers(3, 9)))
        try:
            path = plane.round_corners(fs.Outline(corners), rng.uniform(0, 6) * rng.integers(0, 2))
        except fs.InvalidInput:
            continue
        centre, radius = rng.uniform(-90, 90, 2), rng.uniform(5, 60)
        own = polygon(path.outline(1e-5))
        disc = polygon(disc_at(centre, radius).outline(1e-5))
        joined = own.union(disc)
        if not own.intersects(disc):
            with pytest.raises(fs.InvalidInput, match="within the radius"):
                plane.with_disc(path, centre, radius)
            continue
        filled = shapely.Polygon(joined.exterior)
        got = polygon(plane.with_disc(path, centre, radius).outline(1e-5))
        worst = max(worst, got.symmetric_difference(filled).area / filled.length)
        done += 1
    assert done > 15
    assert worst < 4e-5  # chords of both stand off their arcs by 1e-5
    show("sections joined with a disc", f"{done}: {worst:.1e} mm from Shapely's, chords of 1e-5 mm")
