"""What a shop's usual errors do to a closest approach: two holes and a measured body, each a little out."""

from __future__ import annotations

from typing import Any

from foldswing import _core
from foldswing._core.plane import Path
from foldswing._values import value

__all__ = ["LikelyGap", "Obstacle", "likely_gap", "signed_gap"]


@value
class Obstacle:
    """A fixed body, how well its place is known, and what the gap to it has to exceed.

    Parameters
    ----------
    section : Path
        Closed, without holes.
    across, up : length
        Standard deviation of where it stands along x and y, mm; >= 0.
    contact : length
        Gap at which they touch: the paint on both faces, mm; >= 0.
    """

    section: Path
    across: Any = 0.0
    up: Any = 0.0
    contact: Any = 0.0


@value
class LikelyGap:
    """What is left of the smallest gap over a turn, less the contact, from one panel made so to the next; mm.

    Below zero is an overlap by its depth, or paint on paint.

    Attributes
    ----------
    as_drawn : float
        With no error at all.
    mean, deviation : float
        Of all panels; the deviation is the standard one.
    kept : float
        What all but 2.275 % (1 in 44) keep: two deviations below a normal mean.
    share : float
        Of panels with nothing left: they rub; 0 to 1.
    """

    as_drawn: float
    mean: float
    deviation: float
    kept: float
    share: float


def likely_gap(
    panel: Path,
    body: Obstacle,
    *,
    pivot: Any,
    turn_from_deg: Any = 0.0,
    turn_to_deg: Any,
    hole: Any,
    together: bool = False,
) -> LikelyGap:
    """Return how the gap between a panel and a fixed body comes out with both holes and the body a little out.

    Parameters
    ----------
    panel : Path
        Closed section as it stands shut.
    body : Obstacle
        What it passes.
    pivot : point
        Both holes as drawn, mm.
    turn_from_deg, turn_to_deg : angle
        The leg: from shut, counter-clockwise positive, degrees.
    hole : length
        Standard deviation of each hole along x and along y, mm; >= 0.
    together : bool
        Drilled through together: both holes are out alike, so that the panel hangs true shut.

    Returns
    -------
    LikelyGap
        Within about 0.5 % of the deviation and 1 % of a share (5 % where the gap shrinks every way alike, as in the
        middle of a frame); same input, same bits. What is mirrored, or turned by a quarter, comes out the same.

    Raises
    ------
    InvalidInput
        When an error is negative, a path is open or crosses itself, or the turn is over 360 degrees.

    Notes
    -----
    Errors are normal and independent. Line sampling along the direction in which the gap changes most (Koutsourelakis,
    Pradlwarter and Schueller, 2004; from memory); the lines lie in equal steps along the direction in which the gap
    bends most, and by Gauss's rules along those left. The gap of each case is found on the sections' true
    arcs.

    Examples
    --------
    >>> from foldswing.plane import Path
    >>> gate = Path([(-28, -36), (0, -36), (0, 324), (-28, 324)], [0, 0, 0, 0], closed=True)
    >>> rail = Obstacle(Path([(184, -150), (216, -150)], [180, 180], closed=True), across=0.5, contact=0.3)
    >>> made = likely_gap(gate, rail, pivot=(-10, -18), turn_to_deg=-90, hole=0.4)
    >>> round(made.as_drawn, 1), round(made.deviation, 1), made.share < 1e-9
    (105.7, 0.6, True)
    """
    if not isinstance(body, Obstacle):
        raise _core.InvalidInput(f"body must be an Obstacle, got {body!r:.80}")
    for name, path in (("panel", panel), ("section", body.section)):
        if not isinstance(path, Path):
            raise _core.InvalidInput(f"{name} must be a Path, got {path!r:.80}")
    return LikelyGap(
        *_core.tolerance.likely_gap(
            panel,
            body.section,
            body.across,
            body.up,
            body.contact,
            pivot,
            turn_from_deg,
            turn_to_deg,
            hole,
            together,
        )
    )


def signed_gap(panel: Path, body: Path, *, pivot: Any, turn_from_deg: Any = 0.0, turn_to_deg: Any) -> float:
    """Return the smallest gap over a turn, mm, minus the depth where the sections overlap; see likely_gap.

    Where bars cross at the start with no corner of one in the other it is 0.
    """
    return _core.tolerance.signed_gap(panel, body, pivot, turn_from_deg, turn_to_deg)
