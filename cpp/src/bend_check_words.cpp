// The checks as sentences for the shop: what, number, what is felt, advice.
#include <algorithm>
#include <cmath>
#include <foldswing/bend_check.hpp>

#include "check.hpp"
#include "words.hpp"

namespace foldswing::bend_check {
namespace {

using detail::fixed;
using detail::mm;

struct Sentence {
    const char* holds;
    const char* fails;
    const char* feel;
    std::string advice;
};

/// A length measured on the sheet that must be at least so much.
Check at_least(double needed, double there, const char* which, const Sentence& say) {
    Check out;
    out.needed = needed;
    out.there = there;
    // Sizes given in inches, and sums of them, come out of rounding just short of the figure they stand for.
    constexpr double kRounding = 1e-9;  // mm
    out.outcome = there >= needed - kRounding ? Outcome::holds : Outcome::fails;
    out.number = std::string(which) + " " + mm(there) + " mm, at least " + mm(needed) + " mm needed";
    out.what = out.outcome == Outcome::holds ? say.holds : say.fails;
    if (out.outcome == Outcome::fails) {
        out.feel = say.feel;
        out.advice = say.advice;
    }
    return out;
}

}  // namespace

const char* word(Outcome outcome) noexcept {
    switch (outcome) {
        case Outcome::holds:
            return "holds";
        case Outcome::fails:
            return "fails";
        case Outcome::not_known:
            break;
    }
    return "not known";
}

Check check_radius(double radius, double least, Grain grain) {
    detail::require_not_negative("radius", radius);
    if (std::isnan(least)) {
        Check out;
        out.needed = least;
        out.there = radius;
        out.what = "The least inside radius is not known";
        out.number = "inside radius " + mm(radius) + " mm; no table reaches this metal and thickness";
        out.advice = grain == Grain::along
                         ? "bend a strip cut the same way of the grain and look at the outside for cracks"
                         : "bend a strip and look at the outside for cracks";
        return out;
    }
    detail::require_not_negative("least", least);
    std::string advice = "a larger radius: a nose bar or punch of " + mm(least) + " mm";
    advice +=
        grain == Grain::along ? ", or lay the blank so that the bend runs across the grain" : ", or a softer temper";
    return at_least(least, radius, "inside radius",
                    {"The inside radius is large enough", "The bend is too tight", "the outside of the bend cracks",
                     std::move(advice)});
}

Check check_flange(double flange, double opening) {
    detail::require_positive("flange", flange);
    const double least = least_flange(opening);
    return at_least(least, flange, "flange",
                    {"The flange is long enough for the V", "The flange is too short for the V",
                     "its edge slips off the shoulder into the V and the flange comes out bowed",
                     "a narrower V than " + mm(opening) + " mm, or bend it longer and trim"});
}

Check check_grip(double flange, double thickness, double least) {
    detail::require_positive("flange", flange);
    detail::require_positive("thickness", thickness);
    detail::require_not_negative("least", least);
    const double needed = least > 0.0 ? least : 4.0 * thickness;
    detail::require(std::isfinite(needed), "thickness", thickness, "small enough for a finite result");
    return at_least(needed, flange, "flange",
                    {"The brake can hold the flange", "The flange is shorter than the brake can hold",
                     "the leaf finds nothing to push on: the flange slips and stays rounded",
                     "bend it longer and trim, or turn it over a block by hammer"});
}

Check check_hole(double clear, double thickness, bool countersunk) {
    detail::require_finite("clear", clear);
    const double needed = hole_distance(thickness, countersunk);
    if (clear < 0.0) {
        Check out;
        out.outcome = Outcome::fails;
        out.needed = needed;
        out.there = clear;
        out.what = "A hole runs into a bend";
        out.number = mm(-clear) + " mm into the bend; its edge should stand " + mm(needed) + " mm off the tangent line";
        out.feel = "the bend pulls the hole oval and a pin binds in it";
        out.advice = "move the hole, or drill it after bending";
        return out;
    }
    return at_least(needed, clear, "edge of the hole to the tangent line",
                    {"The hole is far enough from the bend", "A hole is too near a bend",
                     countersunk ? "the countersink pulls out of round and the screw head stands proud"
                                 : "the bend pulls the hole oval",
                     "move the hole, or drill it after bending"});
}

Check check_relief(double size, double radius, double thickness) {
    detail::require_not_negative("size", size);
    return at_least(relief_diameter(radius, thickness), size, "relief",
                    {"The corner relief is large enough", "The corner relief is too small",
                     "the corner bulges and cracks where the two bends run into each other",
                     "drill the corner out where the bend lines cross, before cutting the notch"});
}

Check check_angle(double on_tool, double most) {
    detail::require_not_negative("on_tool", on_tool);
    detail::require(most >= 0.0 && most <= 180.0, "most", most, "a bend angle (turned through) of 0 to 180");
    Check out;
    out.needed = on_tool;
    out.there = most;
    constexpr double kRounding = 1e-9;  // degrees
    out.outcome = on_tool <= most + kRounding ? Outcome::holds : Outcome::fails;
    out.number = "to be bent through " + fixed(on_tool, 1) + " degrees on the tool, which does " + fixed(most, 1);
    out.what = out.outcome == Outcome::holds ? "The tool turns the bend far enough" : "The bend is beyond the tool";
    if (out.outcome == Outcome::fails) {
        out.feel = "the sheet meets the tool and the bend stays " + fixed(on_tool - most, 1) + " degrees open";
        out.advice = "close it by hand over a bar, or a sharper tool";
    }
    return out;
}

}  // namespace foldswing::bend_check
