"""Sketches for the measuring forms, built from the same geometry as the results; each size has its letter in a ring.

Proportions are chosen so that every size can be seen; nothing is to scale and no figure is meant.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from foldswing import blank, flip_panel, gate
from foldswing._core.plane import Path
from foldswing._layout import unit
from foldswing.drawing import Circle, Entity, Stroke, Text, line, polyline

RING = 2.7  # mm; radius of the ring round a letter
WORDS = 2.3  # mm; height of the words
_SAGITTA = 0.05  # mm of the sketched part
_TICK = 1.1  # mm
_LONG_ENOUGH = 3.2 * RING  # mm; shorter, the ring stands beyond the end of the line


def letter_height(letter: str, ring: float) -> float:
    """Return how high a letter stands in a ring of this radius; two letters share it."""
    return (1.15 if len(letter) == 1 else 0.85) * ring


class Sketch:
    """A sketch on paper: takes sizes of the part, puts lines on the page.

    Parameters
    ----------
    scale : float
        Paper over part.
    origin : point
        Where the part's origin comes to lie on the page, mm.
    """

    def __init__(self, scale: float, origin: tuple[float, float]) -> None:
        self._scale = scale
        self._origin = np.asarray(origin, dtype=float)
        self.entities: list[Entity] = []

    def at(self, point: Any) -> np.ndarray:
        """Return a point of the part on the page."""
        out: np.ndarray = self._origin + self._scale * np.asarray(point, dtype=float)
        return out

    def shape(self, path: Any, layer: str = "panel", *, within: tuple[float, float] | None = None) -> None:
        """Draw a closed path of the part; what is long and straight is cut short to lie `within` left and right."""
        points = np.array(path.outline(_SAGITTA / self._scale).points)
        if within is not None:
            points[:, 0] = np.clip(points[:, 0], *within)
        self.entities.append(polyline(self.at(points), layer, closed=True))

    def lines(self, points: Iterable[Any], layer: str = "panel", *, closed: bool = False) -> None:
        """Draw straight lines of the part."""
        self.entities.append(polyline(self.at(list(points)), layer, closed=closed))

    def circle(self, centre: Any, radius: float, layer: str = "panel") -> None:
        """Draw a circle of the part."""
        self.entities.append(Circle(self.at(centre), radius * self._scale, layer))

    def words(self, text: str, at: Any, shift: tuple[float, float] = (0.0, 0.0), anchor: str = "left") -> None:
        """Write words beside a point of the part."""
        self.entities.append(Text(text, self.at(at) + shift, WORDS, anchor=anchor, level="middle"))  # type: ignore[arg-type]

    def _ring(self, letter: str, centre: np.ndarray) -> None:
        self.entities.append(Circle(centre, RING, "text"))
        high = letter_height(letter, RING)
        self.entities.append(Text(letter, centre, high, anchor="middle", level="middle", bold=True))

    def size(self, letter: str, a: Any, b: Any, away: tuple[float, float] = (0.0, 0.0), *, ring: float = 0.5) -> None:
        """Draw a size between two points of the part.

        Parameters
        ----------
        letter : str
            In the ring.
        a, b : point
            Of the part.
        away : (float, float)
            From the points to the line, mm on the page, square to a-b.
        ring : float
            Where on the line the ring stands: 0 at a, 1 at b; beyond an end where the line is too short for it.
        """
        foot = [self.at(a), self.at(b)]
        start, end = (p + np.asarray(away) for p in foot)
        along = unit(end - start)
        length = float(np.hypot(*(end - start)))
        for p, q in zip(foot, (start, end), strict=True):
            if float(np.hypot(*(q - p))) > 1.0:
                out = unit(q - p)
                self.entities.append(line(p + 0.8 * out, q + 0.9 * out, "dimension"))
        side = np.array([-along[1], along[0]])
        for p in (start, end):
            self.entities.append(line(p - _TICK * 0.5 * (along + side), p + _TICK * 0.5 * (along + side), "dimension"))
        if length < _LONG_ENOUGH or not 0.0 < ring < 1.0:
            sign = -1.0 if ring < 0.5 else 1.0
            tip = start if ring < 0.5 else end
            self.entities.append(line(start, end, "dimension"))
            self.entities.append(line(tip, tip + sign * 2.2 * along, "dimension"))
            self._ring(letter, tip + sign * (2.2 + RING) * along)
            return
        middle = start + ring * (end - start)
        self.entities.append(line(start, middle - RING * along, "dimension"))
        self.entities.append(line(middle + RING * along, end, "dimension"))
        self._ring(letter, middle)

    def tag(self, letter: str, point: Any, shift: tuple[float, float]) -> None:
        """Draw a letter off a point of the part, with a line that ends on it in a dot."""
        tip = self.at(point)
        centre = tip + np.asarray(shift, dtype=float)
        self.entities.append(line(tip, centre - RING * unit(shift), "dimension"))
        self.entities.append(Circle(tip, 0.45, "dimension"))
        self._ring(letter, centre)


def gate_opening(at: tuple[float, float], wide: float, high: float) -> list[Entity]:
    """Return the front of the opening; `at` is its lower left corner on the page."""
    s = Sketch(1.0, at)
    left, right, top = 6.0, wide - 6.0, high - 12.0
    low = 18.0
    s.lines([(left, low), (right, low), (right + 1.5, top), (left - 1.5, top)], "neighbour", closed=True)
    s.lines(
        [(left + 2.5, low + 3.0), (right - 2.5, low + 3.0), (right - 2.5, top - 3.0), (left + 2.5, top - 3.0)],
        closed=True,
    )
    s.size("C", (left, low), (right + 1.5, top), ring=0.27)
    s.size("D", (right, low), (left - 1.5, top), ring=0.27)
    s.size("A", (left - 1.5, top), (right + 1.5, top), (0.0, 5.0))
    s.size("R", (left + 2.5, low + 3.0), (right - 2.5, low + 3.0), (0.0, -8.0))
    s.size("B", (left, low), (right, low), (0.0, -12.0))
    s.size("AA", (left, low), (left - 1.5, top), (-5.0, 0.0), ring=0.3)
    s.size("BB", (right, low), (right + 1.5, top), (5.0, 0.0), ring=0.3)
    s.words("opening and gate,", (0.5 * wide, high + 3.6), anchor="middle")
    s.words("seen from outside", (0.5 * wide, high), anchor="middle")
    return s.entities


def gate_section(at: tuple[float, float], scale: float) -> list[Entity]:
    """Return the section of a gate; `at` is the wall's outer face at the worktop on the page."""
    s = Sketch(scale, at)
    sizes = gate.Sizes(
        thickness=58.0, height=300.0, lower_edge_below_worktop=44.0, nose_behind_wall=84.0, nose_depth=64.0,
        worktop_depth=190.0, worktop_above_floor=250.0, head_above_worktop=276.0, sill_below_worktop=70.0,
        jamb_depth=120.0, lower_inner_radius=20.0, lower_outer_radius=10.0,
    )  # fmt: skip
    s.shape(gate.panel(sizes))
    for path in (gate.worktop(sizes), gate.sill(sizes), gate.head(sizes)):
        s.shape(path, "neighbour")
    s.lines([(-290.0, -250.0), (210.0, -250.0)], "datum")
    s.lines([(-84.0, 0.0), (190.0, 0.0)], "centre")
    s.circle((120.0, -160.0), 22.0, "neighbour")
    s.size("H", (-274.0, 0.0), (-274.0, -250.0), (-3.0, 0.0))
    s.size("E", (-200.0, 0.0), (-200.0, 276.0))
    s.size("G", (-120.0, 330.0), (0.0, 330.0))
    s.size("J", (-84.0, 0.0), (0.0, 0.0), (0.0, 5.5), ring=0.0)
    s.size("K", (-230.0, 0.0), (-230.0, -64.0), ring=1.0)
    s.size("N", (-58.0, 190.0), (0.0, 190.0), ring=1.0)
    s.size("Q", (0.0, -44.0), (0.0, 256.0), (25.0, 0.0), ring=0.62)
    s.size("P", (0.0, 0.0), (0.0, -44.0), (5.0, 0.0), ring=0.0)
    s.size("F", (0.0, 0.0), (0.0, -70.0), (10.5, 0.0), ring=1.0)
    s.size("V", (120.0, 0.0), (120.0, -160.0), (12.0, 0.0))
    s.size("U", (0.0, -160.0), (120.0, -160.0), (0.0, -6.5), ring=0.35)
    s.tag("T", (135.0, -176.0), (6.5, -5.0))
    s.tag("L", (-240.0, 0.0), (0.0, 8.0))
    s.tag("M", (-58.0, 120.0), (-8.0, 3.0))
    s.words("floor", (-288.0, -250.0), (2.0, -2.6))
    s.words("wall, outer face", (0.0, 330.0), (3.0, 2.0))
    return s.entities


