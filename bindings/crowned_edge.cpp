#include <foldswing/crowned_edge.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace crowned_edge = foldswing::crowned_edge;
using crowned_edge::AxisHeight;
using door::Kind;

namespace {

AxisHeight height_of(const std::string& axis) {
    if (axis == "corner") return AxisHeight::corner;
    if (axis == "skin") return AxisHeight::skin;
    if (axis == "crown") return AxisHeight::crown;
    throw foldswing::InvalidInput("axis", "'" + axis + "'", "'corner', 'skin' or 'crown'");
}

}  // namespace

void bind_crowned_edge(py::module_& m) {
    auto topic = m.def_submodule("crowned_edge");
    topic.def(
        "swing",
        [](py::handle chord, py::handle rise, const std::string& axis, py::handle from_middle, py::handle opening_deg) {
            const crowned_edge::Swing s = crowned_edge::swing(
                door::scalar(chord, {"chord", Kind::length}), door::scalar(rise, {"rise", Kind::length}),
                height_of(axis), door::scalar(from_middle, {"from_middle", Kind::length}),
                door::scalar(opening_deg, {"opening_deg", Kind::angle}));
            return py::make_tuple(s.above_corners, s.middle_above, s.back, s.most_back, s.corners_forward,
                                  s.pins_above_skin);
        },
        py::arg("chord"), py::arg("rise"), py::arg("axis"), py::arg("from_middle"), py::arg("opening_deg"));
}
