"""Pans and bent parts: the blank to cut, its bend lines, and the folded section drawn back from it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any, Literal

from foldswing import bend as bend_rules
from foldswing import bend_check, bend_order, blank
from foldswing._core.plane import Outline, Path
from foldswing._values import value
from foldswing.evaluation import bend_checks
from foldswing.evaluation.bend_checks import BendAsked, BendChecks
from foldswing.evaluation.bending import Bending
from foldswing.evaluation.edges import Finished, Kind, finish, hole_places
from foldswing.evaluation.findings import Finding, Verdict, verdict
from foldswing.evaluation.joints import (
    SlotRow,
    TabRow,
    flat_slots,
    moved,
    near_a_bend,
    other_sheet,
    past_edges,
    tab_rows,
    tabbed_outline,
    with_tabs,
)
from foldswing.evaluation.ordering import BrakeOrder, brake_used, no_order, section_order, tray_order
from foldswing.evaluation.refusals import Named, in_keys
from foldswing.job import BentPart, Job, Material, Pan, Section, Tray
from foldswing.job.parts import RULES

SIDES = {"left": "left", "right": "right", "front": "bottom", "rear": "top"}
LEFT_TO_RIGHT = {"length": "width", "width": "length"}  # a pan's length runs left to right, a job's width does
_AWAY = "the pin farther behind the skin, or drill it after bending"
ROUNDING = 1e-6  # mm; a hole that only touches a tangent line is not in the bend


@value
class BendResult:
    """One bend line, all distances from one edge of the blank; lengths mm.

    Attributes
    ----------
    name : str
        'left', 'front' or the number of the bend.
    edge : {'left', 'bottom'}
        Edge of the blank its distances are measured from; the line runs parallel to it.
    centre, sight : float
        Middle of the bend, and the line to set level with the brake's nose.
    tangents : (float, float)
        Where the metal starts and stops curving.
    ends : (float, float)
        Where the line begins and stops, measured along it from the other edge.
    angle_deg, radius : float
        Turned through from flat; inside radius.
    way : {'up', 'down'}
        Up: the flange comes toward you as you look at the blank.
    allowance, deduction, k_factor : float
        What the bend takes; the deduction is NaN at 180 degrees.
    kind : {'bend', 'return', 'tab', 'hem', 'wire', 'seam'}
        What it makes: a plain bend, a tray's return or corner tab, or a fold of a finished edge.
    """

    name: str
    edge: Literal["left", "bottom"]
    centre: float
    sight: float
    tangents: tuple[float, float]
    ends: tuple[float, float]
    angle_deg: float
    radius: float
    way: Literal["up", "down"]
    allowance: float
    deduction: float
    k_factor: float
    kind: Kind = "bend"


@value
class BlankResult:
    """A blank worked out; lengths mm.

    Attributes
    ----------
    name, verdict, explanation : str
        Verdict 'go' or 'change this first'.
    metal, basis : str
        The sheet, and where the bend figure comes from.
    thickness, radius : float
        Of the sheet; inside radius.
    length, width : float
        Of the blank without ears and tabs: across the drawing and up it.
    sheet : (float, float)
        What to shear: the blank with its ears or tabs, across and up. All distances are from this rectangle's edges.
    outline : Outline or Path
        Edge of the blank, notches, ears and tabs included, lower left corner of the sheet at the origin.
    edges : tuple of (edge, distance)
        Where flange edges lie that ears or tabs stand past.
    holes : tuple of ((x, y), diameter)
        Pin holes, and holes carried from the folded part.
    ears : str
        What the ears add, in words; empty where there are none.
    bends : tuple of BendResult
        From the left and bottom edges.
    notches : tuple of (corner, along, across)
        Metal taken out of each corner.
    folded : tuple of Path
        Outside and inside face of the folded section (of a pan: across it, left to right).
    remeasured : tuple of float
        The folded section's flats as asked for, measured on the drawn-back section: they must be the wanted ones.
    findings : tuple of Finding
        What is wrong.
    allowances : tuple of (what, in words)
        What finished edges and joggles add, by the printed rule with its source and by the neutral line.
    checks : BendChecks or None
        Whether its bends can be made, over-bend and force.
    order : BrakeOrder or None
        In which order it is bent; None where the job names no brake.
    bending : Bending or None
        What is known of its bends before it is cut; None without bends.
    tabs, slots : tuple of TabRow, of SlotRow
        For plug welds: tabs that stand past its edges, and slots for those of other parts.
    """

    name: str
    verdict: Verdict
    explanation: str
    metal: str
    basis: str
    thickness: float
    radius: float
    length: float
    width: float
    sheet: tuple[float, float]
    outline: Outline | Path
    edges: tuple[tuple[Literal["left", "bottom"], float], ...]
    holes: tuple[tuple[tuple[float, float], float], ...]
    ears: str
    bends: tuple[BendResult, ...]
    notches: tuple[tuple[str, float, float], ...]
    folded: tuple[Path, ...]
    remeasured: tuple[float, ...]
    findings: tuple[Finding, ...]
    allowances: tuple[tuple[str, str], ...] = ()
    checks: BendChecks | None = None
    order: BrakeOrder | None = None
    bending: Bending | None = None
    tabs: tuple[TabRow, ...] = ()
    slots: tuple[SlotRow, ...] = ()


def at_any_angle(basis: dict[str, Any], material: Material) -> dict[str, Any]:
    """Return what bends take at any angle: the k-factor behind a deduction, which belongs to one."""
    if "deduction" not in basis:
        return basis
    return {
        "k_factor": bend_rules.k_factor_from_deduction(
            material.deduction, 90.0, material.inside_radius, material.thickness
        )
    }


def basis_of(material: Material) -> tuple[dict[str, Any], str]:
    """Return what a bend takes as arguments of foldswing.blank, and where it comes from."""
    note = f" ({material.basis})" if material.basis else ""
    if material.test_strip is not None:
        strip = material.test_strip
        coupon = blank.Coupon(
            strip.flat,
            strip.outside_a,
            strip.outside_b,
            material.inside_radius,
            material.thickness,
            angle_deg=strip.bend_angle,
        )
        return {"coupon": coupon}, f"test strip, k-factor {coupon.k_factor:.3f}{note}"
    if material.k_factor is not None:
        return {"k_factor": material.k_factor}, f"k-factor {material.k_factor:.3f}{note}"
    if material.rule is not None:
        made = bend_rules.by_rule(90.0, material.inside_radius, material.thickness, rule=RULES[material.rule])
        return {"k_factor": made.k_factor}, f"k-factor {made.k_factor:.3f} by the rule {material.rule}, {made.source}"
    return {"deduction": material.deduction}, f"deduction {material.deduction:.2f} mm for 90\N{DEGREE SIGN}{note}"


def bend_result(
    name: str,
    line: Any,
    edge: Literal["left", "bottom"],
    ends: tuple[float, float],
    *,
    before: bool,
    kind: Kind = "bend",
) -> BendResult:
    """Return one bend line; the sight line is the one with the larger part of the blank under the brake's nose."""
    sight = line.sight[0] if before else line.sight[1]
    return BendResult(
        name,
        edge,
        line.centre,
        float(sight),
        (float(line.tangent[0]), float(line.tangent[1])),
        ends,
        line.angle_deg,
        line.radius,
        line.direction,
        line.allowance,
        line.deduction,
        line.k_factor,
        kind,
    )


