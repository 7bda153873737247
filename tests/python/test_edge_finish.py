"""Ready sections, finished edges and curved flanges: fold-back, printed rules, hoops counted by hand, refusals."""

from __future__ import annotations

import csv
import math
from pathlib import Path as File

import foldswing as fs
import numpy as np
import pytest
import shapely
from fold_by_hand import fold, marks
from foldswing import edge_finish, ready_section
from foldswing.curved_flange import curved_flange
from hypothesis import given, settings
from hypothesis import strategies as st

METAL = {"thickness": 1.5, "radius": 2.0, "k_factor": 0.42}
RULES = {
    row["rule"]: row
    for row in csv.DictReader(
        line
        for line in (File(__file__).parents[1] / "reference/edge_allowances.csv")
        .read_text(encoding="utf-8")
        .splitlines()
        if not line.startswith("#")
    )
}


def faces(profile):
    """Both faces folded by NumPy, as (n, 2) points along the blank, at the cut edges and round every bend."""
    stops = np.concatenate(
        [[0.0], *[np.linspace(*line.tangent, 721) for line in profile.bend_lines], [profile.developed_length]]
    )
    places = np.column_stack([stops, np.zeros_like(stops)])
    lines = [marks(line) for line in profile.bend_lines]
    return [fold(lines, profile.thickness, places, h)[:, [0, 2]] for h in (0.0, profile.thickness)]


def extents(profile):
    both = np.vstack(faces(profile))
    return both.max(axis=0) - both.min(axis=0)


def test_ready_sections_measure_what_their_names_say_when_folded(size, show):
    rng = np.random.default_rng(53)
    worst, n = 0.0, size(20, 2000)
    for _ in range(n):
        t, r, k = rng.uniform(0.5, 3), rng.uniform(0, 4), rng.uniform(0.2, 0.5)
        metal = {"thickness": t, "radius": r, "k_factor": k}
        a, b, web, lip = rng.uniform(30, 80), rng.uniform(30, 80), rng.uniform(60, 120), rng.uniform(12, 20)
        height = rng.uniform(20, 60)
        wanted = [
            (ready_section.angle(a, b, **metal), (a, b)),
            (ready_section.channel(a, web, b, **metal), None),
            (ready_section.lipped_channel(lip, a, web, **metal), None),
            (ready_section.zed(a, height, b, **metal), (a + b - t, height)),
            (ready_section.hat(a, height, web, **metal), (2 * a + web - 2 * t, height)),
        ]
        for profile, size_of in wanted:
            if size_of is not None:
                worst = max(worst, np.abs(extents(profile) - size_of).max())
        # held by the first flange, a channel's web stands up: its flanges run along x
        for profile, lips in ((wanted[1][0], 0.0), (wanted[2][0], lip)):
            x, z = extents(profile)
            worst = max(worst, abs(x - (max(a, b) if lips == 0.0 else web)), abs(z - (web if lips == 0.0 else a)))
    assert worst < 1e-9
    show(f"ready sections: {n} of each folded by NumPy rotations", f"outside sizes within {worst:.1e} mm")


@settings(max_examples=15)
@given(st.floats(0.3, 12), st.floats(0.4, 3), st.floats(0, 4), st.floats(0.05, 1), st.floats(0.01, 30))
def test_a_joggle_folds_to_its_depth_and_run_out(depth, thickness, radius, k, more):
    c = 2 * radius + thickness
    least = math.sqrt(depth * (2 * c - depth)) if depth < c else c
    made = ready_section.joggle(20, depth, least + more, 30, thickness=thickness, radius=radius, k_factor=k)
    lower, upper = faces(made.profile)
    assert lower[-1] - lower[0] == pytest.approx((20 + least + more + 30, depth), abs=1e-9)
    assert upper[-1] - upper[0] == pytest.approx((20 + least + more + 30, depth), abs=1e-9)
    assert made.take_up == pytest.approx(made.profile.developed_length - (50 + least + more), abs=1e-9)
    assert made.least_run_out == pytest.approx(least)
    assert made.short_run_out == (least + more < 4 * depth)
    if depth > 1e-3 and least > 0.1:
        with pytest.raises(fs.InvalidInput, match=r"run_out must be at least .*lengthen it by"):
            ready_section.joggle(20, depth, 0.999 * least, 30, thickness=thickness, radius=radius, k_factor=k)


