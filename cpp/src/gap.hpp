#pragma once
// The two ways to a smallest gap, over the piece [s0, s1] of a motion.
#include <foldswing/clearance.hpp>

#include "pose_gap.hpp"

namespace foldswing::detail {

void require_outlines(const char* name, std::span<const Outline> outlines);
void require_gap_tolerance(double tolerance);

/// Panel, bodies and the memory that posing them needs; made once for many motions.
struct Scene {
    Scene(std::span<const Outline> panel_outlines, std::span<const Outline> fixed_outlines)
        : panel(panel_outlines),
          fixed(fixed_outlines),
          posed(panel),
          placed(fixed),
          panel_extent(panel.extent()),
          fixed_extent(fixed.extent()) {}
    EdgeTable panel;
    EdgeTable fixed;
    PosedEdges posed;     // the panel carried to a pose
    PosedEdges placed;    // the bodies seen from the pivot
    double panel_extent;  // greatest coordinates
    double fixed_extent;
    std::vector<double> row;  // scratch
    std::vector<double> panel_radius;
    std::vector<double> fixed_radius;
};

/// Closed form. The turn is that of the piece; `at` and `clear_until` are fractions of it.
clearance::Gap gap_one_pivot(Scene& scene, const PlainTurn& turn);

/// Best-first subdivision of [s0, s1]; `at` and `clear_until` are s of the motion.
clearance::Gap gap_certified(Scene& scene, const Motion& motion, double s0, double s1, double tolerance);

/// Either, for the piece [s0, s1].
clearance::Gap gap_over(Scene& scene, const Motion& motion, double s0, double s1, double tolerance);

/// Deepest overlap over [s0, s1]: the greatest distance of a corner of one side inside the other, to within tolerance
/// or 1/500 of it; 0 where no corner is inside.
struct Deepest {
    double depth = 0.0;
    double at = 0.0;
};
Deepest deepest_overlap(Scene& scene, const Motion& motion, double s0, double s1, double tolerance);

/// Sets the witness points, the gap they leave and the body, for the pair at this pose.
void set_witness(clearance::Gap& gap, const Scene& scene, const EdgeView& posed, const Pair& pair);

}  // namespace foldswing::detail
