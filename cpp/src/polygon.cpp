#include "polygon.hpp"

#include <boost/geometry.hpp>
#include <boost/geometry/geometries/geometries.hpp>
#include <boost/geometry/geometries/point_xy.hpp>

namespace foldswing::detail {
namespace {
namespace bg = boost::geometry;
using BgPoint = bg::model::d2::point_xy<double>;
using BgLine = bg::model::linestring<BgPoint>;

template <class Out>
Out to_boost(const std::vector<Point>& points) {
    Out out;
    for (const Point p : points) out.push_back(BgPoint(p.x, p.y));
    return out;
}

template <class In>
std::vector<Point> from_boost(const In& given) {
    std::vector<Point> out;
    for (const BgPoint& p : given) out.push_back({p.x(), p.y()});
    return out;
}

}  // namespace

std::vector<std::vector<Point>> runs_within(const std::vector<Point>& line, Point low, Point high) {
    bg::model::multi_linestring<BgLine> inside;
    bg::intersection(to_boost<BgLine>(line), bg::model::box<BgPoint>(BgPoint(low.x, low.y), BgPoint(high.x, high.y)),
                     inside);
    std::vector<std::vector<Point>> out;
    for (const BgLine& run : inside)
        if (run.size() > 1) out.push_back(from_boost(run));
    return out;
}

Ring convex_hull(const std::vector<Point>& points) {
    bg::model::ring<BgPoint, false, false> hull;  // counter-clockwise, without a closing point
    bg::convex_hull(to_boost<bg::model::multi_point<BgPoint>>(points), hull);
    return from_boost(hull);
}

}  // namespace foldswing::detail
