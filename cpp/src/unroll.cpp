#include "unroll.hpp"

#include <algorithm>
#include <array>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::development::detail {
namespace {

using foldswing::detail::kDegree;
using foldswing::detail::number_text;

constexpr double kIntegralRel = 1e-14;  // of the whole: a hundred times what rounding leaves of a sum of twelve
constexpr double kAngleLeast = 1e-16;   // radians: 1e-10 mm at the end of a ruling a kilometre long
constexpr int kHalvings = 40;           // of the interval; what is left then is 1e-12 of it
constexpr int kMostHalvings = 1000;     // of one integral in all: smooth ones take a dozen
constexpr int kMostSteps = 1 << 12;     // points of a piece of an edge: a quarter of 100 mm radius to 2e-6 mm
constexpr int kTelling = 16;            // steps from which on how far chords stray tells how many it will take
constexpr double kMargin = 4.0;         // and within what factor: a curve may straighten
constexpr double kTangentDeg = 1e-6;    // a turn between neighbours that no hand can see or bend

/// Nodes and weights on [-1, 1] by Newton's method on the Legendre polynomial.
struct Gauss {
    static constexpr int n = 12;
    std::array<double, n> node{};
    std::array<double, n> weight{};
    Gauss() {
        for (int i = 0; i < n; ++i) {
            double x = std::cos(std::numbers::pi * (i + 0.75) / (n + 0.5));
            double slope = 1.0;
            for (int step = 0; step < 8; ++step) {
                double p = 1.0;
                double before = 0.0;
                for (int k = 1; k <= n; ++k) {
                    const double next = ((2 * k - 1) * x * p - (k - 1) * before) / k;
                    before = p;
                    p = next;
                }
                slope = n * (x * p - before) / (x * x - 1.0);
                x -= p / slope;
            }
            node[static_cast<std::size_t>(i)] = x;
            weight[static_cast<std::size_t>(i)] = 2.0 / ((1.0 - x * x) * slope * slope);
        }
    }
};

const Gauss& gauss() {
    static const Gauss rule;
    return rule;
}

template <class F>
auto over(const F& f, double a, double b) {
    const Gauss& rule = gauss();
    const double half = 0.5 * (b - a);
    const double middle = a + half;
    auto sum = rule.weight[0] * f(middle + half * rule.node[0]);
    for (std::size_t i = 1; i < Gauss::n; ++i) sum = sum + rule.weight[i] * f(middle + half * rule.node[i]);
    return half * sum;
}

double size_of(double x) noexcept { return std::abs(x); }
double size_of(Point p) noexcept { return std::hypot(p.x, p.y); }

/// Halves every interval until the halves add up to the whole; kMostHalvings in all, or where rounding never settles
/// it would go on for ever.
template <class F, class T>
T halved(const F& f, double from, double to, T whole, double allowed) {
    struct Interval {
        double from;
        double to;
        T whole;
        int depth;
    };
    std::vector<Interval> open{{from, to, whole, kHalvings}};
    int left_over = kMostHalvings;
    T total{};
    while (!open.empty()) {
        const Interval i = open.back();
        open.pop_back();
        const double middle = i.from + 0.5 * (i.to - i.from);
        const T left = over(f, i.from, middle);
        const T right = over(f, middle, i.to);
        const T sum = left + right;
        if (i.depth == 0 || left_over == 0 || !(size_of(sum - i.whole) > allowed)) {
            total = total + sum;
            continue;
        }
        --left_over;
        open.push_back({middle, i.to, right, i.depth - 1});
        open.push_back({i.from, middle, left, i.depth - 1});
    }
    return total;
}

/// `least`: an error that does not matter, where the whole may be nothing but rounding.
template <class F>
auto integrate(const F& f, double a, double b, double least = 0.0) {
    const auto whole = over(f, a, b);
    const double size = over([&](double u) { return size_of(f(u)); }, a, b);
    return halved(f, a, b, whole, std::max(least, kIntegralRel * std::abs(size)));
}

/// The plane of the sheet along a ruling: up it, and square to it the way the rulings follow each other.
struct Plane {
    Point3 up;
    Point3 across;
    double length = 0.0;
};
Plane plane_at(const Frame& f) {
    Plane p;
    const Point3 ruling = f.top - f.bottom;
    p.length = norm(ruling);
    p.up = (1.0 / p.length) * ruling;
    const Point3 moves = f.bottom_rate + f.top_rate;
    const Point3 square = moves - dot(moves, p.up) * p.up;
    p.across = (1.0 / norm(square)) * square;
    return p;
}
double turn_rate(const Frame& f, const Plane& p) { return dot(f.top_rate - f.bottom_rate, p.across) / p.length; }

/// Directions on the pattern when a ruling stands at `angle`, radians from straight up, to the right positive.
Point up_flat(double angle) noexcept { return {std::sin(angle), std::cos(angle)}; }
Point across_flat(double angle) noexcept { return {std::cos(angle), -std::sin(angle)}; }

double leaning(const Ruling& r) noexcept {
    const Point d = r.flat_top - r.flat_bottom;
    return std::atan2(d.x, d.y);
}

/// The flat piece as it lies in space, laid down against its first ruling.
Ruling laid(const Piece& piece, const Ruling& first) {
    const Frame start = piece.frame(piece.from);
    const Plane p = plane_at(start);
    const double angle = leaning(first);
    const Frame end = piece.frame(piece.to);
    const auto place = [&](Point3 x) {
        const Point3 from = x - start.bottom;
        return first.flat_bottom + dot(from, p.up) * up_flat(angle) + dot(from, p.across) * across_flat(angle);
    };
    return {piece.still == Still::bottom ? first.flat_bottom : place(end.bottom),
            piece.still == Still::top ? first.flat_top : place(end.top), end.bottom, end.top};
}

/// One step of a curved piece.
Ruling rolled(const Piece& piece, const Ruling& first, double from, double to) {
    const auto rate = [&](double u) {
        const Frame f = piece.frame(u);
        return turn_rate(f, plane_at(f));
    };
    const double start = leaning(first);
    const double angle = start + integrate(rate, from, to, kAngleLeast);
    const Frame end = piece.frame(to);
    const double length = norm(end.top - end.bottom);
    if (piece.still == Still::bottom)
        return {first.flat_bottom, first.flat_bottom + length * up_flat(angle), end.bottom, end.top};
    if (piece.still == Still::top)
        return {first.flat_top - length * up_flat(angle), first.flat_top, end.bottom, end.top};
    const auto moves = [&](double u) {
        const Frame f = piece.frame(u);
        const Plane p = plane_at(f);
        const double here = start + over(rate, from, u);
        return dot(f.bottom_rate, p.up) * up_flat(here) + dot(f.bottom_rate, p.across) * across_flat(here);
    };
    const Point bottom = first.flat_bottom + integrate(moves, from, to);
    return {bottom, bottom + length * up_flat(angle), end.bottom, end.top};
}

double at(const Piece& piece, int i, int steps) noexcept {
    return i == steps ? piece.to : piece.from + (piece.to - piece.from) * i / steps;
}

std::vector<Ruling> rulings_of(const Piece& piece, const Ruling& first, int steps) {
    std::vector<Ruling> all{first};
    for (int i = 1; i <= steps; ++i) {
        const double u = at(piece, i, steps);
        if (piece.unrolled) {
            const auto [bottom, top] = piece.unrolled(u);
            const Frame f = piece.frame(u);
            all.push_back({bottom, top, f.bottom, f.top});
        } else {
            all.push_back(rolled(piece, all.back(), at(piece, i - 1, steps), u));
        }
    }
    return all;
}

/// The bottom's and the top's points in turn.
std::vector<Point> both_edges(const std::vector<Ruling>& rulings) {
    std::vector<Point> out;
    for (const Ruling& r : rulings) {
        out.push_back(r.flat_bottom);
        out.push_back(r.flat_top);
    }
    return out;
}

double stray(Point a, Point p, Point b) noexcept {
    const Point chord = b - a;
    const Point from = p - a;
    const double length = size_of(chord);
    if (length == 0.0) return size_of(from);
    return std::abs(chord.x * from.y - chord.y * from.x) / length;
}

Line line_of(const Ruling& r, LineKind kind, std::string label) {
    Line line;
    line.label = std::move(label);
    line.kind = kind;
    line.ends = {{r.flat_bottom, r.flat_top}, {r.bottom, r.top}};
    line.length = norm(r.top - r.bottom);
    return line;
}

/// Turn from one plane to the next about the ruling they share, towards the inside positive, degrees.
double fold_between(const Plane& before, const Plane& after) {
    const Point3 out = cross(before.across, before.up);
    const Point3 next = cross(after.across, after.up);
    return std::atan2(dot(cross(out, next), before.up), dot(out, next)) / kDegree;
}

}  // namespace

