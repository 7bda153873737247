#pragma once
/// \file drafting.hpp  Paths of lines and arcs in the forms that drawing files want. Lengths: mm.
#include <array>
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::drafting {

/// The smallest upright rectangle that holds something.
struct Bounds {
    double left = 0.0;
    double bottom = 0.0;
    double right = 0.0;
    double top = 0.0;
};

/// The rectangle that holds a path, the bulge of its arcs included.
[[nodiscard]] Bounds bounds(const Path& path);

/// The same path with every arc cut into equal pieces that turn by no more than max_sweep_deg; lines stay whole.
/// \throws InvalidInput unless 1 <= max_sweep_deg <= 360
[[nodiscard]] Path split(const Path& path, double max_sweep_deg);

/// Radius of every segment; infinite where it is straight.
[[nodiscard]] std::vector<double> radii(const Path& path);

/// Bulge of every segment, tan(sweep/4): height of the arc over half its chord, + for counter-clockwise, 0 for a line.
[[nodiscard]] std::vector<double> bulges(const Path& path);

/// A cubic Bezier curve: ends and the two control points between them.
using Cubic = std::array<Point, 4>;

/// The path as cubics from end to end. An arc is cut into pieces of at most 30 degrees; each touches the arc at its
/// ends and middle and leaves it by less than 4e-7 of the radius.
[[nodiscard]] std::vector<Cubic> cubics(const Path& path);

/// What of an outline's edges lies in an upright rectangle, edges of holes included: closed where a whole ring does.
/// \throws InvalidInput unless left < right and bottom < top, all finite
[[nodiscard]] std::vector<Path> clipped(const Outline& outline, const Bounds& window);

/// Foot of the perpendicular from a point to the line through a and b.
/// \throws InvalidInput when a and b are the same point or a number is not finite
[[nodiscard]] Point foot(Point p, Point a, Point b);

}  // namespace foldswing::drafting
