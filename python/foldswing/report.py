"""The job sheet: what a job came to, in the order a fabricator needs it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from foldswing import pictures, sheet, units
from foldswing.evaluation import (
    Approach,
    BlankResult,
    CrownResult,
    Finding,
    FlipResult,
    GateResult,
    Results,
)
from foldswing.job import Gate, Job
from foldswing.sheet import Block, Bullets, Caution, Document, Figure, Heading, KeyValues, Paragraph, Table

__all__ = ["Words", "job_sheet"]

INVENTED = "INVENTED DEMO DATA: not from any real build. Do not cut metal to it."

VERDICTS = {
    "go": "GO: nothing here stops the work",
    "change this first": "CHANGE THIS FIRST: see the warnings",
    "cannot": "CANNOT be made as asked: see why below",
}

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


class Words:
    """Lengths as this job's shop reads them."""

    def __init__(self, job: Job) -> None:
        self._ruler = job.ruler

    def size(self, length: float) -> str:
        """Return a length to be marked: mm and the ruler's mark with its rounding error."""
        return units.show(length, self._ruler)

    def gap(self, length: float) -> str:
        """Return a gap: mm to a hundredth, too fine for a ruler."""
        return f"{length:.2f} mm"

    def either(self, length: float, positive: str, negative: str, *, fine: bool = False) -> str:
        """Return a length that may lie on either side of a face, with the word for its side."""
        show = self.gap if fine else self.size
        if abs(length) < 0.005:
            return show(0.0)
        return f"{show(abs(length))} {positive if length > 0.0 else negative}"


def job_sheet(job: Job, results: Results) -> Document:
    """Return the sheet of a job.

    Parameters
    ----------
    job : Job
        As given.
    results : Results
        As evaluated.

    Returns
    -------
    sheet.Document
        For sheet.to_html and sheet.to_pdf.
    """
    words = Words(job)
    blocks: list[Block] = []
    if job.invented:
        blocks.append(Paragraph(INVENTED))
    if job.note:
        blocks.append(Paragraph(job.note))
    blocks.append(
        Table(
            ("Part", "Verdict", "Warnings"),
            tuple((p.name, VERDICTS[p.verdict], str(len(p.findings))) for p in results.parts),
        )
    )
    for wanted, done in zip(job.gate, results.gates, strict=True):
        blocks += _gate(wanted, done, job, words)
    for flip in results.flip_panels:
        blocks += _flip(flip, job, words)
    for blank in results.blanks:
        blocks += _blank(blank, job, words)
    for crown in results.crowns:
        blocks += _crown(crown, job, words)
    blocks += _closing(results)
    return Document(job.title, f"Job sheet. Paint counted: {_paint(job)}.", job.revision or "", tuple(blocks))


def _sentences(*texts: str) -> str:
    """Return texts as sentences: a capital first, a full stop last."""
    return " ".join(f"{t[0].upper()}{t[1:].rstrip('.')}." for t in texts if t)


def _paint(job: Job) -> str:
    return f"{job.paint.per_face:.2f} mm on each face" if job.paint else "none, bare metal throughout"


def _warnings(findings: Iterable[Finding]) -> list[Block]:
    return [sheet.Warning(f.what, f.number, f.feel, f.advice) for f in findings]


CLOSEST = "Closest approach to each body on each leg of the travel"


def _approaches(rows: Sequence[Approach], words: Words, caption: str) -> Table:
    return Table(
        ("To", "On the way", "Bare", "Painted", "Wanted, bare", "Where"),
        tuple(
            (
                row.body,
                row.leg,
                f"overlaps {words.gap(row.depth)}" if row.depth > 0.0 else words.gap(row.bare),
                words.gap(row.painted),
                words.gap(row.wanted),
                row.at,
            )
            for row in rows
        ),
        caption,
    )


def _gate(wanted: Gate, done: GateResult, job: Job, words: Words) -> list[Block]:
    blocks: list[Block] = [Heading(done.name), Paragraph(_sentences(VERDICTS[done.verdict], done.explanation))]
    blocks += _warnings(done.findings)
    drawing = pictures.gate_swing(wanted, done, job)
    blocks.append(Figure(drawing, "At every stop, with the tightest places"))
    if done.place is not None:
        blocks += [Heading("What to drill", 2), _drill(wanted, done, words)]
    if done.stops:
        blocks += [Heading("How it lands", 2), _landed(done, words)]
        if wanted.stay is not None:
            blocks.append(_stay(wanted, done, words))
    blocks.append(
        Table(
            ("Gap, shut", "Bare", "Painted", "Wanted, bare"),
            tuple(
                (
                    g.name,
                    words.gap(g.bare),
                    words.gap(g.painted),
                    words.gap(g.wanted) if g.wanted is not None else "not stated",
                )
                for g in done.gaps
            ),
            "Gaps round the shut gate",
        )
    )
    if done.closest:
        blocks += [Heading("Tightest places", 2), _approaches(done.closest, words, CLOSEST)]
    if done.square:
        blocks.append(_approaches(done.square, words, "What the rounded corners cure: with every corner left square"))
    if done.swung_on:
        hits = "; then ".join(f"the {name} at {opening:.1f}\N{DEGREE SIGN} open" for name, opening in done.swung_on)
        blocks.append(Paragraph(f"With nothing to hold it beyond its last stop it would hit {hits}."))
    blocks += _stations(done, words)
    return blocks


