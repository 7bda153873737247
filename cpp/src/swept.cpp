// The room a panel takes: where it starts, and all that its edges pass over.
//
// For each piece of the motion each edge gives a polygon that holds what the edge passes over: the hull of the edge at
// both ends, grown by how far a point may leave the straight line in between. Their union is the answer.
#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <stdexcept>

#include "check.hpp"
#include "gap.hpp"

namespace foldswing::clearance {
namespace {

constexpr double kLeastMove = 1e-9;              // mm; less than this is not a move
constexpr double kOctagon = 1.0823922002923940;  // 1 / cos(22.5 degrees): corner of an octagon round a unit disc
constexpr double kFinestSagitta = 1e-3;          // mm; finer asks for more corners than any drawing can use
constexpr double kLeastGrowth = 0.05;            // of the sagitta: neighbours overlap by an area, never by a line only
constexpr int kMostHalvings = 24;
constexpr int kMostPieces = 512;  // into which a piece of the motion is cut at once
constexpr int kAttempts = 5;
constexpr double kTwist = 7.29;  // degrees from one octagon to the next, so that no two have sides in common

double cross(Point a, Point b) noexcept { return a.x * b.y - a.y * b.x; }
double length(Point a) noexcept { return std::hypot(a.x, a.y); }

/// Every edge of every ring.
template <class Each>
void for_edges(std::span<const Outline> panel, Each each) {
    const auto ring_edges = [&](const Ring& ring) {
        for (std::size_t i = 0; i < ring.size(); ++i) each(ring[i], ring[i + 1 == ring.size() ? 0 : i + 1]);
    };
    for (const Outline& o : panel) {
        ring_edges(o.corners());
        for (const Ring& hole : o.holes()) ring_edges(hole);
    }
}

class Sweep {
  public:
    Sweep(const Motion& motion, double sagitta) : motion_(motion), sagitta_(sagitta) {}

    std::vector<Outline> operator()(std::span<const Outline> panel) {
        const double start = 0.0;
        Pose pose;
        motion_.poses({&start, 1}, {&pose, 1});
        std::vector<double> cuts = motion_.breaks();
        cuts.insert(cuts.begin(), 0.0);
        cuts.push_back(1.0);
        // A union of many polygons in floating point can go wrong where sides nearly coincide. So it is checked, and
        // done again with the octagons turned.
        for (int attempt = 0; attempt < kAttempts; ++attempt) {
            twist_deg_ = attempt;
            pieces_.clear();
            for (const Outline& o : panel) pieces_.push_back(o.moved(pose));
            for_edges(panel, [&](Point a, Point b) {
                for (std::size_t i = 0; i + 1 < cuts.size(); ++i) move_edge({a, b}, cuts[i], cuts[i + 1], 0);
            });
            try {
                std::vector<Outline> swept = unite(pieces_);
                if (holds_all(swept)) return swept;
            } catch (const InvalidInput&) {  // what came out was no outline
            }
        }
        throw std::runtime_error("swept_outline: the union of the pieces failed");
    }

  private:
    /// Whether every corner of every piece lies inside, to rounding.
    [[nodiscard]] bool holds_all(std::span<const Outline> swept) const {
        const detail::EdgeTable table(swept);
        const detail::EdgeView edges = table.view();
        const auto near_edge = [&](Point p) {
            for (std::size_t j = 0; j < edges.size; ++j)
                if (length(p - detail::foot_on_edge(edges, j, p)) < kLeastMove) return true;
            return false;
        };
        const auto held = [&](Point p) {
            return std::any_of(table.parts().begin(), table.parts().end(),
                               [&](const detail::Part& part) { return detail::inside(edges, part, p); }) ||
                   near_edge(p);
        };
        return std::all_of(pieces_.begin(), pieces_.end(), [&](const Outline& piece) {
            return std::all_of(piece.corners().begin(), piece.corners().end(), held);
        });
    }

