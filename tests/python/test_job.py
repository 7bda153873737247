"""Job files: what they say is read, and what is wrong with them is told with its place and what is allowed."""

from __future__ import annotations

import copy
import pickle
import re
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import foldswing as fs
import jsonschema
import pytest
from foldswing import job
from foldswing.job import files, keys
from hypothesis import given
from hypothesis import strategies as st

LANTERN = job.shipped()["lantern_nine"].read_text("utf-8")
TEASEL = job.shipped()["teasel_four"].read_text("utf-8")
ROOT = Path(__file__).parent.parent.parent


def swap(text: str, old: str, new: str) -> str:
    """Replace the first `old`, which must be there."""
    assert old in text, old
    return text.replace(old, new, 1)


def read(text: str | bytes) -> job.Job:
    return job.loads(text, name="x.toml")


def test_the_demo_gate_is_carried_in_full() -> None:
    made = job.read(job.shipped()["lantern_nine"])
    assert made.invented
    assert made.sheet_paper == "A4"
    gate = made.gate[0]
    assert (gate.opening.width_top, gate.opening.width_bottom, gate.opening.head_above_worktop) == (1190, 1190, 328)
    assert (gate.opening.sill_below_worktop, gate.opening.jamb_depth) == (40, 60)
    assert (gate.worktop.above_floor, gate.worktop.nose_behind_wall, gate.worktop.nose_depth) == (900, 31, 40)
    assert (gate.panel.width, gate.panel.height, gate.panel.thickness) == (1180, 360, 28)
    assert (gate.panel.lower_edge_below_worktop, gate.panel.leans, gate.panel.lean) == (36, "upright", 0)
    assert (gate.panel.lower_inner_corner_radius, gate.panel.lower_outer_corner_radius) == (15.6, 4.8)
    assert (gate.gaps.moving, gate.gaps.nose, gate.gaps.sill, gate.gaps.head, gate.gaps.ends) == (2, 3, 4, 4, 5)
    assert (gate.hinge.pin_diameter, gate.hinge.bush_diameter, gate.hinge.pivot_from_inner_face) == (8, 12, None)
    assert (gate.load.mass, gate.load.leaned_load) == (6.5, 20)
    level, lean = gate.stop
    assert (level.lands, level.face, level.nose_gap) == ("level", "flush", 3)
    assert (lean.below_level, lean.rests_on) == (35, "guard rail")
    rail = gate.body[0]
    assert (rail.shape, rail.diameter, rail.outward, rail.down) == ("round bar", 32, 120, 150)
    assert (gate.station[0].from_left, gate.station[0].worktop_down) == (900, 2)
    flip = made.flip_panel[0]
    pan = made.pan_named(flip.pan)
    assert (flip.slope, flip.lower_edge, flip.hinged_edge, flip.seen_face) == (12, "front", "front", "inner")
    assert (flip.pivot_from_hinged_edge, flip.pivot_behind_skin, flip.return_depth, flip.gap) == (16, 10, 12, 3.5)
    assert (pan.width, pan.length, pan.depth, pan.flange("rear")) == (330, 178, 14, 14)
    sheet = made.material_named(pan.material)
    assert (sheet.thickness, sheet.inside_radius, sheet.k_factor) == (1.2, 1.2, 0.42)
    lid = made.crown[0]
    assert (lid.chord_across, lid.rise_across, lid.chord_along, lid.rise_along) == (1220, 38, 760, 12)
    assert [layer.thickness for layer in lid.layer] == [1.2, 1.0, 0.9]


def test_the_inch_demo_is_exact_to_the_double() -> None:
    made = job.read(job.shipped()["teasel_four"])
    inch = Fraction(254, 10)
    gate = made.gate[0]
    assert made.sheet_paper == "Letter"
    assert gate.opening.width_bottom == float((24 + Fraction(7, 16)) * inch)
    assert gate.opening.diagonals == (float((28 + Fraction(13, 32)) * inch), float((28 + Fraction(11, 32)) * inch))
    assert gate.worktop.above_floor == 914.4
    assert gate.panel.height == 355.6
    assert gate.panel.width is None
    assert gate.load.mass == float(7 * Fraction("0.45359237"))
    assert gate.stop[1].edge_above_floor == float((30 + Fraction(1, 4)) * inch)
    assert made.paint is not None
    assert made.paint.per_face == 0.1524
    assert made.material[0].thickness == pytest.approx(0.0396 * 25.4, rel=1e-15)
    assert made.bent_part[0].bend[2].turned == 60.0


