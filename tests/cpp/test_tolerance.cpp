// Signed gaps of sections with arcs, and what likely errors leave of them. Likely gaps are compared with normal
// distributions where the gap is one, or the smaller of two, by its geometry.
#include <cmath>
#include <foldswing/gate.hpp>
#include <foldswing/tolerance.hpp>
#include <limits>
#include <numbers>
#include <optional>
#include <random>

#include "catch.hpp"

namespace gate = foldswing::gate;
namespace tolerance = foldswing::tolerance;
using catch_match::WithinAbs;
using catch_match::WithinRel;
using foldswing::InvalidInput;
using foldswing::Path;
using foldswing::PlainTurn;
using foldswing::Point;
using foldswing::Pose;
using tolerance::HoleErrors;
using tolerance::LikelyGap;
using tolerance::Obstacle;

namespace {
constexpr double kRounding = 1e-11;  // mm, on parts of a few hundred mm
constexpr Point kPivot{-10.0, -18.0};

Path box(double left, double right, double low, double high) {
    return {{{left, low}, {right, low}, {right, high}, {left, high}}, {0.0, 0.0, 0.0, 0.0}, true};
}
Path disc(Point centre, double r) { return {{centre - Point{r, 0.0}, centre + Point{r, 0.0}}, {180.0, 180.0}, true}; }
Path counter_gate(double inner, double outer) {
    gate::Sizes s;
    s.thickness = 28.0;
    s.height = 360.0;
    s.lower_edge_below_worktop = 36.0;
    s.lower_inner_radius = inner;
    s.lower_outer_radius = outer;
    s.nose_depth = 40.0;
    s.worktop_above_floor = 900.0;
    s.head_above_worktop = 328.0;
    s.jamb_depth = 60.0;
    return gate::panel(s);
}
Path nose() { return box(-631.0, -31.0, -40.0, 0.0); }

double still(const Path& a, const Path& b) { return tolerance::signed_gap(a, b, {}); }
double normal(double t) { return 0.5 * std::erfc(-t / std::numbers::sqrt2); }

void check_same(const LikelyGap& a, const LikelyGap& b, double within) {
    CHECK_THAT(a.as_drawn, WithinAbs(b.as_drawn, within));
    CHECK_THAT(a.mean, WithinAbs(b.mean, within));
    CHECK_THAT(a.deviation, WithinAbs(b.deviation, within));
    CHECK_THAT(a.kept, WithinAbs(b.kept, within));
    CHECK_THAT(a.share, WithinAbs(b.share, within));
}
}  // namespace

TEST_CASE("the signed gap of the demo gate is what its check values say", "[tolerance][anchor]") {
    const auto gap = [](double inner, double outer, double from, double to) {
        return tolerance::signed_gap(counter_gate(inner, outer), nose(), {kPivot, from, to});
    };
    CHECK_THAT(gap(0.0, 0.0, 0.0, -90.0), WithinAbs(-4.46, 0.005));
    CHECK_THAT(gap(12.0, 0.0, 0.0, -90.0), WithinAbs(0.51, 0.005));
    CHECK_THAT(gap(12.0, 0.0, -90.0, -125.0), WithinAbs(0.41, 0.005));
    CHECK_THAT(gap(15.6, 4.8, 0.0, -125.0), WithinAbs(2.01, 0.005));
    CHECK_THAT(gap(18.0, 10.0, 0.0, -90.0), WithinAbs(3.0, 1e-9));  // about the pivot: the same all the way
}

