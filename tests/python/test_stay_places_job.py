"""Stay pins that a job leaves to be chosen: places, limits and a wish; the pair chosen, sheet, templates, results."""

from __future__ import annotations

import dataclasses
import json
import math
from functools import cache

import numpy as np
import pytest
from foldswing import InvalidInput, drawing, evaluation, gate, job, output, pictures, stay
from foldswing.evaluation.stays import evaluate_stays
from foldswing.job import GatePlace, GatePlaceCorner, JambPlace, JambPlaceCorner, Stay
from foldswing.report.first_page import gate_page
from foldswing.report.stays import stay_blocks
from foldswing.report.words import Words

DEMO = job.read(job.shipped()["lantern_nine"])
GATE = dataclasses.replace(DEMO.gate[0], station=())
JAMB = JambPlace(inward=35, inward_to=55, above_worktop=150, above_worktop_to=300)
FACE = GatePlace(above_lower_edge=200, above_lower_edge_to=280, from_inner_face=8, from_inner_face_to=20)
CHOSEN = Stay(kind="strap", jamb_place=(JAMB,), gate_place=(FACE,), most_pull=30, least_spacing=60)
LEANS = dataclasses.replace(GATE.panel, leans="outward", lean=6.0)


def work_out(made, panel=GATE.panel):
    wanted = dataclasses.replace(GATE, stay=made, panel=panel)
    return wanted, evaluation.evaluate_gate(wanted, DEMO, likely_errors=False)


@cache
def hung(panel):
    """Return a gate and what it comes to, to try stays on."""
    return work_out(GATE.stay, panel)


def stays(made, panel=GATE.panel):
    """Return what stays come to on the gate as it hangs."""
    wanted, done = hung(panel)
    stops = [(s.name, s.opening_deg) for s in done.stops]
    return evaluate_stays(dataclasses.replace(wanted, stay=made), done.sizes, done.holes, stops, {})[0]


def as_given(made, pins):
    """Return the same stay with its pins as chosen, but given."""
    return dataclasses.replace(
        made,
        jamb_place=(),
        gate_place=(),
        wish=None,
        most_pull=None,
        least_spacing=None,
        place_step=None,
        jamb_pin_inward=pins.jamb_inward,
        jamb_pin_above_worktop=pins.jamb_above_worktop,
        gate_pin_above_pivot=pins.gate_above_pivot,
        gate_pin_from_inner_face=pins.gate_from_inner_face,
    )


@pytest.fixture(scope="module")
def made():
    return work_out(CHOSEN)


COARSE = dataclasses.replace(CHOSEN, most_pull=None, least_spacing=None, place_step=50.0)


@cache
def every_pair(panel):
    """Return what each of the eight coarse pairs of places comes to, each worked out as pins that were given."""
    free = stays(COARSE, panel)
    pivot_up = free.pins.gate_above_lower_edge - free.pins.gate_above_pivot
    out = []
    for above in (150, 200, 250, 300):
        for edge in (200, 250):
            pins = dataclasses.replace(
                free.pins,
                jamb_inward=35,
                jamb_above_worktop=above,
                gate_above_pivot=edge - pivot_up,
                gate_from_inner_face=8,
            )
            given = stays(as_given(COARSE, pins), panel)
            if all(s.state == "holds" for s in given.stops):
                out.append((given.pins, above, edge))
    return out


@pytest.mark.parametrize("panel", [GATE.panel, LEANS], ids=["upright", "leaning"])
@pytest.mark.parametrize("wish", job.stays.WISHES)
def test_no_other_pair_of_places_is_better(wish, panel):
    choice = stays(dataclasses.replace(COARSE, wish=wish), panel).choice
    measure = {"least pull": "pull", "least movement": "edge_per_mm", "shortest": "longest", "least slack": "slack"}[
        wish
    ]
    least, above, edge = min((getattr(pins, measure), above, edge) for pins, above, edge in every_pair(panel))
    assert (choice.tried, choice.will_do) == (8, len(every_pair(panel)))
    assert getattr(choice.best, measure) == pytest.approx(least, rel=1e-9)
    assert (choice.best.jamb_above_worktop, choice.best.gate_above_lower_edge) == (above, edge)


@pytest.mark.parametrize(
    ("limit", "measure", "ruled_out", "unit"),
    [
        ("most_pull", "pull", "pull", stay.GRAVITY),
        ("most_edge_per_mm", "edge_per_mm", "movement", 1.0),
        ("longest", "longest", "length", 1.0),
        ("least_spacing", "spacing", "spacing", 1.0),
    ],
)
def test_a_limit_rules_out_what_is_beyond_it(limit, measure, ruled_out, unit):
    each = [getattr(pins, measure) for pins, _, _ in every_pair(GATE.panel)]
    middle = float(np.median(each))
    choice = stays(dataclasses.replace(COARSE, **{limit: middle / unit})).choice
    out = sum(v < middle if limit == "least_spacing" else v > middle for v in each)
    assert 0 < out < len(each)
    assert (ruled_out, out, pytest.approx(middle)) in [tuple(row) for row in choice.ruled_out]
    assert choice.will_do == len(each) - out


