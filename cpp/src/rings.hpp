#pragma once
// What makes rings of corners an outline, and sums over a ring.
#include <foldswing/plane.hpp>
#include <string>
#include <vector>

namespace foldswing::detail {

inline constexpr double kLargest = 1e12;  ///< mm; a million km, and products of three coordinates far from overflow

/// Drops closing points, sets the winding (corner 0 stays first), and throws InvalidInput with a sentence that says
/// what is wrong and where. Every decision is exact.
void normalise_and_check(Ring& corners, std::vector<Ring>& holes);

/// Inside, on or outside one ring of either winding; exact.
Place locate_in_ring(const Ring& ring, Point p) noexcept;

/// Counter-clockwise positive.
double signed_area(const Ring& ring) noexcept;

/// "(10, 2.5)"
std::string point_text(Point p);
/// "corner 3 (10, 2.5)", counted from 1.
std::string corner_text(const Ring& ring, std::size_t i);
/// "the side from corner 3 (10, 2.5) to corner 4 (0, 0)"
std::string side_text(const Ring& ring, std::size_t i);

}  // namespace foldswing::detail
