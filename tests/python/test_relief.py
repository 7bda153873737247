"""Reliefs hold everything that dense sampling says must go, and little more; arcs are true ones."""

from __future__ import annotations

import math

import foldswing as fs
import numpy as np
import pytest
import shapely
from foldswing import InvalidInput, Outline, gate, relief
from foldswing.plane import Path

STEP = 0.25  # degrees between looks at the turn
FLAT = 1e-3  # mm; how closely sections are flattened for the oracle, arcs inside their chords


def box(left, bottom, right, top) -> Path:
    return Path([(left, bottom), (right, bottom), (right, top), (left, top)], [0] * 4, closed=True)


def polygon(outlines) -> shapely.Geometry:
    return shapely.unary_union([shapely.Polygon(o.points, o.holes) for o in outlines])


def nearest_over_turn(panel, points, pivot, end) -> np.ndarray:
    """Least distance of each point to the panel over the turn from 0: the points turn back instead; an upper bound."""
    shape = shapely.Polygon(panel.flatten(FLAT))
    shapely.prepare(shape)

    def distance(turns):
        s, c = np.sin(np.radians(-turns)), np.cos(np.radians(-turns))
        x, y = (points - pivot).T
        return shapely.distance(shape, shapely.points(pivot[0] + c * x - s * y, pivot[1] + s * x + c * y))

    best = np.zeros(len(points))
    least = distance(best)
    for t in np.linspace(0, end, max(2, math.ceil(abs(end) / STEP))):
        now = distance(np.full(len(points), t))
        best, least = np.where(now < least, t, best), np.minimum(now, least)
    for off in np.linspace(-STEP, STEP, 61):  # beside the best of each point
        least = np.minimum(least, distance(np.clip(best + off, min(0, end), max(0, end))))
    return least


def cases(n):
    rng = np.random.default_rng(11)
    for i in range(n):
        thick, tall = rng.uniform(12, 45), rng.uniform(80, 300)
        corners = Outline([(-thick, 0), (0, 0), (0, tall), (-thick, tall)])
        radii = rng.choice([0.0, 2.0, 5.0], 4) if i % 3 else [0.0] * 4
        panel = fs.plane.round_corners(corners, radii)
        pivot = np.array([rng.uniform(-thick, 0), rng.uniform(-5, 30)])
        sill = box(-120, -60, rng.uniform(-5, 120), -rng.uniform(0.5, 4))
        gap = float(rng.choice([0.0, 1.0, 2.5]))
        yield panel, sill, pivot, -float(rng.uniform(30, 180)), gap, float(rng.choice([0.02, 0.05, 0.3]))


def test_reliefs_hold_the_truth_and_little_more(size, show):
    rng = np.random.default_rng(5)
    cut = 0
    worst_out = worst_over = 0.0
    for panel, sill, pivot, turn, gap, sagitta in cases(size(8, 120)):
        found = relief.off_body(panel, sill, pivot=pivot, turn_to_deg=turn, gap=gap, sagitta=sagitta)
        region = polygon(found.outlines)
        body = shapely.Polygon(sill.points)
        if found.outlines:
            cut += 1
            box_ = shapely.bounds(region.buffer(1))
        else:
            box_ = shapely.bounds(body)
        points = rng.uniform(box_[:2], box_[2:], (150, 2))
        points = points[shapely.contains(body, shapely.points(points))]
        near = nearest_over_turn(panel, points, pivot, turn)
        away = shapely.distance(region, shapely.points(points)) if found.outlines else np.full(len(points), np.inf)
        must = near < gap - 2 * FLAT if gap else near == 0
        if found.outlines:
            worst_out = max(worst_out, float(away[must].max(initial=0.0)))
        elif must.any():  # left out because it is nowhere deeper than the sagitta
            assert shapely.distance(body.boundary, shapely.points(points[must])).max() <= sagitta
        # The other way: points of the edge of the cut, inside the body, are passed within the gap and the sagitta.
        if found.outlines:
            edge = shapely.get_coordinates(shapely.segmentize(region.boundary, 9.0))
            edge = edge[rng.permutation(len(edge))[:80]]
            inside = shapely.distance(body.boundary, shapely.points(edge)) > 1e-6
            excess = nearest_over_turn(panel, edge[inside], pivot, turn) - gap
            worst_over = max(worst_over, float((excess / sagitta).max(initial=0.0)))
            # True arcs: the same region, and nothing of the truth outside it.
            true = shapely.unary_union([shapely.Polygon(c.flatten(1e-4)).buffer(0) for c in found.cuts])
            assert shapely.hausdorff_distance(true.boundary, region.boundary) <= sagitta + 1e-3
            assert shapely.distance(true, shapely.points(points[must])).max(initial=0.0) <= 1e-3
    assert worst_out <= 1e-9
    assert worst_over <= 1.0
    assert cut >= 4
    show("relief", f"{cut} reliefs: sampled truth outside {worst_out:.1e} mm, excess {worst_over:.2f} of the sagitta")


