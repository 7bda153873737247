"""Every notebook runs top to bottom in a clean kernel, says what is invented, and is kept without outputs."""

from __future__ import annotations

import os
import re
from pathlib import Path

import foldswing
import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))
SECONDS = 300  # for one cell on a busy machine; each takes a second or two


def read(path):
    return nbformat.read(path, as_version=4)


def test_there_are_notebooks():
    assert NOTEBOOKS


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_kept_without_outputs_inputs_first_with_units(path):
    nb = read(path)
    code = [c for c in nb.cells if c.cell_type == "code"]
    assert all(not c.outputs and c.execution_count is None for c in code)
    inputs = code[0].source
    for line in inputs.splitlines():
        if re.match(r"\w+ = [\d.\"\[{]", line):
            assert re.search(r"# (mm|degrees|kg|N)\b", line), f"no unit: {line}"
        else:
            assert line.startswith("#"), f"not an input: {line}"
    assert "invented demo data" in nb.cells[0].source.lower()
    assert re.fullmatch(r"\d\d_[a-z0-9_]+", path.stem)


# The client's own event loop and sockets are closed by the collector, in its own time.
@pytest.mark.filterwarnings("ignore::DeprecationWarning:zmq", "ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_runs_in_a_clean_kernel(path, show, monkeypatch):
    monkeypatch.setenv("MPLBACKEND", "agg")
    paths = [str(Path(foldswing.__file__).parents[1]), os.environ.get("PYTHONPATH", "")]
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(p for p in paths if p))  # the kernel starts in another folder
    nb = read(path)
    place = {"metadata": {"path": str(path.parent)}}
    NotebookClient(nb, timeout=SECONDS, kernel_name="python3", resources=place).execute()
    outputs = [o for c in nb.cells if c.cell_type == "code" for o in c.outputs]
    complaints = [o.text for o in outputs if o.output_type == "stream" and o.name == "stderr"]
    assert not complaints
    show(f"notebook {path.stem}", f"{sum(c.cell_type == 'code' for c in nb.cells)} cells ran")
    if path.stem.startswith("01_"):
        said = "".join(o.text for o in outputs if o.output_type == "stream")
        assert "from the inner face: 18.0 mm" in said
        assert re.search(r"worktop +level to lean +2\.01 mm at 111\.", said)  # invented demo figures, worked by hand
        assert "widget-view" in str([o.get("data", {}) for o in outputs])
