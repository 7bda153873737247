#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/tolerance.hpp>
#include <limits>
#include <numbers>
#include <numeric>
#include <utility>
#include <vector>

#include "check.hpp"
#include "degrees.hpp"
#include "dense.hpp"
#include "signed_gap.hpp"

namespace foldswing::tolerance {
namespace {

using detail::Features;
using detail::Shape;

constexpr double kTravelStep = 3.0;       // mm; what the farthest point moves between two tries of the turn
constexpr std::size_t kFewestTries = 12;  // over the turn
constexpr std::size_t kMostTries = 400;   // a turn of 90 degrees on a reach of 760 mm; beyond it the step grows
constexpr int kSections = 10;             // golden sections: a bracket of two tries shrinks to 0.05 mm of travel
constexpr std::size_t kBrackets = 3;      // lowest tries that are followed up: one for each corner that passes
constexpr double kMostDeviations = 5.5;   // deviations; beyond lie 4 cases in 100 million
constexpr std::size_t kStepsAlong = 10;   // along the steepest direction
constexpr double kStepAlong = 0.9;        // deviations
constexpr std::size_t kTries = 128;       // of the gap, to find that direction, and those in which it bends most
constexpr std::size_t kStepsBend = 30;    // along the direction in which it bends most
constexpr double kStepBend = 0.3;         // deviations
constexpr double kNoGrowthRel = 1e-9;     // of what was added up: below it the growth is rounding
constexpr std::size_t kParts = 4;         // into which each step is cut along a smooth curve
constexpr double kKeptShare = 0.0227501319481792;  // normal distribution below minus two deviations

double normal_cdf(double t) { return 0.5 * std::erfc(-t / std::numbers::sqrt2); }
/// The share between two values, from the tail they lie in.
double normal_between(double from, double to) {
    return from > 0.0 ? normal_cdf(-from) - normal_cdf(-to) : normal_cdf(to) - normal_cdf(from);
}
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
        crossed_ = detail::edges_cross(panel, body, Pose::about(turn.pivot, turn.turn_from_deg));
        spread(panel_reach());
        const Shift none;
        std::vector<double> tried(angles_.size());
        for (std::size_t i = 0; i < angles_.size(); ++i) tried[i] = at(angles_[i], none);
        const double least = *std::min_element(tried.begin(), tried.end());
        // Only what comes within reach of the least gap, whatever the shift, is looked at again.
        const double limit = least + 2.0 * farthest + step_;
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
        const double far = std::numeric_limits<double>::infinity();
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
            if (values_[i] - step_ < least) least = std::min(least, lowest_about(i, shift));
        // Where bars cross at the start no corner tells of it, and no likely error parts them.
        return crossed_ ? std::min(least, 0.0) : least;
    }

  private:
    /// Angles so close that nothing on the reach moves by more than a step of travel between two.
    void spread(double reach) {
        const double travel = std::abs(turn_.turn_to_deg - turn_.turn_from_deg) * detail::kDegree * reach;
        const double wanted = std::ceil(travel / kTravelStep);
        const auto n = travel == 0.0 ? std::size_t{0}
                                     : static_cast<std::size_t>(std::clamp(wanted, static_cast<double>(kFewestTries),
                                                                           static_cast<double>(kMostTries)));
        step_ = n == 0 ? 0.0 : std::max(kTravelStep, travel / static_cast<double>(n));
        angles_.clear();
        for (std::size_t i = 0; i <= n; ++i)
            angles_.push_back(n == 0 ? turn_.turn_from_deg
                                     : std::lerp(turn_.turn_from_deg, turn_.turn_to_deg,
                                                 static_cast<double>(i) / static_cast<double>(n)));
    }

    /// How far the features still looked at lie from the pivot.
    [[nodiscard]] double panel_reach() const { return detail::reach(panel_, of_panel_, turn_.pivot); }
    [[nodiscard]] double body_reach() const { return detail::reach(body_, of_body_, turn_.pivot); }

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
    bool crossed_ = false;
    double step_ = 0.0;  // mm; travel between two tries, kTravelStep unless the turn is very long
    std::vector<double> angles_;
    std::vector<bool> near_;
    mutable std::vector<double> values_;  // scratch
    mutable std::vector<std::size_t> lows_;
};

/// A straight piece of the curve of gaps along one line, at_zero + slope t, with its share of all cases and the
/// integrals of t and t^2 over that.
struct Piece {
    double weight;  // of its line
    double from;
    double to;
    double at_zero;
    double slope;
    double share;
    double first;
    double second;
};

