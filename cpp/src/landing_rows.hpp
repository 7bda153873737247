#pragma once
// Landings seen from the pivot: each real turn asks for a strip or a half-plane. Private.
#include <algorithm>
#include <cmath>
#include <foldswing/landing.hpp>
#include <span>
#include <string>
#include <vector>

#include "degrees.hpp"
#include "half_planes.hpp"

namespace foldswing::hinge::detail_pivot {

using detail::dot;

// Relative to the size of the problem: some hundreds of ulps for what the caller and we round, nothing a bench could
// see.
inline constexpr double kRoundoffRel = 1e-12;
inline constexpr double kFarthest = 1e100;  // mm

/// A landing of a real turn seen from the pivot: miss = gain (u.x - c), x counted from the anchor.
struct Row {
    std::size_t index;
    const Landing* landing;
    Point u;
    double gain;  // 2 |sin(turn/2)|
    double c;
    double size;  // largest length that enters the miss, mm
    [[nodiscard]] bool is_strip() const { return landing->kind() == LandingKind::on; }
    [[nodiscard]] bool exact() const { return landing->tolerance() == 0.0; }
};

inline Point mean_point(std::span<const Landing> landings) {
    Point sum;
    for (const Landing& l : landings) sum = sum + l.point();
    return 1.0 / static_cast<double>(landings.size()) * sum;
}

inline double size_of(const Landing& l) {
    return std::max({std::abs(l.point().x), std::abs(l.point().y), std::abs(l.offset())});
}

inline std::vector<Row> turning_rows(std::span<const Landing> landings, Point anchor) {
    std::vector<Row> rows;
    for (std::size_t i = 0; i < landings.size(); ++i) {
        const Landing& l = landings[i];
        const auto [s, co] = detail::sin_cos_deg(0.5 * l.turn_deg());
        if (s == 0.0) continue;  // exact at whole revolutions, and only there
        const double sign = s < 0.0 ? -1.0 : 1.0;
        const Point n = l.normal();
        const Point u{sign * (s * n.x - co * n.y), sign * (s * n.y + co * n.x)};
        const double gain = 2.0 * std::abs(s);
        const double c = dot(u, l.point() - anchor) - (dot(n, l.point()) - l.offset()) / gain;
        if (!(std::abs(c) <= kFarthest) || !(l.tolerance() / gain <= kFarthest))
            throw InvalidInput("landings[" + std::to_string(i) + "].turn_deg", l.turn_deg(),
                               "0 or large enough that the pivot is within 1e100 mm");
        rows.push_back({i, &l, u, gain, c, size_of(l)});
    }
    return rows;
}

/// One or two half-planes for each row, with its tolerance as width; `give` per row says how far it may widen.
class Planes {
  public:
    explicit Planes(const std::vector<Row>& rows) {
        for (const Row& r : rows) farthest_ = std::max({farthest_, std::abs(r.c), r.size});
    }
    void add(const Row& r, double give) {
        const double width = r.landing->tolerance() / r.gain;
        const double slack = kRoundoffRel * (farthest_ + r.size / r.gain);
        if (r.landing->kind() != LandingKind::at_least) list_.push_back({r.u, r.c + width, give, slack});
        if (r.landing->kind() != LandingKind::at_most) list_.push_back({-1.0 * r.u, width - r.c, give, slack});
    }
    /// A line to stay as near to as can be.
    void add_line(Point v, double level) {
        list_.push_back({v, level, 1.0, kRoundoffRel * farthest_});
        list_.push_back({-1.0 * v, -level, 1.0, kRoundoffRel * farthest_});
    }
    [[nodiscard]] detail::Meeting meet(Point p) const { return detail::meet(list_, p); }
    [[nodiscard]] const std::vector<detail::HalfPlane>& list() const { return list_; }

  private:
    std::vector<detail::HalfPlane> list_;
    double farthest_ = 0.0;
};

}  // namespace foldswing::hinge::detail_pivot
