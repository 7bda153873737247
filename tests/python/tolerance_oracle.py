"""Direct simulation of gates made with errors, in NumPy: what the likely-error column has to agree with.

A gate in section with two rounded lower corners swings past boxes and a round bar. Distances are those of boxes with
rounded corners, known in closed form; the turn is tried in small steps. Nothing of the library is used.
"""

from __future__ import annotations

import numpy as np

STEP_DEG = 0.5  # the least of a gap that changes by 40 mm per radian twice over is found to 0.0005 mm
CHUNK = 20_000


def box(x, y, sides):
    """Return the signed distance of points from a box."""
    left, right, low, high = sides
    dx = np.maximum(left - x, x - right)
    dy = np.maximum(low - y, y - high)
    return np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0)) + np.minimum(np.maximum(dx, dy), 0.0)


def rounded(x, y, size):
    """Return the signed distance from a gate whose lower inner corner is the origin, x outward and y up."""
    thickness, height, inner, outer = size
    dx = np.abs(x - 0.5 * thickness) - 0.5 * thickness
    dy = np.abs(y - 0.5 * height) - 0.5 * height
    r = np.where(y > 0.5 * height, 0.0, np.where(x < 0.5 * thickness, inner, outer))
    dx, dy = dx + r, dy + r
    return np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0)) + np.minimum(np.maximum(dx, dy), 0.0) - r


class Gate:
    """A gate shut with its lower inner corner at (x, y), about a pivot; all mm."""

    def __init__(self, corner, size, radii, pivot):
        self.corner, self.pivot = corner, pivot
        (thickness, height), (inner, outer) = size, radii
        self.size = (thickness, height, inner, outer)
        ends = [(0.0, inner), (inner, 0.0), (thickness - outer, 0.0), (thickness, outer)]
        self.points = [*ends, (0.0, height), (thickness, height)]
        self.arcs = [((inner, inner), inner, -1.0), ((thickness - outer, outer), outer, 1.0)]

    def to_box(self, sides, angle, u, v):
        """Return the signed gap to a box; u shifts the panel as it hangs shut, v the fixed things."""
        left, right, low, high = sides
        c, s = np.cos(angle), np.sin(angle)
        ox, oy = self.corner[0] - self.pivot[0], self.corner[1] - self.pivot[1]

        def stands(px, py):
            qx, qy = ox + px + u[0], oy + py + u[1]
            return self.pivot[0] + c * qx - s * qy - v[0], self.pivot[1] + s * qx + c * qy - v[1]

        least = np.full(np.broadcast(u[0], v[0]).shape, np.inf)
        for px, py in self.points:
            least = np.minimum(least, box(*stands(px, py), sides))
        for (px, py), r, side in self.arcs:
            if r == 0.0:
                continue
            cx, cy = stands(px, py)
            nx, ny = np.clip(cx, left, right) - cx, np.clip(cy, low, high) - cy  # toward the box, fixed axes
            own_x, own_y = c * nx + s * ny, c * ny - s * nx
            looks = (side * own_x >= 0.0) & (own_y <= 0.0)
            least = np.where(looks, np.minimum(least, box(cx, cy, sides) - r), least)
        for bx in (left, right):
            for by in (low, high):
                least = np.minimum(least, self.to_point(bx, by, angle, u, v))
        return least

    def to_point(self, bx, by, angle, u, v):
        """Return the signed distance of a fixed point from the gate."""
        c, s = np.cos(angle), np.sin(angle)
        dx, dy = bx + v[0] - self.pivot[0], by + v[1] - self.pivot[1]
        own_x = c * dx + s * dy + self.pivot[0] - self.corner[0] - u[0]
        own_y = c * dy - s * dx + self.pivot[1] - self.corner[1] - u[1]
        return rounded(own_x, own_y, self.size)


def simulate(body, turn, *, hole, together, n, seed):
    """Return what is left of the gap in n simulated gates.

    body: gap as a function of (angle, u, v), how far the body is out across, contact.
    """
    turn_from, turn_to = turn
    gap, across, contact = body
    rng = np.random.default_rng(seed)
    steps = max(2, int(np.ceil(abs(turn_to - turn_from) / STEP_DEG)) + 1)
    angles = np.radians(np.linspace(turn_from, turn_to, steps))
    out = []
    for start in range(0, n, CHUNK):
        size = min(CHUNK, n - start)
        in_gate = hole * rng.standard_normal((2, size))
        in_jamb = in_gate if together else hole * rng.standard_normal((2, size))
        least = np.full(size, np.inf)
        v = (across * rng.standard_normal(size) - in_jamb[0], -in_jamb[1])
        for angle in angles:
            least = np.minimum(least, gap(angle, -in_gate, v) - contact)
        out.append(least)
    return np.concatenate(out)


def agrees(made, gaps):
    """Return how many standard errors of the simulation the deviation, the kept gap and the share are off."""
    n = gaps.size
    centred = gaps - gaps.mean()
    deviation = centred.std()
    kurtosis = (centred**4).mean() / deviation**4
    off = {"deviation": (made.deviation - deviation) / (deviation * np.sqrt((kurtosis - 1.0) / (4.0 * n)))}
    share = 0.0227501319481792
    below = np.count_nonzero(gaps <= made.kept) / n  # where the kept gap stands among the simulated ones
    off["kept"] = (below - share) / np.sqrt(share * (1.0 - share) / n)
    rubs = np.count_nonzero(gaps <= 0.0) / n
    floor = max(made.share, 1.0 / n)
    off["share"] = (made.share - rubs) / np.sqrt(floor * (1.0 - min(floor, 0.5)) / n)
    return {name: float(value) for name, value in off.items()}
