// Flat patterns of curved parts.
#include <algorithm>
#include <cmath>
#include <foldswing/development.hpp>
#include <utility>
#include <vector>

#include "bytes.hpp"

namespace {
using namespace foldswing;
namespace flat = foldswing::development;

/// A shop size most of the time, so that something comes of it.
double size(fuzz::Bytes& in) { return in.below(8) == 0 ? in.number() : 0.5 * (in.byte() + 1); }
/// Coarse chords: many small cases tell more than a few large ones.
flat::Drawn drawn(fuzz::Bytes& in) {
    return {in.below(8) == 0 ? in.number() : 0.5, in.below(8) == 0 ? in.byte() - 8 : 6};
}
flat::Sheet sheet(fuzz::Bytes& in) {
    return {in.below(8) == 0 ? in.number() : 0.01 * in.byte(), static_cast<flat::Face>(in.below(4))};
}
flat::Cut cut(fuzz::Bytes& in) {
    return {in.below(8) == 0 ? in.number() : 0.25 * in.byte(), in.below(8) == 0 ? in.number() : 1.5 * in.byte()};
}

/// What every pattern promises: finite, explained, each drawn point with its place on the part, edges all round.
void keeps_its_word(const flat::Pattern& made) {
    const auto whole = [](const flat::Curve& c) {
        const auto fine = [](const auto& p) { return std::isfinite(p.x) && std::isfinite(p.y); };
        return c.flat.size() == c.folded.size() && std::ranges::all_of(c.flat, fine) &&
               std::ranges::all_of(c.folded, fine);
    };
    fuzz::require(!made.explanation.empty() && made.outline.flat.size() >= 3 && whole(made.outline));
    fuzz::require(std::ranges::all_of(made.holes, whole));
    fuzz::require(std::isfinite(made.area) && made.area >= 0.0);
    fuzz::require(std::isfinite(made.girth_error) && std::isfinite(made.surface_error));
    for (const auto& edge : made.edges)
        fuzz::require(edge.first < made.outline.flat.size() && edge.last < made.outline.flat.size());
    for (const auto& line : made.lines) fuzz::require(whole(line.ends) && line.length >= 0.0);
}

void pipes(fuzz::Bytes& in) {
    const double diameter = size(in);
    const double length = size(in);
    const flat::Cut bottom = cut(in);
    const flat::Cut top = cut(in);
    const flat::Sheet metal = sheet(in);
    fuzz::call([&] { keeps_its_word(flat::cylinder(diameter, length, bottom, top, metal, drawn(in))); });
    fuzz::call([&] {
        for (const auto& piece :
             flat::elbow(diameter, 1.5 * in.byte(), length, static_cast<int>(in.below(9)), metal, drawn(in)).pieces)
            keeps_its_word(piece);
    });
}

void branches(fuzz::Bytes& in) {
    flat::BranchSize asked;
    asked.main_diameter = 2.0 * size(in);
    asked.branch_diameter = size(in);
    asked.angle_deg = in.below(4) == 0 ? in.number() : in.byte();
    asked.main_length = 8.0 * size(in);
    asked.branch_length = 4.0 * size(in);
    if (in.flag()) asked.along = size(in);
    asked.offset = in.flag() ? 0.0 : 0.25 * size(in);
    const flat::Branch made = flat::branch(asked, sheet(in), sheet(in), drawn(in));
    keeps_its_word(made.branch);
    keeps_its_word(made.main);
}

void cones(fuzz::Bytes& in) {
    const double diameter = size(in);
    const double height = size(in);
    const double top = in.flag() ? 0.0 : size(in);
    fuzz::call([&] { keeps_its_word(flat::cone(diameter, height, top, cut(in), cut(in), sheet(in), drawn(in))); });
    fuzz::call([&] {
        const Point offset{size(in), in.flag() ? 0.0 : size(in)};
        keeps_its_word(flat::oblique_cone(diameter, height, offset, top, sheet(in), drawn(in)));
    });
    fuzz::call([&] {
        keeps_its_word(
            flat::gore(diameter, static_cast<int>(in.below(12)) - 1, in.number(), in.number(), sheet(in), drawn(in)));
    });
}

Path outline(fuzz::Bytes& in) {
    switch (in.below(4)) {
        case 0:
            return flat::round_outline(size(in));
        case 1: {
            std::vector<Point> corners = in.ring();
            std::vector<double> sweeps(corners.size(), 0.0);
            for (double& sweep : sweeps)
                if (in.below(4) == 0) sweep = in.number();
            return {std::move(corners), std::move(sweeps), true};
        }
        default:
            return flat::rectangle_outline(size(in), size(in), in.flag() ? 0.0 : 0.125 * size(in));
    }
}

void transitions(fuzz::Bytes& in) {
    const Path bottom = outline(in);
    const Path top = outline(in);
    flat::Placement place;
    place.height = size(in);
    if (in.flag()) place.offset = in.point();
    if (in.flag()) {
        place.tilt_deg = 0.25 * in.byte();
        place.high_deg = 1.5 * in.byte();
    }
    const auto surface = static_cast<flat::Surface>(in.below(2));
    fuzz::call([&] { keeps_its_word(flat::transition(bottom, top, place, surface, sheet(in), drawn(in))); });
    fuzz::call([&] { keeps_its_word(flat::to_point(bottom, {size(in), size(in), size(in)}, sheet(in), drawn(in))); });
}

void strips(fuzz::Bytes& in) {
    const auto edge = [&](double z) {
        std::vector<flat::Point3> out(2 + in.below(5));
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = {40.0 * static_cast<double>(i), 0.25 * in.byte(), z + 0.25 * in.byte()};
        if (in.below(8) == 0) out[in.below(out.size())].x = in.number();
        return out;
    };
    const auto bottom = edge(0.0);
    const auto top = edge(size(in));
    keeps_its_word(flat::ruled_strip(bottom, top, in.below(8) == 0 ? in.byte() - 8 : 12, in.number()));
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {pipes, branches, cones, transitions, strips});
}
