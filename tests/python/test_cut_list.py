"""Cut lists: validity by Shapely, and by a cutter that only knows cuts right across."""

from __future__ import annotations

import math
import time
from typing import Any

import numpy as np
import pytest
from foldswing import InvalidInput
from foldswing.cut_list import Blank, Layout, Sheet, lay_out
from shapely import STRtree
from shapely.geometry import box

HAIR = 1e-9


def rectangle(p: Any) -> Any:
    return box(p.x, p.y, p.x + p.length, p.y + p.width)


def require_valid(done: Layout, blanks: list[Blank], sheets: list[Sheet], *, kerf: float, edge: float) -> None:
    """Check that every blank is there once, inside its sheet, a kerf from its neighbours, with its grain."""
    laid = sorted((p.blank, p.piece) for s in done.sheets for p in s.pieces)
    missing = {left.blank: left.pieces for left in done.left}
    assert len(laid) == len(set(laid)) == sum(b.count for b in blanks) - sum(missing.values())
    for i, sheet in enumerate(sheets):
        assert sum(s.stock == i for s in done.sheets) <= sheet.count
    for used in done.sheets:
        stock = sheets[used.stock]
        room = box(edge - HAIR, edge - HAIR, stock.length - edge + HAIR, stock.width - edge + HAIR)
        shapes = [rectangle(p) for p in used.pieces]
        for piece, shape in zip(used.pieces, shapes, strict=True):
            blank = blanks[piece.blank]
            assert room.covers(shape)
            own = (blank.width, blank.length) if piece.turned else (blank.length, blank.width)
            assert (piece.length, piece.width) == own
            if blank.grain != "any":
                assert stock.grain != "any"
                assert piece.turned == (blank.grain != stock.grain)
        tree = STRtree([s.buffer(0.5 * kerf - HAIR, join_style="mitre") for s in shapes])
        pairs = tree.query(tree.geometries, predicate="intersects")
        assert all(a == b for a, b in pairs.T)
        rests = [box(x, y, x + w, y + h) for x, y, w, h in used.remnants]
        for i, rest in enumerate(rests):
            assert room.covers(rest)
            assert all(rest.distance(s) >= kerf - HAIR and rest.intersection(s).area < HAIR for s in shapes)
            assert all(rest.intersection(other).area < 1e-6 for other in rests[:i])
        assert math.isclose(used.use, sum(s.area for s in shapes) / (stock.length * stock.width), rel_tol=1e-9)


def can_be_sheared(pieces: list[tuple[float, float, float, float]]) -> bool:
    """Return whether cuts right across take the pieces apart, tried one after another on either side of every edge."""
    if len(pieces) <= 1:
        return True
    for low, high in ((0, 2), (1, 3)):
        for at in sorted({p[high] for p in pieces}):
            before = [p for p in pieces if p[high] <= at + HAIR]
            after = [p for p in pieces if p[low] >= at - HAIR]
            if before and after and len(before) + len(after) == len(pieces):
                return can_be_sheared(before) and can_be_sheared(after)
    return False


def random_job(rng: np.random.Generator) -> tuple[list[Blank], list[Sheet], dict[str, float]]:
    grains = ("any", "any", "length", "width")
    blanks = [
        Blank(f"b{i}", *np.round(rng.uniform(20, 700, 2), 1), int(rng.integers(1, 6)), grains[rng.integers(4)])
        for i in range(rng.integers(1, 6))
    ]
    sheets = [
        Sheet(f"s{i}", *np.round(rng.uniform(400, 2000, 2), 1), int(rng.integers(1, 4)), grains[rng.integers(1, 4)])
        for i in range(rng.integers(1, 3))
    ]
    return blanks, sheets, {"kerf": float(rng.choice([0.0, 0.2, 3.0])), "edge": float(rng.choice([0.0, 10.0]))}


def test_layouts_are_valid_and_can_be_sheared(size: Any, show: Any) -> None:
    rng = np.random.default_rng(11)
    count = size(25, 500)
    laid, used = 0, []
    for i in range(count):
        blanks, sheets, options = random_job(rng)
        guillotine = i % 2 == 0
        done = lay_out(blanks, sheets, guillotine=guillotine, **options)
        require_valid(done, blanks, sheets, **options)
        laid += sum(len(s.pieces) for s in done.sheets)
        used += [s.use for s in done.sheets]
        if guillotine:
            for sheet in done.sheets:
                assert can_be_sheared([rectangle(p).bounds for p in sheet.pieces])
    show(
        "cut lists valid by Shapely and a recursive cutter",
        f"{count} jobs, {laid} blanks, mean use {np.mean(used):.2f}",
    )


