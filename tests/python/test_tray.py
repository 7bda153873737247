"""Trays: fold-back by NumPy rotations with sizes, areas and gaps by Shapely, reliefs, laps, carried holes, refusals."""

from __future__ import annotations

import copy
import math
import pickle

import foldswing as fs
import numpy as np
import pytest
import shapely
from fold_by_hand import fold, marks
from foldswing import blank, tray
from foldswing.plane import Path
from foldswing.tray import Return, Tray

SIDES = ("left", "right", "bottom", "top")
WAYS = (("left", 0, -1.0), ("right", 0, 1.0), ("bottom", 1, -1.0), ("top", 1, 1.0))
METAL = {"thickness": 1.2, "radius": 1.2, "k_factor": 0.42}


def polygon(made, sagitta=1e-3):
    return shapely.Polygon(made.outline.flatten(sagitta))


def side_of(made, side, kinds=("flange", "return")):
    """Bends of a side from the base outward, as (marks, way); the axis they are told along comes first."""
    way = 1.0 if side in ("right", "top") else -1.0
    lines = {line.kind: line.line for line in made.bend_lines if line.side == side and line.kind != "tab"}
    return [marks(lines[kind], way) for kind in kinds if kind in lines], way


def fold_side(made, side, points, height):
    """Fold places of one side's flange and return; (x, y, z) with the base where it lay."""
    lines, way = side_of(made, side)
    points = np.asarray(points, dtype=float)
    if side in ("left", "right"):
        return fold(lines, made.thickness, points, height, way)
    return fold(lines, made.thickness, points[:, ::-1], height, way)[:, [1, 0, 2]]


def base_box(made):
    """The base between the flanges' tangent lines (or the cut edge)."""
    edges = {"left": 0.0, "right": made.blank_length, "bottom": 0.0, "top": made.blank_width}
    for line in made.bend_lines:
        if line.kind == "flange":
            edges[line.side] = line.line.tangent[1 if line.side in ("left", "bottom") else 0]
    return edges


def flange_box(made, side, kind):
    """Strip of the blank that is a flat of one side: between the bend of that kind and the next, or the edge."""
    lines = {line.kind: line.line for line in made.bend_lines if line.side == side and line.kind != "tab"}
    whole = made.blank_length if side in ("left", "right") else made.blank_width
    low = side in ("left", "bottom")
    near = lines[kind].tangent[0 if low else 1]
    far = 0.0 if low else whole
    if kind == "flange" and "return" in lines:
        far = lines["return"].tangent[1 if low else 0]
    span = sorted((near, far))
    return (
        shapely.box(span[0], -1e4, span[1], 1e4)
        if side in ("left", "right")
        else shapely.box(-1e4, span[0], 1e4, span[1])
    )


def panel(made, side, kind):
    """Outline of a flat of one side on the blank, tabs apart."""
    box = base_box(made)
    area = polygon(made).intersection(flange_box(made, side, kind))
    if side in ("left", "right"):
        outside = area.bounds[0 if side == "left" else 2]
        keep = (
            shapely.box(-1e4, -1e4, box["left"], 1e4) if side == "left" else shapely.box(box["right"], -1e4, 1e4, 1e4)
        )
    else:
        outside = area.bounds[1 if side == "bottom" else 3]
        keep = (
            shapely.box(-1e4, -1e4, 1e4, box["bottom"]) if side == "bottom" else shapely.box(-1e4, box["top"], 1e4, 1e4)
        )
    assert math.isfinite(outside)
    parts = shapely.get_parts(area.intersection(keep))
    return max(parts, key=lambda p: p.area)


