"""Full-size sheets: joints keep clear of holes, and a print is corrected for the printer that made it."""

from __future__ import annotations

import foldswing as fs
import numpy as np
import paper
import pytest
from foldswing import _tile_plan
from foldswing import drawing as dr

PAPERS = ("A4", "Letter")


def drilled(width, height, holes):
    frame = dr.polyline([(0, 0), (width, 0), (width, height), (0, height)], "cut", closed=True)
    return dr.Drawing("Plate", "from above", (frame, *(dr.Circle(at, r) for at, r in holes)))


def strips(plan):
    """What two sheets share, upright strips and level ones, as (low, high)."""
    left, top = plan.origin
    upright = [(left + c * plan.step[0], left + c * plan.step[0] + 10.0) for c in range(1, plan.columns)]
    level = [(top - r * plan.step[1] - 10.0, top - r * plan.step[1]) for r in range(1, plan.rows)]
    return upright, level


def clearances(plan, holes):
    """Least distance from a hole's edge to a strip two sheets share; negative where it runs into the hole."""
    return [
        max(low - (at[k] + r), (at[k] - r) - high)
        for k, several in enumerate(strips(plan))
        for low, high in several
        for at, r in holes
    ]


def on_one_sheet(plan, holes):
    for row in range(plan.rows):
        for column in range(plan.columns):
            low = np.array(plan.corner(column, row))
            high = low + plan.window
            if all(np.all(np.array(at) - r >= low) and np.all(np.array(at) + r <= high) for at, r in holes):
                return True
    return False


def possible(width, height, holes, paper_name):
    """Whether any place of the joints keeps all holes clear, and whether any keeps them on one sheet too."""
    clear = together = False
    for page in (dr.PAPERS[paper_name], dr.PAPERS[paper_name][::-1]):
        ways = []
        for k, length in enumerate((width, height)):
            window = page[k] - (29.0, 54.0)[k]
            step = window - 10.0
            edges = np.array([(at[k] - r, at[k] + r) for at, r in holes])
            # a hole at the edge of the plate stands out beyond it
            low, high = min(0.0, edges.min()) - 3.0, max(length, edges.max()) + 3.0
            if high - low <= window:
                ways.append((True, True))
                continue
            each = one = False
            for phase in np.arange(0.0, step, 0.5):
                # only joints between the ends of the drawing join anything
                joints = phase + step * np.arange(-2, int(length / step) + 3)
                joints = joints[(joints > low - 10.0) & (joints < high)]
                apart = np.maximum(joints - edges[:, 1:], edges[:, :1] - (joints + 10.0))
                if np.all(apart >= 40.0):
                    each = True
                    one |= not np.any((joints > edges.min()) & (joints < edges.max()))
            ways.append((each, one))
        clear |= all(w[0] for w in ways)
        together |= all(w[1] for w in ways)
    return clear, together


def cases(count, seed):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        width, height = rng.uniform(30.0, 1300.0, 2)
        near = rng.uniform(0.0, [width, height])
        spread = rng.choice([0.0, 40.0, 150.0, 2000.0])
        holes = []
        for _ in range(rng.integers(1, 6)):
            at = np.clip(near + rng.uniform(-spread, spread, 2), 0.0, [width, height])
            holes.append((tuple(at), float(rng.uniform(1.0, 20.0))))
        yield width, height, holes


@pytest.mark.parametrize("paper_name", PAPERS)
def test_joints_keep_forty_millimetres_off_every_hole_wherever_that_can_be_done(paper_name, size, show):
    told = {"No joint": 0, "too far apart": 0, "must come within": 0}
    count = size(120, 3000)
    for width, height, holes in cases(count, 20_240):
        plan = dr.tile_plan(drilled(width, height, holes), paper=paper_name, max_sheets=1000)
        clear, together = possible(width, height, holes, paper_name)
        near = min(clearances(plan, holes), default=np.inf)
        whole = on_one_sheet(plan, holes)
        if near < 40.0 - 1e-6:
            assert not clear, (width, height, holes)
            assert "must come within 40 mm" in plan.holes
            told["must come within"] += 1
        elif not whole:
            assert not together, (width, height, holes)
            assert "too far apart for one sheet" in plan.holes
            told["too far apart"] += 1
        else:
            assert plan.holes == "No joint comes within 40 mm of a hole."
            told["No joint"] += 1
        left, bottom = plan.corner(0, plan.rows - 1)
        right, top = (c + w for c, w in zip(plan.corner(plan.columns - 1, 0), plan.window, strict=True))
        assert left <= -2.9
        assert bottom <= -2.9
        assert right >= width + 2.9
        assert top >= height + 2.9
    assert min(told.values()) > 0
    show(
        f"sheet joints over {count} drilled plates on {paper_name}",
        f"all holes on one sheet, 40 mm clear: {told['No joint']}; clear but too far apart for one sheet: "
        f"{told['too far apart']}; cannot be clear, said so: {told['must come within']}",
    )


