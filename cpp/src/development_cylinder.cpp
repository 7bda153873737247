// Pipes: cut square or by planes, mitred elbows, branches.
#include <algorithm>
#include <limits>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"
#include "unroll.hpp"

namespace foldswing::development {
namespace {

using detail::Frame;
using detail::Piece;
using foldswing::detail::kDegree;
using foldswing::detail::number_text;
using foldswing::detail::require;
using foldswing::detail::sin_cos_deg;

void require_valid(const Cut& cut, const char* name) {
    const std::string tilt = std::string(name) + ".tilt_deg";
    require(cut.tilt_deg >= 0.0 && cut.tilt_deg < 90.0, tilt.c_str(), cut.tilt_deg, "0 or more and under 90");
    foldswing::detail::require_finite((std::string(name) + ".high_deg").c_str(), cut.high_deg);
}
double slope(const Cut& cut) noexcept { return foldswing::detail::tan_half_deg(2.0 * cut.tilt_deg); }

double middle_radius(const char* name, double diameter, const Sheet& sheet) {
    foldswing::detail::require_positive(name, diameter);
    detail::require_valid(sheet);
    const double radius = 0.5 * diameter + detail::to_middle(sheet);
    require(radius > 0.0, name, diameter, "more than the thickness of the sheet");
    return radius;
}

/// Where branch and main meet, at angle p round the branch.
struct Saddle {
    double main_radius;
    double branch_radius;
    double angle_deg;
    double offset;

    struct At {
        double along_branch, along_branch_rate;  ///< rates: for one degree of p
        double along_main, along_main_rate;
        double round_main, round_main_rate;  ///< radians from the branch's side, towards the offset positive
    };
    [[nodiscard]] At at(double p_deg) const {
        const auto [sin_p, cos_p] = sin_cos_deg(p_deg);
        const auto [sin_b, cos_b] = sin_cos_deg(angle_deg);
        const double r = branch_radius;
        const double y = offset + r * sin_p;
        // R - |y| without a difference of nearly equal numbers where the pipes are nearly of one size.
        const double room = main_radius - r;
        const double over = (room - offset) + r * foldswing::detail::one_minus_cos_deg(p_deg - 90.0);
        const double under = (room + offset) + r * foldswing::detail::one_minus_cos_deg(p_deg + 90.0);
        const double depth = std::sqrt(std::max(over, 0.0) * std::max(under, 0.0));
        const double y_rate = kDegree * r * cos_p;
        const double round_rate = depth > 0.0 ? y_rate / depth : 0.0;
        At a{};
        a.along_branch = (depth + r * cos_p * cos_b) / sin_b;
        a.along_branch_rate = (-y * round_rate - kDegree * r * sin_p * cos_b) / sin_b;
        a.along_main = a.along_branch * cos_b + r * cos_p * sin_b;
        a.along_main_rate = a.along_branch_rate * cos_b - kDegree * r * sin_p * sin_b;
        a.round_main = std::atan2(y, depth);
        a.round_main_rate = round_rate;
        return a;
    }
};

/// Pipes of one size meet in a curve with a corner at 90 and 270 degrees: quarters are taken one by one.
constexpr std::array<double, 5> kQuarters{0.0, 90.0, 180.0, 270.0, 360.0};

double over_quarters(const std::function<double(double)>& f) {
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < kQuarters.size(); ++i) sum += detail::integral(f, kQuarters[i], kQuarters[i + 1]);
    return sum;
}

struct Hole {
    Curve ring;
    double area = 0.0;
    double girth = 0.0;
    double lowest = std::numeric_limits<double>::infinity();  ///< along the main, from where the axes meet
    double highest = -std::numeric_limits<double>::infinity();
    double reach = 0.0;  ///< of the saddle along the branch
};

Hole hole_of(const Saddle& saddle, double along, const Drawn& drawn) {
    const double big = saddle.main_radius;
    const auto flat = [&](double p) {
        const Saddle::At a = saddle.at(p);
        return Point{big * (std::numbers::pi - a.round_main), along + a.along_main};
    };
    Hole hole;
    for (std::size_t q = 0; q + 1 < kQuarters.size(); ++q) {
        const auto points = [&](int n) {
            std::vector<Point> out;
            for (int i = 0; i <= n; ++i) out.push_back(flat(kQuarters[q] + 90.0 * i / n));
            return out;
        };
        const int steps = detail::steps_within(drawn.sagitta, (drawn.lines + 3) / 4, points, 1);
        for (int i = 0; i < steps; ++i) {
            const double p = kQuarters[q] + 90.0 * i / steps;
            const Saddle::At a = saddle.at(p);
            hole.ring.flat.push_back(flat(p));
            hole.ring.folded.push_back(
                {-big * std::cos(a.round_main), big * std::sin(a.round_main), along + a.along_main});
            hole.lowest = std::min(hole.lowest, a.along_main);
            hole.highest = std::max(hole.highest, a.along_main);
            hole.reach = std::max(hole.reach, a.along_branch);
        }
    }
    hole.area = std::abs(over_quarters([&](double p) {
        const Saddle::At a = saddle.at(p);
        return big * a.round_main_rate * a.along_main;
    }));
    hole.girth = over_quarters([&](double p) {
        const Saddle::At a = saddle.at(p);
        return std::hypot(big * a.round_main_rate, a.along_main_rate);
    });
    // Round the branch counter-clockwise seen from its end is clockwise on the pattern of the main turned that way.
    double turned = 0.0;
    const auto& f = hole.ring.flat;
    for (std::size_t i = 0; i < f.size(); ++i) {
        const Point a = f[i] - f[0];
        const Point b = f[(i + 1) % f.size()] - f[0];
        turned += a.x * b.y - a.y * b.x;
    }
    if (turned > 0.0) {
        std::reverse(hole.ring.flat.begin(), hole.ring.flat.end());
        std::reverse(hole.ring.folded.begin(), hole.ring.folded.end());
    }
    return hole;
}

}  // namespace

