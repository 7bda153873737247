"""What cannot be folded is refused by the key of the job that is to be changed, with numbers a bench can use."""

from __future__ import annotations

import re

import pytest
from foldswing import InvalidInput, evaluation, job
from foldswing.evaluation.refusals import short_numbers

HEAD = """
format = 1
title = "brackets"
units = "mm"

[[material]]
name = "sheet"
metal = "DC01"
thickness = 1.2
inside_radius = 1.6
k_factor = 0.42

"""
UP = '{ bend_angle = 90, way = "up" }'

# the table, its sizes (one of them wrong), how the message begins after the part's name
CASES = [
    ("pan", "width = 200\nlength = 100\ndepth = 1", "depth must be at least 2.8 measured outside"),
    ("pan", "width = 2\nlength = 100\ndepth = 20", "width must be at least 5.6 measured outside"),
    ("pan", "width = 200\nlength = 2\ndepth = 20", "length must be at least 5.6"),
    ("pan", "width = 200\nlength = 100\ndepth = 20\nrear_depth = 1", "rear_depth must be at least 2.8"),
    ("pan", "width = 200\nlength = 100\ndepth = 20\ncorner_gap = 300", "width must be long enough .* got 200$"),
    ("tray", "width = 100\nlength = 80\ndepth = 2", "depth must be at least 2.8"),
    ("tray", "width = 100\nlength = 5\ndepth = 20\nreturn_width = 12", "length must be at least 5.6"),
    (
        "tray",
        "width = 100\nlength = 80\ndepth = 20\nreturn_width = 9\nright_return = 1",
        "right_return must be at",
    ),
    ("tray", "width = 100\nlength = 80\ndepth = 2\nfront_depth = 0\nleft_depth = 30", "depth must be at least 2.8"),
    (
        "tray",
        "width = 100\nlength = 80\ndepth = 20\nreturn_width = 60",
        "parts .* got the right return running into the",
    ),
    ("tray", "width = 100\nlength = 80\ndepth = 20\ncorner_gap = 200", r"width must .* \(by 185.243 more\), got 100$"),
    (
        "tray",
        'width = 100\nlength = 80\ndepth = 20\ntabs_on = "front and rear"\ntab_width = 60',
        "tab_width must be less",
    ),
    ("section", 'width = 100\nkind = "channel"\nweb = 40\nflange = 1', "flange must be at least 2.8"),
    (
        "section",
        'width = 100\nkind = "channel"\nweb = 40\nflange = 9\nother_flange = 1',
        "other_flange must be at least",
    ),
    ("section", 'width = 100\nkind = "angle"\nflange = 1\nother_flange = 9', "flange must be at least 2.8"),
    ("section", 'width = 100\nkind = "Z"\nheight = 20\nflange = 1', "flange must be at least 2.8"),
    (
        "bent_part",
        f'width = 90\nlengths_are = "outside"\nflats = [20, 1]\nbend = [{UP}]',
        r"flats\[2\] must be at least",
    ),
    (
        "bent_part",
        f'width = 90\nlengths_are = "outside"\nflats = [20, 20, 20, 20, 20]\nbend = [{UP}, {UP}, {UP}, {UP}]',
        "parts must be a section that does not cross itself when folded, got bend 4 running into flat 1",
    ),
    ("curved_flange", 'edge = "bows in"\nedge_radius = 100\narc_length = 90\ndepth = 2', "depth must be at least 2.8"),
    (
        "curved_flange",
        'edge = "bows in"\nedge_radius = 100\narc_length = 90\ndepth = 12\nbase_width = 1',
        "base_width must be at least 2.8",
    ),
    ("developed", 'kind = "pipe"\ndiameter = 99999\nlength = 100', "its sizes make a blank of 314152 by 100 mm"),
]


@pytest.mark.parametrize(("table", "sizes", "said"), CASES)
def test_what_cannot_be_folded_is_refused_by_the_key_to_change(table: str, sizes: str, said: str) -> None:
    made = job.loads(f'{HEAD}[[{table}]]\nname = "it"\nmaterial = "sheet"\n{sizes}\n'.encode())
    with pytest.raises(InvalidInput, match=rf"^it: {said}") as refused:
        evaluation.evaluate(made)
    assert not re.search(r"\.\d{4}", str(refused.value))


def test_numbers_are_told_as_fine_as_a_bench_needs() -> None:
    assert short_numbers("longer by 1.7999999999999998 or 12.5, got 3.25") == "longer by 1.8 or 12.5, got 3.25"
    assert short_numbers("got 1.23456e-300 and 100000.0 and 2.00000000001") == "got 1.23456e-300 and 100000.0 and 2"
