"""What was read after the first fit of a gate: a file of its own beside the job file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, NamedTuple

from foldswing._core import InvalidInput, __version__
from foldswing.job import files, keys
from foldswing.job.gates import HEIGHTS, WAYS, Corner
from foldswing.job.keys import key, keyed, repeated

FIT_FORMAT = 1
LEAST_APART = 20.0  # mm; marks nearer to each other tell no turn by the tape
FEWEST_POINTS = 3  # of a trace: a circle
_MOST_POSITIONS = 19  # stops and poses read at one end; shut is one more


@keyed
class ShutReadings:
    """What is read with the gate shut; leave out what was not read."""

    nose_gap: float | None = key(
        "length", "Gap from the gate's inner face to the worktop nose.", default=None, zero=True
    )
    sill_gap: float | None = key("length", "Gap from the gate's lower edge down to the sill.", default=None, zero=True)
    head_gap: float | None = key("length", "Gap from the gate's upper edge up to the head.", default=None, zero=True)


@keyed
class StopReadings:
    """What is read at a stop of the job; leave out what was not read."""

    name: str = key("text", "The stop, as the job file calls it.")
    tilt: float | None = key(
        "angle", "How far the inner face stands from level, by the angle finder.", default=None, zero=True, most=180
    )
    falls: str | None = key(
        "word", "Which way the inner face falls from level.", default=None, allowed=("outward", "inward")
    )
    face_step: float | None = key(
        "length", "Step from the worktop surface to the inner face, at the nose.", default=None, zero=True
    )
    face: str | None = key(
        "word", "Whether the inner face stands proud or low there.", default=None, allowed=("proud", "low")
    )
    nose_gap: float | None = key("length", "Gap from the gate's lower edge to the nose.", default=None, zero=True)
    edge_drop: float | None = key(
        "length", "Free edge of the inner face, below the worktop surface.", default=None, zero=True
    )
    edge_above_floor: float | None = key("length", "The same, above the floor.", default=None, zero=True)

    at_most_one: ClassVar = (("edge_drop", "edge_above_floor"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        for size, word in (("tilt", "falls"), ("face_step", "face")):
            amount, way = getattr(self, size), getattr(self, word)
            if amount and way is None:
                yield size, f"is {amount:g}, but '{word}' does not say which way"
            if amount is None and way is not None:
                yield word, f"is '{way}', but there is no '{size}'"


@keyed
class MeasuredAgain:
    """Fixed edges measured once more at this end: how far they are out is what limits the correction."""

    nose_behind_wall: float | None = key(
        "length", "Worktop nose, inward from the wall's outer face.", default=None, zero=True
    )
    sill_below_worktop: float | None = key("length", "Sill, below the worktop surface.", default=None, zero=True)
    head_above_worktop: float | None = key("length", "Head, above the worktop surface.", default=None, zero=True)


@keyed
class TracePoint:
    """One point of a traced arc: from the wall's outer face and the worktop surface, or from the card's edges."""

    outward: float | None = key("length", "Outward from the wall's outer face.", default=None, zero=True)
    inward: float | None = key("length", "Inward from the wall's outer face.", default=None, zero=True)
    from_inner_edge: float | None = key("length", "Outward from the card's inner edge.", default=None, zero=True)
    up: float | None = key("length", "Above the worktop surface.", default=None, zero=True)
    down: float | None = key("length", "Below the worktop surface.", default=None, zero=True)
    above_floor: float | None = key("length", "Above the floor.", default=None, zero=True)
    from_lower_edge: float | None = key("length", "Up from the card's lower edge.", default=None, zero=True)

    one_of: ClassVar = ((*WAYS, "from_inner_edge"), (*HEIGHTS, "from_lower_edge"))


@keyed
class Trace:
    """An arc that a pencil fixed to the gate's end traced on a card held fast against the jamb as the gate swung."""

    card: Corner | None = key(
        "table",
        "Where the card's lower inner corner was, its edges level and upright; only where points are measured from it.",
        default=None,
        of=Corner,
    )
    reading_error: float | None = key(
        "length", "How far one point is usually out, square to the arc; else as the file says.", default=None, most=25
    )
    point: tuple[TracePoint, ...] = key(
        "table", "Points along the arc, in any order: three at least, better ten.", of=TracePoint, many=True
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if len(self.point) < FEWEST_POINTS:
            yield "point", f"must come at least {FEWEST_POINTS} times, got {len(self.point)}: two fit any circle"
        if self.card is None:
            for i, p in enumerate(self.point):
                for name in ("from_inner_edge", "from_lower_edge"):
                    if getattr(p, name) is not None:
                        yield "card", f"is missing: point[{i + 1}].{name} is measured from it; where was its corner?"
                        return


@keyed
class EndMark:
    """A mark on the gate's end."""

    from_lower_edge: float = key("length", "Along the inner face, up from the lower edge, gate shut.", zero=True)
    from_inner_face: float = key("length", "Square to the inner face, outward from it.", zero=True)


@keyed
class EndMarks:
    """Two marks on the gate's end, as far apart as there is room."""

    lower: EndMark = key("table", "The lower one, gate shut.", of=EndMark)
    upper: EndMark = key("table", "The upper one, gate shut.", of=EndMark)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.upper.from_lower_edge < self.lower.from_lower_edge + LEAST_APART:
            yield (
                "upper",
                f"must be at least {LEAST_APART:g} mm farther from the lower edge than the lower mark: from_lower_edge "
                f"is {self.upper.from_lower_edge:g} and {self.lower.from_lower_edge:g} mm",
            )


@keyed
class PoseReadings:
    """Where the whole gate is in one position, shut, at a stop or between: two points of it, or one and its tilt."""

    name: str = key("text", "What to call the position, such as 'shut', 'level' or 'half way'.")
    lower: Corner = key("table", "Where the lower mark is; without marks the lower end of the inner face.", of=Corner)
    upper: Corner | None = key(
        "table", "Where the upper mark is; without marks the free edge of the inner face.", default=None, of=Corner
    )
    tilt: float | None = key(
        "angle",
        "Instead of the upper mark: how far the inner face stands from level, by the angle finder.",
        default=None,
        zero=True,
        most=180,
    )
    falls: str | None = key(
        "word",
        "Which way the inner face falls from level; before level, and so of a shut gate, it falls inward.",
        default=None,
        allowed=("outward", "inward"),
    )
    reading_error: float | None = key(
        "length", "How far one length of this pose is usually out; else as the file says.", default=None, most=25
    )

    one_of: ClassVar = (("upper", "tilt"),)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.tilt and self.falls is None:
            yield "tilt", f"is {self.tilt:g}, but 'falls' does not say which way"
        if self.tilt is None and self.falls is not None:
            yield "falls", f"is '{self.falls}', but there is no 'tilt'"


@keyed
class SideReadings:
    """What is read at one end of the gate, seen from outside."""

    end: str = key("word", "Which end it was read at, seen from outside.", allowed=("left end", "right end"))
    again: MeasuredAgain | None = key("table", "Edges measured once more.", default=None, of=MeasuredAgain)
    shut: ShutReadings | None = key("table", "The gate shut.", default=None, of=ShutReadings)
    stop: tuple[StopReadings, ...] = key("table", "The gate at its stops.", default=None, of=StopReadings, many=True)
    trace: Trace | None = key("table", "An arc traced on a card as the gate swung.", default=None, of=Trace)
    marks: EndMarks | None = key(
        "table", "Two marks on the gate's end that poses are measured to; else both ends of the inner face.",
        default=None, of=EndMarks,
    )  # fmt: skip
    pose: tuple[PoseReadings, ...] = key(
        "table", "The whole gate measured in a position: two or more.", default=None, of=PoseReadings, many=True
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        yield from repeated("stop", self.stop)
        yield from repeated("pose", self.pose)
        if len(self.pose) == 1:
            yield "pose", "must come at least twice: one position of the gate tells no pivot"
        if self.marks is not None and not self.pose:
            yield "marks", "are given, but no [[side.pose]] is measured to them"
        if len(self.stop) + len(self.pose) > _MOST_POSITIONS:
            yield "pose", f"must be at most {_MOST_POSITIONS} together with the stops"


@keyed
class FirstFit:
    """What was read after the first fit of a gate."""

    format: int = key("count", "Format of the file: 1.", most=1)
    units: str = key("word", "What a bare length means.", allowed=("mm", "inch"))
    gate: str | None = key("text", "Which gate of the job; may be left out where there is one.", default=None)
    note: str | None = key("text", "A note.", default=None)
    reading_error: float = key(
        "length",
        "How far one reading of a length is usually out; a third of all are out by more.",
        default=0.5,
        most=25,
    )
    gap_error: float | None = key(
        "length", "The same, of a gap read by calliper or feeler gauge; else as any length.", default=None, most=25
    )
    angle_error: float = key("angle", "The same, of one reading of an angle.", default=0.25, most=20)
    corrected_by: str | None = key(
        "word",
        "How a hole can be moved: drilled anew, or by a slotted hole, an eccentric bush or shims; left out, by the "
        "adjusters of the job where it has any, else by drilling.",
        default=None,
        allowed=("drilling", "adjuster on the jamb", "adjuster on the gate", "adjusters on both"),
    )
    set_within: float = key("length", "How near to where it should be an adjuster is set.", default=0.15, most=10)
    bush_length: float = key("length", "Length of each bush along its pin.", default=20.0, most=500)
    side: tuple[SideReadings, ...] = key("table", "One end of the gate, or both.", of=SideReadings, many=True)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if not self.side:
            yield "side", "must come at least once: what was read at which end?"
        ends = [s.end for s in self.side]
        if len(set(ends)) < len(ends):
            yield "side", "names the same end twice"


class FirstFitFile(NamedTuple):
    """A file of readings as read.

    Attributes
    ----------
    fit : FirstFit
        Means of what was read several times.
    several : dict
        All readings of a size that was read several times, by its path, such as 'side[1].shut.nose_gap'.
    """

    fit: FirstFit
    several: dict[str, tuple[float, ...]]


def loads_first_fit(data: str | bytes, *, name: str = "readings") -> FirstFitFile:
    r"""Read the readings of a first fit from the text or bytes of a file.

    Parameters
    ----------
    data : str or bytes
        A TOML file; a size may be a list of readings of it.
    name : str
        What errors call it.

    Raises
    ------
    InvalidInput
        When it is no such file or breaks a rule; every problem found, a line each.

    Examples
    --------
    >>> loads_first_fit("format = 1\nunits = 'mm'\n[[side]]\nend = 'left end'\nshut.nose_gap = [3, 4]").several
    {'side[1].shut.nose_gap': (3.0, 4.0)}
    """
    if not isinstance(data, (str, bytes)):
        raise InvalidInput(f"data must be the text or bytes of a file of readings, got {keys.brief(data)}")
    text = files.decode(data.encode(errors="replace") if isinstance(data, str) else data, name)
    tables: dict[str, Any] = files.load(text, name)
    given = tables.get("format")
    if isinstance(given, bool) or not isinstance(given, int) or given < 1:
        raise InvalidInput(f"{name}: a file of readings begins with the line: format = {FIT_FORMAT}")
    if given > FIT_FORMAT:
        raise InvalidInput(
            f"{name}: these are readings of format {keys.brief(given)}; "
            f"foldswing {__version__} reads formats up to {FIT_FORMAT}"
        )
    if "title" in tables:
        raise InvalidInput(f"{name}: this is a job file; give it first, and the file of readings after it")
    reader = keys.Reader("in" if tables.get("units") == "inch" else "mm", files.places(text, name))
    fit = reader.table(FirstFit, tables, ())
    reader.finish()
    return FirstFitFile(fit, reader.readings)
