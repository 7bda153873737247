"""Pins, ears, bought hinges and end stacks of a gate: what is left round the holes, what fits, what is said."""

from __future__ import annotations

import dataclasses

import foldswing.job as jobs
import numpy as np
import pytest
import shapely
from foldswing import evaluation, gate
from foldswing.evaluation import gate_section, hardware
from foldswing.evaluation.findings import SAGITTA
from foldswing.job import BoughtHinge, InvalidInput, Layer

JOB = jobs.read(jobs.shipped()["lantern_nine"])
GATE = JOB.gate[0]


def worked_out(**hinge):
    wanted = dataclasses.replace(GATE, hinge=dataclasses.replace(GATE.hinge, **hinge))
    return wanted, evaluation.evaluate_gate(wanted, JOB, likely_errors=False)


def said(result):
    return " / ".join(f"{f.what}: {f.number}" for f in result.findings)


def test_metal_round_the_demo_gates_bush_is_what_the_scenario_says():
    left = dict(evaluation.evaluate_gate(GATE, JOB).hardware.metal)
    assert left == pytest.approx({"inner face": 12.0, "outer face": 4.0, "lower edge": 12.0}, abs=1e-9)


def test_an_ear_gives_the_hole_its_metal_and_joins_the_section_that_swings():
    plain = evaluation.evaluate_gate(GATE, JOB)
    assert "Little metal between hole and outer face" in said(plain)
    wanted, eared = worked_out(ear_radius=14.0)
    assert "Little metal" not in said(eared)
    assert dict(eared.hardware.metal)["outer face"] == pytest.approx(8.0, abs=1e-9)
    section = hardware.with_ear(gate.panel(eared.sizes), eared.holes.gate, 14.0).outline(SAGITTA)
    disc = shapely.Point(*eared.holes.gate).buffer(14.0, quad_segs=200)
    both = shapely.union(shapely.Polygon(gate.panel(eared.sizes).outline(SAGITTA).points), disc)
    assert shapely.Polygon(section.points).symmetric_difference(both).area < 0.05
    # it stands 4 mm out of the outer face and so nearer to the sill's edge than the gate itself
    bodies = gate_section.surroundings(wanted, eared.sizes)
    sill = shapely.Polygon(bodies["sill"].outline(SAGITTA).points)
    close = min(a.bare for a in eared.closest if a.body == "sill")
    assert close <= sill.distance(shapely.Point(*eared.holes.gate)) - 14.0 + 1e-6
    assert close <= min(a.bare for a in plain.closest if a.body == "sill") + 1e-9
    # likely errors are reckoned with the ear on
    reckoned = evaluation.evaluate_gate(wanted, JOB)
    row = min((a for a in reckoned.closest if a.body == "sill"), key=lambda a: a.bare)
    assert row.apart.as_drawn == pytest.approx(row.painted, abs=2e-4)


@pytest.mark.parametrize(
    ("hinge", "pin"),
    [
        ({"screwed_to": "outer face", "pin_to_face": 6, "pin_to_edge": 0}, (6.0, -36.0)),
        ({"screwed_to": "outer face", "pin_to_face": 6, "pin_to_edge": 4, "pin_is": "below it"}, (6.0, -40.0)),
        ({"screwed_to": "inner face", "pin_to_face": 5, "pin_to_edge": 7}, (-33.0, -29.0)),
        ({"screwed_to": "inner face", "pin_to_face": 5, "pin_lies": "in the gate", "pin_to_edge": 7}, (-23.0, -29.0)),
    ],
)
def test_the_pin_of_a_bought_hinge_stands_where_its_two_sizes_put_it(hinge, pin):
    bought = BoughtHinge(barrel_diameter=9, leaf_thickness=2, **hinge)
    wanted, result = worked_out(bought=bought, bush_diameter=None)
    assert result.pivot_status == "given"
    np.testing.assert_allclose(result.pivot, pin, atol=1e-12)
    assert hardware.bought_pivot(GATE, result.sizes) is None
    assert wanted.hinge.bought == bought


def test_a_barrel_that_stands_in_the_nose_stops_the_work():
    near = BoughtHinge(barrel_diameter=12, leaf_thickness=2, screwed_to="inner face", pin_to_face=0, pin_to_edge=18)
    _, result = worked_out(bought=near, bush_diameter=None)
    stop = next(f for f in result.findings if f.what == "The hinge's barrel stands in the worktop nose")
    assert stop.number.startswith("by 3.0 mm")  # 6 from the axis, 3 of it free
    assert stop.stops_work


