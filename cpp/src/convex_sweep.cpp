#include "convex_sweep.hpp"

namespace foldswing::detail {
namespace {

bool holds(std::span<const Point> ring, Point p) noexcept {
    bool in = false;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const Point a = ring[i];
        const Point b = ring[j];
        if ((a.y > p.y) == (b.y > p.y)) continue;
        const bool upward = b.y > a.y;
        if ((orientation(a, b, p) > 0) == upward) in = !in;
    }
    return in;
}

}  // namespace

Convex convex(std::vector<Point> corners) {
    Convex out;
    Point low = corners.front();
    Point high = low;
    for (const Point p : corners) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    }
    out.centre = 0.5 * (low + high);
    for (const Point p : corners) out.radius = std::max(out.radius, span(p, out.centre));
    out.corners = std::move(corners);
    return out;
}

Convex shifted_hull(const Convex& piece, Point from, Point to) {
    std::vector<Point> all;
    for (const Point p : piece.corners) {
        all.push_back(p + from);
        all.push_back(p + to);
    }
    std::sort(all.begin(), all.end());
    std::vector<Point> hull;
    const auto half = [&](auto begin, auto end) {
        const std::size_t base = hull.size();
        for (auto it = begin; it != end; ++it) {
            while (hull.size() >= base + 2 && orientation(hull[hull.size() - 2], hull.back(), *it) <= 0)
                hull.pop_back();
            hull.push_back(*it);
        }
        hull.pop_back();
    };
    half(all.begin(), all.end());
    half(all.rbegin(), all.rend());
    return convex(std::move(hull));
}

Obstacle obstacle(Ring ring) {
    Obstacle out;
    out.low = out.high = ring.front();
    for (const Point p : ring) {
        out.low = {std::min(out.low.x, p.x), std::min(out.low.y, p.y)};
        out.high = {std::max(out.high.x, p.x), std::max(out.high.y, p.y)};
    }
    out.ring = std::move(ring);
    return out;
}

Lie lie(std::span<const Point> a, std::span<const Point> b, double need) {
    const double need2 = need * need;
    bool near = false;
    Point i0 = a.back();
    for (const Point i1 : a) {
        const Segment s{i0, i1};
        i0 = i1;
        Point j0 = b.back();
        for (const Point j1 : b) {
            const Segment t{j0, j1};
            j0 = j1;
            if (box_distance2(s, t) > need2) continue;
            if (meet(s, t) == Meet::cross) return Lie::overlap;
            near = near || distance2(s, t.a) <= need2 || distance2(s, t.b) <= need2 || distance2(t, s.a) <= need2 ||
                   distance2(t, s.b) <= need2;
        }
    }
    if (holds(b, a.front()) || holds(a, b.front())) return Lie::overlap;
    return near ? Lie::near : Lie::apart;
}

Lie lie(const Convex& a, const Obstacle& b, double need) {
    const double dx = std::max({0.0, b.low.x - a.centre.x, a.centre.x - b.high.x});
    const double dy = std::max({0.0, b.low.y - a.centre.y, a.centre.y - b.high.y});
    const double reach = a.radius + need;
    if (dx * dx + dy * dy > reach * reach) return Lie::apart;
    return lie(std::span<const Point>(a.corners), std::span<const Point>(b.ring), need);
}

std::pair<Convex, Convex> halved(const Convex& piece) {
    // The longer way: from the middle to the farthest corner's side, along the longest edge.
    Point along{1.0, 0.0};
    double longest = 0.0;
    Point from = piece.corners.back();
    for (const Point to : piece.corners) {
        if (const double l = span(from, to); l > longest) {
            longest = l;
            along = (1.0 / l) * (to - from);
        }
        from = to;
    }
    double least = 0.0;
    double most = 0.0;
    for (const Point p : piece.corners) {
        const double t = dot(p - piece.centre, along);
        least = std::min(least, t);
        most = std::max(most, t);
    }
    const double cut = 0.5 * (least + most);
    std::vector<Point> before;
    std::vector<Point> after;
    from = piece.corners.back();
    double from_t = dot(from - piece.centre, along) - cut;
    for (const Point to : piece.corners) {
        const double t = dot(to - piece.centre, along) - cut;
        if ((t < 0.0) != (from_t < 0.0)) {
            const Point on = from + (from_t / (from_t - t)) * (to - from);
            before.push_back(on);
            after.push_back(on);
        }
        (t < 0.0 ? before : after).push_back(to);
        from = to;
        from_t = t;
    }
    return {convex(std::move(before)), convex(std::move(after))};
}

}  // namespace foldswing::detail
