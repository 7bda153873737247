"""What a job may leave open of a gate's pivot: sizes that are limits, an angle in a range, a bracket the hole is in."""

from __future__ import annotations

import dataclasses
import json

import foldswing as fs
import foldswing.job as jobs
import numpy as np
import pytest
from foldswing import _bench, drawing, evaluation, gate, output, pictures, plane
from foldswing._core.plane import Outline
from foldswing.evaluation.brackets import METAL, bracket_outline, common
from foldswing.evaluation.first_fit import evaluate_first_fit
from foldswing.evaluation.spread import uncertain
from foldswing.job import loads_first_fit
from foldswing.job.adjusters import Adjuster
from foldswing.job.gates import Bracket, BracketHole, Corner
from foldswing.report.first_fit import first_fit_lines
from foldswing.report.first_page import gate_page
from foldswing.report.free_angles import angle_blocks
from foldswing.report.gates import gate_blocks, landed_table
from foldswing.report.hardware import hardware_blocks
from foldswing.report.windows import window_blocks
from foldswing.report.words import Words
from foldswing.sheet import Table

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
    text = repr(landed_table(wanted, worked(wanted), Words(JOB)))
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


def test_along_the_hinge_a_limit_is_a_limit_too():
    farther = (jobs.Station(name="nose set back", from_left=600.0, nose_inward=2.0),)
    found = {}
    for limit in ("at least", "exactly"):
        wanted = dataclasses.replace(asking(level={"nose_gap": 2.5, "nose_gap_is": limit}), station=farther)
        done = found[limit] = worked(wanted)
        assert ("Gap to the nose is out at 'level', nose set back" in said(done)) is (limit == "exactly")
    assert found["at least"].seams[-1].wanted == GATE.gaps.nose
    assert found["exactly"].seams[-1].wanted == 2.5


def test_a_cure_costs_no_step_on_the_better_side_of_a_limit():
    given = {"pivot_from_inner_face": 18.0, "pivot_below_worktop": 18.0}
    price = {}
    for limit in ("or higher", "or lower"):
        done = worked(asking(level={"face_is": limit}, panel={"lower_outer_corner_radius": 1.0}, hinge=given))
        (price[limit],) = [cure.price for cure in done.cures if cure.what == "Move the pivot"]
    assert price == {"or higher": "no step at the stops", "or lower": "a step of 0.8 mm where the face must land"}


# a bracket, a post or a jamb that the hole must be in


def post(*corners, **more):
    """Return a bracket by its corners: inward from the wall's outer face, below the worktop surface."""
    return Bracket(corner=tuple(Corner(inward=x, down=y) for x, y in corners), **more)


ROOMY = post((0, 5), (40, 5), (40, 60), (0, 60), name="hinge post", least_metal=3.0)
# a hook: a slot runs down from its upper edge through where the pivot is, 10 inward and 18 down
HOOK = post((2, 6), (8, 6), (8, 22), (12, 22), (12, 6), (25, 6), (25, 40), (2, 40), name="hook plate", least_metal=1.0)


def in_bracket(bracket, **changes):
    return asking(hinge={"bracket": bracket}, **changes)


@pytest.fixture(scope="module")
def hooked():
    wanted = in_bracket(HOOK, gaps={"moving": 0.3})
    return wanted, worked(wanted)


def test_a_roomy_post_changes_nothing_but_says_what_it_keeps():
    wanted = in_bracket(ROOMY)
    done, plain = worked(wanted), worked(GATE)
    assert done.verdict == plain.verdict
    assert done.window.forgiveness == pytest.approx(plain.window.forgiveness, abs=0.02)
    # 10 from the wall's face is the nearest edge; the hole is for the pin of 8
    assert done.bracket.metal == pytest.approx(10.0 - 4.0)
    text = repr((window_blocks(wanted, done, JOB, Words(JOB)), hardware_blocks(wanted, done, Words(JOB))))
    assert "6.0 mm; 3 mm wanted" in text
    assert "3 mm is left round the hole in the hinge post" in text


