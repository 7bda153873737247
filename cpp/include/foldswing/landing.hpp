#pragma once
/// \file landing.hpp  What the panel must do at a stop, and the pivot that does it.
///
/// Landing is linear. A panel point q turned by t about the pivot P comes to P + R(q - P), so its distance beyond the
/// line n.x = d is n.q - d + n.(I - R)(P - q): linear in P. One landing leaves a line (a strip, with its tolerance) of
/// pivots, two give the pivot, more are a least-squares matter. Lengths: mm.
#include <cstdint>
#include <foldswing/plane.hpp>
#include <limits>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace foldswing::hinge {

/// Which side of its line a landing asks for.
enum class LandingKind : std::int8_t {
    on,        ///< on the line, within +- tolerance
    at_least,  ///< n.x >= offset - tolerance
    at_most    ///< n.x <= offset + tolerance
};
/// "on", "at_least", "at_most".
const char* word(LandingKind kind) noexcept;

/// At rotation turn_deg (from shut) the panel point `point` (shut coordinates) lies on the line normal.x = offset.
class Landing {
  public:
    /// \param turn_deg  turn from shut, degrees counter-clockwise; finite
    /// \param point     panel point in shut coordinates, mm
    /// \param normal    any non-zero vector; kept as a unit vector with offset divided by the same length
    /// \param offset    normal.x of the line, in mm times the length of `normal`
    /// \param tolerance mm, >= 0; 0 means exact
    /// \throws InvalidInput when a number is not finite, a length beyond 1e100 mm, the normal zero or the tolerance
    /// negative
    Landing(double turn_deg, Point point, Point normal, double offset, double tolerance = 1.0,
            LandingKind kind = LandingKind::on);

    [[nodiscard]] double turn_deg() const noexcept { return turn_deg_; }
    [[nodiscard]] Point point() const noexcept { return point_; }
    [[nodiscard]] Point normal() const noexcept { return normal_; }
    [[nodiscard]] double offset() const noexcept { return offset_; }
    [[nodiscard]] double tolerance() const noexcept { return tolerance_; }
    [[nodiscard]] LandingKind kind() const noexcept { return kind_; }

    /// Signed distance, mm, of the landed point beyond the line (on the side the normal points to) with the pivot
    /// there.
    [[nodiscard]] double miss(Point pivot) const noexcept;
    /// How far, mm, a miss breaks the landing before its tolerance is counted: |miss|, or the shortfall of an
    /// inequality.
    [[nodiscard]] double breach(double miss) const noexcept;

    friend bool operator==(const Landing&, const Landing&) = default;

  private:
    double turn_deg_;
    Point point_;
    Point normal_;
    double offset_;
    double tolerance_;
    LandingKind kind_;
};

/// What landings say about the pivot.
enum class PivotStatus : std::int8_t {
    point,  ///< landings of two directions at least: one pivot
    line,   ///< every landing asks in one direction: a line of pivots
    none,   ///< no pivot meets all within tolerance
    any     ///< no landing of kind `on` depends on the pivot
};
/// "point", "line", "none", "any".
const char* word(PivotStatus status) noexcept;

inline constexpr double kVoid = std::numeric_limits<double>::quiet_NaN();

struct PivotSolution {
    PivotStatus status = PivotStatus::any;
    Point pivot{kVoid, kVoid};      ///< mm; NaN only where no landing depends on the pivot
    Point direction{kVoid, kVoid};  ///< unit vector along the line of pivots, first non-zero component positive; NaN
                                    ///< unless they form a line
    std::vector<double> residuals;  ///< Landing::miss of each landing at the pivot, signed, mm
    std::string explanation;        ///< a sentence for the bench; stops are counted from 1 in the order given
};

/// The pivot that puts every landing right.
///
/// A landing of turn t asks the pivot for a strip of half-width tolerance/(2 |sin(t/2)|); whole revolutions ask nothing
/// of the pivot and are met or not. Rank is taken from the directions of the strips alone, parallel within 1e-9 radian:
/// a turn of 0.001 degree is still a turn.
///  - `point`: the least-squares point, misses divided by tolerances; landings of tolerance 0 hold exactly.
///  - `line`: the point nearest the origin of coordinates among the least-squares points, and the direction of their
///  line.
///    Both are moved to the nearest pivot that meets every landing within its tolerance, where they do not already.
///  - `any`: no strip. Where inequalities are given, the pivot nearest the origin that meets them; otherwise NaN.
///  - `none`: the pivot with the least worst excess, in tolerances; landings of tolerance 0 hold exactly unless they
///  contradict
///    each other, in which case their own worst miss in mm is made least. Among equals the one nearest the point above.
/// Exact finite method (vertices and edges); a landing counts as met within tolerance plus 1e-12 of the size of the
/// problem, for rounding. \throws InvalidInput for an empty list, or a turn so small that its strip lies beyond 1e100
/// mm
[[nodiscard]] PivotSolution solve_pivot(std::span<const Landing> landings);

/// Which way round to turn.
enum class Way : std::int8_t { shorter, clockwise, counter_clockwise };

/// Turn in degrees that brings a face lying along `face` when shut to lie along `wanted`; both directed, any non-zero
/// length. shorter: in (-180, 180]; clockwise: in (-360, 0]; counter_clockwise: in [0, 360). Exact at multiples of 90.
/// \throws InvalidInput when a vector is zero or not finite
[[nodiscard]] double turn_to_face(Point face, Point wanted, Way way = Way::shorter);

/// Turn in degrees after which a face lying along `face` when shut is level, either end leading; the first such turn
/// that way round: clockwise in (-180, 0], counter_clockwise in [0, 180), shorter in (-90, 90]. \throws InvalidInput as
/// turn_to_face
[[nodiscard]] double turn_to_level(Point face, Way way = Way::shorter);

/// An edge lands at a height: its y is `height`.
[[nodiscard]] Landing lands_at_height(double turn_deg, Point edge, double height, double tolerance = 1.0,
                                      LandingKind kind = LandingKind::on);

/// An edge lands `drop` below a fixed face through `face_point` whose outward normal is `face_normal` (a negative drop:
/// proud of it).
[[nodiscard]] Landing lands_below(double turn_deg, Point edge, Point face_point, Point face_normal, double drop,
                                  double tolerance = 1.0, LandingKind kind = LandingKind::on);

/// A panel face from face_a to face_b (shut coordinates) lands flush with the fixed line from line_a to line_b,
/// pointing the same way. The turn follows from the two directions; the landing puts the middle of the face on the
/// line.
[[nodiscard]] Landing lands_flush(Point face_a, Point face_b, Point line_a, Point line_b, Way way = Way::shorter,
                                  double tolerance = 1.0, LandingKind kind = LandingKind::on);

/// A panel point lands on a fixed point: two landings, across (x) and up (y).
[[nodiscard]] std::pair<Landing, Landing> lands_on_point(double turn_deg, Point point, Point target,
                                                         double tolerance = 1.0);

}  // namespace foldswing::hinge
