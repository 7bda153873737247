"""In which order a part is bent on the shop's brakes, and how the blanks are cut from its sheets."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Sequence
from typing import Any, Literal

from foldswing import bend_order, blank, cut_list
from foldswing._values import value
from foldswing.evaluation.edges import Finished
from foldswing.job import BrakeTool, Job
from foldswing.job.keys import listed
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
    found : bend_order.Order or None
        The order, or why there is none; None where it was not looked for, or nothing can be said.
    behind : tuple of str
        Which edge of the part goes into the brake, step by step.
    left_out : tuple of str
        What the order does not hold, or why none is shown, in words.
    invented : tuple of str
        The tools for which invented outlines stand.
    """

    brake: str
    line: str
    found: bend_order.Order | None
    behind: tuple[str, ...]
    left_out: tuple[str, ...] = ()
    invented: tuple[str, ...] = ()

    @property
    def numbers(self) -> dict[str, int]:
        """When each bend is made, by its name: 1 is first; empty where there is no order."""
        steps = self.found.steps if self.found is not None else ()
        return {step.name: i for i, step in enumerate(steps, start=1)}


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


_Side = Literal["behind", "front"]
_ACROSS = {"start": "left edge", "end": "right edge"}
_UP = {"start": "front edge", "end": "rear edge"}
_ALONG = {"start": "left end", "end": "right end"}
_OTHER = {"start": "end", "end": "start"}


def _first_that_can(
    job: Job,
    attempt: Callable[[bend_order.Brake, _Side], tuple[bend_order.Order | None, tuple[str, ...]]],
    behind: Callable[[bend_order.Step], str],
) -> BrakeOrder | None:
    """Return the order on the first brake that has one, else what the first says; None without brakes."""
    tried = []
    for tool in job.brake_tool:
        found, left_out = attempt(tool.brake, "front" if tool.stop == "front" else "behind")
        line = "bend centre line" if tool.kind == "press brake" else "sight line"
        steps = found.steps if found is not None else ()
        tried.append(BrakeOrder(tool.name, line, found, tuple(behind(s) for s in steps), left_out, tool.invented))
        if steps:
            return tried[-1]
    return tried[0] if tried else None


_SEAM = (
    "No order is shown: the folds of a lock seam are closed on the other sheet, before or after the bends as the joint "
    "allows"
)


def section_order(plain: blank.Profile, made: Finished, job: Job) -> BrakeOrder | None:
    """Return the order in which a section is bent; None where the job names no brake.

    Hems and wired edges are taken as closed first, in the flat. The order is that of the plain section, which a closed
    edge can only hinder; it is given if every bend of it can be made with the closed edges on.

    Parameters
    ----------
    plain : Profile
        The section, its edges plain: a flat with a finished edge is as long as it will be over that.
    made : Finished
        The same with its edges finished.
    job : Job
        For its brakes.
    """
    names = [name for name, kind in made.names if kind == "bend"]
    folded = {kind for _, kind in made.names} - {"bend"}
    why = _SEAM if "seam" in folded else ""
    if len(made.names) > bend_order.MOST_BENDS:
        most = bend_order.MOST_BENDS
        why = f"No order is shown: it has {len(made.names)} bends, and more than {most} are not looked at"

    def attempt(brake: bend_order.Brake, side: _Side) -> tuple[bend_order.Order | None, tuple[str, ...]]:
        if why:
            return None, (why,)
        if folded:
            return _with_closed_edges(plain, made, names, brake, side)
        return _ends_told(bend_order.search(plain, brake, gauge=side, names=names)), ()

    return _first_that_can(job, attempt, lambda step: _ALONG[step.at_gauge])


def _ends_told(found: bend_order.Order) -> bend_order.Order:
    """Return an order of a section with its ends called as on the sheet, where the blank's start lies at the left."""
    return dataclasses.replace(found, explanation=_end_names(found.explanation))


def _end_names(words: str) -> str:
    return re.sub(r"\bthe (start|end) behind\b", lambda said: f"the {_ALONG[said[1]]} behind", words)


_EDGES = {"hem": "hem", "wire": "wired edge"}


