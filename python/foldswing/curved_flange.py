"""A flange turned up along a curved line: what its edge must stretch or shrink, and the cuts where the metal cannot."""

from __future__ import annotations

from typing import Any, Literal

from foldswing import _core
from foldswing._core.plane import Path
from foldswing._values import value

__all__ = ["CurvedFlange", "curved_flange"]


@value
class CurvedFlange:
    """A flange along a curve, on its blank.

    Attributes
    ----------
    easing : str
        'none': the metal can take it. 'notches': slits that open in a stretching edge. 'darts': wedges cut out of a
        shrinking edge. 'impossible': the bend itself asks too much.
    strain : float
        Of the edge along itself, fraction; positive stretches, negative shrinks.
    bend_radius, edge_radius : float
        On the blank, of the tangent line on the base and of the flange's edge, mm.
    finished_edge_radius : float
        Of the edge on the finished part, on the neutral line, mm.
    cuts : int
        How many.
    cut_width : float
        Along the edge on the blank, of a dart as cut; of a slit what it opens to, mm.
    cut_depth : float
        From the edge, mm.
    root_radius : float
        On the blank, of the bottom of the cuts, mm.
    outline : Path
        Of the flange on the blank, from the tangent line out, darts cut; the curve's centre at the origin, the flange
        centred on +y. Of a whole ring the edge alone.
    explanation : str
        In shop words.
    """

    easing: str
    strain: float
    bend_radius: float
    edge_radius: float
    finished_edge_radius: float
    cuts: int
    cut_width: float
    cut_depth: float
    root_radius: float
    outline: Path
    explanation: str


def curved_flange(
    curve: Literal["hollow", "bulging"],
    radius_in_plan: Any,
    depth: Any,
    *,
    strain_limit: Any,
    arc_deg: Any = 90.0,
    angle_deg: Any = 90.0,
    flat_tolerance: Any = 0.5,
    thickness: Any,
    radius: Any,
    k_factor: Any = None,
    deduction: Any = None,
    allowance: Any = None,
    coupon: Any = None,
) -> CurvedFlange:
    """Return the blank of a flange along a curve and the strain at its edge.

    The metal is taken to move along the edge alone, without draw-in: every hoop of the flange is one length on the
    blank and another on the finished part, and the strain is what it differs by. Derived; no source.

    Parameters
    ----------
    curve : {'hollow', 'bulging'}
        Concave line, as round a hole: the edge stretches. Convex, as round a disc: it shrinks.
    radius_in_plan : length
        Of the finished flange's outer (mould) face where it meets the base, mm.
    depth : length
        Of the flange over the base's outer face, mm.
    strain_limit : number
        What the edge can take along itself, fraction, > 0: stretching, the metal's elongation; shrinking, what the
        maker's tools gather before it buckles.
    arc_deg : angle
        Of the curved line, degrees, over 0 to 360.
    angle_deg : angle
        Turned through, degrees, over 0 to 90.
    flat_tolerance : length
        How far the flats between cuts may stand off the curve, mm.
    thickness, radius : length
        Of the metal; inside radius; mm.
    k_factor, deduction, allowance, coupon : exactly one
        What the bend takes.

    Returns
    -------
    CurvedFlange

    Raises
    ------
    InvalidInput
        When a number breaks its rule or the flange is too deep for a hollow curve.

    Examples
    --------
    >>> made = curved_flange("hollow", 60, 12, strain_limit=0.3, thickness=1, radius=1, k_factor=0.44)
    >>> made.easing, round(made.strain, 3)
    ('none', 0.218)
    """
    metal = (thickness, radius, k_factor, deduction, allowance, coupon)
    return _core.curved_flange.curved_flange(
        curve, radius_in_plan, arc_deg, depth, angle_deg, strain_limit, flat_tolerance, metal
    )
