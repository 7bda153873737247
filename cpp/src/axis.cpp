#include <cmath>
#include <foldswing/axis.hpp>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::axis {
namespace {

constexpr double kFarthest = 1e100;   // mm; beyond it squares would overflow
constexpr double kShortest = 1e-100;  // mm; run of the axis: below it a point of it could be beyond all numbers

void require_place(const char* name, double v) {
    detail::require(std::isfinite(v) && std::abs(v) <= kFarthest, name, v, "finite and within 1e100 mm");
}
void require_point(const char* name, Point p) {
    require_place(name, p.x);
    require_place(name, p.y);
}

}  // namespace

void require_valid(const Axis& a) {
    require_point("left", a.left);
    require_point("right", a.right);
    require_place("left_at", a.left_at);
    require_place("right_at", a.right_at);
    detail::require(a.right_at > a.left_at, "right_at", a.right_at, "beyond left_at");
    detail::require(a.right_at - a.left_at >= kShortest, "right_at", a.right_at, "1e-100 mm beyond left_at or more");
}

Point at(const Axis& a, double from_left) {
    require_valid(a);
    require_place("from_left", from_left);
    const double part = (from_left - a.left_at) / (a.right_at - a.left_at);
    return {std::lerp(a.left.x, a.right.x, part), std::lerp(a.left.y, a.right.y, part)};
}

Tilt tilt(const Axis& a) {
    require_valid(a);
    const Point across = a.right - a.left;
    return {detail::atan2_deg(std::hypot(across.x, across.y), a.right_at - a.left_at), across.y, across.x};
}

Turned turned(const Axis& a, Point p, double from_left, double turn_deg) {
    require_point("point", p);
    detail::require_finite("turn_deg", turn_deg);
    const Point c = at(a, from_left);
    const Point across = a.left - a.right;  // u points to the left, toward the viewer
    const double run = a.right_at - a.left_at;
    const double length = std::hypot(across.x, across.y, run);
    const Point u = (1.0 / length) * across;
    const double uz = run / length;
    const Point d = p - c;
    const double along = u.x * d.x + u.y * d.y;
    const auto [sine, cosine] = detail::sin_cos_deg(turn_deg);
    const double versine = detail::one_minus_cos_deg(turn_deg);
    const double toward_viewer = versine * along * uz + sine * (u.x * d.y - u.y * d.x);
    const double short_of_one = (u.x * u.x + u.y * u.y) / (1.0 + uz);
    const Point off = (-sine * short_of_one) * Point{-d.y, d.x} + (versine * along) * u;
    const Point plain = c + Point{cosine * d.x - sine * d.y, sine * d.x + cosine * d.y};
    return {plain + off, -toward_viewer + 0.0, std::hypot(off.x, off.y)};  // + 0: no negative zero
}

}  // namespace foldswing::axis
