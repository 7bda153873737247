"""Where a hung gate's pivot really is: from an arc traced on a card, or from the whole gate measured in poses."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from foldswing import Pose, arc, fitting, gate, hinge
from foldswing._values import value
from foldswing.evaluation.gate_section import opening_by_tilt, point_at
from foldswing.job.first_fit import FirstFitFile, SideReadings, Trace, TracePoint

SURE = 0.99  # share of sound readings in which no warning of two pivots apart is given
_ALARM = 3.2905267314919255  # standard deviations: a sound point is called wrong once in a thousand, as in fit_holes
_ALIKE = 0.9  # points whose errors show so much alike cannot be told apart, as in fit_holes
_STRAYS = 2.3  # over the root of the spare readings: a misfit of 1 + this comes by chance once in a thousand
_NOT_TURNED = 3.0  # a turn of fewer standard errors is none


@value
class PlaceOff:
    """One point of a trace, or one pose, against the pivot found.

    Attributes
    ----------
    name : str
        'point 3', or what the pose is called.
    off : (2,) ndarray
        How far it is off the arc, or off the pivot, mm, outward and up; of a slide, off the straight line.
    suspect : bool
        Whether it looks wrong, or cannot be told from one that does.
    """

    name: str
    off: np.ndarray
    suspect: bool


@value
class PivotFound:
    """The pivot as a trace or poses have it.

    Attributes
    ----------
    how : str
        'trace' or 'poses'.
    status : str
        'point'; 'slide' where it did not turn as far as can be told; 'still' where all poses are one; 'not found'.
    pivot, drawn : (2,) ndarray
        Where it is, NaN unless 'point', and where the drawing has it; section axes, mm.
    below_worktop, drawn_below : float
        The same two below the worktop surface at this end, mm.
    ellipse : fitting.Ellipse or None
        That holds the pivot in 19 cases of 20; None where nothing tells.
    covariance : (2, 2) ndarray
        Of the pivot, mm^2.
    turned_deg : float
        How far the gate was swung while it was read.
    places : tuple of PlaceOff
        Each point or pose.
    off_by : float
        How far the one that looks wrong is off, mm; NaN where none does.
    left_out : bool
        Whether it was left out.
    misfit : float
        Root mean square of what is left over what was to be expected; NaN with no reading to spare.
    strays : bool
        Whether that is more than chance makes.
    against : str
        What it is compared with: 'the gaps and steps', 'the poses'; empty where there is nothing.
    apart : float
        How far the jamb's hole is from where these have it, mm; NaN where there is nothing.
    agrees : bool
        Whether that is no more than the errors of both allow.
    """

    how: str
    status: str
    pivot: np.ndarray
    drawn: np.ndarray
    below_worktop: float
    drawn_below: float
    ellipse: fitting.Ellipse | None
    covariance: np.ndarray
    turned_deg: float
    places: tuple[PlaceOff, ...]
    off_by: float
    left_out: bool
    misfit: float
    strays: bool
    against: str = ""
    apart: float = math.nan
    agrees: bool = True

    @property
    def sound(self) -> bool:
        """Whether it was found, and what looked wrong in it was left out."""
        doubtful = any(p.suspect for p in self.places) and not self.left_out
        return self.status == "point" and not self.strays and not doubtful

    @property
    def right(self) -> bool:
        """Whether it was found, nothing looks wrong, and it agrees with what else was read."""
        return self.status == "point" and self.agrees and not self.strays and not any(p.suspect for p in self.places)


class Place(NamedTuple):
    """A size that was read: where it stands in the file, at which stop, to which line, each reading beyond it."""

    path: str
    stop: int
    stop_name: str
    words: str
    line: hinge.Landing
    distance: tuple[float, ...]
    edge: int | None = None
    error: float | None = None  # mm, of one reading; else as the file says


class Drawn(NamedTuple):
    """The section at one end, and its holes as drawn."""

    sizes: gate.Sizes
    holes: gate.Holes


class Doubt(NamedTuple):
    """What is wrong with what was read.

    Attributes
    ----------
    wrong : sequence of str
        Points or poses that look wrong.
    off_by : float
        How far, mm.
    misfit : float
        Of what is left, over what was to be expected.
    spare : int
        Readings more than needed.
    left_out : bool
        Whether the one that looks wrong was left out.
    """

    wrong: Sequence[str]
    off_by: float
    misfit: float
    spare: int
    left_out: bool = False


class _Told(NamedTuple):
    status: str
    pivot: np.ndarray
    covariance: np.ndarray
    turned_deg: float


class Poses(NamedTuple):
    """The poses of one end.

    Attributes
    ----------
    names : tuple of str
        Of each.
    poses : tuple of Pose
        As read.
    errors : tuple of float
        How far each carries the gate's hole wrong, standard error, mm.
    turn_errors : tuple of float
        Standard error of each turn, degrees.
    stops : list of fitting.Stop
        Each as a position for readings.
    places : list of Place
        Each single size, at its stop.
    """

    names: tuple[str, ...]
    poses: tuple[Pose, ...]
    errors: tuple[float, ...]
    turn_errors: tuple[float, ...]
    stops: list[fitting.Stop]
    places: list[Place]


_LABEL = {True: ("lower mark", "upper mark"), False: ("lower end of the face", "free edge")}


def read_poses(side: SideReadings, drawn: Drawn, file: FirstFitFile, path: str, first: int) -> Poses:
    """Return the poses read at one end; `first` is the number of the first of their stops."""
    sizes, holes = drawn
    corner, _, _, free = gate.corners(sizes)
    lower, upper = corner, free
    if side.marks is not None:
        lower, upper = (
            gate.stay_pin(sizes, corner, above_pivot=m.from_lower_edge, from_inner_face=m.from_inner_face)
            for m in (side.marks.lower, side.marks.upper)
        )
    words = _LABEL[side.marks is not None]
    names, poses, errors, turn_errors = [], [], [], []
    stops: list[fitting.Stop] = []
    places: list[Place] = []
    for i, pose in enumerate(side.pose):
        here = f"{path}.pose[{i + 1}]"
        error = pose.reading_error or file.fit.reading_error
        read = []
        for name, mark, called, at in (("lower", lower, words[0], pose.lower), ("upper", upper, words[1], pose.upper)):
            if at is None:
                continue
            xs, ys = point_at(at, sizes, file.several, f"{here}.{name}")
            for axis, (which, values) in enumerate((("out or in", xs), ("up or down", ys))):
                line = hinge.Landing(0, mark, (1, 0) if axis == 0 else (0, 1), 0.0)
                label = f"{called}, {which}"
                places.append(
                    Place(f"{here}.{name}", first + i, f"pose '{pose.name}'", label, line, values, None, error)
                )
            spread = 0.5 * error**2 * (1 / len(xs) + 1 / len(ys))
            read.append((np.array([math.fsum(xs) / len(xs), math.fsum(ys) / len(ys)]), spread))
        middle = 0.5 * (lower + upper) if pose.tilt is None else lower
        if pose.tilt is None:
            (a, wide), (b, high) = read
            turn = _heading(b - a) - _heading(upper - lower)
            turn = math.remainder(turn, 360.0)
            turn_error = math.degrees(math.sqrt(wide + high) / float(np.hypot(*(upper - lower))))
            where, spread = 0.5 * (a + b), 0.25 * (wide + high)
            stops.append(fitting.Stop(turn, math.inf))
        else:
            turn = -opening_by_tilt(sizes, pose.tilt, pose.falls)
            times = len(file.several.get(f"{here}.tilt", (pose.tilt,)))
            turn_error = file.fit.angle_error / times**0.5
            where, spread = read[0]
            stops.append(fitting.Stop(turn, turn_error))
        names.append(pose.name)
        x, y = where - Pose(0.0, 0.0, turn).apply(middle)
        poses.append(Pose(x, y, turn))
        # A turn misread swings the gate's hole about the point that was measured.
        arm = float(np.hypot(*(holes.gate - middle)))
        errors.append(math.sqrt(spread + (math.radians(turn_error) * arm) ** 2))
        turn_errors.append(turn_error)
    return Poses(tuple(names), tuple(poses), tuple(errors), tuple(turn_errors), stops, places)


def _heading(along: np.ndarray) -> float:
    return math.degrees(math.atan2(along[1], along[0]))


def turned(read: Poses) -> bool:
    """Whether the gate turned between its poses, as far as can be told."""
    turns = [float(p.angle_deg) for p in read.poses]
    return max(turns) - min(turns) > _NOT_TURNED * math.hypot(*sorted(read.turn_errors)[-2:])


def from_poses(read: Poses, drawn: Drawn, doubt: Doubt) -> PivotFound:
    """Return the pivot of measured poses; a single one that looks wrong is left out where two are left."""
    wrong = doubt.wrong
    out = len(wrong) == 1 and len(read.names) > 2
    kept = [i for i, name in enumerate(read.names) if not (out and name in wrong)]
    finest = min(read.errors[i] for i in kept)
    found = fitting.pivot_from_poses(
        [read.poses[i] for i in kept],
        weights=[(finest / read.errors[i]) ** 2 for i in kept],
        pose_error=finest,
    )
    status = {"point": "point", "infinity": "slide", "any": "still"}[found.status]
    if status == "point":
        offs = [p.apply(found.panel_point) - found.pivot for p in read.poses]
        if not turned(read):
            status = "slide"
    else:
        alone = iter(found.residuals)
        offs = [next(alone) if i in kept else np.full(2, math.nan) for i in range(len(read.names))]
    turns = [p.angle_deg for p in read.poses]
    told = _Told(status, found.pivot, found.covariance, max(turns) - min(turns))
    places = tuple(PlaceOff(n, off, n in wrong) for n, off in zip(read.names, offs, strict=True))
    return _found("poses", told, places, drawn, doubt._replace(left_out=out))


def from_trace(trace: Trace, drawn: Drawn, file: FirstFitFile, path: str) -> PivotFound:
    """Return the pivot of a traced arc: the centre about which the jamb's hole lets the gate turn."""
    points = np.array(
        [_on_trace(p, trace, drawn.sizes, file, f"{path}.point[{i + 1}]") for i, p in enumerate(trace.point)]
    )
    error = trace.reading_error or file.fit.reading_error
    wrong, off_by = _wrong_points(points, error)
    out = len(wrong) == 1
    kept = np.delete(points, wrong, axis=0) if out else points
    found = fitting.pivot_from_arc(kept, reading_error=error)
    status = {"circle": "point", "straight": "slide", "not_converged": "not found"}[found.status]
    circle = arc.fit(kept, method="geometric", reading_error=error)
    feet = arc.fit(points, method="geometric", reading_error=error).feet if not out else None
    offs = [
        p - feet[i] if feet is not None else _off_circle(p, found.pivot, found.radius) for i, p in enumerate(points)
    ]
    spare = len(kept) - 3
    misfit = float(np.linalg.norm(circle.residuals)) / (error * math.sqrt(spare)) if spare > 0 else math.nan
    places = tuple(PlaceOff(f"point {i + 1}", off, i in wrong) for i, off in enumerate(offs))
    told = _Told(status, found.pivot, found.covariance, found.swept_deg)
    return _found("trace", told, places, drawn, Doubt((), off_by, misfit, spare, out))


