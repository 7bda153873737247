#include <foldswing/bend_order.hpp>

#include "batch.hpp"
#include "plane.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace order = foldswing::bend_order;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Outline;
using order::Brake;
using order::End;
using order::Face;
using order::Gauge;

namespace {

std::string shown(py::handle h) { return py::cast<std::string>(py::repr(h)).substr(0, 80); }

order::Kind brake_kind(const std::string& word) {
    if (word == "leaf") return order::Kind::leaf;
    if (word == "press") return order::Kind::press;
    throw InvalidInput("kind", "'" + word + "'", "'leaf' or 'press'");
}
Gauge gauge_side(const std::string& word) {
    if (word == "behind") return Gauge::behind;
    if (word == "front") return Gauge::front;
    throw InvalidInput("gauge", "'" + word + "'", "'behind' or 'front'");
}
End blank_end(const std::string& word) {
    if (word == "start") return End::start;
    if (word == "end") return End::end;
    throw InvalidInput("at_gauge", "'" + word + "'", "'start' or 'end'");
}
const char* end_word(End end) noexcept { return end == End::start ? "start" : "end"; }

/// An outline as it is, or as the fields to_dict gave.
Outline tool(py::handle h, const char* name) {
    if (py::isinstance<py::dict>(h)) return py::cast<Outline>(py::type::of<Outline>()(**py::cast<py::dict>(h)));
    if (!py::isinstance<Outline>(h)) throw InvalidInput(name, shown(h), "an Outline");
    return py::cast<const Outline&>(h);
}

py::object widths(const std::vector<double>& values) {
    door::F64 a(static_cast<py::ssize_t>(values.size()));
    std::copy(values.begin(), values.end(), a.mutable_data());
    return door::freeze(std::move(a));
}

Brake make_brake(const std::string& name, const std::string& kind, py::handle upper, py::handle lower, py::handle leaf,
                 py::handle opens, py::handle greatest_angle_deg, py::handle least_hold, py::handle least_flange,
                 py::handle v_opening, py::handle gauge_from, py::handle gauge_to, py::handle fingers,
                 py::handle finger_height, bool open_ended, py::handle least_cover) {
    Brake out{name,
              brake_kind(kind),
              tool(upper, "upper"),
              tool(lower, "lower"),
              std::nullopt,
              0.0,
              0.0,
              0.0,
              0.0,
              0.0,
              0.0,
              0.0,
              {},
              0.0,
              open_ended,
              0.0};
    if (!leaf.is_none()) out.leaf = tool(leaf, "leaf");
    out.opens = door::scalar(opens, {"opens", Kind::length});
    out.greatest_angle_deg = door::scalar(greatest_angle_deg, {"greatest_angle_deg", Kind::angle});
    out.least_hold = door::scalar(least_hold, {"least_hold", Kind::length});
    out.least_flange = door::scalar(least_flange, {"least_flange", Kind::length});
    out.v_opening = door::scalar(v_opening, {"v_opening", Kind::length});
    out.gauge_from = door::scalar(gauge_from, {"gauge_from", Kind::length});
    out.gauge_to = door::scalar(gauge_to, {"gauge_to", Kind::length});
    const door::F64 all = door::array(fingers, {"fingers", Kind::length});
    if (all.ndim() != 1) throw InvalidInput("fingers", std::to_string(all.ndim()) + " axes", "a list of widths");
    out.fingers.assign(all.data(), all.data() + all.size());
    out.finger_height = door::scalar(finger_height, {"finger_height", Kind::length});
    out.least_cover = door::scalar(least_cover, {"least_cover", Kind::number});
    order::require_valid(out);
    return out;
}

/// A result type of the front, by its fields.
template <class... Field>
py::object result(const char* type, Field&&... fields) {
    return py::module_::import("foldswing.bend_order").attr(type)(std::forward<Field>(fields)...);
}

py::tuple standing(const std::vector<order::Standing>& tools) {
    py::tuple out(tools.size());
    for (std::size_t i = 0; i < tools.size(); ++i)
        out[i] = result("Standing", tools[i].name, door::points_array(tools[i].outline));
    return out;
}

py::object found(const order::Order& done, const std::vector<std::string>& names) {
    using py::literals::operator""_a;
    py::tuple steps(done.steps.size());
    for (std::size_t i = 0; i < done.steps.size(); ++i) {
        const order::Step& s = done.steps[i];
        steps[i] = result("Step", "bend"_a = s.bend, "name"_a = names[s.bend], "angle_deg"_a = s.angle_deg,
                          "at_gauge"_a = end_word(s.at_gauge), "face"_a = s.face == Face::up ? "up" : "down",
                          "flipped"_a = s.flipped, "turned"_a = s.turned, "quarter"_a = s.quarter, "gauge"_a = s.gauge,
                          "gauge_tangent"_a = s.gauge_tangent, "fingers"_a = widths(s.fingers),
                          "before"_a = door::points_array(s.before), "after"_a = door::points_array(s.after),
                          "tools_before"_a = standing(s.tools_before), "tools_after"_a = standing(s.tools_after));
    }
    return result("Order", "status"_a = done.status == order::Status::found ? "found" : "none", "steps"_a = steps,
                  "flips"_a = done.flips, "turns"_a = done.turns, "quarters"_a = done.quarters,
                  "orders"_a = done.orders, "tried"_a = done.tried, "blocking"_a = py::tuple(py::cast(done.blocking)),
                  "explanation"_a = done.explanation);
}

std::vector<std::string> names_of(const std::vector<std::string>& given, std::size_t n) {
    std::vector<std::string> out = given;
    for (std::size_t i = out.size(); i < n; ++i) out.push_back("bend " + std::to_string(i + 1));
    return out;
}

using Words = std::vector<std::string>;

py::object search_section(const foldswing::blank::Profile& section, const Brake& brake, const std::string& gauge,
                          const Words& names, const Words& flats, const Words& ends,
                          const std::vector<std::size_t>& made) {
    const Gauge side = gauge_side(gauge);
    order::Order done;
    {
        const py::gil_scoped_release nogil;  // C++ values only: no Python object is touched
        done = order::search(section, brake, side, {names, flats, ends}, made);
    }
    return found(done, names_of(names, section.bend_lines().size()));
}

py::object search_tray(const foldswing::blank::Profile& lengthwise, std::size_t base_lengthwise,
                       const foldswing::blank::Profile& crosswise, std::size_t base_crosswise, const Brake& brake,
                       const std::string& gauge, const Words& names, const Words& flats, const Words& ends,
                       const std::vector<std::size_t>& made) {
    const Gauge side = gauge_side(gauge);
    const order::Tray tray{lengthwise, base_lengthwise, crosswise, base_crosswise};
    order::Order done;
    {
        const py::gil_scoped_release nogil;  // C++ values only: no Python object is touched
        done = order::search(tray, brake, side, {names, flats, ends}, made);
    }
    return found(done, names_of(names, lengthwise.bend_lines().size() + crosswise.bend_lines().size()));
}

std::string obstacle(const foldswing::blank::Profile& section, const Brake& brake, const std::vector<std::size_t>& made,
                     std::size_t bend, const std::string& at_gauge, const std::string& gauge) {
    return order::obstacle(section, brake, made, bend, blank_end(at_gauge), gauge_side(gauge));
}

constexpr const char* kBrakeDoc = R"(A brake by the outlines of its tools, seen from its end, the operator at the right.

Parameters
----------
name : str
    What it is called.
kind : {'leaf', 'press'}
    A leaf brake clamps the sheet under a nose and turns the free part up with a leaf; a press brake pushes it into a V.
upper, lower, leaf : Outline
    Leaf brake: nose with its beam (y >= 0 from the sheet's upper face, tip in (0, 0), underside along y = 0 behind it),
    bed and leaf (y <= 0 from the sheet's lower face). The tip is taken as rounded to the inside radius of each bend.
    Press brake: punch (tip in (0, 0)) and die (top at y = 0, the V in the middle); no leaf.
opens : length
    How far the upper tool lifts, mm; > 0.
greatest_angle_deg : angle
    The most it turns the metal through, degrees, between 0 and 180.
least_hold, least_flange : length
    Leaf brake: straight metal needed under the nose, and on the leaf, mm.
v_opening : length
    Press brake: width of the V, mm.
gauge_from, gauge_to : length
    Nearest and farthest place of the stop from the sight line or the bend centre line, mm.
fingers : list of lengths
    Widths of the fingers or punch pieces there are, mm, at most 20; none: the upper tool is in one piece.
finger_height : length
    Clear height beside a finger, from the sheet to the beam, mm.
open_ended : bool
    Whether parts can be slid off along the tools: then none stays trapped round them.
least_cover : number
    Part of a tray's bend line that the fingers must cover, 0 to 1 (common practice, no source).

Raises
------
InvalidInput
    When a number or an outline breaks its rule.
)";

}  // namespace

void bind_bend_order(py::module_& m) {
    auto topic = m.def_submodule("bend_order");
    const py::none none;
    py::class_<Brake> brake(topic, "Brake", kBrakeDoc);
    brake
        .def(py::init(&make_brake), py::arg("name"), py::arg("kind"), py::arg("upper"), py::arg("lower"),
             py::arg("leaf") = none, py::kw_only(), py::arg("opens"), py::arg("greatest_angle_deg") = 135.0,
             py::arg("least_hold") = 0.0, py::arg("least_flange") = 0.0, py::arg("v_opening") = 0.0,
             py::arg("gauge_from") = 0.0, py::arg("gauge_to"), py::arg("fingers") = py::tuple(),
             py::arg("finger_height") = 0.0, py::arg("open_ended") = false, py::arg("least_cover") = 0.9)
        .def_readonly("name", &Brake::name)
        .def_property_readonly("kind", [](const Brake& b) { return b.kind == order::Kind::leaf ? "leaf" : "press"; })
        .def_readonly("upper", &Brake::upper)
        .def_readonly("lower", &Brake::lower)
        .def_readonly("leaf", &Brake::leaf)
        .def_readonly("opens", &Brake::opens)
        .def_readonly("greatest_angle_deg", &Brake::greatest_angle_deg)
        .def_readonly("least_hold", &Brake::least_hold)
        .def_readonly("least_flange", &Brake::least_flange)
        .def_readonly("v_opening", &Brake::v_opening)
        .def_readonly("gauge_from", &Brake::gauge_from)
        .def_readonly("gauge_to", &Brake::gauge_to)
        .def_property_readonly("fingers", [](const Brake& b) { return widths(b.fingers); })
        .def_readonly("finger_height", &Brake::finger_height)
        .def_readonly("open_ended", &Brake::open_ended)
        .def_readonly("least_cover", &Brake::least_cover);
    door::finish_value(
        brake, {"name", "kind", "upper", "lower", "leaf", "opens", "greatest_angle_deg", "least_hold", "least_flange",
                "v_opening", "gauge_from", "gauge_to", "fingers", "finger_height", "open_ended", "least_cover"});
    topic.def("invented_leaf_brake", &order::invented_leaf_brake);
    topic.def("invented_box_and_pan_brake", &order::invented_box_and_pan_brake);
    topic.def(
        "invented_press_brake",
        [](py::handle v_opening) {
            return order::invented_press_brake(door::scalar(v_opening, {"v_opening", Kind::length}));
        },
        py::arg("v_opening"));
    topic.def("search_section", &search_section, py::arg("section"), py::arg("brake"), py::arg("gauge"),
              py::arg("names"), py::arg("flats"), py::arg("ends"), py::arg("made"));
    topic.def("search_tray", &search_tray, py::arg("lengthwise"), py::arg("base_lengthwise"), py::arg("crosswise"),
              py::arg("base_crosswise"), py::arg("brake"), py::arg("gauge"), py::arg("names"), py::arg("flats"),
              py::arg("ends"), py::arg("made"));
    topic.def("obstacle", &obstacle, py::arg("section"), py::arg("brake"), py::arg("made"), py::arg("bend"),
              py::arg("at_gauge"), py::arg("gauge"));
}
