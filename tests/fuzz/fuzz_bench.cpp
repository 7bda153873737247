// The order of bends on a brake, and blanks on stock sheets.
#include <algorithm>
#include <foldswing/bend_order.hpp>
#include <foldswing/cut_list.hpp>
#include <string>
#include <vector>

#include "bytes.hpp"

namespace {
using namespace foldswing;
namespace order = foldswing::bend_order;

constexpr std::size_t kBends = 3;  // few: a tray has twice as many, and every set of them is tried

blank::Profile section(fuzz::Bytes& in) {
    std::vector<blank::Part> parts{blank::Flat{0.5 * in.byte()}};
    const double radius = 0.02 * in.byte();
    for (std::size_t n = in.below(kBends + 1); n > 0; --n) {
        const double angle = in.below(4) == 0 ? static_cast<double>(in.below(181)) : 90.0;
        const auto way = in.flag() ? blank::Direction::up : blank::Direction::down;
        parts.emplace_back(blank::Bend{angle, radius, way, {}});
        parts.emplace_back(blank::Flat{0.5 * in.byte(), blank::Measured::flat, blank::Measured::flat});
    }
    return blank::Profile(parts, 0.25 + 0.02 * in.byte(), {bend::Basis::Kind::k_factor, 0.42});
}

order::Brake brake(fuzz::Bytes& in) {
    order::Brake made = in.below(3) == 0   ? order::invented_press_brake(4.0 + 0.25 * in.byte())
                        : in.below(2) == 0 ? order::invented_box_and_pan_brake()
                                           : order::invented_leaf_brake();
    if (in.below(4) == 0) {
        double* const fields[] = {&made.opens,         &made.greatest_angle_deg, &made.least_hold, &made.least_flange,
                                  &made.finger_height, &made.gauge_from,         &made.gauge_to,   &made.least_cover};
        *fields[in.below(std::size(fields))] = in.number();
    }
    if (in.below(8) == 0) made.upper = in.outline();
    if (in.below(8) == 0) made.fingers = in.numbers(4);
    made.open_ended = in.flag();
    return made;
}

/// Bends of no angle need no step.
std::size_t turned(const blank::Profile& section) {
    return static_cast<std::size_t>(
        std::ranges::count_if(section.bend_lines(), [](const auto& line) { return line.angle_deg > 0.0; }));
}

void keeps_its_word(const order::Order& done, std::size_t bends) {
    fuzz::require(!done.explanation.empty());
    if (done.status == order::Status::found)
        fuzz::require(done.steps.size() == bends && done.orders >= 1.0);
    else
        fuzz::require(done.steps.empty() && done.orders == 0.0 && !done.blocking.empty());
}

void sections(fuzz::Bytes& in) {
    const blank::Profile profile = section(in);
    const order::Brake tool = brake(in);
    const auto gauge = in.flag() ? order::Gauge::front : order::Gauge::behind;
    fuzz::call([&] { keeps_its_word(order::search(profile, tool, gauge), turned(profile)); });
    fuzz::call([&] {
        const std::vector<std::size_t> done(in.below(3), in.below(6));
        (void)order::search(profile, tool, gauge, {}, done);
        (void)order::obstacle(profile, tool, done, in.below(6), in.flag() ? order::End::end : order::End::start, gauge);
    });
}

void trays(fuzz::Bytes& in) {
    const order::Tray tray{section(in), in.below(4), section(in), in.below(4)};
    const order::Brake tool = brake(in);
    keeps_its_word(order::search(tray, tool), turned(tray.lengthwise) + turned(tray.crosswise));
}

void cutting(fuzz::Bytes& in) {
    const auto side = [&] { return in.below(16) == 0 ? in.number() : 4.0 * in.byte(); };
    std::vector<cut_list::Blank> blanks(in.below(6));
    for (auto& b : blanks) b = {"blank", side(), side(), in.below(5), static_cast<cut_list::Grain>(in.below(3))};
    std::vector<cut_list::Sheet> sheets(in.below(4));
    for (auto& s : sheets)
        s = {"sheet", 2.0 * side(), 2.0 * side(), in.below(4), static_cast<cut_list::Grain>(in.below(3))};
    const cut_list::Options options{0.02 * in.byte(), 0.1 * in.byte(), in.flag(), in.number()};
    const cut_list::Layout made = cut_list::lay_out(blanks, sheets, options);
    std::size_t pieces = 0;
    std::size_t wanted = 0;
    for (const auto& b : blanks) wanted += b.count;
    for (const auto& left : made.left) pieces += left.pieces;
    for (const auto& used : made.sheets) {
        pieces += used.pieces.size();
        const auto& sheet = sheets.at(used.stock);
        for (const auto& p : used.pieces)
            fuzz::require(p.at.x >= 0.0 && p.at.y >= 0.0 && p.at.x + p.at.length <= sheet.length + 1e-6 &&
                          p.at.y + p.at.width <= sheet.width + 1e-6);
    }
    fuzz::require(pieces == wanted && !made.explanation.empty());
    fuzz::require((made.status == cut_list::Status::all) == made.left.empty());
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {sections, trays, cutting});
}
