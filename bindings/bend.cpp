#include <foldswing/bend.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace bend = foldswing::bend;
using bend::Measured;
using door::Kind;

namespace {

// A closed form takes numbers only, so each way of measuring is a function of its own; the front picks by the word.
template <Measured M>
double k_factor_from_coupon(double flat, double leg_a, double leg_b, double angle, double radius, double thickness) {
    return bend::k_factor_from_coupon(flat, leg_a, leg_b, angle, radius, thickness, M);
}
template <Measured M>
double allowance_from_coupon(double flat, double leg_a, double leg_b, double angle, double radius, double thickness) {
    return bend::allowance_from_coupon(flat, leg_a, leg_b, angle, radius, thickness, M);
}

constexpr door::Arg angle{"angle_deg", Kind::angle};
constexpr door::Arg radius{"radius", Kind::length};
constexpr door::Arg thickness{"thickness", Kind::length};
constexpr door::Arg k_factor{"k_factor", Kind::number};

template <Measured M>
void coupon(pybind11::module_& topic, const std::string& word) {
    const std::array<door::Arg, 6> args{
        {{"flat_length", Kind::length}, {"leg_a", Kind::length}, {"leg_b", Kind::length}, angle, radius, thickness}};
    door::closed_form(topic, ("k_factor_from_coupon_" + word).c_str(), &k_factor_from_coupon<M>, args);
    door::closed_form(topic, ("allowance_from_coupon_" + word).c_str(), &allowance_from_coupon<M>, args);
}

}  // namespace

void bind_bend(pybind11::module_& m) {
    auto topic = m.def_submodule("bend");
    door::closed_form(topic, "bend_angle_from_included", &bend::bend_angle_from_included,
                      {{{"included_deg", Kind::angle}}});
    door::closed_form(topic, "bend_allowance", &bend::bend_allowance, {{angle, radius, thickness, k_factor}});
    door::closed_form(topic, "setback", &bend::setback, {{angle, radius, thickness}});
    door::closed_form(topic, "inside_setback", &bend::inside_setback, {{angle, radius}});
    door::closed_form(topic, "bend_deduction", &bend::bend_deduction, {{angle, radius, thickness, k_factor}});
    door::closed_form(topic, "k_factor_constant", &bend::k_factor_constant,
                      {{radius, thickness, {"constant", Kind::number}}});
    door::closed_form(topic, "k_factor_din6935", &bend::k_factor_din6935, {{radius, thickness}});
    door::closed_form(topic, "k_factor_from_allowance", &bend::k_factor_from_allowance,
                      {{{"allowance", Kind::length}, angle, radius, thickness}});
    door::closed_form(topic, "k_factor_from_deduction", &bend::k_factor_from_deduction,
                      {{{"deduction", Kind::length}, angle, radius, thickness}});
    door::closed_form(topic, "deduction_from_coupon", &bend::deduction_from_coupon,
                      {{{"flat_length", Kind::length}, {"leg_a", Kind::length}, {"leg_b", Kind::length}}});
    coupon<Measured::outside>(topic, "outside");
    coupon<Measured::inside>(topic, "inside");
    coupon<Measured::flat>(topic, "flat");
    coupon<Measured::overall>(topic, "overall");
}
