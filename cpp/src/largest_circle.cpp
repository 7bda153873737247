// The largest circle in outlines with holes: best-first over boxes. Over a box no point is farther from the edge than
// the distance at its middle plus its half-diagonal, nor than the best place among the lines of its nearest sides; the
// latter is exact where those sides decide, also along a corridor of even width, where the former would never end.
#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/plane.hpp>
#include <limits>
#include <numeric>
#include <queue>
#include <utility>
#include <vector>

#include "half_planes.hpp"
#include "segment.hpp"

namespace foldswing {
namespace {

constexpr double kCloseRel = 1e-13;  // of the size: a few roundings of a coordinate
constexpr int kMostBoxes = 30000;    // some tenths of a second of work
constexpr std::size_t kFew = 8;      // sides whose lines bound a box

double plain_dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }

struct Side {
    Point a;
    Point u;  // unit, metal on its left
    double length;
};

/// Distance of p from a side, and from where along it.
struct Reach {
    double squared;
    double along;   // of p's foot, before it is held within the side
    double beside;  // signed distance from the line, inside positive
};
Reach reach(const Side& s, Point p) noexcept {
    const Point d = p - s.a;
    const double along = plain_dot(d, s.u);
    const double beside = s.u.x * d.y - s.u.y * d.x;
    const double past = along < 0.0 ? along : (along > s.length ? along - s.length : 0.0);
    return {beside * beside + past * past, along, beside};
}

bool is_convex(const Outline& o) {
    const Ring& ring = o.corners();
    const std::size_t n = ring.size();
    if (!o.holes().empty()) return false;
    for (std::size_t i = 0; i < n; ++i)
        if (detail::orientation(ring[i], ring[(i + 1) % n], ring[(i + 2) % n]) < 0) return false;
    return true;
}

class Search {
  public:
    explicit Search(std::span<const Outline> outlines) {
        for (const Outline& o : outlines)
            detail::for_each_side(o, [&](Point a, Point b) {
                const double length = detail::span(a, b);
                sides_.push_back({a, 1.0 / length * (b - a), length});
                low_ = {std::min(low_.x, a.x), std::min(low_.y, a.y)};
                high_ = {std::max(high_.x, a.x), std::max(high_.y, a.y)};
            });
        best_.centre = outlines.front().corners().front();  // stays where all is thinner than rounding
        close_ = kCloseRel * std::max({std::abs(low_.x), std::abs(low_.y), std::abs(high_.x), std::abs(high_.y)});
    }

    /// In a convex outline the lines of all sides decide at once, however thin it is.
    Circle in_convex() {
        const Point middle{std::midpoint(low_.x, high_.x), std::midpoint(low_.y, high_.y)};
        const double in = 2.0 * std::max(high_.x - low_.x, high_.y - low_.y);  // more than the circle can be
        std::vector<detail::HalfPlane> planes;
        planes.reserve(sides_.size());
        for (const Side& s : sides_) planes.push_back({{s.u.y, -s.u.x}, reach(s, middle).beside - in, 1.0, close_});
        const Point p = middle + detail::meet(planes, {}).x;
        std::vector<std::size_t> all(sides_.size());
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
        if (inside(p)) offer(p, distance(all, p));
        return best_;
    }

    Circle run() {
        const double half = 0.5 * std::max(high_.x - low_.x, high_.y - low_.y);
        std::vector<std::size_t> all(sides_.size());
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
        look({{std::midpoint(low_.x, high_.x), std::midpoint(low_.y, high_.y)}, half, 0.0, std::move(all)});
        for (int n = 0; n < kMostBoxes && !boxes_.empty(); ++n) {
            const Box box = boxes_.top();
            boxes_.pop();
            if (box.most <= best_.radius + close_) break;
            const double q = 0.5 * box.half;
            if (q <= close_) continue;
            for (const Point way : {Point{-q, -q}, Point{q, -q}, Point{-q, q}, Point{q, q}})
                look({box.centre + way, q, 0.0, box.near});
        }
        return best_;
    }

  private:
    struct Box {
        Point centre;
        double half;
        double most;
        std::vector<std::size_t> near;  // the sides that can be nearest to a point of the box
        bool operator<(const Box& o) const { return most < o.most; }
    };

    [[nodiscard]] bool inside(Point p) const noexcept {
        bool in = false;
        for (const Side& s : sides_) {
            const double end = s.a.y + s.length * s.u.y;
            if ((s.a.y > p.y) == (end > p.y)) continue;
            if ((s.u.x * (p.y - s.a.y) - s.u.y * (p.x - s.a.x) > 0.0) == (end > s.a.y)) in = !in;
        }
        return in;
    }

    void offer(Point p, double distance) {
        if (distance > best_.radius) best_ = {p, distance};
    }

