"""The pivot that a trace or poses give, in lines for the terminal."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from foldswing import fitting, units
from foldswing.evaluation.first_fit import SideFit
from foldswing.evaluation.reach import STILL
from foldswing.evaluation.true_pivot import PivotFound
from foldswing.job.keys import listed

FINE = "1/64 in"  # the finest ruler a bench has; a move is small
WANDERS = 2.5  # mm; six times what a drill is usually out (common practice, no source): farther off is a slip
_SHORT = 30.0  # degrees; a shorter swing tells the pivot badly
_FEW_POINTS = 10  # of a trace
_CALLED = {"trace": "traced arc", "poses": "measured poses"}


def amount(v: float) -> str:
    """Return a small distance in mm and as the nearest mark of an inch ruler, where there is one but zero."""
    half_a_step = 0.5 * units.ruler_step(FINE)
    return units.show(abs(v), FINE) if abs(v) > half_a_step else f"{abs(v):.1f} mm"


def shifted(shift: np.ndarray) -> str:
    """Return a shift in words, the gate shut."""
    parts = [
        f"{amount(float(v))} {plus if v > 0 else minus}"
        for v, (plus, minus) in zip(shift, (("outward", "inward"), ("up", "down")), strict=True)
        if abs(v) >= STILL
    ]
    return " and ".join(parts) or "nothing"


def give_or_take(e: fitting.Ellipse) -> str:
    """Return how well a place is known."""
    if math.isinf(e.semi_minor):
        return "not seen by these readings"
    if math.isinf(e.semi_major):
        return f"seen one way only, within {e.semi_minor:.1f} mm"
    return f"19 in 20 within {e.semi_major:.1f} mm one way, {e.semi_minor:.1f} mm square to it"


def _place(out: float, below: float) -> str:
    """Return a place from the wall's outer face and from the worktop surface."""
    across = f"{amount(out)} {'outward of' if out > 0 else 'inward from'} the wall's outer face"
    return f"{across}, {amount(below)} {'below' if below >= 0 else 'above'} the worktop surface"


def pivot_lines(side: SideFit) -> Iterator[str]:
    """Yield what a trace and poses say of the pivot at one end."""
    said = any(r.suspect and r.stop.startswith("pose ") for r in side.readings)
    for found in side.pivots:
        yield from _one(found, said=said and found.how == "poses")
    if side.fit is None:
        yield from _alone(side)


def _one(found: PivotFound, *, said: bool) -> Iterator[str]:
    """Yield what one of them says; `said`: what looks wrong in it was named before."""
    called = _CALLED[found.how]
    if found.status != "point":
        yield from _no_pivot(found)
        return
    yield f"  pivot by the {called}: {_place(float(found.pivot[0]), found.below_worktop)}"
    yield f"    as drawn: {_place(float(found.drawn[0]), found.drawn_below)}"
    known = "nothing tells how sure that is" if found.ellipse is None else give_or_take(found.ellipse)
    yield f"    off the drawing: {shifted(found.pivot - found.drawn)} ({known})"
    if not said:
        yield from _wrong(found)
    if found.how == "poses":
        for p in found.places:
            mark = "  <- looks wrong" if p.suspect else ""
            yield f"    pose '{p.name}' would have the pivot off that: {_off(p.off)}{mark}"
    if found.turned_deg < _SHORT:
        yield (
            f"    swung only {found.turned_deg:.0f} degrees: the pivot is told badly; swing the gate as far as it goes "
            "and read again"
        )
    elif found.how == "trace" and len(found.places) < _FEW_POINTS:
        yield f"    {len(found.places)} points; {_FEW_POINTS} along the whole arc tell it better"
    if found.strays:
        what = "points stray from a round arc" if found.how == "trace" else "poses stray from one pivot"
        yield (
            f"    WARNING: the {what} {found.misfit:.1f} times as far as readings are out: the pin is loose in its "
            "hole, the jamb gives, or the pencil or tape was not held alike. Push and pull at the gate and watch the "
            "pin before anything is drilled."
        )
    yield from _agreement(found)


def _off(off: np.ndarray) -> str:
    return shifted(off) if np.isfinite(off).all() else "not compared"


def _wrong(found: PivotFound) -> Iterator[str]:
    wrong = [p.name for p in found.places if p.suspect]
    if not wrong:
        return
    if found.left_out:
        yield (
            f"    LOOKS WRONG: {_quoted(found, wrong)}, by about {found.off_by:.1f} mm. Measure it again. The pivot "
            "leaves it out."
        )
    else:
        yield (
            f"    LOOKS WRONG: one of {_quoted(found, wrong)}, by about {found.off_by:.1f} mm; which one cannot be "
            "told. Measure these again."
        )


def _quoted(found: PivotFound, names: list[str]) -> str:
    return listed([n if found.how == "trace" else f"pose '{n}'" for n in names], "and")


def _agreement(found: PivotFound) -> Iterator[str]:
    if not found.against:
        return
    if found.agrees:
        yield (
            f"    agrees with {found.against}: the jamb's hole by these is {found.apart:.1f} mm from it, no more than "
            "both may be out"
        )
    else:
        yield (
            f"    WARNING: by {found.against} the jamb's hole is {amount(found.apart)} from it, more than the errors "
            "of both allow: the pin is loose in its hole, the jamb gives, or a size was read wrongly. The gate would "
            "drop or shift as it is let go. Push and pull at it and watch the pin, pack it tight, and read again "
            "before anything is drilled."
        )


def _no_pivot(found: PivotFound) -> Iterator[str]:
    called = _CALLED[found.how]
    if found.status == "slide" and found.how == "trace":
        yield (
            f"  the {called} is straight: the gate slid, it did not turn. See that the pin is in its hole, or trace a "
            "longer arc."
        )
    elif found.status == "slide":
        yield (
            f"  the {called}: the gate slid, it did not turn, as well as can be told. There is no pivot in that: see "
            "that the pin is in its hole, and measure poses as far apart as the gate swings."
        )
        yield from _wrong(found)
    elif found.status == "still":
        yield f"  the {called} are all one: the gate was not moved. Measure it shut and at its stops."
    else:
        yield f"  the {called} is no part of a circle that could be found: measure its points again."


def _alone(side: SideFit) -> Iterator[str]:
    """Yield what to do where the holes are not told: a trace sees the jamb's hole alone."""
    sound = [p for p in side.pivots if p.status == "point"]
    if not sound:
        return
    found = sound[0]
    back = found.drawn - found.pivot
    if np.hypot(*back) > WANDERS:
        yield (
            f"  {np.hypot(*back):.1f} mm is farther than a drill wanders: see that every point was measured from the "
            "right face or edge, and on its right side, before anything is drilled"
        )
    if shifted(back) == "nothing":
        yield "  the jamb's hole is where it should be; a trace does not see the gate's hole: read the gaps shut too"
        return
    yield (
        f"  a trace sees the jamb's hole alone, which wants to go {shifted(back)}. Read the gaps of the shut gate "
        "before anything is drilled: where they are as wanted, both holes are off together (plug both, pack the gate "
        "up as it must hang shut with the pivot moved so, drill through both); where they are out by as much, the "
        "jamb's hole alone is."
    )
