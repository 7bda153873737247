#pragma once
/// \file plane.hpp  Points, poses and outlines in the section plane: x right, y up, turns counter-clockwise. Lengths: mm.
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

/// A polygon with holes that has been checked: at least three corners a ring, no repeated corner, no self-crossing, no
/// zero area, holes inside. Stored counter-clockwise (holes clockwise), without a closing point.
class Outline {
  public:
    /// Either winding; a closing point equal to the first is dropped.
    /// \throws InvalidInput with a sentence that says what is wrong and where
    explicit Outline(Ring corners, std::vector<Ring> holes = {});

    [[nodiscard]] const Ring& corners() const noexcept { return corners_; }
    [[nodiscard]] const std::vector<Ring>& holes() const noexcept { return holes_; }
    friend bool operator==(const Outline&, const Outline&) = default;

  private:
    Ring corners_;
    std::vector<Ring> holes_;
};

}  // namespace foldswing
