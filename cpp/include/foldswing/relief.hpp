#pragma once
/// \file relief.hpp  What must be taken off a fixed body, or off the panel, so that the panel swings past with a gap.
///
/// The panel grown by the gap and swept over the turn is bounded by pieces of the grown panel where the turn begins and
/// ends, and by circles about the pivot; what it has in common with a body is the relief. Reliefs are given as paths
/// whose arcs are true arcs, ready to be scribed with a compass. Lengths mm, angles degrees, counter-clockwise
/// positive.
#include <foldswing/motion.hpp>
#include <foldswing/pivot_window.hpp>
#include <span>
#include <string>
#include <vector>

namespace foldswing::relief {

inline constexpr double kSagitta = 0.05;        ///< mm; how far chords stand off unless told otherwise
inline constexpr double kFinestSagitta = 2e-3;  ///< mm; finer asks for more corners than any drawing can use

/// What is cut off one part.
struct Relief {
    std::vector<Path> cuts;  ///< closed, with true arcs: what is cut counter-clockwise, what stays inside it clockwise
    std::vector<Outline> outlines;  ///< the same with chords: holds the true relief, exceeds it by at most the sagitta
    double area = 0.0;              ///< of the outlines, mm^2
    double depth = 0.0;  ///< how deep the cut's edge goes in from the part's own; of a part cut away whole, its
                         ///< half width
    Point deepest;       ///< where that is; NaN where nothing is cut
    bool exact = true;   ///< every side was found on a line or true arc; else some is left as chords within the sagitta
    std::string explanation;
};

/// What a turning panel asks to be taken off fixed bodies so that `gap` is left all the way. Cuts nowhere deeper than
/// the sagitta are left out.
/// \param panel   closed sections without holes, where they hang shut; they move together
/// \param bodies  closed sections without holes
/// \param gap     >= 0; 0: they just touch
/// \param sagitta how far the outlines may exceed the true relief; >= kFinestSagitta
/// \throws InvalidInput when a group is empty, a path is open or crosses itself, a number is out of its range (turns
///   within +-360 degrees, lengths within 1e6 mm), or so much travel needs over 12000 corners
[[nodiscard]] Relief off_body(std::span<const Path> panel, std::span<const Path> bodies, const PlainTurn& turn,
                              double gap, double sagitta = kSagitta);

/// The other way round: what must come off the panel, shut coordinates. Seen from the panel the bodies turn backwards.
[[nodiscard]] Relief off_panel(std::span<const Path> panel, std::span<const Path> bodies, const PlainTurn& turn,
                               double gap, double sagitta = kSagitta);

/// The room the panel takes over the turn, grown by the gap, with chords: holds the true region, exceeds it by at most
/// the sagitta. \throws InvalidInput as off_body
[[nodiscard]] std::vector<Outline> swept_room(std::span<const Path> panel, const PlainTurn& turn, double gap,
                                              double sagitta = kSagitta);

/// Where the pivot may sit so that nothing need come off anything, among the places asked about.
struct FreePivots {
    hinge::PivotWindow window;  ///< certified cell by cell; its outlines are the places that are clear for certain
    std::string explanation;    ///< says where, or that no such place exists, or that smaller cells must decide
};
/// As hinge::pivot_window without landings. \throws InvalidInput as that
[[nodiscard]] FreePivots free_pivots(const hinge::Swing& swing, std::span<const Outline> within);

}  // namespace foldswing::relief
