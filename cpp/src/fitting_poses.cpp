// One pivot for poses that were measured, or for an arc that was traced.
#include <algorithm>
#include <cmath>
#include <foldswing/fitting.hpp>

#include "check.hpp"
#include "degrees.hpp"
#include "dense.hpp"
#include "predicates.hpp"
#include "words.hpp"

namespace foldswing::fitting {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kFarthest = 1e9;  // mm; a thousand kilometres is no shop's coordinate
constexpr double kBeyond = 1e100;  // mm; as for the strips of landings
constexpr std::size_t kMostPoses = 10000;
constexpr double kLeastWeight = 1e-12;  // weights so far apart that the lighter pose says nothing in doubles
constexpr double kMostWeight = 1e12;
// Poses as near to one another as the rounding of their own numbers are the same.
constexpr double kStoredRel = 4.0 * std::numeric_limits<double>::epsilon();

void require_poses(std::span<const Pose> poses, std::span<const double> weights, std::optional<double> pose_error) {
    if (poses.size() < 2 || poses.size() > kMostPoses)
        throw InvalidInput("poses", std::to_string(poses.size()) + " poses", "2 to 10000");
    for (std::size_t i = 0; i < poses.size(); ++i) {
        try {
            require_valid(poses[i]);
        } catch (const InvalidInput& e) {
            throw e.at(std::to_string(i));
        }
        if (std::max(std::abs(poses[i].x), std::abs(poses[i].y)) > kFarthest)
            throw InvalidInput("poses", std::max(std::abs(poses[i].x), std::abs(poses[i].y)),
                               "within 1e9 mm of the origin")
                .at(std::to_string(i));
    }
    if (!weights.empty() && weights.size() != poses.size())
        throw InvalidInput("weights", std::to_string(weights.size()) + " weights", "one for each pose, or none");
    for (std::size_t i = 0; i < weights.size(); ++i)
        if (!(weights[i] >= kLeastWeight && weights[i] <= kMostWeight))
            throw InvalidInput("weights", weights[i], "from 1e-12 to 1e12").at(std::to_string(i));
    if (pose_error) detail::require_positive("pose_error", *pose_error);
}

double spread_of(const Eigen::VectorXd& residuals, int spare, std::optional<double> given) {
    if (given) return *given;
    return spare > 0 ? residuals.norm() / std::sqrt(static_cast<double>(spare)) : kNaN;
}

/// All headings alike: a slide along a straight line, or no movement at all.
PosePivot slide(std::span<const Pose> poses, const Eigen::VectorXd& root_weight, double largest) {
    PosePivot out;
    const auto n = static_cast<Eigen::Index>(poses.size());
    Eigen::Matrix<double, Eigen::Dynamic, 2> moved(n, 2);
    for (Eigen::Index i = 0; i < n; ++i) {
        const Pose& p = poses[static_cast<std::size_t>(i)];
        moved.row(i) << p.x - poses[0].x, p.y - poses[0].y;
    }
    const Eigen::VectorXd weight = root_weight.cwiseAbs2();
    const Eigen::RowVector2d middle = (weight.asDiagonal() * moved).colwise().sum() / weight.sum();
    const Eigen::MatrixXd rows = root_weight.asDiagonal() * (moved.rowwise() - middle);
    out.residuals.assign(poses.size(), Point{});
    out.pivot = out.panel_point = out.direction = {kNaN, kNaN};
    out.covariance = {kNaN, kNaN, kNaN};
    out.scatter = kNaN;
    if (moved.cwiseAbs().maxCoeff() <= kStoredRel * largest) {
        out.explanation = "the poses are one and the same: every point would do as pivot";
        return out;
    }
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(rows, Eigen::ComputeThinU | Eigen::ComputeThinV);
    Eigen::Vector2d along = svd.matrixV().col(0);
    if (along.dot(moved.row(n - 1).transpose()) < 0.0) along = -along;
    out.status = hinge::PoleStatus::infinity;
    out.direction = {-along(1), along(0)};
    Eigen::VectorXd off(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const double d = (moved.row(i) - middle).dot(Eigen::RowVector2d(-along(1), along(0)));
        out.residuals[static_cast<std::size_t>(i)] = d * out.direction;
        off(i) = root_weight(i) * d;
    }
    out.scatter = spread_of(off, static_cast<int>(n) - 2, std::nullopt);
    out.explanation =
        "the panel slides and does not turn: the pivot is at infinity, square to the slide; no hole can be drilled "
        "there";
    return out;
}

}  // namespace

