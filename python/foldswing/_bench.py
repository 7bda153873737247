"""The full-size templates of a job: what is cut, hooked on, pricked through and swung by hand. Public by `pictures`."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from foldswing import drawing, gate, template, units
from foldswing._core.plane import Outline, Path, Pose
from foldswing._job_drawing import lengths, revision, seen, seen_point, title, view_of
from foldswing.drawing import Drawing
from foldswing.evaluation import (
    BlankResult,
    CurvedFlangeResult,
    DevelopedPattern,
    DevelopedResult,
    FlipResult,
    GateResult,
    Results,
    TabRow,
)
from foldswing.evaluation.adjusters import hole_in, slot_outline
from foldswing.evaluation.findings import SAGITTA
from foldswing.evaluation.gate_section import surroundings
from foldswing.evaluation.hardware import eared_section
from foldswing.evaluation.reliefs import ReliefResult
from foldswing.evaluation.stations import Hand
from foldswing.flip_panel import free_side, hinged_side, panel
from foldswing.job import Gate, Job

HANDS: tuple[Hand, ...] = ("left", "right")

DO_NOT = "Prick the centre through. Do not drill before the card swings."
SCALES = (1, 2, 4, 5, 10, 20)  # plain scales of a card model, the largest that one sheet takes
BEYOND = 40.0  # mm; how much of the jamb a drilling template covers above the worktop surface
UNDER = 22.0  # mm; and below the hole
CLEAR = 3.0  # mm; paper kept off the worktop nose and the sill


def templates(job: Job, results: Results, *, paper: str | None = None) -> dict[str, Drawing]:
    """Return every full-size template of a job by the stem of its file names.

    `paper` is what a card model must fit on; None as the job says.
    """
    out: dict[str, Drawing] = {}
    for stem, draft in _templates(job, results, paper or job.sheet_paper):
        name, number = stem, 2
        while name in out:
            name, number = f"{stem}-{number}", number + 1
        out[name] = draft
    return out


def _stem(name: str) -> str:
    """Return a part's name as a file name: letters and digits with hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "part"


def _templates(job: Job, results: Results, paper: str) -> Iterator[tuple[str, Drawing]]:
    for wanted, done in zip(job.gate, results.gates, strict=True):
        if done.holes is not None:
            for hand in HANDS:
                yield f"{_stem(done.name)}-end-{hand}", gate_end(wanted, done, job, hand)
            for hand in HANDS:
                yield f"{_stem(done.name)}-jamb-{hand}", gate_jamb(wanted, done, job, hand)
            yield f"{_stem(done.name)}-card", gate_card(wanted, done, job, paper)
            for cut in done.reliefs:
                yield f"{_stem(done.name)}-relief-{_stem(cut.body)}", gate_relief(wanted, done, job, cut)
    for flip in results.flip_panels:
        for hand in HANDS:
            yield f"{_stem(flip.name)}-end-{hand}", flip_end(flip, job, hand)
        if flip.sizes.ear_radius > 0.0:
            for hand in HANDS:
                yield f"{_stem(flip.name)}-ear-{hand}", flip_ear(flip, job, hand)
        yield f"{_stem(flip.name)}-card", flip_card(flip, job, paper)
    for part in results.blanks:
        yield f"{_stem(part.name)}-blank", blank(part, job)
    for flange in results.curved_flanges:
        yield f"{_stem(flange.name)}-blank", curved_flange_blank(flange, job)
    for shell in results.developed:
        for each in shell.patterns:
            yield f"{_stem(shell.name)}-{_stem(each.name)}", pattern(shell, each, job)
    for crown, made in zip(job.crown, results.crowns, strict=True):
        for way in made.ways:
            gauge = template.crown_gauge(
                way.chord,
                way.rise,
                title=title(job, f"{made.name}, gauge {way.way}"),
                every=crown.station_every,
                revision=revision(job),
                **lengths(job),
            )
            yield f"{_stem(made.name)}-gauge-{way.way}", gauge
    radii = corner_radii(results)
    if radii:
        yield (
            "corner-radius-gauges",
            template.radius_gauges(radii, title=job.title, revision=revision(job), show=_both_units(job)),
        )


