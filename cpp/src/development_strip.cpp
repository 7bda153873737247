// The strip between two edges in space: rulings matched so that the sheet twists as little as it can.
#include <algorithm>
#include <limits>

#include "check.hpp"
#include "degrees.hpp"
#include "unroll.hpp"

namespace foldswing::development {
namespace {

using detail::cross;
using detail::dot;
using detail::norm;
using foldswing::detail::kDegree;
using foldswing::detail::require;

constexpr int kFiner = 16;         // places along the top tried for each ruling
constexpr double kEvenly = 1e-8;   // radians squared: where any ruling would do, they follow each other evenly
constexpr int kHalvings = 60;      // of a place between two neighbours: down to rounding
constexpr double kNoTwist = 0.01;  // degrees; no hand feels it, and a curve laid through points leaves more

/// A curve through points: cubic pieces whose slopes are those of the parabola through three neighbours, over the
/// straight distance between points. Parameter from 0 to 1 over the whole distance.
class Through {
  public:
    Through(std::span<const Point3> points, const char* name) : p_(points.begin(), points.end()) {
        if (p_.size() < 2) throw InvalidInput(name, std::to_string(p_.size()) + " points", "2 points or more");
        for (const Point3& p : p_)
            if (!(std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z)))
                throw InvalidInput(name, "a coordinate that is not a number", "finite");
        at_.push_back(0.0);
        for (std::size_t i = 1; i < p_.size(); ++i) {
            const double step = norm(p_[i] - p_[i - 1]);
            if (!(step > 0.0))
                throw InvalidInput(name, "points " + std::to_string(i) + " and " + std::to_string(i + 1),
                                   "neighbours that do not coincide");
            at_.push_back(at_.back() + step);
        }
        const auto chord = [&](std::size_t i) { return (1.0 / (at_[i + 1] - at_[i])) * (p_[i + 1] - p_[i]); };
        const std::size_t n = p_.size();
        if (n == 2) {
            slope_.assign(2, chord(0));
            return;
        }
        slope_.resize(n);
        for (std::size_t i = 1; i + 1 < n; ++i) {
            const double before = at_[i] - at_[i - 1];
            const double after = at_[i + 1] - at_[i];
            slope_[i] = (after / (before + after)) * chord(i - 1) + (before / (before + after)) * chord(i);
        }
        slope_[0] = 2.0 * chord(0) - slope_[1];
        slope_[n - 1] = 2.0 * chord(n - 2) - slope_[n - 2];
    }
    [[nodiscard]] Point3 at(double s) const {
        const auto [i, h, t] = piece(s);
        const double t2 = t * t;
        const double t3 = t2 * t;
        return (1.0 - 3.0 * t2 + 2.0 * t3) * p_[i] + (3.0 * t2 - 2.0 * t3) * p_[i + 1] +
               (h * (t - 2.0 * t2 + t3)) * slope_[i] + (h * (t3 - t2)) * slope_[i + 1];
    }
    [[nodiscard]] Point3 rate(double s) const {
        const auto [i, h, t] = piece(s);
        const double t2 = t * t;
        return at_.back() * ((6.0 * (t - t2) / h) * (p_[i + 1] - p_[i]) + (1.0 - 4.0 * t + 3.0 * t2) * slope_[i] +
                             (3.0 * t2 - 2.0 * t) * slope_[i + 1]);
    }
    [[nodiscard]] double length(double from, double to) const {
        double sum = 0.0;
        double start = from;
        for (const double joint : at_) {  // piece by piece: the curve's bend jumps where they meet
            const double s = joint / at_.back();
            if (s <= start || s >= to) continue;
            sum += detail::integral([&](double u) { return norm(rate(u)); }, start, s);
            start = s;
        }
        return sum + detail::integral([&](double u) { return norm(rate(u)); }, start, to);
    }

