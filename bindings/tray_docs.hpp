#pragma once
// What help() shows for trays.

inline constexpr const char* return_doc = R"(A return (lip) along the free edge of a tray's flange.

Parameters
----------
width : length
    From its edge over the far face of the flange, mm, > 0; over the bend where folded flat on itself (180).
angle_deg : angle
    Turned through, degrees, over 0 to 180.
way : {'in', 'out'}
    Over the base, or away from it.
)";

inline constexpr const char* tray_doc =
    R"(A tray or box: a rectangular base, flanges turned 90 degrees, returns, reliefs, laps.

Parameters
----------
length, width : length
    Base, left to right and bottom to top, mm, > 0.
depth : length or four lengths
    Flanges (left, right, bottom, top), mm; 0: none there.
returns : Return, optional, or four of them
    Lips of the flanges (left, right, bottom, top). Neighbours that both turn in are mitred.
thickness, radius : length
    Of the metal, > 0; inside radius of all bends, >= 0; mm.
k_factor, deduction, allowance, coupon : exactly one
    What the bends take; a plain deduction or allowance holds for 90 degrees alone.
direction : {'up', 'down'}
    Way of the flanges, with the blank on the bench.
measured : {'outside', 'inside'}
    Base and depths over the outer faces, or within the inner ones.
notch : {'centre', 'tangent', 'gap'}
    Corner notches reach to the bend lines, to the base's tangent lines, or so that flange ends stand `corner_gap` apart.
corner_gap : length
    Between flange ends (notch 'gap'), between mitred returns, and of a lap's tab, mm, >= 0.
relief : {'none', 'round', 'square', 'slit'}
    Cut where two bends meet, about the crossing of the base's tangent lines.
relief_size : length
    Diameter, side, or width of the slit, mm.
relief_past : length
    How far a slit ends past that crossing, mm, >= 0.
lapped : sequence of {'left', 'right', 'bottom', 'top'}
    Flanges that carry a tab at both ends, lying inside their neighbours; no two neighbours.
lap_width : length
    Of the tabs, over the outer face of their bend, mm.
lap_holes : int
    Rivets or plug welds in each tab, evenly spread; the neighbour's hole lies under it.
lap_hole_diameter : length
    mm.

Raises
------
InvalidInput
    When a value breaks its rule or the tray cannot be folded; the size to change is named.
)";

inline constexpr const char* place_doc = R"(Return where a place of a folded panel lies on the blank.

Parameters
----------
panel : {'base', 'flange', 'return'}
    Which panel.
side : {'left', 'right', 'bottom', 'top'} or None
    Of the flange or return; not used for the base.
along, up : length
    From the outer face of the left side (base, bottom, top) or the bottom side (left, right); from the outer face of the
    base, for a return as its width is measured; on the base from the bottom's outer face. mm.

Returns
-------
(2,) ndarray
)";

inline constexpr const char* path_doc =
    R"(Return a path drawn on a folded panel (x along, y up; see place) on the blank.)";

inline constexpr const char* to_folded_doc = R"(Return where places of the blank come to lie.

The base stays as it lay on the bench: x and y of the blank, z up from its lower face.

Parameters
----------
points : (x, y) or (n, 2)
    On the blank, mm.
face : {'lower', 'upper'}
    Face of the metal as the blank lay on the bench.

Returns
-------
(3,) or (n, 3) ndarray
)";

inline constexpr const char* to_blank_doc = R"(Return every place of the blank that a folded point lies on.

Parameters
----------
point : (x, y, z)
    Folded, mm.
face : {'lower', 'upper'}
    Face of the metal that was meant.
within : length
    How far the point may lie off the face, mm, >= 0.

Returns
-------
(n, 2) ndarray
    Empty where there is no metal; several where the tray touches itself.
)";