def test_the_cutter_of_the_tests_knows_what_cannot_be_sheared() -> None:
    pinwheel = [(0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3)]
    assert not can_be_sheared([*map(lambda p: tuple(map(float, p)), pinwheel)])
    assert can_be_sheared([(0.0, 0.0, 1.0, 1.0), (1.0, 0.0, 2.0, 1.0), (0.0, 1.0, 2.0, 2.0)])


def test_blanks_that_fill_a_sheet_exactly_are_all_laid() -> None:
    done = lay_out([Blank("quarter", 500, 250, 8)], [Sheet("sheet", 1000, 1000)])
    assert done.status == "all"
    assert len(done.sheets) == 1
    assert done.use == pytest.approx(1.0)
    kept = lay_out([Blank("quarter", 500, 250, 8)], [Sheet("sheet", 1000, 1000, 2)], kerf=3)
    assert len(kept.sheets) == 2


def test_a_blank_larger_than_every_sheet_is_refused_with_the_reason() -> None:
    done = lay_out(
        [Blank("long", 2500, 100), Blank("short", 100, 100)], [Sheet("full", 2000, 1000), Sheet("half", 1000, 1000)]
    )
    assert done.status == "too_large"
    assert done.left[0].fits_none
    assert "larger than every sheet: the largest, full, is 2000.0 by 1000.0 mm" in done.left[0].reason
    assert [p.name for s in done.sheets for p in s.pieces] == ["short"]


def test_grain_forbids_turning() -> None:
    sheets = [Sheet("full", 2000, 1000)]
    assert lay_out([Blank("long", 1500, 100, grain="length")], sheets).status == "all"
    across = lay_out([Blank("long", 1500, 100, grain="width")], sheets)
    assert across.status == "too_large"
    assert "grain the wrong way" in across.explanation
    unknown = lay_out([Blank("long", 1500, 100, grain="length")], [Sheet("old", 2000, 1000, 1, "any")])
    assert "mark the grain" in unknown.explanation


def test_stock_that_runs_out_is_said() -> None:
    done = lay_out([Blank("half", 600, 900, 5)], [Sheet("full", 1000, 1000, 2)])
    assert done.status == "short_of_stock"
    assert done.left[0].pieces == 3
    assert "3 of 5 left" in done.explanation


def test_free_layouts_are_no_worse_than_sheared_ones() -> None:
    rng = np.random.default_rng(5)
    for _ in range(6):
        blanks, _, options = random_job(rng)
        sheets = [Sheet("s", 1500, 900, 50)]
        sheared = lay_out(blanks, sheets, guillotine=True, **options)
        free = lay_out(blanks, sheets, guillotine=False, **options)
        if sheared.status == free.status == "all":
            assert len(free.sheets) <= len(sheared.sheets)


def test_many_pieces_take_little_time(show: Any) -> None:
    rng = np.random.default_rng(8)
    blanks = [Blank(f"b{i}", *rng.uniform(50, 400, 2), 5) for i in range(20)]
    start = time.process_time()
    done = lay_out(blanks, [Sheet("s", 2500, 1250, 50)], kerf=2)
    show("100 blanks laid out", f"{time.process_time() - start:.2f} s, {done.use:.2f} of the sheets used")
    assert done.status == "all"


def test_hostile_input_is_refused() -> None:
    blank, sheet = Blank("b", 100, 50), Sheet("s", 1000, 500)
    for blanks, sheets in (([], [sheet]), ([blank], [])):
        with pytest.raises(InvalidInput):
            lay_out(blanks, sheets)
    with pytest.raises(InvalidInput, match=r"sheets\[1\] must be a Sheet, got 'full'"):
        lay_out([blank], [sheet, "full"])  # type: ignore[list-item]
    wrong: list[dict[str, Any]] = [
        {"length": 0},
        {"length": math.nan},
        {"count": 0},
        {"count": 501},
        {"count": 2.5},
        {"grain": "up"},
    ]
    for bad in (Blank(**{"name": "b", "length": 9, "width": 5, **change}) for change in wrong):
        with pytest.raises(InvalidInput, match=r"blanks\[0\]"):
            lay_out([bad], [sheet])
    for options in ({"kerf": -1}, {"edge": 250}, {"kerf": math.inf}, {"least_remnant": -1}):
        with pytest.raises(InvalidInput):
            lay_out([blank], [sheet], **options)  # type: ignore[arg-type]
