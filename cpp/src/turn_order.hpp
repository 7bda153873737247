#pragma once
// Which of two directions a turn comes to first.
#include <cmath>

namespace foldswing::detail {

/// Grows with the angle of (x, y) over one revolution, from 0 to 4, without an arc tangent.
inline double angle_order(double x, double y) noexcept {
    const double f = x / (std::abs(x) + std::abs(y));
    return y >= 0.0 ? 1.0 - f : 3.0 + f;
}

}  // namespace foldswing::detail
