"""What stays the same from job to job in one shop: its rulers, drills and pins, its paint, how far it is usually out."""

from __future__ import annotations

from foldswing.job.keys import key, keyed


@keyed
class Errors:
    """How far this shop is usually out: standard deviations, of which a third of all cases exceed one."""

    hole: float = key("length", "Of a drilled hole, sideways and up or down each.", default=0.4, zero=True, most=10)
    measured: float = key(
        "length", "Of a place measured with the tape, such as the worktop nose.", default=0.5, zero=True, most=25
    )
