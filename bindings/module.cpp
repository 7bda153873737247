// A list of topics, nothing else: each is bound in the file of its name.
#include <pybind11/pybind11.h>

#include <foldswing/error.hpp>

#include "topics.hpp"

PYBIND11_MODULE(_core, m, pybind11::mod_gil_not_used()) {
    pybind11::register_exception<foldswing::InvalidInput>(m, "InvalidInput", PyExc_ValueError).attr("__module__") =
        "foldswing";
    m.attr("__version__") = FOLDSWING_VERSION;
    bind_plane(m);
    bind_drafting(m);
    bind_motion(m);
    bind_hinge(m);
    bind_clearance(m);
    bind_bend(m);
    bind_blank(m);
    bind_arc(m);
}
