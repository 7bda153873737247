// Ways out of a tight place. Each answer is tried again by swinging, as it is and a little short of it.
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/cure.hpp>
#include <foldswing/hinge.hpp>
#include <limits>

#include "catch.hpp"
#include "counter_gate.hpp"

namespace cure = foldswing::cure;
namespace gate = foldswing::gate;
using catch_match::WithinAbs;
using foldswing::InvalidInput;
using foldswing::Outline;
using foldswing::PlainTurn;
using foldswing::Point;

namespace {
constexpr Point kPivot{-10.0, -18.0};
constexpr double kOpen = 125.0;
constexpr double kWithin = 5e-4;  // mm
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

Outline rounded(gate::Sizes s, double inner, double outer) {
    s.lower_inner_radius = inner;
    s.lower_outer_radius = outer;
    return gate::panel(s).outline(2e-4);
}
Outline nose() { return gate::worktop(counter_gate()).outline(2e-4); }

double gap(const Outline& panel, const Outline& body, Point pivot = kPivot, double open = kOpen) {
    return foldswing::clearance::minimum_gap({&panel, 1}, {&body, 1}, foldswing::hinge::PivotHinge(pivot, 0.0, -open))
        .gap;
}
}  // namespace

TEST_CASE("the smallest radii are those of the check values, and smaller ones do not keep the gap", "[cure][anchor]") {
    // The scenario takes all the flat there is for 3 mm: less on the outer corner does as well.
    const auto [wanted, inner, outer, less] = GENERATE(table<double, double, double, double>(
        {{1.0, 13.2, 1.7, 0.05}, {2.0, 15.6, 4.8, 0.05}, {3.0, 18.0, 10.0, 0.3}}));
    const std::vector<cure::Body> bodies{{{nose()}, wanted}};
    const auto found = cure::smallest_radii(counter_gate(), kPivot, kOpen, bodies, kWithin);
    REQUIRE(found.fits);
    CHECK_THAT(found.inner, WithinAbs(inner, 0.05));
    CHECK(found.outer <= outer + 0.05);
    CHECK(found.outer >= outer - less);
    const double left = gap(rounded(counter_gate(), found.inner, found.outer), nose());
    CHECK(left >= wanted - 2.0 * kWithin);
    CHECK_THAT(found.gaps[0], WithinAbs(left, 1e-9));
    CHECK(gap(rounded(counter_gate(), found.inner - 0.05, found.outer), nose()) < wanted - kWithin);
    CHECK(gap(rounded(counter_gate(), found.inner, found.outer - 0.05), nose()) < wanted - kWithin);
}

TEST_CASE("where no radius keeps the gap, or the radii find no room, it says so", "[cure][degenerate]") {
    const std::vector<cure::Body> bodies{{{nose()}, 2.0}};
    const std::vector<cure::Body> far{{{nose()}, 50.0}};
    // the sill is as near as it is whatever the radius: told, and no reason to stop
    const std::vector<cure::Body> sill{bodies[0], {{gate::sill(counter_gate()).outline(2e-4)}, 3.0}};
    const auto told = cure::smallest_radii(counter_gate(), kPivot, kOpen, sill, kWithin);
    CHECK(told.fits);
    CHECK_THAT(told.gaps[1], WithinAbs(2.29, 0.005));
    const auto none = cure::smallest_radii(counter_gate(), kPivot, kOpen, far, kWithin);
    CHECK_FALSE(none.fits);
    CHECK(none.gaps.empty());
    CHECK(std::isnan(none.inner));
    // nothing near: square corners do
    const std::vector<cure::Body> nothing{{{Outline({{5000.0, 0.0}, {5010.0, 0.0}, {5010.0, 10.0}})}, 2.0}};
    const auto square = cure::smallest_radii(counter_gate(), kPivot, kOpen, nothing, kWithin);
    CHECK(square.fits);
    CHECK(square.inner == 0.0);
    CHECK(square.outer == 0.0);
    // an upper corner's radius takes the length of the face that the lower one needs
    gate::Sizes low = counter_gate();
    low.height = 40.0;
    low.upper_inner_radius = 26.0;
    CHECK_FALSE(cure::smallest_radii(low, kPivot, kOpen, bodies, kWithin).fits);
    low.upper_inner_radius = 24.0;
    CHECK(cure::smallest_radii(low, kPivot, kOpen, bodies, kWithin).fits);
}

TEST_CASE("a leaning gate has the radii of the upright one that is turned with its body", "[cure][invariant]") {
    // Everything turned about the lower outer corner by the lean: the same section, the same gaps.
    gate::Sizes s = counter_gate();
    s.lean_deg = -9.0;
    const Point about{s.outer_face_out, -s.lower_edge_below_worktop};
    const auto lean = foldswing::Pose::about(about, 9.0);  // top inward: counter-clockwise
    const std::vector<cure::Body> turned{{{nose().moved(lean)}, 2.0}};
    const std::vector<cure::Body> upright{{{nose()}, 2.0}};
    const auto one = cure::smallest_radii(counter_gate(), kPivot, kOpen, upright, kWithin);
    const auto other = cure::smallest_radii(s, lean.apply(kPivot), kOpen, turned, kWithin);
    CHECK_THAT(other.inner, WithinAbs(one.inner, 2.0 * cure::kRadiusWithin));
    CHECK_THAT(other.outer, WithinAbs(one.outer, 2.0 * cure::kRadiusWithin));
}

