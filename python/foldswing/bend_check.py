"""Whether a bend can be made as drawn: radius, flange, holes, relief, springback, force, V opening.

Bend angles are turned through from flat. What the tables do not say is 'not known', not 'fine'. Strengths MPa.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Literal

from foldswing import _core
from foldswing._values import value

if TYPE_CHECKING:
    from foldswing.metals import RadiusRow

__all__ = [
    "FORCE_FACTOR",
    "Check",
    "OverBend",
    "air_bend_force",
    "check_angle",
    "check_flange",
    "check_grip",
    "check_hole",
    "check_radius",
    "check_relief",
    "formed_radius",
    "least_flange",
    "least_radius",
    "least_radius_from_reduction",
    "over_bend",
    "over_bend_by_stiffness",
    "relief_diameter",
    "springback_factor",
    "springback_ratio",
    "v_opening",
]

FORCE_FACTOR = 1.33  # k of air_bend_force for a V of about 8 T (from memory: Groover)

Grain = Literal["across", "along"]


@value
class Check:
    """What one check says.

    Attributes
    ----------
    outcome : {'not known', 'holds', 'fails'}
        Not known: no figure for this metal, thickness or tool.
    needed, there : float
        The limit (NaN where not known) and what is held against it; mm, or degrees for an angle.
    what, number : str
        What was found, and how much.
    feel, advice : str
        What would be felt where it fails, and what would cure it.
    """

    outcome: Literal["not known", "holds", "fails"]
    needed: float
    there: float
    what: str
    number: str
    feel: str
    advice: str

    @property
    def ok(self) -> bool:
        """Whether it is known to hold."""
        return self.outcome == "holds"

    @property
    def explanation(self) -> str:
        """All of it as sentences."""
        parts = (f"{self.what}: {self.number}", self.feel, self.advice)
        return " ".join(f"{p[0].upper()}{p[1:]}." for p in parts if p)


@value
class OverBend:
    """What to bend to so that a bend comes out as wanted.

    Attributes
    ----------
    factor : float
        Angle wanted over angle on the tool.
    angle_deg : float
        To bend through on the tool; may be past 180, which no tool does.
    extra_deg : float
        Of that, what springs back.
    radius : float
        Inside radius on the tool, mm; 0 where even a sharp tool leaves a larger one than wanted.
    """

    factor: float
    angle_deg: float
    extra_deg: float
    radius: float


def least_radius(rows: Iterable[RadiusRow], thickness: Any, grain: Grain = "across", angle_deg: Any = 90.0) -> float:
    """Return the least inside radius by one table, mm; NaN where it does not reach.

    Parameters
    ----------
    rows : iterable of metals.RadiusRow
        Thinnest first. A row holds for thicknesses above the row before, up to its own (and 0.02 mm more: the same
        sheet).
    thickness : length
        Of the sheet.
    grain : {'across', 'along'}
        How the bend line runs to the grain.
    angle_deg : angle
        Turned through, 0 to 180.

    Raises
    ------
    InvalidInput
        When rows do not ascend, or a number is out of range.

    Notes
    -----
    Along the grain, or turned through more than 120 degrees, the next thicker row is taken, as DIN 6935 asks; for
    tables of other metals that is common practice, no source. A row with its own figure along the grain is taken at
    its word. Where there is no thicker row the answer is NaN.
    """
    table = [(r.up_to, r.radius, r.times_thickness, -1.0 if r.along is None else r.along) for r in rows]
    return _core.bend_check.least_radius(table, thickness, grain, angle_deg)


def least_radius_from_reduction(reduction_percent: Any, thickness: Any, *, invalid: str = "raise") -> Any:
    """Return the least inside radius T (50/r - 1), mm, from the reduction of area in a tensile test.

    Parameters
    ----------
    reduction_percent : float or array
        More than 0, at most 50, where the rule ends (Kalpakjian eq. 16.5; a rule of thumb).
    thickness : length
        Of the sheet.
    invalid : {'raise', 'nan'}
        What to do with a bad element of an array.

    Raises
    ------
    InvalidInput
        When a number is out of range.

    Examples
    --------
    >>> least_radius_from_reduction(10, "0.5 in") / 25.4
    2.0
    """
    return _core.bend_check.least_radius_from_reduction(reduction_percent, thickness, invalid=invalid)


def check_radius(radius: Any, least: float, grain: Grain = "across") -> Check:
    """Say whether an inside radius is large enough; `least` as `least_radius` gives it, NaN where not known."""
    return Check(*_core.bend_check.check_radius(radius, least, grain))


def v_opening(thickness: Any, *, invalid: str = "raise") -> Any:
    """Return the V opening recommended for a thickness, mm.

    6 T to 0.105 in, 8 T to 0.313 in, 10 T to 1/2 in, 12 T above (air-bending force chart for mild steel, read); between
    two classes of the chart the wider one. A maker of brake dies gives 8 T to 1/2 in for 90 degrees, when the inside
    radius comes out about T, and at least 10 T above (read): wider on thin sheet.

    Examples
    --------
    >>> v_opening(2.0)
    12.0
    """
    return _core.bend_check.v_opening(thickness, invalid=invalid)


def least_flange(opening: Any, *, invalid: str = "raise") -> Any:
    """Return the shortest outside flange that stays on a V opening when air bent to 90 degrees, mm.

    Straight between the openings of the air-bending force chart for mild steel (read), 3.9624 to 254 mm (0.156 to
    10 in). Its row of 4.0 in repeats the flange of 3.0 in, a likely misprint, and is left out.
    """
    return _core.bend_check.least_flange(opening, invalid=invalid)


def formed_radius(opening: Any, *, invalid: str = "raise") -> Any:
    """Return the inside radius that mild steel takes by itself over a V opening, mm; range as `least_flange`."""
    return _core.bend_check.formed_radius(opening, invalid=invalid)


def check_flange(flange: Any, opening: Any) -> Check:
    """Say whether a flange (outside size) lies on both edges of a V all the way; range as `least_flange`."""
    return Check(*_core.bend_check.check_flange(flange, opening))


def check_grip(flange: Any, thickness: Any, least: Any = None) -> Check:
    """Say whether the brake can hold a flange; without `least`, by one fabricator's rule of 4 T (read)."""
    return Check(*_core.bend_check.check_grip(flange, thickness, 0.0 if least is None else least))