def _off_circle(point: np.ndarray, centre: np.ndarray, radius: float) -> np.ndarray:
    arm = point - centre
    away: np.ndarray = arm * (1.0 - radius / float(np.hypot(*arm)))
    return away


def _found(how: str, told: _Told, places: tuple[PlaceOff, ...], drawn: Drawn, doubt: Doubt) -> PivotFound:
    pivot = told.pivot if told.status == "point" else np.full(2, math.nan)
    sure = told.status == "point" and bool(np.isfinite(told.covariance).all())
    surface, jamb = -drawn.sizes.worktop_drop, drawn.holes.jamb
    return PivotFound(
        how,
        told.status,
        pivot,
        jamb,
        surface - float(pivot[1]),
        surface - float(jamb[1]),
        fitting.ellipse(told.covariance) if sure else None,
        told.covariance,
        told.turned_deg,
        places,
        doubt.off_by,
        doubt.left_out,
        doubt.misfit,
        doubt.spare > 0 and doubt.misfit > 1.0 + _STRAYS / math.sqrt(doubt.spare),
    )


def _on_trace(p: TracePoint, trace: Trace, sizes: gate.Sizes, file: FirstFitFile, path: str) -> tuple[float, float]:
    """Return a point of a trace, section axes."""
    xs, ys = point_at(p, sizes, file.several, path)
    x = math.fsum(xs) / len(xs) if xs else float(p.from_inner_edge or 0.0)
    y = math.fsum(ys) / len(ys) if ys else float(p.from_lower_edge or 0.0)
    if trace.card is None:
        return x, y
    across, up = point_at(trace.card, sizes, {}, "")
    return x + (0.0 if xs else across[0]), y + (0.0 if ys else up[0])


