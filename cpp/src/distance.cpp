#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/plane.hpp>
#include <limits>
#include <numeric>
#include <optional>
#include <string>
#include <vector>

#include "segment.hpp"

namespace foldswing {
namespace {

using detail::Segment;
using Sides = std::vector<Segment>;

constexpr int kMostHalvings = 47;    // of the length of a side: beyond it rounding decides
constexpr double kTouchRel = 1e-14;  // of the largest coordinate: a depth below it is rounding, the outlines touch

struct Body {
    const Outline& outline;
    Sides sides;
    explicit Body(const Outline& o) : outline(o), sides(detail::sides(o)) {}
};

double largest_coordinate(const Body& body) {
    double most = 0.0;
    for (const Point p : body.outline.corners()) most = std::max({most, std::abs(p.x), std::abs(p.y)});
    return most;
}

/// The deepest point found so far inside a body, by its distance to the body's edge.
struct Deepest {
    double depth = 0.0;
    Point at;
};

/// Looks along a segment for the point deepest inside a body. Each distance to a side of the body is a convex function
/// along the segment, so on a piece the depth is at most min over sides of the larger value at the piece's two ends.
class DepthSearch {
  public:
    DepthSearch(const Body& body, Deepest& best)
        : body_(body), best_(best), tolerance_(std::max(kDepthTolerance, kTouchRel * largest_coordinate(body))) {}

    void along(Segment s) {
        std::vector<double> cuts{0.0, 1.0};
        for (const Segment& t : body_.sides) {
            const detail::Meet how = detail::meet(s, t);
            if (how == detail::Meet::apart) continue;
            if (how == detail::Meet::cross) {
                cuts.push_back(detail::crossing_fraction(s, t));
                continue;
            }
            cuts.push_back(detail::nearest_fraction(s, t.a));  // harmless where t.a is not the point that touches
            cuts.push_back(detail::nearest_fraction(s, t.b));
        }
        std::sort(cuts.begin(), cuts.end());
        for (std::size_t i = 1; i < cuts.size(); ++i) {
            if (!(cuts[i] > cuts[i - 1])) continue;
            if (locate(body_.outline, detail::along(s, std::midpoint(cuts[i - 1], cuts[i]))) != Place::inside) continue;
            const double length = (cuts[i] - cuts[i - 1]) * detail::span(s.a, s.b);
            refine(s, cuts[i - 1], at(s, cuts[i - 1]), cuts[i], at(s, cuts[i]), length);
        }
    }

  private:
    /// Distances to every side at one point; the least of them is the depth there.
    std::vector<double> at(Segment s, double t) {
        const Point p = detail::along(s, t);
        std::vector<double> out(body_.sides.size());
        std::transform(body_.sides.begin(), body_.sides.end(), out.begin(),
                       [p](const Segment& side) { return std::sqrt(detail::distance2(side, p)); });
        const double depth = *std::min_element(out.begin(), out.end());
        if (depth > best_.depth) best_ = {depth, p};
        return out;
    }

    // NOLINTNEXTLINE(misc-no-recursion): each call halves the length, so at most some 80 deep
    void refine(Segment s, double t0, const std::vector<double>& d0, double t1, const std::vector<double>& d1,
                double length) {
        double bound = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < d0.size(); ++i) bound = std::min(bound, std::max(d0[i], d1[i]));
        if (bound <= best_.depth + tolerance_ || length < tolerance_) return;
        const double middle = std::midpoint(t0, t1);
        const std::vector<double> d = at(s, middle);
        refine(s, t0, d0, middle, d, 0.5 * length);
        refine(s, middle, d, t1, d1, 0.5 * length);
    }

