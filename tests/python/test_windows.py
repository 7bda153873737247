"""Where a gate's hole may lie: the window in a job, on the sheet and on the drilling template."""

from __future__ import annotations

import dataclasses
import json
from functools import cache

import foldswing.job as jobs
import numpy as np
import pytest
from foldswing import clearance, drawing, evaluation, gate, hinge, output, pictures, plane
from foldswing.evaluation.brackets import METAL
from foldswing.evaluation.gate_section import surroundings
from foldswing.job import BoughtHinge
from foldswing.report.windows import window_blocks
from foldswing.report.words import Words

JOB = jobs.read(jobs.shipped()["lantern_nine"])
GATE = dataclasses.replace(JOB.gate[0], station=())


@cache
def made(**changes):
    """Return the demo's gate, in one section, and what it comes to; changes by table: pairs of key and value."""
    of_gate = [name for name in changes if name != "level"]
    tables = {name: dataclasses.replace(getattr(GATE, name), **dict(changes[name])) for name in of_gate}
    level = dataclasses.replace(GATE.stop[0], **dict(changes.get("level", ())))
    wanted = dataclasses.replace(GATE, stop=(level, *GATE.stop[1:]), **tables)
    return wanted, evaluation.evaluate_gate(wanted, JOB, likely_errors=False)


def gaps(wanted, done, pivot):
    section = gate.panel(done.sizes).outline(0.0005)
    turn = hinge.PivotHinge(pivot, 0.0, -done.stops[-1].opening_deg)
    around = {k: v for k, v in surroundings(wanted, done.sizes).items() if k != "guard rail"}
    return min(clearance.minimum_gap(section, body.outline(0.0005), turn).gap for body in around.values())


def test_the_best_place_forgives_what_it_says(show):
    wanted, done = made()
    found = done.window
    assert found.status == "window"
    assert found.clear
    assert found.forgiveness == pytest.approx(0.31, abs=0.03)
    level = wanted.stop[0]
    asked = [gate.face_landing(done.sizes, 90, 0, tolerance=level.within),
             gate.nose_gap_landing(done.sizes, 90, 3, tolerance=level.within)]  # fmt: skip
    least = np.inf
    for angle in np.linspace(0, 2 * np.pi, 9):
        pivot = found.best + 0.999 * found.forgiveness * np.array([np.cos(angle), np.sin(angle)])
        assert all(abs(landing.miss(pivot)) <= landing.tolerance for landing in asked)
        least = min(least, gaps(wanted, done, pivot))
    assert least >= wanted.gaps.moving
    assert gaps(wanted, done, found.best - np.array([2.0 * found.forgiveness, 0.0])) < wanted.gaps.moving
    show(
        "window of the demo's gate",
        f"best place forgives {found.forgiveness:.2f} mm, keeps {least:.2f} mm all round it",
    )


def test_metal_is_left_round_the_bush_everywhere():
    # A bush so large and stops so lax that metal alone bounds the window across.
    wanted, done = made(level=(("within", 30.0),), hinge=(("bush_diameter", 22.0),), gaps=(("moving", 0.05),))
    found = done.window
    section = gate.panel(done.sizes).outline(0.001)
    corners = np.concatenate([o.points for o in found.outlines])
    least = plane.room(section, corners).min() - 0.5 * wanted.hinge.bush_diameter
    assert least == pytest.approx(METAL, abs=0.02)
    assert any("less than 2 mm of metal" in what for _, what in found.binding)


def test_each_side_says_what_goes_wrong():
    _, done = made()
    words = " ".join(f"{side}: {what}" for side, what in done.window.binding)
    assert "on its upper outer side: the inner face would stand proud at 'level' by more than 1 mm" in words
    assert "on its lower outer side: the gap to the nose would be wide at 'level' by more than 1 mm" in words
    assert "pass the worktop nose by less than wanted, 2.0 mm" in words
    assert len(done.window.sides) == len(done.window.binding)


def test_where_no_place_keeps_the_gap_the_stops_alone_are_told():
    _, done = made(panel=(("lower_inner_corner_radius", 0.0), ("lower_outer_corner_radius", 0.0)))
    found = done.window
    assert not found.clear
    assert found.status == "window"
    assert "nowhere in it would 2.0 mm be kept on the way" in found.explanation
    assert all("on the way" not in what for _, what in found.binding)


def test_an_exact_stop_forgives_nothing():
    wanted, done = made(level=(("within", 0.0),))
    assert done.window.status in {"point", "line"}
    assert done.window.forgiveness == 0.0
    assert "nothing: a stop allows nothing" in repr(window_blocks(wanted, done, JOB, Words(JOB)))


