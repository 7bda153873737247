"""What every sheet ends with: order of work, what was checked and what was not, cautions."""

from __future__ import annotations

from foldswing.evaluation import Results
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
        "A bend figure from a table or formula is a guess until a strip of this metal has been bent on this brake.",
    ),
    "crown": (
        "A bonded skin carries load only if surface, adhesive, glue line and cure follow the adhesive maker's sheet: "
        "where it holds people or a vehicle together, have it designed and tested by somebody licensed to.",
    ),
}

NOT_CHECKED = {
    "gate": (
        "loads in stays, pins, bushes and fixings, and whether it sags under load",
        "what drilling errors do to the gaps (two holes, each a little out)",
        "twist, racking and side play along the hinge; the sides of the opening",
        "seals and rubbers",
    ),
    "flip panel": (
        "catch, stay and spring",
        "ears on panel and body: draw them on before cutting",
        "racking and side play",
    ),
    "blank": (
        "springback and over-bend",
        "whether this brake can make the bends in some order",
        "cracking along the grain",
    ),
    "crown": ("how far to over-roll: springback", "the stretch or shrink of a skin crowned both ways", "the bond"),
}


def _kinds(results: Results) -> list[str]:
    kinds = {"gate": results.gates, "flip panel": results.flip_panels, "blank": results.blanks, "crown": results.crowns}
    return [kind for kind, parts in kinds.items() if parts]


def closing(results: Results) -> list[Block]:
    """Return order of work, what was checked and what not, and cautions."""
    kinds = _kinds(results)
    order = [
        "Print the templates at 100 %, measure both scale bars on every sheet, join the sheets.",
        "Cut the panel's end and what it passes from card, put a pin through the pivot and swing it by hand.",
        "Do not drill metal before the card swings.",
        "Bend a test strip and put its figures in the job file before cutting a blank.",
        "Drill gate and jambs from one template, through both where that is possible; hang bare, on packers.",
        "Measure shut and at every stop, correct, take apart, mask the bores, paint, refit.",
    ]
    checked = [
        "pivot against every stop; gaps shut; closest approach to every body over the whole travel, bare and painted"
        if {"gate", "flip panel"} & set(kinds)
        else "",
        "blank against the folded section drawn back from it" if "blank" in kinds else "",
        "radii and rises against the reading error" if "crown" in kinds else "",
    ]
    return [
        Heading("Order of work"),
        Bullets(tuple(order), ordered=True),
        Heading("Checked"),
        Bullets(tuple(c for c in checked if c)),
        Heading("Not checked"),
        Bullets(tuple(f"{kind}: {what}" for kind in kinds for what in NOT_CHECKED[kind])),
        Heading("Cautions"),
        *(Caution(text) for kind in kinds for text in CAUTIONS[kind]),
        Caution("This sheet is geometry only. Local codes, and licensed practice where they ask for it, come first."),
    ]
