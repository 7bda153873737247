#include "topics.hpp"

void bind_bend(pybind11::module_& m) { m.def_submodule("bend"); }
