from __future__ import annotations

import foldswing as fs
import numpy as np
import paper
import pytest
import shapely
from foldswing import drawing as dr
from foldswing import template as tp
from hypothesis import given
from hypothesis import strategies as st


def path(points, sweeps, closed=True):
    return fs.plane.Path(points, sweeps, closed=closed)


# a gate 28 thick whose lower corners are rounded 15.6 inside and 4.8 outside (invented demo data)
GATE = ([(-12.4, -36), (-4.8, -36), (0, -31.2), (0, 324), (-28, 324), (-28, -20.4)], [0, 90, 0, 0, 0, 90])
FACES = [tp.Face("inner face", (-28, -20.4), (-28, 324)), tp.Face("lower edge", (-12.4, -36), (-4.8, -36))]
AROUND = {
    "worktop nose": fs.Outline([(-400, -40), (-31, -40), (-31, 0), (-400, 0)]),
    "sill": fs.Outline([(-200, -60), (-5, -60), (-5, -40), (-200, -40)]),
    "head": fs.Outline([(-60, 328), (-0, 328), (-0, 400), (-60, 400)]),
}


def end(**changes):
    given = {
        "title": "Counter gate", "view": "seen from the left end as you stand outside", "hand": "left",
        "outside": "right",
        "holes": [(12, "bush"), (8, "pin")], "faces": FACES, "neighbours": AROUND, "notes": ["Invented demo data."],
    }  # fmt: skip
    return tp.end_template(path(*GATE), (-10, -18), **{**given, **changes})


def pan(**changes):
    corners = [
        (13, 0),
        (340, 0),
        (340, 13),
        (353, 13),
        (353, 188),
        (340, 188),
        (340, 201),
        (13, 201),
        (13, 188),
        (0, 188),
        (0, 13),
        (13, 13),
    ]
    bends = [
        tp.BendLine(12.2, "left", (13, 188), "up", 90, 1, (10.7, 13.7)),
        tp.BendLine(340.8, "left", (13, 188), "up", 90, 2),
        tp.BendLine(12.2, "bottom", (13, 340), "up", 90, 3),
        tp.BendLine(188.8, "bottom", (13, 340), "down", 135),
    ]
    given = {"title": "Pan", "holes": [((100, 100), 6.5), ((103, 60), 6.5)], "notes": ["1.2 mm steel"]}
    return tp.blank_template(fs.Outline(corners), bends, **{**given, **changes})


def swing():
    at = {}
    for name, turn in (("shut", 0.0), ("level", -90.0), ("lean", -125.0)):
        x, y = fs.Pose(0, 0, turn).apply((-10, -18))
        at[name] = fs.Pose(-10 - x, -18 - y, turn)
    track = path([(0, 324), tuple(at["lean"].apply((0, 324)))], [-125.0], closed=False)
    return tp.swing_picture(
        path(*GATE), at, title="Swing", view="seen from the left end", fixed=AROUND, pivot=(-10, -18), tracks=[track],
        approaches=[((-31, -20), (-29, -20), "1"), ((104, -140), (100, -135), "2")],
    )  # fmt: skip


def section():
    outer = path([(0, 0), (0, -20), (2.4, -22.4), (300, -22.4)], [0, 90, 0], closed=False)
    inner = path([(1.2, 0), (1.2, -20), (2.4, -21.2), (300, -21.2)], [0, 90, 0], closed=False)
    return tp.folded_section(
        [outer, inner], title="Section", view="from the end", labels=[((0, 0), "22.4"), ((150, -22), "300")]
    )


ALL = {
    "left end": end,
    "right end": lambda: end(hand="right", view="seen from the right end"),
    "blank": pan,
    "hollow gauge": lambda: tp.crown_gauge(1220, 38, title="Lid, across"),
    "full gauge": lambda: tp.crown_gauge(760, 12, title="Lid, along", edge="full"),
    "section": section,
    "swing": swing,
}


def words(drawing):
    return [e.text for e in drawing.entities if isinstance(e, dr.Text)]


@pytest.mark.parametrize("make", ALL.values(), ids=list(ALL))
def test_no_word_lies_on_another(make):
    texts = [e for e in make().entities if isinstance(e, dr.Text)]
    for i, one in enumerate(texts):
        for other in texts[i + 1 :]:
            a, b = one.bounds, other.bounds
            wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert min(wide, high) <= 0.25 * min(one.height, other.height), (one.text, other.text)


@pytest.mark.parametrize("make", ALL.values(), ids=list(ALL))
def test_every_template_can_be_written_in_every_form(make, tmp_path):
    drawing = make()
    assert drawing == make()
    for ending in ("svg", "dxf", "pdf"):
        assert dr.save(drawing, tmp_path / f"a.{ending}").stat().st_size > 500
    text = " ".join(w for _, boxes in paper.words(tmp_path / "a.pdf") for w, _ in boxes)
    assert drawing.view in text


