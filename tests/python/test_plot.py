"""Pictures: each returns its axes, names its view and units, shows the numbers of its result, and needs no colour."""

from __future__ import annotations

import io
import subprocess
import sys

import matplotlib as mpl

mpl.use("Agg")

import foldswing as fs
import matplotlib.pyplot as plt
import numpy as np
import pytest
from foldswing import _plotting, blank, plot
from matplotlib.colors import to_rgb

# Invented demo figures: a gate 28 thick that lands level with a worktop.
GATE = fs.plane.round_corners(fs.Outline([(-28, -36), (0, -36), (0, 324), (-28, 324)]), [15.6, 4.8, 0, 0])
NOSE = fs.Outline([(-31, 0), (-31, -40), (-200, -40), (-200, 0)])
SILL = fs.Outline([(-60, -40), (0, -40), (0, -80), (-60, -80)])
SWING = fs.hinge.PivotHinge((-10, -18), 0, -125)
STOPS = [("shut", 0.0), ("level", 0.72), ("lean", 1.0)]
LANDINGS = [fs.hinge.lands_at_height(-90, (-28, 0), 0), fs.hinge.Landing(-90, (-28, -36), (1, 0), -28)]
WINDOW = fs.hinge.pivot_window(LANDINGS, GATE.outline(), panel=GATE.outline(), clear_of=[NOSE, SILL], gap=1.9, cell=0.1)
SEAM = fs.seam.along([0, 300, 500, 600, 900, 1180], [3, 3.1, 0.8, 3, 3.9, 4.8], wanted=3)
READINGS = np.array([(-600, 0.9), (-300, 28.6), (0, 38.2), (300, 28.9), (600, 1.4)])
PROFILE = blank.Profile(
    [blank.Flat(20), blank.Bend(90, 2, "up"), blank.Flat(30), blank.Bend(60, 3, "down"), blank.Flat(40)],
    1.5,
    k_factor=0.4,
)
PAN = blank.Pan(330, 178, 14, thickness=1.2, radius=1.2, k_factor=0.42)


def gap_map():
    def gap(x, y):
        return fs.clearance.minimum_gap(GATE.outline(), [NOSE, SILL], fs.hinge.PivotHinge((x, y), 0, -125))

    return fs.sweep.over(gap, {"x": np.linspace(-20, 0, 7), "y": np.linspace(-28, -8, 6)})


PICTURES = {
    "outlines": lambda **k: plot.outlines({"gate": GATE, "worktop": NOSE}, **k),
    "swing": lambda **k: plot.swing(GATE, {"worktop": NOSE, "sill": SILL}, SWING, stops=STOPS, **k),
    "swept": lambda **k: plot.swept(GATE, SWING, {"worktop": NOSE}, **k),
    "gap_along": lambda **k: plot.gap_along(GATE, {"worktop": NOSE, "sill": SILL}, SWING, wanted=2.0, stations=31, **k),
    "pivots": lambda **k: plot.pivots(LANDINGS, bodies={"worktop": NOSE}, span=60, **k),
    "pivot_window": lambda **k: plot.pivot_window(WINDOW, bodies={"gate": GATE, "worktop": NOSE}, **k),
    "seam": lambda **k: plot.seam(SEAM, wanted=3, allowed=0.5, **k),
    "section": lambda **k: plot.section(PROFILE, **k),
    "blank": lambda **k: plot.blank(PROFILE, **k),
    "pan": lambda **k: plot.blank(PAN, **k),
    "arc_fit": lambda **k: plot.arc_fit(fs.arc.fit(READINGS), READINGS, **k),
    "straight": lambda **k: plot.arc_fit(fs.arc.fit(READINGS * (1, 0)), READINGS * (1, 0), **k),
    "rise_table": lambda **k: plot.rise_table(fs.arc.rise_table(1220, 38, [0, 300, 600]), **k),
    "sweep_map": lambda **k: plot.sweep_map(gap_map(), "gap", **k),
}


@pytest.fixture(autouse=True)
def _closed():
    yield
    plt.close("all")


def legend(ax):
    return [t.get_text() for t in ax.get_legend().get_texts()]


def texts(ax):
    return [t.get_text() for t in ax.texts]


