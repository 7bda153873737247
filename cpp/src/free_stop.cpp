// Stops whose angle is a range. A landing's miss, seen from one pivot, is a sine of the angle with the pivot's distance
// from the landing point as amplitude; seen over the pivots at one angle it is linear. So what holds at every angle is
// convex, cut by half-planes at a row of angles, and between two of them the sine rises over its ends by no more than
// amplitude (1 - cos of half the step).
#include <algorithm>
#include <cmath>
#include <limits>

#include "check.hpp"
#include "convex_ring.hpp"
#include "degrees.hpp"
#include "landing_rows.hpp"
#include "region.hpp"
#include "window_parts.hpp"

namespace foldswing::hinge::detail_window {
namespace {

constexpr double kMargin = 1.0;  // mm round the window, so that its edge is its own

Landing at_angle(const Landing& l, double turn_deg) {
    return {turn_deg, l.point(), l.normal(), l.offset(), l.tolerance(), l.kind()};
}

/// The pivots with miss <= most (sense +1) or miss >= -most (sense -1) at this angle.
HalfPlane limit(const Landing& l, double turn_deg, double sense, double most) {
    const Landing now = at_angle(l, turn_deg);
    const auto rows = detail_pivot::turning_rows({&now, 1}, {});
    const auto& row = rows.front();
    return {sense * row.u, sense * row.c + most / row.gain, 0.0, 0.0};
}

bool has_upper(const Landing& l) { return l.kind() != LandingKind::at_least; }
bool has_lower(const Landing& l) { return l.kind() != LandingKind::at_most; }

/// A range of angles over a box of pivots.
class Range {
  public:
    Range(const FreeStop& free, const Box& box)
        : free_(free), box_(box), span_deg_(std::abs(free.turn_to_deg - free.turn_from_deg)) {
        const auto gain = [](double turn) { return 2.0 * std::abs(detail::sin_deg(0.5 * turn)); };
        gain_ = std::min(gain(free.turn_from_deg), gain(free.turn_to_deg));
        for (const Landing& l : free.landings)
            for (const Point p : rectangle(box).corners) arm_ = std::max(arm_, detail::span(p, l.point()));
    }

    /// The parts of `region` where the stop lands; inside the truth or outside it.
    [[nodiscard]] std::vector<Outline> cut(std::span<const Outline> region, double sagitta, bool inside) const {
        if (region.empty()) return {};
        if (free_.every) return every(region, sagitta, inside);
        return free_.landings.size() == 1 ? some(region, sagitta, inside) : some_together(region, sagitta, inside);
    }

  private:
    /// Pieces such that a sine of this arm moves its edge by `sagitta` at most: `ratio` is 1 - cos of half a step.
    [[nodiscard]] int pieces(double half_step_rad) const {
        const double n = std::ceil(0.5 * span_deg_ * detail::kDegree / half_step_rad);
        if (!(n <= kMostPieces)) throw InvalidInput("sagitta", "too fine", "such that 4096 pieces of the range do");
        return std::max(1, static_cast<int>(n));
    }
    [[nodiscard]] double angle(int k, double n) const {
        return std::lerp(free_.turn_from_deg, free_.turn_to_deg, k / n);
    }

    /// The convex set in the box where sense * miss <= most at every angle.
    [[nodiscard]] Ring at_every(const Landing& l, double sense, double most, double sagitta, bool inside) const {
        Convex ring = rectangle(box_);
        cut_at_every(ring, l, sense, most, sagitta, inside);
        return ring.corners;
    }
    void cut_at_every(Convex& ring, const Landing& l, double sense, double most, double sagitta, bool inside) const {
        const double sine = std::min(0.5, std::sqrt(sagitta * gain_ / (2.0 * std::max(arm_, sagitta))));
        const int n = pieces(2.0 * std::asin(sine));
        const double rise = arm_ * detail::one_minus_cos_deg(0.5 * span_deg_ / n);
        for (int k = 0; k <= n && !ring.corners.empty(); ++k)
            clip(ring, limit(l, angle(k, n), sense, inside ? most - rise : most), 0);
    }

    [[nodiscard]] std::vector<Outline> every(std::span<const Outline> region, double sagitta, bool inside) const {
        Convex ring = rectangle(box_);
        for (const Landing& l : free_.landings) {
            if (has_upper(l)) cut_at_every(ring, l, 1.0, l.tolerance(), sagitta, inside);
            if (has_lower(l)) cut_at_every(ring, l, -1.0, l.tolerance(), sagitta, inside);
        }
        if (ring.corners.empty()) return {};
        return common(region, std::vector<Ring>{ring.corners});
    }

