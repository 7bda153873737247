"""Places carried between folded part and blank: an independent fold, Shapely areas, joints, creases, hostile input."""

from __future__ import annotations

import math

import foldswing as fs
import numpy as np
import pytest
import shapely
import shapely.affinity
from fold_by_hand import fold, marks
from foldswing import carry
from foldswing.blank import Bend, Flat, Profile
from foldswing.plane import Path
from hypothesis import given, settings
from hypothesis import strategies as st


def section(rng):
    """A section that mostly turns one way and back, so that it seldom meets itself; None where it does."""
    parts = [Flat(rng.uniform(5, 60), "flat")]
    for _ in range(rng.integers(1, 6)):
        bend = Bend(rng.choice([30.0, 90.0, rng.uniform(1, 120)]), rng.choice([0.0, rng.uniform(0, 5)]))
        way = rng.choice(["up", "down"])
        parts += [Bend(bend.angle_deg, bend.radius, way), Flat(rng.uniform(5, 60), "flat")]
    try:
        return Profile(parts, rng.uniform(0.5, 3.0), k_factor=rng.uniform(0.05, 1.0))
    except fs.InvalidInput as refused:
        if "cross itself" not in str(refused):
            raise
        return None


def test_places_come_to_lie_where_an_independent_fold_puts_them_and_come_back(size, show):
    rng = np.random.default_rng(51)
    worst = back = 0.0
    done, n = 0, size(40, 2000)
    while done < n:
        profile = section(rng)
        if profile is None:
            continue
        done += 1
        places = np.column_stack([rng.uniform(0, profile.developed_length, 20), rng.uniform(0, 100, 20)])
        lines = [marks(line) for line in profile.bend_lines]
        for face, height in (("lower", 0.0), ("upper", profile.thickness)):
            folded = carry.to_folded(profile, places, face)
            worst = max(worst, np.abs(folded - fold(lines, profile.thickness, places, height)).max())
            found = carry.to_blank(profile, folded, face, within=1e-9)
            for i, place in enumerate(places):
                assert i in found.of
                near = np.abs(found.points[found.of == i] - place).max(axis=1)
                creased = any(
                    line.radius == 0.0 and line.tangent[0] < place[0] < line.tangent[1] for line in profile.bend_lines
                )
                if not creased:
                    back = max(back, near.min())
    assert worst < 1e-9
    assert back < 1e-8  # on a face of radius 1e-3 the blank is a thousand times longer than the face
    show(f"carry: {done} sections folded by NumPy rotations, both faces", f"worst {worst:.1e} mm, back {back:.1e} mm")


def test_a_held_flat_stays_where_it_lay():
    profile = Profile([Flat(20), Bend(90, 1), Flat(40), Bend(45, 1, "down"), Flat(30)], 1.0, k_factor=0.4)
    start, end = profile.flats[1]
    places = [(start, 0.0), (0.5 * (start + end), 3.0), (end, 5.0)]
    held = carry.to_folded(profile, places, "lower", held=1)
    assert held == pytest.approx(np.column_stack([np.array(places), np.zeros(3)]), abs=1e-12)
    back = carry.to_blank(profile, held, "lower", held=1)
    assert back.points == pytest.approx(np.array(places), abs=1e-12)
    with pytest.raises(fs.InvalidInput, match="held must be one of the flats, 0 to 2"):
        carry.to_folded(profile, (0, 0), held=3)


def test_where_the_section_touches_itself_both_places_are_found():
    hem = Profile([Flat(30, "flat"), Bend(180, 0.0), Flat(10, "flat")], 1.0, k_factor=0.5)
    touching = carry.to_folded(hem, (hem.flats[1][0] + 4.0, 2.0), "upper")
    found = carry.to_blank(hem, touching, "upper")
    assert found.points[:, 0] == pytest.approx([hem.flats[0][1] - 4.0, hem.flats[1][0] + 4.0])
    assert found.part.tolist() == [0, 2]
    assert carry.to_blank(hem, touching + np.array([0, 0, 5.0]), "upper").points.shape == (0, 2)


def test_a_crease_without_a_radius_is_one_point_of_its_face():
    profile = Profile([Flat(20), Bend(90, 0.0), Flat(20)], 2.0, k_factor=0.5)
    (line,) = profile.bend_lines
    corner = carry.to_folded(profile, (line.centre, 0.0), "upper")
    assert carry.to_folded(profile, (line.tangent[0], 0.0), "upper") == pytest.approx(corner)
    (found,) = carry.to_blank(profile, corner, "upper").points
    assert line.tangent[0] <= found[0] <= line.tangent[1]
    # along that face the crease takes nothing: a line across it opens by the allowance on the blank
    path = Path([(15.0, 0.0), (25.0, 10.0)], [0.0])
    crossing = carry.along_face(profile, line.tangent[0], "upper")
    assert carry.along_face(profile, line.tangent[1], "upper") == pytest.approx(crossing)
    made = carry.path_on_blank(profile, path, "upper")
    assert made.points[:, 0] == pytest.approx([15.0, line.tangent[0], line.tangent[1], 25.0 + line.allowance])
    assert made.points[1:3, 1] == pytest.approx([crossing - 15.0] * 2)


