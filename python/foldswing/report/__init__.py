"""The job sheet: what a job came to, in the order a fabricator needs it."""

from __future__ import annotations

from foldswing.evaluation import Results
from foldswing.job import Job
from foldswing.report.blanks import blank_blocks
from foldswing.report.closing import closing
from foldswing.report.crowns import crown_blocks
from foldswing.report.flips import flip_blocks
from foldswing.report.gates import gate_blocks
from foldswing.report.words import VERDICTS, Words
from foldswing.sheet import Block, Document, Paragraph, Table

__all__ = ["Words", "job_sheet"]

INVENTED = "INVENTED DEMO DATA: not from any real build. Do not cut metal to it."


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
        blocks += gate_blocks(wanted, done, job, words)
    for flip in results.flip_panels:
        blocks += flip_blocks(flip, job, words)
    for blank in results.blanks:
        blocks += blank_blocks(blank, job, words)
    for crown in results.crowns:
        blocks += crown_blocks(crown, job, words)
    blocks += closing(results)
    return Document(job.title, f"Job sheet. Paint counted: {_paint(job)}.", job.revision or "", tuple(blocks))


def _paint(job: Job) -> str:
    return f"{job.paint.per_face:.2f} mm on each face" if job.paint else "none, bare metal throughout"
