#include <foldswing/arc.hpp>

#include "catch.hpp"

namespace arc = foldswing::arc;

TEST_CASE("a 3-4-5 triangle gives radius 5 exactly", "[arc][anchor]") {
    REQUIRE(arc::radius(8.0, 2.0) == 5.0);  // half-chord 4, centre 3 below the chord
}
