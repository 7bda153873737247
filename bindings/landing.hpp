#pragma once
// How landings cross to the other topics' bindings.
#include <foldswing/landing.hpp>

#include "batch.hpp"

namespace door {

/// Borrowed from the list, which must outlive them.
inline std::vector<const Batch<foldswing::hinge::Landing>*> landing_list(py::handle landings) {
    std::vector<const Batch<foldswing::hinge::Landing>*> out;
    const auto refuse = [](py::handle h) {
        return foldswing::InvalidInput(
            "landings", py::cast<std::string>(py::str(py::type::handle_of(h).attr("__name__"))), "a list of Landing");
    };
    if (!py::isinstance<py::iterable>(landings) || py::isinstance<py::str>(landings)) throw refuse(landings);
    for (const py::handle h : py::reinterpret_borrow<py::iterable>(landings)) {
        if (!py::isinstance<Batch<foldswing::hinge::Landing>>(h)) throw refuse(h);
        out.push_back(&py::cast<const Batch<foldswing::hinge::Landing>&>(h));
    }
    return out;
}

/// Single landings, copied; batches are refused.
inline std::vector<foldswing::hinge::Landing> landings(py::handle given) {
    std::vector<foldswing::hinge::Landing> out;
    for (const auto* l : landing_list(given)) {
        if (l->batched) throw foldswing::InvalidInput("landings", "a batch of Landing", "single ones");
        out.push_back(l->items.front());
    }
    return out;
}

}  // namespace door
