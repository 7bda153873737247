#pragma once
/// \file tolerance.hpp  What a shop's usual errors do to a closest approach. Lengths: mm, angles: degrees.
///
/// Errors are normal and independent, given as standard deviations: about a third of all cases exceed one, 1 in 22 two.
#include <foldswing/motion.hpp>
#include <foldswing/plane.hpp>

namespace foldswing::tolerance {

/// How the two holes of a panel are drilled, and how far they are usually out.
struct HoleErrors {
    double deviation = 0.0;  ///< standard deviation of each hole along x and along y; >= 0
    bool together = false;   ///< drilled through together: both holes are out alike, so that shut the panel hangs true
};

/// A fixed body, how well its place is known, and what the gap to it has to exceed.
struct Obstacle {
    Path section;          ///< closed, without holes
    double across = 0.0;   ///< standard deviation of where it stands along x; >= 0
    double up = 0.0;       ///< and along y; >= 0
    double contact = 0.0;  ///< gap at which they touch: the paint on both faces; >= 0
};

/// The smallest gap over the turn, less the contact, as it comes out from one panel made so to the next. An overlap is
/// a gap below zero: minus the depth of the deepest corner, or of an arc's foremost point.
struct LikelyGap {
    double as_drawn = 0.0;  ///< with no error at all
    double mean = 0.0;
    double deviation = 0.0;  ///< standard deviation
    double kept = 0.0;       ///< what all but 2.275 % (1 in 44) keep: two deviations below a normal mean
    double share = 0.0;      ///< of panels with nothing left: they rub
};

/// How the gap between a panel and a fixed body comes out over a turn, with both holes and the body a little out.
///
/// Panel point q goes to J + j + R(q - J - p), with p and j the errors of the panel's and the fixed hole: against a
/// body out by b this is the pivot as drawn, and a shift of j - R p - b. The gap of each case is found on the sections'
/// true arcs. Cases are taken by line sampling: along the direction in which the gap changes most the distribution is
/// integrated exactly between equal steps (method of Koutsourelakis, Pradlwarter and Schueller, 2004; from memory). The
/// lines lie in equal steps along the direction in which the gap bends most, and by Gauss's rules along
/// those left. What is mirrored, or turned by a quarter, comes out the same. Same input, same bits; within about 0.5 %
/// of the deviation and 1 % of a share (5 % where the gap shrinks every way alike, as in the middle of a frame). \param
/// panel closed section without holes, as it stands shut \param turn from shut; the gap is the least between its two
/// angles \throws InvalidInput when an error is negative, a path is open or crosses itself, the turn is over 360
/// degrees, or a number is not finite or beyond 1e6 mm
[[nodiscard]] LikelyGap likely_gap(const Path& panel, const Obstacle& body, const PlainTurn& turn,
                                   const HoleErrors& holes);

/// The same gap with no error: below zero where the sections overlap, 0 where they cross at the start with no corner of
/// one in the other. \throws InvalidInput as likely_gap
[[nodiscard]] double signed_gap(const Path& panel, const Path& body, const PlainTurn& turn);

}  // namespace foldswing::tolerance
