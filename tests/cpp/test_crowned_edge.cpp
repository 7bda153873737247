// A lid hinged along an arc. Heights are taken again from the circle itself, in long double.
#include <cmath>
#include <foldswing/arc.hpp>
#include <foldswing/crowned_edge.hpp>
#include <limits>

#include "catch.hpp"

namespace crowned_edge = foldswing::crowned_edge;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using crowned_edge::AxisHeight;
using foldswing::InvalidInput;

TEST_CASE("the lid's rear edge goes back as its check values say", "[crowned_edge][anchor]") {
    REQUIRE_THAT(crowned_edge::swing(1220.0, 38.0, AxisHeight::corner, 400.0, 75.0).back, WithinAbs(36.7, 0.05));
    REQUIRE_THAT(crowned_edge::swing(1220.0, 38.0, AxisHeight::skin, 400.0, 75.0).back, WithinAbs(15.7, 0.05));
    const auto top = crowned_edge::swing(1220.0, 38.0, AxisHeight::crown, 400.0, 75.0);
    REQUIRE(top.back == 0.0);
    REQUIRE_THAT(top.pins_above_skin, WithinAbs(16.3, 0.05));
    REQUIRE(crowned_edge::swing(1220.0, 38.0, AxisHeight::corner, 0.0, 120.0).most_back == 38.0);
}

TEST_CASE("heights of axis, middle and skin add up to the rise", "[crowned_edge][invariant]") {
    const double rise = GENERATE(1e-12, 0.3, 38.0, 400.0, 610.0);
    const double from_middle = GENERATE(0.0, 1.0, 400.0, 609.9, 610.0);
    const auto at = [&](AxisHeight h) { return crowned_edge::swing(1220.0, rise, h, from_middle, 90.0); };
    for (const auto h : {AxisHeight::corner, AxisHeight::skin, AxisHeight::crown}) {
        const auto s = at(h);
        REQUIRE_THAT(s.above_corners + s.middle_above, WithinRel(rise, 1e-13));
        REQUIRE(s.back == s.middle_above);
        REQUIRE(s.most_back == s.middle_above);
        REQUIRE(s.corners_forward == s.above_corners);
    }
    // how far the skin at the hinges lies below the crown, and above the corners
    REQUIRE_THAT(at(AxisHeight::crown).pins_above_skin - at(AxisHeight::corner).pins_above_skin,
                 WithinRel(rise, 1e-13));
}

TEST_CASE("the drop of the skin keeps its digits from nearly flat to nearly half a circle",
          "[crowned_edge][numerics]") {
    const double flatter = GENERATE(1e-15, 1e-9, 1e-3, 0.5, 0.999999);  // rise short of half a circle
    const double inward = GENERATE(0.0, 1e-14, 1e-7, 0.1, 0.9);         // hinges short of the corners
    const double chord = 1220.0;
    const double rise = 610.0 * (1.0 - flatter);
    const double from_middle = 610.0 * (1.0 - inward);
    const long double a = 0.5L * chord;
    const long double h = rise;
    const long double x = from_middle;
    const long double radius = a * a / (2.0L * h) + 0.5L * h;
    const long double past = (a - h) * (a - h) / (2.0L * h) + (a - x);  // radius - x, without its difference
    const long double drop = x * x / (radius + std::sqrt(past * (radius + x)));
    CAPTURE(rise, from_middle);
    REQUIRE_THAT(crowned_edge::swing(chord, rise, AxisHeight::crown, from_middle, 90.0).pins_above_skin,
                 WithinRel(static_cast<double>(drop), 1e-13));
}

TEST_CASE("a straight edge goes nowhere, and shut nothing has moved", "[crowned_edge][degenerate]") {
    for (const auto h : {AxisHeight::corner, AxisHeight::skin, AxisHeight::crown}) {
        const auto flat = crowned_edge::swing(1220.0, 0.0, h, 400.0, 75.0);
        REQUIRE(flat.above_corners == 0.0);
        REQUIRE(flat.most_back == 0.0);
        REQUIRE(flat.corners_forward == 0.0);
        REQUIRE(flat.pins_above_skin == 0.0);
        const auto shut = crowned_edge::swing(1220.0, 38.0, h, 400.0, 0.0);
        REQUIRE(shut.back == 0.0);
        REQUIRE(shut.most_back == 0.0);
        REQUIRE(crowned_edge::swing(1220.0, 38.0, h, 400.0, 180.0).back == 0.0);
    }
}

TEST_CASE("what is no edge, or no opening, is refused", "[crowned_edge][domain]") {
    const double bad =
        GENERATE(-1.0, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity());
    REQUIRE_THROWS_AS(crowned_edge::swing(bad, 38.0, AxisHeight::skin, 400.0, 75.0), InvalidInput);
    REQUIRE_THROWS_AS(crowned_edge::swing(1220.0, bad, AxisHeight::skin, 400.0, 75.0), InvalidInput);
    REQUIRE_THROWS_AS(crowned_edge::swing(1220.0, 38.0, AxisHeight::skin, bad, 75.0), InvalidInput);
    REQUIRE_THROWS_AS(crowned_edge::swing(1220.0, 38.0, AxisHeight::skin, 400.0, bad), InvalidInput);
    REQUIRE_THROWS_AS(crowned_edge::swing(1220.0, 610.1, AxisHeight::skin, 400.0, 75.0), InvalidInput);
    REQUIRE_THROWS_AS(crowned_edge::swing(1220.0, 38.0, AxisHeight::skin, 610.1, 75.0), InvalidInput);
    REQUIRE_THROWS_AS(crowned_edge::swing(1220.0, 38.0, AxisHeight::skin, 400.0, 180.1), InvalidInput);
}
