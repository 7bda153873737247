#include <algorithm>
#include <cmath>
#include <foldswing/hinge.hpp>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::hinge {

PivotHinge::PivotHinge(Point pivot, double turn_from_deg, double turn_to_deg)
    : turn_{pivot, turn_from_deg, turn_to_deg} {
    detail::require_finite("pivot.x", pivot.x);
    detail::require_finite("pivot.y", pivot.y);
    detail::require_finite("turn_from_deg", turn_from_deg);
    detail::require_finite("turn_to_deg", turn_to_deg);
}

void PivotHinge::poses(std::span<const double> s, std::span<Pose> out) const {
    for (std::size_t i = 0; i < s.size(); ++i)
        out[i] = Pose::about(turn_.pivot, std::lerp(turn_.turn_from_deg, turn_.turn_to_deg, s[i]));
}

std::vector<double> PivotHinge::breaks() const { return {}; }

double PivotHinge::stray(std::span<const Point> corners, double s0, double s1) const {
    double farthest = 0.0;
    for (const Point q : corners) farthest = std::max(farthest, std::hypot(q.x - turn_.pivot.x, q.y - turn_.pivot.y));
    const double half_deg = 0.5 * std::abs((s1 - s0) * (turn_.turn_to_deg - turn_.turn_from_deg));
    // The chord of the half turn; from half a turn on, the diameter.
    return half_deg >= 180.0 ? 2.0 * farthest : 2.0 * farthest * detail::sin_deg(0.5 * half_deg);
}

}  // namespace foldswing::hinge
