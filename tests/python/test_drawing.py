from __future__ import annotations

import io
import pickle
import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import ezdxf
import ezdxf.bbox
import foldswing as fs
import numpy as np
import paper
import pytest
from foldswing import _files, _lettering, _tile_plan, _tiles
from foldswing import drawing as dr
from hypothesis import given
from hypothesis import strategies as st

SVG = "{http://www.w3.org/2000/svg}"


def path(points, sweeps, closed=False):
    return fs.plane.Path(points, sweeps, closed=closed)


@pytest.fixture
def gate():
    """A long section with an arc, holes and words: several sheets of paper."""
    edge = path([(0, 0), (420, 0), (420, 300), (60, 300), (0, 240)], [0, 0, 0, 90, 0], closed=True)
    small = [
        dr.Circle((x, y), 3.0) for x in range(10, 420, 25) for y in range(10, 300, 23) if x + y > 60 and y - x < 170
    ]
    lines = [
        dr.line((30, y), (400, y + 5), layer) for y, layer in ((50, "bend_up"), (90, "bend_down"), (130, "neighbour"))
    ]
    entities = (dr.Stroke(edge), *small, *lines, *dr.mark((200, 150), "pivot"), dr.Text("OUTSIDE", (100, 200), 8.0))
    return dr.Drawing("Counter gate", "seen from the left end as you stand outside", entities, "rev A, 2026-01-02")


@pytest.fixture
def strip():
    """One sheet: a hundred by forty."""
    return dr.Drawing(
        "Strip", "from above", (dr.polyline([(0, 0), (100, 0), (100, 40), (0, 40)], closed=True),), "rev A"
    )


# --- the model


def test_bounds_take_in_bulging_arcs_and_the_letters():
    half = dr.Stroke(path([(0, 0), (20, 0)], [180.0]))
    assert np.allclose(half.bounds, [0, -10, 20, 0], atol=1e-12)
    word = dr.Text("HOLE", (5, 5), 10.0, rotation_deg=90.0)
    left, bottom, _, top = word.bounds
    assert left < 5 - 10 + 1e-9
    assert bottom == pytest.approx(5)
    assert top == pytest.approx(5 + word.width)
    both = dr.Drawing("x", "", (half, word)).bounds
    assert both[0] == min(half.bounds[0], left)
    assert both[3] == top


def test_capitals_have_the_height_asked_for(tmp_path):
    word = dr.Text("H", (0, 0), 20.0)
    dr.save(dr.Drawing("x", "", (word, dr.CentreMark((60, 0)))), tmp_path / "h.pdf")
    dark = paper.pages(tmp_path / "h.pdf", 200)[0][: int(200 / 25.4 * 250)] < paper.DARK
    rows = np.flatnonzero(dark[:, : dark.shape[1] // 2].any(axis=1))
    assert (rows[-1] - rows[0] + 1) * 25.4 / 200 == pytest.approx(20.0, abs=0.2)


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=12), st.floats(0.1, 50))
def test_spread_keeps_order_and_gap_and_moves_no_more_than_needed(wanted, gap):
    from foldswing._layout import spread

    wanted = sorted(wanted)
    got = spread(wanted, gap)
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(got))
    assert sum(got) == pytest.approx(sum(wanted), abs=1e-6)
    if all(b - a >= gap for a, b in pairwise(wanted)):
        assert got == pytest.approx(wanted, abs=1e-9)


def test_values_are_frozen_equal_and_evaluate(strip):
    circle = dr.Circle((1, 2), 3)
    assert circle == dr.Circle(np.array([1.0, 2.0]), 3.0)
    assert hash(circle) == hash(dr.Circle((1, 2), 3))
    assert eval(repr(circle), {"Circle": dr.Circle}) == circle
    with pytest.raises(AttributeError):
        circle.radius = 5.0
    with pytest.raises(ValueError, match="read-only"):
        circle.centre[0] = 9.0
    assert strip.layers == ("cut",)
    whole = dr.Drawing("x", "", (circle, *strip.entities, dr.CentreMark((0, 0)), dr.Text("a", (0, 0))))
    assert dr.Drawing.from_dict(whole.to_dict()) == whole
    assert pickle.loads(pickle.dumps(whole)) == whole