def _both_units(job: Job) -> Callable[[float], str]:
    """Return how a gauge is marked: in mm, and in inches by the job's ruler or by thirty-seconds."""
    ruler = job.sheet_ruler if "in" in job.sheet_ruler else "1/32 in"
    return lambda length: units.show(length, ruler)


def corner_radii(results: Results) -> dict[str, float]:
    """Return every corner radius of a job by what it is for."""
    out: dict[str, float] = {}
    for made in results.gates:
        s = made.sizes
        for what, radius in (
            ("lower inner corner", s.lower_inner_radius),
            ("lower outer corner", s.lower_outer_radius),
            ("upper inner corner", s.upper_inner_radius),
            ("upper outer corner", s.upper_outer_radius),
            ("worktop nose", s.nose_radius),
        ):
            if radius > 0.0:
                out[f"{made.name}: {what}"] = radius
    for flip in results.flip_panels:
        if flip.sizes.corner_radius > 0.0:
            out[f"{flip.name}: outside of the bends"] = flip.sizes.corner_radius
        if flip.sizes.ear_radius > 0.0:
            out[f"{flip.name}: ears"] = flip.sizes.ear_radius
    return out


def _holes(wanted: Gate, hole: str) -> list[tuple[float, str]]:
    """Return what is drilled in the gate or the jamb, the hole to drill first."""
    pin = (wanted.hinge.pin_diameter, "pin")
    eccentric = [a.diameter for a in wanted.adjuster if a.hole == hole and a.diameter is not None]
    if eccentric:
        return [(eccentric[0], "eccentric bush"), pin]
    bush = wanted.hinge.bush_diameter if hole == "gate" else None
    return [pin] if bush is None else [(bush, "bush"), pin]


def _slot(wanted: Gate, done: GateResult, hole: str, at: Any, show: Callable[[float], str]) -> tuple[Path, str] | None:
    """Return the slot that is cut instead of a round hole, with what is said of it; None where the hole is round."""
    adjusters = done.adjusting.adjusters if done.adjusting is not None else ()
    found = next((a for a in adjusters if a.hole == hole and a.kind == "slotted hole"), None)
    if found is None:
        return None
    return slot_outline(found, _holes(wanted, hole)[0][0], at), hole_in(wanted, hole, show)


def _called(wanted: Gate, hole: str) -> str:
    """Return what stands beside a hole that is no plain one."""
    names = {"slotted hole": "slot", "eccentric bush": "eccentric bush"}
    return next((names[a.kind] for a in wanted.adjuster if a.hole == hole and a.kind in names), "")


def _adjuster_words(wanted: Gate, done: GateResult, hole: str, show: Callable[[float], str]) -> list[str]:
    """Return what a template says of the adjusters of its hole, beside the slot itself."""
    if done.adjusting is None:
        return []
    out = []
    for a in wanted.adjuster:
        if a.hole == hole and a.kind == "slotted hole":
            out.append("Drill at the slot's end crosses, file between.")
        elif a.hole == hole and a.throw is not None:
            out.append(f"Eccentric bush: centre on the mark, throw {a.throw:.1f} mm.")
        elif a.hole == hole and a.thickness is not None:
            out.append(f"Shims behind the plate: up to {show(a.thickness)} {a.pushes}.")
    return out


def _square(sizes: gate.Sizes) -> Path:
    """Return the gate's section with its corners left square."""
    corners = ("lower_inner", "lower_outer", "upper_inner", "upper_outer")
    return gate.panel(gate.Sizes(**{**sizes.to_dict(), **{f"{c}_radius": 0.0 for c in corners}}))