def test_end_template_gives_the_pivot_from_two_real_faces_true_to_size():
    made = end()
    hole = next(e for e in made.entities if isinstance(e, dr.Circle) and e.layer == "hole")
    assert hole.radius == 6.0
    assert hole.centre == pytest.approx((-10, -18))
    datum = [e for e in made.entities if isinstance(e, dr.Stroke) and e.layer == "datum"]
    for stroke, face in zip(datum, FACES, strict=True):
        away = shapely.Point(hole.centre).distance(shapely.LineString(stroke.path.points))
        wide = shapely.Point(hole.centre).distance(shapely.LineString([face.a, face.b]))
        assert away == pytest.approx(wide)
    said = words(made)
    assert "18.0 from the inner face" in said
    assert "18.0 from the lower edge" in said
    assert {"R 15.6", "R 4.8", "TOP", "OUTSIDE", "LEFT HAND", "bush 12.0 diameter", "pin 8.0 diameter"} <= set(said)
    assert any(isinstance(e, dr.CentreMark) and np.array_equal(e.centre, hole.centre) for e in made.entities)
    for name in AROUND:
        assert name in said
    dashed = [e for e in made.entities if e.layer == "neighbour" and isinstance(e, dr.Stroke)]
    assert min(e.bounds[0] for e in dashed) == pytest.approx(-28 - 45)  # the far part of the worktop is left out


def test_two_sizes_near_a_corner_keep_their_words_apart():
    # a flap stood on its hinged edge, as thin as the words are long
    flap = path([(0, 0), (0, 300), (-14, 300), (-14, 0)], [0, 0, 0, 0])
    faces = [tp.Face("hinged edge", (0, 0), (-14, 0)), tp.Face("outer surface", (0, 0), (0, 300))]
    made = tp.end_template(
        flap,
        (-10, 16),
        title="Flap",
        view="from the left",
        hand="left",
        outside="right",
        holes=[(6, "pin")],
        faces=faces,
    )
    a, b = (e.bounds for e in made.entities if isinstance(e, dr.Text) and e.layer == "dimension")
    assert min(a[2], b[2]) <= max(a[0], b[0]) or min(a[3], b[3]) <= max(a[1], b[1])


def test_the_other_hand_is_mirrored_but_its_words_are_not():
    left, right = end(), end(hand="right", view="seen from the right end as you stand outside")
    cut = [next(e.path for e in d.entities if e.layer == "cut") for d in (left, right)]
    assert np.allclose(cut[1].points * [-1, 1], cut[0].points)
    assert np.allclose(cut[1].sweep_deg, -np.asarray(cut[0].sweep_deg))
    assert "LEFT HAND" in words(left)
    assert "RIGHT HAND" in words(right)
    assert "RIGHT HAND" not in words(left)
    svg = dr.to_svg(right)
    assert "scale(" not in svg
    assert "matrix(" not in svg
    for d, side in ((left, 1), (right, -1)):
        (at,) = [e.at[0] for e in d.entities if isinstance(e, dr.Text) and e.text == "OUTSIDE"]
        assert at * side > 0  # beside the outer face, which is at x = 0
    assert np.allclose(
        sorted(e.radius for e in left.entities if isinstance(e, dr.Circle)),
        sorted(e.radius for e in right.entities if isinstance(e, dr.Circle)),
    )


def test_blank_runs_every_size_from_one_edge():
    made = pan()
    said = words(made)
    for wanted in ("12.2", "340.8", "188.8", "353.0", "201.0", "100.0", "103.0", "60.0", "0"):
        assert wanted in said
    assert not {"328.6", "175.0"} & set(said)  # no chained size from line to line
    assert "UP 90°  bend no. 1" in said
    assert "DOWN 135°  bend no. [    ]" in said
    layers = {e.layer for e in made.entities}
    assert {"cut", "bend_up", "bend_down", "tangent", "hole", "centre"} <= layers
    up = next(e.path for e in made.entities if e.layer == "bend_up" and isinstance(e, dr.Stroke))
    assert np.array_equal(up.points, [(12.2, 13), (12.2, 188)])


