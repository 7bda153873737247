#pragma once
// What solve_pivot worked out, for the sentence about it. Private.
#include <cstddef>
#include <foldswing/landing.hpp>
#include <span>
#include <string>
#include <vector>

namespace foldswing::hinge::detail_pivot {

struct Findings {
    std::vector<bool> met;        ///< each landing at the pivot, within tolerance and rounding
    std::vector<bool> turning;    ///< false for whole revolutions
    std::size_t strips = 0;       ///< turning landings of kind `on`
    std::size_t half_planes = 0;  ///< turning inequalities
    bool moved = false;           ///< the least-squares point itself would have broken a tolerance
    double gain = 0.0;            ///< pivot shift per mm of error at the stops, largest (points only)
};

/// A sentence for the bench. solution has everything but its explanation.
std::string explain(std::span<const Landing> landings, const PivotSolution& solution, const Findings& findings);

}  // namespace foldswing::hinge::detail_pivot
