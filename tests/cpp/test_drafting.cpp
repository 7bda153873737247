#include <algorithm>
#include <cmath>
#include <foldswing/drafting.hpp>
#include <limits>

#include "catch.hpp"

using foldswing::InvalidInput;
using foldswing::Outline;
using foldswing::Path;
using foldswing::Point;
namespace drafting = foldswing::drafting;

namespace {

Path arc_from(Point start, Point end, double sweep_deg) { return Path({start, end}, {sweep_deg}); }

Point on_cubic(const drafting::Cubic& c, double t) {
    const double u = 1.0 - t;
    return (u * u * u) * c[0] + (3.0 * u * u * t) * c[1] + (3.0 * u * t * t) * c[2] + (t * t * t) * c[3];
}

}  // namespace

TEST_CASE("bounds take in the bulge of an arc and no more", "[drafting][invariant]") {
    const double sweep = GENERATE(-350.0, -180.0, -91.0, -0.001, 12.0, 90.0, 180.0, 270.0, 359.0);
    const double turn = GENERATE(0.0, 17.0, 90.0, 200.0);
    const double c = std::cos(turn * 0.017453292519943295);
    const double s = std::sin(turn * 0.017453292519943295);
    const Path path = arc_from({3.0 + c, s}, {3.0 - 2.0 * c, 5.0 * s + 1.0}, sweep);
    const drafting::Bounds box = drafting::bounds(path);
    double left = 1e9;
    double top = -1e9;
    for (int i = 0; i <= 20000; ++i) {
        const Point p = path.at(0, i / 20000.0);
        left = std::min(left, p.x);
        top = std::max(top, p.y);
    }
    const double slack = path.radius(0) * 1e-7;  // a step of 1/20000 of a turn misses a top by r (step/2)^2 / 2
    REQUIRE(box.left <= left + 1e-9 * path.radius(0));
    REQUIRE(box.left >= left - slack);
    REQUIRE(box.top >= top - 1e-9 * path.radius(0));
    REQUIRE(box.top <= top + slack);
}

TEST_CASE("the bounds of a full circle are its diameter", "[drafting][anchor]") {
    const Path circle({{4.0, 0.0}, {0.0, 0.0}}, {180.0, 180.0}, true);
    const drafting::Bounds box = drafting::bounds(circle);
    REQUIRE(box.left == 0.0);
    REQUIRE(box.right == 4.0);
    REQUIRE(box.bottom == -2.0);
    REQUIRE(box.top == 2.0);
}

TEST_CASE("a path cut into pieces is the same path", "[drafting][invariant]") {
    const double sweep = GENERATE(-300.0, -45.0, 0.0, 30.0, 180.0);
    const double largest = GENERATE(1.0, 30.0, 45.0, 360.0);
    const Path path({{0.0, 0.0}, {10.0, 1.0}, {10.0, 7.0}}, {sweep, 0.0, 20.0}, true);
    const Path pieces = drafting::split(path, largest);
    REQUIRE(pieces.closed());
    REQUIRE_THAT(pieces.length(), catch_match::WithinRel(path.length(), 1e-12));
    for (const double s : pieces.sweep_deg()) REQUIRE(std::abs(s) <= largest);
    const std::vector<Point>& points = pieces.points();
    for (const Point p : path.points()) REQUIRE(std::find(points.begin(), points.end(), p) != points.end());
}

TEST_CASE("pieces of less than a degree or more than a turn are refused", "[drafting][domain]") {
    const Path path = arc_from({0.0, 0.0}, {1.0, 0.0}, 90.0);
    REQUIRE_THROWS_AS(drafting::split(path, 0.5), InvalidInput);
    REQUIRE_THROWS_AS(drafting::split(path, 361.0), InvalidInput);
    REQUIRE_THROWS_AS(drafting::split(path, std::numeric_limits<double>::quiet_NaN()), InvalidInput);
}

TEST_CASE("the bulge of a half turn is exactly one, of a line exactly nothing", "[drafting][anchor]") {
    const Path path({{0.0, 0.0}, {2.0, 0.0}, {4.0, 0.0}, {6.0, 0.0}}, {180.0, 0.0, -180.0});
    REQUIRE(drafting::bulges(path) == std::vector<double>{1.0, 0.0, -1.0});
}

TEST_CASE("the bulge is the height of the arc over half its chord", "[drafting][invariant]") {
    const double sweep = GENERATE(-340.0, -90.0, -1e-6, 5.0, 120.0, 359.0);
    const Path path = arc_from({0.0, 0.0}, {2.0, 0.0}, sweep);
    // the middle of an arc from left to right lies below for a counter-clockwise turn
    REQUIRE_THAT(drafting::bulges(path)[0], catch_match::WithinRel(-path.at(0, 0.5).y, 1e-9));
}

