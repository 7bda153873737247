#include "solve_pivot.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "check.hpp"
#include "degrees.hpp"
#include "half_planes.hpp"
#include "landing_rows.hpp"

namespace foldswing::hinge {
namespace {

using detail::cross;
using detail::dot;
using detail::kParallel;
using detail::square_to;
using detail_pivot::Findings;
using detail_pivot::kRoundoffRel;
using detail_pivot::mean_point;
using detail_pivot::Planes;
using detail_pivot::Row;
using detail_pivot::size_of;
using detail_pivot::turning_rows;

/// 0, 1 or 2 from the directions alone.
int rank_of(const std::vector<Row>& rows) {
    for (std::size_t i = 0; i < rows.size(); ++i)
        for (std::size_t j = i + 1; j < rows.size(); ++j)
            if (std::abs(cross(rows[i].u, rows[j].u)) > kParallel) return 2;
    return rows.empty() ? 0 : 1;
}

template <class Keep>
std::vector<Row> only(const std::vector<Row>& rows, Keep keep) {
    std::vector<Row> out;
    std::copy_if(rows.begin(), rows.end(), std::back_inserter(out), keep);
    return out;
}

/// Weight of a row's strip position: what it pulls with, per mm of pivot. Only ratios matter; the smallest is kept
/// above 0.
std::vector<double> weights(const std::vector<Row>& rows, bool by_tolerance) {
    std::vector<double> w;
    w.reserve(rows.size());
    for (const Row& r : rows) w.push_back(by_tolerance ? std::min(r.gain / r.landing->tolerance(), 1e300) : r.gain);
    const double heaviest = w.empty() ? 1.0 : *std::max_element(w.begin(), w.end());
    for (double& v : w) v = std::max(v / heaviest, 1e-150);
    return w;
}

/// Least squares over rows of two directions: Givens rotations, heaviest row first and along an axis, so that a tiny
/// turn keeps its digits beside a large one. Two refinements with misses taken from the landings themselves.
Point fit_point(const std::vector<Row>& rows, const std::vector<double>& w, Point anchor) {
    std::vector<std::size_t> order(rows.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return w[a] > w[b]; });
    const Point e1 = rows[order.front()].u;
    const Point e2 = square_to(e1);
    Point x;
    for (int pass = 0; pass < 3; ++pass) {
        double r11 = 0.0;
        double r12 = 0.0;
        double r22 = 0.0;
        double b1 = 0.0;
        double b2 = 0.0;
        for (const std::size_t k : order) {
            const Row& row = rows[k];
            const double left = pass == 0 ? row.c : -row.landing->miss(anchor + x) / row.gain;
            const double a1 = w[k] * dot(row.u, e1);
            const double a2 = w[k] * dot(row.u, e2);
            const double b = w[k] * left;
            const double h = std::hypot(r11, a1);
            const double c = r11 / h;
            const double s = a1 / h;
            const double rest2 = c * a2 - s * r12;
            const double rest_b = c * b - s * b1;
            r11 = h;
            r12 = c * r12 + s * a2;
            b1 = c * b1 + s * b;
            const double h2 = std::hypot(r22, rest2);
            if (h2 > 0.0) {
                b2 = (r22 * b2 + rest2 * rest_b) / h2;
                r22 = h2;
            }
        }
        if (r22 == 0.0) break;  // a weight beyond all proportion: the heavy rows alone decide
        const double y2 = b2 / r22;
        const double y1 = (b1 - r12 * y2) / r11;
        x = x + (y1 * e1 + y2 * e2);  // summed first: halves of a last place would be lost one by one
    }
    return x;
}

/// Weighted mean position along v of rows that are parallel to it.
double fit_level(const std::vector<Row>& rows, const std::vector<double>& w, Point v) {
    double sum = 0.0;
    double weight = 0.0;
    for (std::size_t k = 0; k < rows.size(); ++k) {
        sum += w[k] * w[k] * (dot(rows[k].u, v) < 0.0 ? -rows[k].c : rows[k].c);
        weight += w[k] * w[k];
    }
    return sum / weight;
}

Point heaviest_direction(const std::vector<Row>& rows, const std::vector<double>& w) {
    return rows[static_cast<std::size_t>(std::max_element(w.begin(), w.end()) - w.begin())].u;
}

/// The least-squares point: exact landings hold first, the others pull by their tolerances along what is left.
Point fit(const std::vector<Row>& strips, const std::vector<Row>& exact, Point anchor) {
    const int rank = rank_of(exact);
    if (rank == 0) return fit_point(strips, weights(strips, true), anchor);
    if (rank == 2) return fit_point(exact, weights(exact, false), anchor);
    const std::vector<double> w = weights(exact, false);
    const Point v = heaviest_direction(exact, w);
    const Point along = square_to(v);
    Point x = fit_level(exact, w, v) * v;
    const std::vector<Row> others =
        only(strips, [&](const Row& r) { return !r.exact() && std::abs(dot(r.u, along)) > kParallel; });
    const std::vector<double> wo = weights(others, true);
    for (int pass = 0; pass < 3; ++pass) {
        double top = 0.0;
        double bottom = 0.0;
        for (std::size_t k = 0; k < others.size(); ++k) {
            const double slope = wo[k] * dot(others[k].u, along);
            const double left =
                pass == 0 ? others[k].c - dot(others[k].u, x) : -others[k].landing->miss(anchor + x) / others[k].gain;
            top += slope * wo[k] * left;
            bottom += slope * slope;
        }
        if (bottom > 0.0) x = x + top / bottom * along;
    }
    return x;
}

/// 1 / smallest singular value of the rows scaled to mm at the stop.
double shift_per_mm(const std::vector<Row>& strips) {
    double xx = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    for (const Row& r : strips) {
        const Point a = r.gain * r.u;
        xx += a.x * a.x;
        xy += a.x * a.y;
        yy += a.y * a.y;
    }
    const double largest = 0.5 * (xx + yy + std::hypot(xx - yy, 2.0 * xy));
    double squares = 0.0;  // det = sum of squared 2x2 minors: no difference of nearly equal numbers
    for (std::size_t i = 0; i < strips.size(); ++i)
        for (std::size_t j = i + 1; j < strips.size(); ++j) {
            const double minor = strips[i].gain * strips[j].gain * cross(strips[i].u, strips[j].u);
            squares += minor * minor;
        }
    return std::sqrt(largest / squares);
}

struct Search {
    Point x;
    bool feasible = true;
    bool moved = false;
};

/// From the wanted point to the nearest that meets all, or to the least worst.
Search settle(const std::vector<Row>& rows, Point wanted) {
    const std::vector<Row> exact = only(rows, [](const Row& r) { return r.exact(); });
    if (!exact.empty()) {
        Planes planes(rows);
        for (const Row& r : exact) planes.add(r, 1.0 / r.gain);
        const detail::Meeting m = planes.meet(wanted);
        if (m.widening > 0.0) return {m.x, false, true};
    }
    Planes planes(rows);
    for (const Row& r : rows) planes.add(r, r.landing->tolerance() / r.gain);
    const detail::Meeting m = planes.meet(wanted);
    return {m.x, m.widening == 0.0, m.x != wanted};
}

Point canonical(Point v) {
    const bool flip = v.x < 0.0 || (v.x == 0.0 && v.y < 0.0);
    return {flip ? -v.x : v.x + 0.0, flip ? -v.y : v.y + 0.0};
}

}  // namespace