@pytest.mark.parametrize("name", sorted(job.shipped()))
def test_a_job_is_a_value(name: str) -> None:
    made = job.read(job.shipped()[name])
    assert job.Job.from_dict(made.to_dict()) == made
    assert pickle.loads(pickle.dumps(made)) == made
    assert hash(copy.deepcopy(made)) == hash(made)
    assert eval(repr(made), {n: getattr(job, n) for n in job.__all__}) == made
    with pytest.raises(AttributeError):
        made.title = "other"


def test_units_of_the_file_and_of_a_value_agree() -> None:
    text = swap(LANTERN, "width_top = 1190", 'width_top = "46 27/32 in"')
    assert read(text).gate[0].opening.width_top == 1189.83125
    one = read(swap(TEASEL, "height = 14\n", 'height = "355.6 mm"\n'))
    assert one == read(TEASEL)


HOSTILE: dict[str, tuple[Any, str]] = {
    # not a text, or not the whole of one
    "empty": (b"", "begins with the line: format = 1"),
    "binary": (bytes(range(256)), "no UTF-8 text|binary"),
    "nul": (LANTERN.encode()[:500] + b"\x00\x00", "line 7: binary data"),
    "utf-16": (LANTERN.encode("utf-16"), "saved as UTF-16"),
    "latin-1": (
        swap(LANTERN, 'Lantern-Nine coffee cart"', 'Caf\u00e9"').encode("latin-1"),
        "line 10: byte 0xe9 is no UTF-8",
    ),
    "huge": (b"#" * 2_000_000, "at most 200000 bytes"),
    "cut in a text": (LANTERN[: LANTERN.index('coffee cart"')], "line 10"),
    "cut in a table": (LANTERN[: LANTERN.index("[gate.panel]")], r"gate\[1\] lacks 'panel'"),
    "cut in a header": (LANTERN[: LANTERN.index("[gate.panel]") + 6], "cannot be read as TOML"),
    "nested brackets": ("format = 1\na = " + "[" * 20_000, "nested too deeply|cannot be read"),
    "dotted": ("format = 1\n" + ".".join("a" * 90_000) + " = 1", "line 2: more than 16 names joined by points"),
    "dotted inside": ("format = 1\nx = {" + ".".join("a" * 90_000) + " = 1}", "line 2: more than 16 names"),
    "unknown keys by the thousand": ("format = 1\n" + "".join(f"k{i} = 1\n" for i in range(15_000)), "and more"),
    "endless list": (swap(TEASEL, '["1/2", ', "[" + "1, " * 50_000), "at most 200 times, got 50003"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + b"\x00" * 64, "no UTF-8 text"),
    "a folder of words": ("Dear Sir, the gate is four feet wide.", "cannot be read as TOML"),
    "surrogate": ("format = 1\ntitle = '\ud800'", "no text"),
    # format
    "no format": (swap(LANTERN, "format = 1", ""), "begins with the line: format = 1"),
    "newer format": (swap(LANTERN, "format = 1", "format = 2"), "format 2; foldswing .* reads formats up to 1"),
    "format as text": (swap(LANTERN, "format = 1", 'format = "1"'), "format must be a whole number"),
    "format true": (swap(LANTERN, "format = 1", "format = true"), "format must be a whole number"),
    "format 0": (swap(LANTERN, "format = 1", "format = 0"), "format must be a whole number"),
    "format of many digits": (swap(LANTERN, "format = 1", "format = " + "9" * 4000), "reads formats up to 1"),
    # slips of the pen that TOML cannot read
    "inch mark in quotes": (swap(LANTERN, "= 1190", '= "4 1/2""'), r"line 36: .*write \"4 1/2 in\", or '4 1/2\"'"),
    "inch mark unquoted": (swap(LANTERN, "= 1190", '= 4 1/2"'), r"Hint: an inch mark ends the text too early"),
    "feet in single quotes": (swap(LANTERN, "= 1190", "= '2' 4 in'"), "Hint: a foot mark"),
    "unit without quotes": (
        swap(LANTERN, "= 1190", "= 1190 mm"),
        "Hint: a size with a fraction or a unit goes in quotes",
    ),
    "fraction without quotes": (swap(LANTERN, "= 1190", "= 4 1/2"), "goes in quotes"),
    "comma": (swap(LANTERN, "= 1190", "= 1190,5"), "Hint: write the decimal sign as a point"),
    "curly quotes": (swap(LANTERN, '"upright"', "\u201cupright\u201d"), "Hint: use straight quotes"),
    "word without quotes": (swap(LANTERN, '"upright"', "upright"), "Hint: words go in quotes"),
    "leading zero": (swap(LANTERN, "= 1190", "= 0190"), "Hint: a number does not start with 0"),
    "key twice": (swap(LANTERN, "width_top = 1190", "width_top = 1190\nwidth_top = 3"), "line 37: .*given twice"),
    "table twice": (LANTERN + "\n[paint]\nper_face = 1\n", "given twice"),
    # wrong kinds
    "negative": (swap(LANTERN, "= 1190", "= -1190"), r"gate\[1\]\.opening\.width_top must be a length > 0 .*which way"),
    "zero": (swap(LANTERN, "thickness = 28", "thickness = 0"), "panel.thickness must be a length > 0"),
    "nan": (swap(LANTERN, "= 1190", "= nan"), "width_top must be a length"),
    "inf": (swap(LANTERN, "= 1190", "= inf"), "width_top must be a length"),
    "too long": (swap(LANTERN, "= 1190", "= 1e30"), "<= 100000 mm"),
    "many digits": (swap(LANTERN, "= 1190", "= 1" + "0" * 4000), "width_top must be a length"),
    "true": (swap(LANTERN, "= 1190", "= true"), "width_top must be a length"),
    "date": (swap(LANTERN, "= 1190", "= 2026-01-01"), "width_top must be a length"),
    "list": (swap(LANTERN, "= 1190", "= [1190]"), "width_top must be a length"),
    "table for a length": (swap(LANTERN, "= 1190", "= {mm = 1190}"), "width_top must be a length"),
    "length for a table": (
        swap(LANTERN, "[paint]\nper_face = 0.15", "paint = 0.15"),
        "paint must be a table with per_face",
    ),
    "text for a flag": (swap(LANTERN, "invented = true", 'invented = "yes"'), "invented must be true or false"),
    "number for a text": (swap(LANTERN, 'metal = "steel sheet"', "metal = 3"), "metal must be text in quotes"),
    "empty text": (swap(LANTERN, 'metal = "steel sheet"', 'metal = ""'), "metal must be text in quotes, 1 to 500"),
    "long text": (swap(LANTERN, "steel sheet", "x" * 501), "metal must be text in quotes, 1 to 500"),
    "escape codes": (swap(LANTERN, "steel sheet", "\\u001b[31m"), "characters that can be printed"),
    "text for a number": (
        swap(LANTERN, "k_factor = 0.42", 'k_factor = "0.42"'),
        "k_factor must be a number .*without quotes",
    ),
    "k over 1": (swap(LANTERN, "k_factor = 0.42", "k_factor = 42"), "k_factor must be a number > 0 and <= 1, got 42"),
    "half a stay": (swap(LANTERN, "count = 2", "count = 2.5"), "count must be a whole number"),
    "unknown unit": (swap(LANTERN, "= 1190", '= "46 ni"'), "unknown unit 'ni'; did you mean 'in'|unknown unit 'ni'"),
    "mass for a length": (swap(LANTERN, "= 1190", '= "46 kg"'), "'kg' is a unit of mass"),
    "gauge without series": (
        swap(LANTERN, "thickness = 1.2", 'thickness = "18 ga"'),
        "name the series: 1.214 mm in steel",
    ),
    "zero below the line": (swap(LANTERN, "= 1190", '= "4 1/0 in"'), "0 below the line"),
    "unit of the file": (
        swap(LANTERN, 'units = "mm"', 'units = "inches"'),
        "units must be one of 'mm', 'inch'.*mean 'inch'",
    ),
    "bare mass in inches": (swap(TEASEL, '"7 lb"', "7"), "must name its unit in a file in inches"),
    "unknown word": (swap(LANTERN, 'leans = "upright"', 'leans = "outwards"'), "did you mean 'outward'"),
    # wrong keys
    "unknown key": (swap(LANTERN, "width_top", "wdith_top"), r"line 36: .*unknown key; did you mean 'width_top'"),
    "unknown table": (swap(LANTERN, "[gate.opening]", "[gate.openings]"), "unknown key; did you mean 'opening'"),
    "unlike any key": (swap(LANTERN, "width_top", "zzzz"), "the keys here are width_top, width_bottom"),
    "key of another table": (swap(LANTERN, "width_top = 1190", "mass = 3"), "'mass' belongs in gate.load.mass"),
    "key lacking": (swap(LANTERN, "width_top = 1190", ""), "line 35: .*lacks 'width_top': Width between"),
    "single brackets": (swap(LANTERN, "[[gate]]", "[gate]"), r"write \[\[gate\]\] with two brackets"),
    "double brackets": (swap(LANTERN, "[paint]", "[[paint]]"), r"paint comes once: write \[paint\] with one bracket"),
    # what contradicts itself
    "two turns": (swap(LANTERN, "below_level = 35", "below_level = 35\nturn = 125"), "at most one of lands, turn"),
    "no turn": (swap(LANTERN, "below_level = 35", ""), "a stop needs one of lands, turn"),
    "up and down": (swap(LANTERN, "down = 150", "down = 150\nup = 1"), "at most one of up, down or above_floor"),
    "nowhere": (swap(LANTERN, "down = 150", ""), "needs one of up, down or above_floor"),
    "bar without size": (swap(LANTERN, "diameter = 32", ""), "a round bar lacks 'diameter'"),
    "bar with a width": (swap(LANTERN, "diameter = 32", "diameter = 32\nwidth = 3"), "has no use for 'width'"),
    "half a pivot": (swap(LANTERN, "pin_diameter = 8", "pin_diameter = 8\npivot_below_worktop = 18"), "go together"),
    "two bend figures": (swap(LANTERN, "k_factor = 0.42", "k_factor = 0.42\ndeduction = 2"), "exactly one of k_factor"),
    "radii over thickness": (swap(LANTERN, "radius = 4.8", "radius = 14.8"), "30.4 mm, more than the gate is thick"),
    "lean of an upright": (swap(LANTERN, 'leans = "upright"', 'leans = "upright"\nlean = 3'), "leans 'upright'"),
    "stack does not add up": (swap(LANTERN, '"play"\nthickness = 1', '"play"\nthickness = 2'), "1 [+] 3 [+] 2 = 6 mm"),
    "stop on nothing": (swap(LANTERN, '"guard rail"  #', '"gard rail"  #'), "rests on 'gard rail', but there is"),
    "missing material": (
        swap(LANTERN, 'material = "belly skin"', 'material = "bely skin"'),
        "did you mean 'belly skin'",
    ),
    "missing pan": (swap(LANTERN, 'pan = "tail plate pan"', 'pan = "lid"'), "not in this job"),
    "same name": (swap(LANTERN, 'name = "lean"', 'name = "level"'), "'level' 2 times"),
    "no stop": (re.sub(r"\[\[gate\.stop\]\][^\[]*", "", LANTERN), "lacks 'stop'"),
    "nothing to make": ('format = 1\ntitle = "x"\nunits = "mm"', "nothing to make"),
    "flats and bends": (swap(TEASEL, '"3/4", "3/8"]', '"3/4"]'), "got 3 flats and 3 bends"),
    "strip does not add up": (swap(TEASEL, 'flat = "2.000"', 'flat = "2.200"'), "not shorter than"),
    "rise over half a circle": (swap(LANTERN, "rise_across = 38", "rise_across = 700"), "half of the chord"),
    "inset eats the chord": (swap(LANTERN, "inset = 20", "inset = 400"), "leaves nothing of the chord along"),
    "endless rises": (
        swap(LANTERN, "station_every = 100", "station_every = 0.01"),
        "station_every must be at least 4 mm for a chord of 1220 mm",
    ),
    "bad ruler": (swap(LANTERN, '"0.5 mm"', '"1/32"'), "ruler must be a step"),
    "diagonal": (swap(TEASEL, '["28 13/32", "28 11/32"]', '["28 13/32"]'), "both diagonals, got 1"),
    "seal without heights": (
        LANTERN + '\n[[gate.seal]]\nedge = "head"\nfree = 6\nsqueezed = 3\n',
        "seal needs the opening's height_left and height_right",
    ),
    "seal that cannot be squeezed": (
        TEASEL + '\n[[gate.seal]]\nedge = "head"\nfree = "1/8"\nsqueezed = "1/4"\n',
        "free is 3.175 mm, no more than squeezed",
    ),
    "two seals on one edge": (
        TEASEL + 2 * '\n[[gate.seal]]\nedge = "head"\nfree = "1/4"\nsqueezed = "1/8"\n',
        "there are 2 on the head",
    ),
    "two words for the left end": (
        swap(TEASEL, 'ends = "3/16"', 'ends = "3/16"\nleft_end = "3/16"\nright_end = "3/16"'),
        "at most one of ends or left_end",
    ),
    "one height": (swap(TEASEL, 'height_left = "14 3/8"', ""), "height_left missing"),
    "cut to the opening with a height": (
        swap(TEASEL, 'leans = "upright"', 'leans = "upright"\nfit = "to the opening"'),
        "leave out width and height",
    ),
}


