#include <algorithm>
#include <cmath>
#include <foldswing/calibration.hpp>
#include <limits>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::bend {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr int kRounds = 4;  // weights, and what is fitted with them, settle to six digits in three

/// By how much a bend's end correction changes with radius, thickness and angle (radians).
struct Slopes {
    double radius = 0.0;
    double thickness = 0.0;
    double angle = 0.0;
};

Slopes correction_slopes(const Coupon& c) {
    const double half = 0.5 * c.angle_deg * detail::kDegree;
    const double growth = 0.5 * (1.0 + std::tan(half) * std::tan(half));  // of tan(a/2) with a
    switch (c.measured) {
        case Measured::outside:
            return {std::tan(half), std::tan(half), growth * (c.radius + c.thickness)};
        case Measured::inside:
            return {std::tan(half), 0.0, growth * c.radius};
        case Measured::overall:
            return {1.0, 1.0, 0.0};
        case Measured::flat:
            break;
    }
    return {};
}

void require_strip(const Coupon& c) {
    detail::require_positive("flat_length", c.flat_length);
    detail::require_positive("leg_a", c.leg_a);
    detail::require_positive("leg_b", c.leg_b);
    detail::require_not_negative("radius", c.radius);
    detail::require_positive("thickness", c.thickness);
    detail::require(c.angle_deg > 0.0 && c.angle_deg <= 180.0, "angle_deg", c.angle_deg,
                    "a bend angle (turned through) of more than 0 to 180");
}

/// A strip with what does not change from round to round.
struct Strip {
    Coupon coupon;
    Slopes slopes;
    double angle;  // radians
    double allowance;
    double k;
    double log_ratio;
};

Strip read(const Coupon& c) {
    require_strip(c);
    const double a = c.angle_deg * detail::kDegree;
    const double flats = c.leg_a + c.leg_b - 2.0 * end_correction(c.measured, c.angle_deg, c.radius, c.thickness);
    const double allowance = c.flat_length - flats;
    const double k = (allowance / a - c.radius) / c.thickness;
    detail::require(std::isfinite(k), "flat_length", c.flat_length, "of a size that gives a finite k-factor");
    return {c, correction_slopes(c), a, allowance, k, std::log10(c.radius / c.thickness)};
}

double square(double x) { return x * x; }

/// Variance of a strip's k less what the curve says there; the curve is read at the strip's own radius and thickness.
double variance(const Strip& s, const ReadingErrors& e, double k, double slope) {
    const Coupon& c = s.coupon;
    const double at = s.angle * c.thickness;
    const double along = slope == 0.0 ? 0.0 : slope / std::numbers::ln10;
    const double by_radius =
        (2.0 * s.slopes.radius / s.angle - 1.0) / c.thickness - (along == 0.0 ? 0.0 : along / c.radius);
    const double by_thickness = (2.0 * s.slopes.thickness / s.angle - k + along) / c.thickness;
    const double arc = c.radius + k * c.thickness;  // the neutral radius, by the k fitted: steadier than the one read
    const double by_angle = (2.0 * s.slopes.angle - arc) / at;
    return 3.0 * square(e.length / at) + square(by_radius * e.radius) + square(by_thickness * e.thickness) +
           square(by_angle * e.angle_deg * detail::kDegree);
}

/// Chance that chi squared with n degrees of freedom comes out at least as large: finite sums, no table.
double chance(double chi_squared, int n) {
    if (n <= 0) return 1.0;
    const double h = 0.5 * chi_squared;
    const bool odd = n % 2 == 1;
    double sum = odd ? std::erfc(std::sqrt(h)) : 0.0;
    double term = std::exp(-h) * (odd ? std::sqrt(h) / (0.5 * std::sqrt(std::numbers::pi)) : 1.0);
    double order = odd ? 1.5 : 1.0;
    for (int i = 0; i < n / 2; ++i) {
        sum += term;
        term *= h / order;
        order += 1.0;
    }
    return std::min(1.0, sum);
}

void deduce(Calibration& out, std::span<const Strip> strips, const ReadingErrors& e) {
    out.deduction = out.deduction_error = kNaN;
    const Coupon& first = strips.front().coupon;
    const bool alike = std::all_of(strips.begin(), strips.end(), [&](const Strip& s) {
        const Coupon& c = s.coupon;
        return c.angle_deg == first.angle_deg && c.radius == first.radius && c.thickness == first.thickness;
    });
    if (!alike || first.angle_deg >= 180.0) return;
    const double half = std::tan(0.5 * strips.front().angle);
    const double both = 2.0 * setback(first.angle_deg, first.radius, first.thickness);
    double sum = 0.0;
    double weights = 0.0;
    for (const Strip& s : strips) {
        const double by_radius = 2.0 * (half - s.slopes.radius);
        const double by_thickness = 2.0 * (half - s.slopes.thickness);
        const double by_angle = (first.radius + first.thickness) * (1.0 + half * half) - 2.0 * s.slopes.angle;
        const double weight =
            1.0 / (3.0 * square(e.length) + square(by_radius * e.radius) + square(by_thickness * e.thickness) +
                   square(by_angle * e.angle_deg * detail::kDegree));
        sum += weight * (both - s.allowance);
        weights += weight;
    }
    out.deduction = sum / weights;
    out.deduction_error = 1.0 / std::sqrt(weights);
}

}  // namespace

