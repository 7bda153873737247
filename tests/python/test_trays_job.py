"""A job with a tray, a Z with a hem, a joggle and a wired rail: from keys to blank, sheet and template."""

from __future__ import annotations

import dataclasses
import json
import math

import foldswing as fs
import pytest
from foldswing import carry, evaluation, job, output, pictures, report, sheet
from foldswing.tray import Return, Tray

TEXT = """
format = 1
title = "Galley shelf and its fittings"
units = "mm"
invented = true

[[material]]
name = "aluminium"
metal = "5052-H32 aluminium"
thickness = 1.2
inside_radius = 1.5
k_factor = 0.42

[[tray]]
name = "galley tray"
material = "aluminium"
width = 420
length = 260
depth = 35
rear_depth = 60
return_width = 14
rear_return = 0
corner_gap = 0.4
relief = "round"
relief_size = 5
tabs_on = "left and right"
tab_width = 14
tab_holes = 2
tab_hole_diameter = 3.3

[[tray.hole]]
panel = "flange"
side = "rear"
along = 210
up = 40
diameter = 20

[[tray.hole]]
panel = "base"
along = 60
up = 70
diameter = 8

[[section]]
name = "ledge"
material = "aluminium"
kind = "Z"
width = 420
flange = 25
other_flange = 20
height = 18
end_edge = { kind = "closed hem", width = 9 }

[[section.hole]]
flat = 2
from_start = 9
across = 40
diameter = 4.2

[[section]]
name = "lap strip"
material = "aluminium"
kind = "joggle"
width = 300
before = 30
depth = 1.2
run_out = 4
after = 40

[[bent_part]]
name = "rail"
material = "aluminium"
width = 300
lengths_are = "outside"
flats = [30, 40]
start_edge = { kind = "wired edge", wire_diameter = 4 }

[[bent_part.bend]]
bend_angle = 90
way = "down"
"""
JOB = job.loads(TEXT.encode(), name="galley.toml")
DONE = evaluation.evaluate(JOB)
BY_NAME = {blank.name: blank for blank in DONE.blanks}


def changed(what, **change):
    """Return the job with the first part of a kind changed."""
    first, *rest = getattr(JOB, what)
    return dataclasses.replace(JOB, **{what: (dataclasses.replace(first, **change), *rest)})


def test_the_blanks_stand_in_the_order_of_their_kinds():
    assert [blank.name for blank in DONE.blanks] == ["galley tray", "ledge", "lap strip", "rail"]
    assert DONE.verdict == "go"


def test_the_tray_of_the_job_is_the_one_worked_out_by_hand():
    made = BY_NAME["galley tray"]
    lip = Return(14)
    by_hand = Tray(
        420,
        260,
        (35, 35, 35, 60),
        returns=(lip, lip, lip, None),
        thickness=1.2,
        radius=1.5,
        k_factor=0.42,
        notch="gap",
        corner_gap=0.4,
    )
    assert (made.length, made.width) == (by_hand.blank_length, by_hand.blank_width)
    names = {bend.name: bend for bend in made.bends}
    assert len(names) == len(made.bends) == 4 + 3 + 4
    assert names["left return"].kind == "return"
    assert names["right tab, rear"].kind == "tab"
    assert sum(d == 3.3 for _, d in made.holes) == 16


def test_holes_drawn_on_folded_panels_are_told_from_the_blanks_edges():
    made = BY_NAME["galley tray"]
    (rear, _), (base, _) = made.holes[-2:]
    deduction = next(b for b in made.bends if b.name == "rear").deduction
    low = next(b for b in made.bends if b.name == "front")
    # each from its own edge back: the rear flange is 60 deep and the hole 40 up
    assert made.width - rear[1] == pytest.approx(20)
    assert rear[0] == pytest.approx(made.length / 2)
    # front: the return 14 and the flange 35 less two deductions, then 70 in on the base
    assert base[1] == pytest.approx(14 + 35 - 2 * deduction + 70)
    assert low.deduction == deduction


def test_a_z_with_a_hem_says_what_the_hem_adds_by_rule_and_by_neutral_line():
    made = BY_NAME["ledge"]
    assert [(b.kind, b.way) for b in made.bends] == [("bend", "up"), ("bend", "down"), ("hem", "up")]
    ((what, said),) = made.allowances
    assert what == "Closed hem at the end"
    added = 9 - 1.2 + math.pi * 0.42 * 1.2 - 1.2
    assert f"adds {added:.2f} mm" in said
    assert "9.00 mm by the rule" in said
    assert "Steelworker" in said
    plain = evaluation.evaluate_section(dataclasses.replace(JOB.section[0], end_edge=None), JOB)
    assert made.length - plain.length == pytest.approx(added)
    ((x, y), diameter) = made.holes[0]
    assert (y, diameter) == (40, 4.2)
    profile = fs.ready_section.zed(25, 18, 20, thickness=1.2, radius=1.5, k_factor=0.42)
    assert carry.to_folded(profile, (x, y), "lower")[2] == pytest.approx(9)


