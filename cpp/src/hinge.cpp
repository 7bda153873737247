#include <algorithm>
#include <cmath>
#include <foldswing/hinge.hpp>
#include <limits>

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

double PivotHinge::bulge(std::span<const Point> corners, double s0, double s1) const {
    double farthest = 0.0;
    for (const Point q : corners) farthest = std::max(farthest, std::hypot(q.x - turn_.pivot.x, q.y - turn_.pivot.y));
    const double turn = (s1 - s0) * (turn_.turn_to_deg - turn_.turn_from_deg) * detail::kDegree;
    return farthest * std::min(0.125 * turn * turn, 2.0);  // error of linear interpolation: max |second derivative| / 8
}

double PivotHinge::turn_at(double s) const {
    detail::require(s >= 0.0 && s <= 1.0, "s", s, "between 0 and 1");
    return std::lerp(turn_.turn_from_deg, turn_.turn_to_deg, s);
}

double PivotHinge::s_at_turn(double turn_deg) const {
    const auto [low, high] = std::minmax(turn_.turn_from_deg, turn_.turn_to_deg);
    if (!(turn_deg >= low && turn_deg <= high))
        throw InvalidInput("turn_deg", turn_deg,
                           "within the travel, " + detail::number_text(low) + " to " + detail::number_text(high));
    return low == high ? 0.0 : (turn_deg - turn_.turn_from_deg) / (turn_.turn_to_deg - turn_.turn_from_deg);
}

const char* word(PoleStatus status) noexcept {
    switch (status) {
        case PoleStatus::point:
            return "point";
        case PoleStatus::infinity:
            return "infinity";
        case PoleStatus::any:
            break;
    }
    return "any";
}

namespace {
// Two decimal headings that mean the same differ by up to half an ulp each once stored; so do coordinates.
constexpr double kStoredRel = 2.0 * std::numeric_limits<double>::epsilon();

bool same_as_stored(double difference, double a, double b) {
    return std::abs(difference) <= kStoredRel * std::max(std::abs(a), std::abs(b));
}
}  // namespace

Pole pole(const Pose& pose_a, const Pose& pose_b) {
    require_valid(pose_a);
    require_valid(pose_b);
    constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
    Pole out;
    out.pivot = out.direction = {kNan, kNan};
    out.turn_deg = pose_b.angle_deg - pose_a.angle_deg;
    const double dx = pose_b.x - pose_a.x;
    const double dy = pose_b.y - pose_a.y;
    if (same_as_stored(std::remainder(out.turn_deg, 360.0), pose_a.angle_deg, pose_b.angle_deg)) {
        if (same_as_stored(dx, pose_a.x, pose_b.x) && same_as_stored(dy, pose_a.y, pose_b.y)) return out;
        const double length = std::hypot(dx, dy);
        out.status = PoleStatus::infinity;
        out.direction = {-dy / length, dx / length};
        return out;
    }
    // cot of the half turn as sin/(1 - cos): exact at quarter turns.
    const double half_cot = 0.5 * detail::sin_deg(out.turn_deg) / detail::one_minus_cos_deg(out.turn_deg);
    out.status = PoleStatus::point;
    // Each coordinate from the pose itself, not from the mean, so that a pole at the pose's own place comes out
    // exactly.
    out.pivot = {pose_a.x + (0.5 * dx - half_cot * dy), pose_a.y + (0.5 * dy + half_cot * dx)};
    return out;
}

}  // namespace foldswing::hinge
