// The skin between two outlines: square to round, hoppers, pyramids, oblique cones.
#include <algorithm>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"
#include "edge_in_space.hpp"

namespace foldswing::development {
namespace {

using detail::dot;
using detail::EdgeInSpace;
using detail::norm;
using detail::Row;
using foldswing::detail::number_text;
using foldswing::detail::require;
using foldswing::detail::sin_cos_deg;

/// The top tilted about the level line square to the direction in which it rises.
detail::Seat seat_of(const Placement& at) {
    const auto [s, c] = sin_cos_deg(at.high_deg);
    const auto [st, ct] = sin_cos_deg(at.tilt_deg);
    const Point3 rising{ct * c, ct * s, st};
    const Point3 level{-s, c, 0.0};
    return {{at.offset.x, at.offset.y, at.height}, c * rising - s * level, s * rising + c * level};
}

void require_valid(const Placement& at) {
    if (!(std::isfinite(at.height) && at.height > 0.0))
        throw InvalidInput("height", at.height, "> 0: the outlines must not lie in one plane; set the top higher");
    foldswing::detail::require_finite("offset", at.offset.x);
    foldswing::detail::require_finite("offset", at.offset.y);
    foldswing::detail::require_finite("high_deg", at.high_deg);
    require(at.tilt_deg >= 0.0 && at.tilt_deg < 90.0, "tilt_deg", at.tilt_deg, "0 or more and under 90");
}

/// Corners, and arcs in steps of no more than a roll line's, each with the true length up to the next.
Row row_of(const EdgeInSpace& edge, int lines, double& sagitta) {
    Row row;
    for (const detail::Segment& s : edge.segments) {
        const double turn = s.arc ? s.end - s.start : 0.0;
        const int n = std::max(1, static_cast<int>(std::ceil(turn / 360.0 * lines - 1e-9)));
        for (int i = 0; i < n; ++i) {
            row.points.push_back(i == 0 ? s.from : s.at(s.start + turn * i / n));
            row.along.push_back(s.length() / n);
        }
        if (s.arc) sagitta = std::max(sagitta, norm(s.x) * foldswing::detail::one_minus_cos_deg(0.5 * turn / n));
    }
    row.points.push_back(edge.segments.front().from);
    return row;
}

/// Begun at the place nearest to a point.
void begin_near(Row& row, Point3 p) {
    row.points.pop_back();
    std::size_t best = 0;
    for (std::size_t i = 1; i < row.points.size(); ++i)
        if (norm(row.points[i] - p) < norm(row.points[best] - p)) best = i;
    std::rotate(row.points.begin(), row.points.begin() + static_cast<std::ptrdiff_t>(best), row.points.end());
    std::rotate(row.along.begin(), row.along.begin() + static_cast<std::ptrdiff_t>(best), row.along.end());
    row.points.push_back(row.points.front());
}

Pattern by_triangles(const EdgeInSpace& bottom, const EdgeInSpace& top, const Sheet& sheet, const Drawn& drawn) {
    double sagitta = 0.0;
    const Row low = row_of(bottom, drawn.lines, sagitta);
    Row high = row_of(top, drawn.lines, sagitta);
    begin_near(high, low.points.front());
    Pattern pattern = detail::triangulate("transition", low, high, false, sheet.thickness);
    pattern.sagitta = 0.0;
    pattern.surface_error = std::max(pattern.surface_error, sagitta);
    pattern.explanation =
        "Flat triangles stand for the skin. Sides along the edges have the length of the arcs, so the "
        "girths close; chords would be " +
        number_text(std::round(1e3 * pattern.girth_error) / 1e3) +
        " mm short. The edges of the triangles leave the arcs by up to " +
        number_text(std::round(1e3 * sagitta) / 1e3) + " mm.";
    return pattern;
}

}  // namespace

Pattern transition(const Path& bottom, const Path& top, const Placement& placement, Surface surface, const Sheet& sheet,
                   const Drawn& drawn) {
    detail::require_valid(sheet);
    detail::require_valid(drawn);
    require_valid(placement);
    const double to_middle = detail::to_middle(sheet);
    const Path low = detail::grown(detail::counter_clockwise(bottom, "bottom"), to_middle, "bottom");
    const Path high = detail::grown(detail::counter_clockwise(top, "top"), to_middle, "top");
    const EdgeInSpace below = detail::set_in_space(low, {{}, {1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}});
    const EdgeInSpace above = detail::set_in_space(high, seat_of(placement));
    const double clear_of_bottom = detail::lowest(above, below.up);
    if (!(clear_of_bottom > 0.0))
        throw InvalidInput(
            "height", placement.height,
            "over " + number_text(placement.height - clear_of_bottom) +
                " mm, or the tilted top dips into the plane of the bottom: set it higher or tilt it less");
    const Point3 seat = seat_of(placement).origin;
    const double clear_of_top = dot(above.up, seat) + detail::lowest(below, -1.0 * above.up);
    if (!(clear_of_top > 0.0))
        throw InvalidInput("tilt_deg", placement.tilt_deg,
                           "less, or the plane of the top cuts the bottom outline: tilt it less or set it higher by " +
                               number_text(-clear_of_top / above.up.z) + " mm");
    if (surface == Surface::triangles || !detail::convex(low) || !detail::convex(high)) {
        Pattern pattern = by_triangles(below, above, sheet, drawn);
        if (surface == Surface::smooth)
            pattern.explanation = "A hollow outline has no single skin that develops. " + pattern.explanation;
        return pattern;
    }
    return detail::unroll("transition", detail::matched(below, above, drawn.lines), sheet, drawn);
}

Pattern to_point(const Path& bottom, Point3 apex, const Sheet& sheet, const Drawn& drawn) {
    detail::require_valid(sheet);
    detail::require_valid(drawn);
    foldswing::detail::require_finite("apex", apex.x);
    foldswing::detail::require_finite("apex", apex.y);
    if (!(std::isfinite(apex.z) && apex.z > 0.0))
        throw InvalidInput("height", apex.z, "> 0: the point must stand above the outline; set it higher");
    const Path low = detail::grown(detail::counter_clockwise(bottom, "bottom"), detail::to_middle(sheet), "bottom");
    if (!detail::convex(low)) throw InvalidInput("bottom", "a hollow outline", "convex where the skin runs to a point");
    EdgeInSpace above;
    above.point = apex;
    const EdgeInSpace below = detail::set_in_space(low, {{}, {1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}});
    return detail::unroll("skin to a point", detail::matched(below, above, drawn.lines), sheet, drawn);
}

Pattern oblique_cone(double diameter, double height, Point offset, double top_diameter, const Sheet& sheet,
                     const Drawn& drawn) {
    foldswing::detail::require_positive("diameter", diameter);
    foldswing::detail::require_not_negative("top_diameter", top_diameter);
    Pattern pattern = top_diameter == 0.0
                          ? to_point(round_outline(diameter), {offset.x, offset.y, height}, sheet, drawn)
                          : transition(round_outline(diameter), round_outline(top_diameter), {height, offset, 0.0, 0.0},
                                       Surface::smooth, sheet, drawn);
    pattern.shape = top_diameter == 0.0 ? "oblique cone" : "oblique frustum";
    return pattern;
}

Path round_outline(double diameter) {
    foldswing::detail::require_positive("diameter", diameter);
    const double r = 0.5 * diameter;
    return {{{r, 0.0}, {-r, 0.0}}, {180.0, 180.0}, true};
}

Path rectangle_outline(double length, double width, double corner_radius) {
    foldswing::detail::require_positive("length", length);
    foldswing::detail::require_positive("width", width);
    foldswing::detail::require_not_negative("corner_radius", corner_radius);
    const double x = 0.5 * length;
    const double y = 0.5 * width;
    const double r = corner_radius;
    if (r > std::min(x, y))
        throw InvalidInput("corner_radius", r, "at most half the shorter side, " + number_text(std::min(x, y)) + " mm");
    if (r == 0.0) return {{{x, 0.0}, {x, y}, {-x, y}, {-x, -y}, {x, -y}}, {0.0, 0.0, 0.0, 0.0, 0.0}, true};
    std::vector<Point> points;
    std::vector<double> sweeps;
    const auto go = [&](Point p, double sweep) {  // straight on to p, then round the corner
        if (!points.empty() && points.back() == p) {
            sweeps.back() = sweep;
        } else {
            points.push_back(p);
            sweeps.push_back(sweep);
        }
    };
    if (y > r) go({x, 0.0}, 0.0);
    go({x, y - r}, 90.0);
    go({x - r, y}, 0.0);
    go({r - x, y}, 90.0);
    go({-x, y - r}, 0.0);
    go({-x, r - y}, 90.0);
    go({r - x, -y}, 0.0);
    go({x - r, -y}, 90.0);
    go({x, r - y}, 0.0);
    if (points.back() == points.front()) {
        points.pop_back();
        sweeps.pop_back();
    }
    return {std::move(points), std::move(sweeps), true};
}

}  // namespace foldswing::development