def gate_stay(at: tuple[float, float], scale: float) -> list[Entity]:
    """Return the pins of the stay; `at` is the wall's outer face at the worktop on the page."""
    s = Sketch(scale, at)
    sizes = gate.Sizes(
        thickness=70.0, height=300.0, lower_edge_below_worktop=44.0, nose_behind_wall=96.0, nose_depth=50.0,
        worktop_depth=90.0, worktop_above_floor=250.0, head_above_worktop=290.0, sill_below_worktop=70.0,
        jamb_depth=150.0,
    )  # fmt: skip
    s.shape(gate.panel(sizes))
    s.shape(gate.worktop(sizes), "neighbour")
    pivot, pin, jamb = (-38.0, -16.0), (-38.0, 130.0), (-130.0, 200.0)
    s.circle(pivot, 9.0, "hole")
    s.circle(pin, 7.0, "hole")
    s.circle(jamb, 7.0, "hole")
    s.lines([jamb, pin], "swing")
    s.size("Y", pivot, pin, (14.0, 0.0), ring=0.6)
    s.size("Z", (-70.0, 70.0), (-38.0, 70.0), ring=0.0)
    s.size("X", (jamb[0], 0.0), jamb, (-5.0, 0.0), ring=0.5)
    s.size("W", jamb, (0.0, 200.0), (0.0, 19.0))
    s.words("stay, if there is one", (-60.0, -44.0), (0.0, -6.0), anchor="middle")
    s.words("pivot", (0.0, -16.0), (2.0, -3.2))
    return s.entities


