#include <cmath>
#include <foldswing/axis.hpp>
#include <foldswing/crowned_edge.hpp>
#include <foldswing/station.hpp>

#include "catch.hpp"

namespace axis = foldswing::axis;
namespace crowned_edge = foldswing::crowned_edge;
namespace station = foldswing::station;
using catch_match::WithinAbs;
using crowned_edge::AxisHeight;
using foldswing::InvalidInput;

TEST_CASE("a straight axis moves nothing sideways", "[axis][degenerate]") {
    const axis::Axis a{{-10.0, -18.0}, 0.0, {-10.0, -18.0}, 1190.0};
    const auto t = axis::turned(a, {-28.0, 324.0}, 700.0, -125.0);
    REQUIRE(t.sideways == 0.0);
    REQUIRE(t.off_section == 0.0);
    REQUIRE(axis::tilt(a).angle_deg == 0.0);
}

TEST_CASE("a turn about a tilted axis keeps the distance from the axis's points", "[axis][invariant]") {
    const axis::Axis a{{-10.0, -18.0}, 0.0, {4.0, -30.0}, 600.0};
    const double from_left = GENERATE(-50.0, 0.0, 333.0, 600.0);
    const auto t = axis::turned(a, {-28.0, 324.0}, from_left, -77.0);
    for (const double place : {0.0, 600.0}) {
        const auto c = axis::at(a, place);
        const double before = std::hypot(-28.0 - c.x, 324.0 - c.y, from_left - place);
        const double after = std::hypot(t.at.x - c.x, t.at.y - c.y, from_left + t.sideways - place);
        REQUIRE_THAT(after, WithinAbs(before, 1e-10));
    }
}

TEST_CASE("an axis that runs backward is refused", "[axis][domain]") {
    REQUIRE_THROWS_AS(axis::tilt({{0.0, 0.0}, 5.0, {0.0, 0.0}, 5.0}), InvalidInput);
}

TEST_CASE("the lid's rear edge goes back as its check values say", "[crowned_edge][anchor]") {
    REQUIRE_THAT(crowned_edge::swing(1220.0, 38.0, AxisHeight::corner, 400.0, 75.0).back, WithinAbs(36.7, 0.05));
    REQUIRE_THAT(crowned_edge::swing(1220.0, 38.0, AxisHeight::skin, 400.0, 75.0).back, WithinAbs(15.7, 0.05));
    const auto top = crowned_edge::swing(1220.0, 38.0, AxisHeight::crown, 400.0, 75.0);
    REQUIRE(top.back == 0.0);
    REQUIRE_THAT(top.pins_above_skin, WithinAbs(16.3, 0.05));
    REQUIRE(crowned_edge::swing(1220.0, 38.0, AxisHeight::corner, 0.0, 120.0).most_back == 38.0);
}

TEST_CASE("stretches cover the opening and meet at the edges of measured widths", "[station][invariant]") {
    const std::vector<station::Measured> measured{
        {0.0, std::nan(""), {}}, {500.0, 100.0, {}}, {1000.0, std::nan(""), {}}};
    const std::vector<double> places{250.0, 500.4, 740.0};
    const auto s = station::stretches(1000.0, places, measured);
    REQUIRE(s.size() == 5);
    REQUIRE(s.front().from == 0.0);
    REQUIRE(s.back().to == 1000.0);
    for (std::size_t i = 1; i < s.size(); ++i) REQUIRE(s[i].from == s[i - 1].to);
    REQUIRE(s[2].from == 450.0);
    REQUIRE(s[2].to == 550.0);
}

TEST_CASE("a bow has its ends, quarter points and middle, and more where the rise needs them", "[station]") {
    REQUIRE(station::bow_places(1200.0, 1.0, 1.0).size() == 5);
    REQUIRE(station::bow_places(1200.0, 20.0, 0.5).size() == station::kMostStretches + 1);
}
