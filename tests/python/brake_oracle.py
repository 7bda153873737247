"""What a bend meets on a brake, found with Shapely by looking at many positions: shares nothing with the library.

Every verdict is 'free', 'fouls', or 'unsure' where metal and tool pass each other within a band of some hundredths of a
millimetre, or within what lies between two positions looked at.
"""

from __future__ import annotations

import functools
import itertools
import math
from typing import Any

import numpy as np
import shapely
import shapely.affinity
from shapely.geometry import Point, Polygon, box

BAND = 0.045  # mm; the library may take metal for that much more than it is
STEP = math.radians(1.0)
COARSE = math.radians(8.0)
FINE = math.radians(0.1)
NEAR = 8.0  # mm round the bend, where tools touch the metal by design


def pose(geometry: Any, angle: np.ndarray, x: np.ndarray, y: np.ndarray, *, mirror: bool = False) -> np.ndarray:
    """Return copies of a geometry, turned and then shifted (and then mirrored in x = 0)."""
    at = shapely.get_coordinates(geometry)
    cos, sin = np.cos(angle)[:, None], np.sin(angle)[:, None]
    xs = cos * at[:, 0] - sin * at[:, 1] + x[:, None]
    ys = sin * at[:, 0] + cos * at[:, 1] + y[:, None]
    if mirror:
        xs = -xs
    copies = np.repeat(np.array([geometry], dtype=object), len(angle))
    return shapely.set_coordinates(copies.copy(), np.stack([xs.ravel(), ys.ravel()], axis=1))


