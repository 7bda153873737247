#pragma once
/// \file bend_rule.hpp  The k-factor of a bend by the rules in print, each with its source and the range it is for.
///
/// Lengths: mm; angles: degrees turned through from flat; R inside radius, T thickness, a the bend angle in radians.
/// Every rule comes to a k-factor that depends on R/T alone: a rule printed as an allowance or a deduction is turned
/// into the k-factor with which bend.hpp gives back the printed figure, its rounded coefficient of R included. No rule
/// replaces a test strip of the user's own metal on the user's own machine.
#include <array>
#include <foldswing/bend.hpp>
#include <span>
#include <vector>

namespace foldswing::bend {

enum class Rule {
    din6935,           ///< K = k/2, k = 0.65 + 0.5 log10(R/T) to R/T = 5, then 1
    din6935_tenths,    ///< the same k read from the diagram of a tables book: to the nearest tenth
    handbook_soft,     ///< 0.55 T + 1.57 R at 90 degrees: soft brass, soft copper
    handbook_medium,   ///< 0.64 T + 1.57 R: half-hard copper and brass, soft steel, aluminium
    handbook_hard,     ///< 0.71 T + 1.57 R: bronze, hard copper, cold-rolled and spring steel
    aviation,          ///< (0.01743 R + 0.0078 T) for each degree
    two_step,          ///< 0.33 below R = 2T, 0.5 from there on: jumps by 0.17 a T
    mid_plane,         ///< 0.5
    trade_school,      ///< deduction 0.43 R + 1.48 T at 90 degrees
    school_book,       ///< deduction 0.5 R + 1.5 T at 90 degrees
    air_bend_soft,     ///< generic table for air bending: 0.33 to R = T, 0.40 to 3T, 0.50 beyond
    air_bend_medium,   ///< 0.38, 0.43, 0.50
    air_bend_hard,     ///< 0.40, 0.45, 0.50
    bottoming_soft,    ///< the same table for metal pressed home in the die: 0.42, 0.46, 0.50; from memory
    bottoming_medium,  ///< 0.44, 0.47, 0.50; from memory
    bottoming_hard,    ///< 0.46, 0.48, 0.50; from memory
    coining_soft,      ///< and pressed until it is thinned: 0.38, 0.44, 0.50; from memory
    coining_medium,    ///< 0.41, 0.46, 0.50; from memory
    coining_hard,      ///< 0.44, 0.47, 0.50; from memory
};
inline constexpr std::array kRules{
    Rule::din6935,        Rule::din6935_tenths,  Rule::handbook_soft,  Rule::handbook_medium, Rule::handbook_hard,
    Rule::aviation,       Rule::two_step,        Rule::mid_plane,      Rule::trade_school,    Rule::school_book,
    Rule::air_bend_soft,  Rule::air_bend_medium, Rule::air_bend_hard,  Rule::bottoming_soft,  Rule::bottoming_medium,
    Rule::bottoming_hard, Rule::coining_soft,    Rule::coining_medium, Rule::coining_hard};

/// What a rule is for, and where it is printed.
struct RuleFacts {
    const char* word = "";     ///< its name, such as "din6935"
    const char* formula = "";  ///< as printed, in words and letters
    const char* source = "";   ///< text, place and how it was seen
    double angle_from_deg = 0.0;
    double angle_to_deg = 180.0;  ///< bend angles it is for
    double ratio_from = 0.0;
    double ratio_to = 0.0;      ///< R/T it is for; infinity where the source names no end
    bool pressed_home = false;  ///< for metal pressed home in a die, which few shops do: left out of `spread`
};
[[nodiscard]] const RuleFacts& facts(Rule rule);

/// How a bend stands to the range of a rule; several may hold, the first of them is told.
enum class Range { within, angle_outside, radius_below, radius_above, near_jump };

/// Whether the rule is for this bend. near_jump: R within kNearJump of the place where a stepped rule jumps, so that a
/// radius read a little wrong changes the blank by the whole step.
[[nodiscard]] Range range(Rule rule, double angle_deg, double radius, double thickness);
inline constexpr double kNearJump = 0.1;  ///< of R; a radius gauge tells no finer (common practice, no source)

/// The k-factor of a rule, also outside its range (see `range`), held to 0..1 where its formula leaves the metal.
/// \throws InvalidInput when radius < 0, thickness <= 0, or one is not finite; below the range of DIN 6935 its rules
/// have no figure and refuse
[[nodiscard]] double k_factor_by_rule(Rule rule, double radius, double thickness);

/// How many of many bends a rule is not for, their angle not looked at.
struct RangeCounts {
    std::size_t below = 0;
    std::size_t above = 0;
    std::size_t near_jump = 0;
};
/// The k-factors of many bends at once. \param radii, thicknesses one value for all, or one for each of `out`
/// \throws InvalidInput naming the place of the first bend that breaks a rule
RangeCounts k_factors_by_rule(Rule rule, std::span<const double> radii, std::span<const double> thicknesses,
                              std::span<double> out);

/// By how much the allowance of `two_step` jumps at R = 2T: 0.17 a T.
[[nodiscard]] double two_step_jump(double angle_deg, double thickness);

/// A shop's own k-factors over R/T, straight between its points; outside them the end one holds.
class KTable {
  public:
    /// \param ratios R/T, strictly increasing, >= 0  \param k_factors 0..1, as many
    KTable(std::vector<double> ratios, std::vector<double> k_factors);
    [[nodiscard]] double k_factor(double radius, double thickness) const;
    [[nodiscard]] Range range(double radius, double thickness) const;
    [[nodiscard]] const std::vector<double>& ratios() const noexcept { return ratios_; }
    [[nodiscard]] const std::vector<double>& k_factors() const noexcept { return k_factors_; }

  private:
    std::vector<double> ratios_;
    std::vector<double> k_factors_;
};

/// What one rule makes of a bend.
struct RuleBend {
    Rule rule = Rule::mid_plane;
    Range range = Range::within;
    double k_factor = 0.0;
    double allowance = 0.0;
    double deduction = 0.0;  ///< NaN at 180
};

/// What every rule makes of one bend, in the order of kRules, those for metal pressed home left out, and how far they
/// disagree.
struct Spread {
    std::vector<RuleBend> bends;
    double shortest = 0.0;  ///< least allowance of the rules that are for this bend
    double longest = 0.0;
    double spread = 0.0;  ///< longest - shortest: by how much the blank is in doubt for this bend
};
/// \param angle_deg more than 0 to 180
[[nodiscard]] Spread spread(double angle_deg, double radius, double thickness);

}  // namespace foldswing::bend
