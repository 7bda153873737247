"""Circular arcs given by what a tape and a straightedge can measure.

Lengths mm, angles degrees. An arc has a chord, a rise above the middle of the chord, a radius, a length along the curve
and an angle at the centre; any two of them give the others (`solve`). A rise of more than half the chord is an arc past
a half circle, the major arc of its chord. Closed forms keep 1e-13 relative over the whole domain, or of the largest
term where a value passes through zero (the chord of nearly a whole circle).
"""

from __future__ import annotations

from typing import Any, ClassVar, Literal

import numpy as np

from foldswing import _core
from foldswing._values import value

__all__ = [
    "Arc",
    "ArcSolution",
    "Fit",
    "Layers",
    "RadiusReading",
    "RiseTable",
    "ThreePointArc",
    "along",
    "angle",
    "chord",
    "curvature",
    "fit",
    "from_points",
    "height",
    "layers",
    "length",
    "radius",
    "radius_from_readings",
    "rise",
    "rise_table",
    "solve",
]

_FIT_METHODS = {"geometric": 0, "taubin": 1, "algebraic": 1, "pratt": 2, "kasa": 3, "unit_norm": 4}
_ANSWERS = ("none", "one", "two", "straight")
_THREE_POINT = ("arc", "straight", "outside")
_FIT_STATUS = ("circle", "straight", "not_converged")


def _word(code: Any, words: tuple[str, ...]) -> Any:
    """Status is a word in scalars, codes in arrays."""
    return words[code] if isinstance(code, int) else code


def _choice(name: str, given: Any, allowed: tuple[str, ...]) -> str:
    if not isinstance(given, str) or given not in allowed:
        msg = f"{name} must be one of {', '.join(map(repr, allowed))}, got {given!r}"
        raise _core.InvalidInput(msg)
    return given


