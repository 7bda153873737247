#include <cmath>
#include <foldswing/clearance.hpp>
#include <limits>

#include "check.hpp"
#include "gap.hpp"

namespace foldswing::clearance {
namespace {

/// The deepest overlap is sought this much more closely than gaps: it is read off a sheet, not proven against.
constexpr double kDepthCloser = 0.1;

void require_stops(std::span<const Stop> stops) {
    if (stops.size() < 2) throw InvalidInput("stops", std::to_string(stops.size()) + " stops", "at least two stops");
    for (std::size_t i = 0; i < stops.size(); ++i) {
        const double s = stops[i].s;
        const std::string index = std::to_string(i);
        if (!(s >= 0.0 && s <= 1.0)) throw InvalidInput("stops", s, "at an s from 0 to 1").at(index);
        if (i > 0 && !(s > stops[i - 1].s))
            throw InvalidInput("stops", s, "in the order in which the motion meets them").at(index);
        if (stops[i].name.empty()) throw InvalidInput("stops", "no name", "named").at(index);
    }
}

}  // namespace

std::vector<Approach> closest_approaches(std::span<const Outline> panel, std::span<const Body> fixed,
                                         const Motion& motion, std::span<const Stop> stops, double tolerance) {
    detail::require_outlines("panel", panel);
    if (fixed.empty()) throw InvalidInput("fixed", "nothing", "at least one body");
    detail::require_gap_tolerance(tolerance);
    require_stops(stops);
    std::vector<Approach> rows;
    rows.reserve(fixed.size() * (stops.size() - 1));
    for (const Body& body : fixed) {
        detail::require_outlines("fixed", body.outlines);
        detail::Scene scene(panel, body.outlines);
        for (std::size_t leg = 0; leg + 1 < stops.size(); ++leg) {
            const double s0 = stops[leg].s;
            const double s1 = stops[leg + 1].s;
            Approach row;
            row.body = body.name;
            row.leg = stops[leg].name + " to " + stops[leg + 1].name;
            row.gap = detail::gap_over(scene, motion, s0, s1, tolerance);
            row.deepest_at = row.deepest_angle_deg = std::numeric_limits<double>::quiet_NaN();
            if (row.gap.gap == 0.0) {
                const auto deepest = detail::deepest_overlap(scene, motion, s0, s1, kDepthCloser * tolerance);
                row.depth = deepest.depth;
                if (deepest.depth > 0.0) {
                    Pose pose;
                    motion.poses({&deepest.at, 1}, {&pose, 1});
                    row.deepest_at = deepest.at;
                    row.deepest_angle_deg = pose.angle_deg;
                }
            }
            rows.push_back(std::move(row));
        }
    }
    return rows;
}

}  // namespace foldswing::clearance
