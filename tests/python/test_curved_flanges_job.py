"""Flanges along a curved edge in a job: from chord and rise to strain, cuts, sheet and a template read back."""

from __future__ import annotations

import dataclasses
import io
import json
import math

import ezdxf
import foldswing as fs
import numpy as np
import pytest
from foldswing import drawing, evaluation, job, output, pictures, report, sheet
from foldswing.curved_flange import curved_flange

TEXT = """
format = 1
title = "Wheel arch and porthole of a coffee van"
units = "mm"
invented = true
date = "2026-05-01"

[[material]]
name = "steel"
metal = "DC01"
thickness = 1.0
inside_radius = 1.6
k_factor = 0.44

[[material]]
name = "aluminium"
metal = "5052-H32 aluminium"
thickness = 1.2
inside_radius = 2.5
k_factor = 0.42

[[curved_flange]]
name = "wheel arch"
material = "steel"
edge = "bows in"
chord = 600
rise = 180
depth = 25
base_width = 40

[[curved_flange]]
name = "porthole"
material = "aluminium"
edge = "bows in"
edge_radius = 60
all_round = true
depth = 18

[[curved_flange]]
name = "counter corner"
material = "steel"
edge = "bows out"
edge_radius = 80
arc_length = 130
depth = 20
base_width = 50
edge_takes = 5

[[curved_flange]]
name = "lid rim"
material = "steel"
edge = "bows out"
edge_radius = 150
all_round = true
depth = 12
"""
JOB = job.loads(TEXT.encode(), name="arch.toml")
DONE = evaluation.evaluate(JOB)
MADE = {done.name: done for done in DONE.curved_flanges}
HAND = {  # radius of the finished edge, thickness, inside radius, k, depth, way: a right angle worked by hand
    "wheel arch": ((300**2 + 180**2) / 360, 1.0, 1.6, 0.44, 25, -1),
    "porthole": (60, 1.2, 2.5, 0.42, 18, -1),
    "counter corner": (80, 1.0, 1.6, 0.44, 20, 1),
    "lid rim": (150, 1.0, 1.6, 0.44, 12, 1),
}


def by_hand(name):
    """Radius of the blank's edge and strain of its hoop: mould lengths less the corner, plus the neutral arc."""
    radius, t, r, k, depth, way = HAND[name]
    edge = radius + way * (depth - 2 * (r + t) + np.pi / 2 * (r + k * t))
    return edge, (radius - way * (1 - k) * t) / edge - 1


def read_back(stem):
    """Arcs and lines of each layer of a template, read from its DXF: (radius, sweep, centre) and (start, end)."""
    doc = ezdxf.read(io.StringIO(drawing.to_dxf(pictures.templates(JOB, DONE)[stem]).decode()))
    assert not doc.audit().has_errors
    arcs, lines = {}, {}
    for entity in doc.modelspace():
        parts = entity.virtual_entities() if entity.dxftype() == "LWPOLYLINE" else [entity]
        for part in parts:
            if part.dxftype() == "ARC":
                sweep = (part.dxf.end_angle - part.dxf.start_angle) % 360.0
                arcs.setdefault(entity.dxf.layer, []).append((part.dxf.radius, sweep, tuple(part.dxf.center)[:2]))
            elif part.dxftype() == "LINE":
                lines.setdefault(entity.dxf.layer, []).append((tuple(part.dxf.start)[:2], tuple(part.dxf.end)[:2]))
    return arcs, lines


@pytest.mark.parametrize("name", HAND)
def test_the_strain_and_the_blanks_edge_are_those_worked_by_hand(name) -> None:
    edge, strain = by_hand(name)
    assert MADE[name].made.edge_radius == pytest.approx(edge, abs=1e-9)
    assert MADE[name].made.strain == pytest.approx(strain, abs=1e-12)


def test_the_job_asks_what_the_library_is_asked() -> None:
    metal = {"thickness": 1.0, "radius": 1.6, "k_factor": 0.44}
    half = math.degrees(math.atan2(180, 300))  # of the chord's angle at the end of the arc: a quarter of the whole
    arch = curved_flange("hollow", HAND["wheel arch"][0], 25, strain_limit=0.28, arc_deg=4 * half, **metal)
    assert MADE["wheel arch"].made.bend_radius == pytest.approx(arch.bend_radius, abs=1e-9)
    assert MADE["wheel arch"].arc_deg == pytest.approx(4 * half)
    assert MADE["wheel arch"].made.easing == arch.easing == "none"
    corner = curved_flange("bulging", 80, 20, strain_limit=0.05, arc_deg=np.degrees(130 / 80), **metal)
    assert MADE["counter corner"].made.cuts == corner.cuts > 3
    assert MADE["counter corner"].made.cut_width == pytest.approx(corner.cut_width)


