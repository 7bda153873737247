// Ears round pins, on a section and on a pan's blank. Distances are taken again on points of the finished line.
#include <algorithm>
#include <cmath>
#include <foldswing/blank.hpp>
#include <foldswing/flip_panel.hpp>
#include <limits>
#include <random>

#include "catch.hpp"

namespace blank = foldswing::blank;
namespace flip = foldswing::flip_panel;
using catch_match::WithinAbs;
using foldswing::Ear;
using foldswing::InvalidInput;
using foldswing::Path;
using foldswing::Point;

namespace {
constexpr double kRounding = 1e-11;  // mm, on parts of a few hundred mm

Path box(double w, double h) { return {{{0.0, 0.0}, {w, 0.0}, {w, h}, {0.0, h}}, {0.0, 0.0, 0.0, 0.0}, true}; }

double farthest(const Path& path, Point from) {
    double most = 0.0;
    for (const Point p : path.flatten(0.001))
        if (p.y > 20.0) most = std::max(most, std::hypot(p.x - from.x, p.y - from.y));
    return most;
}

double nearest(const Path& path, Point from) {
    double least = std::numeric_limits<double>::infinity();
    const std::vector<Point> ring = path.flatten(1e-5);
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point a = ring[i];
        const Point b = ring[(i + 1) % ring.size()];
        const double ux = b.x - a.x;
        const double uy = b.y - a.y;
        const double t = std::clamp(((from.x - a.x) * ux + (from.y - a.y) * uy) / (ux * ux + uy * uy), 0.0, 1.0);
        least = std::min(least, std::hypot(a.x + t * ux - from.x, a.y + t * uy - from.y));
    }
    return least;
}
}  // namespace

TEST_CASE("an ear is an arc about the pin, from edge to edge", "[ear]") {
    const Path made = foldswing::with_ear(box(100.0, 20.0), 2, Ear{84.0, 4.0, 10.0});  // pin at (16, 16)
    REQUIRE(made.size() == 6);
    CHECK_THAT(made.radius(3), WithinAbs(10.0, kRounding));
    CHECK_THAT(made.centre(3).x, WithinAbs(16.0, kRounding));
    CHECK_THAT(made.centre(3).y, WithinAbs(16.0, kRounding));
    CHECK_THAT(made.start(3).y, WithinAbs(20.0, kRounding));
    CHECK_THAT(made.end(3).y, WithinAbs(20.0, kRounding));
    CHECK_THAT(made.start(3).x - made.end(3).x, WithinAbs(2.0 * std::sqrt(84.0), kRounding));
    CHECK_THAT(farthest(made, {16.0, 16.0}), WithinAbs(10.0, 0.01));
}

TEST_CASE("past the edge an ear comes straight down to it", "[ear]") {
    const Path made = foldswing::with_ear(box(100.0, 20.0), 2, Ear{50.0, -3.0, 8.0});
    REQUIRE(made.size() == 8);
    CHECK(made.sweep_deg()[4] == 180.0);
    CHECK(made.start(3) == Point{58.0, 20.0});
    CHECK(made.end(3) == Point{58.0, 23.0});
    CHECK(made.end(5) == Point{42.0, 20.0});
}

TEST_CASE("an ear ends where its side ends", "[ear]") {
    const Path made = foldswing::with_ear(box(100.0, 20.0), 2, Ear{95.0, 4.0, 10.0});  // pin 5 from the left end
    for (const Point p : made.flatten(0.01)) CHECK(p.x >= -kRounding);
    CHECK_THAT(nearest(made, {5.0, 16.0}), WithinAbs(5.0, 1e-4));
    (void)made.outline(0.01);                                                                    // crosses nowhere
    CHECK(foldswing::with_ear(box(100.0, 20.0), 2, Ear{50.0, 12.0, 10.0}) == box(100.0, 20.0));  // deep enough already
}

