// Whether a bend can be made: limits from published tables, springback by forms of its own.
#include <array>
#include <cmath>
#include <foldswing/bend_check.hpp>
#include <limits>
#include <vector>

#include "catch.hpp"

namespace check = foldswing::bend_check;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using check::Grain;
using check::Outcome;
using foldswing::InvalidInput;

namespace {
constexpr double kInch = 25.4;
constexpr double kAny = std::numeric_limits<double>::infinity();
constexpr double kRounding = 1e-12;
// DIN 6935 (1975-10), steel to 390 MPa, its first rows: up to, radius.
const std::vector<check::RadiusRow> kSteel{{1.0, 1.0}, {1.5, 1.6}, {2.5, 2.5}, {3.0, 3.0}};
}  // namespace

TEST_CASE("a table of least radii is read by thickness", "[bend_check]") {
    REQUIRE(check::least_radius(kSteel, 0.8, Grain::across, 90.0) == 1.0);
    REQUIRE(check::least_radius(kSteel, 1.0, Grain::across, 90.0) == 1.0);
    REQUIRE(check::least_radius(kSteel, 1.2, Grain::across, 120.0) == 1.6);
    REQUIRE(check::least_radius(kSteel, 1.52, Grain::across, 90.0) == 1.6);  // the same sheet as 1.5
    REQUIRE(check::least_radius(kSteel, 1.53, Grain::across, 90.0) == 2.5);
}

TEST_CASE("along the grain or past 120 degrees the next thicker row holds, once", "[bend_check]") {
    REQUIRE(check::least_radius(kSteel, 1.2, Grain::along, 90.0) == 2.5);
    REQUIRE(check::least_radius(kSteel, 1.2, Grain::across, 121.0) == 2.5);
    REQUIRE(check::least_radius(kSteel, 1.2, Grain::along, 180.0) == 2.5);
    REQUIRE(std::isnan(check::least_radius(kSteel, 3.0, Grain::along, 90.0)));
    REQUIRE(std::isnan(check::least_radius(kSteel, 3.1, Grain::across, 90.0)));
}

TEST_CASE("a row with its own figure along the grain is taken at its word", "[bend_check]") {
    const std::array<check::RadiusRow, 1> hard{{{kAny, 0.0, 1.3, 1.8}}};
    REQUIRE(check::least_radius(hard, 2.0, Grain::across, 90.0) == 2.6);
    REQUIRE(check::least_radius(hard, 2.0, Grain::along, 90.0) == 3.6);
    REQUIRE(std::isnan(check::least_radius(hard, 2.0, Grain::along, 150.0)));
    const std::array<check::RadiusRow, 1> one{{{kAny, 0.8, 0.5}}};
    REQUIRE(check::least_radius(one, 1.0, Grain::across, 90.0) == 0.8);
    REQUIRE(check::least_radius(one, 4.0, Grain::across, 90.0) == 2.0);
    REQUIRE(std::isnan(check::least_radius(one, 1.0, Grain::along, 90.0)));
}

TEST_CASE("a table that does not ascend is refused", "[bend_check][errors]") {
    const std::vector<check::RadiusRow> twice{{1.0, 1.0}, {1.0, 2.0}};
    REQUIRE_THROWS_AS(check::least_radius(twice, 1.0, Grain::across, 90.0), InvalidInput);
    REQUIRE_THROWS_AS(check::least_radius({}, 1.0, Grain::across, 90.0), InvalidInput);
    REQUIRE_THROWS_AS(check::least_radius(kSteel, 0.0, Grain::across, 90.0), InvalidInput);
    REQUIRE_THROWS_AS(check::least_radius(kSteel, 1.0, Grain::across, 181.0), InvalidInput);
}

