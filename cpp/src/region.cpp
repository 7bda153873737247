#include "region.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <set>
#include <stdexcept>
#include <utility>

#include "rings.hpp"
#include "segment.hpp"

// All points are put on a fine grid and every side is cut wherever another crosses it or a point comes within half a
// step of it, until nothing is left to cut (iterated snap rounding). From then on every decision is exact.
namespace foldswing::detail {
namespace {

constexpr int kGridBits = 42;       // steps across the size: products of differences stay exact enough to decide
constexpr double kThinRel = 1e-12;  // of the size, a few steps: what is thinner is rounding
constexpr int kMostRounds = 100;    // two or three are usual

using Index = std::size_t;

struct Edge {
    Index a;
    Index b;
    int turns;  // how much more the rings wind round what is to the left than round what is to the right
};

double largest_coordinate(const std::vector<Ring>& rings) {
    double most = 0.0;
    for (const Ring& ring : rings)
        for (const Point p : ring) most = std::max({most, std::abs(p.x), std::abs(p.y)});
    return most;
}

class Arrangement {
  public:
    explicit Arrangement(const std::vector<Ring>& rings)
        : size_(largest_coordinate(rings)), step_(std::ldexp(1.0, std::ilogb(size_) + 1 - kGridBits)) {
        for (const Ring& ring : rings) for_each_side(ring, [&](Point a, Point b) { add(vertex(a), vertex(b), 1); });
        cut_until_clear();
    }

    [[nodiscard]] std::vector<Outline> outlines() {
        keep_boundary();
        std::vector<std::vector<Index>> rings;
        for (const auto& cycle : cycles()) split_at_repeats(cycle, rings);
        return assemble(rings);
    }

  private:
    Index vertex(Point p) {
        const Point on_grid{std::round(p.x / step_) * step_ + 0.0, std::round(p.y / step_) * step_ + 0.0};
        const auto [it, is_new] = index_.emplace(on_grid, points_.size());
        if (is_new) {
            points_.push_back(on_grid);
            // A crossing a few roundings off a round number is that number.
            const double few = 8.0 * std::numeric_limits<double>::epsilon() * size_;
            const auto pick = [few](double v, double grid) { return std::abs(v - grid) <= few ? grid : v; };
            given_.push_back({pick(p.x, on_grid.x), pick(p.y, on_grid.y)});
        }
        return it->second;
    }

    void add(Index a, Index b, int turns) {
        if (a == b) return;
        turns_[std::minmax(a, b)] += a < b ? turns : -turns;
    }

    /// Sides that lie on each other become one; those that cancel go.
    [[nodiscard]] std::vector<Edge> edges() const {
        std::vector<Edge> out;
        for (const auto& [ends, turns] : turns_)
            if (turns != 0) out.push_back({ends.first, ends.second, turns});
        return out;
    }
    [[nodiscard]] Segment segment(const Edge& e) const { return {points_[e.a], points_[e.b]}; }

    void cut_until_clear() {
        for (int round = 0; round < kMostRounds; ++round)
            if (!cut()) return;
        throw std::runtime_error("the sides of the outlines could not be told apart");
    }

    bool cut() {
        std::vector<Edge> all = edges();
        const auto left = [&](const Edge& e) { return std::min(points_[e.a].x, points_[e.b].x); };
        std::stable_sort(all.begin(), all.end(), [&](const Edge& e, const Edge& f) { return left(e) < left(f); });
        std::vector<std::vector<Index>> cuts(all.size());
        bool any = false;
        const auto near = [&](Index e, Index v) {
            if (v == all[e].a || v == all[e].b) return false;
            const Segment s = segment(all[e]);
            if (!(distance2(s, points_[v]) < 0.25 * step_ * step_))
                return false;  // a whole step would undo its own cuts
            cuts[e].push_back(v);
            return any = true;
        };
        for (Index i = 0; i < all.size(); ++i) {
            const Segment s = segment(all[i]);
            const double right = std::max(s.a.x, s.b.x) + step_;
            const double low = std::min(s.a.y, s.b.y) - step_;
            const double high = std::max(s.a.y, s.b.y) + step_;
            for (Index j = i + 1; j < all.size() && left(all[j]) <= right; ++j) {
                const Segment t = segment(all[j]);
                if (std::max(t.a.y, t.b.y) < low || std::min(t.a.y, t.b.y) > high) continue;
                bool close = near(i, all[j].a);
                close = near(i, all[j].b) || close;
                close = near(j, all[i].a) || close;
                close = near(j, all[i].b) || close;
                if (close || meet(s, t) != Meet::cross) continue;
                const Index v = vertex(along(s, crossing_fraction(s, t)));
                cuts[i].push_back(v);
                cuts[j].push_back(v);
                any = true;
            }
        }
        if (!any) return false;
        turns_.clear();
        for (Index i = 0; i < all.size(); ++i) {
            const Segment s = segment(all[i]);
            auto& at = cuts[i];
            std::sort(at.begin(), at.end(), [&](Index u, Index v) {
                return std::pair(nearest_fraction(s, points_[u]), u) < std::pair(nearest_fraction(s, points_[v]), v);
            });
            Index from = all[i].a;
            for (const Index v : at) {
                add(from, v, all[i].turns);
                from = v;
            }
            add(from, all[i].b, all[i].turns);
        }
        return true;
    }

