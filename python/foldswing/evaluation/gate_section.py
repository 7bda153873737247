"""A gate of a job as geometry: its section, what stands round it, and what its stops ask of the pivot."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from foldswing import gate, hinge, plane
from foldswing._core.plane import Outline, Path
from foldswing.job import Body, Gate, Stop
from foldswing.job.gates import Corner


def signed(amount: float, word: str, positive: str) -> float:
    """Return a distance given by amount and word as a signed one."""
    return amount if word == positive else -amount


def section(wanted: Gate) -> gate.Sizes:
    """Return the sizes of a gate's section as stated."""
    p, w, o = wanted.panel, wanted.worktop, wanted.opening
    sizes: dict[str, Any] = {
        "thickness": p.thickness,
        "height": p.height or 1.0,
        "lower_edge_below_worktop": p.lower_edge_below_worktop,
        "outer_face_out": signed(p.outer_face_by, p.outer_face, "proud"),
        "lean_deg": signed(p.lean, p.leans, "outward"),
        "lower_inner_radius": p.lower_inner_corner_radius,
        "lower_outer_radius": p.lower_outer_corner_radius,
        "upper_outer_radius": p.upper_outer_corner_radius,
        "upper_inner_radius": p.upper_inner_corner_radius,
        "nose_behind_wall": w.nose_behind_wall,
        "nose_depth": w.nose_depth,
        "nose_radius": w.nose_radius,
        "worktop_depth": w.depth,
        "worktop_fall_deg": signed(w.tilt, w.falls, "outward"),
        "worktop_above_floor": w.above_floor,
        "head_above_worktop": o.head_above_worktop,
        "sill_below_worktop": o.sill_below_worktop,
        "jamb_depth": o.jamb_depth,
    }
    if p.height is None:
        sizes["height"] = gate.height_below_head(gate.Sizes(**sizes), wanted.gaps.head)
    return gate.Sizes(**sizes)


def below_worktop(at: Any, worktop_above_floor: float) -> float:
    """Return a height given by one of three words, as distance below the worktop surface."""
    if at.above_floor is not None:
        return worktop_above_floor - float(at.above_floor)
    return float(at.down) if at.down is not None else -float(at.up)


def outward_of_wall(at: Any) -> float:
    """Return a distance given by one of two words, as distance outward of the wall's outer face."""
    return float(at.outward) if at.outward is not None else -float(at.inward)


