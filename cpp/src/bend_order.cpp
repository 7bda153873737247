#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <foldswing/bend_order.hpp>
#include <functional>
#include <limits>
#include <numeric>
#include <utility>

#include "bend_order_section.hpp"
#include "bend_order_words.hpp"
#include "check.hpp"

namespace foldswing::bend_order {
namespace {

using detail::BendSet;
using detail::Foul;
using detail::Hindrance;
using detail::SectionBender;

constexpr std::array<End, 2> kEnds{End::start, End::end};

/// What the search asks: any part whose shape depends on which of its bends are made.
struct Bench {
    std::size_t bends = 0;
    BendSet made_already = 0;   // bends of no angle, and those made before
    std::size_t crosswise = 0;  // the first bend of a tray's other section; of a section, as many as there are bends
    std::function<bool(std::size_t)> goes_up;
    std::function<Foul(BendSet, std::size_t, End)> attempt;
    std::function<Step(BendSet, std::size_t, End)> picture;
    std::function<std::string(const Foul&, std::size_t)> words;
    Names names;

    [[nodiscard]] const std::string& end_name(std::size_t bend, End end) const {
        return names.ends[(bend < crosswise ? 0U : 2U) + (end == End::start ? 0U : 1U)];
    }
};

bool has(BendSet set, std::size_t bend) noexcept { return (set >> bend & 1U) != 0U; }
BendSet with(BendSet set, std::size_t bend) noexcept { return set | 1U << bend; }

/// The way to a state.
struct Reached {
    std::size_t cost = std::numeric_limits<std::size_t>::max();  // flips, then turns of either kind
    std::size_t bend = 0;
    std::size_t from = 0;  // which of the states of the set before
};
constexpr std::size_t kFlip = 64;  // more than the turns of any order

/// How the part lies when a bend is made: which face is up, which end is behind, which of a tray's sections is bent.
struct Lie {
    bool up = true;
    std::size_t end = 0;
    bool across = false;
};
constexpr std::size_t kLies = 8;
/// The crosswise bends have the lower numbers: where two orders cost the same, they then come last.
std::size_t number(Lie lie) noexcept { return (lie.across ? 0U : 4U) + (lie.up ? 0U : 2U) + lie.end; }
Lie lie(std::size_t number) noexcept { return {number % 4 < 2, number % 2, number < 4}; }
/// A quarter turn brings either end to the stop: it is not a turn end for end besides.
bool end_for_end(Lie from, Lie to) noexcept { return from.across == to.across && from.end != to.end; }
std::size_t price(Lie from, Lie to) noexcept {
    return (from.up == to.up ? 0 : kFlip) + (from.across != to.across || from.end != to.end ? 1 : 0);
}

std::string in_words(const Bench& bench, BendSet made, std::size_t bend) {
    std::string out;
    std::string last;
    for (const End end : kEnds) {
        const Foul foul = bench.attempt(made, bend, end);
        std::string why = bench.words(foul, bend);
        if (why == last) return why;
        if (!out.empty()) out += "; ";
        out += "with the " + bench.end_name(bend, end) + " behind, " + why;
        last = std::move(why);
    }
    return out;
}

std::string made_words(const Bench& bench, BendSet made) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < bench.bends; ++i)
        if (has(made, i) && !has(bench.made_already, i)) names.push_back(bench.names.bends[i]);
    return names.empty() ? "before any other bend" : "with " + detail::list(names) + " made";
}

