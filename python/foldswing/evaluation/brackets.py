"""Where a gate's hole may lie for the metal's sake: in the gate, in what it is fixed to, or in both."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from foldswing import gate, plane
from foldswing._core import InvalidInput
from foldswing._core.plane import Outline
from foldswing._values import value
from foldswing.evaluation.adjusters import slot_ends
from foldswing.evaluation.findings import ROUNDING, Finding
from foldswing.evaluation.gate_section import below_worktop, corners_of, disc, outward_of_wall
from foldswing.evaluation.hardware import hole_diameter
from foldswing.job import Gate
from foldswing.job.gates import Bracket, BracketHole

METAL = 2.0  # mm of metal round the bush below which no hole is drilled (common practice, no source)
FLAT = 0.005  # mm; how far flattened arcs may stand off the true ones, made up for by that much more gap
_REACH = 10.0  # mm; how far round the pin of a bought hinge is looked: it goes where the leaves bring it
_ROUND = 100.0  # mm; how far the sheet from which regions are cut out goes beyond them


@value
class BracketResult:
    """What the hinge's hole must be in.

    Attributes
    ----------
    name, fixed_to : str
        What it is called; 'jamb' or 'gate'.
    outline : Outline
        Its section with the holes that are in it, section axes, the gate shut, mm.
    hole : float
        Diameter of the hole drilled in it, mm.
    metal, least_metal : float
        Metal left round that hole as marked, or round a slot's ends, and wanted; less than zero where it breaks out.
    outside_by : float
        How far the middle of the hole lies outside; 0 where it is inside.
    """

    name: str
    fixed_to: str
    outline: Outline
    hole: float
    metal: float
    least_metal: float
    outside_by: float


class Edge(NamedTuple):
    """A region that the hole's centre may not leave, and what is to be said of its edge."""

    within: tuple[Outline, ...]
    words: str


class Allowed(NamedTuple):
    """Where the centre of the hole may lie: all edges kept, what each means, what to say where it is nowhere."""

    within: tuple[Outline, ...]
    edges: tuple[Edge, ...]
    nowhere: str

    def words(self, point: np.ndarray) -> str:
        """Return what goes wrong beyond the edge on which a point lies."""
        near = [(abs(float(plane.room(e.within, point))), i) for i, e in enumerate(self.edges) if e.within]
        return self.edges[min(near)[1]].words


def bracket_outline(bracket: Bracket, worktop_above_floor: float, *, pin_holes: bool = True) -> Outline:
    """Return the section of what the hole must be in, with its holes, or without those that the pin may go in.

    Raises
    ------
    InvalidInput
        When its corners cross, or a hole does not lie inside it and clear of the others.
    """
    corners = corners_of(bracket.corner, worktop_above_floor)
    try:
        whole = Outline(corners)
    except InvalidInput:
        said = "must go round it in order, each another place, and no side may cross another"
        raise InvalidInput(f"gate.hinge.bracket.corner: the corners of the {bracket.name} {said}") from None
    holes = [_ring(hole, worktop_above_floor) for hole in bracket.hole]
    for i in range(len(holes)):
        try:
            Outline(whole.points, holes=holes[: i + 1])
        except InvalidInput:
            said = "must lie inside its corners, clear of the holes before it; a notch is given by its corners"
            key = f"gate.hinge.bracket.hole[{i + 1}]"
            raise InvalidInput(f"{key}: hole {i + 1} of the {bracket.name} {said}") from None
    kept = [ring for ring, hole in zip(holes, bracket.hole, strict=True) if pin_holes or not hole.takes_pin]
    return Outline(whole.points, holes=kept)


def pin_holes(bracket: Bracket, worktop_above_floor: float) -> np.ndarray:
    """Return the middles of the holes that the pin may go in, section axes, (n, 2)."""
    at = [_middle(hole, worktop_above_floor) for hole in bracket.hole if hole.takes_pin]
    return np.array(at).reshape(-1, 2)


def _middle(hole: BracketHole, worktop_above_floor: float) -> tuple[float, float]:
    return outward_of_wall(hole), -below_worktop(hole, worktop_above_floor)


def _ring(hole: BracketHole, worktop_above_floor: float) -> np.ndarray:
    if hole.corner:
        return np.array(corners_of(hole.corner, worktop_above_floor))
    ring: np.ndarray = disc(_middle(hole, worktop_above_floor), 0.5 * float(hole.diameter or 0.0)).outline(FLAT).points
    return ring


def allowed(wanted: Gate, sizes: gate.Sizes, pin: np.ndarray | None) -> Allowed:
    """Return where the centre of the hole may lie for the metal's sake, the gate shut.

    Parameters
    ----------
    wanted : Gate
        Its hinge.
    sizes : gate.Sizes
        Of its section.
    pin : (2,) ndarray or None
        Where a bought hinge brings its pin.
    """
    h = wanted.hinge
    if h.bought is not None and pin is not None:
        x, y = (float(v) for v in pin)
        low, left, high, right = y - _REACH, x - _REACH, y + _REACH, x + _REACH
        around = (Outline([(left, low), (right, low), (right, high), (left, high)]),)
        edge = Edge(around, "no farther was looked: the hinge brings its pin there")
        return Allowed(around, (edge,), "the bought hinge has nowhere to go")
    own = _in_gate(wanted, sizes)
    if h.bracket is None:
        return Allowed(own.within, (own,), _too_thin(wanted))
    edges = _in_bracket(wanted, h.bracket, sizes)
    inside, name = edges[-1].within, h.bracket.name
    hole = hole_diameter(wanted, h.bracket.fixed_to)
    small = f"the {name} is too small: nowhere in it would {h.bracket.least_metal:g} mm of metal be left round a hole"
    if not inside or h.bracket.fixed_to == "gate":
        return Allowed(inside, edges, f"{small} of {hole:.1f} mm")
    if not own.within:
        return Allowed((), (), _too_thin(wanted))
    apart = f"the {name} and the gate, shut, have no place for one pin in common with metal left round it in both"
    return Allowed(common(own.within, inside), (own, *edges), apart)


