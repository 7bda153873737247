#include <algorithm>
#include <cmath>
#include <foldswing/seam.hpp>
#include <limits>

#include "check.hpp"
#include "predicates.hpp"
#include "rings.hpp"
#include "words.hpp"

namespace foldswing::seam {
namespace {

constexpr double kMetre = 1000.0;     // mm
constexpr double kTaperShown = 0.05;  // mm per metre; less than this is called even in words
constexpr double kSameRel = 1e-12;    // of the gaps: deviations that differ by rounding only are the same

double slope(Place a, Place b) { return (b.gap - a.gap) / (b.at - a.at); }
double gap_at(Place a, Place b, double at) { return a.gap + slope(a, b) * (at - a.at); }

/// The gap where it runs straight through neighbours, at a place of its own.
double gap_at(std::span<const Place> places, double at) {
    auto next =
        std::upper_bound(places.begin() + 1, places.end() - 1, at, [](double v, const Place& p) { return v < p.at; });
    return gap_at(*(next - 1), *next, at);
}

/// Sums over the length up to each place, of the gap and the place about their middles: what a straight line between
/// two places leaves of the gap, squared, follows from them.
class Sums {
  public:
    Sums(std::span<const Place> places, double mean, double middle) : places_(places), mean_(mean), middle_(middle) {
        squared_.resize(places.size());
        moment_.resize(places.size());
        area_.resize(places.size());
        for (std::size_t i = 1; i < places.size(); ++i) {
            const double h = places[i].at - places[i - 1].at;
            const double x0 = places[i - 1].at - middle;
            const double x1 = places[i].at - middle;
            const double g0 = places[i - 1].gap - mean;
            const double g1 = places[i].gap - mean;
            squared_[i] = squared_[i - 1] + h * (g0 * g0 + g0 * g1 + g1 * g1) / 3.0;
            moment_[i] = moment_[i - 1] + h * (2.0 * (x0 * g0 + x1 * g1) + x0 * g1 + x1 * g0) / 6.0;
            area_[i] = area_[i - 1] + 0.5 * h * (g0 + g1);
        }
    }
    /// Integral of (gap - line)^2 from place i to j, the line through the gaps at both.
    [[nodiscard]] double left(std::size_t i, std::size_t j) const {
        const double m = slope(places_[i], places_[j]);
        const double c = places_[i].gap - mean_ - m * (places_[i].at - middle_);  // the line is c + m x
        const double x0 = places_[i].at - middle_;
        const double x1 = places_[j].at - middle_;
        const double line = (x1 - x0) * (c * c + c * m * (x0 + x1) + m * m * (x0 * x0 + x0 * x1 + x1 * x1) / 3.0);
        return (squared_[j] - squared_[i]) - 2.0 * (c * (area_[j] - area_[i]) + m * (moment_[j] - moment_[i])) + line;
    }

