"""Sweeps: every point as a single call gives it, failures named beside the values."""

from __future__ import annotations

import inspect
import subprocess
import sys

import foldswing as fs
import numpy as np
import pytest
from foldswing._quantities import quantity
from hypothesis import given
from hypothesis import strategies as st

over, words = fs.sweep.over, fs.sweep.words


def test_a_closed_form_over_two_inputs_equals_single_calls(show):
    chord, rise = np.linspace(500, 1500, 40), np.linspace(5, 60, 50)
    ds = over(fs.arc.radius, {"chord": chord, "rise": rise})
    assert ds.radius.dims == ("chord", "rise")
    assert ds.radius.shape == (40, 50)
    for i, j in ((0, 0), (17, 3), (39, 49)):
        assert ds.radius.values[i, j] == fs.arc.radius(chord[i], rise[j])
        assert ds.radius.sel(chord=chord[i], rise=rise[j]) == fs.arc.radius(chord[i], rise[j])
    assert ds.radius.attrs["units"] == ds.chord.attrs["units"] == "mm"
    assert ds.radius.attrs["long_name"] == "radius"
    assert ds.radius.attrs["source"].startswith("foldswing.arc.radius, foldswing ")
    assert (ds.status == 0).all()
    assert words(ds).values[0, 0] == "ok"
    show("sweep", "2000 points of a closed form in one Dataset, equal to single calls to the bit")


def test_functions_of_arrays_are_called_a_few_times_and_others_once_a_point():
    calls = []

    def doubled(x):
        calls.append(np.shape(x))
        return 2 * x

    def only_numbers(x):
        calls.append(np.shape(x))
        return 2 * float(x)

    values = np.arange(1000.0)
    assert (over(doubled, {"x": values}).doubled.values == 2 * values).all()
    assert len(calls) < 10
    calls.clear()
    assert (over(only_numbers, {"x": values}).only_numbers.values == 2 * values).all()
    assert sum(shape == () for shape in calls) >= 1000


def test_a_function_that_takes_arrays_for_something_else_is_not_fooled():
    def total(x):
        return np.sum(x)

    def spread(x):
        return np.atleast_1d(x) - np.mean(x)

    values = np.arange(12.0)
    assert (over(total, {"x": values}).total.values == values).all()
    assert (over(spread, {"x": values}).spread.values == 0).all()


def test_refused_points_are_recorded_and_the_rest_is_done():
    rise = np.linspace(-2, 7, 1000)
    ds = over(fs.arc.radius, {"rise": rise}, fixed={"chord": 8.0})
    bad = rise <= 0
    assert (np.isnan(ds.radius.values) == bad).all()
    assert (ds.radius.values[~bad] == fs.arc.radius(8.0, rise[~bad])).all()
    assert (ds.status.values == np.where(bad, -1, 0)).all()
    assert "rise must be finite and > 0" in ds.reason.values[0]
    assert ds.reason.values[-1] == ""
    assert set(words(ds).values) == {"ok", "bad_input"}


def test_a_function_that_breaks_down_somewhere_says_what_happened():
    def fragile(x):
        if x == 3:
            raise ZeroDivisionError("no room")
        return 1.0 / x

    ds = over(fragile, {"x": [1, 2, 3, 4]})
    assert ds.status.values.tolist() == [0, 0, -2, 0]
    assert ds.reason.values[2] == "ZeroDivisionError: no room"
    assert np.isnan(ds.fragile.values[2])


def test_a_wrong_call_is_raised_not_recorded():
    with pytest.raises(TypeError):
        over(fs.arc.radius, {"height_of_it": [1.0, 2.0]}, fixed={"chord": 8.0})


