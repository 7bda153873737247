#include <foldswing/arc.hpp>

#include "check.hpp"

namespace foldswing::arc {

double radius(double chord, double rise) {
    detail::require_positive("chord", chord);
    detail::require_positive("rise", rise);
    return 0.125 * chord * (chord / rise) + 0.5 * rise;
}

}  // namespace foldswing::arc