def _in_gate(wanted: Gate, sizes: gate.Sizes) -> Edge:
    section = gate.panel(sizes).outline(FLAT)
    if wanted.hinge.ear_radius is not None:
        return Edge((section,), "it would leave the gate's own section")
    shrunk = plane.offset(section, -(0.5 * hole_diameter(wanted, "gate") + METAL))
    return Edge(tuple(shrunk), f"less than {METAL:.0f} mm of metal would be left round it in the gate")


def _too_thin(wanted: Gate) -> str:
    metal = f"{METAL:.0f} mm of metal be left round a hole of {hole_diameter(wanted, 'gate'):.1f} mm"
    return f"the gate is too thin: nowhere would {metal}"


def _in_bracket(wanted: Gate, bracket: Bracket, sizes: gate.Sizes) -> tuple[Edge, ...]:
    """Return the region inside the bracket's corners, and last that which its holes leave of it."""
    outline = bracket_outline(bracket, sizes.worktop_above_floor, pin_holes=False)
    off = 0.5 * hole_diameter(wanted, bracket.fixed_to) + bracket.least_metal
    metal = f", or leave less than {bracket.least_metal:g} mm of metal round it" if bracket.least_metal > 0.0 else ""
    whole = Edge(tuple(plane.offset(Outline(outline.points), -off)), f"it would leave the {bracket.name}{metal}")
    if not outline.holes:
        return (whole,)
    less = f", with less than {bracket.least_metal:g} mm of metal between" if bracket.least_metal > 0.0 else ""
    left = tuple(plane.offset(outline, -off))
    return (whole, Edge(left, f"it would come too near a hole of the {bracket.name}{less}"))


def common(one: Sequence[Outline], other: Sequence[Outline]) -> tuple[Outline, ...]:
    """Return what two regions have in common: what neither leaves uncovered of a sheet beyond both."""
    points = np.concatenate([outline.points for outline in (*one, *other)])
    (left, low), (right, high) = points.min(axis=0) - _ROUND, points.max(axis=0) + _ROUND
    sheet = [(left, low), (right, low), (right, high), (left, high)]
    covered: list[Outline] = []
    for region in (one, other):
        covered += [Outline(sheet, holes=[outline.points for outline in region])]
        covered += [Outline(hole) for outline in region for hole in outline.holes]
    outer, *islands = sorted(plane.unite(covered), key=lambda o: -abs(plane.area(Outline(o.points))))
    out = []
    for hole in outer.holes:
        ring = Outline(hole)
        inside = [island.points for island in islands if plane.locate(ring, island.points[0]) == "inside"]
        out.append(Outline(ring.points, holes=inside))
    return tuple(out)


def evaluate_bracket(
    wanted: Gate, sizes: gate.Sizes, ends: Sequence[gate.Holes]
) -> tuple[BracketResult | None, list[Finding]]:
    """Return what metal the bracket keeps round the hole, at the end where that is least, and what is wrong.

    Parameters
    ----------
    wanted : Gate
        Its hinge.
    sizes : gate.Sizes
        Of its section.
    ends : sequence of gate.Holes
        As marked: of both ends alike, or left and right.
    """
    bracket = wanted.hinge.bracket
    if bracket is None:
        return None, []
    outline = bracket_outline(bracket, sizes.worktop_above_floor)
    size = hole_diameter(wanted, bracket.fixed_to)
    at = [holes.jamb if bracket.fixed_to == "jamb" else holes.gate for holes in ends]
    slot = next((a for a in wanted.adjuster if a.hole == bracket.fixed_to and a.kind == "slotted hole"), None)
    if slot is not None:
        at = [end for point in at for end in slot_ends(slot, point, sizes.lean_deg)]
    metal = bracket_outline(bracket, sizes.worktop_above_floor, pin_holes=False)
    room = min(float(plane.room(metal, point)) for point in at)
    found = BracketResult(
        bracket.name, bracket.fixed_to, outline, size, room - 0.5 * size, bracket.least_metal, max(0.0, -room)
    )
    return found, _too_near(found)


def _too_near(found: BracketResult) -> list[Finding]:
    if found.metal >= found.least_metal - ROUNDING:
        return []
    advice = f"move or enlarge the {found.name}, or change the stops: see where the hole may lie"
    if found.outside_by > 0.0:
        what = f"The hole is not in the {found.name}"
        wanted = f"{found.least_metal:g} mm round it is wanted"
        number = f"its middle is {found.outside_by:.1f} mm outside the metal; {wanted}"
        return [Finding(what, number, "there is nothing to drill there", advice, stops_work=True)]
    left = f"{found.metal:.1f} mm" if found.metal > 0.0 else "none: the hole breaks out"
    return [
        Finding(
            f"Little metal round the hole in the {found.name}",
            f"{left}; {found.least_metal:g} mm is wanted",
            "the hole tears or drops out of line",
            advice,
            stops_work=found.metal <= 0.0,
        )
    ]