def test_off_the_panel_holds_the_truth_too(size, show):
    rng = np.random.default_rng(6)
    cut = 0
    for panel, sill, pivot, turn, gap, sagitta in cases(size(6, 60)):
        found = relief.off_panel(panel, sill, pivot=pivot, turn_to_deg=turn, gap=gap, sagitta=sagitta)
        if not found.outlines:
            continue
        cut += 1
        region = polygon(found.outlines)
        low, high = np.array(region.bounds[:2]) - 1, np.array(region.bounds[2:]) + 1
        points = rng.uniform(low, high, (150, 2))
        points = points[shapely.contains(shapely.Polygon(panel.flatten(FLAT)), shapely.points(points))]
        near = nearest_over_turn(sill, points, pivot, -turn)
        must = near < gap - 2 * FLAT if gap else near == 0
        inside = shapely.distance(region, shapely.points(points)) <= 1e-9
        assert inside[must].all()
        assert (near[inside] <= gap + sagitta).all()
    assert cut >= 2
    show("relief off the panel", f"{cut} reliefs hold every sampled point that comes too near")


def test_the_demonstration_gate_needs_its_nose_hollowed_only_where_the_corner_strikes(show):
    """Square inner corner: it overlaps the nose by 4.46 at 45 degrees; rounded to 15.6 and 4.8 it leaves 2.01."""
    common = dict(
        thickness=28, height=360, lower_edge_below_worktop=36, nose_behind_wall=31, nose_depth=40,
        worktop_above_floor=900, head_above_worktop=328, sill_below_worktop=40, jamb_depth=60,
    )  # fmt: skip
    square = gate.Sizes(**common)
    pivot = (-10, -18)
    strikes = relief.off_body(gate.panel(square), gate.worktop(square), pivot=pivot, turn_to_deg=-90)
    assert strikes.exact
    assert strikes.depth == pytest.approx(4.46, abs=0.01)
    assert any(abs(r - math.hypot(18, 18)) < 1e-9 for r in strikes.cuts[0].radii)
    rounded = gate.Sizes(**common, lower_inner_radius=15.6, lower_outer_radius=4.8)
    clear = relief.off_body(gate.panel(rounded), gate.worktop(rounded), pivot=pivot, turn_to_deg=-125, gap=2)
    assert clear.outlines == ()
    wider = relief.off_body(gate.panel(rounded), gate.worktop(rounded), pivot=pivot, turn_to_deg=-125, gap=3)
    assert wider.depth == pytest.approx(0.99, abs=0.02)
    show("relief at the nose", f"square corner {strikes.depth:.2f} mm deep, arc about the pivot to the last digit")


