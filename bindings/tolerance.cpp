#include <foldswing/tolerance.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace tolerance = foldswing::tolerance;
using door::Kind;
using foldswing::Path;

namespace {

foldswing::PlainTurn turn_of(py::handle pivot, py::handle from, py::handle to) {
    return {door::point(pivot, "pivot"), door::scalar(from, {"turn_from_deg", Kind::angle}),
            door::scalar(to, {"turn_to_deg", Kind::angle})};
}

/// The fields of LikelyGap in order.
py::tuple likely_gap(const Path& panel, const Path& section, py::handle across, py::handle up, py::handle contact,
                     py::handle pivot, py::handle turn_from_deg, py::handle turn_to_deg, py::handle hole,
                     bool together) {
    const tolerance::Obstacle body{section, door::scalar(across, {"across", Kind::length}),
                                   door::scalar(up, {"up", Kind::length}),
                                   door::scalar(contact, {"contact", Kind::length})};
    const foldswing::PlainTurn turn = turn_of(pivot, turn_from_deg, turn_to_deg);
    const tolerance::HoleErrors holes{door::scalar(hole, {"hole", Kind::length}), together};
    tolerance::LikelyGap out;
    {
        const py::gil_scoped_release nogil;  // paths are immutable and held by the caller's references
        out = tolerance::likely_gap(panel, body, turn, holes);
    }
    return py::make_tuple(out.as_drawn, out.mean, out.deviation, out.kept, out.share);
}

double signed_gap(const Path& panel, const Path& body, py::handle pivot, py::handle turn_from_deg,
                  py::handle turn_to_deg) {
    const foldswing::PlainTurn turn = turn_of(pivot, turn_from_deg, turn_to_deg);
    const py::gil_scoped_release nogil;  // paths are immutable and held by the caller's references
    return tolerance::signed_gap(panel, body, turn);
}

}  // namespace

void bind_tolerance(py::module_& m) {
    auto topic = m.def_submodule("tolerance");
    topic.def("likely_gap", &likely_gap, py::arg("panel"), py::arg("section"), py::arg("across"), py::arg("up"),
              py::arg("contact"), py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("hole"),
              py::arg("together"));
    topic.def("signed_gap", &signed_gap, py::arg("panel"), py::arg("body"), py::arg("pivot"), py::arg("turn_from_deg"),
              py::arg("turn_to_deg"));
}
