"""Brakes, stock and the cut list of a job: what the shop and the job file say, and what the sheet shows of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from foldswing import InvalidInput, evaluation, job, output, report
from foldswing.sheet import to_html

JOB = """
format = 1
title = "brackets"
units = "mm"

[[material]]
name = "sheet"
metal = "mild steel"
thickness = 1.2
inside_radius = 1.5
k_factor = 0.42

[[bent_part]]
name = "hat"
material = "sheet"
flats = [25, 30, 60, 30, 25]
lengths_are = "outside"
width = 200
bend = [
  { bend_angle = 90, way = "up" },
  { bend_angle = 90, way = "down" },
  { bend_angle = 90, way = "down" },
  { bend_angle = 90, way = "up" },
]

[[pan]]
name = "box"
material = "sheet"
width = 200
length = 120
depth = 30
"""
SHOP = b"""
format = 1
units = "mm"

[[brake_tool]]
name = "folder"
kind = "leaf brake"

[[brake_tool]]
name = "press"
kind = "press brake"
v_opening = 10
stop_farthest = 600

[[stock]]
name = "sheet"
metal = "Mild steel"
thickness = 1.2
length = 1000
width = 500
grain = "along width"

[cutting]
kerf = 2
"""
TOOLS = """
[[brake_tool]]
name = "pan folder"
kind = "box-and-pan brake"
fingers = [20, 30, 50, 75, 100]
"""


def in_shop() -> job.Job:
    found, used = job.loads_with_shop(JOB.encode(), job.loads_shop(SHOP))
    assert used is not None
    assert {"brake_tool", "stock", "cutting"} <= {name for name, _ in used.values}
    return found


def test_a_job_takes_brakes_and_stock_from_its_shop() -> None:
    found = in_shop()
    assert [b.name for b in found.brake_tool] == ["folder", "press"]
    assert found.brake_tool[1].v_opening == 10
    assert found.stock[0].length == 1000
    assert found.cutting.kerf == 2


def test_the_first_brake_that_can_is_used_and_a_pan_without_fingers_is_told_why() -> None:
    done = evaluation.evaluate(in_shop())
    box, hat = done.blanks
    assert box.order is not None
    assert box.order.found.status == "none"
    assert "the fingers" in box.order.found.explanation
    assert hat.order is not None
    assert hat.order.found.status == "found"
    assert hat.order.found.flips == 1
    assert [b.name for b in hat.bends] == sorted(s.name for s in hat.order.found.steps)
    fingers = evaluation.evaluate(job.loads((JOB + TOOLS).encode())).blanks[0].order
    assert fingers is not None
    assert fingers.found.status == "found"


def test_no_brake_no_order_no_stock_no_cut_list() -> None:
    done = evaluation.evaluate(job.loads(JOB.encode()))
    assert all(b.order is None for b in done.blanks)
    assert done.cut_list == ()


def test_the_bend_sheet_says_how_far_to_bend_on_the_tool_where_the_metal_is_known() -> None:
    known = JOB.replace('metal = "mild steel"', 'metal = "METAL"') + TOOLS
    page = {}
    for metal in ("aluminium 6061-T6", "unheard-of alloy"):
        made = job.loads(known.replace("METAL", metal).encode())
        page[metal] = to_html(report.job_sheet(made, evaluation.evaluate(made)))
    assert ", on the tool 9" in page["aluminium 6061-T6"]
    assert ", on the tool" not in page["unheard-of alloy"]


def test_the_grain_runs_across_the_bends_of_a_section() -> None:
    (cut,) = evaluation.evaluate(in_shop()).cut_list
    (sheet,) = cut.layout.sheets
    laid = {p.name: p for p in sheet.pieces}
    assert laid["hat"].turned  # the sheet was rolled along its width
    assert cut.layout.status == "all"


def test_sheet_and_results_tell_order_and_cut_list(tmp_path: Path) -> None:
    text = JOB + TOOLS + SHOP.decode().split("[[stock]]")[1].join(["\n[[stock]]", ""])
    made = job.loads(text.encode())
    page = to_html(report.job_sheet(made, evaluation.evaluate(made)))
    for said in ("Bend order on the pan folder", "Bends in their order", "Cut list: mild steel, 1.20 mm", "remnant"):
        assert said in page
    output.write_job(made, text.encode(), "job.toml", tmp_path / "out")
    results = json.loads((tmp_path / "out" / "results.json").read_text(encoding="utf-8"))
    assert results["blanks"][0]["order"]["found"]["status"] == "found"
    assert results["cut_list"][0]["layout"]["status"] == "all"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("v_opening = 10", ""), "v_opening"),
        (("v_opening = 10", "v_opening = 3"), "v_opening"),
        (('kind = "leaf brake"', 'kind = "leaf brake"\nfingers = [20]'), "fingers"),
        (('kind = "leaf brake"', 'kind = "rollers"'), "kind"),
        (("stop_farthest = 600", "stop_farthest = 600\nstop_nearest = 700"), "stop_nearest"),
        (("kerf = 2", "kerf = -2"), "kerf"),
        (("length = 1000", "length = 0"), "length"),
        (('grain = "along width"', 'grain = "up"'), "grain"),
    ],
)
def test_wrong_shop_figures_are_refused_by_key(change: tuple[str, str], said: str) -> None:
    wrong: Any = SHOP.decode().replace(*change).encode()
    with pytest.raises(InvalidInput, match=said):
        job.loads_shop(wrong)
