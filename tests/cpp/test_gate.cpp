#include <cmath>
#include <foldswing/flip_panel.hpp>
#include <foldswing/gate.hpp>
#include <limits>

#include "catch.hpp"
#include "counter_gate.hpp"

namespace gate = foldswing::gate;
namespace flip = foldswing::flip_panel;
using catch_match::WithinAbs;
using foldswing::InvalidInput;
using foldswing::Point;

namespace {

flip::Sizes tail_panel() {
    flip::Sizes s;
    s.length = 178.0;
    s.depth = 14.0;
    s.skin_thickness = 1.2;
    s.gap = 3.5;
    s.return_depth = 12.0;
    s.slope_deg = 12.0;
    s.pivot_from_edge = 16.0;
    s.pivot_behind_skin = 10.0;
    return s;
}

}  // namespace

TEST_CASE("two holes carry the gate's hole onto the jamb's", "[gate][invariant]") {
    gate::Sizes s = counter_gate();
    s.lean_deg = GENERATE(-12.0, 0.0, 9.0);
    const gate::Marks marks{18.5, 17.0, 19.0, 9.25};
    const gate::Holes holes = gate::holes(s, marks);
    const double opening = GENERATE(0.0, 40.0, 90.0, 125.0);
    const Point at = gate::pose(holes, opening).apply(holes.gate);
    REQUIRE_THAT(at.x, WithinAbs(holes.jamb.x, 1e-11));
    REQUIRE_THAT(at.y, WithinAbs(holes.jamb.y, 1e-11));
    const auto landing = gate::face_landing(s, opening, 0.75, 1.0);
    REQUIRE_THAT(gate::miss(landing, holes), WithinAbs(gate::opened(s, holes, opening).face_step - 0.75, 1e-11));
}

TEST_CASE("marks of one pivot give it back as both holes", "[gate][invariant]") {
    gate::Sizes s = counter_gate();
    s.lean_deg = GENERATE(-12.0, 0.0, 9.0);
    s.worktop_drop = 1.5;
    const Point pivot{-9.1, -16.4};
    const gate::Holes holes = gate::holes(s, gate::marks(s, pivot));
    REQUIRE_THAT(holes.gate.x, WithinAbs(pivot.x, 1e-12));
    REQUIRE_THAT(holes.gate.y, WithinAbs(pivot.y, 1e-12));
    REQUIRE_THAT(holes.jamb.x, WithinAbs(pivot.x, 1e-12));
    REQUIRE_THAT(holes.jamb.y, WithinAbs(pivot.y, 1e-12));
}

TEST_CASE("two marks of 18 are rounded alike, so that the face lands without a step", "[gate][anchor]") {
    const gate::Sizes s = counter_gate();
    const std::vector faces{gate::face_landing(s, 90.0, 0.0, 1.0)};
    const auto done = gate::round_marks(s, {-10.0, -18.0}, faces, {}, 25.4 / 32.0);
    REQUIRE_THAT(done.face_step, WithinAbs(0.0, 1e-12));
    REQUIRE(done.marks.gate_from_inner_face == done.marks.jamb_below_worktop);
    REQUIRE(done.marks.gate_from_inner_face == 23.0 * 25.4 / 32.0);
    const auto on_ruler = gate::round_marks(s, {-10.0, -18.0}, faces, {}, 0.5);
    REQUIRE(on_ruler.rounding == 0.0);
    REQUIRE(on_ruler.marks.jamb_inward == 10.0);
    REQUIRE_THROWS_AS(gate::round_marks(s, {-10.0, -18.0}, faces, {}, 1e-9), InvalidInput);
}

TEST_CASE("an upright gate opens 90 degrees to level, a leaning one less by its lean", "[gate][invariant]") {
    gate::Sizes s = counter_gate();
    REQUIRE(gate::opening_to_level(s) == 90.0);
    s.lean_deg = GENERATE(-20.0, 7.5, 33.0);
    REQUIRE(gate::opening_to_level(s) == 90.0 - s.lean_deg);
    const auto open = gate::opened(s, Point{-10.0, -18.0}, gate::opening_to_level(s));
    REQUIRE_THAT(open.face_to.y - open.face_from.y, WithinAbs(0.0, 1e-10));
    REQUIRE(open.face_to.x > open.face_from.x);
}

