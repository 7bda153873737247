// Every place where two sections can be nearest is a corner of one, or the point of an arc that looks square at a piece
// or a corner of the other; each is tried as a point against the whole of the other section.
#include "signed_gap.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "check.hpp"
#include "degrees.hpp"
#include "segment.hpp"

namespace foldswing::detail {
namespace {

// A validity check only: whether the edge crosses itself does not depend on how finely its arcs are drawn.
constexpr double kCheckSagitta = 0.05;  // mm
// Degrees; an arc that turns less stays within 3e-9 of its chord's length from the chord: a line to any bench.
constexpr double kStraight = 1e-6;
constexpr double kSmooth = 1e-9;  // sine of a turn: below it a corner is no corner

// Coordinates are bounded: no square overflows, and nothing needs the care of predicates.hpp, which takes four times as
// long.
double quick_dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }
double length_of(Point p) noexcept { return std::sqrt(quick_dot(p, p)); }

Shape::Piece piece_of(const Path& path, std::size_t i) {
    Shape::Piece piece;
    piece.from = path.start(i);
    piece.to = path.end(i);
    const double length = span(piece.from, piece.to);
    const double sweep = path.sweep_deg()[i];
    const Point chord = piece.to - piece.from;
    const Point along{chord.x / length, chord.y / length};
    if (std::abs(sweep) < kStraight) {
        piece.along = piece.along_to = along;
        return piece;
    }
    const auto [s, c] = sin_cos_deg(0.5 * sweep);  // half of the turn lies before the chord's direction, half after it
    piece.along = c * along - s * square_to(along);
    piece.along_to = c * along + s * square_to(along);
    piece.curvature = 2.0 * s / length;
    piece.large = std::abs(sweep) > 180.0;
    return piece;
}

Shape::Joint joint(const Shape::Piece& before, const Shape::Piece& after) {
    const double turn = cross(before.along_to, after.along);
    if (std::abs(turn) > kSmooth) return turn > 0.0 ? Shape::Joint::corner : Shape::Joint::hollow_corner;
    if (dot(before.along_to, after.along) > 0.0) return Shape::Joint::smooth;
    // The edge turns back on itself. There is metal between the two where they bulge away from each other.
    return before.curvature + after.curvature > 0.0 ? Shape::Joint::hollow_corner : Shape::Joint::corner;
}

/// The points of an arc that look square at a feature of `other`, both in the axes of `other`; f(point) for each.
template <class F>
void foremost(const Shape::Piece& arc, const Shape& other, F f) {
    const auto look = [&](Point m) {
        const double length = length_of(m);
        if (length > 0.0 && arc.looks_along(m)) f(arc.looking((1.0 / length) * m));
    };
    const double k = arc.curvature;
    const Point normal = arc.normal();
    for (const Shape::Piece& piece : other.pieces()) {
        const Point d = piece.from - arc.from;
        look(normal - k * d);  // from the centre at the corner
        if (piece.curvature == 0.0) {
            look(std::copysign(1.0, -k) * piece.normal());  // into the metal of the other
        } else {
            // From centre to centre, times both curvatures.
            const Point apart = k * piece.curvature * d + k * piece.normal() - piece.curvature * normal;
            look(apart);
            look(-1.0 * apart);
        }
    }
}

Shape::Piece carried(const Stand& stand, Shape::Piece piece) noexcept {
    const auto turned = [&](Point v) {
        return Point{stand.cos * v.x - stand.sin * v.y, stand.sin * v.x + stand.cos * v.y};
    };
    piece.from = stand.apply(piece.from);
    piece.to = stand.apply(piece.to);
    piece.along = turned(piece.along);
    piece.along_to = turned(piece.along_to);
    return piece;
}

}  // namespace

bool Shape::Piece::looks_along(Point m) const noexcept {
    const bool past_start = curvature * quick_dot(m, along) <= 0.0;
    const bool before_end = curvature * quick_dot(m, along_to) >= 0.0;
    return large ? past_start || before_end : past_start && before_end;
}

Point Shape::Piece::looking(Point m) const noexcept {
    // from + (normal - m)/curvature, with 1 - cos by the sine of the turn between the two
    const double sine = -quick_dot(m, along);
    const double cosine = quick_dot(m, normal());
    const double versine = cosine > 0.0 ? sine * sine / (1.0 + cosine) : 1.0 - cosine;
    return from + (sine / curvature) * along + (versine / curvature) * normal();
}

