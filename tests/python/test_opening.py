"""From tape readings to the panel: against Shapely, SciPy and brute force, which share nothing with the code."""

from __future__ import annotations

import itertools
import math

import foldswing as fs
import numpy as np
import pytest
from foldswing import opening
from foldswing.opening import EDGES, READINGS
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import optimize
from shapely import geometry

ENDS = ((3, 2), (0, 1), (0, 3), (1, 2), (0, 2), (3, 1))  # corners that each reading joins
ROUNDING = 1e-9  # mm; on openings of a metre or two


def lengths(corners):
    c = np.asarray(corners)
    return np.array([math.dist(c[a], c[b]) for a, b in ENDS])


def fitted(read, **more):
    return opening.fit(*read[:4], diagonal_rising=read[4], diagonal_falling=read[5], **more)


def random_corners(rng, out_of_square=40.0):
    """An opening somewhat out of square, in opening axes."""
    w, h = rng.uniform(300, 1800), rng.uniform(250, 1200)
    off = rng.uniform(-out_of_square, out_of_square, 5)
    return np.array([(0, 0), (w, 0), (w + off[0], h + off[1]), (off[2], h + off[3])])


def random_gaps(rng):
    return rng.choice([0.0, 1.5, 3.0, 4.0, 5.0, 8.0], 4) + rng.uniform(0.0, 1.0, 4)


def distance_to_edges(panel, corners):
    """Distance of a panel to the line of each opening edge, by Shapely."""
    body = geometry.Polygon(panel)
    out = []
    for k in range(4):
        a, b = corners[k], corners[(k + 1) % 4]
        way = (b - a) / np.linalg.norm(b - a)
        out.append(body.distance(geometry.LineString([a - 1e4 * way, b + 1e4 * way])))
    return np.array(out)


# ------------------------------------------------------------------------------------------------- the shape


def scipy_fit(read):
    """Best of many starts, on the corners themselves."""

    def miss(x):
        return lengths([(0, 0), (x[0], 0), (x[1], x[2]), (x[3], x[4])]) - read

    w, h = 0.5 * (read[0] + read[1]), 0.5 * (read[2] + read[3])
    return optimize.least_squares(miss, [w, w, h, 0.0, h], xtol=1e-15, ftol=1e-15, gtol=1e-15)


def test_all_six_readings_are_fitted_as_scipy_fits_them(size, show):
    rng = np.random.default_rng(11)
    worst = 0.0
    for _ in range(size(60, 500)):
        read = lengths(random_corners(rng)) + rng.normal(0.0, 1.5, 6)
        found = fitted(read)
        by_scipy = scipy_fit(read)
        assert found.status in {"checked", "misread"}
        np.testing.assert_allclose(found.misfit, found.sizes - read, atol=1e-12)
        np.testing.assert_allclose(lengths(found.corners), found.sizes, atol=1e-12 * read.max())
        # no worse than SciPy's by any margin that counts, and the same sizes
        assert (found.misfit**2).sum() <= 2.0 * by_scipy.cost * (1 + 1e-9) + 1e-18
        worst = max(worst, np.abs(found.misfit - by_scipy.fun).max())
        assert found.worst_misfit == np.abs(found.misfit).max()
        assert found.worst == READINGS[np.abs(found.misfit).argmax()]
    show("opening fit", f"misfits within {worst:.1e} mm of SciPy's least squares")
    assert worst < 1e-5


@given(st.integers(0, 2**32 - 1), st.sampled_from([None, 4, 5]))
def test_exact_readings_give_back_the_opening(seed, missing):
    corners = random_corners(np.random.default_rng(seed))
    read = list(lengths(corners))
    if missing:
        read[missing] = None
    found = fitted(read)
    assert found.status == ("decided" if missing else "checked")
    np.testing.assert_allclose(found.corners, corners, atol=1e-7)
    assert found.worst_misfit < ROUNDING


@given(st.integers(0, 2**32 - 1), st.booleans())
def test_mirrored_readings_give_the_mirrored_opening(seed, diagonals):
    rng = np.random.default_rng(seed)
    read = list(lengths(random_corners(rng)) + rng.normal(0.0, 1.0, 6))
    if not diagonals:
        read[4:] = [None, None]
    found, mirrored = fitted(read), fitted([read[k] for k in (0, 1, 3, 2, 5, 4)])
    assert mirrored.status == found.status
    np.testing.assert_allclose(mirrored.sizes, found.sizes[[0, 1, 3, 2, 5, 4]], atol=1e-6)
    np.testing.assert_allclose(mirrored.square.corners, found.square.corners[[1, 0, 3, 2]], atol=1e-5)


