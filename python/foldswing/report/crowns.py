"""A crowned skin on the sheet."""

from __future__ import annotations

import numpy as np

from foldswing import pictures
from foldswing.evaluation import CrownResult
from foldswing.job import Job
from foldswing.report.words import VERDICTS, Words, sentences, warnings
from foldswing.sheet import Block, Bullets, Figure, Heading, KeyValues, Paragraph, Table


def crown_blocks(done: CrownResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of one crowned skin."""
    blocks: list[Block] = [Heading(done.name), Paragraph(sentences(VERDICTS[done.verdict])), *warnings(done.findings)]
    if done.hinge is not None:
        blocks += _hinge(done, job)
    for way in done.ways:
        blocks.append(Heading(f"Crown {way.way}", 2))
        unsure = (
            f"{way.smallest_radius:.0f} to {way.largest_radius:.0f} mm"
            if np.isfinite(way.largest_radius)
            else "any flatter arc"
        )
        blocks.append(
            KeyValues(
                (
                    ("Chord and rise", f"{way.chord:.1f} mm and {way.rise:.1f} mm"),
                    ("Radius of the outer face", f"{way.radius:.1f} mm; with the reading error {unsure}"),
                    ("Along the outer face", words.size(way.length)),
                )
            )
        )
        blocks.append(
            Table(
                ("Layer", "Outer radius", "Inner radius", "Length along its middle"),
                tuple(
                    (v.name, f"{v.outer_radius:.1f} mm", f"{v.inner_radius:.1f} mm", words.size(v.middle_length))
                    for v in way.layers
                ),
                "From the outer face in; radii as they must end up, not what to roll to",
            )
        )
        heights = tuple(
            (f"{x:.0f} mm", words.size(y)) for x, y in zip(way.rises.stations, way.rises.heights, strict=True)
        )
        blocks.append(
            Table(
                ("From the middle of the chord", "Rise above the chord"),
                heights,
                "To mark a gauge, both ways from the middle",
            )
        )
    return blocks


def _hinge(done: CrownResult, job: Job) -> list[Block]:
    """Return what a straight axis does to the hinged edge, and the ways out."""
    edge = done.hinge
    assert edge is not None
    rows = []
    for axis in edge.axes:
        pins = axis.swing.pins_above_skin
        stand = f"{abs(pins):.1f} mm {'above' if pins > 0.0 else 'below'} the skin" if pins else "at the skin"
        back = f"{axis.swing.most_back:.1f} mm" if axis.swing.most_back > 0.0 else "nothing"
        at = f"{axis.at}{', chosen' if axis.chosen else ''}"
        rows.append((at, f"{axis.swing.above_corners:.1f} mm", back, f"{axis.swing.corners_forward:.1f} mm", stand))
    return [
        Heading(f"Hinge at the {edge.edge} edge", 2),
        Paragraph(sentences(edge.explanation)),
        Figure(pictures.crown_hinge(done, job), "The edge and three straight axes", height=60.0),
        Table(
            ("Axis at", "Above the corners", "Middle goes back", "Corners come forward", "Pins at the hinges"),
            tuple(rows),
            f"Opened {edge.opening_deg:g}\N{DEGREE SIGN}, hinges {edge.from_middle:.0f} mm either side of the middle",
        ),
        Heading("Ways out", 2),
        Bullets(edge.ways_out),
    ]
