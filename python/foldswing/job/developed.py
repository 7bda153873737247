"""What a job says of parts that are developed: pipes, elbows, branches, cones, transitions, gored spheres, strips."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from foldswing.job.keys import key, keyed, listed

_SIDES = ("diameter", "length", "width", "corner_radius")
_ENDS = tuple(f"{end}_{size}" for end in ("bottom", "top") for size in _SIDES)
STRIP = "strip between two edges"
_EDGE = tuple(f"{end}_{size}" for end in ("bottom", "top") for size in ("rise", "bows", "outs", "ups"))
# kind: what it needs, what it may have
KINDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "pipe": (("diameter", "length"), ("top_tilt", "bottom_tilt")),
    "elbow": (("diameter", "turn", "centre_radius", "pieces"), ()),
    "branch pipe": (
        ("diameter", "length", "main_diameter", "main_length"),
        ("branch_angle", "branch_from_bottom", "sideways"),
    ),
    "cone": (("diameter", "height"), ("top_diameter", "top_tilt", "bottom_tilt")),
    "oblique cone": (("diameter", "height", "sideways"), ("top_diameter",)),
    "transition": (("height",), (*_ENDS, "sideways", "top_tilt")),
    "gored sphere": (("diameter", "gores"), ("covers", "crown_opening")),
    STRIP: (
        ("bottom_chord", "top_chord"),
        (*_EDGE, "height", "set_back", "set_out", "sideways", "sideways_to"),
    ),
}


@keyed
class Developed:
    """A part rolled or folded from a developed pattern; sizes of the finished part."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    kind: str = key("word", "Which part.", allowed=tuple(KINDS))
    sizes_are: str | None = key(
        "word",
        "How its sizes are measured; left out, outside. A strip's edges are those of the middle of the sheet.",
        default=None,
        allowed=("outside", "inside", "middle"),
    )
    diameter: float | None = key("length", "Of the pipe, the branch, the cone's bottom or the sphere.", default=None)
    length: float | None = key(
        "length", "Of a pipe along its axis; of a branch from the main's axis to its end.", default=None
    )
    height: float | None = key(
        "length",
        "Of a cone or transition, square to its bottom; of a strip, of the top edge over the bottom one.",
        default=None,
    )
    top_tilt: float | None = key("angle", "Tilt of the top from square or level.", default=None, zero=True, most=89)
    bottom_tilt: float | None = key(
        "angle", "Tilt of the bottom, low where the top is high.", default=None, zero=True, most=89
    )
    turn: float | None = key("angle", "Of an elbow: what the pipe turns through.", default=None, most=180)
    centre_radius: float | None = key("length", "Of an elbow: radius of its centre line.", default=None)
    pieces: int | None = key("count", "Of an elbow: pieces, both ends counted.", default=None, most=60)
    main_diameter: float | None = key("length", "Of the pipe that a branch runs into.", default=None)
    main_length: float | None = key("length", "Its length.", default=None)
    branch_angle: float | None = key(
        "angle", "Between branch and the upper part of the main; left out, 90.", default=None, most=179
    )
    branch_from_bottom: float | None = key(
        "length", "Where the axes meet, from the bottom of the main; left out, half way.", default=None
    )
    sideways: float | None = key(
        "length", "How far the top stands sideways, or a branch passes the main's axis.", default=None, zero=True
    )
    bottom_diameter: float | None = key("length", "Round bottom of a transition.", default=None)
    bottom_length: float | None = key("length", "Rectangular bottom: the side that the seam is not on.", default=None)
    bottom_width: float | None = key(
        "length", "Rectangular bottom: the side with the seam in its middle.", default=None
    )
    bottom_corner_radius: float | None = key("length", "Radius of its corners.", default=None, zero=True)
    top_diameter: float | None = key("length", "Round top; of a cone, left out, it runs to a point.", default=None)
    top_length: float | None = key("length", "Rectangular top: side over bottom_length.", default=None)
    top_width: float | None = key("length", "Rectangular top: side over bottom_width.", default=None)
    top_corner_radius: float | None = key("length", "Radius of its corners.", default=None, zero=True)
    gores: int | None = key("count", "Gores round the sphere.", default=None, most=360)
    covers: str | None = key(
        "word", "How much of the sphere; left out, half.", default=None, allowed=("half", "whole", "crown")
    )
    crown_opening: float | None = key(
        "angle", "Of a crown: angle at the sphere's centre from side to side.", default=None, most=179
    )
    bottom_chord: float | None = key(
        "length", "Strip: straight along its bottom edge from end to end, seen from the front.", default=None
    )
    bottom_rise: float | None = key(
        "length", "Bottom edge an arc, level: height of its curve at the middle of the chord.", default=None
    )
    bottom_bows: str | None = key(
        "word", "Which way that arc bows, to you or away; left out, out.", default=None, allowed=("out", "in")
    )
    bottom_outs: tuple[float, ...] = key(
        "length",
        "Bottom edge another curve: how far it stands out from its chord's line at places evenly spread from the left "
        "end to the right one.",
        default=None,
        zero=True,
        many=True,
    )
    bottom_ups: tuple[float, ...] = key(
        "length",
        "How far up from the chord's line it stands at places as evenly spread.",
        default=None,
        zero=True,
        many=True,
    )
    top_chord: float | None = key("length", "Straight along its top edge, level with the bottom one's.", default=None)
    top_rise: float | None = key("length", "Rise of the top edge's arc, as of the bottom one.", default=None)
    top_bows: str | None = key("word", "Which way that arc bows.", default=None, allowed=("out", "in"))
    top_outs: tuple[float, ...] = key(
        "length", "How far the top edge stands out from its chord's line.", default=None, zero=True, many=True
    )
    top_ups: tuple[float, ...] = key("length", "How far up from it.", default=None, zero=True, many=True)
    set_back: float | None = key(
        "length", "How far the line of the top chord lies behind that of the bottom one.", default=None
    )
    set_out: float | None = key("length", "Or how far it lies in front of it, towards you.", default=None)
    sideways_to: str | None = key(
        "word",
        "Which way the top of a strip stands sideways; left out, right.",
        default=None,
        allowed=("left", "right"),
    )
    roll_lines: int | None = key(
        "count", "Roll lines for a full turn, left out 12; of a strip, along it, left out 29.", default=None, most=720
    )

    at_most_one: ClassVar = (
        ("set_back", "set_out"),
        ("bottom_rise", "bottom_outs"),
        ("bottom_rise", "bottom_ups"),
        ("top_rise", "top_outs"),
        ("top_rise", "top_ups"),
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        needed, free = KINDS[self.kind]
        every = sorted({size for both in KINDS.values() for part in both for size in part})
        for size in every:
            given = getattr(self, size) not in {None, ()}
            if size in needed and not given:
                yield size, f"is missing: a {self.kind} needs {listed(needed, 'and')}"
            if given and size not in needed and size not in free:
                yield size, f"is not a size of a {self.kind}"
        if self.kind == "transition":
            for end in ("bottom", "top"):
                rectangle = [getattr(self, f"{end}_{size}") is not None for size in ("length", "width")]
                round_ = getattr(self, f"{end}_diameter") is not None
                if round_ == any(rectangle) or rectangle[0] != rectangle[1]:
                    yield f"{end}_diameter", f"or both {end}_length and {end}_width must be given, not both kinds"
                if round_ and getattr(self, f"{end}_corner_radius") is not None:
                    yield f"{end}_corner_radius", "belongs to a rectangle"
        if self.kind == STRIP:
            yield from self._strip_problems()
        if (self.covers == "crown") != (self.crown_opening is not None):
            yield "crown_opening", "goes with covers = 'crown'"

    def _strip_problems(self) -> Iterator[tuple[str, str]]:
        if self.sizes_are in {"outside", "inside"}:
            yield "sizes_are", "must be left out or 'middle': a strip's edges are those of the middle of the sheet"
        if self.height is None and self.set_back is None and self.set_out is None:
            yield "height", "is missing: how far apart are the edges? Give height, set_back or set_out"
        if self.sideways_to is not None and self.sideways is None:
            yield "sideways_to", "needs sideways: how far"
        for end in ("bottom", "top"):
            if getattr(self, f"{end}_bows") is not None and getattr(self, f"{end}_rise") is None:
                yield f"{end}_bows", f"is the way of an arc: give {end}_rise"
            outs, ups = getattr(self, f"{end}_outs"), getattr(self, f"{end}_ups")
            for name, places in ((f"{end}_outs", outs), (f"{end}_ups", ups)):
                if len(places) == 1:
                    yield name, "must have 2 places or more, both ends among them"
            if outs and ups and len(outs) != len(ups):
                yield f"{end}_ups", f"must have as many places as {end}_outs, {len(outs)}, got {len(ups)}"
