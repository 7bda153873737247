"""The opening of a job: which sizes the gate takes from it, gaps bare and painted, seals, and what the sheet says."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from foldswing import evaluation, job, opening
from foldswing.evaluation.openings import with_bare_gaps
from foldswing.report.closing import not_checked
from foldswing.report.openings import opening_blocks
from foldswing.report.words import Words
from foldswing.sheet import KeyValues, Table

INCH = job.read(job.shipped()["teasel_four"])
DEMO = job.read(job.shipped()["lantern_nine"])
MM = 25.4
COAT = 0.1524  # mm; 6 thou


def changed(base=INCH, *, seal=(), **tables):
    gate = base.gate[0]
    parts = {name: dataclasses.replace(getattr(gate, name), **keys) for name, keys in tables.items()}
    return dataclasses.replace(gate, **parts, seal=tuple(job.Seal(**s) for s in seal))


def evaluated(gate, base=INCH):
    return evaluation.evaluate_gate(gate, base)


def square_opening(**more):
    """The inch hatch in a true opening of 600 x 365.125."""
    sizes = {"width_top": 600.0, "width_bottom": 600.0, "height_left": 365.125, "height_right": 365.125}
    diagonal = math.hypot(600.0, 365.125)
    return {**sizes, "diagonals": (diagonal, diagonal), **more}


def test_the_inch_opening_is_checked_by_its_sixth_size():
    result = evaluated(INCH.gate[0]).opening
    assert result.status == "checked"
    assert result.shape.worst_misfit < 0.1
    # the gap budget holds all along every edge; at the head, where the height was given, to what the tape can tell
    for g in result.panel.gaps:
        assert g.least_bare >= 3 / 16 * MM - (0.15 if g.edge == "head" else 1e-9)
        assert g.least_painted == pytest.approx(g.least_bare - 2 * COAT, abs=1e-12)


def test_without_heights_all_stays_as_it_was():
    result = evaluated(DEMO.gate[0], DEMO)
    assert (result.width, result.height) == (1180.0, 360.0)
    assert result.opening.status == "not measured"
    assert result.opening.panel is None
    assert [g.name for g in result.gaps] == ["worktop nose", "sill", "head", "jamb, each end"]


def test_width_and_height_left_out_come_from_the_opening():
    gate = changed(
        opening=square_opening(), panel={"height": None}, gaps={"ends": None, "left_end": 5.0, "right_end": 3.0}
    )
    result = evaluated(gate)
    assert result.width == pytest.approx(600.0 - 8.0, abs=1e-9)
    assert result.height == pytest.approx(365.125 - 2 * 3 / 16 * MM, abs=1e-9)
    assert result.sizes.height == result.height
    gaps = {g.name: g.bare for g in result.gaps}
    assert gaps["left jamb"] == pytest.approx(5.0, abs=1e-9)
    assert gaps["right jamb"] == pytest.approx(3.0, abs=1e-9)


def test_painted_gaps_leave_what_was_wanted_once_painted():
    gate = changed(opening=square_opening(), panel={"height": None}, gaps={"are": "painted"})
    bare = changed(opening=square_opening(), panel={"height": None})
    result, other = evaluated(gate), evaluated(bare)
    wanted = 3 / 16 * MM
    gaps = {g.name: g for g in result.gaps}
    for name in ("left jamb", "right jamb", "head"):
        assert gaps[name].painted == pytest.approx(wanted, abs=1e-9)
        assert gaps[name].wanted == pytest.approx(wanted + 2 * COAT, abs=1e-12)
    assert other.width - result.width == pytest.approx(4 * COAT, abs=1e-9)
    # moving gaps: both faces' paint more, one face's to a body without paint
    moving = {a.body: a.wanted for a in result.closest}
    assert moving["worktop nose"] == pytest.approx(MM / 16 + 2 * COAT, abs=1e-12)
    assert moving["step box"] == pytest.approx(MM / 16 + COAT, abs=1e-12)
    # the gap to the nose at the stop counts too
    assert with_bare_gaps(gate, INCH).stop[0].nose_gap == pytest.approx(MM / 8 + 2 * COAT, abs=1e-12)
    assert with_bare_gaps(bare, INCH) == bare


def test_a_given_size_is_kept_and_hangs_in_the_middle():
    result = evaluated(changed(opening=square_opening(), panel={"width": 590.0}))
    assert result.width == 590.0
    gaps = {g.name: g.bare for g in result.gaps}
    assert gaps["left jamb"] == pytest.approx(5.0, abs=1e-9)
    assert gaps["right jamb"] == pytest.approx(5.0, abs=1e-9)


def test_cut_to_the_opening_every_edge_keeps_its_gap_all_along():
    tapered = {"height_left": 362.0, "height_right": 368.0, "diagonals": ()}
    gate = changed(opening=tapered, panel={"height": None, "fit": "to the opening"})
    result = evaluated(gate)
    panel = result.opening.panel
    assert panel.status == "fits"
    for g in panel.gaps:
        assert g.greatest_bare == pytest.approx(3 / 16 * MM, abs=1e-9)
    assert panel.sides[1] - panel.sides[3] == pytest.approx(6.0, abs=0.1)
    assert result.height == pytest.approx(0.5 * (panel.sides[1] + panel.sides[3]))
    assert not any("not as wanted" in f.what for f in result.findings)
    assert any("heights differ" in f.what and f.number == "by 6.0 mm" for f in result.findings)


def test_a_seal_that_does_not_touch_everywhere_is_told_and_cured_by_the_fit():
    tapered = {"height_left": 362.0, "height_right": 370.0, "diagonals": ()}
    seal = [{"edge": "head", "free": 9.0, "squeezed": 4.0}]
    square = evaluated(changed(opening=tapered, panel={"height": None}, seal=seal))
    (leak,) = [f for f in square.findings if "does not touch everywhere" in f.what]
    assert "head" in leak.what
    assert not leak.stops_work
    matched = evaluated(changed(opening=tapered, panel={"height": None, "fit": "to the opening"}, seal=seal))
    assert not any("seal" in f.what.lower() for f in matched.findings)


def test_a_seal_that_is_pressed_too_hard_stops_the_work():
    seal = [{"edge": "left end", "free": 12.0, "squeezed": 8.0}]
    result = evaluated(changed(opening=square_opening(), panel={"width": 592.0}, seal=seal))
    assert result.verdict == "change this first"
    (hard,) = [f for f in result.findings if "pressed too hard" in f.what]
    assert "left end" in hard.what
    low = [{"edge": "sill", "free": 12.0, "squeezed": 8.0}]
    result = evaluated(changed(opening=square_opening(), seal=low))
    assert any("at the sill needs more gap" in f.what and f.stops_work for f in result.findings)


@pytest.mark.parametrize(
    ("sizes", "what", "verdict"),
    [
        ({"diagonals": (28.40625 * MM, 29.4 * MM)}, "do not agree", "change this first"),
        ({"diagonals": (28.40625 * MM, 60.0 * MM)}, "No opening has the sizes", "change this first"),
        ({"diagonals": ()}, "No diagonal", "go"),
        ({"height_left": 362.0, "height_right": 361.5, "diagonals": ()}, "section do not agree", "go"),
    ],
)
def test_readings_that_do_not_agree_are_told(sizes, what, verdict):
    result = evaluated(changed(opening=sizes))
    assert any(what in f.what for f in result.findings)
    assert result.verdict == verdict


def test_gaps_that_leave_no_gate_are_a_result_with_the_reason():
    gate = changed(opening=square_opening(), panel={"height": None}, gaps={"ends": 301.0})
    result = evaluated(gate)
    assert result.verdict == "cannot"
    assert math.isnan(result.width)
    assert any("take up the whole width" in f.number for f in result.findings)
    blocks = opening_blocks(gate, result.opening, Words(INCH))
    assert any(isinstance(b, Table) and "hinge side" in (b.caption or "") for b in blocks)


def test_the_sheet_says_what_to_cut_how_to_check_it_and_the_budget_hinge_side_first():
    gate = INCH.gate[0]
    done = evaluated(gate).opening
    blocks = opening_blocks(gate, done, Words(INCH))
    (cut,) = [b for b in blocks if isinstance(b, KeyValues)]
    keys = dict(cut.rows)
    assert keys["Gate, wide"].startswith("611.0 mm")
    assert keys["Check: both diagonals"].startswith(f"{math.hypot(611.04, 355.6):.1f} mm")
    _, square, budget = [b for b in blocks if isinstance(b, Table)]
    assert budget.rows[0][0] == "sill (hinge side)"
    assert [row[-1] for row in budget.rows] == ["kept", "kept", "kept", "0.03 mm short"]
    # a word for the way, never a sign
    text = [cell for row in square.rows for cell in row]
    assert not any(cell.startswith("-") or " -" in cell for cell in text)
    assert any("closes in by" in cell for cell in text)


def test_the_budget_holds_the_sill_against_the_gap_wanted_there():
    gate = changed(opening=square_opening(), panel={"height": None}, gaps={"are": "painted"})
    done = evaluation.evaluate_gate(gate, INCH, likely_errors=False).opening
    (budget,) = [b for b in opening_blocks(gate, done, Words(INCH)) if isinstance(b, Table) and "budget" in b.caption]
    # the lower edge leaves 3/16 in of bare metal at the sill; that much was wanted with paint on
    assert [row[-1] for row in budget.rows] == [f"{2 * COAT:.2f} mm short", "kept", "kept", "kept"]


def test_the_sides_of_an_opening_are_not_checked_only_where_its_heights_were_not_given():
    lantern = evaluation.evaluate_gate(DEMO.gate[0], DEMO, likely_errors=False)
    teasel = evaluation.evaluate_gate(INCH.gate[0], INCH, likely_errors=False)
    sides = "the sides of the opening"
    assert [
        any(sides in w for w in not_checked("gate", gates)) for gates in ([lantern], [teasel], [lantern, teasel])
    ] == [
        True,
        False,
        True,
    ]


def test_results_of_an_opening_are_values():
    done = evaluated(INCH.gate[0]).opening
    again = type(done).from_dict(done.to_dict())
    assert again == done
    assert isinstance(again.shape, opening.Opening)
    np.testing.assert_array_equal(again.panel.corners, done.panel.corners)
