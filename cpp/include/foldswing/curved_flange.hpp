#pragma once
/// \file curved_flange.hpp  A flange turned up along a curved line: what its edge must stretch or shrink, and the cuts
/// that spare the metal where it cannot. Lengths: mm; angles: degrees.
///
/// The flange keeps its developed depth and its metal moves along the edge alone (no draw-in): a strip of it is a hoop
/// that is one length on the blank and another on the finished part. Derived from the two radii; no source.
#include <cstddef>
#include <foldswing/blank.hpp>
#include <foldswing/ready_section.hpp>
#include <string>

namespace foldswing::blank {

enum class Curve {
    hollow,   ///< concave line, as round a hole: the flange's edge stretches
    bulging,  ///< convex line, as round a disc: the flange's edge shrinks
};

struct CurvedFlangeSize {
    Curve curve = Curve::hollow;
    double radius_in_plan = 0.0;  ///< of the finished flange's outer (mould) face where it meets the base, in plan
    double arc_deg = 90.0;        ///< of the curved line, over 0 to 360
    double depth = 0.0;           ///< flange, over the base's outer face
    double angle_deg = 90.0;      ///< turned through, over 0 to 90
    /// Strain the edge can take along itself: of stretching, the metal's elongation; of shrinking, what the maker's
    /// tools gather before it buckles. Fraction, > 0. The user's or the material data's; none is assumed.
    double strain_limit = 0.0;
    double flat_tolerance = 0.5;  ///< how far the flats between cuts may stand off the curve
    friend bool operator==(const CurvedFlangeSize&, const CurvedFlangeSize&) = default;
};

enum class Easing : signed char {
    none = 0,        ///< the metal can take it
    notches = 1,     ///< slits that open as a stretching edge is turned
    darts = 2,       ///< wedges cut out of a shrinking edge
    impossible = 3,  ///< the bend itself is over the limit
};

struct CurvedFlange {
    double bend_radius = 0.0;  ///< on the blank, of the tangent line on the base
    double edge_radius = 0.0;  ///< on the blank, of the flange's edge
    double finished_edge_radius = 0.0;
    double strain = 0.0;  ///< of the edge along itself; positive stretches, negative shrinks
    Easing easing = Easing::none;
    std::size_t cuts = 0;
    double cut_width = 0.0;    ///< along the edge on the blank: of a dart cut out; of a slit, what it opens to
    double cut_depth = 0.0;    ///< from the edge
    double root_radius = 0.0;  ///< on the blank, of the bottom of the cuts
    Path outline;  ///< of the flange on the blank, from the tangent line out; centre of the curve at the origin
    std::string explanation;
};

/// \throws InvalidInput when a number breaks its rule, or the flange is too deep for a hollow curve: the blank's edge
/// would pass its centre; the dimension to change is named
[[nodiscard]] CurvedFlange curved_flange(const CurvedFlangeSize& size, const Metal& metal);

}  // namespace foldswing::blank
