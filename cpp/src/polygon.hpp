#pragma once
// The one door to Boost.Geometry, which compiles for half a minute: declared here, used only in polygon.cpp.
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::detail {

/// Drops closing points, sets the winding, and throws InvalidInput with a sentence where a ring is not a simple polygon.
void normalise_and_check(Ring& corners, std::vector<Ring>& holes);

}  // namespace foldswing::detail
