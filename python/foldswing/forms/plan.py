"""In which order the keys of a job are asked, which straight out, and which only where they mean something."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from foldswing.job import Job, keys
from foldswing.job.gates import Body, Gate, Hinge, Opening, Panel, Station, Stop, Worktop
from foldswing.job.keys import Key
from foldswing.job.parts import Bend, BentPart, Crown, FlipPanel, Material, Pan
from foldswing.job.stays import Stay

PARTS = {"gate": "gate", "panel": "flip_panel", "lid": "crown", "bent": "bent_part"}
FILLED = {
    "format",
    "material",
    "gate",
    "flip_panel",
    "pan",
    "bent_part",
    "crown",
    "readings",
}  # of a job: never asked so

# (key, before which other it is asked): where another order than the table's is easier to answer
_FIRST: dict[type, tuple[tuple[str, str], ...]] = {
    Opening: (("head_above_worktop", "diagonals"), ("sill_below_worktop", "diagonals")),
    Worktop: (("tilt", "falls"),),
    Panel: (("lean", "leans"), ("lower_edge_below_worktop", "width"), ("thickness", "width"), ("height", "width")),
    Gate: (("body", "stop"),),
    Material: (("test_strip", "basis"),),
    BentPart: (("lengths_are", "width"),),
}

# optional keys that are asked straight out all the same
_STRAIGHT: dict[type, frozenset[str]] = {
    Job: frozenset({"revision", "paint"}),
    Panel: frozenset({"lower_inner_corner_radius", "lower_outer_corner_radius"}),
    Hinge: frozenset({"bush_diameter"}),
    Gate: frozenset({"seen_from"}),
    Stop: frozenset({"face", "face_by", "nose_gap", "rests_on", "within"}),
    Body: frozenset({"diameter", "width", "height", "corner"}),
    FlipPanel: frozenset({"ear_radius"}),
    Crown: frozenset({"reading_error", "station_every"}),
    Bend: frozenset(),
    Pan: frozenset({"sizes_are"}),
}
# optional tables that are not asked straight out
_SELDOM_TABLES: frozenset[tuple[type, str]] = frozenset(
    {(Gate, "adjuster"), (Hinge, "bracket"), (Stay, "jamb_place"), (Stay, "gate_place")}
)
_STRAIGHT_NAMES = frozenset({"nose", "sill", "head", "ends"})  # of gaps wanted

# key: (other key of its table, words of that other key with which it is asked, and then it must be answered)
_ONLY_WITH: dict[tuple[type, str], tuple[str, tuple[str, ...]]] = {
    (Panel, "outer_face_by"): ("outer_face", ("proud", "set back")),
    (Body, "diameter"): ("shape", ("round bar",)),
    (Body, "width"): ("shape", ("block",)),
    (Body, "height"): ("shape", ("block",)),
    (Body, "corner"): ("shape", ("outline",)),
    (Stop, "face_by"): ("face", ("proud", "low")),
}
_NOT_WITH: dict[tuple[type, str], tuple[str, str]] = {
    (Body, "outward"): ("shape", "outline"),
    (Body, "up"): ("shape", "outline"),
}
# a word that follows from an angle: 0 has the first, anything else is asked among the others
_WAY_OF: dict[tuple[type, str], tuple[str, str]] = {
    (Panel, "leans"): ("lean", "upright"),
    (Worktop, "falls"): ("tilt", "level"),
}
# groups of which one must be given, though the table alone would let it be left out
_NEEDED: frozenset[tuple[type, str]] = frozenset({(Body, "outward"), (Body, "up")})
_GROUP_WORDS: dict[tuple[type, str], str] = {
    (Stop, "lands"): "How is the angle of this stop known",
    (Stop, "edge_above_floor"): "Is the height of the open gate's edge given",
    (Body, "outward"): "Which way is it from the wall's outer face",
    (Body, "up"): "How is its height given",
    (Material, "k_factor"): "How is its bending known",
    (Bend, "bend_angle"): "Which angle do you give",
    (FlipPanel, "stands"): "How far does it open",
}


_GROUPS_STRAIGHT = frozenset({Stop, Station})


# read with the angle finder every time: upright and level are never assumed
_NEVER_ASSUMED = frozenset({(Panel, "lean"), (Worktop, "tilt")})


class Group(NamedTuple):
    """Keys of which one is given, or none."""

    names: tuple[str, ...]
    needed: bool
    words: str


def order(cls: Any) -> list[str]:
    """Return the keys of a class in the order they are asked."""
    names = list(keys.keys_of(cls))
    for name, before in _FIRST.get(cls, ()):
        if name in names and before in names and names.index(name) > names.index(before):
            names.remove(name)
            names.insert(names.index(before), name)
    return names


def group_of(cls: Any, name: str) -> Group | None:
    """Return the group a key belongs to."""
    for needed, groups in ((True, getattr(cls, "one_of", ())), (False, getattr(cls, "at_most_one", ()))):
        for group in groups:
            if name in group:
                first = group[0]
                words = _GROUP_WORDS.get((cls, first), "Which of these do you give")
                return Group(tuple(group), needed or (cls, first) in _NEEDED, words)
    return None


def together_with(cls: Any, name: str) -> str | None:
    """Return the key which must be given where this one is, and is asked before it."""
    for group in getattr(cls, "together", ()):
        if name in group[1:]:
            return str(group[0])
    return None


def straight(cls: Any, row: Key, *, lettered: bool) -> bool:
    """Tell whether a key is asked straight out."""
    if cls is Job:
        return row.required or row.name in _STRAIGHT[Job]
    if row.required or lettered or (row.kind == "table" and (cls, row.name) not in _SELDOM_TABLES):
        return True
    if row.name in _STRAIGHT.get(cls, ()) or (cls, row.name) in _WAY_OF:
        return True
    group = group_of(cls, row.name)
    if group is not None and (group.needed or cls in _GROUPS_STRAIGHT):
        return True
    return cls.__name__ == "Gaps" and row.name in _STRAIGHT_NAMES


def needed_with(cls: Any, name: str) -> tuple[str, tuple[str, ...]] | None:
    """Return the other key, and its words, with which a key is asked and needed."""
    return _ONLY_WITH.get((cls, name))


def skipped_with(cls: Any, name: str) -> tuple[str, str] | None:
    """Return the other key, and its word, with which a key means nothing."""
    return _NOT_WITH.get((cls, name))


def never_assumed(cls: Any, name: str) -> bool:
    """Tell whether an answer is needed although the key has a default."""
    return (cls, name) in _NEVER_ASSUMED


def way_of(cls: Any, name: str) -> tuple[str, str] | None:
    """Return the angle whose way a word names, and the word for none."""
    return _WAY_OF.get((cls, name))


def bare(path: str) -> str:
    """Return a path without the number of its part: 'gate[2].opening' is 'gate.opening'."""
    return re.sub(r"^([a-z_]+)\[\d+\]", r"\1", path)


def unnumbered(path: str) -> str:
    """Return a path without any number but those of plain lists."""
    return re.sub(r"\[\d+\](?=\.)", "", path)
