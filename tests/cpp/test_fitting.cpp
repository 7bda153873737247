#include <array>
#include <cmath>
#include <foldswing/adjustment.hpp>
#include <foldswing/fitting.hpp>
#include <limits>

#include "catch.hpp"

namespace adjustment = foldswing::adjustment;
namespace fitting = foldswing::fitting;
namespace hinge = foldswing::hinge;
using catch_match::WithinAbs;
using fitting::Which;
using foldswing::InvalidInput;
using foldswing::Point;
using foldswing::Pose;

namespace {

constexpr double kInf = std::numeric_limits<double>::infinity();
const fitting::Holes kDrawn{{-10.0, -18.0}, {-10.0, -18.0}};
const fitting::Holes kBuilt{{-10.3, -17.4}, {-9.5, -18.2}};

struct Line {
    std::size_t stop;
    Point point;
    Point normal;
    double offset;
};

/// What a gate is read at: shut to nose, sill and head; level a step and the nose; leaning the nose.
std::vector<fitting::Reading> readings(const std::vector<fitting::Stop>& stops) {
    const std::vector<Line> lines{{0, {-28.0, -18.0}, {1.0, 0.0}, -31.0},   {0, {-10.0, -36.0}, {0.0, 1.0}, -40.0},
                                  {0, {-28.0, 324.0}, {0.0, -2.0}, -656.0}, {1, {-28.0, -36.0}, {0.0, 1.0}, 0.0},
                                  {1, {-28.0, -36.0}, {1.0, 0.0}, -31.0},   {2, {-28.0, -36.0}, {1.0, 0.0}, -31.0},
                                  {2, {-28.0, 324.0}, {0.0, 1.0}, -200.0},  {1, {-28.0, 324.0}, {0.0, 1.0}, 0.0}};
    std::vector<fitting::Reading> out;
    for (const Line& l : lines) {
        const hinge::Landing at(stops[l.stop].turn_deg, l.point, l.normal, l.offset);
        out.push_back({l.stop, l.point, l.normal, l.offset, fitting::miss(at, kBuilt), 0.5});
    }
    return out;
}

}  // namespace

TEST_CASE("exact readings give both holes back", "[fitting][invariant]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    const auto fit = fitting::fit_holes(readings(stops), stops, kDrawn);
    REQUIRE(fit.status == fitting::HolesStatus::both);
    REQUIRE_THAT(fit.holes.panel.x, WithinAbs(kBuilt.panel.x, 1e-12));
    REQUIRE_THAT(fit.holes.panel.y, WithinAbs(kBuilt.panel.y, 1e-12));
    REQUIRE_THAT(fit.holes.body.x, WithinAbs(kBuilt.body.x, 1e-12));
    REQUIRE_THAT(fit.holes.body.y, WithinAbs(kBuilt.body.y, 1e-12));
    double sum = 0.0;
    for (const auto& c : fit.checks) sum += c.redundancy;
    REQUIRE_THAT(sum, WithinAbs(fit.spare, 1e-12));  // redundancies add up to the readings to spare
}

