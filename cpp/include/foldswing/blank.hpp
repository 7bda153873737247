#pragma once
/// \file blank.hpp  Flat patterns: a section as flats and bends, and the pan with four flanges. Lengths: mm; angles:
/// degrees.
///
/// A bend angle is the angle the metal is TURNED THROUGH, 0..180 (bend.hpp). A folded section is drawn with the first
/// flat's lower face along +x from the origin and the sheet's thickness above it; a bend `up` turns what follows it up.
#include <array>
#include <foldswing/bend.hpp>
#include <foldswing/plane.hpp>
#include <limits>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace foldswing::blank {

using bend::Basis;
using bend::Measured;

enum class Direction { up, down };

/// A flat, with what its length is measured to at either end; an end without a bend is the cut edge, whatever is said.
struct Flat {
    double length = 0.0;
    Measured start = Measured::outside;
    Measured end = Measured::outside;
    friend bool operator==(const Flat&, const Flat&) = default;
};

/// A bend. Its basis may be unset: then the profile's holds.
struct Bend {
    double angle_deg = 90.0;  ///< turned through, 0..180
    double radius = 0.0;      ///< inside radius, >= 0
    Direction direction = Direction::up;
    Basis basis;
    friend bool operator==(const Bend&, const Bend&) = default;
};
/// \throws InvalidInput when a number of the flat or the bend breaks its rule
void require_valid(const Flat& flat);
void require_valid(const Bend& bend);

using Part = std::variant<Flat, Bend>;

/// The lines of one bend taken from the blank's far end.
struct FromEnd {
    double centre = 0.0;
    std::array<double, 2> tangent{};
    std::array<double, 2> sight{};
};

/// Where one bend lies on the blank; every position is from the blank's start.
struct BendLine {
    std::size_t part = 0;  ///< its place in parts
    double angle_deg = 0.0;
    double radius = 0.0;
    Direction direction = Direction::up;
    double allowance = 0.0;
    double deduction = 0.0;  ///< NaN at 180, which has no mould point
    double k_factor =
        0.0;  ///< what the allowance implies; outside 0..1 where a plain deduction and the radius disagree; NaN at 0
    double centre = 0.0;              ///< middle of the bend allowance
    std::array<double, 2> tangent{};  ///< where the metal starts and stops curving
    /// Sight lines: one inside radius from the tangent line that goes under the brake's nose. [0] with the metal before
    /// the bend under the nose, [1] with the metal after it.
    std::array<double, 2> sight{};

    /// The same lines, in the same order, from the far end of a blank of that developed length.
    [[nodiscard]] FromEnd from_end(double developed_length) const noexcept;
    /// The same bend farther along by `by`.
    [[nodiscard]] BendLine moved(double by) const noexcept;
};

/// One flat on the blank.
struct FlatSpan {
    double start = 0.0;
    double end = 0.0;
    double length = 0.0;
};

/// The section folded, arcs as arcs.
struct Folded {
    Path outside;                  ///< the face that is outside at the first bend, from the blank's start
    Path inside;                   ///< the other face
    Path outline;                  ///< both faces and the cut ends, closed, counter-clockwise
    bool outside_is_lower = true;  ///< whether `outside` is the face that lay below on the blank
};

/// A section: flat, bend, flat, ... flat.
class Profile {
  public:
    /// \param parts     begins and ends with a flat; flats and bends take turns (a flat may have length 0, measured
    /// flat) \param thickness > 0 \param basis     for bends that name none. A plain deduction or allowance belongs to
    /// one angle and radius: refused as
    ///                  the default of bends that differ in either.
    /// \throws InvalidInput when a value breaks its rule, a flat comes out negative (the message names it, by how much,
    /// and
    ///         the size to change), or the folded section runs into itself (touching is allowed: a closed hem does)
    Profile(std::vector<Part> parts, double thickness, Basis basis = {});

    [[nodiscard]] const std::vector<Part>& parts() const noexcept { return parts_; }
    [[nodiscard]] double thickness() const noexcept { return thickness_; }
    [[nodiscard]] const Basis& basis() const noexcept { return basis_; }

    /// Flats plus allowances: the length of the blank.
    [[nodiscard]] double developed_length() const noexcept { return developed_length_; }
    [[nodiscard]] const std::vector<FlatSpan>& flats() const noexcept { return flats_; }
    [[nodiscard]] const std::vector<BendLine>& bend_lines() const noexcept { return bend_lines_; }
    [[nodiscard]] Folded folded() const;

    /// Every flat measured again on the folded section, the way it was given: from the coordinates of the tangent
    /// points and the chords of the arcs, not by the formulas that made the blank. In the order of the flats.
    [[nodiscard]] std::vector<double> remeasured() const;

  private:
    std::vector<Part> parts_;
    double thickness_;
    Basis basis_;
    double developed_length_ = 0.0;
    std::vector<FlatSpan> flats_;
    std::vector<BendLine> bend_lines_;
};