    /// Leaves the edges between covered and not, covered to the left.
    void keep_boundary() {
        const std::vector<Edge> all = edges();
        if (all.empty()) return;
        // Edges by the bands of y they cross, so that a ray meets few.
        double low = points_[all.front().a].y;
        double high = low;
        for (const Edge& e : all)
            for (const Index v : {e.a, e.b}) {
                low = std::min(low, points_[v].y);
                high = std::max(high, points_[v].y);
            }
        const auto bands = static_cast<double>(all.size());
        const auto band = [&](double y) {
            return static_cast<Index>(std::min(bands - 1.0, std::floor((y - low) / (high - low) * bands)));
        };
        std::vector<std::vector<Index>> in_band(all.size());
        for (Index i = 0; i < all.size(); ++i) {
            const auto [y0, y1] = std::minmax(points_[all[i].a].y, points_[all[i].b].y);
            for (Index k = band(y0); k <= band(y1); ++k) in_band[k].push_back(i);
        }
        for (Index i = 0; i < all.size(); ++i) {
            const Edge& e = all[i];
            const Segment s = segment(e);
            const Point p{std::midpoint(s.a.x, s.b.x), std::midpoint(s.a.y, s.b.y)};  // exact: half a grid step
            int beside = 0;  // turns round the point just right of p; of a level edge, just above it
            for (const Index k : in_band[band(p.y)]) {
                if (k == i) continue;
                const Segment t = segment(all[k]);
                const bool up = t.a.y <= p.y && t.b.y > p.y;
                const bool down = t.b.y <= p.y && t.a.y > p.y;
                if (up && orientation(t.a, t.b, p) > 0) beside += all[k].turns;
                if (down && orientation(t.a, t.b, p) < 0) beside -= all[k].turns;
            }
            const bool left_is_beside = s.b.y < s.a.y || (s.b.y == s.a.y && s.b.x > s.a.x);
            const int on_left = left_is_beside ? beside : beside + e.turns;
            const int on_right = on_left - e.turns;
            if (on_left >= 1 && on_right < 1) next_[e.a].push_back(e.b);
            if (on_right >= 1 && on_left < 1) next_[e.b].push_back(e.a);
        }
    }

    /// The way on from v, coming from u: the first clockwise from the way back, which bounds the same covered corner.
    [[nodiscard]] Index way_on(Index u, Index v) const {
        const auto group = [&](Index w) {
            const int side = orientation(points_[v], points_[u], points_[w]);
            return side < 0 ? 0 : (side == 0 ? 1 : 2);
        };
        const auto& ways = next_.at(v);
        return *std::min_element(ways.begin(), ways.end(), [&](Index w, Index z) {
            if (group(w) != group(z)) return group(w) < group(z);
            return orientation(points_[v], points_[w], points_[z]) < 0;
        });
    }

    [[nodiscard]] std::vector<std::vector<Index>> cycles() const {
        std::vector<std::vector<Index>> out;
        std::set<std::pair<Index, Index>> walked;
        for (const auto& [start, ways] : next_)
            for (const Index first : ways) {
                std::vector<Index> cycle;
                for (Index u = start, v = first; walked.emplace(u, v).second;) {
                    cycle.push_back(u);
                    const Index w = way_on(u, v);
                    u = std::exchange(v, w);
                }
                if (!cycle.empty()) out.push_back(std::move(cycle));
            }
        return out;
    }

    /// A walk that comes back to a corner is cut there: what it enclosed becomes a ring of its own.
    static void split_at_repeats(const std::vector<Index>& cycle, std::vector<std::vector<Index>>& out) {
        std::vector<Index> open;
        for (const Index v : cycle) {
            const auto seen = std::find(open.begin(), open.end(), v);
            if (seen != open.end()) {
                out.emplace_back(seen, open.end());
                open.erase(seen, open.end());
            }
            open.push_back(v);
        }
        out.push_back(std::move(open));
    }

