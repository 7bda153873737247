"""Everything a job comes to."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Any

from foldswing._core import InvalidInput, __version__
from foldswing._values import value
from foldswing.evaluation.bending import with_bending
from foldswing.evaluation.blanks import BlankResult, evaluate_bent_part, evaluate_pan
from foldswing.evaluation.crowns import CrownResult, evaluate_crown
from foldswing.evaluation.curved_flanges import CurvedFlangeResult, evaluate_curved_flange
from foldswing.evaluation.developed import DevelopedResult, evaluate_developed
from foldswing.evaluation.findings import Verdict
from foldswing.evaluation.flips import FlipResult, evaluate_flip_panel
from foldswing.evaluation.gates import GateResult, evaluate_gate
from foldswing.evaluation.ordering import CutSheet, Piece, cut_sheets
from foldswing.evaluation.refusals import short_numbers
from foldswing.evaluation.spread import ReadSize, Uncertain, read_sizes, uncertain
from foldswing.evaluation.stock import with_stock
from foldswing.evaluation.trays import evaluate_section, evaluate_tray
from foldswing.job import Job
from foldswing.job.keys import LONGEST_LENGTH


@value
class Results:
    """A job worked out, part by part, in the order of the job file; what its readings leave uncertain; its cut list."""

    title: str
    version: str
    gates: tuple[GateResult, ...]
    flip_panels: tuple[FlipResult, ...]
    blanks: tuple[BlankResult, ...]
    crowns: tuple[CrownResult, ...]
    readings: tuple[ReadSize, ...] = ()
    uncertain: tuple[Uncertain, ...] = ()
    cut_list: tuple[CutSheet, ...] = ()
    developed: tuple[DevelopedResult, ...] = ()
    curved_flanges: tuple[CurvedFlangeResult, ...] = ()

    @property
    def parts(self) -> tuple[Any, ...]:
        """All parts."""
        return (
            *self.gates,
            *self.flip_panels,
            *self.blanks,
            *self.curved_flanges,
            *self.developed,
            *self.crowns,
        )

    @property
    def verdict(self) -> Verdict:
        """The worst of the parts: 'cannot', 'change this first' or 'go'."""
        verdicts = {part.verdict for part in self.parts}
        order: tuple[Verdict, ...] = ("cannot", "change this first", "go")
        return next(v for v in order if v in verdicts)


def evaluate(job: Job, *, progress: Callable[[str], None] = lambda _: None) -> Results:
    """Work out a whole job.

    Parameters
    ----------
    job : Job
        As read by foldswing.job.read.
    progress : callable
        Told the name of each part as its turn comes.

    Returns
    -------
    Results
        A part that cannot be made as asked is a result that says so, never an exception.

    Raises
    ------
    InvalidInput
        When the sizes of a part contradict each other; the message begins with its name.
    """

    def each(parts: Any, work: Callable[[Any, Job], Any]) -> tuple[Any, ...]:
        out = []
        for part in parts:
            progress(part.name)
            done = _named(part.name, work, part, job)
            _require_drawable(part.name, done)
            out.append(with_stock(with_bending(done, part, job), part, job))
        return tuple(out)

    gates, flips = each(job.gate, evaluate_gate), each(job.flip_panel, evaluate_flip_panel)
    blanks = (
        *each(job.pan, evaluate_pan),
        *each(job.tray, evaluate_tray),
        *each(job.section, evaluate_section),
        *each(job.bent_part, evaluate_bent_part),
    )
    developed = each(job.developed, evaluate_developed)
    flanges = each(job.curved_flange, evaluate_curved_flange)
    one_way = {*(p.name for p in job.section), *(p.name for p in job.bent_part)}
    return Results(
        job.title,
        __version__,
        gates,
        flips,
        blanks,
        each(job.crown, evaluate_crown),
        read_sizes(job),
        uncertain(job),
        cut_sheets([*_pieces(blanks, one_way), *_pieces(flanges), *_patterns(developed)], job),
        developed,
        flanges,
    )


def _require_drawable(name: str, done: Any) -> None:
    """Refuse a blank that no drawing holds: a slip of a unit or of the decimal point."""
    sheets = [done.sheet] if hasattr(done, "sheet") else []
    sheets += [(one.pattern.length, one.pattern.width) for one in getattr(done, "patterns", ())]
    for long, wide in sheets:
        if not max(long, wide) <= LONGEST_LENGTH:
            raise InvalidInput(
                f"{name}: its sizes make a blank of {long:.0f} by {wide:.0f} mm, and the most is "
                f"{LONGEST_LENGTH:.0f} mm: one of them has a slip in its unit or its decimal point"
            )


def _pieces(done: Sequence[Any], one_way: Collection[str] = ()) -> list[Piece]:
    return [Piece(d.name, d.metal, d.thickness, d.sheet, one_way=d.name in one_way) for d in done]


def _patterns(done: Sequence[DevelopedResult]) -> list[Piece]:
    """Return the patterns of developed parts, as they are drawn: without what seams need."""
    return [
        Piece(name, d.metal, d.thickness, (each.pattern.length, each.pattern.width), each.count)
        for d in done
        for name, each in zip(d.piece_names, d.patterns, strict=True)
    ]


def _named(name: str, work: Callable[[Any, Job], Any], part: Any, job: Job) -> Any:
    """Work a part out; an error tells its name."""
    try:
        return work(part, job)
    except InvalidInput as why:
        raise InvalidInput(f"{name}: {short_numbers(str(why))}") from None