/// Why there is no order. A bend that nothing allows, or two that each must come first, or where every way ends.
void explain_none(const Bench& bench, const std::vector<char>& reached, Order& out) {
    const std::size_t n = bench.bends;
    const BendSet all = (1U << n) - 1U;
    const auto possible = [&](BendSet made, std::size_t bend) {
        return std::ranges::any_of(kEnds, [&](End end) { return !bench.attempt(made, bend, end); });
    };
    std::vector<std::vector<char>> can_follow(n, std::vector<char>(n, 0));  // [i][j]: i after j, in some set
    std::vector<char> can(n, 0);
    for (BendSet made = 0; made <= all; ++made)
        for (std::size_t i = 0; i < n; ++i) {
            if (has(made, i) || (made & bench.made_already) != bench.made_already || !possible(made, i)) continue;
            can[i] = 1;
            for (std::size_t j = 0; j < n; ++j)
                if (has(made, j)) can_follow[i][j] = 1;
        }
    for (std::size_t i = 0; i < n; ++i) {
        if (can[i] != 0 || has(bench.made_already, i)) continue;
        out.blocking.push_back(i);
        out.explanation += (out.explanation.empty() ? "" : " ") + bench.names.bends[i] +
                           " cannot be made at any point: " + made_words(bench, bench.made_already) + ", " +
                           in_words(bench, bench.made_already, i) + ".";
    }
    if (!out.blocking.empty()) return;
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t j = i + 1; j < n; ++j) {
            if (has(bench.made_already, i) || has(bench.made_already, j) || can_follow[i][j] != 0 ||
                can_follow[j][i] != 0)
                continue;
            out.blocking = {i, j};
            const auto one = [&](std::size_t later, std::size_t first) {
                const BendSet made = with(bench.made_already, first);
                return bench.names.bends[later] + " cannot follow " + bench.names.bends[first] + " (" +
                       in_words(bench, made, later) + ")";
            };
            out.explanation =
                "No order exists: " + one(i, j) + ", and " + one(j, i) + "; whatever else is made, that stays so.";
            return;
        }
    BendSet farthest = bench.made_already;
    const auto count = [](BendSet s) { return std::popcount(s); };
    for (BendSet made = 0; made <= all; ++made)
        if (reached[made] != 0 && count(made) > count(farthest)) farthest = made;
    out.explanation = "No order exists: every set of bends that can be reached was tried. The farthest gets stuck " +
                      made_words(bench, farthest) + ":";
    for (std::size_t i = 0; i < n; ++i) {
        if (has(farthest, i)) continue;
        out.blocking.push_back(i);
        out.explanation += " " + bench.names.bends[i] + ": " + in_words(bench, farthest, i) + ".";
    }
}

Order search_bench(const Bench& bench) {
    Order out;
    const std::size_t n = bench.bends;
    const BendSet all = (1U << n) - 1U;
    std::vector<std::array<Reached, kLies>> best(std::size_t{1} << n);
    std::vector<char> reached(best.size(), 0);
    std::vector<double> ways(best.size(), 0.0);
    const BendSet first = bench.made_already;
    reached[first] = 1;
    ways[first] = 1.0;
    for (BendSet made = first; made <= all; ++made) {
        if (reached[made] == 0) continue;
        for (std::size_t bend = 0; bend < n; ++bend) {
            if (has(made, bend)) continue;
            const BendSet next = with(made, bend);
            bool possible = false;
            for (std::size_t end = 0; end < kEnds.size(); ++end) {
                ++out.tried;
                if (bench.attempt(made, bend, kEnds[end])) continue;
                possible = true;
                const Lie to{bench.goes_up(bend), end, bend >= bench.crosswise};
                Reached& there = best[next][number(to)];
                if (made == first) {
                    if (there.cost > 0) there = {0, bend, 0};
                    continue;
                }
                for (std::size_t from = 0; from < kLies; ++from) {
                    const Reached& here = best[made][from];
                    if (here.cost == std::numeric_limits<std::size_t>::max()) continue;
                    const std::size_t cost = here.cost + price(lie(from), to);
                    if (cost < there.cost) there = {cost, bend, from};
                }
            }
            if (!possible) continue;
            reached[next] = 1;
            ways[next] += ways[made];
        }
    }
    out.orders = ways[all];
    if (reached[all] == 0) {
        explain_none(bench, reached, out);
        return out;
    }
    out.status = Status::found;
    if (all == first) {
        out.explanation = "Nothing to bend.";
        return out;
    }
    const auto& last = best[all];
    auto at = static_cast<std::size_t>(std::ranges::min_element(last, {}, &Reached::cost) - last.begin());
    std::vector<Lie> lies;
    BendSet made = all;
    while (made != first) {
        const Reached& here = best[made][at];
        made &= ~(1U << here.bend);
        lies.push_back(lie(at));
        out.steps.push_back(bench.picture(made, here.bend, kEnds[lies.back().end]));
        at = here.from;
    }
    std::ranges::reverse(out.steps);
    std::ranges::reverse(lies);
    for (std::size_t i = 1; i < out.steps.size(); ++i) {
        Step& step = out.steps[i];
        step.flipped = lies[i].up != lies[i - 1].up;
        step.turned = end_for_end(lies[i - 1], lies[i]);
        step.quarter = lies[i].across != lies[i - 1].across;
        out.flips += step.flipped ? 1 : 0;
        out.turns += step.turned ? 1 : 0;
        out.quarters += step.quarter ? 1 : 0;
    }
    std::vector<std::string> names;
    for (const Step& step : out.steps) names.push_back(bench.names.bends[step.bend]);
    const auto times = [](std::size_t k, const std::string& what) {
        return k == 0 ? "never " + what : what + (k == 1 ? " once" : " " + std::to_string(k) + " times");
    };
    std::vector<std::string> handled{times(out.flips, "turned over"), times(out.turns, "turned end for end")};
    if (bench.crosswise < n) handled.push_back(times(out.quarters, "given a quarter turn"));
    out.explanation = "Make " + detail::list(names) + ", in this order; the part is " + detail::list(handled) + ".";
    return out;
}

