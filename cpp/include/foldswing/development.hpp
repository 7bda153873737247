#pragma once
/// \file development.hpp  Flat patterns of curved parts: pipes, cones, hoppers, spheres in gores, strips between two
/// edges. Lengths: mm, angles: degrees.
///
/// A part stands upright: z up, its bottom edge at or about z = 0. Round a part is measured counter-clockwise seen from
/// above, from the seam. Its pattern shows the outer face: left to right is counter-clockwise round the part, up is up.
/// Everything is worked out on the middle of the sheet (common practice, no source); sizes may be given to the outside,
/// the inside or the middle. Allowances for seams are left to the maker. Closed forms where there are any, else
/// integrals to 1e-14 of the whole; edges are drawn as chords that stray from the true curve by at most the sagitta
/// asked for, and every drawn point is exact.
#include <foldswing/plane.hpp>
#include <limits>
#include <span>
#include <string>
#include <vector>

namespace foldswing::development {

/// A point or vector in space, mm.
struct Point3 {
    double x = 0.0;
    double y = 0.0;
    double z = 0.0;
    friend bool operator==(const Point3&, const Point3&) = default;
    friend constexpr Point3 operator+(Point3 a, Point3 b) noexcept { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
    friend constexpr Point3 operator-(Point3 a, Point3 b) noexcept { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
    friend constexpr Point3 operator*(double k, Point3 a) noexcept { return {k * a.x, k * a.y, k * a.z}; }
};

/// Which face of the sheet a size is measured to.
enum class Face : unsigned char { outside, inside, middle };
struct Sheet {
    double thickness = 0.0;  ///< >= 0
    Face measured = Face::middle;
};

/// How a pattern is drawn.
struct Drawn {
    double sagitta = 0.05;  ///< mm, > 0: most that a chord of the outline strays from the true edge
    int lines = 12;         ///< roll lines for a full turn, 1 to 720
};

/// A curve on the pattern: what is drawn flat, and where each of its points lies on the finished part.
struct Curve {
    std::vector<Point> flat;
    std::vector<Point3> folded;
    friend bool operator==(const Curve&, const Curve&) = default;
};

enum class LineKind : unsigned char {
    roll,    ///< lies in a curve: the sheet is rolled or braked a little at each
    fold,    ///< a bend between two parts of the pattern
    tangent  ///< where a curve runs out into a flat or into another curve
};
/// A straight line of the pattern that stays straight on the part.
struct Line {
    std::string label;
    LineKind kind = LineKind::roll;
    Curve ends;            ///< bottom, top
    double length = 0.0;   ///< true length, the same flat and on the part
    double angle_deg = 0;  ///< a fold: turned through, towards the inside positive; else 0
    double twist_deg = 0;  ///< angle between the sheet's planes at its two ends; 0 where the part develops truly
};

/// One edge of the outline, from point `first` to point `last` of it (round the end of the list where last <= first).
struct Edge {
    std::string label;
    std::size_t first = 0;
    std::size_t last = 0;
    double length = 0.0;  ///< of the true edge on the part
    double drawn = 0.0;   ///< of the chords that stand for it on the pattern
};

enum class Method : unsigned char {
    exact,      ///< develops truly: the pattern rolls up into the part
    triangles,  ///< flat triangles stand for a surface that does not develop, or was not asked to
    stretched   ///< curved both ways: the flat piece has to be stretched or shrunk into shape
};

/// A flat pattern.
struct Pattern {
    std::string shape;
    Method method = Method::exact;
    Curve outline;             ///< counter-clockwise, not closed by a repeated point
    std::vector<Curve> holes;  ///< clockwise
    std::vector<Line> lines;   ///< left to right, seams not included
    std::vector<Edge> edges;   ///< in order round the outline
    double area = 0.0;         ///< of the true surface, holes out, mm^2; of the triangles where `method` says so
    double thickness = 0.0;
    double sagitta = 0.0;
    double girth_error = 0.0;    ///< most by which a girth of the flat pattern differs from the part's true edge, mm
    double surface_error = 0.0;  ///< most by which the folded pattern leaves the curves of the part, mm
    double edge_strain = 0.0;    ///< most stretch (+) or shrinking (-) an edge needs to fit the part; 0 if it develops
    std::string explanation;
};

/// A plane cut square or tilted across a part.
struct Cut {
    double tilt_deg = 0.0;    ///< from square to the axis, 0 <= tilt < 90
    double high_deg = 180.0;  ///< where round the part, from the seam, the cut stands highest
};

/// Pipe, its ends square or cut by planes. \param length between the cuts along the axis, > 0
/// x = r p, z = r tan(tilt) cos(p - high). \throws InvalidInput when a size is out of range or the cuts cross each
/// other
[[nodiscard]] Pattern cylinder(double diameter, double length, const Cut& bottom = {}, const Cut& top = {},
                               const Sheet& sheet = {}, const Drawn& drawn = {});

/// A mitred elbow of equal cuts: two end pieces, square at one end, and the pieces between them, twice as long.
struct Elbow {
    double mitre_deg = 0.0;       ///< tilt of every cut: angle / (2 (pieces - 1))
    std::vector<Pattern> pieces;  ///< from one end to the other, each standing upright, seam in the throat
};
/// \param angle_deg turned through, > 0 and <= 180 \param radius of the centre line, > half the outside diameter
/// \param pieces 2 to 60
[[nodiscard]] Elbow elbow(double diameter, double angle_deg, double radius, int pieces, const Sheet& sheet = {},
                          const Drawn& drawn = {});

struct Branch {
    Pattern branch;  ///< its saddle at the bottom; folded in the frame of `main`
    Pattern main;    ///< with its hole; stands upright, seam opposite to the branch
};
/// A pipe that runs into the side of a larger or equal one.
struct BranchSize {
    double main_diameter = 0.0;
    double branch_diameter = 0.0;
    double angle_deg = 90.0;     ///< between the axes, 0 < angle < 180: under 90 the branch leans to the top of main
    double main_length = 0.0;    ///< > 0
    double branch_length = 0.0;  ///< along its axis, from the main's axis to its square end
    /// Where the axes meet (or pass), from the bottom of the main; not a number: half way up.
    double along = std::numeric_limits<double>::quiet_NaN();
    double offset = 0.0;  ///< by which the axes pass each other, either way
};
/// Distance of the saddle along the branch from the main's axis, p round the branch from the side that leans over:
/// (sqrt(R^2 - (e + r sin p)^2) + r cos p cos b) / sin b. The hole is drawn to the middle of both sheets.
/// \throws InvalidInput when the branch is larger than the main, misses it in part, ends inside it, or runs off its end
[[nodiscard]] Branch branch(const BranchSize& size, const Sheet& main = {}, const Sheet& branch = {},
                            const Drawn& drawn = {});

/// Cone or frustum, right: its axis square to the bottom. Edges are taken cut square to the sheet.
/// \param diameter of the bottom, > 0 \param height between the cuts along the axis (to the apex where top is 0), > 0
/// \param top_diameter >= 0, 0: a full cone; the diameters are those of square ends, which the cuts then tilt
/// Distance from the apex h/(cos g + sin g cos(p - high) tan(tilt)) at the pattern angle p sin g (half angle g).
[[nodiscard]] Pattern cone(double diameter, double height, double top_diameter = 0.0, const Cut& bottom = {},
                           const Cut& top = {}, const Sheet& sheet = {}, const Drawn& drawn = {});

/// Where the top of a part stands over its bottom.
struct Placement {
    double height = 0.0;    ///< of the top's origin above the plane of the bottom, > 0
    Point offset;           ///< of the top's origin from the bottom's, seen from above
    double tilt_deg = 0.0;  ///< of the top, 0 <= tilt < 90
    double high_deg = 0.0;  ///< direction, counter-clockwise from +x, in which the tilted top rises
};
enum class Surface : unsigned char { smooth, triangles };

/// The skin between two closed outlines of lines and arcs, each in its own plane: square to round and all others.
/// Smooth: rulings join the places of both outlines that one plane touches, so the skin is made of flats and single
/// curves alone; both outlines must be convex. A ruled flat, a cone over an arc, or a developable over two arcs:
/// arcs are matched by det(T - B, B', T') = 0, whose roots in one arc's angle are closed forms. Where an outline is not
/// convex, or triangles are asked for, points are matched by their share of the girth and joined by triangles whose
/// sides along the edges have the length of the true edge. The seam starts at the first point of `bottom`.
/// \throws InvalidInput when an outline is open, a plane cuts the other outline, or a size is out of range
[[nodiscard]] Pattern transition(const Path& bottom, const Path& top, const Placement& placement,
                                 Surface surface = Surface::smooth, const Sheet& sheet = {}, const Drawn& drawn = {});
/// The skin from an outline to a point: pyramids, oblique cones.
[[nodiscard]] Pattern to_point(const Path& bottom, Point3 apex, const Sheet& sheet = {}, const Drawn& drawn = {});
/// Oblique cone or frustum between parallel circles; `offset`: of the top's centre or the apex from the bottom's.
[[nodiscard]] Pattern oblique_cone(double diameter, double height, Point offset, double top_diameter = 0.0,
                                   const Sheet& sheet = {}, const Drawn& drawn = {});

/// Circle about the origin, from its point at +x; a rectangle about the origin, from the middle of its right side,
/// with rounded corners. Counter-clockwise. \throws InvalidInput when a size is not > 0 or the radius does not fit
[[nodiscard]] Path round_outline(double diameter);
[[nodiscard]] Path rectangle_outline(double length, double width, double corner_radius = 0.0);

/// One gore of a sphere, a hemisphere or a crown: true girth at every height, true length down its middle.
/// \param gores round the sphere, 3 to 360 \param from_deg, to_deg latitudes of its ends, -90 <= from < to <= 90: 0 to
/// 90
///   is half a sphere, 60 to 90 a crown that stands open by 60 degrees
/// Strain the edges need: 1/sqrt(1 + (pi/n sin l)^2) - 1 at latitude l, since the flat edge is that much too long.
[[nodiscard]] Pattern gore(double diameter, int gores, double from_deg = 0.0, double to_deg = 90.0,
                           const Sheet& sheet = {}, const Drawn& drawn = {});

/// The developable strip between two edges in space, each given by points in order that a smooth curve runs through.
/// Rulings are matched so that the sheet's planes at the two ends of each agree as nearly as they can, in order and
/// without crossing, from end to end; what twist is left is stated ruling by ruling. Unrolled by triangles whose sides
/// along the edges have the length of the curves. \param rulings 2 to 2000
/// \throws InvalidInput for fewer than 2 points, neighbours that coincide, edges that meet, or values out of range
[[nodiscard]] Pattern ruled_strip(std::span<const Point3> bottom, std::span<const Point3> top, int rulings = 60,
                                  double thickness = 0.0);

}  // namespace foldswing::development
