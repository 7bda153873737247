#include "stay.hpp"

#include <foldswing/stay.hpp>

#include "batch.hpp"
#include "plane.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace stay = foldswing::stay;
using door::Kind;

namespace {

/// (mass, centre, leaned, edge).
stay::Load load_of(const py::tuple& given) {
    if (given.size() != 4)
        throw foldswing::InvalidInput("load", std::to_string(given.size()) + " values", "(mass, centre, leaned, edge)");
    stay::Load out;
    out.mass = door::scalar(py::object(given[0]), {"mass", Kind::mass});
    out.centre = door::point(py::object(given[1]), "centre");
    out.leaned = door::scalar(py::object(given[2]), {"leaned", Kind::mass});
    out.edge = door::point(py::object(given[3]), "edge");
    return out;
}

std::vector<double> turns_of(py::handle given) {
    const door::F64 a = door::array(given, {"turns_deg", Kind::angle});
    if (a.ndim() > 1)
        throw foldswing::InvalidInput("turns_deg", std::to_string(a.ndim()) + " axes", "a list of angles");
    return {a.data(), a.data() + a.size()};
}

py::tuple hold_tuple(const stay::Hold& h) {
    return py::make_tuple(stay::word(h.state), h.length, h.lever_arm, h.edge_per_mm, h.moment, h.pull_each,
                          h.pull_alone, door::point_array(h.on_pivot));
}

/// The fields of Hold in order.
py::tuple hold(const py::tuple& pins, const py::tuple& load, py::handle pose, py::handle pivot, int count) {
    if (!py::isinstance<door::Batch<foldswing::Pose>>(pose) ||
        py::cast<const door::Batch<foldswing::Pose>&>(pose).batched)
        throw foldswing::InvalidInput("pose", py::cast<std::string>(py::repr(pose)).substr(0, 80), "one Pose");
    return hold_tuple(stay::hold(door::pins(pins), load_of(load),
                                 py::cast<const door::Batch<foldswing::Pose>&>(pose).items.front(),
                                 door::point(pivot, "pivot"), count));
}

/// The fields of Strap in order.
py::tuple strap(const py::tuple& pins, const py::tuple& load, py::handle pivot, py::handle turns_deg, int count) {
    const stay::Strap s =
        stay::strap(door::pins(pins), load_of(load), door::point(pivot, "pivot"), turns_of(turns_deg), count);
    py::list stops;
    for (const stay::Hold& h : s.stops) stops.append(hold_tuple(h));
    return py::make_tuple(s.shut, stops, py::tuple(py::cast(s.spacing)), py::tuple(py::cast(s.slack_shut)), s.worst,
                          py::tuple(py::cast(s.taut_at_deg)));
}

foldswing::PlainTurn turn_of(py::handle pivot, py::handle from, py::handle to) {
    return {door::point(pivot, "pivot"), door::scalar(from, {"turn_from_deg", Kind::angle}),
            door::scalar(to, {"turn_to_deg", Kind::angle})};
}

/// The fields of Catch in order.
py::tuple catch_load(const py::tuple& pins, py::handle mass, py::handle centre, py::handle edge, py::handle pivot,
                     py::handle turn_from_deg, py::handle turn_to_deg, py::handle stiffness, int count) {
    stay::Load load;
    load.mass = door::scalar(mass, {"mass", Kind::mass});
    load.centre = door::point(centre, "centre");
    load.edge = door::point(edge, "edge");
    const stay::Catch c = stay::catch_load(door::pins(pins), load, turn_of(pivot, turn_from_deg, turn_to_deg),
                                           door::scalar(stiffness, {"stiffness", Kind::number}), count);
    return py::make_tuple(stay::word(c.state), c.fall, c.energy, c.pull_each, c.stretch, c.edge_overrun);
}

stay::Wish wish_of(const std::string& wish) {
    if (wish == "least pull") return stay::Wish::least_pull;
    if (wish == "least movement") return stay::Wish::least_movement;
    if (wish == "shortest") return stay::Wish::shortest;
    if (wish == "least slack") return stay::Wish::least_slack;
    throw foldswing::InvalidInput("wish", "'" + wish + "'",
                                  "'least pull', 'least movement', 'shortest' or 'least slack'");
}

/// (pins of the body (n, 2), pins of the panel (n, 2), the numbers of each choice (n, 5)), counts and explanation.
py::tuple choose(py::handle on_body, py::handle on_panel, const py::tuple& load, py::handle pivot, py::handle turns_deg,
                 int count, py::handle most_pull, py::handle most_edge_per_mm, py::handle longest,
                 py::handle least_spacing, const std::string& wish) {
    const auto body = door::points(on_body, "on_body");
    const auto panel = door::points(on_panel, "on_panel");
    const stay::Load on = load_of(load);
    const foldswing::Point about = door::point(pivot, "pivot");
    const std::vector<double> turns = turns_of(turns_deg);
    const stay::Limits limits{door::scalar(most_pull, {"most_pull", Kind::force}),
                              door::scalar(most_edge_per_mm, {"most_edge_per_mm", Kind::number}),
                              door::scalar(longest, {"longest", Kind::length}),
                              door::scalar(least_spacing, {"least_spacing", Kind::length})};
    const stay::Wish best = wish_of(wish);
    stay::Chosen c;
    {
        const py::gil_scoped_release nogil;  // copies only
        c = stay::choose(body, panel, on, about, turns, count, limits, best);
    }
    std::vector<foldswing::Point> fixed;
    std::vector<foldswing::Point> moving;
    door::F64 numbers({static_cast<py::ssize_t>(c.feasible.size()), py::ssize_t{5}});
    double* row = numbers.mutable_data();
    for (const stay::Choice& one : c.feasible) {
        fixed.push_back(one.pins.fixed);
        moving.push_back(one.pins.panel);
        for (const double v : {one.pull, one.edge_per_mm, one.longest, one.spacing, one.slack}) *row++ = v;
    }
    return py::make_tuple(door::points_array(fixed), door::points_array(moving), door::freeze(std::move(numbers)),
                          c.tried, c.no_hold, c.too_much, c.too_lively, c.too_long, c.too_close, c.explanation);
}

}  // namespace