def _pin_ears(pan: Pan, job: Job) -> list[blank.PinEar]:
    """Return the ears that flip panels made from a pan ask of its end flanges."""
    users = [p for p in job.flip_panel if p.pan == pan.name and p.ear_radius is not None]
    if not users:
        return []
    panel = users[0]
    hinged = SIDES[panel.hinged_edge]
    return [
        blank.PinEar(
            side,
            hinged,
            panel.pivot_from_hinged_edge,
            panel.pivot_behind_skin,
            panel.ear_radius,
            panel.pin_diameter,
        )
        for side in ("left", "right")
    ]


def pan_grain(wanted: Pan | Tray, made: BendResult) -> Literal["across", "along"] | None:
    """Return how a bend of a pan or tray runs to the grain: bends told from the left edge run front to rear."""
    if wanted.grain is None:
        return None
    return "along" if (wanted.grain == "front to rear") == (made.edge == "left") else "across"


def across_panels(wanted: Pan | Tray, ends: Sequence[str], base: str) -> list[Named]:
    """Return what the flats and bends of a pan or tray are, from one side to the other."""

    def wall(side: str) -> list[Named]:
        own = f"{side}_depth" if getattr(wanted, f"{side}_depth") is not None else "depth"
        out = [Named(own, f"the {side} flange"), Named(own, f"the {side} bend")] if wanted.flange(side) > 0.0 else []
        if isinstance(wanted, Tray) and wanted.lip(side) > 0.0:
            own = f"{side}_return" if getattr(wanted, f"{side}_return") is not None else "return_width"
            out = [Named(own, f"the {side} return"), Named("return_bend_angle", f"the {side} return's bend"), *out]
        return out

    first, last = (wall(side) for side in ends)
    return [*first, Named(base, "the base"), *reversed(last)]


