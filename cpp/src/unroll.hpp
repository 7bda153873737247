#pragma once
// Private: what every development shares. A ruled piece is told by its two edges; unrolling it lays ruling after ruling
// into the plane.
#include <cmath>
#include <foldswing/development.hpp>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace foldswing::development::detail {

inline double dot(Point3 a, Point3 b) noexcept { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline Point3 cross(Point3 a, Point3 b) noexcept {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline double norm(Point3 a) noexcept { return std::hypot(a.x, a.y, a.z); }
inline double determinant(Point3 a, Point3 b, Point3 c) noexcept { return dot(a, cross(b, c)); }

/// Integral of f from a to b to 1e-14 of the whole, by halving a 12-point Gauss rule; f need not be defined at a and b.
double integral(const std::function<double(double)>& f, double a, double b);

/// A ruling, flat and on the part.
struct Ruling {
    Point flat_bottom;
    Point flat_top;
    Point3 bottom;
    Point3 top;
};

/// The ends of a ruling and how fast they move for one unit of u.
struct Frame {
    Point3 bottom;
    Point3 bottom_rate;
    Point3 top;
    Point3 top_rate;
};
/// Which end of the rulings stands still in a piece.
enum class Still : unsigned char { neither, bottom, top };

struct Piece {
    double from = 0.0;
    double to = 0.0;
    std::function<Frame(double)> frame;
    Still still = Still::neither;
    bool flat = false;  ///< lies in one plane
    int parts = 1;      ///< equal parts that roll lines divide it into
    /// Where a ruling comes to lie, if there is a closed form; else the piece is unrolled by integration.
    std::function<std::pair<Point, Point>(double)> unrolled;
    std::function<std::string(double)> label;  ///< of a roll line; empty: they are numbered
};

/// Throws unless thickness and sagitta and lines are in range.
void require_valid(const Sheet& sheet);
void require_valid(const Drawn& drawn);
/// What to add to a radius, or to grow an outline by, to come to the middle of the sheet.
double to_middle(const Sheet& sheet) noexcept;

/// The pattern of pieces that follow each other, each beginning at the ruling at which the last one ended.
Pattern unroll(std::string shape, const std::vector<Piece>& pieces, const Sheet& sheet, const Drawn& drawn);

/// The outline from rulings in order, with its edges; `lengths` of the true bottom and top.
void outline_from(Pattern& pattern, const std::vector<Ruling>& rulings, double bottom_length, double top_length);
/// Throws when the outline crosses itself.
void require_lies_flat(const Pattern& pattern);

/// How many equal steps, `parts` * 2^k, it takes until no chord strays by more than the sagitta. `points` gives those
/// of `curves` curves in turn, at the ends of so many steps.
int steps_within(double sagitta, int parts, const std::function<std::vector<Point>(int steps)>& points,
                 std::size_t curves);
/// Text of a place round a part.
std::string round_label(double angle_deg);

/// Triangles laid flat one by one along two rows of points.
/// along[i]: true length of the edge from point i to i + 1.
struct Row {
    std::vector<Point3> points;
    std::vector<double> along;
};
/// Joins two rows by triangles, the shorter of two diagonals first, or in step where `in_step`.
Pattern triangulate(std::string shape, const Row& bottom, const Row& top, bool in_step, double thickness);

}  // namespace foldswing::development::detail
