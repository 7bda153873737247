#pragma once
/// \file fitting.hpp  From what is measured after the first fit to what is to be moved. Lengths: mm, angles: degrees.
///
/// There are two holes, the panel's and the body's, each with its own error. Turned by t, the panel carries its point q
/// to body + R(t)(q - panel): as drawn both holes coincide with the pivot. A reading is how far a panel point stands
/// beyond a fixed line n.x = d, and is linear in the holes: shut it knows their difference alone, at a stop more.
/// Errors of readings are normal and independent, given as standard errors: one reading in three is out by more.
#include <array>
#include <cstddef>
#include <cstdint>
#include <foldswing/arc.hpp>
#include <foldswing/hinge.hpp>
#include <foldswing/landing.hpp>
#include <foldswing/plane.hpp>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace foldswing::fitting {

inline constexpr double kUnbounded = std::numeric_limits<double>::infinity();

/// Variances of a point along x and y, and their covariance, mm^2.
struct Covariance {
    double xx = 0.0;
    double xy = 0.0;
    double yy = 0.0;
};

/// Where a point is likely to be: an ellipse about the estimate.
struct Ellipse {
    double semi_major = 0.0;  ///< mm; infinite along a direction that was not seen
    double semi_minor = 0.0;
    double angle_deg = 0.0;  ///< of the major axis from x, counter-clockwise, in (-90, 90]
};
/// The ellipse that holds the point in this share of cases: the axes of the covariance times sqrt(-2 ln(1 -
/// confidence)), exact for two normal coordinates. \throws InvalidInput unless 0 < confidence < 1, or where the
/// covariance is not one
[[nodiscard]] Ellipse ellipse(const Covariance& covariance, double confidence = 0.95);

// ------------------------------------------------------------------------------------------------ pivot from poses

/// One pivot for measured poses of a panel.
struct PosePivot {
    hinge::PoleStatus status = hinge::PoleStatus::any;
    Point pivot;        ///< fixed coordinates; NaN unless `point`
    Point panel_point;  ///< the panel point that stays nearest to it; NaN unless `point`
    Point direction;    ///< unit vector to the pole at infinity, as hinge::pole; NaN unless `infinity`
    /// For `point` where each pose carries panel_point, less pivot; for `infinity` how far each pose is off a straight
    /// slide; else zero. mm.
    std::vector<Point> residuals;
    double scatter = 0.0;   ///< standard error of a pose of weight 1, along x and along y; NaN where nothing tells
    Covariance covariance;  ///< of pivot; NaN unless `point`, or where scatter is NaN
    std::string explanation;
};

/// The point about which measured poses turn: the panel point whose weighted places scatter least, and their mean.
/// Two poses: their pole, exactly. Three and more: linear least squares in the panel point and its miss at the first
/// pose, with R_i - R_0 formed from half angles, so that small turns keep their digits (own derivation).
/// \param weights > 0, one for each pose, or none for equal weights; the standard error of a pose is
/// scatter/sqrt(weight)
/// \param pose_error standard error of a pose of weight 1, mm; without it scatter comes from the residuals, over
/// 2n - 4. Headings are taken as read.
/// \throws InvalidInput for fewer than two poses or over 10000, a number not finite, coordinates beyond 1e9 mm, weights
/// of another number or not in 1e-12 .. 1e12
[[nodiscard]] PosePivot pivot_from_poses(std::span<const Pose> poses, std::span<const double> weights = {},
                                         std::optional<double> pose_error = std::nullopt);

/// The centre of an arc traced by a pencil fixed to the panel on a card fixed to the body: the true pivot.
struct ArcPivot {
    arc::FitStatus status = arc::FitStatus::not_converged;
    Point pivot;  ///< NaN for a straight trace
    Covariance covariance;
    double radius = 0.0;
    double swept_deg = 0.0;  ///< of the arc between its outermost points, seen from the pivot
    std::string explanation;
};
/// \param points on the trace, in any order; \param reading_error standard error of each square to the trace, mm;
/// without it from the scatter. \throws InvalidInput as arc::fit
[[nodiscard]] ArcPivot pivot_from_arc(std::span<const Point> points,
                                      std::optional<double> reading_error = std::nullopt);

// --------------------------------------------------------------------------------------------------- the two holes

