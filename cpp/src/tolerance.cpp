#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/tolerance.hpp>
#include <limits>
#include <numbers>
#include <numeric>
#include <vector>

#include "check.hpp"
#include "degrees.hpp"
#include "signed_gap.hpp"

namespace foldswing::tolerance {
namespace {

using detail::Features;
using detail::Shape;
using detail::Stand;

constexpr double kTravelStep = 3.0;       // mm; what the farthest point moves between two tries of the turn
constexpr std::size_t kFewestTries = 12;  // over the turn
constexpr std::size_t kMostTries = 400;   // a turn of 90 degrees on a reach of 500 mm
constexpr int kSections = 10;             // golden sections: a bracket of two tries shrinks to 0.05 mm of travel
constexpr std::size_t kBrackets = 3;      // lowest tries that are followed up: one for each corner that passes
constexpr double kMostDeviations = 5.5;   // deviations; beyond lie 4 cases in 100 million
constexpr std::size_t kStepsAlong = 10;   // along the steepest direction
constexpr double kStepAlong = 0.9;        // deviations
constexpr std::size_t kPairs = 128;       // of opposite points across it
constexpr std::size_t kParts = 4;         // into which each step is cut along a smooth curve
constexpr double kKeptShare = 0.0227501319481792;  // normal distribution below minus two deviations

double normal_cdf(double t) { return 0.5 * std::erfc(-t / std::numbers::sqrt2); }
double normal_density(double t) { return std::exp(-0.5 * t * t) / std::sqrt(2.0 * std::numbers::pi); }
double normal_quantile(double share) {
    double low = -9.0;
    double high = 9.0;
    for (int i = 0; i < 60; ++i) {  // halves 18 to below rounding
        const double middle = std::midpoint(low, high);
        (normal_cdf(middle) < share ? low : high) = middle;
    }
    return std::midpoint(low, high);
}

using Draw = std::vector<double>;  // one number for each independent direction of error

/// How the errors of one case shift the panel against a body: still + R turning.
struct Shift {
    Point still;
    Point turning;
};

/// The independent directions of error, and the shift each makes against the body for one standard deviation.
class Directions {
  public:
    Directions(const Obstacle& body, const HoleErrors& holes) {
        const Point x{1.0, 0.0};
        const Point y{0.0, 1.0};
        const double h = holes.deviation;
        if (holes.together) {
            add(h, {x, -1.0 * x});
            add(h, {y, -1.0 * y});
            add(body.across, {x, {}});
            add(body.up, {y, {}});
        } else {  // the fixed hole and the body shift the panel against it alike: one direction for both
            add(std::hypot(h, body.across), {x, {}});
            add(std::hypot(h, body.up), {y, {}});
            add(h, {{}, x});
            add(h, {{}, y});
        }
    }
    [[nodiscard]] std::size_t size() const { return all_.size(); }
    [[nodiscard]] Shift at(const Draw& z) const {
        Shift out;
        for (std::size_t i = 0; i < all_.size(); ++i) {
            out.still = out.still + z[i] * all_[i].still;
            out.turning = out.turning + z[i] * all_[i].turning;
        }
        return out;
    }
    /// No shift of fewer than kMostDeviations is longer.
    [[nodiscard]] double farthest() const {
        double squared = 0.0;
        for (const Shift& s : all_) {
            const double longest = std::hypot(s.still.x, s.still.y) + std::hypot(s.turning.x, s.turning.y);
            squared += longest * longest;
        }
        return kMostDeviations * std::sqrt(squared);
    }

