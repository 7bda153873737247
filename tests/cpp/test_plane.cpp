#include <cmath>
#include <foldswing/plane.hpp>
#include <limits>
#include <numbers>
#include <numeric>

#include "catch.hpp"

using namespace foldswing;
using catch_match::WithinAbs;
using catch_match::WithinRel;

namespace {

const double kNaN = std::numeric_limits<double>::quiet_NaN();

Outline box(double x0, double y0, double x1, double y1) { return Outline({{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}); }

double total(const std::vector<Outline>& all) {
    return std::accumulate(all.begin(), all.end(), 0.0, [](double sum, const Outline& o) { return sum + area(o); });
}

std::string refusal(const Ring& corners, const std::vector<Ring>& holes = {}) {
    try {
        const Outline made(corners, holes);
    } catch (const InvalidInput& e) {
        return e.what();
    }
    return "accepted";
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("quarter turns move points exactly, and a pose undoes its inverse", "[plane][anchor]") {
    REQUIRE(Pose{0, 0, 90}.apply(Point{3, 4}) == Point{-4, 3});
    REQUIRE(Pose{0, 0, -90}.apply(Point{3, 4}) == Point{4, -3});
    REQUIRE(Pose{1, 2, 180}.apply(Point{3, 4}) == Point{-2, -2});
    REQUIRE(Pose::about({10, 0}, 90).apply(Point{10, 0}) == Point{10, 0});
    const Pose p{12.5, -7.25, 33.0};
    const Point back = p.inverse().apply(p.apply(Point{100, 200}));
    REQUIRE_THAT(back.x, WithinRel(100.0, 1e-14));
    REQUIRE_THAT(back.y, WithinRel(200.0, 1e-14));
    REQUIRE(p.compose(Pose{0, 0, 360}).angle_deg == 393.0);  // a whole turn counts
}

TEST_CASE("an outline is stored counter-clockwise with its first corner first", "[plane]") {
    const Outline o({{0, 0}, {0, 3}, {4, 3}, {4, 0}, {0, 0}}, {{{1, 1}, {2, 1}, {2, 2}}});
    REQUIRE(o.corners() == Ring{{0, 0}, {4, 0}, {4, 3}, {0, 3}});
    REQUIRE(o.holes().front() == Ring{{1, 1}, {2, 2}, {2, 1}});
    REQUIRE(area(o) == 11.5);
}

TEST_CASE("a refused outline is told what is wrong and where", "[plane][domain]") {
    REQUIRE(says(refusal({{0, 0}, {1, 0}}), "at least three corners, got 2"));
    REQUIRE(says(refusal({}), "at least three corners, got 0"));
    REQUIRE(says(refusal({{0, 0}, {1, 0}, {1, 0}, {0, 1}}), "corner 3 on top of corner 2 (1, 0)"));
    REQUIRE(says(refusal({{0, 0}, {1, 1}, {3, 3}}), "zero area: all 3 corners on one line"));
    REQUIRE(says(refusal({{0, 0}, {2, 2}, {2, 0}, {0, 2}}),
                 "the side from corner 1 (0, 0) to corner 2 (2, 2) crossing the side from corner 3 (2, 0) to corner 4 "
                 "(0, 2) near (1, 1)"));
    REQUIRE(says(refusal({{0, 0}, {4, 0}, {4, 4}, {2, 0}, {0, 4}}), "touching"));
    REQUIRE(says(refusal({{0, 0}, {4, 0}, {4, 4}, {4, 2}}), "doubling back along"));
    REQUIRE(says(refusal({{0, 0}, {4, 0}, {kNaN, 4}}), "points[2] must be finite"));
    REQUIRE(says(refusal({{0, 0}, {1e13, 0}, {0, 4}}), "within +-1e12 mm"));
    REQUIRE(says(refusal({{0, 0}, {1e-200, 0}, {0, 1e-200}}), "zero area"));
    const Ring square{{0, 0}, {9, 0}, {9, 9}, {0, 9}};
    REQUIRE(says(refusal(square, {{{20, 20}, {21, 20}, {20, 21}}}), "holes[0] must be inside the outline"));
    REQUIRE(says(refusal(square, {{{-1, 4}, {4, 4}, {4, 5}}}), "holes[0] must be inside the outline"));
    const Ring hole{{1, 1}, {5, 1}, {5, 5}, {1, 5}};
    REQUIRE(says(refusal(square, {hole, {{2, 2}, {3, 2}, {3, 3}}}), "clear of holes[0]"));
    REQUIRE(says(refusal(square, {hole, {{4, 4}, {7, 4}, {7, 7}}}), "clear of holes[0]"));
    REQUIRE(says(refusal(square, {{{0, 4}, {4, 4}, {9, 5}, {4, 5}}}), "in one piece"));
    REQUIRE(refusal(square, {{{0, 4}, {4, 4}, {4, 5}}}) == "accepted");  // one touch cuts nothing off
}

TEST_CASE("a crossing smaller than rounding is still seen", "[plane][degenerate]") {
    // The long side passes one unit in the last place below, on, and above the corner (0.5, 0.5).
    const double up = std::nextafter(0.5, 1.0);
    const double down = std::nextafter(0.5, 0.0);
    REQUIRE(refusal({{0, 0}, {1, 1}, {0, 1}, {0.5, up}, {0, 0.75}}) == "accepted");
    REQUIRE(says(refusal({{0, 0}, {1, 1}, {0, 1}, {0.5, 0.5}, {0, 0.75}}), "touching"));
    REQUIRE(says(refusal({{0, 0}, {1, 1}, {0, 1}, {0.5, down}, {0, 0.75}}), "crossing"));
}

TEST_CASE("centroid counts holes and keeps its digits far from the origin", "[plane]") {
    const Point c = centroid(Outline({{0, 0}, {4, 0}, {4, 4}, {0, 4}}, {{{2, 1}, {4, 2}, {2, 3}}}));
    // 16 at (2, 2) less a triangle of 2 at (8/3, 2)
    REQUIRE_THAT(c.x, WithinRel((32.0 - 16.0 / 3.0) / 14.0, 1e-15));
    REQUIRE_THAT(c.y, WithinRel(2.0, 1e-15));
    const Point far = centroid(box(1e9, 1e9, 1e9 + 2.0, 1e9 + 1.0));
    REQUIRE(far == Point{1e9 + 1.0, 1e9 + 0.5});
}

TEST_CASE("locate tells inside, edge and outside, holes respected", "[plane]") {
    const Outline frame({{0, 0}, {9, 0}, {9, 9}, {0, 9}}, {{{3, 3}, {6, 3}, {6, 6}, {3, 6}}});
    REQUIRE(locate(frame, {1, 1}) == Place::inside);
    REQUIRE(locate(frame, {4, 4}) == Place::outside);
    REQUIRE(locate(frame, {3, 4}) == Place::on_edge);
    REQUIRE(locate(frame, {9, 9}) == Place::on_edge);
    REQUIRE(locate(frame, {9, 9.5}) == Place::outside);
    REQUIRE(locate(frame, {-1, 9}) == Place::outside);
    REQUIRE_THROWS_AS(locate(frame, {kNaN, 0}), InvalidInput);
}

TEST_CASE("a path has the length, radius and centre of its arcs", "[plane][anchor]") {
    const Path half({{1, 0}, {-1, 0}}, {180});
    REQUIRE_THAT(half.length(), WithinRel(std::numbers::pi, 1e-15));
    REQUIRE(half.radius(0) == 1.0);
    REQUIRE(half.centre(0) == Point{0, 0});
    REQUIRE_THAT(half.at(0, 0.5).y, WithinRel(1.0, 1e-15));
    const Path big({{1, 0}, {0, 1}}, {-270});  // the long way round
    REQUIRE_THAT(big.length(), WithinRel(1.5 * std::numbers::pi, 1e-15));
    REQUIRE_THAT(big.centre(0).x, WithinAbs(0.0, 1e-15));
    REQUIRE_THAT(big.centre(0).y, WithinAbs(0.0, 1e-15));
    const Path line({{0, 0}, {3, 4}}, {0});
    REQUIRE(line.length() == 5.0);
    REQUIRE(std::isinf(line.radius(0)));
    REQUIRE(std::isnan(line.centre(0).x));
}

TEST_CASE("flattened points lie on the arc and chords stray by no more than the sagitta", "[plane][invariant]") {
    const double sweep = GENERATE(1e-9, 0.5, 30.0, 90.0, 179.0, 270.0, 359.0, -45.0, -300.0);
    const double sagitta = GENERATE(1e-4, 0.05, 10.0);
    const Path arc({{10, 20}, {110, 70}}, {sweep});
    const auto points = arc.flatten(sagitta);
    REQUIRE(points.front() == arc.points().front());
    REQUIRE(points.back() == arc.points().back());
    const double r = arc.radius(0);
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double chord = std::hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y);
        const double stray = 0.25 * chord * chord / (r + std::sqrt(r * r - 0.25 * chord * chord));
        REQUIRE(stray <= sagitta * (1.0 + 1e-9));
    }
}

TEST_CASE("a path refuses what is no chain of arcs", "[plane][domain]") {
    REQUIRE_THROWS_AS(Path({{0, 0}}, {}), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {1, 0}}, {0, 0}), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {1, 0}}, {360}), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {1, 0}}, {kNaN}), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {0, 0}}, {90}), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {kNaN, 0}}, {0}), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {1, 0}}, {180}).flatten(0.0), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {1, 0}}, {180}).flatten(1e-300), InvalidInput);
    REQUIRE_THROWS_AS(Path({{0, 0}, {1, 0}}, {180}).outline(0.1), InvalidInput);
}