TEST_CASE("an ear is refused where it cannot stand", "[ear]") {
    const Path ring = box(100.0, 20.0);
    CHECK_THROWS_AS(foldswing::with_ear(ring, 4, Ear{50.0, 4.0, 10.0}), InvalidInput);
    CHECK_THROWS_AS(foldswing::with_ear(ring, 2, Ear{-1.0, 4.0, 10.0}), InvalidInput);
    CHECK_THROWS_AS(foldswing::with_ear(ring, 2, Ear{50.0, NAN, 10.0}), InvalidInput);
    CHECK_THROWS_AS(foldswing::with_ear(ring, 2, Ear{50.0, 4.0, 0.0}), InvalidInput);
    CHECK_THROWS_AS(foldswing::with_ear(Path({{0.0, 0.0}, {1.0, 0.0}}, {0.0}), 0, Ear{0.5, 0.1, 1.0}), InvalidInput);
}

TEST_CASE("the metal at the pin is what the section shows, with ears and without", "[ear]") {
    std::mt19937 random(7);
    const auto in = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
    for (int i = 0; i < 200; ++i) {
        flip::Sizes s;
        s.length = 178.0;
        s.depth = in(8.0, 30.0);
        s.skin_thickness = 1.2;
        s.gap = 3.5;
        s.return_depth = 12.0;
        s.pivot_from_edge = in(0.5, 40.0);
        s.pivot_behind_skin = in(1.0, 36.0);
        s.ear_radius = in(4.0, 15.0);
        if (s.pivot_behind_skin > s.depth && s.pivot_from_edge <= s.ear_radius) continue;  // the ear is cut off there
        CAPTURE(i, s.depth, s.pivot_from_edge, s.pivot_behind_skin, s.ear_radius);
        const double seen = nearest(flip::panel(s), flip::pivot(s));
        CHECK_THAT(flip::metal_at_pin(s, 6.0) + 3.0, WithinAbs(seen, 2e-3));
    }
}

TEST_CASE("a pan's ears stand on its blank where the folded flange has its pin", "[ear]") {
    blank::PanSize size;
    size.length = 330.0;
    size.width = 178.0;
    size.depth = {14.0, 14.0, 14.0, 14.0};
    size.thickness = 1.2;
    size.radius = 1.2;
    size.basis = {blank::Basis::Kind::k_factor, 0.42};
    const blank::Pan pan(size);
    const std::vector<blank::PinEar> ears{
        {blank::Side::left, blank::Side::bottom, 16.0, 10.0, 10.0, 6.0},
        {blank::Side::right, blank::Side::bottom, 16.0, 10.0, 10.0, 6.0},
    };
    const blank::EaredBlank made = blank::with_ears(pan, ears);
    CHECK_THAT(made.length, WithinAbs(pan.blank_length() + 12.0, kRounding));
    CHECK(made.width == pan.blank_width());
    double left = 1e9;
    double right = -1e9;
    for (const Point p : made.outline.flatten(1e-5)) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
    }
    CHECK_THAT(left, WithinAbs(0.0, 1e-4));
    CHECK_THAT(right, WithinAbs(made.length, 1e-4));
    // The pin lies 14 - 10 in from the flange's edge, and as far from the front bend's tangent line as on the folded
    // base: 16 less what the bend takes up of the outside, 2.4.
    CHECK_THAT(made.pins[0].at.x, WithinAbs(10.0, kRounding));
    CHECK_THAT(made.pins[1].at.x, WithinAbs(made.length - 10.0, kRounding));
    CHECK_THAT(made.pins[0].at.y - made.bend_lines[2].line.tangent[1], WithinAbs(16.0 - 2.4, kRounding));
    CHECK_THAT(made.pins[0].clear_of_bend, WithinAbs(10.0 - 2.4 - 3.0, kRounding));
    CHECK_THAT(made.bend_lines[0].line.centre, WithinAbs(pan.bend_lines()[0].line.centre + 6.0, kRounding));
    CHECK_THAT(nearest(made.outline, made.pins[0].at), WithinAbs(10.0, 1e-3));
    (void)made.outline.outline(0.01);
    // hinged at the other edge: the same blank turned about
    const std::vector<blank::PinEar> other{{blank::Side::left, blank::Side::top, 16.0, 10.0, 10.0, 6.0}};
    const blank::EaredBlank turned = blank::with_ears(pan, other);
    CHECK_THAT(turned.pins[0].at.y, WithinAbs(made.width - made.pins[0].at.y, kRounding));
    CHECK(blank::with_ears(pan, {}).length == pan.blank_length());
    CHECK_THROWS_AS(blank::with_ears(pan, std::vector{ears[0], ears[0]}), InvalidInput);
    auto bad = ears[0];
    bad.from = blank::Side::right;
    CHECK_THROWS_AS(blank::with_ears(pan, std::vector{bad}), InvalidInput);
    bad = ears[0];
    bad.along = 500.0;
    CHECK_THROWS_AS(blank::with_ears(pan, std::vector{bad}), InvalidInput);
}

