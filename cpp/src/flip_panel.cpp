#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/flip_panel.hpp>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::flip_panel {
namespace {

constexpr double kFlat = 1e-4;  // mm; how far a rounded corner is flattened: far below what a sheet prints

/// Within (-180, 180]; remainder is exact.
double wrapped(double angle_deg) {
    const double angle = std::remainder(angle_deg, 360.0);
    return angle == -180.0 ? 180.0 : angle;
}

}  // namespace

void require_valid(const Sizes& s) {
    using detail::require;
    using detail::require_finite;
    using detail::require_not_negative;
    using detail::require_positive;
    require_positive("length", s.length);
    require_positive("depth", s.depth);
    require_positive("skin_thickness", s.skin_thickness);
    require_not_negative("corner_radius", s.corner_radius);
    require_positive("gap", s.gap);
    require_not_negative("return_depth", s.return_depth);
    require(std::abs(s.slope_deg) <= 90.0, "slope_deg", s.slope_deg, "from -90 to 90");
    require_finite("pivot_from_edge", s.pivot_from_edge);
    require_finite("pivot_behind_skin", s.pivot_behind_skin);
    require_not_negative("ear_radius", s.ear_radius);
    if (s.ear_radius > 0.0)
        require(s.pivot_from_edge >= 0.0 && s.pivot_from_edge <= s.length, "pivot_from_edge", s.pivot_from_edge,
                "within the panel's length, where an ear can stand");
}

Path panel(const Sizes& s) {
    require_valid(s);
    const std::array<double, 4> radii{s.corner_radius, s.corner_radius, 0.0, 0.0};
    Path box = round_corners(Outline({{0.0, 0.0}, {s.length, 0.0}, {s.length, s.depth}, {0.0, s.depth}}), radii);
    if (s.ear_radius == 0.0) return box;
    const std::size_t free_edge = box.size() - 2;  // the one before the last side, which goes back to the outer surface
    return with_ear(box, free_edge, {s.length - s.pivot_from_edge, s.depth - s.pivot_behind_skin, s.ear_radius});
}

Path hinged_side(const Sizes& s) {
    require_valid(s);
    const double edge = -s.gap;
    const double far = edge - s.skin_thickness - s.length;  // farther than the panel can reach
    if (s.return_depth <= s.skin_thickness)
        return {
            {{edge, 0.0}, {edge, s.skin_thickness}, {far, s.skin_thickness}, {far, 0.0}}, {0.0, 0.0, 0.0, 0.0}, true};
    const double back = edge - s.skin_thickness;
    return {{{edge, 0.0},
             {edge, s.return_depth},
             {back, s.return_depth},
             {back, s.skin_thickness},
             {far, s.skin_thickness},
             {far, 0.0}},
            {0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
            true};
}

Path free_side(const Sizes& s) {
    require_valid(s);
    const double edge = s.length + s.gap;
    const double far = edge + s.length;
    return {{{edge, 0.0}, {far, 0.0}, {far, s.skin_thickness}, {edge, s.skin_thickness}}, {0.0, 0.0, 0.0, 0.0}, true};
}

Point pivot(const Sizes& s) {
    require_valid(s);
    return {s.pivot_from_edge, s.pivot_behind_skin};
}

double opening_to_upright(const Sizes& s, Way way) {
    require_valid(s);
    return way == Way::down ? 90.0 + s.slope_deg : 90.0 - s.slope_deg;
}

double inner_face_looks(const Sizes& s, Way way, double opening_deg) {
    require_valid(s);
    detail::require_finite("opening_deg", opening_deg);
    return wrapped(s.slope_deg + 90.0 + static_cast<double>(way) * opening_deg);
}

double outer_face_looks(const Sizes& s, Way way, double opening_deg) {
    return wrapped(inner_face_looks(s, way, opening_deg) + 180.0);
}

Reach reach(const Sizes& s, Way way, double opening_deg) {
    detail::require_finite("opening_deg", opening_deg);
    detail::require_not_negative("opening_deg", opening_deg);
    const Point p = pivot(s);
    Reach out{s.depth, 0.0, 0.0};
    for (const Point q : panel(s).flatten(kFlat)) {
        // The corner's height is p.y + r sin(from + way t): its ends, and the tops and bottoms passed on the way.
        const double r = std::hypot(q.x - p.x, q.y - p.y);
        const double from = std::atan2(q.y - p.y, q.x - p.x) / detail::kDegree * static_cast<double>(way);
        const double end = Pose::about(p, static_cast<double>(way) * opening_deg).apply(q).y;
        double high = std::max(q.y, end);
        double low = std::min(q.y, end);
        const auto passes = [&](double angle) {
            return std::ceil((from - angle) / 360.0) * 360.0 + angle <= from + opening_deg;
        };
        if (passes(way == Way::up ? 90.0 : -90.0)) high = p.y + r;
        if (passes(way == Way::up ? -90.0 : 90.0)) low = p.y - r;
        out.behind = std::max(out.behind, high);
        out.out = std::max(out.out, -low);
        out.stands_out = std::max(out.stands_out, -end);
    }
    return out;
}

double metal_at_pin(const Sizes& s, double pin_diameter) {
    require_valid(s);
    detail::require_positive("pin_diameter", pin_diameter);
    const double to_free_edge = s.depth - s.pivot_behind_skin;
    const double nearest = std::min({s.pivot_from_edge, s.length - s.pivot_from_edge, s.pivot_behind_skin,
                                     s.ear_radius > 0.0 ? std::max(to_free_edge, s.ear_radius) : to_free_edge});
    return nearest - 0.5 * pin_diameter;
}

}  // namespace foldswing::flip_panel
