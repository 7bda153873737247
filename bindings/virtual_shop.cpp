#include <foldswing/virtual_shop.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace virtual_shop = foldswing::virtual_shop;
using door::Kind;

namespace {

py::tuple run(py::handle tape, py::handle protractor, py::handle drilling, py::handle setting, py::handle packing,
              py::handle paint, py::handle tolerance, int design_readings, int fit_readings, bool together, int gates,
              std::uint64_t seed) {
    const virtual_shop::Shop shop{door::scalar(tape, {"tape_error", Kind::length}),
                                  door::scalar(protractor, {"protractor_error_deg", Kind::angle}),
                                  door::scalar(drilling, {"drilling_error", Kind::length}),
                                  door::scalar(setting, {"setting_error", Kind::length}),
                                  door::scalar(packing, {"packing_error", Kind::length}),
                                  door::scalar(paint, {"paint_per_face", Kind::length}),
                                  door::scalar(tolerance, {"tolerance", Kind::length}),
                                  design_readings,
                                  fit_readings,
                                  together};
    virtual_shop::Tally t;
    {
        const py::gil_scoped_release nogil;  // plain structs only: no Python object is touched
        t = virtual_shop::run(shop, gates, seed);
    }
    return py::make_tuple(t.gates, t.first_fit, t.adjusted, t.adjusted_ceiling, t.one_adjuster, t.redrilled,
                          t.redrilled_ceiling, t.through, t.through_ceiling, t.through_drilled, t.through_drilled_right,
                          t.rubbed);
}

}  // namespace

void bind_virtual_shop(py::module_& m) {
    auto topic = m.def_submodule("virtual_shop");
    topic.def("run", &run, py::arg("tape_error"), py::arg("protractor_error_deg"), py::arg("drilling_error"),
              py::arg("setting_error"), py::arg("packing_error"), py::arg("paint_per_face"), py::arg("tolerance"),
              py::arg("design_readings"), py::arg("fit_readings"), py::arg("together"), py::arg("gates"),
              py::arg("seed"));
    topic.def(
        "random_gate",
        [](std::uint64_t number) {
            const auto d = virtual_shop::random_gate(number);
            return py::make_tuple(d.sizes, door::point_array(d.pivot), d.opening_to_level, d.opening_to_lean);
        },
        py::arg("number"));
}
