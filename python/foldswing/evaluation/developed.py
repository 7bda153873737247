"""Developed parts: the patterns to cut, and what they are good for."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np

from foldswing import arc, development
from foldswing._core import drafting
from foldswing._core.plane import Path, Pose
from foldswing._values import value
from foldswing.development import Pattern
from foldswing.evaluation.findings import Finding, Verdict, verdict
from foldswing.evaluation.rolling import roll_findings
from foldswing.job import Developed, Job
from foldswing.job.developed import STRIP

_LINES = 12  # roll lines for a full turn
_STRIP_LINES = 29  # along a strip
_SEEN = 0.5  # mm; what a scriber line and a pair of snips leave
_TWIST = 1.0  # degrees in one line; less is worked in without noticing (common practice, no source)
_SHAPED = 10.0  # degrees; past it the part is a shaped panel and no strip (common practice, no source)
_SWEEP = 1.0  # degrees of an arc between its places: a curve laid through them leaves it by under 1e-8 of its radius
_SAGITTA = 0.05  # mm; a tenth of what a scriber line and a pair of snips leave


@value
class DevelopedPattern:
    """One pattern of a part and how many of it are wanted."""

    name: str
    count: int
    pattern: Pattern


@value
class DevelopedResult:
    """A developed part."""

    name: str
    verdict: Verdict
    explanation: str
    findings: tuple[Finding, ...]
    metal: str
    thickness: float
    kind: str
    sizes_are: str
    patterns: tuple[DevelopedPattern, ...]

    @property
    def piece_names(self) -> tuple[str, ...]:
        """What its patterns are called among the pieces of a whole job."""
        return tuple(f"{self.name}, {each.name}" for each in self.patterns)


def evaluate_developed(wanted: Developed, job: Job) -> DevelopedResult:
    """Work out the patterns of a developed part.

    Parameters
    ----------
    wanted : Developed
        As wanted.
    job : Job
        For its material.

    Returns
    -------
    DevelopedResult
        One pattern for every different piece.

    Raises
    ------
    InvalidInput
        When the part cannot be made; the message says which size to change.
    """
    material = job.material_named(wanted.material)
    shared: dict[str, Any] = {
        "measured": wanted.sizes_are or "outside",
        "sagitta": _SAGITTA,
        "lines": wanted.roll_lines or _LINES,
        "thickness": material.thickness,
    }
    made = _PATTERNS[wanted.kind](wanted, shared)
    find = _strip_findings if wanted.kind == STRIP else _findings
    findings = [f for each in made for f in find(each)]
    findings += roll_findings(wanted, job, material.thickness, max(each.pattern.width for each in made))
    return DevelopedResult(
        wanted.name,
        verdict(findings),
        made[0].pattern.explanation,
        tuple(findings),
        material.metal,
        material.thickness,
        wanted.kind,
        "middle" if wanted.kind == STRIP else shared["measured"],
        made,
    )


def _findings(each: DevelopedPattern) -> list[Finding]:
    pattern = each.pattern
    if pattern.method == "exact":
        return []
    if pattern.method == "stretched":
        return [
            Finding(
                f"The {each.name} is curved both ways",
                f"edges shrink by up to {-100.0 * pattern.edge_strain:.1f} %, {pattern.girth_error:.1f} mm along each",
                "the edges stand wavy until they are shrunk, and the seam does not close",
                "shrink the edges as you go, or take more gores",
                stops_work=False,
            )
        ]
    return [
        Finding(
            f"The {each.name} is made of flat triangles",
            f"up to {pattern.surface_error:.2f} mm off the smooth skin",
            "folds show as facets",
            "ask for more roll lines, or fold at every line",
            stops_work=False,
        )
    ]


def _strip_findings(each: DevelopedPattern) -> list[Finding]:
    pattern = each.pattern
    out = _findings(each) if pattern.surface_error > _SEEN else []
    worst = max(pattern.lines, key=lambda line: abs(line.twist_deg))
    twist = abs(worst.twist_deg)
    if twist > _TWIST:
        out.append(
            Finding(
                "The strip does not lie in single curves: it twists",
                f"up to {twist:.1f}\N{DEGREE SIGN} from one edge to the other, at line {worst.label}",
                "the sheet fights the form, its edges stand wavy or it pops like an oil can",
                "change one edge towards the other's shape, make it of narrower strips, or work the twist in with the "
                "wheel",
                stops_work=twist > _SHAPED,
            )
        )
    return out


def _one(name: str, pattern: Pattern, count: int = 1) -> tuple[DevelopedPattern, ...]:
    return (DevelopedPattern(name, count, pattern),)


def _tilts(wanted: Developed) -> dict[str, Any]:
    return {"top_tilt_deg": wanted.top_tilt or 0.0, "bottom_tilt_deg": wanted.bottom_tilt or 0.0}


def _pipe(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    return _one("pipe", development.cylinder(wanted.diameter, wanted.length, **_tilts(wanted), **shared))


def _elbow(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    assert wanted.pieces is not None
    made = development.elbow(wanted.diameter, wanted.turn, wanted.centre_radius, wanted.pieces, **shared)
    ends = _one("end piece", made.pieces[0], 2)
    return ends if wanted.pieces == 2 else (*ends, *_one("middle piece", made.pieces[1], wanted.pieces - 2))


def _branch(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    thickness = shared["thickness"]
    made = development.branch(
        wanted.main_diameter,
        wanted.diameter,
        main_length=wanted.main_length,
        branch_length=wanted.length,
        angle_deg=wanted.branch_angle or 90.0,
        along=wanted.branch_from_bottom,
        offset=wanted.sideways or 0.0,
        main_thickness=thickness,
        branch_thickness=thickness,
        measured=shared["measured"],
        sagitta=shared["sagitta"],
        lines=shared["lines"],
    )
    return (*_one("branch", made.branch), *_one("main", made.main))


def _cone(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    return _one(
        "cone",
        development.cone(
            wanted.diameter, wanted.height, top_diameter=wanted.top_diameter or 0.0, **_tilts(wanted), **shared
        ),
    )


def _oblique(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    return _one(
        "oblique cone",
        development.oblique_cone(
            wanted.diameter,
            wanted.height,
            (wanted.sideways, 0.0),
            top_diameter=wanted.top_diameter or 0.0,
            **shared,
        ),
    )


def _outline(wanted: Developed, end: str) -> Any:
    diameter = getattr(wanted, f"{end}_diameter")
    if diameter is not None:
        return development.round_outline(diameter)
    length, width, radius = (getattr(wanted, f"{end}_{size}") for size in ("length", "width", "corner_radius"))
    return development.rectangle_outline(length, width, radius or 0.0)


def _transition(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    return _one(
        "transition",
        development.transition(
            _outline(wanted, "bottom"),
            _outline(wanted, "top"),
            wanted.height,
            offset=(wanted.sideways or 0.0, 0.0),
            tilt_deg=wanted.top_tilt or 0.0,
            high_deg=180.0,
            **shared,
        ),
    )


def _gores(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    assert wanted.gores is not None
    lowest = {"whole": -90.0, "crown": 90.0 - 0.5 * (wanted.crown_opening or 0.0)}.get(wanted.covers or "half", 0.0)
    made = development.gore(wanted.diameter, wanted.gores, from_deg=lowest, **shared)
    return _one("gore", made, wanted.gores)


def _edge(wanted: Developed, end: str) -> np.ndarray:
    """Return places along an edge of a strip from its left end: right, back and up, its chord's middle the origin."""
    chord, rise, bows, outs, ups = (
        getattr(wanted, f"{end}_{size}") for size in ("chord", "rise", "bows", "outs", "ups")
    )
    if rise is not None:
        swept = float(arc.angle(chord, rise))
        level = Path([(-0.5 * chord, 0.0), (0.5 * chord, 0.0)], [-swept if bows == "in" else swept])
        points = drafting.split(level, _SWEEP).points
        return np.column_stack([points, np.zeros(len(points))])
    places = len(outs) or len(ups) or 2
    none = np.zeros(places)
    across = np.linspace(-0.5 * chord, 0.5 * chord, places)
    return np.column_stack([across, -np.array(outs) if outs else none, np.array(ups) if ups else none])