  private:
    void add(double deviation, Shift one) {
        if (deviation > 0.0) all_.push_back({deviation * one.still, deviation * one.turning});
    }
    std::vector<Shift> all_;
};

/// The smallest signed gap over the turn, for any shift that the errors can make.
class TurnGap {
  public:
    TurnGap(const Path& panel, const Path& body, const PlainTurn& turn, double farthest)
        : panel_("panel", panel), body_("body", body), turn_(turn) {
        of_panel_ = detail::all_features(panel_);
        of_body_ = detail::all_features(body_);
        spread(panel_reach());
        const Shift none;
        std::vector<double> tried(angles_.size());
        for (std::size_t i = 0; i < angles_.size(); ++i) tried[i] = at(angles_[i], none);
        const double least = *std::min_element(tried.begin(), tried.end());
        // Only what comes within reach of the least gap, whatever the shift, is looked at again.
        const double limit = least + 2.0 * farthest + kTravelStep;
        keep(limit, none);
        spread(std::max(panel_reach(), body_reach()));
        tried.assign(angles_.size(), 0.0);
        for (std::size_t i = 0; i < angles_.size(); ++i) tried[i] = at(angles_[i], none);
        near_.assign(angles_.size(), false);
        for (std::size_t i = 0; i < angles_.size(); ++i)
            if (tried[i] <= limit)
                for (std::size_t k = i == 0 ? 0 : i - 1; k <= std::min(i + 1, angles_.size() - 1); ++k) near_[k] = true;
    }

    double operator()(const Shift& shift) const {
        constexpr double far = std::numeric_limits<double>::infinity();
        values_.assign(angles_.size(), far);
        for (std::size_t i = 0; i < angles_.size(); ++i)
            if (near_[i]) values_[i] = at(angles_[i], shift);
        double least = *std::min_element(values_.begin(), values_.end());
        lows_.clear();
        for (std::size_t i = 0; i < angles_.size(); ++i) {
            const double before = i == 0 ? far : values_[i - 1];
            const double after = i + 1 == angles_.size() ? far : values_[i + 1];
            if (values_[i] < far && values_[i] <= before && values_[i] <= after) lows_.push_back(i);
        }
        std::sort(lows_.begin(), lows_.end(), [&](std::size_t a, std::size_t b) { return values_[a] < values_[b]; });
        if (lows_.size() > kBrackets) lows_.resize(kBrackets);
        for (const std::size_t i : lows_)
            if (values_[i] - kTravelStep < least) least = std::min(least, lowest_about(i, shift));
        return least;
    }

  private:
    /// Angles so close that nothing on the reach moves by more than a step of travel between two.
    void spread(double reach) {
        const double travel = std::abs(turn_.turn_to_deg - turn_.turn_from_deg) * detail::kDegree * reach;
        const double wanted = std::ceil(travel / kTravelStep);
        const auto n = travel == 0.0 ? std::size_t{0}
                                     : static_cast<std::size_t>(std::clamp(wanted, static_cast<double>(kFewestTries),
                                                                           static_cast<double>(kMostTries)));
        angles_.clear();
        for (std::size_t i = 0; i <= n; ++i)
            angles_.push_back(n == 0 ? turn_.turn_from_deg
                                     : std::lerp(turn_.turn_from_deg, turn_.turn_to_deg,
                                                 static_cast<double>(i) / static_cast<double>(n)));
    }

    /// How far the features still looked at lie from the pivot.
    [[nodiscard]] double panel_reach() const { return reach(panel_, of_panel_); }
    [[nodiscard]] double body_reach() const { return reach(body_, of_body_); }
    [[nodiscard]] double reach(const Shape& shape, const Features& of) const {
        double out = 0.0;
        const auto to = [&](Point p, double beyond) {
            out = std::max(out, std::hypot(p.x - turn_.pivot.x, p.y - turn_.pivot.y) + beyond);
        };
        for (const std::size_t i : of.corners) to(shape.pieces()[i].from, 0.0);
        for (const std::size_t i : of.arcs) to(shape.pieces()[i].centre, shape.pieces()[i].radius);
        return out;
    }

    double at(double angle_deg, const Shift& shift) const {
        const auto [s, c] = detail::sin_cos_deg(angle_deg);
        const Point turned{c * shift.turning.x - s * shift.turning.y, s * shift.turning.x + c * shift.turning.y};
        return detail::signed_gap(panel_, of_panel_, body_, of_body_, {s, c, turn_.pivot, shift.still + turned});
    }

