"""Stays, seams and reliefs of a gate on the sheet."""

from __future__ import annotations

import math

import numpy as np

from foldswing import pictures
from foldswing.evaluation import GateResult
from foldswing.evaluation.reliefs import ReliefResult
from foldswing.evaluation.stay_places import PinChoice, PinPlace, ruled_out_words
from foldswing.evaluation.stays import FoldingResult, StayResult, StayStop
from foldswing.job import Job
from foldswing.report.words import ABOVE, INWARD, OUTWARD, Words, sentences
from foldswing.sheet import Block, Caution, Figure, Heading, KeyValues, Paragraph, Table

UPWARD = ("up", "down")  # a pin above its face, or below
STRENGTH = (
    "Pulls are those of the masses stated, at rest. Stays, hooks, pins and what they are fixed to must carry the real "
    "load with the margin that local codes and licensed practice ask for; people may lean, sit or stand on the gate."
)
FALL = "A gate let fall pulls many times what it pulls at rest. Fit something that holds it shut and lower it by hand."


def stay_blocks(done: GateResult, words: Words) -> list[Block]:
    """Return what is said of the stays; nothing where there are none."""
    s = done.stays
    if s is None:
        return []
    blocks: list[Block] = [Heading("Stays", 2), *_chosen(s.choice, words)]
    if s.pins is None:
        return blocks
    blocks.append(_lengths(s, words))
    if s.folding is not None:
        blocks += _folding(s.folding, words)
    rows = [
        *(_pin_rows(s.pins, words) if s.choice is None else []),
        *((f"Hooks for '{a}' and '{b}' apart", words.size(gap)) for a, b, gap in s.spacing),
    ]
    rows.append(("Pins apart when shut", words.size(s.shut)))
    worst = next(row for row in s.stops if row.name == s.worst)
    if math.isfinite(worst.uneven):
        rows.append(
            (
                f"One stay 1 mm longer than the other, at '{worst.name}'",
                f"one end of the free edge {worst.uneven:.2f} mm lower where the gate twists ({worst.twist_deg:.2f}"
                f"\N{DEGREE SIGN}); a stiff gate hangs on the shorter stay alone",
            )
        )
    blocks += [KeyValues(tuple(rows)), _pulls(s, words)]
    caught = [row for row in s.stops if row.caught is not None]
    if caught:
        blocks.append(_falls(caught))
        blocks.append(
            Paragraph(
                "Let go at its highest place, caught by stays that stretch as they did in the test; gate, pins and "
                "jambs taken as stiff, nothing rubbing, nobody leaning on it."
            )
        )
    blocks.append(Caution(STRENGTH))
    blocks.append(Caution(FALL))
    return blocks


def pin_places(pins: PinPlace, words: Words, *, short: bool = False) -> list[tuple[str, str, str]]:
    """Return where the pins of a stay are by the tape: on what, how far, from which face."""
    each = (
        ("jamb", pins.jamb_inward, INWARD, "from the wall's outer face"),
        ("jamb", pins.jamb_above_worktop, UPWARD, "from the worktop surface"),
        ("gate", pins.gate_above_lower_edge, ABOVE, "from the lower edge, along the face"),
        ("gate", pins.gate_from_inner_face, OUTWARD, "from the inner face"),
    )
    return [(on, words.either(far, *way, short=short), face) for on, far, way, face in each]


def chosen_pins(s: StayResult | None, words: Words) -> list[tuple[str, str, str]]:
    """Return what the first page says of pins that no one knows before the job is worked out: on what, face, mark."""
    if s is None or s.choice is None or s.pins is None:
        return []
    across, up, edge, out = pin_places(s.pins, words, short=True)
    return [
        (f"Stay's pin, {one[0]}", ", ".join(_face(p) for p in (one, two)), f"{one[1]}, {two[1]}")
        for one, two in ((across, up), (edge, out))
    ]


def _face(place: tuple[str, str, str]) -> str:
    return place[2].removeprefix("from the ").removesuffix(" surface").partition(",")[0]


def _pin_rows(pins: PinPlace, words: Words) -> list[tuple[str, str]]:
    said = [f"{far} {face}" for _, far, face in pin_places(pins, words)]
    pivot = words.either(pins.gate_above_pivot, *UPWARD)
    return [
        ("Stay's pin on the jamb", f"{said[0]}; {said[1]}"),
        ("Stay's pin on the gate", f"{said[2]} ({pivot} from the pivot); {said[3]}"),
    ]


