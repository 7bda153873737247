#include <cmath>
#include <foldswing/curved_flange.hpp>
#include <utility>
#include <vector>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::blank {
namespace {

std::string percent(double v) { return detail::number_text(std::round(v * 1000.0) / 10.0) + " %"; }
std::string mm(double v) { return detail::number_text(std::round(v * 100.0) / 100.0) + " mm"; }

Point on(double radius, double at_deg) {
    const auto [s, c] = detail::sin_cos_deg(at_deg);
    return {radius * c, radius * s};
}

/// Between the tangent line and the edge, with the cuts; the curve is centred on +y.
Path outline(const CurvedFlangeSize& size, const CurvedFlange& made) {
    const double from = 90.0 - 0.5 * size.arc_deg;
    const bool dart = made.easing == Easing::darts;
    std::vector<Point> points{on(made.edge_radius, from)};
    std::vector<double> sweeps;
    double at = from;
    const auto to = [&](double radius, double angle_deg, double sweep) {
        points.push_back(on(radius, angle_deg));
        sweeps.push_back(sweep);
    };
    const double half_deg = dart ? 0.5 * made.cut_width / made.edge_radius / detail::kDegree : 0.0;
    for (std::size_t i = 0; dart && i < made.cuts; ++i) {
        const double share = (static_cast<double>(i) + 0.5) / static_cast<double>(made.cuts);
        const double middle = from + size.arc_deg * share;
        to(made.edge_radius, middle - half_deg, middle - half_deg - at);
        to(made.root_radius, middle, 0.0);
        to(made.edge_radius, middle + half_deg, 0.0);
        at = middle + half_deg;
    }
    const double end = from + size.arc_deg;
    if (size.arc_deg == 360.0) {
        // A whole ring is no single closed path: its edge is given.
        to(made.edge_radius, 0.5 * (at + end), 0.5 * (end - at));
        sweeps.push_back(0.5 * (end - at));
        return {std::move(points), std::move(sweeps), true};
    }
    to(made.edge_radius, end, end - at);
    to(made.bend_radius, end, 0.0);
    to(made.bend_radius, from, -size.arc_deg);
    sweeps.push_back(0.0);
    return {std::move(points), std::move(sweeps), true};
}

}  // namespace

CurvedFlange curved_flange(const CurvedFlangeSize& size, const Metal& metal) {
    detail::require_positive("radius_in_plan", size.radius_in_plan);
    detail::require(size.arc_deg > 0.0 && size.arc_deg <= 360.0, "arc_deg", size.arc_deg, "over 0 to 360");
    detail::require_positive("depth", size.depth);
    detail::require(size.angle_deg > 0.0 && size.angle_deg <= 90.0, "angle_deg", size.angle_deg,
                    "a bend angle (turned through), over 0 to 90");
    detail::require_positive("strain_limit", size.strain_limit);
    detail::require_positive("flat_tolerance", size.flat_tolerance);
    const Profile section = angle_section(size.depth, size.depth, metal, size.angle_deg);
    const double t = metal.thickness;
    const double setback = bend::setback(size.angle_deg, metal.radius, t);
    const double allowance = section.bend_lines().front().allowance;
    const double flat = section.flats().back().length;
    const double k = section.bend_lines().front().k_factor;
    const double neutral = metal.radius + k * t;
    const detail::SinCos turned = detail::sin_cos_deg(size.angle_deg);
    const bool hollow = size.curve == Curve::hollow;
    const double way = hollow ? -1.0 : 1.0;
    CurvedFlange out{0.0, 0.0, 0.0, 0.0, Easing::none, 0, 0.0, 0.0, 0.0, Path({{0.0, 0.0}, {1.0, 0.0}}, {0.0}), ""};
    out.bend_radius = size.radius_in_plan - way * setback;
    if (!(out.bend_radius > 0.0))
        throw InvalidInput("radius_in_plan", size.radius_in_plan,
                           "over the bend's setback, " + detail::number_text(setback));
    out.edge_radius = out.bend_radius + way * (allowance + flat);
    if (!(out.edge_radius > 0.0))
        throw InvalidInput("depth", size.depth,
                           "small enough for the blank's edge to stay short of the curve's centre (by " +
                               detail::number_text(-out.edge_radius) + " and more)");
    // Of the neutral line, that far past the bend.
    const auto finished = [&](double past) {
        return out.bend_radius + way * (neutral * turned.sin + past * turned.cos);
    };
    const auto on_blank = [&](double past) { return out.bend_radius + way * (allowance + past); };
    const auto strain = [&](double past) { return (finished(past) - on_blank(past)) / on_blank(past); };
    out.finished_edge_radius = finished(flat);
    out.strain = strain(flat);
    if (!std::isfinite(out.strain) || !std::isfinite(out.edge_radius * size.arc_deg))
        throw InvalidInput("depth", size.depth, "small enough, as the radius in plan, for a finite blank");
    out.root_radius = out.edge_radius;
    const char* what = hollow ? "stretch" : "shrink";
    const std::string asks = std::string("the edge must ") + what + " by " + percent(std::fabs(out.strain));
    const double limit = (hollow ? 1.0 : -1.0) * size.strain_limit;
    if (std::fabs(out.strain) <= size.strain_limit) {
        out.explanation = asks + ", within the " + percent(size.strain_limit) + " given";
        out.outline = outline(size, out);
        return out;
    }
    if (std::fabs(strain(0.0)) > size.strain_limit) {
        out.easing = Easing::impossible;
        out.explanation =
            asks + "; already where the bend ends it is " + percent(std::fabs(strain(0.0))) + ", over the " +
            percent(size.strain_limit) +
            " given: no cut in the flange helps. Use a larger radius in plan, a smaller inside radius, or a "
            "piece welded on";
        out.outline = outline(size, out);
        return out;
    }
    // finished(past) = (1 + limit) on_blank(past), linear in past.
    const double root = (way * (neutral * turned.sin - (1.0 + limit) * allowance) - limit * out.bend_radius) /
                        (way * ((1.0 + limit) - turned.cos));
    const double kept = std::fmin(std::fmax(root, 0.0), flat);
    out.cut_depth = flat - kept;
    out.root_radius = on_blank(kept);
    // Flats between cuts are chords of the finished curve: each may stand off it by the tolerance.
    const double curve = size.radius_in_plan;
    const double off = std::fmin(size.flat_tolerance / curve, 1.0);
    const double span_deg = 4.0 * std::asin(std::sqrt(0.5 * off)) / detail::kDegree;
    const double flats = std::fmax(2.0, std::ceil(size.arc_deg / span_deg));
    constexpr double kMostCuts = 1e5;
    detail::require(flats <= kMostCuts, "flat_tolerance", size.flat_tolerance, "coarse enough for 100000 cuts");
    out.cuts = static_cast<std::size_t>(flats);
    const double whole = std::fabs(out.finished_edge_radius - out.edge_radius) * size.arc_deg * detail::kDegree;
    out.cut_width = whole / flats;
    out.easing = hollow ? Easing::notches : Easing::darts;
    out.explanation = asks + ", over the " + percent(size.strain_limit) + " given: " + (hollow ? "saw " : "cut out ") +
                      std::to_string(out.cuts) + (hollow ? " slits " : " darts ") + mm(out.cut_depth) + " deep" +
                      (hollow ? ", which open to " : ", each ") + mm(out.cut_width) +
                      (hollow ? " at the edge" : " wide at the edge and running out to a point") +
                      "; drill the root of each so that it does not tear, and weld up if the edge must be whole";
    out.outline = outline(size, out);
    return out;
}

}  // namespace foldswing::blank
