#include <foldswing/bend_check.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace check = foldswing::bend_check;
using door::Kind;

namespace {

constexpr door::Arg angle{"angle_deg", Kind::angle};
constexpr door::Arg radius{"radius", Kind::length};
constexpr door::Arg thickness{"thickness", Kind::length};
constexpr door::Arg opening{"opening", Kind::length};
constexpr door::Arg yield_strength{"yield_strength", Kind::number};
constexpr door::Arg modulus{"modulus", Kind::number};

double number(py::handle h, door::Arg arg) { return door::scalar(h, arg); }

check::Grain grain(const std::string& word) {
    if (word == "across") return check::Grain::across;
    if (word == "along") return check::Grain::along;
    throw foldswing::InvalidInput("grain", "'" + word + "'", "'across' or 'along', as the bend line runs to the grain");
}

py::tuple out(const check::Check& c) {
    return py::make_tuple(check::word(c.outcome), c.needed, c.there, c.what, c.number, c.feel, c.advice);
}
py::tuple out(const check::OverBend& o) { return py::make_tuple(o.factor, o.angle_deg, o.extra_deg, o.radius); }

}  // namespace

void bind_bend_check(py::module_& m) {
    auto topic = m.def_submodule("bend_check");
    door::closed_form(topic, "least_radius_from_reduction", &check::least_radius_from_reduction,
                      {{{"reduction_percent", Kind::number}, thickness}});
    door::closed_form(topic, "v_opening", &check::v_opening, {{thickness}});
    door::closed_form(topic, "least_flange", &check::least_flange, {{opening}});
    door::closed_form(topic, "formed_radius", &check::formed_radius, {{opening}});
    door::closed_form(
        topic, "air_bend_force", &check::air_bend_force,
        {{{"strength", Kind::number}, {"length", Kind::length}, thickness, opening, {"k", Kind::number}}});
    door::closed_form(topic, "relief_diameter", &check::relief_diameter, {{radius, thickness}});
    door::closed_form(topic, "springback_ratio", &check::springback_ratio,
                      {{{"tool_radius", Kind::length}, thickness, yield_strength, modulus}});
    topic.def(
        "least_radius",
        [](const std::vector<std::array<double, 4>>& rows, py::handle t, const std::string& runs, py::handle a) {
            std::vector<check::RadiusRow> table;
            table.reserve(rows.size());
            for (const auto& [up_to, least, times_t, along] : rows) table.push_back({up_to, least, times_t, along});
            return check::least_radius(table, number(t, thickness), grain(runs), number(a, angle));
        },
        py::arg("rows"), py::arg("thickness"), py::arg("grain"), py::arg("angle_deg"));
    topic.def(
        "springback_factor",
        [](const std::vector<std::array<double, 2>>& rows, py::handle r, py::handle t) {
            std::vector<check::FactorRow> table;
            table.reserve(rows.size());
            for (const auto& [ratio, factor] : rows) table.push_back({ratio, factor});
            return check::springback_factor(table, number(r, radius), number(t, thickness));
        },
        py::arg("rows"), py::arg("radius"), py::arg("thickness"));
    topic.def(
        "over_bend",
        [](py::handle a, py::handle r, py::handle t, py::handle factor) {
            return out(check::over_bend(number(a, angle), number(r, radius), number(t, thickness),
                                        number(factor, {"factor", Kind::number})));
        },
        py::arg("angle_deg"), py::arg("radius"), py::arg("thickness"), py::arg("factor"));
    topic.def(
        "over_bend_by_stiffness",
        [](py::handle a, py::handle r, py::handle t, py::handle y, py::handle e) {
            return out(check::over_bend_by_stiffness(number(a, angle), number(r, radius), number(t, thickness),
                                                     number(y, yield_strength), number(e, modulus)));
        },
        py::arg("angle_deg"), py::arg("radius"), py::arg("thickness"), py::arg("yield_strength"), py::arg("modulus"));
    topic.def(
        "check_radius",
        [](py::handle r, double least, const std::string& runs) {
            return out(check::check_radius(number(r, radius), least, grain(runs)));
        },
        py::arg("radius"), py::arg("least"), py::arg("grain"));
    topic.def(
        "check_flange",
        [](py::handle flange, py::handle v) {
            return out(check::check_flange(number(flange, {"flange", Kind::length}), number(v, opening)));
        },
        py::arg("flange"), py::arg("opening"));
    topic.def(
        "check_grip",
        [](py::handle flange, py::handle t, py::handle least) {
            return out(check::check_grip(number(flange, {"flange", Kind::length}), number(t, thickness),
                                         number(least, {"least", Kind::length})));
        },
        py::arg("flange"), py::arg("thickness"), py::arg("least"));
    topic.def(
        "check_hole",
        [](py::handle clear, py::handle t, bool countersunk) {
            return out(check::check_hole(number(clear, {"clear", Kind::length}), number(t, thickness), countersunk));
        },
        py::arg("clear"), py::arg("thickness"), py::arg("countersunk"));
    topic.def(
        "check_relief",
        [](py::handle size, py::handle r, py::handle t) {
            return out(
                check::check_relief(number(size, {"size", Kind::length}), number(r, radius), number(t, thickness)));
        },
        py::arg("size"), py::arg("radius"), py::arg("thickness"));
    topic.def(
        "check_angle",
        [](py::handle on_tool, py::handle most) {
            return out(
                check::check_angle(number(on_tool, {"on_tool", Kind::angle}), number(most, {"most", Kind::angle})));
        },
        py::arg("on_tool"), py::arg("most"));
}