Pattern cylinder(double diameter, double length, const Cut& bottom, const Cut& top, const Sheet& sheet,
                 const Drawn& drawn) {
    const double r = middle_radius("diameter", diameter, sheet);
    foldswing::detail::require_positive("length", length);
    require_valid(bottom, "bottom");
    require_valid(top, "top");
    detail::require_valid(drawn);
    const double low = r * slope(bottom);
    const double high = r * slope(top);
    const auto [sin_low, cos_low] = sin_cos_deg(bottom.high_deg);
    const auto [sin_high, cos_high] = sin_cos_deg(top.high_deg);
    const double lost = std::hypot(high * cos_high - low * cos_low, high * sin_high - low * sin_low);
    if (!(length > lost))
        throw InvalidInput("length", length,
                           "more than " + number_text(lost) +
                               " mm, or the two cuts cross inside the pipe: make it longer or tilt them less");
    const auto height = [](double base, double swing, double high_deg, double p) {
        return base + swing * foldswing::detail::cos_deg(p - high_deg);
    };
    Piece piece;
    piece.from = 0.0;
    piece.to = 360.0;
    piece.parts = drawn.lines;
    piece.label = detail::round_label;
    piece.frame = [=](double p) {
        const double s = foldswing::detail::sin_deg(p);
        const double c = foldswing::detail::cos_deg(p);
        const auto end = [&](double base, double swing, double high_deg) {
            return Point3{r * c, r * s, height(base, swing, high_deg, p)};
        };
        const auto rate = [&](double swing, double high_deg) {
            return kDegree * Point3{-r * s, r * c, -swing * foldswing::detail::sin_deg(p - high_deg)};
        };
        return Frame{end(0.0, low, bottom.high_deg), rate(low, bottom.high_deg), end(length, high, top.high_deg),
                     rate(high, top.high_deg)};
    };
    piece.unrolled = [=](double p) {
        const double x = r * (p * kDegree);
        return std::pair{Point{x, height(0.0, low, bottom.high_deg, p)},
                         Point{x, height(length, high, top.high_deg, p)}};
    };
    Pattern pattern = detail::unroll("cylinder", {piece}, sheet, drawn);
    pattern.area = 2.0 * std::numbers::pi * r * length;  // a tilted cut takes off as much as it leaves
    return pattern;
}

Elbow elbow(double diameter, double angle_deg, double radius, int pieces, const Sheet& sheet, const Drawn& drawn) {
    const double r = middle_radius("diameter", diameter, sheet);
    require(angle_deg > 0.0 && angle_deg <= 180.0, "angle_deg", angle_deg, "over 0 and at most 180");
    require(pieces >= 2 && pieces <= 60, "pieces", pieces, "2 to 60");
    foldswing::detail::require_positive("radius", radius);
    const double outer = r + 0.5 * sheet.thickness;
    if (!(radius > outer))
        throw InvalidInput("radius", radius,
                           "more than half the outside diameter, " + number_text(outer) +
                               " mm, or nothing is left of the throat: take a larger radius");
    Elbow made;
    made.mitre_deg = angle_deg / (2.0 * (pieces - 1));
    require(made.mitre_deg < 90.0, "pieces", pieces, "3 or more for half a turn");
    const double half = radius * slope({made.mitre_deg});
    for (int i = 0; i < pieces; ++i) {
        const bool first = i == 0;
        const bool last = i == pieces - 1;
        made.pieces.push_back(cylinder(diameter, first || last ? half : 2.0 * half, {first ? 0.0 : made.mitre_deg, 0.0},
                                       {last ? 0.0 : made.mitre_deg, 180.0}, sheet, drawn));
        made.pieces.back().shape = first || last ? "elbow end" : "elbow piece";
    }
    return made;
}

