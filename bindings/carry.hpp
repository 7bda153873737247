#pragma once
// Faces and folded points, as Python gives them.
#include <foldswing/carry.hpp>
#include <string>

#include "door.hpp"

namespace door {

foldswing::blank::Face face(const std::string& word);
/// (x, y, z) or (n, 3), as n rows.
F64 space_points(py::handle h, const char* name);

}  // namespace door
