// The room a panel takes: where it starts, and all that its edges pass over.
//
// Each edge gives, for each piece of the motion, a polygon that holds what the edge passes over and little more; their
// union is the answer. On a plain turn the polygon is bounded by the edge at both ends and by lines that touch the arcs
// of its corners from outside; on any other motion it is the hull of the edge at both ends, grown by how far a point
// may leave the straight line in between.
#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/clearance.hpp>

#include "check.hpp"
#include "degrees.hpp"
#include "gap.hpp"
#include "polygon.hpp"
#include "region.hpp"

namespace foldswing::clearance {
namespace {

constexpr double kPieceOfTurn = 90.0;            // degrees; what an edge sweeps in less than half a turn is simple
constexpr double kLeastMove = 1e-9;              // mm; less than this is not a move
constexpr double kOctagon = 1.0823922002923940;  // 1 / cos(22.5 degrees): corner of an octagon round a unit disc
constexpr double kFinestSagitta = 1e-3;          // mm; finer asks for more corners than any drawing can use
constexpr double kLeastGrowth = 0.05;            // of the sagitta: neighbours overlap by an area, never by a line only
constexpr double kShortest = 1e-9;               // of s; a piece as short as rounding lets it be
constexpr std::size_t kMostCorners = 300'000;    // of all pieces: some seconds of work
constexpr int kMostPieces = 512;                 // into which a piece of the motion is cut at once

double cross(Point a, Point b) noexcept { return a.x * b.y - a.y * b.x; }
double length(Point a) noexcept { return std::hypot(a.x, a.y); }

double dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }

Point turned(Point p, double angle_deg) noexcept { return Pose{0.0, 0.0, angle_deg}.apply(p); }

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
        std::vector<Ring> shown;
        for (const Outline& o : panel) detail::add_rings(o.moved(pose), shown);
        if (const auto turn = motion_.plain_turn()) {
            for_edges(panel, [&](Point a, Point b) { turn_edge(a - turn->pivot, b - turn->pivot, *turn); });
            pieces_.insert(pieces_.end(), shown.begin(), shown.end());
            return detail::region(pieces_);
        }
        std::vector<double> cuts = motion_.breaks();
        cuts.insert(cuts.begin(), 0.0);
        cuts.push_back(1.0);
        for_edges(panel, [&](Point a, Point b) {
            for (std::size_t i = 0; i + 1 < cuts.size(); ++i) move_edge({a, b}, cuts[i], cuts[i + 1]);
        });
        if (pieces_.empty()) return detail::region(shown);
        for (const Outline& o : detail::region_of_neighbours(std::move(pieces_))) detail::add_rings(o, shown);
        return detail::region(shown);
    }

  private:
    /// An edge seen from the pivot is cut at the foot of its perpendicular, so that the radius only grows or only
    /// falls.
    void turn_edge(Point a, Point b, const PlainTurn& turn) {
        const Point u = (1.0 / length(b - a)) * (b - a);
        const double to_foot = -dot(a, u);
        if (to_foot > kLeastMove && to_foot < length(b - a) - kLeastMove) {
            const Point foot = a + to_foot * u;
            turn_radial(foot, a, turn);
            turn_radial(foot, b, turn);
        } else if (length(a) < length(b)) {
            turn_radial(a, b, turn);
        } else {
            turn_radial(b, a, turn);
        }
    }

    void turn_radial(Point inner, Point outer, const PlainTurn& turn) {
        const double whole = turn.turn_to_deg - turn.turn_from_deg;
        if (std::abs(whole) * detail::kDegree * length(outer) < kLeastMove) return;
        const int n = static_cast<int>(std::ceil(std::min(std::abs(whole), 360.0) / kPieceOfTurn));
        const double piece = std::clamp(whole, -360.0, 360.0) / n;
        for (int i = 0; i < n; ++i) {
            const double from = turn.turn_from_deg + i * piece;
            Ring ring;
            arc(outer, from, piece, true, ring);
            if (length(inner) > kLeastMove)
                arc(inner, from + piece, -piece, false, ring);
            else
                ring.push_back(inner);
            for (Point& p : ring) p = p + turn.pivot;
            if (piece < 0.0) std::reverse(ring.begin(), ring.end());  // counter-clockwise
            add(std::move(ring));
        }
    }

    /// From p turned by `from`, over `turn`: lines that touch the arc from outside, or chords inside it; both ends
    /// kept.
    void arc(Point p, double from, double turn, bool outside, Ring& ring) const {
        const double r = length(p);
        // A line that touches over an angle h stands r / cos(h/2) - r off at its ends, a chord r - r cos(h/2).
        const double widest = 2.0 * std::acos(r / (r + sagitta_)) / detail::kDegree;
        const double steps = std::ceil(std::abs(turn) / std::min(widest, 45.0));
        const int n = static_cast<int>(std::clamp(steps, 1.0, static_cast<double>(kMostCorners)));
        const double step = turn / n;
        ring.push_back(turned(p, from));
        if (outside) {
            const double k = 1.0 / detail::cos_deg(0.5 * step);
            for (int i = 0; i < n; ++i) ring.push_back(k * turned(p, from + (i + 0.5) * step));
        } else {
            for (int i = 1; i < n; ++i) ring.push_back(turned(p, from + i * step));
        }
        ring.push_back(turned(p, from + turn));
    }

    /// Cuts [s0, s1] until the hull of every piece is close enough.
    void move_edge(const std::array<Point, 2>& edge, double from, double to) {
        std::vector<std::pair<double, double>> todo{{from, to}};
        while (!todo.empty()) {
            const auto [s0, s1] = todo.back();
            todo.pop_back();
            const int n = cut_or_add(edge, s0, s1);
            for (int i = n; i-- > 0;)  // the first is taken next
                todo.emplace_back(std::lerp(s0, s1, double(i) / n), std::lerp(s0, s1, double(i + 1) / n));
        }
    }

    /// 0 when the piece was added, else into how many it must be cut.
    int cut_or_add(const std::array<Point, 2>& edge, double s0, double s1) {
        const std::array<double, 2> s{s0, s1};
        std::array<Pose, 2> pose;
        motion_.poses(s, pose);
        const std::array<Point, 4> ends{pose[0].apply(edge[0]), pose[0].apply(edge[1]), pose[1].apply(edge[0]),
                                        pose[1].apply(edge[1])};
        const double bulge = motion_.bulge(edge, s0, s1);
        if (std::max({bulge, motion_.departure(), length(ends[2] - ends[0]), length(ends[3] - ends[1])}) < kLeastMove)
            return 0;
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
        if (over > 1.0 && s1 - s0 > kShortest)  // both parts of the excess shrink with the square of the piece
            return std::clamp(static_cast<int>(std::ceil(std::sqrt(std::min(over, 1e6)))), 2, kMostPieces);
        for (const auto& part : parts) add_grown_hull(part, grow + motion_.departure());
        return 0;
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
        const Point spoke = (kOctagon * grow) * turned({1.0, 0.0}, 22.5);
        std::vector<Point> points;
        for (const Point c : corners)
            for (int i = 0; i < 8; ++i) points.push_back(c + turned(spoke, 45.0 * i));
        add(detail::convex_hull(points));
    }

    void add(Ring ring) {
        corners_ += ring.size();
        if (corners_ > kMostCorners)
            throw InvalidInput("sagitta", sagitta_,
                               "coarser: so much travel needs more than 300000 corners at this one");
        pieces_.push_back(std::move(ring));
    }

    const Motion& motion_;
    double sagitta_;
    std::size_t corners_ = 0;
    std::vector<Ring> pieces_;  // counter-clockwise
};

}  // namespace

std::vector<Outline> swept_outline(std::span<const Outline> panel, const Motion& motion, double sagitta) {
    detail::require_outlines("panel", panel);
    detail::require(std::isfinite(sagitta) && sagitta >= kFinestSagitta, "sagitta", sagitta, "finite and >= 0.001 mm");
    return Sweep(motion, sagitta)(panel);
}

}  // namespace foldswing::clearance
