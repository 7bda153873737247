"""Whether a developed part can be rolled on the shop's rolls."""

from __future__ import annotations

from foldswing.evaluation.findings import Finding
from foldswing.job import Developed, Job

_ROLLED = {"pipe": "diameter", "elbow": "diameter", "branch pipe": "diameter", "cone": "top", "oblique cone": "top"}
_SKINS = {"outside": 2, "middle": 1, "inside": 0}  # thicknesses between a diameter so measured and the bore


def roll_findings(wanted: Developed, job: Job, thickness: float, widest: float) -> list[Finding]:
    """Return what the rolls cannot do of a pipe or cone; nothing where the job names no rolls.

    Parameters
    ----------
    wanted : Developed
        The part.
    job : Job
        For its rolls.
    thickness : float
        Of its metal, mm.
    widest : float
        Of its patterns, along the rolls, mm.
    """
    rolls, by = job.rolls, _ROLLED.get(wanted.kind)
    if rolls is None or by is None:
        return []
    ends = [wanted.diameter] if by == "diameter" else [wanted.diameter, wanted.top_diameter or 0.0]
    bore = min(end for end in ends if end is not None) - _SKINS[wanted.sizes_are or "outside"] * thickness
    out = []
    if bore < rolls.diameter:
        out.append(
            Finding(
                f"The {wanted.kind} is tighter than the rolls",
                f"{max(bore, 0.0):.1f} mm inside at its smallest, the roll it goes round is {rolls.diameter:.1f} mm",
                "it stops at the roll's own curve and the seam gapes",
                "bend it a little at every roll line on the brake, or bump it over a smaller bar",
                stops_work=False,
            )
        )
    if widest > rolls.width:
        out.append(
            Finding(
                f"The {wanted.kind} is wider than the rolls",
                f"{widest:.0f} mm along its axis, the rolls take {rolls.width:.0f} mm",
                "it does not go between the rolls",
                "make it in two lengths with a seam between them, or bend it at every roll line on a longer brake",
                stops_work=False,
            )
        )
    return out