def point_at(
    at: Any, sizes: gate.Sizes, several: dict[str, tuple[float, ...]], path: str
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return all readings of a point's place, out and up in section axes; heights are from the worktop at this end.

    Parameters
    ----------
    at : value with outward or inward, and up, down or above_floor
        As read; a way not given has no readings.
    sizes : gate.Sizes
        The section at this end.
    several : dict
        Readings of sizes that were read several times, by path.
    path : str
        Of the point.
    """

    def all_of(names: dict[str, tuple[float, float]]) -> tuple[float, ...]:
        for name, (sign, base) in names.items():
            mean = getattr(at, name)
            if mean is not None:
                return tuple(base + sign * v for v in several.get(f"{path}.{name}", (mean,)))
        return ()

    surface = -sizes.worktop_drop
    out = all_of({"outward": (1.0, 0.0), "inward": (-1.0, 0.0)})
    up = all_of({"up": (1.0, surface), "down": (-1.0, surface), "above_floor": (1.0, -sizes.worktop_above_floor)})
    return out, up


def opening_by_tilt(sizes: gate.Sizes, tilt: float, falls: str | None) -> float:
    """Return how far the gate has opened by its tilt from level, as the angle finder reads it."""
    return gate.opening_to_level(sizes) + signed(tilt, falls or "outward", "outward")


def corners_of(corners: Iterable[Corner], worktop_above_floor: float) -> list[tuple[float, float]]:
    """Return corners given by distances from faces, section axes."""
    return [(outward_of_wall(c), -below_worktop(c, worktop_above_floor)) for c in corners]


def disc(centre: Any, radius: float) -> Path:
    """Return a circle as a closed path."""
    x, y = (float(v) for v in centre)
    return plane.Path([(x - radius, y), (x + radius, y)], [180.0, 180.0], closed=True)


def body_outline(body: Body, worktop_above_floor: float) -> Path:
    """Return the section of a fixed body, section axes."""
    if body.shape == "outline":
        points = corners_of(body.corner, worktop_above_floor)
        return plane.Path(Outline(points).points, [0.0] * len(points), closed=True)
    x, y = outward_of_wall(body), -below_worktop(body, worktop_above_floor)
    if body.shape == "round bar":
        return disc((x, y), 0.5 * float(body.diameter or 0.0))
    far = x + signed(float(body.width or 0.0), "outward" if body.outward is not None else "inward", "outward")
    ring = [(x, y), (far, y), (far, y - float(body.height or 0.0)), (x, y - float(body.height or 0.0))]
    return plane.Path(ring, [0.0] * 4, closed=True)


def surroundings(wanted: Gate, sizes: gate.Sizes) -> dict[str, Path]:
    """Return what stands round the gate, by name."""
    bodies = {"worktop nose": gate.worktop(sizes), "sill": gate.sill(sizes), "head": gate.head(sizes)}
    return bodies | {b.name: body_outline(b, sizes.worktop_above_floor) for b in wanted.body}


def opening_asked(stop: Stop, sizes: gate.Sizes) -> float | None:
    """Return the opening angle a stop asks for; None where it asks for a height only."""
    if stop.lands == "level":
        return gate.opening_to_level(sizes)
    if stop.lands == "with worktop":
        return gate.opening_in_line(sizes)
    if stop.below_level is not None:
        return gate.opening_to_level(sizes) + stop.below_level
    return stop.turn


def opening_range(stop: Stop, sizes: gate.Sizes) -> tuple[float, float] | None:
    """Return the least and the greatest opening of a stop that leaves its angle open; None of another."""
    if stop.turn_from is not None and stop.turn_to is not None:
        return stop.turn_from, stop.turn_to
    if stop.below_level_from is not None and stop.below_level_to is not None:
        level = gate.opening_to_level(sizes)
        return level + stop.below_level_from, level + stop.below_level_to
    return None


def with_angle(wanted: Gate, name: str, opening_deg: float) -> Gate:
    """Return a gate of which one stop, that left its angle open, stands at an opening."""
    open_ends: dict[str, Any] = dict.fromkeys(("turn_from", "turn_to", "below_level_from", "below_level_to"))
    stops = [
        dataclasses.replace(stop, turn=opening_deg, **open_ends) if stop.name == name else stop for stop in wanted.stop
    ]
    plain: dict[str, Any] = dict.fromkeys(("wish", "spot_from_inner_face", "spot_below_worktop"))
    return dataclasses.replace(wanted, stop=tuple(stops), hinge=dataclasses.replace(wanted.hinge, **plain))


def at_middle(wanted: Gate, sizes: gate.Sizes) -> Gate:
    """Return a gate of which a stop that leaves its angle open stands in the middle of its range."""
    for stop in wanted.stop:
        ends = opening_range(stop, sizes)
        if ends is not None:
            return with_angle(wanted, stop.name, 0.5 * (ends[0] + ends[1]))
    return wanted


def drop_asked(stop: Stop, sizes: gate.Sizes) -> float | None:
    """Return how far below the worktop the free edge must come; None where the stop does not ask."""
    if stop.edge_above_floor is not None:
        return sizes.worktop_above_floor - stop.edge_above_floor
    return stop.edge_drop


def above_asked(stop: Stop) -> float:
    """Return how far above the worktop surface the face must stand; negative below."""
    return signed(stop.face_by, stop.face or "", "proud")


# The way each limit goes along the landing's own direction: up for face and edge, outward for the gap to the nose.
_KIND: dict[str, hinge.Kind] = {"exactly": "on", "or higher": "at_least", "or lower": "at_most"}
_MORE_OR_LESS: dict[str, hinge.Kind] = {"exactly": "on", "at least": "at_least", "at most": "at_most"}
_OTHER_WAY: dict[hinge.Kind, hinge.Kind] = {"on": "on", "at_least": "at_most", "at_most": "at_least"}


def face_kind(stop: Stop) -> hinge.Kind:
    """Return which way the inner face may leave where a stop asks it to be."""
    return _KIND[stop.face_is]


def nose_kind(stop: Stop) -> hinge.Kind:
    """Return which way the gap to the nose may leave what a stop asks."""
    return _MORE_OR_LESS[stop.nose_gap_is]


def edge_kind(stop: Stop) -> hinge.Kind:
    """Return which way the free edge may leave the height a stop asks for, counted up."""
    given = _MORE_OR_LESS[stop.edge_is]
    return given if stop.edge_above_floor is not None else _OTHER_WAY[given]


def beyond(kind: str, miss: float) -> float:
    """Return what a landing misses: nothing where it is on the better side of its limit."""
    return {"on": miss, "at_least": min(miss, 0.0), "at_most": max(miss, 0.0)}[kind]


def limit_words(what: str, kind: str) -> str:
    """Return how a size that is a limit goes on in words; nothing for one that is exact."""
    if kind == "on":
        return ""
    more = kind == "at_least"
    return ("or more" if more else "or less") if what == "nose gap" else ("or higher" if more else "or lower")


def of_kind(landing: hinge.Landing, kind: str, tolerance: float | None = None) -> hinge.Landing:
    """Return a landing as a limit or as a size, with its own tolerance or another."""
    within = landing.tolerance if tolerance is None else tolerance
    return hinge.Landing(landing.turn_deg, landing.point, landing.normal, landing.offset, within, kind)


class Asked(NamedTuple):
    """What the stops ask of the pivot: landings that bring the inner face flush, and the others; all in file order."""

    faces: list[hinge.Landing]
    others: list[hinge.Landing]
    all: list[hinge.Landing]

    @property
    def limits(self) -> bool:
        """Whether any is a limit: then they may leave a choice of pivots that all do."""
        return any(landing.kind != "on" for landing in self.all)


class Ask(NamedTuple):
    """One thing a stop asks of the pivot: which stop, what of it ('face', 'nose gap' or 'edge'), as a landing."""

    stop: Stop
    what: str
    landing: hinge.Landing


def each_asked(wanted: Gate, sizes: gate.Sizes) -> Iterator[Ask]:
    """Yield what the stops ask of the pivot, in file order."""
    for stop in wanted.stop:
        opening = opening_asked(stop, sizes)
        if opening is not None:
            yield from asked_at(stop, sizes, opening)


def asked_at(stop: Stop, sizes: gate.Sizes, opening_deg: float) -> Iterator[Ask]:
    """Yield what a stop asks of the pivot at an opening."""
    drop = drop_asked(stop, sizes)
    within = stop.within
    if stop.face is not None:
        face = gate.face_landing(sizes, opening_deg, above_asked(stop), tolerance=within)
        yield Ask(stop, "face", of_kind(face, face_kind(stop)))
    if stop.nose_gap is not None:
        nose = gate.nose_gap_landing(sizes, opening_deg, stop.nose_gap, tolerance=within)
        yield Ask(stop, "nose gap", of_kind(nose, nose_kind(stop)))
    if drop is not None:
        edge = gate.edge_landing(sizes, opening_deg, drop, tolerance=within)
        yield Ask(stop, "edge", of_kind(edge, edge_kind(stop)))


def asked(wanted: Gate, sizes: gate.Sizes) -> Asked:
    """Return what the stops ask of the pivot."""
    every = list(each_asked(wanted, sizes))
    faces = [a.landing for a in every if a.what == "face"]
    return Asked(faces, [a.landing for a in every if a.what != "face"], [a.landing for a in every])
