#pragma once
// What the two pins of a stay, and any point of a panel on one pivot, do as the panel turns. Turns in degrees.
#include <algorithm>
#include <cmath>
#include <foldswing/stay.hpp>
#include <limits>

#include "check.hpp"
#include "degrees.hpp"
#include "predicates.hpp"
#include "rings.hpp"

namespace foldswing::detail {

inline constexpr double kHeaviest = 1e9;   // kg
inline constexpr double kSameTurn = 1e-4;  // degrees; far below any protractor, far above rounding at dead centre

inline void require_place(const char* name, Point p) {
    for (const double v : {p.x, p.y}) require(std::abs(v) <= kLargest, name, v, "finite, within +-1e12 mm");
}

/// The distance of the pins as the panel turns: d^2 = (r - f)^2 + 4 r f sin^2(half the angle between them).
class Spread {
  public:
    Spread(const stay::Pins& pins, Point pivot) {
        const Point to_fixed = pins.fixed - pivot;
        const Point to_panel = pins.panel - pivot;
        fixed_ = norm(to_fixed);
        panel_ = norm(to_panel);
        apart_deg_ = std::atan2(cross(to_fixed, to_panel), dot(to_fixed, to_panel)) / kDegree;
    }

    [[nodiscard]] double distance(double turn_deg) const {
        return std::hypot(panel_ - fixed_, 2.0 * std::sqrt(panel_ * fixed_) * sin_deg(0.5 * (apart_deg_ + turn_deg)));
    }
    [[nodiscard]] double most() const { return panel_ + fixed_; }
    /// Whether the pins move apart there, the panel turning in the direction of `way` (+1 or -1).
    [[nodiscard]] bool parting(double turn_deg, double way) const {
        return panel_ * fixed_ > 0.0 && way * sin_deg(apart_deg_ + turn_deg) > 0.0;
    }
    /// How much farther that way the pins are apart by `more`, having moved apart all along; up to most().
    [[nodiscard]] double opened_by(double turn_deg, double way, double more) const {
        const double now = distance(turn_deg);
        const double before = 0.5 * std::abs(std::remainder(apart_deg_ + turn_deg, 360.0));  // 0 to 90
        const double after = half_apart(now + more);
        // sin^2 a - sin^2 b = sin(a + b) sin(a - b): no difference of angles that are nearly equal
        const double sine = more * (2.0 * now + more) / (4.0 * panel_ * fixed_) / sin_deg(after + before);
        const double half = 2.0 * (after - before) > 90.0 ? after - before : std::asin(std::fmin(sine, 1.0)) / kDegree;
        return way * 2.0 * half;
    }
    [[nodiscard]] double taut_at(double from_deg, double to_deg, double length) const {
        if (distance(from_deg) >= length) return from_deg;
        if (length > most() || panel_ * fixed_ == 0.0) return std::numeric_limits<double>::quiet_NaN();
        const double way = to_deg < from_deg ? -1.0 : 1.0;
        const double at = way * 2.0 * half_apart(length) - apart_deg_;  // and every whole turn from there
        const double revolutions = std::ceil((from_deg - at) * way / 360.0);
        const double turn = at + way * 360.0 * revolutions;
        return (to_deg - turn) * way >= 0.0 ? turn : std::numeric_limits<double>::quiet_NaN();
    }

  private:
    /// Half the angle between the pins at the pivot where they are so far apart, degrees, 0 to 90.
    [[nodiscard]] double half_apart(double distance) const {
        const double squared =
            (distance - (panel_ - fixed_)) * (distance + (panel_ - fixed_)) / (4.0 * panel_ * fixed_);
        return std::asin(std::sqrt(std::fmin(std::fmax(squared, 0.0), 1.0))) / kDegree;
    }

    double fixed_;
    double panel_;
    double apart_deg_;
};

/// Where a stay as long as the pins are apart at a stop first comes taut on the way there from shut.
inline double taut_at_stop(const Spread& spread, double turn_deg, double length) {
    const double found = spread.taut_at(0.0, turn_deg, length);
    return std::isnan(found) || std::abs(found - turn_deg) <= kSameTurn ? turn_deg : found;
}

/// The height of a panel point as the panel turns.
class Lift {
  public:
    Lift(Point p, Point pivot) : radius_(span(p, pivot)), at_deg_(std::atan2(p.y - pivot.y, p.x - pivot.x) / kDegree) {}
    [[nodiscard]] double radius() const { return radius_; }
    /// How far it comes down over a turn of `by` from `turn`; negative: it rises.
    [[nodiscard]] double fall(double turn_deg, double by_deg) const {
        return -2.0 * radius_ * cos_deg(at_deg_ + turn_deg + 0.5 * by_deg) * sin_deg(0.5 * by_deg);
    }
    /// The turn, from `from` to `to`, at which it is highest.
    [[nodiscard]] double highest(double from_deg, double to_deg) const {
        const auto [low, high] = std::minmax(from_deg, to_deg);
        const double top = low + std::fmod(std::fmod(90.0 - at_deg_ - low, 360.0) + 360.0, 360.0);
        if (top <= high) return top;
        return fall(from_deg, to_deg - from_deg) > 0.0 ? from_deg : to_deg;
    }

  private:
    double radius_;
    double at_deg_;
};

}  // namespace foldswing::detail