def test_printed_edge_rules_are_kept_with_their_sources():
    metal = {"thickness": 1.0, "k_factor": 0.44}
    cases = {
        "single hem, length added": (edge_finish.hem("closed", 8, **metal), 8.0),
        "double hem, length added": (edge_finish.hem("double", 8, **metal), 16.0),
        "wired edge, length added": (edge_finish.wired_edge("1/8 in", **metal), 25.4 * 5 / 16),
        "grooved or lock seam round a cylinder, length added": (
            edge_finish.lock_seam("single", "1/4 in", **metal),
            25.4 * 3 / 4,
        ),
    }
    assert set(cases) == set(RULES)
    for rule, (made, wanted) in cases.items():
        assert made.rule == pytest.approx(wanted)
        assert RULES[rule]["source"].split(",")[0].lower() in made.source.lower()
    assert math.isnan(edge_finish.lock_seam("double", 8, **metal).rule)
    assert "no source" in edge_finish.lock_seam("double", 8, **metal).source


@pytest.mark.parametrize(
    "made",
    [
        edge_finish.hem("closed", 8, thickness=1.5, k_factor=0.42),
        edge_finish.hem("open", 10, opening=2.0, thickness=1.5, k_factor=0.42),
        edge_finish.hem("teardrop", 14, opening=3.0, thickness=1.5, k_factor=0.42),
        edge_finish.hem("double", 12, thickness=1.5, k_factor=0.42),
        edge_finish.wired_edge(4.0, thickness=1.5, k_factor=0.42),
        edge_finish.lock_seam("single", 9, thickness=1.5, k_factor=0.42),
        edge_finish.lock_seam("double", 14, thickness=1.5, k_factor=0.42),
    ],
    ids=lambda made: made.rule_text[:24],
)
def test_a_finished_edge_measures_over_the_fold_and_adds_what_it_says(made):
    plain = ready_section.angle(40, 60, **METAL)
    seam = made.edge_from_line > 0
    for where in ("start", "end"):
        profile = edge_finish.finished(plain, **{where: made})
        added = profile.developed_length - plain.developed_length
        assert added == pytest.approx(0.5 * made.addition if seam else made.addition, abs=1e-12)
        ahead = len(profile.bend_lines) - 1 if where == "start" else 0
        turn = -math.radians(sum(line.angle_deg for line in profile.bend_lines[:ahead]))
        points = np.vstack(faces(profile)) @ np.array(
            [[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]
        )
        over = made.edge_from_line
        # the round of a fold is met by 721 points: its highest within 1e-5 mm
        wanted = (40 + (over if where == "start" else 0), 60 + (over if where == "end" else 0))
        assert np.ptp(points, axis=0) == pytest.approx(wanted, abs=2e-5)
    both = edge_finish.finished(plain, start=made, end=made)
    assert both.developed_length - plain.developed_length == pytest.approx(2 * added)
    # metal is nowhere twice: the section as a polygon is valid, up to faces that touch
    lower, upper = faces(edge_finish.finished(plain, end=made))
    ring = shapely.Polygon(np.vstack([lower, upper[::-1]]))
    strips = [shapely.Polygon([*lower[i : i + 2], *upper[i : i + 2][::-1]]) for i in range(len(lower) - 1)]
    metal = sum(strip.area for strip in strips)
    assert ring.area == pytest.approx(metal, rel=1e-9)
    assert shapely.union_all([strip.buffer(-1e-4) for strip in strips]).area == pytest.approx(metal, rel=0.02)


def test_the_edge_of_a_teardrop_touches_the_sheet():
    made = edge_finish.hem("teardrop", 14, opening=3.0, thickness=1.5, k_factor=0.42)
    profile = edge_finish.finished(fs.blank.Profile([fs.blank.Flat(50)], 1.5, k_factor=0.42), end=made)
    _, upper = faces(profile)
    assert upper[-1] == pytest.approx((50 - 14, 1.5), abs=1e-9)


def test_a_lock_seam_hooks_into_its_other_half():
    t = 1.0
    made = edge_finish.lock_seam("single", 10, thickness=t, k_factor=0.44)
    sheet = fs.blank.Profile([fs.blank.Flat(40)], t, k_factor=0.44)
    lower, upper = faces(edge_finish.finished(sheet, end=made))
    hook = shapely.Polygon(np.vstack([lower, upper[::-1]]))
    other = shapely.affinity.rotate(hook, 180, origin=(40, 2 * t))  # turned over about the middle of the seam
    assert hook.intersection(other).area < 1e-3
    assert hook.union(other).bounds[1::2] == pytest.approx((0, 4 * t), abs=1e-6)


def test_tabs_and_slots_share_their_centres():
    made = edge_finish.tabs_and_slots(300, 3, 20, thickness=1.5, through=2.0, clearance=0.2)
    assert made.centres == pytest.approx([50, 150, 250])
    assert (made.tab_height, made.slot_length, made.slot_width) == pytest.approx((2.0, 20.2, 1.7))
    assert (made.between, made.to_end) == pytest.approx((79.8, 39.9))
    with pytest.raises(fs.InvalidInput, match=r"tab_width must be at most 97\.8"):
        edge_finish.tabs_and_slots(300, 3, 99, thickness=1.5, through=2.0)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: edge_finish.hem("closed", 1.0, thickness=1.5, k_factor=0.4), "width must be over 1.5, which the fold"),
        (lambda: edge_finish.hem("closed", 8, opening=1, thickness=1.5, k_factor=0.4), "opening must be 0"),
        (lambda: edge_finish.hem("open", 8, thickness=1.5, k_factor=0.4), "opening must be finite and > 0"),
        (lambda: edge_finish.hem("rolled", 8, thickness=1.5, k_factor=0.4), "kind must be"),
        (lambda: edge_finish.hem("closed", math.nan, thickness=1.5, k_factor=0.4), "width"),
        (lambda: edge_finish.hem("double", 3, thickness=1.5, k_factor=0.4), "width must be over 3.75"),
        (lambda: edge_finish.hem("closed", 8, thickness=1.5, k_factor=1.4), "k_factor must be from 0"),
        (lambda: edge_finish.wired_edge(3, thickness=1, k_factor=0.4, turned_deg=340), "turned_deg must be 180 to 330"),
        (lambda: edge_finish.lock_seam("single", 2, thickness=1, k_factor=0.4), "width must be over 3"),
        (lambda: edge_finish.finished(ready_section.angle(40, 60, **METAL), end=7), "end must be an EdgeFinish"),
        (
            lambda: edge_finish.finished(
                ready_section.angle(40, 6, **METAL),
                end=edge_finish.hem("open", 9, opening=8, thickness=1.5, k_factor=0.4),
            ),
            "lengthen it by",
        ),
        (lambda: ready_section.angle(2, 40, **METAL), "leg_a must be at least 3.5 .* lengthen it by"),
        (lambda: ready_section.channel(20, 5, 20, **METAL), "web must be at least 7"),
        (lambda: ready_section.hat(20, 5, 20, **METAL), "height must be at least 7"),
        (lambda: ready_section.joggle(20, 2, 8, 20, thickness=1, radius=1, k_factor=None), "k_factor"),
        (lambda: ready_section.joggle(20, -2, 8, 20, thickness=1, radius=1, k_factor=0.4), "depth"),
    ],
)
def test_what_cannot_be_folded_is_refused_with_the_size_to_change(call, said):
    with pytest.raises(fs.InvalidInput, match=said):
        call()


