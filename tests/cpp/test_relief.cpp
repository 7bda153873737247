#include <cmath>
#include <foldswing/gate.hpp>
#include <foldswing/relief.hpp>
#include <limits>

#include "catch.hpp"

using namespace foldswing;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {
const double kNan = std::numeric_limits<double>::quiet_NaN();

Path box(double left, double bottom, double right, double top) {
    return Path({{left, bottom}, {right, bottom}, {right, top}, {left, top}}, {0.0, 0.0, 0.0, 0.0}, true);
}

/// The bar hinged at its lower right corner's height, over a sill.
const Path kBar = box(-30.0, -10.0, 0.0, 300.0);
const Path kSill = box(-100.0, -60.0, 100.0, -12.0);
const Point kPivot{-15.0, 5.0};
}  // namespace

TEST_CASE("the hollow under a square edge is one true arc about the pivot", "[relief][anchor]") {
    const double gap = GENERATE(0.0, 2.0);
    const relief::Relief r = relief::off_body({&kBar, 1}, {&kSill, 1}, {kPivot, 0.0, -90.0}, gap);
    REQUIRE(r.exact);
    REQUIRE(r.cuts.size() == 1);
    const double reach = std::hypot(15.0, 15.0) + gap;  // of the corner, grown by the gap
    const Path& cut = r.cuts.front();
    bool about_pivot = false;
    for (std::size_t i = 0; i < cut.size(); ++i)
        if (cut.sweep_deg()[i] != 0.0 && std::abs(cut.centre(i).x - kPivot.x) < 1e-6) {
            REQUIRE_THAT(cut.radius(i), WithinAbs(reach, 1e-9));
            REQUIRE_THAT(cut.centre(i).y, WithinAbs(kPivot.y, 1e-9));
            about_pivot = true;
        }
    REQUIRE(about_pivot);
    REQUIRE_THAT(r.depth, WithinAbs(reach - 17.0, 0.02));
    REQUIRE(cut.size() <= 6);
}

TEST_CASE("a corner rounded about the pivot needs no relief, and one that keeps the gap is left alone", "[relief]") {
    const Path sections[] = {box(-30.0, -10.0, 0.0, 300.0)};
    const Path low = box(-100.0, -60.0, 100.0, 5.0 - std::hypot(15.0, 15.0) - 1.0);
    const relief::Relief r = relief::off_body(sections, {&low, 1}, {kPivot, 0.0, -90.0}, 1.0);
    REQUIRE(r.outlines.empty());
    REQUIRE(r.explanation.find("Nothing need come off") != std::string::npos);
    REQUIRE(std::isnan(r.deepest.x));
}

TEST_CASE("what comes off the panel is what the body passes over, seen from the panel", "[relief][invariant]") {
    const PlainTurn turn{kPivot, 0.0, -90.0};
    const relief::Relief r = relief::off_panel({&kBar, 1}, {&kSill, 1}, turn, 1.0);
    REQUIRE(r.outlines.size() >= 1);
    const Outline sill = kSill.outline(0.01);
    const Outline bar = kBar.outline(0.01);
    // Every panel point that comes nearer to the sill than the gap is in the cut.
    for (int i = 1; i < 60; ++i)
        for (int j = 1; j < 60; ++j) {
            const Point p{-30.0 + 0.5 * i, -10.0 + 0.5 * j};
            double least = 1e9;
            for (int k = 0; k <= 360; ++k) {
                const Point at = Pose::about(kPivot, -0.25 * k).apply(p);
                const double below = at.y + 12.0;
                least = std::min(least, std::abs(at.x) <= 100.0 ? below : 1e9);
            }
            bool cut = false;
            for (const Outline& o : r.outlines) cut = cut || locate(o, p) != Place::outside;
            if (least < 1.0 - 1e-3) REQUIRE(cut);
            if (least > 1.0 + 0.06) REQUIRE_FALSE(cut);
        }
}

TEST_CASE("a round about the pivot sweeps as the one band it is", "[relief][degenerate]") {
    const double radius = GENERATE(20.0, 40.0, 150.0);
    const Path ear({{kPivot.x + radius, kPivot.y}, {kPivot.x - radius, kPivot.y}}, {180.0, 180.0}, true);
    const relief::Relief r = relief::off_body({&ear, 1}, {&kSill, 1}, {kPivot, 0.0, -119.0}, 2.0);
    REQUIRE(r.exact);
    REQUIRE(r.outlines.size() == 1);
    for (const Point p : r.outlines.front().corners()) {
        if (p.y > -13.0 || p.y < -59.0 || std::abs(p.x) > 99.0) continue;  // on the sill's own edge
        const double out = std::hypot(p.x - kPivot.x, p.y - kPivot.y);
        REQUIRE(out >= radius + 2.0 - 1e-9);
        REQUIRE(out <= radius + 2.0 + relief::kSagitta);
    }
    const Path sections[] = {kBar, ear};
    REQUIRE(relief::off_body(sections, {&kSill, 1}, {kPivot, 0.0, -119.0}, 2.0).cuts.size() == 1);
}

TEST_CASE("a cut right through a body, or all of it, is a cut", "[relief][degenerate]") {
    const Path low = box(-100.0, -60.0, 100.0, -2.0);
    const relief::Relief through = relief::off_body({&kBar, 1}, {&low, 1}, {kPivot, 0.0, -180.0}, 0.0);
    REQUIRE(through.area > 500.0);
    REQUIRE(through.depth > 10.0);
    const Path stub = box(20.0, 0.0, 30.0, 10.0);
    const relief::Relief all = relief::off_body({&kBar, 1}, {&stub, 1}, {kPivot, 0.0, -120.0}, 0.0);
    REQUIRE_THAT(all.area, WithinAbs(100.0, 1e-6));
    REQUIRE_THAT(all.depth, WithinAbs(5.0, 0.01));
}

TEST_CASE("a full turn sweeps a ring", "[relief][degenerate]") {
    const Path bar = box(10.0, -1.0, 20.0, 1.0);
    const auto room = relief::swept_room({&bar, 1}, {{0.0, 0.0}, 0.0, 360.0}, 0.0, 0.01);
    REQUIRE(room.size() == 1);
    REQUIRE(room.front().holes().size() == 1);
    REQUIRE_THAT(area(room.front()), WithinRel(std::acos(-1.0) * (401.0 - 100.0), 1e-3));
    const auto still = relief::swept_room({&bar, 1}, {{0.0, 0.0}, 30.0, 30.0}, 0.0, 0.01);
    REQUIRE_THAT(area(still.front()), WithinRel(20.0, 1e-9));
}

TEST_CASE("reliefs refuse what makes no sense", "[relief][domain]") {
    const PlainTurn turn{kPivot, 0.0, -90.0};
    REQUIRE_THROWS_AS(relief::off_body({}, {&kSill, 1}, turn, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(relief::off_body({&kBar, 1}, {}, turn, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(relief::off_body({&kBar, 1}, {&kSill, 1}, turn, -1.0), InvalidInput);
    REQUIRE_THROWS_AS(relief::off_body({&kBar, 1}, {&kSill, 1}, turn, 1.0, 1e-4), InvalidInput);
    REQUIRE_THROWS_AS(relief::off_body({&kBar, 1}, {&kSill, 1}, {kPivot, 0.0, kNan}, 1.0), InvalidInput);
    const Path open({{0.0, 0.0}, {1.0, 0.0}, {1.0, 1.0}}, {0.0, 0.0});
    REQUIRE_THROWS_AS(relief::off_body({&open, 1}, {&kSill, 1}, turn, 1.0), InvalidInput);
}