def radius(chord: Any, rise: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Radius of the arc that rises `rise` above the middle of a chord.

    Parameters
    ----------
    chord : length or array of lengths
        Straight distance between the arc's ends, mm; finite, > 0.
    rise : length or array of lengths
        Height at mid-chord, mm; finite, > 0. More than half the chord is allowed (beyond a half circle).
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Radius, mm, broadcast over the inputs.

    Raises
    ------
    InvalidInput
        When a value is not finite or not > 0; the message names it and its place in an array.

    Notes
    -----
    R = chord**2 / (8 rise) + rise / 2, the intersecting-chords theorem (Euclid III.35). On a shallow arc the radius is
    about as wrong, in per cent, as the rise is.

    Examples
    --------
    >>> radius(8.0, 2.0)
    5.0
    """
    return _core.arc.radius(chord, rise, invalid=invalid)


def curvature(chord: Any, rise: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Curvature 1/R of the arc that rises `rise` above a chord; 0 for a straight line.

    Parameters
    ----------
    chord, rise : length or array of lengths
        mm; chord finite and > 0, rise finite and >= 0.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        1/mm: 8 rise / (chord**2 + 4 rise**2).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.
    """
    return _core.arc.curvature(chord, rise, invalid=invalid)


def rise(chord: Any, radius: Any, major: bool = False, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Rise of the arc that a chord cuts from a circle.

    Parameters
    ----------
    chord, radius : length or array of lengths
        mm; finite, > 0; the chord at most twice the radius.
    major : bool
        The larger of the two arcs instead of the smaller one.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Rise, mm: R -/+ sqrt(R**2 - (chord/2)**2).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> rise(8.0, 5.0), rise(8.0, 5.0, major=True)
    (2.0, 8.0)
    """
    if not isinstance(major, (bool, np.bool_)):
        msg = f"major must be True or False, got {major!r}"
        raise _core.InvalidInput(msg)
    return (_core.arc.rise_major if major else _core.arc.rise)(chord, radius, invalid=invalid)


def length(chord: Any, rise: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Length along the arc that rises `rise` above a chord.

    Parameters
    ----------
    chord, rise : length or array of lengths
        mm; chord finite and > 0, rise finite and >= 0.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        mm: 4 R atan(2 rise / chord).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> round(length(1220.0, 38.0), 1)
    1223.2
    """
    return _core.arc.length(chord, rise, invalid=invalid)


def angle(chord: Any, rise: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Angle at the centre of the arc that rises `rise` above a chord.

    Parameters
    ----------
    chord, rise : length or array of lengths
        mm; chord finite and > 0, rise finite and >= 0.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        Degrees, 0 to 360: 4 atan(2 rise / chord).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> angle(10.0, 5.0)
    180.0
    """
    return _core.arc.angle_deg(chord, rise, invalid=invalid)


def chord(rise: Any, radius: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Chord of the arc that rises `rise` on a circle.

    Parameters
    ----------
    rise, radius : length or array of lengths
        mm; radius finite and > 0, rise finite, from 0 to twice the radius.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        mm: 2 sqrt(rise (2 R - rise)).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> chord(2.0, 5.0)
    8.0
    """
    return _core.arc.chord(rise, radius, invalid=invalid)


def height(chord: Any, rise: Any, station: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Height of the arc above its chord at a station.

    Parameters
    ----------
    chord, rise : length or array of lengths
        mm; chord finite and > 0, rise finite and >= 0.
    station : length or array of lengths
        Distance from the middle of the chord, mm, either way; at most half the chord.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        mm: sqrt(R**2 - station**2) - (R - rise).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> round(height(1220.0, 38.0, 300.0), 1)
    28.8
    """
    return _core.arc.height(chord, rise, station, invalid=invalid)


def along(chord: Any, rise: Any, station: Any, *, invalid: Literal["raise", "nan"] = "raise") -> Any:
    """Distance along the arc from its top to the point over a station.

    Parameters
    ----------
    chord, rise, station : length or array of lengths
        mm, as in `height`.
    invalid : {'raise', 'nan'}
        What a bad element of an array does.

    Returns
    -------
    float or ndarray
        mm, with the sign of the station: R asin(station / R).

    Raises
    ------
    InvalidInput
        When a value breaks its rule.
    """
    return _core.arc.along(chord, rise, station, invalid=invalid)


@value
class Arc:
    """An arc by all its measures: floats, or arrays of one shape.

    Attributes
    ----------
    chord, rise, radius, length : float or ndarray
        mm. A straight line has rise 0 and an infinite radius.
    angle_deg : float or ndarray
        Angle at the centre, degrees.
    """

    chord: Any
    rise: Any
    radius: Any
    length: Any
    angle_deg: Any


@value
class ArcSolution:
    """What `solve` found.

    Attributes
    ----------
    status : str, or ndarray of int8
        'one', 'two', 'none', 'straight' (one, a straight line); in arrays the codes 1, 2, 0, 3.
    arcs : tuple of Arc
        For scalars as many as there are, the smaller angle first. For arrays always two, NaN where there is no arc.
    explanation : str
        One sentence; empty for arrays.
    """

    status_words: ClassVar = _ANSWERS
    status: Any
    arcs: tuple[Arc, ...]
    explanation: str


def solve(
    *, chord: Any = None, rise: Any = None, radius: Any = None, length: Any = None, angle_deg: Any = None
) -> ArcSolution:
    """Every arc with two given measures.

    Parameters
    ----------
    chord, radius, length : length or array of lengths, optional
        mm; finite, > 0.
    rise : length or array of lengths, optional
        mm; finite, >= 0.
    angle_deg : angle or array of angles, optional
        Angle at the centre; at least 0, less than 360 degrees.

    Returns
    -------
    ArcSolution
        With .status, .arcs and .explanation.

    Raises
    ------
    InvalidInput
        When not exactly two measures are given, or one breaks its rule.

    Notes
    -----
    =================  ============================================================================
    given              arcs
    =================  ============================================================================
    chord, radius      two, the minor and the major one; one for a half circle; none past the diameter
    rise, length       two (a flatter and a rounder one) for rise/length between 1/pi = 0.3183 and
                       0.36231 (where tan(angle/4) = angle/2); one below; none above
    chord, length      one; none where the length is less than the chord
    radius, length     one; none at a whole turn or more
    rise, radius       one; none at a rise of the diameter or more
    any other pair     one
    =================  ============================================================================

    Examples
    --------
    >>> [arc.rise for arc in solve(chord=8.0, radius=5.0).arcs]
    [2.0, 8.0]
    """
    code, arcs, explanation = _core.arc.solve(chord, rise, radius, length, angle_deg)
    return ArcSolution(_word(code, _ANSWERS), tuple(Arc(*a) for a in arcs), explanation)


@value
class ThreePointArc:
    """The arc from one point through another to a third; fields are arrays where points were given as (n, 2).

    Attributes
    ----------
    status : str, or ndarray of int8
        'arc'; 'straight' (in line); 'outside' (in line, with the middle point not between the others). Codes 0, 1, 2.
    centre : (2,) or (n, 2) ndarray
        mm; NaN where the points are in line.
    radius : float or ndarray
        mm; infinite where the points are in line.
    curvature : float or ndarray
        1/mm; positive where the arc turns counter-clockwise from first to last.
    sweep_deg : float or ndarray
        Angle at the centre from first to last through the middle point, counter-clockwise positive, within 360 degrees.
    chord, rise, length : float or ndarray
        mm; rise and length are NaN for 'outside'.
    """

    status_words: ClassVar = _THREE_POINT
    status: Any
    centre: np.ndarray
    radius: Any
    curvature: Any
    sweep_deg: Any
    chord: Any
    rise: Any
    length: Any


def from_points(first: Any, middle: Any, last: Any) -> ThreePointArc:
    """Arc from a first point through a middle one to a last one.

    Parameters
    ----------
    first, middle, last : (2,) or (n, 2) points
        mm; finite, no two of the three the same. Single points and arrays of n mix.

    Returns
    -------
    ThreePointArc
        Three points in line are an answer, not an error: see its status.

    Raises
    ------
    InvalidInput
        When a coordinate is not finite or two points coincide.

    Notes
    -----
    The turn between the two chords is half the arc's angle; it is taken from the coordinates as given without rounding,
    so that an arc with a rise of 1e-9 of its chord keeps its digits.

    Examples
    --------
    >>> from_points((-4.0, 0.0), (0.0, 2.0), (4.0, 0.0)).radius
    5.0
    """
    code, *fields = _core.arc.from_points(first, middle, last)
    return ThreePointArc(_word(code, _THREE_POINT), *fields)


@value
class Fit:
    """A circle or straight line through the middle of points.

    Attributes
    ----------
    status : str
        'circle', 'straight' (the bow is no more than the rounding of the coordinates) or 'not_converged'.
    method : str
        As asked for.
    centre : (2,) ndarray
        mm; NaN for a straight line.
    radius : float
        mm; infinite for a straight line.
    curvature : float
        1/mm, >= 0.
    rms : float
        Root mean square distance of the points from the circle, mm.
    centre_standard_error : (2,) ndarray
        mm; NaN for a straight line.
    radius_standard_error : float
        mm; NaN for a straight line. Where it is not small beside the radius, judge by the curvature.
    curvature_standard_error : float
        1/mm; holds for straight lines too.
    residuals : (n,) ndarray
        Distance of each point from the circle, mm, outside positive.
    feet : (n, 2) ndarray
        Point of the circle nearest to each point, mm.
    iterations : int
        Steps of the search, 0 where there was none.
    explanation : str
        One sentence.
    """

    status_words: ClassVar = _FIT_STATUS
    status: str
    method: str
    centre: np.ndarray
    radius: float
    curvature: float
    rms: float
    centre_standard_error: np.ndarray
    radius_standard_error: float
    curvature_standard_error: float
    residuals: np.ndarray
    feet: np.ndarray
    iterations: int
    explanation: str


def fit(
    points: Any,
    method: Literal["geometric", "algebraic", "taubin", "pratt", "kasa", "unit_norm"] = "geometric",
    *,
    reading_error: Any = None,
) -> Fit:
    """Circle through the middle of scattered points.

    Parameters
    ----------
    points : (n, 2) points
        mm; at least three different ones.
    method : {'geometric', 'algebraic', 'taubin', 'pratt', 'kasa', 'unit_norm'}
        'geometric' makes the sum of squared distances least: use it for a radius that goes to the bench. The others
        solve one linear problem; 'algebraic' is 'taubin'. 'kasa' comes out small on short arcs. 'unit_norm' depends on
        where the origin is and is kept for comparison with published answers.
    reading_error : length, optional
        Standard error of a reading square to the arc, mm, > 0. Without it the scatter of the points themselves is used
        (n - 3 degrees of freedom; standard errors are NaN for three points).

    Returns
    -------
    Fit
        Points in line give status 'straight' with curvature 0.

    Raises
    ------
    InvalidInput
        For fewer than three different points, or values that are not finite.

    Notes
    -----
    The circle is kept as A(x**2 + y**2) + Bx + Cy + D = 0, in which a straight line is an ordinary point (A = 0), so
    that nearly flat arcs converge. Gauss-Newton with damping, started from Taubin's answer. Standard errors are to
    first order in the scatter, from the slopes of the distances at the fitted circle.

    References
    ----------
    Kasa, IEEE Trans. Instrum. Meas. 25 (1976) 8; Pratt, Computer Graphics 21 (1987) 145; Taubin, IEEE PAMI 13 (1991)
    1115; Gander, Golub and Strebel, BIT 34 (1994) 558 (all from memory).

    Examples
    --------
    >>> round(fit([(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]).radius, 4)
    4.7142
    """
    code = _FIT_METHODS[_choice("method", method, tuple(_FIT_METHODS))]
    status, *fields = _core.arc.fit(points, code, reading_error)
    return Fit(_FIT_STATUS[status], method, *fields)


@value
class RadiusReading:
    """A radius from chord and rise, with what reading errors do to it; floats, or arrays of one shape.

    Attributes
    ----------
    radius : float or ndarray
        mm.
    standard_error : float or ndarray
        First order, the two errors taken as independent standard errors, mm.
    smallest, largest : float or ndarray
        Radius over chord and rise anywhere within their errors, mm; the largest is infinite where the rise may be 0.
    """

    radius: Any
    standard_error: Any
    smallest: Any
    largest: Any


def radius_from_readings(chord: Any, rise: Any, *, chord_error: Any = 0.0, rise_error: Any = 0.0) -> RadiusReading:
    """Radius from a chord and a rise, each read with some error.

    Parameters
    ----------
    chord, rise : length or array of lengths
        Readings, mm; finite, > 0.
    chord_error, rise_error : length or array of lengths
        How far each may be out, mm; finite, >= 0; the chord's less than the chord.

    Returns
    -------
    RadiusReading
        Broadcast over the inputs.

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> reading = radius_from_readings(1220.0, 38.0, rise_error=1.0)
    >>> round(reading.radius - reading.smallest, 1), round(reading.largest - reading.radius, 1)
    (125.0, 131.8)
    """
    errors = (chord, rise, chord_error, rise_error)
    return RadiusReading(
        _core.arc.radius(chord, rise),
        _core.arc.radius_standard_error(*errors),
        _core.arc.radius_smallest(*errors),
        _core.arc.radius_largest(*errors),
    )


@value
class Layers:
    """Concentric layers, in the order given.

    Attributes
    ----------
    outer_radius, inner_radius : (n,) ndarray
        Of the two faces of each layer, mm.
    outer_length, middle_length, inner_length : (n,) ndarray
        Along the outer face, the middle and the inner face over the angle given, mm.
    """

    outer_radius: np.ndarray
    inner_radius: np.ndarray
    outer_length: np.ndarray
    middle_length: np.ndarray
    inner_length: np.ndarray


def layers(
    radius: Any, thicknesses: Any, *, angle_deg: Any = 360.0, start: Literal["outside", "inside"] = "outside"
) -> Layers:
    """Radii and arc lengths through a build-up of skins and glue lines.

    Parameters
    ----------
    radius : length
        Of the outermost face (start='outside') or of the innermost one (start='inside'), mm; finite, > 0.
    thicknesses : (n,) lengths
        Skin, glue line, skin ... from that face on, mm; each > 0, and from outside less than the radius in all.
    angle_deg : angle
        Angle at the centre that the lengths span; > 0, at most 360 degrees. See `angle`.
    start : {'outside', 'inside'}
        The face whose radius is given.

    Returns
    -------
    Layers
        One entry a layer.

    Raises
    ------
    InvalidInput
        When a value breaks its rule; thicknesses are named by their place.

    Examples
    --------
    >>> layers(100.0, [1.0, 0.5, 2.0]).outer_radius.tolist()
    [100.0, 99.0, 98.5]
    """
    inside = _choice("start", start, ("outside", "inside")) == "inside"
    return Layers(*_core.arc.layers(radius, thicknesses, angle_deg, inside))


@value
class RiseTable:
    """Heights of an arc above its chord, for marking out a gauge.

    Attributes
    ----------
    chord, rise : float
        mm.
    stations : (n,) ndarray
        Distances from the middle of the chord, mm.
    heights : (n,) ndarray
        Above the chord, mm.
    along : (n,) ndarray
        Distance along the arc from its top, mm.
    """

    chord: float
    rise: float
    stations: np.ndarray
    heights: np.ndarray
    along: np.ndarray


def rise_table(chord: Any, rise: Any, stations: Any) -> RiseTable:
    """Heights of an arc at stations along its chord.

    Parameters
    ----------
    chord, rise : length
        mm; chord finite and > 0, rise finite and >= 0.
    stations : (n,) lengths
        Distances from the middle of the chord, mm, either way; at most half the chord.

    Returns
    -------
    RiseTable
        Stations, heights above the chord, and distances along the arc.

    Raises
    ------
    InvalidInput
        When a value breaks its rule.

    Examples
    --------
    >>> rise_table(8.0, 2.0, [0.0, 3.0, 4.0]).heights.tolist()
    [2.0, 1.0, 0.0]
    """
    return RiseTable(*_core.arc.rise_table(chord, rise, stations))
