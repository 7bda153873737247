"""Several readings of one size: mean and spread, what is asked about them, and what they leave uncertain."""

from __future__ import annotations

import dataclasses
import json
import math
import statistics
from typing import Any

import jsonschema
import numpy as np
import pytest
from foldswing import InvalidInput, arc, evaluation, job, output, report, sheet
from foldswing.evaluation import spread
from foldswing.job import files
from foldswing.job.readings import far_apart, moved, odd_one
from hypothesis import given
from hypothesis import strategies as st

LANTERN = job.shipped()["lantern_nine"].read_text("utf-8")


def swap(*pairs: tuple[str, str]) -> job.Job:
    text = LANTERN
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return job.loads(text)


def uncertain(made: job.Job, part: str, what: str) -> float:
    rows = [u for u in evaluation.evaluate(made).uncertain if (u.part, u.what) == (part, what)]
    return rows[0].plus_minus if rows else 0.0


# ------------------------------------------------------------------------------------------------------ the readings


def test_the_mean_is_the_size_and_the_readings_are_kept() -> None:
    made = swap(("width_top = 1190", "width_top = [1190, '1190.5 mm', 1189.5]"))
    assert made.gate[0].opening.width_top == 1190.0
    (kept,) = made.readings
    assert kept.size == "gate[1].opening.width_top"
    assert kept.spread == pytest.approx(0.5)
    assert job.Job.from_dict(made.to_dict()) == made
    assert eval(repr(made), {n: getattr(job, n) for n in job.__all__}) == made


def test_readings_of_an_opening_that_the_gate_is_cut_to_leave_its_size_uncertain() -> None:
    made = swap(
        ("width_bottom = 1190", "width_bottom = [1190, 1192]\nheight_left = 368\nheight_right = 370"),
        ("height = 360\n", ""),
        ("width = 1180\n", 'fit = "to the opening"\n'),
    )
    rows = {u.what: u for u in spread.uncertain(dataclasses.replace(made, flip_panel=(), pan=(), crown=()))}
    assert rows["width of the gate"].plus_minus == pytest.approx(math.sqrt(2.0), rel=0.02)
    assert not any(what.startswith("gap to the") and what.endswith("shut") for what in rows)


@given(st.lists(st.floats(min_value=0.01, max_value=5000), min_size=2, max_size=20))
def test_mean_and_spread_agree_with_the_statistics_of_python(values: list[float]) -> None:
    several = job.Readings(size="x", values=tuple(values))
    assert several.mean == pytest.approx(statistics.fmean(values), rel=1e-15)
    assert several.spread == pytest.approx(np.std(values, ddof=1), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("old", "new", "size"),
    [
        ("leaned_load = 20", "leaned_load = ['20 kg', '44 lb']", "gate[1].load.leaned_load"),
        ("slope = 12", "slope = [12, 12.5, '11.5 deg']", "flip_panel[1].slope"),
        ("per_face = 0.15", "per_face = [0.14, 0.16]", "paint.per_face"),
        ("down = 150 ", "down = [150, 151] ", "gate[1].body[1].down"),
    ],
)
def test_any_length_angle_or_mass_may_be_a_list(old: str, new: str, size: str) -> None:
    made = swap((old, new))
    assert [r.size for r in made.readings] == [size]
    jsonschema.Draft202012Validator(job.schema()).validate(files.load(LANTERN.replace(old, new, 1), "x"))


