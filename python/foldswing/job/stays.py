"""What a job says of the stays of a gate: their pins as they are, or where each may go and what is wished of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar

from foldswing.job.keys import key, keyed, listed

WISHES = ("least pull", "least movement", "shortest", "least slack")
_LIMITS = ("most_pull", "most_edge_per_mm", "longest", "least_spacing", "wish", "place_step")  # of pins to be chosen


@keyed
class JambPlaceCorner:
    """One corner of an outline on the jamb."""

    inward: float = key("length", "Inward from the wall's outer face.", zero=True)
    above_worktop: float = key("length", "Above the worktop surface.", zero=True)


@keyed
class JambPlace:
    """Where the stay's pin on the jamb may go: one hole of a bracket, a rectangle, or an outline by its corners."""

    inward: float | None = key(
        "length",
        "Inward from the wall's outer face: to a hole, to the nearer side of a rectangle.",
        default=None,
        zero=True,
    )
    inward_to: float | None = key("length", "To the farther side of a rectangle.", default=None)
    above_worktop: float | None = key(
        "length", "Above the worktop surface: to a hole, to the lower side of a rectangle.", default=None, zero=True
    )
    above_worktop_to: float | None = key("length", "To the upper side of a rectangle.", default=None)
    corner: tuple[JambPlaceCorner, ...] = key(
        "table", "Corners of an outline, in order round it.", default=None, of=JambPlaceCorner, many=True
    )

    together: ClassVar = (("inward", "above_worktop"), ("inward_to", "above_worktop_to"))

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        yield from _place_problems(self, ("inward", "above_worktop"))


@keyed
class GatePlaceCorner:
    """One corner of an outline on the gate."""

    above_lower_edge: float = key("length", "Above the gate's lower edge, along its face.", zero=True)
    from_inner_face: float = key("length", "Outward from the gate's inner face, square to it.", zero=True)