    /// Leaves out the features that never come within the limit.
    void keep(double limit, const Shift& none) {
        const auto never = [&](const Features& panel, const Features& body) {
            return std::all_of(angles_.begin(), angles_.end(), [&](double angle) {
                const auto [s, c] = detail::sin_cos_deg(angle);
                return detail::signed_gap(panel_, panel, body_, body, {s, c, turn_.pivot, none.still}) > limit;
            });
        };
        std::erase_if(of_panel_.corners, [&](std::size_t i) { return never({{i}, {}}, {}); });
        std::erase_if(of_panel_.arcs, [&](std::size_t i) { return never({{}, {i}}, {}); });
        std::erase_if(of_body_.corners, [&](std::size_t i) { return never({}, {{i}, {}}); });
        std::erase_if(of_body_.arcs, [&](std::size_t i) { return never({}, {{}, {i}}); });
    }

    /// The lowest gap between the tries on either side of one, by golden sections.
    double lowest_about(std::size_t i, const Shift& shift) const {
        double low = angles_[i == 0 ? 0 : i - 1];
        double high = angles_[std::min(i + 1, angles_.size() - 1)];
        constexpr double part = 1.0 / std::numbers::phi;
        double a = high - part * (high - low);
        double b = low + part * (high - low);
        double at_a = at(a, shift);
        double at_b = at(b, shift);
        double least = std::min(at_a, at_b);
        for (int k = 0; k < kSections; ++k) {
            if (at_a < at_b) {
                high = b;
                b = a;
                at_b = at_a;
                a = high - part * (high - low);
                at_a = at(a, shift);
                least = std::min(least, at_a);
            } else {
                low = a;
                a = b;
                at_a = at_b;
                b = low + part * (high - low);
                at_b = at(b, shift);
                least = std::min(least, at_b);
            }
        }
        return least;
    }

    Shape panel_;
    Shape body_;
    PlainTurn turn_;
    Features of_panel_;
    Features of_body_;
    std::vector<double> angles_;
    std::vector<bool> near_;
    mutable std::vector<double> values_;  // scratch
    mutable std::vector<std::size_t> lows_;
};

/// A straight piece of the curve of gaps along one line, at_zero + slope t, with its share of all cases.
struct Piece {
    double from;
    double to;
    double at_zero;
    double slope;
    double share;
};

/// Everything that is wanted of the distribution, from straight pieces.
class Distribution {
  public:
    void add(double t0, double t1, double g0, double g1, bool first, bool last) {
        // The end pieces run on to infinity: what lies there counts for nothing but must not be lost.
        const double from = first ? -std::numeric_limits<double>::infinity() : t0;
        const double to = last ? std::numeric_limits<double>::infinity() : t1;
        const double share = normal_cdf(to) - normal_cdf(from);
        const double density0 = first ? 0.0 : normal_density(t0);
        const double density1 = last ? 0.0 : normal_density(t1);
        const double slope = (g1 - g0) / (t1 - t0);
        const double at_zero = g0 - slope * t0;
        const double mean_t = density0 - density1;
        const double mean_tt = share + (first ? 0.0 : t0 * density0) - (last ? 0.0 : t1 * density1);
        sum_ += at_zero * share + slope * mean_t;
        square_ += at_zero * at_zero * share + 2.0 * at_zero * slope * mean_t + slope * slope * mean_tt;
        pieces_.push_back({from, to, at_zero, slope, share});
    }
    void close(double lines) { lines_ = lines; }
    [[nodiscard]] double mean() const { return sum_ / lines_; }
    [[nodiscard]] double deviation() const { return std::sqrt(std::max(0.0, square_ / lines_ - mean() * mean())); }
    /// Share of cases with a gap of x or less.
    [[nodiscard]] double below(double x) const {
        double sum = 0.0;
        for (const Piece& p : pieces_) {
            if (p.slope == 0.0) {
                if (p.at_zero <= x) sum += p.share;
                continue;
            }
            const double crossing = std::clamp((x - p.at_zero) / p.slope, p.from, p.to);
            sum += p.slope > 0.0 ? normal_cdf(crossing) - normal_cdf(p.from) : normal_cdf(p.to) - normal_cdf(crossing);
        }
        return sum / lines_;
    }
    [[nodiscard]] double quantile(double share) const {
        double low = mean() - 12.0 * deviation();
        double high = mean() + 12.0 * deviation();
        for (int i = 0; i < 50; ++i) {
            const double middle = std::midpoint(low, high);
            (below(middle) < share ? low : high) = middle;
        }
        return std::midpoint(low, high);
    }

