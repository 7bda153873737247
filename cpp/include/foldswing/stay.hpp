#pragma once
/// \file stay.hpp  What holds a panel open: length, load, slack and catch load of a strap, cable, chain or hooked bar.
///
/// One pin is on the body, one on the panel. Panel points are given as the panel hangs shut; a turn is
/// counter-clockwise positive. Weight acts along -y. Lengths mm, masses kg, forces N, moments N·m, energies J.
///
/// A pull T along the stay turns the panel by T times its lever arm, the distance of the stay's line from the pivot; it
/// is in balance with the loads where that equals their moment. By virtual work the same lever arm is what the stay's
/// length changes by for one radian of turn, so that 1 mm of stay moves a point r away from the pivot by r / lever arm.
#include <cstddef>
#include <foldswing/motion.hpp>
#include <span>
#include <string>
#include <vector>

namespace foldswing::stay {

/// Standard gravity, N/kg (3rd General Conference on Weights and Measures, 1901; by definition).
inline constexpr double kGravity = 9.80665;
/// A lever arm shorter than this part of the stay's pin from the pivot is none: the stay points at the pivot.
inline constexpr double kNoLeverRel = 1e-9;
/// The most stays that share a load.
inline constexpr int kMostStays = 10;

/// The two pins a stay runs between.
struct Pins {
    Point fixed;  ///< on the body
    Point panel;  ///< on the panel, as it hangs shut
};

/// What the stays and the pivot carry; panel points as the panel hangs shut.
struct Load {
    double mass = 0.0;    ///< of the panel, >= 0
    Point centre;         ///< centre of mass of the panel
    double leaned = 0.0;  ///< mass of whoever or whatever leans on the edge, >= 0
    Point edge;           ///< where it leans; the place whose movement is asked for
};

/// How the load meets the stay.
enum class State : signed char {
    holds,       ///< the load pulls on the stay (or rests in balance, with no pull)
    goes_slack,  ///< the load turns the panel the other way: a strap goes slack, a bar would have to push
    dead_centre  ///< the stay points at the pivot: it holds nothing
};
/// "holds", "goes slack", "dead centre".
const char* word(State state) noexcept;

/// A stay at one place of the panel.
struct Hold {
    State state = State::holds;
    double length = 0.0;       ///< between the pins
    double lever_arm = 0.0;    ///< of its pull about the pivot, >= 0
    double edge_per_mm = 0.0;  ///< movement of the edge for 1 mm of stay; infinite at dead centre
    double moment = 0.0;       ///< of the loads about the pivot, N·m; positive where it pulls on the stay
    double pull_each = 0.0;    ///< N, the stays sharing alike; negative: each would have to push; NaN at dead centre
    double pull_alone = 0.0;   ///< N, one stay carrying all
    Point on_pivot;            ///< N, what the panel presses on the pivot pins with, all together; NaN at dead centre
};

/// The stay with the panel posed there, turning (for this moment) about `pivot`.
/// \param at    pose of the panel from where it hangs shut
/// \param count how many stays share the load, 1 to kMostStays
/// \throws InvalidInput when a number is out of its range or the pins coincide there
[[nodiscard]] Hold hold(const Pins& pins, const Load& load, const Pose& at, Point pivot, int count);

/// One stay with a hook, hole or link for each stop.
struct Strap {
    double shut = 0.0;                ///< between the pins with the panel shut
    std::vector<Hold> stops;          ///< in the order given
    std::vector<double> spacing;      ///< from each stop's hook to the next one's, >= 0; one fewer than stops
    std::vector<double> slack_shut;   ///< to stow with the panel shut, hooked for each stop; negative: it cannot shut
    std::size_t worst = 0;            ///< the stop with the greatest pull
    std::vector<double> taut_at_deg;  ///< turn at which the stay hooked for that stop first comes taut; its own turn
                                      ///< where all is well, another where it comes taut on the way
};

/// \param turns_deg from shut to each stop; at least one, each within +-360 and not 0
/// \throws InvalidInput as hold
[[nodiscard]] Strap strap(const Pins& pins, const Load& load, Point pivot, std::span<const double> turns_deg,
                          int count);

/// The first turn from shut toward turn.turn_to_deg at which the pins are `length` apart, having been nearer; the start
/// where they are that far apart, or farther, there; NaN where they never are. d^2 = (r - f)^2 + 4 r f sin^2(half the
/// angle between the pins at the pivot), r and f their distances from it, solved for the angle.
/// \throws InvalidInput when length is not > 0, a number is not finite, or the turn is over 360 degrees
[[nodiscard]] double taut_at(const Pins& pins, const PlainTurn& turn, double length);

/// What a difference in length between left and right does.
struct Mismatch {
    double edge = 0.0;       ///< one end of the edge lower than the other by so much, where the panel gives
    double twist_deg = 0.0;  ///< the twist along the edge that is
};
/// \param edge_per_mm as Hold's, \param difference of the two lengths, >= 0, \param width between the stays, > 0.
/// A panel too stiff to twist hangs on the shorter stay alone: Hold::pull_alone.
[[nodiscard]] Mismatch mismatch(double edge_per_mm, double difference, double width);

/// Stiffness of a straight wire, rod or strap, N/mm: modulus times section over length.
/// \param modulus GPa, > 0; that of a wire rope is well below its steel's \param area mm^2, > 0 \param length mm, > 0
[[nodiscard]] double stiffness(double modulus, double area, double length);

/// Stiffness, N/mm, from a test: a mass hung on the stay, with its hooks and fixings, stretched it so far. Both > 0.
[[nodiscard]] double stiffness_from_test(double mass, double stretch);

/// What happens when the panel is let fall.
enum class CatchState : signed char {
    caught,     ///< the stay stops it
    not_caught  ///< the stay passes its longest place before it has stopped the panel
};
/// "caught", "not caught".
const char* word(CatchState state) noexcept;
struct Catch {
    CatchState state = CatchState::caught;
    double fall = 0.0;          ///< of the edge, from its highest place on the way to where the stay comes taut, mm
    double energy = 0.0;        ///< given up by the panel until then, J; >= 0
    double pull_each = 0.0;     ///< peak pull, N; NaN where not caught
    double stretch = 0.0;       ///< of the stay at the peak, mm
    double edge_overrun = 0.0;  ///< of the edge beyond where the stay is taut at rest, mm along its arc
};

/// Peak pull where the panel is let go at its highest place between the two turns and caught by stays that are just
/// taut at turn.turn_to_deg.
///
/// Energy is kept: what the panel's weight gives up goes into stretching the stays, which stretch alike and in
/// proportion to their pull. Panel, pins and body are stiff, nothing rubs, and nobody leans on it: all this is on the
/// safe side except a body that gives less than the stay. Where the lever arm hardly changes over the stretch this is
/// the textbook's F = F0 + sqrt(F0^2 + 2 k E), F0 the pull at rest; the arm's change is counted here. \param load its
/// leaned part is not used \param each     stiffness of one stay, N/mm, > 0 \param count    how many stays catch it
/// together \throws InvalidInput as taut_at, or where the pins do not part at turn_to_deg (the stay would not come taut
/// there)
[[nodiscard]] Catch catch_load(const Pins& pins, const Load& load, const PlainTurn& turn, double each, int count);

/// The points of a square grid that lie in a region, edges included, row by row from below, each from the left.
/// \param step > 0; the grid starts at the region's left and lowest \throws InvalidInput where that is over
/// kMostPlaces points
[[nodiscard]] std::vector<Point> grid(std::span<const Outline> region, double step);
inline constexpr std::size_t kMostPlaces = 100'000;

/// What a choice of pins must keep; infinite or 0 where nothing is asked.
struct Limits {
    double most_pull = 0.0;         ///< N on each stay at the worst stop; 0: no limit
    double most_edge_per_mm = 0.0;  ///< at the worst stop; 0: no limit
    double longest = 0.0;           ///< between the pins at any stop; 0: no limit
    double least_spacing = 0.0;     ///< between hooks of successive stops, so that they are not mixed up
};
/// What is best among pins that keep the limits.
enum class Wish : signed char { least_pull, least_movement, shortest, least_slack };

/// One pair of pins and what it comes to.
struct Choice {
    Pins pins;
    double pull = 0.0;         ///< N on each, worst stop
    double edge_per_mm = 0.0;  ///< worst stop
    double longest = 0.0;
    double spacing = 0.0;  ///< least between successive stops; infinite with one stop
    double slack = 0.0;    ///< most to stow when shut
};
struct Chosen {
    std::vector<Choice> feasible;  ///< best first; equals in the order of their points
    std::size_t tried = 0;
    std::size_t no_hold = 0;     ///< left out: goes slack, at dead centre, or taut on the way at some stop
    std::size_t too_much = 0;    ///< left out for pull
    std::size_t too_lively = 0;  ///< left out for movement per mm
    std::size_t too_long = 0;
    std::size_t too_close = 0;  ///< left out for hooks too near each other
    std::string explanation;
};
/// Every pair of a place on the body and a place on the panel, the best by the wish first. A pair is counted under the
/// first limit it breaks, in the order of the fields.
/// \throws InvalidInput as strap, or when a list is empty or there are over kMostPairs pairs
[[nodiscard]] Chosen choose(std::span<const Point> on_body, std::span<const Point> on_panel, const Load& load,
                            Point pivot, std::span<const double> turns_deg, int count, const Limits& limits, Wish wish);
inline constexpr std::size_t kMostPairs = 1'000'000;

}  // namespace foldswing::stay