def cosines(corners):
    out = []
    for k in range(4):
        u, v = corners[(k + 1) % 4] - corners[k], corners[k - 1] - corners[k]
        out.append(u @ v / np.linalg.norm(u) / np.linalg.norm(v))
    return np.array(out)


def test_without_diagonals_no_shape_of_these_sides_is_nearer_square(size):
    rng = np.random.default_rng(12)
    for _ in range(size(30, 300)):
        read = lengths(random_corners(rng, 150.0))
        found = fitted([*read[:4], None, None])
        assert found.status == "assumed"
        np.testing.assert_allclose(found.sizes[:4], read[:4], atol=ROUNDING)
        np.testing.assert_allclose(lengths(found.corners), found.sizes, atol=ROUNDING)

        def out(falling, read=read):
            turned = opening.fit(*read[:4], diagonal_falling=falling)
            return math.inf if turned.status == "impossible" else (cosines(turned.corners) ** 2).sum()

        best = (cosines(found.corners) ** 2).sum()
        spread = found.sizes[5] + np.linspace(-80, 80, 41)
        assert best <= min(out(f) for f in spread if f > 0) + 1e-12
        for step in (1e-3, -1e-3):
            assert best < out(found.sizes[5] + step) + 1e-15


@pytest.mark.parametrize("which", range(6))
def test_a_number_far_out_is_named(which, size):
    rng = np.random.default_rng(13 + which)
    named = 0
    runs = size(20, 200)
    for _ in range(runs):
        read = lengths(random_corners(rng, 3.0)) + rng.normal(0.0, 0.3, 6)
        wrong = read.copy()
        wrong[which] += rng.choice([-60.0, 60.0, 100.0])
        found = fitted(wrong)
        assert found.status in {"misread", "impossible"}
        if found.status == "misread" and found.suspect is not None:
            named += found.suspect == READINGS[which]
            assert found.suspect == READINGS[which]
            assert f"{wrong[which]:.1f}" in found.explanation
    assert named > 0.5 * runs


def test_what_a_reading_should_be_makes_the_others_agree():
    read = lengths(random_corners(np.random.default_rng(5)))
    read[3] += 12.0
    found = fitted(read)
    for k in range(6):
        if not math.isnan(found.should_read[k]):
            cured = read.copy()
            cured[k] = found.should_read[k]
            assert fitted(cured).worst_misfit < 1e-7


def test_out_of_square_as_a_square_shows_it():
    # a jamb that closes in by 6 over its height, seen from the sill
    found = opening.out_of_square([(0, 0), (1000, 0), (1000, 400), (6, 400)])
    np.testing.assert_allclose(found.corners, (6.0, 0.0, 0.0, -6.0), atol=1e-12)
    assert found.widths == pytest.approx(-6.0)
    assert found.heights == pytest.approx(math.hypot(6, 400) - 400)
    assert found.diagonals == pytest.approx(math.hypot(1000, 400) - math.hypot(994, 400))


@pytest.mark.parametrize(
    ("read", "words"),
    [
        ((400, 400, 300, 300, 700, 500), "diagonal from bottom left to top right (700.0 mm)"),
        ((400, 400, 300, 300, 500, 90), "width at the sill (400.0 mm)"),
        ((400, 1300, 300, 300, None, None), "three other sides together (1000.0 mm)"),
        ((400, 400, 300, 300, None, 699), "one diagonal"),
        ((840, 400, 350, 300, 500, None), "point inward"),
    ],
)
def test_readings_that_cannot_be_are_told(read, words):
    found = fitted(read)
    assert words in found.explanation
    if "one diagonal" not in words:
        assert found.status == "impossible"
        assert np.isnan(found.corners).all()
        with pytest.raises(fs.InvalidInput, match="impossible"):
            opening.square_panel(found, 3.0)


# ------------------------------------------------------------------------------------------------- the panel


