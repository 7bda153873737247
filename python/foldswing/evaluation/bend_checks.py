"""Whether the bends of a blank can be made, how far to over-bend them, and with what force."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from foldswing import bend, bend_check, metals
from foldswing._core import InvalidInput
from foldswing._values import value
from foldswing.bend_check import Check, OverBend
from foldswing.evaluation.findings import Finding
from foldswing.job import BrakeTool, Job, Material

_TIGHT = "The bend is too tight"
_NAMED = 6  # bends named in one finding
_SHORT = "The flange is too short for the V"


@value
class BendAsked:
    """One bend as the checks take it; lengths mm.

    Attributes
    ----------
    name : str
        As the sheet calls it.
    angle_deg, radius : float
        Turned through from flat; inside radius.
    flange : float
        The shorter of the two flats beside it, outside size.
    length : float
        Of the bend line.
    grain : {'across', 'along'} or None
        How it runs to the grain; None where that is not said.
    """

    name: str
    angle_deg: float
    radius: float
    flange: float
    length: float
    grain: Literal["across", "along"] | None


@value
class BendMade:
    """What the checks say of one bend.

    Attributes
    ----------
    name : str
        As the sheet calls it.
    checks : tuple of Check
        Those for which something is given or known.
    least_radius : metals.LeastRadius
        For its way of the grain; across where that is not said.
    over_bend : OverBend or None
        None where neither a factor nor yield and modulus are known.
    force : float or None
        Of air bending, N; None where the tensile strength is not known.
    grain : {'across', 'along'} or None
        How it runs to the grain; None where that is not said.
    """

    name: str
    checks: tuple[Check, ...]
    least_radius: metals.LeastRadius
    over_bend: OverBend | None
    force: float | None
    grain: Literal["across", "along"] | None = None


@value
class BendChecks:
    """What the checks say of the bends of a blank.

    Attributes
    ----------
    metal : str or None
        Name of the metal whose figures were used; None where there is none of that name.
    sources : tuple of str
        Where its figures come from.
    springback : str
        What the over-bend is reckoned by; empty where it is not known.
    opening : float
        V opening of the force, mm.
    opening_from : {'material', 'brake', 'thickness'}
        Whether it is given with the material, the brake's, or the one recommended for the thickness.
    brake : str or None
        The brake whose limits stand in for those the material does not give; None where the job names none.
    relief : float or None
        Diameter of the relief hole where two bends meet, mm; None where none meet or the rule has ended.
    bends : tuple of BendMade
        In order.
    """

    metal: str | None
    sources: tuple[str, ...]
    springback: str
    opening: float
    opening_from: Literal["material", "brake", "thickness"]
    brake: str | None
    relief: float | None
    bends: tuple[BendMade, ...]


def outside_flange(flat: float, angle_deg: float, radius: float, thickness: float) -> float:
    """Return the outside size of a flange from its flat; past 90 degrees as it stands at 90, where the V lets go."""
    return flat + float(bend.setback(min(angle_deg, 90.0), radius, thickness))


def _over_bend(asked: BendAsked, thickness: float, metal: metals.Metal) -> tuple[OverBend | None, str]:
    """Return what to bend to, and what that is reckoned by."""
    if metal.springback:
        factor = bend_check.springback_factor(metal.springback, asked.radius, thickness)
        if not math.isnan(factor):
            return (
                bend_check.over_bend(asked.angle_deg, asked.radius, thickness, factor),
                "the factors of a tables book (values read, its column headings from memory)",
            )
    if metal.yield_upper is None or metal.modulus is None:
        return None, ""
    return (
        bend_check.over_bend_by_stiffness(
            asked.angle_deg, asked.radius, thickness, metal.yield_upper, 1e3 * metal.modulus
        ),
        f"yield {metal.yield_upper:g} MPa and modulus {metal.modulus:g} GPa by the cubic formula (Kalpakjian, from "
        "memory; it ends where R Y/(E T) on the tool is 0.5)",
    )


def _v_check(flange: float, opening: float) -> Check:
    try:
        return bend_check.check_flange(flange, opening)
    except InvalidInput:
        return Check(
            "not known",
            math.nan,
            flange,
            "The least flange for the V is not known",
            f"V opening {opening:g} mm; the chart runs from 3.96 to 254 mm",
            "",
            "bend an offcut and look whether its edge stays on the V",
        )


def _least_flange(material: Material, brake: BrakeTool | None, asked: BendAsked) -> float | None:
    """Return the shortest flange, outside size: a material's own, else what the brake's straight metal comes to."""
    if material.least_flange is not None or brake is None or not brake.least_flange:
        return material.least_flange
    return outside_flange(brake.least_flange, asked.angle_deg, asked.radius, material.thickness)


def check_bends(
    material: Material, job: Job, bends: Sequence[BendAsked], *, corners: bool, brake: BrakeTool | None = None
) -> BendChecks:
    """Check the bends of a blank.

    Parameters
    ----------
    material : Material
        Its sheet, with the brake's limits where they are given.
    job : Job
        For the shop's own metals.
    bends : sequence of BendAsked
        The bends.
    corners : bool
        Whether bends meet at corners.
    brake : BrakeTool or None
        Its V, least flange and greatest angle stand in for those that the material does not give.

    Returns
    -------
    BendChecks
        What is not known of the metal is left out, not guessed.
    """
    thickness = material.thickness
    known = metals.find(material.metal, [own.metal for own in job.metal])
    metal = known or metals.Metal(material.metal)
    given = material.v_opening or (brake.v_opening if brake is not None else None)
    most = material.tool_angle or (brake.greatest_angle if brake is not None else None)
    opening = given or bend_check.v_opening(thickness)
    out, told = [], ""
    for asked in bends:
        least = metals.least_radius(metal, thickness, asked.grain or "across", asked.angle_deg)
        checks = []
        if metal.radii:
            checks.append(bend_check.check_radius(asked.radius, least.radius, asked.grain or "across"))
        if given is not None:
            checks.append(_v_check(asked.flange, given))
        if (shortest := _least_flange(material, brake, asked)) is not None:
            checks.append(bend_check.check_grip(asked.flange, thickness, shortest))
        over, how = _over_bend(asked, thickness, metal)
        told = told or how
        if most is not None:
            checks.append(bend_check.check_angle(over.angle_deg if over else asked.angle_deg, most))
        force = None
        if metal.ultimate_upper is not None and opening > thickness:
            force = bend_check.air_bend_force(metal.ultimate_upper, asked.length, thickness, opening)
        out.append(BendMade(asked.name, tuple(checks), least, over, force, asked.grain))
    relief = None
    if corners:
        reliefs = bend_check.relief_diameter([b.radius for b in bends], thickness, invalid="nan")
        relief = None if math.isnan(reliefs.max()) else float(reliefs.max())
    return BendChecks(
        known.name if known else None,
        metal.sources,
        told,
        opening,
        "material" if material.v_opening is not None else "thickness" if given is None else "brake",
        brake.name if brake is not None else None,
        relief,
        tuple(out),
    )


def findings(done: BendChecks) -> list[Finding]:
    """Return what is wrong with the bends: the same trouble of several bends once, with their names.

    A flange too short for its V stops work, and a bend tighter than any source allows. Where sources disagree about the
    radius it is said, with what the others give.
    """
    same: dict[tuple[str, str, bool], tuple[list[str], Check]] = {}
    for made in done.bends:
        for check in made.checks:
            if check.outcome != "fails":
                continue
            what, number, stops = check.what, check.number, check.what == _SHORT
            if what == _TIGHT:
                lower = [radius for _, radius in made.least_radius.others if radius <= check.there]
                stops = not lower
                what = what if stops else "The bend is tighter than one source allows"
                number += f" ({made.least_radius.source})"
                number += f"; {min(lower):.2f} mm by another" if lower else ""
            same.setdefault((what, number, stops), ([], check))[0].append(made.name)
    return [
        Finding(
            what,
            f"{', '.join(names) if len(names) <= _NAMED else f'{len(names)} bends'}: {number}",
            check.feel if stops or check.what != _TIGHT else "the outside of the bend may crack",
            check.advice if stops or check.what != _TIGHT else "bend a strip first and look at its outside for cracks",
            stops,
        )
        for (what, number, stops), (names, check) in same.items()
    ]


def relief_findings(size: float, radius: float, thickness: float) -> list[Finding]:
    """Return a finding where a corner relief is too small; none beyond the thickness where the handbook's rule ends."""
    try:
        check = bend_check.check_relief(size, radius, thickness)
    except InvalidInput:
        return []
    if check.outcome != "fails":
        return []
    return [Finding(check.what, check.number, check.feel, check.advice, False)]
