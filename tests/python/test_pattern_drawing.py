"""Patterns on paper: the cut line at full size, every roll and fold line labelled, and the picture."""

from __future__ import annotations

import foldswing as fs
import matplotlib as mpl
import numpy as np
import pytest
from foldswing import development as dev
from foldswing import drawing, plot, template
from foldswing.drawing import Stroke, Text

mpl.use("Agg")

HOPPER = dev.transition(dev.rectangle_outline(200, 160), dev.rectangle_outline(80, 60), 150)
ROUND = dev.transition(dev.rectangle_outline(200, 200), dev.round_outline(120), 150)
MAIN = dev.branch(200, 120, main_length=400, branch_length=250).main


@pytest.mark.parametrize("pattern", [HOPPER, ROUND, MAIN, dev.gore(600, 12), dev.cylinder(100, 200, top_tilt_deg=20)])
def test_a_template_is_the_pattern_at_full_size(pattern) -> None:
    draft = template.pattern_template(pattern, title="Part", notes=["seam in the throat"])
    strokes = [e for e in draft.entities if isinstance(e, Stroke)]
    cut = [e.path.points for e in strokes if e.layer == "cut"]
    assert len(cut) == 1 + len(pattern.holes)
    low = pattern.points.min(axis=0)
    np.testing.assert_allclose(cut[0], pattern.points - low, atol=1e-12)
    assert cut[0].min() == pytest.approx(0.0, abs=1e-12)
    on_lines = [e for e in strokes if e.layer in {"roll", "tangent", "bend_up", "bend_down"}]
    assert len(on_lines) == len(pattern.lines)
    for drawn, line in zip(on_lines, pattern.lines, strict=True):
        np.testing.assert_allclose(drawn.path.points, line.ends - low, atol=1e-12)
        assert drawn.path.length == pytest.approx(np.linalg.norm(line.ends[1] - line.ends[0]))
    words = " ".join(e.text for e in draft.entities if isinstance(e, Text))
    assert "no seam allowance" in words
    for line in pattern.lines:
        assert line.label.replace(" deg", "\N{DEGREE SIGN}") in words
    assert b"%PDF" in drawing.to_pdf(draft)[:8]
    assert "<svg" in drawing.to_svg(draft)
    assert b"CUT_LINE" in drawing.to_dxf(draft)


def test_folds_say_their_angle_and_way() -> None:
    draft = template.pattern_template(HOPPER, title="Hopper")
    assert {e.layer for e in draft.entities if isinstance(e, Stroke)} == {"cut", "bend_down"}
    said = [e.text for e in draft.entities if isinstance(e, Text) and "fold" in e.text and "away" in e.text]
    assert sum(f"{line.angle_deg:.1f}" in " ".join(said) for line in HOPPER.lines) == 4


def test_a_picture_returns_axes_with_every_line() -> None:
    ax = plot.pattern(ROUND)
    assert len(ax.get_lines()) == len(ROUND.lines)
    assert {"cut edge", "roll line", "where a curve runs out"} <= {t.get_text() for t in ax.get_legend().get_texts()}


@pytest.mark.parametrize("call", [plot.pattern, lambda wrong: template.pattern_template(wrong, title="x")])
def test_anything_else_is_refused(call) -> None:
    with pytest.raises(fs.InvalidInput, match=r"development\.Pattern"):
        call("a pattern")
