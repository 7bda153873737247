// Right cones and frustums, cut square or by planes.
#include <algorithm>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"
#include "unroll.hpp"

namespace foldswing::development {
namespace {

using detail::Frame;
using detail::Piece;
using foldswing::detail::kDegree;
using foldswing::detail::number_text;
using foldswing::detail::require;
using foldswing::detail::sin_cos_deg;

/// The right cone through two circles, and one cut of it: distance from the apex along the axis, over 1 + lean cos.
struct Conic {
    double reach = 0.0;  ///< of the plane along the axis from the apex
    double lean = 0.0;
    double high_deg = 0.0;
    [[nodiscard]] double at(double p) const { return reach / (1.0 + lean * foldswing::detail::cos_deg(p - high_deg)); }
    [[nodiscard]] double rate(double p) const {
        const double under = 1.0 + lean * foldswing::detail::cos_deg(p - high_deg);
        return kDegree * reach * lean * foldswing::detail::sin_deg(p - high_deg) / (under * under);
    }
};

Conic conic(const char* name, const Cut& cut, double reach, double half_tan, bool apex_above) {
    require(cut.tilt_deg >= 0.0 && cut.tilt_deg < 90.0, (std::string(name) + ".tilt_deg").c_str(), cut.tilt_deg,
            "0 or more and under 90");
    foldswing::detail::require_finite((std::string(name) + ".high_deg").c_str(), cut.high_deg);
    const double lean = half_tan * foldswing::detail::tan_half_deg(2.0 * cut.tilt_deg);
    if (!(lean < 1.0))
        throw InvalidInput(std::string(name) + ".tilt_deg", cut.tilt_deg,
                           "under " + number_text(90.0 - std::atan(half_tan) / kDegree) +
                               ", the slope of the cone's side: the plane runs out of the cone; tilt it less");
    return {reach, apex_above ? lean : -lean, cut.high_deg};
}

}  // namespace

Pattern cone(double diameter, double height, double top_diameter, const Cut& bottom, const Cut& top, const Sheet& sheet,
             const Drawn& drawn) {
    foldswing::detail::require_positive("diameter", diameter);
    foldswing::detail::require_positive("height", height);
    foldswing::detail::require_not_negative("top_diameter", top_diameter);
    detail::require_valid(sheet);
    detail::require_valid(drawn);
    if (diameter == top_diameter)
        throw InvalidInput("top_diameter", top_diameter, "other than the bottom's: that is a cylinder, ask for one");
    const bool above = diameter > top_diameter;
    const bool full = top_diameter == 0.0;
    // Half the difference of the diameters is half the cone's opening: the edges, cut square to the sheet, move alike.
    const double half_tan = std::abs(0.5 * (diameter - top_diameter)) / height;
    const double half_sin = half_tan / std::hypot(1.0, half_tan);
    const double half_cos = 1.0 / std::hypot(1.0, half_tan);
    const double inward = half_cos * detail::to_middle(sheet);
    const double bottom_radius = 0.5 * diameter + inward;
    const double top_radius = full ? 0.0 : 0.5 * top_diameter + inward;
    require(bottom_radius > 0.0, "diameter", diameter, "more than the thickness of the sheet");
    require(full || top_radius > 0.0, "top_diameter", top_diameter, "more than the thickness of the sheet");
    if (full && top.tilt_deg != 0.0)
        throw InvalidInput("top.tilt_deg", top.tilt_deg, "0 where the cone runs to its apex");

    const Conic low = conic("bottom", bottom, bottom_radius / half_tan, half_tan, above);
    const Conic high = conic("top", top, top_radius / half_tan, half_tan, above);
    const auto vector_of = [](double k, const Conic& c) {
        const auto [s, cosine] = sin_cos_deg(c.high_deg);
        return Point{k * c.lean * cosine, k * c.lean * s};
    };
    // far - near > 0 all round, both over their own 1 + lean cos: cross-multiplied it is a constant and one cosine.
    const Conic& far = above ? low : high;
    const Conic& near = above ? high : low;
    const Point swing = vector_of(far.reach, near) - vector_of(near.reach, far);
    if (!(far.reach - near.reach > std::hypot(swing.x, swing.y)))
        throw InvalidInput("height", height,
                           "enough for the two cuts, which cross inside the cone: make it higher or tilt them less");

    const double apex = above ? low.reach : -low.reach;
    Piece piece;
    piece.from = 0.0;
    piece.to = 360.0;
    piece.parts = drawn.lines;
    piece.label = detail::round_label;
    piece.still = full ? detail::Still::top : detail::Still::neither;
    piece.frame = [=](double p) {
        const double s = foldswing::detail::sin_deg(p);
        const double c = foldswing::detail::cos_deg(p);
        const auto end = [&](const Conic& cut) {
            const double d = cut.at(p);
            return Point3{d * half_tan * c, d * half_tan * s, above ? apex - d : apex + d};
        };
        const auto moves = [&](const Conic& cut) {
            const double d = kDegree * cut.at(p) * half_tan;
            const double d_rate = cut.rate(p);
            return Point3{d_rate * half_tan * c - d * s, d_rate * half_tan * s + d * c, above ? -d_rate : d_rate};
        };
        return Frame{end(low), moves(low), end(high), moves(high)};
    };
    piece.unrolled = [=](double p) {
        const double s = foldswing::detail::sin_deg((p - 180.0) * half_sin);
        const double c = foldswing::detail::cos_deg((p - 180.0) * half_sin);
        const auto place = [&](const Conic& cut) {
            const double rho = cut.at(p) / half_cos;
            return Point{rho * s, above ? -rho * c : rho * c};
        };
        return std::pair{place(low), place(high)};
    };
    Pattern pattern = detail::unroll(full ? "cone" : "frustum", {piece}, sheet, drawn);
    if (bottom.tilt_deg == 0.0 && top.tilt_deg == 0.0)
        pattern.area = std::numbers::pi * (bottom_radius + top_radius) * std::abs(low.reach - high.reach) / half_cos;
    return pattern;
}

}  // namespace foldswing::development
