#pragma once
/// \file hinge.hpp  One pivot: the motion it gives, and the centre of a rotation. Where it must be: landing.hpp.
#include <cstdint>
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
    [[nodiscard]] double bulge(std::span<const Point> corners, double s0, double s1) const override;
    [[nodiscard]] std::optional<PlainTurn> plain_turn() const override { return turn_; }

    /// Turn in degrees at s in [0, 1]; exactly turn_from_deg at 0 and turn_to_deg at 1.
    /// \throws InvalidInput when s is outside
    [[nodiscard]] double turn_at(double s) const;
    /// Where in the travel, 0 to 1, the panel has turned by turn_deg: s = (turn - from)/(to - from); 0 where from ==
    /// to. \throws InvalidInput when the travel does not pass there
    [[nodiscard]] double s_at_turn(double turn_deg) const;

  private:
    PlainTurn turn_;
};

/// What a pole can be.
enum class PoleStatus : std::int8_t {
    point,     ///< a centre of rotation
    infinity,  ///< a pure translation: the pole is at infinity
    any        ///< the poses coincide (whole revolutions apart at most): every point is a centre
};
/// "point", "infinity", "any".
const char* word(PoleStatus status) noexcept;

/// The centre of the rotation from one pose to another.
struct Pole {
    PoleStatus status = PoleStatus::any;
    Point pivot;        ///< mm, fixed coordinates: pose_a and pose_b put the same panel point there; NaN unless `point`
    Point direction;    ///< unit vector to the pole at infinity: a quarter turn counter-clockwise from the translation;
                        ///< NaN unless `infinity`
    double turn_deg{};  ///< from a to b as recorded, revolutions included
};

/// Centre of the rotation that carries pose a to pose b.
/// P = (a + b)/2 + cot(turn/2)/2 J (b - a), with J the quarter turn: solves (I - R) P = b - R a for the translations a,
/// b of the poses (own derivation; the geometric statement is that P lies on the perpendicular bisectors). Closed form.
/// An error e in the translation moves P by e / (2 |sin(turn/2)|). Headings that differ from a whole number of
/// revolutions by no more than the rounding of the headings themselves count as equal. \throws InvalidInput when a
/// number is not finite
[[nodiscard]] Pole pole(const Pose& pose_a, const Pose& pose_b);

}  // namespace foldswing::hinge
