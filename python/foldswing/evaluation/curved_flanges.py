"""Flanges along a curved edge: what their edge must stretch or shrink, and the blank with its cuts."""

from __future__ import annotations

import dataclasses

import numpy as np

from foldswing import arc, curved_flange, metals, ready_section
from foldswing._core import InvalidInput, drafting
from foldswing._core.plane import Path
from foldswing._values import value
from foldswing.drawing import Circle
from foldswing.evaluation import bend_checks
from foldswing.evaluation.bend_checks import BendAsked
from foldswing.evaluation.bending import Bending, how_sure
from foldswing.evaluation.blanks import at_any_angle, basis_of
from foldswing.evaluation.findings import Finding, Verdict, verdict
from foldswing.evaluation.refusals import in_keys
from foldswing.job import CurvedFlange, Job, Material

_ANY = 1e9  # more than any strain: what the edge takes where nothing is known of it
_OFTEN = 0.5  # of the elongation: past it a nick or a burr may start a tear (common practice, no source)
_CURVES = {"bows out": "bulging", "bows in": "hollow"}


@value
class ArcOnBlank:
    """A line of the blank as it is struck with a trammel, or by chord and rise where its centre is out of reach.

    Attributes
    ----------
    radius : float
        mm.
    chord, rise : float
        mm; NaN of a whole circle.
    """

    radius: float
    chord: float
    rise: float


@value
class CurvedFlangeResult:
    """A flange along a curved edge worked out; lengths mm.

    Attributes
    ----------
    name, verdict, explanation : str
        Verdict 'go', 'change this first' or 'cannot'.
    findings : tuple of Finding
        What is wrong.
    metal, basis : str
        The sheet, and where the bend figure comes from.
    thickness, radius : float
        Of the sheet; inside radius of the bend.
    edge : {'bows out', 'bows in'}
        Which way the base's edge curves.
    edge_radius, arc_deg, edge_length : float
        Of the finished edge, over the flange's outside face.
    depth, angle_deg : float
        Of the flange; turned through.
    takes : float or None
        What the edge may be stretched or shrunk by, fraction; None where that is not known.
    takes_from : str
        Where that comes from.
    sources : tuple of str
        Where the figures of the metal were read, where its elongation counts.
    made : curved_flange.CurvedFlange
        The flange on its blank.
    edge_on_blank, bend_on_blank : ArcOnBlank
        The edge to cut, and where the bend starts.
    base_on_blank : ArcOnBlank or None
        The base's own edge; None where the base goes on.
    cut : tuple of Path
        Lines to cut, darts in them; the curve's centre at the origin, the flange centred on +y.
    bend_start : Path
        Where the bend starts.
    slits : tuple of Path
        Slits to saw, from the edge in.
    roots : (n, 2) ndarray
        Where slits or darts end: drilled.
    sheet : (float, float)
        What the pattern takes of a sheet, left to right and up.
    folded : tuple of Path
        Outside and inside face of the section, the base lying at the left.
    bending : Bending or None
        What is known of its bend before it is cut, of the section folded straight.
    """

    name: str
    verdict: Verdict
    explanation: str
    findings: tuple[Finding, ...]
    metal: str
    basis: str
    thickness: float
    radius: float
    edge: str
    edge_radius: float
    arc_deg: float
    edge_length: float
    depth: float
    angle_deg: float
    takes: float | None
    takes_from: str
    sources: tuple[str, ...]
    made: curved_flange.CurvedFlange
    edge_on_blank: ArcOnBlank
    bend_on_blank: ArcOnBlank
    base_on_blank: ArcOnBlank | None
    cut: tuple[Path, ...]
    bend_start: Path
    slits: tuple[Path, ...]
    roots: np.ndarray
    sheet: tuple[float, float]
    folded: tuple[Path, ...]
    bending: Bending | None


