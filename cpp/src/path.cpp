#include <algorithm>
#include <cmath>
#include <foldswing/plane.hpp>
#include <limits>
#include <numbers>
#include <string>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "predicates.hpp"
#include "rings.hpp"

namespace foldswing {
namespace {

constexpr double kMostPoints = 1e6;     // of a flattened path: beyond it a sagitta is surely a slip of the pen
constexpr double kWidestStep = 90.0;    // degrees: a circle keeps at least four corners, however coarse the sagitta
constexpr double kProbeStep = 5.0;      // degrees of arc between the corners by which a crossing is looked for
constexpr double kFlat = 1e-6;          // degrees: below it x / sin x is 1 to the last bit
constexpr double kRoundingRel = 1e-12;  // of a side: two radii that use it up to within rounding meet in one point

std::string at_index(const char* name, std::size_t i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

/// v turned by an angle in degrees.
Point turned(Point v, double angle_deg) {
    const auto [s, c] = detail::sin_cos_deg(angle_deg);
    return {c * v.x - s * v.y, s * v.x + c * v.y};
}

}  // namespace

Path::Path(std::vector<Point> points, std::vector<double> sweep_deg, bool closed)
    : points_(std::move(points)), sweep_deg_(std::move(sweep_deg)), closed_(closed) {
    if (points_.size() < 2) throw InvalidInput("points", std::to_string(points_.size()), "at least two points");
    const std::size_t wanted = closed_ ? points_.size() : points_.size() - 1;
    if (sweep_deg_.size() != wanted)
        throw InvalidInput("sweep_deg", std::to_string(sweep_deg_.size()) + " values",
                           "one value a segment (" + std::to_string(wanted) + ")");
    for (std::size_t i = 0; i < points_.size(); ++i)
        if (!std::isfinite(points_[i].x) || !std::isfinite(points_[i].y))
            throw InvalidInput(at_index("points", i), detail::point_text(points_[i]), "finite");
    for (std::size_t i = 0; i < wanted; ++i) {
        if (!(std::abs(sweep_deg_[i]) < 360.0))
            throw InvalidInput(at_index("sweep_deg", i), sweep_deg_[i], "between -360 and 360 degrees");
        if (start(i) == end(i))
            throw InvalidInput(at_index("points", (i + 1) % points_.size()), detail::point_text(end(i)),
                               "away from the point before it (a full circle is two half turns)");
    }
}

double Path::radius(std::size_t i) const {
    const double half = detail::sin_deg(0.5 * std::abs(sweep_deg_[i]));
    return 0.5 * detail::span(start(i), end(i)) / half;  // a straight segment: infinite
}

Point Path::centre(std::size_t i) const {
    const double sweep = sweep_deg_[i];
    if (sweep == 0.0) return {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN()};
    const auto [s, c] = detail::sin_cos_deg(0.5 * sweep);
    const Point chord = end(i) - start(i);
    return start(i) + 0.5 * chord + 0.5 * c / s * detail::square_to(chord);
}

Point Path::at(std::size_t i, double t) const {
    if (t <= 0.0) return start(i);
    if (t >= 1.0) return end(i);
    const double sweep = sweep_deg_[i];
    const Point chord = end(i) - start(i);
    if (sweep == 0.0) return start(i) + t * chord;
    // From the start, by the chord of the part: no centre, so flat arcs keep their digits.
    const double half = 0.5 * sweep;
    const double ratio = std::abs(half) < kFlat ? t : detail::sin_deg(t * half) / detail::sin_deg(half);
    return start(i) + ratio * turned(chord, -0.5 * (1.0 - t) * sweep);
}

double Path::length(std::size_t i) const {
    const double chord = detail::span(start(i), end(i));
    const double half = 0.5 * std::abs(sweep_deg_[i]);
    return half < kFlat ? chord : chord * (half * detail::kDegree / detail::sin_deg(half));
}

double Path::length() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < size(); ++i) sum += length(i);
    return sum;
}

