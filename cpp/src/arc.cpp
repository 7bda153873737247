#include <algorithm>
#include <cmath>
#include <foldswing/arc.hpp>
#include <limits>
#include <numbers>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::arc {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

// Squares over lengths neither overflow nor underflow between these, mm.
constexpr double kSmallest = 1e-100;
constexpr double kLargest = 1e100;

void require_length(const char* name, double v) {
    detail::require_positive(name, v);
    detail::require(v >= kSmallest && v <= kLargest, name, v, "from 1e-100 to 1e100 mm");
}
void require_length_or_0(const char* name, double v) {
    detail::require_not_negative(name, v);
    if (v > 0.0) require_length(name, v);
}

void require_chord_rise(double chord, double rise) {
    require_length("chord", chord);
    require_length_or_0("rise", rise);
}

void require_on_circle(double chord, double radius) {
    require_length("chord", chord);
    require_length("radius", radius);
    detail::require(0.5 * chord <= radius, "chord", chord, "at most twice the radius");
}

/// sqrt(a b): 3-4-5 triangles stay exact, and no product overflows.
double geometric_mean(double a, double b) {
    const double product = a * b;
    return std::isnormal(product) ? std::sqrt(product) : std::sqrt(a) * std::sqrt(b);
}

/// sqrt(R^2 - a^2) without squares that overflow and without their difference.
double leg(double radius, double a) { return geometric_mean(radius - a, radius + a); }

double radius_of(double chord, double rise) { return 0.125 * chord * (chord / rise) + 0.5 * rise; }

/// Half of the angle at the centre, radians, 0 to pi.
double half_angle(double chord, double rise) { return 2.0 * std::atan2(rise, 0.5 * chord); }

/// p / sin p; smooth through 0.
double inverse_sinc(double p) { return p == 0.0 ? 1.0 : p / std::sin(p); }

double length_of(double chord, double rise) {
    const double p = half_angle(chord, rise);
    // Up to a half circle from the chord, beyond it from the rise: neither then divides by something near zero.
    if (rise <= 0.5 * chord) return chord * inverse_sinc(p);
    const double s = std::sin(0.5 * p);
    return rise * p / (s * s);
}

/// R minus x, where R itself is chord^2/(8 rise) + rise/2 and a = chord/2: nothing is lost where x is near R.
double radius_minus(double a, double rise, double a_minus_x) {
    return 0.5 * (a - rise) * ((a - rise) / rise) + a_minus_x;
}

void require_station(double chord, double rise, double station) {
    require_chord_rise(chord, rise);
    detail::require_finite("station", station);
    detail::require(std::abs(station) <= 0.5 * chord, "station", station, "within half the chord of its middle");
}

void require_readings(double chord, double rise, double chord_error, double rise_error) {
    require_length("chord", chord);
    require_length("rise", rise);
    require_length_or_0("chord_error", chord_error);
    require_length_or_0("rise_error", rise_error);
    detail::require(chord_error < chord, "chord_error", chord_error, "less than the chord");
}

}  // namespace

double radius(double chord, double rise) {
    require_length("chord", chord);
    require_length("rise", rise);
    return radius_of(chord, rise);
}

double curvature(double chord, double rise) {
    require_chord_rise(chord, rise);
    const double t = 2.0 * (rise / chord);
    const double u = 0.5 * (chord / rise);
    return t <= 1.0 ? 4.0 * t / chord / (1.0 + t * t) : 2.0 / (rise * (1.0 + u * u));
}

double rise(double chord, double radius) {
    require_on_circle(chord, radius);
    const double a = 0.5 * chord;
    return a * (a / (radius + leg(radius, a)));
}

double rise_major(double chord, double radius) {
    require_on_circle(chord, radius);
    return radius + leg(radius, 0.5 * chord);
}

double length(double chord, double rise) {
    require_chord_rise(chord, rise);
    return length_of(chord, rise);
}