  private:
    struct In {
        std::size_t i;
        double h;
        double t;
    };
    [[nodiscard]] In piece(double s) const {
        const double x = s * at_.back();
        auto i = static_cast<std::size_t>(std::upper_bound(at_.begin(), at_.end(), x) - at_.begin());
        i = std::clamp<std::size_t>(i, 1, at_.size() - 1) - 1;
        const double h = at_[i + 1] - at_[i];
        return {i, h, std::clamp((x - at_[i]) / h, 0.0, 1.0)};
    }
    std::vector<Point3> p_;
    std::vector<double> at_;
    std::vector<Point3> slope_;
};

/// Angle from the sheet's plane at the bottom of a ruling to that at its top, about the ruling, radians.
double twist(const Through& bottom, double s, const Through& top, double t) {
    const Point3 ruling = top.at(t) - bottom.at(s);
    const Point3 low = cross(bottom.rate(s), ruling);
    const Point3 high = cross(top.rate(t), ruling);
    return std::atan2(dot(cross(low, high), ruling) / norm(ruling), dot(low, high));
}

/// The top's places for rulings at equal steps of the bottom's parameter: least sum of squared twists, in order.
std::vector<double> in_order(const Through& bottom, const Through& top, int n) {
    const int m = kFiner * n;
    const auto width = static_cast<std::size_t>(m) + 1;
    std::vector<double> cost(width, std::numeric_limits<double>::infinity());
    cost[0] = 0.0;
    std::vector<std::vector<int>> from(static_cast<std::size_t>(n) + 1, std::vector<int>(width, 0));
    const auto even = static_cast<double>(kFiner);
    for (int i = 1; i <= n; ++i) {
        // least over j' <= j of cost[j'] + (j - j' - even)^2: a window is enough, since a ruling that leaps farther
        // pays as much for its neighbours
        std::vector<double> next(width, std::numeric_limits<double>::infinity());
        for (int j = 0; j <= m; ++j) {
            if ((i == n) != (j == m)) continue;
            double best = std::numeric_limits<double>::infinity();
            int best_from = 0;
            for (int k = std::max(0, j - 6 * kFiner); k <= j; ++k) {
                const double uneven = (j - k - even) / even;
                const double c = cost[static_cast<std::size_t>(k)] + kEvenly * uneven * uneven;
                if (c < best) {
                    best = c;
                    best_from = k;
                }
            }
            if (!std::isfinite(best)) continue;
            const double w = i == n ? 0.0 : twist(bottom, static_cast<double>(i) / n, top, static_cast<double>(j) / m);
            next[static_cast<std::size_t>(j)] = best + w * w;
            from[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)] = best_from;
        }
        cost = std::move(next);
    }
    std::vector<double> at(static_cast<std::size_t>(n) + 1);
    int j = m;
    for (int i = n; i >= 0; --i) {
        at[static_cast<std::size_t>(i)] = static_cast<double>(j) / m;
        if (i > 0) j = from[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
    }
    return at;
}

/// Each ruling's top moved, within half a step, to where the twist goes through zero.
void settle(const Through& bottom, const Through& top, std::vector<double>& at) {
    const std::size_t n = at.size() - 1;
    const double cell = 1.0 / (kFiner * static_cast<double>(n));
    const std::vector<double> was = at;
    for (std::size_t i = 1; i < n; ++i) {
        const double s = static_cast<double>(i) / static_cast<double>(n);
        double low = std::max(was[i] - cell, 0.5 * (was[i - 1] + was[i]));
        double high = std::min(was[i] + cell, 0.5 * (was[i] + was[i + 1]));
        double at_low = twist(bottom, s, top, low);
        const double at_high = twist(bottom, s, top, high);
        if (!(at_low * at_high < 0.0) || std::abs(at_high - at_low) > 1.0) continue;
        for (int k = 0; k < kHalvings; ++k) {
            const double middle = 0.5 * (low + high);
            const double here = twist(bottom, s, top, middle);
            if ((here < 0.0) == (at_low < 0.0)) {
                low = middle;
                at_low = here;
            } else {
                high = middle;
            }
        }
        at[i] = 0.5 * (low + high);
    }
}

}  // namespace

