"""Shop strings, quantities and gauges at the door; millimetres and inch fractions on the way out."""

from __future__ import annotations

import csv
import doctest
import math
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import foldswing as fs
import numpy as np
import pint
import pytest
from foldswing import job, units
from hypothesis import given
from hypothesis import strategies as st

REGISTRY = pint.UnitRegistry()
GAUGES = Path(__file__).parent.parent / "reference" / "sheet_gauges.csv"


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3 5/16 in", Fraction(53, 16) * Fraction(127, 5)),
        ("4-1/2 in", Fraction(1143, 10)),
        ("2 ft 4 1/2 in", Fraction(7239, 10)),
        ("2' 4 1/2\"", Fraction(7239, 10)),
        ("2'-4 1/2\"", Fraction(7239, 10)),
        ("2 ft 4-1/2 in.", Fraction(7239, 10)),
        ("4½″", Fraction(1143, 10)),
        ("¾ in", Fraction(1905, 100)),
        ("5\u204432 inch", Fraction(5, 32) * Fraction(127, 5)),
        (".5in", Fraction(127, 10)),
        ("12.5 mm", Fraction(25, 2)),
        ("1.2 cm", Fraction(12)),
        ("0.9 m", Fraction(900)),
        ("150 um", Fraction(3, 20)),
        ("6 thou", Fraction(1524, 10000)),
        ("-31 mm", Fraction(-31)),
        ("\u221231mm", Fraction(-31)),
        ("16 ga steel", Fraction("0.0598") * Fraction(127, 5)),
        ("16 gauge galvanized", Fraction("0.0635") * Fraction(127, 5)),
        ("18ga Stainless Steel", Fraction("0.05") * Fraction(127, 5)),
        ("16 ga aluminum", Fraction("0.0508") * Fraction(127, 5)),
    ],
)
def test_shop_string_is_the_nearest_double_to_its_exact_value(text: str, mm: Fraction) -> None:
    assert units.mm(text) == float(mm)
    assert type(units.mm(text)) is float


def test_other_kinds() -> None:
    assert units.deg("35 deg") == units.deg("35°") == 35.0
    assert units.deg("35° 30'") == 35.5
    assert units.deg("1/4 turn") == 90.0
    assert units.deg("0.5 rad") == math.degrees(0.5)
    assert units.kg("6.5 kg") == 6.5
    assert units.kg("14.3 lb") == float(Fraction("14.3") * Fraction("0.45359237"))
    assert units.kg("14 lb 5 oz") == float((14 + Fraction(5, 16)) * Fraction("0.45359237"))
    assert units.newton("1 lbf") == 4.4482216152605
    assert units.newton("2 kgf") == 19.6133


def test_numbers_quantities_and_lists_mean_the_same() -> None:
    q = REGISTRY.Quantity
    assert units.mm(25.4) == units.mm(q(1, "inch")) == units.mm("1 in") == units.mm(Fraction(127, 5)) == 25.4
    assert units.mm(Decimal("12.5")) == 12.5
    np.testing.assert_array_equal(units.mm([q(1, "inch"), "1 in", 25.4]), [25.4, 25.4, 25.4])
    np.testing.assert_array_equal(units.mm(q(np.array([[1.0, 2.0]]), "cm")), [[10.0, 20.0]])
    np.testing.assert_array_equal(units.mm(np.array(["1 in", "2 mm"])), [25.4, 2.0])
    np.testing.assert_array_equal(units.mm(np.arange(3)), [0.0, 1.0, 2.0])
    assert units.deg(q(0.5, "rad")) == pytest.approx(math.degrees(0.5), rel=1e-15)
    assert units.kg(q(1, "lb")) == pytest.approx(0.45359237, rel=1e-15)
    np.testing.assert_array_equal(fs.arc.radius(["8 in", "20.32 cm"], "2 in"), [127.0, 127.0])
    assert fs.arc.radius(q(8, "inch"), "2 in") == fs.arc.radius(203.2, 50.8)
    assert math.isnan(units.mm(float("nan")))  # the rule of the called function judges NaN
    with pytest.raises(fs.InvalidInput, match=r"rise\[1\] must be finite and > 0, got nan"):
        fs.arc.radius(8.0, [2.0, float("nan")])


