"""What is drawn for a job: pictures for the sheet, and by way of `_bench` the full-size templates."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from foldswing import gate, sheet, template
from foldswing._bench import blank, curved_flange_blank, flip_end, gate_end, gate_jamb, joint_notes, pattern, templates
from foldswing._bend_pictures import bend_steps_picture, cut_sheet_picture
from foldswing._core import drafting
from foldswing._core.plane import Path, Pose
from foldswing._job_drawing import revision, seen, seen_point, title, view_of
from foldswing._pictures import PICTURE_LETTERS, picture_letters
from foldswing._window_picture import gate_window, window_enlarged
from foldswing.drawing import Drawing
from foldswing.evaluation import (
    Approach,
    BendResult,
    BlankResult,
    CrownResult,
    CurvedFlangeResult,
    CutSheet,
    DevelopedPattern,
    DevelopedResult,
    FlipResult,
    GateResult,
)
from foldswing.evaluation.findings import SAGITTA, stands
from foldswing.evaluation.gate_section import surroundings
from foldswing.evaluation.hardware import eared_section
from foldswing.evaluation.seams import SeamResult
from foldswing.flip_panel import free_side, hinged_side, panel
from foldswing.job import Gate, Job

_TRIES = 4  # of letters, each larger than the last: a larger word may make the picture smaller

__all__ = [
    "bend_steps",
    "blank",
    "blank_lines",
    "crown_hinge",
    "curved_flange",
    "curved_flange_blank",
    "cut_sheet",
    "flip_end",
    "flip_swing",
    "folded",
    "gate_elevation",
    "gate_end",
    "gate_jamb",
    "gate_seam",
    "gate_swing",
    "gate_window",
    "joint_notes",
    "pattern",
    "pattern_lines",
    "pattern_small",
    "templates",
    "window_enlarged",
]


def gate_swing(wanted: Gate, done: GateResult, job: Job, **options: Any) -> Drawing:
    """Return the section of a gate at every stop, with its tightest places; options as template.swing_picture."""
    section = gate.panel(done.sizes)
    if done.holes is not None:
        section = eared_section(wanted, done.sizes, done.holes).moved(gate.pose(done.holes, 0.0))
    poses = {"shut": Pose(0.0, 0.0, 0.0)}
    way = -1.0 if wanted.seen_from == "left end" else 1.0
    pivot = seen_point(wanted, done.pivot if done.holes is None else done.holes.jamb)
    for stop in done.stops:
        poses[stop.name] = Pose.about(pivot, way * stop.opening_deg)
    closest = sorted(done.closest, key=stands)[:3]
    return template.swing_picture(
        seen(wanted, section),
        poses,
        title=title(job, done.name),
        view=view_of(wanted),
        fixed={name: seen(wanted, path.outline(SAGITTA)) for name, path in surroundings(wanted, done.sizes).items()},
        pivot=pivot if done.stops else None,
        approaches=[
            (
                seen_point(wanted, a.fixed_point),
                seen_point(wanted, a.panel_point),
                f"overlaps {a.depth:.2f}" if a.depth > 0.0 else f"{a.bare:.2f} at {a.opening_deg:.0f}\N{DEGREE SIGN}",
            )
            for a in closest
        ],
        revision=revision(job),
        **options,
    )


def gate_tightest(wanted: Gate, done: GateResult, job: Job, close: Approach, room: tuple[float, float]) -> Drawing:
    """Return the close-up of one of a gate's closest approaches."""
    assert done.holes is not None
    section = eared_section(wanted, done.sizes, done.holes)
    hung = seen(wanted, section.moved(gate.pose(done.holes, close.opening_deg)))
    return template.close_up(
        hung,
        {name: seen(wanted, path.outline(SAGITTA)) for name, path in surroundings(wanted, done.sizes).items()},
        (seen_point(wanted, close.fixed_point), seen_point(wanted, close.panel_point)),
        f"overlaps {close.depth:.2f} mm" if close.depth > 0.0 else f"{close.bare:.2f} mm",
        title=title(job, done.name),
        view="",
        room=room,
        revision=revision(job),
    )