def _strip(wanted: Developed, shared: dict[str, Any]) -> tuple[DevelopedPattern, ...]:
    aside = -(wanted.sideways or 0.0) if wanted.sideways_to == "left" else wanted.sideways or 0.0
    top = _edge(wanted, "top") + np.array(
        [aside, (wanted.set_back or 0.0) - (wanted.set_out or 0.0), wanted.height or 0.0]
    )
    made = development.ruled_strip(
        _edge(wanted, "bottom"), top, rulings=(wanted.roll_lines or _STRIP_LINES) + 1, thickness=shared["thickness"]
    )
    return _one("strip", _level(made))


def _level(made: Pattern) -> Pattern:
    """Return a strip's pattern turned so that its ends stand level; it comes with its left seam upright."""
    along = made.lines[-1].ends.mean(axis=0) - made.lines[0].ends.mean(axis=0)
    turn = Pose(0.0, 0.0, -math.degrees(math.atan2(along[1], along[0])))
    return dataclasses.replace(
        made,
        points=turn.apply(made.points),
        holes=tuple(turn.apply(ring) for ring in made.holes),
        lines=tuple(dataclasses.replace(line, ends=turn.apply(line.ends)) for line in made.lines),
    )


_PATTERNS: dict[str, Any] = {
    "pipe": _pipe,
    "elbow": _elbow,
    "branch pipe": _branch,
    "cone": _cone,
    "oblique cone": _oblique,
    "transition": _transition,
    "gored sphere": _gores,
    STRIP: _strip,
}
