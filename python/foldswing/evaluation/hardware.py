"""Pins, bushes, ears, bought hinges and the end-gap stack of a gate: what fits, what is left round the holes."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foldswing import gate, plane
from foldswing._core.plane import Outline
from foldswing._values import value
from foldswing.evaluation.findings import SAGITTA, Finding
from foldswing.evaluation.gate_section import disc
from foldswing.job import Gate
from foldswing.job.gates import PIN_GOES_IN

_STACK_WITHIN = 0.5  # mm; a gate that floats this much between its jambs does not rattle (common practice, no source)


@value
class Hardware:
    """What holds a gate at its ends; lengths mm.

    Attributes
    ----------
    metal : tuple of (face, distance)
        Metal between the gate's hole and each face of the gate, or the edge of its ear where that is farther.
    stack : tuple of (name, thickness)
        What fills one end gap, from gate to jamb.
    stack_total, end_gap : float
        Sum of the stack, and the end gap it must fill.
    pin : str
        The pin in words: diameter, material, how it goes in.
    """

    metal: tuple[tuple[str, float], ...]
    stack: tuple[tuple[str, float], ...]
    stack_total: float
    end_gap: float
    pin: str


def with_ear(panel: plane.Path, centre: np.ndarray, radius: float | None) -> plane.Path:
    """Return a section with an ear of this radius round its hole; without one where the radius is None."""
    return panel if radius is None else plane.with_disc(panel, centre, radius)


def eared_section(wanted: Gate, sizes: gate.Sizes, holes: gate.Holes) -> plane.Path:
    """Return the section of a gate at its ends: as drawn, with its ear where it has one."""
    return with_ear(gate.panel(sizes), holes.gate, wanted.hinge.ear_radius)


def bought_pivot(wanted: Gate, sizes: gate.Sizes) -> np.ndarray | None:
    """Return where the pin of a bought hinge is with the gate shut, section axes; None where none is given."""
    b = wanted.hinge.bought
    if b is None:
        return None
    off = b.pin_to_face if b.pin_lies == "in the gate" else -b.pin_to_face
    from_inner = off if b.screwed_to == "inner face" else sizes.thickness - off
    above = b.pin_to_edge if b.pin_is == "above it" else -b.pin_to_edge
    on_gate = gate.Marks(
        gate_from_inner_face=from_inner, gate_above_lower_edge=above, jamb_below_worktop=0.0, jamb_inward=0.0
    )
    return gate.holes(sizes, on_gate).gate


def hole_diameter(wanted: Gate, part: str) -> float:
    """Return the diameter of the hole in the gate, which takes the bush, or in the jamb; round an eccentric bush."""
    h = wanted.hinge
    eccentric = next((a for a in wanted.adjuster if a.hole == part and a.kind == "eccentric bush"), None)
    if eccentric is not None and eccentric.diameter is not None:
        return eccentric.diameter
    return (h.bush_diameter or h.pin_diameter) if part == "gate" else h.pin_diameter


def _metal(wanted: Gate, place: gate.Place) -> tuple[tuple[str, float], ...]:
    if wanted.hinge.bracket is not None and wanted.hinge.bracket.fixed_to == "gate":
        return ()  # the hole is in the bracket, not in the gate
    hole = 0.5 * hole_diameter(wanted, "gate")
    ear = wanted.hinge.ear_radius or 0.0
    sides = {
        "inner face": place.from_inner_face,
        "outer face": place.from_outer_face,
        "lower edge": place.above_lower_edge,
    }
    return tuple((name, max(distance, ear) - hole) for name, distance in sides.items())


def evaluate_hardware(
    wanted: Gate, place: gate.Place, pivot: np.ndarray, end_gap: float, bodies: Mapping[str, Outline]
) -> tuple[Hardware, list[Finding]]:
    """Work out what holds a gate at its ends.

    Parameters
    ----------
    wanted : Gate
        Its hinge and end stack.
    place : gate.Place
        Of the gate's hole.
    pivot : (2,) ndarray
        The axis, section axes, mm.
    end_gap : float
        Gap at each end as the gate hangs, mm.
    bodies : mapping of name to Outline
        What stands round the gate: the barrel of a bought hinge must clear it.

    Returns
    -------
    Hardware
        As worked out.
    list of Finding
        What is wrong.
    """
    h = wanted.hinge
    metal = _metal(wanted, place)
    findings = [] if h.bought else little_metal(metal, h.pin_diameter)
    stack = tuple((layer.name, layer.thickness) for layer in wanted.end_stack)
    total = sum(thickness for _, thickness in stack)
    findings += _stack_misses(total, end_gap) if stack else []
    if h.bought is not None:
        findings += _barrel(wanted, pivot, bodies)
    words = f"{h.pin_diameter:.1f} mm{', ' + h.pin_material if h.pin_material else ''}."
    if h.pin_goes_in is not None:
        words += f" {PIN_GOES_IN[h.pin_goes_in]}"
    elif h.bought is None:
        findings.append(
            Finding(
                "How the pin goes in is not said",
                "both jambs are fixed and the gate fills the opening",
                "the gate cannot be threaded onto its pins once the jambs stand",
                f"say it in the job file: pin_goes_in = {', '.join(repr(w) for w in PIN_GOES_IN)}",
                stops_work=False,
            )
        )
    return Hardware(metal, stack, total, end_gap, words), findings


def little_metal(metal: tuple[tuple[str, float], ...], pin: float, hole: str = "hole") -> list[Finding]:
    """Return where less metal than one pin diameter is left round the hole (common practice, no source)."""
    return [
        Finding(
            f"Little metal between {hole} and {name}",
            f"{f'{left:.1f} mm' if left > 0.0 else f'none: the {hole} breaks out'}; one pin diameter is usual",
            "the hole tears or drops out of line",
            "a smaller bush, an ear or a plate round it, or another pivot",
            left <= 0.0,
        )
        for name, left in metal
        if left < pin
    ]


def _stack_misses(total: float, end_gap: float) -> list[Finding]:
    over = total - end_gap
    if abs(over) <= _STACK_WITHIN:
        return []
    feel = "it binds between the jambs" if over > 0.0 else "it slides and rattles from side to side"
    cure = "thinner washers or a narrower gate" if over > 0.0 else "another washer"
    number = f"{total:.1f} mm of parts in a gap of {end_gap:.1f} mm"
    return [Finding("What fills the end gap does not add up", number, feel, cure, stops_work=over > 0.0)]


def _barrel(wanted: Gate, pivot: np.ndarray, bodies: Mapping[str, Outline]) -> list[Finding]:
    """Return what the barrel of a bought hinge stands in; it turns on the spot, so that it is tried once."""
    b = wanted.hinge.bought
    assert b is not None
    barrel = disc(pivot, 0.5 * b.barrel_diameter).outline(SAGITTA)
    out = []
    for name, body in bodies.items():
        room = plane.distance(barrel, body)
        if room.depth > 0.0:
            number = f"by {room.depth:.1f} mm: barrel {b.barrel_diameter:.1f} mm"
            cure = "a hinge with a thinner barrel, a recess for it, or the pin farther off"
            out.append(
                Finding(
                    f"The hinge's barrel stands in the {name}", number, "it cannot be fitted", cure, stops_work=True
                )
            )
    if not b.let_in and wanted.gaps.sill is not None and wanted.gaps.sill < b.leaf_thickness:
        number = f"leaf {b.leaf_thickness:.1f} mm, gap {wanted.gaps.sill:.1f} mm"
        cure = "let the leaf in, or a wider gap there"
        out.append(
            Finding("The hinge's leaf is thicker than the gap at the sill", number, "it binds", cure, stops_work=False)
        )
    return out