double angle_deg(double chord, double rise) {
    require_chord_rise(chord, rise);
    return 4.0 * detail::atan2_deg(rise, 0.5 * chord);
}

double chord(double rise, double radius) {
    require_length("radius", radius);
    require_length_or_0("rise", rise);
    detail::require(0.5 * rise <= radius, "rise", rise, "at most twice the radius");
    return 2.0 * geometric_mean(rise, radius + (radius - rise));
}

double height(double chord, double rise, double station) {
    require_station(chord, rise, station);
    const double a = 0.5 * chord;
    const double x = std::abs(station);
    if (rise <= a) {  // up to a half circle: (a^2 - x^2) / (sqrt(R^2 - x^2) + R - h), all times 2h/a^2
        const double t = rise / a;
        const double flat = (a - rise) / a;  // 1 - t, by the difference that is exact
        const double rest = (a - x) / a;
        if (rest == 0.0) return 0.0;  // the end lies on the chord; for the half circle what follows would be 0 / 0
        const double below = flat * flat + 2.0 * t * rest;
        const double above = 1.0 + t * t + 2.0 * t * (x / a);
        return 2.0 * rise * rest * ((a + x) / a) / (std::sqrt(below * above) + flat * (1.0 + t));
    }
    const double r = radius_of(chord, rise);
    return std::sqrt(radius_minus(a, rise, a - x)) * std::sqrt(r + x) + 0.5 * (rise - a) * ((rise + a) / rise);
}

double along(double chord, double rise, double station) {
    require_station(chord, rise, station);
    if (rise == 0.0) return station;
    const double a = 0.5 * chord;
    const double x = std::abs(station);
    const double r = radius_of(chord, rise);
    if (!std::isfinite(r)) return station;  // flatter than a double can tell from straight
    return std::copysign(r * std::atan2(x, std::sqrt(radius_minus(a, rise, a - x)) * std::sqrt(r + x)), station);
}

double radius_standard_error(double chord, double rise, double chord_error, double rise_error) {
    require_readings(chord, rise, chord_error, rise_error);
    const double t = 0.5 * chord / rise;
    // A reading without error adds nothing, not even where t is beyond the largest double.
    const auto part = [](double slope, double error) { return error == 0.0 ? 0.0 : slope * error; };
    return std::hypot(part(0.5 * t, chord_error), part(0.5 * (1.0 - t) * (1.0 + t), rise_error));
}

double radius_smallest(double chord, double rise, double chord_error, double rise_error) {
    require_readings(chord, rise, chord_error, rise_error);
    const double c = chord - chord_error;
    // The radius over a chord is least for the half circle.
    return radius_of(c, std::clamp(0.5 * c, std::max(rise - rise_error, 0.0), rise + rise_error));
}

double radius_largest(double chord, double rise, double chord_error, double rise_error) {
    require_readings(chord, rise, chord_error, rise_error);
    if (rise_error >= rise) return kInf;
    const double c = chord + chord_error;
    return std::max(radius_of(c, rise - rise_error), radius_of(c, rise + rise_error));
}

