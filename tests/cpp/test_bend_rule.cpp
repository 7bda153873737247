#include <cmath>
#include <foldswing/bend_rule.hpp>
#include <foldswing/calibration.hpp>
#include <limits>
#include <numbers>

#include "catch.hpp"

namespace bend = foldswing::bend;
using bend::Range;
using bend::Rule;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using foldswing::InvalidInput;

TEST_CASE("a rule printed as an allowance gives back the printed figure, its coefficient of R included",
          "[bend_rule][anchor]") {
    const double r = 3.0;
    const double t = 2.0;
    const auto square = [&](Rule rule) { return bend::bend_allowance(90.0, r, t, bend::k_factor_by_rule(rule, r, t)); };
    REQUIRE_THAT(square(Rule::handbook_soft), WithinRel(0.55 * t + 1.57 * r, 1e-14));
    REQUIRE_THAT(square(Rule::handbook_medium), WithinRel(0.64 * t + 1.57 * r, 1e-14));
    REQUIRE_THAT(square(Rule::handbook_hard), WithinRel(0.71 * t + 1.57 * r, 1e-14));
    REQUIRE_THAT(square(Rule::aviation), WithinRel(90.0 * (0.01743 * r + 0.0078 * t), 1e-14));
    REQUIRE_THAT(bend::bend_deduction(90.0, r, t, bend::k_factor_by_rule(Rule::trade_school, r, t)),
                 WithinRel(0.43 * r + 1.48 * t, 1e-13));
    REQUIRE_THAT(bend::bend_deduction(90.0, r, t, bend::k_factor_by_rule(Rule::school_book, r, t)),
                 WithinRel(0.5 * r + 1.5 * t, 1e-13));
}

TEST_CASE("the tables book reads 0.7 from its diagram where the formula gives 0.6896", "[bend_rule][anchor]") {
    REQUIRE_THAT(2.0 * bend::k_factor_by_rule(Rule::din6935, 6.0, 5.0), WithinAbs(0.6896, 5e-5));
    REQUIRE_THAT(2.0 * bend::k_factor_by_rule(Rule::din6935_tenths, 6.0, 5.0), WithinAbs(0.7, 1e-15));
}

TEST_CASE("the two-step rule jumps by 0.17 a T and says so near its step", "[bend_rule][degenerate]") {
    const double t = 1.5;
    const double below = bend::k_factor_by_rule(Rule::two_step, std::nextafter(2.0 * t, 0.0), t);
    const double at = bend::k_factor_by_rule(Rule::two_step, 2.0 * t, t);
    const double jump = bend::bend_allowance(90.0, 3.0, t, at) - bend::bend_allowance(90.0, 3.0, t, below);
    REQUIRE_THAT(jump, WithinRel(bend::two_step_jump(90.0, t), 1e-12));
    REQUIRE_THAT(jump, WithinRel(0.17 * t * std::numbers::pi / 2.0, 1e-12));
    REQUIRE(bend::range(Rule::two_step, 90.0, 2.9, t) == Range::near_jump);
    REQUIRE(bend::range(Rule::two_step, 90.0, 2.0, t) == Range::within);
}

TEST_CASE("a rule outside its range is told apart", "[bend_rule][domain]") {
    REQUIRE(bend::range(Rule::trade_school, 45.0, 2.0, 2.0) == Range::angle_outside);
    REQUIRE(bend::range(Rule::din6935, 10.0, 2.0, 2.0) == Range::angle_outside);
    REQUIRE(bend::range(Rule::din6935, 90.0, 0.05, 1.0) == Range::radius_below);
    REQUIRE_THROWS_AS(bend::k_factor_by_rule(Rule::din6935_tenths, 0.0, 1.0), InvalidInput);
    REQUIRE(bend::range(Rule::school_book, 90.0, 8.0, 1.0) == Range::radius_above);
    REQUIRE(bend::k_factor_by_rule(Rule::school_book, 8.0, 1.0) == 0.0);
    for (const Rule rule : bend::kRules) {
        REQUIRE_THROWS_AS(bend::k_factor_by_rule(rule, -1.0, 1.0), InvalidInput);
        REQUIRE_THROWS_AS(bend::range(rule, 181.0, 1.0, 1.0), InvalidInput);
    }
}

