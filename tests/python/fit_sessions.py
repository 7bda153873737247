"""Measuring sessions after a first fit, and the same arithmetic written anew: what tests of fitting share."""

from __future__ import annotations

import math

import numpy as np
from foldswing import fitting

PIVOT = np.array([-10.0, -18.0])
TURNS = (0.0, -90.0, -125.0)
# (stop, panel point, normal, offset): a gate read at nose, sill and head shut; a step, the nose and the free edge
# level; the nose and the free edge leaning
LINES = (
    (0, (-28.0, -18.0), (1.0, 0.0), -31.0),
    (0, (-10.0, -36.0), (0.0, 1.0), -40.0),
    (0, (-28.0, 324.0), (0.0, -1.0), -328.0),
    (1, (-28.0, -36.0), (0.0, 1.0), 0.0),
    (1, (-28.0, -36.0), (1.0, 0.0), -31.0),
    (1, (-28.0, 324.0), (0.0, 1.0), 0.0),
    (2, (-28.0, -36.0), (1.0, 0.0), -31.0),
    (2, (-28.0, 324.0), (0.0, 1.0), -200.0),
)


def turned(v: np.ndarray, turn_deg: float) -> np.ndarray:
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return np.array([c * v[0] - s * v[1], s * v[0] + c * v[1]])


def off(x: float, y: float) -> np.ndarray:
    """A hole that far off the pivot drawn."""
    return np.asarray(PIVOT + np.array([x, y]))


def stands(line, panel, body, turns=TURNS) -> float:
    """How far a panel point stands beyond a line, from the definition."""
    stop, q, n, d = line
    return float(np.dot(n, np.asarray(body) + turned(np.array(q) - panel, turns[stop])) - d)


def session(panel, body, rng=None, *, error=0.5, times=1, turns=TURNS) -> list[fitting.Reading]:
    """One reading of each line, so many times over; without a generator exact."""
    out = []
    for line in LINES:
        for _ in range(times):
            noise = 0.0 if rng is None else error * rng.normal()
            stop, q, n, d = line
            out.append(fitting.Reading(stop, q, n, d, stands(line, panel, body, turns) + noise, error))
    return out


def known_stops(turns=TURNS) -> list[fitting.Stop]:
    return [fitting.Stop(t) for t in turns]


def drilled(rng, error=0.4) -> tuple[np.ndarray, np.ndarray]:
    return PIVOT + rng.normal(0, error, 2), PIVOT + rng.normal(0, error, 2)
