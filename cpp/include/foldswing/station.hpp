#pragma once
/// \file station.hpp  Places along a gate's hinge where the section differs from the one stated: its sizes there, and
/// the stretch each place stands for. Distances along the hinge count from the left end of the opening; lengths mm.
#include <foldswing/gate.hpp>
#include <limits>
#include <span>
#include <vector>

namespace foldswing::station {

/// What differs from the section as stated; up, outward and thicker are positive.
struct Differences {
    double worktop_up = 0.0;      ///< the whole worktop
    double nose_out = 0.0;        ///< its nose
    double sill_up = 0.0;         ///< top of the sill
    double head_up = 0.0;         ///< underside of the head
    double lower_edge_up = 0.0;   ///< the gate's lower edge along its face; its upper edge stays
    double outer_face_out = 0.0;  ///< the whole gate
    double thicker = 0.0;         ///< the gate, its outer face where it was
    friend bool operator==(const Differences&, const Differences&) = default;
};

/// The sizes of the section there. Heights count from the worktop as stated, so that a worktop lower than stated is
/// nearer to the sill. \throws InvalidInput where the differences leave no gate
[[nodiscard]] gate::Sizes sizes_at(const gate::Sizes& stated, const Differences& there);

/// A place where something was measured.
struct Measured {
    double from_left = 0.0;
    double width = std::numeric_limits<double>::quiet_NaN();  ///< over which it holds as measured; NaN: only there
    Differences there;
};

/// An edge that runs as an arc over a chord. Sizes as stated, or as measured, hold at the ends of the chord and beyond.
struct Bow {
    double from_left = 0.0;  ///< the chord's left end; may lie outside the opening
    double chord = 0.0;
    double rise = 0.0;   ///< 0 to chord/2
    Differences toward;  ///< what 1 mm of height above the chord changes
};

/// What differs at `from_left`: the measured places joined by straight lines, each held over its width, and constant
/// beyond the first and the last; bows come on top.
/// \param measured in order along the hinge, their widths not overlapping; none: as stated
/// \throws InvalidInput when they are not in order, overlap, or a number is not finite or beyond 1e100
[[nodiscard]] Differences differences_at(std::span<const Measured> measured, std::span<const Bow> bows,
                                         double from_left);

/// Places along a bow, from its chord's left end: both ends, quarter points and the middle, and as many more, evenly
/// spread, as it takes that nothing in the half stretch to the next place is higher or lower by more than `most`.
/// The arc is steepest at its ends, so the first half stretch decides. At most kMostStretches.
/// \param rise 0 to chord/2
/// \param most > 0, mm
[[nodiscard]] std::vector<double> bow_places(double chord, double rise, double most);
inline constexpr int kMostStretches = 24;  ///< a bow that needs more is out of any allowance wherever it is looked at

/// A place along the hinge with the stretch it stands for.
struct Stretch {
    double from_left = 0.0;
    double from = 0.0;  ///< left end of its stretch
    double to = 0.0;    ///< right end of its stretch
};
/// The stretches of places along the hinge: half-way to the neighbours, or to the edge of the width a measured place
/// stands for (half-way between the edges where both neighbours have one), and out to the ends of the opening. Together
/// they cover it.
/// \param width    of the opening, > 0
/// \param places   distances from the left, 0 to width; any order; those within kSamePlace of another are one
/// \param measured as differences_at; each is a place of its own, and stays where it is
[[nodiscard]] std::vector<Stretch> stretches(double width, std::span<const double> places,
                                             std::span<const Measured> measured);
inline constexpr double kSamePlace = 1.0;  ///< mm; what a tape tells apart

}  // namespace foldswing::station
