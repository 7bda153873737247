"""What the adjusters of a gate recover at each stop: mm of landing per mm of adjustment, and how far they reach."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple

import numpy as np

from foldswing import adjustment, gate, plane
from foldswing._core.hinge import Landing
from foldswing._core.plane import Outline, Path, Pose
from foldswing._values import value
from foldswing.evaluation.findings import Finding
from foldswing.evaluation.gate_section import asked_at
from foldswing.evaluation.hardware import hole_diameter, little_metal
from foldswing.job import Adjuster, Errors, Gate
from foldswing.job.adjusters import RUNS

LIKELY = 2.0  # standard deviations: all but 1 in 22 first fits miss by less
IDLE = 1e-9  # mm of landing per mm; less is rounding
WORDS = {"face": "inner face", "nose gap": "gap to the nose", "edge": "free edge"}
_TURNED = {"outward": 0.0, "up": 90.0, "inward": 180.0, "down": 270.0}  # degrees from outward, the jamb's
HOLE: dict[str, Literal["body", "panel"]] = {"jamb": "body", "gate": "panel"}  # as the library calls them


@value
class Lands:
    """What an adjuster does to one landing, or to one gap of the shut gate.

    Attributes
    ----------
    stop, what : str
        'shut' or the stop's name; 'inner face', 'gap to the nose', 'free edge', 'gap to the sill', 'gap to the head'.
    per_mm, least, most : float
        mm for 1 mm of adjustment, and from where to where it can be changed, mm; face and edge count up, gaps wider. Of
        an eccentric bush: the most that 1 mm of throw does either way.
    """

    stop: str
    what: str
    per_mm: float
    least: float
    most: float


@value
class AdjusterResult:
    """One adjuster.

    Attributes
    ----------
    name, kind : str
        What it is and where: 'slotted hole in the jamb'; as the job says.
    hole, stop : str or None
        'jamb' or 'gate'; of a pad shim the stop it lies at.
    angle_deg : float
        Which way forward is, counter-clockwise from outward, gate shut; NaN where it has no way.
    forward, backward : float
        How far it goes each way from the mark, or its throw both ways, mm.
    lands : tuple of Lands
        What it does at every stop, in order of opening, shut first.
    """

    name: str
    kind: str
    hole: str | None
    stop: str | None
    angle_deg: float
    forward: float
    backward: float
    lands: tuple[Lands, ...]


@value
class Recovered:
    """What all adjusters together recover of one landing that a stop asks for.

    Attributes
    ----------
    stop, what : str
        As Lands.
    likely : float
        How far it may be out at the first fit either way: all but 1 in 22 are out by less, mm.
    within : float
        How far out is allowed, mm.
    least, most : float
        What all adjusters together can change, mm.
    enough : bool
        Whether that brings what is likely within what is allowed.
    """

    stop: str
    what: str
    likely: float
    within: float
    least: float
    most: float
    enough: bool


@value
class AdjustingResult:
    """The adjusters of a gate, and what they recover together."""

    adjusters: tuple[AdjusterResult, ...]
    recovered: tuple[Recovered, ...]


class Row(NamedTuple):
    """A landing to look at: at which stop, what of it, in words; and whether the stop asks for it."""

    stop: str
    what: str
    landing: Landing
    asked: bool


class Standing(NamedTuple):
    """The gate as it stands: sizes, holes, its section shut, the stops' openings, and what stands round it."""

    sizes: gate.Sizes
    holes: gate.Holes
    shut: Outline
    openings: Mapping[str, float]
    bodies: Mapping[str, Outline]


def direction(adjuster: Adjuster, lean_deg: float) -> float:
    """Return which way an adjuster's forward is, counter-clockwise from outward with the gate shut; NaN for none."""
    lean = lean_deg if adjuster.hole == "gate" else 0.0
    if adjuster.kind == "shim" and adjuster.pushes is not None:
        return _TURNED[adjuster.pushes] - lean
    if adjuster.kind != "slotted hole":
        return math.nan
    if adjuster.runs == "at an angle":
        assert adjuster.angle is not None
        return (adjuster.angle if adjuster.rises == "outward" else 180.0 - adjuster.angle) - lean
    return _TURNED["up" if adjuster.runs == "up and down" else "outward"] - lean


