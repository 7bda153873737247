// Arcs through points: exactly through three, through the middle of many.
#include <algorithm>
#include <cmath>
#include <foldswing/arc.hpp>
#include <limits>

#include "check.hpp"
#include "degrees.hpp"
#include "dense.hpp"
#include "double_double.hpp"

namespace foldswing::arc {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kEps = std::numeric_limits<double>::epsilon();

struct Exact {
    detail::DoubleDouble x;
    detail::DoubleDouble y;
};
Exact between(Point from, Point to) {
    return {detail::two_difference(to.x, from.x), detail::two_difference(to.y, from.y)};
}
double size(const Exact& v) { return std::hypot(v.x.value(), v.y.value()); }
Exact scaled(const Exact& v, double k) { return {{k * v.x.high, k * v.x.low}, {k * v.y.high, k * v.y.low}}; }

void require_point(const char* name, Point p) {
    detail::require_finite(name, p.x);
    detail::require_finite(name, p.y);
}
void require_apart(const char* name, Point p, Point other) {
    if (p == other)
        throw InvalidInput(name, "(" + detail::number_text(p.x) + ", " + detail::number_text(p.y) + ")",
                           "three different points");
}

}  // namespace

ThreePointArc from_points(Point first, Point middle, Point last) {
    require_point("first", first);
    require_point("middle", middle);
    require_point("last", last);
    require_apart("middle", middle, first);
    require_apart("last", last, middle);
    require_apart("last", last, first);
    const double span = std::max(size(between(first, middle)), size(between(middle, last)));
    detail::require(std::isfinite(span), "points", span, "less than 1e308 mm apart");
    const double unit = std::ldexp(1.0, std::ilogb(span));  // a power of two: exact, and squares do not overflow
    const Exact u = scaled(between(first, middle), 1.0 / unit);
    const Exact v = scaled(between(middle, last), 1.0 / unit);
    const double lu = size(u);
    const double lv = size(v);
    const double lw = size(scaled(between(first, last), 1.0 / unit));
    // The turn from one chord to the next is half the arc's; taken from coordinates without rounding, so that a flat
    // arc keeps its digits.
    const double cross = (u.x * v.y - u.y * v.x).value();
    const double dot = (u.x * v.x + u.y * v.y).value();
    if (cross == 0.0) {
        const bool inside = dot > 0.0;
        const double chord = unit * lw;
        return {inside ? ThreePointStatus::straight : ThreePointStatus::outside,
                {kNaN, kNaN},
                kInf,
                0.0,
                0.0,
                chord,
                inside ? 0.0 : kNaN,
                inside ? chord : kNaN};
    }
    const double curvature = 2.0 * (cross / lu / lv) / lw;
    const double radius = unit / std::abs(curvature);
    const double turn = std::atan2(std::abs(cross), dot);
    // Centre from the middle point: (|v|^2 u + |u|^2 v) turned by 90 degrees, over 2 u x v.
    const double a = 0.5 * lv * (lv / cross);
    const double b = 0.5 * lu * (lu / cross);
    const Point to_centre{-(b * v.y.value() + a * u.y.value()), b * v.x.value() + a * u.x.value()};
    return {ThreePointStatus::arc,
            middle + unit * to_centre,
            radius,
            curvature / unit,
            std::copysign(2.0 * detail::atan2_deg(std::abs(cross), dot), cross),
            unit * lw,
            dot >= 0.0 ? 0.5 * unit * lw * std::tan(0.5 * turn) : radius * (1.0 - std::cos(turn)),
            2.0 * radius * turn};
}

