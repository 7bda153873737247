"""Print, side by side and in one run, how long things take here and in what a competent user would write instead.

    python tests/benchmarks/speed.py [--program BUILD/tests/benchmarks/foldswing_gap_benchmark]

Never a pass or a fail: a table, with the machine and the versions it was made on.
"""

from __future__ import annotations

import argparse
import platform
import subprocess
import sys
import timeit
from pathlib import Path

import foldswing as fs
import numpy as np
import shapely
import shapely.affinity
from foldswing.clearance import minimum_gap
from foldswing.hinge import PivotHinge, pivot_window

# A gate with a bevelled edge and two rails (10 corners) past a worktop nose over a stepped sill (12 corners).
PANEL = [
    (0, -30),
    (-6, -36),
    (-15, -36),
    (-28, -23),
    (-28, 120),
    (-22, 126),
    (-22, 300),
    (-28, 306),
    (-28, 324),
    (0, 324),
]
BODY = [
    (-31, 0), (-31, -34), (-37, -40), (-30, -46), (-12, -46), (-12, -52), (0, -52), (0, -80), (-60, -80), (-60, -60),
    (-400, -60), (-400, 0),
]  # fmt: skip
PIVOT, FROM, TO = (-10.0, -18.0), 0.0, -125.0
SAMPLES = 1001


def best(call, number: int, repeat: int = 5) -> float:
    """Microseconds a call, the least disturbed of several rounds."""
    return 1e6 * min(timeit.repeat(call, number=number, repeat=repeat)) / number


def machine() -> str:
    name = platform.processor() or platform.machine()
    cpuinfo = Path("/proc/cpuinfo")
    if cpuinfo.exists():
        models = [
            line.split(":", 1)[1].strip() for line in cpuinfo.read_text().splitlines() if line.startswith("model name")
        ]
        name = models[0] if models else name
    return f"{name}, {platform.system()} {platform.release()}"


def rotated_samples(ring: np.ndarray) -> np.ndarray:
    turn = np.deg2rad(np.linspace(FROM, TO, SAMPLES))
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x, y = (ring - PIVOT).T
    return np.stack([c * x - s * y + PIVOT[0], s * x + c * y + PIVOT[1]], axis=-1)


def gaps(program: str | None) -> None:
    panel, body = fs.Outline(PANEL), fs.Outline(BODY)
    ring = np.array([*PANEL, PANEL[0]], float)
    shape, other = shapely.Polygon(PANEL), shapely.Polygon(BODY)
    shapely.prepare(other)
    hinge = PivotHinge(PIVOT, FROM, TO)
    n = 1000
    pivots = np.array(PIVOT) + np.random.default_rng(0).normal(scale=0.5, size=(n, 2))
    hinges = PivotHinge(pivots, FROM, TO)

    def sampled() -> float:
        return float(shapely.distance(shapely.polygons(rotated_samples(ring)), other).min())

    def one_by_one() -> float:
        turns = np.linspace(FROM, TO, SAMPLES)
        return min(shapely.affinity.rotate(shape, t, origin=PIVOT).distance(other) for t in turns)

    print(f"\nSmallest gap over a turn, outlines of {len(PANEL)} and {len(BODY)} corners")
    found = minimum_gap(panel, body, hinge)
    print(f"  exact {found.gap:.6f} mm at {-found.turn_deg:.2f} degrees; {SAMPLES} samples say {sampled():.6f} mm")
    call = best(lambda: minimum_gap(panel, body, hinge), 200, 40)
    arrays = best(lambda: minimum_gap(panel, body, hinges), 1, 40) / n
    vector = best(sampled, 1, 20)
    scalar = best(one_by_one, 1, 5)
    rows = []
    if program:
        scene = [f"{len(p)} " + " ".join(f"{x} {y}" for x, y in p) for p in (PANEL, BODY)]
        scene.append(f"{PIVOT[0]} {PIVOT[1]} {FROM} {TO} 500")
        said = subprocess.run(
            [program], input="\n".join(scene), capture_output=True, text=True, check=True
        ).stdout.split()
        if abs(float(said[0]) - found.gap) > 1e-12:
            sys.exit(f"the C++ program finds another gap: {said[0]}")
        rows.append(("C++ call", float(said[1])))
    else:
        print("  (the C++ call by itself is timed when --program names the built benchmark)")
    rows += [
        ("Python call", call),
        (f"Python, each of {n} pivots in arrays", arrays),
        (f"Shapely, {SAMPLES} samples rotated in NumPy", vector),
        (f"Shapely, {SAMPLES} samples rotated one by one", scalar),
    ]
    for what, taken in rows:
        print(f"  {what:<46}{taken:>12.2f} us")
    print(f"  call:   {vector / call:8.0f} times as fast as samples in NumPy, {scalar / call:8.0f} as one by one")
    print(f"  arrays: {vector / arrays:8.0f} times as fast as samples in NumPy, {scalar / arrays:8.0f} as one by one")


