#include "motion.hpp"

#include "topics.hpp"

namespace py = pybind11;

void bind_motion(py::module_& m) {
    auto topic = m.def_submodule("motion");
    py::class_<MotionBatch>(topic, "Motion");
}
