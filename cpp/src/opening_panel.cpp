// The panel that goes into an opening, and the gaps round it.
#include <algorithm>
#include <cmath>
#include <foldswing/opening.hpp>
#include <limits>
#include <utility>
#include <vector>

#include "check.hpp"
#include "opening.hpp"
#include "predicates.hpp"
#include "words.hpp"

namespace foldswing::opening {
namespace {

using detail::cross;
using detail::dot;
using detail::mm;
using detail::norm;
using detail::span;

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kRoundingRel = 1e-12;  // of the opening's size; what rounding may cost a gap
constexpr double kSame = 1e-9;          // mm; gaps this close are the same: rounding, far below anything a shop sees

constexpr const char* kTooSkew =
    "no rectangle goes in parallel to the hinge side with the gaps wanted: the opening is too far out of square. Cut "
    "the "
    "panel to the opening, or true the opening";
constexpr std::array<const char*, 4> kNames{"sill", "right jamb", "head", "left jamb"};

/// Points x with n.x >= c: all that keep their gap to one edge; n is a unit vector.
struct Inside {
    Point n;
    double c;
};

std::array<double, 4> needed(const Wanted& w) {
    std::array<double, 4> out{};
    const double paint = w.paint_panel + w.paint_body;
    for (std::size_t i = 0; i < 4; ++i) {
        out[i] = w.painted ? bare_gap(w.gap[i], w.paint_panel, w.paint_body) : w.gap[i];
        if (w.seal[i]) out[i] = std::max(out[i], w.seal[i]->squeezed + paint);
    }
    return out;
}

void require_wanted(const Wanted& w) {
    for (const double gap : w.gap) detail::require_not_negative("gap", gap);
    detail::require_not_negative("paint_panel", w.paint_panel);
    detail::require_not_negative("paint_body", w.paint_body);
    for (const auto& seal : w.seal) {
        if (!seal) continue;
        detail::require_not_negative("seal squeezed", seal->squeezed);
        detail::require(std::isfinite(seal->free) && seal->free > seal->squeezed, "seal free", seal->free,
                        "finite and more than squeezed");
    }
}

std::array<Inside, 4> edges_inset(const Corners& c, const std::array<double, 4>& by) {
    std::array<Inside, 4> out{};
    for (std::size_t i = 0; i < 4; ++i) {
        const Point way = c[(i + 1) % 4] - c[i];
        const Point n = (1.0 / norm(way)) * detail::square_to(way);
        out[i] = {n, dot(n, c[i]) + by[i]};
    }
    return out;
}

/// The gap along edge i: least over the whole panel, greatest over the panel's own edge (a gap varies straightly).
std::pair<double, double> gap_along(const Corners& panel, const Inside& edge, std::size_t i) {
    std::array<double, 4> at{};
    for (std::size_t k = 0; k < 4; ++k) at[k] = dot(edge.n, panel[k]) - edge.c;
    return {*std::min_element(at.begin(), at.end()), std::max(at[i], at[(i + 1) % 4])};
}

GapState judged(const EdgeGap& g) {
    const double least = g.seal ? g.seal->squeezed : 0.0;
    if (g.least_bare < -kSame || g.least_painted < least - kSame) return GapState::will_not_shut;
    if (g.seal && g.greatest_painted > g.seal->free + kSame) return GapState::leaks;
    return g.least_bare < g.needed - kSame ? GapState::tight : GapState::kept;
}

std::string said(const EdgeGap& g, const char* name) {
    const std::string where = std::string("at the ") + name;
    switch (g.state) {
        case GapState::will_not_shut:
            if (g.least_bare < -kSame) return "the panel stands " + mm(-g.least_bare) + " mm into the " + name;
            if (g.seal)
                return where + " the gap comes down to " + mm(g.least_painted) +
                       " mm with paint on, and the seal can " + "only be squeezed to " + mm(g.seal->squeezed) + " mm";
            return where + " the bare gap comes down to " + mm(g.least_bare) + " mm and " + mm(g.paint) +
                   " mm of paint fill it";
        case GapState::leaks:
            return where + " the gap opens to " + mm(g.greatest_painted) +
                   " mm with paint on, wider than the seal is free (" + mm(g.seal->free) +
                   " mm): it does not touch there";
        case GapState::tight:
            return where + " the bare gap comes down to " + mm(g.least_bare) + " mm, " + mm(g.needed) +
                   " mm are needed";
        case GapState::kept:
            break;
    }
    return {};
}

const char* cure(PanelStatus worst, bool matched) {
    if (worst == PanelStatus::leaks)
        return matched ? "take a seal that stands higher, or a smaller gap there"
                       : "cut the panel to the opening, true the opening, or take a seal that stands higher";
    if (worst == PanelStatus::tight) return "cut the panel smaller, or allow less there";
    return "cut the panel smaller";
}

/// Sides, diagonals, gaps and what there is to say of a panel.
Panel described(const Corners& opening, const Wanted& w, const Corners& panel, bool matched) {
    Panel out;
    out.status = PanelStatus::fits;
    out.corners = panel;
    const auto need = needed(w);
    const auto edges = edges_inset(opening, {});
    for (std::size_t i = 0; i < 4; ++i) {
        out.sides[i] = span(panel[i], panel[(i + 1) % 4]);
        const auto [least, greatest] = gap_along(panel, edges[i], i);
        EdgeGap& g = out.gaps[i];
        g = {w.gap[i],
             w.paint_panel + w.paint_body,
             w.seal[i],
             need[i],
             least,
             greatest,
             painted_gap(least, w.paint_panel, w.paint_body),
             painted_gap(greatest, w.paint_panel, w.paint_body),
             GapState::kept};
        g.state = judged(g);
        const auto status = static_cast<PanelStatus>(g.state);
        out.status = std::max(out.status, status);
        if (g.state != GapState::kept) out.explanation += (out.explanation.empty() ? "" : "; ") + said(g, kNames[i]);
    }
    out.diagonal_rising = span(panel[0], panel[2]);
    out.diagonal_falling = span(panel[3], panel[1]);
    if (out.status == PanelStatus::fits)
        out.explanation = matched ? "every edge of the panel is parallel to the opening's, at the gap needed"
                                  : "the panel keeps every gap wanted";
    else
        out.explanation += ": " + std::string(cure(out.status, matched));
    return out;
}

Panel none(const Corners& opening, const Wanted& w, const char* otherwise) {
    Panel out;
    out.status = PanelStatus::none;
    out.corners.fill({kNaN, kNaN});
    out.sides.fill(kNaN);
    out.diagonal_rising = out.diagonal_falling = kNaN;
    const auto need = needed(w);
    for (std::size_t i = 0; i < 4; ++i)
        out.gaps[i] = {w.gap[i],      w.paint_panel + w.paint_body, w.seal[i], need[i], kNaN, kNaN, kNaN, kNaN,
                       GapState::kept};
    const double width = std::max(span(opening[0], opening[1]), span(opening[2], opening[3]));
    const double height = std::max(span(opening[0], opening[3]), span(opening[1], opening[2]));
    const auto fill = [&](std::size_t a, std::size_t b, const char* what, double room) {
        return "no panel goes in: the gaps needed at the " + std::string(kNames[a]) + " and the " + kNames[b] + " (" +
               mm(need[a]) + " + " + mm(need[b]) + " mm bare) take up the whole " + what + " of " + mm(room) + " mm";
    };
    if (need[1] + need[3] >= width)
        out.explanation = fill(3, 1, "width", width);
    else if (need[0] + need[2] >= height)
        out.explanation = fill(0, 2, "height", height);
    else
        out.explanation = otherwise;
    return out;
}

/// The opening turned so that its hinge edge lies along x from the origin and becomes edge 0.
struct Turned {
    Point origin;
    Point along;
    std::size_t first;
    Corners corners;
    std::array<double, 4> need;

