#include <algorithm>
#include <cmath>
#include <foldswing/tray.hpp>
#include <utility>

#include "check.hpp"
#include "tray_frame.hpp"

namespace foldswing::blank {

using detail::index;
using detail::is_upright;
using detail::kName;

Point Tray::place(TrayPanel panel, Side side, double along, double up) const {
    detail::require_finite("along", along);
    detail::require_finite("up", up);
    const Frame bottom = frame(Side::bottom);
    const auto face = [&](Side s) { return size_.depth[index(s)] > 0.0 ? setback_ : 0.0; };
    if (panel == TrayPanel::base) return bottom.origin + Point{along - face(Side::left), up - face(Side::bottom)};
    const Frame f = frame(side);
    if (!f.flange || (panel == TrayPanel::lip && !f.lip))
        throw InvalidInput("panel", std::string(kName[index(side)]) + (f.flange ? " return" : " flange"),
                           "one that the tray has");
    double v = f.bend + (up - setback_);
    if (panel == TrayPanel::lip) {
        const Return& lip = *size_.returns[index(side)];
        const Measured how = lip.angle_deg == 180.0 ? Measured::overall : Measured::outside;
        v = f.lip_from + (up - bend::end_correction(how, lip.angle_deg, size_.radius, size_.thickness));
    }
    const bool forward = side == Side::bottom || side == Side::right;
    const double off = along - face(is_upright(side) ? Side::bottom : Side::left);
    return f.at(forward ? off : f.run - off, v);
}

Path Tray::path_on_blank(TrayPanel panel, Side side, const Path& path) const {
    // Up runs outward: on the right and the top the panel lies on the blank as seen, on the others mirrored.
    const bool mirrored = panel != TrayPanel::base && (side == Side::right || side == Side::bottom);
    std::vector<Point> points;
    for (const Point p : path.points()) points.push_back(place(panel, side, p.x, p.y));
    std::vector<double> sweeps = path.sweep_deg();
    if (mirrored)
        for (double& s : sweeps) s = -s;
    return {std::move(points), std::move(sweeps), path.closed()};
}

namespace {

/// The tab that holds a place of the blank, if any.
const TrayLine* tab_at(const std::vector<TrayLine>& lines, const TraySize& size, Point at) {
    for (const TrayLine& l : lines) {
        if (l.kind != TrayLine::Kind::tab) continue;
        const double along = l.upright ? at.x : at.y;
        const double across = l.upright ? at.y : at.x;
        const double reach = size.lap_width + l.line.allowance;
        if (across >= l.from && across <= l.to && along >= l.line.tangent[0] - reach &&
            along <= l.line.tangent[1] + reach)
            return &l;
    }
    return nullptr;
}

}  // namespace

SpacePoint Tray::to_folded(Point at, Face face) const {
    if (locate(metal_.front(), at) == Place::outside)
        throw InvalidInput("at", "(" + detail::number_text(at.x) + ", " + detail::number_text(at.y) + ")",
                           "on the blank");
    const Frame bottom = frame(Side::bottom);
    const Frame top = frame(Side::top);
    const Point low = bottom.origin;
    const Point high = top.origin;
    const auto beside = [&](const FoldMap& map, double along, double across, bool upright) {
        const Point p = map.to_folded(std::clamp(along, 0.0, map.developed_length()), face);
        return upright ? SpacePoint{p.x, across, p.y} : SpacePoint{across, p.x, p.y};
    };
    const TrayLine* tab = tab_at(lines_, size_, at);
    // Beside a corner a flange reaches past its neighbour's tangent line, but never as far as it stands out itself; on
    // the square where both bends run out, the farther one holds.
    const double out_x = std::max(low.x - at.x, at.x - high.x);
    const double out_y = std::max(low.y - at.y, at.y - high.y);
    const bool upright = tab != nullptr ? is_upright(tab->side) : out_x >= out_y;
    const FoldMap& map = upright ? over_length_ : over_width_;
    const double along = upright ? at.x : at.y;
    const double across = upright ? at.y : at.x;
    if (tab == nullptr) return beside(map, along, across, upright);
    // The tab's own section runs across the flange: folded there, then carried on the flange's plane.
    const bool start =
        0.5 * (tab->line.tangent[0] + tab->line.tangent[1]) < 0.5 * (upright ? low.y + high.y : low.x + high.x);
    const double run = size_.lap_width + allowance_;
    const Bend bend{90.0, size_.radius, size_.direction, size_.basis};
    const FoldMap tab_map(
        Profile({Flat{run, Measured::flat, Measured::flat}, bend, Flat{run, Measured::flat, Measured::flat}},
                size_.thickness),
        start ? 1 : 0);
    const double shift = tab->line.tangent[0] - run;
    const double inside = across - shift;
    if (inside < 0.0 || inside > tab_map.developed_length()) return beside(map, along, across, upright);
    const Point p = tab_map.to_folded(inside, face);
    const Point q = map.to_folded(along, Face::lower);
    const Point n = map.upward(along);
    const Point x = q + p.y * n;
    const double y = p.x + shift;
    return upright ? SpacePoint{x.x, y, x.y} : SpacePoint{y, x.x, x.y};
}

std::vector<Point> Tray::to_blank(SpacePoint at, Face face, double within) const {
    detail::require_finite("at", at.x);
    detail::require_finite("at", at.y);
    detail::require_finite("at", at.z);
    std::vector<Point> out;
    const auto keep = [&](Point p) {
        if (locate(metal_.front(), p) == Place::outside) return;
        const SpacePoint back = to_folded(p, face);
        const double miss = std::hypot(back.x - at.x, back.y - at.y, back.z - at.z);
        constexpr double kRoundingRel = 1e-12;
        const double rounding = kRoundingRel * (blank_length() + blank_width());
        if (!(miss <= within + rounding)) return;
        const auto same = [&](Point q) { return std::hypot(p.x - q.x, p.y - q.y) <= within + rounding; };
        if (std::ranges::none_of(out, same)) out.push_back(p);
    };
    for (const BlankPlace& b : over_length_.to_blank({at.x, at.z}, face, within)) keep({b.along, at.y});
    for (const BlankPlace& b : over_width_.to_blank({at.y, at.z}, face, within)) keep({at.x, b.along});
    for (const TrayLine& l : lines_) {
        if (l.kind != TrayLine::Kind::tab) continue;
        // On the tab's flat: its plane is square to the flange's, so that height gives one coordinate and the depth in
        // from the flange the other.
        const bool upright = is_upright(l.side);
        const FoldMap& map = upright ? over_length_ : over_width_;
        const Point low = frame(Side::bottom).origin;
        const Point high = frame(Side::top).origin;
        const bool start = l.line.centre < 0.5 * (upright ? low.y + high.y : low.x + high.x);
        const double middle = 0.5 * (l.from + l.to);
        const Point q = map.to_folded(middle, Face::lower);
        const Point n = map.upward(middle);
        const Point along_way = map.to_folded(l.to, Face::lower) - map.to_folded(l.from, Face::lower);
        const double length = std::hypot(along_way.x, along_way.y);
        const Point v = Point{upright ? at.x : at.y, at.z} - q;
        const double deep = v.x * n.x + v.y * n.y;
        const double along = middle + (v.x * along_way.x + v.y * along_way.y) / length;
        const double run = size_.lap_width + allowance_;
        const Bend bend{90.0, size_.radius, size_.direction, size_.basis};
        const FoldMap tab_map(
            Profile({Flat{run, Measured::flat, Measured::flat}, bend, Flat{run, Measured::flat, Measured::flat}},
                    size_.thickness),
            start ? 1 : 0);
        const double shift = l.line.tangent[0] - run;
        for (const BlankPlace& b : tab_map.to_blank({(upright ? at.y : at.x) - shift, deep}, face, within)) {
            const double across = b.along + shift;
            keep(upright ? Point{along, across} : Point{across, along});
        }
    }
    return out;
}

}  // namespace foldswing::blank
