"""The package as a whole: what it offers, how light it loads, what is shipped, and which layer may know which."""

from __future__ import annotations

import doctest
import importlib
import importlib.metadata
import inspect
import json
import pickle
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import foldswing as fs
import pytest
from foldswing.__main__ import main

ROOT = Path(__file__).parents[2]
PACKAGE = Path(fs.__file__).parent
HEADERS = sorted((ROOT / "cpp/include/foldswing").glob("*.hpp"))
MODULES = sorted(m.name for m in pkgutil.walk_packages([str(PACKAGE)], "foldswing.") if "._core" not in m.name)
TOPICS = [name for name in fs.__all__ if name.islower() and not name.startswith("_")]
HEAVY = {"matplotlib", "pint", "xarray", "pandas", "scipy", "ezdxf", "reportlab", "jinja2", "click", "tomllib", "tomli"}
IMPORT_MS_OVER_NUMPY = 60.0

# Design: a topic knows only topics above it.
LAYERS = (
    ("error",),
    ("plane", "drafting"),
    ("motion",),
    ("hinge", "landing"),
    ("clearance", "tolerance", "pivot_window", "seam", "stay"),
    ("folding_stay", "relief"),
    ("fitting",),
    ("adjustment",),
    ("gate", "flip_panel", "opening", "axis", "station", "crowned_edge"),  # whole jobs
    ("cure",),
    ("virtual_shop",),
)
SHEET = {
    "bend",
    "bend_check",
    "bend_rule",
    "calibration",
    "bend_order",
    "cut_list",
    "blank",
    "arc",
    "carry",
    "curved_flange",
    "development",
    "edge_finish",
    "ready_section",
    "tray",
}  # know nothing of hinges


def python(code: str) -> str:
    return subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout


def includes(file: Path) -> set[str]:
    return set(re.findall(r"#include <foldswing/(\w+)\.hpp>", file.read_text(encoding="utf-8")))


def test_every_public_name_is_there_and_documented() -> None:
    assert set(fs.__all__) <= set(dir(fs))
    for name in fs.__all__:
        assert (getattr(fs, name).__doc__ or "").strip(), name


@pytest.mark.parametrize("topic", TOPICS)
def test_every_name_of_a_topic_is_there_and_documented(topic: str) -> None:
    module = getattr(fs, topic)
    assert module.__all__
    for name in module.__all__:
        public = getattr(module, name)
        if inspect.isroutine(public) or inspect.isclass(public):
            assert (public.__doc__ or "").strip(), f"{topic}.{name}"


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'hinges'"):
        _ = fs.hinges


def test_version_is_the_one_of_pyproject() -> None:
    (written,) = re.findall(r'^version = "(.+)"$', (ROOT / "pyproject.toml").read_text(encoding="utf-8"), re.MULTILINE)
    assert fs.__version__ == written
    assert importlib.metadata.version("foldswing") == written
    assert f"[{written}]" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")


def test_import_loads_no_heavy_module() -> None:
    loaded = json.loads(python("import sys, json, foldswing; print(json.dumps(sorted(sys.modules)))"))
    assert not HEAVY & set(loaded)
    assert not [name for name in loaded if name.startswith("foldswing.") and name.split(".")[1] in {"plot", "drawing"}]


def test_import_costs_little_more_than_numpy(show) -> None:
    # processor time, so that other work on the machine does not count
    code = "import time, numpy; t = time.process_time(); import foldswing; print(1e3 * (time.process_time() - t))"
    best = min(float(python(code)) for _ in range(7))
    show("import", f"{best:.1f} ms over NumPy's own (allowed {IMPORT_MS_OVER_NUMPY:.0f})")
    assert best < IMPORT_MS_OVER_NUMPY


def test_types_are_shipped_for_every_part_of_the_extension() -> None:
    assert (PACKAGE / "py.typed").exists()
    parts = {name for name, _ in inspect.getmembers(fs._core, inspect.ismodule)}
    stubs = {file.stem for file in (PACKAGE / "_core").glob("*.pyi")} - {"__init__"}
    assert parts == stubs


def test_the_wheel_holds_the_package_and_nothing_else() -> None:
    files = importlib.metadata.files("foldswing")
    assert files
    strays = [
        str(file)
        for file in files
        if file.parts[0] not in {"foldswing", f"foldswing-{fs.__version__}.dist-info"} and file.name != "foldswing"
    ]
    assert strays == []
    assert not [str(file) for file in files if file.suffix in {".a", ".hpp", ".cmake", ".cpp"}]


def test_invalid_input_is_a_value_error_that_survives_pickling() -> None:
    assert issubclass(fs.InvalidInput, ValueError)
    with pytest.raises(fs.InvalidInput) as caught:
        fs.arc.radius(-1.0, 2.0)
    copy = pickle.loads(pickle.dumps(caught.value))
    assert type(copy) is fs.InvalidInput
    assert str(copy) == str(caught.value)


@pytest.mark.parametrize("module", MODULES)
def test_examples_in_docstrings_are_true(module: str) -> None:
    assert doctest.testmod(importlib.import_module(module)).failed == 0


def test_public_headers_show_neither_eigen_nor_python() -> None:
    assert HEADERS
    for header in HEADERS:
        found = re.findall(r"\b(?:Eigen|pybind11|Python\.h)\b", header.read_text(encoding="utf-8"))
        assert found == [], header.name


@pytest.mark.parametrize("header", HEADERS, ids=lambda file: file.stem)
def test_a_topic_includes_only_topics_above_it(header: Path) -> None:
    rank = {name: i for i, layer in enumerate(LAYERS) for name in layer}
    for other in includes(header):
        if header.stem in SHEET:
            assert other in SHEET or rank[other] <= rank["plane"], f"{header.stem} includes {other}"
        elif other not in SHEET or rank[header.stem] <= rank["clearance"]:
            assert rank.get(other, len(LAYERS)) <= rank[header.stem], f"{header.stem} includes {other}"


def test_bindings_do_no_arithmetic() -> None:
    for file in ROOT.glob("bindings/*.cpp"):
        text = file.read_text(encoding="utf-8")
        assert not re.search(r"std::(sin|cos|tan|sqrt|hypot|atan2|pow|exp|log)\b|<Eigen|degrees\.hpp", text), file.name


def blocks(language: str) -> list[str]:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    return re.findall(rf"```{language}\n(.*?)```", readme, re.DOTALL)


def test_the_python_example_of_the_readme_runs_and_prints_what_it_says() -> None:
    (example,) = blocks("python")
    said = re.findall(r"# -> (.*)", example)
    assert said
    assert python(example).splitlines() == said


def test_the_cpp_example_of_the_readme_is_the_one_the_consumer_compiles() -> None:
    (example,) = blocks("cpp")
    consumer = (ROOT / "tests/consumer/main.cpp").read_text(encoding="utf-8")
    assert example.strip() in consumer


def test_no_command_of_the_readme_writes_where_another_has_written() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = re.findall(r"^    foldswing (.*)", readme, re.MULTILINE)
    written = re.findall(r"--(?:out|form) (\S+)", "\n".join(lines))
    assert len(written) >= 5
    assert len(set(written)) == len(written)
    commands = {line.split()[0] for line in lines}
    assert commands <= set(main.commands)


def test_links_and_pictures_of_the_readme_exist() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    targets = re.findall(r"\]\(([^)#:]+)\)", readme)
    assert targets
    for target in targets:
        assert (ROOT / target).exists(), target