def _with_closed_edges(
    plain: blank.Profile, made: Finished, names: list[str], brake: bend_order.Brake, side: _Side
) -> tuple[bend_order.Order | None, tuple[str, ...]]:
    """Return the order of a section whose edges are closed first, and what it does not hold."""
    ends = dict.fromkeys((kind, name.split()[0]) for name, kind in made.names if kind != "bend")
    edges = listed([f"{_EDGES[kind]} at the {end}" for kind, end in ends], "and")
    one = len(ends) == 1
    hindered = ""
    for swapped in (False, True):  # of two ends that serve alike the search takes the first: the other may be free
        part = _end_for_end(plain) if swapped else plain
        found = bend_order.search(part, brake, gauge=side, names=names[::-1] if swapped else names)
        found = _in_the_blank(found, made.ahead, len(names), swapped=swapped)
        if found.status == "none":
            return _ends_told(found), (f"That is so with the {edges} left plain; closed, there is more in the way",)
        why = _in_the_way(found, made, brake, side)
        if not why:
            return found, (
                f"The {edges} {'is' if one else 'are'} closed first, while the blank is flat: that is not in this "
                f"order, and the pictures leave it out. Every bend was looked at with {'it' if one else 'them'} closed",
            )
        hindered = hindered or why
    return None, (
        f"No order is shown: with the {edges} closed first, {hindered}. Whether another order goes, or one with the "
        "edge closed later, was not looked at",
    )


def _end_for_end(profile: blank.Profile) -> blank.Profile:
    """Return a section written down from its other end."""
    basis = {name: getattr(profile, name) for name in ("k_factor", "deduction", "allowance")}
    parts = [
        p if isinstance(p, blank.Bend) or isinstance(p.measured, str) else blank.Flat(p.length, p.measured[::-1])
        for p in reversed(profile.parts)
    ]
    return blank.Profile(parts, profile.thickness, **{name: v for name, v in basis.items() if v is not None})


def _in_the_blank(found: bend_order.Order, ahead: int, bends: int, *, swapped: bool) -> bend_order.Order:
    """Return an order of a plain section with its bends counted along the blank, the folds of its edges included."""

    def place(bend: int) -> int:
        return ahead + (bends - 1 - bend if swapped else bend)

    steps = tuple(
        dataclasses.replace(s, bend=place(s.bend), at_gauge=_OTHER[s.at_gauge] if swapped else s.at_gauge)
        for s in found.steps
    )
    return dataclasses.replace(found, steps=steps, blocking=tuple(place(b) for b in found.blocking))


def _in_the_way(found: bend_order.Order, made: Finished, brake: bend_order.Brake, side: _Side) -> str:
    """Return what stands in the way of an order once the edges are closed; empty where nothing does."""
    done = [i for i, (_, kind) in enumerate(made.names) if kind != "bend"]
    for step in found.steps:
        at: Literal["start", "end"] = "start" if step.at_gauge == "start" else "end"
        why = bend_order.obstacle(made.profile, brake, done, step.bend, at_gauge=at, gauge=side)
        if why:
            return f"{step.name} cannot be made: {_by_name(why, made)}"
        done.append(step.bend)
    return ""


def _by_name(words: str, made: Finished) -> str:
    """Return words of the search about the whole blank with its bends and flats called as on the sheet."""

    def flat(found: re.Match[str]) -> str:
        own = int(found[1]) - made.ahead
        return f"flat {own}" if 1 <= own <= made.own else "the closed edge"

    words = re.sub(r"\bbend (\d+)", lambda found: made.names[int(found[1]) - 1][0], words)
    return _end_names(re.sub(r"\bflat (\d+)", flat, words))


def tray_order(
    part: bend_order.Tray, names: Sequence[str], job: Job, left_out: tuple[str, ...] = ()
) -> BrakeOrder | None:
    """Return the order in which a pan or tray is bent; None where the job names no brake or nothing is bent.

    Parameters
    ----------
    part : bend_order.Tray
        Its two sections: left to right, and front to rear.
    names : sequence of str
        What its bends are called, from the left, then from the front.
    job : Job
        For its brakes.
    left_out : tuple of str
        What the order does not hold, in words.
    """
    if not names:
        return None
    across = len(part.lengthwise.bend_lines)
    return _first_that_can(
        job,
        lambda brake, side: (bend_order.search(part, brake, gauge=side, names=list(names)), left_out),
        lambda step: (_ACROSS if step.bend < across else _UP)[step.at_gauge],
    )


def brake_used(order: BrakeOrder | None, job: Job) -> BrakeTool | None:
    """Return the brake of an order as the shop or the job gives it; None without one."""
    return next((tool for tool in job.brake_tool if order is not None and tool.name == order.brake), None)


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
