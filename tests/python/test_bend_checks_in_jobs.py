"""The checks of bends in a job: on pans and bent parts, from the tables and from the shop's own metals."""

from __future__ import annotations

import math
import re
from importlib import resources

import pytest
from foldswing import InvalidInput, bend_check, evaluation, job, metals, report
from foldswing.evaluation import bend_checks
from foldswing.report.closing import not_checked

PAN = """
format = 1
title = "Pan"
units = "mm"

[[material]]
name = "sheet"
metal = "{metal}"
thickness = 1.2
inside_radius = 1.6
k_factor = 0.4
{limits}

[[pan]]
name = "tray"
material = "sheet"
width = 300
length = 200
depth = {depth}
{grain}
"""

PART = """
format = 1
title = "Part"
units = "mm"

[[material]]
name = "sheet"
metal = "{metal}"
thickness = 1.5
inside_radius = 1.6
k_factor = 0.4
v_opening = 12

[[bent_part]]
name = "channel"
material = "sheet"
width = 400
lengths_are = "outside"
flats = [{first}, 40, 20]
grain = "{grain}"

[[bent_part.bend]]
bend_angle = 90
way = "up"

[[bent_part.bend]]
bend_angle = 90
way = "up"
"""

SHOP = """
format = 1
units = "mm"

[[metal]]
name = "our sheet"
source = "mill sheet of May"
modulus = 205
yield_strength = 240
tensile_strength = 360
least_radius = 0.5
least_radius_along = 1.0
"""


def pan(metal="DC01", depth=25, limits="", grain=""):
    return PAN.format(metal=metal, depth=depth, limits=limits, grain=grain)


def blank(text: str, shop: str | None = None):
    if shop is None:
        made = job.loads(text)
    else:
        made, _ = job.loads_with_shop(text.encode(), job.loads_shop(shop.encode()))
    done = evaluation.evaluate(made).blanks[0]
    return made, done


def troubles(done) -> list[str]:
    return [f.what for f in done.findings if f.what != "A test strip is worth cutting"]


def test_a_pan_of_a_known_metal_is_checked_and_over_bent() -> None:
    _, done = blank(pan())
    checks = done.checks
    assert checks.metal == "DC01"
    assert troubles(done) == []
    assert [b.name for b in checks.bends] == ["left", "right", "front", "rear"]
    for made in checks.bends:
        assert made.least_radius.radius == 1.6
        assert made.over_bend.factor == pytest.approx(0.99)
        length = 200 if made.name in {"left", "right"} else 300  # less what the notches take
        assert 0.95 * length < made.force / (1.33 * 410 * 1.2**2 / 7.2) < length
    assert checks.opening == pytest.approx(7.2)
    assert checks.relief == bend_check.relief_diameter(1.6, 1.2)


def test_a_bend_along_the_grain_needs_the_next_class() -> None:
    _, done = blank(pan(grain='grain = "front to rear"'))
    least = {b.name: b.least_radius.radius for b in done.checks.bends}
    assert least == {"left": 2.5, "right": 2.5, "front": 1.6, "rear": 1.6}
    (found,) = [f for f in done.findings if f.what == "The bend is too tight"]
    assert found.number.startswith("left, right: inside radius 1.6 mm, at least 2.5 mm")
    assert "cracks" in found.feel
    assert found.stops_work
    assert done.verdict == "change this first"
    _, turned = blank(pan(grain='grain = "left to right"'))
    assert {b.name for b in turned.checks.bends if not b.checks[0].ok} == {"front", "rear"}


def test_where_sources_disagree_it_is_said_and_stops_nothing() -> None:
    _, done = blank(pan(metal="5052-H32"))
    (found,) = [f for f in done.findings if "tight" in f.what]
    assert found.what == "The bend is tighter than one source allows"
    assert "at least 2.4 mm" in found.number
    assert found.number.endswith("1.20 mm by another")
    assert not found.stops_work
    assert done.verdict == "go"