def travel(adjuster: Adjuster) -> tuple[float, float]:
    """Return how far an adjuster goes forward and backward from the mark, mm."""
    if adjuster.kind == "slotted hole":
        level = adjuster.runs == "outward and inward"
        there, back = (adjuster.outward, adjuster.inward) if level else (adjuster.up, adjuster.down)
        return there or 0.0, back or 0.0
    if adjuster.kind == "eccentric bush":
        return adjuster.throw or 0.0, adjuster.throw or 0.0
    return adjuster.thickness or 0.0, 0.0


def slot_ends(adjuster: Adjuster, at: np.ndarray, lean_deg: float) -> list[np.ndarray]:
    """Return where the middle of a slotted hole's ends is, its mark at a point."""
    slide = Pose(0.0, 0.0, direction(adjuster, lean_deg))
    forward, backward = travel(adjuster)
    return [at + slide.apply((by, 0.0)) for by in (forward, -backward)]


def reach(adjuster: Adjuster, landing: Landing, lean_deg: float) -> adjustment.Reach:
    """Return what an adjuster of a hole does to a landing."""
    assert adjuster.hole is not None
    hole = HOLE[adjuster.hole]
    forward, backward = travel(adjuster)
    if adjuster.kind == "eccentric bush":
        return adjustment.eccentric(landing, hole, forward)
    way = Pose(0.0, 0.0, direction(adjuster, lean_deg)).apply((1.0, 0.0))
    return adjustment.slot(landing, hole, way, forward=forward, backward=backward)


def slot_outline(done: AdjusterResult, width: float, at: Any) -> Path:
    """Return the outline of a slotted hole whose mark is at a point: as wide as what goes through it."""
    r = 0.5 * width
    ring = [(-done.backward, -r), (done.forward, -r), (done.forward, r), (-done.backward, r)]
    x, y = (float(v) for v in at)
    slot: Path = Path(ring, [0.0, 180.0, 0.0, 180.0], closed=True).moved(Pose(x, y, done.angle_deg))
    return slot


def hole_in(wanted: Gate, hole: str, show: Callable[[float], str], *, whole: bool = True) -> str:
    """Return what is drilled in the jamb or the gate, in words: '12.0 mm for the bush'; whole, how far a slot goes."""
    a = next((a for a in wanted.adjuster if a.hole == hole and a.kind in {"slotted hole", "eccentric bush"}), None)
    goes_in = "bush" if hole == "gate" and wanted.hinge.bush_diameter is not None else "pin"
    wide = show(hole_diameter(wanted, hole))
    if a is None:
        return f"{wide} for the {goes_in}"
    if a.kind == "eccentric bush":
        return f"{wide} for the eccentric bush"
    if not whole:
        return f"{goes_in} slot, {wide} wide"
    ways = ", ".join(f"{show(far)} {way}" for way in RUNS[a.runs or ""] if (far := getattr(a, way)))
    slant = f"; {a.angle:.4g}\N{DEGREE SIGN} from level, rising {a.rises}" if a.runs == "at an angle" else ""
    return f"slot {wide} wide for the {goes_in}; {ways} of the mark{slant}"


def evaluate_adjusters(wanted: Gate, errors: Errors, at: Standing) -> tuple[AdjustingResult | None, list[Finding]]:
    """Work out what a gate's adjusters recover.

    Parameters
    ----------
    wanted : Gate
        Its adjusters and stops.
    errors : Errors
        How far this shop is usually out.
    at : Standing
        The gate as it stands, its stops in order of opening.

    Returns
    -------
    AdjustingResult or None
        None where it has no adjusters.
    list of Finding
        Adjusters that do nothing at a stop, landings whose likely misses none reaches, little metal beside a slot.
    """
    if not wanted.adjuster:
        return None, []
    rows = list(_rows(wanted, at))
    pads, findings = _pads(wanted, at, rows)
    made = []
    for i, a in enumerate(wanted.adjuster):
        forward, backward = travel(a)
        if a.kind == "pad shim":
            lands = pads.get(i, ())
            name = f"shim under the pad at '{a.stop}'"
        else:
            found = [(row, reach(a, row.landing, at.sizes.lean_deg)) for row in rows if row.asked or row.stop == "shut"]
            lands = tuple(Lands(row.stop, row.what, r.per_mm, r.least + 0.0, r.most + 0.0) for row, r in found)
            name = f"{a.kind} {'behind' if a.kind == 'shim' else 'in'} the {a.hole}{_plate(a)}"
        angle = direction(a, at.sizes.lean_deg)
        made.append(AdjusterResult(name, a.kind, a.hole, a.stop, angle, forward, backward, lands))
    recovered = tuple(_recovered(row, made, wanted, errors) for row in rows if row.asked)
    findings += [*_idle(made, rows), *_short(recovered, made), *_metal(wanted, at)]
    return AdjustingResult(tuple(made), recovered), findings