std::vector<Point> Path::flatten(double sagitta) const {
    detail::require_positive("sagitta", sagitta);
    std::vector<double> steps(size(), 1.0);
    double total = 0.0;
    for (std::size_t i = 0; i < size(); ++i) {
        // A chord over an angle h stands r (1 - cos(h/2)) = 2 r sin^2(h/4) off its arc; 2 r sin(sweep/2) is the chord.
        const double sweep = std::abs(sweep_deg_[i]);
        const double s = std::sqrt(sagitta / detail::span(start(i), end(i)) * detail::sin_deg(0.5 * sweep));
        const double widest = s < 1.0 ? std::min(kWidestStep, 4.0 * std::asin(s) / detail::kDegree) : kWidestStep;
        // An even number: the middle of an arc, where a swing touches it most often, is then a corner.
        if (widest > 0.0 && sweep > widest) steps[i] = 2.0 * std::ceil(0.5 * sweep / widest);
        total += steps[i];
    }
    if (!(total <= kMostPoints))
        throw InvalidInput("sagitta", sagitta, "coarse enough for the path to need at most a million points");
    std::vector<Point> out;
    out.reserve(static_cast<std::size_t>(total) + 1);
    for (std::size_t i = 0; i < size(); ++i)
        for (int k = 0; k < steps[i]; ++k) out.push_back(at(i, k / steps[i]));
    if (!closed_) out.push_back(points_.back());
    return out;
}

Outline Path::outline(double sagitta) const {
    if (!closed_) throw InvalidInput("path", "an open one", "closed to bound an outline");
    return Outline(flatten(sagitta));
}

Path Path::moved(const Pose& pose) const {
    require_valid(pose);
    Path out = *this;
    pose.apply(out.points_, out.points_);
    return out;
}

Path Path::mirrored(Point on, Point direction) const {
    Path out = *this;
    for (Point& p : out.points_) p = mirror(p, on, direction);
    for (double& sweep : out.sweep_deg_) sweep = 0.0 - sweep;  // not -sweep: 0 stays 0
    return out;
}

Path Path::reversed() const {
    Path out = *this;
    std::reverse(out.points_.begin() + (closed_ ? 1 : 0), out.points_.end());
    std::reverse(out.sweep_deg_.begin(), out.sweep_deg_.end());
    for (double& sweep : out.sweep_deg_) sweep = 0.0 - sweep;
    return out;
}

Path with_ear(const Path& ring, std::size_t side, const Ear& ear) {
    detail::require_positive("ear.radius", ear.radius);
    detail::require_finite("ear.inside", ear.inside);
    if (!ring.closed()) throw InvalidInput("ring", "an open path", "closed");
    if (side >= ring.size() || ring.sweep_deg()[side] != 0.0)
        throw InvalidInput("side", std::to_string(side), "a straight side of the ring");
    const Point from = ring.start(side);
    const Point to = ring.end(side);
    const double length = detail::span(from, to);
    detail::require(ear.along >= 0.0 && ear.along <= length, "ear.along", ear.along, "within the side it stands on");
    if (ear.inside >= ear.radius) return ring;

    // In the side's own axes: s along it, z past it. The arc begins and ends half_width from the pin, unless the side
    // ends before: then where the circle stands above the side's end.
    const auto leg = [&](double other) { return std::sqrt((ear.radius - other) * (ear.radius + other)); };
    const double half_width = ear.inside > 0.0 ? leg(ear.inside) : ear.radius;
    const double foot_z = ear.inside > 0.0 ? 0.0 : -ear.inside;
    struct End {
        double s;  // from the pin along the side, >= 0
        double z;
    };
    const auto end = [&](double room) {
        return half_width <= room ? End{half_width, foot_z} : End{room, leg(room) - ear.inside};
    };
    const End first = end(ear.along);
    const End last = end(length - ear.along);
    const double sweep =
        (std::atan2(first.s, first.z + ear.inside) + std::atan2(last.s, last.z + ear.inside)) / detail::kDegree;
    const Point u{(to.x - from.x) / length, (to.y - from.y) / length};
    const auto at = [&](double s, double z) { return from + Point{s * u.x + z * u.y, s * u.y - z * u.x}; };

    std::vector<Point> points;
    std::vector<double> sweeps;
    const auto add = [&](Point p, double turn) {
        if (!points.empty() && points.back() == p) {
            sweeps.back() = turn;
            return;
        }
        points.push_back(p);
        sweeps.push_back(turn);
    };
    for (std::size_t i = 0; i < ring.size(); ++i) {
        add(ring.start(i), ring.sweep_deg()[i]);
        if (i != side) continue;
        const bool cut_first = first.s < half_width;  // by the end of the side
        const bool cut_last = last.s < half_width;
        if (!cut_first) add(at(ear.along - first.s, 0.0), 0.0);
        add(at(ear.along - first.s, first.z), sweep);
        add(at(ear.along + last.s, last.z), 0.0);
        if (!cut_last && last.z > 0.0) add(at(ear.along + last.s, 0.0), 0.0);
    }
    if (points.back() == points.front()) {
        points.pop_back();
        sweeps.pop_back();
    }
    return {std::move(points), std::move(sweeps), true};
}

