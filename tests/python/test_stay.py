"""Stays: balance solved by NumPy, virtual work by differences in mpmath, falls simulated, choices by brute force."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import foldswing as fs
import mpmath
import numpy as np
import pytest
from foldswing import InvalidInput, Pose, folding_stay, stay
from foldswing.folding_stay import Wanted
from foldswing.stay import Load, Pins
from hypothesis import given, settings
from hypothesis import strategies as st

PIVOT = (-10.0, -18.0)
PINS = Pins((-40.0, 250.0), (-14.0, 232.0))
GATE = Load(6.5, (-14.0, 144.0), (-28.0, 324.0), 20.0)
TURNS = [-90.0, -125.0]
REFERENCE = Path(__file__).parents[1] / "reference" / "counter_gate_stay.csv"

lengths = st.floats(-400, 400).map(lambda v: round(v, 3))
points = st.tuples(lengths, lengths)
turns = st.floats(-170, 170).map(lambda v: round(v, 2)).filter(lambda v: abs(v) > 1)
masses = st.floats(0, 80).map(lambda v: round(v, 2))


def spread(pins: Pins, turn: float) -> float:
    return float(np.linalg.norm(Pose.about((0, 0), turn).apply(pins.panel) - np.asarray(pins.fixed)))


def test_the_demonstration_gate_has_its_check_values(show):
    strap = stay.strap(PINS, GATE, PIVOT, TURNS, count=2)
    level, lean = strap.stops
    found = {
        "length at level": level.length,
        "length at lean": lean.length,
        "between hooks": strap.spacing[0],
        "lever arm at level": level.lever_arm,
        "lever arm at lean": lean.lever_arm,
        "edge for 1 mm at level": level.edge_per_mm,
        "edge for 1 mm at lean": lean.edge_per_mm,
        "pull of each of two at level": level.pull_each,
        "pull of one at level": level.pull_alone,
        "pull of each of two at lean": lean.pull_each,
        "pull of one at lean": lean.pull_alone,
        "pins shut": strap.shut,
        "slack for level": strap.slack_shut[0],
        "slack for lean": strap.slack_shut[1],
    }
    with REFERENCE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    assert {row["what"] for row in rows} == set(found)
    for row in rows:
        assert found[row["what"]] == pytest.approx(float(row["value"]), abs=float(row["last_digit"]) / 2), row["what"]
    assert strap.worst == 1
    show("stays of the demonstration gate", f"{len(rows)} check values met to their last printed digit")


@given(pins=st.tuples(points, points), load=st.tuples(masses, points, points, masses), turn=turns)
@settings(max_examples=25, deadline=None)
def test_pull_and_pivot_force_balance_the_loads(pins, load, turn):
    """Three equations of balance, unknown: pull along the stay and both parts of the pivot's force."""
    pose = Pose.about((0, 0), turn)
    on_panel, centre, edge = (pose.apply(p) for p in (pins[1], load[1], load[2]))
    along = np.asarray(pins[0]) - on_panel
    if np.linalg.norm(along) < 1 or np.linalg.norm(on_panel) < 1:
        return
    along /= np.linalg.norm(along)
    lever = on_panel[0] * along[1] - on_panel[1] * along[0]
    if abs(lever) < 1:
        return
    weight, lean = (stay.GRAVITY * m for m in (load[0], load[3]))
    matrix = np.array([[along[0], 1, 0], [along[1], 0, 1], [lever, 0, 0]])
    pull, *on_panel_by_pivot = np.linalg.solve(matrix, [0, weight + lean, weight * centre[0] + lean * edge[0]])
    found = stay.hold(Pins(*pins), Load(load[0], load[1], load[2], load[3]), pose, (0, 0), count=3)
    assert found.pull_alone == pytest.approx(pull, rel=1e-9, abs=1e-9)
    assert found.pull_each == pytest.approx(pull / 3, rel=1e-9, abs=1e-9)
    assert found.state == ("holds" if found.moment >= 0 else "goes slack")
    if pull > 0:
        assert found.on_pivot == pytest.approx(-np.array(on_panel_by_pivot), rel=1e-9, abs=1e-6)


