"""The job sheet: what a job came to, in the order a fabricator needs it."""

from __future__ import annotations

from foldswing.evaluation import Results
from foldswing.job import Job, ShopUse
from foldswing.report.blanks import blank_blocks, cut_blocks
from foldswing.report.closing import closing
from foldswing.report.crowns import crown_blocks
from foldswing.report.curved_flanges import curved_flange_blocks
from foldswing.report.developed import developed_blocks
from foldswing.report.first_page import blank_page, crown_page, curved_flange_page, developed_page, flip_page, gate_page
from foldswing.report.flips import flip_blocks
from foldswing.report.gates import gate_blocks
from foldswing.report.shop import shop_blocks
from foldswing.report.spread import spread_blocks
from foldswing.report.words import VERDICTS, Words
from foldswing.sheet import Block, Document, Heading, PageBreak, Paragraph

__all__ = ["Words", "job_sheet"]

INVENTED = "INVENTED DEMO DATA: do not cut metal to it."


def job_sheet(job: Job, results: Results, shop: ShopUse | None = None) -> Document:
    """Return the sheet of a job.

    Parameters
    ----------
    job : Job
        As given.
    results : Results
        As evaluated.
    shop : ShopUse or None
        What the job took from a shop file.

    Returns
    -------
    sheet.Document
        For sheet.to_html and sheet.to_pdf.
    """
    words = Words(job)
    pages = _pages(job, results, words)
    blocks: list[Block] = []
    for page in pages:
        blocks += [*page, PageBreak()]
    blocks.append(Heading("Details"))
    if len(pages) > 1:
        verdicts = "; ".join(f"{p.name}: {VERDICTS[p.verdict]}" for p in results.parts)
        blocks.append(Paragraph(f"{verdicts}. Each has a page of its own before this one."))
    if job.note:
        blocks.append(Paragraph(job.note))
    for wanted, done in zip(job.gate, results.gates, strict=True):
        blocks += gate_blocks(wanted, done, job, words)
    for flip in results.flip_panels:
        blocks += flip_blocks(flip, job, words)
    for blank in results.blanks:
        blocks += blank_blocks(blank, job, words)
    blocks += cut_blocks(results.cut_list, results.developed, job, words)
    for flange in results.curved_flanges:
        blocks += curved_flange_blocks(flange, job, words)
    for shell in results.developed:
        blocks += developed_blocks(shell, job, words)
    for crown in results.crowns:
        blocks += crown_blocks(crown, job, words)
    blocks += spread_blocks(results)
    blocks += shop_blocks(shop)
    blocks += closing(results)
    said = f"{INVENTED} " if job.invented else ""
    revision = f"revision {job.revision}" if job.revision else ""
    return Document(job.title, f"{said}Job sheet; paint counted: {_paint(job)}.", revision, tuple(blocks))


def _pages(job: Job, results: Results, words: Words) -> list[list[Block]]:
    """Return the page to pin up of every part."""
    return [
        *(gate_page(wanted, done, job, words) for wanted, done in zip(job.gate, results.gates, strict=True)),
        *(flip_page(done, job, words) for done in results.flip_panels),
        *(blank_page(done, job, words) for done in results.blanks),
        *(curved_flange_page(done, job, words) for done in results.curved_flanges),
        *(developed_page(done, job, words) for done in results.developed),
        *(crown_page(done, job, words) for done in results.crowns),
    ]


def _paint(job: Job) -> str:
    return f"{job.paint.per_face:.2f} mm on each face" if job.paint else "none, bare metal throughout"