TEST_CASE("in line with a falling worktop the inner face is parallel to it", "[gate][invariant]") {
    gate::Sizes s = counter_gate();
    s.lean_deg = 4.0;
    s.worktop_fall_deg = GENERATE(-6.0, 2.0, 11.0);
    const auto open = gate::opened(s, Point{-8.0, -20.0}, gate::opening_in_line(s));
    const double slope = std::atan2(open.face_from.y - open.face_to.y, open.face_to.x - open.face_from.x);
    REQUIRE_THAT(slope * 180.0 / std::acos(-1.0), WithinAbs(s.worktop_fall_deg, 1e-10));
}

TEST_CASE("flush at level with the shut nose gap puts the pivot 18 from three faces", "[gate][anchor]") {
    const gate::Sizes s = counter_gate();
    const std::vector<foldswing::hinge::Landing> stops{gate::face_landing(s, 90.0, 0.0, 1.0),
                                                       gate::nose_gap_landing(s, 90.0, 3.0, 1.0)};
    const auto solved = foldswing::hinge::solve_pivot(stops);
    REQUIRE_THAT(solved.pivot.x, WithinAbs(-10.0, 1e-12));
    REQUIRE_THAT(solved.pivot.y, WithinAbs(-18.0, 1e-12));
    const auto at = gate::place(s, solved.pivot);
    REQUIRE_THAT(at.from_inner_face, WithinAbs(18.0, 1e-12));
    REQUIRE_THAT(at.below_worktop, WithinAbs(18.0, 1e-12));
    REQUIRE_THAT(at.above_lower_edge, WithinAbs(18.0, 1e-12));
}

TEST_CASE("a pivot comes back from its distances, leaning or not", "[gate][invariant]") {
    gate::Sizes s = counter_gate();
    s.lean_deg = GENERATE(-15.0, 0.0, 30.0);
    const Point pivot{-12.5, -21.0};
    const auto at = gate::place(s, pivot);
    REQUIRE_THAT(at.from_inner_face + at.from_outer_face, WithinAbs(s.thickness, 1e-12));
    const Point back = gate::pivot_at(s, at.from_inner_face, at.below_worktop);
    REQUIRE_THAT(back.x, WithinAbs(pivot.x, 1e-11));
    REQUIRE_THAT(back.y, WithinAbs(pivot.y, 1e-12));
}

TEST_CASE("the opening found for a drop puts the edge there", "[gate][invariant]") {
    const gate::Sizes s = counter_gate();
    const Point pivot{-10.0, -18.0};
    const double drop = GENERATE(-300.0, -20.0, 0.0, 199.4, 320.0);
    const double opening = gate::opening_to_drop(s, pivot, drop);
    REQUIRE_THAT(gate::opened(s, pivot, opening).edge_drop, WithinAbs(drop, 1e-9));
}

TEST_CASE("a drop the edge never reaches has no opening", "[gate][domain]") {
    const gate::Sizes s = counter_gate();
    REQUIRE(std::isnan(gate::opening_to_drop(s, Point{-10.0, -18.0}, 400.0)));
    REQUIRE(std::isnan(gate::opening_to_drop(s, Point{-10.0, -18.0}, -400.0)));
}

TEST_CASE("left out, height and width follow from the opening", "[gate][anchor]") {
    gate::Sizes s = counter_gate();
    REQUIRE_THAT(gate::height_below_head(s, 4.0), WithinAbs(360.0, 1e-12));
    REQUIRE(gate::width_between(1190.0, 1192.0, 5.0) == 1180.0);
    REQUIRE(gate::end_gap(1190.0, 1192.0, 1180.0) == 5.0);
    REQUIRE(gate::end_gap(1190.0, 1192.0, 1200.0) < 0.0);
    s.lean_deg = GENERATE(-10.0, 12.0);
    s.height = gate::height_below_head(s, 4.0);
    const auto c = gate::corners(s);
    REQUIRE_THAT(std::max(c.upper_inner.y, c.upper_outer.y), WithinAbs(324.0, 1e-10));
    REQUIRE_THROWS_AS(gate::height_below_head(s, 500.0), InvalidInput);
    REQUIRE_THROWS_AS(gate::width_between(10.0, 12.0, 5.0), InvalidInput);
}

