"""How the sheet writes things: lengths as this job's shop reads them, sentences, warnings, tables of approaches."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from foldswing import sheet, units
from foldswing.evaluation import Approach, Finding
from foldswing.job import Job
from foldswing.sheet import Block, Table

VERDICTS = {
    "go": "GO: nothing here stops the work",
    "change this first": "CHANGE THIS FIRST: see the warnings",
    "cannot": "CANNOT be made as asked: see why below",
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


def sentences(*texts: str) -> str:
    """Return texts as sentences: a capital first, a full stop last."""
    return " ".join(f"{t[0].upper()}{t[1:].rstrip('.')}." for t in texts if t)


def warnings(findings: Iterable[Finding]) -> list[Block]:
    """Return findings as warnings."""
    return [sheet.Warning(f.what, f.number, f.feel, f.advice) for f in findings]


CLOSEST = "Closest approach to each body on each leg of the travel"


def approaches(rows: Sequence[Approach], words: Words, caption: str) -> Table:
    """Return the table of closest approaches."""
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
