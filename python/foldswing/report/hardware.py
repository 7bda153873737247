"""Pins, metal round the holes and the end-gap stack of a gate, on the sheet."""

from __future__ import annotations

from foldswing.evaluation import GateResult
from foldswing.job import Gate
from foldswing.report.words import Words
from foldswing.sheet import Block, Heading, KeyValues, Table


def hardware_blocks(wanted: Gate, done: GateResult, words: Words) -> list[Block]:
    """Return what holds a gate at its ends; nothing where the pivot is not decided."""
    found = done.hardware
    if found is None:
        return []
    rows = [("Pin", found.pin)]
    rows += [(f"Metal between hole and {name}", f"{left:.1f} mm") for name, left in found.metal]
    held = done.bracket
    if held is not None:
        left = f"{held.metal:.1f} mm" if held.metal > 0.0 else "none: the hole breaks out"
        if held.outside_by > 0.0:
            left = f"none: its middle is {held.outside_by:.1f} mm outside"
        least = f"{held.least_metal:g} mm wanted"
        rows.append((f"Metal round the hole of {words.hole(held.hole)} in the {held.name}", f"{left}; {least}"))
    if wanted.hinge.ear_radius is not None:
        rows.append(("Ear round the pin, each end of the gate", f"R {words.size(wanted.hinge.ear_radius)}"))
    bought = wanted.hinge.bought
    if bought is not None:
        rows.append(("Bought hinge", f"barrel {bought.barrel_diameter:.1f} mm, leaf {bought.leaf_thickness:.1f} mm"))
    blocks: list[Block] = [Heading("Pins and end gaps", 2), KeyValues(tuple(rows))]
    if found.stack:
        parts = [*found.stack, ("adds up to", found.stack_total), ("end gap as the gate hangs", found.end_gap)]
        caption = "What fills each end gap, from gate to jamb"
        blocks.append(Table(("Part", "Thick"), tuple((name, f"{thick:.1f} mm") for name, thick in parts), caption))
    return blocks
