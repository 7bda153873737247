"""Tabs and slots for plug welds in a job: from one part's edge to another's blank, read back from the templates."""

from __future__ import annotations

import dataclasses
import io
import json

import ezdxf
import foldswing as fs
import numpy as np
import pytest
import shapely
from fold_by_hand import fold, marks
from foldswing import drawing, edge_finish, evaluation, job, output, pictures, ready_section, report, sheet
from foldswing.tray import Tray

TEXT = """
format = 1
title = "Battery tray with welded brackets"
units = "mm"
invented = true
date = "2026-05-01"

[[material]]
name = "tray sheet"
metal = "DC01"
thickness = 1.5
inside_radius = 2
k_factor = 0.42

[[material]]
name = "bracket sheet"
metal = "DC01"
thickness = 2.0
inside_radius = 2.5
k_factor = 0.43

[[tray]]
name = "battery tray"
material = "tray sheet"
width = 320
length = 200
depth = 60
corner_gap = 0.5

[[tray.slots]]
joint = "A"
panel = "base"
along = 100
up = 80

[[tray.slots]]
joint = "B"
panel = "flange"
side = "rear"
along = 250
up = 12
run = "up"

[[section]]
name = "cross rib"
material = "bracket sheet"
kind = "angle"
width = 120
flange = 40
other_flange = 25

[[section.tabs]]
joint = "A"
edge = "start"
count = 4
width = 14
through = 1.5

[[section]]
name = "foot"
material = "tray sheet"
kind = "channel"
width = 90
flange = 30
web = 70

[[section.slots]]
joint = "C"
flat = 2
from_start = 14
across = 45
run = "across the bends"

[[bent_part]]
name = "strap"
material = "bracket sheet"
width = 40
lengths_are = "outside"
flats = [50, 60]

[[bent_part.bend]]
bend_angle = 90
way = "down"

[[bent_part.tabs]]
joint = "B"
edge = "start"
count = 2
width = 9
through = 1.5
proud = 0.5

[[bent_part.tabs]]
joint = "C"
edge = "end"
count = 1
width = 20
through = 1.5
clearance = 0.4
"""
JOB = job.loads(TEXT.encode(), name="battery.toml")
DONE = evaluation.evaluate(JOB)
MADE = {done.name: done for done in DONE.blanks}
DRAWN = pictures.templates(JOB, DONE)


def read_back(stem):
    """The cut line of a template and its slots as polygons, from its DXF."""
    doc = ezdxf.read(io.StringIO(drawing.to_dxf(DRAWN[stem]).decode()))
    assert not doc.audit().has_errors
    rings = {}
    for entity in doc.modelspace():
        if entity.dxftype() == "LWPOLYLINE" and entity.closed:
            rings.setdefault(entity.dxf.layer, []).append(shapely.Polygon([p[:2] for p in entity.get_points()]))
    ((cut,), slots) = rings["CUT_LINE"], rings.get("HOLE", [])
    return cut, slots


def test_tabs_are_those_of_the_library_and_stand_past_the_edge_the_rest_moves_along() -> None:
    rib = MADE["cross rib"]
    (row,) = rib.tabs
    assert row.size == edge_finish.tabs_and_slots(120, 4, 14, thickness=2, through=1.5)
    assert (row.edge, row.foot) == ("left", 1.5)
    plain = dataclasses.replace(JOB.section[0], tabs=())
    bare = evaluation.evaluate_section(plain, dataclasses.replace(JOB, section=(plain,), tray=()))
    assert rib.length == bare.length
    assert rib.sheet == (bare.length + 1.5, 120)
    assert rib.bends[0].centre == pytest.approx(bare.bends[0].centre + 1.5)
    assert rib.bends[0].tangents == pytest.approx([t + 1.5 for t in bare.bends[0].tangents])
    strap = MADE["strap"]
    assert strap.sheet[0] == pytest.approx(strap.length + 2.0 + 1.5)
    assert [row.joint for row in strap.tabs] == ["B", "C"]


def test_slots_and_holes_move_along_with_the_tabs_of_their_own_part() -> None:
    tabs = job.Tabs(joint="D", edge="start", count=2, width=20, through=1.5, proud=1)
    drilled = dataclasses.replace(JOB.section[1], hole=(job.FlatHole(flat=2, from_start=60, across=20, diameter=4),))
    tabbed = dataclasses.replace(drilled, tabs=(tabs,))
    before, after = (evaluation.evaluate_section(part, JOB) for part in (drilled, tabbed))
    assert after.slots[0].centres - before.slots[0].centres == pytest.approx(np.array([[2.5, 0.0]]))
    assert np.subtract(after.holes[0][0], before.holes[0][0]) == pytest.approx([2.5, 0])


