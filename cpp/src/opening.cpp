// The shape of an opening from its readings.
#include "opening.hpp"

#include <algorithm>
#include <cmath>
#include <foldswing/opening.hpp>
#include <functional>
#include <limits>
#include <utility>

#include "check.hpp"
#include "dense.hpp"
#include "predicates.hpp"
#include "words.hpp"

namespace foldswing::opening {
namespace {

using detail::cross;
using detail::dot;
using detail::mm;
using detail::norm;
using detail::span;

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kShortest = 1e-3;                 // mm; what no tape shows
constexpr double kShortestSide = 0.5 * kShortest;  // mm; a shape may miss a reading; a shorter side has no direction
constexpr double kLongest = 1e6;                   // mm; a kilometre of opening is a slip of the unit
constexpr double kStep = 1e-14;                    // of the largest size; a step this small is rounding
constexpr int kSteps = 300;     // of the fit; each gains a digit or more where readings are a tenth out
constexpr double kPlain = 2.0;  // one shape is plainly the squarest when the next is this many times worse

constexpr std::size_t kRising = 4;
constexpr std::size_t kFalling = 5;
constexpr std::array<const char*, kReadings> kKeys{"width_top",    "width_bottom",    "height_left",
                                                   "height_right", "diagonal_rising", "diagonal_falling"};
constexpr std::array<const char*, kReadings> kNames{"width at the head",
                                                    "width at the sill",
                                                    "height at the left",
                                                    "height at the right",
                                                    "diagonal from bottom left to top right",
                                                    "diagonal from top left to bottom right"};
/// Which corners each reading joins.
constexpr std::array<std::pair<std::size_t, std::size_t>, kReadings> kEnds{
    {{3, 2}, {0, 1}, {0, 3}, {1, 2}, {0, 2}, {3, 1}}};
/// The triangles that readings make: three readings each.
constexpr std::array<std::array<std::size_t, 3>, 4> kTriangles{
    {{1, 3, kRising}, {2, 0, kRising}, {1, 2, kFalling}, {3, 0, kFalling}}};

using Sizes = std::array<double, kReadings>;  // NaN where not read

double size_of(const Corners& c, std::size_t i) { return span(c[kEnds[i].first], c[kEnds[i].second]); }
Sizes sizes_of(const Corners& c) {
    Sizes out{};
    for (std::size_t i = 0; i < kReadings; ++i) out[i] = size_of(c, i);
    return out;
}

/// The reading between two corners.
std::size_t between(std::size_t a, std::size_t b) {
    for (std::size_t i = 0; i < kReadings; ++i)
        if (kEnds[i] == std::pair{a, b} || kEnds[i] == std::pair{b, a}) return i;
    return kReadings;
}

/// The third corner of a triangle, to the left of a to b, from its distances to both; nothing where it is flat.
/// Kahan's form of Heron's area: 16 area^2 from the sides in falling order, without cancellation.
std::optional<Point> apex(Point a, Point b, double from_a, double from_b) {
    const double base = span(a, b);
    std::array<double, 3> s{base, from_a, from_b};
    std::sort(s.begin(), s.end(), std::greater<>());
    const double flatness = s[2] - (s[0] - s[1]);
    if (!(flatness > 0.0)) return std::nullopt;
    const double area4 = std::sqrt((s[0] + (s[1] + s[2])) * flatness * (s[2] + (s[0] - s[1])) * (s[0] + (s[1] - s[2])));
    const double up = 0.5 * area4 / base;
    const double on = 0.5 * ((from_a - from_b) * ((from_a + from_b) / base) + base);
    const Point u = (1.0 / base) * (b - a);
    return a + on * u + up * detail::square_to(u);
}

/// The shape that five sizes give, without the one left out, in opening axes.
std::optional<Corners> from_five(const Sizes& s, std::size_t left_out) {
    Corners c{};
    const auto size = [&](std::size_t a, std::size_t b) { return s[between(a % 4, b % 4)]; };
    // The base is a diagonal where the other one is left out, else the side across from the side left out.
    const bool on_diagonal = left_out >= kRising;
    std::size_t a = 0;
    std::size_t b = 0;
    if (on_diagonal) {
        a = left_out == kRising ? 1 : 0;
        b = a + 2;
    } else {
        const auto [p, q] = kEnds[left_out];
        const std::size_t from = (p + 1) % 4 == q ? p : q;  // counter-clockwise
        a = (from + 2) % 4;
        b = (from + 3) % 4;
    }
    c[b] = {size(a, b), 0.0};
    const std::size_t next = (b + 1) % 4;  // to the left of a to b
    const std::size_t other = on_diagonal ? (a + 1) % 4 : (b + 2) % 4;
    const auto first = apex(c[a], c[b], size(a, next), size(b, next));
    const auto second = on_diagonal ? apex(c[b], c[a], size(b, other), size(a, other))
                                    : apex(c[a], c[b], size(a, other), size(b, other));
    if (!first || !second) return std::nullopt;
    c[next] = *first;
    c[other] = *second;
    // Into opening axes: the sill along x from the origin.
    const Point origin = c[0];
    const Point sill = c[1] - origin;
    const double length = norm(sill);
    for (Point& p : c) {
        const Point v = p - origin;
        p = {dot(v, sill) / length, cross(sill, v) / length};
    }
    c[0] = {0.0, 0.0};
    c[1] = {length, 0.0};
    return is_convex(c) ? std::optional(c) : std::nullopt;
}

double cost(const Corners& c, const Sizes& read) {
    double sum = 0.0;
    for (std::size_t i = 0; i < kReadings; ++i) sum += (size_of(c, i) - read[i]) * (size_of(c, i) - read[i]);
    return sum;
}

/// Five unknowns: the sill's length and the two upper corners.
using Unknowns = Eigen::Matrix<double, 5, 1>;
Corners moved(const Corners& c, const Unknowns& by) {
    return {c[0], {c[1].x + by[0], 0.0}, {c[2].x + by[1], c[2].y + by[2]}, {c[3].x + by[3], c[3].y + by[4]}};
}

/// Gauss-Newton with a step that is halved until it helps, from a shape that is near.
Corners fit_all(Corners c, const Sizes& read) {
    const double largest = *std::max_element(read.begin(), read.end());
    for (int step = 0; step < kSteps; ++step) {
        Eigen::Matrix<double, 6, 5> slope = Eigen::Matrix<double, 6, 5>::Zero();
        Eigen::Matrix<double, 6, 1> miss;
        for (std::size_t i = 0; i < kReadings; ++i) {
            const auto [a, b] = kEnds[i];
            const double length = span(c[a], c[b]);
            const Point u = (1.0 / length) * (c[b] - c[a]);
            const auto row = static_cast<Eigen::Index>(i);
            miss[row] = length - read[i];
            const auto add = [&](std::size_t corner, Point way) {
                if (corner == 1) slope(row, 0) += way.x;
                if (corner >= 2) {
                    const auto at = static_cast<Eigen::Index>(2 * corner - 3);
                    slope(row, at) += way.x;
                    slope(row, at + 1) += way.y;
                }
            };
            add(b, u);
            add(a, -1.0 * u);
        }
        const Unknowns full = -detail::least_squares(slope, miss).x;
        const double before = cost(c, read);
        double part = 1.0;
        // Near the end the cost no longer tells steps apart: there a full step is right.
        while (part > kStep && cost(moved(c, part * full), read) > before * (1.0 + 1e-12)) part *= 0.5;
        c = moved(c, part * full);
        if (!(part * full.cwiseAbs().maxCoeff() > kStep * largest)) break;
    }
    return c;
}

/// Sum of squared cosines of the corners, and how fast it changes with the cosine at the bottom left.
struct Squareness {
    Corners corners;
    double sum = kInf;
    double slope = 0.0;
};

/// The shape with these four sides whose cosine at the bottom left is k.
Squareness with_cosine(const Sizes& s, double k) {
    const double top = s[0];
    const double sill = s[1];
    const double left = s[2];
    const double right = s[3];
    const double sine = std::sqrt((1.0 - k) * (1.0 + k));
    Squareness out{{Point{0.0, 0.0}, Point{sill, 0.0}, Point{}, Point{left * k, left * sine}}};
    const auto upper_right = apex(out.corners[3], out.corners[1], top, right);
    if (!upper_right) return out;
    out.corners[2] = *upper_right;
    if (!is_convex(out.corners)) return out;
    const auto& c = out.corners;
    const auto cosine = [&](std::size_t at) {
        const Point u = c[(at + 1) % 4] - c[at];
        const Point v = c[(at + 3) % 4] - c[at];
        return dot(u, v) / (norm(u) * norm(v));
    };
    const std::array<double, 4> cosines{k, cosine(1), cosine(2), cosine(3)};
    out.sum = 0.0;
    for (const double v : cosines) out.sum += v * v;
    // Squares of the diagonals, falling: u = sill^2 + left^2 - 2 sill left k; rising: v. Cosines are linear in them.
    const Point w3{left, sine > 0.0 ? -left * k / sine : 0.0};  // how corner 3 moves with k
    const Point a = c[2] - c[3];
    const Point b = c[2] - c[1];
    const double det = cross(a, b);
    const double known = dot(a, w3);
    const Point w2{known * b.y / det, -known * b.x / det};  // a.w2 = a.w3, b.w2 = 0
    const double du = -2.0 * sill * left;
    const double dv = 2.0 * dot(c[2], w2);
    out.slope = 2.0 * (cosines[0] * (-du / (2.0 * sill * left)) + cosines[2] * (-du / (2.0 * top * right)) +
                       cosines[1] * (-dv / (2.0 * sill * right)) + cosines[3] * (-dv / (2.0 * top * left)));
    return out;
}

/// Of all shapes with these four sides, the one nearest square.
std::optional<Corners> nearest_square(const Sizes& s) {
    const double top = s[0];
    const double sill = s[1];
    const double left = s[2];
    const double right = s[3];
    if (top == sill && left == right) return Corners{{{0.0, 0.0}, {sill, 0.0}, {sill, left}, {0.0, left}}};
    const auto cosine = [&](double falling) {
        return std::clamp((sill * (sill / left) + left - falling * (falling / left)) / (2.0 * sill), -1.0, 1.0);
    };
    // The falling diagonal closes a triangle on either side. Shapes near its longest are without reflex corner, if any.
    double low = cosine(std::min(sill + left, top + right));
    double high = cosine(std::max(std::abs(sill - left), std::abs(top - right)));
    constexpr int kParts = 128;
    double best = kNaN;
    for (int zoom = 0; zoom < 40 && std::isnan(best); ++zoom) {
        double least = kInf;
        for (int i = 0; i <= kParts; ++i) {
            const double k = low + (high - low) * i / kParts;
            const double sum = with_cosine(s, k).sum;
            if (sum < least) {
                least = sum;
                best = k;
            }
        }
        const double part = (high - low) / kParts;
        if (std::isnan(best)) {
            high = low + part;
            continue;
        }
        low = std::max(low, best - part);
        high = std::min(high, best + part);
    }
    if (std::isnan(best)) return std::nullopt;
    // Halving on the sign of the slope keeps all digits, where comparing sums would keep half of them. Where the least
    // sum lies at the last shape without a reflex corner, halving ends there.
    for (int i = 0; i < 100 && low < high; ++i) {
        const double middle = 0.5 * (low + high);
        if (middle == low || middle == high) break;
        const Squareness now = with_cosine(s, middle);
        const bool too_high = std::isfinite(now.sum) ? now.slope > 0.0 : middle > best;
        (too_high ? high : low) = middle;
    }
    const Squareness found = with_cosine(s, 0.5 * (low + high));
    return std::isfinite(found.sum) ? found.corners : with_cosine(s, best).corners;
}

/// Why no opening has these sizes.
std::string why_not(const Sizes& s, const std::array<bool, kReadings>& read) {
    for (const auto& triangle : kTriangles)
        for (std::size_t i = 0; i < 3; ++i) {
            const std::size_t longest = triangle[i];
            const std::size_t a = triangle[(i + 1) % 3];
            const std::size_t b = triangle[(i + 2) % 3];
            if (!read[longest] || !read[a] || !read[b] || s[longest] < s[a] + s[b]) continue;
            return "the " + std::string(kNames[longest]) + " (" + mm(s[longest]) + " mm) is as long as the " +
                   kNames[a] + " and the " + kNames[b] + " together (" + mm(s[a]) + " + " + mm(s[b]) +
                   " mm) or longer: one of the three was misread";
        }
    for (std::size_t i = 0; i < kRising; ++i) {
        const double others = s[0] + s[1] + s[2] + s[3] - s[i];
        if (s[i] >= others)
            return "the " + std::string(kNames[i]) + " (" + mm(s[i]) +
                   " mm) is as long as the three other sides together (" + mm(others) +
                   " mm) or longer: one was misread";
    }
    return "with these sizes a corner of the opening would point inward: a reading is far out, or sizes were taken "
           "for each other";
}

double largest(const std::array<double, 4>& v) {
    double out = 0.0;
    for (const double x : v) out = std::max(out, std::abs(x));
    return out;
}

std::string checked_words(const Opening& o, double reading_error) {
    return "all six readings agree: the worst, the " + std::string(kNames[static_cast<std::size_t>(o.worst)]) +
           ", is out by " + mm(o.worst_misfit) + " mm, within the reading error of " + mm(reading_error) + " mm";
}

std::string misread_words(const Opening& o, const Sizes& read, double reading_error) {
    std::string out = "the six readings do not belong to one opening: even the best shape misses one by " +
                      mm(o.worst_misfit) + " mm, more than the reading error of " + mm(reading_error) + " mm. ";
    if (o.suspect) {
        const auto i = static_cast<std::size_t>(*o.suspect);
        return out + "Most likely the " + kNames[i] + " was misread: " + mm(read[i]) +
               " mm, where the others make it " + mm(o.should_read[i]) + " mm and the opening squarest. Read it again";
    }
    out += "The others would agree if one of these were read";
    bool first = true;
    for (std::size_t i = 0; i < kReadings; ++i) {
        if (std::isnan(o.should_read[i])) continue;
        out += std::string(first ? ": " : "; ") + "the " + kNames[i] + " " + mm(o.should_read[i]) + " mm instead of " +
               mm(read[i]);
        first = false;
    }
    return out + ". Read all six again";
}

/// Leaves each reading out in turn: what it should be, and whether the shape is plainly squarer without it.
void leave_out(Opening& o, const Sizes& read) {
    std::array<double, kReadings> out_by{};
    for (std::size_t i = 0; i < kReadings; ++i) {
        const auto shape = from_five(read, i);
        o.should_read[i] = shape ? size_of(*shape, i) : kNaN;
        out_by[i] = shape ? largest(out_of_square(*shape).corners) : kInf;
    }
    const auto* const best = std::min_element(out_by.begin(), out_by.end());
    const auto at = static_cast<std::size_t>(best - out_by.begin());
    double next = kInf;
    for (std::size_t i = 0; i < kReadings; ++i)
        if (i != at) next = std::min(next, out_by[i]);
    if (std::isfinite(*best) && kPlain * *best <= next) o.suspect = static_cast<Reading>(at);
}

}  // namespace

bool is_convex(const Corners& c) {
    for (std::size_t i = 0; i < 4; ++i) {
        if (!(span(c[i], c[(i + 1) % 4]) >= kShortestSide)) return false;
        if (detail::orientation(c[i], c[(i + 1) % 4], c[(i + 2) % 4]) <= 0) return false;
    }
    return true;  // four left turns: no ring of four corners goes round twice
}

void require_opening(const Corners& c) {
    for (const Point p : c) {
        detail::require(std::abs(p.x) <= kLongest && std::abs(p.y) <= kLongest, "opening",
                        std::abs(p.x) <= kLongest ? p.y : p.x, "corners within +-1e6 mm");
    }
    if (!is_convex(c))
        throw InvalidInput("opening", "other corners",
                           "four corners in the order bottom left, bottom right, top right, top left, none of them "
                           "straight or pointing inward, and no side under 0.0005 mm");
}

OutOfSquare out_of_square(const Corners& c) {
    require_opening(c);
    OutOfSquare out;
    for (std::size_t i = 0; i < 4; ++i) {
        const std::size_t across = i >= 2 ? 5 - i : 1 - i;  // the other end of the same sill or head
        const Point blade = c[across] - c[i];
        out.corners[i] = dot(c[3 - i] - c[i], blade) / norm(blade);  // 3 - i: the other end of the same jamb
    }
    const Sizes s = sizes_of(c);
    out.diagonals = s[kRising] - s[kFalling];
    out.widths = s[0] - s[1];
    out.heights = s[2] - s[3];
    return out;
}

Opening fit(const Readings& given, double reading_error) {
    const Sizes read{given.width_top,
                     given.width_bottom,
                     given.height_left,
                     given.height_right,
                     given.diagonal_rising.value_or(kNaN),
                     given.diagonal_falling.value_or(kNaN)};
    const std::array<bool, kReadings> has{
        true, true, true, true, given.diagonal_rising.has_value(), given.diagonal_falling.has_value()};
    for (std::size_t i = 0; i < kReadings; ++i)
        detail::require(!has[i] || (read[i] >= kShortest && read[i] <= kLongest), kKeys[i], read[i],
                        "from 0.001 to 1e6 mm");
    detail::require_not_negative("reading_error", reading_error);

    Opening out;
    out.corners.fill({kNaN, kNaN});
    out.sizes.fill(kNaN);
    out.misfit.fill(kNaN);
    out.should_read.fill(kNaN);
    out.worst_misfit = kNaN;
    out.square = {{kNaN, kNaN, kNaN, kNaN}, kNaN, kNaN, kNaN};

    std::optional<Corners> shape;
    if (has[kRising] && has[kFalling]) {
        out.status = Status::checked;
        double least = kInf;
        for (std::size_t i = 0; i < kReadings; ++i) {
            const auto start = from_five(read, i);
            if (!start) continue;
            const Corners found = fit_all(*start, read);
            if (is_convex(found) && cost(found, read) < least) {
                least = cost(found, read);
                shape = found;
            }
        }
    } else if (has[kRising] || has[kFalling]) {
        out.status = Status::decided;
        shape = from_five(read, has[kRising] ? kFalling : kRising);
    } else {
        out.status = Status::assumed;
        shape = nearest_square(read);
    }
    bool triangles = true;
    for (const auto& t : kTriangles)
        for (std::size_t i = 0; i < 3; ++i)
            if (has[t[0]] && has[t[1]] && has[t[2]] && read[t[i]] >= read[t[(i + 1) % 3]] + read[t[(i + 2) % 3]])
                triangles = false;
    if (!shape || !triangles) {
        out.status = Status::impossible;
        out.explanation = why_not(read, has);
        return out;
    }
    out.corners = *shape;
    out.sizes = sizes_of(*shape);
    out.square = out_of_square(*shape);
    out.worst_misfit = 0.0;
    for (std::size_t i = 0; i < kReadings; ++i) {
        if (!has[i]) continue;
        out.misfit[i] = out.sizes[i] - read[i];
        if (std::abs(out.misfit[i]) > out.worst_misfit) {
            out.worst_misfit = std::abs(out.misfit[i]);
            out.worst = static_cast<Reading>(i);
        }
    }
    if (out.status == Status::checked) {
        if (out.worst_misfit > reading_error) out.status = Status::misread;
        leave_out(out, read);
        if (out.status != Status::misread) out.suspect.reset();
        out.explanation =
            out.status == Status::misread ? misread_words(out, read, reading_error) : checked_words(out, reading_error);
    } else if (out.status == Status::decided) {
        out.explanation = "one diagonal was read: it decides the shape, and nothing checks it. Read the other too";
    } else {
        out.explanation =
            "no diagonal was read: the shape nearest square was assumed. It may lean either way: read both diagonals";
    }
    return out;
}

}  // namespace foldswing::opening