@pytest.mark.parametrize(
    ("new", "says"),
    [
        ("width_top = []", "must be a length"),
        ("width_top = [1190]", "must be a length"),
        ("width_top = [1190, 'abc']", "no number at 'abc'"),
        ("width_top = [1190, -3]", "must be a length > 0"),
        ("width_top = [1190, nan]", "must be a length"),
        ("width_top = [[1190, 1191], 1190]", "lists within a list"),
        ("width_top = [1190, {mm = 3}]", "must be a length"),
        (f"width_top = {[1190] * 21}", "at most 20 readings"),
        ("width_top = [1190, true]", "must be a length"),
    ],
)
def test_bad_readings_are_refused(new: str, says: str) -> None:
    with pytest.raises(InvalidInput, match=says):
        swap(("width_top = 1190", new))


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ('size = "gate[1].opening.nothing"\nvalues = [1, 2]', "does not give"),
        ('size = "gate[2].opening.width_top"\nvalues = [1, 2]', "does not give"),
        ('size = "gate[1].name"\nvalues = [1, 2]', "no length, angle or mass"),
        ('size = "gate[1]"\nvalues = [1, 2]', "no length, angle or mass"),
        ('size = "..[["\nvalues = [1, 2]', "must be the path of a size"),
        ('size = "gate[1].opening.width_top"\nvalues = [1]', "at least two readings"),
        ('size = "gate[99999999999999].opening"\nvalues = [1, 2]', "path of a size"),
    ],
)
def test_readings_of_what_is_no_size_are_refused(table: str, says: str) -> None:
    with pytest.raises(InvalidInput, match=says):
        job.loads(f"{LANTERN}\n[[readings]]\n{table}\n")


@pytest.mark.parametrize(
    ("values", "kind", "odd"),
    [
        ((1190, 1190.5, 1910), "length", 1910),
        ((1190, 1190, 1191), "length", None),  # two that agree to the mark do not make the third a slip
        ((1119, 1190, 1191), "length", 1119),
        ((1190, 1910), "length", None),  # of two either may be right
        ((90, 90, 92), "angle", 92),
        ((10, 14, 18), "length", None),
        ((6.5, 6.5, 14.3), "mass", 14.3),
    ],
)
def test_one_reading_that_stands_off_the_others_is_found(values: Any, kind: str, odd: float | None) -> None:
    assert odd_one(tuple(map(float, values)), kind) == odd


def test_two_readings_that_differ_much_are_far_apart() -> None:
    assert far_apart((1190.0, 1910.0), "length")
    assert not far_apart((1190.0, 1191.0), "length")


# ------------------------------------------------------------------------------------------- what is left uncertain


def test_nothing_is_uncertain_without_readings() -> None:
    results = evaluation.evaluate(job.loads(LANTERN))
    assert results.readings == ()
    assert results.uncertain == ()
    assert "readings leave" not in sheet.to_html(report.job_sheet(job.loads(LANTERN), results))


def test_the_radius_of_a_lid_by_the_formula_of_the_circle() -> None:
    made = swap(("rise_across = 38", "rise_across = [37, 38, 39]"))
    low, mid, high = ((610.0**2 + h**2) / (2 * h) for h in (39.0, 38.0, 37.0))
    assert uncertain(made, "roof lid", "radius across") == pytest.approx(max(mid - low, high - mid), abs=1e-6)


def test_spreads_of_two_sizes_add_in_squares() -> None:
    rise = ("rise_across = 38", "rise_across = [37, 38, 39]")
    chord = ("chord_across = 1220", "chord_across = [1215, 1220, 1225]")
    alone = [uncertain(swap(pair), "roof lid", "radius across") for pair in (rise, chord)]
    both = uncertain(swap(rise, chord), "roof lid", "radius across")
    assert both == pytest.approx(math.hypot(*alone), rel=1e-12)
    assert alone[1] == pytest.approx(arc.radius(1225.0, 38.0) - arc.radius(1220.0, 38.0), rel=1e-9)


def test_the_nose_moves_the_gap_to_it_and_no_step() -> None:
    """What is drilled goes by the mean: the gap to a nose that stands elsewhere is out by as much."""
    made = swap(("nose_behind_wall = 31", "nose_behind_wall = [30.5, 31, 31.5]"))
    assert uncertain(made, "counter gate", "gap to the worktop nose, shut") == pytest.approx(0.5, abs=1e-9)
    assert uncertain(made, "counter gate", "gap to the nose at 'level'") == pytest.approx(0.5, abs=1e-9)
    assert uncertain(made, "counter gate", "step of the inner face at 'level'") == 0.0


def test_the_width_of_an_opening_moves_the_width_of_its_gate() -> None:
    sizes = (("width_top = 1190", "width_top = [1189, 1190, 1191]"), ("width = 1180\n", "\n"))
    made = swap(("width_bottom = 1190", "width_bottom = 1195"), *sizes)
    assert uncertain(made, "counter gate", "width of the gate") == pytest.approx(1.0, abs=1e-9)


