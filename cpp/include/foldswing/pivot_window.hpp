#pragma once
/// \file pivot_window.hpp  Where the pivot may be drilled: every place that meets every landing within its tolerance.
///
/// Each landing of a real turn allows the pivot a half-plane, or a strip (two of them); what they have in common, cut
/// by an allowed region, is the window. With bodies to clear, the swing about every pivot of the window is judged too.
/// Lengths: mm.
#include <array>
#include <cstdint>
#include <foldswing/landing.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace foldswing::hinge {

/// What is left for the pivot.
enum class WindowStatus : std::int8_t {
    window,  ///< a region with some area
    line,    ///< no width: one or more runs of a line (a tolerance of 0, or limits that just meet)
    point,   ///< single points
    none,    ///< nowhere
    any      ///< nothing is asked of the pivot: everywhere, or all of the allowed region
};
/// "window", "line", "point", "none", "any".
const char* word(WindowStatus status) noexcept;

/// The pivots that keep one limit of one landing: a x + b y <= c, with (a, b) a unit vector.
struct WindowLimit {
    double a = 0.0;
    double b = 0.0;
    double c = 0.0;
    std::size_t landing = 0;  ///< whose limit, counted from 0
    bool upper = false;       ///< its upper limit (n.x <= offset + tolerance), else its lower one
};

/// A piece of the window's edge and what stops the pivot there.
struct WindowSide {
    static constexpr std::int32_t kAllowed = -1;  ///< the edge of the allowed region
    static constexpr std::int32_t kOpen = -2;     ///< none: the window goes on, the outline is only cut off there
    static constexpr std::int32_t kFree = -4;     ///< a stop whose angle is free: beyond, it does not land
    static constexpr std::int32_t kSwing = -3;    ///< the swing: beyond, the panel comes too near to a body
    Point from;
    Point to;
    std::int32_t limit = kAllowed;  ///< index into PivotWindow::limits, or one of the above
    std::int32_t binding = -1;      ///< index into PivotWindow::binding; -1: a speck that needs no sentence
};

/// What a cell of the searched square is known to be.
enum class CellStatus : std::int8_t { fouled = -1, undecided = 0, clear = 1 };

/// A square of pivots, judged as a whole.
struct Cell {
    Point low;  ///< its lower left corner
    double side = 0.0;
    CellStatus status = CellStatus::undecided;
};

struct PivotWindow {
    WindowStatus status = WindowStatus::none;
    std::vector<Outline> outlines;           ///< the window, as parts that do not overlap; empty unless it has area
    std::vector<std::array<Point, 2>> runs;  ///< where it has no width: from, to; equal for a single point
    bool bounded = true;                 ///< false: it goes on for ever, and the outlines are cut off at `kOpen` sides
    std::vector<WindowLimit> limits;     ///< every half-plane that the landings ask for, in their order
    std::vector<WindowSide> sides;       ///< of `outlines`, round each ring
    std::vector<std::string> binding;    ///< what stops the pivot on each side, once each, in words
    Circle best{{kVoid, kVoid}, kVoid};  ///< the best place to drill, and how far off it still serves: the largest
                                         ///< circle in the window; radius 0 on a line or point, NaN where there is none
    std::string explanation;             ///< a sentence for the bench; stops are counted from 1
    /// Only where a stop's angle is free: outside these no pivot serves, inside `outlines` every one does; their edges
    /// are no more than the sagitta apart. Else as `outlines`. Without regard to the swing.
    std::vector<Outline> outer;
    // Only where there are bodies to clear; the window above is then the part whose cells are all clear.
    std::vector<Outline> landed;  ///< the window of the landings alone
    std::vector<Cell> cells;      ///< those that the landings' window reaches
    double clear_area = 0.0;      ///< mm^2, of the cells as far as they lie in the box round the landings' window
    double undecided_area = 0.0;
    double fouled_area = 0.0;
};

/// A stop whose angle is not fixed, only a range.
struct FreeStop {
    std::vector<Landing> landings;  ///< at one and the same angle; their own turn_deg counts for nothing
    double turn_from_deg = 0.0;     ///< the range, either way round, with no whole revolution (or 0) in it
    double turn_to_deg = 0.0;
    bool every = false;  ///< true: they hold at every angle of the range; else at some angle, the same for all of them
};
/// How far inner and outer edge may be apart unless told otherwise, mm: half of what a tape shows.
inline constexpr double kWindowSagitta = 0.05;
/// The most pieces that a range of angles is cut into.
inline constexpr int kMostPieces = 4096;

/// The turn, about every pivot, that has to stay clear of bodies.
struct Swing {
    std::vector<Outline> panel;     ///< shut coordinates: the panel turns about each pivot that is tried
    std::vector<Outline> clear_of;  ///< fixed bodies
    double turn_from_deg = 0.0;     ///< from shut, any to any
    double turn_to_deg = 0.0;
    double gap = 0.0;   ///< wanted at least, >= 0; 0: no overlap
    double cell = 0.5;  ///< side of the smallest cell
};

