"""foldswing fit: from a form filled in after the first fit to what is to be moved."""

from __future__ import annotations

import dataclasses
import re

import foldswing as fs
import numpy as np
import pytest
from click.testing import CliRunner
from foldswing import evaluation, forms, gate, job
from foldswing.__main__ import main
from foldswing.job import loads_first_fit
from foldswing.report.first_fit import first_fit_lines

DEMO = job.shipped()["lantern_nine"]
SURE = "errors.measured = 0\nerrors.hole = 0.4\n"  # edges just where they were said to be


@pytest.fixture(scope="module")
def demo() -> job.Job:
    text = DEMO.read_text(encoding="utf-8").replace("[[material]]", "[errors]\nmeasured = 0.001\n\n[[material]]", 1)
    return job.loads(text)


@pytest.fixture(scope="module")
def made(demo) -> evaluation.GateResult:
    return evaluation.evaluate_gate(demo.gate[0], demo, likely_errors=False)


def misdrilled(made, off_gate, off_jamb) -> gate.Holes:
    return gate.Holes(made.holes.gate + np.array(off_gate), made.holes.jamb + np.array(off_jamb))


def read(made, holes, *, end="left end", noise=None, times=1, sizes=None) -> str:
    """The file of readings a fabricator would fill in for a gate drilled so."""
    sizes = sizes or made.sizes
    shift = holes.jamb - holes.gate

    def several(true: float) -> str:
        values = [float(true) + (0.0 if noise is None else float(noise.normal(0, 0.4))) for _ in range(times)]
        return str([abs(round(v, 6)) for v in values]) if times > 1 else repr(abs(values[0]))

    lines = ["[[side]]", f"end = '{end}'", "[side.shut]"]
    lines += [f"nose_gap = {several(3 + shift[0])}", f"sill_gap = {several(4 + shift[1])}"]
    lines += [f"head_gap = {several(4 - shift[1])}"]
    for stop, tilt in (("level", 0.0), ("lean", 35.0)):
        now = gate.opened(sizes, holes, 90 + tilt)
        lines += ["[[side.stop]]", f"name = '{stop}'", f"tilt = {tilt}", "falls = 'outward'"]
        lines += [f"edge_drop = {several(now.edge_drop)}"] if stop == "lean" else []
        if stop == "level":
            step = several(now.face_step)
            lines += [f"face_step = {step}", f"face = '{'proud' if now.face_step > 0 else 'low'}'"]
            lines += [f"nose_gap = {several(now.nose_gap)}"]
    return "\n".join(lines) + "\n"


HEAD = "format = 1\nunits = 'mm'\n"


def sure(text: str) -> str:
    """The same, the angle finder read without an error."""
    return "angle_error = 0.0001\n" + text


@pytest.mark.parametrize(("off_gate", "slip"), [((4.0, -0.6), True), ((0.9, -0.6), False)])
def test_a_hole_farther_off_than_a_drill_wanders_is_read_again_first(demo, made, off_gate, slip) -> None:
    text = HEAD + read(made, misdrilled(made, off_gate, (-0.5, 1.1)))
    done = evaluation.evaluate_first_fit(demo, loads_first_fit(text))
    said = [line for line in first_fit_lines(done) if "farther than a drill wanders" in line]
    assert bool(said) == slip
    if slip:
        least = max(done.sides[0].readings, key=lambda r: r.noticed)
        assert said[0].endswith(f"{least.stop}, {least.words}")


def test_exact_readings_give_the_holes_and_what_to_move(demo, made) -> None:
    at = evaluation.evaluate_first_fit(demo, loads_first_fit(HEAD + read(made, made.holes))).sides[0]
    assert at.move.which == "none"
    built = misdrilled(made, (0.9, -0.6), (-0.5, 1.1))
    sizes = ends(demo, made)
    file = loads_first_fit(HEAD + sure("reading_error = 0.01\n" + read(made, built, sizes=sizes)))
    done = evaluation.evaluate_first_fit(demo, file)
    side = done.sides[0]
    assert side.fit.panel == pytest.approx(built.gate, abs=5e-3)
    assert side.fit.body == pytest.approx(built.jamb, abs=5e-3)
    assert not done.right
    both = next(m for m in side.moves if m.which == "both")
    assert built.gate + both.panel == pytest.approx(made.holes.gate, abs=5e-3)
    assert built.jamb + both.body == pytest.approx(made.holes.jamb, abs=5e-3)
    now = {(a.stop, a.words): a.now for a in side.after}
    assert now["shut", "gap to the nose"] == pytest.approx(3 - 1.4, abs=0.01)
    assert now["level", "step of the inner face"] == pytest.approx(gate.opened(sizes, built, 90).face_step, abs=0.01)
    for a in side.after:
        assert a.then == pytest.approx(a.wanted, abs=0.4)  # the best that one way of moving them does