namespace {

constexpr Arc kNoArc{kNaN, kNaN, kNaN, kNaN, kNaN};
constexpr Solution kNone{Answers::none, {kNoArc, kNoArc}};
// Newton from the side where it converges monotonically needs 5 to 8 steps; the rest is a guard against a cycle in the
// last bit.
constexpr int kNewtonSteps = 60;

Solution one(const Arc& arc) { return {Answers::one, {arc, kNoArc}}; }
Solution straight(double length) { return {Answers::straight, {Arc{length, 0.0, kInf, length, 0.0}, kNoArc}}; }

/// 1 - sin(p)/p as a function of w = p^2, and its derivative: nearly linear and concave on 0 < p <= pi.
struct Excess {
    double value;
    double slope;
};
Excess excess(double w) {
    if (w < 1.0) {  // sum of -(-w)^k/(2k+1)!; eight terms leave 1e-17
        double value = 0.0;
        double slope = 0.0;
        double term = -1.0;
        for (int k = 1; k <= 9; ++k) {
            term /= -(2.0 * k) * (2.0 * k + 1.0);
            slope += k * term;
            term *= w;
            value += term;
        }
        return {value, slope};
    }
    const double p = std::sqrt(w);
    const double sinc = std::sin(p) / p;
    return {1.0 - sinc, 0.5 * (sinc - std::cos(p)) / w};
}

/// The half-angle, radians, at which the chord is `chord` and the arc `length`.
double half_angle_of_excess(double chord, double length) {
    const double wanted = (length - chord) / length;  // the difference is exact where it is small
    double w = 6.0 * wanted;  // below the root: the curve is concave, and every step stays below it
    for (int i = 0; i < kNewtonSteps; ++i) {
        const Excess e = excess(w);
        const double next = w + (wanted - e.value) / e.slope;
        if (!(next > w)) break;
        w = next;
    }
    return std::min(std::sqrt(w), std::numbers::pi);
}

/// The arc of a given length and half-angle p (radians): no term vanishes before p does.
Arc from_length(double length, double p) {
    const double s = std::sin(0.5 * p);
    return {length * std::sin(p) / p, length * s * (s / p), 0.5 * length / p, length, 2.0 * p / detail::kDegree};
}

// rise/length = sin^2(u)/(2u) with u a quarter of the angle at the centre. It is greatest where tan u = 2u.
constexpr double kTopU = 1.1655611852072114;
constexpr double kTopRatio = 0.36230567688835424;         // the ratio there ...
constexpr double kTopRatioRest = -6.577548357169284e-18;  // ... and what that double leaves of it
constexpr double kTopSin = 0.7246113537767085;            // sin 2u there
constexpr double kTopCos = -0.6891577366451644;           // cos 2u there
constexpr double kWholeRatio = 0.3183098861837907;        // 1/pi, the ratio of the whole circle
constexpr double kNearTopU = 0.75;  // above it u is counted from the top, where the curve is level

double ratio(double u) { return 0.5 * std::sin(u) * (std::sin(u) / u); }

/// u on the rising side where the ratio is `wanted`, up to kNearTopU. Concave: Newton from below stays below.
double u_below(double wanted) {
    double u = 2.0 * wanted;
    for (int i = 0; i < kNewtonSteps; ++i) {
        const double s = std::sin(u);
        const double slope = 0.5 * (s / u) * (2.0 * std::cos(u) - s / u);
        const double next = u + (wanted - ratio(u)) / slope;
        if (!(next > u)) break;
        u = next;
    }
    return u;
}

/// u - kTopU on one side (-1 or 1) where the ratio is `drop` below its top. top - ratio(top + e) is, without a
/// difference of nearly equal numbers, (sin 2top (e - sin e cos e) - cos 2top sin^2 e) / (2u).
double from_top(double drop, double side) {
    double e = side * std::sqrt(drop * 2.0 * kTopU / -kTopCos);
    for (int i = 0; i < kNewtonSteps && e != 0.0; ++i) {
        const double u = kTopU + e;
        const double s = std::sin(e);
        const double value = (kTopSin * e * excess(4.0 * e * e).value - kTopCos * s * s) / (2.0 * u);
        const double slope = (kTopSin * s * s - kTopCos * s * std::cos(e) - value) / u;
        const double step = (drop - value) / slope;
        e += step;
        if (std::abs(step) <= std::numeric_limits<double>::epsilon() * std::abs(e)) break;
    }
    return e;
}

Solution from_rise_length(double rise, double length) {
    if (rise == 0.0) return straight(length);
    const double wanted = rise / length;
    // The quotient's own rounding is added back: the two answers meet like a square root, which would magnify it.
    const double rest = std::fma(-wanted, length, rise) / length;
    const double drop = (kTopRatio - wanted) + (kTopRatioRest - rest);
    if (drop < 0.0) return kNone;
    const double low = wanted < ratio(kNearTopU) ? u_below(wanted) : kTopU + from_top(drop, -1.0);
    Solution out = one(from_length(length, 2.0 * low));
    out.arcs[0].rise = rise;
    if (wanted <= kWholeRatio || drop == 0.0) return out;
    out.status = Answers::two;
    out.arcs[1] = from_length(length, 2.0 * (kTopU + from_top(drop, 1.0)));
    out.arcs[1].rise = rise;
    return out;
}

Solution from_chord_rise(double chord, double rise) {
    if (rise == 0.0) return straight(chord);
    return one({chord, rise, radius_of(chord, rise), length_of(chord, rise), angle_deg(chord, rise)});
}

Solution from_chord_radius(double chord, double radius) {
    const double a = 0.5 * chord;
    if (a > radius) return kNone;
    const double l = leg(radius, a);
    Solution out =
        one({chord, a * (a / (radius + l)), radius, 2.0 * radius * std::atan2(a, l), 2.0 * detail::atan2_deg(a, l)});
    if (a == radius) return out;
    out.status = Answers::two;
    out.arcs[1] = {chord, radius + l, radius, 2.0 * radius * std::atan2(a, -l), 2.0 * detail::atan2_deg(a, -l)};
    return out;
}

Solution from_chord_length(double chord, double length) {
    if (length < chord) return kNone;
    if (length == chord) return straight(chord);
    Arc arc = from_length(length, half_angle_of_excess(chord, length));
    arc.chord = chord;
    return one(arc);
}

Solution from_chord_angle(double chord, double angle) {
    if (angle == 0.0) return straight(chord);
    const double r = 0.5 * chord / detail::sin_deg(0.5 * angle);
    return one({chord, 0.5 * chord * detail::tan_half_deg(0.5 * angle), r, r * (angle * detail::kDegree), angle});
}

Solution from_rise_radius(double rise, double radius) {
    if (rise == 0.0 || 0.5 * rise >= radius) return kNone;
    const double low = std::sqrt(rise);
    const double high = std::sqrt(radius + (radius - rise));
    return one(
        {2.0 * low * high, rise, radius, 4.0 * radius * std::atan2(low, high), 4.0 * detail::atan2_deg(low, high)});
}

Solution from_rise_angle(double rise, double angle) {
    if (rise == 0.0 || angle == 0.0) return kNone;
    const double tangent = detail::tan_half_deg(0.5 * angle);
    const double r = rise / tangent / detail::sin_deg(0.5 * angle);  // R (1 - cos p) = R sin p tan(p/2)
    return one({2.0 * rise / tangent, rise, r, r * (angle * detail::kDegree), angle});
}

Solution from_radius_length(double radius, double length) {
    const double p = 0.5 * length / radius;
    if (p >= std::numbers::pi) return kNone;
    Arc arc = from_length(length, p);
    arc.radius = radius;
    return one(arc);
}

Solution from_radius_angle(double radius, double angle) {
    if (angle == 0.0) return kNone;
    const double s = detail::sin_deg(0.5 * angle);
    return one({2.0 * radius * s, radius * s * detail::tan_half_deg(0.5 * angle), radius,
                radius * (angle * detail::kDegree), angle});
}

Solution from_length_angle(double length, double angle) {
    if (angle == 0.0) return straight(length);
    Solution out = from_radius_angle(length / (angle * detail::kDegree), angle);
    out.arcs[0].length = length;
    return out;
}

}  // namespace