Calibration calibrate(std::span<const Coupon> given, const ReadingErrors& errors, bool curve) {
    detail::require_positive("length_error", errors.length);
    detail::require_not_negative("radius_error", errors.radius);
    detail::require_not_negative("thickness_error", errors.thickness);
    detail::require_not_negative("angle_error_deg", errors.angle_deg);
    if (given.empty()) throw InvalidInput("strips", "none", "at least one test strip");
    std::vector<Strip> strips;
    for (std::size_t i = 0; i < given.size(); ++i) {
        try {
            strips.push_back(read(given[i]));
        } catch (const InvalidInput& e) {
            throw e.at(std::to_string(i));
        }
    }
    if (curve) {
        const auto [low, high] = std::minmax_element(
            strips.begin(), strips.end(), [](const Strip& a, const Strip& b) { return a.log_ratio < b.log_ratio; });
        for (const Strip& s : strips)
            detail::require(s.coupon.radius > 0.0, "radius", s.coupon.radius, "more than 0 for a curve");
        if (!(low->log_ratio < high->log_ratio))
            throw InvalidInput("strips", "all of one radius/thickness", "of two at least for a curve");
    }

    Calibration out;
    out.curve = curve;
    std::vector<double> variances(strips.size());
    const auto fitted = [&](const Strip& s) {
        return out.level + (curve ? out.slope * (s.log_ratio - out.middle) : 0.0);
    };
    for (const Strip& s : strips) out.level += s.k / static_cast<double>(strips.size());
    for (int round = 0; round < kRounds; ++round) {
        double sum_w = 0.0;
        double sum_x = 0.0;
        double sum_k = 0.0;
        for (std::size_t i = 0; i < strips.size(); ++i) {
            variances[i] = variance(strips[i], errors, fitted(strips[i]), out.slope);
            const double w = 1.0 / variances[i];
            sum_w += w;
            sum_k += w * strips[i].k;
            if (curve) sum_x += w * strips[i].log_ratio;
        }
        out.level_error = 1.0 / std::sqrt(sum_w);
        out.middle = sum_x / sum_w;
        out.level = sum_k / sum_w;
        if (!curve) continue;
        double spread_x = 0.0;
        double across = 0.0;
        for (std::size_t i = 0; i < strips.size(); ++i) {
            const double x = strips[i].log_ratio - out.middle;
            spread_x += x * x / variances[i];
            across += x * (strips[i].k - out.level) / variances[i];
        }
        out.slope = across / spread_x;
        out.slope_error = 1.0 / std::sqrt(spread_x);
    }
    detail::require(std::isfinite(out.level) && std::isfinite(out.slope), "length_error", errors.length,
                    "of a size that gives a finite uncertainty");

    out.ratio_from = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < strips.size(); ++i) {
        const Strip& s = strips[i];
        const double ratio = s.coupon.radius / s.coupon.thickness;
        const double error = std::sqrt(variance(s, errors, fitted(s), 0.0));
        out.strips.push_back({s.k, error, ratio, s.k - fitted(s)});
        out.ratio_from = std::min(out.ratio_from, ratio);
        out.ratio_to = std::max(out.ratio_to, ratio);
        out.chi_squared += square(s.k - fitted(s)) / variances[i];
    }
    out.spare = static_cast<int>(strips.size()) - (curve ? 2 : 1);
    out.worse_by_chance = chance(out.chi_squared, out.spare);
    deduce(out, strips, errors);
    return out;
}

KEstimate Calibration::at(double radius, double thickness) const {
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
    KEstimate out;
    double k = level;
    out.error = level_error;
    if (curve) {
        detail::require(radius > 0.0, "radius", radius, "more than 0 on a curve over radius/thickness");
        const double x = std::log10(radius / thickness) - middle;
        k += slope * x;
        out.error = std::hypot(level_error, slope_error * x);
    }
    const auto inside = [](double v) { return std::fmin(1.0, std::fmax(0.0, v)); };
    out.k_factor = inside(k);
    out.low = inside(k - kTwoSided95 * out.error);
    out.high = inside(k + kTwoSided95 * out.error);
    return out;
}

}  // namespace foldswing::bend
