#pragma once
/// \file opening.hpp  From what the tape says of an opening to the panel that is cut for it.
///
/// Opening axes: seen from outside, x to the right along the sill from its left end, y square to it, upward. Corners go
/// bottom left, bottom right, top right, top left; edges sill, right jamb, head, left jamb. Lengths mm.
#include <array>
#include <foldswing/plane.hpp>
#include <optional>
#include <string>

namespace foldswing::opening {

using Corners = std::array<Point, 4>;
enum class Edge : unsigned char { sill, right, head, left };

/// What the tape says; an opening is measured edge to edge. Each from 0.001 to 1e6 mm.
struct Readings {
    double width_top = 0.0;
    double width_bottom = 0.0;
    double height_left = 0.0;
    double height_right = 0.0;
    std::optional<double> diagonal_rising;   ///< bottom left to top right
    std::optional<double> diagonal_falling;  ///< top left to bottom right
};
/// A reading, in the order of Readings; the index of every array of six below.
enum class Reading : unsigned char {
    width_top,
    width_bottom,
    height_left,
    height_right,
    diagonal_rising,
    diagonal_falling
};
inline constexpr std::size_t kReadings = 6;

enum class Status : signed char {
    checked,    ///< all six were read, and agree within the reading error
    misread,    ///< all six were read, and no shape agrees with them: one is wrong
    decided,    ///< five were read: they give one shape, which nothing checks
    assumed,    ///< no diagonal was read: of all shapes with these sides the one nearest square
    impossible  ///< no opening has these sizes
};

/// How a fabricator says that an opening is not square.
struct OutOfSquare {
    /// For each corner: put a square to the sill (to the head, at the upper corners); how far the far end of the jamb
    /// stands off its blade. Positive: the jamb closes in (under 90 degrees); negative: it opens out.
    std::array<double, 4> corners{};
    double diagonals = 0.0;  ///< rising less falling
    double widths = 0.0;     ///< top less bottom
    double heights = 0.0;    ///< left less right
};
/// \throws InvalidInput as panel does of an opening
[[nodiscard]] OutOfSquare out_of_square(const Corners& corners);

/// An opening. Numbers are NaN where there are none.
struct Opening {
    Status status = Status::impossible;
    Corners corners{};
    std::array<double, kReadings> sizes{};   ///< of the shape found
    std::array<double, kReadings> misfit{};  ///< size less reading; NaN where it was not read
    double worst_misfit = 0.0;               ///< the largest without its sign
    Reading worst{};                         ///< whose it is
    /// What the other five make of each reading; NaN unless all six were read, or where they make nothing.
    std::array<double, kReadings> should_read{};
    /// With status misread: the reading without which the opening comes out at least twice as square as without any
    /// other; none where two are alike. Any five readings agree, so nothing but squareness can tell.
    std::optional<Reading> suspect;
    OutOfSquare square;
    std::string explanation;
};

/// The shape that fits the readings: the least sum of squared misfits over all six; with five read the one shape they
/// give; with four the one whose corners have the least sum of squared cosines. Only shapes without a reflex corner.
/// Sizes to about 1e-12 of the largest. \throws InvalidInput when a reading or the reading error (>= 0) is out of range
[[nodiscard]] Opening fit(const Readings& given, double reading_error = 1.0);

/// Seal or rubber on an edge: the painted gap must stay between both heights along the whole edge.
struct Seal {
    double free = 0.0;      ///< height with nothing on it, > squeezed
    double squeezed = 0.0;  ///< least height it can be pressed to, >= 0
};
/// A gap with paint on, from the bare one and the paint on either face, and back. Each >= 0 (a painted gap: any number)
[[nodiscard]] double bare_gap(double painted, double paint_panel, double paint_body);
[[nodiscard]] double painted_gap(double bare, double paint_panel, double paint_body);

/// What is wanted of the gaps, edge by edge in the order of Edge.
struct Wanted {
    std::array<double, 4> gap{};  ///< least gap, square to the opening's edge; >= 0
    bool painted = false;         ///< whether these gaps are with paint on
    double paint_panel = 0.0;     ///< on a face of the panel, >= 0
    double paint_body = 0.0;      ///< on a face of the opening, >= 0
    std::array<std::optional<Seal>, 4> seal;
    Edge hinge = Edge::sill;  ///< the edge the panel is hinged at: set parallel to it, and its gap comes first
};

enum class GapState : signed char {
    kept,          ///< never less than wanted, the seal (if there is one) touches everywhere
    tight,         ///< somewhere less than wanted
    leaks,         ///< somewhere wider than the seal is free
    will_not_shut  ///< somewhere the paint touches, or the seal is pressed beyond its least height
};
/// The gap along one edge.
struct EdgeGap {
    double wanted = 0.0;  ///< as stated
    double paint = 0.0;   ///< on both faces together
    std::optional<Seal> seal;
    double needed = 0.0;      ///< bare: what the wanted gap, or the seal and paint, ask for at least
    double least_bare = 0.0;  ///< negative: overlaps
    double greatest_bare = 0.0;
    double least_painted = 0.0;
    double greatest_painted = 0.0;
    GapState state = GapState::kept;
};

enum class PanelStatus : signed char {
    fits,
    tight,          ///< a gap is less than wanted; below, the worse outranks the better
    leaks,          ///< it shuts, but a seal does not touch everywhere
    will_not_shut,  ///< paint, seal or metal stand in the way
    none            ///< no panel keeps the gaps wanted
};
/// A panel in its opening, bare metal. Numbers are NaN where there is none.
struct Panel {
    PanelStatus status = PanelStatus::none;
    Corners corners{};
    std::array<double, 4> sides{};  ///< lengths, in the order of Edge
    double diagonal_rising = 0.0;   ///< to check the cut panel with
    double diagonal_falling = 0.0;
    std::array<EdgeGap, 4> gaps{};
    std::string explanation;
};

/// The rectangle of the largest area that keeps every gap, with its hinge side parallel to the opening's and exactly
/// the gap needed away from it. \throws InvalidInput unless the opening is finite (within +-1e6 mm), counter-clockwise
/// without a straight or reflex corner or a side under 0.0005 mm, and every number wanted is in its range
[[nodiscard]] Panel square_panel(const Corners& opening, const Wanted& wanted);
/// The same, where its size from the hinge side to the other (> 0) is given: the longest that keeps the gaps at both
/// ends. The gap at the other side comes out as it does.
[[nodiscard]] Panel longest_panel(const Corners& opening, const Wanted& wanted, double across);
/// The same, where its size along the hinge side (> 0) is given: the one that reaches farthest from the hinge side.
[[nodiscard]] Panel deepest_panel(const Corners& opening, const Wanted& wanted, double along);
/// Every edge parallel to the opening's, exactly the gap needed away from it.
[[nodiscard]] Panel matched_panel(const Corners& opening, const Wanted& wanted);
/// A rectangle of a given size: `along` the hinge side and `across` from it, both > 0, `hinge_gap` (>= 0, bare) away
/// from the opening's hinge edge, and set so that both ends have the same to spare beyond what they need.
[[nodiscard]] Panel given_panel(const Corners& opening, const Wanted& wanted, double along, double across,
                                double hinge_gap);

}  // namespace foldswing::opening
