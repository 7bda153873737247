"""What a shop bends on and cuts from: its brakes, the sheets it has, how it cuts them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar

from foldswing import bend_order
from foldswing._core import InvalidInput
from foldswing._core.plane import Outline
from foldswing.job.keys import key, keyed, listed

KINDS = ("leaf brake", "box-and-pan brake", "press brake")


@keyed
class ToolCorner:
    """A corner of a tool's outline, the brake seen from its end."""

    behind: float | None = key(
        "length", "How far behind the nose's edge or the punch's tip, away from you.", default=None, zero=True
    )
    in_front: float | None = key("length", "Or how far in front of it, towards you.", default=None, zero=True)
    from_sheet: float = key(
        "length",
        "Square from the sheet: up from its upper face for nose and punch, down from its lower one for the others.",
        zero=True,
    )

    one_of: ClassVar = (("behind", "in_front"),)

    def point(self, up: float) -> tuple[float, float]:
        """Return it as the search takes it: x towards you, y up from the face; `up` is 1 or -1."""
        across = self.in_front if self.in_front is not None else 0.0 - (self.behind or 0.0)
        return across, up * self.from_sheet


def _outline(words: str) -> Any:
    return key("table", words, default=None, of=ToolCorner, many=True)


_TOOLS = {
    "press brake": {"punch": "upper", "die": "lower"},
    "leaf brake": {"nose": "upper", "bed": "lower", "leaf": "leaf"},
}
_TOOLS["box-and-pan brake"] = _TOOLS["leaf brake"]
_FIGURES = {
    "name": "name",
    "opens": "opens",
    "greatest_angle": "greatest_angle_deg",
    "least_hold": "least_hold",
    "least_flange": "least_flange",
    "fingers": "fingers",
    "finger_height": "finger_height",
    "stop_nearest": "gauge_from",
    "stop_farthest": "gauge_to",
}
_EDGES = {"nose": "its foremost edge on the sheet", "punch": "its tip"}


