#pragma once
// Unions and differences of any rings, sound where sides coincide, as round numbers make them do.
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::detail {

/// The region that the rings wind round at least once in sum (counter-clockwise counts +1, clockwise -1), as outlines
/// that do not overlap. Points may move by about 1e-12 of the size; parts and holes thinner than that are left out.
std::vector<Outline> region(const std::vector<Ring>& rings);

}  // namespace foldswing::detail
