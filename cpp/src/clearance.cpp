#include <algorithm>
#include <cmath>
#include <foldswing/clearance.hpp>

#include "check.hpp"
#include "gap.hpp"

namespace foldswing {
namespace detail {

void require_outlines(const char* name, std::span<const Outline> outlines) {
    if (outlines.empty()) throw InvalidInput(name, "nothing", "at least one outline");
}

void require_gap_tolerance(double tolerance) {
    require(std::isfinite(tolerance) && tolerance >= clearance::kFinestTolerance, "tolerance", tolerance,
            "finite and >= 0.0001 mm");
}

clearance::Gap gap_over(Scene& scene, const Motion& motion, double s0, double s1, double tolerance) {
    const auto turn = motion.plain_turn();
    if (!turn) return gap_certified(scene, motion, s0, s1, tolerance);
    const auto angle = [&](double s) { return std::lerp(turn->turn_from_deg, turn->turn_to_deg, s); };
    clearance::Gap gap = gap_one_pivot(scene, {turn->pivot, angle(s0), angle(s1)});
    gap.at = std::lerp(s0, s1, gap.at);
    gap.clear_until = std::lerp(s0, s1, gap.clear_until);
    return gap;
}

}  // namespace detail

namespace clearance {

void minimum_gaps(std::span<const Outline> panel, std::span<const Outline> fixed, std::span<const MotionPtr> motions,
                  std::span<Gap> out, double tolerance) {
    detail::require_outlines("panel", panel);
    detail::require_outlines("fixed", fixed);
    detail::require_gap_tolerance(tolerance);
    detail::Scene scene(panel, fixed);
    for (std::size_t i = 0; i < motions.size(); ++i) out[i] = detail::gap_over(scene, *motions[i], 0.0, 1.0, tolerance);
}

Gap minimum_gap(std::span<const Outline> panel, std::span<const Outline> fixed, const Motion& motion,
                double tolerance) {
    detail::require_outlines("panel", panel);
    detail::require_outlines("fixed", fixed);
    detail::require_gap_tolerance(tolerance);
    detail::Scene scene(panel, fixed);
    return detail::gap_over(scene, motion, 0.0, 1.0, tolerance);
}

Gap minimum_gap(const Outline& panel, const Outline& fixed, const Motion& motion, double tolerance) {
    return minimum_gap({&panel, 1}, {&fixed, 1}, motion, tolerance);
}

}  // namespace clearance
}  // namespace foldswing