/// The most cells along the longer side of what is searched.
inline constexpr double kMostCells = 4096.0;

/// Every pivot that meets every landing within its tolerance, in the allowed region.
///
/// Exact: the half-planes are closed forms, corners are where two of them meet; points may be off by about 1e-12 of the
/// size. Whole revolutions ask nothing of the pivot and are met or not. A window thinner than 1e-11 of the size is a
/// line, and a line shorter than that a point. Windows farther than 1e9 mm from the landings are not looked for.
///
/// With a swing the pivots are certified cell by cell. The smallest gap over the swing changes with the pivot by at
/// most L = 2 max |sin(a/2)| mm per mm, a running over the turn (2 where it holds 180 degrees), so a cell of
/// half-diagonal r is clear where gap - L r >= wanted at its middle, and fouled where gap + L r < wanted, an overlap
/// counting as minus its depth. Other cells are quartered down to `cell`, and what is then left is undecided. Each
/// corner and edge is bounded over the part of the turn where it matters, so that L is often smaller.
///
/// Stops with a free angle leave curved edges (parabolas about the landing point), given as straight ones: `outlines`
/// inside, `outer` outside the true window. For one landing that holds at some angle, the window is the plane less two
/// convex sets, one on each side of the line; for several at once, it is joined from narrow ranges of angles, and
/// finer sagittas take longer in proportion.
///
/// \param landings may be empty where there is a region
///
/// \param within   the allowed region: any of these outlines, holes counted; empty: anywhere
///
/// \param sagitta  > 0; only for free stops
///
/// \throws InvalidInput when there is nothing to go by, a turn is so small that its strip lies beyond 1e100 mm; with
/// a swing or a free stop, when the window is not bounded by landings and region together; with a swing, when panel or
/// clear_of is empty, gap or cell out of range, or a cell so small that there are more than kMostCells along a side;
/// with a free stop, when it has no landing, its range holds a whole revolution, several landings at some angle have a
/// tolerance of 0, or the sagitta asks for more than kMostPieces
[[nodiscard]] PivotWindow pivot_window(std::span<const Landing> landings, std::span<const Outline> within = {},
                                       const std::optional<Swing>& swing = std::nullopt,
                                       std::span<const FreeStop> free = {}, double sagitta = kWindowSagitta);

/// What is wanted of the angle of a free stop.
enum class Wish : std::int8_t {
    forgiveness,  ///< the largest circle in the window
    gap,          ///< the largest of the smallest gaps over the swing, the pivot in the best place of the window
    near,         ///< a pivot as near as can be to a wanted spot
    hole          ///< a pivot on one of the holes that a bracket has, with the least part of the tolerances used up
};

/// The pivot for one angle of a free stop.
struct AngleChoice {
    double turn_deg = kVoid;
    WindowStatus status = WindowStatus::none;
    Point pivot{kVoid, kVoid};   ///< the best place at this angle; by Wish::near or hole: nearest the spot, or the hole
    double forgiveness = kVoid;  ///< radius of the largest circle in the window, about its own centre; 0: line or point
    double gap = kVoid;          ///< smallest gap over the swing about `pivot`; NaN without a swing
    double score = kVoid;    ///< what the wish is judged by, more is better: forgiveness; gap; minus the distance from
                             ///< the spot; minus the worst part of a tolerance used up at the hole
    std::int32_t hole = -1;  ///< which hole, by Wish::hole
};

/// What `best_angle` looks for.
struct AngleWish {
    Wish wish = Wish::forgiveness;
    std::vector<Point> spots;  ///< the spot wanted, or the holes
};
/// How many angles are looked at before the best is searched for between its neighbours.
inline constexpr int kAngles = 91;

/// The pivot at `angles` evenly spread angles of the free stop's range, ends included: the curve it moves on.
/// With a swing, the gap is that from turn_from_deg to turn_to_deg; a turn_to_deg within the free range is replaced by
/// the angle itself, for the travel ends at the stop.
///
/// \throws InvalidInput as pivot_window; when angles < 2; when `wish` lacks what it needs (spots; a swing)
[[nodiscard]] std::vector<AngleChoice> pivot_by_angle(std::span<const Landing> landings, const FreeStop& free,
                                                      std::span<const Outline> within,
                                                      const std::optional<Swing>& swing, const AngleWish& wish,
                                                      int angles = kAngles);

/// The angle that suits the wish best: the best of `angles`, then searched for between its neighbours (by thirds, to
/// 1e-7 of the range), so a best place narrower than the spacing of the angles may be missed. Status none where no
/// angle has a pivot.
[[nodiscard]] AngleChoice best_angle(std::span<const Landing> landings, const FreeStop& free,
                                     std::span<const Outline> within, const std::optional<Swing>& swing,
                                     const AngleWish& wish, int angles = kAngles);

}  // namespace foldswing::hinge
