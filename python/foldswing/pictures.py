"""What is drawn for a job: pictures for the sheet, full-size templates for the bench."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any, Literal

from foldswing import gate, template, units
from foldswing._core.plane import Pose
from foldswing.drawing import Drawing
from foldswing.evaluation import Approach, BendResult, BlankResult, FlipResult, GateResult, Results
from foldswing.evaluation.findings import SAGITTA
from foldswing.evaluation.gate_section import surroundings
from foldswing.flip_panel import free_side, hinged_side, panel
from foldswing.job import Gate, Job

__all__ = ["blank", "flip_end", "flip_swing", "folded", "gate_end", "gate_swing", "templates"]

HANDS: tuple[Literal["left", "right"], ...] = ("left", "right")


def _revision(job: Job) -> str:
    """Return what every drawing carries: the revision, and the mark of invented data."""
    words = [f"revision {job.revision}"] if job.revision else []
    return "; ".join([*words, *(["INVENTED DEMO DATA"] if job.invented else [])])


def _lengths(job: Job) -> dict[str, Any]:
    """Return how a template writes lengths: in full in its notes, short beside its lines, in the units of the job."""
    words: dict[str, Callable[[float], str]] = {"show": lambda length: units.show(length, job.sheet_ruler)}
    if job.units == "inch":
        words["label"] = lambda length: units.fraction(length, job.sheet_ruler)
    return words


def _title(job: Job, name: str) -> str:
    return f"{job.title}: {name}"


def _view(wanted: Gate) -> str:
    return f"section seen from the {wanted.seen_from} as you stand outside"


def _seen(wanted: Gate, thing: Any) -> Any:
    """Return a path or outline as seen from the end the job asks for: sections are worked out from the left end."""
    return thing if wanted.seen_from == "left end" else thing.mirrored((0.0, 0.0), (0.0, 1.0))


def _seen_point(wanted: Gate, point: Any) -> tuple[float, float]:
    x, y = (float(v) for v in point)
    return (x, y) if wanted.seen_from == "left end" else (-x, y)


def gate_swing(wanted: Gate, done: GateResult, job: Job, **options: Any) -> Drawing:
    """Return the section of a gate at every stop, with its tightest places; options as template.swing_picture."""
    section = gate.panel(done.sizes)
    if done.holes is not None:
        section = section.moved(gate.pose(done.holes, 0.0))
    poses = {"shut": Pose(0.0, 0.0, 0.0)}
    way = -1.0 if wanted.seen_from == "left end" else 1.0
    pivot = _seen_point(wanted, done.pivot if done.holes is None else done.holes.jamb)
    for stop in done.stops:
        poses[stop.name] = Pose.about(pivot, way * stop.opening_deg)
    closest = sorted(done.closest, key=lambda a: (a.bare, -a.depth))[:3]
    return template.swing_picture(
        _seen(wanted, section),
        poses,
        title=_title(job, done.name),
        view=_view(wanted),
        fixed={name: _seen(wanted, path.outline(SAGITTA)) for name, path in surroundings(wanted, done.sizes).items()},
        pivot=pivot if done.stops else None,
        approaches=[
            (
                _seen_point(wanted, a.fixed_point),
                _seen_point(wanted, a.panel_point),
                f"overlaps {a.depth:.2f}" if a.depth > 0.0 else f"{a.bare:.2f} at {a.opening_deg:.0f}\N{DEGREE SIGN}",
            )
            for a in closest
        ],
        revision=_revision(job),
        **options,
    )


def gate_tightest(wanted: Gate, done: GateResult, job: Job, close: Approach, room: tuple[float, float]) -> Drawing:
    """Return the close-up of one of a gate's closest approaches."""
    assert done.holes is not None
    hung = _seen(wanted, gate.panel(done.sizes).moved(gate.pose(done.holes, close.opening_deg)))
    return template.close_up(
        hung,
        {name: _seen(wanted, path.outline(SAGITTA)) for name, path in surroundings(wanted, done.sizes).items()},
        (_seen_point(wanted, close.fixed_point), _seen_point(wanted, close.panel_point)),
        f"overlaps {close.depth:.2f} mm" if close.depth > 0.0 else f"{close.bare:.2f} mm",
        title=_title(job, done.name),
        view="",
        room=room,
        revision=_revision(job),
    )


