#include <algorithm>
#include <cmath>
#include <foldswing/plane.hpp>
#include <utility>
#include <vector>

#include "check.hpp"
#include "degrees.hpp"
#include "region.hpp"
#include "rings.hpp"
#include "segment.hpp"

namespace foldswing {
namespace {

constexpr double kFinestSagittaRel = 1e-6;  // of the distance: about 2200 corners a turn
constexpr double kWidestStep = 45.0;        // degrees between the sides of a rounded corner, however coarse

/// Builds the strips and corner pieces that, joined to an outline, grow it, and taken from it, shrink it. Each piece is
/// a small ring on the right of the walk round the ring; for growth a counter-clockwise one.
class Band {
  public:
    Band(double distance, const OffsetOptions& options)
        : grow_(distance > 0.0), reach_(std::abs(distance)), options_(options) {
        // A side that touches the arc over an angle h stands r / cos(h/2) - r off it.
        step_deg_ = std::min(kWidestStep, 2.0 * std::acos(reach_ / (reach_ + options.sagitta)) / detail::kDegree);
    }

    void along(const Ring& ring, std::vector<Ring>& pieces) const {
        const std::size_t n = ring.size();
        std::vector<Point> out(n);  // the side of corner i, as a vector to its offset
        for (std::size_t i = 0; i < n; ++i) {
            const Point side = ring[i + 1 == n ? 0 : i + 1] - ring[i];
            out[i] = (grow_ ? -reach_ : reach_) / detail::norm(side) * detail::square_to(side);
        }
        for (std::size_t i = 0; i < n; ++i) {
            const Point a = ring[i];
            const Point b = ring[i + 1 == n ? 0 : i + 1];
            pieces.push_back({a, a + out[i], b + out[i], b});
            const Point before = out[i == 0 ? n - 1 : i - 1];
            const double turn_deg =
                std::atan2(detail::cross(before, out[i]), detail::dot(before, out[i])) / detail::kDegree;
            if (grow_ ? turn_deg > 0.0 : turn_deg < 0.0) pieces.push_back(corner(a, before, out[i], turn_deg));
        }
    }

  private:
    [[nodiscard]] static Point at(Point corner, Point from, double on_deg, double k) {
        const auto [s, c] = detail::sin_cos_deg(on_deg);
        return {corner.x + k * (c * from.x - s * from.y), corner.y + k * (s * from.x + c * from.y)};
    }

    /// From one offset side to the next.
    [[nodiscard]] Ring corner(Point p, Point from, Point to, double turn_deg) const {
        Ring piece{p, p + from};
        if (options_.corners == Corners::round) {
            // Sides that touch the arc from outside, so that nothing is nearer than the distance.
            const int n = static_cast<int>(std::ceil(std::abs(turn_deg) / step_deg_));
            const double step = turn_deg / n;
            for (int i = 0; i < n; ++i)
                piece.push_back(at(p, from, (i + 0.5) * step, 1.0 / detail::cos_deg(0.5 * step)));
        } else {
            const double half = 0.5 * turn_deg;
            const double reach = 1.0 / detail::cos_deg(half);
            if (reach <= options_.mitre_limit) {
                // (from + to) is 2 cos(half) long in distances: no angle, so that square corners come out exactly
                const double k = 1.0 / (1.0 + detail::dot(from, to) / (reach_ * reach_));
                piece.push_back(p + k * (from + to));
            } else {
                // Along the first side by w distances: the cut passes the middle at `limit` distances from the corner.
                const double w = (options_.mitre_limit - detail::cos_deg(half)) / std::abs(detail::sin_deg(half));
                const double angle = std::copysign(std::atan(w) / detail::kDegree, half);
                piece.push_back(at(p, from, angle, std::hypot(1.0, w)));
                piece.push_back(at(p, from, turn_deg - angle, std::hypot(1.0, w)));
            }
        }
        piece.push_back(p + to);
        return piece;
    }

    bool grow_;
    double reach_;
    double step_deg_ = 0.0;
    OffsetOptions options_;
};

}  // namespace

std::vector<Outline> offset(const Outline& outline, double distance, const OffsetOptions& options) {
    detail::require(std::abs(distance) <= detail::kLargest, "distance", distance, "finite, within +-1e12 mm");
    detail::require_positive("sagitta", options.sagitta);
    detail::require(options.sagitta >= kFinestSagittaRel * std::abs(distance), "sagitta", options.sagitta,
                    "at least a millionth of the distance");
    detail::require(std::isfinite(options.mitre_limit) && options.mitre_limit >= 1.0, "mitre_limit",
                    options.mitre_limit, "finite and >= 1");
    if (distance == 0.0) return {outline};
    std::vector<Ring> rings{outline.corners()};
    rings.insert(rings.end(), outline.holes().begin(), outline.holes().end());
    const Band band(distance, options);
    std::vector<Ring> pieces;
    for (const Ring& ring : rings) band.along(ring, pieces);
    rings.insert(rings.end(), pieces.begin(), pieces.end());
    return detail::region(rings);
}

std::vector<Outline> unite(std::span<const Outline> outlines) {
    std::vector<Ring> rings;
    for (const Outline& o : outlines) {
        rings.push_back(o.corners());
        rings.insert(rings.end(), o.holes().begin(), o.holes().end());
    }
    return detail::region(rings);
}

}  // namespace foldswing
