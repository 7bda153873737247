#include <algorithm>
#include <cmath>
#include <foldswing/adjustment.hpp>

#include "check.hpp"
#include "degrees.hpp"
#include "landing_slopes.hpp"
#include "predicates.hpp"

namespace foldswing::adjustment {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kFarthest = 1e6;  // mm
// Slopes are made of unit vectors: one so short is rounding, and no throw makes up for it.
constexpr double kIdle = 1e-15;

void require_travel(const char* name, double v) {
    detail::require(v >= 0.0 && v <= kFarthest, name, v, "from 0 to 1e6 mm");
}

Point unit(const char* name, Point v) {
    try {
        return hinge::Landing(0.0, {}, v, 0.0).normal();
    } catch (const InvalidInput&) {
        throw InvalidInput(name, "(" + detail::number_text(v.x) + ", " + detail::number_text(v.y) + ")",
                           "a vector of non-zero length");
    }
}

Point slope(const hinge::Landing& landing, fitting::Which which) {
    switch (which) {
        case fitting::Which::body:
            return landing.normal();
        case fitting::Which::panel:
            return -1.0 * detail::turned_back(landing.turn_deg(), landing.normal());
        case fitting::Which::together:
            return detail::through_both(landing.turn_deg(), landing.normal());
        case fitting::Which::none:
        case fitting::Which::both:
            break;
    }
    throw InvalidInput("which", fitting::word(which), "body, panel or together");
}

double zero_to_360(double angle) {
    const double out = std::fmod(angle, 360.0);
    return out < 0.0 ? std::min(out + 360.0, std::nextafter(360.0, 0.0)) : out;
}

}  // namespace

Reach slot(const hinge::Landing& landing, fitting::Which which, Point direction, double forward, double backward) {
    require_travel("forward", forward);
    require_travel("backward", backward);
    const double per_mm = detail::dot(slope(landing, which), unit("direction", direction));
    const auto [least, most] = std::minmax({per_mm * forward, -per_mm * backward});  // copies: references would dangle
    return {per_mm, least, most};
}

Reach eccentric(const hinge::Landing& landing, fitting::Which which, double throw_mm) {
    require_travel("throw_mm", throw_mm);
    const double per_mm = detail::norm(slope(landing, which));
    return {per_mm, -per_mm * throw_mm, per_mm * throw_mm};
}

const char* word(Settings status) noexcept {
    switch (status) {
        case Settings::one:
            return "one";
        case Settings::two:
            return "two";
        case Settings::any:
            return "any";
        case Settings::none:
            break;
    }
    return "none";
}

EccentricSettings eccentric_settings(const hinge::Landing& landing, fitting::Which which, double throw_mm,
                                     double shift) {
    require_travel("throw_mm", throw_mm);
    detail::require_finite("shift", shift);
    const Point a = slope(landing, which);
    const double size = detail::norm(a);
    EccentricSettings out;
    out.angle_deg = {kNaN, kNaN};
    out.per_degree = {kNaN, kNaN};
    const double most = throw_mm * size;
    if (size <= kIdle || throw_mm == 0.0) {
        out.status = shift == 0.0 ? Settings::any : Settings::none;
        return out;
    }
    if (std::abs(shift) > most) return out;
    const double straight = std::atan2(a.y, a.x) / detail::kDegree;
    // acos by atan2: keeps its digits near the ends of the range too.
    const double square = std::sqrt((most - shift) * (most + shift));
    const double aside = std::atan2(square, shift) / detail::kDegree;
    out.status = square == 0.0 ? Settings::one : Settings::two;
    out.angle_deg[0] = zero_to_360(straight + aside);
    out.per_degree[0] = -square * detail::kDegree;
    if (out.status == Settings::one) return out;
    out.angle_deg[1] = zero_to_360(straight - aside);
    out.per_degree[1] = square * detail::kDegree;
    if (out.angle_deg[1] < out.angle_deg[0]) {
        std::swap(out.angle_deg[0], out.angle_deg[1]);
        std::swap(out.per_degree[0], out.per_degree[1]);
    }
    return out;
}

PadShim pad_shim(const hinge::Landing& landing, const fitting::Holes& holes, Point pad, Point normal,
                 double thickness) {
    const auto near = [](const char* name, Point p) {
        for (const double v : {p.x, p.y}) detail::require(std::abs(v) <= kFarthest, name, v, "within 1e6 mm");
    };
    near("holes.panel", holes.panel);
    near("holes.body", holes.body);
    near("pad", pad);
    detail::require(std::abs(thickness) <= kFarthest, "thickness", thickness, "within 1e6 mm");
    const Point m = unit("normal", normal);
    const Point arm = pad - holes.panel;
    const double reach = detail::norm(arm);
    detail::require(reach > 0.0, "pad", 0.0, "a point away from the panel's hole");
    // Height of the pad point over the pivot, along the pad's normal: height, rising by `lever` per radian.
    const Point back = detail::turned_back(landing.turn_deg(), m);
    const double height = detail::dot(back, arm);
    const double lever = detail::cross(arm, back);
    PadShim out;
    const Point landed = detail::turned_back(landing.turn_deg(), landing.normal());
    const Point from_pivot = landing.point() - holes.panel;
    const double edge_per_radian = detail::cross(from_pivot, landed);
    out.per_mm = lever == 0.0 ? kNaN : edge_per_radian / lever;
    const double wanted = height + thickness;
    if (lever == 0.0 || std::abs(wanted) > reach) {
        const bool still = thickness == 0.0;
        out.reached = still;
        out.turn_deg = still ? landing.turn_deg() : kNaN;
        out.shift = still ? 0.0 : kNaN;
        return out;
    }
    // Level with the same side of the pivot: half the turn between has the tangent thickness / (lever + lever after).
    const double after = std::copysign(std::sqrt((reach - wanted) * (reach + wanted)), lever);
    const double half = std::atan(thickness / (lever + after));
    const double by = 2.0 * half / detail::kDegree;
    out.reached = true;
    out.turn_deg = landing.turn_deg() + by;
    // n.(R(by) - I) R q, from the half turn: -2 sin^2 n.Rq + sin n.JRq
    const double s = std::sin(half);
    out.shift = -2.0 * s * s * detail::dot(landed, from_pivot) + 2.0 * s * std::cos(half) * edge_per_radian;
    return out;
}

}  // namespace foldswing::adjustment