/// Where the two holes are, shut coordinates.
struct Holes {
    Point panel;
    Point body;
};
/// Signed distance, mm, of a landed point beyond its line with these holes: n.(body + R(q - panel)) - d.
[[nodiscard]] double miss(const hinge::Landing& landing, const Holes& holes) noexcept;

/// A position that readings are taken in.
struct Stop {
    double turn_deg = 0.0;  ///< from shut, counter-clockwise; as read, as set, or a first guess where it is not read
    double standard_error_deg = 0.0;  ///< of turn_deg; 0: known exactly; infinite: not read, the readings must tell
};

/// A fixed edge that readings are taken to is not always where it was said to be.
inline constexpr std::size_t kNoEdge = std::numeric_limits<std::size_t>::max();

/// With the panel at a stop, a panel point stands `distance` beyond the line normal.x = offset.
struct Reading {
    std::size_t stop = 0;  ///< which of the stops
    Point point;           ///< shut coordinates, as drawn
    Point normal;          ///< any length but zero; made a unit vector, with offset divided by the same length
    double offset = 0.0;
    double distance = 0.0;        ///< on the side the normal points to, mm
    double standard_error = 0.5;  ///< mm, > 0
    std::size_t edge = kNoEdge;   ///< which of the edges the line is, where its place is uncertain
};

/// The pivot as found another way, by a traced arc or by poses.
struct FoundPivot {
    Point place;  ///< the body's hole, mm
    Covariance covariance;
};
/// Whether two places of one pivot, each found by itself, agree.
struct Agreement {
    double apart = 0.0;   ///< mm
    bool agrees = false;  ///< whether their errors together allow it
};
/// Two places agree that lie within the ellipse of their difference.
/// \param confidence of that ellipse, within 0 .. 1
/// \throws InvalidInput when a covariance is none, or a place not finite
[[nodiscard]] Agreement agreement(const FoundPivot& one, const FoundPivot& other, double confidence = 0.999);

/// What is known besides the readings.
struct Known {
    std::vector<double> edge_errors;  ///< standard error of where each edge is along its normal, mm; 0: known exactly
    double drilling_error = kUnbounded;  ///< of each hole along x and y, standard deviation, mm; infinite: say nothing
    double apart_error = kUnbounded;     ///< of one hole against the other: small where drilled through together
    double confidence = 0.95;            ///< of the ellipses
    std::optional<FoundPivot> pivot = std::nullopt;  ///< counts as two further readings of the body's hole
};

/// A sound reading is called wrong once in a thousand: two-sided, standard deviations.
inline constexpr double kAlarm = 3.2905267314919255;
/// An error is `noticed` if it is four times in five: standard deviations beyond kAlarm.
inline constexpr double kNoticed = 0.8416212335729143;
/// Share of its own error that a reading must show in its residual to count as checked by others: below it an error
/// would have to be over 40 standard errors to be noticed.
inline constexpr double kChecked = 0.01;
/// Two readings of which an error shows alike to within this correlation cannot be told apart.
inline constexpr double kAlike = 0.9;
inline constexpr std::size_t kMostReadings = 300;
inline constexpr std::size_t kMostStops = 20;

/// How far one reading is borne out by the others.
struct Check {
    double residual = 0.0;          ///< reading less what the holes found say, mm
    double redundancy = 0.0;        ///< 0 to 1: share of its own error that shows in its residual; 0: nothing checks it
    double normalised = 0.0;        ///< residual in standard errors of itself; 0 where nothing checks it
    double smallest_noticed = 0.0;  ///< smallest error noticed four times in five, mm; infinite where nothing checks it
    bool checked = false;
};

enum class HolesStatus : std::int8_t {
    both,          ///< every reading but the noise is accounted for: both holes are seen
    partly,        ///< some way of moving the holes changes no reading: see unseen
    not_converged  ///< the turns could not be settled
};
/// "both", "partly", "not_converged".
const char* word(HolesStatus status) noexcept;

