"""Trays and ready sections: the blank to cut, its bend lines, and holes carried from the folded part."""

from __future__ import annotations

import math
from typing import Any, Literal

import numpy as np

from foldswing import bend_order, plane, ready_section, tray
from foldswing._core import InvalidInput
from foldswing._core.blank import Profile
from foldswing._core.plane import Pose
from foldswing.evaluation import bend_checks
from foldswing.evaluation.bend_checks import BendAsked
from foldswing.evaluation.blanks import (
    LEFT_TO_RIGHT,
    ROUNDING,
    SIDES,
    BendResult,
    BlankResult,
    across_panels,
    at_any_angle,
    basis_of,
    bend_result,
    farther,
    near_bend,
    pan_grain,
    slots_near_bends,
    strip_result,
)
from foldswing.evaluation.edges import Kind
from foldswing.evaluation.findings import Finding, verdict
from foldswing.evaluation.joints import moved, other_sheet, panel_slots, places_on_panel
from foldswing.evaluation.ordering import BrakeOrder, brake_used, no_order, tray_order
from foldswing.evaluation.refusals import in_keys
from foldswing.job import Job, Material, PanelHole, PanelSlots, Section, Tray

_MITRE = 0.2  # mm between mitred returns where the job says nothing; one supplier's least
_TOLD = {side: name for name, side in SIDES.items()}


def _corners(wanted: Tray) -> dict[str, Any]:
    out: dict[str, Any] = {"relief": wanted.relief, "relief_size": wanted.relief_size or 0.0}
    out["relief_past"] = wanted.relief_past or 0.0
    if wanted.corner_gap is None:
        out["corner_gap"] = _MITRE
    else:
        out |= {"notch": "gap", "corner_gap": wanted.corner_gap}
    if wanted.tabs_on is not None:
        out |= {
            "lapped": [SIDES[side] for side in wanted.tabs_on.split(" and ")],
            "lap_width": wanted.tab_width,
            "lap_holes": wanted.tab_holes or 0,
            "lap_hole_diameter": wanted.tab_hole_diameter or 0.0,
        }
    return out


def _name(line: tray.TrayLine, made: tray.Tray) -> tuple[str, Kind]:
    """Return what a bend of a tray is called, and its kind."""
    side = _TOLD[line.side]
    if line.kind == "flange":
        return side, "bend"
    if line.kind == "return":
        return f"{side} return", "return"
    upright = side in {"left", "right"}
    ends = ("front", "rear") if upright else ("left", "right")
    middle = 0.5 * (made.blank_width if upright else made.blank_length)
    return f"{side} tab, {ends[line.line.centre > middle]}", "tab"


def evaluate_tray(wanted: Tray, job: Job) -> BlankResult:
    """Work out the blank of a tray.

    Parameters
    ----------
    wanted : Tray
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
        When the tray cannot be folded or a hole lies off its panel; the message says what to change.
    """
    material = job.material_named(wanted.material)
    basis, said = basis_of(material)
    findings: list[Finding] = []
    returns = [
        tray.Return(wanted.lip(side), wanted.return_bend_angle, wanted.returns_turn) if wanted.lip(side) > 0.0 else None
        for side in SIDES
    ]
    if any(r is not None and r.angle_deg != 90.0 for r in returns):
        basis = at_any_angle(basis, material)
    try:
        made = tray.Tray(
            wanted.width,
            wanted.length,
            [wanted.flange(side) for side in SIDES],
            returns=returns,
            thickness=material.thickness,
            radius=material.inside_radius,
            measured=wanted.sizes_are,
            **_corners(wanted),
            **basis,
        )
    except InvalidInput as why:
        up = str(why).startswith("width section")
        parts = across_panels(wanted, *((("front", "rear"), "length") if up else (("left", "right"), "width")))
        with in_keys(parts, **LEFT_TO_RIGHT, lap_width="tab_width", lap_hole_diameter="tab_hole_diameter"):
            raise
    drawn = made.outline.flatten(ROUNDING)
    low, high = drawn.min(axis=0), drawn.max(axis=0)  # tabs may stand past the flange edges
    shift = [max(0.0, -float(v)) for v in low]
    bends = [_bend(line, made, shift) for line in made.bend_lines]
    holes = [((float(h.at[0]) + shift[0], float(h.at[1]) + shift[1]), h.diameter) for h in made.holes]
    for i, hole in enumerate(wanted.hole, start=1):
        centre = np.array([[hole.along, hole.up]]), (0.0, 0.0)
        _keep_on_panel(wanted, hole, centre, material.thickness, f"hole[{i}]")
        x, y = made.place(hole.panel, None if hole.side is None else SIDES[hole.side], hole.along, hole.up)
        at = (float(x) + shift[0], float(y) + shift[1])
        holes.append((at, hole.diameter))
        where = f"{hole.side} {hole.panel}" if hole.side else hole.panel
        round_it = _corners_round((float(x), float(y)), hole.diameter)
        findings += _off_panel(made, round_it, at, f"A hole of the {where}") or near_bend(
            hole.diameter, at, bends, material.thickness
        )
    for i, joint in enumerate(wanted.slots, start=1):
        _keep_on_panel(wanted, joint, places_on_panel(joint, job), material.thickness, f"slots[{i}]")
    on_blank = panel_slots(wanted.slots, made, SIDES, job)
    slots = moved(on_blank, *shift)
    for row, told in zip(slots, on_blank, strict=True):
        off = [
            found
            for centre, at in zip(told.centres, row.centres, strict=True)
            for found in _off_panel(made, _corners_of(centre, row.size), at, f"A slot of joint {row.joint}")
        ]
        findings += off[:1] or slots_near_bends([row], bends, material.thickness)
    findings += other_sheet(wanted.slots, material.thickness, job)
    order = _order(made, bends, job)
    findings += no_order(order, job)
    checks = bend_checks.check_bends(
        material,
        job,
        [
            BendAsked(
                told.name,
                told.angle_deg,
                told.radius,
                _flange(wanted, told, material),
                told.ends[1] - told.ends[0],
                pan_grain(wanted, told),
            )
            for told in bends
        ],
        corners=True,
        brake=brake_used(order, job),
    )
    findings += bend_checks.findings(checks)
    if wanted.relief_size is not None and wanted.relief != "slit":
        findings += bend_checks.relief_findings(wanted.relief_size, material.inside_radius, material.thickness)
    folded = made.lengthwise.folded
    return BlankResult(
        wanted.name,
        verdict(findings),
        made.explanation + ".",
        material.metal,
        said,
        material.thickness,
        material.inside_radius,
        made.blank_length,
        made.blank_width,
        (float(high[0]) + shift[0], float(high[1]) + shift[1]),
        made.outline.moved(Pose(shift[0], shift[1], 0.0)),
        (),
        tuple(holes),
        "",
        tuple(bends),
        (),
        (folded.outside, folded.inside),
        tuple(float(v) for v in made.lengthwise.remeasured),
        tuple(findings),
        (),
        checks,
        order,
        slots=slots,
    )


