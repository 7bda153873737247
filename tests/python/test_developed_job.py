"""Developed parts in a job: from trade words to patterns, sheet and templates; contradictions told by key."""

from __future__ import annotations

import json
import math

import foldswing as fs
import pytest
from foldswing import development, evaluation, job, output, pictures, report, sheet

HEAD = """
format = 1
units = "mm"
title = "Chimney for a small stove"
date = "2026-05-01"

[[material]]
name = "galvanised"
metal = "galvanised sheet"
thickness = 0.9
inside_radius = 1
k_factor = 0.42
basis = "book figure"
"""
PARTS = {
    "pipe": "diameter = 100\nlength = 300\ntop_tilt = 30",
    "elbow": "diameter = 100\nturn = 90\ncentre_radius = 150\npieces = 4",
    "branch pipe": "diameter = 80\nlength = 200\nmain_diameter = 120\nmain_length = 400\nbranch_angle = 60",
    "cone": "diameter = 300\nheight = 200\ntop_diameter = 120",
    "oblique cone": "diameter = 300\nheight = 200\nsideways = 60\ntop_diameter = 120",
    "transition": "bottom_length = 200\nbottom_width = 200\ntop_diameter = 120\nheight = 150\nsideways = 20",
    "gored sphere": "diameter = 600\ngores = 12",
}


def part(kind, sizes=None):
    return f'\n[[developed]]\nname = "the {kind}"\nmaterial = "galvanised"\nkind = "{kind}"\n{sizes or PARTS[kind]}\n'


@pytest.fixture(scope="module")
def whole():
    return job.loads(HEAD + "".join(part(kind) for kind in PARTS))


def test_every_kind_comes_to_its_patterns(whole) -> None:
    done = evaluation.evaluate(whole)
    made = {each.kind: each for each in done.developed}
    assert set(made) == set(PARTS)
    assert [(p.name, p.count) for p in made["elbow"].patterns] == [("end piece", 2), ("middle piece", 2)]
    assert [p.name for p in made["branch pipe"].patterns] == ["branch", "main"]
    assert made["gored sphere"].patterns[0].count == 12
    assert made["gored sphere"].findings[0].what.endswith("curved both ways")
    assert made["pipe"].patterns[0].pattern.length == pytest.approx(math.pi * 99.1)
    cone = development.cone(300, 200, top_diameter=120, thickness=0.9)
    assert made["cone"].patterns[0].pattern == cone
    assert done.verdict == "go"


def test_sheet_templates_and_results_hold_every_pattern(whole, tmp_path) -> None:
    text = HEAD + "".join(part(kind) for kind in ("elbow", "gored sphere"))
    made = output.write_job(job.loads(text), text.encode(), "job.toml", tmp_path / "out")
    for stem in ("the-elbow-end-piece", "the-elbow-middle-piece", "the-gored-sphere-gore"):
        for ending in ("svg", "dxf", "pdf"):
            assert f"{stem}.{ending}" in made.files
    html = (tmp_path / "out" / "job-sheet.html").read_text(encoding="utf-8")
    for words in ("the elbow", "Seam allowance", "curved both ways", "roll it up", "springback of the rolled"):
        assert words in html
    results = json.loads((tmp_path / "out" / "results.json").read_text(encoding="utf-8"))
    assert [each["kind"] for each in results["developed"]] == ["elbow", "gored sphere"]
    assert len(pictures.templates(whole, evaluation.evaluate(whole))) == 9


def test_several_readings_of_a_size_leave_the_pattern_uncertain() -> None:
    text = HEAD + part("pipe", "diameter = [100, 101, 99]\nlength = 300")
    done = evaluation.evaluate(job.loads(text))
    assert {"length of the pipe's pattern"} <= {u.what for u in done.uncertain}


@pytest.mark.parametrize(
    ("kind", "sizes", "said"),
    [
        ("pipe", "diameter = 100", "length.* is missing: a pipe needs"),
        ("pipe", "diameter = 100\nlength = 300\ngores = 3", "gores.* is not a size of a pipe"),
        ("transition", "height = 100\nbottom_diameter = 100", "top_diameter"),
        ("transition", "height = 9\nbottom_diameter = 9\nbottom_length = 9\ntop_diameter = 5", "bottom_diameter"),
        ("gored sphere", "diameter = 600\ngores = 12\ncovers = 'crown'", "crown_opening"),
    ],
)
def test_a_part_that_contradicts_itself_is_told_by_its_key(kind, sizes, said) -> None:
    with pytest.raises(fs.InvalidInput, match=said):
        job.loads(HEAD + part(kind, sizes))


