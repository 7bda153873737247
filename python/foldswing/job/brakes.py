"""What a shop bends on and cuts from: its brakes, the sheets it has, how it cuts them."""

from __future__ import annotations

from collections.abc import Iterator

from foldswing.job.keys import key, keyed

KINDS = ("leaf brake", "box-and-pan brake", "press brake")


@keyed
class BrakeTool:
    """A brake. The outlines of its tools are invented ones of bench size; what is given here replaces their figures."""

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

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
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
