"""Closest approaches of the demo gate and tail panel, every body and leg, against figures from independent sweeps."""

from __future__ import annotations

import csv
from pathlib import Path

import foldswing as fs
import numpy as np
import pytest
import shapely
from foldswing import plane
from foldswing.clearance import closest_approaches, minimum_gap
from foldswing.hinge import PivotHinge
from foldswing.motion import Tabulated
from gap_cases import box, case
from gap_oracle import Turn, polygon, union

FIGURES = Path(__file__).parents[1] / "reference" / "counter_gate_clearances.csv"
PIVOT = np.array([-10.0, -18.0])
SAGITTA = 2e-4
RAIL = plane.Path([(136.0, -150.0), (104.0, -150.0)], [180.0, 180.0], closed=True).outline(SAGITTA)
BODIES = {"nose": fs.Outline(box(-600, -40, -31, 0)), "sill": fs.Outline(box(-60, -200, 0, -40)), "rail": RAIL}
STOPS = [("shut", 0.0), ("level", 90.0 / 125.0), ("lean", 1.0)]


def gate(inner: float, outer: float) -> fs.Outline:
    square = fs.Outline(box(-28, -36, 0, 324))
    if inner == outer == 0.0:
        return square
    return plane.round_corners(square, [inner, outer, 0.0, 0.0]).outline(SAGITTA)


def radii(case_name: str) -> list[float]:
    return [0.0 if word == "square" else float(word) for word in case_name.split("/")]


def figures() -> list[dict[str, str]]:
    with FIGURES.open() as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("figure", figures(), ids=lambda f: f"{f['case']} {f['body']} {f['leg']}")
def test_the_demo_gate_gives_its_check_values(figure):
    panel = gate(*radii(figure["case"]))
    rows = closest_approaches(panel, {figure["body"]: BODIES[figure["body"]]}, PivotHinge(PIVOT, 0, -125), STOPS)
    row = next(r for r in rows if r.leg == figure["leg"])
    if figure["overlap_mm"]:
        assert row.gap == 0.0
        assert row.depth == pytest.approx(float(figure["overlap_mm"]), abs=0.005)
        assert -row.deepest_turn_deg == pytest.approx(float(figure["turn_deg"]), abs=0.05)
        assert -row.turn_deg < float(figure["turn_deg"])  # it strikes before it is deepest
    else:
        assert row.depth == 0.0
        assert row.gap == pytest.approx(float(figure["gap_mm"]), abs=0.005 + SAGITTA)
        # A rounded corner stands equally near over many degrees: the first of those is reported.
        digits = len(figure["turn_deg"].partition(".")[2])
        at_figure = PivotHinge(PIVOT, 0, -float(figure["turn_deg"] or 45.0)).poses(1.0)
        there = polygon(panel.moved(at_figure)).distance(polygon(BODIES[figure["body"]]))
        if figure["turn_deg"] and figure["body"] != "nose":
            assert -row.turn_deg == pytest.approx(float(figure["turn_deg"]), abs=0.5 * 10**-digits + 0.05)
        if figure["turn_deg"]:
            assert there == pytest.approx(row.gap, abs=2 * SAGITTA + 1e-5)


def test_the_trap_on_the_second_leg_is_found_at_its_turn(show):
    rows = closest_approaches(gate(12.0, 0.0), BODIES, PivotHinge(PIVOT, 0, -125), STOPS)
    assert [(r.body, r.leg) for r in rows[:2]] == [("nose", "shut to level"), ("nose", "level to lean")]
    assert rows[1].gap == pytest.approx(0.41, abs=0.005)
    assert -rows[1].turn_deg == pytest.approx(119.05, abs=0.005)
    assert rows[1].gap < rows[0].gap
    show(
        "demo gate, trap",
        f"{rows[1].gap:.3f} mm to the nose at {-rows[1].turn_deg:.2f} degrees, on the leg {rows[1].leg}",
    )


def test_swung_on_past_lean_the_rail_stops_the_gate_and_the_sill_would():
    hinge = PivotHinge(PIVOT, 0, -140)
    assert -minimum_gap(gate(12, 6), RAIL, hinge).turn_deg == pytest.approx(127.4, abs=0.05)
    assert -minimum_gap(gate(12, 6), BODIES["sill"], hinge).turn_deg == pytest.approx(131.1, abs=0.05)


