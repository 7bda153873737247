#include <algorithm>
#include <cmath>
#include <foldswing/landing.hpp>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"
#include "half_planes.hpp"

namespace foldswing::hinge {
namespace {

constexpr double kLongest = 1e100;  // mm; products of two lengths stay finite

void require_length(const char* name, double v) {
    detail::require(std::abs(v) <= kLongest, name, v, "finite, at most 1e100");
}
void require_lengths(const char* name_x, const char* name_y, Point p) {
    require_length(name_x, p.x);
    require_length(name_y, p.y);
}

/// A unit vector is left as it is, so that a landing built from its own fields is the same landing.
constexpr double kUnitRel = 4.0 * std::numeric_limits<double>::epsilon();

}  // namespace

const char* word(LandingKind kind) noexcept {
    switch (kind) {
        case LandingKind::at_least:
            return "at_least";
        case LandingKind::at_most:
            return "at_most";
        case LandingKind::on:
            break;
    }
    return "on";
}

Landing::Landing(double turn_deg, Point point, Point normal, double offset, double tolerance, LandingKind kind)
    : turn_deg_(turn_deg), point_(point), normal_(normal), offset_(offset), tolerance_(tolerance), kind_(kind) {
    detail::require_finite("turn_deg", turn_deg);
    require_lengths("point.x", "point.y", point);
    detail::require_finite("normal.x", normal.x);
    detail::require_finite("normal.y", normal.y);
    detail::require_finite("offset", offset);
    detail::require_not_negative("tolerance", tolerance);
    require_length("tolerance", tolerance);
    // Divided by its larger component first: the length of (1e-200, 1e-200) or (1e200, 1e200) squares out of range.
    const double larger = std::max(std::abs(normal.x), std::abs(normal.y));
    detail::require(larger > 0.0, "normal", 0.0, "a vector of non-zero length");
    const double length = std::hypot(normal.x / larger, normal.y / larger);
    if (std::abs(larger * length - 1.0) > kUnitRel) {
        normal_ = {normal.x / larger / length, normal.y / larger / length};
        offset_ = offset / larger / length;
    }
    detail::require(std::abs(offset_) <= kLongest, "offset", offset,
                    "at most 1e100 mm once divided by the length of normal");
}

double Landing::miss(Point pivot) const noexcept {
    // n.q - d + n.(I - R)(P - q), and I - R = (1 - cos) I - sin J.
    const Point lever = pivot - point_;
    return (detail::dot(normal_, point_) - offset_) +
           detail::one_minus_cos_deg(turn_deg_) * detail::dot(normal_, lever) +
           detail::sin_deg(turn_deg_) * detail::cross(normal_, lever);
}

double Landing::breach(double miss) const noexcept {
    switch (kind_) {
        case LandingKind::at_least:
            return std::max(-miss, 0.0);
        case LandingKind::at_most:
            return std::max(miss, 0.0);
        case LandingKind::on:
            break;
    }
    return std::abs(miss);
}

namespace {
void require_direction(const char* name, Point v) {
    if (!std::isfinite(v.x) || !std::isfinite(v.y)) throw InvalidInput(name, std::isfinite(v.x) ? v.y : v.x, "finite");
    detail::require(v.x != 0.0 || v.y != 0.0, name, 0.0, "a vector of non-zero length");
}
/// Largest component in [1, 2), by a power of two: products neither overflow nor vanish, and no digit is lost.
Point scaled(Point v) {
    const int power = -std::ilogb(std::max(std::abs(v.x), std::abs(v.y)));
    return {std::scalbn(v.x, power), std::scalbn(v.y, power)};
}
}  // namespace

double turn_to_face(Point face, Point wanted, Way way) {
    require_direction("face", face);
    require_direction("wanted", wanted);
    const Point a = scaled(face);
    const Point b = scaled(wanted);
    const double turn = std::atan2(detail::cross(a, b), detail::dot(a, b)) / detail::kDegree;
    switch (way) {
        case Way::clockwise:
            return turn > 0.0 ? turn - 360.0 : turn;
        case Way::counter_clockwise:
            return turn < 0.0 ? turn + 360.0 : turn;
        case Way::shorter:
            break;
    }
    return turn == -180.0 ? 180.0 : turn;  // a product of -0 may ask for the other half turn
}

double turn_to_level(Point face, Way way) {
    require_direction("face", face);
    const double there = turn_to_face(face, {1.0, 0.0});
    const double back = turn_to_face(face, {-1.0, 0.0});
    const double turn = std::abs(there) <= std::abs(back) ? there : back;
    switch (way) {
        case Way::clockwise:
            return turn > 0.0 ? turn - 180.0 : turn;
        case Way::counter_clockwise:
            return turn < 0.0 ? turn + 180.0 : turn;
        case Way::shorter:
            break;
    }
    return turn == -90.0 ? 90.0 : turn;
}

Landing lands_at_height(double turn_deg, Point edge, double height, double tolerance, LandingKind kind) {
    detail::require_finite("height", height);
    return {turn_deg, edge, {0.0, 1.0}, height, tolerance, kind};
}

Landing lands_below(double turn_deg, Point edge, Point face_point, Point face_normal, double drop, double tolerance,
                    LandingKind kind) {
    require_lengths("face_point.x", "face_point.y", face_point);
    require_direction("face_normal", face_normal);
    require_length("drop", drop);
    const Point n = Landing(0.0, {}, face_normal, 0.0).normal();
    return {turn_deg, edge, n, detail::dot(n, face_point) - drop, tolerance, kind};
}

Landing lands_flush(Point face_a, Point face_b, Point line_a, Point line_b, Way way, double tolerance,
                    LandingKind kind) {
    require_lengths("face_a.x", "face_a.y", face_a);
    require_lengths("face_b.x", "face_b.y", face_b);
    require_lengths("line_a.x", "line_a.y", line_a);
    require_lengths("line_b.x", "line_b.y", line_b);
    if (face_a == face_b) throw InvalidInput("face", "one point twice", "two points apart");
    if (line_a == line_b) throw InvalidInput("line", "one point twice", "two points apart");
    const double turn = turn_to_face(face_b - face_a, line_b - line_a, way);
    return lands_below(turn, face_a + 0.5 * (face_b - face_a), line_a, detail::square_to(line_b - line_a), 0.0,
                       tolerance, kind);
}

std::pair<Landing, Landing> lands_on_point(double turn_deg, Point point, Point target, double tolerance) {
    require_lengths("target.x", "target.y", target);
    return {{turn_deg, point, {1.0, 0.0}, target.x, tolerance}, {turn_deg, point, {0.0, 1.0}, target.y, tolerance}};
}

}  // namespace foldswing::hinge
