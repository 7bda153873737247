"""How even the gaps of a gate run: along the edges of a measured opening, and along the nose by stations."""

from __future__ import annotations

from collections.abc import Sequence

from foldswing import seam
from foldswing._core.plane import Path, Pose
from foldswing._values import value
from foldswing.evaluation.openings import JAMBS, NOTICED, OpeningResult
from foldswing.evaluation.stations import StationResult
from foldswing.job import Gate

# Corners of opening and gate at both ends of an edge: from the left, or from the sill up.
_ENDS = {"sill": (0, 1), "right": (1, 2), "head": (3, 2), "left": (0, 3)}


@value
class SeamResult:
    """The gap along one edge of the gate.

    Attributes
    ----------
    name : str
        What stands there.
    counted_from : str
        Where places along it count from.
    wanted : float
        The gap wanted, bare, mm.
    allowed : float
        How far it may be out before it shows, mm.
    seam : seam.Seam
        The gap all along, bare.
    """

    name: str
    counted_from: str
    wanted: float
    allowed: float
    seam: seam.Seam


def evaluate_seams(
    wanted: Gate, cut: OpeningResult, stations: Sequence[StationResult], *, sill: float | None = None
) -> tuple[SeamResult, ...]:
    """Return the gap along every edge that is known from more than one place.

    Parameters
    ----------
    wanted : Gate
        With bare gaps.
    cut : OpeningResult
        The opening and the gate in it.
    stations : sequence of StationResult
        Places along the hinge.
    sill : float or None
        Gap to the sill as the gate hangs on its marks, mm; rounded marks hang it a little higher or lower than
        it is cut for.

    Returns
    -------
    tuple of SeamResult
        Edges of the opening where it was measured all round; the nose, open, where there are stations.
    """
    out = []
    if cut.shape is not None and cut.panel is not None and cut.panel.status != "none":
        cut_for = next(gap.least_bare for gap in cut.panel.gaps if gap.edge == "sill")
        hung = Pose(0.0, 0.0 if sill is None else sill - cut_for, 0.0)
        for gap in cut.panel.gaps:
            ends = list(_ENDS[gap.edge])
            edge, fixed = (Path(corners[ends], [0.0]) for corners in (cut.panel.corners, cut.shape.corners))
            # at the sill the room there is, not the gap wanted, decides what the gate is cut to
            own = wanted.gaps.sill if gap.edge == "sill" else None
            asked = float(gap.needed if own is None else own)
            along = seam.between(edge.moved(hung), fixed, wanted=asked, allowed=NOTICED)
            start = "from the left" if gap.edge in {"sill", "head"} else "from the sill up"
            out.append(SeamResult(JAMBS.get(gap.edge, gap.edge), start, asked, NOTICED, along))
    lands = next((s for s in wanted.stop if s.nose_gap is not None), None)
    # a limit says nothing of how even the gap is to run
    own = lands.nose_gap if lands is not None and lands.nose_gap_is == "exactly" else None
    nose = own if own is not None else wanted.gaps.nose
    places = sorted(stations, key=lambda s: s.from_left)
    if nose is not None and lands is not None and len(places) > 1:
        along = seam.along([s.from_left for s in places], [s.nose_gap for s in places], wanted=nose, allowed=NOTICED)
        out.append(SeamResult(f"worktop nose, at '{lands.name}'", "from the left", float(nose), NOTICED, along))
    return tuple(out)