def test_the_tail_panel_gives_its_check_values():
    """Skin at y = 0, inside above it; hinged at the front edge, the rear edge swings down. Invented demo data."""
    ret = fs.Outline(box(-4.7, 0, -3.5, 12))
    hinge = PivotHinge((16, 10), 0, -102)
    square = fs.Outline(box(0, 0, 178, 14))
    found = minimum_gap(square, ret, hinge)
    assert found.gap == pytest.approx(0.63, abs=0.005)
    assert -found.turn_deg == pytest.approx(32.0, abs=0.05)
    bent = plane.round_corners(square, [2.4, 2.4, 0, 0]).outline(SAGITTA)
    row = closest_approaches(bent, ret, hinge)[0]
    assert (row.body, row.leg) == ("body 1", "start to end")
    assert row.gap == pytest.approx(1.52, abs=0.005)
    assert row.lower_bound == row.gap
    at_figure = polygon(bent.moved(PivotHinge((16, 10), 0, -29.2).poses(1.0)))
    assert at_figure.distance(polygon(ret)) == pytest.approx(row.gap, abs=2 * SAGITTA)


def test_legs_together_are_no_nearer_than_the_whole(size):
    for i in range(size(20, 200)):
        panel, fixed, pivot, start, end = case("apart", 3000 + i)
        hinge = PivotHinge(pivot, start, end)
        whole = minimum_gap(panel, fixed, hinge)
        rows = closest_approaches(panel, fixed, hinge, [("a", 0), ("b", 0.3), ("c", 0.55), ("d", 1)])
        assert min(r.gap for r in rows) == pytest.approx(whole.gap, abs=1e-9)
        motion = Turn(panel, pivot, start, end)
        for r, (s0, s1) in zip(rows, [(0, 0.3), (0.3, 0.55), (0.55, 1)], strict=True):
            assert s0 <= r.at <= s1
            assert motion.at(r.at).distance(union(fixed)) == pytest.approx(r.gap, abs=1e-9)


def test_the_depth_is_that_of_the_deepest_corner_seen_by_a_fine_sweep(size):
    checked = 0
    for i in range(size(12, 100)):
        panel, fixed, pivot, start, end = case("crossing", 4000 + i)
        row = closest_approaches(panel, {"body": fixed}, PivotHinge(pivot, start, end))[0]
        motion, body = Turn(panel, pivot, start, end), union(fixed)
        deepest = 0.0
        for s in [*np.linspace(0, 1, 301), *([row.deepest_at] if row.depth else [])]:
            moved = motion.at(s)
            for a, b in ((moved, body), (body, moved)):
                for corner in shapely.points(a.exterior.coords):
                    if b.contains(corner):
                        deepest = max(deepest, b.exterior.distance(corner))
        assert row.depth >= deepest - 1e-3
        if row.depth:
            checked += 1
            assert row.depth == pytest.approx(deepest, abs=1e-3)
    assert checked > 5


def test_a_tabulated_swing_gives_the_same_rows():
    panel = gate(0, 0).moved(fs.Pose(*-PIVOT, 0))
    bodies = {name: o.moved(fs.Pose(*-PIVOT, 0)) for name, o in BODIES.items()}
    exact = closest_approaches(panel, bodies, PivotHinge((0, 0), 0, -125), STOPS)
    found = closest_approaches(panel, bodies, Tabulated([0, 1], fs.Pose([0, 0], [0, 0], [0, -125])), STOPS)
    for a, b in zip(exact, found, strict=True):
        assert (a.body, a.leg) == (b.body, b.leg)
        assert b.lower_bound - 1e-9 <= a.gap <= b.gap + 1e-9
        assert b.gap - b.lower_bound <= 0.01
        assert b.depth == pytest.approx(a.depth, abs=1e-6)


PANEL = fs.Outline(box(0, 0, 50, 10))
BODY = fs.Outline(box(60, 0, 80, 10))
HINGE = PivotHinge((0, 0), 0, 90)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"panel": []}, "panel"),
        ({"fixed": {}}, "fixed"),
        ({"fixed": {"post": []}}, "fixed"),
        ({"fixed": {"post": None}}, r"fixed\['post'\]"),
        ({"fixed": {3: BODY}}, "fixed"),
        ({"motion": None}, "motion"),
        ({"motion": PivotHinge((0, 0), 0, [30.0, 60.0])}, "one motion"),
        ({"stops": []}, "at least two stops"),
        ({"stops": [("shut", 0)]}, "at least two stops"),
        ({"stops": [("shut", 0), ("open", 2)]}, r"stops\[1\]"),
        ({"stops": [("shut", 0), ("open", float("nan"))]}, r"stops\[1\]"),
        ({"stops": [("shut", 0.5), ("open", 0.5)]}, r"stops\[1\]"),
        ({"stops": [("", 0), ("open", 1)]}, r"stops\[0\]"),
        ({"stops": [(0, "shut"), (1, "open")]}, "stops"),
        ({"stops": "shut"}, "stops"),
        ({"stops": [("shut", 0, 1), ("open", 1)]}, "stops"),
        ({"tolerance": 0}, "tolerance"),
    ],
)
def test_bad_input_is_refused_by_name(change, word):
    given = {"panel": PANEL, "fixed": {"post": BODY}, "motion": HINGE, "stops": [("shut", 0), ("open", 1)]} | change
    with pytest.raises(fs.InvalidInput, match=word):
        closest_approaches(**given)
