#pragma once
// The topics built on sections and blanks.
#include <pybind11/pybind11.h>

void bind_carry(pybind11::module_& m);
void bind_edge_finish(pybind11::module_& m);  // with ready sections and curved flanges
void bind_tray(pybind11::module_& m);
