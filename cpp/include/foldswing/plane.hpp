#pragma once
/// \file plane.hpp  Points, poses and outlines in the section plane: x right, y up, turns counter-clockwise. Lengths:
/// mm.
#include <compare>
#include <foldswing/error.hpp>
#include <span>
#include <string>
#include <vector>

namespace foldswing {

/// A point or a vector of the section plane, mm.
struct Point {
    double x = 0.0;
    double y = 0.0;
    // NOLINTNEXTLINE(modernize-use-nullptr): a false alarm of clang-tidy 14
    friend constexpr auto operator<=>(const Point&, const Point&) = default;
    friend constexpr Point operator+(Point a, Point b) noexcept { return {a.x + b.x, a.y + b.y}; }
    friend constexpr Point operator-(Point a, Point b) noexcept { return {a.x - b.x, a.y - b.y}; }
    friend constexpr Point operator*(double k, Point a) noexcept { return {k * a.x, k * a.y}; }
};

/// A rigid displacement: carries panel coordinates to fixed ones, X = R(angle_deg) p + (x, y).
/// The angle is kept as given (a whole revolution is not the identity to a stop that counts turns).
struct Pose {
    double x = 0.0;
    double y = 0.0;
    double angle_deg = 0.0;
    // NOLINTNEXTLINE(modernize-use-nullptr): a false alarm of clang-tidy 14
    friend constexpr auto operator<=>(const Pose&, const Pose&) = default;

    /// The point p carried along.
    [[nodiscard]] Point apply(Point p) const noexcept;
    /// Many points at once; out has the size of points (may be the same memory).
    void apply(std::span<const Point> points, std::span<Point> out) const;
    /// this after other: (this * other).apply(p) == this.apply(other.apply(p)).
    [[nodiscard]] Pose compose(const Pose& other) const noexcept;
    [[nodiscard]] Pose inverse() const noexcept;
    /// The turn by turn_deg about a fixed point.
    [[nodiscard]] static Pose about(Point pivot, double turn_deg) noexcept;
};
/// \throws InvalidInput when a number of the pose is not finite
void require_valid(const Pose& pose);

/// One ring of corners, closing side implied.
using Ring = std::vector<Point>;

/// A polygon with holes that has been checked: at least three corners a ring, no repeated corner, no side that crosses
/// or touches another, no zero area, holes inside and apart (they may touch at single points that do not cut the
/// outline in two). The checks are exact. Stored counter-clockwise (holes clockwise), without a closing point; corner 0
/// stays first.
class Outline {
  public:
    /// Either winding; a closing point equal to the first is dropped. Coordinates within +-1e12 mm.
    /// \throws InvalidInput with a sentence that says what is wrong and where; corners are counted from 1, as given
    explicit Outline(Ring corners, std::vector<Ring> holes = {});

    [[nodiscard]] const Ring& corners() const noexcept { return corners_; }
    [[nodiscard]] const std::vector<Ring>& holes() const noexcept { return holes_; }
    friend bool operator==(const Outline&, const Outline&) = default;

    /// The outline carried by a pose. \throws InvalidInput when the pose is not finite
    [[nodiscard]] Outline moved(const Pose& pose) const;
    /// The outline reflected in the line through `on` along `direction`; it stays counter-clockwise.
    /// \throws InvalidInput when direction is zero or a number is not finite
    [[nodiscard]] Outline mirrored(Point on, Point direction) const;

  private:
    Outline() = default;  // rigid copies of a checked outline are not checked again: rounding must not refuse them
    Ring corners_;
    std::vector<Ring> holes_;
};

/// Area, mm^2, holes taken out.
[[nodiscard]] double area(const Outline& outline) noexcept;
/// Centre of the area, holes counted.
[[nodiscard]] Point centroid(const Outline& outline) noexcept;

/// Where a point lies. Exact. \throws InvalidInput when a coordinate is not finite
enum class Place : signed char { outside = -1, on_edge = 0, inside = 1 };
[[nodiscard]] Place locate(const Outline& outline, Point p);

/// The point reflected in the line through `on` along `direction` (any length but zero).
/// \throws InvalidInput when direction is zero or a number is not finite
[[nodiscard]] Point mirror(Point p, Point on, Point direction);

/// A chain of straight lines and circular arcs: segment i goes from point i to the next, straight where sweep_deg[i] is
/// 0, else along the arc that turns by sweep_deg[i] (counter-clockwise positive).
class Path {
  public:
    /// n points; n - 1 sweeps, or n when closed (the last segment returns to point 0). A full circle is two half turns.
    /// \throws InvalidInput when a number is not finite, a sweep is not within +-360 (exclusive), neighbours coincide,
    ///   or the counts do not fit (at least 2 points)
    Path(std::vector<Point> points, std::vector<double> sweep_deg, bool closed = false);

    [[nodiscard]] const std::vector<Point>& points() const noexcept { return points_; }
    [[nodiscard]] const std::vector<double>& sweep_deg() const noexcept { return sweep_deg_; }
    [[nodiscard]] bool closed() const noexcept { return closed_; }
    friend bool operator==(const Path&, const Path&) = default;

    [[nodiscard]] std::size_t size() const noexcept { return sweep_deg_.size(); }  ///< number of segments
    [[nodiscard]] Point start(std::size_t i) const { return points_[i]; }
    [[nodiscard]] Point end(std::size_t i) const { return points_[(i + 1) % points_.size()]; }
    /// Radius of segment i; infinite where it is straight.
    [[nodiscard]] double radius(std::size_t i) const;
    /// Centre of segment i; NaN where it is straight.
    [[nodiscard]] Point centre(std::size_t i) const;
    /// The point at fraction t in [0, 1] along segment i.
    [[nodiscard]] Point at(std::size_t i, double t) const;
    [[nodiscard]] double length(std::size_t i) const;
    [[nodiscard]] double length() const;