def random_tray(rng):
    """Return the arguments of a tray, mostly sound."""
    t = rng.uniform(0.5, 2.5)
    r = rng.uniform(0.0, 2.0) * t
    depth = rng.uniform(8 * t + 3 * r, 60, 4) if rng.random() < 0.8 else np.full(4, rng.uniform(8 * t + 3 * r, 60))
    returns = [None] * 4
    for i in range(4):
        if rng.random() < 0.6:
            angle = 90.0 if rng.random() < 0.7 else rng.uniform(30, 150)
            shortest = (r + t) * max(1.0, math.tan(math.radians(angle / 2))) + t
            returns[i] = Return(shortest + rng.uniform(1, 15), angle, rng.choice(["in", "out"]))
    gone = rng.random(4) < 0.1
    depth[gone] = 0.0
    returns = [None if g else lip for g, lip in zip(gone, returns, strict=True)]
    return {
        "length": rng.uniform(150, 500),
        "width": rng.uniform(150, 500),
        "depth": depth,
        "returns": tuple(returns),
        "thickness": t,
        "radius": r,
        "k_factor": rng.uniform(0.2, 0.5),
        "notch": str(rng.choice(["centre", "tangent", "gap"])),
        "corner_gap": rng.uniform(0.1, 1.0),
    }


def measured(made):
    """Outside sizes of the folded tray, by NumPy from folded points; worst error against what was asked."""
    worst = 0.0
    box = base_box(made)
    middle = ((box["left"] + box["right"]) / 2, (box["bottom"] + box["top"]) / 2)
    faces = {}
    for i, side in enumerate(SIDES):
        if made.depth[i] == 0.0:
            faces[side] = {"left": 0.0, "right": made.blank_length, "bottom": 0.0, "top": made.blank_width}[side]
            continue
        axis = 0 if side in ("left", "right") else 1
        out = 1.0 if side in ("right", "top") else -1.0
        flat = panel(made, side, "flange")
        ring = np.array(flat.exterior.coords)
        lower, upper = (fold_side(made, side, ring, h) for h in (0.0, made.thickness))
        assert np.ptp(lower[:, axis]) < 1e-9  # it stands square
        faces[side] = lower[0, axis]
        lip = made.returns[i]
        if lip is None:
            worst = max(worst, abs(lower[:, 2].max() - made.depth[i]))
            continue
        edge = {"left": 0.0, "right": made.blank_length, "bottom": 0.0, "top": made.blank_width}[side]
        tip = [(edge, middle[1])] if axis == 0 else [(middle[0], edge)]
        folded = np.vstack([fold_side(made, side, tip, h) for h in (0.0, made.thickness)])
        # the return's outer face meets the flange's outer face (turned in: lower faces; out: upper) at the depth
        outer = 0 if lip.way == "in" else 1
        start = (lower if outer == 0 else upper)[0]
        root_s = [p[axis] for p in ring]
        root = max(root_s, key=lambda s: out * s)
        line = next(ln.line for ln in made.bend_lines if ln.side == side and ln.kind == "return")
        begin = line.tangent[0 if out > 0 else 1]
        assert root == pytest.approx(begin, abs=1e-9)
        far = line.tangent[1 if out > 0 else 0]
        end = [(far, middle[1])] if axis == 0 else [(middle[0], far)]
        on_lip = fold_side(made, side, end, made.thickness if outer else 0.0)[0]
        tip_at = folded[outer]
        way = tip_at - on_lip
        length = np.linalg.norm(way)
        way = way / length
        # where the two outer faces would meet: along the lip back to the flange's plane
        back = (start[axis] - tip_at[axis]) / way[axis] if abs(way[axis]) > 1e-9 else 0.0
        corner = tip_at + back * way
        worst = max(worst, abs(abs(back) - lip.width), abs(corner[2] - made.depth[i]))
    worst = max(
        worst, abs(faces["right"] - faces["left"] - made.length), abs(faces["top"] - faces["bottom"] - made.width)
    )
    return worst


