#include <cmath>
#include <foldswing/carry.hpp>

#include "catch.hpp"

namespace blank = foldswing::blank;
using blank::Basis;
using blank::Bend;
using blank::Direction;
using blank::Face;
using blank::Flat;
using blank::FoldMap;
using blank::Measured;
using blank::Profile;
using foldswing::InvalidInput;
using foldswing::Path;
using foldswing::Point;

namespace {

Profile bracket(double radius = 2.0) {
    const Basis half{Basis::Kind::k_factor, 0.5};
    return {{Flat{20.0}, Bend{90.0, radius, Direction::up, half}, Flat{30.0}}, 2.0};
}

}  // namespace

TEST_CASE("the far edge of a bracket lies at its outside sizes") {
    const Profile made = bracket();
    const FoldMap map(made);
    const Point lower = map.to_folded(made.developed_length(), Face::lower);
    CHECK(lower.x == Approx(20.0));
    CHECK(lower.y == Approx(30.0));
    CHECK(map.to_folded(made.developed_length(), Face::upper).x == Approx(18.0));
    CHECK(map.upward(0.0).y == 1.0);
}

TEST_CASE("every place of the blank is found again on either face") {
    const Profile made = bracket();
    const FoldMap map(made);
    for (int i = 0; i <= 50; ++i) {
        const double along = made.developed_length() * i / 50.0;
        for (const Face face : {Face::lower, Face::upper}) {
            const auto found = map.to_blank(map.to_folded(along, face), face, 1e-9);
            REQUIRE(found.size() == 1);
            CHECK(found.front().along == Approx(along).margin(1e-12));
            CHECK(map.from_face(map.to_face(along, face), face) == Approx(along).margin(1e-12));
        }
    }
}

TEST_CASE("a crease without a radius is one place, and gives way to the flats beside it") {
    const Profile made = bracket(0.0);
    const FoldMap map(made);
    const auto found = map.to_blank(map.to_folded(made.bend_lines()[0].centre, Face::upper), Face::upper, 1e-9);
    REQUIRE(found.size() == 1);
    CHECK(found.front().part != 1);
    CHECK(map.to_blank({5.0, 9.0}, Face::upper, 1e-3).empty());
}

TEST_CASE("an arc on a flat stays an arc, through a bend it becomes points of an ellipse") {
    const Profile made = bracket();
    const FoldMap map(made);
    const Path flat({{5.0, 0.0}, {9.0, 0.0}}, {180.0});
    CHECK(map.path_from_face(flat, Face::lower, 0.01) == flat);
    const double middle = map.to_face(made.bend_lines()[0].centre, Face::lower);
    const Path bent({{middle - 5.0, 0.0}, {middle + 5.0, 0.0}}, {-180.0});
    const Path on_blank = map.path_from_face(bent, Face::lower, 0.001);
    CHECK(on_blank.size() > 10);
    for (const Point p : on_blank.points()) {
        const double x = map.to_face(p.x, Face::lower);
        CHECK(std::hypot(x - middle, p.y) == Approx(5.0).epsilon(1e-12));
    }
}

TEST_CASE("spans as measured run to the mould points") {
    const Profile made = bracket();
    const auto spans = blank::measured_spans(made);
    REQUIRE(spans.size() == 2);
    CHECK(spans[0].end - spans[0].start == Approx(20.0));
    CHECK(spans[1].end - spans[1].start == Approx(30.0));
    CHECK(spans[0].end - spans[1].start == Approx(made.bend_lines()[0].deduction));
}

TEST_CASE("places off the blank and flats that are not there are refused") {
    const Profile made = bracket();
    const FoldMap map(made);
    CHECK_THROWS_AS(map.to_folded(-0.1, Face::lower), InvalidInput);
    CHECK_THROWS_AS(map.to_folded(std::nan(""), Face::lower), InvalidInput);
    CHECK_THROWS_AS(map.from_face(1e9, Face::upper), InvalidInput);
    CHECK_THROWS_AS(FoldMap(made, 2), InvalidInput);
    CHECK_THROWS_AS(map.path_from_face(Path({{0.0, 0.0}, {99.0, 0.0}}, {0.0}), Face::lower, 0.01), InvalidInput);
}
