// Arcs, bends and blanks.
#include <array>
#include <foldswing/arc.hpp>
#include <foldswing/bend.hpp>
#include <foldswing/bend_check.hpp>
#include <foldswing/bend_rule.hpp>
#include <foldswing/calibration.hpp>
#include <foldswing/carry.hpp>
#include <foldswing/curved_flange.hpp>
#include <foldswing/edge_finish.hpp>
#include <foldswing/tray.hpp>
#include <vector>

#include "bytes.hpp"

namespace {
using namespace foldswing;
namespace check = foldswing::bend_check;

void arcs(fuzz::Bytes& in) {
    const double a = in.number();
    const double b = in.number();
    const double c = in.number();
    const double d = in.number();
    fuzz::call([&] { fuzz::require(arc::radius(a, b) >= 0.0); });
    for (const auto f : {arc::curvature, arc::rise, arc::rise_major, arc::length, arc::angle_deg, arc::chord})
        fuzz::call([&] { fuzz::require(f(a, b) >= 0.0); });
    for (const auto f : {arc::height, arc::along}) fuzz::call([&] { fuzz::require(!std::isnan(f(a, b, c))); });
    for (const auto f : {arc::radius_standard_error, arc::radius_smallest, arc::radius_largest})
        fuzz::call([&] { fuzz::require(!std::isnan(f(a, b, c, d))); });
    arc::Known known;
    for (auto* field : {&known.chord, &known.rise, &known.radius, &known.length, &known.angle_deg})
        if (in.below(3) == 0) *field = in.number();
    fuzz::require(!arc::explain(known, arc::solve(known)).empty());
}

void fits(fuzz::Bytes& in) {
    fuzz::call([&] { (void)arc::from_points(in.point(), in.point(), in.point()); });
    const auto method = static_cast<arc::FitMethod>(in.below(5));
    std::optional<double> reading_error;
    if (in.flag()) reading_error = in.number();
    const std::vector<Point> points = in.points(10);
    const arc::Fit fit = arc::fit(points, method, reading_error);
    fuzz::require(fit.residuals.size() == points.size() && !fit.explanation.empty());
}

void layers(fuzz::Bytes& in) {
    const double radius = in.number();
    const double angle = in.number();
    const arc::Face from = in.flag() ? arc::Face::outside : arc::Face::inside;
    const std::vector<double> thicknesses = in.numbers(4);
    fuzz::require(arc::layers(radius, thicknesses, angle, from).size() == thicknesses.size());
}

void bends(fuzz::Bytes& in) {
    const double angle = in.number();
    const double radius = in.number();
    const double thickness = in.number();
    const double k = in.number();
    fuzz::call([&] { fuzz::require(bend::bend_allowance(angle, radius, thickness, k) >= 0.0); });
    fuzz::call([&] { fuzz::require(bend::setback(angle, radius, thickness) >= 0.0); });
    fuzz::call([&] { fuzz::require(bend::inside_setback(angle, radius) >= 0.0); });
    fuzz::call([&] { (void)bend::bend_deduction(angle, radius, thickness, k); });
    fuzz::call([&] { (void)bend::bend_angle_from_included(angle); });
    fuzz::call([&] { (void)bend::k_factor_constant(radius, thickness, k); });
    fuzz::call([&] { (void)bend::k_factor_din6935(radius, thickness); });
    fuzz::call([&] { (void)bend::k_factor_from_allowance(k, angle, radius, thickness); });
    fuzz::call([&] { (void)bend::k_factor_from_deduction(k, angle, radius, thickness); });
    const auto measured = static_cast<bend::Measured>(in.below(4));
    const bend::Basis basis{static_cast<bend::Basis::Kind>(in.below(4)), k};
    fuzz::call([&] { (void)bend::end_correction(measured, angle, radius, thickness); });
    fuzz::call([&] { (void)bend::allowance(angle, radius, thickness, basis); });
    const bend::Rule rule = bend::kRules[in.below(bend::kRules.size())];
    fuzz::call([&] { (void)bend::k_factor_by_rule(rule, radius, thickness); });
    fuzz::call([&] { (void)bend::range(rule, angle, radius, thickness); });
    fuzz::call([&] { fuzz::require(!bend::spread(angle, radius, thickness).bends.empty()); });
    const double flat = in.number();
    const double leg = in.number();
    fuzz::call([&] { (void)bend::deduction_from_coupon(flat, leg, k); });
    fuzz::call([&] { (void)bend::allowance_from_coupon(flat, leg, k, angle, radius, thickness, measured); });
    fuzz::call([&] { (void)bend::k_factor_from_coupon(flat, leg, k, angle, radius, thickness, measured); });
    const std::array<bend::Coupon, 2> strips{bend::Coupon{flat, leg, k, radius, thickness, angle, measured},
                                             bend::Coupon{flat, leg, leg, leg, thickness, angle, measured}};
    const bend::ReadingErrors errors{in.number(), in.number(), in.number(), in.number()};
    const bool curve = in.flag();
    fuzz::call([&] { (void)bend::calibrate(strips, errors, curve).at(radius, thickness); });
}

void checks(fuzz::Bytes& in) {
    const double angle = in.number();
    const double radius = in.number();
    const double thickness = in.number();
    const double a = in.number();
    const double b = in.number();
    const auto grain = static_cast<check::Grain>(in.below(2));
    const std::vector<check::RadiusRow> radii{{a, radius, b}, {b, a, radius, thickness}};
    const std::vector<check::FactorRow> factors{{a, b}, {b, a}};
    fuzz::call([&] { (void)check::least_radius(radii, thickness, grain, angle); });
    fuzz::call([&] { fuzz::require(check::least_radius_from_reduction(a, thickness) >= 0.0); });
    fuzz::call([&] { (void)check::check_radius(radius, a, grain); });
    fuzz::call([&] { fuzz::require(check::v_opening(thickness) > 0.0); });
    fuzz::call([&] { fuzz::require(check::least_flange(a) > check::formed_radius(a)); });
    fuzz::call([&] { (void)check::check_flange(radius, a); });
    fuzz::call([&] { (void)check::check_grip(radius, thickness, a); });
    fuzz::call([&] { (void)check::check_hole(radius, thickness, a > b); });
    fuzz::call([&] { (void)check::check_relief(a, radius, thickness); });
    fuzz::call([&] { (void)check::check_angle(angle, a); });
    fuzz::call([&] { fuzz::require(check::air_bend_force(a, b, thickness, radius, angle) >= 0.0); });
    fuzz::call([&] { fuzz::require(check::springback_ratio(radius, thickness, a, b) >= 0.0); });
    fuzz::call([&] { (void)check::springback_factor(factors, radius, thickness); });
    fuzz::call([&] { fuzz::require(check::over_bend(angle, radius, thickness, a).extra_deg >= 0.0); });
    fuzz::call([&] { fuzz::require(check::over_bend_by_stiffness(angle, radius, thickness, a, b).extra_deg >= 0.0); });
}

/// A shop size most of the time, so that something comes of it.
double size(fuzz::Bytes& in) { return in.below(8) == 0 ? in.number() : 0.25 * in.byte(); }

blank::Metal metal(fuzz::Bytes& in) {
    return {0.05 * in.byte(), 0.05 * in.byte(), {static_cast<bend::Basis::Kind>(in.below(4)), in.byte() / 256.0}};
}

void carried(fuzz::Bytes& in) {
    const blank::Metal m = metal(in);
    std::vector<blank::Part> parts{blank::Flat{size(in)}};
    for (std::size_t n = in.below(4); n > 0; --n) {
        const auto way = in.flag() ? blank::Direction::up : blank::Direction::down;
        parts.emplace_back(
            blank::Bend{in.below(4) == 0 ? in.number() : static_cast<double>(in.below(181)), m.radius, way, m.basis});
        parts.emplace_back(blank::Flat{size(in), blank::Measured::flat, blank::Measured::flat});
    }
    const blank::Profile profile(parts, m.thickness);
    const blank::FoldMap map(profile, in.below(3));
    const auto face = in.flag() ? blank::Face::upper : blank::Face::lower;
    const double along = profile.developed_length() * (in.byte() / 255.0);
    const Point at = map.to_folded(along, face);
    const double within = 1e-9 * (1.0 + profile.developed_length() + std::hypot(at.x, at.y));
    fuzz::require(!map.to_blank(at, face, within).empty());
    fuzz::call([&] { (void)map.to_blank(in.point(), face, in.number()); });
    fuzz::call([&] { (void)map.to_face(in.number(), face); });
    fuzz::call([&] { (void)map.from_face(in.number(), face); });
    fuzz::call([&] {
        const Path path({in.point(), in.point(), in.point()}, {in.number(), 0.0});
        (void)map.path_from_face(path, face, 1.0);
        (void)map.path_to_face(path, face, 1.0);
    });
}

void trays(fuzz::Bytes& in) {
    const blank::Metal m = metal(in);
    blank::TraySize asked;
    asked.length = 2.0 * size(in);
    asked.width = 2.0 * size(in);
    for (double& d : asked.depth) d = in.below(4) == 0 ? 0.0 : size(in);
    for (auto& lip : asked.returns)
        if (in.flag()) lip = blank::Return{0.25 * size(in), in.below(4) == 0 ? in.number() : 90.0, in.flag()};
    asked.thickness = m.thickness;
    asked.radius = m.radius;
    asked.basis = m.basis;
    asked.notch = static_cast<blank::Notch>(in.below(3));
    asked.corner_gap = 0.1 * in.byte();
    asked.relief = static_cast<blank::Relief>(in.below(4));
    asked.relief_size = 0.25 * size(in);
    asked.relief_past = 0.25 * size(in);
    for (auto& lapped : asked.lapped) lapped = in.below(4) == 0;
    asked.lap_width = size(in);
    asked.lap_holes = in.below(3);
    asked.lap_hole_diameter = 3.0;
    const blank::Tray tray(asked);
    fuzz::require(!tray.explanation().empty());
    const auto side = static_cast<blank::Side>(in.below(4));
    const auto panel = static_cast<blank::TrayPanel>(in.below(3));
    fuzz::call([&] {
        const Point at = tray.place(panel, side, size(in), size(in));
        const blank::SpacePoint folded = tray.to_folded(at, blank::Face::lower);
        fuzz::require(!tray.to_blank(folded, blank::Face::lower, 1e-6).empty());
    });
}

void edges(fuzz::Bytes& in) {
    const blank::Metal m = metal(in);
    const double a = size(in);
    const double b = size(in);
    const double k = m.basis.value;
    fuzz::call([&] { (void)blank::joggle(a, size(in), size(in), b, m); });
    fuzz::call([&] { (void)blank::hat(a, b, size(in), m); });
    fuzz::call([&] { (void)blank::lipped_channel(a, b, size(in), m); });
    fuzz::call([&] {
        const auto hem = blank::hem(static_cast<blank::Hem>(in.below(4)), a, b, m.thickness, k);
        (void)blank::finished(blank::angle_section(size(in), size(in), m), hem, {});
    });
    fuzz::call([&] { (void)blank::wired_edge(a, m.thickness, k, in.number()); });
    fuzz::call([&] { (void)blank::lock_seam(static_cast<blank::Seam>(in.below(2)), a, m.thickness, k); });
    fuzz::call([&] { (void)blank::tabs_and_slots(4.0 * a, in.below(9), b, m.thickness, m.thickness, 0.0, k); });
    blank::CurvedFlangeSize flange;
    flange.curve = in.flag() ? blank::Curve::hollow : blank::Curve::bulging;
    flange.radius_in_plan = 4.0 * size(in);
    flange.arc_deg = in.below(4) == 0 ? in.number() : 360.0 * (in.byte() / 255.0);
    flange.depth = size(in);
    flange.angle_deg = in.flag() ? 90.0 : in.number();
    flange.strain_limit = in.byte() / 512.0;
    const auto made = blank::curved_flange(flange, m);
    fuzz::require(!made.explanation.empty() && std::isfinite(made.strain));
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {arcs, fits, layers, bends, checks, carried, trays, edges});
}
