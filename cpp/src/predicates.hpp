#pragma once
// Decisions that rounding must not get wrong, and the sums they share.
#include <array>
#include <cmath>
#include <foldswing/plane.hpp>

namespace foldswing::detail {

/// a b - c d with one rounding instead of a cancellation (Kahan).
inline double difference_of_products(double a, double b, double c, double d) noexcept {
    const double cd = c * d;
    return std::fma(a, b, -cd) + std::fma(-c, d, cd);
}
inline double dot(Point a, Point b) noexcept { return difference_of_products(a.x, b.x, -a.y, b.y); }
inline double cross(Point a, Point b) noexcept { return difference_of_products(a.x, b.y, a.y, b.x); }
inline double norm(Point a) noexcept { return std::hypot(a.x, a.y); }
inline double span(Point a, Point b) noexcept { return std::hypot(a.x - b.x, a.y - b.y); }
inline Point square_to(Point a) noexcept { return {-a.y, a.x}; }  ///< a quarter turn on
inline int sign(double v) noexcept { return v > 0.0 ? 1 : (v < 0.0 ? -1 : 0); }

/// The sign of the exact sum of six products: +1 when a, b, c turn counter-clockwise, 0 on one line.
inline int orientation_exact(Point a, Point b, Point c) noexcept {
    const std::array<std::array<double, 2>, 6> products{
        {{a.x, b.y}, {-a.y, b.x}, {b.x, c.y}, {-b.y, c.x}, {c.x, a.y}, {-c.y, a.x}}};
    // A sum without overlapping bits (Shewchuk's grow-expansion): its largest non-zero part has the sign of the whole.
    std::array<double, 12> parts{};
    std::size_t n = 0;
    const auto add = [&](double v) {
        for (std::size_t i = 0; i < n; ++i) {
            const double sum = v + parts[i];
            const double virtual_v = sum - parts[i];
            parts[i] = (parts[i] - (sum - virtual_v)) + (v - virtual_v);
            v = sum;
        }
        parts[n++] = v;
    };
    for (const auto& [u, v] : products) {
        const double high = u * v;
        add(std::fma(u, v, -high));
        add(high);
    }
    while (n > 0)
        if (const int s = sign(parts[--n]); s != 0) return s;
    return 0;
}

/// Exact: the quick answer where rounding cannot have changed its sign, else the exact sum.
inline int orientation(Point a, Point b, Point c) noexcept {
    constexpr double kBound =
        3.3306690738754716e-16;  // relative, (3 + 16 e) e with e = 2^-53 (Shewchuk 1997, orient2d)
    const double left = (a.x - c.x) * (b.y - c.y);
    const double right = (a.y - c.y) * (b.x - c.x);
    const double det = left - right;
    if (std::abs(det) > kBound * (std::abs(left) + std::abs(right))) return sign(det);
    return orientation_exact(a, b, c);
}

}  // namespace foldswing::detail
