"""What a job says of a gate: its section seen from one end, distances from named faces, a word for the way.

Distances go outward or inward from the wall's outer face, and up or down from the worktop surface. No value is signed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import ClassVar

from foldswing.job.adjusters import Adjuster, adjuster_problems
from foldswing.job.keys import key, keyed, listed, repeated
from foldswing.job.parts import Layer
from foldswing.job.stays import Stay

WAYS = ("outward", "inward")
HEIGHTS = ("up", "down", "above_floor")
PIN_GOES_IN = {
    "from outside": "Through the jamb from outside, into the gate: drill the jamb right through; fix the pin's head.",
    "from the gate": "Slid out of the gate into the jamb: bore the gate as deep as the pin is long; lock it there.",
    "jamb comes off": "One jamb goes on last: hang the gate on the fixed side, then bolt the other jamb to it.",
    "sprung": "Sprung into the jamb: the pin must be pushed back flush with the gate's end while it goes in.",
}
LIMITS = ("exactly", "at least", "at most")  # what a size asked for may be
FACE_LIMITS = ("exactly", "or higher", "or lower")
WISHES = ("largest forgiveness", "largest gap", "nearest to the wanted spot", "on a hole of the bracket")
SAME_PLACE = 1.0  # mm; what a tape tells apart
_SUM_WITHIN = 0.25  # mm; what a stack of washers and straps may miss its gap by: less than any packer


@keyed
class Opening:
    """The opening as measured, square or not."""

    width_top: float = key("length", "Width between the jambs at the head.")
    width_bottom: float = key("length", "Width between the jambs at the sill.")
    height_left: float | None = key("length", "Sill to head along the left jamb, seen from outside.", default=None)
    height_right: float | None = key("length", "Sill to head along the right jamb.", default=None)
    diagonals: tuple[float, ...] = key(
        "length",
        "Both diagonals, seen from outside: bottom left to top right first, then top left to bottom right.",
        default=None,
        many=True,
    )
    head_above_worktop: float = key("length", "Underside of the head, above the worktop surface.")
    sill_below_worktop: float = key("length", "Top of the sill, below the worktop surface.", zero=True)
    jamb_depth: float = key("length", "How far jambs, head and sill reach inward from the wall's outer face.")

    together: ClassVar = (("height_left", "height_right"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.diagonals and len(self.diagonals) != 2:
            yield "diagonals", f"must be both diagonals, got {len(self.diagonals)} of them"


@keyed
class Worktop:
    """The fixed worktop behind the gate."""

    above_floor: float = key("length", "Worktop surface above the floor.")
    nose_behind_wall: float = key("length", "Front edge (nose) of the worktop, inward from the wall's outer face.")
    nose_depth: float = key("length", "Height of the nose face, from the surface down.")
    nose_radius: float = key("length", "Radius on the upper edge of the nose.", default=0.0, zero=True)
    depth: float = key("length", "How far the worktop runs inward behind its nose.", default=600.0)
    falls: str = key("word", "Which way the surface falls.", default="level", allowed=("level", *WAYS))
    tilt: float = key("angle", "How much it falls, by the angle finder.", default=0.0, zero=True, most=45)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if (self.falls == "level") != (self.tilt == 0):
            yield "tilt", f"is {self.tilt:g} deg but the worktop falls '{self.falls}'"
        if self.nose_radius > self.nose_depth:
            yield "nose_radius", "is larger than the nose is deep"


@keyed
class Panel:
    """The gate itself, shut."""

    width: float | None = key(
        "length", "Width; left out, worked out from the opening and the gaps wanted.", default=None
    )
    height: float | None = key(
        "length", "Height along its face; left out, worked out from the opening and the gaps wanted.", default=None
    )
    fit: str = key(
        "word",
        "How it is cut: a rectangle, or every edge parallel to the opening's.",
        default="square",
        allowed=("square", "to the opening"),
    )
    thickness: float = key("length", "Thickness over everything.")
    lower_edge_below_worktop: float = key("length", "Lower edge, below the worktop surface.", zero=True)
    outer_face: str = key(
        "word", "How the outer face stands to the wall's.", default="flush", allowed=("flush", "proud", "set back")
    )
    outer_face_by: float = key("length", "How much it is proud or set back, at the lower edge.", default=0.0, zero=True)
    leans: str = key("word", "Which way the top of the shut gate leans.", allowed=("upright", *WAYS))
    lean: float = key("angle", "How much it leans from upright, by the angle finder.", default=0.0, zero=True, most=60)
    lower_inner_corner_radius: float = key("length", "Radius on the lower inner corner.", default=0.0, zero=True)
    lower_outer_corner_radius: float = key("length", "Radius on the lower outer corner.", default=0.0, zero=True)
    upper_inner_corner_radius: float = key("length", "Radius on the upper inner corner.", default=0.0, zero=True)
    upper_outer_corner_radius: float = key("length", "Radius on the upper outer corner.", default=0.0, zero=True)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if (self.outer_face == "flush") != (self.outer_face_by == 0):
            yield "outer_face_by", f"is {self.outer_face_by:g} mm but the outer face is '{self.outer_face}'"
        if (self.leans == "upright") != (self.lean == 0):
            yield "lean", f"is {self.lean:g} deg but the gate leans '{self.leans}'"
        if self.fit != "square" and (self.width is not None or self.height is not None):
            yield "fit", f"'{self.fit}' takes its sizes from the opening: leave out width and height"
        for edge in ("lower", "upper"):
            inner, outer = f"{edge}_inner_corner_radius", f"{edge}_outer_corner_radius"
            both = getattr(self, inner) + getattr(self, outer)
            if both > self.thickness:
                yield inner, f"and {outer} make {both:g} mm, more than the gate is thick ({self.thickness:g} mm)"


@keyed
class Corner:
    """A point of a section, from the wall's outer face and the worktop surface or floor."""

    outward: float | None = key("length", "Outward from the wall's outer face.", default=None, zero=True)
    inward: float | None = key("length", "Inward from the wall's outer face.", default=None, zero=True)
    up: float | None = key("length", "Above the worktop surface.", default=None, zero=True)
    down: float | None = key("length", "Below the worktop surface.", default=None, zero=True)
    above_floor: float | None = key("length", "Above the floor.", default=None, zero=True)

    one_of: ClassVar = (WAYS, HEIGHTS)


