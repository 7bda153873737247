#include <foldswing/cure.hpp>

#include "plane.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace cure = foldswing::cure;
namespace gate = foldswing::gate;
using door::Kind;
using foldswing::Outline;

namespace {

/// Pairs of (outlines, wanted).
std::vector<cure::Body> bodies_of(const py::iterable& given) {
    std::vector<cure::Body> out;
    for (const py::handle h : given) {
        if (!py::isinstance<py::tuple>(h) || py::len(h) != 2)
            throw foldswing::InvalidInput("bodies", py::cast<std::string>(py::repr(h)).substr(0, 80),
                                          "pairs of outlines and the gap wanted");
        const auto pair = py::reinterpret_borrow<py::tuple>(h);
        const py::object outlines = pair[0];
        const py::object wanted = pair[1];
        out.push_back({door::outlines(outlines, "bodies"), door::scalar(wanted, {"wanted", Kind::length})});
    }
    return out;
}

foldswing::PlainTurn turn_of(py::handle pivot, py::handle from, py::handle to) {
    return {door::point(pivot, "pivot"), door::scalar(from, {"turn_from_deg", Kind::angle}),
            door::scalar(to, {"turn_to_deg", Kind::angle})};
}

/// The fields of Radii in order.
py::tuple smallest_radii(const gate::Sizes& sizes, py::handle gate_hole, py::handle jamb_hole, py::handle opening_deg,
                         const py::iterable& bodies, py::handle within) {
    const gate::Holes holes{door::point(gate_hole, "gate_hole"), door::point(jamb_hole, "jamb_hole")};
    const double opening = door::scalar(opening_deg, {"opening_deg", Kind::angle});
    const std::vector<cure::Body> around = bodies_of(bodies);
    const double close = door::scalar(within, {"within", Kind::length});
    cure::Radii out;
    {
        const py::gil_scoped_release nogil;  // copies, and sizes that are immutable
        out = cure::smallest_radii(sizes, holes, opening, around, close);
    }
    return py::make_tuple(out.inner, out.outer, out.fits, py::tuple(py::cast(out.gaps)));
}

double pivot_move(py::handle panel, const py::iterable& bodies, py::handle pivot, py::handle turn_from_deg,
                  py::handle turn_to_deg, py::handle way, py::handle most, py::handle within) {
    const std::vector<Outline> moving = door::outlines(panel, "panel");
    const std::vector<cure::Body> around = bodies_of(bodies);
    const foldswing::PlainTurn turn = turn_of(pivot, turn_from_deg, turn_to_deg);
    const foldswing::Point ahead = door::point(way, "way");
    const double limit = door::scalar(most, {"most", Kind::length});
    const double close = door::scalar(within, {"within", Kind::length});
    const py::gil_scoped_release nogil;  // copies only
    return cure::pivot_move(moving, around, turn, ahead, limit, close);
}

double body_move(py::handle panel, py::handle body, py::handle wanted, py::handle pivot, py::handle turn_from_deg,
                 py::handle turn_to_deg, py::handle way, py::handle most, py::handle within) {
    const std::vector<Outline> moving = door::outlines(panel, "panel");
    const cure::Body still{door::outlines(body, "body"), door::scalar(wanted, {"wanted", Kind::length})};
    const foldswing::PlainTurn turn = turn_of(pivot, turn_from_deg, turn_to_deg);
    const foldswing::Point ahead = door::point(way, "way");
    const double limit = door::scalar(most, {"most", Kind::length});
    const double close = door::scalar(within, {"within", Kind::length});
    const py::gil_scoped_release nogil;  // copies only
    return cure::body_move(moving, still, turn, ahead, limit, close);
}

}  // namespace

void bind_cure(py::module_& m) {
    auto topic = m.def_submodule("cure");
    topic.def("smallest_radii", &smallest_radii, py::arg("sizes"), py::arg("gate_hole"), py::arg("jamb_hole"),
              py::arg("opening_deg"), py::arg("bodies"), py::arg("within"));
    topic.def("pivot_move", &pivot_move, py::arg("panel"), py::arg("bodies"), py::arg("pivot"),
              py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("way"), py::arg("most"), py::arg("within"));
    topic.def("body_move", &body_move, py::arg("panel"), py::arg("body"), py::arg("wanted"), py::arg("pivot"),
              py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("way"), py::arg("most"), py::arg("within"));
}
