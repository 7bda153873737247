#include <foldswing/hinge.hpp>

#include "motion.hpp"
#include "topics.hpp"

namespace py = pybind11;
using door::Columns;
using door::Kind;
using foldswing::hinge::PivotHinge;

namespace {

struct PivotHinges : MotionBatch {
    std::vector<foldswing::PlainTurn> turns;
};

PivotHinges make_hinge(py::handle pivot, py::handle turn_from_deg, py::handle turn_to_deg) {
    Columns in;
    const auto p = in.point_column(pivot, "pivot");
    const auto from = in.column(turn_from_deg, {"turn_from_deg", Kind::angle});
    const auto to = in.column(turn_to_deg, {"turn_to_deg", Kind::angle});
    PivotHinges out;
    static_cast<MotionBatch&>(out) = door::make_batch<foldswing::MotionPtr>(in.size(), [&](std::size_t i) {
        return std::make_shared<const PivotHinge>(Columns::get_point(p, i), Columns::get(from, i), Columns::get(to, i));
    });
    for (const auto& motion : out.items) out.turns.push_back(*motion->plain_turn());
    return out;
}

door::Batch<foldswing::PlainTurn> turns(const PivotHinges& h) { return {h.turns, h.batched}; }

}  // namespace

void bind_hinge(py::module_& m) {
    auto topic = m.def_submodule("hinge");
    py::class_<PivotHinges, MotionBatch> hinge(topic, "PivotHinge");
    hinge.def(py::init(&make_hinge), py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"))
        .def_property_readonly(
            "pivot", [](const PivotHinges& h) { return door::point_field(turns(h), [](const auto& t) { return t.pivot; }); })
        .def_property_readonly(
            "turn_from_deg",
            [](const PivotHinges& h) { return door::field(turns(h), [](const auto& t) { return t.turn_from_deg; }); })
        .def_property_readonly("turn_to_deg", [](const PivotHinges& h) {
            return door::field(turns(h), [](const auto& t) { return t.turn_to_deg; });
        });
    door::finish_value(hinge, {"pivot", "turn_from_deg", "turn_to_deg"});
}