def gate_end(wanted: Gate, done: GateResult, job: Job, hand: Hand) -> Drawing:
    """Return the end template of a gate for one end."""
    end = done.end_at(hand)
    assert end.holes is not None
    lower_inner, lower_outer, _, upper_inner = gate.corners(end.sizes)
    ear = wanted.hinge.ear_radius
    ears = [drawing.Circle(end.holes.gate, ear).path] if ear is not None else []
    words = lengths(job)
    return template.end_template(
        gate.panel(end.sizes),
        end.holes.gate,
        title=title(job, done.name),
        view=f"seen from the {hand} end as you stand outside",
        hand=hand,
        outside="right",
        holes=_holes(wanted, "gate"),
        slot=_slot(wanted, done, "gate", end.holes.gate, words["show"]),
        called=_called(wanted, "gate"),
        faces=[
            template.Face("inner face", lower_inner, upper_inner),
            template.Face("lower edge", lower_inner, lower_outer),
        ],
        square=_square(end.sizes),
        inside=ears,
        fine=_window(done, hand),
        marks=_stay_pin(done, end.sizes, end.holes),
        neighbours={
            name: path.outline(SAGITTA) for name, path in surroundings(wanted, end.sizes).items() if name != "head"
        },
        must_be_in=_bracket(done),
        notes=[
            *([f"Ear of {ear:g} mm round the hole."] if ear is not None else []),
            *_window_words(done, hand),
            *_adjuster_words(wanted, done, "gate", words["show"]),
            DO_NOT,
        ],
        revision=revision(job),
        **words,
    )


def _bracket(done: GateResult) -> tuple[str, Outline] | None:
    """Return what the hole must be in: its name and outline."""
    return None if done.bracket is None else (done.bracket.name, done.bracket.outline)


def _stay_pin(done: GateResult, sizes: gate.Sizes, holes: gate.Holes) -> list[tuple[Any, str]]:
    """Return where the stay's pin on the gate is pricked, on the gate as drawn shut."""
    pins = done.stays.pins if done.stays is not None else None
    if pins is None:
        return []
    at = gate.stay_pin(sizes, holes, above_pivot=pins.gate_above_pivot, from_inner_face=pins.gate_from_inner_face)
    return [(at, "stay's pin")]


def _stay_words(done: GateResult, show: Callable[[float], str]) -> list[str]:
    """Return where the stay's pin on the jamb is: beyond the paper, so by the tape."""
    pins = done.stays.pins if done.stays is not None else None
    if pins is None:
        return []
    return [f"Stay's pin: {show(pins.jamb_above_worktop)} above the worktop, {show(pins.jamb_inward)} inward."]


def _window(done: GateResult, hand: Hand) -> list[Path]:
    """Return the window of the hole, and the ring round the best place within which it may be off."""
    found = done.window_at(hand)
    if found is None:
        return []
    edges = [Path(ring, 0.0, closed=True) for o in found.outlines for ring in (o.points, *o.holes)]
    return [*edges, drawing.Circle(found.best, found.forgiveness).path] if found.forgiveness > 0.0 else edges


def _window_words(done: GateResult, hand: Hand) -> list[str]:
    """Return what the window on a template says."""
    found = done.window_at(hand)
    if found is None or not found.outlines:
        return []
    off = f"{found.forgiveness:.2f} mm off any way"
    return [f"Small outline: where the hole may lie. Ring in it: the best place, {off}."]


def gate_jamb(wanted: Gate, done: GateResult, job: Job, hand: Hand) -> Drawing:
    """Return the drilling template of one jamb, seen from within the opening: hooked on worktop and wall.

    The paper lies on the jamb, cut round the worktop nose: one tab folds over the wall's outer face, one lies on the
    worktop surface (on a straightedge laid on it, where the jamb ends before the worktop begins).
    """
    end = done.end_at(hand)
    assert end.holes is not None
    s = end.sizes
    x, y = (float(v) for v in end.holes.jamb)
    level = -s.worktop_drop
    back = -s.jamb_depth
    nose = -s.nose_behind_wall
    low = max(y - UNDER, -s.sill_below_worktop + CLEAR)
    low = min(low, y - 0.5 * wanted.hinge.pin_diameter - CLEAR)
    if back < nose - 2.0 * CLEAR:
        edge = min(nose + CLEAR, x - 0.5 * wanted.hinge.pin_diameter - CLEAR)
        high = level + BEYOND
        ring = [(0.0, low), (0.0, high), (back, high), (back, level), (edge, level), (edge, low)]
        surface = ((back, level), (edge, level))
        how = "One tab lies on the worktop surface."
    else:
        ring = [(0.0, low), (0.0, level), (back, level), (back, low)]
        surface = ((back, level), (0.0, level))
        how = "The jamb ends before the worktop: lay a straightedge on the worktop, the upper tab on it."
    outline = Path(ring, [0.0] * len(ring), closed=True)
    words = lengths(job)
    return template.end_template(
        outline,
        end.holes.jamb,
        title=title(job, f"{done.name}, jamb"),
        kind="drilling template",
        view=f"the {hand} jamb, seen from within the opening",
        hand=hand,
        drawn_as="right",
        outside="right",
        holes=_holes(wanted, "jamb"),
        slot=_slot(wanted, done, "jamb", end.holes.jamb, words["show"]),
        called=_called(wanted, "jamb"),
        fine=_window(done, hand),
        faces=[
            template.Face("wall's outer face", (0.0, low), (0.0, max(y, level))),
            template.Face("worktop surface", *surface),
        ],
        neighbours={
            name: path.outline(SAGITTA)
            for name, path in surroundings(wanted, s).items()
            if name in {"worktop nose", "sill"}
        },
        must_be_in=_bracket(done) if done.bracket is not None and done.bracket.fixed_to == "jamb" else None,
        surround=20.0,
        notes=[
            how,
            *_window_words(done, hand),
            *_adjuster_words(wanted, done, "jamb", words["show"]),
            *_stay_words(done, words["show"]),
            DO_NOT,
        ],
        revision=revision(job),
        **words,
    )