@pytest.mark.parametrize("case", HOSTILE)
def test_a_bad_job_file_is_refused_with_its_reason(case: str) -> None:
    data, says = HOSTILE[case]
    with pytest.raises(fs.InvalidInput, match=says) as caught:
        read(data)
    text = str(caught.value)
    assert text.startswith("x.toml")
    assert len(text) < 4000
    assert all(ch.isprintable() or ch == "\n" for ch in text)


def test_the_count_of_bad_files(show: Any) -> None:
    assert len(HOSTILE) >= 30
    show("job files refused", f"{len(HOSTILE)} hostile job files, each InvalidInput with the reason asked for")


@pytest.mark.parametrize("data", [None, 3, ["format = 1"], Path("x")])
def test_only_text_or_bytes_are_read(data: Any) -> None:
    with pytest.raises(fs.InvalidInput, match="data must be the text or bytes"):
        job.loads(data)


def test_every_problem_is_told_at_once() -> None:
    text = swap(swap(LANTERN, "width_top = 1190", "width_top = -1"), "rise_across = 38", "rise_acros = 38")
    with pytest.raises(fs.InvalidInput) as caught:
        read(text)
    lines = str(caught.value).splitlines()
    assert len(lines) == 3
    assert "width_top must be" in lines[0]
    assert "did you mean 'rise_across'" in lines[1]
    assert "lacks 'rise_across'" in lines[2]


