#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/gate.hpp>
#include <limits>

#include "check.hpp"
#include "degrees.hpp"
#include "landing_slopes.hpp"

namespace foldswing::gate {
namespace {

/// The upper edge of the nose, before any rounding: where the worktop is measured from.
Point nose(const Sizes& s) { return {-s.nose_behind_wall, -s.worktop_drop}; }

/// Along the shut face upward, and square to it inward.
struct Axes {
    Point up;
    Point inward;
};
Axes face_axes(const Sizes& s) {
    const auto [sin, cos] = detail::sin_cos_deg(s.lean_deg);
    return {{sin, cos}, {-cos, sin}};
}

void require_point(const char* name, Point p) {
    detail::require_finite(name, p.x);
    detail::require_finite(name, p.y);
}

double dot(Point a, Point b) { return a.x * b.x + a.y * b.y; }

/// Square to the worktop's surface, upward.
Point surface_normal(const Sizes& s) {
    const auto [sin, cos] = detail::sin_cos_deg(s.worktop_fall_deg);
    return {sin, cos};
}

Path rounded(const Ring& ring, const std::array<double, 4>& radii) { return round_corners(Outline(ring), radii); }

}  // namespace

void require_valid(const Sizes& s) {
    using detail::require;
    using detail::require_finite;
    using detail::require_not_negative;
    using detail::require_positive;
    require_positive("thickness", s.thickness);
    require_positive("height", s.height);
    require_not_negative("lower_edge_below_worktop", s.lower_edge_below_worktop);
    require_finite("outer_face_out", s.outer_face_out);
    require(std::abs(s.lean_deg) <= 60.0, "lean_deg", s.lean_deg, "from -60 to 60");
    require_not_negative("lower_inner_radius", s.lower_inner_radius);
    require_not_negative("lower_outer_radius", s.lower_outer_radius);
    require_not_negative("upper_outer_radius", s.upper_outer_radius);
    require_not_negative("upper_inner_radius", s.upper_inner_radius);
    require_not_negative("nose_behind_wall", s.nose_behind_wall);
    require_positive("nose_depth", s.nose_depth);
    require_not_negative("nose_radius", s.nose_radius);
    require_positive("worktop_depth", s.worktop_depth);
    require(std::abs(s.worktop_fall_deg) <= 45.0, "worktop_fall_deg", s.worktop_fall_deg, "from -45 to 45");
    require_finite("worktop_drop", s.worktop_drop);
    require_positive("worktop_above_floor", s.worktop_above_floor);
    require_positive("head_above_worktop", s.head_above_worktop);
    require_not_negative("sill_below_worktop", s.sill_below_worktop);
    require(s.sill_below_worktop < s.worktop_above_floor, "sill_below_worktop", s.sill_below_worktop,
            "less than worktop_above_floor: the sill stands above the floor");
    require_positive("jamb_depth", s.jamb_depth);
}

Corners corners(const Sizes& s) {
    require_valid(s);
    const auto [up, inward] = face_axes(s);
    const Point lower_outer{s.outer_face_out, -s.lower_edge_below_worktop};
    const Point across = s.thickness * inward;
    const Point along = s.height * up;
    return {lower_outer + across, lower_outer, lower_outer + along, lower_outer + along + across};
}

Path panel(const Sizes& s) {
    const Corners c = corners(s);
    return rounded({c.lower_inner, c.lower_outer, c.upper_outer, c.upper_inner},
                   {s.lower_inner_radius, s.lower_outer_radius, s.upper_outer_radius, s.upper_inner_radius});
}

Path worktop(const Sizes& s) {
    require_valid(s);
    const Point n = surface_normal(s);
    const Point upper = nose(s);
    const Point back = upper + s.worktop_depth * Point{-n.y, n.x};
    const Point down{0.0, -s.nose_depth};
    return rounded({upper, back, back + down, upper + down}, {s.nose_radius, 0.0, 0.0, 0.0});
}

Path sill(const Sizes& s) {
    require_valid(s);
    const double top = -s.sill_below_worktop;
    const double floor = -s.worktop_above_floor;
    return rounded({{0.0, top}, {-s.jamb_depth, top}, {-s.jamb_depth, floor}, {0.0, floor}}, {});
}

Path head(const Sizes& s) {
    require_valid(s);
    const double under = s.head_above_worktop;
    const double top = under + s.jamb_depth;
    return rounded({{0.0, under}, {0.0, top}, {-s.jamb_depth, top}, {-s.jamb_depth, under}}, {});
}

double height_below_head(const Sizes& s, double gap) {
    require_valid(s);
    detail::require_not_negative("gap", gap);
    const auto [up, inward] = face_axes(s);
    // Leaning outward, the upper inner corner stands higher than the outer one.
    const double rise = s.head_above_worktop - gap + s.lower_edge_below_worktop - s.thickness * std::max(0.0, inward.y);
    detail::require(rise > 0.0, "gap", gap, "less than the room under the head");
    return rise / up.y;
}

double width_between(double width_top, double width_bottom, double end_gap) {
    detail::require_positive("width_top", width_top);
    detail::require_positive("width_bottom", width_bottom);
    detail::require_not_negative("end_gap", end_gap);
    const double width = std::min(width_top, width_bottom) - 2.0 * end_gap;
    detail::require(width > 0.0, "end_gap", end_gap, "less than half of the opening's width");
    return width;
}

double end_gap(double width_top, double width_bottom, double width) {
    detail::require_positive("width_top", width_top);
    detail::require_positive("width_bottom", width_bottom);
    detail::require_positive("width", width);
    return 0.5 * (std::min(width_top, width_bottom) - width);
}

double opening_to_level(const Sizes& s) {
    require_valid(s);
    return 90.0 - s.lean_deg;
}

double opening_in_line(const Sizes& s) { return opening_to_level(s) + s.worktop_fall_deg; }

hinge::Landing face_landing(const Sizes& s, double opening_deg, double above, double tolerance) {
    const Point n = surface_normal(s);
    return {-opening_deg, corners(s).lower_inner, n, dot(n, nose(s)) + above, tolerance};
}

hinge::Landing nose_gap_landing(const Sizes& s, double opening_deg, double gap, double tolerance) {
    return {-opening_deg, corners(s).lower_inner, {1.0, 0.0}, nose(s).x + gap, tolerance};
}

hinge::Landing edge_landing(const Sizes& s, double opening_deg, double drop, double tolerance) {
    return {-opening_deg, corners(s).upper_inner, {0.0, 1.0}, nose(s).y - drop, tolerance};
}

Place place(const Sizes& s, Point pivot) {
    require_point("pivot", pivot);
    const Corners c = corners(s);
    const auto [up, inward] = face_axes(s);
    const Point from = pivot - c.lower_inner;
    const double depth = dot(from, inward);
    return {-depth, s.thickness + depth, nose(s).y - pivot.y, dot(from, up)};
}

Point pivot_at(const Sizes& s, double from_inner_face, double below_worktop) {
    detail::require_finite("from_inner_face", from_inner_face);
    detail::require_finite("below_worktop", below_worktop);
    const Corners c = corners(s);
    const auto [up, inward] = face_axes(s);
    const double y = nose(s).y - below_worktop;
    const Point on_line = c.lower_inner - from_inner_face * inward;
    return {on_line.x + (y - on_line.y) * (up.x / up.y), y};  // up.y = cos(lean) >= 1/2
}

Marks marks(const Sizes& s, Point pivot) {
    const Place at = place(s, pivot);
    return {at.from_inner_face, at.above_lower_edge, at.below_worktop, -pivot.x};
}

Holes holes(const Sizes& s, const Marks& m) {
    detail::require_finite("gate_from_inner_face", m.gate_from_inner_face);
    detail::require_finite("gate_above_lower_edge", m.gate_above_lower_edge);
    detail::require_finite("jamb_below_worktop", m.jamb_below_worktop);
    detail::require_finite("jamb_inward", m.jamb_inward);
    const Corners c = corners(s);
    const auto [up, inward] = face_axes(s);
    return {c.lower_inner - m.gate_from_inner_face * inward + m.gate_above_lower_edge * up,
            {-m.jamb_inward, nose(s).y - m.jamb_below_worktop}};
}

Pose pose(const Holes& h, double opening_deg) {
    require_point("holes", h.gate);
    require_point("holes", h.jamb);
    detail::require_finite("opening_deg", opening_deg);
    const Point turned = Pose{0.0, 0.0, -opening_deg}.apply(h.gate);
    return {h.jamb.x - turned.x, h.jamb.y - turned.y, -opening_deg};
}

double miss(const hinge::Landing& landing, const Holes& h) { return detail::two_hole_miss(landing, h.gate, h.jamb); }

RoundedMarks round_marks(const Sizes& s, Point pivot, std::span<const hinge::Landing> faces,
                         std::span<const hinge::Landing> others, double step) {
    detail::require(std::isfinite(step) && step >= kFinestStep, "step", step, "finite and >= 0.000001 mm");
    const Marks exact = marks(s, pivot);
    const std::array<double, 4> from{exact.gate_from_inner_face, exact.gate_above_lower_edge, exact.jamb_below_worktop,
                                     exact.jamb_inward};
    constexpr unsigned sets = 1U << from.size();
    std::array<RoundedMarks, sets> all;
    for (unsigned set = 0; set < sets; ++set) {
        std::array<double, 4> to{};
        double moved = 0.0;
        for (std::size_t i = 0; i < from.size(); ++i) {
            const double steps = from[i] / step;
            const double nearest = std::round(steps);
            const bool on_it = std::abs(steps - nearest) * step <= kSameMiss;
            const bool goes_up = ((set >> (from.size() - 1 - i)) & 1U) != 0;
            to[i] = step * (on_it ? nearest : goes_up ? std::ceil(steps) : std::floor(steps));
            moved += std::abs(to[i] - from[i]);
        }
        all[set].marks = {to[0], to[1], to[2], to[3]};
        all[set].rounding = moved;
        const Holes at = holes(s, all[set].marks);
        for (const hinge::Landing& l : faces) all[set].face_step = std::max(all[set].face_step, std::abs(miss(l, at)));
        for (const hinge::Landing& l : others)
            all[set].other_miss = std::max(all[set].other_miss, std::abs(miss(l, at)));
    }
    // One measure after the other: what is not the least by it is out.
    std::array<bool, sets> in{};
    in.fill(true);
    for (double RoundedMarks::*measure :
         {&RoundedMarks::face_step, &RoundedMarks::other_miss, &RoundedMarks::rounding}) {
        double least = std::numeric_limits<double>::infinity();
        for (unsigned set = 0; set < sets; ++set)
            if (in[set]) least = std::min(least, all[set].*measure);
        for (unsigned set = 0; set < sets; ++set) in[set] = in[set] && all[set].*measure <= least + kSameMiss;
    }
    return all[static_cast<std::size_t>(std::find(in.begin(), in.end(), true) - in.begin())];
}

double opening_to_drop(const Sizes& s, const Holes& h, double drop) {
    require_point("pivot", h.gate);
    require_point("pivot", h.jamb);
    detail::require_finite("drop", drop);
    const Point edge = corners(s).upper_inner - h.gate;
    const double sine = (nose(s).y - drop - h.jamb.y) / std::hypot(edge.x, edge.y);
    const double opening = (std::atan2(edge.y, edge.x) - std::asin(sine)) / detail::kDegree;
    // Beyond +-1 asin is NaN: the edge never gets there. A negative opening: it is lower than that already when shut.
    return opening >= 0.0 ? opening : std::numeric_limits<double>::quiet_NaN();
}

Opened opened(const Sizes& s, const Holes& h, double opening_deg) {
    const Corners c = corners(s);
    const Pose at = pose(h, opening_deg);
    const Point from = at.apply(c.lower_inner);
    const Point to = at.apply(c.upper_inner);
    const Point above_nose = from - nose(s);
    return {from,
            to,
            nose(s).y - to.y,
            to.y + s.worktop_above_floor,
            std::abs(to.x - h.jamb.x) * detail::kDegree,
            dot(above_nose, surface_normal(s)),
            above_nose.x};
}

Point stay_pin(const Sizes& s, const Holes& h, double above_pivot, double from_inner_face) {
    require_point("pivot", h.gate);
    detail::require_finite("above_pivot", above_pivot);
    detail::require_finite("from_inner_face", from_inner_face);
    const Corners c = corners(s);
    const auto [up, inward] = face_axes(s);
    return c.lower_inner + (dot(h.gate - c.lower_inner, up) + above_pivot) * up - from_inner_face * inward;
}

Point centre(const Sizes& s) {
    const Corners c = corners(s);
    return 0.25 * (c.lower_inner + c.lower_outer + c.upper_outer + c.upper_inner);
}

}  // namespace foldswing::gate