Branch branch(const BranchSize& size, const Sheet& main_sheet, const Sheet& branch_sheet, const Drawn& drawn) {
    const double big = middle_radius("main_diameter", size.main_diameter, main_sheet);
    const double r = middle_radius("branch_diameter", size.branch_diameter, branch_sheet);
    require(size.angle_deg > 0.0 && size.angle_deg < 180.0, "angle_deg", size.angle_deg, "over 0 and under 180");
    foldswing::detail::require_finite("offset", size.offset);
    foldswing::detail::require_positive("main_length", size.main_length);
    const double along = std::isnan(size.along) ? 0.5 * size.main_length : size.along;
    foldswing::detail::require_finite("along", along);
    foldswing::detail::require_positive("branch_length", size.branch_length);
    detail::require_valid(drawn);
    if (r > big)
        throw InvalidInput("branch_diameter", size.branch_diameter,
                           "no larger than the main's (middle of the sheets: " + number_text(2.0 * big) +
                               " mm): take a smaller branch, or develop the main as the branch");
    if (std::abs(size.offset) > big - r)
        throw InvalidInput("offset", size.offset,
                           "at most " + number_text(big - r) +
                               " mm either way, or the branch misses the main in part: bring the axes closer");
    const Saddle saddle{big, r, size.angle_deg, size.offset};
    const Hole hole = hole_of(saddle, along, drawn);
    if (!(along + hole.lowest > 0.0 && along + hole.highest < size.main_length))
        throw InvalidInput("main_length", size.main_length,
                           "long enough for the hole, which runs from " + number_text(along + hole.lowest) + " to " +
                               number_text(along + hole.highest) + " mm along it: make it longer, or move the branch");
    if (!(size.branch_length > hole.reach + drawn.sagitta))
        throw InvalidInput("branch_length", size.branch_length,
                           "more than " + number_text(hole.reach) +
                               " mm from the main's axis, or it ends inside the saddle: make the branch longer");

    const double sin_b = foldswing::detail::sin_deg(size.angle_deg);
    const double cos_b = foldswing::detail::cos_deg(size.angle_deg);
    // The branch points to -x of the main, the seam of the main being at +x.
    const auto place = [=](double p, double s) {
        const auto [sin_p, cos_p] = sin_cos_deg(p);
        return Point3{-(s * sin_b - r * cos_p * cos_b), size.offset + r * sin_p, along + s * cos_b + r * cos_p * sin_b};
    };
    const auto moves = [=](double p, double s_rate) {
        const auto [sin_p, cos_p] = sin_cos_deg(p);
        return Point3{-(s_rate * sin_b + kDegree * r * sin_p * cos_b), kDegree * r * cos_p,
                      s_rate * cos_b - kDegree * r * sin_p * sin_b};
    };
    std::vector<Piece> pieces;
    for (std::size_t q = 0; q + 1 < kQuarters.size(); ++q) {
        Piece piece;
        piece.from = kQuarters[q];
        piece.to = kQuarters[q + 1];
        piece.parts = (drawn.lines + 3) / 4;
        piece.label = detail::round_label;
        piece.frame = [=](double p) {
            const Saddle::At a = saddle.at(p);
            return Frame{place(p, a.along_branch), moves(p, a.along_branch_rate), place(p, size.branch_length),
                         moves(p, 0.0)};
        };
        piece.unrolled = [=](double p) {
            const double x = r * (p * kDegree);
            return std::pair{Point{x, saddle.at(p).along_branch}, Point{x, size.branch_length}};
        };
        pieces.push_back(piece);
    }
    Branch made{detail::unroll("branch", pieces, branch_sheet, drawn),
                cylinder(size.main_diameter, size.main_length, {}, {}, main_sheet, drawn)};
    made.main.shape = "main with hole";
    made.main.area -= hole.area;
    double ring = 0.0;
    const auto& flat = hole.ring.flat;
    for (std::size_t i = 0; i < flat.size(); ++i) {
        const Point d = flat[(i + 1) % flat.size()] - flat[i];
        ring += std::hypot(d.x, d.y);
    }
    made.main.edges.push_back({"hole", 0, 0, hole.girth, ring});
    made.main.holes.push_back(hole.ring);
    return made;
}

}  // namespace foldswing::development
