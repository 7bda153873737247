#include <algorithm>
#include <cmath>
#include <foldswing/plane.hpp>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "predicates.hpp"
#include "rings.hpp"
#include "segment.hpp"

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

Outline Outline::moved(const Pose& pose) const {
    require_valid(pose);
    Outline out = *this;
    pose.apply(out.corners_, out.corners_);
    for (Ring& hole : out.holes_) pose.apply(hole, hole);
    return out;
}

Outline Outline::mirrored(Point on, Point direction) const {
    const auto reflect = [&](Ring& ring) {
        for (Point& p : ring) p = mirror(p, on, direction);
        std::reverse(ring.begin() + 1, ring.end());
    };
    Outline out = *this;
    reflect(out.corners_);
    for (Ring& hole : out.holes_) reflect(hole);
    return out;
}

double area(const Outline& outline) noexcept {
    double sum = detail::signed_area(outline.corners());
    for (const Ring& hole : outline.holes()) sum += detail::signed_area(hole);
    return sum;
}

Point centroid(const Outline& outline) noexcept {
    // Triangles from one corner, whose place is taken off first: far from the origin no digits are lost.
    const Point origin = outline.corners().front();
    double twice = 0.0;
    Point moment;
    const auto take = [&](const Ring& ring) {
        const Point o = ring.front() - origin;
        for (std::size_t i = 1; i + 1 < ring.size(); ++i) {
            const Point u = ring[i] - origin;
            const Point v = ring[i + 1] - origin;
            const double k = detail::cross(u - o, v - o);
            twice += k;
            moment = moment + k * (o + u + v);
        }
    };
    take(outline.corners());
    for (const Ring& hole : outline.holes()) take(hole);
    if (!(twice > 0.0)) return detail::along({origin, outline.corners()[1]}, 0.5);  // a needle thinner than rounding
    return origin + 1.0 / (3.0 * twice) * moment;
}

Place locate(const Outline& outline, Point p) {
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw InvalidInput("points", detail::point_text(p), "finite");
    const Place place = detail::locate_in_ring(outline.corners(), p);
    if (place != Place::inside) return place;
    for (const Ring& hole : outline.holes()) {
        const Place in_hole = detail::locate_in_ring(hole, p);
        if (in_hole == Place::inside) return Place::outside;
        if (in_hole == Place::on_edge) return Place::on_edge;
    }
    return Place::inside;
}

Point mirror(Point p, Point on, Point direction) {
    for (const auto& [name, q] : {std::pair("points", p), std::pair("point", on)})
        if (!std::isfinite(q.x) || !std::isfinite(q.y)) throw InvalidInput(name, detail::point_text(q), "finite");
    const double length = detail::norm(direction);
    if (!std::isfinite(length) || length == 0.0)
        throw InvalidInput("direction", detail::point_text(direction), "finite and not zero");
    const Point normal = detail::square_to(1.0 / length * direction);
    return p - 2.0 * detail::dot(p - on, normal) * normal;
}

}  // namespace foldswing
