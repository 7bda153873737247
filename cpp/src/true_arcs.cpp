#include "true_arcs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <utility>

#include "degrees.hpp"
#include "predicates.hpp"

namespace foldswing::detail {
namespace {

constexpr double kOnLineRel = 1e-10;    // of the largest coordinate: a side on a line, off it by rounding only
constexpr double kTouchRel = 1e-9;      // of the largest coordinate: carriers that touch, off it by rounding only
constexpr double kSamePlaceRel = 1e-9;  // of the largest coordinate: one point

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

double from_line(const Carrier& line, Point p) { return cross(line.along, p - line.centre); }

/// How far a side is from a carrier, at most at its ends and middle.
double strays(const Carrier& c, Point a, Point b) {
    if (c.radius == 0.0) return std::max(std::abs(from_line(c, a)), std::abs(from_line(c, b)));
    double most = 0.0;
    for (const Point p : {a, 0.5 * (a + b), b}) most = std::max(most, std::abs(span(p, c.centre) - c.radius));
    return most;
}

/// Where a line meets a circle or two circles meet, the one nearer to p; touching ones meet in one point.
std::optional<Point> meets_circle(Point foot, Point along, double off, double radius, Point p, double touch) {
    const double under = (radius - off) * (radius + off);
    if (std::abs(std::abs(off) - radius) <= touch) return foot;
    if (under < 0.0) return std::nullopt;
    const Point reach = std::sqrt(under) * along;
    return span(foot + reach, p) < span(foot - reach, p) ? foot + reach : foot - reach;
}

std::optional<Point> meet(const Carrier& a, const Carrier& b, Point p, double touch) {
    if (a.radius == 0.0 && b.radius == 0.0) {
        const double sine = cross(a.along, b.along);
        if (std::abs(sine) < kTouchRel) return std::nullopt;
        return a.centre + (cross(b.centre - a.centre, b.along) / sine) * a.along;
    }
    if (a.radius == 0.0 || b.radius == 0.0) {
        const Carrier& line = a.radius == 0.0 ? a : b;
        const Carrier& circle = a.radius == 0.0 ? b : a;
        const Point foot = line.centre + dot(circle.centre - line.centre, line.along) * line.along;
        // Where they touch, a point of the circle.
        return meets_circle(foot, line.along, from_line(line, circle.centre), circle.radius, p, touch);
    }
    const Point apart = b.centre - a.centre;
    const double d = norm(apart);
    if (d <= touch) return std::nullopt;  // one centre: the same circle, or never
    const Point u = (1.0 / d) * apart;
    if (std::abs(d - (a.radius + b.radius)) <= touch) return a.centre + a.radius * u;
    if (std::abs(d - std::abs(a.radius - b.radius)) <= touch)
        return a.centre + (a.radius > b.radius ? a.radius : -a.radius) * u;
    const double along = 0.5 * (d + (a.radius - b.radius) * ((a.radius + b.radius) / d));
    return meets_circle(a.centre + along * u, square_to(u), along, a.radius, p, 0.0);
}

double turn_about(Point centre, Point a, Point b) {
    return std::atan2(cross(a - centre, b - centre), dot(a - centre, b - centre)) / kDegree;
}

/// A run of sides on one carrier, or a single side on none.
struct Run {
    std::size_t carrier = kNone;
    Point from;
    Point to;
    double turn = 0.0;  // degrees about the circle's centre, as the sides have it
};

class Ringed {
  public:
    Ringed(const Ring& ring, const std::vector<Carrier>& carriers, double close)
        : ring_(ring), carriers_(carriers), close_(close) {
        for (const Point p : ring) size_ = std::max({size_, std::abs(p.x), std::abs(p.y)});
    }

    std::pair<std::optional<Path>, bool> path() {
        const std::size_t n = ring_.size();
        std::vector<std::size_t> on(n);
        bool all = true;
        for (std::size_t i = 0; i < n; ++i) {
            on[i] = carrier_of(ring_[i], ring_[(i + 1) % n]);
            all = all && on[i] != kNone;
        }
        // Begin where one carrier gives way to another.
        std::size_t first = 0;
        while (first < n && on[first] != kNone && on[first] == on[(first + n - 1) % n]) ++first;
        if (first == n) return {whole_circle(on[0]), all};
        std::vector<Run> runs;
        for (std::size_t k = 0; k < n; ++k) {
            const std::size_t i = (first + k) % n;
            const Point a = ring_[i];
            const Point b = ring_[(i + 1) % n];
            if (k == 0 || on[i] == kNone || on[i] != runs.back().carrier) runs.push_back({on[i], a, b, 0.0});
            runs.back().to = b;
            if (on[i] != kNone && carriers_[on[i]].radius > 0.0)
                runs.back().turn += turn_about(carriers_[on[i]].centre, a, b);
        }
        join(runs);
        return {build(runs), all};
    }

