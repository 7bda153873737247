#pragma once
/// \file bend_order.hpp  In which order the bends of a section or a tray can be made on a brake, or why in none.
/// Lengths: mm; angles: degrees.
///
/// A brake is seen from its end: the operator stands at the right (+x), the gauge behind is at the left. Every bend is
/// turned UP in the brake; a bend that goes down on the part is made with the part turned over. Because the shape in
/// the brake depends only on which bends are made, not on their order, the search is exact over sets of bends.
///
/// What is checked at every bend, over the whole turn and not only at its end: metal against the tools and metal
/// against metal, by subdivision of the turn with a bound on how far any point moves (nothing between two steps is
/// missed); that the part then comes off: the upper tool lifts, the part is raised and drawn straight towards the
/// operator (or it is slid off along the tools, where the brake lets it). What is not: tilting the part to get it in or
/// out, springback and over-bend, sag of the sheet, the bend zone itself while it forms (it is in touch with the tools
/// by design).
#include <foldswing/blank.hpp>
#include <foldswing/plane.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace foldswing::bend_order {

/// Tools may press this far into the metal's edge on paper: faces that lie on each other are no fouling. mm, and not
/// more than a tenth of the thickness.
inline constexpr double kTouch = 0.05;
/// What comes nearer than this to fouling counts as fouling, mm: where the certified search stops.
inline constexpr double kFinest = 0.01;
inline constexpr std::size_t kMostBends = 14;

enum class Kind {
    leaf,   ///< the sheet is clamped under a nose, a leaf turns the free part up; with fingers: box-and-pan
    press,  ///< a punch pushes the sheet into a V, both legs rise
};
enum class End { start, end };       ///< an end of the blank
enum class Face { up, down };        ///< whether the blank's upper face looks up
enum class Gauge { behind, front };  ///< where the stop is that the part is pushed against

/// A brake by the outlines of its tools, each in its own place at rest.
/// leaf: x = 0 is the nose's foremost point, which is where the sight line goes; `upper` (nose and beam) stands on the
///   sheet's upper face, y = 0, with its tip, a corner, at (0, 0) and its underside along y = 0 behind it; `lower`
///   (bed) and `leaf` lie below the sheet's lower face, y = 0. The tip is taken as rounded to each bend's inside
///   radius, and the leaf as turning about the centre of the bend.
/// press: `upper` (punch) has its tip at (0, 0) on the bend centre line; `lower` (die) has its top at y = 0, the V in
///   the middle, its shoulders at +-v_opening / 2.
struct Brake {
    std::string name;
    Kind kind = Kind::leaf;
    Outline upper;
    Outline lower;
    std::optional<Outline> leaf;        ///< leaf brakes only
    double opens = 0.0;                 ///< how far the upper tool lifts, > 0
    double greatest_angle_deg = 135.0;  ///< the most it turns the metal through, > 0, < 180
    double least_hold = 0.0;            ///< leaf: straight metal needed under the nose, behind the tangent line
    double least_flange = 0.0;          ///< leaf: straight metal needed on the leaf, before the tangent line
    double v_opening = 0.0;             ///< press
    double gauge_from = 0.0;  ///< the nearest and farthest place of the stop from the sight or bend centre line
    double gauge_to = 0.0;
    std::vector<double> fingers;  ///< widths of the fingers or punch pieces; none: the upper tool is in one piece
    double finger_height = 0.0;   ///< clear height beside a finger, from the sheet to the beam
    bool open_ended = false;      ///< whether parts can be slid off along the tools: then nothing stays trapped
    double least_cover = 0.9;     ///< part of a tray's bend line that the fingers must cover, 0..1; no source
};
/// \throws InvalidInput when a number or an outline breaks its rule
void require_valid(const Brake& brake);

