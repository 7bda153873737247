#pragma once
// Unions and differences of any rings, sound where sides coincide, as round numbers make them do.
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::detail {

/// The region that the rings wind round at least once in sum (counter-clockwise counts +1, clockwise -1), as outlines
/// that do not overlap. Points may move by about 1e-12 of the size; parts and holes thinner than that are left out.
std::vector<Outline> region(const std::vector<Ring>& rings);

/// The same for counter-clockwise rings, or rings of outlines, in such an order that neighbours overlap: those are
/// united first, so that what is united stays small as long as it can.
std::vector<Outline> region_of_neighbours(std::vector<Ring> rings);

/// Adds every ring of an outline.
inline void add_rings(const Outline& outline, std::vector<Ring>& rings) {
    rings.push_back(outline.corners());
    rings.insert(rings.end(), outline.holes().begin(), outline.holes().end());
}

}  // namespace foldswing::detail
