"""The table of sizes: what each letter of a measuring form means, the tool, where to hold it, what it can be.

The form, the comments of the job file and the questions are all made from it. What it does not name is asked by the
meaning the table of keys gives it.
"""

from __future__ import annotations

import re
from typing import NamedTuple

TAPE = "tape"
SQUARE = "combination square"
STRAIGHTEDGE = "straightedge"
CALLIPER = "calliper"
ANGLE = "angle finder"
SCALE = "scale"
GAUGE = "radius gauge"

KINDS = ("gate", "panel", "lid", "bent")


class Size(NamedTuple):
    """One lettered size.

    Attributes
    ----------
    letter : str
        On sketch, form, job file and in the questions.
    path : str
        Key in the job; of what may come several times, the first: 'gate.body[1].diameter'.
    words : str
        What it is, short enough for a line of the form.
    tool : str
        What it is measured with.
    where : str
        Where to hold the tool.
    low, high : float
        Between these it is believed without asking: mm, degrees or kg (common practice, no source).
    """

    letter: str
    path: str
    words: str
    tool: str
    where: str
    low: float
    high: float


GATE = (
    Size("A", "gate.opening.width_top", "opening, width at the head", TAPE,
         "inside, from jamb to jamb, just under the head, tape level", 200, 5000),
    Size("B", "gate.opening.width_bottom", "opening, width at the sill", TAPE,
         "inside, from jamb to jamb, just above the sill, tape level", 200, 5000),
    Size("C", "gate.opening.diagonals[1]", "diagonal, bottom left to top right", TAPE,
         "corner to corner in the plane of the wall, seen from outside", 200, 6000),
    Size("D", "gate.opening.diagonals[2]", "diagonal, top left to bottom right", TAPE,
         "the other two corners, in the same way", 200, 6000),
    Size("AA", "gate.opening.height_left", "opening, height at the left jamb", TAPE,
         "sill to head along the jamb, seen from outside; leave both empty if E and F hold all along", 100, 4000),
    Size("BB", "gate.opening.height_right", "opening, height at the right jamb", TAPE,
         "sill to head along the right jamb, in the same way", 100, 4000),
    Size("E", "gate.opening.head_above_worktop", "head above the worktop", TAPE,
         "straightedge out over the worktop; from its underside up to the head", 100, 2500),
    Size("F", "gate.opening.sill_below_worktop", "sill below the worktop", SQUARE,
         "same straightedge; from its underside down to the sill", 0, 1500),
    Size("G", "gate.opening.jamb_depth", "depth of the jamb", SQUARE,
         "from the wall's outer face inward along the jamb", 5, 400),
    Size("H", "gate.worktop.above_floor", "worktop above the floor", TAPE,
         "tape upright on the floor where a person stands, to the surface at the nose", 300, 1600),
    Size("J", "gate.worktop.nose_behind_wall", "nose of the worktop behind the wall's face", SQUARE,
         "straightedge across the opening on the wall's outer face; from it in to the nose", 2, 400),
    Size("K", "gate.worktop.nose_depth", "depth of the nose", SQUARE,
         "from the worktop surface down its front face", 5, 400),
    Size("L", "gate.worktop.tilt", "fall of the worktop", ANGLE,
         "on the surface, across the nose; write 0 only if it reads 0", 0, 10),
    Size("M", "gate.panel.lean", "lean of the shut face from upright", ANGLE,
         "on the shut gate's inner face, or where it will be; write 0 only if it reads upright", 0, 45),
    Size("N", "gate.panel.thickness", "thickness of the gate", CALLIPER,
         "over everything, at an end", 2, 120),
    Size("P", "gate.panel.lower_edge_below_worktop", "lower edge below the worktop", SQUARE,
         "gate shut: straightedge out over the worktop, from its underside down to the edge", 0, 1500),
    Size("Q", "gate.panel.height", "height of the gate", TAPE,
         "along its face; leave empty to have it worked out", 60, 2500),
    Size("R", "gate.panel.width", "width of the gate", TAPE,
         "along its lower edge; leave empty to have it worked out", 150, 5000),
    Size("S", "gate.load.mass", "mass of the gate", SCALE,
         "whole, with everything that is fixed to it", 0.3, 150),
    Size("T", "gate.body[1].diameter", "rail or tube: its diameter", CALLIPER,
         "across it, or from a strip of paper round it", 3, 300),
    Size("U", "gate.body[1].outward", "rail: outward from the wall's outer face", TAPE,
         "straightedge on the wall; out to the middle of a bar, to the near face of a block", 0, 2000),
    Size("V", "gate.body[1].down", "rail: below the worktop surface", TAPE,
         "from the worktop's level down to the middle of a bar, to the top of a block", 0, 1500),
    Size("W", "gate.stay.jamb_pin_inward", "stay pin on the jamb, inward", SQUARE,
         "from the wall's outer face in to the pin's middle", 0, 1000),
    Size("X", "gate.stay.jamb_pin_above_worktop", "stay pin on the jamb, above the worktop", SQUARE,
         "from the worktop surface up to the pin's middle", 0, 1500),
    Size("Y", "gate.stay.gate_pin_above_pivot", "stay pin on the gate, above the pivot", SQUARE,
         "along the shut face", 10, 2000),
    Size("Z", "gate.stay.gate_pin_from_inner_face", "stay pin on the gate, from its inner face", SQUARE,
         "square to the face, outward to the pin's middle", 0, 120),
    Size("CC", "gate.seal[1].free", "seal, free", CALLIPER,
         "from the edge it sits on to its crest, nothing on it", 1, 80),
    Size("DD", "gate.seal[1].squeezed", "seal, squeezed", CALLIPER,
         "pressed as far as it goes, in the same way", 0, 60),
    Size("EE", "gate.crowned_edge[1].chord", "bowed edge, straight span", STRAIGHTEDGE,
         "between its ends", 100, 5000),
    Size("FF", "gate.crowned_edge[1].rise", "bowed edge, rise", CALLIPER,
         "straightedge over its ends; from it to the edge in the middle", 0.5, 300),
)  # fmt: skip