CYCLE: list[object] = []
CYCLE.append(CYCLE)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (True, "must be a length"),
        (None, "must be a length"),
        (1j, "must be a length"),
        (b"1 in", "must be a length"),
        (object(), "object of type object"),
        ({1.0, 2.0}, "object of type set"),
        ({"a": 1}, "object of type dict"),
        (int, "object of type type"),
        (np.array([True]), "array of bool"),
        (np.array([1j]), "array of complex128"),
        (np.array(["2020-01-01"], dtype="datetime64[D]"), "array of datetime64"),
        (np.ma.masked_array([1.0, 2.0], [False, True]), "masked"),
        ([[1, 2], [3]], "rows of one length, got 2 and 1"),
        ([1.0, [2.0]], "rows of one length"),
        ([1.0, True], r"value\[1\] must be a length"),
        ([[1.0, None]], r"value\[0\]\[1\] must be a length"),
        (10**400, "finite"),
        ("1e999 mm", "finite"),
        ("", "empty"),
        ("four inches", "no number at 'four inches'"),
        ("4 1/2 fet", "did you mean 'feet'"),
        ("4 1/2", "the unit is missing"),
        ("12,5 mm", "decimal sign as a point"),
        ("1/0 in", "0 below the line"),
        ("4 3/2 in", "slip of the pencil"),
        ("2 ft 14 in", "slip of the pencil"),
        ("3 in 2 ft", "feet then inches"),
        ("1 mm 2 mm", "feet then inches"),
        ("1 1/2 1/4 in", "not a unit"),
        ("5 kg", "'kg' is a unit of mass"),
        ("16 ga", "name the series: 1.519 mm in steel, 1.613 mm in galvanised"),
        ("16 ga tin", "the series are steel, galvanised"),
        ("16 ga stainles", "did you mean 'stainless'"),
        ("7 ga stainless", "stainless list has gauges 8, 9"),
        ("1 in" + " " * 1000, "longer than 80"),
        ("٣ mm", "no number"),
        ("nan mm", "no number"),
        ("1 in\x00", "no number"),
        (REGISTRY.Quantity(1, "kg"), "quantity in kilogram"),
        (CYCLE, "axes"),
    ],
)
def test_what_is_no_length_is_refused_with_what_is_allowed(value: object, says: str) -> None:
    with pytest.raises(fs.InvalidInput, match=says):
        units.mm(value)


def test_kinds_do_not_mix() -> None:
    with pytest.raises(fs.InvalidInput, match="for a force write 'lbf'"):
        units.newton("12 lb")
    with pytest.raises(fs.InvalidInput, match="without a unit"):
        units.deg(REGISTRY.Quantity(0.5, ""))
    with pytest.raises(fs.InvalidInput, match="plain number"):
        units._door("0.42", "k_factor", "number")
    with pytest.raises(fs.InvalidInput, match="plain number"):
        units._door(REGISTRY.Quantity(1, "rad"), "k_factor", "number")
    assert units._door(REGISTRY.Quantity(42, "percent"), "k_factor", "number") == pytest.approx(0.42)


@given(
    feet=st.integers(0, 40),
    inches=st.integers(0, 11),
    power=st.integers(1, 6),
    numerator=st.integers(0, 63),
    style=st.sampled_from(
        ["{f} ft {i}-{n}/{d} in", "{f}' {i} {n}/{d}\"", "{f}'-{i}-{n}/{d}″", "{f} feet {i} {n}/{d} inches"]
    ),
)
def test_feet_inches_and_fractions_are_exact(feet: int, inches: int, power: int, numerator: int, style: str) -> None:
    den = 2**power
    num = numerator % den
    exact = (12 * feet + inches + Fraction(num, den)) * Fraction(254, 10)
    assert units.mm(style.format(f=feet, i=inches, n=num, d=den)) == float(exact)


