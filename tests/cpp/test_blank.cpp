#include <cmath>
#include <foldswing/blank.hpp>
#include <numbers>
#include <string>

#include "catch.hpp"

namespace blank = foldswing::blank;
using blank::Basis;
using blank::Bend;
using blank::Direction;
using blank::Flat;
using blank::Measured;
using blank::Pan;
using blank::PanSize;
using blank::Part;
using blank::Profile;
using catch_match::WithinAbs;
using foldswing::InvalidInput;

namespace {
constexpr double kPi = std::numbers::pi;
constexpr double kRounding = 1e-12;  // mm, on parts of a few hundred mm

Basis k(double value) { return {Basis::Kind::k_factor, value}; }

std::vector<Part> channel(double leg, double base, Direction second = Direction::up) {
    return {Flat{leg}, Bend{90.0, 1.0, Direction::up, {}}, Flat{base}, Bend{90.0, 1.0, second, {}}, Flat{leg}};
}

std::string refusal(const std::vector<Part>& parts, double thickness) {
    try {
        (void)Profile(parts, thickness, k(0.4));
    } catch (const InvalidInput& e) {
        return e.what();
    }
    return "accepted";
}
}  // namespace

TEST_CASE("a channel's blank is its outside lengths less two deductions", "[blank][invariant]") {
    const Profile profile(channel(20.0, 50.0), 2.0, k(0.4));
    const double deduction = foldswing::bend::bend_deduction(90.0, 1.0, 2.0, 0.4);
    REQUIRE_THAT(profile.developed_length(), WithinAbs(90.0 - 2.0 * deduction, kRounding));
    REQUIRE(profile.flats().size() == 3);
    REQUIRE(profile.flats()[1].length == 50.0 - 3.0 - 3.0);
    const auto& line = profile.bend_lines()[0];
    REQUIRE(line.part == 1);
    REQUIRE(line.tangent[0] == 17.0);
    REQUIRE(line.sight[0] == line.tangent[0] + 1.0);
    REQUIRE(line.sight[1] == line.tangent[1] - 1.0);
    REQUIRE(line.from_end(profile.developed_length()).tangent[1] == profile.developed_length() - line.tangent[1]);
}

TEST_CASE("a folded channel stands square and comes back to its sizes", "[blank][invariant]") {
    const Profile profile(channel(20.0, 50.0), 2.0, k(0.4));
    const auto folded = profile.folded();
    REQUIRE(folded.outside_is_lower);
    const auto last = folded.outside.points().back();
    REQUIRE_THAT(last.x, WithinAbs(0.0, kRounding));  // two right angles on, back over the first leg
    REQUIRE_THAT(last.y, WithinAbs(50.0, kRounding));
    const auto sizes = profile.remeasured();
    REQUIRE_THAT(sizes[0], WithinAbs(20.0, kRounding));
    REQUIRE_THAT(sizes[1], WithinAbs(50.0, kRounding));
    REQUIRE_THAT(sizes[2], WithinAbs(20.0, kRounding));
}

TEST_CASE("one section measured three ways has one blank", "[blank][invariant]") {
    const auto length = [](double leg, Measured how) {
        return Profile({Flat{leg, how, how}, Bend{60.0, 1.5, Direction::up, {}}, Flat{leg, how, how}}, 2.0, k(0.4))
            .developed_length();
    };
    const double tan_half = std::tan(kPi / 6.0);
    const double flat = length(30.0, Measured::flat);
    REQUIRE_THAT(length(30.0 + 3.5 * tan_half, Measured::outside), WithinAbs(flat, kRounding));
    REQUIRE_THAT(length(30.0 + 1.5 * tan_half, Measured::inside), WithinAbs(flat, kRounding));
}

TEST_CASE("a negative flat is named with what its bends take", "[blank][domain]") {
    REQUIRE(refusal(channel(20.0, 5.0), 2.0).find("parts[2].length must be at least 6") == 0);
    REQUIRE(refusal(channel(2.0, 50.0), 2.0).find("parts[0].length must be at least 3") == 0);
}

TEST_CASE("a section that runs into itself is refused and one that only touches is not", "[blank][degenerate]") {
    const auto loop = [](double last) {  // four bends bring the last flat back over the first
        std::vector<Part> parts{Flat{40.0, Measured::flat, Measured::flat}};
        for (int i = 0; i < 4; ++i) {
            parts.emplace_back(Bend{90.0, 1.0, Direction::up, {}});
            parts.emplace_back(Flat{i == 3 ? last : 10.0, Measured::flat, Measured::flat});
        }
        return parts;
    };
    REQUIRE(refusal(loop(10.0), 1.0).find("running into") != std::string::npos);
    const Flat side{10.0, Measured::flat, Measured::flat};
    const Bend closed{180.0, 0.0, Direction::up, {}};
    REQUIRE(refusal({side, closed, side}, 1.0) == "accepted");
    REQUIRE(refusal({side, closed, Flat{0.0, Measured::flat, Measured::flat}, closed, side}, 1.0) != "accepted");
}