    /// Not where the miss is beyond its limit at every angle: the range is one piece, so it passes the limit between.
    [[nodiscard]] std::vector<Outline> some(std::span<const Outline> region, double sagitta, bool inside) const {
        const Landing& l = free_.landings.front();
        std::vector<Ring> rings = rings_of(region);
        const auto take_out = [&](double sense) {
            Ring beyond = at_every(l, sense, -l.tolerance(), sagitta, !inside);
            if (beyond.empty()) return;
            std::reverse(beyond.begin(), beyond.end());
            rings.push_back(std::move(beyond));
        };
        if (has_upper(l)) take_out(-1.0);  // -miss <= -tolerance: too high at every angle
        if (has_lower(l)) take_out(1.0);
        return detail::region(rings);
    }

    /// Several landings at one angle: joined from short ranges. Inside: the window at the middle of each; outside: that
    /// window widened by what the misses change up to the ends.
    [[nodiscard]] std::vector<Outline> some_together(std::span<const Outline> region, double sagitta,
                                                     bool inside) const {
        const int n = pieces(std::min(0.5, sagitta * gain_ / std::max(arm_, sagitta)));
        const double change = arm_ * 2.0 * std::abs(detail::sin_deg(0.25 * span_deg_ / n));
        std::vector<std::vector<Outline>> parts;
        for (int k = 0; k < n; ++k) {
            Convex ring = rectangle(box_);
            for (const Landing& l : free_.landings) {
                const double turn = angle(2 * k + 1, 2.0 * n);
                const double most = l.tolerance() + (inside ? 0.0 : change);
                if (has_upper(l)) clip(ring, limit(l, turn, 1.0, most), 0);
                if (has_lower(l)) clip(ring, limit(l, turn, -1.0, most), 0);
            }
            if (!ring.corners.empty()) parts.push_back(detail::region({ring.corners}));
        }
        while (parts.size() > 1) {  // neighbours first: what is joined stays small
            std::vector<std::vector<Outline>> joined;
            for (std::size_t k = 0; k < parts.size(); k += 2) {
                if (k + 1 < parts.size()) parts[k].insert(parts[k].end(), parts[k + 1].begin(), parts[k + 1].end());
                joined.push_back(k + 1 < parts.size() ? unite(parts[k]) : std::move(parts[k]));
            }
            parts = std::move(joined);
        }
        if (parts.empty()) return {};
        return common(region, rings_of(parts.front()));
    }

    const FreeStop& free_;
    Box box_;
    double gain_ = 0.0;
    double arm_ = 0.0;
    double span_deg_;
};

}  // namespace

void require_valid(const FreeStop& free, std::size_t index) {
    const std::string name = "free[" + std::to_string(index) + "]";
    detail::require_finite("turn_from_deg", free.turn_from_deg);
    detail::require_finite("turn_to_deg", free.turn_to_deg);
    if (free.landings.empty()) throw InvalidInput(name + ".landings", "none", "at least one Landing");
    const auto [low, high] = std::minmax(free.turn_from_deg, free.turn_to_deg);
    if (std::floor(high / 360.0) * 360.0 >= low)
        throw InvalidInput(name, "a range with a whole revolution or 0 in it",
                           "a range without: there no pivot matters");
    if (!free.every && free.landings.size() > 1)
        for (const Landing& l : free.landings)
            if (l.tolerance() == 0.0 && l.kind() == LandingKind::on)
                throw InvalidInput(name + ".tolerance", 0.0, "> 0 where several landings share a free angle");
}

void cut_by(const FreeStop& free, double sagitta, PivotWindow& window) {
    Box box = box_of(window.outer);
    for (const Run& r : window.runs)
        for (const Point p : r) box.add(p);
    if (!(box.low.x <= box.high.x)) return;
    box.grow(kMargin);
    const Range range(free, box);
    window.outlines = range.cut(window.outlines, sagitta, true);
    window.outer = range.cut(window.outer, sagitta, false);
    if (window.runs.empty()) return;
    const std::vector<Outline> whole{Outline(rectangle(box).corners)};
    const std::vector<Outline> lands = range.cut(whole, sagitta, true);
    std::vector<Run> runs;
    for (const Run& r : window.runs) {
        if (r[0] == r[1]) {
            if (std::any_of(lands.begin(), lands.end(),
                            [&](const Outline& o) { return locate(o, r[0]) != Place::outside; }))
                runs.push_back(r);
            continue;
        }
        for (const Run& part : runs_in(lands, r[0], r[1])) runs.push_back(part);
    }
    window.runs = std::move(runs);
}

}  // namespace foldswing::hinge::detail_window
