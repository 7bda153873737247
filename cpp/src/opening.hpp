#pragma once
// What both halves of the opening topic ask of a shape.
#include <foldswing/opening.hpp>

namespace foldswing::opening {

/// Counter-clockwise, no straight or reflex corner (exact), no side too short to have a direction.
[[nodiscard]] bool is_convex(const Corners& corners);
/// \throws InvalidInput naming what is wrong
void require_opening(const Corners& corners);

}  // namespace foldswing::opening
