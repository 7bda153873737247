#include "topics.hpp"

void bind_blank(pybind11::module_& m) { m.def_submodule("blank"); }
