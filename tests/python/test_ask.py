"""Questions in the terminal: the demo jobs come out of them as shipped, and no answer ends in a traceback."""

from __future__ import annotations

import dataclasses
import json
import random
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import ask_script
import pytest
import test_demo_values as demo
from click.testing import CliRunner
from foldswing import evaluation, forms, job
from foldswing.__main__ import main
from foldswing.forms import answers
from hypothesis import given
from hypothesis import strategies as st

SHIPPED = {name: path.read_text("utf-8") for name, path in job.shipped().items()}


def call(*words: Any, typed: str | bytes = "") -> Any:
    return CliRunner().invoke(main, [str(w) for w in words], input=typed)


@pytest.fixture(scope="module")
def scripts() -> dict[str, list[tuple[str, str]]]:
    """The lines to type for each part of each demo job."""
    out: dict[str, list[tuple[str, str]]] = {}
    for name, kinds in ask_script.PARTS.items():
        tables, text, out[name] = ask_script.tables_of(SHIPPED[name]), "", []
        for kind in kinds:
            text, lines = ask_script.script(tables, kind, text)
            out[name].append((kind, "\n".join(lines) + "\n"))
    return out


@pytest.fixture(scope="module")
def asked(scripts: Any, tmp_path_factory: Any) -> dict[str, Path]:
    """The demo jobs, typed into the command line from scripts."""
    folder = tmp_path_factory.mktemp("asked")
    out = {}
    for name, parts in scripts.items():
        out[name] = folder / f"{name}.toml"
        for i, (kind, typed) in enumerate(parts):
            made = call("ask", kind, "--out", out[name], "--no-shop", *(["--add"] if i else []), typed=typed)
            assert made.exit_code == 0, made.output
    return out


@pytest.mark.parametrize("name", ask_script.PARTS)
def test_the_asked_job_is_the_shipped_one(asked: Any, name: str, show: Any) -> None:
    made, shipped = job.read(asked[name]), job.read(job.shipped()[name])
    for part in dataclasses.fields(job.Job):
        assert getattr(made, part.name) == getattr(shipped, part.name), part.name
    assert made == shipped
    show(f"asked from a script: {name}", "every part of the job equals the shipped one, no TOML written by hand")


@pytest.mark.parametrize("name", ask_script.PARTS)
def test_each_part_alone_is_a_job(scripts: Any, name: str) -> None:
    tables = ask_script.tables_of(SHIPPED[name])
    for kind, _ in scripts[name]:
        text, _ = ask_script.script(tables, kind)
        made, shipped = job.loads(text), job.read(job.shipped()[name])
        for part in ("gate", "flip_panel", "pan", "bent_part", "crown"):
            assert getattr(made, part) in ((), getattr(shipped, part))


@pytest.mark.parametrize("name", ask_script.PARTS)
def test_the_asked_job_goes_to_paper(asked: Any, name: str, tmp_path: Path) -> None:
    done = call("run", asked[name], "--out", tmp_path / "out", "--no-shop")
    assert done.exit_code in {0, 1}, done.output
    results = json.loads((tmp_path / "out" / "results.json").read_text("utf-8"))
    want = json.loads(json.dumps(evaluation.evaluate(job.read(job.shipped()[name])).to_dict(), default=str))
    assert len(results["gates"]) == len(want["gates"])
    assert (tmp_path / "out" / "job-sheet.pdf").stat().st_size > 1000


def test_every_check_value_of_the_scenario_comes_out_of_the_asked_job(
    asked: Any, monkeypatch: pytest.MonkeyPatch, show: Any
) -> None:
    made = job.read(asked["lantern_nine"])
    monkeypatch.setattr(demo, "DEMO", made)
    monkeypatch.setattr(demo, "GATE", made.gate[0])
    gate = evaluation.evaluate_gate(made.gate[0], made)
    checked = 0
    for name, check in vars(demo).items():
        if not name.startswith("test_"):
            continue
        wants = check.__code__.co_varnames[: check.__code__.co_argcount]
        marks = [m for m in getattr(check, "pytestmark", []) if m.name == "parametrize"]
        rows: list[dict[str, Any]] = [{}]
        for mark in marks:
            names = [mark.args[0]] if isinstance(mark.args[0], str) and "," not in mark.args[0] else mark.args[0]
            names = [n.strip() for n in names.split(",")] if isinstance(names, str) else list(names)
            several = [values if len(names) > 1 else (values,) for values in mark.args[1]]
            rows = [{**row, **dict(zip(names, values, strict=True))} for row in rows for values in several]
        for row in rows:
            missing = set(wants) - set(row) - {"gate"}
            if missing:
                continue
            check(**row, **({"gate": gate} if "gate" in wants else {}))
            checked += 1
    assert checked >= 20
    show("check values of the scenario, from the asked job", f"{checked} checks passed")


