// Both holes from readings: weighted least squares by singular values, and what bears out each reading.
#include <algorithm>
#include <cmath>
#include <foldswing/fitting.hpp>

#include "check.hpp"
#include "degrees.hpp"
#include "dense.hpp"
#include "fitting_words.hpp"
#include "landing_slopes.hpp"
#include "predicates.hpp"

namespace foldswing::fitting {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kFarthest = 1e6;       // mm; a kilometre: no panel is larger
constexpr double kFinestError = 1e-6;   // mm, and degrees: nothing in a shop is read more closely
constexpr double kCoarsestError = 1e6;  // mm, and degrees: says nothing
// Relative size below which a singular value is rounding: rows are divided by their errors, columns are in mm.
constexpr double kRankRel = 1e-11;
// A unit combination of unknowns that leans this little on a hole does not move it: rounding of the null space.
constexpr double kLeanRel = 1e-7;
constexpr int kMostSteps = 60;
// Steps of the turns end when nothing moves by more than this, of the largest length in the problem.
constexpr double kSettledRel = 1e-14;

void require_error(const char* name, double v, std::size_t i) {
    if (!(v >= kFinestError && v <= kCoarsestError))
        throw InvalidInput(name, v, "from 1e-6 to 1e6").at(std::to_string(i));
}
void require_near(const char* name, Point p) {
    detail::require(std::abs(p.x) <= kFarthest && std::abs(p.y) <= kFarthest, name,
                    std::abs(p.x) <= kFarthest ? p.y : p.x, "within 1e6 mm");
}
bool is_known(const Stop& stop) { return stop.standard_error_deg == 0.0; }

/// Readings with unit normals, checked.
std::vector<Reading> checked(std::span<const Reading> readings, std::span<const Stop> stops, const Known& known) {
    if (readings.empty() || readings.size() > kMostReadings)
        throw InvalidInput("readings", std::to_string(readings.size()) + " readings", "1 to 300");
    if (stops.empty() || stops.size() > kMostStops)
        throw InvalidInput("stops", std::to_string(stops.size()) + " stops", "1 to 20");
    for (std::size_t i = 0; i < stops.size(); ++i) {
        const double turn = stops[i].turn_deg;
        if (!(std::abs(turn) <= 1e6)) throw InvalidInput("turn_deg", turn, "within 1e6 degrees").at(std::to_string(i));
        const double error = stops[i].standard_error_deg;
        if (error != 0.0 && error != kInf) require_error("turn standard_error_deg", error, i);
    }
    for (std::size_t i = 0; i < known.edge_errors.size(); ++i)
        if (known.edge_errors[i] != 0.0) require_error("edge_errors", known.edge_errors[i], i);
    std::vector<Reading> out(readings.begin(), readings.end());
    for (std::size_t i = 0; i < out.size(); ++i) {
        Reading& r = out[i];
        try {
            const hinge::Landing line(0.0, r.point, r.normal, r.offset);
            r.normal = line.normal();
            r.offset = line.offset();
            require_near("point", r.point);
            detail::require(std::abs(r.offset) <= kFarthest, "offset", r.offset, "within 1e6 mm");
            detail::require(std::abs(r.distance) <= kFarthest, "distance", r.distance, "within 1e6 mm");
        } catch (const InvalidInput& e) {
            throw e.at(std::to_string(i));
        }
        require_error("standard_error", r.standard_error, i);
        if (r.stop >= stops.size())
            throw InvalidInput("stop", std::to_string(r.stop), "the place of one of the stops").at(std::to_string(i));
        if (r.edge != kNoEdge && r.edge >= known.edge_errors.size())
            throw InvalidInput("edge", std::to_string(r.edge), "the place of one of the edges").at(std::to_string(i));
    }
    return out;
}

/// Error along x, how much of an error along x comes with it along y, and what error is left there.
struct Root {
    double along;
    double slope;
    double across;
};
Root root_of(const Covariance& c) {
    return {std::sqrt(c.xx), c.xy / c.xx,
            std::sqrt(std::max(detail::difference_of_products(c.xx, c.yy, c.xy, c.xy) / c.xx, 0.0))};
}

void require_found(const FoundPivot& found) {
    require_near("pivot", found.place);
    (void)ellipse(found.covariance, 0.5);  // refuses what is no covariance
    const auto [along, slope, across] = root_of(found.covariance);
    const auto usable = [](double error) { return error >= kFinestError && error <= kCoarsestError; };
    if (!usable(along) || !usable(across) || !std::isfinite(slope))
        throw InvalidInput("pivot_covariance", usable(along) ? found.covariance.yy : found.covariance.xx,
                           "errors from 1e-6 to 1e6 mm every way");
}

/// Unknowns in mm: shifts of the holes from the drawing, shifts of the edges, turns of the stops times their lever.
class Model {
  public:
    Model(std::span<const Reading> readings, std::span<const Stop> stops, const Holes& drawn, const Known& known)
        : readings_(readings), stops_(stops), drawn_(drawn), known_(known) {
        edge_column_.assign(known.edge_errors.size(), -1);
        for (std::size_t i = 0; i < known.edge_errors.size(); ++i)
            if (known.edge_errors[i] > 0.0) edge_column_[i] = columns_++;
        lever_.assign(stops.size(), 1.0);
        for (const Reading& r : readings) {
            const double arm = detail::span(r.point, drawn.panel);
            lever_[r.stop] = std::max(lever_[r.stop], arm);
            size_ = std::max({size_, arm, std::abs(r.distance), std::abs(r.offset)});
        }
        turn_column_.assign(stops.size(), -1);
        for (std::size_t i = 0; i < stops.size(); ++i)
            if (!is_known(stops[i])) turn_column_[i] = columns_++;
        rows_ = static_cast<Eigen::Index>(readings.size());
        for (const int c : edge_column_) rows_ += c < 0 ? 0 : 1;
        for (const Stop& s : stops) rows_ += std::isfinite(s.standard_error_deg) && !is_known(s) ? 1 : 0;
        if (std::isfinite(known.drilling_error)) rows_ += 4;
        if (std::isfinite(known.apart_error)) rows_ += 2;
        if (known.pivot) rows_ += 2;
    }

