"""One pivot: where it must be for the panel to land true, and the motion it gives."""

from __future__ import annotations

from foldswing._core.hinge import PivotHinge

__all__ = ["PivotHinge"]
