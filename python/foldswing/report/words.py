"""How the sheet writes things: lengths as this job's shop reads them, sentences, warnings, tables of approaches."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from foldswing import bend, sheet, stay, units
from foldswing.evaluation import Approach, Finding
from foldswing.evaluation.findings import NEVER, odds
from foldswing.job import Job
from foldswing.job.parts import rule_words
from foldswing.sheet import Block, Table
from foldswing.tolerance import LikelyGap

# Which side of the face named a distance lies on: as it is when positive, and when negative.
OUTWARD = ("outward", "behind the face")
INWARD = ("inward", "outward")
ABOVE = ("up", "below the edge")
BELOW = ("down", "above it")
_RULES = "|".join(rf"'?\b{rule.name}\b'?" for rule in bend.rules()[::-1])
VERDICTS = {"go": "GO", "change this first": "CHANGE THIS FIRST", "cannot": "CANNOT be made as asked"}


class Words:
    """Lengths as this job's shop reads them."""

    def __init__(self, job: Job) -> None:
        self.ruler = job.sheet_ruler
        self._metric = job.units == "mm"

    def size(self, length: float) -> str:
        """Return a length to be marked: mm and the ruler's mark with its rounding error."""
        return units.show(length, self.ruler)

    def short(self, length: float) -> str:
        """Return a length where there is little room: mm to a tenth, or the nearest mark of an inch ruler."""
        return f"{length:.1f} mm" if self._metric else units.fraction(length, self.ruler)

    def mark(self, length: float, positive: str, negative: str) -> str:
        """Return a length that is a mark of the ruler already, with the word for its side of the face."""
        text = units.on_ruler(abs(length), self.ruler)
        return text if length == 0.0 else f"{text} {positive if length > 0.0 else negative}".strip()

    def gap(self, length: float) -> str:
        """Return a gap: mm to a hundredth, too fine for a ruler."""
        return f"{length:.2f} mm"

    def hole(self, diameter: float) -> str:
        """Return a hole's diameter: a drill is bought, not marked."""
        return f"{diameter:.1f} mm" if self._metric else f"{units.show(diameter, '1/64 in')}"

    def pull(self, newtons: float) -> str:
        """Return a force: N, and what mass hung there would pull as much."""
        mass = newtons / stay.GRAVITY
        return (
            f"{newtons:.0f} N (as {mass:.0f} kg)"
            if self._metric
            else f"{newtons:.0f} N (as {mass / units.kg('1 lb'):.0f} lb)"
        )

    def either(self, length: float, positive: str, negative: str, *, fine: bool = False, short: bool = False) -> str:
        """Return a length that may lie on either side of a face, with the word for its side."""
        show = self.gap if fine else self.short if short else self.size
        if abs(length) < 0.005:
            return show(0.0)
        return f"{show(abs(length))} {positive if length > 0.0 else negative}".strip()


def tenths(length: float) -> str:
    """Return a length that is told in mm whatever the ruler."""
    return f"{length:.1f} mm"


def sentences(*texts: str) -> str:
    """Return texts as sentences: a capital first, a full stop last."""
    return " ".join(f"{t[0].upper()}{t[1:].rstrip('.')}." for t in texts if t)


def sheet_of(metal: str, thickness: float, radius: float | None = None) -> tuple[str, str]:
    """Return the row of a list that says what a part is cut from."""
    bends = "" if radius is None else f"; inside radius {radius:.2f} mm"
    return "Sheet", f"{metal}, {thickness:.2f} mm{bends}"


def rules_named(text: str) -> str:
    """Return a text in which the rules for bends go by words: 'school book', 'DIN 6935'."""

    def words(found: re.Match[str]) -> str:
        return rule_words(found[0]).replace("'", "")

    return re.sub(_RULES, words, text)


def with_columns(header: Sequence[str], rows: Sequence[Sequence[str]], *, but: str) -> Table:
    """Return a table without the columns that say nothing but one word in every row."""
    kept = [i for i in range(len(header)) if any(row[i] != but for row in rows)]
    return Table(tuple(header[i] for i in kept), tuple(tuple(row[i] for i in kept) for row in rows))


def times(count: int) -> str:
    """Return how often: 'once', 'twice', '3 times'."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def warnings(findings: Iterable[Finding]) -> list[Block]:
    """Return findings as warnings."""
    return [sheet.Warning(f.what, f.number, f.feel, f.advice) for f in findings]


CLOSEST = "Closest approach to each body on each leg of the travel"


def likely(made: LikelyGap | None) -> str:
    """Return what likely errors leave of a painted gap: what 43 of 44 keep, and how many rub."""
    if made is None:
        return "no matter"
    left = f"{made.kept:.2f} mm" if made.kept > 0.0 else "nothing"
    return left if made.share < NEVER else f"{left}; {odds(made.share)} rub"


def approaches(rows: Sequence[Approach], words: Words, caption: str) -> Table:
    """Return the table of closest approaches; with likely errors where these were asked about."""
    reckoned = any(row.apart is not None for row in rows)
    more = ("Left, holes drilled apart", "Left, drilled through together") if reckoned else ()
    return Table(
        ("To", "On the way", "Where", "Bare", "Wanted, bare", "Painted", *more),
        tuple(
            (
                row.body,
                row.leg,
                row.at,
                f"overlaps {words.gap(row.depth)}" if row.depth > 0.0 else words.gap(row.bare),
                words.gap(row.wanted),
                words.gap(row.painted),
                *((likely(row.apart), likely(row.together)) if reckoned else ()),
            )
            for row in rows
        ),
        caption,
    )


def tightest(rows: Sequence[Approach], caption: str) -> Table:
    """Return the short table of approaches for the first page."""
    return Table(
        ("To", "On the way", "Where", "Bare", "Painted", "Left after likely errors"),
        tuple(
            (
                row.body,
                row.leg,
                row.at,
                f"overlaps {row.depth:.2f} mm" if row.depth > 0.0 else f"{row.bare:.2f} mm",
                f"{row.painted:.2f} mm",
                likely(row.likely),
            )
            for row in rows
        ),
        caption,
    )