def areas(made):
    """Worst difference of a flat's area, by Shapely, from what its sizes ask; and of the corner gaps."""
    t, r = made.thickness, made.radius
    back = r + t
    inset = {
        "centre": back - 0.25 * math.pi * (r + made.k_factor * t),
        "tangent": back,
        "gap": t + made.corner_gap / math.sqrt(2),
    }[made.notch]
    has = dict(zip(SIDES, made.depth > 0, strict=True))
    lips = dict(zip(SIDES, made.returns, strict=True))
    worst = 0.0
    for i, side in enumerate(SIDES):
        if not has[side]:
            continue
        ends = ("bottom", "top") if side in ("left", "right") else ("left", "right")
        run = made.width if side in ("left", "right") else made.length
        cut = [inset if has[end] else 0.0 for end in ends]
        lip = lips[side]
        half = math.tan(math.radians(lip.angle_deg) / 2) if lip else 0.0
        height = made.depth[i] - back - (back * half if lip else 0.0)
        worst = max(worst, abs(panel(made, side, "flange").area - height * (run - sum(cut))) / 100.0)
        if lip is None:
            continue
        flat = lip.width - back * half
        angle = math.radians(lip.angle_deg)
        area = run * flat
        for end, at in zip(ends, cut, strict=True):
            other = lips[end]
            if lip.way != "in" or other is None or other.way != "in":
                area -= at * flat
                continue
            deepest = max(back - r * math.cos(angle), back - back * math.cos(angle))
            first = deepest + made.corner_gap / math.sqrt(2)
            slope = math.sin(angle)
            # the larger of the flange's own end and the mitre, along the lip
            grid = max(0.0, min(flat, (at - first) / slope)) if slope > 0 else 0.0
            area -= at * grid + first * (flat - grid) + slope * (flat**2 - grid**2) / 2
        worst = max(worst, abs(panel(made, side, "return").area - area) / 100.0)
    return worst


def test_folded_trays_measure_what_was_asked(size, show):
    rng = np.random.default_rng(52)
    worst = area = 0.0
    done, n, refused = 0, size(25, 3000), 0
    while done < n:
        asked = random_tray(rng)
        try:
            made = Tray(**asked)
        except fs.InvalidInput:
            refused += 1
            assert refused < n
            continue
        done += 1
        worst, area = max(worst, measured(made)), max(area, areas(made))
        places = shapely.get_coordinates(polygon(made).buffer(-0.01))
        box = base_box(made)
        out = {side: (places[:, axis] - box[side]) * way for side, axis, way in WAYS}
        for side in SIDES:
            # the notch's corner lies on the diagonal, where two bends run out into each other
            mine = (out[side] > 0) & np.all([out[side] > out[o] + 1e-6 for o in SIDES if o != side], axis=0)
            if not mine.any():
                continue
            for face, height in (("lower", 0.0), ("upper", made.thickness)):
                folded = made.to_folded(places[mine], face)
                worst = max(worst, np.abs(folded - fold_side(made, side, places[mine], height)).max())
    assert worst < 1e-9
    assert area < 1e-9  # mm^2 for each 100 mm of edge
    show(
        f"tray: {done} folded back by NumPy rotations",
        f"sizes within {worst:.1e} mm, areas within {area:.1e} mm x 100 mm",
    )


def test_a_mitre_that_begins_beyond_the_flange_ends_cuts_no_more_than_it_must():
    returns = (Return(14), Return(16, 50), Return(17, 40), Return(16))
    made = Tray(300, 250, 40, returns=returns, notch="tangent", corner_gap=0.3, **METAL)
    assert areas(made) < 1e-9
    assert measured(made) < 1e-9


def test_folded_flange_ends_and_mitred_returns_stand_the_gap_apart():
    made = Tray(300, 200, (20, 25, 30, 25), returns=Return(12), notch="gap", corner_gap=0.6, **METAL)
    flats = {}
    lips = {}
    for side in SIDES:
        axis = 0 if side in ("left", "right") else 1
        ring = np.array(panel(made, side, "flange").exterior.coords)
        both = np.vstack([fold_side(made, side, ring, h) for h in (0.0, made.thickness)])
        flats[side] = shapely.MultiPoint(both[:, :2]).convex_hull
        ring = np.array(panel(made, side, "return").exterior.coords)
        lips[side] = shapely.Polygon(fold_side(made, side, ring, 0.0)[:, :2])
        assert axis in (0, 1)
    for a, b in (("left", "bottom"), ("bottom", "right"), ("right", "top"), ("top", "left")):
        assert flats[a].distance(flats[b]) == pytest.approx(made.flange_end_gap, abs=1e-9)
        assert lips[a].distance(lips[b]) == pytest.approx(0.6, abs=1e-9)
    assert made.flange_end_gap == pytest.approx(0.6)


