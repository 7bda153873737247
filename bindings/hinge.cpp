#include <foldswing/hinge.hpp>

#include "motion.hpp"
#include "topics.hpp"

namespace py = pybind11;
using door::Columns;
using door::Kind;
using foldswing::Pose;
using foldswing::hinge::PivotHinge;
namespace hinge = foldswing::hinge;

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

const PivotHinge& hinge_at(const PivotHinges& h, std::size_t i) { return static_cast<const PivotHinge&>(*h.at(i)); }

/// One call for each hinge and value, 1 and n mixed.
template <class T, class Ask>
door::Batch<T> ask_each(const PivotHinges& h, py::handle value, door::Arg arg, Ask ask) {
    Columns in;
    const auto values = in.column(value, arg);
    door::BatchSize size = in.size();
    size.take(h.size(), h.batched, "self");
    return door::make_batch<T>(size, [&](std::size_t i) { return ask(hinge_at(h, i), Columns::get(values, i)); });
}

py::object numbers(const door::Batch<double>& values) {
    return door::field(values, [](double v) { return v; });
}

py::tuple pole(const door::Batch<Pose>& a, const door::Batch<Pose>& b) {
    door::BatchSize size;
    size.take(a.size(), a.batched, "pose_a");
    size.take(b.size(), b.batched, "pose_b");
    const auto poles =
        door::make_batch<hinge::Pole>(size, [&](std::size_t i) { return hinge::pole(a.at(i), b.at(i)); });
    return py::make_tuple(door::status_field(poles, [](const auto& p) { return p.status; }),
                          door::point_field(poles, [](const auto& p) { return p.pivot; }),
                          door::point_field(poles, [](const auto& p) { return p.direction; }),
                          door::field(poles, [](const auto& p) { return p.turn_deg; }));
}

}  // namespace

void bind_hinge(py::module_& m) {
    auto topic = m.def_submodule("hinge");
    py::class_<PivotHinges, MotionBatch> cls(topic, "PivotHinge");
    cls.def(py::init(&make_hinge), py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"))
        .def_property_readonly(
            "pivot",
            [](const PivotHinges& h) { return door::point_field(turns(h), [](const auto& t) { return t.pivot; }); })
        .def_property_readonly(
            "turn_from_deg",
            [](const PivotHinges& h) { return door::field(turns(h), [](const auto& t) { return t.turn_from_deg; }); })
        .def_property_readonly(
            "turn_to_deg",
            [](const PivotHinges& h) { return door::field(turns(h), [](const auto& t) { return t.turn_to_deg; }); })
        .def(
            "turn_at",
            [](const PivotHinges& h, py::handle s) {
                return numbers(ask_each<double>(h, s, {"s", Kind::number},
                                                [](const PivotHinge& p, double v) { return p.turn_at(v); }));
            },
            py::arg("s"), R"doc(Turn from shut at s, degrees.

Parameters
----------
s : number or (n,) numbers
    Place in the travel, 0 to 1.

Returns
-------
float or ndarray
    Degrees; exactly turn_from_deg at 0 and turn_to_deg at 1.

Raises
------
InvalidInput
    When s is outside [0, 1].
)doc")
        .def(
            "s_at_turn",
            [](const PivotHinges& h, py::handle turn) {
                return numbers(ask_each<double>(h, turn, {"turn_deg", Kind::angle},
                                                [](const PivotHinge& p, double v) { return p.s_at_turn(v); }));
            },
            py::arg("turn_deg"), R"doc(Place in the travel at which the panel has turned so far.

Parameters
----------
turn_deg : angle or (n,) angles
    Turn from shut, degrees, within the travel.

Returns
-------
float or ndarray
    s = (turn - from) / (to - from); 0 where the hinge does not turn at all.

Raises
------
InvalidInput
    When the travel does not pass there.
)doc");
    door::finish_value(cls, {"pivot", "turn_from_deg", "turn_to_deg"});
    topic.def("pole", &pole, py::arg("pose_a"), py::arg("pose_b"));
    bind_landing(topic);
    bind_pivot_window(topic);
}
