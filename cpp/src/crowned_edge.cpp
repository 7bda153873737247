#include <cmath>
#include <foldswing/arc.hpp>
#include <foldswing/crowned_edge.hpp>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::crowned_edge {

Swing swing(double chord, double rise, AxisHeight axis, double from_middle, double opening_deg) {
    const double height = arc::height(chord, rise, from_middle);  // checks chord, rise and place
    detail::require(2.0 * rise <= chord, "rise", rise, "no more than half of the chord");
    detail::require_not_negative("from_middle", from_middle);
    detail::require(opening_deg >= 0.0 && opening_deg <= 180.0, "opening_deg", opening_deg, "from 0 to 180");
    // The skin at the hinges below the crown, R - sqrt(R^2 - x^2): the rise of the same arc over the span between them.
    // The root stands on R - rise, which is (a - rise)(a + rise)/(2 rise) with a = chord/2; sums of what is positive.
    double drop = 0.0;
    if (rise > 0.0) {
        const double a = 0.5 * chord;
        const double leg = height + 0.5 * (a - rise) * ((a + rise) / rise);
        drop = from_middle * (from_middle / (arc::radius(chord, rise) + leg));
    }
    Swing s;
    switch (axis) {
        case AxisHeight::corner:
            s = {0.0, rise, 0.0, 0.0, 0.0, -height};
            break;
        case AxisHeight::skin:
            s = {height, drop, 0.0, 0.0, 0.0, 0.0};
            break;
        case AxisHeight::crown:
            s = {rise, 0.0, 0.0, 0.0, 0.0, drop};
            break;
    }
    const double sine = detail::sin_deg(opening_deg);
    s.back = s.middle_above * sine;
    s.most_back = opening_deg < 90.0 ? s.back : s.middle_above;
    s.corners_forward = s.above_corners * sine;
    return s;
}

}  // namespace foldswing::crowned_edge