def test_each_edge_is_told_against_what_its_metal_takes() -> None:
    assert MADE["wheel arch"].takes == 0.28  # the elongation of DC01
    arch = MADE["wheel arch"]
    assert arch.findings == ()
    assert arch.bending is not None
    assert arch.bending.test_strip.startswith("not needed for this: between the rules the blank differs by 0.")
    porthole = MADE["porthole"]
    assert (porthole.takes, porthole.made.easing) == (0.12, "notches")
    found = next(f for f in porthole.findings if "slits" in f.what)
    assert f"stretch by {100 * by_hand('porthole')[1]:.1f} %, it takes 12.0 %" in found.number
    assert f"{porthole.made.cuts} slits" in found.number
    assert "tears" in found.feel
    assert any("needs darts" in f.what for f in MADE["counter corner"].findings)
    unknown = next(f for f in MADE["lid rim"].findings if "Nothing says" in f.what)
    assert f"shrink by {-100 * by_hand('lid rim')[1]:.1f} %" in unknown.number
    assert MADE["lid rim"].takes is None
    assert MADE["lid rim"].made.cuts == 0


def test_slits_end_where_the_hoop_takes_no_more() -> None:
    made = MADE["porthole"]
    radius, t, _, k, depth, _ = HAND["porthole"]
    finished = radius + (1 - k) * t  # of every hoop of an upright flange
    at_root = np.hypot(*made.roots.T)
    assert finished / at_root - 1 == pytest.approx(0.12)
    assert at_root - made.made.edge_radius == pytest.approx(made.made.cut_depth)
    assert made.made.cut_depth < depth
    steps = np.diff(np.unwrap(np.arctan2(*made.roots.T[::-1])))
    assert steps == pytest.approx(2 * np.pi / made.made.cuts)


def test_a_ring_template_reads_back_as_edge_slits_and_bend_start() -> None:
    arcs, lines = read_back("porthole-blank")
    made = MADE["porthole"].made
    assert sum(sweep for _, sweep, _ in arcs["CUT_LINE"]) == pytest.approx(360.0)
    assert {round(r, 6) for r, _, _ in arcs["CUT_LINE"]} == {round(made.edge_radius, 6)}
    ((radius, _, centre), _) = arcs["BEND_TANGENT"]
    assert radius == pytest.approx(60 + 1.2 + 2.5)
    slits = np.array(lines["CUT_LINE"])
    assert len(slits) == made.cuts
    assert np.hypot(*(slits[:, 0] - centre).T) == pytest.approx(made.edge_radius, abs=1e-6)
    assert np.hypot(*(slits[:, 1] - centre).T) == pytest.approx(made.root_radius, abs=1e-6)


def test_an_arch_template_reads_back_with_the_width_of_its_base() -> None:
    arcs, lines = read_back("wheel-arch-blank")
    (base, base_sweep, centre), (edge, sweep, _) = sorted(arcs["CUT_LINE"], reverse=True)
    radius = HAND["wheel arch"][0]
    assert (base, edge) == pytest.approx((radius + 40, by_hand("wheel arch")[0]))
    assert base_sweep == pytest.approx(sweep)
    ((bend, _, middle),) = arcs["BEND_TANGENT"]
    assert bend == pytest.approx(radius + 1.0 + 1.6)
    assert middle == pytest.approx(centre)
    ends = np.array(lines["CUT_LINE"])
    assert np.hypot(*(ends[:, 0] - ends[:, 1]).T) == pytest.approx(base - edge)
    assert MADE["wheel arch"].base_on_blank.radius == pytest.approx(base)


def test_darts_are_cut_out_of_the_edge_on_the_template() -> None:
    made = MADE["counter corner"].made
    arcs, lines = read_back("counter-corner-blank")
    left = sum(math.radians(s) * r for r, s, _ in arcs["CUT_LINE"] if r == pytest.approx(made.edge_radius))
    assert left == pytest.approx(made.edge_radius * 130 / 80 - made.cuts * made.cut_width)
    assert left == pytest.approx(made.finished_edge_radius * 130 / 80)  # the darts closed, it is the finished edge
    assert len(lines["CUT_LINE"]) == 2 * made.cuts + 2
    deepest = [p for p in made.outline.points if np.hypot(*p) == pytest.approx(made.root_radius)]
    order = np.argsort(MADE["counter corner"].roots[:, 0])
    assert MADE["counter corner"].roots[order] == pytest.approx(np.array(sorted(deepest, key=lambda p: p[0])))


def test_chord_and_rise_strike_each_line_of_the_blank() -> None:
    for done in MADE.values():
        for line in (done.edge_on_blank, done.bend_on_blank, done.base_on_blank):
            if line is None or math.isnan(line.chord):
                continue
            assert line.radius == pytest.approx((line.chord**2 / 4 + line.rise**2) / (2 * line.rise))
            assert line.chord == pytest.approx(2 * line.radius * math.sin(math.radians(done.arc_deg / 2)))