TEST_CASE("rounded corners are tangent arcs, reflex ones too", "[plane][anchor]") {
    const Outline ell({{0, 0}, {40, 0}, {40, 10}, {10, 10}, {10, 30}, {0, 30}});
    const Path all = round_corners(ell, std::vector{2.0});
    REQUIRE(all.size() == 12);
    // Five outer corners and one inner: each quarter arc takes 2 r off and gives pi r / 2.
    REQUIRE_THAT(all.length(), WithinRel(140.0 + 6.0 * (std::numbers::pi - 4.0), 1e-14));
    const Path inner = round_corners(ell, std::vector{0.0, 0.0, 0.0, 3.0, 0.0, 0.0});
    REQUIRE(inner.size() == 7);
    REQUIRE(inner.points()[3] == Point{13, 10});
    REQUIRE(inner.points()[4] == Point{10, 13});
    REQUIRE(inner.sweep_deg()[3] == -90.0);
    REQUIRE(inner.centre(3) == Point{13, 13});
    const Path disc = round_corners(box(0, 0, 10, 10), std::vector{5.0});
    REQUIRE(disc.size() == 4);
    REQUIRE_THAT(disc.length(), WithinRel(10.0 * std::numbers::pi, 1e-14));
}

TEST_CASE("round corners that do not fit are refused with the side", "[plane][domain]") {
    const auto reason = [](const Outline& o, const std::vector<double>& radii) {
        try {
            (void)round_corners(o, radii);
        } catch (const InvalidInput& e) {
            return std::string(e.what());
        }
        return std::string("accepted");
    };
    REQUIRE(says(reason(box(0, 0, 10, 4), {3}), "the side from corner 2 (10, 0) to corner 3 (10, 4) is 4 mm long"));
    REQUIRE(says(reason(box(0, 0, 10, 4), {3}), "use 6 mm"));
    REQUIRE(says(reason(box(0, 0, 10, 4), {-1}), "finite and >= 0"));
    REQUIRE(says(reason(box(0, 0, 10, 4), {1, 2}), "one a corner (4)"));
    REQUIRE(says(reason(Outline({{0, 0}, {9, 0}, {9, 9}, {0, 9}}, {{{1, 1}, {2, 1}, {2, 2}}}), {1}), "without holes"));
    // A needle reaches into the corner that the arc would cut off.
    const Outline needle({{0, 0}, {10, 0}, {10, 10}, {6, 10}, {9.7, 0.3}, {5, 10}, {0, 10}});
    REQUIRE(says(reason(needle, {0, 5, 0, 0, 0, 0, 0}), "not to cross itself"));
}

