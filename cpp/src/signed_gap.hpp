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

    struct Piece {
        Point from;
        Point to;
        Point along;          // unit tangent at `from`
        Point along_to;       // and at `to`
        Point centre;         // of an arc
        double radius = 0.0;  // 0: straight
        double sense = 1.0;   // of an arc: +1 bulges out, -1 is hollow
        bool large = false;   // an arc of over half a turn
        double turn = 0.0;    // sine of the turn from the piece before to this one at `from`
    };
    [[nodiscard]] const std::vector<Piece>& pieces() const noexcept { return pieces_; }

    /// Distance of p from the edge, negative inside.
    [[nodiscard]] double distance(Point p) const noexcept;

  private:
    std::vector<Piece> pieces_;
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
    [[nodiscard]] Point back(Point p) const noexcept;
};

/// Least signed distance of the features of either section to the other: the gap where the sections are apart, minus
/// the depth of the deepest corner or of an arc's foremost point where they overlap.
double signed_gap(const Shape& panel, const Features& of_panel, const Shape& body, const Features& of_body,
                  const Stand& stand) noexcept;

}  // namespace foldswing::detail