TEST_CASE("the rule from the reduction of area gives its published values", "[bend_check]") {
    REQUIRE_THAT(check::least_radius_from_reduction(10.0, 0.5), WithinRel(2.0, kRounding));
    REQUIRE(check::least_radius_from_reduction(50.0, 1.0) == 0.0);
    REQUIRE_THROWS_AS(check::least_radius_from_reduction(50.1, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(check::least_radius_from_reduction(0.0, 1.0), InvalidInput);
}

TEST_CASE("the V opening follows the classes of the chart", "[bend_check]") {
    REQUIRE_THAT(check::v_opening(0.105 * kInch) / kInch, WithinRel(6.0 * 0.105, kRounding));
    REQUIRE_THAT(check::v_opening(0.110 * kInch) / kInch, WithinRel(8.0 * 0.110, kRounding));
    REQUIRE_THAT(check::v_opening(0.5 * kInch) / kInch, WithinRel(5.0, kRounding));
    REQUIRE_THAT(check::v_opening(0.625 * kInch) / kInch, WithinRel(7.5, kRounding));
}

TEST_CASE("the chart of V openings ends where it is printed", "[bend_check]") {
    REQUIRE_THAT(check::least_flange(0.156 * kInch) / kInch, WithinRel(0.125, kRounding));
    REQUIRE_THAT(check::least_flange(10.0 * kInch) / kInch, WithinRel(6.875, kRounding));
    REQUIRE_THAT(check::least_flange(4.0 * kInch) / kInch, WithinRel(0.5 * (2.188 + 3.5), kRounding));
    REQUIRE_THAT(check::formed_radius(4.0 * kInch) / kInch, WithinRel(0.625, kRounding));
    REQUIRE_THROWS_AS(check::least_flange(3.9), InvalidInput);
    REQUIRE_THROWS_AS(check::formed_radius(255.0), InvalidInput);
}

TEST_CASE("the springback ratio is the cubic, and ends where the sheet springs flat", "[bend_check]") {
    for (const double r : {0.0, 1.0, 10.0, 100.0, 350.0}) {
        const double x = r * 250.0 / 200e3;
        REQUIRE_THAT(check::springback_ratio(r, 1.0, 250.0, 200e3),
                     WithinAbs(4.0 * x * x * x - 3.0 * x + 1.0, kRounding));
    }
    REQUIRE_THROWS_AS(check::springback_ratio(400.0, 1.0, 250.0, 200e3), InvalidInput);
    REQUIRE(check::springback_ratio(399.999999, 1.0, 250.0, 200e3) > 0.0);
}

TEST_CASE("over-bending by stiffness springs back to what was wanted", "[bend_check]") {
    for (const double r : {0.5, 3.0, 50.0, 1000.0, 1e6}) {
        for (const double a : {30.0, 90.0, 135.0}) {
            const auto o = check::over_bend_by_stiffness(a, r, 1.5, 280.0, 210e3);
            // 1e-9: near x = 0.5 the formula loses half the digits
            REQUIRE_THAT(o.radius / check::springback_ratio(o.radius, 1.5, 280.0, 210e3),
                         WithinRel(r, r > 1e5 ? 1e-9 : kRounding));
            REQUIRE_THAT(o.angle_deg * (o.radius + 0.75), WithinRel(a * (r + 0.75), 1e-11));
            REQUIRE_THAT(o.angle_deg - o.extra_deg, WithinRel(a, 1e-9));
        }
    }
    const auto sharp = check::over_bend_by_stiffness(90.0, 0.0, 1.5, 280.0, 210e3);
    REQUIRE(sharp.radius == 0.0);
    REQUIRE(sharp.extra_deg == 0.0);
    REQUIRE(sharp.factor == 1.0);
}

TEST_CASE("over-bending by a factor keeps the middle of the sheet", "[bend_check]") {
    const auto o = check::over_bend(90.0, 10.0, 1.0, 0.96);
    REQUIRE_THAT(o.angle_deg, WithinRel(93.75, kRounding));
    REQUIRE_THAT(o.extra_deg, WithinRel(3.75, kRounding));
    REQUIRE_THAT(o.radius, WithinRel(0.96 * 10.5 - 0.5, kRounding));
    REQUIRE(check::over_bend(90.0, 0.0, 1.0, 0.9).radius == 0.0);
    REQUIRE(check::over_bend(0.0, 1.0, 1.0, 1e-310).extra_deg == 0.0);
    REQUIRE_THROWS_AS(check::over_bend(90.0, 1.0, 1.0, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(check::over_bend(90.0, 1.0, 1.0, 1.01), InvalidInput);
}

TEST_CASE("a factor is read between the rows of its table, and not beyond them", "[bend_check]") {
    const std::vector<check::FactorRow> rows{{1.0, 0.99}, {4.0, 0.97}, {16.0, 0.93}};
    REQUIRE(check::springback_factor(rows, 1.0, 1.0) == 0.99);
    REQUIRE(check::springback_factor(rows, 32.0, 2.0) == 0.93);
    REQUIRE_THAT(check::springback_factor(rows, 8.0, 1.0), WithinRel(0.95, kRounding));
    REQUIRE(std::isnan(check::springback_factor(rows, 0.9, 1.0)));
    REQUIRE(std::isnan(check::springback_factor(rows, 17.0, 1.0)));
    const std::vector<check::FactorRow> bad{{1.0, 1.2}};
    REQUIRE_THROWS_AS(check::springback_factor(bad, 1.0, 1.0), InvalidInput);
}

TEST_CASE("a check says what is needed, what there is, and what is felt", "[bend_check]") {
    const auto tight = check::check_radius(1.0, 2.5, Grain::along);
    REQUIRE(tight.outcome == Outcome::fails);
    REQUIRE(tight.needed == 2.5);
    REQUIRE(tight.there == 1.0);
    REQUIRE(tight.number == "inside radius 1.0 mm, at least 2.5 mm needed");
    REQUIRE(tight.feel.find("cracks") != std::string::npos);
    REQUIRE(tight.advice.find("across the grain") != std::string::npos);
    REQUIRE(check::check_radius(2.5, 2.5, Grain::across).outcome == Outcome::holds);
    REQUIRE(check::check_radius(2.5, 2.5, Grain::across).advice.empty());
    REQUIRE(check::check_radius(1.0, std::nan(""), Grain::across).outcome == Outcome::not_known);

    REQUIRE(check::check_flange(0.344 * kInch, 0.5 * kInch).outcome == Outcome::holds);
    REQUIRE(check::check_flange(8.7, 0.5 * kInch).feel.find("slips off") != std::string::npos);
    REQUIRE(check::check_grip(4.0, 1.0, 0.0).outcome == Outcome::holds);
    REQUIRE(check::check_grip(4.0, 1.0, 6.0).outcome == Outcome::fails);
    REQUIRE(check::check_hole(2.0, 1.0, false).outcome == Outcome::holds);
    REQUIRE(check::check_hole(2.0, 1.0, true).outcome == Outcome::fails);
    REQUIRE(check::check_hole(-0.5, 1.0, false).what == "A hole runs into a bend");
    REQUIRE(check::check_angle(93.0, 90.0).outcome == Outcome::fails);
    REQUIRE(check::check_angle(90.0, 90.0).outcome == Outcome::holds);
}

TEST_CASE("the relief hole follows the handbook, and ends with it", "[bend_check]") {
    REQUIRE(check::relief_diameter(0.0, 0.064 * kInch) == 0.125 * kInch);
    REQUIRE(check::relief_diameter(1.0, 0.072 * kInch) == 0.1875 * kInch);
    REQUIRE(check::relief_diameter(4.0, 1.0) == 8.0);
    REQUIRE_THROWS_AS(check::relief_diameter(1.0, 3.3), InvalidInput);
    REQUIRE(check::check_relief(3.0, 1.0, 1.0).outcome == Outcome::fails);
}

TEST_CASE("force: the textbook example, and a sheet that does not fit the V", "[bend_check]") {
    REQUIRE_THAT(check::air_bend_force(450.0, 44.5, 3.2, 25.0, check::kForceFactor), WithinAbs(10909.0, 0.5));
    REQUIRE_THROWS_AS(check::air_bend_force(450.0, 44.5, 25.0, 25.0, 1.33), InvalidInput);
}
