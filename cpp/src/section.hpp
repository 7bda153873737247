#pragma once
// A folded section as pieces of sheet: where each flat and each bend lies, and whether two of them run into each other.
#include <foldswing/blank.hpp>
#include <vector>

namespace foldswing::detail {

/// A flat (a rectangle) or a bend (part of a ring), by its two faces.
struct Piece {
    std::size_t part = 0;
    double heading_deg = 0.0;   ///< direction of travel at its start; up is left of it
    double turn_deg = 0.0;      ///< counter-clockwise; 0 for a flat
    double length = 0.0;        ///< of a flat
    double lower_radius = 0.0;  ///< of a bend's faces
    double upper_radius = 0.0;
    bool bend = false;
    Point lower_start;
    Point upper_start;
    Point lower_end;
    Point upper_end;
    Point centre;  ///< of a bend
};

/// The pieces in their order, the first flat's lower face along +x from the origin.
std::vector<Piece> fold(const std::vector<blank::Part>& parts, const std::vector<blank::FlatSpan>& flats,
                        double thickness);

/// The first two pieces that overlap by more than rounding, as places in `pieces`; equal when none do.
struct Overlap {
    std::size_t first = 0;
    std::size_t second = 0;
};
Overlap find_overlap(const std::vector<Piece>& pieces, double thickness);

}  // namespace foldswing::detail
