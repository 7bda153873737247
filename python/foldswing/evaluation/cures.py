"""What would cure a gate that passes too close: rounder corners, the pivot moved, a wider gap; each with its price."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from foldswing import cure, gate, hinge
from foldswing._core.plane import Outline
from foldswing._values import value
from foldswing.evaluation.findings import ROUNDING, Approach, Wants
from foldswing.evaluation.gate_section import beyond

FARTHEST_PIVOT = 8.0  # mm; a pivot that must go farther is another design
WIDEST = 10.0  # mm; a gap that must grow by more is another design
WAYS = {"outward": (1.0, 0.0), "inward": (-1.0, 0.0), "up": (0.0, 1.0), "down": (0.0, -1.0)}
AWAY = {"worktop nose": "inward", "sill": "down", "head": "up"}  # where each may be cut back


@value
class Cure:
    """One way out: what to change, how much, what it costs."""

    what: str
    how: str
    price: str


class Swung(NamedTuple):
    """A gate as it hangs and swings: sizes, holes, section as it hangs shut, turn to the last stop, faces that land."""

    sizes: gate.Sizes
    holes: gate.Holes
    shut: Outline
    opening_deg: float
    faces: Sequence[hinge.Landing]


def too_close(row: Approach) -> bool:
    """Tell whether an approach needs a cure: it fouls, is closer than wanted, or errors may close it."""
    made = row.likely
    return (
        row.depth > 0.0
        or row.bare < row.wanted - ROUNDING
        or (made is not None and min(made.kept, row.painted - 2.0 * made.deviation) <= 0.0)
    )


def smallest_radii(swung: Swung, bodies: Mapping[str, Outline], wants: Wants) -> cure.Radii:
    """Return the smallest lower corner radii that leave every moving gap wanted."""
    around = [(body, wants.gap[name]) for name, body in bodies.items()]
    return cure.smallest_radii(swung.sizes, swung.holes, swung.opening_deg, around)


def evaluate_cures(
    swung: Swung, bodies: Mapping[str, Outline], wants: Wants, radii: cure.Radii, close: Iterable[Approach]
) -> tuple[Cure, ...]:
    """Return what would cure the approaches that are too close; nothing where none is.

    Parameters
    ----------
    swung : Swung
        The gate.
    bodies : mapping of name to Outline
        What it passes.
    wants : Wants
        The gap wanted to each.
    radii : cure.Radii
        As smallest_radii.
    close : iterable of Approach
        Those that are too close.
    """
    names = list(dict.fromkeys(row.body for row in close))
    if not names:
        return ()
    out = [*_rounded(swung, radii), *_pivot(swung, bodies, wants)]
    for name in names:
        out += _wider(swung, name, bodies[name], wants)
    return tuple(out)


def _rounded(swung: Swung, radii: cure.Radii) -> list[Cure]:
    now = swung.sizes.lower_inner_radius, swung.sizes.lower_outer_radius
    if not radii.fits or (radii.inner <= now[0] + ROUNDING and radii.outer <= now[1] + ROUNDING):
        return []  # not to be had by rounding, or round enough already
    inner, outer = max(radii.inner, now[0]), max(radii.outer, now[1])
    if inner + outer > swung.sizes.thickness:
        return []
    how = f"lower inner corner R {_up(inner)} mm, lower outer corner R {_up(outer)} mm"
    flat = swung.sizes.thickness - inner - outer
    return [Cure("Round the lower corners more", how, f"leaves {flat:.1f} mm of flat on the lower edge")]


def _up(radius: float) -> str:
    """Return a radius to a tenth, never less than it is."""
    return f"{math.ceil(10.0 * radius - 1e-6) / 10.0:.1f}"  # less than what a tenth can be cut to


def _pivot(swung: Swung, bodies: Mapping[str, Outline], wants: Wants) -> list[Cure]:
    """Return the shortest move of the pivot that helps, and the step it costs where the face must land."""
    around = [(body, wants.gap[name]) for name, body in bodies.items()]
    found = []
    for word, way in WAYS.items():
        far = cure.pivot_move(
            swung.shut,
            around,
            pivot=swung.holes.jamb,
            turn_to_deg=-swung.opening_deg,
            way=way,
            most=FARTHEST_PIVOT,
        )
        if math.isfinite(far) and far > 0.0:
            moved = gate.Holes(gate=swung.holes.gate + far * np.array(way), jamb=swung.holes.jamb + far * np.array(way))
            step = max((abs(beyond(face.kind, gate.miss(face, moved))) for face in swung.faces), default=0.0)
            found.append((far, word, step))
    if not found:
        return []
    far, word, step = min(found)
    price = f"a step of {step:.1f} mm where the face must land" if step > ROUNDING else "no step at the stops"
    return [Cure("Move the pivot", f"{far:.1f} mm {word}, both holes alike", price)]


def _wider(swung: Swung, name: str, body: Outline, wants: Wants) -> list[Cure]:
    """Return how far the body must be cut back or moved."""
    ways = [AWAY[name]] if name in AWAY else list(WAYS)
    found = []
    for word in ways:
        far = cure.body_move(
            swung.shut,
            body,
            wants.gap[name],
            pivot=swung.holes.jamb,
            turn_to_deg=-swung.opening_deg,
            way=WAYS[word],
            most=WIDEST,
        )
        if math.isfinite(far) and far > 0.0:
            found.append((far, word))
    if not found:
        return []
    far, word = min(found)
    price = f"the gap there grows by {far:.1f} mm, shut and landed" if name in AWAY else "the body is moved"
    return [Cure(f"A wider gap to the {name}", f"{name} {far:.1f} mm {word}", price)]


def in_words(cures: Sequence[Cure], otherwise: str) -> str:
    """Return cures as the advice of a finding."""
    if not cures:
        return otherwise
    return "; or ".join(f"{c.what[0].lower()}{c.what[1:]}: {c.how} ({c.price})" for c in cures)