def windows() -> None:
    """Where the pivot keeps 2 mm on the way, over 200 x 200 mm at 0.5 mm: certified squares, and a grid of samples."""
    sizes = fs.gate.Sizes(
        thickness=28, height=360, lower_edge_below_worktop=36, nose_behind_wall=31, nose_depth=40,
        worktop_above_floor=900, head_above_worktop=328, sill_below_worktop=40, jamb_depth=60, lower_inner_radius=15.6,
        lower_outer_radius=4.8,
    )  # fmt: skip
    panel = fs.gate.panel(sizes).outline(0.01)
    rail = fs.plane.Path([(104, -150), (136, -150)], [180, 180], closed=True)
    bodies = [p.outline(0.01) for p in (fs.gate.worktop(sizes), fs.gate.sill(sizes), fs.gate.head(sizes), rail)]
    region = fs.Outline([(-110, -118), (90, -118), (90, 82), (-110, 82)])
    wanted, cell, across, turns, part = 2.0, 0.5, 400, 126, 60

    def ours(size: float = cell) -> fs.hinge.PivotWindow:
        return pivot_window([], region, panel=panel, clear_of=bodies, travel_to_deg=TO, gap=wanted, cell=size)

    ring = np.vstack([panel.points, panel.points[:1]])
    other = shapely.union_all([shapely.Polygon(b.points) for b in bodies])
    shapely.prepare(other)
    turn = np.deg2rad(np.linspace(FROM, TO, turns))
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    pivots = region.points[0] + (np.random.default_rng(0).integers(0, across, (part, 2)) + 0.5) * cell

    def grid() -> np.ndarray:
        out = np.empty(len(pivots))
        for i, (px, py) in enumerate(pivots):
            x, y = (ring - (px, py)).T
            posed = np.stack([c * x - s * y + px, s * x + c * y + py], axis=-1)
            out[i] = shapely.distance(shapely.polygons(posed), other).min()
        return out

    found, sampled = ours(), grid()
    middle = found.cells[:, :2] + 0.5 * found.cells[:, 2:]
    holds = (np.abs(pivots[:, None] - middle) <= 0.5 * found.cells[:, 2:]).all(axis=-1)
    verdict = found.cell_status[holds.argmax(axis=1)]
    against = int((((verdict == 1) & (sampled < wanted)) | ((verdict == -1) & (sampled >= wanted + 0.5))).sum())
    taken = best(ours, 1, 7)
    finer = best(lambda: ours(0.25), 1, 7)
    whole = best(grid, 1, 3) / part * across * across
    corners = f"{len(panel.points)} and {sum(len(b.points) for b in bodies)} corners"
    print(f"\nPivots that keep {wanted:g} mm over the whole swing, 200 x 200 mm at {cell} mm, outlines of {corners}")
    print(f"  certified squares, undecided {found.undecided_area / 400:.2f} %{taken / 1e3:>26.1f} ms")
    print(f"  the same at 0.25 mm, undecided {ours(0.25).undecided_area / 400:.2f} %{finer / 1e3:>23.1f} ms")
    print(f"  NumPy and Shapely, {turns} poses a pivot, not certified{whole / 1e3:>19.0f} ms")
    print(f"    (timed on {part} of {across * across} pivots and extrapolated; {against} verdicts differ)")
    print(f"  {whole / taken:.0f} times as fast")