def test_a_round_hole_on_a_flat_stays_a_round_hole():
    profile = Profile([Flat(20), Bend(90, 1), Flat(40)], 1.0, k_factor=0.4)
    start, end = profile.flats[1]
    at = carry.along_face(profile, 0.5 * (start + end), "lower")
    hole = Path([(at - 3.0, 5.0), (at + 3.0, 5.0)], [180.0, 180.0], closed=True)
    made = carry.path_on_blank(profile, hole, "lower")
    assert made.sweep_deg == pytest.approx([180.0, 180.0])
    assert made.points == pytest.approx(np.array([[0.5 * (start + end) - 3.0, 5.0], [0.5 * (start + end) + 3.0, 5.0]]))


@settings(max_examples=12)
@given(st.floats(0.0, 1.0), st.floats(2.0, 12.0), st.sampled_from(["lower", "upper"]), st.floats(20.0, 150.0))
def test_a_round_hole_through_a_bend_has_the_area_that_stretching_each_strip_gives(share, radius, face, angle):
    profile = Profile([Flat(40, "flat"), Bend(angle, 3.0), Flat(40, "flat")], 2.0, k_factor=0.42)
    (line,) = profile.bend_lines
    own = math.radians(angle) * (3.0 if face == "upper" else 5.0)
    at = 40.0 + share * own
    hole = Path([(at - radius, 0.0), (at + radius, 0.0)], [180.0, 180.0], closed=True)
    made = carry.path_on_blank(profile, hole, face, sagitta=1e-4)
    disc = shapely.Point(at, 0.0).buffer(radius, quad_segs=4096)
    wanted = 0.0
    for low, high, ratio in ((0, 40, 1.0), (40, 40 + own, line.allowance / own), (40 + own, 200, 1.0)):
        wanted += disc.intersection(shapely.box(low, -20, high, 20)).area * ratio
    got = shapely.Polygon(made.flatten(1e-4)).area
    assert got == pytest.approx(wanted, abs=2e-4 * 2 * math.pi * radius * 2)
    again = carry.path_on_face(profile, made, face, sagitta=1e-4)
    drawn = shapely.Polygon(again.flatten(1e-4))
    assert drawn.symmetric_difference(disc).area < 4e-4 * 2 * math.pi * radius


def test_straight_outlines_come_back_exactly():
    rng = np.random.default_rng(7)
    for _ in range(20):
        profile = section(rng)
        if profile is None:
            continue
        for face in ("lower", "upper"):
            whole = carry.along_face(profile, profile.developed_length, face)
            x = np.sort(rng.uniform(0, whole, 4))
            ring = Path([(x[0], 0), (x[3], 1), (x[2], 9), (x[1], 7)], [0] * 4, closed=True)
            on_blank = carry.path_on_blank(profile, ring, face)
            back = carry.path_on_face(profile, on_blank, face)
            a, b = shapely.Polygon(back.points), shapely.Polygon(ring.points)
            assert a.symmetric_difference(b).area < 1e-9


@pytest.mark.parametrize("bad", [math.nan, math.inf, -0.1, 1e300])
def test_places_off_the_blank_are_refused(bad):
    profile = Profile([Flat(20), Bend(90, 1), Flat(40)], 1.0, k_factor=0.4)
    for call in (
        lambda: carry.to_folded(profile, (bad, 0.0)),
        lambda: carry.along_face(profile, [1.0, bad], "lower"),
        lambda: carry.along_blank(profile, bad, "upper"),
        lambda: carry.path_on_blank(profile, Path([(0, 0), (bad, 1)], [0.0]), "lower"),
    ):
        with pytest.raises(fs.InvalidInput):
            call()


def test_bad_words_are_named():
    profile = Profile([Flat(20), Bend(90, 1), Flat(40)], 1.0, k_factor=0.4)
    with pytest.raises(fs.InvalidInput, match="face must be 'lower' or 'upper', got 'outside'"):
        carry.to_folded(profile, (0, 0), "outside")
    with pytest.raises(fs.InvalidInput, match="within"):
        carry.to_blank(profile, (0, 0, 0), within=-1.0)
    with pytest.raises(fs.InvalidInput, match=r"\(x, y, z\)"):
        carry.to_blank(profile, (0, 0))
    with pytest.raises(fs.InvalidInput, match="sagitta"):
        carry.path_on_blank(profile, Path([(0, 0), (1, 1)], [0.0]), "lower", sagitta=0.0)
