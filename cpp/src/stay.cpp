#include "stay.hpp"

#include <algorithm>
#include <cmath>
#include <foldswing/stay.hpp>
#include <limits>
#include <numeric>
#include <string>

namespace foldswing::stay {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kMetre = 1e-3;            // m in a mm
constexpr double kFirstStretch = 0x1p-50;  // of the most the stay can stretch: where the search for the peak begins
constexpr double kStretchStep = 1.05;      // from one place of that search to the next

}  // namespace

const char* word(State state) noexcept {
    switch (state) {
        case State::holds:
            return "holds";
        case State::goes_slack:
            return "goes slack";
        case State::dead_centre:
            break;
    }
    return "dead centre";
}

const char* word(CatchState state) noexcept { return state == CatchState::caught ? "caught" : "not caught"; }

namespace {

void require_load(const Load& load) {
    detail::require_not_negative("mass", load.mass);
    detail::require(load.mass <= detail::kHeaviest, "mass", load.mass, "at most 1e9 kg");
    detail::require_place("centre", load.centre);
    detail::require_not_negative("leaned", load.leaned);
    detail::require(load.leaned <= detail::kHeaviest, "leaned", load.leaned, "at most 1e9 kg");
    detail::require_place("edge", load.edge);
}

void require_count(int count) { detail::require(count >= 1 && count <= kMostStays, "count", count, "from 1 to 10"); }

void require_turn(const char* name, double turn_deg) {
    detail::require(std::abs(turn_deg) <= 360.0, name, turn_deg, "finite, within +-360 degrees");
}

/// hold, once everything was checked.
Hold held(const Pins& pins, const Load& load, const Pose& at, Point pivot, int count) {
    const Point on_panel = at.apply(pins.panel);
    const Point along = pins.fixed - on_panel;
    const Point arm = on_panel - pivot;
    Hold out;
    out.length = std::hypot(along.x, along.y);
    if (!(out.length > 0.0)) throw InvalidInput("fixed", 0.0, "away from the pin on the panel");
    const double lever = detail::cross(arm, along) / out.length;  // of a pull, counter-clockwise positive
    const Point edge = at.apply(load.edge) - pivot;
    const Point centre = at.apply(load.centre) - pivot;
    const double weight = kGravity * load.mass;
    const double lean = kGravity * load.leaned;
    const double turning = -kMetre * (weight * centre.x + lean * edge.x);  // of the loads, counter-clockwise positive
    out.lever_arm = std::abs(lever);
    if (out.lever_arm <= kNoLeverRel * std::hypot(arm.x, arm.y)) {
        out.state = State::dead_centre;
        out.lever_arm = 0.0;
        out.edge_per_mm = kInfinity;
        out.moment = std::abs(turning);
        out.pull_each = out.pull_alone = kNan;
        out.on_pivot = {kNan, kNan};
        return out;
    }
    out.edge_per_mm = std::hypot(edge.x, edge.y) / out.lever_arm;
    out.moment = lever > 0.0 ? 0.0 - turning : turning;
    out.pull_alone = out.moment / (kMetre * out.lever_arm);
    out.pull_each = out.pull_alone / count;
    out.state = out.moment < 0.0 ? State::goes_slack : State::holds;
    // A strap that goes slack pulls nothing; the panel then rests on something else as well, which is not counted.
    const double pull = std::max(out.pull_alone, 0.0) / out.length;
    out.on_pivot = {pull * along.x, pull * along.y - weight - lean};
    return out;
}

}  // namespace

Hold hold(const Pins& pins, const Load& load, const Pose& at, Point pivot, int count) {
    detail::require_place("fixed", pins.fixed);
    detail::require_place("panel", pins.panel);
    require_load(load);
    require_valid(at);
    detail::require_place("pose", {at.x, at.y});
    detail::require_place("pivot", pivot);
    require_count(count);
    return held(pins, load, at, pivot, count);
}

Strap strap(const Pins& pins, const Load& load, Point pivot, std::span<const double> turns_deg, int count) {
    if (turns_deg.empty()) throw InvalidInput("turns_deg", "none", "one for each stop");
    for (std::size_t i = 0; i < turns_deg.size(); ++i)
        if (!(std::abs(turns_deg[i]) <= 360.0) || turns_deg[i] == 0.0)
            throw InvalidInput("turns_deg", turns_deg[i], "within +-360 degrees and not 0").at(std::to_string(i));
    Strap out;
    const Point shut = pins.fixed - pins.panel;
    out.shut = std::hypot(shut.x, shut.y);
    for (const double turn : turns_deg) {
        out.stops.push_back(hold(pins, load, Pose::about(pivot, turn), pivot, count));
        const double length = out.stops.back().length;
        out.slack_shut.push_back(length - out.shut);
        out.taut_at_deg.push_back(detail::taut_at_stop(detail::Spread(pins, pivot), turn, length));
    }
    for (std::size_t i = 0; i + 1 < out.stops.size(); ++i)
        out.spacing.push_back(std::abs(out.stops[i + 1].length - out.stops[i].length));
    const auto pull = [](const Hold& h) {
        if (h.state == State::dead_centre) return kInfinity;
        return h.pull_each;
    };
    out.worst =
        static_cast<std::size_t>(std::max_element(out.stops.begin(), out.stops.end(),
                                                  [&](const Hold& a, const Hold& b) { return pull(a) < pull(b); }) -
                                 out.stops.begin());
    return out;
}