@given(length=st.floats(-1e5, 1e5), power=st.integers(3, 6))
def test_a_mark_reads_back_and_is_the_nearest(length: float, power: int) -> None:
    step = Fraction(1, 2**power)
    at = units.mark(length, f"1/{2**power} in")
    assert units.mm(at.text) == float(at.inches * Fraction(254, 10))
    assert abs(at.inches * Fraction(254, 10) - Fraction(length)) <= step / 2 * Fraction(254, 10)
    assert (at.inches / step).denominator == 1
    assert at.error_mm == float(at.inches * Fraction(254, 10) - Fraction(length))


@given(st.text(max_size=40))
def test_any_text_is_a_size_or_is_refused(text: str) -> None:
    for kind in ("length", "angle", "mass", "force"):
        try:
            value = units.parse(text, kind)
        except fs.InvalidInput:
            continue
        assert math.isfinite(value)


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=1e-300, max_value=1e300))
def test_a_decimal_keeps_every_digit(x: float) -> None:
    assert units.mm(f"{x!r} mm") == x


@pytest.mark.parametrize(
    ("mm", "ruler", "words"),
    [  # the demo's table of sizes: nearest 1/32, error to 0.01 mm
        (1190, "1/32 in", "1190.0 mm = 46-27/32 in (-0.17)"),
        (328, "1/32 in", "328.0 mm = 12-29/32 in (-0.18)"),  # 327.81875; the table prints -0.17
        (1180, "1/32 in", "1180.0 mm = 46-15/32 in (+0.31)"),
        (360, "1/32 in", "360.0 mm = 14-3/16 in (+0.36)"),
        (28, "1/32 in", "28.0 mm = 1-3/32 in (-0.22)"),
        (18, "1/32 in", "18.0 mm = 23/32 in (+0.26)"),
        (384.84, "1/32 in", "384.8 mm = 15-5/32 in (+0.13)"),
        (25.4, "1/16 in", "25.4 mm = 1 in"),
        (0.1, "1/16 in", "0.1 mm = 0 in (-0.10)"),
        (-18, "1/32 in", "-18.0 mm = -23/32 in (-0.26)"),
        (384.84, "0.5 mm", "384.8 mm, mark 385.0 mm (+0.16)"),
        (384.84, 1, "384.8 mm, mark 385 mm (+0.16)"),
    ],
)
def test_show(mm: float, ruler: object, words: str) -> None:
    assert units.show(mm, ruler) == words


@pytest.mark.parametrize("ruler", ["1/32", "", "0 in", "-1/32 in", 0, float("nan"), None, True, "x"])
def test_a_bad_ruler_is_refused(ruler: object) -> None:
    with pytest.raises(fs.InvalidInput, match="ruler must be"):
        units.show(100.0, ruler)


@pytest.mark.parametrize("length", [float("nan"), float("inf"), [1.0, 2.0]])
def test_show_wants_one_finite_length(length: object) -> None:
    with pytest.raises(fs.InvalidInput, match="one finite length"):
        units.show(length)


def test_gauges_against_the_published_lists(show) -> None:  # type: ignore[no-untyped-def]
    rows = 0
    with GAUGES.open(encoding="utf-8") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            mm = units.gauge(row["gauge"], row["series"])
            printed = row["thickness_mm"]
            half = 0.5 * 10.0 ** -len(printed.partition(".")[2])
            # the lists round mm from unrounded inches: half a unit of either printed figure
            assert abs(mm - float(printed)) <= half + 0.00005 * 25.4 + 1e-12, row
            rows += 1
    assert rows == 152
    # the aluminium list's missing gauges come from the series itself
    for number in range(4, 37):
        assert units.gauge(number, "aluminium") / 25.4 == pytest.approx(0.005 * 92 ** ((36 - number) / 39), abs=5.1e-5)
    show(
        "gauges",
        f"{rows} published thicknesses in {len(units.gauge_series())} series reproduced to their printed digits",
    )


def test_the_examples_in_the_documentation() -> None:
    for module in (units, job):
        done = doctest.testmod(module)
        assert done.attempted > 0
        assert done.failed == 0