/// Everything that is wanted of the distribution, from straight pieces.
class Distribution {
  public:
    void add(double weight, double t0, double t1, double g0, double g1, bool first, bool last) {
        // The end pieces run on to infinity: what lies there counts for nothing but must not be lost.
        const double from = first ? -std::numeric_limits<double>::infinity() : t0;
        const double to = last ? std::numeric_limits<double>::infinity() : t1;
        const double share = normal_between(from, to);
        const double density0 = first ? 0.0 : normal_density(t0);
        const double density1 = last ? 0.0 : normal_density(t1);
        const double slope = (g1 - g0) / (t1 - t0);
        const double second = share + (first ? 0.0 : t0 * density0) - (last ? 0.0 : t1 * density1);
        pieces_.push_back({weight, from, to, g0 - slope * t0, slope, share, density0 - density1, second});
    }
    /// To be called when all are in.
    void close() {
        for (const Piece& p : pieces_) mean_ += p.weight * (p.at_zero * p.share + p.slope * p.first);
        double square = 0.0;  // about the mean: no difference of two squares
        for (const Piece& p : pieces_) {
            const double off = p.at_zero - mean_;
            square += p.weight * (off * off * p.share + 2.0 * off * p.slope * p.first + p.slope * p.slope * p.second);
        }
        deviation_ = std::sqrt(std::max(0.0, square));
    }
    [[nodiscard]] double mean() const { return mean_; }
    [[nodiscard]] double deviation() const { return deviation_; }
    /// Share of cases with a gap of x or less.
    [[nodiscard]] double below(double x) const {
        double sum = 0.0;
        for (const Piece& p : pieces_) {
            if (p.slope == 0.0) {
                if (p.at_zero <= x) sum += p.weight * p.share;
                continue;
            }
            const double crossing = std::clamp((x - p.at_zero) / p.slope, p.from, p.to);
            sum += p.weight * (p.slope > 0.0 ? normal_between(p.from, crossing) : normal_between(crossing, p.to));
        }
        return std::min(1.0, sum);  // the shares of all pieces come to 1 within rounding
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
    double mean_ = 0.0;
    double deviation_ = 0.0;
};

/// Point k of a set that fills [0, 1)^d evenly: multiples of the powers of 1/x, where x^(d+1) = x + 1.
Draw even_point(std::size_t k, std::size_t d) {
    double root = 2.0;
    for (int i = 0; i < 60; ++i) root = std::pow(1.0 + root, 1.0 / static_cast<double>(d + 1));
    Draw out(d);
    double power = 1.0;
    for (std::size_t i = 0; i < d; ++i) {
        power /= root;
        const double at = power * (static_cast<double>(k) + 0.5);
        out[i] = at - std::floor(at);
    }
    return out;
}

/// Step k along a line, in deviations.
double along(double k) { return kStepAlong * (k - 0.5 * static_cast<double>(kStepsAlong)); }

/// Normal draws in d directions that fill the space evenly: points with every combination of signs, so that a mirror
/// image has the same. Those moments of second order that do not vanish are stretched to 1 (moment matching; from
/// memory).
/// \param n of all, a multiple of 2^d
std::vector<Draw> normal_points(std::size_t n, std::size_t d) {
    const std::size_t signs = std::size_t{1} << d;
    std::vector<Draw> out;
    out.reserve(n);
    Draw square(d);
    for (std::size_t k = 0; k < n / signs; ++k) {
        Draw z = even_point(k, d);
        for (std::size_t i = 0; i < d; ++i) {
            z[i] = normal_quantile(0.5 + 0.5 * z[i]);
            square[i] += z[i] * z[i] * static_cast<double>(signs) / static_cast<double>(n);
        }
        for (std::size_t s = 0; s < signs; ++s) {
            out.push_back(z);
            for (std::size_t i = 0; i < d; ++i)
                if ((s >> i & 1U) != 0) out.back()[i] = -z[i];
        }
    }
    for (Draw& z : out)
        for (std::size_t i = 0; i < d; ++i) z[i] /= std::sqrt(square[i]);
    return out;
}

/// Unit directions, all square to each other: that in which the gap grows most on the whole, if it grows at all, then
/// those in which it bends most. Growth is the mean of gap times draw, bend that of gap times the draw's products
/// (Stein's identities; from memory).
std::vector<Draw> frame(const TurnGap& gap, const Directions& errors) {
    const auto d = static_cast<Eigen::Index>(errors.size());
    const Eigen::MatrixXd identity = Eigen::MatrixXd::Identity(d, d);
    Eigen::VectorXd growth = Eigen::VectorXd::Zero(d);
    Eigen::MatrixXd bend = Eigen::MatrixXd::Zero(d, d);
    double added = 0.0;
    const double as_drawn = gap({});
    for (const Draw& point : normal_points(kTries / 2, errors.size())) {
        Draw z(point);
        for (int swapped = 0; swapped < 2; ++swapped) {  // x and y alike: they go in pairs
            const double more = gap(errors.at(z)) - as_drawn;
            const Eigen::Map<const Eigen::VectorXd> v(z.data(), d);
            growth += more * v;
            bend += more * (v * v.transpose() - identity);
            added += std::abs(more) * v.norm();
            for (std::size_t i = 0; i + 1 < z.size(); i += 2) std::swap(z[i], z[i + 1]);
        }
    }
    std::vector<Draw> out;
    const double length = growth.stableNorm();
    if (length > kNoGrowthRel * added) {
        growth /= length;
        out.emplace_back(growth.data(), growth.data() + d);
        const Eigen::MatrixXd across = identity - growth * growth.transpose();
        bend = (across * bend * across).eval();
    } else {
        growth.setZero();
    }
    // By the square of the bend, either way; the growth itself comes last.
    if (const double most = bend.cwiseAbs().maxCoeff(); most > 0.0) bend /= most;
    const Eigen::MatrixXd bent = detail::eigenvectors(bend * bend - growth * growth.transpose());
    for (Eigen::Index i = d - 1; i >= 0 && out.size() < errors.size(); --i) {
        const Eigen::VectorXd v = bent.col(i);
        out.emplace_back(v.data(), v.data() + d);
    }
    return out;
}

/// A line along the first direction, by where it crosses the others, and its share of all cases.
struct Line {
    double weight;
    Draw across;
};

/// Gauss's rules for normal draws: places and weights.
constexpr std::array<std::array<double, 2>, 2> kTwoPoints{{{-1.0, 0.5}, {1.0, 0.5}}};
constexpr std::array<std::array<double, 2>, 3> kThreePoints{
    {{-1.7320508075688772, 1.0 / 6.0}, {0.0, 2.0 / 3.0}, {1.7320508075688772, 1.0 / 6.0}}};
constexpr double kRare = 2.0;  // deviations; beyond them the rule of two points does

/// Equal steps along the second direction, weighted by the normal density (which sums over steps of this width to ten
/// digits), and Gauss's rules along those left.
std::vector<Line> lines(std::size_t d) {
    if (d == 1) return {{1.0, {}}};
    std::vector<Line> out;
    double sum = 0.0;
    for (std::size_t k = 0; k <= kStepsBend; ++k) {
        const double t = kStepBend * (static_cast<double>(k) - 0.5 * static_cast<double>(kStepsBend));
        std::vector<Line> here{{normal_density(t), {t}}};
        for (std::size_t left = 2; left < d; ++left) {
            std::vector<Line> split;
            const auto add = [&](const auto& rule) {
                for (const Line& line : here)
                    for (const auto& [at, weight] : rule) {
                        split.push_back({line.weight * weight, line.across});
                        split.back().across.push_back(at);
                    }
            };
            if (std::abs(t) < kRare)
                add(kThreePoints);
            else
                add(kTwoPoints);
            here = std::move(split);
        }
        sum += normal_density(t);
        out.insert(out.end(), here.begin(), here.end());
    }
    for (Line& line : out) line.weight /= sum;
    return out;
}

/// Straight pieces of a smooth curve through equally spaced values; its slopes never overshoot (Fritsch and Carlson,
/// harmonic mean of the neighbouring slopes; from memory).
void add_line(Distribution& all, double weight, const std::array<double, kStepsAlong + 1>& g) {
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
            all.add(weight, along(static_cast<double>(k) + u0), along(static_cast<double>(k) + u1), curve(u0),
                    curve(u1), k == 0 && part == 0, k + 1 == kStepsAlong && part + 1 == kParts);
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
    const std::vector<Draw> axes = d == 1 ? std::vector<Draw>{{1.0}} : frame(gap, directions);
    Distribution all;  // of what the errors add to the gap as drawn
    for (const Line& line : lines(d)) {
        std::array<double, kStepsAlong + 1> g{};
        for (std::size_t k = 0; k <= kStepsAlong; ++k) {
            Draw z(axes[0]);
            for (double& x : z) x *= along(static_cast<double>(k));
            for (std::size_t a = 1; a < d; ++a)
                for (std::size_t i = 0; i < d; ++i) z[i] += line.across[a - 1] * axes[a][i];
            g[k] = gap(directions.at(z)) - body.contact - out.as_drawn;
        }
        add_line(all, line.weight, g);
    }
    all.close();
    out.mean = out.as_drawn + all.mean();
    out.deviation = all.deviation();
    out.kept = out.as_drawn + all.quantile(kKeptShare);
    out.share = all.below(-out.as_drawn);
    return out;
}

}  // namespace foldswing::tolerance
