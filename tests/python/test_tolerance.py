"""Likely errors against direct simulation, and what must not change them."""

from __future__ import annotations

import functools
import math

import numpy as np
import pytest
from foldswing import InvalidInput, gate, tolerance
from foldswing.hinge import PivotHinge
from foldswing.plane import Path, Pose
from tolerance_oracle import Gate, agrees, simulate

# The gate of the demo job, its fixed bodies and its errors.
PIVOT, CORNER, SIZE = (-10.0, -18.0), (-28.0, -36.0), (28.0, 360.0)
NOSE, SILL = (-631.0, -31.0, -40.0, 0.0), (-60.0, 0.0, -900.0, -40.0)
RAIL, RAIL_RADIUS = (120.0, -150.0), 16.0
HOLE, MEASURED, PAINT = 0.4, 0.5, 0.3


def rectangle(left, right, low, high):
    return Path([(left, low), (right, low), (right, high), (left, high)], [0.0] * 4, closed=True)


def section(inner, outer):
    sizes = gate.Sizes(
        thickness=28,
        height=360,
        lower_edge_below_worktop=36,
        lower_inner_radius=inner,
        lower_outer_radius=outer,
        nose_behind_wall=31,
        nose_depth=40,
        worktop_above_floor=900,
        head_above_worktop=328,
        sill_below_worktop=40,
        jamb_depth=60,
    )
    return gate.panel(sizes)


NOSE_SECTION, SILL_SECTION = rectangle(*NOSE), rectangle(*SILL)
RAIL_SECTION = Path([(104.0, -150.0), (136.0, -150.0)], [180.0, 180.0], closed=True)
LEGS = {"shut to level": (0.0, -90.0), "level to lean": (-90.0, -125.0), "shut to lean": (0.0, -125.0)}


def made(radii, body, leg, *, hole=HOLE, together=False):
    turn_from, turn_to = LEGS[leg]
    return tolerance.likely_gap(
        section(*radii),
        body,
        pivot=PIVOT,
        turn_from_deg=turn_from,
        turn_to_deg=turn_to,
        hole=hole,
        together=together,
    )


def simulated(radii, name, leg, n, *, together=False, seed=1):
    model = Gate(CORNER, SIZE, radii, PIVOT)
    gaps = {
        "nose": functools.partial(model.to_box, NOSE),
        "sill": functools.partial(model.to_box, SILL),
        "rail": lambda angle, u, v: model.to_point(*RAIL, angle, u, v) - RAIL_RADIUS,
    }
    return simulate((gaps[name], MEASURED, PAINT), LEGS[leg], hole=HOLE, together=together, n=n, seed=seed)


def obstacle(name):
    sections = {"nose": NOSE_SECTION, "sill": SILL_SECTION, "rail": RAIL_SECTION}
    return tolerance.Obstacle(sections[name], across=MEASURED, contact=PAINT)


CASES = [
    ((12.0, 0.0), "nose", "shut to level"),
    ((12.0, 0.0), "nose", "level to lean"),
    ((12.0, 0.0), "nose", "shut to lean"),
    ((15.6, 4.8), "nose", "shut to lean"),  # two corners pass alike
    ((18.0, 10.0), "nose", "shut to level"),  # the gap is level over the whole leg
    ((12.0, 6.0), "sill", "shut to level"),
    ((18.0, 10.0), "sill", "level to lean"),
    ((15.6, 4.8), "rail", "level to lean"),
]


