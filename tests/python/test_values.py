"""What every value has: equality, hash, a repr that evaluates, pickling, copying, to_dict and from_dict, frozen."""

from __future__ import annotations

import copy
import json
import pickle
from typing import Any

import foldswing as fs
import numpy as np
import pytest
from foldswing import plane
from foldswing._values import frozen_array, value
from numpy.typing import NDArray


@value
class Inner:
    name: str
    at: np.ndarray


@value
class Outer:
    number: float
    inner: Inner
    codes: NDArray[np.int8]
    rings: tuple[np.ndarray, ...] = ()
    several: tuple[Inner, ...] = ()
    named: dict[str, Inner] | None = None
    pair: tuple[int, str] = (1, "a")
    row: list[float] | None = None


def outer() -> Outer:
    inner = Inner("post", [1.0, 2.0])
    return Outer(
        float("nan"),
        inner,
        np.array([0, 1, -1], dtype=np.int8),
        ([[0.0, 1.0]], [[2.0, 3.0], [4.0, 5.0]]),
        (inner, inner),
        {"left": inner},
        row=[1.5, 2.5],
    )


VALUES = [
    fs.Pose(1.5, -2.0, 720.0),
    fs.Pose([1.0, 2.0], 0.0, [0.0, 90.0]),
    fs.Outline([(0, 0), (9, 0), (9, 9), (0, 9)], holes=[[(1, 1), (2, 1), (2, 2)]]),
    plane.Path([(0, 0), (10, 0), (10, 10)], [0.0, -90.0]),
    plane.Path([(0, 0), (10, 0)], 180.0, closed=True),
    plane.distance(fs.Outline([(0, 0), (1, 0), (1, 1)]), fs.Outline([(5.5, 0), (7, 0), (7, 1)])),
    outer(),
]
NAMES = {
    "Pose": fs.Pose,
    "Outline": fs.Outline,
    "Path": plane.Path,
    "Separation": plane.Separation,
    "Inner": Inner,
    "Outer": Outer,
}


@pytest.mark.parametrize("made", VALUES, ids=lambda v: type(v).__name__)
class TestEveryValue:
    def test_equal_to_its_copies_and_hashes_like_them(self, made: Any):
        for same in (
            copy.copy(made),
            copy.deepcopy(made),
            pickle.loads(pickle.dumps(made)),
            type(made).from_dict(made.to_dict()),
            eval(repr(made), {**NAMES}),
        ):
            assert same == made
            assert hash(same) == hash(made)
            assert repr(same) == repr(made)

    def test_to_dict_is_plain_and_goes_through_json(self, made: Any):
        text = json.dumps(made.to_dict())
        assert type(made).from_dict(json.loads(text)) == made

    def test_frozen(self, made: Any):
        field = type(made)._fields[0]
        with pytest.raises(AttributeError, match="frozen: cannot change"):
            setattr(made, field, 1.0)
        with pytest.raises(AttributeError, match="frozen: cannot change"):
            delattr(made, field)
        with pytest.raises(AttributeError, match="frozen: cannot change"):
            made.brand_new = 1

    def test_arrays_are_read_only(self, made: Any):
        for name in type(made)._fields:
            given = getattr(made, name)
            for array in given if isinstance(given, tuple) else (given,):
                if isinstance(array, np.ndarray):
                    with pytest.raises(ValueError, match="read-only"):
                        array[...] = 0

    def test_unequal_to_other_things(self, made: Any):
        assert made != 1
        assert made != made.to_dict()
        assert all(made != other for other in VALUES if other is not made)


def test_inputs_are_copied():
    points = np.array([(0.0, 0.0), (9.0, 0.0), (9.0, 9.0)])
    x = np.array([1.0, 2.0])
    outline, pose, inner = fs.Outline(points), fs.Pose(x, 0.0, 0.0), Inner("a", x)
    points[:] = 7.0
    x[:] = 7.0
    assert outline.points[1].tolist() == [9.0, 0.0]
    assert pose.x.tolist() == [1.0, 2.0]
    assert inner.at.tolist() == [1.0, 2.0]


def test_restored_fields_have_their_types_back():
    made = Outer.from_dict(json.loads(json.dumps(outer().to_dict())))
    assert isinstance(made.inner, Inner)
    assert isinstance(made.several, tuple)
    assert isinstance(made.several[0], Inner)
    assert isinstance(made.named["left"], Inner)
    assert made.codes.dtype == np.int8
    assert made.pair == (1, "a")
    assert [r.shape for r in made.rings] == [(1, 2), (2, 2)]
    assert Outer.from_dict({**made.to_dict(), "named": None, "row": None}).named is None


def test_numpy_numbers_show_as_numbers():
    made = Inner(np.float64(1.5), [0.0])
    assert repr(made) == "Inner(name=1.5, at=[0.0])"
    assert type(made.to_dict()["name"]) is float
    assert repr(outer()).startswith("Outer(number=float('nan'), inner=Inner(name='post'")


def test_unknown_field_is_refused():
    with pytest.raises(TypeError, match="sideways"):
        fs.Pose.from_dict({"x": 0, "y": 0, "angle_deg": 0, "sideways": 1})


def test_values_are_keys():
    table = {fs.Pose(0, 0, 90): "up", fs.Outline([(0, 0), (1, 0), (0, 1)]): "corner"}
    assert table[fs.Pose(0.0, 0.0, 90.0)] == "up"
    assert table[fs.Outline([(0, 0), (0, 1), (1, 0)])] == "corner"  # either winding is the same outline


def test_frozen_array_copies():
    given = np.zeros(3)
    made = frozen_array(given)
    given[0] = 1.0
    assert made.tolist() == [0.0, 0.0, 0.0]
    assert not made.flags.writeable
