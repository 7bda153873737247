"""What every picture shares: axes with equal scales, a named view, and marks that do not rest on colour alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from foldswing import InvalidInput, Outline
from foldswing._core.plane import Path

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Shape = Outline | Path


class Look(NamedTuple):
    """Colour, dashes and hatch that go together; told apart without the colour too."""

    colour: str
    dash: Any
    hatch: str


# Colours of Okabe and Ito (jfly.uni-koeln.de/color, from memory): told apart by nearly everybody, in order of darkness.
BLACK, BLUE, RED, GREEN, ORANGE, SKY = "#000000", "#0072b2", "#d55e00", "#009e73", "#e69f00", "#56b4e9"
GREY = "#8c8c8c"
LOOKS = (
    Look(BLUE, "-", ""),
    Look(RED, (0, (6, 2)), "\\\\\\\\"),
    Look(GREEN, (0, (1.5, 1.5)), "...."),
    Look(ORANGE, (0, (6, 2, 1.5, 2)), "xxxx"),
    Look(SKY, (0, (3, 1, 1, 1, 1, 1)), "||||"),
)
MARKERS = "osD^vP*X"
FIXED_HATCH = "////"
SAGITTA = 0.05  # mm; below what a picture of a panel can show
CLOSE = 0.001  # mm; for gaps that are printed to 0.01
HALO = {"boxstyle": "round,pad=0.15", "facecolor": "white", "edgecolor": "none", "alpha": 0.85}


def look(i: int) -> Look:
    """Return the look of the i-th of several things."""
    return LOOKS[i % len(LOOKS)]


def axes(ax: Axes | None, title: str, view: str, *, equal: bool = True, size: tuple[float, float] = (7.5, 6.0)) -> Axes:
    """Return the axes to draw in: those given, or a new figure's. The view is named under the title."""
    if ax is None:
        import matplotlib.pyplot as plt  # noqa: PLC0415 heavy: loaded when first needed

        ax = plt.figure(figsize=size, layout="constrained").add_subplot()
    elif not hasattr(ax, "add_patch"):
        msg = f"ax must be matplotlib axes, got {ax!r}"
        raise InvalidInput(msg)
    if not isinstance(view, str) or not isinstance(title, str):
        msg = f"title and view must be text, got {title!r} and {view!r}"
        raise InvalidInput(msg)
    ax.set_title(f"{title}\n{view}" if title and view else title or view, loc="left", fontsize="medium")
    if equal:
        ax.set_aspect("equal", adjustable="datalim")
        ax.set_xlabel("x, mm")
        ax.set_ylabel("y, mm")
    ax.grid(visible=True, color="#e3e3e3", linewidth=0.6)
    ax.set_axisbelow(True)
    return ax


def finish(ax: Axes) -> Axes:
    """Put the legend beside the picture, where it hides nothing."""
    handles, labels = ax.get_legend_handles_labels()
    if handles:
        ax.legend(handles, labels, loc="upper left", bbox_to_anchor=(1.01, 1.0), borderaxespad=0.0, fontsize="small")
    ax.margins(0.06)
    return ax


def shapes(name: str, given: Any) -> dict[str, Shape]:
    """Return named shapes from one, a list or a mapping of them; a list's names are empty."""
    if isinstance(given, (Outline, Path)):
        return {"": given}
    if isinstance(given, Mapping):
        named = {str(k): v for k, v in given.items()}
    elif isinstance(given, Sequence) and not isinstance(given, str):
        named = {f"{name} {i}": v for i, v in enumerate(given, start=1)}
    else:
        named = {"": given}
    for key, shape in named.items():
        if not isinstance(shape, (Outline, Path)):
            msg = (
                f"{name} must be an Outline, a Path, or a list or mapping of them, got {shape!r}"
                + f" for {key}" * bool(key)
            )
            raise InvalidInput(msg)
    return named


def solid(shape: Shape) -> Outline:
    """Return the shape as an outline."""
    return shape.outline(CLOSE) if isinstance(shape, Path) else shape


