"""The pivot of a hung gate, from an arc traced on a card and from the whole gate measured in several poses."""

from __future__ import annotations

import re

import foldswing as fs
import numpy as np
import pytest
from foldswing import evaluation, forms, gate, job
from foldswing.drawing import PAPERS, Text
from foldswing.evaluation import true_pivot
from foldswing.job import loads_first_fit
from foldswing.report.first_fit import first_fit_lines

HEAD = "format = 1\nunits = 'mm'\n[[side]]\nend = 'left end'\n"
PENCIL = np.array([-14.0, 250.0])  # on the gate's end, gate shut
SHUT = "[side.shut]\nnose_gap = 1.6\nsill_gap = 5.7\nhead_gap = 2.3\n"  # of the gate built as below
ANGLES = (0.0, 60.0, 90.0, 125.0)


@pytest.fixture(scope="module")
def demo() -> job.Job:
    text = job.shipped()["lantern_nine"].read_text(encoding="utf-8")
    return job.loads(text.replace("[[material]]", "[errors]\nmeasured = 0.001\n\n[[material]]", 1))


@pytest.fixture(scope="module")
def made(demo) -> evaluation.GateResult:
    return evaluation.evaluate_gate(demo.gate[0], demo, likely_errors=False)


@pytest.fixture(scope="module")
def built(made) -> gate.Holes:
    """Both holes as they were really drilled."""
    return gate.Holes(made.holes.gate + np.array([0.9, -0.6]), made.holes.jamb + np.array([-0.5, 1.1]))


def at(point) -> str:
    x, y = (float(v) for v in point)
    return f"{{ {'outward' if x >= 0 else 'inward'} = {abs(x)!r}, {'up' if y >= 0 else 'down'} = {abs(y)!r} }}"


def arc_of(holes, *, to=125.0, count=12) -> list[np.ndarray]:
    return [gate.pose(holes, t).apply(PENCIL) for t in np.linspace(0, to, count)]


def trace(points) -> str:
    return "[side.trace]\npoint = [\n" + "".join(f"{at(p)},\n" for p in points) + "]\n"


def ends(holes, sizes, angles=ANGLES) -> dict[str, list[np.ndarray]]:
    """Both ends of the inner face in every pose."""
    corners = gate.corners(sizes)
    return {f"opened {a:g}": [gate.pose(holes, a).apply(corners[k]) for k in (0, 3)] for a in angles}


def poses(measured) -> str:
    return "".join(
        f"[[side.pose]]\nname = '{name}'\nlower = {at(low)}\nupper = {at(high)}\n"
        for name, (low, high) in measured.items()
    )


def fitted(demo, text: str) -> tuple[evaluation.FirstFitResult, str]:
    done = evaluation.evaluate_first_fit(demo, loads_first_fit(text))
    return done, "\n".join(first_fit_lines(done))


def test_an_exact_trace_gives_the_jambs_hole(demo, built) -> None:
    arc = arc_of(built)
    done, said = fitted(demo, HEAD + trace(arc))
    (found,) = done.sides[0].pivots
    assert found.pivot == pytest.approx(built.jamb, abs=1e-9)
    assert done.sides[0].fit is None
    assert not done.right
    assert "farther than a drill wanders" not in said
    far = [p + np.array([-9.0, 0.0]) for p in arc]
    assert re.search(r"9.\d mm is farther than a drill wanders: see", fitted(demo, HEAD + trace(far))[1])
    assert "10.5 mm = 13/32 in (-0.18) inward from the wall's outer face, 16.9 mm" in said
    assert "off the drawing: 0.5 mm = 1/64 in (-0.10) inward and 1.1 mm = 3/64 in (+0.09) up" in said
    # The same arc on a card whose lower inner corner was 80 inward and 170 below.
    rows = [f"{{ from_inner_edge = {float(p[0]) + 80.0!r}, from_lower_edge = {float(p[1]) + 170.0!r} }}" for p in arc]
    card = f"[side.trace]\ncard = {{ inward = 80, down = 170 }}\npoint = [{', '.join(rows)}]\n"
    (again,) = fitted(demo, HEAD + card)[0].sides[0].pivots
    assert again.pivot == pytest.approx(built.jamb, abs=1e-9)