    [[nodiscard]] Point back(Point p) const { return origin + p.x * along + p.y * detail::square_to(along); }
    /// A rectangle in opening axes, its corners in their order.
    [[nodiscard]] Corners rectangle(double x0, double x1, double y0, double y1) const {
        const std::array<Point, 4> here{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}};
        Corners out{};
        for (std::size_t i = 0; i < 4; ++i) out[(first + i) % 4] = back(here[i]);
        return out;
    }
};
Turned turned(const Corners& c, const Wanted& w) {
    Turned out{};
    out.first = static_cast<std::size_t>(w.hinge);
    out.origin = c[out.first];
    const Point way = c[(out.first + 1) % 4] - out.origin;
    out.along = (1.0 / norm(way)) * way;
    const auto need = needed(w);
    for (std::size_t i = 0; i < 4; ++i) {
        const Point v = c[(out.first + i) % 4] - out.origin;
        out.corners[i] = {dot(v, out.along), cross(out.along, v)};
        out.need[i] = need[(out.first + i) % 4];
    }
    return out;
}

/// Room between the edges for a rectangle that starts at y0 and is as high as y1.
class Room {
  public:
    /// \param which the edges that count, beside the hinge edge
    Room(const Turned& t, std::vector<std::size_t> which)
        : edges_(edges_inset(t.corners, t.need)), which_(std::move(which)), y0_(t.need[0]) {
        double size = 0.0;
        for (const Point p : t.corners) {
            highest_ = std::max(highest_, p.y);
            size = std::max({size, std::abs(p.x), std::abs(p.y)});
        }
        rounding_ = kRoundingRel * size;
    }
    [[nodiscard]] double lowest() const { return y0_; }
    [[nodiscard]] double highest() const { return highest_; }

