"""A strip between two edges in a job: from arcs and stations to a pattern that folds back, its twist stated."""

from __future__ import annotations

import dataclasses
import json

import ezdxf
import foldswing as fs
import numpy as np
import pytest
import shapely
from foldswing import development, drawing, evaluation, job, output, pictures, report, sheet

TEXT = """
format = 1
title = "Skirt and hood side of a market stall"
units = "mm"
invented = true
date = "2026-05-01"

[[material]]
name = "aluminium"
metal = "3003-H14 aluminium"
thickness = 1.2
inside_radius = 2
k_factor = 0.42

[[developed]]
name = "rounded skirt"
material = "aluminium"
kind = "strip between two edges"
bottom_chord = 500
bottom_rise = 120
top_chord = 400
top_rise = 96
height = 180
set_back = 29

[[developed]]
name = "hood side"
material = "aluminium"
kind = "strip between two edges"
bottom_chord = 600
bottom_outs = [0, 38, 60, 66, 52, 25, 0]
bottom_ups = [0, 4, 10, 20, 34, 52, 74]
top_chord = 560
top_rise = 48
top_bows = "out"
height = 190
set_out = 15
sideways = 25
sideways_to = "left"
roll_lines = 23
"""
JOB = job.loads(TEXT.encode(), name="stall.toml")
DONE = evaluation.evaluate(JOB)
MADE = {done.name: done for done in DONE.developed}


def cone():
    """Radii, half angle and slant of the cone that the skirt is cut from: both edges rise 24 % of their chords."""
    radii = np.array([(c**2 / 4 + r**2) / (2 * r) for c, r in ((500, 120), (400, 96))])
    half = np.arcsin(250 / radii[0])
    return radii, half


def exact_skirt():
    """The same job with the top's chord exactly where the cone has it."""
    radii, half = cone()
    back = float((radii[0] - radii[1]) * np.cos(half))
    part = dataclasses.replace(JOB.developed[0], set_back=back)
    return evaluation.evaluate_developed(part, JOB).patterns[0].pattern


def test_a_strip_of_a_cone_comes_out_as_its_sector() -> None:
    pattern = exact_skirt()
    radii, half = cone()
    slant = np.hypot(radii[0] - radii[1], 180)
    edges = {e.label: e.length for e in pattern.edges}
    assert edges["bottom"] == pytest.approx(2 * half * radii[0], rel=1e-8)
    assert edges["top"] == pytest.approx(2 * half * radii[1], rel=1e-8)
    assert edges["left seam"] == edges["right seam"] == pytest.approx(slant)
    # unrolled: a sector of the apex's distance, its angle the girth over that distance
    apex = slant * radii / (radii[0] - radii[1])
    angle = 2 * half * radii[0] / apex[0]
    assert pattern.area == pytest.approx(0.5 * angle * (apex[0] ** 2 - apex[1] ** 2), rel=1e-3)  # of flat triangles
    bottom = next(e for e in pattern.edges if e.label == "bottom")
    ends = pattern.points[[bottom.first, bottom.last]]
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(2 * apex[0] * np.sin(angle / 2), rel=1e-4)
    assert max(abs(line.twist_deg) for line in pattern.lines) < 1e-4


def test_the_edges_are_where_the_job_puts_them_and_the_lower_left_is_the_left_end_seen_from_outside() -> None:
    pattern = MADE["hood side"].patterns[0].pattern
    low = pattern.folded[next((e.first, e.last) for e in pattern.edges if e.label == "bottom"), :]
    assert low == pytest.approx(np.array([[-300, 0, 0], [300, 0, 74]]))
    high = pattern.folded[next((e.last, e.first) for e in pattern.edges if e.label == "top"), :]
    assert high == pytest.approx(np.array([[-280 - 25, -15, 190], [280 - 25, -15, 190]]))
    left, right = pattern.points[[0, next(e.last for e in pattern.edges if e.label == "bottom")]]
    assert left[0] < right[0]
    # out is towards you, who stand in front: y is back
    spans = {e.label: pattern.folded[e.first : e.last + 1, 1] for e in pattern.edges if e.label in {"top", "bottom"}}
    assert spans["top"].min() == pytest.approx(-15 - 48, abs=0.5)
    assert spans["bottom"].min() == pytest.approx(-66, abs=0.5)


