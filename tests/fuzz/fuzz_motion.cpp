// Points, poses, outlines, and the motions they make: bad input is InvalidInput, everything else gives numbers.
#include <array>
#include <foldswing/hinge.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

void pivot_hinge(fuzz::Bytes& in) {
    const Point pivot = in.point();
    const double from = in.number();
    const hinge::PivotHinge h(pivot, from, in.number());
    const std::array<double, 3> s{0.0, 0.5, 1.0};
    std::array<Pose, 3> poses;
    h.poses(s, poses);
    const std::vector<Point> corners = in.points(8);
    fuzz::require(!(h.stray(corners, 0.0, 1.0) < 0.0));
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    fuzz::Bytes in(data, size);
    switch (in.below(3)) {
        case 0:
            fuzz::call([&] { (void)in.outline(); });
            break;
        case 1:
            fuzz::call([&] { pivot_hinge(in); });
            break;
        default:
            fuzz::call([&] {
                const Pose pose = in.pose();
                require_valid(pose);
                (void)pose.compose(pose.inverse()).apply(in.point());
            });
    }
    return 0;
}
