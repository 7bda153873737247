#include <cmath>
#include <foldswing/folding_stay.hpp>
#include <foldswing/gate.hpp>
#include <foldswing/hinge.hpp>
#include <foldswing/stay.hpp>
#include <limits>

#include "catch.hpp"

using namespace foldswing;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// The counter gate of the demonstration, its figures recomputed there.
const Point kPivot{-10.0, -18.0};
const stay::Pins kPins{{-40.0, 250.0}, {-14.0, 232.0}};
const stay::Load kLoad{6.5, {-14.0, 144.0}, 20.0, {-28.0, 324.0}};
constexpr std::array<double, 2> kTurns{-90.0, -125.0};

folding_stay::Wanted folding(double past_centre_deg) {
    return {{{-40.0, 120.0}, {-14.0, 232.0}}, kPivot, -90.0, past_centre_deg, 0.5, true};
}
}  // namespace

TEST_CASE("the demonstration gate's stays are as long and pull as hard as its check values say", "[stay][anchor]") {
    const stay::Strap two = stay::strap(kPins, kLoad, kPivot, kTurns, 2);
    REQUIRE_THAT(two.stops[0].length, WithinAbs(384.8, 0.05));
    REQUIRE_THAT(two.stops[1].length, WithinAbs(472.0, 0.05));
    REQUIRE_THAT(two.spacing[0], WithinAbs(87.2, 0.05));
    REQUIRE_THAT(two.stops[0].lever_arm, WithinAbs(174.4, 0.05));
    REQUIRE_THAT(two.stops[1].lever_arm, WithinAbs(108.7, 0.05));
    REQUIRE_THAT(two.stops[0].edge_per_mm, WithinAbs(1.96, 0.005));
    REQUIRE_THAT(two.stops[1].edge_per_mm, WithinAbs(3.15, 0.005));
    REQUIRE_THAT(two.stops[0].pull_each, WithinAbs(222.0, 0.5));
    REQUIRE_THAT(two.stops[0].pull_alone, WithinAbs(444.0, 1.0));
    REQUIRE_THAT(two.stops[1].pull_each, WithinAbs(302.0, 0.5));
    REQUIRE_THAT(two.stops[1].pull_alone, WithinAbs(604.0, 1.0));
    REQUIRE(two.worst == 1);
    REQUIRE_THAT(two.shut, WithinAbs(31.6, 0.05));
    REQUIRE_THAT(two.slack_shut[0], WithinAbs(353.0, 0.5));
    REQUIRE_THAT(two.slack_shut[1], WithinAbs(440.0, 0.5));
    REQUIRE(two.taut_at_deg == std::vector<double>{-90.0, -125.0});
}

TEST_CASE("a bar level on a pin, held by a wire at 30 degrees, pulls twice its load on the wire", "[stay][anchor]") {
    // A textbook case (from memory): length b, weight at its end, wire from the end up at 30 degrees: T = W / sin 30.
    const double up = 1000.0 * std::tan(std::acos(-1.0) / 6.0);
    const stay::Load end{10.0, {1000.0, 0.0}, 0.0, {1000.0, 0.0}};
    const stay::Hold h = stay::hold({{0.0, up}, {1000.0, 0.0}}, end, Pose{}, {0.0, 0.0}, 1);
    REQUIRE_THAT(h.pull_alone, WithinRel(2.0 * 10.0 * stay::kGravity, 1e-12));
    REQUIRE_THAT(h.on_pivot.x, WithinRel(-std::sqrt(3.0) * 10.0 * stay::kGravity, 1e-12));
    REQUIRE_THAT(h.on_pivot.y, WithinAbs(0.0, 1e-9));
}

TEST_CASE("the lever arm is what one degree does to the length", "[stay][invariant]") {
    const double turn = GENERATE(-20.0, -90.0, -125.0);
    const auto length = [](double t) { return stay::hold(kPins, kLoad, Pose::about(kPivot, t), kPivot, 1).length; };
    const double step = 1e-3;
    const double rate = (length(turn + step) - length(turn - step)) / (2.0 * step) * 180.0 / std::acos(-1.0);
    REQUIRE_THAT(stay::hold(kPins, kLoad, Pose::about(kPivot, turn), kPivot, 1).lever_arm,
                 WithinAbs(std::abs(rate), 1e-5));
}

