// The exact smallest gap over a turn about one pivot.
//
// Outlines that are apart at the start touch first with a corner of one of them. Seen from the body a panel corner
// moves on an arc about the pivot; seen from the panel a body corner does, the other way round. So the smallest gap is
// the least of: the distances at the two ends of the turn; corner to corner, where both stand in one direction
// (difference of their radii); corner to the inside of an edge, where the corner stands over the foot of the edge's
// perpendicular from the pivot; and 0 where a corner's circle meets an edge. Each counts only if the turn gets there.
#include <algorithm>
#include <cmath>
#include <limits>

#include "degrees.hpp"
#include "gap.hpp"
#include "turn_order.hpp"

namespace foldswing::detail {
namespace {

// Rounding of a distance, in units of the machine epsilon times the largest coordinate: about six operations each way.
constexpr double kRoundings = 64.0;

double cross(Point a, Point b) noexcept { return a.x * b.y - a.y * b.x; }
double dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }

/// Keeps the least distance; of distances that are equal within rounding, the one met first.
class FirstLeast {
  public:
    FirstLeast(double same, double sense, double span_deg) : same_(same), sense_(sense) {
        if (span_deg >= 360.0) return;
        const auto [s, c] = sin_cos_deg(span_deg);
        end_order_ = angle_order(c, s);
    }

    /// Beyond this a distance is of no interest.
    [[nodiscard]] double limit() const noexcept { return limit_; }
    [[nodiscard]] bool contact() const noexcept { return value_ <= same_; }
    [[nodiscard]] double value() const noexcept { return value_; }
    [[nodiscard]] const Pair& pair() const noexcept { return pair_; }
    /// The turn at which the distance is met, without its sense.
    [[nodiscard]] double turn_deg() const noexcept {
        if (!on_the_way_) return turn_deg_;
        const double turn = std::atan2(towards_.y, towards_.x) / kDegree;
        return turn < 0.0 ? turn + 360.0 : turn;
    }

    /// To be told first.
    void at_end(double value, double turn_deg, const Pair& pair) noexcept {
        take(value, kLast, pair);
        turn_deg_ = turn_deg;
    }
    /// To be told next.
    void at_start(double value, const Pair& pair) noexcept {
        if (value > limit_) return;
        take(value, 0.0, pair);
        turn_deg_ = 0.0;
    }

    /// A distance met when the turn carries the direction `from` onto `to`.
    void on_the_way(double value, Point from, Point to, bool panel_corner, std::size_t corner,
                    std::size_t edge) noexcept {
        if (value > limit_) return;
        const double sense = panel_corner ? sense_ : -sense_;  // seen from the panel the body turns the other way
        const double x = dot(from, to);
        const double y = sense * cross(from, to);
        const double order = angle_order(x, y);
        if (!(order <= end_order_)) return;  // not reached, or no direction: the corner stands on the pivot
        if (value >= value_ - same_ && order >= order_) return;
        take(value, order, {panel_corner, corner, edge});
        on_the_way_ = true;
        towards_ = {x, y};
    }

  private:
    static constexpr double kLast = 5.0;

    void take(double value, double order, const Pair& pair) noexcept {
        value_ = value;
        order_ = order;
        pair_ = pair;
        on_the_way_ = false;
        limit_ = std::min(limit_, value + same_);
    }

    double same_;
    double sense_;
    double end_order_ = 4.0;
    double limit_ = std::numeric_limits<double>::infinity();
    double value_ = std::numeric_limits<double>::infinity();
    double order_ = kLast;
    double turn_deg_ = 0.0;  // of an end
    bool on_the_way_ = false;
    Point towards_;  // the direction turned to, seen from the direction turned from
    Pair pair_;
};

/// Corners on circles about the origin against edges that stand still.
void circles_to_edges(const EdgeView& corners, const std::vector<double>& radius, const EdgeView& edges,
                      const std::vector<double>& corner_radius, bool panel_corner, FirstLeast& least) {
    for (std::size_t j = 0; j < edges.size; ++j) {
        const Point a = edges.corner(j);
        const Point u{edges.ux[j], edges.uy[j]};
        const double t0 = dot(a, u);
        const double t1 = t0 + edges.length[j];
        const double away = std::abs(cross(a, u));  // of the edge's line from the pivot
        const Point foot = cross(a, u) * Point{u.y, -u.x};
        const bool foot_inside = t0 <= 0.0 && t1 >= 0.0;
        const double outer = std::max(corner_radius[j], corner_radius[edges.end[j]]);
        const double inner = foot_inside ? away : std::min(corner_radius[j], corner_radius[edges.end[j]]);
        for (std::size_t i = 0; i < corners.size; ++i) {
            const double r = radius[i];
            if (r < inner) {
                // The nearest point is a corner (seen as a corner pair) or the foot.
                if (foot_inside && away - r <= least.limit())
                    least.on_the_way(away - r, corners.corner(i), foot, panel_corner, i, j);
            } else if (r <= outer) {
                const double t = std::sqrt(std::max(0.0, (r - away) * (r + away)));
                if (t <= t1 && t >= t0) least.on_the_way(0.0, corners.corner(i), foot + t * u, panel_corner, i, j);
                if (-t >= t0 && -t <= t1) least.on_the_way(0.0, corners.corner(i), foot + (-t) * u, panel_corner, i, j);
            }
        }
    }
}

void radii(const EdgeView& e, std::vector<double>& out) {
    out.resize(e.size);
    for (std::size_t i = 0; i < e.size; ++i) out[i] = std::sqrt(e.x[i] * e.x[i] + e.y[i] * e.y[i]);
}

}  // namespace

