"""Bends on a job's sheet: spread between rules, when a test strip is worth cutting, strips of a shop file."""

from __future__ import annotations

import dataclasses
import html
import math

import foldswing as fs
import pytest
from foldswing import bend, evaluation, job, report
from foldswing.sheet import to_html

PART = """format = 1
title = "Bracket"
units = "mm"

[[material]]
name = "skin"
metal = "{metal}"
thickness = {thickness}
inside_radius = {radius}
{basis}

[[bent_part]]
name = "bracket"
material = "skin"
width = {width}
lengths_are = "outside"
flats = [{flange}, 60, 30]

[[bent_part.bend]]
bend_angle = 90
way = "up"

[[bent_part.bend]]
bend_angle = 90
way = "up"
"""
SHOP = """format = 1
units = "mm"

[coupon_errors]
length = 0.1
radius = 0.1
thickness = 0.01
angle = 0.5
"""


def strip(k: float, radius: float = 1.2, thickness: float = 1.2) -> str:
    leg = 25.0 + radius + thickness
    flat = 50.0 + math.pi / 2 * (radius + k * thickness)
    return f"""
[[coupon]]
metal = "steel DC01"
thickness = {thickness}
inside_radius = {radius}
flat = {flat!r}
leg_a = {leg!r}
leg_b = {leg!r}
"""


def made(shop: str = "", **said: object) -> tuple[evaluation.BlankResult, job.Job]:
    sizes = {"metal": "steel DC01", "thickness": 1.2, "radius": 1.2, "basis": "k_factor = 0.42", "width": 200,
             "flange": 30} | said  # fmt: skip
    file = job.loads_shop(shop.encode()) if shop else None
    asked, _ = job.loads_with_shop(PART.format(**sizes), file)
    return evaluation.evaluate(asked).parts[-1], asked


def test_the_spread_between_rules_is_on_the_sheet_and_says_when_a_strip_is_worth_it() -> None:
    thin, _ = made(thickness=0.8, radius=0.8)
    assert thin.bending is not None
    (row,) = thin.bending.spreads
    assert row.spread == pytest.approx(2 * bend.spread(90.0, 0.8, 0.8).spread, abs=1e-9)
    assert row.shortest < row.size < row.longest
    assert "not needed" in thin.bending.test_strip
    thick, asked = made(thickness=3.0, radius=3.0)
    assert thick.bending is not None
    assert thick.bending.spreads[0].spread > 1.0
    assert "worth cutting first" in thick.bending.test_strip
    results = evaluation.evaluate(asked)
    assert "test_strip" in str(results.to_dict())


def one_voice(done: evaluation.BlankResult, asked: job.Job) -> str:
    """Return what is said of a test strip, having seen that finding, blank page and first page agree."""
    assert done.bending is not None
    said, worth = done.bending.test_strip, done.bending.worth_a_strip
    found = [f for f in done.findings if "strip" in f"{f.what} {f.advice}"]
    assert [f.what for f in found] == (["A test strip is worth cutting"] if worth else [])
    assert all(f.number in said and not f.stops_work for f in found)
    page = html.unescape(to_html(report.job_sheet(asked, evaluation.evaluate(asked))))
    first, _, details = page.partition("Details")
    assert f"Test strip: {said}." in first
    assert ("Put its sizes in the job file" in first) == worth
    assert said in details
    strips = page.replace(said, "").count("worth cutting")
    assert strips == (1 if worth else 0) + 1  # the warning's heading; the caution that each blank says so
    return said


def test_finding_blank_page_and_first_page_say_the_same_of_a_test_strip() -> None:
    assert one_voice(*made(thickness=0.8, radius=0.8)).startswith("not needed for this")
    assert one_voice(*made(thickness=3.0, radius=3.0)).startswith("worth cutting first: between the rules")
    off = one_voice(*made(thickness=0.8, radius=0.8, basis="deduction = 0.7"))
    assert off.startswith("worth cutting first: the figure given leaves the blank")
    bent = "[material.test_strip]\nflat = 100\noutside_a = 52\noutside_b = 53.31\n"
    assert one_voice(*made(thickness=3.0, radius=3.0, basis=bent)).startswith("bent already")
    assert one_voice(*made(SHOP + strip(0.42), basis="")).startswith("bent already")
    rough = SHOP.replace("length = 0.1", "length = 2")
    assert one_voice(*made(rough + strip(0.42), basis="")).startswith("bend more of them")