const char* word(PivotStatus status) noexcept {
    switch (status) {
        case PivotStatus::point:
            return "point";
        case PivotStatus::line:
            return "line";
        case PivotStatus::none:
            return "none";
        case PivotStatus::any:
            break;
    }
    return "any";
}

PivotSolution solve_pivot(std::span<const Landing> landings) {
    if (landings.empty()) throw InvalidInput("landings", "none", "at least one Landing");
    const Point anchor = mean_point(landings);
    std::vector<Row> rows = turning_rows(landings, anchor);
    std::vector<Row> strips = only(rows, [](const Row& r) { return r.is_strip(); });
    const int rank = rank_of(strips);

    PivotSolution out;
    Findings found;
    found.turning.assign(landings.size(), false);
    for (const Row& r : rows) found.turning[r.index] = true;
    found.strips = strips.size();
    found.half_planes = rows.size() - strips.size();

    bool feasible = true;
    if (!rows.empty()) {
        Search at;
        const Point origin = -1.0 * anchor;
        if (rank == 2) {
            out.status = PivotStatus::point;
            at = settle(rows, fit(strips, only(strips, [](const Row& r) { return r.exact(); }), anchor));
            found.gain = shift_per_mm(strips);
        } else if (rank == 1) {
            out.status = PivotStatus::line;
            const std::vector<Row> exact = only(strips, [](const Row& r) { return r.exact(); });
            const std::vector<Row>& deciding = exact.empty() ? strips : exact;
            const std::vector<double> w = weights(deciding, exact.empty());
            const Point v = heaviest_direction(deciding, w);
            const double level = fit_level(deciding, w, v);
            for (Row& r : rows)  // nearly parallel is parallel: no meeting a million kilometres off
                if (std::abs(cross(r.u, v)) <= kParallel) r.u = dot(r.u, v) < 0.0 ? -1.0 * v : v;
            const Point nearest_origin = origin + (level - dot(v, origin)) * v;
            at = settle(rows, nearest_origin);
            if (at.feasible && at.moved) {  // along the line if it can be, off it no farther than need be
                Planes planes(rows);
                for (const Row& r : rows) planes.add(r, 0.0);
                planes.add_line(v, level);
                at.x = planes.meet(nearest_origin).x;
            }
            const bool parallel = std::all_of(rows.begin(), rows.end(),
                                              [&](const Row& r) { return std::abs(cross(r.u, v)) <= kParallel; });
            if (at.feasible || parallel) out.direction = canonical(square_to(v));
        } else {
            at = settle(rows, origin);
        }
        feasible = at.feasible;
        found.moved = at.moved;
        out.pivot = anchor + at.x;
    }

    out.residuals.reserve(landings.size());
    for (std::size_t i = 0; i < landings.size(); ++i) {
        const Landing& l = landings[i];
        const double miss = l.miss(rows.empty() ? l.point() : out.pivot);
        const double reach = found.turning[i] ? std::hypot(out.pivot.x - l.point().x, out.pivot.y - l.point().y) : 0.0;
        out.residuals.push_back(miss);
        found.met.push_back(l.breach(miss) <= l.tolerance() + kRoundoffRel * (size_of(l) + reach));
        if (!found.turning[i] && !found.met[i]) feasible = false;
    }
    if (!feasible) out.status = PivotStatus::none;
    out.explanation = detail_pivot::explain(landings, out, found);
    return out;
}

}  // namespace foldswing::hinge
