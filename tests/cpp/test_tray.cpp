#include <cmath>
#include <foldswing/tray.hpp>

#include "catch.hpp"

namespace blank = foldswing::blank;
using blank::Face;
using blank::Side;
using blank::SpacePoint;
using blank::Tray;
using blank::TrayPanel;
using blank::TraySize;
using foldswing::InvalidInput;
using foldswing::Point;

namespace {

TraySize plain() {
    TraySize size;
    size.length = 300.0;
    size.width = 200.0;
    size.depth = {20.0, 25.0, 30.0, 35.0};
    size.thickness = 1.2;
    size.radius = 1.2;
    size.basis = {blank::Basis::Kind::k_factor, 0.42};
    return size;
}

}  // namespace

TEST_CASE("a tray without returns has the blank of the pan") {
    const TraySize size = plain();
    const Tray tray(size);
    blank::PanSize pan_size;
    pan_size.length = size.length;
    pan_size.width = size.width;
    pan_size.depth = size.depth;
    pan_size.thickness = size.thickness;
    pan_size.radius = size.radius;
    pan_size.basis = size.basis;
    const blank::Pan pan(pan_size);
    CHECK(tray.blank_length() == pan.blank_length());
    CHECK(tray.blank_width() == pan.blank_width());
    CHECK(foldswing::area(tray.outline().outline(0.1)) == Approx(foldswing::area(pan.outline())).epsilon(1e-14));
    CHECK(tray.flange_end_gap() == pan.flange_end_gap());
}

TEST_CASE("places of folded panels go to the blank and come back") {
    TraySize size = plain();
    size.returns.fill(blank::Return{12.0, 90.0, true});
    const Tray tray(size);
    for (const Side side : {Side::left, Side::right, Side::bottom, Side::top}) {
        for (const TrayPanel panel : {TrayPanel::flange, TrayPanel::lip}) {
            const Point at = tray.place(panel, side, 70.0, 6.0);
            for (const Face face : {Face::lower, Face::upper}) {
                const SpacePoint folded = tray.to_folded(at, face);
                const auto back = tray.to_blank(folded, face, 1e-9);
                REQUIRE(back.size() == 1);
                CHECK(back.front().x == Approx(at.x).margin(1e-9));
                CHECK(back.front().y == Approx(at.y).margin(1e-9));
            }
            const double depth = size.depth[static_cast<std::size_t>(side)];
            CHECK(tray.to_folded(at, Face::lower).z == Approx(panel == TrayPanel::lip ? depth : 6.0));
        }
    }
}

TEST_CASE("tabs and their holes stand on either end of a lapped flange") {
    TraySize size = plain();
    size.lapped = {false, false, true, true};
    size.lap_width = 15.0;
    size.lap_holes = 3;
    size.lap_hole_diameter = 3.2;
    const Tray tray(size);
    CHECK(tray.lap_holes().size() == 24);
    std::size_t tabs = 0;
    for (const auto& line : tray.bend_lines()) tabs += line.kind == blank::TrayLine::Kind::tab ? 1 : 0;
    CHECK(tabs == 4);
    for (const auto& hole : tray.lap_holes()) {
        const SpacePoint at = tray.to_folded(hole.at, hole.in_tab ? Face::lower : Face::upper);
        const auto back = tray.to_blank(at, hole.in_tab ? Face::lower : Face::upper, 1e-9);
        REQUIRE(back.size() == 1);
        CHECK(std::hypot(back[0].x - hole.at.x, back[0].y - hole.at.y) < 1e-9);
    }
}

TEST_CASE("every relief takes its metal out of the corner") {
    const double whole = foldswing::area(Tray(plain()).outline().outline(0.001));
    for (const auto relief : {blank::Relief::round, blank::Relief::square, blank::Relief::slit}) {
        TraySize size = plain();
        size.relief = relief;
        size.relief_size = relief == blank::Relief::slit ? 1.0 : 5.0;
        size.relief_past = 3.0;
        CHECK(foldswing::area(Tray(size).outline().outline(0.001)) < whole);
    }
}

TEST_CASE("trays that cannot be made are refused") {
    const auto refused = [](auto change) {
        TraySize size = plain();
        change(size);
        CHECK_THROWS_AS(Tray(size), InvalidInput);
    };
    refused([](TraySize& s) { s.depth.fill(0.0); });
    refused([](TraySize& s) { s.length = 4.0; });
    refused([](TraySize& s) { s.returns[0] = blank::Return{400.0, 90.0, true}; });
    refused([](TraySize& s) { s.returns[0] = blank::Return{10.0, 0.0, true}; });
    refused([](TraySize& s) { s.relief = blank::Relief::round; });
    refused([](TraySize& s) { s.lapped[0] = true; });
    refused([](TraySize& s) { s.basis = {}; });
    refused([](TraySize& s) { s.thickness = std::nan(""); });
    CHECK_THROWS_AS(Tray(plain()).place(TrayPanel::lip, Side::left, 1.0, 1.0), InvalidInput);
    CHECK_THROWS_AS(Tray(plain()).to_folded({-5.0, 0.0}, Face::lower), InvalidInput);
}
