#pragma once
/// \file folding_stay.hpp  A stay of two links that folds as the panel shuts and locks past its centre when it is open.
///
/// One link turns on the pin in the body, the other on the pin in the panel; they meet in a joint. Panel points are
/// given as the panel hangs shut; turns from there, counter-clockwise positive. Lengths mm, angles degrees.
#include <array>
#include <foldswing/clearance.hpp>
#include <foldswing/stay.hpp>
#include <limits>
#include <string>

namespace foldswing::folding_stay {

/// The farthest a joint can go past centre, degrees; beyond, the links fold the other way.
inline constexpr double kMostPastCentre = 60.0;

inline constexpr double kLeastShare = 0.01;  ///< a link shorter than this part of both is none

/// What is wanted of a folding stay.
struct Wanted {
    stay::Pins pins;
    Point pivot;
    double turn_deg = 0.0;         ///< from shut to the stop it holds; within +-360, not 0
    double past_centre_deg = 0.0;  ///< by how much the joint goes past straight at the stop, 0 to kMostPastCentre
    double share = 0.5;            ///< the body's link as part of both, kLeastShare to 1 - kLeastShare
    bool left = true;  ///< the joint folds to the left of the way from the pin in the body to the pin in the panel
};

enum class Status : signed char {
    fits,                ///< it folds, opens and locks
    cannot_fold,         ///< with the panel shut the pins are nearer than the links' difference
    cannot_reach,        ///< the panel never opens the links straight, so the joint cannot pass centre
    straight_on_the_way  ///< the links are pulled straight before the stop is reached
};
/// "fits", "cannot fold", "cannot reach", "straight on the way".
const char* word(Status status) noexcept;

inline constexpr double kVoid = std::numeric_limits<double>::quiet_NaN();

/// A folding stay; numbers that do not exist are NaN.
struct FoldingStay {
    Status status = Status::fits;
    double first = 0.0;              ///< length of the body's link, pin to joint
    double second = 0.0;             ///< of the panel's
    Point joint_shut{kVoid, kVoid};  ///< where the joint lies with the panel shut
    Point joint_stop;                ///< and at the stop
    double folded_deg = kVoid;       ///< angle between the links with the panel shut: 0 folded flat, 180 straight
    double past_centre = 0.0;        ///< how far the joint stands past the line through the pins at the stop
    double straight_deg = kVoid;     ///< turn at which the links are straight: the panel must open so far to lock
    double longer = 0.0;             ///< both links together less the distance of the pins at the stop
    std::string explanation;
};

/// Both lengths from the distance d of the pins at the stop: a = share L, b = L - a, and by the law of cosines
/// d^2 = (a + b)^2 - 2 a b (1 - cos past) gives L = d / sqrt(1 - 4 share (1 - share) sin^2(past/2)).
/// \throws InvalidInput when a number is out of its range, a pin is at the pivot, or the pins meet at the stop
[[nodiscard]] FoldingStay folding_stay(const Wanted& wanted);

/// What a load that presses on a stay, instead of pulling, leaves to the lug that stops the joint past its centre.
/// \param push N along the line of the pins, >= 0 \return moment on the joint, N·m: push times past_centre
[[nodiscard]] double lug_moment(const FoldingStay& stay, double push);

/// The same stay seen from the panel: the body's pin moves and the panel's rests. The first link is then the panel's.
[[nodiscard]] Wanted seen_from_panel(const Wanted& wanted);

/// How one link moves from shut to where the links are straight and back to the stop, past centre.
///
/// Poses carry link coordinates: the joint at the origin, the link's pin at (length, 0). A link is a rigid bar whose
/// ends are the joint C and its pin E; a point E + l (C - E) + m J (C - E) departs by at most hypot(l, m) times the
/// chord of C and hypot(1 - l, m) times that of E. The chord of C, which runs on an arc about the body's pin, is known
/// where the body's link turns one way: the motion breaks where it turns back and where the links are straight.
class LinkMotion final : public Motion {
  public:
    enum class Link : unsigned char { body, panel };
    /// \throws InvalidInput as folding_stay, or when that stay does not fit
    LinkMotion(const Wanted& wanted, Link link);

    void poses(std::span<const double> s, std::span<Pose> out) const override;
    [[nodiscard]] std::vector<double> breaks() const override { return breaks_; }
    [[nodiscard]] double stray(std::span<const Point> corners, double s0, double s1) const override;

    /// Turn of the panel at s.
    [[nodiscard]] double turn_at(double s) const noexcept;
    [[nodiscard]] double length() const noexcept { return link_ == Link::body ? first_ : second_; }

  private:
    struct Shape {
        double first_deg = 0.0;   ///< direction of the body's link, pin to joint; runs on without jumps
        double second_deg = 0.0;  ///< of the panel's link, joint to pin
        Point joint;
        Point pin;  ///< in the panel
    };
    [[nodiscard]] Shape shape(double turn_deg, double side) const noexcept;
    [[nodiscard]] double side(double s) const noexcept { return s <= straight_s_ ? side_ : -side_; }

    Link link_;
    Point fixed_;
    Point pivot_;
    double first_;
    double second_;
    double panel_;         // distance of the panel's pin from the pivot
    double body_;          // distance of the body's pin from the pivot
    double body_at_deg_;   // direction from the pivot to the body's pin
    double panel_at_deg_;  // direction from the pivot to the panel's pin, shut
    double side_;          // +1: the joint folds to the left
    double straight_deg_;
    double stop_deg_;
    double straight_s_;
    std::vector<double> breaks_;
};

/// A link as a flat bar with round ends of its width, in link coordinates. \throws InvalidInput unless both are > 0
[[nodiscard]] Path link_bar(double length, double width);

/// How near both links come to fixed bodies on the way from shut to locked: body's link, panel's link.
/// \param width of the links, > 0 \throws InvalidInput as LinkMotion and clearance::minimum_gap
[[nodiscard]] std::array<clearance::Gap, 2> links_gap(const Wanted& wanted, double width,
                                                      std::span<const Outline> fixed,
                                                      double tolerance = clearance::kTolerance);

/// All the room both links take on that way: holds the true region and exceeds it by at most the sagitta, >= 0.01 mm.
/// \throws InvalidInput as LinkMotion, or where that takes over 20000 places of a link
[[nodiscard]] std::vector<Outline> links_room(const Wanted& wanted, double width, double sagitta);

}  // namespace foldswing::folding_stay