TEST_CASE("discs are as far apart as their centres less their radii, however they lie", "[tolerance][degenerate]") {
    CHECK_THAT(still(disc({0.0, 0.0}, 10.0), disc({30.0, 40.0}, 25.0)), WithinAbs(15.0, kRounding));
    CHECK_THAT(still(disc({0.0, 0.0}, 10.0), disc({30.0, 0.0}, 25.0)), WithinAbs(-5.0, kRounding));
    CHECK_THAT(still(disc({0.0, 0.0}, 10.0), disc({35.0, 0.0}, 25.0)), WithinAbs(0.0, kRounding));   // they touch
    CHECK_THAT(still(disc({0.0, 0.0}, 10.0), disc({0.0, 0.0}, 25.0)), WithinAbs(-15.0, kRounding));  // inside, centred
    // a bar drawn as a large arc and a small one
    const double c = 10.0 * std::sqrt(0.75);
    const Path bar({{c, 5.0}, {c, -5.0}}, {300.0, 60.0}, true);
    for (const Point at : {Point{50.0, 0.0}, Point{-50.0, 0.0}, Point{30.0, -40.0}, Point{-14.0, 48.0}})
        CHECK_THAT(still(bar, disc(at, 25.0)), WithinAbs(15.0, kRounding));
    CHECK_THAT(still(bar, box(-60.0, -13.0, -9.0, 7.0)), WithinAbs(3.0, kRounding));
    CHECK_THAT(still(bar, box(-20.0, 20.0, -40.0, -14.0)), WithinAbs(4.0, kRounding));
    // a bar in a hollow of the same middle: the gap is the same all round
    const Path hollow({{-20.0, 0.0}, {-20.0, -40.0}, {20.0, -40.0}, {20.0, 0.0}}, {0.0, 0.0, 0.0, -180.0}, true);
    CHECK_THAT(still(disc({0.0, 0.0}, 17.0), hollow), WithinAbs(3.0, kRounding));
    CHECK_THAT(still(disc({0.0, -1.0}, 17.0), hollow), WithinAbs(2.0, kRounding));
    CHECK_THAT(still(disc({0.0, -5.0}, 17.0), hollow), WithinAbs(-2.0, kRounding));
}

TEST_CASE("sections of lines and arcs are as far apart as their finely drawn outlines", "[tolerance][oracle]") {
    std::mt19937 random(5);
    const auto in = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
    const auto section = [&] {
        const double w = in(20.0, 60.0);
        const double h = in(20.0, 60.0);
        std::vector<double> sweep(4);
        for (double& s : sweep) s = in(0.0, 1.0) < 0.3 ? 0.0 : in(-40.0, 200.0);
        const Path path({{0.0, 0.0}, {w, 0.0}, {w, h}, {0.0, h}}, sweep, true);
        return in(0.0, 1.0) < 0.5 ? path : path.reversed();
    };
    constexpr double sagitta = 1e-3;
    int apart = 0;
    int over = 0;
    for (int i = 0; i < 100; ++i) {
        const Path a = section();
        const Path b = section().moved({in(-90.0, 90.0), in(-90.0, 90.0), in(0.0, 360.0)});
        std::optional<foldswing::Separation> drawn;
        try {
            drawn = foldswing::distance(a.outline(sagitta), b.outline(sagitta));
        } catch (const InvalidInput&) {  // bulging sides that run into each other
            CHECK_THROWS_AS(still(a, b), InvalidInput);
            continue;
        }
        CAPTURE(i, drawn->distance, drawn->depth);
        const double gap = still(a, b);
        if (drawn->distance > 0.0) {
            ++apart;
            CHECK_THAT(gap, WithinAbs(drawn->distance, 2.0 * sagitta));
        } else {
            ++over;
            CHECK(gap <= 2.0 * sagitta);
            CHECK(gap >= -drawn->depth - 2.0 * sagitta);
        }
        CHECK_THAT(still(b, a), WithinAbs(gap, 1e-9));
    }
    CHECK(apart > 30);
    CHECK(over > 10);
}