std::vector<std::string> numbered(const std::string& what, std::size_t n) {
    std::vector<std::string> out;
    for (std::size_t i = 0; i < n; ++i) out.push_back(what + " " + std::to_string(i + 1));
    return out;
}

/// The names given, or numbers. \param sections the number of bends of each
Names names_or_numbers(const Names& given, const std::vector<std::size_t>& sections) {
    const std::size_t n = std::accumulate(sections.begin(), sections.end(), std::size_t{0});
    if (n > kMostBends)
        throw InvalidInput("parts", std::to_string(n) + " bends", "at most " + std::to_string(kMostBends) + " bends");
    Names out = given;
    const auto settle = [](const char* name, std::vector<std::string>& words,
                           const std::vector<std::string>& otherwise) {
        if (words.empty()) words = otherwise;
        if (words.size() != otherwise.size())
            throw InvalidInput(name, std::to_string(words.size()) + " names", std::to_string(otherwise.size()));
    };
    std::vector<std::string> flats;
    std::vector<std::string> ends;
    for (const std::size_t bends : sections) {
        for (auto& flat : numbered("flat", bends + 1)) flats.push_back(std::move(flat));
        ends.insert(ends.end(), {"start", "end"});
    }
    settle("names", out.bends, numbered("bend", n));
    settle("flats", out.flats, flats);
    settle("ends", out.ends, ends);
    return out;
}

BendSet set_of(const char* name, std::span<const std::size_t> bends, std::size_t n) {
    BendSet out = 0;
    for (const std::size_t i : bends) {
        if (i >= n) throw InvalidInput(name, static_cast<double>(i), "a bend of the part, counted from 0");
        out = with(out, i);
    }
    return out;
}

BendSet without_angle(const blank::Profile& section) {
    BendSet out = 0;
    for (std::size_t i = 0; i < section.bend_lines().size(); ++i)
        if (section.bend_lines()[i].angle_deg == 0.0) out = with(out, i);
    return out;
}

/// The set of fingers that fills `room` best; empty where none does by as much as `least`.
std::vector<double> finger_set(const std::vector<double>& widths, double least, double room) {
    double best = 0.0;
    BendSet chosen = 0;
    for (BendSet set = 1; set < 1U << widths.size(); ++set) {
        double sum = 0.0;
        for (std::size_t i = 0; i < widths.size(); ++i)
            if (has(set, i)) sum += widths[i];
        if (sum > room || sum < best) continue;
        if (sum > best || std::popcount(set) < std::popcount(chosen)) chosen = set;
        best = sum;
    }
    std::vector<double> out;
    if (best < least) return out;
    for (std::size_t i = 0; i < widths.size(); ++i)
        if (has(chosen, i)) out.push_back(widths[i]);
    return out;
}

/// What already stands across a bend line.
struct Across {
    bool anything = false;
    double lowest = 0.0;
    double highest = 0.0;
    double room = 0.0;  // between what stands, lower than the beam
};

class TrayBender {
  public:
    TrayBender(const Tray& tray, const Brake& brake, Gauge gauge)
        : brake_(brake),
          benders_{SectionBender(tray.lengthwise, brake, gauge), SectionBender(tray.crosswise, brake, gauge)},
          base_{tray.base_lengthwise, tray.base_crosswise} {}