    const Body& body_;
    Deepest& best_;
    double tolerance_;
};

/// Both cover the same region: no edge lies inside. Look along lines square across from the middle of each side.
void search_across(const Body& a, const Body& b, Deepest& best) {
    double reach = 0.0;
    for (const Point p : a.outline.corners()) reach = std::max(reach, detail::span(p, a.outline.corners().front()));
    for (const Segment& s : a.sides) {
        const Point middle = detail::along(s, 0.5);
        const Point inwards = 1.0 / detail::span(s.a, s.b) * detail::square_to(s.b - s.a);
        DepthSearch(b, best).along({middle, middle + 2.0 * reach * inwards});
    }
}

/// Whether the regions share more than edge, decided where no edge of either lies inside the other: they do if one
/// point inside `a` is inside `b`.
bool same_region(const Body& a, const Body& b) {
    for (const Segment& s : a.sides) {
        const Point middle = detail::along(s, 0.5);
        const Point inwards = detail::square_to(s.b - s.a);
        for (int halvings = 2; halvings < kMostHalvings; ++halvings) {
            const Point p = middle + std::ldexp(1.0, -halvings) * inwards;
            if (locate(a.outline, p) == Place::inside) return locate(b.outline, p) == Place::inside;
        }
    }
    return false;
}

Point nearest_on_edge(const Sides& sides, Point p) {
    double least = std::numeric_limits<double>::infinity();
    Point out;
    for (const Segment& s : sides)
        if (const double d = detail::distance2(s, p); d < least) {
            least = d;
            out = detail::nearest_on(s, p);
        }
    return out;
}

std::optional<Separation> overlap(const Body& a, const Body& b) {
    Deepest of_a;  // of the edge of a, inside b
    Deepest of_b;
    DepthSearch in_b(b, of_a);
    DepthSearch in_a(a, of_b);
    for (const Segment& s : a.sides) in_b.along(s);
    for (const Segment& s : b.sides) in_a.along(s);
    const double rounding = kTouchRel * std::max(largest_coordinate(a), largest_coordinate(b));
    if (std::max(of_a.depth, of_b.depth) <= rounding) {
        if (!same_region(a, b)) return std::nullopt;
        search_across(a, b, of_a);
    }
    if (of_a.depth >= of_b.depth) return Separation{0.0, of_a.depth, of_a.at, nearest_on_edge(b.sides, of_a.at)};
    return Separation{0.0, of_b.depth, nearest_on_edge(a.sides, of_b.at), of_b.at};
}

struct Box {
    Segment diagonal;
    explicit Box(const Sides& sides) : diagonal(sides.front()) {
        for (const Segment& s : sides)
            for (const Point p : {s.a, s.b}) {
                diagonal.a = {std::min(diagonal.a.x, p.x), std::min(diagonal.a.y, p.y)};
                diagonal.b = {std::max(diagonal.b.x, p.x), std::max(diagonal.b.y, p.y)};
            }
    }
};

/// Nearest points of two edges; distance 0 exactly where they meet.
Separation nearest(const Body& a, const Body& b) {
    Separation best;
    double least2 = std::numeric_limits<double>::infinity();
    const Box box_b(b.sides);
    for (const Segment& s : a.sides) {
        if (detail::box_distance2(s, box_b.diagonal) >= least2) continue;
        for (const Segment& t : b.sides) {
            if (detail::box_distance2(s, t) >= least2) continue;
            const detail::Meet how = detail::meet(s, t);
            if (how == detail::Meet::cross) {
                const Point p = detail::along(s, detail::crossing_fraction(s, t));
                return {0.0, 0.0, p, p};
            }
            const auto take = [&](double d2, Point p, Point q) {
                if (!(d2 < least2)) return;
                least2 = d2;
                best.point_a = p;
                best.point_b = q;
            };
            take(detail::distance2(t, s.a), s.a, detail::nearest_on(t, s.a));
            take(detail::distance2(t, s.b), s.b, detail::nearest_on(t, s.b));
            take(detail::distance2(s, t.a), detail::nearest_on(s, t.a), t.a);
            take(detail::distance2(s, t.b), detail::nearest_on(s, t.b), t.b);
            if (how == detail::Meet::touch) {
                best.distance = 0.0;
                return best;
            }
        }
    }
    best.distance = std::sqrt(least2);
    return best;
}

Separation separate(const Body& a, const Body& b) {
    const Separation gap = nearest(a, b);
    const bool nested = locate(b.outline, a.outline.corners().front()) != Place::outside ||
                        locate(a.outline, b.outline.corners().front()) != Place::outside;
    if (gap.distance == 0.0 || nested)
        if (const auto deep = overlap(a, b)) return *deep;
    return gap;
}

}  // namespace

Separation distance(const Outline& a, const Outline& b) { return separate(Body(a), Body(b)); }

Separation distance(std::span<const Outline> a, std::span<const Outline> b) {
    if (a.empty()) throw InvalidInput("a", "none", "at least one outline");
    if (b.empty()) throw InvalidInput("b", "none", "at least one outline");
    const std::vector<Body> bodies_b(b.begin(), b.end());
    std::optional<Separation> best;
    for (std::size_t i = 0; i < a.size(); ++i) {
        const Body body_a(a[i]);
        for (std::size_t j = 0; j < b.size(); ++j) {
            Separation s = separate(body_a, bodies_b[j]);
            s.index_a = i;
            s.index_b = j;
            const auto worse = [](const Separation& u, const Separation& v) {
                return u.depth > v.depth || (u.depth == v.depth && u.distance < v.distance);
            };
            if (!best || worse(s, *best)) best = s;
        }
    }
    return *best;
}

}  // namespace foldswing