@pytest.mark.parametrize("together", [False, True], ids=["apart", "together"])
@pytest.mark.parametrize(("radii", "name", "leg"), CASES)
def test_it_agrees_with_direct_simulation(radii, name, leg, *, together, size, show):
    n = size(4_000, 1_000_000)
    gaps = simulated(radii, name, leg, n, together=together)
    found = made(radii, obstacle(name), leg, together=together)
    off = agrees(found, gaps)
    assert found.as_drawn == pytest.approx(as_drawn(radii, name, leg), abs=1e-3)
    show(
        f"likely error against {n} simulations, r {radii[0]:g}/{radii[1]:g}, {name}, {leg}, "
        f"{'together' if together else 'apart'}",
        f"deviation {found.deviation:.4f} mm, kept {found.kept:.3f} mm, rubs {found.share:.5f}; off by "
        + ", ".join(f"{value:+.1f}" for value in off.values())
        + " standard errors",
    )
    assert all(abs(value) <= 3.0 for value in off.values()), off


def as_drawn(radii, name, leg):
    model = Gate(CORNER, SIZE, radii, PIVOT)
    nothing = (np.zeros(1), np.zeros(1))
    angles = np.radians(np.linspace(*LEGS[leg], 4001))
    if name == "rail":
        return np.min(model.to_point(*RAIL, angles, nothing, nothing)) - RAIL_RADIUS - PAINT
    return np.min(model.to_box({"nose": NOSE, "sill": SILL}[name], angles, nothing, nothing)) - PAINT


def test_trade_figures(show):
    # Check values of the demo gate: r 12 / 0 rubs in about half of the gates, 18 / 10 in about 1 in 1000.
    # Rubbing on one leg makes rubbing on the other likelier: the shares of all legs together bound the gate's own.
    def shares(radii):
        legs = [(b, leg) for b in ("nose", "sill") for leg in ("shut to level", "level to lean")]
        by_leg = [made(radii, obstacle(b), leg).share for b, leg in legs]
        return max(made(radii, obstacle("nose"), "shut to lean").share, *by_leg), 1.0 - math.prod(
            1.0 - v for v in by_leg
        )

    tight, round_ = shares((12.0, 0.0)), shares((18.0, 10.0))
    between = f"r 18/10 between {round_[0]:.5f} and {round_[1]:.5f}"
    show("demo gate, share that rubs once painted", f"r 12/0 {tight[0]:.2f} or a little more, {between}")
    assert tight[0] == pytest.approx(0.5, abs=0.05)
    assert 0.0005 < round_[0] < round_[1] < 0.002


def test_together_the_gate_hangs_true_shut():
    # A gap that is least while shut: both holes out alike leave it as it is, and apart both of them count.
    nose = tolerance.Obstacle(rectangle(-631.0, -31.0, -5.0, 0.0))
    apart = tolerance.likely_gap(section(0, 0), nose, pivot=PIVOT, turn_to_deg=0.0, hole=HOLE)
    together = tolerance.likely_gap(section(0, 0), nose, pivot=PIVOT, turn_to_deg=0.0, hole=HOLE, together=True)
    assert together.deviation == pytest.approx(0.0, abs=1e-9)
    assert together.kept == pytest.approx(3.0, abs=1e-6)
    assert apart.deviation == pytest.approx(math.hypot(HOLE, HOLE), rel=1e-3)
    assert apart.kept == pytest.approx(3.0 - 2.0 * math.hypot(HOLE, HOLE), abs=2e-3)


def test_no_error_is_the_gap_as_drawn():
    found = made((15.6, 4.8), tolerance.Obstacle(NOSE_SECTION, contact=PAINT), "shut to level", hole=0.0)
    assert found.deviation == 0.0
    assert found.mean == found.kept == found.as_drawn == pytest.approx(2.0059 - PAINT, abs=1e-3)
    assert found.share == 0.0
    assert made((0, 0), tolerance.Obstacle(NOSE_SECTION), "shut to level", hole=0.0).share == 1.0


