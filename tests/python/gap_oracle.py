"""Gaps found another way: poses in NumPy, distances in Shapely, a subdivision that certifies what it says."""

from __future__ import annotations

import itertools

import numpy as np
import shapely


def polygon(outline) -> shapely.Polygon:
    return shapely.Polygon(outline.points, [np.asarray(h) for h in outline.holes])


def union(outlines) -> shapely.Geometry:
    return shapely.union_all([polygon(o) for o in outlines])


def turned(points: np.ndarray, angle: np.ndarray) -> np.ndarray:
    c, s = np.cos(angle), np.sin(angle)
    return np.column_stack([c * points[:, 0] - s * points[:, 1], s * points[:, 0] + c * points[:, 1]])


def nearest_pass(motion, points: np.ndarray, samples: int = 161) -> np.ndarray:
    """How near the panel comes to each fixed point: the best of some poses, then golden section beside it."""
    panel = shapely.union_all(motion.shapes)
    shapely.prepare(panel)

    def apart(s: np.ndarray) -> np.ndarray:
        return shapely.distance(shapely.points(motion.back(points, s)), panel)

    grid = np.unique([*np.linspace(0.0, 1.0, samples), *motion.breaks])
    seen = np.array([apart(np.full(len(points), s)) for s in grid])
    best = seen.argmin(axis=0)
    a, b = grid[np.maximum(best - 1, 0)], grid[np.minimum(best + 1, len(grid) - 1)]
    least = seen.min(axis=0)
    golden = 0.5 * (np.sqrt(5.0) - 1.0)
    for _ in range(40):
        c, d = b - golden * (b - a), a + golden * (b - a)
        fc, fd = apart(c), apart(d)
        least = np.minimum(least, np.minimum(fc, fd))
        left = fc <= fd
        a, b = np.where(left, a, c), np.where(left, d, b)
    return least


def passes_within(motion, point: np.ndarray, limit: float) -> bool:
    """Whether the panel comes within limit of a fixed point, found or ruled out by subdivision."""
    panel = shapely.union_all(motion.shapes)
    edges = np.array([0.0, *motion.breaks, 1.0])
    low, high = edges[:-1], edges[1:]
    while low.size:
        middle = 0.5 * (low + high)
        apart = shapely.distance(shapely.points(motion.back(np.tile(point, (len(middle), 1)), middle)), panel)
        if apart.min() <= limit:
            return True
        open_ = apart - motion.stray(high - low) <= limit
        low, middle, high = low[open_], middle[open_], high[open_]
        low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
    return False


class Turn:
    """A panel turning about a pivot; s runs from 0 to 1."""

    def __init__(self, panel, pivot, from_deg, to_deg):
        self.shapes = [polygon(o) for o in panel]
        self.pivot = np.asarray(pivot, float)
        self.from_deg, self.to_deg = float(from_deg), float(to_deg)
        corners = np.concatenate([o.points for o in panel])
        self.reach = float(np.hypot(*(corners - self.pivot).T).max())

    def at(self, s: float) -> shapely.Geometry:
        a = np.deg2rad(self.from_deg + s * (self.to_deg - self.from_deg))
        r = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
        return shapely.union_all(
            [shapely.transform(p, lambda xy: (xy - self.pivot) @ r + self.pivot) for p in self.shapes]
        )

    def stray(self, width: np.ndarray) -> np.ndarray:
        """Farthest any point gets from its place in the middle of a piece of this width in s."""
        half = 0.5 * np.deg2rad(abs(self.to_deg - self.from_deg)) * width
        return 2.0 * self.reach * np.sin(0.5 * np.minimum(half, np.pi))

    def back(self, points: np.ndarray, s: np.ndarray) -> np.ndarray:
        """Where each fixed point lies in panel coordinates, the panel being at its s."""
        a = np.deg2rad(self.from_deg + s * (self.to_deg - self.from_deg))
        return turned(points - self.pivot, -a) + self.pivot

    breaks = ()


