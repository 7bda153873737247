#include <cmath>
#include <foldswing/opening.hpp>
#include <limits>
#include <random>

#include "catch.hpp"

using foldswing::InvalidInput;
using foldswing::Point;
namespace opening = foldswing::opening;
using Catch::Matchers::WithinAbs;
using opening::Corners;

namespace {

constexpr double kRounding = 1e-9;  // mm; on openings of about a metre

double span(Point a, Point b) { return std::hypot(a.x - b.x, a.y - b.y); }
opening::Readings read(const Corners& c) {
    return {span(c[3], c[2]), span(c[0], c[1]), span(c[0], c[3]), span(c[1], c[2]), span(c[0], c[2]), span(c[3], c[1])};
}
/// By random numbers that every standard library gives alike.
Corners random_opening(std::mt19937& random) {
    const auto unit = [&] { return static_cast<double>(random()) / 4294967296.0; };
    const double w = 300.0 + 1200.0 * unit();
    const double h = 200.0 + 900.0 * unit();
    const auto off = [&] { return 60.0 * unit() - 30.0; };
    return {{{0.0, 0.0}, {w, 0.0}, {w + off(), h + off()}, {off(), h + off()}}};
}
opening::Wanted gaps(double gap) {
    opening::Wanted w;
    w.gap.fill(gap);
    return w;
}

}  // namespace

TEST_CASE("Six exact readings give back their opening, in its place", "[opening]") {
    std::mt19937 random(3);
    for (int i = 0; i < 200; ++i) {
        const Corners c = random_opening(random);
        const opening::Opening found = opening::fit(read(c));
        REQUIRE(found.status == opening::Status::checked);
        REQUIRE(found.worst_misfit < kRounding);
        for (std::size_t k = 0; k < 4; ++k) REQUIRE(span(found.corners[k], c[k]) < 1e-7);
    }
}

TEST_CASE("One diagonal decides the opening, whichever it is", "[opening]") {
    std::mt19937 random(4);
    for (int i = 0; i < 200; ++i) {
        const Corners c = random_opening(random);
        opening::Readings r = read(c);
        (i % 2 == 0 ? r.diagonal_rising : r.diagonal_falling).reset();
        const opening::Opening found = opening::fit(r);
        REQUIRE(found.status == opening::Status::decided);
        for (std::size_t k = 0; k < 4; ++k) REQUIRE(span(found.corners[k], c[k]) < kRounding);
    }
}

TEST_CASE("A rectangle without diagonals is exactly square", "[opening]") {
    const opening::Opening found = opening::fit({1190.0, 1190.0, 368.0, 368.0, {}, {}});
    REQUIRE(found.status == opening::Status::assumed);
    REQUIRE(found.corners == Corners{{{0.0, 0.0}, {1190.0, 0.0}, {1190.0, 368.0}, {0.0, 368.0}}});
    REQUIRE(found.square.corners == std::array<double, 4>{});
}

TEST_CASE("Without diagonals a tapering opening stands upright between its jambs", "[opening]") {
    const opening::Opening found = opening::fit({1180.0, 1200.0, 400.0, 400.0, {}, {}});
    REQUIRE_THAT(found.corners[3].x, WithinAbs(10.0, kRounding));
    REQUIRE_THAT(found.corners[2].x, WithinAbs(1190.0, kRounding));
    REQUIRE_THAT(found.square.corners[0], WithinAbs(10.0, kRounding));
    REQUIRE_THAT(found.square.corners[2], WithinAbs(-10.0, kRounding));
}

TEST_CASE("A diagonal read 10 mm too long is named", "[opening]") {
    opening::Readings r{400.0, 400.0, 300.0, 300.0, 510.0, 500.0};
    const opening::Opening found = opening::fit(r);
    REQUIRE(found.status == opening::Status::misread);
    REQUIRE(found.suspect == opening::Reading::diagonal_rising);
    REQUIRE_THAT(found.should_read[4], WithinAbs(500.0, kRounding));
}

TEST_CASE("Readings that make no triangle are a result, with the reason", "[opening]") {
    const opening::Opening found = opening::fit({400.0, 400.0, 300.0, 300.0, 700.0, 500.0});
    REQUIRE(found.status == opening::Status::impossible);
    REQUIRE(std::isnan(found.corners[2].x));
    REQUIRE(found.explanation.find("diagonal from bottom left to top right (700.0 mm)") != std::string::npos);
    REQUIRE(opening::fit({400.0, 1200.0, 300.0, 300.0, {}, {}}).status == opening::Status::impossible);
    REQUIRE(opening::fit({400.0, 999.0, 300.0, 300.0, {}, {}}).status == opening::Status::assumed);
}