BAD = [
    ("centre", lambda: dr.Circle((float("nan"), 0), 1)),
    ("centre", lambda: dr.Circle((0, 0, 0), 1)),
    ("centre", lambda: dr.Circle("twelve", 1)),
    ("centre", lambda: dr.Circle((0, float("inf")), 1)),
    ("radius", lambda: dr.Circle((0, 0), 0)),
    ("radius", lambda: dr.Circle((0, 0), -2)),
    ("radius", lambda: dr.Circle((0, 0), True)),
    ("radius", lambda: dr.Circle((0, 0), 1j)),
    ("radius", lambda: dr.Circle((0, 0), 1e300)),
    ("layer", lambda: dr.Circle((0, 0), 1, "lines")),
    ("size", lambda: dr.CentreMark((0, 0), float("nan"))),
    ("height", lambda: dr.Text("a", (0, 0), 0)),
    ("anchor", lambda: dr.Text("a", (0, 0), 3, anchor="centre")),
    ("level", lambda: dr.Text("a", (0, 0), 3, level="bottom")),
    ("angle_deg", lambda: dr.Text("a", (0, 0), 3, rotation_deg=float("nan"))),
    ("at", lambda: dr.Text("a", None)),
    ("path", lambda: dr.Stroke([(0, 0), (1, 1)])),
    ("path", lambda: dr.polyline([(0, 0), (2e5, 0)])),
    ("points", lambda: dr.polyline([(0, 0), (float("nan"), 1)])),
    ("points", lambda: dr.polyline([])),
    ("entities", lambda: dr.Drawing("empty", "", ())),
    ("entities", lambda: dr.Drawing("x", "", ("line",))),
    ("scale", lambda: dr.to_svg(dr.Drawing("x", "", (dr.Circle((0, 0), 1),)), scale=0)),
    ("paper", lambda: dr.to_pdf(dr.Drawing("x", "", (dr.Circle((0, 0), 1),)), paper="foolscap")),
    ("drawings", lambda: dr.to_pdf([])),
    ("ending", lambda: dr.save(dr.Drawing("x", "", (dr.Circle((0, 0), 1),)), "x.png")),
]


@pytest.mark.parametrize(("name", "call"), BAD, ids=[f"{i}-{n}" for i, (n, _) in enumerate(BAD)])
def test_bad_input_is_named(name, call):
    with pytest.raises(fs.InvalidInput, match=name):
        call()


def test_a_drawing_too_large_for_the_paper_is_refused_with_the_count():
    large = dr.Drawing("Hall", "", (dr.line((0, 0), (30000, 20000)),))
    with pytest.raises(fs.InvalidInput, match=r"120 sheets of A4, got 30000 x 20000 mm, which takes \d+ x \d+ sheets"):
        dr.to_pdf(large)


HOSTILE = [
    "<script>alert(1)</script>",
    "]]>&amp;\"'",
    "x" * 5000,
    "\x00\x07\ud800 \u202eabc",
    "漢字 \U0001f6a7 ½ \u00e9",
    "%%c^J\\U+0041",
]