# ------------------------------------------------------------------------------------------------ hostile answers

HOSTILE: dict[str, tuple[str, str, str]] = {
    # path: what is typed, and what the question that follows must hold
    "letters": ("gate[1].opening.width_top", "abc", "How many mm?"),
    "letters after a number": ("gate[1].opening.width_top", "1190x", "How many mm?"),
    "unknown unit": ("gate[1].opening.width_top", "46 ni", "unknown unit 'ni'"),
    "mass for a length": ("gate[1].opening.width_top", "46 kg", "unit of mass"),
    "negative": ("gate[1].opening.width_top", "-1190", "is it 1190?"),
    "zero": ("gate[1].opening.width_top", "0", "How many mm?"),
    "nothing": ("gate[1].opening.width_top", "", "This one is needed: what is it?"),
    "huge": ("gate[1].opening.width_top", "1e30", "How many mm?"),
    "hugest": ("gate[1].opening.width_top", "9" * 300, "How many mm?"),
    "beyond the machine": ("gate[1].opening.width_top", "1e999999", "How many mm?"),
    "very long": ("gate[1].opening.width_top", "1" * 5000, "what is the answer?"),
    "nan": ("gate[1].opening.width_top", "nan", "How many mm?"),
    "infinity": ("gate[1].opening.width_top", "inf", "How many mm?"),
    "decimal comma": ("gate[1].opening.width_top", "1190,5", "Is it 1190.5?"),
    "thousands comma": ("gate[1].opening.width_top", "1,190", "Is it 1190?"),
    "centimetres": ("gate[1].opening.width_top", "119", "Did you mean 119 cm"),
    "inches in a mm job": ("gate[1].opening.width_top", "46.85", "Did you mean 46.85 in"),
    "a digit too many": ("gate[1].opening.width_top", "11900", "Is it 1190"),
    "metres": ("gate[1].opening.width_top", "1.19", "Is that right?|usual"),
    "swapped digits": ("gate[1].opening.width_bottom", "1910", "swapped: 1190?"),
    "a width of another opening": ("gate[1].opening.width_bottom", "600", "which is right?"),
    "a diagonal that cannot be": ("gate[1].opening.diagonals[1]", "2145", "diagonals of about"),
    "a diagonal with swapped digits": ("gate[1].opening.diagonals[1]", "2145", "which is right?|misread"),
    "three readings, one misread": ("gate[1].opening.width_top", "1190 1190.5 1910", "is one of these misread?"),
    "readings with a letter": ("gate[1].opening.width_top", "1190 1190.5 ll90", "How many mm?"),
    "too many readings": ("gate[1].opening.width_top", "1190 " * 30, "readings: which is the size?"),
    "fraction over nothing": ("gate[1].opening.width_top", "46 1/0 in", "0 below the line"),
    "gauge without a series": ("gate[1].panel.thickness", "18 ga", "name the series"),
    "upright as 90": ("gate[1].panel.lean", "90", "from level, where upright is 90"),
    "too much lean": ("gate[1].panel.lean", "50", "Is that right?"),
    "an angle in mm": ("gate[1].panel.lean", "3 mm", "unit of length"),
    "wider than the opening": ("gate[1].panel.width", "1200", "it would not go in"),
    "much narrower than the opening": ("gate[1].panel.width", "118 cm 3", "is one of these misread?"),
    "narrow": ("gate[1].panel.width", "800", "so much less?"),
    "into the head": ("gate[1].panel.height", "400", "into the head"),
    "into the sill": ("gate[1].panel.lower_edge_below_worktop", "63", "in the sill"),
    "into the nose": ("gate[1].panel.thickness", "82", "in the nose"),
    "nose gap that cannot be": ("gate[1].gaps.nose", "30", "leaves 3 mm"),
    "a thick pin": ("gate[1].hinge.pin_diameter", "80", "a pin so thick?"),
    "bush no larger than the pin": ("gate[1].hinge.bush_diameter", "8", "larger than the pin"),
    "heavy": ("gate[1].load.mass", "6500", "Is that right?|much"),
    "mass in mm": ("gate[1].load.mass", "6.5 mm", "unit of length"),
    "neither yes nor no": ("gate[1].stay.there", "perhaps", "neither yes nor no"),
    "a word that is none": ("gate[1].stay.kind", "rope", "is none of"),
    "a word nearly right": ("gate[1].stay.kind", "chian", "did you mean 'chain'?"),
    "a choice that is none": ("gate[1].stop[1].lands:which", "7", "is none of"),
    "half a count": ("gate[1].stay.count", "2.5", "What is it?"),
    "control characters": ("gate[1].name", "gate\x1b[31m", "What is it?"),
    "a name too long": ("gate[1].name", "x" * 501, "what is the answer?"),
    "an edge above the worktop": ("gate[1].stop[2].edge_above_floor", "950", "is it the edge of the open gate?"),
    "rests on nothing": ("gate[1].stop[2].rests_on", "gard rail", "Which of these answers is it?"),
    "no stop at all": ("gate[1].stop[2].below_level", "abc", "How many degrees?"),
    "surrogate": ("title", "\udc80", "What is it?"),
    "quotes and brackets": ("gate[1].opening.width_top", '"]]', "How many mm?"),
    "a formula": ("gate[1].opening.width_top", "=1190*2", "How many mm?"),
    "a date": ("gate[1].opening.width_top", "2026-01-01", "How many mm?|much|Did you mean"),
}


