"""Pictures of arcs and of sweeps; part of `foldswing.plot`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from foldswing import InvalidInput, arc, units
from foldswing._plotting import BLACK, BLUE, ORANGE, RED, axes, finish

if TYPE_CHECKING:
    import xarray as xr
    from matplotlib.axes import Axes


def arc_fit(
    fit: Any,
    points: Any,
    *,
    magnify: float | None = None,
    title: str = "Arc fitted to readings",
    view: str = "seen on the edge of the template",
    ax: Axes | None = None,
) -> Axes:
    """Draw readings and the circle or straight line through them, misses drawn enlarged.

    Parameters
    ----------
    fit : arc.Fit
    points : (n, 2) points
        The readings that were fitted, mm.
    magnify : float, optional
        How many times the misses are enlarged, > 0; chosen when left out, and always named.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes

    Raises
    ------
    InvalidInput
        When the points are not those of the fit.
    """
    if not isinstance(fit, arc.Fit):
        msg = f"fit must be an arc.Fit, got {fit!r}"
        raise InvalidInput(msg)
    read = np.atleast_2d(np.asarray(units.mm(points), dtype=float))
    if read.shape != fit.feet.shape:
        msg = f"points must be the {len(fit.feet)} that were fitted, got shape {read.shape}"
        raise InvalidInput(msg)
    extent = float(np.ptp(read, axis=0).max())
    worst = float(np.abs(fit.residuals).max())
    factor = magnify if magnify is not None else 10.0 ** np.floor(np.log10(0.1 * extent / worst)) if worst > 0 else 1.0
    if not isinstance(factor, (int, float)) or isinstance(factor, bool) or not 0 < factor < np.inf:
        msg = f"magnify must be finite and > 0, got {magnify!r}"
        raise InvalidInput(msg)
    ax = axes(ax, title, view, size=(9.5, 4.5))
    curve = _fitted_curve(fit)
    size = "straight line" if fit.status == "straight" else f"R {fit.radius:.1f} ± {fit.radius_standard_error:.1f} mm"
    ax.plot(curve[:, 0], curve[:, 1], color=BLUE, linewidth=1.8, label=f"{size} ({fit.method})")
    ax.plot(read[:, 0], read[:, 1], linestyle="none", marker="o", markersize=5, markerfacecolor="white",
            markeredgecolor=BLACK, zorder=5, label="reading")  # fmt: skip
    ax.set_aspect("equal", adjustable="box")
    for k, (foot, point) in enumerate(zip(fit.feet, read, strict=True)):
        tip = foot + factor * (point - foot)
        ax.plot([foot[0], tip[0]], [foot[1], tip[1]], color=RED, linewidth=1.4,
                label=f"miss, drawn {factor:g} times; worst {worst:.2f} mm" if k == 0 else None)  # fmt: skip
    return finish(ax)


def _fitted_curve(fit: arc.Fit) -> np.ndarray:
    """Return the fitted line from the first reading along it to the last, the widest gap between readings left out."""
    if fit.status == "straight":
        along = fit.feet - fit.feet[0]
        order = np.argsort(along @ along[np.argmax((along**2).sum(axis=1))])
        ends: np.ndarray = fit.feet[order[[0, -1]]]
        return ends
    angles = np.sort(np.arctan2(*(fit.feet - fit.centre).T[::-1]))
    gaps = np.diff(angles, append=angles[0] + 2 * np.pi)
    start = int(np.argmax(gaps)) + 1
    first = angles[start % angles.size]
    t = np.linspace(first, first + 2 * np.pi - gaps[start - 1], 400)
    curve: np.ndarray = fit.centre + fit.radius * np.column_stack([np.cos(t), np.sin(t)])
    return curve


def rise_table(
    table: Any,
    *,
    stretch: float = 1.0,
    title: str = "Rise at stations",
    view: str = "seen on the edge of the gauge",
    ax: Axes | None = None,
) -> Axes:
    """Draw the heights of an arc above its chord at the stations of a table.

    Parameters
    ----------
    table : arc.RiseTable
    stretch : float
        How many times heights are enlarged against distances, > 0; named on the axis when not 1.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        Distances from the middle of the chord across; each ordinate carries its height in mm.

    Raises
    ------
    InvalidInput
        When something else is given.
    """
    if not isinstance(table, arc.RiseTable):
        msg = f"table must be an arc.RiseTable, got {table!r}"
        raise InvalidInput(msg)
    if isinstance(stretch, bool) or not isinstance(stretch, (int, float)) or not 0 < stretch < np.inf:
        msg = f"stretch must be finite and > 0, got {stretch!r}"
        raise InvalidInput(msg)
    ax = axes(ax, title, view, size=(9.5, 3.5))
    ax.set_aspect(stretch, adjustable="box")
    half = 0.5 * table.chord
    x = np.linspace(-half, half, 401)
    ax.plot(
        x,
        arc.height(table.chord, table.rise, x),
        color=BLUE,
        linewidth=1.8,
        label=f"rise {table.rise:g} on {table.chord:g}",
    )
    ax.plot([-half, half], [0.0, 0.0], color=BLACK, linewidth=1.2, linestyle=(0, (8, 3, 2, 3)), label="chord")
    for at, height in zip(table.stations, table.heights, strict=True):
        ax.plot([at, at], [0.0, height], color=ORANGE, linewidth=1.2, marker="_")
        ax.annotate(f"{height:.1f}", (at, height), xytext=(0, 5), textcoords="offset points", fontsize="small",
                    ha="center", va="bottom", rotation=90)  # fmt: skip
    ax.set_xlabel("distance from the middle of the chord, mm")
    ax.set_ylabel("height, mm" if stretch == 1 else f"height, mm (drawn {stretch:g} times)")
    finish(ax)
    room = 0.1 * table.chord / stretch  # for the heights, written upright
    ax.set_ylim(-0.3 * room, table.rise + room)
    return ax


def sweep_map(
    dataset: xr.Dataset,
    name: str,
    *,
    levels: Any = 8,
    title: str = "",
    view: str = "",
    ax: Axes | None = None,
) -> Axes:
    """Draw a variable of a sweep over two axes as a map, refused points and zeros hatched.

    Parameters
    ----------
    dataset : xarray.Dataset
        From `sweep.over`, over two numeric axes.
    name : str
        The variable, one number a point.
    levels : int or list of numbers
        Contours, or how many.
    title, view : str
    ax : matplotlib axes, optional

    Returns
    -------
    matplotlib axes
        The first axis of the sweep across, the second up; at one scale where both are mm.

    Raises
    ------
    InvalidInput
        When there is no such variable or it is not a map.
    """
    variable = dataset.get(name) if isinstance(name, str) else None
    if variable is None or variable.ndim != 2 or variable.dtype.kind not in "fiu" or min(variable.shape) < 2:
        msg = f"name must be a variable of numbers over two axes of at least 2 values, got {name!r}"
        raise InvalidInput(msg)
    across, up = (dataset[d] for d in variable.dims)
    same = across.attrs.get("units") == up.attrs.get("units") == "mm"
    ax = axes(ax, title or _label(variable), view, equal=same, size=(8.0, 6.0))
    values = np.ma.masked_invalid(variable.values.T.astype(float))
    if values.count():
        filled = ax.contourf(across.values, up.values, values, levels=levels, cmap="cividis")
        steps = np.asarray(filled.levels)
        dark = np.arange(steps.size) < steps.size / 2
        lines = ax.contour(filled, colors=["white" if d else "black" for d in dark], linewidths=0.8)
        ax.clabel(lines, fontsize="small", fmt="%g")
        bar = ax.figure.colorbar(filled, ax=ax)
        bar.set_label(_label(variable))
    refused = dataset["status"].values.T < 0
    hatches = (("xx", "no result", refused), ("////", f"{name} 0", values.filled(np.nan) == 0.0))
    keys = [
        _hatch(ax, across.values, up.values, mask, hatch=hatch, label=label)
        for hatch, label, mask in hatches
        if mask.any()
    ]
    ax.set_xlabel(_label(across))
    ax.set_ylabel(_label(up))
    if keys:
        ax.legend(handles=keys, loc="upper right", fontsize="small", framealpha=0.9)
    return ax


def _hatch(ax: Axes, x: np.ndarray, y: np.ndarray, mask: np.ndarray, *, hatch: str, label: str) -> Any:
    """Hatch where the mask holds; returns what stands for it in a legend."""
    from matplotlib.patches import Patch  # noqa: PLC0415

    area = ax.contourf(x, y, mask.astype(float), levels=[0.5, 1.5], colors=["#ffffffa0"])
    area.set_hatch(hatch)
    area.set_edgecolor(BLACK)
    area.set_linewidth(0.0)
    return Patch(facecolor="white", edgecolor=BLACK, hatch=hatch, label=label)


def _label(variable: xr.DataArray) -> str:
    unit = variable.attrs.get("units", "")
    words_ = variable.attrs.get("long_name", str(variable.name))
    return f"{words_}, {unit}" if unit not in {"", "1"} else str(words_)
