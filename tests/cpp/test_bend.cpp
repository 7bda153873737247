#include <cmath>
#include <foldswing/bend.hpp>
#include <limits>
#include <numbers>

#include "catch.hpp"

namespace bend = foldswing::bend;
using bend::Basis;
using bend::Measured;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using foldswing::InvalidInput;

namespace {
constexpr double kPi = std::numbers::pi;
constexpr double kRounding = 1e-13;  // relative; what every closed form of the library keeps
const double kNaN = std::numeric_limits<double>::quiet_NaN();
const double kInf = std::numeric_limits<double>::infinity();
}  // namespace

TEST_CASE("a square bend has its setback exactly one radius and one thickness", "[bend][anchor]") {
    REQUIRE(bend::setback(90.0, 1.2, 1.2) == 1.2 + 1.2);
    REQUIRE(bend::inside_setback(90.0, 0.7) == 0.7);
}

TEST_CASE("the invented tail panel's bend takes 2.12 off", "[bend][anchor]") {
    REQUIRE_THAT(bend::bend_deduction(90.0, 1.2, 1.2, 0.42), WithinAbs(2.12, 0.005));
}

TEST_CASE("an unbent bend takes nothing and gives nothing", "[bend][degenerate]") {
    REQUIRE(bend::bend_allowance(0.0, 2.0, 1.0, 0.4) == 0.0);
    REQUIRE(bend::setback(0.0, 2.0, 1.0) == 0.0);
    REQUIRE(bend::bend_deduction(0.0, 2.0, 1.0, 0.4) == 0.0);
}

TEST_CASE("deduction is two setbacks less the allowance", "[bend][invariant]") {
    const double angle = GENERATE(1.0, 29.999, 30.0, 45.0, 90.0, 135.0, 179.0);
    const double radius = GENERATE(0.0, 0.4, 25.0);
    const double k = GENERATE(0.0, 0.33, 0.5, 1.0);
    const double both = 2.0 * bend::setback(angle, radius, 1.5);
    const double expected = both - bend::bend_allowance(angle, radius, 1.5, k);
    REQUIRE_THAT(bend::bend_deduction(angle, radius, 1.5, k), WithinAbs(expected, 1e-14 * both + 1e-15));
}

TEST_CASE("a flat bend on the outside face keeps its digits", "[bend][invariant]") {
    // With K = 1 only (R+T)(2 tan(a/2) - a) is left, a^3/12 (R+T) to first order: the plain difference would be noise.
    const double angle = GENERATE(1e-6, 1e-4, 1e-2);
    const double a = angle * kPi / 180.0;
    const double series = 3.0 * (a * a * a / 12.0) * (1.0 + a * a / 10.0);
    REQUIRE_THAT(bend::bend_deduction(angle, 1.0, 2.0, 1.0), WithinRel(series, kRounding));
}

TEST_CASE("a bend just short of folded back keeps its digits", "[bend][invariant]") {
    const double short_of = std::ldexp(1.0, -30);  // exact, so that 180 - short_of is exact too
    const double half = 0.5 * short_of * kPi / 180.0;
    REQUIRE_THAT(bend::setback(180.0 - short_of, 1.0, 1.0), WithinRel(2.0 / std::tan(half), kRounding));
}

TEST_CASE("twice the sizes give twice the lengths", "[bend][invariant]") {
    const double angle = GENERATE(5.0, 90.0, 150.0);
    REQUIRE(bend::bend_deduction(angle, 2.4, 2.0, 0.4) == 2.0 * bend::bend_deduction(angle, 1.2, 1.0, 0.4));
    REQUIRE(bend::bend_allowance(angle, 2.4, 2.0, 0.4) == 2.0 * bend::bend_allowance(angle, 1.2, 1.0, 0.4));
}

TEST_CASE("180 degrees has no mould point and the message says what to do", "[bend][domain]") {
    REQUIRE_NOTHROW(bend::bend_allowance(180.0, 1.0, 1.0, 0.4));
    REQUIRE_THROWS_AS(bend::bend_deduction(180.0, 1.0, 1.0, 0.4), InvalidInput);
    try {
        (void)bend::setback(180.0, 1.0, 1.0);
        FAIL("180 was accepted");
    } catch (const InvalidInput& e) {
        REQUIRE(std::string(e.what()).find("tangent lines") != std::string::npos);
        REQUIRE(e.parameter() == "angle_deg");
    }
}

