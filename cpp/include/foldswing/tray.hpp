#pragma once
/// \file tray.hpp  Trays and boxes: a rectangular base, up to four flanges turned 90 degrees, a return on each turned
/// in or out, corners notched, relieved and lapped. Lengths: mm; angles: degrees.
///
/// Folded coordinates are those of the blank where the base lies on the bench: x and y from the blank's lower left
/// corner, z up from the base's lower face.
#include <array>
#include <cstddef>
#include <foldswing/blank.hpp>
#include <foldswing/carry.hpp>
#include <foldswing/plane.hpp>
#include <optional>
#include <string>
#include <vector>

namespace foldswing::blank {

/// A return (lip) along the free edge of a flange.
struct Return {
    double width =
        0.0;  ///< from its edge over the far face of the flange; over the bend where folded flat on itself (180)
    double angle_deg = 90.0;  ///< turned through, over 0 to 180
    bool inward = true;       ///< over the base; else away from it
    friend bool operator==(const Return&, const Return&) = default;
};

/// What is cut out where two bends meet, about the crossing of the base's two tangent lines.
enum class Relief {
    none,    ///< the notch alone
    round,   ///< a hole; size is its diameter
    square,  ///< size is its side
    slit,    ///< a saw cut at 45 degrees into the corner; size is its width
};

/// What a tray is asked to be. Sizes over the outer faces, or within the inner ones.
struct TraySize {
    double length = 0.0;            ///< base, left to right
    double width = 0.0;             ///< base, bottom to top
    std::array<double, 4> depth{};  ///< flanges in the order of Side; 0: no flange there
    std::array<std::optional<Return>, 4> returns{};
    double thickness = 0.0;
    double radius = 0.0;  ///< inside radius of all bends
    Basis basis;          ///< a plain deduction or allowance holds for 90 degrees alone
    Direction direction = Direction::up;
    Measured measured = Measured::outside;  ///< outside or inside
    Notch notch = Notch::centre;
    double corner_gap = 0.2;  ///< between flange ends (notch: gap), between mitred returns, and of a lap's tab; >= 0
    Relief relief = Relief::none;
    double relief_size = 0.0;
    double relief_past = 0.0;      ///< of a slit: how far past the crossing it ends, >= 0
    std::array<bool, 4> lapped{};  ///< flanges that carry a tab at both ends, lying inside their neighbours
    double lap_width = 0.0;        ///< of a tab, over the bend's outer face
    std::size_t lap_holes = 0;     ///< rivets or plug welds a tab
    double lap_hole_diameter = 0.0;
    friend bool operator==(const TraySize&, const TraySize&) = default;
};

enum class TrayPanel { base, flange, lip };

/// One bend of the tray on its blank.
struct TrayLine {
    enum class Kind { flange, lip, tab };
    Kind kind = Kind::flange;
    Side side = Side::left;  ///< flange it belongs to
    bool upright = true;  ///< runs bottom to top: positions are from the blank's left edge; else from its bottom edge
    BendLine line;
    double from = 0.0;  ///< where the bend begins and ends, across the position
    double to = 0.0;
    [[nodiscard]] std::array<Point, 2> ends(double position) const noexcept;
};

/// A hole of a lap: in the tab, or in the flange that the tab lies against.
struct LapHole {
    Side side = Side::left;
    bool in_tab = true;
    Point at;
    double diameter = 0.0;
};

struct SpacePoint {
    double x = 0.0;
    double y = 0.0;
    double z = 0.0;
    friend bool operator==(const SpacePoint&, const SpacePoint&) = default;
};

class Tray {
  public:
    /// \throws InvalidInput when a value breaks its rule, a flat comes out negative, a section runs into itself, or the
    /// corners leave nothing; the message names the size to change
    explicit Tray(const TraySize& size);

    [[nodiscard]] const TraySize& size() const noexcept { return size_; }
    [[nodiscard]] double blank_length() const noexcept { return lengthwise_.developed_length(); }
    [[nodiscard]] double blank_width() const noexcept { return crosswise_.developed_length(); }
    [[nodiscard]] const Profile& lengthwise() const noexcept { return lengthwise_; }
    [[nodiscard]] const Profile& crosswise() const noexcept { return crosswise_; }
    /// The blank, corners cut; tabs may stand past the rectangle of blank_length and blank_width.
    [[nodiscard]] const Path& outline() const noexcept { return outline_; }
    [[nodiscard]] const std::vector<TrayLine>& bend_lines() const noexcept { return lines_; }
    [[nodiscard]] const std::vector<LapHole>& lap_holes() const noexcept { return holes_; }
    /// Clear distance between neighbouring flange ends once folded; 0 where they overlap, and then by how much.
    [[nodiscard]] double flange_end_gap() const noexcept { return gap_; }
    [[nodiscard]] double flange_end_overlap() const noexcept { return overlap_; }
    [[nodiscard]] std::string explanation() const;

    /// A place of a folded panel on the blank. `along` is from the outer face of the left side (base, bottom, top) or
    /// of the bottom side (left, right), or from the base's edge where there is no flange; `up` from the outer face of
    /// the base, of a lip as its width is measured; of the base itself from the bottom's outer face.
    /// \throws InvalidInput when there is no such panel
    [[nodiscard]] Point place(TrayPanel panel, Side side, double along, double up) const;
    /// A path drawn on a folded panel (x: along, y: up) on the blank.
    [[nodiscard]] Path path_on_blank(TrayPanel panel, Side side, const Path& path) const;

    /// Where a place of the blank comes to lie. \throws InvalidInput when it is off the blank
    [[nodiscard]] SpacePoint to_folded(Point at, Face face) const;
    /// Every place of the blank that the folded point lies on, within `within` of the face.
    [[nodiscard]] std::vector<Point> to_blank(SpacePoint at, Face face, double within) const;

  private:
    struct Frame;
    [[nodiscard]] Frame frame(Side side) const;
    void cut();
    TraySize size_;
    Profile lengthwise_;
    Profile crosswise_;
    FoldMap over_length_;
    FoldMap over_width_;
    double allowance_ = 0.0;  ///< of a flange's bend
    double setback_ = 0.0;
    double inset_ = 0.0;  ///< of a flange's end from its neighbour's outer face
    double gap_ = 0.0;
    double overlap_ = 0.0;
    Path outline_;
    std::vector<Outline> metal_;  ///< the outline as a polygon, at most one
    std::vector<TrayLine> lines_;
    std::vector<LapHole> holes_;
};

}  // namespace foldswing::blank
