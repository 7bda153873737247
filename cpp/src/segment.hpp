#pragma once
// Straight segments: what meets what, and what is nearest to what.
#include <algorithm>
#include <foldswing/plane.hpp>

#include "predicates.hpp"

namespace foldswing::detail {

struct Segment {
    Point a;
    Point b;
};

/// Calls f(a, b) for each side of each ring, the outer ring first.
template <class F>
void for_each_side(const Ring& ring, F f) {
    for (std::size_t i = 0; i < ring.size(); ++i) f(ring[i], ring[i + 1 == ring.size() ? 0 : i + 1]);
}
template <class F>
void for_each_side(const Outline& outline, F f) {
    for_each_side(outline.corners(), f);
    for (const Ring& hole : outline.holes()) for_each_side(hole, f);
}
inline std::vector<Segment> sides(const Outline& outline) {
    std::vector<Segment> out;
    for_each_side(outline, [&](Point a, Point b) { out.push_back({a, b}); });
    return out;
}

/// p lies in the box of a and b; for a p on their line: it lies on the segment.
inline bool in_box(Point a, Point b, Point p) noexcept {
    return std::min(a.x, b.x) <= p.x && p.x <= std::max(a.x, b.x) && std::min(a.y, b.y) <= p.y &&
           p.y <= std::max(a.y, b.y);
}
inline bool boxes_meet(Segment s, Segment t) noexcept {
    return std::min(s.a.x, s.b.x) <= std::max(t.a.x, t.b.x) && std::min(t.a.x, t.b.x) <= std::max(s.a.x, s.b.x) &&
           std::min(s.a.y, s.b.y) <= std::max(t.a.y, t.b.y) && std::min(t.a.y, t.b.y) <= std::max(s.a.y, s.b.y);
}
/// A floor on the distance of two segments, squared.
inline double box_distance2(Segment s, Segment t) noexcept {
    const double dx = std::max(
        {0.0, std::min(s.a.x, s.b.x) - std::max(t.a.x, t.b.x), std::min(t.a.x, t.b.x) - std::max(s.a.x, s.b.x)});
    const double dy = std::max(
        {0.0, std::min(s.a.y, s.b.y) - std::max(t.a.y, t.b.y), std::min(t.a.y, t.b.y) - std::max(s.a.y, s.b.y)});
    return dx * dx + dy * dy;
}

/// How two segments meet; exact.
enum class Meet : unsigned char { apart, touch, cross };
inline Meet meet(Segment s, Segment t) noexcept {
    if (!boxes_meet(s, t)) return Meet::apart;
    const int ta = orientation(s.a, s.b, t.a);
    const int tb = orientation(s.a, s.b, t.b);
    if (ta * tb > 0) return Meet::apart;
    const int sa = orientation(t.a, t.b, s.a);
    const int sb = orientation(t.a, t.b, s.b);
    if (sa * sb > 0) return Meet::apart;
    if (ta * tb < 0 && sa * sb < 0) return Meet::cross;
    const bool touch = (ta == 0 && in_box(s.a, s.b, t.a)) || (tb == 0 && in_box(s.a, s.b, t.b)) ||
                       (sa == 0 && in_box(t.a, t.b, s.a)) || (sb == 0 && in_box(t.a, t.b, s.b));
    return touch ? Meet::touch : Meet::apart;
}

/// Where two crossing segments cross, as a fraction of the first.
inline double crossing_fraction(Segment s, Segment t) noexcept {
    const double d = cross(s.b - s.a, t.b - t.a);
    return d == 0.0 ? 0.5 : std::clamp(cross(t.a - s.a, t.b - t.a) / d, 0.0, 1.0);
}

/// The point at fraction t, measured from the nearer end so that both ends come out exactly.
inline Point along(Segment s, double t) noexcept {
    return t <= 0.5 ? s.a + t * (s.b - s.a) : s.b - (1.0 - t) * (s.b - s.a);
}
inline double nearest_fraction(Segment s, Point p) noexcept {
    const Point u = s.b - s.a;
    const double from_a = u.x * (p.x - s.a.x) + u.y * (p.y - s.a.y);
    if (!(from_a > 0.0)) return 0.0;
    const double from_b = u.x * (s.b.x - p.x) + u.y * (s.b.y - p.y);
    if (!(from_b > 0.0)) return 1.0;
    return from_a / (from_a + from_b);
}
inline Point nearest_on(Segment s, Point p) noexcept { return along(s, nearest_fraction(s, p)); }

/// Square of the distance; from the line itself where the foot is inside, so that small distances keep their digits.
inline double distance2(Segment s, Point p) noexcept {
    const Point u = s.b - s.a;
    const Point w = p - s.a;
    const Point v = p - s.b;
    if (!(u.x * w.x + u.y * w.y > 0.0)) return w.x * w.x + w.y * w.y;
    if (!(u.x * v.x + u.y * v.y < 0.0)) return v.x * v.x + v.y * v.y;
    const double c = cross(u, w);
    return c * c / (u.x * u.x + u.y * u.y);
}

}  // namespace foldswing::detail