    [[nodiscard]] std::size_t bends() const { return benders_[0].bends() + benders_[1].bends(); }
    [[nodiscard]] bool goes_up(std::size_t bend) const {
        const auto [family, own] = place(bend);
        return benders_[family].goes_up(own);
    }
    Foul attempt(BendSet made, std::size_t bend, End end) {
        const auto [family, own] = place(bend);
        Foul out = benders_[family].attempt(own_set(made, family), own, end);
        if (out) return out;
        const Across across = look_across(made, bend);
        if (!across.anything) return out;
        const auto refuse = [&](Hindrance what, double number, double wanted) {
            out.what = what;
            out.number = number;
            out.wanted = wanted;
            return out;
        };
        const bool base_held = (own >= base_[family]) == (end == End::start);
        if (!base_held) return refuse(Hindrance::cross_base, 0.0, 0.0);
        if (across.lowest < 0.0) return refuse(Hindrance::cross_below, -across.lowest, 0.0);
        if (across.highest > brake_.finger_height)
            return refuse(Hindrance::cross_beam, across.highest, brake_.finger_height);
        if (fingers(made, bend).empty()) return refuse(Hindrance::cross_width, across.room, least_fingers(bend));
        return out;
    }
    [[nodiscard]] std::vector<double> fingers(BendSet made, std::size_t bend) const {
        const Across across = look_across(made, bend);
        if (!across.anything) return {};
        return finger_set(brake_.fingers, least_fingers(bend), across.room);
    }
    [[nodiscard]] Step picture(BendSet made, std::size_t bend, End end) const {
        const auto [family, own] = place(bend);
        Step out = benders_[family].picture(own_set(made, family), own, end);
        out.bend = bend;
        out.fingers = fingers(made, bend);
        return out;
    }
    [[nodiscard]] std::size_t first_bend(std::size_t bend) const {
        return bend < benders_[0].bends() ? 0 : benders_[0].bends();
    }

  private:
    struct Place {
        std::size_t family;
        std::size_t bend;
    };
    [[nodiscard]] Place place(std::size_t bend) const {
        const std::size_t lengthwise = benders_[0].bends();
        return bend < lengthwise ? Place{0, bend} : Place{1, bend - lengthwise};
    }
    [[nodiscard]] BendSet own_set(BendSet made, std::size_t family) const {
        const std::size_t lengthwise = benders_[0].bends();
        return family == 0 ? made & ((1U << lengthwise) - 1U) : made >> lengthwise;
    }
    [[nodiscard]] double least_fingers(std::size_t bend) const {
        const std::size_t other = 1 - place(bend).family;
        return brake_.least_cover * benders_[other].flat_length(base_[other]);
    }
    [[nodiscard]] Across look_across(BendSet made, std::size_t bend) const {
        const std::size_t other = 1 - place(bend).family;
        const SectionBender& bender = benders_[other];
        const BendSet set = own_set(made, other);
        Across out;
        if (set == 0) return out;
        const double length = bender.flat_length(base_[other]);
        double left = -std::numeric_limits<double>::infinity();
        double right = std::numeric_limits<double>::infinity();
        // A hair off the sheet's own faces, for rounding.
        const double hair = std::fmin(kTouch, 0.1 * bender.thickness());
        for (const auto& piece : bender.about_flat(set, base_[other], goes_up(bend) ? Face::up : Face::down)) {
            double low = piece.corners.front().y;
            double high = low;
            double nearest = piece.corners.front().x;
            double farthest = nearest;
            for (const Point p : piece.corners) {
                low = std::min(low, p.y);
                high = std::max(high, p.y);
                nearest = std::min(nearest, p.x);
                farthest = std::max(farthest, p.x);
            }
            if (low >= -hair && high <= bender.thickness() + hair) continue;
            out.anything = true;
            if (low < -hair) out.lowest = std::min(out.lowest, low);
            out.highest = std::max(out.highest, high - bender.thickness());
            (0.5 * (nearest + farthest) < 0.5 * length ? left : right) =
                0.5 * (nearest + farthest) < 0.5 * length ? std::max(left, farthest) : std::min(right, nearest);
        }
        // Where one side is still flat, nothing stands there: the set may run past the bend line.
        out.room = right - left;
        if (!std::isfinite(out.room))
            out.room = length + (brake_.fingers.empty() ? 0.0 : std::ranges::min(brake_.fingers));
        return out;
    }

