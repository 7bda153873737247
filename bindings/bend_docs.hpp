#pragma once
// What help() shows for the bound values of a bend.

inline constexpr const char* coupon_doc =
    R"(A test strip: cut to length, bent once, its legs measured. It stands wherever a k-factor may.

Parameters
----------
flat_length : length
    Length before bending, mm, > 0.
leg_a, leg_b : length
    The two legs after bending, mm, > 0.
radius : length
    Inside radius, mm, >= 0.
thickness : length
    mm, > 0.
angle_deg : angle, optional
    Bend angle, the angle the strip was turned through, degrees, more than 0 to 180; 90 when neither is given.
measured : {'outside', 'inside', 'flat', 'overall'}
    Where the legs are measured to: the mould point of the outside faces, the meeting point of the inside faces, the
    tangent line, or over the bend with a calliper (90 degrees and more).
included_deg : angle, optional
    The included angle (between the legs) in place of `angle_deg`.

Attributes
----------
allowance : float
    Bend allowance of the strip, mm.
k_factor : float
    Its k-factor: what carries it over to other angles in the same metal and thickness on the same machine.

Raises
------
InvalidInput
    When a value breaks its rule, or the k-factor falls outside 0 to 1: the measurements contradict each other.

Examples
--------
>>> round(Coupon(50.0, 26.06, 26.06, 1.2, 1.2).k_factor, 2)
0.42
)";
