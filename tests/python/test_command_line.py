"""The command line and the output folder: whole or not at all, exit codes, nothing overwritten unasked."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from foldswing import job, output
from foldswing.__main__ import main

DEMO = job.shipped()["lantern_nine"]
STEMS = {
    "counter-gate-end-left",
    "counter-gate-end-right",
    "counter-gate-jamb-left",
    "counter-gate-jamb-right",
    "counter-gate-card",
    "tail-plate-panel-end-left",
    "tail-plate-panel-end-right",
    "tail-plate-panel-ear-left",
    "tail-plate-panel-ear-right",
    "tail-plate-panel-card",
    "tail-plate-pan-blank",
    "roof-lid-gauge-across",
    "roof-lid-gauge-along",
    "corner-radius-gauges",
}


def call(*words):
    return CliRunner().invoke(main, [str(w) for w in words])


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "out"
    result = call("demo", "--out", folder)
    assert result.exit_code == 0, result.output
    return folder, result.output


def test_demo_leaves_every_file_it_names(made):
    folder, said = made
    expected = {f"{stem}.{kind}" for stem in STEMS for kind in ("svg", "dxf", "pdf")}
    expected |= {"job.toml", "job-sheet.html", "job-sheet.pdf", "results.json"}
    assert {p.name for p in folder.iterdir()} == expected
    assert "invented" in said


def test_results_say_what_they_come_from(made):
    folder, _ = made
    results = json.loads((folder / "results.json").read_text(encoding="utf-8"))
    assert results["format"] == 1
    assert results["job_sha256"] == hashlib.sha256(DEMO.read_bytes()).hexdigest()
    assert results["gates"][0]["pivot"] == pytest.approx([-10.0, -18.0], abs=1e-9)
    assert sorted(results["files"]) == sorted(p.name for p in folder.iterdir())


def test_the_same_job_gives_the_same_bytes(made, tmp_path):
    folder, _ = made
    again = tmp_path / "again"
    assert call("demo", "--out", again).exit_code == 0
    for path in folder.iterdir():
        assert path.read_bytes() == (again / path.name).read_bytes(), path.name


def test_nothing_is_overwritten_without_being_asked(made, tmp_path):
    folder, _ = made
    copy = tmp_path / "out"
    shutil.copytree(folder, copy)
    before = {p.name: p.stat().st_mtime_ns for p in copy.iterdir()}
    refused = call("demo", "--out", copy)
    assert refused.exit_code == 3
    assert "there already" in refused.output
    assert before == {p.name: p.stat().st_mtime_ns for p in copy.iterdir()}
    assert call("demo", "--out", copy, "--replace").exit_code == 0
    (copy / "notes.txt").write_text("mine", encoding="utf-8")
    kept = call("demo", "--out", copy, "--replace")
    assert kept.exit_code == 3
    assert "notes.txt" in kept.output
    assert (copy / "notes.txt").read_text(encoding="utf-8") == "mine"


def test_a_folder_that_cannot_be_made_leaves_nothing(tmp_path):
    refused = call("demo", "--out", tmp_path / "missing" / "out")
    assert refused.exit_code == 3
    assert list(tmp_path.iterdir()) == []


def test_a_failure_half_way_leaves_nothing(tmp_path, monkeypatch):
    def fail(*_args, **_kwargs):
        raise OSError("disk full")

    monkeypatch.setattr(output.sheet, "to_pdf", fail)
    assert call("demo", "--out", tmp_path / "out").exit_code == 3
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_is_not_replaced(tmp_path):
    target = tmp_path / "out"
    target.write_text("mine", encoding="utf-8")
    assert call("demo", "--out", target, "--replace").exit_code == 2
    with pytest.raises(FileExistsError):
        output.write_job(job.read(DEMO), b"", "x", target, replace=True)
    assert target.read_text(encoding="utf-8") == "mine"


def test_run_tells_each_part_and_its_warnings(tmp_path):
    result = call("run", DEMO, "--out", tmp_path / "out", "--paper", "Letter")
    assert result.exit_code in {0, 1}
    assert "counter gate: " in result.output
    assert "job-sheet.html" in result.output


def test_a_gate_that_fouls_exits_with_1(tmp_path):
    text = DEMO.read_text(encoding="utf-8").replace("lower_inner_corner_radius = 15.6", "lower_inner_corner_radius = 0")
    path = tmp_path / "square.toml"
    path.write_text(text, encoding="utf-8")
    result = call("check", path)
    assert result.exit_code == 1
    assert "overlaps by 4.46 mm" in result.output
    assert "binds" in result.output


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "begins with the line"),
        ("format = 2\n", "reads formats up to 1"),
        ("format = 1\ntitle = 'x'\nunits = 'mm'\n", "nothing to make"),
        ('format = 1\ntitle = "x"\nunits = "mm"\nheight = "4 1/2""\n', "inch mark"),
        ("format = 1\ntitle = 'x'\nunits = 'mm'\npain = 3\n", "paint"),
        ("\x00\x01\x02", "line 1"),
    ],
)
def test_a_bad_job_file_exits_with_2_and_says_why(tmp_path, text, words):
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    result = call("run", path, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert words in result.output
    assert "Traceback" not in result.output
    assert not (tmp_path / "out").exists()


def test_sizes_that_contradict_each_other_exit_with_2_and_name_the_part(tmp_path):
    text = DEMO.read_text(encoding="utf-8").replace("depth = 14\n", "depth = 1\n")
    path = tmp_path / "flat.toml"
    path.write_text(text, encoding="utf-8")
    result = call("run", path, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert "tail plate" in result.output


def test_a_missing_job_file_exits_with_2(tmp_path):
    result = call("check", tmp_path / "none.toml")
    assert result.exit_code == 2
    assert "none.toml" in result.output


def test_inspection():
    assert "nose_behind_wall" in call("keys", "gate.worktop").output
    assert json.loads(call("schema").output)["title"] == "foldswing job"
    assert call("size", "4-1/2", "in").output.strip() == "114.3 mm = 4-1/2 in"
    assert "lantern_nine" in call("demo", "--list").output
    assert call("keys", "gate.worktp").exit_code == 2
    assert call("size", "four").exit_code == 2
    assert call("demo", "--job", "other").exit_code == 2
    for command in ((), ("run",), ("demo",), ("check",), ("keys",), ("schema",), ("size",)):
        assert call(*command, "--help").exit_code == 0


def test_as_a_module():
    path = os.pathsep.join(sys.path)
    done = subprocess.run(
        [sys.executable, "-m", "foldswing", "--version"],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": path},
    )
    assert done.stdout.startswith("foldswing")


def test_no_sheet_or_drawing_shows_a_signed_size(made):
    folder, _ = made
    page = (folder / "job-sheet.html").read_text(encoding="utf-8")
    import re

    body = re.sub(r"<style.*?</style>|<svg.*?</svg>|<[^>]*>", " ", page, flags=re.S)
    # A rounding error of a ruler mark stands in brackets and is signed; nothing else is.
    body = re.sub(r"\([+-]\d+\.\d+\)", "", body)
    assert not re.search(r"(?<![\w/.-])-\s?\d", body), re.findall(r".{20}(?<![\w/.-])-\s?\d.{20}", body)[:3]


def test_sheet_marks_invented_data(made):
    folder, _ = made
    assert "INVENTED DEMO DATA" in (folder / "job-sheet.html").read_text(encoding="utf-8")
    for stem in STEMS:
        assert "INVENTED DEMO DATA" in (folder / f"{stem}.svg").read_text(encoding="utf-8"), stem


def test_both_shipped_jobs_run(tmp_path):
    for name in job.shipped():
        result = call("demo", "--job", name, "--out", tmp_path / name)
        assert result.exit_code == 0, result.output
        assert Path(tmp_path / name / "job-sheet.pdf").stat().st_size > 10_000


@pytest.mark.parametrize(
    ("bars", "code", "said"),
    [
        ("99.2,100.4", 0, ""),
        ("3.9 in, 100 mm", 0, ""),
        ("9.92,10", 2, "was it read in centimetres? Then it is 99.2 mm"),
        ("99,2,100,4", 2, "two lengths with a comma between them and a point in a decimal"),
        ("99.2", 2, "two lengths"),
        ("wide,high", 2, "bars[0]"),
        ("50,100", 2, "made to fit the page?"),
    ],
)
def test_bars_as_measured_correct_the_print_or_are_asked_about(tmp_path, bars, code, said):
    done = call("run", DEMO, "--out", tmp_path / "out", "--bars", bars)
    assert done.exit_code in ({0, 1} if code == 0 else {code})
    assert said in done.output
    assert (tmp_path / "out").exists() == (code == 0)
