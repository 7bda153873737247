// Poses, outlines, paths and what is drawn from them.
#include <cmath>
#include <foldswing/drafting.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

void pose(fuzz::Bytes& in) {
    const Pose pose = in.pose();
    require_valid(pose);
    (void)pose.compose(pose.inverse()).apply(in.point());
    (void)Pose::about(in.point(), in.number());
}

void one_outline(fuzz::Bytes& in) {
    const Outline outline = in.outline();
    fuzz::require(area(outline) > 0.0);
    (void)centroid(outline);
    for (const Point p : outline.corners()) fuzz::require(locate(outline, p) == Place::on_edge);
    (void)locate(outline, in.point());
    fuzz::require(outline.moved(in.pose()).corners().size() == outline.corners().size());
    (void)outline.mirrored(in.point(), in.point());
    const Point low = in.point();
    (void)drafting::clipped(outline, {low.x, low.y, low.x + in.number(), low.y + in.number()});
}

void two_outlines(fuzz::Bytes& in) {
    const Outline a = in.outline();
    const Outline b = in.outline();
    const Separation apart = distance(a, b);
    fuzz::require(apart.distance >= 0.0 && apart.depth >= 0.0);
    fuzz::require(apart.distance == 0.0 || apart.depth == 0.0);
    const Separation back = distance(b, a);
    constexpr double kSameRel = 1e-12;  // the two orders of subtraction round differently
    fuzz::require(std::abs(back.distance - apart.distance) <= kSameRel * (1.0 + apart.distance));
    const std::vector<Outline> both{a, b};
    for (const Outline& part : unite(both)) fuzz::require(area(part) > 0.0);
}

void grown(fuzz::Bytes& in) {
    const Outline outline = in.outline();
    OffsetOptions options;
    const double by = in.number();
    options.corners = in.flag() ? Corners::round : Corners::mitre;
    options.sagitta = std::max(std::abs(by) / 1000.0, in.number());  // finer is allowed, and slow
    options.mitre_limit = in.number();
    for (const Outline& part : offset(outline, by, options)) fuzz::require(area(part) > 0.0);
}

void path(fuzz::Bytes& in) {
    const auto radii = in.numbers(12);
    const Path path = in.flag() ? round_corners(in.outline(), radii) : Path(in.points(8), in.numbers(8), in.flag());
    fuzz::require(path.length() >= 0.0);
    (void)drafting::bounds(path);
    (void)drafting::radii(path);
    (void)drafting::bulges(drafting::split(path, 180.0));
    (void)drafting::cubics(path);
    (void)path.mirrored(in.point(), in.point());
    const double sagitta = in.number();
    constexpr std::size_t kQuickToCheck = 500;
    if (path.flatten(sagitta).size() < kQuickToCheck) (void)path.outline(sagitta);
    const double radius = in.number();
    if (radius > 0.0 && path.flatten(1e-3 * radius).size() < kQuickToCheck)
        fuzz::require(with_disc(path, in.point(), radius).closed());
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {pose, one_outline, two_outlines, grown, path});
}