@keyed
class Body:
    """Something fixed that the gate must clear: a rail, a step, a tube."""

    name: str = key("text", "What it is, such as 'guard rail'.")
    shape: str = key("word", "Its section.", allowed=("round bar", "block", "outline"))
    outward: float | None = key(
        "length",
        "Outward from the wall's outer face: to a bar's centre, to a block's nearer face.",
        default=None,
        zero=True,
    )
    inward: float | None = key("length", "The same, inward from the wall's outer face.", default=None, zero=True)
    up: float | None = key(
        "length", "Above the worktop surface: to a bar's centre, to a block's top.", default=None, zero=True
    )
    down: float | None = key("length", "The same, below the worktop surface.", default=None, zero=True)
    above_floor: float | None = key("length", "The same, above the floor.", default=None, zero=True)
    diameter: float | None = key("length", "Diameter of a round bar.", default=None)
    width: float | None = key("length", "Size of a block away from the wall's outer face.", default=None)
    height: float | None = key("length", "Size of a block from its top down.", default=None)
    corner: tuple[Corner, ...] = key(
        "table", "Corners of an outline, in order round it.", default=None, of=Corner, many=True
    )
    painted: bool = key("flag", "Whether it gets paint (see [paint]).", default=True)
    from_left: float | None = key(
        "length",
        "Its left end, from the left end of the opening; left out, it runs on from there.",
        default=None,
        zero=True,
    )
    to_left: float | None = key(
        "length", "Its right end, from the left end of the opening; left out, it runs on from there.", default=None
    )
    moving_gap: float | None = key(
        "length", "Least gap wanted to this body on the way; else [gate.gaps] moving.", default=None
    )

    at_most_one: ClassVar = (WAYS, HEIGHTS)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        needs = {"round bar": ("diameter",), "block": ("width", "height"), "outline": ("corner",)}
        for shape, names in needs.items():
            for name in names:
                if (getattr(self, name) not in (None, ())) != (shape == self.shape):
                    says = "lacks" if shape == self.shape else "has no use for"
                    yield "", f"- a {self.shape} {says} '{name}'"
        for group in (WAYS, HEIGHTS):
            if any(getattr(self, name) is not None for name in group) == (self.shape == "outline"):
                says = "is placed by its corners, not by" if self.shape == "outline" else "needs one of"
                yield "", f"- a {self.shape} {says} {listed(group, 'or')}"
        if self.shape == "outline" and len(self.corner) < 3:
            yield "corner", f"must come at least 3 times, got {len(self.corner)}"
        if self.from_left is not None and self.to_left is not None and self.to_left <= self.from_left:
            yield (
                "to_left",
                f"{self.to_left:g} mm is not beyond from_left, {self.from_left:g} mm: both from the left end",
            )