def gate_seal(at: tuple[float, float]) -> list[Entity]:
    """Return a seal on its edge, free and squeezed; `at` is the middle of its foot."""
    s = Sketch(1.0, at)
    s.lines([(-11.0, 0.0), (11.0, 0.0)])
    s.entities.append(
        Stroke(_moved(Path([(3.0, 0.0), (3.0, 2.5), (-3.0, 2.5), (-3.0, 0.0)], [0.0, 180.0, 0.0]), at), "panel")
    )
    s.lines([(-4.0, 1.8), (4.0, 1.8)], "neighbour")
    s.tag("CC", (0.0, 5.5), (-9.0, -1.0))
    s.tag("DD", (4.0, 1.8), (5.0, 2.7))
    return s.entities


def gate_bow(at: tuple[float, float]) -> list[Entity]:
    """Return a bowed edge over its straight span; `at` is the left end of the span."""
    wide, rise = 34.0, 2.2
    s = Sketch(1.0, at)
    half = math.degrees(2.0 * math.atan2(2.0 * rise, wide))
    s.entities.append(Stroke(_moved(Path([(wide, 0.0), (0.0, 0.0)], [2.0 * half]), at), "panel"))
    s.size("EE", (0.0, 0.0), (wide, 0.0), ring=0.25)
    s.size("FF", (0.62 * wide, 0.0), (0.62 * wide, 0.93 * rise), ring=1.0)
    return s.entities