/// Brakes of no make, invented to try things on: a bench-size leaf brake, the same with fingers, and a press brake.
[[nodiscard]] Brake invented_leaf_brake();
[[nodiscard]] Brake invented_box_and_pan_brake();
/// \throws InvalidInput when v_opening is not within 4..60
[[nodiscard]] Brake invented_press_brake(double v_opening = 10.0);

/// A tool as it stands at one moment.
struct Standing {
    std::string name;  ///< "nose", "bed", "leaf", "punch", "die"
    Ring outline;
};

/// One bend in the brake.
struct Step {
    std::size_t bend = 0;  ///< counted from 0, from the blank's start; trays: see search
    double angle_deg = 0.0;
    End at_gauge = End::start;  ///< which end of the blank is behind, in the brake
    Face face = Face::up;
    bool flipped = false;         ///< turned over since the step before
    bool turned = false;          ///< turned end for end since the step before
    bool quarter = false;         ///< a tray: turned by a quarter, onto its other pair of edges; then not `turned`
    double gauge = 0.0;           ///< stop to the line set under the tool: the sight line, or the bend centre line
    double gauge_tangent = 0.0;   ///< stop to the tangent line on its side of the bend
    std::vector<double> fingers;  ///< the set to use, where flanges that stand across ask for one
    Ring before;                  ///< the metal, in the brake, at the start and at the end of the bend
    Ring after;
    std::vector<Standing> tools_before;
    std::vector<Standing> tools_after;
};

enum class Status {
    found,
    none,  ///< no order exists: proved by trying every set of bends that can be reached
};

struct Order {
    Status status = Status::none;
    std::vector<Step>
        steps;  ///< the best: fewest flips, then fewest turns of either kind, then a tray's lengthwise bends first
    std::size_t flips = 0;
    std::size_t turns = 0;     ///< end for end
    std::size_t quarters = 0;  ///< of a tray, by a quarter: from the bends of one section to those of the other
    double orders = 0.0;       ///< how many orders of the bends can be bent, ends chosen as need be
    std::size_t tried = 0;     ///< bends tried, each in one shape of the metal and one way round
    std::vector<std::size_t> blocking;  ///< where there is none: the bends that block
    std::string explanation;
};

/// What things are called where there is no order; an empty list: "bend 1", "flat 1", "start" and "end". Of a tray the
/// lengthwise section's come first.
struct Names {
    std::vector<std::string> bends;
    std::vector<std::string> flats;
    std::vector<std::string> ends;  ///< start and end of a section; of a tray four
};

/// \param gauge where the stop is
/// \param made bends made before, counted from 0: hems and wires closed on the flat sheet
/// \throws InvalidInput when the brake is not valid, there are more than kMostBends bends, the names do not fit, or
/// `made` names no bend
[[nodiscard]] Order search(const blank::Profile& section, const Brake& brake, Gauge gauge = Gauge::behind,
                           const Names& names = {}, std::span<const std::size_t> made = {});

/// A tray: two sections that cross in their base.
struct Tray {
    blank::Profile lengthwise;
    std::size_t base_lengthwise = 1;  ///< which of its flats is the base, counted from 0
    blank::Profile crosswise;
    std::size_t base_crosswise = 1;
};
[[nodiscard]] Tray tray(const blank::Pan& pan);

/// Bends of the lengthwise section first, then those of the crosswise one. Where a flange of the other section already
/// stands, the base must be held, fingers must fit between what stands, the beam clear it, and nothing hang down.
/// Corners (flange end against flange end) are not looked at: that is what the notches are for.
[[nodiscard]] Order search(const Tray& tray, const Brake& brake, Gauge gauge = Gauge::behind, const Names& names = {},
                           std::span<const std::size_t> made = {});

/// Whether one bend can be made with these already done: empty where it can, else what stands in the way.
/// \param done counted from 0
[[nodiscard]] std::string obstacle(const blank::Profile& section, const Brake& brake, std::span<const std::size_t> done,
                                   std::size_t bend, End at_gauge, Gauge gauge = Gauge::behind);

}  // namespace foldswing::bend_order