def gate_relief(wanted: Gate, done: GateResult, job: Job, cut: ReliefResult) -> Drawing:
    """Return the template of what would come off a fixed part so that the gate swings past it."""
    assert done.holes is not None
    hung = gate.panel(done.sizes).moved(gate.pose(done.holes, 0.0)).outline(SAGITTA)
    words = lengths(job)
    show = words["show"]
    marks = done.marks
    assert marks is not None
    below, inward = marks.jamb_below_worktop, marks.jamb_inward
    place = f"{show(abs(below))} {'below' if below >= 0.0 else 'above'} the worktop surface and {show(abs(inward))} "
    place += f"{'inward' if inward >= 0.0 else 'outward'} from the wall's outer face"
    return template.relief_template(
        [seen(wanted, path) for path in cut.fixed.cuts],
        seen(wanted, surroundings(wanted, done.sizes)[cut.body].outline(SAGITTA)),
        seen_point(wanted, cut.pivot),
        title=title(job, f"{done.name}, {cut.body}"),
        view=view_of(wanted),
        name=cut.body,
        panel=seen(wanted, hung),
        depth=cut.fixed.depth,
        notes=[
            f"Leaves {show(cut.gap)} all the way, bare. One way out; larger corner radii may be the easier one.",
            f"The jamb's hole, centre of the arcs about it, is {place}.",
            "See first what the part holds up and what lies behind it: a cut weakens it.",
        ],
        revision=revision(job),
        **words,
    )


def _card(paper: str, make: Any) -> Drawing:
    """Return a card model at the largest plain scale that one sheet takes."""
    made: Drawing | None = None
    for scale in SCALES:
        made = make(scale)
        plan = drawing.tile_plan(made, paper=paper, max_sheets=10_000)
        if plan.columns * plan.rows == 1:
            break
    assert made is not None
    return made


def gate_card(wanted: Gate, done: GateResult, job: Job, paper: str) -> Drawing:
    """Return the card model of a gate."""
    bodies = {n: seen(wanted, p.outline(SAGITTA)) for n, p in surroundings(wanted, done.sizes).items() if n != "head"}
    assert done.holes is not None
    words = lengths(job)["show"]
    section = eared_section(wanted, done.sizes, done.holes)
    hung = section.moved(gate.pose(done.holes, 0.0))
    pin = done.holes.jamb

    def make(scale: int) -> Drawing:
        return template.card_model(
            seen(wanted, hung),
            seen_point(wanted, pin),
            bodies,
            title=title(job, done.name),
            view=view_of(wanted),
            name=done.name,
            scale=scale,
            notes=[_least_gap(wanted.gaps.moving, scale, words)],
            revision=revision(job),
            show=words,
        )

    return _card(paper, make)


