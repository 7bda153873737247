#pragma once
/// \file arc.hpp  Circular arcs given by what a tape and a straightedge can measure. Lengths: mm, angles: degrees.
///
/// With half-angle p = angle/2 every quantity follows from every other: chord = 2 R sin p, rise = R (1 - cos p) =
/// (chord/2) tan(p/2), length = 2 R p. Arcs go up to a whole circle: a rise of more than half the chord is past a half
/// circle (the major arc). Closed forms keep 1e-13 relative over the whole domain, or of the largest term where the
/// value passes through zero (the chord of nearly a whole circle). Lengths given are from 1e-100 to 1e100 mm, or 0
/// where that is said to be allowed; others are refused.
#include <array>
#include <cstdint>
#include <foldswing/error.hpp>
#include <foldswing/plane.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace foldswing::arc {

/// Radius of the arc that rises `rise` above the middle of a chord `chord`.
/// \param chord straight distance between the arc's ends; finite, > 0
/// \param rise  height at mid-chord; finite, > 0 (more than chord/2 is allowed)
/// \throws InvalidInput naming the argument, the value given and the rule it breaks
/// R = chord^2/(8 rise) + rise/2 (intersecting chords, Euclid III.35). Closed form, a few ulp.
[[nodiscard]] double radius(double chord, double rise);

/// Curvature 1/R, 1/mm; rise may be 0, where it is 0. = 8 rise/(chord^2 + 4 rise^2)
[[nodiscard]] double curvature(double chord, double rise);

/// Rise of the smaller arc over `chord` on a circle of `radius`; chord <= 2 radius. R - sqrt(R^2 - (c/2)^2),
/// rearranged.
[[nodiscard]] double rise(double chord, double radius);
/// Rise of the larger arc over the same chord: what is left of the diameter.
[[nodiscard]] double rise_major(double chord, double radius);

/// Length along the arc; rise >= 0. = 2 R (2 atan(2 rise/chord))
[[nodiscard]] double length(double chord, double rise);

/// Angle at the centre, degrees, 0 to 360; rise >= 0. = 4 atan(2 rise/chord), exactly 180 for a half circle
[[nodiscard]] double angle_deg(double chord, double rise);

/// Chord of the arc that rises `rise` on a circle of `radius`; rise <= 2 radius. = 2 sqrt(rise (2 R - rise))
[[nodiscard]] double chord(double rise, double radius);

/// Height above the chord at `station` from its middle (either way); |station| <= chord/2, rise >= 0.
[[nodiscard]] double height(double chord, double rise, double station);
/// Distance along the arc from its top to the point over `station`; has the sign of `station`.
[[nodiscard]] double along(double chord, double rise, double station);

/// What reading errors of chord and rise do to the radius.
/// Standard error, first order: sqrt((c/(4h) dc)^2 + ((1/2 - c^2/(8h^2)) dh)^2).
[[nodiscard]] double radius_standard_error(double chord, double rise, double chord_error, double rise_error);
/// Smallest radius over chord +- chord_error, rise +- rise_error. chord_error < chord.
[[nodiscard]] double radius_smallest(double chord, double rise, double chord_error, double rise_error);
/// Largest radius over the same readings; infinite where the rise may be 0.
[[nodiscard]] double radius_largest(double chord, double rise, double chord_error, double rise_error);

/// An arc by all its measures. A straight line has rise 0, angle 0 and an infinite radius.
struct Arc {
    double chord;
    double rise;
    double radius;
    double length;
    double angle_deg;
    friend bool operator==(const Arc&, const Arc&) = default;
};

/// The measures that are known: exactly two.
struct Known {
    std::optional<double> chord;
    std::optional<double> rise;
    std::optional<double> radius;
    std::optional<double> length;
    std::optional<double> angle_deg;
};

/// The number of arcs with the two measures asked for; `straight`: one, and it is a straight line.
enum class Answers : std::int8_t { none = 0, one = 1, two = 2, straight = 3 };

struct Solution {
    Answers status;
    std::array<Arc, 2> arcs;  ///< the one with the smaller angle first; NaN where there is no arc
};