def test_edges_that_bow_opposite_ways_are_no_strip() -> None:
    part = dataclasses.replace(JOB.developed[1], top_bows="in", top_rise=20)
    done = evaluation.evaluate_developed(part, JOB)
    pattern = done.patterns[0].pattern
    top = next(e for e in pattern.edges if e.label == "top")
    assert pattern.folded[top.first : top.last + 1, 1].max() == pytest.approx(-15 + 20, abs=0.2)
    assert done.verdict == "change this first"
    (found,) = [f for f in done.findings if f.stops_work]
    assert "twists" in found.what


def test_the_job_asks_what_the_library_is_asked() -> None:
    bottom = np.column_stack([np.linspace(-300, 300, 7), [0, -38, -60, -66, -52, -25, 0], [0, 4, 10, 20, 34, 52, 74]])
    radius = (280**2 + 48**2) / 96
    turn = np.linspace(-1, 1, 801) * np.arcsin(280 / radius)
    top = np.column_stack([radius * np.sin(turn) - 25, radius * (1 - np.cos(turn)) - 48 - 15, 0 * turn + 190])
    asked = development.ruled_strip(bottom, top, rulings=24, thickness=1.2)
    made = MADE["hood side"].patterns[0].pattern
    # the job lays it level: the same pattern, turned and not mirrored
    for i in (0, len(made.points) // 2):
        far = [np.linalg.norm(p.points - p.points[i], axis=1) for p in (made, asked)]
        np.testing.assert_allclose(*far, atol=1e-3)
    assert shapely.LinearRing(made.points).is_ccw == shapely.LinearRing(asked.points).is_ccw
    assert made.surface_error == pytest.approx(asked.surface_error, abs=1e-4)


TOP_ARC = {"rounded skirt": (400, 96, (0, 29)), "hood side": (560, 48, (-25, -15))}  # chord, rise, middle of the chord


@pytest.mark.parametrize("name", MADE)
def test_the_pattern_folds_back_and_its_twist_is_that_of_the_edges(name) -> None:
    pattern = MADE[name].patterns[0].pattern
    for line in pattern.lines:
        flat, space = (np.linalg.norm(ends[1] - ends[0]) for ends in (line.ends, line.folded))
        assert flat == pytest.approx(space, abs=1e-9)
        assert line.length == pytest.approx(space)
    # twist by NumPy: the planes of line and edge at both ends; the top's direction square to the radius of its arc, the
    # bottom's from the neighbouring lines
    rows = np.array([line.folded for line in pattern.lines])
    chord, rise, (x, y) = TOP_ARC[name]
    radius = (chord**2 / 4 + rise**2) / (2 * rise)
    arm = rows[1:-1, 1] - (x, y - rise + radius, 0)
    assert np.hypot(arm[:, 0], arm[:, 1]) == pytest.approx(radius, abs=1e-5)
    ruling = rows[1:-1, 1] - rows[1:-1, 0]
    low = np.cross(rows[2:, 0] - rows[:-2, 0], ruling)
    high = np.cross(np.column_stack([-arm[:, 1], arm[:, 0], 0 * arm[:, 0]]), ruling)
    cosine = (low * high).sum(axis=1) / np.linalg.norm(low, axis=1) / np.linalg.norm(high, axis=1)
    measured = np.degrees(np.arccos(np.clip(cosine, -1, 1)))
    told = np.abs([line.twist_deg for line in pattern.lines[1:-1]])
    assert measured == pytest.approx(told, abs=0.5)  # a chord stands for the bottom's tangent


def test_twist_and_error_are_said_in_shop_words() -> None:
    skirt, hood = MADE["rounded skirt"], MADE["hood side"]
    assert [f for f in skirt.findings if "twist" in f.what] == []
    (found,) = [f for f in hood.findings if "twist" in f.what]
    most = max(abs(line.twist_deg) for line in hood.patterns[0].pattern.lines)
    assert f"up to {most:.1f}" in found.number
    assert "oil can" in found.feel
    coarse = dataclasses.replace(JOB.developed[0], roll_lines=5)
    (told,) = evaluation.evaluate_developed(coarse, JOB).findings
    assert "flat triangles" in told.what
    page = sheet.to_html(report.job_sheet(JOB, DONE))
    for words in ("strip between two edges", "Twist", "flat triangles between the lines", "the middle"):
        assert words in page


def test_the_template_reads_back_at_full_size(tmp_path) -> None:
    made = output.write_job(
        dataclasses.replace(JOB, developed=JOB.developed[1:]), TEXT.encode(), "stall.toml", tmp_path / "out"
    )
    assert {f"hood-side-strip.{ending}" for ending in ("pdf", "svg", "dxf")} <= set(made.files)
    pattern = MADE["hood side"].patterns[0].pattern
    doc = ezdxf.readfile(tmp_path / "out" / "hood-side-strip.dxf")
    assert not doc.audit().has_errors
    (ring,) = [e for e in doc.modelspace() if e.dxf.layer == "CUT_LINE"]
    cut = shapely.Polygon([p[:2] for p in ring.get_points()])
    assert cut.area == pytest.approx(pattern.area, rel=1e-9)
    rolls = [
        np.array([p[:2] for p in e.get_points()]) if e.dxftype() == "LWPOLYLINE" else np.array([e.dxf.start, e.dxf.end])
        for e in doc.modelspace()
        if e.dxf.layer == "ROLL_LINE" and e.dxftype() in {"LINE", "LWPOLYLINE"}
    ]
    assert sorted(np.linalg.norm(r[1] - r[0]) for r in rolls) == pytest.approx(
        sorted(line.length for line in pattern.lines)
    )
    (told,) = json.loads((tmp_path / "out" / "results.json").read_text(encoding="utf-8"))["developed"]
    assert told["kind"] == "strip between two edges"
    assert told["sizes_are"] == "middle"
    assert len(told["patterns"][0]["pattern"]["lines"]) == 23


def test_several_readings_of_a_rise_leave_the_strip_uncertain() -> None:
    told = evaluation.evaluate(job.loads(TEXT.replace("top_rise = 96", "top_rise = [96, 97, 95]").encode())).uncertain
    assert any(u.part == "rounded skirt" and "strip's pattern" in u.what for u in told)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("height = 180\nset_back = 29", "", "height is missing: how far apart"),
        ("bottom_chord = 500\n", "", "bottom_chord.* is missing"),
        ("set_back = 29", "set_back = 29\nset_out = 3", "at most one of set_back or set_out"),
        (
            "bottom_rise = 120",
            "bottom_rise = 120\nbottom_outs = [0, 9, 0]",
            "at most one of bottom_rise or bottom_outs",
        ),
        (
            "bottom_outs = [0, 38, 60, 66, 52, 25, 0]",
            "bottom_outs = [0, 38, 0]",
            "as many places as bottom_outs, 3, got 7",
        ),
        (
            "bottom_outs = [0, 38, 60, 66, 52, 25, 0]\nbottom_ups = [0, 4, 10, 20, 34, 52, 74]",
            "bottom_outs = [4]",
            "2 places",
        ),
        ("bottom_outs = [0, 38,", "bottom_outs = [0, -38,", "bottom_outs"),
        ("bottom_outs = [0, 38,", "bottom_outs = [0, nan,", "bottom_outs"),
        ("top_rise = 48\n", "", "top_bows is the way of an arc"),
        ("sideways = 25\n", "", "sideways_to needs sideways"),
        ("height = 190", 'height = 190\nsizes_are = "outside"', "middle of the sheet"),
        ("height = 190", "height = 190\ndiameter = 9", "not a size of a strip between two edges"),
        ("roll_lines = 23", "roll_lines = 721", "roll_lines"),
        ("height = 190", "height = 1e9", "height"),
    ],
)
def test_jobs_that_contradict_themselves_are_refused(old, new, said) -> None:
    assert old in TEXT
    with pytest.raises(fs.InvalidInput, match=said):
        job.loads(TEXT.replace(old, new, 1).encode(), name="stall.toml")


def test_edges_that_meet_are_refused_with_the_part_named() -> None:
    text = TEXT.replace(
        "top_chord = 400\ntop_rise = 96\nheight = 180\nset_back = 29", "top_chord = 500\nset_back = 1e-9\n"
    )
    text = text.replace("bottom_rise = 120\n", "")
    made = job.loads(text.replace("set_back = 1e-9", "set_back = 60\ntop_outs = [60, 60, 60]").encode())
    with pytest.raises(fs.InvalidInput, match="rounded skirt: top must be apart from"):
        evaluation.evaluate(made)


def test_a_straight_strip_is_a_rectangle() -> None:
    part = job.Developed(
        name="flat",
        material="aluminium",
        kind="strip between two edges",
        bottom_chord=300,
        top_chord=300,
        height=40,
        set_back=30,
    )
    pattern = evaluation.evaluate_developed(part, JOB).patterns[0].pattern
    assert pattern.area == pytest.approx(300 * 50)
    assert (pattern.length, pattern.width) == pytest.approx((300, 50))
    assert pictures.templates(JOB, DONE)
    assert drawing.to_svg(pictures.templates(JOB, DONE)["rounded-skirt-strip"]).count("<svg") == 1
