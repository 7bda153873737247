#pragma once
/// \file motion.hpp  What a hinge gives: a pose of the panel for each s in [0, 1], and how far a panel can stray
/// between.
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

    /// An upper bound, mm, on how far any point of the hull of `corners` is, at any s in [s0, s1], from the straight
    /// line between its places at s0 and s1, taken at the same fraction. Holds within one piece between breaks.
    [[nodiscard]] virtual double bulge(std::span<const Point> corners, double s0, double s1) const {
        return 2.0 * stray(corners, s0, s1);  // all three places lie in one disc of radius stray
    }

    /// How far, mm, any panel point of the real motion may be from where `poses` puts it; 0 where poses are the motion.
    [[nodiscard]] virtual double departure() const { return 0.0; }

    /// The same motion seen as one plain turn, where it is one: the exact gap asks for it.
    [[nodiscard]] virtual std::optional<PlainTurn> plain_turn() const { return std::nullopt; }
};

using MotionPtr = std::shared_ptr<const Motion>;

/// A motion given by poses at knots; x, y and angle are linear in s between them.
/// poses(s[i]) == knots[i] to the bit; a point q moves on x(s) + R(angle(s)) q.
class Tabulated final : public Motion {
  public:
    /// \param s     ascending from 0 to 1, at least two values
    /// \param knots a finite pose for each s
    /// \param departure how far, mm, any panel point of the real motion may be from the poses given here; >= 0
    /// \throws InvalidInput when one of these is broken
    Tabulated(std::vector<double> s, std::vector<Pose> knots, double departure = 0.0);

    void poses(std::span<const double> s, std::span<Pose> out) const override;
    [[nodiscard]] std::vector<double> breaks() const override;
    [[nodiscard]] double stray(std::span<const Point> corners, double s0, double s1) const override;
    [[nodiscard]] double bulge(std::span<const Point> corners, double s0, double s1) const override;
    [[nodiscard]] double departure() const override { return departure_; }

    [[nodiscard]] const std::vector<double>& s() const noexcept { return s_; }
    [[nodiscard]] const std::vector<Pose>& knots() const noexcept { return knots_; }

  private:
    [[nodiscard]] std::size_t piece(double s) const noexcept;

    std::vector<double> s_;
    std::vector<Pose> knots_;
    double departure_;
};

}  // namespace foldswing