def flip_swing(done: FlipResult, job: Job, **options: Any) -> Drawing:
    """Return the section of a flip panel shut and open, in the skin's own axes; options as template.swing_picture."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    turn = -done.opening_deg if wanted.opens == "down" else done.opening_deg
    fixed = {
        "return at the hinged edge": hinged_side(done.sizes).outline(SAGITTA),
        "skin at the free edge": free_side(done.sizes).outline(SAGITTA),
    }
    closest = min(done.closest, key=stands)
    return template.swing_picture(
        panel(done.sizes),
        {"shut": Pose(0.0, 0.0, 0.0), "open": Pose.about(done.pivot, turn)},
        title=title(job, done.name),
        view=f"section along the skin, outer surface below; the hinged edge ({wanted.hinged_edge}) at the left",
        fixed=fixed,
        pivot=done.pivot,
        approaches=[
            (
                closest.fixed_point,
                closest.panel_point,
                f"{closest.bare:.2f} at {closest.opening_deg:.0f}\N{DEGREE SIGN}",
            )
        ],
        revision=revision(job),
        **options,
    )


def blank_lines(done: BlankResult, job: Job, room: tuple[float, float]) -> Drawing:
    """Return a blank with its lines and their distances, in letters that are legible on the sheet; `room` in mm."""
    return _legible(lambda letters: blank(done, job, letters=letters, headed=False), done.sheet, room)


def _legible(make: Callable[[float], Drawing], size: tuple[float, float], room: tuple[float, float]) -> Drawing:
    """Return the picture whose letters are legible at the plain scale that it gets in its room with them."""
    letters = picture_letters((0.0, 0.0, *size), room)
    for _ in range(_TRIES):
        made = make(letters)
        scale = sheet.Figure(made, "", *room).scale
        if letters * scale >= 0.95 * PICTURE_LETTERS:
            break
        letters = PICTURE_LETTERS / scale
    return made


def blank_small(done: BlankResult, job: Job, room: tuple[float, float]) -> Drawing:
    """Return the small picture of a blank, for the sheet."""

    def ends(bend: BendResult) -> tuple[tuple[float, float], tuple[float, float]]:
        (low, high), at = bend.ends, bend.centre
        return ((at, low), (at, high)) if bend.edge == "left" else ((low, at), (high, at))

    def made(letters: float) -> Drawing:
        return template.blank_picture(
            done.outline,
            [(*ends(b), b.name, b.way) for b in done.bends],
            slots=[(centre, row.size) for row in done.slots for centre in row.centres],
            holes=done.holes,
            title=title(job, done.name),
            view="from above: a bend marked up folds toward you",
            room=room,
            letters=letters,
            revision=revision(job),
        )

    return _legible(made, done.sheet, room)


def pattern_lines(done: DevelopedResult, each: DevelopedPattern, job: Job, room: tuple[float, float]) -> Drawing:
    """Return a pattern with its lines by name, in letters that are legible on the sheet; `room` in mm."""
    size = (each.pattern.length, each.pattern.width)
    return _legible(lambda letters: pattern(done, each, job, letters=letters, headed=False), size, room)


def pattern_small(done: DevelopedResult, each: DevelopedPattern, job: Job) -> Drawing:
    """Return the small picture of a pattern, for the sheet."""
    return template.pattern_picture(
        each.pattern,
        title=title(job, f"{done.name}, {each.name}"),
        view="outer face up: roll and fold away from you",
        revision=revision(job),
    )


def curved_flange(done: CurvedFlangeResult, job: Job) -> Drawing:
    """Return the small picture of the blank of a flange along a curved edge, for the sheet."""
    return template.curved_flange_picture(
        done.cut,
        done.bend_start,
        slits=done.slits,
        title=title(job, done.name),
        view="from above: the flange turns up toward you",
        revision=revision(job),
    )


def folded(done: BlankResult | CurvedFlangeResult, job: Job) -> Drawing:
    """Return the folded section, drawn back from the blank."""
    faces: Sequence[Path] = done.folded
    straight = np.diff(faces[0].points, axis=0)[np.asarray(faces[0].sweep_deg)[: len(faces[0].points) - 1] == 0.0]
    if len(straight):  # its longest flat lies level, as the part lies on the bench
        along = straight[np.argmax(np.hypot(*straight.T))]
        turn = Pose(0.0, 0.0, -math.degrees(math.atan2(along[1], along[0])))
        faces = [face.moved(turn) for face in faces]
    return template.folded_section(
        faces,
        title=title(job, f"{done.name}, folded"),
        view="section across the bends, blank's start at the left",
        revision=revision(job),
    )


def bend_steps(done: BlankResult, job: Job) -> Drawing:
    """Return every bend of a blank in the brake, in its order."""
    assert done.order is not None
    assert done.order.found is not None
    return bend_steps_picture(
        done.order.found.steps,
        title=title(job, f"{done.name}, bend order"),
        view="brake seen from its end, you stand at the right",
        revision=revision(job),
    )


def cut_sheet(group: CutSheet, sheet: int, job: Job) -> Drawing:
    """Return one sheet of a cut list with its blanks and remnants."""
    used = group.layout.sheets[sheet]
    return cut_sheet_picture(
        used,
        title=title(job, f"{used.name}, {group.metal} {group.thickness:.2f} mm"),
        view="the sheet from above, its length across",
        revision=revision(job),
    )


def _body_box(wanted: Gate, done: GateResult, name: str, path: Path) -> tuple[float, float, float, float]:
    """Return a body as seen from outside: left, right, low, high."""
    body = next(b for b in wanted.body if b.name == name)
    _, low, _, high = (float(v) for v in drafting.bounds(path))
    left = 0.0 if body.from_left is None else body.from_left
    right = wanted.opening.width_bottom if body.to_left is None else body.to_left
    return left, right, max(low, -done.height), high


def gate_elevation(wanted: Gate, done: GateResult, job: Job) -> Drawing:
    """Return the opening seen from outside, with the places along the hinge, the bodies and the axis."""
    assert done.holes is not None
    s, width = done.sizes, wanted.opening.width_bottom
    _, lower_outer, upper_outer, _ = gate.corners(s)
    end = 0.5 * (width - done.width)
    around = surroundings(wanted, s)
    left, right = (done.axis.left.holes, done.axis.right.holes) if done.axis else (done.holes, done.holes)
    return template.opening_elevation(
        (0.0, width, -s.sill_below_worktop, s.head_above_worktop),
        (end, width - end, float(lower_outer[1]), float(upper_outer[1])),
        [(at.from_left, "") for at in done.stations],
        title=title(job, f"{done.name}, along the hinge"),
        axis=((0.0, float(left.jamb[1])), (width, float(right.jamb[1]))),
        bodies={b.name: _body_box(wanted, done, b.name, around[b.name]) for b in wanted.body},
        worktop=[(at.from_left, -at.sizes.worktop_drop) for at in done.stations],
        revision=revision(job),
    )


def gate_seam(done: GateResult, each: SeamResult, job: Job) -> Drawing:
    """Return the gap along one edge of a gate."""
    upright = each.counted_from == "from the sill up"
    return template.seam_picture(
        each.seam,
        wanted=each.wanted,
        title=title(job, f"{done.name}, gap along the {each.name}"),
        starts="sill" if upright else "left",
        ends="head" if upright else "right",
        revision=revision(job),
    )


def crown_hinge(done: CrownResult, job: Job) -> Drawing:
    """Return the hinged edge of a crowned panel with the straight axes it might turn about."""
    hinged = done.hinge
    assert hinged is not None
    return template.edge_elevation(
        hinged.chord,
        hinged.rise,
        [(a.swing.above_corners, f"{a.at}: goes back {a.swing.most_back:.1f}") for a in hinged.axes],
        from_middle=hinged.from_middle,
        title=title(job, f"{done.name}, {hinged.edge} edge"),
        view=f"{hinged.edge} edge seen along the panel",
        revision=revision(job),
    )
