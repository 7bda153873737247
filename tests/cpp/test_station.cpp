// Sizes along the hinge, bows and stretches.
#include <algorithm>
#include <cmath>
#include <foldswing/arc.hpp>
#include <foldswing/station.hpp>
#include <limits>
#include <random>

#include "catch.hpp"
#include "counter_gate.hpp"

namespace station = foldswing::station;
namespace gate = foldswing::gate;
using catch_match::WithinAbs;
using foldswing::InvalidInput;
using foldswing::Point;

namespace {
constexpr double kRounding = 1e-11;  // mm, on parts of a few hundred mm
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

station::Differences worktop_up(double up) {
    station::Differences d;
    d.worktop_up = up;
    return d;
}
}  // namespace

TEST_CASE("each difference moves its own face by itself, on a leaning gate too", "[station][invariant]") {
    gate::Sizes s = counter_gate();
    s.lean_deg = GENERATE(-12.0, 0.0, 30.0);
    const gate::Corners stated = gate::corners(s);
    const double by = GENERATE(1.5, -1.5);
    const auto at = [&](double station::Differences::*field) {
        station::Differences d;
        d.*field = by;
        return station::sizes_at(s, d);
    };
    const auto same = [](Point a, Point b) {
        CHECK_THAT(a.x, WithinAbs(b.x, kRounding));
        CHECK_THAT(a.y, WithinAbs(b.y, kRounding));
    };
    REQUIRE(station::sizes_at(s, {}).height == s.height);
    // a longer or shorter gate: upper edge and inner face stay, the lower edge goes along the face
    const gate::Corners lower = gate::corners(at(&station::Differences::lower_edge_up));
    same(lower.upper_inner, stated.upper_inner);
    same(lower.upper_outer, stated.upper_outer);
    CHECK_THAT(lower.lower_outer.y - stated.lower_outer.y, WithinAbs(by, kRounding));
    const Point u = stated.upper_inner - stated.lower_inner;
    const Point v = lower.lower_inner - stated.lower_inner;
    CHECK_THAT((u.x * v.y - u.y * v.x) / s.height, WithinAbs(0.0, kRounding));
    // a thicker one: the outer face stays
    const gate::Corners thick = gate::corners(at(&station::Differences::thicker));
    same(thick.lower_outer, stated.lower_outer);
    CHECK_THAT(std::hypot(thick.lower_inner.x - stated.lower_inner.x, thick.lower_inner.y - stated.lower_inner.y),
               WithinAbs(1.5, kRounding));
    same(gate::corners(at(&station::Differences::outer_face_out)).upper_inner, stated.upper_inner + Point{by, 0.0});
    // the bodies: worktop, nose, sill, head
    same(gate::worktop(at(&station::Differences::worktop_up)).start(0), gate::worktop(s).start(0) + Point{0.0, by});
    same(gate::worktop(at(&station::Differences::nose_out)).start(0), gate::worktop(s).start(0) + Point{by, 0.0});
    same(gate::sill(at(&station::Differences::sill_up)).start(0), gate::sill(s).start(0) + Point{0.0, by});
    same(gate::head(at(&station::Differences::head_up)).start(0), gate::head(s).start(0) + Point{0.0, by});
    same(gate::corners(at(&station::Differences::worktop_up)).lower_inner, stated.lower_inner);
}

TEST_CASE("differences that leave no gate are refused", "[station][domain]") {
    station::Differences d;
    d.thicker = -28.0;
    REQUIRE_THROWS_AS(station::sizes_at(counter_gate(), d), InvalidInput);
    d.thicker = GENERATE(values<double>({kNaN, kInf, 1e101}));
    REQUIRE_THROWS_AS(station::sizes_at(counter_gate(), d), InvalidInput);
    REQUIRE_THROWS_AS(station::sizes_at({}, {}), InvalidInput);
}

