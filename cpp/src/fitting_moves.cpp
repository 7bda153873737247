// What to move, what that leaves, and how far a pair of side pivots is out of line.
#include <algorithm>
#include <cmath>
#include <foldswing/fitting.hpp>
#include <numbers>
#include <optional>
#include <vector>

#include "check.hpp"
#include "degrees.hpp"
#include "dense.hpp"
#include "half_planes.hpp"
#include "landing_slopes.hpp"
#include "predicates.hpp"

namespace foldswing::fitting {
namespace {

constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kRoundingRel = 1e-12;  // of the size of the problem, as in solve_pivot
constexpr double kLeanRel = 1e-7;       // a unit combination that leans so little on what was not seen is seen
constexpr std::size_t kMostTargets = 100;
constexpr int kMostAveraged = 1000;

/// How a target's miss moves with panel hole, body hole and, where its edge is uncertain, with that edge.
struct Slopes {
    Point panel;
    Point body;
    double edge = 0.0;
    std::size_t which_edge = kNoEdge;
};

double variance(const HolesFit& fit, const Slopes& s) {
    std::array<double, 5> v{s.panel.x, s.panel.y, s.body.x, s.body.y, s.edge};
    const bool edge = s.which_edge != kNoEdge;
    const std::array<std::size_t, 5> at{0, 1, 2, 3, edge ? 4 + s.which_edge : 0};
    for (const auto& u : fit.unseen)
        if (std::abs(u[0] * v[0] + u[1] * v[1] + u[2] * v[2] + u[3] * v[3]) > kLeanRel) return kInf;
    double sum = 0.0;
    for (std::size_t i = 0; i < (edge ? 5U : 4U); ++i)
        for (std::size_t k = 0; k < (edge ? 5U : 4U); ++k)
            sum += v[i] * v[k] * fit.covariance[at[i] * fit.parameters + at[k]];
    return std::max(sum, 0.0);
}

/// Share of a normal spread beyond what the landing allows.
double share_missed(const hinge::Landing& l, double miss, double spread) {
    const double tol = l.tolerance();
    if (spread == kInf) return 1.0;
    const auto beyond = [&](double room) {
        if (spread == 0.0) return room >= 0.0 ? 0.0 : 1.0;
        return 0.5 * std::erfc(room / (spread * std::numbers::sqrt2));
    };
    switch (l.kind()) {
        case hinge::LandingKind::at_least:
            return beyond(tol + miss);
        case hinge::LandingKind::at_most:
            return beyond(tol - miss);
        case hinge::LandingKind::on:
            break;
    }
    return beyond(tol + miss) + beyond(tol - miss);
}

/// With slots of unit directions.
Setting checked(Setting setting) {
    detail::require_not_negative("error", setting.error);
    detail::require_not_negative("packing", setting.packing);
    for (auto* slot : {&setting.panel_slot, &setting.body_slot}) {
        if (!*slot) continue;
        Slot& s = **slot;
        if (setting.anew) throw InvalidInput("anew", "true", "false where a hole has a slot");
        const double length = detail::norm(s.direction);
        detail::require(length > 0.0 && std::isfinite(length), "direction", length, "of any length but zero");
        detail::require_not_negative("forward", s.forward);
        detail::require_not_negative("backward", s.backward);
        s.direction = (1.0 / length) * s.direction;
    }
    return setting;
}

class Moves {
  public:
    Moves(const HolesFit& fit, std::span<const Target> targets, const Setting& setting)
        : fit_(fit), targets_(targets), setting_(checked(setting)) {}

    [[nodiscard]] Move make(Which which) const {
        Move m;
        m.which = which;
        Holes at = fit_.holes;
        switch (which) {
            case Which::none:
                break;
            case Which::body:
                m.body = best(at, which);
                break;
            case Which::panel:
                m.panel = best(at, which);
                break;
            case Which::both: {
                if (setting_.anew) at = fit_.drawn;
                const auto [panel, body] = best_of_both(at);
                m.panel = at.panel - fit_.holes.panel + panel;
                m.body = at.body - fit_.holes.body + body;
                break;
            }
            case Which::together: {
                at = fit_.drawn;
                const Point more = best(at, which);
                m.panel = fit_.drawn.panel - fit_.holes.panel + more;
                m.body = fit_.drawn.body - fit_.holes.body + more;
                break;
            }
        }
        const Holes then{fit_.holes.panel + m.panel, fit_.holes.body + m.body};
        double missed = 0.0;
        for (const Target& t : targets_) {
            const double left = miss(t, then);
            const double spread = spread_of(t, which);
            m.left.push_back(left);
            m.spread.push_back(spread);
            m.worst = std::max(m.worst, t.landing.breach(left) / t.landing.tolerance());
            missed += share_missed(t.landing, left, spread);
        }
        m.right_at_least = std::max(0.0, 1.0 - missed);
        return m;
    }