def test_everything_follows_from_the_chosen_pair_as_if_it_had_been_given(made):
    _, done = made
    _, given = work_out(as_given(CHOSEN, done.stays.pins))
    assert given.stays.choice is None
    for a, b in zip(done.stays.stops, given.stays.stops, strict=True):
        for name in ("length", "lever_arm", "edge_per_mm", "pull_each", "slack_shut", "taut_opening_deg"):
            assert getattr(a, name) == pytest.approx(getattr(b, name), rel=1e-9), name
    assert done.verdict == "go"
    assert done.findings == given.findings


def test_the_choice_says_how_many_were_tried_and_what_ruled_the_others_out(made):
    _, done = made
    choice = done.stays.choice
    assert choice.tried == 3 * 16 * 2 * 9
    assert choice.will_do + sum(n for _, n, _ in choice.ruled_out) == choice.tried
    assert choice.best.pull <= choice.next_best.pull
    assert ("pull", 30 * stay.GRAVITY) in [(what, limit) for what, _, limit in choice.ruled_out]


def test_places_on_a_leaning_gate_lie_along_its_face():
    _, done = hung(LEANS)
    pins = stays(dataclasses.replace(CHOSEN, most_pull=None, least_spacing=None), LEANS).pins
    at = gate.stay_pin(
        done.sizes, done.holes, above_pivot=pins.gate_above_pivot, from_inner_face=pins.gate_from_inner_face
    )
    lower_inner, _, _, upper_inner = gate.corners(done.sizes)
    along = (upper_inner - lower_inner) / np.hypot(*(upper_inner - lower_inner))
    assert (at - lower_inner) @ along == pytest.approx(pins.gate_above_lower_edge, abs=1e-9)
    assert pins.gate_above_lower_edge in {200 + 10 * k for k in range(9)}


def test_holes_of_a_bracket_and_outlines_are_places_too():
    holes = tuple(JambPlace(inward=40, above_worktop=h) for h in (200, 250, 250))
    corners = [(200, 8), (260, 8), (200, 20)]
    outline = GatePlace(corner=tuple(GatePlaceCorner(above_lower_edge=a, from_inner_face=f) for a, f in corners))
    bracket = dataclasses.replace(CHOSEN, jamb_place=holes, gate_place=(outline,), place_step=6.0, most_pull=None)
    found = stays(bracket)
    choice = found.choice
    inside = [(f, a) for f in (8, 14, 20) for a in range(200, 261, 6) if (f - 8) / 12 + (a - 200) / 60 <= 1]
    assert choice.tried == 2 * len(inside)
    assert found.pins.jamb_above_worktop == 250
    mixed = dataclasses.replace(
        as_given(CHOSEN, found.pins),
        gate_pin_above_pivot=None,
        gate_pin_from_inner_face=None,
        gate_place=(outline,),
        place_step=6.0,
    )
    assert stays(mixed).choice.tried == len(inside)


def test_where_nothing_will_do_the_rest_of_the_gate_comes_out_all_the_same():
    wanted, done = work_out(dataclasses.replace(CHOSEN, most_pull=10))
    (said,) = [f for f in done.findings if "stay's pins" in f.what]
    assert "would pull more than 98 N" in said.number
    assert "'level'" in said.feel
    assert said.stops_work
    assert done.verdict == "change this first"
    assert done.closest
    assert done.stays.pins is None
    assert done.stays.choice.without_limits.pull > 10 * stay.GRAVITY
    text = repr(stay_blocks(done, Words(DEMO)))
    assert "Best without limits" in text
    assert "nan" not in text
    of = dataclasses.replace(DEMO, gate=(wanted,), flip_panel=(), pan=(), crown=())
    results = evaluation.Results(of.title, "", (done,), (), (), ())
    assert "counter-gate-end-left" in pictures.templates(of, results)
    never = dataclasses.replace(CHOSEN, jamb_place=(JambPlace(inward=300, above_worktop=0),))
    slack = stays(never)
    assert slack.choice.without_limits is None
    assert "go slack at a stop, or come taut on the way to it" in repr(
        stay_blocks(dataclasses.replace(done, stays=slack), Words(DEMO))
    )


