"""Stays, seams and reliefs of a gate in the job: what is asked, what is found, what the sheet and the templates say."""

from __future__ import annotations

import dataclasses
import math
import time

import foldswing as fs
import pytest
from foldswing import InvalidInput, drawing, evaluation, job, pictures, report, stay

DEMO = job.read(job.shipped()["lantern_nine"])
INCH = job.read(job.shipped()["teasel_four"])
GATE = DEMO.gate[0]


def with_stay(**changes):
    return dataclasses.replace(GATE, stay=dataclasses.replace(GATE.stay, **changes))


def with_panel(**changes):
    return dataclasses.replace(GATE, panel=dataclasses.replace(GATE.panel, **changes))


def work_out(gate):
    return evaluation.evaluate_gate(gate, DEMO, likely_errors=False)


def words(results, of) -> str:
    return fs.sheet.to_html(report.job_sheet(of, results, None))


def test_stays_cost_little(show):
    done = work_out(GATE)
    from foldswing.evaluation.gate_section import section, surroundings
    from foldswing.evaluation.reliefs import evaluate_reliefs
    from foldswing.evaluation.stays import evaluate_stays

    bodies = {name: path.outline(0.01) for name, path in surroundings(GATE, section(GATE)).items()}
    stops = [(s.name, s.opening_deg) for s in done.stops]
    start = time.process_time()
    evaluate_stays(with_stay(test_mass=50.0, test_stretch=2.0), done.sizes, done.holes, stops, bodies)
    stays = time.process_time() - start
    tight = work_out(with_panel(lower_inner_corner_radius=0.0, lower_outer_corner_radius=0.0))
    start = time.process_time()
    hung = fs.gate.panel(tight.sizes)
    rows = [row for row in tight.closest if row.depth > 0.0]
    found, _ = evaluate_reliefs(hung, surroundings(GATE, tight.sizes), tight.holes.jamb, 125.0, rows)
    assert found
    show("stays and reliefs of a gate", f"{1e3 * stays:.1f} ms, {1e3 * (time.process_time() - start):.0f} ms")


def test_a_stretch_test_tells_the_catch_load():
    done = work_out(with_stay(test_mass=50.0, test_stretch=2.0)).stays
    stiff = 50 * 9.80665 / 2
    for row in done.stops:
        assert row.caught.state == "caught"
        assert row.caught.pull_each == pytest.approx(stiff * row.caught.stretch, rel=1e-9)
        assert row.caught_alone.pull_each > row.caught.pull_each > row.pull_each
    soft = work_out(with_stay(test_mass=0.001, test_stretch=200.0))
    assert any("is not stopped" in f.what for f in soft.findings)
    assert soft.verdict == "change this first"


def test_a_stay_in_the_wrong_place_stops_the_work():
    below = work_out(with_stay(jamb_pin_inward=300.0, jamb_pin_above_worktop=0.0))
    assert any("comes taut on the way" in f.what or "points at the pivot" in f.what for f in below.findings)
    assert below.verdict == "change this first"


def test_a_stay_close_to_the_pivot_is_warned_of():
    close = work_out(with_stay(jamb_pin_above_worktop=10.0, gate_pin_above_pivot=20.0))
    (said,) = [f for f in close.findings if "little lever arm at 'level'" in f.what]
    level = close.stays.stops[0]
    assert said.number.startswith(f"{level.lever_arm:.1f} mm: 1 mm of stay moves the edge 28 mm")
    assert not any("little lever arm" in f.what for f in work_out(GATE).findings)


def test_pins_that_meet_when_the_gate_is_shut_are_warned_of():
    meet = work_out(with_stay(jamb_pin_inward=20.0, gate_pin_above_pivot=270.0))
    (said,) = [f for f in meet.findings if "two pins meet" in f.what]
    assert said.number.startswith(f"{meet.stays.shut:.1f} mm from middle")
    assert not any("two pins meet" in f.what for f in work_out(GATE).findings)


def test_a_pin_that_is_not_on_the_gate_is_warned_of():
    high = work_out(with_stay(gate_pin_above_pivot=400.0))
    (said,) = [f for f in high.findings if "not on the gate" in f.what]
    assert said.number == "58.0 mm outside its section"  # 418 up from the lower edge of a gate 360 high
    assert not any("not on the gate" in f.what for f in work_out(GATE).findings)


