#include <cmath>
#include <foldswing/blank.hpp>
#include <numbers>

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

}  // namespace foldswing::blank
