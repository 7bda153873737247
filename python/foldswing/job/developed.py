"""What a job says of parts that are developed: pipes, elbows, branches, cones, transitions, gored spheres."""

from __future__ import annotations

from collections.abc import Iterator

from foldswing.job.keys import key, keyed, listed

_SIDES = ("diameter", "length", "width", "corner_radius")
_ENDS = tuple(f"{end}_{size}" for end in ("bottom", "top") for size in _SIDES)
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
}


@keyed
class Developed:
    """A part rolled or folded from a developed pattern; sizes of the finished part."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    kind: str = key("word", "Which part.", allowed=tuple(KINDS))
    sizes_are: str = key(
        "word", "How its sizes are measured.", default="outside", allowed=("outside", "inside", "middle")
    )
    diameter: float | None = key("length", "Of the pipe, the branch, the cone's bottom or the sphere.", default=None)
    length: float | None = key(
        "length", "Of a pipe along its axis; of a branch from the main's axis to its end.", default=None
    )
    height: float | None = key("length", "Of a cone or transition, square to its bottom.", default=None)
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
    roll_lines: int = key("count", "Roll lines for a full turn.", default=12, most=720)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        needed, free = KINDS[self.kind]
        every = sorted({size for both in KINDS.values() for part in both for size in part})
        for size in every:
            given = getattr(self, size) is not None
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
        if (self.covers == "crown") != (self.crown_opening is not None):
            yield "crown_opening", "goes with covers = 'crown'"
