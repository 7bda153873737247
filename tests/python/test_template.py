from __future__ import annotations

import dataclasses

import foldswing as fs
import numpy as np
import paper
import pytest
import shapely
import shapely.affinity
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
    assert "UP 90°  order 1" in said
    assert "DOWN 135°  order [    ]" in said
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
    assert {"UP 90°  order 2", "DOWN 60°  order 1"} <= set(words(made))
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


# --- the templates of whole jobs


def job_templates(name, paper_name):
    from foldswing import evaluation, job, pictures

    wanted = job.read(job.shipped()[name])
    wanted = dataclasses.replace(wanted, date="2026-01-02")
    return pictures.templates(wanted, evaluation.evaluate(wanted), paper=paper_name)


JOBS = [("lantern_nine", "A4"), ("teasel_four", "Letter")]


@pytest.fixture(scope="module", params=JOBS, ids=[n for n, _ in JOBS])
def shipped(request):
    return request.param[1], job_templates(*request.param)


def test_no_word_lies_on_another_on_any_template_of_the_shipped_jobs(shipped):
    for stem, made in shipped[1].items():
        texts = [e for e in made.entities if isinstance(e, dr.Text)]
        assert texts, stem
        for i, one in enumerate(texts):
            for other in texts[i + 1 :]:
                a, b = one.bounds, other.bounds
                wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                assert min(wide, high) <= 0.25 * min(one.height, other.height), (stem, one.text, other.text)
        assert min(t.height for t in texts) >= 1.8, stem


def test_every_word_of_the_shipped_jobs_stands_on_the_paper(shipped, tmp_path):
    paper_name, templates = shipped
    for stem, made in templates.items():
        found = paper.words(dr.save(made, tmp_path / f"{stem}.pdf", paper=paper_name))
        for (width, height), boxes in found:
            assert not any("\N{HORIZONTAL ELLIPSIS}" in word for word, _ in boxes), stem
            if len(found) > 1:  # words of the drawing run on to the next sheet
                continue
            for word, (left, top, right, bottom) in boxes:
                assert left > 5, (stem, word)
                assert right < width - 5, (stem, word)
                assert top > 5, (stem, word)
                assert bottom < height - 4, (stem, word)


def test_every_template_carries_hand_date_and_revision_in_its_own_words(shipped):
    for stem, made in shipped[1].items():
        assert "2026-01-02" in made.revision
        text = " ".join(words(made))
        if stem.endswith(("left", "right")):
            hand = stem.rsplit("-", 1)[1]
            assert f"{hand.upper()} HAND" in text
            assert "2026-01-02" in text
            assert "TOP" in words(made)
            assert "OUTSIDE" in words(made)
            assert any(e.layer == "fold" for e in made.entities), stem


def dxf(drawing):
    """Read a DXF back: every outline as points of its line, circles, words with the angle they stand at."""
    import io

    from ezdxf.filemanagement import read

    doc = read(io.StringIO(dr.to_dxf(drawing).decode("utf-8")))
    lines, circles, said = {}, [], []
    for entity in doc.modelspace():
        kind = entity.dxftype()
        if kind == "LWPOLYLINE":
            points = np.array(entity.get_points("xyb"))
            lines.setdefault(entity.dxf.layer, []).append((points, bool(entity.closed)))
        elif kind == "CIRCLE":
            circles.append((entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius))
        elif kind == "TEXT":
            assert entity.dxf.get("text_generation_flag", 0) == 0  # neither backward nor upside down
            assert entity.dxf.get("width", 1.0) > 0
            assert entity.dxf.extrusion.z > 0
            said.append((entity.dxf.text, entity.dxf.rotation))
    return lines, sorted(circles), said


SHAPES = ("CUT_LINE", "HOLE", "DATUM_FACE", "FOLD_LINE", "PANEL")


def one_sided(left, right):
    """Largest distance between an outline and the mirror image of the other's."""
    worst = 0.0
    assert len(left) == len(right)
    for (a, closed_a), (b, closed_b) in zip(left, right, strict=True):
        assert closed_a == closed_b
        worst = max(worst, float(np.abs(a - b * [-1, 1, -1]).max()))
    return worst


@pytest.mark.parametrize("name", [n for n, _ in JOBS])
def test_left_and_right_are_mirror_images_in_shape_and_not_in_words(name, show):
    templates = job_templates(name, None)
    pairs = [stem.removesuffix("-left") for stem in templates if stem.endswith("-left")]
    assert pairs
    worst = 0.0
    for pair in pairs:
        left, right = dxf(templates[f"{pair}-left"]), dxf(templates[f"{pair}-right"])
        for shape in SHAPES:
            if shape in left[0] or shape in right[0]:
                worst = max(worst, one_sided(left[0][shape], right[0][shape]))
        holes = np.array(left[1]), np.array(sorted((-x, y, r) for x, y, r in right[1]))
        assert len(holes[0]) >= 1
        worst = max(worst, float(np.abs(holes[0] - holes[1]).max()))
        for told in (left[2], right[2]):
            assert all(-90.0 < (angle + 180.0) % 360.0 - 180.0 <= 90.0 + 1e-9 for _, angle in told)  # read upright
        plain = [
            sorted(" ".join(sorted(t for t, _ in told)).lower().replace("left", "").replace("right", "").split())
            for told in (left[2], right[2])
        ]
        assert plain[0] == plain[1]
        assert "LEFT HAND" in [t for t, _ in left[2]]
        assert "RIGHT HAND" in [t for t, _ in right[2]]
    assert worst < 1e-9
    show(f"{name}: left and right read back from DXF", f"{len(pairs)} pairs, worst difference {worst:.1g} mm")


