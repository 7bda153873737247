#pragma once
// Distance and overlap of two sets of outlines that stand still: what a gap over a motion is made of.
#include <limits>
#include <optional>
#include <vector>

#include "edge_table.hpp"

namespace foldswing::detail {

/// A corner of one side and an edge of the other.
struct Pair {
    bool panel_corner = true;  // the corner is the panel's, the edge the body's; else the other way round
    std::size_t corner = 0;
    std::size_t edge = 0;
};

struct NearestPair {
    double squared = std::numeric_limits<double>::infinity();
    Pair pair;
};

/// The corner-edge pair with the least distance. Where nothing overlaps this is the distance of the two sets.
/// \param row scratch
NearestPair nearest_pair(const EdgeView& panel, const EdgeView& fixed, std::vector<double>& row);

/// The point of that edge nearest to q.
Point foot_on_edge(const EdgeView& edges, std::size_t edge, Point q) noexcept;

/// Whether q lies inside the part, outside its holes.
bool inside(const EdgeView& edges, Part part, Point q) noexcept;

/// A point that a panel part and a body share, and the body: edges that cross, or one inside the other, holes
/// respected. Outlines that only touch may or may not count: their distance is 0 either way.
struct Overlap {
    Point point;
    std::size_t body = 0;
};
std::optional<Overlap> find_overlap(const EdgeView& panel, std::span<const Part> panel_parts, const EdgeView& fixed,
                                    std::span<const Part> bodies);

/// Greatest signed distance of a corner of one side inside the other: > 0 where a corner is inside by that much; where
/// none is, minus the distance of the nearest.
struct Depth {
    double depth = -std::numeric_limits<double>::infinity();
    Pair pair;  // the edge is the nearest one
};
Depth deepest_corner(const EdgeView& panel, std::span<const Part> panel_parts, const EdgeView& fixed,
                     std::span<const Part> bodies, std::vector<double>& row);

}  // namespace foldswing::detail
