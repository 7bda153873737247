#pragma once
/// \file crowned_edge.hpp  A lid hinged along an edge that is itself an arc: no straight axis follows it.
///
/// The edge is the arc over a chord, its ends being the lid's corners; the axis runs straight, parallel to the chord
/// and right above or below it. Opening the lid by t carries a point of the edge that stands h above the axis back by
/// h sin t, into the body behind the edge; a point below the axis comes forward. Lengths mm, angles degrees.
#include <cstdint>
#include <foldswing/error.hpp>

namespace foldswing::crowned_edge {

/// How high the axis lies.
enum class AxisHeight : std::int8_t {
    corner,  ///< at the lid's corners: on the chord
    skin,    ///< at the skin where the hinges sit
    crown    ///< at the highest point of the edge
};

/// What one straight axis does to the edge.
struct Swing {
    double above_corners = 0.0;    ///< height of the axis above the chord
    double middle_above = 0.0;     ///< the middle of the edge above the axis, >= 0
    double back = 0.0;             ///< how far the middle has gone back into the body at the opening angle
    double most_back = 0.0;        ///< the most it goes back on the way there
    double corners_forward = 0.0;  ///< how far the corners have come forward, away from the body, at the opening angle
    double pins_above_skin = 0.0;  ///< pins above the skin where the hinges sit; negative: below it
};
/// \param chord       straight length of the edge, > 0
/// \param rise        height of its middle above the chord; 0 <= rise <= chord/2
/// \param from_middle distance of the hinges from the middle of the edge, 0 <= from_middle <= chord/2
/// \param opening_deg 0 to 180
/// Heights follow from the arc: the skin at the hinges lies below the crown by the rise of the arc over
/// 2 from_middle, which is formed without a difference. \throws InvalidInput naming the argument that breaks its rule
[[nodiscard]] Swing swing(double chord, double rise, AxisHeight axis, double from_middle, double opening_deg);

}  // namespace foldswing::crowned_edge
