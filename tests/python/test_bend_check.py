"""Whether a bend can be made: published tables reproduced, springback by SciPy, shop metals by their sources."""

from __future__ import annotations

import csv
import math
import re
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from foldswing import InvalidInput, bend_check, metals, units
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

REFERENCE = Path(__file__).parents[1] / "reference"
INCH = 25.4
HOSTILE = (float("nan"), float("inf"), -1.0, "tall", None, True, "1 kg")


def reference(name: str) -> list[dict[str, str]]:
    lines = (REFERENCE / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def half_digit(printed: str) -> float:
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


# --- tables of the reference set ---


def test_the_chart_of_v_openings_is_reproduced_but_for_its_misprint(show) -> None:
    rows = reference("air_bend_v_die")
    for row in rows:
        opening = float(row["v_opening_in"]) * INCH
        radius, flange = bend_check.formed_radius(opening) / INCH, bend_check.least_flange(opening) / INCH
        assert radius == pytest.approx(float(row["inside_radius_in"]), abs=half_digit(row["inside_radius_in"]))
        if "misprint" in row["note"]:
            assert row["v_opening_in"] == "4.0"
            assert flange > float(row["min_flange_in"])
        else:
            assert flange == pytest.approx(float(row["min_flange_in"]), abs=half_digit(row["min_flange_in"]))
    show("air-bending chart", f"{len(rows)} V openings to printed rounding, one misprint left out")


def test_the_rule_for_v_openings_is_reproduced() -> None:
    rule = {row["thickness_range"]: float(row["v_opening_multiple_of_t"]) for row in reference("v_die_opening_rule")}
    chart = (
        ("thickness up to 0.105 in (12 gauge or thinner)", (0.01, 0.105)),
        ("0.120 to 0.313 in", (0.12, 0.313)),
        ("0.375 to 0.5 in", (0.375, 0.5)),
        ("0.625 in and over", (0.625, 1.0)),
    )
    for words, ends in chart:
        for inches in ends:
            assert bend_check.v_opening(inches * INCH) / (inches * INCH) == pytest.approx(rule[words], rel=1e-12)


def test_the_die_makers_rule_is_wider_on_thin_sheet_and_narrower_on_thick_plate() -> None:
    maker = {row["thickness_range"]: float(row["v_opening_multiple_of_t"]) for row in reference("v_die_opening_rule")}
    eight = maker["ideal for 90 deg, up to 1/2 in (inside radius then about T)"]
    assert bend_check.v_opening(1.5) < eight * 1.5
    assert bend_check.v_opening(5.0) == eight * 5.0
    assert bend_check.v_opening(20.0) >= maker["over 1/2 in: at least"] * 20.0


def test_what_a_mill_may_send_is_as_printed(show) -> None:
    rows = reference("sheet_thickness_tolerance_in")
    for row in rows:
        for rolled in ("hot", "cold"):
            made = metals.mill_range(int(row["gauge"]), rolled)
            printed = [float(row[c]) for c in ("nominal_in", f"{rolled}_rolled_min_in", f"{rolled}_rolled_max_in")]
            assert [made.nominal / INCH, made.least / INCH, made.most / INCH] == pytest.approx(printed, rel=1e-12)
            assert made.nominal == pytest.approx(units.gauge(int(row["gauge"]), "steel"), abs=0.5e-4 * INCH)
            assert row["source"] in made.source
    assert metals.mill_range(22, "cold") is None
    with pytest.raises(InvalidInput, match="rolled"):
        metals.mill_range(18, "warm")
    show("mill range of gauges", f"{len(rows)} gauges, hot and cold rolled")


def test_force_examples_are_reproduced(show) -> None:
    seen = 0
    for row in reference("bending_force_examples"):
        if row["published_quantity"] != "force":
            continue
        strength = float(re.match(r"[\d.]+", row["tensile_strength_mpa"])[0])  # kgf/mm2 gives kgf
        k = float(row["other_inputs"].split("=")[1]) if "Kv" in row["other_inputs"] else bend_check.FORCE_FACTOR
        force = bend_check.air_bend_force(
            strength, float(row["bend_length_mm"]), float(row["thickness_mm"]), float(row["die_opening_mm"]), k
        )
        assert force == pytest.approx(float(row["published_value"]), abs=0.5)
        seen += 1
    assert seen == 2
    show("bending force", f"{seen} examples to printed rounding")


def test_the_rule_from_reduction_of_area_is_reproduced() -> None:
    for row in reference("min_bend_radius_from_reduction_of_area"):
        least = bend_check.least_radius_from_reduction(
            float(row["reduction_of_area_percent"]), float(row["thickness_in"]) * INCH
        )
        assert least / INCH == pytest.approx(float(row["published_min_radius_in"]), abs=1e-12)


def one_table(name: str, like: str) -> metals.RadiusTable:
    (table,) = [t for t in metals.find(name).radii if t.source.startswith(like)]
    return table


def test_least_radii_of_aluminium_are_reproduced(show) -> None:
    rows = reference("min_bend_radius_aluminium_in_t")
    for row in rows:
        thickness = float(Fraction(row["thickness_in"])) * INCH
        table = one_table(f"{row['alloy']}-{row['temper']}", row["source"][:25])
        assert table.status == row["status"]
        least = bend_check.least_radius(table.rows, thickness) / thickness
        assert least == pytest.approx(float(row["min_inside_radius_multiple_of_t"]), abs=1e-12)
    show("least radius, aluminium", f"{len(rows)} values")


def test_least_radii_in_inches_are_reproduced(show) -> None:
    seen = 0
    for row in reference("min_bend_radius_sheet_inch"):
        if row["source"].startswith("FAA"):
            continue  # one value of a chart that was not read, for one thickness: no table
        thickness = float(row["thickness_in"]) * INCH
        name = re.split(r", |/", row["materials"])[0].replace("18-8 type ", "")
        least = bend_check.least_radius(one_table(name, row["source"]).rows, thickness) / INCH
        if row["min_inside_radius_in"] == "not recommended":
            assert math.isnan(least)
        else:
            assert least == pytest.approx(float(row["min_inside_radius_in"]), abs=5e-7)
        seen += 1
    show("least radius, inches", f"{seen} values")


def test_least_radii_of_steel_are_reproduced_and_the_next_class_along_the_grain(show) -> None:
    rows = reference("min_bend_radius_steel_din6935_mm")
    for row, after in zip(rows, [*rows[1:], rows[0]], strict=True):
        strength = row["tensile_strength_min_mpa"]
        table = one_table(f"steel {strength.replace('-', ' to ')} MPa", "DIN 6935")
        thickness = float(row["thickness_to_mm"])
        assert bend_check.least_radius(table.rows, thickness) == float(row["min_inside_radius_mm"])
        along = bend_check.least_radius(table.rows, thickness, "along")
        wide = bend_check.least_radius(table.rows, thickness, "across", 121)
        if after["tensile_strength_min_mpa"] == strength:
            assert along == wide == float(after["min_inside_radius_mm"])
        else:
            assert math.isnan(along)
            assert math.isnan(wide)
    show("least radius, DIN 6935", f"{len(rows)} values, across the grain and along")


def test_guaranteed_punch_radii_are_reproduced_both_ways_of_the_grain() -> None:
    for row in reference("min_punch_radius_high_strength_steel_in_t"):
        name = f"steel {row['grade_group'].split(' (')[0].replace(' class', '').replace('yield ', '')} MPa yield"
        (table,) = metals.find(name).radii
        thickness = float(row["thickness_from_mm"]) + 0.5
        for way in ("across", "along"):
            printed = float(row[f"min_rp_over_t_{way}_rolling"])
            assert bend_check.least_radius(table.rows, thickness, way) == pytest.approx(printed * thickness, rel=1e-12)


def test_soft_and_hard_ends_of_families_are_reproduced() -> None:
    for row in reference("min_bend_radius_general_in_t"):
        for end in ("soft", "hard"):
            table = one_table(f"{row['material']}, {end}", "Kalpakjian")
            assert bend_check.least_radius(table.rows, 2.0) == 2.0 * float(row[f"{end}_multiple_of_t"])


def test_springback_factors_are_reproduced(show) -> None:
    rows = reference("springback_factor_kr")
    for row in rows:
        metal = metals.find(row["material"])
        ratio = float(row["r2_over_s"])
        assert bend_check.springback_factor(metal.springback, 1.5 * ratio, 1.5) == pytest.approx(
            float(row["k_r"]), abs=1e-12
        )
        assert any(row["status"] in source for source in metal.sources)
    show("springback factors", f"{len(rows)} values of {len({r['material'] for r in rows})} metals")


def test_relief_holes_follow_the_rules_printed() -> None:
    rules = {row["rule"]: row["value"] for row in reference("design_rules")}
    assert rules["relief hole, smallest diameter, aluminium up to 0.064 in"] == "1/8 in"
    assert bend_check.relief_diameter(0, 0.064 * INCH) == INCH / 8
    assert rules["relief hole, smallest diameter, aluminium 0.072 to 0.128 in"] == "3/16 in"
    assert bend_check.relief_diameter(0, 0.128 * INCH) == INCH * 3 / 16
    assert rules["relief hole, usual diameter"].startswith("about 2 R")
    assert bend_check.relief_diameter(5, 1) == 10.0
    assert rules["smallest flange, supplier rule"] == "4 T"
    assert bend_check.check_grip(8, 2).needed == 8.0
    assert rules["countersink to bend"] == "4 T + bend radius"  # from the outside face: R + T beyond the tangent line
    assert bend_check.check_hole(1, 2, countersunk=True).needed == pytest.approx((4 * 2 + 3) - (3 + 2))


# --- metals ---


def test_every_metal_keeps_the_figures_of_its_sources(show) -> None:
    columns = {
        "density_kg_m3": "density_kg_m3",
        "yield_least_mpa": "yield_min_MPa",
        "yield_typical_mpa": "yield_typ_MPa",
        "yield_most_mpa": "yield_max_MPa",
        "ultimate_least_mpa": "uts_min_MPa",
        "ultimate_typical_mpa": "uts_typ_MPa",
        "ultimate_most_mpa": "uts_max_MPa",
        "source": "source",
        "locator": "locator",
        "status": "status",
    }
    lines = (Path(metals.__file__).parent / "data" / "metals.csv").read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    printed = [row for row in reference("metals") if row["material"] != "zinc coating"]
    for ours, theirs in zip(rows, printed, strict=True):
        assert {c: ours[c] for c in columns} == {c: theirs[p] for c, p in columns.items()}
        assert "-".join(filter(None, dict.fromkeys((ours["modulus_gpa"], ours["modulus_to_gpa"])))) == theirs["E_GPa"]
        metal = metals.find(ours["name"])
        assert any(theirs["source"] in source and theirs["status"] in source for source in metal.sources)
        for column in ("yield_least_mpa", "yield_most_mpa", "ultimate_least_mpa"):
            if ours[column]:
                assert getattr(metal, column.removesuffix("_mpa")) == float(ours[column])
    show("shop metals", f"{len(rows)} rows of figures as their sources print; {len(metals.names())} metals in all")


def test_what_no_source_says_is_absent() -> None:
    assert metals.find("C11000 soft").radii == ()
    assert metals.find("DX51D+Z").yield_upper is None
    assert metals.find("7075-T6").modulus is None
    assert metals.find("unobtainium") is None
    assert metals.find("steel sheet") is None
    assert math.isnan(metals.least_radius(metals.find("C11000 soft"), 1.0).radius)


@pytest.mark.parametrize("name", ["5052-H32", "5052 h32", "Aluminium 5052-H32 sheet", "H32 5052"])
def test_a_metal_is_found_however_it_is_written(name: str) -> None:
    assert metals.find(name).name == "5052-H32"


@pytest.mark.parametrize("name", ["5052", "H32", "1010", "C26000", "", "  ", "5052-H3"])
def test_a_name_without_its_temper_finds_no_properties_of_another(name: str) -> None:
    found = metals.find(name)
    assert found is None


def test_where_sources_disagree_the_larger_radius_is_taken() -> None:
    least = metals.least_radius(metals.find("2024-T3"), 0.040 * INCH)
    assert least.radius / INCH == pytest.approx(0.188, abs=5e-4)  # the design book; the supplier page has no such gauge
    assert all(radius <= least.radius for _, radius in least.others)
    assert least.others


def test_the_shops_own_metal_wins() -> None:
    mine = metals.Metal("dc01", modulus=205.0)
    assert metals.find("DC01", [mine]) is mine


# --- springback and force against other code ---


@settings(max_examples=30, deadline=None)
@given(st.floats(0.1, 5e3), st.floats(0.4, 4.0), st.floats(30, 900), st.floats(60e3, 215e3), st.floats(1.0, 179.0))
def test_over_bend_agrees_with_scipy(radius, thickness, strength, modulus, angle) -> None:
    c = strength / (modulus * thickness)
    end = 0.5 / c
    on_tool = brentq(
        lambda r: radius * (4 * (c * r) ** 3 - 3 * c * r + 1) - r, 0.0, end, xtol=1e-13, rtol=1e-14, maxiter=500
    )
    bent = bend_check.over_bend_by_stiffness(angle, radius, thickness, strength, modulus)
    assert bent.radius == pytest.approx(on_tool, rel=1e-7)
    assert bent.angle_deg == pytest.approx(angle * (radius + thickness / 2) / (on_tool + thickness / 2), rel=1e-7)
    assert bent.factor == pytest.approx(angle / bent.angle_deg, rel=1e-12)
    by_factor = bend_check.over_bend(angle, radius, thickness, bent.factor)
    assert by_factor.radius == pytest.approx(bent.radius, rel=1e-9, abs=1e-9 * thickness)


def test_closed_forms_take_arrays() -> None:
    t = np.array([0.5, 1.0, 2.0])
    np.testing.assert_allclose(bend_check.v_opening(t), 6 * t)
    np.testing.assert_allclose(bend_check.air_bend_force(400, 1000, t, 16), 1.33 * 400 * 1000 * t**2 / 16, rtol=1e-14)
    ratio = bend_check.springback_ratio([10, 5000], 1, 250, 200e3, invalid="nan")
    assert ratio[0] > 0
    assert math.isnan(ratio[1])
    with pytest.raises(InvalidInput, match=r"tool_radius\[1\].*springs flat"):
        bend_check.springback_ratio([10, 5000], 1, 250, 200e3)


# --- sentences ---


@pytest.mark.parametrize(
    ("made", "felt"),
    [
        (bend_check.check_radius(1, 2.5), "cracks"),
        (bend_check.check_flange(5, 16), "slips off"),
        (bend_check.check_grip(3, 1.2), "slips"),
        (bend_check.check_hole(-1, 1.2), "oval"),
        (bend_check.check_hole(1, 1.2), "oval"),
        (bend_check.check_relief(1, 1, 1.2), "bulges"),
        (bend_check.check_angle(95, 90), "open"),
    ],
)
def test_what_fails_says_what_is_felt_and_what_cures_it(made: bend_check.Check, felt: str) -> None:
    assert made.outcome == "fails"
    assert not made.ok
    assert felt in made.feel
    assert made.advice
    assert re.search(r"\d", made.number)
    assert made.explanation.startswith(made.what)


def test_what_is_not_known_is_not_fine() -> None:
    made = bend_check.check_radius(1.0, float("nan"))
    assert made.outcome == "not known"
    assert not made.ok
    assert math.isnan(made.needed)
    assert "strip" in made.advice


def test_a_larger_size_never_fails_where_a_smaller_holds() -> None:
    sizes = np.linspace(0.5, 30, 60)
    for held in (
        [bend_check.check_flange(s, 12).ok for s in sizes],
        [bend_check.check_radius(s, 3.0).ok for s in sizes],
        [bend_check.check_hole(s, 2.0).ok for s in sizes],
    ):
        assert held == sorted(held)
        assert True in held
        assert False in held


@pytest.mark.parametrize("bad", HOSTILE, ids=repr)
def test_hostile_input_is_refused_by_name(bad: object) -> None:
    calls = [
        ("thickness", lambda: bend_check.v_opening(bad)),
        ("opening", lambda: bend_check.least_flange(bad)),
        ("flange", lambda: bend_check.check_flange(bad, 12)),
        ("thickness", lambda: bend_check.check_grip(5, bad)),
        ("radius", lambda: bend_check.check_radius(bad, 1.0)),
        ("factor", lambda: bend_check.over_bend(90, 1, 1, bad)),
        ("modulus", lambda: bend_check.over_bend_by_stiffness(90, 1, 1, 200, bad)),
        ("most", lambda: bend_check.check_angle(90, bad)),
        ("reduction_percent", lambda: bend_check.least_radius_from_reduction(bad, 1)),
    ]
    for name, call in calls:
        with pytest.raises(InvalidInput, match=name):
            call()


def test_words_and_tables_that_make_no_sense_are_refused() -> None:
    with pytest.raises(InvalidInput, match="metal must be a Metal"):
        metals.least_radius("DC01", 1.2)  # type: ignore[arg-type]
    with pytest.raises(InvalidInput, match="name must be text"):
        metals.find(5052)  # type: ignore[arg-type]
    with pytest.raises(InvalidInput, match="grain"):
        bend_check.check_radius(1, 1.0, "diagonal")
    with pytest.raises(InvalidInput, match="ascending"):
        bend_check.least_radius([metals.RadiusRow(2, 1, 0), metals.RadiusRow(1, 1, 0)], 1)
    with pytest.raises(InvalidInput, match="factor"):
        bend_check.springback_factor([(1.0, 1.5)], 1, 1)
    with pytest.raises(InvalidInput, match="rows"):
        bend_check.springback_factor([], 1, 1)