def test_a_drawing_without_holes_takes_the_fewest_sheets_and_says_nothing_of_holes():
    plain = dr.Drawing("x", "", (dr.line((0, 0), (500, 300)),))
    assert dr.tile_plan(plain).holes == ""
    assert dr.tile_plan(plain).columns * dr.tile_plan(plain).rows == 6


def test_the_map_says_how_the_holes_lie(tmp_path):
    far = drilled(900, 100, [((20, 50), 4), ((880, 50), 4)])
    first = " ".join(w for w, _ in paper.words(dr.save(far, tmp_path / "far.pdf"))[0][1])
    assert "too far apart for one sheet of A4" in first


def test_a_corrected_print_comes_out_true_on_the_printer_that_was_measured(tmp_path, show):
    # a printer that shrinks the short way and stretches the long way, played on the page as rendered
    short, long = 99.2, 100.4
    what = drilled(150, 120, [((60, 60), 5)])
    for name, data in (("plain", dr.to_pdf(what)), ("corrected", dr.to_pdf(what, bars=(short, long)))):
        (tmp_path / f"{name}.pdf").write_bytes(data)
    px = 300 / 25.4
    (page,) = paper.pages(tmp_path / "corrected.pdf", 300)
    lying = page.shape[0] < page.shape[1]
    across, up = (long, short) if lying else (short, long)
    plan = dr.tile_plan(what, bars=(short, long))
    assert plan.printed == (across / 100, up / 100)
    assert page.shape == pytest.approx((plan.page[1] * px, plan.page[0] * px), abs=1.0)  # the paper is what it is
    dark = page < paper.DARK
    low = int(dark.shape[0] * 0.70)
    ring = dark[:low]
    wide = paper.longest_run(ring).max() / px * across / 100
    high = paper.longest_run(ring[:, : int(0.9 * dark.shape[1])].T).max() / px * up / 100
    assert wide == pytest.approx(150.5, abs=0.2)  # the line's own width counts
    assert high == pytest.approx(120.5, abs=0.2)
    bar = max(r for r in paper.longest_run(dark[-int(45 * px) :]) if r < 101.2 * px / across * 100) / px * across / 100
    assert bar == pytest.approx(100.0, abs=0.1)
    text = " ".join(w for w, _ in paper.words(tmp_path / "corrected.pdf")[0][1])
    assert "corrected for a printer that printed 99.2 / 100.4 mm for 100 (short / long side of the paper)" in text
    assert "corrected" not in " ".join(w for w, _ in paper.words(tmp_path / "plain.pdf")[0][1])
    show("corrected print, printer of 99.2 / 100.4 for 100", f"150 x 120 comes out {wide - 0.5:.2f} x {high - 0.5:.2f}")


def test_bars_may_be_read_in_any_unit():
    what = drilled(150, 120, [])
    inches = dr.tile_plan(what, bars=("3 29/32 in", "100.4 mm"))
    assert sorted(inches.printed) == pytest.approx(sorted((3.90625 * 25.4 / 100, 1.004)))
    assert dr.tile_plan(what, bars=(100, 100)) == dr.tile_plan(what)


@pytest.mark.parametrize(
    ("bars", "words"),
    [
        ((9.92, 100), "read in centimetres\\? Then it is 99.2 mm"),
        ((100, 3.9), "read in inches\\? Then it is 99.06 mm"),
        ((50, 100), "made to fit the page\\?"),
        ((100, 111), "bars\\[1\\]"),
        ((100, float("nan")), "bars\\[1\\]"),
        ((100, float("inf")), "bars\\[1\\]"),
        (("a", 100), "bars\\[0\\]"),
        (100, "two lengths"),
        ((100,), "two lengths"),
        ("99.2,100", "two lengths"),
        ((1, 2, 3), "two lengths"),
    ],
)
def test_bars_that_cannot_be_right_are_asked_about(bars, words):
    with pytest.raises(fs.InvalidInput, match=words):
        dr.to_pdf(drilled(150, 120, []), bars=bars)


def test_joint_rule_is_the_one_asked_for():
    assert _tile_plan.JOINT == 40.0


def test_no_joint_parts_a_line_of_notes_where_there_is_a_choice():
    notes = [dr.Text("word " * 12, (at, 130), 3.5) for at in (0, 220)]
    for size in ("A4", "Letter"):
        for holes in ((), ((70, 60), (75, 40))):
            draft = dr.Drawing(
                "x", "y", (dr.line((-20, 0), (450, 120), "cut"), *notes, *(dr.Circle(h, 3) for h in holes))
            )
            plan = dr.tile_plan(draft, paper=size)
            for note in notes:
                left, bottom, right, top = note.bounds
                corners = [plan.corner(c, r) for c in range(plan.columns) for r in range(plan.rows)]
                assert any(
                    x <= left and right <= x + plan.window[0] and y <= bottom and top <= y + plan.window[1]
                    for x, y in corners
                )
