"""The output folder of a job: sheet, results and full-size templates, written whole or not at all."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import json
import math
import os
import shutil
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from foldswing import drawing, evaluation, pictures, report, sheet
from foldswing._core import InvalidInput, __version__
from foldswing.evaluation import Results
from foldswing.job import Job, ShopUse

__all__ = ["Written", "results_json", "write_job"]

RESULTS = "results.json"
RESULTS_FORMAT = 1
UNITS = "lengths mm, angles degrees, masses kg; opening angles are counted from shut, section axes x outward, y up"


class Written(NamedTuple):
    """What was written: the results and the names of the files."""

    results: Results
    files: tuple[str, ...]


def write_job(
    job: Job,
    data: bytes,
    name: str,
    folder: str | os.PathLike[str],
    *,
    paper: str | None = None,
    bars: tuple[Any, Any] | None = None,
    date: str | None = None,
    replace: bool = False,
    progress: Callable[[str], None] = lambda _: None,
    shop: ShopUse | None = None,
) -> Written:
    """Work out a job and write its output folder.

    Parameters
    ----------
    job : Job
        As read.
    data, name : bytes, str
        The job file and its name: its SHA-256 goes into results.json, a copy into the folder.
    folder : path
        Made new; its parent must exist.
    paper : {'A4', 'Letter'} or None
        For sheet and templates; None as the job says.
    bars : pair of lengths or None
        What the two 100 mm bars of an earlier print measured, along the short and the long side of the paper: the
        templates are printed corrected for it. SVG and DXF stay exact.
    date : str or None
        On every drawing; None as the job says, and where it says nothing the day of the run.
    replace : bool
        Replace a folder that was written by this function before. A folder with anything else in it is never touched.
    progress : callable
        Told each step.
    shop : ShopUse or None
        What the job took from a shop file: named on the sheet and in results.json.

    Returns
    -------
    Written
        Results and file names.

    Raises
    ------
    FileExistsError
        When the folder is there and may not be replaced.
    OSError
        When it cannot be written; nothing is left behind.
    InvalidInput
        When the job's sizes contradict each other.
    """
    target = Path(folder)
    _refuse_existing(target, replace=replace)
    if paper not in {None, "A4", "Letter"}:
        raise InvalidInput(f"paper must be 'A4' or 'Letter', got {paper!r}")
    on = paper or job.sheet_paper
    results = evaluation.evaluate(job, progress=progress)
    files: dict[str, str | bytes] = {"job.toml": data}
    job = dataclasses.replace(job, date=date or job.date or datetime.date.today().isoformat())
    for stem, draft in pictures.templates(job, results, paper=on).items():
        progress(f"drawing {stem}")
        files[f"{stem}.svg"] = drawing.to_svg(draft)
        files[f"{stem}.dxf"] = drawing.to_dxf(draft)
        files[f"{stem}.pdf"] = drawing.to_pdf(draft, paper=on, bars=bars)
    progress("job sheet")
    document = report.job_sheet(job, results, shop)
    files["job-sheet.html"] = sheet.to_html(document)
    files["job-sheet.pdf"] = sheet.to_pdf(document, paper=on)
    names = sorted([*files, RESULTS])
    files[RESULTS] = results_json(results, data, name, names, shop)
    _write_folder(target, files, replace=replace)
    return Written(results, tuple(sorted(files)))


def results_json(
    results: Results, data: bytes, name: str, files: Sequence[str] = (), shop: ShopUse | None = None
) -> str:
    """Return results.json: shortest round-trip numbers, null where there is no number; `files` are those beside it."""
    head = {
        "format": RESULTS_FORMAT,
        "foldswing": __version__,
        "job_file": name,
        "job_sha256": hashlib.sha256(data).hexdigest(),
        **_from_shop(shop),
        "units": UNITS,
        "files": list(files),
        "verdict": results.verdict,
    }
    return json.dumps(_finite({**head, **results.to_dict()}), indent=1, ensure_ascii=False, allow_nan=False) + "\n"  # type: ignore[attr-defined]


def _from_shop(shop: ShopUse | None) -> dict[str, Any]:
    if shop is None:
        return {}
    return {"shop_file": shop.name, "shop_sha256": shop.sha256, "from_shop": dict(shop.values)}


def _finite(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _finite(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_finite(v) for v in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _refuse_existing(target: Path, *, replace: bool) -> None:
    if not os.path.lexists(target):
        return
    if not target.is_dir() or target.is_symlink():
        raise FileExistsError(f"{target} is there already and is no folder; nothing was written")
    inside = {p.name for p in target.iterdir()}
    if inside and not replace:
        raise FileExistsError(f"{target} is there already; nothing was written (--replace to replace it)")
    strangers = sorted(inside - _written_before(target))
    if strangers:
        raise FileExistsError(f"{target} holds '{strangers[0]}', which is no output of a job; it is not replaced")


def _written_before(target: Path) -> set[str]:
    """Return the names of the files that an earlier run left in a folder."""
    try:
        listed = json.loads((target / RESULTS).read_text(encoding="utf-8"))["files"]
    except (OSError, ValueError, KeyError, TypeError):
        return set()
    return {name for name in listed if isinstance(name, str)} if isinstance(listed, list) else set()


def _write_folder(target: Path, files: dict[str, str | bytes], *, replace: bool) -> None:
    """Write the files into a new folder beside the target, then put it there in one step."""
    beside = target.absolute().parent
    work = Path(tempfile.mkdtemp(prefix=f".{target.name[:40]}-", dir=beside))
    try:
        for name, content in files.items():
            (work / name).write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
        work.chmod(0o755)
        _refuse_existing(target, replace=replace)
        if target.exists():
            old = Path(tempfile.mkdtemp(prefix=f".{target.name[:40]}-old-", dir=beside))
            os.replace(target, old)
            os.replace(work, target)
            shutil.rmtree(old)
        else:
            os.replace(work, target)
    except BaseException:
        shutil.rmtree(work, ignore_errors=True)
        raise
