#include <algorithm>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/cure.hpp>
#include <foldswing/hinge.hpp>
#include <limits>
#include <numbers>

#include "check.hpp"

namespace foldswing::cure {
namespace {

constexpr double kVoid = std::numeric_limits<double>::quiet_NaN();
constexpr double kSagitta = 2e-4;   // mm; how far an arc's chords stay off it: a tenth of what a radius is found to
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

Point unit(Point p) {
    const double length = std::hypot(p.x, p.y);
    return {p.x / length, p.y / length};
}

/// A rounded corner by itself: its arc and the centre of that.
Outline corner(Point at, Point along_face, Point along_edge, double radius) {
    const Point centre = at + radius * (along_face + along_edge);
    const double turn = 2.0 * std::acos(1.0 - std::min(0.5, kSagitta / radius));
    const int n = static_cast<int>(std::ceil(0.5 * std::numbers::pi / turn));
    Ring ring{centre};
    for (int k = 0; k <= n; ++k) {
        const double a = 0.5 * std::numbers::pi * k / n;
        ring.push_back(centre - radius * (std::cos(a) * along_edge + std::sin(a) * along_face));
    }
    return Outline(std::move(ring));
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

void require_move(const PlainTurn& turn, Point way, double most, double within) {
    for (const double v : {turn.pivot.x, turn.pivot.y, turn.turn_from_deg, turn.turn_to_deg, way.x, way.y})
        detail::require_finite("turn", v);
    detail::require(std::hypot(way.x, way.y) > 0.0, "way", 0.0, "of some length");
    detail::require_positive("most", most);
    detail::require(most <= 1e6, "most", most, "up to 1000000 mm");
    detail::require_positive("within", within);
}

}  // namespace

Radii smallest_radii(const gate::Sizes& sizes, const gate::Holes& holes, double opening_deg,
                     std::span<const Body> bodies, double within) {
    require_bodies(bodies);
    detail::require_positive("within", within);
    detail::require(opening_deg >= 0.0 && opening_deg <= 360.0, "opening_deg", opening_deg, "from 0 to 360");
    const gate::Corners c = gate::corners(sizes);
    const Pose shut = gate::pose(holes, 0.0);
    const hinge::PivotHinge motion(holes.jamb, 0.0, -opening_deg);
    const Point up = unit(c.upper_inner - c.lower_inner);
    const Point out = unit(c.lower_outer - c.lower_inner);
    const double most = std::min(sizes.thickness, sizes.height);
    Radii found;
    found.inner = smallest_radius(most, bodies, motion, within,
                                  [&](double r) { return corner(c.lower_inner, up, out, r).moved(shut); });
    found.outer = smallest_radius(most, bodies, motion, within,
                                  [&](double r) { return corner(c.lower_outer, up, -1.0 * out, r).moved(shut); });
    found.fits = found.inner + found.outer <= sizes.thickness + kRadiusWithin;
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
    require_move(turn, way, most, within);
    const Point ahead = unit(way);
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
    require_move(turn, way, most, within);
    const Point ahead = unit(way);
    const hinge::PivotHinge motion(turn.pivot, turn.turn_from_deg, turn.turn_to_deg);
    return first_kept(0.0, most, kMoveWithin, [&](double d) {
        std::vector<Outline> moved;
        for (const Outline& part : body.outlines) moved.push_back(part.moved({d * ahead.x, d * ahead.y, 0.0}));
        return gap_of(panel, moved, motion) >= body.wanted - within;
    });
}

}  // namespace foldswing::cure