def _drill(wanted: Gate, done: GateResult, words: Words) -> KeyValues:
    place = done.place
    assert place is not None
    hole = wanted.hinge.bush_diameter or wanted.hinge.pin_diameter
    rows = [
        ("Gate, both ends: from the inner face", words.either(place.from_inner_face, "outward", "behind the face")),
        ("Gate, both ends: from the lower edge", words.either(place.above_lower_edge, "up", "below the edge")),
        ("Check: from the outer face", words.either(place.from_outer_face, "inward", "outside the face")),
        ("Jambs: below the worktop surface", words.either(place.below_worktop, "down", "above it")),
        ("Jambs: from the wall's outer face", words.either(-float(done.pivot[0]), "inward", "outward")),
        ("Hole in the gate", f"{hole:.1f} mm for the {'bush' if wanted.hinge.bush_diameter else 'pin'}"),
        ("Pin", f"{wanted.hinge.pin_diameter:.1f} mm"),
        ("Gate", f"{done.width:.1f} wide x {done.height:.1f} high x {done.sizes.thickness:.1f} mm thick"),
    ]
    return KeyValues(tuple(rows))


def _landed(done: GateResult, words: Words) -> Table:
    rows = []
    for stop in done.stops:
        face = (
            words.either(stop.face_step, "proud", "low", fine=True) if stop.face_step is not None else "not asked for"
        )
        gap = (
            words.either(stop.nose_gap, "", "over the nose", fine=True)
            if stop.nose_gap is not None
            else "not asked for"
        )
        height = f"{stop.edge_above_floor:.1f} mm above the floor"
        edge = f"{words.either(stop.edge_drop, 'below', 'above')} the worktop, {height}"
        rows.append(
            (
                stop.name,
                f"{stop.opening_deg:.1f}\N{DEGREE SIGN}",
                face,
                gap.strip(),
                edge,
                f"{stop.edge_per_degree:.1f} mm",
            )
        )
    return Table(
        (
            "Stop",
            "Opened from shut",
            "Inner face to worktop",
            "Gap to nose",
            "Free edge",
            "1 degree wrong moves the edge",
        ),
        tuple(rows),
    )


def _stay(wanted: Gate, done: GateResult, words: Words) -> Table:
    rows = [
        (s.name, words.size(s.stay_length), f"{s.stay_lever_arm:.1f} mm", f"{s.stay_edge_per_mm:.2f} mm")
        for s in done.stops
        if s.stay_length is not None and s.stay_lever_arm is not None and s.stay_edge_per_mm is not None
    ]
    kind = wanted.stay.kind if wanted.stay else ""
    return Table(
        ("Stop", "Between the pins", "Lever arm", "1 mm of stay moves the edge"),
        tuple(rows),
        f"Stay ({kind}), pin centre to pin centre; the load in it was not worked out",
    )


def _stations(done: GateResult, words: Words) -> list[Block]:
    if not done.stations:
        return []
    rows = []
    for station in done.stations:
        worst = min(station.closest, key=lambda a: (a.bare, -a.depth))
        rows.append(
            (
                f"{station.from_left:.0f} mm from the left",
                words.either(station.face_step, "proud", "low", fine=True),
                words.gap(station.nose_gap),
                f"{words.gap(worst.bare)} at {worst.at}",
            )
        )
    return [
        Table(
            ("Place", "Inner face to worktop, landed", "Gap to nose", "Closest to the nose on the way"),
            tuple(rows),
            "Where the worktop differs along the hinge; the axis stays straight",
        )
    ]