TEST_CASE("measured places hold over their width and are joined by straight lines", "[station]") {
    const std::vector<station::Measured> measured{
        {100.0, kNaN, worktop_up(0.0)}, {500.0, 100.0, worktop_up(-2.0)}, {900.0, kNaN, worktop_up(1.0)}};
    const auto up = [&](double x) { return station::differences_at(measured, {}, x).worktop_up; };
    REQUIRE(up(-1e6) == 0.0);
    REQUIRE(up(100.0) == 0.0);
    REQUIRE_THAT(up(275.0), WithinAbs(-1.0, kRounding));  // half-way to the edge of the width
    for (const double x : {450.0, 470.0, 500.0, 550.0}) REQUIRE(up(x) == -2.0);
    REQUIRE_THAT(up(725.0), WithinAbs(-0.5, kRounding));
    REQUIRE(up(900.0) == 1.0);
    REQUIRE(up(1e6) == 1.0);
    REQUIRE(station::differences_at({}, {}, 5.0) == station::Differences{});
}

TEST_CASE("places out of order, or that overlap, are refused", "[station][domain]") {
    const auto refused = [](std::vector<station::Measured> measured) {
        REQUIRE_THROWS_AS(station::differences_at(measured, {}, 5.0), InvalidInput);
        REQUIRE_THROWS_AS(station::stretches(1000.0, {}, measured), InvalidInput);
    };
    refused({{500.0, kNaN, {}}, {100.0, kNaN, {}}});
    refused({{500.0, kNaN, {}}, {500.0, kNaN, {}}});
    refused({{500.0, 300.0, {}}, {700.0, 200.0, {}}});
    refused({{500.0, -1.0, {}}});
    refused({{500.0, kInf, {}}});
    refused({{kNaN, kNaN, {}}});
    refused({{500.0, kNaN, worktop_up(1e300)}});
    REQUIRE_THROWS_AS(station::differences_at({}, {}, kInf), InvalidInput);
    REQUIRE_THROWS_AS(station::stretches(0.0, {}, {}), InvalidInput);
    REQUIRE_THROWS_AS(station::stretches(1000.0, std::vector<double>{1000.5}, {}), InvalidInput);
    REQUIRE_THROWS_AS(station::stretches(1000.0, std::vector<double>{kNaN}, {}), InvalidInput);
}

TEST_CASE("a bow adds its height where it is, and nothing beyond", "[station][invariant]") {
    const std::vector<station::Bow> bows{{100.0, 1000.0, 20.0, worktop_up(-1.0)},
                                         {-500.0, 2000.0, 6.0, worktop_up(1.0)}};
    const auto up = [&](double x) { return station::differences_at({}, bows, x).worktop_up; };
    REQUIRE_THAT(up(600.0), WithinAbs(-20.0 + foldswing::arc::height(2000.0, 6.0, 100.0), kRounding));
    REQUIRE_THAT(up(100.0), WithinAbs(foldswing::arc::height(2000.0, 6.0, 400.0), kRounding));
    REQUIRE(up(-500.0) == 0.0);
    REQUIRE(up(1500.0) == 0.0);
    REQUIRE(up(1e90) == 0.0);
    const std::vector<station::Bow> half_circle{{0.0, 20.0, 10.0, worktop_up(1.0)}};
    REQUIRE(station::differences_at({}, half_circle, 10.0).worktop_up == 10.0);
    for (const station::Bow& bad : {station::Bow{0.0, 20.0, 10.1, {}}, station::Bow{0.0, 20.0, -1.0, {}},
                                    station::Bow{kNaN, 20.0, 1.0, {}}, station::Bow{0.0, 0.0, 0.0, {}}})
        REQUIRE_THROWS_AS(station::differences_at({}, {&bad, 1}, 1e6), InvalidInput);  // wherever the place
}

