#include <cmath>
#include <foldswing/development.hpp>
#include <numbers>

#include "catch.hpp"

using namespace foldswing;
namespace dev = development;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

TEST_CASE("a cone's pattern is a sector about its apex", "[development]") {
    const dev::Pattern cone = dev::cone(200.0, 240.0);
    REQUIRE_THAT(cone.area, WithinRel(std::numbers::pi * 100.0 * 260.0, 1e-13));
    REQUIRE(cone.method == dev::Method::exact);
    REQUIRE(cone.edges.size() == 3);
    for (const Point p : cone.outline.flat)
        REQUIRE_THAT(std::hypot(p.x, p.y) * (260.0 - std::hypot(p.x, p.y)), WithinAbs(0.0, 1e-8));
}

TEST_CASE("a square to round is four flats and four quarters of oblique cones", "[development]") {
    const dev::Pattern part =
        dev::transition(dev::rectangle_outline(200.0, 200.0), dev::round_outline(120.0), {150.0, {}, 0.0, 0.0});
    REQUIRE(part.edges.size() == 4);
    REQUIRE_THAT(part.edges[0].length, WithinRel(800.0, 1e-13));
    REQUIRE_THAT(part.edges[2].length, WithinRel(120.0 * std::numbers::pi, 1e-13));
    for (const dev::Line& line : part.lines) {
        const Point d = line.ends.flat[1] - line.ends.flat[0];
        REQUIRE_THAT(std::hypot(d.x, d.y), WithinRel(line.length, 1e-12));
    }
}

TEST_CASE("an oblique pipe does not turn as it is unrolled", "[development]") {
    const dev::Pattern pipe = dev::oblique_cone(200.0, 240.0, {50.0, 0.0}, 200.0);
    const double side = std::hypot(240.0, 50.0);
    for (const dev::Line& line : pipe.lines) REQUIRE_THAT(line.length, WithinRel(side, 1e-13));
    REQUIRE_THAT(pipe.edges[0].length, WithinRel(200.0 * std::numbers::pi, 1e-13));
}

TEST_CASE("what cannot be made names the size to change", "[development]") {
    REQUIRE_THROWS_AS(dev::cylinder(100.0, 20.0, {}, {45.0, 180.0}), InvalidInput);
    REQUIRE_THROWS_AS(dev::cone(100.0, 50.0, 100.0), InvalidInput);
    REQUIRE_THROWS_AS(dev::branch({100.0, 120.0, 90.0, 400.0, 200.0}), InvalidInput);
    REQUIRE_THROWS_AS(dev::gore(600.0, 2), InvalidInput);
}
