"""What the readings leave uncertain: how far apart readings of one size lie is carried into what is worked out from it.

Each size that was read several times is moved by one spread (the sample standard deviation of its readings), up and
down, the job is worked out again, and what every result moves by is added up in squares. What is drilled and cut goes
by the mean: marks and cutting sizes follow the size that is moved; steps, gaps and closest approaches are those of the
part made to the mean, among bodies that stand where the moved size says.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator
from typing import Any

from foldswing._core import InvalidInput
from foldswing._values import value
from foldswing.evaluation.blanks import BlankResult, evaluate_bent_part, evaluate_pan
from foldswing.evaluation.crowns import CrownResult, evaluate_crown
from foldswing.evaluation.curved_flanges import evaluate_curved_flange
from foldswing.evaluation.developed import evaluate_developed
from foldswing.evaluation.flips import FlipResult, evaluate_flip_panel
from foldswing.evaluation.gate_section import with_angle
from foldswing.evaluation.gates import GateResult, evaluate_gate
from foldswing.evaluation.trays import evaluate_section, evaluate_tray
from foldswing.job import Job
from foldswing.job.readings import Readings, far_apart, moved, odd_one, row_of

SEEN = 0.005  # mm or degrees; less is not printed


@value
class ReadSize:
    """A size that was read several times.

    Attributes
    ----------
    size, words, unit : str
        Its path in the job, what it is, and 'mm', 'deg' or 'kg'.
    readings : tuple of float
        As taken.
    mean, spread : float
        Their mean, which is worked with, and the sample standard deviation of one reading.
    question : str
        What is asked where they do not go together; else empty.
    """

    size: str
    words: str
    unit: str
    readings: tuple[float, ...]
    mean: float
    spread: float
    question: str


@value
class Uncertain:
    """A result that the readings leave uncertain.

    Attributes
    ----------
    part, what : str
        Of which part, and which of its results.
    plus_minus : float
        One standard deviation of it; mm or degrees.
    unit : str
        'mm' or 'deg'.
    chief : str
        The size it comes from most.
    """

    part: str
    what: str
    plus_minus: float
    unit: str
    chief: str


def read_sizes(job: Job) -> tuple[ReadSize, ...]:
    """Return the sizes of a job that were read several times, and what is to be asked about their readings."""
    return tuple(_read_size(job, several) for several in job.readings)


def _read_size(job: Job, several: Readings) -> ReadSize:
    row = row_of(job, several.size)
    question = ""
    odd = odd_one(several.values, row.kind)
    if odd is not None:
        question = f"{odd:g} {row.unit} stands off the other readings: is one of these misread?"
    elif far_apart(several.values, row.kind):
        question = "these readings lie far apart: is one of them misread?"
    words = row.help.rstrip(".")
    return ReadSize(several.size, words, row.unit, several.values, several.mean, several.spread, question)


Figures = dict[str, tuple[float, str]]  # what it is: value, unit


def uncertain(job: Job) -> tuple[Uncertain, ...]:
    """Return every result of a job that its readings leave uncertain by more than is printed.

    Parameters
    ----------
    job : Job
        As read; only sizes with several readings are moved.
    """
    out: list[Uncertain] = []
    # No size moves a bend order, which takes longest: it is not looked for again and again.
    of_parts = tuple(r for r in job.readings if not r.size.startswith("brake_tool"))
    job = dataclasses.replace(job, brake_tool=(), readings=of_parts)
    for kind, work in _WORK.items():
        for i, part in enumerate(getattr(job, kind)):
            out += _of_part(job, kind, i, part.name, work)
    return tuple(out)


Work = Callable[[Job, int, Any], Figures]  # of a job, the part of that number; a gate as it is made to the means


def _of_part(job: Job, kind: str, i: int, name: str, work: Work) -> Iterator[Uncertain]:
    mine = [r for r in job.readings if _concerns(r.size, kind, i) and r.spread > 0.0]
    if not mine:
        return
    made = evaluate_gate(job.gate[i], job, likely_errors=False) if kind == "gate" else None
    nominal = work(job, i, made)
    squares: dict[str, list[tuple[float, str]]] = {what: [] for what in nominal}
    for several in mine:
        trials = []
        for sign in (1.0, -1.0):
            try:
                trials.append(work(moved(job, several.size, sign * several.spread), i, made))
            except InvalidInput:  # so far the size cannot go: the other side tells
                continue
        words = row_of(job, several.size).help.rstrip(".")
        for what, (mean, _) in nominal.items():
            shifts = [abs(trial[what][0] - mean) for trial in trials if what in trial]
            by = max((s for s in shifts if math.isfinite(s)), default=0.0)
            squares[what].append((by, words))
    for what, (_, unit) in nominal.items():
        total = math.hypot(*(by for by, _ in squares[what]))
        if total >= SEEN:
            yield Uncertain(name, what, total, unit, max(squares[what])[1])


def _concerns(size: str, kind: str, i: int) -> bool:
    """Tell whether a size has to do with a part: its own, or one that all parts share."""
    head = size.partition(".")[0]
    if head == f"{kind}[{i + 1}]" or head == "paint":
        return True
    shared = {"flip_panel": ("pan[", "material["), "pan": ("material[",), "bent_part": ("material[",)}
    shared |= {kind: ("material[",) for kind in ("tray", "section", "curved_flange", "developed")}
    return head.startswith(shared.get(kind, ())) if kind in shared else False


def _gate(job: Job, i: int, made: GateResult) -> Figures:
    wanted = job.gate[i]
    if made.free_angle is not None:  # the stop is made where it was taken
        wanted = with_angle(wanted, made.free_angle.stop, made.free_angle.best.opening_deg)
    free = evaluate_gate(wanted, job, likely_errors=False)
    out: Figures = {}
    if free.place is not None:
        for what in ("from_inner_face", "from_outer_face", "below_worktop", "above_lower_edge"):
            out[f"pivot {what.replace('_', ' ')}"] = (float(getattr(free.place, what)), "mm")
    if wanted.panel.width is None:
        out["width of the gate"] = (free.width, "mm")
    if wanted.panel.height is None:
        out["height of the gate"] = (free.height, "mm")
    cut = dataclasses.replace(
        wanted.panel, width=wanted.panel.width or made.width, height=wanted.panel.height or made.height, fit="square"
    )
    held = evaluate_gate(dataclasses.replace(wanted, panel=cut), job, marks=made.marks, likely_errors=False)
    for stop in held.stops:
        out[f"opening at '{stop.name}'"] = (stop.opening_deg, "deg")
        out[f"free edge below the worktop at '{stop.name}'"] = (stop.edge_drop, "mm")
        if stop.face_step is not None:
            out[f"step of the inner face at '{stop.name}'"] = (stop.face_step, "mm")
        if stop.nose_gap is not None:
            out[f"gap to the nose at '{stop.name}'"] = (stop.nose_gap, "mm")
    if wanted.panel.fit == "square":  # a section does not tell the gaps of a gate whose edges follow the opening
        out |= {f"gap to the {gap.name}, shut": (gap.bare, "mm") for gap in held.gaps}
    out |= {f"closest to the {row.body}, {row.leg}": (row.bare, "mm") for row in held.closest}
    return out


def _flip(job: Job, i: int, _made: Any) -> Figures:
    done: FlipResult = evaluate_flip_panel(job.flip_panel[i], job)
    out: Figures = {
        "angle it turns through": (done.opening_deg, "deg"),
        "room needed behind the skin": (done.room_behind, "mm"),
    }
    return out | {f"closest to the {row.body}, {row.leg}": (row.bare, "mm") for row in done.closest}


def _blank(done: BlankResult) -> Figures:
    out: Figures = {"length of the blank": (done.length, "mm"), "width of the blank": (done.width, "mm")}
    return out | {f"bend line '{bend.name}' from the edge": (bend.centre, "mm") for bend in done.bends}


def _curved(job: Job, i: int, _made: Any) -> Figures:
    done = evaluate_curved_flange(job.curved_flange[i], job)
    out: Figures = {
        "radius of the blank's edge": (done.made.edge_radius, "mm"),
        "radius where the bend starts on the blank": (done.made.bend_radius, "mm"),
    }
    return out | ({"depth of the cuts": (done.made.cut_depth, "mm")} if done.made.cuts else {})


def _developed(job: Job, i: int, _made: Any) -> Figures:
    out: Figures = {}
    for each in evaluate_developed(job.developed[i], job).patterns:
        out[f"length of the {each.name}'s pattern"] = (each.pattern.length, "mm")
        out[f"width of the {each.name}'s pattern"] = (each.pattern.width, "mm")
    return out


def _crown(job: Job, i: int, _made: Any) -> Figures:
    done: CrownResult = evaluate_crown(job.crown[i], job)
    out: Figures = {}
    for way in done.ways:
        out[f"radius {way.way}"] = (way.radius, "mm")
        out[f"arc length {way.way}"] = (way.length, "mm")
        for layer in way.layers[1:]:
            out[f"outer radius of the {layer.name}, {way.way}"] = (layer.outer_radius, "mm")
    return out


_WORK: dict[str, Work] = {
    "gate": _gate,
    "flip_panel": _flip,
    "pan": lambda job, i, _made: _blank(evaluate_pan(job.pan[i], job)),
    "tray": lambda job, i, _made: _blank(evaluate_tray(job.tray[i], job)),
    "section": lambda job, i, _made: _blank(evaluate_section(job.section[i], job)),
    "bent_part": lambda job, i, _made: _blank(evaluate_bent_part(job.bent_part[i], job)),
    "curved_flange": _curved,
    "developed": _developed,
    "crown": _crown,
}