    /// Points on the path such that the chords stray from it by at most sagitta; every point of the path is kept. A
    /// closed path does not repeat its first point. \throws InvalidInput when sagitta is not > 0 or asks for over 1e6
    /// points
    [[nodiscard]] std::vector<Point> flatten(double sagitta) const;
    /// A closed path as an outline whose corners lie on it: inside a bulging arc, outside a hollow one, by up to
    /// sagitta. \throws InvalidInput when the path is open or crosses itself
    [[nodiscard]] Outline outline(double sagitta) const;

    [[nodiscard]] Path moved(const Pose& pose) const;
    [[nodiscard]] Path mirrored(Point on, Point direction) const;
    [[nodiscard]] Path reversed() const;

  private:
    std::vector<Point> points_;
    std::vector<double> sweep_deg_;
    bool closed_ = false;
};

/// The outline with its corners rounded; radii has one value for all, or one for each of outline.corners() in their
/// order. Radius 0 keeps the corner; reflex corners are rounded too; a corner without a turn stays. \throws
/// InvalidInput when a radius is negative, a side is too short for the radii at its ends, the rounded outline
///   would cross itself, or the outline has holes (round each ring by itself)
[[nodiscard]] Path round_corners(const Outline& outline, std::span<const double> radii);

/// An ear: metal left standing round a pin past a straight side, so that the pin has metal on that side too.
struct Ear {
    double along = 0.0;   ///< of the pin, from the start of the side; within the side
    double inside = 0.0;  ///< of the pin, into the metal from the side; negative: past it
    double radius = 0.0;  ///< > 0, round the pin
};
/// The path with an ear on one straight side: an arc about the pin, and straight down to the side from the arc's widest
/// where the pin lies past it. The ear goes no farther along than the side does. Unchanged where the pin already lies
/// deeper than the ear's radius. \throws InvalidInput when the path is open, the side is an arc, or the pin
///   is not beside it. The metal is on the left of the way the side runs
[[nodiscard]] Path with_ear(const Path& ring, std::size_t side, const Ear& ear);

/// A closed path joined with a disc, such as the metal left round a pin near its edge: what bounds the two together,
/// holes between them filled. Arcs stay arcs; a circle that only touches an edge changes nothing. Runs round the same
/// way as the path. \throws InvalidInput when the path is open or crosses itself, the radius is not > 0, or the two do
/// not overlap
[[nodiscard]] Path with_disc(const Path& ring, Point centre, double radius);

/// How two bodies lie to each other.
struct Separation {
    double distance = 0.0;  ///< smallest distance between them; 0 when they touch or overlap
    /// 0 when they are apart or touch. Else the greatest distance by which a point on the edge of either lies inside
    /// the other: mostly an overlapping corner; where a bar crosses a bar, half the width of the wider. No shift
    /// shorter than this parts them. Exact at corners, elsewhere within kDepthTolerance. Where both cover the same
    /// region no edge is inside; then the deepest point is sought on lines square across from the middle of each side.
    double depth = 0.0;
    Point point_a;  ///< the nearest points; when overlapping the deepest point and the edge of the other nearest to it
    Point point_b;
    std::size_t index_a = 0;  ///< which of several bodies
    std::size_t index_b = 0;
};
inline constexpr double kDepthTolerance = 1e-9;  ///< mm; far below anything a shop can see

[[nodiscard]] Separation distance(const Outline& a, const Outline& b);
/// Between two groups: the deepest overlap where any two overlap, else the nearest pair; the first of equals.
/// \throws InvalidInput when a group is empty
[[nodiscard]] Separation distance(std::span<const Outline> a, std::span<const Outline> b);

enum class Corners : unsigned char { round, mitre };
struct OffsetOptions {
    Corners corners = Corners::round;
    double sagitta = 0.005;    ///< mm; how far a rounded corner may stand off the true arc; >= distance / 1e6
    double mitre_limit = 4.0;  ///< a mitre longer than this many distances is squared off there; >= 1
};
/// The outline grown (distance > 0) or shrunk (< 0). The new edge is never nearer to the old than |distance| (within
/// rounding) and, at rounded corners, never farther than |distance| + sagitta: a grown outline contains the true one, a
/// shrunk one is contained in it. May split or vanish, hence any number of outlines.
/// Points may be off by about 1e-12 of the largest coordinate; parts and holes thinner than that are left out.
/// \throws InvalidInput when a number is not finite (distance: within +-1e12 mm) or an option is out of its range
[[nodiscard]] std::vector<Outline> offset(const Outline& outline, double distance, const OffsetOptions& options = {});

/// A circle.
struct Circle {
    Point centre;
    double radius = 0.0;  ///< mm
};
/// The largest circle that fits into the outlines, clear of their holes; of equal ones any. To within 1e-12 of the
/// size of the outlines where the work ends within its bound (thirty thousand boxes; it does for shop parts), else
/// the best found; radius 0 where all is thinner than rounding. A search over boxes: the distance from the edge is
/// bounded over a box by the linear distances from its nearest sides, so that the search ends at once where three sides
/// decide. \throws InvalidInput when outlines is empty
[[nodiscard]] Circle largest_circle(std::span<const Outline> outlines);

/// Distance, mm, of a point from the edge of the outlines, their holes included: how far it may be moved any way and
/// stay inside; below zero outside all of them. \throws InvalidInput when outlines is empty or a number not finite
[[nodiscard]] double room(std::span<const Outline> outlines, Point p);

/// The region covered by any of the outlines, as outlines that do not overlap; as exact as offset.
[[nodiscard]] std::vector<Outline> unite(std::span<const Outline> outlines);

}  // namespace foldswing
