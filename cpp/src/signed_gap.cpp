// Every place where two sections can be nearest is a corner of one, or the point of an arc that looks square at a piece
// or a corner of the other; each is tried as a point against the whole of the other section.
#include "signed_gap.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "check.hpp"

namespace foldswing::detail {
namespace {

// A validity check only: whether the edge crosses itself does not depend on how finely its arcs are drawn.
constexpr double kCheckSagitta = 0.05;  // mm

double dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }
double cross(Point a, Point b) noexcept { return a.x * b.y - a.y * b.x; }
double length_of(Point p) noexcept { return std::sqrt(dot(p, p)); }  // coordinates are bounded: no square overflows
Point unit(Point p) noexcept {
    const double length = length_of(p);
    return {p.x / length, p.y / length};
}
Point quarter(Point p) noexcept { return {-p.y, p.x}; }

/// Whether the direction d from the centre (any length) looks at the arc.
bool on_arc(const Shape::Piece& arc, Point d) noexcept {
    const Point start = arc.from - arc.centre;
    const Point end = arc.to - arc.centre;
    if (!arc.large) return arc.sense * cross(start, d) >= 0.0 && arc.sense * cross(d, end) >= 0.0;
    return !(arc.sense * cross(end, d) > 0.0 && arc.sense * cross(d, start) > 0.0);
}

/// The points of an arc that look square at a feature of `other`, both as they stand; f(point) for each.
template <class F>
void foremost(const Shape::Piece& arc, Point centre, const Stand& to_own, const Shape& other, F f) {
    // `to_own` turns directions of the common axes back into the arc's own.
    const auto look = [&](Point d) {
        const double length = length_of(d);
        if (!(length > 0.0)) return;
        const Point own{to_own.cos * d.x + to_own.sin * d.y, to_own.cos * d.y - to_own.sin * d.x};
        if (on_arc(arc, own)) f(centre + (arc.radius / length) * d);
    };
    for (const Shape::Piece& piece : other.pieces()) {
        look(piece.from - centre);
        if (piece.radius == 0.0) {
            look(quarter(piece.along));  // into the metal of the other
        } else {
            look(piece.centre - centre);
            look(centre - piece.centre);
        }
    }
}

}  // namespace

Shape::Shape(const char* name, const Path& given) {
    for (const Point p : given.points())
        for (const double v : {p.x, p.y}) require(std::abs(v) <= kFarthest, name, v, "within 1000000 mm of the origin");
    if (!given.closed()) throw InvalidInput(name, "an open path", "closed: a section");
    const Ring ring = given.flatten(kCheckSagitta);
    double twice_area = 0.0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point a = ring[i] - ring[0];
        const Point b = ring[(i + 1) % ring.size()] - ring[0];
        twice_area += cross(a, b);
    }
    (void)given.outline(kCheckSagitta);  // refuses an edge that crosses itself
    const Path path = twice_area >= 0.0 ? given : given.reversed();
    for (std::size_t i = 0; i < path.size(); ++i) {
        Piece piece;
        piece.from = path.start(i);
        piece.to = path.end(i);
        const double sweep = path.sweep_deg()[i];
        if (sweep == 0.0) {
            piece.along = piece.along_to = unit(piece.to - piece.from);
        } else {
            piece.centre = path.centre(i);
            piece.radius = path.radius(i);
            piece.sense = sweep > 0.0 ? 1.0 : -1.0;
            piece.large = std::abs(sweep) > 180.0;
            piece.along = piece.sense * quarter(unit(piece.from - piece.centre));
            piece.along_to = piece.sense * quarter(unit(piece.to - piece.centre));
        }
        pieces_.push_back(piece);
    }
    for (std::size_t i = 0; i < pieces_.size(); ++i)
        pieces_[i].turn = cross(pieces_[i == 0 ? pieces_.size() - 1 : i - 1].along_to, pieces_[i].along);
}

double Shape::distance(Point p) const noexcept {
    // The nearest piece tells the side; a corner does so only where nothing else is as near.
    constexpr double smooth = 1e-9;  // sine of a turn: below it a corner is no corner
    double least = std::numeric_limits<double>::infinity();
    bool inside = false;
    for (const Piece& piece : pieces_) {
        const Point d = p - piece.from;
        if (piece.radius == 0.0) {
            if (dot(d, piece.along) < 0.0 || dot(p - piece.to, piece.along) > 0.0) continue;
            const double side = cross(piece.along, d);
            if (std::abs(side) < least) {
                least = std::abs(side);
                inside = side > 0.0;
            }
        } else {
            const Point from_centre = p - piece.centre;
            if (!on_arc(piece, from_centre)) continue;
            const double beyond = length_of(from_centre) - piece.radius;
            if (std::abs(beyond) < least) {
                least = std::abs(beyond);
                inside = piece.sense * beyond < 0.0;
            }
        }
    }
    for (const Piece& piece : pieces_) {
        const Point d = p - piece.from;
        const double squared = dot(d, d);
        if (squared >= least * least) continue;
        least = std::sqrt(squared);
        inside = std::abs(piece.turn) > smooth ? piece.turn < 0.0 : cross(piece.along, d) > 0.0;
    }
    return inside ? -least : least;
}

Features all_features(const Shape& shape) {
    Features out;
    for (std::size_t i = 0; i < shape.pieces().size(); ++i) {
        out.corners.push_back(i);
        if (shape.pieces()[i].radius > 0.0) out.arcs.push_back(i);
    }
    return out;
}

Point Stand::apply(Point p) const noexcept {
    const Point d = p - pivot;
    return pivot + Point{cos * d.x - sin * d.y, sin * d.x + cos * d.y} + shift;
}
Point Stand::back(Point p) const noexcept {
    const Point d = p - pivot - shift;
    return pivot + Point{cos * d.x + sin * d.y, cos * d.y - sin * d.x};
}

double signed_gap(const Shape& panel, const Features& of_panel, const Shape& body, const Features& of_body,
                  const Stand& stand) noexcept {
    // Panel features are tried where they stand; the body's are carried back into the shut panel's axes.
    double least = std::numeric_limits<double>::infinity();
    for (const std::size_t i : of_panel.corners)
        least = std::min(least, body.distance(stand.apply(panel.pieces()[i].from)));
    for (const std::size_t i : of_body.corners)
        least = std::min(least, panel.distance(stand.back(body.pieces()[i].from)));
    for (const std::size_t i : of_panel.arcs) {
        const Shape::Piece& arc = panel.pieces()[i];
        foremost(arc, stand.apply(arc.centre), stand, body,
                 [&](Point p) { least = std::min(least, body.distance(p)); });
    }
    const Stand turned_back{-stand.sin, stand.cos, {}, {}};
    for (const std::size_t i : of_body.arcs) {
        const Shape::Piece& arc = body.pieces()[i];
        foremost(arc, stand.back(arc.centre), turned_back, panel,
                 [&](Point p) { least = std::min(least, panel.distance(p)); });
    }
    return least;
}

}  // namespace foldswing::detail