@given(fixed=points, panel=points, centre=points, turn=turns)
@settings(max_examples=15, deadline=None)
def test_moment_and_lever_arm_are_what_virtual_work_says(fixed, panel, centre, turn):
    pins, load = Pins(fixed, panel), Load(10, centre, (0, 300))
    mpmath.mp.dps = 40
    step = mpmath.mpf("1e-12")

    def turned(p, t):
        c, s = mpmath.cos(t), mpmath.sin(t)
        return c * p[0] - s * p[1], s * p[0] + c * p[1]

    def length(t):
        x, y = turned(panel, t)
        return mpmath.hypot(x - fixed[0], y - fixed[1])

    at = mpmath.radians(mpmath.mpf(turn))
    if length(at) < 1 or math.hypot(*fixed) < 1 or math.hypot(*panel) < 1:
        return
    per_radian = (length(at + step) - length(at - step)) / (2 * step)
    lift = (turned(centre, at + step)[1] - turned(centre, at - step)[1]) / (2 * step)
    if abs(per_radian) < 1:
        return
    found = stay.hold(pins, load, Pose.about((0, 0), turn), (0, 0))
    assert found.lever_arm == pytest.approx(abs(float(per_radian)), rel=1e-9)
    # pull * d(length) + weight * d(height) = 0
    assert found.pull_alone == pytest.approx(float(-10 * stay.GRAVITY * lift / per_radian), rel=1e-9, abs=1e-9)


@given(fixed=points, panel=points, turn=turns, part=st.floats(0.05, 1.1))
@settings(max_examples=25, deadline=None)
def test_taut_is_the_first_place_on_the_way_where_the_pins_are_so_far_apart(fixed, panel, turn, part):
    pins = Pins(fixed, panel)
    length = part * (math.hypot(*fixed) + math.hypot(*panel))
    if length < 1 or min(math.hypot(*fixed), math.hypot(*panel)) < 1:
        return
    found = stay.taut_at(pins, (0, 0), 0, turn, length)
    way = np.linspace(0, turn, 4001)
    apart = np.hypot(*(Pose(0, 0, way).apply(panel) - np.asarray(fixed)).T)
    beyond = np.flatnonzero(apart >= length)
    if math.isnan(found):
        assert apart.max() < length + 1e-6
    else:
        assert spread(pins, found) == pytest.approx(length, abs=1e-5) or (found == 0 and apart[0] >= length)
        if beyond.size:
            assert abs(found) <= abs(way[beyond[0]]) + 1e-6
        before = np.abs(way) < abs(found) - 1e-3
        assert (apart[before] < length).all()


def test_let_fall_the_gate_pulls_as_a_simulation_of_the_fall_says(show):
    """Step by step: gravity turns the gate about its pivot until the stays stretch and stop it."""
    stiff, count = 120.0, 2
    caught = stay.catch_load(PINS, GATE, PIVOT, turn_to_deg=-90, stiffness=stiff, count=count)
    pivot, fixed = np.asarray(PIVOT), np.asarray(PINS.fixed)
    centre, pin = np.asarray(GATE.centre) - pivot, np.asarray(PINS.panel) - pivot
    taut = spread(Pins(fixed - pivot, pin), -90)
    mass = GATE.mass
    inertia = mass * (np.dot(centre, centre) + 90.0**2) * 1e-6  # any: the peak of a stiff gate does not depend on it

    def turning(t):
        c, p = (Pose(0, 0, math.degrees(t)).apply(q) for q in (centre, pin))
        moment = -mass * stay.GRAVITY * c[0] * 1e-3
        along = fixed - pivot - p
        apart = math.hypot(*along)
        pull = count * stiff * max(apart - taut, 0.0)
        return moment + pull * (p[0] * along[1] - p[1] * along[0]) / apart * 1e-3, pull / count

    # Let go a hair past where the centre of mass stands over the pivot.
    angle, speed, step, most = -math.radians(1.43), 0.0, 2e-4, 0.0
    while True:
        moment, pull = turning(angle)
        middle = speed + 0.5 * step * moment / inertia
        half, _ = turning(angle + 0.5 * step * speed)
        speed += step * half / inertia
        angle += step * middle
        if pull < most and pull > 0:
            break
        most = max(most, pull)
    assert caught.state == "caught"
    assert caught.pull_each == pytest.approx(most, rel=0.01)
    assert caught.pull_each == pytest.approx(stiff * caught.stretch, rel=1e-9)
    show("catch load", f"{caught.pull_each:.0f} N on each by energy, {most:.0f} N by simulation of the fall")


