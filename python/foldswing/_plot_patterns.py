"""The picture of a developed pattern. Part of `foldswing.plot`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from foldswing import InvalidInput
from foldswing._pattern_drawing import line_words
from foldswing._plotting import BLACK, BLUE, GREY, RED, axes, finish, patch, words
from foldswing.development import Pattern

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MOST_LABELS = 40  # lines that are labelled one by one; more of them would cover each other
_LOOKS: dict[str, tuple[str, Any, float, str]] = {
    "roll": (GREY, (0, (4, 3)), 0.9, "roll line"),
    "tangent": (BLUE, (0, (1, 2)), 1.2, "where a curve runs out"),
    "fold": (RED, (0, (10, 3, 2, 3)), 1.6, "fold line"),
}


def pattern(
    flat: Any,
    *,
    title: str | None = None,
    view: str = "outer face up: roll and fold away from you",
    ax: Axes | None = None,
) -> Axes:
    """Draw a developed pattern with its roll and fold lines.

    Parameters
    ----------
    flat : development.Pattern
    title : str, optional
        The shape's name when left out.
    view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Roll lines dashed, folds dash-dotted, ends of curves dotted; labels at the top of each line.

    Raises
    ------
    InvalidInput
        When something else is given.
    """
    if not isinstance(flat, Pattern):
        msg = f"flat must be a development.Pattern, got {flat!r:.80}"
        raise InvalidInput(msg)
    ax = axes(ax, f"Pattern: {flat.shape}" if title is None else title, view, size=(9.5, 6.0))
    patch(ax, flat.outline, facecolor="#f4f4f4", edgecolor=BLACK, linewidth=1.6, label="cut edge")
    every = max(1, -(-len(flat.lines) // _MOST_LABELS))
    named: set[str] = set()
    for i, line in enumerate(flat.lines):
        colour, dash, width, name = _LOOKS[line.kind]
        ax.plot(
            line.ends[:, 0],
            line.ends[:, 1],
            color=colour,
            linestyle=dash,
            linewidth=width,
            label=None if line.kind in named else name,
        )
        named.add(line.kind)
        if i % every == 0:
            words(ax, line.ends[0] + 0.75 * (line.ends[1] - line.ends[0]), line_words(line), rotation=90, fontsize=7)
    low, high = flat.points.min(axis=0), flat.points.max(axis=0)
    words(ax, (0.5 * (low[0] + high[0]), low[1]), f"{flat.length:.1f}", va="top")
    words(ax, (low[0], 0.5 * (low[1] + high[1])), f"{flat.width:.1f}", ha="right", rotation=90)
    return finish(ax)