  private:
    [[nodiscard]] double miss(const Target& t, const Holes& at) const {
        const double edge = t.edge == kNoEdge ? 0.0 : fit_.edges[t.edge];
        return fitting::miss(t.landing, at) - edge;
    }
    static Point slope(const Target& t, Which which) {
        const hinge::Landing& l = t.landing;
        if (which == Which::body) return l.normal();
        if (which == Which::panel) return -1.0 * detail::turned_back(l.turn_deg(), l.normal());
        return detail::through_both(l.turn_deg(), l.normal());
    }
    [[nodiscard]] double spread_of(const Target& t, Which which) const {
        const hinge::Landing& l = t.landing;
        Slopes s{slope(t, Which::panel), slope(t, Which::body), t.edge == kNoEdge ? 0.0 : -1.0, t.edge};
        double squared = 0.0;
        const double set = setting_.error * setting_.error;
        if (which == Which::together) {
            const Point both = slope(t, which);
            squared = set * detail::dot(both, both) + setting_.packing * setting_.packing;
        } else {
            if (which == Which::panel || which == Which::both) squared += set * per_setting(t, Which::panel);
            if (which == Which::body || which == Which::both) squared += set * per_setting(t, Which::body);
        }
        if (which == Which::together || (which == Which::both && setting_.anew)) s.panel = s.body = {0.0, 0.0};
        const Point arm = l.point() - fit_.holes.panel;
        const double per_radian = detail::dot(detail::turned_back(l.turn_deg(), l.normal()), detail::square_to(arm));
        const double by_turn = per_radian * t.turn_error_deg * detail::kDegree;
        return std::sqrt(squared + variance(fit_, s) + by_turn * by_turn);
    }
    [[nodiscard]] std::optional<Slot> slot_of(Which which) const {
        if (which == Which::panel) return setting_.panel_slot;
        return which == Which::body ? setting_.body_slot : std::nullopt;
    }
    /// Squared mm of landing per squared mm that a hole is set wrong, along its slot if it has one.
    [[nodiscard]] double per_setting(const Target& t, Which which) const {
        const auto slot = slot_of(which);
        if (!slot) return 1.0;
        const double along = detail::dot(slope(t, which), slot->direction);
        return along * along;
    }
    /// The shortest shifts of both holes with the least sum of squared misses, in tolerances. An inequality counts
    /// while it is broken.
    [[nodiscard]] std::pair<Point, Point> best_of_both(const Holes& at) const {
        Eigen::Vector4d x = Eigen::Vector4d::Zero();
        std::vector<bool> counts(targets_.size(), false);
        for (std::size_t round = 0; round <= targets_.size(); ++round) {
            const Holes now{at.panel + Point{x(0), x(1)}, at.body + Point{x(2), x(3)}};
            bool more = false;
            for (std::size_t i = 0; i < targets_.size(); ++i) {
                const hinge::Landing& l = targets_[i].landing;
                const double over = l.breach(miss(targets_[i], now));
                const double slack = kRoundingRel * (detail::norm(l.point()) + std::abs(l.offset()) + 1.0);
                if (counts[i] || (l.kind() != hinge::LandingKind::on && over <= slack)) continue;
                counts[i] = more = true;
            }
            if (!more) break;
            const auto n = static_cast<Eigen::Index>(targets_.size());
            Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n, 4);
            Eigen::VectorXd b = Eigen::VectorXd::Zero(n);
            for (std::size_t i = 0; i < targets_.size(); ++i) {
                if (!counts[i]) continue;
                const auto k = static_cast<Eigen::Index>(i);
                const Point panel = slope(targets_[i], Which::panel);
                const Point body = slope(targets_[i], Which::body);
                const double tolerance = targets_[i].landing.tolerance();
                a.row(k) << panel.x / tolerance, panel.y / tolerance, body.x / tolerance, body.y / tolerance;
                b(k) = -miss(targets_[i], at) / tolerance;
            }
            x = least_within_slots(a, b);
        }
        return {{x(0), x(1)}, {x(2), x(3)}};
    }
    /// The shortest x of least |a x - b| that the slots allow: each slotted hole slides freely or stands at an end of
    /// its slot, and of all these ways the best that stays within.
    [[nodiscard]] Eigen::Vector4d least_within_slots(const Eigen::MatrixXd& a, const Eigen::VectorXd& b) const {
        Eigen::Vector4d best = Eigen::Vector4d::Zero();
        double least = kInf;
        for (const Stands panel : ways_to_stand(setting_.panel_slot)) {
            for (const Stands body : ways_to_stand(setting_.body_slot)) {
                const auto x = least_standing(a, b, {panel, body});
                if (!x) continue;
                const double left = (a * *x - b).squaredNorm();
                const bool alike = left <= least * (1.0 + kRoundingRel);
                if (left < least * (1.0 - kRoundingRel) || (alike && x->norm() < best.norm())) {
                    least = left;
                    best = *x;
                }
            }
        }
        return best;
    }
    enum class Stands : std::int8_t { anywhere, between_ends, at_forward_end, at_backward_end };
    static std::vector<Stands> ways_to_stand(const std::optional<Slot>& slot) {
        if (!slot) return {Stands::anywhere};
        return {Stands::between_ends, Stands::at_forward_end, Stands::at_backward_end};
    }
    /// The same with panel and body standing so; none where one would leave its slot.
    [[nodiscard]] std::optional<Eigen::Vector4d> least_standing(const Eigen::MatrixXd& a, const Eigen::VectorXd& b,
                                                                const std::array<Stands, 2>& stands) const {
        const std::array<const std::optional<Slot>*, 2> slots{&setting_.panel_slot, &setting_.body_slot};
        Eigen::MatrixXd ways = Eigen::MatrixXd::Zero(4, 4);
        Eigen::Vector4d x = Eigen::Vector4d::Zero();
        std::array<Eigen::Index, 2> column{-1, -1};
        Eigen::Index columns = 0;
        for (std::size_t h = 0; h < 2; ++h) {
            const auto row = static_cast<Eigen::Index>(2 * h);
            if (stands[h] == Stands::anywhere) {
                ways(row, columns) = ways(row + 1, columns + 1) = 1.0;
                columns += 2;
                continue;
            }
            const Slot& slot = **slots[h];
            const Eigen::Vector2d way(slot.direction.x, slot.direction.y);
            if (stands[h] == Stands::between_ends) {
                column[h] = columns;
                ways.block(row, columns++, 2, 1) = way;
            } else {
                x.segment(row, 2) = (stands[h] == Stands::at_forward_end ? slot.forward : -slot.backward) * way;
            }
        }
        if (columns == 0) return x;
        Eigen::JacobiSVD<Eigen::MatrixXd> svd(a * ways.leftCols(columns), Eigen::ComputeThinU | Eigen::ComputeThinV);
        svd.setThreshold(detail::kParallel);  // as for one hole: what asks in nearly one direction asks once
        const Eigen::VectorXd by = svd.solve(b - a * x);
        for (std::size_t h = 0; h < 2; ++h) {
            if (column[h] < 0) continue;
            const double slid = by(column[h]);
            if (slid > (*slots[h])->forward || slid < -(*slots[h])->backward) return std::nullopt;
        }
        return x + ways.leftCols(columns) * by;
    }
    /// The shortest shift of one hole (or of one through both) that makes the worst miss least, in tolerances.
    [[nodiscard]] Point best(const Holes& at, Which which) const {
        std::vector<detail::HalfPlane> planes;
        for (const Target& t : targets_) {
            const Point u = slope(t, which);
            const double length = detail::norm(u);
            if (length <= detail::kParallel)
                continue;  // shut, or whole revolutions: a hole through both changes nothing
            const double now = miss(t, at);
            const double slack = kRoundingRel * (std::abs(now) + detail::norm(t.landing.point()) + 1.0) / length;
            const Point unit = (1.0 / length) * u;
            const double give = t.landing.tolerance() / length;
            if (t.landing.kind() != hinge::LandingKind::at_least) planes.push_back({unit, -now / length, give, slack});
            if (t.landing.kind() != hinge::LandingKind::at_most)
                planes.push_back({-1.0 * unit, now / length, give, slack});
        }
        if (planes.empty()) return {};
        if (const auto& slot = slot_of(which)) {
            const Point across = detail::square_to(slot->direction);
            const double slack = kRoundingRel * (slot->forward + slot->backward + 1.0);
            planes.push_back({slot->direction, slot->forward, 0.0, slack});
            planes.push_back({-1.0 * slot->direction, slot->backward, 0.0, slack});
            planes.push_back({across, 0.0, 0.0, slack});
            planes.push_back({-1.0 * across, 0.0, 0.0, slack});
        }
        return detail::meet(planes, {}).x;
    }

