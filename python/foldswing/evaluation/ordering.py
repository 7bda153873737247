"""In which order a part is bent on the shop's brakes, and how the blanks are cut from its sheets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Literal

from foldswing import bend_order, blank, cut_list
from foldswing._values import value
from foldswing.job import BrakeTool, Job
from foldswing.job.shop import SAME_SHEET


@value
class BrakeOrder:
    """The bends of one part on one brake.

    Attributes
    ----------
    brake : str
        What the brake is called.
    line : {'sight line', 'bend centre line'}
        What is set under its tool.
    found : bend_order.Order
        The order, or why there is none.
    ends : (str, str)
        What the two ends of a section are called on the sheet.
    """

    brake: str
    line: str
    found: bend_order.Order
    ends: tuple[str, str]


@value
class CutSheet:
    """The blanks of one metal on its sheets.

    Attributes
    ----------
    metal : str
        The metal.
    thickness : float
        mm.
    layout : cut_list.Layout
        The blanks on the sheets.
    """

    metal: str
    thickness: float
    layout: cut_list.Layout


def brake_of(tool: BrakeTool) -> bend_order.Brake:
    """Return a brake of the shop: the invented outlines of its kind, with the figures the shop gives.

    Parameters
    ----------
    tool : BrakeTool
        As the shop or the job file says.
    """
    if tool.v_opening is not None:
        made = bend_order.invented_press_brake(tool.v_opening)
    elif tool.kind == "box-and-pan brake":
        made = bend_order.invented_box_and_pan_brake()
    else:
        made = bend_order.invented_leaf_brake()
    given = {
        "name": tool.name,
        "opens": tool.opens,
        "greatest_angle_deg": tool.greatest_angle,
        "least_hold": tool.least_hold,
        "least_flange": tool.least_flange,
        "fingers": tool.fingers or None,
        "finger_height": tool.finger_height,
        "gauge_from": tool.stop_nearest,
        "gauge_to": tool.stop_farthest,
    }
    return bend_order.Brake.from_dict({**made.to_dict(), **{k: v for k, v in given.items() if v is not None}})


def _first_that_can(
    job: Job, search: Callable[[bend_order.Brake, Literal["behind", "front"]], bend_order.Order], ends: tuple[str, str]
) -> BrakeOrder | None:
    """Return the order on the first brake that has one, else what the first says; None without brakes or bends."""
    tried = []
    for tool in job.brake_tool:
        side: Literal["behind", "front"] = "front" if tool.stop == "front" else "behind"
        found = search(brake_of(tool), side)
        line = "bend centre line" if tool.kind == "press brake" else "sight line"
        tried.append(BrakeOrder(tool.name, line, found, ends))
        if found.status == "found":
            return tried[-1]
    return tried[0] if tried else None


def section_order(profile: blank.Profile, names: Sequence[str], kinds: Sequence[str], job: Job) -> BrakeOrder | None:
    """Return the order in which a section is bent; None where the job names no brake, or an edge is folded shut.

    Parameters
    ----------
    profile : Profile
        The section.
    names, kinds : sequence of str
        What its bends are called and what they make: hems, wires and seams are not closed on a brake alone.
    job : Job
        For its brakes.
    """
    if not names or len(names) > bend_order.MOST_BENDS or set(kinds) - {"bend"}:
        return None
    return _first_that_can(
        job,
        lambda brake, side: bend_order.search(profile, brake, gauge=side, names=list(names)),
        ("left end", "right end"),
    )


def pan_order(pan: blank.Pan, job: Job) -> BrakeOrder | None:
    """Return the order in which a pan is bent; None where the job names no brake.

    Parameters
    ----------
    pan : Pan
        The pan.
    job : Job
        For its brakes.
    """
    names = ["left", "right", "front", "rear"]
    return _first_that_can(
        job,
        lambda brake, side: bend_order.search(pan, brake, gauge=side, names=names),
        ("left or front edge", "right or rear edge"),
    )


def cut_sheets(blanks: Sequence[Any], one_section: set[str], job: Job) -> tuple[CutSheet, ...]:
    """Return how the blanks of a job are cut from the sheets in stock, metal by metal.

    Parameters
    ----------
    blanks : sequence of BlankResult
        As worked out.
    one_section : set of str
        Names of the parts whose bends all run one way: their grain is to run across the bends.
    job : Job
        For its stock and how it cuts.
    """
    if not job.stock:
        return ()
    cutting = job.cutting
    groups: dict[tuple[str, float], list[Any]] = {}
    for done in blanks:
        same = next((k for k in groups if _same(k, done.metal, done.thickness)), (done.metal, done.thickness))
        groups.setdefault(same, []).append(done)
    out = []
    for (metal, thickness), parts in groups.items():
        sheets = [
            cut_list.Sheet(s.name, s.length, s.width, s.count, _GRAINS[s.grain])
            for s in job.stock
            if _same((metal, thickness), s.metal, s.thickness)
        ]
        if not sheets:
            continue
        wanted = [
            cut_list.Blank(
                p.name,
                p.sheet[0],
                p.sheet[1],
                1,
                "length" if cutting.across_grain and p.name in one_section else "any",
            )
            for p in parts
        ]
        layout = cut_list.lay_out(
            wanted,
            sheets,
            kerf=cutting.kerf,
            edge=cutting.edge,
            guillotine=cutting.right_across,
            least_remnant=cutting.least_remnant,
        )
        out.append(CutSheet(metal, thickness, layout))
    return tuple(out)


_GRAINS: dict[str, Any] = {"along length": "length", "along width": "width", "not known": "any"}


def _same(group: tuple[str, float], metal: str, thickness: float) -> bool:
    return group[0].casefold() == metal.casefold() and abs(group[1] - thickness) <= SAME_SHEET