@keyed
class GatePlace:
    """Where the stay's pin on the gate may go, by the tape from its lower edge: a hole, a rectangle, or an outline."""

    above_lower_edge: float | None = key(
        "length",
        "Above the gate's lower edge, along its face (not from the pivot): to a hole, to a rectangle's lower side.",
        default=None,
        zero=True,
    )
    above_lower_edge_to: float | None = key("length", "To the upper side of a rectangle.", default=None)
    from_inner_face: float | None = key(
        "length",
        "Outward from the gate's inner face: to a hole, to the nearer side of a rectangle.",
        default=None,
        zero=True,
    )
    from_inner_face_to: float | None = key("length", "To the farther side of a rectangle.", default=None)
    corner: tuple[GatePlaceCorner, ...] = key(
        "table", "Corners of an outline, in order round it.", default=None, of=GatePlaceCorner, many=True
    )

    together: ClassVar = (
        ("above_lower_edge", "from_inner_face"),
        ("above_lower_edge_to", "from_inner_face_to"),
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        yield from _place_problems(self, ("above_lower_edge", "from_inner_face"))


def _place_problems(place: Any, ways: tuple[str, str]) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with a hole, rectangle or outline."""
    first, second = ways
    at, to = getattr(place, first), getattr(place, f"{first}_to")
    if place.corner:
        if at is not None or to is not None:
            yield "corner", f"- an outline is placed by its corners: leave {first} and {second} out"
        elif len(place.corner) < 3:
            yield "corner", f"must come at least 3 times, got {len(place.corner)}"
        return
    if at is None:
        yield "", f"- needs {first} and {second} (with _to: a rectangle), or at least 3 times 'corner'"
        return
    for name in ways:
        start, end = getattr(place, name), getattr(place, f"{name}_to")
        if end is not None and end <= start:
            yield f"{name}_to", f"{end:g} mm is not beyond {name}, {start:g} mm"


@keyed
class Stay:
    """Arm, strap, cable or chain that holds the gate at its stops."""

    kind: str = key("word", "What it is.", allowed=("hooked bar", "strap", "cable", "chain", "folding"))
    count: int = key("count", "How many share the load.", default=2, most=10)
    jamb_pin_inward: float | None = key(
        "length",
        "Pin on the jamb, inward from the wall's outer face; left out, chosen from [[gate.stay.jamb_place]].",
        default=None,
        zero=True,
    )
    jamb_pin_above_worktop: float | None = key(
        "length", "Pin on the jamb, above the worktop surface.", default=None, zero=True
    )
    gate_pin_above_pivot: float | None = key(
        "length",
        "Pin on the shut gate, above the pivot along the face; left out, chosen from [[gate.stay.gate_place]].",
        default=None,
    )
    gate_pin_from_inner_face: float | None = key(
        "length", "Pin on the gate, outward from its inner face.", default=None, zero=True
    )
    jamb_place: tuple[JambPlace, ...] = key(
        "table", "Where the pin on the jamb may go, to be chosen.", default=None, of=JambPlace, many=True
    )
    gate_place: tuple[GatePlace, ...] = key(
        "table", "Where the pin on the gate may go, to be chosen.", default=None, of=GatePlace, many=True
    )
    place_step: float | None = key(
        "length", "How far apart the places tried in a rectangle or outline are; left out, 10 mm.", default=None
    )
    wish: str | None = key("word", "Which pair of places is best; left out, least pull.", default=None, allowed=WISHES)
    most_pull: float | None = key(
        "mass", "Most pull on each stay at rest, as the mass that hung on it would pull.", default=None
    )
    most_edge_per_mm: float | None = key(
        "number", "Most that 1 mm of stay may move the gate's free edge, in mm, at any stop.", default=None
    )
    longest: float | None = key("length", "Longest that the stay may be between its pins.", default=None)
    least_spacing: float | None = key(
        "length", "Least distance between the hooks of neighbouring stops, so that they are not mixed up.", default=None
    )
    test_mass: float | None = key(
        "mass", "Mass hung on one stay, hooks and fixings included, to see how much it stretches.", default=None
    )
    test_stretch: float | None = key("length", "How much that mass stretched it.", default=None)
    past_centre: float | None = key(
        "angle", "Folding: how far its joint goes past straight, open.", default=None, zero=True, most=60.0
    )
    joint_folds: str | None = key(
        "word",
        "Folding: which way its joint goes as the gate shuts.",
        default=None,
        allowed=("up", "down", "outward", "inward"),
    )
    jamb_link_share: float = key(
        "number", "Folding: the jamb's link as part of both links together; 0.5: alike.", default=0.5, most=0.9
    )
    link_width: float | None = key("length", "Folding: width of its links.", default=None)

    together: ClassVar = (
        ("test_mass", "test_stretch"),
        ("jamb_pin_inward", "jamb_pin_above_worktop"),
        ("gate_pin_above_pivot", "gate_pin_from_inner_face"),
    )

    @property
    def to_choose(self) -> bool:
        """Whether a pin is chosen from places."""
        return bool(self.jamb_place or self.gate_place)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        folding = ("past_centre", "joint_folds", "link_width")
        if self.kind == "folding":
            yield from ((name, "is needed for a folding stay") for name in folding if getattr(self, name) is None)
        else:
            given = [name for name in folding if getattr(self, name) is not None]
            yield from ((name, f"is for a folding stay; this is a {self.kind}") for name in given)
        for on, pin in (
            ("jamb", ("jamb_pin_inward", "jamb_pin_above_worktop")),
            ("gate", ("gate_pin_above_pivot", "gate_pin_from_inner_face")),
        ):
            places = f"{on}_place"
            if getattr(self, pin[0]) is None and not getattr(self, places):
                yield pin[0], f"is missing: give {listed(pin, 'and')}, or [[gate.stay.{places}]] to have it chosen"
            elif getattr(self, pin[0]) is not None and getattr(self, places):
                yield places, f"is for a pin that is chosen: leave {listed(pin, 'and')} out"
            elif getattr(self, places) and self.kind == "folding":
                yield places, "is not for a folding stay: its two pins are given"
        if not self.to_choose:
            given = [name for name in _LIMITS if getattr(self, name) is not None]
            yield from (
                (name, "is for pins that are chosen: give [[gate.stay.jamb_place]] or [[gate.stay.gate_place]]")
                for name in given
            )
