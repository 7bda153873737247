"""Adjusters in a job: what each recovers at every stop, what is not enough, sheet, templates, results."""

from __future__ import annotations

import dataclasses
import json
import math
from functools import cache

import numpy as np
import pytest
from foldswing import InvalidInput, drawing, evaluation, gate, job, output, pictures, plane
from foldswing.evaluation.adjusters import Standing, evaluate_adjusters
from foldswing.evaluation.gate_section import surroundings
from foldswing.evaluation.reach import corrected_by
from foldswing.job import Adjuster
from foldswing.report.adjusters import adjuster_blocks
from foldswing.report.first_page import gate_page
from foldswing.report.words import Words

DEMO = job.read(job.shipped()["lantern_nine"])
PLAIN = dataclasses.replace(DEMO.gate[0], station=())
LEANS = dataclasses.replace(PLAIN.panel, leans="outward", lean=6.0)
LEVEL = PLAIN.stop[0]
# level asks for face, nose gap and, with the edge's height, all three; lean for its edge
ASKING = (dataclasses.replace(LEVEL, edge_drop=4.0, within=6.0), dataclasses.replace(PLAIN.stop[1], edge_drop=200.0))

JAMB_UP = Adjuster(kind="slotted hole", hole="jamb", runs="up and down", up=3, down=2)
GATE_OUT = Adjuster(kind="slotted hole", hole="gate", runs="outward and inward", outward=2, inward=1)
SLANT = Adjuster(kind="slotted hole", hole="jamb", runs="at an angle", angle=30, rises="inward", up=4)
GATE_UP = Adjuster(kind="slotted hole", hole="gate", runs="up and down", up=3, down=3)
ECCENTRIC = Adjuster(kind="eccentric bush", hole="gate", throw=1.5, diameter=16)
SHIM = Adjuster(kind="shim", hole="jamb", pushes="inward", thickness=2)
PAD = Adjuster(kind="pad shim", stop="lean", thickness=2)


@cache
def work_out(*adjusters, **changes):
    wanted = dataclasses.replace(PLAIN, adjuster=adjusters, **changes)
    return wanted, evaluation.evaluate_gate(wanted, DEMO, likely_errors=False)


def recovers(wanted, done, *adjusters):
    """Return what adjusters recover on a gate that is worked out already."""
    shut = gate.panel(done.sizes).moved(gate.pose(done.holes, 0.0)).outline(1e-4)
    at = Standing(done.sizes, done.holes, shut, {s.name: s.opening_deg for s in done.stops}, {})
    return evaluate_adjusters(dataclasses.replace(wanted, adjuster=adjusters), DEMO.errors, at)[0]


def figures(sizes, holes, opening, shut):
    """Return what is read of a gate on these holes: by its pose, not by any landing."""
    at = gate.opened(sizes, holes, opening)
    lower, _, _, upper = (gate.pose(holes, 0.0).apply(c) for c in gate.corners(sizes))
    if shut:
        return {"gap to the nose": lower[0], "gap to the sill": lower[1], "gap to the head": -upper[1]}
    return {"inner face": at.face_step, "gap to the nose": at.nose_gap, "free edge": -at.edge_drop}


def moved(holes, hole, by):
    at = {"gate": holes.gate, "jamb": holes.jamb}
    at[hole] = at[hole] + by
    return gate.Holes(at["gate"], at["jamb"])


@pytest.mark.parametrize("panel", [PLAIN.panel, LEANS], ids=["upright", "leaning"])
@pytest.mark.parametrize(
    "adjuster", [JAMB_UP, GATE_OUT, GATE_UP, SLANT, SHIM], ids=lambda a: f"{a.hole} {a.kind} {a.runs}"
)
def test_what_1_mm_does_is_what_the_gate_does_on_the_moved_hole(adjuster, panel):
    wanted, done = work_out(stop=ASKING, panel=panel)
    (made,) = recovers(wanted, done, adjuster).adjusters
    lean = done.sizes.lean_deg if adjuster.hole == "gate" else 0.0
    degrees = {"up and down": 90, "outward and inward": 0, "at an angle": 150, None: 180}[adjuster.runs] - lean
    way = np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    openings = {"shut": 0.0} | {s.name: s.opening_deg for s in done.stops}
    assert {(one.stop, one.what) for one in made.lands} == {
        ("shut", "gap to the nose"), ("shut", "gap to the sill"), ("shut", "gap to the head"),
        ("level", "inner face"), ("level", "gap to the nose"), ("level", "free edge"), ("lean", "free edge"),
    }  # fmt: skip
    for one in made.lands:
        base = figures(done.sizes, done.holes, openings[one.stop], one.stop == "shut")[one.what]
        ends = []
        for by in (made.forward, -made.backward):
            holes = moved(done.holes, adjuster.hole, by * way)
            ends.append(figures(done.sizes, holes, openings[one.stop], one.stop == "shut")[one.what] - base)
        assert ends[0] == pytest.approx(one.per_mm * made.forward, abs=1e-9)
        assert (min(*ends, 0.0), max(*ends, 0.0)) == pytest.approx((one.least, one.most), abs=1e-9)