def evaluate_curved_flange(wanted: CurvedFlange, job: Job) -> CurvedFlangeResult:
    """Work out the blank of a flange along a curved edge.

    Parameters
    ----------
    wanted : CurvedFlange
        As wanted.
    job : Job
        For its material, and the shop's own metals.

    Returns
    -------
    CurvedFlangeResult

    Raises
    ------
    InvalidInput
        When the flange cannot lie on a blank; the message names the size to change.
    """
    material = job.material_named(wanted.material)
    basis, said = basis_of(material)
    if wanted.bend_angle != 90.0:
        basis = at_any_angle(basis, material)
    curve = _curve(wanted)
    takes, takes_from, sources = _takes(wanted, job, material)
    metal = {"thickness": material.thickness, "radius": material.inside_radius, **basis}
    with in_keys((), leg_a="depth", **_KEYS):
        made = curved_flange.curved_flange(
            _CURVES[wanted.edge],  # type: ignore[arg-type]
            curve.radius,
            wanted.depth,
            strain_limit=_ANY if takes is None else takes,
            arc_deg=curve.angle_deg,
            angle_deg=wanted.bend_angle,
            flat_tolerance=wanted.flats_stand_off,
            **metal,
        )
    with in_keys((), leg_a="base_width", leg_b="depth"):
        section = ready_section.angle(
            wanted.base_width or max(wanted.depth, 3.0 * (material.inside_radius + material.thickness)),
            wanted.depth,
            angle_deg=wanted.bend_angle,
            **metal,
        )
    base = _base(wanted, curve.radius)
    cut, bend_start = _lines(made, curve.angle_deg, base)
    boxes = np.array([drafting.bounds(path) for path in (*cut, bend_start)])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    slits, roots = _cuts(made, curve.angle_deg)
    bending, unsure = how_sure({"bottom": (section.developed_length, section.bend_lines)}, material)
    findings = [*unsure, *_findings(wanted, made, takes, takes_from, curve.length)]
    # A curved line goes into no brake: of its checks the least radius stands.
    bare = dataclasses.replace(material, v_opening=None, least_flange=None, tool_angle=None)
    asked = BendAsked("the bend", wanted.bend_angle, material.inside_radius, wanted.depth, curve.length, None)
    findings += bend_checks.findings(bend_checks.check_bends(bare, job, [asked], corners=False))
    cannot = made.easing == "impossible"
    return CurvedFlangeResult(
        wanted.name,
        "cannot" if cannot else verdict(findings),
        _explained(made, takes, takes_from),
        tuple(findings),
        material.metal,
        said,
        material.thickness,
        material.inside_radius,
        wanted.edge,
        curve.radius,
        curve.angle_deg,
        curve.length,
        wanted.depth,
        wanted.bend_angle,
        takes,
        takes_from,
        sources,
        made,
        _on_blank(made.edge_radius, curve.angle_deg),
        _on_blank(made.bend_radius, curve.angle_deg),
        None if base is None else _on_blank(base, curve.angle_deg),
        cut,
        bend_start,
        slits,
        roots,
        (float(high[0] - low[0]), float(high[1] - low[1])),
        (section.folded.outside, section.folded.inside),
        bending,
    )


_KEYS = {"radius_in_plan": "edge_radius", "flat_tolerance": "flats_stand_off", "strain_limit": "edge_takes"}


def _curve(wanted: CurvedFlange) -> arc.Arc:
    """Return the finished edge by all its measures."""
    if wanted.all_round and wanted.edge_radius is not None:
        whole = Circle((0.0, 0.0), wanted.edge_radius).path.length
        return arc.Arc(0.0, 2.0 * wanted.edge_radius, wanted.edge_radius, whole, 360.0)
    if wanted.rise is not None:
        return arc.solve(chord=wanted.chord, rise=wanted.rise).arcs[0]
    if wanted.chord is not None:
        return arc.solve(chord=wanted.chord, radius=wanted.edge_radius).arcs[0]  # up to a half circle
    return arc.solve(radius=wanted.edge_radius, length=wanted.arc_length).arcs[0]


def _takes(wanted: CurvedFlange, job: Job, material: Material) -> tuple[float | None, str, tuple[str, ...]]:
    """Return what the edge may be stretched or shrunk by, and where that comes from: in short, and as read."""
    if wanted.edge_takes is not None:
        return 0.01 * wanted.edge_takes, "as given", ()
    if wanted.edge == "bows out":
        return None, "no table tells what a metal shrinks before it puckers: that is the maker's hands and tools", ()
    metal = metals.find(material.metal, [own.metal for own in job.metal])
    if metal is None or metal.elongation is None:
        return None, f"no elongation is known of {material.metal}", ()
    return 0.01 * metal.elongation, f"elongation at break of {metal.name}", metal.sources


def _on_blank(radius: float, arc_deg: float) -> ArcOnBlank:
    if arc_deg == 360.0:
        return ArcOnBlank(radius, float("nan"), float("nan"))
    found = arc.solve(radius=radius, angle_deg=arc_deg).arcs[0]
    return ArcOnBlank(radius, found.chord, found.rise)


