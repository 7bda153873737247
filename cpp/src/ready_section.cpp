#include <cmath>
#include <foldswing/ready_section.hpp>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::blank {
namespace {

Bend bend_of(const Metal& metal, Direction direction, double angle_deg = 90.0) {
    return {angle_deg, metal.radius, direction, metal.basis};
}
constexpr Direction kUp = Direction::up;
constexpr Direction kDown = Direction::down;

/// A profile whose complaints name the size as the user knows it.
Profile named(std::vector<Part> parts, const std::vector<const char*>& names, const Metal& metal) {
    try {
        return {std::move(parts), metal.thickness};
    } catch (const InvalidInput& e) {
        for (std::size_t i = 0; i < names.size(); ++i) {
            const std::string flat = "parts[" + std::to_string(2 * i) + "].length";
            if (e.parameter() == flat) throw InvalidInput(names[i], e.value(), e.rule());
        }
        throw;
    }
}

}  // namespace

Profile angle_section(double leg_a, double leg_b, const Metal& metal, double angle_deg) {
    return named({Flat{leg_a}, bend_of(metal, kUp, angle_deg), Flat{leg_b}}, {"leg_a", "leg_b"}, metal);
}

Profile channel(double flange_a, double web, double flange_b, const Metal& metal) {
    return named({Flat{flange_a}, bend_of(metal, kUp), Flat{web}, bend_of(metal, kUp), Flat{flange_b}},
                 {"flange_a", "web", "flange_b"}, metal);
}

Profile lipped_channel(double lip, double flange, double web, const Metal& metal) {
    const Bend up = bend_of(metal, kUp);
    return named({Flat{lip}, up, Flat{flange}, up, Flat{web}, up, Flat{flange}, up, Flat{lip}},
                 {"lip", "flange", "web", "flange", "lip"}, metal);
}

Profile hat(double brim, double height, double top, const Metal& metal) {
    const Bend up = bend_of(metal, kUp);
    const Bend down = bend_of(metal, kDown);
    return named({Flat{brim}, up, Flat{height}, down, Flat{top}, down, Flat{height}, up, Flat{brim}},
                 {"brim", "height", "top", "height", "brim"}, metal);
}

Profile zed(double flange_a, double height, double flange_b, const Metal& metal) {
    return named({Flat{flange_a}, bend_of(metal, kUp), Flat{height}, bend_of(metal, kDown), Flat{flange_b}},
                 {"flange_a", "height", "flange_b"}, metal);
}

Joggle joggle(double before, double depth, double run_out, double after, const Metal& metal) {
    detail::require_positive("thickness", metal.thickness);
    detail::require_not_negative("radius", metal.radius);
    detail::require_positive("depth", depth);
    detail::require_positive("run_out", run_out);
    if (metal.basis.kind != Basis::Kind::k_factor)
        throw InvalidInput("k_factor", "a plain deduction or allowance, or nothing",
                           "given for a joggle: its bends are not at the angle a plain figure was found at");
    const double both = 2.0 * metal.radius + metal.thickness;
    // The arcs alone reach a depth of 2 c at 180 degrees; past 90 the sheet would run back under itself.
    const double least_squared = depth * (2.0 * both - depth);
    const double least = depth < both ? std::sqrt(least_squared) : both;
    if (run_out < least)
        throw InvalidInput("run_out", run_out,
                           "at least " + detail::number_text(least) + " for two bends of this radius (lengthen it by " +
                               detail::number_text(least - run_out) + " or use a smaller radius)");
    const double f = std::sqrt(std::fmax(0.0, run_out * run_out - least_squared));
    const double angle_deg = 2.0 * std::atan2(depth, run_out + f) / detail::kDegree;
    const double capped = std::fmin(angle_deg, 90.0);  // the least run-out of a deep joggle is at 90 exactly
    Profile made({Flat{before, Measured::flat, Measured::flat}, bend_of(metal, kUp, capped),
                  Flat{f, Measured::flat, Measured::flat}, bend_of(metal, kDown, capped),
                  Flat{after, Measured::flat, Measured::flat}},
                 metal.thickness);
    const double allowance = made.bend_lines().front().allowance;
    return {std::move(made), capped, f, 2.0 * allowance + f - run_out, least, run_out < kLeastRunOutInDepths * depth};
}

}  // namespace foldswing::blank