class Knots:
    """A panel whose x, y and angle are linear between knots."""

    def __init__(self, panel, s, x, y, angle_deg):
        self.shapes = [polygon(o) for o in panel]
        self.s, self.x, self.y, self.angle = (np.asarray(v, float) for v in (s, x, y, angle_deg))
        corners = np.concatenate([o.points for o in panel])
        reach = float(np.hypot(*corners.T).max())
        step = np.diff(self.s)
        speed = np.hypot(np.diff(self.x) / step, np.diff(self.y) / step) + reach * np.deg2rad(
            abs(np.diff(self.angle) / step)
        )
        self.speed = float(speed.max())
        self.breaks = tuple(self.s[1:-1])

    def at(self, s: float) -> shapely.Geometry:
        a = np.deg2rad(np.interp(s, self.s, self.angle))
        r = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
        shift = np.array([np.interp(s, self.s, self.x), np.interp(s, self.s, self.y)])
        return shapely.union_all([shapely.transform(p, lambda xy: xy @ r + shift) for p in self.shapes])

    def stray(self, width: np.ndarray) -> np.ndarray:
        return 0.5 * self.speed * width

    def back(self, points: np.ndarray, s: np.ndarray) -> np.ndarray:
        shift = np.column_stack([np.interp(s, self.s, self.x), np.interp(s, self.s, self.y)])
        return turned(points - shift, -np.deg2rad(np.interp(s, self.s, self.angle)))


def bracket(motion, bodies: shapely.Geometry, close: float = 1e-3, end: float = 1.0) -> tuple[float, float, float]:
    """Return (floor, ceiling, s of the ceiling) of the gap over [0, end], with ceiling - floor <= close.

    The ceiling is then brought down to a true local minimum by golden section, so that it is good to about 1e-10.
    """
    edges = np.array([0.0, *[b for b in motion.breaks if b < end], end])
    low, high = edges[:-1], edges[1:]
    seen_s = list(edges)
    seen_d = [motion.at(s).distance(bodies) for s in edges]
    floor = np.inf
    while low.size:
        middle = 0.5 * (low + high)
        apart = np.array([motion.at(s).distance(bodies) for s in middle])
        seen_s.extend(middle)
        seen_d.extend(apart)
        ceiling = min(seen_d)
        if ceiling == 0.0:
            return 0.0, 0.0, float(min(s for s, d in zip(seen_s, seen_d, strict=True) if d == 0.0))
        below = apart - motion.stray(high - low)
        open_ = below < ceiling - close
        floor = min([floor, *below[~open_]])
        low, middle, high = low[open_], middle[open_], high[open_]
        low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
    i = int(np.argmin(seen_d))
    s_sorted = np.unique(seen_s)
    k = int(np.searchsorted(s_sorted, seen_s[i]))
    a, b = s_sorted[max(k - 1, 0)], s_sorted[min(k + 1, len(s_sorted) - 1)]
    ceiling, at = seen_d[i], seen_s[i]
    golden = 0.5 * (np.sqrt(5.0) - 1.0)
    for _ in range(70):
        c, d = b - golden * (b - a), a + golden * (b - a)
        fc, fd = motion.at(c).distance(bodies), motion.at(d).distance(bodies)
        for f, s in ((fc, c), (fd, d)):
            if f < ceiling:
                ceiling, at = f, s
        a, b = (a, d) if fc <= fd else (c, b)
    return min(floor, ceiling), ceiling, float(at)


def is_clear(motion, bodies: shapely.Geometry, end: float, pieces: int = 200_000) -> bool:
    """Whether [0, end] is shown to be free of contact."""
    cuts = [0.0, *[b for b in motion.breaks if b < end], end]
    todo = list(itertools.pairwise(cuts))
    while todo and pieces:
        pieces -= 1
        a, b = todo.pop()
        apart = motion.at(0.5 * (a + b)).distance(bodies)
        if apart == 0.0:
            return False
        if apart <= motion.stray(np.array(b - a)):
            todo += [(a, 0.5 * (a + b)), (0.5 * (a + b), b)]
    return not todo