TEST_CASE("a stay says where it goes slack, and where it points at the pivot", "[stay][degenerate]") {
    const stay::Load upright{10.0, {-5.0, 300.0}, 0.0, {0.0, 400.0}};  // weight behind the pin: it falls inward
    const stay::Hold slack = stay::hold({{-100.0, 200.0}, {0.0, 200.0}}, upright, Pose{}, {0.0, 0.0}, 1);
    REQUIRE(slack.state == stay::State::goes_slack);
    REQUIRE(slack.pull_alone < 0.0);
    const stay::Hold dead = stay::hold({{0.0, 300.0}, {0.0, 200.0}}, upright, Pose{}, {0.0, 0.0}, 1);
    REQUIRE(dead.state == stay::State::dead_centre);
    REQUIRE(std::isnan(dead.pull_alone));
    REQUIRE(std::isinf(dead.edge_per_mm));
    REQUIRE_THROWS_AS(stay::hold({{0.0, 200.0}, {0.0, 200.0}}, upright, Pose{}, {0.0, 0.0}, 1), InvalidInput);
}

TEST_CASE("a stay comes taut on the way where the pins pass their farthest", "[stay]") {
    // Pins opposite each other at a turn of 90: hooked for 120 it comes taut at 60.
    const stay::Pins pins{{0.0, -100.0}, {100.0, 0.0}};
    const stay::Load none;
    const std::array<double, 1> turns{120.0};
    REQUIRE_THAT(stay::strap(pins, none, {0.0, 0.0}, turns, 1).taut_at_deg[0], WithinAbs(60.0, 1e-9));
    REQUIRE_THAT(stay::taut_at(pins, {{0.0, 0.0}, 0.0, 120.0}, 200.0), WithinAbs(90.0, 1e-5));
    REQUIRE(std::isnan(stay::taut_at(pins, {{0.0, 0.0}, 0.0, 120.0}, 200.1)));
    REQUIRE(stay::taut_at(pins, {{0.0, 0.0}, 10.0, 120.0}, 1.0) == 10.0);
    REQUIRE_THAT(stay::taut_at(pins, {{0.0, 0.0}, -160.0, 10.0}, 100.0 * std::sqrt(2.0)), WithinAbs(0.0, 1e-9));
}

TEST_CASE("a panel that stands on its head falls by nothing") {
    const stay::Load load{195.0, {-195.0, 345.0}, 512.0, {512.0, 78.0}};
    const PlainTurn turn{{-195.0, -508.0}, -2.0224256036912691, 0.0};
    const stay::Catch c = stay::catch_load({{-195.0, 285.0}, {-405.0, -195.0}}, load, turn, 100.0, 1);
    REQUIRE(c.state == stay::CatchState::caught);
    REQUIRE(c.energy == 0.0);
    REQUIRE_FALSE(std::signbit(c.fall));
}

TEST_CASE("a load let go on a stay that is just taut pulls twice what it pulls at rest", "[stay][anchor]") {
    // Suddenly applied load, no drop: F = 2 F0 where the lever arm does not change (textbook, from memory).
    const stay::Pins pins{{1000.0, 1e6}, {1000.0, 0.0}};
    const stay::Load load{10.0, {500.0, 0.0}, 0.0, {1000.0, 0.0}};
    const stay::Catch caught = stay::catch_load(pins, load, {{0.0, 0.0}, 0.0, 0.0 - 1e-300}, 1000.0, 2);
    REQUIRE_THAT(caught.pull_each, WithinRel(2.0 * 5.0 * stay::kGravity / 2.0, 1e-4));
    // With a drop: F = F0 + sqrt(F0^2 + 2 k E).
    const stay::Catch dropped = stay::catch_load(pins, load, {{0.0, 0.0}, 5.0, 0.0}, 1000.0, 1);
    const double f0 = 5.0 * stay::kGravity;
    REQUIRE_THAT(dropped.pull_each, WithinRel(f0 + std::sqrt(f0 * f0 + 2.0 * 1e6 * dropped.energy), 1e-3));
    REQUIRE_THAT(dropped.energy,
                 WithinRel(10.0 * stay::kGravity * 0.5 * std::sin(5.0 * std::acos(-1.0) / 180.0), 1e-9));
}

TEST_CASE("a stay too soft to stop the panel is said not to catch it", "[stay]") {
    const stay::Catch through = stay::catch_load(kPins, kLoad, {kPivot, 0.0, -125.0}, 1e-3, 1);
    REQUIRE(through.state == stay::CatchState::not_caught);
    REQUIRE(std::isnan(through.pull_each));
}