def test_a_leaf_thicker_than_the_gap_is_said_unless_it_is_let_in():
    thick = {"barrel_diameter": 12, "leaf_thickness": 5, "screwed_to": "outer face", "pin_to_face": 6, "pin_to_edge": 0}
    _, result = worked_out(bought=BoughtHinge(**thick), bush_diameter=None)
    assert "The hinge's leaf is thicker than the gap at the sill: leaf 5.0 mm, gap 4.0 mm" in said(result)
    _, result = worked_out(bought=BoughtHinge(**thick, let_in=True), bush_diameter=None)
    assert "leaf" not in said(result)


def test_a_large_ear_that_fouls_is_told_with_its_gap_and_its_relief():
    _, result = worked_out(ear_radius=20.0)
    nose = [a for a in result.closest if a.body == "worktop nose"]
    assert min(a.bare for a in nose) < 1.5  # 21 from the pivot to the nose's face
    assert "worktop nose" in [r.body for r in result.reliefs]
    assert "is not drawn" not in said(result)


@pytest.mark.parametrize(("extra", "what"), [(1.0, "binds"), (-1.0, "rattles")])
def test_an_end_stack_that_does_not_add_up_as_the_gate_hangs_is_said(extra, what):
    layers = (Layer(name="washer", thickness=1.0), Layer(name="strap", thickness=4.0 + extra))
    gaps = dataclasses.replace(GATE.gaps, ends=None)
    wanted = dataclasses.replace(GATE, end_stack=layers, gaps=gaps)
    result = evaluation.evaluate_gate(wanted, JOB)
    finding = next(f for f in result.findings if f.what == "What fills the end gap does not add up")
    assert what in finding.feel
    assert finding.number == f"{5.0 + extra:.1f} mm of parts in a gap of 5.0 mm"
    assert finding.stops_work == (extra > 0)


def test_an_end_stack_fills_a_gap_that_is_wanted_painted():
    layers = (Layer(name="washer", thickness=1.0), Layer(name="strap", thickness=4.0))
    gaps = dataclasses.replace(GATE.gaps, are="painted")
    panel = dataclasses.replace(GATE.panel, width=None)
    result = evaluation.evaluate_gate(
        dataclasses.replace(GATE, end_stack=layers, gaps=gaps, panel=panel), JOB, likely_errors=False
    )
    assert result.hardware.stack[-1] == ("paint, gate and jamb", 2 * JOB.paint.per_face)
    assert result.hardware.stack_total == pytest.approx(result.hardware.end_gap, abs=1e-9)
    assert "does not add up" not in said(result)


def test_how_the_pin_goes_in_is_said_or_asked_for():
    _, silent = worked_out(pin_goes_in=None)
    assert "How the pin goes in is not said" in said(silent)
    _, told = worked_out(pin_goes_in="jamb comes off")
    assert "bolt the other jamb" in told.hardware.pin
    assert "How the pin goes in" not in said(told)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"ear_radius": 5.0}, "ear_radius"),
        ({"ear_radius": -1.0}, "ear_radius"),
        ({"ear_radius": float("nan")}, "ear_radius"),
        ({"pin_goes_in": "somehow"}, "pin_goes_in"),
        ({"pin_material": ""}, "pin_material"),
        ({"bought": "hinge"}, "bought"),
    ],
)
def test_a_hinge_that_cannot_be_is_refused_by_name(change, word):
    with pytest.raises(InvalidInput, match=word):
        dataclasses.replace(GATE.hinge, **change)


@pytest.mark.parametrize(
    "change",
    [
        {"barrel_diameter": 0},
        {"leaf_thickness": 9},
        {"screwed_to": "edge"},
        {"pin_to_face": float("inf")},
        {"pin_to_edge": -1},
        {"pin_is": "beside it"},
        {"let_in": "yes"},
    ],
)
def test_a_bought_hinge_that_cannot_be_is_refused_by_name(change):
    fine = {"barrel_diameter": 9, "leaf_thickness": 2, "screwed_to": "inner face", "pin_to_face": 5, "pin_to_edge": 7}
    with pytest.raises(InvalidInput, match=next(iter(change))):
        BoughtHinge(**{**fine, **change})
