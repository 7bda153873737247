"""A picture for each result, in matplotlib axes of your own or new ones.

Every function returns its axes. x is to the right and y up, both at one scale unless the docstring says otherwise; the
view is named under the title. Bodies, poses and lines differ by dashes, hatching and words, not by colour alone, so
that a picture copied in black and white says the same. These are pictures to look at: templates to mark out from are
made by `foldswing.template`, full size.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from foldswing import InvalidInput, Pose, clearance, plane, units
from foldswing import hinge as _hinge
from foldswing._plot_curves import arc_fit, rise_table, sweep_map
from foldswing._plot_patterns import pattern
from foldswing._plot_seams import seam
from foldswing._plot_windows import pivot_window
from foldswing._plotting import (
    BLACK,
    BLUE,
    GREY,
    MARKERS,
    RED,
    Look,
    axes,
    fan,
    finish,
    fixed_bodies,
    inside,
    look,
    name_in_view,
    numbered,
    patch,
    shapes,
    solid,
    words,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = [
    "arc_fit",
    "blank",
    "gap_along",
    "outlines",
    "pattern",
    "pivot_window",
    "pivots",
    "rise_table",
    "seam",
    "section",
    "sweep_map",
    "swept",
    "swing",
]

AXIS_VIEW = "seen along the hinge axis"
_STATIONS = 181  # of a swing: a degree apart over a half turn
_STOPS = (("shut", 0.0), ("open", 1.0))


def _count(name: str, given: Any, least: int) -> int:
    if isinstance(given, bool) or not isinstance(given, (int, np.integer)) or given < least:
        msg = f"{name} must be a whole number of at least {least}, got {given!r}"
        raise InvalidInput(msg)
    return int(given)


def _one_motion(motion: Any) -> Any:
    if not hasattr(motion, "poses") or not hasattr(motion, "breaks"):
        msg = f"motion must be a motion such as PivotHinge, got {motion!r}"
        raise InvalidInput(msg)
    return motion


def _poses(motion: Any, s: np.ndarray) -> list[Pose]:
    batch = motion.poses(s)
    return [Pose(x, y, a) for x, y, a in zip(batch.x, batch.y, batch.angle_deg, strict=True)]


def outlines(bodies: Any, *, title: str = "", view: str = AXIS_VIEW, ax: Axes | None = None) -> Axes:
    """Draw outlines or paths, each with its name, line and hatch.

    Parameters
    ----------
    bodies : Outline, Path, or list or mapping of them
    title, view : str
        Heading, and from where the section is seen.
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes

    Raises
    ------
    InvalidInput
        When something else is given.
    """
    named = shapes("bodies", bodies)
    ax = axes(ax, title, view)
    for i, (name, shape) in enumerate(named.items()):
        style = look(i)
        patch(
            ax, shape, facecolor="white", edgecolor=style.colour, linestyle=style.dash, hatch=style.hatch,
            linewidth=1.6, label=name or None,
        )  # fmt: skip
    return finish(ax)


def swing(
    panel: Any,
    fixed: Any,
    motion: Any,
    *,
    stops: Sequence[tuple[str, float]] = _STOPS,
    ghosts: int = 4,
    tolerance: Any = 0.01,
    title: str = "",
    view: str = AXIS_VIEW,
    ax: Axes | None = None,
) -> Axes:
    """Draw a panel at its stops and on the way, with its closest approach to each body on each leg.

    Parameters
    ----------
    panel : Outline, Path, or list of them
        Panel coordinates.
    fixed : Outline, Path, or list or mapping of them
        What stands still.
    motion : motion
        One motion, such as a PivotHinge.
    stops : sequence of (name, s)
        As in `clearance.closest_approaches`.
    ghosts : int
        Poses drawn thinly between two stops, >= 0.
    tolerance : length
        As in `clearance.closest_approaches`.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Approaches are numbered at their places; the legend gives the gap and the angle, or the overlap.

    Raises
    ------
    InvalidInput
        As `clearance.closest_approaches`.
    """
    moving, bodies = shapes("panel", panel), shapes("fixed", fixed)
    motion = _one_motion(motion)
    ghosts = _count("ghosts", ghosts, 0)
    found = clearance.closest_approaches(
        [solid(p) for p in moving.values()],
        {name or "fixed body": solid(b) for name, b in bodies.items()},
        motion,
        stops,
        tolerance,
    )
    ax = axes(ax, title, view, size=(9.5, 6.0))
    fixed_bodies(ax, bodies)
    _traces(ax, moving.values(), motion)
    for (_, a), (_, b) in pairwise(stops):
        for pose in _poses(motion, np.linspace(a, b, ghosts + 2)[1:-1]):
            for shape in moving.values():
                patch(ax, shape.moved(pose), facecolor="none", edgecolor=GREY, linewidth=0.6)
    for i, ((name, _), pose) in enumerate(zip(stops, _poses(motion, np.array([s for _, s in stops])), strict=True)):
        style = look(i)
        for shape in moving.values():
            placed = shape.moved(pose)
            patch(ax, placed, facecolor="none", edgecolor=style.colour, linestyle=style.dash, linewidth=2.0)
        words(ax, inside(placed), name, color=style.colour)
    _pivot_mark(ax, motion)
    _approaches(ax, found)
    return finish(ax)


def _traces(ax: Axes, moving: Any, motion: Any) -> None:
    """Draw the way of every corner."""
    poses = motion.poses(np.linspace(0.0, 1.0, _STATIONS))
    for shape in moving:
        for track in np.swapaxes(poses.apply(shape.points), 0, 1):
            ax.plot(track[:, 0], track[:, 1], color=GREY, linewidth=0.5, linestyle=":", zorder=1)


def _pivot_mark(ax: Axes, motion: Any) -> None:
    if isinstance(motion, _hinge.PivotHinge):
        x, y = motion.pivot
        ax.plot(
            [x], [y], linestyle="none", marker="P", markersize=8, color=BLACK, zorder=7,
            label=f"pivot at ({x:.1f}, {y:.1f})",
        )  # fmt: skip


def _approaches(ax: Axes, found: Sequence[Any]) -> None:
    """Give each approach a number at its place; those far wider than they matter have their words only."""
    (left, right), (low, high) = ax.get_xlim(), ax.get_ylim()
    extent = max(right - left, high - low)
    places = np.array([0.5 * (row.panel_point + row.fixed_point) for row in found])
    for number, (row, at, offset) in enumerate(zip(found, places, fan(places, extent), strict=True), start=1):
        touching = row.gap == 0.0
        what = f"overlap {row.depth:.2f}" if row.depth > 0.0 else "touches" if touching else f"{row.gap:.2f} clear"
        turn = row.deepest_turn_deg if row.depth > 0.0 else row.turn_deg
        text = f"{row.body}, {row.leg}: {what} at {abs(turn):.1f}°"
        if row.gap > 0.05 * extent:
            ax.plot([], [], linestyle="none", label=f"{number}  {text}")
        else:
            numbered(ax, at, number, Look(RED if touching else BLUE, "-", ""), text, offset=offset)


def swept(
    panel: Any,
    motion: Any,
    fixed: Any = (),
    *,
    sagitta: Any = 0.1,
    title: str = "",
    view: str = AXIS_VIEW,
    ax: Axes | None = None,
) -> Axes:
    """Draw all the room a panel takes on its way, with the panel at both ends.

    Parameters
    ----------
    panel : Outline, Path, or list of them
    motion : motion
    fixed : Outline, Path, or list or mapping of them
        What stands still, drawn underneath.
    sagitta : length
        As in `clearance.swept_outline`, mm.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes

    Raises
    ------
    InvalidInput
        As `clearance.swept_outline`.
    """
    moving, bodies = shapes("panel", panel), shapes("fixed", fixed)
    motion = _one_motion(motion)
    room = clearance.swept_outline([solid(p) for p in moving.values()], motion, sagitta)
    ax = axes(ax, title, view)
    fixed_bodies(ax, bodies)
    for i, outline in enumerate(room):
        patch(
            ax, outline, facecolor="#0072b233", edgecolor=BLUE, hatch="..", linewidth=1.4,
            label="room the panel takes" if i == 0 else None,
        )  # fmt: skip
    for i, (name, pose) in enumerate(zip(("start", "end"), _poses(motion, np.array([0.0, 1.0])), strict=True)):
        for shape in moving.values():
            placed = shape.moved(pose)
            patch(ax, placed, facecolor="none", edgecolor=BLACK, linestyle=look(i).dash, linewidth=1.6)
        words(ax, inside(placed), name)
    _pivot_mark(ax, motion)
    return finish(ax)


def gap_along(
    panel: Any,
    fixed: Any,
    motion: Any,
    *,
    stations: int = _STATIONS,
    wanted: Any = None,
    up_to: Any = None,
    title: str = "Gap along the swing",
    ax: Axes | None = None,
) -> Axes:
    """Draw the gap to each body against the turn of the panel.

    Parameters
    ----------
    panel : Outline, Path, or list of them
    fixed : Outline, Path, or list or mapping of them
    motion : motion
    stations : int
        Points of each curve, >= 2. The smallest gaps themselves are marked from `clearance.minimum_gap`, not from
        these.
    wanted : length, optional
        A level line: the gap to keep, mm.
    up_to : length, optional
        Widest gap shown, mm; chosen to show every smallest gap well when left out.
    title : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Turn from shut in degrees across, gap in mm up; the scales differ.

    Raises
    ------
    InvalidInput
        As `clearance.minimum_gap`.
    """
    moving, bodies = shapes("panel", panel), shapes("fixed", fixed)
    motion = _one_motion(motion)
    poses = _poses(motion, np.linspace(0.0, 1.0, _count("stations", stations, 2)))
    parts = [solid(p) for p in moving.values()]
    ax = axes(ax, title, "", equal=False, size=(9.5, 4.5))
    turn = np.abs([p.angle_deg for p in poses])
    level = None if wanted is None else float(units.mm(wanted))
    widest = level or 0.0
    for i, (name, body) in enumerate(bodies.items()):
        other, style = solid(body), look(i)
        gaps = [plane.distance([p.moved(pose) for p in parts], other).distance for pose in poses]
        least = clearance.minimum_gap(parts, other, motion)
        widest = max(widest, least.gap)
        ax.plot(turn, gaps, color=style.colour, linestyle=style.dash, linewidth=1.8, label=name or "fixed body")
        ax.plot(
            [abs(least.turn_deg)], [least.gap], linestyle="none", marker=MARKERS[i % len(MARKERS)], markersize=8,
            markerfacecolor="white", markeredgecolor=style.colour, markeredgewidth=1.8, zorder=5,
            label=f"least {least.gap:.2f} mm at {abs(least.turn_deg):.1f}°",
        )  # fmt: skip
    if level is not None:
        ax.axhline(level, color=BLACK, linewidth=1.0, linestyle=(0, (8, 3, 2, 3)), label=f"wanted {level:g} mm")
    ax.set_xlabel("turn from shut, degrees")
    ax.set_ylabel("gap, mm")
    finish(ax)
    ax.set_ylim(0.0, float(units.mm(up_to)) if up_to is not None else 3.0 * widest or None)
    return ax


def pivots(
    landings: Any,
    solution: Any = None,
    *,
    bodies: Any = (),
    span: Any = None,
    title: str = "Where the pivot may be",
    view: str = AXIS_VIEW,
    ax: Axes | None = None,
) -> Axes:
    """Draw the line of pivots of each landing with its tolerance, and the pivot that was found.

    Parameters
    ----------
    landings : Landing or list of Landing
        What must be true at the stops.
    solution : PivotSolution, optional
        Found by `hinge.solve_pivot` when left out.
    bodies : Outline, Path, or list or mapping of them
        Drawn underneath for bearings: the panel shut, the worktop.
    span : length, optional
        Half width of the picture round the pivot, mm; by default it holds the bodies.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Each landing's pivots that are just right are a line, those within tolerance a hatched strip.

    Raises
    ------
    InvalidInput
        As `hinge.solve_pivot`.
    """
    listed = [landings] if isinstance(landings, _hinge.Landing) else list(landings)
    found = _hinge.solve_pivot(listed) if solution is None else solution
    if np.ndim(found.pivot) != 1:
        msg = "landings must be single ones, got a batch"
        raise InvalidInput(msg)
    named = shapes("bodies", bodies)
    ax = axes(ax, title, view, size=(9.5, 6.0))
    _frame(ax, found.pivot, None if span is None else float(units.mm(span)), named)
    name_in_view(ax, named)
    for i, landing in enumerate(listed):
        _strip(ax, landing, i)
    if found.status in {"point", "none"}:
        least_worst = found.status == "none"
        x, y = found.pivot
        ax.plot(
            [x], [y], linestyle="none", marker="X" if least_worst else "P", markersize=10, color=BLACK, zorder=7,
            label=("least bad" if least_worst else "pivot") + f" at ({x:.1f}, {y:.1f})",
        )  # fmt: skip
    limits = ax.get_xlim(), ax.get_ylim()
    finish(ax).set(xlim=limits[0], ylim=limits[1])
    ax.text(0.0, -0.12, found.explanation, transform=ax.transAxes, fontsize="small", va="top", wrap=True)
    return ax


def _frame(ax: Axes, pivot: np.ndarray, span: float | None, bodies: dict[str, Any]) -> None:
    """Set the limits: a square round the pivot, or all the bodies and the pivot."""
    ax.set_aspect("equal", adjustable="box")
    middle = np.where(np.isfinite(pivot), pivot, 0.0)
    if span is None and bodies:
        corners = np.concatenate([solid(b).points for b in bodies.values()] + [middle[None]])
        low, high = corners.min(axis=0), corners.max(axis=0)
        margin = 0.08 * float((high - low).max())
    else:
        low = high = middle
        margin = 100.0 if span is None else span
    ax.set_xlim(low[0] - margin, high[0] + margin)
    ax.set_ylim(low[1] - margin, high[1] + margin)


def _strip(ax: Axes, landing: Any, i: int) -> None:
    """Draw one landing in the plane of pivots: its miss is linear there, so contours between corners are exact."""
    style = look(i)
    (left, right), (low, high) = ax.get_xlim(), ax.get_ylim()
    x, y = np.linspace(left, right, 3), np.linspace(low, high, 3)
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    miss = np.asarray(landing.miss(grid.reshape(-1, 2))).reshape(grid.shape[:2])
    low_miss, high_miss = {
        "on": (-landing.tolerance, landing.tolerance),
        "at_least": (-landing.tolerance, np.inf),
        "at_most": (-np.inf, landing.tolerance),
    }[landing.kind]
    inside_low = max(low_miss, float(miss.min()) - 1.0)
    inside_high = min(high_miss, float(miss.max()) + 1.0)
    if inside_low < inside_high:
        shade = ax.contourf(x, y, miss, levels=[inside_low, inside_high], colors=[style.colour], alpha=0.18)
        shade.set_hatch(style.hatch or "////")
        shade.set_edgecolor(style.colour)
        shade.set_linewidth(0.0)
    if miss.min() < 0.0 < miss.max():
        ax.contour(x, y, miss, levels=[0.0], colors=[style.colour], linestyles=[style.dash], linewidths=1.8)
    words_ = {"on": "on its line", "at_least": "on or beyond", "at_most": "on or short of"}[landing.kind]
    ax.plot(
        [], [], color=style.colour, linestyle=style.dash, linewidth=1.8,
        label=f"stop {i + 1}, turned {abs(landing.turn_deg):g}°: {words_}, within {landing.tolerance:g} mm",
    )  # fmt: skip


def section(
    profile: Any, *, title: str = "Folded section", view: str = "seen on the cut end", ax: Axes | None = None
) -> Axes:
    """Draw a bent section as its blank folds up, bends numbered from the start of the blank.

    Parameters
    ----------
    profile : blank.Profile
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes

    Raises
    ------
    InvalidInput
        When something else is given.
    """
    _need(profile, "profile", ("folded", "bend_lines"), "a blank.Profile")
    ax = axes(ax, title, view)
    folded = profile.folded
    patch(ax, folded.outline, facecolor="#ececec", edgecolor=BLACK, linewidth=1.2, hatch="////")
    for face, name, style in ((folded.outside, "outside face", look(0)), (folded.inside, "inside face", look(1))):
        line = face.flatten()
        ax.plot(line[:, 0], line[:, 1], color=style.colour, linestyle=style.dash, linewidth=2.0, label=name)
    turned = np.flatnonzero(folded.outside.sweep_deg)
    for number, (segment, bend) in enumerate(zip(turned, profile.bend_lines, strict=False), start=1):
        at = 0.5 * (folded.outside.points[segment] + folded.outside.points[segment + 1])
        numbered(
            ax,
            at,
            number,
            look(2),
            f"bend {number}: {bend.angle_deg:g}° {bend.direction}, inside radius {bend.radius:g}",
        )
    return finish(ax)


def blank(
    flat: Any,
    *,
    width: Any = None,
    title: str = "Blank with bend lines",
    view: str = "seen from above; up folds toward you",
    ax: Axes | None = None,
) -> Axes:
    """Draw a flat blank with its bend centre lines and tangent lines, running distances from one edge.

    Parameters
    ----------
    flat : blank.Profile or blank.Pan
    width : length, optional
        Of the strip drawn for a Profile, mm; a third of its length when left out.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Bend centre lines dash-dotted, tangent lines dotted; all distances from the left or the bottom edge.

    Raises
    ------
    InvalidInput
        When something else is given.
    """
    if hasattr(flat, "outline") and hasattr(flat, "notches"):
        lines: list[Any] = [(p.line, p.centre, (p.tangent_before, p.tangent_after), p.side) for p in flat.bend_lines]
        outline = flat.outline
    else:
        _need(flat, "flat", ("bend_lines", "developed_length"), "a blank.Profile or a blank.Pan")
        long = flat.developed_length
        high = long / 3.0 if width is None else float(units.mm(width))
        outline = plane.Outline([(0, 0), (long, 0), (long, high), (0, high)])
        lines = [(b, _across(b.centre, high), tuple(_across(t, high) for t in b.tangent), "") for b in flat.bend_lines]
    ax = axes(ax, title, view, size=(9.5, 6.0))
    patch(ax, outline, facecolor="#f4f4f4", edgecolor=BLACK, linewidth=1.6, label="cut edge")
    for number, (bend, centre, tangents, side) in enumerate(lines, start=1):
        style = look(number - 1)
        ax.plot(centre[:, 0], centre[:, 1], color=BLUE if bend.direction == "up" else RED, linewidth=1.6,
                linestyle=(0, (10, 3, 2, 3)), label="bend centre line" if number == 1 else None)  # fmt: skip
        for k, tangent in enumerate(tangents):
            ax.plot(tangent[:, 0], tangent[:, 1], color=BLACK, linewidth=0.8, linestyle=(0, (1, 2)),
                    label="tangent line" if number == 1 and k == 0 else None)  # fmt: skip
        edge = "bottom" if side in {"bottom", "top"} else "left"
        numbered(
            ax, centre.mean(axis=0), number, style,
            f"{bend.angle_deg:g}° {bend.direction}, centre {bend.centre:.1f} from the {edge} edge",
        )  # fmt: skip
    low, high_ = outline.points.min(axis=0), outline.points.max(axis=0)
    words(ax, (0.5 * (low[0] + high_[0]), low[1]), f"{high_[0] - low[0]:.1f}", va="top")
    if hasattr(flat, "notches"):
        words(ax, (low[0], 0.5 * (low[1] + high_[1])), f"{high_[1] - low[1]:.1f}", ha="right", rotation=90)
    return finish(ax)


def _across(x: float, high: float) -> np.ndarray:
    return np.array([(x, 0.0), (x, high)])


def _need(given: Any, name: str, fields: Sequence[str], what: str) -> None:
    if not all(hasattr(type(given), f) for f in fields):
        msg = f"{name} must be {what}, got {given!r}"
        raise InvalidInput(msg)
