#pragma once
// How landings cross to the other topics' bindings.
#include <foldswing/landing.hpp>

#include "batch.hpp"

namespace door {

/// A list of single Landings.
inline std::vector<foldswing::hinge::Landing> landings(const py::iterable& given, const char* name) {
    using Landings = Batch<foldswing::hinge::Landing>;
    std::vector<foldswing::hinge::Landing> out;
    for (const py::handle h : given) {
        if (!py::isinstance<Landings>(h) || py::cast<const Landings&>(h).batched)
            throw foldswing::InvalidInput(name, py::cast<std::string>(py::repr(h)).substr(0, 80), "single Landings");
        out.push_back(py::cast<const Landings&>(h).items.front());
    }
    return out;
}

}  // namespace door
