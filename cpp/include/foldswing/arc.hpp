#pragma once
/// \file arc.hpp  Circular arcs given by what a tape and a straightedge can measure. Lengths: mm.
#include <foldswing/error.hpp>

namespace foldswing::arc {

/// Radius of the arc that rises `rise` above the middle of a chord `chord`.
/// \param chord straight distance between the arc's ends; finite, > 0
/// \param rise  height at mid-chord; finite, > 0 (more than chord/2 is allowed)
/// \throws InvalidInput naming the argument, the value given and the rule it breaks
/// R = chord^2/(8 rise) + rise/2 (intersecting chords, Euclid III.35). Closed form, a few ulp.
[[nodiscard]] double radius(double chord, double rise);

}  // namespace foldswing::arc
