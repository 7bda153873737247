// The smooth skin between two convex edges: one plane rolls round both, and the ruling is where it touches them.
#include <algorithm>
#include <limits>
#include <optional>

#include "check.hpp"
#include "degrees.hpp"
#include "edge_in_space.hpp"

namespace foldswing::development::detail {
namespace {

using foldswing::detail::kDegree;

constexpr double kCoplanar = 1e-10;   // sine of the angle between tangent planes that are one plane but for rounding
constexpr double kPlaceDeg = 1e-9;    // along an arc: 1e-9 mm on a radius of 60 mm
constexpr double kEndOfLine = 1e-12;  // share of a line: a split nearer to its end is none

/// Where a cos u + b sin u + c goes through zero upwards, first at or after `from`, degrees; infinite where nowhere.
double upward_root(double a, double b, double c, double from) {
    const double size = std::hypot(a, b);
    if (!(std::abs(c) < size)) return std::numeric_limits<double>::infinity();
    double u = (std::atan2(b, a) - std::acos(-c / size)) / kDegree;
    u += 360.0 * std::ceil((from - kPlaceDeg - u) / 360.0);
    return std::max(u, from);
}

/// Which end of the ruling runs along the arc: the sign of the determinant below.
constexpr double kBottom = 1.0;
constexpr double kTop = -1.0;

/// Along an arc, with the other end of the ruling at `other` and its way on `other_rate`: the place at which one plane
/// touches both, and from which on that other end has to move. With P = C + cos(u) X + sin(u) Y and the ruling P to O,
/// det(P', O - P, O') = cos(u) det(Y, O - C, O') - sin(u) det(X, O - C, O') + det(X, Y, O').
double handover(const Segment& arc, double from, Point3 other, Point3 other_rate, double way) {
    const Point3 to_other = other - arc.centre;
    return upward_root(way * determinant(arc.y, to_other, other_rate), -way * determinant(arc.x, to_other, other_rate),
                       way * determinant(arc.x, arc.y, other_rate), from);
}

struct Cursor {
    const std::vector<Segment>* segments = nullptr;
    Point3 point;
    std::size_t i = 0;
    double u = 0.0;

