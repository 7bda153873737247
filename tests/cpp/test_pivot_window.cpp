#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/hinge.hpp>
#include <foldswing/pivot_window.hpp>
#include <limits>
#include <random>

#include "catch.hpp"

namespace hinge = foldswing::hinge;
using catch_match::WithinAbs;
using foldswing::InvalidInput;
using foldswing::Outline;
using foldswing::Place;
using foldswing::Point;
using hinge::Landing;
using hinge::LandingKind;
using hinge::PivotWindow;
using hinge::Swing;
using hinge::WindowSide;
using hinge::WindowStatus;

namespace {
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

Outline box(double x0, double y0, double x1, double y1) { return Outline({{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}); }
bool holds(std::span<const Outline> outlines, Point p) {
    return std::any_of(outlines.begin(), outlines.end(),
                       [&](const Outline& o) { return locate(o, p) != Place::outside; });
}
bool lands(std::span<const Landing> landings, Point p) {
    return std::all_of(landings.begin(), landings.end(),
                       [&](const Landing& l) { return l.breach(l.miss(p)) <= l.tolerance(); });
}
Landing level(double tolerance) { return hinge::lands_at_height(-90.0, {-28.0, 0.0}, 0.0, tolerance); }
Landing beside(double tolerance) { return {-90.0, {-28.0, -36.0}, {1.0, 0.0}, -28.0, tolerance}; }
const Outline kGate = box(-28.0, -36.0, 0.0, 324.0);
const Outline kNose = box(-200.0, -40.0, -31.0, 0.0);
}  // namespace

TEST_CASE("two landings within a millimetre leave a square on its corner", "[window][anchor]") {
    const PivotWindow w = hinge::pivot_window(std::vector{level(1.0), beside(1.0)});
    REQUIRE(w.status == WindowStatus::window);
    REQUIRE(w.bounded);
    REQUIRE(w.outlines.size() == 1);
    REQUIRE(w.limits.size() == 4);
    REQUIRE_THAT(area(w.outlines.front()), WithinAbs(2.0, 1e-12));
    REQUIRE_THAT(w.best.centre.x, WithinAbs(-10.0, 1e-9));
    REQUIRE_THAT(w.best.centre.y, WithinAbs(-18.0, 1e-9));
    REQUIRE_THAT(w.best.radius, WithinAbs(std::sqrt(0.5), 1e-9));
    REQUIRE(w.binding.size() == 4);
}

TEST_CASE("one landing alone leaves a strip without end", "[window][degenerate]") {
    const PivotWindow w = hinge::pivot_window(std::vector{level(1.0)});
    REQUIRE(w.status == WindowStatus::window);
    REQUIRE_FALSE(w.bounded);
    REQUIRE_THAT(w.best.radius, WithinAbs(std::sqrt(0.5), 1e-9));
    const PivotWindow half =
        hinge::pivot_window(std::vector{hinge::lands_at_height(-90.0, {-28.0, 0.0}, 0.0, 1.0, LandingKind::at_least)});
    REQUIRE_FALSE(half.bounded);
    REQUIRE(std::isinf(half.best.radius));
}

TEST_CASE("exact landings leave lines and points, cut by the allowed region", "[window][degenerate]") {
    const PivotWindow line = hinge::pivot_window(std::vector{level(0.0)});
    REQUIRE(line.status == WindowStatus::line);
    REQUIRE_FALSE(line.bounded);
    const Outline holed({{-30.0, -40.0}, {10.0, -40.0}, {10.0, 0.0}, {-30.0, 0.0}},
                        {{{-14.0, -22.0}, {-6.0, -22.0}, {-6.0, -14.0}, {-14.0, -14.0}}});
    const PivotWindow cut = hinge::pivot_window(std::vector{level(0.0)}, std::vector{holed});
    REQUIRE(cut.status == WindowStatus::line);
    REQUIRE(cut.bounded);
    REQUIRE(cut.runs.size() == 2);
    REQUIRE(cut.best.radius == 0.0);
    const std::vector both{level(0.0), beside(0.0)};
    const PivotWindow point = hinge::pivot_window(both);
    REQUIRE(point.status == WindowStatus::point);
    REQUIRE_THAT(point.best.centre.x, WithinAbs(-10.0, 1e-11));
    REQUIRE_THAT(point.best.centre.y, WithinAbs(-18.0, 1e-11));
    REQUIRE(hinge::pivot_window(both, std::vector{holed}).status == WindowStatus::none);  // it falls into the hole
    REQUIRE(hinge::pivot_window(std::vector{level(0.0), beside(1.0)}).status == WindowStatus::line);
}

TEST_CASE("limits that just meet leave a line, limits that miss leave nothing", "[window][degenerate]") {
    const auto at = [](double height, LandingKind kind) {
        return hinge::lands_at_height(-90.0, {-28.0, 0.0}, height, 0.0, kind);
    };
    REQUIRE(hinge::pivot_window(std::vector{at(4.0, LandingKind::at_least), at(4.0, LandingKind::at_most)}).status ==
            WindowStatus::line);
    const PivotWindow none =
        hinge::pivot_window(std::vector{at(14.0, LandingKind::at_least), at(10.0, LandingKind::at_most)});
    REQUIRE(none.status == WindowStatus::none);
    REQUIRE(none.outlines.empty());
    REQUIRE(std::isnan(none.best.radius));
}

TEST_CASE("whole revolutions leave every pivot in the window, or none", "[window][degenerate]") {
    const Outline post = box(0.0, 0.0, 40.0, 30.0);
    const auto shut = [](double height) { return hinge::lands_at_height(360.0, {1.0, 2.0}, height, 0.5); };
    const PivotWindow any = hinge::pivot_window(std::vector{shut(2.2)}, std::vector{post});
    REQUIRE(any.status == WindowStatus::any);
    REQUIRE(any.limits.empty());
    REQUIRE_THAT(any.best.radius, WithinAbs(15.0, 1e-9));
    REQUIRE(hinge::pivot_window(std::vector{shut(2.2)}).status == WindowStatus::any);
    REQUIRE(hinge::pivot_window(std::vector{shut(3.2)}, std::vector{post}).status == WindowStatus::none);
}

TEST_CASE("inside the window every landing holds, outside not", "[window][invariant]") {
    std::mt19937 random(5);
    std::uniform_real_distribution<double> u(-1.0, 1.0);
    for (int i = 0; i < 60; ++i) {
        const Point truth{50.0 * u(random), 50.0 * u(random)};
        std::vector<Landing> landings;
        for (int k = 0; k < 3; ++k) {
            const Point q{200.0 * u(random), 200.0 * u(random)};
            const Point n{u(random), u(random)};
            const double turn = 170.0 * u(random);
            const Landing probe(turn, q, n, 0.0);
            landings.emplace_back(turn, q, probe.normal(), probe.miss(truth) + 3.0 * u(random), 5.0,
                                  static_cast<LandingKind>(k));
        }
        const Outline region({{-60.0, -60.0}, {60.0, -60.0}, {60.0, 60.0}, {0.0, -10.0}, {-60.0, 60.0}},
                             {{{-30.0, -40.0}, {30.0, -40.0}, {20.0, -30.0}, {-20.0, -30.0}}});
        const PivotWindow w = hinge::pivot_window(landings, std::vector{region});
        for (int k = 0; k < 200; ++k) {
            const Point p{70.0 * u(random), 70.0 * u(random)};
            REQUIRE(holds(w.outlines, p) == (lands(landings, p) && locate(region, p) != Place::outside));
        }
        if (w.status == WindowStatus::window) REQUIRE(w.sides.size() >= 3);
    }
}

TEST_CASE("the largest circle of a rectangle, an angle and a frame", "[window][circle][anchor]") {
    REQUIRE_THAT(largest_circle(std::vector{box(0.0, 0.0, 400.0, 30.0)}).radius, WithinAbs(15.0, 1e-9));
    // Where the arms of 30 meet it touches both outer sides and the inner corner: r = (30 - r) sqrt 2.
    const Outline angle({{0.0, 0.0}, {200.0, 0.0}, {200.0, 30.0}, {30.0, 30.0}, {30.0, 200.0}, {0.0, 200.0}});
    REQUIRE_THAT(largest_circle(std::vector{angle}).radius,
                 WithinAbs(30.0 * std::sqrt(2.0) / (1.0 + std::sqrt(2.0)), 1e-9));
    const Outline frame({{0.0, 0.0}, {100.0, 0.0}, {100.0, 60.0}, {0.0, 60.0}},
                        {{{5.0, 5.0}, {89.0, 5.0}, {89.0, 53.0}, {5.0, 53.0}}});
    // Between arms of 11 and 7 it touches both outer sides and the hole's corner: (11 - r)^2 + (7 - r)^2 = r^2.
    const double r = 18.0 - std::sqrt(2.0 * 11.0 * 7.0);
    REQUIRE_THAT(largest_circle(std::vector{frame}).radius, WithinAbs(r, 1e-9));
    // Between two long sides that face each other the circle may slide: it must, to keep off the short ones.
    const Outline strip({{45.69289063768419, -23.808190232834733},
                         {32.927007850157395, 15.232171659178789},
                         {-23.698323636732717, 15.232171659178789},
                         {15.540706440439862, -104.76782834082121},
                         {20.547509753674646, -104.76782834082121}});
    REQUIRE_THAT(largest_circle(std::vector{strip}).radius, WithinAbs(26.910509224860, 1e-9));
    REQUIRE_THROWS_AS(foldswing::largest_circle({}), InvalidInput);
}

TEST_CASE("the room of a point is its way to the edge, below zero outside", "[window][circle]") {
    const std::vector frame{Outline({{0.0, 0.0}, {100.0, 0.0}, {100.0, 60.0}, {0.0, 60.0}},
                                    {{{5.0, 5.0}, {89.0, 5.0}, {89.0, 53.0}, {5.0, 53.0}}}),
                            box(200.0, 0.0, 210.0, 10.0)};
    REQUIRE(room(frame, {2.0, 30.0}) == 2.0);
    REQUIRE(room(frame, {8.0, 30.0}) == -3.0);
    REQUIRE(room(frame, {205.0, 4.0}) == 4.0);
    REQUIRE(room(frame, {213.0, 14.0}) == -5.0);
    REQUIRE_THROWS_AS(foldswing::room({}, {0.0, 0.0}), InvalidInput);
    REQUIRE_THROWS_AS(room(frame, {kNan, 0.0}), InvalidInput);
}

TEST_CASE("a sliver has its circle too", "[window][circle][degenerate]") {
    const Outline sliver({{1000.0, -240.0}, {1000.0, -240.0 + 1e-9}, {-1000.0, 260.0}, {-1000.0, 260.0 - 1e-9}});
    const double width = 1e-9 * 2000.0 / std::hypot(2000.0, 500.0);
    REQUIRE_THAT(largest_circle(std::vector{sliver}).radius, WithinAbs(0.5 * width, 0.02 * width + 1e-12));
}

TEST_CASE("cells are what the exact gap about their pivots says", "[window][clearance][invariant]") {
    for (const double from : {0.0, -20.0})
        for (const double wanted : {0.0, 1.0, 4.0}) {
            const Swing swing{{kGate}, {kNose}, from, -125.0, wanted, 2.0};
            const PivotWindow w = hinge::pivot_window({}, std::vector{box(-40.0, -60.0, 24.0, 4.0)}, swing);
            REQUIRE(w.clear_area + w.undecided_area + w.fouled_area == 64.0 * 64.0);
            std::mt19937 random(9);
            std::uniform_real_distribution<double> u(0.0, 1.0);
            for (const hinge::Cell& c : w.cells)
                for (int k = 0; k < 3; ++k) {
                    const Point p{c.low.x + u(random) * c.side, c.low.y + u(random) * c.side};
                    const double gap =
                        foldswing::clearance::minimum_gap(kGate, kNose, hinge::PivotHinge(p, from, -125.0)).gap;
                    if (c.status == hinge::CellStatus::clear) REQUIRE(gap >= wanted - 1e-9);
                    if (c.status == hinge::CellStatus::fouled) REQUIRE((gap <= 0.0 || gap < wanted));
                }
            REQUIRE(w.undecided_area < 0.35 * 64.0 * 64.0);
        }
}

TEST_CASE("an overlap at rest fouls every pivot", "[window][clearance][degenerate]") {
    const Swing swing{{kGate}, {box(-5.0, 0.0, 5.0, 10.0)}, 0.0, -90.0, 0.0, 1.0};
    const PivotWindow w = hinge::pivot_window({}, std::vector{box(0.0, 0.0, 8.0, 8.0)}, swing);
    REQUIRE(w.status == WindowStatus::none);
    REQUIRE(w.fouled_area == 64.0);
}

TEST_CASE("a free angle leaves a window between its inner and outer outlines", "[window][free]") {
    const std::vector<Landing> fixed{level(1.0)};
    const Outline region = box(-60.0, -60.0, 40.0, 40.0);
    for (const bool every : {false, true})
        for (const std::size_t n : {std::size_t{1}, std::size_t{2}}) {
            hinge::FreeStop lean{
                {hinge::lands_at_height(-120.0, {-28.0, 324.0}, n == 1 && !every ? -250.0 : -190.0, 16.0),
                 Landing(-120.0, {-28.0, 324.0}, {1.0, 0.0}, 270.0, 16.0)},
                every ? -121.0 : -110.0,
                every ? -124.0 : -130.0,
                every};
            lean.landings.erase(lean.landings.begin() + static_cast<std::ptrdiff_t>(n), lean.landings.end());
            const PivotWindow w = hinge::pivot_window(fixed, std::vector{region}, std::nullopt, std::vector{lean}, 0.1);
            std::mt19937 random(3);
            std::uniform_real_distribution<double> u(-1.0, 1.0);
            int in = 0;
            for (int k = 0; k < 2000; ++k) {
                const Point p{-10.0 + 50.0 * u(random), -10.0 + 50.0 * u(random)};
                bool some = false;
                bool all = true;
                for (int a = 0; a <= 400; ++a) {
                    std::vector<Landing> now;
                    for (const Landing& l : lean.landings)
                        now.emplace_back(std::lerp(lean.turn_from_deg, lean.turn_to_deg, a / 400.0), l.point(),
                                         l.normal(), l.offset(), l.tolerance(), l.kind());
                    const bool here = lands(now, p);
                    some = some || here;
                    all = all && here;
                }
                const bool truth = lands(fixed, p) && (every ? all : some);
                if (holds(w.outlines, p)) REQUIRE(truth);
                if (truth) REQUIRE(holds(w.outer, p));
                in += truth ? 1 : 0;
            }
            REQUIRE(in > 2);
            double inner = 0.0;
            double outer = 0.0;
            for (const Outline& o : w.outlines) inner += area(o);
            for (const Outline& o : w.outer) outer += area(o);
            REQUIRE(inner <= outer);
            REQUIRE(outer - inner < 0.1 * 400.0);  // sagitta times the longest edge there can be
        }
}

TEST_CASE("the best angle is not beaten by any other", "[window][free][invariant]") {
    const std::vector<Landing> fixed{level(1.0)};
    const hinge::FreeStop lean{{hinge::lands_at_height(-120.0, {-28.0, 324.0}, -199.0, 1.0)}, -110.0, -130.0, false};
    const Point spot{-10.0, -20.0};
    const Swing swing{{kGate}, {box(104.0, -160.0, 136.0, -140.0)}, 0.0, -125.0, 0.0, 1.0};
    const std::vector region{box(-28.0, -36.0, 0.0, 10.0)};
    for (const hinge::AngleWish& wish :
         {hinge::AngleWish{hinge::Wish::forgiveness, {}}, hinge::AngleWish{hinge::Wish::gap, {}},
          hinge::AngleWish{hinge::Wish::near, {spot}},
          hinge::AngleWish{hinge::Wish::hole, {{-10.0, -18.0}, {-8, -16}}}}) {
        const auto best = hinge::best_angle(fixed, lean, region, swing, wish, 21);
        REQUIRE(best.status != WindowStatus::none);
        for (const auto& row : hinge::pivot_by_angle(fixed, lean, region, swing, wish, 57)) {
            if (std::isnan(row.score)) continue;
            REQUIRE(row.score <= best.score + 1e-3 * std::abs(best.score) + 1e-6);
        }
    }
    const auto near = hinge::best_angle(fixed, lean, region, std::nullopt, {hinge::Wish::near, {spot}}, 21);
    REQUIRE(fixed.front().breach(fixed.front().miss(near.pivot)) <= 1.0 + 1e-9);  // on the window's very edge
}

TEST_CASE("bad input is named", "[window][domain]") {
    const std::vector<Landing> one{level(1.0)};
    const std::vector region{kGate};
    const auto with = [&](Swing swing) { return hinge::pivot_window(one, region, swing); };
    REQUIRE_THROWS_AS(hinge::pivot_window({}), InvalidInput);
    REQUIRE_THROWS_AS(with({{}, {kNose}, 0.0, -90.0, 1.0, 1.0}), InvalidInput);
    REQUIRE_THROWS_AS(with({{kGate}, {}, 0.0, -90.0, 1.0, 1.0}), InvalidInput);
    REQUIRE_THROWS_AS(with({{kGate}, {kNose}, kNan, -90.0, 1.0, 1.0}), InvalidInput);
    REQUIRE_THROWS_AS(with({{kGate}, {kNose}, 0.0, -90.0, -1.0, 1.0}), InvalidInput);
    REQUIRE_THROWS_AS(with({{kGate}, {kNose}, 0.0, -90.0, 1.0, 0.0}), InvalidInput);
    REQUIRE_THROWS_AS(with({{kGate}, {kNose}, 0.0, -90.0, 1.0, 1e-6}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::pivot_window(one, {}, Swing{{kGate}, {kNose}, 0.0, -90.0, 1.0, 1.0}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::pivot_window(std::vector{hinge::lands_at_height(1e-110, {}, 1.0)}), InvalidInput);
    const auto free = [&](hinge::FreeStop stop, double sagitta) {
        return hinge::pivot_window(one, region, std::nullopt, std::vector{std::move(stop)}, sagitta);
    };
    REQUIRE_THROWS_AS(free({{}, -110.0, -130.0, false}, 0.1), InvalidInput);
    REQUIRE_THROWS_AS(free({{level(1.0)}, -10.0, 10.0, false}, 0.1), InvalidInput);
    REQUIRE_THROWS_AS(free({{level(1.0)}, -110.0, -130.0, false}, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(free({{level(1.0)}, -110.0, -130.0, false}, 1e-9), InvalidInput);
    REQUIRE_THROWS_AS(free({{level(0.0), beside(0.0)}, -110.0, -130.0, false}, 0.1), InvalidInput);
    const hinge::FreeStop lean{{level(1.0)}, -110.0, -130.0, false};
    REQUIRE_THROWS_AS(hinge::best_angle(one, lean, region, std::nullopt, {hinge::Wish::gap, {}}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::best_angle(one, lean, region, std::nullopt, {hinge::Wish::near, {}}), InvalidInput);
    REQUIRE_THROWS_AS(hinge::best_angle(one, lean, region, std::nullopt, {}, 1), InvalidInput);
}