def test_the_window_keeps_off_the_edges_of_a_hooked_plate_and_out_of_its_slot():
    wanted = in_bracket(HOOK, level={"within": 15.0}, gaps={"moving": 0.01})
    done = worked(wanted)
    outline = done.bracket.outline
    corners = np.concatenate([o.points for o in done.window.outlines])
    assert plane.room(outline, corners).min() >= 4.0 + 1.0 - 0.01
    section = gate.panel(done.sizes).outline(0.001)
    assert plane.room(section, corners).min() >= 6.0 + METAL - 0.02
    words = " | ".join(what for _, what in done.window.binding)
    assert "it would leave the hook plate, or leave less than 1 mm of metal round it" in words
    assert "not in the hook plate" in said(done)


def test_a_pivot_outside_it_is_a_warning_with_the_number(hooked):
    _, done = hooked
    (found,) = [f for f in done.findings if "hook plate" in f.what]
    # The slot is 4 wide and 18 down is 4 above its foot: 2 to the nearer metal.
    assert found.number == "its middle is 2.0 mm outside the metal; 1 mm round it is wanted"
    assert found.stops_work
    assert done.verdict != "go"
    assert done.bracket.metal == pytest.approx(-2.0 - 4.0)


@pytest.mark.parametrize(
    ("hole", "words"),
    [
        (BracketHole(inward=10.0, down=30.0, diameter=6.0), "hinge post, with less than 3 mm of metal between"),
        (
            BracketHole(corner=tuple(Corner(inward=x, down=y) for x, y in ((7, 27), (13, 27), (13, 33), (7, 33)))),
            "it would come too near a hole of the hinge post",
        ),
    ],
)
def test_holes_in_it_already_take_their_metal(hole, words):
    wanted = in_bracket(dataclasses.replace(ROOMY, hole=(hole,)), level={"within": 15.0}, gaps={"moving": 0.01})
    done = worked(wanted)
    assert done.bracket.metal == pytest.approx(5.0)  # 12 down to its middle, less 3 and 4
    assert words in " | ".join(what for _, what in done.window.binding)
    corners = np.concatenate([o.points for o in done.window.outlines])
    assert plane.room(done.bracket.outline, corners).min() >= 4.0 + 3.0 - 0.01


def test_the_ends_of_a_slot_and_an_eccentric_bush_take_their_own_metal():
    slot = Adjuster(kind="slotted hole", hole="jamb", runs="outward and inward", outward=2.5, inward=1.0)
    bush = Adjuster(kind="eccentric bush", hole="jamb", throw=1.0, diameter=14.0)
    made = [worked(dataclasses.replace(in_bracket(ROOMY), adjuster=(a,))) for a in (slot, bush)]
    assert [done.bracket.metal for done in made] == pytest.approx([10.0 - 2.5 - 4.0, 10.0 - 7.0])


def test_what_is_fixed_to_the_gate_stands_in_for_its_metal():
    plate = post((0, 20), (30, 20), (30, 70), (0, 70), fixed_to="gate", least_metal=2.5)
    done = worked(in_bracket(plate, level={"within": 30.0}, gaps={"moving": 0.01}))
    assert done.bracket.hole == GATE.hinge.bush_diameter
    corners = np.concatenate([o.points for o in done.window.outlines])
    assert plane.room(done.bracket.outline, corners).min() >= 6.0 + 2.5 - 0.01
    assert plane.room(gate.panel(done.sizes).outline(0.001), corners).min() < 6.0 + METAL - 0.1
    assert done.hardware.metal == ()


def test_regions_have_in_common_what_both_hold():
    hole = BracketHole(inward=20.0, down=20.0, diameter=4.0)
    bar = post((0, 10), (40, 10), (40, 30), (0, 30), hole=(hole,))
    one, other = (bracket_outline(b, 900.0) for b in (HOOK, bar))
    made = common([one], [other])
    rng = np.random.default_rng(3)
    points = rng.uniform((-45.0, -65.0), (5.0, 0.0), (400, 2))
    inside = [plane.locate(o, points) == 1 for o in (one, other)]
    assert np.array_equal(np.any([plane.locate(o, points) == 1 for o in made], axis=0), inside[0] & inside[1])
    assert common([one], [Outline([(100, 100), (110, 100), (110, 110)])]) == ()