def best_rectangle(corners, gaps, hinge):
    """Greatest area of a rectangle on the hinge side, by search over its height: its ends are plain linear limits."""
    k = EDGES.index(hinge)
    c = np.roll(corners, -k, axis=0)
    g = np.roll(gaps, -k)
    u = (c[1] - c[0]) / np.linalg.norm(c[1] - c[0])
    c = (c - c[0]) @ np.array([[u[0], -u[1]], [u[1], u[0]]])

    def area(y1):
        low, high = np.full_like(y1, -np.inf), np.full_like(y1, np.inf)
        for i in (1, 2, 3):
            a, b = c[i], c[(i + 1) % 4]
            n = np.array([a[1] - b[1], b[0] - a[0]]) / np.linalg.norm(b - a)
            for y in (np.full_like(y1, g[0]), y1):
                rest = n @ a + g[i] - n[1] * y
                if abs(n[0]) < 1e-13:
                    high = np.where(rest > 1e-9, -np.inf, high)
                elif n[0] > 0:
                    low = np.maximum(low, rest / n[0])
                else:
                    high = np.minimum(high, rest / n[0])
        return np.maximum(0.0, high - low) * (y1 - g[0])

    low, high = g[0], c[:, 1].max()
    if low >= high:
        return 0.0
    for _ in range(9):  # the area has one summit: zoom in on it
        tops = np.linspace(low, high, 201)
        areas = area(tops)
        at = int(np.argmax(areas))
        low, high = tops[max(0, at - 1)], tops[min(200, at + 1)]
    return areas[at]


def test_random_openings_give_panels_that_keep_every_gap_or_the_reason(size, show):
    rng = np.random.default_rng(14)
    runs = size(60, 500)
    made = refused = leaks = 0
    closest = math.inf
    for _ in range(runs):
        corners = random_corners(rng)
        gaps = random_gaps(rng) * rng.choice([1.0, 1.0, 1.0, 60.0])
        hinge = EDGES[rng.integers(4)]
        paint = rng.choice([0.0, 0.15])
        are = ("bare", "painted")[rng.integers(2)]
        seals = {EDGES[rng.integers(4)]: opening.Seal(gaps.max() + 6.0, gaps.max() + 1.0)} if rng.random() < 0.3 else {}
        options = {"gaps_are": are, "paint_panel": paint, "paint_body": paint, "seals": seals}
        needed = gaps + (2 * paint if are == "painted" else 0.0)
        for k, edge in enumerate(EDGES):
            if edge in seals:
                needed[k] = max(needed[k], seals[edge].squeezed + 2 * paint)
        found = fitted(lengths(corners))
        hole = geometry.Polygon(corners)
        for matched in (False, True):
            if matched:
                panel = opening.matched_panel(found, gaps, **options)
            else:
                panel = opening.square_panel(found, gaps, hinge=hinge, **options)
            if panel.status == "none":
                refused += 1
                assert "no panel" in panel.explanation or "no rectangle" in panel.explanation
                assert np.isnan(panel.corners).all()
                if not matched:
                    assert best_rectangle(corners, needed, hinge) < 1e-6
                continue
            made += 1
            leaks += panel.status == "leaks"
            assert geometry.Polygon(panel.corners).within(hole.buffer(1e-7))
            there = distance_to_edges(panel.corners, corners)
            closest = min(closest, (there - needed).min())
            assert (there >= needed - 1e-7).all()
            np.testing.assert_allclose([g.least_bare for g in panel.gaps], there, atol=1e-6)
            np.testing.assert_allclose([g.needed for g in panel.gaps], needed, atol=1e-12)
            np.testing.assert_allclose(
                panel.sides, [math.dist(panel.corners[k], panel.corners[(k + 1) % 4]) for k in range(4)], atol=ROUNDING
            )
            assert panel.diagonal_rising == pytest.approx(math.dist(panel.corners[0], panel.corners[2]))
            for g in panel.gaps:
                assert g.least_painted == pytest.approx(g.least_bare - 2 * paint, abs=1e-12)
                if g.seal and g.state == "kept":
                    assert g.seal.squeezed - 1e-7 <= g.least_painted <= g.greatest_painted <= g.seal.free + 1e-7
            if matched:  # exact: every gap is the one needed, all along
                np.testing.assert_allclose([g.greatest_bare for g in panel.gaps], needed, atol=1e-6)
            else:
                k = EDGES.index(hinge)
                assert panel.gaps[k].greatest_bare == pytest.approx(needed[k], abs=1e-7)
                area = geometry.Polygon(panel.corners).area
                assert area == pytest.approx(best_rectangle(corners, needed, hinge), rel=1e-7)
                np.testing.assert_allclose(cosines(panel.corners), 0.0, atol=1e-9)
    assert made > runs
    assert refused > 0
    show(
        "opening to panel",
        f"{runs} openings, square and matched: {made} panels ({leaks} told to leak), {refused} refused with reason; "
        f"least gap {closest:+.0e} mm beyond the one needed, by Shapely; none larger found",
    )