/// Both holes as built.
struct HolesFit {
    HolesStatus status = HolesStatus::not_converged;
    Holes holes;  ///< along what is not seen they stay as near to the drawing as the rest allows
    Holes drawn;
    /// Of panel.x, panel.y, body.x, body.y, then the edges: row by row, `parameters` squared; of what is seen.
    std::vector<double> covariance;
    std::size_t parameters = 4;  ///< 4 and one for each edge
    Ellipse panel_ellipse;
    Ellipse body_ellipse;
    /// Unit vectors (panel.x, panel.y, body.x, body.y): shifts together like these change no reading.
    std::vector<std::array<double, 4>> unseen;
    std::vector<double> turns_deg;             ///< each stop's turn as found
    std::vector<double> turn_standard_errors;  ///< degrees; 0 where known, infinite where not seen
    std::vector<double> edges;                 ///< how far each edge is found beyond where it was said to be, mm
    std::vector<Check> checks;                 ///< of each reading
    std::optional<std::size_t> suspect;        ///< the reading that looks wrong
    std::vector<std::size_t> alike;            ///< readings that an error of the suspect cannot be told from
    double misfit =
        0.0;        ///< root mean square of residuals over what was to be expected: about 1; NaN with nothing spare
    int spare = 0;  ///< readings more than needed
    std::string explanation;  ///< readings are counted from 1
};

/// Both holes from readings shut and at the stops.
///
/// Least squares, each row divided by its standard error, by singular values (no normal equations); turns that are not
/// known exactly and edges whose place is uncertain are unknowns too, with what is known of them as further rows
/// (Gauss-Newton for the turns). What no reading sees is left as drawn and said. Redundancies and normalised residuals
/// are those of W. Baarda's reliability theory (A Testing Procedure for Use in Geodetic Networks, 1968; from memory):
/// r_i = (Q2 Q2')_ii with Q2 the directions no unknown can explain, w_i = v_i/(s_i sqrt(r_i)), and the smallest error
/// noticed (kAlarm + kNoticed) s_i/sqrt(r_i).
/// \throws InvalidInput for no readings or too many, a stop or edge there is none of, a number out of its range, points
/// beyond 1e6 mm
[[nodiscard]] HolesFit fit_holes(std::span<const Reading> readings, std::span<const Stop> stops, const Holes& drawn,
                                 const Known& known = {});

// ------------------------------------------------------------------------------------------------------- the move

/// What to move.
enum class Which : std::int8_t {
    none,     ///< leave it
    body,     ///< the body's hole alone
    panel,    ///< the panel's hole alone
    both,     ///< each by itself
    together  ///< plug both, pack the panel as it must hang shut, and drill through both
};
/// "none", "body", "panel", "both", "together".
const char* word(Which which) noexcept;

/// What must be true afterwards, which uncertain edge its line is, and how far the stop's turn is usually out.
struct Target {
    hinge::Landing landing;
    std::size_t edge = kNoEdge;
    double turn_error_deg = 0.0;  ///< standard deviation, >= 0
};

/// A move and what it leaves.
struct Move {
    Which which = Which::none;
    Point panel;                  ///< how far to move the panel's hole, mm
    Point body;                   ///< and the body's
    std::vector<double> left;     ///< miss expected at each target afterwards, signed, mm
    std::vector<double> spread;   ///< its standard deviation; infinite where the readings do not tell
    double worst = 0.0;           ///< greatest breach expected, in tolerances
    double right_at_least = 0.0;  ///< share of cases in which every target comes within its tolerance, at least
};

/// The way a hole can go and no other: a slotted hole, or shims behind its plate.
struct Slot {
    Point direction;        ///< of `forward`, any length but zero; shut coordinates
    double forward = 0.0;   ///< how far it goes from where it stands, mm; >= 0
    double backward = 0.0;  ///< the other way
};

/// How a hole is moved.
struct Setting {
    double error = 0.4;  ///< of where the moved hole comes to lie along x and along y, standard deviation, mm; >= 0
    double packing =
        0.1;  ///< of how the panel is packed up shut before both holes are drilled through together, mm; >= 0
    /// Both holes are plugged and marked anew from the faces, so that where they are found to be does not matter;
    /// otherwise each is moved from where it stands. One hole alone is always moved from where it stands.
    bool anew = false;
    std::optional<Slot> panel_slot = std::nullopt;  ///< keeps the moves `panel` and `both`; not with `anew`
    std::optional<Slot> body_slot = std::nullopt;   ///< and `body` and `both`
};

/// The moves that are open, fewest holes first, and which is advised.
struct Correction {
    std::vector<Move> moves;  ///< none, body, panel, both, together, in this order, those allowed
    std::size_t advised = 0;
};