def test_exact_poses_give_both_holes(demo, made, built) -> None:
    done, _ = fitted(demo, HEAD + poses(ends(built, made.sizes)))
    side = done.sides[0]
    assert side.pivots[0].pivot == pytest.approx(built.jamb, abs=1e-9)
    assert side.fit.panel == pytest.approx(built.gate, abs=1e-6)
    assert side.fit.body == pytest.approx(built.jamb, abs=1e-6)
    assert all(np.hypot(*p.off) < 1e-9 for p in side.pivots[0].places)
    assert side.move.which != "none"
    _, said = fitted(demo, HEAD + poses(ends(made.holes, made.sizes)))
    assert "LEAVE IT" in said  # not: plug both holes and drill them again where they were


def test_a_pose_may_be_one_mark_and_the_tilt(demo, made, built) -> None:
    low, high = gate.corners(made.sizes)[[0, 3]]
    up = (high - low) / np.hypot(*(high - low))
    mark = low + 30.0 * up + 12.0 * np.array([up[1], -up[0]])
    text = (
        "marks.lower = { from_lower_edge = 30, from_inner_face = 12 }\n"
        "marks.upper = { from_lower_edge = 330, from_inner_face = 12 }\n"
    )
    for opening, tilt, falls in ((0.0, 90.0, "inward"), (90.0, 0.0, "outward"), (125.0, 35.0, "outward")):
        place = gate.pose(built, opening).apply(mark)
        text += f"[[side.pose]]\nname = '{opening:g}'\nlower = {at(place)}\ntilt = {tilt}\nfalls = '{falls}'\n"
    (found,) = fitted(demo, HEAD + text)[0].sides[0].pivots
    assert found.pivot == pytest.approx(built.jamb, abs=1e-9)
    assert found.turned_deg == pytest.approx(125)


def test_the_error_said_is_the_error_there_is(demo, made, built) -> None:
    rng = np.random.default_rng(20)
    drawn = true_pivot.Drawn(made.sizes, made.holes)
    inside = {"trace": 0, "poses": 0}
    trials = 150
    for _ in range(trials):
        # A point out by 0.5 each way is out by 0.5 square to the arc.
        arc = [p + rng.normal(0, 0.5, 2) for p in arc_of(built, count=8)]
        read = {n: [p + rng.normal(0, 0.5, 2) for p in both] for n, both in ends(built, made.sizes).items()}
        file = loads_first_fit(HEAD + trace(arc) + poses(read))
        side = file.fit.side[0]
        taken = true_pivot.read_poses(side, drawn, file, "side[1]", 1)
        sound = true_pivot.Doubt((), float("nan"), 1.0, 8)
        for found in (
            true_pivot.from_trace(side.trace, drawn, file, "side[1].trace"),
            true_pivot.from_poses(taken, drawn, sound),
        ):
            e = found.ellipse
            along = fs.Pose(0, 0, -e.angle_deg).apply(found.pivot - built.jamb)
            inside[found.how] += np.hypot(along[0] / e.semi_major, along[1] / e.semi_minor) <= 1
    assert 0.90 * trials <= inside["trace"] <= 0.99 * trials
    assert 0.90 * trials <= inside["poses"]  # a turn misread counts square to its arm only: a little too wide


def test_a_wrong_point_of_a_trace_is_named_and_left_out(demo, built) -> None:
    rng = np.random.default_rng(3)
    arc = [p + rng.normal(0, 0.3, 2) for p in arc_of(built)]
    clean, said = fitted(demo, HEAD + trace(arc))
    assert "LOOKS WRONG" not in said
    away = (arc[4] - built.jamb) / np.hypot(*(arc[4] - built.jamb))
    arc[4] = arc[4] + 6.0 * away
    done, said = fitted(demo, HEAD + trace(arc))
    (found,) = done.sides[0].pivots
    assert [p.name for p in found.places if p.suspect] == ["point 5"]
    assert found.left_out
    assert found.off_by == pytest.approx(6, abs=1)
    assert found.pivot == pytest.approx(clean.sides[0].pivots[0].pivot, abs=0.5)
    assert "LOOKS WRONG: point 5, by about" in said


