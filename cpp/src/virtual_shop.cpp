#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/clearance.hpp>
#include <foldswing/fitting.hpp>
#include <foldswing/virtual_shop.hpp>
#include <numbers>
#include <random>
#include <utility>

#include "check.hpp"

namespace foldswing::virtual_shop {
namespace {

using fitting::Which;
constexpr double kSagitta = 0.01;  // mm; of corners where the travel is tried, far below any error drawn
constexpr double kSillGap = 2.0;   // mm; least gap to the sill on the way
constexpr int kMostReadings = 100;
constexpr int kMostGates = 1000000;
constexpr int kMostTries = 10000;        // about one set of sizes in three will do
constexpr double kMayFail = 0.01;        // share of gates
constexpr double kLargestError = 100.0;  // mm, and degrees

/// Random numbers that are the same on every machine: the library's own distributions are not.
class Random {
  public:
    explicit Random(std::uint64_t seed) : bits_(seed) {}
    double between(double low, double high) { return low + (high - low) * unit(); }
    double normal() {
        if (spare_ready_) {
            spare_ready_ = false;
            return spare_;
        }
        // Box and Muller: 1 - unit() is never 0.
        const double r = std::sqrt(-2.0 * std::log(1.0 - unit()));
        const double angle = 2.0 * std::numbers::pi * unit();
        spare_ = r * std::sin(angle);
        spare_ready_ = true;
        return r * std::cos(angle);
    }
    Point normal_point() {
        const double x = normal();
        return {x, normal()};
    }

  private:
    double unit() { return std::ldexp(static_cast<double>(bits_() >> 11U), -53); }
    std::mt19937_64 bits_;
    double spare_ = 0.0;
    bool spare_ready_ = false;
};

/// A fixed edge whose place was measured.
enum Edge : std::uint8_t { nose_edge, sill_edge, head_edge, edges };

/// What must be true of a gate: at which stop, which panel point, to which line.
struct Asked {
    std::size_t stop;
    hinge::Landing landing;
    std::size_t edge;
};

std::array<double, 3> turns(const Drawn& d) { return {0.0, -d.opening_to_level, -d.opening_to_lean}; }

/// Gaps shut to nose, sill and head, a step and a gap to the nose at level, a gap to the nose leaning: as drawn.
std::vector<Asked> asked(const Drawn& d, double tolerance) {
    const gate::Sizes& s = d.sizes;
    const gate::Corners c = gate::corners(s);
    const auto turn = turns(d);
    const Point nose{-s.nose_behind_wall, 0.0};
    const Point face = c.upper_inner - c.lower_inner;
    const Point by_nose = c.lower_inner + ((nose.y - c.lower_inner.y) / face.y) * face;
    const Point below = c.lower_inner.y < c.lower_outer.y ? c.lower_inner : c.lower_outer;
    const Point top = c.upper_inner.y > c.upper_outer.y ? c.upper_inner : c.upper_outer;
    const hinge::Landing lean = gate::nose_gap_landing(s, d.opening_to_lean, 0.0, tolerance);
    return {{0, {turn[0], by_nose, {1.0, 0.0}, by_nose.x, tolerance}, nose_edge},
            {0, {turn[0], below, {0.0, 1.0}, below.y, tolerance}, sill_edge},
            {0, {turn[0], top, {0.0, -1.0}, -top.y, tolerance}, head_edge},
            {1, gate::face_landing(s, d.opening_to_level, 0.0, tolerance), fitting::kNoEdge},
            {1, gate::nose_gap_landing(s, d.opening_to_level, by_nose.x - nose.x, tolerance), nose_edge},
            {2, {turn[2], lean.point(), lean.normal(), lean.offset() + lean.miss(d.pivot), tolerance}, nose_edge}};
}

/// The gate as it really is: holes, edges and stops, each a little out.
struct Made {
    fitting::Holes holes;
    std::array<double, edges> edge{};  // each beyond where it was measured, along the normal of what is asked there
    std::array<double, 3> turn_deg{};
};

double really(const Asked& a, const Made& made) {
    const hinge::Landing now(made.turn_deg[a.stop], a.landing.point(), a.landing.normal(), a.landing.offset());
    return fitting::miss(now, made.holes) - (a.edge == fitting::kNoEdge ? 0.0 : made.edge[a.edge]);
}

/// The travel of a gate that was made, against worktop and sill where they really are.
class Travel {
  public:
    Travel(const Drawn& d, const Made& made, double paint_per_face)
        : panel_{gate::panel(d.sizes).outline(kSagitta)}, contact_(2.0 * paint_per_face), turn_(made.turn_deg.back()) {
        gate::Sizes site = d.sizes;
        site.nose_behind_wall -= made.edge[nose_edge];
        site.sill_below_worktop -= made.edge[sill_edge];
        bodies_ = {gate::worktop(site).outline(kSagitta), gate::sill(site).outline(kSagitta)};
    }
    [[nodiscard]] bool rubs(const fitting::Holes& holes) const {
        const Point shift = holes.body - holes.panel;
        const std::array<Outline, 1> hung{panel_.moved({shift.x, shift.y, 0.0})};
        const hinge::PivotHinge swing(holes.body, 0.0, turn_);
        return clearance::minimum_gap(hung, bodies_, swing).gap <= contact_;
    }