def test_a_tray_is_checked_at_flanges_returns_and_reliefs() -> None:
    tray = """return_width = 6
relief = "round"
relief_size = 5
"""
    text = pan(limits="least_flange = 8", grain='grain = "front to rear"').replace("[[pan]]", "[[tray]]") + tray
    _, done = blank(text)
    assert set(troubles(done)) == {"The bend is too tight", "The flange is shorter than the brake can hold"}
    short = next(f for f in done.findings if "shorter" in f.what)
    names, _, number = short.number.partition(": ")
    assert set(names.split(", ")) == {"front return", "right return", "rear return", "left return"}
    assert number.startswith("flange 6.0 mm, at least 8.0 mm")
    assert {b.name for b in done.checks.bends if b.least_radius.radius == 2.5} == {
        "left",
        "right",
        "left return",
        "right return",
    }


def test_a_small_corner_relief_is_said_up_to_where_the_rule_ends() -> None:
    (found,) = bend_checks.relief_findings(3.0, 1.6, 1.2)
    assert found.number == "relief 3.0 mm, at least 3.2 mm needed"
    assert not found.stops_work
    assert bend_checks.relief_findings(3.2, 1.6, 1.2) == []
    assert bend_checks.relief_findings(3.0, 1.6, 4.0) == []


def test_cracking_along_the_grain_is_not_checked_only_where_it_was_not() -> None:
    told = "cracking along the grain"
    part = PART.format(metal="DC01", grain="across the bends", first=20)
    for text, checked in (
        (part, True),
        (part.replace('grain = "across the bends"', ""), False),
        (part.replace("DC01", "tinplate"), False),  # no table of that metal
    ):
        _, done = blank(text)
        assert (told not in not_checked("blank", [done])) == checked


def test_folds_of_a_finished_edge_are_not_checked_as_bends() -> None:
    text = PART.format(metal="DC01", grain="across the bends", first=20)
    hemmed = text.replace(
        "[[bent_part.bend]]", '[bent_part.end_edge]\nkind = "closed hem"\nwidth = 8\n[[bent_part.bend]]', 1
    )
    _, done = blank(hemmed)
    assert [b.name for b in done.checks.bends] == ["bend 1", "bend 2"]
    assert len(done.bends) == 3


def test_what_is_not_known_of_the_metal_is_left_out() -> None:
    _, done = blank(pan(metal="steel sheet"))
    assert done.checks.metal is None
    assert troubles(done) == []
    for made in done.checks.bends:
        assert made.checks == ()
        assert made.over_bend is None
        assert made.force is None
        assert math.isnan(made.least_radius.radius)


def test_the_limits_of_the_brake_are_held_to() -> None:
    limits = "v_opening = 16\nleast_flange = 14\ntool_angle = 90"
    _, done = blank(pan(depth=10, limits=limits))
    assert troubles(done) == [
        "The flange is too short for the V",
        "The flange is shorter than the brake can hold",
        "The bend is beyond the tool",
    ]
    _, fine = blank(pan(depth=20, limits="v_opening = 16\nleast_flange = 14\ntool_angle = 95"))
    assert troubles(fine) == []
    _, odd = blank(pan(limits="v_opening = 3"))
    assert [c.outcome for c in odd.checks.bends[0].checks] == ["holds", "not known"]


@pytest.mark.parametrize(("grain", "least"), [("across the bends", 1.6), ("along the bends", 2.5)])
def test_a_bent_part_is_checked_by_its_grain_and_shorter_flats(grain: str, least: float) -> None:
    _, done = blank(PART.format(metal="DC01", grain=grain, first=20))
    assert [b.least_radius.radius for b in done.checks.bends] == [least, least]
    flanges = [next(c for c in b.checks if "flange" in c.number) for b in done.checks.bends]
    assert [c.there for c in flanges] == pytest.approx([20, 20], abs=1e-9)
    assert all(c.ok for c in flanges)
    _, short = blank(PART.format(metal="DC01", grain=grain, first=7))
    assert [next(c for c in b.checks if "flange" in c.number).ok for b in short.checks.bends] == [False, True]
    assert done.checks.relief is None