def test_a_joggle_and_a_wired_edge_are_told_with_their_limits():
    ((_, joggle),) = BY_NAME["lap strip"].allowances
    assert "run-out is under 4 depths" in joggle
    assert "pressed in by a die" in joggle
    ((_, wire),) = BY_NAME["rail"].allowances
    assert "10.00 mm by the rule" in wire
    assert BY_NAME["rail"].bends[0].kind == "wire"


def test_the_sheet_and_the_templates_hold_them():
    page = sheet.to_html(report.job_sheet(JOB, DONE))
    for words in ("Closed hem at the end", "carried from the folded part", "left return", "Sight line"):
        assert words in page
    text = json.loads(output.results_json(DONE, TEXT.encode(), "galley.toml", []))
    kinds = {bend["kind"] for blank in text["blanks"] for bend in blank["bends"]}
    assert kinds == {"bend", "return", "tab", "hem", "wire"}
    drawn = pictures.templates(JOB, DONE)
    assert {"galley-tray-blank", "ledge-blank", "lap-strip-blank", "rail-blank"} <= set(drawn)
    layers = {entity.layer for entity in drawn["ledge-blank"].entities}
    assert {"bend_up", "bend_down", "bend_hem", "sight", "tangent"} <= layers


REFUSED = [
    ('kind = "Z"', 'kind = "hat"', "brim' is missing|lacks|needs"),
    ("height = 18", "height = 18\nbrim = 4", "is not a size of a Z"),
    ('{ kind = "closed hem", width = 9 }', '{ kind = "closed hem" }', "missing: needed for a closed hem"),
    ('{ kind = "wired edge", wire_diameter = 4 }', '{ kind = "wired edge", width = 4, wire_diameter = 4 }', "not used"),
    ("relief_size = 5", "", "how large"),
    ('side = "rear"', "", "which flange"),
    ("tab_width = 14", "", "go together"),
    ('material = "aluminium"\nkind = "Z"', 'material = "steel"\nkind = "Z"', "not in this job"),
]


@pytest.mark.parametrize(("old", "new", "said"), REFUSED)
def test_jobs_that_contradict_themselves_are_refused(old, new, said):
    assert old in TEXT
    with pytest.raises(fs.InvalidInput, match=said):
        job.loads(TEXT.replace(old, new, 1).encode(), name="galley.toml")


@pytest.mark.parametrize(
    ("what", "change", "said"),
    [
        ("tray", {"return_width": 2.0}, "galley tray: .*lengthen it by"),
        ("tray", {"relief_size": 0.1}, "relief_size must be more than"),
        ("tray", {"hole": (job.PanelHole(panel="return", side="rear", along=9, up=4, diameter=3),)}, "rear|top return"),
        ("section", {"height": 4.0}, "ledge: height must be at least .* lengthen it by"),
        ("section", {"end_edge": job.FinishedEdge(kind="closed hem", width=1.0)}, "end_edge.width must be over 1.2"),
        ("section", {"hole": (job.FlatHole(flat=9, from_start=1, across=1, diameter=1),)}, "flat must be 1 to 3"),
        ("section", {"hole": (job.FlatHole(flat=1, from_start=99, across=1, diameter=1),)}, "from_start must be"),
    ],
)
def test_blanks_that_cannot_be_folded_name_the_size_to_change(what, change, said):
    with pytest.raises(fs.InvalidInput, match=said):
        evaluation.evaluate(changed(what, **change))


def test_a_hole_off_the_metal_or_in_a_bend_is_found():
    off = job.PanelHole(panel="flange", side="rear", along=210, up=59, diameter=8)
    ((found,),) = [
        [f for f in evaluation.evaluate_tray(changed("tray", hole=(off,)).tray[0], JOB).findings if "metal" in f.what]
    ]
    assert "not on the metal" in found.what
    near = job.PanelHole(panel="flange", side="rear", along=210, up=5, diameter=6)
    found = evaluation.evaluate_tray(changed("tray", hole=(near,)).tray[0], JOB).findings
    assert any("runs into the bend 'rear'" in f.what for f in found)


def test_the_help_and_the_schema_name_the_new_keys():
    text = job.help_text()
    for word in ("[[tray]]", "[[section]]", "returns_turn", "wire_diameter", "run_out"):
        assert word in text
    assert "tray" in job.schema()["properties"]
