"""Brakes, stock and the cut list of a job: what the shop and the job file say, and what the sheet shows of it."""

from __future__ import annotations

import dataclasses
import html
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from brake_oracle import Brake, pose
from foldswing import InvalidInput, bend_order, edge_finish, evaluation, job, output, pictures, report, sheet
from foldswing.blank import Bend, Flat, Profile
from foldswing.report.closing import order_of_work
from foldswing.report.first_page import blank_page
from foldswing.sheet import to_html
from foldswing.tray import Return, Tray

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


TRAY = """
[[tray]]
name = "shelf"
material = "sheet"
width = 420
length = 260
depth = 35
return_width = 11
right_return = 0
rear_return = 0
corner_gap = 0.4
tabs_on = "left and right"
tab_width = 14
"""
PAN_FOLDER = """
[[brake_tool]]
name = "pan folder"
kind = "box-and-pan brake"
fingers = [20, 30, 50, 75, 100, 100, 150]
"""


def test_a_tray_has_an_order_with_the_names_of_its_sheet_and_says_that_tabs_are_not_in_it() -> None:
    made = job.loads((JOB + TRAY + PAN_FOLDER).encode())
    done = evaluation.evaluate(made)
    shelf = next(b for b in done.blanks if b.name == "shelf")
    order = shelf.order
    assert order is not None
    assert order.found is not None
    names = [s.name for s in order.found.steps]
    assert sorted(names) == ["front", "front return", "left", "left return", "rear", "right"]
    assert set(names) | {b.name for b in shelf.bends if b.kind == "tab"} == {b.name for b in shelf.bends}
    lip = Return(11)
    by_hand = Tray(
        420, 260, (35,) * 4, returns=(lip, None, lip, None), thickness=1.2, radius=1.5, k_factor=0.42, notch="gap",
        corner_gap=0.4,
    )  # fmt: skip
    sections = bend_order.Tray(by_hand.lengthwise, 2, by_hand.crosswise, 2)
    told = ["left return", "left", "right", "front return", "front", "rear"]
    assert order.found == bend_order.search(sections, made.brake_tool[0].brake, names=told)
    for step, edge in zip(order.found.steps, order.behind, strict=True):
        sides = (
            ("left edge", "right edge") if step.name.split()[0] in {"left", "right"} else ("front edge", "rear edge")
        )
        assert edge == sides[step.at_gauge == "end"]
    assert any("corner tabs are not in this order" in text for text in order.left_out)
    page = to_html(report.job_sheet(made, done))
    for said in ("Bend order on the pan folder", "quarter turn", "rear edge", "corner tabs are not in this order"):
        assert said in page
    drawn = {e.text for e in pictures.bend_steps(shelf, made).entities if hasattr(e, "text")}
    assert "1: left return, face up" in drawn
    assert "before it: quarter turn" in drawn
    assert order.numbers == {name: i for i, name in enumerate(names, start=1)}
    lines = {e.text for e in pictures.blank(shelf, made).entities if hasattr(e, "text")}
    told = dict(
        re.fullmatch(r"(.*): UP 90\N{DEGREE SIGN}  order (\d)", text).groups() for text in lines if ": UP" in text
    )
    assert {name: int(number) for name, number in told.items()} == order.numbers
    tabs = [b for b in shelf.bends if b.kind == "tab"]
    short = [
        e.text for e in pictures.blank(shelf, made).entities if getattr(e, "text", "") == "TAB UP 90\N{DEGREE SIGN}"
    ]
    assert len(short) == len(tabs)  # the line of a tab has room for no more
    plain = evaluation.evaluate_tray(dataclasses.replace(made.tray[0], tabs_on=None, tab_width=None), made)
    assert plain.order is not None
    assert plain.order.left_out == ()


