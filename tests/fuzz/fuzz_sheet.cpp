// Arcs, bends and blanks.
#include <foldswing/arc.hpp>
#include <foldswing/bend.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

void arcs(fuzz::Bytes& in) {
    const double chord = in.number();
    fuzz::require(arc::radius(chord, in.number()) >= 0.0);
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
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {arcs, bends});
}