  private:
    std::vector<Piece> pieces_;
    double sum_ = 0.0;
    double square_ = 0.0;
    double lines_ = 1.0;
};

/// Point k of a set that fills [0, 1)^d evenly: multiples of the powers of 1/x, where x^(d+1) = x + 1.
Draw even_point(std::size_t k, std::size_t d) {
    double root = 2.0;
    for (int i = 0; i < 60; ++i) root = std::pow(1.0 + root, 1.0 / static_cast<double>(d + 1));
    Draw out(d);
    double power = 1.0;
    for (std::size_t i = 0; i < d; ++i) {
        power /= root;
        const double at = 0.5 + power * static_cast<double>(k + 1);
        out[i] = at - std::floor(at);
    }
    return out;
}

Draw normal_point(std::size_t k, std::size_t d) {
    Draw out = even_point(k, d);
    for (std::size_t i = 0; i < d; ++i) out[i] = normal_quantile(out[i]);
    return out;
}

/// The points taken across the lines: opposite ones come in pairs, so that odd moments vanish, and the set is stretched
/// to have the moments of second order that normal draws have (moment matching; from memory).
std::vector<Draw> points_across(std::size_t d) {
    std::vector<Draw> out;
    out.reserve(kPairs);
    for (std::size_t k = 0; k < kPairs; ++k) out.push_back(normal_point(k, d));
    // The moments as L L^T (Cholesky); L^-1 x then has the identity for moments.
    std::vector<Draw> lower(d, Draw(d));
    for (std::size_t i = 0; i < d; ++i) {
        for (std::size_t j = 0; j <= i; ++j) {
            double sum = 0.0;
            for (const Draw& x : out) sum += x[i] * x[j];
            sum /= static_cast<double>(out.size());
            for (std::size_t k = 0; k < j; ++k) sum -= lower[i][k] * lower[j][k];
            lower[i][j] = i == j ? std::sqrt(sum) : sum / lower[j][j];  // far from singular: the points fill the space
        }
    }
    for (Draw& x : out) {
        for (std::size_t i = 0; i < d; ++i) {
            for (std::size_t k = 0; k < i; ++k) x[i] -= lower[i][k] * x[k];
            x[i] /= lower[i][i];
        }
    }
    return out;
}

double length_of(const Draw& z) { return std::sqrt(std::inner_product(z.begin(), z.end(), z.begin(), 0.0)); }

/// Unit directions, the first of them the steepest, all square to each other.
std::vector<Draw> frame(const Draw& steepest, std::size_t d) {
    std::vector<Draw> out;
    const auto add = [&](Draw v) {
        for (int again = 0; again < 2; ++again)  // twice, or rounding leaves them askew
            for (const Draw& u : out) {
                const double along = std::inner_product(v.begin(), v.end(), u.begin(), 0.0);
                for (std::size_t i = 0; i < v.size(); ++i) v[i] -= along * u[i];
            }
        const double length = length_of(v);
        if (length < 1e-6) return;  // this one lies in the span of the others: the next axis does not
        for (double& x : v) x /= length;
        out.push_back(v);
    };
    add(steepest);
    for (std::size_t i = 0; i < d && out.size() < d; ++i) {
        Draw axis(d);
        axis[i] = 1.0;
        add(axis);
    }
    return out;
}

/// The direction in which the gap grows most on the whole: the mean of gap times draw (Stein's identity).
Draw steepest(const TurnGap& gap, const Directions& errors) {
    Draw out(errors.size());
    for (std::size_t k = 0; k < kPairs / 2; ++k) {
        const Draw z = normal_point(k, errors.size());
        Draw opposite(z);
        for (double& x : opposite) x = -x;
        const double change = gap(errors.at(z)) - gap(errors.at(opposite));
        for (std::size_t i = 0; i < z.size(); ++i) out[i] += change * z[i];
    }
    return out;
}

/// Straight pieces of a smooth curve through equally spaced values; its slopes never overshoot (Fritsch and Carlson,
/// harmonic mean of the neighbouring slopes; from memory).
void add_line(Distribution& all, const std::array<double, kStepsAlong + 1>& g) {
    const auto t = [](double k) { return kStepAlong * (k - 0.5 * static_cast<double>(kStepsAlong)); };
    std::array<double, kStepsAlong + 1> slope{};
    for (std::size_t k = 0; k <= kStepsAlong; ++k) {
        const double before = k == 0 ? g[1] - g[0] : g[k] - g[k - 1];
        const double after = k == kStepsAlong ? before : g[k + 1] - g[k];
        slope[k] = before * after > 0.0 ? 2.0 * before * after / (before + after) : 0.0;
    }
    for (std::size_t k = 0; k < kStepsAlong; ++k) {
        const auto curve = [&](double u) {
            const double v = 1.0 - u;
            return v * v * (1.0 + 2.0 * u) * g[k] + u * u * (1.0 + 2.0 * v) * g[k + 1] + u * v * v * slope[k] -
                   u * u * v * slope[k + 1];
        };
        for (std::size_t part = 0; part < kParts; ++part) {
            const double u0 = static_cast<double>(part) / static_cast<double>(kParts);
            const double u1 = static_cast<double>(part + 1) / static_cast<double>(kParts);
            all.add(t(static_cast<double>(k) + u0), t(static_cast<double>(k) + u1), curve(u0), curve(u1),
                    k == 0 && part == 0, k + 1 == kStepsAlong && part + 1 == kParts);
        }
    }
}

void require_turn(const PlainTurn& turn) {
    for (const double v : {turn.pivot.x, turn.pivot.y})
        detail::require(std::abs(v) <= detail::kFarthest, "pivot", v, "within 1000000 mm of the origin");
    detail::require_finite("turn_from_deg", turn.turn_from_deg);
    detail::require_finite("turn_to_deg", turn.turn_to_deg);
    const double span = std::abs(turn.turn_to_deg - turn.turn_from_deg);
    detail::require(span <= 360.0, "turn_to_deg", turn.turn_to_deg, "within 360 degrees of turn_from_deg");
}

void require_error(const char* name, double v) {
    detail::require(v >= 0.0 && v <= detail::kFarthest, name, v, "from 0 to 1000000 mm");
}

}  // namespace

double signed_gap(const Path& panel, const Path& body, const PlainTurn& turn) {
    require_turn(turn);
    return TurnGap(panel, body, turn, 0.0)({});
}

LikelyGap likely_gap(const Path& panel, const Obstacle& body, const PlainTurn& turn, const HoleErrors& holes) {
    require_turn(turn);
    require_error("hole", holes.deviation);
    require_error("across", body.across);
    require_error("up", body.up);
    require_error("contact", body.contact);
    const Directions directions(body, holes);
    const TurnGap gap(panel, body.section, turn, directions.farthest());
    const std::size_t d = directions.size();
    LikelyGap out;
    out.as_drawn = gap({}) - body.contact;
    if (d == 0) {
        out.mean = out.kept = out.as_drawn;
        out.share = out.as_drawn <= 0.0 ? 1.0 : 0.0;
        return out;
    }
    const std::vector<Draw> axes = frame(steepest(gap, directions), d);
    Distribution all;  // of what the errors add to the gap as drawn
    const std::size_t lines = d == 1 ? 1 : 2 * kPairs;
    const std::vector<Draw> points = d == 1 ? std::vector<Draw>{Draw{}} : points_across(d - 1);
    for (std::size_t line = 0; line < lines; ++line) {
        Draw across = points[line / 2];
        if (line % 2 != 0)
            for (double& x : across) x = -x;
        std::array<double, kStepsAlong + 1> g{};
        for (std::size_t k = 0; k <= kStepsAlong; ++k) {
            const double t = kStepAlong * (static_cast<double>(k) - 0.5 * static_cast<double>(kStepsAlong));
            Draw z(d);
            for (std::size_t i = 0; i < d; ++i) {
                z[i] = t * axes[0][i];
                for (std::size_t a = 1; a < d; ++a) z[i] += across[a - 1] * axes[a][i];
            }
            g[k] = gap(directions.at(z)) - body.contact - out.as_drawn;
        }
        add_line(all, g);
    }
    all.close(static_cast<double>(lines));
    out.mean = out.as_drawn + all.mean();
    out.deviation = all.deviation();
    out.kept = out.as_drawn + all.quantile(kKeptShare);
    out.share = all.below(-out.as_drawn);
    return out;
}

}  // namespace foldswing::tolerance