TEST_CASE("the pin of a stay is counted along the face from the hole and outward from the inner face", "[gate]") {
    const gate::Sizes s = counter_gate();
    const Point pin = gate::stay_pin(s, Point{-10.0, -18.0}, 250.0, 14.0);
    REQUIRE_THAT(pin.x, WithinAbs(-14.0, 1e-12));
    REQUIRE_THAT(pin.y, WithinAbs(232.0, 1e-12));
    REQUIRE_THAT(gate::centre(s).x, WithinAbs(-14.0, 1e-12));
    REQUIRE_THAT(gate::centre(s).y, WithinAbs(144.0, 1e-12));
}

TEST_CASE("each size of a gate is checked by name", "[gate][domain]") {
    const auto broken = [](auto set) {
        gate::Sizes s = counter_gate();
        set(s);
        return s;
    };
    const double nan = std::numeric_limits<double>::quiet_NaN();
    REQUIRE_THROWS_AS(gate::panel(broken([](auto& s) { s.thickness = 0.0; })), InvalidInput);
    REQUIRE_THROWS_AS(gate::panel(broken([nan](auto& s) { s.height = nan; })), InvalidInput);
    REQUIRE_THROWS_AS(gate::panel(broken([](auto& s) { s.lean_deg = 61.0; })), InvalidInput);
    REQUIRE_THROWS_AS(gate::panel(broken([](auto& s) { s.lower_inner_radius = -1.0; })), InvalidInput);
    REQUIRE_THROWS_AS(gate::panel(broken([](auto& s) { s.lower_inner_radius = s.lower_outer_radius = 20.0; })),
                      InvalidInput);
    REQUIRE_THROWS_AS(gate::sill(broken([](auto& s) { s.sill_below_worktop = 900.0; })), InvalidInput);
    REQUIRE_THROWS_AS(gate::opened(counter_gate(), Point{nan, 0.0}, 90.0), InvalidInput);
    REQUIRE_THROWS_AS(gate::stay_pin(counter_gate(), Point{0.0, nan}, 1.0, 1.0), InvalidInput);
}

TEST_CASE("a panel hinged at its lower edge turns 90 and its slope to stand upright, inner face looking that way",
          "[flip_panel][anchor]") {
    const flip::Sizes s = tail_panel();
    const double opening = flip::opening_to_upright(s, flip::Way::down);
    REQUIRE(opening == 102.0);
    REQUIRE(flip::inner_face_looks(s, flip::Way::down, opening) == 0.0);
    REQUIRE(flip::outer_face_looks(s, flip::Way::down, opening) == 180.0);
    REQUIRE(flip::opening_to_upright(s, flip::Way::up) == 78.0);
    REQUIRE(flip::inner_face_looks(s, flip::Way::up, 78.0) == 180.0);
    REQUIRE(flip::metal_at_pin(s, 6.0) == 1.0);
}

TEST_CASE("a return no deeper than the skin is just the skin's edge", "[flip_panel][degenerate]") {
    flip::Sizes s = tail_panel();
    REQUIRE(flip::hinged_side(s).points().size() == 6);
    s.return_depth = 0.0;
    REQUIRE(flip::hinged_side(s).points().size() == 4);
    s.gap = 0.0;
    REQUIRE_THROWS_AS(flip::panel(s), InvalidInput);
}

TEST_CASE("how far a flip panel comes is what stepping through the swing finds", "[flip_panel][invariant]") {
    flip::Sizes s = tail_panel();
    s.corner_radius = GENERATE(0.0, 2.4);
    const flip::Way way = GENERATE(flip::Way::down, flip::Way::up);
    const double opening = GENERATE(0.0, 40.0, 102.0, 200.0, 350.0);
    double behind = 0.0;
    double out = 0.0;
    constexpr int steps = 4000;  // the farthest place is missed by 2e-4 mm at most
    const auto corners = flip::panel(s).flatten(1e-3);
    for (int i = 0; i <= steps; ++i) {
        const auto pose = foldswing::Pose::about(flip::pivot(s), static_cast<double>(way) * opening * i / steps);
        for (const Point q : corners) {
            behind = std::max(behind, pose.apply(q).y);
            out = std::max(out, -pose.apply(q).y);
        }
    }
    const auto reach = flip::reach(s, way, opening);
    REQUIRE_THAT(reach.behind, WithinAbs(behind, 2e-3));
    REQUIRE_THAT(reach.out, WithinAbs(out, 2e-3));
}