def _plate(a: Adjuster) -> str:
    return "'s plate" if a.kind == "shim" else ""


def _rows(wanted: Gate, at: Standing) -> Iterator[Row]:
    """Yield the gaps of the shut gate, then what each stop asks, in order of opening; the free edge always."""
    lower_inner, lower_outer, _, upper_inner = gate.corners(at.sizes)
    yield Row("shut", "gap to the nose", Landing(0, lower_inner, (1, 0), 0.0), False)
    yield Row("shut", "gap to the sill", Landing(0, lower_outer, (0, 1), 0.0), False)
    yield Row("shut", "gap to the head", Landing(0, upper_inner, (0, -1), 0.0), False)
    stops = {stop.name: stop for stop in wanted.stop}
    for name, opening in at.openings.items():
        stop = stops[name]
        # Where a height alone says how far the gate opens, its edge is brought there by the turn, not by the holes.
        asks = [ask for ask in asked_at(stop, at.sizes, opening) if ask.what != "edge" or stop.has_angle]
        yield from (Row(name, WORDS[ask.what], ask.landing, True) for ask in asks)
        if all(ask.what != "edge" for ask in asks):
            drop = gate.opened(at.sizes, at.holes, opening).edge_drop
            yield Row(name, WORDS["edge"], gate.edge_landing(at.sizes, opening, drop), False)


def _pads(wanted: Gate, at: Standing, rows: Sequence[Row]) -> tuple[dict[int, tuple[Lands, ...]], list[Finding]]:
    """Return what each shim under a pad does at its stop, by its place among the adjusters."""
    out: dict[int, tuple[Lands, ...]] = {}
    findings = []
    for i, a in enumerate(wanted.adjuster):
        opening = at.openings.get(a.stop or "")
        if a.kind != "pad shim" or opening is None:
            continue
        body = next(stop.rests_on for stop in wanted.stop if stop.name == a.stop) or ""
        turned = Pose.about(at.holes.jamb, -opening)
        near = plane.distance(at.shut.moved(turned), at.bodies[body]) if body in at.bodies else None
        if near is None or near.distance <= 0.0:
            number = "they touch" if near is not None else f"the {body} is not in this section"
            findings.append(_no_pad(str(a.stop), body, number))
            continue
        # The pad fills the gap between the nearest points; its panel point is given as the gate is drawn.
        drawn = gate.pose(at.holes, 0.0).inverse().apply(turned.inverse().apply(near.point_a))
        lands = []
        for row in rows:
            if row.stop != a.stop:
                continue
            shim = adjustment.pad_shim(
                row.landing,
                panel=at.holes.gate,
                body=at.holes.jamb,
                pad=drawn,
                normal=near.point_a - near.point_b,
                thickness=a.thickness,
            )
            if shim.reached:
                lands.append(Lands(row.stop, row.what, shim.per_mm, min(0.0, shim.shift), max(0.0, shim.shift)))
        out[i] = tuple(lands)
        if not lands:
            findings.append(_no_pad(str(a.stop), body, f"{a.thickness:.1f} mm there lifts it past its highest place"))
    return out, findings


def _no_pad(stop: str, body: str, number: str) -> Finding:
    return Finding(
        f"A shim under the pad at '{stop}' cannot be worked out",
        number,
        "nothing is set by it",
        f"leave room for a pad between gate and {body} there, and a thinner shim",
        False,
    )


