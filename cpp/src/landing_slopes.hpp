#pragma once
// How a landing moves with the holes. Private.
#include <foldswing/plane.hpp>

#include "degrees.hpp"

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

}  // namespace foldswing::detail