def test_a_mirrored_case_has_the_mirrored_relief():
    panel, sill = box(-30, -10, 0, 200), box(-100, -60, 100, -12)
    one = relief.off_body(panel, sill, pivot=(-12, 6), turn_to_deg=-100, gap=1)
    other = relief.off_body(
        panel.mirrored((0, 0), (0, 1)), sill.mirrored((0, 0), (0, 1)), pivot=(12, 6), turn_to_deg=100, gap=1
    )
    assert other.area == pytest.approx(one.area, rel=1e-4)
    assert sorted(other.cuts[0].radii) == pytest.approx(sorted(one.cuts[0].radii), rel=1e-9)
    assert other.deepest == pytest.approx([-one.deepest[0], one.deepest[1]], abs=0.5)


def test_several_bodies_and_outlines_may_be_given():
    bar = Outline([(-30, -10), (0, -10), (0, 200), (-30, 200)])
    sills = [
        Outline([(-90, -40), (-15, -40), (-15, -11), (-90, -11)]),
        Outline([(-15, -40), (60, -40), (60, -11), (-15, -11)]),
    ]
    apart = relief.off_body(bar, sills, pivot=(-15, 6), turn_to_deg=-95, gap=1)
    whole = relief.off_body(bar, box(-90, -40, 60, -11), pivot=(-15, 6), turn_to_deg=-95, gap=1)
    assert apart.area == pytest.approx(whole.area, rel=1e-6)
    assert relief.swept_room(bar, pivot=(-15, 6), turn_to_deg=-95, gap=1)[0] is not None


def test_free_pivots_leave_nothing_to_cut_and_others_do(size):
    """Every pivot called clear swings past; a place with none at all has a relief wherever the pivot is put."""
    bar, sill = Outline(box(-30, -10, 0, 200).points), Outline(box(-100, -60, 100, -12).points)
    asked = dict(turn_to_deg=-90, gap=1.0)
    found = relief.free_pivots(bar, sill, within=Outline(box(-30, -10, 0, 40).points), cell=1, **asked)
    rng = np.random.default_rng(8)
    clear = polygon(found.outlines)
    for point in rng.uniform((-30, -10), (0, 40), (size(25, 400), 2)):
        cut = relief.off_body(bar, sill, pivot=point, **asked)
        if shapely.contains(clear, shapely.Point(point)):
            assert cut.outlines == ()
        elif shapely.distance(clear, shapely.Point(point)) > 1.5:
            assert cut.outlines
    none = relief.free_pivots(bar, sill, within=Outline(box(-30, -10, -25, 10).points), cell=1, **asked)
    assert none.outlines == ()
    assert none.explanation.startswith("No pivot")
    assert (none.clear_area, none.undecided_area) == (0.0, 0.0)
    for point in rng.uniform((-30, -10), (-25, 10), (10, 2)):
        assert relief.off_body(bar, sill, pivot=point, **asked).outlines


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"panel": []}, "panel must be at least one"),
        ({"bodies": []}, "bodies must be at least one"),
        ({"gap": -1}, "gap must be"),
        ({"gap": math.nan}, "gap must be"),
        ({"sagitta": 1e-4}, "sagitta must be"),
        ({"turn_to_deg": 400}, "turn must be"),
        ({"pivot": (math.inf, 0)}, "pivot must be"),
        ({"panel": Path([(0, 0), (9, 0), (9, 9)], [0, 0])}, "panel must be closed"),
        ({"panel": Path([(0, 0), (9, 9), (9, 0), (0, 9)], [0] * 4, closed=True)}, "cross"),
        ({"bodies": Outline([(0, 0), (9, 0), (9, 9), (0, 9)], [[(1, 1), (2, 1), (2, 2)]])}, "holes"),
        ({"panel": ["bar"]}, "panel must be Paths"),
    ],
)
def test_what_makes_no_sense_is_refused_by_name(change, says):
    asked = {"panel": box(0, 0, 9, 90), "bodies": box(-50, -50, 50, -1), "pivot": (3, 3), "turn_to_deg": -90, "gap": 1}
    asked |= change
    with pytest.raises(InvalidInput, match=says):
        relief.off_body(asked.pop("panel"), asked.pop("bodies"), **asked)
