// Gaps over a swing and over tabulated motions, approaches by leg, swept outlines.
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/hinge.hpp>

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
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {gap, approaches, swept});
}
