#include <foldswing/drafting.hpp>

#include "batch.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace drafting = foldswing::drafting;
using door::Kind;
using foldswing::Path;

namespace {

py::object numbers(const std::vector<double>& values) {
    door::F64 out(static_cast<py::ssize_t>(values.size()));
    std::copy(values.begin(), values.end(), out.mutable_data());
    return door::freeze(std::move(out));
}

py::object bounds(const Path& path) {
    const drafting::Bounds b = drafting::bounds(path);
    return numbers({b.left, b.bottom, b.right, b.top});
}

py::object cubics(const Path& path) {
    const std::vector<drafting::Cubic> pieces = drafting::cubics(path);
    door::F64 out(std::vector<py::ssize_t>{static_cast<py::ssize_t>(pieces.size()), 4, 2});
    double* to = out.mutable_data();
    for (const drafting::Cubic& piece : pieces) {
        for (const foldswing::Point p : piece) {
            *to++ = p.x;
            *to++ = p.y;
        }
    }
    return door::freeze(std::move(out));
}

py::tuple clipped(const foldswing::Outline& outline, py::handle window) {
    const door::F64 w = door::array(window, {"window", Kind::length});
    if (w.ndim() != 1 || w.shape(0) != 4)
        throw foldswing::InvalidInput("window", "another shape", "four numbers: left, bottom, right, top");
    return py::tuple(py::cast(drafting::clipped(outline, {w.at(0), w.at(1), w.at(2), w.at(3)})));
}

}  // namespace

void bind_drafting(py::module_& m) {
    auto topic = m.def_submodule("drafting");
    topic.def("bounds", &bounds, py::arg("path"));
    topic.def(
        "split",
        [](const Path& path, py::handle max_sweep_deg) {
            return drafting::split(path, door::scalar(max_sweep_deg, {"max_sweep_deg", Kind::angle}));
        },
        py::arg("path"), py::arg("max_sweep_deg"));
    topic.def(
        "radii", [](const Path& path) { return numbers(drafting::radii(path)); }, py::arg("path"));
    topic.def(
        "bulges", [](const Path& path) { return numbers(drafting::bulges(path)); }, py::arg("path"));
    topic.def("clipped", &clipped, py::arg("outline"), py::arg("window"));
    topic.def(
        "foot",
        [](py::handle p, py::handle a, py::handle b) {
            return door::point_array(drafting::foot(door::point(p, "p"), door::point(a, "a"), door::point(b, "b")));
        },
        py::arg("p"), py::arg("a"), py::arg("b"));
    topic.def("cubics", &cubics, py::arg("path"));
}