TEST_CASE("a disc at the edge of a section joins it with its arc", "[ear]") {
    const Path bar = box(40.0, 10.0);
    const Path eared = foldswing::with_disc(bar, {20.0, 5.0}, 13.0);  // 12 either way at the edges: 5, 12, 13
    REQUIRE(eared.size() == 6 + 2);
    double arcs = 0.0;
    for (std::size_t i = 0; i < eared.size(); ++i)
        if (eared.sweep_deg()[i] != 0.0) {
            REQUIRE_THAT(eared.radius(i), WithinAbs(13.0, kRounding));
            arcs += eared.sweep_deg()[i];
        }
    REQUIRE_THAT(arcs, WithinAbs(4.0 * std::atan2(12.0, 5.0) * 180.0 / std::acos(-1.0), 1e-10));
    REQUIRE_THAT(eared.length(), WithinAbs(100.0 - 48.0 + 13.0 * 4.0 * std::atan2(12.0, 5.0), kRounding));
}

TEST_CASE("a disc that only touches the edge from inside changes nothing", "[ear]") {
    REQUIRE(foldswing::with_disc(box(40.0, 10.0), {20.0, 5.0}, 5.0) == box(40.0, 10.0));
    REQUIRE(foldswing::with_disc(box(40.0, 10.0), {20.0, 5.0}, 2.0) == box(40.0, 10.0));
}

TEST_CASE("a disc that covers the section is all there is, and round a hollow the hole is filled", "[ear]") {
    const Path disc = foldswing::with_disc(box(4.0, 4.0), {2.0, 2.0}, 5.0);
    REQUIRE_THAT(disc.length(), WithinAbs(10.0 * std::acos(-1.0), kRounding));
    // a fork with prongs 10 apart, bridged by the disc at their ends
    const Path fork({{0, 0}, {30, 0}, {30, 30}, {20, 30}, {20, 10}, {10, 10}, {10, 30}, {0, 30}}, std::vector(8, 0.0),
                    true);
    const Path bridged = foldswing::with_disc(fork, {15.0, 28.0}, 8.0);
    for (const Point p : bridged.flatten(0.01)) REQUIRE((p.y < 1e-9 || p.x < 1e-9 || p.x > 30 - 1e-9 || p.y > 29.0));
}

TEST_CASE("a section run clockwise keeps its way with a disc", "[ear]") {
    const Path ccw = foldswing::with_disc(box(40.0, 10.0), {20.0, 8.0}, 5.0);
    const Path cw = foldswing::with_disc(box(40.0, 10.0).reversed(), {20.0, 8.0}, 5.0);
    REQUIRE_THAT(cw.length(), WithinAbs(ccw.length(), kRounding));
    REQUIRE(cw.sweep_deg()[1] <= 0.0);
    double turn = 0.0;
    for (const double sweep : cw.sweep_deg()) turn += sweep;
    REQUIRE(turn < 0.0);
}

TEST_CASE("a disc is refused where it does not reach the section, and with no section", "[ear]") {
    const Path bar = box(40.0, 10.0);
    REQUIRE_THROWS_AS((void)foldswing::with_disc(bar, {20.0, 15.0}, 5.0), InvalidInput);  // touches from outside
    REQUIRE_THROWS_AS((void)foldswing::with_disc(bar, {20.0, 30.0}, 5.0), InvalidInput);
    REQUIRE_THROWS_AS((void)foldswing::with_disc(bar, {20.0, 5.0}, 0.0), InvalidInput);
    REQUIRE_THROWS_AS((void)foldswing::with_disc(Path({{0, 0}, {1, 0}}, {0.0}, false), {0, 0}, 1.0), InvalidInput);
    const Path bow({{0, 0}, {10, 10}, {10, 0}, {0, 10}}, std::vector(4, 0.0), true);
    REQUIRE_THROWS_AS((void)foldswing::with_disc(bow, {5, 5}, 1.0), InvalidInput);
}
