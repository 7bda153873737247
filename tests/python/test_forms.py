"""Measuring forms: one page, every letter on sketch and line, nothing overlapping; the job file beside it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import paper
import pytest
from click.testing import CliRunner
from foldswing import InvalidInput, forms, job
from foldswing.__main__ import main
from foldswing.drawing import PAPERS, Text


def call(*words: Any) -> Any:
    return CliRunner().invoke(main, [str(w) for w in words])


@pytest.mark.parametrize("on", ["A4", "Letter"])
@pytest.mark.parametrize("kind", forms.KINDS)
def test_a_form_is_one_page_with_every_letter_and_no_words_on_words(kind: str, on: str, tmp_path: Path) -> None:
    path = tmp_path / "form.pdf"
    path.write_bytes(forms.form_pdf(kind, "mm", paper=on))
    assert len(paper.words(path)) == 1
    texts = [e for e in forms.form_drawing(kind, "mm", paper=on).entities if isinstance(e, Text)]
    for size in forms.sizes(kind):
        count = sum(t.text == size.letter for t in texts)
        assert count == (1 if size.letter == "S" and kind == "gate" else 2), size.letter  # a mass is on no sketch
    wide, high = PAPERS[on]
    for i, text in enumerate(texts):
        left, low, right, top = text.bounds
        assert 5.0 < left < right < wide - 5.0, text
        assert 5.0 < low < top < high - 5.0, text
        for other in texts[:i]:
            a, b = text.bounds, other.bounds
            shared = min(min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1]))
            assert shared < 0.7, (text.text, other.text)


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("kind", forms.KINDS)
def test_the_job_file_of_a_form_says_which_letter_is_still_empty(kind: str, units: str) -> None:
    with pytest.raises(InvalidInput, match=r"still empty: it is letter [A-Z] of the measuring form"):
        job.loads(forms.blank_job(kind, units))


def test_new_writes_both_or_neither(tmp_path: Path) -> None:
    assert call("new", "gate", "--out", tmp_path, "--no-shop").exit_code == 0
    assert {p.name for p in tmp_path.iterdir()} == {"gate-form.pdf", "gate.toml"}
    assert call("new", "gate", "--out", tmp_path, "--no-shop").exit_code == 3
    (tmp_path / "gate-form.pdf").unlink()
    assert call("new", "gate", "--out", tmp_path, "--no-shop").exit_code == 3
    assert {p.name for p in tmp_path.iterdir()} == {"gate.toml"}
    assert call("new", "shop", "--out", tmp_path).exit_code == 0
    assert call("run", tmp_path / "gate.toml", "--out", tmp_path / "o").exit_code == 2


def test_new_makes_the_folder_it_is_told(tmp_path: Path) -> None:
    assert call("new", "gate", "--out", tmp_path / "made").exit_code == 0
    assert {p.name for p in (tmp_path / "made").iterdir()} == {"gate-form.pdf", "gate.toml"}
    assert call("new", "gate", "--out", tmp_path / "no" / "such").exit_code == 3