@pytest.mark.parametrize("batch", [None, False])
def test_result_values_unfold_into_variables(batch):
    turns = [-90.0, -60.0, -30.0, 0.0, 30.0]

    def one_stop(turn_deg, height):
        return fs.hinge.solve_pivot([fs.hinge.Landing(turn_deg, (-28, 0), (0, 1), height)])

    ds = over(one_stop, {"turn_deg": turns, "height": [0.0, 5.0]}, batch=batch)
    assert ds.pivot.dims == ("turn_deg", "height", "xy")
    assert ds.pivot.sel(xy="x").shape == (5, 2)
    assert ds.residuals.dims == ("turn_deg", "height", "residuals_0")
    for i, t in enumerate(turns):
        single = one_stop(t, 5.0)
        np.testing.assert_array_equal(ds.pivot.values[i, 1], single.pivot)
        assert words(ds).values[i, 1] == single.status
        assert ds.reason.values[i, 1] == single.explanation
    assert ds.status.attrs["flag_meanings"].split() == [*fs.hinge.PIVOT_STATUS, "bad_input", "failed"]
    assert ds.pivot.attrs["units"] == "mm"
    assert ds.turn_deg.attrs["units"] == "degree"


@pytest.mark.parametrize("batch", [None, False])
def test_several_answers_get_an_axis_of_their_own(batch):
    ds = over(fs.arc.solve, {"chord": [4.0, 8.0, 10.0, 12.0]}, fixed={"radius": 5.0}, batch=batch)
    assert words(ds).values.tolist() == ["two", "two", "one", "none"]
    assert ds.arcs_rise.dims == ("chord", "arcs_rise_0")
    np.testing.assert_array_equal(ds.arcs_rise.values[1], [2.0, 8.0])
    np.testing.assert_array_equal(np.isnan(ds.arcs_rise.values), [[0, 0], [0, 0], [0, 1], [1, 1]])
    assert ds.arcs_rise.attrs["units"] == "mm"
    if batch is False:
        assert "too small" in ds.reason.values[3]


def test_lengths_that_differ_are_padded():
    def table(count):
        return fs.arc.rise_table(100.0, 5.0, np.linspace(0, 50, count))

    ds = over(table, {"count": [2, 5]})
    assert ds.heights.shape == (2, 5)
    assert np.isnan(ds.heights.values[0, 2:]).all()
    assert ds.heights.values[1, 0] == 5.0


def test_shop_strings_and_quantities_become_axes_in_mm():
    import pint

    ds = over(fs.arc.radius, {"rise": ["1/2 in", "1 in"]}, fixed={"chord": "48 in"})
    np.testing.assert_allclose(ds.rise.values, [12.7, 25.4], rtol=1e-15)
    assert ds.attrs["fixed_inputs"] == "chord = '48 in'"
    quantity = pint.UnitRegistry().Quantity([1.0, 2.0], "cm")
    np.testing.assert_allclose(over(fs.arc.radius, {"rise": quantity}, fixed={"chord": 48}).rise.values, [10.0, 20.0])


def test_axes_may_be_words_and_drawn_shapes_stay_whole():
    points = [(0, 0), (50, 3), (100, 4), (150, 3), (200, 0)]
    ds = over(fs.arc.fit, {"method": ["geometric", "kasa"]}, fixed={"points": points})
    assert ds.radius.sel({"method": "kasa"}) == fs.arc.fit(points, "kasa").radius
    assert ds.centre.dims == ("method", "xy")

    def square(side):
        return fs.Outline([(0, 0), (side, 0), (side, side), (0, side)])

    kept = over(square, {"side": [1.0, 2.0, 3.0, 4.0, 0.0]})
    assert fs.plane.area(kept.square.values[1]) == 4.0
    assert kept.square.values[4] is None
    assert kept.status.values[4] == -1


def test_units_of_own_functions_can_be_named():
    ds = over(lambda hole: 2 * hole, {"hole": [1.0, 2.0]}, units={"hole": "mm", "value": "mm"}, name="value")
    assert ds.hole.attrs["units"] == ds["value"].attrs["units"] == "mm"
    assert ds["value"].attrs["long_name"] == "value"


@given(
    chord=st.lists(st.floats(-10, 1e4), min_size=1, max_size=6),
    rise=st.lists(st.floats(-10, 1e4), min_size=1, max_size=6),
)
def test_arrays_and_loops_agree_whatever_is_refused(chord, rise):
    fast = over(fs.arc.length, {"chord": chord, "rise": rise})
    slow = over(fs.arc.length, {"chord": chord, "rise": rise}, batch=False)
    if "length" in slow:
        np.testing.assert_array_equal(fast.length.values, slow.length.values)
    np.testing.assert_array_equal(fast.status.values, slow.status.values)
    np.testing.assert_array_equal(fast.reason.values, slow.reason.values)