    /// Without corners on the line of their neighbours; empty when nothing with a width is left.
    [[nodiscard]] std::vector<Index> tidy(std::vector<Index> ring) const {
        const double thin = kThinRel * size_;
        for (bool again = true; again && ring.size() > 2;) {
            again = false;
            for (Index i = 0; i < ring.size() && ring.size() > 2;) {
                const Point before = points_[ring[i == 0 ? ring.size() - 1 : i - 1]];
                const Point after = points_[ring[i + 1 == ring.size() ? 0 : i + 1]];
                const Point p = points_[ring[i]];
                const double base = span(before, after);
                const bool needless = span(before, p) <= thin || base <= thin ||
                                      std::abs(cross(after - before, p - before)) <= thin * base;
                if (needless) {
                    ring.erase(ring.begin() + static_cast<std::ptrdiff_t>(i));
                    again = true;
                } else {
                    ++i;
                }
            }
        }
        double around = 0.0;
        const Ring corners = places(ring, points_);
        if (ring.size() > 2) for_each_side(corners, [&](Point a, Point b) { around += span(a, b); });
        if (ring.size() < 3 || std::abs(signed_area(corners)) <= thin * around) ring.clear();
        return ring;
    }

    [[nodiscard]] static Ring places(const std::vector<Index>& ring, const std::vector<Point>& points) {
        Ring out;
        for (const Index v : ring) out.push_back(points[v]);
        return out;
    }

    struct Traced {
        std::vector<Index> raw;
        std::vector<Index> tidied;
    };
    struct Part {
        Traced ring;
        Ring corners;
        double area;
        std::vector<Traced> holes;
    };

    [[nodiscard]] std::vector<Outline> assemble(const std::vector<std::vector<Index>>& rings) const {
        std::vector<Part> parts;
        std::vector<Traced> holes;
        for (const auto& raw : rings) {
            Traced ring{raw, tidy(raw)};
            if (ring.tidied.empty()) continue;
            Ring corners = places(raw, points_);
            const double area = signed_area(corners);
            if (area > 0.0)
                parts.push_back({std::move(ring), std::move(corners), area, {}});
            else
                holes.push_back(std::move(ring));
        }
        for (Traced& hole : holes) {
            const Point a = points_[hole.raw[0]];
            const Point b = points_[hole.raw[1]];
            const Point p{std::midpoint(a.x, b.x), std::midpoint(a.y, b.y)};
            Part* around = nullptr;  // the smallest part that holds it
            for (Part& part : parts)
                if (locate_in_ring(part.corners, p) == Place::inside && (around == nullptr || part.area < around->area))
                    around = &part;
            if (around != nullptr) around->holes.push_back(std::move(hole));
        }
        std::vector<Outline> out;
        out.reserve(parts.size());
        for (const Part& part : parts) out.push_back(build(part));
        return out;
    }

    /// With the points as given, so that round numbers stay round; where sides are within a few steps of each other
    /// only the grid keeps them apart, and only with every corner it put there.
    [[nodiscard]] Outline build(const Part& part) const {
        const auto with = [&](std::vector<Index> Traced::*which, const std::vector<Point>& points) {
            std::vector<Ring> inner;
            inner.reserve(part.holes.size());
            for (const Traced& hole : part.holes) inner.push_back(places(hole.*which, points));
            return Outline(places(part.ring.*which, points), std::move(inner));
        };
        try {
            return with(&Traced::tidied, given_);
        } catch (const InvalidInput&) {
            return with(&Traced::raw, points_);
        }
    }

    double size_;
    double step_;
    std::vector<Point> points_;  // on the grid
    std::vector<Point> given_;   // the first point that came to each place
    std::map<Point, Index> index_;
    std::map<std::pair<Index, Index>, int> turns_;
    std::map<Index, std::vector<Index>> next_;
};

}  // namespace

std::vector<Outline> region(const std::vector<Ring>& rings) {
    if (rings.empty()) return {};
    return Arrangement(rings).outlines();
}

std::vector<Outline> region_of_neighbours(std::vector<Ring> rings) {
    constexpr std::size_t few = 8;
    while (rings.size() > few) {
        std::vector<Ring> fewer;
        for (std::size_t i = 0; i < rings.size(); i += few) {
            const auto from = rings.begin() + static_cast<std::ptrdiff_t>(i);
            const auto to = rings.begin() + static_cast<std::ptrdiff_t>(std::min(i + few, rings.size()));
            for (const Outline& o : region({from, to})) add_rings(o, fewer);
        }
        if (fewer.size() >= rings.size()) break;  // nothing left that neighbours have in common
        rings = std::move(fewer);
    }
    return region(rings);
}

}  // namespace foldswing::detail
