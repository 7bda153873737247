#include <cstdio>
#include <foldswing/clearance.hpp>
#include <foldswing/hinge.hpp>
#include <foldswing/landing.hpp>

int main() {
    using namespace foldswing;
    const Outline gate({{0, -36}, {0, 324}, {-28, 324}, {-28, -36}});
    const Outline nose({{-71, -40}, {-31, -40}, {-31, 0}, {-71, 0}});
    const hinge::Landing landings[] = {hinge::lands_at_height(-90, {-28, 324}, 0),
                                       hinge::Landing(-90, {-28, -36}, {1, 0}, -28)};
    const hinge::PivotSolution found = hinge::solve_pivot(landings);
    std::printf("%s: pivot at %.1f, %.1f\n", hinge::word(found.status), found.pivot.x, found.pivot.y);

    const double radii[] = {0, 0, 0, 15.6};
    const Outline rounded = round_corners(gate, radii).outline(0.005);
    const hinge::PivotHinge swing(found.pivot, 0, -90);
    const clearance::Gap smallest = clearance::minimum_gap(rounded, nose, swing);
    std::printf("smallest gap %.2f mm at %.0f degrees\n", smallest.gap, 90 * smallest.at);
    return found.status == hinge::PivotStatus::point ? 0 : 1;
}
