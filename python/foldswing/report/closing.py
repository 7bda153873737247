"""What every sheet ends with: order of work, what was checked and what was not, cautions."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from foldswing.evaluation import BlankResult, CurvedFlangeResult, GateResult, Results
from foldswing.report.words import sentences
from foldswing.sheet import Block, Bullets, Caution, Heading

CAUTIONS = {
    "gate": (
        "A gate that drops can crush fingers and hands between gate, worktop and sill: keep children away from it and "
        "fit something that holds it before anybody reaches in.",
        "People lean, sit and stand on an open gate. This sheet does not prove its strength: pins, stays and fixings "
        "need sizing for the real load by somebody qualified where a failure could hurt someone.",
        "A stay or cable that lets go drops the gate to the next thing it hits. Try it slowly, with a prop under it.",
    ),
    "flip panel": (
        "Plates, lamps and their positions on road vehicles are regulated: angle, height, lighting and legibility "
        "follow the local code, and so does whether a plate may move at all.",
        "A flap that opens on the road can hurt people: give it a catch that holds without power.",
    ),
    "blank": (
        "Sheared edges cut: deburr before handling. Keep fingers clear of the brake's nose.",
        "A bend figure from a table or formula is a guess; each blank says whether a strip is worth cutting first.",
    ),
    "curved flange": (
        "Sheared edges and points between cuts hurt: deburr before handling, and keep your fingers off the former.",
    ),
    "developed": ("Sheet edges cut: deburr before handling. Keep fingers clear of rolls: they draw in.",),
    "crown": (
        "A bonded skin carries load only if surface, adhesive, glue line and cure follow the adhesive maker's sheet: "
        "where it holds people or a vehicle together, have it designed and tested by somebody licensed to.",
    ),
}

# For the page that is pinned up; the whole of them stand at the end of the sheet.
SHORT_CAUTIONS = {
    "gate": (
        "Gates pinch and drop: hold it up with a prop, fingers out. Strength of pins and stays is not proved here.",
    ),
    "flip panel": ("Plates and lamps on road vehicles are regulated: the local code comes first.",),
    "blank": ("Sheared edges cut: deburr before handling. Keep fingers clear of the brake's nose.",),
    "curved flange": ("Sheared edges cut. Stretch or shrink an offcut first: metals tear and pucker without warning.",),
    "developed": ("Sheet edges cut, and rolls draw fingers in. Try the pattern in card first.",),
    "crown": ("A bonded skin that holds people or a vehicle together is for somebody licensed to design it.",),
}

_CARD = (
    "Print at 100 %; both scale bars must measure 100 mm.",
    "Card first: cut panel and body from card, pin through the pivot, swing it by hand.",
    "DO NOT DRILL BEFORE THE CARD SWINGS.",
    "Drill from the templates, through both parts at once where that is possible.",
    "Hang it bare, on packers. Measure shut and at every stop; correct.",
    "Take apart, mask the bores, paint, refit.",
)
_STRIP = "Put its sizes in the job file; print again"
_CUT = "Cut the blank, leave the last edge long, mark all lines from one edge in pencil."
_BEND = "Notch and drill reliefs, bend in the order numbered, check, trim the long edge."
_NO_NUMBERS = (
    "Try the order of the bends on a strip of card: the blank has no numbers for it.",
    "Notch and drill reliefs, bend in the order tried, check, trim the long edge.",
)
_CURVED = (
    "Print the pattern at 100 %, tape the sheets; mark the blank from it: what is cut, and where the bend starts.",
    "Cut, deburr, round the edge with a file.{cuts}",
    "Clamp it on a former whose side stands one inside radius past the line; turn a little at a time, all along.",
    "Check against the finished edge;{weld} planish.",
)
_ROOTS = " Drill the roots, then cut slits or darts."
_PATTERNS = (
    "Print the pattern at 100 %, tape the sheets, add your seam allowance, cut it from card and roll it up.",
    "If the card closes, mark the sheet from it, outer face up, with the roll lines.",
    "Roll or brake a little at each line, from both ends to the middle; tack the seam, check, weld or rivet.",
)
_CROWNS = (
    "Print the gauge at 100 %, cut it, hold it to the panel at every station.",
    "Make frame and support to the radii that must end up; roll a strip first: it springs.",
    "Dry fit, look for light under the gauge, then bond by the adhesive maker's sheet.",
)

_SPRINGBACK = "springback and over-bend"
_SIDES = "the sides of the opening and its seals: both its heights were not given"
_GRAIN = "cracking along the grain"
_BRAKE = "whether a brake can make the bends in some order"
NOT_CHECKED = {
    "gate": (
        "whether stays, pins, bushes and fixings are strong enough, and whether it sags under load",
        "twist, racking and side play along the hinge",
        _SIDES,
    ),
    "flip panel": (
        "catch, stay and spring",
        "racking and side play",
    ),
    "blank": (_SPRINGBACK, _BRAKE, _GRAIN),
    "curved flange": (
        "springback and over-bend",
        "metal drawn in from the base, which makes the flange shallower and the strain less",
        "how much the metal hardens while it is worked",
    ),
    "developed": (
        "springback of the rolled sheet",
        "whether rolls that the job does not name reach round so tight a curve",
        "wind, pressure and heat on the finished part",
    ),
    "crown": ("how far to over-roll: springback", "the stretch or shrink of a skin crowned both ways", "the bond"),
}


def _kinds(results: Results) -> list[str]:
    kinds = {"gate": results.gates, "flip panel": results.flip_panels, "blank": results.blanks}
    kinds |= {"curved flange": results.curved_flanges, "developed": results.developed, "crown": results.crowns}
    return [kind for kind, parts in kinds.items() if parts]


def not_checked(kind: str, parts: Iterable[Any] = ()) -> tuple[str, ...]:
    """Return what was not checked of a kind of part; what was checked of every one of the parts given is left out."""
    parts = tuple(parts)
    gates = [part for part in parts if isinstance(part, GateResult)]
    if kind == "gate" and gates and all(g.opening.panel is not None for g in gates):
        return tuple(what for what in NOT_CHECKED[kind] if what != _SIDES)
    blanks = [part for part in parts if isinstance(part, BlankResult)]
    made = [b.checks.bends if b.checks is not None else () for b in blanks]
    bends = [one for each in made for one in each]
    ordered = [b.order is not None and b.order.found is not None for b in blanks]
    checked = {
        _SPRINGBACK: all(made) and all(b.over_bend is not None for b in bends),
        _BRAKE: all(ordered),
        _GRAIN: all(made) and all(b.grain is not None and math.isfinite(b.least_radius.radius) for b in bends),
    }
    known = {what for what, done in checked.items() if done} if blanks and kind == "blank" else set()
    return tuple(what for what in NOT_CHECKED[kind] if what not in known)


def order_of_work(kinds: Iterable[str], parts: Iterable[Any] = ()) -> tuple[str, ...]:
    """Return the steps for parts of these kinds, in order; of parts that are bent, what of a test strip first."""
    kinds, parts = set(kinds), tuple(parts)
    steps = [
        sentences(f"Test strip: {about.test_strip}", _STRIP if about.worth_a_strip else "")
        for about in (getattr(part, "bending", None) for part in parts)
        if about is not None
    ]
    if "blank" in kinds:
        blanks = [part for part in parts if isinstance(part, BlankResult)]
        numbered = all(len(b.bends) < 2 or (b.order is not None and b.order.numbers) for b in blanks)
        steps += (_CUT, _BEND) if numbered else (_CUT, *_NO_NUMBERS)
    if "curved flange" in kinds:
        cuts = any(part.made.cuts for part in parts if isinstance(part, CurvedFlangeResult))
        said = {"cuts": _ROOTS, "weld": " weld up what was cut;"} if cuts else {"cuts": "", "weld": ""}
        steps += [text.format(**said) for text in _CURVED]
    if "developed" in kinds:
        steps += _PATTERNS
    if "crown" in kinds:
        steps += _CROWNS
    if kinds & {"gate", "flip panel"}:
        steps += _CARD
    return tuple(steps)


def closing(results: Results) -> list[Block]:
    """Return what was checked and what not, and the cautions."""
    kinds = _kinds(results)
    checked = [
        "pivot against every stop; gaps shut; closest approach to every body over the whole travel, bare and painted"
        if {"gate", "flip panel"} & set(kinds)
        else "",
        "blank against the folded section drawn back from it" if "blank" in kinds else "",
        "bends in every order against the brake's tools and metal against metal, where a bend order is shown or refused"
        if any(b.order is not None and b.order.found is not None for b in results.blanks)
        else "",
        "the strain of a curved flange's edge against what it takes" if "curved flange" in kinds else "",
        "seams of every pattern against each other, roll lines against their true length"
        if "developed" in kinds
        else "",
        "radii and rises against the reading error" if "crown" in kinds else "",
    ]
    return [
        Heading("Checked"),
        Bullets(tuple(c for c in checked if c)),
        Heading("Not checked"),
        Bullets(tuple(f"{kind}: {what}" for kind in kinds for what in not_checked(kind, results.parts))),
        Heading("Cautions"),
        *(Caution(text) for kind in kinds for text in CAUTIONS[kind]),
        Caution("This sheet is geometry only. Local codes, and licensed practice where they ask for it, come first."),
    ]
