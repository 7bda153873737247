"""A flip panel: how far it turns, which way it shows its faces, what its hinged edge passes on the way."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from foldswing import flip_panel, hinge, tolerance
from foldswing._values import value
from foldswing.evaluation.findings import (
    SAGITTA,
    Approach,
    Finding,
    Likely,
    Verdict,
    Wants,
    approaches,
    judge,
    stands,
    verdict,
)
from foldswing.job import FlipPanel, Job

NO_OTHER = 0.005  # mm; gaps that print alike are alike
CURE = "a larger bend radius on the hinged edge, a wider gap, a shallower return, or the pivot moved"


@value
class Faces:
    """Which way the two faces look at one stop, in words."""

    stop: str
    opening_deg: float
    outer: str
    inner: str


@value
class FlipResult:
    """A flip panel worked out; lengths mm, angles degrees.

    Attributes
    ----------
    name, verdict : str
        Verdict is 'go' or 'change this first'.
    sizes : flip_panel.Sizes
        What the section was built from.
    opening_deg : float
        Angle it turns through.
    faces : tuple of Faces
        Which way each face looks, shut and open.
    pivot : (2,) ndarray
        In the skin: from the hinged edge, and behind the outer surface.
    closest : tuple of Approach
        Closest approach to the body at the hinged edge and at the free edge.
    room_behind, reach_out, stands_out : float
        Highest the panel reaches behind the outer surface, farthest it comes out of it on the way, and how far it
        stands out when open; all square to the skin.
    metal_at_pin, metal_without_ears : float
        Between the pin's hole and the nearest edge of the panel's flange, ears included; and what it would be without.
    ears : str
        What the ears change, in words; empty where there are none.
    findings : tuple of Finding
        What is wrong.
    """

    name: str
    verdict: Verdict
    sizes: flip_panel.Sizes
    opening_deg: float
    faces: tuple[Faces, ...]
    pivot: np.ndarray
    closest: tuple[Approach, ...]
    room_behind: float
    reach_out: float
    stands_out: float
    metal_at_pin: float
    metal_without_ears: float
    ears: str
    findings: tuple[Finding, ...]


def section(wanted: FlipPanel, job: Job) -> flip_panel.Sizes:
    """Return the sizes of a flip panel's section."""
    pan = job.pan_named(wanted.pan)
    material = job.material_named(pan.material)
    rises = wanted.hinged_edge == wanted.lower_edge
    return flip_panel.Sizes(
        length=pan.length,
        depth=pan.flange(wanted.hinged_edge),
        skin_thickness=wanted.return_thickness or material.thickness,
        corner_radius=material.inside_radius + material.thickness,
        gap=wanted.gap,
        return_depth=wanted.return_depth,
        slope_deg=wanted.slope if rises else -wanted.slope,
        pivot_from_edge=wanted.pivot_from_hinged_edge,
        pivot_behind_skin=wanted.pivot_behind_skin,
        ear_radius=wanted.ear_radius or 0.0,
    )


def _without_ears(sizes: flip_panel.Sizes) -> flip_panel.Sizes:
    return flip_panel.Sizes(**{**sizes.to_dict(), "ear_radius": 0.0})


def _ears_said(with_ears: tuple[Approach, ...], bare: tuple[Approach, ...], radius: float) -> str:
    """Return what the ears do to the closest approaches."""
    changed = [
        f"{a.body}: {a.bare:.2f} mm at {a.opening_deg:.1f}\N{DEGREE SIGN} (without ears {b.bare:.2f})"
        for a, b in zip(with_ears, bare, strict=True)
        if a.depth != b.depth or abs(a.bare - b.bare) > NO_OTHER
    ]
    head = f"radius {radius:g} mm round each pin, on the panel's end flanges and on the body; counted in all gaps here."
    if changed:
        return f"{head} They come nearer than the panel without them: {'; '.join(changed)}"
    least = min(with_ears, key=stands)
    stays = f"it stays {least.bare:.2f} mm at {least.opening_deg:.1f}\N{DEGREE SIGN}"
    return f"{head} They change no closest approach: {stays}"


def looks(elevation_deg: float, toward: Literal["forward", "rearward"]) -> str:
    """Return a direction in words: its elevation measured from level in the direction `toward`."""
    other = "forward" if toward == "rearward" else "rearward"
    rise = math.asin(math.sin(math.radians(elevation_deg)))
    steep = math.degrees(rise)
    way = toward if abs(elevation_deg) < 90.0 else other
    if abs(steep) > 89.95:
        return "straight up" if steep > 0.0 else "straight down"
    if abs(steep) < 0.05:
        return way
    return f"{way} and {abs(steep):.1f}\N{DEGREE SIGN} {'up' if steep > 0.0 else 'down'}"


