"""What a job says of adjusters: by what a hole of the hinge, or the pad of a stop, can be moved after the first fit."""

from __future__ import annotations

from collections.abc import Iterator

from foldswing.job.keys import key, keyed, listed

RUNS = {"up and down": ("up", "down"), "outward and inward": ("outward", "inward"), "at an angle": ("up", "down")}
_NEEDS = {
    "slotted hole": ("hole", "runs"),
    "eccentric bush": ("hole", "throw", "diameter"),
    "shim": ("hole", "pushes", "thickness"),
    "pad shim": ("stop", "thickness"),
}
_SLOT = ("up", "down", "outward", "inward", "angle", "rises")


@keyed
class Adjuster:
    """Slotted hole, eccentric bush or shim, set after the first fit; ways on the gate are along its shut face."""

    kind: str = key("word", "What it is; a pad shim lies under the pad of a stop.", allowed=tuple(_NEEDS))
    hole: str | None = key(
        "word", "Which hole it moves: the jamb's or the gate's.", default=None, allowed=("jamb", "gate")
    )
    runs: str | None = key(
        "word",
        "Slotted hole: which way it runs; in the jamb plumb or level, in the gate along its shut face or square to it.",
        default=None,
        allowed=tuple(RUNS),
    )
    up: float | None = key(
        "length", "Slotted hole: how far the pin can go up from the mark, along the slot.", default=None, zero=True
    )
    down: float | None = key("length", "The same, down.", default=None, zero=True)
    outward: float | None = key("length", "The same, outward.", default=None, zero=True)
    inward: float | None = key("length", "The same, inward.", default=None, zero=True)
    angle: float | None = key("angle", "Of a slot at an angle, from level.", default=None, most=90.0)
    rises: str | None = key("word", "Which way a slot at an angle rises.", default=None, allowed=("outward", "inward"))
    throw: float | None = key("length", "Eccentric bush: how far its bore is off its centre.", default=None)
    diameter: float | None = key("length", "Eccentric bush: its outside diameter, the hole to drill.", default=None)
    pushes: str | None = key(
        "word",
        "Shim: which way it pushes the hole, from behind the plate that carries it.",
        default=None,
        allowed=("up", "down", "outward", "inward"),
    )
    thickness: float | None = key("length", "Of all shims there is room for, together.", default=None)
    stop: str | None = key("text", "Pad shim: the stop whose pad it lies under.", default=None)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        needs = [*_NEEDS[self.kind]]
        ways: tuple[str, ...] = ()
        if self.kind == "slotted hole" and self.runs is not None:
            ways = RUNS[self.runs]
            needs += ("angle", "rises") if self.runs == "at an angle" else ()
        what = f"{self.kind} that runs {self.runs}" if self.runs is not None else self.kind
        lacking = [name for name in needs if getattr(self, name) is None]
        yield from ((name, f"is missing: needed for a {what}") for name in lacking)
        every = {name for several in _NEEDS.values() for name in several} | set(_SLOT)
        spare = [name for name in sorted(every) if getattr(self, name) is not None and name not in (*needs, *ways)]
        yield from ((name, f"is not used by a {what}") for name in spare)
        if ways and not any(getattr(self, way) for way in ways):
            yield ways[0], f"or {ways[1]}: say how far it can go from the mark"
        if self.kind == "eccentric bush" and not lacking and 2.0 * (self.throw or 0.0) >= (self.diameter or 0.0):
            yield "throw", f"{self.throw:g} mm brings the bore out of a bush of {self.diameter:g} mm"


def adjuster_problems(
    adjusters: tuple[Adjuster, ...], pin: float, rests: dict[str, str | None]
) -> Iterator[tuple[str, str]]:
    """Yield what adjusters contradict of a gate: its pin's diameter, and what holds it at each of its stops."""
    for hole in ("jamb", "gate"):
        bored = [a.kind for a in adjusters if a.hole == hole and a.kind in {"slotted hole", "eccentric bush"}]
        if len(bored) > 1:
            yield "adjuster", f"- the {hole}'s hole is one hole: {listed(bored, 'and')} are too many"
    for a in adjusters:
        if a.kind == "eccentric bush" and a.diameter is not None and a.throw is not None:
            wall = 0.5 * (a.diameter - pin) - a.throw
            if wall <= 0.0:
                yield (
                    "adjuster",
                    f"- an eccentric bush of {a.diameter:g} mm with a throw of {a.throw:g} mm has no wall left "
                    f"beside a pin of {pin:g} mm",
                )
        if a.kind == "pad shim":
            if a.stop not in rests:
                yield "adjuster", f"- there is no stop '{a.stop}' for a pad shim; there is {listed(rests, 'and')}"
            elif rests[a.stop] in {None, "stay"}:
                yield "adjuster", f"- at '{a.stop}' the gate rests on no body: there is no pad to put a shim under"