    Brake brake_;
    std::array<SectionBender, 2> benders_;
    std::array<std::size_t, 2> base_;
};

}  // namespace

Order search(const blank::Profile& section, const Brake& brake, Gauge gauge, const Names& names,
             std::span<const std::size_t> made) {
    require_valid(brake);
    SectionBender bender(section, brake, gauge);
    Bench bench;
    bench.bends = bender.bends();
    bench.names = names_or_numbers(names, {bench.bends});
    bench.made_already = without_angle(section) | set_of("made", made, bench.bends);
    bench.crosswise = bench.bends;
    bench.goes_up = [&](std::size_t bend) { return bender.goes_up(bend); };
    bench.attempt = [&](BendSet done, std::size_t bend, End end) { return bender.attempt(done, bend, end); };
    bench.picture = [&](BendSet done, std::size_t bend, End end) { return bender.picture(done, bend, end); };
    bench.words = [&](const Foul& foul, std::size_t) {
        return detail::words(foul, brake, bench.names.bends, bench.names.flats);
    };
    return search_bench(bench);
}

Tray tray(const blank::Pan& pan) { return {pan.lengthwise(), 1, pan.crosswise(), 1}; }

Order search(const Tray& tray, const Brake& brake, Gauge gauge, const Names& names, std::span<const std::size_t> made) {
    require_valid(brake);
    if (tray.base_lengthwise >= tray.lengthwise.flats().size())
        throw InvalidInput("base_lengthwise", static_cast<double>(tray.base_lengthwise), "one of its flats");
    if (tray.base_crosswise >= tray.crosswise.flats().size())
        throw InvalidInput("base_crosswise", static_cast<double>(tray.base_crosswise), "one of its flats");
    if (tray.lengthwise.thickness() != tray.crosswise.thickness())
        throw InvalidInput("crosswise", tray.crosswise.thickness(), "as thick as the lengthwise section");
    const std::size_t lengthwise = tray.lengthwise.bend_lines().size();
    Bench bench;
    bench.bends = lengthwise + tray.crosswise.bend_lines().size();
    bench.names = names_or_numbers(names, {lengthwise, tray.crosswise.bend_lines().size()});
    TrayBender bender(tray, brake, gauge);
    bench.made_already = without_angle(tray.lengthwise) | without_angle(tray.crosswise) << lengthwise |
                         set_of("made", made, bench.bends);
    bench.crosswise = lengthwise;
    bench.goes_up = [&](std::size_t bend) { return bender.goes_up(bend); };
    bench.attempt = [&](BendSet done, std::size_t bend, End end) { return bender.attempt(done, bend, end); };
    bench.picture = [&](BendSet done, std::size_t bend, End end) { return bender.picture(done, bend, end); };
    bench.words = [&](const Foul& foul, std::size_t bend) {
        const std::span bends(bench.names.bends);
        const std::span flats(bench.names.flats);
        return bend < lengthwise ? detail::words(foul, brake, bends.first(lengthwise), flats.first(lengthwise + 1))
                                 : detail::words(foul, brake, bends.subspan(lengthwise), flats.subspan(lengthwise + 1));
    };
    return search_bench(bench);
}

std::string obstacle(const blank::Profile& section, const Brake& brake, std::span<const std::size_t> done,
                     std::size_t bend, End at_gauge, Gauge gauge) {
    require_valid(brake);
    const Names names = names_or_numbers({}, {section.bend_lines().size()});
    if (bend >= names.bends.size())
        throw InvalidInput("bend", static_cast<double>(bend), "a bend of the section, counted from 0");
    const BendSet made = set_of("done", done, names.bends.size());
    if (has(made, bend)) throw InvalidInput("bend", static_cast<double>(bend), "not among those already made");
    SectionBender bender(section, brake, gauge);
    return detail::words(bender.attempt(made, bend, at_gauge), brake, names.bends, names.flats);
}

}  // namespace foldswing::bend_order
