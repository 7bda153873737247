#pragma once
// Trigonometry of angles in degrees, exact at multiples of 90 and odd/even to the bit.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
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
        case 0:
            return {s, c};
        case 1:
            return {c, -s};
        case 2:
            return {-s, -c};
        default:
            return {-c, s};
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

/// tan x = x over / under for |x| <= pi/4: Lambert's continued fraction for the tangent, cut after 17, where its
/// relative error is under 1e-18 (that of tan x - x under 5e-18). Faster than std::tan, and tan x - x comes without a
/// difference.
struct TanRatio {
    double over;
    double over_less_under;
    double under;
};
inline TanRatio tan_ratio(double x) noexcept {
    const double t = x * x;
    return {34459425.0 - t * (4729725.0 - t * (135135.0 - t * (990.0 - t))),
            t * (11486475.0 - t * (810810.0 - t * (12870.0 - t * 44.0))),
            34459425.0 - t * (16216200.0 - t * (945945.0 - t * (13860.0 - t * 45.0)))};
}

/// tan(angle/2) for 0 <= angle < 180: exact at 0 and 90, cot of the complement beyond, so that 180 - 1e-12 keeps its
/// digits.
inline double tan_half_deg(double angle_deg) noexcept {
    if (angle_deg == 90.0) return 1.0;
    const double x = 0.5 * std::min(angle_deg, 180.0 - angle_deg) * kDegree;
    const TanRatio r = tan_ratio(x);
    // Picked by place: a processor cannot foretell which angles of many are acute.
    const std::array<double, 2> ratio{x * r.over, r.under};
    const auto obtuse = static_cast<std::size_t>(angle_deg > 90.0);
    return ratio[obtuse] / ratio[1 - obtuse];
}

/// 2 tan(a/2) - a for 0 <= a < 180 degrees: by how much going round the corner is longer than the arc of radius 1.
inline double tan_half_excess_deg(double angle_deg) noexcept {
    if (angle_deg > 90.0) return 2.0 * tan_half_deg(angle_deg) - angle_deg * kDegree;
    const double x = 0.5 * angle_deg * kDegree;
    const TanRatio r = tan_ratio(x);
    return 2.0 * x * (r.over_less_under / r.under);
}

/// atan2 in degrees for y >= 0: 0 to 180, exact at multiples of 45.
inline double atan2_deg(double y, double x) noexcept {
    const double size = std::abs(x);
    if (y > size) return 90.0 - std::atan(x / y) / kDegree;
    const double from_axis = y == size ? (y == 0.0 ? 0.0 : 45.0) : std::atan(y / size) / kDegree;
    return x < 0.0 ? 180.0 - from_axis : from_axis;
}

}  // namespace foldswing::detail
