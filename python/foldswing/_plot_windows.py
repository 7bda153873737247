"""The picture of a pivot window: where the hole may be drilled, what stops it on each side, and the best place."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from foldswing import InvalidInput
from foldswing._plotting import BLACK, BLUE, GREY, axes, finish, name_in_view, patch, shapes

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["pivot_window"]

_WORDS = 44  # letters in a line of the legend
# Told apart without colour: fouled dark and hatched, undecided dotted, clear white.
_CELLS: tuple[tuple[int, str, dict[str, Any]], ...] = (
    (-1, "comes too near on the way", {"facecolor": "#cfcfcf", "edgecolor": "#7a7a7a", "hatch": "////"}),
    (0, "too close to call", {"facecolor": "#ffffff", "edgecolor": "#303030", "hatch": "....."}),
    (1, "clear for the whole swing", {"facecolor": "#ffffff", "edgecolor": "#b0b0b0", "hatch": ""}),
)


def pivot_window(
    window: Any,
    *,
    bodies: Any = (),
    cells: bool = True,
    title: str = "Where the hole may be drilled",
    view: str = "seen along the hinge axis",
    ax: Axes | None = None,
) -> Axes:
    """Draw a pivot window with what stops the hole on each side, and the best place with its circle.

    Parameters
    ----------
    window : hinge.PivotWindow
    bodies : Outline, Path, or list or mapping of them
        Drawn underneath for bearings: the panel shut, the worktop.
    cells : bool
        Show the squares that were judged against the swing, where there are any.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        The window is drawn with a thick line, its sides are numbered; the legend says what stops the hole there.
        Dashed: the window of the landings alone, where the swing cut it. Dotted: the outer outline of a window with a
        free stop.

    Raises
    ------
    InvalidInput
        When window is something else, or bodies are.
    """
    if not hasattr(window, "side_binding"):
        msg = f"window must be a PivotWindow, got {window!r:.80}"
        raise InvalidInput(msg)
    named = shapes("bodies", bodies)
    ax = axes(ax, title, view, size=(10.0, 6.0))
    _frame(ax, window)
    name_in_view(ax, named)
    limits = ax.get_xlim(), ax.get_ylim()
    if cells and len(window.cells):
        _cells(ax, window)
    for i, part in enumerate(window.landed):
        patch(
            ax, part, fill=False, edgecolor=GREY, linestyle=(0, (6, 3)), linewidth=1.2, zorder=4,
            label="window of the landings alone" if i == 0 else None,
        )  # fmt: skip
    if window.outer != window.outlines and not window.landed:
        for i, part in enumerate(window.outer):
            patch(
                ax, part, fill=False, edgecolor=GREY, linestyle=(0, (1, 2)), linewidth=1.2, zorder=4,
                label="no pivot lands beyond" if i == 0 else None,
            )  # fmt: skip
    for part in window.outlines:
        patch(ax, part, facecolor=BLUE, alpha=0.12, edgecolor="none", zorder=4)
        patch(ax, part, fill=False, edgecolor=BLACK, linewidth=2.0, zorder=5)
    for run in window.runs:
        ax.plot(*run.T, color=BLACK, linewidth=2.5, marker="o", markersize=4, zorder=5)
    _sides(ax, window)
    _best(ax, window)
    finish(ax).set(xlim=limits[0], ylim=limits[1])
    ax.text(0.0, -0.12, window.explanation, transform=ax.transAxes, fontsize="small", va="top", wrap=True)
    return ax


def _frame(ax: Axes, window: Any) -> None:
    """Set the limits: the window, or the cells that were looked at where they are much of it."""
    ax.set_aspect("equal", adjustable="box")
    parts = window.landed or window.outer or window.outlines
    points = [o.points for o in parts] + [r for r in window.runs]
    if not points and len(window.cells):
        points = [window.cells[:, :2], window.cells[:, :2] + window.cells[:, 2:]]
    corners = np.concatenate(points) if points else np.array([(-100.0, -100.0), (100.0, 100.0)])
    low, high = corners.min(axis=0), corners.max(axis=0)
    margin = 0.12 * max(float((high - low).max()), 1.0)
    ax.set_xlim(low[0] - margin, high[0] + margin)
    ax.set_ylim(low[1] - margin, high[1] + margin)


def _cells(ax: Axes, window: Any) -> None:
    from matplotlib.collections import PolyCollection  # noqa: PLC0415 heavy: loaded when first needed
    from matplotlib.patches import Rectangle  # noqa: PLC0415

    for status, label, style in _CELLS:
        low = window.cells[window.cell_status == status]
        if not len(low):
            continue
        corner = np.array([(0, 0), (1, 0), (1, 1), (0, 1)])
        squares = low[:, None, :2] + corner * low[:, None, 2:]
        ax.add_collection(PolyCollection(list(squares), linewidth=0.0, zorder=2, **style))
        ax.add_patch(Rectangle(low[0, :2], 0.0, 0.0, label=label, linewidth=0.5, **style))


def _sides(ax: Axes, window: Any) -> None:
    """Put a number on each side, in the middle of its longest piece; the words are in the legend."""
    lengths = np.hypot(*(window.sides[:, 1] - window.sides[:, 0]).T)
    for k, text in enumerate(window.binding):
        mine = np.flatnonzero(window.side_binding == k)
        if not len(mine):
            continue
        start, end = window.sides[mine[np.argmax(lengths[mine])]]
        along = end - start
        out = np.array([along[1], -along[0]]) / max(float(np.hypot(*along)), 1e-300)
        ax.annotate(
            str(k + 1), 0.5 * (start + end), xytext=tuple(13.0 * out), textcoords="offset points", fontsize="small",
            fontweight="bold", ha="center", va="center", zorder=8,
            bbox={"boxstyle": "circle,pad=0.2", "facecolor": "white", "edgecolor": BLACK},
        )  # fmt: skip
        ax.plot([], [], linestyle="none", marker=f"${k + 1}$", color=BLACK, label=fill(text, _WORDS))


def _best(ax: Axes, window: Any) -> None:
    from matplotlib.patches import Circle  # noqa: PLC0415

    x, y = window.best_pivot
    if not np.isfinite(x):
        return
    ax.plot(
        [x], [y], linestyle="none", marker="P", markersize=9, color=BLACK, zorder=7, label=f"best at ({x:.1f}, {y:.1f})"
    )
    if np.isfinite(window.forgiveness) and window.forgiveness > 0.0:
        ax.add_patch(
            Circle(
                (x, y), window.forgiveness, fill=False, linewidth=1.4, linestyle=(0, (4, 2)), zorder=6,
                label=f"may be {window.forgiveness:.2f} mm off any way",
            )
        )  # fmt: skip
