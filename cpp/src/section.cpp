#include "section.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "degrees.hpp"

namespace foldswing::detail {
namespace {

Point direction(double heading_deg) noexcept {
    const auto [s, c] = sin_cos_deg(heading_deg);
    return {c, s};
}
Point left_of(Point d) noexcept { return {-d.y, d.x}; }
double cross(Point a, Point b) noexcept { return a.x * b.y - a.y * b.x; }
double dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }
double norm(Point a) noexcept { return std::hypot(a.x, a.y); }

Piece fold_flat(Point at, double heading_deg, double length, double thickness) {
    Piece piece;
    const Point along = direction(heading_deg);
    const Point up = left_of(along);
    piece.heading_deg = heading_deg;
    piece.length = length;
    piece.lower_start = at;
    piece.lower_end = at + length * along;
    piece.upper_start = at + thickness * up;
    piece.upper_end = piece.lower_end + thickness * up;
    return piece;
}

Piece fold_bend(Point at, double heading_deg, const blank::Bend& bend, double thickness) {
    Piece piece;
    piece.bend = true;
    piece.heading_deg = heading_deg;
    const bool is_up = bend.direction == blank::Direction::up;
    piece.turn_deg = is_up ? bend.angle_deg : -bend.angle_deg;
    piece.lower_radius = is_up ? bend.radius + thickness : bend.radius;
    piece.upper_radius = is_up ? bend.radius : bend.radius + thickness;
    const double sign = is_up ? 1.0 : -1.0;  // the centre lies to the left of the travel when bending up
    const Point normal_start = left_of(direction(heading_deg));
    const Point normal_end = left_of(direction(heading_deg + piece.turn_deg));
    piece.centre = at + (sign * piece.lower_radius) * normal_start;
    piece.lower_start = at;
    piece.upper_start = piece.centre - (sign * piece.upper_radius) * normal_start;
    piece.lower_end = piece.centre - (sign * piece.lower_radius) * normal_end;
    piece.upper_end = piece.centre - (sign * piece.upper_radius) * normal_end;
    return piece;
}

// ---- overlap: each piece is shrunk a little, so that pieces which only touch do not count ----

struct Edge {
    Point a;  // segment a-b, or an arc about a
    Point b;
    double radius = 0.0;  // 0: a segment
    double from = 0.0;    // radians, the arc runs counter-clockwise from here
    double sweep = 0.0;
};

struct Shape {
    std::array<Edge, 4> edges;
    std::array<Point, 5> inside;  // its middle and the middles of its ends and faces
    bool empty = false;
};

double turn_from(double from, Point v) noexcept {
    const double d = std::remainder(std::atan2(v.y, v.x) - from, 2.0 * std::numbers::pi);
    return d < 0.0 ? d + 2.0 * std::numbers::pi : d;
}

/// The direction in which the ring part of a bend begins, counter-clockwise, seen from its centre.
double ring_from(const Piece& p) noexcept {
    const Point first = p.lower_radius > p.upper_radius ? p.lower_start : p.upper_start;
    const Point last = p.lower_radius > p.upper_radius ? p.lower_end : p.upper_end;
    const Point v = (p.turn_deg >= 0.0 ? first : last) - p.centre;
    return std::atan2(v.y, v.x);
}

Shape shrunk(const Piece& p, double by) {
    Shape out;
    if (!p.bend) {
        const Point along = direction(p.heading_deg);
        const Point up = left_of(along);
        if (p.length <= 2.0 * by) {
            out.empty = true;
            return out;
        }
        const Point a = p.lower_start + by * along + by * up;
        const Point b = p.lower_end - by * along + by * up;
        const Point c = p.upper_end - by * along - by * up;
        const Point d = p.upper_start + by * along - by * up;
        out.edges = {Edge{a, b}, Edge{b, c}, Edge{c, d}, Edge{d, a}};
        out.inside = {0.5 * (a + c), 0.5 * (a + d), 0.5 * (b + c), 0.5 * (a + b), 0.5 * (c + d)};
        return out;
    }
    // The end edges move in parallel to themselves, so that the shrunk pieces of neighbouring sheet stand `by` clear of
    // them even at the point of a bend of radius 0; the point is cut off where the two edges would meet.
    const double whole = std::fabs(p.turn_deg) * kDegree;
    const double outer = std::max(p.lower_radius, p.upper_radius) - by;
    const double point = 2.0 * by / std::sin(0.5 * std::min(whole, std::numbers::pi));
    const double inner = std::max(std::min(p.lower_radius, p.upper_radius) + by, point);
    if (!(inner < outer)) {  // a turn of 0 puts its point at infinity
        out.empty = true;
        return out;
    }
    const double inner_in = std::asin(by / inner);
    const double outer_in = std::asin(by / outer);
    const double from = ring_from(p);
    const double to = from + whole;
    const auto at = [&](double r, double t) { return p.centre + r * Point{std::cos(t), std::sin(t)}; };
    const Edge first{at(inner, from + inner_in), at(outer, from + outer_in)};
    const Edge last{at(inner, to - inner_in), at(outer, to - outer_in)};
    out.edges = {Edge{p.centre, {}, inner, from + inner_in, whole - 2.0 * inner_in},
                 Edge{p.centre, {}, outer, from + outer_in, whole - 2.0 * outer_in}, first, last};
    const double half = from + 0.5 * whole;
    out.inside = {at(0.5 * (inner + outer), half), 0.5 * (first.a + first.b), 0.5 * (last.a + last.b), at(inner, half),
                  at(outer, half)};
    return out;
}

bool on_arc(const Edge& arc, Point p) noexcept { return turn_from(arc.from, p - arc.a) <= arc.sweep; }

bool segments_cross(const Edge& e, const Edge& f) noexcept {
    const double a = cross(e.b - e.a, f.a - e.a);
    const double b = cross(e.b - e.a, f.b - e.a);
    const double c = cross(f.b - f.a, e.a - f.a);
    const double d = cross(f.b - f.a, e.b - f.a);
    return (a < 0.0) != (b < 0.0) && (c < 0.0) != (d < 0.0);
}

bool segment_crosses_arc(const Edge& segment, const Edge& arc) noexcept {
    const Point v = segment.b - segment.a;
    const double length = norm(v);
    if (length == 0.0) return false;
    const Point u = (1.0 / length) * v;
    const Point to_centre = arc.a - segment.a;
    const double along = dot(to_centre, u);
    const double off = cross(u, to_centre);
    const double half_squared = (arc.radius - off) * (arc.radius + off);
    if (half_squared < 0.0) return false;
    const double half = std::sqrt(half_squared);
    return std::ranges::any_of(std::array{along - half, along + half},
                               [&](double t) { return t >= 0.0 && t <= length && on_arc(arc, segment.a + t * u); });
}

bool arcs_cross(const Edge& e, const Edge& f) noexcept {
    const Point between = f.a - e.a;
    const double d = norm(between);
    if (d == 0.0 || d > e.radius + f.radius || d < std::fabs(e.radius - f.radius)) return false;
    const double along = 0.5 * (d + (e.radius - f.radius) * ((e.radius + f.radius) / d));
    const double half = std::sqrt(std::fmax(0.0, (e.radius - along) * (e.radius + along)));
    const Point u = (1.0 / d) * between;
    return std::ranges::any_of(std::array{-half, half}, [&](double h) {
        const Point p = e.a + along * u + h * left_of(u);
        return on_arc(e, p) && on_arc(f, p);
    });
}

bool edges_cross(const Edge& e, const Edge& f) noexcept {
    if (e.radius == 0.0) return f.radius == 0.0 ? segments_cross(e, f) : segment_crosses_arc(e, f);
    return f.radius == 0.0 ? segment_crosses_arc(f, e) : arcs_cross(e, f);
}

bool holds(const Piece& p, Point q) noexcept {
    if (!p.bend) {
        const Point along = direction(p.heading_deg);
        const Point v = q - p.lower_start;
        const double thickness = norm(p.upper_start - p.lower_start);
        const double s = dot(v, along);
        const double t = cross(along, v);
        return s > 0.0 && s < p.length && t > 0.0 && t < thickness;
    }
    const double r = norm(q - p.centre);
    return r > std::min(p.lower_radius, p.upper_radius) && r < std::max(p.lower_radius, p.upper_radius) &&
           turn_from(ring_from(p), q - p.centre) < std::fabs(p.turn_deg) * kDegree;
}

struct Box {
    Point low;
    Point high;
};
Box box(const Piece& p) noexcept {
    if (p.bend) {
        const double r = std::max(p.lower_radius, p.upper_radius);
        return {p.centre - Point{r, r}, p.centre + Point{r, r}};
    }
    const auto xs = std::minmax({p.lower_start.x, p.lower_end.x, p.upper_start.x, p.upper_end.x});
    const auto ys = std::minmax({p.lower_start.y, p.lower_end.y, p.upper_start.y, p.upper_end.y});
    return {{xs.first, ys.first}, {xs.second, ys.second}};
}
bool apart(const Box& a, const Box& b) noexcept {
    return a.high.x < b.low.x || b.high.x < a.low.x || a.high.y < b.low.y || b.high.y < a.low.y;
}

}  // namespace