double taut_at(const Pins& pins, const PlainTurn& turn, double length) {
    detail::require_place("fixed", pins.fixed);
    detail::require_place("panel", pins.panel);
    detail::require_place("pivot", turn.pivot);
    require_turn("turn_from_deg", turn.turn_from_deg);
    require_turn("turn_to_deg", turn.turn_to_deg);
    require_turn("the turn", turn.turn_to_deg - turn.turn_from_deg);
    detail::require_positive("length", length);
    return detail::Spread(pins, turn.pivot).taut_at(turn.turn_from_deg, turn.turn_to_deg, length);
}

Mismatch mismatch(double edge_per_mm, double difference, double width) {
    detail::require(edge_per_mm >= 0.0, "edge_per_mm", edge_per_mm, ">= 0");
    detail::require_not_negative("difference", difference);
    detail::require_positive("width", width);
    const double edge = difference == 0.0 ? 0.0 : edge_per_mm * difference;
    return {edge, std::atan(edge / width) / detail::kDegree};
}

double stiffness(double modulus, double area, double length) {
    detail::require_positive("modulus", modulus);
    detail::require_positive("area", area);
    detail::require_positive("length", length);
    return 1e3 * modulus * (area / length);  // GPa are kN/mm^2
}

double stiffness_from_test(double mass, double stretch) {
    detail::require_positive("mass", mass);
    detail::require_positive("stretch", stretch);
    return kGravity * mass / stretch;
}

Catch catch_load(const Pins& pins, const Load& load, const PlainTurn& turn, double each, int count) {
    require_load(load);
    require_count(count);
    detail::require_positive("each", each);
    detail::require_place("fixed", pins.fixed);
    detail::require_place("panel", pins.panel);
    detail::require_place("pivot", turn.pivot);
    require_turn("turn_from_deg", turn.turn_from_deg);
    require_turn("turn_to_deg", turn.turn_to_deg);
    require_turn("the turn", turn.turn_to_deg - turn.turn_from_deg);
    const detail::Spread spread(pins, turn.pivot);
    const double way = turn.turn_to_deg < turn.turn_from_deg ? -1.0 : 1.0;
    const double taut = turn.turn_to_deg;
    const double length = spread.distance(taut);
    const double most = spread.most() - length;  // the stay can be stretched so far
    detail::require(spread.parting(taut, way) && most > 0.0, "turn_to_deg", taut, "where the pins still move apart");
    const detail::Lift centre(load.centre, turn.pivot);
    const detail::Lift edge(load.edge, turn.pivot);
    const double weight = kGravity * load.mass;
    const auto from_highest = [&](const detail::Lift& point) {
        const double highest = point.highest(turn.turn_from_deg, taut);
        return std::max(0.0, point.fall(highest, taut - highest));  // rounding must not make it rise from its highest
    };
    const double energy = weight * from_highest(centre);  // N·mm
    Catch out;
    out.fall = from_highest(edge);
    out.energy = kMetre * energy;
    const double together = each * count;
    const auto beyond = [&](double stretch) { return spread.opened_by(taut, way, stretch); };
    const auto left = [&](double stretch) {
        return energy + weight * centre.fall(taut, beyond(stretch)) - 0.5 * together * stretch * stretch;
    };
    // The first stretch at which nothing is left, to a step of the search; then halved.
    double low = 0.0;
    double high = most * kFirstStretch;
    while (left(high) > 0.0) {
        low = high;
        if (high == most) {
            out.state = CatchState::not_caught;
            out.pull_each = out.stretch = out.edge_overrun = kNan;
            return out;
        }
        high = std::min(most, kStretchStep * high);
    }
    for (double middle = std::midpoint(low, high); low < middle && middle < high; middle = std::midpoint(low, high))
        (left(middle) > 0.0 ? low : high) = middle;
    out.stretch = low;
    out.pull_each = each * low;
    out.edge_overrun = std::abs(beyond(low)) * detail::kDegree * edge.radius();
    return out;
}

}  // namespace foldswing::stay
