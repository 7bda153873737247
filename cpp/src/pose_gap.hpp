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

/// Where a corner may go against the other side: never farther than stray from where it is, and never farther than
/// bulge from the straight line from start to finish.
struct Reach {
    double stray = 0.0;
    Point start;
    Point finish;
    double bulge = std::numeric_limits<double>::infinity();
};
/// Of each corner of either side.
struct Reaches {
    std::vector<Reach> panel;
    std::vector<Reach> fixed;
};

/// The edge that was nearest to each corner when it was last looked for; a hint.
struct NearestEdges {
    std::vector<std::size_t> of_panel;
    std::vector<std::size_t> of_fixed;
};
inline constexpr std::size_t kNoEdge = std::numeric_limits<std::size_t>::max();

/// How deep a corner of one side lies inside the other, and how deep one may come to lie within its reach.
/// Neither is told where it is no more than enough (>= 0): both are then that.
struct Depth {
    double depth = 0.0;
    double bound = 0.0;
    double pairs = 0.0;  // of corners and edges looked at
};
Depth deepest_corner(const EdgeView& panel, std::span<const Part> panel_parts, const EdgeView& fixed,
                     std::span<const Part> bodies, const Reaches& reach, double enough, NearestEdges& nearest,
                     std::vector<double>& row);

}  // namespace foldswing::detail