/// The arcs that have two given measures. Two arcs fit chord with radius (smaller and larger arc of one circle), and
/// rise with length where rise/length lies between 1/pi and 0.36234...; every other pair has one. chord, radius, length
/// finite and > 0; rise finite and >= 0; 0 <= angle_deg < 360. \throws InvalidInput for a broken rule, or when not
/// exactly two are given
[[nodiscard]] Solution solve(const Known& known);
/// One sentence that says what `solve` found and why.
[[nodiscard]] std::string explain(const Known& known, const Solution& solution);

enum class ThreePointStatus : std::int8_t { arc = 0, straight = 1, outside = 2 };

/// The arc from one point through another to a third.
struct ThreePointArc {
    ThreePointStatus status =
        ThreePointStatus::arc;  ///< `outside`: the three are in line with the middle one not between the others
    Point centre;               ///< NaN where the points are in line
    double radius = 0.0;        ///< infinite where the points are in line
    double curvature = 0.0;     ///< 1/mm, positive where the arc turns counter-clockwise
    double sweep_deg = 0.0;     ///< the turn from first to last, counter-clockwise positive, -360 to 360
    double chord = 0.0;
    double rise = 0.0;    ///< NaN for `outside`
    double length = 0.0;  ///< NaN for `outside`
};
/// \throws InvalidInput when a coordinate is not finite or two of the points are the same
[[nodiscard]] ThreePointArc from_points(Point first, Point middle, Point last);

enum class FitMethod : std::int8_t { geometric = 0, taubin = 1, pratt = 2, kasa = 3, unit_norm = 4 };
enum class FitStatus : std::int8_t { circle = 0, straight = 1, not_converged = 2 };

struct Fit {
    FitStatus status = FitStatus::not_converged;
    FitMethod method = FitMethod::geometric;
    Point centre;            ///< NaN for a straight line
    double radius = 0.0;     ///< infinite for a straight line
    double curvature = 0.0;  ///< 1/mm, >= 0
    double rms = 0.0;        ///< root mean square of the distances from the circle, mm
    Point centre_standard_error;
    double centre_covariance = 0.0;  ///< of its two coordinates, mm^2; NaN for a straight line
    double radius_standard_error = 0.0;
    double curvature_standard_error = 0.0;
    std::vector<double> residuals;  ///< distance of each point from the circle, mm, outside positive
    std::vector<Point> feet;        ///< the point of the circle nearest to each point
    int iterations = 0;
    std::string explanation;
};

/// The circle, or straight line, through the middle of scattered points.
/// `geometric` minimises the squared distances (Gauss-Newton with damping from Taubin's answer; the circle is
/// A(x^2+y^2)+Bx+Cy+D = 0, so that a straight line is an ordinary point of the search); the others solve one linear
/// problem: Kasa (biased small on short arcs), Pratt, Taubin (nearly unbiased), unit_norm (A^2+B^2+C^2+D^2 = 1 in the
/// coordinates as given: depends on the origin; kept for comparison with published answers).
/// Standard errors are to first order in the scatter: from `reading_error` (standard error of each coordinate square to
/// the arc, mm) when given, else from the residuals with n - 3 degrees of freedom (NaN for three points).
/// \throws InvalidInput for fewer than three points, not finite ones, or fewer than three different ones
[[nodiscard]] Fit fit(std::span<const Point> points, FitMethod method = FitMethod::geometric,
                      std::optional<double> reading_error = std::nullopt);

/// One layer of a build-up bent to concentric arcs.
struct Layer {
    double outer_radius;
    double inner_radius;
    double outer_length;  ///< along the outer face over the angle given, mm
    double middle_length;
    double inner_length;
};
enum class Face : std::int8_t { outside = 0, inside = 1 };

/// Radii and arc lengths through layers, first layer at the face whose radius is given.
/// `outside`: radius is that of the outermost face and the layers go inward; `inside`: the innermost face, going
/// outward. \param angle_deg angle at the centre that the lengths span, > 0 and <= 360 \throws InvalidInput when a
/// thickness is not > 0 or the layers reach the centre
[[nodiscard]] std::vector<Layer> layers(double radius, std::span<const double> thicknesses, double angle_deg,
                                        Face from = Face::outside);

}  // namespace foldswing::arc