  private:
    [[nodiscard]] std::size_t carrier_of(Point a, Point b) const {
        std::size_t best = kNone;
        double least = close_;
        for (std::size_t c = 0; c < carriers_.size(); ++c) {
            const double off = strays(carriers_[c], a, b);
            if (carriers_[c].radius == 0.0) {
                if (off <= kOnLineRel * size_) return c;  // lines come first
            } else if (off < least) {
                least = off;
                best = c;
            }
        }
        return best;
    }

    [[nodiscard]] std::optional<Path> whole_circle(std::size_t on) const {
        const Carrier& c = carriers_[on];
        if (c.radius == 0.0) return std::nullopt;
        double turn = 0.0;
        for (std::size_t i = 0; i < ring_.size(); ++i)
            turn += turn_about(c.centre, ring_[i], ring_[(i + 1) % ring_.size()]);
        const Point spoke = (c.radius / span(ring_[0], c.centre)) * (ring_[0] - c.centre);
        const double half = std::copysign(180.0, turn);
        return Path({c.centre + spoke, c.centre - spoke}, {half, half}, true);
    }

    /// Neighbours meet where their carriers do; runs that come to nothing go.
    void join(std::vector<Run>& runs) const {
        for (bool again = true; again && runs.size() > 1;) {
            again = false;
            for (std::size_t i = 0; i < runs.size(); ++i) {
                Run& a = runs[i];
                Run& b = runs[(i + 1) % runs.size()];
                if (a.carrier == kNone || b.carrier == kNone) continue;
                const auto at = detail::meet(carriers_[a.carrier], carriers_[b.carrier], a.to, kTouchRel * size_);
                const double radius = std::max(carriers_[a.carrier].radius, carriers_[b.carrier].radius);
                // Where they touch, chords leave the meeting open by as much as a chord is long.
                const double reach = 4.0 * (std::sqrt(radius * close_) + close_);
                if (at && span(*at, a.to) <= reach) a.to = b.from = *at;
            }
            const auto nothing = [&](const Run& r) {
                return r.carrier != kNone && span(r.from, r.to) <= kSamePlaceRel * size_ && std::abs(r.turn) < 180.0;
            };
            for (std::size_t i = 0; i < runs.size() && runs.size() > 2; ++i)
                if (nothing(runs[i])) {
                    runs.erase(runs.begin() + static_cast<std::ptrdiff_t>(i--));
                    again = true;
                }
            for (std::size_t i = 0; again && i < runs.size() && runs.size() > 2; ++i) {
                const std::size_t next = (i + 1) % runs.size();
                if (runs[i].carrier == kNone || runs[i].carrier != runs[next].carrier) continue;
                runs[i].to = runs[next].to;
                runs[i].turn += runs[next].turn;
                runs.erase(runs.begin() + static_cast<std::ptrdiff_t>(next));
            }
        }
    }

    [[nodiscard]] std::optional<Path> build(const std::vector<Run>& runs) const {
        std::vector<Point> points;
        std::vector<double> sweeps;
        for (std::size_t i = 0; i < runs.size(); ++i) {
            const Run& r = runs[i];
            const Point to = runs[(i + 1) % runs.size()].from;
            if (r.from == to) continue;
            double sweep = 0.0;
            if (r.carrier != kNone && carriers_[r.carrier].radius > 0.0) {
                const Point centre = carriers_[r.carrier].centre;
                const double exact = turn_about(centre, r.from, to);
                sweep = exact + 360.0 * std::round((r.turn - exact) / 360.0);
                if (std::abs(sweep) >= 360.0) sweep = exact;
            }
            points.push_back(r.from);
            sweeps.push_back(sweep);
        }
        if (points.size() < 2) return std::nullopt;
        return Path(std::move(points), std::move(sweeps), true);
    }

    const Ring& ring_;
    const std::vector<Carrier>& carriers_;
    double close_;
    double size_ = 0.0;
};

}  // namespace

TrueRing with_true_arcs(const Outline& outline, const std::vector<Carrier>& carriers, double close) {
    TrueRing out;
    const auto add = [&](const Ring& ring) {
        auto [path, all] = Ringed(ring, carriers, close).path();
        out.all = out.all && all && path.has_value();
        if (path)
            out.paths.push_back(*std::move(path));
        else
            out.paths.emplace_back(ring, std::vector<double>(ring.size(), 0.0), true);
    };
    add(outline.corners());
    for (const Ring& hole : outline.holes()) add(hole);
    return out;
}

}  // namespace foldswing::detail
