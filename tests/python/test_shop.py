"""A file for the shop: what a job leaves out comes from it, a job's own value always wins, and the sheet says which."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import ask_script
import pytest
from click.testing import CliRunner
from foldswing import InvalidInput, evaluation, forms, job
from foldswing.__main__ import main
from foldswing.job import keys

LANTERN = job.shipped()["lantern_nine"].read_text("utf-8")
SHOP = b"""format = 1
name = "Corner shop"
units = "mm"
ruler = "1 mm"
paper = "Letter"
drills = [6, 8, 12]
pins = [6, 8]

[paint]
per_face = 0.2

[errors]
hole = 0.3

[[brake]]
metal = "Steel Sheet"
thickness = 1.2
inside_radius = "1.2 mm"
deduction = 2.3
basis = "strip of last week"
"""
BARE = (
    LANTERN.replace("[paint]\nper_face = 0.15", "")
    .replace('ruler = "0.5 mm"\n', "")
    .replace('paper = "A4"\n', "")
    .replace('k_factor = 0.42\nbasis = "invented for the demo: bend a test strip and give it instead"\n', "")
)


@pytest.fixture(autouse=True)
def _own_folder(tmp_path_factory: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The user's own folder is an empty one."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / ".config"))


def call(*words: Any, typed: str = "") -> Any:
    return CliRunner().invoke(main, [str(w) for w in words], input=typed)


def test_what_a_job_leaves_out_comes_from_the_shop() -> None:
    made, use = job.loads_with_shop(BARE, job.loads_shop(SHOP))
    assert made.ruler == "1 mm"
    assert made.sheet_paper == "Letter"
    assert made.paint is not None
    assert made.paint.per_face == 0.2
    assert made.errors == job.Errors(hole=0.3)
    assert (made.drills, made.pins) == ((6.0, 8.0, 12.0), (6.0, 8.0))
    assert made.material[0].deduction == 2.3
    assert made.material[0].basis == "strip of last week"
    assert use is not None
    assert use.sha256 == hashlib.sha256(SHOP).hexdigest()
    assert [name for name, _ in use.values] == [
        "ruler", "paper", "drills", "pins", "paint.per_face", "errors.hole", "deduction of material 'belly skin'",
    ]  # fmt: skip


def test_the_own_value_of_a_job_always_wins() -> None:
    own = (
        LANTERN.replace('units = "mm"', 'units = "mm"\ndrills = [5]\npins = [5]\n')
        + "\n[errors]\nhole = 0.9\nmeasured = 0.1\n"
    )
    made, use = job.loads_with_shop(own, job.loads_shop(SHOP))
    assert made == job.loads(own)
    assert use is not None
    assert use.values == ()


def test_a_shop_in_inches_serves_a_job_in_mm_exactly() -> None:
    shop = b'format = 1\nunits = "inch"\ndrills = ["5/16", 0.5]\n[paint]\nper_face = "6 thou"\n'
    made, _ = job.loads_with_shop(
        BARE.replace("thickness = 1.2\n", "thickness = 1.2\nk_factor = 0.42\n", 1), job.loads_shop(shop)
    )
    assert made.drills == (7.9375, 12.7)
    assert made.paint is not None
    assert made.paint.per_face == 0.1524


def test_units_of_a_job_may_come_from_the_shop() -> None:
    made, use = job.loads_with_shop(LANTERN.replace('units = "mm"\n', ""), job.loads_shop(SHOP))
    assert made.units == "mm"
    assert use is not None
    assert use.values[0] == ("units", "mm")


HOSTILE: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "begins with the line: format = 1"),
    "binary": (bytes(range(256)), "no UTF-8 text|binary"),
    "newer": (b'format = 2\nunits = "mm"', "reads formats up to 1"),
    "format as text": (b'format = "1"', "begins with the line"),
    "huge": (b"#" * 300_000, "at most 200000 bytes"),
    "no units": (b"format = 1", "lacks 'units'"),
    "unknown key": (b'format = 1\nunits = "mm"\ndrils = [3]', "line 3: drils is an unknown key; did you mean 'drills'"),
    "unknown table": (b'format = 1\nunits = "mm"\n[pain]\nper_face = 1', "did you mean 'paint'"),
    "job file": (LANTERN.encode(), "'title' belongs in a job file"),
    "negative drill": (b'format = 1\nunits = "mm"\ndrills = [-3]', "must be a length > 0"),
    "drill as a word": (b'format = 1\nunits = "mm"\ndrills = ["three"]', "no number at 'three'"),
    "drills are no list": (b'format = 1\nunits = "mm"\ndrills = 3', "must be a list"),
    "bad ruler": (b'format = 1\nunits = "mm"\nruler = "1/32"', "ruler must be a step"),
    "bad paper": (b'format = 1\nunits = "mm"\npaper = "A5"', "must be one of 'A4', 'Letter'"),
    "thick paint": (b'format = 1\nunits = "mm"\n[paint]\nper_face = 50', "<= 5 mm"),
    "two figures": (
        b'format = 1\nunits = "mm"\n[[brake]]\nmetal = "s"\nthickness = 1\ninside_radius = 1\n'
        b"deduction = 2\nk_factor = 0.4",
        "exactly one of deduction or k_factor",
    ),
    "figure twice": (
        b'format = 1\nunits = "mm"\n'
        + b'[[brake]]\nmetal = "s"\nthickness = 1\ninside_radius = 1\ndeduction = 2\n' * 2,
        "two figures for s 1 mm",
    ),
    "not closed": (b'format = 1\nunits = "mm', "cannot be read as TOML"),
    "surrogates": (b"format = 1\nunits = '\xed\xa0\x80'", "no UTF-8 text"),
}


@pytest.mark.parametrize("case", HOSTILE)
def test_a_bad_shop_file_is_refused_with_its_reason(case: str) -> None:
    data, says = HOSTILE[case]
    with pytest.raises(InvalidInput, match=says) as caught:
        job.loads_shop(data, name="shop.toml")
    assert str(caught.value).startswith("shop.toml")


@pytest.mark.parametrize("case", HOSTILE)
def test_a_bad_shop_file_stops_the_command_line_with_2(case: str, tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_bytes(HOSTILE[case][0])
    (tmp_path / "job.toml").write_text(LANTERN, encoding="utf-8")
    for words in (("run", tmp_path / "job.toml", "--out", tmp_path / "o"), ("check", tmp_path / "job.toml")):
        done = call(*words)
        assert done.exit_code == 2, done.output
        assert "shop.toml" in done.output
    assert not (tmp_path / "o").exists()


def test_a_job_that_is_hostile_is_refused_with_a_shop_too() -> None:
    for text in (
        LANTERN.replace("[[material]]", "[material]"),
        LANTERN.replace("[paint]\nper_face", "paint"),
        "format = 1\nmaterial = [3]",
    ):
        with pytest.raises(InvalidInput):
            job.loads_with_shop(text, job.loads_shop(SHOP))


def test_holes_without_a_drill_and_pins_not_in_stock_are_told_and_stop_nothing() -> None:
    shop = SHOP.replace(b"drills = [6, 8, 12]", b"drills = [6, 10]").replace(b"pins = [6, 8]", b"pins = [6]")
    made, _ = job.loads_with_shop(LANTERN, job.loads_shop(shop))
    gate = evaluation.evaluate(made).gates[0]
    told = [f for f in gate.findings if "drill" in f.what or "stock" in f.what]
    assert [f.what for f in told] == [
        "No drill for the hole of the pin", "No drill for the hole of the bush", "The pin is not in stock",
    ]  # fmt: skip
    assert not any(f.stops_work for f in told)
    assert "nearest there: 10.00 mm" in told[0].number or "6.00 mm" in told[0].number
    assert gate.verdict == evaluation.evaluate(job.loads(LANTERN)).gates[0].verdict
    stocked, _ = job.loads_with_shop(LANTERN, job.loads_shop(SHOP))
    assert not any("drill" in f.what for f in evaluation.evaluate(stocked).gates[0].findings)


def test_sheet_and_results_say_which_shop_file_and_what_came_from_it(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_bytes(SHOP)
    (tmp_path / "job.toml").write_text(BARE, encoding="utf-8")
    done = call("run", tmp_path / "job.toml", "--out", tmp_path / "out")
    assert done.exit_code in {0, 1}, done.output
    results = json.loads((tmp_path / "out" / "results.json").read_text("utf-8"))
    assert results["shop_sha256"] == hashlib.sha256(SHOP).hexdigest()
    assert results["from_shop"]["paint.per_face"] == "0.2 mm"
    page = (tmp_path / "out" / "job-sheet.html").read_text("utf-8")
    for words in ("the shop&#39;s file", "Corner shop", "paint.per face", "0.2 mm", "2.3 mm"):
        assert words in page, words


def test_which_shop_file_is_taken(tmp_path: Path) -> None:
    import click

    own = Path(click.get_app_dir("foldswing"))
    own.mkdir(parents=True)
    (tmp_path / "jobs").mkdir()
    path = tmp_path / "jobs" / "job.toml"
    path.write_text(LANTERN, encoding="utf-8")
    assert "shop file" not in call("check", path).output
    (own / "shop.toml").write_bytes(SHOP)
    assert f"shop file {own / 'shop.toml'}" in call("check", path).output
    (tmp_path / "jobs" / "shop.toml").write_bytes(SHOP)
    assert f"shop file {tmp_path / 'jobs' / 'shop.toml'}" in call("check", path).output
    given = tmp_path / "other.toml"
    given.write_bytes(SHOP)
    assert "shop file other.toml" in call("check", path, "--shop", given).output
    assert "shop file" not in call("check", path, "--no-shop").output
    assert call("check", path, "--shop", tmp_path / "nowhere.toml").exit_code == 2


def test_a_new_shop_file_is_read_as_written_and_with_every_line_in_use() -> None:
    for units in ("mm", "inch"):
        blank = forms.blank_shop(units)
        assert job.loads_shop(blank.encode()).shop == job.Shop(format=1, units=units)
        used = "\n".join(
            line.removeprefix("# ")
            if line.startswith("# ") and ("=" in line or "[" in line) and "oldswing" not in line
            else line
            for line in blank.splitlines()
        )
        shop = job.loads_shop(used.encode()).shop
        for name in keys.keys_of(job.Shop):
            assert getattr(shop, name) not in (None, ()), name


def test_a_shop_asks_less(tmp_path: Path) -> None:
    shop = job.loads_shop(SHOP)
    tables = ask_script.tables_of(BARE)
    said: list[str] = []

    def read(prompt: str) -> str:
        before = said[-1] if said else ""
        said.append(prompt)
        if talk.asking == "more" or talk.asking.endswith(".more"):
            return ""
        return ask_script.answer(tables, talk.asking, before)

    talk = forms.Talk(read, said.append)
    text = forms.asked("panel", talk, shop=shop)
    asked = "\n".join(said)
    assert "Thickness on one face" not in asked
    assert "(bend figure from this shop's file)" in asked
    made, use = job.loads_with_shop(text, shop)
    assert made.material[0].deduction == 2.3
    assert use is not None
    assert made.paint is not None
    assert "paint" not in text


def test_keys_explains_a_shop_file() -> None:
    done = call("keys", "shop")
    assert done.exit_code == 0
    assert "[[brake]]" in done.output
    assert "drills" in done.output