double integral(const std::function<double(double)>& f, double a, double b) { return integrate(f, a, b); }

void require_valid(const Sheet& sheet) { foldswing::detail::require_not_negative("thickness", sheet.thickness); }

void require_valid(const Drawn& drawn) {
    foldswing::detail::require_positive("sagitta", drawn.sagitta);
    foldswing::detail::require(drawn.lines >= 1 && drawn.lines <= 720, "lines", drawn.lines, "1 to 720");
}

double to_middle(const Sheet& sheet) noexcept {
    if (sheet.measured == Face::middle) return 0.0;
    return sheet.measured == Face::outside ? -0.5 * sheet.thickness : 0.5 * sheet.thickness;
}

std::string round_label(double angle_deg) { return number_text(angle_deg) + " deg"; }

int steps_within(double sagitta, int parts, const std::function<std::vector<Point>(int)>& curve_points,
                 std::size_t curves) {
    const auto too_fine = [&] {
        return InvalidInput("sagitta", sagitta,
                            "coarse enough for " + std::to_string(kMostSteps) + " points on an edge");
    };
    for (int steps = parts; steps <= kMostSteps; steps *= 2) {
        const std::vector<Point> points = curve_points(2 * steps);
        double worst = 0.0;
        for (std::size_t i = curves; i + curves < points.size(); i += 2 * curves)
            for (std::size_t k = 0; k < curves; ++k)
                worst = std::max(worst, stray(points[i + k - curves], points[i + k], points[i + k + curves]));
        // A step that meets an edge's turning point may look straight at its middle: never fewer than four to a piece.
        if (worst <= sagitta && steps >= 4) return steps;
        // Twice the points stray a quarter as far: what can never be met is refused before the work is done.
        if (steps >= kTelling && std::sqrt(worst / sagitta) * steps > kMargin * kMostSteps) throw too_fine();
    }
    throw too_fine();
}

