#include <foldswing/gate.hpp>

#include "landings.hpp"
#include "plane.hpp"
#include "sizes.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace gate = foldswing::gate;
using door::Kind;
using gate::Sizes;

namespace {

constexpr std::array<door::SizeField<Sizes>, 19> kFields{{
    {{"thickness", Kind::length}, &Sizes::thickness, true},
    {{"height", Kind::length}, &Sizes::height, true},
    {{"lower_edge_below_worktop", Kind::length}, &Sizes::lower_edge_below_worktop, true},
    {{"outer_face_out", Kind::length}, &Sizes::outer_face_out, false},
    {{"lean_deg", Kind::angle}, &Sizes::lean_deg, false},
    {{"lower_inner_radius", Kind::length}, &Sizes::lower_inner_radius, false},
    {{"lower_outer_radius", Kind::length}, &Sizes::lower_outer_radius, false},
    {{"upper_outer_radius", Kind::length}, &Sizes::upper_outer_radius, false},
    {{"upper_inner_radius", Kind::length}, &Sizes::upper_inner_radius, false},
    {{"nose_behind_wall", Kind::length}, &Sizes::nose_behind_wall, true},
    {{"nose_depth", Kind::length}, &Sizes::nose_depth, true},
    {{"nose_radius", Kind::length}, &Sizes::nose_radius, false},
    {{"worktop_depth", Kind::length}, &Sizes::worktop_depth, false},
    {{"worktop_fall_deg", Kind::angle}, &Sizes::worktop_fall_deg, false},
    {{"worktop_drop", Kind::length}, &Sizes::worktop_drop, false},
    {{"worktop_above_floor", Kind::length}, &Sizes::worktop_above_floor, true},
    {{"head_above_worktop", Kind::length}, &Sizes::head_above_worktop, true},
    {{"sill_below_worktop", Kind::length}, &Sizes::sill_below_worktop, true},
    {{"jamb_depth", Kind::length}, &Sizes::jamb_depth, true},
}};

using Landings = door::Batch<foldswing::hinge::Landing>;
using AskLanding = foldswing::hinge::Landing (*)(const Sizes&, double, double, double);

void bind_landing(py::module_& topic, const char* name, AskLanding ask, const char* what) {
    topic.def(
        name,
        [ask, what](const Sizes& s, py::handle opening_deg, py::handle by, py::handle tolerance) {
            return Landings{
                {ask(s, door::scalar(opening_deg, {"opening_deg", Kind::angle}), door::scalar(by, {what, Kind::length}),
                     door::scalar(tolerance, {"tolerance", Kind::length}))},
                false};
        },
        py::arg("sizes"), py::arg("opening_deg"), py::arg(what), py::kw_only(), py::arg("tolerance") = 1.0);
}

gate::Holes holes_of(py::handle gate_hole, py::handle jamb_hole) {
    return {door::point(gate_hole, "gate_hole"), door::point(jamb_hole, "jamb_hole")};
}

py::tuple marks_tuple(const gate::Marks& m) {
    return py::make_tuple(m.gate_from_inner_face, m.gate_above_lower_edge, m.jamb_below_worktop, m.jamb_inward);
}

void bind_holes(py::module_& topic) {
    topic.def(
        "marks",
        [](const Sizes& s, py::handle pivot) { return marks_tuple(gate::marks(s, door::point(pivot, "pivot"))); },
        py::arg("sizes"), py::arg("pivot"));
    topic.def(
        "holes",
        [](const Sizes& s, py::handle from_inner_face, py::handle above_lower_edge, py::handle below_worktop,
           py::handle inward) {
            const gate::Holes h =
                gate::holes(s, {door::scalar(from_inner_face, {"gate_from_inner_face", Kind::length}),
                                door::scalar(above_lower_edge, {"gate_above_lower_edge", Kind::length}),
                                door::scalar(below_worktop, {"jamb_below_worktop", Kind::length}),
                                door::scalar(inward, {"jamb_inward", Kind::length})});
            return py::make_tuple(door::point_array(h.gate), door::point_array(h.jamb));
        },
        py::arg("sizes"), py::arg("gate_from_inner_face"), py::arg("gate_above_lower_edge"),
        py::arg("jamb_below_worktop"), py::arg("jamb_inward"));
    topic.def(
        "pose",
        [](py::handle gate_hole, py::handle jamb_hole, py::handle opening_deg) {
            return door::Batch<foldswing::Pose>{
                {gate::pose(holes_of(gate_hole, jamb_hole), door::scalar(opening_deg, {"opening_deg", Kind::angle}))},
                false};
        },
        py::arg("gate_hole"), py::arg("jamb_hole"), py::arg("opening_deg"));
    topic.def(
        "miss",
        [](py::handle landing, py::handle gate_hole, py::handle jamb_hole) {
            const auto one = py::make_tuple(landing);
            return gate::miss(door::landings(one, "landing").front(), holes_of(gate_hole, jamb_hole));
        },
        py::arg("landing"), py::arg("gate_hole"), py::arg("jamb_hole"));
    topic.def(
        "round_marks",
        [](const Sizes& s, py::handle pivot, const py::iterable& faces, const py::iterable& others, py::handle step) {
            const gate::RoundedMarks r =
                gate::round_marks(s, door::point(pivot, "pivot"), door::landings(faces, "faces"),
                                  door::landings(others, "others"), door::scalar(step, {"step", Kind::length}));
            return py::make_tuple(marks_tuple(r.marks), r.face_step, r.other_miss, r.rounding);
        },
        py::arg("sizes"), py::arg("pivot"), py::arg("faces"), py::arg("others"), py::arg("step"));
}

}  // namespace