TEST_CASE("pins are chosen by the wish, and what is left out is counted", "[stay]") {
    const std::array<Point, 3> body{Point{-40.0, 250.0}, Point{-40.0, 200.0}, Point{-10.0, -18.0}};
    const std::array<Point, 2> panel{Point{-14.0, 232.0}, Point{-14.0, 150.0}};
    const auto all = stay::choose(body, panel, kLoad, kPivot, kTurns, 2, {}, stay::Wish::least_pull);
    REQUIRE(all.tried == 6);
    REQUIRE(all.no_hold == 2);
    REQUIRE(all.feasible.size() == 4);
    for (std::size_t i = 1; i < all.feasible.size(); ++i) REQUIRE(all.feasible[i - 1].pull <= all.feasible[i].pull);
    const auto none = stay::choose(body, panel, kLoad, kPivot, kTurns, 2, {1.0, 0.0, 0.0, 0.0}, stay::Wish::shortest);
    REQUIRE(none.feasible.empty());
    REQUIRE(none.too_much == 4);
    const Outline post({{0.0, 0.0}, {20.0, 0.0}, {20.0, 10.0}, {0.0, 10.0}});
    REQUIRE(stay::grid({&post, 1}, 5.0).size() == 15);
}

TEST_CASE("links of a folding stay meet the pins shut, straight and at the stop", "[folding_stay][invariant]") {
    const double past = GENERATE(0.0, 3.0, 8.0);
    const folding_stay::Wanted w = folding(past);
    const folding_stay::FoldingStay made = folding_stay::folding_stay(w);
    REQUIRE(made.status == folding_stay::Status::fits);
    const Point stop = Pose::about(kPivot, -90.0).apply(w.pins.panel);
    const Point straight = Pose::about(kPivot, made.straight_deg).apply(w.pins.panel);
    const auto apart = [](Point a, Point b) { return std::hypot(a.x - b.x, a.y - b.y); };
    REQUIRE_THAT(apart(straight, w.pins.fixed), WithinRel(made.first + made.second, 1e-12));
    REQUIRE_THAT(apart(made.joint_stop, stop), WithinRel(made.second, 1e-9));
    REQUIRE_THAT(apart(made.joint_shut, w.pins.panel), WithinRel(made.second, 1e-9));
    REQUIRE_THAT(made.longer, WithinAbs(made.first + made.second - apart(stop, w.pins.fixed), 1e-9));
    const Point along = stop - w.pins.fixed;
    const Point joint = made.joint_stop - w.pins.fixed;
    const double off = (along.x * joint.y - along.y * joint.x) / apart(stop, w.pins.fixed);
    REQUIRE_THAT(-off, WithinAbs(made.past_centre, 1e-9));  // folds left, locks right
}

TEST_CASE("links keep their length and their ends all the way, and stray no farther than said",
          "[folding_stay][invariant]") {
    const double past = GENERATE(0.0, 6.0);
    for (const auto link : {folding_stay::LinkMotion::Link::body, folding_stay::LinkMotion::Link::panel}) {
        const folding_stay::Wanted w = folding(past);
        const folding_stay::LinkMotion motion(w, link);
        std::vector<double> cuts = motion.breaks();
        cuts.insert(cuts.begin(), 0.0);
        cuts.push_back(1.0);
        const std::array<Point, 3> bar{Point{-5.0, 5.0}, Point{motion.length(), -9.0},
                                       Point{0.5 * motion.length(), 4.0}};
        for (std::size_t k = 0; k + 1 < cuts.size(); ++k)
            for (int part = 0; part < 4; ++part) {
                const double s0 = std::lerp(cuts[k], cuts[k + 1], part / 4.0);
                const double s1 = std::lerp(cuts[k], cuts[k + 1], (part + 1) / 4.0);
                const double bound = motion.stray(bar, s0, s1);
                const double middle = 0.5 * (s0 + s1);
                Pose at_middle;
                motion.poses({&middle, 1}, {&at_middle, 1});
                for (int i = 0; i <= 50; ++i) {
                    const double s = std::lerp(s0, s1, i / 50.0);
                    Pose at;
                    motion.poses({&s, 1}, {&at, 1});
                    const Point pin = at.apply({motion.length(), 0.0});
                    const Point wanted = link == folding_stay::LinkMotion::Link::body
                                             ? w.pins.fixed
                                             : Pose::about(w.pivot, motion.turn_at(s)).apply(w.pins.panel);
                    REQUIRE_THAT(pin.x, WithinAbs(wanted.x, 1e-5));  // 1e-8 of the links where they are straight
                    REQUIRE_THAT(pin.y, WithinAbs(wanted.y, 1e-5));
                    for (const Point q : bar) {
                        const Point a = at.apply(q);
                        const Point b = at_middle.apply(q);
                        REQUIRE(std::hypot(a.x - b.x, a.y - b.y) <= bound + 1e-9);
                    }
                }
            }
    }
}

