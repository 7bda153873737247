#pragma once
/// \file axis.hpp  One straight hinge axis through two pivots, one at each end of the panel: where left and right ask
/// for different pivots, the axis is tilted and the panel moves sideways as it turns.
///
/// Sections as in gate.hpp: x out, y up, seen from the left end as you stand outside; distances along the hinge count
/// from the left end of the opening to the right. A turn is counter-clockwise positive in that view. Lengths mm.
#include <foldswing/plane.hpp>

namespace foldswing::axis {

/// The axis through a pivot of one section and a pivot of another.
struct Axis {
    Point left;             ///< pivot of the section at left_at
    double left_at = 0.0;   ///< distance of that section from the left end of the opening
    Point right;            ///< pivot of the section at right_at
    double right_at = 0.0;  ///< > left_at
};
/// \throws InvalidInput naming what is not finite, beyond 1e100 mm, or when right_at is not beyond left_at by
/// 1e-100 mm or more
void require_valid(const Axis& axis);

/// The pivot in the section at `from_left`: a point of the straight line, beyond both pivots too; at left_at and
/// right_at the pivots themselves, to the bit.
[[nodiscard]] Point at(const Axis& axis, double from_left);

/// How the axis stands to the straight run of the opening.
struct Tilt {
    double angle_deg = 0.0;  ///< to the run of the opening, 0 to 90
    double up = 0.0;         ///< right pivot above the left one; negative: below
    double out = 0.0;        ///< right pivot outward of the left one; negative: inward
};
[[nodiscard]] Tilt tilt(const Axis& axis);

/// Where a panel point is after a turn about the axis.
struct Turned {
    Point at;                  ///< in section axes
    double sideways = 0.0;     ///< how far it has moved along the opening, to the right positive
    double off_section = 0.0;  ///< distance of `at` from where a plain turn of the section would put it, >= 0
};
/// Turns the panel point p of the section at `from_left` by turn_deg about the axis, in space.
///
/// With u the unit vector along the axis toward the viewer (left), c the axis's point in the section of p and
/// d = p - c, which lies in the section, the rotation formula of Rodrigues is
///   p' = c + cos d + sin (u x d) + (1 - cos) (u.d) u.
/// Along the opening: (1 - cos)(u.d) u_z + sin (u_x d_y - u_y d_x), so a straight axis gives 0 exactly. Within the
/// section it departs from the plain turn c + R d by sin (u_z - 1) J d + (1 - cos)(u.d) (u_x, u_y), with
/// 1 - u_z = (u_x^2 + u_y^2)/(1 + u_z): of second order in the tilt, formed without a difference.
/// \throws InvalidInput as require_valid, or when p or from_left is not finite or beyond 1e100, or turn_deg
/// is not finite
[[nodiscard]] Turned turned(const Axis& axis, Point p, double from_left, double turn_deg);

}  // namespace foldswing::axis
