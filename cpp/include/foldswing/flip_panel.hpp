#pragma once
/// \file flip_panel.hpp  A panel hidden in smooth bodywork that flips about pins near one edge, in its section.
///
/// Section axes lie in the skin: x from the panel's hinged edge toward its free edge, y from the outer surface into the
/// body. An opening angle is positive: opening downward (out of the skin) is a clockwise turn, upward a
/// counter-clockwise.
#include <foldswing/plane.hpp>

namespace foldswing::flip_panel {

/// Lengths mm, angles degrees.
struct Sizes {
    double length = 0.0;          ///< > 0, hinged edge to free edge
    double depth = 0.0;           ///< > 0, of the flanges, outside
    double skin_thickness = 0.0;  ///< > 0, of the body's skin and its return
    double corner_radius = 0.0;   ///< >= 0, outside, where the flanges are bent up
    double gap = 0.0;             ///< > 0, to the body all round
    double return_depth = 0.0;    ///< >= 0, of the body's return along the hinged edge
    double slope_deg = 0.0;  ///< of the skin from level, rising from the hinged to the free edge; negative: falling
    double pivot_from_edge = 0.0;    ///< along the skin from the hinged edge
    double pivot_behind_skin = 0.0;  ///< from the outer surface
    double ear_radius = 0.0;         ///< >= 0, of the ears round the pins on the end flanges; 0: none
};
/// \throws InvalidInput naming the size that breaks its rule
void require_valid(const Sizes& sizes);

[[nodiscard]] Path panel(const Sizes& sizes);        ///< shut, outer corners rounded, ears included
[[nodiscard]] Path hinged_side(const Sizes& sizes);  ///< the body's skin and return at the hinged edge
[[nodiscard]] Path free_side(const Sizes& sizes);    ///< the body's skin at the free edge
[[nodiscard]] Point pivot(const Sizes& sizes);

enum class Way : signed char { down = -1, up = 1 };

/// Opening angle after which the panel stands upright: 90 + slope downward, 90 - slope upward.
[[nodiscard]] double opening_to_upright(const Sizes& sizes, Way way);
/// Elevation of the direction the inner face looks in, degrees from level, measured from the direction hinged edge to
/// free edge, within (-180, 180]: 0 is level that way, 180 level the other way, 90 straight up.
[[nodiscard]] double inner_face_looks(const Sizes& sizes, Way way, double opening_deg);
/// The same for the outer face: the opposite direction.
[[nodiscard]] double outer_face_looks(const Sizes& sizes, Way way, double opening_deg);

/// How far the panel comes, square to the skin, anywhere on its way from shut to open.
struct Reach {
    double behind = 0.0;      ///< highest, into the body from the outer surface
    double out = 0.0;         ///< farthest, out of the outer surface; 0 where it never leaves it
    double stands_out = 0.0;  ///< out of the outer surface once open
};
[[nodiscard]] Reach reach(const Sizes& sizes, Way way, double opening_deg);

/// Metal between a hole for a pin of this diameter and the nearest edge of the flange it is drilled in: its free edge
/// or the ear's, its end at the hinged edge or the outer surface. Negative where the hole breaks out.
[[nodiscard]] double metal_at_pin(const Sizes& sizes, double pin_diameter);

}  // namespace foldswing::flip_panel
