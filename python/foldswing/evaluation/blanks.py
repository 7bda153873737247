"""Pans and bent parts: the blank to cut, its bend lines, and the folded section drawn back from it."""

from __future__ import annotations

from typing import Any, Literal

from foldswing import blank
from foldswing._core.plane import Outline, Path
from foldswing._values import value
from foldswing.evaluation.findings import Finding, Verdict, verdict
from foldswing.job import BentPart, Job, Material, Pan

SIDES = {"left": "left", "right": "right", "front": "bottom", "rear": "top"}


@value
class BendResult:
    """One bend line, all distances from one edge of the blank; lengths mm.

    Attributes
    ----------
    name : str
        'left', 'front' or the number of the bend.
    edge : {'left', 'lower'}
        Edge of the blank its distances are measured from; the line runs parallel to it.
    centre, sight : float
        Middle of the bend, and the line to set level with the brake's nose.
    tangents : (float, float)
        Where the metal starts and stops curving.
    ends : (float, float)
        Where the line begins and stops, measured along it from the other edge.
    angle_deg, radius : float
        Turned through from flat; inside radius.
    way : {'up', 'down'}
        Up: the flange comes toward you as you look at the blank.
    allowance, deduction, k_factor : float
        What the bend takes; the deduction is NaN at 180 degrees.
    """

    name: str
    edge: Literal["left", "lower"]
    centre: float
    sight: float
    tangents: tuple[float, float]
    ends: tuple[float, float]
    angle_deg: float
    radius: float
    way: Literal["up", "down"]
    allowance: float
    deduction: float
    k_factor: float


@value
class BlankResult:
    """A blank worked out; lengths mm.

    Attributes
    ----------
    name, verdict, explanation : str
        Verdict 'go' or 'change this first'.
    metal, basis : str
        The sheet, and where the bend figure comes from.
    thickness, radius : float
        Of the sheet; inside radius.
    length, width : float
        Of the blank: across the drawing and up it.
    outline : Outline
        Edge of the blank, notches included, lower left corner at the origin.
    bends : tuple of BendResult
        From the left and lower edges.
    notches : tuple of (corner, along, across)
        Metal taken out of each corner.
    folded : tuple of Path
        Outside and inside face of the folded section (of a pan: across it, left to right).
    remeasured : tuple of float
        The folded section's flats as asked for, measured on the drawn-back section: they must be the wanted ones.
    findings : tuple of Finding
        What is wrong.
    """

    name: str
    verdict: Verdict
    explanation: str
    metal: str
    basis: str
    thickness: float
    radius: float
    length: float
    width: float
    outline: Outline
    bends: tuple[BendResult, ...]
    notches: tuple[tuple[str, float, float], ...]
    folded: tuple[Path, ...]
    remeasured: tuple[float, ...]
    findings: tuple[Finding, ...]
