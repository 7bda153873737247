// Spheres and crowns in gores.
#include <algorithm>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"
#include "unroll.hpp"

namespace foldswing::development {

using foldswing::detail::kDegree;
using foldswing::detail::require;
using foldswing::detail::sin_cos_deg;

Pattern gore(double diameter, int gores, double from_deg, double to_deg, const Sheet& sheet, const Drawn& drawn) {
    foldswing::detail::require_positive("diameter", diameter);
    detail::require_valid(sheet);
    detail::require_valid(drawn);
    require(gores >= 3 && gores <= 360, "gores", gores, "3 to 360");
    require(from_deg >= -90.0 && from_deg < 90.0, "from_deg", from_deg, "-90 or more and under 90");
    require(to_deg > from_deg && to_deg <= 90.0, "to_deg", to_deg, "above from_deg and at most 90");
    const double r = 0.5 * diameter + detail::to_middle(sheet);
    require(r > 0.0, "diameter", diameter, "more than the thickness of the sheet");
    const double share = std::numbers::pi / gores;
    const double half_deg = 180.0 / gores;
    const auto right = [&](double at) {
        return Point{share * r * foldswing::detail::cos_deg(at), r * ((at - from_deg) * kDegree)};
    };
    const auto on_sphere = [&](double at, double way) {
        const auto [s, c] = sin_cos_deg(at);
        const auto [sp, cp] = sin_cos_deg(half_deg);
        return Point3{r * c * cp, way * r * c * sp, r * s};
    };
    const int parts = std::max(1, static_cast<int>(std::ceil((to_deg - from_deg) / 360.0 * drawn.lines - 1e-9)));
    const auto at = [&](int i, int n) { return i == n ? to_deg : from_deg + (to_deg - from_deg) * i / n; };
    const int steps = detail::steps_within(
        drawn.sagitta, parts,
        [&](int n) {
            std::vector<Point> points;
            for (int i = 0; i <= n; ++i) points.push_back(right(at(i, n)));
            return points;
        },
        1);
    Pattern pattern;
    pattern.shape = "gore";
    pattern.method = Method::stretched;
    pattern.thickness = sheet.thickness;
    pattern.sagitta = drawn.sagitta;
    Curve& out = pattern.outline;
    const auto add = [&](double here, double way) {
        const Point p = right(here);
        out.flat.push_back({way * p.x, p.y});
        out.folded.push_back(on_sphere(here, way));
    };
    const bool foot = from_deg > -90.0;  // else it begins in a point
    const bool head = to_deg < 90.0;
    if (foot) add(from_deg, -1.0);
    const std::size_t right_foot = out.flat.size();
    for (int i = 0; i <= steps; ++i) add(at(i, steps), 1.0);
    const std::size_t right_head = out.flat.size() - 1;
    if (head) add(to_deg, -1.0);
    const std::size_t left_head = out.flat.size() - 1;
    for (int i = steps - 1; i >= 1; --i) add(at(i, steps), -1.0);
    const auto width = [&](double here) { return 2.0 * right(here).x; };
    const double meridian = r * ((to_deg - from_deg) * kDegree);
    const double flat_edge = detail::integral(
        [&](double here) { return r * kDegree * std::hypot(1.0, share * foldswing::detail::sin_deg(here)); }, from_deg,
        to_deg);
    double drawn_edge = 0.0;
    for (std::size_t i = right_foot; i < right_head; ++i) {
        const Point d = out.flat[i + 1] - out.flat[i];
        drawn_edge += std::hypot(d.x, d.y);
    }
    if (foot) pattern.edges.push_back({"bottom", 0, right_foot, width(from_deg), width(from_deg)});
    pattern.edges.push_back({"right edge", right_foot, right_head, meridian, drawn_edge});
    if (head) pattern.edges.push_back({"top", right_head, left_head, width(to_deg), width(to_deg)});
    pattern.edges.push_back({"left edge", left_head, 0, meridian, drawn_edge});
    for (int i = 1; i < parts; ++i) {
        const double here = at(i, parts);
        const Point p = right(here);
        pattern.lines.push_back({detail::round_label(std::round(1e6 * here) / 1e6),
                                 LineKind::roll,
                                 {{{-p.x, p.y}, p}, {on_sphere(here, -1.0), on_sphere(here, 1.0)}},
                                 2.0 * p.x,
                                 0.0,
                                 0.0});
    }
    const double s0 = foldswing::detail::sin_deg(from_deg);
    const double s1 = foldswing::detail::sin_deg(to_deg);
    pattern.area = 2.0 * share * r * r * (s1 - s0);
    const double steepest = share * std::max(std::abs(s0), std::abs(s1));
    pattern.edge_strain = -steepest * steepest / (std::hypot(1.0, steepest) * (1.0 + std::hypot(1.0, steepest)));
    pattern.girth_error = flat_edge - meridian;
    const double percent = std::round(-1e4 * pattern.edge_strain) / 100.0;
    pattern.explanation =
        "Curved both ways: it does not develop. The girth is true at every height and the length is "
        "true down the middle; the edges come out " +
        foldswing::detail::number_text(std::round(100.0 * pattern.girth_error) / 100.0) +
        " mm too long and have to be shrunk by up to " + foldswing::detail::number_text(percent) +
        " %, most at the end nearest a pole. More gores need less.";
    return pattern;
}

}  // namespace foldswing::development