@pytest.mark.parametrize("title", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_are_only_words(title, tmp_path):
    what = dr.Drawing(title, title[:200], (dr.Circle((0, 0), 5), dr.Text(title[:60], (0, 0), 4)), title)
    root = ET.fromstring(dr.to_svg(what))
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {"svg", "title", "desc", "g", "circle", "text", "path"}
    assert root.find(f"{SVG}title").text == _lettering.clean(title)
    doc = ezdxf.read(io.StringIO(dr.to_dxf(what).decode()))
    assert not doc.audit().has_errors
    assert len(doc.modelspace()) == 2
    dr.save(what, tmp_path / "t.pdf")
    for (width, height), found in paper.words(tmp_path / "t.pdf"):
        for word, (left, top, right, bottom) in found:
            assert -0.1 <= left < right <= width + 0.1, word
            assert -0.1 <= top < bottom <= height + 0.1, word


def test_broken_characters_leave_a_visible_mark_and_disguises_go():
    assert _lettering.clean("a\x00b\u202ec\nd\t1") == "a\N{REPLACEMENT CHARACTER}bc d 1"
    for room in np.linspace(20.0, 90.0, 300):  # what fits when made a little smaller is never cut
        text, height = _lettering.fitted("Counter gate: end template", 4.0, float(room), least=1.0)
        assert not text.endswith("…")
        assert _lettering.width(text, height) <= room
    text, height = _lettering.fitted("very long title " * 40, 5.0, 60.0)
    assert text.endswith("…")
    assert _lettering.width(text, height) <= 60.0
    assert height >= 1.8


# --- files


@pytest.mark.parametrize("ending", ["svg", "dxf", "pdf"])
def test_the_same_drawing_is_the_same_file_and_is_not_overwritten_unasked(strip, tmp_path, ending):
    first, second = tmp_path / f"a.{ending}", tmp_path / f"b.{ending}"
    dr.save(strip, first)
    dr.save(strip, second)
    assert first.read_bytes() == second.read_bytes()
    second.write_bytes(b"mine")
    with pytest.raises(FileExistsError, match="nothing was written"):
        dr.save(strip, second)
    assert second.read_bytes() == b"mine"
    dr.save(strip, second, overwrite=True)
    assert first.read_bytes() == second.read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == [first.name, second.name]


def test_a_failed_write_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch):
    target = tmp_path / "old.svg"
    target.write_text("old")

    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(_files.os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        _files.write_whole(target, "new", overwrite=True)
    assert [p.name for p in tmp_path.iterdir()] == ["old.svg"]
    assert target.read_text() == "old"
    with pytest.raises(FileNotFoundError):
        _files.write_whole(tmp_path / "missing" / "a.svg", "x")


def test_a_name_taken_meanwhile_is_left_alone(tmp_path, monkeypatch):
    target = tmp_path / "a.svg"
    real = _files.os.fsync

    def slow(handle):
        target.write_text("theirs")
        real(handle)

    monkeypatch.setattr(_files.os, "fsync", slow)
    with pytest.raises(FileExistsError):
        _files.write_whole(target, "ours")
    assert target.read_text() == "theirs"
    assert [p.name for p in tmp_path.iterdir()] == ["a.svg"]


# --- SVG


def test_svg_states_its_size_in_mm_and_keeps_arcs(gate):
    root = ET.fromstring(dr.to_svg(gate, margin=7.0))
    left, bottom, right, top = gate.bounds
    width, height = (float(root.get(k).removesuffix("mm")) for k in ("width", "height"))
    assert width == pytest.approx(right - left + 14.0, abs=0.021)
    assert height == pytest.approx(top - bottom + 14.0, abs=0.021)
    box = [float(v) for v in root.get("viewBox").split()]
    assert box[2:] == [width, height]
    assert re.search(r"A60 60 0 0 0 0 -240", dr.to_svg(gate))  # the rounded corner, counter-clockwise seen from above
    assert len(root.findall(f".//{SVG}circle")) == sum(isinstance(e, dr.Circle) for e in gate.entities)


def test_svg_made_smaller_keeps_its_lines_readable(gate):
    small = ET.fromstring(dr.to_svg(gate, scale=0.25))
    cut = small.find(f".//{SVG}g[@class='cut']")
    assert float(cut.get("stroke-width")) * 0.25 == pytest.approx(dr.LAYERS["cut"].width)
    assert float(small.get("width").removesuffix("mm")) < 0.3 * float(ET.fromstring(dr.to_svg(gate)).get("width")[:-2])


def test_svg_has_its_physical_size_in_a_browser(tmp_path, show):
    bar = dr.polyline([(0, 0), (100, 0), (100, 50), (0, 50)], "datum", closed=True)
    file = dr.save(dr.Drawing("bar", "", (bar,)), tmp_path / "bar.svg")
    seen = paper.screenshot(file, 600, 400) < 128
    columns, rows = np.flatnonzero(seen.any(axis=0)), np.flatnonzero(seen.any(axis=1))
    line = dr.LAYERS["datum"].width
    width = (columns[-1] - columns[0] + 1) * 25.4 / 96 - line
    height = (rows[-1] - rows[0] + 1) * 25.4 / 96 - line
    assert width == pytest.approx(100.0, abs=0.3)  # one pixel is 0.26 mm
    assert height == pytest.approx(50.0, abs=0.3)
    show("SVG of 100 x 50 mm in a browser at 96 px/in", f"{width:.1f} x {height:.1f} mm (one pixel is 0.26)")


# --- DXF


def test_dxf_has_units_extents_layers_and_true_arcs(gate, show):
    doc = ezdxf.read(io.StringIO(dr.to_dxf(gate).decode()))
    assert not doc.audit().has_errors
    assert doc.header["$INSUNITS"] == 4
    assert doc.header["$MEASUREMENT"] == 1
    space = doc.modelspace()
    cut = [e for e in space if e.dxf.layer == "CUT_LINE"]
    box = ezdxf.bbox.extents(cut)
    assert tuple(box.extmin)[:2] == pytest.approx((0, 0), abs=1e-9)
    assert tuple(box.extmax)[:2] == pytest.approx((420, 300), abs=1e-9)
    (edge,) = cut
    assert edge.closed
    assert max(p[4] for p in edge.get_points()) == pytest.approx(np.tan(np.radians(90 / 4)), rel=1e-12)
    assert {la.dxf.name for la in doc.layers} >= {
        "CUT_LINE",
        "HOLE",
        "BEND_LINE_UP",
        "BEND_LINE_DOWN",
        "CENTRE",
        "TEXT",
    }
    up, down = doc.layers.get("BEND_LINE_UP"), doc.layers.get("BEND_LINE_DOWN")
    assert up.dxf.linetype != down.dxf.linetype
    assert up.rgb != down.rgb
    assert sum(e.dxftype() == "CIRCLE" for e in space) == sum(isinstance(e, dr.Circle) for e in gate.entities)
    (text,) = [e for e in space if e.dxftype() == "TEXT" and e.dxf.text == "OUTSIDE"]
    assert text.dxf.height == 8.0
    show(
        "DXF read back", f"units mm, cut line {box.size.x:.3f} x {box.size.y:.3f} mm (drawn 420 x 300), arcs as bulges"
    )


@given(st.floats(-359, 359).filter(lambda s: abs(s) > 1e-3))
def test_dxf_arcs_keep_their_length(sweep):
    arc = path([(0, 0), (30, 10)], [sweep])
    doc = ezdxf.read(io.StringIO(dr.to_dxf(dr.Drawing("a", "", (dr.Stroke(arc),))).decode()))
    (line,) = doc.modelspace()
    length = 0.0
    for part in line.virtual_entities():
        assert part.dxftype() == "ARC"
        length += part.dxf.radius * np.radians((part.dxf.end_angle - part.dxf.start_angle) % 360.0)
    assert length == pytest.approx(arc.length, rel=1e-6)


# --- PDF


@pytest.mark.parametrize("paper_name", ["A4", "Letter"])
def test_bars_measure_a_hundred_millimetres_on_every_sheet(gate, tmp_path, paper_name, show):
    plan = dr.tile_plan(gate, paper=paper_name)
    assert plan.columns * plan.rows > 2
    file = dr.save(gate, tmp_path / "gate.pdf", paper=paper_name)
    sheets = paper.pages(file, 300)
    assert len(sheets) == plan.columns * plan.rows + 1
    px = 300 / 25.4
    level, upright = [], []
    for sheet in sheets:
        assert sheet.shape == pytest.approx((plan.page[1] * px, plan.page[0] * px), abs=1.0)
        dark = sheet < paper.DARK
        below = dark[-int((_tiles.MARGIN + _tiles.BELOW - 1) * px) :]
        runs = paper.longest_run(below)
        lengths = sorted({int(r) for r in runs if r > 90 * px})
        mm = [r / px for r in lengths]
        assert any(abs(v - 100.0) < 0.09 for v in mm)  # one pixel is 0.085
        assert any(abs(v - 101.6) < 0.09 for v in mm)
        level.append(min(mm))
        strip = dark[:, -int((_tiles.MARGIN + _tiles.RIGHT - 1) * px) :][
            : -int((_tiles.MARGIN + _tiles.BELOW - 1) * px)
        ]
        upright.append(paper.longest_run(strip.T).max() / px)
        assert upright[-1] == pytest.approx(100.0, abs=0.09)
    show(
        f"100 mm bars on {len(sheets)} pages of {paper_name} at 300 dpi",
        f"level {min(level):.2f} to {max(level):.2f} mm, "
        f"upright {min(upright):.2f} to {max(upright):.2f} mm (one pixel is 0.085)",
    )


def assembled(drawing, file, dpi, paper_name):
    """The sheets laid together by the plan, and whether neighbours show the same in their overlap."""
    plan = dr.tile_plan(drawing, paper=paper_name)
    px = dpi / 25.4
    sheets = paper.pages(file, dpi)[-plan.columns * plan.rows :]
    windows = {}
    for row in range(plan.rows):
        for column in range(plan.columns):
            sheet = sheets[row * plan.columns + column] < paper.DARK
            top = round((plan.page[1] - _tiles.MARGIN - _tiles.BELOW - plan.window[1]) * px)
            left = round(_tiles.MARGIN * px)
            windows[column, row] = sheet[
                top : top + round(plan.window[1] * px), left : left + round(plan.window[0] * px)
            ]
    high = round((plan.rows * plan.step[1] + _tiles.OVERLAP) * px) + 2
    wide = round((plan.columns * plan.step[0] + _tiles.OVERLAP) * px) + 2
    whole = np.zeros((high, wide), bool)
    for (column, row), window in windows.items():
        top, left = round(row * plan.step[1] * px), round(column * plan.step[0] * px)
        whole[top : top + window.shape[0], left : left + window.shape[1]] |= window
    return plan, windows, whole


def grown(dark):
    """Every dark pixel with its neighbours."""
    out = dark.copy()
    for axis in (0, 1):
        for step in (-1, 1):
            out |= np.roll(out, step, axis)
    return out


@pytest.mark.parametrize("paper_name", ["A4", "Letter"])
def test_sheets_laid_together_give_the_drawing_full_size(gate, tmp_path, paper_name, show):
    dpi = 254  # 10 pixels to the millimetre: sheets, windows and steps are whole pixels
    file = dr.save(gate, tmp_path / "gate.pdf", paper=paper_name)
    plan, windows, whole = assembled(gate, file, dpi, paper_name)
    px = dpi / 25.4
    seen = 0
    for (column, row), window in windows.items():
        shared = round(_tiles.OVERLAP * px)
        for other, mine, theirs in (
            ((column + 1, row), np.s_[:, -shared:], np.s_[:, :shared]),
            ((column, row + 1), np.s_[-shared:, :], np.s_[:shared, :]),
        ):
            if other in windows:
                a, b = window[mine], windows[other][theirs]
                inner = np.s_[3:-3, 3:-3]
                assert not (a & ~grown(grown(b)))[inner].any()
                assert not (b & ~grown(grown(a)))[inner].any()
                seen += int(a.sum())
    assert seen > 2000  # the overlaps do show something of the drawing
    rows, columns = np.flatnonzero(whole.any(axis=1)), np.flatnonzero(whole.any(axis=0))
    line = dr.LAYERS["cut"].width
    width = (columns[-1] - columns[0] + 1) / px - line
    height = (rows[-1] - rows[0] + 1) / px - line
    assert width == pytest.approx(420.0, abs=0.3)
    assert height == pytest.approx(300.0, abs=0.3)
    show(
        f"{plan.columns} x {plan.rows} sheets of {paper_name} laid together",
        f"{width:.1f} x {height:.1f} mm (drawn 420 x 300; one pixel is 0.1)",
    )


def test_every_sheet_names_itself_and_no_words_collide(gate, tmp_path):
    file = dr.save(gate, tmp_path / "gate.pdf")
    plan = dr.tile_plan(gate)
    found = paper.words(file)
    assert len(found) == plan.columns * plan.rows + 1
    for i, ((width, height), boxes) in enumerate(found):
        text = " ".join(w for w, _ in boxes)
        for wanted in (
            "Counter gate",
            "seen from the left end",
            "Print at 100 %",
            "Do not fit to page",
            "rev A, 2026-01-02",
        ):
            assert wanted in text
        if i:
            column, row = (i - 1) % plan.columns, (i - 1) // plan.columns
            assert f"column {column + 1} of {plan.columns} from the left, row {row + 1} of {plan.rows}" in text
        strip = [b for b in boxes if b[1][1] > height - _tiles.MARGIN - _tiles.BELOW]
        for word, (left, top, right, bottom) in strip:
            assert left > 5, word
            assert right < width - 5, word
            assert bottom < height - 4, word
            assert top < bottom
        for k, (one, a) in enumerate(strip):
            for two, b in strip[k + 1 :]:
                wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                assert wide <= 0.1 or high <= 1.0, (one, two)  # boxes are of full line height, letters less


def test_lying_paper_is_used_where_it_takes_fewer_sheets():
    long = dr.Drawing("long", "", (dr.line((0, 0), (250, 0)),))
    assert dr.tile_plan(long).page == (297.0, 210.0)
    assert dr.tile_plan(long).columns == 1
    tall = dr.Drawing("tall", "", (dr.line((0, 0), (0, 236)),))
    assert dr.tile_plan(tall)[:3] == (1, 1, (210.0, 297.0))


@given(st.floats(1, 2000), st.floats(1, 1500), st.sampled_from(["A4", "A3", "Letter", "Tabloid"]))
def test_windows_cover_the_drawing_with_overlap_and_no_sheet_is_spare(width, height, paper_name):
    what = dr.Drawing("x", "", (dr.polyline([(5, 7), (5 + width, 7), (5 + width, 7 + height)]),))
    plan = dr.tile_plan(what, paper=paper_name, max_sheets=1000)
    left, bottom = plan.corner(0, plan.rows - 1)
    right, top = (c + w for c, w in zip(plan.corner(plan.columns - 1, 0), plan.window, strict=True))
    assert left <= 5 - 2.9
    assert bottom <= 7 - 2.9
    assert right >= 5 + width + 2.9
    assert top >= 7 + height + 2.9
    for k, length in enumerate((width, height)):
        assert plan.window[k] - plan.step[k] == pytest.approx(10.0)
        if plan[k] > 1:
            assert (plan[k] - 1) * plan.step[k] + _tiles.OVERLAP < length + 2 * _tile_plan.CLEAR
    assert sorted(plan.page) == sorted(dr.PAPERS[paper_name])
    assert min(plan.window) > 100.0  # the bars fit beside it


def test_several_drawings_share_a_file_each_on_its_own_sheets(gate, strip, tmp_path):
    found = paper.words(dr.save([gate, strip], tmp_path / "both.pdf"))
    plan = dr.tile_plan(gate)
    assert len(found) == plan.columns * plan.rows + 2
    assert ["Strip" in [w for w, _ in boxes] for _, boxes in found] == [False] * (len(found) - 1) + [True]
    with pytest.raises(fs.InvalidInput, match="one drawing for"):
        dr.save([gate, strip], tmp_path / "both.svg")


def test_columns_are_lettered_like_a_register():
    assert [_tiles.place(c, 0) for c in (0, 25, 26, 27, 701, 702)] == ["A1", "Z1", "AA1", "AB1", "ZZ1", "AAA1"]


def test_paper_sizes_are_those_of_the_standards():
    from pathlib import Path

    rows = [
        line.split(",")
        for line in (Path(__file__).parents[1] / "reference" / "paper_sizes.csv").read_text().splitlines()
        if not line.startswith("#")
    ][1:]
    sizes = {row[1]: (float(row[2]), float(row[3])) for row in rows}
    assert dr.PAPERS["A4"] == sizes["A4"]
    assert dr.PAPERS["A3"] == sizes["A3"]
    assert dr.PAPERS["Letter"] == sizes["ANSI A letter"]
    assert dr.PAPERS["Tabloid"] == sizes["ANSI B tabloid"]