def evaluate_pan(wanted: Pan, job: Job) -> BlankResult:
    """Work out the blank of a pan.

    Parameters
    ----------
    wanted : Pan
        As wanted.
    job : Job
        For its material.

    Returns
    -------
    BlankResult
        Length left to right, width front to rear.

    Raises
    ------
    InvalidInput
        When a flat comes out negative; the message says which and what to change.
    """
    material = job.material_named(wanted.material)
    basis, said = basis_of(material)
    findings: list[Finding] = []
    corners: dict[str, Any] = {}
    if wanted.corner_gap is not None:
        corners = {"notch": "gap", "corner_gap": wanted.corner_gap}

    turned = blank.Bend(90.0, material.inside_radius)

    def pan_with(past: Sequence[float]) -> blank.Pan:
        return blank.Pan(
            wanted.width,
            wanted.length,
            [wanted.flange(side) + more for side, more in zip(SIDES, past, strict=True)],
            thickness=material.thickness,
            radius=material.inside_radius,
            measured=wanted.sizes_are,
            **corners,
            **basis,
        )

    for ends, base in ((("left", "right"), "width"), (("front", "rear"), "length")):
        with in_keys(across_panels(wanted, ends, base)):  # which way it cannot be folded the pan does not say
            flats = [wanted.flange(ends[0]), getattr(wanted, base), wanted.flange(ends[1])]
            each = [p for flat in flats for p in (blank.Flat(flat, wanted.sizes_are), turned)][:-1]
            blank.Profile(each, material.thickness, **basis)
    with in_keys((), **LEFT_TO_RIGHT):
        pan = pan_with([0.0] * len(SIDES))
    eared = blank.with_ears(pan, _pin_ears(wanted, job))
    bends = []
    for side, line in zip(SIDES, eared.bend_lines, strict=True):
        upright = side in {"left", "right"}
        along = line.centre[:, 1] if upright else line.centre[:, 0]
        bends.append(
            bend_result(
                side,
                line.line,
                "left" if upright else "bottom",
                (float(along.min()), float(along.max())),
                before=side in {"right", "rear"},
            )
        )
    cut = dict(zip(SIDES, (float(n) for n in pan.notches), strict=True))
    notches = tuple(
        (f"{across} {along}", cut[along], cut[across]) for across in ("front", "rear") for along in ("left", "right")
    )
    left, right, bottom, top = (float(v) for v in eared.past)
    edges: tuple[tuple[Literal["left", "bottom"], float], ...] = ()
    if left or right:
        edges += (("left", left), ("left", left + pan.blank_length))
    if bottom or top:
        edges += (("bottom", bottom), ("bottom", bottom + pan.blank_width))
    ears = ""
    if edges:
        stand = max(left, right, bottom, top)
        ears = (
            f"Ears round the pins stand {stand:.1f} mm past the flange edges: shear {eared.length:.1f} by "
            f"{eared.width:.1f} mm, and mark everything from its edges before the ears are cut."
        )
    for at, clear in zip(eared.pins, eared.clear_of_bend, strict=True):
        hole = bend_check.check_hole(float(clear), material.thickness)
        if hole.outcome == "fails" and not any(f.what == hole.what for f in findings):
            place = f"the pin hole at {at[0]:.1f} from the left and {at[1]:.1f} from the bottom edge"
            findings.append(Finding(hole.what, f"{place}: {hole.number}", hole.feel, _AWAY, False))
    deep = pan_with([float(v) for v in eared.past])  # in the brake it is as deep as its ears stand
    order = tray_order(bend_order.Tray(deep.lengthwise, 1, deep.crosswise, 1), tuple(SIDES), job)
    findings += no_order(order, job)
    checks = bend_checks.check_bends(
        material,
        job,
        [
            BendAsked(
                made.name,
                made.angle_deg,
                made.radius,
                wanted.flange(made.name) + (material.thickness if wanted.sizes_are == "inside" else 0.0),
                made.ends[1] - made.ends[0],
                pan_grain(wanted, made),
            )
            for made in bends
        ],
        corners=True,
        brake=brake_used(order, job),
    )
    findings += bend_checks.findings(checks)
    folded = pan.lengthwise.folded
    return BlankResult(
        wanted.name,
        verdict(findings),
        pan.explanation,
        material.metal,
        said,
        material.thickness,
        material.inside_radius,
        pan.blank_length,
        pan.blank_width,
        (eared.length, eared.width),
        eared.outline,
        edges,
        tuple(((float(x), float(y)), float(d)) for (x, y), d in zip(eared.pins, eared.pin_diameters, strict=True)),
        ears,
        tuple(bends),
        notches,
        (folded.outside, folded.inside),
        tuple(float(v) for v in pan.lengthwise.remeasured),
        tuple(findings),
        (),
        checks,
        order=order,
    )