    /// From where to where along x; empty (from > to) where there is none. Edges that say more of y than of x come
    /// last and only where they are not kept anyway: their place along x is badly known.
    [[nodiscard]] std::pair<double, double> at(double y1) const {
        double from = -kInf;
        double to = kInf;
        for (const bool flat : {false, true})
            for (const std::size_t i : which_) {
                const auto [n, c] = edges_[i];
                if ((std::abs(n.x) < std::abs(n.y)) != flat) continue;
                const double rest = c - n.y * (n.y > 0.0 ? y0_ : y1);  // the end of the side that is nearer
                double& end = n.x > 0.0 ? from : to;
                const bool kept =
                    flat && (n.x == 0.0 || std::isfinite(end)) && (n.x == 0.0 ? 0.0 : n.x * end) >= rest - rounding_;
                if (kept) continue;
                if (n.x == 0.0) return {0.0, -1.0};
                end = n.x > 0.0 ? std::max(from, rest / n.x) : std::min(to, rest / n.x);
            }
        return {from, to};
    }

    /// Heights at which the room changes its rule, at which it is `along` long, or at which the area between two edges
    /// is largest; within the opening.
    [[nodiscard]] std::vector<double> heights(double along) const {
        struct Line {  // x = p + q y1, the end that an edge sets
            double p;
            double q;
            bool lower;
        };
        std::vector<Line> lines;
        std::vector<double> out{highest_};
        for (const std::size_t i : which_) {
            const auto [n, c] = edges_[i];
            if (n.x == 0.0)
                out.push_back(c / n.y);
            else
                lines.push_back(n.y > 0.0 ? Line{(c - n.y * y0_) / n.x, 0.0, n.x > 0.0}
                                          : Line{c / n.x, -n.y / n.x, n.x > 0.0});
        }
        for (const Line& a : lines)
            for (const Line& b : lines) {
                if (a.lower == b.lower && a.q != b.q) out.push_back((a.p - b.p) / (b.q - a.q));
                // (y1 - y0) (r + s y1) is largest where its slope is nil
                const double r = b.p - a.p;
                const double s = b.q - a.q;
                if (a.lower && !b.lower && s != 0.0) {
                    out.push_back(0.5 * (y0_ - r / s));
                    out.push_back((along - r) / s);
                }
            }
        std::erase_if(out, [&](double y1) { return !(y1 > y0_ && y1 <= highest_); });
        return out;
    }

  private:
    std::array<Inside, 4> edges_;
    std::vector<std::size_t> which_;
    double y0_;
    double highest_ = 0.0;
    double rounding_ = 0.0;
};

}  // namespace

double bare_gap(double painted, double paint_panel, double paint_body) {
    detail::require_finite("painted", painted);
    detail::require_not_negative("paint_panel", paint_panel);
    detail::require_not_negative("paint_body", paint_body);
    return painted + (paint_panel + paint_body);
}

