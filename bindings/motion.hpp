#pragma once
// How a motion crosses to Python: one motion, or a batch of them.
#include <foldswing/motion.hpp>

#include "batch.hpp"

using MotionBatch = door::Batch<foldswing::MotionPtr>;

/// The motion, or InvalidInput.
inline const MotionBatch& motion_of(pybind11::handle h) {
    namespace py = pybind11;
    if (!py::isinstance<MotionBatch>(h))
        throw foldswing::InvalidInput("motion", py::cast<std::string>(py::repr(h)), "a Motion, such as a PivotHinge");
    return py::cast<const MotionBatch&>(h);
}

/// The motion of something that takes only one.
inline const foldswing::Motion& the_motion(pybind11::handle h) {
    const MotionBatch& m = motion_of(h);
    if (m.batched) throw foldswing::InvalidInput("motion", std::to_string(m.size()) + " motions", "one motion");
    return *m.items.front();
}
