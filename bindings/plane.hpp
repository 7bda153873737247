#pragma once
// How outlines cross to the other topics' bindings.
#include <foldswing/plane.hpp>

#include "batch.hpp"

namespace door {

/// One outline, or a list or tuple of them.
inline std::vector<foldswing::Outline> outlines(py::handle h, const char* name) {
    if (py::isinstance<foldswing::Outline>(h)) return {py::cast<const foldswing::Outline&>(h)};
    const bool several = py::isinstance<py::list>(h) || py::isinstance<py::tuple>(h);
    std::vector<foldswing::Outline> out;
    if (several)
        for (const py::handle item : h) {
            if (!py::isinstance<foldswing::Outline>(item)) {
                out.clear();
                break;
            }
            out.push_back(py::cast<const foldswing::Outline&>(item));
        }
    if (out.empty()) {
        const bool none = several && py::len(h) == 0;
        throw foldswing::InvalidInput(name, none ? "none" : py::cast<std::string>(py::repr(h)).substr(0, 80),
                                      "an Outline or a list of them");
    }
    return out;
}

}  // namespace door
