#pragma once
// Puts true arcs back where an outline follows known circles by chords.
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::detail {

/// A circle or a straight line that an outline may run along.
struct Carrier {
    Point centre;         ///< of a circle; of a line, any point of it
    double radius = 0.0;  ///< 0: a line
    Point along;          ///< of a line: unit vector
};

struct TrueRing {
    std::vector<Path> paths;  ///< one for each ring of the outline, outer first, in their own sense
    bool all = true;          ///< every side was found on a carrier
};

/// The rings of an outline with runs of sides that lie within `close` of a circle made into one arc of it; where two
/// runs meet, the point is where their carriers meet. Sides on no carrier stay as they are.
TrueRing with_true_arcs(const Outline& outline, const std::vector<Carrier>& carriers, double close);

}  // namespace foldswing::detail