def test_edges_measured_again_are_told_from_misdrilled_holes(made) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("[[material]]", "[errors]\nmeasured = 0.5\n\n[[material]]", 1)
    loose = job.loads(text)
    # The nose stands 0.8 mm nearer than it was measured, the sill 0.6 mm lower: gaps 0.8 narrower, 0.6 wider.
    readings = HEAD + sure("reading_error = 0.01\n" + read(made, made.holes, sizes=ends(loose, made)))
    readings = readings.replace("nose_gap = 3.0", "nose_gap = 2.2").replace("sill_gap = 4.0", "sill_gap = 4.6")
    sizes = ends(loose, made)
    again = (
        f"[side.again]\nnose_behind_wall = {sizes.nose_behind_wall - 0.8!r}\n"
        f"sill_below_worktop = [{sizes.sill_below_worktop + 0.5!r}, {sizes.sill_below_worktop + 0.7!r}]\n"
        f"head_above_worktop = {sizes.head_above_worktop!r}\n"
    )
    file = loads_first_fit(readings.replace("[side.shut]", again + "[side.shut]"))
    side = evaluation.evaluate_first_fit(loose, file).sides[0]
    assert side.once == ()
    assert side.fit.edges == pytest.approx([0.8, -0.6, 0.0], abs=0.02)
    assert side.fit.body == pytest.approx(made.holes.jamb, abs=0.02)
    now = {(a.stop, a.words): a.now for a in side.after}
    assert now["shut", "gap to the nose"] == pytest.approx(2.2, abs=0.02)
    assert now["shut", "gap to the sill"] == pytest.approx(4.6, abs=0.02)
    without = evaluation.evaluate_first_fit(loose, loads_first_fit(readings))
    assert without.sides[0].once == ("nose", "sill", "head")
    assert any("[side.again]" in line for line in first_fit_lines(without))


def ends(demo, made):
    from foldswing.evaluation.first_fit import _end

    file = loads_first_fit(HEAD + "[[side]]\nend = 'left end'")
    return _end(demo.gate[0], demo, made, file, 0).sizes


def test_a_digit_swapped_is_named_and_left_out(demo, made) -> None:
    rng = np.random.default_rng(4)
    built = misdrilled(made, (0.4, 0.0), (0.0, 0.3))
    text = HEAD + read(made, built, noise=rng, times=4, sizes=ends(demo, made))
    found = re.search(r"sill_gap = \[([\d.]+)", text)
    assert found
    wrong = text.replace(f"sill_gap = [{found[1]}", f"sill_gap = [{float(found[1]) + 6:.3f}")
    side = evaluation.evaluate_first_fit(demo, loads_first_fit(wrong)).sides[0]
    assert [r.path for r in side.readings if r.suspect] == ["side[1].shut.sill_gap"]
    assert side.left_out == ("side[1].shut.sill_gap",)
    assert side.left_out_by == pytest.approx(6, abs=1.5)
    clean = evaluation.evaluate_first_fit(demo, loads_first_fit(text)).sides[0]
    assert side.fit.body == pytest.approx(clean.fit.body, abs=0.25)


def test_what_nothing_checks_and_what_is_not_told_are_said(demo, made) -> None:
    by = "corrected_by = 'adjusters on both'\n"
    text = HEAD + by + "[[side]]\nend = 'left end'\nshut.nose_gap = [3.4, 3.5, 3.3]\nshut.sill_gap = 4\n"
    done = evaluation.evaluate_first_fit(demo, loads_first_fit(text))
    assert not any(r.checked for r in done.sides[0].readings)  # repeats of a reading do not check how it was taken
    said = "\n".join(first_fit_lines(done))
    assert "nothing checks: shut, gap to the nose; shut, gap to the sill" in said
    assert "the readings do not tell: both holes together" in said
    assert "not known" in said