TEST_CASE("Readings out of range are refused by name", "[opening]") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    REQUIRE_THROWS_AS(opening::fit({0.0, 1.0, 1.0, 1.0, {}, {}}), InvalidInput);
    REQUIRE_THROWS_AS(opening::fit({1.0, 1.0, 1.0, 1.0, nan, {}}), InvalidInput);
    REQUIRE_THROWS_AS(opening::fit({1.0, 1.0, 1e7, 1.0, {}, {}}), InvalidInput);
    REQUIRE_THROWS_AS(opening::fit({1.0, 1.0, 1.0, 1.0, {}, {}}, -1.0), InvalidInput);
    const Corners flat{{{0.0, 0.0}, {1.0, 0.0}, {2.0, 0.0}, {0.0, 1.0}}};
    REQUIRE_THROWS_AS(opening::square_panel(flat, gaps(0.1)), InvalidInput);
    const Corners sliver{{{180.0, 1e-82}, {1e-306, 1e-321}, {0.0, 0.0}, {360.0, -512.0}}};  // found by the fuzzer
    REQUIRE_THROWS_AS(opening::square_panel(sliver, gaps(4.0)), InvalidInput);
    const Corners clockwise{{{0.0, 0.0}, {0.0, 1.0}, {1.0, 1.0}, {1.0, 0.0}}};
    REQUIRE_THROWS_AS(opening::matched_panel(clockwise, gaps(0.1)), InvalidInput);
}

TEST_CASE("In a square opening both panels are the opening less its gaps", "[opening]") {
    const Corners c{{{0.0, 0.0}, {1190.0, 0.0}, {1190.0, 368.0}, {0.0, 368.0}}};
    opening::Wanted w;
    w.gap = {4.0, 5.0, 6.0, 7.0};
    const Corners expected{{{7.0, 4.0}, {1185.0, 4.0}, {1185.0, 362.0}, {7.0, 362.0}}};
    for (const auto hinge : {opening::Edge::sill, opening::Edge::right, opening::Edge::head, opening::Edge::left}) {
        w.hinge = hinge;
        const opening::Panel square = opening::square_panel(c, w);
        REQUIRE(square.status == opening::PanelStatus::fits);
        for (std::size_t k = 0; k < 4; ++k) REQUIRE(span(square.corners[k], expected[k]) < kRounding);
    }
    const opening::Panel matched = opening::matched_panel(c, w);
    for (std::size_t k = 0; k < 4; ++k) REQUIRE(span(matched.corners[k], expected[k]) < kRounding);
}

TEST_CASE("Paint and a seal ask for more gap than was wanted", "[opening]") {
    const Corners c{{{0.0, 0.0}, {500.0, 0.0}, {500.0, 400.0}, {0.0, 400.0}}};
    opening::Wanted w = gaps(3.0);
    w.painted = true;
    w.paint_panel = 0.2;
    w.paint_body = 0.1;
    w.seal[2] = opening::Seal{9.0, 5.0};
    const opening::Panel panel = opening::square_panel(c, w);
    REQUIRE_THAT(panel.gaps[0].least_bare, WithinAbs(3.3, kRounding));
    REQUIRE_THAT(panel.gaps[0].least_painted, WithinAbs(3.0, kRounding));
    REQUIRE_THAT(panel.gaps[2].least_bare, WithinAbs(5.3, kRounding));
    REQUIRE(panel.status == opening::PanelStatus::fits);
}

TEST_CASE("A square panel leaks where the opening tapers more than the seal stands up, a matched one does not",
          "[opening]") {
    const Corners c{{{0.0, 0.0}, {500.0, 0.0}, {500.0, 400.0}, {0.0, 395.0}}};
    opening::Wanted w = gaps(3.0);
    w.seal[2] = opening::Seal{6.0, 3.0};
    const opening::Panel square = opening::square_panel(c, w);
    REQUIRE(square.status == opening::PanelStatus::leaks);
    REQUIRE(square.gaps[2].state == opening::GapState::leaks);
    REQUIRE(square.explanation.find("at the head") != std::string::npos);
    REQUIRE(opening::matched_panel(c, w).status == opening::PanelStatus::fits);
}

TEST_CASE("Gaps that leave no metal are a result, with the reason", "[opening]") {
    const Corners c{{{0.0, 0.0}, {500.0, 0.0}, {500.0, 400.0}, {0.0, 400.0}}};
    const opening::Panel none = opening::square_panel(c, gaps(200.0));
    REQUIRE(none.status == opening::PanelStatus::none);
    REQUIRE(std::isnan(none.corners[0].x));
    REQUIRE(none.explanation.find("sill and the head (200.0 + 200.0 mm bare)") != std::string::npos);
    REQUIRE(opening::matched_panel(c, gaps(200.0)).status == opening::PanelStatus::none);
    REQUIRE(opening::matched_panel(c, gaps(199.0)).status == opening::PanelStatus::fits);
}

TEST_CASE("A panel of a given size hangs in the middle of what is to spare", "[opening]") {
    const Corners c{{{0.0, 0.0}, {500.0, 0.0}, {510.0, 400.0}, {0.0, 400.0}}};
    opening::Wanted w = gaps(3.0);
    w.gap[3] = 5.0;
    const opening::Panel panel = opening::given_panel(c, w, 480.0, 390.0, 4.0);
    REQUIRE_THAT(panel.gaps[3].least_bare - 5.0, WithinAbs(panel.gaps[1].least_bare - 3.0, kRounding));
    REQUIRE_THAT(panel.gaps[0].least_bare, WithinAbs(4.0, kRounding));
    REQUIRE_THAT(panel.gaps[2].least_bare, WithinAbs(6.0, kRounding));
    REQUIRE(opening::given_panel(c, w, 520.0, 390.0, 4.0).status == opening::PanelStatus::will_not_shut);
    REQUIRE(opening::given_panel(c, w, 496.0, 390.0, 4.0).status == opening::PanelStatus::tight);
}