def _asked(bends: list[BendResult], length: float, wanted: BentPart | Section, material: Material) -> list[BendAsked]:
    """Return the bends of a section as the checks take them; folds of a finished edge are closed by other means."""
    ends = [0.0, *(t for made in bends for t in made.tangents), length]
    flats = [after - before for before, after in zip(ends[::2], ends[1::2], strict=True)]
    grain: dict[str | None, Literal["across", "along"]] = {"across the bends": "across", "along the bends": "along"}
    return [
        BendAsked(
            made.name,
            made.angle_deg,
            made.radius,
            bend_checks.outside_flange(min(flats[i], flats[i + 1]), made.angle_deg, made.radius, material.thickness),
            wanted.width,
            grain.get(wanted.grain),
        )
        for i, made in enumerate(bends)
        if made.kind == "bend"
    ]


def evaluate_bent_part(wanted: BentPart, job: Job) -> BlankResult:
    """Work out the blank of a part of one section.

    Parameters
    ----------
    wanted : BentPart
        As wanted.
    job : Job
        For its material.

    Returns
    -------
    BlankResult
        Length along the section, width along the bends.

    Raises
    ------
    InvalidInput
        When a flat comes out negative or the section runs into itself; the message says what to change.
    """
    material = job.material_named(wanted.material)
    basis, _ = basis_of(material)
    parts: list[blank.Flat | blank.Bend] = [blank.Flat(wanted.flats[0], wanted.lengths_are)]
    for bend, flat in zip(wanted.bend, wanted.flats[1:], strict=True):
        radius = material.inside_radius if bend.inside_radius is None else bend.inside_radius
        parts += [blank.Bend(bend.turned, radius, bend.way), blank.Flat(flat, wanted.lengths_are)]
    basis = at_any_angle(basis, material)
    names: list[Named] = []
    for i in range(len(wanted.flats)):
        names += [Named(f"flats[{i + 1}]", f"flat {i + 1}"), Named(f"bend[{i + 1}]", f"bend {i + 1}")]
    with in_keys(names):
        profile = blank.Profile(parts, material.thickness, **basis)
    return strip_result(wanted, job, profile)


