"""Random pivot windows of every kind: landings of all sorts, regions with bays and holes, panels and bodies."""

from __future__ import annotations

import foldswing as fs
import numpy as np
from foldswing import hinge, plane
from gap_cases import box, star

KINDS = ("on", "at_least", "at_most")

# The demo, invented: a gate 28 thick that lands level, the worktop's nose, the wall round it, a rail it leans on.
SIZES = fs.gate.Sizes(
    thickness=28, height=360, lower_edge_below_worktop=36, nose_behind_wall=31, nose_depth=40, worktop_above_floor=900,
    head_above_worktop=328, sill_below_worktop=40, jamb_depth=60, lower_inner_radius=15.6, lower_outer_radius=4.8,
)  # fmt: skip
GATE = fs.gate.panel(SIZES).outline(0.01)
RAIL = plane.Path([(104, -150), (136, -150)], [180, 180], closed=True).outline(0.01)
AROUND = [
    fs.gate.worktop(SIZES).outline(0.01),
    fs.gate.sill(SIZES).outline(0.01),
    fs.gate.head(SIZES).outline(0.01),
    RAIL,
]
SEARCHED = fs.Outline(box(-110, -118, 90, 82))  # 200 x 200 round the pivot


def replay(landing, pivots: np.ndarray) -> np.ndarray:
    """How far each pivot breaks the landing beyond its tolerance, mm; turned in NumPy."""
    a = np.deg2rad(landing.turn_deg)
    turn = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
    landed = (landing.point - pivots) @ turn + pivots
    miss = landed @ landing.normal - landing.offset
    breach = {"on": np.abs(miss), "at_least": np.maximum(-miss, 0.0), "at_most": np.maximum(miss, 0.0)}[landing.kind]
    return breach - landing.tolerance


def random_landings(rng, pivot, count: int) -> list:
    """Landings that a pivot near this one meets."""
    out = []
    for _ in range(count):
        turn = float(rng.choice([-1, 1]) * rng.uniform(3, 357))
        point = pivot + rng.uniform(-300, 300, 2)
        normal = rng.normal(size=2)
        tolerance = float(rng.choice([0.01, 0.5, 1.0, 4.0, 20.0]))
        probe = hinge.Landing(turn, point, normal / np.hypot(*normal), 0.0)
        kind = str(rng.choice(KINDS))
        offset = probe.miss(pivot) + rng.uniform(-0.9, 0.9) * tolerance
        out.append(hinge.Landing(turn, point, probe.normal, offset, tolerance, kind))
    return out


def random_region(rng, middle) -> list:
    """A post with a hole and bays, and often a bracket beside it that overlaps it."""
    angle = 2 * np.pi * np.arange(6) / 6
    hole = middle + rng.uniform(-3, 3, 2) + 4.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    post = fs.Outline(star(rng, middle, 40.0, int(rng.integers(5, 14))) * 1.0)
    inside = all(plane.locate(post, p) == "inside" for p in hole)
    region = [fs.Outline(post.points, [hole]) if inside and rng.random() < 0.8 else post]
    if rng.random() < 0.5:
        region.append(fs.Outline(middle + rng.uniform(-30, 30, 2) + box(-15, -6, 15, 6)))
    return region


def covered(outlines, points: np.ndarray) -> np.ndarray:
    """Which points lie in any of the outlines, edges included."""
    found = np.zeros(len(points), bool)
    for o in outlines:
        found |= np.asarray(plane.locate(o, points)) >= 0
    return found
