#pragma once
// What help() shows for the bound values of the flat patterns.

inline constexpr const char* flat_doc = R"(A flat of a section.

Parameters
----------
length : length
    mm, >= 0.
measured : {'outside', 'inside', 'flat', 'overall'} or a pair of them
    What the length is measured to at its ends; a pair gives the start and the end separately. 'outside': the mould point,
    where the two outside faces would meet (void beside a bend of 180). 'inside': the point where the two inside faces would
    meet (likewise). 'flat': the tangent line. 'overall': over the bend, as a calliper closes on it (bends of 90 and more).
    At an end without a bend the length runs to the cut edge.

Raises
------
InvalidInput
    When a value breaks its rule.
)";

inline constexpr const char* bend_doc = R"(A bend of a section.

Give at most one of `k_factor`, `deduction`, `allowance` and `coupon`; with none the profile's own holds.

Parameters
----------
angle_deg : angle
    Bend angle, the angle the metal is turned through, degrees: 0 is flat, 90 a square corner, 180 folded back.
radius : length
    Inside radius, mm, >= 0.
direction : {'up', 'down'}
    Which way what follows is bent, with the blank lying on the bench.
included_deg : angle, optional
    The included angle (between the flanges) in place of `angle_deg`.
k_factor : number, optional
    Neutral line from the inside face as a fraction of the thickness, 0 to 1.
deduction : length, optional
    What this bend takes off the summed outside lengths, mm, >= 0.
allowance : length, optional
    Length of metal in this bend, mm, >= 0.
coupon : Coupon, optional
    A test strip of the same metal; its k-factor is taken and kept.

Raises
------
InvalidInput
    When a value breaks its rule, or more than one of the four is given.
)";

inline constexpr const char* profile_doc = R"(A section as flats and bends, and the blank it is bent from.

Parameters
----------
parts : sequence of Flat and Bend
    Flat, bend, flat, ... beginning and ending with a flat, in order along the blank. A flat may have length 0.
thickness : length
    mm, > 0.
k_factor, deduction, allowance, coupon : optional, at most one
    What holds for the bends that name none of their own (see Bend). A plain deduction or allowance belongs to one angle and
    radius: refused as the default of bends that differ in either.

Attributes
----------
developed_length : float
    Length of the blank, mm: flats plus allowances.
flats : (n, 2) ndarray
    Where each flat begins and ends on the blank, from its start, mm.
flat_lengths : (n,) ndarray
    Their lengths, mm.
bend_lines : tuple of BendLine
    Where each bend lies, from either end; centre, tangent and sight lines told apart.
folded : Folded
    The section drawn back: outside and inside faces and the closed outline, arcs as arcs.
remeasured : (n,) ndarray
    Every flat measured again on the folded section the way it was given, mm: from the tangent points and the chords of the
    arcs, not by the formulas that made the blank.

Raises
------
InvalidInput
    When a value breaks its rule; when a flat comes out negative (the message names it, by how much, and the size to
    change); when the folded section runs into itself (touching, as a closed hem does, is allowed).

Examples
--------
>>> from foldswing.blank import Bend, Flat, Profile
>>> angle = Profile([Flat(30.0), Bend(90.0, 1.2), Flat(20.0)], 1.2, deduction=2.12)
>>> round(angle.developed_length, 2)
47.88
)";

inline constexpr const char* pan_doc =
    R"(A pan: a rectangular base with a flange on each side, all turned 90 degrees, and its blank with corner notches.

Parameters
----------
length, width : length
    Size of the base, left to right and bottom to top, mm, > 0.
depth : length or four lengths
    Height of the flanges: one for all, or (left, right, bottom, top), mm, > 0.
thickness : length
    mm, > 0.
radius : length
    Inside radius of all four bends, mm, >= 0.
k_factor, deduction, allowance, coupon : exactly one
    What one 90 degree bend takes (see Bend).
direction : {'up', 'down'}
    Which way the flanges are bent with the blank on the bench.
measured : {'outside', 'inside'}
    'outside': base and flanges are measured over the outer faces; a flange's height then includes the base's thickness.
    'inside': within the inner faces.
notch : {'centre', 'tangent', 'gap'}
    How far the corner notches reach: to the bend centre lines (the flange ends then often overlap a little and are filed),
    to the base's tangent lines (no bend runs into a corner), or so far that the folded flange ends stand `corner_gap` apart.
corner_gap : length
    Gap wanted between flange ends with notch='gap', mm, >= 0. The default of 0.2 is the least that one supplier asks for
    (lasered.co.uk, preparing drawings for bending).

Attributes
----------
blank_length, blank_width : float
    Size of the blank, mm.
notches : (4,) ndarray
    How far the notches reach in from the left, right, bottom and top edge of the blank, mm.
outline : Outline
    The blank with its corners cut, lower left corner at the origin.
bend_lines : tuple of PanLine
    The four bend lines on the blank: left, right, bottom, top.
lengthwise, crosswise : Profile
    The sections left flange, base, right flange; and bottom flange, base, top flange.
flange_end_gap, flange_end_overlap : float
    How far the folded flange ends stand apart at the corners, or run into each other, mm.
explanation : str
    One sentence on the corners.

Raises
------
InvalidInput
    When a value breaks its rule, a flat comes out negative, or the notches leave no flange.

Examples
--------
>>> pan = Pan(330.0, 178.0, 14.0, thickness=1.2, radius=1.2, k_factor=0.42)
>>> round(pan.blank_length, 1), round(pan.blank_width, 1)
(353.8, 201.8)
)";