TEST_CASE("a move is the shortest that keeps the gap, and its way has no length", "[cure][invariant]") {
    const Outline panel = rounded(counter_gate(), 12.0, 6.0);
    const std::vector<cure::Body> bodies{{{nose()}, 1.0}};
    const PlainTurn turn{kPivot, 0.0, -kOpen};
    const Point way = GENERATE(Point{1.0, 0.0}, Point{0.0, 1.0}, Point{1.0, 1.0});
    const double far = cure::pivot_move({&panel, 1}, bodies, turn, way, 12.0, kWithin);
    const double length = std::hypot(way.x, way.y);
    const auto left = [&](double d) { return gap(panel, nose(), kPivot + (d / length) * way); };
    if (std::isnan(far)) {
        for (int i = 0; i <= 24; ++i) CHECK(left(0.5 * i) < 1.0);
    } else {
        CHECK(left(far) >= 1.0 - kWithin);
        CHECK(left(far - 2.0 * cure::kMoveWithin) < 1.0 - kWithin);
    }
    const auto again = [&](double scale) {
        return cure::pivot_move({&panel, 1}, bodies, turn, scale * way, 12.0, kWithin);
    };
    for (const double scale : {1e307, 1e-320}) {
        const double same = again(scale);
        CHECK((same == far || std::isnan(far) || std::abs(same - far) < 1e-3));
    }
}

TEST_CASE("a body moves as far as the gap is short of what is wanted, and not at all where it is not", "[cure]") {
    // A bar square above a panel that opens away from it: the gap is the one while shut.
    const Outline panel({{0.0, 0.0}, {10.0, 0.0}, {10.0, 100.0}, {0.0, 100.0}});
    const PlainTurn turn{{20.0, 0.0}, 0.0, -30.0};
    const cure::Body bar{{Outline({{-60.0, 50.0}, {-1.0, 50.0}, {-1.0, 60.0}, {-60.0, 60.0}})}, 4.5};
    const auto move = [&](const cure::Body& body, Point way, double most) {
        return cure::body_move({&panel, 1}, body, turn, way, most, kWithin);
    };
    CHECK_THAT(move(bar, {-1.0, 0.0}, 10.0), WithinAbs(3.5, 2.0 * cure::kMoveWithin));
    CHECK_THAT(move(bar, {-3.0, 4.0}, 10.0), WithinAbs(3.5 / 0.6, 2.0 * cure::kMoveWithin));
    CHECK(std::isnan(move(bar, {-1.0, 0.0}, 3.4)));
    CHECK(std::isnan(move(bar, {0.0, 1.0}, 10.0)));
    CHECK(move({bar.outlines, 1.0}, {1.0, 0.0}, 10.0) == 0.0);
    CHECK(move({bar.outlines, 1.0 + 0.5 * kWithin}, {1.0, 0.0}, 10.0) == 0.0);
}

TEST_CASE("radii and moves of what is no gate, body or way are refused", "[cure][domain]") {
    const std::vector<cure::Body> bodies{{{nose()}, 1.0}};
    const auto radii = [&](const gate::Sizes& s, double open, const std::vector<cure::Body>& b, double within) {
        CHECK_THROWS_AS(cure::smallest_radii(s, kPivot, open, b, within), InvalidInput);
    };
    gate::Sizes thick = counter_gate();
    thick.thickness = thick.height = GENERATE(values<double>({kNaN, kInf, 0.0, 1e5, 1e300}));
    radii(thick, kOpen, bodies, kWithin);
    radii(counter_gate(), 361.0, bodies, kWithin);
    radii(counter_gate(), kNaN, bodies, kWithin);
    radii(counter_gate(), kOpen, {}, kWithin);
    radii(counter_gate(), kOpen, {{{}, 1.0}}, kWithin);
    radii(counter_gate(), kOpen, {{{nose()}, -1.0}}, kWithin);
    radii(counter_gate(), kOpen, bodies, 0.0);
    CHECK_THROWS_AS(cure::smallest_radii(counter_gate(), Point{kInf, 0.0}, kOpen, bodies, kWithin), InvalidInput);
    const Outline panel = rounded(counter_gate(), 0.0, 0.0);
    const auto moves = [&](const PlainTurn& t, Point way, double most, double within) {
        CHECK_THROWS_AS(cure::pivot_move({&panel, 1}, bodies, t, way, most, within), InvalidInput);
        CHECK_THROWS_AS(cure::body_move({&panel, 1}, bodies[0], t, way, most, within), InvalidInput);
    };
    moves({kPivot, 0.0, -90.0}, {0.0, 0.0}, 5.0, kWithin);
    moves({kPivot, 0.0, -90.0}, {kInf, 0.0}, 5.0, kWithin);
    moves({kPivot, 0.0, -90.0}, {1.0, 0.0}, kNaN, kWithin);
    moves({kPivot, 0.0, -90.0}, {1.0, 0.0}, 1e7, kWithin);
    moves({kPivot, 0.0, -90.0}, {1.0, 0.0}, 5.0, -1.0);
    moves({{0.0, 1e300}, 0.0, -90.0}, {1.0, 0.0}, 5.0, kWithin);
    moves({kPivot, 0.0, kInf}, {1.0, 0.0}, 5.0, kWithin);
    CHECK_THROWS_AS(cure::pivot_move({}, bodies, {kPivot, 0.0, -90.0}, {1.0, 0.0}, 5.0, kWithin), InvalidInput);
}