@pytest.mark.parametrize(
    ("bracket", "says"),
    [
        (post((0, 5), (8, 5), (8, 60), (0, 60)), "the bracket is too small"),
        (post((60, 5), (99, 5), (99, 60), (60, 60)), "no place for one pin in common"),
    ],
)
def test_where_no_hole_can_be_the_window_says_so(bracket, says):
    done = worked(in_bracket(bracket))
    assert done.window.status == "none"
    assert says in done.window.explanation


@pytest.mark.parametrize(
    ("bracket", "says"),
    [
        (
            dataclasses.replace(ROOMY, hole=(BracketHole(inward=39.0, down=30.0, diameter=6.0),)),
            r"gate\.hinge\.bracket\.hole\[1\]: hole 1 of the hinge",
        ),
        (
            post((0, 5), (40, 60), (40, 5), (0, 60)),
            "bracket.corner: the corners of the bracket must go round it in order",
        ),
    ],
)
def test_a_bracket_that_is_none_is_refused_in_shop_words(bracket, says):
    with pytest.raises(fs.InvalidInput, match=says):
        worked(in_bracket(bracket))


def test_a_hole_is_round_or_has_corners():
    for keys in ({"diameter": 6.0}, {"inward": 3.0, "down": 4.0}, {"inward": 3.0, "corner": ROOMY.corner}):
        with pytest.raises(fs.InvalidInput, match=r"corner|diameter"):
            BracketHole(**keys)
    with pytest.raises(fs.InvalidInput, match="at least 3 times"):
        post((0, 5), (40, 5))


def test_templates_draw_its_outline(hooked):
    wanted, done = hooked
    for draft in (pictures.gate_end(wanted, done, JOB, "left"), _bench.gate_jamb(wanted, done, JOB, "right")):
        light = [e.path for e in draft.entities if isinstance(e, drawing.Stroke) and e.layer == "panel"]
        reach = np.concatenate([path.points for path in light])
        assert any(np.allclose(p, (-12.0, -22.0)) for p in reach)  # the foot of its slot
        words = " ".join(e.text for e in draft.entities if isinstance(e, drawing.Text))
        assert "Light outline, not cut: the hook plate." in words


def test_the_job_file_gives_it_by_distances_from_faces():
    said_in = """
[gate.hinge.bracket]
name = "hinge post"
corner = [
    { inward = 0, down = 5 }, { inward = 40, down = 5 }, { inward = 40, above_floor = 840 }, { inward = 0, down = 60 },
]
hole = [{ inward = 30, down = 40, diameter = 6 }]
least_metal = 3
"""
    job = jobs.loads(TEXT.replace("[gate.load]", said_in + "\n[gate.load]", 1))
    done = evaluation.evaluate_gate(job.gate[0], job, likely_errors=False)
    results = evaluation.Results(JOB.title, "", (done,), (), (), ())
    read = json.loads(output.results_json(results, b"", "job.toml"))["gates"][0]["bracket"]
    assert read["name"] == "hinge post"
    assert read["metal"] == pytest.approx(6.0)
    assert len(read["outline"]["holes"]) == 1


# an angle in a range


LEAN = {"below_level": None, "below_level_from": 20.0, "below_level_to": 40.0, "edge_above_floor": 700.0}
SQUARE = {"nose_gap": None}  # the face alone is asked level, so that the angle decides
PLATE = post(
    (2, 4), (25, 4), (25, 40), (2, 40), name="hinge plate",
    hole=(
        BracketHole(inward=20.0, down=20.0, diameter=5.0),
        BracketHole(inward=10.0, down=32.0, diameter=8.0, takes_pin=True),
        BracketHole(inward=10.0, down=18.0, diameter=8.0, takes_pin=True),
    ),
)  # fmt: skip