def test_a_folding_stay_is_worked_out_and_kept_off_what_is_there():
    one = dataclasses.replace(GATE, body=(), stop=(GATE.stop[0],))
    gate = dataclasses.replace(
        one,
        stay=dataclasses.replace(
            GATE.stay,
            kind="folding",
            jamb_pin_above_worktop=120.0,
            past_centre=0.0,
            joint_folds="inward",
            link_width=16.0,
        ),
    )
    found = work_out(gate).stays.folding
    assert found.stop == "level"
    assert found.made.status == "fits"
    assert found.edge_longer == 0.0
    assert {name for name, *_ in found.gaps} == {"worktop nose", "sill", "head"}
    out = dataclasses.replace(gate, stay=dataclasses.replace(gate.stay, joint_folds="outward"))
    other = work_out(out).stays.folding
    assert found.made.joint_shut[0] < other.made.joint_shut[0]
    locked = dataclasses.replace(gate, stay=dataclasses.replace(gate.stay, past_centre=6.0))
    done = work_out(locked)
    assert any("locks past its centre" in f.what for f in done.findings)
    assert done.stays.folding.made.past_centre > 0.0
    for row in done.stays.folding.gaps:
        assert row[1] >= 0.0


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: with_stay(kind="folding"), "needed for a folding stay"),
        (lambda: with_stay(past_centre=5.0), "is for a folding stay"),
        (lambda: with_stay(kind="rope"), "kind"),
        (lambda: with_stay(test_mass=20.0), "test_stretch"),
        (lambda: with_stay(test_mass=-1.0, test_stretch=1.0), "test_mass"),
        (lambda: with_stay(jamb_link_share=0.95), "jamb_link_share"),
        (
            lambda: dataclasses.replace(
                GATE,
                stop=tuple(dataclasses.replace(s, rests_on="stay") for s in GATE.stop),
                stay=dataclasses.replace(GATE.stay, kind="folding", past_centre=0.0, joint_folds="up", link_width=9.0),
            ),
            "holds one stop",
        ),
    ],
)
def test_stays_that_contradict_themselves_are_refused(make, says):
    with pytest.raises(InvalidInput, match=says):
        make()


def test_a_square_corner_is_given_its_relief_and_its_template():
    tight = with_panel(lower_inner_corner_radius=0.0, lower_outer_corner_radius=0.0)
    of = dataclasses.replace(DEMO, gate=(tight,))
    results = evaluation.evaluate(of)
    (nose, *_) = results.gates[0].reliefs
    assert nose.body == "worktop nose"
    assert nose.fixed.exact
    assert nose.fixed.depth == pytest.approx(4.46 + nose.gap, abs=0.05)
    drawn = pictures.templates(of, results)
    assert [s for s in drawn if "relief" in s] == [f"counter-gate-relief-{b}" for b in ("worktop-nose", "sill")]
    stem = "counter-gate-relief-worktop-nose"
    arcs = [e.path for e in drawn[stem].entities if isinstance(e, drawing.Stroke) and e.layer == "cut"]
    radii = [r for path in arcs for r in path.radii if math.isfinite(r)]
    assert any(r == pytest.approx(math.hypot(18, 18) + nose.gap, abs=1e-6) for r in radii)
    said = " ".join(e.text for e in drawn[stem].entities if isinstance(e, drawing.Text))
    assert "TAKE OFF INSIDE" in said
    assert "-" not in [w[0] for w in said.split() if w[1:2].isdigit()]
    assert "Reliefs" in words(results, of)
    assert not [s for s in pictures.templates(DEMO, evaluation.evaluate(DEMO)) if "relief" in s]


def test_seams_of_a_measured_opening_are_told_edge_by_edge():
    results = evaluation.evaluate(INCH)
    seams = {s.name: s for s in results.gates[0].seams}
    assert set(seams) == {"sill", "left jamb", "right jamb", "head"}
    for s in seams.values():
        (edge,) = [g for g in results.gates[0].opening.panel.gaps if g.edge in s.name]
        assert s.seam.smallest.gap == pytest.approx(edge.least_bare, abs=1e-3)
        assert s.seam.largest.gap == pytest.approx(edge.greatest_bare, abs=1e-3)
    assert "How even the bare gaps run" in words(results, INCH)


def test_seams_are_those_of_the_gate_as_its_rounded_marks_hang_it():
    gate = INCH.gate[0]
    exact = evaluation.evaluate_gate(gate, INCH, likely_errors=False)
    low = dataclasses.replace(exact.marks, gate_above_lower_edge=exact.marks.gate_above_lower_edge + 0.5)
    hung = evaluation.evaluate_gate(gate, INCH, marks=low, likely_errors=False)
    gaps = {g.name: g for g in hung.gaps}
    seams = {s.name: s for s in hung.seams}
    for name in ("sill", "head"):
        assert seams[name].seam.smallest.gap == pytest.approx(gaps[name].bare, abs=1e-3)
        assert seams[name].wanted == pytest.approx(gaps[name].wanted, abs=1e-9)
    before = next(s.seam.smallest.gap for s in exact.seams if s.name == "sill")
    assert before - seams["sill"].seam.smallest.gap == pytest.approx(0.5, abs=1e-6)


def test_the_sheet_says_pulls_hooks_and_cautions():
    results = evaluation.evaluate(DEMO)
    html = words(results, DEMO)
    for said in (
        "302 N (as 31 kg)",
        "603 N",
        "Hooks for &#39;level&#39; and &#39;lean&#39; apart",
        "87.2",
        "licensed practice",
    ):
        assert said in html or said.replace("&#39;", "'") in html, said
    assert stay.GRAVITY == 9.80665
    assert "&minus;" not in html