_TABS = (
    "The corner tabs are not in this order, and were not looked at: turn them up first, with fingers that end short of "
    "them at every later bend, or last, over a dolly"
)
_FLAT_RETURNS = "Returns folded flat are closed hems, which no brake makes in one bend"


def _order(made: tray.Tray, bends: list[BendResult], job: Job) -> BrakeOrder | None:
    """Return the order of the bends that run from edge to edge; corner tabs are short of them."""
    across, up = (
        sorted((b for b in bends if b.edge == edge and b.kind != "tab"), key=lambda b: b.centre)
        for edge in ("left", "bottom")
    )
    before = [sum(b.name.split()[0] == side for b in row) for row, side in ((across, "left"), (up, "front"))]
    left_out: tuple[str, ...] = (_TABS,) if any(b.kind == "tab" for b in bends) else ()
    if any(r is not None and r.angle_deg == 180.0 for r in made.returns):
        left_out += (_FLAT_RETURNS,)
    part = bend_order.Tray(made.lengthwise, before[0], made.crosswise, before[1])
    return tray_order(part, [b.name for b in (*across, *up)], job, left_out)


def _flange(wanted: Tray, told: BendResult, material: Material) -> float:
    """Return the outside size of what a bend of a tray turns up: the flange, its return or its tab."""
    if told.kind == "tab":
        return wanted.tab_width or 0.0
    side = told.name.split()[0]
    if told.kind == "return":
        return wanted.lip(side)
    return wanted.flange(side) + (material.thickness if wanted.sizes_are == "inside" else 0.0)


def _bend(line: tray.TrayLine, made: tray.Tray, shift: list[float]) -> BendResult:
    name, kind = _name(line, made)
    upright = abs(float(line.centre[0, 0] - line.centre[1, 0])) <= abs(float(line.centre[0, 1] - line.centre[1, 1]))
    edge: Literal["left", "bottom"] = "left" if upright else "bottom"
    by, beside = (shift[0], shift[1]) if upright else (shift[1], shift[0])
    along = line.centre[:, 1 if upright else 0]
    # the base is the larger part: it goes under the brake's nose; a tab's flange is
    before = float(line.line.centre_from_end) < line.line.centre
    told = bend_result(
        name, line.line, edge, (float(along.min()) + beside, float(along.max()) + beside), before=before, kind=kind
    )
    return farther(told, by)