@pytest.mark.parametrize("name", PICTURES)
def test_each_picture_returns_its_axes_and_renders(name):
    ax = PICTURES[name]()
    out = io.BytesIO()
    ax.figure.savefig(out, dpi=60)  # warnings are errors: missing letters or a layout that does not fit fail here
    assert out.tell() > 5000
    ours = plt.figure().add_subplot()
    assert PICTURES[name](ax=ours) is ours
    assert "mm" in ax.get_ylabel()
    if name != "gap_along":
        assert "mm" in ax.get_xlabel()
    if name not in {"gap_along", "seam"}:  # a gap is drawn at a scale of its own
        assert ax.get_aspect() == 1.0
        assert ax.get_title(loc="left")


def test_the_view_is_named_under_the_title():
    ax = plot.swing(GATE, NOSE, SWING, title="Counter gate", view="seen from the left end")
    assert ax.get_title(loc="left") == "Counter gate\nseen from the left end"


def test_the_swing_tells_every_closest_approach_in_words(show):
    ax = PICTURES["swing"]()
    rows = fs.clearance.closest_approaches(GATE.outline(0.001), {"worktop": NOSE, "sill": SILL}, SWING, STOPS)
    said = "\n".join(legend(ax))
    for row in rows:
        assert f"{row.body}, {row.leg}: {row.gap:.2f} clear at {abs(row.turn_deg):.1f}°" in said
    assert (
        "worktop, level to lean: 2.01 clear at 111" in said
    )  # the other corner comes round: no single number shows it
    assert "pivot at (-10.0, -18.0)" in said
    assert {"shut", "level", "lean", "worktop", "sill"} <= set(texts(ax))
    show("picture of the swing", f"{len(rows)} closest approaches numbered and told")


def test_an_overlap_is_told_as_one():
    square = fs.Outline([(-28, -36), (0, -36), (0, 324), (-28, 324)])
    said = "\n".join(legend(plot.swing(square, {"worktop": NOSE}, SWING, stops=STOPS)))
    assert "worktop, shut to level: overlap 4.46 at 45.0°" in said


def test_the_gap_curve_marks_the_least_gap_itself():
    ax = PICTURES["gap_along"]()
    least = fs.clearance.minimum_gap(GATE.outline(0.001), NOSE, SWING)
    assert f"least {least.gap:.2f} mm at {abs(least.turn_deg):.1f}°" in legend(ax)
    curve = ax.get_lines()[0].get_ydata()
    assert least.gap - 1e-9 <= curve.min() <= least.gap + 0.05
    assert ax.get_ylim()[1] < 10.0


def test_the_line_of_pivots_runs_through_the_pivots():
    ax = plot.pivots(LANDINGS[0], span=50.0)
    line = ax.collections[-1].get_paths()[0].vertices
    for x, y in line:
        assert abs(LANDINGS[0].miss((x, y))) < 1e-9
    assert "leaves a line of pivots" in " ".join(texts(ax))
    assert "pivot at (-10.0, -18.0)" in legend(PICTURES["pivots"]())


def test_stops_that_contradict_are_shown_as_the_least_bad():
    both = [fs.hinge.lands_at_height(-90, (-28, 0), 0), fs.hinge.lands_at_height(-90, (-28, 0), 14)]
    ax = plot.pivots(both, span=50.0)
    assert any(t.startswith("least bad at") for t in legend(ax))


def test_inequalities_are_shaded_on_their_side_only():
    at_least = fs.hinge.Landing(-90, (-28, 0), (0, 1), 0, tolerance=0.0, kind="at_least")
    ax = plot.pivots(at_least, span=20.0)
    shade = ax.collections[0]
    inside = np.concatenate([p.vertices for p in shade.get_paths()])
    assert min(at_least.miss(tuple(v)) for v in inside) > -1e-9


def test_the_blank_tells_every_bend_line():
    said = "\n".join(legend(PICTURES["pan"]()))
    for line in PAN.bend_lines:
        assert f"centre {line.line.centre:.1f} from the" in said
    assert {"353.8", "201.8"} <= set(texts(PICTURES["pan"]()))


def test_the_fit_tells_radius_error_and_magnification():
    fit = fs.arc.fit(READINGS)
    said = legend(PICTURES["arc_fit"]())
    assert f"R {fit.radius:.1f} ± {fit.radius_standard_error:.1f} mm (geometric)" in said
    assert any("times; worst" in t for t in said)
    assert "straight line (geometric)" in legend(PICTURES["straight"]())
    ax = plot.arc_fit(fit, READINGS, magnify=1.0)
    curve = ax.get_lines()[0].get_xydata()
    np.testing.assert_allclose(np.hypot(*(curve - fit.centre).T), fit.radius, rtol=1e-12)
    assert abs(np.ptp(curve[:, 0]) - 1200) < 1