def _wrong_points(points: np.ndarray, error: float) -> tuple[list[int], float]:
    """Return the points that look wrong, from 0, and how far the worst of them is off; several cannot be told apart.

    Leaving a point out takes the square of its residual, in standard errors of itself, from the sum of squares.
    """
    if len(points) < 5:  # with one to spare every point shows the same
        return [], math.nan

    def left(some: np.ndarray) -> float:
        return float(np.sum(arc.fit(some, method="geometric", reading_error=error).residuals ** 2)) / error**2

    whole = left(points)
    shows = np.array([math.sqrt(max(whole - left(np.delete(points, i, axis=0)), 0.0)) for i in range(len(points))])
    worst = int(np.argmax(shows))
    if not shows[worst] > _ALARM:
        return [], math.nan
    without = fitting.pivot_from_arc(np.delete(points, worst, axis=0), reading_error=error)
    off = _off_circle(points[worst], without.pivot, without.radius)
    alike = [i for i in range(len(points)) if shows[i] >= _ALIKE * shows[worst]]
    return alike, float(np.hypot(*off))


def compared(
    found: PivotFound, against: str, other: np.ndarray, covariance: np.ndarray
) -> tuple[str, float, bool] | None:
    """Return whether two places of the pivot agree: with what, how far apart, and whether their errors allow it."""
    if found.status != "point" or not all(np.isfinite(v).all() for v in (other, found.covariance, covariance)):
        return None
    both = fitting.agreement(found.pivot, found.covariance, other, covariance, confidence=SURE)
    return against, both.apart, both.agrees


def wrong_poses(places: Sequence[Place], doubtful: Sequence[int], read: Poses, first: int) -> list[str]:
    """Return the poses, by name, that sizes in doubt belong to."""
    numbers: list[Any] = [places[k].stop - first for k in doubtful if places[k].stop >= first]
    return list(dict.fromkeys(read.names[n] for n in numbers))
