#pragma once
// The one door to Boost.Geometry, which compiles for half a minute: used only in polygon.cpp.
//
// It clips and takes hulls. Unions and offsets are our own (region.hpp): as tried with 1.74 and 1.85, Boost's lose or
// invent pieces where sides coincide, which shop parts with whole sizes do all the time.
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::detail {

/// The runs of a line that lie in the window from `low` to `high`, edges included, in order along it; a run that only
/// touches the window in a point is left out.
[[nodiscard]] std::vector<std::vector<Point>> runs_within(const std::vector<Point>& line, Point low, Point high);

/// Corners of the smallest convex outline that holds every point, counter-clockwise.
[[nodiscard]] Ring convex_hull(const std::vector<Point>& points);

}  // namespace foldswing::detail
