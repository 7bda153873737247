#include <algorithm>
#include <cmath>
#include <foldswing/drafting.hpp>

#include "check.hpp"
#include "degrees.hpp"
#include "polygon.hpp"

namespace foldswing::drafting {
namespace {

constexpr double kCubicDeg =
    30.0;  // longest arc that one cubic stands for: error 2/27 (a/4)^6 ... < 4e-7 of the radius

void take(Bounds& box, Point p) noexcept {
    box.left = std::min(box.left, p.x);
    box.right = std::max(box.right, p.x);
    box.bottom = std::min(box.bottom, p.y);
    box.top = std::max(box.top, p.y);
}

/// Take in the points of arc i where it runs level or upright: they lie at whole quarters about its centre.
void take_quarters(Bounds& box, const Path& path, std::size_t i) {
    const double sweep = path.sweep_deg()[i];
    const Point centre = path.centre(i);
    const double radius = path.radius(i);
    // So flat that its radius is beyond all numbers: a straight line to them, bounded by its ends.
    if (!std::isfinite(radius) || !std::isfinite(centre.x) || !std::isfinite(centre.y)) return;
    const Point from = path.start(i) - centre;
    const double start_deg = std::atan2(from.y, from.x) / detail::kDegree;
    const double low = std::min(start_deg, start_deg + sweep);
    const double high = std::max(start_deg, start_deg + sweep);
    for (int quarter = static_cast<int>(std::ceil(low / 90.0)); quarter * 90.0 <= high; ++quarter) {
        const auto [s, c] = detail::sin_cos_deg(quarter * 90.0);
        take(box, centre + radius * Point{c, s});
    }
}

bool holds(const Bounds& window, Point p) noexcept {
    return p.x >= window.left && p.x <= window.right && p.y >= window.bottom && p.y <= window.top;
}

void clip_ring(const Ring& ring, const Bounds& window, std::vector<Path>& out) {
    if (std::all_of(ring.begin(), ring.end(), [&](Point p) { return holds(window, p); })) {
        out.emplace_back(ring, std::vector<double>(ring.size(), 0.0), true);
        return;
    }
    std::vector<Point> round = ring;
    round.push_back(ring.front());
    for (auto& run : detail::runs_within(round, {window.left, window.bottom}, {window.right, window.top})) {
        std::vector<double> straight(run.size() - 1, 0.0);
        out.emplace_back(std::move(run), std::move(straight), false);
    }
}

}  // namespace

Bounds bounds(const Path& path) {
    const Point first = path.start(0);
    Bounds box{first.x, first.y, first.x, first.y};
    for (std::size_t i = 0; i < path.size(); ++i) {
        take(box, path.end(i));
        if (path.sweep_deg()[i] != 0.0) take_quarters(box, path, i);
    }
    return box;
}

Path split(const Path& path, double max_sweep_deg) {
    if (!(max_sweep_deg >= 1.0 && max_sweep_deg <= 360.0))
        throw InvalidInput("max_sweep_deg", max_sweep_deg, "within 1 and 360");
    std::vector<Point> points;
    std::vector<double> sweeps;
    for (std::size_t i = 0; i < path.size(); ++i) {
        const double sweep = path.sweep_deg()[i];
        const int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(sweep) / max_sweep_deg)));
        points.push_back(path.start(i));
        sweeps.push_back(sweep / pieces);
        for (int k = 1; k < pieces; ++k) {
            points.push_back(path.at(i, static_cast<double>(k) / pieces));
            sweeps.push_back(sweep / pieces);
        }
    }
    if (!path.closed()) points.push_back(path.end(path.size() - 1));
    return {std::move(points), std::move(sweeps), path.closed()};
}

std::vector<double> radii(const Path& path) {
    std::vector<double> out(path.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = path.radius(i);
    return out;
}

std::vector<double> bulges(const Path& path) {
    std::vector<double> out(path.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto [s, c] = detail::sin_cos_deg(0.5 * path.sweep_deg()[i]);
        out[i] = s / (1.0 + c);  // tan of half the angle: exact at half turns, no pole short of a full one
    }
    return out;
}

std::vector<Cubic> cubics(const Path& path) {
    const Path pieces = split(path, kCubicDeg);
    std::vector<Cubic> out(pieces.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const Point a = pieces.start(i);
        const Point b = pieces.end(i);
        const Point chord = b - a;
        // The tangents lie half the sweep off the chord. Controls at 4/3 tan(sweep/4) radii along them put the middle
        // of the cubic on the arc; over the chord 2 r sin(sweep/2) that is 1 / (3 cos(sweep/4)^2), and 1/3 for a line.
        const auto [s, c] = detail::sin_cos_deg(0.5 * pieces.sweep_deg()[i]);
        const double reach = 2.0 / (3.0 * (1.0 + c));
        const Point along_a{c * chord.x + s * chord.y, c * chord.y - s * chord.x};
        const Point along_b{c * chord.x - s * chord.y, c * chord.y + s * chord.x};
        out[i] = {a, a + reach * along_a, b - reach * along_b, b};
    }
    return out;
}

std::vector<Path> clipped(const Outline& outline, const Bounds& window) {
    detail::require_finite("window.left", window.left);
    detail::require_finite("window.bottom", window.bottom);
    detail::require_finite("window.right", window.right);
    detail::require_finite("window.top", window.top);
    detail::require(window.left < window.right, "window.right", window.right, "greater than window.left");
    detail::require(window.bottom < window.top, "window.top", window.top, "greater than window.bottom");
    std::vector<Path> out;
    clip_ring(outline.corners(), window, out);
    for (const Ring& hole : outline.holes()) clip_ring(hole, window, out);
    return out;
}

Point foot(Point p, Point a, Point b) {
    for (const double v : {p.x, p.y, a.x, a.y, b.x, b.y}) detail::require_finite("p, a and b", v);
    if (a == b) throw InvalidInput("b", "the same point as a", "another point of the line");
    const Point along = b - a;
    const double length = std::hypot(along.x, along.y);
    const Point unit{along.x / length, along.y / length};
    const Point to = p - a;
    return a + (to.x * unit.x + to.y * unit.y) * unit;
}

}  // namespace foldswing::drafting
