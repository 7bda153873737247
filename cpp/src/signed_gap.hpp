#pragma once
// The gap between two sections made of lines and true arcs that stand still, below zero where they overlap.
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::detail {

inline constexpr double kFarthest = 1e6;  // mm; coordinates of a section

/// The edge of a section, counter-clockwise: metal on the left.
class Shape {
  public:
    /// \throws InvalidInput when the path is open or crosses itself
    Shape(const char* name, const Path& path);

    /// A line or an arc. Everything follows from its start and its curvature, so that flat arcs keep their digits: the
    /// centre of an arc is `from + normal / curvature`, and a line is the arc without curvature.
    struct Piece {
        Point from;
        Point to;
        Point along;             // unit tangent at `from`
        Point along_to;          // and at `to`
        double curvature = 0.0;  // 1/mm; positive where it bulges out, negative where it is hollow
        bool large = false;      // an arc of over half a turn

        /// Square to the edge at `from`, into the metal.
        [[nodiscard]] Point normal() const noexcept { return {-along.y, along.x}; }
        /// Whether the arc has a point whose direction into the metal is m (any length).
        [[nodiscard]] bool looks_along(Point m) const noexcept;
        /// That point; m of length 1.
        [[nodiscard]] Point looking(Point m) const noexcept;
        /// How far p lies on the metal's side of it, where the foot of p is on it; NaN elsewhere.
        [[nodiscard]] double inside(Point p) const noexcept;
    };
    /// How the edge goes on where one piece ends and the next begins.
    enum class Joint : unsigned char { smooth, corner, hollow_corner };
    [[nodiscard]] const std::vector<Piece>& pieces() const noexcept { return pieces_; }

    /// Distance of p from the edge, negative inside.
    [[nodiscard]] double distance(Point p) const noexcept;

  private:
    std::vector<Piece> pieces_;
    std::vector<Joint> joints_;  // where piece i begins
};

/// Which features of a section are looked at: corner i is where piece i begins.
struct Features {
    std::vector<std::size_t> corners;
    std::vector<std::size_t> arcs;
};
Features all_features(const Shape& shape);

/// The place where the panel stands: a turn about the pivot and a shift, as p -> pivot + R(p - pivot) + shift.
struct Stand {
    double sin = 0.0;
    double cos = 1.0;
    Point pivot;
    Point shift;
    [[nodiscard]] Point apply(Point p) const noexcept;
    /// The stand that carries back.
    [[nodiscard]] Stand reversed() const noexcept;
};

/// How far the points of the section's corners and arcs looked at lie from `from` at most.
double reach(const Shape& shape, const Features& of, Point from) noexcept;

/// Whether the edges cross, as they stand.
bool edges_cross(const Path& panel, const Path& body, const Pose& panel_stands);

/// Least signed distance of the features of either section to the other: the gap where the sections are apart, minus
/// the depth of the deepest corner or of an arc's foremost point where they overlap.
double signed_gap(const Shape& panel, const Features& of_panel, const Shape& body, const Features& of_body,
                  const Stand& stand) noexcept;

}  // namespace foldswing::detail
