from __future__ import annotations

from html.parser import HTMLParser

import foldswing as fs
import numpy as np
import paper
import pytest
from foldswing import drawing as dr
from foldswing import sheet as sh

PICTURE = dr.Drawing(
    "Gate <b>",
    "seen from the left end",
    (dr.polyline([(0, 0), (360, 0), (360, 28)], "panel"), dr.Text("gate & nose", (20, 40), 12)),
)


def document(**changes):
    rows = [[f"body {i}", "shut to level", f"{2 + i / 100:.2f}", "45.0 degrees"] for i in range(60)]
    blocks = [
        sh.Heading("Pivot"),
        sh.Paragraph("Two holes, drilled separately.\nCard first."),
        sh.KeyValues([("from the inner face", "18.0 mm"), ("below the worktop", "18.0 mm")]),
        sh.Heading("Closest approaches", 2),
        sh.Table(["body", "leg", "gap mm", "at"], rows, "Every body on every leg"),
        sh.Warning(
            "outer lower corner to the nose",
            "0.41 mm at 119.05 degrees",
            "rubs on the way to the lean",
            "Round it to 4.8.",
        ),
        sh.Caution("Gates pinch: keep fingers out of the gap."),
        sh.Bullets(["card", "holes", "paint"], ordered=True),
        sh.Figure(PICTURE, "The gate"),
    ]
    return sh.Document(
        **{"title": "Lantern cart", "subtitle": "Invented", "revision": "rev A", "blocks": blocks, **changes}
    )


class Reader(HTMLParser):
    """Collects tags, attributes and text."""

    def __init__(self):
        super().__init__()
        self.tags, self.attributes, self.text = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data):
        self.text.append(data)


def read(page):
    reader = Reader()
    reader.feed(page)
    return reader


def test_html_is_complete_in_itself_and_says_everything():
    got = read(sh.to_html(document()))
    text = " ".join(" ".join(got.text).split())
    for wanted in (
        "Two holes",
        "18.0 mm",
        "body 59",
        "WARNING",
        "0.41 mm at 119.05 degrees",
        "rubs on the way",
        "CAUTION",
        "drawn 1 : 3",
    ):
        assert wanted in text
    assert not {"script", "link", "img", "iframe", "object"} & set(got.tags)
    assert not [v for k, v in got.attributes if k in {"src", "href"} or k.startswith("on")]
    assert "svg" in got.tags
    assert "url(" not in sh.to_html(document())


HOSTILE = [
    "<script>alert(1)</script>", "</title></style><img src=x onerror=alert(1)>", "{{ 7*7 }}{% raw %}",
    "x" * 4000, "\x00\ud800\u202e",
    "漢字 \U0001f6a7 ½", "&lt;b&gt; <para> <font size=90>", "<br/><a href='javascript:1'>x</a>", "]]>--><!--", "\n\n\n",
]  # fmt: skip


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_are_only_words(words, tmp_path):
    figure = dr.Drawing(words, words, (dr.Circle((0, 0), 9), dr.Text(words[:50], (0, 0), 3)))
    doc = sh.Document(
        words, words, words,
        [
            sh.Heading(words), sh.Paragraph(words), sh.Bullets([words]), sh.KeyValues([(words, words)]),
            sh.Table([words, "b"], [[words, "1"]], words),
            sh.Warning(words, words, words, words), sh.Caution(words), sh.Figure(figure, words),
        ],
    )  # fmt: skip
    got, plain = read(sh.to_html(doc)), read(sh.to_html(document()))
    assert set(got.tags) <= set(plain.tags) | {"ul", "circle"}
    assert not [k for k, _ in got.attributes if k.startswith("on") or k in {"src", "href"}]
    if "7*7" in words:
        assert "7*7" in "".join(got.text)
    sh.save(doc, tmp_path / "s.pdf")
    for (width, height), boxes in paper.words(tmp_path / "s.pdf"):
        for word, (left, top, right, bottom) in boxes:
            assert left >= 5, word
            assert right <= width - 5, word
            assert top >= 5, word
            assert bottom <= height - 3, word


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_pdf_has_everything_within_the_margins_and_nothing_overlaps(tmp_path, size):
    file = sh.save(document(), tmp_path / "s.pdf", paper=size)
    found = paper.words(file)
    assert len(found) >= 2
    text = " ".join(w for _, boxes in found for w, _ in boxes)
    for wanted in (
        "Two holes",
        "body 59",
        "WARNING:",
        "0.41 mm at 119.05",
        "What you would feel:",
        "CAUTION",
        "drawn 1 : 3",
        "page 2",
    ):
        assert wanted in text
    for (width, height), boxes in found:
        assert sorted((round(width, 1), round(height, 1))) == [pytest.approx(v, abs=0.1) for v in dr.PAPERS[size]]
        for i, (one, a) in enumerate(boxes):
            assert a[0] > 8, one
            assert a[2] < width - 8, one
            assert a[3] < height - 5, one
            for two, b in boxes[i + 1 :]:
                wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                assert wide <= 0.1 or high <= 1.2, (one, two)


def test_the_browser_prints_the_page_with_nothing_cut_off(tmp_path):
    page = sh.save(document(), tmp_path / "s.html")
    found = paper.words(paper.printed(page))
    text = " ".join(w for _, boxes in found for w, _ in boxes)
    for wanted in ("Two holes", "body 59", "0.41 mm at 119.05", "drawn 1 : 3"):
        assert wanted in text
    for (width, height), boxes in found:
        for word, (left, top, right, bottom) in boxes:
            assert left > 5, word
            assert right < width - 5, word
            assert top > 5, word
            assert bottom < height - 5, word


