#include "pose_gap.hpp"

#include <algorithm>
#include <cmath>

namespace foldswing::detail {
namespace {

double cross(double ax, double ay, double bx, double by) noexcept { return ax * by - ay * bx; }

/// Squared distance of q to every edge.
void squared_distances(const EdgeView& e, std::size_t first, std::size_t last, Point q, double* out) noexcept {
    const double* const x = e.x;
    const double* const y = e.y;
    const double* const ux = e.ux;
    const double* const uy = e.uy;
    const double* const length = e.length;
    for (std::size_t j = first; j < last; ++j) {
        const double dx = q.x - x[j];
        const double dy = q.y - y[j];
        double t = dx * ux[j] + dy * uy[j];
        t = t < 0.0 ? 0.0 : t;
        t = t > length[j] ? length[j] : t;
        const double ex = dx - t * ux[j];
        const double ey = dy - t * uy[j];
        out[j] = ex * ex + ey * ey;
    }
}

struct Box {
    double x0 = std::numeric_limits<double>::infinity();
    double y0 = x0;
    double x1 = -x0;
    double y1 = -x0;
    [[nodiscard]] double squared_distance(Point p) const noexcept {
        const double dx = std::max({x0 - p.x, 0.0, p.x - x1});
        const double dy = std::max({y0 - p.y, 0.0, p.y - y1});
        return dx * dx + dy * dy;
    }
    [[nodiscard]] bool meets(const Box& o) const noexcept {
        return x0 <= o.x1 && o.x0 <= x1 && y0 <= o.y1 && o.y0 <= y1;
    }
};

Box box_of(const EdgeView& e, Part part) noexcept {
    Box b;
    for (std::size_t i = part.first; i < part.last; ++i) {
        b.x0 = std::min(b.x0, e.x[i]);
        b.x1 = std::max(b.x1, e.x[i]);
        b.y0 = std::min(b.y0, e.y[i]);
        b.y1 = std::max(b.y1, e.y[i]);
    }
    return b;
}

void corners_to_edges(const EdgeView& corners, const EdgeView& edges, bool panel_corner, std::vector<double>& row,
                      NearestPair& best) {
    double least = best.squared;
    const Box box = box_of(edges, {0, edges.size});
    for (std::size_t i = 0; i < corners.size; ++i) {
        if (box.squared_distance(corners.corner(i)) > least) continue;
        squared_distances(edges, 0, edges.size, corners.corner(i), row.data());
        for (std::size_t j = 0; j < edges.size; ++j)
            if (row[j] < least) {
                least = row[j];
                best = {least, {panel_corner, i, j}};
            }
    }
}

std::optional<Point> crossing(const EdgeView& a, Part pa, const EdgeView& b, Part pb, const Box& box) noexcept {
    for (std::size_t i = pa.first; i < pa.last; ++i) {
        const Point p = a.corner(i);
        const Point q = a.corner(a.end[i]);
        if (std::max(p.x, q.x) < box.x0 || std::min(p.x, q.x) > box.x1 || std::max(p.y, q.y) < box.y0 ||
            std::min(p.y, q.y) > box.y1)
            continue;
        for (std::size_t j = pb.first; j < pb.last; ++j) {
            const Point r = b.corner(j);
            const Point s = b.corner(b.end[j]);
            const double side_p = cross(b.ux[j], b.uy[j], p.x - r.x, p.y - r.y);
            const double side_q = cross(b.ux[j], b.uy[j], q.x - r.x, q.y - r.y);
            if ((side_p > 0.0) == (side_q > 0.0)) continue;
            const double side_r = cross(a.ux[i], a.uy[i], r.x - p.x, r.y - p.y);
            const double side_s = cross(a.ux[i], a.uy[i], s.x - p.x, s.y - p.y);
            if ((side_r > 0.0) == (side_s > 0.0)) continue;
            const double f = side_p / (side_p - side_q);
            return Point{std::lerp(p.x, q.x, f), std::lerp(p.y, q.y, f)};
        }
    }
    return std::nullopt;
}

double to_edge(const EdgeView& edges, std::size_t edge, Point q) noexcept {
    const Point foot = foot_on_edge(edges, edge, q);
    return std::hypot(q.x - foot.x, q.y - foot.y);
}

void deepest(const EdgeView& corners, std::span<const Part> corner_parts, const EdgeView& edges,
             std::span<const Part> edge_parts, std::span<const Reach> reach, std::span<std::size_t> nearest,
             double enough, std::vector<double>& row, Depth& best) {
    for (const Part& part : edge_parts) {
        const Box box = box_of(edges, part);
        for (const Part& mine : corner_parts)
            for (std::size_t i = mine.first; i < mine.last; ++i) {
                const Point q = corners.corner(i);
                const double outside = std::sqrt(box.squared_distance(q));
                const Reach& may = reach[i];
                if (outside > 0.0 && may.stray - outside <= enough) continue;
                const std::size_t known = nearest[i];  // no corner is deeper than any one edge is away
                if (known >= part.first && known < part.last && to_edge(edges, known, q) + may.stray <= enough)
                    continue;
                squared_distances(edges, part.first, part.last, q, row.data());
                const double* const least = std::min_element(row.data() + part.first, row.data() + part.last);
                const double away = std::sqrt(*least);
                const double depth = inside(edges, part, q) ? away : -away;
                best.depth = std::max(best.depth, depth);
                // The distance to an edge is convex: between the ends of the way it is greatest at one of them.
                const auto edge = static_cast<std::size_t>(least - row.data());
                nearest[i] = edge;
                const double ends = std::max(to_edge(edges, edge, may.start), to_edge(edges, edge, may.finish));
                best.bound = std::max(best.bound, std::min(depth + may.stray, ends + may.bulge));
                best.pairs += static_cast<double>(part.last - part.first);
            }
    }
}

}  // namespace

NearestPair nearest_pair(const EdgeView& panel, const EdgeView& fixed, std::vector<double>& row) {
    row.resize(std::max(panel.size, fixed.size));
    NearestPair best;
    corners_to_edges(panel, fixed, true, row, best);
    corners_to_edges(fixed, panel, false, row, best);
    return best;
}

Point foot_on_edge(const EdgeView& edges, std::size_t edge, Point q) noexcept {
    const Point a = edges.corner(edge);
    const double along = (q.x - a.x) * edges.ux[edge] + (q.y - a.y) * edges.uy[edge];
    if (along <= 0.0) return a;
    if (along >= edges.length[edge]) return edges.corner(edges.end[edge]);
    return {a.x + along * edges.ux[edge], a.y + along * edges.uy[edge]};
}

bool inside(const EdgeView& edges, Part part, Point q) noexcept {
    bool in = false;
    for (std::size_t i = part.first; i < part.last; ++i) {
        const double y0 = edges.y[i];
        const double y1 = edges.y[edges.end[i]];
        if ((y0 > q.y) == (y1 > q.y)) continue;
        const double side = cross(edges.ux[i], edges.uy[i], q.x - edges.x[i], q.y - y0);
        if ((side > 0.0) == (y1 > y0)) in = !in;
    }
    return in;
}

std::optional<Overlap> find_overlap(const EdgeView& panel, std::span<const Part> panel_parts, const EdgeView& fixed,
                                    std::span<const Part> bodies) {
    for (const Part& p : panel_parts) {
        const Box panel_box = box_of(panel, p);
        for (std::size_t k = 0; k < bodies.size(); ++k) {
            const Part& b = bodies[k];
            if (!panel_box.meets(box_of(fixed, b))) continue;
            // With no edges crossing, either holds a corner of the other's outer ring or nothing is shared.
            if (inside(fixed, b, panel.corner(p.first))) return Overlap{panel.corner(p.first), k};
            if (inside(panel, p, fixed.corner(b.first))) return Overlap{fixed.corner(b.first), k};
            if (const auto x = crossing(panel, p, fixed, b, box_of(fixed, b))) return Overlap{*x, k};
        }
    }
    return std::nullopt;
}

Depth deepest_corner(const EdgeView& panel, std::span<const Part> panel_parts, const EdgeView& fixed,
                     std::span<const Part> bodies, const Reaches& reach, double enough, NearestEdges& nearest,
                     std::vector<double>& row) {
    row.resize(std::max(panel.size, fixed.size));
    nearest.of_panel.resize(panel.size, kNoEdge);
    nearest.of_fixed.resize(fixed.size, kNoEdge);
    Depth best{enough, enough};
    deepest(panel, panel_parts, fixed, bodies, reach.panel, nearest.of_panel, enough, row, best);
    deepest(fixed, bodies, panel, panel_parts, reach.fixed, nearest.of_fixed, enough, row, best);
    return best;
}

}  // namespace foldswing::detail
