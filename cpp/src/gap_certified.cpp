// The certified smallest gap over any motion, and the deepest overlap.
//
// On a piece of the motion no panel point is farther than `stray` from where it is in the middle, so the distance in
// the middle less the stray is a floor. The piece with the lowest floor is halved until floor and ceiling are close
// enough.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <queue>

#include "gap.hpp"

namespace foldswing::detail {
namespace {

/// Corner-edge pairs after which a search gives what it has: some seconds of work.
constexpr double kMostPairs = 1e9;
/// Halvings that shrink any piece of [0, 1] to the spacing of doubles.
constexpr int kMostHalvings = 60;
/// Of a depth: how closely it is proven to be the deepest. Through a bar that another crosses it stays the same for
/// long, and a deep overlap is known to the last digit by nobody who reads it.
constexpr double kDepthRel = 2e-3;
constexpr double kInverseGolden = 0.6180339887498949;

struct Piece {
    double s0 = 0.0;
    double s1 = 1.0;
    double middle = 0.5;
    double bound = 0.0;
};

double pairs_at_a_pose(const Scene& scene) {
    return 2.0 * static_cast<double>(scene.panel.size()) * static_cast<double>(scene.fixed.size());
}

Pose pose_at(const Motion& motion, double s) {
    Pose pose;
    motion.poses({&s, 1}, {&pose, 1});
    return pose;
}

/// [s0, s1] cut at the motion's breaks.
std::vector<std::pair<double, double>> pieces(const Motion& motion, double s0, double s1) {
    std::vector<std::pair<double, double>> out;
    double from = s0;
    for (const double b : motion.breaks()) {
        if (b <= from || b >= s1) continue;
        out.emplace_back(from, b);
        from = b;
    }
    out.emplace_back(from, s1);
    return out;
}

/// The scene at s: what the panel shares with a body, or how far apart they are.
class GapAt {
  public:
    GapAt(Scene& scene, const Motion& motion) : scene_(scene), motion_(motion) {}

    double operator()(double s) {
        pairs_ += pairs_at_a_pose(scene_);
        scene_.posed.carry(pose_at(motion_, s));
        overlap_ = find_overlap(scene_.posed.view(), scene_.panel.parts(), scene_.fixed.view(), scene_.fixed.parts());
        if (overlap_) return 0.0;
        nearest_ = nearest_pair(scene_.posed.view(), scene_.fixed.view(), scene_.row);
        return std::sqrt(nearest_.squared);
    }
    [[nodiscard]] bool may_go_on() const noexcept { return pairs_ < kMostPairs; }

    [[nodiscard]] clearance::Gap witness(double s) {
        (*this)(s);
        clearance::Gap gap;
        gap.at = s;
        gap.angle_deg = pose_at(motion_, s).angle_deg;
        if (overlap_) {
            gap.panel_point = gap.fixed_point = overlap_->point;
            gap.body = overlap_->body;
        } else {
            set_witness(gap, scene_, scene_.posed.view(), nearest_.pair);
        }
        return gap;
    }

