#pragma once
#include <pybind11/pybind11.h>

void bind_adjustment(pybind11::module_& m);
void bind_arc(pybind11::module_& m);
void bind_axis(pybind11::module_& m);
void bind_bend(pybind11::module_& m);
void bind_bend_check(pybind11::module_& m);
void bind_bend_order(pybind11::module_& m);
void bind_blank(pybind11::module_& m);
void bind_clearance(pybind11::module_& m);
void bind_crowned_edge(pybind11::module_& m);
void bind_cure(pybind11::module_& m);
void bind_cut_list(pybind11::module_& m);
void bind_development(pybind11::module_& m);
void bind_drafting(pybind11::module_& m);
void bind_fitting(pybind11::module_& m);
void bind_flip_panel(pybind11::module_& m);
void bind_folding_stay(pybind11::module_& m);
void bind_gate(pybind11::module_& m);
void bind_hinge(pybind11::module_& m);
void bind_landing(pybind11::module_& hinge);  // the part of hinge that deals with stops
void bind_motion(pybind11::module_& m);
void bind_opening(pybind11::module_& m);
void bind_pivot_window(pybind11::module_& hinge);  // the part of hinge that deals with windows
void bind_plane(pybind11::module_& m);
void bind_relief(pybind11::module_& m);
void bind_seam(pybind11::module_& m);
void bind_station(pybind11::module_& m);
void bind_stay(pybind11::module_& m);
void bind_tolerance(pybind11::module_& m);
void bind_virtual_shop(pybind11::module_& m);
