"""How sure a blank is before metal is cut: how far rules disagree, and when a test strip is worth cutting."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from typing import Any, Literal

from foldswing import _core, bend
from foldswing._values import value
from foldswing.evaluation.findings import Finding
from foldswing.job import BentPart, Job, Material, Pan, Section, Tray
from foldswing.job.parts import RULES

_WORTH = "A test strip is worth cutting"
MATTERS = 1.0  # mm; a blank out by more is seen: a shop's own tolerance for a panel (common practice, no source)


_Edge = Literal["left", "bottom"]


@value
class BlankSpread:
    """How far the rules in print disagree over one direction of a blank; mm.

    Attributes
    ----------
    edge : {'left', 'bottom'}
        Edge it is measured from: length across the drawing, or width up it.
    size : float
        The blank as it is given on this sheet.
    shortest, longest : float or None
        With the rule that gives the shortest blank, and with that of the longest; None where no rule in print is for
        all of these bends.
    shortest_rule, longest_rule : str or None
        Names of these rules; None likewise.
    spread : float or None
        longest - shortest; None likewise.
    low, high : float or None
        Where the size lies with 95 in 100 by the shop's test strips; None without them.
    outside : tuple of str
        Rules left out because they are not for such a bend, in words.
    """

    edge: Literal["left", "bottom"]
    size: float
    shortest: float | None
    longest: float | None
    shortest_rule: str | None
    longest_rule: str | None
    spread: float | None
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
    sizes: dict[_Edge, float] = {"left": done.length, "bottom": done.width}
    ways: dict[_Edge, tuple[float, Sequence[Any]]] = {
        edge: (size, [b for b in done.bends if b.edge == edge]) for edge, size in sizes.items()
    }
    bending, findings = how_sure(ways, job.material_named(wanted.material))
    return dataclasses.replace(done, bending=bending, findings=(*findings, *done.findings))


def how_sure(
    ways: Mapping[_Edge, tuple[float, Sequence[Any]]], sheet: Material
) -> tuple[Bending | None, tuple[Finding, ...]]:
    """Return how sure a blank is, None without bends, and a finding where a test strip is worth cutting.

    Whether it is worth cutting is decided here alone: finding, blank page and first page all say what this does.

    Parameters
    ----------
    ways : mapping of edge to (size, bends)
        The blank's size across the drawing and up it, mm, and the bends that it runs over: each with its angle, radius
        and allowance.
    sheet : Material
        The sheet, and what is known of its bends.
    """
    spreads = tuple(_spread(size, bends, sheet, edge) for edge, (size, bends) in ways.items() if _turned(bends))
    if not spreads:
        return None, ()
    said, doubt, cure = _strip_words(spreads, sheet)
    feel = "the blank comes out long or short by as much"
    findings = (Finding(_WORTH, doubt, feel, cure, stops_work=False),) if cure else ()
    turned = [b for _, bends in ways.values() for b in _turned(bends)]
    return Bending(spreads, said, bool(cure)), (*findings, *_outside_rule(turned, sheet))


def _outside_rule(bends: Sequence[Any], sheet: Material) -> list[Finding]:
    """Return a finding where the rule that a job names is not for its bends."""
    if sheet.rule is None:
        return []
    said = dict.fromkeys(
        why
        for b in bends
        for why in bend.by_rule(b.angle_deg, b.radius, sheet.thickness, rule=RULES[sheet.rule]).warnings
    )
    feel = "the blank comes out long or short, and nobody has said by how much"
    advice = "another rule, or a strip of this metal bent on this brake"
    return [
        Finding(f"The rule {sheet.rule} is not sure for this bend", why, feel, advice, stops_work=False) for why in said
    ]


def _turned(bends: Sequence[Any]) -> list[Any]:
    return [b for b in bends if b.angle_deg > 0.0]


def _spread(size: float, bends: Sequence[Any], sheet: Material, edge: _Edge) -> BlankSpread:
    bends = _turned(bends)
    said = [bend.spread(b.angle_deg, b.radius, sheet.thickness) for b in bends]
    names = [r.rule for r in said[0].bends]
    totals: dict[str, float] = {}
    outside = []
    for i, name in enumerate(names):
        rows = [s.bends[i] for s in said]
        if all(r.in_range for r in rows):
            totals[name] = size + math.fsum(r.allowance - b.allowance for r, b in zip(rows, bends, strict=True))
        else:
            why = next(w for r in rows for w in r.warnings if not r.in_range)
            outside.append(why.partition(": ")[0])  # whether a strip helps is said below, for all rules together
    low = high = None
    if sheet.k_error is not None:
        # One k-factor stands behind every bend: its error moves all of them the same way.
        reach = (
            _core.bend.two_sided_95
            * sheet.k_error
            * math.fsum(math.radians(b.angle_deg) * sheet.thickness for b in bends)
        )
        low, high = size - reach, size + reach
    if not totals:
        return BlankSpread(edge, size, None, None, None, None, None, low, high, tuple(outside))
    low_rule, high_rule = min(totals, key=lambda n: totals[n]), max(totals, key=lambda n: totals[n])
    return BlankSpread(
        edge, size, totals[low_rule], totals[high_rule], low_rule, high_rule,
        totals[high_rule] - totals[low_rule], low, high, tuple(outside),
    )  # fmt: skip


def _strip_words(spreads: tuple[BlankSpread, ...], sheet: Material) -> tuple[str, str, str]:
    """Say whether a strip is worth cutting: what the sheet says; where it is, how much is in doubt and what to do."""
    if sheet.k_error is not None:
        doubt = max(s.high - s.size for s in spreads if s.high is not None)
        if doubt > MATTERS:
            by = f"those there are leave the blank in doubt by {doubt:.1f} mm either way"
            return f"bend more of them: {by}", by, "bend more strips of this metal and put them in the shop file"
        return f"bent already: the blank is sure to {doubt:.2f} mm either way, with 95 in 100", "", ""
    if sheet.test_strip is not None:
        return (
            "bent already; kept in the shop file with its reading errors, it also tells the doubt that is left",
            "",
            "",
        )
    wide = [s.spread for s in spreads if s.spread is not None]
    off = max((_off(s) for s in spreads), default=0.0)
    if len(wide) < len(spreads):
        by = "no rule in print is for these bends, so nothing tells how far the blank may be out"
    elif max(wide) > MATTERS:
        by = f"between the rules the blank differs by {max(wide):.1f} mm, and more than {MATTERS:g} mm is seen"
    elif off > MATTERS:
        by = f"the figure given leaves the blank {off:.1f} mm beyond any rule's, and more than {MATTERS:g} mm is seen"
    else:
        return f"not needed for this: between the rules the blank differs by {max(wide):.2f} mm at most", "", ""
    return (
        f"worth cutting first: {by}",
        by,
        "bend a strip of this metal on this brake and put its sizes in the job file",
    )


def _off(blank: BlankSpread) -> float:
    """Return how far a blank lies beyond every rule, mm."""
    if blank.shortest is None or blank.longest is None:
        return 0.0
    return max(blank.shortest - blank.size, blank.size - blank.longest, 0.0)