std::vector<Piece> fold(const std::vector<blank::Part>& parts, const std::vector<blank::FlatSpan>& flats,
                        double thickness) {
    std::vector<Piece> out;
    out.reserve(parts.size());
    Point at{0.0, 0.0};
    double heading_deg = 0.0;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const auto* bend = std::get_if<blank::Bend>(&parts[i]);
        Piece piece = bend != nullptr ? fold_bend(at, heading_deg, *bend, thickness)
                                      : fold_flat(at, heading_deg, flats[i / 2].length, thickness);
        piece.part = i;
        at = piece.lower_end;
        heading_deg += piece.turn_deg;
        out.push_back(piece);
    }
    return out;
}

Overlap find_overlap(const std::vector<Piece>& pieces, double thickness) {
    double size = thickness;
    for (const Piece& p : pieces) size += p.length + std::max(p.lower_radius, p.upper_radius);
    // Far above the rounding of the coordinates and far below the sheet.
    constexpr double kTouchRel = 1e-9;
    const double touch = std::min(kTouchRel * size, 1e-3 * thickness);
    // The later piece of a pair is shrunk twice as much: edges that lay in one line would else still do so.
    std::vector<Shape> once;
    std::vector<Shape> twice;
    std::vector<Box> boxes;
    for (const Piece& p : pieces) {
        once.push_back(shrunk(p, touch));
        twice.push_back(shrunk(p, 2.0 * touch));
        boxes.push_back(box(p));
    }
    // Pieces laid exactly on each other cross nowhere, but then one holds the middle, an end or a face of the other.
    const auto any_inside = [&](const Piece& p, const Shape& s) {
        return std::ranges::any_of(s.inside, [&](Point q) { return holds(p, q); });
    };
    for (std::size_t j = 2; j < pieces.size(); ++j) {
        for (std::size_t i = 0; i + 1 < j; ++i) {  // neighbours share an edge by construction and never overlap
            const Shape& a = once[i];
            const Shape& b = twice[j];
            if (a.empty || b.empty || apart(boxes[i], boxes[j])) continue;
            const bool crossing = std::ranges::any_of(a.edges, [&](const Edge& e) {
                return std::ranges::any_of(b.edges, [&](const Edge& f) { return edges_cross(e, f); });
            });
            if (crossing || any_inside(pieces[i], b) || any_inside(pieces[j], a)) return {i, j};
        }
    }
    return {};
}

}  // namespace foldswing::detail
