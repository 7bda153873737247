"""What a job may leave open of a gate's pivot: sizes that are limits, an angle in a range, a bracket the hole is in."""

from __future__ import annotations

import dataclasses
import json

import foldswing as fs
import foldswing.job as jobs
import numpy as np
import pytest
from foldswing import evaluation, gate, output
from foldswing.evaluation.first_fit import evaluate_first_fit
from foldswing.job import loads_first_fit
from foldswing.report.first_fit import first_fit_lines
from foldswing.report.gates import gate_blocks
from foldswing.report.words import Words

TEXT = jobs.shipped()["lantern_nine"].read_text(encoding="utf-8")
JOB = jobs.read(jobs.shipped()["lantern_nine"])
GATE = dataclasses.replace(JOB.gate[0], station=())
SIZES = evaluation.evaluate_gate(GATE, JOB, likely_errors=False).sizes


def asking(*, level=None, lean=None, **changes):
    """Return the demo's gate in one section, its stops and tables changed."""
    stops = [dataclasses.replace(stop, **(c or {})) for stop, c in zip(GATE.stop, (level, lean), strict=True)]
    tables = {name: dataclasses.replace(getattr(GATE, name), **change) for name, change in changes.items()}
    return dataclasses.replace(GATE, stop=tuple(stops), **tables)


def worked(wanted):
    return evaluation.evaluate_gate(wanted, JOB, likely_errors=False)


def said(done):
    return " | ".join(f"{f.what}: {f.number}" for f in done.findings)


# sizes that are limits


@pytest.mark.parametrize(("least", "meant"), [(2.0, True), (4.5, False)])
def test_the_gap_kept_from_shut_decides_where_a_limit_allows_it(least, meant):
    done = worked(asking(level={"nose_gap": least, "nose_gap_is": "at least", "within": 0.5}))
    landed = next(s for s in done.stops if s.name == "level")
    assert landed.nose_gap >= least - 0.5 - 1e-9
    assert abs(landed.face_step) <= 0.5
    assert "is out at 'level'" not in said(done)
    assert (done.pivot_status == "point") is meant
    assert (abs(landed.nose_gap - GATE.gaps.nose) < 0.3) is meant


def test_limits_that_leave_a_choice_get_the_place_that_forgives_most():
    wanted = asking(
        level={"nose_gap": 2.0, "nose_gap_is": "at least", "within": 0.5},
        lean={"edge_drop": 150.0, "edge_is": "at least", "within": 1.0},
        gaps={"nose": None},
    )
    done = worked(wanted)
    assert done.pivot_status == "chosen"
    assert "limits" in done.explanation
    assert done.window.clear
    # The best place of the window, but for the ruler; no other that keeps the stops forgives more.
    assert np.allclose(done.pivot, done.window.best, atol=1e-6)
    at = gate.opened(done.sizes, done.pivot, 90.0)
    assert at.nose_gap >= 2.0 - 0.5
    assert gate.opened(done.sizes, done.pivot, 125.0).edge_drop >= 149.0
    assert "is out" not in said(done)


@pytest.mark.parametrize(("limit", "better"), [("or lower", False), ("or higher", True)])
def test_better_than_its_limit_is_no_miss_and_worse_is(limit, better):
    given = {"pivot_from_inner_face": 19.25, "pivot_below_worktop": 16.75}  # the face comes to stand proud
    done = worked(asking(level={"face_is": limit, "nose_gap": None}, hinge=given))
    (stop,) = [s for s in done.stops if s.name == "level"]
    assert stop.face_step > 1.5
    assert ("Inner face is out at 'level'" in said(done)) is not better
    assert (done.exact_step == 0.0) is better
    assert (done.rounded_step == 0.0) is better
    assert better or "past its limit" in said(done)


def test_an_edge_below_the_worktop_by_at_least_so_much_is_no_higher():
    at_least = worked(asking(lean={"edge_drop": 100.0, "edge_is": "at least", "within": 1.0}))
    at_most = worked(asking(lean={"edge_drop": 100.0, "edge_is": "at most", "within": 1.0}))
    floor = worked(asking(lean={"edge_above_floor": 800.0, "edge_is": "at most", "within": 1.0}))
    assert "Free edge is out" not in said(at_least) + said(floor)
    assert at_most.pivot_status == "none"


def test_the_sheet_says_which_sizes_are_limits():
    level = {"nose_gap": 2.0, "nose_gap_is": "at least", "face_is": "or lower"}
    wanted = asking(level=level, lean={"edge_drop": 150.0, "edge_is": "at least"})
    text = repr(gate_blocks(wanted, worked(wanted), JOB, Words(JOB)))
    for words in ("(at least 2.00 mm is asked)", "(flush or lower is asked)", "(at least 150.0 mm"):
        assert words in text


def test_the_window_of_a_limit_has_one_side():
    wanted = asking(level={"nose_gap": 3.0, "nose_gap_is": "at least"}, gaps={"moving": 0.2})
    binding = " ".join(what for _, what in worked(wanted).window.binding)
    assert "narrow at 'level'" in binding
    assert "wide at 'level'" not in binding


def test_the_first_fit_leaves_alone_what_is_better_than_its_limit():
    text = TEXT.replace("nose_gap = 3             #", 'nose_gap = 2\nnose_gap_is = "at least" #')
    text = text.replace("within = 1\n", "within = 0.5\n", 1)
    text = text.replace("[[material]]", "[errors]\nmeasured = 0.001\n\n[[material]]", 1)
    job = jobs.loads(text)
    made = evaluation.evaluate_gate(job.gate[0], job, likely_errors=False)
    level, lean = (gate.opened(made.sizes, made.holes, opening) for opening in (90.0, 125.0))
    readings = f"""
format = 1
units = 'mm'
reading_error = 0.1
[[side]]
end = 'left end'
[side.shut]
nose_gap = 3
sill_gap = 4
head_gap = 4
[[side.stop]]
name = 'level'
tilt = 0
face_step = {abs(level.face_step)}
face = '{"proud" if level.face_step > 0 else "low"}'
nose_gap = {level.nose_gap}
[[side.stop]]
name = 'lean'
tilt = 35
falls = 'outward'
edge_drop = {lean.edge_drop}
"""
    done = evaluate_first_fit(job, loads_first_fit(readings))
    side = done.sides[0]
    (row,) = [a for a in side.after if a.stop == "level" and "nose" in a.words]
    assert (row.wanted, row.limit) == (2.0, "or more")
    assert row.now == pytest.approx(level.nose_gap, abs=0.05)
    assert side.move.which == "none"
    assert "2.0 or more, within 0.5" in "\n".join(first_fit_lines(done))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("nose_gap = 3", 'nose_gap_is = "at least"'),
        ("below_level = 35         # further down, to lean on", 'edge_drop = 150\nedge_is = "at least"'),
        ("nose_gap = 3  ", 'nose_gap = 3\nnose_gap_is = ">="'),
    ],
)
def test_limits_of_nothing_are_refused(change, says):
    assert change in TEXT
    with pytest.raises(fs.InvalidInput, match=r"nothing says of what|give an angle too|one of 'exactly'"):
        jobs.loads(TEXT.replace(change, says, 1))


def test_results_json_carries_it():
    wanted = asking(level={"nose_gap": 2.0, "nose_gap_is": "at least"}, gaps={"nose": None})
    done = worked(wanted)
    results = evaluation.Results(JOB.title, "", (done,), (), (), ())
    read = json.loads(output.results_json(results, b"", "job.toml"))["gates"][0]
    assert read["pivot_status"] == "chosen"