namespace {

// Circles are kept as A (x^2 + y^2) + B x + C y + D = 0 up to a factor, in coordinates centred on the points and scaled
// to their spread: straight lines (A = 0) are in the middle of the set, not at its edge.
using Circle = Eigen::Vector4d;
using Rows = Eigen::Matrix<double, Eigen::Dynamic, 2>;

struct Cloud {
    Rows xy;
    Eigen::Vector2d middle;
    double scale;
    double roundoff;  ///< of the coordinates as given, in scaled units
};

Cloud cloud_of(std::span<const Point> points) {
    const auto n = static_cast<Eigen::Index>(points.size());
    Cloud c{Rows(n, 2), {0.0, 0.0}, 1.0, 0.0};
    for (Eigen::Index i = 0; i < n; ++i)
        c.xy.row(i) << points[static_cast<std::size_t>(i)].x, points[static_cast<std::size_t>(i)].y;
    const double largest = c.xy.cwiseAbs().maxCoeff();
    c.middle = (c.xy / static_cast<double>(n)).colwise().sum();
    c.xy.rowwise() -= c.middle.transpose();
    const double reach = c.xy.cwiseAbs().maxCoeff();
    if (reach > 0.0) {
        const double rms = (c.xy / reach).norm() / std::sqrt(static_cast<double>(n));
        c.scale = reach * rms;
        c.xy /= c.scale;
    }
    c.roundoff = kEps * largest / c.scale;
    return c;
}

/// sqrt(B^2 + C^2 - 4 A D): with it the left side of the equation is a distance to first order.
double norm_of(const Circle& p) { return std::sqrt(std::max(p(1) * p(1) + p(2) * p(2) - 4.0 * p(0) * p(3), 0.0)); }

/// Signed distances from the circle, and where asked their derivatives to A, B, C, D: 2 P/(N + |grad P|), smooth
/// through A = 0.
Eigen::VectorXd distances(const Rows& xy, const Circle& p, Eigen::Matrix<double, Eigen::Dynamic, 4>* slopes = nullptr) {
    const double norm = norm_of(p);
    const Eigen::Vector4d d_norm = Eigen::Vector4d(-2.0 * p(3), p(1), p(2), -2.0 * p(0)) / norm;
    Eigen::VectorXd out(xy.rows());
    for (Eigen::Index i = 0; i < xy.rows(); ++i) {
        const double x = xy(i, 0);
        const double y = xy(i, 1);
        const double gx = 2.0 * p(0) * x + p(1);
        const double gy = 2.0 * p(0) * y + p(2);
        const double slope = std::hypot(gx, gy);
        const Eigen::Vector4d row(x * x + y * y, x, y, 1.0);
        const double sum = norm + slope;
        out(i) = 2.0 * p.dot(row) / sum;
        if (slopes == nullptr) continue;
        Eigen::Vector4d d_slope = Eigen::Vector4d::Zero();  // a point on the centre itself has no side to lean to
        if (slope > 0.0) d_slope << 2.0 * (gx * x + gy * y) / slope, gx / slope, gy / slope, 0.0;
        slopes->row(i) = (2.0 * row - out(i) * (d_norm + d_slope)) / sum;
    }
    return out;
}

// The triangular factor carries all that the small problems below need, whatever the number of points.
using detail::triangle;

Circle taubin(const Rows& xy) {
    const Eigen::VectorXd z = xy.rowwise().squaredNorm();
    const double mean = z.mean();
    Eigen::MatrixXd m(xy.rows(), 3);
    m << (z.array() - mean) / (2.0 * std::sqrt(mean)), xy;
    const Eigen::Vector3d v = Eigen::JacobiSVD<Eigen::MatrixXd>(triangle(m), Eigen::ComputeFullV).matrixV().col(2);
    const double a = v(0) / (2.0 * std::sqrt(mean));
    return {a, v(1), v(2), -mean * a};
}

Eigen::MatrixXd algebraic_rows(const Rows& xy) {
    Eigen::MatrixXd m(xy.rows(), 4);
    m << xy.rowwise().squaredNorm(), xy, Eigen::VectorXd::Ones(xy.rows());
    return m;
}

Circle pratt(const Rows& xy) {
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(triangle(algebraic_rows(xy)), Eigen::ComputeFullV);
    const Eigen::Vector4d s = svd.singularValues();
    const Eigen::Matrix4d& v = svd.matrixV();
    if (s(3) <= kEps * s(0)) return v.col(3);  // every point on it
    Eigen::Matrix4d inverse_norm;
    inverse_norm << 0, 0, 0, -0.5, 0, 1, 0, 0, 0, 0, 1, 0, -0.5, 0, 0, 0;
    const Eigen::Matrix4d w = v * s.asDiagonal() * v.transpose();
    // One eigenvalue is negative; the least positive one is the least sum of squares.
    const Eigen::Vector4d least = detail::eigenvectors(w * inverse_norm * w).col(1);
    return v * s.cwiseInverse().asDiagonal() * v.transpose() * least;
}

Circle kasa(const Rows& xy) {
    Eigen::MatrixXd m(xy.rows(), 3);
    m << xy, Eigen::VectorXd::Ones(xy.rows());
    const auto [bcd, rank] = detail::least_squares(m, -xy.rowwise().squaredNorm());
    if (rank < 3) return taubin(xy);  // in line: no circle is nearest, the line is
    return {1.0, bcd(0), bcd(1), bcd(2)};
}

/// As published: least singular vector of [x^2 + y^2, x, y, 1] in the coordinates as given, carried to the scaled ones.
Circle unit_norm(std::span<const Point> points, const Cloud& c) {
    Rows raw(c.xy.rows(), 2);
    for (Eigen::Index i = 0; i < raw.rows(); ++i)
        raw.row(i) << points[static_cast<std::size_t>(i)].x, points[static_cast<std::size_t>(i)].y;
    const Eigen::Vector4d p =
        Eigen::JacobiSVD<Eigen::MatrixXd>(triangle(algebraic_rows(raw)), Eigen::ComputeFullV).matrixV().col(3);
    const Eigen::Vector2d b = p.segment<2>(1) + 2.0 * p(0) * c.middle;
    return {p(0) * c.scale * c.scale, b(0) * c.scale, b(1) * c.scale,
            p(0) * c.middle.squaredNorm() + p.segment<2>(1).dot(c.middle) + p(3)};
}

/// Three directions square to p: the fourth only rescales the equation. They are what Householder's mirror that lays p
/// along the first axis makes of the others.
Eigen::Matrix<double, 4, 3> tangents(const Circle& p) {
    Eigen::Vector4d mirror = p;
    mirror(0) += std::copysign(p.norm(), p(0));
    const Eigen::Vector3d scaled = 2.0 / mirror.squaredNorm() * mirror.tail<3>();
    Eigen::Matrix<double, 4, 3> out = -mirror * scaled.transpose();
    out.bottomRows<3>() += Eigen::Matrix3d::Identity();
    return out;
}

struct Search {
    Circle circle;
    int iterations;
    bool converged;
};

constexpr int kMaxSteps = 200;
// Below this gain, relative to the sum of squares, the sum is flat to rounding and steps are judged by their own size
// instead.
constexpr double kFlatGain = 1e-9;

Search geometric(const Rows& xy, Circle p) {
    Eigen::Matrix<double, Eigen::Dynamic, 4> slopes(xy.rows(), 4);
    p.normalize();
    double damping = 1e-3;  // relative to the steepest direction; grows until a step helps
    double last_step = std::numeric_limits<double>::infinity();
    bool flat = false;
    const double nothing = kEps * kEps * static_cast<double>(xy.rows());
    for (int i = 1; i <= kMaxSteps; ++i) {
        const Eigen::VectorXd r = distances(xy, p, &slopes);
        const double sum = r.squaredNorm();
        const Eigen::Matrix<double, 4, 3> t = tangents(p);
        Eigen::MatrixXd rows(xy.rows(), 4);
        rows << slopes * t, r;
        const Eigen::Matrix4d turned = triangle(rows);  // the distances as its last column
        const Eigen::Matrix3d upper = turned.topLeftCorner<3, 3>();
        const Eigen::Vector3d head = turned.col(3).head<3>();
        Eigen::Matrix<double, 6, 3> stacked;
        stacked << upper, (flat ? 0.0 : damping * upper.norm()) * Eigen::Matrix3d::Identity();
        Eigen::Matrix<double, 6, 1> wanted = Eigen::Matrix<double, 6, 1>::Zero();
        wanted.head<3>() = -head;
        const Eigen::Vector3d step = detail::least_squares(stacked, wanted).x;
        const Circle next = (p + t * step).normalized();
        if (flat) {
            if (!(step.norm() < 0.9 * last_step)) return {p, i, true};
            last_step = step.norm();
            p = next;
            continue;
        }
        const double gain = head.squaredNorm() - (head + upper * step).squaredNorm();
        if (distances(xy, next).squaredNorm() <= sum) {
            p = next;
            damping *= 0.1;
        } else {
            damping = std::max(10.0 * damping, 1e-6);
        }
        flat = gain <= kFlatGain * sum + nothing && damping < 1.0;
        if (damping > 1e12) return {p, i, true};  // no direction helps at all: a minimum to rounding
    }
    return {p, kMaxSteps, flat};
}

void require_fit_points(std::span<const Point> points, std::optional<double> reading_error) {
    if (points.size() < 3)
        throw InvalidInput("points", std::to_string(points.size()) + " points", "at least three points");
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (!std::isfinite(points[i].x) || !std::isfinite(points[i].y))
            throw InvalidInput("points", std::isfinite(points[i].x) ? points[i].y : points[i].x, "finite")
                .at(std::to_string(i));
        if (std::max(std::abs(points[i].x), std::abs(points[i].y)) > 1e150)
            throw InvalidInput("points", std::max(std::abs(points[i].x), std::abs(points[i].y)),
                               "at most 1e150 mm from the origin")
                .at(std::to_string(i));
    }
    const auto other = std::find_if(points.begin(), points.end(), [&](Point p) { return p != points.front(); });
    const bool three = other != points.end() &&
                       std::any_of(other, points.end(), [&](Point p) { return p != points.front() && p != *other; });
    if (!three) throw InvalidInput("points", "fewer", "at least three different points");
    if (reading_error) detail::require_positive("reading_error", *reading_error);
}

}  // namespace