TEST_CASE("an arc ever flatter becomes a line without losing digits", "[tolerance][numerics]") {
    const double sweep = GENERATE(1.0, 1e-3, 2e-6, 1e-7, 1e-12, 1e-300);
    const Path crowned({{0.0, 0.0}, {1000.0, 0.0}, {1000.0, 30.0}, {0.0, 30.0}}, {0.0, 0.0, sweep, 0.0}, true);
    const double rise = 500.0 * std::tan(0.25 * sweep * std::numbers::pi / 180.0);
    CHECK_THAT(still(disc({500.0, 50.0}, 15.0), crowned), WithinAbs(5.0 - rise, 3e-6));
    CHECK_THAT(still(box(490.0, 510.0, 40.0, 60.0), crowned), WithinAbs(10.0 - rise, 1e-3 * rise + 3e-6));
    // the height above the chord 50 mm from its end
    CHECK_THAT(tolerance::signed_gap(crowned, box(0.0, 50.0, 40.0, 60.0), {{0.0, 0.0}, 0.0, 1e-4}),
               WithinAbs(10.0 - 0.19 * rise, 1e-3));
}

TEST_CASE("beyond the tip of a crescent is outside, at the end of a slit of no width inside",
          "[tolerance][degenerate]") {
    // two circles that touch at the origin from the inside: an edge that turns back on itself there
    const Path crescent({{0.0, 0.0}, {-60.0, 0.0}, {0.0, 0.0}, {-100.0, 0.0}}, {-180.0, -180.0, 180.0, 180.0}, true);
    CHECK_THROWS_AS(still(disc({50.0, 0.0}, 1.0), crescent), InvalidInput);  // an outline does not touch itself
    const Path horn({{0.0, 0.0}, {-60.0, 60.0}, {-60.0, 40.0}}, {90.0, 0.0, -67.38013505195957}, true);
    CHECK_THAT(still(disc({5.0, -1e-7}, 1.0), horn), WithinAbs(4.0, 1e-7));
    CHECK_THAT(still(disc({5.0, 1e-7}, 1.0), horn), WithinAbs(4.0, 1e-7));
}

TEST_CASE("bars that cross overlap, though no corner of either is inside the other", "[tolerance][degenerate]") {
    CHECK(still(box(-50.0, 50.0, -2.0, 2.0), box(-2.0, 2.0, -50.0, 50.0)) == 0.0);
    CHECK(still(box(-50.0, 50.0, -2.0, 2.0), box(-2.0, 2.0, 2.5, 50.0)) == 0.5);
}

TEST_CASE("a corner that comes through a thin sheet between two tries is not missed, on a long panel too",
          "[tolerance][numerics]") {
    // 3 m from the pivot; the corner goes 0.4 mm into a sheet as thick as that, at its middle
    const Path panel = box(0.0, 3000.0, -10.0, 0.0);
    const double off = GENERATE(0.0, 0.21, 0.77);
    const double at = 40.0 + off;
    const double c = std::cos(at * std::numbers::pi / 180.0);
    const double s = std::sin(at * std::numbers::pi / 180.0);
    const Point tip{3000.0 * c, 3000.0 * s};
    const Point u{c, s};
    const Point v{-s, c};
    const Path sheet(
        {tip - 0.4 * u - 0.5 * v, tip + 0.6 * u - 0.5 * v, tip + 0.6 * u + 0.5 * v, tip - 0.4 * u + 0.5 * v},
        {0.0, 0.0, 0.0, 0.0}, true);
    CHECK_THAT(tolerance::signed_gap(panel, sheet, {{0.0, 0.0}, 0.0, 125.0}), WithinAbs(-0.4, 0.02));
}

