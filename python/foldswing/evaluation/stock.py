"""Whether the shop has the drills and pins that a part asks for."""

from __future__ import annotations

import dataclasses
from typing import Any

from foldswing.evaluation.findings import Finding
from foldswing.job import FlipPanel, Gate, Job

SAME_DRILL = 0.05  # mm; a drill so near makes the hole asked for (common practice, no source)


def with_stock(done: Any, wanted: Any, job: Job) -> Any:
    """Return the result of a part with a finding for every hole or pin that the shop has not; none stops the work."""
    findings = stock_findings(wanted, job)
    return dataclasses.replace(done, findings=(*done.findings, *findings)) if findings else done


def stock_findings(wanted: Any, job: Job) -> list[Finding]:
    """Return a finding for every hole without a drill and every pin not in stock; nothing where no stock is listed."""
    if not isinstance(wanted, (Gate, FlipPanel)):
        return []
    pin = wanted.hinge.pin_diameter if isinstance(wanted, Gate) else wanted.pin_diameter
    bush = wanted.hinge.bush_diameter if isinstance(wanted, Gate) else None
    out = []
    for hole, diameter in (("the pin", pin), ("the bush", bush)):
        if diameter is not None and (near := _missing(diameter, job.drills)):
            out.append(
                Finding(
                    f"No drill for the hole of {hole}",
                    f"{diameter:.2f} mm wanted; nearest there: {near}",
                    "a larger hole drops by the difference, a smaller one binds",
                    "get the drill or reamer, or use the pin and bush it is there for",
                    stops_work=False,
                )
            )
    if near := _missing(pin, job.pins):
        out.append(
            Finding(
                "The pin is not in stock",
                f"{pin:.2f} mm wanted; nearest there: {near}",
                "work stops half way for want of it",
                "order it before drilling, or drill for a pin there is",
                stops_work=False,
            )
        )
    return out


def _missing(diameter: float, there: tuple[float, ...]) -> str:
    """Return the nearest of what is there, in words, where none is the one wanted; else an empty text."""
    if not there or any(abs(d - diameter) <= SAME_DRILL for d in there):
        return ""
    return f"{min(there, key=lambda d: abs(d - diameter)):.2f} mm"
