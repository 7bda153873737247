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

/// tan(angle/2) for 0 <= angle < 180: exact at 0 and 90, cot of the complement beyond, so that 180 - 1e-12 keeps its digits.
inline double tan_half_deg(double angle_deg) noexcept {
    if (angle_deg == 90.0) return 1.0;
    if (angle_deg < 90.0) return std::tan(0.5 * angle_deg * kDegree);
    return 1.0 / std::tan(0.5 * (180.0 - angle_deg) * kDegree);
}

/// 2 tan(a/2) - a for 0 <= a < 180 degrees: by how much going round the corner is longer than the arc of radius 1.
inline double tan_half_excess_deg(double angle_deg) noexcept {
    // Above 30 degrees the difference keeps all but 6 bits; below, Lambert's continued fraction for the tangent, cut after
    // 13, with x taken off by hand: its relative error is under 1e-17 there.
    constexpr double kSeriesUpTo = 30.0;
    if (angle_deg >= kSeriesUpTo) return 2.0 * tan_half_deg(angle_deg) - angle_deg * kDegree;
    const double x = 0.5 * angle_deg * kDegree;
    const double t = x * x;
    const double above = 45045.0 - t * (2772.0 - t * 27.0);
    const double below = 135135.0 - t * (62370.0 - t * (3150.0 - t * 28.0));
    return 2.0 * x * t * (above / below);
}

}  // namespace foldswing::detail
