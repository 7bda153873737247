"""Flat patterns of curved parts: pipes, elbows, branches, cones, hoppers, spheres in gores, strips between two edges.

A part stands upright, z up, its bottom about z = 0. Round a part is counter-clockwise seen from above, in degrees from
the seam. A pattern shows the outer face: left to right is round the part, up is up. It is worked out on the middle of
the sheet (common practice, no source); sizes may be measured to the outside, the inside or the middle. Seam allowances
are left to the maker.

Every drawn point of an edge is exact; the chords between them stray from the true edge by at most the sagitta. The
options are the same throughout:

- ``thickness``: of the sheet, mm, >= 0; ``measured``: what the sizes are given to, 'outside', 'inside' or 'middle';
- ``sagitta``: most that a chord strays from the true edge, mm, > 0;
- ``lines``: roll lines for a full turn, 1 to 720.
"""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from foldswing import _core
from foldswing._core.plane import Outline, Path
from foldswing._values import value

__all__ = [
    "Branch",
    "Elbow",
    "Pattern",
    "PatternEdge",
    "PatternLine",
    "branch",
    "cone",
    "cylinder",
    "elbow",
    "gore",
    "oblique_cone",
    "rectangle_outline",
    "round_outline",
    "ruled_strip",
    "to_point",
    "transition",
]

Measured = Literal["outside", "inside", "middle"]


@value
class PatternLine:
    """A straight line of a pattern that stays straight on the part.

    Attributes
    ----------
    label : str
        Degrees round the part from the seam, or a number counted from the left.
    kind : str
        'roll': lies in a curve, the sheet is rolled or braked a little at each; 'fold': a bend; 'tangent': where a
        curve runs out.
    ends : (2, 2) ndarray
        Bottom and top end on the pattern, mm.
    folded : (2, 3) ndarray
        Where they lie on the part, mm.
    length : float
        True length, mm.
    angle_deg : float
        Of a fold: turned through, towards the inside positive; else 0.
    twist_deg : float
        Angle between the sheet's planes at its two ends; 0 where the part develops truly.
    """

    label: str
    kind: str
    ends: np.ndarray
    folded: np.ndarray
    length: float
    angle_deg: float
    twist_deg: float


@value
class PatternEdge:
    """One edge of a pattern.

    Attributes
    ----------
    label : str
        'bottom', 'right seam', 'top', 'left seam', 'hole'; of a gore 'right edge' and 'left edge'.
    first, last : int
        Its first and last point on the outline, counter-clockwise; both 0 for a hole, which is a ring by itself.
    length : float
        Of the true edge on the part, mm.
    drawn : float
        Of the chords that stand for it on the pattern, mm.
    """

    label: str
    first: int
    last: int
    length: float
    drawn: float


@value
class Pattern:
    """A flat pattern, and where each of its points lies on the finished part.

    Attributes
    ----------
    shape : str
        What it is.
    method : str
        'exact': the pattern rolls up into the part; 'triangles': flat triangles stand for the surface; 'stretched':
        curved both ways, the flat piece has to be stretched or shrunk into shape.
    points : (n, 2) ndarray
        The outline in order, counter-clockwise, mm.
    folded : (n, 3) ndarray
        The same points on the part, mm.
    holes, folded_holes : tuple of ndarray
        The same for each hole.
    lines : tuple of PatternLine
        From left to right; the seam's own edges are not among them.
    edges : tuple of PatternEdge
        In order round the outline.
    area : float
        Of the true surface, holes taken out, mm²; of the triangles where `method` is 'triangles'.
    thickness, sagitta : float
        As given, mm. Sagitta 0 where the outline is made of straight lines alone.
    girth_error : float
        By how much chords would fall short of the true girth ('triangles'), or by how much an edge comes out too long
        ('stretched'), mm; else 0.
    surface_error : float
        Most that the folded pattern stands off the smooth part, mm.
    edge_strain : float
        Most stretch (+) or shrinking (-) an edge needs, as a share of its length; 0 where the part develops.
    explanation : str
        What the pattern is good for, in a sentence.
    """

    shape: str
    method: str
    points: np.ndarray
    folded: np.ndarray
    holes: tuple[np.ndarray, ...]
    folded_holes: tuple[np.ndarray, ...]
    lines: tuple[PatternLine, ...]
    edges: tuple[PatternEdge, ...]
    area: float
    thickness: float
    sagitta: float
    girth_error: float
    surface_error: float
    edge_strain: float
    explanation: str

    @property
    def outline(self) -> Outline:
        """The pattern as an outline with its holes."""
        return Outline(self.points, [*self.holes])

    @property
    def length(self) -> float:
        """Of the smallest upright rectangle that holds the pattern, left to right, mm."""
        return float(np.ptp(self.points[:, 0]))

    @property
    def width(self) -> float:
        """Of the same rectangle, bottom to top, mm."""
        return float(np.ptp(self.points[:, 1]))