void set_witness(clearance::Gap& gap, const Scene& scene, const EdgeView& posed, const Pair& pair) {
    const EdgeView fixed = scene.fixed.view();
    if (pair.panel_corner) {
        gap.panel_point = posed.corner(pair.corner);
        gap.fixed_point = foot_on_edge(fixed, pair.edge, gap.panel_point);
        gap.body = scene.fixed.part_of(pair.edge);
    } else {
        gap.fixed_point = fixed.corner(pair.corner);
        gap.panel_point = foot_on_edge(posed, pair.edge, gap.fixed_point);
        gap.body = scene.fixed.part_of(pair.corner);
    }
    gap.gap = std::hypot(gap.panel_point.x - gap.fixed_point.x, gap.panel_point.y - gap.fixed_point.y);
    gap.lower_bound = gap.gap;
}

clearance::Gap gap_one_pivot(Scene& scene, const PlainTurn& turn) {
    const Point pivot = turn.pivot;
    const double span_deg = std::abs(turn.turn_to_deg - turn.turn_from_deg);
    // Everything seen from the pivot, so that radii and directions are not differences of large numbers later.
    const auto pose_from_pivot = [&](double angle_deg) {
        const auto [s, c] = sin_cos_deg(angle_deg);
        scene.posed.carry(s, c, {s * pivot.y - c * pivot.x, -s * pivot.x - c * pivot.y});
        return scene.posed.view();
    };
    scene.placed.carry(0.0, 1.0, {-pivot.x, -pivot.y});
    const EdgeView fixed = scene.placed.view();
    const double size = std::max({scene.panel_extent, scene.fixed_extent, std::abs(pivot.x), std::abs(pivot.y)});
    const double same = kRoundings * std::numeric_limits<double>::epsilon() * size;

    clearance::Gap gap;
    FirstLeast least(same, turn.turn_to_deg < turn.turn_from_deg ? -1.0 : 1.0, span_deg);
    bool overlapped = false;
    if (span_deg > 0.0) {
        const NearestPair last = nearest_pair(pose_from_pivot(turn.turn_to_deg), fixed, scene.row);
        least.at_end(std::sqrt(last.squared), span_deg, last.pair);
    }
    const EdgeView start = pose_from_pivot(turn.turn_from_deg);
    if (const auto overlap = find_overlap(start, scene.panel.parts(), fixed, scene.fixed.parts())) {
        gap.panel_point = gap.fixed_point = overlap->point + pivot;
        gap.body = overlap->body;
        overlapped = true;
    } else {
        const NearestPair first = nearest_pair(start, fixed, scene.row);
        least.at_start(std::sqrt(first.squared), first.pair);
        if (span_deg > 0.0 && !(least.contact() && least.turn_deg() == 0.0)) {
            radii(fixed, scene.fixed_radius);
            radii(start, scene.panel_radius);
            for (std::size_t i = 0; i < start.size; ++i)
                for (std::size_t j = 0; j < fixed.size; ++j) {
                    const double apart = std::abs(scene.panel_radius[i] - scene.fixed_radius[j]);
                    if (apart <= least.limit()) least.on_the_way(apart, start.corner(i), fixed.corner(j), true, i, j);
                }
            circles_to_edges(start, scene.panel_radius, fixed, scene.fixed_radius, true, least);
            circles_to_edges(fixed, scene.fixed_radius, start, scene.panel_radius, false, least);
        }
        gap.at = span_deg > 0.0 ? std::min(1.0, least.turn_deg() / span_deg) : 0.0;
    }
    gap.clear_until = overlapped || least.contact() ? gap.at : 1.0;
    gap.angle_deg = std::lerp(turn.turn_from_deg, turn.turn_to_deg, gap.at);
    if (overlapped) return gap;
    scene.posed.carry(Pose::about(pivot, gap.angle_deg));
    set_witness(gap, scene, scene.posed.view(), least.pair());
    if (least.contact()) gap.gap = gap.lower_bound = 0.0;
    return gap;
}

}  // namespace foldswing::detail