  private:
    Outline panel_;
    std::vector<Outline> bodies_;
    double contact_;
    double turn_;
};

bool right(const std::vector<Asked>& all, const Made& made, const Travel& travel) {
    return std::all_of(all.begin(), all.end(),
                       [&](const Asked& a) { return std::abs(really(a, made)) <= a.landing.tolerance(); }) &&
           !travel.rubs(made.holes);
}

/// The same draws for what is advised from readings and for what perfect knowledge advises.
struct Hand {
    Point panel;
    Point body;
    Point packing;
};

fitting::Holes moved(const fitting::Holes& holes, const fitting::Holes& found, const fitting::Move& m, double error,
                     double packing_error, bool anew, const Hand& hand) {
    fitting::Holes out = holes;
    if (m.which == Which::together) {
        out.body = found.body + m.body + error * hand.body;  // marked anew, from the faces
        out.panel = out.body + packing_error * hand.packing;
        return out;
    }
    if (m.which == Which::both && anew)
        return {found.panel + m.panel + error * hand.panel, found.body + m.body + error * hand.body};
    if (m.which == Which::body || m.which == Which::both) out.body = holes.body + m.body + error * hand.body;
    if (m.which == Which::panel || m.which == Which::both) out.panel = holes.panel + m.panel + error * hand.panel;
    return out;
}

/// As if every reading were perfect.
fitting::HolesFit known_exactly(const Drawn& d, const Made& made) {
    fitting::HolesFit fit;
    fit.status = fitting::HolesStatus::both;
    fit.holes = made.holes;
    fit.drawn = {d.pivot, d.pivot};
    fit.edges.assign(made.edge.begin(), made.edge.end());
    fit.turns_deg.assign(made.turn_deg.begin(), made.turn_deg.end());
    fit.turn_standard_errors.assign(made.turn_deg.size(), 0.0);
    fit.parameters = 4 + edges;
    fit.covariance.assign(fit.parameters * fit.parameters, 0.0);
    return fit;
}

void require_valid(const Shop& s) {
    const auto error = [](const char* name, double v) {
        detail::require(v > 0.0 && v <= kLargestError, name, v, "> 0, at most 100");
    };
    error("tape_error", s.tape_error);
    error("protractor_error_deg", s.protractor_error_deg);
    error("drilling_error", s.drilling_error);
    error("setting_error", s.setting_error);
    error("packing_error", s.packing_error);
    error("tolerance", s.tolerance);
    detail::require(s.paint_per_face >= 0.0 && s.paint_per_face <= kLargestError, "paint_per_face", s.paint_per_face,
                    "from 0 to 100");
    detail::require(s.design_readings >= 1 && s.design_readings <= kMostReadings, "design_readings", s.design_readings,
                    "from 1 to 100");
    detail::require(s.fit_readings >= 0 && s.fit_readings <= kMostReadings, "fit_readings", s.fit_readings,
                    "from 1 to 100, or 0: as advised");
}

void one_gate(const Shop& shop, std::uint64_t number, Tally& tally) {
    const Drawn d = random_gate(number);
    Random random(number ^ 0x9e3779b97f4a7c15ULL);  // any other stream than the one the sizes came from
    const std::vector<Asked> all = asked(d, shop.tolerance);
    const double site_error = shop.tape_error / std::sqrt(static_cast<double>(shop.design_readings));
    Made made;
    for (double& e : made.edge) e = site_error * random.normal();
    made.turn_deg = turns(d);
    for (std::size_t i = 1; i < made.turn_deg.size(); ++i)
        made.turn_deg[i] += shop.protractor_error_deg * random.normal();
    made.holes.body = d.pivot + shop.drilling_error * random.normal_point();
    made.holes.panel = shop.together ? made.holes.body + shop.packing_error * random.normal_point()
                                     : d.pivot + shop.drilling_error * random.normal_point();
    const Travel travel(d, made, shop.paint_per_face);
    ++tally.gates;
    tally.first_fit += right(all, made, travel) ? 1 : 0;
    tally.rubbed += travel.rubs(made.holes) ? 1 : 0;

    // Readings are averaged so that each landing fails in its equal part of one case in a hundred.
    const double share = 1.0 - kMayFail / static_cast<double>(all.size());
    std::array<double, 3> turn_noise{};
    for (double& z : turn_noise) z = random.normal();
    std::vector<double> noise;
    for (std::size_t i = 0; i < all.size(); ++i) noise.push_back(random.normal());
    std::array<double, edges> edge_noise{};
    for (double& z : edge_noise) z = random.normal();
    // Read, the edges measured again as often, and found by what a shop knows of itself.
    const auto read = [&](double setting_error) {
        const int n = shop.fit_readings > 0
                          ? shop.fit_readings
                          : fitting::readings_to_average(shop.tape_error, setting_error, shop.tolerance, share);
        const double root = std::sqrt(static_cast<double>(n));
        const double angle_error = shop.protractor_error_deg / root;
        std::vector<fitting::Stop> stops{{0.0, 0.0}};
        for (std::size_t i = 1; i < made.turn_deg.size(); ++i)
            stops.push_back({made.turn_deg[i] + angle_error * turn_noise[i], angle_error});
        const double again = shop.tape_error / root;
        std::array<double, edges> edge{};
        std::vector<double> edge_errors;
        for (std::size_t i = 0; i < edges; ++i) {
            const std::array<double, 1> mean{made.edge[i] + again * edge_noise[i]};
            const fitting::Measured now = fitting::measured_again({0.0, site_error}, mean, again);
            edge[i] = now.value;
            edge_errors.push_back(now.standard_error);
        }
        fitting::Known known{std::move(edge_errors), shop.drilling_error};
        if (shop.together) known.apart_error = shop.packing_error;
        std::vector<fitting::Reading> readings;
        for (std::size_t i = 0; i < all.size(); ++i) {
            const hinge::Landing& l = all[i].landing;
            const double stands = really(all[i], made) + again * noise[i];
            const double found_at = all[i].edge == fitting::kNoEdge ? 0.0 : edge[all[i].edge];
            readings.push_back({all[i].stop, l.point(), l.normal(), l.offset() + found_at, stands, again, all[i].edge});
        }
        fitting::HolesFit fit = fitting::fit_holes(readings, stops, {d.pivot, d.pivot}, known);
        for (std::size_t i = 0; i < edges; ++i) fit.edges[i] += edge[i];
        return fit;
    };
    const fitting::HolesFit to_adjust = read(shop.setting_error);
    const fitting::HolesFit to_drill = read(shop.drilling_error);
    const fitting::HolesFit exact = known_exactly(d, made);
    const Hand hand{random.normal_point(), random.normal_point(), random.normal_point()};

    std::pair<Which, bool> last{Which::none, false};
    const auto after = [&](const fitting::HolesFit& fit, double error, bool anew, const std::vector<Which>& allowed) {
        // The stops stay where they are: what must be true there is asked at the turns that were found.
        std::vector<fitting::Target> targets;
        for (const Asked& a : all) {
            const hinge::Landing& l = a.landing;
            targets.push_back({{fit.turns_deg[a.stop], l.point(), l.normal(), l.offset(), l.tolerance()},
                               a.edge,
                               fit.turn_standard_errors[a.stop]});
        }
        const fitting::Correction fix = fitting::correct(fit, targets, {error, shop.packing_error, anew}, allowed);
        Made then = made;
        then.holes = moved(made.holes, fit.holes, fix.moves[fix.advised], error, shop.packing_error, anew, hand);
        const bool good = right(all, then, travel);
        last = {fix.moves[fix.advised].which, good};
        return good ? 1 : 0;
    };
    const std::vector<Which> either{Which::body, Which::panel};
    const std::vector<Which> adjusters{Which::body, Which::panel, Which::both};
    const std::vector<Which> drills{Which::body, Which::panel, Which::both, Which::together};
    const std::vector<Which> through{Which::together};
    tally.adjusted += after(to_adjust, shop.setting_error, false, adjusters);
    tally.adjusted_ceiling += after(exact, shop.setting_error, false, adjusters);
    tally.one_adjuster += after(to_adjust, shop.setting_error, false, either);
    tally.redrilled += after(to_drill, shop.drilling_error, true, drills);
    tally.redrilled_ceiling += after(exact, shop.drilling_error, true, drills);
    tally.through += after(to_drill, shop.drilling_error, true, through);
    tally.through_ceiling += after(exact, shop.drilling_error, true, through);
    tally.through_drilled += last.first == Which::together ? 1 : 0;
    tally.through_drilled_right += last.first == Which::together && last.second ? 1 : 0;
}

}  // namespace

namespace {

/// Gives the gate the smallest lower corner radii, in tenths of its thickness, that keep it clear of worktop and sill;
/// false where none do.
bool rounded(Drawn& d, double moving) {
    gate::Sizes& s = d.sizes;
    const std::array<Outline, 1> worktop{gate::worktop(s).outline(kSagitta)};
    const std::array<Outline, 1> sill{gate::sill(s).outline(kSagitta)};
    const hinge::PivotHinge swing(d.pivot, 0.0, -d.opening_to_lean);
    for (int inner = 1; inner <= 7; ++inner)
        for (int outer = 0; outer <= std::min(4, 9 - inner); ++outer) {
            s.lower_inner_radius = 0.1 * inner * s.thickness;
            s.lower_outer_radius = 0.1 * outer * s.thickness;
            const std::array<Outline, 1> panel{gate::panel(s).outline(kSagitta)};
            if (clearance::minimum_gap(panel, worktop, swing).gap >= moving &&
                clearance::minimum_gap(panel, sill, swing).gap >= kSillGap)
                return true;
        }
    return false;
}

}  // namespace

Drawn random_gate(std::uint64_t number) {
    Random random(number);
    for (int tries = kMostTries;; --tries) {
        Drawn d;
        gate::Sizes& s = d.sizes;
        s.thickness = random.between(22.0, 45.0);
        s.height = random.between(250.0, 500.0);
        s.lean_deg = random.between(-5.0, 5.0);
        s.worktop_fall_deg = random.between(0.0, 2.0);
        const double inside = random.between(0.5 * s.thickness, s.thickness - 8.0);  // metal for a bush of 12 and some
        s.lower_edge_below_worktop = 2.0 * inside;
        const double moving = random.between(2.0, 3.0);
        const double nose_gap = moving + random.between(0.0, 2.0);
        s.nose_depth = random.between(30.0, 50.0);
        s.worktop_above_floor = 900.0;
        s.jamb_depth = 60.0;
        s.sill_below_worktop = s.lower_edge_below_worktop + random.between(3.0, 6.0);
        s.head_above_worktop = s.height;
        s.nose_behind_wall = 0.0;
        const gate::Corners c = gate::corners(s);
        s.head_above_worktop = std::max(c.upper_inner.y, c.upper_outer.y) + random.between(3.0, 6.0);
        const Point face = c.upper_inner - c.lower_inner;
        s.nose_behind_wall = nose_gap - (c.lower_inner.x - c.lower_inner.y / face.y * face.x);
        d.opening_to_level = gate::opening_in_line(s);
        d.opening_to_lean = d.opening_to_level + random.between(20.0, 40.0);
        const std::array<hinge::Landing, 2> stops{gate::face_landing(s, d.opening_to_level, 0.0, 1.0),
                                                  gate::nose_gap_landing(s, d.opening_to_level, nose_gap, 1.0)};
        d.pivot = hinge::solve_pivot(stops).pivot;
        if (rounded(d, moving) || tries == 0) return d;  // what no radius cures is drawn with other sizes
    }
}

Tally run(const Shop& shop, int gates, std::uint64_t seed) {
    require_valid(shop);
    detail::require(gates >= 1 && gates <= kMostGates, "gates", gates, "from 1 to 1000000");
    Tally tally;
    for (int i = 0; i < gates; ++i) one_gate(shop, seed + static_cast<std::uint64_t>(i), tally);
    return tally;
}

}  // namespace foldswing::virtual_shop
