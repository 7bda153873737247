"""Where a gate's hole may lie: the window that its stops leave in its own section, kept clear on the way."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from foldswing import clearance, gate, hinge, plane
from foldswing._core.hinge import Landing
from foldswing._core.plane import Outline, Path
from foldswing._values import value
from foldswing.evaluation.brackets import FLAT, METAL, allowed
from foldswing.evaluation.findings import Wants
from foldswing.evaluation.gate_section import asked_at, opening_asked
from foldswing.job import Gate

_CELL = 0.02  # mm; side of the smallest square of pivots: finer than any mark
_CELLS = 500  # along the longer side of the window, at most: so wide a window needs no finer edge


@value
class WindowResult:
    """Where the one pivot of gate and jamb may be drilled; section axes, mm.

    Attributes
    ----------
    status : str
        As hinge.pivot_window: 'window', 'line', 'point', 'none', 'any'.
    clear : bool
        Whether the swing was kept clear: False where no place keeps the gap, and the window is that of the stops alone.
    explanation : str
        In shop words.
    outlines : tuple of Outline
        The window.
    width, height : float
        Its extent inward to outward and up; 0 where it has none.
    best : (2,) ndarray
        The best place to drill; NaN where there is none.
    place : gate.Place or None
        Its distances from real faces.
    marks : gate.Marks or None
        Both holes as marked there, not rounded.
    forgiveness : float
        How far off any way the hole may be there; NaN where there is none.
    as_marked : float
        How far off any way the hole may be as the marks of this job have it; below zero where it lies outside.
    gap : float
        Kept on the way, bare.
    metal : float
        Least metal left round the hole in the gate's own section.
    binding : tuple of (side, what)
        What stops the hole on each side.
    sides : (n, 2, 2) ndarray
        For each of these the longest piece of the window's edge: from, to.
    cell : float
        How closely the edge that the swing sets is known.
    """

    status: str
    clear: bool
    explanation: str
    outlines: tuple[Outline, ...]
    width: float
    height: float
    best: np.ndarray
    place: gate.Place | None
    marks: gate.Marks | None
    forgiveness: float
    as_marked: float
    gap: float
    metal: float
    binding: tuple[tuple[str, str], ...]
    sides: np.ndarray
    cell: float


def evaluate_window(
    wanted: Gate,
    sizes: gate.Sizes,
    landings: Sequence[Landing],
    holes: gate.Holes,
    swing: tuple[float, Mapping[str, Path], Wants],
) -> WindowResult:
    """Work out where a gate's pivot may be drilled.

    Parameters
    ----------
    wanted : Gate
        Its hinge and stops.
    sizes : gate.Sizes
        Of its section.
    landings : sequence of Landing
        What the stops ask of the pivot.
    holes : gate.Holes
        As this job marks them.
    swing : (opening_deg, bodies, wants)
        How far it opens, what it has to pass, and the gap wanted to each.

    Returns
    -------
    WindowResult
        Status 'none' with an explanation where there is no such place.
    """
    opening, bodies, _ = swing
    bracket = wanted.hinge.bracket
    ear = wanted.hinge.ear_radius is not None
    metal = 0.0 if ear or (bracket is not None and bracket.fixed_to == "gate") else METAL
    gap = least_gap(swing)
    room = allowed(wanted, sizes, holes.jamb)
    if not room.within:
        return _nowhere(room.nowhere, gap, metal)
    section = gate.panel(sizes).outline(FLAT)
    found, clear, cell = _searched(landings, room.within, section, swing)
    if found.status == "none":
        return _nowhere(found.explanation, gap, metal)
    low, high = _extent(found)
    drilled = bool(np.isfinite(found.best_pivot).all())
    beyond = (wanted, sizes, landings, (section, room), (opening, bodies, gap))
    binding = _binding(found, beyond)
    return WindowResult(
        status=found.status,
        clear=clear,
        explanation=_explanation(found, clear, gap, bool(bodies)),
        outlines=found.outlines,
        width=float(high[0] - low[0]),
        height=float(high[1] - low[1]),
        best=found.best_pivot,
        place=gate.place(sizes, found.best_pivot) if drilled else None,
        marks=gate.marks(sizes, found.best_pivot) if drilled else None,
        forgiveness=found.forgiveness,
        as_marked=float(plane.room(found.outlines, holes.jamb)) if found.outlines else math.nan,
        gap=gap,
        metal=metal,
        binding=tuple(binding),
        sides=np.array([found.sides[i] for i in binding.values()]).reshape(-1, 2, 2),
        cell=cell,
    )


def least_gap(swing: tuple[float, Mapping[str, Path], Wants]) -> float:
    """Return the gap that is kept to every body on the way; some may want more."""
    _, bodies, wants = swing
    return min((wants.gap[name] for name in bodies), default=0.0)


def _searched(
    landings: Sequence[Landing],
    within: Sequence[Outline],
    section: Outline,
    swing: tuple[float, Mapping[str, Path], Wants],
) -> tuple[hinge.PivotWindow, bool, float]:
    """Return the window, whether the swing is kept clear in it, and the size of the cells it is known by."""
    opening, bodies, wants = swing
    gap = least_gap(swing)
    landed = hinge.pivot_window(landings, within)
    if not bodies or landed.status == "none":
        return landed, not bodies, _CELL
    low, high = _extent(landed)
    cell = max(_CELL, float((high - low).max()) / _CELLS)
    found = hinge.pivot_window(
        landings,
        within,
        panel=section,
        clear_of=[o for name, body in bodies.items() for o in _grown(body, wants.gap[name] - gap)],
        travel_to_deg=-opening,
        gap=gap + 2.0 * FLAT,
        cell=cell,
    )
    clear = found.status != "none"
    return (found if clear else landed), clear, cell


def best_place(
    wanted: Gate, sizes: gate.Sizes, landings: Sequence[Landing], swing: tuple[float, Mapping[str, Path], Wants]
) -> hinge.PivotWindow:
    """Return the window in which a pivot is chosen where the stops leave a choice; arguments as evaluate_window."""
    within = allowed(wanted, sizes, None).within
    return _searched(landings, within, gate.panel(sizes).outline(FLAT), swing)[0]


def _nowhere(said: str, gap: float, metal: float) -> WindowResult:
    void = np.full(2, math.nan)
    return WindowResult(
        "none", False, said, (), 0.0, 0.0, void, None, None, math.nan, math.nan, gap, metal, (), np.empty((0, 2, 2)),
        _CELL,
    )  # fmt: skip


def _extent(window: hinge.PivotWindow) -> tuple[np.ndarray, np.ndarray]:
    points = np.concatenate([*(o.points for o in window.outlines), window.runs.reshape(-1, 2)])
    return points.min(axis=0), points.max(axis=0)


def _grown(body: Path, by: float) -> tuple[Outline, ...]:
    """Return a body grown by what more gap is wanted to it than to the others."""
    shape = body.outline(FLAT)
    return plane.offset(shape, by) if by > 0.0 else (shape,)


def _explanation(found: hinge.PivotWindow, clear: bool, gap: float, swings: bool) -> str:
    """Return the window in a sentence or two."""
    if found.status in {"line", "point"}:
        said = "a stop allows nothing, so only a line of places serves" if found.status == "line" else found.explanation
    else:
        said = f"drilled in the best place, the hole may be {found.forgiveness:.2f} mm off any way"
    if clear or not swings:
        return said
    return f"{said}; but nowhere in it would {gap:.1f} mm be kept on the way: see what would cure the tight places"


def _binding(found: hinge.PivotWindow, beyond: tuple[Any, ...]) -> dict[tuple[str, str], int]:
    """Return what stops the hole on each side, in the words of the gate, and which piece of edge shows it."""
    wanted, sizes, landings, (section, room), (opening, bodies, gap) = beyond
    named = _names(wanted, sizes)
    names = tuple(bodies)
    fixed = [body.outline(FLAT) for body in bodies.values()]
    lengths = np.hypot(*(found.sides[:, 1] - found.sides[:, 0]).T)
    out: dict[tuple[str, str], int] = {}
    for k, sentence in enumerate(found.binding):
        side = sentence.partition(":")[0].replace("right", "outer").replace("left", "inner")
        pieces = np.flatnonzero(found.side_binding == k)
        i = int(pieces[np.argmax(lengths[pieces])])
        limit = int(found.side_limits[i])
        if limit >= 0:
            landing = landings[int(found.half_plane_stops[limit])]
            rows = np.flatnonzero(found.half_plane_stops == found.half_plane_stops[limit])
            too_far, too_short = named.get(landing, ("the stop would land too far on", "the stop would land short"))
            over = limit == rows[0] if landing.kind == "on" else landing.kind == "at_most"
            what = f"{too_far if over else too_short} by more than {landing.tolerance:.3g} mm"
        elif limit == -3:
            past = clearance.minimum_gap(section, fixed, hinge.PivotHinge(found.sides[i].mean(axis=0), 0.0, -opening))
            what = f"on the way it would pass the {names[int(past.body)]} by less than wanted, {gap:.1f} mm"
        else:
            what = room.words(found.sides[i].mean(axis=0))
        out.setdefault((side, what), i)
    return out


_TOO = {
    "face": ("the inner face would stand proud", "the inner face would lie low"),
    "nose gap": ("the gap to the nose would be wide", "the gap to the nose would be narrow"),
    "edge": ("the free edge would stand high", "the free edge would stand low"),
}


def _names(wanted: Gate, sizes: gate.Sizes) -> dict[Landing, tuple[str, str]]:
    """Return for each landing that a stop may ask what it is to land too far up or out, and too little."""
    out: dict[Landing, tuple[str, str]] = {}
    for stop in wanted.stop:
        opening = opening_asked(stop, sizes)
        if opening is None:
            continue
        every = [(ask.what, ask.landing) for ask in asked_at(stop, sizes, opening)]
        if wanted.gaps.nose is not None:
            kept = gate.nose_gap_landing(sizes, opening, wanted.gaps.nose, tolerance=stop.within)
            every.append(("nose gap", kept))
        for what, landing in every:
            over, under = _TOO[what]
            out.setdefault(landing, (f"{over} at '{stop.name}'", f"{under} at '{stop.name}'"))
    return out