def _keep_on_panel(
    wanted: Tray,
    row: PanelHole | PanelSlots,
    cuts: tuple[np.ndarray, tuple[float, float]],
    thickness: float,
    name: str,
) -> None:
    """Refuse cuts, by their places (along, up) and the size of each, that run off the panel they are drawn on.

    Raises
    ------
    InvalidInput
        Naming the size to change.
    """
    walls = 2.0 * thickness if wanted.sizes_are == "inside" else 0.0
    across, deep = wanted.width + walls, wanted.length + walls
    if row.side is None:
        panel, limits = "base", (across, deep)
    else:
        panel = f"{row.side} {row.panel}"
        up = wanted.flange(row.side) + 0.5 * walls if row.panel == "flange" else wanted.lip(row.side)
        limits = (deep if row.side in {"left", "right"} else across, up)
    places, size = cuts
    half = 0.5 * np.array(size)
    low, high = places.min(axis=0) - half, places.max(axis=0) + half
    for i, key in enumerate(("along", "up")):
        if low[i] < 0.0 or high[i] > limits[i]:
            raise InvalidInput(
                f"{name}.{key} must stay on the {panel}, 0 to {limits[i]:g} mm, got {getattr(row, key):g} mm"
                + ("" if low[i] == high[i] else f": the slots would reach from {low[i]:.2f} to {high[i]:.2f} mm")
            )


def _corners_round(at: tuple[float, float], diameter: float) -> list[tuple[float, float]]:
    """Return points round a hole."""
    return [
        (at[0] + 0.5 * diameter * math.cos(t), at[1] + 0.5 * diameter * math.sin(t))
        for t in (k * math.pi / 8 for k in range(16))
    ]


def _corners_of(at: Any, size: tuple[float, float]) -> list[tuple[float, float]]:
    """Return the corners of a slot."""
    x, y = (float(v) for v in at)
    return [(x + a * size[0], y + b * size[1]) for a in (-0.5, 0.5) for b in (-0.5, 0.5)]


def _off_panel(made: tray.Tray, ring: list[tuple[float, float]], at: Any, what: str) -> list[Finding]:
    """Return a finding where a hole or slot is not wholly on the metal; `at` its centre from the sheet's edges."""
    edge = made.outline.outline(ROUNDING)
    if not all(plane.locate(edge, p) == "inside" for p in ring):
        return [
            Finding(
                f"{what} is not on the metal",
                f"its edge leaves the blank, at {at[0]:.1f} from the left and {at[1]:.1f} from the bottom edge",
                "it opens into an edge or a corner notch",
                "farther in, or a smaller one",
                True,
            )
        ]
    return []


def evaluate_section(wanted: Section, job: Job) -> BlankResult:
    """Work out the blank of a section by its trade name.

    Parameters
    ----------
    wanted : Section
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
        When the section cannot be folded; the message names the size to change.
    """
    material = job.material_named(wanted.material)
    basis, _ = basis_of(material)
    metal: dict[str, Any] = {"thickness": material.thickness, "radius": material.inside_radius, **basis}
    w, said = wanted, ()
    other = w.flange if w.other_flange is None else w.other_flange
    profile: Profile
    second = "flange" if w.other_flange is None else "other_flange"
    if w.kind == "angle":
        turned = 90.0 if w.bend_angle is None else w.bend_angle
        if turned != 90.0:
            metal = {**_bare(metal), **at_any_angle(basis, material)}
        with in_keys((), leg_a="flange", leg_b="other_flange"):
            profile = ready_section.angle(w.flange, w.other_flange, angle_deg=turned, **metal)
    elif w.kind == "channel":
        with in_keys((), flange_a="flange", flange_b=second):
            profile = ready_section.channel(w.flange, w.web, other, **metal)
    elif w.kind == "lipped channel":
        profile = ready_section.lipped_channel(w.lip, w.flange, w.web, **metal)
    elif w.kind == "hat":
        profile = ready_section.hat(w.brim, w.height, w.top, **metal)
    elif w.kind == "Z":
        with in_keys((), flange_a="flange", flange_b=second):
            profile = ready_section.zed(w.flange, w.height, other, **metal)
    else:
        return _joggle(wanted, job, material, basis)
    return strip_result(wanted, job, profile, said)


def _bare(metal: dict[str, Any]) -> dict[str, Any]:
    return {name: metal[name] for name in ("thickness", "radius")}


def _joggle(wanted: Section, job: Job, material: Material, basis: dict[str, Any]) -> BlankResult:
    basis = at_any_angle(basis, material)
    k_factor = basis["coupon"].k_factor if "coupon" in basis else basis["k_factor"]
    made = ready_section.joggle(
        wanted.before,
        wanted.depth,
        wanted.run_out,
        wanted.after,
        thickness=material.thickness,
        radius=material.inside_radius,
        k_factor=k_factor,
    )
    short = "; the run-out is under 4 depths (common practice, no source: 4 to 6)" if made.short_run_out else ""
    words = (
        f"adds {made.take_up:.2f} mm to the finished length: two bends of {made.angle_deg:.1f}\N{DEGREE SIGN} with "
        f"{made.slope:.1f} mm flat between. Valid where it is bent as two straight bends; pressed in by a die it "
        f"stretches, and this is the most it can ask{short}"
    )
    return strip_result(wanted, job, made.profile, (("Joggle", words),))