def test_the_first_page_numbers_the_bends_in_their_order() -> None:
    made = in_shop()
    done = evaluation.evaluate(made)
    box, hat = (
        sheet.to_html(sheet.Document("x", blocks=tuple(blank_page(b, made, report.Words(made))))) for b in done.blanks
    )
    assert "<th>Order" not in re.sub(r"<th [^>]*>", "<th>", box)
    assert "<th>Order" in re.sub(r"<th [^>]*>", "<th>", hat)
    order = next(b for b in done.blanks if b.name == "hat").order
    assert order is not None
    rows = re.findall(r"<tr><td[^>]*>(\d)</td><td[^>]*>(bend \d)</td>", re.sub(r"\s*\n\s*", "", hat))
    assert {name: int(n) for n, name in rows} == order.numbers
    checked, not_checked = "bends in every order against", "whether a brake can make the bends"
    for with_brakes, job_made in ((True, made), (False, job.loads(JOB.encode()))):
        page = html.unescape(to_html(report.job_sheet(job_made, evaluation.evaluate(job_made)))).lower()
        assert (checked in page) == with_brakes
        assert (not_checked in page) != with_brakes


def test_returns_folded_flat_are_said_to_be_hems() -> None:
    flat = TRAY.replace("corner_gap", "return_bend_angle = 180\ncorner_gap")
    (shelf,) = (
        b for b in evaluation.evaluate(job.loads((JOB + flat + PAN_FOLDER).encode())).blanks if b.name == "shelf"
    )
    assert shelf.order is not None
    assert any("closed hems" in text for text in shelf.order.left_out)
    assert shelf.order.found is not None
    assert "180.0 degrees are more than" in shelf.order.found.explanation


EDGED = """
[[bent_part]]
name = "edged"
material = "sheet"
width = 300
lengths_are = "outside"
flats = [FLATS]
EDGES
bend = [BENDS]
"""


def edged(flats: str, edges: str, ways: str, tools: str) -> evaluation.BlankResult:
    bends = ", ".join(f'{{ bend_angle = 90, way = "{way}" }}' for way in ways.split())
    text = EDGED.replace("FLATS", flats).replace("EDGES", edges).replace("BENDS", bends)
    made = job.loads((JOB + text + tools).encode())
    return evaluation.evaluate_bent_part(made.bent_part[-1], made)


UP = '{ bend_angle = 90, way = "up" }'
LEAF = '[[brake_tool]]\nname = "folder"\nkind = "leaf brake"\n'
PRESS = '[[brake_tool]]\nname = "press"\nkind = "press brake"\nv_opening = 10\n'
HEM = 'start_edge = { kind = "closed hem", width = 9 }'
WIRE = 'end_edge = { kind = "wired edge", wire_diameter = 4 }'


@pytest.mark.parametrize(
    ("flats", "edges", "ways", "tools"),
    [
        ("65, 50", HEM, "up", LEAF),
        ("50, 80, 30", HEM, "up up", PRESS),
        ("60, 45, 40", f"{HEM}\n{WIRE}", "up down", PRESS),
        ("25, 90", HEM, "up", LEAF),  # only with the plain end behind
    ],
)
def test_an_order_with_a_closed_edge_is_one_that_shapely_finds_free(
    flats: str, edges: str, ways: str, tools: str
) -> None:
    done = edged(flats, edges, ways, tools)
    assert done.order is not None
    assert done.order.found is not None
    steps = done.order.found.steps
    assert sorted(s.name for s in steps) == [b.name for b in done.bends if b.kind == "bend"]
    assert [done.bends[s.bend].name for s in steps] == [s.name for s in steps]
    (said,) = done.order.left_out
    assert "closed first, while the blank is flat" in said
    # The whole section folded by hand, its edges closed, bend by bend.
    whole = finished_profile(flats, edges, ways)
    oracle = Brake(whole, job.loads((JOB + tools).encode()).brake_tool[0].brake)
    made = {i for i, b in enumerate(done.bends) if b.kind != "bend"}
    for step in steps:
        assert oracle.verdict(frozenset(made), step.bend, step.at_gauge) == "free"
        made.add(step.bend)
    # The stop touches the finished edge where the plain section of the search ends.
    first = steps[0]
    folded = {i for i, b in enumerate(done.bends) if b.kind != "bend"}
    behind, _ = oracle.side(frozenset(folded), first.bend, -1 if first.at_gauge == "start" else 1)
    angle, x, y = oracle.stand(first.bend, "behind", np.zeros(1))
    reach = max(shapely.get_coordinates(pose(shapely.union_all(behind), angle, x, y)[0])[:, 0])
    assert first.gauge == pytest.approx(reach, abs=1e-3)