  private:
    std::span<const Place> places_;
    double mean_;
    double middle_;
    std::vector<double> squared_;
    std::vector<double> moment_;
    std::vector<double> area_;
};

/// The fewest stretches; of those the ones that leave least in the mean square.
std::vector<Stretch> straight_stretches(std::span<const Place> places, double allowed, const Sums& sums) {
    const std::size_t n = places.size();
    struct Way {
        std::size_t stretches = std::numeric_limits<std::size_t>::max();
        double left = 0.0;
        std::size_t from = 0;
    };
    std::vector<Way> best(n);
    best[0].stretches = 0;
    for (std::size_t i = 0; i + 1 < n; ++i) {
        // Slopes from place i that pass every place between within what is allowed.
        double low = -std::numeric_limits<double>::infinity();
        double high = std::numeric_limits<double>::infinity();
        for (std::size_t j = i + 1; j < n; ++j) {
            const double run = places[j].at - places[i].at;
            const double rise = places[j].gap - places[i].gap;
            const double own = rise / run;
            if (own >= low && own <= high) {
                const std::size_t stretches = best[i].stretches + 1;
                const double left = best[i].left + sums.left(i, j);
                if (stretches < best[j].stretches || (stretches == best[j].stretches && left < best[j].left))
                    best[j] = {stretches, left, i};
            }
            low = std::max(low, (rise - allowed) / run);
            high = std::min(high, (rise + allowed) / run);
            if (low > high) break;
        }
    }
    std::vector<Stretch> out;
    for (std::size_t j = n - 1; j > 0; j = best[j].from) {
        const Place from = places[best[j].from];
        out.push_back({from, places[j], kMetre * slope(from, places[j])});
    }
    std::reverse(out.begin(), out.end());
    return out;
}

/// Where the gap is farther from the line than allowed, side by side.
std::vector<Spot> find_spots(std::span<const Place> places, Place from, Place to, double allowed) {
    std::vector<Spot> out;
    const auto off = [&](Place p) { return p.gap - gap_at(from, to, p.at); };
    for (const double side : {-1.0, 1.0}) {
        bool open = false;
        const auto beyond = [&](Place p) { return side * off(p) - allowed; };
        for (std::size_t i = 0; i < places.size(); ++i) {
            const double now = beyond(places[i]);
            const double before = i > 0 ? beyond(places[i - 1]) : -1.0;
            const auto crossing = [&] { return std::lerp(places[i - 1].at, places[i].at, before / (before - now)); };
            if (now > 0.0 && !open) {
                out.push_back({i > 0 ? crossing() : places[i].at, places[i].at, places[i], off(places[i])});
                open = true;
            }
            if (!open) continue;
            if (now > 0.0) {
                out.back().to = places[i].at;
                if (std::abs(off(places[i])) > std::abs(out.back().off)) {
                    out.back().worst = places[i];
                    out.back().off = off(places[i]);
                }
            } else {
                out.back().to = crossing();
                open = false;
            }
        }
    }
    std::sort(out.begin(), out.end(), [](const Spot& a, const Spot& b) { return a.from < b.from; });
    return out;
}

std::string taper_words(double per_metre) {
    if (std::abs(per_metre) < kTaperShown) return "runs even";
    return std::string(per_metre > 0.0 ? "opens " : "closes ") + detail::fixed(std::abs(per_metre), 2) +
           " mm per metre";
}

std::string words(const Seam& s, double wanted) {
    const auto gap = [](double v) {
        return v < 0.0 ? detail::fixed(-v, 2) + " mm of overlap" : detail::fixed(v, 2) + " mm";
    };
    const auto at = [](double v) { return detail::fixed(v, 0); };
    const std::string ends = gap(s.smallest.gap) == gap(s.largest.gap)
                                 ? gap(s.smallest.gap) + " all along"
                                 : gap(s.smallest.gap) + " at " + at(s.smallest.at) + " to " + gap(s.largest.gap) +
                                       " at " + at(s.largest.at);
    std::string out;
    switch (s.kind) {
        case Kind::even:
            out = "Even: " + ends;
            break;
        case Kind::tapered:
            out = "Tapered: " + ends + "; it " + taper_words(s.taper_per_metre) + " onward";
            break;
        case Kind::uneven:
            out = "Uneven: " + ends;
            for (const Spot& spot : s.spots)
                out += std::string("; a ") + (spot.off < 0.0 ? "tight" : "wide") + " spot from " + at(spot.from) +
                       " to " + at(spot.to) + ", " + gap(spot.worst.gap) + " at " + at(spot.worst.at) + ", " +
                       detail::fixed(std::abs(spot.off), 2) + (spot.off < 0.0 ? " less" : " more") +
                       " than the line through the whole";
            break;
    }
    out += ". " + detail::fixed(wanted, 2) + " mm wanted, " + detail::fixed(s.rms, 2) + " mm RMS from it";
    for (std::size_t i = 1; i < s.stretches.size(); ++i)
        out += std::string(i == 1 ? ". It " + taper_words(s.stretches[0].taper_per_metre) + " up to " : ", up to ") +
               at(s.stretches[i].from.at) + ", then " + taper_words(s.stretches[i].taper_per_metre);
    return out + ".";
}

/// Corners of an edge as (along, across) of the run; along ascends.
std::vector<Place> along_run(const char* name, const Path& edge, Point origin, Point run) {
    std::vector<Place> out;
    for (const Point p : edge.flatten(kSagitta))
        out.push_back({detail::dot(p - origin, run), detail::cross(run, p - origin)});
    if (edge.closed()) throw InvalidInput(name, "a closed path", "an edge from end to end");
    if (out.front().at > out.back().at) std::reverse(out.begin(), out.end());
    for (std::size_t i = 1; i < out.size(); ++i)
        if (!(out[i].at > out[i - 1].at))
            throw InvalidInput(name, out[i].at, "running forward along the seam all the way");
    return out;
}

}  // namespace

const char* word(Kind kind) noexcept {
    switch (kind) {
        case Kind::even:
            return "even";
        case Kind::tapered:
            return "tapered";
        case Kind::uneven:
            break;
    }
    return "uneven";
}

Seam along(std::span<const Place> places, double wanted, double allowed) {
    const std::string count = std::to_string(places.size());
    if (places.size() < 2) throw InvalidInput("places", count, "at least two");
    if (places.size() > kMostPlaces) throw InvalidInput("places", count, "at most 5000");
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (!(std::abs(places[i].at) <= detail::kLargest) || !(std::abs(places[i].gap) <= detail::kLargest))
            throw InvalidInput("places", std::abs(places[i].at) <= detail::kLargest ? places[i].gap : places[i].at,
                               "finite, within +-1e12 mm")
                .at(std::to_string(i));
        if (i > 0 && !(places[i].at > places[i - 1].at))
            throw InvalidInput("places", places[i].at, "ascending along the seam").at(std::to_string(i));
    }
    detail::require(std::abs(wanted) <= detail::kLargest, "wanted", wanted, "finite, within +-1e12 mm");
    detail::require_positive("allowed", allowed);
    Seam out;
    out.places.assign(places.begin(), places.end());
    const auto by_gap = [](const Place& a, const Place& b) { return a.gap < b.gap; };
    out.smallest = *std::min_element(places.begin(), places.end(), by_gap);
    out.largest = *std::max_element(places.begin(), places.end(), by_gap);
    const double start = places.front().at;
    const double length = places.back().at - start;
    const double middle = start + 0.5 * length;
    double area = 0.0;
    double squared = 0.0;
    for (std::size_t i = 1; i < places.size(); ++i) {
        const double h = (places[i].at - places[i - 1].at) / length;
        const double d0 = places[i - 1].gap - wanted;
        const double d1 = places[i].gap - wanted;
        area += 0.5 * h * (d0 + d1);
        squared += h * (d0 * d0 + d0 * d1 + d1 * d1) / 3.0;
    }
    out.mean = wanted + area;
    out.rms = std::sqrt(squared);
    // Least squares about the middle of the seam: slope = 12 / length^3 times the first moment of the gap.
    double moment = 0.0;
    for (std::size_t i = 1; i < places.size(); ++i) {
        const double h = (places[i].at - places[i - 1].at) / length;
        const double x = (0.5 * (places[i].at + places[i - 1].at) - middle) / length;
        const double g = 0.5 * (places[i].gap + places[i - 1].gap) - out.mean;
        moment += h * (x * g + h * (places[i].gap - places[i - 1].gap) / 12.0);
    }
    const double rise = 12.0 * moment;  // over the whole length
    out.taper_per_metre = kMetre * rise / length;
    out.line_from = {start, out.mean - 0.5 * rise};
    out.line_to = {places.back().at, out.mean + 0.5 * rise};
    const double rounding = kSameRel * std::max(std::abs(out.smallest.gap), std::abs(out.largest.gap));
    const auto within = [&](auto off) {
        return std::all_of(places.begin(), places.end(),
                           [&](const Place& p) { return std::abs(off(p)) <= allowed + rounding; });
    };
    out.kept = within([&](const Place& p) { return p.gap - wanted; });
    if (within([&](const Place& p) { return p.gap - out.mean; }))
        out.kind = Kind::even;
    else if (within([&](const Place& p) { return p.gap - gap_at(out.line_from, out.line_to, p.at); }))
        out.kind = Kind::tapered;
    else
        out.kind = Kind::uneven;
    out.stretches = straight_stretches(places, allowed + rounding, Sums(places, out.mean, middle));
    out.spots = find_spots(places, out.line_from, out.line_to, allowed + rounding);
    out.explanation = words(out, wanted);
    return out;
}