def test_both_ends_are_compared(demo, made) -> None:
    sizes = ends(demo, made)
    left = misdrilled(made, (0.0, 0.0), (0.0, 1.5))
    text = HEAD + "reading_error = 0.05\n" + read(made, left, sizes=sizes) + read(made, made.holes, end="right end")
    done = evaluation.evaluate_first_fit(demo, loads_first_fit(text))
    assert done.pair is not None
    apart = np.hypot(*done.pair.at[0].apart)
    assert apart == pytest.approx(1.5, abs=0.3)
    said = "\n".join(first_fit_lines(done))
    assert "left and right are out of line by" in said
    assert done.pair.worst.clearance == pytest.approx(20 * np.hypot(*done.pair.worst.apart) / 1180, rel=1e-6)


def test_an_adjuster_is_told_only_to_move_its_own_hole(demo, made) -> None:
    built = misdrilled(made, (0.9, -0.6), (-0.5, 1.1))
    for by, moves in (("adjuster on the jamb", {"none", "body"}), ("adjuster on the gate", {"none", "panel"})):
        text = HEAD + f"corrected_by = '{by}'\n" + read(made, built)
        side = evaluation.evaluate_first_fit(demo, loads_first_fit(text)).sides[0]
        assert {m.which for m in side.moves} == moves


def test_a_slot_is_not_told_to_go_where_it_does_not_run(demo, made) -> None:
    slot = job.Adjuster(kind="slotted hole", hole="jamb", runs="up and down", up=0.5, down=0.5)
    slotted = dataclasses.replace(demo, gate=(dataclasses.replace(demo.gate[0], adjuster=(slot,)), *demo.gate[1:]))
    text = HEAD + "corrected_by = 'adjuster on the jamb'\n" + sure(read(made, misdrilled(made, (0, 0), (-0.5, 2.0))))
    done = evaluation.evaluate_first_fit(slotted, loads_first_fit(text))
    side = done.sides[0]
    (beyond,) = side.out_of_reach
    assert side.move.body == pytest.approx([0.0, -0.5], abs=1e-9)
    anyway = evaluation.evaluate_first_fit(demo, loads_first_fit(text)).sides[0].move
    assert beyond.askew == pytest.approx([anyway.body[0], 0.0], abs=1e-9)
    assert beyond.over == pytest.approx(abs(anyway.body[1]) - 0.5)
    assert side.move.worst > 1.0 > anyway.worst
    said = "\n".join(first_fit_lines(done))
    assert re.search(r"NOT ENOUGH: .* slotted hole in the jamb .* mm .* outward, square to the way it goes and", said)
    assert not side.right
    drilled = evaluation.evaluate_first_fit(slotted, loads_first_fit(HEAD + read(made, made.holes)))
    assert drilled.sides[0].out_of_reach == ()


def test_the_command_prints_the_move_and_sets_its_code(tmp_path, made) -> None:
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(HEAD + read(made, made.holes), encoding="utf-8")
    bad.write_text(HEAD + read(made, misdrilled(made, (2.0, 0.0), (0.0, 0.0))), encoding="utf-8")
    run = CliRunner().invoke(main, ["fit", str(DEMO), str(good)])
    assert run.exit_code == 0, run.output
    assert "LEAVE IT" in run.output
    run = CliRunner().invoke(main, ["fit", str(DEMO), str(bad)])
    assert run.exit_code == 1, run.output
    assert re.search(r"gate's hole: .* mm = .*in.* inward", run.output)
    assert "CAUTION" in run.output
    assert "at most 92 of 100" in run.output
    assert "-" not in re.findall(r"gate's hole: .*", run.output)[0].replace(" -", "").split("(")[0].replace("1-", "")


