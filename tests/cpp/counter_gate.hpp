#pragma once
// The counter gate that tests and fuzzers begin from: an invented one, upright, with square corners.
#include <foldswing/gate.hpp>

inline foldswing::gate::Sizes counter_gate() {
    foldswing::gate::Sizes s;
    s.thickness = 28.0;
    s.height = 360.0;
    s.lower_edge_below_worktop = 36.0;
    s.nose_behind_wall = 31.0;
    s.nose_depth = 40.0;
    s.worktop_above_floor = 900.0;
    s.head_above_worktop = 328.0;
    s.sill_below_worktop = 40.0;
    s.jamb_depth = 60.0;
    return s;
}