def _flip(done: FlipResult, job: Job, words: Words) -> list[Block]:
    drawing = pictures.flip_swing(done, job)
    return [
        Heading(done.name),
        Paragraph(_sentences(VERDICTS[done.verdict])),
        *_warnings(done.findings),
        Figure(drawing, "Shut and open, with the tightest place"),
        KeyValues(
            (
                ("Turns through", f"{done.opening_deg:.1f}\N{DEGREE SIGN}"),
                ("Open, the inner face looks", done.inner_looks),
                ("Open, the outer face looks", done.outer_looks),
                ("Pivot from the hinged edge, along the skin", words.size(float(done.pivot[0]))),
                ("Pivot behind the outer surface", words.size(float(done.pivot[1]))),
                ("Metal between pin and flange edge", f"{done.metal_at_pin:.1f} mm"),
                ("Room needed behind the outer surface", words.size(done.room_behind)),
                ("Comes out of the surface on the way by", words.size(done.reach_out)),
                ("Stands out of the surface when open by", words.size(done.stands_out)),
            )
        ),
        _approaches(done.closest, words, CLOSEST),
    ]


def _blank(done: BlankResult, job: Job, words: Words) -> list[Block]:
    blocks: list[Block] = [
        Heading(f"{done.name}: blank"),
        Paragraph(_sentences(VERDICTS[done.verdict], done.explanation)),
    ]
    blocks += _warnings(done.findings)
    drawing = pictures.blank(done, job)
    blocks.append(Figure(drawing, "Blank", height=110.0))
    rows = [
        ("Blank", f"{words.size(done.length)} by {words.size(done.width)}"),
        ("Sheet", f"{done.metal}, {done.thickness:.2f} mm; inside radius {done.radius:.2f} mm"),
        ("Bend figure", done.basis),
    ]
    rows += [(f"Corner notch, {name}", f"{along:.1f} by {across:.1f} mm") for name, along, across in done.notches]
    blocks.append(KeyValues(tuple(rows)))
    blocks.append(
        Table(
            ("Bend", "From the", "Bend line", "Tangent lines", "Sight line", "Bend angle", "Way", "Deduction"),
            tuple(
                (
                    b.name,
                    b.edge,
                    words.size(b.centre),
                    f"{b.tangents[0]:.1f} and {b.tangents[1]:.1f} mm",
                    f"{b.sight:.1f} mm",
                    f"{b.angle_deg:.1f}\N{DEGREE SIGN} ({180.0 - b.angle_deg:.1f}\N{DEGREE SIGN} between the legs)",
                    b.way,
                    f"{b.deduction:.2f} mm" if np.isfinite(b.deduction) else "none at 180\N{DEGREE SIGN}",
                )
                for b in done.bends
            ),
            "Bend lines, all from one edge. Bend angle: what the metal is turned through. Sight line: one inside "
            "radius from the tangent line under the brake's nose, set level with the brake's nose",
        )
    )
    section = pictures.folded(done, job)
    if section is not None:
        blocks.append(Figure(section, "Folded section, drawn back from the blank", height=70.0))
    return blocks


def _crown(done: CrownResult, job: Job, words: Words) -> list[Block]:
    blocks: list[Block] = [Heading(done.name), Paragraph(_sentences(VERDICTS[done.verdict])), *_warnings(done.findings)]
    for way in done.ways:
        blocks.append(Heading(f"Crown {way.way}", 2))
        unsure = (
            f"{way.smallest_radius:.0f} to {way.largest_radius:.0f} mm"
            if np.isfinite(way.largest_radius)
            else "any flatter arc"
        )
        blocks.append(
            KeyValues(
                (
                    ("Chord and rise", f"{way.chord:.1f} mm and {way.rise:.1f} mm"),
                    ("Radius of the outer face", f"{way.radius:.1f} mm; with the reading error {unsure}"),
                    ("Along the outer face", words.size(way.length)),
                )
            )
        )
        blocks.append(
            Table(
                ("Layer", "Outer radius", "Inner radius", "Length along its middle"),
                tuple(
                    (v.name, f"{v.outer_radius:.1f} mm", f"{v.inner_radius:.1f} mm", words.size(v.middle_length))
                    for v in way.layers
                ),
                "From the outer face in; radii as they must end up, not what to roll to",
            )
        )
        heights = tuple(
            (f"{x:.0f} mm", words.size(y)) for x, y in zip(way.rises.stations, way.rises.heights, strict=True)
        )
        blocks.append(
            Table(
                ("From the middle of the chord", "Rise above the chord"),
                heights,
                "To mark a gauge, both ways from the middle",
            )
        )
    return blocks


def _kinds(results: Results) -> list[str]:
    kinds = {"gate": results.gates, "flip panel": results.flip_panels, "blank": results.blanks, "crown": results.crowns}
    return [kind for kind, parts in kinds.items() if parts]


def _closing(results: Results) -> list[Block]:
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
