"""A crowned skin: its radii, the lengths of its layers, the rises to mark on a gauge."""

from __future__ import annotations

from typing import Literal

import numpy as np

from foldswing import arc, crowned_edge
from foldswing._values import value
from foldswing.evaluation.findings import Finding, Verdict, verdict
from foldswing.job import Crown, CrownHinge, Job

UNSURE = 0.05  # of the radius; beyond it a gauge cut to the radius alone is a guess (common practice, no source)


@value
class LayerResult:
    """One layer of the build-up: radii of its faces and arc length of its middle, over the chord less the inset; mm."""

    name: str
    outer_radius: float
    inner_radius: float
    middle_length: float


@value
class WayResult:
    """The crown in one direction; lengths mm.

    Attributes
    ----------
    way : {'across', 'along'}
        Which direction.
    chord, rise, radius, length : float
        As measured, and the outer face's radius and arc length.
    smallest_radius, largest_radius : float
        Within the reading error of the rise; the largest is infinite where the rise may be nothing.
    layers : tuple of LayerResult
        From the outer face in; the layers below the first stay back from the edge by the inset.
    rises : arc.RiseTable
        To mark on a gauge.
    """

    way: Literal["across", "along"]
    chord: float
    rise: float
    radius: float
    length: float
    smallest_radius: float
    largest_radius: float
    layers: tuple[LayerResult, ...]
    rises: arc.RiseTable


@value
class AxisChoice:
    """A straight axis under or over a crowned edge: where it lies, what it does; `chosen`: the job says so."""

    at: str
    swing: crowned_edge.Swing
    chosen: bool


@value
class HingedEdge:
    """The hinged edge of a crowned panel, which no straight axis follows; lengths mm.

    Attributes
    ----------
    edge : str
        'front', 'rear', 'left' or 'right'.
    chord, rise, opening_deg, from_middle : float
        Of the edge; how far it opens, degrees; how far the hinges sit from its middle.
    room_behind : float or None
        What may go back behind the edge.
    axes : tuple of AxisChoice
        At corner height, at skin height where the hinges are, at crown height.
    explanation : str
        What it comes to.
    ways_out : tuple of str
        What can be done.
    """

    edge: str
    chord: float
    rise: float
    opening_deg: float
    from_middle: float
    room_behind: float | None
    axes: tuple[AxisChoice, ...]
    explanation: str
    ways_out: tuple[str, ...]


@value
class CrownResult:
    """A crowned skin worked out: verdict, its ways, its hinged edge where it has one that is crowned, what is wrong."""

    name: str
    verdict: Verdict
    ways: tuple[WayResult, ...]
    hinge: HingedEdge | None
    findings: tuple[Finding, ...]


def _way(crown: Crown, way: Literal["across", "along"], chord: float, rise: float) -> WayResult:
    read = arc.radius_from_readings(chord, rise, rise_error=crown.reading_error)
    stations = np.arange(0.0, 0.5 * chord, crown.station_every)
    thicknesses = [layer.thickness for layer in crown.layer]
    whole = arc.layers(read.radius, thicknesses, angle_deg=arc.angle(chord, rise))
    inner = whole
    if crown.inset > 0.0:
        left = arc.solve(radius=read.radius, length=arc.length(chord, rise) - 2.0 * crown.inset).arcs[0]
        inner = arc.layers(read.radius, thicknesses, angle_deg=left.angle_deg)
    layers = tuple(
        LayerResult(
            layer.name,
            float(whole.outer_radius[i]),
            float(whole.inner_radius[i]),
            float((whole if i == 0 else inner).middle_length[i]),
        )
        for i, layer in enumerate(crown.layer)
    )
    return WayResult(
        way,
        chord,
        rise,
        float(read.radius),
        float(arc.length(chord, rise)),
        float(read.smallest),
        float(read.largest),
        layers,
        arc.rise_table(chord, rise, stations),
    )


_HEIGHTS: tuple[tuple[str, Literal["corner", "skin", "crown"]], ...] = (
    ("corner height", "corner"),
    ("skin height", "skin"),
    ("crown height", "crown"),
)