PANEL = (
    Size("A", "pan.width", "panel, left to right", TAPE,
         "outside over the flanges; of a panel to be made, the opening less two gaps", 30, 2500),
    Size("B", "pan.length", "panel, front to rear", TAPE,
         "outside over the flanges, along the skin", 30, 2500),
    Size("C", "pan.depth", "depth of its flanges", CALLIPER,
         "square to the skin, skin thickness included", 3, 200),
    Size("D", "flip_panel.slope", "slope of the skin from level", ANGLE,
         "on the skin beside the opening, front to rear, vehicle level", 0, 89),
    Size("E", "flip_panel.gap", "gap all round, shut", CALLIPER,
         "between the panel's edge and the skin", 0.5, 15),
    Size("F", "flip_panel.return_depth", "return of the skin at the hinged edge", CALLIPER,
         "square to the skin, from its outer surface in", 1, 150),
    Size("G", "flip_panel.room_behind_skin", "room behind the skin", TAPE,
         "square to the skin, from its outer surface in to the first thing there", 5, 1500),
    Size("H", "flip_panel.pivot_from_hinged_edge", "pivot from the hinged edge", SQUARE,
         "along the skin, from the panel's hinged edge to the pin's middle", 0, 500),
    Size("J", "flip_panel.pivot_behind_skin", "pivot behind the skin", SQUARE,
         "square to the skin, from its outer surface in to the pin's middle", 0, 300),
    Size("K", "flip_panel.pin_diameter", "diameter of the pin", CALLIPER,
         "across the pin", 2, 25),
    Size("L", "flip_panel.plate_width", "plate, width", TAPE,
         "the plate itself; leave empty if it carries none", 50, 1200),
    Size("M", "flip_panel.plate_height", "plate, height", TAPE,
         "the plate itself", 20, 600),
    Size("N", "material.thickness", "thickness of the sheet", CALLIPER,
         "on an offcut, away from the burr of the cut", 0.3, 6),
    Size("P", "material.inside_radius", "inside radius of its bends", GAUGE,
         "in a bend made on this brake", 0, 12),
    Size("Q", "material.test_strip.flat", "test strip: length before bending", CALLIPER,
         "along the strip, before it is bent", 20, 300),
    Size("R", "material.test_strip.outside_a", "test strip: one flange, outside", CALLIPER,
         "after bending 90 degrees, from the outside of the other flange to the end", 8, 200),
    Size("S", "material.test_strip.outside_b", "test strip: other flange, outside", CALLIPER,
         "in the same way", 8, 200),
)  # fmt: skip