@keyed
class BrakeTool:
    """A brake. What is given here replaces the figures and tool outlines of an invented one of bench size."""

    name: str = key("text", "What it is called on the sheet.")
    kind: str = key("word", "What it is.", allowed=KINDS)
    opens: float | None = key("length", "How far the upper tool lifts.", default=None)
    greatest_angle: float | None = key("angle", "The most it turns the metal through.", default=None, most=179)
    least_hold: float | None = key(
        "length", "Leaf: straight metal needed under the nose to hold the sheet.", default=None, zero=True
    )
    least_flange: float | None = key("length", "Leaf: straight metal needed on the leaf.", default=None, zero=True)
    v_opening: float | None = key("length", "Press brake: opening of the V, 4 to 60 mm.", default=None, most=60)
    fingers: tuple[float, ...] = key("length", "Widths of the fingers there are, at most 20.", default=None, many=True)
    finger_height: float | None = key("length", "Clear height beside a finger, sheet to beam.", default=None)
    stop: str = key("word", "Where its stop is.", default="behind", allowed=("behind", "front"))
    stop_nearest: float | None = key("length", "Nearest the stop goes to the line under the tool.", default=None)
    stop_farthest: float | None = key("length", "Farthest it goes.", default=None)
    nose: tuple[ToolCorner, ...] = _outline("Leaf: corners of nose and beam in order, its edge one of them.")
    bed: tuple[ToolCorner, ...] = _outline("Leaf: corners of the bed in order.")
    leaf: tuple[ToolCorner, ...] = _outline("Leaf: corners of the leaf in order, as it stands open.")
    punch: tuple[ToolCorner, ...] = _outline("Press brake: corners of the punch in order, its tip one of them.")
    die: tuple[ToolCorner, ...] = _outline(
        "Press brake: corners of the die in order, the V and its shoulders among them."
    )

    @property
    def invented(self) -> tuple[str, ...]:
        """The tools whose outlines are not given."""
        return tuple(name for name in _TOOLS[self.kind] if not getattr(self, name))

    @property
    def brake(self) -> bend_order.Brake:
        """The brake as the search takes it: an invented one of its kind, with what is given in place of its figures."""
        if self.v_opening is not None:
            made = bend_order.invented_press_brake(self.v_opening)
        elif self.kind == "box-and-pan brake":
            made = bend_order.invented_box_and_pan_brake()
        else:
            made = bend_order.invented_leaf_brake()
        given = {of: v for name, of in _FIGURES.items() if (v := getattr(self, name)) not in (None, ())}
        given |= {of: self._tool(name) for name, of in _TOOLS[self.kind].items() if getattr(self, name)}
        return bend_order.Brake.from_dict({**made.to_dict(), **given})

    def _tool(self, name: str) -> Outline:
        up = 1.0 if name in {"nose", "punch"} else -1.0
        return Outline([corner.point(up) for corner in getattr(self, name)])

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        wrong = list(self._contradictions())
        yield from wrong
        if wrong:
            return
        try:
            _ = self.brake
        except InvalidInput as why:
            of, _, said = str(why).partition(" ")
            names = {**_TOOLS[self.kind], **_FIGURES}
            key_name = next((name for name, parameter in names.items() if parameter == of), "")
            yield key_name, said.replace("y = 0", "from_sheet = 0")

    def _contradictions(self) -> Iterator[tuple[str, str]]:
        press = self.kind == "press brake"
        if press and self.v_opening is None:
            yield "v_opening", "is missing: a press brake has the opening of its V"
        if not press and self.v_opening is not None:
            yield "v_opening", f"belongs to a press brake, this is a {self.kind}"
        if self.v_opening is not None and self.v_opening < 4.0:
            yield "v_opening", "must be 4 to 60 mm"
        if self.fingers and self.kind != "box-and-pan brake":
            yield "fingers", f"belong to a box-and-pan brake, this is a {self.kind}"
        if len(self.fingers) > 20:
            yield "fingers", "must be at most 20"
        if self.stop_nearest and self.stop_farthest and self.stop_nearest > self.stop_farthest:
            yield "stop_nearest", "is farther than stop_farthest"
        for tool in ("nose", "bed", "leaf", "punch", "die"):
            if not getattr(self, tool):
                continue
            if tool not in _TOOLS[self.kind]:
                yield tool, f"is no tool of a {self.kind}, which has {listed(list(_TOOLS[self.kind]), 'and')}"
            else:
                yield from self._wrong(tool)

    def _wrong(self, tool: str) -> Iterator[tuple[str, str]]:
        """Yield what is wrong with the outline of a tool."""
        try:
            outline = self._tool(tool)
        except InvalidInput as why:
            yield tool, str(why).removeprefix("points ")
            return
        corners = {(float(x), float(y)) for x, y in outline.points}
        if _TOOLS[self.kind][tool] == "upper" and (0.0, 0.0) not in corners:
            yield tool, f"must have a corner with behind = 0 and from_sheet = 0: {_EDGES[tool]}"
        half = 0.5 * (self.v_opening or 0.0)
        if tool == "die" and half and not {(-half, 0.0), (half, 0.0)} <= corners:
            yield (
                tool,
                f"must have its shoulders, corners with from_sheet = 0, {half:g} mm behind and {half:g} mm in front: "
                f"v_opening is {self.v_opening:g} mm",
            )


@keyed
class Stock:
    """Sheets of one size there are, or a remnant."""

    name: str = key("text", "What it is called on the sheet.")
    metal: str = key("text", "The metal, as a [[material]] names it.")
    thickness: float = key("length", "Its thickness, or a gauge with its series.")
    length: float = key("length", "Longer side.")
    width: float = key("length", "The other side.")
    count: int = key("count", "How many there are.", default=1, most=500)
    grain: str = key(
        "word",
        "Which way it was rolled.",
        default="along length",
        allowed=("along length", "along width", "not known"),
    )


@keyed
class Cutting:
    """How sheets are cut."""

    kerf: float = key("length", "What a cut takes away; 0 for a shear.", default=0.0, zero=True, most=20)
    edge: float = key("length", "Taken off all round every sheet first.", default=0.0, zero=True)
    right_across: bool = key("flag", "Whether every cut must run right across, as on a shear.", default=True)
    across_grain: bool = key("flag", "Whether parts of one section must be bent across the grain.", default=True)
    least_remnant: float = key("length", "A remnant is listed when both sides are this.", default=50.0, zero=True)


@keyed
class Rolls:
    """Bending rolls, on which skins and pipes are rolled."""

    diameter: float = key("length", "Of the roll that the metal goes round.", most=1000)
    width: float = key("length", "Widest sheet they take.")