def closed_forms() -> None:
    n = 1_000_000
    rng = np.random.default_rng(1)
    chord, rise = rng.uniform(10, 2000, n), rng.uniform(0.1, 100, n)
    angle, radius, thickness, k = (
        rng.uniform(1, 170, n),
        rng.uniform(0, 10, n),
        rng.uniform(0.5, 4, n),
        rng.uniform(0.3, 0.5, n),
    )
    forms = [
        ("arc.radius", lambda: fs.arc.radius(chord, rise), lambda: chord**2 / (8 * rise) + rise / 2),
        (
            "bend.bend_allowance",
            lambda: fs.bend.bend_allowance(angle, radius, thickness, k),
            lambda: np.deg2rad(angle) * (radius + k * thickness),
        ),
        (
            "bend.setback",
            lambda: fs.bend.setback(angle, radius, thickness),
            lambda: (radius + thickness) * np.tan(np.deg2rad(angle) / 2),
        ),
        (
            "bend.bend_deduction",
            lambda: fs.bend.bend_deduction(angle, radius, thickness, k),
            lambda: (
                2 * (radius + thickness) * np.tan(np.deg2rad(angle) / 2) - np.deg2rad(angle) * (radius + k * thickness)
            ),
        ),
    ]
    legs = rng.uniform(40, 200, (n, 3))
    angles, radii = rng.uniform(1, 120, (n, 2)), rng.uniform(0.5, 5, (n, 2))

    round_enough = np.maximum(radius, 0.06 * thickness)  # DIN 6935 has no figure below

    def developed() -> np.ndarray:
        a = np.deg2rad(angles)
        off = 2 * (radii + thickness[:, None]) * np.tan(a / 2) - a * (radii + (k * thickness)[:, None])
        return legs.sum(axis=1) - off.sum(axis=1)

    def by_din() -> np.ndarray:
        ratio = round_enough / thickness
        return np.where(ratio > 5, 0.5, 0.5 * (0.65 + 0.5 * np.log10(ratio)))

    def aviation() -> np.ndarray:
        return 0.0078 * 180 / np.pi + radius / thickness * (0.01743 * 180 / np.pi - 1)

    forms += [
        (
            "blank.developed_length",
            lambda: fs.blank.developed_length(legs, angles, radii, thickness, k),
            developed,
        ),
        ("bend rule din6935", lambda: fs.bend.k_factor(round_enough, thickness, rule="din6935"), by_din),
        ("bend rule aviation", lambda: fs.bend.k_factor(radius, thickness, rule="aviation"), aviation),
    ]
    print(f"\nClosed forms over {n} elements (the inputs are checked; the NumPy expressions check nothing)")
    for name, ours, theirs in forms:
        worst = np.max(np.abs(ours() - theirs()) / np.maximum(np.abs(theirs()), 1.0))
        a, b = best(ours, 1, 12), best(theirs, 1, 12)
        print(
            f"  {name:<22}{a / 1e3:>9.2f} ms   NumPy {b / 1e3:>9.2f} ms   ratio {b / a:>5.2f}   differ by {worst:.0e}"
        )
    print("  one number: " + ", ".join(f"{name} {best(call, 2000, 30):.2f} us" for name, call in [
        ("arc.radius", lambda: fs.arc.radius(1220.0, 38.0)),
        ("bend.bend_allowance", lambda: fs.bend.bend_allowance(90.0, 1.2, 1.2, 0.42)),
    ]))  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", help="the built foldswing_gap_benchmark, to time the C++ call by itself")
    options = parser.parse_args()
    print(machine())
    print(
        f"foldswing {fs.__version__}, Python {platform.python_version()}, NumPy {np.__version__}, "
        f"Shapely {shapely.__version__} (GEOS {shapely.geos_version_string})"
    )
    gaps(options.program)
    windows()
    closed_forms()


if __name__ == "__main__":
    main()