Solution solve(const Known& k) {
    const std::array<bool, 5> has{k.chord.has_value(), k.rise.has_value(), k.radius.has_value(), k.length.has_value(),
                                  k.angle_deg.has_value()};
    const auto given = std::count(has.begin(), has.end(), true);
    if (given != 2)
        throw InvalidInput("the measures", std::to_string(given),
                           "exactly two of chord, rise, radius, length, angle_deg");
    if (k.chord) require_length("chord", *k.chord);
    if (k.rise) require_length_or_0("rise", *k.rise);
    if (k.radius) require_length("radius", *k.radius);
    if (k.length) require_length("length", *k.length);
    if (k.angle_deg)
        detail::require(*k.angle_deg >= 0.0 && *k.angle_deg < 360.0, "angle_deg", *k.angle_deg,
                        "at least 0 and less than 360");
    if (k.chord && k.rise) return from_chord_rise(*k.chord, *k.rise);
    if (k.chord && k.radius) return from_chord_radius(*k.chord, *k.radius);
    if (k.chord && k.length) return from_chord_length(*k.chord, *k.length);
    if (k.chord) return from_chord_angle(*k.chord, *k.angle_deg);
    if (k.rise && k.radius) return from_rise_radius(*k.rise, *k.radius);
    if (k.rise && k.length) return from_rise_length(*k.rise, *k.length);
    if (k.rise) return from_rise_angle(*k.rise, *k.angle_deg);
    if (k.radius && k.length) return from_radius_length(*k.radius, *k.length);
    if (k.radius) return from_radius_angle(*k.radius, *k.angle_deg);
    return from_length_angle(*k.length, *k.angle_deg);
}

