#pragma once
/// \file hinge.hpp  One pivot: where it must be for the panel to land true, and the motion it gives.
#include <foldswing/motion.hpp>

namespace foldswing::hinge {

/// A panel that turns about one fixed pivot, from any angle to any angle; the turn is linear in s.
/// pose(s) = the turn about `pivot` by from + s (to - from); the pivot keeps its place exactly.
class PivotHinge final : public Motion {
  public:
    /// \throws InvalidInput when a number is not finite
    PivotHinge(Point pivot, double turn_from_deg, double turn_to_deg);

    void poses(std::span<const double> s, std::span<Pose> out) const override;
    [[nodiscard]] std::vector<double> breaks() const override;
    [[nodiscard]] double stray(std::span<const Point> corners, double s0, double s1) const override;
    [[nodiscard]] std::optional<PlainTurn> plain_turn() const override { return turn_; }

  private:
    PlainTurn turn_;
};

}  // namespace foldswing::hinge
