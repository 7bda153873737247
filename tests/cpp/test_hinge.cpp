#include <cmath>
#include <foldswing/hinge.hpp>
#include <foldswing/landing.hpp>
#include <limits>
#include <numbers>
#include <random>

#include "catch.hpp"

namespace hinge = foldswing::hinge;
using foldswing::InvalidInput;
using foldswing::Point;
using foldswing::Pose;
using hinge::Landing;
using hinge::LandingKind;
using hinge::PivotStatus;

namespace {
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinity = std::numeric_limits<double>::infinity();
double span(Point a, Point b) { return std::hypot(a.x - b.x, a.y - b.y); }

// Rotation by plain radians: independent of the library's own trigonometry.
Point turned(Point q, Point pivot, double turn_deg) {
    const double a = turn_deg * std::numbers::pi / 180.0;
    const Point d{q.x - pivot.x, q.y - pivot.y};
    return {pivot.x + std::cos(a) * d.x - std::sin(a) * d.y, pivot.y + std::sin(a) * d.x + std::cos(a) * d.y};
}
}  // namespace

TEST_CASE("a gate level and flush with its gap kept asks for the pivot on the corner's bisector", "[hinge][anchor]") {
    const auto s = hinge::solve_pivot(std::vector{hinge::lands_at_height(-90.0, {-28.0, 0.0}, 0.0),
                                                  Landing(-90.0, {-28.0, -36.0}, {1.0, 0.0}, -28.0)});
    REQUIRE(s.status == PivotStatus::point);
    REQUIRE(s.pivot == Point{-10.0, -18.0});  // 18 from the inner face, 18 below the worktop, 18 above the lower edge
}

TEST_CASE("a landing made of its own fields is the same landing", "[hinge][invariant]") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> u(-3.0, 3.0);
    for (int i = 0; i < 1000; ++i) {
        const Landing a(u(random) * 90.0, {u(random), u(random)}, {u(random), u(random)}, u(random),
                        std::abs(u(random)));
        REQUIRE(a == Landing(a.turn_deg(), a.point(), a.normal(), a.offset(), a.tolerance(), a.kind()));
    }
}

TEST_CASE("the miss of a landing is how far the turned point lies beyond the line", "[hinge][invariant]") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> u(-500.0, 500.0);
    for (int i = 0; i < 1000; ++i) {
        const Point q{u(random), u(random)};
        const Point p{u(random), u(random)};
        const Point n{u(random), u(random)};
        const double turn = u(random);
        const double d = u(random);
        const Landing l(turn, q, n, d);
        const Point x = turned(q, p, turn);
        REQUIRE(std::abs(l.miss(p) - (n.x * x.x + n.y * x.y - d) / std::hypot(n.x, n.y)) < 1e-11);
    }
}

TEST_CASE("every status is told by the directions of the strips, not by the size of the turns", "[hinge][degenerate]") {
    const double turn = GENERATE(0.001, 1e-7, 30.0, 179.9, 359.999);
    const Point pivot{-310.0, 47.0};
    const Point q{15.0, 220.0};
    const Point x = turned(q, pivot, turn);
    const Landing across(turn, q, {1.0, 0.0}, x.x);
    const Landing up(turn, q, {0.0, 1.0}, x.y);
    REQUIRE(hinge::solve_pivot(std::vector{across, up}).status == PivotStatus::point);
    const auto line = hinge::solve_pivot(std::vector{across});
    REQUIRE(line.status == PivotStatus::line);
    REQUIRE(std::abs(line.direction.x * line.pivot.x + line.direction.y * line.pivot.y) <
            1e-9 * (1.0 + std::hypot(line.pivot.x, line.pivot.y)));  // nearest the origin: square to the line
    REQUIRE(std::abs(line.residuals[0]) < 1e-9);
    const Landing higher(turn, q, {1.0, 0.0}, x.x + 2.5);
    REQUIRE(hinge::solve_pivot(std::vector{across, higher}).status == PivotStatus::none);
}

TEST_CASE("whole revolutions ask nothing of the pivot and are met or not", "[hinge][degenerate]") {
    const double turn = GENERATE(0.0, -0.0, 360.0, -720.0, 3600.0);
    const Landing met(turn, {4.0, 5.0}, {0.0, 2.0}, 11.0);
    const Landing unmet(turn, {4.0, 5.0}, {0.0, 2.0}, 13.0);
    REQUIRE(hinge::solve_pivot(std::vector{met}).status == PivotStatus::any);
    REQUIRE(std::isnan(hinge::solve_pivot(std::vector{met}).pivot.x));
    REQUIRE(hinge::solve_pivot(std::vector{unmet}).status == PivotStatus::none);
    REQUIRE(hinge::solve_pivot(std::vector{unmet}).residuals[0] == -1.5);
    const Landing real(90.0, {4.0, 5.0}, {0.0, 1.0}, 9.0);
    const auto with = hinge::solve_pivot(std::vector{unmet, real});
    REQUIRE(with.status == PivotStatus::none);
    REQUIRE(std::abs(with.residuals[1]) < 1e-12);  // the others are still served
}