TEST_CASE("every rule keeps its k-factor inside the metal", "[bend_rule][invariant]") {
    const double ratio = GENERATE(0.06, 0.5, 1.0, 2.0, 5.0, 40.0, 1e4);
    for (const Rule rule : bend::kRules) {
        const double k = bend::k_factor_by_rule(rule, 1.3 * ratio, 1.3);
        REQUIRE(k >= 0.0);
        REQUIRE(k <= 0.5);
    }
}

TEST_CASE("the spread at R = T is 0.36 T, the printed table's own", "[bend_rule][anchor]") {
    // Between K 0.5 and the school book's deduction: 2 (R+T) less the allowance, 3.288 to 4.000 for T = R = 2.
    const bend::Spread s = bend::spread(90.0, 2.0, 2.0);
    REQUIRE_THAT(s.spread, WithinAbs(4.0 - 3.288, 5e-4));
    for (const auto& b : s.bends) REQUIRE_FALSE(bend::facts(b.rule).pressed_home);
    REQUIRE(s.bends.size() + 6 == bend::kRules.size());
    // A sharp inside corner has no figure by DIN 6935; the others answer.
    const bend::Spread sharp = bend::spread(90.0, 0.0, 2.0);
    REQUIRE(std::isnan(sharp.bends.front().k_factor));
    REQUIRE(sharp.spread > 0.0);
    REQUIRE(std::isnan(bend::spread(180.0, 2.0, 2.0).bends.back().deduction));
}

TEST_CASE("a shop's own table is straight between its points and holds its ends", "[bend_rule][invariant]") {
    const bend::KTable table({1.0, 3.0}, {0.3, 0.5});
    REQUIRE_THAT(table.k_factor(4.0, 2.0), WithinAbs(0.4, 1e-15));
    REQUIRE(table.k_factor(1.0, 2.0) == 0.3);
    REQUIRE(table.k_factor(9.0, 2.0) == 0.5);
    REQUIRE(table.range(1.0, 2.0) == Range::radius_below);
    REQUIRE(table.range(6.0, 2.0) == Range::within);
    REQUIRE(table.range(9.0, 2.0) == Range::radius_above);
    REQUIRE_THROWS_AS(bend::KTable({1.0, 1.0}, {0.3, 0.4}), InvalidInput);
    REQUIRE_THROWS_AS(bend::KTable({}, {}), InvalidInput);
    REQUIRE_THROWS_AS(bend::KTable({1.0}, {1.1}), InvalidInput);
}

namespace {

/// A strip without error, bent with this k-factor.
bend::Coupon strip(double k, double radius, double thickness, double angle = 90.0) {
    const double setback = bend::setback(angle, radius, thickness);
    const double arc = bend::bend_allowance(angle, radius, thickness, k);
    return {50.0 + arc, 25.0 + setback, 25.0 + setback, radius, thickness, angle, bend::Measured::outside};
}

}  // namespace

TEST_CASE("strips without error give back their k-factor, pooled or as a curve", "[calibration][invariant]") {
    const bend::ReadingErrors errors{0.1, 0.05, 0.01, 0.5};
    const std::vector<bend::Coupon> alike{strip(0.42, 2.0, 1.5), strip(0.42, 2.0, 1.5)};
    const bend::Calibration pooled = bend::calibrate(alike, errors);
    REQUIRE_THAT(pooled.at(2.0, 1.5).k_factor, WithinAbs(0.42, 1e-13));
    REQUIRE_THAT(pooled.deduction, WithinAbs(bend::bend_deduction(90.0, 2.0, 1.5, 0.42), 1e-12));
    REQUIRE(pooled.spare == 1);
    const auto by_curve = [](double ratio) { return 0.4 + 0.1 * std::log10(ratio); };
    std::vector<bend::Coupon> spread_out;
    for (const double ratio : {0.5, 1.0, 2.0, 4.0}) spread_out.push_back(strip(by_curve(ratio), 1.5 * ratio, 1.5));
    const bend::Calibration curve = bend::calibrate(spread_out, errors, true);
    REQUIRE_THAT(curve.at(3.0, 1.5).k_factor, WithinAbs(by_curve(2.0), 1e-12));
    REQUIRE_THAT(curve.slope, WithinAbs(0.1, 1e-12));
    REQUIRE(curve.at(30.0, 1.5).error > curve.at(2.0, 1.5).error);
}

