#include "bend.hpp"

#include "batch.hpp"
#include "bend_docs.hpp"
#include "bend_rule.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace bend = foldswing::bend;
using bend::Basis;
using bend::Coupon;
using bend::Measured;
using door::Kind;

namespace door {

Measured measured(const std::string& word) {
    if (word == "outside") return Measured::outside;
    if (word == "inside") return Measured::inside;
    if (word == "flat") return Measured::flat;
    if (word == "overall") return Measured::overall;
    throw foldswing::InvalidInput("measured", "'" + word + "'", "'outside', 'inside', 'flat' or 'overall'");
}

const char* measured_word(Measured m) noexcept {
    switch (m) {
        case Measured::outside:
            return "outside";
        case Measured::inside:
            return "inside";
        case Measured::overall:
            return "overall";
        case Measured::flat:
            break;
    }
    return "flat";
}

double turned(py::handle angle_deg, py::handle included_deg) {
    if (angle_deg.is_none() == included_deg.is_none())
        throw foldswing::InvalidInput("angle_deg", included_deg.is_none() ? "neither" : "both",
                                      "given (the angle turned through), or included_deg in its place");
    if (included_deg.is_none()) return scalar(angle_deg, {"angle_deg", Kind::angle});
    return bend::bend_angle_from_included(scalar(included_deg, {"included_deg", Kind::angle}));
}

Basis basis(py::handle k_factor, py::handle deduction, py::handle allowance, py::handle coupon) {
    Basis out;
    int given = 0;
    const auto take = [&](py::handle h, Arg arg, Basis::Kind kind) {
        if (h.is_none()) return;
        out = {kind, scalar(h, arg)};
        ++given;
    };
    take(k_factor, {"k_factor", Kind::number}, Basis::Kind::k_factor);
    take(deduction, {"deduction", Kind::length}, Basis::Kind::deduction);
    take(allowance, {"allowance", Kind::length}, Basis::Kind::allowance);
    if (!coupon.is_none()) {
        if (!py::isinstance<Coupon>(coupon))
            throw foldswing::InvalidInput("coupon", py::cast<std::string>(py::repr(coupon)).substr(0, 80), "a Coupon");
        out = {Basis::Kind::k_factor, py::cast<const Coupon&>(coupon).k_factor()};
        ++given;
    }
    if (given > 1)
        throw foldswing::InvalidInput("k_factor", std::to_string(given) + " of them",
                                      "the only one given of k_factor, deduction, allowance and coupon");
    return out;
}

py::object basis_value(const Basis& basis, Basis::Kind kind) {
    if (basis.kind != kind) return py::none();
    return py::float_(basis.value);
}

}  // namespace door

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

Coupon make_coupon(py::handle flat_length, py::handle leg_a, py::handle leg_b, py::handle radius_in,
                   py::handle thickness_in, py::handle angle_deg, const std::string& measured,
                   py::handle included_deg) {
    const bool square = angle_deg.is_none() && included_deg.is_none();
    const Coupon coupon{door::scalar(flat_length, {"flat_length", Kind::length}),
                        door::scalar(leg_a, {"leg_a", Kind::length}),
                        door::scalar(leg_b, {"leg_b", Kind::length}),
                        door::scalar(radius_in, radius),
                        door::scalar(thickness_in, thickness),
                        square ? 90.0 : door::turned(angle_deg, included_deg),
                        door::measured(measured)};
    (void)coupon.k_factor();  // refused now, not when it is used
    return coupon;
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

    py::class_<Coupon> strip(topic, "Coupon", coupon_doc);
    strip
        .def(py::init(&make_coupon), py::arg("flat_length"), py::arg("leg_a"), py::arg("leg_b"), py::arg("radius"),
             py::arg("thickness"), py::arg("angle_deg") = py::none(), py::arg("measured") = "outside", py::kw_only(),
             py::arg("included_deg") = py::none())
        .def_readonly("flat_length", &Coupon::flat_length)
        .def_readonly("leg_a", &Coupon::leg_a)
        .def_readonly("leg_b", &Coupon::leg_b)
        .def_readonly("radius", &Coupon::radius)
        .def_readonly("thickness", &Coupon::thickness)
        .def_readonly("angle_deg", &Coupon::angle_deg)
        .def_property_readonly("measured", [](const Coupon& c) { return door::measured_word(c.measured); })
        .def_property_readonly("allowance", &Coupon::allowance)
        .def_property_readonly("k_factor", &Coupon::k_factor);
    door::finish_value(strip, {"flat_length", "leg_a", "leg_b", "radius", "thickness", "angle_deg", "measured"});
    bind_bend_rule(topic);
}