void outline_from(Pattern& pattern, const std::vector<Ruling>& rulings, double bottom_length, double top_length) {
    Curve& out = pattern.outline;
    const auto add = [&](Point flat, Point3 folded) {
        if (!out.flat.empty() && out.flat.back() == flat && out.folded.back() == folded) return;
        out.flat.push_back(flat);
        out.folded.push_back(folded);
    };
    for (const Ruling& r : rulings) add(r.flat_bottom, r.bottom);
    const std::size_t right_bottom = out.flat.size() - 1;
    add(rulings.back().flat_top, rulings.back().top);
    const std::size_t right_top = out.flat.size() - 1;
    for (std::size_t i = rulings.size(); i-- > 0;) add(rulings[i].flat_top, rulings[i].top);
    const std::size_t left_top = out.flat.size() - 1;
    const auto edge = [&](const char* label, std::size_t first, std::size_t last, double length) {
        double drawn = 0.0;
        for (std::size_t i = first; i != last; i = (i + 1) % out.flat.size())
            drawn += size_of(out.flat[(i + 1) % out.flat.size()] - out.flat[i]);
        pattern.edges.push_back({label, first, last, length, drawn});
    };
    const Ruling& left = rulings.front();
    const Ruling& right = rulings.back();
    if (right_bottom > 0) edge("bottom", 0, right_bottom, bottom_length);
    edge("right seam", right_bottom, right_top, norm(right.top - right.bottom));
    if (left_top > right_top) edge("top", right_top, left_top, top_length);
    edge("left seam", left_top, 0, norm(left.top - left.bottom));
}

