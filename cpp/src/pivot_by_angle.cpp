#include <algorithm>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/hinge.hpp>
#include <foldswing/pivot_window.hpp>
#include <limits>

#include "check.hpp"
#include "segment.hpp"
#include "window_parts.hpp"

namespace foldswing::hinge {
namespace {

constexpr double kCloseRel = 1e-7;  // of the range: where the search by thirds ends

class Chooser {
  public:
    Chooser(std::span<const Landing> landings, const FreeStop& free, std::span<const Outline> within,
            const std::optional<Swing>& swing, const AngleWish& wish)
        : fixed_(landings), free_(free), within_(within), swing_(swing), wish_(wish) {
        detail_window::require_valid(free, 0);
        if (wish.wish == Wish::gap && !swing)
            throw InvalidInput("panel", "none",
                               "the panel and the bodies it has to clear, where the gap is wished for");
        if (swing && (swing->panel.empty() || swing->clear_of.empty()))
            throw InvalidInput("clear_of", "none", "at least one Outline");
        if ((wish.wish == Wish::near && wish.spots.size() != 1) || (wish.wish == Wish::hole && wish.spots.empty()))
            throw InvalidInput("spots", std::to_string(wish.spots.size()) + " points",
                               wish.wish == Wish::near ? "one spot to be near to" : "at least one hole");
        for (const Point p : wish.spots)
            for (const double v : {p.x, p.y}) detail::require_finite("spots", v);
    }

    [[nodiscard]] AngleChoice at(double turn_deg) const {
        std::vector<Landing> now(fixed_.begin(), fixed_.end());
        for (const Landing& l : free_.landings)
            now.emplace_back(turn_deg, l.point(), l.normal(), l.offset(), l.tolerance(), l.kind());
        AngleChoice out;
        out.turn_deg = turn_deg;
        if (wish_.wish == Wish::hole) {
            choose_hole(now, out);
        } else {
            const PivotWindow window = pivot_window(now, within_);
            out.status = window.status;
            out.pivot = window.best.centre;
            out.forgiveness = window.best.radius;
            if (window.status == WindowStatus::none) return out;
            if (wish_.wish == Wish::near) choose_near(window, out);
        }
        if (swing_) out.gap = gap_about(out.pivot, turn_deg);
        if (wish_.wish == Wish::forgiveness) out.score = out.forgiveness;
        if (wish_.wish == Wish::gap) out.score = out.gap;
        return out;
    }

  private:
    void choose_hole(std::span<const Landing> now, AngleChoice& out) const {
        double least = std::numeric_limits<double>::infinity();
        for (std::size_t k = 0; k < wish_.spots.size(); ++k) {
            const Point p = wish_.spots[k];
            if (!within_.empty() && std::none_of(within_.begin(), within_.end(),
                                                 [&](const Outline& o) { return locate(o, p) != Place::outside; }))
                continue;
            double used = 0.0;  // the worst part of a tolerance
            for (const Landing& l : now) {
                const double breach = l.breach(l.miss(p));
                if (breach > 0.0) used = std::max(used, breach / l.tolerance());
            }
            if (!(used < least)) continue;
            least = used;
            out.hole = static_cast<std::int32_t>(k);
        }
        if (out.hole < 0) return;
        out.pivot = wish_.spots[static_cast<std::size_t>(out.hole)];
        out.status = least <= 1.0 ? WindowStatus::point : WindowStatus::none;
        out.forgiveness = 0.0;
        out.score = -least;
    }

    void choose_near(const PivotWindow& window, AngleChoice& out) const {
        const Point spot = wish_.spots.front();
        double least = std::numeric_limits<double>::infinity();
        const auto consider = [&](Point p) {
            const double away = detail::span(p, spot);
            if (away >= least) return;
            least = away;
            out.pivot = p;
        };
        for (const Outline& o : window.outlines) {
            if (locate(o, spot) != Place::outside) consider(spot);
            detail::for_each_side(o, [&](Point a, Point b) { consider(detail::nearest_on({a, b}, spot)); });
        }
        for (const auto& r : window.runs) consider(r[0] == r[1] ? r[0] : detail::nearest_on({r[0], r[1]}, spot));
        if (window.status == WindowStatus::any && window.outlines.empty()) consider(spot);
        out.score = -least;
    }

    [[nodiscard]] double gap_about(Point pivot, double turn_deg) const {
        if (!std::isfinite(pivot.x)) return kVoid;
        const auto [low, high] = std::minmax(free_.turn_from_deg, free_.turn_to_deg);
        const bool ends_here = low <= swing_->turn_to_deg && swing_->turn_to_deg <= high;
        const PivotHinge motion(pivot, swing_->turn_from_deg, ends_here ? turn_deg : swing_->turn_to_deg);
        return clearance::minimum_gap(swing_->panel, swing_->clear_of, motion).gap;
    }

    std::span<const Landing> fixed_;
    const FreeStop& free_;
    std::span<const Outline> within_;
    const std::optional<Swing>& swing_;
    const AngleWish& wish_;
};

bool better(const AngleChoice& a, const AngleChoice& b) {
    if (std::isnan(a.score)) return false;
    return std::isnan(b.score) || a.score > b.score;
}

std::vector<AngleChoice> row_of(const Chooser& chooser, const FreeStop& free, int angles) {
    detail::require(angles >= 2, "angles", angles, "at least 2");
    std::vector<AngleChoice> out;
    out.reserve(static_cast<std::size_t>(angles));
    for (int k = 0; k < angles; ++k)
        out.push_back(chooser.at(
            std::lerp(free.turn_from_deg, free.turn_to_deg, static_cast<double>(k) / static_cast<double>(angles - 1))));
    return out;
}

}  // namespace

std::vector<AngleChoice> pivot_by_angle(std::span<const Landing> landings, const FreeStop& free,
                                        std::span<const Outline> within, const std::optional<Swing>& swing,
                                        const AngleWish& wish, int angles) {
    return row_of(Chooser(landings, free, within, swing, wish), free, angles);
}

AngleChoice best_angle(std::span<const Landing> landings, const FreeStop& free, std::span<const Outline> within,
                       const std::optional<Swing>& swing, const AngleWish& wish, int angles) {
    const Chooser chooser(landings, free, within, swing, wish);
    const std::vector<AngleChoice> row = row_of(chooser, free, angles);
    auto best = row.begin();
    for (auto it = row.begin(); it != row.end(); ++it)
        if (better(*it, *best)) best = it;
    if (std::isnan(best->score)) return *best;
    AngleChoice out = *best;
    double from = (best == row.begin() ? best : best - 1)->turn_deg;
    double to = (best + 1 == row.end() ? best : best + 1)->turn_deg;
    const double close = kCloseRel * std::abs(free.turn_to_deg - free.turn_from_deg);
    while (std::abs(to - from) > close) {
        const AngleChoice a = chooser.at(from + (to - from) / 3.0);
        const AngleChoice b = chooser.at(to - (to - from) / 3.0);
        if (better(a, out)) out = a;
        if (better(b, out)) out = b;
        (better(b, a) ? from : to) = (better(b, a) ? a : b).turn_deg;
    }
    return out;
}

}  // namespace foldswing::hinge
