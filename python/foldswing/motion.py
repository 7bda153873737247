"""What a hinge gives: a pose of the panel for each s from 0 to 1, and how far the panel can stray in between."""

from __future__ import annotations

from foldswing._core.motion import Motion, Tabulated

__all__ = ["Motion", "Tabulated"]
