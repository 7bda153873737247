#include "rings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

#include "check.hpp"
#include "segment.hpp"

namespace foldswing::detail {
namespace {

constexpr const char* kSimple = "an outline that does not cross or touch itself";

std::size_t next(const Ring& ring, std::size_t i) { return i + 1 == ring.size() ? 0 : i + 1; }
Segment side(const Ring& ring, std::size_t i) { return {ring[i], ring[next(ring, i)]}; }

void check_numbers(const Ring& ring, const std::string& name) {
    for (std::size_t i = 0; i < ring.size(); ++i)
        for (const double v : {ring[i].x, ring[i].y})
            if (!(std::abs(v) <= kLargest))
                throw InvalidInput(name + "[" + std::to_string(i) + "]", point_text(ring[i]),
                                   "finite, within +-1e12 mm");
}

/// The common end of two sides that follow each other, where the second runs back along the first.
bool doubles_back(Point a, Point corner, Point b) {
    return orientation(a, corner, b) == 0 && sign(a.x - corner.x) == sign(b.x - corner.x) &&
           sign(a.y - corner.y) == sign(b.y - corner.y);
}

/// Numbers, count, repeats, flatness and spikes of one ring.
void check_corners(Ring& ring, const std::string& name) {
    check_numbers(ring, name);
    if (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
    if (ring.size() < 3) throw InvalidInput(name, std::to_string(ring.size()), "at least three corners");
    for (std::size_t i = 0; i < ring.size(); ++i)
        if (ring[i] == ring[next(ring, i)])
            throw InvalidInput(name,
                               "corner " + std::to_string(next(ring, i) + 1) + " on top of " + corner_text(ring, i),
                               "corners without a repeat");
    const bool flat =
        std::all_of(ring.begin(), ring.end(), [&](Point p) { return orientation(ring[0], ring[1], p) == 0; });
    if (flat)
        throw InvalidInput(name, "zero area: all " + std::to_string(ring.size()) + " corners on one line",
                           "an outline with some area");
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const std::size_t second = next(ring, i);
        if (doubles_back(ring[i], ring[second], ring[next(ring, second)]))
            throw InvalidInput(name, side_text(ring, second) + " doubling back along " + side_text(ring, i), kSimple);
    }
}

/// The turn at the lowest of the leftmost corners is the turn of the ring.
void set_winding(Ring& ring, int wanted) {
    const auto first = std::min_element(ring.begin(), ring.end());
    const auto i = static_cast<std::size_t>(first - ring.begin());
    const Point before = ring[i == 0 ? ring.size() - 1 : i - 1];
    if (orientation(before, *first, ring[next(ring, i)]) != wanted) std::reverse(ring.begin() + 1, ring.end());
}

struct Side {
    std::size_t ring;  // 0 is the outline, 1 the first hole
    std::size_t index;
    Segment s;
};

class Checker {
  public:
    Checker(const Ring& corners, const std::vector<Ring>& holes) {
        rings_.push_back(&corners);
        for (const Ring& hole : holes) rings_.push_back(&hole);
        links_.resize(rings_.size());
        std::iota(links_.begin(), links_.end(), std::size_t{0});
    }

    void check() {
        std::vector<Side> all;
        for (std::size_t r = 0; r < rings_.size(); ++r)
            for (std::size_t i = 0; i < rings_[r]->size(); ++i) all.push_back({r, i, side(*rings_[r], i)});
        std::stable_sort(all.begin(), all.end(), [](const Side& a, const Side& b) { return left(a.s) < left(b.s); });
        for (std::size_t i = 0; i < all.size(); ++i) {
            const double right = std::max(all[i].s.a.x, all[i].s.b.x);
            for (std::size_t j = i + 1; j < all.size() && left(all[j].s) <= right; ++j) check_pair(all[i], all[j]);
        }
        for (std::size_t h = 1; h < rings_.size(); ++h) check_hole(h);
        for (const auto& [point, rings] : touches_) check_touch(point, rings);
    }

  private:
    static double left(Segment s) { return std::min(s.a.x, s.b.x); }
    [[nodiscard]] static std::string name(std::size_t r) {
        return r == 0 ? "points" : "holes[" + std::to_string(r - 1) + "]";
    }

    void check_pair(const Side& s, const Side& t) {
        if (!boxes_meet(s.s, t.s)) return;
        if (s.ring == t.ring)
            check_same_ring(*rings_[s.ring], std::min(s.index, t.index), std::max(s.index, t.index), name(s.ring));
        else if (s.ring < t.ring)
            check_two_rings(s, t);
        else
            check_two_rings(t, s);
    }

    static void check_same_ring(const Ring& ring, std::size_t i, std::size_t j, const std::string& name) {
        const Segment s = side(ring, i);
        const Segment t = side(ring, j);
        if (next(ring, i) == j || next(ring, j) == i) return;  // they share a corner, and do not double back
        const Meet how = meet(s, t);
        if (how == Meet::apart) return;
        for (const std::size_t p : {i, next(ring, i)})
            for (const std::size_t q : {j, next(ring, j)})
                if (ring[p] == ring[q])
                    throw InvalidInput(name,
                                       "corner " + std::to_string(std::max(p, q) + 1) + " on top of " +
                                           corner_text(ring, std::min(p, q)),
                                       "corners without a repeat");
        if (how == Meet::cross)
            throw InvalidInput(name,
                               side_text(ring, i) + " crossing " + side_text(ring, j) + " near " +
                                   point_text(along(s, crossing_fraction(s, t))),
                               kSimple);
        throw InvalidInput(name, side_text(ring, i) + " touching " + side_text(ring, j), kSimple);
    }

