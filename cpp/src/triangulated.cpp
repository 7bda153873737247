// Triangles laid flat one against the other.
#include <algorithm>

#include "check.hpp"
#include "degrees.hpp"
#include "unroll.hpp"

namespace foldswing::development::detail {
namespace {

using foldswing::detail::kDegree;

double between(Point a, Point b) noexcept { return std::hypot(b.x - a.x, b.y - a.y); }

/// The third corner, on the right of the way from a to b, by its distances from both. Heron's area with sorted sides.
Point third(Point a, Point b, double from_a, double from_b) {
    const double c = between(a, b);
    std::array<double, 3> s{c, from_a, from_b};
    std::sort(s.begin(), s.end(), std::greater<>());
    const double product =
        (s[0] + (s[1] + s[2])) * (s[2] - (s[0] - s[1])) * (s[2] + (s[0] - s[1])) * (s[0] + (s[1] - s[2]));
    if (!(product > 0.0)) throw InvalidInput("lines", "too few", "enough for the triangles to close: take more lines");
    const double height = 0.5 * std::sqrt(product) / c;
    const double along = 0.5 * (c + (from_a - from_b) * (from_a + from_b) / c);
    const Point up{(b.x - a.x) / c, (b.y - a.y) / c};
    return {a.x + along * up.x + height * up.y, a.y + along * up.y - height * up.x};
}

Point3 outward(Point3 a, Point3 b, Point3 c) { return cross(b - a, c - a); }

}  // namespace

Pattern triangulate(std::string shape, const Row& bottom, const Row& top, bool in_step, double thickness) {
    Pattern pattern;
    pattern.shape = std::move(shape);
    pattern.method = Method::triangles;
    pattern.thickness = thickness;
    std::size_t i = 0;
    std::size_t j = 0;
    const std::size_t n = bottom.points.size() - 1;
    const std::size_t m = top.points.size() - 1;
    std::vector<Ruling> rulings;
    const auto add = [&](Point b, Point t) { rulings.push_back({b, t, bottom.points[i], top.points[j]}); };
    add({0.0, 0.0}, {0.0, norm(top.points[0] - bottom.points[0])});
    Point3 before{};  // outward on the triangle before
    bool bottom_last = false;
    while (i < n || j < m) {
        const Ruling r = rulings.back();
        bool move_bottom = j == m;
        if (i < n && j < m) {
            const double by_bottom = norm(top.points[j] - bottom.points[i + 1]);
            const double by_top = norm(top.points[j + 1] - bottom.points[i]);
            move_bottom = in_step ? !bottom_last : by_bottom <= by_top;
        }
        bottom_last = move_bottom;
        const Point3 next = move_bottom ? bottom.points[i + 1] : top.points[j + 1];
        const Point3 out = outward(r.bottom, next, r.top);
        if (rulings.size() > 1) {
            Line line;
            line.kind = LineKind::fold;
            line.label = std::to_string(pattern.lines.size() + 1);
            line.ends = {{r.flat_bottom, r.flat_top}, {r.bottom, r.top}};
            line.length = norm(r.top - r.bottom);
            const Point3 axis = (1.0 / line.length) * (r.top - r.bottom);
            line.angle_deg = std::atan2(dot(cross(before, out), axis), dot(before, out)) / kDegree;
            pattern.lines.push_back(line);
        }
        before = out;
        const double side = move_bottom ? bottom.along[i] : top.along[j];
        const double across = norm(next - (move_bottom ? r.top : r.bottom));
        if (side == 0.0) {  // an end that stands still for a step
            ++(move_bottom ? i : j);
            add(r.flat_bottom, r.flat_top);
        } else if (move_bottom) {
            const Point p = third(r.flat_bottom, r.flat_top, side, across);
            ++i;
            add(p, r.flat_top);
        } else {
            const Point p = third(r.flat_bottom, r.flat_top, across, side);
            ++j;
            add(r.flat_bottom, p);
        }
        const Ruling& made = rulings.back();
        const Point far = move_bottom ? made.flat_bottom : made.flat_top;
        const Point up = r.flat_top - r.flat_bottom;
        const Point to = far - r.flat_bottom;
        pattern.area += 0.5 * std::abs(up.x * to.y - up.y * to.x);
    }
    const auto sum = [](const Row& row) {
        double length = 0.0;
        double chords = 0.0;
        for (std::size_t k = 0; k < row.along.size(); ++k) {
            length += row.along[k];
            chords += norm(row.points[k + 1] - row.points[k]);
        }
        return std::pair{length, chords};
    };
    const auto [low, low_chords] = sum(bottom);
    const auto [high, high_chords] = sum(top);
    pattern.girth_error = std::max({low - low_chords, high - high_chords, 0.0});
    outline_from(pattern, rulings, low, high);
    require_lies_flat(pattern);
    return pattern;
}

}  // namespace foldswing::development::detail
