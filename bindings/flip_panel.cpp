#include <foldswing/flip_panel.hpp>

#include "sizes.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace flip = foldswing::flip_panel;
using door::Kind;
using flip::Sizes;

namespace {

constexpr std::array<door::SizeField<Sizes>, 10> kFields{{
    {{"length", Kind::length}, &Sizes::length, true},
    {{"depth", Kind::length}, &Sizes::depth, true},
    {{"skin_thickness", Kind::length}, &Sizes::skin_thickness, true},
    {{"corner_radius", Kind::length}, &Sizes::corner_radius, false},
    {{"gap", Kind::length}, &Sizes::gap, true},
    {{"return_depth", Kind::length}, &Sizes::return_depth, true},
    {{"slope_deg", Kind::angle}, &Sizes::slope_deg, false},
    {{"pivot_from_edge", Kind::length}, &Sizes::pivot_from_edge, true},
    {{"pivot_behind_skin", Kind::length}, &Sizes::pivot_behind_skin, true},
    {{"ear_radius", Kind::length}, &Sizes::ear_radius, false},
}};

flip::Way way_of(const std::string& opens) {
    if (opens == "down") return flip::Way::down;
    if (opens == "up") return flip::Way::up;
    throw foldswing::InvalidInput("opens", "'" + opens + "'", "'down' or 'up'");
}

}  // namespace

void bind_flip_panel(py::module_& m) {
    auto topic = m.def_submodule("flip_panel");
    door::bind_sizes(topic, kFields);
    topic.def("panel", &flip::panel, py::arg("sizes"));
    topic.def("hinged_side", &flip::hinged_side, py::arg("sizes"));
    topic.def("free_side", &flip::free_side, py::arg("sizes"));
    topic.def(
        "pivot", [](const Sizes& s) { return door::point_array(flip::pivot(s)); }, py::arg("sizes"));
    topic.def(
        "opening_to_upright",
        [](const Sizes& s, const std::string& opens) { return flip::opening_to_upright(s, way_of(opens)); },
        py::arg("sizes"), py::arg("opens"));
    topic.def(
        "inner_face_looks",
        [](const Sizes& s, const std::string& opens, py::handle opening_deg) {
            return flip::inner_face_looks(s, way_of(opens), door::scalar(opening_deg, {"opening_deg", Kind::angle}));
        },
        py::arg("sizes"), py::arg("opens"), py::arg("opening_deg"));
    topic.def(
        "outer_face_looks",
        [](const Sizes& s, const std::string& opens, py::handle opening_deg) {
            return flip::outer_face_looks(s, way_of(opens), door::scalar(opening_deg, {"opening_deg", Kind::angle}));
        },
        py::arg("sizes"), py::arg("opens"), py::arg("opening_deg"));
    topic.def(
        "reach",
        [](const Sizes& s, const std::string& opens, py::handle opening_deg) {
            const flip::Reach r =
                flip::reach(s, way_of(opens), door::scalar(opening_deg, {"opening_deg", Kind::angle}));
            return py::make_tuple(r.behind, r.out, r.stands_out);
        },
        py::arg("sizes"), py::arg("opens"), py::arg("opening_deg"));
    topic.def(
        "metal_at_pin",
        [](const Sizes& s, py::handle pin_diameter) {
            return flip::metal_at_pin(s, door::scalar(pin_diameter, {"pin_diameter", Kind::length}));
        },
        py::arg("sizes"), py::arg("pin_diameter"));
}