TEST_CASE("a gap between straight edges is normal", "[tolerance][oracle]") {
    const Path panel = box(0.0, 28.0, 0.0, 360.0);
    const Obstacle wall{box(31.0, 60.0, -500.0, 800.0), 0.5, 0.9, 0.3};
    // turned by half, errors of both holes add up: drilled through together to twice the one
    const bool together = GENERATE(false, true);
    const double turn = GENERATE(0.0, 180.0);
    const Point pivot = turn == 0.0 ? Point{7.0, 9.0} : Point{14.0, 180.0};
    const double hole = 0.4;
    const double holes = together ? (turn == 0.0 ? 0.0 : 2.0 * hole) : std::hypot(hole, hole);
    const double deviation = std::hypot(holes, 0.5);
    const LikelyGap g = tolerance::likely_gap(panel, wall, {pivot, turn, turn}, {hole, together});
    CHECK_THAT(g.as_drawn, WithinAbs(2.7, kRounding));
    CHECK_THAT(g.mean, WithinAbs(2.7, 1e-9));
    CHECK_THAT(g.deviation, WithinRel(deviation, 1e-4));
    CHECK_THAT(g.kept, WithinAbs(2.7 - 2.0 * deviation, 1e-3));
    CHECK_THAT(g.share, WithinRel(normal(-2.7 / deviation), 1e-3));
}

TEST_CASE("the smaller of two gaps has the distribution of the smaller of two normal numbers", "[tolerance][oracle]") {
    const Path panel = box(0.0, 28.0, 0.0, 360.0);
    const double below = GENERATE(2.0, 2.5);
    const double up = GENERATE(0.3, 1.1);
    const Path corner({{-2.0, -below}, {500.0, -below}, {500.0, -60.0}, {-60.0, -60.0}, {-60.0, 500.0}, {-2.0, 500.0}},
                      {0.0, 0.0, 0.0, 0.0, 0.0, 0.0}, true);
    const LikelyGap g = tolerance::likely_gap(panel, {corner, 0.3, up, 0.0}, {}, {0.4, false});
    const double across = std::hypot(0.4, 0.4, 0.3);
    const double along = std::hypot(0.4, 0.4, up);
    const auto share = [&](double gap) {
        const double p = normal((gap - 2.0) / across);
        const double q = normal((gap - below) / along);
        return p + q - p * q;
    };
    CHECK_THAT(g.share, WithinRel(share(0.0), 0.005));
    CHECK_THAT(share(g.kept), WithinRel(normal(-2.0), 0.005));
    // mean and deviation of the smaller of two (Clark, 1961; from memory)
    const double apart = std::hypot(across, along);
    const double a = (below - 2.0) / apart;
    const double density = std::exp(-0.5 * a * a) / std::sqrt(2.0 * std::numbers::pi);
    const double mean = 2.0 * normal(a) + below * normal(-a) - apart * density;
    const double square = (4.0 + across * across) * normal(a) + (below * below + along * along) * normal(-a) -
                          (2.0 + below) * apart * density;
    CHECK_THAT(g.mean, WithinAbs(mean, 0.002));
    CHECK_THAT(g.deviation, WithinRel(std::sqrt(square - mean * mean), 0.005));
}

TEST_CASE("a panel in the middle of a frame has no direction in which the gap grows", "[tolerance][degenerate]") {
    const Path panel = box(-20.0, 20.0, -20.0, 20.0);
    // a ring cut open where nothing comes near
    const Path frame({{-1.0, 40.0},
                      {-40.0, 40.0},
                      {-40.0, -40.0},
                      {40.0, -40.0},
                      {40.0, 40.0},
                      {1.0, 40.0},
                      {1.0, 22.0},
                      {22.0, 22.0},
                      {22.0, -22.0},
                      {-22.0, -22.0},
                      {-22.0, 22.0},
                      {-1.0, 22.0}},
                     std::vector<double>(12, 0.0), true);
    const LikelyGap g = tolerance::likely_gap(panel, {frame, 0.0, 0.0, 0.0}, {}, {0.5, false});
    const double one = std::hypot(0.5, 0.5);
    const double inside = 1.0 - 2.0 * normal(-2.0 / one);  // of one coordinate
    CHECK_THAT(g.share, WithinRel(1.0 - inside * inside, 0.06));
}

