#pragma once
/// \file bend.hpp  What one bend takes from the flat sheet. Lengths: mm; angles: degrees.
///
/// The bend angle is the angle the metal is TURNED THROUGH: 0 is flat, 90 a square corner, 180 folded back on itself.
/// The included angle (between the legs) is 180 less it; bend_angle_from_included converts, nothing guesses. The inside
/// radius runs from 0. The k-factor is the distance of the neutral line (the layer that keeps its length) from the
/// inside face, as a fraction of the thickness: 0 inside face, 0.5 middle, 1 outside face.
#include <foldswing/error.hpp>

namespace foldswing::bend {

/// Where a length or a leg beside a bend is measured to.
enum class Measured {
    outside,  ///< to the mould point, where the two outside faces would meet; void at 180
    inside,   ///< to the point where the two inside faces would meet; void at 180
    flat,     ///< to the tangent line, where the metal starts to curve
    overall,  ///< over the bend, as a calliper closes on it: to the outermost metal; bends of 90 and more
};

/// Bend angle of an included angle: 180 - included_deg. \param included_deg angle between the legs, 0..180
[[nodiscard]] double bend_angle_from_included(double included_deg);

/// Length along the neutral line from tangent line to tangent line: a (R + K T), a the bend angle in radians.
/// \param angle_deg bend angle (turned through), 0..180
/// \param radius    inside radius, >= 0
/// \param thickness > 0
/// \param k_factor  0..1
/// \throws InvalidInput naming the parameter, its value and the rule. The same holds for every function below.
[[nodiscard]] double bend_allowance(double angle_deg, double radius, double thickness, double k_factor);

/// Outside setback, tangent line to mould point: (R + T) tan(a/2) (AC 43.13-1B table 4-7). Bend angle 0..180, 180
/// refused: there is no mould point, dimension to the tangent lines or overall.
[[nodiscard]] double setback(double angle_deg, double radius, double thickness);

/// Inside setback, tangent line to the point where the inside faces would meet: R tan(a/2). 180 refused likewise.
[[nodiscard]] double inside_setback(double angle_deg, double radius);

/// What to take off the summed outside lengths: 2 setback - allowance = (R+T)(2 tan(a/2) - a) + a T (1-K). 180 refused.
[[nodiscard]] double bend_deduction(double angle_deg, double radius, double thickness, double k_factor);

/// How far the tangent line lies from where the length is measured to: what to take off at that end of a flat.
/// outside: setback; inside: inside_setback; flat: 0; overall: R + T (bend angle 90..180).
[[nodiscard]] double end_correction(Measured measured, double angle_deg, double radius, double thickness);

/// The rule "constant": the k-factor given, checked to be 0..1, for any radius and thickness.
[[nodiscard]] double k_factor_constant(double radius, double thickness, double constant);

/// k-factor by DIN 6935: K = k/2 with k = 0.65 + 0.5 log10(R/T) up to R/T = 5, k = 1 above.
/// Below R/T = 10^-1.3 = 0.0501 the formula turns negative: refused.
[[nodiscard]] double k_factor_din6935(double radius, double thickness);

/// The k-factor that a known allowance implies: (BA/a - R)/T. Bend angle > 0. Refused where it falls outside 0..1: the
/// neutral line would lie outside the metal, so one of the measurements is wrong.
[[nodiscard]] double k_factor_from_allowance(double allowance, double angle_deg, double radius, double thickness);

/// The k-factor that a known deduction implies: 1 - (BD - (R+T)(2 tan(a/2) - a))/(a T). 0 < bend angle < 180.
[[nodiscard]] double k_factor_from_deduction(double deduction, double angle_deg, double radius, double thickness);

/// What a bent test strip says the deduction is: leg_a + leg_b - flat_length, legs measured outside.
/// A deduction belongs to one angle, radius, thickness and set-up. Refused when it comes out negative.
[[nodiscard]] double deduction_from_coupon(double flat_length, double leg_a, double leg_b);

/// What a bent test strip says the allowance is, whichever way its legs were measured.
[[nodiscard]] double allowance_from_coupon(double flat_length, double leg_a, double leg_b, double angle_deg,
                                           double radius, double thickness, Measured measured = Measured::outside);

/// The k-factor of a bent test strip: cut to flat_length, bent once, legs measured.
[[nodiscard]] double k_factor_from_coupon(double flat_length, double leg_a, double leg_b, double angle_deg,
                                          double radius, double thickness, Measured measured = Measured::outside);

/// A test strip: cut to flat_length, bent once, its legs measured. It may stand wherever a k-factor may.
struct Coupon {
    double flat_length = 0.0;
    double leg_a = 0.0;
    double leg_b = 0.0;
    double radius = 0.0;
    double thickness = 0.0;
    double angle_deg = 90.0;  ///< bend angle, turned through
    Measured measured = Measured::outside;
    friend bool operator==(const Coupon&, const Coupon&) = default;

    [[nodiscard]] double allowance() const;
    [[nodiscard]] double k_factor() const;
};

/// What a bend's developed length is based on: one of these, or unset (then the part's own default holds).
struct Basis {
    enum class Kind { unset, k_factor, deduction, allowance };
    Kind kind = Kind::unset;
    double value = 0.0;
    friend bool operator==(const Basis&, const Basis&) = default;
};

/// The allowance of a bend on any basis. With a plain deduction: 2 setback - deduction, refused where negative.
[[nodiscard]] double allowance(double angle_deg, double radius, double thickness, const Basis& basis);

}  // namespace foldswing::bend