    const HolesFit& fit_;
    std::span<const Target> targets_;
    Setting setting_;
};

}  // namespace

double miss(const hinge::Landing& landing, const Holes& holes) noexcept {
    return detail::two_hole_miss(landing, holes.panel, holes.body);
}

Correction correct(const HolesFit& fit, std::span<const Target> targets, const Setting& setting,
                   std::span<const Which> allowed) {
    if (targets.empty() || targets.size() > kMostTargets)
        throw InvalidInput("targets", std::to_string(targets.size()) + " targets", "1 to 100");
    for (std::size_t i = 0; i < targets.size(); ++i) {
        if (!(targets[i].landing.tolerance() > 0.0))
            throw InvalidInput("tolerance", targets[i].landing.tolerance(), "> 0").at(std::to_string(i));
        if (!(targets[i].turn_error_deg >= 0.0 && targets[i].turn_error_deg <= 360.0))
            throw InvalidInput("turn_error_deg", targets[i].turn_error_deg, "from 0 to 360").at(std::to_string(i));
        if (targets[i].edge != kNoEdge && targets[i].edge >= fit.edges.size())
            throw InvalidInput("edge", std::to_string(targets[i].edge), "the place of one of the edges")
                .at(std::to_string(i));
    }
    if (fit.status == HolesStatus::not_converged)
        throw InvalidInput("fit", "not_converged", "one in which the holes are found");
    const Moves moves(fit, targets, setting);
    Correction out;
    for (const Which w : {Which::none, Which::body, Which::panel, Which::both, Which::together})
        if (w == Which::none || std::find(allowed.begin(), allowed.end(), w) != allowed.end())
            out.moves.push_back(moves.make(w));
    double most = 0.0;
    for (const Move& m : out.moves) most = std::max(most, m.right_at_least);
    if (most > 0.0) {
        while (out.moves[out.advised].right_at_least < most - kSameShare) ++out.advised;
    } else {  // nothing promises anything: the move that leaves least
        for (std::size_t i = 1; i < out.moves.size(); ++i)
            if (out.moves[i].worst < out.moves[out.advised].worst) out.advised = i;
    }
    return out;
}

