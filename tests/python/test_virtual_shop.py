"""The virtual shop: what it promises, what limits it, and one gate replayed by hand."""

from __future__ import annotations

import math

import foldswing as fs
import numpy as np
import pytest
from foldswing import clearance, gate, hinge, virtual_shop
from foldswing.virtual_shop import Shop

NEARLY_PERFECT = {
    "tape_error": 1e-5,
    "protractor_error_deg": 1e-5,
    "drilling_error": 1e-5,
    "setting_error": 1e-5,
    "packing_error": 1e-5,
}


def test_gates_are_plausible_and_right_as_drawn(size) -> None:
    for number in range(size(8, 200)):
        d = virtual_shop.random_gate(number)
        s = d.sizes
        assert 22 <= s.thickness <= 45
        assert abs(s.lean_deg) <= 5
        assert gate.face_landing(s, d.opening_to_level, 0).miss(d.pivot) == pytest.approx(0, abs=1e-9)
        swing = hinge.PivotHinge(d.pivot, 0, -d.opening_to_lean)
        bodies = [gate.worktop(s).outline(0.01), gate.sill(s).outline(0.01)]
        assert clearance.minimum_gap(gate.panel(s).outline(0.01), bodies, swing).gap > 1.9
    assert virtual_shop.random_gate(3) == virtual_shop.random_gate(3)
    assert virtual_shop.random_gate(3) != virtual_shop.random_gate(4)


def test_a_shop_without_errors_makes_no_bad_gate() -> None:
    tally = virtual_shop.run(Shop(**NEARLY_PERFECT), gates=20)
    assert tally.first_fit == tally.adjusted == tally.redrilled == tally.gates == 20
    assert tally.rubbed == 0


def test_same_seed_same_tally_and_seeds_are_gate_numbers() -> None:
    whole = virtual_shop.run(gates=12, seed=5)
    assert whole == virtual_shop.run(gates=12, seed=5)
    parts = [virtual_shop.run(gates=4, seed=5 + 4 * i) for i in range(3)]
    assert whole.first_fit == sum(p.first_fit for p in parts)
    assert whole.adjusted == sum(p.adjusted for p in parts)


@pytest.mark.parametrize("together", [False, True])
def test_one_correction_is_enough(together, show, size) -> None:
    gates = size(120, 4000)
    tally = virtual_shop.run(Shop(together=together), gates=gates)
    counts = set(tally.to_dict()) - {"gates", "through_drilled", "through_drilled_right"}
    said = {name: tally.share(name) for name in sorted(counts)}
    text = ", ".join(f"{name.replace('_', ' ')} {100 * s.share:.1f} %" for name, s in said.items())
    show(f"virtual shop, {gates} gates, holes {'through together' if together else 'apart'}", text)
    noise = 3 * math.sqrt(0.01 * 0.99 / gates)
    assert said["adjusted"].share >= 0.99 - noise
    for name in ("redrilled", "through"):
        ceiling = said[f"{name}_ceiling"]
        differ = 3 * math.sqrt(2 * ceiling.share * (1 - ceiling.share) / gates)
        assert said[name].share >= ceiling.share - 0.02 - differ
    assert said["first_fit"].share < said["redrilled"].share < said["adjusted"].share
    # Of the gates that are drilled through anew the drill alone keeps some out, however well they are known.
    most = fs.fitting.drilling_ceiling(0.4, [85, 105])
    drilled = tally.through_drilled
    assert drilled > 0
    share = tally.through_drilled_right / drilled
    show(
        f"virtual shop, drilled through anew with perfect knowledge, holes {'together' if together else 'apart'}",
        f"{100 * share:.1f} % of {drilled} right (the drill alone allows {100 * most:.0f} %)",
    )
    assert share <= most + 3 * math.sqrt(most * (1 - most) / drilled)


def test_more_readings_do_not_hurt() -> None:
    few = virtual_shop.run(Shop(fit_readings=1), gates=60)
    many = virtual_shop.run(Shop(fit_readings=9), gates=60)
    assert many.adjusted >= few.adjusted


def test_bad_calls_are_refused() -> None:
    for name in ("tape_error", "protractor_error_deg", "drilling_error", "setting_error", "packing_error", "tolerance"):
        for bad in (0, -1, math.nan, math.inf):
            with pytest.raises(fs.InvalidInput, match=name):
                virtual_shop.run(Shop(**{name: bad}), gates=1)
    with pytest.raises(fs.InvalidInput, match="paint_per_face"):
        virtual_shop.run(Shop(paint_per_face=-0.1), gates=1)
    with pytest.raises(fs.InvalidInput, match="gates"):
        virtual_shop.run(gates=0)
    with pytest.raises(fs.InvalidInput, match="fit_readings"):
        virtual_shop.run(Shop(fit_readings=101), gates=1)
    with pytest.raises(fs.InvalidInput, match="design_readings"):
        virtual_shop.run(Shop(design_readings=2.5), gates=1)  # type: ignore[arg-type]
    with pytest.raises(fs.InvalidInput, match="seed"):
        virtual_shop.run(gates=1, seed=-1)
    with pytest.raises(fs.InvalidInput, match="Shop"):
        virtual_shop.run("mine", gates=1)  # type: ignore[arg-type]
    with pytest.raises(fs.InvalidInput, match="number"):
        virtual_shop.random_gate(1.5)  # type: ignore[arg-type]


def test_a_share_has_its_standard_error() -> None:
    tally = virtual_shop.Tally(100, 50, 0, 0, 0, 0, 0, 0, 0, 0, 0, 100)
    assert tally.share("first_fit") == (0.5, 0.05)
    assert tally.share("rubbed") == (1.0, 0.0)
    assert np.isfinite(tally.share("adjusted").standard_error)
