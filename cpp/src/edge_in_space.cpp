#include "edge_in_space.hpp"

#include <algorithm>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::development::detail {
namespace {

using foldswing::detail::kDegree;
using foldswing::detail::sin_cos_deg;

constexpr double kTurnDeg = 1e-7;  // a corner that turns by less is none: what rounding leaves of a tangent arc

Point direction_at(const Path& ring, std::size_t i, bool at_end) {
    const Point chord = ring.end(i) - ring.start(i);
    const double length = std::hypot(chord.x, chord.y);
    const double half = 0.5 * ring.sweep_deg()[i];
    const auto [s, c] = sin_cos_deg(at_end ? half : -half);
    const Point unit = (1.0 / length) * chord;
    return {c * unit.x - s * unit.y, s * unit.x + c * unit.y};
}

/// Turn at the start of segment i, degrees.
double corner(const Path& ring, std::size_t i) {
    const Point before = direction_at(ring, (i + ring.size() - 1) % ring.size(), true);
    const Point after = direction_at(ring, i, false);
    return std::atan2(before.x * after.y - before.y * after.x, before.x * after.x + before.y * after.y) / kDegree;
}

double turning(const Path& ring) {
    double sum = 0.0;
    for (std::size_t i = 0; i < ring.size(); ++i) sum += ring.sweep_deg()[i] + corner(ring, i);
    return sum;
}

}  // namespace

Point3 Segment::at(double u) const {
    if (u == end) return to;
    if (!arc) return from + u * (to - from);
    if (u == start) return from;
    const auto [s, c] = sin_cos_deg(u);
    return centre + c * x + s * y;
}

Point3 Segment::rate(double u) const {
    if (!arc) return to - from;
    const auto [s, c] = sin_cos_deg(u);
    return kDegree * (c * y - s * x);
}

Point3 Segment::bend(double u) const {
    if (!arc) return {};
    const auto [s, c] = sin_cos_deg(u);
    return -kDegree * kDegree * (c * x + s * y);
}

double Segment::length() const { return arc ? norm(x) * (end - start) * kDegree : norm(to - from); }

std::pair<Segment, Segment> Segment::split(double u) const {
    Segment after = *this;
    Segment before = *this;
    after.from = before.to = at(u);
    if (arc) after.start = before.end = u;
    return {after, before};
}

EdgeInSpace set_in_space(const Path& ring, const Seat& seat) {
    const auto place = [&](Point p) { return seat.origin + p.x * seat.x + p.y * seat.y; };
    EdgeInSpace edge;
    edge.up = cross(seat.x, seat.y);
    for (std::size_t i = 0; i < ring.size(); ++i) {
        Segment s;
        s.from = place(ring.start(i));
        s.to = place(ring.end(i));
        if (ring.sweep_deg()[i] != 0.0) {
            const Point centre = ring.centre(i);
            const Point arm = ring.start(i) - centre;
            s.arc = true;
            s.centre = place(centre);
            s.x = arm.x * seat.x + arm.y * seat.y;
            s.y = -arm.y * seat.x + arm.x * seat.y;
            s.end = ring.sweep_deg()[i];
            if (s.end < 0.0) {  // hollow: turned the other way about its centre
                s.y = -1.0 * s.y;
                s.end = -s.end;
            }
        }
        edge.segments.push_back(s);
    }
    return edge;
}

Path counter_clockwise(const Path& ring, const char* name) {
    if (!ring.closed()) throw InvalidInput(name, "an open path", "closed");
    (void)ring.outline(std::max(1e-3 * ring.length(), 1e-9));  // refuses what crosses itself
    return turning(ring) > 0.0 ? ring : ring.reversed();
}

bool convex(const Path& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i)
        if (ring.sweep_deg()[i] < 0.0 || corner(ring, i) < -kTurnDeg) return false;
    return true;
}

Path grown(const Path& ring, double d, const char* name) {
    if (d == 0.0) return ring;
    const std::string rule =
        "large enough for the thickness of the sheet, its corners sharp only between straight "
        "sides: or give the sizes to the middle of the sheet";
    std::vector<Point> points;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const std::size_t before = (i + ring.size() - 1) % ring.size();
        const Point a = direction_at(ring, before, true);
        const Point b = direction_at(ring, i, false);
        const bool tangent = std::abs(corner(ring, i)) <= kTurnDeg;
        if (!tangent && (ring.sweep_deg()[i] != 0.0 || ring.sweep_deg()[before] != 0.0))
            throw InvalidInput(name, "a corner between an arc and its neighbour", rule);
        const double scale = d / (1.0 + a.x * b.x + a.y * b.y);
        points.push_back(ring.start(i) + scale * Point{a.y + b.y, -a.x - b.x});
    }
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point was = ring.end(i) - ring.start(i);
        const Point is = points[(i + 1) % points.size()] - points[i];
        if (!(was.x * is.x + was.y * is.y > 0.0)) throw InvalidInput(name, "a side of it", rule);
    }
    return {std::move(points), ring.sweep_deg(), true};
}

double lowest(const EdgeInSpace& edge, Point3 direction) {
    if (edge.segments.empty()) return dot(direction, edge.point);
    double least = dot(direction, edge.segments.front().from);
    for (const Segment& s : edge.segments) {
        least = std::min(least, dot(direction, s.to));
        if (!s.arc) continue;
        const double along = dot(direction, s.x);
        const double square = dot(direction, s.y);
        double u = std::atan2(-square, -along) / kDegree;
        while (u < s.start) u += 360.0;
        if (u < s.end) least = std::min(least, dot(direction, s.at(u)));
    }
    return least;
}

}  // namespace foldswing::development::detail