    [[nodiscard]] Eigen::Index columns() const { return columns_; }
    [[nodiscard]] double size() const { return size_; }
    [[nodiscard]] double turn(std::size_t stop, const Eigen::VectorXd& x) const {
        const int c = turn_column_[stop];
        return stops_[stop].turn_deg + (c < 0 ? 0.0 : x(c) / lever_[stop] / detail::kDegree);
    }
    [[nodiscard]] double edge(std::size_t i, const Eigen::VectorXd& x) const {
        return edge_column_[i] < 0 ? 0.0 : x(edge_column_[i]);
    }
    [[nodiscard]] int edge_column(std::size_t i) const { return edge_column_[i]; }
    [[nodiscard]] int turn_column(std::size_t i) const { return turn_column_[i]; }
    [[nodiscard]] double lever(std::size_t i) const { return lever_[i]; }

    /// Slopes and readings less the model at x, each row over its standard error; the readings' rows come first.
    void rows(const Eigen::VectorXd& x, Eigen::MatrixXd& a, Eigen::VectorXd& over) const {
        a = Eigen::MatrixXd::Zero(rows_, columns_);
        over = Eigen::VectorXd::Zero(rows_);
        Eigen::Index k = 0;
        for (const Reading& r : readings_) {
            const Point n = r.normal;
            const Point back = detail::turned_back(turn(r.stop, x), n);
            const Point arm = r.point - drawn_.panel;
            a.row(k).head<4>() << -back.x, -back.y, n.x, n.y;
            double stands =
                detail::dot(back, arm) + (detail::dot(n, drawn_.body) - r.offset) + a.row(k).head<4>().dot(x.head<4>());
            if (r.edge != kNoEdge && edge_column_[r.edge] >= 0) {
                a(k, edge_column_[r.edge]) = -1.0;
                stands -= x(edge_column_[r.edge]);
            }
            if (const int c = turn_column_[r.stop]; c >= 0) {
                const Point held = arm - Point{x(0), x(1)};
                a(k, c) = detail::dot(back, detail::square_to(held)) / lever_[r.stop];
            }
            a.row(k) /= r.standard_error;
            over(k) = (r.distance - stands) / r.standard_error;
            ++k;
        }
        const auto prior = [&](Eigen::Index column, double error) {
            a(k, column) = 1.0 / error;
            over(k) = -x(column) / error;
            ++k;
        };
        for (std::size_t i = 0; i < edge_column_.size(); ++i)
            if (edge_column_[i] >= 0) prior(edge_column_[i], known_.edge_errors[i]);
        for (std::size_t i = 0; i < stops_.size(); ++i)
            if (std::isfinite(stops_[i].standard_error_deg) && !is_known(stops_[i]))
                prior(turn_column_[i], stops_[i].standard_error_deg * detail::kDegree * lever_[i]);
        if (std::isfinite(known_.drilling_error))
            for (Eigen::Index c = 0; c < 4; ++c) prior(c, known_.drilling_error);
        if (std::isfinite(known_.apart_error)) {
            for (Eigen::Index c = 0; c < 2; ++c) {
                a(k, c) = -1.0 / known_.apart_error;
                a(k, c + 2) = 1.0 / known_.apart_error;
                over(k) = -(x(c + 2) - x(c)) / known_.apart_error;
                ++k;
            }
        }
        if (known_.pivot) {
            const auto [along, slope, across] = root_of(known_.pivot->covariance);
            const Point off = known_.pivot->place - drawn_.body - Point{x(2), x(3)};
            a(k, 2) = 1.0 / along;
            over(k) = off.x / along;
            a(k + 1, 2) = -slope / across;
            a(k + 1, 3) = 1.0 / across;
            over(k + 1) = (off.y - slope * off.x) / across;
        }
    }

