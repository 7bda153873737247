// Openings: plausible readings with a few replaced by anything make an opening or are refused, and a panel in it keeps
// the gaps it says it keeps.
#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/opening.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

opening::Readings readings(fuzz::Bytes& in) {
    opening::Readings r{600.0, 602.0, 365.0, 366.0, {}, {}};
    if (in.flag()) r.diagonal_rising = 703.0;
    if (in.flag()) r.diagonal_falling = 702.0;
    const std::array<double*, 4> sides{&r.width_top, &r.width_bottom, &r.height_left, &r.height_right};
    for (std::size_t n = in.below(4); n > 0; --n) *sides[in.below(4)] = in.number();
    if (r.diagonal_rising && in.flag()) r.diagonal_rising = in.number();
    if (r.diagonal_falling && in.flag()) r.diagonal_falling = in.number();
    return r;
}

opening::Wanted wanted(fuzz::Bytes& in) {
    opening::Wanted w;
    w.gap = {4.0, 5.0, 4.0, 5.0};
    for (std::size_t n = in.below(3); n > 0; --n) w.gap[in.below(4)] = in.number();
    w.painted = in.flag();
    if (in.flag()) w.paint_panel = in.number();
    if (in.flag()) w.paint_body = 0.15;
    if (in.flag()) w.seal[in.below(4)] = opening::Seal{in.number(), 3.0};
    w.hinge = static_cast<opening::Edge>(in.below(4));
    return w;
}

void require_kept(const opening::Corners& in, const opening::Panel& p) {
    if (p.status == opening::PanelStatus::none) return;
    double size = 0.0;
    for (const Point c : in) size = std::max({size, std::abs(c.x), std::abs(c.y)});
    // A corner of next to 180 degrees, or next to 0, magnifies rounding; it never comes to a millionth of the size.
    for (const opening::EdgeGap& g : p.gaps) fuzz::require(g.least_bare >= g.needed - 1e-6 * size);
}

void fits(fuzz::Bytes& in) {
    const opening::Opening found = opening::fit(readings(in), in.flag() ? 1.0 : in.number());
    fuzz::require(!found.explanation.empty());
    if (found.status == opening::Status::impossible) return;
    for (const double v : found.square.corners) fuzz::require(std::isfinite(v));
    const opening::Wanted w = wanted(in);
    require_kept(found.corners, opening::square_panel(found.corners, w));
    (void)opening::longest_panel(found.corners, w, in.number());
    (void)opening::deepest_panel(found.corners, w, in.number());
    (void)opening::given_panel(found.corners, w, in.number(), in.number(), in.number());
}

void panels(fuzz::Bytes& in) {
    const opening::Corners c{in.point(), in.point(), in.point(), in.point()};
    const opening::Wanted w = wanted(in);
    (void)opening::out_of_square(c);
    require_kept(c, opening::square_panel(c, w));
    (void)opening::matched_panel(c, w);
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {fits, panels});
}