@given(turn=st.floats(-150, -40), stiff=st.floats(5, 5000), mass=st.floats(0.5, 60))
@settings(max_examples=15, deadline=None)
def test_what_the_weight_gives_up_is_in_the_stretched_stays(turn, stiff, mass):
    load = Load(mass, GATE.centre, GATE.edge)
    found = stay.catch_load(PINS, load, PIVOT, turn_to_deg=turn, stiffness=stiff, count=2)
    if found.state == "not caught":
        assert math.isnan(found.pull_each)
        return
    edge_radius = math.dist(GATE.edge, PIVOT)
    beyond = math.degrees(found.edge_overrun / edge_radius)
    at_rest, peak = (Pose.about(PIVOT, t).apply(GATE.centre)[1] for t in (turn, turn - beyond))
    assert 2 * 0.5 * stiff * found.stretch**2 * 1e-3 == pytest.approx(
        found.energy + mass * stay.GRAVITY * (at_rest - peak) * 1e-3, rel=1e-6
    )


def test_choices_are_those_of_a_search_in_numpy():
    jamb = stay.grid(fs.Outline([(-55, 150), (-35, 150), (-35, 300), (-55, 300)]), 12)
    gate = [(-14.0, y) for y in range(60, 300, 40)]
    found = stay.choose(jamb, gate, GATE, PIVOT, TURNS, most_pull=320, least_spacing=80, wish="least slack")
    rows = []
    for f in jamb:
        for g in gate:
            strap = stay.strap(Pins(f, g), GATE, PIVOT, TURNS, count=2)
            good = all(h.state == "holds" for h in strap.stops) and strap.taut_at_deg == tuple(TURNS)
            if good and max(h.pull_each for h in strap.stops) <= 320 and strap.spacing[0] >= 80:
                rows.append((max(strap.slack_shut), tuple(f), g))
    assert len(rows) == len(found.pull) > 0
    assert found.slack[0] == min(rows)[0]
    assert list(found.slack) == sorted(found.slack)
    assert found.tried == len(jamb) * len(gate)
    counts = (found.no_hold, found.too_much, found.too_lively, found.too_long, found.too_close)
    assert found.tried == len(rows) + sum(counts)
    nothing = stay.choose(jamb, gate, GATE, PIVOT, TURNS, most_pull=1)
    assert len(nothing.pull) == 0
    assert "No pair of places will do" in nothing.explanation


def test_mismatch_is_a_twist_along_the_edge():
    found = stay.mismatch(3.15, 2.0, 1180.0)
    assert found.edge == 6.3
    assert found.twist_deg == pytest.approx(math.degrees(math.atan2(6.3, 1180)), rel=1e-12)
    assert stay.stiffness(200, 10, [500, 250]).tolist() == [4000.0, 8000.0]


@given(
    past=st.floats(0, 15),
    share=st.floats(0.45, 0.55),
    folds=st.sampled_from(["left", "right"]),
    turn=st.floats(-120, -60),
)
@settings(max_examples=15, deadline=None)
def test_a_folding_stay_closes_at_every_place(past, share, folds, turn):
    wanted = Wanted((-40, 120), PINS.panel, PIVOT, turn, past, share, folds)
    made = folding_stay.folding_stay(wanted)
    if made.status != "fits":
        return
    body, panel = (folding_stay.link_motion(wanted, which) for which in ("body", "panel"))
    s = np.linspace(0, 1, 101)
    joints = body.poses(s).apply([(0.0, 0.0)])[:, 0]
    assert panel.poses(s).apply([(0.0, 0.0)])[:, 0] == pytest.approx(joints, abs=1e-9)
    assert body.poses(s).apply([(made.first, 0.0)])[:, 0] == pytest.approx(np.tile((-40, 120), (101, 1)), abs=1e-5)
    ends = panel.poses(s).apply([(made.second, 0.0)])[:, 0]
    assert np.hypot(*(ends - PIVOT).T) == pytest.approx(math.dist(PINS.panel, PIVOT), abs=1e-5)
    assert ends[-1] == pytest.approx(Pose.about(PIVOT, turn).apply(PINS.panel), abs=1e-5)
    assert np.hypot(*(joints - joints[0]).T)[-1] == pytest.approx(
        np.linalg.norm(made.joint_stop - made.joint_shut), abs=1e-5
    )