TEST_CASE("turns that were not read are found from the other readings", "[fitting]") {
    const std::vector<fitting::Stop> real{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    const auto read = readings(real);
    const auto fit =
        fitting::fit_holes(read, std::vector<fitting::Stop>{{0.0, 0.0}, {-88.0, kInf}, {-127.0, kInf}}, kDrawn);
    REQUIRE(fit.status == fitting::HolesStatus::both);
    REQUIRE_THAT(fit.turns_deg[1], WithinAbs(-90.0, 1e-10));
    REQUIRE_THAT(fit.turns_deg[2], WithinAbs(-125.0, 1e-10));
    REQUIRE_THAT(fit.holes.body.y, WithinAbs(kBuilt.body.y, 1e-10));
}

TEST_CASE("readings taken shut leave the holes free to move together", "[fitting][degenerate]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    auto read = readings(stops);
    read.resize(2);
    const auto fit = fitting::fit_holes(read, stops, kDrawn);
    REQUIRE(fit.status == fitting::HolesStatus::partly);
    REQUIRE(fit.unseen.size() == 2);
    for (const auto& u : fit.unseen) {
        REQUIRE_THAT(u[0], WithinAbs(u[2], 1e-12));
        REQUIRE_THAT(u[1], WithinAbs(u[3], 1e-12));
    }
    REQUIRE(fit.panel_ellipse.semi_major == kInf);
    for (const auto& c : fit.checks) REQUIRE(!c.checked);
    REQUIRE(fit.explanation.find("no reading is checked") != std::string::npos);
    // Shut the move is known, at a stop nothing is promised.
    const std::vector<fitting::Target> shut{{hinge::Landing(0.0, {-28.0, -18.0}, {1.0, 0.0}, -28.0)}};
    const std::vector<fitting::Target> level{{hinge::Landing(-90.0, {-28.0, 0.0}, {0.0, 1.0}, 0.0)}};
    const std::vector<Which> body{Which::body};
    REQUIRE(fitting::correct(fit, shut, {0.1, 0.0}, body).moves[1].right_at_least > 0.9);
    REQUIRE(fitting::correct(fit, level, {0.1, 0.0}, body).moves[1].right_at_least == 0.0);
}

TEST_CASE("a pivot found another way tells both holes beside the shut gaps", "[fitting]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    auto read = readings(stops);
    read.resize(2);
    fitting::Known known;
    known.pivot = {kBuilt.body, {0.04, 0.01, 0.09}};
    const auto fit = fitting::fit_holes(read, stops, kDrawn, known);
    REQUIRE(fit.status == fitting::HolesStatus::both);
    REQUIRE_THAT(fit.holes.panel.x, WithinAbs(kBuilt.panel.x, 1e-12));
    REQUIRE_THAT(fit.holes.panel.y, WithinAbs(kBuilt.panel.y, 1e-12));
    REQUIRE_THAT(fit.holes.body.x, WithinAbs(kBuilt.body.x, 1e-12));
    REQUIRE_THAT(fit.covariance[3 * 4 + 2], WithinAbs(0.01, 1e-14));
    known.pivot->covariance = {0.04, 0.06, 0.09};  // known exactly along one way
    REQUIRE_THROWS_AS(fitting::fit_holes(read, stops, kDrawn, known), InvalidInput);
}

TEST_CASE("two places of one pivot agree within the ellipse of their difference", "[fitting][anchor]") {
    const fitting::FoundPivot at{{0.0, 0.0}, {0.5, 0.0, 0.5}};
    // The 95 % quantile of chi-squared of two degrees of freedom, 5.9915 (any table; from memory), for a variance of 1.
    const auto off = [&](double by) { return fitting::FoundPivot{{0.6 * by, 0.8 * by}, {0.5, 0.0, 0.5}}; };
    REQUIRE(fitting::agreement(at, off(std::sqrt(5.991)), 0.95).agrees);
    REQUIRE(!fitting::agreement(at, off(std::sqrt(5.992)), 0.95).agrees);
    REQUIRE_THAT(fitting::agreement(at, off(3.0)).apart, WithinAbs(3.0, 1e-12));
    const fitting::FoundPivot exact{{0.0, 0.0}, {}};
    REQUIRE(fitting::agreement(exact, exact).agrees);
    REQUIRE_THROWS_AS(fitting::agreement(at, {{kInf, 0.0}, {0.5, 0.0, 0.5}}), InvalidInput);
}

TEST_CASE("one gross error among many readings is named", "[fitting]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    auto read = readings(stops);
    const auto twice = read;
    read.insert(read.end(), twice.begin(), twice.end());
    read[6].distance += 4.0;
    const auto fit = fitting::fit_holes(read, stops, kDrawn);
    REQUIRE(fit.suspect == std::optional<std::size_t>(6));
    REQUIRE(fit.explanation.find("reading 7 looks wrong by about 4.0 mm") != std::string::npos);
}

TEST_CASE("both holes moved leave nothing, and one hole moved leaves the least worst", "[fitting]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    const auto fit = fitting::fit_holes(readings(stops), stops, kDrawn);
    std::vector<fitting::Target> targets;
    for (const Line& l : std::vector<Line>{{0, {-28.0, -18.0}, {1.0, 0.0}, -28.0},
                                           {0, {-10.0, -36.0}, {0.0, 1.0}, -36.0},
                                           {1, {-28.0, 0.0}, {0.0, 1.0}, 0.0},
                                           {1, {-28.0, -36.0}, {1.0, 0.0}, -28.0}})
        targets.push_back({hinge::Landing(stops[l.stop].turn_deg, l.point, l.normal, l.offset)});
    const auto open = {Which::body, Which::panel, Which::both, Which::together};
    const auto fix = fitting::correct(fit, targets, {0.0, 0.0}, std::vector<Which>(open));
    REQUIRE(fix.moves.size() == 5);
    REQUIRE(fix.moves[3].worst < 1e-12);
    for (const std::size_t one : {1U, 2U})
        for (const Point more : {Point{0.01, 0.0}, Point{-0.01, 0.0}, Point{0.0, 0.01}, Point{0.0, -0.01}}) {
            double worst = 0.0;
            for (const auto& t : targets)
                worst = std::max(
                    worst, std::abs(fitting::miss(
                               t.landing, {fit.holes.panel + fix.moves[one].panel + (one == 2 ? 1.0 : 0.0) * more,
                                           fit.holes.body + fix.moves[one].body + (one == 1 ? 1.0 : 0.0) * more})));
            REQUIRE(worst >= fix.moves[one].worst - 1e-12);
        }
}

TEST_CASE("poses about one pivot give it back, a slide gives none", "[fitting]") {
    std::vector<Pose> poses;
    for (const double turn : {0.0, -40.0, -90.0, -125.0}) poses.push_back(Pose::about({-10.0, -18.0}, turn));
    const auto p = fitting::pivot_from_poses(poses);
    REQUIRE(p.status == hinge::PoleStatus::point);
    REQUIRE_THAT(p.pivot.x, WithinAbs(-10.0, 1e-12));
    REQUIRE_THAT(p.pivot.y, WithinAbs(-18.0, 1e-12));
    const auto small = fitting::pivot_from_poses(std::vector<Pose>{
        Pose::about({300.0, 40.0}, 0.0), Pose::about({300.0, 40.0}, 1e-4), Pose::about({300.0, 40.0}, 2e-4)});
    REQUIRE_THAT(small.pivot.x, WithinAbs(300.0, 1e-6));
    const auto slid =
        fitting::pivot_from_poses(std::vector<Pose>{{0.0, 0.0, 30.0}, {3.0, 0.0, 30.0}, {6.0, 0.0, 390.0}});
    REQUIRE(slid.status == hinge::PoleStatus::infinity);
    REQUIRE_THAT(slid.direction.y, WithinAbs(1.0, 1e-15));
    const auto hardly = fitting::pivot_from_poses(std::vector<Pose>{{0.0, 0.0, 0.0}, {3.0, 0.0, 1e-300}});
    REQUIRE(hardly.status == hinge::PoleStatus::infinity);
    const auto same = fitting::pivot_from_poses(std::vector<Pose>{{1.0, 2.0, 3.0}, {1.0, 2.0, 3.0}});
    REQUIRE(same.status == hinge::PoleStatus::any);
}

TEST_CASE("a pair drilled alike is in line, and the worst turn is the worst", "[fitting]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}, {-90.0, 0.0}, {-125.0, 0.0}};
    const auto left = fitting::fit_holes(readings(stops), stops, kDrawn);
    REQUIRE_THAT(fitting::pair_out_of_line(left, left, 1180.0, 20.0, {}, 0.0, -125.0).worst.clearance,
                 WithinAbs(0.0, 0.0));
    auto right = left;
    right.holes.panel.x += 0.7;
    right.holes.body.y += 0.4;
    const auto pair = fitting::pair_out_of_line(left, right, 1180.0, 20.0, {}, 0.0, -125.0);
    for (int i = 0; i <= 1000; ++i) {
        const double t = -0.125 * i;
        const auto at = fitting::pair_out_of_line(left, right, 1180.0, 20.0, std::vector<double>{t}, 0.0, 0.0).at[0];
        REQUIRE(std::hypot(at.apart.x, at.apart.y) <= std::hypot(pair.worst.apart.x, pair.worst.apart.y) + 1e-12);
    }
    REQUIRE(pair.worst.turn_deg == -90.0);  // the panel hole, 0.7 along x, then hangs straight over the body's
    REQUIRE_THAT(pair.worst.clearance, WithinAbs(1.1 * 20.0 / 1180.0, 1e-12));
}

TEST_CASE("a size measured again is the mean by weights") {
    const std::array<double, 2> again{10.2, 10.4};
    const auto now = fitting::measured_again({10.0, 0.3}, again, 0.3);
    REQUIRE(std::abs(now.value - 10.2) < 1e-12);
    REQUIRE(std::abs(now.standard_error - 0.3 / std::sqrt(3.0)) < 1e-15);
    REQUIRE(fitting::measured_again({10.0, 0.0}, again, 0.3).value == 10.0);
    REQUIRE_THROWS_AS(fitting::measured_again({10.0, 0.3}, {}, 0.3), foldswing::InvalidInput);
}

TEST_CASE("a hole drilled through both cannot pass its ceiling", "[fitting][anchor]") {
    // erf(1 / (2 sin 62.5 deg 0.4 sqrt 2)) = 0.8412
    REQUIRE_THAT(fitting::drilling_ceiling(0.4, 1.0, std::vector<double>{90.0, 125.0}), WithinAbs(0.8412, 5e-5));
    REQUIRE(fitting::readings_to_average(0.5, 0.15, 1.0, 0.99) == 2);
    REQUIRE(fitting::readings_to_average(0.5, 0.4, 1.0, 0.99) == 70);
}

TEST_CASE("what is out of range is refused", "[fitting][domain]") {
    const std::vector<fitting::Stop> stops{{0.0, 0.0}};
    const std::vector<fitting::Reading> one{{0, {0.0, 0.0}, {1.0, 0.0}, 0.0, 1.0, 0.5}};
    REQUIRE_THROWS_AS(fitting::fit_holes({}, stops, kDrawn), InvalidInput);
    REQUIRE_THROWS_AS(fitting::fit_holes(one, {}, kDrawn), InvalidInput);
    auto bad = one;
    bad[0].standard_error = 0.0;
    REQUIRE_THROWS_AS(fitting::fit_holes(bad, stops, kDrawn), InvalidInput);
    bad = one;
    bad[0].stop = 1;
    REQUIRE_THROWS_AS(fitting::fit_holes(bad, stops, kDrawn), InvalidInput);
    bad = one;
    bad[0].distance = std::nan("");
    REQUIRE_THROWS_AS(fitting::fit_holes(bad, stops, kDrawn), InvalidInput);
    REQUIRE_THROWS_AS(fitting::pivot_from_poses(std::vector<Pose>{{0.0, 0.0, 0.0}}), InvalidInput);
    REQUIRE_THROWS_AS(fitting::ellipse({1.0, 2.0, 1.0}), InvalidInput);
}

TEST_CASE("adjusters move a landing by what they say", "[adjustment][invariant]") {
    const double turn = GENERATE(0.0, -90.0, -125.0, 33.0);
    const hinge::Landing l(turn, {-28.0, -36.0}, {0.6, 0.8}, 3.0);
    const Point way{0.28, 0.96};
    const auto moved = [&](Point panel, Point body) {
        return fitting::miss(l, {kBuilt.panel + panel, kBuilt.body + body}) - fitting::miss(l, kBuilt);
    };
    REQUIRE_THAT(adjustment::slot(l, Which::body, way, 2.0, 1.0).per_mm, WithinAbs(moved({}, way), 1e-13));
    REQUIRE_THAT(adjustment::slot(l, Which::panel, way, 2.0, 1.0).per_mm, WithinAbs(moved(way, {}), 1e-13));
    REQUIRE_THAT(adjustment::slot(l, Which::together, way, 2.0, 1.0).per_mm, WithinAbs(moved(way, way), 1e-13));
    const auto set = adjustment::eccentric_settings(l, Which::panel, 1.5, 0.6);
    REQUIRE(set.status == adjustment::Settings::two);
    for (const double angle : set.angle_deg) {
        const double a = angle * 3.14159265358979324 / 180.0;
        REQUIRE_THAT(moved({1.5 * std::cos(a), 1.5 * std::sin(a)}, {}), WithinAbs(0.6, 1e-13));
    }
    REQUIRE(adjustment::eccentric_settings(l, Which::body, 0.5, 0.6).status == adjustment::Settings::none);
    REQUIRE(adjustment::eccentric_settings(l, Which::body, 0.5, 0.5).status == adjustment::Settings::one);
}

TEST_CASE("a shim under the pad lifts the panel point over it by its thickness", "[adjustment]") {
    const hinge::Landing l(-125.0, {-28.0, 324.0}, {0.0, 1.0}, -200.0);
    const Point pad{0.0, 150.0};
    const double shim = GENERATE(0.0, 0.5, 3.0, -2.0);
    const auto s = adjustment::pad_shim(l, kBuilt, pad, {0.3, 0.9}, shim);
    REQUIRE(s.reached);
    const hinge::Landing before(-125.0, pad, {0.3, 0.9}, 0.0);
    const hinge::Landing after(s.turn_deg, pad, {0.3, 0.9}, 0.0);
    REQUIRE_THAT(fitting::miss(after, kBuilt) - fitting::miss(before, kBuilt), WithinAbs(shim, 1e-11));
    const hinge::Landing then(s.turn_deg, l.point(), l.normal(), l.offset());
    REQUIRE_THAT(fitting::miss(then, kBuilt) - fitting::miss(l, kBuilt), WithinAbs(s.shift, 1e-11));
    REQUIRE(!adjustment::pad_shim(l, kBuilt, pad, {0.3, 0.9}, 1000.0).reached);
}
