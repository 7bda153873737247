"""Folds a marked blank with NumPy rotations, from its bend lines alone; shares nothing with the library."""

from __future__ import annotations

import numpy as np


def fold(lines, thickness, places, height, way=1.0):
    """Carry places (s, across) of the blank at a height above its lower face to (x, across, z).

    `lines` are (tangent_before, tangent_after, angle_deg, radius, +1 up or -1 down) in the order they are met when one
    walks away from the held flat, along +s (way 1) or -s (way -1); places on the near side of all of them stay.
    """
    s = way * np.asarray(places, dtype=float)[:, 0]
    out = np.column_stack([s, np.full_like(s, height)])
    for before, after, angle_deg, radius, up in reversed(lines):
        near, far = sorted((way * before, way * after))
        pivot = np.array([near, radius + thickness if up > 0 else -radius])
        share = np.clip((s - near) / (far - near), 0.0, 1.0)
        turn = up * np.radians(angle_deg) * share
        moved = out.copy()
        moved[:, 0] = np.where(s >= far, out[:, 0] - (far - near), np.where(s > near, near, out[:, 0]))
        c, n = np.cos(turn), np.sin(turn)
        arm = moved - pivot
        turned = np.column_stack([c * arm[:, 0] - n * arm[:, 1], n * arm[:, 0] + c * arm[:, 1]]) + pivot
        out = np.where((s > near)[:, None], turned, out)
    return np.column_stack([way * out[:, 0], np.asarray(places, dtype=float)[:, 1], out[:, 1]])


def marks(line, way=1.0):
    """Return what `fold` takes of a library bend line."""
    up = 1.0 if line.direction == "up" else -1.0
    before, after = line.tangent
    return (
        (before, after, line.angle_deg, line.radius, up)
        if way > 0
        else (after, before, line.angle_deg, line.radius, up)
    )
