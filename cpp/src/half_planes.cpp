#include "half_planes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

namespace foldswing::detail {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

/// A few half-planes by number: an active set, or one with a newcomer.
struct Few {
    std::array<std::size_t, 6> at{};
    std::size_t n = 0;
    void add(std::size_t k) { at[n++] = k; }
};

// Both searches below exchange one half-plane at a time: each step takes in the most violated one and solves the few at
// hand by trying every vertex and edge. The distance (the widening) only grows, so no set comes back and the search
// ends.
class Search {
  public:
    Search(std::span<const HalfPlane> planes, Point p)
        : planes_(planes), p_(p), steps_left_(20 * planes.size() + 100) {}

    Meeting run() {
        Few active;
        Point x = p_;
        while (steps_left_-- > 0) {
            const auto k = most_violated(x, 0.0);
            if (!k) return {x};
            Few with = active;
            with.add(*k);
            if (!nearest_with(with, active, x)) return widen(with, x);
        }
        return {x};  // the slack is finer than the rounding: x is as near as doubles get
    }

  private:
    [[nodiscard]] double excess(std::size_t k, Point x, double widening) const {
        const HalfPlane& h = planes_[k];
        return dot(h.u, x) - (h.c + h.give * widening);
    }

    [[nodiscard]] std::optional<std::size_t> most_violated(Point x, double widening) const {
        std::optional<std::size_t> worst;
        double most = 0.0;
        for (std::size_t k = 0; k < planes_.size(); ++k) {
            const double e = excess(k, x, widening) - planes_[k].slack;
            if (e > most) {
                most = e;
                worst = k;
            }
        }
        return worst;
    }

    [[nodiscard]] Point vertex(std::size_t i, std::size_t j, double widening) const {
        const HalfPlane& a = planes_[i];
        const HalfPlane& b = planes_[j];
        const double det = cross(a.u, b.u);
        const double ca = a.c + a.give * widening;
        const double cb = b.c + b.give * widening;
        return {(ca * b.u.y - cb * a.u.y) / det, (cb * a.u.x - ca * b.u.x) / det};
    }

    [[nodiscard]] Point foot(std::size_t k, double widening) const {
        return p_ + (-excess(k, p_, widening)) * planes_[k].u;
    }

    [[nodiscard]] bool parallel(std::size_t i, std::size_t j) const {
        return std::abs(cross(planes_[i].u, planes_[j].u)) <= kParallel;
    }

    /// Nearest point to p within the few half-planes, the last of which is tight; false when they have none in common.
    bool nearest_with(const Few& few, Few& active, Point& x) const {
        const std::size_t k = few.at[few.n - 1];
        double nearest = kInfinity;
        const auto consider = [&](Point y, std::size_t other) {
            for (std::size_t i = 0; i + 1 < few.n; ++i)
                if (few.at[i] != other && excess(few.at[i], y, 0.0) > planes_[few.at[i]].slack) return;
            const double distance = std::hypot(y.x - p_.x, y.y - p_.y);
            if (!(distance < nearest)) return;
            nearest = distance;
            x = y;
            active = {};
            if (other != k) active.add(other);
            active.add(k);
        };
        consider(foot(k, 0.0), k);
        for (std::size_t i = 0; i + 1 < few.n; ++i)
            if (!parallel(few.at[i], k)) consider(vertex(few.at[i], k, 0.0), few.at[i]);
        return nearest < kInfinity;
    }

    struct Basis {
        Few rows;  // two that face each other, or three around a triangle
        double widening = -kInfinity;
        Point x;
    };

    /// By duality the least widening of the few is the greatest over pairs and triples that hold x from all sides.
    [[nodiscard]] Basis tightest(const Few& few) const {
        Basis best;
        for (std::size_t a = 0; a < few.n; ++a)
            for (std::size_t b = a + 1; b < few.n; ++b) {
                const std::size_t i = few.at[a];
                const std::size_t j = few.at[b];
                if (parallel(i, j)) consider_pair(i, j, best);
                for (std::size_t c = b + 1; c < few.n; ++c) consider_triple(i, j, few.at[c], best);
            }
        return best;
    }