def test_a_folded_strip_goes_to_the_drawing_with_its_lines_and_order():
    bend = fs.blank.Bend(90, 1.2, "up")
    back = fs.blank.Bend(60, 1.2, "down")
    strip = fs.blank.Profile([fs.blank.Flat(30), bend, fs.blank.Flat(50), back, fs.blank.Flat(20)], 1.2, k_factor=0.42)
    made = tp.profile_blank(strip, 80, title="Strip", order=[2, 1])
    cut = next(e for e in made.entities if e.layer == "cut")
    assert cut.bounds == pytest.approx([0, 0, strip.developed_length, 80])
    up, down = (
        next(e.path for e in made.entities if e.layer == f"bend_{w}" and isinstance(e, dr.Stroke))
        for w in ("up", "down")
    )
    assert np.allclose(up.points[:, 0], strip.bend_lines[0].centre)
    assert np.allclose(down.points[:, 0], strip.bend_lines[1].centre)
    tangents = sorted(e.path.points[0, 0] for e in made.entities if e.layer == "tangent")
    assert np.allclose(tangents, np.concatenate([b.tangent for b in strip.bend_lines]))
    assert {"UP 90°  bend no. 2", "DOWN 60°  bend no. 1"} <= set(words(made))
    with pytest.raises(fs.InvalidInput, match="order must have a number for each of 2 bends, got 3"):
        tp.profile_blank(strip, 80, title="Strip", order=[1, 2, 3])


def test_a_pan_goes_to_the_drawing_with_its_notches():
    # 330 x 178 x 14 of 1.2 mm, inside radius 1.2, k 0.42: blank 353.8 x 201.8 (invented demo data, figures recomputed)
    pan_part = fs.blank.Pan(330, 178, 14, thickness=1.2, radius=1.2, k_factor=0.42)
    made = tp.pan_blank(pan_part, title="Pan")
    cut = next(e for e in made.entities if e.layer == "cut")
    assert [round(v, 1) for v in cut.bounds] == [0, 0, 353.8, 201.8]
    assert len(cut.path.points) == 12
    lines = [e.path.points for e in made.entities if e.layer == "bend_up" and isinstance(e, dr.Stroke)]
    for line, bend in zip(lines, pan_part.bend_lines, strict=True):
        assert np.allclose(sorted(map(tuple, line)), sorted(map(tuple, bend.centre)))
    assert {"353.8", "201.8"} <= set(words(made))


def test_a_blank_may_lie_anywhere_on_the_plane():
    moved = fs.Outline([(500, -300), (600, -300), (600, -250), (500, -250)])
    made = tp.blank_template(moved, [tp.BendLine(20, "left")], title="Strip", holes=[((510, -290), 4)])
    cut = next(e for e in made.entities if e.layer == "cut")
    assert np.allclose(cut.bounds, [0, 0, 100, 50])
    hole = next(e for e in made.entities if e.layer == "hole")
    assert np.allclose(hole.centre, [10, 10])


def test_gauge_is_as_long_as_the_chord_and_lists_the_rises_of_the_lid():
    # chord 1220, rise 38 (invented demo data): radius 4915.1, rises recomputed from the circle with plain arithmetic
    made = tp.crown_gauge(1220, 38, title="Lid")
    cut = next(e for e in made.entities if e.layer == "cut")
    assert cut.bounds[2] - cut.bounds[0] == pytest.approx(1220)
    assert cut.bounds[3] == pytest.approx(38 + 45)
    radius = 1220**2 / (8 * 38) + 38 / 2
    said = " ".join(words(made))
    assert f"radius {radius:.1f}" in said
    for place, rise in ((100, 37.0), (200, 33.9), (300, 28.8), (400, 21.7), (500, 12.5), (600, 1.2)):
        assert round(np.sqrt(radius**2 - place**2) - (radius - 38), 1) == rise
        assert f"{place:.1f}: {rise:.1f}" in said
    assert "middle: 38.0" in said
    top = next(e.path for e in made.entities if e.layer == "cut")
    assert np.allclose(fs.plane.Path(top.points[:2], top.sweep_deg[:1]).flatten(0.001)[:, 1].max(), 38, atol=0.002)


@given(st.floats(50, 3000), st.floats(0.001, 0.45))
def test_gauge_edge_passes_through_the_middle_rise(chord, ratio):
    rise = chord * ratio
    made = tp.crown_gauge(chord, rise, title="x", every=chord / 7, edge="full", depth=30)
    cut = next(e for e in made.entities if e.layer == "cut")
    assert cut.bounds == pytest.approx([-chord / 2, -30, chord / 2, rise], rel=1e-9, abs=1e-9)


def test_swing_shows_the_panel_at_every_stop_and_folded_section_is_closed():
    made = swing()
    assert {"shut", "level", "lean", "1", "2", "sill", "worktop nose"} <= set(words(made))
    assert sum(e.layer == "panel" for e in made.entities) == 3
    shown = fs.sheet.Figure(made)
    assert min(e.height for e in made.entities if isinstance(e, dr.Text)) * shown.scale > 1.7  # mm on the sheet
    folded = section()
    ring = shapely.union_all([shapely.LineString(e.path.flatten(0.01)) for e in folded.entities if e.layer == "panel"])
    assert len(shapely.polygonize([ring]).geoms) == 1


