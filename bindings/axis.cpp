#include <foldswing/axis.hpp>

#include "batch.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace axis = foldswing::axis;
using door::Kind;

namespace {

axis::Axis through(py::handle left, py::handle left_at, py::handle right, py::handle right_at) {
    return {door::point(left, "left"), door::scalar(left_at, {"left_at", Kind::length}), door::point(right, "right"),
            door::scalar(right_at, {"right_at", Kind::length})};
}

}  // namespace

void bind_axis(py::module_& m) {
    auto topic = m.def_submodule("axis");
    topic.def(
        "at",
        [](py::handle left, py::handle left_at, py::handle right, py::handle right_at, py::handle from_left) {
            return door::point_array(axis::at(through(left, left_at, right, right_at),
                                              door::scalar(from_left, {"from_left", Kind::length})));
        },
        py::arg("left"), py::arg("left_at"), py::arg("right"), py::arg("right_at"), py::arg("from_left"));
    topic.def(
        "tilt",
        [](py::handle left, py::handle left_at, py::handle right, py::handle right_at) {
            const axis::Tilt t = axis::tilt(through(left, left_at, right, right_at));
            return py::make_tuple(t.angle_deg, t.up, t.out);
        },
        py::arg("left"), py::arg("left_at"), py::arg("right"), py::arg("right_at"));
    topic.def(
        "turned",
        [](py::handle left, py::handle left_at, py::handle right, py::handle right_at, py::handle point,
           py::handle from_left, py::handle turn_deg) {
            const axis::Turned t = axis::turned(through(left, left_at, right, right_at), door::point(point, "point"),
                                                door::scalar(from_left, {"from_left", Kind::length}),
                                                door::scalar(turn_deg, {"turn_deg", Kind::angle}));
            return py::make_tuple(door::point_array(t.at), t.sideways, t.off_section);
        },
        py::arg("left"), py::arg("left_at"), py::arg("right"), py::arg("right_at"), py::arg("point"),
        py::arg("from_left"), py::arg("turn_deg"));
}
