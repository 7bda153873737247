#include <foldswing/plane.hpp>

#include "check.hpp"
#include "degrees.hpp"
#include "polygon.hpp"

namespace foldswing {

Point Pose::apply(Point p) const noexcept {
    const auto [s, c] = detail::sin_cos_deg(angle_deg);
    return {c * p.x - s * p.y + x, s * p.x + c * p.y + y};
}

void Pose::apply(std::span<const Point> points, std::span<Point> out) const {
    const auto [s, c] = detail::sin_cos_deg(angle_deg);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const Point p = points[i];
        out[i] = {c * p.x - s * p.y + x, s * p.x + c * p.y + y};
    }
}

Pose Pose::compose(const Pose& other) const noexcept {
    const Point t = apply(Point{other.x, other.y});
    return {t.x, t.y, angle_deg + other.angle_deg};
}

Pose Pose::inverse() const noexcept {
    const Point t = Pose{0.0, 0.0, -angle_deg}.apply(Point{-x, -y});
    return {t.x, t.y, -angle_deg};
}

Pose Pose::about(Point pivot, double turn_deg) noexcept {
    // (I - R) P = (1 - cos) P - sin J P, without a difference of nearly equal numbers at small turns.
    const double s = detail::sin_deg(turn_deg);
    const double v = detail::one_minus_cos_deg(turn_deg);
    return {v * pivot.x + s * pivot.y, v * pivot.y - s * pivot.x, turn_deg};
}

void require_valid(const Pose& pose) {
    detail::require_finite("x", pose.x);
    detail::require_finite("y", pose.y);
    detail::require_finite("angle_deg", pose.angle_deg);
}

Outline::Outline(Ring corners, std::vector<Ring> holes) : corners_(std::move(corners)), holes_(std::move(holes)) {
    detail::normalise_and_check(corners_, holes_);
}

}  // namespace foldswing
