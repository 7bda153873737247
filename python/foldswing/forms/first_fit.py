"""What is read after the first fit of a gate: one page for each end, and the file of readings with the same letters."""

from __future__ import annotations

import json
import string
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from foldswing import gate
from foldswing._core import InvalidInput
from foldswing.drawing import Drawing, Entity
from foldswing.evaluation.fit_advice import FitAdvice, fit_advice
from foldswing.evaluation.gate_section import at_middle, each_asked, section
from foldswing.evaluation.reach import corrected_by
from foldswing.forms.page import EACH_END, Form, page, pdf
from foldswing.forms.sizes import ANGLE, CALLIPER, SQUARE, STRAIGHTEDGE, TAPE, Size
from foldswing.forms.sketches import Sketch
from foldswing.forms.true_pivot import blank_true_pivot, true_pivot_drawing
from foldswing.job import FirstFit, Gate, Job, Stop
from foldswing.job.keys import keys_of

_LETTERS = [c for c in string.ascii_uppercase if c not in "IO"]  # not to be taken for figures
_ENDS = ("left end", "right end")


class Rows(NamedTuple):
    """The lettered sizes of a first fit: of the shut gate, of each stop, and of the fixed edges once more."""

    shut: tuple[Size, ...]
    stops: tuple[tuple[str, tuple[Size, ...]], ...]
    again: tuple[Size, ...]

    @property
    def all(self) -> tuple[Size, ...]:
        """In the order of the form."""
        return (*self.shut, *(row for _, rows in self.stops for row in rows), *self.again)


def _of_stop(stop: Stop) -> Iterator[tuple[str, str, str, str]]:
    """Yield key, words, tool and where to hold it, of what is worth reading at a stop."""
    called = f"at '{stop.name}'"
    yield "tilt", f"{called}: inner face from level", ANGLE, "on the inner face; note which way it falls"
    if stop.face is not None or stop.lands is not None:
        where = "on the higher of the two, at the nose; note proud or low"
        yield "face_step", f"{called}: step to the inner face", STRAIGHTEDGE, where
    if stop.nose_gap is not None or stop.lands is not None:
        yield "nose_gap", f"{called}: gap to the nose", CALLIPER, "between the nose and the gate's lower edge"
    where = "from a straightedge on the worktop down to the free edge"
    yield "edge_drop", f"{called}: free edge below the worktop", SQUARE, where


def rows(wanted: Gate) -> Rows:
    """Return what is read after the first fit of a gate, each size with its letter.

    Raises
    ------
    InvalidInput
        When the gate has more stops than there are letters.
    """
    letters = iter(_LETTERS)

    def lettered(key: str, words: str, tool: str, where: str) -> Size:
        letter = next(letters, "")
        if not letter:
            raise InvalidInput(f"gate '{wanted.name}' has more stops than a form has letters")
        return Size(letter, key, words, tool, where, 0.0, 0.0)

    shut = (
        lettered("nose_gap", "shut: gap to the nose", CALLIPER, "inner face to the worktop's nose"),
        lettered("sill_gap", "shut: gap to the sill", CALLIPER, "lower edge down to the sill"),
        lettered("head_gap", "shut: gap to the head", CALLIPER, "upper edge up to the head"),
    )
    stops = tuple((s.name, tuple(lettered(*row) for row in _of_stop(s))) for s in wanted.stop)
    again = (
        lettered("nose_behind_wall", "once more: nose behind the wall", SQUARE, "from the wall's outer face inward"),
        lettered("sill_below_worktop", "once more: sill below the worktop", TAPE, "from a straightedge on the worktop"),
        lettered("head_above_worktop", "once more: head above the worktop", TAPE, "from the worktop up to the head"),
    )
    return Rows(shut, stops, again)