def test_the_rise_table_writes_each_height():
    assert {"38.0", "28.8", "1.2"} <= set(texts(PICTURES["rise_table"]()))
    ax = plot.rise_table(fs.arc.rise_table(1220, 38, [0]), stretch=4)
    assert "drawn 4 times" in ax.get_ylabel()
    assert ax.get_aspect() == 4


def test_refused_points_and_zeros_of_a_map_are_hatched():
    def fragile(x, y):
        if x > 2:
            raise fs.InvalidInput("x must be at most 2")
        return x * y

    ds = fs.sweep.over(fragile, {"x": [0.0, 1.0, 2.0, 3.0], "y": [0.0, 1.0, 2.0]})
    ax = plot.sweep_map(ds, "fragile")
    assert legend(ax) == ["no result", "fragile 0"]
    assert all(key.get_hatch() for key in ax.get_legend().legend_handles)


def test_nothing_rests_on_colour_alone():
    assert len({str(look.dash) for look in _plotting.LOOKS}) == len(_plotting.LOOKS)
    assert len({look.hatch for look in _plotting.LOOKS}) == len(_plotting.LOOKS)
    for name in ("swing", "gap_along", "pivots"):
        ax = PICTURES[name]()
        named = [
            line for line in ax.get_lines() if not line.get_label().startswith("_") and line.get_linestyle() != "None"
        ]
        drawn = [(line.get_linestyle(), str(line._unscaled_dash_pattern)) for line in named]
        assert len(set(drawn)) == len(drawn), name


def test_colours_stand_out_from_white_in_grey():
    for colour in (*(look.colour for look in _plotting.LOOKS), _plotting.BLACK, _plotting.GREY):
        r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour))
        assert 1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05) > 2.0  # contrast with white paper


def test_matplotlib_is_loaded_when_first_needed():
    code = "import sys, foldswing.plot; assert 'matplotlib' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


HOSTILE = [
    (lambda: plot.outlines(3), "bodies"),
    (lambda: plot.outlines([GATE, "gate"]), "bodies"),
    (lambda: plot.outlines(GATE, ax="here"), "ax"),
    (lambda: plot.outlines(GATE, title=3), "title"),
    (lambda: plot.swing(GATE, NOSE, "turn"), "motion"),
    (lambda: plot.swing(GATE, NOSE, fs.hinge.PivotHinge([(0, 0), (1, 1)], 0, -90)), "one motion"),
    (lambda: plot.swing(GATE, NOSE, SWING, stops=[("shut", 0.0)]), "stops"),
    (lambda: plot.swing(GATE, NOSE, SWING, ghosts=-1), "ghosts"),
    (lambda: plot.swing(GATE, NOSE, SWING, ghosts=True), "ghosts"),
    (lambda: plot.swept(None, SWING), "panel"),
    (lambda: plot.swept(GATE, SWING, sagitta=-1.0), "sagitta"),
    (lambda: plot.seam([3, 4]), "seam.Seam"),
    (lambda: plot.seam(SEAM, wanted=float("nan")), "wanted"),
    (lambda: plot.gap_along(GATE, NOSE, SWING, stations=1), "stations"),
    (lambda: plot.gap_along(GATE, NOSE, SWING, wanted="soon"), "soon"),
    (lambda: plot.pivots([]), "landings"),
    (lambda: plot.pivots(LANDINGS, span="far"), "far"),
    (lambda: plot.section(PAN), "profile"),
    (lambda: plot.blank(GATE), "flat"),
    (lambda: plot.arc_fit(3, READINGS), "fit"),
    (lambda: plot.arc_fit(fs.arc.fit(READINGS), READINGS[:3]), "points"),
    (lambda: plot.arc_fit(fs.arc.fit(READINGS), READINGS, magnify=0), "magnify"),
    (lambda: plot.rise_table("table"), "table"),
    (lambda: plot.rise_table(fs.arc.rise_table(1220, 38, [0]), stretch=float("nan")), "stretch"),
    (lambda: plot.sweep_map(fs.sweep.over(fs.arc.radius, {"rise": [1.0]}, fixed={"chord": 8}), "radius"), "two axes"),
    (lambda: plot.sweep_map(gap_map(), "nothing"), "nothing"),
]


@pytest.mark.parametrize("case", range(len(HOSTILE)))
def test_bad_input_is_named(case):
    call, said = HOSTILE[case]
    with pytest.raises(fs.InvalidInput, match=said):
        call()