@given(st.integers(0, 2**32 - 1), st.sampled_from(["sill", "head", "left"]))
def test_a_mirrored_opening_gets_the_mirrored_panel(seed, hinge):
    rng = np.random.default_rng(seed)
    corners = random_corners(rng)
    gaps = random_gaps(rng)
    other = {"left": "right"}.get(hinge, hinge)
    mirrored = (corners * [-1, 1])[[1, 0, 3, 2]]
    for panel, image in (
        (
            opening.square_panel(corners, gaps, hinge=hinge),
            opening.square_panel(mirrored, gaps[[0, 3, 2, 1]], hinge=other),
        ),
        (opening.matched_panel(corners, gaps), opening.matched_panel(mirrored, gaps[[0, 3, 2, 1]])),
    ):
        assert panel.status == image.status
        if panel.status != "none":
            np.testing.assert_allclose(panel.corners, (image.corners * [-1, 1])[[1, 0, 3, 2]], atol=1e-7)


@given(st.integers(0, 2**32 - 1))
def test_a_panel_of_the_size_found_hangs_as_it_was_found(seed):
    rng = np.random.default_rng(seed)
    corners, gaps = random_corners(rng), random_gaps(rng) + 0.1
    found = opening.square_panel(corners, gaps)
    assume(found.status == "fits")
    again = opening.given_panel(corners, gaps, along=found.sides[0], across=found.sides[1], hinge_gap=gaps[0])
    assert again.status == "fits"
    assert min(again.gaps[k].least_bare - gaps[k] for k in (1, 3)) > -1e-7
    wider = opening.given_panel(corners, gaps, along=found.sides[0] + 400, across=found.sides[1], hinge_gap=gaps[0])
    assert wider.status == "will not shut"


@given(st.integers(0, 2**32 - 1), st.sampled_from(EDGES))
def test_with_one_size_given_the_other_is_the_most_that_keeps_its_gaps(seed, hinge):
    rng = np.random.default_rng(seed)
    corners, gaps = random_corners(rng), random_gaps(rng) + 0.5
    k = EDGES.index(hinge)
    ends = [(k + 1) % 4, (k + 3) % 4]
    found = opening.square_panel(corners, gaps, hinge=hinge)
    assume(found.status == "fits")
    along, across = found.sides[k], found.sides[ends[0]]
    less = across * rng.uniform(0.4, 1.0)
    longest = opening.longest_panel(corners, gaps, across=less, hinge=hinge)
    there = distance_to_edges(longest.corners, corners)
    assert (there >= gaps - 1e-7).all()
    np.testing.assert_allclose(there[ends], gaps[ends], atol=1e-7)  # no longer one would do
    assert longest.sides[ends[0]] == pytest.approx(less)
    less = along * rng.uniform(0.4, 1.0)
    deepest = opening.deepest_panel(corners, gaps, along=less, hinge=hinge)
    there = distance_to_edges(deepest.corners, corners)
    assert (there >= gaps - 1e-7).all()
    assert deepest.sides[k] == pytest.approx(less)
    # 1e-4 deeper, wherever it is put along the hinge side, it is too near to an edge
    ways = np.roll(corners, -k, axis=0)
    u = (ways[1] - ways[0]) / np.linalg.norm(ways[1] - ways[0])
    body = np.roll(deepest.corners, -k, axis=0) + np.array([(0, 0), (0, 0), (1, 1), (1, 1)]) * 1e-4 * np.array(
        [-u[1], u[0]]
    )
    slack = [distance_to_edges(body + s * u, corners) - gaps for s in np.linspace(-along, along, 401)]
    assert max(s.min() for s in slack) < 1e-7
    assert opening.deepest_panel(corners, gaps, along=3000.0, hinge=hinge).status == "none"