@pytest.mark.parametrize("direction", ["up", "down"])
def test_a_tray_without_returns_is_the_pan(direction):
    pan = blank.Pan(330, 178, (14, 15, 16, 17), direction=direction, **METAL)
    made = Tray(330, 178, (14, 15, 16, 17), direction=direction, **METAL)
    assert (made.blank_length, made.blank_width) == (pan.blank_length, pan.blank_width)
    ours, theirs = polygon(made), shapely.Polygon(pan.outline.points)
    assert ours.symmetric_difference(theirs).area < 1e-9
    assert made.flange_end_gap == pan.flange_end_gap
    by_side = {line.side: line for line in made.bend_lines}
    for line in pan.bend_lines:
        assert by_side[line.side].line == line.line
        assert by_side[line.side].centre == pytest.approx(line.centre)


def test_inside_sizes_are_the_outside_ones_less_the_metal():
    t = METAL["thickness"]
    inside = Tray(300, 200, 20, measured="inside", returns=Return(9), **METAL)
    outside = Tray(300 + 2 * t, 200 + 2 * t, 20 + t, returns=Return(9), **METAL)
    assert inside.blank_length == pytest.approx(outside.blank_length)
    assert inside.blank_width == pytest.approx(outside.blank_width)


@pytest.mark.parametrize(
    ("relief", "shape"),
    [
        ("round", lambda x, y, s: shapely.Point(x, y).buffer(s / 2, quad_segs=2048)),
        ("square", lambda x, y, s: shapely.box(x - s / 2, y - s / 2, x + s / 2, y + s / 2)),
    ],
)
def test_reliefs_are_cut_about_the_crossing_of_the_tangent_lines(relief, shape):
    plain = Tray(300, 200, (20, 25, 30, 35), returns=Return(10), **METAL)
    made = Tray(300, 200, (20, 25, 30, 35), returns=Return(10), relief=relief, relief_size=5.0, **METAL)
    box = base_box(plain)
    cut = shapely.union_all([shape(box[x], box[y], 5.0) for x in ("left", "right") for y in ("bottom", "top")])
    wanted = polygon(plain).difference(cut)
    assert polygon(made, 1e-6).symmetric_difference(wanted).area < 1e-3
    # bends end at the relief
    for line in made.bend_lines:
        if line.kind == "flange":
            half = math.sqrt(2.5**2 - (line.line.allowance / 2) ** 2) if relief == "round" else 2.5
            along = 1 if line.side in ("left", "right") else 0
            ends = ("bottom", "top") if along else ("left", "right")
            assert line.centre[0][along] == pytest.approx(box[ends[0]] + half)
            assert line.centre[1][along] == pytest.approx(box[ends[1]] - half)


def test_a_slit_runs_on_the_diagonal_past_the_crossing():
    plain = Tray(300, 200, 20, **METAL)
    made = Tray(300, 200, 20, relief="slit", relief_size=1.0, relief_past=3.0, **METAL)
    box = base_box(plain)
    gone = polygon(plain).difference(polygon(made))
    depth = (plain.bend_lines[0].line.allowance / 2) * math.sqrt(2)  # notch corner to crossing
    # four slits: a rectangle from the notch's corner on, less the corner, which the notch took
    assert gone.area == pytest.approx(4 * (1.0 * (depth + 3.0) + 0.25), rel=1e-9)
    tip = shapely.Point(box["left"] + 2.99 / math.sqrt(2), box["bottom"] + 2.99 / math.sqrt(2))
    assert gone.contains(tip)