def test_an_eccentric_bush_reaches_its_throw_either_way_and_no_farther():
    wanted, done = work_out()
    (made,) = recovers(wanted, done, ECCENTRIC).adjusters
    turns = np.radians(np.arange(0.0, 360.0, 3.0))
    for one in made.lands:
        if one.stop == "shut":
            continue
        opening = next(s.opening_deg for s in done.stops if s.name == one.stop)
        base = figures(done.sizes, done.holes, opening, shut=False)[one.what]
        every = [
            figures(done.sizes, moved(done.holes, "gate", 1.5 * np.array([np.cos(t), np.sin(t)])), opening, shut=False)[
                one.what
            ]
            - base
            for t in turns
        ]
        assert min(every) == pytest.approx(one.least, abs=3e-3)
        assert max(every) == pytest.approx(one.most, abs=3e-3)


def test_a_shim_under_the_pad_lifts_the_edge_as_the_gate_turns():
    wanted, done = work_out(PAD)
    (made,) = done.adjusting.adjusters
    (one,) = made.lands
    assert (one.stop, one.what) == ("lean", "free edge")
    opening = done.stops[1].opening_deg
    section = gate.panel(done.sizes).outline(1e-4)
    rail = surroundings(wanted, done.sizes)["guard rail"].outline(1e-4)
    near = plane.distance(section.moved(gate.pose(done.holes, opening)), rail)
    out = (near.point_a - near.point_b) / near.distance
    pad = gate.pose(done.holes, opening).inverse().apply(near.point_a)
    low, high = opening - 5.0, opening
    for _ in range(60):
        middle = 0.5 * (low + high)
        lifted = out @ (gate.pose(done.holes, middle).apply(pad) - near.point_a)
        low, high = (middle, high) if lifted > 2.0 else (low, middle)
    drops = [gate.opened(done.sizes, done.holes, o).edge_drop for o in (opening, low)]
    assert one.most == pytest.approx(drops[0] - drops[1], abs=1e-3)
    assert one.least == 0.0
    rest = dataclasses.replace(PLAIN.body[0], down=139.0)
    _, touching = work_out(PAD, body=(rest,))
    assert any("cannot be worked out" in f.what for f in touching.findings)


def test_what_is_not_enough_or_does_nothing_is_said():
    tight = (dataclasses.replace(LEVEL, within=0.2), PLAIN.stop[1])
    _, done = work_out(JAMB_UP, stop=tight)
    rows = {(r.stop, r.what): r for r in done.adjusting.recovered}
    face = rows["level", "inner face"]
    assert face.likely == pytest.approx(2.0 * math.sqrt(2.0) * DEMO.errors.hole)
    assert face.enough
    nose = rows["level", "gap to the nose"]
    assert nose.likely == pytest.approx(2.0 * math.hypot(DEMO.errors.hole * math.sqrt(2.0), DEMO.errors.measured))
    assert not nose.enough
    (said,) = [f for f in done.findings if "may not bring" in f.what]
    assert "gap to the nose right at 'level'" in said.what
    assert "nothing reaches it" in said.number
    assert "longer slot" not in said.advice  # however long, it does nothing there
    assert not said.stops_work
    one_way = Adjuster(kind="shim", hole="jamb", pushes="up", thickness=5)
    (shim,) = [f for f in work_out(one_way, stop=tight)[1].findings if "inner face" in f.what]
    assert "side that can be cured" in shim.advice
    both = Adjuster(kind="shim", hole="jamb", pushes="outward", thickness=5)
    only_face = (dataclasses.replace(LEVEL, nose_gap=None, within=0.2), PLAIN.stop[1])
    hinge = dataclasses.replace(PLAIN.hinge, pivot_from_inner_face=18.0, pivot_below_worktop=18.0)
    idle = work_out(both, stop=only_face, hinge=hinge)[1].findings
    assert "The shim behind the jamb's plate does nothing at 'level'" in [f.what for f in idle]
    wide = recovers(*work_out(), JAMB_UP, SHIM).recovered
    assert [r.enough for r in wide] == [True, False]  # a shim cures a gap that is too wide, not one too narrow
    more = (dataclasses.replace(LEVEL, nose_gap_is="at most"), PLAIN.stop[1])
    assert [r.enough for r in recovers(*work_out(stop=more), JAMB_UP, SHIM).recovered] == [True, True]