def test_a_missing_file_is_an_os_error_and_a_folder_too(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="nowhere"):
        job.read(tmp_path / "nowhere.toml")
    with pytest.raises(OSError, match=re.escape(str(tmp_path))):
        job.read(tmp_path)


def test_files_of_other_systems_are_read(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + LANTERN.replace("\n", "\r\n").encode())
    assert job.read(path) == read(LANTERN)


def test_an_older_format_is_migrated_in_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(job, "FORMAT", 2)
    monkeypatch.setattr(job, "_MIGRATIONS", {1: lambda t: {**t, "format": 1, "title": t["title"] + " (migrated)"}})
    tables = job._of_this_format(files.load(LANTERN, "x"), "x")
    assert tables["title"] == "Lantern-Nine coffee cart (migrated)"
    assert tables["format"] == 2


def validator() -> jsonschema.Draft202012Validator:
    jsonschema.Draft202012Validator.check_schema(job.schema())
    return jsonschema.Draft202012Validator(job.schema())


@pytest.mark.parametrize("text", [LANTERN, TEASEL], ids=["lantern_nine", "teasel_four"])
def test_the_schema_takes_the_shipped_jobs(text: str) -> None:
    validator().validate(files.load(text, "x"))


@pytest.mark.parametrize(
    "case",
    [
        "unknown key",
        "key lacking",
        "negative",
        "true",
        "list",
        "unknown word",
        "two turns",
        "half a pivot",
        "up and down",
        "k over 1",
        "newer format",
        "single brackets",
        "text for a flag",
        "half a stay",
        "two bend figures",
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(case: str) -> None:
    assert not validator().is_valid(files.load(HOSTILE[case][0], "x"))


def test_reader_schema_and_help_come_from_one_table() -> None:
    table = job.table_of_keys()
    assert len(table) > 150
    text = job.help_text()
    for path, row in table.items():
        assert row.help.endswith("."), path
        if row.kind != "table":
            assert re.search(rf"^  {row.name} +.*{re.escape(row.help)}", text, re.MULTILINE), path
        node: dict[str, Any] = job.schema()
        for part in path.split("."):
            node = node.get("items", node)["properties"][part]
        assert node.get("items", node)["description"].startswith(row.help)
    assert "[[gate.stop]]" in job.help_text("gate")
    assert "[[crown]]" not in job.help_text("gate")
    with pytest.raises(fs.InvalidInput, match=r"did you mean 'gate\.stop'"):
        job.help_text("gate.stp")


def test_no_key_of_the_table_is_signed() -> None:
    for path, row in job.table_of_keys().items():
        if row.unit:
            bad = keys._misfit(row, -1.0)
            assert bad is not None, path
            assert keys._misfit(row, min(1.0, row.limit or 1.0)) is None, path


def test_values_hold_their_rules_without_a_file_too() -> None:
    with pytest.raises(fs.InvalidInput, match=r"Layer.thickness must be a length > 0"):
        job.Layer(name="washer", thickness=-1.0)
    with pytest.raises(fs.InvalidInput, match="exactly one of bend_angle or included_angle"):
        job.Bend(way="up")
    with pytest.raises(fs.InvalidInput, match="larger than the pin"):
        job.Hinge(pin_diameter=8.0, bush_diameter=8.0)
    with pytest.raises(fs.InvalidInput, match=r"BentPart.flats must be a list"):
        job.BentPart(name="x", material="y", width=1.0, lengths_are="flat", flats=3.0, bend=())
    assert job.Bend(included_angle=120.0, way="up").turned == 60.0


FRACTIONS = st.builds(lambda w, n, p: (w, n % 2**p, 2**p), st.integers(1, 90), st.integers(0, 63), st.integers(1, 6))


@given(size=FRACTIONS, style=st.sampled_from(['"{} {}/{}"', '"{}-{}/{} in"', "'{} {}/{}\"'"]))
def test_an_inch_size_comes_through_the_file_exactly(size: tuple[int, int, int], style: str) -> None:
    whole, num, den = size
    made = read(swap(TEASEL, 'width_top = "24 1/2"', "width_top = " + style.format(whole, num, den)))
    assert made.gate[0].opening.width_top == float((whole + Fraction(num, den)) * Fraction(254, 10))


@given(st.floats(min_value=1e-6, max_value=1e5))
def test_a_number_in_inches_means_the_same_as_its_text(x: float) -> None:
    reader = keys.Reader("in")
    row = job.table_of_keys()["gate.worktop.nose_depth"]
    if x * 25.4 <= row.limit:
        assert reader._one(row, x, ()) == fs.units.mm(f"{x!r} in")
    assert not reader.problems


def test_the_fuzzer_runs(size: Any) -> None:
    done = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "fuzz" / "fuzz_job.py"), "--cases", str(size(300, 3000)), "--seed", "1"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "only InvalidInput" in done.stdout