def finished_profile(flats: str, edges: str, ways: str) -> Profile:
    lengths = [float(v) for v in flats.split(",")]
    parts: list[Flat | Bend] = [Flat(lengths[0])]
    for length, way in zip(lengths[1:], ways.split(), strict=True):
        parts += [Bend(90, 1.5, way), Flat(length)]
    metal = {"thickness": 1.2, "k_factor": 0.42}
    ends = {}
    if HEM in edges:
        ends["start"] = edge_finish.hem("closed", 9, **metal)
    if WIRE in edges:
        ends["end"] = edge_finish.wired_edge(4, **metal)
    return edge_finish.finished(Profile(parts, 1.2, k_factor=0.42), **ends)


def test_no_order_is_shown_where_the_closed_edge_is_in_the_way_or_nothing_can_be_said() -> None:
    free = edged("20, 60", "", "down", LEAF).order
    assert free is not None
    assert free.found is not None
    assert free.found.status == "found"
    hindered = edged("20, 60", HEM, "down", LEAF).order
    assert hindered is not None
    assert hindered.found is not None
    assert hindered.found.status == "none"
    assert "start hem" in hindered.found.explanation or "the closed edge" in hindered.found.explanation
    assert hindered.left_out == (
        "That is so with the hem at the start closed first; whether an order goes with it closed later was not tried",
    )
    seam = edged("65, 50", 'start_edge = { kind = "single lock seam", width = 9 }', "up", LEAF).order
    assert seam is not None
    assert seam.found is None
    assert "lock seam" in seam.left_out[0]
    never = edged("4, 60", 'end_edge = { kind = "closed hem", width = 9 }', "up", LEAF).order
    assert never is not None
    assert never.found is not None
    assert never.found.status == "none"
    assert never.found.blocking == (0,)
    assert "with the left end behind, only 1.3 mm of straight metal to hold" in never.found.explanation
    assert "closed first" in never.left_out[0]


def test_a_part_of_too_many_bends_says_so() -> None:
    flats, ways = ", ".join(["20"] * 16), " ".join(["up", "down"] * 8)
    order = edged(flats, "", ways[: -len(" down")], LEAF).order
    assert order is not None
    assert order.found is None
    assert "15 bends" in order.left_out[0]


def corners(points: Any) -> str:
    """Return an outline as a shop writes it: distances, and a word for the side."""
    return f"[{', '.join(corner(float(x), float(y)) for x, y in points)}]"


def corner(x: float, y: float) -> str:
    side = f"in_front = {x:g}" if x > 0.0 else f"behind = {-x:g}"
    return f"{{ {side}, from_sheet = {abs(y):g} }}".replace("= -0", "= 0")


def tools_given(kind: str, **other: str) -> str:
    """Return a brake with every outline of its tools given: the invented ones, or others."""
    press = kind == "press brake"
    made = bend_order.invented_press_brake(10) if press else bend_order.invented_leaf_brake()
    tools = {"punch": made.upper, "die": made.lower}
    if made.leaf is not None:
        tools = {"nose": made.upper, "bed": made.lower, "leaf": made.leaf}
    lines = [f'[[brake_tool]]\nname = "own"\nkind = "{kind}"', *(["v_opening = 10"] if press else [])]
    lines += [f"{name} = {other.get(name) or corners(outline.points)}" for name, outline in tools.items()]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("kind", ["leaf brake", "press brake"])
def test_a_brake_takes_its_own_outlines_from_the_shop(kind: str) -> None:
    shop = job.loads_shop(('format = 1\nunits = "mm"\n' + tools_given(kind)).encode())
    made, _ = job.loads_with_shop(JOB.encode(), shop)
    (own,) = made.brake_tool
    assert own == shop.shop.brake_tool[0]
    invented = bend_order.invented_press_brake(10) if kind == "press brake" else bend_order.invented_leaf_brake()
    assert (own.brake.upper, own.brake.lower, own.brake.leaf) == (invented.upper, invented.lower, invented.leaf)
    assert own.invented == ()
    page = to_html(report.job_sheet(made, evaluation.evaluate(made)))
    assert "Bend order on the own" in page
    assert "invented one" not in page