std::string explain(const Known& k, const Solution& solution) {
    const auto mm = [](double v) { return detail::number_text(v) + " mm"; };
    switch (solution.status) {
        case Answers::one:
            return "one arc has these two measures";
        case Answers::straight:
            return "the two measures make a straight line";
        case Answers::two:
            return k.chord ? "the chord cuts the circle in a smaller and a larger arc"
                           : "a flatter and a rounder arc have this rise and length";
        case Answers::none:
            break;
    }
    if (k.chord && k.radius)
        return "a circle of radius " + mm(*k.radius) + " is too small for a chord of " + mm(*k.chord);
    if (k.chord && k.length) return "an arc of " + mm(*k.length) + " does not reach along a chord of " + mm(*k.chord);
    if (k.radius && k.length)
        return "an arc of " + mm(*k.length) + " goes right round a circle of radius " + mm(*k.radius);
    if (k.rise && k.length)
        return "no arc of " + mm(*k.length) + " rises " + mm(*k.rise) + ": the most is " + mm(kTopRatio * *k.length);
    if (k.rise && k.radius && *k.rise > 0.0)
        return "a rise of " + mm(*k.rise) + " is right across a circle of radius " + mm(*k.radius);
    return "with no rise and no angle there is no arc, and nothing says how long the straight line is";
}

std::vector<Layer> layers(double radius, std::span<const double> thicknesses, double angle, Face from) {
    require_length("radius", radius);
    detail::require(angle > 0.0 && angle <= 360.0, "angle_deg", angle, "greater than 0 and at most 360");
    std::vector<Layer> out;
    out.reserve(thicknesses.size());
    const double turn = angle * detail::kDegree;
    double sum = 0.0;  // from the given face, so that rounding does not add up along the radii
    for (std::size_t i = 0; i < thicknesses.size(); ++i) {
        const double t = thicknesses[i];
        if (!(std::isfinite(t) && t > 0.0))
            throw InvalidInput("thicknesses", t, "finite and > 0").at(std::to_string(i));
        const double near = from == Face::outside ? radius - sum : radius + sum;
        sum += t;
        const double far = from == Face::outside ? radius - sum : radius + sum;
        if (!(far > 0.0))
            throw InvalidInput("thicknesses", t, "so thin that the layers stop short of the centre")
                .at(std::to_string(i));
        const double outer = std::max(near, far);
        const double inner = std::min(near, far);
        out.push_back({outer, inner, outer * turn, 0.5 * (outer + inner) * turn, inner * turn});
    }
    return out;
}

}  // namespace foldswing::arc
