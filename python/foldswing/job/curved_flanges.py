"""What a job says of flanges turned along a curved edge."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import ClassVar

from foldswing.job.keys import key, keyed


@keyed
class CurvedFlange:
    """A flange turned along a curved edge: round a hole or an arch it stretches, round a disc it shrinks."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    edge: str = key(
        "word",
        "Which way the base's edge curves: out, as a disc's, or in, as a hole's.",
        allowed=("bows out", "bows in"),
    )
    edge_radius: float | None = key(
        "length",
        "Radius of the finished edge, over the flange's outside face; of a hole, half its clear width.",
        default=None,
    )
    rise: float | None = key("length", "Or the height of its curve over the middle of the chord.", default=None)
    chord: float | None = key("length", "Straight across between the two ends of the finished edge.", default=None)
    arc_length: float | None = key("length", "Or its length round the curve.", default=None)
    all_round: bool = key("flag", "Or the edge is a whole circle.", default=False)
    depth: float = key("length", "Of the flange, over the outside face of the base.")
    bend_angle: float = key("angle", "Angle the flange is turned through.", default=90.0, most=90)
    base_width: float | None = key(
        "length",
        "Width of the base along the edge, over the flange's outside face; left out, the base goes on.",
        default=None,
    )
    edge_takes: float | None = key(
        "number",
        "What the edge may be stretched or shrunk by, in percent; left out, it stretches by the metal's elongation.",
        default=None,
        most=100,
    )
    flats_stand_off: float = key(
        "length", "How far the flats between slits or darts may stand off the curve.", default=0.5
    )

    one_of: ClassVar = (("edge_radius", "rise"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.rise is not None:
            if self.chord is None:
                yield "chord", "is missing: the rise stands over the middle of a chord"
            for name in ("arc_length", "all_round"):
                if getattr(self, name):
                    yield name, "is one too many: chord and rise tell the whole curve"
            return
        assert self.edge_radius is not None
        ends = [name for name in ("chord", "arc_length", "all_round") if getattr(self, name)]
        if len(ends) != 1:
            got = " and ".join(ends) or "none"
            yield "edge_radius", f"needs exactly one of chord, arc_length or all_round beside it, got {got}"
        if self.chord is not None and self.chord > 2.0 * self.edge_radius:
            yield (
                "chord",
                f"must be at most {2.0 * self.edge_radius:g} mm, twice the edge_radius, got {self.chord:g} mm",
            )
        whole = math.tau * self.edge_radius
        if self.arc_length is not None and self.arc_length >= whole:
            yield (
                "arc_length",
                f"must be under {whole:.1f} mm, once round, got {self.arc_length:g} mm; a whole circle is all_round",
            )