def sheet_details(at: tuple[float, float], letters: tuple[str, str, str, str, str]) -> list[Entity]:
    """Return a bend with its sheet and a test strip; letters: thickness, radius, strip, and both flanges."""
    thick, radius, flat, one, other = letters
    s = Sketch(1.0, at)
    t, r, leg = 3.0, 5.0, 21.0
    outer = Path([(0.0, leg), (0.0, r + t), (r + t, 0.0), (leg, 0.0)], [0.0, 90.0, 0.0])
    inner = Path([(t, leg), (t, r + t), (r + t, t), (leg, t)], [0.0, 90.0, 0.0])
    s.entities += [Stroke(_moved(p, at), "panel") for p in (outer, inner)]
    s.lines([(0.0, leg), (t, leg)])
    s.lines([(leg, 0.0), (leg, t)])
    s.size(thick, (leg - 4.0, 0.0), (leg - 4.0, t), ring=1.0)
    s.tag(radius, (t + 0.3 * r, t + 0.3 * r), (5.5, 9.0))
    s.size(one, (0.0, 0.0), (0.0, leg), (-5.0, 0.0))
    s.size(other, (0.0, 0.0), (leg, 0.0), (0.0, -5.0))
    s.lines([(-6.0, -20.0), (32.0, -20.0), (32.0, -16.5), (-6.0, -16.5)], closed=True)
    s.size(flat, (-6.0, -20.0), (32.0, -20.0), (0.0, -4.5))
    s.words("test strip: flat, then bent 90\N{DEGREE SIGN}", (-6.0, -13.5))
    return s.entities


def _moved(path: Path, by: tuple[float, float]) -> Path:
    return Path(np.asarray(path.points) + np.asarray(by), path.sweep_deg, closed=path.closed)


def panel_section(at: tuple[float, float], scale: float) -> list[Entity]:
    """Return a flip panel in its skin, outer surface below; `at` is the hinged edge of its outer surface."""
    s = Sketch(scale, at)
    sizes = flip_panel.Sizes(
        length=230.0, depth=34.0, skin_thickness=4.0, corner_radius=9.0, gap=9.0, return_depth=40.0, slope_deg=12.0,
        pivot_from_edge=34.0, pivot_behind_skin=20.0,
    )  # fmt: skip
    s.shape(flip_panel.panel(sizes))
    for side in (flip_panel.hinged_side(sizes), flip_panel.free_side(sizes)):
        s.shape(side, "neighbour", within=(-80.0, 310.0))
    pivot = flip_panel.pivot(sizes)
    sign = 1.0 if float(pivot[1]) > 0.0 else -1.0
    s.circle(pivot, 6.0, "hole")
    s.lines([(-80.0, sign * 88.0), (310.0, sign * 88.0)], "neighbour")
    s.words("hinged edge", (-80.0, 0.0), (0.0, -sign * 4.5))
    s.words("first thing behind the skin", (90.0, sign * 88.0), (0.0, -2.8))
    s.size("B", (0.0, 0.0), (230.0, 0.0), (0.0, -12.5))
    s.size("C", (190.0, 0.0), (190.0, sign * 34.0))
    s.size("E", (230.0, 0.0), (239.0, 0.0), (0.0, -5.0), ring=1.0)
    s.size("F", (-13.0, 0.0), (-13.0, sign * 40.0), (-6.0, 0.0))
    s.size("G", (280.0, 0.0), (280.0, sign * 88.0), ring=0.55)
    s.size("H", (0.0, sign * 20.0), pivot, (0.0, 11.0))
    s.size("J", (34.0, 0.0), pivot, (12.0, 0.0), ring=1.0)
    s.tag("K", pivot + np.array([-4.0, -4.0]), (-4.0, -11.5))
    return s.entities


