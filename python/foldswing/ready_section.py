"""Sections by their trade names, built as profiles: angle, channel, lipped channel, hat, Z, joggle.

All sizes run over the outer faces. Give what the bends take as `k_factor`, `deduction`, `allowance` or `coupon`.
"""

from __future__ import annotations

from typing import Any

from foldswing import _core
from foldswing._core.blank import Profile
from foldswing._values import value

__all__ = ["Joggle", "angle", "channel", "hat", "joggle", "lipped_channel", "zed"]


_BASIS = ("k_factor", "deduction", "allowance", "coupon")


def _metal(thickness: Any, radius: Any, basis: dict[str, Any]) -> tuple[Any, ...]:
    for name in basis:
        if name not in _BASIS:
            msg = f"got an unexpected argument '{name}'; what the bends take is one of {', '.join(_BASIS)}"
            raise TypeError(msg)
    return (thickness, radius, *(basis.get(name) for name in _BASIS))


@value
class Joggle:
    """An offset in a sheet: two equal bends, one up and one down.

    Attributes
    ----------
    profile : Profile
        The section.
    angle_deg : float
        Of either bend, turned through, degrees.
    slope : float
        Flat between the two bends, mm.
    take_up : float
        Length of the blank over that of the finished part, mm: the joggle's own allowance.
    least_run_out : float
        Run-out at which the two bends meet without a flat between them, mm.
    short_run_out : bool
        The run-out is under 4 depths (common practice, no source: 4 to 6).
    """

    profile: Profile
    angle_deg: float
    slope: float
    take_up: float
    least_run_out: float
    short_run_out: bool


def angle(leg_a: Any, leg_b: Any, *, angle_deg: Any = 90.0, thickness: Any, radius: Any, **basis: Any) -> Profile:
    """Return two legs and one bend.

    Parameters
    ----------
    leg_a, leg_b : length
        Over the outer faces, mm.
    angle_deg : angle
        Turned through, degrees, 0 to 180.
    thickness, radius : length
        Of the metal; inside radius; mm.
    **basis
        One of `k_factor`, `deduction`, `allowance`, `coupon`.

    Returns
    -------
    Profile

    Raises
    ------
    InvalidInput
        When a leg is too short for its bend: by how much is said.

    Examples
    --------
    >>> round(angle(25, 40, thickness=1.5, radius=1.5, k_factor=0.4).developed_length, 3)
    62.299
    """
    return _core.ready_section.angle(leg_a, leg_b, angle_deg, _metal(thickness, radius, basis))


def channel(flange_a: Any, web: Any, flange_b: Any, *, thickness: Any, radius: Any, **basis: Any) -> Profile:
    """Return a web with a flange at either end, both turned up.

    Parameters
    ----------
    flange_a, web, flange_b : length
        Over the outer faces, mm.
    thickness, radius : length
        Of the metal; inside radius; mm.
    **basis
        As in `angle`.

    Returns
    -------
    Profile
    """
    return _core.ready_section.channel(flange_a, web, flange_b, _metal(thickness, radius, basis))


def lipped_channel(lip: Any, flange: Any, web: Any, *, thickness: Any, radius: Any, **basis: Any) -> Profile:
    """Return a channel whose flanges end in lips turned in.

    Parameters
    ----------
    lip, flange, web : length
        Over the outer faces, mm.
    thickness, radius : length
        Of the metal; inside radius; mm.
    **basis
        As in `angle`.

    Returns
    -------
    Profile
    """
    return _core.ready_section.lipped_channel(lip, flange, web, _metal(thickness, radius, basis))


def hat(brim: Any, height: Any, top: Any, *, thickness: Any, radius: Any, **basis: Any) -> Profile:
    """Return a top on two legs with brims turned out.

    Parameters
    ----------
    brim : length
        From its edge over the leg, mm.
    height : length
        Overall, underside of the brims to upper face of the top, mm.
    top : length
        Over both legs, mm.
    thickness, radius : length
        Of the metal; inside radius; mm.
    **basis
        As in `angle`.

    Returns
    -------
    Profile
    """
    return _core.ready_section.hat(brim, height, top, _metal(thickness, radius, basis))


def zed(flange_a: Any, height: Any, flange_b: Any, *, thickness: Any, radius: Any, **basis: Any) -> Profile:
    """Return a web with flanges that point opposite ways.

    Parameters
    ----------
    flange_a, flange_b : length
        From the edge over the web, mm.
    height : length
        Over both flanges, mm.
    thickness, radius : length
        Of the metal; inside radius; mm.
    **basis
        As in `angle`.

    Returns
    -------
    Profile
    """
    return _core.ready_section.zed(flange_a, height, flange_b, _metal(thickness, radius, basis))


def joggle(before: Any, depth: Any, run_out: Any, after: Any, *, thickness: Any, radius: Any, k_factor: Any) -> Joggle:
    """Return an offset: the sheet set off by a depth over a run-out.

    With c = 2 radius + thickness: slope f = sqrt(run_out^2 + depth^2 - 2 c depth), angle =
    2 atan(depth / (run_out + f)), take-up = both bend allowances + f - run_out; derived from two arcs and the line
    between them, no source. Valid
    where the joggle is bent as two straight bends of one radius; pressed in by a die it stretches, and the take-up is
    then the most it can ask.

    Parameters
    ----------
    before, after : length
        Finished lengths of the level parts, from the cut edges to where the sheet leaves its plane, mm.
    depth : length
        From a face to the same face, mm, > 0.
    run_out : length
        Along the sheet, from where it leaves the one plane to where it lies in the other, mm.
    thickness, radius : length
        Of the metal; inside radius; mm.
    k_factor : number
        0 to 1.

    Returns
    -------
    Joggle

    Raises
    ------
    InvalidInput
        When the run-out is too short for the radius: the least is named.

    Examples
    --------
    >>> round(joggle(30, 1.2, 6, 40, thickness=1.2, radius=1, k_factor=0.4).take_up, 4)
    0.0732
    """
    return _core.ready_section.joggle(before, depth, run_out, after, _metal(thickness, radius, {"k_factor": k_factor}))
