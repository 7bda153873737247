"""How sure a blank is before metal is cut: how far rules disagree, and when a test strip is worth cutting."""

from __future__ import annotations

import dataclasses
import math
from typing import Any, Literal

from foldswing import _core, bend
from foldswing._values import value
from foldswing.job import BentPart, Job, Material, Pan, Section, Tray

MATTERS = 1.0  # mm; a blank out by more is seen: a shop's own tolerance for a panel (common practice, no source)


_EDGES: tuple[Literal["left", "bottom"], ...] = ("left", "bottom")


@value
class BlankSpread:
    """How far the rules in print disagree over one direction of a blank; mm.

    Attributes
    ----------
    edge : {'left', 'bottom'}
        Edge it is measured from: length across the drawing, or width up it.
    size : float
        The blank as it is given on this sheet.
    shortest, longest : float
        With the rule that gives the shortest blank, and with that of the longest.
    shortest_rule, longest_rule : str
        Names of these rules.
    spread : float
        longest - shortest.
    low, high : float or None
        Where the size lies with 95 in 100 by the shop's test strips; None without them.
    outside : tuple of str
        Rules left out because they are not for such a bend, in words.
    """

    edge: Literal["left", "bottom"]
    size: float
    shortest: float
    longest: float
    shortest_rule: str
    longest_rule: str
    spread: float
    low: float | None
    high: float | None
    outside: tuple[str, ...]


@value
class Bending:
    """What is known of the bends of a blank before it is cut.

    Attributes
    ----------
    spreads : tuple of BlankSpread
        For each direction that has bends.
    test_strip : str
        Whether a test strip is worth cutting, and why.
    worth_a_strip : bool
        The same as yes or no.
    """

    spreads: tuple[BlankSpread, ...]
    test_strip: str
    worth_a_strip: bool


def with_bending(done: Any, wanted: Any, job: Job) -> Any:
    """Return the result of a blank with how sure it is; other results as they are."""
    if not isinstance(wanted, (Pan, BentPart, Tray, Section)):
        return done
    sheet = job.material_named(wanted.material)
    spreads = tuple(s for edge in _EDGES if (s := _spread(done, sheet, edge)) is not None)
    if not spreads:
        return done
    said, worth = _strip_words(spreads, sheet)
    return dataclasses.replace(done, bending=Bending(spreads, said, worth))


def _spread(done: Any, sheet: Material, edge: Literal["left", "bottom"]) -> BlankSpread | None:
    bends = [b for b in done.bends if b.edge == edge and b.angle_deg > 0.0]
    if not bends:
        return None
    size = done.length if edge == "left" else done.width
    said = [bend.spread(b.angle_deg, b.radius, sheet.thickness) for b in bends]
    names = [r.rule for r in said[0].bends]
    totals: dict[str, float] = {}
    outside = []
    for i, name in enumerate(names):
        rows = [s.bends[i] for s in said]
        if all(r.in_range for r in rows):
            totals[name] = size + math.fsum(r.allowance - b.allowance for r, b in zip(rows, bends, strict=True))
        else:
            outside += [next(w for r in rows for w in r.warnings if not r.in_range)]
    low_rule, high_rule = min(totals, key=lambda n: totals[n]), max(totals, key=lambda n: totals[n])
    low = high = None
    if sheet.k_error is not None:
        # One k-factor stands behind every bend: its error moves all of them the same way.
        reach = (
            _core.bend.two_sided_95
            * sheet.k_error
            * math.fsum(math.radians(b.angle_deg) * sheet.thickness for b in bends)
        )
        low, high = size - reach, size + reach
    return BlankSpread(
        edge, size, totals[low_rule], totals[high_rule], low_rule, high_rule,
        totals[high_rule] - totals[low_rule], low, high, tuple(outside),
    )  # fmt: skip


def _strip_words(spreads: tuple[BlankSpread, ...], sheet: Material) -> tuple[str, bool]:
    """Say whether a strip is worth cutting."""
    worst = max(spreads, key=lambda s: s.spread)
    if sheet.k_error is not None:
        doubt = max(s.high - s.size for s in spreads if s.high is not None)
        if doubt > MATTERS:
            return f"bend more of them: those there are leave the blank in doubt by {doubt:.1f} mm either way", True
        return f"bent already: the blank is sure to {doubt:.2f} mm either way, with 95 in 100", False
    if sheet.test_strip is not None:
        return (
            "bent already; kept in the shop file with its reading errors, it also tells the doubt that is left",
            False,
        )
    if worst.spread > MATTERS:
        return (
            f"worth cutting first: between the rules the blank differs by {worst.spread:.1f} mm, and more than "
            f"{MATTERS:g} mm is seen",
            True,
        )
    return f"not needed for this: between the rules the blank differs by {worst.spread:.2f} mm at most", False