    Cursor(const EdgeInSpace& edge) : segments(&edge.segments), point(edge.point) {
        if (!done()) u = now().start;
    }
    [[nodiscard]] bool done() const { return i >= segments->size(); }
    [[nodiscard]] const Segment& now() const { return (*segments)[i]; }
    [[nodiscard]] Point3 at() const {
        if (segments->empty()) return point;
        return done() ? segments->back().to : now().at(u);
    }
    /// The way on; at the end, that of the beginning.
    [[nodiscard]] Point3 way() const {
        if (segments->empty()) return {};
        return done() ? segments->front().rate(segments->front().start) : now().rate(u);
    }
    void go_to(double to) {
        if (to < now().end - (now().arc ? kPlaceDeg : 0.0)) {
            u = to;
            return;
        }
        ++i;
        if (!done()) u = now().start;
    }
};

int parts_of(double degrees, int lines) {
    return std::max(1, static_cast<int>(std::ceil(degrees / 360.0 * lines - kPlaceDeg)));
}

/// One end on a segment from u to `to`, the other still.
Piece swept(const Segment& s, double u, double to, Point3 still, bool top_is_still, int lines) {
    Piece piece;
    piece.from = u;
    piece.to = to >= s.end - (s.arc ? kPlaceDeg : 0.0) ? s.end : to;
    piece.flat = !s.arc;
    piece.still = top_is_still ? Still::top : Still::bottom;
    if (s.arc) piece.parts = parts_of(piece.to - u, lines);
    piece.frame = [=](double at) {
        return top_is_still ? Frame{s.at(at), s.rate(at), still, {}} : Frame{still, {}, s.at(at), s.rate(at)};
    };
    return piece;
}

Piece flat_between(const Segment& bottom, double u, const Segment& top, double v) {
    const Point3 b = bottom.at(u);
    const Point3 t = top.at(v);
    Piece piece;
    piece.from = 0.0;
    piece.to = 1.0;
    piece.flat = true;
    piece.frame = [=](double at) {
        return at == 1.0 ? Frame{bottom.to, bottom.to - b, top.to, top.to - t}
                         : Frame{b + at * (bottom.to - b), bottom.to - b, t + at * (top.to - t), top.to - t};
    };
    return piece;
}

/// Both ends on arcs: the top's place follows the bottom's.
Piece over_two_arcs(const Segment& bottom, double u, double u_end, const Segment& top, double v, double v_end,
                    int lines) {
    Piece piece;
    piece.from = u;
    piece.to = u_end;
    piece.parts = parts_of(std::max(u_end - u, v_end - v), lines);
    piece.frame = [=](double at) {
        const Point3 b = bottom.at(at);
        const Point3 b_rate = bottom.rate(at);
        double w = v;
        if (at == u_end)
            w = v_end;
        else if (at != u)
            w = std::clamp(handover(top, v, b, b_rate, kTop), v, v_end);
        const Point3 t = top.at(w);
        const Point3 t_rate = top.rate(w);
        const Point3 ruling = t - b;
        // det(T - B, B', T') stays 0: its rates in u and w say how fast the top's place follows.
        const double in_u = determinant(ruling, bottom.bend(at), t_rate);
        const double in_w = determinant(ruling, b_rate, top.bend(w));
        return Frame{b, b_rate, t, (-in_u / in_w) * t_rate};
    };
    return piece;
}

/// Where the plane along the bottom's first side touches the top: it is the first to be met as the plane tilts inwards.
struct Contact {
    double ratio = std::numeric_limits<double>::infinity();
    std::size_t segment = 0;
    double u = 0.0;
};

Contact first_contact(const EdgeInSpace& bottom, const EdgeInSpace& top) {
    const Segment& first = bottom.segments.front();
    const Point3 b = first.from;
    const Point3 along = first.rate(first.start);
    const Point3 out = cross(along, bottom.up);
    const double scale = 1.0 / norm(out);
    const auto ratio = [&](Point3 p) { return -scale * dot(out, p - b) / dot(bottom.up, p - b); };
    std::vector<double> at_start;
    Contact best;
    for (std::size_t i = 0; i < top.segments.size(); ++i) {
        const Segment& s = top.segments[i];
        at_start.push_back(ratio(s.from));
        if (at_start.back() < best.ratio) best = {at_start.back(), i, s.start};
        if (!s.arc) continue;
        const double u = handover(s, s.start, b, along, kTop);
        if (u > s.start + kPlaceDeg && u < s.end - kPlaceDeg && ratio(s.at(u)) < best.ratio)
            best = {ratio(s.at(u)), i, u};
    }
    // A side that lies in the plane is met as a whole: it begins at the first of its corners.
    const std::size_t n = top.segments.size();
    const auto same = [&](double r) { return std::abs(r - best.ratio) <= kCoplanar * (1.0 + std::abs(best.ratio)); };
    if (best.u == top.segments[best.segment].start) {
        for (std::size_t k = 0; k < n; ++k) {
            const std::size_t before = (best.segment + n - 1) % n;
            if (top.segments[before].arc || !same(at_start[before])) break;
            best.segment = before;
            best.u = top.segments[before].start;
        }
        const Segment& last = bottom.segments.back();
        const Point3 coming = last.rate(last.end);
        const bool inside_a_side =
            !first.arc && !last.arc && norm(cross(coming, along)) <= kCoplanar * norm(coming) * norm(along);
        if (inside_a_side) {  // the seam goes straight up the flat, if it is wide enough there
            for (std::size_t k = 0; k < n; ++k) {
                const Segment& s = top.segments[(best.segment + k) % n];
                if (s.arc || !same(ratio(s.to))) break;
                const double share = dot(b - s.from, s.to - s.from) / dot(s.to - s.from, s.to - s.from);
                if (share <= 0.0) break;
                best.segment = (best.segment + k) % n;
                best.u = std::min(share, 1.0);
                if (share < 1.0) break;
                if (k + 1 == n) break;
            }
        }
    }
    return best;
}

std::vector<Segment> begun_at(const std::vector<Segment>& ring, std::size_t first, double u) {
    std::vector<Segment> out;
    const Segment& s = ring[first];
    const double tiny = s.arc ? kPlaceDeg : kEndOfLine;
    const bool whole = u <= s.start + tiny;
    const bool next = !whole && u >= s.end - tiny;
    const auto [after, before] = s.split(u);
    if (!next) out.push_back(whole ? s : after);
    for (std::size_t k = 1; k < ring.size(); ++k) out.push_back(ring[(first + k) % ring.size()]);
    if (next) out.push_back(s);
    if (!whole && !next) out.push_back(before);
    return out;
}

}  // namespace

std::vector<Piece> matched(const EdgeInSpace& bottom, EdgeInSpace top, int lines) {
    if (!top.segments.empty()) {
        const Contact start = first_contact(bottom, top);
        top.segments = begun_at(top.segments, start.segment, start.u);
    }
    std::vector<Piece> pieces;
    Cursor low(bottom);
    Cursor high(top);
    bool stuck = false;
    for (std::size_t step = 0; !low.done() || !high.done(); ++step) {
        if (step > 8 * (bottom.segments.size() + top.segments.size() + 2))
            throw InvalidInput("top", "an outline whose rulings cannot be told apart",
                               "one with distinct corners: round them, or ask for triangles");
        const std::pair before{std::pair{low.i, low.u}, std::pair{high.i, high.u}};
        const Point3 b = low.at();
        const Point3 t = high.at();
        const Point3 b_way = low.way();
        const Point3 t_way = high.way();
        const Point3 ruling = t - b;
        // How far the top's way on leads out of the plane along the bottom's way on, as a sine.
        const double size = norm(cross(b_way, ruling)) * norm(t_way);
        const double outward = size > 0.0 ? dot(cross(b_way, ruling), t_way) / size : -1.0;
        const bool together = (stuck || std::abs(outward) <= kCoplanar) && !low.done() && !high.done();
        if (together && low.now().arc && high.now().arc) {
            const Segment& s = low.now();
            const Segment& r = high.now();
            double u = s.end;
            double v = handover(r, high.u, s.at(u), s.rate(u), kTop);
            if (v > r.end - kPlaceDeg) {
                const double back = handover(s, low.u, r.at(r.end), r.rate(r.end), kBottom);
                if (v > r.end + kPlaceDeg) u = std::min(back, s.end);
                v = r.end;
            }
            if (u > s.end - kPlaceDeg) u = s.end;
            pieces.push_back(over_two_arcs(s, low.u, u, r, high.u, v, lines));
            low.go_to(u);
            high.go_to(v);
        } else if (together && !low.now().arc && !high.now().arc) {
            pieces.push_back(flat_between(low.now(), low.u, high.now(), high.u));
            low.go_to(1.0);
            high.go_to(1.0);
        } else if (high.done() || (!low.done() && (together ? !low.now().arc : outward < 0.0))) {
            const Segment& s = low.now();
            double to = s.end;
            if (s.arc && !high.done()) to = std::min(to, handover(s, low.u, t, t_way, kBottom));
            pieces.push_back(swept(s, low.u, to, t, true, lines));
            low.go_to(to);
        } else {
            const Segment& s = high.now();
            double to = s.end;
            if (s.arc && !low.done()) to = std::min(to, handover(s, high.u, b, b_way, kTop));
            pieces.push_back(swept(s, high.u, to, b, false, lines));
            high.go_to(to);
        }
        stuck = before == std::pair{std::pair{low.i, low.u}, std::pair{high.i, high.u}};
    }
    std::erase_if(pieces, [](const Piece& p) { return p.from == p.to; });
    return pieces;
}

}  // namespace foldswing::development::detail
