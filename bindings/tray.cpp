#include <foldswing/tray.hpp>

#include "batch.hpp"
#include "bend.hpp"
#include "blank.hpp"
#include "blank_topics.hpp"
#include "carry.hpp"
#include "tray_docs.hpp"

namespace py = pybind11;
namespace blank = foldswing::blank;
using blank::Basis;
using blank::Relief;
using blank::Return;
using blank::Side;
using blank::Tray;
using blank::TrayLine;
using blank::TrayPanel;
using blank::TraySize;
using door::F64;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Path;

namespace {

Return make_return(py::handle width, py::handle angle_deg, const std::string& way) {
    if (way != "in" && way != "out") throw InvalidInput("way", "'" + way + "'", "'in' or 'out'");
    return {door::scalar(width, {"width", Kind::length}), door::scalar(angle_deg, {"angle_deg", Kind::angle}),
            way == "in"};
}

std::optional<Return> one_return(py::handle h) {
    if (h.is_none()) return std::nullopt;
    if (py::isinstance<Return>(h)) return py::cast<Return>(h);
    if (py::isinstance<py::dict>(h)) return py::cast<Return>(py::type::of<Return>()(**py::cast<py::dict>(h)));
    throw InvalidInput("returns", door::quoted(h), "a Return, or one or None for each of (left, right, bottom, top)");
}

Relief relief(const std::string& word) {
    if (word == "none") return Relief::none;
    if (word == "round") return Relief::round;
    if (word == "square") return Relief::square;
    if (word == "slit") return Relief::slit;
    throw InvalidInput("relief", "'" + word + "'", "'none', 'round', 'square' or 'slit'");
}
const char* relief_word(Relief r) noexcept {
    switch (r) {
        case Relief::none:
            return "none";
        case Relief::round:
            return "round";
        case Relief::square:
            return "square";
        case Relief::slit:
            break;
    }
    return "slit";
}

Tray make_tray(py::handle length, py::handle width, py::handle depth, py::handle returns, py::handle thickness,
               py::handle radius, py::handle k_factor, py::handle deduction, py::handle allowance, py::handle coupon,
               const std::string& way, const std::string& measured, const std::string& notch, py::handle corner_gap,
               const std::string& relief_kind, py::handle relief_size, py::handle relief_past, py::handle lapped,
               py::handle lap_width, std::size_t lap_holes, py::handle lap_hole_diameter) {
    TraySize size;
    size.length = door::scalar(length, {"length", Kind::length});
    size.width = door::scalar(width, {"width", Kind::length});
    const F64 depths = door::array(depth, {"depth", Kind::length});
    if (depths.ndim() > 1 || (depths.ndim() == 1 && depths.size() != 4))
        throw InvalidInput("depth", std::to_string(depths.size()) + " lengths",
                           "one length or (left, right, bottom, top)");
    for (std::size_t i = 0; i < 4; ++i) size.depth[i] = depths.ndim() == 0 ? *depths.data() : depths.data()[i];
    if (py::isinstance<py::tuple>(returns) || py::isinstance<py::list>(returns)) {
        if (py::len(returns) != 4)
            throw InvalidInput("returns", std::to_string(py::len(returns)) + " returns",
                               "one, or (left, right, bottom, top)");
        std::size_t i = 0;
        for (const py::handle h : py::cast<py::sequence>(returns)) size.returns[i++] = one_return(h);
    } else {
        size.returns.fill(one_return(returns));
    }
    size.thickness = door::scalar(thickness, {"thickness", Kind::length});
    size.radius = door::scalar(radius, {"radius", Kind::length});
    size.basis = door::basis(k_factor, deduction, allowance, coupon);
    size.direction = door::direction(way);
    size.measured = door::measured(measured);
    size.notch = door::notch(notch);
    size.corner_gap = door::scalar(corner_gap, {"corner_gap", Kind::length});
    size.relief = relief(relief_kind);
    size.relief_size = door::scalar(relief_size, {"relief_size", Kind::length});
    size.relief_past = door::scalar(relief_past, {"relief_past", Kind::length});
    if (!py::isinstance<py::tuple>(lapped) && !py::isinstance<py::list>(lapped))
        throw InvalidInput("lapped", door::quoted(lapped), "a list of sides");
    for (const py::handle h : py::cast<py::sequence>(lapped)) {
        if (!py::isinstance<py::str>(h)) throw InvalidInput("lapped", door::quoted(h), "a list of sides");
        size.lapped[static_cast<std::size_t>(door::side("lapped", py::cast<std::string>(h)))] = true;
    }
    size.lap_width = door::scalar(lap_width, {"lap_width", Kind::length});
    size.lap_holes = lap_holes;
    size.lap_hole_diameter = door::scalar(lap_hole_diameter, {"lap_hole_diameter", Kind::length});
    return Tray(size);
}

template <class... Field>
py::object result(const char* type, Field&&... fields) {
    return py::module_::import("foldswing.tray").attr(type)(std::forward<Field>(fields)...);
}

py::object ends(const TrayLine& line, double position) {
    const auto both = line.ends(position);
    return door::points_array({both.begin(), both.end()});
}

py::tuple tray_lines(const Tray& tray) {
    py::tuple out(tray.bend_lines().size());
    std::size_t i = 0;
    for (const TrayLine& l : tray.bend_lines()) {
        const char* kind = l.kind == TrayLine::Kind::flange ? "flange"
                           : l.kind == TrayLine::Kind::lip  ? "return"
                                                            : "tab";
        out[i++] = result("TrayLine", kind, door::side_word(l.side),
                          door::bend_line(l.line, l.upright ? tray.blank_length() : tray.blank_width()),
                          ends(l, l.line.centre), ends(l, l.line.tangent[0]), ends(l, l.line.tangent[1]),
                          ends(l, l.line.sight[0]), ends(l, l.line.sight[1]));
    }
    return out;
}

py::tuple lap_holes(const Tray& tray) {
    py::tuple out(tray.lap_holes().size());
    std::size_t i = 0;
    for (const auto& h : tray.lap_holes())
        out[i++] = result("LapHole", door::side_word(h.side), h.in_tab, door::point_array(h.at), h.diameter);
    return out;
}

TrayPanel panel(const std::string& word) {
    if (word == "base") return TrayPanel::base;
    if (word == "flange") return TrayPanel::flange;
    if (word == "return") return TrayPanel::lip;
    throw InvalidInput("panel", "'" + word + "'", "'base', 'flange' or 'return'");
}

Side side_of(py::handle side, TrayPanel on) {
    if (on == TrayPanel::base) return Side::bottom;
    if (!py::isinstance<py::str>(side))
        throw InvalidInput("side", door::quoted(side), "'left', 'right', 'bottom' or 'top'");
    return door::side("side", py::cast<std::string>(side));
}

py::object to_folded(const Tray& tray, py::handle points, const std::string& face) {
    const blank::Face on = door::face(face);
    const F64 given = door::array(points, {"points", Kind::length});
    const auto all = door::points(given, "points");
    F64 out = given.ndim() == 1 ? F64(3) : F64({static_cast<py::ssize_t>(all.size()), py::ssize_t{3}});
    double* to = out.mutable_data();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const blank::SpacePoint p = tray.to_folded(all[i], on);
        to[3 * i] = p.x;
        to[3 * i + 1] = p.y;
        to[3 * i + 2] = p.z;
    }
    return door::freeze(std::move(out));
}

