"""A crowned skin: its radii, the lengths of its layers, the rises to mark on a gauge."""

from __future__ import annotations

from typing import Literal

import numpy as np

from foldswing import arc
from foldswing._values import value
from foldswing.evaluation.findings import Finding, Verdict, verdict
from foldswing.job import Crown, Job

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
class CrownResult:
    """A crowned skin worked out: verdict, its ways, the straight-axis offset of a crowned edge, what is wrong."""

    name: str
    verdict: Verdict
    ways: tuple[WayResult, ...]
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
        With a finding where the reading error leaves the radius unsure.
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
    return CrownResult(wanted.name, verdict(findings), tuple(ways), tuple(findings))