TEST_CASE("bad values are refused, whichever they are", "[bend][domain]") {
    const double bad = GENERATE_COPY(-1.0, kNaN, kInf, -kInf);
    REQUIRE_THROWS_AS(bend::bend_allowance(bad, 1.0, 1.0, 0.4), InvalidInput);
    REQUIRE_THROWS_AS(bend::bend_allowance(90.0, bad, 1.0, 0.4), InvalidInput);
    REQUIRE_THROWS_AS(bend::bend_allowance(90.0, 1.0, bad, 0.4), InvalidInput);
    REQUIRE_THROWS_AS(bend::bend_allowance(90.0, 1.0, 1.0, bad), InvalidInput);
    REQUIRE_THROWS_AS(bend::bend_angle_from_included(bad), InvalidInput);
}

TEST_CASE("sizes that overflow are refused by name", "[bend][domain]") {
    REQUIRE_THROWS_AS(bend::setback(179.0, 1e308, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(bend::bend_deduction(179.0, 1e308, 1.0, 0.4), InvalidInput);
}

TEST_CASE("a bent strip gives back the k-factor it was bent with", "[bend][invariant]") {
    const double k = GENERATE(0.0, 0.3, 0.42, 0.5, 1.0);
    const double angle = GENERATE(30.0, 90.0, 120.0);
    const double radius = 2.0;
    const double t = 1.5;
    const double arc = angle * kPi / 180.0 * (radius + k * t);
    const double tan_half = std::tan(angle * kPi / 360.0);
    const double flats = 23.0 + 31.0;
    const auto found = [&](Measured m, double extra) {
        return bend::k_factor_from_coupon(flats + arc, 23.0 + extra, 31.0 + extra, angle, radius, t, m);
    };
    REQUIRE_THAT(found(Measured::flat, 0.0), WithinAbs(k, 1e-13));
    REQUIRE_THAT(found(Measured::outside, (radius + t) * tan_half), WithinAbs(k, 1e-13));
    REQUIRE_THAT(found(Measured::inside, radius * tan_half), WithinAbs(k, 1e-13));
    if (angle >= 90.0) {
        REQUIRE_THAT(found(Measured::overall, radius + t), WithinAbs(k, 1e-13));
    } else {
        REQUIRE_THROWS_AS(found(Measured::overall, radius + t), InvalidInput);
    }
}

TEST_CASE("a deduction gives back its k-factor and its allowance", "[bend][invariant]") {
    const double angle = GENERATE(0.01, 30.0, 90.0, 170.0);
    const double k = GENERATE(0.1, 0.45, 0.9);
    const double deduction = bend::bend_deduction(angle, 3.0, 2.0, k);
    REQUIRE_THAT(bend::k_factor_from_deduction(deduction, angle, 3.0, 2.0), WithinAbs(k, 1e-12));
    const double allowance = bend::allowance(angle, 3.0, 2.0, {Basis::Kind::deduction, deduction});
    REQUIRE_THAT(allowance, WithinAbs(bend::bend_allowance(angle, 3.0, 2.0, k), 1e-12));
}

TEST_CASE("a strip that contradicts itself is refused", "[bend][domain]") {
    REQUIRE_THROWS_AS(bend::k_factor_from_coupon(50.0, 30.0, 30.0, 90.0, 1.2, 1.2), InvalidInput);  // legs far too long
    REQUIRE_THROWS_AS(bend::deduction_from_coupon(50.0, 20.0, 20.0), InvalidInput);
    REQUIRE_THROWS_AS(bend::k_factor_from_deduction(1.0, 0.0, 1.2, 1.2), InvalidInput);
}

TEST_CASE("DIN 6935 reaches the middle at five thicknesses and stops where it turns negative", "[bend][domain]") {
    REQUIRE_THAT(bend::k_factor_din6935(5.0, 1.0), WithinAbs(0.5 * (0.65 + 0.5 * std::log10(5.0)), 1e-15));
    REQUIRE(bend::k_factor_din6935(5.0001, 1.0) == 0.5);
    REQUIRE_THROWS_AS(bend::k_factor_din6935(0.05, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(bend::k_factor_din6935(0.0, 1.0), InvalidInput);
}

TEST_CASE("no basis at all is refused", "[bend][domain]") {
    REQUIRE_THROWS_AS(bend::allowance(90.0, 1.0, 1.0, Basis{}), InvalidInput);
    REQUIRE_THROWS_AS(bend::allowance(90.0, 1.0, 1.0, {Basis::Kind::deduction, 5.0}), InvalidInput);
}