def left_open(**hinge):
    return asking(level=SQUARE, lean=LEAN, gaps={"nose": None}, hinge=hinge)


@pytest.fixture(scope="module")
def by_wish():
    hinges = {
        "largest forgiveness": {},
        "largest gap": {"wish": "largest gap"},
        "nearest to the wanted spot": {
            "wish": "nearest to the wanted spot", "spot_from_inner_face": 12.0, "spot_below_worktop": 20.0,
        },
        "on a hole of the bracket": {"wish": "on a hole of the bracket", "bracket": PLATE},
    }  # fmt: skip
    made = {wish: left_open(**hinge) for wish, hinge in hinges.items()}
    return {wish: (wanted, worked(wanted)) for wish, wanted in made.items()}


def misses(sizes, pivot, opening):
    """How far face and edge are out when one pivot is used at one angle, worked out by replay."""
    level, lean = gate.opened(sizes, pivot, 90.0), gate.opened(sizes, pivot, opening)
    return abs(level.face_step), abs(lean.edge_above_floor - 700.0)


def test_the_best_angle_becomes_that_of_the_stop(by_wish):
    for wish, (_, done) in by_wish.items():
        found = done.free_angle
        assert found.wish == wish
        assert done.pivot_status == "chosen"
        (lean,) = [s for s in done.stops if s.name == "lean"]
        assert lean.opening_deg == found.best.opening_deg
        assert 110.0 <= lean.opening_deg <= 130.0
        assert found.best.below_level_deg == pytest.approx(lean.opening_deg - 90.0)
        assert np.array_equal(done.pivot, found.best.pivot)
        assert max(misses(done.sizes, done.pivot, lean.opening_deg)) <= 1.0 + 1e-6
        assert found.explanation in done.explanation


def test_a_fixed_stop_at_that_angle_comes_to_the_same(by_wish):
    _, done = by_wish["largest forgiveness"]
    turn = done.free_angle.best.opening_deg
    lean = {"below_level": None, "turn": turn, "edge_above_floor": 700.0}
    wanted = asking(level=SQUARE, lean=lean, gaps={"nose": None})
    fixed = evaluation.evaluate_gate(wanted, JOB, marks=done.marks, likely_errors=False)
    assert fixed.stops == done.stops
    assert fixed.closest == done.closest
    assert fixed.window == done.window
    assert fixed.stays == done.stays


def test_every_wish_is_met_better_than_at_any_other_angle(by_wish):
    for wish, name in (("largest gap", "gap"), ("largest forgiveness", "forgiveness")):
        found = by_wish[wish][1].free_angle
        values = [getattr(row, name) for row in found.rows if row.place is not None]
        assert len(values) >= 3
        assert getattr(found.best, name) >= max(values) - 0.005
    kind = by_wish["largest forgiveness"][1].free_angle
    alike = [row.gap for row in kind.rows if row.forgiveness >= kind.best.forgiveness - 0.005]
    assert kind.best.gap >= max(alike)
    gap = by_wish["largest gap"][1].free_angle.best.gap
    assert gap >= by_wish["largest forgiveness"][1].free_angle.best.gap
    near = by_wish["nearest to the wanted spot"][1]
    spot = gate.pivot_at(near.sizes, 12.0, 20.0)
    assert near.free_angle.best.off_spot > 1.0
    assert np.hypot(*(near.pivot - spot)) == pytest.approx(near.free_angle.best.off_spot)
    # No pivot nearer lands at any angle: all round the spot, a little nearer, something misses.
    for way in np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False):
        pivot = spot + 0.97 * near.free_angle.best.off_spot * np.array([np.cos(way), np.sin(way)])
        least = min(max(misses(near.sizes, pivot, turn)) for turn in np.linspace(110.0, 130.0, 81))
        assert least > 1.0


