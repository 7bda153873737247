#include <algorithm>
#include <cmath>
#include <foldswing/bend_rule.hpp>
#include <limits>
#include <numbers>
#include <optional>
#include <span>
#include <string>

#include "check.hpp"
#include "degrees.hpp"
#include "din6935.hpp"

namespace foldswing::bend {
namespace {

constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kQuarterTurn = std::numbers::pi / 2.0;
constexpr double kTwoStepAt = 2.0;
constexpr double kTwoStep = 0.5 - 0.33;
constexpr double kDinLeast = 0.0502;  // R/T just above 10^-1.3, where its k is 0

constexpr const char* kDin = "DIN 6935 (1975-10) as printed in a German trade tables book; read";
constexpr const char* kHandbook =
    "Machinery's Handbook, 31st edition, eq. 32-34, meant for simple tools and bench work; read";
constexpr const char* kEncyclopedia = "generic table for air bending in an encyclopedia article; read in a mirror";
constexpr const char* kPressedHome =
    "generic table for bottoming and coining in an encyclopedia article; from memory, check before relying on it";

// Obtuse openings over 165 degrees (turned through less than 15) have no allowance of their own in the standard.
constexpr std::array<RuleFacts, kRules.size()> kFacts{{
    {"din6935", "K = k/2, k = 0.65 + 0.5 log10(R/T) to R/T = 5, k = 1 above", kDin, 15.0, 180.0, kDinLeast, kInf},
    {"din6935_tenths", "k of DIN 6935 to the nearest tenth, as read from the diagram; 0.7 for R/T = 1.2",
     "German trade tables book, worked example after DIN 6935; the example read, the other steps are its rounding",
     15.0, 180.0, kDinLeast, kInf},
    {"handbook_soft", "L = 0.55 T + 1.57 R at 90 degrees, in proportion to the angle: soft brass, soft copper",
     kHandbook, 0.0, 180.0, 0.0, kInf},
    {"handbook_medium",
     "L = 0.64 T + 1.57 R at 90 degrees, in proportion to the angle: half-hard copper and brass, soft steel, aluminium",
     kHandbook, 0.0, 180.0, 0.0, kInf},
    {"handbook_hard",
     "L = 0.71 T + 1.57 R at 90 degrees, in proportion to the angle: bronze, hard copper, cold-rolled and spring steel",
     kHandbook, 0.0, 180.0, 0.0, kInf},
    {"aviation", "BA = (0.01743 R + 0.0078 T) for each degree",
     "FAA-H-8083-31 ch. 4; its wording from memory, form and coefficients read in a trade workbook", 1.0, 180.0, 0.0,
     kInf},
    {"two_step", "K = 0.33 below R = 2T, 0.5 above; taken as 0.5 at R = 2T, which the text leaves open",
     "Kalpakjian and Schmid, Manufacturing Engineering and Technology, 6th ed. SI, eq. 16.2; read", 0.0, 180.0, 0.0,
     kInf},
    {"mid_plane", "K = 0.5", "Carvill, Mechanical Engineer's Data Handbook, p. 203; read", 0.0, 180.0, 0.0, kInf},
    {"trade_school", "deduction v = 0.43 R + 1.48 T", "German trade-school sheet after DIN 6935 (1975-10); read", 90.0,
     90.0, 0.0, kInf},
    {"school_book", "deduction v = 0.5 R + 1.5 T", "Westermann textbook sample, chapter 16.8, p. 206; read", 90.0, 90.0,
     0.0, kInf},
    {"air_bend_soft", "K = 0.33 to R = T, 0.40 to 3T, 0.50 beyond: soft metal", kEncyclopedia, 0.0, 180.0, 0.0, kInf},
    {"air_bend_medium", "K = 0.38 to R = T, 0.43 to 3T, 0.50 beyond: medium metal", kEncyclopedia, 0.0, 180.0, 0.0,
     kInf},
    {"air_bend_hard", "K = 0.40 to R = T, 0.45 to 3T, 0.50 beyond: hard metal", kEncyclopedia, 0.0, 180.0, 0.0, kInf},
    {"bottoming_soft", "K = 0.42 to R = T, 0.46 to 3T, 0.50 beyond: soft metal", kPressedHome, 0.0, 180.0, 0.0, kInf,
     true},
    {"bottoming_medium", "K = 0.44 to R = T, 0.47 to 3T, 0.50 beyond: medium metal", kPressedHome, 0.0, 180.0, 0.0,
     kInf, true},
    {"bottoming_hard", "K = 0.46 to R = T, 0.48 to 3T, 0.50 beyond: hard metal", kPressedHome, 0.0, 180.0, 0.0, kInf,
     true},
    {"coining_soft", "K = 0.38 to R = T, 0.44 to 3T, 0.50 beyond: soft metal", kPressedHome, 0.0, 180.0, 0.0, kInf,
     true},
    {"coining_medium", "K = 0.41 to R = T, 0.46 to 3T, 0.50 beyond: medium metal", kPressedHome, 0.0, 180.0, 0.0, kInf,
     true},
    {"coining_hard", "K = 0.44 to R = T, 0.47 to 3T, 0.50 beyond: hard metal", kPressedHome, 0.0, 180.0, 0.0, kInf,
     true},
}};

void require_section(double radius, double thickness) {
    detail::require_not_negative("radius", radius);
    detail::require_positive("thickness", thickness);
    detail::require(std::isfinite(radius / thickness), "radius", radius, "small enough for a finite radius/thickness");
}

/// A rule that is a straight line over R/T.
struct Line {
    double at_zero = 0.0;
    double slope = 0.0;
    [[nodiscard]] double at(double ratio) const { return at_zero + slope * ratio; }
};

/// K of an allowance c T + d R for a quarter turn.
constexpr Line of_quarter(double for_t, double for_r) {
    return {for_t / kQuarterTurn, (for_r - kQuarterTurn) / kQuarterTurn};
}

/// K of a deduction d R + c T at 90 degrees: 2 (R + T) less it is the allowance.
constexpr Line of_square_deduction(double for_t, double for_r) { return of_quarter(2.0 - for_t, 2.0 - for_r); }

constexpr std::optional<Line> line(Rule rule) {
    switch (rule) {
        case Rule::handbook_soft:
            return of_quarter(0.55, 1.57);
        case Rule::handbook_medium:
            return of_quarter(0.64, 1.57);
        case Rule::handbook_hard:
            return of_quarter(0.71, 1.57);
        case Rule::aviation:
            return of_quarter(90.0 * 0.0078, 90.0 * 0.01743);
        case Rule::mid_plane:
            return Line{0.5, 0.0};
        case Rule::trade_school:
            return of_square_deduction(1.48, 0.43);
        case Rule::school_book:
            return of_square_deduction(1.5, 0.5);
        default:
            return std::nullopt;
    }
}

/// A rule that jumps at R = T and at R = 3T, to 0.5 there.
struct Steps {
    double to_one = 0.5;
    double to_three = 0.5;
    [[nodiscard]] double at(double ratio) const { return ratio <= 1.0 ? to_one : ratio <= 3.0 ? to_three : 0.5; }
};

constexpr std::optional<Steps> steps(Rule rule) {
    switch (rule) {
        case Rule::air_bend_soft:
            return Steps{0.33, 0.40};
        case Rule::air_bend_medium:
            return Steps{0.38, 0.43};
        case Rule::air_bend_hard:
            return Steps{0.40, 0.45};
        case Rule::bottoming_soft:
            return Steps{0.42, 0.46};
        case Rule::bottoming_medium:
            return Steps{0.44, 0.47};
        case Rule::bottoming_hard:
            return Steps{0.46, 0.48};
        case Rule::coining_soft:
            return Steps{0.38, 0.44};
        case Rule::coining_medium:
            return Steps{0.41, 0.46};
        case Rule::coining_hard:
            return Steps{0.44, 0.47};
        default:
            return std::nullopt;
    }
}

/// k = 2K to the nearest tenth.
double in_tenths(double k_factor) { return 0.05 * std::round(20.0 * k_factor); }

/// May leave the metal where the rule is a line; at least kDinLeast for the rules of DIN 6935.
double raw(Rule rule, double ratio) {
    switch (rule) {
        case Rule::din6935:
            return detail::k_din6935(ratio);
        case Rule::din6935_tenths:
            return in_tenths(detail::k_din6935(ratio));
        case Rule::two_step:
            return ratio < kTwoStepAt ? 0.33 : 0.5;
        default:
            if (const auto stair = steps(rule)) return stair->at(ratio);
            return line(rule)->at(ratio);
    }
}

bool near(double ratio, double at) { return std::abs(ratio - at) <= kNearJump * at; }

bool near_a_jump(Rule rule, double ratio) {
    if (rule == Rule::two_step) return near(ratio, kTwoStepAt);
    return steps(rule).has_value() && (near(ratio, 1.0) || near(ratio, 3.0));
}

/// Does what names the place of the bend where it throws.
template <class Do>
void at_place(std::size_t i, Do what) {
    try {
        what();
    } catch (const InvalidInput& e) {
        throw e.at(std::to_string(i));
    }
}

}  // namespace

const RuleFacts& facts(Rule rule) { return kFacts.at(static_cast<std::size_t>(rule)); }

Range range(Rule rule, double angle_deg, double radius, double thickness) {
    require_section(radius, thickness);
    detail::require(angle_deg >= 0.0 && angle_deg <= 180.0, "angle_deg", angle_deg,
                    "a bend angle (turned through) of 0 to 180");
    const RuleFacts& f = facts(rule);
    const double ratio = radius / thickness;
    if (angle_deg < f.angle_from_deg || angle_deg > f.angle_to_deg) return Range::angle_outside;
    if (ratio < f.ratio_from) return Range::radius_below;
    // A line that leaves the metal is past what its rule was made for, whether or not the source says so.
    const auto straight = line(rule);
    if (ratio > f.ratio_to || (straight && straight->at(ratio) < 0.0)) return Range::radius_above;
    return near_a_jump(rule, ratio) ? Range::near_jump : Range::within;
}

double k_factor_by_rule(Rule rule, double radius, double thickness) {
    require_section(radius, thickness);
    // The two that have no figure below their range.
    if (rule == Rule::din6935) return k_factor_din6935(radius, thickness);
    if (rule == Rule::din6935_tenths) return in_tenths(k_factor_din6935(radius, thickness));
    return std::clamp(raw(rule, radius / thickness), 0.0, 1.0);
}

RangeCounts k_factors_by_rule(Rule rule, std::span<const double> radii, std::span<const double> thicknesses,
                              std::span<double> out) {
    const std::size_t n = out.size();
    const std::size_t radius_step = radii.size() == 1 ? 0 : 1;
    const std::size_t thickness_step = thicknesses.size() == 1 ? 0 : 1;
    if ((radius_step == 1 && radii.size() != n) || (thickness_step == 1 && thicknesses.size() != n))
        throw InvalidInput("radius", std::to_string(radii.size()) + " values", "one, or one for each bend");
    const RuleFacts& f = facts(rule);
    const auto straight = line(rule);
    RangeCounts counts;
    for (std::size_t i = 0; i < n; ++i) {
        const double radius = radii[i * radius_step];
        const double thickness = thicknesses[i * thickness_step];
        const double ratio = radius / thickness;
        // One comparison holds off NaN and the infinite: ratio < infinity fails for both.
        if (!(radius >= 0.0 && thickness > 0.0 && ratio < kInf && thickness < kInf))
            at_place(i, [&] { require_section(radius, thickness); });
        if (straight) {
            const double k = straight->at(ratio);
            counts.above += k < 0.0 ? 1 : 0;
            out[i] = k > 0.0 ? k : 0.0;
            continue;
        }
        if (ratio < f.ratio_from) {
            ++counts.below;
            at_place(i, [&] { out[i] = k_factor_by_rule(rule, radius, thickness); });
            continue;
        }
        counts.near_jump += near_a_jump(rule, ratio) ? 1 : 0;
        out[i] = raw(rule, ratio);
    }
    return counts;
}

double two_step_jump(double angle_deg, double thickness) {
    detail::require(angle_deg >= 0.0 && angle_deg <= 180.0, "angle_deg", angle_deg,
                    "a bend angle (turned through) of 0 to 180");
    detail::require_positive("thickness", thickness);
    return kTwoStep * angle_deg * detail::kDegree * thickness;
}

KTable::KTable(std::vector<double> ratios, std::vector<double> k_factors)
    : ratios_(std::move(ratios)), k_factors_(std::move(k_factors)) {
    if (ratios_.empty() || ratios_.size() != k_factors_.size())
        throw InvalidInput("k_factors", std::to_string(k_factors_.size()) + " values",
                           "one for each radius/thickness (" + std::to_string(ratios_.size()) + "), and at least one");
    for (std::size_t i = 0; i < ratios_.size(); ++i) {
        detail::require_not_negative("ratios", ratios_[i]);
        detail::require(i == 0 || ratios_[i] > ratios_[i - 1], "ratios", ratios_[i], "larger than the one before it");
        detail::require(k_factors_[i] >= 0.0 && k_factors_[i] <= 1.0, "k_factors", k_factors_[i],
                        "from 0 (inside face) to 1 (outside face)");
    }
}

double KTable::k_factor(double radius, double thickness) const {
    require_section(radius, thickness);
    const double ratio = radius / thickness;
    const auto above = std::upper_bound(ratios_.begin(), ratios_.end(), ratio);
    if (above == ratios_.begin()) return k_factors_.front();
    if (above == ratios_.end()) return k_factors_.back();
    const auto i = static_cast<std::size_t>(above - ratios_.begin());
    const double part = (ratio - ratios_[i - 1]) / (ratios_[i] - ratios_[i - 1]);
    return std::lerp(k_factors_[i - 1], k_factors_[i], part);
}

Range KTable::range(double radius, double thickness) const {
    require_section(radius, thickness);
    const double ratio = radius / thickness;
    if (ratio < ratios_.front()) return Range::radius_below;
    return ratio > ratios_.back() ? Range::radius_above : Range::within;
}

Spread spread(double angle_deg, double radius, double thickness) {
    detail::require(angle_deg > 0.0 && angle_deg <= 180.0, "angle_deg", angle_deg,
                    "a bend angle (turned through) of more than 0 to 180");
    Spread out;
    out.shortest = kInf;
    out.longest = -kInf;
    for (const Rule rule : kRules) {
        if (facts(rule).pressed_home) continue;
        RuleBend b{rule, range(rule, angle_deg, radius, thickness), kNaN, kNaN, kNaN};
        if (b.range == Range::radius_below) {  // only the rules of DIN 6935 have such an end: no figure there
            out.bends.push_back(b);
            continue;
        }
        b.k_factor = k_factor_by_rule(rule, radius, thickness);
        b.allowance = bend_allowance(angle_deg, radius, thickness, b.k_factor);
        if (angle_deg < 180.0) b.deduction = bend_deduction(angle_deg, radius, thickness, b.k_factor);
        if (b.range == Range::within || b.range == Range::near_jump) {
            out.shortest = std::min(out.shortest, b.allowance);
            out.longest = std::max(out.longest, b.allowance);
        }
        out.bends.push_back(b);
    }
    out.spread = out.longest - out.shortest;
    return out;
}

}  // namespace foldswing::bend
