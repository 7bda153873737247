#pragma once
/// \file clearance.hpp  How near a moving panel comes to fixed bodies, where, and all the room it takes. Lengths: mm.
#include <cstddef>
#include <foldswing/motion.hpp>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace foldswing::clearance {

/// Closeness to which the certified search works unless told otherwise, mm: a tenth of what a calliper reads.
inline constexpr double kTolerance = 0.01;
/// The finest tolerance the certified search takes, mm: below it nothing on a bench can tell, and the search gets long.
inline constexpr double kFinestTolerance = 1e-4;

/// The smallest gap over a motion, and where it is.
/// Invariants: distance(panel_point, fixed_point) == gap; lower_bound <= true smallest gap <= gap; on contact
/// clear_until <= s of the first touch <= at.
struct Gap {
    double gap = 0.0;          ///< mm; 0 on contact or overlap
    double lower_bound = 0.0;  ///< mm; no smaller gap occurs anywhere in the motion
    double at = 0.0;           ///< s of the first of equal minima, or of the first contact found
    double clear_until = 0.0;  ///< no contact before this s: 1 where there is none, `at` on contact in a plain turn
    double angle_deg = 0.0;    ///< angle of the panel's pose at `at`
    Point panel_point;         ///< on the panel, in fixed coordinates, as it stands at `at`
    Point fixed_point;         ///< on the body
    std::size_t body = 0;      ///< index of that body
};

/// Smallest gap between a panel and fixed bodies over a motion; outlines may have holes.
/// A plain turn is answered in closed form (lower_bound == gap). Any other motion is searched until
/// gap - lower_bound <= tolerance + motion.departure(); should some seconds of work not be enough for that (only where
/// a panel runs along a body for metres), the bound reached is given. \param panel     one or more outlines that move
/// together, panel coordinates \param fixed     the bodies, fixed coordinates; they may overlap each other \param
/// tolerance >= kFinestTolerance; not used for a plain turn \throws InvalidInput when panel or fixed is empty or the
/// tolerance is out of range
[[nodiscard]] Gap minimum_gap(std::span<const Outline> panel, std::span<const Outline> fixed, const Motion& motion,
                              double tolerance = kTolerance);
[[nodiscard]] Gap minimum_gap(const Outline& panel, const Outline& fixed, const Motion& motion,
                              double tolerance = kTolerance);

/// The same for many motions of one panel: out[i] belongs to motions[i].
void minimum_gaps(std::span<const Outline> panel, std::span<const Outline> fixed, std::span<const MotionPtr> motions,
                  std::span<Gap> out, double tolerance = kTolerance);

/// A fixed body, in one or several outlines, and what it is called.
struct Body {
    std::string name;
    std::vector<Outline> outlines;
};
/// Where the motion rests on the way, and what that is called.
struct Stop {
    std::string name;
    double s = 0.0;
};

/// The closest approach to one body on one leg of the travel, or the overlap there.
struct Approach {
    std::string body;
    std::string leg;                 ///< "shut to level"
    Gap gap;                         ///< its s are those of the whole motion
    double depth = 0.0;              ///< mm; greatest distance of a corner of either inside the other; 0 where gap > 0
    double deepest_at = 0.0;         ///< s of that; NaN where depth is 0
    double deepest_angle_deg = 0.0;  ///< angle of the panel's pose there
};

/// One row for each body and leg, a leg being the motion from one stop to the next; bodies in order, legs within them.
/// One smallest number would hide the next one. The depth is found to within a tenth of the tolerance, or 1/500 of
/// itself. \param stops at least two, named, s ascending \throws InvalidInput as minimum_gap, and when the stops are
/// not as said
[[nodiscard]] std::vector<Approach> closest_approaches(std::span<const Outline> panel, std::span<const Body> fixed,
                                                       const Motion& motion, std::span<const Stop> stops,
                                                       double tolerance = kTolerance);

/// All the room the panel takes during the motion, the edges' own arcs included. Contains the true region and exceeds
/// it nowhere by more than sagitta (and twice motion.departure(), which is taken as used up everywhere).
/// \param sagitta mm, >= 0.001
/// \throws InvalidInput when panel is empty, or sagitta is out of range or asks for more than 300000 corners
[[nodiscard]] std::vector<Outline> swept_outline(std::span<const Outline> panel, const Motion& motion,
                                                 double sagitta = 0.1);

}  // namespace foldswing::clearance