def test_a_lap_lies_flat_inside_its_neighbour_and_its_holes_meet():
    made = Tray(
        300,
        200,
        (24, 24, 30, 30),
        lapped=("left", "right"),
        lap_width=15,
        lap_holes=2,
        lap_hole_diameter=3.2,
        corner_gap=0.3,
        **METAL,
    )
    tabs = [line for line in made.bend_lines if line.kind == "tab"]
    assert [line.side for line in tabs] == ["right", "right", "left", "left"]
    assert len(made.holes) == 16
    t, box = made.thickness, base_box(made)
    back = METAL["radius"] + t
    inner = {"bottom": box["bottom"] - back + t, "top": box["top"] + back - t}
    pairs = {}
    for hole in made.holes:
        # the tab's outer face is the blank's lower; it lies against the neighbour's upper (inner) face
        at = made.to_folded(hole.at, "lower" if hole.in_tab else "upper")
        pairs.setdefault((round(at[0], 6), round(at[2], 6), at[1] < 100), []).append((hole, at))
    assert len(pairs) == 8
    for (first, a), (second, b) in pairs.values():
        tab, mate = ((first, a), (second, b)) if first.in_tab else ((second, b), (first, a))
        assert tab[0].side in ("left", "right")
        assert mate[0].side in ("bottom", "top")
        assert mate[1][1] == pytest.approx(inner[mate[0].side], abs=1e-9)
        assert abs(tab[1][1] - mate[1][1]) == pytest.approx(0.3, abs=1e-9)
        assert tab[1][[0, 2]] == pytest.approx(mate[1][[0, 2]], abs=1e-9)
    # the tab's edge is its width from the flange's outer face
    ring = shapely.get_coordinates(polygon(made).buffer(-1e-7))
    low = ring[(ring[:, 0] < box["left"] - 2 * back) & (ring[:, 1] < box["bottom"])]
    assert made.to_folded(low, "lower")[:, 0].max() - (box["left"] - back) == pytest.approx(15, abs=1e-6)


def test_a_hole_drawn_on_a_folded_panel_is_found_on_the_blank_and_back():
    made = Tray(300, 200, (20, 25, 30, 35), returns=(None, Return(12), None, Return(14, way="out")), **METAL)
    t, box = made.thickness, base_box(made)
    back = METAL["radius"] + t
    left, bottom = box["left"] - back, box["bottom"] - back
    wanted = {
        ("base", None): (left + 40, bottom + 11, 0.0),
        ("flange", "left"): (left, bottom + 40, 11.0),
        ("flange", "right"): (left + 300, bottom + 40, 11.0),
        ("flange", "bottom"): (left + 40, bottom, 11.0),
        ("flange", "top"): (left + 40, bottom + 200, 11.0),
        ("return", "right"): (left + 300 - 11.0, bottom + 40, 25.0),
    }
    for (panel_name, side), at in wanted.items():
        place = made.place(panel_name, side, 40, 11)
        assert made.to_folded(place, "lower") == pytest.approx(at, abs=1e-9)
        (found,) = made.to_blank(at, "lower")
        assert found == pytest.approx(place, abs=1e-9)
    # turned out, the width is told from the far (inner) face of the flange
    place = made.place("return", "top", 40, 11)
    assert made.to_folded(place, "upper") == pytest.approx((left + 40, bottom + 200 - t + 11, 35.0), abs=1e-9)
    assert made.to_blank((150, 100, 400)).shape == (0, 2)


@pytest.mark.parametrize("side", SIDES)
def test_an_outline_on_a_panel_keeps_its_shape_and_its_way_up(side):
    made = Tray(300, 200, 30, **METAL)
    mark = Path([(40, 8), (60, 8), (60, 14), (50, 20)], [0, 0, 60, 0], closed=True)
    drawn = np.array(mark.flatten(0.01))
    on_blank = np.array(made.path_on_blank("flange", side, mark).flatten(0.01))
    assert on_blank == pytest.approx(np.array([made.place("flange", side, *p) for p in drawn]), abs=1e-9)
    assert shapely.Polygon(on_blank).area == pytest.approx(shapely.Polygon(drawn).area)