def test_a_template_reads_back_as_a_blank_with_its_tabs() -> None:
    cut, slots = read_back("cross-rib-blank")
    rib = MADE["cross rib"]
    assert cut.is_valid
    assert slots == []
    assert cut.area == pytest.approx(rib.length * 120 + 4 * 14 * 1.5)
    tips = shapely.intersection(cut, shapely.box(-1, -1, 1.4, 200))
    spans = sorted((p.bounds[1], p.bounds[3]) for p in tips.geoms)
    pitch = 120 / 4
    assert np.array(spans) == pytest.approx(
        np.array([((i + 0.5) * pitch - 7, (i + 0.5) * pitch + 7) for i in range(4)])
    )
    assert cut.bounds == pytest.approx((0, 0, *rib.sheet))
    both, _ = read_back("strap-blank")
    assert both.area == pytest.approx(MADE["strap"].length * 40 + 2 * 9 * 2.0 + 20 * 1.5)


def test_every_tab_goes_into_its_slot_with_the_clearance_asked_for() -> None:
    """The slots read back from one template against the tabs of the other, laid on each other by pitch alone."""
    cut, slots = read_back("battery-tray-blank")
    for joint, start, direction in (("A", (100, 80), 0), ("B", None, 1)):
        row = next(r for r in MADE["battery tray"].slots if r.joint == joint)
        mine = sorted(
            (s for s in slots if any(s.covers(shapely.Point(c)) for c in row.centres)),
            key=lambda s: s.bounds[direction],
        )
        tabs = next(t for done in DONE.blanks for t in done.tabs if t.joint == joint)
        assert len(mine) == len(tabs.spans)
        along = np.array([(s.bounds[direction], s.bounds[2 + direction]) for s in mine])
        across = np.array([(s.bounds[1 - direction], s.bounds[3 - direction]) for s in mine])
        assert np.ptp(along, axis=1) == pytest.approx(np.ptp(tabs.spans, axis=1) + 0.2)
        assert np.ptp(across, axis=1) == pytest.approx(2.0 + 0.2)  # over the bracket's sheet
        offset = along.mean(axis=1) - tabs.spans.mean(axis=1)
        assert np.ptp(offset) < 1e-9
        assert all(cut.covers(s) for s in mine)
        if start is not None:
            made = Tray(320, 200, (60,) * 4, thickness=1.5, radius=2, k_factor=0.42, notch="gap", corner_gap=0.5)
            assert (offset[0], across[0].mean()) == pytest.approx(tuple(made.place("base", None, *start)))


def test_slots_in_a_web_come_to_lie_where_they_were_drawn_when_folded_by_numpy() -> None:
    foot = MADE["foot"]
    profile = ready_section.channel(30, 70, 30, thickness=1.5, radius=2, k_factor=0.42)
    (row,) = foot.slots
    size = edge_finish.tabs_and_slots(40, 1, 20, thickness=2, through=1.5, clearance=0.4)
    assert row.size == (size.slot_length, size.slot_width) == (20.4, 2.4)
    lines = [marks(line) for line in profile.bend_lines]
    lower = np.array([[-5.0, 0.0], [profile.developed_length / 2, 0.0], row.centres[0]])
    _, middle, centre = fold(lines, 1.5, lower, 0.0)
    # the row of one tab begins 14 mm from the mould line of a 70 mm web, and the tab's edge is 40 mm
    assert np.linalg.norm(centre[[0, 2]] - middle[[0, 2]]) == pytest.approx(35 - (14 + 20), abs=1e-9)
    assert row.centres[0][1] == 45


def test_sheet_template_and_results_hold_the_joints(tmp_path) -> None:
    page = sheet.to_html(report.job_sheet(JOB, DONE))
    for words in ("Tabs for plug welds", "Slots for plug welds", "Blank, without tabs", "cross rib"):
        assert words in page
    words = " ".join(e.text for e in DRAWN["battery-tray-blank"].entities if isinstance(e, drawing.Text))
    assert "joint A" in words
    assert "4 slots" in words
    assert "for the tabs of cross rib" in words.replace("  ", " ")
    told = " ".join(e.text for e in DRAWN["strap-blank"].entities if isinstance(e, drawing.Text))
    assert "Joint B: 2 tabs" in told
    assert "past the left edge" in told
    text = json.loads(output.results_json(DONE, TEXT.encode(), "battery.toml", []))
    assert {row["joint"] for blank in text["blanks"] for row in blank["tabs"]} == {"A", "B", "C"}
    assert {row["of"] for blank in text["blanks"] for row in blank["slots"]} == {"cross rib", "strap"}