def test_a_part_that_cannot_be_made_names_the_size_to_change() -> None:
    wrong = job.loads(HEAD + part("branch pipe", PARTS["branch pipe"].replace("diameter = 80", "diameter = 130", 1)))
    with pytest.raises(fs.InvalidInput, match=r"the branch pipe: branch_diameter must be no larger"):
        evaluation.evaluate(wrong)


@pytest.mark.parametrize(
    ("kind", "sizes", "rolls", "said"),
    [
        ("pipe", "diameter = 60\nlength = 300", "diameter = 58.5\nwidth = 500", "58.2 mm inside at its smallest"),
        ("pipe", "diameter = 60\nlength = 300", "diameter = 58\nwidth = 299", "300 mm along its axis"),
        ("pipe", "diameter = 60\nlength = 300\nsizes_are = 'inside'", "diameter = 60\nwidth = 300", None),
        ("cone", "diameter = 300\nheight = 200", "diameter = 40\nwidth = 500", "0.0 mm inside at its smallest"),
        ("gored sphere", "diameter = 60\ngores = 12", "diameter = 80\nwidth = 20", None),
    ],
)
def test_rolls_say_what_they_cannot_do(kind, sizes, rolls, said) -> None:
    asked = job.loads(HEAD + part(kind, sizes) + f"\n[rolls]\n{rolls}\n")
    (done,) = evaluation.evaluate(asked).developed
    told = [f.number for f in done.findings if "rolls" in f.what]
    assert (told == []) if said is None else (len(told) == 1 and said in told[0])


def test_the_shop_lends_its_rolls() -> None:
    shop = job.loads_shop(b'format = 1\nunits = "mm"\n[rolls]\ndiameter = 200\nwidth = 900\n')
    asked, _ = job.loads_with_shop((HEAD + part("pipe")).encode(), shop)
    assert (asked.rolls.diameter, asked.rolls.width) == (200.0, 900.0)
    assert any("tighter than the rolls" in f.what for f in evaluation.evaluate(asked).developed[0].findings)


def test_patterns_are_on_the_cut_list(whole) -> None:
    stock = '\n[[stock]]\nname = "sheet"\nmetal = "galvanised sheet"\nthickness = 0.9\nlength = 2500\nwidth = 1250\n'
    asked = job.loads(HEAD + part("elbow") + part("gored sphere") + stock + "count = 3\n")
    done = evaluation.evaluate(asked)
    (cut,) = done.cut_list
    laid = [p.name for sheet in cut.layout.sheets for p in sheet.pieces]
    assert {n: laid.count(n) for n in set(laid)} == {
        "the elbow, end piece": 2,
        "the elbow, middle piece": 2,
        "the gored sphere, gore": 12,
    }
    page = sheet.to_html(report.job_sheet(asked, done))
    assert "Patterns are laid as drawn" in page


def test_the_pattern_of_a_strip_lies_level_and_takes_no_more_room_than_it_must():
    made = job.loads(
        "format = 1\nunits = 'mm'\ntitle = 'x'\n[[material]]\nname = 's'\nmetal = 'mild steel'\nthickness = 1.2\n"
        "inside_radius = 1.2\nk_factor = 0.42\n[[developed]]\nname = 'valance'\nmaterial = 's'\n"
        "kind = 'strip between two edges'\nbottom_chord = 500\nbottom_rise = 60\ntop_chord = 480\ntop_rise = 30\n"
        "height = 90\nset_back = 20\n"
    )
    pattern = evaluation.evaluate(made).developed[0].patterns[0].pattern
    first, last = pattern.lines[0].ends.mean(axis=0), pattern.lines[-1].ends.mean(axis=0)
    assert first[1] == pytest.approx(last[1], abs=1e-9)
    shapely = pytest.importorskip("shapely")
    least = shapely.minimum_rotated_rectangle(shapely.Polygon(pattern.points)).area
    assert pattern.length * pattern.width < 1.01 * least
    for line in pattern.lines:
        assert math.dist(*line.ends) == pytest.approx(line.length, rel=1e-12)
        for end in line.ends:  # they still end on the outline
            assert shapely.Polygon(pattern.points).exterior.distance(shapely.Point(end)) < 1e-6