REFUSED = [
    ({"depth": 0.0}, "depth must be > 0 on one side at least"),
    ({"depth": (2, 20, 20, 20)}, "length section: parts"),
    ({"length": -1.0}, "length must be finite and > 0"),
    ({"length": math.nan}, "length"),
    ({"returns": Return(1.0)}, "length section"),
    ({"returns": Return(80.0)}, "cross itself|mitred ends"),
    ({"returns": (Return(10), None, None)}, "returns must be one, or"),
    ({"returns": (1, None, None, None)}, "a Return, or one or None for each"),
    ({"depth": (0, 20, 20, 20), "returns": Return(10)}, r"depth\[left\] must be > 0 where the flange has a return"),
    ({"relief": "round", "relief_size": 1.0}, "relief_size must be more than .* opens into the notch"),
    ({"relief": "square", "relief_size": 100.0}, "relief_size must be small enough"),
    ({"relief": "slit", "relief_size": 1.0}, None),
    ({"relief": "slit", "relief_size": 0.0}, "relief_size must be finite and > 0"),
    ({"relief": "oval"}, "relief must be"),
    ({"lapped": ("left", "bottom"), "lap_width": 10}, "not two neighbours"),
    ({"lapped": ("left",), "lap_width": 1.0}, "lap_width must be more than the tab's bend takes"),
    ({"lapped": ("left",), "lap_width": 400.0}, "lap_width must be less than half"),
    ({"lapped": ("left",), "lap_width": 10, "depth": (20, 20, 0, 20)}, r"depth\[bottom\] must be > 0 where a tab"),
    ({"lapped": "left"}, "lapped must be a list of sides"),
    ({"k_factor": None, "deduction": 2.1, "returns": Return(10, 60)}, "give a k_factor"),
    ({"k_factor": None}, "k_factor"),
    ({"measured": "flat"}, "measured must be outside or inside"),
    ({"corner_gap": math.inf}, "corner_gap"),
]


@pytest.mark.parametrize(("change", "said"), REFUSED)
def test_a_tray_that_cannot_be_made_is_refused_with_the_size_to_change(change, said):
    asked = {"length": 200.0, "width": 150.0, "depth": 20.0, **METAL, **change}
    if said is None:
        Tray(**asked)
        return
    with pytest.raises(fs.InvalidInput, match=said):
        Tray(**asked)


def test_a_return_says_what_is_wrong():
    for bad in ({"width": 0.0}, {"width": 10, "angle_deg": 200}):
        with pytest.raises(fs.InvalidInput, match="returns"):
            Tray(200, 150, 20, returns=Return(**bad), **METAL)
    with pytest.raises(fs.InvalidInput, match="way must be 'in' or 'out'"):
        Return(10, way="up")


def test_a_folded_flat_return_and_one_side_alone():
    hemmed = Tray(
        200, 150, (20, 0, 0, 0), returns=(Return(8, 180), None, None, None), thickness=1, radius=0, k_factor=0.44
    )
    low = 20 - 1 + 8 - 1 + math.pi * 0.44 * 1 - 1
    assert hemmed.blank_length == pytest.approx(200 - 1 + 0.5 * math.pi * 0.44 + low)
    assert hemmed.blank_width == 150
    assert "no two flanges" in hemmed.explanation


def test_trays_are_values():
    made = Tray(
        300,
        200,
        (20, 25, 30, 35),
        returns=(None, Return(10), None, Return(9, way="out")),
        lapped=("left",),
        lap_width=12,
        **METAL,
    )
    for again in (
        copy.deepcopy(made),
        pickle.loads(pickle.dumps(made)),
        Tray.from_dict(made.to_dict()),
        eval(repr(made), {"Tray": Tray, "Return": Return}),
    ):
        assert again == made
    assert tray.Return(10) == Return("10 mm")