TEST_CASE("two sharp bends about one point lie side by side", "[blank][regression]") {
    const Flat none{0.0, Measured::flat, Measured::flat};
    const auto fans = [&](double first, double second) {
        const Bend a{first, 0.0, Direction::up, {}};
        const Bend b{second, 0.0, Direction::up, {}};
        return std::vector<Part>{Flat{10.7, Measured::flat, Measured::flat}, a, none, b, none};
    };
    REQUIRE(refusal(fans(24.822688318206776, 175.37951936533398), 0.9824042044340813) == "accepted");
    REQUIRE(refusal(fans(175.0, 180.0), 1.0) != "accepted");  // 355 degrees: the second fan sweeps through the flat
}

TEST_CASE("cut edges that lie in one line do not cross", "[blank][regression]") {
    const auto flat = [](double length) { return Flat{length, Measured::flat, Measured::flat}; };
    const auto bend = [](double angle, double radius, Direction way) { return Bend{angle, radius, way, {}}; };
    const std::vector<Part> parts{flat(1.0),
                                  bend(180.0, 2.3428909992188602, Direction::down),
                                  flat(24.361314207607204),
                                  bend(104.05310359818486, 0.0, Direction::up),
                                  flat(29.05357275928757),
                                  bend(90.0, 0.29907034577081215, Direction::up),
                                  flat(22.489962863137624),
                                  bend(32.48882422512352, 0.0, Direction::down),
                                  flat(0.0),
                                  bend(180.0, 0.0, Direction::up),
                                  flat(10.252648700950271)};
    REQUIRE(refusal(parts, 2.4814964234729784) == "accepted");
}

TEST_CASE("a roll of bends without flats is refused once it has gone right round", "[blank][degenerate]") {
    const auto roll = [](int bends, double angle) {
        std::vector<Part> parts{Flat{0.0, Measured::flat, Measured::flat}};
        for (int i = 0; i < bends; ++i) {
            parts.emplace_back(Bend{angle, 10.0, Direction::up, {}});
            parts.emplace_back(Flat{0.0, Measured::flat, Measured::flat});
        }
        return parts;
    };
    REQUIRE(refusal(roll(4, 80.0), 1.0) == "accepted");  // 320 degrees
    REQUIRE(refusal(roll(5, 80.0), 1.0) != "accepted");  // 400: the end lies in the beginning
    REQUIRE(refusal(roll(4, 90.0), 1.0) == "accepted");  // a closed tube: its ends butt
    REQUIRE(refusal(roll(5, 90.0), 1.0) != "accepted");  // the fifth bend lies exactly on the first: nothing crosses
}

TEST_CASE("parts out of order and sections without length are refused", "[blank][domain]") {
    REQUIRE(refusal({}, 1.0) != "accepted");
    REQUIRE(refusal({Bend{}}, 1.0) != "accepted");
    REQUIRE(refusal({Flat{1.0}, Flat{1.0}, Flat{1.0}}, 1.0) != "accepted");
    REQUIRE(refusal({Flat{0.0}}, 1.0) != "accepted");
    REQUIRE(refusal({Flat{10.0}}, 0.0) != "accepted");
    REQUIRE(refusal({Flat{std::nan("")}}, 1.0) != "accepted");
}

TEST_CASE("the batch length is the profile's length", "[blank][invariant]") {
    const std::vector<double> lengths{20.0, 50.0, 20.0};
    const std::vector<double> angles{90.0, 90.0};
    const std::vector<double> radii{1.0, 1.0};
    const double found = blank::developed_length(lengths, angles, radii, 2.0, 0.4);
    REQUIRE_THAT(found, WithinAbs(Profile(channel(20.0, 50.0), 2.0, k(0.4)).developed_length(), kRounding));
    REQUIRE_THROWS_AS(blank::developed_length(lengths, angles, lengths, 2.0, 0.4), InvalidInput);
}

TEST_CASE("the invented tail panel has its blank and its notches", "[blank][anchor]") {
    PanSize size;
    size.length = 330.0;
    size.width = 178.0;
    size.depth = {14.0, 14.0, 14.0, 14.0};
    size.thickness = 1.2;
    size.radius = 1.2;
    size.basis = k(0.42);
    const Pan pan(size);
    REQUIRE_THAT(pan.blank_length(), WithinAbs(353.8, 0.05));
    REQUIRE_THAT(pan.blank_width(), WithinAbs(201.8, 0.05));
    REQUIRE_THAT(pan.notch()[0], WithinAbs(12.9, 0.05));
    REQUIRE(pan.flange_end_gap() == 0.0);
    REQUIRE(pan.flange_end_overlap() > 0.0);
    REQUIRE(pan.outline().corners().size() == 12);
    size.notch = blank::Notch::gap;
    REQUIRE_THAT(Pan(size).flange_end_gap(), WithinAbs(0.2, kRounding));
}