def panel_face(at: tuple[float, float]) -> list[Entity]:
    """Return the face of a flip panel with its plate; `at` is its lower left corner."""
    s = Sketch(1.0, at)
    s.lines([(0.0, 0.0), (48.0, 0.0), (48.0, 28.0), (0.0, 28.0)], closed=True)
    s.lines([(6.0, 5.5), (42.0, 5.5), (42.0, 22.5), (6.0, 22.5)], "neighbour", closed=True)
    s.size("A", (0.0, 28.0), (48.0, 28.0), (0.0, 5.0))
    s.size("L", (6.0, 5.5), (42.0, 5.5), (0.0, 5.0), ring=0.4)
    s.size("M", (42.0, 5.5), (42.0, 22.5), (10.5, 0.0))
    s.words("the panel's face, with its plate", (24.0, 0.0), (0.0, -3.5), anchor="middle")
    return s.entities


def panel_slope(at: tuple[float, float]) -> list[Entity]:
    """Return how the slope of the skin is read; `at` is the lower end of the skin."""
    s = Sketch(1.0, at)
    rise = math.tan(math.radians(16.0))
    s.lines([(0.0, 0.0), (44.0, 44.0 * rise)])
    s.lines([(0.0, 0.0), (44.0, 0.0)], "centre")
    s.lines([(14.0, 14.0 * rise + 1.2), (30.0, 30.0 * rise + 1.2)], "datum")
    arc = Path([(36.0, 0.0), (36.0 * math.cos(math.radians(16.0)), 36.0 * math.sin(math.radians(16.0)))], [16.0])
    s.entities.append(Stroke(_moved(arc, at), "dimension"))
    s.tag("D", (35.5, 5.0), (9.0, 0.0))
    s.words("angle finder on the skin", (0.0, 0.0), (0.0, 14.5))
    s.words("level", (0.0, 0.0), (24.0, -2.6))
    return s.entities


def lid_way(at: tuple[float, float], wide: float, rise: float, letters: tuple[str, str], title: str) -> list[Entity]:
    """Return the crown one way: its chord and rise; `at` is the left end of the chord."""
    chord, up = letters
    s = Sketch(1.0, at)
    half = math.degrees(2.0 * math.atan2(2.0 * rise, wide))
    arc = Path([(wide, 0.0), (0.0, 0.0)], [2.0 * half])
    s.entities.append(Stroke(_moved(arc, at), "panel"))
    s.lines([(0.0, 0.0), (wide, 0.0)], "centre")
    s.size(chord, (0.0, 0.0), (wide, 0.0), (0.0, -6.5))
    s.size(up, (0.5 * wide, 0.0), (0.5 * wide, rise), ring=0.5)
    s.words(title, (0.5 * wide, rise), (0.0, 4.5), anchor="middle")
    return s.entities


def lid_layers(at: tuple[float, float]) -> list[Entity]:
    """Return the layers at the edge; `at` is the outer corner of the outer skin."""
    s = Sketch(1.0, at)
    s.lines([(0.0, 0.0), (60.0, 0.0), (60.0, -5.0), (0.0, -5.0)], closed=True)
    s.lines([(60.0, -9.0), (16.0, -9.0), (16.0, -5.0)], "neighbour")
    s.lines([(60.0, -9.0), (60.0, -15.0), (16.0, -15.0), (16.0, -9.0)])
    s.size("E", (36.0, 0.0), (36.0, -5.0), ring=0.0)
    s.tag("F", (48.0, -7.0), (9.0, 12.5))
    s.size("G", (30.0, -9.0), (30.0, -15.0), ring=1.0)
    s.size("H", (0.0, -15.0), (16.0, -15.0), (0.0, -6.0))
    for words, y in (("outer skin", -2.5), ("glue line", -7.0), ("support skin", -12.0)):
        s.words(words, (62.0, y))
    s.words("edge", (0.0, -2.5), (-2.0, 0.0), anchor="right")
    return s.entities