def hooked(radius_inner, radius_outer):
    shape = fs.plane.round_corners(
        fs.Outline([(-28, -36), (0, -36), (0, 324), (-28, 324)]), [radius_inner, radius_outer, 0, 0]
    )
    square = path([(-28, -36), (0, -36), (0, 324), (-28, 324)], [0, 0, 0, 0])
    return tp.end_template(
        shape, (-10, -18), title="Gate", view="", hand="left", outside="right", holes=[(12, "bush")], square=square,
        faces=[tp.Face("inner face", (-28, -36), (-28, 324)), tp.Face("lower edge", (-28, -36), (0, -36))],
    )  # fmt: skip


@pytest.mark.parametrize(("inner", "outer"), [(0, 0), (12, 0), (15.6, 4.8), (18, 10), (10, 18)])
def test_tabs_fold_on_both_faces_and_stand_outside_the_panel(inner, outer):
    made = hooked(inner, outer)
    cut = shapely.Polygon(next(e.path for e in made.entities if e.layer == "cut").flatten(0.001))
    assert cut.is_valid
    folds = [e.path.points for e in made.entities if e.layer == "fold"]
    on_face = [p for p in folds if np.all(p[:, 0] == -28.0)]
    on_edge = [p for p in folds if np.all(p[:, 1] == -36.0)]
    assert len(on_face) == 2  # a long face has one near either end
    assert len(on_edge) == 1
    body = shapely.Polygon([(-28, -36), (0, -36), (0, 324), (-28, 324)])
    tabs = cut.difference(body)
    assert len(tabs.geoms) == 3
    for tab in tabs.geoms:
        assert min(tab.distance(shapely.LineString(p)) for p in folds) < 1e-9
        assert np.ptp(np.array(tab.bounds).reshape(2, 2), axis=0).min() > 15.9 or tab.area > 60
    for fold in folds:  # nothing is cut across a fold
        assert cut.exterior.intersection(shapely.LineString(fold)).length < 1e-6
    said = " ".join(words(made))
    assert "fold over the inner face" in said
    assert "fold over the lower edge" in said
    square_said = "Corners are square on the paper" in said
    assert square_said == (inner + outer > 22)


def test_a_round_bar_has_no_flat_and_is_told_so():
    bar = path([(10, 0), (-10, 0)], [180, 180])
    made = tp.end_template(
        bar, (0, 0), title="Bar", view="", hand="left", outside="right", holes=[(4, "pin")],
        faces=[tp.Face("face", (-10, -5), (-10, 5))],
    )  # fmt: skip
    assert "No flat is left for a tab on the face" in " ".join(words(made))


# --- radius gauges and card models


def test_radius_gauges_fit_the_corner_and_each_other():
    made = tp.radius_gauges({"a": 2.4, "b": 15.6, "c": 15.6}, title="Job", show=lambda mm: fs.units.show(mm, "1/32 in"))
    shapes = [shapely.Polygon(e.path.flatten(0.0005)) for e in made.entities if e.layer == "cut"]
    assert len(shapes) == 4  # two for each radius, equal radii shared
    for over, into, radius in zip(shapes[::2], shapes[1::2], (2.4, 15.6), strict=True):
        side = radius + 31
        # laid over the corner: a square corner of the work, rounded to the radius, fills what is cut out of its square
        whole = shapely.box(over.bounds[0], over.bounds[1], over.bounds[0] + side, over.bounds[1] + side)
        hollow = whole.difference(over)
        square_side = side - 16
        assert hollow.area == pytest.approx(square_side**2 - (1 - np.pi / 4) * radius**2, rel=1e-5)
        assert into.area == pytest.approx(side**2 - (1 - np.pi / 4) * radius**2, rel=1e-5)
    said = " ".join(words(made))
    assert "R 15.6 mm = 5/8 in (+0.28)" in said
    assert said.count("R 15.6 mm") == 3
    assert {"a", "b", "c"} <= set(words(made))
    for bad in ({}, {"a": 0}, {"a": float("nan")}):
        with pytest.raises(fs.InvalidInput, match="radi"):
            tp.radius_gauges(bad, title="")


