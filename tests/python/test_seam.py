"""Seams: statistics by dense sampling in NumPy, stretches by trying every way, geometry by Shapely."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
import shapely
from foldswing import InvalidInput, drawing, evaluation, job, seam, sheet
from foldswing.evaluation.seams import SeamResult
from foldswing.plane import Path
from foldswing.report.stays import seam_blocks
from foldswing.report.words import Words
from hypothesis import given, settings
from hypothesis import strategies as st

gaps = st.floats(-2, 8).map(lambda v: round(v, 3))
steps = st.floats(20, 400).map(lambda v: round(v, 1))
readings = st.lists(st.tuples(steps, gaps), min_size=2, max_size=9)


def split(rows) -> tuple[np.ndarray, np.ndarray]:
    return np.cumsum([r[0] for r in rows]), np.array([r[1] for r in rows])


@given(rows=readings, wanted=gaps, allowed=st.floats(0.05, 1))
@settings(max_examples=30, deadline=None)
def test_numbers_are_those_of_dense_sampling(rows, wanted, allowed):
    at, gap = split(rows)
    found = seam.along(at, gap, wanted=wanted, allowed=allowed)
    x = np.linspace(at[0], at[-1], 4001)
    g = np.interp(x, at, gap)
    weight = np.full(x.size, 1.0)
    weight[[0, -1]] = 0.5
    mean = np.average(g, weights=weight)
    slope = np.average((g - mean) * (x - x.mean()), weights=weight) / np.average((x - x.mean()) ** 2, weights=weight)
    assert found.mean == pytest.approx(mean, abs=1e-3)
    assert found.rms == pytest.approx(math.sqrt(np.average((g - wanted) ** 2, weights=weight)), abs=1e-3)
    assert found.taper_per_metre == pytest.approx(1000 * slope, abs=0.2)
    assert (found.smallest.gap, found.largest.gap) == (gap.min(), gap.max())
    assert found.kept == bool((abs(g - wanted) <= allowed + 1e-9).all())
    off = g - np.interp(x, [found.line_from.at, found.line_to.at], [found.line_from.gap, found.line_to.gap])
    in_spot = np.zeros(x.size, bool)
    for spot in found.spots:
        inside = (x >= spot.start) & (x <= spot.end)
        in_spot |= inside
        assert (np.sign(spot.off) * off[inside] >= allowed - 1e-3).all()
    assert not (abs(off[~in_spot]) > allowed + 1e-3).any()
    even = bool((abs(g - mean) <= allowed).all())
    if abs(abs(g - mean).max() - allowed) > 1e-3:
        assert (found.kind == "even") == even
    if not even and abs(abs(off).max() - allowed) > 1e-3:
        assert (found.kind == "uneven") == bool((abs(off) > allowed).any())


@given(rows=readings, allowed=st.floats(0.1, 2))
@settings(max_examples=30, deadline=None)
def test_stretches_are_the_fewest_there_are(rows, allowed):
    at, gap = split(rows)
    found = seam.along(at, gap, wanted=3, allowed=allowed)
    knots = [found.stretches[0].start.at, *(s.end.at for s in found.stretches)]

    def strays(chosen) -> float:
        return float(abs(np.interp(at, at[list(chosen)], gap[list(chosen)]) - gap).max())

    inner = range(1, len(at) - 1)
    ways = [(0, *some, len(at) - 1) for n in range(len(at) - 1) for some in itertools.combinations(inner, n)]
    fewest = min(len(w) for w in ways if strays(w) <= allowed)
    assert len(knots) == fewest
    assert strays([int(np.flatnonzero(at == k)[0]) for k in knots]) <= allowed + 1e-9
    for s in found.stretches:
        assert s.taper_per_metre == pytest.approx(1000 * (s.end.gap - s.start.gap) / (s.end.at - s.start.at), abs=1e-9)


@given(rise=st.floats(0.5, 40), chord=st.floats(300, 1500), angle=st.floats(-180, 180), lift=st.floats(1, 9))
@settings(max_examples=20, deadline=None)
def test_between_edges_the_gap_is_measured_square_to_the_run(rise, chord, angle, lift):
    sweep = math.degrees(4 * math.atan(2 * rise / chord))
    body = Path([(0, 0), (chord, 0)], [-sweep])
    panel = Path([(7, -lift), (0.4 * chord, -lift - 1), (chord + 5, -lift - 0.5)], [0, 0])
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))

    def turned(path):
        return Path(np.asarray(path.points) @ [[c, s], [-s, c]] + [100, -40], path.sweep_deg)

    found = seam.between(turned(panel), turned(body), wanted=lift)
    edges = [shapely.LineString(p.flatten(1e-5)) for p in (panel, body)]
    for x in np.linspace(7.001, chord - 0.001, 40):
        line = shapely.LineString([(x, -100), (x, 200)])
        below, above = (shapely.intersection(e, line).y for e in edges)
        assert np.interp(x, *found.places.T) == pytest.approx(above - below, abs=3e-3)
    assert found.places[0, 0] == pytest.approx(7, abs=1e-9)
    assert found.places[-1, 0] == pytest.approx(chord, abs=1e-9)


def test_words_say_what_a_fabricator_looks_for():
    even = seam.along([0, 500, 1180], [3.0, 3.1, 2.9], wanted=3)
    assert even.explanation.startswith("Even: 2.90 mm at 1180 to 3.10 mm at 500")
    tapered = seam.along([0, 1000], [2.0, 5.0], wanted=3)
    assert "opens 3.00 mm per metre" in tapered.explanation
    closing = seam.along([0, 1000], [5.0, 2.0], wanted=3)
    assert "closes 3.00 mm per metre" in closing.explanation
    rub = seam.along([0, 400, 500, 600, 1000], [3, 3, -0.4, 3, 3], wanted=3)
    assert "tight spot" in rub.explanation
    assert "0.40 mm of overlap at 500" in rub.explanation


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: seam.along([0], [3], wanted=3), "places must be at least two"),
        (lambda: seam.along([0, 1, 1], [3, 3, 3], wanted=3), "ascending"),
        (lambda: seam.along([0, 1], [3, math.inf], wanted=3), "finite"),
        (lambda: seam.along([0, 1], [3, 3, 3], wanted=3), "gap"),
        (lambda: seam.along([0, 1], [3, 3], wanted=3, allowed=0), "allowed must be"),
        (lambda: seam.along(np.arange(6000.0), np.ones(6000), wanted=3), "at most 5000"),
        (
            lambda: seam.between(
                Path([(0, 0), (1, 0), (0, 1)], [0, 0, 0], closed=True), Path([(0, 0), (9, 0)], [0]), wanted=1
            ),
            "panel_edge",
        ),
        (
            lambda: seam.between(Path([(0, 5), (9, 5)], [0]), Path([(0, 0), (9, 0), (0, 0.0)], [0, 0]), wanted=1),
            "body_edge",
        ),
    ],
)
def test_what_is_no_seam_is_refused_by_name(ask, says):
    with pytest.raises(InvalidInput, match=says):
        ask()


def test_the_sheet_draws_a_gap_that_is_not_even():
    made = job.read(job.shipped()["lantern_nine"])
    done = evaluation.evaluate_gate(made.gate[0], made, likely_errors=False)
    bowed = seam.along([0, 450, 900], [3, 3.8, -0.2], wanted=3, allowed=1)
    along = SeamResult("worktop nose", "from the left", 3.0, 1.0, bowed)
    blocks = seam_blocks(dataclasses.replace(done, seams=(along,)), made, Words(made))
    (figure,) = [b for b in blocks if isinstance(b, sheet.Figure)]
    said = {e.text for e in figure.drawing.entities if isinstance(e, drawing.Text)}
    assert {"3.80 at 450", "overlaps 0.20 at 900", "dotted: 3.00 wanted", "left", "right"} <= said
    assert figure.drawing.view == "gaps drawn 20 times larger, mm"
    even = SeamResult("head", "from the left", 3.0, 1.0, seam.along([0, 900], [3, 3.05], wanted=3, allowed=1))
    blocks = seam_blocks(dataclasses.replace(done, seams=(even,)), made, Words(made))
    assert not any(isinstance(b, sheet.Figure) for b in blocks)
