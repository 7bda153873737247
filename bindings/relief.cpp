#include <foldswing/relief.hpp>

#include "plane.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace relief = foldswing::relief;
using door::Kind;
using foldswing::Path;

namespace {

std::vector<Path> paths(const py::list& given, const char* name) {
    std::vector<Path> out;
    for (const py::handle h : given) {
        if (!py::isinstance<Path>(h))
            throw foldswing::InvalidInput(name, py::cast<std::string>(py::repr(h)).substr(0, 80), "Paths");
        out.push_back(py::cast<const Path&>(h));
    }
    return out;
}

foldswing::PlainTurn turn_of(py::handle pivot, py::handle from, py::handle to) {
    return {door::point(pivot, "pivot"), door::scalar(from, {"turn_from_deg", Kind::angle}),
            door::scalar(to, {"turn_to_deg", Kind::angle})};
}

template <class T>
py::tuple tuple_of(std::vector<T> items) {
    py::tuple out(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) out[i] = py::cast(std::move(items[i]));
    return out;
}

using Ask = relief::Relief (*)(std::span<const Path>, std::span<const Path>, const foldswing::PlainTurn&, double,
                               double);

/// The fields of Relief in order.
void bind_cut(py::module_& topic, const char* name, Ask ask) {
    topic.def(
        name,
        [ask](const py::list& panel, const py::list& bodies, py::handle pivot, py::handle from, py::handle to,
              py::handle gap, py::handle sagitta) {
            const auto moving = paths(panel, "panel");
            const auto still = paths(bodies, "bodies");
            const auto turn = turn_of(pivot, from, to);
            const double wanted = door::scalar(gap, {"gap", Kind::length});
            const double close = door::scalar(sagitta, {"sagitta", Kind::length});
            relief::Relief out;
            {
                const py::gil_scoped_release nogil;  // copies only
                out = ask(moving, still, turn, wanted, close);
            }
            return py::make_tuple(tuple_of(std::move(out.cuts)), tuple_of(std::move(out.outlines)), out.area, out.depth,
                                  door::point_array(out.deepest), out.exact, out.explanation);
        },
        py::arg("panel"), py::arg("bodies"), py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"),
        py::arg("gap"), py::arg("sagitta"));
}

}  // namespace

void bind_relief(py::module_& m) {
    auto topic = m.def_submodule("relief");
    bind_cut(topic, "off_body", &relief::off_body);
    bind_cut(topic, "off_panel", &relief::off_panel);
    topic.def(
        "free_pivots",
        [](py::handle panel, py::handle bodies, py::handle from, py::handle to, py::handle gap, py::handle within,
           py::handle cell) {
            const foldswing::hinge::Swing swing{door::outlines(panel, "panel"),
                                                door::outlines(bodies, "bodies"),
                                                door::scalar(from, {"turn_from_deg", Kind::angle}),
                                                door::scalar(to, {"turn_to_deg", Kind::angle}),
                                                door::scalar(gap, {"gap", Kind::length}),
                                                door::scalar(cell, {"cell", Kind::length})};
            const auto region = door::outlines(within, "within");
            relief::FreePivots out;
            {
                const py::gil_scoped_release nogil;  // copies only
                out = relief::free_pivots(swing, region);
            }
            const auto& w = out.window;
            return py::make_tuple(tuple_of(w.outlines), door::point_array(w.best.centre), w.best.radius, w.clear_area,
                                  w.undecided_area, w.fouled_area, out.explanation);
        },
        py::arg("panel"), py::arg("bodies"), py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("gap"),
        py::arg("within"), py::arg("cell"));
    topic.def(
        "swept_room",
        [](const py::list& panel, py::handle pivot, py::handle from, py::handle to, py::handle gap,
           py::handle sagitta) {
            const auto moving = paths(panel, "panel");
            const auto turn = turn_of(pivot, from, to);
            const double wanted = door::scalar(gap, {"gap", Kind::length});
            const double close = door::scalar(sagitta, {"sagitta", Kind::length});
            std::vector<foldswing::Outline> out;
            {
                const py::gil_scoped_release nogil;  // copies only
                out = relief::swept_room(moving, turn, wanted, close);
            }
            return tuple_of(std::move(out));
        },
        py::arg("panel"), py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("gap"),
        py::arg("sagitta"));
}