_BEST = {
    "least pull": "it pulls least",
    "least movement": "its length moves the free edge least",
    "shortest": "it is shortest",
    "least slack": "it leaves least to stow when shut",
}


def _chosen(choice: PinChoice | None, words: Words) -> list[Block]:
    """Return that the pins were chosen, from how many places, what is next best, and what ruled the others out."""
    if choice is None:
        return []
    out = ruled_out_words(choice, words.pull, words.size)
    if choice.best is None:
        said = f"no places for its pins will do: {out}" if out else choice.explanation
        free = choice.without_limits
        if free is None:
            return [Paragraph(sentences(said))]
        near = f"without these limits the best for '{choice.wish}' would be the pair below; no templates go by it"
        return [Paragraph(sentences(said, near)), _pairs({"Best without limits": free}, words, "Not chosen")]
    will_do = (
        f"{choice.will_do} of {choice.tried} pairs of places will do" if choice.tried > 1 else "the one pair will do"
    )
    why = f"the pins are chosen: {will_do}; of those in this one {_BEST[choice.wish]}"
    columns = {"Chosen": choice.best}
    if choice.next_best is not None:
        columns["Next best"] = choice.next_best
    caption = f"Pins of the stay, chosen for '{choice.wish}' at the worst stop"
    return [Paragraph(sentences(why, out)), _pairs(columns, words, caption)]


def _pairs(columns: dict[str, PinPlace], words: Words, caption: str) -> Table:
    """Return pairs of pins side by side."""
    each = list(columns.values())
    header = ("", *columns)
    placed = [pin_places(p, words) for p in each]
    rows = [(f"On the {on}, {face}", *(p[k][1] for p in placed)) for k, (on, _, face) in enumerate(placed[0])]
    rows += [
        ("On the gate, from the pivot", *(words.either(p.gate_above_pivot, *UPWARD) for p in each)),
        ("Pull on each", *(words.pull(p.pull) for p in each)),
        ("1 mm of stay moves the edge", *(f"{p.edge_per_mm:.2f} mm" for p in each)),
        ("Longest, pin to pin", *(words.size(p.longest) for p in each)),
        ("Slack to stow, shut", *(words.size(p.slack) for p in each)),
    ]
    if all(math.isfinite(p.spacing) for p in each):
        rows.insert(-1, ("Nearest hooks apart", *(words.size(p.spacing) for p in each)))
    return Table(header, tuple(rows), caption)


def _lengths(s: StayResult, words: Words) -> Table:
    rows = []
    for row in s.stops:
        slack = (
            words.size(row.slack_shut) if row.slack_shut >= 0.0 else f"{words.size(-row.slack_shut)} too short to shut"
        )
        rows.append((row.name, words.size(row.length), f"{row.lever_arm:.1f} mm", _edge(row), slack))
    return Table(
        ("Stop", "Between the pins", "Lever arm", "1 mm of stay moves the edge", "Slack to stow, shut"),
        tuple(rows),
        f"Stay ({s.kind}), pin centre to pin centre",
    )


def _edge(row: StayStop) -> str:
    return f"{row.edge_per_mm:.2f} mm" if math.isfinite(row.edge_per_mm) else "without end: it points at the pivot"


def _pulls(s: StayResult, words: Words) -> Table:
    def pull(row: StayStop, newtons: float) -> str:
        if row.state != "holds":
            return row.state
        return words.pull(newtons)

    rows = []
    for row in s.stops:
        note = " (the worst)" if row.name == s.worst and len(s.stops) > 1 else ""
        rests = "rests on the stay" if row.rests else "rests on something else; this if that gives way"
        rows.append((f"{row.name}{note}", pull(row, row.pull_each), pull(row, row.pull_alone), rests))
    shared = f"Each of {s.count}" if s.count > 1 else "The one stay"
    return Table(
        ("Stop", shared, "One carrying all", "There the gate"),
        tuple(rows),
        f"Pull at rest: gate {s.mass:.1f} kg, {s.leaned_load:.1f} kg leaned on its free edge",
    )


def _falls(caught: list[StayStop]) -> Table:
    rows = []
    for row in caught:
        peaks = []
        for fall in (row.caught, row.caught_alone):
            assert fall is not None
            held = fall.state == "caught"
            peaks.append(f"{fall.pull_each:.0f} N, edge {fall.edge_overrun:.0f} mm past" if held else "not stopped")
        assert row.caught is not None
        rows.append((row.name, f"{row.caught.fall:.0f} mm", *peaks))
    return Table(("Caught at", "Its edge falls", "Peak pull on each", "On one alone"), tuple(rows), "Let fall")