Seam between(const Path& panel_edge, const Path& body_edge, double wanted, double allowed) {
    const Point origin = body_edge.points().front();
    const Point chord = body_edge.points().back() - origin;
    const double length = detail::norm(chord);
    detail::require(length > 0.0 && length <= detail::kLargest, "body_edge", length, "from one end to another");
    const Point run = (1.0 / length) * chord;
    const std::vector<Place> panel = along_run("panel_edge", panel_edge, origin, run);
    const std::vector<Place> body = along_run("body_edge", body_edge, origin, run);
    const double from = std::max(panel.front().at, body.front().at);
    const double to = std::min(panel.back().at, body.back().at);
    if (!(to > from)) throw InvalidInput("panel_edge", "off the body's edge", "beside it");
    std::vector<double> at{from, to};
    for (const auto& edge : {panel, body})
        for (const Place& p : edge)
            if (p.at > from && p.at < to) at.push_back(p.at);
    std::sort(at.begin(), at.end());
    at.erase(std::unique(at.begin(), at.end()), at.end());
    std::vector<Place> gaps;
    double area = 0.0;
    for (const double x : at) {
        gaps.push_back({x, gap_at(body, x) - gap_at(panel, x)});
        if (gaps.size() > 1) area += (x - gaps[gaps.size() - 2].at) * (gaps.back().gap + gaps[gaps.size() - 2].gap);
    }
    if (area < 0.0)  // the panel lies on the other side of the body's edge
        for (Place& p : gaps) p.gap = 0.0 - p.gap;
    return along(gaps, wanted, allowed);
}

}  // namespace foldswing::seam