def test_where_no_rule_is_for_the_bends_that_is_the_result(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = bend.spread

    def none_for_it(*of: float) -> bend.RuleSpread:
        found = whole(*of)
        rows = tuple(
            dataclasses.replace(r, in_range=False, warnings=(f"rule '{r.rule}' is for others: x",)) for r in found.bends
        )
        return dataclasses.replace(found, bends=rows)

    monkeypatch.setattr(bend, "spread", none_for_it)
    done, asked = made(thickness=0.8, radius=0.8)
    assert done.bending is not None
    (row,) = done.bending.spreads
    assert (row.shortest, row.longest, row.spread, row.shortest_rule, row.longest_rule) == (None,) * 5
    assert len(row.outside) == len(whole(90.0, 0.8, 0.8).bends)
    assert "rule 'mid_plane' is for others" in row.outside
    assert "no rule in print is for these bends" in one_voice(done, asked)
    assert evaluation.Bending.from_dict(done.bending.to_dict()) == done.bending
    given, asked = made(SHOP + strip(0.42), basis="")
    assert one_voice(given, asked).startswith("bent already")


def test_strips_of_the_shop_stand_in_place_of_any_table() -> None:
    pooled, asked = made(SHOP + strip(0.40) + strip(0.44), basis="")
    sheet = asked.material[0]
    assert sheet.k_factor == pytest.approx(0.42, abs=1e-9)
    assert sheet.k_error is not None
    assert sheet.k_error > 0.0
    assert "2 test strips of this shop" in str(sheet.basis)
    assert pooled.bending is not None
    (row,) = pooled.bending.spreads
    assert row.low is not None
    assert row.high is not None
    assert row.low < row.size < row.high
    assert "bent already" in pooled.bending.test_strip or "bend more" in pooled.bending.test_strip
    # Of other radii, a curve over radius/thickness; beyond its strips they do not speak.
    curve = SHOP + strip(0.36, 0.6) + strip(0.40, 1.2) + strip(0.44, 2.4)
    _, asked = made(curve, basis="", radius=1.8)
    assert asked.material[0].k_factor == pytest.approx(0.40 + 0.04 * math.log2(1.5), abs=1e-6)
    with pytest.raises(fs.InvalidInput, match="exactly one of k_factor"):
        made(curve, basis="", radius=6.0)
    _, asked = made(SHOP + strip(0.40), basis="deduction = 2.0")
    assert asked.material[0].deduction == 2.0


def test_the_sheet_is_written() -> None:
    _, asked = made(SHOP + strip(0.42), basis="")
    text = str(report.job_sheet(asked, evaluation.evaluate(asked)))
    for words in (
        "between the rules",
        "Test strip",
        "Not checked",
    ):
        assert words in text


HOSTILE = {
    "strips without errors": ('format = 1\nunits = "mm"\n' + strip(0.4), "go together"),
    "an error of nothing": (SHOP.replace("length = 0.1", "length = 0"), "a length > 0"),
    "legs measured somehow": (SHOP + strip(0.4) + 'measured = "somehow"\n', "one of 'outside'"),
    "a strip without legs": (SHOP + strip(0.4).replace("leg_b", "leg_c"), "lacks 'leg_b'"),
}


@pytest.mark.parametrize("case", HOSTILE)
def test_a_bad_shop_file_is_refused_with_its_place(case: str) -> None:
    text, said = HOSTILE[case]
    with pytest.raises(fs.InvalidInput, match=said):
        job.loads_shop(text.encode())


def by(rule: str, *, angle: float = 90.0, radius: float = 3.0) -> evaluation.BlankResult:
    text = PART.format(metal="mild steel", thickness=2, radius=radius, basis=f'rule = "{rule}"', width=100, flange=40)
    made = job.loads(text.replace("bend_angle = 90", f"bend_angle = {angle:g}").encode())
    return evaluation.evaluate(made).blanks[0]


@pytest.mark.parametrize("rule", ["DIN 6935", "aviation", "two step", "handbook medium"])
def test_a_material_may_name_a_rule_in_print(rule: str) -> None:
    done = by(rule)
    name = rule.replace("DIN 6935", "din6935").replace(" ", "_")
    wanted = bend.by_rule(90.0, 3.0, 2.0, rule=name)
    assert done.length == pytest.approx(40 + 60 + 30 - 2 * float(wanted.deduction), abs=1e-9)
    assert f"by the rule {rule}, {wanted.source}" in done.basis
    assert not any(f.what.startswith("The rule") for f in done.findings)


def test_a_rule_that_is_not_for_the_bend_is_said() -> None:
    done = by("trade school", angle=45.0)
    (said,) = [f for f in done.findings if f.what == "The rule trade school is not sure for this bend"]
    assert "90" in said.number
    near = by("two step", radius=3.9)
    assert any("two step is not sure for this bend" in f.what for f in near.findings)
    with pytest.raises(fs.InvalidInput, match="of the thickness for DIN 6935"):
        by("DIN 6935", radius=0.05)
    with pytest.raises(fs.InvalidInput, match="rule must be one of 'DIN 6935'"):
        by("my uncle's")
