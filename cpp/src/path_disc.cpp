// A closed path joined with a disc: both edges are cut where they meet, and what lies outside the other is kept.
#include <algorithm>
#include <cmath>
#include <foldswing/plane.hpp>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "predicates.hpp"
#include "rings.hpp"

namespace foldswing {
namespace {

// Of the radius. A circle that cuts this little off an edge touches it: the cut would be a hair at most.
constexpr double kTouchRel = 1e-12;
constexpr double kFineRel =
    1e-3;  // of the radius; chords this close to the edge tell on which side of it the disc lies

struct Disc {
    Point centre;
    double radius = 0.0;
    [[nodiscard]] bool contains(Point p) const { return detail::span(p, centre) < radius; }
    /// Degrees in [0, 360).
    [[nodiscard]] double angle(Point p) const {
        const double a = std::atan2(p.y - centre.y, p.x - centre.x) / detail::kDegree;
        return a < 0.0 ? a + 360.0 : a;
    }
};

/// Where a straight segment meets the circle, as fractions of it.
void add_line_cuts(Point from, Point to, const Disc& disc, std::vector<double>& cuts) {
    const double length = detail::span(from, to);
    const Point u{(to.x - from.x) / length, (to.y - from.y) / length};
    const double off = std::abs(detail::cross(u, disc.centre - from));
    if (off >= disc.radius * (1.0 - kTouchRel)) return;
    const double half = std::sqrt((disc.radius - off) * (disc.radius + off));
    const double foot = detail::dot(u, disc.centre - from);
    cuts.push_back((foot - half) / length);
    cuts.push_back((foot + half) / length);
}

/// The same for an arc.
void add_arc_cuts(const Path& path, std::size_t i, const Disc& disc, std::vector<double>& cuts) {
    const Point centre = path.centre(i);
    const double radius = path.radius(i);
    const double apart = detail::span(centre, disc.centre);
    const double touch = kTouchRel * disc.radius;
    if (apart >= disc.radius + radius - touch || apart <= std::abs(disc.radius - radius) + touch) return;
    // Along the line of centres, and square to it (Heron's product: no difference of squares).
    const double along = 0.5 * (apart + (radius - disc.radius) * ((radius + disc.radius) / apart));
    const double s = 0.5 * (apart + radius + disc.radius);
    const double square = 2.0 / apart * std::sqrt(std::max(0.0, s * (s - apart) * (s - radius) * (s - disc.radius)));
    const Point u{(disc.centre.x - centre.x) / apart, (disc.centre.y - centre.y) / apart};
    const Point from = path.start(i) - centre;
    const double sweep = path.sweep_deg()[i];
    for (const double side : {-square, square}) {
        const Point at = along * u + side * detail::square_to(u);
        double turn = std::atan2(detail::cross(from, at), detail::dot(from, at)) / detail::kDegree;
        if (turn * sweep < 0.0) turn += std::copysign(360.0, sweep);
        cuts.push_back(turn / sweep);
    }
}

/// A stretch of the path outside the disc.
struct Run {
    std::vector<Point> points;   // the starts of its pieces
    std::vector<double> sweeps;  // of its pieces
    Point end;
};

/// The stretches, in order; empty where the disc covers the path. One run that ends where it starts: no cut.
std::vector<Run> runs_outside(const Path& path, const Disc& disc) {
    std::vector<Run> runs;
    bool open = false;  // the last run still goes on
    for (std::size_t i = 0; i < path.size(); ++i) {
        const double sweep = path.sweep_deg()[i];
        std::vector<double> cuts;
        if (sweep == 0.0)
            add_line_cuts(path.start(i), path.end(i), disc, cuts);
        else
            add_arc_cuts(path, i, disc, cuts);
        std::erase_if(cuts, [](double t) { return !(t > 0.0 && t < 1.0); });
        std::sort(cuts.begin(), cuts.end());
        cuts.insert(cuts.begin(), 0.0);
        cuts.push_back(1.0);
        for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
            const Point a = path.at(i, cuts[k]);
            const Point b = path.at(i, cuts[k + 1]);
            if (a == b) continue;
            if (disc.contains(path.at(i, 0.5 * (cuts[k] + cuts[k + 1])))) {
                open = false;
                continue;
            }
            if (!open) runs.emplace_back();
            open = true;
            runs.back().points.push_back(a);
            runs.back().sweeps.push_back(sweep * (cuts[k + 1] - cuts[k]));
            runs.back().end = b;
        }
    }
    // The path is closed: a run over its first point was begun in the middle.
    if (open && runs.size() > 1 && runs.front().points.front() == path.start(0)) {
        Run& last = runs.back();
        Run& first = runs.front();
        last.points.insert(last.points.end(), first.points.begin(), first.points.end());
        last.sweeps.insert(last.sweeps.end(), first.sweeps.begin(), first.sweeps.end());
        last.end = first.end;
        first = std::move(last);
        runs.pop_back();
    }
    return runs;
}

/// Area inside a closed path, counter-clockwise positive.
double area(const Path& path) {
    double sum = 0.0;
    const Point o = path.start(0);
    for (std::size_t i = 0; i < path.size(); ++i) {
        sum += 0.5 * detail::cross(path.start(i) - o, path.end(i) - o);
        const double sweep = path.sweep_deg()[i];
        if (sweep == 0.0) continue;
        const double r = path.radius(i);
        sum += 0.5 * r * r * (sweep * detail::kDegree - detail::sin_deg(sweep));
    }
    return sum;
}

/// With a disc, for a ring that runs counter-clockwise.
Path with_disc_added(const Path& ring, const Outline& solid, const Disc& disc) {
    const Point centre = disc.centre;
    const double radius = disc.radius;
    std::vector<Run> runs = runs_outside(ring, disc);
    if (runs.empty()) return {{centre - Point{radius, 0.0}, centre + Point{radius, 0.0}}, {180.0, 180.0}, true};
    if (runs.size() == 1 && runs[0].end == runs[0].points[0]) {
        if (locate(solid, centre) == Place::outside)
            throw InvalidInput("centre", detail::point_text(centre), "within the radius of the ring");
        return ring;
    }
    // From the end of each run the circle goes on, counter-clockwise, to the start of the next one along it.
    const auto onward = [&](Point from, Point to) {
        if (detail::span(from, to) <= kTouchRel * radius) return 0.0;
        const double turn = disc.angle(to) - disc.angle(from);
        return turn < 0.0 ? turn + 360.0 : turn;
    };
    std::vector<bool> used(runs.size(), false);
    Path best = ring;
    double largest = 0.0;
    for (std::size_t first = 0; first < runs.size(); ++first) {
        if (used[first]) continue;
        std::vector<Point> points;
        std::vector<double> sweeps;
        std::size_t at = first;
        do {
            used[at] = true;
            points.insert(points.end(), runs[at].points.begin(), runs[at].points.end());
            sweeps.insert(sweeps.end(), runs[at].sweeps.begin(), runs[at].sweeps.end());
            const Point end = runs[at].end;
            std::size_t next = first;
            double least = onward(end, runs[first].points[0]);
            for (std::size_t j = 0; j < runs.size(); ++j) {
                if (used[j]) continue;
                if (const double turn = onward(end, runs[j].points[0]); turn < least) {
                    least = turn;
                    next = j;
                }
            }
            if (least > 0.0) {
                points.push_back(end);
                sweeps.push_back(least);
            }
            at = next;
        } while (at != first);
        Path loop(std::move(points), std::move(sweeps), true);
        if (const double size = area(loop); size > largest) {  // the others are holes between the two
            largest = size;
            best = std::move(loop);
        }
    }
    return best;
}

}  // namespace

Path with_disc(const Path& ring, Point centre, double radius) {
    detail::require_positive("radius", radius);
    detail::require_finite("centre.x", centre.x);
    detail::require_finite("centre.y", centre.y);
    if (!ring.closed()) throw InvalidInput("ring", "an open path", "closed");
    const Outline solid = ring.outline(kFineRel * radius);  // refuses a path that crosses itself
    if (area(ring) < 0.0) return with_disc_added(ring.reversed(), solid, {centre, radius}).reversed();
    return with_disc_added(ring, solid, {centre, radius});
}

}  // namespace foldswing
