"""The pages to pin up: one for each part, on one sheet of either paper, with what a fabricator looks for first."""

from __future__ import annotations

import html
import re
import tempfile
from pathlib import Path

import foldswing.job as jobs
import paper
import pytest
from foldswing import evaluation, report, sheet

PAPERS = ("A4", "Letter")


def page_texts(pdf):
    """Text of every page, as an independent reader finds it."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "sheet.pdf"
        file.write_bytes(pdf)
        return [html.unescape(" ".join(word for word, _ in words)) for _, words in paper.words(file)]


@pytest.fixture(scope="module", params=sorted(jobs.shipped()))
def done(request):
    job = jobs.read(jobs.shipped()[request.param])
    return job, evaluation.evaluate(job)


@pytest.mark.parametrize("size", PAPERS)
def test_every_part_has_one_page_of_its_own_before_the_details(done, size):
    job, results = done
    pages = page_texts(sheet.to_pdf(report.job_sheet(job, results), paper=size))
    for part, text in zip(results.parts, pages, strict=False):
        assert part.name in text
        assert {"go": "GO", "change this first": "CHANGE THIS FIRST", "cannot": "CANNOT"}[part.verdict] in text
        for wanted in ("Order of work", "Not checked", "CAUTION"):
            assert wanted in text, (part.name, wanted)
    assert "Details" in pages[len(results.parts)]


def test_the_page_of_a_gate_says_what_to_drill_from_two_faces_each_and_what_comes_first(done):
    job, results = done
    page = page_texts(sheet.to_pdf(report.job_sheet(job, results)))[0]
    words = re.sub(r"\s+", " ", page)
    for face in ("inner face", "lower edge", "worktop surface", "wall's outer face"):
        assert face in words
    assert "DO NOT DRILL BEFORE THE CARD SWINGS" in words
    closest = min(results.gates[0].closest, key=lambda a: a.bare)
    assert f"{closest.bare:.2f} mm" in words


def test_blocks_side_by_side_stand_so_in_html_and_pdf():
    left = sheet.Figure(sheet_drawing(), "Left", width=70.0, height=60.0)
    document = sheet.Document(
        "Two columns",
        blocks=(
            sheet.Banner("GO", "nothing stops the work"),
            sheet.Columns((left,), (sheet.KeyValues([("size", "18.0 mm")]),), share=0.4),
            sheet.PageBreak(),
            sheet.Paragraph("second page"),
        ),
    )
    page = sheet.to_html(document)
    assert page.count('class="columns') == 1
    assert "grid-template-columns: minmax(0, 0.4fr) minmax(0, 0.6fr)" in page
    texts = page_texts(sheet.to_pdf(document))
    assert len(texts) == 2
    assert "18.0 mm" in texts[0]
    assert "second page" in texts[1]


def sheet_drawing():
    from foldswing import drawing

    return drawing.Drawing("Line", "from above", (drawing.line((0, 0), (40, 30), "cut"),))


@pytest.mark.parametrize(
    "make",
    [
        lambda: sheet.Columns((), (), share=0.9),
        lambda: sheet.Columns((), (), share=float("nan")),
        lambda: sheet.Columns((sheet.PageBreak(),), ()),
        lambda: sheet.Columns((), (sheet.Columns((), ()),)),
        lambda: sheet.Columns(("words",), ()),
    ],
)
def test_columns_refuse_what_cannot_stand_side_by_side(make):
    with pytest.raises(sheet.InvalidInput, match=r"share|left\[0\]|right\[0\]"):
        make()


def test_a_column_higher_than_a_page_is_made_to_fit():
    long = sheet.Bullets(tuple(f"step {i}" for i in range(120)))
    texts = page_texts(sheet.to_pdf(sheet.Document("Long", blocks=(sheet.Columns((long,), (long,)),))))
    assert "step 119" in texts[-1]
