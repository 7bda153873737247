"""What a job says of the parts that are bent or rolled, and of flip panels, which are pans that turn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import ClassVar

from foldswing import bend
from foldswing.job.joints import FlatSlots, Tabs, tab_problems
from foldswing.job.keys import key, keyed
from foldswing.job.trays import FinishedEdge, FlatHole

_MOST_STATIONS = 200  # rises from the middle of a chord out; nobody marks more

# What a job can make.
PARTS = ("gate", "flip_panel", "pan", "tray", "section", "bent_part", "curved_flange", "developed", "crown")


@keyed
class Layer:
    """One layer of a stack."""

    name: str = key("text", "What it is, such as 'washer' or 'glue line'.")
    thickness: float = key("length", "Its thickness; a gauge names its series ('18 ga steel').")


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


def rule_words(name: str) -> str:
    """Return what a rule for bends is called in a job and on the sheet: 'DIN 6935', 'school book'."""
    return name.replace("din6935", "DIN 6935").replace("_", " ")


RULES = {rule_words(rule.name): rule.name for rule in bend.rules()}


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
    rule: str | None = key(
        "word",
        "A rule in print instead of any figure of this shop's own; a test strip is better.",
        default=None,
        allowed=tuple(RULES),
    )
    basis: str | None = key("text", "Where that figure comes from.", default=None)
    v_opening: float | None = key("length", "Opening of the V it is bent over, on a press brake.", default=None)
    least_flange: float | None = key("length", "Shortest flange the brake can hold.", default=None)
    tool_angle: float | None = key("angle", "The most the brake turns a bend through.", default=None, most=180)
    k_error: float | None = key(
        "number", "How sure the k-factor is: its standard deviation, from test strips.", default=None, zero=True, most=1
    )

    one_of: ClassVar = (("k_factor", "deduction", "test_strip", "rule"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.k_error is not None and self.k_factor is None:
            yield "k_error", "belongs to a k_factor"


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
    grain: str | None = key(
        "word", "Which way the grain runs.", default=None, allowed=("left to right", "front to rear")
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
    start_edge: FinishedEdge | None = key(
        "table", "How the edge at the start of the blank is finished.", default=None, of=FinishedEdge
    )
    end_edge: FinishedEdge | None = key("table", "How the other edge is finished.", default=None, of=FinishedEdge)
    hole: tuple[FlatHole, ...] = key("table", "Holes drawn on the folded part.", default=None, of=FlatHole, many=True)
    tabs: tuple[Tabs, ...] = key("table", "Tabs on a cut edge, for plug welds.", default=None, of=Tabs, many=True)
    slots: tuple[FlatSlots, ...] = key("table", "Slots for the tabs of a joint.", default=None, of=FlatSlots, many=True)
    grain: str | None = key(
        "word", "Which way the grain runs.", default=None, allowed=("across the bends", "along the bends")
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        yield from tab_problems(self)
        if not self.bend or len(self.flats) != len(self.bend) + 1:
            yield "flats", f"must be one more than the bends: got {len(self.flats)} flats and {len(self.bend)} bends"


@keyed
class CrownHinge:
    """A crowned panel hinged along one of its edges, which is itself an arc: the chord with its rise."""

    edge: str = key("word", "Which edge is hinged.", allowed=("front", "rear", "left", "right"))
    opens: float = key("angle", "Angle it opens through.", most=180)
    hinges_from_middle: float = key("length", "How far the hinges sit from the middle of that edge, either way.")
    axis_at: str | None = key(
        "word",
        "How high the axis lies: at the corners, at the skin where the hinges sit, at the crown; left out, undecided.",
        default=None,
        allowed=("corner height", "skin height", "crown height"),
    )
    room_behind: float | None = key(
        "length", "Gap or relief behind the hinged edge, into which it may go back.", default=None
    )

    @property
    def way(self) -> str:
        """Which way the hinged edge runs: 'across' or 'along'."""
        return "across" if self.edge in {"front", "rear"} else "along"


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
    hinge: CrownHinge | None = key("table", "Where it is hinged, if it opens.", default=None, of=CrownHinge)

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
            if chord is not None and chord > 2 * _MOST_STATIONS * self.station_every:
                least = math.ceil(chord / (2 * _MOST_STATIONS))
                yield "station_every", f"must be at least {least} mm for a chord of {chord:g} mm: the table is endless"
        if not self.layer:
            yield "layer", "must come at least once: the outer skin"
        if self.hinge is not None:
            edge_chord = self.chord_across if self.hinge.way == "across" else self.chord_along
            if edge_chord is not None and 2 * self.hinge.hinges_from_middle > edge_chord:
                yield "hinge", f"sits beyond the ends of its edge, which is {edge_chord:g} mm long"