def test_an_own_nose_changes_what_can_be_bent_and_the_sheet_says_which_tools_are_invented() -> None:
    # A nose as wide as a wall: no flange of a channel stands in front of it once the other is up.
    wall = corners([(0, 0), (-1, 300), (-300, 300), (-300, 0)])
    bulky = f"{LEAF}nose = {wall}\n"
    assert edged("30, 60, 30", "", "up up", LEAF).order.found.status == "found"  # type: ignore[union-attr]
    order = edged("30, 60, 30", "", "up up", bulky).order
    assert order is not None
    assert order.found is not None
    assert order.found.status == "none"
    assert order.invented == ("bed", "leaf")
    single = job.loads(
        (JOB + EDGED.replace("FLATS", "30, 60").replace("EDGES", "").replace("BENDS", UP) + bulky).encode()
    )
    page = html.unescape(to_html(report.job_sheet(single, evaluation.evaluate(single))))
    assert "the real outlines of this brake's bed and leaf (invented ones" in page


def test_a_blank_that_no_order_bends_is_warned_of_on_its_first_page() -> None:
    bed, leaf = corners([(0, 0), (-50, 0), (-50, -50), (0, -50)]), corners([(0, 0), (0, -50), (40, -50), (40, 0)])
    wall = f"{LEAF}nose = {corners([(0, 0), (-1, 300), (-300, 300), (-300, 0)])}\n"
    for own, stops in ((f"{wall}bed = {bed}\nleaf = {leaf}\n", True), (wall, False)):
        channel = edged("30, 60, 30", "", "up up", own)
        assert channel.order is not None
        assert channel.order.found is not None
        assert channel.order.found.status == "none"
        (told,) = [f for f in channel.findings if "order" in f.what]
        assert told.stops_work == stops, own
        assert told.number == f"on the {channel.order.brake}: {channel.order.found.explanation.rstrip('.')}"
        assert channel.verdict == ("change this first" if stops else "go")
        work = order_of_work(["blank"], [channel])
        assert "card" in " ".join(work)
        assert "numbered" not in " ".join(work)
    bent = edged("30, 60, 30", "", "up up", LEAF)
    assert not [f for f in bent.findings if "order" in f.what]
    assert "numbered" in " ".join(order_of_work(["blank"], [bent]))


WRONG = [
    ("leaf brake", {"bed": "[{ behind = 0, from_sheet = 0 }, { behind = 9, from_sheet = 9 }]"}, "bed must be at least"),
    (
        "leaf brake",
        {"nose": "[{ behind = 1, from_sheet = 0 }, { behind = 9, from_sheet = 9 }, { behind = 9, from_sheet = 0 }]"},
        "nose must have a corner with behind = 0 and from_sheet = 0: its foremost edge",
    ),
    (
        "leaf brake",
        {"nose": "[{ behind = 0, from_sheet = 0 }, { in_front = 9, from_sheet = 9 }, { behind = 9, from_sheet = 0 }]"},
        "nose must be a front face that rises from the tip",
    ),
    (
        "leaf brake",
        {"leaf": "[{ behind = 0, from_sheet = 0 }, { behind = 9, from_sheet = 9 }, { behind = 0, from_sheet = 9 }, "
                 "{ behind = 9, from_sheet = 0 }]"},
        "leaf must be an outline that does not cross",
    ),
    ("leaf brake", {"bed": "[{ behind = 1, in_front = 1, from_sheet = 0 }]"}, "exactly one of behind or in_front"),
    ("leaf brake", {"bed": "[{ behind = -1, from_sheet = 0 }]"}, "distances are positive"),
    (
        "press brake",
        {"die": "[{ behind = 4, from_sheet = 0 }, { behind = 0, from_sheet = 5 }, { in_front = 4, from_sheet = 0 }, "
                "{ in_front = 9, from_sheet = 9 }, { behind = 9, from_sheet = 9 }]"},
        "die must have its shoulders.* 5 mm behind and 5 mm in front: v_opening is 10 mm",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "tool", "said"), WRONG)
def test_wrong_outlines_are_refused_by_tool(kind: str, tool: dict[str, str], said: str) -> None:
    with pytest.raises(InvalidInput, match=said):
        job.loads((JOB + tools_given(kind, **tool)).encode())