@pytest.mark.parametrize("scale", [1, 2, 5])
def test_a_card_model_swings_true_to_its_scale(scale):
    made = tp.card_model(path(*GATE), (-10, -18), AROUND, title="Gate", view="from the left", name="gate", scale=scale)
    pins = [e.centre for e in made.entities if isinstance(e, dr.Circle) and e.layer == "hole"]
    assert len(pins) == 2
    assert np.array_equal(pins[0], (0, 0))
    (piece,) = [
        shapely.Polygon(e.path.flatten(0.001))
        for e in made.entities
        if e.layer == "cut" and shapely.Polygon(e.path.flatten(0.001)).contains(shapely.Point(pins[1]))
    ]
    nose = shapely.box(-400, -40, -31, 0)
    # moved on to the body's pin and swung, the piece comes as near to the nose as the real gate does, at scale
    laid = shapely.affinity.translate(piece, *(-pins[1]))
    real = shapely.Polygon(path(*GATE).flatten(0.001))
    seen = shapely.affinity.scale(shapely.affinity.translate(nose, 10, 18), 1 / scale, 1 / scale, origin=(0, 0))
    for turn in (0, -45, -90, -111.5):
        card = shapely.affinity.rotate(laid, turn, origin=(0, 0)).distance(seen)
        hung = shapely.affinity.rotate(real, turn, origin=(-10, -18)).distance(nose)
        assert card * scale == pytest.approx(hung, abs=0.01)
    drawn = [e for e in made.entities if e.layer == "panel"]
    assert drawn
    said = " ".join(words(made))
    assert ("full size" if scale == 1 else f"scale 1 : {scale}, NOT full size") in said
    for bad in (0, 1.5, 1000, "2"):
        with pytest.raises(fs.InvalidInput, match="scale"):
            tp.card_model(path(*GATE), (-10, -18), AROUND, title="", view="", scale=bad)


def test_a_card_model_of_a_job_takes_one_sheet():
    for name, paper_name in JOBS:
        for stem, made in job_templates(name, paper_name).items():
            if stem.endswith("-card"):
                plan = dr.tile_plan(made, paper=paper_name)
                assert plan.columns * plan.rows == 1, stem


def test_the_ear_of_a_gate_is_drawn_round_its_hole():
    from foldswing import evaluation, job, pictures

    demo = job.read(job.shipped()["lantern_nine"])
    asked = dataclasses.replace(demo.gate[0], hinge=dataclasses.replace(demo.gate[0].hinge, ear_radius=16.0))
    demo = dataclasses.replace(demo, gate=(asked,))
    drawn = pictures.templates(demo, evaluation.evaluate(demo))
    made = drawn["counter-gate-end-right"]
    hole = next(e for e in made.entities if isinstance(e, dr.Circle) and e.layer == "hole")
    rings = [e.path for e in made.entities if isinstance(e, dr.Stroke) and e.layer == "panel"]
    assert any(np.allclose(np.hypot(*(r.flatten(0.01) - hole.centre).T), 16.0) for r in rings)
    assert "Ear of 16 mm round the hole." in " ".join(words(made))
    # on the card at 1 : 2 the ear stands 8 round the pin, past the outer face 5 from it
    card = drawn["counter-gate-card"]
    pin = [e.centre for e in card.entities if isinstance(e, dr.Circle) and e.layer == "hole"][1]
    piece = [e.path for e in card.entities if e.layer == "cut" and isinstance(e, dr.Stroke)][1]
    assert piece.flatten(0.001)[:, 0].max() - pin[0] == pytest.approx(8.0, abs=0.01)


def covered(draft):
    """Words of a drawing that lie across a line or over other words, by two that stand alone in the check."""
    shapely = pytest.importorskip("shapely")
    texts = [e for e in draft.entities if isinstance(e, dr.Text)]
    lines = [shapely.LineString(e.path.points) for e in draft.entities if isinstance(e, dr.Stroke)]
    boxes = [shapely.box(*e.bounds).buffer(-0.05) for e in texts]
    out = [t.text for t, box in zip(texts, boxes, strict=True) if any(box.intersects(line) for line in lines)]
    return out + [t.text for i, t in enumerate(texts) if any(boxes[i].intersects(other) for other in boxes[:i])]


def blank_of(places, length, width):
    bends = [((at, 0), (at, width), f"bend {i}", "up") for i, at in enumerate(places, start=1)]
    edge = fs.Outline([(0, 0), (length, 0), (length, width), (0, width)])
    return tp.blank_picture(edge, bends, title="x", view="y", room=(70, 150))


@pytest.mark.parametrize(
    ("places", "length", "width"), [((9.6, 28, 56, 104, 132), 151, 500), ((20, 26), 86, 600), ((60, 240), 300, 220)]
)
def test_no_word_of_the_small_picture_of_a_blank_lies_across_a_line(places, length, width):
    made = blank_of(places, length, width)
    assert {f"bend {i} up" for i in range(1, len(places) + 1)} <= set(words(made))
    assert covered(made) == []


def test_words_of_two_bends_close_together_stand_off_both_lines():
    lines = [
        tp.BendLine(20.3, tangents=(20, 20.6), sight=19.4, name="bend 1"),
        tp.BendLine(26, tangents=(25.7, 26.3), sight=25.1, way="down", name="bend 2"),
    ]
    made = tp.blank_template(fs.Outline([(0, 0), (86, 0), (86, 600), (0, 600)]), lines, title="Strip")
    assert "bend 1: UP 90°  order [    ]" in words(made)
    assert not [text for text in covered(made) if "order" in text]