    void consider_pair(std::size_t i, std::size_t j, Basis& best) const {
        const HalfPlane& a = planes_[i];
        const HalfPlane& b = planes_[j];
        const double give = a.give + b.give;
        if (dot(a.u, b.u) > 0.0 || give == 0.0) return;
        const double widening = -(a.c + b.c) / give;
        if (!(widening > best.widening)) return;
        best.widening = widening;
        best.rows = {};
        best.rows.add(i);
        best.rows.add(j);
        best.x = foot(i, widening);
    }

    void consider_triple(std::size_t i, std::size_t j, std::size_t k, Basis& best) const {
        const std::array<std::size_t, 3> row{i, j, k};
        std::array<double, 3> weight{cross(planes_[j].u, planes_[k].u), cross(planes_[k].u, planes_[i].u),
                                     cross(planes_[i].u, planes_[j].u)};
        if (weight[0] < 0.0)
            for (double& w : weight) w = -w;
        if (*std::min_element(weight.begin(), weight.end()) <= kParallel) return;
        double c = 0.0;
        double give = 0.0;
        for (std::size_t r = 0; r < 3; ++r) {
            c += weight[r] * planes_[row[r]].c;
            give += weight[r] * planes_[row[r]].give;
        }
        if (give == 0.0) return;
        const double widening = -c / give;
        if (!(widening > best.widening)) return;
        best.widening = widening;
        best.rows = {};
        for (const std::size_t r : row) best.rows.add(r);
        const auto squarest = static_cast<std::size_t>(std::max_element(weight.begin(), weight.end()) - weight.begin());
        best.x = vertex(row[(squarest + 1) % 3], row[(squarest + 2) % 3], widening);
    }

    /// With two rows tight x may slide along them: put it nearest p, or name the rows that leave it no place.
    [[nodiscard]] Few slide(Basis& basis) const {
        const Point along = square_to(planes_[basis.rows.at[0]].u);
        double low = -kInfinity;
        double high = kInfinity;
        Few blocking = basis.rows;
        std::size_t low_row = 0;
        std::size_t high_row = 0;
        for (std::size_t k = 0; k < planes_.size(); ++k) {
            if (k == basis.rows.at[0] || k == basis.rows.at[1]) continue;  // tight: rounding alone keeps x off them
            const double slope = dot(planes_[k].u, along);
            const double over = excess(k, basis.x, basis.widening);
            if (std::abs(slope) <= kParallel) {
                if (over <= planes_[k].slack) continue;
                blocking.add(k);
                return blocking;
            }
            const double bound = -over / slope;
            if (slope > 0.0 && bound < high) {
                high = bound;
                high_row = k;
            } else if (slope < 0.0 && bound > low) {
                low = bound;
                low_row = k;
            }
        }
        if (low <= high) {
            basis.x = basis.x + std::clamp(0.0, low, high) * along;
            return {};
        }
        basis.x = basis.x + 0.5 * (low + high) * along;  // right as it stands if only rounding keeps them apart
        if (excess(low_row, basis.x, basis.widening) <= planes_[low_row].slack &&
            excess(high_row, basis.x, basis.widening) <= planes_[high_row].slack)
            return {};
        blocking.add(low_row);
        blocking.add(high_row);
        return blocking;
    }

    [[nodiscard]] Meeting widen(const Few& start, Point x) {
        Basis basis = tightest(start);
        if (basis.rows.n == 0) return {x};  // nothing gives: they miss each other by rounding alone
        while (steps_left_-- > 0) {
            Few with;
            if (basis.rows.n == 2) {
                with = slide(basis);
            } else if (const auto k = most_violated(basis.x, basis.widening)) {
                with = basis.rows;
                with.add(*k);
            }
            if (with.n == 0) break;
            const Basis next = tightest(with);
            if (!(next.widening > basis.widening)) break;  // only rounding is left
            basis = next;
        }
        return {basis.x, std::max(basis.widening, 0.0), basis.rows.n == 2};
    }

    std::span<const HalfPlane> planes_;
    Point p_;
    std::size_t steps_left_;
};

}  // namespace

Meeting meet(std::span<const HalfPlane> planes, Point p) { return Search(planes, p).run(); }

}  // namespace foldswing::detail