double Shape::Piece::inside(Point p) const noexcept {
    const Point d = p - from;
    const bool before_start = quick_dot(d, along) < 0.0;
    const bool past_end = quick_dot(p - to, along_to) > 0.0;
    if (large ? before_start && past_end : before_start || past_end) return std::numeric_limits<double>::quiet_NaN();
    const double across = quick_dot(d, normal());
    if (curvature == 0.0) return across;
    // (1 - |w|)/curvature with w from the centre to p, times the curvature; rearranged
    const Point w = curvature * d - normal();
    return (2.0 * across - curvature * quick_dot(d, d)) / (1.0 + length_of(w));
}

Shape::Shape(const char* name, const Path& path) {
    for (const Point p : path.points())
        for (const double v : {p.x, p.y}) require(std::abs(v) <= kFarthest, name, v, "within 1000000 mm of the origin");
    if (!path.closed()) throw InvalidInput(name, "an open path", "closed: a section");
    const Ring drawn = path.flatten(kCheckSagitta);
    const Outline checked(drawn);  // refuses an edge that crosses itself; counter-clockwise, from the same start
    const Path ccw = checked.corners()[1] == drawn[1] ? path : path.reversed();
    for (std::size_t i = 0; i < ccw.size(); ++i) pieces_.push_back(piece_of(ccw, i));
    for (std::size_t i = 0; i < pieces_.size(); ++i)
        joints_.push_back(joint(pieces_[i == 0 ? pieces_.size() - 1 : i - 1], pieces_[i]));
}

double Shape::distance(Point p) const noexcept {
    // The nearest piece tells the side; a corner does so only where nothing else is as near.
    double least = std::numeric_limits<double>::infinity();
    bool inside = false;
    for (const Piece& piece : pieces_) {
        const double side = piece.inside(p);
        if (std::abs(side) < least) {  // not where it is NaN
            least = std::abs(side);
            inside = side > 0.0;
        }
    }
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
        const Point d = p - pieces_[i].from;
        const double squared = quick_dot(d, d);
        if (squared >= least * least) continue;
        least = std::sqrt(squared);
        inside =
            joints_[i] == Joint::smooth ? quick_dot(d, pieces_[i].normal()) > 0.0 : joints_[i] == Joint::hollow_corner;
    }
    return inside ? -least : least;
}

Features all_features(const Shape& shape) {
    Features out;
    for (std::size_t i = 0; i < shape.pieces().size(); ++i) {
        out.corners.push_back(i);
        if (shape.pieces()[i].curvature != 0.0) out.arcs.push_back(i);
    }
    return out;
}

Point Stand::apply(Point p) const noexcept {
    const Point d = p - pivot;
    return pivot + Point{cos * d.x - sin * d.y, sin * d.x + cos * d.y} + shift;
}
Stand Stand::reversed() const noexcept { return {-sin, cos, pivot + shift, -1.0 * shift}; }

double reach(const Shape& shape, const Features& of, Point from) noexcept {
    double out = 0.0;
    for (const std::size_t i : of.corners) out = std::max(out, span(shape.pieces()[i].from, from));
    for (const std::size_t i : of.arcs) {
        const Shape::Piece& arc = shape.pieces()[i];
        out = std::max({out, span(arc.from, from), span(arc.to, from)});
        // beyond the centre, if the arc goes there
        const Point m = arc.curvature * (from - arc.from) - arc.normal();
        const double length = length_of(m);
        if (length > 0.0 && arc.looks_along(m)) out = std::max(out, span(arc.looking((1.0 / length) * m), from));
    }
    return out;
}

bool edges_cross(const Path& panel, const Path& body, const Pose& panel_stands) {
    const std::vector<Segment> of_body = sides(body.outline(kCheckSagitta));
    const std::vector<Segment> of_panel = sides(panel.outline(kCheckSagitta).moved(panel_stands));
    return std::any_of(of_panel.begin(), of_panel.end(), [&](const Segment& s) {
        return std::any_of(of_body.begin(), of_body.end(), [&](const Segment& t) { return meet(s, t) == Meet::cross; });
    });
}

double signed_gap(const Shape& panel, const Features& of_panel, const Shape& body, const Features& of_body,
                  const Stand& stand) noexcept {
    // Panel features are tried where they stand; the body's are carried back into the shut panel's axes.
    const Stand back = stand.reversed();
    double least = std::numeric_limits<double>::infinity();
    const auto take = [&](const Shape& own, const Features& of, const Stand& stands, const Shape& other) {
        for (const std::size_t i : of.corners)
            least = std::min(least, other.distance(stands.apply(own.pieces()[i].from)));
        for (const std::size_t i : of.arcs)
            foremost(carried(stands, own.pieces()[i]), other,
                     [&](Point p) { least = std::min(least, other.distance(p)); });
    };
    take(panel, of_panel, stand, body);
    take(body, of_body, back, panel);
    return least;
}

}  // namespace foldswing::detail
