#pragma once
/// \file cure.hpp  What would keep a panel off its neighbours: larger corner radii, the pivot moved, a body moved.
/// Lengths: mm, angles: degrees. Searches try even steps and then halve: each answer is the first one found going up.
#include <foldswing/gate.hpp>
#include <foldswing/motion.hpp>
#include <span>
#include <vector>

namespace foldswing::cure {

/// A fixed body and the gap wanted to it over the whole turn; >= 0.
struct Body {
    std::vector<Outline> outlines;
    double wanted = 0.0;
};

/// Corner radii of a gate's lower edge, and what they leave.
struct Radii {
    double inner = 0.0;  ///< smallest radius with which the corner keeps the gaps; NaN where none does
    double outer = 0.0;
    bool fits = false;         ///< both were found, and edge and faces are long enough for all radii on them
    std::vector<double> gaps;  ///< of the gate rounded so, to each body over the turn; empty unless they fit
};

/// The smallest radii on the lower inner and lower outer corner with which each corner, by itself, keeps every gap that
/// some radius can keep: what a face or the flat of the edge comes to is in `gaps`. Found to within kRadiusWithin.
/// \param opening_deg from shut to the last stop; from 0 to 360
/// \param within a gap counts as kept when it lacks no more than this; > 0
/// \throws InvalidInput when a number is out of its range, no body is given, or the gate is over 10 m thick
[[nodiscard]] Radii smallest_radii(const gate::Sizes& sizes, const gate::Holes& holes, double opening_deg,
                                   std::span<const Body> bodies, double within);
inline constexpr double kRadiusWithin = 1e-3;  ///< mm

/// How far the pivot must go one way, up to `most`, so that the panel, shut where it is, keeps every gap; NaN where it
/// keeps them nowhere on the way, 0 where it keeps them already. Both holes move alike. Found to within kMoveWithin.
/// \param way any non-zero vector
/// \param most, turn.pivot within 1e6 mm
/// \throws InvalidInput when a number is out of its range, or panel or bodies are empty
[[nodiscard]] double pivot_move(std::span<const Outline> panel, std::span<const Body> bodies, const PlainTurn& turn,
                                Point way, double most, double within);
/// How far one body must go one way so that the panel keeps its gap to it; otherwise as pivot_move.
[[nodiscard]] double body_move(std::span<const Outline> panel, const Body& body, const PlainTurn& turn, Point way,
                               double most, double within);
inline constexpr double kMoveWithin = 1e-3;  ///< mm

}  // namespace foldswing::cure
