#pragma once
/// \file calibration.hpp  From bent test strips, read as well as a shop can read, to the k-factor and how sure it is.
/// Lengths: mm; angles: degrees turned through from flat. Errors are standard deviations of one reading, each reading
/// of each strip by itself: of an error a third of all readings exceed it.
#include <array>
#include <foldswing/bend.hpp>
#include <span>
#include <vector>

namespace foldswing::bend {

/// Standard deviations either side that hold 95 in 100 of a normal distribution.
inline constexpr double kTwoSided95 = 1.959963984540054;

/// How well a strip is read; 0 where a reading is taken as exact.
struct ReadingErrors {
    double length = 0.0;     ///< of the strip's length and of each leg, > 0
    double radius = 0.0;     ///< >= 0
    double thickness = 0.0;  ///< >= 0
    double angle_deg = 0.0;  ///< >= 0
    friend bool operator==(const ReadingErrors&, const ReadingErrors&) = default;
};

/// What one strip says.
struct StripReading {
    double k_factor = 0.0;  ///< as read: errors may carry it outside 0..1
    double k_error = 0.0;   ///< standard deviation, from the reading errors
    double ratio = 0.0;     ///< R/T
    double residual = 0.0;  ///< k_factor less the one fitted there
};

/// A k-factor with its uncertainty.
struct KEstimate {
    double k_factor = 0.0;
    double error = 0.0;  ///< standard deviation
    double low = 0.0;
    double high = 0.0;  ///< the true one lies between with 95 in 100
};

/// k = level + slope (log10(R/T) - middle), slope 0 where pooled: the form of the standard's own formula.
struct Calibration {
    std::vector<StripReading> strips;
    bool curve = false;
    double middle = 0.0;  ///< weighted mean of log10(R/T) of the strips; 0 where pooled
    double level = 0.0;
    double slope = 0.0;
    double level_error = 0.0;  ///< level and slope are independent by the choice of middle
    double slope_error = 0.0;
    double ratio_from = 0.0;
    double ratio_to = 0.0;         ///< R/T of the strips
    double chi_squared = 0.0;      ///< sum of (residual / k_error)^2
    int spare = 0;                 ///< strips beyond the number fitted
    double worse_by_chance = 1.0;  ///< chance that reading errors alone scatter the strips as much; 1 with none spare
    double deduction = 0.0;        ///< mean of the strips, where all have one angle, radius and thickness; else NaN
    double deduction_error = 0.0;

    /// The k-factor for a bend; inside the metal, 0..1.
    [[nodiscard]] KEstimate at(double radius, double thickness) const;
};

/// Pooled, or as a curve over R/T. Weighted by what the reading errors leave of each strip.
/// \param given the strips, one or more; a curve asks two different R/T
/// \throws InvalidInput when a strip or an error breaks its rule
[[nodiscard]] Calibration calibrate(std::span<const Coupon> given, const ReadingErrors& errors, bool curve = false);

}  // namespace foldswing::bend
