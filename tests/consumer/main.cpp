// What a C++ user writes against the installed library alone.
#include <cstdio>
#include <foldswing/arc.hpp>
#include <foldswing/hinge.hpp>

int main() {
    // A gate that turns 90 degrees clockwise about a pin; where does its upper edge go?
    const foldswing::hinge::PivotHinge hinge({-10.0, -18.0}, 0.0, -90.0);
    const double s[] = {0.0, 1.0};
    foldswing::Pose poses[2];
    hinge.poses(s, poses);
    const foldswing::Point edge = poses[1].apply({-28.0, 324.0});
    std::printf("edge at %.1f, %.1f; radius %.1f mm\n", edge.x, edge.y, foldswing::arc::radius(1220.0, 38.0));
    return edge.y == 0.0 ? 0 : 1;
}