def rings(shape: Shape) -> Iterator[tuple[np.ndarray, bool]]:
    """Yield the corners of each ring, and whether it closes."""
    if isinstance(shape, Path):
        yield shape.flatten(SAGITTA), shape.closed
        return
    yield shape.points, True
    for hole in shape.holes:
        yield hole, True


def patch(ax: Axes, shape: Shape, **style: Any) -> Any:
    """Draw a shape, holes left open; an open path is a line."""
    from matplotlib.patches import PathPatch  # noqa: PLC0415
    from matplotlib.path import Path as Curve  # noqa: PLC0415

    corners, codes = [], []
    closes = True
    for ring, closed in rings(shape):
        closes = closes and closed
        corners += [*ring, ring[0]] if closed else [*ring]
        codes += [Curve.MOVETO, *[Curve.LINETO] * (len(ring) - 1)] + ([Curve.CLOSEPOLY] if closed else [])
    if not closes:
        style |= {"fill": False, "hatch": None}
    drawn = ax.add_patch(PathPatch(Curve(np.array(corners), codes), **style))
    ax.update_datalim(np.array(corners))
    ax.autoscale_view()
    return drawn


def fixed_bodies(ax: Axes, bodies: Mapping[str, Shape]) -> None:
    """Draw what stands still: grey and hatched, each named on the body."""
    for name, shape in bodies.items():
        patch(ax, shape, facecolor="#ececec", edgecolor="#8c8c8c", hatch=FIXED_HATCH, linewidth=0.8)
        if name:
            words(ax, inside(shape), name)


def name_in_view(ax: Axes, bodies: Mapping[str, Shape]) -> None:
    """Draw bodies and name them on the part of them that the axes show, once their limits are set."""
    view = np.array([ax.get_xlim(), ax.get_ylim()]).T
    for name, shape in bodies.items():
        fixed_bodies(ax, {"": shape})
        points = np.concatenate([ring for ring, _ in rings(shape)])
        low, high = np.maximum(points.min(axis=0), view[0]), np.minimum(points.max(axis=0), view[1])
        if name and (low < high).all():
            words(ax, low + (high - low) * (0.5, 0.8), name)


def inside(shape: Shape) -> np.ndarray:
    """Return a place for words on a shape: the middle of its extent."""
    points = np.concatenate([ring for ring, _ in rings(shape)])
    middle: np.ndarray = 0.5 * (points.min(axis=0) + points.max(axis=0))
    return middle


def words(ax: Axes, at: Any, text: str, **style: Any) -> None:
    """Write on a light ground, so that hatching does not run through the letters."""
    place = {"ha": "center", "va": "center", "fontsize": "small", "bbox": HALO, "zorder": 6, "clip_on": True}
    ax.text(float(at[0]), float(at[1]), text, **{**place, **style})


def fan(places: np.ndarray, extent: float) -> list[tuple[float, float]]:
    """Return where to put a number beside each place, in points: places near each other fan out."""
    near = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)) < 0.1 * extent
    out = []
    for i, row in enumerate(near):
        group = np.flatnonzero(row)
        turn = np.pi * (0.75 - 2.0 * np.searchsorted(group, i) / len(group))
        out.append((30.0 * float(np.cos(turn)), 30.0 * float(np.sin(turn))))
    return out


def numbered(
    ax: Axes, at: Any, number: int, look_: Look, label: str, *, offset: tuple[float, float] = (14.0, 14.0)
) -> None:
    """Mark a place too small to see with a ring and a number; the legend holds the words."""
    ax.plot(
        [at[0]], [at[1]], linestyle="none", marker="o", markersize=9, markerfacecolor="none", markeredgewidth=1.6,
        markeredgecolor=look_.colour, zorder=7, label=f"{number}  {label}",
    )  # fmt: skip
    ax.annotate(
        str(number), (float(at[0]), float(at[1])), xytext=offset, textcoords="offset points", fontsize="small",
        fontweight="bold", color=look_.colour, ha="center", va="center", zorder=8,
        bbox={"boxstyle": "circle,pad=0.2", "facecolor": "white", "edgecolor": look_.colour},
        arrowprops={"arrowstyle": "-", "color": look_.colour, "linewidth": 0.9},
    )  # fmt: skip