@value
class Elbow:
    """A mitred elbow.

    Attributes
    ----------
    mitre_deg : float
        Tilt of every cut from square.
    pieces : tuple of Pattern
        From one end to the other, each standing upright with its seam in the throat.
    """

    mitre_deg: float
    pieces: tuple[Pattern, ...]


@value
class Branch:
    """A branch pipe and the main it runs into.

    Attributes
    ----------
    branch : Pattern
        Its saddle at the bottom; `folded` stands in the frame of the main. Its seam is on the side that leans over.
    main : Pattern
        With the hole; its seam is opposite to the branch.
    """

    branch: Pattern
    main: Pattern


def cylinder(
    diameter: Any,
    length: Any,
    *,
    bottom_tilt_deg: Any = 0.0,
    bottom_high_deg: Any = 0.0,
    top_tilt_deg: Any = 0.0,
    top_high_deg: Any = 180.0,
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Pattern:
    """Return the pattern of a pipe whose ends are square or cut by planes.

    Parameters
    ----------
    diameter : length
        mm, > 0.
    length : length
        Between the cuts along the axis, mm, > 0.
    bottom_tilt_deg, top_tilt_deg : angle
        Tilt of each cut from square, 0 or more and under 90.
    bottom_high_deg, top_high_deg : angle
        Where round the part, from the seam, each cut stands highest.
    thickness, measured, sagitta, lines
        As throughout the topic.

    Returns
    -------
    Pattern
        Of method 'exact'. Over x = r p round the girth, a cut stands r tan(tilt) cos(p - high) above the axis's place.

    Raises
    ------
    InvalidInput
        When a size is out of range, or the two cuts cross inside the pipe.

    Examples
    --------
    >>> half = cylinder(100, 150, top_tilt_deg=22.5)
    >>> round(half.length, 3), round(half.width - (150 - 50 * 0.41421356), 3)
    (314.159, 41.421)
    """
    return _core.development.cylinder(
        diameter,
        length,
        bottom_tilt_deg,
        bottom_high_deg,
        top_tilt_deg,
        top_high_deg,
        thickness,
        measured,
        sagitta,
        lines,
    )


def elbow(
    diameter: Any,
    angle_deg: Any,
    radius: Any,
    pieces: int,
    *,
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Elbow:
    """Return the patterns of a mitred elbow: two end pieces, and the pieces between them, twice as long.

    Parameters
    ----------
    diameter : length
        mm, > 0.
    angle_deg : angle
        What the pipe turns through, over 0 and at most 180.
    radius : length
        Of the centre line, mm; more than half the outside diameter.
    pieces : int
        2 to 60, ends included.
    thickness, measured, sagitta, lines
        As throughout the topic.

    Returns
    -------
    Elbow
        Every cut is tilted by angle / (2 (pieces - 1)).

    Raises
    ------
    InvalidInput
        When a size is out of range or nothing is left of the throat.

    Examples
    --------
    >>> made = elbow(100, 90, 150, 4)
    >>> made.mitre_deg, len(made.pieces)
    (15.0, 4)
    """
    return _core.development.elbow(diameter, angle_deg, radius, pieces, thickness, measured, sagitta, lines)


def branch(
    main_diameter: Any,
    branch_diameter: Any,
    *,
    main_length: Any,
    branch_length: Any,
    angle_deg: Any = 90.0,
    along: Any = None,
    offset: Any = 0.0,
    main_thickness: Any = 0.0,
    branch_thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Branch:
    """Return the pattern of a pipe that runs into the side of another, and of that other with its hole.

    Parameters
    ----------
    main_diameter, branch_diameter : length
        mm, > 0; the branch no larger than the main.
    main_length : length
        mm, > 0.
    branch_length : length
        Along its axis from the main's axis to its square end, mm.
    angle_deg : angle
        Between the axes, over 0 and under 180; under 90 the branch leans to the top of the main.
    along : length, optional
        Where the axes meet or pass each other, from the bottom of the main, mm; half its length if not given.
    offset : length
        By which the axes pass each other, mm.
    main_thickness, branch_thickness : length
        Of the two sheets, mm, >= 0. Saddle and hole are drawn to the middle of both (common practice, no source).
    measured, sagitta, lines
        As throughout the topic.

    Returns
    -------
    Branch
        Distance of the saddle from the main's axis, p round the branch from its leaning side:
        (sqrt(R² - (e + r sin p)²) + r cos p cos b) / sin b.

    Raises
    ------
    InvalidInput
        When the branch is larger than the main, misses it in part, ends inside it, or runs off its end.

    Examples
    --------
    >>> made = branch(200, 120, main_length=400, branch_length=250)
    >>> round(made.branch.width, 6)  # 250 less what is left of the main's radius beside the branch
    170.0
    """
    return _core.development.branch(
        main_diameter,
        branch_diameter,
        angle_deg,
        main_length,
        branch_length,
        float("nan") if along is None else along,
        offset,
        main_thickness,
        branch_thickness,
        measured,
        sagitta,
        lines,
    )


def cone(
    diameter: Any,
    height: Any,
    *,
    top_diameter: Any = 0.0,
    bottom_tilt_deg: Any = 0.0,
    bottom_high_deg: Any = 0.0,
    top_tilt_deg: Any = 0.0,
    top_high_deg: Any = 180.0,
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Pattern:
    """Return the pattern of a right cone or frustum, its ends square or cut by planes.

    Parameters
    ----------
    diameter : length
        Of the bottom, mm, > 0.
    height : length
        Along the axis, to the apex where `top_diameter` is 0, mm, > 0.
    top_diameter : length
        mm, >= 0; may be the larger one. The diameters are those of square ends through the axis's ends; edges are
        taken cut square to the sheet.
    bottom_tilt_deg, top_tilt_deg, bottom_high_deg, top_high_deg : angle
        Tilt of each cut and where round the part it stands highest.
    thickness, measured, sagitta, lines
        As throughout the topic.

    Returns
    -------
    Pattern
        Of method 'exact', about the apex as origin: the generator at p lies at the angle p sin(g), g half the opening.

    Raises
    ------
    InvalidInput
        When a size is out of range, both diameters are the same, a cut runs out of the cone, or the cuts cross.

    Examples
    --------
    >>> part = cone(300, 200, top_diameter=120)
    >>> round(part.edges[1].length, 9), round(part.area, 6)
    (219.317121995, 144691.062446)
    """
    return _core.development.cone(
        diameter,
        height,
        top_diameter,
        bottom_tilt_deg,
        bottom_high_deg,
        top_tilt_deg,
        top_high_deg,
        thickness,
        measured,
        sagitta,
        lines,
    )


def oblique_cone(
    diameter: Any,
    height: Any,
    offset: Any,
    *,
    top_diameter: Any = 0.0,
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Pattern:
    """Return the pattern of an oblique cone, or of an oblique frustum between parallel circles.

    Parameters
    ----------
    diameter, height : length
        Of the bottom, and of the top's centre or the apex above it, mm, > 0.
    offset : (2,) lengths
        Of the top's centre or the apex from the bottom's centre, mm, seen from above; the seam is at +x.
    top_diameter : length
        mm, >= 0; 0 for a full cone, the same as `diameter` for an oblique pipe.
    thickness, measured, sagitta, lines
        As throughout the topic.

    Returns
    -------
    Pattern
        Of method 'exact', by integration over the girth.

    Raises
    ------
    InvalidInput
        When a size is out of range.

    Examples
    --------
    >>> part = oblique_cone(200, 240, (0, 0))  # straight after all: 260 along the side
    >>> round(part.area, 6)
    81681.408993
    """
    return _core.development.oblique_cone(diameter, height, offset, top_diameter, thickness, measured, sagitta, lines)


def transition(
    bottom: Path | Outline,
    top: Path | Outline,
    height: Any,
    *,
    offset: Any = (0.0, 0.0),
    tilt_deg: Any = 0.0,
    high_deg: Any = 0.0,
    surface: Literal["smooth", "triangles"] = "smooth",
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Pattern:
    """Return the pattern of the skin between two outlines, square to round and all others.

    Parameters
    ----------
    bottom, top : Path or Outline
        Closed, of lines and arcs; each in its own plane. The seam starts at the first point of `bottom`.
    height : length
        Of the top's origin above the plane of the bottom, mm, > 0.
    offset : (2,) lengths
        Of the top's origin from the bottom's, seen from above, mm.
    tilt_deg, high_deg : angle
        Tilt of the top, 0 or more and under 90, and the direction from +x in which it rises.
    surface : {'smooth', 'triangles'}
        'smooth': flats and single curves alone, both outlines convex. Where an outline is hollow, or on request: flat
        triangles, the points matched along the girths; girths are laid out by arcs, not chords, so that they close.
    thickness, measured, sagitta, lines
        As throughout the topic. To come to the middle of the sheet, outlines are moved by half its thickness in their
        own planes.

    Returns
    -------
    Pattern
        Of method 'exact' or 'triangles'.

    Raises
    ------
    InvalidInput
        When an outline is open, the plane of one cuts the other, or a size is out of range.

    Examples
    --------
    >>> hopper = transition(rectangle_outline(200, 200), round_outline(120), 150, lines=24)
    >>> hopper.method, round(min(line.length for line in hopper.lines), 6)
    ('exact', 170.673481)
    """
    return _core.development.transition(
        _ring(bottom), _ring(top), height, offset, tilt_deg, high_deg, surface, thickness, measured, sagitta, lines
    )


def to_point(
    bottom: Path | Outline,
    height: Any,
    *,
    apex: Any = (0.0, 0.0),
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 12,
) -> Pattern:
    """Return the pattern of the skin from a convex outline to a point above it: pyramids and the like.

    Parameters
    ----------
    bottom : Path or Outline
        Closed and convex. The seam starts at its first point.
    height : length
        Of the point above the outline's plane, mm, > 0.
    apex : (2,) lengths
        Where the point stands, seen from above, mm.
    thickness, measured, sagitta, lines
        As throughout the topic.

    Returns
    -------
    Pattern
        Of method 'exact'.

    Raises
    ------
    InvalidInput
        When the outline is open or hollow, or a size is out of range.

    Examples
    --------
    >>> roof = to_point(rectangle_outline(200, 200), 75)
    >>> round(roof.area, 9)
    50000.0
    """
    return _core.development.to_point(_ring(bottom), apex, height, thickness, measured, sagitta, lines)


def gore(
    diameter: Any,
    gores: int,
    *,
    from_deg: Any = 0.0,
    to_deg: Any = 90.0,
    thickness: Any = 0.0,
    measured: Measured = "outside",
    sagitta: Any = 0.05,
    lines: int = 24,
) -> Pattern:
    """Return the pattern of one gore of a sphere, a hemisphere or a crown.

    Parameters
    ----------
    diameter : length
        Of the sphere, mm, > 0.
    gores : int
        Round the whole sphere, 3 to 360.
    from_deg, to_deg : angle
        Latitudes of its ends, -90 to 90: 0 to 90 for half a sphere, 60 to 90 for a crown.
    thickness, measured, sagitta, lines
        As throughout the topic; roll lines lie across the gore.

    Returns
    -------
    Pattern
        Of method 'stretched': its girth is true at every height and its length true down the middle. `edge_strain`
        is 1/sqrt(1 + (pi/n sin l)²) - 1 at the end nearest to a pole; `girth_error` is the edge's extra length.

    Raises
    ------
    InvalidInput
        When a size is out of range.

    Examples
    --------
    >>> piece = gore(600, 12)
    >>> round(100 * piece.edge_strain, 2)
    -3.26
    """
    return _core.development.gore(diameter, gores, from_deg, to_deg, thickness, measured, sagitta, lines)


def ruled_strip(bottom: Any, top: Any, *, rulings: int = 60, thickness: Any = 0.0) -> Pattern:
    """Return the pattern of the strip between two edges in space, developable as nearly as it can be.

    Parameters
    ----------
    bottom, top : (n, 3) lengths
        Points along each edge in order, mm; a smooth curve is laid through each. Both begin at the left end.
    rulings : int
        Steps along the strip, 2 to 2000.
    thickness : length
        mm, >= 0; the edges are taken on the middle of the sheet.

    Returns
    -------
    Pattern
        Of method 'triangles'. Each line is a ruling with the twist that is left in it.

    Raises
    ------
    InvalidInput
        For fewer than 2 points, neighbours that coincide, edges that meet, or values out of range.

    Notes
    -----
    Rulings are matched by the least sum of squared twists, in order and without crossing, then settled where the twist
    goes through zero.

    Examples
    --------
    >>> p = np.linspace(0.0, 1.5, 16)
    >>> low = np.c_[300 * np.cos(p), 300 * np.sin(p), 0 * p]
    >>> high = np.c_[200 * np.cos(p), 200 * np.sin(p), 0 * p + 150]
    >>> max(abs(line.twist_deg) for line in ruled_strip(low, high).lines) < 0.1
    True
    """
    return _core.development.ruled_strip(bottom, top, rulings, thickness)


def round_outline(diameter: Any) -> Path:
    """Return a circle about the origin, from its point at +x.

    Examples
    --------
    >>> round_outline(100).closed
    True
    """
    return _core.development.round_outline(diameter)


def rectangle_outline(length: Any, width: Any, corner_radius: Any = 0.0) -> Path:
    """Return a rectangle about the origin, from the middle of its right side.

    Parameters
    ----------
    length, width : length
        Along x and y, mm, > 0.
    corner_radius : length
        mm, 0 to half the shorter side.

    Examples
    --------
    >>> rectangle_outline(200, 100).length
    600.0
    """
    return _core.development.rectangle_outline(length, width, corner_radius)


def _ring(given: Path | Outline) -> Path:
    if isinstance(given, Outline):
        corners: Any = given.points
        return Path(corners, [0.0] * len(corners), closed=True)
    return given