def test_wide_range_of_shapes_against_the_search(size):
    # far from square, where the largest rectangle gives up width for height
    rng = np.random.default_rng(15)
    done = 0
    while done < size(30, 300):
        corners = rng.uniform(0, 1000, (4, 2))
        hull = np.asarray(geometry.MultiPoint(corners).convex_hull.exterior.coords)[:-1]
        if len(hull) != 4:
            continue
        hull = hull if geometry.Polygon(hull).exterior.is_ccw else hull[::-1]
        done += 1
        gaps = random_gaps(rng)
        for hinge in EDGES:
            panel = opening.square_panel(hull, gaps, hinge=hinge)
            best = best_rectangle(hull, gaps, hinge)
            if panel.status == "none":
                assert best < 1e-6
            else:
                assert geometry.Polygon(panel.corners).area == pytest.approx(best, rel=1e-6)
                assert (distance_to_edges(panel.corners, hull) >= gaps - 1e-7).all()


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: opening.fit(-1, 1, 1, 1), "width_top must be from 0.001"),
        (lambda: opening.fit(1, 1, 1, math.nan), "height_right"),
        (lambda: opening.fit(1, 1, 1, 1, diagonal_falling=math.inf), "diagonal_falling"),
        (lambda: opening.fit("a lot", 1, 1, 1), "width_top"),
        (lambda: opening.square_panel([(0, 0), (1, 0), (1, 1)], 0.1), "3 points"),
        (lambda: opening.square_panel([(0, 0), (0, 1), (1, 1), (1, 0)], 0.1), "bottom left, bottom right"),
        (lambda: opening.square_panel([(0, 0), (9, 0), (9, 9), (0, 9)], -0.1), "gap must be finite and >= 0"),
        (lambda: opening.square_panel([(0, 0), (9, 0), (9, 9), (0, 9)], [1, 2]), "2 values"),
        (lambda: opening.square_panel([(0, 0), (9, 0), (9, 9), (0, 9)], {"sill": 1}), "none for 'right'"),
        (lambda: opening.square_panel([(0, 0), (9, 0), (9, 9), (0, 9)], {"bottom": 1}), "got 'bottom'"),
        (lambda: opening.square_panel([(0, 0), (9, 0), (9, 9), (0, 9)], 1, hinge="floor"), "got 'floor'"),
        (lambda: opening.square_panel([(0, 0), (9, 0), (9, 9), (0, 9)], 1, gaps_are="wet"), "got 'wet'"),
        (
            lambda: opening.matched_panel([(0, 0), (9, 0), (9, 9), (0, 9)], 1, seals={"head": opening.Seal(2, 3)}),
            "seal free must be finite and more than squeezed",
        ),
        (lambda: opening.matched_panel([(0, 0), (9, 0), (9, 9), (math.nan, 9)], 1), "opening must be"),
    ],
)
def test_bad_input_names_what_is_wrong(call, words):
    with pytest.raises(fs.InvalidInput, match=words.replace("(", r"\(")):
        call()


def test_results_are_values():
    found = opening.fit("24 1/2 in", "24 7/16 in", "14 3/8 in", "14 3/8 in")
    panel = opening.square_panel(found, "1/8 in", seals={"head": opening.Seal(9.0, 3.0)})
    for thing in (found, panel):
        assert type(thing).from_dict(thing.to_dict()) == thing
        assert hash(type(thing).from_dict(thing.to_dict())) == hash(thing)
    assert found.sizes[0] == pytest.approx(24.5 * 25.4)
    assert panel.gaps[2].seal == opening.Seal(9.0, 3.0)


def test_bare_and_painted_gaps_broadcast_and_undo_each_other():
    bare = opening.bare_gap(np.array([2.0, 3.0]), 0.15, 0.1)
    np.testing.assert_allclose(bare, [2.25, 3.25])
    np.testing.assert_allclose(opening.painted_gap(bare, 0.15, 0.1), [2.0, 3.0], atol=1e-15)
    for a, b in itertools.product((-0.1, math.nan), (0, 1)):
        with pytest.raises(fs.InvalidInput):
            opening.bare_gap(1.0, *((a, 0.0) if b else (0.0, a)))
