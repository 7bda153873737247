#pragma once
/// \file motion.hpp  What a hinge gives: a pose of the panel for each s in [0, 1], and how far a panel can stray between.
#include <foldswing/plane.hpp>
#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace foldswing {

/// A motion that is one turn about one fixed point, from any angle to any angle; turn(s) is linear in s.
struct PlainTurn {
    Point pivot;
    double turn_from_deg = 0.0;
    double turn_to_deg = 0.0;
};

/// An immutable motion of the panel, shared by pointer to const. Calls are batched, so dispatch costs nothing.
class Motion {
  public:
    Motion() = default;
    Motion(const Motion&) = delete;
    Motion& operator=(const Motion&) = delete;
    Motion(Motion&&) = delete;
    Motion& operator=(Motion&&) = delete;
    virtual ~Motion() = default;

    /// Pose at each s in [0, 1]; out has the size of s.
    virtual void poses(std::span<const double> s, std::span<Pose> out) const = 0;

    /// Ascending s strictly inside (0, 1) at which the motion must be cut; `stray` holds on pieces between them.
    [[nodiscard]] virtual std::vector<double> breaks() const { return {}; }

    /// An upper bound, mm, on how far any of `corners` (panel coordinates) is, anywhere in [s0, s1], from where it is
    /// at (s0 + s1)/2. Holds within one piece between breaks; goes to 0 with s1 - s0.
    [[nodiscard]] virtual double stray(std::span<const Point> corners, double s0, double s1) const = 0;

    /// The same motion seen as one plain turn, where it is one: the exact gap asks for it.
    [[nodiscard]] virtual std::optional<PlainTurn> plain_turn() const { return std::nullopt; }
};

using MotionPtr = std::shared_ptr<const Motion>;

}  // namespace foldswing
