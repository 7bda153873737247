#pragma once
/// \file virtual_shop.hpp  Gates measured, designed, drilled, fitted, measured again and corrected, with a shop's usual
/// errors. Lengths: mm, angles: degrees. Errors are normal and independent, given as standard deviations.
#include <cstdint>
#include <foldswing/gate.hpp>

namespace foldswing::virtual_shop {

/// How a shop works. The defaults are the project's own figures for a careful one-person shop, no source.
struct Shop {
    double tape_error = 0.5;             ///< of one reading of a length, > 0
    double protractor_error_deg = 0.25;  ///< of one reading of an angle, > 0
    double drilling_error = 0.4;         ///< of a hole along x and along y, > 0
    double setting_error = 0.15;         ///< of a slotted hole or an eccentric bush, along x and along y, > 0
    double packing_error = 0.1;          ///< of how the gate is packed up shut to drill through both, > 0
    double paint_per_face = 0.15;        ///< >= 0
    double tolerance = 1.0;              ///< within which every stop and every gap must come, > 0
    int design_readings = 3;             ///< of each size, averaged, before anything is cut; 1 to 100
    int fit_readings =
        0;  ///< of each size after the first fit, averaged; 1 to 100, or 0: as advised for the way it is moved
    bool together = false;  ///< both holes drilled through together, the gate packed up shut
};

/// How many gates came out right; one that needs no correction is left as it is. Right: every stop and every gap within
/// tolerance of what was wanted, and nothing touches on the way once painted.
struct Tally {
    int gates = 0;
    int first_fit = 0;
    int adjusted = 0;          ///< after one correction by adjusters, as advised from the readings
    int adjusted_ceiling = 0;  ///< the same, with the holes known exactly
    int one_adjuster = 0;      ///< after one correction by a single adjuster, on the jamb or on the gate
    int redrilled = 0;         ///< after one correction by drilling anew, as advised from the readings
    int redrilled_ceiling = 0;
    int through = 0;                ///< after plugging and drilling through both again, the gate packed up shut
    int through_ceiling = 0;        ///< the same, with the holes known exactly
    int through_drilled = 0;        ///< of through_ceiling: gates that were drilled through anew, not left as they were
    int through_drilled_right = 0;  ///< and how many of these came out right
    int rubbed = 0;                 ///< at first fit something touched on the way once painted
};

/// One gate as the shop drew it, and what it is to do.
struct Drawn {
    gate::Sizes sizes;
    Point pivot;
    double opening_to_level = 0.0;
    double opening_to_lean = 0.0;
};
/// A gate of random but plausible sizes: 22 to 45 thick, 250 to 500 high, leaning up to 5 degrees, the worktop falling
/// up to 2, gaps 2 to 6, the second stop 20 to 40 past level; the pivot from what must be true at level, the lower
/// corners rounded so that it passes the worktop by 2 to 3 and the sill by 2. The same number gives the same gate.
[[nodiscard]] Drawn random_gate(std::uint64_t number);

/// Gates number `seed` onward. Same input, same bits.
/// \param gates 1 to 1000000
/// \throws InvalidInput naming what is out of range
[[nodiscard]] Tally run(const Shop& shop, int gates, std::uint64_t seed);

}  // namespace foldswing::virtual_shop
