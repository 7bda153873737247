"""The pins of a gate's stay: where they are, and which pair of places is best where the job leaves it open."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np

from foldswing import gate, stay
from foldswing._core import InvalidInput
from foldswing._core.plane import Outline, Pose
from foldswing._values import value
from foldswing.evaluation.findings import Finding
from foldswing.job import GatePlace, JambPlace, Stay
from foldswing.job.keys import listed
from foldswing.job.stays import WISHES

STEP = 10.0  # mm between the places tried: a pin goes where there is metal, not to the millimetre (common practice)
MOST_PAIRS = 100_000  # tried in about a third of a second; a finer grid finds nothing that a bench could tell
_ON_JAMB = np.array([-1.0, 1.0])  # inward and up, as section axes


@value
class PinPlace:
    """A pair of pins by the tape, and what a stay between them does at its worst.

    Attributes
    ----------
    jamb_inward, jamb_above_worktop : float
        Of the pin on the jamb: from the wall's outer face and from the worktop surface, mm.
    gate_above_lower_edge, gate_above_pivot, gate_from_inner_face : float
        Of the pin on the gate, gate shut, along its face and square to it, mm.
    pull, edge_per_mm, longest, spacing, slack : float
        As stay.Choices: N on each, mm of the free edge for 1 mm of stay, mm.
    """

    jamb_inward: float
    jamb_above_worktop: float
    gate_above_lower_edge: float
    gate_above_pivot: float
    gate_from_inner_face: float
    pull: float
    edge_per_mm: float
    longest: float
    spacing: float
    slack: float


@value
class PinChoice:
    """How the pins came to be chosen.

    Attributes
    ----------
    wish : str
        As stay.choose.
    tried, will_do : int
        Pairs of places tried, and how many keep every limit.
    best, next_best : PinPlace or None
        The chosen pair and the one after it; None where there is none.
    without_limits : PinPlace or None
        Where no pair will do: the best of those that hold at all, limits left out.
    ruled_out : tuple of (what, pairs, limit)
        What the others were left out for, each under the first limit it breaks: 'no hold', 'pull' (N), 'movement' (mm
        of edge per mm), 'length' (mm), 'spacing' (mm); NaN where there is no limit.
    explanation : str
        A sentence for the bench.
    """

    wish: str
    tried: int
    will_do: int
    best: PinPlace | None
    next_best: PinPlace | None
    without_limits: PinPlace | None
    ruled_out: tuple[tuple[str, int, float], ...]
    explanation: str


class Hung(NamedTuple):
    """The gate as it hangs shut, and what its stays carry."""

    sizes: gate.Sizes
    holes: gate.Holes
    load: stay.Load
    turns_deg: Sequence[float]


def pins_given(s: Stay, hung: Hung) -> stay.Pins:
    """Return the pins of a job that gives both, as the gate hangs shut."""
    pin = gate.stay_pin(
        hung.sizes, hung.holes, above_pivot=s.gate_pin_above_pivot, from_inner_face=s.gate_pin_from_inner_face
    )
    assert s.jamb_pin_inward is not None
    fixed = _ON_JAMB * (s.jamb_pin_inward, s.jamb_pin_above_worktop)
    return stay.Pins(fixed, gate.pose(hung.holes, 0.0).apply(pin))


def choose_pins(s: Stay, hung: Hung) -> tuple[stay.Pins | None, PinChoice]:
    """Return the best pair of pins, as the gate hangs shut, and how it was chosen.

    Returns
    -------
    stay.Pins or None
        None where no pair will do.
    PinChoice
        With what ruled the others out.

    Raises
    ------
    InvalidInput
        When an outline is none, or there are too many places.
    """
    wish = s.wish or WISHES[0]
    step = s.place_step or STEP
    on_jamb = _on_jamb(s, step)
    on_gate = _on_gate(s, hung, step)
    if len(on_jamb) * len(on_gate) > MOST_PAIRS:
        raise InvalidInput(
            f"gate.stay.place_step, {step:g} mm, makes {len(on_jamb)} places on the jamb and {len(on_gate)} on the "
            f"gate: at most {MOST_PAIRS} pairs are tried; take a larger step or smaller regions"
        )
    if not len(on_jamb) or not len(on_gate):
        where = "jamb" if not len(on_jamb) else "gate"
        said = (
            f"No place tried lies in the outline on the {where}: the step of {step:g} mm goes past it. Take a smaller."
        )
        return None, PinChoice(wish, 0, 0, None, None, None, (), said)
    limits = {
        "pull": stay.GRAVITY * s.most_pull if s.most_pull is not None else 0.0,
        "movement": s.most_edge_per_mm or 0.0,
        "length": s.longest or 0.0,
        "spacing": s.least_spacing or 0.0,
    }
    to_hung = gate.pose(hung.holes, 0.0)
    by_tape = _from_lower_edge(hung.sizes)
    panel = to_hung.apply(by_tape.apply(on_gate))
    fixed = on_jamb * _ON_JAMB
    asked: tuple[Any, ...] = (fixed, panel, hung.load, hung.holes.jamb, hung.turns_deg)
    found = stay.choose(
        *asked,
        count=s.count,
        wish=wish,
        most_pull=limits["pull"],
        most_edge_per_mm=limits["movement"],
        longest=limits["length"],
        least_spacing=limits["spacing"],
    )
    tape = {tuple(p): tuple(q) for p, q in zip(panel.tolist(), on_gate.tolist(), strict=True)}
    pivot_up = gate.place(hung.sizes, hung.holes.gate).above_lower_edge

    def place(choices: stay.Choices, i: int) -> PinPlace | None:
        if i >= len(choices.fixed):
            return None
        inward, above = (choices.fixed[i] * _ON_JAMB).tolist()
        out, up = tape[tuple(choices.panel[i].tolist())]
        figures = (choices.pull, choices.edge_per_mm, choices.longest, choices.spacing, choices.slack)
        return PinPlace(inward, above, up, up - pivot_up, out, *(float(f[i]) for f in figures))

    will_do = len(found.fixed)
    free = None
    if not will_do and found.no_hold < found.tried:
        free = place(stay.choose(*asked, count=s.count, wish=wish), 0)
    ruled_out = [
        ("no hold", found.no_hold, math.nan),
        ("pull", found.too_much, limits["pull"]),
        ("movement", found.too_lively, limits["movement"]),
        ("length", found.too_long, limits["length"]),
        ("spacing", found.too_close, limits["spacing"]),
    ]
    choice = PinChoice(
        wish,
        found.tried,
        will_do,
        place(found, 0),
        place(found, 1),
        free,
        tuple(row for row in ruled_out if row[1]),
        found.explanation,
    )
    return (stay.Pins(found.fixed[0], found.panel[0]) if will_do else None), choice


def place_of(pins: stay.Pins, s: stay.Strap, hung: Hung) -> PinPlace:
    """Return where a pair of pins is by the tape, and what the stay between them does at its worst."""
    on_gate = gate.pose(hung.holes, 0.0).inverse().apply(pins.panel)
    out, up = _from_lower_edge(hung.sizes).inverse().apply(on_gate).tolist()
    inward, above = (np.asarray(pins.fixed) * _ON_JAMB).tolist()
    pivot_up = gate.place(hung.sizes, hung.holes.gate).above_lower_edge
    return PinPlace(
        inward,
        above,
        up,
        up - pivot_up,
        out,
        s.stops[s.worst].pull_each,
        max(stop.edge_per_mm for stop in s.stops),
        max(stop.length for stop in s.stops),
        min(s.spacing, default=math.inf),
        max(s.slack_shut),
    )


def nothing_will_do(choice: PinChoice, resting: Sequence[str]) -> Finding:
    """Return what is to be said where no pair of places will do, with the stops that were to rest on the stay."""
    held = " and ".join(f"'{name}'" for name in resting)
    feel = f"nothing holds the gate at {held}" if resting else "the gate has no stay"
    return Finding(
        "No places for the stay's pins will do",
        ruled_out_words(choice) or choice.explanation,
        feel,
        "allow more of what ruled them out, or give other places for the pins",
        bool(resting),
    )


def ruled_out_words(
    choice: PinChoice,
    pull: Callable[[float], str] = lambda newtons: f"{newtons:.0f} N",
    size: Callable[[float], str] = lambda length: f"{length:.1f} mm",
) -> str:
    """Return what the pairs that will not do were left out for: 'of 96 pairs tried 83 would pull more than 294 N'."""
    what: dict[str, Callable[[float], str]] = {
        "no hold": lambda _: "would go slack at a stop, or come taut on the way to it",
        "pull": lambda limit: f"would pull more than {pull(limit)} on each stay",
        "movement": lambda limit: f"would move the free edge more than {limit:.2f} mm for 1 mm of stay",
        "length": lambda limit: f"would be longer than {size(limit)}",
        "spacing": lambda limit: f"would have hooks nearer to each other than {size(limit)}",
    }
    if len(choice.ruled_out) == 1 and choice.ruled_out[0][1] == choice.tried:
        ((why, count, limit),) = choice.ruled_out
        return f"all {count} pairs tried {what[why](limit)}"
    said = [f"{count} {what[why](limit)}" for why, count, limit in choice.ruled_out]
    return f"of {choice.tried} pairs tried {listed(said, 'and')}" if said else ""


def _on_jamb(s: Stay, step: float) -> np.ndarray:
    """Return the places tried on the jamb: inward and above the worktop, mm."""
    if not s.jamb_place:
        return np.array([(s.jamb_pin_inward, s.jamb_pin_above_worktop)])
    return _distinct(_tried(s.jamb_place, ("inward", "above_worktop"), "jamb_place", step))


def _on_gate(s: Stay, hung: Hung, step: float) -> np.ndarray:
    """Return the places tried on the gate: outward from the inner face and above the lower edge, mm."""
    if not s.gate_place:
        pin = gate.stay_pin(
            hung.sizes, hung.holes, above_pivot=s.gate_pin_above_pivot, from_inner_face=s.gate_pin_from_inner_face
        )
        return _from_lower_edge(hung.sizes).inverse().apply(pin).reshape(1, 2)
    return _distinct(_tried(s.gate_place, ("from_inner_face", "above_lower_edge"), "gate_place", step))


def _tried(
    places: Sequence[JambPlace | GatePlace], ways: tuple[str, str], name: str, step: float
) -> Iterator[np.ndarray]:
    """Yield the places of each hole, rectangle and outline; a grid starts at its nearest and lowest."""
    across, up = ways
    for i, place in enumerate(places):
        x, y = getattr(place, across), getattr(place, up)
        x_to, y_to = getattr(place, f"{across}_to"), getattr(place, f"{up}_to")
        if not place.corner and x_to is None:
            yield np.array([(x, y)])
            continue
        ring = [(getattr(c, across), getattr(c, up)) for c in place.corner] or [
            (x, y),
            (x_to, y),
            (x_to, y_to),
            (x, y_to),
        ]
        try:
            yield stay.grid(Outline(ring), step).reshape(-1, 2)
        except InvalidInput as why:
            key = f"gate.stay.{name}[{i + 1}]"
            raise InvalidInput(f"{key}{'.corner' if place.corner else ''} with place_step {step:g} mm: {why}") from None


def _distinct(several: Iterator[np.ndarray]) -> np.ndarray:
    """Return places in their order, each once: regions may overlap."""
    return np.array(list(dict.fromkeys(tuple(p) for each in several for p in each.tolist()))).reshape(-1, 2)


def _from_lower_edge(sizes: gate.Sizes) -> Pose:
    """Return the pose that carries distances from inner face and lower edge to the section of the gate as drawn."""
    x, y = gate.corners(sizes)[0]
    return Pose(float(x), float(y), -sizes.lean_deg)
