"""The picture of a seam: the gap all along a shut line. Part of `foldswing.plot`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from foldswing import InvalidInput, units
from foldswing import seam as _seam
from foldswing._plotting import BLACK, BLUE, GREY, RED, axes, finish

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MOST_DOTS = 60  # places drawn as dots; more of them hide the line


def seam(
    along: Any,
    *,
    wanted: Any = None,
    allowed: Any = None,
    title: str = "Gap along the seam",
    view: str = "gap square to the run of the seam",
    ax: Axes | None = None,
) -> Axes:
    """Draw the gap along a seam, the straight line through it, where its taper changes, and tight and wide spots.

    Parameters
    ----------
    along : seam.Seam
    wanted : length, optional
        The gap wanted, drawn as a line, mm.
    allowed : length, optional
        With `wanted`: the band either side of it, mm.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Place along the seam to the right, gap upward, each at its own scale.

    Raises
    ------
    InvalidInput
        When `along` is something else, or a length is not finite.
    """
    if not isinstance(along, _seam.Seam):
        msg = f"along must be a seam.Seam, got {along!r:.80}"
        raise InvalidInput(msg)
    lines = {name: float(units.mm(v)) for name, v in (("wanted", wanted), ("allowed", allowed)) if v is not None}
    for name, length in lines.items():
        if not np.isfinite(length):
            msg = f"{name} must be finite, got {length!r}"
            raise InvalidInput(msg)
    ax = axes(ax, title, view, equal=False, size=(9.5, 4.5))
    at, gap = along.places.T
    marks = "o-" if len(at) <= _MOST_DOTS else "-"
    ax.plot(at, gap, marks, color=BLACK, markersize=3.5, linewidth=1.6, label="gap", zorder=3)
    ends = (along.line_from, along.line_to)
    way = "opens" if along.taper_per_metre > 0.0 else "closes"
    taper = f"line through it: {way} {abs(along.taper_per_metre):.2f} mm a metre"
    middle = 0.5 * (at[0] + at[-1])
    ax.plot([p.at for p in ends], [p.gap for p in ends], "--", color=BLUE, linewidth=1.2, label=taper)
    if "wanted" in lines:
        ax.axhline(lines["wanted"], color=GREY, linewidth=1.0, linestyle=":", label=f"{lines['wanted']:.2f} mm wanted")
        if "allowed" in lines:
            low, high = (lines["wanted"] + side * lines["allowed"] for side in (-1.0, 1.0))
            ax.axhspan(low, high, facecolor="none", edgecolor=GREY, hatch="...", linewidth=0.0, alpha=0.5)
    if min(gap) < 0.0:
        ax.axhline(0.0, color=RED, linewidth=1.0, label="below: overlaps")
    for stretch in along.stretches[1:]:
        ax.axvline(stretch.start.at, color=GREY, linewidth=0.8, linestyle="-.")
        ax.annotate(
            "taper changes", (stretch.start.at, 1.0), (2, -3), xycoords=("data", "axes fraction"),
            textcoords="offset points", rotation=90, va="top", ha="left", fontsize=8,
        )  # fmt: skip
    for spot in along.spots:
        tight = spot.off < 0.0
        ax.plot([spot.worst.at], [spot.worst.gap], "v" if tight else "^", color=RED, markersize=8, zorder=4)
        _say(ax, spot.worst, f"{'tight' if tight else 'wide'}: {spot.worst.gap:.2f} mm", middle, -14 if tight else 8)
    for place, word in ((along.smallest, "least"), (along.largest, "most")):
        if not any(spot.worst == place for spot in along.spots):
            _say(ax, place, f"{word} {place.gap:.2f} mm", middle, 6)
    ax.margins(y=0.25)
    ax.set_xlabel("along the seam, mm")
    ax.set_ylabel("gap, mm")
    ax.legend(loc="best", fontsize=8)
    return finish(ax)


def _say(ax: Axes, place: _seam.Place, text: str, middle: float, up: float) -> None:
    """Write beside a place, on the side where the picture goes on."""
    left = place.at <= middle
    at, off = (place.at, place.gap), (6.0 if left else -6.0, up)
    ax.annotate(text, at, off, textcoords="offset points", ha="left" if left else "right", fontsize=9)