def test_a_hole_of_the_bracket_is_the_pivot(by_wish):
    wanted, done = by_wish["on a hole of the bracket"]
    best = done.free_angle.best
    assert best.hole == 3
    assert best.used < 0.05
    assert np.allclose(done.pivot, (-10.0, -18.0))
    assert done.bracket.metal > 0.0  # the hole for the pin is no hole to keep off
    page = repr(gate_page(wanted, done, JOB, Words(JOB)))
    assert "8.0 mm for the pin" in page
    assert "('in the hinge plate', \"wall's outer face\"" in page  # not one long line, which would wrap
    assert f"{best.opening_deg:.1f}\N{DEGREE SIGN} from shut" in page
    text = repr(angle_blocks(done, Words(JOB)))
    assert "hole 3 of the hinge plate serves best" in text
    assert "3: misses" in text


def test_a_hole_that_lies_on_no_mark_of_the_ruler_is_said(by_wish):
    wanted, done = by_wish["on a hole of the bracket"]
    assert "The marks miss" not in said(done)
    coarse = evaluation.evaluate_gate(wanted, dataclasses.replace(JOB, ruler="1/16 in"), likely_errors=False)
    off = np.hypot(*(coarse.holes.jamb - (-10.0, -18.0)))
    assert off > 0.3
    assert f"The marks miss hole 3 of the hinge plate: {off:.2f} mm" in said(coarse)


def test_the_sheet_shows_the_pivot_over_the_angle_and_why(by_wish):
    wanted, done = by_wish["largest forgiveness"]
    (table,) = [b for b in angle_blocks(done, Words(JOB)) if isinstance(b, Table)]
    taken = [row for row in table.rows if "TAKEN" in row[0]]
    assert len(taken) == 1
    best = done.free_angle.best
    assert f"{best.opening_deg:.1f}\N{DEGREE SIGN}" in taken[0][0]
    assert taken[0][1] == f"{best.place.from_inner_face:.2f} mm outward"
    assert 4 <= len(table.rows) <= 13
    assert any("no place" in row for row in table.rows)
    text = repr(gate_blocks(wanted, done, JOB, Words(JOB)))
    assert "there the hole may be off farthest" in text
    assert "What is wished: largest forgiveness" in text
    assert angle_blocks(worked(GATE), Words(JOB)) == []


def test_where_no_angle_serves_it_is_said():
    wanted = asking(level=SQUARE, lean=LEAN | {"edge_above_floor": 100.0}, gaps={"nose": None})
    done = worked(wanted)
    assert done.verdict == "cannot"
    assert not done.free_angle.found
    assert "at no angle of 'lean' is there a place for the pivot" in done.explanation
    assert "a wider range" in done.findings[0].advice  # a pivot cannot be given beside an angle left open
    assert gate_blocks(wanted, done, JOB, Words(JOB))
    thin = worked(asking(level=SQUARE, lean=LEAN, gaps={"nose": None}, hinge={"bush_diameter": 25.0}))
    assert "too thin" in thin.explanation
    near_edge = left_open(wish="on a hole of the bracket", bracket=PLATE, bush_diameter=18.0)
    assert "does a hole of the hinge plate" in worked(near_edge).explanation


