#pragma once
// A landing where panel and body have a hole each, and how it moves with them. Private.
#include <foldswing/landing.hpp>

#include "degrees.hpp"
#include "predicates.hpp"

namespace foldswing::detail {

/// R' n: a fixed direction as the turned panel has it. A landing moves by -(R' n) for the panel's hole.
inline Point turned_back(double turn_deg, Point n) noexcept {
    const auto [sin, cos] = sin_cos_deg(turn_deg);
    return {cos * n.x + sin * n.y, -sin * n.x + cos * n.y};
}
/// (I - R)' n, from half angles: how a landing moves with one hole through both.
inline Point through_both(double turn_deg, Point n) noexcept {
    const double c = one_minus_cos_deg(turn_deg);
    const double s = sin_deg(turn_deg);
    return {c * n.x - s * n.y, s * n.x + c * n.y};
}

/// Signed distance of the landed point beyond the line, from its definition: n.(body + R(q - panel)) - d.
inline double two_hole_miss(const hinge::Landing& landing, Point panel, Point body) noexcept {
    const auto [sin, cos] = sin_cos_deg(landing.turn_deg());
    const Point arm = landing.point() - panel;
    return dot(landing.normal(), body + Point{cos * arm.x - sin * arm.y, sin * arm.x + cos * arm.y}) - landing.offset();
}

}  // namespace foldswing::detail