def evaluate_flip_panel(wanted: FlipPanel, job: Job) -> FlipResult:
    """Work out one flip panel of a job.

    Parameters
    ----------
    wanted : FlipPanel
        As measured and wanted.
    job : Job
        For its pan, material and paint.

    Returns
    -------
    FlipResult
        With findings where it fouls, shows the wrong face, or lacks room or metal.

    Raises
    ------
    InvalidInput
        When the sizes make no panel.
    """
    sizes = section(wanted, job)
    opens: Literal["down", "up"] = "down" if wanted.opens == "down" else "up"
    toward: Literal["forward", "rearward"] = "rearward" if wanted.hinged_edge == "front" else "forward"
    opening = wanted.turn if wanted.turn is not None else flip_panel.opening_to_upright(sizes, opens)
    pivot = flip_panel.pivot(sizes)
    motion = hinge.PivotHinge(pivot, 0.0, -opening if opens == "down" else opening)
    plain = _without_ears(sizes)
    around = {
        "return at the hinged edge": flip_panel.hinged_side(sizes),
        "skin at the free edge": flip_panel.free_side(sizes),
    }
    bodies = {name: path.outline(SAGITTA) for name, path in around.items()}
    coat = 2.0 * job.paint.per_face if job.paint else 0.0
    marks = [("shut", 0.0), ("open", 1.0)]
    wants = Wants(dict.fromkeys(bodies, coat), dict.fromkeys(bodies, wanted.moving_gap))

    obstacles = {
        name: tolerance.Obstacle(path, across=job.errors.measured, contact=coat) for name, path in around.items()
    }

    def passes(shape: flip_panel.Sizes, *, likely: bool = False) -> tuple[Approach, ...]:
        path = flip_panel.panel(shape)
        errors = Likely(path, obstacles, job.errors.hole) if likely else None
        return approaches(path.outline(SAGITTA), bodies, motion, marks, wants, likely=errors)

    closest = passes(sizes, likely=True)
    ears = _ears_said(closest, passes(plain), wanted.ear_radius) if wanted.ear_radius else ""
    findings = judge(closest, CURE)
    faces = tuple(
        Faces(
            stop,
            turned,
            looks(flip_panel.outer_face_looks(sizes, opens, turned), toward),
            looks(flip_panel.inner_face_looks(sizes, opens, turned), toward),
        )
        for stop, turned in (("shut", 0.0), ("open", opening))
    )
    seen = faces[-1].inner if wanted.seen_face == "inner" else faces[-1].outer
    if not seen.startswith(wanted.seen_facing):
        findings.append(
            Finding(
                f"The {wanted.seen_face} face looks the wrong way",
                f"it looks {seen}, not {wanted.seen_facing}",
                "the plate cannot be read from where it must be",
                "hinge it at the other edge, open it the other way, or put the plate on the other face",
                True,
            )
        )
    room = flip_panel.reach(sizes, opens, opening)
    if wanted.room_behind_skin is not None and room.behind > wanted.room_behind_skin:
        findings.append(
            Finding(
                "Not enough room behind the skin",
                f"{room.behind:.1f} mm needed, {wanted.room_behind_skin:.1f} mm there",
                "binds on what is behind",
                "the pivot nearer the hinged edge, or a shallower panel",
                True,
            )
        )
    pan = job.pan_named(wanted.pan)
    for name, plate, face in (("wide", wanted.plate_width, pan.width), ("high", wanted.plate_height, pan.length)):
        if plate is not None and plate > face:
            number = f"{plate:.1f} mm {name} on a face of {face:.1f} mm"
            cure = "a larger panel or a smaller plate"
            findings.append(Finding("The plate is larger than the panel", number, "it does not go on", cure, True))
    metal = flip_panel.metal_at_pin(sizes, wanted.pin_diameter)
    if metal < wanted.pin_diameter:
        at_ear = wanted.ear_radius is not None and metal == wanted.ear_radius - 0.5 * wanted.pin_diameter
        cure = "the pin farther from the edges of the flange"
        if wanted.ear_radius is None:
            cure = "ears round the pin on panel and body"
        elif at_ear:
            cure = "larger ears round the pin on panel and body"
        findings.append(
            Finding(
                "Little metal round the pin",
                f"{metal:.1f} mm to the nearest edge of the flange; one pin diameter, {wanted.pin_diameter:g} mm, "
                "is usual",
                "the hole tears out",
                cure,
                metal <= 0.0,
            )
        )
    return FlipResult(
        wanted.name,
        verdict(findings),
        sizes,
        opening,
        faces,
        pivot,
        closest,
        room.behind,
        room.out,
        room.stands_out,
        metal,
        flip_panel.metal_at_pin(plain, wanted.pin_diameter),
        ears,
        tuple(findings),
    )
