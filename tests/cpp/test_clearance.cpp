#include <algorithm>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/hinge.hpp>
#include <numbers>
#include <random>
#include <string>

#include "catch.hpp"

namespace clearance = foldswing::clearance;
using catch_match::WithinAbs;
using foldswing::InvalidInput;
using foldswing::Outline;
using foldswing::Point;
using foldswing::Pose;
using foldswing::Ring;
using foldswing::Tabulated;
using foldswing::hinge::PivotHinge;

namespace {

Ring box(double x0, double y0, double x1, double y1) { return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}; }

/// A star-shaped ring: a corner in every sector, so it never crosses itself.
Outline star(std::mt19937& random, Point centre, double size, int corners) {
    std::uniform_real_distribution<double> u(0.0, 1.0);
    Ring ring;
    for (int i = 0; i < corners; ++i) {
        const double angle = 2.0 * std::numbers::pi * (i + 0.8 * u(random)) / corners;
        const double r = size * (0.35 + 0.65 * u(random));
        ring.push_back({centre.x + r * std::cos(angle), centre.y + r * std::sin(angle)});
    }
    return Outline(ring);
}

double apart(Point a, Point b) { return std::hypot(a.x - b.x, a.y - b.y); }

double to_segment(Point p, Point a, Point b) {
    const Point d = b - a;
    const double t = std::clamp(((p.x - a.x) * d.x + (p.y - a.y) * d.y) / (d.x * d.x + d.y * d.y), 0.0, 1.0);
    return apart(p, a + t * d);
}

/// Distance of the edges of two rings.
double edges_apart(const Ring& a, const Ring& b) {
    double least = 1e300;
    for (const auto& [p, q] : {std::pair{&a, &b}, std::pair{&b, &a}})
        for (const Point c : *p)
            for (std::size_t j = 0; j < q->size(); ++j)
                least = std::min(least, to_segment(c, (*q)[j], (*q)[(j + 1) % q->size()]));
    return least;
}

const Outline kGate(box(-28, -36, 0, 324));
const Outline kSill(box(-60, -60, 0, -40));

}  // namespace

TEST_CASE("the square corner passes the sill by 22 - hypot(10, 18)", "[clearance][anchor]") {
    const auto found = clearance::minimum_gap(kGate, kSill, PivotHinge({-10, -18}, 0, -90));
    REQUIRE_THAT(found.gap, WithinAbs(22.0 - std::hypot(10.0, 18.0), 1e-12));
    REQUIRE(found.lower_bound == found.gap);
    REQUIRE(found.clear_until == 1.0);
}

TEST_CASE("no sampled pose of a random turn is nearer than the gap, and the witness is exactly that far apart",
          "[clearance][invariant]") {
    std::mt19937 random(static_cast<unsigned>(GENERATE(range(0, 40))));
    std::uniform_real_distribution<double> u(-1.0, 1.0);
    const Outline panel =
        star(random, {200.0 * u(random), 200.0 * u(random)}, 120.0, 3 + static_cast<int>(random() % 10));
    const Outline body = star(random, {420.0, 60.0 * u(random)}, 90.0, 3 + static_cast<int>(random() % 10));
    const PivotHinge hinge({30.0 * u(random), 30.0 * u(random)}, 200.0 * u(random), 500.0 * u(random));
    const auto found = clearance::minimum_gap(panel, body, hinge);
    REQUIRE_THAT(apart(found.panel_point, found.fixed_point), WithinAbs(found.gap, 1e-9));
    Pose pose;
    hinge.poses({&found.at, 1}, {&pose, 1});
    REQUIRE(pose.angle_deg == found.angle_deg);
    double nearest = 1e300;
    for (int i = 0; i <= 400; ++i) {
        const double s = i / 400.0;
        hinge.poses({&s, 1}, {&pose, 1});
        nearest = std::min(nearest, edges_apart(panel.moved(pose).corners(), body.corners()));
    }
    REQUIRE(found.gap <= nearest + 1e-9);
}

TEST_CASE("the certified search brackets the closed form", "[clearance][invariant]") {
    std::mt19937 random(static_cast<unsigned>(GENERATE(range(100, 130))));
    std::uniform_real_distribution<double> u(-1.0, 1.0);
    const Outline panel = star(random, {200.0 * u(random), 200.0 * u(random)}, 120.0, 7);
    const Outline body = star(random, {420.0, 60.0 * u(random)}, 90.0, 6);
    const double from = 200.0 * u(random);
    const double to = 500.0 * u(random);
    const auto exact = clearance::minimum_gap(panel, body, PivotHinge({0, 0}, from, to));
    const auto found = clearance::minimum_gap(panel, body, Tabulated({0, 1}, {{0, 0, from}, {0, 0, to}}));
    REQUIRE(found.lower_bound <= exact.gap + 1e-9);
    REQUIRE(exact.gap <= found.gap + 1e-9);
    REQUIRE(found.gap - found.lower_bound <= clearance::kTolerance);
    if (exact.gap == 0.0) {
        REQUIRE(found.clear_until <= exact.at + 1e-12);
        REQUIRE(exact.at <= found.at + 1e-12);
    }
}