BAD = [
    ("hand", lambda: end(hand="middle")),
    ("outside", lambda: end(outside="up")),
    ("holes", lambda: end(holes=[])),
    ("holes", lambda: end(holes=[(0, "pin")])),
    ("holes", lambda: end(holes=[(float("nan"), "pin")])),
    ("surround", lambda: end(surround=-1)),
    ("b must be another point", lambda: end(faces=[tp.Face("edge", (1, 1), (1, 1))])),
    ("a must be", lambda: tp.Face("edge", (1, float("inf")), (1, 1))),
    (
        "panel",
        lambda: tp.end_template(
            path([(0, 0), (1, 0)], [0], closed=False),
            (0, 0),
            title="",
            view="",
            hand="left",
            outside="left",
            holes=[(1, "")],
            faces=[],
        ),
    ),
    (
        "pivot",
        lambda: tp.end_template(
            path(*GATE), (0, 0, 0), title="", view="", hand="left", outside="left", holes=[(1, "")], faces=[]
        ),
    ),
    ("distance", lambda: tp.BendLine(0)),
    ("distance", lambda: tp.BendLine("x")),
    ("ends", lambda: tp.BendLine(5, ends=(10, 2))),
    ("way", lambda: tp.BendLine(5, way="inward")),
    ("edge", lambda: tp.BendLine(5, "right")),
    ("angle_deg", lambda: tp.BendLine(5, angle_deg=float("nan"))),
    ("bends\\[0\\]", lambda: tp.blank_template(fs.Outline([(0, 0), (9, 0), (9, 9)]), [tp.BendLine(20)], title="")),
    (
        "bends\\[0\\]",
        lambda: tp.blank_template(fs.Outline([(0, 0), (9, 0), (9, 9)]), [tp.BendLine(2, ends=(0, 20))], title=""),
    ),
    ("diameter", lambda: tp.blank_template(fs.Outline([(0, 0), (9, 0), (9, 9)]), [], title="", holes=[((1, 1), -2)])),
    ("rise", lambda: tp.crown_gauge(100, 60, title="")),
    ("chord", lambda: tp.crown_gauge(0, 1, title="")),
    ("edge", lambda: tp.crown_gauge(100, 1, title="", edge="round")),
    ("every", lambda: tp.crown_gauge(1000, 10, title="", every=0.001)),
    ("faces", lambda: tp.folded_section([], title="", view="")),
    ("stops", lambda: tp.swing_picture(path(*GATE), {}, title="", view="")),
]


@pytest.mark.parametrize(("name", "call"), BAD, ids=range(len(BAD)))
def test_bad_input_is_named(name, call):
    with pytest.raises(fs.InvalidInput, match=name):
        call()


def test_endless_words_do_not_make_the_drawing_endless():
    long = "gate " * 400
    around = {long: fs.Outline([(-100, -40), (-31, -40), (-31, 0), (-100, 0)])}
    faces = [tp.Face(long, (-28, -20.4), (-28, 324))]
    made = end(title=long, view=long, holes=[(12, long)], faces=faces, neighbours=around, notes=[long, "x" * 3000])
    assert dr.tile_plan(made).columns * dr.tile_plan(made).rows <= 6
    assert any(w.endswith("…") for w in words(made))
    stops = {long: fs.Pose(0, 0, 0)}
    swung = tp.swing_picture(
        path(*GATE), stops, title=long, view=long, fixed=around, approaches=[((0, 0), (1, 1), long)]
    )
    assert swung.bounds[2] - swung.bounds[0] < 1000


def test_sizes_are_shown_in_the_callers_words():
    made = end(show=lambda mm: f"{mm:.1f} mm, {mm / 25.4:.2f} in", label=lambda mm: f"{mm / 25.4:.2f} in")
    assert "0.71 in from the inner face" in words(made)
    assert "18.0 mm, 0.71 in from the inner face" in " ".join(words(made))
    for changes in ({}, {"show": lambda mm: fs.units.show(mm, "1/32 in")}):
        assert "18.0 from the inner face" in words(end(**changes))  # few words beside a line
        assert any("in mm" in w for w in words(pan(**changes)))


def test_rises_stay_on_the_gauge_however_many_words_they_take():
    for edge in ("hollow", "full"):
        made = tp.crown_gauge(1220, 38, title="Lid", edge=edge, label=lambda mm: fs.units.show(mm, "1/32 in"))
        cut = next(e for e in made.entities if e.layer == "cut")
        turned = [e for e in made.entities if isinstance(e, dr.Text) and e.rotation_deg == 90.0]
        assert len(turned) == 13
        for text in turned:
            assert text.bounds[1] > cut.bounds[1]
            assert text.bounds[3] < cut.bounds[3]
