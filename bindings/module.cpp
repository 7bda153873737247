// A list of topics, nothing else: each is bound in the file of its name.
#include <pybind11/pybind11.h>

#include <foldswing/error.hpp>

#include "blank_topics.hpp"
#include "topics.hpp"

PYBIND11_MODULE(_core, m, pybind11::mod_gil_not_used()) {
    auto& invalid = pybind11::register_exception<foldswing::InvalidInput>(m, "InvalidInput", PyExc_ValueError);
    invalid.attr("__module__") = "foldswing";
    invalid.attr("__doc__") =
        "Input that breaks a stated rule: names parameter, value, rule, and the index in an array.";
    m.attr("__version__") = FOLDSWING_VERSION;
    bind_plane(m);
    bind_drafting(m);
    bind_motion(m);
    bind_hinge(m);
    bind_clearance(m);
    bind_tolerance(m);
    bind_stay(m);
    bind_folding_stay(m);
    bind_seam(m);
    bind_relief(m);
    bind_fitting(m);
    bind_adjustment(m);
    bind_bend(m);
    bind_bend_check(m);
    bind_blank(m);
    bind_carry(m);
    bind_tray(m);
    bind_edge_finish(m);
    bind_bend_order(m);
    bind_cut_list(m);
    bind_arc(m);
    bind_development(m);
    bind_gate(m);
    bind_cure(m);
    bind_flip_panel(m);
    bind_opening(m);
    bind_axis(m);
    bind_station(m);
    bind_crowned_edge(m);
    bind_virtual_shop(m);
}