def flip_swing(done: FlipResult, job: Job, **options: Any) -> Drawing:
    """Return the section of a flip panel shut and open, in the skin's own axes; options as template.swing_picture."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    turn = -done.opening_deg if wanted.opens == "down" else done.opening_deg
    fixed = {
        "hinged side": hinged_side(done.sizes).outline(SAGITTA),
        "free side": free_side(done.sizes).outline(SAGITTA),
    }
    closest = min(done.closest, key=lambda a: (a.bare, -a.depth))
    return template.swing_picture(
        panel(done.sizes),
        {"shut": Pose(0.0, 0.0, 0.0), "open": Pose.about(done.pivot, turn)},
        title=_title(job, done.name),
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
        revision=_revision(job),
        **options,
    )


def _bend_lines(done: BlankResult) -> list[template.BendLine]:
    return [
        template.BendLine(b.centre, b.edge, ends=b.ends, way=b.way, angle_deg=b.angle_deg, tangents=b.tangents)
        for b in done.bends
    ]


def blank(done: BlankResult, job: Job) -> Drawing:
    """Return a blank with its bend lines."""
    notes = [f"{done.metal}, {done.thickness:.2f} mm, inside radius {done.radius:.2f} mm", done.basis]
    if done.ears:
        notes.append(done.ears)
    return template.blank_template(
        done.outline,
        _bend_lines(done),
        title=_title(job, f"{done.name}, blank"),
        holes=done.holes,
        marks=done.edges,
        notes=notes,
        revision=_revision(job),
        **_lengths(job),
    )


def blank_small(done: BlankResult, job: Job, room: tuple[float, float]) -> Drawing:
    """Return the small picture of a blank, for the sheet."""

    def ends(bend: BendResult) -> tuple[tuple[float, float], tuple[float, float]]:
        (low, high), at = bend.ends, bend.centre
        return ((at, low), (at, high)) if bend.edge == "left" else ((low, at), (high, at))

    return template.blank_picture(
        done.outline,
        [(*ends(b), b.name, b.way) for b in done.bends],
        title=_title(job, done.name),
        view="from above: a bend marked up folds toward you",
        room=room,
        revision=_revision(job),
    )


def folded(done: BlankResult, job: Job) -> Drawing:
    """Return the folded section, drawn back from the blank."""
    return template.folded_section(
        done.folded,
        title=_title(job, f"{done.name}, folded"),
        view="section across the bends, blank's start at the left",
        revision=_revision(job),
    )


def templates(job: Job, results: Results) -> dict[str, Drawing]:
    """Return every full-size template of a job by the stem of its file names."""
    out: dict[str, Drawing] = {}
    for stem, draft in _templates(job, results):
        name, number = stem, 2
        while name in out:
            name, number = f"{stem}-{number}", number + 1
        out[name] = draft
    return out


def _stem(name: str) -> str:
    """Return a part's name as a file name: letters and digits with hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "part"


def _templates(job: Job, results: Results) -> Iterator[tuple[str, Drawing]]:
    for wanted, done in zip(job.gate, results.gates, strict=True):
        if done.holes is not None:
            for hand in HANDS:
                yield f"{_stem(done.name)}-end-{hand}", gate_end(wanted, done, job, hand)
    for flip in results.flip_panels:
        for hand in HANDS:
            yield f"{_stem(flip.name)}-end-{hand}", flip_end(flip, job, hand)
    for part in results.blanks:
        yield f"{_stem(part.name)}-blank", blank(part, job)
    for crown, made in zip(job.crown, results.crowns, strict=True):
        for way in made.ways:
            gauge = template.crown_gauge(
                way.chord,
                way.rise,
                title=_title(job, f"{made.name}, gauge {way.way}"),
                every=crown.station_every,
                revision=_revision(job),
                **_lengths(job),
            )
            yield f"{_stem(made.name)}-gauge-{way.way}", gauge


def gate_end(wanted: Gate, done: GateResult, job: Job, hand: Literal["left", "right"]) -> Drawing:
    """Return the end template of a gate for one end."""
    assert done.holes is not None
    lower_inner, lower_outer, _, upper_inner = gate.corners(done.sizes)
    holes = [(wanted.hinge.pin_diameter, "pin")]
    if wanted.hinge.bush_diameter is not None:
        holes.insert(0, (wanted.hinge.bush_diameter, "bush"))
    return template.end_template(
        gate.panel(done.sizes),
        done.holes.gate,
        title=_title(job, done.name),
        view=f"seen from the {hand} end as you stand outside",
        hand=hand,
        outside="right",
        holes=holes,
        faces=[
            template.Face("inner face", lower_inner, upper_inner),
            template.Face("lower edge", lower_inner, lower_outer),
        ],
        neighbours={
            name: path.outline(SAGITTA) for name, path in surroundings(wanted, done.sizes).items() if name != "head"
        },
        notes=["Prick the centre through. Do not drill before the card swings."],
        revision=_revision(job),
        **_lengths(job),
    )


def flip_end(done: FlipResult, job: Job, hand: Literal["left", "right"]) -> Drawing:
    """Return the end template of a flip panel for one end, stood up: outer surface at the right, hinged edge below."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    stood = Pose(0.0, 0.0, 90.0)
    edge, along, across = stood.apply([(0.0, 0.0), (done.sizes.length, 0.0), (0.0, done.sizes.depth)])
    return template.end_template(
        panel(done.sizes).moved(stood),
        stood.apply(done.pivot),
        title=_title(job, done.name),
        view=f"flange at the {hand} end, from outside the panel; the hinged edge ({wanted.hinged_edge}) is below",
        hand=hand,
        outside="right",
        holes=[(wanted.pin_diameter, "pin")],
        faces=[template.Face("hinged edge", edge, across), template.Face("outer surface", edge, along)],
        neighbours={"return": hinged_side(done.sizes).outline(SAGITTA).moved(stood)},
        notes=[f"Ear {done.sizes.ear_radius:g} mm round the pin, drawn."] if done.ears else [],
        revision=_revision(job),
        **_lengths(job),
    )
