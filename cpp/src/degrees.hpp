#pragma once
// Trigonometry of angles in degrees, exact at multiples of 90 and odd/even to the bit.
#include <cmath>
#include <numbers>

namespace foldswing::detail {

inline constexpr double kDegree = std::numbers::pi / 180.0;

struct SinCos {
    double sin;
    double cos;
};

/// Reduced to within 45 degrees of a multiple of 90 before any rounding happens: remquo is exact.
inline SinCos sin_cos_deg(double angle_deg) noexcept {
    int quadrant = 0;
    const double rest = std::remquo(angle_deg, 90.0, &quadrant) * kDegree;
    const double s = std::sin(rest);
    const double c = std::cos(rest);
    switch (static_cast<unsigned>(quadrant) & 3U) {
        case 0: return {s, c};
        case 1: return {c, -s};
        case 2: return {-s, -c};
        default: return {-c, s};
    }
}
inline double sin_deg(double angle_deg) noexcept { return sin_cos_deg(angle_deg).sin; }
inline double cos_deg(double angle_deg) noexcept { return sin_cos_deg(angle_deg).cos; }

/// 1 - cos: the half-angle form where the difference would lose digits, the difference where it is exact (90, 180).
inline double one_minus_cos_deg(double angle_deg) noexcept {
    const double c = cos_deg(angle_deg);
    if (c <= 0.5) return 1.0 - c;
    const double s = sin_deg(0.5 * angle_deg);
    return 2.0 * s * s;
}

}  // namespace foldswing::detail
