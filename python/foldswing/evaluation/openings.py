"""An opening of a job: its shape from the readings, what the gate is cut to, the gaps round it when it is shut."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping
from typing import Any

from foldswing import gate, opening, plane
from foldswing._core.plane import Outline
from foldswing._values import value
from foldswing.evaluation.findings import SAGITTA, Finding, Wants
from foldswing.evaluation.gate_section import section
from foldswing.job import Gate, Job, Layer

NOTICED = 1.0  # mm; within this no eye sees a gap that is out (common practice, no source)
TAPE = 1.0  # mm; how well a tape is read (common practice, no source)
LIKELY = 2.0  # standard deviations; readings farther out than this are taken for misread

EDGES = {"sill": "sill", "left": "left end", "head": "head", "right": "right end"}  # opening's word: the job's
JAMBS = {"left": "left jamb", "right": "right jamb"}
EITHER_JAMB = "jamb, each end"
END_GAPS = (EITHER_JAMB, *JAMBS.values())  # names of the gaps at the ends


@value
class ShutGap:
    """A gap round the shut gate, mm: what it measures, what it is with paint on, and what is wanted bare."""

    name: str
    bare: float
    painted: float
    wanted: float | None


@value
class OpeningResult:
    """What the gate is cut to, and the opening it goes into.

    Attributes
    ----------
    status : str
        As opening.fit; 'not measured' where the heights of the opening were not given.
    fit : {'square', 'to the opening'}
        How the gate is cut.
    shape : opening.Opening or None
        The opening; None where its heights were not given.
    panel : opening.Panel or None
        The gate in it, bare metal, and the gaps along its edges; None where there is no shape.
    width, height : float
        Of the gate, mm; of one cut to the opening its lower edge, and the mean of its ends. NaN where none goes in.
    findings : tuple of Finding
        What is wrong.
    """

    status: str
    fit: str
    shape: opening.Opening | None
    panel: opening.Panel | None
    width: float
    height: float
    findings: tuple[Finding, ...]


def coat(job: Job) -> float:
    """Return the paint on one face, mm."""
    return job.paint.per_face if job.paint else 0.0


def with_bare_gaps(wanted: Gate, job: Job) -> Gate:
    """Return the gate with every gap wanted stated between bare metal: a painted one gains the paint on both faces."""
    if wanted.gaps.are == "bare":
        return wanted
    own = coat(job)

    def bare(gap: float | None, other: float = own) -> float | None:
        return None if gap is None else float(opening.bare_gap(gap, own, other))

    names = ("moving", "nose", "sill", "head", "ends", "left_end", "right_end")
    gaps: dict[str, Any] = {name: bare(getattr(wanted.gaps, name)) for name in names}
    bodies = [
        dataclasses.replace(
            b,
            moving_gap=bare(
                b.moving_gap if b.moving_gap is not None else wanted.gaps.moving, own if b.painted else 0.0
            ),
        )
        for b in wanted.body
    ]
    stops = [dataclasses.replace(s, nose_gap=bare(s.nose_gap)) for s in wanted.stop]
    # what fills an end gap fills the painted one
    coats = (Layer(name="paint, gate and jamb", thickness=2.0 * own),) if wanted.end_stack and own > 0.0 else ()
    return dataclasses.replace(
        wanted,
        gaps=dataclasses.replace(wanted.gaps, are="bare", **gaps),
        end_stack=(*wanted.end_stack, *coats),
        body=tuple(bodies),
        stop=tuple(stops),
    )


def with_sizes(wanted: Gate, cut: OpeningResult) -> Gate:
    """Return the gate with the width and height it is cut to, as its section takes them."""
    panel = dataclasses.replace(wanted.panel, width=cut.width, height=cut.height, fit="square")
    return dataclasses.replace(wanted, panel=panel)


def evaluate_opening(wanted: Gate, job: Job) -> OpeningResult:
    """Return the opening of a gate and what the gate is cut to.

    Parameters
    ----------
    wanted : Gate
        With bare gaps (see with_bare_gaps).
    job : Job
        For the paint and the errors of its shop.

    Returns
    -------
    OpeningResult
        Where the heights of the opening were not given, or no opening has the sizes read, the gate is as wide as the
        narrower width leaves.

    Raises
    ------
    InvalidInput
        When the sizes make no gate.
    """
    o, p = wanted.opening, wanted.panel
    sizes = section(wanted)
    findings = list(_out_of_square(wanted))
    status, shape = "not measured", None
    if o.height_left is not None:
        rising, falling = o.diagonals or (None, None)
        shape = opening.fit(
            o.width_top,
            o.width_bottom,
            o.height_left,
            o.height_right,
            diagonal_rising=rising,
            diagonal_falling=falling,
            reading_error=max(TAPE, LIKELY * job.errors.measured),
        )
        status = shape.status
        findings += _readings(shape)
    if shape is None or shape.status == "impossible":
        ends = wanted.gaps.ends if wanted.gaps.ends is not None else wanted.gaps.left_end
        width = p.width or gate.width_between(o.width_top, o.width_bottom, ends)
        return OpeningResult(status, p.fit, shape, None, width, sizes.height, tuple(findings))
    findings += _against_section(wanted, sizes, shape)
    at_sill = max(0.0, _room(gate.panel(sizes).outline(SAGITTA), gate.sill(sizes).outline(SAGITTA)))
    panel = _cut(wanted, shape, at_sill, job)
    findings += _edges(panel, at_sill)
    if panel.status == "none":
        lack = Finding(
            "No gate goes into the opening with the gaps wanted",
            panel.explanation,
            "it does not go in",
            "smaller gaps, another seal, or true the opening",
            stops_work=True,
        )
        return OpeningResult(status, p.fit, shape, panel, math.nan, math.nan, (*findings, lack))
    height = 0.5 * float(panel.sides[1] + panel.sides[3])
    return OpeningResult(status, p.fit, shape, panel, float(panel.sides[0]), height, tuple(findings))


def _cut(wanted: Gate, shape: opening.Opening, at_sill: float, job: Job) -> opening.Panel:
    """Return the gate in its opening; a size that was given is kept, the other is worked out."""
    g, p = wanted.gaps, wanted.panel
    left = g.left_end if g.left_end is not None else g.ends
    right = g.right_end if g.right_end is not None else g.ends
    gaps = {"sill": at_sill, "right": right or 0.0, "head": g.head or 0.0, "left": left or 0.0}
    seals = {edge: opening.Seal(s.free, s.squeezed) for s in wanted.seal for edge in EDGES if EDGES[edge] == s.edge}
    paint = coat(job)
    options: dict[str, Any] = {"seals": seals, "paint_panel": paint, "paint_body": paint}
    if p.fit == "to the opening":
        return opening.matched_panel(shape, gaps, **options)
    width, height = p.width, p.height
    if width is None and height is None:
        return opening.square_panel(shape, gaps, **options)
    if width is None or height is None:
        found = (
            opening.longest_panel(shape, gaps, across=height, **options)
            if width is None
            else opening.deepest_panel(shape, gaps, along=width, **options)
        )
        if found.status == "none":
            return found
        width, height = float(found.sides[0]), float(found.sides[1])
    return opening.given_panel(shape, gaps, along=width, across=height, hinge_gap=at_sill, **options)


def _out_of_square(wanted: Gate) -> Iterator[Finding]:
    """Yield what pairs of readings say of the opening; within 1 mm no eye sees it."""
    o = wanted.opening
    feel, cure = "the gap tapers along a square gate", "cut the gate to the opening (fit), or true the opening first"
    if wanted.panel.fit == "to the opening":
        feel = "a gate cut to it binds when it is put in the other way round"
        cure = "mark the gate's outer face, top and ends"
    pairs: dict[str, Any] = {
        "diagonals": o.diagonals,
        "widths": (o.width_top, o.width_bottom),
        "heights": (o.height_left, o.height_right) if o.height_left is not None else None,
    }
    for name, pair in pairs.items():
        if pair and abs(pair[0] - pair[1]) > NOTICED:
            yield Finding(
                f"The opening is not square: its {name} differ",
                f"by {abs(pair[0] - pair[1]):.1f} mm",
                feel,
                cure,
                stops_work=False,
            )


def _readings(shape: opening.Opening) -> Iterator[Finding]:
    """Yield what is to be said of the readings of an opening."""
    what, number, stops = {
        "checked": ("", "", False),
        "misread": (
            "The sizes read of the opening do not agree",
            f"even the best shape misses one by {shape.worst_misfit:.1f} mm",
            True,
        ),
        "decided": ("One diagonal of the opening was not read", "5 sizes of 6: nothing checks them", False),
        "assumed": (
            "No diagonal of the opening was read",
            "4 sizes of 6: it was taken to be as square as can be",
            False,
        ),
        "impossible": ("No opening has the sizes read", "they cannot be drawn", True),
    }[shape.status]
    if what:
        feel = "a gate cut to it binds at a corner or gapes"
        yield Finding(what, number, feel, shape.explanation, stops_work=stops)


def _against_section(wanted: Gate, sizes: gate.Sizes, shape: opening.Opening) -> Iterator[Finding]:
    """Yield whether sill and head in the section agree with the heights of the opening."""
    if wanted.panel.leans != "upright":
        return  # the heights are then measured along the leaning jambs
    between = sizes.head_above_worktop + sizes.sill_below_worktop
    low, high = sorted((float(shape.sizes[2]), float(shape.sizes[3])))
    if low - TAPE <= between <= high + TAPE:
        return
    yield Finding(
        "The head and the sill in the section do not agree with the heights of the opening",
        f"{between:.1f} mm from sill to head in the section, {low:.1f} to {high:.1f} mm at the jambs",
        "the gap at the head comes out wrong",
        "measure head_above_worktop, sill_below_worktop and both heights again",
        stops_work=False,
    )


def _edges(panel: opening.Panel, at_sill: float) -> Iterator[Finding]:
    """Yield which seals do not do their work; gaps that are out are told with the gaps of the shut gate."""
    for g in panel.gaps:
        if g.seal is None:
            continue
        name = EDGES[g.edge]
        seal = f"the seal is {g.seal.free:.1f} mm free, {g.seal.squeezed:.1f} squeezed"
        if g.edge == "sill" and g.needed > at_sill + NOTICED:
            yield Finding(
                "The seal at the sill needs more gap than the lower edge leaves",
                f"{g.needed:.1f} mm needed bare, {at_sill:.1f} mm there",
                "it will not shut",
                "a thinner seal, or the lower edge higher (lower_edge_below_worktop smaller)",
                stops_work=True,
            )
        elif g.state == "leaks":
            yield Finding(
                f"The seal at the {name} does not touch everywhere",
                f"the painted gap opens to {g.greatest_painted:.1f} mm; {seal}",
                "it leaks and rattles there",
                "cut the gate to the opening, a thicker seal, or a smaller gap",
                stops_work=False,
            )
        elif g.state == "will not shut":
            yield Finding(
                f"The seal at the {name} is pressed too hard",
                f"the painted gap comes down to {g.least_painted:.1f} mm; {seal}",
                "the gate springs back and does not latch",
                "a thinner seal, or a smaller gate",
                stops_work=True,
            )


def _room(a: Outline, b: Outline) -> float:
    """Return how far two bodies are apart; negative where they overlap."""
    between = plane.distance(a, b)
    return float(between.distance if between.depth == 0.0 else -between.depth)


def _by_name(panel: opening.Panel | None) -> dict[str, opening.EdgeGap]:
    """Return the gaps along the edges by what stands there."""
    return {JAMBS.get(g.edge, g.edge): g for g in panel.gaps} if panel is not None else {}


def shut_gaps(
    wanted: Gate, cut: OpeningResult, panel: Outline, bodies: Mapping[str, Outline], wants: Wants
) -> tuple[tuple[ShutGap, ...], list[Finding]]:
    """Return the gaps round the shut gate, least first along an edge that tapers, and those that are not as wanted.

    Parameters
    ----------
    wanted : Gate
        With bare gaps.
    cut : OpeningResult
        Of this gate.
    panel, bodies, wants
        Its section, shut, what stands round it, and the paint on both faces by body.
    """
    g = wanted.gaps
    asked = {"worktop nose": g.nose, "sill": g.sill, "head": g.head}
    room = {name: _room(panel, bodies[name]) for name in asked}
    if cut.panel is not None:
        along = _by_name(cut.panel)
        lifted = room["sill"] - along["sill"].least_bare  # rounded marks hang it a little higher or lower
        room |= {name: along[name].least_bare for name in JAMBS.values()}
        room["head"] = along["head"].least_bare - lifted
        asked |= {
            JAMBS["left"]: g.left_end if g.left_end is not None else g.ends,
            JAMBS["right"]: g.right_end if g.right_end is not None else g.ends,
        }
    else:
        room[EITHER_JAMB] = gate.end_gap(wanted.opening.width_top, wanted.opening.width_bottom, cut.width)
        asked[EITHER_JAMB] = g.ends
    needed = {name: g.needed for name, g in _by_name(cut.panel).items() if g.seal is not None}
    gaps, findings = [], []
    for name, bare in room.items():
        want = asked[name]
        gaps.append(ShutGap(name, max(0.0, bare), max(0.0, bare - wants.paint.get(name, wants.paint["sill"])), want))
        if bare < 0.0:
            number, feel = f"by {-bare:.2f} mm", "it will not shut"
            cure = "measure again: gate, opening and worktop do not go together"
            findings.append(Finding(f"Shut, the gate stands in the {name}", number, feel, cure, stops_work=True))
        elif want is not None and abs(bare - (target := max(want, needed.get(name, 0.0)))) > NOTICED:
            number, feel = f"{bare:.1f} mm measured, {target:.1f} mm wanted", "the gap looks uneven"
            cure = "change the gate's size or where it hangs"
            findings.append(Finding(f"Gap to the {name}, shut, is not as wanted", number, feel, cure, stops_work=False))
    return tuple(gaps), findings
