#include <algorithm>
#include <cmath>
#include <foldswing/tray.hpp>
#include <numbers>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "tray_frame.hpp"

namespace foldswing::blank {
namespace {

using detail::index;
using detail::is_upright;
using detail::kName;

/// Round the blank counter-clockwise: the side a side's run begins at, and the one it ends at.
constexpr std::array<Side, 4> kRound{Side::bottom, Side::right, Side::top, Side::left};
constexpr Side before(Side side) noexcept {
    return side == Side::bottom  ? Side::left
           : side == Side::right ? Side::bottom
           : side == Side::top   ? Side::right
                                 : Side::top;
}
constexpr Side after(Side side) noexcept {
    return side == Side::bottom  ? Side::right
           : side == Side::right ? Side::top
           : side == Side::top   ? Side::left
                                 : Side::bottom;
}

std::string field(const char* name, Side side) { return std::string(name) + "[" + kName[index(side)] + "]"; }

const TraySize& checked(const TraySize& size) {
    detail::require_positive("length", size.length);
    detail::require_positive("width", size.width);
    detail::require_positive("thickness", size.thickness);
    detail::require_not_negative("radius", size.radius);
    detail::require_not_negative("corner_gap", size.corner_gap);
    if (size.measured != Measured::outside && size.measured != Measured::inside)
        throw InvalidInput("measured", size.measured == Measured::flat ? "flat" : "overall", "outside or inside");
    if (size.basis.kind == Basis::Kind::unset)
        throw InvalidInput("k_factor", "nothing", "given, or a deduction or an allowance in its place");
    for (const Side side : kRound) {
        const double depth = size.depth[index(side)];
        detail::require_not_negative(field("depth", side).c_str(), depth);
        const auto& lip = size.returns[index(side)];
        if (lip) {
            detail::require(depth > 0.0, field("depth", side).c_str(), depth, "> 0 where the flange has a return");
            detail::require_positive((field("returns", side) + ".width").c_str(), lip->width);
            detail::require(lip->angle_deg > 0.0 && lip->angle_deg <= 180.0,
                            (field("returns", side) + ".angle_deg").c_str(), lip->angle_deg,
                            "a bend angle (turned through), over 0 to 180");
            if (size.basis.kind != Basis::Kind::k_factor && lip->angle_deg != 90.0)
                throw InvalidInput((field("returns", side) + ".angle_deg"), lip->angle_deg,
                                   "90 where the bends are given by a plain deduction or allowance: these were found "
                                   "at 90; give a k_factor");
        }
        if (size.lapped[index(side)]) {
            detail::require(depth > 0.0, field("depth", side).c_str(), depth, "> 0 where the flange has tabs");
            for (const Side next : {before(side), after(side)}) {
                if (size.lapped[index(next)])
                    throw InvalidInput("lapped", std::string(kName[index(side)]) + " and " + kName[index(next)],
                                       "not two neighbours: their tabs would meet in one corner");
                detail::require(size.depth[index(next)] > 0.0, field("depth", next).c_str(), size.depth[index(next)],
                                "> 0 where a tab is to lie against it");
            }
        }
    }
    if (std::ranges::all_of(size.depth, [](double d) { return d == 0.0; }))
        throw InvalidInput("depth", 0.0, "> 0 on one side at least");
    if (size.relief != Relief::none) detail::require_positive("relief_size", size.relief_size);
    detail::require_not_negative("relief_past", size.relief_past);
    if (std::ranges::any_of(size.lapped, [](bool b) { return b; })) {
        detail::require_positive("lap_width", size.lap_width);
        if (size.lap_holes > 0) detail::require_positive("lap_hole_diameter", size.lap_hole_diameter);
        constexpr std::size_t kMostHoles = 1000;
        detail::require(size.lap_holes <= kMostHoles, "lap_holes", static_cast<double>(size.lap_holes), "at most 1000");
    }
    return size;
}

/// The outside size of what was given.
double outside(const TraySize& size, double given, double faces) {
    return size.measured == Measured::inside && given > 0.0 ? given + faces * size.thickness : given;
}
double base_outside(const TraySize& size, Side first) {
    const bool lengthwise = first == Side::left;
    const double walls =
        (size.depth[index(first)] > 0.0 ? 1.0 : 0.0) + (size.depth[index(after(after(first)))] > 0.0 ? 1.0 : 0.0);
    return outside(size, lengthwise ? size.length : size.width, walls);
}

Profile section(const TraySize& size, Side first) {
    const Side second = after(after(first));
    const Bend bend{90.0, size.radius, size.direction, size.basis};
    std::vector<Part> parts;
    const auto lip_bend = [&](const Return& lip) {
        const bool up = (size.direction == Direction::up) == lip.inward;
        return Bend{lip.angle_deg, size.radius, up ? Direction::up : Direction::down, size.basis};
    };
    const auto how = [](const Return& lip) { return lip.angle_deg == 180.0 ? Measured::overall : Measured::outside; };
    const double low = outside(size, size.depth[index(first)], 1.0);
    const double high = outside(size, size.depth[index(second)], 1.0);
    if (low > 0.0) {
        const auto& lip = size.returns[index(first)];
        if (lip) {
            parts.emplace_back(Flat{lip->width, Measured::outside, how(*lip)});
            parts.emplace_back(lip_bend(*lip));
        }
        parts.emplace_back(Flat{low, lip ? how(*lip) : Measured::outside, Measured::outside});
        parts.emplace_back(bend);
    }
    parts.emplace_back(Flat{base_outside(size, first), Measured::outside, Measured::outside});
    if (high > 0.0) {
        const auto& lip = size.returns[index(second)];
        parts.emplace_back(bend);
        parts.emplace_back(Flat{high, Measured::outside, lip ? how(*lip) : Measured::outside});
        if (lip) {
            parts.emplace_back(lip_bend(*lip));
            parts.emplace_back(Flat{lip->width, how(*lip), Measured::outside});
        }
    }
    try {
        return {std::move(parts), size.thickness};
    } catch (const InvalidInput& e) {
        throw InvalidInput(std::string(first == Side::left ? "length" : "width") + " section: " + e.parameter(),
                           e.value(), e.rule());
    }
}

/// The base's place among the flats of a section.
std::size_t base_flat(const TraySize& size, Side first) {
    if (size.depth[index(first)] == 0.0) return 0;
    return size.returns[index(first)] ? 2 : 1;
}

struct Trace {
    std::vector<Point> points;
    std::vector<double> sweep_deg;
    void to(Point p, double sweep = 0.0) {
        if (points.empty()) {
            points.push_back(p);
        } else if (p != points.back()) {
            points.push_back(p);
            sweep_deg.push_back(sweep);
        }
    }
};

}  // namespace

Tray::Frame Tray::frame(Side side) const {
    const auto base = [&](const Profile& p, Side first) { return p.flats()[base_flat(size_, first)]; };
    const FlatSpan across = base(lengthwise_, Side::left);
    const FlatSpan over = base(crosswise_, Side::bottom);
    Frame f;
    f.side = side;
    const bool high = side == Side::right || side == Side::top;
    switch (side) {
        case Side::bottom:
            f.origin = {across.start, over.start};
            f.along = {1.0, 0.0};
            f.outward = {0.0, -1.0};
            break;
        case Side::right:
            f.origin = {across.end, over.start};
            f.along = {0.0, 1.0};
            f.outward = {1.0, 0.0};
            break;
        case Side::top:
            f.origin = {across.end, over.end};
            f.along = {-1.0, 0.0};
            f.outward = {0.0, 1.0};
            break;
        case Side::left:
            f.origin = {across.start, over.end};
            f.along = {0.0, -1.0};
            f.outward = {-1.0, 0.0};
            break;
    }
    f.run = is_upright(side) ? over.length : across.length;
    f.flange = size_.depth[index(side)] > 0.0;
    if (!f.flange) return f;
    const Profile& p = is_upright(side) ? lengthwise_ : crosswise_;
    const std::size_t b = base_flat(size_, is_upright(side) ? Side::left : Side::bottom);
    const FlatSpan& flange = p.flats()[high ? b + 1 : b - 1];
    f.bend = allowance_;
    f.flat = f.bend + flange.length;
    f.lip = size_.returns[index(side)].has_value();
    if (f.lip) {
        const BendLine& line = p.bend_lines()[high ? b + 1 : b - 2];
        f.lip_from = f.flat + line.allowance;
        f.lip_to = f.lip_from + p.flats()[high ? b + 2 : b - 2].length;
    }
    const auto end = [&](Side next) {
        if (size_.depth[index(next)] == 0.0) return 0.0;
        // A flange with a tab ends where its tab's bend begins: the tab's outer face lies against the neighbour.
        if (size_.lapped[index(side)]) return size_.thickness + size_.corner_gap;
        return inset_ - setback_;
    };
    f.start = end(before(side));
    f.end = end(after(side));
    return f;
}

std::array<Point, 2> TrayLine::ends(double position) const noexcept {
    if (upright) return {Point{position, from}, Point{position, to}};
    return {Point{from, position}, Point{to, position}};
}

Tray::Tray(const TraySize& size)
    : size_(checked(size)),
      lengthwise_(section(size, Side::left)),
      crosswise_(section(size, Side::bottom)),
      over_length_(lengthwise_, base_flat(size, Side::left)),
      over_width_(crosswise_, base_flat(size, Side::bottom)),
      allowance_(bend::allowance(90.0, size.radius, size.thickness, size.basis)),
      setback_(bend::setback(90.0, size.radius, size.thickness)),
      outline_({{0.0, 0.0}, {1.0, 0.0}}, {0.0}) {
    switch (size_.notch) {
        case Notch::centre:
            inset_ = setback_ - 0.5 * allowance_;
            break;
        case Notch::tangent:
            inset_ = setback_;
            break;
        case Notch::gap:
            inset_ = size_.thickness + size_.corner_gap / std::numbers::sqrt2;
            break;
    }
    const bool corner = std::ranges::any_of(
        kRound, [&](Side s) { return size_.depth[index(s)] > 0.0 && size_.depth[index(after(s))] > 0.0; });
    const double clear = inset_ - size_.thickness;
    if (corner) {
        gap_ = clear > 0.0 ? clear * std::numbers::sqrt2 : 0.0;
        overlap_ = clear < 0.0 ? -clear : 0.0;
    }
    cut();
}

void Tray::cut() {
    Trace trace;
    const double half_size = 0.5 * size_.relief_size;
    const double diagonal = size_.relief_size / std::numbers::sqrt2;
    const auto lip_of = [&](Side s) -> const Return* {
        const auto& lip = size_.returns[index(s)];
        return lip ? &*lip : nullptr;
    };
    // How far along a mitred lip's end is cut back at the end of its bend, and how fast from there.
    struct Mitre {
        double at_bend = 0.0;
        double at_flat = 0.0;
        double rate = 0.0;
    };
    const auto mitre = [&](Side side, Side next, double end) {
        Mitre m{end, end, 0.0};
        const Return* lip = lip_of(side);
        const Return* other = lip_of(next);
        if (lip == nullptr || other == nullptr || !lip->inward || !other->inward) return m;
        // The plane at 45 degrees through the corner parts the two lips: a lip ends where its deepest face comes to
        // within half the gap of it. Through the bend the deepest is the inner face up to 90 degrees, then the outer.
        const double r = size_.radius;
        const double t = size_.thickness;
        const double c = detail::one_minus_cos_deg(lip->angle_deg);
        const double deepest = lip->angle_deg <= 90.0 ? t + r * c : (r + t) * c;
        m.at_flat = deepest + size_.corner_gap / std::numbers::sqrt2 - setback_;
        m.at_bend = std::max(end, m.at_flat);
        m.rate = detail::sin_deg(lip->angle_deg);
        return m;
    };
    const auto cut_at = [](const Mitre& m, double end, double past) {
        return std::max(end, m.at_flat + m.rate * past);
    };
    // Where the mitre cuts deeper than the flange's own end already does; 0 where it does all along, or never.
    const auto leaves = [](const Mitre& m, double end) { return m.rate > 0.0 ? (end - m.at_flat) / m.rate : 0.0; };
    for (const Side side : kRound) {
        const Frame f = frame(side);
        const Frame next = frame(after(side));
        const double lip_run = f.lip_to - f.lip_from;
        if (!f.flange) {
            trace.to(f.at(0.0, 0.0));
        } else {
            const double left = f.run - f.start - f.end;
            if (!(left > 0.0))
                throw InvalidInput(is_upright(side) ? "width" : "length", is_upright(side) ? size_.width : size_.length,
                                   "long enough to leave a flange between its two corner notches (by " +
                                       detail::number_text(-left) + " more)");
            const Frame last = frame(before(side));
            const Mitre m0 = mitre(side, before(side), f.start);
            const Mitre m1 = mitre(side, after(side), f.end);
            const double tip = f.run - cut_at(m0, f.start, lip_run) - cut_at(m1, f.end, lip_run);
            if (f.lip && !(tip > 0.0))
                throw InvalidInput(
                    field("returns", side) + ".width", lip_of(side)->width,
                    "narrow enough for its mitred ends: they leave " + detail::number_text(tip) + " of its edge");
            const auto tab = [&](bool at_start) {
                const Frame& mate = at_start ? last : next;
                const double clear = size_.corner_gap;
                const double from = f.bend + clear;
                const double to = std::min(f.flat - (f.lip ? clear : 0.0), mate.flat - (mate.lip ? clear : 0.0));
                if (!(to > from))
                    throw InvalidInput(
                        field("depth", f.flat <= mate.flat ? side : mate.side),
                        size_.depth[index(f.flat <= mate.flat ? side : mate.side)],
                        "deep enough for a tab at the corner (by " + detail::number_text(from - to) + " more)");
                const double flat = size_.lap_width - setback_;
                detail::require(flat > 0.0, "lap_width", size_.lap_width,
                                "more than the tab's bend takes (its setback)");
                if (!(size_.lap_width < 0.5 * mate.run + setback_))
                    throw InvalidInput("lap_width", size_.lap_width, "less than half the flange it lies against");
                const double root = at_start ? f.start : f.run - f.end;
                const double way = at_start ? -1.0 : 1.0;
                const double edge = root + way * (allowance_ + flat);
                const std::array<Point, 4> corners{f.at(root, from), f.at(edge, from), f.at(edge, to), f.at(root, to)};
                if (at_start) {
                    for (const Point p : corners) trace.to(p);
                } else {
                    for (std::size_t i = 4; i-- > 0;) trace.to(corners[i]);
                }
                TrayLine line;
                line.kind = TrayLine::Kind::tab;
                line.side = side;
                line.upright = !is_upright(side);
                const auto position = [&](Point p) { return line.upright ? p.x : p.y; };
                const auto across = [&](Point p) { return line.upright ? p.y : p.x; };
                const double first = std::min(position(corners[0]), position(f.at(root + way * allowance_, from)));
                const Profile& p = is_upright(side) ? lengthwise_ : crosswise_;
                const BendLine& like =
                    p.bend_lines()[base_flat(size_, is_upright(side) ? Side::left : Side::bottom) -
                                   (size_.depth[index(is_upright(side) ? Side::left : Side::bottom)] > 0.0 ? 1 : 0)];
                line.line = like.moved(first - like.tangent[0]);
                line.line.part = 0;
                line.from = std::min(across(corners[0]), across(corners[3]));
                line.to = std::max(across(corners[0]), across(corners[3]));
                lines_.push_back(line);
                for (std::size_t i = 0; i < size_.lap_holes; ++i) {
                    const double share = (static_cast<double>(i) + 0.5) / static_cast<double>(size_.lap_holes);
                    const double v = from + share * (to - from);
                    holes_.push_back(
                        {side, true, f.at(root + way * (allowance_ + 0.5 * flat), v), size_.lap_hole_diameter});
                    const double u = 0.5 * flat;
                    holes_.push_back(
                        {mate.side, false, mate.at(at_start ? mate.run - u : u, v), size_.lap_hole_diameter});
                }
            };
            const bool lap_start = size_.lapped[index(side)];
            if (!last.flange) trace.to(f.at(0.0, 0.0));  // else the corner was traced with the side before
            if (lap_start) tab(true);
            trace.to(f.at(f.start, f.flat));
            if (f.lip) {
                trace.to(f.at(m0.at_bend, f.flat));
                trace.to(f.at(m0.at_bend, f.lip_from));
                if (const double past = leaves(m0, f.start); past > 0.0 && past < lip_run)
                    trace.to(f.at(f.start, f.lip_from + past));
                trace.to(f.at(cut_at(m0, f.start, lip_run), f.lip_to));
                trace.to(f.at(f.run - cut_at(m1, f.end, lip_run), f.lip_to));
                if (const double past = leaves(m1, f.end); past > 0.0 && past < lip_run)
                    trace.to(f.at(f.run - f.end, f.lip_from + past));
                trace.to(f.at(f.run - m1.at_bend, f.lip_from));
                trace.to(f.at(f.run - m1.at_bend, f.flat));
            }
            trace.to(f.at(f.run - f.end, f.flat));
            if (lap_start) tab(false);
            const Profile& p = is_upright(side) ? lengthwise_ : crosswise_;
            const bool high = side == Side::right || side == Side::top;
            const std::size_t b = base_flat(size_, is_upright(side) ? Side::left : Side::bottom);
            const auto add = [&](TrayLine::Kind kind, const BendLine& bend_line, double u0, double u1) {
                const Point a = f.at(u0, 0.0);
                const Point z = f.at(u1, 0.0);
                const bool up = is_upright(side);
                lines_.push_back({kind, side, up, bend_line, std::min(up ? a.y : a.x, up ? z.y : z.x),
                                  std::max(up ? a.y : a.x, up ? z.y : z.x)});
            };
            // The bend begins where the relief ends.
            const auto from_relief = [&](double end, bool neighbour) {
                const double v = 0.5 * allowance_;
                if (!neighbour) return end;
                switch (size_.relief) {
                    case Relief::none:
                        return end;
                    case Relief::round:
                        return v < half_size ? std::max(end, std::sqrt((half_size - v) * (half_size + v))) : end;
                    case Relief::square:
                        return v < half_size ? std::max(end, half_size) : end;
                    case Relief::slit:
                        return std::max(end, diagonal - v);
                }
                return end;
            };
            add(TrayLine::Kind::flange, p.bend_lines()[high ? b : b - 1], from_relief(f.start, last.flange),
                f.run - from_relief(f.end, next.flange));
            if (f.lip) add(TrayLine::Kind::lip, p.bend_lines()[high ? b + 1 : b - 2], m0.at_bend, f.run - m1.at_bend);
        }
        if (!f.flange || !next.flange) continue;  // the next side begins where this one ends
        // The corner: p beyond the end of this side, q outward; the next side's flange lies below q = qb.
        const double pa = -f.end;
        const double qb = -next.start;
        const auto at = [&](double p, double q) { return f.at(f.run + p, q); };
        const double s = half_size;
        const auto too_small = [&](double least) {
            throw InvalidInput("relief_size", size_.relief_size,
                               "more than " + detail::number_text(least) + ", so that it opens into the notch");
        };
        switch (size_.relief) {
            case Relief::none:
                trace.to(at(pa, qb));
                break;
            case Relief::round: {
                const double corner = std::hypot(pa, qb);
                if (!(s > corner)) too_small(2.0 * corner);
                const double q = std::sqrt((s - pa) * (s + pa));
                const double p = std::sqrt((s - qb) * (s + qb));
                const double begin = std::atan2(q, pa) / detail::kDegree;
                const double end = std::atan2(qb, p) / detail::kDegree;
                trace.to(at(pa, q));
                trace.to(at(p, qb), -(end + 360.0 - begin));
                break;
            }
            case Relief::square:
                if (!(s > std::max(std::fabs(pa), std::fabs(qb))))
                    too_small(2.0 * std::max(std::fabs(pa), std::fabs(qb)));
                trace.to(at(pa, s));
                trace.to(at(-s, s));
                trace.to(at(-s, -s));
                trace.to(at(s, -s));
                trace.to(at(s, qb));
                break;
            case Relief::slit: {
                if (!(diagonal > std::fabs(pa - qb))) too_small(std::numbers::sqrt2 * std::fabs(pa - qb));
                const double past = size_.relief_past / std::numbers::sqrt2;
                if (!(-past < std::min(pa, qb)))
                    throw InvalidInput("relief_past", size_.relief_past,
                                       "more than " +
                                           detail::number_text(std::numbers::sqrt2 * std::max(0.0, -std::min(pa, qb))) +
                                           ", so that the slit goes past the notch");
                trace.to(at(pa, pa + diagonal));
                trace.to(at(-past - 0.5 * diagonal, -past + 0.5 * diagonal));
                trace.to(at(-past + 0.5 * diagonal, -past - 0.5 * diagonal));
                trace.to(at(qb + diagonal, qb));
                break;
            }
        }
        const double reach = size_.relief == Relief::none   ? 0.0
                             : size_.relief == Relief::slit ? std::max(pa, qb) + diagonal
                                                            : s;
        for (const Frame* flange : {&f, &next})
            if (!(reach < flange->flat))
                throw InvalidInput("relief_size", size_.relief_size,
                                   "small enough to stay clear of the free edge of the " +
                                       std::string(kName[index(flange->side)]) + " flange");
    }
    if (trace.points.size() > 1 && trace.points.back() == trace.points.front()) {
        trace.points.pop_back();
    } else {
        trace.sweep_deg.push_back(0.0);
    }
    outline_ = Path(std::move(trace.points), std::move(trace.sweep_deg), true);
    // Corner arcs as chords: only to know whether a place is on the metal, and that nothing crosses.
    constexpr double kChordSagitta = 0.001;  // mm, far below a scriber's line
    try {
        metal_.push_back(outline_.outline(kChordSagitta));
    } catch (const InvalidInput& e) {
        throw InvalidInput("tray", "a blank that cuts into itself (" + e.rule() + ")",
                           "larger, or its reliefs and tabs smaller");
    }
}

std::string Tray::explanation() const {
    const auto mm = [](double v) { return detail::number_text(std::round(v * 100.0) / 100.0) + " mm"; };
    std::string text;
    if (overlap_ > 0.0)
        text = "the flange ends would run into each other by " + mm(overlap_) +
               " at the corners: file them before the second bend, or cut the notches for a gap";
    else if (gap_ > 0.0)
        text = "the flange ends stand " + mm(gap_) + " apart at the corners";
    else
        text = "no two flanges meet at a corner";
    if (size_.relief == Relief::none && size_.notch == Notch::centre && (gap_ > 0.0 || overlap_ > 0.0))
        text += "; the notches end on the bend lines without a relief: the corner may bulge or tear as it is bent";
    return text;
}

}  // namespace foldswing::blank