def test_links_keep_off_bodies_as_dense_sampling_says(size, show):
    shapely = pytest.importorskip("shapely")
    wanted = Wanted((-40, 120), PINS.panel, PIVOT, -90, 5.0)
    made = folding_stay.folding_stay(wanted)
    body = fs.Outline([(60, 200), (90, 200), (90, 230), (60, 230)])
    gaps = folding_stay.links_gap(wanted, 12.0, body)
    room = shapely.unary_union([shapely.Polygon(o.points, o.holes) for o in folding_stay.links_room(wanted, 12.0, 0.5)])
    fixed = shapely.Polygon(body.points)
    outside = 0.0
    for link, length, gap in zip(("body", "panel"), (made.first, made.second), gaps, strict=True):
        bar = folding_stay.link_bar(length, 12.0).outline(0.01).points
        placed = folding_stay.link_motion(wanted, link).poses(np.linspace(0, 1, size(150, 20000))).apply(bar)
        least = min(shapely.Polygon(p).distance(fixed) for p in placed)
        assert gap.lower_bound <= least + 1e-9
        assert gap.gap <= least + 1e-6
        outside = max(outside, *(shapely.Polygon(p).difference(room).area for p in placed[:: size(20, 200)]))
    assert outside < 1e-6
    show("folding stay", "no sampled pose of either link is nearer to the body than said, or outside the room said")


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: stay.hold(Pins((0, 0), (0, 0)), GATE, Pose(0, 0, 0), PIVOT), "fixed must be away"),
        (lambda: stay.strap(PINS, GATE, PIVOT, []), "turns_deg"),
        (lambda: stay.strap(PINS, GATE, PIVOT, [0]), "not 0"),
        (lambda: stay.strap(PINS, Load(-1, (0, 0), (0, 1)), PIVOT, [9]), "mass must be"),
        (lambda: stay.strap(PINS, GATE, PIVOT, [math.nan]), "turns_deg"),
        (lambda: stay.hold(PINS, GATE, Pose(0, 0, 0), PIVOT, count=11), "count must be from 1 to 10"),
        (lambda: stay.hold(PINS, GATE, Pose([0, 1], 0, 0), PIVOT), "pose must be one Pose"),
        (
            lambda: stay.catch_load(PINS, GATE, PIVOT, turn_from_deg=-90, turn_to_deg=-30, stiffness=9),
            "where the pins still move apart",
        ),
        (lambda: stay.choose([], [(0, 0)], GATE, PIVOT, [9]), "on_body"),
        (lambda: stay.choose(np.zeros((2000, 2)), np.ones((2000, 2)), GATE, PIVOT, [9]), "1000000 pairs"),
        (lambda: stay.choose([(0, 9)], [(9, 0)], GATE, PIVOT, [9], wish="cheap"), "wish must be"),
        (lambda: stay.grid(fs.Outline([(0, 0), (1e6, 0), (0, 1e6)]), 0.1), "coarser"),
        (lambda: folding_stay.folding_stay(Wanted((0, 9), (9, 0), (0, 0), 90, 5, 0.5, "up")), "folds must be"),
        (lambda: folding_stay.folding_stay(Wanted((0, 9), (9, 0), (0, 0), 90, 5, 1.0)), "share must be"),
        (lambda: folding_stay.link_motion(Wanted((0, 9), (9, 0), (0, 0), 90), "both"), "link must be"),
    ],
)
def test_what_makes_no_sense_is_refused_by_name(ask, says):
    with pytest.raises(InvalidInput, match=says):
        ask()
