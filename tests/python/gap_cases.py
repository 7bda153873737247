"""Random panels, bodies and turns of every kind that has ever been hard."""

from __future__ import annotations

import foldswing as fs
import numpy as np

KINDS = (
    "apart",
    "crossing",
    "inside",
    "in a hole",
    "touching",
    "needle",
    "mid-swing",
    "narrow",
    "long turn",
    "many bodies",
)


def star(rng, centre, size, corners) -> np.ndarray:
    """A star-shaped ring; a corner in every sector, so it never crosses itself."""
    angle = 2 * np.pi * (np.arange(corners) + 0.8 * rng.random(corners)) / corners
    radius = size * rng.uniform(0.35, 1.0, corners)
    return np.asarray(centre) + radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])


def box(x0, y0, x1, y1) -> np.ndarray:
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], float)


def around(rng, pivot, radius, angle_deg):
    a = np.deg2rad(angle_deg)
    return np.asarray(pivot) + radius * np.array([np.cos(a), np.sin(a)])


def case(kind: str, seed: int):
    """Return (panel outlines, body outlines, pivot, from_deg, to_deg)."""
    rng = np.random.default_rng([KINDS.index(kind), seed])
    pivot = rng.uniform(-50, 50, 2)
    start = rng.uniform(-360, 360)
    span = rng.choice([-1, 1]) * rng.uniform(20, 340)
    n, m = rng.integers(3, 13, 2)
    centre = around(rng, pivot, rng.uniform(20, 400), rng.uniform(0, 360))
    panel = [fs.Outline(star(rng, centre, rng.uniform(10, 200), n))]

    turn = fs.hinge.PivotHinge(pivot, start, start + span)
    shown = turn.poses(0.0)
    size = rng.uniform(10, 150)
    if kind == "crossing":
        where = shown.apply(panel[0].points[0])
        fixed = [fs.Outline(star(rng, where, size, m))]
    elif kind == "inside":
        big = star(rng, centre, 400, 12)
        small = star(rng, centre, 20, m)
        if rng.random() < 0.5:
            panel, fixed = [fs.Outline(shown.inverse().apply(small))], [fs.Outline(big)]
        else:
            panel, fixed = [fs.Outline(shown.inverse().apply(big))], [fs.Outline(small)]
    elif kind == "in a hole":
        hole = star(rng, pivot, 600, 9)
        panel = [fs.Outline(star(rng, pivot + rng.uniform(-40, 40, 2), 160, n))]
        fixed = [fs.Outline(pivot + box(-900, -900, 900, 900), [hole])]
    elif kind == "touching":
        panel = [fs.Outline(box(0, 0, 60, 20))]
        fixed = [fs.Outline(box(60, 10, 90, 40))]
        pivot, start, span = rng.integers(-40, 40, 2).astype(float), 0.0, float(rng.choice([-90, 90, 45, -30]))
    elif kind == "needle":
        tip = around(rng, pivot, rng.uniform(60, 500), rng.uniform(0, 360))
        along = rng.normal(size=2)
        along /= np.hypot(*along)
        across = np.array([-along[1], along[0]])
        fixed = [fs.Outline([tip, tip + 300 * along + 0.05 * across, tip + 300 * along - 0.05 * across])]
    elif kind in ("mid-swing", "narrow"):
        if kind == "narrow":  # an arm of metres past a needle's tip: under twice the gap for less than 0.01 degree
            reach, gap = rng.uniform(3000, 6000), rng.uniform(0.02, 0.2)
            panel = [fs.Outline(pivot + np.array([(0, -10), (reach, 0), (0, 10)]))]
        else:
            gap = rng.uniform(0.01, 1.0)
            reach = float(np.hypot(*(panel[0].points - pivot).T).max())
        far = panel[0].points[np.argmax(np.hypot(*(panel[0].points - pivot).T))] - pivot
        angle = np.rad2deg(np.arctan2(far[1], far[0])) + start + rng.uniform(0.3, 0.7) * span
        tip, back = around(rng, pivot, reach + gap, angle), around(rng, pivot, reach + 150, angle)
        wide = (back - tip)[::-1] * np.array([-1, 1]) * (1e-4 if kind == "narrow" else 0.3)
        fixed = [fs.Outline([tip, back + wide, back - wide])]
    elif kind == "long turn":
        span = rng.choice([-1, 1]) * rng.uniform(360, 900)
        fixed = [fs.Outline(star(rng, around(rng, pivot, rng.uniform(300, 900), rng.uniform(0, 360)), size, m))]
    elif kind == "many bodies":
        fixed = [
            fs.Outline(star(rng, around(rng, pivot, rng.uniform(500, 900), rng.uniform(0, 360)), size, m))
            for _ in range(4)
        ]
        panel.append(fs.Outline(star(rng, pivot, 15, 5)))
    else:
        fixed = [fs.Outline(star(rng, around(rng, pivot, rng.uniform(400, 900), rng.uniform(0, 360)), size, m))]
    return panel, fixed, pivot, start, start + span
