#pragma once
// The part of bend that deals with rules by name and with test strips.
#include <pybind11/pybind11.h>

void bind_bend_rule(pybind11::module_& bend);