Measured measured_again(const Measured& before, std::span<const double> again, double reading_error) {
    detail::require_finite("before", before.value);
    detail::require_not_negative("before_error", before.standard_error);
    detail::require_positive("reading_error", reading_error);
    if (again.empty()) throw InvalidInput("again", "no reading", "at least one reading");
    const auto n = static_cast<double>(again.size());
    double further = 0.0;  // each reading beyond what it was before: small numbers, whatever the size
    for (const double reading : again) {
        detail::require_finite("again", reading);
        further += (reading - before.value) / n;
    }
    const double error = reading_error / std::sqrt(n);
    const double both = std::hypot(before.standard_error, error);
    const double part = before.standard_error / both;
    return {before.value + part * part * further, part * error};
}

int readings_to_average(double reading_error, double setting_error, double tolerance, double share) {
    detail::require_not_negative("reading_error", reading_error);
    detail::require_not_negative("setting_error", setting_error);
    detail::require_positive("tolerance", tolerance);
    detail::require(share >= 0.0 && share < 1.0, "share", share, "from 0 up to, not including, 1");
    const auto right = [&](double spread) { return std::erf(tolerance / (spread * std::numbers::sqrt2)); };
    const double most = setting_error > 0.0 ? right(setting_error) : 1.0;
    const double wanted = share < most ? share : most - kLoss;
    for (int n = 1; n < kMostAveraged; ++n) {
        const double spread = std::hypot(reading_error / std::sqrt(static_cast<double>(n)), setting_error);
        if (spread == 0.0 || right(spread) >= wanted) return n;
    }
    return kMostAveraged;
}

