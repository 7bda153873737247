"""A gate on the sheet: what to drill, how it lands, what it passes."""

from __future__ import annotations

from foldswing import gate, pictures
from foldswing.evaluation import GateResult
from foldswing.evaluation.adjusters import hole_in
from foldswing.evaluation.fit_advice import FitAdvice
from foldswing.job import Gate, Job, Stop
from foldswing.report.adjusters import adjuster_blocks
from foldswing.report.free_angles import angle_blocks
from foldswing.report.hardware import hardware_blocks
from foldswing.report.openings import opening_blocks
from foldswing.report.stations import station_blocks
from foldswing.report.stays import relief_blocks, seam_blocks, stay_blocks
from foldswing.report.windows import window_blocks
from foldswing.report.words import (
    ABOVE,
    BELOW,
    CLOSEST,
    INWARD,
    OUTWARD,
    VERDICTS,
    Words,
    approaches,
    sentences,
    tenths,
    times,
    warnings,
)
from foldswing.sheet import Block, Figure, Heading, KeyValues, Paragraph, Table

_NO_PAD = 0.05  # mm; prints as nothing: metal lies on metal


def gate_blocks(wanted: Gate, done: GateResult, job: Job, words: Words) -> list[Block]:
    """Return the blocks of one gate."""
    blocks: list[Block] = [Heading(done.name), Paragraph(sentences(VERDICTS[done.verdict], done.explanation))]
    blocks += warnings(done.findings)
    drawing = pictures.gate_swing(wanted, done, job)
    blocks.append(Figure(drawing, "At every stop, with the tightest places"))
    blocks += opening_blocks(wanted, done.opening, words)
    if done.place is not None:
        blocks += [Heading("What to drill", 2), *_drill(wanted, done, words)]
    blocks += angle_blocks(done, words)
    blocks += window_blocks(wanted, done, job, words)
    blocks += hardware_blocks(wanted, done, words)
    if done.stops:
        blocks += [Heading("How it lands", 2), landed_table(wanted, done, words)]
        pads = [
            f"at '{stop}' it rests on the {body}: pad {thick} thick, less the paint on both"
            for stop, body, thick in pads_of(wanted, done, words)
        ]
        blocks += [Paragraph(sentences(*pads))] if pads else []
        blocks += stay_blocks(done, words)
        blocks += [Heading("After the first fit", 2), _first_fit(done.advice)]
        blocks += adjuster_blocks(wanted, done.adjusting, words)
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
    blocks += seam_blocks(done, job, words)
    if done.closest:
        blocks += [Heading("Tightest places", 2), approaches(done.closest, words, CLOSEST)]
    blocks += _cures(wanted, done, job)
    blocks += relief_blocks(done.reliefs, words)
    if done.square:
        blocks.append(approaches(done.square, words, "What the rounded corners cure: with every corner left square"))
    if done.swung_on:
        hits = "; then ".join(f"the {name} at {opening:.1f}\N{DEGREE SIGN} open" for name, opening in done.swung_on)
        blocks.append(Paragraph(f"With nothing to hold it beyond its last stop it would hit {hits}."))
    blocks += station_blocks(wanted, done, job, words)
    return blocks


def _cures(wanted: Gate, done: GateResult, job: Job) -> list[Block]:
    """Return what errors the gaps were reckoned with, the smallest radii, and what would cure a rub."""
    out: list[Block] = []
    if done.closest:
        e = job.errors
        said = f"Likely errors: each hole {e.hole:.2f} mm sideways and up or down, measured places {e.measured:.2f} mm"
        how = f"(standard deviations). This job drills them {wanted.hinge.drilled}"
        kept = "Left is what all but 1 in 44 gates keep once painted"
        out.append(Paragraph(sentences(f"{said} {how}", kept)))
    radii = done.smallest_radii
    if radii is not None and radii.fits:
        least = f"inner {radii.inner:.1f} mm, outer {radii.outer:.1f} mm"
        out.append(KeyValues((("Smallest lower corner radii that leave the moving gaps wanted", least),)))
    if done.cures:
        rows = tuple((c.what, c.how, c.price) for c in done.cures)
        out.append(Table(("Cure", "How much", "Price"), rows, "What would cure the tight places, each by itself"))
    return out


