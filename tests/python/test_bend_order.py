"""Bend orders: the search against every permutation and a collision check by Shapely, and what it says."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
import pytest
from brake_oracle import Brake
from foldswing import InvalidInput, Outline, bend_order
from foldswing.blank import Bend, Flat, Pan, Profile
from shapely.geometry import Polygon

ENDS = ("start", "end")


def section(lengths: Any, angles: Any, *, radius: float = 1.5, thickness: float = 1.2) -> Profile:
    """Return a section from flats between tangent lines and signed angles, up positive."""
    parts: list[Any] = [Flat(lengths[0], "flat")]
    for length, angle in zip(lengths[1:], angles, strict=True):
        parts += [Bend(abs(angle), radius, "up" if angle > 0 else "down"), Flat(length, "flat")]
    return Profile(parts, thickness, k_factor=0.42)


def random_section(rng: np.random.Generator, bends: int) -> Profile:
    """Return a section that does not cross itself."""
    while True:
        try:
            return section(
                rng.uniform(6.0, 90.0, bends + 1),
                rng.choice([-1.0, 1.0], bends) * rng.choice([30.0, 45.0, 60.0, 90.0, 90.0, 90.0, 110.0], bends),
                radius=float(rng.choice([0.0, 1.0, 1.5, 3.0])),
                thickness=float(rng.choice([0.8, 1.2, 2.0])),
            )
        except InvalidInput:
            continue


def random_brake(rng: np.random.Generator) -> Any:
    """Return one of the invented brakes."""
    return [
        bend_order.invented_leaf_brake(),
        bend_order.invented_box_and_pan_brake(),
        bend_order.invented_press_brake(float(rng.choice([8.0, 10.0, 16.0]))),
    ][rng.integers(3)]


def permutations_that_can(profile: Profile, oracle: Brake) -> dict[bool, list[tuple[int, int]]]:
    """Try every permutation of the bends; return the least (flips, turns) of each that can be bent.

    Under False what is unsure cannot be bent, under True it can.
    """
    n = len(profile.bend_lines)
    up = [line.direction == "up" for line in profile.bend_lines]
    known: dict[tuple[frozenset[int], int, str], str] = {}

    def verdict(made: frozenset[int], bend: int, end: str) -> str:
        key = (made, bend, end)
        if key not in known:
            known[key] = oracle.verdict(made, bend, end)
        return known[key]

    out: dict[bool, list[tuple[int, int]]] = {False: [], True: []}
    for lenient in (False, True):
        allowed = {"free", "unsure"} if lenient else {"free"}

        def go(
            order: tuple[int, ...], turns: dict[str, int], allowed: set[str] = allowed, lenient: bool = lenient
        ) -> None:
            if len(order) == n:
                flips = sum(up[a] != up[b] for a, b in itertools.pairwise(order))
                out[lenient].append((flips, min(turns.values())))
                return
            for bend in set(range(n)) - set(order):
                new = {}
                for end in ENDS:
                    if verdict(frozenset(order), bend, end) in allowed:
                        new[end] = min((t + (e != end) for e, t in turns.items()), default=0)
                if new:
                    go((*order, bend), new)

        go((), {})
    return out


def random_cases(seed: int, bends: Iterable[int]) -> Iterator[tuple[Profile, Any]]:
    """Give sections of so many bends each, and a brake for each."""
    rng = np.random.default_rng(seed)
    for many in bends:
        yield random_section(rng, many), random_brake(rng)


PARTS = 10  # so that several workers share the work


@pytest.mark.parametrize("part", range(PARTS))
def test_search_agrees_with_every_permutation(part: int, size: Any, show: Any) -> None:
    count, most = size(1, 30), size(4, 7)
    exact = possible = 0
    for profile, brake in random_cases(20 + part, (1 + (part + i) % most for i in range(count))):
        done = bend_order.search(profile, brake)
        tried = permutations_that_can(profile, Brake(profile, brake))
        sure, perhaps = tried[False], tried[True]
        assert len(sure) <= done.orders <= len(perhaps), (profile, brake.name)
        assert (done.status == "found") == (done.orders > 0)
        if done.status == "found":
            possible += 1
            best = (done.flips, done.turns)
            assert min(perhaps) <= best
            if sure:
                assert best <= min(sure)
        exact += len(sure) == len(perhaps)
    assert exact >= 0.9 * count - 1
    show(
        f"bend order against every permutation and Shapely, part {part + 1} of {PARTS}",
        f"{count} sections of up to {most} bends, {possible} can be bent; {exact} without a case too near to call",
    )


def test_random_sections_give_both_answers() -> None:
    found = [bend_order.search(*case).status == "found" for case in random_cases(20, [*range(1, 8)] * 14)]
    assert 20 < sum(found) < 95


def test_metal_against_metal_agrees_bend_by_bend(size: Any) -> None:
    """With slim tools the metal itself is what gets in the way."""
    slim = bend_order.Brake(
        "slim folder",
        "leaf",
        Outline([(0, 0), (-4, 7), (-8, 7), (-8, 0)]),
        Outline([(0, 0), (-6, 0), (-6, -6), (0, -6)]),
        Outline([(0, 0), (0, -4), (4, -4), (4, 0)]),
        opens=60,
        gauge_to=1000,
    )
    rng = np.random.default_rng(5)
    met = 0
    for _ in range(size(40, 400)):
        profile = random_section(rng, int(rng.integers(4, 7)))
        n = len(profile.bend_lines)
        oracle = Brake(profile, slim)
        for _ in range(6):
            bend = int(rng.integers(n))
            made = [i for i in range(n) if i != bend and rng.random() < 0.6]
            why = bend_order.obstacle(profile, slim, made, bend)
            by_metal = "runs into flat" in why or "runs into the metal" in why
            if why and not by_metal:
                continue
            met += by_metal
            assert oracle.against_metal(frozenset(made), bend) in {"unsure", "fouls" if by_metal else "free"}
    assert met > 0


@pytest.mark.parametrize("brake", [bend_order.invented_leaf_brake(), bend_order.invented_press_brake(10)])
def test_ten_bends_in_under_a_second(brake: Any, show: Any) -> None:
    profile = section([30, 25, 40, 30, 60, 30, 30, 40, 30, 20, 30], [20, -15, 30, -20, 25, -30, -20, 15, 30, -20])
    start = time.process_time()
    done = bend_order.search(profile, brake)
    spent = time.process_time() - start
    assert done.status in {"found", "none"}
    assert done.tried > 1000
    show(f"ten bends on the {brake.name}", f"{spent:.2f} s of one core, {done.tried} bends tried: {done.status}")


def test_steps_replay_and_count_their_flips() -> None:
    profile = section([20, 30, 60, 30, 20], [90, -90, -90, 90])
    brake = bend_order.invented_press_brake(10)
    done = bend_order.search(profile, brake)
    assert done.status == "found"
    made: list[int] = []
    for step in done.steps:
        assert bend_order.obstacle(profile, brake, made, step.bend, at_gauge=step.at_gauge) == ""  # type: ignore[arg-type]
        assert step.face == profile.bend_lines[step.bend].direction
        made.append(step.bend)
    assert sum(s.flipped for s in done.steps) == done.flips == 1
    assert sum(s.turned for s in done.steps) == done.turns
    areas = [Polygon(s.after).area for s in done.steps]
    assert np.allclose(areas, areas[0], rtol=0.02)  # the picture is of the same metal throughout


def test_gauge_distances_are_those_of_the_blank() -> None:
    profile = section([30, 120, 40], [90, 90])
    brake = bend_order.invented_leaf_brake()
    first = bend_order.search(profile, brake).steps[0]
    line = profile.bend_lines[first.bend]
    assert first.at_gauge == "start"
    assert math.isclose(first.gauge_tangent, line.tangent[0], rel_tol=1e-12)
    assert math.isclose(first.gauge, line.sight[0], rel_tol=1e-12)
    front = bend_order.search(profile, brake, gauge="front").steps[0]
    assert math.isclose(front.gauge_tangent, line.tangent_from_end[1], rel_tol=1e-12)
    press = bend_order.search(profile, bend_order.invented_press_brake(10)).steps[0]
    line = profile.bend_lines[press.bend]
    assert math.isclose(press.gauge, line.centre if press.at_gauge == "start" else line.centre_from_end, rel_tol=1e-12)


def test_closed_section_is_found_and_said() -> None:
    tube = section([60, 120, 60, 119], [90, 90, 90])
    for brake in (bend_order.invented_leaf_brake(), bend_order.invented_press_brake(10)):
        done = bend_order.search(tube, brake)
        assert done.status == "none"
        assert done.blocking
        assert "runs into the" in done.explanation


def test_part_that_stays_round_the_nose_is_trapped() -> None:
    slim = bend_order.Brake(
        "slim folder",
        "leaf",
        Outline([(0, 0), (-10, 17), (-30, 17), (-30, 0)]),
        Outline([(0, 0), (-20, 0), (-20, -20), (0, -20)]),
        Outline([(0, 0), (0, -10), (10, -10), (10, 0)]),
        opens=5,
        gauge_to=1000,
    )
    tube = section([30, 60, 30], [90, 90])
    why = bend_order.obstacle(tube, slim, [0], 1)
    assert "does not come off" in why
    roomy = bend_order.Brake.from_dict({**slim.to_dict(), "opens": 80})
    assert bend_order.obstacle(tube, roomy, [0], 1) == ""
    open_ended = bend_order.Brake.from_dict({**slim.to_dict(), "open_ended": True})
    assert bend_order.obstacle(tube, open_ended, [0], 1) == ""


@pytest.mark.parametrize(
    ("lengths", "angles", "said"),
    [
        ([5, 100], [90], "of straight metal"),
        ([50, 100], [150], "150.0 degrees are more than"),
        ([1200, 1300], [90], "the stop would have to stand at"),
    ],
)
def test_reasons_name_the_size(lengths: Any, angles: Any, said: str) -> None:
    done = bend_order.search(section(lengths, angles), bend_order.invented_leaf_brake())
    assert done.status == "none"
    assert done.blocking == (0,)
    assert said in done.explanation


def test_pan_needs_fingers() -> None:
    pan = Pan(330, 178, 14, thickness=1.2, radius=1.2, k_factor=0.42)
    plain = bend_order.search(pan, bend_order.invented_leaf_brake())
    assert plain.status == "none"
    assert "0.0 mm are clear beside the fingers" in plain.explanation
    brake = bend_order.invented_box_and_pan_brake()
    done = bend_order.search(pan, brake)
    assert done.status == "found"
    assert sorted(s.name for s in done.steps) == ["bottom", "left", "right", "top"]
    last = done.steps[-1]
    across = pan.length if last.name in {"bottom", "top"} else pan.width
    room = across - 2 * (pan.thickness + pan.radius)
    assert 0.9 * room <= last.fingers.sum() <= across - 2 * pan.thickness
    deep = bend_order.search(Pan(330, 178, 120, thickness=1.2, radius=1.2, k_factor=0.42), brake)
    assert deep.status == "none"
    tray = bend_order.Tray(pan.lengthwise, 1, pan.crosswise, 1)
    assert bend_order.search(tray, brake).orders == done.orders


def test_a_quarter_turn_is_told_apart_from_a_turn_end_for_end() -> None:
    pan = Pan(330, 178, 14, thickness=1.2, radius=1.2, k_factor=0.42)
    done = bend_order.search(pan, bend_order.invented_box_and_pan_brake())
    edges = [s.name in {"left", "right"} for s in done.steps]
    ends = [s.at_gauge for s in done.steps]
    for i, step in enumerate(done.steps):
        other_edges = i > 0 and edges[i] != edges[i - 1]
        assert step.quarter == other_edges
        assert step.turned == (i > 0 and not other_edges and ends[i] != ends[i - 1])
        assert step.moves == (("quarter turn",) if step.quarter else ("end for end",) if step.turned else ())
    assert done.quarters == sum(s.quarter for s in done.steps) > 0
    assert done.turns == sum(s.turned for s in done.steps)
    times = {0: "never given a quarter turn", 1: "given a quarter turn once"}
    assert times.get(done.quarters, f"given a quarter turn {done.quarters} times") in done.explanation
    assert done.explanation.startswith("Make left, ")
    assert bend_order.Order.from_dict(done.to_dict()) == done
    channel = bend_order.search(section([30, 120, 30], [90, 90]), bend_order.invented_leaf_brake())
    assert channel.quarters == 0
    assert "quarter" not in channel.explanation


def test_bends_made_before_are_no_steps_and_stand_in_the_way() -> None:
    brake = bend_order.invented_leaf_brake()
    profile = section([20, 30, 60, 30, 20], [90, -90, -90, 90])
    for made in ([], [0], [0, 3], [0, 1, 2, 3]):
        done = bend_order.search(profile, brake, made=made)
        oracle = Brake(profile, brake)
        if done.status == "found":
            assert sorted(s.bend for s in done.steps) == sorted(set(range(4)) - set(made))
            before = set(made)
            for step in done.steps:
                assert oracle.verdict(frozenset(before), step.bend, step.at_gauge) != "fouls"
                before.add(step.bend)
    assert bend_order.search(profile, brake, made=[0, 1, 2, 3]).explanation == "Nothing to bend."
    assert bend_order.search(profile, brake, made=[0, 0]) == bend_order.search(profile, brake, made=[0])
    with pytest.raises(InvalidInput, match="made must be a bend"):
        bend_order.search(profile, brake, made=[4])


def test_flats_and_ends_have_the_names_given() -> None:
    tube = section([60, 120, 60, 119], [90, 90, 90])
    flats = ["lip", "wall", "floor", "back"]
    said = bend_order.search(
        tube, bend_order.invented_press_brake(10), names=["one", "two", "three"], flats=flats, ends=["left", "right"]
    ).explanation
    assert any(f"{flat} runs into" in said for flat in flats)
    assert "flat 1" not in said
    with pytest.raises(InvalidInput, match="flats must be 4"):
        bend_order.search(tube, bend_order.invented_leaf_brake(), flats=["lip"])
    with pytest.raises(InvalidInput, match="ends must be 2"):
        bend_order.search(tube, bend_order.invented_leaf_brake(), ends=["left"])


def test_mirrored_section_has_the_mirrored_answer() -> None:
    rng = np.random.default_rng(3)
    brake = bend_order.invented_press_brake(10)
    for _ in range(5):
        lengths, angles = rng.uniform(20, 60, 4), rng.choice([-60.0, 60.0, 90.0], 3)
        there = bend_order.search(section(lengths, angles), brake)
        back = bend_order.search(section(lengths[::-1], angles[::-1]), brake)
        over = bend_order.search(section(lengths, -angles), brake)
        assert there.orders == back.orders == over.orders
        assert (there.flips, there.turns) == (back.flips, back.turns) == (over.flips, over.turns)


def test_hostile_input_is_refused() -> None:
    profile, brake = section([30, 60], [90]), bend_order.invented_leaf_brake()
    with pytest.raises(InvalidInput, match="gauge"):
        bend_order.search(profile, brake, gauge="left")  # type: ignore[arg-type]
    with pytest.raises(InvalidInput, match="names"):
        bend_order.search(profile, brake, names=["a", "b"])
    with pytest.raises(InvalidInput, match="bend must be"):
        bend_order.obstacle(profile, brake, [], 4)
    with pytest.raises(InvalidInput, match="already made"):
        bend_order.obstacle(profile, brake, [0], 0)
    with pytest.raises(InvalidInput, match="bends"):
        bend_order.search(section([20] * 16, [10] * 15), brake)
    given = brake.to_dict()
    square = Outline([(1, 1), (2, 1), (2, 2), (1, 2)])
    bad: dict[str, list[Any]] = {
        "upper": [square],
        "leaf": [None],
        "lower": ["a bar"],
        "opens": [0, math.nan],
        "greatest_angle_deg": [180],
        "gauge_to": [-1],
        "fingers": [[0.0], [1.0] * 21],
        "kind": ["roll"],
        "least_cover": [2],
    }
    for key, value in ((k, v) for k, values in bad.items() for v in values):
        with pytest.raises(InvalidInput):
            bend_order.Brake.from_dict({**given, key: value})