def _recovered(row: Row, made: Sequence[AdjusterResult], wanted: Gate, errors: Errors) -> Recovered:
    of = [one for a in made for one in a.lands if (one.stop, one.what) == (row.stop, row.what)]
    least, most = sum(one.least for one in of), sum(one.most for one in of)
    likely = LIKELY * _deviation(row, wanted, errors)
    within = float(row.landing.tolerance)
    needed = max(0.0, likely - within)
    kind = row.landing.kind
    enough = (kind == "at_most" or most >= needed) and (kind == "at_least" or -least >= needed)
    return Recovered(row.stop, row.what, likely, within, least, most, enough)


def _deviation(row: Row, wanted: Gate, errors: Errors) -> float:
    """Return how far a landing is usually out: what each hole's error does there, and what the nose's own does."""
    each: list[Literal["together", "body", "panel"]] = ["body", "panel"]
    if wanted.hinge.drilled == "together":
        each = ["together"]
    parts = [errors.hole * adjustment.eccentric(row.landing, hole, 0.0).per_mm for hole in each]
    if row.what == WORDS["nose gap"]:
        parts.append(errors.measured)
    return math.hypot(*parts)


def _idle(made: Sequence[AdjusterResult], rows: Sequence[Row]) -> Iterator[Finding]:
    """Yield adjusters that change nothing that a stop asks for."""
    for stop in dict.fromkeys(row.stop for row in rows if row.asked):
        asks = {row.what for row in rows if row.asked and row.stop == stop}
        for a in made:
            mine = [one for one in a.lands if one.stop == stop and one.what in asks]
            if mine and all(abs(one.per_mm) < IDLE for one in mine):
                yield Finding(
                    f"The {a.name} does nothing at '{stop}'",
                    f"0.00 mm for 1 mm, on the {' and the '.join(sorted(asks))}",
                    "it can be set as you like and the landing stays as wrong as it was",
                    "let it run the other way, or put it in the other hole",
                    False,
                )


def _short(recovered: Sequence[Recovered], made: Sequence[AdjusterResult]) -> Iterator[Finding]:
    """Yield landings that the adjusters do not bring within what is allowed."""
    for r in recovered:
        if r.enough:
            continue
        idle = max(-r.least, r.most) < IDLE
        one_way = min(-r.least, r.most) < IDLE and not idle
        up, down = ("wider", "narrower") if "gap" in r.what else ("up", "down")
        can = "nothing reaches it" if idle else f"{-r.least:.2f} mm {down}, {r.most:.2f} mm {up}"
        cure = "a longer slot, more throw or shims, or a second adjuster that runs the other way"
        if idle:
            cure = "a second adjuster that runs the other way, or an eccentric bush"
        elif one_way:
            cure = "drill so that it comes out on the side that can be cured, or an adjuster that goes both ways"
        name = made[0].name if len(made) == 1 else "adjusters"
        yield Finding(
            f"The {name} may not bring the {r.what} right at '{r.stop}'",
            f"up to {r.likely:.2f} mm out is likely, {r.within:.2f} mm allowed; {can}",
            "what is left over shows as a step or an uneven gap, and a hole must be drilled anew",
            cure,
            False,
        )


def _metal(wanted: Gate, at: Standing) -> list[Finding]:
    """Return where the ends of a slot leave little metal in the gate; round holes are looked at with the hinge."""
    h = wanted.hinge
    if h.bracket is not None and h.bracket.fixed_to == "gate":
        return []  # the hole is in the bracket, not in the gate
    for a in wanted.adjuster:
        if a.hole != "gate" or a.kind != "slotted hole" or h.bought is not None:
            continue
        ends = slot_ends(a, at.holes.gate, at.sizes.lean_deg)
        places = [gate.place(at.sizes, end) for end in ends]
        off = [float(np.hypot(*(end - at.holes.gate))) for end in ends]
        left = tuple(
            (
                face.replace("_", " ").removeprefix("from ").removeprefix("above "),
                min(max(getattr(p, face), (h.ear_radius or 0.0) - o) for p, o in zip(places, off, strict=True))
                - 0.5 * hole_diameter(wanted, "gate"),
            )
            for face in ("from_inner_face", "from_outer_face", "above_lower_edge")
        )
        return little_metal(left, h.pin_diameter, "slot")
    return []
