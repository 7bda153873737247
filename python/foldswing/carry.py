"""Points, holes and outlines carried between a folded section and its blank, and back.

A folded place is (x, y, z): x along the blank where the held flat lies, y across the part, z up from that flat's lower
face. The blank's own coordinates are (along, across). Faces are named as the blank lies on the bench: 'lower', 'upper'.

On a flat the blank is the metal itself. Through a bend the neutral line keeps its length: a place so far through the
allowance lies as far, in the same share, through the bend's angle. Nothing is approximated.
"""

from __future__ import annotations

from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from foldswing import _core
from foldswing._core.blank import Profile
from foldswing._core.plane import Path
from foldswing._values import value

__all__ = [
    "OnBlank",
    "along_blank",
    "along_face",
    "measured_spans",
    "path_on_blank",
    "path_on_face",
    "to_blank",
    "to_folded",
]

Face = Literal["lower", "upper"]


@value
class OnBlank:
    """Places of the blank found from folded points.

    Attributes
    ----------
    points : (n, 2) ndarray
        (along, across) on the blank, mm.
    of : (n,) ndarray of int
        Which of the given points each belongs to: none where there is no metal, several where the section touches
        itself.
    miss : (n,) ndarray
        How far the point lies off the face, mm.
    part : (n,) ndarray of int
        Flat or bend it lies on, by its place among the profile's parts.
    """

    points: np.ndarray
    of: NDArray[np.int64]
    miss: np.ndarray
    part: NDArray[np.int64]


def to_folded(profile: Profile, points: Any, face: Face = "lower", *, held: int = 0) -> Any:
    """Return where places of the blank come to lie when it is folded.

    Parameters
    ----------
    profile : Profile
        The section.
    points : (along, across) or (n, 2)
        On the blank, mm.
    face : {'lower', 'upper'}
        Face of the metal.
    held : int
        The flat that stays where it lay on the bench.

    Returns
    -------
    (3,) or (n, 3) ndarray

    Raises
    ------
    InvalidInput
        When a place lies off the blank.

    Examples
    --------
    >>> from foldswing.blank import Bend, Flat, Profile
    >>> bracket = Profile([Flat(20), Bend(90, 2), Flat(30)], 2, k_factor=0.5)
    >>> to_folded(bracket, (bracket.developed_length, 7)).round(9).tolist()  # the far edge, at the outer face
    [20.0, 7.0, 30.0]
    """
    return _core.carry.to_folded(profile, points, face, held=held)


def to_blank(profile: Profile, points: Any, face: Face = "lower", *, within: Any = 0.01, held: int = 0) -> OnBlank:
    """Return every place of the blank that folded points lie on.

    Parameters
    ----------
    profile : Profile
        The section.
    points : (x, y, z) or (n, 3)
        Folded, mm.
    face : {'lower', 'upper'}
        Face of the metal that was meant.
    within : length
        How far a point may lie off that face, mm, >= 0.
    held : int
        The flat that stayed where it lay on the bench.

    Returns
    -------
    OnBlank

    Raises
    ------
    InvalidInput
        When a number is not finite or `within` is negative.
    """
    return _core.carry.to_blank(profile, points, face, within=within, held=held)


def along_face(profile: Profile, along: Any, face: Face) -> Any:
    """Return how far along a face, a tape laid round the bends from the blank's start, places of the blank lie.

    Parameters
    ----------
    profile : Profile
        The section.
    along : length or array
        On the blank, mm, 0 to its developed length.
    face : {'lower', 'upper'}
        Face of the metal.

    Returns
    -------
    float or ndarray
    """
    return _core.carry.along_face(profile, along, face)


def along_blank(profile: Profile, along_face: Any, face: Face) -> Any:
    """Return where on the blank places lie that were measured along a face, a tape laid round the bends.

    Parameters
    ----------
    profile : Profile
        The section.
    along_face : length or array
        From the blank's start along the face, mm.
    face : {'lower', 'upper'}
        Face of the metal.

    Returns
    -------
    float or ndarray
    """
    return _core.carry.along_blank(profile, along_face, face)


def path_on_blank(profile: Profile, path: Path, face: Face, *, sagitta: Any = 0.01) -> Path:
    """Return a path drawn on a face of the folded part as it is marked on the blank.

    Parameters
    ----------
    profile : Profile
        The section.
    path : Path
        x along the face from the blank's start, a tape laid round the bends; y across the part. mm.
    face : {'lower', 'upper'}
        Face of the metal.
    sagitta : length
        Where an arc runs through a bend it becomes part of an ellipse: points on it are exact, chords between them
        stray by no more than this, mm, > 0. On flats arcs stay arcs.

    Returns
    -------
    Path
        x along the blank.

    Raises
    ------
    InvalidInput
        When a place lies off the face.
    """
    return _core.carry.path_on_blank(profile, path, face, sagitta=sagitta)


def path_on_face(profile: Profile, path: Path, face: Face, *, sagitta: Any = 0.01) -> Path:
    """Return a path of the blank as it shows on a face of the folded part, laid out along the face.

    Parameters
    ----------
    profile : Profile
        The section.
    path : Path
        x along the blank, y across. mm.
    face : {'lower', 'upper'}
        Face of the metal.
    sagitta : length
        As in `path_on_blank`.

    Returns
    -------
    Path
        x along the face.

    Raises
    ------
    InvalidInput
        When a place lies off the blank.
    """
    return _core.carry.path_on_face(profile, path, face, sagitta=sagitta)


def measured_spans(profile: Profile) -> np.ndarray:
    """Return the flats as their lengths were given, laid on the blank.

    Parameters
    ----------
    profile : Profile
        The section.

    Returns
    -------
    (n, 2) ndarray
        From and to where each flat is measured, its mould points where it was measured outside: a distance told on the
        folded part from there is counted from there on the blank. Neighbours overlap by what their bend takes.

    Examples
    --------
    >>> from foldswing.blank import Bend, Flat, Profile
    >>> bracket = Profile([Flat(20), Bend(90, 2), Flat(30)], 2, k_factor=0.5)
    >>> (bracket.developed_length - measured_spans(bracket)[1]).round(9).tolist()  # the second flat, from its edge
    [30.0, 0.0]
    """
    return _core.carry.measured_spans(profile)
