"""What a job says of joints of tabs and slots, for plug welds: tabs on the edge of one part, slots in another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from foldswing.job.keys import key, keyed, listed


@keyed
class Tabs:
    """Tabs along a cut edge, evenly spread, half a spacing from its ends; the flat is measured to their foot."""

    joint: str = key("text", "Letter or name of the joint; its slots say the same.")
    edge: str = key("word", "Which cut edge of the blank.", allowed=("start", "end"))
    count: int = key("count", "How many tabs.", most=100)
    width: float = key("length", "Width of a tab along the edge.")
    through: float = key("length", "Thickness of the sheet they go through.")
    proud: float = key("length", "How far they stand out of it; 0 for plug welds.", default=0.0, zero=True)
    clearance: float = key("length", "Slot over tab, both ways.", default=0.2, zero=True)


@keyed
class FlatSlots:
    """A row of slots in one flat of the folded part, for the tabs of a joint."""

    joint: str = key("text", "Letter or name of the joint; its tabs say the same.")
    flat: int = key("count", "Which flat: 1 is at the start of the blank.")
    from_start: float = key(
        "length",
        "Middle line of the slots, or where the joint begins if they run across the bends; from where that flat's "
        "length is measured at its start.",
        zero=True,
    )
    across: float = key(
        "length",
        "Where the joint begins, along the bends from the part's near end; or the middle line of the slots if they run "
        "across the bends.",
        zero=True,
    )
    run: str = key(
        "word", "Which way the row runs.", default="along the bends", allowed=("along the bends", "across the bends")
    )


@keyed
class PanelSlots:
    """A row of slots in a panel of the folded tray, for the tabs of a joint."""

    joint: str = key("text", "Letter or name of the joint; its tabs say the same.")
    panel: str = key("word", "Which panel.", allowed=("base", "flange", "return"))
    side: str | None = key(
        "word", "Of which side, unless it is the base.", default=None, allowed=("front", "rear", "left", "right")
    )
    along: float = key(
        "length", "Where the joint begins, or its middle line if it runs up; measured as that of a hole.", zero=True
    )
    up: float = key(
        "length", "The middle line of the slots, or where the joint begins if it runs up; as that of a hole.", zero=True
    )
    run: str = key("word", "Which way the row runs.", default="along", allowed=("along", "up"))

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if (self.side is None) != (self.panel == "base"):
            yield "side", "is not used on the base" if self.panel == "base" else f"is missing: which {self.panel}"


def tab_problems(part: Any) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with the tabs of a section: two rows on one edge, or an edge that is finished."""
    for edge, count in Counter(row.edge for row in part.tabs).items():
        if count > 1:
            yield "tabs", f"come {count} times on the {edge} edge: one row for each edge"
        finish = getattr(part, f"{edge}_edge")
        if finish is not None:
            yield "tabs", f"stand on a plain cut edge, and the {edge} edge is finished with a {finish.kind}"


def joint_problems(tabbed: Any, slotted: Any) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with the joints of a job: one name for two rows of tabs, or slots whose tabs are not there.

    `tabbed` and `slotted` are the parts that may have tabs and slots, by the name of their table.
    """
    joints = Counter(row.joint for parts in tabbed.values() for part in parts for row in part.tabs)
    for what, parts in tabbed.items():
        for row in (row for part in parts for row in part.tabs):
            if joints[row.joint] > 1:
                yield (
                    what,
                    f"has the joint '{row.joint}' {joints[row.joint]} times: each row of tabs is a joint of its own",
                )
                joints[row.joint] = 1  # told once
    for what, parts in slotted.items():
        for part in parts:
            for row in part.slots:
                if row.joint not in joints:
                    there = f"; there is {listed(sorted(joints), 'and')}" if joints else ""
                    yield (
                        what,
                        f"'{part.name}' has slots for the joint '{row.joint}', which has no tabs in this job{there}",
                    )