Pattern ruled_strip(std::span<const Point3> bottom, std::span<const Point3> top, int rulings, double thickness) {
    const Through low(bottom, "bottom");
    const Through high(top, "top");
    require(rulings >= 2 && rulings <= 2000, "rulings", rulings, "2 to 2000");
    foldswing::detail::require_not_negative("thickness", thickness);
    const auto n = static_cast<std::size_t>(rulings);
    const auto share = [&](std::size_t i) { return static_cast<double>(i) / static_cast<double>(n); };
    for (std::size_t i = 0; i <= n; ++i)
        if (!(norm(high.at(share(i)) - low.at(share(i))) > 0.0))
            throw InvalidInput("top", "an edge that meets the bottom one", "apart from the bottom edge all along");
    std::vector<double> at = in_order(low, high, rulings);
    settle(low, high, at);
    detail::Row below;
    detail::Row above;
    double twist_sum = 0.0;
    std::vector<double> twists;
    for (std::size_t i = 0; i <= n; ++i) {
        below.points.push_back(low.at(share(i)));
        above.points.push_back(high.at(at[i]));
        twists.push_back(twist(low, share(i), high, at[i]) / kDegree);
        if (i > 0 && i < n) twist_sum += std::abs(twists.back());
        if (i == n) break;
        below.along.push_back(low.length(share(i), share(i + 1)));
        above.along.push_back(high.length(at[i], at[i + 1]));
    }
    Pattern pattern = detail::triangulate("ruled strip", below, above, true, thickness);
    // The triangles against the curves and against the ruled surface, at the middle of each step.
    for (std::size_t i = 0; i < n; ++i) {
        const Point3 b = low.at(share(i) + 0.5 * (share(i + 1) - share(i)));
        const Point3 t = high.at(at[i] + 0.5 * (at[i + 1] - at[i]));
        const Point3 chord_b = 0.5 * (below.points[i] + below.points[i + 1]);
        const Point3 chord_t = 0.5 * (above.points[i] + above.points[i + 1]);
        const Point3 diagonal = 0.5 * (below.points[i + 1] + above.points[i]);
        const Point3 ruled = 0.5 * (chord_b + chord_t);
        const Point3 out = cross(below.points[i + 1] - below.points[i] + above.points[i + 1] - above.points[i],
                                 above.points[i] - below.points[i]);
        const double skew = std::abs(dot(diagonal - ruled, out)) / norm(out);
        pattern.surface_error = std::max({pattern.surface_error, norm(b - chord_b), norm(t - chord_t), skew});
    }
    // Only rulings are lines to roll at; the diagonals of the triangles are not.
    std::vector<Line> lines;
    for (std::size_t i = 0; i + 1 < n; ++i) {
        const std::size_t k = 2 * i + 1;
        Line line = pattern.lines[k];
        line.kind = LineKind::roll;
        line.label = std::to_string(i + 1);
        line.twist_deg = twists[i + 1];
        line.angle_deg = 0.0;
        lines.push_back(line);
    }
    pattern.lines = std::move(lines);
    double inner = 0.0;
    for (std::size_t i = 1; i < n; ++i) inner = std::max(inner, std::abs(twists[i]));
    const double first = std::abs(twists.front());
    const double last = std::abs(twists.back());
    const auto rounded = [](double x) { return foldswing::detail::number_text(std::round(100.0 * x) / 100.0); };
    if (std::max({inner, first, last}) <= kNoTwist) {
        pattern.explanation = "The strip develops: no line of it twists by more than " + rounded(kNoTwist) + " deg.";
        return pattern;
    }
    pattern.explanation =
        (inner <= kNoTwist
             ? "Between its ends the strip develops"
             : "The strip does not quite develop: between its ends a line twists by up to " + rounded(inner) +
                   " deg, on the average by " + rounded(twist_sum / static_cast<double>(n - 1)) + " deg") +
        "; at its ends, which are given, it twists by " + rounded(first) + " and " + rounded(last) +
        " deg. Twist has to be worked into the sheet.";
    return pattern;
}

}  // namespace foldswing::development