def first_fit_drawing(job: Job, wanted: Gate, *, paper: str) -> Drawing:
    """Return the form for one end of a gate after its first fit, as large as the paper.

    Parameters
    ----------
    job : Job
        For its units.
    wanted : Gate
        One of its gates.
    paper : {'A4', 'Letter'}
        What it is printed on.
    """
    lettered = rows(wanted)
    sizes = section(wanted)
    advice = fit_advice(job.errors, [a.landing.turn_deg for a in each_asked(at_middle(wanted, sizes), sizes)])
    form = Form(
        f"first fit of the {wanted.name}",
        lettered.all,
        EACH_END,
        "Put the readings into first-fit.toml; foldswing fit JOBFILE first-fit.toml then says what to move.",
        96.0,
        lambda at, wide: _sketches(lettered, at, wide),
        False,
        f"Read every size {_often(advice)}, taking the tool off in between.",
        (8, 10.5),
    )
    return page(form, job.units, paper)


def _often(advice: FitAdvice) -> str:
    """Say how often to read for either way of moving a hole."""
    few, many, fine = advice.average_to_adjust, advice.average_to_drill, advice.drill_by_calliper
    return f"{few} times before an adjuster is set; to drill anew {many} times with the tape or {fine} by calliper"


def first_fit_pdf(job: Job, wanted: Gate, *, paper: str) -> bytes:
    """Return the form as a PDF of two pages; see `first_fit_drawing` and `true_pivot_drawing`."""
    return pdf([first_fit_drawing(job, wanted, paper=paper), true_pivot_drawing(job, wanted, paper=paper)], paper)


_HEAD = """\
# Readings after the first fit of {name}: letters in the remarks are those of the form.
#
# Put each size in place of its mark and take away the # before it: "A?" becomes 3.2, or "1/8" in quotes, or better all
# readings of it, [3.2, 3.4, 3.1]. Leave out what was not read. No size is signed: words say which way.
# foldswing fit JOBFILE THIS-FILE says what to move, and how many readings are worth taking; foldswing keys fit explains
# every key.

format = 1
units = "{units}" # what a bare number means: mm or inch
gate = {gate}
# reading_error = {error}       # how far one reading of a length is usually out
# gap_error = {fine}         # the same, of a gap read by calliper or feeler gauge
# angle_error = 0.25         # the same, of one reading of the angle finder, in degrees
corrected_by = "{by}" # {others}
# set_within = {set}          # how near an adjuster is set
"""


def blank_first_fit(job: Job, wanted: Gate) -> str:
    """Return the file of readings that goes with the form, to be filled in."""
    inch = job.units == "inch"
    said = json.dumps(wanted.name, ensure_ascii=False)
    name = " ".join(wanted.name.split())
    by = corrected_by(wanted)
    others = [f'"{word}"' for word in keys_of(FirstFit)["corrected_by"].allowed if word != by]
    head = _HEAD.format(
        name=name,
        units=job.units,
        gate=said,
        error='"1/64"' if inch else "0.5",
        set='"0.006"' if inch else "0.15",
        fine='"0.004"' if inch else "0.1",
        by=by,
        others=("or " if by == "drilling" else "as this job's adjusters say; or ") + ", ".join(others),
    )
    lettered = rows(wanted)
    lines = [head.rstrip("\n")]
    for end in _ENDS:
        lines += ["", "[[side]]", f'end = "{end}"', "", "[side.shut]", *(_line(row) for row in lettered.shut)]
        lines += ["", "[side.again] # fixed edges measured once more", *(_line(row) for row in lettered.again)]
        for stop, own in lettered.stops:
            lines += ["", "[[side.stop]]", f"name = {json.dumps(stop, ensure_ascii=False)}"]
            for row in own:
                lines.append(_line(row))
                if row.path == "tilt":
                    lines.append('# falls = "outward"                            # or "inward"')
                if row.path == "face_step":
                    lines.append('# face = "proud"                               # or "low"')
        lines += ["", *blank_true_pivot(wanted)]
    return "\n".join(lines) + "\n"


def _line(row: Size) -> str:
    left = f'# {row.path} = "{row.letter}?"'
    return f"{left:46s} # {row.letter}: {row.words}, by {row.tool}"