  private:
    std::span<const Reading> readings_;
    std::span<const Stop> stops_;
    const Holes& drawn_;
    const Known& known_;
    std::vector<int> edge_column_;
    std::vector<int> turn_column_;
    std::vector<double> lever_;
    int columns_ = 4;
    Eigen::Index rows_ = 0;
    double size_ = 1.0;
};

using Svd = Eigen::JacobiSVD<Eigen::MatrixXd>;

Eigen::Index rank_of(const Svd& svd) {
    const auto& s = svd.singularValues();
    Eigen::Index rank = 0;
    while (rank < s.size() && s(rank) > kRankRel * s(0)) ++rank;
    return rank;
}

/// The ellipse of one hole: along what was not seen it has no end.
Ellipse hole_ellipse(const HolesFit& fit, std::size_t at, double confidence) {
    const auto value = [&](std::size_t i, std::size_t k) { return fit.covariance[(at + i) * fit.parameters + at + k]; };
    const Covariance c{value(0, 0), value(0, 1), value(1, 1)};
    Eigen::Matrix2Xd loose(2, static_cast<Eigen::Index>(fit.unseen.size()));
    for (std::size_t k = 0; k < fit.unseen.size(); ++k)
        loose.col(static_cast<Eigen::Index>(k)) << fit.unseen[k][at], fit.unseen[k][at + 1];
    if (loose.cols() == 0 || loose.norm() <= kLeanRel) return ellipse(c, confidence);
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(loose, Eigen::ComputeThinU);
    const Eigen::Vector2d along = svd.matrixU().col(0);
    const bool all = svd.singularValues().size() > 1 && svd.singularValues()(1) > kLeanRel;
    const double across = along(1) * along(1) * c.xx - 2.0 * along(0) * along(1) * c.xy + along(0) * along(0) * c.yy;
    double angle = std::atan2(along(1), along(0)) / detail::kDegree;
    if (angle > 90.0) angle -= 180.0;
    if (angle <= -90.0) angle += 180.0;
    const double reach = std::sqrt(-2.0 * std::log1p(-confidence));
    return {kInf, all ? kInf : reach * std::sqrt(std::max(across, 0.0)), angle};
}

/// What bears out each reading; the directions that no unknown can explain are the columns of `spare`.
void check_readings(HolesFit& out, std::span<const Reading> readings, const Eigen::MatrixXd& spare,
                    const Eigen::VectorXd& over) {
    const Eigen::VectorXd left = spare * (spare.transpose() * over);
    double greatest = kAlarm;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        Check c;
        c.residual = left(k) * readings[i].standard_error;
        c.redundancy = spare.cols() == 0 ? 0.0 : std::min(spare.row(k).squaredNorm(), 1.0);
        c.checked = c.redundancy >= kChecked;
        const double root = std::sqrt(c.redundancy);
        c.normalised = c.checked ? left(k) / root : 0.0;
        c.smallest_noticed = c.checked ? (kAlarm + kNoticed) * readings[i].standard_error / root : kInf;
        if (c.checked && std::abs(c.normalised) > greatest) {
            greatest = std::abs(c.normalised);
            out.suspect = i;
        }
        out.checks.push_back(c);
    }
    if (!out.suspect) return;
    const auto s = static_cast<Eigen::Index>(*out.suspect);
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        if (k == s || !out.checks[i].checked) continue;
        const double together = spare.row(k).dot(spare.row(s)) / (spare.row(k).norm() * spare.row(s).norm());
        if (std::abs(together) >= kAlike) out.alike.push_back(i);
    }
}

}  // namespace

