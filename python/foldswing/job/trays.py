"""What a job says of trays, ready sections, finished edges, and the holes drawn on their folded faces."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from foldswing.job.joints import FlatSlots, PanelSlots, Tabs, tab_problems
from foldswing.job.keys import key, keyed, listed

_HEMS = ("closed hem", "open hem", "teardrop hem", "double hem")
_SEAMS = ("single lock seam", "double lock seam")


@keyed
class FinishedEdge:
    """How a cut edge is finished; its flat is then measured over the finished edge (of a seam: to its middle)."""

    kind: str = key("word", "What is done to it.", allowed=(*_HEMS, "wired edge", *_SEAMS))
    width: float | None = key("length", "Of a hem over its fold; of a finished seam.", default=None)
    opening: float | None = key("length", "Gap of an open hem; inside diameter of a teardrop hem's fold.", default=None)
    wire_diameter: float | None = key("length", "Of the wire.", default=None)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        wired = self.kind == "wired edge"
        round_fold = self.kind in {"open hem", "teardrop hem"}
        for name, needed in (("width", not wired), ("opening", round_fold), ("wire_diameter", wired)):
            given = getattr(self, name) is not None
            if given != needed:
                yield name, f"is {'missing: needed for' if needed else 'not used by'} a {self.kind}"


@keyed
class FlatHole:
    """A round hole drawn on one flat of the folded part."""

    flat: int = key("count", "Which flat: 1 is at the start of the blank.")
    from_start: float = key("length", "Its centre, from where that flat's length is measured at its start.", zero=True)
    across: float = key("length", "Its centre, along the bends from the part's near end.", zero=True)
    diameter: float = key("length", "Its diameter.")


@keyed
class PanelHole:
    """A round hole drawn on a panel of the folded tray."""

    panel: str = key("word", "Which panel.", allowed=("base", "flange", "return"))
    side: str | None = key(
        "word", "Of which side, unless it is the base.", default=None, allowed=("front", "rear", "left", "right")
    )
    along: float = key(
        "length",
        "Its centre, from the outer face of the left side; on the left and right sides from that of the front.",
        zero=True,
    )
    up: float = key(
        "length",
        "Its centre, from the outer face of the base; on a return as its width is measured; on the base from the outer "
        "face of the front.",
        zero=True,
    )
    diameter: float = key("length", "Its diameter.")

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if (self.side is None) != (self.panel == "base"):
            yield "side", "is not used on the base" if self.panel == "base" else f"is missing: which {self.panel}"


@keyed
class Tray:
    """A tray or box: a base, flanges turned up square, each with a return (lip) if wanted."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    width: float = key("length", "Left to right.")
    length: float = key("length", "Front to rear.")
    depth: float = key("length", "Depth of the flanges.")
    front_depth: float | None = key("length", "Of the front flange if another; 0: none.", default=None, zero=True)
    rear_depth: float | None = key("length", "Of the rear flange if another; 0: none.", default=None, zero=True)
    left_depth: float | None = key("length", "Of the left flange if another; 0: none.", default=None, zero=True)
    right_depth: float | None = key("length", "Of the right flange if another; 0: none.", default=None, zero=True)
    return_width: float = key("length", "Width of the returns over the flange; 0: none.", default=0.0, zero=True)
    front_return: float | None = key("length", "Of the front return if another; 0: none.", default=None, zero=True)
    rear_return: float | None = key("length", "Of the rear return if another; 0: none.", default=None, zero=True)
    left_return: float | None = key("length", "Of the left return if another; 0: none.", default=None, zero=True)
    right_return: float | None = key("length", "Of the right return if another; 0: none.", default=None, zero=True)
    returns_turn: str = key("word", "Over the base, or away from it.", default="in", allowed=("in", "out"))
    return_bend_angle: float = key("angle", "Angle the returns are turned through.", default=90.0, most=180)
    sizes_are: str = key("word", "How base and depths are measured.", default="outside", allowed=("outside", "inside"))
    corner_gap: float | None = key(
        "length",
        "Gap where two flanges or mitred returns meet; left out, notches go to the bend lines and mitres stand 0.2 mm.",
        default=None,
        zero=True,
    )
    relief: str = key("word", "Cut where two bends meet.", default="none", allowed=("none", "round", "square", "slit"))
    relief_size: float | None = key("length", "Its diameter, side, or the slit's width.", default=None)
    relief_past: float | None = key(
        "length", "How far a slit ends past the crossing of the tangent lines.", default=None, zero=True
    )
    tabs_on: str | None = key(
        "word",
        "Flanges that carry a tab at both ends, lying inside their neighbours.",
        default=None,
        allowed=("left and right", "front and rear"),
    )
    tab_width: float | None = key("length", "Width of a tab over its bend.", default=None)
    tab_holes: int | None = key("count", "Rivets or plug welds in a tab; left out, spot welds.", default=None, most=50)
    tab_hole_diameter: float | None = key("length", "Their diameter.", default=None)
    grain: str | None = key(
        "word", "Which way the grain runs.", default=None, allowed=("left to right", "front to rear")
    )
    hole: tuple[PanelHole, ...] = key("table", "Holes drawn on the folded tray.", default=None, of=PanelHole, many=True)
    slots: tuple[PanelSlots, ...] = key(
        "table", "Slots for the tabs of a joint.", default=None, of=PanelSlots, many=True
    )

    together: ClassVar = (("tabs_on", "tab_width"), ("tab_holes", "tab_hole_diameter"))

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if (self.relief_size is None) != (self.relief == "none"):
            yield "relief_size", "is missing: how large" if self.relief != "none" else "is not used without a relief"
        if self.relief_past is not None and self.relief != "slit":
            yield "relief_past", "is used by a slit alone"
        if self.tab_holes is not None and self.tabs_on is None:
            yield "tab_holes", "needs tabs: say tabs_on"

    def flange(self, side: str) -> float:
        """Return the depth of one flange; side is 'front', 'rear', 'left' or 'right'."""
        own: float | None = getattr(self, f"{side}_depth")
        return self.depth if own is None else own

    def lip(self, side: str) -> float:
        """Return the width of one return, 0 where there is none."""
        own: float | None = getattr(self, f"{side}_return")
        width = self.return_width if own is None else own
        return width if self.flange(side) > 0.0 else 0.0


