#pragma once
/// \file adjustment.hpp  What a slotted hole, an eccentric bush or a shim can recover at a stop. Lengths: mm, angles:
/// degrees.
///
/// Moving the body's hole by v moves a landing by n.v at any turn t, moving the panel's by -(R(t)' n).v, and moving one
/// hole through both by ((I - R)' n).v: all linear, so that millimetres of landing per millimetre of adjustment are
/// exact over the whole range. A shim under the pad that stops the panel changes its turn instead.
#include <array>
#include <cstdint>
#include <foldswing/fitting.hpp>
#include <foldswing/landing.hpp>

namespace foldswing::adjustment {

/// What an adjuster does to a landing: its miss can be changed by anything from `least` to `most`.
struct Reach {
    double per_mm = 0.0;  ///< mm of landing per mm of adjustment
    double least = 0.0;   ///< mm
    double most = 0.0;
};

/// A hole that slides along a straight slot.
/// \param which `body`, `panel` or `together` (the pin itself moves in both)
/// \param direction of `forward`, any length but zero; shut coordinates for the panel's hole, fixed ones for the body's
/// \param forward, backward how far it can go each way from where it stands, mm, >= 0, at most 1e6
/// \throws InvalidInput when a number is out of range or `which` is neither
[[nodiscard]] Reach slot(const hinge::Landing& landing, fitting::Which which, Point direction, double forward,
                         double backward);

/// A bush whose bore is `throw_mm` off its own centre, turned in its hole: per_mm is the most that a millimetre of
/// throw does, least and most are reached with the bore straight along the landing's slope. Measured from a bush whose
/// centre lies where the hole stands. \param throw_mm mm, >= 0, at most 1e6; \throws InvalidInput as slot
[[nodiscard]] Reach eccentric(const hinge::Landing& landing, fitting::Which which, double throw_mm);

/// How an eccentric bush is set.
enum class Settings : std::int8_t { none = 0, one = 1, two = 2, any = 3 };
/// "none", "one", "two", "any".
const char* word(Settings status) noexcept;

struct EccentricSettings {
    Settings status = Settings::none;
    /// Of the bore from the bush's centre, counter-clockwise from x, 0 <= angle < 360, the smaller first; NaN where
    /// void
    std::array<double, 2> angle_deg{};
    std::array<double, 2> per_degree{};  ///< mm of landing per degree of setting there; 0 where the bush turns idle
};
/// The settings at which an eccentric bush changes a landing's miss by `shift`: throw |a| cos(angle - angle of a) =
/// shift, with a the slope. `any` where the landing does not feel this hole and shift is 0. \throws InvalidInput as
/// eccentric
[[nodiscard]] EccentricSettings eccentric_settings(const hinge::Landing& landing, fitting::Which which, double throw_mm,
                                                   double shift);

/// A shim under the pad that the panel comes to rest on.
struct PadShim {
    bool reached = false;   ///< false: no turn nearby lifts the panel by that much; the rest is NaN
    double turn_deg = 0.0;  ///< the landing's turn with the shim in
    double shift = 0.0;     ///< change of the landing's miss, mm, exact
    double per_mm =
        0.0;  ///< mm of landing per mm of shim at its start; NaN where the pad lies straight below the pivot
};
/// \param pad panel point over the pad, shut coordinates
/// \param normal out of the pad, fixed coordinates, any length but zero
/// \param thickness mm; negative: material taken off the pad
/// m.R(t')(pad - panel hole) = m.R(t)(pad - panel hole) + thickness, the turn nearest to t (own derivation).
/// \throws InvalidInput when a number is not finite or beyond 1e6 mm, or the pad is at the panel's hole
[[nodiscard]] PadShim pad_shim(const hinge::Landing& landing, const fitting::Holes& holes, Point pad, Point normal,
                               double thickness);

}  // namespace foldswing::adjustment