TEST_CASE("what a motion may depart is taken off the lower bound", "[clearance]") {
    const Outline panel(box(0, 0, 10, 10));
    const Outline body(box(30, 0, 40, 10));
    const auto found = clearance::minimum_gap(panel, body, Tabulated({0, 1}, {{0, 0, 0}, {15, 0, 0}}, 2.0));
    REQUIRE_THAT(found.gap, WithinAbs(5.0, 1e-12));
    REQUIRE_THAT(found.lower_bound, WithinAbs(3.0, clearance::kTolerance));
    REQUIRE(found.clear_until == 1.0);
    const auto near = clearance::minimum_gap(panel, body, Tabulated({0, 1}, {{0, 0, 0}, {19, 0, 0}}, 2.0));
    REQUIRE_THAT(near.gap, WithinAbs(1.0, 1e-12));
    REQUIRE(near.lower_bound == 0.0);
    REQUIRE(near.clear_until <= 18.0 / 19.0);  // from there on the real motion may touch
    REQUIRE(near.clear_until > 17.9 / 19.0);
}

TEST_CASE("a panel that overlaps at the start is in contact at the start", "[clearance]") {
    const Outline big(box(-100, -100, 100, 100), {box(-50, -50, 50, 50)});
    REQUIRE(clearance::minimum_gap(Outline(box(-20, -20, 20, 20)), big, PivotHinge({0, 0}, 0, 90)).gap > 0.0);
    const auto inside = clearance::minimum_gap(Outline(box(60, -10, 80, 10)), big, PivotHinge({0, 0}, 0, 90));
    REQUIRE(inside.gap == 0.0);
    REQUIRE(inside.at == 0.0);
    const auto across = clearance::minimum_gap(Outline(box(-200, -1, 200, 1)), Outline(box(-1, -200, 1, 200)),
                                               PivotHinge({7, 3}, 0, 10));  // no corner inside either
    REQUIRE(across.gap == 0.0);
    REQUIRE(across.panel_point == across.fixed_point);
}

TEST_CASE("every body and leg has its row, with the depth where they overlap", "[clearance]") {
    const std::vector<clearance::Body> bodies{{"nose", {Outline(box(-600, -40, -31, 0))}}, {"sill", {kSill}}};
    const std::vector<clearance::Stop> stops{{"shut", 0.0}, {"level", 0.72}, {"lean", 1.0}};
    const auto rows = clearance::closest_approaches({&kGate, 1}, bodies, PivotHinge({-10, -18}, 0, -125), stops);
    REQUIRE(rows.size() == 4);
    REQUIRE(rows[0].body == "nose");
    REQUIRE(rows[0].leg == "shut to level");
    // The inner corner is 18 sqrt 2 from the pivot, the nose 21.
    REQUIRE_THAT(rows[0].depth, WithinAbs(18.0 * std::numbers::sqrt2 - 21.0, 1e-3));
    REQUIRE_THAT(rows[0].deepest_angle_deg, WithinAbs(-45.0, 0.01));
    REQUIRE(rows[3].leg == "level to lean");
    REQUIRE(rows[3].depth == 0.0);
    REQUIRE(std::isnan(rows[3].deepest_at));
    REQUIRE_THROWS_AS(
        clearance::closest_approaches({&kGate, 1}, bodies, PivotHinge({0, 0}, 0, 1), std::vector{stops[1], stops[0]}),
        InvalidInput);
}

TEST_CASE("the swept outline of a turn holds every pose of the panel", "[clearance][invariant]") {
    std::mt19937 random(static_cast<unsigned>(GENERATE(range(200, 220))));
    std::uniform_real_distribution<double> u(-1.0, 1.0);
    const Outline panel = star(random, {100.0 * u(random), 100.0 * u(random)}, 120.0, 8);
    const PivotHinge hinge({30.0 * u(random), 30.0 * u(random)}, 0.0, 400.0 * u(random));
    const auto swept = clearance::swept_outline({&panel, 1}, hinge, 0.5);
    for (int i = 0; i <= 50; ++i) {
        const double s = i / 50.0;
        Pose pose;
        hinge.poses({&s, 1}, {&pose, 1});
        const Outline there = panel.moved(pose);
        for (const Point p : there.corners()) {
            double off = 1e300;
            for (const Outline& o : swept) {
                if (foldswing::locate(o, p) != foldswing::Place::outside) off = 0.0;
                for (std::size_t j = 0; j < o.corners().size(); ++j)
                    off = std::min(off, to_segment(p, o.corners()[j], o.corners()[(j + 1) % o.corners().size()]));
                for (const Ring& h : o.holes())
                    for (std::size_t j = 0; j < h.size(); ++j)
                        off = std::min(off, to_segment(p, h[j], h[(j + 1) % h.size()]));
            }
            REQUIRE(off <= 1e-9);
        }
    }
}

TEST_CASE("bad clearance input is refused by name", "[clearance]") {
    const PivotHinge hinge({0, 0}, 0, 90);
    const std::vector<Outline> none;
    REQUIRE_THROWS_AS(clearance::minimum_gap(none, {&kSill, 1}, hinge), InvalidInput);
    REQUIRE_THROWS_AS(clearance::minimum_gap({&kGate, 1}, none, hinge), InvalidInput);
    REQUIRE_THROWS_AS(clearance::minimum_gap(kGate, kSill, hinge, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(clearance::swept_outline({&kGate, 1}, hinge, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(clearance::closest_approaches({&kGate, 1}, {}, hinge, {}), InvalidInput);
}
