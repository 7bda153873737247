#include <cmath>
#include <foldswing/curved_flange.hpp>
#include <foldswing/edge_finish.hpp>
#include <foldswing/ready_section.hpp>

#include "catch.hpp"

namespace blank = foldswing::blank;
using blank::Metal;
using foldswing::InvalidInput;

namespace {

const Metal kMetal{1.5, 2.0, {blank::Basis::Kind::k_factor, 0.42}};

}  // namespace

TEST_CASE("ready sections develop as their flats and bends do") {
    const double deduction = foldswing::bend::bend_deduction(90.0, 2.0, 1.5, 0.42);
    CHECK(blank::angle_section(25.0, 40.0, kMetal).developed_length() == Approx(65.0 - deduction));
    CHECK(blank::channel(25.0, 60.0, 30.0, kMetal).developed_length() == Approx(115.0 - 2.0 * deduction));
    CHECK(blank::lipped_channel(12.0, 30.0, 60.0, kMetal).developed_length() == Approx(144.0 - 4.0 * deduction));
    CHECK(blank::hat(20.0, 30.0, 50.0, kMetal).developed_length() == Approx(150.0 - 4.0 * deduction));
    CHECK(blank::zed(20.0, 30.0, 25.0, kMetal).developed_length() == Approx(75.0 - 2.0 * deduction));
    CHECK_THROWS_AS(blank::zed(20.0, 5.0, 25.0, kMetal), InvalidInput);
}

TEST_CASE("a joggle's two arcs and slope reach depth and run-out") {
    const auto made = blank::joggle(30.0, 4.0, 20.0, 40.0, kMetal);
    const double a = made.angle_deg * std::acos(-1.0) / 180.0;
    const double c = 2.0 * kMetal.radius + kMetal.thickness;
    CHECK(c * (1.0 - std::cos(a)) + made.slope * std::sin(a) == Approx(4.0));
    CHECK(c * std::sin(a) + made.slope * std::cos(a) == Approx(20.0));
    CHECK(made.take_up > 0.0);
    CHECK_FALSE(made.short_run_out);
    CHECK_NOTHROW(blank::joggle(30.0, 4.0, made.least_run_out, 40.0, kMetal));
    CHECK_THROWS_AS(blank::joggle(30.0, 4.0, 0.999 * made.least_run_out, 40.0, kMetal), InvalidInput);
}

TEST_CASE("a finished edge adds to the blank what it says") {
    const auto plain = blank::angle_section(40.0, 60.0, kMetal);
    for (const auto& made :
         {blank::hem(blank::Hem::closed, 8.0, 0.0, 1.5, 0.42), blank::hem(blank::Hem::open, 10.0, 2.0, 1.5, 0.42),
          blank::hem(blank::Hem::teardrop, 14.0, 3.0, 1.5, 0.42), blank::hem(blank::Hem::doubled, 12.0, 0.0, 1.5, 0.42),
          blank::wired_edge(4.0, 1.5, 0.42)}) {
        CHECK(blank::finished(plain, {}, made).developed_length() - plain.developed_length() == Approx(made.addition));
        CHECK(blank::finished(plain, made, made).developed_length() - plain.developed_length() ==
              Approx(2.0 * made.addition));
    }
    CHECK(blank::wired_edge(25.4 / 8.0, 1.0, 0.44).rule == Approx(25.4 * 5.0 / 16.0));
    CHECK_THROWS_AS(blank::hem(blank::Hem::closed, 1.0, 0.0, 1.5, 0.42), InvalidInput);
    CHECK_THROWS_AS(blank::lock_seam(blank::Seam::doubled, 5.0, 1.5, 0.42), InvalidInput);
}

TEST_CASE("slots leave metal between them") {
    const auto made = blank::tabs_and_slots(300.0, 3, 20.0, 1.5, 2.0, 0.0, 0.2);
    CHECK(made.centres == std::vector<double>{50.0, 150.0, 250.0});
    CHECK(made.between == Approx(79.8));
    CHECK_THROWS_AS(blank::tabs_and_slots(300.0, 3, 99.0, 1.5, 2.0, 0.0, 0.2), InvalidInput);
    CHECK_THROWS_AS(blank::tabs_and_slots(300.0, 0, 9.0, 1.5, 2.0, 0.0, 0.2), InvalidInput);
}

TEST_CASE("cuts in a curved flange start where the strain is the limit") {
    blank::CurvedFlangeSize size;
    size.radius_in_plan = 40.0;
    size.depth = 18.0;
    size.strain_limit = 0.2;
    const auto hollow = blank::curved_flange(size, kMetal);
    CHECK(hollow.easing == blank::Easing::notches);
    CHECK(hollow.finished_edge_radius / hollow.root_radius - 1.0 == Approx(0.2));
    size.curve = blank::Curve::bulging;
    const auto bulging = blank::curved_flange(size, kMetal);
    CHECK(bulging.strain < 0.0);
    CHECK(bulging.easing == blank::Easing::darts);
    CHECK(1.0 - bulging.finished_edge_radius / bulging.root_radius == Approx(0.2));
    size.strain_limit = 10.0;
    CHECK(blank::curved_flange(size, kMetal).easing == blank::Easing::none);
    size.curve = blank::Curve::hollow;
    size.depth = 90.0;
    CHECK_THROWS_AS(blank::curved_flange(size, kMetal), InvalidInput);
}
