#pragma once
// A sum of two doubles that carries about 32 digits, for the few differences that cancel. Dekker 1971, Knuth TAOCP 2.
#include <cmath>

namespace foldswing::detail {

struct DoubleDouble {
    double high;
    double low;
    [[nodiscard]] double value() const noexcept { return high + low; }
};

/// a + b without rounding.
inline DoubleDouble two_sum(double a, double b) noexcept {
    const double s = a + b;
    const double from_b = s - a;
    return {s, (a - (s - from_b)) + (b - from_b)};
}
inline DoubleDouble two_difference(double a, double b) noexcept { return two_sum(a, -b); }
/// a * b without rounding.
inline DoubleDouble two_product(double a, double b) noexcept {
    const double p = a * b;
    return {p, std::fma(a, b, -p)};
}
inline DoubleDouble operator+(DoubleDouble a, DoubleDouble b) noexcept {
    const DoubleDouble s = two_sum(a.high, b.high);
    const DoubleDouble t = two_sum(a.low, b.low);
    const DoubleDouble u = two_sum(s.high, s.low + t.high);
    return two_sum(u.high, u.low + t.low);
}
inline DoubleDouble operator-(DoubleDouble a) noexcept { return {-a.high, -a.low}; }
inline DoubleDouble operator-(DoubleDouble a, DoubleDouble b) noexcept { return a + -b; }
inline DoubleDouble operator*(DoubleDouble a, DoubleDouble b) noexcept {
    const DoubleDouble p = two_product(a.high, b.high);
    return two_sum(p.high, p.low + (a.high * b.low + a.low * b.high));
}

}  // namespace foldswing::detail
