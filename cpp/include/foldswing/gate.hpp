#pragma once
/// \file gate.hpp  A drop-down gate in its section, built from the sizes a fabricator measures.
///
/// Section axes: x out from the wall's outer face, y up from the worktop surface (at its nose), seen from the left end
/// as you stand outside. The gate is hinged low and its top drops outward: an opening angle is positive here and is a
/// clockwise (negative) turn of the panel.
#include <foldswing/landing.hpp>
#include <foldswing/plane.hpp>
#include <span>

namespace foldswing::gate {

/// What is measured with the gate shut. Lengths mm, angles degrees.
struct Sizes {
    double thickness = 0.0;                 ///< > 0, over everything
    double height = 0.0;                    ///< > 0, along its face
    double lower_edge_below_worktop = 0.0;  ///< >= 0, of the lower outer corner
    double outer_face_out = 0.0;            ///< outer face beyond the wall's at the lower edge; negative: set back
    double lean_deg = 0.0;                  ///< of the face from upright, top outward positive; within +-60
    double lower_inner_radius = 0.0;        ///< corner radii, >= 0
    double lower_outer_radius = 0.0;
    double upper_outer_radius = 0.0;
    double upper_inner_radius = 0.0;
    double nose_behind_wall = 0.0;     ///< >= 0, worktop nose inward from the wall's outer face
    double nose_depth = 0.0;           ///< > 0, height of the nose face
    double nose_radius = 0.0;          ///< >= 0, on the nose's upper edge
    double worktop_depth = 600.0;      ///< > 0, how far it runs inward
    double worktop_fall_deg = 0.0;     ///< fall of its surface, outward positive; within +-45
    double worktop_drop = 0.0;         ///< how much lower the whole worktop is at this station; may be negative
    double worktop_above_floor = 0.0;  ///< > 0
    double head_above_worktop = 0.0;   ///< > 0
    double sill_below_worktop = 0.0;   ///< >= 0
    double jamb_depth = 0.0;           ///< > 0, how far sill and head reach inward from the wall's outer face
};
/// \throws InvalidInput naming the size that breaks its rule
void require_valid(const Sizes& sizes);

/// The four corners before rounding, shut.
struct Corners {
    Point lower_inner;
    Point lower_outer;
    Point upper_outer;
    Point upper_inner;
};
[[nodiscard]] Corners corners(const Sizes& sizes);

/// The gate's section, shut, with its corners rounded; counter-clockwise from the lower inner corner.
/// \throws InvalidInput where two radii do not fit on one side
[[nodiscard]] Path panel(const Sizes& sizes);

[[nodiscard]] Path worktop(const Sizes& sizes);
[[nodiscard]] Path sill(const Sizes& sizes);  ///< the wall below the opening, down to the floor
[[nodiscard]] Path head(const Sizes& sizes);  ///< the wall above the opening; drawn as high as it is deep

/// Height that leaves `gap` under the head, the other sizes as given (the height in them is not used).
[[nodiscard]] double height_below_head(const Sizes& sizes, double gap);
/// Width that leaves `end_gap` at each jamb of an opening this wide at its top and bottom: by the narrower.
[[nodiscard]] double width_between(double width_top, double width_bottom, double end_gap);
/// Gap at each end of a gate of this width, by the opening's narrower width; negative where it does not go in.
[[nodiscard]] double end_gap(double width_top, double width_bottom, double width);

/// Opening angle after which the inner face is level: the angle from the shut face to level, 90 - lean.
[[nodiscard]] double opening_to_level(const Sizes& sizes);
/// Opening angle after which the inner face runs on in line with the worktop's surface: 90 - lean + fall.
[[nodiscard]] double opening_in_line(const Sizes& sizes);

/// The inner face stands `above` the worktop surface's plane (negative: below), in line with the nose.
/// For a face parallel to the surface this is one landing; otherwise it is that of the face's lower end.
[[nodiscard]] hinge::Landing face_landing(const Sizes& sizes, double opening_deg, double above, double tolerance);
/// The lower inner corner, before rounding, comes to rest `gap` outward of the nose face.
[[nodiscard]] hinge::Landing nose_gap_landing(const Sizes& sizes, double opening_deg, double gap, double tolerance);
/// The free edge of the inner face comes to rest `drop` below the worktop surface at the nose (negative: above).
[[nodiscard]] hinge::Landing edge_landing(const Sizes& sizes, double opening_deg, double drop, double tolerance);

/// A pivot by its distances from real faces, all measured square to the face named.
struct Place {
    double from_inner_face = 0.0;  ///< outward; negative: behind the face
    double from_outer_face = 0.0;  ///< inward
    double below_worktop = 0.0;    ///< below the level through the nose's upper edge
    double above_lower_edge = 0.0;
};
[[nodiscard]] Place place(const Sizes& sizes, Point pivot);
/// The pivot that stands at these two distances (see Place).
[[nodiscard]] Point pivot_at(const Sizes& sizes, double from_inner_face, double below_worktop);

/// Where the two holes stand with the gate shut, section axes. They are drilled separately: opened, the gate carries
/// its point q to jamb + R(q - gate). As drawn both coincide with the pivot.
struct Holes {
    Holes(Point pivot) : gate(pivot), jamb(pivot) {}  // NOLINT(google-explicit-constructor): one pivot is both holes
    Holes(Point gate_hole, Point jamb_hole) : gate(gate_hole), jamb(jamb_hole) {}
    Point gate;
    Point jamb;
};

/// The two holes as they are marked, each by its distances from two real faces, square to the face named.
struct Marks {
    double gate_from_inner_face = 0.0;   ///< outward; negative: behind the face
    double gate_above_lower_edge = 0.0;  ///< along the face; negative: below the edge
    double jamb_below_worktop = 0.0;     ///< below the level through the nose's upper edge; negative: above
    double jamb_inward = 0.0;            ///< from the wall's outer face; negative: outward of it
};
/// Both holes marked for one pivot.
[[nodiscard]] Marks marks(const Sizes& sizes, Point pivot);
[[nodiscard]] Holes holes(const Sizes& sizes, const Marks& marks);

/// Pose of the gate once it has opened by some angle; shut, it is shifted by jamb - gate.
[[nodiscard]] Pose pose(const Holes& holes, double opening_deg);
/// Signed distance, mm, of the landed point beyond the landing's line with these two holes.
/// From its definition: n.(jamb + R(q - gate)) - d.
[[nodiscard]] double miss(const hinge::Landing& landing, const Holes& holes);

/// Two misses nearer to each other than this, mm, are the same: far below any mark, far above rounding of coordinates.
inline constexpr double kSameMiss = 1e-9;
/// The finest ruler taken, mm.
inline constexpr double kFinestStep = 1e-6;

/// Marks rounded together, and what is left over at the landings.
struct RoundedMarks {
    Marks marks;
    double face_step = 0.0;   ///< worst |miss| of the landings that bring a face flush, mm
    double other_miss = 0.0;  ///< worst |miss| of the others
    double rounding = 0.0;    ///< sum of what the four marks were moved by
};

/// The marks of a pivot rounded to a ruler as one set: of all sets in which each mark goes up or down to the ruler (one
/// that is on it stays), the set with the least worst face step; of those the one with the least worst other miss; of
/// those the one moved least, and then the first in the order of the fields, down before up.
/// \param faces, others what the stops ask; either may be empty
/// \param step of the ruler, mm, >= kFinestStep
/// \throws InvalidInput when a number is not finite or the step too fine
[[nodiscard]] RoundedMarks round_marks(const Sizes& sizes, Point pivot, std::span<const hinge::Landing> faces,
                                       std::span<const hinge::Landing> others, double step);

/// Opening angle at which the free edge of the inner face has come down to `drop` below the worktop surface, on its way
/// from its highest place to its lowest; NaN where it never is that high or that low.
[[nodiscard]] double opening_to_drop(const Sizes& sizes, const Holes& holes, double drop);

/// Where things are once the gate has opened by some angle.
struct Opened {
    Point face_from;         ///< inner face: end at the lower edge
    Point face_to;           ///< inner face: free edge
    double edge_drop = 0.0;  ///< free edge below the worktop surface; negative: above
    double edge_above_floor = 0.0;
    double edge_per_degree = 0.0;  ///< how much the free edge rises or falls for one degree more, mm, >= 0
    double face_step = 0.0;        ///< lower end of the inner face above the surface's plane; negative: below
    double nose_gap = 0.0;         ///< lower inner corner (before rounding) outward of the nose face; negative: over it
};
[[nodiscard]] Opened opened(const Sizes& sizes, const Holes& holes, double opening_deg);

/// A stay's pin on the shut gate: along the face from the gate's hole, and square to it from the inner face, outward.
[[nodiscard]] Point stay_pin(const Sizes& sizes, const Holes& holes, double above_pivot, double from_inner_face);
/// Centre of the gate's area: its centre of mass where it is the same all through.
[[nodiscard]] Point centre(const Sizes& sizes);

}  // namespace foldswing::gate
