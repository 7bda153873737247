"""A crowned skin on the sheet."""

from __future__ import annotations

import numpy as np

from foldswing.evaluation import CrownResult
from foldswing.job import Job
from foldswing.report.words import VERDICTS, Words, sentences, warnings
from foldswing.sheet import Block, Heading, KeyValues, Paragraph, Table


def crown_blocks(done: CrownResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of one crowned skin."""
    blocks: list[Block] = [Heading(done.name), Paragraph(sentences(VERDICTS[done.verdict])), *warnings(done.findings)]
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
