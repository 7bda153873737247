#include "topics.hpp"

void bind_clearance(pybind11::module_& m) { m.def_submodule("clearance"); }