def test_a_limit_may_be_asked_at_an_angle_left_open():
    lean = LEAN | {"edge_is": "at most", "edge_above_floor": 705.0}
    done = worked(asking(level=SQUARE, lean=lean, gaps={"nose": None}))
    (stop,) = [s for s in done.stops if s.name == "lean"]
    assert stop.edge_above_floor <= 706.0 + 1e-6
    assert "is out at 'lean'" not in said(done)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"lean": LEAN | {"below_level_to": 10.0}}, "is not beyond below_level_from"),
        ({"lean": LEAN | {"turn": 120.0}}, "one angle or one range"),
        ({"lean": LEAN | {"edge_above_floor": None}}, "say what must be true there"),
        ({"lean": LEAN | {"below_level_to": None}}, "go together"),
        ({"lean": LEAN | {"face": "flush", "within": 0.0}}, "allow each a little"),
        ({"lean": LEAN, "level": {"lands": None, "turn_from": 80.0, "turn_to": 95.0}}, "one may, give the angle"),
        ({"lean": LEAN, "hinge": {"pivot_from_inner_face": 18.0, "pivot_below_worktop": 18.0}}, "the pivot is given"),
        ({"hinge": {"wish": "largest gap"}}, "decides an angle that is left open"),
        ({"lean": LEAN, "hinge": {"wish": "nearest to the wanted spot"}}, "give spot_from_inner_face"),
        ({"lean": LEAN, "hinge": {"wish": "on a hole of the bracket"}}, "takes_pin = true"),
        ({"lean": LEAN, "hinge": {"spot_from_inner_face": 1.0, "spot_below_worktop": 2.0}}, "leave out spot_from"),
        ({"hinge": {"ear_radius": 14.0, "bracket": dataclasses.replace(ROOMY, fixed_to="gate")}}, "leave one out"),
        ({"lean": LEAN, "hinge": {"pin_diameter": 10.0, "bracket": PLATE}}, "8 mm that takes_pin; 10 mm must go in"),
    ],
)
def test_an_angle_left_open_is_refused_in_shop_words(change, says):
    with pytest.raises(fs.InvalidInput, match=says):
        asking(**change)


@pytest.fixture(scope="module")
def in_file():
    text = (
        TEXT.replace(
            "below_level = 35         # further down, to lean on",
            """
below_level_from = 20
below_level_to = 40
edge_above_floor = 700
""",
        )
        .replace("nose_gap = 3             #", "#")
        .replace("nose = 3\n", "")
        .replace("above_floor = 900", "above_floor = [899, 901]", 1)
    )
    job = jobs.loads(text.replace("[[gate.station]]\nfrom_left = 900\nworktop_down = 2", ""))
    return job, evaluation.evaluate_gate(job.gate[0], job, likely_errors=False)


def test_results_json_has_the_pivot_over_the_angle(in_file):
    job, done = in_file
    results = evaluation.Results(job.title, "", (done,), (), (), ())
    read = json.loads(output.results_json(results, b"", "job.toml"))["gates"][0]["free_angle"]
    assert read["stop"] == "lean"
    assert read["best"]["opening_deg"] == done.free_angle.best.opening_deg
    assert len(read["rows"]) >= 4


def test_readings_that_differ_do_not_move_the_angle_that_was_taken(in_file):
    job, done = in_file
    moved = {row.what: row.plus_minus for row in uncertain(job) if row.part == done.name}
    assert any(what.startswith("pivot") for what in moved)
    assert not any(what.startswith("opening at 'lean'") for what in moved)


def test_the_first_fit_goes_by_the_angle_taken(in_file):
    job, done = in_file
    turn = done.free_angle.best.opening_deg
    level, lean = (gate.opened(done.sizes, done.holes, opening) for opening in (90.0, turn))
    assert level.face_step == pytest.approx(0.0, abs=0.5)
    readings = f"""
format = 1
units = 'mm'
reading_error = 0.1
[[side]]
end = 'left end'
[side.shut]
nose_gap = 3
sill_gap = 4
[[side.stop]]
name = 'level'
tilt = 0
face_step = {abs(level.face_step)}
face = '{"proud" if level.face_step > 0 else "low"}'
[[side.stop]]
name = 'lean'
tilt = {turn - 90.0}
falls = 'outward'
edge_drop = {lean.edge_drop}
"""
    side = evaluate_first_fit(job, loads_first_fit(readings)).sides[0]
    (row,) = [a for a in side.after if a.stop == "lean"]
    assert row.wanted == pytest.approx(-200.0)
    assert row.now == pytest.approx(-lean.edge_drop, abs=0.1)
    assert "200.0 below, within 1" in "\n".join(first_fit_lines(evaluate_first_fit(job, loads_first_fit(readings))))
