"""The adjusters of a gate on the sheet: what 1 mm of each does at every stop, how far it reaches, if it is enough."""

from __future__ import annotations

from collections.abc import Callable

from foldswing.evaluation.adjusters import LIKELY, AdjusterResult, AdjustingResult, Lands
from foldswing.job import Gate
from foldswing.job.keys import listed
from foldswing.report.words import Words, sentences
from foldswing.sheet import Block, Heading, Paragraph, Table

_NONE = 0.005  # mm; prints as nothing
_VERBS = {"gap": ("widens", "narrows"), "face": ("lifts", "lowers")}
_SIDES = {"gap": ("wider", "narrower"), "face": ("up", "down")}


def adjuster_blocks(wanted: Gate, done: AdjustingResult | None, words: Words) -> list[Block]:
    """Return what a gate's adjusters recover; nothing where it has none."""
    if done is None:
        return []
    rows = []
    for a in done.adjusters:
        moved = [one for one in a.lands if abs(one.per_mm) >= _NONE]
        for k, one in enumerate(moved):
            reach = _from_to(one.what, one.least, one.most, words.gap)
            rows.append((a.name if k == 0 else "", one.stop, one.what, _does(a, one, words), reach))
    blocks: list[Block] = [
        Heading("Adjusters", 2),
        *(Paragraph(_sentence(wanted, i, a, words)) for i, a in enumerate(done.adjusters) if a.lands),
        Table(("Adjuster", "At", "Changes", "1 mm of it", "Reaches, from and to"), tuple(rows)),
    ]
    if done.recovered:
        blocks.append(
            Table(
                ("Stop", "What it asks", "Likely out, either way", "Allowed", "All adjusters reach", "Enough"),
                tuple(
                    (
                        r.stop,
                        r.what,
                        words.gap(r.likely),
                        words.gap(r.within),
                        _from_to(r.what, r.least, r.most, words.gap),
                        "yes" if r.enough else "NO: see warnings",
                    )
                    for r in done.recovered
                ),
                "Misses likely at the first fit, and what the adjusters recover together",
            )
        )
    one_in = "all but 1 in 22 first fits are out by less" if LIKELY == 2.0 else f"{LIKELY:g} standard deviations"
    blocks.append(
        Paragraph(
            sentences(
                f"likely: {one_in}, by the errors of holes and nose as this shop has them",
                "what is set for one stop moves the others and the shut gaps too: set it, then read them all again and "
                "swing the gate slowly, for its gaps on the way have moved with it",
            )
        )
    )
    return blocks


def _family(what: str) -> str:
    return "gap" if "gap" in what else "face"


def _does(a: AdjusterResult, one: Lands, words: Words) -> str:
    """Return what 1 mm of adjustment does to a landing."""
    if a.kind == "eccentric bush":
        return f"up to {words.gap(one.per_mm)} either way"
    return f"{_verb(one)} it {words.gap(abs(one.per_mm))}"


def _verb(one: Lands) -> str:
    return _VERBS[_family(one.what)][0 if one.per_mm > 0.0 else 1]


def changed(what: str, by: float, show: Callable[[float], str]) -> str:
    """Return a change in words: '1.50 mm down', '0.80 mm wider'."""
    more, less = _SIDES[_family(what)]
    return f"{show(abs(by))} {more if by > 0.0 else less}"


def _from_to(what: str, least: float, most: float, show: Callable[[float], str]) -> str:
    """Return a range of change in words: '1.50 mm down to 3.00 mm up'."""
    low, high = (changed(what, by, show) if abs(by) >= _NONE else "0" for by in (least, most))
    return "nothing" if low == high == "0" else f"{low} to {high}"


def _sentence(wanted: Gate, i: int, a: AdjusterResult, words: Words) -> str:
    """Return what 1 mm of an adjuster means, in a sentence."""
    if a.kind == "eccentric bush":
        most = max(one.per_mm for one in a.lands)
        any_way = f"changes any one of these by up to {words.gap(most)} either way; set for one, the others follow"
        off = f"however it is turned, its bore stands {words.gap(a.forward)} off the mark"
        return sentences(f"1 mm of throw of the {a.name} {any_way}", off)
    parts = []
    for stop in sorted(dict.fromkeys(one.stop for one in a.lands), key=lambda name: name == "shut"):
        mine = [one for one in a.lands if one.stop == stop]
        said = [f"{_verb(one)} the {one.what} {words.gap(abs(one.per_mm))}" for one in mine if abs(one.per_mm) >= _NONE]
        still = [f"the {one.what}" for one in mine if abs(one.per_mm) < _NONE]
        if still:
            said.append(f"leaves {listed(still, 'and')} as {'it is' if len(still) == 1 else 'they are'}")
        at = "" if stop == a.stop else "shut " if stop == "shut" else f"at '{stop}' "
        parts.append(f"{at}it {listed(said, 'and')}")
    return sentences(f"{_lead(wanted, i, a)}: {'; '.join(parts)}")


def _lead(wanted: Gate, i: int, a: AdjusterResult) -> str:
    given = wanted.adjuster[i]
    if a.kind == "pad shim":
        return f"1 mm of {a.name}"
    if a.kind == "shim":
        return f"1 mm of {a.name}, {given.pushes}"
    way = {"up and down": "up", "outward and inward": "outward"}.get(given.runs or "")
    return f"the pin 1 mm {way} in the {a.hole}'s slot" if way else f"the pin 1 mm up along the {a.hole}'s slot"
