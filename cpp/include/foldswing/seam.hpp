#pragma once
/// \file seam.hpp  The gap all along a shut line: even, tapered, or with tight and wide spots. Lengths mm.
///
/// The gap is measured square to the run of the seam and is straight between neighbouring places.
#include <cstddef>
#include <foldswing/plane.hpp>
#include <span>
#include <string>
#include <vector>

namespace foldswing::seam {

/// How far, mm, an arc of an edge may be left by the chords it is looked at by.
inline constexpr double kSagitta = 1e-3;
inline constexpr std::size_t kMostPlaces = 5000;

/// A gap at a place along the seam; negative: the panel overlaps its neighbour.
struct Place {
    double at = 0.0;  ///< along the seam, from its start
    double gap = 0.0;
    friend bool operator==(const Place&, const Place&) = default;
};

/// A part of the seam along which the gap runs straight, within what is allowed.
struct Stretch {
    Place from;
    Place to;
    double taper_per_metre = 0.0;  ///< mm of gap for a metre of seam; positive: it opens onward
};

/// Where the gap leaves the straight line through the whole seam by more than is allowed.
struct Spot {
    double from = 0.0;
    double to = 0.0;
    Place worst;
    double off = 0.0;  ///< from that line; negative: a tight spot, positive: a wide one
};

enum class Kind : signed char {
    even,     ///< nowhere farther from its mean than is allowed
    tapered,  ///< not even, but nowhere farther than that from one straight line
    uneven    ///< there are tight or wide spots
};
/// "even", "tapered", "uneven".
const char* word(Kind kind) noexcept;

struct Seam {
    Kind kind = Kind::even;
    bool kept = false;          ///< nowhere farther from the gap wanted than is allowed
    std::vector<Place> places;  ///< the gap all along, straight between
    Place smallest;             ///< the first of equals
    Place largest;
    double mean = 0.0;
    double rms = 0.0;                ///< root of the mean square of gap less gap wanted, over the length of the seam
    double taper_per_metre = 0.0;    ///< of the line of least squares through the whole seam
    Place line_from;                 ///< that line at the start
    Place line_to;                   ///< and at the end
    std::vector<Stretch> stretches;  ///< the fewest that leave the gap by no more than is allowed
    std::vector<Spot> spots;
    std::string explanation;
};

/// From gaps measured at places along the seam.
/// Mean, RMS and the line are integrals over the length of the seam, in closed form: a place counts for the stretch it
/// stands for. Stretches end at places; of all ways to make do with the fewest the one that strays least in the mean
/// square.
/// \param places  at least two, `at` ascending, at most kMostPlaces
/// \param wanted  the gap wanted
/// \param allowed how far a gap may be out before it shows, > 0
/// \throws InvalidInput when one of these is broken
[[nodiscard]] Seam along(std::span<const Place> places, double wanted, double allowed);

/// From two edges in one view, square to the run of the body's edge from its first point to its last. Places count from
/// that first point; the seam is where the edges lie beside each other. The panel is on the side where most of it lies.
/// Arcs are looked at by chords that leave them by no more than kSagitta, so gaps are within twice that.
/// \throws InvalidInput as along; when an edge does not run forward all the way, or they do not lie beside each other
[[nodiscard]] Seam between(const Path& panel_edge, const Path& body_edge, double wanted, double allowed);

}  // namespace foldswing::seam
