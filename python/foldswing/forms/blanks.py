"""Files to be filled in: the job file that goes with a measuring form, and the file for the shop."""

from __future__ import annotations

from foldswing.forms.writing import blank_lines
from foldswing.job.gates import Gate
from foldswing.job.parts import BentPart, Crown, FlipPanel, Material, Pan

_PARTS = {
    "gate": (("gate", Gate),),
    "panel": (("material", Material), ("pan", Pan), ("flip_panel", FlipPanel)),
    "lid": (("crown", Crown),),
    "bent": (("material", Material), ("bent_part", BentPart)),
}
NAMES = {"gate": "gate", "panel": "flip panel", "lid": "crowned lid", "bent": "bent part"}
_HEAD = """\
# Job file for the measuring form of a {what}: letters in the remarks are those of the form.
#
# Put each size in place of its mark: "A?" becomes 1190, or "46 27/32" in quotes, or readings [1190, 1190.5, 1189].
# Take away the # before what you have; leave out what there is not. No size is signed: words say which way.
# foldswing run FILE --out FOLDER works it out; it says which letter is still empty.
# foldswing keys explains every key.

format = 1
title = "?" # what the job is called, on every sheet
units = "{units}" # what a bare number means: mm or inch
revision = "A"
# ruler = "{ruler}"      # step of the ruler in use; a shop file can say it for all jobs
# paper = "{paper}"

# [paint]
# per_face = {paint}     # all coats, on one face
"""

SHOP = """\
# File for the shop: what a job leaves out is taken from here; a job's own value always wins.
#
# Kept as shop.toml beside the job files it serves them alone; named with --shop, or kept in your settings folder, it
# serves every job. Take away the # before what you have. foldswing keys shop explains every key.

format = 1
# name = "the shop"
units = "{units}"                  # what a bare number means, here and in jobs that do not say: mm or inch
# ruler = "{ruler}"              # step of the ruler in use
# paper = "{paper}"                # paper in the printer: A4 or Letter
# drills = {drills}      # drills and reamers there are; a hole of another size is warned of
# pins = {pins}              # pins in stock

# [paint]
# per_face = {paint}              # all coats, on one face, measured on a scrap

# [errors]                     # how far this shop is usually out; a third of all cases are out by more
# hole = {hole}                   # a drilled hole, each way
# measured = {measured}               # a place measured with the tape

# [[brake]]                    # one for each sheet and tool, from a strip bent on this brake
# metal = "steel sheet"        # as the job's material names it
# thickness = {thick}
# inside_radius = {thick}
# deduction = {deduction}              # what one bend of 90 degrees takes off the summed outside sizes
# basis = "test strip, date"

# [coupon_errors]              # how well a test strip is read; a third of all readings are out by more
# length = {strip_error}                 # its length, and each flange
# radius = {strip_error}
# thickness = {thick_error}
# angle = 0.5

# [[coupon]]                   # one for each test strip; they stand in place of [[brake]] and of any table
# metal = "steel sheet"
# thickness = {thick}
# inside_radius = {thick}
# flat = {flat}                  # before bending
# leg_a = {leg}                 # outside sizes after bending
# leg_b = {leg}
# note = "date, die"

# [[metal]]                    # figures from the mill sheet, in place of the tables
# name = "shop plate"
# source = "mill sheet"
# yield_strength = 250         # MPa, the upper one
# tensile_strength = 400       # MPa, the upper one
# modulus = 205                # GPa

# [[brake_tool]]               # one for each brake
# name = "bench brake"
# kind = "leaf brake"
# nose, bed, leaf (press brake: punch, die): its own outlines, corner by corner; foldswing keys brake_tool says how

# [[stock]]                    # sheets and remnants there are
# name = "sheet"
# metal = "steel sheet"
# thickness = {thick}
# length = {sheet_length}
# width = {sheet_width}

# [cutting]
# edge = {edge}                  # taken off all round every sheet first

# [rolls]
# diameter = {roll}                # of the roll that the metal goes round
# width = {roll_width}                # widest sheet they take
"""


def blank_job(kind: str, units: str) -> str:
    """Return the job file that goes with a measuring form.

    Parameters
    ----------
    kind : {'gate', 'panel', 'lid', 'bent'}
        What is measured.
    units : {'mm', 'inch'}
        What a bare number means.
    """
    inch = units == "inch"
    head = _HEAD.format(
        what=NAMES[kind],
        units=units,
        ruler="1/32 in" if inch else "0.5 mm",
        paper="Letter" if inch else "A4",
        paint='"6 thou"' if inch else "0.15",
    )
    lines: list[str] = []
    for name, cls in _PARTS[kind]:
        lines += blank_lines(kind, cls, f"[[{name}]]", f"{name}[1]")
    return head + "\n".join(lines) + "\n"


def blank_shop(units: str) -> str:
    """Return a file for the shop in which everything is still to be said; see `blank_job`."""
    inch = units == "inch"
    return SHOP.format(
        units=units,
        ruler="1/32 in" if inch else "0.5 mm",
        paper="Letter" if inch else "A4",
        drills='["1/4", "5/16", "3/8"]' if inch else "[5, 6, 8, 10, 12]",
        pins='["1/4", "5/16"]' if inch else "[6, 8]",
        paint='"6 thou"' if inch else "0.15",
        hole='"1/64"' if inch else "0.4",
        measured='"1/64"' if inch else "0.5",
        thick='"20 ga steel"' if inch else "1.2",
        deduction='"0.06"' if inch else "2.1",
        strip_error='"4 thou"' if inch else "0.1",
        thick_error='"0.5 thou"' if inch else "0.01",
        flat='"2"' if inch else "50",
        sheet_length='"96"' if inch else "2000",
        sheet_width='"48"' if inch else "1000",
        edge='"1/4"' if inch else "5",
        leg='"1 1/32"' if inch else "26.05",
        roll='"2"' if inch else "50",
        roll_width='"40"' if inch else "1000",
    )