@pytest.mark.parametrize("leg", LEGS)
@pytest.mark.parametrize("radii", [(15.6, 4.8), (18.0, 10.0), (12.0, 0.0)])
def test_the_signed_gap_is_the_exact_one_where_nothing_overlaps(radii, leg):
    from foldswing.clearance import minimum_gap

    for body in (NOSE_SECTION, SILL_SECTION, RAIL_SECTION):
        exact = minimum_gap(section(*radii).outline(1e-4), body.outline(1e-4), PivotHinge(PIVOT, *LEGS[leg])).gap
        found = tolerance.signed_gap(
            section(*radii), body, pivot=PIVOT, turn_from_deg=LEGS[leg][0], turn_to_deg=LEGS[leg][1]
        )
        assert found == pytest.approx(exact, abs=3e-4)


def test_a_square_corner_overlaps_by_its_depth():
    found = tolerance.signed_gap(section(0, 0), NOSE_SECTION, pivot=PIVOT, turn_to_deg=-90.0)
    assert found == pytest.approx(-4.46, abs=0.005)  # trade figure: 4.46 at 45 degrees


def test_turned_and_mirrored_it_comes_out_the_same():
    nose = obstacle("nose")
    straight = made((15.6, 4.8), nose, "shut to level")
    flipped = tolerance.likely_gap(
        section(15.6, 4.8).mirrored((0, 0), (0, 1)),
        tolerance.Obstacle(NOSE_SECTION.mirrored((0, 0), (0, 1)), across=MEASURED, contact=PAINT),
        pivot=(10.0, -18.0),
        turn_to_deg=90.0,
        hole=HOLE,
    )
    for name in ("as_drawn", "mean", "deviation", "kept", "share"):
        assert getattr(flipped, name) == pytest.approx(getattr(straight, name), abs=1e-6)
    quarter = Pose(0.0, 0.0, 90.0)
    turned = tolerance.likely_gap(
        section(15.6, 4.8).moved(quarter),
        tolerance.Obstacle(NOSE_SECTION.moved(quarter), up=MEASURED, contact=PAINT),
        pivot=(18.0, -10.0),
        turn_to_deg=-90.0,
        hole=HOLE,
    )
    for name in ("as_drawn", "mean", "deviation", "kept", "share"):
        assert getattr(turned, name) == pytest.approx(getattr(straight, name), abs=1e-6)


def test_the_same_input_gives_the_same_bits():
    assert made((12.0, 0.0), obstacle("nose"), "shut to lean") == made((12.0, 0.0), obstacle("nose"), "shut to lean")


def test_more_error_leaves_less():
    kept = [made((15.6, 4.8), obstacle("nose"), "shut to level", hole=h).kept for h in (0.0, 0.2, 0.4, 0.8)]
    assert kept == sorted(kept, reverse=True)


@pytest.mark.parametrize(
    "wrong",
    [
        {"hole": -0.1},
        {"hole": math.nan},
        {"hole": math.inf},
        {"hole": "wide"},
        {"pivot": (math.nan, 0.0)},
        {"pivot": (1e300, 0.0)},
        {"turn_to_deg": 400.0},
        {"turn_to_deg": math.nan},
        {"body": [obstacle("nose")]},
        {"body": "nose"},
        {"body": tolerance.Obstacle(NOSE_SECTION, across=-1.0)},
        {"body": tolerance.Obstacle(NOSE_SECTION, contact=math.nan)},
        {"body": tolerance.Obstacle("nose")},
        {"body": tolerance.Obstacle(Path([(0, 0), (1, 0), (1, 1)], [0.0, 0.0]))},
        {"body": tolerance.Obstacle(rectangle(0.0, 1e9, 0.0, 1.0))},
        {"body": tolerance.Obstacle(Path([(0, 0), (1, 1), (1, 0), (0, 1)], [0.0] * 4, closed=True))},
    ],
)
def test_hostile_input_is_refused(wrong):
    given = {"body": obstacle("nose"), "pivot": PIVOT, "turn_to_deg": -90.0, "hole": HOLE, **wrong}
    with pytest.raises(InvalidInput):
        tolerance.likely_gap(section(12, 0), given.pop("body"), **given)
