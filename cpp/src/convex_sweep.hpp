#pragma once
// Small convex pieces of metal against outlines: how they lie, and whether they meet during a motion.
#include <algorithm>
#include <cmath>
#include <foldswing/plane.hpp>
#include <span>
#include <vector>

#include "segment.hpp"

namespace foldswing::detail {

/// A convex piece, in a disc.
struct Convex {
    std::vector<Point> corners;
    Point centre;
    double radius = 0.0;
};
Convex convex(std::vector<Point> corners);
/// The piece over all places of a straight shift.
Convex shifted_hull(const Convex& piece, Point from, Point to);

/// A ring with the box that holds it.
struct Obstacle {
    Ring ring;
    Point low;
    Point high;
};
Obstacle obstacle(Ring ring);

enum class Lie : unsigned char { apart, near, overlap };
/// overlap; near: no farther apart than need; apart. Exact signs, distances to rounding.
Lie lie(std::span<const Point> a, std::span<const Point> b, double need);
/// The same, quickly where disc and box already tell.
Lie lie(const Convex& a, const Obstacle& b, double need);

/// A piece carried by a pose that turns steadily: p -> R(s turn) p + origin(s), s in [0, 1]; the origin moves no faster
/// than `pace` mm for the whole of s.
template <class Origin>
struct Carry {
    double turn = 0.0;  // radians
    double pace = 0.0;
    Origin origin;
    void apply(const Convex& piece, double s, Convex& out) const {
        const double a = s * turn;
        const double sin = std::sin(a);
        const double cos = std::cos(a);
        const Point o = origin(s);
        const auto carried = [&](Point p) { return Point{cos * p.x - sin * p.y + o.x, sin * p.x + cos * p.y + o.y}; };
        out.corners.resize(piece.corners.size());
        std::transform(piece.corners.begin(), piece.corners.end(), out.corners.begin(), carried);
        out.centre = carried(piece.centre);
        out.radius = piece.radius;
    }
};
template <class Origin>
Carry(double, double, Origin) -> Carry<Origin>;

/// The part of a convex piece on either side of the line square across its longer way through the middle of its disc.
std::pair<Convex, Convex> halved(const Convex& piece);

/// Where a piece first comes nearer than `finest` to the obstacle, as far as the subdivision tells; NaN where it never
/// does: that is certain. A piece much longer than it is near the centre of the turn is halved before the turn is.
template <class Origin>
// NOLINTNEXTLINE(misc-no-recursion): subdivision; every call halves the piece or the turn, down to `finest`
double meets(const Convex& piece, const Obstacle& other, const Carry<Origin>& carry, double s0, double s1,
             double finest, Convex& scratch) {
    const double mid = 0.5 * (s0 + s1);
    carry.apply(piece, mid, scratch);
    const double far = norm(piece.centre) + piece.radius;
    const double stray = (far * std::fabs(carry.turn) + carry.pace) * 0.5 * (s1 - s0);
    const Lie how = lie(scratch, other, stray + finest);
    if (how == Lie::apart) return std::nan("");
    if (how == Lie::overlap || stray <= 0.5 * finest) return mid;
    const double near = norm(piece.centre) - piece.radius;
    if (carry.turn != 0.0 && near < 0.25 * far && far * std::fabs(carry.turn) > carry.pace) {
        const auto [a, b] = halved(piece);
        const double first = meets(a, other, carry, s0, s1, finest, scratch);
        return std::isnan(first) ? meets(b, other, carry, s0, s1, finest, scratch) : first;
    }
    const double first = meets(piece, other, carry, s0, mid, finest, scratch);
    return std::isnan(first) ? meets(piece, other, carry, mid, s1, finest, scratch) : first;
}

}  // namespace foldswing::detail
