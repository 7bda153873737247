#include <cmath>
#include <foldswing/bend_order.hpp>
#include <numeric>

#include "catch.hpp"

namespace blank = foldswing::blank;
namespace order = foldswing::bend_order;
using foldswing::InvalidInput;
using foldswing::Outline;
using order::End;

namespace {

blank::Profile section(const std::vector<double>& flats, const std::vector<double>& angles) {
    std::vector<blank::Part> parts;
    for (std::size_t i = 0; i < flats.size(); ++i) {
        parts.emplace_back(blank::Flat{flats[i], blank::Measured::flat, blank::Measured::flat});
        if (i < angles.size())
            parts.emplace_back(blank::Bend{
                std::fabs(angles[i]), 1.5, angles[i] > 0.0 ? blank::Direction::up : blank::Direction::down, {}});
    }
    return {parts, 1.2, {blank::Basis::Kind::k_factor, 0.42}};
}

}  // namespace

TEST_CASE("an angle is bent in either of two ways round, a channel in either of two orders", "[bend_order]") {
    const auto brake = order::invented_leaf_brake();
    const auto angle = order::search(section({40, 60}, {90}), brake);
    CHECK(angle.status == order::Status::found);
    CHECK(angle.orders == 1.0);
    CHECK(angle.tried == 2);
    const auto channel = order::search(section({30, 120, 30}, {90, 90}), brake);
    CHECK(channel.orders == 2.0);
    CHECK(channel.flips == 0);
}

TEST_CASE("a Z is turned over once, whatever brake", "[bend_order]") {
    for (const auto& brake : {order::invented_leaf_brake(), order::invented_press_brake(10)}) {
        const auto zed = order::search(section({30, 60, 30}, {90, -90}), brake);
        CHECK(zed.status == order::Status::found);
        CHECK(zed.flips == 1);
        REQUIRE(zed.steps.size() == 2);
        CHECK(zed.steps[1].flipped);
        CHECK_FALSE(zed.steps[0].flipped);
    }
}

TEST_CASE("the leg of a bend lies on the leaf and is no fouling, a little farther than the nose allows is",
          "[bend_order]") {
    // The nose rises at 60 degrees from its underside (31 by 18): it is in the way beyond 120 degrees turned.
    auto brake = order::invented_leaf_brake();
    const double most = 180.0 - std::atan2(31.0, 18.0) * 180.0 / std::acos(-1.0);
    const auto at = [&](double angle) { return order::obstacle(section({60, 25}, {angle}), brake, {}, 0, End::start); };
    CHECK(at(90.0).empty());
    CHECK(at(most - 0.05).empty());
    CHECK(at(most + 0.5).find("nose") != std::string::npos);
    CHECK(at(136.0).find("more than the 135.0") != std::string::npos);
}

TEST_CASE("a leg that falls into the V is refused, one that just reaches its shoulder is not", "[bend_order]") {
    // On the flat sheet a leg needs half the V from the centre line, less its half of the bend; at the end of a 90
    // degree bend (w - R sin 45)/cos 45 = w sqrt 2 - R from the tangent line.
    const double v = 16.0;
    const auto brake = order::invented_press_brake(v);
    const double least = 0.5 * v * std::sqrt(2.0) - 2.7;
    const auto at = [&](double leg) { return order::obstacle(section({leg, 60}, {90}), brake, {}, 0, End::start); };
    CHECK(at(least + 0.01).empty());
    CHECK(at(least - 0.01).find("to lie on the die") != std::string::npos);
}

TEST_CASE("bends of no angle ask for nothing", "[bend_order]") {
    const auto brake = order::invented_leaf_brake();
    auto flat = order::search(section({40, 60}, {0}), brake);
    CHECK(flat.status == order::Status::found);
    CHECK(flat.steps.empty());
    const auto one = order::search(section({40, 60, 40}, {0, 90}), brake);
    REQUIRE(one.steps.size() == 1);
    CHECK(one.steps[0].bend == 1);
}

TEST_CASE("a pan wants fingers that go between its flanges", "[bend_order]") {
    const blank::Pan pan({330, 178, {14, 14, 14, 14}, 1.2, 1.2, {blank::Basis::Kind::k_factor, 0.42}});
    const auto tray = order::tray(pan);
    CHECK(order::search(tray, order::invented_leaf_brake()).status == order::Status::none);
    auto brake = order::invented_box_and_pan_brake();
    const auto done = order::search(tray, brake);
    REQUIRE(done.status == order::Status::found);
    const auto& set = done.steps.back().fingers;
    const double width = std::accumulate(set.begin(), set.end(), 0.0);
    CHECK(width <= 330.0 - 2.0 * 1.2);
    CHECK(width >= 100.0);
    brake.fingers = {60};
    const auto narrow = order::search(tray, brake);
    CHECK(narrow.status == order::Status::none);
    CHECK(narrow.explanation.find("no set of fingers") != std::string::npos);
}

TEST_CASE("brakes that cannot be are refused", "[bend_order]") {
    const auto good = order::invented_leaf_brake();
    const auto refused = [&](auto change) {
        auto brake = good;
        change(brake);
        CHECK_THROWS_AS(order::require_valid(brake), InvalidInput);
    };
    refused([](auto& b) { b.opens = 0.0; });
    refused([](auto& b) { b.leaf.reset(); });
    refused([](auto& b) { b.upper = Outline({{-5, 0}, {5, 0}, {0, 9}}); });
    refused([](auto& b) { b.upper = Outline({{0, 0}, {9, 9}, {-9, 9}, {-9, 0}}); });
    refused([](auto& b) { b.lower = Outline({{-5, 0}, {5, 0}, {0, 9}}); });
    refused([](auto& b) { b.fingers = {-1.0}; });
    refused([](auto& b) { b.kind = order::Kind::press; });
    CHECK_THROWS_AS(order::invented_press_brake(3.0), InvalidInput);
    CHECK_THROWS_AS(order::search(section(std::vector<double>(16, 20.0), std::vector<double>(15, 10.0)), good),
                    InvalidInput);
}
