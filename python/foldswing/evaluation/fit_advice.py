"""How often to read after the first fit, and what no reading can pass: the drill's own ceiling."""

from __future__ import annotations

from foldswing import fitting
from foldswing._values import value
from foldswing.job.first_fit import FirstFit
from foldswing.job.keys import keys_of
from foldswing.job.shop import Errors

WITHIN = 1.0  # mm; within which every stop and every gap is to come
MAY_FAIL = 0.01  # share of gates that may come out wrong: one in a hundred, shared out among all that must be right
CALLIPER = 0.1  # mm; how far a gap read by calliper or feeler gauge is usually out; common practice, no source
SHUT_GAPS = 3  # nose, sill and head, which must come right beside what the stops ask

_DEFAULT = {name: key.default for name, key in keys_of(FirstFit).items()}


@value
class FitAdvice:
    """What to expect of the first fit.

    Attributes
    ----------
    average_to_adjust, average_to_drill : int
        Readings of each size worth averaging before an adjuster is set, and before a hole is drilled anew.
    drill_by_calliper : int
        The same before a hole is drilled anew, read by calliper or feeler gauge.
    ceiling : float or None
        Share of gates that can land within 1 mm at every stop where one hole is drilled through both parts, 0 to 1; by
        the drill alone. None where no stop asks anything.
    """

    average_to_adjust: int
    average_to_drill: int
    drill_by_calliper: int
    ceiling: float | None


def average(reading_error: float, setting_error: float, asked: int) -> int:
    """Return how many readings of each size to average where so many things must come right together."""
    share = 1.0 - MAY_FAIL / max(asked, 1)
    return fitting.readings_to_average(reading_error, setting_error, tolerance=WITHIN, share=share)


def fit_advice(errors: Errors, turns_deg: list[float]) -> FitAdvice:
    """Return what to expect of the first fit of a gate whose stops ask something at these turns, one for each."""
    asked = SHUT_GAPS + len(turns_deg)
    reading = float(_DEFAULT["reading_error"])
    ceiling = (
        fitting.drilling_ceiling(errors.hole, turns_deg, tolerance=WITHIN) if errors.hole > 0 and turns_deg else None
    )
    return FitAdvice(
        average(reading, float(_DEFAULT["set_within"]), asked),
        average(reading, errors.hole, asked),
        average(CALLIPER, errors.hole, asked),
        ceiling,
    )