    [[nodiscard]] double distance(const std::vector<std::size_t>& near, Point p) const noexcept {
        double least = std::numeric_limits<double>::infinity();
        for (const std::size_t i : near) least = std::min(least, reach(sides_[i], p).squared);
        return std::sqrt(least);
    }

    void look(Box box) {
        const double r = std::sqrt(2.0) * box.half;
        std::vector<Reach> reaches;
        reaches.reserve(box.near.size());
        double least = std::numeric_limits<double>::infinity();
        for (const std::size_t i : box.near) {
            reaches.push_back(reach(sides_[i], box.centre));
            least = std::min(least, reaches.back().squared);
        }
        const double d = std::sqrt(least);
        if (d + r <= best_.radius + close_) return;  // inside or not
        const bool in = inside(box.centre);
        if (!in && d >= r) return;
        box.most = in ? d + r : r - d;
        if (box.most <= best_.radius + close_) return;
        if (in) offer(box.centre, d);
        std::size_t kept = 0;
        const double far = (d + 2.0 * r) * (1.0 + 1e-12);
        for (std::size_t k = 0; k < box.near.size(); ++k)
            if (reaches[k].squared <= far * far) {
                box.near[kept] = box.near[k];
                reaches[kept++] = reaches[k];
            }
        box.near.resize(kept);
        reaches.resize(kept);
        if (in && d > 0.0) bound_by_lines(box, reaches, r);
        if (box.most > best_.radius + close_) boxes_.push(std::move(box));
    }

    /// The lines of the nearest sides; of sides that are square to a part of the box only, the tangent to the circle
    /// about their nearest point, with what a circle bends away from its tangent: a ceiling over the box, and a place
    /// to try.
    void bound_by_lines(Box& box, const std::vector<Reach>& reaches, double r) {
        std::array<std::pair<double, detail::HalfPlane>, kFew> few;
        std::size_t n = 0;
        const auto add = [&](double away, const detail::HalfPlane& plane) {
            if (n == kFew && away >= few[n - 1].first) return;
            if (n < kFew) ++n;
            few[n - 1] = {away, plane};
            for (std::size_t k = n - 1; k > 0 && few[k].first < few[k - 1].first; --k) std::swap(few[k], few[k - 1]);
        };
        // Planes as u.x <= c + widening, x counted from the middle of the box; the radius is minus the widening.
        for (std::size_t k = 0; k < reaches.size(); ++k) {
            const Reach& at = reaches[k];
            const Side& s = sides_[box.near[k]];
            const double away = std::sqrt(at.squared);
            if (at.along >= r && at.along <= s.length - r) {
                if (at.beside >= r) add(away, {Point{s.u.y, -s.u.x}, at.beside, 1.0, 0.0});
                continue;
            }
            // No point of the box is farther from the edge than from this point of it.
            const Point to = box.centre - (s.a + std::clamp(at.along, 0.0, s.length) * s.u);
            if (away > 2.0 * r) add(away, {-1.0 / away * to, away + r * r / (2.0 * (away - r)), 1.0, 0.0});
        }
        if (n == 0) return;
        // Drawn in by more than the circle can be, so that they never meet, and then given back.
        const double in = few[0].first + 2.0 * r + close_;
        std::array<detail::HalfPlane, kFew + 4> planes;
        for (std::size_t k = 0; k < n; ++k) {
            planes[k] = few[k].second;
            planes[k].c -= in;
        }
        for (const Point side : {Point{1.0, 0.0}, Point{-1.0, 0.0}, Point{0.0, 1.0}, Point{0.0, -1.0}})
            planes[n++] = {side, box.half, 0.0, 0.0};
        const detail::Meeting best = detail::meet({planes.data(), n}, {});
        const double ceiling = in - best.widening;
        box.most = std::min(box.most, ceiling + close_);
        const Point p = box.centre + best.x;
        if (std::abs(best.x.x) <= box.half && std::abs(best.x.y) <= box.half && inside(p))
            offer(p, distance(box.near, p));
    }

    std::vector<Side> sides_;
    Point low_{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    Point high_{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
    double close_ = 0.0;
    Circle best_;
    std::priority_queue<Box> boxes_;
};

}  // namespace

Circle largest_circle(std::span<const Outline> outlines) {
    if (outlines.empty()) throw InvalidInput("outlines", "none", "at least one Outline");
    const bool convex = outlines.size() == 1 && is_convex(outlines.front());
    return convex ? Search(outlines).in_convex() : Search(outlines).run();
}

double room(std::span<const Outline> outlines, Point p) {
    if (outlines.empty()) throw InvalidInput("outlines", "none", "at least one Outline");
    double least = std::numeric_limits<double>::infinity();
    bool inside = false;
    for (const Outline& o : outlines) {
        inside = inside || locate(o, p) != Place::outside;
        detail::for_each_side(o, [&](Point a, Point b) { least = std::min(least, detail::distance2({a, b}, p)); });
    }
    return inside ? std::sqrt(least) : -std::sqrt(least);
}

}  // namespace foldswing
