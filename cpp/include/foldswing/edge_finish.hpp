#pragma once
/// \file edge_finish.hpp  Hems, wired edges, lock seams, tabs and slots: what they add to an edge. Lengths: mm.
///
/// Each gives the addition twice: by the rule that the trade prints, which leaves thickness out, and by the neutral
/// line of the fold itself. The fold is a tail of bends and flats to put after a flat of a Profile whose length then
/// runs over the finished edge.
#include <cstddef>
#include <foldswing/blank.hpp>
#include <foldswing/ready_section.hpp>
#include <optional>
#include <string>
#include <vector>

namespace foldswing::blank {

struct EdgeFinish {
    std::vector<Part> tail;       ///< begins with a bend, ends with a flat; to be bent up
    double addition = 0.0;        ///< blank past the finished edge, by the neutral line
    double rule = 0.0;            ///< the same by the printed rule; NaN where none was found
    double edge_from_line = 0.0;  ///< how far the finished edge stands past what the length is measured to
    std::string rule_text;
    std::string source;
    std::string note;
};

enum class Hem { closed, open, teardrop, doubled };
/// \param width over the bend to the hem's own edge
/// \param opening inside of the fold: 0 for a closed hem; open: the gap; teardrop: inside diameter of the fold;
/// doubled:
///        not used. \throws InvalidInput when the width is less than the fold needs
[[nodiscard]] EdgeFinish hem(Hem kind, double width, double opening, double thickness, double k_factor);

/// A wired edge: the sheet wrapped round a wire. \param turned_deg how far it is wrapped, 180 to 330
[[nodiscard]] EdgeFinish wired_edge(double wire_diameter, double thickness, double k_factor, double turned_deg = 270.0);

enum class Seam { single, doubled };
/// One edge's half of a lock seam of that width. single: a hook on either edge (grooved seam); doubled: folded over
/// once more. Lengths of the two sheets run to the middle of the finished seam. `rule` and `addition` are for both
/// edges of the joint together.
[[nodiscard]] EdgeFinish lock_seam(Seam kind, double width, double thickness, double k_factor);

/// The profile with an edge finished: the last flat (or the first) then measures over the finished edge.
/// \throws InvalidInput as Profile does, where the flat is too short for its finish
[[nodiscard]] Profile finished(const Profile& profile, const std::optional<EdgeFinish>& at_start,
                               const std::optional<EdgeFinish>& at_end);

/// Tabs along an edge and the slots they go through, for plug welds.
struct TabsAndSlots {
    std::vector<double> centres;  ///< of tabs and slots, from the start of the edge
    double tab_width = 0.0;
    double tab_height = 0.0;  ///< past the edge: the other sheet's thickness and what stands through it
    double slot_length = 0.0;
    double slot_width = 0.0;
    double between = 0.0;  ///< solid metal between slots
    double to_end = 0.0;   ///< from the outer slots to the ends of the edge
};
/// \param edge length of the joint; \param count of tabs, evenly spread, half a spacing from the ends
/// \param through thickness of the sheet with the slots; \param proud how far tabs stand out of it
/// \param clearance slot over tab, in either direction
/// \throws InvalidInput when the slots would leave less than one thickness of metal between them
[[nodiscard]] TabsAndSlots tabs_and_slots(double edge, std::size_t count, double tab_width, double thickness,
                                          double through, double proud, double clearance);

}  // namespace foldswing::blank