def test_the_section_is_the_finished_flange() -> None:
    outside, _ = MADE["wheel arch"].folded
    box = outside.points.max(axis=0) - outside.points.min(axis=0)
    assert sorted(box) == pytest.approx([25, 40])


def test_sheet_results_and_templates_hold_them(tmp_path) -> None:
    page = sheet.to_html(report.job_sheet(JOB, DONE))
    for words in ("edge bows in", "The bend starts here", "Nothing says", "12 slits", "elongation at break", "Darts"):
        assert words.replace("12 slits", f"{MADE['porthole'].made.cuts} slits") in page
    made = output.write_job(
        dataclasses.replace(JOB, curved_flange=JOB.curved_flange[1:2]), TEXT.encode(), "arch.toml", tmp_path / "out"
    )
    assert {f"porthole-blank.{ending}" for ending in ("pdf", "svg", "dxf")} <= set(made.files)
    (told,) = json.loads((tmp_path / "out" / "results.json").read_text(encoding="utf-8"))["curved_flanges"]
    assert told["made"]["easing"] == "notches"
    assert told["edge_on_blank"]["chord"] is None


def test_a_flange_that_asks_too_much_of_its_bend_cannot_be_made() -> None:
    tight = dataclasses.replace(JOB.curved_flange[1], edge_radius=14.0, depth=9.0)
    done = evaluation.evaluate_curved_flange(tight, JOB)
    assert done.verdict == "cannot"
    assert any("cannot be turned" in f.what and "larger edge_radius" in f.advice for f in done.findings)
    assert evaluation.evaluate(dataclasses.replace(JOB, curved_flange=(tight,))).verdict == "cannot"


def test_several_readings_of_the_rise_leave_the_blank_uncertain() -> None:
    told = evaluation.evaluate(job.loads(TEXT.replace("rise = 180", "rise = [180, 182, 178]").encode())).uncertain
    assert ("wheel arch", "radius of the blank's edge") in {(u.part, u.what) for u in told}


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("rise = 180", "rise = 180\narc_length = 700", "arc_length is one too many"),
        ("chord = 600\nrise = 180", "rise = 180", "chord is missing"),
        ("rise = 180", "rise = 180\nedge_radius = 300", "exactly one of edge_radius or rise"),
        ("all_round = true\ndepth = 18", "depth = 18", "exactly one of chord, arc_length or all_round"),
        ("arc_length = 130", "chord = 130\nall_round = true", "got chord and all_round"),
        ("arc_length = 130", "arc_length = 503", "under 502.7 mm, once round"),
        ("arc_length = 130", "chord = 161", "at most 160 mm, twice the edge_radius"),
        ("depth = 25", "depth = 0", "depth"),
        ("depth = 25", "depth = nan", "depth"),
        ("depth = 25", "depth = 25\nbend_angle = 91", "bend_angle"),
        ('edge = "bows in"', 'edge = "concave"', "edge .*bows out"),
        ("edge_takes = 5", "edge_takes = 0", "edge_takes"),
        ('material = "steel"\nedge', 'material = "tin"\nedge', "not in this job"),
        ("base_width = 40", "base_widht = 40", "did you mean 'base_width'"),
    ],
)
def test_jobs_that_contradict_themselves_are_refused(old, new, said) -> None:
    assert old in TEXT
    with pytest.raises(fs.InvalidInput, match=said):
        job.loads(TEXT.replace(old, new, 1).encode(), name="arch.toml")


@pytest.mark.parametrize(
    ("which", "change", "said"),
    [
        (0, {"depth": 1.0}, "wheel arch: .*lengthen it by"),
        (0, {"base_width": 1.0}, "wheel arch: base_width"),
        (1, {"depth": 70.0}, "porthole: depth must be small enough"),
        (2, {"base_width": 80.0}, "counter corner: base_width must be under the radius of the edge, 80.0 mm"),
        (2, {"flats_stand_off": 1e-30}, "flats_stand_off must be"),
        (2, {"edge_radius": 1e-9, "arc_length": 1e-10, "base_width": None}, "counter corner: edge_radius must be over"),
    ],
)
def test_flanges_that_lie_on_no_blank_name_the_size_to_change(which, change, said) -> None:
    wrong = dataclasses.replace(JOB.curved_flange[which], **change)
    with pytest.raises(fs.InvalidInput, match=said):
        evaluation.evaluate(dataclasses.replace(JOB, curved_flange=(wrong,)))


def test_the_help_names_the_keys() -> None:
    text = job.help_text("curved_flange")
    for word in ("[[curved_flange]]", "edge_takes", "base_width", "Exactly one of: edge_radius or rise"):
        assert word in text