def _base(wanted: CurvedFlange, edge_radius: float) -> float | None:
    """Return the radius of the base's own edge."""
    if wanted.base_width is None:
        return None
    if wanted.edge == "bows in":
        return edge_radius + wanted.base_width
    if not wanted.base_width < edge_radius:
        raise InvalidInput(
            f"base_width must be under the radius of the edge, {edge_radius:.1f} mm, got {wanted.base_width:g} mm: "
            "leave it out where the base is solid"
        )
    return edge_radius - wanted.base_width


def _lines(made: curved_flange.CurvedFlange, arc_deg: float, base: float | None) -> tuple[tuple[Path, ...], Path]:
    """Return the lines to cut, and the one where the bend starts."""
    ring = made.outline
    if arc_deg == 360.0:
        start = Circle((0.0, 0.0), made.bend_radius).path
        own = () if base is None else (Circle((0.0, 0.0), base).path,)
        return (ring, *own), start
    points, sweeps = ring.points, ring.sweep_deg  # the edge, then the bend's start backwards
    start = Path(points[-2:], [sweeps[-2]])
    if base is None:
        return (Path([points[-1], *points[:-1]], [sweeps[-1], *sweeps[:-2]]),), start
    ends = points[-2:] * (base / made.bend_radius)
    return (Path([*points[:-2], *ends], sweeps, closed=True),), start


def _cuts(made: curved_flange.CurvedFlange, arc_deg: float) -> tuple[tuple[Path, ...], np.ndarray]:
    """Return the slits, and where slits or darts end."""
    share = (np.arange(made.cuts) + 0.5) / max(made.cuts, 1) - 0.5
    angle = np.radians(90.0 + arc_deg * share)
    out = np.column_stack([np.cos(angle), np.sin(angle)])
    roots = made.root_radius * out
    if made.easing != "notches":
        return (), roots
    return tuple(Path([made.edge_radius * way, root], [0.0]) for way, root in zip(out, roots, strict=True)), roots


def _percent(strain: float) -> str:
    return f"{100.0 * abs(strain):.1f} %"


def _must(made: curved_flange.CurvedFlange) -> str:
    return f"the edge must {'stretch' if made.strain > 0.0 else 'shrink'} by {_percent(made.strain)}"


def _explained(made: curved_flange.CurvedFlange, takes: float | None, takes_from: str) -> str:
    if takes is None:
        return f"{_must(made)}; whether it does is not known: {takes_from}"
    return made.explanation


def _findings(
    wanted: CurvedFlange,
    made: curved_flange.CurvedFlange,
    takes: float | None,
    takes_from: str,
    edge_length: float,
) -> list[Finding]:
    stretches = made.strain > 0.0
    torn = "the edge tears, from a nick or a burr first" if stretches else "the edge puckers into waves and folds over"
    must = _must(made)
    if takes is None:
        return [
            Finding(
                f"Nothing says what this edge {'stretches' if stretches else 'shrinks'}",
                f"{must}; {takes_from}",
                f"asked too much, {torn}",
                f"{'stretch' if stretches else 'shrink'} the edge of an offcut, measure it before and after, give what "
                "it took as edge_takes and print again",
                stops_work=False,
            )
        ]
    over = f"{must}, it takes {_percent(takes)}"
    if made.easing == "impossible":
        return [
            Finding(
                "The edge cannot be turned",
                f"{over}; already where the bend ends it would be too much",
                torn,
                "a larger edge_radius, a smaller inside_radius, or a separate piece welded on",
                stops_work=True,
            )
        ]
    if made.cuts:
        what = "slits" if stretches else "darts"
        apart = edge_length / made.cuts
        width = f"{made.cut_width:.1f} mm"
        each = f"open to {width}" if stretches else f"each {width} wide at the edge"
        return [
            Finding(
                f"The edge cannot be turned whole: it needs {what}",
                f"{over}: {made.cuts} {what} {made.cut_depth:.1f} mm deep, {apart:.1f} mm from one to the next, {each}",
                torn,
                f"drill the root of each, then {'saw' if stretches else 'cut'} them; weld up where it must be whole; "
                "a shallow enough flange needs none",
                stops_work=False,
            )
        ]
    if wanted.edge_takes is None and abs(made.strain) > _OFTEN * takes:
        return [
            Finding(
                "The edge is stretched far",
                f"{must}; a test bar of this metal broke at {_percent(takes)}",
                torn,
                "file the edge smooth and round before turning, a little at a time all along; stretch an offcut first",
                stops_work=False,
            )
        ]
    return []
