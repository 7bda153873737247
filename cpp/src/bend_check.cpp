#include <algorithm>
#include <array>
#include <foldswing/bend_check.hpp>
#include <limits>

#include "check.hpp"

namespace foldswing::bend_check {
namespace {

constexpr double kInch = 25.4;  // mm
constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

/// A row of the air-bending force chart for mild steel: inches, as printed.
struct VDie {
    double opening;
    double flange;
    double radius;
};
constexpr double kMisprint = 0.0;  // the chart repeats the flange of V = 3.0 in for 4.0 in
constexpr std::array<VDie, 21> kChart{{{0.156, 0.125, 0.031}, {0.25, 0.188, 0.031},    {0.281, 0.203, 0.047},
                                       {0.313, 0.219, 0.047}, {0.375, 0.281, 0.063},   {0.5, 0.344, 0.078},
                                       {0.563, 0.406, 0.094}, {0.625, 0.438, 0.109},   {0.688, 0.531, 0.125},
                                       {0.75, 0.563, 0.141},  {1.0, 0.688, 0.156},     {1.25, 0.875, 0.203},
                                       {1.5, 1.125, 0.25},    {2.0, 1.375, 0.313},     {2.5, 1.75, 0.406},
                                       {3.0, 2.188, 0.516},   {4.0, kMisprint, 0.625}, {5.0, 3.5, 0.75},
                                       {6.0, 4.5, 1.031},     {8.0, 5.5, 1.313},       {10.0, 6.875, 1.625}}};

double from_chart(double opening, double VDie::*column) {
    const double v = opening / kInch;
    // An opening of the chart's own end, given in mm, may round to just past it.
    constexpr double kRoundingRel = 1e-12;
    detail::require(
        v >= kChart.front().opening * (1.0 - kRoundingRel) && v <= kChart.back().opening * (1.0 + kRoundingRel),
        "opening", opening, "a V opening of 3.9624 to 254 mm (0.156 to 10 in): there the chart ends");
    const VDie* below = &kChart.front();
    const VDie* above = below;
    for (const VDie& die : kChart) {
        if (die.*column == kMisprint) continue;
        below = above;
        above = &die;
        if (below != above && die.opening >= v) break;
    }
    const double share = (v - below->opening) / (above->opening - below->opening);
    return kInch * ((1.0 - share) * below->*column + share * above->*column);
}

void require_angle(double angle_deg) {
    detail::require(angle_deg >= 0.0 && angle_deg <= 180.0, "angle_deg", angle_deg,
                    "a bend angle (turned through) of 0 to 180");
}

}  // namespace

double least_radius(std::span<const RadiusRow> rows, double thickness, Grain grain, double angle_deg) {
    detail::require_positive("thickness", thickness);
    require_angle(angle_deg);
    detail::require(!rows.empty(), "rows", 0.0, "at least one row");
    double before = 0.0;
    for (const RadiusRow& row : rows) {
        detail::require(row.up_to > before, "up_to", row.up_to, "> 0 and ascending");
        detail::require_not_negative("radius", row.radius);
        detail::require_not_negative("times_t", row.times_t);
        before = row.up_to;
    }
    const auto holds = [thickness](const RadiusRow& row) { return thickness <= row.up_to + kSameSheet; };
    auto row = std::find_if(rows.begin(), rows.end(), holds);
    if (row == rows.end()) return kUnknown;
    const bool own = grain == Grain::along && row->along >= 0.0;
    const bool next = angle_deg > kTabledTo || (grain == Grain::along && !own);
    if (next && std::isfinite(row->up_to)) {
        if (++row == rows.end()) return kUnknown;
    } else if (next) {
        return kUnknown;  // one figure for every thickness: there is no thicker row to take
    }
    const double times = own && row->along >= 0.0 ? row->along : row->times_t;
    const double least = std::max(row->radius, times * thickness);
    detail::require(std::isfinite(least), "thickness", thickness, "small enough for a finite result");
    return least;
}

double least_radius_from_reduction(double reduction_percent, double thickness) {
    detail::require(reduction_percent > 0.0 && reduction_percent <= 50.0, "reduction_percent", reduction_percent,
                    "more than 0 and at most 50, where the rule ends");
    detail::require_positive("thickness", thickness);
    const double radius = thickness * ((50.0 - reduction_percent) / reduction_percent);
    detail::require(std::isfinite(radius), "reduction_percent", reduction_percent, "large enough for a finite result");
    return radius;
}

double v_opening(double thickness) {
    detail::require_positive("thickness", thickness);
    constexpr double k6 = 0.105 * kInch;
    constexpr double k8 = 0.313 * kInch;
    constexpr double k10 = 0.5 * kInch;
    const double times = thickness <= k6 ? 6.0 : thickness <= k8 ? 8.0 : thickness <= k10 ? 10.0 : 12.0;
    const double opening = times * thickness;
    detail::require(std::isfinite(opening), "thickness", thickness, "small enough for a finite result");
    return opening;
}

double least_flange(double opening) { return from_chart(opening, &VDie::flange); }
double formed_radius(double opening) { return from_chart(opening, &VDie::radius); }

double air_bend_force(double strength, double length, double thickness, double opening, double k) {
    detail::require_positive("strength", strength);
    detail::require_positive("length", length);
    detail::require_positive("thickness", thickness);
    detail::require_positive("opening", opening);
    detail::require_positive("k", k);
    detail::require(thickness < opening, "thickness", thickness, "less than the V opening, or nothing goes in");
    const double force = k * strength * length * thickness * (thickness / opening);
    detail::require(std::isfinite(force), "strength", strength, "small enough for a finite result");
    return force;
}

double hole_distance(double thickness, bool countersunk) {
    detail::require_positive("thickness", thickness);
    const double distance = (countersunk ? 3.0 : 2.0) * thickness;
    detail::require(std::isfinite(distance), "thickness", thickness, "small enough for a finite result");
    return distance;
}

double relief_diameter(double radius, double thickness) {
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
    constexpr double kThin = 0.064 * kInch;
    constexpr double kThick = 0.128 * kInch;
    detail::require(thickness <= kThick + kSameSheet, "thickness", thickness,
                    "at most 3.25 mm (0.128 in): there the handbook's rule for relief holes ends");
    const double least = (thickness <= kThin + kSameSheet ? 0.125 : 0.1875) * kInch;
    const double diameter = std::max(2.0 * radius, least);
    detail::require(std::isfinite(diameter), "radius", radius, "small enough for a finite result");
    return diameter;
}

double springback_ratio(double tool_radius, double thickness, double yield_strength, double modulus) {
    detail::require_not_negative("tool_radius", tool_radius);
    detail::require_positive("thickness", thickness);
    detail::require_positive("yield_strength", yield_strength);
    detail::require_positive("modulus", modulus);
    const double x = tool_radius / thickness * (yield_strength / modulus);
    detail::require(
        x < kElastic, "tool_radius", tool_radius,
        "so small that R Y/(E T) stays below 0.5: from there the sheet springs flat again, and the formula ends");
    const double left = 1.0 - 2.0 * x;
    return left * left * (1.0 + x);
}

double springback_factor(std::span<const FactorRow> rows, double radius, double thickness) {
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
    detail::require(!rows.empty(), "rows", 0.0, "at least one row");
    double before = 0.0;
    for (const FactorRow& row : rows) {
        detail::require(std::isfinite(row.radius_over_t) && row.radius_over_t > before, "radius_over_t",
                        row.radius_over_t, "finite, > 0 and ascending");
        detail::require(row.factor > 0.0 && row.factor <= 1.0, "factor", row.factor, "> 0 and <= 1");
        before = row.radius_over_t;
    }
    const double ratio = radius / thickness;
    const auto above =
        std::find_if(rows.begin(), rows.end(), [ratio](const FactorRow& r) { return r.radius_over_t >= ratio; });
    if (above == rows.end()) return kUnknown;
    if (above->radius_over_t == ratio) return above->factor;
    if (above == rows.begin()) return kUnknown;
    const FactorRow& a = *(above - 1);
    const double share = std::log(ratio / a.radius_over_t) / std::log(above->radius_over_t / a.radius_over_t);
    return (1.0 - share) * a.factor + share * above->factor;
}

OverBend over_bend(double angle_deg, double radius, double thickness, double factor) {
    require_angle(angle_deg);
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
    detail::require(factor > 0.0 && factor <= 1.0, "factor", factor, "> 0 and <= 1");
    OverBend out;
    out.factor = factor;
    out.angle_deg = angle_deg / factor;
    detail::require(std::isfinite(out.angle_deg), "factor", factor, "large enough for a finite result");
    out.extra_deg = (1.0 - factor) * out.angle_deg;
    // R_tool = kR (R + T/2) - T/2, without the difference of nearly equal halves of the thickness
    out.radius = std::max(0.0, factor * radius - (1.0 - factor) * (0.5 * thickness));
    return out;
}

OverBend over_bend_by_stiffness(double angle_deg, double radius, double thickness, double yield_strength,
                                double modulus) {
    require_angle(angle_deg);
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
    detail::require_positive("yield_strength", yield_strength);
    detail::require_positive("modulus", modulus);
    const double wanted = radius / thickness * (yield_strength / modulus);
    const double middle = radius + 0.5 * thickness;
    detail::require(std::isfinite(wanted) && std::isfinite(middle), "radius", radius,
                    "small enough for a finite result");
    // x / ((1 - 2x)^2 (1 + x)) rises from 0 to infinity as x goes from 0 to 0.5: halve the bracket down to rounding.
    // The right side is formed without division, so that it stays finite at the end.
    double low = 0.0;
    double high = std::min(wanted, kElastic);
    for (double x = 0.5 * (low + high); x > low && x < high; x = 0.5 * (low + high)) {
        const double left = 1.0 - 2.0 * x;
        (x < wanted * left * left * (1.0 + x) ? low : high) = x;
    }
    // With m = T/2: factor = (R_tool + m)/(R + m); 1 - factor from what the radius loses, 1 - (1-2x)^2 (1+x) = x (3 - 4
    // x^2)
    const double loss = low * (3.0 - 4.0 * low * low);
    const double left = 1.0 - 2.0 * low;
    const double tool_radius = radius * (left * left * (1.0 + low));
    OverBend out;
    out.radius = tool_radius;
    out.factor = (tool_radius + 0.5 * thickness) / middle;
    out.extra_deg = angle_deg * (radius * loss / (tool_radius + 0.5 * thickness));
    out.angle_deg = angle_deg + out.extra_deg;
    detail::require(std::isfinite(out.angle_deg), "radius", radius, "small enough for a finite result");
    return out;
}

}  // namespace foldswing::bend_check
