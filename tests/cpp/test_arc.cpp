#include <cmath>
#include <foldswing/arc.hpp>
#include <limits>
#include <numbers>
#include <vector>

#include "catch.hpp"

namespace arc = foldswing::arc;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using foldswing::InvalidInput;
using foldswing::Point;

TEST_CASE("a 3-4-5 triangle gives radius 5 exactly", "[arc][anchor]") {
    REQUIRE(arc::radius(8.0, 2.0) == 5.0);  // half-chord 4, centre 3 below the chord
    REQUIRE(arc::rise(8.0, 5.0) == 2.0);
    REQUIRE(arc::rise_major(8.0, 5.0) == 8.0);
    REQUIRE(arc::chord(2.0, 5.0) == 8.0);
    REQUIRE(arc::height(8.0, 2.0, 3.0) == 1.0);
}

TEST_CASE("radius and length come back from chord and rise", "[arc][invariant]") {
    const double r = GENERATE(0.5, 40.0, 1.2e4);
    const double half = GENERATE(1e-9, 1e-3, 0.3, 1.5, 3.0);
    const double s = std::sin(0.5 * half);  // 2 r s^2, not r(1-cos): flat arcs keep their digits
    const double chord = 2.0 * r * std::sin(half);
    const double rise = 2.0 * r * s * s;
    REQUIRE_THAT(arc::radius(chord, rise), WithinRel(r, 1e-13));
    REQUIRE_THAT(arc::length(chord, rise), WithinRel(2.0 * r * half, 1e-13));
    REQUIRE_THAT(arc::angle_deg(chord, rise), WithinRel(360.0 * half / std::numbers::pi, 1e-13));
}

TEST_CASE("a half circle is 180 degrees to the bit", "[arc][domain]") {
    REQUIRE(arc::angle_deg(10.0, 5.0) == 180.0);
    REQUIRE(arc::rise(10.0, 5.0) == arc::rise_major(10.0, 5.0));
    arc::Known known;
    known.radius = 7.0;
    known.angle_deg = 180.0;
    REQUIRE(arc::solve(known).arcs[0].chord == 14.0);
}

TEST_CASE("chord with radius has a smaller and a larger arc", "[arc][domain]") {
    arc::Known known;
    known.chord = 8.0;
    known.radius = 5.0;
    const arc::Solution s = arc::solve(known);
    REQUIRE(s.status == arc::Answers::two);
    REQUIRE(s.arcs[0].rise == 2.0);
    REQUIRE(s.arcs[1].rise == 8.0);
    REQUIRE_THAT(s.arcs[0].length + s.arcs[1].length, WithinRel(10.0 * std::numbers::pi, 1e-15));
}

TEST_CASE("rise with length has two arcs only between 1/pi and the top", "[arc][domain]") {
    arc::Known known;
    known.length = 1.0;
    known.rise = 0.3;
    REQUIRE(arc::solve(known).status == arc::Answers::one);
    known.rise = 0.34;
    REQUIRE(arc::solve(known).status == arc::Answers::two);
    known.rise = 0.3624;
    const arc::Solution none = arc::solve(known);
    REQUIRE(none.status == arc::Answers::none);
    REQUIRE(std::isnan(none.arcs[0].radius));
    REQUIRE(arc::explain(known, none).find("the most is 0.3623") != std::string::npos);
}

TEST_CASE("three points in line are straight or outside, not an error", "[arc][degenerate]") {
    REQUIRE(arc::from_points({0, 0}, {1, 1}, {3, 3}).status == arc::ThreePointStatus::straight);
    REQUIRE(arc::from_points({0, 0}, {5, 5}, {3, 3}).status == arc::ThreePointStatus::outside);
    REQUIRE(arc::from_points({5, 0}, {-5, 0}, {0, -5}).sweep_deg == 270.0);
    REQUIRE_THROWS_AS(arc::from_points({0, 0}, {0, 0}, {1, 1}), InvalidInput);
}

TEST_CASE("points on a circle fit it by every method", "[arc][invariant]") {
    const auto method = GENERATE(arc::FitMethod::geometric, arc::FitMethod::taubin, arc::FitMethod::pratt,
                                 arc::FitMethod::kasa, arc::FitMethod::unit_norm);
    const std::vector<Point> points{{8, 4}, {7, 7}, {4, 8}, {0, 0}, {8, 0}, {0, 8}};  // three of them off it
    const std::vector<Point> exact{{5, 0}, {3, 4}, {-4, 3}, {0, -5}, {-3, -4}};
    const arc::Fit fit = arc::fit(exact, method);
    REQUIRE(fit.status == arc::FitStatus::circle);
    REQUIRE_THAT(fit.radius, WithinRel(5.0, 1e-13));
    REQUIRE_THAT(fit.centre.x, WithinAbs(0.0, 1e-13));
    REQUIRE(arc::fit(points, method).rms > 0.1);
}

TEST_CASE("points in line fit a straight line with curvature 0", "[arc][degenerate]") {
    const std::vector<Point> line{{0, 0}, {1, 2}, {2, 4}, {5, 10}};
    const arc::Fit fit = arc::fit(line);
    REQUIRE(fit.status == arc::FitStatus::straight);
    REQUIRE(fit.curvature == 0.0);
    REQUIRE(std::isinf(fit.radius));
}

TEST_CASE("layers from outside and from inside meet", "[arc][invariant]") {
    const std::vector<double> inward{1.2, 1.0, 0.9};
    const auto from_outside = arc::layers(100.0, inward, 90.0);
    const std::vector<double> outward{0.9, 1.0, 1.2};
    const auto from_inside = arc::layers(from_outside.back().inner_radius, outward, 90.0, arc::Face::inside);
    REQUIRE_THAT(from_inside.back().outer_radius, WithinRel(100.0, 1e-15));
    REQUIRE_THAT(from_outside[0].outer_length, WithinRel(50.0 * std::numbers::pi, 1e-15));
}

TEST_CASE("what breaks a rule is named", "[arc][domain]") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    REQUIRE_THROWS_AS(arc::radius(nan, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(arc::rise(11.0, 5.0), InvalidInput);
    REQUIRE_THROWS_AS(arc::height(8.0, 2.0, 4.5), InvalidInput);
    REQUIRE_THROWS_AS(arc::solve({}), InvalidInput);
    REQUIRE_THROWS_AS(arc::fit(std::vector<Point>{{0, 0}, {1, 1}}), InvalidInput);
    const std::vector<double> too_thick{1.0, 5.0};
    REQUIRE_THROWS_AS(arc::layers(5.0, too_thick, 90.0), InvalidInput);
}

TEST_CASE("a straight line has no height, however short its chord", "[arc][degenerate]") {
    REQUIRE(arc::height(1e-100, 0.0, 0.0) == 0.0);
    REQUIRE(arc::along(1e-100, 0.0, 0.0) == 0.0);
    REQUIRE_THROWS_AS(arc::height(std::numeric_limits<double>::denorm_min(), 0.0, 0.0), foldswing::InvalidInput);
    REQUIRE_THROWS_AS(arc::radius(1e101, 1.0), foldswing::InvalidInput);
}

TEST_CASE("the ends of an arc up to a half circle lie on its chord") {
    for (const double rise : {0.0, 1.0, 100.0, 165.0}) {
        INFO(rise);
        CHECK(foldswing::arc::height(330.0, rise, 165.0) == 0.0);
        CHECK(foldswing::arc::height(330.0, rise, -165.0) == 0.0);
    }
}