def test_the_shops_own_metal_is_used_and_said() -> None:
    _, done = blank(pan(metal="Our Sheet", grain='grain = "front to rear"'), SHOP)
    checks = done.checks
    assert checks.metal == "our sheet"
    assert checks.sources == ("mill sheet of May",)
    assert [b.least_radius.radius for b in checks.bends] == pytest.approx([1.2, 1.2, 0.6, 0.6])
    ours = bend_check.over_bend_by_stiffness(90, 1.6, 1.2, 240, 205e3)
    assert checks.bends[0].over_bend == ours
    assert "cubic" in checks.springback
    own = SHOP.replace('format = 1\nunits = "mm"\n', "").replace("240", "300")
    made, changed = blank(pan(metal="our sheet") + own, SHOP)
    assert changed.checks.bends[0].over_bend.extra_deg > ours.extra_deg  # the job's own wins
    assert [m.name for m in made.metal] == ["our sheet"]


def test_the_sheet_tells_over_bend_force_and_sources() -> None:
    made, done = blank(pan())
    text = repr(report.blanks.blank_blocks(done, made, report.words.Words(made)))
    for words in ("Springs back", "90.9", "no objection", "from memory", "Corner relief", "Figures of DC01"):
        assert words in text
    quiet, unknown = blank(pan(metal="steel sheet"))
    assert "Springs back" not in repr(report.blanks.blank_blocks(unknown, quiet, report.words.Words(quiet)))


@pytest.mark.parametrize(
    ("behind", "said"),
    [(10, None), (6, ("A hole is too near a bend", "0.60 mm")), (4, ("A hole runs into a bend", "1.4 mm into"))],
)
def test_a_pin_hole_near_a_bend_is_said(behind: int, said: tuple[str, str] | None) -> None:
    text = (resources.files("foldswing") / "jobs" / "lantern_nine.toml").read_text(encoding="utf-8")
    made = job.loads(re.sub(r"pivot_behind_skin = .*", f"pivot_behind_skin = {behind}", text))
    done = evaluation.evaluate_pan(made.pan[0], made)
    found = [f for f in done.findings if f.what in {"A hole is too near a bend", "A hole runs into a bend"}]
    assert [f.what for f in found] == ([said[0]] if said else [])
    if said:
        assert said[1] in found[0].number
        assert "oval" in found[0].feel


def test_past_a_right_angle_a_flange_counts_as_it_stands_at_90() -> None:
    assert bend_checks.outside_flange(10, 180, 2, 1) == bend_checks.outside_flange(10, 90, 2, 1) == pytest.approx(13)
    assert bend_checks.outside_flange(10, 30, 2, 1) < 13


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        (pan(limits="tool_angle = 181"), "tool_angle must be an angle > 0 and <= 180"),
        (pan(grain='grain = "diagonal"'), "grain must be one of"),
        (pan() + '[[metal]]\nname = "x"\nmodulus = -1\n', "modulus must be a number > 0"),
        (pan() + '[[metal]]\nname = "x"\nleast_radius_along = 1\n', "needs least_radius"),
        (pan() + '[[metal]]\nname = "x"\nyield_strength = 9\ntensile_strength = 3\n', "before it breaks"),
        (pan() + '[[metal]]\nname = "x"\n[[metal]]\nname = "x"\n', "2 times"),
    ],
)
def test_what_cannot_be_is_refused_by_key(text: str, rule: str) -> None:
    with pytest.raises(InvalidInput, match=rule):
        job.loads(text)


def test_an_own_metal_gives_what_it_has_and_no_more() -> None:
    bare = job.OwnMetal(name="bare").metal
    assert bare == metals.Metal("bare", sources=("this shop's figure",))