TEST_CASE("the pole keeps its place in both poses, and translations have it at infinity", "[hinge][invariant]") {
    const auto quarter = hinge::pole({0.0, 0.0, 0.0}, {8.0, -28.0, -90.0});
    REQUIRE(quarter.status == hinge::PoleStatus::point);
    REQUIRE(quarter.pivot == Point{-10.0, -18.0});
    const auto slide = hinge::pole({1.0, 2.0, 33.0}, {1.0, 7.0, 393.0});
    REQUIRE(slide.status == hinge::PoleStatus::infinity);
    REQUIRE(slide.direction == Point{-1.0, 0.0});
    REQUIRE(hinge::pole({1.0, 2.0, 33.0}, {1.0, 2.0, -327.0}).status == hinge::PoleStatus::any);
    const double turn = GENERATE(1e-3, 45.0, 180.0, -271.0, 800.0);
    const Pose a{120.0, -40.0, 17.0};
    const Point p{-55.0, 260.0};
    const Pose b = Pose::about(p, turn).compose(a);
    REQUIRE(span(hinge::pole(a, b).pivot, p) < 1e-12 * 300.0 / std::abs(std::sin(turn * std::numbers::pi / 360.0)));
}

TEST_CASE("the place in the travel follows from the turn and back", "[hinge][invariant]") {
    const hinge::PivotHinge gate({-10.0, -18.0}, 0.0, -125.0);
    REQUIRE(gate.s_at_turn(-90.0) == 0.72);
    REQUIRE(gate.turn_at(0.0) == 0.0);
    REQUIRE(gate.turn_at(1.0) == -125.0);
    REQUIRE_THROWS_AS(gate.s_at_turn(1.0), InvalidInput);
    REQUIRE_THROWS_AS(gate.turn_at(1.5), InvalidInput);
    REQUIRE(hinge::PivotHinge({0.0, 0.0}, 30.0, 30.0).s_at_turn(30.0) == 0.0);
}

TEST_CASE("faces turn the way they are told to", "[hinge][anchor]") {
    using hinge::Way;
    REQUIRE(hinge::turn_to_face({0.0, 1.0}, {1.0, 0.0}) == -90.0);
    REQUIRE(hinge::turn_to_face({0.0, 3.0}, {0.0, -2.0}) == 180.0);
    REQUIRE(hinge::turn_to_face({1.0, 0.0}, {-1.0, -0.0}) == 180.0);
    REQUIRE(hinge::turn_to_face({0.0, 1.0}, {1.0, 0.0}, Way::counter_clockwise) == 270.0);
    REQUIRE(hinge::turn_to_face({1.0, 0.0}, {0.0, 1.0}, Way::clockwise) == -270.0);
    REQUIRE(hinge::turn_to_level({0.0, 1.0}, Way::clockwise) == -90.0);
    REQUIRE(hinge::turn_to_level({0.0, 1.0}, Way::counter_clockwise) == 90.0);
    REQUIRE(hinge::turn_to_level({0.0, -1.0}) == 90.0);
    REQUIRE(std::abs(hinge::turn_to_level({1.0, 1.0}, Way::clockwise) + 45.0) < 1e-13);
    REQUIRE(std::abs(hinge::turn_to_level({-1.0, 1.0}, Way::clockwise) + 135.0) < 1e-13);
}

TEST_CASE("bad landings are refused by name", "[hinge][domain]") {
    const double bad = GENERATE(as<double>{}, kNan, kInfinity);
    CAPTURE(bad);
    REQUIRE_THROWS_AS(Landing(bad, {}, {1.0, 0.0}, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {bad, 0.0}, {1.0, 0.0}, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {}, {bad, 0.0}, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {}, {1.0, 0.0}, bad), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {}, {1.0, 0.0}, 0.0, bad), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {}, {0.0, 0.0}, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {}, {1.0, 0.0}, 0.0, -1e-300), InvalidInput);
    REQUIRE_THROWS_AS(Landing(1.0, {}, {1e-200, 0.0}, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(hinge::solve_pivot({}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::solve_pivot(std::vector{Landing(1e-300, {}, {1.0, 0.0}, 1.0)}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::pole({bad, 0.0, 0.0}, {}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::turn_to_face({0.0, 0.0}, {1.0, 0.0}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::turn_to_level({bad, 0.0}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::lands_flush({1.0, 1.0}, {1.0, 1.0}, {}, {1.0, 0.0}), InvalidInput);
}
