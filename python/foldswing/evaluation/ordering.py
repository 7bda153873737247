"""In which order a part is bent on the shop's brakes, and how the blanks are cut from its sheets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Literal, NamedTuple

from foldswing import bend_order, cut_list
from foldswing._values import value
from foldswing.evaluation.edges import Finished
from foldswing.evaluation.findings import Finding
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


def section_order(made: Finished, job: Job) -> BrakeOrder | None:
    """Return the order in which a section is bent; None where the job names no brake.

    Hems and wired edges are taken as closed first, in the flat: every bend is looked at with them on.

    Parameters
    ----------
    made : Finished
        The section with its edges finished.
    job : Job
        For its brakes.
    """
    names = [name for name, _ in made.names]
    closed = [i for i, (_, kind) in enumerate(made.names) if kind != "bend"]
    kinds = {kind for _, kind in made.names}
    why = _SEAM if "seam" in kinds else ""
    if len(names) > bend_order.MOST_BENDS:
        most = bend_order.MOST_BENDS
        why = f"No order is shown: it has {len(names)} bends, and more than {most} are not looked at"
    flats = [
        f"flat {own}" if 1 <= (own := i + 1 - made.ahead) <= made.own else "the closed edge"
        for i in range(len(names) + 1)
    ]

    def attempt(brake: bend_order.Brake, side: _Side) -> tuple[bend_order.Order | None, tuple[str, ...]]:
        if why:
            return None, (why,)
        found = bend_order.search(
            made.profile, brake, gauge=side, names=names, flats=flats, ends=tuple(_ALONG.values()), made=closed
        )
        return found, _closed_first(made, found)

    return _first_that_can(job, attempt, lambda step: _ALONG[step.at_gauge])


_EDGES = {"hem": "hem", "wire": "wired edge"}


def _closed_first(made: Finished, found: bend_order.Order) -> tuple[str, ...]:
    """Return what is to be said of closed edges; nothing where there are none."""
    ends = dict.fromkeys((kind, name.split()[0]) for name, kind in made.names if kind != "bend")
    if not ends:
        return ()
    edges = listed([f"{_EDGES[kind]} at the {end}" for kind, end in ends], "and")
    it, are = ("it", "is") if len(ends) == 1 else ("them", "are")
    if found.status == "none":
        return (
            f"That is so with the {edges} closed first; whether an order goes with {it} closed later was not tried",
        )
    return (
        f"The {edges} {are} closed first, while the blank is flat: that is not in this order. Every bend was looked at "
        f"with {it} closed",
    )


def no_order(order: BrakeOrder | None, job: Job) -> list[Finding]:
    """Return what is to be said where a part's bends can be made in no order on the brake.

    Parameters
    ----------
    order : BrakeOrder or None
        As worked out; it stops the work only where nothing was taken for granted: no invented outline stands for a
        tool of the brake, and nothing is left out of the order.
    job : Job
        For its other brakes.
    """
    if order is None or order.found is None or order.found.status != "none":
        return []
    others = "; nor on another brake of the shop" if len(job.brake_tool) > 1 else ""
    certain = not order.invented and not order.left_out
    return [
        Finding(
            "Its bends can be made in no order" if certain else "No order of its bends was found",
            f"on the {order.brake}: {order.found.explanation.rstrip('.')}{others}",
            "it jams against the tools or itself before it is done",
            "another brake, a shorter flange where it is hindered, or two parts joined",
            stops_work=certain,
        )
    ]


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
    flats = [*_panels(names[:across], part.base_lengthwise), *_panels(names[across:], part.base_crosswise)]
    ends = (*_ACROSS.values(), *_UP.values())
    return _first_that_can(
        job,
        lambda brake, side: (bend_order.search(part, brake, gauge=side, names=names, flats=flats, ends=ends), left_out),
        lambda step: (_ACROSS if step.bend < across else _UP)[step.at_gauge],
    )


def _panels(names: Sequence[str], base: int) -> list[str]:
    """Return what the flats of one section of a tray are called: each but the base as the bend at its inner side."""
    told = [f"the {name}" for name in names]
    return [*told[:base], "the base", *told[base:]]


def brake_used(order: BrakeOrder | None, job: Job) -> BrakeTool | None:
    """Return the brake of an order as the shop or the job gives it; None without one."""
    return next((tool for tool in job.brake_tool if order is not None and tool.name == order.brake), None)


class Piece(NamedTuple):
    """A piece to cut: its rectangle, left to right and up the drawing, and whether its bends all run one way."""

    name: str
    metal: str
    thickness: float
    sheet: tuple[float, float]
    many: int = 1
    one_way: bool = False


def cut_sheets(pieces: Sequence[Piece], job: Job) -> tuple[CutSheet, ...]:
    """Return how the pieces of a job are cut from the sheets in stock, metal by metal.

    Parameters
    ----------
    pieces : sequence of Piece
        Blanks and patterns as worked out; the grain of one whose bends all run one way is to run across them.
    job : Job
        For its stock and how it cuts.
    """
    if not job.stock:
        return ()
    cutting = job.cutting
    groups: dict[tuple[str, float], list[Piece]] = {}
    for piece in pieces:
        same = next((k for k in groups if _same(k, piece.metal, piece.thickness)), (piece.metal, piece.thickness))
        groups.setdefault(same, []).append(piece)
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
                p.many,
                "length" if cutting.across_grain and p.one_way else "any",
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
