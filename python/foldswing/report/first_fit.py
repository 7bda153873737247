"""What a first fit comes to, in lines for the terminal."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from foldswing import fitting
from foldswing.evaluation.first_fit import Afterwards, FirstFitResult, ReadAtFit, SideFit
from foldswing.evaluation.reach import STILL, Beyond
from foldswing.job.keys import listed
from foldswing.report.adjusters import changed
from foldswing.report.closing import SHORT_CAUTIONS
from foldswing.report.true_pivot import WANDERS, amount, give_or_take, pivot_lines, shifted
from foldswing.report.words import tenths, times

_MANY = 10  # readings of one size; more than that nobody takes
_WHAT = {
    "body": "move the jamb's hole alone",
    "panel": "move the gate's hole alone",
    "both": "move both holes",
    "together": "plug both holes, pack the gate up as it must hang shut, drill through both",
}


def _stands(row: Afterwards, amount: float) -> str:
    if "step" in row.words:
        return f"{abs(amount):.1f} {'proud' if amount > 0 else 'low'}" if abs(amount) >= STILL else "flush"
    if "edge" in row.words:
        return f"{abs(amount):.1f} {'above' if amount > 0 else 'below'}"
    return f"{amount:.1f}" if amount >= 0 else f"{-amount:.1f} over"


def _named(read: ReadAtFit) -> str:
    return f"{read.stop}, {read.words}"


def _doubts(side: SideFit) -> Iterator[str]:
    wrong = [r for r in side.readings if r.suspect]
    if side.not_sure:
        yield (
            f"  LOOKS WRONG: one of {'; '.join(_named(r) for r in wrong)}, by about {side.left_out_by:.1f} mm; which "
            "one cannot be told from these readings. Read them again before anything is moved."
        )
    elif wrong:
        r = wrong[0]
        yield (
            f"  LOOKS WRONG: {_named(r)}, by about {side.left_out_by:.1f} mm. Read it again. "
            "What follows leaves it out."
        )
    alone = [_named(r) for r in side.readings if not r.checked]
    if alone:
        yield f"  nothing checks: {'; '.join(alone)}. Read these once more, by another hand or another tool."
    weak = sorted((r.noticed, _named(r)) for r in side.readings if r.checked)
    if weak:
        yield (
            f"  one wrong reading would be noticed from {weak[0][0]:.1f} mm up ({weak[0][1]}) "
            f"to {weak[-1][0]:.1f} mm ({weak[-1][1]})"
        )


def _unseen(fit: fitting.HolesFit) -> Iterator[str]:
    together = [u for u in fit.unseen if np.allclose(u[:2], u[2:])]
    said = []
    if len(together) > 1:
        said.append("both holes together, any way,")
    elif together:
        ways = (("outward", "inward"), ("up", "down"))
        way = " and ".join(w[0] if v > 0 else w[1] for v, w in zip(together[0], ways, strict=False) if abs(v) >= STILL)
        said.append(f"both holes together {way}")
    said += [
        f"gate's hole by {shifted(u[:2])}, jamb's by {shifted(u[2:])}"
        for u in fit.unseen
        if not np.allclose(u[:2], u[2:])
    ]
    for what in said:
        yield f"  the readings do not tell: {what} would change none of them. Read at another stop."


def _slip(side: SideFit, fit: fitting.HolesFit) -> Iterator[str]:
    off = max(float(np.hypot(*shift)) for shift in (fit.panel - fit.panel_drawn, fit.body - fit.body_drawn))
    if not off > WANDERS:
        return
    least_checked = max(side.readings, key=lambda r: r.noticed)
    yield (
        f"  {off:.1f} mm is farther than a drill wanders: look for a slip at the marks, and read again before anything "
        f"is moved, above all what the others check least: {_named(least_checked)}"
    )


def _side(side: SideFit) -> Iterator[str]:
    fit, move = side.fit, side.move
    if fit is None or move is None:
        yield f"{side.end}:"
        yield from pivot_lines(side)
        return
    count = sum(len(r.values) for r in side.readings)
    yield f"{side.end}: {len(side.readings)} sizes, {count} readings; {fit.spare} more than needed"
    yield from _doubts(side)
    yield from pivot_lines(side)
    yield from _unseen(fit)
    yield f"  gate's hole is off its mark: {shifted(fit.panel - fit.panel_drawn)} ({give_or_take(fit.panel_ellipse)})"
    yield f"  jamb's hole is off its mark: {shifted(fit.body - fit.body_drawn)} ({give_or_take(fit.body_ellipse)})"
    yield from _slip(side, fit)
    if move.which == "none":
        yield (
            "  NOTHING TO SET: no place that the adjusters reach makes it better."
            if side.out_of_reach
            else "  LEAVE IT: every stop and gap is within what is allowed as well as can be told."
        )
    else:
        yield f"  TO DO: {_WHAT[move.which]}"
        if move.which in {"panel", "both", "together"}:
            yield f"    gate's hole: {_goes(move.panel, ', the gate shut')}"
        if move.which in {"body", "both", "together"}:
            yield f"    jamb's hole: {_goes(move.body)}"
    for beyond in side.out_of_reach:
        what = [f"{shifted(beyond.askew)}, square to the way it goes"] if shifted(beyond.askew) != "nothing" else []
        what += [f"{amount(beyond.over)} more than it goes"] if beyond.over >= STILL else []
        yield (
            f"    NOT ENOUGH: for every stop and gap to come right the {beyond.name} would have to move the hole "
            f"{listed(what, 'and')}. Give it that way to go, or drill anew"
        )
    yield from _beyond(side)
    yield f"    {'':38s} {'now':>12s} {'afterwards':>12s}   give or take   wanted, mm"
    for a in side.after:
        spread = f"{a.give_or_take:.1f}" if math.isfinite(a.give_or_take) else "not known"
        yield (
            f"    {f'{a.stop}, {a.words}':38s} {_stands(a, a.now):>12s} {_stands(a, a.then):>12s}   {spread:>12s}   "
            f"{' '.join((_stands(a, a.wanted), a.limit)).strip()}, within {round(a.within, 2):g}"
        )
    sure = f"right in at least {100 * move.right_at_least:.0f} of 100 cases"
    if move.which == "none":
        if move.right_at_least > 0:
            yield f"  as it is, all of it is {sure}"
        return
    if move.right_at_least > 0:
        yield f"  so moved, all of it comes {sure}"
    instead = [m for m in side.moves if m.which not in {"none", move.which} and m.right_at_least > 0]
    for m in sorted(instead, key=lambda m: -m.right_at_least)[:2]:
        yield f"  or {_WHAT[m.which]}: at least {100 * m.right_at_least:.0f} of 100"


def _goes(shift: np.ndarray, when: str = "") -> str:
    said = shifted(shift)
    return "stays where it is" if said == "nothing" else f"{said}, from where it is now{when}"


def _beyond(side: SideFit) -> Iterator[str]:
    """Yield by how much stops and gaps come short once the job's adjusters are set as far as they go."""
    if not side.beyond:
        return
    too_far, fine = (
        "; ".join(_short(b) for b in side.beyond if (b.left_over > b.within) == over) for over in (True, False)
    )
    said = [f"by {too_far}"] if too_far else []
    said += [f"within what is allowed by {fine}"] if fine else []
    yield f"    Set as far as they go, the job's adjusters come short {listed(said, 'and')}"
    if too_far and not side.out_of_reach:
        yield "    Drill anew for the rest, or give them farther to go, and read again."


