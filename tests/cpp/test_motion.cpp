#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/hinge.hpp>
#include <foldswing/motion.hpp>
#include <limits>

#include "catch.hpp"

using foldswing::InvalidInput;
using foldswing::Motion;
using foldswing::Point;
using foldswing::Pose;
using foldswing::Tabulated;
using foldswing::hinge::PivotHinge;

namespace {

Pose pose_at(const Motion& motion, double s) {
    Pose pose;
    motion.poses({&s, 1}, {&pose, 1});
    return pose;
}

const std::array<Point, 3> kCorners{Point{0, 0}, Point{80, 5}, Point{-20, 60}};

/// Every bound that a motion states, checked at many places between s0 and s1.
void check_bounds(const Motion& motion, double s0, double s1) {
    const double stray = motion.stray(kCorners, s0, s1);
    const double bulge = motion.bulge(kCorners, s0, s1);
    const Pose middle = pose_at(motion, 0.5 * (s0 + s1));
    for (int i = 0; i <= 40; ++i) {
        const double f = i / 40.0;
        const Pose here = pose_at(motion, s0 + f * (s1 - s0));
        for (const Point q : kCorners) {
            const Point at = here.apply(q);
            const Point off = at - middle.apply(q);
            REQUIRE(std::hypot(off.x, off.y) <= stray + 1e-9);
            const Point a = pose_at(motion, s0).apply(q);
            const Point chord = at - (a + f * (pose_at(motion, s1).apply(q) - a));
            REQUIRE(std::hypot(chord.x, chord.y) <= bulge + 1e-9);
        }
    }
}

}  // namespace

TEST_CASE("a table gives back its knots to the bit", "[motion][anchor]") {
    const Tabulated table({0.0, 0.3, 1.0}, {{0, 0, 0}, {0.1, 7, 33}, {5, -3, -400}});
    REQUIRE(pose_at(table, 0.0) == Pose{0, 0, 0});
    REQUIRE(pose_at(table, 0.3) == Pose{0.1, 7, 33});
    REQUIRE(pose_at(table, 1.0) == Pose{5, -3, -400});
    REQUIRE(table.breaks() == std::vector<double>{0.3});
}

TEST_CASE("no point strays or bulges farther than the motion says", "[motion][invariant]") {
    const double s0 = GENERATE(0.0, 0.2, 0.45);
    const double width = GENERATE(1e-3, 0.05, 0.5);
    const double angle = GENERATE(0.0, 3.0, -120.0, 700.0);
    check_bounds(PivotHinge({40, -10}, 15, 15 + angle), s0, s0 + width);
    check_bounds(Tabulated({0, 1}, {{3, 4, 10}, {200, -60, 10 + angle}}), s0, s0 + width);
}

TEST_CASE("the stray of a small piece halves with the piece", "[motion]") {
    const Tabulated table({0, 1}, {{0, 0, 0}, {150, 80, 60}});
    const double coarse = table.stray(kCorners, 0.4, 0.402);
    const double fine = table.stray(kCorners, 0.4, 0.401);
    REQUIRE(fine < 0.51 * coarse);
    REQUIRE(table.stray(kCorners, 0.4, 0.4) == 0.0);
}

TEST_CASE("a table that is not one is refused by name", "[motion]") {
    const Pose p{0, 0, 0};
    const double nan = std::numeric_limits<double>::quiet_NaN();
    REQUIRE_THROWS_AS(Tabulated({0}, {p}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0, 1}, {p}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0.5, 1}, {p, p}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0, 0.5}, {p, p}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0, nan, 1}, {p, p, p}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0, 0.5, 0.5, 1}, {p, p, p, p}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0, 1}, {p, {0, nan, 0}}), InvalidInput);
    REQUIRE_THROWS_AS(Tabulated({0, 1}, {p, p}, -1.0), InvalidInput);
}