def _folding(f: FoldingResult, words: Words) -> list[Block]:
    m = f.made
    rows = [
        ("Jamb's link, pin to joint", words.size(m.first)),
        ("Gate's link, joint to pin", words.size(m.second)),
        (f"Joint at '{f.stop}'", f"{m.past_centre:.1f} mm past its centre" if m.past_centre > 0.0 else "straight"),
    ]
    if math.isfinite(m.folded_deg):
        rows.append(("Folded, angle between the links", f"{m.folded_deg:.0f}\N{DEGREE SIGN}"))
    if f.edge_longer > 0.0:
        rows.append(("To pass its centre the edge goes on by", words.size(f.edge_longer)))
    rows += [
        (f"Links to the {body}", f"{words.gap(gap)}, {link} at {opening:.1f}\N{DEGREE SIGN} open")
        for body, gap, opening, link in f.gaps
    ]
    said = m.explanation.replace("the body", "the jamb").replace("the panel", "the gate")
    return [Paragraph(sentences(said)), KeyValues(tuple(rows))]


def seam_blocks(done: GateResult, job: Job, words: Words) -> list[Block]:
    """Return how even the gaps run, drawn where they do not; nothing where they are known from one place only."""
    seams = done.seams
    if not seams:
        return []
    rows = []
    for s in seams:
        along = s.seam
        gap = [
            f"{words.gap(p.gap)} at {words.size(p.at)}"
            if p.gap >= 0.0
            else f"overlaps {-p.gap:.2f} mm at {words.size(p.at)}"
            for p in (along.smallest, along.largest)
        ]
        same = abs(along.largest.gap - along.smallest.gap) < SAME
        taper = abs(along.taper_per_metre)
        way = "opens" if along.taper_per_metre > 0.0 else "closes"
        rows.append(
            (
                f"{s.name}, {s.counted_from}",
                along.kind,
                words.gap(s.wanted),
                words.gap(along.smallest.gap) if same else gap[0],
                "the same" if same else gap[1],
                words.gap(along.rms),
                f"{way} {taper:.2f} mm a metre" if taper >= TAPER_SHOWN else "none",
            )
        )
    return [
        Table(
            ("Along", "Runs", "Wanted, bare", "Smallest", "Largest", "RMS off wanted", "Taper"),
            tuple(rows),
            f"How even the bare gaps run; {seams[0].allowed:.1f} mm out does not show",
        ),
        *(
            Paragraph(sentences(f"{s.name[0].upper()}{s.name[1:]}, {s.counted_from}: {s.seam.explanation}"))
            for s in seams
            if s.seam.kind == "uneven"
        ),
        *(
            Figure(pictures.gate_seam(done, s, job), f"Gap along the {s.name}, {s.counted_from}", height=45.0)
            for s in seams
            if s.seam.largest.gap - s.seam.smallest.gap >= SEEN
        ),
    ]


SEEN = 0.1  # mm; what a feeler gauge tells: a gap that differs by less along its edge is not drawn
SAME = 0.005  # mm; gaps that print alike are alike
TAPER_SHOWN = 0.005  # mm per metre


def relief_blocks(reliefs: tuple[ReliefResult, ...], words: Words) -> list[Block]:
    """Return what could come off instead of larger radii; nothing where nothing is too close."""
    if not reliefs:
        return []
    rows = []
    for r in reliefs:
        arcs = ", ".join(words.size(radius) for radius in scribed(r)) or "none"
        rows.append((r.body, words.gap(r.gap), f"{r.fixed.depth:.1f} mm", arcs, f"{r.panel.depth:.1f} mm"))
    return [
        Table(
            ("Off the", "To leave", "Deepest", "Arcs about the jamb's hole", "Or off the gate, deepest"),
            tuple(rows),
            "Reliefs: what would have to come off, at most, instead; the fixed part's is drawn at full size",
        )
    ]


def scribed(r: ReliefResult) -> list[float]:
    """Return the radii of the arcs about the jamb's hole that bound a relief, the largest first."""
    found = set()
    for cut in r.fixed.cuts:
        for centre, radius in zip(cut.centres, cut.radii, strict=True):
            if np.isfinite(radius) and np.hypot(*(centre - r.pivot)) < ABOUT:
                found.add(round(float(radius), 6))
    return sorted(found, reverse=True)


ABOUT = 1e-6  # mm; an arc about the hole, off it by rounding only