def test_gaps_read_by_a_finer_tool_count_for_more(demo, made) -> None:
    built = misdrilled(made, (0.9, -0.6), (-0.5, 1.1))
    coarse, fine = (
        evaluation.evaluate_first_fit(demo, loads_first_fit(HEAD + error + read(made, built)))
        for error in ("", "gap_error = 0.05\n")
    )
    errors = {(r.stop, r.words): r.error for r in fine.sides[0].readings}
    assert errors["shut", "gap to the sill"] == errors["level", "gap to the nose"] == 0.05
    assert errors["level", "step of the inner face"] == errors["lean", "free edge below the worktop"] == 0.5
    apart = np.array([0.0, -1.0, 0.0, 1.0])  # one hole above the other: what the gaps to sill and head tell
    before, after = (apart @ d.sides[0].fit.covariance[:4, :4] @ apart for d in (coarse, fine))
    assert after < 0.02 * before
    assert fine.average == coarse.average == 70  # the step and the edge were still read once, by the tape
    enough = HEAD + "reading_error = 0.05\n" + read(made, built)
    assert evaluation.evaluate_first_fit(demo, loads_first_fit(enough)).few == 1


def test_the_form_and_its_file_have_the_same_letters(tmp_path, demo) -> None:
    run = CliRunner().invoke(main, ["fit", str(DEMO), "--form", str(tmp_path / "out")])
    assert run.exit_code == 0, run.output
    text = (tmp_path / "out/first-fit.toml").read_text(encoding="utf-8")
    assert (tmp_path / "out/first-fit-form.pdf").read_bytes().startswith(b"%PDF")
    page = forms.first_fit_drawing(demo, demo.gate[0], paper="A4")
    on_page = {e.text for e in page.entities if hasattr(e, "text")}
    letters = set(re.findall(r'"([A-Z])\?"', text))
    assert letters
    assert letters <= on_page
    filled = re.sub(r'# (\w+) = "[A-Z]\?"', r"\1 = 3.0", text)
    filled = filled.replace('# falls = "outward"', 'falls = "outward"').replace('# face = "proud"', 'face = "proud"')
    assert loads_first_fit(filled).fit.gate == "counter gate"
    with pytest.raises(fs.InvalidInput, match="is still empty: it is letter A of the measuring form"):
        loads_first_fit(text.replace("# nose_gap", "nose_gap", 1))
    again = CliRunner().invoke(main, ["fit", str(DEMO), "--form", str(tmp_path / "out")])
    assert again.exit_code == 3  # nothing is replaced unasked


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "begins with the line: format = 1"),
        ("format = 2", "formats up to 1"),
        ("format = 1\ntitle = 'x'", "this is a job file"),
        (HEAD, "lacks 'side'"),
        (HEAD + "[[side]]\nend = 'middle'", "must be one of 'left end', 'right end'"),
        (HEAD + "[[side]]\nend = 'left end'\nshut.nose_gap = -3", "distances are positive"),
        (
            HEAD + "[[side]]\nend = 'left end'\n[[side.stop]]\nname = 'level'\ntilt = 0.4",
            "'falls' does not say which way",
        ),
        (HEAD + "[[side]]\nend = 'left end'\n[[side.stop]]\nname = 'level'\nface = 'low'", "there is no 'face_step'"),
        (HEAD + "[[side]]\nend = 'left end'\n[[side]]\nend = 'left end'", "the same end twice"),
        (HEAD + "reading_error = 0\n[[side]]\nend = 'left end'", "reading_error must be"),
    ],
)
def test_a_bad_file_is_refused_in_words(text, said) -> None:
    with pytest.raises(fs.InvalidInput, match=re.escape(said)):
        loads_first_fit(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("gate = 'hatch'\n[[side]]\nend = 'left end'\nshut.nose_gap = 3", "gate must be one of the job, got 'hatch'"),
        ("[[side]]\nend = 'left end'\n[[side.stop]]\nname = 'lvel'\nnose_gap = 3", "did you mean 'level'"),
        ("[[side]]\nend = 'left end'\n[[side.stop]]\nname = 'level'\ntilt = 0", "has no reading yet"),
    ],
)
def test_readings_that_do_not_belong_to_the_job_are_refused(demo, text, said) -> None:
    with pytest.raises(fs.InvalidInput, match=re.escape(said)):
        evaluation.evaluate_first_fit(demo, loads_first_fit(HEAD + text))


def test_the_keys_of_the_file_are_explained() -> None:
    run = CliRunner().invoke(main, ["keys", "fit"])
    assert run.exit_code == 0
    for said in ("[side.trace]", "[[side.pose]]", "gap_error", "edge_above_floor", "Exactly one of: upper or tilt."):
        assert said in run.output