PosePivot pivot_from_poses(std::span<const Pose> poses, std::span<const double> weights,
                           std::optional<double> pose_error) {
    require_poses(poses, weights, pose_error);
    const auto n = static_cast<Eigen::Index>(poses.size());
    Eigen::VectorXd root_weight = Eigen::VectorXd::Ones(n);
    for (std::size_t i = 0; i < weights.size(); ++i) root_weight(static_cast<Eigen::Index>(i)) = std::sqrt(weights[i]);
    double largest = 0.0;
    double turn = 0.0;
    double heading = 0.0;
    for (const Pose& p : poses) {
        largest = std::max({largest, std::abs(p.x), std::abs(p.y)});
        heading = std::max(heading, std::abs(p.angle_deg));
        turn = std::max(turn, std::abs(std::remainder(p.angle_deg - poses[0].angle_deg, 360.0)));
    }
    if (turn <= kStoredRel * heading) return slide(poses, root_weight, largest);

    // Unknown: the panel point, in axes turned with pose 0, and how far pose 0 itself misses the pivot. Pose i then
    // misses it by t_i - t_0 + (R_i R_0' - I) p - u.
    Eigen::MatrixXd a(2 * n, 4);
    Eigen::VectorXd b(2 * n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const Pose& p = poses[static_cast<std::size_t>(i)];
        const double by = p.angle_deg - poses[0].angle_deg;
        const double s = detail::sin_deg(by);
        const double c = -detail::one_minus_cos_deg(by);
        a.row(2 * i) << c, -s, -1.0, 0.0;
        a.row(2 * i + 1) << s, c, 0.0, -1.0;
        b(2 * i) = -(p.x - poses[0].x);
        b(2 * i + 1) = -(p.y - poses[0].y);
        a.middleRows(2 * i, 2) *= root_weight(i);
        b.segment(2 * i, 2) *= root_weight(i);
    }
    Eigen::Vector4d scale = a.colwise().norm();
    for (Eigen::Index k = 0; k < 4; ++k) a.col(k) /= scale(k);
    Eigen::MatrixXd rows(2 * n, 5);
    rows << a, b;
    const Eigen::MatrixXd turned = detail::triangle(rows);
    const Eigen::Matrix4d upper = turned.topLeftCorner<4, 4>();
    const Eigen::Vector4d head = turned.col(4).head<4>();
    const Eigen::Vector4d x = upper.triangularView<Eigen::Upper>().solve(head).cwiseQuotient(scale);
    const Eigen::VectorXd residual = a * x.cwiseProduct(scale) - b;

    PosePivot out;
    out.status = hinge::PoleStatus::point;
    out.direction = {kNaN, kNaN};
    out.pivot = {poses[0].x + x(0) + x(2), poses[0].y + x(1) + x(3)};
    const auto [s0, c0] = detail::sin_cos_deg(poses[0].angle_deg);
    out.panel_point = {c0 * x(0) + s0 * x(1), -s0 * x(0) + c0 * x(1)};
    if (n == 2) {  // exactly the pole, by its own closed form
        const hinge::Pole pole = hinge::pole(poses[0], poses[1]);
        if (pole.status == hinge::PoleStatus::point) out.pivot = pole.pivot;
    }
    // A turn so small that its pole lies beyond any measure is a slide.
    if (!(std::abs(out.pivot.x) <= kBeyond && std::abs(out.pivot.y) <= kBeyond) || !x.allFinite())
        return slide(poses, root_weight, largest);
    for (Eigen::Index i = 0; i < n; ++i)
        out.residuals.push_back({residual(2 * i) / root_weight(i), residual(2 * i + 1) / root_weight(i)});
    out.scatter = spread_of(residual, static_cast<int>(2 * n - 4), pose_error);
    // pivot = t_0 + p + u: its gradient picks both.
    Eigen::Matrix<double, 4, 2> gradient;
    gradient << 1.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 1.0;
    const Eigen::Matrix<double, 4, 2> half = out.scatter * upper.transpose().triangularView<Eigen::Lower>().solve(
                                                               scale.cwiseInverse().asDiagonal() * gradient);
    out.covariance = {half.col(0).squaredNorm(), half.col(0).dot(half.col(1)), half.col(1).squaredNorm()};
    out.explanation = n == 2 ? "the pole of the two poses; nothing checks it: measure a third"
                             : "one pivot for " + std::to_string(n) + " poses, by least squares";
    return out;
}

ArcPivot pivot_from_arc(std::span<const Point> points, std::optional<double> reading_error) {
    const arc::Fit fit = arc::fit(points, arc::FitMethod::geometric, reading_error);
    ArcPivot out;
    out.status = fit.status;
    out.pivot = fit.centre;
    out.radius = fit.radius;
    out.covariance = {fit.centre_standard_error.x * fit.centre_standard_error.x, fit.centre_covariance,
                      fit.centre_standard_error.y * fit.centre_standard_error.y};
    if (fit.status == arc::FitStatus::straight) {
        out.explanation = "the trace is straight: the pivot is too far off to be found from it; trace a longer arc";
        return out;
    }
    // The widest empty angle seen from the centre; what is left was swept.
    std::vector<double> seen;
    for (const Point& p : points) seen.push_back(std::atan2(p.y - fit.centre.y, p.x - fit.centre.x) / detail::kDegree);
    std::sort(seen.begin(), seen.end());
    double empty = seen.front() + 360.0 - seen.back();
    for (std::size_t i = 1; i < seen.size(); ++i) empty = std::max(empty, seen[i] - seen[i - 1]);
    out.swept_deg = 360.0 - empty;
    const double farther = std::sqrt(std::max(out.covariance.xx, out.covariance.yy));
    out.explanation = fit.status == arc::FitStatus::not_converged ? fit.explanation
                      : std::isfinite(farther)
                          ? "the trace gives the pivot to about " + detail::mm(farther) +
                                " mm (standard error); an arc twice as long gives it several times better"
                          : "three points give the pivot; nothing checks it: take more points along the trace";
    return out;
}

}  // namespace foldswing::fitting
