#pragma once
// How the pins of a stay cross to Python: a pair of points.
#include <foldswing/stay.hpp>

#include "door.hpp"

namespace door {

/// (fixed, panel).
inline foldswing::stay::Pins pins(const py::tuple& given) {
    if (given.size() != 2)
        throw foldswing::InvalidInput("pins", std::to_string(given.size()) + " points",
                                      "two: on the body, on the panel");
    return {point(py::object(given[0]), "fixed"), point(py::object(given[1]), "panel")};
}

}  // namespace door
