#include <foldswing/cut_list.hpp>

#include "catch.hpp"

namespace cut = foldswing::cut_list;

TEST_CASE("a row of blanks with a kerf between takes the kerfs of the cuts between and no more", "[cut_list]") {
    const std::vector<cut::Blank> four{{"strip", 100, 50, 4, cut::Grain::along_length}};
    const auto on = [&](double length) {
        const std::vector<cut::Sheet> one{{"sheet", length, 50, 1, cut::Grain::along_length}};
        return cut::lay_out(four, one, {2.0, 0.0, true, 10.0});
    };
    CHECK(on(406.0).status == cut::Status::all);
    const auto short_of = on(405.0);
    CHECK(short_of.status == cut::Status::short_of_stock);
    CHECK(short_of.left.front().pieces == 1);
}

TEST_CASE("a remnant is what is left less the cut that frees it", "[cut_list]") {
    const std::vector<cut::Blank> one{{"half", 500, 400, 1, cut::Grain::along_length}};
    const std::vector<cut::Sheet> sheet{{"sheet", 1000, 400, 1, cut::Grain::along_length}};
    for (const bool guillotine : {true, false}) {
        const auto done = cut::lay_out(one, sheet, {3.0, 0.0, guillotine, 50.0});
        REQUIRE(done.sheets.size() == 1);
        REQUIRE(done.sheets[0].remnants.size() == 1);
        const auto& rest = done.sheets[0].remnants[0];
        CHECK(rest.x == 503.0);
        CHECK(rest.length == 497.0);
        CHECK(rest.width == 400.0);
        CHECK(done.use == 0.5);
    }
}

TEST_CASE("a remnant in stock is used before a whole sheet", "[cut_list]") {
    const std::vector<cut::Blank> one{{"lid", 300, 200, 1, cut::Grain::any}};
    const std::vector<cut::Sheet> stock{{"whole", 2000, 1000, 5, cut::Grain::along_length},
                                        {"remnant", 320, 240, 1, cut::Grain::any}};
    const auto done = cut::lay_out(one, stock);
    REQUIRE(done.sheets.size() == 1);
    CHECK(done.sheets[0].stock == 1);
}

TEST_CASE("bad cut lists are refused by name", "[cut_list]") {
    const std::vector<cut::Blank> blank{{"b", 10, 10, 1, cut::Grain::any}};
    const std::vector<cut::Sheet> sheet{{"s", 100, 100, 1, cut::Grain::any}};
    CHECK_THROWS_AS(cut::lay_out({}, sheet), foldswing::InvalidInput);
    CHECK_THROWS_AS(cut::lay_out(blank, {}), foldswing::InvalidInput);
    CHECK_THROWS_AS(cut::lay_out(blank, sheet, {-1.0, 0.0, true, 50.0}), foldswing::InvalidInput);
    CHECK_THROWS_AS(cut::lay_out(blank, sheet, {0.0, 50.0, true, 50.0}), foldswing::InvalidInput);
}
