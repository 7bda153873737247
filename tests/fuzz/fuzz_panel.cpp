// Gates and flip panels in section: plausible sizes with a few replaced by anything make a panel or are refused; the
// smallest radii that keep a gap, and sizes at another station.
#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/cure.hpp>
#include <foldswing/flip_panel.hpp>
#include <foldswing/gate.hpp>
#include <foldswing/station.hpp>

#include "../cpp/counter_gate.hpp"
#include "bytes.hpp"

namespace {
using namespace foldswing;

gate::Sizes gate_sizes(fuzz::Bytes& in) {
    gate::Sizes s = counter_gate();
    const std::array<double gate::Sizes::*, 20> all{
        &gate::Sizes::thickness,          &gate::Sizes::height,
        &gate::Sizes::outer_face_out,     &gate::Sizes::lower_edge_below_worktop,
        &gate::Sizes::lean_deg,           &gate::Sizes::lower_inner_radius,
        &gate::Sizes::lower_outer_radius, &gate::Sizes::upper_outer_radius,
        &gate::Sizes::upper_inner_radius, &gate::Sizes::nose_behind_wall,
        &gate::Sizes::nose_depth,         &gate::Sizes::nose_radius,
        &gate::Sizes::worktop_depth,      &gate::Sizes::worktop_fall_deg,
        &gate::Sizes::worktop_drop,       &gate::Sizes::worktop_above_floor,
        &gate::Sizes::head_above_worktop, &gate::Sizes::sill_below_worktop,
        &gate::Sizes::jamb_depth,         &gate::Sizes::lean_deg};
    for (std::size_t n = in.below(4); n > 0; --n) s.*all[in.below(all.size())] = in.number();
    return s;
}

void gate_parts(fuzz::Bytes& in) {
    const gate::Sizes s = gate_sizes(in);
    (void)gate::panel(s);
    (void)gate::worktop(s);
    (void)gate::sill(s);
    (void)gate::head(s);
    (void)gate::height_below_head(s, in.number());
    (void)gate::width_between(in.number(), in.number(), in.number());
}

void gate_stops(fuzz::Bytes& in) {
    const gate::Sizes s = gate_sizes(in);
    const Point pivot = in.point();
    (void)gate::place(s, pivot);
    (void)gate::pivot_at(s, in.number(), in.number());
    const double opening = gate::opening_to_drop(s, pivot, in.number());
    fuzz::require(std::isnan(opening) || (opening >= 0.0 && opening <= 360.0));
    (void)gate::opened(s, pivot, gate::opening_in_line(s));
    const std::array<hinge::Landing, 3> stops{gate::face_landing(s, in.number(), in.number(), in.number()),
                                              gate::nose_gap_landing(s, in.number(), in.number(), in.number()),
                                              gate::edge_landing(s, in.number(), in.number(), in.number())};
    fuzz::require(hinge::solve_pivot(stops).residuals.size() == 3);
}

void gate_stay_pin(fuzz::Bytes& in) {
    const gate::Sizes s = gate_sizes(in);
    const Point pivot = in.point();
    (void)gate::stay_pin(s, pivot, in.number(), in.number());
    (void)gate::centre(s);
}

void gate_radii(fuzz::Bytes& in) {
    const gate::Sizes s = gate_sizes(in);
    if (std::min(s.thickness, s.height) > 100.0) return;  // arcs of thousands of chords: slow under the sanitizers
    const Point pivot = in.flag() ? Point{-10.0, -18.0} : in.point();
    const double opening = in.flag() ? 125.0 : in.number();
    std::vector<cure::Body> bodies{{{gate::worktop(s).outline(0.01)}, in.flag() ? 2.0 : in.number()}};
    if (in.below(4) == 0) bodies.push_back({{in.outline()}, 1.0});
    const double within = in.flag() ? 0.05 : in.number();
    const cure::Radii r = cure::smallest_radii(s, pivot, opening, bodies, within);
    fuzz::require(r.gaps.size() == (r.fits ? bodies.size() : 0));
    for (const double v : {r.inner, r.outer})
        fuzz::require(r.fits ? v >= 0.0 && v <= s.thickness : std::isnan(v) || v >= 0.0);
}

void gate_stations(fuzz::Bytes& in) {
    const gate::Sizes s = gate_sizes(in);
    station::Differences d;
    const std::array<double station::Differences::*, 7> all{
        &station::Differences::worktop_up,    &station::Differences::nose_out,      &station::Differences::sill_up,
        &station::Differences::head_up,       &station::Differences::lower_edge_up, &station::Differences::thicker,
        &station::Differences::outer_face_out};
    for (std::size_t n = in.below(4); n > 0; --n) d.*all[in.below(all.size())] = in.number();
    gate::require_valid(station::sizes_at(s, d));
}

void flips(fuzz::Bytes& in) {
    flip_panel::Sizes s;
    s.length = 178.0;
    s.depth = 14.0;
    s.skin_thickness = 1.2;
    s.gap = 3.5;
    s.return_depth = 12.0;
    s.pivot_from_edge = 16.0;
    s.pivot_behind_skin = 10.0;
    const std::array<double flip_panel::Sizes::*, 10> all{
        &flip_panel::Sizes::length,    &flip_panel::Sizes::depth,           &flip_panel::Sizes::skin_thickness,
        &flip_panel::Sizes::gap,       &flip_panel::Sizes::corner_radius,   &flip_panel::Sizes::return_depth,
        &flip_panel::Sizes::slope_deg, &flip_panel::Sizes::pivot_from_edge, &flip_panel::Sizes::pivot_behind_skin,
        &flip_panel::Sizes::ear_radius};
    for (std::size_t n = in.below(4); n > 0; --n) s.*all[in.below(all.size())] = in.number();
    const auto way = in.flag() ? flip_panel::Way::up : flip_panel::Way::down;
    (void)flip_panel::hinged_side(s);
    (void)flip_panel::free_side(s);
    (void)flip_panel::metal_at_pin(s, in.number());
    const double opening = in.number();
    const double looks = flip_panel::inner_face_looks(s, way, opening);
    fuzz::require(looks > -180.0 && looks <= 180.0);
    (void)flip_panel::panel(s);
    if (s.corner_radius < 50.0) (void)flip_panel::reach(s, way, opening);
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {gate_parts, gate_stops, gate_stay_pin, gate_radii, gate_stations, flips});
}
