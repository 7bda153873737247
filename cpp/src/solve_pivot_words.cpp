#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "check.hpp"
#include "half_planes.hpp"
#include "solve_pivot.hpp"
#include "words.hpp"

namespace foldswing::hinge::detail_pivot {
namespace {

using detail::cross;
using detail::dot;
using detail::fixed;
using detail::kParallel;
using detail::mm;

constexpr double kSeen = 0.05;    // mm; less than this no tape shows
constexpr double kTouchy = 20.0;  // mm of pivot per mm at a stop above which the user is told

/// Two lengths told apart.
std::pair<std::string, std::string> mm(double a, double b) {
    int decimals = 1;
    while (decimals < 6 && fixed(a, decimals) == fixed(b, decimals)) ++decimals;
    return {fixed(a, decimals), fixed(b, decimals)};
}

std::string stop(std::size_t i) { return "stop " + std::to_string(i + 1); }

std::string stops(std::size_t i, std::size_t j, std::size_t n) {
    return n == 2 ? "both stops" : "stops " + std::to_string(i + 1) + " and " + std::to_string(j + 1);
}

std::string all_stops(std::size_t n) {
    return n == 1 ? "the stop" : n == 2 ? "both stops" : "all " + std::to_string(n) + " stops";
}

const char* at(LandingKind kind) {
    switch (kind) {
        case LandingKind::at_least:
            return "at least ";
        case LandingKind::at_most:
            return "at most ";
        case LandingKind::on:
            break;
    }
    return "";
}

std::string allowed(const Landing& l) { return l.tolerance() == 0.0 ? "nothing" : mm(l.tolerance()) + " mm"; }

/// A landing's line counted along +y where it is level, +x where it is upright, else along its own normal.
struct Reading {
    double value;
    LandingKind kind;
};
Reading reading(const Landing& l, Point axis) {
    const bool flip = dot(l.normal(), axis) < 0.0;
    LandingKind kind = l.kind();
    if (flip && kind != LandingKind::on)
        kind = kind == LandingKind::at_least ? LandingKind::at_most : LandingKind::at_least;
    return {flip ? -l.offset() : l.offset(), kind};
}
bool level(const Landing& l) { return std::abs(l.normal().x) <= kParallel; }
bool upright(const Landing& l) { return std::abs(l.normal().y) <= kParallel; }
Point axis_of(const Landing& l) {
    if (level(l)) return {0.0, 1.0};
    return upright(l) ? Point{1.0, 0.0} : l.normal();
}

/// True when no place suits both readings of one point.
bool clash(Reading a, double tolerance_a, Reading b, double tolerance_b) {
    const double room = tolerance_a + tolerance_b;
    return (a.kind != LandingKind::at_most && b.kind != LandingKind::at_least && a.value - b.value > room) ||
           (b.kind != LandingKind::at_most && a.kind != LandingKind::at_least && b.value - a.value > room);
}

/// Two stops at the same turn that want one point in two places.
std::optional<std::string> two_places(std::span<const Landing> landings) {
    for (std::size_t i = 0; i < landings.size(); ++i)
        for (std::size_t j = i + 1; j < landings.size(); ++j) {
            const Landing& a = landings[i];
            const Landing& b = landings[j];
            if (a.turn_deg() != b.turn_deg() || a.point() != b.point() ||
                std::abs(cross(a.normal(), b.normal())) > kParallel)
                continue;
            const Point axis = axis_of(a);
            const Reading ra = reading(a, axis);
            const Reading rb = reading(b, axis);
            if (!clash(ra, a.tolerance(), rb, b.tolerance())) continue;
            const auto [va, vb] = mm(ra.value, rb.value);
            const char* what = level(a) ? "heights" : upright(a) ? "places sideways" : "places";
            std::string text = stops(i, j, landings.size()) + " ask the same edge for two ";
            text.append(what).append(": ").append(at(ra.kind)).append(va);
            text.append(" and ").append(at(rb.kind)).append(vb).append(" mm");
            return text;
        }
    return std::nullopt;
}

/// The landing that is broken worst, in tolerances (in mm among exact ones, which come first).
std::size_t worst(std::span<const Landing> landings, const PivotSolution& solution, const std::vector<bool>& among) {
    const auto badness = [&](std::size_t i) {
        const double breach = landings[i].breach(solution.residuals[i]);
        const bool exact = landings[i].tolerance() == 0.0;
        return exact ? std::pair{breach > kSeen * 1e-6, breach} : std::pair{false, breach / landings[i].tolerance()};
    };
    std::size_t out = landings.size();
    for (std::size_t i = 0; i < landings.size(); ++i)
        if (among[i] && (out == landings.size() || badness(i) > badness(out))) out = i;
    return out;
}

std::string misses_most(std::span<const Landing> landings, const PivotSolution& solution, std::size_t i) {
    return stop(i) + " misses most, by " + mm(landings[i].breach(solution.residuals[i])) + " mm where " +
           allowed(landings[i]) + " is allowed";
}

std::string whole_turn(const Landing& l, std::size_t i) {
    const Point axis = axis_of(l);
    const Reading asked = reading(l, axis);
    const auto [stands, wanted] = mm(dot(axis, l.point()), asked.value);
    const std::string turn = l.turn_deg() == 0.0
                                 ? "is shut (no turn)"
                                 : "turns by whole revolutions (" + fixed(l.turn_deg(), 0) + " degrees)";
    return stop(i) + " " + turn + ", so no pivot can help it: the edge stands at " + stands + " mm where " +
           at(asked.kind) + wanted + " mm is asked and " + allowed(l) + " is allowed";
}

std::string none(std::span<const Landing> landings, const PivotSolution& solution, const Findings& found) {
    for (std::size_t i = 0; i < landings.size(); ++i)
        if (!found.turning[i] && !found.met[i]) return whole_turn(landings[i], i);
    std::string text =
        two_places(landings).value_or("no pivot serves " + all_stops(landings.size()) + " within tolerance");
    const std::size_t i = worst(landings, solution, found.turning);
    return text + "; with the pivot that misses least " + misses_most(landings, solution, i);
}

std::string point(std::span<const Landing> landings, const PivotSolution& solution, const Findings& found) {
    const std::size_t i = worst(landings, solution, std::vector<bool>(landings.size(), true));
    const double breach = landings[i].breach(solution.residuals[i]);
    std::string text = breach < std::min(kSeen, 0.5 * landings[i].tolerance()) || landings[i].tolerance() == 0.0
                           ? "one pivot puts " + all_stops(landings.size()) + " true"
                           : "the pivot is a compromise between " + std::to_string(landings.size()) +
                                 " stops: " + misses_most(landings, solution, i);
    if (found.moved) text += "; it was moved off the best average so that every stop stays within its tolerance";
    if (found.gain > kTouchy)
        text += "; the stops ask nearly the same thing, so 0.1 mm at a stop moves the pivot by up to " +
                mm(0.1 * found.gain) + " mm";
    return text;
}

std::string line(const PivotSolution& solution, const Findings& found) {
    const auto place = [](Point p, int decimals) {
        return "(" + fixed(p.x, decimals) + ", " + fixed(p.y, decimals) + ")";
    };
    std::string text = found.strips == 1 ? "one stop leaves" : "the stops all ask for the same line and leave";
    text += " a line of pivots: through " + place(solution.pivot, 1) + " mm along " + place(solution.direction, 4);
    if (found.half_planes > 0) text += ", as far as the one-sided stops let it go";
    return text + "; another stop that asks something different would settle the pivot";
}

std::string any(const Findings& found) {
    if (found.half_planes > 0)
        return "no stop fixes the pivot, each only keeps it to one side; the pivot given is the one nearest the origin";
    return "the stops bring the panel back where it was, wherever the pivot is: any pivot does";
}

}  // namespace

std::string explain(std::span<const Landing> landings, const PivotSolution& solution, const Findings& findings) {
    switch (solution.status) {
        case PivotStatus::none:
            return none(landings, solution, findings);
        case PivotStatus::point:
            return point(landings, solution, findings);
        case PivotStatus::line:
            return line(solution, findings);
        case PivotStatus::any:
            break;
    }
    return any(findings);
}

}  // namespace foldswing::hinge::detail_pivot
