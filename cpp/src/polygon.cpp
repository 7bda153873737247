#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/multi_polygon.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <cmath>
#include <foldswing/plane.hpp>
#include <string>
#include <utility>
#include <vector>

#include "check.hpp"
#include "degrees.hpp"
#include "rings.hpp"
#include "segment.hpp"

// The one file that knows Boost.Geometry, which compiles for half a minute.
namespace foldswing {
namespace {
namespace bg = boost::geometry;
using BgPoint = bg::model::d2::point_xy<double>;
using BgPolygon = bg::model::polygon<BgPoint, false, true>;  // counter-clockwise, closed
using BgPolygons = bg::model::multi_polygon<BgPolygon>;

constexpr double kFinestSagittaRel = 1e-6;  // of the distance: about 2200 corners a turn
constexpr double kStraightRel = 1e-13;      // of the size: a corner nearer to its neighbours' line is rounding

template <class BgRing>
void copy_ring(const Ring& ring, BgRing& out) {
    for (const Point p : ring) out.emplace_back(p.x, p.y);
    out.emplace_back(ring.front().x, ring.front().y);
}

BgPolygon to_boost(const Outline& outline) {
    BgPolygon out;
    copy_ring(outline.corners(), out.outer());
    for (const Ring& hole : outline.holes()) {
        out.inners().emplace_back();
        copy_ring(hole, out.inners().back());
    }
    return out;
}

/// Without repeated corners, corners on the line of their neighbours, and needles that double back.
Ring from_boost(const BgPolygon::ring_type& given, double size) {
    Ring ring;
    for (const BgPoint& p : given) ring.push_back({p.x(), p.y()});
    const double least = kStraightRel * size;
    for (bool again = true; again && ring.size() > 2;) {
        again = false;
        for (std::size_t i = 0; i < ring.size() && ring.size() > 2;) {
            const Point before = ring[i == 0 ? ring.size() - 1 : i - 1];
            const Point after = ring[i + 1 == ring.size() ? 0 : i + 1];
            const double base = detail::span(before, after);
            const bool needless = detail::span(before, ring[i]) <= least || base <= least ||
                                  std::abs(detail::cross(after - before, ring[i] - before)) <= least * base;
            if (needless) {
                ring.erase(ring.begin() + static_cast<std::ptrdiff_t>(i));
                again = true;
            } else {
                ++i;
            }
        }
    }
    if (ring.size() < 3 || std::abs(detail::signed_area(ring)) <= least * size) ring.clear();
    return ring;
}

double size_of(const BgPolygons& polygons) {
    double most = 0.0;
    for (const BgPolygon& polygon : polygons)
        for (const BgPoint& p : polygon.outer()) most = std::max({most, std::abs(p.x()), std::abs(p.y())});
    return most;
}

std::vector<Outline> outlines(const BgPolygons& polygons) {
    const double size = size_of(polygons);
    std::vector<Outline> out;
    for (const BgPolygon& polygon : polygons) {
        Ring corners = from_boost(polygon.outer(), size);
        if (corners.empty()) continue;
        std::vector<Ring> holes;
        for (const auto& inner : polygon.inners())
            if (Ring hole = from_boost(inner, size); !hole.empty()) holes.push_back(std::move(hole));
        out.emplace_back(std::move(corners), std::move(holes));
    }
    return out;
}

/// The turn from one offset side to the next about a corner, as the joins below need it.
struct Turn {
    Point corner;
    Point from;  // from the corner to the end of one offset side
    double angle_deg;
    Turn(const BgPoint& vertex, const BgPoint& perp1, const BgPoint& perp2)
        : corner{vertex.x(), vertex.y()}, from{perp1.x() - vertex.x(), perp1.y() - vertex.y()} {
        const Point to{perp2.x() - vertex.x(), perp2.y() - vertex.y()};
        angle_deg = std::atan2(detail::cross(from, to), detail::dot(from, to)) / detail::kDegree;
    }
    /// At an angle on from the first side, k times as far from the corner.
    [[nodiscard]] BgPoint at(double on_deg, double k) const {
        const auto [s, c] = detail::sin_cos_deg(on_deg);
        return {corner.x + k * (c * from.x - s * from.y), corner.y + k * (s * from.x + c * from.y)};
    }
};

/// One class for both kinds of corner: each instance of the buffer costs as much to compile as all else.
struct Join {
    Corners corners;
    double step_deg;  // of a rounded corner, at most
    double limit;     // of a mitre, in distances