def bent_section(at: tuple[float, float], scale: float) -> list[Entity]:
    """Return a part of four flats and three bends; `at` is the lower left corner of what it covers."""
    flats = [46.0, 95.0, 74.0, 52.0]
    turns = [90.0, 90.0, 60.0]
    ways = ["up", "up", "down"]
    parts: list[Any] = [blank.Flat(flats[0], "outside")]
    for turn, way, flat in zip(turns, ways, flats[1:], strict=True):
        parts += [blank.Bend(turn, 7.0, way), blank.Flat(flat, "outside")]
    folded = blank.Profile(parts, 5.0, k_factor=0.42).folded
    inside, outside = np.asarray(folded.inside.points), np.asarray(folded.outside.points)
    low = np.vstack([inside, outside]).min(axis=0)
    s = Sketch(scale, tuple(np.asarray(at) - scale * low))
    points = [np.asarray(p.points) for p in (folded.outside, folded.inside)]
    for path in (folded.outside, folded.inside):
        s.entities.append(Stroke(Path(s.at(path.points), path.sweep_deg), "panel"))
    for end in (0, -1):
        s.lines([points[0][end], points[1][end]])
    middle = np.vstack(points).mean(axis=0)
    outer = points[0]
    bends = [0.5 * (outer[2 * i + 1] + outer[2 * i + 2]) for i in range(3)]
    for letter, i in zip("ABCD", range(4), strict=True):
        centre = 0.5 * (outer[2 * i] + outer[2 * i + 1])
        along = unit(outer[2 * i + 1] - outer[2 * i])
        out = np.array([-along[1], along[0]])
        if (float(np.dot(out, centre - middle)) < 0.0) != (letter == "D"):
            out = -out
        s.size(letter, outer[2 * i], outer[2 * i + 1], tuple(6.0 * out))
    shifts = {"E": (8.0, -5.0), "F": (7.0, 6.0), "G": (-8.0, -7.0)}
    for (letter, shift), bend in zip(shifts.items(), bends, strict=True):
        s.tag(letter, bend, shift)
    return s.entities


def bent_length(at: tuple[float, float]) -> list[Entity]:
    """Return the length along the bends; `at` is the lower left corner."""
    s = Sketch(1.0, at)
    s.lines([(0.0, 0.0), (40.0, 0.0), (52.0, 9.0), (12.0, 9.0)], closed=True)
    s.lines([(0.0, 0.0), (0.0, -6.0), (40.0, -6.0), (40.0, 0.0)])
    s.size("H", (0.0, -6.0), (40.0, -6.0), (0.0, -5.0))
    s.words("length along the bends", (0.0, 9.0), (2.0, 3.0))
    return s.entities


def bent_pan(at: tuple[float, float]) -> list[Entity]:
    """Return a pan; `at` is its lower left corner."""
    s = Sketch(1.0, at)
    s.lines([(0.0, 0.0), (40.0, 0.0), (52.0, 12.0), (12.0, 12.0)], closed=True)
    for x, y in ((0.0, 0.0), (40.0, 0.0), (52.0, 12.0)):
        s.lines([(x, y), (x, y - 7.0)])
    s.lines([(0.0, -7.0), (40.0, -7.0), (52.0, 5.0)])
    s.size("P", (0.0, -7.0), (40.0, -7.0), (0.0, -5.0))
    s.size("Q", (40.0, -7.0), (52.0, 5.0), (4.0, -4.0))
    s.size("R", (0.0, 0.0), (0.0, -7.0), (-4.0, 0.0), ring=0.0)
    s.words("or a pan, flanges down", (10.0, 12.0), (2.0, 3.0))
    return s.entities