TEST_CASE("distance and nearest points of bodies apart, touching, overlapping and nested", "[plane][anchor]") {
    const Outline a = box(0, 0, 10, 10);
    const Separation apart = distance(a, box(13, 14, 20, 20));
    REQUIRE(apart.distance == 5.0);
    REQUIRE(apart.depth == 0.0);
    REQUIRE(apart.point_a == Point{10, 10});
    REQUIRE(apart.point_b == Point{13, 14});
    const Separation touching = distance(a, box(10, 2, 20, 5));
    REQUIRE(touching.distance == 0.0);
    REQUIRE(touching.depth == 0.0);
    REQUIRE(touching.point_a == touching.point_b);
    const Separation corner = distance(a, box(8, 7, 20, 20));
    REQUIRE(corner.distance == 0.0);
    REQUIRE(corner.depth == 2.0);
    REQUIRE(corner.point_a == Point{10, 10});  // as deep in b as (8, 7) is in a; the first counts
    REQUIRE(corner.point_b == Point{8, 10});
    REQUIRE(distance(a, box(2, 3, 4, 5)).depth == 4.0);    // nested: (4, 5) is four from three edges at most
    REQUIRE(distance(a, box(-5, 4, 15, 6)).depth == 4.0);  // the bar's side is 4 from the edge of the square
    REQUIRE(distance(box(-9, -1, 9, 1), box(-2, -9, 2, 9)).depth == 2.0);  // half of the wider bar, no corner inside
    REQUIRE(distance(a, a).depth == 5.0);
    const Outline frame({{0, 0}, {9, 0}, {9, 9}, {0, 9}}, {{{1, 1}, {8, 1}, {8, 8}, {1, 8}}});
    REQUIRE(distance(frame, box(3, 3, 5, 5)).distance == 2.0);  // inside a hole is apart
    REQUIRE(distance(frame, box(1, 1, 8, 8)).depth == 0.0);     // fills the hole: touches all round
}

