#include <algorithm>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/cure.hpp>
#include <foldswing/hinge.hpp>
#include <limits>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::cure {
namespace {

constexpr double kVoid = std::numeric_limits<double>::quiet_NaN();
constexpr double kSagitta = 2e-4;   // mm; how far an arc's chords stay off it: a fifth of what a radius is found to
constexpr double kThickest = 1e4;   // mm; a slip of the unit beyond it, and a corner's arc would take minutes
constexpr double kLongest = 1e6;    // mm
constexpr double kSharpest = 1e-3;  // mm; a radius that no bench can tell from a square corner
constexpr int kSteps = 48;          // tried evenly; two that keep the gaps with one between that does not are missed

/// The first x in [from, to] at which kept(x) is true, to within `close`; NaN where no step has it.
template <class Kept>
double first_kept(double from, double to, double close, Kept kept) {
    if (kept(from)) return from;
    double low = from;
    for (int i = 1; i <= kSteps; ++i) {
        double high = i == kSteps ? to : from + (to - from) * i / kSteps;
        if (kept(high)) {
            while (high - low > close) {
                const double middle = 0.5 * (low + high);
                (kept(middle) ? high : low) = middle;
            }
            return high;
        }
        low = high;
    }
    return kVoid;
}

/// Where a function that rises and then falls is greatest, by golden sections.
template <class F>
double greatest(double low, double high, double close, F f) {
    constexpr double part = 1.0 / std::numbers::phi;
    double a = high - part * (high - low);
    double b = low + part * (high - low);
    double at_a = f(a);
    double at_b = f(b);
    while (high - low > close) {
        if (at_a >= at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - part * (high - low);
            at_a = f(a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + part * (high - low);
            at_b = f(b);
        }
    }
    return 0.5 * (low + high);
}

/// A rounded corner by itself: its arc and the centre of that. The two directions are square to each other; the arc
/// turns by sweep_deg from the face to the edge.
Outline corner(Point at, Point along_face, Point along_edge, double sweep_deg, double radius) {
    const Point on_face = at + radius * along_face;
    const Point on_edge = at + radius * along_edge;
    return Path({on_face + radius * along_edge, on_face, on_edge}, {0.0, sweep_deg, 0.0}, true).outline(kSagitta);
}

double gap_of(std::span<const Outline> panel, std::span<const Outline> body, const hinge::PivotHinge& motion) {
    return clearance::minimum_gap(panel, body, motion).gap;
}

void require_bodies(std::span<const Body> bodies) {
    if (bodies.empty()) throw InvalidInput("bodies", "nothing", "at least one body");
    for (const Body& body : bodies) {
        if (body.outlines.empty()) throw InvalidInput("bodies", "nothing", "at least one outline each");
        detail::require_not_negative("wanted", body.wanted);
    }
}

/// The smallest radius of one corner that keeps every gap some radius can keep.
double smallest_radius(double most, std::span<const Body> bodies, const hinge::PivotHinge& motion, double within,
                       const auto& shape) {
    double radius = 0.0;
    for (const Body& body : bodies) {
        const auto gap = [&](double r) {
            const Outline part = shape(std::max(r, kSharpest));
            return gap_of({&part, 1}, body.outlines, motion);
        };
        const auto kept = [&](double r) { return gap(r) >= body.wanted - within; };
        double found = first_kept(0.0, most, kRadiusWithin, kept);
        if (std::isnan(found)) {  // the best radius may lie between two steps: where the arc is centred on the pivot
            const double best = greatest(0.0, most, kRadiusWithin, gap);
            if (kept(best)) found = first_kept(0.0, best, kRadiusWithin, kept);
        }
        if (std::isnan(found)) return kVoid;
        radius = std::max(radius, found);
    }
    return radius;
}

void require_within(const char* name, double v) {
    detail::require(std::abs(v) <= kLongest, name, v, "within 1000000 mm of the origin");
}

/// The way as a vector of length 1.
Point require_move(const PlainTurn& turn, Point way, double most, double within) {
    require_within("pivot", turn.pivot.x);
    require_within("pivot", turn.pivot.y);
    detail::require_finite("turn_from_deg", turn.turn_from_deg);
    detail::require_finite("turn_to_deg", turn.turn_to_deg);
    detail::require_finite("way", way.x);
    detail::require_finite("way", way.y);
    detail::require_positive("most", most);
    detail::require(most <= kLongest, "most", most, "up to 1000000 mm");
    detail::require_positive("within", within);
    const double larger = std::max(std::abs(way.x), std::abs(way.y));
    detail::require(larger > 0.0, "way", 0.0, "of some length");
    const Point scaled{way.x / larger, way.y / larger};  // so that no length overflows, or vanishes
    const double length = std::hypot(scaled.x, scaled.y);
    return {scaled.x / length, scaled.y / length};
}

}  // namespace

Radii smallest_radii(const gate::Sizes& sizes, const gate::Holes& holes, double opening_deg,
                     std::span<const Body> bodies, double within) {
    require_bodies(bodies);
    detail::require_positive("within", within);
    detail::require(opening_deg >= 0.0 && opening_deg <= 360.0, "opening_deg", opening_deg, "from 0 to 360");
    const gate::Corners c = gate::corners(sizes);
    const double most = std::min(sizes.thickness, sizes.height);
    detail::require(most <= kThickest, "thickness", most, "up to 10000 mm");
    const Pose shut = gate::pose(holes, 0.0);
    const hinge::PivotHinge motion(holes.jamb, 0.0, -opening_deg);
    const auto [sine, cosine] = detail::sin_cos_deg(sizes.lean_deg);
    const Point up{sine, cosine};
    const Point out{cosine, -sine};
    Radii found;
    found.inner = smallest_radius(most, bodies, motion, within,
                                  [&](double r) { return corner(c.lower_inner, up, out, 90.0, r).moved(shut); });
    found.outer = smallest_radius(most, bodies, motion, within, [&](double r) {
        return corner(c.lower_outer, up, -1.0 * out, -90.0, r).moved(shut);
    });
    found.fits = found.inner + found.outer <= sizes.thickness + kRadiusWithin &&
                 found.inner + sizes.upper_inner_radius <= sizes.height &&
                 found.outer + sizes.upper_outer_radius <= sizes.height;
    if (!found.fits) return found;
    gate::Sizes rounded = sizes;
    rounded.lower_inner_radius = std::min(found.inner, sizes.thickness);
    rounded.lower_outer_radius = std::min(found.outer, sizes.thickness - rounded.lower_inner_radius);
    const Outline panel = gate::panel(rounded).outline(kSagitta).moved(shut);
    for (const Body& body : bodies) found.gaps.push_back(gap_of({&panel, 1}, body.outlines, motion));
    return found;
}

double pivot_move(std::span<const Outline> panel, std::span<const Body> bodies, const PlainTurn& turn, Point way,
                  double most, double within) {
    require_bodies(bodies);
    const Point ahead = require_move(turn, way, most, within);
    return first_kept(0.0, most, kMoveWithin, [&](double d) {
        const hinge::PivotHinge motion(turn.pivot + d * ahead, turn.turn_from_deg, turn.turn_to_deg);
        return std::all_of(bodies.begin(), bodies.end(), [&](const Body& body) {
            return gap_of(panel, body.outlines, motion) >= body.wanted - within;
        });
    });
}

double body_move(std::span<const Outline> panel, const Body& body, const PlainTurn& turn, Point way, double most,
                 double within) {
    require_bodies({&body, 1});
    const Point ahead = require_move(turn, way, most, within);
    const hinge::PivotHinge motion(turn.pivot, turn.turn_from_deg, turn.turn_to_deg);
    return first_kept(0.0, most, kMoveWithin, [&](double d) {
        std::vector<Outline> moved;
        for (const Outline& part : body.outlines) moved.push_back(part.moved({d * ahead.x, d * ahead.y, 0.0}));
        return gap_of(panel, moved, motion) >= body.wanted - within;
    });
}

}  // namespace foldswing::cure