    void move_edge(const std::array<Point, 2>& edge, double s0, double s1, int halvings) {
        const std::array<double, 2> s{s0, s1};
        std::array<Pose, 2> pose;
        motion_.poses(s, pose);
        const std::array<Point, 4> ends{pose[0].apply(edge[0]), pose[0].apply(edge[1]), pose[1].apply(edge[0]),
                                        pose[1].apply(edge[1])};
        const double bulge = motion_.bulge(edge, s0, s1);
        if (std::max({bulge, motion_.departure(), length(ends[2] - ends[0]), length(ends[3] - ends[1])}) < kLeastMove)
            return;
        // Where the move crosses from one side of the edge to the other, cut the edge: each part then moves one way.
        const Point along = ends[1] - ends[0];
        const double side_a = cross(along, ends[2] - ends[0]);
        const double side_b = cross(along, ends[3] - ends[1]);
        std::vector<std::array<Point, 4>> parts{ends};
        if (side_a * side_b < 0.0) {
            const double f = side_a / (side_a - side_b);
            const Point m0 = ends[0] + f * (ends[1] - ends[0]);
            const Point m1 = ends[2] + f * (ends[3] - ends[2]);
            parts = {{ends[0], m0, ends[2], m1}, {m0, ends[1], m1, ends[3]}};
        }
        double excess = 0.0;
        for (const auto& part : parts) excess = std::max(excess, hull_excess(part));
        const double grow = std::max(bulge, kLeastGrowth * sagitta_);
        const double over = (excess + bulge + kOctagon * grow) / sagitta_;
        if (over > 1.0 && halvings < kMostHalvings) {
            // Both shrink with the square of the piece.
            const int n = std::clamp(static_cast<int>(std::ceil(std::sqrt(std::min(over, 1e6)))), 2, kMostPieces);
            for (int i = 0; i < n; ++i)
                move_edge(edge, std::lerp(s0, s1, double(i) / n), std::lerp(s0, s1, double(i + 1) / n), halvings + 1);
            return;
        }
        for (const auto& part : parts) add_grown_hull(part, grow + motion_.departure());
    }

    /// How far the hull of A0 B0 A1 B1 stands off what the straight moves A0A1 ... B0B1 pass over: a pocket lies behind
    /// a hull side that joins A0 to B1 or B0 to A1, no deeper than the nearer of the other two corners.
    static double hull_excess(const std::array<Point, 4>& p) {
        const auto pocket = [](Point a, Point b, Point c, Point d) {
            const Point side = b - a;
            const double base = length(side);
            if (base == 0.0) return 0.0;
            const double hc = cross(side, c - a) / base;
            const double hd = cross(side, d - a) / base;
            return hc * hd < 0.0 ? 0.0 : std::min(std::abs(hc), std::abs(hd));
        };
        return std::max(pocket(p[0], p[3], p[1], p[2]), pocket(p[1], p[2], p[0], p[3]));
    }

    void add_grown_hull(const std::array<Point, 4>& corners, double grow) {
        twist_deg_ = std::fmod(twist_deg_ + kTwist, 45.0);
        const Point spoke = (kOctagon * grow) * Pose{0.0, 0.0, twist_deg_}.apply({1.0, 0.0});
        std::vector<Point> points;
        for (const Point c : corners)
            for (int i = 0; i < 8; ++i) points.push_back(c + Pose{0.0, 0.0, 45.0 * i}.apply(spoke));
        std::sort(points.begin(), points.end());
        Ring hull;
        for (int pass = 0; pass < 2; ++pass) {  // lower side, then upper
            const std::size_t base = hull.size();
            for (const Point p : points) {
                while (hull.size() >= base + 2 &&
                       cross(hull.back() - hull[hull.size() - 2], p - hull[hull.size() - 2]) <= 0.0)
                    hull.pop_back();
                hull.push_back(p);
            }
            hull.pop_back();
            std::reverse(points.begin(), points.end());
        }
        pieces_.emplace_back(std::move(hull));
    }

    const Motion& motion_;
    double sagitta_;
    double twist_deg_ = 0.0;
    std::vector<Outline> pieces_;
};

}  // namespace

std::vector<Outline> swept_outline(std::span<const Outline> panel, const Motion& motion, double sagitta) {
    detail::require_outlines("panel", panel);
    detail::require(std::isfinite(sagitta) && sagitta >= kFinestSagitta, "sagitta", sagitta, "finite and >= 0.001 mm");
    return Sweep(motion, sagitta)(panel);
}

}  // namespace foldswing::clearance