# ---- curved flanges -------------------------------------------------------------------------------------------------


@settings(max_examples=15)
@given(
    st.sampled_from(["hollow", "bulging"]), st.floats(30, 400), st.floats(6, 20), st.floats(20, 90), st.floats(0.2, 0.5)
)
def test_the_strain_at_the_edge_is_the_change_of_its_hoop(curve, in_plan, depth, angle, k):
    t, r = 1.0, 1.5
    made = curved_flange(curve, in_plan, depth, strain_limit=10.0, angle_deg=angle, thickness=t, radius=r, k_factor=k)
    way = 1.0 if curve == "bulging" else -1.0
    # the section through the middle, folded by NumPy with the base held; distances from the curve's centre
    profile = ready_section.angle(50, depth, angle_deg=angle, thickness=t, radius=r, k_factor=k)
    (line,) = profile.bend_lines
    edge = fold([marks(line)], t, [(profile.developed_length, 0.0)] * 2, (1.0 - k) * t)[0]
    mould = 50.0  # the base's outer length ends at the mould point
    finished = in_plan + way * (edge[0] - mould)
    on_blank = in_plan + way * (profile.developed_length - mould)
    assert made.edge_radius == pytest.approx(on_blank, abs=1e-9)
    assert made.finished_edge_radius == pytest.approx(finished, abs=1e-9)
    assert made.strain == pytest.approx(finished / on_blank - 1.0, abs=1e-12)
    assert made.easing == "none"
    assert (made.strain > 0) == (curve == "hollow")
    sector = shapely.Polygon(made.outline.flatten(1e-4))
    wanted = abs(made.edge_radius**2 - made.bend_radius**2) * math.pi / 4
    assert sector.area == pytest.approx(wanted, abs=0.1)