LID = (
    Size("A", "crown.chord_across", "straight span across", STRAIGHTEDGE,
         "from edge to edge across, over which the rise is measured", 100, 4000),
    Size("B", "crown.rise_across", "rise at the middle of that span", CALLIPER,
         "straightedge over the span on two equal blocks; blocks less the gap in the middle", 0.5, 600),
    Size("C", "crown.chord_along", "straight span along", STRAIGHTEDGE,
         "front to rear; leave empty where it is straight that way", 100, 4000),
    Size("D", "crown.rise_along", "rise at the middle of that span", CALLIPER,
         "in the same way", 0.5, 600),
    Size("E", "crown.layer[1].thickness", "thickness of the outer skin", CALLIPER,
         "at an edge, away from the burr", 0.2, 30),
    Size("F", "crown.layer[2].thickness", "thickness of the glue line", CALLIPER,
         "of a cured trial, or what the adhesive maker says", 0.05, 10),
    Size("G", "crown.layer[3].thickness", "thickness of the support skin", CALLIPER,
         "at an edge, away from the burr", 0.2, 30),
    Size("H", "crown.inset", "support stays back from the edge", SQUARE,
         "from the outer skin's edge in", 0, 200),
)  # fmt: skip

BENT = (
    Size("A", "bent_part.flats[1]", "first flat", CALLIPER, "from its edge to the first bend, as said below", 3, 2500),
    Size("B", "bent_part.flats[2]", "second flat", CALLIPER, "from bend to bend", 3, 2500),
    Size("C", "bent_part.flats[3]", "third flat", CALLIPER, "from bend to bend, or to its edge", 3, 2500),
    Size("D", "bent_part.flats[4]", "fourth flat", CALLIPER, "from the last bend to its edge", 3, 2500),
    Size("E", "bent_part.bend[1].bend_angle", "first bend, turned from flat", ANGLE,
         "a square corner is 90; from one flat to the next", 1, 180),
    Size("F", "bent_part.bend[2].bend_angle", "second bend, turned from flat", ANGLE, "in the same way", 1, 180),
    Size("G", "bent_part.bend[3].bend_angle", "third bend, turned from flat", ANGLE, "in the same way", 1, 180),
    Size("H", "bent_part.width", "length along the bends", TAPE, "along a bend, from end to end", 10, 4000),
    Size("J", "material.thickness", "thickness of the sheet", CALLIPER,
         "on an offcut, away from the burr of the cut", 0.3, 6),
    Size("K", "material.inside_radius", "inside radius of its bends", GAUGE,
         "in a bend made on this brake", 0, 12),
    Size("L", "material.test_strip.flat", "test strip: length before bending", CALLIPER,
         "along the strip, before it is bent", 20, 300),
    Size("M", "material.test_strip.outside_a", "test strip: one flange, outside", CALLIPER,
         "after bending 90 degrees, from the outside of the other flange to the end", 8, 200),
    Size("N", "material.test_strip.outside_b", "test strip: other flange, outside", CALLIPER,
         "in the same way", 8, 200),
    Size("P", "pan.width", "pan, left to right", TAPE, "over the flanges, or within them, as said below", 20, 2500),
    Size("Q", "pan.length", "pan, front to rear", TAPE, "in the same way", 20, 2500),
    Size("R", "pan.depth", "pan, depth of its flanges", CALLIPER, "square to its face", 3, 300),
)  # fmt: skip

SELDOM = frozenset({"CC", "DD", "EE", "FF"})  # on a line of their own at the foot, read once
TABLES: dict[str, tuple[Size, ...]] = {"gate": GATE, "panel": PANEL, "lid": LID, "bent": BENT}

_PLACE = re.compile(r"\[(\d+)\]")


def lettered(kind: str, path: str) -> tuple[str, Size] | None:
    """Return letter and row of a size by its path in a job, or None.

    The second of what may come several times has the letter of the first and its number: T2.
    """
    bare = re.sub(r"^([a-z_]+)\[\d+\]", r"\1", path)
    rows = {size.path: size for size in TABLES[kind]}
    if bare in rows:
        return rows[bare].letter, rows[bare]
    places = _PLACE.findall(bare)
    first = _PLACE.sub("[1]", bare)
    if first in rows and len(places) == 1 and not bare.endswith("]") and _PLACE.sub("[2]", bare) not in rows:
        return f"{rows[first].letter}{places[0]}", rows[first]
    return None