def _sketches(lettered: Rows, at: tuple[float, float], wide: float) -> list[Entity]:
    """Return the gate shut, and at its first stops as far as there is room."""
    x, y = at
    out = _shut(lettered.shut, lettered.again, (x + 36.0, y + 34.0))
    room = (wide - 54.0) / 2.0
    for k, (name, own) in enumerate(lettered.stops[:2]):
        opening = 90.0 if k == 0 else 118.0
        out += _open(name, own, opening, (x + 54.0 + k * room + 21.0, y + 56.0))
    return out


_SIZES = gate.Sizes(
    thickness=52.0, height=236.0, lower_edge_below_worktop=64.0, nose_behind_wall=68.0, nose_depth=60.0,
    worktop_depth=50.0, worktop_above_floor=400.0, head_above_worktop=188.0, sill_below_worktop=82.0, jamb_depth=110.0,
    lower_inner_radius=14.0, lower_outer_radius=8.0,
)  # fmt: skip
_PIVOT = (-20.0, -32.0)
_SCALE = 0.19


def _shut(own: tuple[Size, ...], again: tuple[Size, ...], at: tuple[float, float]) -> list[Entity]:
    nose, sill, head, nose_place, sill_place, head_place = (row.letter for row in (*own, *again))
    s = Sketch(_SCALE, at)
    s.shape(gate.panel(_SIZES))
    s.shape(gate.worktop(_SIZES), "neighbour")
    _cut(s)
    s.circle(_PIVOT, 7.0, "hole")
    s.size(nose, (-68.0, 18.0), (-52.0, 18.0), (0.0, 3.0), ring=0.0)
    s.size(sill, (-26.0, -64.0), (-26.0, -82.0), (9.0, 0.0), ring=1.0)
    s.size(head, (-26.0, 172.0), (-26.0, 188.0), (9.0, 0.0), ring=1.0)
    s.size(nose_place, (-68.0, -104.0), (0.0, -104.0), (0.0, -4.0), ring=0.0)
    s.size(sill_place, (-142.0, 0.0), (-142.0, -82.0), ring=0.5)
    s.size(head_place, (-142.0, 0.0), (-142.0, 188.0), ring=0.5)
    s.words("shut", (-26.0, 188.0), (0.0, 14.0), anchor="middle")
    return s.entities


def _cut(s: Sketch) -> None:
    """Draw sill and head, cut short."""
    s.lines([(-70.0, -82.0), (0.0, -82.0), (0.0, -126.0)], "neighbour")
    s.lines([(-70.0, 188.0), (0.0, 188.0), (0.0, 226.0)], "neighbour")


def _open(name: str, own: tuple[Size, ...], opening: float, at: tuple[float, float]) -> list[Entity]:
    letters = {row.path: row.letter for row in own}
    s = Sketch(_SCALE, at)
    holes = gate.Holes(np.array(_PIVOT), np.array(_PIVOT))
    now = gate.opened(_SIZES, holes, opening)
    s.shape(gate.panel(_SIZES).moved(gate.pose(holes, opening)))
    s.shape(gate.worktop(_SIZES), "neighbour")
    s.lines([(-70.0, -82.0), (0.0, -82.0), (0.0, -126.0)], "neighbour")
    s.circle(_PIVOT, 7.0, "hole")
    start, end = np.asarray(now.face_from), np.asarray(now.face_to)
    s.lines([(-68.0, 0.0), (float(end[0]) + 30.0, 0.0)], "centre")
    s.tag(letters["tilt"], start + 0.62 * (end - start), (2.0, 8.0))
    drop = float(end[1])
    beyond = float(end[0]) + 22.0
    s.size(letters["edge_drop"], (beyond, 0.0), (beyond, min(drop, -1e-6)), ring=1.0 if drop > -60.0 else 0.5)
    if "face_step" in letters:
        s.tag(letters["face_step"], start + 0.16 * (end - start), (-1.0, 8.0))
    if "nose_gap" in letters:
        s.size(letters["nose_gap"], (-68.0, -46.0), (float(start[0]), -46.0), (0.0, -4.0), ring=0.0)
    s.words(f"at '{name}'", (40.0, 0.0), (0.0, 16.0), anchor="middle")
    return s.entities
