"""What holds a gate open: lengths and hooks, pull at every stop, mismatch, slack, what it takes to catch the gate."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from foldswing import folding_stay, gate, plane, stay
from foldswing._core.plane import Outline
from foldswing._values import value
from foldswing.evaluation.findings import ROUNDING, SAGITTA, Finding
from foldswing.evaluation.stay_places import (
    Hung,
    PinChoice,
    PinPlace,
    choose_pins,
    nothing_will_do,
    pins_given,
    place_of,
)
from foldswing.job import Gate, Stay

UNEVEN = 1.0  # mm of difference between left and right for which the twist is told
SLACK_HANGS = 50.0  # mm; less slack than this does not reach far (common practice, no source)
TOUCHY = 10.0  # mm of edge for 1 mm of stay; more than a fabricator can set (common practice, no source)
PIN_ROOM = 15.0  # mm from middle to middle; nearer, pins, heads and washers meet (common practice, no source)
SAME_TURN = 1e-3  # degrees; a stay that comes taut this near its stop comes taut at it


@value
class StayStop:
    """A stay with the gate at one of its stops.

    Attributes
    ----------
    name : str
        Of the stop.
    rests : bool
        Whether the gate rests on the stay there.
    length, lever_arm, edge_per_mm : float
        Between the pins, the arm of its pull about the pivot, mm; movement of the free edge for 1 mm of stay.
    state : str
        As stay.Hold.
    pull_each, pull_alone : float
        N, all sharing alike and one carrying all; NaN where it holds nothing.
    slack_shut : float
        To stow with the gate shut, hooked for this stop, mm.
    taut_opening_deg : float
        Where it comes taut on the way, hooked for this stop: at the stop where all is well.
    twist_deg, uneven : float
        One stay 1 mm longer than the other: twist of the gate and how much lower one end of its edge is, mm.
    caught : stay.Catch or None
        Let fall on stays hooked for this stop: with all of them; None where their stretch was not tried.
    caught_alone : stay.Catch or None
        The same with one stay catching alone.
    """

    name: str
    rests: bool
    length: float
    lever_arm: float
    edge_per_mm: float
    state: str
    pull_each: float
    pull_alone: float
    slack_shut: float
    taut_opening_deg: float
    twist_deg: float
    uneven: float
    caught: stay.Catch | None
    caught_alone: stay.Catch | None


@value
class FoldingResult:
    """A folding stay.

    Attributes
    ----------
    stop : str
        The stop it holds.
    made : folding_stay.FoldingStay
        Lengths, folded shape, how it locks.
    edge_longer : float
        How much farther than the stop the free edge must go for the joint to pass its centre, mm.
    gaps : tuple of (body, gap, opening_deg, link)
        How near each link comes to each body: least gap, where, and whose link; the nearer link of each.
    """

    stop: str
    made: folding_stay.FoldingStay
    edge_longer: float
    gaps: tuple[tuple[str, float, float, str], ...]


@value
class StayResult:
    """The stays of a gate worked out.

    Attributes
    ----------
    kind : str
        As the job says.
    count : int
        How many share the load.
    shut : float
        Between the pins with the gate shut, mm.
    stops : tuple of StayStop
        In order of opening.
    spacing : tuple of (from, to, mm)
        Between the hooks, holes or links for one stop and the next.
    worst : str
        The stop with the greatest pull.
    leaned_load, mass : float
        What was reckoned with, kg.
    folding : FoldingResult or None
        Where it is a folding stay.
    pins : PinPlace or None
        Where its pins are; None where no places for them will do, and then there are no stops either.
    choice : PinChoice or None
        How the pins were chosen, where the job leaves them to be chosen.
    """

    kind: str
    count: int
    shut: float
    stops: tuple[StayStop, ...]
    spacing: tuple[tuple[str, str, float], ...]
    worst: str
    leaned_load: float
    mass: float
    folding: FoldingResult | None
    pins: PinPlace | None
    choice: PinChoice | None


def evaluate_stays(
    wanted: Gate,
    sizes: gate.Sizes,
    holes: gate.Holes,
    stops: Sequence[tuple[str, float]],
    bodies: Mapping[str, Outline],
) -> tuple[StayResult | None, list[Finding]]:
    """Return what the stays of a gate come to, and what is wrong with them.

    Parameters
    ----------
    wanted : Gate
        As wanted.
    sizes, holes : gate.Sizes, gate.Holes
        As the gate hangs.
    stops : sequence of (name, opening in degrees)
        Ascending.
    bodies : mapping of names to Outlines
        What a folding stay must keep off.

    Returns
    -------
    StayResult or None
        None where the gate has no stay.
    list of Finding
        What is wrong.
    """
    s = wanted.stay
    if s is None or not stops:
        return None, []
    shut = gate.pose(holes, 0.0)
    load = stay.Load(
        wanted.load.mass,
        shut.apply(gate.centre(sizes)),
        shut.apply(gate.corners(sizes)[3]),
        wanted.load.leaned_load,
    )
    hung = Hung(sizes, holes, load, [-opening for _, opening in stops])
    pins, choice = choose_pins(s, hung) if s.to_choose else (pins_given(s, hung), None)
    if pins is None:
        assert choice is not None
        unheld = [stop.name for stop in wanted.stop if stop.rests_on == "stay"]
        return _none(s, choice, wanted), [nothing_will_do(choice, unheld)]
    strap = stay.strap(pins, load, holes.jamb, hung.turns_deg, count=s.count)
    stiff = None if s.test_mass is None else float(stay.stiffness_from_test(s.test_mass, s.test_stretch))
    rows = []
    for i, (name, opening) in enumerate(stops):
        held = strap.stops[i]
        twist = stay.mismatch(held.edge_per_mm, UNEVEN, wanted.panel.width) if math.isfinite(held.edge_per_mm) else None
        caught = alone = None
        if stiff is not None and held.state == "holds":
            caught, alone = (
                stay.catch_load(pins, load, holes.jamb, turn_to_deg=-opening, stiffness=stiff, count=n)
                for n in (s.count, 1)
            )
        rows.append(
            StayStop(
                name,
                any(stop.name == name and stop.rests_on == "stay" for stop in wanted.stop),
                held.length,
                held.lever_arm,
                held.edge_per_mm,
                held.state,
                held.pull_each,
                held.pull_alone,
                strap.slack_shut[i],
                abs(strap.taut_at_deg[i]),
                twist.twist_deg if twist else math.nan,
                twist.edge if twist else math.nan,
                caught,
                alone,
            )
        )
    spacing = tuple((a.name, b.name, gap) for a, b, gap in zip(rows, rows[1:], strap.spacing, strict=False))
    folding = None
    resting = next(((row, opening) for row, (_, opening) in zip(rows, stops, strict=True) if row.rests), None)
    if s.kind == "folding" and resting is not None:
        folding = _folding(s, pins, holes.jamb, resting, bodies)
    result = StayResult(
        s.kind,
        s.count,
        strap.shut,
        tuple(rows),
        spacing,
        rows[strap.worst].name,
        wanted.load.leaned_load,
        wanted.load.mass,
        folding,
        place_of(pins, strap, hung) if choice is None else choice.best,
        choice,
    )
    outside = -float(plane.room(gate.panel(sizes).outline(SAGITTA), shut.inverse().apply(pins.panel)))
    placed = _pins_meet(strap.shut) if strap.shut < PIN_ROOM else []
    placed += _off_the_gate(outside) if outside > ROUNDING else []
    return result, [*placed, *_findings(rows, dict(stops), s), *(_folding_findings(folding) if folding else [])]


def _none(s: Stay, choice: PinChoice, wanted: Gate) -> StayResult:
    """Return the stays of a gate whose pins no place suits."""
    load = wanted.load
    return StayResult(s.kind, s.count, math.nan, (), (), "", load.leaned_load, load.mass, None, None, choice)


def _off_the_gate(outside: float) -> list[Finding]:
    return [
        Finding(
            "The stay's pin is not on the gate",
            f"{outside:.1f} mm outside its section",
            "there is nothing to fix it to, unless a bracket stands out that far",
            "a place on the gate for it",
            False,
        )
    ]


def _pins_meet(shut: float) -> list[Finding]:
    return [
        Finding(
            "The stay's two pins meet when the gate is shut",
            f"{shut:.1f} mm from middle to middle; {PIN_ROOM:g} mm is little for pins with heads and washers",
            "the gate does not shut, or one pin shears the other",
            "pins, or places for them, farther from each other when the gate is shut",
            False,
        )
    ]


def _findings(rows: Sequence[StayStop], openings: Mapping[str, float], s: Stay) -> list[Finding]:
    out = []
    elsewhere = "pins elsewhere"
    for row in rows:
        if row.state == "dead centre":
            out.append(
                Finding(
                    f"Stay points at the pivot at '{row.name}'",
                    "lever arm 0 mm",
                    "drops: nothing holds it there",
                    elsewhere,
                    row.rests,
                )
            )
        elif row.state == "holds" and row.rests and row.edge_per_mm > TOUCHY:
            out.append(
                Finding(
                    f"Stay has little lever arm at '{row.name}'",
                    f"{row.lever_arm:.1f} mm: 1 mm of stay moves the edge {row.edge_per_mm:.0f} mm, and each pulls "
                    f"{row.pull_each:.0f} N",
                    "sags and shakes as stay and pins give",
                    "pins farther from the pivot",
                    False,
                )
            )
        elif row.state == "goes slack" and row.rests:
            out.append(
                Finding(
                    f"Load does not pull on the stay at '{row.name}'",
                    f"it would have to push with {-row.pull_each:.0f} N",
                    "goes slack: the gate swings back off it",
                    "another thing to rest on there, or pins elsewhere",
                    True,
                )
            )
        if abs(row.taut_opening_deg - openings[row.name]) > SAME_TURN and s.kind != "folding":
            out.append(
                Finding(
                    f"Stay hooked for '{row.name}' comes taut on the way",
                    f"at {row.taut_opening_deg:.1f}\N{DEGREE SIGN} open; the stop is at "
                    f"{openings[row.name]:.1f}\N{DEGREE SIGN}",
                    "binds: it goes no farther",
                    elsewhere,
                    True,
                )
            )
        for fall, who in ((row.caught, "the stays together"), (row.caught_alone, "one stay alone")):
            if fall is not None and fall.state == "not caught":
                out.append(
                    Finding(
                        f"Let fall, the gate is not stopped by {who} at '{row.name}'",
                        f"{fall.energy:.1f} J to catch",
                        "drops past the stop onto the next thing it hits",
                        "a stiffer stay, or something that slows the fall",
                        row.rests,
                    )
                )
                break
    return out


def _folding(
    s: Stay, pins: stay.Pins, pivot: np.ndarray, held: tuple[StayStop, float], bodies: Mapping[str, Outline]
) -> FoldingResult:
    row, opening_deg = held
    far = {"up": (0.0, 1.0), "down": (0.0, -1.0), "outward": (1.0, 0.0), "inward": (-1.0, 0.0)}[s.joint_folds or "up"]

    def made(side: str) -> tuple[folding_stay.Wanted, folding_stay.FoldingStay]:
        asked = folding_stay.Wanted(pins.fixed, pins.panel, pivot, -opening_deg, s.past_centre, s.jamb_link_share, side)
        return asked, folding_stay.folding_stay(asked)

    both = [made("left"), made("right")]
    asked, chosen = max(both, key=lambda m: _along(m[1].joint_shut, far))
    gaps = []
    if chosen.status == "fits":
        for name, body in bodies.items():
            links = folding_stay.links_gap(asked, s.link_width, body)
            near, link = min(zip(links, ("jamb's link", "gate's link"), strict=True), key=lambda g: g[0].gap)
            gaps.append((name, near.gap, abs(near.turn_deg), link))
    return FoldingResult(row.name, chosen, chosen.longer * row.edge_per_mm, tuple(gaps))


def _along(point: Any, way: tuple[float, float]) -> float:
    """Return how far a point lies that way; of a joint that cannot fold, nowhere."""
    along = float(np.dot(point, way))
    return -math.inf if math.isnan(along) else along


def _folding_findings(folding: FoldingResult) -> list[Finding]:
    out = []
    if folding.made.status != "fits":
        out.append(
            Finding(
                f"Folding stay for '{folding.stop}' {folding.made.status}",
                folding.made.explanation,
                "binds, or does not lock",
                "pins elsewhere, or other links",
                True,
            )
        )
    out += [
        Finding(
            f"Folding stay fouls the {body}",
            f"{link} touches it at {opening:.1f}\N{DEGREE SIGN} open",
            "binds: it will not fold",
            "fold it the other way, narrower links, or pins elsewhere",
            True,
        )
        for body, gap, opening, link in folding.gaps
        if gap <= 0.0
    ]
    if folding.made.past_centre > 0.0:
        out.append(
            Finding(
                "The load pulls on a stay that locks past its centre",
                f"drawn straight, it lets the edge down by {folding.edge_longer:.1f} mm",
                "sags under load, then stands straight",
                "past_centre = 0 where the load pulls; past centre is for a stay that is pushed",
                False,
            )
        )
    return out