void bind_gate(py::module_& m) {
    auto topic = m.def_submodule("gate");
    door::bind_sizes(topic, kFields);
    topic.def(
        "corners",
        [](const Sizes& s) {
            const gate::Corners c = gate::corners(s);
            return door::points_array({c.lower_inner, c.lower_outer, c.upper_outer, c.upper_inner});
        },
        py::arg("sizes"));
    topic.def("panel", &gate::panel, py::arg("sizes"));
    topic.def("worktop", &gate::worktop, py::arg("sizes"));
    topic.def("sill", &gate::sill, py::arg("sizes"));
    topic.def("head", &gate::head, py::arg("sizes"));
    topic.def(
        "height_below_head",
        [](const Sizes& s, py::handle gap) {
            return gate::height_below_head(s, door::scalar(gap, {"gap", Kind::length}));
        },
        py::arg("sizes"), py::arg("gap"));
    topic.def(
        "width_between",
        [](py::handle top, py::handle bottom, py::handle end_gap) {
            return gate::width_between(door::scalar(top, {"width_top", Kind::length}),
                                       door::scalar(bottom, {"width_bottom", Kind::length}),
                                       door::scalar(end_gap, {"end_gap", Kind::length}));
        },
        py::arg("width_top"), py::arg("width_bottom"), py::arg("end_gap"));
    topic.def(
        "end_gap",
        [](py::handle top, py::handle bottom, py::handle width) {
            return gate::end_gap(door::scalar(top, {"width_top", Kind::length}),
                                 door::scalar(bottom, {"width_bottom", Kind::length}),
                                 door::scalar(width, {"width", Kind::length}));
        },
        py::arg("width_top"), py::arg("width_bottom"), py::arg("width"));
    topic.def("opening_to_level", &gate::opening_to_level, py::arg("sizes"));
    topic.def("opening_in_line", &gate::opening_in_line, py::arg("sizes"));
    bind_landing(topic, "face_landing", &gate::face_landing, "above");
    bind_landing(topic, "nose_gap_landing", &gate::nose_gap_landing, "gap");
    bind_landing(topic, "edge_landing", &gate::edge_landing, "drop");
    topic.def(
        "place",
        [](const Sizes& s, py::handle pivot) {
            const gate::Place p = gate::place(s, door::point(pivot, "pivot"));
            return py::make_tuple(p.from_inner_face, p.from_outer_face, p.below_worktop, p.above_lower_edge);
        },
        py::arg("sizes"), py::arg("pivot"));
    topic.def(
        "pivot_at",
        [](const Sizes& s, py::handle from_inner_face, py::handle below_worktop) {
            return door::point_array(gate::pivot_at(s, door::scalar(from_inner_face, {"from_inner_face", Kind::length}),
                                                    door::scalar(below_worktop, {"below_worktop", Kind::length})));
        },
        py::arg("sizes"), py::arg("from_inner_face"), py::arg("below_worktop"));
    bind_holes(topic);
    topic.def(
        "opening_to_drop",
        [](const Sizes& s, py::handle gate_hole, py::handle jamb_hole, py::handle drop) {
            return gate::opening_to_drop(s, holes_of(gate_hole, jamb_hole), door::scalar(drop, {"drop", Kind::length}));
        },
        py::arg("sizes"), py::arg("gate_hole"), py::arg("jamb_hole"), py::arg("drop"));
    topic.def(
        "opened",
        [](const Sizes& s, py::handle gate_hole, py::handle jamb_hole, py::handle opening_deg) {
            const gate::Opened o = gate::opened(s, holes_of(gate_hole, jamb_hole),
                                                door::scalar(opening_deg, {"opening_deg", Kind::angle}));
            return py::make_tuple(door::point_array(o.face_from), door::point_array(o.face_to), o.edge_drop,
                                  o.edge_above_floor, o.edge_per_degree, o.face_step, o.nose_gap);
        },
        py::arg("sizes"), py::arg("gate_hole"), py::arg("jamb_hole"), py::arg("opening_deg"));
    topic.def(
        "stay_pin",
        [](const Sizes& s, py::handle gate_hole, py::handle jamb_hole, py::handle above_pivot,
           py::handle from_inner_face) {
            return door::point_array(gate::stay_pin(s, holes_of(gate_hole, jamb_hole),
                                                    door::scalar(above_pivot, {"above_pivot", Kind::length}),
                                                    door::scalar(from_inner_face, {"from_inner_face", Kind::length})));
        },
        py::arg("sizes"), py::arg("gate_hole"), py::arg("jamb_hole"), py::arg("above_pivot"),
        py::arg("from_inner_face"));
    topic.def(
        "centre", [](const Sizes& s) { return door::point_array(gate::centre(s)); }, py::arg("sizes"));
}