  private:
    Scene& scene_;
    const Motion& motion_;
    std::optional<Overlap> overlap_;
    NearestPair nearest_;
    double pairs_ = 0.0;
};

/// Golden-section search inside [a, b] from s, which is kept unless something better is found; a finishing touch only.
template <class Value>
double polish(Value value, double s, double best, double a, double b) {
    double x0 = b - kInverseGolden * (b - a);
    double x1 = a + kInverseGolden * (b - a);
    double f0 = value(x0);
    double f1 = value(x1);
    for (int i = 0; i < kMostHalvings && b - a > 1e-12; ++i) {  // s to 1e-12: a turn to 1e-9 degree
        if (f0 < best) best = f0, s = x0;
        if (f1 < best) best = f1, s = x1;
        if (f0 <= f1) {
            b = x1;
            x1 = x0;
            f1 = f0;
            x0 = b - kInverseGolden * (b - a);
            f0 = value(x0);
        } else {
            a = x0;
            x0 = x1;
            f0 = f1;
            x1 = a + kInverseGolden * (b - a);
            f1 = value(x1);
        }
    }
    return s;
}

/// First contact in [s0, hit], `hit` being in contact: pieces from the left until one cannot be shown to be clear.
void first_contact(GapAt& gap_at, const Motion& motion, std::span<const Point> corners, double s0, double tolerance,
                   double& clear_until, double& hit) {
    std::vector<std::pair<double, double>> todo;  // the leftmost piece is last
    const auto cut = pieces(motion, s0, hit);
    todo.assign(cut.rbegin(), cut.rend());
    bool certain = true;
    double last_clear = s0;
    const double departure = motion.departure();
    if (gap_at(s0) <= departure) certain = false;
    clear_until = s0;
    while (!todo.empty() && gap_at.may_go_on()) {
        auto [a, b] = todo.back();
        todo.pop_back();
        if (a >= hit) break;
        b = std::min(b, hit);
        const double middle = std::midpoint(a, b);
        const double apart = gap_at(middle);
        if (apart == 0.0) {
            hit = middle;
            if (middle > a) todo.emplace_back(a, middle);
            continue;
        }
        const double stray = motion.stray(corners, a, b);
        if (apart - stray > departure) {
            if (certain) clear_until = b;
        } else if (stray > 0.1 * tolerance) {
            todo.emplace_back(middle, b);
            todo.emplace_back(a, middle);
            continue;
        } else {
            certain = false;
        }
        last_clear = std::max(last_clear, middle);
    }
    for (int i = 0; i < kMostHalvings && last_clear < hit; ++i) {
        const double middle = std::midpoint(last_clear, hit);
        (gap_at(middle) == 0.0 ? hit : last_clear) = middle;
    }
    clear_until = std::min(clear_until, hit);
}

}  // namespace

clearance::Gap gap_certified(Scene& scene, const Motion& motion, double s0, double s1, double tolerance) {
    GapAt gap_at(scene, motion);
    const std::span<const Point> corners = scene.panel.outer_corners();
    double ceiling = std::numeric_limits<double>::infinity();
    double at = s0;
    double half_width = 0.0;
    const auto see = [&](double s, double reach) {
        const double apart = gap_at(s);
        if (apart < ceiling || (apart == ceiling && s < at)) {
            ceiling = apart;
            at = s;
            half_width = reach;
        }
        return apart;
    };
    const auto lower_first = [](const Piece& a, const Piece& b) {
        return a.bound != b.bound ? a.bound > b.bound : a.s0 > b.s0;
    };
    std::priority_queue<Piece, std::vector<Piece>, decltype(lower_first)> todo(lower_first);
    const auto push = [&](double a, double b, double known_floor) {
        const double middle = std::midpoint(a, b);
        const double floor = see(middle, 0.5 * (b - a)) - motion.stray(corners, a, b);
        todo.push({a, b, middle, std::max({0.0, known_floor, floor})});
    };
    see(s0, 0.0);
    if (s1 > s0) {
        see(s1, 0.0);
        for (const auto& [a, b] : pieces(motion, s0, s1)) {
            see(b, 0.0);
            push(a, b, 0.0);
        }
    }
    double floor = ceiling;
    while (ceiling > 0.0 && !todo.empty()) {
        const Piece lowest = todo.top();
        floor = std::min(lowest.bound, ceiling);
        if (ceiling - floor <= tolerance || !gap_at.may_go_on()) break;
        todo.pop();
        push(lowest.s0, lowest.middle, lowest.bound);
        push(lowest.middle, lowest.s1, lowest.bound);
        floor = ceiling;
    }
    if (ceiling > 0.0 && half_width > 0.0)
        at = polish(gap_at, at, ceiling, std::max(s0, at - half_width), std::min(s1, at + half_width));
    double clear_until = ceiling > 0.0 ? s1 : at;
    if (gap_at(at) == 0.0 && at > s0) {
        first_contact(gap_at, motion, corners, s0, tolerance, clear_until, at);
        floor = 0.0;
    }
    clearance::Gap gap = gap_at.witness(at);
    gap.clear_until = clear_until;
    gap.lower_bound = std::max(0.0, std::min(floor, gap.gap) - motion.departure());
    if (gap.gap > 0.0 && gap.gap <= motion.departure()) {
        // The motion as given clears, the real one may not: find from where on.
        double hit = s1;
        first_contact(gap_at, motion, corners, s0, tolerance, clear_until, hit);
        gap.clear_until = clear_until;
    }
    return gap;
}

Deepest deepest_overlap(Scene& scene, const Motion& motion, double s0, double s1, double tolerance) {
    const Reaches still{std::vector(scene.panel.size(), Reach{}), std::vector(scene.fixed.size(), Reach{})};
    Reaches reach = still;
    NearestEdges nearest;
    double pairs = 0.0;
    const auto deepest = [&](const Reaches& within, double enough) {
        const Depth found = deepest_corner(scene.posed.view(), scene.panel.parts(), scene.fixed.view(),
                                           scene.fixed.parts(), within, enough, nearest, scene.row);
        pairs += found.pairs;
        return found;
    };
    // Seen from the panel, a body's corner moves as the panel's own point there does; only a plain turn is asked about
    // points that are not the panel's.
    const bool plain = motion.plain_turn().has_value();
    const auto set_reach = [&](double a, double b, const Pose& middle) {
        const Pose first = pose_at(motion, a);
        const Pose last = pose_at(motion, b);
        const EdgeView own = scene.panel.view();
        for (std::size_t i = 0; i < own.size; ++i) {
            const Point q = own.corner(i);
            reach.panel[i] = {motion.stray({&q, 1}, a, b), first.apply(q), last.apply(q), motion.bulge({&q, 1}, a, b)};
        }
        const double farthest = plain ? 0.0 : motion.stray(scene.panel.outer_corners(), a, b);
        const EdgeView theirs = scene.fixed.view();
        const Pose from_first = middle.compose(first.inverse());
        const Pose from_last = middle.compose(last.inverse());
        const Pose back = middle.inverse();
        for (std::size_t i = 0; i < theirs.size; ++i) {
            const Point q = theirs.corner(i);
            reach.fixed[i].stray = farthest;
            if (!plain) continue;
            const Point own_there = back.apply(q);
            reach.fixed[i] = {motion.stray({&own_there, 1}, a, b), from_first.apply(q), from_last.apply(q),
                              motion.bulge({&own_there, 1}, a, b)};
        }
    };
    double best = 0.0;
    double at = s0;
    double half_width = 0.0;
    const auto see = [&](double s, double depth, double width) {
        if (depth <= best) return;
        best = depth;
        at = s;
        half_width = width;
    };
    const auto higher_first = [](const Piece& a, const Piece& b) {
        return a.bound != b.bound ? a.bound < b.bound : a.s0 > b.s0;
    };
    std::priority_queue<Piece, std::vector<Piece>, decltype(higher_first)> todo(higher_first);
    const auto push = [&](double a, double b) {
        const double middle = std::midpoint(a, b);
        const Pose pose = pose_at(motion, middle);
        scene.posed.carry(pose);
        set_reach(a, b, pose);
        const Depth found = deepest(reach, best);
        todo.push({a, b, middle, found.bound});
        see(middle, found.depth, 0.5 * (b - a));
    };
    const auto depth_at = [&](double s) {
        scene.posed.carry(pose_at(motion, s));
        return deepest(still, 0.0).depth;
    };
    see(s0, depth_at(s0), 0.0);
    if (s1 > s0) {
        for (const auto& [a, b] : pieces(motion, s0, s1)) {
            see(b, depth_at(b), 0.0);
            push(a, b);
        }
    }
    while (!todo.empty() && pairs < kMostPairs) {
        const Piece highest = todo.top();
        if (highest.bound <= best + std::max(tolerance, kDepthRel * best)) break;
        todo.pop();
        push(highest.s0, highest.middle);
        push(highest.middle, highest.s1);
    }
    if (best > 0.0 && half_width > 0.0)
        at = polish([&](double s) { return -depth_at(s); }, at, -best, std::max(s0, at - half_width),
                    std::min(s1, at + half_width));
    return {depth_at(at), at};
}

}  // namespace foldswing::detail