def air_bend_force(
    strength: Any, length: Any, thickness: Any, opening: Any, k: Any = FORCE_FACTOR, *, invalid: str = "raise"
) -> Any:
    """Return the force of air bending, N: k S L T^2 / W.

    Parameters
    ----------
    strength : float or array
        Ultimate strength, MPa: the upper figure of the metal.
    length : length
        Of the bend.
    thickness, opening : length
        Of the sheet; of the V, which must be wider than the sheet is thick.
    k : float
        1.33 for a V of about 8 T (from memory: Groover); an article read gives 0.75 to 2.5.
    invalid : {'raise', 'nan'}
        What to do with a bad element of an array.

    Raises
    ------
    InvalidInput
        When a number is not > 0, or the sheet as thick as the V is wide.

    Examples
    --------
    >>> round(air_bend_force(450, 44.5, 3.2, 25))
    10909
    """
    return _core.bend_check.air_bend_force(strength, length, thickness, opening, k, invalid=invalid)


def check_hole(clear: Any, thickness: Any, *, countersunk: bool = False) -> Check:
    """Say whether a hole is far enough from a bend.

    Parameters
    ----------
    clear : length
        From its edge to the tangent line; negative where it runs into the bend.
    thickness : length
        Of the sheet.
    countersunk : bool
        A countersink needs 3 T (read); a plain hole 2 T (common practice, no source).
    """
    return Check(*_core.bend_check.check_hole(clear, thickness, countersunk))


def relief_diameter(radius: Any, thickness: Any, *, invalid: str = "raise") -> Any:
    """Return the diameter of the relief hole where two bends meet, mm.

    2 R, and not less than 1/8 in up to 0.064 in of thickness and 3/16 in up to 0.128 in, where the rule ends
    (FAA-H-8083-31, for aluminium; read).
    """
    return _core.bend_check.relief_diameter(radius, thickness, invalid=invalid)


def check_relief(size: Any, radius: Any, thickness: Any) -> Check:
    """Say whether a corner relief of that diameter or width is large enough; range as `relief_diameter`."""
    return Check(*_core.bend_check.check_relief(size, radius, thickness))


def springback_ratio(
    tool_radius: Any, thickness: Any, yield_strength: Any, modulus: Any, *, invalid: str = "raise"
) -> Any:
    """Return the inside radius on the tool over the inside radius once let go.

    Parameters
    ----------
    tool_radius, thickness : length
        Inside radius Ri on the tool; the sheet.
    yield_strength, modulus : float or array
        Y and E, both MPa; Y the upper figure of the metal.
    invalid : {'raise', 'nan'}
        What to do with a bad element of an array.

    Raises
    ------
    InvalidInput
        When a number is out of range, or x = Ri Y/(E T) is 0.5 or more: the formula reaches 0 there, the sheet springs
        flat again.

    Notes
    -----
    4 x^3 - 3 x + 1 (Kalpakjian, from memory), in the form (1 - 2 x)^2 (1 + x).

    Examples
    --------
    >>> round(springback_ratio(10, 1, 250, 200e3), 4)
    0.9625
    """
    return _core.bend_check.springback_ratio(tool_radius, thickness, yield_strength, modulus, invalid=invalid)


def springback_factor(rows: Sequence[tuple[float, float]], radius: Any, thickness: Any) -> float:
    """Return angle wanted over angle on the tool from a table, NaN beyond its ends.

    Parameters
    ----------
    rows : sequence of (radius over thickness, factor)
        Ascending; between them straight over the logarithm of R/T.
    radius, thickness : length
        Wanted inside radius; the sheet.
    """
    return _core.bend_check.springback_factor(rows, radius, thickness)


def over_bend(angle_deg: Any, radius: Any, thickness: Any, factor: Any) -> OverBend:
    """Return what to bend to, from a factor: angle wanted over angle on the tool = (R_tool + T/2)/(R + T/2).

    Parameters
    ----------
    angle_deg : angle
        Wanted, turned through, 0 to 180.
    radius, thickness : length
        Wanted inside radius; the sheet.
    factor : float
        More than 0, at most 1 (tables book, read).

    Examples
    --------
    >>> round(over_bend(90, 10, 1, 0.96).angle_deg, 2)
    93.75
    """
    return OverBend(*_core.bend_check.over_bend(angle_deg, radius, thickness, factor))


def over_bend_by_stiffness(angle_deg: Any, radius: Any, thickness: Any, yield_strength: Any, modulus: Any) -> OverBend:
    """Return what to bend to, from yield and modulus (both MPa): `springback_ratio` turned round.

    Every wanted radius has exactly one tool radius with x below 0.5; the middle of the sheet keeps its length.

    Examples
    --------
    >>> round(over_bend_by_stiffness(90, 10, 1, 250, 200e3).extra_deg, 2)
    3.21
    """
    return OverBend(*_core.bend_check.over_bend_by_stiffness(angle_deg, radius, thickness, yield_strength, modulus))


def check_angle(on_tool: Any, most: Any) -> Check:
    """Say whether a tool that turns a bend through at most `most` reaches an angle, springback included."""
    return Check(*_core.bend_check.check_angle(on_tool, most))