void require_lies_flat(const Pattern& pattern) {
    try {
        (void)Outline(pattern.outline.flat);
    } catch (const InvalidInput&) {
        throw InvalidInput(pattern.shape, "a pattern that overlaps itself",
                           "a part whose skin lies flat in one piece: cut it along a line and develop the two halves");
    }
}

Pattern unroll(std::string shape, const std::vector<Piece>& pieces, const Sheet& sheet, const Drawn& drawn) {
    Pattern pattern;
    pattern.shape = std::move(shape);
    pattern.thickness = sheet.thickness;
    pattern.sagitta = drawn.sagitta;
    std::vector<Ruling> all;
    double bottom_length = 0.0;
    double top_length = 0.0;
    const Piece* before = nullptr;
    for (const Piece& piece : pieces) {
        const Frame start = piece.frame(piece.from);
        if (all.empty()) {
            const double length = norm(start.top - start.bottom);
            Ruling first{{0.0, 0.0}, {0.0, length}, start.bottom, start.top};
            if (piece.unrolled) std::tie(first.flat_bottom, first.flat_top) = piece.unrolled(piece.from);
            all.push_back(first);
        } else if (!piece.unrolled) {
            const double fold = fold_between(plane_at(before->frame(before->to)), plane_at(start));
            if (std::abs(fold) > kTangentDeg) {
                pattern.lines.push_back(line_of(all.back(), LineKind::fold, ""));
                pattern.lines.back().angle_deg = fold;
            } else if (!piece.flat || !before->flat) {
                pattern.lines.push_back(line_of(all.back(), LineKind::tangent, ""));
            }
        } else if (piece.label && piece.from != pieces.front().from) {
            pattern.lines.push_back(line_of(all.back(), LineKind::roll, piece.label(piece.from)));
        }
        before = &piece;
        if (piece.flat) {
            all.push_back(laid(piece, all.back()));
            const Ruling& a = all[all.size() - 2];
            const Ruling& b = all.back();
            bottom_length += norm(b.bottom - a.bottom);
            top_length += norm(b.top - a.top);
            const Point3 diagonal = b.top - a.bottom;
            pattern.area +=
                0.5 * (norm(cross(b.bottom - a.bottom, diagonal)) + norm(cross(a.top - a.bottom, diagonal)));
            continue;
        }
        const Ruling first = all.back();
        const int steps = steps_within(
            drawn.sagitta, piece.parts, [&](int n) { return both_edges(rulings_of(piece, first, n)); }, 2);
        const std::vector<Ruling> rulings = rulings_of(piece, first, steps);
        for (int i = 1; i <= steps; ++i) {
            all.push_back(rulings[static_cast<std::size_t>(i)]);
            if (i < steps && i % (steps / piece.parts) == 0)
                pattern.lines.push_back(
                    line_of(all.back(), LineKind::roll, piece.label ? piece.label(at(piece, i, steps)) : ""));
        }
        bottom_length += integrate([&](double u) { return norm(piece.frame(u).bottom_rate); }, piece.from, piece.to);
        top_length += integrate([&](double u) { return norm(piece.frame(u).top_rate); }, piece.from, piece.to);
        pattern.area += integrate(
            [&](double u) {
                const Frame f = piece.frame(u);
                const Plane p = plane_at(f);
                return 0.5 * p.length * dot(f.bottom_rate + f.top_rate, p.across);
            },
            piece.from, piece.to);
    }
    for (std::size_t i = 0; i < pattern.lines.size(); ++i)
        if (pattern.lines[i].label.empty()) pattern.lines[i].label = std::to_string(i + 1);
    outline_from(pattern, all, bottom_length, top_length);
    require_lies_flat(pattern);
    pattern.explanation = "It develops truly: the flat pattern rolls up into the part without stretch.";
    return pattern;
}

}  // namespace foldswing::development::detail