def test_a_blank_follows_its_sheet_and_its_pan() -> None:
    made = swap(("\ndepth = 14\n", "\ndepth = [13.8, 14, 14.2]\n"))
    assert uncertain(made, "tail plate pan", "length of the blank") == pytest.approx(0.4, abs=1e-9)
    sheet_too = swap(("\nthickness = 1.2\n", "\nthickness = [1.15, 1.2, 1.25]\n"))
    pan = evaluation.evaluate_pan(
        moved(sheet_too, "material[1].thickness", 0.05).pan[0], moved(sheet_too, "material[1].thickness", 0.05)
    )
    nominal = evaluation.evaluate_pan(sheet_too.pan[0], sheet_too)
    assert uncertain(sheet_too, "tail plate pan", "length of the blank") == pytest.approx(
        abs(pan.length - nominal.length), rel=0.1
    )


def test_no_bend_order_is_looked_for_while_sizes_are_moved(monkeypatch: pytest.MonkeyPatch) -> None:
    made = swap(
        ("\ndepth = 14\n", "\ndepth = [13.8, 14, 14.2]\n"), ("finger_height = 110", "finger_height = [109, 111]")
    )
    assert made.brake_tool
    monkeypatch.setattr("foldswing.bend_order.search", lambda *_, **__: pytest.fail("an order was looked for"))
    rows = [r for r in spread.uncertain(made) if (r.part, r.what) == ("tail plate pan", "length of the blank")]
    assert [r.plus_minus for r in rows] == [pytest.approx(0.4, abs=1e-9)]


def test_simulated_readings_agree_with_what_is_said(size: Any, show: Any) -> None:
    """Sizes drawn at random about their means: the spread of the radius is what the sheet says."""
    made = swap(
        ("rise_across = 38", "rise_across = [37.9, 38, 38.1]"),
        ("chord_across = 1220", "chord_across = [1219.5, 1220, 1220.5]"),
    )
    rng = np.random.default_rng(5)
    count = size(100_000, 1_000_000)
    chord, rise = rng.normal(1220.0, 0.5, count), rng.normal(38.0, 0.1, count)
    simulated = float(np.std((0.25 * chord**2 + rise**2) / (2.0 * rise)))
    said = uncertain(made, "roof lid", "radius across")
    assert said == pytest.approx(simulated, rel=0.01)
    show("spread of a lid's radius", f"said {said:.2f} mm, {count} simulations {simulated:.2f} mm")


def test_sheet_and_results_tell_the_readings() -> None:
    made = swap(
        ("width_top = 1190", "width_top = [1190, 1190.5, 1910]"), ("rise_across = 38", "rise_across = [37, 38, 39]")
    )
    results = evaluation.evaluate(made)
    page = sheet.to_html(report.job_sheet(made, results))
    assert "What the readings leave uncertain" in page
    assert "1910 mm stands off the other readings" in page
    assert "is one of these misread?" in page
    told = json.loads(output.results_json(results, b"", "x"))
    assert told["readings"][1]["spread"] == pytest.approx(1.0)
    assert any(u["what"] == "radius across" and u["plus_minus"] > 100 for u in told["uncertain"])
    again = evaluation.Results.from_dict(results.to_dict())
    assert again.readings == results.readings
    assert again.uncertain == results.uncertain


def test_a_size_that_cannot_be_moved_one_way_is_moved_the_other() -> None:
    panel = ("lower_inner_corner_radius = 15.6", "lower_inner_corner_radius = [15.4, 16.6, 17.8]")
    made = swap(panel, ("lower_outer_corner_radius = 4.8", "lower_outer_corner_radius = 11.4"))
    assert any("corner" in u.chief.lower() for u in evaluation.evaluate(made).uncertain)


def test_a_changed_job_keeps_its_readings_or_says_why_not() -> None:
    made = swap(("width_top = 1190", "width_top = [1190, 1190.5, 1189.5]"))
    with pytest.raises(InvalidInput, match="does not give"):
        dataclasses.replace(made, gate=())