def _hinged_edge(crown: Crown, hinge: CrownHinge) -> tuple[HingedEdge | None, list[Finding]]:
    """Return the hinged edge and what is wrong with it; none where the edge is straight."""
    across = hinge.way == "across"
    chord, rise = (crown.chord_across, crown.rise_across) if across else (crown.chord_along, crown.rise_along)
    if chord is None or rise is None:
        return None, []
    axes = tuple(
        AxisChoice(
            at,
            crowned_edge.swing(chord, rise, axis=height, from_middle=hinge.hinges_from_middle, opening_deg=hinge.opens),
            at == hinge.axis_at,
        )
        for at, height in _HEIGHTS
    )
    corner, skin, top = (a.swing for a in axes)
    proud = top.pins_above_skin
    said = (
        f"No straight axis follows the {hinge.edge} edge: its middle stands {rise:.1f} mm above its corners. Opened "
        f"{hinge.opens:g}\N{DEGREE SIGN}, the middle goes back {corner.most_back:.1f} mm into the body with the axis "
        f"at corner height and {skin.most_back:.1f} mm with it at skin height where the hinges sit; at crown height "
        f"nothing goes back, but the pins stand {proud:.1f} mm above the skin"
    )
    ways = (
        f"short hinges on one straight axis at skin height, with {skin.most_back:.1f} mm of relief and the running gap "
        "behind the middle of the edge",
        "gooseneck arms that carry the axis elsewhere: sweep them with the whole edge before anything is cut",
        f"a straight edge: a flat or a filler piece at the hinge line, {rise:.1f} mm deep at its middle",
        f"the axis at crown height with its pins {proud:.1f} mm proud of the skin, in plain sight; the corners come "
        f"forward {top.corners_forward:.1f} mm and their gap opens",
    )
    edge = HingedEdge(
        hinge.edge, chord, rise, hinge.opens, hinge.hinges_from_middle, hinge.room_behind, axes, said, ways
    )
    return edge, _edge_findings(edge)


def _edge_findings(edge: HingedEdge) -> list[Finding]:
    """Return what stops the work: no axis decided, or less room behind the edge than goes back; and pins proud."""
    room = edge.room_behind or 0.0
    corner, skin, _ = edge.axes
    # With no height chosen the lower two are allowed for: where there is room for both, either will do.
    chosen = next((a for a in edge.axes if a.chosen), None)
    if chosen is None and corner.swing.most_back <= room:
        return []
    what = f"No straight axis follows the {edge.edge} edge"
    cure = "; or ".join(edge.ways_out)
    if chosen is None:
        number = (
            f"its middle goes back {corner.swing.most_back:.1f} mm with the axis at corner height, "
            f"{skin.swing.most_back:.1f} mm at skin height"
        )
        return [Finding(what, number, "it binds on the body as it opens", f"decide on one: {cure}", stops_work=True)]
    back, proud = chosen.swing.most_back, chosen.swing.pins_above_skin
    out = []
    if back > room:
        number = f"its middle goes back {back:.1f} mm with the axis at {chosen.at}; {room:.1f} mm of room there is"
        out.append(Finding(what, number, "it binds on the body as it opens", cure, stops_work=True))
    if proud > 0.0:
        feel = "pins and knuckles catch hands, cloths and rain"
        number = f"{proud:.1f} mm above the skin at the hinges"
        out.append(Finding("The pins stand proud", number, feel, "cover them, or another way out", stops_work=False))
    return out


def evaluate_crown(wanted: Crown, job: Job) -> CrownResult:
    """Work out one crowned skin of a job.

    Parameters
    ----------
    wanted : Crown
        As measured.
    job : Job
        The job it stands in.

    Returns
    -------
    CrownResult
        With a finding where the reading error leaves the radius unsure, and where no straight axis follows the edge
        it is hinged at.
    """
    ways = [_way(wanted, "across", wanted.chord_across, wanted.rise_across)]
    if wanted.chord_along is not None and wanted.rise_along is not None:
        ways.append(_way(wanted, "along", wanted.chord_along, wanted.rise_along))
    findings = [
        Finding(
            f"The radius {way.way} is unsure",
            f"{way.smallest_radius:.0f} to {way.largest_radius:.0f} mm for {wanted.reading_error:g} mm on the rise"
            if np.isfinite(way.largest_radius)
            else f"over {way.smallest_radius:.0f} mm: the rise may be nothing at all",
            "a skin rolled to it pops or stands off in the middle",
            "go by the rise table, read the rise finer, and make the gauge as long as the chord",
            False,
        )
        for way in ways
        if way.largest_radius - way.smallest_radius > 2.0 * UNSURE * way.radius
    ]
    if len(ways) == 2:
        findings.append(
            Finding(
                "Crowned both ways",
                f"radius {ways[0].radius:.0f} mm across and {ways[1].radius:.0f} mm along",
                "a skin that was only rolled will pucker at the edges or pop in the middle",
                "stretch the middle, shrink the edges, or make the support in strips",
                False,
            )
        )
    hinged = None
    if wanted.hinge is not None:
        hinged, wrong = _hinged_edge(wanted, wanted.hinge)
        findings = wrong + findings
    return CrownResult(wanted.name, verdict(findings), tuple(ways), hinged, tuple(findings))
