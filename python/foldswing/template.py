"""Templates for the bench and pictures for the sheet, built from finished geometry.

Every function takes plain geometry and gives a `drawing.Drawing`. Nothing is designed here: pivots, blanks and arcs
come from their own topics. Words are never mirrored: the other hand is drawn anew from mirrored geometry.

    >>> import foldswing as fs
    >>> panel = fs.plane.Path([(-28, -36), (0, -36), (0, 324), (-28, 324)], [0, 0, 0, 0], closed=True)
    >>> left = fs.template.end_template(
    ...     panel, (-10, -18), holes=[(12, "bush"), (8, "pin")], title="Counter gate", hand="left", outside="right",
    ...     view="seen from the left end as you stand outside",
    ...     faces=[fs.template.Face("inner face", (-28, -36), (-28, 324)),
    ...            fs.template.Face("lower edge", (-28, -36), (0, -36))])
    >>> left.title
    'Counter gate: end template, left hand'
"""

from __future__ import annotations

from foldswing._card_model import card_model
from foldswing._curved_flange_drawing import curved_flange_picture, curved_flange_template
from foldswing._elevations import edge_elevation, opening_elevation
from foldswing._end_template import Face, end_template
from foldswing._flat_drawing import BendLine, blank_template, pan_blank, profile_blank
from foldswing._gauges import crown_gauge, radius_gauges
from foldswing._pattern_drawing import pattern_picture, pattern_template
from foldswing._pictures import blank_picture, close_up, folded_section, swing_picture
from foldswing._relief_template import relief_template
from foldswing._seam_picture import seam_picture

__all__ = [
    "BendLine",
    "Face",
    "blank_picture",
    "blank_template",
    "card_model",
    "close_up",
    "crown_gauge",
    "curved_flange_picture",
    "curved_flange_template",
    "edge_elevation",
    "end_template",
    "folded_section",
    "opening_elevation",
    "pan_blank",
    "pattern_picture",
    "pattern_template",
    "profile_blank",
    "radius_gauges",
    "relief_template",
    "seam_picture",
    "swing_picture",
]