@keyed
class Stop:
    """A place where the open gate comes to rest, and what must be true there."""

    name: str = key("text", "What it is called, such as 'level' or 'lean'.")
    lands: str | None = key(
        "word",
        "The inner face lands level, or in line with a sloping worktop.",
        default=None,
        allowed=("level", "with worktop"),
    )
    turn: float | None = key("angle", "Total angle turned from shut.", default=None, most=360)
    below_level: float | None = key("angle", "Angle past level, downward.", default=None, most=180)
    turn_from: float | None = key(
        "angle", "Angle left open: least angle turned from shut; [gate.hinge] wish decides.", default=None, most=360
    )
    turn_to: float | None = key("angle", "The same: greatest angle turned from shut.", default=None, most=360)
    below_level_from: float | None = key(
        "angle", "Angle left open: least angle past level, downward.", default=None, zero=True, most=180
    )
    below_level_to: float | None = key(
        "angle", "The same: greatest angle past level, downward.", default=None, most=180
    )
    edge_above_floor: float | None = key(
        "length",
        "Free edge of the inner face, above the floor; asked of the pivot beside an angle.",
        default=None,
        zero=True,
    )
    edge_drop: float | None = key("length", "The same, below the worktop surface.", default=None)
    edge_is: str = key(
        "word",
        "Whether the free edge must be just there, or that size is the least or the most it may be.",
        default="exactly",
        allowed=LIMITS,
    )
    face: str | None = key(
        "word",
        "How the inner face must stand to the worktop surface here.",
        default=None,
        allowed=("flush", "proud", "low"),
    )
    face_by: float = key("length", "How much it must be proud or low.", default=0.0, zero=True)
    face_is: str = key(
        "word",
        "Whether the inner face must stand just so, or may be higher or lower than that.",
        default="exactly",
        allowed=FACE_LIMITS,
    )
    nose_gap: float | None = key(
        "length", "Gap wanted here between the gate's lower edge and the worktop nose.", default=None
    )
    nose_gap_is: str = key(
        "word",
        "Whether that gap must be just so, or is the least or the most it may be.",
        default="exactly",
        allowed=LIMITS,
    )
    within: float = key("length", "How far face, gap and edge may be out.", default=1.0, zero=True)
    rests_on: str | None = key("text", "What holds it: 'stay', or the name of a body.", default=None)

    together: ClassVar = (("turn_from", "turn_to"), ("below_level_from", "below_level_to"))
    at_most_one: ClassVar = (("lands", "turn", "below_level"), ("edge_above_floor", "edge_drop"))

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        ways = ("lands", "turn", "below_level", "edge_above_floor", "edge_drop")
        if all(getattr(self, name) is None for name in ways) and not self.is_open:
            yield "", f"- a stop needs one of {listed(ways, 'or')}, or a range of angles"
        yield from self._range()
        if (self.face in {"proud", "low"}) != (self.face_by > 0):
            yield "face_by", f"is {self.face_by:g} mm but the face is '{self.face or 'not asked for'}'"
        edge = self.edge_above_floor is not None or self.edge_drop is not None
        for limit, size, given in (
            ("face_is", "face", self.face is not None),
            ("nose_gap_is", "nose_gap", self.nose_gap is not None),
            ("edge_is", "edge_above_floor or edge_drop", edge),
        ):
            if getattr(self, limit) != "exactly" and not given:
                yield limit, f"is '{getattr(self, limit)}' but nothing says of what: give {size}"
        if self.edge_is != "exactly" and edge and not self.has_angle:
            yield (
                "edge_is",
                f"is '{self.edge_is}': so the height does not say how far the gate opens; give an angle too",
            )

    @property
    def has_angle(self) -> bool:
        """Whether an angle says how far the gate opens here; else the height of its edge does."""
        fixed = self.lands is not None or self.turn is not None or self.below_level is not None
        return fixed or self.is_open

    @property
    def is_open(self) -> bool:
        """Whether its angle is left open within a range."""
        return self.turn_from is not None or self.below_level_from is not None

    def _range(self) -> Iterator[tuple[str, str]]:
        """Yield what is wrong with an angle that is left open."""
        ranges = (
            ("turn_to", self.turn_from, self.turn_to),
            ("below_level_to", self.below_level_from, self.below_level_to),
        )
        for name, low, high in ranges:
            if low is not None and high is not None and low >= high:
                yield name, f"{high:g} deg is not beyond {name.replace('_to', '_from')}, {low:g} deg"
        if not self.is_open:
            return
        given = [name for name in ("lands", "turn", "below_level") if getattr(self, name) is not None]
        if given or (self.turn_from is not None and self.below_level_from is not None):
            yield "", "- a stop has one angle or one range of angles: by turn, or from level"
        asks = (self.face, self.nose_gap, self.edge_above_floor, self.edge_drop)
        count = sum(size is not None for size in asks)
        if count == 0:
            yield (
                "",
                "- its angle is left open: say what must be true there, such as edge_above_floor or face",
            )
        if count > 1 and self.within == 0:
            yield "within", "is 0, but at an angle left open several things are asked: allow each a little"