def test_sheet_first_page_templates_and_results_carry_the_chosen_pins(made):
    wanted, done = made
    of = dataclasses.replace(DEMO, gate=(wanted,), flip_panel=(), pan=(), crown=())
    words = Words(of)
    pins = done.stays.pins
    sheet = repr(stay_blocks(done, words))
    for said in (
        "The pins are chosen",
        f"{done.stays.choice.will_do} of 864 pairs",
        "Next best",
        "would pull more than",
    ):
        assert said in sheet, said
    page = repr(gate_page(wanted, done, of, words))
    assert f"{pins.jamb_inward:.1f} mm inward, {pins.jamb_above_worktop:.1f} mm up" in page
    drawn = pictures.gate_end(wanted, done, of, "right")
    at = gate.stay_pin(
        done.sizes, done.holes, above_pivot=pins.gate_above_pivot, from_inner_face=pins.gate_from_inner_face
    )
    crosses = [e.centre for e in drawn.entities if isinstance(e, drawing.CentreMark)]
    assert any(np.allclose(c, at * (-1, 1), atol=1e-9) for c in crosses)
    assert "stay's pin" in [e.text for e in drawn.entities if isinstance(e, drawing.Text)]
    results = evaluation.Results(of.title, "", (done,), (), (), ())
    jamb = pictures.templates(of, results)["counter-gate-jamb-left"]
    assert f"Stay's pin: {pins.jamb_above_worktop:.1f} mm above the" in " ".join(
        e.text for e in jamb.entities if isinstance(e, drawing.Text)
    )
    found = json.loads(output.results_json(results, b"", "job.toml"))["gates"][0]["stays"]
    assert found["choice"]["tried"] == 864
    assert math.isclose(found["pins"]["gate_above_pivot"], pins.gate_above_pivot)


def test_given_pins_are_on_sheet_and_template_too():
    wanted, done = work_out(GATE.stay)
    assert done.stays.choice is None
    assert done.stays.pins.gate_above_lower_edge == pytest.approx(268)
    assert "268.0 mm up from the lower edge" in repr(stay_blocks(done, Words(DEMO)))
    drawn = pictures.gate_end(wanted, done, DEMO, "left")
    assert "stay's pin" in [e.text for e in drawn.entities if isinstance(e, drawing.Text)]


def test_too_many_places_are_refused_by_the_step():
    with pytest.raises(InvalidInput, match=r"place_step, 0\.5 mm, makes .* places on the jamb"):
        stays(dataclasses.replace(CHOSEN, place_step=0.5))
    crossed = tuple(JambPlaceCorner(inward=i, above_worktop=a) for i, a in ((0, 0), (50, 50), (50, 0), (0, 50)))
    with pytest.raises(InvalidInput, match=r"jamb_place\[1\]\.corner"):
        stays(dataclasses.replace(CHOSEN, jamb_place=(JambPlace(corner=crossed),)))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Stay(kind="strap", jamb_place=(JAMB,)), "gate_pin_above_pivot.*is missing"),
        (lambda: Stay(kind="strap"), "jamb_pin_inward.*is missing"),
        (lambda: dataclasses.replace(GATE.stay, jamb_place=(JAMB,)), "jamb_place.*is for a pin that is chosen"),
        (lambda: dataclasses.replace(GATE.stay, wish="shortest"), "wish.*is for pins that are chosen"),
        (lambda: dataclasses.replace(GATE.stay, longest=500), "longest.*is for pins that are chosen"),
        (lambda: dataclasses.replace(CHOSEN, wish="cheapest"), "wish"),
        (lambda: dataclasses.replace(CHOSEN, most_pull=-1.0), "most_pull"),
        (
            lambda: dataclasses.replace(CHOSEN, kind="folding", past_centre=0.0, joint_folds="up", link_width=9.0),
            "jamb_place.*not for a folding stay",
        ),
        (lambda: JambPlace(inward=40), "go together"),
        (JambPlace, "needs inward and above_worktop"),
        (lambda: JambPlace(inward=40, inward_to=35, above_worktop=1, above_worktop_to=2), "inward_to.*is not beyond"),
        (lambda: JambPlace(corner=(JambPlaceCorner(inward=0, above_worktop=0),)), "at least 3 times, got 1"),
        (
            lambda: GatePlace(
                above_lower_edge=3, from_inner_face=3, corner=(GatePlaceCorner(above_lower_edge=0, from_inner_face=0),)
            ),
            "placed by its corners",
        ),
    ],
)
def test_places_that_contradict_themselves_are_refused(make, says):
    with pytest.raises(InvalidInput, match=says):
        make()


def test_a_file_with_places_is_read():
    text = job.shipped()["lantern_nine"].read_text("utf-8")
    before, _, after = text.partition("[gate.stay]")
    keys = """[gate.stay]
kind = "strap"
wish = "least movement"
most_pull = "66 lb"

[[gate.stay.jamb_place]]
inward = "1-1/2 in"
above_worktop = 250

[[gate.stay.gate_place]]
above_lower_edge = 200
above_lower_edge_to = 280
from_inner_face = 8
from_inner_face_to = 20

[[gate.stop]]"""
    read = job.loads(before + keys + after.partition("[[gate.stop]]")[2])
    assert read.gate[0].stay.jamb_place[0].inward == pytest.approx(38.1)
    assert read.gate[0].stay.most_pull == pytest.approx(29.937, abs=1e-3)
    with pytest.raises(InvalidInput, match=r"inwards.*did you mean 'inward'"):
        job.loads(before + keys.replace("inward =", "inwards =") + after.partition("[[gate.stop]]")[2])