def test_the_brakes_stop_meets_the_tabs() -> None:
    brake = job.BrakeTool(name="leaf", kind="leaf brake")
    with_brake = dataclasses.replace(JOB, brake_tool=(brake,))
    tabbed = evaluation.evaluate_bent_part(JOB.bent_part[0], with_brake).order.found.steps[0]
    bare = dataclasses.replace(JOB.bent_part[0], tabs=())
    plain = evaluation.evaluate_bent_part(bare, dataclasses.replace(with_brake, tray=(), section=())).order.found.steps[
        0
    ]
    past = {"start": 2.0, "end": 1.5}[tabbed.at_gauge]
    assert tabbed.at_gauge == plain.at_gauge
    assert tabbed.gauge == pytest.approx(plain.gauge + past)


def found(part, **change):
    """The findings of the first tray or section after a change."""
    wanted = getattr(JOB, part)
    changed = dataclasses.replace(JOB, **{part: (dataclasses.replace(wanted[0], **change), *wanted[1:])})
    return [f for blank in evaluation.evaluate(changed).blanks for f in blank.findings]


def test_slots_off_the_metal_in_a_bend_or_in_another_sheet_are_said() -> None:
    assert not [f for blank in DONE.blanks for f in blank.findings if "joint" in f.number or "joint" in f.what]
    rows = JOB.tray[0].slots
    notch = found("tray", slots=(rows[0], dataclasses.replace(rows[1], along=318)))
    assert any(f.what == "A slot of joint B is not on the metal" for f in notch)
    near = found("tray", slots=(dataclasses.replace(rows[0], up=6), rows[1]))
    (told,) = [f for f in near if "A slot" in f.what]
    assert "the bend 'front'" in told.what
    assert "hole" not in told.number
    thick = dataclasses.replace(JOB.section[0].tabs[0], through=3.0)
    other = found("section", tabs=(thick,))
    assert any("made for another sheet" in f.what and "go through 3.00 mm" in f.number for f in other)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('joint = "A"\nedge', 'joint = "Z"\nedge', "'battery tray' has slots for the joint 'A', which has no tabs"),
        ('joint = "B"\nedge', 'joint = "C"\nedge', "the joint 'C' 2 times"),
        ('edge = "end"', 'edge = "start"', "come 2 times on the start edge"),
        (
            "other_flange = 25",
            'other_flange = 25\nstart_edge = {kind = "closed hem", width = 9}',
            "finished with a closed hem",
        ),
        ("count = 4", "count = 0", "count"),
        ("count = 4", "count = 101", "count .*<= 100"),
        ("width = 14", "width = -14", "width"),
        ("through = 1.5", "through = inf", "through"),
        ('panel = "base"', 'panel = "flange"', "which flange"),
        ('panel = "base"', 'panel = "base"\nside = "rear"', "not used on the base"),
        ('run = "up"', 'run = "sideways"', "run"),
    ],
)
def test_jobs_that_contradict_themselves_are_refused(old, new, said) -> None:
    assert old in TEXT
    with pytest.raises(fs.InvalidInput, match=said):
        job.loads(TEXT.replace(old, new, 1).encode(), name="battery.toml")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "width = 14",
            "width = 29",
            "cross rib: tabs of joint 'A': width must be at most 28.3|battery tray: tabs of joint 'A'",
        ),
        ("flat = 2", "flat = 4", "flat must be 1 to 3, got 4"),
        (
            "from_start = 14",
            "from_start = 40",
            r"slots\[1\].from_start must leave the slots on the level part of flat 2",
        ),
        (
            "along = 100\nup = 80",
            "along = 230\nup = 80",
            r"slots\[1\].along must stay on the base, 0 to 320 mm, got 230 mm: .*to 342",
        ),
        ("along = 250\nup = 12", "along = 250\nup = 30", r"slots\[2\].up must stay on the rear flange, 0 to 60 mm"),
        ("across = 45", "across = 89", r"slots\[1\].across must leave the slots on the part, 90 mm wide"),
    ],
)
def test_joints_that_do_not_go_name_the_size_to_change(old, new, said) -> None:
    assert old in TEXT
    with pytest.raises(fs.InvalidInput, match=said):
        evaluation.evaluate(job.loads(TEXT.replace(old, new, 1).encode(), name="battery.toml"))


@pytest.mark.parametrize("side", ["front", "rear", "left", "right"])
@pytest.mark.parametrize("run", ["along", "up"])
def test_a_row_lies_on_the_blank_as_it_runs_on_its_panel(side, run) -> None:
    row = job.PanelSlots(joint="B", panel="flange", side=side, along=100, up=15, run=run)
    changed = dataclasses.replace(JOB.tray[0], slots=(row,))
    (made,) = evaluation.evaluate_tray(changed, JOB).slots
    upright = (side in {"left", "right"}) == (run == "along")  # those two panels are turned up beside the base
    step = np.abs(np.diff(made.centres, axis=0)[0])
    assert step == pytest.approx([0, 20] if upright else [20, 0])
    assert made.size == pytest.approx((2.2, 9.2) if upright else (9.2, 2.2))