TEST_CASE("without errors the gap is as drawn", "[tolerance][degenerate]") {
    const PlainTurn turn{kPivot, 0.0, -90.0};
    const LikelyGap g = tolerance::likely_gap(counter_gate(15.6, 4.8), {nose(), 0.0, 0.0, 0.3}, turn, {});
    CHECK(g.as_drawn == tolerance::signed_gap(counter_gate(15.6, 4.8), nose(), turn) - 0.3);
    CHECK(g.mean == g.as_drawn);
    CHECK(g.kept == g.as_drawn);
    CHECK(g.deviation == 0.0);
    CHECK(g.share == 0.0);
    CHECK(tolerance::likely_gap(counter_gate(0.0, 0.0), {nose(), 0.0, 0.0, 0.0}, turn, {}).share == 1.0);
    // errors that no bench can make leave what there is
    const LikelyGap tiny = tolerance::likely_gap(box(0.0, 28.0, 0.0, 360.0), {box(31.0, 60.0, 0.0, 9.0), 0.0, 0.0, 0.0},
                                                 {{1.0, 2.0}, 0.0, 0.0}, {1e-9, false});
    CHECK_THAT(tiny.deviation, WithinRel(1e-9 * std::numbers::sqrt2, 1e-3));
}

TEST_CASE("in a mirror, and turned by a quarter, likely gaps come out the same", "[tolerance][invariant]") {
    const Path panel = counter_gate(15.6, 4.8);
    const LikelyGap drawn = tolerance::likely_gap(panel, {nose(), 0.5, 0.1, 0.3}, {kPivot, 0.0, -125.0}, {0.4, false});
    const Point up{0.0, 1.0};
    const Obstacle mirrored{nose().mirrored({}, up), 0.5, 0.1, 0.3};
    check_same(tolerance::likely_gap(panel.mirrored({}, up), mirrored, {{10.0, -18.0}, 0.0, 125.0}, {0.4, false}),
               drawn, 1e-6);
    const Pose quarter{0.0, 0.0, 90.0};
    const Obstacle turned{nose().moved(quarter), 0.1, 0.5, 0.3};
    check_same(tolerance::likely_gap(panel.moved(quarter), turned, {quarter.apply(kPivot), 0.0, -125.0}, {0.4, false}),
               drawn, 1e-6);
}

TEST_CASE("what is no section, no turn or no error is refused", "[tolerance][domain]") {
    const double bad =
        GENERATE(std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(), -1e7);
    const Path b = box(0.0, 1.0, 0.0, 1.0);
    const auto refused = [&](const Obstacle& o, const PlainTurn& t, const HoleErrors& h) {
        CHECK_THROWS_AS(tolerance::likely_gap(b, o, t, h), InvalidInput);
    };
    refused({b, bad, 0.0, 0.0}, {}, {});
    refused({b, 0.0, bad, 0.0}, {}, {});
    refused({b, 0.0, 0.0, bad}, {}, {});
    refused({b, 0.0, 0.0, 0.0}, {}, {bad, false});
    refused({b, 0.0, 0.0, 0.0}, {{bad, 0.0}, 0.0, 0.0}, {});
    refused({b, 0.0, 0.0, 0.0}, {{}, 0.0, bad}, {});
    refused({b, 0.0, 0.0, 0.0}, {{}, 0.0, 361.0}, {});
    refused({box(0.0, 1e7, 0.0, 1.0), 0.0, 0.0, 0.0}, {}, {});
    refused({Path({{0.0, 0.0}, {1.0, 0.0}, {1.0, 1.0}}, {0.0, 0.0}), 0.0, 0.0, 0.0}, {}, {});
    refused({Path({{0.0, 0.0}, {1.0, 1.0}, {1.0, 0.0}, {0.0, 1.0}}, {0.0, 0.0, 0.0, 0.0}, true), 0.0, 0.0, 0.0}, {},
            {});
}