def test_drilled_together_misses_less_that_an_adjuster_must_recover():
    through = dataclasses.replace(PLAIN.hinge, drilled="together")
    _, done = work_out()
    level = recovers(dataclasses.replace(PLAIN, hinge=through), done, JAMB_UP).recovered[0]
    turn = 2.0 * math.sin(math.radians(45.0))
    assert level.likely == pytest.approx(2.0 * turn * DEMO.errors.hole)


def test_a_slot_that_leaves_little_metal_is_said():
    _, done = work_out(dataclasses.replace(GATE_OUT, outward=5.0))
    said = {f.what: f for f in done.findings}
    assert "none: the slot breaks out" in said["Little metal between slot and outer face"].number
    assert said["Little metal between slot and outer face"].stops_work
    _, bushed = work_out(dataclasses.replace(ECCENTRIC, diameter=21.0))
    assert dict(bushed.hardware.metal)["outer face"] == pytest.approx(10.0 - 10.5)
    assert "none" in next(f.number for f in bushed.findings if f.what == "Little metal between hole and outer face")


def test_sheet_and_first_page_tell_the_adjusters():
    wanted, done = work_out(JAMB_UP, GATE_OUT, PAD)
    text = repr(adjuster_blocks(wanted, done.adjusting, Words(DEMO)))
    for said in (
        "The pin 1 mm up in the jamb's slot: at 'level' it lifts the inner face 1.00 mm",
        "shut it widens the gap to the sill 1.00 mm, narrows the gap to the head 1.00 mm",
        "2.00 mm down to 3.00 mm up",
        "1 mm of shim under the pad at 'lean': it lifts the free edge",
        "NO: see warnings",
    ):
        assert said in text, said
    page = repr(gate_page(wanted, done, DEMO, Words(DEMO)))
    assert "bush slot, 12.0 mm wide" in page
    assert "pin slot, 8.0 mm wide" in page
    assert adjuster_blocks(PLAIN, work_out()[1].adjusting, Words(DEMO)) == []
    turned = dataclasses.replace(PLAIN, adjuster=(ECCENTRIC,))
    text = repr(adjuster_blocks(turned, recovers(*work_out(), ECCENTRIC), Words(DEMO)))
    assert "its bore stands 1.50 mm off the mark" in text


@pytest.mark.parametrize(("hand", "way"), [("left", 1.0), ("right", -1.0)])
def test_the_template_has_the_slot_with_its_ends(hand, way):
    wanted, done = work_out(JAMB_UP, GATE_OUT)
    drawn = pictures.gate_end(wanted, done, DEMO, hand)
    (slot,) = [e.path for e in drawn.entities if isinstance(e, drawing.Stroke) and e.layer == "hole"]
    ends = {(round(float(x) * way, 6), round(float(y), 6)) for x, y in slot.centres[np.isfinite(slot.radii)]}
    x, y = done.holes.gate
    assert ends == {(round(x + 2.0, 6), round(y, 6)), (round(x - 1.0, 6), round(y, 6))}
    assert set(slot.radii[np.isfinite(slot.radii)]) == {6.0}
    words = [e.text for e in drawn.entities if isinstance(e, drawing.Text)]
    assert "slot" in words
    assert "2.0 mm outward, 1.0 mm inward" in " ".join(words)
    crosses = {tuple(np.round(e.centre * (way, 1), 6)) for e in drawn.entities if isinstance(e, drawing.CentreMark)}
    assert ends <= crosses


