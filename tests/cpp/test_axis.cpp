// One straight axis through two pivots. A turn about it is checked by what a rigid turn keeps.
#include <cmath>
#include <foldswing/axis.hpp>
#include <limits>
#include <random>

#include "catch.hpp"

namespace axis = foldswing::axis;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using foldswing::InvalidInput;
using foldswing::Point;

namespace {
constexpr double kRounding = 1e-10;  // mm, on parts of up to 2000 mm
constexpr Point kEdge{-28.0, 324.0};

/// The angle of a turn, from the sine of its half: the chord over twice the distance from the axis.
double turned_by(const axis::Axis& a, const axis::Turned& t, Point p, double from_left) {
    const Point c = axis::at(a, from_left);
    const double run = a.right_at - a.left_at;
    const Point u{(a.right.x - a.left.x) / run, (a.right.y - a.left.y) / run};  // per mm along the hinge
    const double dx = p.x - c.x;
    const double dy = p.y - c.y;
    const double along = (dx * u.x + dy * u.y) / std::sqrt(1.0 + u.x * u.x + u.y * u.y);
    const double chord = std::hypot(t.at.x - p.x, t.at.y - p.y, t.sideways);
    return 2.0 * std::asin(std::min(1.0, 0.5 * chord / std::sqrt(dx * dx + dy * dy - along * along))) * 180.0 / M_PI;
}
}  // namespace

TEST_CASE("a straight axis moves nothing sideways", "[axis][degenerate]") {
    const axis::Axis a{{-10.0, -18.0}, 0.0, {-10.0, -18.0}, 1190.0};
    const auto t = axis::turned(a, kEdge, 700.0, -125.0);
    REQUIRE(t.sideways == 0.0);
    REQUIRE(!std::signbit(t.sideways));
    REQUIRE(t.off_section == 0.0);
    REQUIRE(axis::tilt(a).angle_deg == 0.0);
}

TEST_CASE("a turn about a tilted axis keeps the distance from the axis's points, and is as far as asked",
          "[axis][invariant]") {
    const axis::Axis a{{-10.0, -18.0}, 0.0, {4.0, -30.0}, 600.0};
    const double from_left = GENERATE(-50.0, 0.0, 333.0, 600.0);
    const double turn = GENERATE(-77.0, -180.0, 12.0);
    const auto t = axis::turned(a, kEdge, from_left, turn);
    for (const double place : {0.0, 600.0}) {
        const auto c = axis::at(a, place);
        const double before = std::hypot(kEdge.x - c.x, kEdge.y - c.y, from_left - place);
        const double after = std::hypot(t.at.x - c.x, t.at.y - c.y, from_left + t.sideways - place);
        REQUIRE_THAT(after, WithinAbs(before, kRounding));
    }
    REQUIRE_THAT(turned_by(a, t, kEdge, from_left), WithinAbs(std::abs(turn), 1e-5));  // flat near half a turn
}

TEST_CASE("the axis goes through both pivots to the bit, and a point on it stays", "[axis][degenerate]") {
    const axis::Axis a{{-10.1, -18.3}, 3.7, {4.9, -30.7}, 1190.3};
    REQUIRE(axis::at(a, 3.7) == a.left);
    REQUIRE(axis::at(a, 1190.3) == a.right);
    const auto t = axis::turned(a, a.right, 1190.3, 71.0);
    REQUIRE(t.at == a.right);
    REQUIRE(t.sideways == 0.0);
    REQUIRE(axis::turned(a, kEdge, 500.0, 0.0).at == kEdge);
    REQUIRE(axis::turned(a, kEdge, 500.0, -360.0).off_section == 0.0);
}

TEST_CASE("off the section goes with the square of a small tilt, and sideways with the tilt", "[axis][anchor]") {
    // sine t and (1 - cosine) t of the formula at a quarter turn, with the tilt t along x alone
    const double tilt = GENERATE(1e-3, 1e-6, 1e-9, 1e-150);
    const axis::Axis a{{0.0, 0.0}, 0.0, {1000.0 * tilt, 0.0}, 1000.0};
    const auto t = axis::turned(a, {30.0, 400.0}, 0.0, 90.0);
    REQUIRE_THAT(t.sideways, WithinRel(430.0 * tilt, 2e-6));
    const double u2 = tilt * tilt;  // by hand: (u^2/2 (-J d) + (u.d) u) at a quarter turn
    REQUIRE_THAT(t.off_section, WithinRel(std::hypot(u2 * (0.5 * 400.0 + 30.0), -u2 * 0.5 * 30.0), 2e-6));
}

TEST_CASE("seen from the other end the tilt and the shift change sides", "[axis][invariant]") {
    std::mt19937 random(3);
    const auto in = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
    for (int i = 0; i < 100; ++i) {
        const double width = in(100.0, 2000.0);
        const axis::Axis a{
            {in(-50, 50), in(-50, 50)}, in(0.0, 40.0), {in(-50, 50), in(-50, 50)}, width - in(0.0, 40.0)};
        const double from_left = in(-100.0, 2100.0);
        const double turn = in(-360.0, 360.0);
        const auto mirrored = [](Point p) { return Point{-p.x, p.y}; };
        const axis::Axis b{mirrored(a.right), width - a.right_at, mirrored(a.left), width - a.left_at};
        const auto one = axis::turned(a, kEdge, from_left, turn);
        const auto other = axis::turned(b, mirrored(kEdge), width - from_left, -turn);
        CAPTURE(i, from_left, turn);
        CHECK_THAT(other.at.x, WithinAbs(-one.at.x, kRounding));
        CHECK_THAT(other.at.y, WithinAbs(one.at.y, kRounding));
        CHECK_THAT(other.sideways, WithinAbs(-one.sideways, kRounding));
        CHECK_THAT(other.off_section, WithinAbs(one.off_section, kRounding));
        CHECK_THAT(axis::tilt(b).angle_deg, WithinAbs(axis::tilt(a).angle_deg, 1e-10));
    }
}

TEST_CASE("an axis that is none, or out of all bounds, is refused", "[axis][domain]") {
    const double inf = std::numeric_limits<double>::infinity();
    REQUIRE_THROWS_AS(axis::tilt({{0.0, 0.0}, 5.0, {0.0, 0.0}, 5.0}), InvalidInput);
    REQUIRE_THROWS_AS(axis::tilt({{0.0, 0.0}, 5.0, {0.0, 0.0}, 4.0}), InvalidInput);
    REQUIRE_THROWS_AS(axis::at({{0.0, 0.0}, 0.0, {1.0, 0.0}, 1e-300}, 1e100), InvalidInput);
    REQUIRE_THROWS_AS(axis::at({{0.0, NAN}, 0.0, {1.0, 0.0}, 5.0}, 1.0), InvalidInput);
    const axis::Axis a{{0.0, 0.0}, 0.0, {1.0, 0.0}, 5.0};
    REQUIRE_THROWS_AS(axis::at(a, inf), InvalidInput);
    REQUIRE_THROWS_AS(axis::turned(a, {1e101, 0.0}, 0.0, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(axis::turned(a, {1.0, 0.0}, 0.0, inf), InvalidInput);
    const axis::Axis extreme{{-1e100, 1e100}, 0.0, {1e100, 0.0}, 1e-100};
    const auto t = axis::turned(extreme, {1e100, 1e100}, -1e100, 33.0);
    REQUIRE(std::isfinite(t.at.x + t.at.y + t.sideways + t.off_section));
}
