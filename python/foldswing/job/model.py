"""What a job says: frozen values whose fields are the keys of the file, lengths in mm, angles in degrees, masses in kg.

A gate is measured in its section, seen from one end: distances go outward or inward from the wall's outer face, and up
or down from the worktop surface. No value is signed; the name of the key says which way it goes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any, ClassVar

from foldswing import units
from foldswing._core import InvalidInput
from foldswing.job.keys import key, keyed, listed, nearest

_WAYS = ("outward", "inward")
_HEIGHTS = ("up", "down", "above_floor")
_SUM_WITHIN = 0.25  # mm; what a stack of washers and straps may miss its gap by: less than any packer


def _repeated(what: str, values: Any) -> Iterator[tuple[str, str]]:
    for name, count in Counter(v.name for v in values).items():
        if count > 1:
            yield what, f"has the name '{name}' {count} times; names tell things apart"


@keyed
class Opening:
    """The opening as measured, square or not."""

    width_top: float = key("length", "Width between the jambs at the head.")
    width_bottom: float = key("length", "Width between the jambs at the sill.")
    diagonals: tuple[float, ...] = key("length", "Both diagonals of the opening.", default=None, many=True)
    head_above_worktop: float = key("length", "Underside of the head, above the worktop surface.")
    sill_below_worktop: float = key("length", "Top of the sill, below the worktop surface.", zero=True)
    jamb_depth: float = key("length", "How far jambs, head and sill reach inward from the wall's outer face.")

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
    falls: str = key("word", "Which way the surface falls.", default="level", allowed=("level", *_WAYS))
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
        "length", "Width; left out, the opening's narrower width less two end gaps.", default=None
    )
    height: float | None = key(
        "length", "Height along its face; left out, up to the head less the head gap.", default=None
    )
    thickness: float = key("length", "Thickness over everything.")
    lower_edge_below_worktop: float = key("length", "Lower edge, below the worktop surface.", zero=True)
    outer_face: str = key(
        "word", "How the outer face stands to the wall's.", default="flush", allowed=("flush", "proud", "set back")
    )
    outer_face_by: float = key("length", "How much it is proud or set back, at the lower edge.", default=0.0, zero=True)
    leans: str = key("word", "Which way the top of the shut gate leans.", allowed=("upright", *_WAYS))
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
        for edge in ("lower", "upper"):
            inner, outer = f"{edge}_inner_corner_radius", f"{edge}_outer_corner_radius"
            both = getattr(self, inner) + getattr(self, outer)
            if both > self.thickness:
                yield inner, f"and {outer} make {both:g} mm, more than the gate is thick ({self.thickness:g} mm)"


@keyed
class Corner:
    """One corner of a body's section."""

    outward: float | None = key("length", "Outward from the wall's outer face.", default=None, zero=True)
    inward: float | None = key("length", "Inward from the wall's outer face.", default=None, zero=True)
    up: float | None = key("length", "Above the worktop surface.", default=None, zero=True)
    down: float | None = key("length", "Below the worktop surface.", default=None, zero=True)
    above_floor: float | None = key("length", "Above the floor.", default=None, zero=True)

    one_of: ClassVar = (_WAYS, _HEIGHTS)


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
    moving_gap: float | None = key(
        "length", "Least gap wanted to this body on the way; else [gate.gaps] moving.", default=None
    )

    at_most_one: ClassVar = (_WAYS, _HEIGHTS)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        needs = {"round bar": ("diameter",), "block": ("width", "height"), "outline": ("corner",)}
        for shape, names in needs.items():
            for name in names:
                if (getattr(self, name) not in (None, ())) != (shape == self.shape):
                    says = "lacks" if shape == self.shape else "has no use for"
                    yield "", f"- a {self.shape} {says} '{name}'"
        for group in (_WAYS, _HEIGHTS):
            if any(getattr(self, name) is not None for name in group) == (self.shape == "outline"):
                says = "is placed by its corners, not by" if self.shape == "outline" else "needs one of"
                yield "", f"- a {self.shape} {says} {listed(group, 'or')}"
        if self.shape == "outline" and len(self.corner) < 3:
            yield "corner", f"must come at least 3 times, got {len(self.corner)}"


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
    edge_above_floor: float | None = key(
        "length",
        "Free edge of the inner face, above the floor; asked of the pivot beside an angle.",
        default=None,
        zero=True,
    )
    edge_drop: float | None = key("length", "The same, below the worktop surface.", default=None)
    face: str | None = key(
        "word",
        "How the inner face must stand to the worktop surface here.",
        default=None,
        allowed=("flush", "proud", "low"),
    )
    face_by: float = key("length", "How much it must be proud or low.", default=0.0, zero=True)
    nose_gap: float | None = key(
        "length", "Gap wanted here between the gate's lower edge and the worktop nose.", default=None
    )
    within: float = key("length", "How far face, gap and edge may be out.", default=1.0, zero=True)
    rests_on: str | None = key("text", "What holds it: 'stay', or the name of a body.", default=None)

    at_most_one: ClassVar = (("lands", "turn", "below_level"), ("edge_above_floor", "edge_drop"))

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        ways = ("lands", "turn", "below_level", "edge_above_floor", "edge_drop")
        if all(getattr(self, name) is None for name in ways):
            yield "", f"- a stop needs one of {listed(ways, 'or')}"
        if (self.face in {"proud", "low"}) != (self.face_by > 0):
            yield "face_by", f"is {self.face_by:g} mm but the face is '{self.face or 'not asked for'}'"


