#include <algorithm>
#include <cmath>
#include <foldswing/plane.hpp>

#include "predicates.hpp"
#include "window_parts.hpp"
#include "words.hpp"

namespace foldswing::hinge::detail_window {
namespace {

using detail::fixed;
using detail::kParallel;
using detail::mm;

constexpr double kAslant = 0.4;  // of the larger component: below, a direction is taken for its nearest axis
constexpr double kSpeck = 0.05;  // mm; pieces of edge shorter than this in all are not worth a sentence

std::string stop(std::size_t i) { return "stop " + std::to_string(i + 1); }

Point outward(const WindowSide& s) {
    const Point d = s.to - s.from;
    const double length = detail::norm(d);
    return {d.y / length, -d.x / length};
}

const char* place_words(std::int32_t limit) {
    switch (limit) {
        case WindowSide::kOpen:
            return "nothing, it goes on";
        case WindowSide::kFree:
            return "a stop with a free angle would not land, at any angle or at one it has to";
        case WindowSide::kSwing:
            return "on the way the panel would come too near to what stands round it";
        default:
            return "the edge of the allowed region";
    }
}

std::string forgives(const PivotWindow& w) {
    if (std::isinf(w.best.radius)) return "no drilling error on the open side can spoil it";
    return "drilled in the best place, the hole may be " + mm(w.best.radius) + " mm off any way";
}

std::string swing_words(const PivotWindow& w, const Swing& swing) {
    const double all = w.clear_area + w.undecided_area + w.fouled_area;
    if (!(all > 0.0)) return {};
    const auto part = [&](double area) { return fixed(100.0 * area / all, 1) + " %"; };
    return "; of the places looked at the swing keeps " + mm(swing.gap) + " mm in " + part(w.clear_area) +
           ", comes nearer in " + part(w.fouled_area) + ", and " + part(w.undecided_area) +
           " is too close to call with cells of " + mm(swing.cell) + " mm";
}

std::string none(std::span<const Landing> landings, const PivotWindow& w, bool cut, bool free, const Swing* swing) {
    if (swing != nullptr && !w.cells.empty())
        return "no place is left for the hole: every one that the stops allow would bring the panel nearer than " +
               mm(swing->gap) + " mm to what stands round it, or so near that it cannot be told" +
               swing_words(w, *swing);
    const PivotSolution best = landings.empty() ? PivotSolution{} : solve_pivot(landings);
    if (!landings.empty() && best.status == PivotStatus::none)
        return "there is no place for the hole: " + best.explanation;
    if (free)
        return "there is no place for the hole where the stop with the free angle would land: no angle of its range "
               "serves, or not every one that has to";
    if (cut)
        return "there is no place for the hole in the allowed region: every pivot that serves the stops lies outside "
               "it";
    return "there is no place for the hole within a thousand kilometres: a stop turns so little that it asks for one "
           "farther off";
}

}  // namespace

std::string side_words(Point outward) {
    const double ax = std::abs(outward.x);
    const double ay = std::abs(outward.y);
    std::string text = "on its ";
    if (ay >= kAslant * ax) text += outward.y > 0.0 ? "upper" : "lower";
    if (ax >= kAslant * ay) {
        if (text.back() != ' ') text += " ";
        text += outward.x > 0.0 ? "right" : "left";
    }
    return text + " side";
}

std::string limit_words(std::span<const Landing> landings, const WindowLimit& limit) {
    const Landing& l = landings[limit.landing];
    const bool level = std::abs(l.normal().x) <= kParallel;
    const bool upright = std::abs(l.normal().y) <= kParallel;
    const bool more = limit.upper == ((level ? l.normal().y : l.normal().x) > 0.0);
    std::string text = stop(limit.landing) + " would land ";
    if (l.tolerance() > 0.0) text += "more than " + mm(l.tolerance()) + " mm ";
    text += "too ";
    if (level)
        text += more ? "high" : "low";
    else if (upright)
        text += more ? "far right" : "far left";
    else
        text += (limit.upper ? "far along the normal of its line" : "far back from its line");
    return text;
}

void name_binding(std::span<const Landing> landings, PivotWindow& window) {
    std::vector<std::string> texts;
    std::vector<double> lengths;
    for (WindowSide& s : window.sides) {
        std::string text;
        if (s.limit >= 0) {
            const WindowLimit& limit = window.limits[static_cast<std::size_t>(s.limit)];
            text = side_words({limit.a, limit.b}) + ": " + limit_words(landings, limit);
        } else {
            text = side_words(outward(s)) + ": " + place_words(s.limit);
        }
        const auto same = std::find(texts.begin(), texts.end(), text);
        s.binding = static_cast<std::int32_t>(same - texts.begin());
        if (same == texts.end()) {
            texts.push_back(std::move(text));
            lengths.push_back(0.0);
        }
        lengths[static_cast<std::size_t>(s.binding)] += detail::span(s.from, s.to);
    }
    // Specks say nothing where something else is there to say.
    const double longest = lengths.empty() ? 0.0 : *std::max_element(lengths.begin(), lengths.end());
    std::vector<std::int32_t> place(texts.size(), -1);
    for (std::size_t k = 0; k < texts.size(); ++k) {
        if (lengths[k] < std::min(kSpeck, longest)) continue;
        place[k] = static_cast<std::int32_t>(window.binding.size());
        window.binding.push_back(std::move(texts[k]));
    }
    for (WindowSide& s : window.sides) s.binding = place[static_cast<std::size_t>(s.binding)];
}

std::string explain(std::span<const Landing> landings, const PivotWindow& w, bool cut, bool free, const Swing* swing) {
    std::string text;
    switch (w.status) {
        case WindowStatus::none:
            return none(landings, w, cut, free, swing);
        case WindowStatus::any:
            text = "the stops ask nothing of the pivot: ";
            return text + (cut ? "the hole may be anywhere in the allowed region; " + forgives(w)
                               : "the hole may be anywhere");
        case WindowStatus::point:
            text = w.runs.size() == 1 ? "one place only serves every stop" : "only single places serve every stop";
            text += "; it forgives no drilling error";
            break;
        case WindowStatus::line:
            text = w.bounded ? "the hole may lie along a line " : "the hole may lie anywhere along a line";
            if (w.bounded) {
                double length = 0.0;
                for (const Run& r : w.runs) length += detail::span(r[0], r[1]);
                text += mm(length) + " mm long";
                if (w.runs.size() > 1) text += ", in " + std::to_string(w.runs.size()) + " pieces";
            }
            text += "; square to it no drilling error is forgiven";
            break;
        case WindowStatus::window: {
            double whole = 0.0;
            for (const Outline& o : w.outlines) whole += area(o);
            text = w.bounded ? "the hole may lie anywhere in a window of " + mm(whole) + " square mm"
                             : "the window for the hole goes on without end";
            if (w.outlines.size() > 1) text += ", in " + std::to_string(w.outlines.size()) + " parts";
            text += "; " + forgives(w);
            break;
        }
    }
    return swing != nullptr ? text + swing_words(w, *swing) : text;
}

}  // namespace foldswing::hinge::detail_window