TEST_CASE("two strips halve the variance of one", "[calibration][invariant]") {
    const bend::ReadingErrors errors{0.2, 0.0, 0.0, 0.0};
    const bend::Coupon s = strip(0.4, 1.2, 1.2);
    const double one = bend::calibrate(std::vector{s}, errors).level_error;
    REQUIRE_THAT(one, WithinRel(0.2 * std::sqrt(3.0) / (std::numbers::pi / 2.0 * 1.2), 1e-12));
    REQUIRE_THAT(bend::calibrate(std::vector{s, s}, errors).level_error, WithinRel(one / std::sqrt(2.0), 1e-12));
}

TEST_CASE("strips that disagree past their reading errors show it", "[calibration][invariant]") {
    const bend::ReadingErrors errors{0.02, 0.0, 0.0, 0.0};
    const std::vector<bend::Coupon> apart{strip(0.3, 1.2, 1.2), strip(0.5, 1.2, 1.2)};
    const bend::Calibration c = bend::calibrate(apart, errors);
    REQUIRE(c.worse_by_chance < 1e-6);
    // With one to spare chi squared is a squared normal: 1.96^2 is exceeded by chance in 5 of 100.
    REQUIRE_THAT(std::erfc(std::sqrt(0.5 * c.chi_squared)), WithinAbs(c.worse_by_chance, 1e-12));
}

TEST_CASE("bad strips are refused by their place", "[calibration][domain]") {
    const bend::ReadingErrors errors{0.1, 0.0, 0.0, 0.0};
    const bend::Coupon good = strip(0.4, 1.2, 1.2);
    bend::Coupon bad = good;
    bad.thickness = std::numeric_limits<double>::quiet_NaN();
    REQUIRE_THROWS_AS(bend::calibrate(std::vector{good, bad}, errors), InvalidInput);
    REQUIRE_THROWS_AS(bend::calibrate({}, errors), InvalidInput);
    REQUIRE_THROWS_AS(bend::calibrate(std::vector{good}, {0.0, 0.0, 0.0, 0.0}), InvalidInput);
    REQUIRE_THROWS_AS(bend::calibrate(std::vector{good, good}, errors, true), InvalidInput);
}

TEST_CASE("many bends at once come out as one by one, and those outside the range are counted",
          "[bend_rule][invariant]") {
    const std::vector<double> radii{0.1, 0.5, 1.0, 1.9, 2.0, 3.0, 8.0, 400.0};
    const std::vector<double> one{1.0};
    for (const Rule rule : bend::kRules) {
        std::vector<double> k(radii.size());
        const bend::RangeCounts counts = bend::k_factors_by_rule(rule, radii, one, k);
        bend::RangeCounts expected;
        for (std::size_t i = 0; i < radii.size(); ++i) {
            REQUIRE(k[i] == bend::k_factor_by_rule(rule, radii[i], 1.0));
            const Range found = bend::range(rule, 90.0, radii[i], 1.0);
            expected.below += found == Range::radius_below ? 1 : 0;
            expected.above += found == Range::radius_above ? 1 : 0;
            expected.near_jump += found == Range::near_jump ? 1 : 0;
        }
        REQUIRE(counts.below == expected.below);
        REQUIRE(counts.above == expected.above);
        REQUIRE(counts.near_jump == expected.near_jump);
    }
    std::vector<double> out(2);
    const std::vector<double> bad{1.0, std::numeric_limits<double>::quiet_NaN()};
    REQUIRE_THROWS_AS(bend::k_factors_by_rule(Rule::aviation, bad, one, out), InvalidInput);
    REQUIRE_THROWS_AS(bend::k_factors_by_rule(Rule::din6935, one, std::vector<double>{100.0}, out), InvalidInput);
    REQUIRE_THROWS_AS(bend::k_factors_by_rule(Rule::aviation, radii, one, out), InvalidInput);
}