_SIZES = {
    "angle": (("flange", "other_flange"), ("bend_angle",)),
    "channel": (("flange", "web"), ("other_flange",)),
    "lipped channel": (("lip", "flange", "web"), ()),
    "hat": (("brim", "height", "top"), ()),
    "Z": (("flange", "height"), ("other_flange",)),
    "joggle": (("before", "depth", "run_out", "after"), ()),
}


@keyed
class Section:
    """A part of one section by its trade name; sizes over the outer faces."""

    name: str = key("text", "What it is called on the sheet.")
    material: str = key("text", "Name of a [[material]].")
    kind: str = key("word", "Which section.", allowed=tuple(_SIZES))
    width: float = key("length", "Length along the bends.")
    flange: float | None = key("length", "Flange of an angle, channel, lipped channel or Z.", default=None)
    other_flange: float | None = key(
        "length", "The other flange: of an angle; of a channel or Z if another.", default=None
    )
    web: float | None = key("length", "Web of a channel, over its flanges.", default=None)
    lip: float | None = key("length", "Lips of a lipped channel.", default=None)
    brim: float | None = key("length", "Brims of a hat, over its legs.", default=None)
    height: float | None = key("length", "Overall height of a hat or Z.", default=None)
    top: float | None = key("length", "Top of a hat, over its legs.", default=None)
    before: float | None = key("length", "Joggle: level part from the edge to where it leaves its plane.", default=None)
    depth: float | None = key("length", "Joggle: offset, from a face to the same face.", default=None)
    run_out: float | None = key("length", "Joggle: along the sheet from level to level.", default=None)
    after: float | None = key("length", "Joggle: level part beyond, to the other edge.", default=None)
    bend_angle: float | None = key("angle", "Of an angle: turned through; left out, 90.", default=None, most=179)
    grain: str | None = key(
        "word", "Which way the grain runs.", default=None, allowed=("across the bends", "along the bends")
    )
    start_edge: FinishedEdge | None = key(
        "table", "How the edge at the start of the blank is finished.", default=None, of=FinishedEdge
    )
    end_edge: FinishedEdge | None = key("table", "How the other edge is finished.", default=None, of=FinishedEdge)
    hole: tuple[FlatHole, ...] = key("table", "Holes drawn on the folded part.", default=None, of=FlatHole, many=True)
    tabs: tuple[Tabs, ...] = key("table", "Tabs on a cut edge, for plug welds.", default=None, of=Tabs, many=True)
    slots: tuple[FlatSlots, ...] = key("table", "Slots for the tabs of a joint.", default=None, of=FlatSlots, many=True)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        yield from tab_problems(self)
        needed, free = _SIZES[self.kind]
        every = sorted({size for both in _SIZES.values() for part in both for size in part})
        missing = [size for size in needed if getattr(self, size) is None]
        if missing:
            yield missing[0], f"is missing: a {self.kind} needs {listed(needed, 'and')}"
        for size in every:
            if getattr(self, size) is not None and size not in needed and size not in free:
                yield size, f"is not a size of a {self.kind}, which has {listed((*needed, *free), 'and')}"