def test_a_wrong_pose_is_named_and_left_out(demo, made, built) -> None:
    measured = ends(built, made.sizes)
    measured["opened 90"][0] = measured["opened 90"][0] + [0.0, 7.0]
    done, said = fitted(demo, HEAD + poses(measured))
    (found,) = done.sides[0].pivots
    assert [p.name for p in found.places if p.suspect] == ["opened 90"]
    assert found.pivot == pytest.approx(built.jamb, abs=1e-9)  # by the three others
    assert "LOOKS WRONG: pose 'opened 90', lower end of the face, up or down, by about 7.0 mm" in said
    assert re.search(r"pose 'opened 90' would have the pivot off that: .*<- looks wrong", said)


def test_a_gate_that_slid_is_told_so(demo) -> None:
    slid = {"shut": [(-28, -36), (-28, 324)], "half": [(-8, -36), (-8, 324)]}
    done, said = fitted(demo, HEAD + poses(slid))
    assert done.sides[0].pivots[0].status == "slide"
    assert "the gate slid, it did not turn" in said
    slid["half"] = [(-8, -36), (-7.7, 324)]  # turned no more than readings are out
    assert "the gate slid, it did not turn" in fitted(demo, HEAD + poses(slid))[1]
    slid["half"] = slid["shut"]
    assert "the gate was not moved" in fitted(demo, HEAD + poses(slid))[1]
    straight = [(10.0 * i, -30.0) for i in range(6)]
    assert "is straight: the gate slid, it did not turn" in fitted(demo, HEAD + trace(straight))[1]


def test_ways_of_reading_that_contradict_each_other_are_told(demo, made, built) -> None:
    read = poses(ends(built, made.sizes))
    done, said = fitted(demo, HEAD + read + trace(arc_of(built)))
    assert all(p.right for p in done.sides[0].pivots)
    assert "agrees with the poses" in said
    loose = gate.Holes(built.gate, built.jamb + np.array([4.0, 0.0]))
    done, said = fitted(demo, HEAD + read + trace(arc_of(loose)))
    assert done.sides[0].pivots[1].apart == pytest.approx(4.0, abs=1e-6)
    assert "WARNING: by the poses the jamb's hole is 4.0 mm = 5/32 in" in said
    assert "the pin is loose in its hole, the jamb gives" in said


def test_poses_that_contradict_the_gaps_and_steps_are_not_mixed_with_them(demo, made, built) -> None:
    now = gate.opened(made.sizes, built, 125)
    level = gate.opened(made.sizes, built, 90)
    read = SHUT + (
        f"[[side.stop]]\nname = 'level'\ntilt = 0\nface_step = {level.face_step!r}\nface = 'proud'\n"
        f"nose_gap = {level.nose_gap!r}\n"
        f"[[side.stop]]\nname = 'lean'\ntilt = 35\nfalls = 'outward'\nedge_drop = {abs(now.edge_drop)!r}\n"
    )
    agreeing, said = fitted(demo, HEAD + read + poses(ends(built, made.sizes)))
    assert "agrees with the gaps and steps" in said
    assert any(r.stop.startswith("pose ") for r in agreeing.sides[0].readings)
    loose = gate.Holes(built.gate, built.jamb + np.array([0.0, 6.0]))
    apart, said = fitted(demo, HEAD + read + poses(ends(loose, made.sizes)))
    assert "WARNING: by the gaps and steps the jamb's hole is" in said
    assert not any(r.stop.startswith("pose ") for r in apart.sides[0].readings)
    alone, _ = fitted(demo, HEAD + read)
    assert apart.sides[0].move == alone.sides[0].move


def test_a_trace_beside_the_gaps_of_the_shut_gate_gives_both_holes(demo, made, built) -> None:
    done, said = fitted(demo, HEAD + SHUT + trace(arc_of(built)))
    fit = done.sides[0].fit
    assert fit.status == "both"
    assert fit.body == pytest.approx(built.jamb, abs=1e-9)
    assert fit.panel == pytest.approx(built.gate, abs=1e-2)
    assert np.isfinite(fit.panel_ellipse.semi_major)
    assert fit.panel_ellipse.semi_major > fit.body_ellipse.semi_major
    assert "the readings do not tell" not in said
    stray = [p + 3.0 * np.array([(-1) ** k, 0.0]) for k, p in enumerate(arc_of(built, count=6))]
    doubted, said = fitted(demo, HEAD + SHUT + trace(stray))
    assert "WARNING: the points stray from a round arc" in said
    assert doubted.sides[0].fit.status == "partly"  # nothing is drilled by a trace in doubt
    assert "both holes together, any way, would change none of them" in said


