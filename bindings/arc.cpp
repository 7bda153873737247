#include <foldswing/arc.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace arc = foldswing::arc;
using door::Kind;

void bind_arc(pybind11::module_& m) {
    auto topic = m.def_submodule("arc");
    door::closed_form(topic, "radius", &arc::radius, {{{"chord", Kind::length}, {"rise", Kind::length}}});
}