@keyed
class Gaps:
    """Gaps wanted; of bare metal, paint then takes its share, or with paint on."""

    are: str = key(
        "word",
        "What all gaps wanted of this gate are measured between: bare metal or paint.",
        default="bare",
        allowed=("bare", "painted"),
    )
    moving: float = key("length", "Least gap to anything on the way.", zero=True)
    nose: float | None = key("length", "Shut: inner face to worktop nose.", default=None)
    sill: float | None = key("length", "Shut: lower edge to sill.", default=None)
    head: float | None = key("length", "Shut: upper edge to head.", default=None)
    ends: float | None = key("length", "Each end of the gate to its jamb.", default=None)
    left_end: float | None = key("length", "Left end to its jamb, seen from outside; else 'ends'.", default=None)
    right_end: float | None = key("length", "Right end to its jamb; else 'ends'.", default=None)

    together: ClassVar = (("left_end", "right_end"),)
    at_most_one: ClassVar = (("ends", "left_end"),)


@keyed
class Seal:
    """Seal or rubber on an edge of the opening: the painted gap must stay between both heights all along it."""

    edge: str = key("word", "Where it is, seen from outside.", allowed=("sill", "head", "left end", "right end"))
    free: float = key("length", "Its height with nothing on it.")
    squeezed: float = key("length", "Least height it can be pressed to.", zero=True)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.free <= self.squeezed:
            yield "free", f"is {self.free:g} mm, no more than squeezed ({self.squeezed:g} mm)"


@keyed
class BoughtHinge:
    """A hinge bought ready made: its pin is where the maker put it."""

    barrel_diameter: float = key("length", "Diameter over the knuckles.")
    leaf_thickness: float = key("length", "Thickness of one leaf.")
    screwed_to: str = key("word", "Face of the gate that its leaf lies on.", allowed=("inner face", "outer face"))
    pin_to_face: float = key("length", "Pin centre to that face, square to it.", zero=True)
    pin_lies: str = key(
        "word",
        "On which side of that face the pin is.",
        default="off the gate",
        allowed=("off the gate", "in the gate"),
    )
    pin_to_edge: float = key("length", "Pin centre to the gate's lower edge, along the face.", zero=True)
    pin_is: str = key(
        "word", "Whether the pin is above or below that edge.", default="above it", allowed=("above it", "below it")
    )
    let_in: bool = key("flag", "Whether the leaves are let in flush.", default=False)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.leaf_thickness >= self.barrel_diameter:
            yield "leaf_thickness", "is not thinner than the barrel"


