#pragma once
// A convex region cut out of a box by half-planes. Private.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>
#include <utility>
#include <vector>

#include "half_planes.hpp"
#include "segment.hpp"

namespace foldswing::hinge::detail_window {

using detail::HalfPlane;

struct Box {
    Point low{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    Point high{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
    void add(Point p) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    }
    void grow(double by) {
        low = low - Point{by, by};
        high = high + Point{by, by};
    }
    [[nodiscard]] double size() const {
        return std::max({std::abs(low.x), std::abs(low.y), std::abs(high.x), std::abs(high.y)});
    }
};

inline Box box_of(std::span<const Outline> outlines) {
    Box box;
    for (const Outline& o : outlines)
        for (const Point p : o.corners()) box.add(p);
    return box;
}

/// A convex ring whose side i, from corner i on, lies on half-plane of[i]; -1: on the box it was cut from.
struct Convex {
    Ring corners;
    std::vector<std::int32_t> of;
};

inline Convex rectangle(const Box& b) {
    return {{b.low, {b.high.x, b.low.y}, b.high, {b.low.x, b.high.y}}, {-1, -1, -1, -1}};
}

inline void clip(Convex& ring, const HalfPlane& h, std::int32_t index) {
    const std::size_t n = ring.corners.size();
    Convex out;
    for (std::size_t i = 0; i < n; ++i) {
        const Point a = ring.corners[i];
        const Point b = ring.corners[(i + 1) % n];
        const double ea = detail::dot(h.u, a) - h.c;
        const double eb = detail::dot(h.u, b) - h.c;
        if (ea <= 0.0) {
            out.corners.push_back(a);
            out.of.push_back(ring.of[i]);
        }
        if ((ea <= 0.0) == (eb <= 0.0)) continue;
        const bool leaves = ea <= 0.0;
        if (leaves && ea == 0.0) {
            out.of.back() = index;  // at the corner itself
            continue;
        }
        if (!leaves && eb == 0.0) continue;
        out.corners.push_back(detail::along({a, b}, ea / (ea - eb)));
        out.of.push_back(leaves ? index : ring.of[i]);
    }
    ring = out.corners.size() < 3 ? Convex{} : std::move(out);
}

/// Corners where two half-planes meet are put where exactly those two lines cross, without what cutting added.
inline void sharpen(Convex& ring, const std::vector<HalfPlane>& planes) {
    const std::size_t n = ring.corners.size();
    for (std::size_t i = 0; i < n; ++i) {
        const std::int32_t before = ring.of[(i + n - 1) % n];
        const std::int32_t after = ring.of[i];
        if (before < 0 || after < 0) continue;
        const HalfPlane& p = planes[static_cast<std::size_t>(before)];
        const HalfPlane& q = planes[static_cast<std::size_t>(after)];
        const double det = detail::cross(p.u, q.u);
        if (std::abs(det) > detail::kParallel)
            ring.corners[i] = {detail::difference_of_products(p.c, q.u.y, q.c, p.u.y) / det,
                               detail::difference_of_products(q.c, p.u.x, p.c, q.u.x) / det};
    }
}

}  // namespace foldswing::hinge::detail_window