def _short(b: Beyond) -> str:
    return f"{tenths(b.left_over)} of {changed(b.words, b.asked, tenths)} ({b.stop}, {b.words})"


def first_fit_lines(done: FirstFitResult) -> Iterator[str]:
    """Yield what to tell of a gate after its first fit, a line each."""
    yield f"{done.gate}: after the first fit; outward, inward, up and down are those of the shut gate"
    for side in done.sides:
        yield from _side(side)
    if done.pair is not None:
        yield from _pair(done.pair, done.bush_length)
    if done.few < done.average:
        finer = ", or use a finer tool (calliper or feeler gauge: gap_error = 0.1)" if done.average > _MANY else ""
        yield (
            f"Read every size {times(done.average)}{finer}, taking the tool off in between, and give all readings: "
            f"some were read only {times(done.few)}."
        )
    once = sorted({name for side in done.sides for name in side.once}, key=("nose", "sill", "head").index)
    if once:
        yield (
            f"Measure the {listed(once, 'and')} once more, as often, and put it under [side.again]: a gap can come no "
            "truer than the place of the edge it is read to."
        )
    if done.corrected_by == "drilling" and done.ceiling is not None:
        yield (
            f"One hole drilled through gate and jamb lands within 1 mm at every stop in at most "
            f"{100 * done.ceiling:.0f} of 100 gates, however well it was measured: the drill wanders. "
            "A slotted hole or an eccentric bush passes that."
        )
    for text in SHORT_CAUTIONS["gate"]:
        yield f"CAUTION: {text}"


def _pair(pair: fitting.Pair, bush_length: float) -> Iterator[str]:
    apart = float(np.hypot(*pair.worst.apart))
    sure = "" if any(a.seen for a in (*pair.at, pair.worst)) else "; that is no more than the readings' own errors make"
    yield (
        f"left and right are out of line by {apart:.1f} mm at worst, opened {abs(pair.worst.turn_deg):.0f} degrees"
        f"{sure}"
    )
    yield (
        f"  the pins lean {pair.worst.tilt_deg:.2f} degrees in their bushes: it binds unless each has "
        f"{pair.worst.clearance:.2f} mm of play over {bush_length:g} mm; held square, the gate is twisted by "
        f"{apart:.1f} mm"
    )