    void check_two_rings(const Side& s, const Side& t) {
        const Meet how = meet(s.s, t.s);
        if (how == Meet::apart) return;
        std::vector<Point> common;
        const auto take = [&](Segment on, Point p) {
            if (orientation(on.a, on.b, p) == 0 && in_box(on.a, on.b, p) &&
                std::find(common.begin(), common.end(), p) == common.end())
                common.push_back(p);
        };
        take(s.s, t.s.a);
        take(s.s, t.s.b);
        take(t.s, s.s.a);
        take(t.s, s.s.b);
        if (how == Meet::cross || common.size() > 1)
            refuse(t.ring, s.ring,
                   side_text(*rings_[t.ring], t.index) + (how == Meet::cross ? " crossing " : " running along ") +
                       side_text(*rings_[s.ring], s.index));
        auto& rings = touches_[common.front()];
        for (const std::size_t r : {s.ring, t.ring})
            if (std::find(rings.begin(), rings.end(), r) == rings.end()) rings.push_back(r);
    }

    [[noreturn]] static void refuse(std::size_t hole, std::size_t other, const std::string& what) {
        throw InvalidInput(name(hole), what, other == 0 ? "inside the outline" : "clear of " + name(other));
    }

    /// Nothing crosses; so each piece of a hole between touches is wholly on one side of every other ring.
    void check_hole(std::size_t h) {
        const Ring& hole = *rings_[h];
        for (std::size_t r = 0; r < rings_.size(); ++r) {
            if (r == h) continue;
            const Place wrong = r == 0 ? Place::outside : Place::inside;
            const char* const word = r == 0 ? " outside it" : " inside it";
            for (std::size_t i = 0; i < hole.size(); ++i)
                if (locate_in_ring(*rings_[r], hole[i]) == wrong) refuse(h, r, corner_text(hole, i) + word);
            if (touches_.empty()) continue;
            for (std::size_t i = 0; i < hole.size(); ++i)
                for (const Point p : middles(side(hole, i)))
                    if (locate_in_ring(*rings_[r], p) == wrong) refuse(h, r, side_text(hole, i) + word);
        }
    }

    /// The middles of the pieces into which touches cut a side.
    [[nodiscard]] std::vector<Point> middles(Segment s) const {
        std::vector<double> cuts{0.0, 1.0};
        for (const auto& [point, rings] : touches_)
            if (orientation(s.a, s.b, point) == 0 && in_box(s.a, s.b, point))
                cuts.push_back(nearest_fraction(s, point));
        std::sort(cuts.begin(), cuts.end());
        std::vector<Point> out;
        for (std::size_t i = 1; i < cuts.size(); ++i)
            if (cuts[i] > cuts[i - 1]) out.push_back(along(s, std::midpoint(cuts[i - 1], cuts[i])));
        return out;
    }

    /// Rings joined by touches must not close a chain, which would cut the outline in two.
    void check_touch(Point point, const std::vector<std::size_t>& rings) {
        const std::size_t node = links_.size();
        links_.push_back(node);
        for (const std::size_t r : rings) {
            if (root(r) == root(node))
                throw InvalidInput(name(std::max(rings[0], rings[1])), "a touch at " + point_text(point),
                                   "placed so that the outline stays in one piece");
            links_[root(r)] = root(node);
        }
    }
    [[nodiscard]] std::size_t root(std::size_t i) const {
        while (links_[i] != i) i = links_[i];
        return i;
    }

    std::vector<const Ring*> rings_;
    std::map<Point, std::vector<std::size_t>> touches_;  // point -> rings that meet there
    std::vector<std::size_t> links_;
};

}  // namespace

std::string point_text(Point p) { return "(" + number_text(p.x) + ", " + number_text(p.y) + ")"; }
std::string corner_text(const Ring& ring, std::size_t i) {
    return "corner " + std::to_string(i + 1) + " " + point_text(ring[i]);
}
std::string side_text(const Ring& ring, std::size_t i) {
    return "the side from " + corner_text(ring, i) + " to " + corner_text(ring, next(ring, i));
}

Place locate_in_ring(const Ring& ring, Point p) noexcept {
    bool inside = false;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const Point a = ring[j];
        const Point b = ring[i];
        const bool passes = (a.y <= p.y) != (b.y <= p.y);  // half open: a corner counts once
        if (!passes && !in_box(a, b, p)) continue;
        const int turn = orientation(a, b, p);
        if (turn == 0 && in_box(a, b, p)) return Place::on_edge;
        if (passes && (turn > 0) == (b.y > a.y)) inside = !inside;  // the side lies to the right of p
    }
    return inside ? Place::inside : Place::outside;
}

double signed_area(const Ring& ring) noexcept {
    double twice = 0.0;
    for (std::size_t i = 1; i + 1 < ring.size(); ++i) twice += cross(ring[i] - ring[0], ring[i + 1] - ring[0]);
    return 0.5 * twice;
}

void normalise_and_check(Ring& corners, std::vector<Ring>& holes) {
    check_corners(corners, "points");
    for (std::size_t h = 0; h < holes.size(); ++h) check_corners(holes[h], "holes[" + std::to_string(h) + "]");
    Checker(corners, holes).check();
    if (!(std::abs(signed_area(corners)) >= std::numeric_limits<double>::min()))
        throw InvalidInput("points", "zero area within rounding", "an outline with some area");
    set_winding(corners, +1);
    for (Ring& hole : holes) set_winding(hole, -1);
}

}  // namespace foldswing::detail
