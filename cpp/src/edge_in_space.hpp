#pragma once
// Private: a closed outline of lines and arcs set in space, for transitions.
#include "unroll.hpp"

namespace foldswing::development::detail {

/// A line from `from` to `to` (u from 0 to 1), or an arc centre + cos(u) x + sin(u) y (u from `start` to `end`,
/// degrees).
struct Segment {
    bool arc = false;
    Point3 from;
    Point3 to;
    Point3 centre;
    Point3 x;
    Point3 y;
    double start = 0.0;
    double end = 1.0;

    [[nodiscard]] Point3 at(double u) const;    ///< exactly `from` and `to` at the ends
    [[nodiscard]] Point3 rate(double u) const;  ///< for one unit of u
    [[nodiscard]] Point3 bend(double u) const;  ///< the rate's rate; 0 on a line
    [[nodiscard]] double length() const;
    /// Cut in two at u; the second half first.
    [[nodiscard]] std::pair<Segment, Segment> split(double u) const;
};

struct EdgeInSpace {
    std::vector<Segment> segments;  ///< none: a single point
    Point3 point;                   ///< where there are no segments
    Point3 up;                      ///< square to its plane
};

/// Where the outline's own x and y point to.
struct Seat {
    Point3 origin;
    Point3 x;
    Point3 y;
};
EdgeInSpace set_in_space(const Path& ring, const Seat& seat);

/// Counter-clockwise, closed. Throws naming `name`.
Path counter_clockwise(const Path& ring, const char* name);
bool convex(const Path& ring);
/// Every side moved outward by d, corners mitred. Throws naming `name` where it does not work out.
Path grown(const Path& ring, double d, const char* name);

/// The smallest value of direction . x over the edge.
double lowest(const EdgeInSpace& edge, Point3 direction);

/// The smooth skin between two convex edges whose planes do not cut each other's edge; `top` is begun anew where the
/// skin's seam wants it.
std::vector<Piece> matched(const EdgeInSpace& bottom, EdgeInSpace top, int lines);

}  // namespace foldswing::development::detail