# What is not a quantity: words, shapes, motions, parts, and results that are values with fields of their own.
NOT_QUANTITIES = """
    a angles arcs b bend_lines bends best_status binding bounded cell_status cells clear_of closed corners curve
    ears explanation first fixed formula from_side half_plane_stops half_planes holes in_range inside invalid kind
    landed landings last leg line major measured method middle motion name notch outer outline outlines outside
    outside_is pan panel parts pose_a pose_b poses ring rule runs side side_binding side_limits sides source start
    status stops table warnings way wish within
"""
RESULTS_WITH_FIELDS = """
    by_rule calibrate rules spread
    closest_approaches distance fit from_points lands_at_height lands_below lands_flush lands_on_point largest_circle
    layers locate minimum_gap mirror offset pivot_by_angle pivot_window pole radius_from_readings rise_table room
    round_corners solve solve_pivot swept_outline unite with_disc with_ears
"""


@pytest.mark.parametrize("topic", ["arc", "bend", "blank", "clearance", "hinge", "motion", "plane"])
def test_every_public_name_has_a_unit_in_the_one_table(topic):
    module = getattr(fs, topic)
    named, valued = set(NOT_QUANTITIES.split()), set(RESULTS_WITH_FIELDS.split())
    unknown = []
    for name in module.__all__:
        thing = getattr(module, name)
        fields = list(getattr(thing, "_fields", ())) if isinstance(thing, type) else []
        if inspect.isfunction(thing):
            fields = [p for p in inspect.signature(thing).parameters]
            fields += [] if name in valued else [name]
        unknown += [f"{name}: {f}" for f in fields if f not in named and quantity(f) is None]
    assert unknown == []


def test_xarray_is_loaded_when_first_needed():
    code = "import sys, foldswing.sweep; assert 'xarray' not in sys.modules and 'pandas' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_dataset_can_be_saved_and_read_back(tmp_path):
    import xarray as xr

    ds = over(fs.arc.radius, {"chord": [500.0, 800.0], "rise": [0.0, 5.0]})
    assert xr.Dataset.from_dict(ds.to_dict()).equals(ds)


HOSTILE = [
    (lambda: over(3, {"x": [1]}), "callable"),
    (lambda: over(fs.arc.radius, {}), "axes"),
    (lambda: over(fs.arc.radius, None), "axes"),
    (lambda: over(fs.arc.radius, [1, 2]), "axes"),
    (lambda: over(fs.arc.radius, {"rise": []}), "rise"),
    (lambda: over(fs.arc.radius, {"rise": 3.0}), "rise must be a list"),
    (lambda: over(fs.arc.radius, {"rise": [[1.0, 2.0]]}), "rise must be a list"),
    (lambda: over(fs.arc.radius, {"rise": ["soon"]}), "soon"),
    (lambda: over(fs.arc.radius, {"rise": [True, False]}), "value"),
    (lambda: over(fs.arc.radius, {3: [1.0]}), "named"),
    (lambda: over(fs.arc.radius, {"rise": [1.0]}, fixed={"rise": 2.0}), "not both"),
    (lambda: over(fs.arc.radius, {"status": [1.0]}), "status"),
    (lambda: over(fs.arc.radius, {"rise": [1.0]}, batch="yes"), "batch"),
    (lambda: over(fs.arc.fit, {"method": ["kasa"]}, batch=True), "batch must be False"),
]


@pytest.mark.parametrize("case", range(len(HOSTILE)))
def test_ill_stated_sweeps_are_refused(case):
    call, said = HOSTILE[case]
    with pytest.raises(fs.InvalidInput, match=said):
        call()


def test_nan_on_an_axis_is_a_refused_point():
    ds = over(fs.arc.radius, {"rise": [1.0, np.nan, np.inf]}, fixed={"chord": 8.0})
    assert ds.status.values.tolist() == [0, -1, -1]