def test_a_tool_of_another_kind_and_two_brakes_of_a_name_are_refused() -> None:
    with pytest.raises(InvalidInput, match="punch is no tool of a leaf brake, which has nose, bed and leaf"):
        job.loads((JOB + LEAF + "punch = [{ behind = 0, from_sheet = 0 }]").encode())
    with pytest.raises(InvalidInput, match="has the name 'folder' 2 times"):
        job.loads((JOB + LEAF + LEAF).encode())
    with pytest.raises(InvalidInput, match="stop_farthest must be at least"):
        job.loads((JOB + LEAF + "stop_nearest = 4000").encode())
    assert "Press brake: corners of the die in order" in job.help_text("brake_tool")


def test_a_brake_gives_its_limits_to_materials_that_say_nothing() -> None:
    press = PRESS + "greatest_angle = 80\n"
    done = edged("65, 50", "", "up", press)
    assert done.checks is not None
    said = {c.what: c.outcome for c in done.checks.bends[0].checks}
    assert said == {"The flange is long enough for the V": "holds", "The bend is beyond the tool": "fails"}
    assert (done.checks.opening, done.checks.opening_from, done.checks.brake) == (10.0, "brake", "press")
    assert edged("65, 50", "", "up", "").checks.opening_from == "thickness"  # type: ignore[union-attr]
    own = JOB.replace("k_factor = 0.42", "k_factor = 0.42\nv_opening = 16\ntool_angle = 120")
    made = job.loads((own + press).encode())
    kept = evaluation.evaluate_bent_part(made.bent_part[0], made).checks
    assert kept is not None
    assert (kept.opening, kept.opening_from) == (16.0, "material")
    page = html.unescape(to_html(report.job_sheet(made, evaluation.evaluate(made))))
    assert "The order is for the brake's V of 10.0 mm; the checks above take the 16.0 mm" in page
    assert not any(c.outcome == "fails" for b in kept.bends for c in b.checks)


def test_straight_metal_on_the_leaf_is_told_as_an_outside_size() -> None:
    least = 12.0  # of straight metal; with the setback of 90 degrees, R + T, 14.7 outside
    (bend,) = edged("14.6, 50", "", "up", f"{LEAF}least_flange = {least}\n").checks.bends  # type: ignore[union-attr]
    (held,) = bend.checks
    assert (held.outcome, held.needed, held.there) == ("fails", pytest.approx(least + 1.5 + 1.2), pytest.approx(14.6))
    (bend,) = edged("14.8, 50", "", "up", f"{LEAF}least_flange = {least}\n").checks.bends  # type: ignore[union-attr]
    assert bend.checks[0].outcome == "holds"


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


def test_pictures_of_a_closed_hem_and_words_of_one_height_on_the_cut_list() -> None:
    hemmed = edged("50, 80, 30", HEM, "up up", PRESS)
    made = job.loads((JOB + PRESS).encode())
    assert hemmed.order is not None
    assert hemmed.order.numbers
    drawn = {e.text for e in pictures.bend_steps(hemmed, made).entities if hasattr(e, "text")}
    assert {text.split(",")[0] for text in drawn if "face" in text} == {
        f"{number}: {name}" for name, number in hemmed.order.numbers.items()
    }
    shop = in_shop()
    (group,) = evaluation.evaluate(shop).cut_list
    words = [e for e in pictures.cut_sheet(group, 0, shop).entities if hasattr(e, "text")]
    assert len({round(e.height, 6) for e in words}) == 1
    assert {e.text.split()[0] for e in words} >= {str(i + 1) for i in range(len(group.layout.sheets[0].pieces))}


def test_words_on_pictures_of_blanks_print_legibly_and_a_folded_section_lies_level() -> None:
    made = in_shop()
    box, hat = evaluation.evaluate(made).blanks
    for done, room in ((box, (150.0, 80.0)), (hat, (70.0, 150.0))):
        for drawn in (pictures.blank_small(done, made, room), pictures.blank_lines(done, made, room)):
            scale = sheet.Figure(drawn, "", *room).scale
            assert min(e.height for e in drawn.entities if hasattr(e, "text")) * scale > 1.7  # mm, of capitals
    face = pictures.folded(box, made).entities[0].path
    longest = max(np.diff(face.points, axis=0), key=lambda v: float(np.hypot(*v)))
    assert longest[1] == pytest.approx(0.0, abs=1e-9)
    assert longest[0] > 0.0