TRACE = "[side.trace]\npoint = [{ inward = 1, up = 2 }, { inward = 3, up = 9 }, { outward = 20, up = 9 }]\n"
POSE = "[[side.pose]]\nname = 'shut'\nlower = { inward = 28, down = 36 }\nupper = { inward = 28, up = 324 }\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[side.trace]\npoint = [{ inward = 1, up = 2 }]", "must come at least 3 times, got 1"),
        (TRACE.replace("inward = 1,", ""), "give exactly one of outward, inward or from_inner_edge, got none"),
        (TRACE.replace("inward = 1", "inward = 1, outward = 2"), "got outward and inward"),
        (TRACE.replace("inward = 1", "inward = -1"), "distances are positive"),
        (TRACE.replace("inward = 1", "inward = nan"), "must be a length"),
        (TRACE.replace("inward = 1", "from_inner_edge = 1"), "card is missing: point[1].from_inner_edge"),
        (TRACE.replace("point = [{", "reading_error = 0\npoint = [{"), "reading_error must be a length > 0"),
        (TRACE.replace("[side.trace]", "[[side.trace]]"), "comes once: write [side.trace] with one bracket"),
        (POSE, "one position of the gate tells no pivot"),
        (POSE + POSE, "has the name 'shut' 2 times"),
        (POSE.replace("upper", "# upper") + POSE.replace("shut", "level"), "give exactly one of upper or tilt"),
        (POSE + "tilt = 3\n" + POSE.replace("shut", "level"), "give exactly one of upper or tilt"),
        (POSE + POSE.replace("shut", "x").replace("lower =", "# lower ="), "lacks 'lower'"),
        (
            "marks.lower = { from_lower_edge = 9, from_inner_face = 1 }\n"
            "marks.upper = { from_lower_edge = 28, from_inner_face = 1 }\n" + POSE + POSE.replace("shut", "level"),
            "must be at least 20 mm farther from the lower edge than the lower mark",
        ),
        ("".join(POSE.replace("shut", f"at {i}") for i in range(20)), "must be at most 19 together with the stops"),
    ],
)  # fmt: skip
def test_a_trace_or_pose_that_breaks_a_rule_is_refused_in_words(text, said) -> None:
    with pytest.raises(fs.InvalidInput, match=re.escape(said)):
        loads_first_fit(HEAD + text)


def test_points_heaped_on_one_spot_are_no_trace(demo) -> None:
    heap = [(5.0, 5.0)] * 6
    with pytest.raises(fs.InvalidInput, match="points"):
        fitted(demo, HEAD + trace(heap))


@pytest.mark.parametrize("on", ["A4", "Letter"])
def test_the_second_page_of_the_form_has_nothing_on_top_of_anything(demo, on) -> None:
    page = forms.true_pivot_drawing(demo, demo.gate[0], paper=on)
    boxes = [np.array(t.bounds) for t in page.entities if isinstance(t, Text)]
    wide, high = PAPERS[on]
    for i, a in enumerate(boxes):
        assert 5 < a[0] < a[2] < wide - 5
        assert 5 < a[1] < a[3] < high - 5
        for b in boxes[:i]:
            assert min(np.minimum(a[2:], b[2:]) - np.maximum(a[:2], b[:2])) < 0.7
    written = {t.text for t in page.entities if isinstance(t, Text)}
    assert {"shut", "level", "lean", "12"} <= written
    assert forms.first_fit_pdf(demo, demo.gate[0], paper=on).count(b"/Type /Page\n") == 2


def test_the_blank_file_filled_in_is_read(demo, made, built) -> None:
    lines = forms.blank_first_fit(demo, demo.gate[0]).split("[[side]]")[1].splitlines()
    start = next(i for i, text in enumerate(lines) if "[side.trace]" in text)
    text = "\n".join(line.removeprefix("# ") for line in lines[start:])
    with pytest.raises(fs.InvalidInput, match="is still empty"):
        loads_first_fit(HEAD + text)
    figures = iter(range(1, 9999, 30))
    filled = re.sub(r'(?<== )"\?"(?=[ ,])', lambda _: str(next(figures)), text)
    side = loads_first_fit(HEAD + filled.replace("marks]", "marks] #")).fit.side[0]
    assert len(side.trace.point) == 3
    assert [p.name for p in side.pose] == ["shut", "level", "lean"]
    assert side.marks.upper.from_lower_edge > side.marks.lower.from_lower_edge