def strip_result(
    wanted: BentPart | Section, job: Job, profile: blank.Profile, allowances: tuple[tuple[str, str], ...] = ()
) -> BlankResult:
    """Return the blank of a section with its edges finished and its holes carried.

    Parameters
    ----------
    wanted : BentPart or Section
        As wanted.
    job : Job
        For its material.
    profile : Profile
        The section, its edges plain.
    allowances : tuple
        What else adds to the blank, in words.

    Returns
    -------
    BlankResult

    Raises
    ------
    InvalidInput
        When a finished edge does not go onto its flat, or a hole lies off it.
    """
    material = job.material_named(wanted.material)
    _, said = basis_of(material)
    findings: list[Finding] = []
    made: Finished = finish(profile, wanted.start_edge, wanted.end_edge)
    profile = made.profile
    places = hole_places(wanted.hole, made, wanted.width)
    long = profile.developed_length
    bends = [
        bend_result(name, line, "left", (0.0, wanted.width), before=line.centre > 0.5 * long, kind=kind)
        for line, (name, kind) in zip(profile.bend_lines, made.names, strict=True)
    ]
    holes = []
    for hole, at in zip(wanted.hole, places, strict=True):
        holes.append((at, hole.diameter))
        findings += near_bend(hole.diameter, at, bends, material.thickness)
    slots = flat_slots(wanted, made, job)
    findings += other_sheet(wanted.slots, material.thickness, job)
    findings += slots_near_bends(slots, bends, material.thickness)
    tabs = tab_rows(wanted, job, long)
    before, after = past_edges(tabs)
    order = section_order(dataclasses.replace(made, profile=with_tabs(profile, tabs)), job)
    findings += no_order(order, job)
    checks = bend_checks.check_bends(
        material, job, _asked(bends, long, wanted, material), corners=False, brake=brake_used(order, job)
    )
    findings += bend_checks.findings(checks)
    folded = profile.folded
    return BlankResult(
        wanted.name,
        verdict(findings),
        "",
        material.metal,
        said,
        material.thickness,
        material.inside_radius,
        long,
        wanted.width,
        (before + long + after, wanted.width),
        Outline(tabbed_outline(long, wanted.width, tabs)),
        tuple(("left", row.foot) for row in tabs),
        tuple(((x + before, y), diameter) for (x, y), diameter in holes),
        "",
        tuple(farther(bend, before) for bend in bends),
        (),
        (folded.outside, folded.inside),
        tuple(float(v) for v in profile.remeasured),
        tuple(findings),
        (*allowances, *made.allowances),
        checks,
        order,
        tabs=tabs,
        slots=moved(slots, before, 0.0),
    )


def farther(bend: BendResult, by: float) -> BendResult:
    """Return a bend line as it is told from an edge that stands farther out."""
    if by == 0.0:
        return bend
    low, high = bend.tangents
    return dataclasses.replace(bend, centre=bend.centre + by, sight=bend.sight + by, tangents=(low + by, high + by))


def _clear_of_bends(
    half: tuple[float, float], at: Sequence[float], bends: Sequence[BendResult]
) -> tuple[float, str] | None:
    """Return how far a cut stands off the nearest bend beside it, and which; `half` its size left to right and up."""
    nearest: tuple[float, str] | None = None
    for bend in bends:
        i, k = (0, 1) if bend.edge == "left" else (1, 0)
        if not bend.ends[0] - half[k] < at[k] < bend.ends[1] + half[k]:
            continue
        low, high = bend.tangents
        clear = max(low - at[i], at[i] - high) - half[i]
        if nearest is None or clear < nearest[0]:
            nearest = (clear, bend.name)
    if nearest is None:
        return None
    clear, name = nearest
    return (0.0 if -ROUNDING <= clear < 0.0 else clear), name


def slots_near_bends(rows: Sequence[SlotRow], bends: Sequence[BendResult], thickness: float) -> list[Finding]:
    """Return a finding for every row of slots too near a bend of the same blank."""
    out = []
    for row in rows:
        half = (0.5 * row.size[0], 0.5 * row.size[1])
        found = [f for at in row.centres.tolist() if (f := _clear_of_bends(half, at, bends)) is not None]
        if found:
            clear, name = min(found)
            out += near_a_bend(clear, name, row, thickness)
    return out


def near_bend(diameter: float, at: tuple[float, float], bends: Sequence[BendResult], thickness: float) -> list[Finding]:
    """Return a finding where a hole runs into a bend or is too near one: there it is pulled oval.

    Parameters
    ----------
    diameter : float
        Of the hole, mm.
    at : (float, float)
        Its centre on the blank.
    bends : sequence of BendResult
        Of the same blank.
    thickness : float
        Of the sheet, mm.

    Returns
    -------
    list of Finding
        None, or one: the nearest bend's.
    """
    nearest = _clear_of_bends((0.5 * diameter, 0.5 * diameter), at, bends)
    if nearest is None:
        return []
    clear, name = nearest
    hole = bend_check.check_hole(clear, thickness)
    if hole.outcome != "fails":
        return []
    place = f"at {at[0]:.1f} from the left and {at[1]:.1f} from the bottom edge"
    return [
        Finding(
            hole.what.replace("a bend", f"the bend '{name}'"), f"{place}: {hole.number}", hole.feel, hole.advice, False
        )
    ]
