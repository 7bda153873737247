"""Finished edges of a section, and the holes drawn on its flats, carried to the blank."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from foldswing import carry, edge_finish
from foldswing._core import InvalidInput
from foldswing._core.blank import Flat, Profile
from foldswing._values import value
from foldswing.edge_finish import EdgeFinish
from foldswing.job import FinishedEdge, FlatHole

Kind = Literal["bend", "return", "tab", "hem", "wire", "seam"]
_KINDS: dict[str, Kind] = {"hem": "hem", "edge": "wire", "seam": "seam"}


@value
class Finished:
    """A section with its edges finished.

    Attributes
    ----------
    profile : Profile
        The section.
    names : tuple of (name, kind)
        Of its bends, in order along the blank.
    ahead : int
        Flats that the finish of the start puts before the part's own first flat.
    own : int
        How many flats are the part's own.
    allowances : tuple of (what, in words)
        What the finished edges add.
    """

    profile: Profile
    names: tuple[tuple[str, Kind], ...]
    ahead: int
    own: int
    allowances: tuple[tuple[str, str], ...]


def _made(edge: FinishedEdge, thickness: float, k_factor: float) -> EdgeFinish:
    if edge.kind == "wired edge":
        return edge_finish.wired_edge(edge.wire_diameter, thickness=thickness, k_factor=k_factor)
    word = edge.kind.split(maxsplit=1)[0]
    if edge.kind.endswith("seam"):
        return edge_finish.lock_seam(word, edge.width, thickness=thickness, k_factor=k_factor)  # type: ignore[arg-type]
    return edge_finish.hem(
        word,  # type: ignore[arg-type]
        edge.width,
        opening=edge.opening or 0.0,
        thickness=thickness,
        k_factor=k_factor,
    )


def finish(profile: Profile, start: FinishedEdge | None, end: FinishedEdge | None) -> Finished:
    """Return a section with its edges finished.

    Parameters
    ----------
    profile : Profile
        The section, its edges plain.
    start, end : FinishedEdge or None
        What is done to the edge at the start and the end of the blank.

    Returns
    -------
    Finished

    Raises
    ------
    InvalidInput
        When a fold does not go onto its flat; the message names the size to change.
    """
    own = len(profile.bend_lines)
    # The folds of an edge are made with the part's other bends: their neutral line is taken for that of its first bend.
    k_factor = min(max(profile.bend_lines[0].k_factor, 0.0), 1.0)
    edges = {name: edge for name, edge in (("start", start), ("end", end)) if edge is not None}
    made = {}
    for name, edge in edges.items():
        try:
            made[name] = _made(edge, profile.thickness, k_factor)
        except InvalidInput as why:
            raise InvalidInput(f"{name}_edge.{why}") from None
    whole = edge_finish.finished(profile, start=made.get("start"), end=made.get("end"))
    folds = {name: sum(not isinstance(p, Flat) for p in one.tail) for name, one in made.items()}

    def named(name: str) -> list[tuple[str, Kind]]:
        count = folds.get(name, 0)
        kind = _KINDS[edges[name].kind.split()[-1]] if count else "bend"
        folds_out = [(f"{name} {kind}" if count == 1 else f"{name} {kind}, fold {i + 1}", kind) for i in range(count)]
        return folds_out[::-1] if name == "start" else folds_out

    between: list[tuple[str, Kind]] = [(f"bend {i + 1}", "bend") for i in range(own)]
    names = (*named("start"), *between, *named("end"))
    return Finished(whole, names, folds.get("start", 0), own + 1, tuple(_words(edges, made)))


def _words(edges: dict[str, FinishedEdge], made: dict[str, EdgeFinish]) -> list[tuple[str, str]]:
    out = []
    for name, one in made.items():
        both = ", both edges of the joint together" if one.edge_from_line > 0.0 else ""
        rule = f"{one.rule:.2f} mm by the rule '{one.rule_text}' ({one.source})"
        if math.isnan(one.rule):
            rule = f"{one.rule_text} ({one.source})"
        out.append(
            (
                f"{edges[name].kind.capitalize()} at the {name}",
                f"adds {one.addition:.2f} mm by the neutral line{both}; {rule}; {one.note}",
            )
        )
    return out


def level_part(made: Finished, flat: int, name: str) -> tuple[float, float, float]:
    """Return where a flat's length is measured from on the blank, and where its level part starts and ends.

    Raises
    ------
    InvalidInput
        When there is no such flat; `name` says whose `flat` it is.
    """
    if flat > made.own:
        raise InvalidInput(f"{name}.flat must be 1 to {made.own}, got {flat}")
    place = made.ahead + flat - 1
    start, end = (float(v) for v in made.profile.flats[place])
    return float(carry.measured_spans(made.profile)[place, 0]), start, end


def hole_places(holes: Sequence[FlatHole], made: Finished, width: float) -> list[tuple[float, float]]:
    """Return where holes drawn on flats of the folded part lie on the blank.

    Parameters
    ----------
    holes : sequence of FlatHole
        As drawn.
    made : Finished
        The section.
    width : float
        Length along the bends, mm.

    Returns
    -------
    list of (x, y)

    Raises
    ------
    InvalidInput
        When a hole names a flat that is not there or its centre lies off it.
    """
    out = []
    for i, hole in enumerate(holes):
        told, start, end = level_part(made, hole.flat, f"hole[{i + 1}]")
        along = told + hole.from_start
        if not start <= along <= end:
            raise InvalidInput(
                f"hole[{i + 1}].from_start must be {start - told:.2f} to {end - told:.2f} mm, on the level part of "
                f"flat {hole.flat}, got {hole.from_start:g} mm"
            )
        if not hole.across <= width:
            raise InvalidInput(f"hole[{i + 1}].across must be at most the width, {width:g} mm, got {hole.across:g} mm")
        out.append((along, hole.across))
    return out