def _least_gap(gap: float, scale: int, words: Any) -> str:
    on_card = "" if scale == 1 else f" (on this card {gap / scale:.1f} mm)"
    return f"Least gap wanted on the way: {words(gap)}{on_card}. Do not drill before the card swings."


def flip_card(done: FlipResult, job: Job, paper: str) -> Drawing:
    """Return the card model of a flip panel, in the skin's own axes."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    words = lengths(job)["show"]

    def make(scale: int) -> Drawing:
        return template.card_model(
            panel(done.sizes),
            done.pivot,
            {
                "return at the hinged edge": hinged_side(done.sizes).outline(SAGITTA),
                "skin at the free edge": free_side(done.sizes).outline(SAGITTA),
            },
            title=title(job, done.name),
            view=f"section along the skin, outer surface below; the hinged edge ({wanted.hinged_edge}) at the left",
            name=done.name,
            scale=scale,
            notes=[_least_gap(wanted.moving_gap, scale, words)],
            revision=revision(job),
            show=words,
        )

    return _card(paper, make)


_STOOD = Pose(0.0, 0.0, 90.0)  # a flip panel stood up: outer surface at the right, hinged edge below


def flip_end(done: FlipResult, job: Job, hand: Hand) -> Drawing:
    """Return the end template of a flip panel for one end, stood up: outer surface at the right, hinged edge below."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    edge, along, across = _STOOD.apply([(0.0, 0.0), (done.sizes.length, 0.0), (0.0, done.sizes.depth)])
    return template.end_template(
        panel(done.sizes).moved(_STOOD),
        _STOOD.apply(done.pivot),
        title=title(job, done.name),
        view=f"flange at the {hand} end, from outside the panel; the hinged edge ({wanted.hinged_edge}) is below",
        hand=hand,
        outside="right",
        holes=[(wanted.pin_diameter, "pin")],
        faces=[template.Face("hinged edge", edge, across), template.Face("outer surface", edge, along)],
        neighbours={"return at the hinged edge": hinged_side(done.sizes).outline(SAGITTA).moved(_STOOD)},
        surround=25.0,
        notes=[f"Ear of {done.sizes.ear_radius:g} mm round the pin."] if done.sizes.ear_radius > 0.0 else [],
        revision=revision(job),
        **lengths(job),
    )


def flip_ear(done: FlipResult, job: Job, hand: Hand) -> Drawing:
    """Return the drilling template of the body's ear at one end, stood up as the panel's end is."""
    wanted = next(p for p in job.flip_panel if p.name == done.name)
    s = done.sizes
    x, y = (float(v) for v in done.pivot)
    right, back = x + s.ear_radius + 12.0, y + s.ear_radius + 8.0
    paper = Path([(-s.gap, 0.0), (right, 0.0), (right, back), (-s.gap, back)], [0.0] * 4, closed=True)
    ear = Path(
        [(x - s.ear_radius, 0.0), (x + s.ear_radius, 0.0), (x + s.ear_radius, y), (x - s.ear_radius, y)],
        [0.0, 0.0, 180.0, 0.0],
        closed=True,
    )
    corner, along, across = _STOOD.apply([(-s.gap, 0.0), (right, 0.0), (-s.gap, back)])
    return template.end_template(
        paper.moved(_STOOD),
        _STOOD.apply(done.pivot),
        title=title(job, f"{done.name}, body"),
        kind="ear drilling template",
        view=f"body at the {hand} end, from within the opening; the hinged edge ({wanted.hinged_edge}) is below",
        hand=hand,
        drawn_as="right",
        outside="right",
        holes=[(wanted.pin_diameter, "pin")],
        faces=[
            template.Face("edge of the opening", corner, across),
            template.Face("outer surface", corner, along),
        ],
        inside=[ear.moved(_STOOD)],
        notes=[f"Ear of {s.ear_radius:g} mm round the pin, on the body.", DO_NOT],
        revision=revision(job),
        **lengths(job),
    )