double painted_gap(double bare, double paint_panel, double paint_body) {
    detail::require_finite("bare", bare);
    detail::require_not_negative("paint_panel", paint_panel);
    detail::require_not_negative("paint_body", paint_body);
    return bare - (paint_panel + paint_body);
}

Panel square_panel(const Corners& opening, const Wanted& w) {
    require_opening(opening);
    require_wanted(w);
    const Turned t = turned(opening, w);
    const Room room(t, {1, 2, 3});
    double best = 0.0;
    std::array<double, 3> found{};
    for (const double y1 : room.heights(0.0)) {
        const auto [from, to] = room.at(y1);
        const double area = to > from ? (to - from) * (y1 - room.lowest()) : 0.0;
        if (area > best) {
            best = area;
            found = {from, to, y1};
        }
    }
    if (best == 0.0) return none(opening, w, kTooSkew);
    return described(opening, w, t.rectangle(found[0], found[1], room.lowest(), found[2]), false);
}

Panel longest_panel(const Corners& opening, const Wanted& w, double across) {
    require_opening(opening);
    require_wanted(w);
    detail::require_positive("across", across);
    const Turned t = turned(opening, w);
    const Room room(t, {1, 3});
    const double top = room.lowest() + across;
    const auto [from, to] = room.at(top);
    if (!(to > from)) return none(opening, w, kTooSkew);
    return described(opening, w, t.rectangle(from, to, room.lowest(), top), false);
}

Panel deepest_panel(const Corners& opening, const Wanted& w, double along) {
    require_opening(opening);
    require_wanted(w);
    detail::require_positive("along", along);
    const Turned t = turned(opening, w);
    const Room room(t, {1, 2, 3});
    double best = room.lowest();
    std::pair<double, double> place{};
    for (const double y1 : room.heights(along)) {
        const auto [from, to] = room.at(y1);
        if (y1 > best && to - from >= along - kSame) {
            best = y1;
            place = {from, to};
        }
    }
    if (best == room.lowest())
        return none(opening, w, "no panel of this length goes in with the gaps wanted: make it shorter");
    const double from = 0.5 * (place.first + place.second - along);  // both ends have the same to spare
    return described(opening, w, t.rectangle(from, from + along, room.lowest(), best), false);
}

Panel matched_panel(const Corners& opening, const Wanted& w) {
    require_opening(opening);
    require_wanted(w);
    const auto edges = edges_inset(opening, needed(w));
    Corners panel{};
    for (std::size_t i = 0; i < 4; ++i) {  // corner i: between the edge before and edge i
        const auto& [m, d] = edges[(i + 3) % 4];
        const auto& [n, c] = edges[i];
        const double sine = cross(m, n);
        panel[i] = {detail::difference_of_products(d, n.y, c, m.y) / sine,
                    detail::difference_of_products(m.x, c, n.x, d) / sine};
    }
    for (std::size_t i = 0; i < 4; ++i) {
        const std::size_t next = (i + 1) % 4;
        if (!(dot(panel[next] - panel[i], opening[next] - opening[i]) > 0.0) || !is_convex(panel))
            return none(opening, w, "no panel goes in: the gaps wanted leave no length on an edge of the opening");
    }
    return described(opening, w, panel, true);
}

Panel given_panel(const Corners& opening, const Wanted& w, double along, double across, double hinge_gap) {
    require_opening(opening);
    require_wanted(w);
    detail::require_positive("along", along);
    detail::require_positive("across", across);
    detail::require_not_negative("hinge_gap", hinge_gap);
    const Turned t = turned(opening, w);
    const auto edges = edges_inset(t.corners, t.need);
    const Corners at_zero{
        {{0.0, hinge_gap}, {along, hinge_gap}, {along, hinge_gap + across}, {0.0, hinge_gap + across}}};
    const double right = gap_along(at_zero, edges[1], 1).first;  // to spare, and how it changes with the shift: n.x
    const double left = gap_along(at_zero, edges[3], 3).first;
    const double shift = (right - left) / (edges[3].n.x - edges[1].n.x);  // left's n.x > 0, right's < 0
    return described(opening, w, t.rectangle(shift, shift + along, hinge_gap, hinge_gap + across), false);
}

}  // namespace foldswing::opening
