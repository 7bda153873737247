#include <cmath>
#include <foldswing/seam.hpp>
#include <limits>
#include <numeric>

#include "catch.hpp"

using namespace foldswing;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using At = seam::Place;

TEST_CASE("a gap of one width is even, one that opens steadily is tapered", "[seam]") {
    const std::array<At, 3> even{At{0.0, 3.0}, At{400.0, 3.1}, At{1180.0, 3.0}};
    const seam::Seam level = seam::along(even, 3.0, 0.25);
    REQUIRE(level.kind == seam::Kind::even);
    REQUIRE(level.kept);
    REQUIRE(level.stretches.size() == 1);
    const std::array<At, 3> opens{At{0.0, 2.0}, At{300.0, 2.6}, At{1000.0, 4.0}};
    const seam::Seam taper = seam::along(opens, 3.0, 0.25);
    REQUIRE(taper.kind == seam::Kind::tapered);
    REQUIRE_FALSE(taper.kept);
    REQUIRE_THAT(taper.taper_per_metre, WithinRel(2.0, 1e-12));
    REQUIRE_THAT(taper.rms, WithinRel(std::sqrt(1.0 / 3.0), 1e-12));
    REQUIRE_THAT(taper.line_from.gap, WithinRel(2.0, 1e-12));
    REQUIRE_THAT(taper.mean, WithinRel(3.0, 1e-12));
    REQUIRE(taper.smallest == At{0.0, 2.0});
    REQUIRE(taper.largest == At{1000.0, 4.0});
}

TEST_CASE("where a taper changes the stretches meet, and a tight spot is named", "[seam]") {
    std::vector<At> knee;
    for (int i = 0; i <= 20; ++i) knee.push_back({50.0 * i, i <= 12 ? 3.0 : 3.0 + 0.25 * (i - 12)});
    const seam::Seam s = seam::along(knee, 3.0, 0.1);
    REQUIRE(s.stretches.size() == 2);
    REQUIRE(s.stretches[1].from.at == 600.0);
    REQUIRE_THAT(s.stretches[1].taper_per_metre, WithinRel(5.0, 1e-12));
    std::vector<At> dent;
    for (int i = 0; i <= 20; ++i) dent.push_back({50.0 * i, i == 10 ? 1.0 : 3.0});
    const seam::Seam tight = seam::along(dent, 3.0, 0.3);
    REQUIRE(tight.kind == seam::Kind::uneven);
    REQUIRE(tight.spots.size() == 1);
    REQUIRE(tight.spots[0].worst == At{500.0, 1.0});
    REQUIRE(tight.spots[0].off < -1.8);
    REQUIRE(tight.spots[0].from > 450.0);
    REQUIRE(tight.spots[0].to < 550.0);
}

TEST_CASE("between an arc and a straight edge the gap is that of the chord's rises", "[seam][invariant]") {
    const double chord = 1220.0;
    const double rise = 12.0;
    const double radius = (chord * chord + 4.0 * rise * rise) / (8.0 * rise);
    const double sweep = 2.0 * std::asin(0.5 * chord / radius) * 180.0 / std::acos(-1.0);
    const Path bowed({{0.0, 20.0}, {chord, 20.0}}, {-sweep});  // bulges up, away from the panel
    const Path straight({{10.0, 16.0}, {1210.0, 16.0}}, {0.0});
    const seam::Seam s = seam::between(straight, bowed, 4.0, 0.25);
    REQUIRE_THAT(s.largest.gap, WithinAbs(4.0 + rise, 3e-3));
    REQUIRE_THAT(s.largest.at, WithinAbs(0.5 * chord, 5.0));
    REQUIRE_THAT(s.smallest.gap, WithinAbs(4.0 + std::sqrt(radius * radius - 600.0 * 600.0) - (radius - rise), 3e-3));
    REQUIRE(s.kind == seam::Kind::uneven);
    // From the other side, and with the edges drawn backwards, it is the same seam.
    const seam::Seam mirrored = seam::between(straight.mirrored({0.0, 0.0}, {1.0, 0.0}).reversed(),
                                              bowed.mirrored({0.0, 0.0}, {1.0, 0.0}), 4.0, 0.25);
    REQUIRE_THAT(mirrored.rms, WithinRel(s.rms, 1e-9));
    REQUIRE_THAT(mirrored.largest.gap, WithinAbs(s.largest.gap, 1e-9));
}

TEST_CASE("seams that are none are refused by name", "[seam][domain]") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto along = [](std::vector<At> p) { return seam::along(p, 3.0, 0.25); };
    REQUIRE_THROWS_AS(along({{0.0, 1.0}}), InvalidInput);
    REQUIRE_THROWS_AS(along({{0.0, 1.0}, {0.0, 1.0}}), InvalidInput);
    REQUIRE_THROWS_AS(along({{0.0, 1.0}, {1.0, nan}}), InvalidInput);
    const Path a({{0.0, 0.0}, {10.0, 0.0}}, {0.0});
    const Path beyond({{20.0, 1.0}, {30.0, 1.0}}, {0.0});
    const Path back({{0.0, 1.0}, {8.0, 1.0}, {5.0, 2.0}, {10.0, 2.0}}, {0.0, 0.0, 0.0});
    REQUIRE_THROWS_AS(seam::between(a, beyond, 1.0, 0.1), InvalidInput);
    REQUIRE_THROWS_AS(seam::between(back, a, 1.0, 0.1), InvalidInput);
}