void bind_stay(py::module_& m) {
    auto topic = m.def_submodule("stay");
    topic.attr("GRAVITY") = stay::kGravity;
    topic.def("hold", &hold, py::arg("pins"), py::arg("load"), py::arg("pose"), py::arg("pivot"), py::arg("count"));
    topic.def("strap", &strap, py::arg("pins"), py::arg("load"), py::arg("pivot"), py::arg("turns_deg"),
              py::arg("count"));
    topic.def(
        "taut_at",
        [](const py::tuple& pins, py::handle pivot, py::handle from, py::handle to, py::handle length) {
            return stay::taut_at(door::pins(pins), turn_of(pivot, from, to),
                                 door::scalar(length, {"length", Kind::length}));
        },
        py::arg("pins"), py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("length"));
    topic.def(
        "mismatch",
        [](py::handle edge_per_mm, py::handle difference, py::handle width) {
            const stay::Mismatch t = stay::mismatch(door::scalar(edge_per_mm, {"edge_per_mm", Kind::number}),
                                                    door::scalar(difference, {"difference", Kind::length}),
                                                    door::scalar(width, {"width", Kind::length}));
            return py::make_tuple(t.edge, t.twist_deg);
        },
        py::arg("edge_per_mm"), py::arg("difference"), py::arg("width"));
    door::closed_form(
        topic, "stiffness", &stay::stiffness,
        {door::Arg{"modulus", Kind::number}, door::Arg{"area", Kind::number}, door::Arg{"length", Kind::length}});
    door::closed_form(topic, "stiffness_from_test", &stay::stiffness_from_test,
                      {door::Arg{"mass", Kind::mass}, door::Arg{"stretch", Kind::length}});
    topic.def("catch_load", &catch_load, py::arg("pins"), py::arg("mass"), py::arg("centre"), py::arg("edge"),
              py::arg("pivot"), py::arg("turn_from_deg"), py::arg("turn_to_deg"), py::arg("stiffness"),
              py::arg("count"));
    topic.def(
        "grid",
        [](py::handle region, py::handle step) {
            return door::points_array(
                stay::grid(door::outlines(region, "region"), door::scalar(step, {"step", Kind::length})));
        },
        py::arg("region"), py::arg("step"));
    topic.def("choose", &choose, py::arg("on_body"), py::arg("on_panel"), py::arg("load"), py::arg("pivot"),
              py::arg("turns_deg"), py::arg("count"), py::arg("most_pull"), py::arg("most_edge_per_mm"),
              py::arg("longest"), py::arg("least_spacing"), py::arg("wish"));
}