class Brake:
    """One section in one brake."""

    def __init__(self, section: Any, brake: Any) -> None:
        self.t = section.thickness
        self.touch = min(0.05, 0.1 * self.t)
        self.flats = [float(v) for v in section.flat_lengths]
        self.bends = [
            (math.radians(b.angle_deg), b.radius, b.allowance, b.direction == "up") for b in section.bend_lines
        ]
        self.brake, self.leafed = brake, brake.kind == "leaf"
        self.upper, self.lower = Polygon(brake.upper.points), Polygon(brake.lower.points)
        self.leaf = Polygon(brake.leaf.points) if self.leafed else None

    def side(self, made: frozenset[int], bend: int, way: int) -> tuple[tuple[Polygon, ...], float]:
        """Return the pieces of metal going outward from a bend, and the straight metal before the next bend made."""
        beyond = range(bend - 1, -1, -1) if way < 0 else range(bend + 1, len(self.bends))
        return self._side(frozenset(made & set(beyond)), bend, way)

    @functools.cache  # noqa: B019 - lives as long as one test
    def _side(self, made: frozenset[int], bend: int, way: int) -> tuple[tuple[Polygon, ...], float]:
        at, heading, straight, bent, pieces = np.zeros(2), 0.0, 0.0, False, []
        t = self.t

        def along(length: float) -> None:
            nonlocal at, straight
            d = np.array([math.cos(heading), math.sin(heading)])
            n = np.array([-d[1], d[0]])
            pieces.append(
                Polygon([at, at + length * d, at + length * d + t * n, at + t * n]) if length > 1e-9 else Polygon()
            )
            at = at + length * d
            straight += 0.0 if bent else length

        flat = bend if way < 0 else bend + 1
        along(self.flats[flat])
        while flat > 0 if way < 0 else flat < len(self.bends):
            other = flat - 1 if way < 0 else flat
            flat += way
            angle, radius, allowance, up = self.bends[other]
            if other in made:
                bent = True
                sign = 1.0 if up == self.bends[bend][3] else -1.0
                turn = sign * angle * np.linspace(0.0, 1.0, 60)
                n0 = np.array([-math.sin(heading), math.cos(heading)])
                low = radius + t if sign > 0 else -radius
                centre = at + low * n0
                ns = np.stack([-np.sin(heading + turn), np.cos(heading + turn)], axis=1)
                lower, upper = centre - low * ns, centre - (low - t) * ns
                pieces.append(Polygon(np.concatenate([lower, upper[::-1]])))
                at, heading = lower[-1], heading + sign * angle
            else:
                along(allowance)
            along(self.flats[flat])
        return tuple(pieces), straight

    @functools.cache  # noqa: B019
    def tools(self, bend: int) -> tuple[Any, Any, Any]:
        """Return upper, lower and leaf for a bend, the nose rounded to its inside radius."""
        if not self.leafed:
            return self.upper, self.lower, None
        radius = self.bends[bend][1]
        nose = self.upper
        corners = [tuple(p) for p in self.brake.upper.points]
        i = corners.index((0.0, 0.0))
        before, after = corners[i - 1], corners[(i + 1) % len(corners)]
        wedge = abs(math.atan2(after[1], after[0]) - math.atan2(before[1], before[0]))
        forward = 0.0
        if radius > 0.0:
            cut = Point(0.0, 0.0).buffer(radius / math.tan(wedge / 2) * 1.0001, quad_segs=64)
            opened = nose.buffer(-radius, quad_segs=256).buffer(radius, quad_segs=256)
            nose = nose.difference(cut).union(opened.intersection(cut))
            forward = radius * (1.0 / math.tan(wedge / 2) - 1.0)
        return shapely.affinity.translate(nose, forward, self.t), self.lower, self.leaf

    def stand(self, bend: int, role: str, s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return angle and place of one side (behind: before it is mirrored) at each part of the turn."""
        angle, radius, allowance, _ = self.bends[bend]
        outer = radius + self.t
        if self.leafed and role == "behind":
            return 0.0 * s, radius + 0.0 * s, 0.0 * s
        half = 1.0 if self.leafed else 0.5
        a, rest = half * angle * s, half * allowance * (1.0 - s)
        cx, cy = (-radius, outer) if self.leafed else (0.0, radius)
        return a, cx + outer * np.sin(a) + rest * np.cos(a), cy - outer * np.cos(a) + rest * np.sin(a)

    def die(self, bend: int, s: np.ndarray) -> np.ndarray:
        """Return the height of the die's top under the punch's tip: the outer face lies on both shoulders."""
        angle, radius, _, _ = self.bends[bend]
        a = 0.5 * angle * s
        return radius - (radius + self.t) / np.cos(a) + 0.5 * self.brake.v_opening * np.tan(a)

    # ---- one pair over the turn ----

    def passes(self, pieces: Any, tool: Any, at: Any, turn: float, *, near: Any, sure: float) -> str:
        """Return how pieces lie to a tool that stands, over the turn.

        Within `near`, where metal and tool touch by design, at positions a degree apart; farther out what lies between
        two positions counts, and they are halved and halved again where it matters.
        """
        metal = together(pieces)
        if metal.is_empty:
            return "free"
        inner = self.drawn_in(tool)
        core = inner if sure == self.touch else tool.buffer(-sure)
        verdict = "free"
        close, far = metal.intersection(near), metal.difference(near)
        if not close.is_empty:
            posed = pose(close, *at(np.linspace(0.0, 1.0, int(turn / STEP) + 2)))
            if np.any(shapely.intersects(core, posed)):
                return "fouls"
            if np.any(shapely.dwithin(inner, posed, BAND)):
                verdict = "unsure"
        if far.is_empty:
            return verdict
        reach = float(np.hypot(*shapely.get_coordinates(far).T).max()) + 10.0
        width = 1.0 / max(1, int(turn / COARSE))
        s = np.arange(0.5 * width, 1.0, width)
        ends = pose(far, *at(np.array([0.0, 1.0])))
        if np.any(shapely.intersects(core, ends)):
            return "fouls"
        while True:
            posed = pose(far, *at(s))
            if np.any(shapely.intersects(core, posed)):
                return "fouls"
            s = s[shapely.dwithin(inner, posed, BAND + 0.5 * reach * turn * width)]
            if not len(s):
                return verdict
            if turn * width < FINE:
                return "unsure"
            width /= 5.0
            s = (s[:, None] + width * np.arange(-2, 3)).ravel()

    @functools.cache  # noqa: B019
    def drawn_in(self, tool: Any) -> Any:
        """Return a tool a touch smaller, ready to be compared with many shapes."""
        out = tool.buffer(-self.touch)
        shapely.prepare(out)
        return out

    def still(self, pieces: Any, tool: Any) -> str:
        """Return how pieces lie to a tool."""
        metal = together(pieces)
        if metal.is_empty:
            return "free"
        gap = metal.distance(self.drawn_in(tool))
        return "fouls" if gap <= 0.0 else "unsure" if gap < BAND else "free"

    def verdict(self, made: frozenset[int], bend: int, end: str) -> str:
        """Return whether one bend can be made."""
        angle, _, _, _ = self.bends[bend]
        back = -1 if end == "start" else 1
        behind, hold = self.side(made, bend, back)
        front, flange = self.side(made, bend, -back)
        if math.degrees(angle) > self.brake.greatest_angle_deg + 1e-9:
            return "fouls"
        least = [self.brake.least_hold, self.brake.least_flange] if self.leafed else [self.on_shoulder(bend)] * 2
        if hold < least[0] - 1e-6 or flange < least[1] - 1e-6:
            return "fouls"
        one, zero = np.ones(1), np.zeros(1)
        a, x, y = self.stand(bend, "behind", zero)
        reach = max(shapely.get_coordinates(pose(shapely.union_all(behind), a, x, y)[0])[:, 0])
        if not self.brake.gauge_from <= reach <= self.brake.gauge_to:
            return "fouls"
        found = [self.against_tools(behind, bend, "behind")]
        if "fouls" not in found:
            found.append(self.against_tools(front, bend, "front"))
        if "fouls" not in found:
            found.append(self.against_metal(made, bend))
        if "fouls" in found or self.brake.open_ended:
            return worst(found)
        pieces = pose_all(behind, self.stand(bend, "behind", one), mirror=True)
        pieces += pose_all(front, self.stand(bend, "front", one))
        pieces.append(self.zone(bend))
        return worst([*found, self.comes_off(pieces, bend)])

    def on_shoulder(self, bend: int) -> float:
        """Return the straight metal a leg must have for its shoulder of the V, by looking at many positions."""
        angle, radius, allowance, _ = self.bends[bend]
        half, outer, most = 0.5 * self.brake.v_opening, radius + self.t, 0.5 * angle
        if half <= outer * math.sin(most):
            return math.inf
        a = np.linspace(0.0, most, 2001)
        return float(np.max((half - outer * np.sin(a)) / np.cos(a) - 0.5 * allowance * (1.0 - a / most)))

    @functools.cache  # noqa: B019
    def against_tools(self, pieces: Any, bend: int, role: str) -> str:
        """Return how one side passes the tools."""
        upper, lower, leaf = self.tools(bend)
        angle, radius, allowance, _ = self.bends[bend]
        disc = Point(0.0, 0.0).buffer(NEAR)
        if self.leafed and role == "behind":
            placed = pose_all(pieces, self.stand(bend, role, np.zeros(1)), mirror=True)
            found = [self.still(placed, upper), self.still(placed, lower)]
            cx, cy = -radius, radius + self.t
            about = shapely.affinity.translate(leaf, -cx, -cy)
            shifted = [shapely.affinity.translate(p, -cx, -cy) for p in placed]
            found.append(
                self.passes(shifted, about, lambda s: (-angle * s, 0 * s, 0 * s), angle, near=disc, sure=self.touch)
            )
            return worst(found)
        turn = angle * (1.0 if self.leafed else 0.5)

        def on_punch(s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            return self.stand(bend, role, s)

        def on_die(s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            a, x, y = self.stand(bend, role, s)
            return a, x, y - self.die(bend, s)

        if self.leafed:
            found = [self.passes(pieces, tool, on_punch, turn, near=disc, sure=self.touch) for tool in (upper, lower)]
            for x in (-radius, -radius + allowance):
                found.append(self.still([shapely.affinity.translate(p, x, 0.0) for p in pieces], leaf))
            return worst(found)
        if role == "behind":
            upper, lower = (shapely.affinity.scale(t, -1, 1, origin=(0, 0)) for t in (upper, lower))
        top = box(-50, -50, 0.5 * self.brake.v_opening + 16, 50)
        return worst(
            [
                self.passes(pieces, upper, on_punch, turn, near=disc, sure=self.touch),
                self.passes(pieces, lower, on_die, turn, near=top, sure=self.touch),
            ]
        )

    def against_metal(self, made: frozenset[int], bend: int) -> str:
        """Return how one side of the part passes the other."""
        return self._against_metal(self.side(made, bend, -1)[0], self.side(made, bend, 1)[0], bend)

    @functools.cache  # noqa: B019
    def _against_metal(self, still: Any, moving: Any, bend: int) -> str:
        seen = [shapely.affinity.scale(p, -1, 1, origin=(0, 0)) for p in moving]

        def at(s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            a, x, y = self.stand(bend, "behind", s)
            b, u, v = self.stand(bend, "front", s)
            dx, dy = -u - x, v - y
            return -(a + b), np.cos(a) * dx + np.sin(a) * dy, -np.sin(a) * dx + np.cos(a) * dy

        near = Point(0.0, 0.0).buffer(3.0)
        turn = self.bends[bend][0]
        found = ["free"]
        for pieces, other in ((seen, still[1:]), (seen[1:], still[:1])):
            metal = together(other)
            if pieces and not metal.is_empty:
                found.append(self.passes(pieces, metal, at, turn, near=near, sure=2.5 * self.touch))
        return worst(found)

    def zone(self, bend: int) -> Polygon:
        """Return the bend made, as it stands at the end."""
        angle, radius, _, _ = self.bends[bend]
        cx, cy, start = (
            (-radius, radius + self.t, -0.5 * math.pi) if self.leafed else (0, radius, -0.5 * (math.pi + angle))
        )
        a = start + angle * np.linspace(0.0, 1.0, 60)
        ring = [np.stack([cx + r * np.cos(a), cy + r * np.sin(a)], axis=1) for r in (radius + self.t, radius)]
        return Polygon(np.concatenate([ring[0], ring[1][::-1]]))

    def comes_off(self, pieces: list[Polygon], bend: int) -> str:
        """Return whether the part comes off: the tool lifts, the part is raised and drawn straight out."""
        upper, lower, leaf = self.tools(bend)
        below = [shapely.affinity.translate(lower, 0, 0 if self.leafed else float(self.die(bend, np.ones(1))[0]))]
        below += [leaf] if self.leafed else []
        parts = [c for p in pieces if not p.is_empty for c in convex_parts(p)]
        at, own = shapely.get_coordinates(np.array(parts), return_index=True)
        below = [self.drawn_in(tool) for tool in below]
        upper = self.drawn_in(upper)

        @functools.cache
        def on_way(tool: int, start: float, x: float, end: float) -> str:
            both = np.concatenate([at + (0.0, start), at + (x, end)])  # noqa: RUF005
            order = np.argsort(np.concatenate([own, own]), kind="stable")
            hulls = shapely.convex_hull(shapely.multipoints(both[order], indices=np.concatenate([own, own])[order]))
            core = upper if tool < 0 else below[tool]
            if np.any(shapely.intersects(core, hulls)):
                return "fouls"
            return "unsure" if np.any(shapely.dwithin(core, hulls, BAND)) else "free"

        best = "fouls"
        for lift, part in itertools.product((1.0, 0.5, 0.2, 0.05, 0.0), (0.0, 1 / 3, 2 / 3, 1.0)):
            lifted = lift * self.brake.opens
            raised = part * lifted
            ways = [(-1, 0.0, 0.0, -lifted), (-1, raised - lifted, 3000.0, raised - lifted)]
            for tool in range(len(below)):
                ways += [(tool, 0.0, 0.0, raised), (tool, raised, 3000.0, raised)]
            found = []
            for way in ways:
                found.append(on_way(*way))
                if found[-1] == "fouls":
                    break
            if "fouls" not in found:
                if "unsure" not in found:
                    return "free"
                best = "unsure"
        return best


def worst(found: list[str]) -> str:
    """Return the verdict that decides."""
    return "fouls" if "fouls" in found else "unsure" if "unsure" in found else "free"


def together(pieces: Any) -> Any:
    """Return pieces as one geometry."""
    return shapely.union_all([p for p in pieces if not p.is_empty])


def convex_parts(piece: Polygon) -> list[Polygon]:
    """Return a flat as it is, and a bend as the slices between neighbouring points of its two arcs."""
    at = shapely.get_coordinates(piece)[:-1]
    if len(at) <= 4:
        return [piece]
    half = len(at) // 2
    outer, inner = at[:half], at[half:][::-1]
    cuts = [*range(0, half - 1, 4), half - 1]
    return [Polygon([outer[i], outer[j], inner[j], inner[i]]) for i, j in itertools.pairwise(cuts)]


def pose_all(pieces: Any, stand: Any, *, mirror: bool = False) -> list[Polygon]:
    """Return pieces at one place."""
    return [pose(p, *stand, mirror=mirror)[0] if not p.is_empty else p for p in pieces]
