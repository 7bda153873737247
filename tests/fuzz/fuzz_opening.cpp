// Openings: plausible readings with a few replaced by anything make an opening or are refused, and a panel in it keeps
// the gaps it says it keeps. Along it: one axis, many stations, crowned edges.
#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/axis.hpp>
#include <foldswing/crowned_edge.hpp>
#include <foldswing/opening.hpp>
#include <foldswing/station.hpp>

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

void axes(fuzz::Bytes& in) {
    axis::Axis a{in.point(), 0.0, in.point(), 1190.0};
    if (in.below(4) == 0) a.left_at = in.number();
    if (in.below(4) == 0) a.right_at = in.number();
    const axis::Tilt tilt = axis::tilt(a);
    fuzz::require(tilt.angle_deg >= 0.0 && tilt.angle_deg <= 90.0);
    fuzz::require(axis::at(a, a.left_at) == a.left && axis::at(a, a.right_at) == a.right);
    const Point p = in.point();
    const double from_left = in.number();
    const axis::Turned t = axis::turned(a, p, from_left, in.number());
    fuzz::require(std::isfinite(t.at.x) && std::isfinite(t.at.y) && std::isfinite(t.sideways));
    fuzz::require(std::isfinite(t.off_section) && t.off_section >= 0.0);
}

void stations(fuzz::Bytes& in) {
    std::vector<station::Measured> measured;
    double at = 0.0;
    for (std::size_t n = in.below(5); n > 0; --n) {
        at += static_cast<double>(in.byte());
        measured.emplace_back();
        measured.back().from_left = in.below(16) == 0 ? in.number() : at;
        if (in.flag()) measured.back().width = in.flag() ? in.number() : static_cast<double>(in.byte());
        measured.back().there.worktop_up = in.number();
        at += static_cast<double>(in.byte());
    }
    std::vector<station::Bow> bows;
    for (std::size_t n = in.below(3); n > 0; --n) {
        bows.push_back({in.number(), in.number(), in.number(), {}});
        bows.back().toward.worktop_up = in.flag() ? 1.0 : in.number();
    }
    const double up = station::differences_at(measured, bows, in.number()).worktop_up;
    fuzz::require(std::isfinite(up));
    const double width = in.below(4) == 0 ? in.number() : 1024.0;
    const std::vector<station::Stretch> s = station::stretches(width, in.numbers(8), measured);
    if (s.empty()) return;
    fuzz::require(s.front().from == 0.0 && s.back().to == width);
    for (std::size_t i = 0; i < s.size(); ++i) {
        fuzz::require(i == 0 || s[i].from == s[i - 1].to);
        fuzz::require(s[i].from <= s[i].from_left && s[i].from_left <= s[i].to);
    }
}

void bows(fuzz::Bytes& in) {
    const double chord = in.number();
    const double rise = in.number();
    const std::vector<double> places = station::bow_places(chord, rise, in.number());
    fuzz::require(places.size() >= 5 && places.size() <= station::kMostStretches + 1);
    fuzz::require(places.front() == 0.0 && places.back() == chord);
    const auto height = static_cast<crowned_edge::AxisHeight>(in.below(3));
    const double opening = in.number();
    const crowned_edge::Swing s = crowned_edge::swing(chord, rise, height, in.number(), opening);
    fuzz::require(std::abs(s.above_corners + s.middle_above - rise) <= 1e-13 * rise);
    fuzz::require(s.back >= 0.0 && s.back <= s.most_back && s.most_back <= s.middle_above);
    fuzz::require(std::abs(s.pins_above_skin) <= rise * (1.0 + 1e-13));
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {fits, panels, axes, stations, bows});
}
