#pragma once
/// \file bend_check.hpp  Whether a bend can be made as drawn: radius, flange, holes, relief, springback, force.
///
/// Lengths mm, angles degrees (bend angle: turned through from flat), strengths and moduli MPa, forces N. A check
/// answers with what is needed, what there is, and a sentence for the shop; what the tables do not say is "not known",
/// not "fine".
#include <foldswing/bend.hpp>
#include <span>
#include <string>

namespace foldswing::bend_check {

enum class Outcome : signed char {
    not_known,  ///< no figure for this metal, thickness or tool
    holds,
    fails,
};
/// "not known", "holds", "fails".
const char* word(Outcome outcome) noexcept;

/// What one check says. Lengths mm, or degrees where the check is of an angle.
struct Check {
    Outcome outcome = Outcome::not_known;
    double needed = 0.0;  ///< the limit; NaN where it is not known
    double there = 0.0;   ///< what it is held against
    std::string what;
    std::string number;
    std::string feel;    ///< what would be felt; empty unless it fails
    std::string advice;  ///< empty where it holds
};

/// Thicknesses this near are the same sheet (common practice, no source): 1.6 mm is the 1/16 in (1.5875) of a table.
inline constexpr double kSameSheet = 0.02;  // mm

/// One row of a table of least inside radii. It holds for thicknesses above the row before, up to its own.
struct RadiusRow {
    double up_to = 0.0;    ///< mm; infinity: any thickness
    double radius = 0.0;   ///< mm
    double times_t = 0.0;  ///< multiple of the thickness; the least radius is the larger of the two
    double along = -1.0;   ///< the multiple where the bend line runs along the grain; negative: the source gives none
};

enum class Grain : signed char { across, along };  ///< how the bend line runs to the grain

/// Up to this bend angle a tabled radius holds; beyond, the next thicker row (DIN 6935, as its table says).
inline constexpr double kTabledTo = 120.0;  // degrees

/// Least inside radius from a table, NaN where the table does not reach.
/// Along the grain, or bent through more than 120 degrees, the next thicker row is taken, as DIN 6935 asks (for tables
/// of other metals: common practice, no source); a row that gives its own figure along the grain is taken at its word.
/// \param rows up_to ascending, at least one; radius, times_t >= 0
[[nodiscard]] double least_radius(std::span<const RadiusRow> rows, double thickness, Grain grain, double angle_deg);

/// Least inside radius by the reduction of area in a tensile test: T (50/r - 1), 0 at 50 % (Kalpakjian eq. 16.5; a rule
/// of thumb). \param reduction_percent > 0, at most 50, where the rule ends
[[nodiscard]] double least_radius_from_reduction(double reduction_percent, double thickness);

/// Whether a radius is large enough. \param least as least_radius gives it, NaN where not known
[[nodiscard]] Check check_radius(double radius, double least, Grain grain);

// --- V die ---

/// The V opening recommended for a thickness: 6 T to 2.667 mm (0.105 in), 8 T to 7.95 mm (0.313 in), 10 T to 12.7 mm
/// (1/2 in), 12 T above (air-bending force chart, mild steel). Between two classes of the chart the wider one.
[[nodiscard]] double v_opening(double thickness);

/// Shortest outside flange that stays on a V opening when air bent to 90 degrees, by the same chart, straight between
/// its openings; V from 3.96 to 254 mm (0.156 to 10 in), where the chart ends. Its row of V = 4.0 in repeats the flange
/// of 3.0 in, a likely misprint, and is left out.
[[nodiscard]] double least_flange(double opening);

/// Inside radius that mild steel takes by itself over a V opening, by the same chart; range as least_flange.
[[nodiscard]] double formed_radius(double opening);

/// Whether a flange lies on both edges of the V all the way. \param flange outside size, mould point to edge
[[nodiscard]] Check check_flange(double flange, double opening);

/// Whether the brake can hold a flange. \param least what the fingers or the leaf need; 0 where not known, and then the
/// rule of one fabricator is taken: 4 T.
[[nodiscard]] Check check_grip(double flange, double thickness, double least);

/// Force of air bending, N: k S L T^2 / W. k is 1.33 for a V of about 8 T (from memory: Groover; an article read gives
/// 0.75 to 2.5). \param strength ultimate, MPa  \param length of the bend  \param opening of the V. All > 0.
[[nodiscard]] double air_bend_force(double strength, double length, double thickness, double opening, double k);
inline constexpr double kForceFactor = 1.33;

// --- holes and corners ---

/// Least distance of a hole's edge from the tangent line: 2 T for a plain hole (common practice, no source), 3 T for a
/// countersink (a design guide; another says 4 T + R from the bend, the same at 90 degrees from the outside face).
[[nodiscard]] double hole_distance(double thickness, bool countersunk);
/// Whether a hole is far enough from a bend. \param clear its edge to the tangent line; negative: it runs into the bend
[[nodiscard]] Check check_hole(double clear, double thickness, bool countersunk);

/// Diameter of the relief hole where two bends meet, mm: 2 R, and not less than 1/8 in up to 0.064 in of thickness and
/// 3/16 in up to 0.128 in (FAA-H-8083-31, for aluminium). \throws InvalidInput beyond 0.128 in, where the source ends
[[nodiscard]] double relief_diameter(double radius, double thickness);
/// Whether a corner relief is large enough. \param size diameter or width there is
[[nodiscard]] Check check_relief(double size, double radius, double thickness);

// --- springback ---

/// Where the formula of springback_ratio ends: the bend is elastic through and through.
inline constexpr double kElastic = 0.5;

/// Inside radius on the tool over inside radius once let go: 4 x^3 - 3 x + 1 with x = Ri Y/(E T) (Kalpakjian, from
/// memory), in the form (1 - 2 x)^2 (1 + x). Refused from x = 0.5, where it reaches 0 and the sheet goes flat again.
/// \param tool_radius Ri, >= 0  \param yield_strength Y, \param modulus E, both MPa and > 0
[[nodiscard]] double springback_ratio(double tool_radius, double thickness, double yield_strength, double modulus);

/// One row of a table of springback factors.
struct FactorRow {
    double radius_over_t = 0.0;  ///< wanted inside radius over thickness
    double factor = 1.0;         ///< angle wanted over angle on the tool
};
/// The factor between the rows of a table, straight over the logarithm of R/T; NaN beyond its ends.
/// \param rows radius_over_t > 0 and ascending, at least one; factor > 0, at most 1
[[nodiscard]] double springback_factor(std::span<const FactorRow> rows, double radius, double thickness);

/// What to bend to so that a bend comes out as wanted.
struct OverBend {
    double factor = 1.0;     ///< angle wanted over angle on the tool
    double angle_deg = 0.0;  ///< to bend through on the tool; may be past 180, which no tool does
    double extra_deg = 0.0;  ///< of that, what springs back
    double radius = 0.0;     ///< inside radius on the tool; 0 where even a sharp tool leaves a larger one than wanted
};

/// By a factor: kR = angle wanted/angle on the tool = (R_tool + T/2)/(R + T/2) (tables book). \param factor 0 to 1, not
/// 0
[[nodiscard]] OverBend over_bend(double angle_deg, double radius, double thickness, double factor);
/// By springback_ratio, turned round: the tool radius that springs to the wanted one. The middle of the sheet keeps its
/// length, so the factor is as above. Every wanted radius has exactly one tool radius with x below 0.5.
[[nodiscard]] OverBend over_bend_by_stiffness(double angle_deg, double radius, double thickness, double yield_strength,
                                              double modulus);

/// Whether the tool turns a bend far enough. \param on_tool angle on the tool, with what springs back
/// \param most the tool can do, 0 to 180
[[nodiscard]] Check check_angle(double on_tool, double most);

}  // namespace foldswing::bend_check