def test_a_bought_hinge_is_looked_at_round_its_pin():
    bought = BoughtHinge(
        barrel_diameter=10.0, leaf_thickness=2.0, screwed_to="inner face", pin_to_face=10.0, pin_lies="in the gate",
        pin_to_edge=10.0,
    )  # fmt: skip
    wanted, done = made(hinge=(("bought", bought), ("bush_diameter", None)))
    found = done.window
    assert found.status in {"window", "none"}
    if found.outlines:
        corners = np.concatenate([o.points for o in found.outlines])
        assert np.abs(corners - done.holes.jamb).max() <= 10.0 + 1e-9
    assert window_blocks(wanted, done, JOB, Words(JOB))


def test_an_ear_needs_no_metal_of_the_gate_beside_the_hole():
    wanted, done = made(hinge=(("ear_radius", 14.0),), level=(("within", 30.0),), gaps=(("moving", 0.05),))
    corners = np.concatenate([o.points for o in done.window.outlines])
    section = gate.panel(done.sizes).outline(0.001)
    assert plane.room(section, corners).min() >= -0.01
    assert done.window.metal == 0.0
    assert "ear" in repr(window_blocks(wanted, done, JOB, Words(JOB)))


def test_a_gate_too_thin_for_its_bush_has_nowhere():
    wanted, done = made(hinge=(("bush_diameter", 25.0),))
    assert done.window.status == "none"
    assert "too thin" in done.window.explanation
    assert len(window_blocks(wanted, done, JOB, Words(JOB))) == 2


def test_sheet_and_template_carry_it():
    wanted, done = made()
    text = repr(window_blocks(wanted, done, JOB, Words(JOB)))
    for said in ("mm outward", "Where the hole may lie", "drilled through together count as one hole"):
        assert said in text
    # Both are seen from outside the gate's end, or from within the opening: as drawn, or in the mirror.
    for template, hand, way in (
        (pictures.gate_end, "left", 1.0),
        (pictures.gate_end, "right", -1.0),
        (pictures.gate_jamb, "left", -1.0),
        (pictures.gate_jamb, "right", 1.0),
    ):
        draft = template(wanted, done, JOB, hand)
        fine = [e.path for e in draft.entities if isinstance(e, drawing.Stroke) and e.layer == "dimension"]
        (ring,) = [path for path in fine if path.closed and np.isfinite(path.radii).all()]
        assert np.allclose(ring.centres[0] * (way, 1.0), done.window.best, atol=1e-9)
        assert ring.radii[0] == pytest.approx(done.window.forgiveness)
        assert "Small outline:" in " ".join(e.text for e in draft.entities if isinstance(e, drawing.Text))
    picture = pictures.gate_window(wanted, done, JOB)
    words = [e for e in picture.entities if isinstance(e, drawing.Text)]
    assert {e.text for e in words} >= {"best", "1", "5"}
    boxes = [np.array(e.bounds) for e in words]
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            assert min(np.minimum(a[2:], b[2:]) - np.maximum(a[:2], b[:2])) <= 0.0
    assert pictures.window_enlarged(done.window) == 50.0


def test_each_end_of_a_tilted_axis_has_its_own():
    ends = (
        jobs.Station(name="left jamb", from_left=0.0, worktop_down=1.0),
        jobs.Station(name="right jamb", from_left=GATE.opening.width_bottom, worktop_up=2.0, nose_outward=1.0),
    )
    wanted = dataclasses.replace(GATE, station=ends)
    done = evaluation.evaluate_gate(wanted, JOB, likely_errors=False)
    assert done.axis is not None
    for hand, end in (("left", done.axis.left), ("right", done.axis.right)):
        found = done.window_at(hand)
        assert found.status == "window"
        asks = [gate.face_landing(end.sizes, 90, 0, tolerance=GATE.stop[0].within),
                gate.nose_gap_landing(end.sizes, 90, 3, tolerance=GATE.stop[0].within)]  # fmt: skip
        assert all(abs(a.miss(found.best)) < a.tolerance for a in asks)
        assert plane.room(found.outlines, end.holes.jamb) == pytest.approx(found.as_marked)
    assert np.hypot(*(done.right_window.best - done.window.best)) > 0.5
    heads = [b.text for b in window_blocks(wanted, done, JOB, Words(JOB)) if hasattr(b, "text")]
    assert [f"Where the hole may lie, {hand} end" in heads for hand in ("left", "right")] == [True, True]


def test_results_json_has_the_window():
    wanted, done = made()
    results = evaluation.Results(JOB.title, "", (done,), (), (), ())
    found = json.loads(output.results_json(results, b"", "job.toml"))["gates"][0]["window"]
    assert found["forgiveness"] == done.window.forgiveness
    assert len(found["outlines"]) == 1
    assert wanted.name == "counter gate"