TEST_CASE("of groups the deepest overlap counts, else the nearest pair", "[plane]") {
    const std::vector<Outline> a{box(0, 0, 1, 1), box(10, 0, 11, 1)};
    const std::vector<Outline> b{box(20, 0, 21, 1), box(13, 0, 14, 1)};
    const Separation s = distance(a, b);
    REQUIRE(s.distance == 2.0);
    REQUIRE(s.index_a == 1);
    REQUIRE(s.index_b == 1);
    REQUIRE_THROWS_AS(distance(a, std::span<const Outline>{}), InvalidInput);
}

TEST_CASE("an offset that just vanishes, splits or closes up does so", "[plane][degenerate]") {
    const Outline bar = box(0, 0, 4, 2);
    REQUIRE(offset(bar, -1.0).empty());
    REQUIRE(offset(bar, -(1.0 + 1e-9)).empty());
    REQUIRE_THAT(total(offset(bar, -(1.0 - 1e-6))), WithinRel(2e-6 * (2.0 + 2e-6), 1e-6));
    const Outline waist(
        {{0, 0}, {10, 0}, {10, 4}, {20, 4}, {20, 0}, {30, 0}, {30, 10}, {20, 10}, {20, 6}, {10, 6}, {10, 10}, {0, 10}});
    REQUIRE(offset(waist, -0.9).size() == 1);
    REQUIRE(offset(waist, -1.0).size() == 2);  // a neck without width parts it
    REQUIRE(offset(waist, -1.1).size() == 2);
    const Outline frame({{0, 0}, {9, 0}, {9, 9}, {0, 9}}, {{{3, 3}, {6, 3}, {6, 6}, {3, 6}}});
    REQUIRE(offset(frame, 1.4).front().holes().size() == 1);
    REQUIRE(offset(frame, 1.5).front().holes().empty());
    REQUIRE(offset(frame, 0.0).front() == frame);
}

