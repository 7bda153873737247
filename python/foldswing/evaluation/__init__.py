"""What a job comes to: pivots, closest approaches, blanks and radii, with what is wrong in shop words."""

from __future__ import annotations

from foldswing.evaluation.bending import Bending, BlankSpread
from foldswing.evaluation.blanks import BendResult, BlankResult, evaluate_bent_part, evaluate_pan
from foldswing.evaluation.crowns import CrownResult, evaluate_crown
from foldswing.evaluation.curved_flanges import ArcOnBlank, CurvedFlangeResult, evaluate_curved_flange
from foldswing.evaluation.developed import DevelopedPattern, DevelopedResult, evaluate_developed
from foldswing.evaluation.findings import Approach, Finding, verdict
from foldswing.evaluation.first_fit import FirstFitResult, chosen_gate, evaluate_first_fit
from foldswing.evaluation.flips import FlipResult, evaluate_flip_panel
from foldswing.evaluation.gates import GateResult, evaluate_gate
from foldswing.evaluation.hardware import Hardware
from foldswing.evaluation.joints import SlotRow, TabRow
from foldswing.evaluation.ordering import BrakeOrder, CutSheet
from foldswing.evaluation.results import Results, evaluate
from foldswing.evaluation.spread import ReadSize, Uncertain
from foldswing.evaluation.trays import evaluate_section, evaluate_tray
from foldswing.evaluation.windows import WindowResult, evaluate_window

__all__ = [
    "Approach",
    "ArcOnBlank",
    "BendResult",
    "Bending",
    "BlankResult",
    "BlankSpread",
    "BrakeOrder",
    "CrownResult",
    "CurvedFlangeResult",
    "CutSheet",
    "DevelopedPattern",
    "DevelopedResult",
    "Finding",
    "FirstFitResult",
    "FlipResult",
    "GateResult",
    "Hardware",
    "ReadSize",
    "Results",
    "SlotRow",
    "TabRow",
    "Uncertain",
    "WindowResult",
    "chosen_gate",
    "evaluate",
    "evaluate_bent_part",
    "evaluate_crown",
    "evaluate_curved_flange",
    "evaluate_developed",
    "evaluate_first_fit",
    "evaluate_flip_panel",
    "evaluate_gate",
    "evaluate_pan",
    "evaluate_section",
    "evaluate_tray",
    "evaluate_window",
    "verdict",
]
