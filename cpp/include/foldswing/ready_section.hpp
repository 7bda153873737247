#pragma once
/// \file ready_section.hpp  Sections by their trade names, built as profiles. Lengths: mm; angles: degrees. All sizes
/// are over the outer faces.
#include <foldswing/blank.hpp>

namespace foldswing::blank {

/// What the metal and the tool give: the same for every bend of a ready section.
struct Metal {
    double thickness = 0.0;
    double radius = 0.0;  ///< inside radius
    Basis basis;
};

/// Two legs and one bend. \throws InvalidInput as Profile does; so do all of these
[[nodiscard]] Profile angle_section(double leg_a, double leg_b, const Metal& metal, double angle_deg = 90.0);
/// A web with a flange at either end, both turned up.
[[nodiscard]] Profile channel(double flange_a, double web, double flange_b, const Metal& metal);
/// A channel whose flanges end in lips turned in.
[[nodiscard]] Profile lipped_channel(double lip, double flange, double web, const Metal& metal);
/// A top on two legs with brims turned out. \param height overall, brim's underside to the top's upper face
[[nodiscard]] Profile hat(double brim, double height, double top, const Metal& metal);
/// A web with flanges that point opposite ways. \param height overall, over both flanges
[[nodiscard]] Profile zed(double flange_a, double height, double flange_b, const Metal& metal);

/// An offset: two equal bends one up, one down, that set the sheet off by a depth over a run-out.
struct Joggle {
    Profile profile;
    double angle_deg = 0.0;      ///< of either bend
    double slope = 0.0;          ///< flat between the two bends
    double take_up = 0.0;        ///< length of the blank over that of the finished part: the joggle's own allowance
    double least_run_out = 0.0;  ///< the two bends meet without a flat between them
    bool short_run_out = false;  ///< under 4 depths
};
/// Run-out that practice gives a joggle, in depths; common practice, no source.
inline constexpr double kLeastRunOutInDepths = 4.0;

/// \param before, after finished lengths along the sheet from the cut edge to where it starts to leave its plane, and
///        from where it is level again to the other cut edge (tangent lines)
/// \param depth   from a face to the same face
/// \param run_out between those two tangent lines, measured along the sheet
/// With c = 2R + T: slope f = sqrt(run^2 + depth^2 - 2 c depth), angle a = 2 atan(depth / (run + f)), take-up
/// 2 a (R + K T) + f - run; derived from the two arcs and the line between them. Valid where the joggle is bent as two
/// straight bends of one radius; pressed in by a die it stretches, and the take-up is then the most it can ask.
/// \throws InvalidInput when the run-out is too short for the radius: the least is named
[[nodiscard]] Joggle joggle(double before, double depth, double run_out, double after, const Metal& metal);

}  // namespace foldswing::blank