Fit fit(std::span<const Point> points, FitMethod method, std::optional<double> reading_error) {
    require_fit_points(points, reading_error);
    const Cloud cloud = cloud_of(points);
    Search found{Circle::Zero(), 0, true};
    switch (method) {
        case FitMethod::geometric:
            found = geometric(cloud.xy, taubin(cloud.xy));
            break;
        case FitMethod::taubin:
            found.circle = taubin(cloud.xy);
            break;
        case FitMethod::pratt:
            found.circle = pratt(cloud.xy);
            break;
        case FitMethod::kasa:
            found.circle = kasa(cloud.xy);
            break;
        case FitMethod::unit_norm:
            found.circle = unit_norm(points, cloud);
            break;
    }
    Circle p = found.circle.normalized();
    if (p(0) < 0.0) p = -p;  // outside positive
    const double norm = norm_of(p);
    Eigen::Matrix<double, Eigen::Dynamic, 4> slopes(cloud.xy.rows(), 4);
    const Eigen::VectorXd r = distances(cloud.xy, p, &slopes);
    const auto n = static_cast<double>(points.size());

    const double curvature = 2.0 * p(0) / norm;
    const double reach = cloud.xy.rowwise().norm().maxCoeff();
    // Straight: the bow between the points is no more than the rounding of their coordinates.
    const bool line = 0.5 * curvature * reach * reach <= 8.0 * cloud.roundoff;

    const Eigen::Matrix<double, 4, 3> t = tangents(p);
    const Eigen::Matrix3d upper = triangle(slopes * t);
    const double free = n - 3.0;
    const double scatter =
        reading_error ? *reading_error / cloud.scale : (free > 0.0 ? r.norm() / std::sqrt(free) : kNaN);
    const auto deviation = [&](const Eigen::Vector4d& gradient) {
        const Eigen::Vector3d g = t.transpose() * gradient;
        return Eigen::Vector3d(scatter * upper.transpose().triangularView<Eigen::Lower>().solve(g));
    };
    const auto standard_error = [&](const Eigen::Vector4d& gradient) { return deviation(gradient).norm(); };
    const Eigen::Vector4d d_norm = Eigen::Vector4d(-2.0 * p(3), p(1), p(2), -2.0 * p(0)) / norm;
    const Eigen::Vector4d along_a(1.0, 0.0, 0.0, 0.0);

    Fit out;
    out.method = method;
    out.iterations = found.iterations;
    out.status = line ? FitStatus::straight : found.converged ? FitStatus::circle : FitStatus::not_converged;
    out.rms = cloud.scale * r.norm() / std::sqrt(n);
    out.curvature_standard_error =
        standard_error(2.0 / norm * along_a - 2.0 * p(0) / (norm * norm) * d_norm) / cloud.scale;
    if (line) {
        out.centre = out.centre_standard_error = {kNaN, kNaN};
        out.centre_covariance = kNaN;
        out.radius = kInf;
        out.radius_standard_error = kNaN;
        out.curvature = 0.0;
    } else {
        const double k = 0.5 / p(0);
        out.centre = {cloud.middle(0) - cloud.scale * k * p(1), cloud.middle(1) - cloud.scale * k * p(2)};
        out.radius = cloud.scale * k * norm;
        out.curvature = curvature / cloud.scale;
        const Eigen::Vector3d across = cloud.scale * deviation({2.0 * k * k * p(1), -k, 0.0, 0.0});
        const Eigen::Vector3d up = cloud.scale * deviation({2.0 * k * k * p(2), 0.0, -k, 0.0});
        out.centre_standard_error = {across.norm(), up.norm()};
        out.centre_covariance = across.dot(up);
        out.radius_standard_error = cloud.scale * standard_error(k * d_norm - 2.0 * k * k * norm * along_a);
    }
    for (Eigen::Index i = 0; i < r.size(); ++i) {
        out.residuals.push_back(cloud.scale * r(i));
        Eigen::Vector2d away = 2.0 * p(0) * cloud.xy.row(i).transpose() + p.segment<2>(1);
        if (away.norm() > 0.0)
            away.normalize();
        else
            away = {1.0, 0.0};  // on the centre: every foot is as near
        const Eigen::Vector2d foot = cloud.middle + cloud.scale * (cloud.xy.row(i).transpose() - r(i) * away);
        out.feet.push_back({foot(0), foot(1)});
    }
    if (out.status == FitStatus::not_converged)
        out.explanation = "the search did not settle; measure more of the arc";
    else if (line)
        out.explanation = "the points lie along a straight line as closely as they are written";
    else if (out.curvature <= 2.0 * out.curvature_standard_error)  // two standard errors: about 95 % of readings
        out.explanation = "a straight line fits almost as well: the bow is within the scatter of the points";
    else
        out.explanation = "a circle passes through the middle of the points";
    return out;
}

}  // namespace foldswing::arc