def test_the_jamb_template_has_its_slot_and_an_eccentric_bush_its_larger_hole():
    wanted, done = work_out(SLANT, ECCENTRIC)
    results = evaluation.Results(DEMO.title, "", (done,), (), (), ())
    of = dataclasses.replace(DEMO, gate=(wanted,), flip_panel=(), pan=(), crown=())
    drawn = pictures.templates(of, results)
    jamb, end = drawn["counter-gate-jamb-right"], drawn["counter-gate-end-left"]
    (slot,) = [e.path for e in jamb.entities if isinstance(e, drawing.Stroke) and e.layer == "hole"]
    assert np.allclose(slot.radii[np.isfinite(slot.radii)], 4.0)
    span = np.ptp(slot.centres[np.isfinite(slot.radii)], axis=0)
    assert np.allclose(span, 4.0 * np.array([math.cos(math.pi / 6), 0.5]))
    (hole,) = [e for e in end.entities if isinstance(e, drawing.Circle) and e.layer == "hole"]
    assert hole.radius == 8.0
    words = " ".join(e.text for e in end.entities if isinstance(e, drawing.Text))
    assert "eccentric bush" in words
    assert "throw 1.5 mm" in words


def test_results_json_has_them():
    _, done = work_out(JAMB_UP, PAD)
    results = evaluation.Results(DEMO.title, "", (done,), (), (), ())
    found = json.loads(output.results_json(results, b"", "job.toml"))["gates"][0]["adjusting"]
    assert [a["name"] for a in found["adjusters"]] == ["slotted hole in the jamb", "shim under the pad at 'lean'"]
    assert found["recovered"][1]["enough"] is False


def test_a_file_with_adjusters_is_read():
    text = job.shipped()["lantern_nine"].read_text("utf-8")
    keys = (
        '[[gate.adjuster]]\nkind = "slotted hole"\nhole = "jamb"\nruns = "up and down"\nup = "1/8 in"\n\n[[gate.stop]]'
    )
    read = job.loads(text.replace("[[gate.stop]]", keys, 1))
    assert read.gate[0].adjuster[0].up == pytest.approx(3.175)
    assert corrected_by(read.gate[0]) == "adjuster on the jamb"
    assert corrected_by(dataclasses.replace(PLAIN, adjuster=(JAMB_UP, GATE_OUT))) == "adjusters on both"
    assert corrected_by(dataclasses.replace(PLAIN, adjuster=(PAD,))) == "drilling"
    with pytest.raises(InvalidInput, match="runs is missing"):
        job.loads(text.replace("[[gate.stop]]", keys.replace('runs = "up and down"\n', ""), 1))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Adjuster(kind="turnbuckle", hole="jamb"), "kind"),
        (lambda: Adjuster(kind="slotted hole", runs="up and down", up=1), "hole.*is missing"),
        (lambda: dataclasses.replace(JAMB_UP, up=None, down=None), "say how far it can go"),
        (
            lambda: dataclasses.replace(JAMB_UP, outward=2),
            "outward.*is not used by a slotted hole that runs up and down",
        ),
        (
            lambda: dataclasses.replace(SLANT, rises=None),
            "rises.*is missing: needed for a slotted hole that runs at an angle",
        ),
        (lambda: dataclasses.replace(ECCENTRIC, throw=8.0), "brings the bore out"),
        (lambda: dataclasses.replace(SHIM, pushes=None), "pushes.*is missing"),
        (lambda: dataclasses.replace(PAD, hole="gate"), "hole.*is not used by a pad shim"),
        (lambda: dataclasses.replace(PLAIN, adjuster=(JAMB_UP, SLANT)), "one hole: slotted hole and slotted hole"),
        (
            lambda: dataclasses.replace(PLAIN, adjuster=(dataclasses.replace(ECCENTRIC, diameter=10.0),)),
            "no wall left beside a pin of 8 mm",
        ),
        (lambda: dataclasses.replace(PLAIN, adjuster=(dataclasses.replace(PAD, stop="up"),)), "there is no stop 'up'"),
        (lambda: dataclasses.replace(PLAIN, adjuster=(dataclasses.replace(PAD, stop="level"),)), "rests on no body"),
    ],
)
def test_adjusters_that_contradict_themselves_are_refused(make, says):
    with pytest.raises(InvalidInput, match=says):
        make()