class Recorder:
    """Answers as the demo would, but for one question, which first gets a bad answer."""

    def __init__(self, path: str, bad: str, tables: dict[str, Any]) -> None:
        self.path, self.bad, self.tables = path, bad, tables
        self.said: list[str] = []
        self.done = False
        self.count = 0
        self.talk = forms.Talk(self.read, self.said.append)

    def read(self, prompt: str) -> str:
        before = self.said[-1] if self.said else ""
        self.said.append(prompt)
        self.count += 1
        assert self.count < 1500, self.said[-10:]
        if "Enter: ask again" in prompt:
            return ""
        if self.talk.asking == self.path and not self.done:
            self.done = True
            return self.bad
        return ask_script.answer(self.tables, self.talk.asking, before)


@pytest.mark.parametrize("case", HOSTILE)
def test_a_hostile_answer_is_met_with_a_question(case: str) -> None:
    path, bad, says = HOSTILE[case]
    tables = ask_script.tables_of(SHIPPED["lantern_nine"])
    if "diagonals" in path:
        tables["gate"][0]["opening"]["diagonals"] = [1245.6, 1245.6]
    if "edge_above_floor" in path:
        tables["gate"][0]["stop"][1] = {"name": "lean", "edge_above_floor": 700.6, "rests_on": "guard rail"}
    recorder = Recorder(path, bad, tables)
    text = forms.asked("gate", recorder.talk)
    assert recorder.done, "the question was never asked"
    after = "\n".join(recorder.said)
    assert re.search(says, after), recorder.said[-20:]
    question = next(line for line in recorder.said if re.search(says, line))
    assert "?" in question
    made = job.loads(text)
    assert made.gate[0].opening.width_top == 1190  # and the good answer that followed was taken


def test_the_count_of_hostile_answers(show: Any) -> None:
    assert len(HOSTILE) >= 40
    show("hostile answers", f"{len(HOSTILE)} kinds, each met with a question and then with the good answer taken")


ANSWERS = st.one_of(
    st.text(max_size=30),
    st.sampled_from(["", "y", "n", "back", "?", "k", "1", "2", "3", "119", "1190", "4-1/2", "4 1/2 in", "-3", "1e9",
                     "1190 1190.5 1910", "0", "90", "none", "18 ga steel", "7 lb", "mm", "inch", "gate"]),
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.integers(-10, 5000).map(str),
)  # fmt: skip


@given(kind=st.sampled_from(forms.KINDS), answers=st.lists(ANSWERS, max_size=150))
def test_random_answers_end_in_a_file_or_in_leaving(kind: str, answers: list[str]) -> None:
    left = iter(answers)

    def read(_prompt: str) -> str:
        try:
            return next(left)
        except StopIteration:
            raise EOFError from None

    try:
        text = forms.asked(kind, forms.Talk(read, lambda _line: None))
    except forms.Left:
        return
    job.loads(text)


def test_random_answers_to_one_question_after_another(size: Any) -> None:
    """From good answers with a few bad ones among them a good file comes all the same."""
    rng = random.Random(3)
    tables = ask_script.tables_of(SHIPPED["lantern_nine"])
    bad = ["abc", "", "-1", "1e30", "119", "46.85", "1,5", "back", "?", "nan", "1 2 3000", "\x00", "y", "0", "k"]
    finished = 0
    for _ in range(size(4, 300)):
        count = 0

        def read(prompt: str) -> str:
            nonlocal count
            count += 1
            if count > 700:
                raise EOFError
            if "Enter: ask again" in prompt:
                return ""
            if rng.random() < 0.08:
                return rng.choice(bad)
            return ask_script.answer(tables, talk.asking, said[-1] if said else "")  # noqa: B023

        said: list[str] = []
        talk = forms.Talk(read, said.append)
        try:
            job.loads(forms.asked("gate", talk))
            finished += 1
        except forms.Left:
            pass
    assert finished > 0


# ------------------------------------------------------------------------------- going back, leaving, adding, readings