@settings(max_examples=10)
@given(st.floats(40, 200), st.floats(14, 25), st.floats(0.06, 0.1), st.floats(30, 180))
def test_darts_take_out_what_the_edge_has_too_much_and_leave_no_more_than_the_limit(in_plan, depth, limit, arc):
    made = curved_flange(
        "bulging", in_plan, depth, strain_limit=limit, arc_deg=arc, thickness=1, radius=1, k_factor=0.44
    )
    if made.easing != "darts":
        assert made.easing == "none"
        assert -made.strain <= limit
        return
    span = math.radians(arc)
    # strain of each hoop once the darts are closed, by plain division
    radii = np.linspace(made.root_radius, made.edge_radius, 50)
    gone = made.cuts * made.cut_width * (radii - made.root_radius) / (made.edge_radius - made.root_radius)
    strain = made.finished_edge_radius * span / (radii * span - gone) - 1.0
    assert strain.min() >= -limit - 1e-9
    assert strain[0] == pytest.approx(-limit)
    assert strain[-1] == pytest.approx(0.0, abs=1e-9)
    chord = in_plan * (1.0 - math.cos(span / made.cuts / 2))
    assert chord <= 0.5 + 1e-9
    whole = curved_flange(
        "bulging", in_plan, depth, strain_limit=9.0, arc_deg=arc, thickness=1, radius=1, k_factor=0.44
    )
    a, b = (shapely.Polygon(m.outline.flatten(1e-5)) for m in (made, whole))
    triangle = 0.5 * made.cut_width * made.cut_depth
    assert b.area - a.area == pytest.approx(made.cuts * triangle, rel=0.05)
    assert "darts" in made.explanation


def test_a_hollow_curve_over_the_metals_elongation_asks_for_slits():
    made = curved_flange("hollow", 40, 18, strain_limit=0.2, arc_deg=180, thickness=1, radius=1, k_factor=0.44)
    assert made.easing == "notches"
    assert made.strain > 0.2
    at_root = made.finished_edge_radius / made.root_radius - 1.0
    assert at_root == pytest.approx(0.2)
    opened = math.pi * (made.finished_edge_radius - made.edge_radius)
    assert made.cuts * made.cut_width == pytest.approx(opened)
    assert "slits" in made.explanation


def test_a_bend_that_asks_too_much_by_itself_is_said_to_be_impossible():
    made = curved_flange("hollow", 12, 8, strain_limit=0.01, thickness=1.5, radius=3, k_factor=0.44)
    assert made.easing == "impossible"
    assert "larger radius in plan" in made.explanation


def test_a_whole_ring_is_cut_all_round():
    made = curved_flange("bulging", 60, 20, strain_limit=0.05, arc_deg=360, thickness=1, radius=1, k_factor=0.44)
    ring = shapely.Polygon(made.outline.flatten(1e-3))
    assert ring.is_valid
    assert ring.area < math.pi * made.edge_radius**2


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"depth": 60}, "depth must be small enough for the blank's edge"),
        ({"strain_limit": 0}, "strain_limit"),
        ({"arc_deg": 400}, "arc_deg"),
        ({"angle_deg": 120}, "angle_deg"),
        ({"radius_in_plan": math.nan}, "radius_in_plan"),
        ({"curve": "wavy"}, "curve must be"),
        ({"depth": 1.0}, "at least"),
        ({"flat_tolerance": 1e-300, "strain_limit": 0.1}, "flat_tolerance"),
    ],
)
def test_bad_curved_flanges_are_refused(change, said):
    asked = {"curve": "hollow", "radius_in_plan": 50, "depth": 12, "strain_limit": 0.01, **change}
    with pytest.raises(fs.InvalidInput, match=said):
        curved_flange(**asked, thickness=1, radius=1, k_factor=0.44)
