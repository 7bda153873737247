#pragma once
// Nearest point of an intersection of half-planes, and where they do not meet, the least widening at which they do.
#include <foldswing/plane.hpp>
#include <span>

#include "predicates.hpp"

namespace foldswing::detail {

/// Sine below which two directions are parallel: strips that cross flatter would meet a million kilometres off.
inline constexpr double kParallel = 1e-9;

/// Points x with u.x <= c + give * widening; u is a unit vector, give >= 0, slack (mm) is what rounding may cost.
struct HalfPlane {
    Point u;
    double c = 0.0;
    double give = 0.0;
    double slack = 0.0;
};

struct Meeting {
    Point x;
    double widening = 0.0;  ///< 0 when the half-planes have a point in common
    bool on_line = false;   ///< with widening > 0: x may slide along a line (until other half-planes stop it)
};

/// The point nearest p common to all half-planes, or common to them at the least widening that gives a common point.
[[nodiscard]] Meeting meet(std::span<const HalfPlane> planes, Point p);

}  // namespace foldswing::detail