/// Shares of success nearer to each other than this count as the same, and the simpler move is advised.
inline constexpr double kSameShare = 0.002;

/// What to move so that every target is met. For one hole, or one through both, the shift whose worst expected miss, in
/// tolerances, is least (exactly, by the half-planes of the targets; the shortest such shift); for both the shortest
/// pair of shifts with the least sum of squared misses, in tolerances. The share is 1 less the sum of the shares in
/// which each single target is missed (Bonferroni), so a floor. Holes drilled through together are always marked anew.
/// Along a slot the same holds of the places it reaches.
/// \param allowed which moves are open besides `none`
/// \throws InvalidInput when there is no target, one has tolerance 0 or an edge there is none of, the setting error is
/// negative, a slot has no way or goes less than nothing, or both holes are marked anew though one has a slot
[[nodiscard]] Correction correct(const HolesFit& fit, std::span<const Target> targets, const Setting& setting,
                                 std::span<const Which> allowed);

/// How many readings of standard error `reading_error` to average before a hole is moved and set within
/// `setting_error`: the fewest with which one landing comes within `tolerance` in `share` of cases; where no number is
/// enough, the fewest with which it comes right within kLoss of as often as with perfect readings; at most 1000. From
/// |z| <= tolerance/sqrt(reading_error^2/n + setting_error^2) for one landing. \throws InvalidInput when an error is
/// negative, the tolerance not > 0 or the share not within 0 .. 1
[[nodiscard]] int readings_to_average(double reading_error, double setting_error, double tolerance,
                                      double share = 0.99);
/// One landing in a thousand: what a few readings less may cost; of all landings of a panel together, about one panel
/// in two hundred.
inline constexpr double kLoss = 0.001;

/// A size and its standard error.
struct Measured {
    double value = 0.0;
    double standard_error = 0.0;
};

/// A size that was measured before and is measured again: the mean of both by the inverses of their variances.
/// \param before        as it was; a standard error of 0 means it is known, and stays
/// \param again         readings of it, at least one
/// \param reading_error standard error of one of these, > 0
/// \throws InvalidInput when there is no reading or a number breaks its rule
[[nodiscard]] Measured measured_again(const Measured& before, std::span<const double> again, double reading_error);

/// Share of panels, hinged by one hole drilled through both parts with this standard deviation, that land within
/// tolerance at turns, one landing at each: sd 2 |sin(t/2)| deviation at each. The smallest of them: no skill passes
/// it, for the drill alone is the cause. \throws InvalidInput when there is no turn, or a number is out of range
[[nodiscard]] double drilling_ceiling(double deviation, double tolerance, std::span<const double> turns_deg);

// ---------------------------------------------------------------------------------------------- a pair of side pivots

/// How the right-hand end of a panel is out against the left at one turn.
struct PairAt {
    double turn_deg = 0.0;
    Point apart;             ///< where the right side's panel points come, less the left's, mm
    Covariance covariance;   ///< of apart
    double tilt_deg = 0.0;   ///< between pins and bores
    double clearance = 0.0;  ///< play across the diameter over the bush's length that hides the tilt, mm
    bool seen = false;       ///< more than the readings' own errors make in 19 of 20 cases
};

struct Pair {
    Point body;              ///< the right body hole out against the left one, mm
    Point panel;             ///< the right panel hole out against the left one, mm
    std::vector<PairAt> at;  ///< at each turn asked
    PairAt worst;            ///< the turn within the travel at which they are farthest apart
};

/// How far two side pivots are out of line, from what was found on both sides.
/// The right side comes to b - R(t) p against the left, with b and p the differences of the body's and of the panel's
/// holes. A stiff panel then leans its pins by |b - R p|/span in their bores; held square it is twisted by as much.
/// |b - R p|^2 = b^2 + p^2 - 2 |b||p| cos(t - angle(p, b)): the worst turn is exact (own derivation).
/// \param span between the two bushes, mm, > 0; bush_length > 0; travel from and to, degrees
/// \throws InvalidInput when a number is out of range
[[nodiscard]] Pair pair_out_of_line(const HolesFit& left, const HolesFit& right, double span, double bush_length,
                                    std::span<const double> turns_deg, double turn_from_deg, double turn_to_deg);

}  // namespace foldswing::fitting