@keyed
class BracketHole:
    """A hole that is in the bracket already, round or by its corners."""

    outward: float | None = key("length", "Centre, outward from the wall's outer face.", default=None, zero=True)
    inward: float | None = key("length", "Centre, inward from the wall's outer face.", default=None, zero=True)
    up: float | None = key("length", "Centre, above the worktop surface.", default=None, zero=True)
    down: float | None = key("length", "Centre, below the worktop surface.", default=None, zero=True)
    above_floor: float | None = key("length", "Centre, above the floor.", default=None, zero=True)
    diameter: float | None = key("length", "Diameter of a round hole.", default=None)
    corner: tuple[Corner, ...] = key(
        "table", "Corners of another hole, in order round it.", default=None, of=Corner, many=True
    )
    takes_pin: bool = key("flag", "Whether the hinge's hole may be this one.", default=False)

    at_most_one: ClassVar = (WAYS, HEIGHTS)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        placed = [sum(getattr(self, name) is not None for name in group) for group in (WAYS, HEIGHTS)]
        if self.corner:
            if self.diameter is not None or any(placed):
                yield "corner", "says where the hole is and how large: leave diameter and the centre out"
            if len(self.corner) < 3:
                yield "corner", f"must come at least 3 times, got {len(self.corner)}"
            if self.takes_pin:
                yield "takes_pin", "is for a round hole"
        elif self.diameter is None or placed != [1, 1]:
            yield (
                "",
                f"- a round hole needs a diameter, one of {listed(WAYS, 'or')} and one of {listed(HEIGHTS, 'or')}; "
                "another one needs its corners",
            )


