#include <foldswing/adjustment.hpp>

#include "landings.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace adjustment = foldswing::adjustment;
using door::Kind;
using foldswing::fitting::Which;

namespace {

Which hole_of(const std::string& word) {
    for (const Which w : {Which::body, Which::panel, Which::together})
        if (word == foldswing::fitting::word(w)) return w;
    throw foldswing::InvalidInput("hole", "'" + word.substr(0, 40) + "'", "body, panel or together");
}

foldswing::hinge::Landing landing_of(const py::object& h) {
    return door::landings(py::make_tuple(h), "landing").front();
}

py::tuple reach(const adjustment::Reach& r) { return py::make_tuple(r.per_mm, r.least, r.most); }

}  // namespace

void bind_adjustment(py::module_& m) {
    auto topic = m.def_submodule("adjustment");
    topic.def(
        "slot",
        [](const py::object& landing, const std::string& hole, py::handle direction, py::handle forward,
           py::handle backward) {
            return reach(adjustment::slot(landing_of(landing), hole_of(hole), door::point(direction, "direction"),
                                          door::scalar(forward, {"forward", Kind::length}),
                                          door::scalar(backward, {"backward", Kind::length})));
        },
        py::arg("landing"), py::arg("hole"), py::arg("direction"), py::arg("forward"), py::arg("backward"));
    topic.def(
        "eccentric",
        [](const py::object& landing, const std::string& hole, py::handle throw_mm) {
            return reach(adjustment::eccentric(landing_of(landing), hole_of(hole),
                                               door::scalar(throw_mm, {"throw_mm", Kind::length})));
        },
        py::arg("landing"), py::arg("hole"), py::arg("throw_mm"));
    topic.def(
        "eccentric_settings",
        [](const py::object& landing, const std::string& hole, py::handle throw_mm, py::handle shift) {
            const auto s = adjustment::eccentric_settings(landing_of(landing), hole_of(hole),
                                                          door::scalar(throw_mm, {"throw_mm", Kind::length}),
                                                          door::scalar(shift, {"shift", Kind::length}));
            return py::make_tuple(adjustment::word(s.status), door::point_array({s.angle_deg[0], s.angle_deg[1]}),
                                  door::point_array({s.per_degree[0], s.per_degree[1]}));
        },
        py::arg("landing"), py::arg("hole"), py::arg("throw_mm"), py::arg("shift"));
    topic.def(
        "pad_shim",
        [](const py::object& landing, py::handle panel_hole, py::handle body_hole, py::handle pad, py::handle normal,
           py::handle thickness) {
            const auto s = adjustment::pad_shim(
                landing_of(landing), {door::point(panel_hole, "panel_hole"), door::point(body_hole, "body_hole")},
                door::point(pad, "pad"), door::point(normal, "normal"),
                door::scalar(thickness, {"thickness", Kind::length}));
            return py::make_tuple(s.reached, s.turn_deg, s.shift, s.per_mm);
        },
        py::arg("landing"), py::arg("panel_hole"), py::arg("body_hole"), py::arg("pad"), py::arg("normal"),
        py::arg("thickness"));
}