const char* word(HolesStatus status) noexcept {
    switch (status) {
        case HolesStatus::both:
            return "both";
        case HolesStatus::partly:
            return "partly";
        case HolesStatus::not_converged:
            break;
    }
    return "not_converged";
}

Ellipse ellipse(const Covariance& c, double confidence) {
    detail::require(confidence > 0.0 && confidence < 1.0, "confidence", confidence, "between 0 and 1");
    detail::require_not_negative("covariance.xx", c.xx);
    detail::require_not_negative("covariance.yy", c.yy);
    detail::require_finite("covariance.xy", c.xy);
    // A variance of rounding may leave the determinant a little below zero.
    constexpr double kRoundingRel = 1e-9;
    const double largest = std::max(c.xx, c.yy);
    detail::require(std::abs(c.xy) <= std::sqrt(c.xx) * std::sqrt(c.yy) + kRoundingRel * largest, "covariance.xy", c.xy,
                    "no larger than the root of the product of the variances");
    const double reach = std::sqrt(-2.0 * std::log1p(-confidence));
    const double half = 0.5 * (c.xx - c.yy);
    const double major = 0.5 * (c.xx + c.yy) + std::hypot(half, c.xy);
    if (major == 0.0) return {};
    const double minor = std::max(detail::difference_of_products(c.xx, c.yy, c.xy, c.xy) / major, 0.0);
    const double angle = 0.5 * std::atan2(c.xy, half) / detail::kDegree;
    return {reach * std::sqrt(major), reach * std::sqrt(minor), angle <= -90.0 ? 90.0 : angle};
}

Agreement agreement(const FoundPivot& one, const FoundPivot& other, double confidence) {
    for (const FoundPivot& found : {one, other}) require_near("pivot", found.place);
    const Covariance& a = one.covariance;
    const Covariance& b = other.covariance;
    for (const Covariance& c : {a, b}) (void)ellipse(c, 0.5);  // refuses what is no covariance
    const Ellipse both = ellipse({a.xx + b.xx, a.xy + b.xy, a.yy + b.yy}, confidence);
    const Point off = other.place - one.place;
    const auto [s, c] = detail::sin_cos_deg(both.angle_deg);
    const double major = c * off.x + s * off.y;
    const double minor = c * off.y - s * off.x;
    const auto within = [](double v, double reach) { return v == 0.0 ? 0.0 : std::abs(v) / reach; };
    return {detail::norm(off), std::hypot(within(major, both.semi_major), within(minor, both.semi_minor)) <= 1.0};
}