@keyed
class Bracket:
    """What the hinge's hole must be in: a bracket, a plate, a post or a jamb, by its corners, the gate shut."""

    name: str = key("text", "What it is called, such as 'hinge post'.", default="bracket")
    fixed_to: str = key(
        "word",
        "Whether it stands still and takes the jamb's hole, or is fixed to the gate and takes the gate's.",
        default="jamb",
        allowed=("jamb", "gate"),
    )
    corner: tuple[Corner, ...] = key("table", "Its corners, in order round it.", of=Corner, many=True)
    hole: tuple[BracketHole, ...] = key(
        "table", "Holes that are in it already.", default=None, of=BracketHole, many=True
    )
    least_metal: float = key(
        "length", "Least metal to leave between the new hole and its edges and holes.", default=2.0, zero=True
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if len(self.corner) < 3:
            yield "corner", f"must come at least 3 times, got {len(self.corner)}"


@keyed
class Hinge:
    """Pins at both ends on one axis; where it goes is worked out from the stops unless it is given here."""

    pin_diameter: float = key("length", "Diameter of the pin.")
    pin_material: str | None = key("text", "What the pin is made of.", default=None)
    pin_goes_in: str | None = key(
        "word",
        "How the pin gets into its holes with both jambs fixed.",
        default=None,
        allowed=tuple(PIN_GOES_IN),
    )
    ear_radius: float | None = key("length", "Radius of an ear round the pin at each end of the gate.", default=None)
    bought: BoughtHinge | None = key(
        "table", "A bought hinge, which decides where the pivot is.", default=None, of=BoughtHinge
    )
    bush_diameter: float | None = key("length", "Outside diameter of the bush in the gate.", default=None)
    pivot_from_inner_face: float | None = key(
        "length", "Given pivot: outward from the gate's inner face.", default=None
    )
    pivot_below_worktop: float | None = key("length", "Given pivot: below the worktop surface.", default=None)
    bracket: Bracket | None = key("table", "What the hole must be in, where that is decided.", default=None, of=Bracket)
    wish: str | None = key(
        "word",
        "What decides the angle of a stop that leaves it open; left out, the largest forgiveness.",
        default=None,
        allowed=WISHES,
    )
    spot_from_inner_face: float | None = key(
        "length", "Spot wanted for the pivot: outward from the gate's inner face.", default=None, zero=True
    )
    spot_below_worktop: float | None = key(
        "length", "Spot wanted for the pivot: below the worktop surface.", default=None, zero=True
    )
    drilled: str = key(
        "word",
        "How gate and jamb are drilled: each from its marks, or one through the other.",
        default="apart",
        allowed=("apart", "together"),
    )

    together: ClassVar = (
        ("pivot_from_inner_face", "pivot_below_worktop"),
        ("spot_from_inner_face", "spot_below_worktop"),
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.bush_diameter is not None and self.bush_diameter <= self.pin_diameter:
            yield "bush_diameter", "must be larger than the pin's"
        if self.ear_radius is not None and self.ear_radius <= (self.bush_diameter or self.pin_diameter) / 2:
            yield "ear_radius", "leaves no metal round the hole"
        if self.bought is not None and self.pivot_from_inner_face is not None:
            yield "bought", "decides the pivot already: leave pivot_from_inner_face and pivot_below_worktop out"
        if (self.wish == "nearest to the wanted spot") != (self.spot_from_inner_face is not None):
            lacks = self.wish == "nearest to the wanted spot"
            says = f"is '{self.wish}': give" if lacks else "is not 'nearest to the wanted spot': leave out"
            yield "wish", f"{says} spot_from_inner_face and spot_below_worktop"
        pinned = [hole for hole in self.bracket.hole if hole.takes_pin] if self.bracket is not None else []
        if self.wish == "on a hole of the bracket" and not pinned:
            yield "wish", f"is '{self.wish}', but no [[gate.hinge.bracket.hole]] says takes_pin = true"
        drilled = self.pin_diameter
        if self.bracket is not None and self.bracket.fixed_to == "gate":
            if self.ear_radius is not None:
                yield (
                    "ear_radius",
                    f"is of an ear of the gate's own, but the {self.bracket.name} takes its place: leave one out",
                )
            drilled = self.bush_diameter or drilled
        for hole in pinned:
            if (hole.diameter or 0.0) < drilled:
                yield "bracket", f"has a hole of {hole.diameter:g} mm that takes_pin; {drilled:g} mm must go in"
        if self.bought is not None and self.bracket is not None:
            yield "bracket", "is for a hole that is drilled; a bought hinge brings its pin with it"
        if self.bought is not None and self.bought.barrel_diameter <= self.pin_diameter:
            yield "pin_diameter", "is not thinner than the barrel of the bought hinge"


@keyed
class Load:
    """What the stays and pins carry; always asked, never assumed."""

    mass: float = key("mass", "Mass of the gate, weighed or reckoned.")
    leaned_load: float = key("mass", "Mass of whoever or whatever leans on the free edge.", zero=True)


@keyed
class Station:
    """A place along the hinge where the section is not as stated; between places it runs straight."""

    name: str | None = key("text", "What it is called; left out, by its distance from the left.", default=None)
    from_left: float = key("length", "From the left end of the opening, seen from outside.", zero=True)
    width: float | None = key(
        "length", "Width along the hinge that it stands for; left out, half-way to its neighbours.", default=None
    )
    worktop_up: float | None = key("length", "Worktop surface higher than stated, here.", default=None)
    worktop_down: float | None = key("length", "Worktop surface lower than stated, here.", default=None)
    nose_outward: float | None = key("length", "Nose farther outward than stated, here.", default=None)
    nose_inward: float | None = key("length", "Nose farther inward than stated, here.", default=None)
    sill_up: float | None = key("length", "Top of the sill higher than stated, here.", default=None)
    sill_down: float | None = key("length", "Top of the sill lower than stated, here.", default=None)
    head_up: float | None = key("length", "Underside of the head higher than stated, here.", default=None)
    head_down: float | None = key("length", "Underside of the head lower than stated, here.", default=None)
    lower_edge_up: float | None = key(
        "length", "Gate's lower edge higher than stated, here; its upper edge stays.", default=None
    )
    lower_edge_down: float | None = key(
        "length", "Gate's lower edge lower than stated, here; its upper edge stays.", default=None
    )
    outer_face_outward: float | None = key("length", "Gate farther outward than stated, here.", default=None)
    outer_face_inward: float | None = key("length", "Gate farther inward than stated, here.", default=None)
    thickness: float | None = key("length", "Thickness of the gate over everything, here.", default=None)

    at_most_one: ClassVar = (
        ("worktop_up", "worktop_down"),
        ("nose_outward", "nose_inward"),
        ("sill_up", "sill_down"),
        ("head_up", "head_down"),
        ("lower_edge_up", "lower_edge_down"),
        ("outer_face_outward", "outer_face_inward"),
    )

    @property
    def called(self) -> str:
        """Its name, or where it is."""
        return self.name or f"{self.from_left:g} mm from the left"

    @property
    def half_width(self) -> float:
        """Half of the width it stands for; 0 where none is given."""
        return 0.5 * (self.width or 0.0)


@keyed
class CrownedEdge:
    """An edge along the hinge that is no straight line: an arc over a chord. Sizes as stated hold at its ends."""

    edge: str = key("word", "Which edge it is.", allowed=("worktop", "lower edge", "sill", "head"))
    bulges: str = key(
        "word",
        "Which way its middle stands out from the chord: the worktop's nose or the gate's face outward or inward, "
        "anything up or down.",
        allowed=("up", "down", *WAYS),
    )
    chord: float = key("length", "Straight span between its ends.")
    rise: float = key("length", "How far its middle stands out from that span.")
    chord_from_left: float | None = key(
        "length",
        "Left end of the span, from the left end of the opening; left out, the span is centred.",
        default=None,
        zero=True,
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if 2 * self.rise > self.chord:
            yield "rise", f"{self.rise:g} mm is over half of the chord ({self.chord:g} mm): measure again"
        if self.edge in {"sill", "head"} and self.bulges in WAYS:
            yield "bulges", f"is '{self.bulges}', but a {self.edge} bulges up or down"


@keyed
class Gate:
    """A drop-down gate or counter flap, hinged at its lower edge."""

    name: str = key("text", "What it is called on the sheet.")
    opens: str = key("word", "Which way its top goes.", default="outward", allowed=("outward",))
    seen_from: str = key(
        "word",
        "The end from which sections are drawn, standing outside.",
        default="left end",
        allowed=("left end", "right end"),
    )
    opening: Opening = key("table", "The opening as measured.", of=Opening)
    worktop: Worktop = key("table", "The worktop behind it.", of=Worktop)
    panel: Panel = key("table", "The gate itself, shut.", of=Panel)
    gaps: Gaps = key("table", "Gaps wanted.", of=Gaps)
    seal: tuple[Seal, ...] = key("table", "Seals and rubbers round the gate.", default=None, of=Seal, many=True)
    hinge: Hinge = key("table", "Pins and, where it is fixed already, the pivot.", of=Hinge)
    load: Load = key("table", "Masses carried.", of=Load)
    stay: Stay | None = key("table", "What holds it open.", default=None, of=Stay)
    stop: tuple[Stop, ...] = key("table", "Stops in the order they are reached from shut.", of=Stop, many=True)
    body: tuple[Body, ...] = key("table", "Fixed things near the swing.", default=None, of=Body, many=True)
    station: tuple[Station, ...] = key(
        "table", "Places along the hinge that differ.", default=None, of=Station, many=True
    )
    crowned_edge: tuple[CrownedEdge, ...] = key(
        "table", "Edges along the hinge that are crowned or bowed.", default=None, of=CrownedEdge, many=True
    )
    end_stack: tuple[Layer, ...] = key(
        "table", "What fills an end gap, from gate to jamb; it must add up.", default=None, of=Layer, many=True
    )
    adjuster: tuple[Adjuster, ...] = key(
        "table", "What can be set after the first fit.", default=None, of=Adjuster, many=True
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if not self.stop:
            yield "stop", "must come at least once: where does the gate come to rest?"
        yield from repeated("stop", self.stop)
        yield from repeated("body", self.body)
        if self.panel.width is None and self.gaps.ends is None and self.gaps.left_end is None:
            yield "panel", "lacks 'width': give it, or [gate.gaps] ends to work it out from the opening"
        if self.panel.height is None and self.gaps.head is None:
            yield "panel", "lacks 'height': give it, or [gate.gaps] head to work it out from the opening"
        yield from self._open_angle()
        yield from self._needs_heights()
        yield from adjuster_problems(
            self.adjuster, self.hinge.pin_diameter, {stop.name: stop.rests_on for stop in self.stop}
        )
        edges = [seal.edge for seal in self.seal]
        yield from (("seal", f"- there are {edges.count(e)} on the {e}") for e in set(edges) if edges.count(e) > 1)
        fixed = [b.name for b in self.body] + (["stay"] if self.stay else [])
        for stop in self.stop:
            if stop.rests_on is not None and stop.rests_on not in fixed:
                choices = listed([f"'{n}'" for n in fixed], "or") or "neither stay nor bodies"
                yield "stop", f"'{stop.name}' rests on '{stop.rests_on}', but there is {choices}"
        yield from self._along()
        if self.stay is not None and self.stay.kind == "folding":
            held = [stop.name for stop in self.stop if stop.rests_on == "stay"]
            if len(held) != 1:
                yield "stay", f"is a folding one, which holds one stop: {len(held)} of the stops rest on it"
        total = sum(layer.thickness for layer in self.end_stack)
        if self.end_stack and self.gaps.ends is not None and abs(total - self.gaps.ends) > _SUM_WITHIN:
            parts = " + ".join(f"{layer.thickness:g}" for layer in self.end_stack)
            yield "end_stack", f"adds up to {parts} = {total:g} mm, but the end gap is {self.gaps.ends:g} mm"

    def _open_angle(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself about an angle that is left open."""
        free = [f"'{stop.name}'" for stop in self.stop if stop.is_open]
        if len(free) > 1:
            yield "stop", f"{listed(free, 'and')} leave their angles open: one may, give the angle of the others"
        if free and (self.hinge.bought is not None or self.hinge.pivot_from_inner_face is not None):
            how = "a bought hinge brings its pin with it" if self.hinge.bought is not None else "the pivot is given"
            yield "stop", f"{free[0]} leaves its angle open to suit the pivot, but {how}: give the angle"
        if self.hinge.wish is not None and not free:
            yield (
                "hinge",
                "wish decides an angle that is left open: give a stop a range, such as turn_from and turn_to",
            )

    def _needs_heights(self) -> Iterator[tuple[str, str]]:
        """Yield what can only be answered for an opening whose heights were measured."""
        if self.opening.height_left is not None:
            return
        lack = "needs the opening's height_left and height_right"
        if self.seal:
            yield "seal", lack
        if self.gaps.left_end is not None:
            yield "gaps", f"left_end {lack}"
        if self.panel.fit != "square":
            yield "panel", f"fit '{self.panel.fit}' {lack}"

    def _along(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself along the hinge."""
        width = self.opening.width_bottom
        for station in self.station:
            if station.from_left > width:
                yield "station", f"{station.called} is beyond the opening ({width:g} mm wide at the sill)"
        in_order = sorted(self.station, key=lambda s: s.from_left)
        for left, right in pairwise(in_order):
            apart = right.from_left - left.from_left
            if apart <= SAME_PLACE:
                yield "station", f"{left.called} and {right.called} are one place: give what differs there in one table"
            elif left.half_width + right.half_width > apart:
                yield "station", f"{left.called} and {right.called} stand for widths that overlap"
        for body in self.body:
            for name, at in (("from_left", body.from_left), ("to_left", body.to_left)):
                if at is not None and at > width:
                    yield (
                        "body",
                        f"'{body.name}': {name} {at:g} mm is beyond the opening ({width:g} mm wide at the sill)",
                    )
