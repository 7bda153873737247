#pragma once
// What help() shows for the bound values of the plane.

inline constexpr const char* pose_doc = R"(A rigid displacement: carries panel coordinates to fixed ones.

A point p goes to R(angle_deg) p + (x, y). Each field is a number or an array of n; arrays make a batch of n poses, and
then every result has the batch axis first.

Parameters
----------
x, y : length or (n,) lengths
    Where the panel's origin goes, mm; finite.
angle_deg : angle or (n,) angles
    Turn, degrees, counter-clockwise positive; finite. Kept as given: 360 is not 0 to a stop that counts turns. Multiples
    of 90 degrees turn points exactly.

Raises
------
InvalidInput
    When a number is not finite (the place in an array is named), or arrays differ in length.

Examples
--------
>>> Pose(10.0, 0.0, 90.0).apply((1.0, 0.0)).tolist()
[10.0, 1.0]
)";

inline constexpr const char* pose_apply_doc = R"(Carry points along.

Parameters
----------
points : (2,) or (n, 2) lengths
    Panel coordinates, mm.

Returns
-------
ndarray
    Fixed coordinates, mm, of the same shape; with a batch axis first for a batch of poses. Read-only.
)";

inline constexpr const char* pose_compose_doc =
    R"(This pose after another: ``a.compose(b).apply(p) == a.apply(b.apply(p))``.

Angles add, so turns keep their count. Batches of one length go pose by pose; one pose goes with every pose of a batch.
)";

inline constexpr const char* pose_inverse_doc = R"(The pose that carries everything back.)";

inline constexpr const char* pose_about_doc = R"(The turn by turn_deg about a fixed point.

Parameters
----------
pivot : (2,) or (n, 2) lengths
    The point that keeps its place, mm.
turn_deg : angle or (n,) angles
    Degrees, counter-clockwise positive.

Examples
--------
>>> Pose.about((10.0, 0.0), 90.0)
Pose(x=10.0, y=-10.0, angle_deg=90.0)
)";

inline constexpr const char* outline_doc = R"(A polygon with holes that has been checked.

Every ring has at least three corners, no repeated corner, no side that crosses or touches another, and some area. Holes
lie inside and apart; they may touch at single points that do not cut the outline in two. The checks are exact.

Parameters
----------
points : (n, 2) lengths
    Corners in order, mm; either winding, closing point optional. Stored counter-clockwise; corner 0 stays first.
holes : sequence of (n, 2) lengths
    One ring a hole. Stored clockwise.

Raises
------
InvalidInput
    With a sentence that says what is wrong and where. Corners are counted from 1, in the order given.

Examples
--------
>>> Outline([(0, 0), (40, 0), (40, 3), (0, 3)]).points.shape
(4, 2)
)";

inline constexpr const char* moved_doc = R"(The same carried by a pose; by a batch of poses, a tuple.)";

inline constexpr const char* mirrored_doc = R"(The same reflected in the line through `point` along `direction`.

Parameters
----------
point : (2,) lengths
    Any point of the line, mm.
direction : (2,) numbers
    Any length but zero.
)";

inline constexpr const char* path_doc = R"(A chain of straight lines and circular arcs.

Segment i goes from point i to the next; straight where its sweep is 0, else along the circular arc that turns by it.

Parameters
----------
points : (n, 2) lengths
    mm; at least two, neighbours apart.
sweep_deg : angle or (n - 1,) angles, (n,) when closed
    Degrees, counter-clockwise positive, between -360 and 360 exclusive; one number stands for every segment. A full
    circle is two half turns.
closed : bool
    The last segment returns to point 0.

Attributes
----------
length : float
    Along the path, mm.
radii : (segments,) ndarray
    mm, infinite where straight.
centres : (segments, 2) ndarray
    mm, NaN where straight.

Raises
------
InvalidInput
    When a number is not finite or out of range, neighbours coincide, or the counts do not fit.

Examples
--------
>>> round(Path([(0, 0), (10, 0)], 180.0).length, 6)
15.707963
)";

inline constexpr const char* flatten_doc = R"(Points on the path whose chords stray from it by at most sagitta.

Parameters
----------
sagitta : length
    mm, > 0.

Returns
-------
(m, 2) ndarray
    Every point of the path is among them; a closed path does not repeat its first.
)";

inline constexpr const char* path_outline_doc = R"(The outline a closed path bounds; its corners lie on the path.

Parameters
----------
sagitta : length
    How far a side may stray from its arc, mm, > 0: inside a bulging arc, outside a hollow one.

Raises
------
InvalidInput
    When the path is open or crosses itself.
)";

inline constexpr const char* reversed_doc = R"(The same path walked the other way; a closed one keeps point 0 first.)";
