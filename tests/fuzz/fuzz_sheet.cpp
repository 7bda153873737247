// Arcs, bends and blanks.
#include <foldswing/arc.hpp>
#include <foldswing/bend.hpp>
#include <foldswing/bend_check.hpp>
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
    const double flat = in.number();
    const double leg = in.number();
    fuzz::call([&] { (void)bend::deduction_from_coupon(flat, leg, k); });
    fuzz::call([&] { (void)bend::allowance_from_coupon(flat, leg, k, angle, radius, thickness, measured); });
    fuzz::call([&] { (void)bend::k_factor_from_coupon(flat, leg, k, angle, radius, thickness, measured); });
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
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {arcs, fits, layers, bends, checks});
}