def blank(done: BlankResult, job: Job, **options: Any) -> Drawing:
    """Return a blank with its bend lines; options as `letters` and `headed` of template.blank_template."""
    notes = [f"{done.metal}, {done.thickness:.2f} mm, inside radius {done.radius:.2f} mm", done.basis]
    if done.ears:
        notes.append(done.ears)
    notes += joint_notes(done)
    return template.blank_template(
        done.outline,
        bend_lines(done),
        title=title(job, f"{done.name}, blank"),
        holes=done.holes,
        slots=[(centre, row.size) for row in done.slots for centre in row.centres],
        labels=[
            *((row.centres[0], f"joint {row.joint}") for row in done.slots),
            *((_beside_tabs(row), f"joint {row.joint}") for row in done.tabs),
        ],
        marks=[*done.edges, *(("bottom", side) for row in done.tabs for side in row.spans.ravel())],
        notes=notes,
        revision=revision(job),
        **lengths(job),
        **options,
    )


def _beside_tabs(row: TabRow) -> tuple[float, float]:
    """Return where the name of a joint stands: on the blank, beside its first tab."""
    inward = 18.0 if row.edge == "left" else -18.0  # mm; room for the word
    return row.foot + inward, float(row.spans[0].mean())


def joint_notes(done: BlankResult) -> list[str]:
    """Return what is said of the joints of a blank: by the calliper, for a ruler's marks would eat the clearance."""
    out = []
    for row in done.tabs:
        s = row.size
        out.append(
            f"Joint {row.joint}: {_several(len(s.centres), 'tab')} {s.tab_width:.2f} mm wide, {s.tab_height:.2f} mm "
            f"past the {row.edge} edge; leave no radius at the foot, or the edge stands off."
        )
    for slot in done.slots:
        wide, high = slot.size
        out.append(
            f"Joint {slot.joint}: {_several(len(slot.centres), 'slot')} {max(wide, high):.2f} by "
            f"{min(wide, high):.2f} mm for the tabs of {slot.of}."
        )
    return out


def curved_flange_blank(done: CurvedFlangeResult, job: Job) -> Drawing:
    """Return the blank of a flange along a curved edge."""
    made = done.made
    words = lengths(job)
    show = words["show"]
    cuts = []
    if made.cuts:
        what = "slits" if made.easing == "notches" else "darts"
        cuts = [f"{made.cuts} {what}, {show(made.cut_depth)} deep: drill each at its mark, then cut to the hole."]
    return template.curved_flange_template(
        done.cut,
        done.bend_start,
        slits=done.slits,
        roots=done.roots,
        title=title(job, done.name),
        notes=[
            f"{done.metal}, {done.thickness:.2f} mm, inside radius {done.radius:.2f} mm; turn up {show(done.depth)} "
            f"through {done.angle_deg:.4g}\N{DEGREE SIGN}",
            f"Finished edge {done.edge}, radius {show(done.edge_radius)}. On the blank: edge radius "
            f"{show(made.edge_radius)}, the bend starts at radius {show(made.bend_radius)}.",
            f"The edge must {'stretch' if made.strain > 0.0 else 'shrink'} by {100.0 * abs(made.strain):.1f} %.",
            *cuts,
            *([] if done.base_on_blank is not None else ["The base goes on past the line where the bend starts."]),
            done.basis,
        ],
        revision=revision(job),
    )


def pattern(done: DevelopedResult, each: DevelopedPattern, job: Job, **options: Any) -> Drawing:
    """Return one pattern of a developed part; options as `letters` and `headed` of template.pattern_template."""
    notes = [
        f"{done.metal}, {done.thickness:.2f} mm; cut {each.count}",
        f"sizes given to the {done.sizes_are}, pattern of the middle of the sheet",
    ]
    return template.pattern_template(
        each.pattern,
        title=title(job, done.name if each.name == done.name else f"{done.name}, {each.name}"),
        notes=notes,
        revision=revision(job),
        **options,
    )


def _several(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def bend_lines(done: BlankResult) -> list[template.BendLine]:
    """Return the bend lines of a blank as they are drawn, numbered where an order was found."""
    numbers = done.order.numbers if done.order is not None else {}
    return [
        template.BendLine(
            b.centre,
            b.edge,
            ends=b.ends,
            way=b.way,
            angle_deg=b.angle_deg,
            order=numbers.get(b.name),
            tangents=b.tangents,
            sight=b.sight,
            kind=b.kind,
            name=b.name,
        )
        for b in done.bends
    ]
