#include "polygon.hpp"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>

#include "check.hpp"

namespace foldswing::detail {
namespace {
namespace bg = boost::geometry;
using BgPoint = bg::model::d2::point_xy<double>;
using BgPolygon = bg::model::polygon<BgPoint, false, true>;  // counter-clockwise, closed

void drop_closing_point(Ring& ring) {
    if (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
}

template <class BgRing>
void copy_ring(const Ring& ring, BgRing& out) {
    for (const Point p : ring) out.emplace_back(p.x, p.y);
    if (!ring.empty()) out.emplace_back(ring.front().x, ring.front().y);
}

double signed_area(const Ring& ring) {
    double twice = 0.0;
    const Point o = ring.front();
    for (std::size_t i = 1; i + 1 < ring.size(); ++i) {
        const Point a = ring[i] - o;
        const Point b = ring[i + 1] - o;
        twice += a.x * b.y - a.y * b.x;
    }
    return 0.5 * twice;
}

}  // namespace

void normalise_and_check(Ring& corners, std::vector<Ring>& holes) {
    drop_closing_point(corners);
    for (Ring& hole : holes) drop_closing_point(hole);
    if (corners.size() < 3)
        throw InvalidInput("points", std::to_string(corners.size()) + " corners", "at least three corners");
    if (signed_area(corners) < 0.0) std::reverse(corners.begin(), corners.end());
    BgPolygon polygon;
    copy_ring(corners, polygon.outer());
    for (Ring& hole : holes) {
        if (signed_area(hole) > 0.0) std::reverse(hole.begin(), hole.end());
        polygon.inners().emplace_back();
        copy_ring(hole, polygon.inners().back());
    }
    std::string reason;
    if (!bg::is_valid(polygon, reason)) throw InvalidInput("points", reason, "a simple outline");
}

}  // namespace foldswing::detail
