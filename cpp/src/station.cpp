#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/arc.hpp>
#include <foldswing/station.hpp>
#include <numeric>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::station {
namespace {

constexpr std::array kFields{&Differences::worktop_up, &Differences::nose_out,      &Differences::sill_up,
                             &Differences::head_up,    &Differences::lower_edge_up, &Differences::outer_face_out,
                             &Differences::thicker};

constexpr double kFarthest = 1e100;  // mm; beyond it products would overflow

void require_place(const char* name, double v) {
    detail::require(std::abs(v) <= kFarthest, name, v, "finite and within 1e100 mm");
}
void require_valid(const Differences& d) {
    for (const auto field : kFields) require_place("differences", d.*field);
}
void require_bow(double chord, double rise) {
    (void)arc::height(chord, rise, 0.0);  // refuses what is no arc
    detail::require(2.0 * rise <= chord, "rise", rise, "no more than half of the chord");
}

/// a + part (b - a) in every field
Differences between(const Differences& a, const Differences& b, double part) {
    Differences out = a;
    for (const auto field : kFields) out.*field += part * (b.*field - a.*field);
    return out;
}

void require_width(double width) {
    detail::require_positive("width", width);
    require_place("width", width);
}
double half_width(const Measured& m) { return std::isnan(m.width) ? 0.0 : 0.5 * m.width; }

void require_in_order(std::span<const Measured> measured) {
    for (std::size_t i = 0; i < measured.size(); ++i) {
        const Measured& m = measured[i];
        require_place("from_left", m.from_left);
        if (!std::isnan(m.width)) require_width(m.width);
        require_valid(m.there);
        if (i == 0) continue;
        const Measured& before = measured[i - 1];
        detail::require(before.from_left < m.from_left, "from_left", m.from_left, "in order along the hinge");
        detail::require(before.from_left + half_width(before) <= m.from_left - half_width(m), "width", m.width,
                        "small enough not to reach into the next station");
    }
}

Differences measured_at(std::span<const Measured> measured, double x) {
    if (measured.empty()) return {};
    const auto next =
        std::find_if(measured.begin(), measured.end(), [x](const Measured& m) { return m.from_left > x; });
    if (next == measured.begin()) return next->there;
    const Measured& left = *(next - 1);
    if (next == measured.end()) return left.there;
    const double from = left.from_left + half_width(left);
    const double to = next->from_left - half_width(*next);
    if (x <= from) return left.there;
    if (x >= to) return next->there;
    return between(left.there, next->there, (x - from) / (to - from));
}

}  // namespace

gate::Sizes sizes_at(const gate::Sizes& stated, const Differences& there) {
    gate::require_valid(stated);
    require_valid(there);
    gate::Sizes s = stated;
    const auto [sine, cosine] = detail::sin_cos_deg(s.lean_deg);
    s.worktop_drop -= there.worktop_up;
    s.nose_behind_wall -= there.nose_out;
    s.sill_below_worktop -= there.sill_up;
    s.head_above_worktop += there.head_up;
    // Along the leaning face the lower edge also goes out or in.
    s.lower_edge_below_worktop -= there.lower_edge_up;
    s.height -= there.lower_edge_up / cosine;
    s.outer_face_out += there.outer_face_out + there.lower_edge_up * (sine / cosine);
    s.thickness += there.thicker;
    gate::require_valid(s);
    return s;
}

Differences differences_at(std::span<const Measured> measured, std::span<const Bow> bows, double from_left) {
    require_in_order(measured);
    require_place("from_left", from_left);
    Differences out = measured_at(measured, from_left);
    for (const Bow& bow : bows) {
        require_valid(bow.toward);
        require_place("from_left", bow.from_left);
        require_bow(bow.chord, bow.rise);  // also where the place lies beyond it
        const double half = 0.5 * bow.chord;
        const double from_middle = from_left - (bow.from_left + half);
        if (std::abs(from_middle) >= half) continue;
        const double height = arc::height(bow.chord, bow.rise, from_middle);
        for (const auto field : kFields) out.*field += height * bow.toward.*field;
    }
    return out;
}

std::vector<double> bow_places(double chord, double rise, double most) {
    require_bow(chord, rise);
    detail::require_positive("most", most);
    int stretches = 4;
    const auto steps = [&](int n) {
        const double half_stretch = 0.5 * chord / n;
        return arc::height(chord, rise, 0.5 * chord - half_stretch) > most;
    };
    while (stretches < kMostStretches && steps(stretches)) stretches += 4;
    std::vector<double> out;
    for (int i = 0; i <= stretches; ++i) out.push_back(chord * i / stretches);
    return out;
}

std::vector<Stretch> stretches(double width, std::span<const double> places, std::span<const Measured> measured) {
    require_width(width);
    require_in_order(measured);
    const auto require_inside = [width](double x) {
        detail::require(std::isfinite(x) && x >= 0.0 && x <= width, "from_left", x, "within the opening");
    };
    std::vector<double> at;
    for (const Measured& m : measured) {
        require_inside(m.from_left);
        at.push_back(m.from_left);
    }
    // A measured place stays where it is; of the others, the first of several at one place stands.
    std::vector<double> others(places.begin(), places.end());
    std::sort(others.begin(), others.end());
    for (const double x : others) {
        require_inside(x);
        const bool same = std::any_of(at.begin(), at.end(), [x](double y) { return std::abs(x - y) <= kSamePlace; });
        if (!same) at.push_back(x);
    }
    std::sort(at.begin(), at.end());
    std::vector<Stretch> out;
    for (std::size_t i = 0; i < at.size(); ++i) {
        double from = 0.0;
        if (i > 0) {
            // Edges of measured widths between the two: of one, or of both, and then half-way between those.
            double left = at[i - 1];
            double right = at[i];
            for (const Measured& m : measured) {
                const double half = half_width(m);
                for (const double edge : {m.from_left - half, m.from_left + half}) {
                    if (half == 0.0 || edge <= at[i - 1] || edge >= at[i]) continue;
                    const bool first = left == at[i - 1] && right == at[i];
                    left = first ? edge : std::min(left, edge);
                    right = first ? edge : std::max(right, edge);
                }
            }
            from = std::midpoint(left, right);
            out.back().to = from;
        }
        out.push_back({at[i], from, width});
    }
    return out;
}

}  // namespace foldswing::station
