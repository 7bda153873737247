// Gaps over a swing and over tabulated motions, approaches by leg, swept outlines; signed and likely gaps of sections
// with arcs; moves that cure.
#include <algorithm>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/cure.hpp>
#include <foldswing/hinge.hpp>
#include <foldswing/tolerance.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

constexpr double kCoarse = 0.25;  // mm; a finer bound is the same code, and slow under the sanitizers

MotionPtr motion(fuzz::Bytes& in) {
    if (in.flag()) {
        const Point pivot = in.point();
        const double from = in.number();
        return std::make_shared<const hinge::PivotHinge>(pivot, from, in.number());
    }
    const std::size_t n = 2 + in.below(4);
    std::vector<double> s;
    std::vector<Pose> knots;
    for (std::size_t i = 0; i < n; ++i) {
        s.push_back(static_cast<double>(i) / static_cast<double>(n - 1));
        knots.push_back(in.pose());
    }
    if (in.below(8) == 0) s = in.numbers(6);
    const double departure = in.below(4) == 0 ? in.number() : 0.0;
    return std::make_shared<const Tabulated>(std::move(s), std::move(knots), departure);
}

void gap(fuzz::Bytes& in) {
    const Outline panel = in.outline();
    const Outline fixed = in.outline();
    const MotionPtr move = motion(in);
    const double tolerance = in.below(8) == 0 ? in.number() : kCoarse;
    const clearance::Gap g = clearance::minimum_gap(panel, fixed, *move, tolerance);
    fuzz::require(g.lower_bound >= 0.0 && g.gap >= g.lower_bound);
    fuzz::require(g.at >= 0.0 && g.at <= 1.0);
}

void approaches(fuzz::Bytes& in) {
    const std::vector<Outline> panel{in.outline()};
    const std::vector<clearance::Body> fixed{{"nose", {in.outline()}}, {"sill", {in.outline(), in.outline()}}};
    const MotionPtr move = motion(in);
    const double middle = in.below(4) == 0 ? in.number() : 0.5;
    const std::vector<clearance::Stop> stops{{"shut", 0.0}, {"level", middle}, {"lean", 1.0}};
    for (const auto& row : clearance::closest_approaches(panel, fixed, *move, stops, kCoarse))
        fuzz::require(row.depth >= 0.0 && row.gap.gap >= 0.0);
}

void swept(fuzz::Bytes& in) {
    const std::vector<Outline> panel{in.outline()};
    const Point pivot = in.point();
    const double from = 15.0 * static_cast<double>(in.below(25)) - 180.0;
    const hinge::PivotHinge hinge(pivot, from, from + 15.0 * static_cast<double>(in.below(25)) - 180.0);
    for (const Outline& part : clearance::swept_outline(panel, hinge, 8.0 * kCoarse)) fuzz::require(area(part) > 0.0);
}

/// A section: mostly with straight sides, else some of them bulge or are hollow.
Path section(fuzz::Bytes& in) {
    Ring ring = in.ring();
    std::vector<double> sweep(ring.size());
    for (std::size_t n = in.flag() ? in.below(4) : 0; n > 0 && !sweep.empty(); --n)
        sweep[in.below(sweep.size())] = in.number();
    return {std::move(ring), std::move(sweep), in.below(16) != 0};
}

bool straight(const Path& p) {
    return std::all_of(p.sweep_deg().begin(), p.sweep_deg().end(), [](double sweep) { return sweep == 0.0; });
}

double size_of(const Path& p) {
    double most = 0.0;
    for (const Point q : p.points()) most = std::max({most, std::abs(q.x), std::abs(q.y)});
    return most;
}

void signed_gaps(fuzz::Bytes& in) {
    const Path panel = section(in);
    const Path body = section(in);
    const double gap = tolerance::signed_gap(panel, body, {});
    const double rounding = 1e-9 * std::max(size_of(panel), size_of(body));
    fuzz::require(std::isfinite(gap));
    fuzz::require(std::abs(tolerance::signed_gap(body, panel, {}) - gap) <= rounding);
    if (straight(panel) && straight(body)) {
        const Separation drawn = distance(panel.outline(kCoarse), body.outline(kCoarse));
        if (drawn.distance > 0.0)
            fuzz::require(std::abs(gap - drawn.distance) <= rounding);
        else
            fuzz::require(gap <= rounding);
    }
    const Point pivot = in.point();
    const double from = in.number();
    fuzz::require(std::isfinite(tolerance::signed_gap(panel, body, {pivot, from, in.number()})));
}

void likely_gaps(fuzz::Bytes& in) {
    const Path panel = section(in);
    const double across = in.below(4) == 0 ? in.number() : 0.5;
    const double up = in.below(4) == 0 ? 0.0 : 0.25;
    const tolerance::Obstacle body{section(in), across, up, 0.3};
    const tolerance::HoleErrors holes{in.below(4) == 0 ? in.number() : 0.4, in.flag()};
    const double from = in.number();
    // A turn is the same code for each of thousands of cases, and slow under the sanitizers.
    const double to = from + (in.below(64) == 0 ? 1.0 : 0.0);
    if (std::max(size_of(panel), size_of(body.section)) > 1e3) return;
    const tolerance::LikelyGap g = tolerance::likely_gap(panel, body, {in.point(), from, to}, holes);
    for (const double v : {g.as_drawn, g.mean, g.deviation, g.kept}) fuzz::require(std::isfinite(v));
    fuzz::require(g.deviation >= 0.0 && g.share >= 0.0 && g.share <= 1.0);
}

void moves(fuzz::Bytes& in) {
    const std::vector<Outline> panel{in.outline()};
    const std::vector<cure::Body> bodies{{{in.outline()}, in.number()}};
    const Point pivot = in.point();
    const double from = in.number();
    const PlainTurn turn{pivot, from, in.number()};
    const Point way = in.point();
    const double most = in.number();
    const double within = in.below(4) == 0 ? in.number() : kCoarse;
    const double far = cure::pivot_move(panel, bodies, turn, way, most, within);
    fuzz::require(std::isnan(far) || (far >= 0.0 && far <= most));
    const double moved = cure::body_move(panel, bodies[0], turn, way, most, within);
    fuzz::require(std::isnan(moved) || (moved >= 0.0 && moved <= most));
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {gap, approaches, swept, signed_gaps, likely_gaps, moves});
}