@keyed
class Gaps:
    """Gaps wanted, bare metal; paint then takes its share."""

    moving: float = key("length", "Least gap to anything on the way.", zero=True)
    nose: float | None = key("length", "Shut: inner face to worktop nose.", default=None)
    sill: float | None = key("length", "Shut: lower edge to sill.", default=None)
    head: float | None = key("length", "Shut: upper edge to head.", default=None)
    ends: float | None = key("length", "Each end of the gate to its jamb.", default=None)


@keyed
class Hinge:
    """Pins at both ends on one axis; where it goes is worked out from the stops unless it is given here."""

    pin_diameter: float = key("length", "Diameter of the pin.")
    bush_diameter: float | None = key("length", "Outside diameter of the bush in the gate.", default=None)
    pivot_from_inner_face: float | None = key(
        "length", "Given pivot: outward from the gate's inner face.", default=None
    )
    pivot_below_worktop: float | None = key("length", "Given pivot: below the worktop surface.", default=None)

    together: ClassVar = (("pivot_from_inner_face", "pivot_below_worktop"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.bush_diameter is not None and self.bush_diameter <= self.pin_diameter:
            yield "bush_diameter", "must be larger than the pin's"


@keyed
class Stay:
    """Arm, cable or chain that holds the gate at its stops."""

    kind: str = key("word", "What it is.", allowed=("hooked bar", "cable", "chain"))
    count: int = key("count", "How many share the load.", default=2, most=10)
    jamb_pin_inward: float = key("length", "Pin on the jamb, inward from the wall's outer face.", zero=True)
    jamb_pin_above_worktop: float = key("length", "Pin on the jamb, above the worktop surface.", zero=True)
    gate_pin_above_pivot: float = key("length", "Pin on the shut gate, above the pivot along the face.")
    gate_pin_from_inner_face: float = key("length", "Pin on the gate, outward from its inner face.", zero=True)


@keyed
class Load:
    """What the stays and pins carry; always asked, never assumed."""

    mass: float = key("mass", "Mass of the gate, weighed or reckoned.")
    leaned_load: float = key("mass", "Mass of whoever or whatever leans on the free edge.", zero=True)


@keyed
class Station:
    """A place along the hinge where the worktop is not where it is elsewhere."""

    from_left: float = key("length", "From the left end of the opening, seen from outside.", zero=True)
    worktop_up: float | None = key("length", "Worktop surface higher than stated, here.", default=None)
    worktop_down: float | None = key("length", "Worktop surface lower than stated, here.", default=None)
    nose_outward: float | None = key("length", "Nose farther outward than stated, here.", default=None)
    nose_inward: float | None = key("length", "Nose farther inward than stated, here.", default=None)

    at_most_one: ClassVar = (("worktop_up", "worktop_down"), ("nose_outward", "nose_inward"))


@keyed
class Layer:
    """One layer of a stack."""

    name: str = key("text", "What it is, such as 'washer' or 'glue line'.")
    thickness: float = key("length", "Its thickness; a gauge names its series ('18 ga steel').")


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
    hinge: Hinge = key("table", "Pins and, where it is fixed already, the pivot.", of=Hinge)
    load: Load = key("table", "Masses carried.", of=Load)
    stay: Stay | None = key("table", "What holds it open.", default=None, of=Stay)
    stop: tuple[Stop, ...] = key("table", "Stops in the order they are reached from shut.", of=Stop, many=True)
    body: tuple[Body, ...] = key("table", "Fixed things near the swing.", default=None, of=Body, many=True)
    station: tuple[Station, ...] = key(
        "table", "Places along the hinge that differ.", default=None, of=Station, many=True
    )
    end_stack: tuple[Layer, ...] = key(
        "table", "What fills an end gap, from gate to jamb; it must add up.", default=None, of=Layer, many=True
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if not self.stop:
            yield "stop", "must come at least once: where does the gate come to rest?"
        yield from _repeated("stop", self.stop)
        yield from _repeated("body", self.body)
        if self.panel.width is None and self.gaps.ends is None:
            yield "panel", "lacks 'width': give it, or [gate.gaps] ends to work it out from the opening"
        if self.panel.height is None and self.gaps.head is None:
            yield "panel", "lacks 'height': give it, or [gate.gaps] head to work it out from the opening"
        fixed = [b.name for b in self.body] + (["stay"] if self.stay else [])
        for stop in self.stop:
            if stop.rests_on is not None and stop.rests_on not in fixed:
                choices = listed([f"'{n}'" for n in fixed], "or") or "neither stay nor bodies"
                yield "stop", f"'{stop.name}' rests on '{stop.rests_on}', but there is {choices}"
        narrow = min(self.opening.width_top, self.opening.width_bottom)
        for station in self.station:
            if station.from_left > max(self.opening.width_top, self.opening.width_bottom):
                yield "station", f"{station.from_left:g} mm from the left is beyond the opening ({narrow:g} mm wide)"
        total = sum(layer.thickness for layer in self.end_stack)
        if self.end_stack and self.gaps.ends is not None and abs(total - self.gaps.ends) > _SUM_WITHIN:
            parts = " + ".join(f"{layer.thickness:g}" for layer in self.end_stack)
            yield "end_stack", f"adds up to {parts} = {total:g} mm, but the end gap is {self.gaps.ends:g} mm"


@keyed
class FlipPanel:
    """A panel hidden in smooth bodywork that flips about pins near one edge to show a plate."""

    name: str = key("text", "What it is called on the sheet.")
    pan: str = key("text", "Name of the [[pan]] it is made as: gives its width, length and depth.")
    slope: float = key("angle", "Slope of the skin from level, by the angle finder.", zero=True, most=90)
    lower_edge: str = key("word", "Which edge of the panel is lower.", allowed=("front", "rear"))
    hinged_edge: str = key("word", "Which edge is hinged.", allowed=("front", "rear"))
    opens: str = key("word", "Which way its free edge goes.", allowed=("down", "up"))
    stands: str | None = key("word", "How it stands when open.", default=None, allowed=("upright",))
    turn: float | None = key("angle", "Or the angle it turns through.", default=None, most=360)
    seen_face: str = key("word", "Which face must be seen when open.", allowed=("inner", "outer"))
    seen_facing: str = key("word", "Which way that face must look.", allowed=("forward", "rearward"))
    gap: float = key("length", "Gap all round between panel and body, shut.")
    moving_gap: float = key("length", "Least gap on the way, bare metal.", zero=True)
    return_depth: float = key("length", "Depth of the body's return at the hinged edge, square to the skin.")
    return_thickness: float | None = key("length", "Its thickness; left out, as the pan's.", default=None)
    pivot_from_hinged_edge: float = key("length", "Pivot, from the panel's hinged edge along the skin.", zero=True)
    pivot_behind_skin: float = key("length", "Pivot, behind the outer surface, square to it.", zero=True)
    pin_diameter: float = key("length", "Diameter of the pin.")
    ear_radius: float | None = key("length", "Radius of the ears round the pin.", default=None)
    plate_width: float | None = key("length", "Width of the plate it carries.", default=None)
    plate_height: float | None = key("length", "Height of the plate it carries.", default=None)
    room_behind_skin: float | None = key("length", "Room there is behind the skin, square to it.", default=None)

    one_of: ClassVar = (("stands", "turn"),)
    together: ClassVar = (("plate_width", "plate_height"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.ear_radius is not None and self.ear_radius <= self.pin_diameter / 2:
            yield "ear_radius", "leaves no metal round the pin"


@keyed
class BendStrip:
    """An offcut of known length, bent on the real set-up and measured."""

    flat: float = key("length", "Length of the strip before bending.")
    outside_a: float = key("length", "Outside size of one flange after bending.")
    outside_b: float = key("length", "Outside size of the other flange.")
    bend_angle: float = key("angle", "Angle it was bent through from flat.", default=90.0, most=179)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.outside_a + self.outside_b <= self.flat:
            yield (
                "flat",
                "is not shorter than the two outside sizes together: a bend adds to the outside, measure again",
            )


@keyed
class Material:
    """A sheet and how it bends in this shop."""

    name: str = key("text", "What other tables call it.")
    metal: str = key("text", "What it is.")
    thickness: float = key("length", "Measured thickness, or a gauge with its series ('18 ga steel').")
    inside_radius: float = key("length", "Inside radius of the bends as made.", zero=True)
    k_factor: float | None = key(
        "number", "Neutral line from the inside face, as a part of the thickness.", default=None, most=1
    )
    deduction: float | None = key("length", "Bend deduction of this set-up for one 90 degree bend.", default=None)
    test_strip: BendStrip | None = key("table", "A strip bent on this set-up.", default=None, of=BendStrip)
    basis: str | None = key("text", "Where that figure comes from.", default=None)

    one_of: ClassVar = (("k_factor", "deduction", "test_strip"),)


@keyed
class Pan:
    """A shallow box with flanges round one face."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    width: float = key("length", "Left to right.")
    length: float = key("length", "Front to rear.")
    depth: float = key("length", "Depth of the flanges.")
    front_depth: float | None = key("length", "Depth of the front flange if another.", default=None)
    rear_depth: float | None = key("length", "Depth of the rear flange if another.", default=None)
    left_depth: float | None = key("length", "Depth of the left flange if another.", default=None)
    right_depth: float | None = key("length", "Depth of the right flange if another.", default=None)
    sizes_are: str = key("word", "How its sizes are measured.", default="outside", allowed=("outside", "inside"))
    corner_gap: float | None = key(
        "length",
        "Gap where two flanges meet; left out, notches go to the bend lines and ends are filed.",
        default=None,
        zero=True,
    )

    def flange(self, side: str) -> float:
        """Return the depth of one flange; side is 'front', 'rear', 'left' or 'right'."""
        own: float | None = getattr(self, f"{side}_depth")
        return self.depth if own is None else own


@keyed
class Bend:
    """One bend of a part; say which angle is meant."""

    bend_angle: float | None = key("angle", "Angle the metal is turned through from flat.", default=None, most=180)
    included_angle: float | None = key("angle", "Angle between the flanges.", default=None, most=179.999)
    way: str = key("word", "Which way it is folded, outer side up.", allowed=("up", "down"))
    inside_radius: float | None = key(
        "length", "Inside radius if another than the material's.", default=None, zero=True
    )

    one_of: ClassVar = (("bend_angle", "included_angle"),)

    @property
    def turned(self) -> float:
        """Angle the metal is turned through, degrees."""
        if self.bend_angle is not None:
            return self.bend_angle
        return 180.0 - (self.included_angle or 0.0)


@keyed
class BentPart:
    """A part of one section: flats with bends between them."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    width: float = key("length", "Length along the bends.")
    lengths_are: str = key("word", "How the flats are measured.", allowed=("outside", "inside", "flat"))
    flats: tuple[float, ...] = key("length", "Lengths of the flats in order.", many=True)
    bend: tuple[Bend, ...] = key("table", "The bends between them, in order.", of=Bend, many=True)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if not self.bend or len(self.flats) != len(self.bend) + 1:
            yield "flats", f"must be one more than the bends: got {len(self.flats)} flats and {len(self.bend)} bends"


@keyed
class Crown:
    """A crowned skin and the support that goes inside it."""

    name: str = key("text", "What it is called on the sheet.")
    chord_across: float = key("length", "Straight span across, over which the rise was measured.")
    rise_across: float = key("length", "Height at the middle of that span.")
    chord_along: float | None = key(
        "length", "Straight span along; left out where it is straight that way.", default=None
    )
    rise_along: float | None = key("length", "Height at the middle of that span.", default=None)
    reading_error: float = key("length", "How far a rise may be misread.", default=1.0)
    layer: tuple[Layer, ...] = key(
        "table", "Layers from the outer face in: skin, glue line, support.", of=Layer, many=True
    )
    inset: float = key("length", "How far the support stays back from the edge.", default=0.0, zero=True)
    station_every: float = key("length", "Spacing of the rise table from the middle out.", default=100.0)

    together: ClassVar = (("chord_along", "rise_along"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        for way in ("across", "along"):
            chord, rise = getattr(self, f"chord_{way}"), getattr(self, f"rise_{way}")
            if chord is not None and 2 * rise > chord:
                yield (
                    f"rise_{way}",
                    f"{rise:g} mm is over half of the chord ({chord:g} mm): a skin is no more than a half circle",
                )
            if chord is not None and 2 * self.inset >= chord:
                yield "inset", f"from both edges leaves nothing of the chord {way} ({chord:g} mm)"
        if not self.layer:
            yield "layer", "must come at least once: the outer skin"


@keyed
class Paint:
    """Paint on every painted face."""

    per_face: float = key("length", "Thickness on one face, all coats.", zero=True, most=5)


@keyed
class Job:
    """A whole job: what was measured and what is wanted."""

    format: int = key("count", "Format of the file: 1.", most=1)
    title: str = key("text", "Title of the job, on every sheet.")
    units: str = key("word", "What a bare length means.", allowed=("mm", "inch"))
    invented: bool = key("flag", "Marks every sheet INVENTED DEMO DATA.", default=False)
    revision: str | None = key("text", "Revision of this job, on every sheet.", default=None)
    note: str | None = key("text", "A note for the sheet.", default=None)
    ruler: str = key("text", "Step of the ruler in use, to which marks are rounded.", default="1/32 in")
    paper: str | None = key(
        "word",
        "Paper for the templates; left out, A4 with mm and Letter with inch.",
        default=None,
        allowed=("A4", "Letter"),
    )
    paint: Paint | None = key("table", "Paint; left out, all is bare metal.", default=None, of=Paint)
    material: tuple[Material, ...] = key("table", "Sheets used.", default=None, of=Material, many=True)
    gate: tuple[Gate, ...] = key("table", "Drop-down gates.", default=None, of=Gate, many=True)
    flip_panel: tuple[FlipPanel, ...] = key("table", "Flip panels.", default=None, of=FlipPanel, many=True)
    pan: tuple[Pan, ...] = key("table", "Pans.", default=None, of=Pan, many=True)
    bent_part: tuple[BentPart, ...] = key("table", "Bent parts.", default=None, of=BentPart, many=True)
    crown: tuple[Crown, ...] = key("table", "Crowned skins.", default=None, of=Crown, many=True)

    @property
    def sheet_paper(self) -> str:
        """Paper of the templates: 'A4' or 'Letter'."""
        return self.paper or ("A4" if self.units == "mm" else "Letter")

    def material_named(self, name: str) -> Material:
        """Return a material by its name; a job never refers to one that is missing."""
        return next(m for m in self.material if m.name == name)

    def pan_named(self, name: str) -> Pan:
        """Return a pan by its name; a job never refers to one that is missing."""
        return next(p for p in self.pan if p.name == name)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        for what in ("material", "gate", "flip_panel", "pan", "bent_part", "crown"):
            yield from _repeated(what, getattr(self, what))
        if not (self.gate or self.flip_panel or self.pan or self.bent_part or self.crown):
            yield "", "- the job has nothing to make: add [[gate]], [[flip_panel]], [[pan]], [[bent_part]] or [[crown]]"
        try:
            units.show(1.0, self.ruler)
        except InvalidInput as why:
            yield "ruler", str(why).removeprefix("ruler ")
        for what, refers, known in (
            ("pan", "material", self.material),
            ("bent_part", "material", self.material),
            ("flip_panel", "pan", self.pan),
        ):
            names = [k.name for k in known]
            for user in getattr(self, what):
                name = getattr(user, refers)
                if name not in names:
                    near = nearest(name, names) or f"; there is {listed(names, 'and') or 'none'}"
                    yield what, f"'{user.name}' names the {refers} '{name}', which is not in this job{near}"
