// Where to put the pins of a stay: every pair of places, judged by what it asks of the stay at every stop.
#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "stay.hpp"
#include "words.hpp"

namespace foldswing::stay {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

/// 0: no limit.
void require_limit(const char* name, double v) { detail::require_not_negative(name, v); }
bool over(double v, double most) { return most > 0.0 && v > most; }

double measure(const Choice& c, Wish wish) {
    switch (wish) {
        case Wish::least_movement:
            return c.edge_per_mm;
        case Wish::shortest:
            return c.longest;
        case Wish::least_slack:
            return c.slack;
        case Wish::least_pull:
            break;
    }
    return c.pull;
}

const char* wished(Wish wish) {
    switch (wish) {
        case Wish::least_movement:
            return "the edge moves least for a millimetre of stay";
        case Wish::shortest:
            return "the stay is shortest";
        case Wish::least_slack:
            return "there is least slack to stow when shut";
        case Wish::least_pull:
            break;
    }
    return "the pull is least";
}

/// What a pair comes to; none where the stay does not hold at every stop.
bool comes_to(const Strap& strap, std::span<const double> turns_deg, Choice& out) {
    out.spacing = kInfinity;
    for (const double s : strap.spacing) out.spacing = std::min(out.spacing, s);
    for (std::size_t i = 0; i < strap.stops.size(); ++i) {
        const Hold& h = strap.stops[i];
        // Slack when shut, taut at its stop and not before.
        if (h.state != State::holds || strap.taut_at_deg[i] != turns_deg[i] || !(strap.slack_shut[i] > 0.0))
            return false;
        out.pull = std::max(out.pull, h.pull_each);
        out.edge_per_mm = std::max(out.edge_per_mm, h.edge_per_mm);
        out.longest = std::max(out.longest, h.length);
        out.slack = std::max(out.slack, strap.slack_shut[i]);
    }
    return true;
}

std::string words(const Chosen& c, Wish wish) {
    const auto pairs = [](std::size_t n) { return std::to_string(n) + (n == 1 ? " pair" : " pairs"); };
    std::string left_out;
    const auto add = [&](std::size_t n, const char* why) {
        if (n > 0) left_out += (left_out.empty() ? "" : "; ") + pairs(n) + " " + why;
    };
    add(c.no_hold, "would not hold at every stop, or come taut on the way");
    add(c.too_much, "would pull too hard");
    add(c.too_lively, "would move the edge too much for a millimetre of stay");
    add(c.too_long, "would need too long a stay");
    add(c.too_close, "would put two hooks too near each other");
    const std::string out = left_out.empty() ? "" : " Of the others " + left_out + ".";
    if (c.feasible.empty())
        return "No pair of places will do, of " + std::to_string(c.tried) + " tried: " + left_out +
               ". Allow more, or give other places.";
    const Choice& best = c.feasible.front();
    return std::to_string(c.feasible.size()) + " of " + pairs(c.tried) + " of places will do. Best, because " +
           wished(wish) + ": " + detail::fixed(best.pull, 0) + " N on each at the worst stop, " +
           detail::fixed(best.edge_per_mm, 2) + " mm at the edge for 1 mm of stay, " + detail::mm(best.longest) +
           " mm between the pins at the most." + out;
}

}  // namespace

std::vector<Point> grid(std::span<const Outline> region, double step) {
    detail::require_positive("step", step);
    if (region.empty()) throw InvalidInput("region", "none", "at least one outline");
    Point low = region.front().corners().front();
    Point high = low;
    for (const Outline& o : region)
        for (const Point p : o.corners()) {
            low = {std::min(low.x, p.x), std::min(low.y, p.y)};
            high = {std::max(high.x, p.x), std::max(high.y, p.y)};
        }
    const double across = std::floor((high.x - low.x) / step) + 1.0;
    const double up = std::floor((high.y - low.y) / step) + 1.0;
    detail::require(across * up <= static_cast<double>(kMostPlaces), "step", step,
                    "coarser: the grid would have over 100000 points");
    std::vector<Point> out;
    for (int j = 0; j < static_cast<int>(up); ++j)
        for (int i = 0; i < static_cast<int>(across); ++i) {
            const Point p{low.x + i * step, low.y + j * step};
            if (std::any_of(region.begin(), region.end(),
                            [&](const Outline& o) { return locate(o, p) != Place::outside; }))
                out.push_back(p);
        }
    return out;
}

Chosen choose(std::span<const Point> on_body, std::span<const Point> on_panel, const Load& load, Point pivot,
              std::span<const double> turns_deg, int count, const Limits& limits, Wish wish) {
    if (on_body.empty()) throw InvalidInput("on_body", "no place", "at least one");
    if (on_panel.empty()) throw InvalidInput("on_panel", "no place", "at least one");
    require_limit("most_pull", limits.most_pull);
    require_limit("most_edge_per_mm", limits.most_edge_per_mm);
    require_limit("longest", limits.longest);
    require_limit("least_spacing", limits.least_spacing);
    if (on_body.size() > kMostPairs / on_panel.size())
        throw InvalidInput("on_body and on_panel",
                           std::to_string(on_body.size()) + " and " + std::to_string(on_panel.size()) + " places",
                           "at most 1000000 pairs: take a coarser grid");
    Chosen out;
    for (const Point fixed : on_body)
        for (const Point panel : on_panel) {
            ++out.tried;
            Choice c;
            c.pins = {fixed, panel};
            const auto meet = [&](double turn) { return Pose::about(pivot, turn).apply(panel) == fixed; };
            if (fixed == panel || std::any_of(turns_deg.begin(), turns_deg.end(), meet)) {
                ++out.no_hold;
                continue;
            }
            const Strap s = strap(c.pins, load, pivot, turns_deg, count);
            if (!comes_to(s, turns_deg, c))
                ++out.no_hold;
            else if (over(c.pull, limits.most_pull))
                ++out.too_much;
            else if (over(c.edge_per_mm, limits.most_edge_per_mm))
                ++out.too_lively;
            else if (over(c.longest, limits.longest))
                ++out.too_long;
            else if (c.spacing < limits.least_spacing)
                ++out.too_close;
            else
                out.feasible.push_back(c);
        }
    std::stable_sort(out.feasible.begin(), out.feasible.end(),
                     [&](const Choice& a, const Choice& b) { return measure(a, wish) < measure(b, wish); });
    out.explanation = words(out, wish);
    return out;
}

}  // namespace foldswing::stay