TEST_CASE("mitred corners run on to a point, beyond the limit they are squared off", "[plane][anchor]") {
    const auto square = offset(box(0, 0, 10, 10), 1.0, {Corners::mitre, 0.005, 4.0});
    REQUIRE(square.front().corners().size() == 4);
    REQUIRE(area(square.front()) == 144.0);
    // At limit 1 a square corner is cut at one distance: each cut takes (sqrt 2 - 1)^2.
    const auto cut = offset(box(0, 0, 10, 10), 1.0, {Corners::mitre, 0.005, 1.0});
    REQUIRE(cut.front().corners().size() == 8);
    REQUIRE_THAT(area(cut.front()), WithinRel(144.0 - 4.0 * (3.0 - 2.0 * std::numbers::sqrt2), 1e-13));
}

TEST_CASE("offset refuses options out of range", "[plane][domain]") {
    const Outline o = box(0, 0, 10, 10);
    REQUIRE_THROWS_AS(offset(o, kNaN), InvalidInput);
    REQUIRE_THROWS_AS(offset(o, 1e13), InvalidInput);
    REQUIRE_THROWS_AS(offset(o, 1.0, {Corners::round, 0.0, 4.0}), InvalidInput);
    REQUIRE_THROWS_AS(offset(o, 1.0, {Corners::round, 1e-7, 4.0}), InvalidInput);
    REQUIRE_THROWS_AS(offset(o, 1.0, {Corners::mitre, 0.005, 0.9}), InvalidInput);
}

TEST_CASE("united outlines cover the same region once", "[plane]") {
    REQUIRE(unite({}).empty());
    const std::vector<Outline> ring{box(0, 0, 9, 3), box(6, 0, 9, 9), box(0, 6, 9, 9), box(0, 0, 3, 9)};
    const auto frame = unite(ring);
    REQUIRE(frame.size() == 1);
    REQUIRE(frame.front().holes().size() == 1);
    REQUIRE(area(frame.front()) == 72.0);
    const std::vector<Outline> at_a_corner{box(0, 0, 1, 1), box(1, 1, 2, 2)};
    REQUIRE(unite(at_a_corner).size() == 2);
    const std::vector<Outline> along_a_side{box(0, 0, 1, 1), box(1, 0, 2, 1)};
    REQUIRE(unite(along_a_side).front().corners().size() == 4);
    REQUIRE(total(unite(along_a_side)) == 2.0);
}

TEST_CASE("two mirrors give back, an outline stays counter-clockwise", "[plane][invariant]") {
    const Outline o({{1, 2}, {10, 3}, {4, 9}});
    const Outline m = o.mirrored({0, 0}, {0, 5});
    REQUIRE(m.corners() == Ring{{-1, 2}, {-4, 9}, {-10, 3}});
    REQUIRE(m.mirrored({0, 0}, {0, -1}) == o);
    REQUIRE(area(m) == area(o));
    REQUIRE_THROWS_AS(mirror({1, 1}, {0, 0}, {0, 0}), InvalidInput);
    REQUIRE_THROWS_AS(mirror({kNaN, 1}, {0, 0}, {1, 0}), InvalidInput);
    const Path p({{0, 0}, {10, 0}}, {90});
    REQUIRE(p.mirrored({0, 0}, {1, 0}).sweep_deg().front() == -90.0);
    REQUIRE(p.reversed().reversed() == p);
}