/// Developed length of a section of n + 1 flats and n bends in one metal, for loops over many sizes.
/// \param lengths  n + 1 lengths, all measured the same way
/// \param angles_deg n bend angles
/// \param radii    n inside radii
/// \throws InvalidInput as Profile does; the folded section is not drawn, so crossing is not looked for
[[nodiscard]] double developed_length(std::span<const double> lengths, std::span<const double> angles_deg,
                                      std::span<const double> radii, double thickness, double k_factor,
                                      Measured measured = Measured::outside);

/// How far a pan's corner notches reach.
enum class Notch {
    centre,   ///< to the bend centre lines
    tangent,  ///< to the base's tangent lines: no bend runs into a corner
    gap,      ///< so that the folded flange ends stand `corner_gap` apart
};

enum class Side { left, right, bottom, top };

/// What a pan is asked to be: a rectangular base with a flange on each side, turned 90 degrees.
struct PanSize {
    double length = 0.0;            ///< base, left to right
    double width = 0.0;             ///< base, bottom to top
    std::array<double, 4> depth{};  ///< flanges in the order of Side
    double thickness = 0.0;
    double radius = 0.0;  ///< inside radius of all four bends
    Basis basis;          ///< k-factor, plain deduction or allowance of one 90 degree bend
    Direction direction = Direction::up;
    Measured measured = Measured::outside;  ///< outside: all sizes over the outer faces; inside: within the inner faces
    Notch notch = Notch::centre;
    double corner_gap = 0.2;  ///< wanted between flange ends when notch is gap, >= 0; 0.2 is one supplier's least
    friend bool operator==(const PanSize&, const PanSize&) = default;
};

/// One bend line of the pan on its blank (origin at the blank's lower left corner), between the notches.
struct PanLine {
    Side side = Side::left;
    BendLine line;      ///< positions along the blank from the left edge (left, right) or the bottom edge (bottom, top)
    double from = 0.0;  ///< where the bend begins and ends, across the position
    double to = 0.0;
    /// The two ends of the line at `position` (the centre, a tangent or a sight line of `line`), on the blank.
    [[nodiscard]] std::array<Point, 2> ends(double position) const noexcept;
};

class Pan {
  public:
    /// \throws InvalidInput when a value breaks its rule, or a flat comes out negative
    explicit Pan(const PanSize& size);

    [[nodiscard]] const PanSize& size() const noexcept { return size_; }
    [[nodiscard]] double blank_length() const noexcept { return lengthwise_.developed_length(); }
    [[nodiscard]] double blank_width() const noexcept { return crosswise_.developed_length(); }
    /// Left flange, base, right flange; and bottom flange, base, top flange.
    [[nodiscard]] const Profile& lengthwise() const noexcept { return lengthwise_; }
    [[nodiscard]] const Profile& crosswise() const noexcept { return crosswise_; }
    /// Side by side in the order of Side: how far the notches at the two ends of the neighbouring flanges reach in from
    /// it.
    [[nodiscard]] const std::array<double, 4>& notch() const noexcept { return notch_; }
    /// Clear distance between neighbouring flange ends once folded; 0 where they overlap, and then by how much.
    [[nodiscard]] double flange_end_gap() const noexcept { return flange_end_gap_; }
    [[nodiscard]] double flange_end_overlap() const noexcept { return flange_end_overlap_; }
    /// One sentence on the corners, in shop words.
    [[nodiscard]] std::string explanation() const;
    /// The blank, corners cut, from its lower left corner at the origin.
    [[nodiscard]] Outline outline() const;
    [[nodiscard]] std::array<PanLine, 4> bend_lines() const;

  private:
    PanSize size_;
    Profile lengthwise_;
    Profile crosswise_;
    std::array<double, 4> notch_{};
    double flange_end_gap_ = 0.0;
    double flange_end_overlap_ = 0.0;
};

/// A pin through one flange of a pan, with an ear round it where the flange leaves too little metal.
struct PinEar {
    Side side = Side::left;    ///< flange it goes through
    Side from = Side::bottom;  ///< neighbouring side from whose outer face `along` is measured
    double along = 0.0;
    double behind = 0.0;        ///< of the pin, from the outer face of the base, square to it
    double radius = 0.0;        ///< of the ear, > 0
    double pin_diameter = 0.0;  ///< > 0
};

/// Where one pin lies on the blank.
struct PinHole {
    Point at;
    double diameter = 0.0;
    double clear_of_bend = 0.0;  ///< edge of the hole to the bend's tangent line; negative: the bend pulls it oval
};

/// A pan's blank with ears standing past its edges; everything from the lower left corner of the smallest rectangle
/// that holds it, which is what is sheared.
struct EaredBlank {
    Path outline;
    double length = 0.0;
    double width = 0.0;
    std::array<double, 4> past{};  ///< how far ears stand past each flange's edge, in the order of Side
    std::array<PanLine, 4> bend_lines{};
    std::vector<PinHole> pins;  ///< in the order given
};
/// \throws InvalidInput when two ears share a side, `from` is no neighbour of `side`, the pin lies off the flange's
/// length, or a number breaks its rule
[[nodiscard]] EaredBlank with_ears(const Pan& pan, std::span<const PinEar> ears);

}  // namespace foldswing::blank