TEST_CASE("a link that swings alone is as near to a body as the plain turn about its pin",
          "[folding_stay][invariant]") {
    const folding_stay::Wanted w = folding(0.0);
    const folding_stay::LinkMotion motion(w, folding_stay::LinkMotion::Link::body);
    const Outline post({{150.0, 200.0}, {170.0, 200.0}, {170.0, 220.0}, {150.0, 220.0}});
    const Outline bar = folding_stay::link_bar(motion.length(), 12.0).outline(0.01);
    double least = 1e9;
    for (int i = 0; i <= 2000; ++i) {
        const double s = i / 2000.0;
        Pose at;
        motion.poses({&s, 1}, {&at, 1});
        least = std::min(least, distance(bar.moved(at), post).distance);
    }
    const auto gap = folding_stay::links_gap(w, 12.0, {&post, 1});
    REQUIRE(gap[0].lower_bound <= least);
    REQUIRE_THAT(gap[0].gap, WithinAbs(least, 0.05));
}

TEST_CASE("seen from the panel a folding stay is the same stay", "[folding_stay][invariant]") {
    const folding_stay::Wanted w = folding(5.0);
    const auto from_body = folding_stay::folding_stay(w);
    const auto from_panel = folding_stay::folding_stay(folding_stay::seen_from_panel(w));
    REQUIRE_THAT(from_panel.first, WithinRel(from_body.second, 1e-12));
    const Point joint = Pose::about(kPivot, 90.0).apply(from_body.joint_stop);  // in the panel
    REQUIRE_THAT(from_panel.joint_stop.x, WithinAbs(joint.x, 1e-9));
    REQUIRE_THAT(from_panel.joint_stop.y, WithinAbs(joint.y, 1e-9));
    REQUIRE_THAT(from_panel.joint_shut.x, WithinAbs(from_body.joint_shut.x, 1e-9));
}

TEST_CASE("folding stays that cannot be are said so", "[folding_stay][domain]") {
    folding_stay::Wanted uneven = folding(0.0);
    uneven.pins.fixed = {-13.0, 230.0};
    uneven.share = 0.8;
    REQUIRE(folding_stay::folding_stay(uneven).status == folding_stay::Status::cannot_fold);
    const folding_stay::Wanted early{{{0.0, -100.0}, {100.0, 0.0}}, {0.0, 0.0}, 89.0, 20.0, 0.5, true};
    REQUIRE(folding_stay::folding_stay(early).status == folding_stay::Status::cannot_reach);
    REQUIRE_THROWS_AS(folding_stay::LinkMotion(early, folding_stay::LinkMotion::Link::body), InvalidInput);
    folding_stay::Wanted bad = folding(0.0);
    bad.share = kNan;
    REQUIRE_THROWS_AS(folding_stay::folding_stay(bad), InvalidInput);
    bad = folding(61.0);
    REQUIRE_THROWS_AS(folding_stay::folding_stay(bad), InvalidInput);
}

TEST_CASE("what is out of range in a stay is refused by name", "[stay][domain]") {
    REQUIRE_THROWS_AS(stay::hold(kPins, {kNan, {}, 0.0, {}}, Pose{}, kPivot, 1), InvalidInput);
    REQUIRE_THROWS_AS(stay::hold(kPins, kLoad, Pose{}, kPivot, 0), InvalidInput);
    REQUIRE_THROWS_AS(stay::strap(kPins, kLoad, kPivot, {}, 1), InvalidInput);
    REQUIRE_THROWS_AS(stay::mismatch(1.0, -1.0, 100.0), InvalidInput);
    REQUIRE_THROWS_AS(stay::stiffness(0.0, 1.0, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(stay::catch_load(kPins, kLoad, {kPivot, 0.0, 90.0}, -1.0, 1), InvalidInput);
}