def test_the_command_wants_readings_or_a_form(tmp_path) -> None:
    run = CliRunner().invoke(main, ["fit", str(DEMO)])
    assert run.exit_code == 2
    assert "--form FOLDER" in run.stderr
    run = CliRunner().invoke(main, ["fit", str(DEMO), str(tmp_path / "none.toml")])
    assert run.exit_code == 2


SLOT = """[[gate.adjuster]]
kind = "slotted hole"
hole = "jamb"
runs = "up and down"
up = 0.5
down = 3

[[gate.stop]]"""


@pytest.fixture(scope="module")
def slotted(demo) -> job.Job:
    """The demo with a slot in the jamb."""
    text = DEMO.read_text(encoding="utf-8").replace("[[material]]", "[errors]\nmeasured = 0.001\n\n[[material]]", 1)
    return job.loads(text.replace("[[gate.stop]]", SLOT, 1))


def test_the_jobs_own_adjuster_is_what_corrects_and_its_reach_is_told(slotted, demo, made) -> None:
    low = misdrilled(made, (0.0, 0.0), (0.0, -2.0))
    done = evaluation.evaluate_first_fit(slotted, loads_first_fit(HEAD + read(made, low)))
    assert done.corrected_by == "adjuster on the jamb"
    (side,) = done.sides
    assert side.move.body == pytest.approx([0.0, 0.5], abs=1e-9)
    face = next(a for a in side.after if a.words == "step of the inner face")
    assert face.then - face.now == pytest.approx(0.5, abs=1e-9)
    said = "\n".join(first_fit_lines(done))
    assert re.search(r"slotted hole in the jamb would have to move the hole 1\.5 mm .* more than it goes", said)
    high = evaluation.evaluate_first_fit(
        slotted, loads_first_fit(HEAD + read(made, misdrilled(made, (0.0, 0.0), (0.0, 2.0))))
    )
    assert high.sides[0].move.which == "body"
    assert high.sides[0].beyond == ()
    drilled = loads_first_fit(HEAD + "corrected_by = 'drilling'\n" + read(made, low))
    assert evaluation.evaluate_first_fit(slotted, drilled).sides[0].beyond == ()
    assert evaluation.evaluate_first_fit(demo, loads_first_fit(HEAD + read(made, low))).corrected_by == "drilling"


def test_how_far_an_eccentric_bush_comes_short_is_told(demo, made) -> None:
    bush = job.Adjuster(kind="eccentric bush", hole="jamb", throw=0.5, diameter=16)
    with_bush = dataclasses.replace(demo, gate=(dataclasses.replace(demo.gate[0], adjuster=(bush,)), *demo.gate[1:]))
    text = HEAD + sure(read(made, misdrilled(made, (0, 0), (0.0, -2.0))))
    done = evaluation.evaluate_first_fit(with_bush, loads_first_fit(text))
    (side,) = done.sides
    face = next(b for b in side.beyond if b.words == "step of the inner face")
    assert (face.asked, face.least, face.most) == pytest.approx((2.0, -0.5, 0.5), abs=0.05)
    assert face.left_over == pytest.approx(1.5, abs=0.05)
    assert re.search(
        r"1\.[45] mm of (1\.9|2\.0) mm up \(level, step of the inner face\)", "\n".join(first_fit_lines(done))
    )


def test_across_a_slot_nothing_is_reached(slotted, made) -> None:
    out = misdrilled(made, (0.0, 0.0), (0.6, -1.8))
    (side,) = evaluation.evaluate_first_fit(slotted, loads_first_fit(HEAD + read(made, out))).sides
    nose = next(a for a in side.after if (a.stop, a.words) == ("level", "gap to the nose"))
    assert nose.then == pytest.approx(nose.now, abs=1e-9)
    assert side.beyond == ()


def test_the_blank_file_says_what_corrects(slotted, demo) -> None:
    assert 'corrected_by = "adjuster on the jamb" # as this job' in forms.blank_first_fit(slotted, slotted.gate[0])
    assert 'corrected_by = "drilling" # or "adjuster on the jamb"' in forms.blank_first_fit(demo, demo.gate[0])
