// Hinges, poles and landings.
#include <array>
#include <foldswing/hinge.hpp>
#include <foldswing/landing.hpp>
#include <foldswing/pivot_window.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

void pivot_hinge(fuzz::Bytes& in) {
    const Point pivot = in.point();
    const double from = in.number();
    const hinge::PivotHinge h(pivot, from, in.number());
    const std::array<double, 3> s{0.0, 0.5, 1.0};
    std::array<Pose, 3> poses;
    h.poses(s, poses);
    const std::vector<Point> corners = in.points(8);
    (void)h.stray(corners, 0.0, 1.0);
    (void)h.turn_at(in.number());
    (void)h.s_at_turn(in.number());
}

void pole(fuzz::Bytes& in) {
    const Pose a = in.pose();
    (void)hinge::word(hinge::pole(a, in.pose()).status);
}

hinge::LandingKind kind(fuzz::Bytes& in) { return static_cast<hinge::LandingKind>(in.below(3)); }
hinge::Way way(fuzz::Bytes& in) { return static_cast<hinge::Way>(in.below(3)); }

hinge::Landing landing(fuzz::Bytes& in) {
    const double turn = in.number();
    const Point a = in.point();
    const Point b = in.point();
    const double x = in.number();
    const double tolerance = in.number();
    switch (in.below(4)) {
        case 0:
            return hinge::lands_at_height(turn, a, x, tolerance, kind(in));
        case 1:
            return hinge::lands_below(turn, a, b, in.point(), x, tolerance, kind(in));
        case 2:
            return hinge::lands_flush(a, b, in.point(), in.point(), way(in), tolerance, kind(in));
        default:
            return {turn, a, b, x, tolerance, kind(in)};
    }
}

void solve(fuzz::Bytes& in) {
    std::vector<hinge::Landing> landings;
    const std::size_t n = in.below(6);
    for (std::size_t i = 0; i < n; ++i) landings.push_back(landing(in));
    const hinge::PivotSolution solved = hinge::solve_pivot(landings);
    fuzz::require(solved.residuals.size() == n);
    fuzz::require(!solved.explanation.empty());
    const bool found = solved.status == hinge::PivotStatus::point || solved.status == hinge::PivotStatus::line;
    fuzz::require(!found || (std::isfinite(solved.pivot.x) && std::isfinite(solved.pivot.y)));
}

hinge::PivotWindow window_of(fuzz::Bytes& in, bool free) {
    std::vector<hinge::Landing> landings;
    for (std::size_t n = in.below(4); n > 0; --n) landings.push_back(landing(in));
    std::vector<Outline> within;
    for (std::size_t n = in.below(3); n > 0; --n) within.push_back(in.outline());
    std::optional<hinge::Swing> swing;
    if (in.flag()) {
        swing = hinge::Swing{{in.outline()}, {in.outline()}, in.number(), in.number(), in.number(), 0.0};
        swing->cell = 4.0 + in.byte();
    }
    std::vector<hinge::FreeStop> stops;
    if (free) {
        hinge::FreeStop stop{{landing(in)}, in.number(), in.number(), in.flag()};
        if (in.flag()) stop.landings.push_back(landing(in));
        stops.push_back(stop);
    }
    return hinge::pivot_window(landings, within, swing, stops, 2.0);
}

void window(fuzz::Bytes& in) {
    const bool free = in.flag();
    const hinge::PivotWindow w = window_of(in, free);
    fuzz::require(!w.explanation.empty());
    fuzz::require(w.sides.empty() == w.outlines.empty());
    fuzz::require(w.status != hinge::WindowStatus::window || w.best.radius >= 0.0);
    fuzz::require(w.status != hinge::WindowStatus::none || (w.outlines.empty() && w.runs.empty()));
}

void angle(fuzz::Bytes& in) {
    const std::vector<hinge::Landing> fixed{landing(in)};
    const hinge::FreeStop stop{{landing(in)}, in.number(), in.number(), false};
    const hinge::AngleWish wish{static_cast<hinge::Wish>(in.below(4)), in.points(3)};
    const auto best = hinge::best_angle(fixed, stop, {}, std::nullopt, wish, 5);
    fuzz::require(std::isnan(best.score) || std::isfinite(best.turn_deg));
}

void circle(fuzz::Bytes& in) {
    const std::vector<Outline> outlines{in.outline()};
    const Circle c = largest_circle(outlines);
    fuzz::require(c.radius >= 0.0 && std::isfinite(c.centre.x) && std::isfinite(c.centre.y));
}

void turns(fuzz::Bytes& in) {
    const Point face = in.point();
    (void)hinge::turn_to_level(face, way(in));
    (void)hinge::turn_to_face(face, in.point(), way(in));
    (void)hinge::lands_on_point(in.number(), in.point(), in.point(), in.number());
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {pivot_hinge, pole, solve, turns, window, angle, circle});
}