TEST_CASE("cubics follow an arc within 4e-7 of its radius", "[drafting][invariant]") {
    const double sweep = GENERATE(-355.0, -90.0, 1e-3, 29.9, 30.0, 31.0, 180.0);
    const Path path = arc_from({1.0, 2.0}, {-3.0, 0.5}, sweep);
    const Point centre = path.centre(0);
    const double radius = path.radius(0);
    const std::vector<drafting::Cubic> pieces = drafting::cubics(path);
    REQUIRE(pieces.front()[0] == path.start(0));
    REQUIRE(pieces.back()[3] == path.end(0));
    for (const drafting::Cubic& piece : pieces) {
        for (int i = 0; i <= 40; ++i) {
            const Point p = on_cubic(piece, i / 40.0);
            REQUIRE(std::abs(std::hypot(p.x - centre.x, p.y - centre.y) - radius) <= 4e-7 * radius);
        }
    }
}

TEST_CASE("the cubic of a line has its controls at the thirds", "[drafting][anchor]") {
    const std::vector<drafting::Cubic> pieces = drafting::cubics(Path({{0.0, 3.0}, {9.0, 3.0}}, {0.0}));
    REQUIRE(pieces.size() == 1);
    REQUIRE(std::abs(pieces[0][1].x - 3.0) < 1e-15);
    REQUIRE(pieces[0][2] == Point{6.0, 3.0});
}

TEST_CASE("clipping leaves what lies in the window", "[drafting][anchor]") {
    const Outline slab({{-100.0, 0.0}, {100.0, 0.0}, {100.0, 10.0}, {-100.0, 10.0}});
    const std::vector<Path> pieces = drafting::clipped(slab, {-20.0, -5.0, 120.0, 5.0});
    REQUIRE(pieces.size() == 1);
    REQUIRE(pieces[0].points() == std::vector<Point>{{-20.0, 0.0}, {100.0, 0.0}, {100.0, 5.0}});
    REQUIRE_FALSE(pieces[0].closed());
}

TEST_CASE("an outline wholly inside the window stays closed, one outside or around it leaves nothing",
          "[drafting][degenerate]") {
    const Outline square({{0.0, 0.0}, {1.0, 0.0}, {1.0, 1.0}, {0.0, 1.0}});
    REQUIRE(drafting::clipped(square, {-1.0, -1.0, 2.0, 2.0}).size() == 1);
    REQUIRE(drafting::clipped(square, {-1.0, -1.0, 2.0, 2.0})[0].closed());
    REQUIRE(drafting::clipped(square, {0.0, 0.0, 1.0, 1.0})[0].closed());
    REQUIRE(drafting::clipped(square, {5.0, 5.0, 6.0, 6.0}).empty());
    REQUIRE(drafting::clipped(square, {0.2, 0.2, 0.8, 0.8}).empty());
    REQUIRE_THROWS_AS(drafting::clipped(square, {1.0, 0.0, 0.0, 1.0}), InvalidInput);
}

TEST_CASE("a corner that pokes out of the window is cut off on both sides", "[drafting][degenerate]") {
    const Outline wedge({{0.0, 0.0}, {4.0, 0.0}, {2.0, 4.0}});
    const std::vector<Path> pieces = drafting::clipped(wedge, {-1.0, -1.0, 5.0, 2.0});
    REQUIRE(pieces.size() == 2);
    REQUIRE(pieces[0].points() == std::vector<Point>{{0.0, 0.0}, {4.0, 0.0}, {3.0, 2.0}});
    REQUIRE(pieces[1].points() == std::vector<Point>{{1.0, 2.0}, {0.0, 0.0}});
}

TEST_CASE("the foot of a perpendicular lies square below the point", "[drafting][anchor]") {
    REQUIRE(drafting::foot({3.0, 7.0}, {-1.0, 2.0}, {9.0, 2.0}) == Point{3.0, 2.0});
    REQUIRE(drafting::foot({5.0, 5.0}, {5.0, 5.0}, {6.0, 8.0}) == Point{5.0, 5.0});
    REQUIRE_THROWS_AS(drafting::foot({0.0, 0.0}, {1.0, 1.0}, {1.0, 1.0}), InvalidInput);
}

TEST_CASE("an arc too flat for any radius is bounded by its ends", "[drafting]") {
    const foldswing::Path flat({{0.0, 0.0}, {100.0, 50.0}}, {1e-310}, false);
    const auto box = foldswing::drafting::bounds(flat);
    REQUIRE(box.left == 0.0);
    REQUIRE(box.right == 100.0);
    REQUIRE(box.bottom == 0.0);
    REQUIRE(box.top == 50.0);
}