def below_title(page, dpi):
    """Ink between the rule under the title, which runs right across, and the foot of the page."""
    dark = page < paper.DARK
    rule = np.flatnonzero(paper.longest_run(dark) > 170 * dpi / 25.4)[-1]
    return dark[rule + 3 : -int(16 * dpi / 25.4)]


def test_a_figure_keeps_the_scale_it_states_in_pdf_and_html(tmp_path):
    bar = dr.Drawing("bar", "", (dr.line((0, 0), (600, 0), "cut"),))
    figure = sh.Figure(bar)
    assert figure.scale_words == "drawn 1 : 4"
    file = sh.save(sh.Document("t", blocks=[figure]), tmp_path / "s.pdf")
    (page,) = paper.pages(file, 150)
    assert paper.longest_run(below_title(page, 150)).max() * 25.4 / 150 == pytest.approx(150.0, abs=0.4)
    assert 'width="152mm"' in sh.to_html(sh.Document("t", blocks=[figure]))


def test_a_view_that_the_caption_gives_is_not_said_twice():
    assert sh.Figure(PICTURE, "The gate").words == "The gate (seen from the left end; drawn 1 : 3)"
    assert sh.Figure(PICTURE, "Gate, seen from the left end").words == "Gate, seen from the left end (drawn 1 : 3)"
    assert sh.Figure(PICTURE).words == "(seen from the left end; drawn 1 : 3)"


def test_scale_is_plain_and_the_picture_fits():
    for length in (0.5, 10, 163, 164, 400, 3000, 90000):
        figure = sh.Figure(dr.Drawing("x", "", (dr.line((0, 0), (length, 0)),)))
        assert length * figure.scale <= figure.width
        if length <= 16000:
            assert 1 / figure.scale == pytest.approx(round(1 / figure.scale))
    assert sh.Figure(PICTURE, width=1000).width == 165.0


def test_the_same_document_is_the_same_file_and_is_not_overwritten_unasked(tmp_path):
    for ending in ("html", "pdf"):
        first = sh.save(document(), tmp_path / f"a.{ending}")
        second = sh.save(document(), tmp_path / f"b.{ending}")
        assert first.read_bytes() == second.read_bytes()
        with pytest.raises(FileExistsError):
            sh.save(document(), first)
    assert document() == document()
    assert hash(document()) == hash(document())
    assert sh.Document.from_dict(document().to_dict()) == document()


BAD = [
    ("blocks\\[0\\]", lambda: sh.Document("x", blocks=["text"])),
    ("rows\\[1\\] must have 2 cells", lambda: sh.Table(["a", "b"], [["1", "2"], ["1"]])),
    ("header", lambda: sh.Table([], [])),
    ("rows\\[0\\]", lambda: sh.Table(["a"], ["text"])),
    ("rows\\[0\\]", lambda: sh.KeyValues([("a", "b", "c")])),
    ("items", lambda: sh.Bullets("text")),
    ("level", lambda: sh.Heading("x", 3)),
    ("width", lambda: sh.Figure(PICTURE, width=0)),
    ("width", lambda: sh.Figure(PICTURE, width=float("nan"))),
    ("height", lambda: sh.Figure(PICTURE, height="tall")),
    ("paper", lambda: sh.to_pdf(document(), paper="A9")),
    ("ending", lambda: sh.save(document(), "x.docx")),
]


@pytest.mark.parametrize(("name", "call"), BAD, ids=range(len(BAD)))
def test_bad_input_is_named(name, call):
    with pytest.raises(fs.InvalidInput, match=name):
        call()


def test_empty_blocks_do_no_harm():
    doc = sh.Document("", blocks=[sh.Bullets([]), sh.KeyValues([]), sh.Table(["a"], []), sh.Paragraph("")])
    assert "<h1></h1>" in sh.to_html(doc)
    assert sh.to_pdf(doc)[:5] == b"%PDF-"


def test_capitals_are_legible_at_arms_length(tmp_path):
    file = sh.save(sh.Document("t", blocks=[sh.Paragraph("H")]), tmp_path / "s.pdf")
    (page,) = paper.pages(file, 300)
    rows = np.flatnonzero(below_title(page, 300).any(axis=1))
    assert (rows[-1] - rows[0] + 1) * 25.4 / 300 >= 2.4  # mm


def test_a_heading_stands_on_the_page_of_what_it_heads_and_no_row_is_parted(tmp_path):
    long = "first " + "word " * 60 + "last"
    blocks = []
    for i in range(40):
        body = [
            sh.Bullets([f"below{i}", "b"]),
            sh.Table(["a", "b"], [[f"below{i}", "x"]] + [["y", "z"]] * 5, f"over{i}"),
            sh.KeyValues([(f"below{i}", f"begins{i} {long} ends{i}")]),
            sh.Figure(PICTURE, f"below{i}"),
        ][i % 4]
        blocks += [*([sh.Heading(f"over{i}"), sh.Paragraph("GO.")] if i % 4 != 1 else []), body]
    where = {}
    for page, (_, boxes) in enumerate(paper.words(sh.save(sh.Document("t", blocks=blocks), tmp_path / "s.pdf"))):
        where.update({word: page for word, _ in boxes})
    assert where["over39"] > 3
    for i in range(40):
        assert where[f"over{i}"] == where[f"below{i}"]
        assert where.get(f"begins{i}") == where.get(f"ends{i}")


def test_the_note_of_a_table_is_said_in_ordinary_letters():
    page = sh.to_html(sh.Document("t", blocks=[sh.Table(["a"], [["1"]], "What it is", "How to read it")]))
    assert '<caption>What it is<span class="note">How to read it</span></caption>' in page