TEST_CASE("between the places of a bow nothing is off by more than asked", "[station][invariant]") {
    REQUIRE(station::bow_places(1200.0, 1.0, 1.0).size() == 5);
    REQUIRE(station::bow_places(1200.0, 20.0, 0.5).size() == station::kMostStretches + 1);
    REQUIRE(station::bow_places(1200.0, 0.0, 1e-9).size() == 5);
    const double rise = GENERATE(0.5, 3.0, 40.0, 600.0);
    const double most = GENERATE(0.6, 2.0, 30.0);
    const std::vector<double> places = station::bow_places(1200.0, rise, most);
    REQUIRE(places.front() == 0.0);
    REQUIRE(places[places.size() / 2] == 600.0);
    REQUIRE(places.back() == 1200.0);
    if (places.size() == station::kMostStretches + 1) return;
    for (int i = 0; i <= 2400; ++i) {
        const double x = 0.5 * i;
        const auto next = std::lower_bound(places.begin(), places.end(), x);
        const double near = next == places.begin() || *next - x < x - *(next - 1) ? *next : *(next - 1);
        const auto height = [&](double at) { return foldswing::arc::height(1200.0, rise, at - 600.0); };
        REQUIRE(std::abs(height(x) - height(near)) <= most + kRounding);
    }
    REQUIRE_THROWS_AS(station::bow_places(1200.0, 601.0, 1.0), InvalidInput);
    REQUIRE_THROWS_AS(station::bow_places(1200.0, 1.0, 0.0), InvalidInput);
    REQUIRE_THROWS_AS(station::bow_places(kInf, 1.0, 1.0), InvalidInput);
}

TEST_CASE("stretches cover the opening and meet at the edges of measured widths", "[station][invariant]") {
    const std::vector<station::Measured> measured{{0.0, kNaN, {}}, {500.0, 100.0, {}}, {1000.0, kNaN, {}}};
    const std::vector<double> places{250.0, 500.4, 740.0};
    const auto s = station::stretches(1000.0, places, measured);
    REQUIRE(s.size() == 5);
    REQUIRE(s.front().from == 0.0);
    REQUIRE(s.back().to == 1000.0);
    for (std::size_t i = 1; i < s.size(); ++i) REQUIRE(s[i].from == s[i - 1].to);
    REQUIRE(s[2].from == 450.0);
    REQUIRE(s[2].to == 550.0);
    REQUIRE(station::stretches(1000.0, {}, {}).empty());
}

TEST_CASE("between two measured widths the stretches meet half-way, seen from either end", "[station][invariant]") {
    const std::vector<station::Measured> two{{200.0, 100.0, {}}, {700.0, 300.0, {}}};
    const auto met = station::stretches(1000.0, {}, two);
    REQUIRE(met[0].to == 400.0);  // half-way from 250 to 550
    std::mt19937 random(11);
    const auto in = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
    for (int i = 0; i < 100; ++i) {
        const double width = 1024.0;
        std::vector<station::Measured> measured;
        for (double x = in(0.0, 200.0); x < width; x += in(130.0, 400.0))
            measured.push_back({x, i % 3 == 0 ? kNaN : in(1.0, 120.0), {}});
        std::vector<double> places;
        for (double x = in(2.0, 90.0); x < width; x += in(2.5, 300.0)) {
            const bool apart = std::none_of(measured.begin(), measured.end(), [x](const station::Measured& m) {
                return std::abs(m.from_left - x) < 1.5;  // which of two at one place stays is not the same both ways
            });
            if (apart) places.push_back(x);
        }
        const auto one = station::stretches(width, places, measured);
        std::vector<station::Measured> mirrored(measured.rbegin(), measured.rend());
        for (auto& m : mirrored) m.from_left = width - m.from_left;
        std::vector<double> back(places);
        for (double& x : back) x = width - x;
        const auto other = station::stretches(width, back, mirrored);
        CAPTURE(i);
        REQUIRE(one.size() == other.size());
        for (std::size_t k = 0; k < one.size(); ++k) {
            const auto& a = one[k];
            const auto& b = other[one.size() - 1 - k];
            CHECK_THAT(a.from, WithinAbs(width - b.to, kRounding));
            CHECK_THAT(a.from_left, WithinAbs(width - b.from_left, kRounding));
            CHECK(a.from <= a.from_left);
            CHECK(a.from_left <= a.to);
        }
    }
}