Path round_corners(const Outline& outline, std::span<const double> radii) {
    const Ring& ring = outline.corners();
    const std::size_t n = ring.size();
    if (!outline.holes().empty())
        throw InvalidInput("outline", std::to_string(outline.holes().size()) + " holes",
                           "without holes: round each ring by itself");
    if (radii.size() != 1 && radii.size() != n)
        throw InvalidInput("radii", std::to_string(radii.size()) + " values",
                           "one radius, or one a corner (" + std::to_string(n) + ")");
    for (std::size_t i = 0; i < radii.size(); ++i)
        detail::require_not_negative(radii.size() == 1 ? "radii" : at_index("radii", i).c_str(), radii[i]);
    const auto radius = [&](std::size_t i) { return radii[radii.size() == 1 ? 0 : i]; };
    const auto next = [n](std::size_t i) { return i + 1 == n ? 0 : i + 1; };

    std::vector<double> turn_deg(n);  // at corner i, counter-clockwise positive
    std::vector<double> tangent(n);   // from corner i to where its arc begins and ends
    for (std::size_t i = 0; i < n; ++i) {
        const Point before = ring[i] - ring[i == 0 ? n - 1 : i - 1];
        const Point after = ring[next(i)] - ring[i];
        const double c = detail::dot(before, after);
        const double s = detail::cross(before, after);
        const double whole = detail::norm(before) * detail::norm(after);
        turn_deg[i] = std::atan2(s, c) / detail::kDegree;
        // tan of half the turn, from whichever form adds
        tangent[i] = radius(i) * (c >= 0.0 ? std::abs(s) / (whole + c) : (whole - c) / std::abs(s));
        if (s == 0.0) tangent[i] = 0.0;
    }
    std::vector<bool> used_up(n);  // side i, from corner i to the next, has no straight part left
    for (std::size_t i = 0; i < n; ++i) {
        const double have = detail::span(ring[i], ring[next(i)]);
        const double need = tangent[i] + tangent[next(i)];
        if (need > have * (1.0 + kRoundingRel))
            throw InvalidInput("radii", detail::number_text(radius(i)) + " and " + detail::number_text(radius(next(i))),
                               "small enough for the sides: " + detail::side_text(ring, i) + " is " +
                                   detail::number_text(have) + " mm long and the radii at its ends use " +
                                   detail::number_text(need) + " mm");
        used_up[i] = tangent[i] > 0.0 && tangent[next(i)] > 0.0 && need >= have * (1.0 - kRoundingRel);
    }
    std::vector<Point> points;
    std::vector<double> sweep_deg;
    const auto add = [&](Point p, double sweep) {
        points.push_back(p);
        sweep_deg.push_back(sweep);
    };
    for (std::size_t i = 0; i < n; ++i) {
        if (tangent[i] == 0.0) {
            add(ring[i], 0.0);
            continue;
        }
        const auto towards = [&](std::size_t j) {
            const double length = detail::span(ring[i], ring[j]);
            if (tangent[i] == length) return ring[j];
            return ring[i] + tangent[i] / length * (ring[j] - ring[i]);
        };
        add(towards(i == 0 ? n - 1 : i - 1), turn_deg[i]);
        if (!used_up[i]) add(towards(next(i)), 0.0);
    }
    // An arc that takes a whole side away and leaves the next corner as it is ends on that corner.
    for (std::size_t i = points.size(); i-- > 0;) {
        const std::size_t j = (i + 1) % points.size();
        if (points[i] == points[j] && sweep_deg[i] == 0.0) {
            points.erase(points.begin() + static_cast<std::ptrdiff_t>(i));
            sweep_deg.erase(sweep_deg.begin() + static_cast<std::ptrdiff_t>(i));
        }
    }
    Path path(std::move(points), std::move(sweep_deg), true);
    Ring probe;  // fine enough to see another part of the outline in the way of an arc
    for (std::size_t i = 0; i < path.size(); ++i) {
        const double steps = std::max(1.0, std::ceil(std::abs(path.sweep_deg()[i]) / kProbeStep));
        for (int k = 0; k < steps; ++k) probe.push_back(path.at(i, k / steps));
    }
    try {
        [[maybe_unused]] const Outline checked(std::move(probe));
    } catch (const InvalidInput& e) {
        throw InvalidInput("radii", e.value(), "small enough for the rounded outline not to cross itself");
    }
    return path;
}

}  // namespace foldswing
