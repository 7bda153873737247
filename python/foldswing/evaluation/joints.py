"""Joints of tabs and slots: what stands past the edge of one blank, and what is cut out of another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from foldswing import bend_check, blank, edge_finish
from foldswing._core import InvalidInput
from foldswing._values import value
from foldswing.edge_finish import TabsAndSlots
from foldswing.evaluation.edges import Finished, level_part
from foldswing.evaluation.findings import Finding
from foldswing.job import BentPart, FlatSlots, Job, PanelSlots, Section, Tabs
from foldswing.job.shop import SAME_SHEET
from foldswing.tray import Tray

_EDGES: dict[str, Literal["left", "right"]] = {"start": "left", "end": "right"}


@value
class TabRow:
    """Tabs along an edge of a blank; lengths mm.

    Attributes
    ----------
    joint : str
        Letter or name of the joint.
    edge : {'left', 'right'}
        Edge of the blank they stand past.
    size : TabsAndSlots
        The tabs, and the slots for them.
    spans : (n, 2) ndarray
        Lower and upper side of each tab, from the bottom edge.
    foot : float
        Where they begin, from the left edge of the sheet.
    """

    joint: str
    edge: Literal["left", "right"]
    size: TabsAndSlots
    spans: np.ndarray
    foot: float


@value
class SlotRow:
    """Slots cut out of a blank; lengths mm.

    Attributes
    ----------
    joint, of : str
        Letter or name of the joint, and the part that has its tabs.
    centres : (n, 2) ndarray
        From the left and bottom edge of the sheet.
    size : (float, float)
        Of each, left to right and up.
    """

    joint: str
    of: str
    centres: np.ndarray
    size: tuple[float, float]


def made_tabs(row: Tabs, wanted: BentPart | Section, job: Job) -> TabsAndSlots:
    """Return the tabs of one row and their slots.

    Raises
    ------
    InvalidInput
        When less than a thickness of metal would be left between the slots.
    """
    try:
        return edge_finish.tabs_and_slots(
            wanted.width,
            row.count,
            row.width,
            thickness=job.material_named(wanted.material).thickness,
            through=row.through,
            proud=row.proud,
            clearance=row.clearance,
        )
    except InvalidInput as why:
        raise InvalidInput(f"tabs of joint '{row.joint}': {str(why).replace('tab_width', 'width')}") from None


def tab_rows(wanted: BentPart | Section, job: Job, length: float) -> tuple[TabRow, ...]:
    """Return the tabs of a section whose plain blank is `length` long, those on the left edge first."""
    made = {_EDGES[row.edge]: (row.joint, made_tabs(row, wanted, job)) for row in wanted.tabs}
    before = made["left"][1].tab_height if "left" in made else 0.0
    out = []
    for edge, foot in (("left", before), ("right", before + length)):
        if edge in made:
            joint, size = made[edge]
            half = 0.5 * size.tab_width
            out.append(TabRow(joint, edge, size, np.column_stack([size.centres - half, size.centres + half]), foot))
    return tuple(out)


def past_edges(rows: Sequence[TabRow]) -> tuple[float, float]:
    """Return how far tabs stand past the left and the right edge."""
    past = {row.edge: row.size.tab_height for row in rows}
    return past.get("left", 0.0), past.get("right", 0.0)


def tabbed_outline(length: float, width: float, rows: Sequence[TabRow]) -> list[tuple[float, float]]:
    """Return the corners of a blank with its tabs, counter-clockwise, lower left corner of the sheet at the origin."""
    before, _ = past_edges(rows)
    left, right = before, before + length
    by_edge = {row.edge: row for row in rows}
    corners = [(left, 0.0), (right, 0.0)]
    if "right" in by_edge:
        row = by_edge["right"]
        tip = right + row.size.tab_height
        for low, high in row.spans.tolist():
            corners += [(right, low), (tip, low), (tip, high), (right, high)]
    corners += [(right, width), (left, width)]
    if "left" in by_edge:
        for low, high in by_edge["left"].spans.tolist()[::-1]:
            corners += [(left, high), (0.0, high), (0.0, low), (left, low)]
    return corners


def with_tabs(profile: blank.Profile, rows: Sequence[TabRow]) -> blank.Profile:
    """Return a section as long as its tabs reach: so the brake's stop and tools meet it."""
    before, after = past_edges(rows)
    if not before and not after:
        return profile
    parts = list(profile.parts)
    for place, past in ((0, before), (-1, after)):
        if past > 0.0:
            flat = parts[place]
            assert isinstance(flat, blank.Flat)  # tabs stand on plain cut edges
            parts[place] = blank.Flat(flat.length + past, flat.measured)
    told = {name: getattr(profile, name) for name in ("k_factor", "deduction", "allowance")}
    return blank.Profile(parts, profile.thickness, **{name: given for name, given in told.items() if given is not None})