HolesFit fit_holes(std::span<const Reading> readings, std::span<const Stop> stops, const Holes& drawn,
                   const Known& known) {
    require_near("drawn.panel", drawn.panel);
    require_near("drawn.body", drawn.body);
    for (const double error : {known.drilling_error, known.apart_error})
        if (error != kInf) require_error("drilling_error", error, 0);
    detail::require(known.confidence > 0.0 && known.confidence < 1.0, "confidence", known.confidence,
                    "between 0 and 1");
    if (known.pivot) require_found(*known.pivot);
    const std::vector<Reading> all = checked(readings, stops, known);
    const Model model(all, stops, drawn, known);

    HolesFit out;
    out.drawn = drawn;
    Eigen::MatrixXd a;
    Eigen::VectorXd over;
    Eigen::VectorXd x = Eigen::VectorXd::Zero(model.columns());
    const bool turns_known = std::all_of(stops.begin(), stops.end(), is_known);
    Svd svd;
    Eigen::Index rank = 0;
    bool settled = false;
    double last = kInf;
    for (int step = 0; step < kMostSteps && !settled; ++step) {
        model.rows(x, a, over);
        svd.compute(a, Eigen::ComputeFullU | Eigen::ComputeFullV);
        rank = rank_of(svd);
        // The whole shift, not the step: what is not seen then stays as near to the drawing as may be.
        const Eigen::VectorXd u = svd.matrixU().leftCols(rank).transpose() * (over + a * x);
        const Eigen::VectorXd next = svd.matrixV().leftCols(rank) * u.cwiseQuotient(svd.singularValues().head(rank));
        const double moved = (next - x).cwiseAbs().maxCoeff();
        // Settled too where the steps have shrunk to rounding and no longer shrink.
        settled = turns_known || moved <= kSettledRel * model.size() || (moved <= 1e-9 * model.size() && moved >= last);
        last = moved;
        x = next;
        if (!x.allFinite()) break;
    }
    if (x.allFinite()) model.rows(x, a, over);
    const bool sound = settled && x.allFinite() && x.cwiseAbs().maxCoeff() <= kFarthest;

    out.parameters = 4 + known.edge_errors.size();
    out.covariance.assign(out.parameters * out.parameters, 0.0);
    out.checks.reserve(all.size());
    if (!sound) {
        out.status = HolesStatus::not_converged;
        out.holes = {{kNaN, kNaN}, {kNaN, kNaN}};
        out.panel_ellipse = out.body_ellipse = {kInf, kInf, 0.0};
        out.covariance.assign(out.parameters * out.parameters, kNaN);
        for (const Stop& s : stops) {
            out.turns_deg.push_back(s.turn_deg);
            out.turn_standard_errors.push_back(s.standard_error_deg);
        }
        out.edges.assign(known.edge_errors.size(), 0.0);
        out.checks.assign(all.size(), Check{kNaN, 0.0, 0.0, kInf, false});
        out.misfit = kNaN;
        out.explanation = detail_fitting::explain(out);
        return out;
    }
    out.holes = {drawn.panel + Point{x(0), x(1)}, drawn.body + Point{x(2), x(3)}};

    const Eigen::MatrixXd half =
        svd.matrixV().leftCols(rank) *
        svd.singularValues().head(rank).cwiseInverse().asDiagonal();  // half half' = covariance
    const Eigen::MatrixXd covariance = half * half.transpose();
    const auto column_of = [&](std::size_t i) { return i < 4 ? static_cast<int>(i) : model.edge_column(i - 4); };
    for (std::size_t i = 0; i < out.parameters; ++i)
        for (std::size_t k = 0; k < out.parameters; ++k)
            if (column_of(i) >= 0 && column_of(k) >= 0)
                out.covariance[i * out.parameters + k] = covariance(column_of(i), column_of(k));

    const Eigen::MatrixXd null = svd.matrixV().rightCols(model.columns() - rank);
    if (null.cols() > 0) {
        const Eigen::JacobiSVD<Eigen::MatrixXd> lean(null.topRows(4), Eigen::ComputeThinU);
        for (Eigen::Index k = 0; k < lean.singularValues().size(); ++k) {
            if (lean.singularValues()(k) <= kLeanRel) break;
            Eigen::Vector4d v = lean.matrixU().col(k);
            Eigen::Index first = 0;
            v.cwiseAbs().maxCoeff(&first);
            if (v(first) < 0.0) v = -v;
            out.unseen.push_back({v(0), v(1), v(2), v(3)});
        }
    }
    for (std::size_t i = 0; i < stops.size(); ++i) {
        const int c = model.turn_column(i);
        out.turns_deg.push_back(model.turn(i, x));
        const bool seen = c < 0 || null.cols() == 0 || null.row(c).norm() <= kLeanRel;
        out.turn_standard_errors.push_back(
            c < 0 ? 0.0 : (seen ? half.row(c).norm() / model.lever(i) / detail::kDegree : kInf));
    }
    for (std::size_t i = 0; i < known.edge_errors.size(); ++i) out.edges.push_back(model.edge(i, x));
    out.status = out.unseen.empty() ? HolesStatus::both : HolesStatus::partly;

    const Eigen::MatrixXd spare = svd.matrixU().rightCols(a.rows() - rank);
    out.spare = static_cast<int>(spare.cols());
    check_readings(out, all, spare, over);
    out.misfit = out.spare > 0 ? (spare.transpose() * over).norm() / std::sqrt(static_cast<double>(out.spare)) : kNaN;
    out.panel_ellipse = hole_ellipse(out, 0, known.confidence);
    out.body_ellipse = hole_ellipse(out, 2, known.confidence);
    out.explanation = detail_fitting::explain(out);
    return out;
}

}  // namespace foldswing::fitting