def _drill(wanted: Gate, done: GateResult, words: Words) -> list[Block]:
    """Return what to mark and drill, and what the rounding of the marks costs."""
    assert done.marks is not None
    assert done.holes is not None
    assert done.place is not None
    marks, exact = done.marks, gate.marks(done.sizes, done.pivot)
    outer = done.sizes.thickness - marks.gate_from_inner_face
    ends, jambs = ("left end", "Jamb, left") if done.axis is not None else ("both ends", "Jambs")
    rows = [
        (f"Gate, {ends}", "the inner face", marks.gate_from_inner_face, exact.gate_from_inner_face, OUTWARD),
        (f"Gate, {ends}", "the lower edge", marks.gate_above_lower_edge, exact.gate_above_lower_edge, ABOVE),
        ("Gate, check", "the outer face", outer, done.place.from_outer_face, INWARD),
        (jambs, "the worktop surface", marks.jamb_below_worktop, exact.jamb_below_worktop, BELOW),
        (jambs, "the wall's outer face", marks.jamb_inward, exact.jamb_inward, INWARD),
    ]
    difference = f"{done.rounded_step:.2f} mm with these marks, {done.exact_step:.2f} mm with the exact pivot"
    return [
        Table(
            ("Hole in", "From", "Mark", "Exact"),
            tuple((on, face, words.mark(at, *way), words.gap(abs(true))) for on, face, at, true, way in rows),
            f"Marks for the {words.ruler} ruler, rounded together so that the landing step is least; "
            "every distance from its own face, none from another mark",
        ),
        KeyValues(
            (
                ("Step of the inner face where it must land", difference),
                ("Hole in the gate", hole_in(wanted, "gate", tenths)),
                ("Hole in the jamb", hole_in(wanted, "jamb", tenths)),
                ("Pin", f"{wanted.hinge.pin_diameter:.1f} mm"),
            )
        ),
    ]


def pads_of(wanted: Gate, done: GateResult, words: Words) -> list[tuple[str, str, str]]:
    """Return stop, body and thickness of every pad that the gate rests on."""
    rests = {stop.name: stop.rests_on for stop in wanted.stop}
    return [
        (stop.name, str(rests[stop.name]), words.gap(stop.rest_gap))
        for stop in done.stops
        if stop.rest_gap is not None and stop.rest_gap > _NO_PAD
    ]


def _first_fit(advice: FitAdvice) -> Paragraph:
    """Return how often to read, and what no reading can pass."""
    read = (
        "Hang it bare and read gaps, steps and the free edge, shut and at every stop, at both ends: "
        f"{times(advice.average_to_adjust)} each with the tape before a slotted hole or an eccentric bush is set; "
        f"before a hole is drilled anew {times(advice.average_to_drill)}, or {times(advice.drill_by_calliper)} by "
        "calliper or feeler gauge, and nose, sill and head as often again. Take the tool off in between. "
        "foldswing fit then says what to move (--form writes the form for it)"
    )
    limit = ""
    if advice.ceiling is not None:
        limit = (
            "one hole drilled through gate and jamb lands within 1 mm at every stop in at most "
            f"{100 * advice.ceiling:.0f} of 100 gates, however well it was measured: the drill alone is the cause. "
            "A slotted hole or an eccentric bush passes that"
        )
    return Paragraph(sentences(read, limit))


def landed_table(wanted: Gate, done: GateResult, words: Words) -> Table:
    """Return how the gate stands at every stop, and what limits are asked there."""
    rows = []
    asked = {stop.name: stop for stop in wanted.stop}
    for stop in done.stops:
        by = asked[stop.name]
        face = (
            words.either(stop.face_step, "proud", "low", fine=True) if stop.face_step is not None else "not asked for"
        )
        gap = (
            words.either(stop.nose_gap, "", "over the nose", fine=True)
            if stop.nose_gap is not None
            else "not asked for"
        )
        height = f"{stop.edge_above_floor:.1f} mm above the floor"
        at = words.either(stop.edge_drop, "below", "above")
        edge = f"level with the worktop, {height}" if abs(stop.edge_drop) < 0.05 else f"{at} the worktop, {height}"
        rows.append(
            (
                stop.name,
                f"{stop.opening_deg:.1f}\N{DEGREE SIGN}",
                f"{face}{_asked_face(by)}",
                f"{gap.strip()}{_asked_gap(by, words)}",
                f"{edge}{_asked_edge(by, words)}",
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


def _asked_face(stop: Stop) -> str:
    """Return in brackets what limit a stop sets for the inner face, if any."""
    by = "" if stop.face == "flush" else f" by {stop.face_by:g} mm"
    return "" if stop.face_is == "exactly" else f" ({stop.face}{by} {stop.face_is} is asked)"


def _asked_gap(stop: Stop, words: Words) -> str:
    size = words.gap(stop.nose_gap or 0.0)
    return "" if stop.nose_gap_is == "exactly" else f" ({stop.nose_gap_is} {size} is asked)"


def _asked_edge(stop: Stop, words: Words) -> str:
    size, where = (
        (stop.edge_drop, "below the worktop")
        if stop.edge_drop is not None
        else (stop.edge_above_floor or 0.0, "above the floor")
    )
    return "" if stop.edge_is == "exactly" else f" ({stop.edge_is} {words.size(size)} {where} is asked)"