py::object to_blank(const Tray& tray, py::handle point, const std::string& face, py::handle within) {
    const F64 given = door::space_points(point, "point");
    if (given.ndim() != 1) throw InvalidInput("point", std::to_string(given.shape(0)) + " points", "one (x, y, z)");
    const double* p = given.data();
    return door::points_array(
        tray.to_blank({p[0], p[1], p[2]}, door::face(face), door::scalar(within, {"within", Kind::length})));
}

}  // namespace

void bind_tray(py::module_& m) {
    auto topic = m.def_submodule("tray");
    const py::none none;

    py::class_<Return> lip(topic, "Return", return_doc);
    lip.def(py::init(&make_return), py::arg("width"), py::arg("angle_deg") = 90.0, py::arg("way") = "in")
        .def_readonly("width", &Return::width)
        .def_readonly("angle_deg", &Return::angle_deg)
        .def_property_readonly("way", [](const Return& r) { return r.inward ? "in" : "out"; });
    door::finish_value(lip, {"width", "angle_deg", "way"});

    const auto basis_of = [](Basis::Kind kind) {
        return [kind](const Tray& t) { return door::basis_value(t.size().basis, kind); };
    };
    py::class_<Tray> tray(topic, "Tray", tray_doc);
    tray.def(py::init(&make_tray), py::arg("length"), py::arg("width"), py::arg("depth"), py::kw_only(),
             py::arg("returns") = none, py::arg("thickness"), py::arg("radius"), py::arg("k_factor") = none,
             py::arg("deduction") = none, py::arg("allowance") = none, py::arg("coupon") = none,
             py::arg("direction") = "up", py::arg("measured") = "outside", py::arg("notch") = "centre",
             py::arg("corner_gap") = TraySize{}.corner_gap, py::arg("relief") = "none", py::arg("relief_size") = 0.0,
             py::arg("relief_past") = 0.0, py::arg("lapped") = py::tuple(), py::arg("lap_width") = 0.0,
             py::arg("lap_holes") = 0, py::arg("lap_hole_diameter") = 0.0)
        .def_property_readonly("length", [](const Tray& t) { return t.size().length; })
        .def_property_readonly("width", [](const Tray& t) { return t.size().width; })
        .def_property_readonly("depth",
                               [](const Tray& t) {
                                   return door::numbers({t.size().depth.begin(), t.size().depth.end()});
                               })
        .def_property_readonly("returns",
                               [](const Tray& t) {
                                   py::tuple out(4);
                                   for (std::size_t i = 0; i < 4; ++i) out[i] = py::cast(t.size().returns[i]);
                                   return out;
                               })
        .def_property_readonly("thickness", [](const Tray& t) { return t.size().thickness; })
        .def_property_readonly("radius", [](const Tray& t) { return t.size().radius; })
        .def_property_readonly("k_factor", basis_of(Basis::Kind::k_factor))
        .def_property_readonly("deduction", basis_of(Basis::Kind::deduction))
        .def_property_readonly("allowance", basis_of(Basis::Kind::allowance))
        .def_property_readonly("direction", [](const Tray& t) { return door::direction_word(t.size().direction); })
        .def_property_readonly("measured", [](const Tray& t) { return door::measured_word(t.size().measured); })
        .def_property_readonly("notch", [](const Tray& t) { return door::notch_word(t.size().notch); })
        .def_property_readonly("corner_gap", [](const Tray& t) { return t.size().corner_gap; })
        .def_property_readonly("relief", [](const Tray& t) { return relief_word(t.size().relief); })
        .def_property_readonly("relief_size", [](const Tray& t) { return t.size().relief_size; })
        .def_property_readonly("relief_past", [](const Tray& t) { return t.size().relief_past; })
        .def_property_readonly("lapped",
                               [](const Tray& t) {
                                   py::list out;
                                   for (std::size_t i = 0; i < 4; ++i)
                                       if (t.size().lapped[i]) out.append(door::side_word(static_cast<Side>(i)));
                                   return py::tuple(out);
                               })
        .def_property_readonly("lap_width", [](const Tray& t) { return t.size().lap_width; })
        .def_property_readonly("lap_holes", [](const Tray& t) { return t.size().lap_holes; })
        .def_property_readonly("lap_hole_diameter", [](const Tray& t) { return t.size().lap_hole_diameter; })
        .def_property_readonly("blank_length", &Tray::blank_length)
        .def_property_readonly("blank_width", &Tray::blank_width)
        .def_property_readonly("lengthwise", [](const Tray& t) { return t.lengthwise(); })
        .def_property_readonly("crosswise", [](const Tray& t) { return t.crosswise(); })
        .def_property_readonly("outline", [](const Tray& t) { return t.outline(); })
        .def_property_readonly("bend_lines", &tray_lines)
        .def_property_readonly("holes", &lap_holes)
        .def_property_readonly("flange_end_gap", &Tray::flange_end_gap)
        .def_property_readonly("flange_end_overlap", &Tray::flange_end_overlap)
        .def_property_readonly("explanation", &Tray::explanation)
        .def(
            "place",
            [](const Tray& t, const std::string& on, py::handle side, py::handle along, py::handle up) {
                const TrayPanel p = panel(on);
                return door::point_array(t.place(p, side_of(side, p), door::scalar(along, {"along", Kind::length}),
                                                 door::scalar(up, {"up", Kind::length})));
            },
            py::arg("panel"), py::arg("side"), py::arg("along"), py::arg("up"), place_doc)
        .def(
            "path_on_blank",
            [](const Tray& t, const std::string& on, py::handle side, const Path& path) {
                const TrayPanel p = panel(on);
                return t.path_on_blank(p, side_of(side, p), path);
            },
            py::arg("panel"), py::arg("side"), py::arg("path"), path_doc)
        .def("to_folded", &to_folded, py::arg("points"), py::arg("face") = "lower", to_folded_doc)
        .def("to_blank", &to_blank, py::arg("point"), py::arg("face") = "lower", py::kw_only(),
             py::arg("within") = 0.01, to_blank_doc);
    door::finish_value(
        tray, {"length",      "width",       "depth",     "returns",   "thickness", "radius",           "k_factor",
               "deduction",   "allowance",   "direction", "measured",  "notch",     "corner_gap",       "relief",
               "relief_size", "relief_past", "lapped",    "lap_width", "lap_holes", "lap_hole_diameter"});
}