    template <class RangeOut>
    bool apply(const BgPoint&, const BgPoint& vertex, const BgPoint& perp1, const BgPoint& perp2, double,
               RangeOut& out) const {
        const Turn turn(vertex, perp1, perp2);
        if (turn.angle_deg == 0.0) return false;
        out.push_back(perp1);
        if (corners == Corners::round)
            round(turn, out);
        else
            mitre(turn, out);
        out.push_back(perp2);
        return true;
    }
    [[nodiscard]] double max_distance(double distance) const {
        return distance * (corners == Corners::round ? 1.0 / detail::cos_deg(0.5 * step_deg) : std::max(limit, 2.0));
    }

  private:
    /// Sides that touch the arc from outside, so that nothing is nearer than the distance.
    template <class RangeOut>
    void round(const Turn& turn, RangeOut& out) const {
        const double n = std::ceil(std::abs(turn.angle_deg) / step_deg);
        const double step = turn.angle_deg / n;
        for (double i = 0.5; i < n; i += 1.0) out.push_back(turn.at(i * step, 1.0 / detail::cos_deg(0.5 * step)));
    }
    /// Both sides run on to where they meet; past the limit a straight cut square to the middle.
    template <class RangeOut>
    void mitre(const Turn& turn, RangeOut& out) const {
        const double half = 0.5 * turn.angle_deg;
        const double reach = 1.0 / detail::cos_deg(half);
        if (std::abs(turn.angle_deg) < 180.0 && reach <= limit) {
            out.push_back(turn.at(half, reach));
            return;
        }
        // Along the first side by w from perp1: the cut passes the middle at `limit` distances from the corner.
        const double w = (limit - detail::cos_deg(half)) / std::abs(detail::sin_deg(half));
        const double angle = std::copysign(std::atan(w) / detail::kDegree, half);
        out.push_back(turn.at(angle, std::hypot(1.0, w)));
        out.push_back(turn.at(turn.angle_deg - angle, std::hypot(1.0, w)));
    }
};

}  // namespace

std::vector<Outline> offset(const Outline& outline, double distance, const OffsetOptions& options) {
    detail::require_finite("distance", distance);
    detail::require_positive("sagitta", options.sagitta);
    const double reach = std::abs(distance);
    detail::require(options.sagitta >= kFinestSagittaRel * reach, "sagitta", options.sagitta,
                    "at least a millionth of the distance");
    detail::require(std::isfinite(options.mitre_limit) && options.mitre_limit >= 1.0, "mitre_limit",
                    options.mitre_limit, "finite and >= 1");
    if (distance == 0.0) return {outline};
    // A side that touches the arc over an angle h stands r / cos(h/2) - r off it.
    constexpr double kWidestStep = 45.0;  // degrees
    const double step = 2.0 * std::acos(reach / (reach + options.sagitta)) / detail::kDegree;
    const Join join{options.corners, std::min(step, kWidestStep), options.mitre_limit};
    BgPolygons out;
    bg::buffer(to_boost(outline), out, bg::strategy::buffer::distance_symmetric<double>(distance),
               bg::strategy::buffer::side_straight(), join, bg::strategy::buffer::end_flat(),
               bg::strategy::buffer::point_circle());
    return outlines(out);
}

std::vector<Outline> unite(std::span<const Outline> given) {
    // In pairs, pairs of pairs, ...: each stays small as long as it can.
    std::vector<BgPolygons> level;
    for (const Outline& o : given) level.push_back({to_boost(o)});
    while (level.size() > 1) {
        std::vector<BgPolygons> up;
        for (std::size_t i = 0; i + 1 < level.size(); i += 2) {
            up.emplace_back();
            bg::union_(level[i], level[i + 1], up.back());
        }
        if (level.size() % 2 == 1) up.push_back(std::move(level.back()));
        level = std::move(up);
    }
    return level.empty() ? std::vector<Outline>{} : outlines(level.front());
}

}  // namespace foldswing