double drilling_ceiling(double deviation, double tolerance, std::span<const double> turns_deg) {
    detail::require_positive("deviation", deviation);
    detail::require_positive("tolerance", tolerance);
    if (turns_deg.empty()) throw InvalidInput("turns_deg", "none", "at least one turn");
    double least = 1.0;
    for (const double turn : turns_deg) {
        detail::require_finite("turns_deg", turn);
        const double spread = 2.0 * std::abs(detail::sin_deg(0.5 * turn)) * deviation;
        if (spread > 0.0) least = std::min(least, std::erf(tolerance / (spread * std::numbers::sqrt2)));
    }
    return least;
}

namespace {

struct Ends {
    Point body;
    Point panel;
    const HolesFit& left;
    const HolesFit& right;
    double span = 0.0;
    double bush_length = 0.0;
};

PairAt pair_at(const Ends& e, double turn_deg) {
    PairAt out;
    out.turn_deg = turn_deg;
    const auto [sin, cos] = detail::sin_cos_deg(turn_deg);
    const Point turned{cos * e.panel.x - sin * e.panel.y, sin * e.panel.x + cos * e.panel.y};
    out.apart = e.body - turned;
    const Slopes x{{-cos, sin}, {1.0, 0.0}, 0.0, kNoEdge};
    const Slopes y{{-sin, -cos}, {0.0, 1.0}, 0.0, kNoEdge};
    const Slopes sum{x.panel + y.panel, x.body + y.body, 0.0, kNoEdge};
    const auto both = [&](const Slopes& s) { return variance(e.left, s) + variance(e.right, s); };
    out.covariance.xx = both(x);
    out.covariance.yy = both(y);
    out.covariance.xy = std::isfinite(both(sum)) ? 0.5 * (both(sum) - out.covariance.xx - out.covariance.yy) : kInf;
    const double apart = detail::norm(out.apart);
    out.tilt_deg = std::atan2(apart, e.span) / detail::kDegree;
    out.clearance = e.bush_length * apart / e.span;
    const Covariance& c = out.covariance;
    if (std::isfinite(c.xx) && std::isfinite(c.yy) && std::isfinite(c.xy)) {
        const double det = detail::difference_of_products(c.xx, c.yy, c.xy, c.xy);
        const Point a = out.apart;
        const double squared = (c.yy * a.x * a.x - 2.0 * c.xy * a.x * a.y + c.xx * a.y * a.y);
        out.seen = squared > -2.0 * std::log(0.05) * std::max(det, 0.0);  // 95 % of two normal coordinates
    }
    return out;
}

}  // namespace

Pair pair_out_of_line(const HolesFit& left, const HolesFit& right, double span, double bush_length,
                      std::span<const double> turns_deg, double turn_from_deg, double turn_to_deg) {
    detail::require_positive("span", span);
    detail::require_positive("bush_length", bush_length);
    detail::require_finite("turn_from_deg", turn_from_deg);
    detail::require_finite("turn_to_deg", turn_to_deg);
    for (const double turn : turns_deg) detail::require_finite("turns_deg", turn);
    for (const HolesFit* side : {&left, &right})
        if (side->status == HolesStatus::not_converged || side->covariance.size() < side->parameters * side->parameters)
            throw InvalidInput(side == &left ? "left" : "right", "not_converged", "a fit in which the holes are found");
    const Point body = (right.holes.body - right.drawn.body) - (left.holes.body - left.drawn.body);
    const Point panel = (right.holes.panel - right.drawn.panel) - (left.holes.panel - left.drawn.panel);
    const Ends ends{body, panel, left, right, span, bush_length};
    Pair out;
    out.body = body;
    out.panel = panel;
    for (const double turn : turns_deg) out.at.push_back(pair_at(ends, turn));
    // Farthest apart where the turned panel hole points straight away from the body's, or at an end of the travel.
    const auto [low, high] = std::minmax(turn_from_deg, turn_to_deg);
    std::vector<double> tries{turn_from_deg, turn_to_deg};
    if (detail::norm(panel) > 0.0 && detail::norm(body) > 0.0) {
        const double opposite =
            std::atan2(detail::cross(panel, body), detail::dot(panel, body)) / detail::kDegree + 180.0;
        const double first = opposite + 360.0 * std::ceil((low - opposite) / 360.0);
        if (first <= high) tries.push_back(first);
    }
    for (const double turn : tries) {
        const PairAt now = pair_at(ends, turn);
        if (turn == tries.front() || detail::norm(now.apart) > detail::norm(out.worst.apart)) out.worst = now;
    }
    return out;
}

}  // namespace foldswing::fitting
