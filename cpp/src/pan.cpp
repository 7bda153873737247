#include <cmath>
#include <foldswing/blank.hpp>
#include <numbers>
#include <string>
#include <vector>

#include "check.hpp"

namespace foldswing::blank {
namespace {

constexpr std::size_t index(Side side) noexcept { return static_cast<std::size_t>(side); }

Profile section(const PanSize& size, Side first, double base, Side second, const char* base_name) {
    detail::require_positive(base_name, base);
    const auto flat = [&](double length) { return Flat{length, size.measured, size.measured}; };
    const Bend bend{90.0, size.radius, size.direction, size.basis};
    return Profile({flat(size.depth[index(first)]), bend, flat(base), bend, flat(size.depth[index(second)])},
                   size.thickness);
}

const PanSize& checked(const PanSize& size) {
    detail::require_positive("thickness", size.thickness);
    detail::require_not_negative("radius", size.radius);
    detail::require_not_negative("corner_gap", size.corner_gap);
    for (const double depth : size.depth) detail::require_positive("depth", depth);
    if (size.measured != Measured::outside && size.measured != Measured::inside)
        throw InvalidInput("measured", size.measured == Measured::flat ? "flat" : "overall", "outside or inside");
    if (size.basis.kind == Basis::Kind::unset)
        throw InvalidInput("k_factor", "nothing", "given, or a deduction or an allowance in its place");
    return size;
}

}  // namespace

Pan::Pan(const PanSize& size)
    : size_(checked(size)),
      lengthwise_(section(size, Side::left, size.length, Side::right, "length")),
      crosswise_(section(size, Side::bottom, size.width, Side::top, "width")) {
    // How far inside the outer face of its neighbour a flange ends. On the base, x from the outer face lies x - setback
    // beyond the tangent line, and a notch cuts the neighbouring flange at the same x.
    const BendLine& bend = lengthwise_.bend_lines().front();
    const double setback = bend::setback(90.0, size_.radius, size_.thickness);
    double inset = 0.0;
    switch (size_.notch) {
        case Notch::centre:
            inset = setback - 0.5 * bend.allowance;
            break;
        case Notch::tangent:
            inset = setback;
            break;
        case Notch::gap:
            inset = size_.thickness + size_.corner_gap / std::numbers::sqrt2;
            break;
    }
    const auto reach = [&](const Profile& profile, bool from_start) {
        const auto& line = from_start ? profile.bend_lines().front() : profile.bend_lines().back();
        const double tangent = from_start ? line.tangent[1] : profile.developed_length() - line.tangent[0];
        return tangent + (inset - setback);
    };
    notch_ = {reach(lengthwise_, true), reach(lengthwise_, false), reach(crosswise_, true), reach(crosswise_, false)};
    for (const double n : notch_)
        detail::require(n > 0.0, "depth", n, "more than what its bend takes, so that a notch is left to cut");
    for (const bool lengthwise : {true, false}) {
        const Profile& profile = lengthwise ? lengthwise_ : crosswise_;
        const double left = profile.developed_length() - (lengthwise ? notch_[0] + notch_[1] : notch_[2] + notch_[3]);
        if (left <= 0.0)
            throw InvalidInput(lengthwise ? "length" : "width", lengthwise ? size_.length : size_.width,
                               "long enough to leave a flange between its two corner notches");
    }
    const double clear = inset - size_.thickness;  // both ends stand back by this from where they would just meet
    flange_end_gap_ = clear > 0.0 ? clear * std::numbers::sqrt2 : 0.0;
    flange_end_overlap_ = clear < 0.0 ? -clear : 0.0;
}

std::string Pan::explanation() const {
    const auto mm = [](double v) { return detail::number_text(std::round(v * 100.0) / 100.0) + " mm"; };
    constexpr double kLeastGap = 0.2;  // mm, one supplier's rule for two flanges that meet
    if (flange_end_overlap_ > 0.0)
        return "the flange ends would run into each other by " + mm(flange_end_overlap_) +
               " at the corners: file them before the second bend, or cut the notches for a gap";
    if (flange_end_gap_ < kLeastGap)
        return "the flange ends stand only " + mm(flange_end_gap_) + " apart at the corners, less than " +
               mm(kLeastGap) + ": they may bind before the bends are square";
    return "the flange ends stand " + mm(flange_end_gap_) + " apart at the corners";
}

Outline Pan::outline() const {
    const double w = blank_length();
    const double h = blank_width();
    const auto [left, right, bottom, top] = notch_;
    return Outline({{left, 0.0},
                    {w - right, 0.0},
                    {w - right, bottom},
                    {w, bottom},
                    {w, h - top},
                    {w - right, h - top},
                    {w - right, h},
                    {left, h},
                    {left, h - top},
                    {0.0, h - top},
                    {0.0, bottom},
                    {left, bottom}});
}

std::array<Point, 2> PanLine::ends(double position) const noexcept {
    const bool upright = side == Side::left || side == Side::right;
    if (upright) return {Point{position, from}, Point{position, to}};
    return {Point{from, position}, Point{to, position}};
}

std::array<PanLine, 4> Pan::bend_lines() const {
    const double from_x = notch_[index(Side::left)];
    const double to_x = blank_length() - notch_[index(Side::right)];
    const double from_y = notch_[index(Side::bottom)];
    const double to_y = blank_width() - notch_[index(Side::top)];
    return {PanLine{Side::left, lengthwise_.bend_lines().front(), from_y, to_y},
            PanLine{Side::right, lengthwise_.bend_lines().back(), from_y, to_y},
            PanLine{Side::bottom, crosswise_.bend_lines().front(), from_x, to_x},
            PanLine{Side::top, crosswise_.bend_lines().back(), from_x, to_x}};
}

namespace {

constexpr std::array<std::size_t, 4> kFreeEdge{9, 3, 0, 6};  // of each flange, among the sides of Pan::outline
constexpr std::array<const char*, 4> kSideName{"left", "right", "bottom", "top"};

bool upright(Side side) noexcept { return side == Side::left || side == Side::right; }

/// How far past the flange's edge an ear stands.
double past_edge(double inside, double radius) { return inside < radius ? radius - inside : 0.0; }

}  // namespace

EaredBlank with_ears(const Pan& pan, std::span<const PinEar> ears) {
    const PanSize& size = pan.size();
    const double setback = bend::setback(90.0, size.radius, size.thickness);
    const double wall = size.measured == Measured::inside ? size.thickness : 0.0;  // outer face past what is measured
    const std::array<PanLine, 4> lines = pan.bend_lines();
    const Ring corners = pan.outline().corners();
    // The corners in the order Pan::outline gives them, which Outline keeps.
    Path edge(corners, std::vector<double>(corners.size(), 0.0), true);
    EaredBlank out{edge, 0.0, 0.0, {}, lines, {}};

    std::array<const PinEar*, 4> on{};
    std::array<double, 4> inside{};
    for (std::size_t i = 0; i < ears.size(); ++i) {
        const PinEar& ear = ears[i];
        const std::string at = "ears[" + std::to_string(i) + "].";
        detail::require_positive((at + "radius").c_str(), ear.radius);
        detail::require_positive((at + "pin_diameter").c_str(), ear.pin_diameter);
        detail::require_finite((at + "along").c_str(), ear.along);
        detail::require_finite((at + "behind").c_str(), ear.behind);
        if (upright(ear.side) == upright(ear.from))
            throw InvalidInput(at + "from", kSideName[index(ear.from)], "a side next to the ear's own");
        if (on[index(ear.side)] != nullptr)
            throw InvalidInput(at + "side", kSideName[index(ear.side)], "another than that of an ear before it");
        on[index(ear.side)] = &ear;
        inside[index(ear.side)] = size.depth[index(ear.side)] + wall - ear.behind;
    }
    // From the edge of highest number down, so that the numbers of those to come stay right.
    for (const Side side : {Side::left, Side::top, Side::right, Side::bottom}) {
        const std::size_t k = index(side);
        if (on[k] == nullptr) continue;
        const PinEar& ear = *on[k];
        // A flange is flat along its bend: the place of the neighbour's outer face is as far from its tangent line on
        // the base as the setback.
        const BendLine& near = lines[index(ear.from)].line;
        const bool low = ear.from == Side::left || ear.from == Side::bottom;
        const double place = low ? near.tangent[1] + (ear.along - setback) : near.tangent[0] - (ear.along - setback);
        const double from = upright(side) ? pan.notch()[index(Side::bottom)] : pan.notch()[index(Side::left)];
        const double to = upright(side) ? pan.blank_width() - pan.notch()[index(Side::top)]
                                        : pan.blank_length() - pan.notch()[index(Side::right)];
        if (!(place >= from && place <= to))
            throw InvalidInput("ears", ear.along, "on the flange, between its corner notches");
        const bool backwards = side == Side::left || side == Side::top;  // the outline runs counter-clockwise
        out.outline =
            with_ear(out.outline, kFreeEdge[k], Ear{backwards ? to - place : place - from, inside[k], ear.radius});
        out.past[k] = past_edge(inside[k], ear.radius);
    }
    const double left = out.past[index(Side::left)];
    const double below = out.past[index(Side::bottom)];
    out.length = left + pan.blank_length() + out.past[index(Side::right)];
    out.width = below + pan.blank_width() + out.past[index(Side::top)];
    out.outline = out.outline.moved(Pose{left, below, 0.0});
    for (PanLine& l : out.bend_lines) {
        const bool across = upright(l.side);
        l.line = l.line.moved(across ? left : below);
        l.from += across ? below : left;
        l.to += across ? below : left;
    }
    for (const PinEar& ear : ears) {
        const BendLine& near = out.bend_lines[index(ear.from)].line;
        const bool low = ear.from == Side::left || ear.from == Side::bottom;
        const double place = low ? near.tangent[1] + (ear.along - setback) : near.tangent[0] - (ear.along - setback);
        const bool start = ear.side == Side::left || ear.side == Side::bottom;
        const double deep = out.past[index(ear.side)] + inside[index(ear.side)];
        const double across = start ? deep : (upright(ear.side) ? out.length : out.width) - deep;
        const Point at = upright(ear.side) ? Point{across, place} : Point{place, across};
        out.pins.push_back({at, ear.pin_diameter, ear.behind - setback - 0.5 * ear.pin_diameter});
    }
    return out;
}

}  // namespace foldswing::blank