def test_back_goes_to_the_question_before_and_keeps_what_was_typed() -> None:
    said: list[str] = []
    answers = iter(["Cart", "inch", "back", "mm", "", "", "", "quit"])

    def read(prompt: str) -> str:
        said.append(prompt)
        return next(answers)

    with pytest.raises(forms.Left):
        forms.asked("lid", forms.Talk(read, said.append))
    units = [line for line in said if line.startswith("units")]
    assert len(units) == 2
    assert "[inch]" in units[1]


@pytest.mark.parametrize("typed", ["", "Cart\n", "Cart\nmm\nquit\n", b"Cart\n\xff\xfe\x00\nquit\n"])
def test_leaving_writes_nothing(tmp_path: Path, typed: Any) -> None:
    done = call("ask", "gate", "--out", tmp_path / "job.toml", "--no-shop", typed=typed)
    assert done.exit_code == 4
    assert "nothing was written" in done.output
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path, scripts: Any) -> None:
    path = tmp_path / "job.toml"
    path.write_text("mine", encoding="utf-8")
    done = call("ask", "lid", "--out", path, "--no-shop", typed="x\n")
    assert done.exit_code == 3
    assert path.read_text("utf-8") == "mine"
    assert call("ask", "lid", "--out", path, "--no-shop", "--add", typed="x\n").exit_code == 2
    assert path.read_text("utf-8") == "mine"


def test_adding_keeps_what_the_file_says(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("# my own remark\n" + SHIPPED["teasel_four"], encoding="utf-8")
    tables = ask_script.tables_of(SHIPPED["lantern_nine"])
    tables["crown"].insert(0, {})
    lid = tables["crown"][1]
    lid.update({name: f"{size} mm" for name, size in lid.items() if isinstance(size, (int, float))})
    for layer in lid["layer"]:
        layer["thickness"] = f"{layer['thickness']} mm"
    hinge = lid["hinge"]
    hinge.update({name: f"{size} mm" for name, size in hinge.items() if name != "opens" and not isinstance(size, str)})
    _, lines = ask_script.script(tables, "lid", path.read_text("utf-8"))
    done = call("ask", "lid", "--out", path, "--no-shop", "--add", typed="\n".join(lines) + "\n")
    assert done.exit_code == 0, done.output
    assert path.read_text("utf-8").startswith("# my own remark\n" + SHIPPED["teasel_four"].rstrip())
    made = job.read(path)
    assert [c.name for c in made.crown] == ["awning hood", "roof lid"]
    assert made.crown[1].chord_across == 1220


def test_three_readings_are_kept() -> None:
    tables = ask_script.tables_of(SHIPPED["lantern_nine"])
    tables["crown"][0]["rise_across"] = [38, 38.5, 37.5]
    text, _ = ask_script.script(tables, "lid")
    made = job.loads(text)
    assert made.crown[0].rise_across == 38.0
    assert made.readings == (job.Readings(size="crown[1].rise_across", values=(38.0, 38.5, 37.5)),)


def test_readings_are_asked_one_at_a_time() -> None:
    tables = ask_script.tables_of(SHIPPED["lantern_nine"])
    third = {"crown[1].rise_across#2": "38.5", "crown[1].rise_across#3": "37.5"}

    def read(_prompt: str) -> str:
        if talk.asking in third:
            return third[talk.asking]
        return "" if "#" in talk.asking else ask_script.answer(tables, talk.asking, said[-1] if said else "")

    said: list[str] = []
    talk = forms.Talk(read, said.append)
    made = job.loads(forms.asked("lid", talk, readings=3))
    assert made.readings == (job.Readings(size="crown[1].rise_across", values=(38.0, 38.5, 37.5)),)


@pytest.mark.parametrize(
    ("typed", "mm"),
    [("4-1/2", 114.3), ("4 1/2 in", 114.3), ("114", 114 * 25.4), ("114 mm", 114.0), ("4 1/2; 4 1/2; 4 1/2", 114.3)],
)
def test_shop_sizes_are_understood_in_the_unit_of_the_job(typed: str, mm: float) -> None:
    row = job.table_of_keys()["gate.worktop.nose_depth"]
    assert answers.read(typed, row, "in").value == pytest.approx(mm, abs=1e-9)


def test_questions_run_in_a_process_of_their_own(tmp_path: Path) -> None:
    _, lines = ask_script.script(ask_script.tables_of(SHIPPED["lantern_nine"]), "lid")
    typed = "\n".join(lines) + "\n"
    done = subprocess.run(
        [sys.executable, "-m", "foldswing", "ask", "lid", "--out", str(tmp_path / "x.toml"), "--no-shop"],
        input=typed, capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert job.read(tmp_path / "x.toml").crown[0].name == "roof lid"
    assert "Traceback" not in done.stdout + done.stderr