def _tabs_of(joint: str, job: Job) -> tuple[str, Tabs, TabsAndSlots]:
    """Return the part that has the tabs of a joint, the row as wanted, and as made."""
    tabbed: tuple[BentPart | Section, ...] = (*job.section, *job.bent_part)
    part, row = next((p, r) for p in tabbed for r in p.tabs if r.joint == joint)
    return part.name, row, made_tabs(row, part, job)


def flat_slots(wanted: BentPart | Section, made: Finished, job: Job) -> list[SlotRow]:
    """Return the slots in the flats of a section, on its plain blank.

    Raises
    ------
    InvalidInput
        When a row names a flat that is not there, or runs off the level part of it.
    """
    out = []
    for i, row in enumerate(wanted.slots):
        of, _, size = _tabs_of(row.joint, job)
        name = f"slots[{i + 1}]"
        told, start, end = level_part(made, row.flat, name)
        along_bends = row.run == "along the bends"
        place = np.array([told + row.from_start, row.across])
        step = np.array([0.0, 1.0]) if along_bends else np.array([1.0, 0.0])
        centres = place + np.outer(size.centres, step)
        wide = (size.slot_width, size.slot_length) if along_bends else (size.slot_length, size.slot_width)
        low = centres.min(axis=0) - 0.5 * np.array(wide)
        high = centres.max(axis=0) + 0.5 * np.array(wide)
        if low[0] < start or high[0] > end:
            raise InvalidInput(
                f"{name}.from_start must leave the slots on the level part of flat {row.flat}, {start - told:.2f} to "
                f"{end - told:.2f} mm; at {row.from_start:g} mm they reach from {low[0] - told:.2f} to "
                f"{high[0] - told:.2f} mm"
            )
        if low[1] < 0.0 or high[1] > wanted.width:
            raise InvalidInput(
                f"{name}.across must leave the slots on the part, {wanted.width:g} mm wide; at {row.across:g} mm they "
                f"reach from {low[1]:.2f} to {high[1]:.2f} mm"
            )
        out.append(SlotRow(row.joint, of, centres, wide))
    return out


def places_on_panel(row: PanelSlots, job: Job) -> tuple[np.ndarray, tuple[float, float]]:
    """Return where the slots of a row lie on their panel, along and up, and the size of each the same way."""
    _, _, size = _tabs_of(row.joint, job)
    runs_along = row.run == "along"
    place = np.array([row.along, row.up])
    wide = (size.slot_length, size.slot_width) if runs_along else (size.slot_width, size.slot_length)
    return place + np.outer(size.centres, [1.0, 0.0] if runs_along else [0.0, 1.0]), wide


def panel_slots(rows: Sequence[PanelSlots], made: Tray, sides: dict[str, str], job: Job) -> list[SlotRow]:
    """Return the slots in the panels of a tray, on its blank; `sides` gives the tray's words for a job's sides."""
    out = []
    for row in rows:
        places, size = places_on_panel(row, job)
        side = None if row.side is None else sides[row.side]
        centres = np.array([made.place(row.panel, side, x, y) for x, y in places.tolist()])
        # The left and right panels lie on the blank turned a quarter.
        turned = row.side in {"left", "right"}
        out.append(SlotRow(row.joint, _tabs_of(row.joint, job)[0], centres, size[::-1] if turned else size))
    return out


def moved(rows: Sequence[SlotRow], x: float, y: float) -> tuple[SlotRow, ...]:
    """Return slots with the sheet's corner moved away from them."""
    return tuple(SlotRow(r.joint, r.of, r.centres + np.array([x, y]), r.size) for r in rows)


def other_sheet(rows: Sequence[FlatSlots | PanelSlots], thickness: float, job: Job) -> list[Finding]:
    """Return a finding for every row of slots in a sheet that its tabs were not made for."""
    out = []
    for row in rows:
        of, tabs, _ = _tabs_of(row.joint, job)
        if abs(tabs.through - thickness) > SAME_SHEET:
            short = tabs.through < thickness
            out.append(
                Finding(
                    f"The tabs of joint {row.joint} are made for another sheet",
                    f"tabs of {of} go through {tabs.through:.2f} mm, the slots are in {thickness:.2f} mm",
                    "the tabs end below the face and the weld has to fill the rest"
                    if short
                    else "the tabs stand proud",
                    f"give the tabs through = {thickness:g} mm",
                    stops_work=False,
                )
            )
    return out


def near_a_bend(clear: float, bend: str, row: SlotRow, thickness: float) -> list[Finding]:
    """Return a finding where slots stand so near a bend that it pulls them open."""
    found = bend_check.check_hole(clear, thickness)
    if found.outcome != "fails":
        return []
    return [
        Finding(
            f"{found.what.replace('A hole', 'A slot').replace('a bend', f'the bend {bend!r}')}",
            f"joint {row.joint}: {found.number.replace('hole', 'slot')}",
            "the bend pulls the slot open and the tab sits loose in it",
            "the joint farther from the bend, or cut the slots after bending",
            stops_work=False,
        )
    ]
