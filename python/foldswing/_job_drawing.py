"""What every drawing of a job shares: its title, revision and date, how it writes lengths, from where it is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from foldswing import units
from foldswing.job import Gate, Job


def revision(job: Job) -> str:
    """Return what every drawing carries: the revision, the date, and the mark of invented data."""
    words = [f"revision {job.revision}"] if job.revision else []
    words += [job.date] if job.date else []
    return "; ".join([*words, *(["INVENTED DEMO DATA"] if job.invented else [])])


def lengths(job: Job) -> dict[str, Any]:
    """Return how a template writes lengths: in full in its notes, short beside its lines, in the units of the job."""
    words: dict[str, Callable[[float], str]] = {"show": lambda length: units.show(length, job.sheet_ruler)}
    if job.units == "inch":
        words["label"] = lambda length: units.fraction(length, job.sheet_ruler)
    return words


def title(job: Job, name: str) -> str:
    return f"{job.title}: {name}"


def view_of(wanted: Gate) -> str:
    return f"section seen from the {wanted.seen_from} as you stand outside"


def seen(wanted: Gate, thing: Any) -> Any:
    """Return a path or outline as seen from the end the job asks for: sections are worked out from the left end."""
    return thing if wanted.seen_from == "left end" else thing.mirrored((0.0, 0.0), (0.0, 1.0))


def seen_point(wanted: Gate, point: Any) -> tuple[float, float]:
    x, y = (float(v) for v in point)
    return (x, y) if wanted.seen_from == "left end" else (-x, y)
