#include <cmath>
#include <foldswing/bend.hpp>
#include <limits>

#include "check.hpp"
#include "degrees.hpp"
#include "din6935.hpp"

namespace foldswing::bend {
namespace {

constexpr double kHalfTurn = 180.0;
constexpr double kNoMouldPoint = 180.0;

void require_angle(double angle_deg) {
    detail::require(angle_deg >= 0.0 && angle_deg <= kHalfTurn, "angle_deg", angle_deg,
                    "a bend angle (turned through) of 0 to 180");
}

/// 180 leaves the faces parallel: nothing to measure an apex length to.
void require_mould_point(double angle_deg) {
    require_angle(angle_deg);
    detail::require(
        angle_deg < kNoMouldPoint, "angle_deg", angle_deg,
        "less than 180 for lengths to the mould point (the faces are parallel there: give the flats to their "
        "tangent lines, or overall)");
}

void require_section(double radius, double thickness) {
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
}

void require_turned(double angle_deg) {
    require_angle(angle_deg);
    detail::require(angle_deg > 0.0, "angle_deg", angle_deg, "more than 0: an unbent strip tells nothing");
}

double require_k(double k) {
    detail::require(k >= 0.0 && k <= 1.0, "k_factor", k, "from 0 (inside face) to 1 (outside face)");
    return k;
}

/// Sizes near the end of the range of a double overflow: refused by name, never handed out as infinity.
double finite(double result, double radius) {
    detail::require(std::isfinite(result), "radius", radius, "small enough for a finite result");
    return result;
}

/// The k-factor that measurements imply; outside the metal they contradict each other.
double implied(double k) {
    // Rounding of the measured lengths alone may carry a k of exactly 0 or 1 just past the face.
    constexpr double kRoundingOfK = 1e-9;
    detail::require(
        k >= -kRoundingOfK && k <= 1.0 + kRoundingOfK, "k_factor implied by the measurements", k,
        "from 0 (inside face) to 1 (outside face): check the legs, how they were measured, the radius and the "
        "angle");
    return std::fmin(1.0, std::fmax(0.0, k));
}

double tan_half(double angle_deg) noexcept { return detail::tan_half_deg(angle_deg); }
double tan_half_excess(double angle_deg) noexcept { return detail::tan_half_excess_deg(angle_deg); }

}  // namespace

double bend_angle_from_included(double included_deg) {
    detail::require(included_deg >= 0.0 && included_deg <= kHalfTurn, "included_deg", included_deg,
                    "an angle between the legs of 0 to 180");
    return kHalfTurn - included_deg;
}

double bend_allowance(double angle_deg, double radius, double thickness, double k_factor) {
    require_angle(angle_deg);
    require_section(radius, thickness);
    require_k(k_factor);
    return finite(angle_deg * detail::kDegree * (radius + k_factor * thickness), radius);
}

double setback(double angle_deg, double radius, double thickness) {
    require_mould_point(angle_deg);
    require_section(radius, thickness);
    return finite((radius + thickness) * tan_half(angle_deg), radius);
}

double inside_setback(double angle_deg, double radius) {
    require_mould_point(angle_deg);
    detail::require_not_negative("radius", radius);
    return finite(radius * tan_half(angle_deg), radius);
}

double bend_deduction(double angle_deg, double radius, double thickness, double k_factor) {
    require_mould_point(angle_deg);
    require_section(radius, thickness);
    require_k(k_factor);
    // Two terms that are never negative, so nothing cancels: flat bends and K = 1 keep their digits.
    return finite(
        (radius + thickness) * tan_half_excess(angle_deg) + angle_deg * detail::kDegree * thickness * (1.0 - k_factor),
        radius);
}

double end_correction(Measured measured, double angle_deg, double radius, double thickness) {
    switch (measured) {
        case Measured::outside:
            return setback(angle_deg, radius, thickness);
        case Measured::inside:
            return inside_setback(angle_deg, radius);
        case Measured::overall:
            require_angle(angle_deg);
            require_section(radius, thickness);
            detail::require(angle_deg >= 90.0, "angle_deg", angle_deg,
                            "90 or more for an overall length (at a flatter bend the next flange sticks out farther)");
            return finite(radius + thickness, radius);
        case Measured::flat:
            break;
    }
    return 0.0;
}

double k_factor_constant(double radius, double thickness, double constant) {
    require_section(radius, thickness);
    return require_k(constant);
}

double k_factor_din6935(double radius, double thickness) {
    require_section(radius, thickness);
    const double ratio = radius / thickness;
    const double k = detail::k_din6935(ratio);
    detail::require(k >= 0.0, "radius", radius,
                    "at least 0.0502 of the thickness for DIN 6935 (its formula turns negative)");
    return k;
}

double k_factor_from_allowance(double allowance, double angle_deg, double radius, double thickness) {
    require_turned(angle_deg);
    require_section(radius, thickness);
    detail::require_not_negative("allowance", allowance);
    return implied((allowance / (angle_deg * detail::kDegree) - radius) / thickness);
}

double k_factor_from_deduction(double deduction, double angle_deg, double radius, double thickness) {
    require_turned(angle_deg);
    require_mould_point(angle_deg);
    require_section(radius, thickness);
    detail::require_not_negative("deduction", deduction);
    const double rest = deduction - (radius + thickness) * tan_half_excess(angle_deg);
    return implied(1.0 - rest / (angle_deg * detail::kDegree * thickness));
}

double deduction_from_coupon(double flat_length, double leg_a, double leg_b) {
    detail::require_positive("flat_length", flat_length);
    detail::require_positive("leg_a", leg_a);
    detail::require_positive("leg_b", leg_b);
    const double deduction = (leg_a - flat_length) + leg_b;
    detail::require(deduction >= 0.0, "flat_length", flat_length,
                    "no longer than the two legs measured outside (a bend always gains on the summed outside lengths)");
    return deduction;
}

double allowance_from_coupon(double flat_length, double leg_a, double leg_b, double angle_deg, double radius,
                             double thickness, Measured measured) {
    detail::require_positive("flat_length", flat_length);
    detail::require_positive("leg_a", leg_a);
    detail::require_positive("leg_b", leg_b);
    require_turned(angle_deg);
    require_section(radius, thickness);
    const double correction = end_correction(measured, angle_deg, radius, thickness);
    const double allowance = flat_length - leg_a - leg_b + 2.0 * correction;
    // Lengths that leave exactly nothing may come out a rounding below it.
    constexpr double kRoundingRel = 1e-14;
    detail::require(allowance >= -kRoundingRel * (flat_length + leg_a + leg_b), "flat_length", flat_length,
                    "at least the flats that its two legs leave (check how the legs were measured)");
    return std::fmax(0.0, allowance);
}

double k_factor_from_coupon(double flat_length, double leg_a, double leg_b, double angle_deg, double radius,
                            double thickness, Measured measured) {
    const double allowance = allowance_from_coupon(flat_length, leg_a, leg_b, angle_deg, radius, thickness, measured);
    return k_factor_from_allowance(allowance, angle_deg, radius, thickness);
}

double Coupon::allowance() const {
    return allowance_from_coupon(flat_length, leg_a, leg_b, angle_deg, radius, thickness, measured);
}

double Coupon::k_factor() const {
    return k_factor_from_coupon(flat_length, leg_a, leg_b, angle_deg, radius, thickness, measured);
}

double allowance(double angle_deg, double radius, double thickness, const Basis& basis) {
    switch (basis.kind) {
        case Basis::Kind::k_factor:
            return bend_allowance(angle_deg, radius, thickness, basis.value);
        case Basis::Kind::deduction: {
            detail::require_not_negative("deduction", basis.value);
            const double both = 2.0 * setback(angle_deg, radius, thickness);
            if (basis.value > both)
                throw InvalidInput("deduction", basis.value,
                                   "no more than the two setbacks of its bend, " + detail::number_text(both));
            return both - basis.value;
        }
        case Basis::Kind::allowance:
            require_angle(angle_deg);
            require_section(radius, thickness);
            detail::require_not_negative("allowance", basis.value);
            return basis.value;
        case Basis::Kind::unset:
            break;
    }
    throw InvalidInput("k_factor", "nothing", "given, or a deduction or an allowance in its place");
}

}  // namespace foldswing::bend
