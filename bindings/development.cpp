#include <foldswing/development.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace development = foldswing::development;
using development::Drawn;
using development::Pattern;
using development::Point3;
using development::Sheet;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Path;

namespace {

double length(py::handle h, const char* name) { return door::scalar(h, {name, Kind::length}); }
double angle(py::handle h, const char* name) { return door::scalar(h, {name, Kind::angle}); }

Sheet sheet(py::handle thickness, const std::string& measured, const char* name = "thickness") {
    Sheet s;
    s.thickness = length(thickness, name);
    if (measured == "outside")
        s.measured = development::Face::outside;
    else if (measured == "inside")
        s.measured = development::Face::inside;
    else if (measured != "middle")
        throw InvalidInput("measured", "'" + measured + "'", "'outside', 'inside' or 'middle'");
    return s;
}
Drawn drawn(py::handle sagitta, int lines) { return {length(sagitta, "sagitta"), lines}; }

development::Cut cut(py::handle tilt_deg, py::handle high_deg, const char* tilt, const char* high) {
    return {angle(tilt_deg, tilt), angle(high_deg, high)};
}

std::vector<Point3> points3(py::handle h, const char* name) {
    const door::F64 a = door::array(h, {name, Kind::length});
    if (a.ndim() != 2 || a.shape(1) != 3)
        throw InvalidInput(name, "shape " + py::cast<std::string>(py::str(a.attr("shape"))), "(n, 3)");
    std::vector<Point3> out;
    for (py::ssize_t i = 0; i < a.shape(0); ++i) out.push_back({a.at(i, 0), a.at(i, 1), a.at(i, 2)});
    return out;
}

py::object space(const std::vector<Point3>& points) {
    door::F64 a({static_cast<py::ssize_t>(points.size()), py::ssize_t{3}});
    double* to = a.mutable_data();
    for (const Point3& p : points)
        for (const double v : {p.x, p.y, p.z}) *to++ = v;
    return door::freeze(std::move(a));
}

const char* word(development::Method m) noexcept {
    switch (m) {
        case development::Method::exact:
            return "exact";
        case development::Method::triangles:
            return "triangles";
        case development::Method::stretched:
            break;
    }
    return "stretched";
}
const char* word(development::LineKind k) noexcept {
    switch (k) {
        case development::LineKind::roll:
            return "roll";
        case development::LineKind::fold:
            return "fold";
        case development::LineKind::tangent:
            break;
    }
    return "tangent";
}

template <class... Field>
py::object result(const char* type, Field&&... fields) {
    return py::module_::import("foldswing.development").attr(type)(std::forward<Field>(fields)...);
}

py::object pattern(const Pattern& p) {
    py::tuple holes(p.holes.size());
    py::tuple folded_holes(p.holes.size());
    for (std::size_t i = 0; i < p.holes.size(); ++i) {
        holes[i] = door::points_array(p.holes[i].flat);
        folded_holes[i] = space(p.holes[i].folded);
    }
    py::list lines;
    for (const auto& l : p.lines)
        lines.append(result("PatternLine", l.label, word(l.kind), door::points_array(l.ends.flat), space(l.ends.folded),
                            l.length, l.angle_deg, l.twist_deg));
    py::list edges;
    for (const auto& e : p.edges) edges.append(result("PatternEdge", e.label, e.first, e.last, e.length, e.drawn));
    return result("Pattern", p.shape, word(p.method), door::points_array(p.outline.flat), space(p.outline.folded),
                  holes, folded_holes, py::tuple(lines), py::tuple(edges), p.area, p.thickness, p.sagitta,
                  p.girth_error, p.surface_error, p.edge_strain, p.explanation);
}

/// Works without the interpreter: only plain C++ values are touched meanwhile.
template <class F>
auto apart(F f) {
    const py::gil_scoped_release nogil;
    return f();
}

py::object cylinder(py::handle diameter, py::handle len, py::handle bottom_tilt, py::handle bottom_high,
                    py::handle top_tilt, py::handle top_high, py::handle thickness, const std::string& measured,
                    py::handle sagitta, int lines) {
    const double d = length(diameter, "diameter");
    const double l = length(len, "length");
    const auto low = cut(bottom_tilt, bottom_high, "bottom_tilt_deg", "bottom_high_deg");
    const auto high = cut(top_tilt, top_high, "top_tilt_deg", "top_high_deg");
    const Sheet s = sheet(thickness, measured);
    const Drawn how = drawn(sagitta, lines);
    return pattern(apart([&] { return development::cylinder(d, l, low, high, s, how); }));
}

py::object elbow(py::handle diameter, py::handle angle_deg, py::handle radius, int pieces, py::handle thickness,
                 const std::string& measured, py::handle sagitta, int lines) {
    const double d = length(diameter, "diameter");
    const double a = angle(angle_deg, "angle_deg");
    const double r = length(radius, "radius");
    const Sheet s = sheet(thickness, measured);
    const Drawn how = drawn(sagitta, lines);
    const auto made = apart([&] { return development::elbow(d, a, r, pieces, s, how); });
    py::list all;
    for (const Pattern& p : made.pieces) all.append(pattern(p));
    return result("Elbow", made.mitre_deg, py::tuple(all));
}

py::object branch(py::handle main_diameter, py::handle branch_diameter, py::handle angle_deg, py::handle main_length,
                  py::handle branch_length, py::handle along, py::handle offset, py::handle main_thickness,
                  py::handle branch_thickness, const std::string& measured, py::handle sagitta, int lines) {
    const development::BranchSize size{length(main_diameter, "main_diameter"),
                                       length(branch_diameter, "branch_diameter"),
                                       angle(angle_deg, "angle_deg"),
                                       length(main_length, "main_length"),
                                       length(branch_length, "branch_length"),
                                       length(along, "along"),
                                       length(offset, "offset")};
    const Sheet main_sheet = sheet(main_thickness, measured, "main_thickness");
    const Sheet branch_sheet = sheet(branch_thickness, measured, "branch_thickness");
    const Drawn how = drawn(sagitta, lines);
    const auto made = apart([&] { return development::branch(size, main_sheet, branch_sheet, how); });
    return result("Branch", pattern(made.branch), pattern(made.main));
}

py::object cone(py::handle diameter, py::handle height, py::handle top_diameter, py::handle bottom_tilt,
                py::handle bottom_high, py::handle top_tilt, py::handle top_high, py::handle thickness,
                const std::string& measured, py::handle sagitta, int lines) {
    const double d = length(diameter, "diameter");
    const double h = length(height, "height");
    const double t = length(top_diameter, "top_diameter");
    const auto low = cut(bottom_tilt, bottom_high, "bottom_tilt_deg", "bottom_high_deg");
    const auto high = cut(top_tilt, top_high, "top_tilt_deg", "top_high_deg");
    const Sheet s = sheet(thickness, measured);
    const Drawn how = drawn(sagitta, lines);
    return pattern(apart([&] { return development::cone(d, h, t, low, high, s, how); }));
}

py::object oblique_cone(py::handle diameter, py::handle height, py::handle offset, py::handle top_diameter,
                        py::handle thickness, const std::string& measured, py::handle sagitta, int lines) {
    const double d = length(diameter, "diameter");
    const double h = length(height, "height");
    const auto o = door::point(offset, "offset");
    const double t = length(top_diameter, "top_diameter");
    const Sheet s = sheet(thickness, measured);
    const Drawn how = drawn(sagitta, lines);
    return pattern(apart([&] { return development::oblique_cone(d, h, o, t, s, how); }));
}

py::object transition(const Path& bottom, const Path& top, py::handle height, py::handle offset, py::handle tilt_deg,
                      py::handle high_deg, const std::string& surface, py::handle thickness,
                      const std::string& measured, py::handle sagitta, int lines) {
    const development::Placement at{length(height, "height"), door::point(offset, "offset"),
                                    angle(tilt_deg, "tilt_deg"), angle(high_deg, "high_deg")};
    if (surface != "smooth" && surface != "triangles")
        throw InvalidInput("surface", "'" + surface + "'", "'smooth' or 'triangles'");
    const auto how = surface == "smooth" ? development::Surface::smooth : development::Surface::triangles;
    const Sheet s = sheet(thickness, measured);
    const Drawn as = drawn(sagitta, lines);
    return pattern(apart([&] { return development::transition(bottom, top, at, how, s, as); }));
}

py::object to_point(const Path& bottom, py::handle apex, py::handle height, py::handle thickness,
                    const std::string& measured, py::handle sagitta, int lines) {
    const auto at = door::point(apex, "apex");
    const Point3 point{at.x, at.y, length(height, "height")};
    const Sheet s = sheet(thickness, measured);
    const Drawn how = drawn(sagitta, lines);
    return pattern(apart([&] { return development::to_point(bottom, point, s, how); }));
}

py::object gore(py::handle diameter, int gores, py::handle from_deg, py::handle to_deg, py::handle thickness,
                const std::string& measured, py::handle sagitta, int lines) {
    const double d = length(diameter, "diameter");
    const double from = angle(from_deg, "from_deg");
    const double to = angle(to_deg, "to_deg");
    const Sheet s = sheet(thickness, measured);
    const Drawn how = drawn(sagitta, lines);
    return pattern(apart([&] { return development::gore(d, gores, from, to, s, how); }));
}

py::object ruled_strip(py::handle bottom, py::handle top, int rulings, py::handle thickness) {
    const auto low = points3(bottom, "bottom");
    const auto high = points3(top, "top");
    const double t = length(thickness, "thickness");
    return pattern(apart([&] { return development::ruled_strip(low, high, rulings, t); }));
}

}  // namespace

void bind_development(py::module_& m) {
    auto topic = m.def_submodule("development");
    using py::arg;
    topic.def("cylinder", &cylinder, arg("diameter"), arg("length"), arg("bottom_tilt_deg"), arg("bottom_high_deg"),
              arg("top_tilt_deg"), arg("top_high_deg"), arg("thickness"), arg("measured"), arg("sagitta"),
              arg("lines"));
    topic.def("elbow", &elbow, arg("diameter"), arg("angle_deg"), arg("radius"), arg("pieces"), arg("thickness"),
              arg("measured"), arg("sagitta"), arg("lines"));
    topic.def("branch", &branch, arg("main_diameter"), arg("branch_diameter"), arg("angle_deg"), arg("main_length"),
              arg("branch_length"), arg("along"), arg("offset"), arg("main_thickness"), arg("branch_thickness"),
              arg("measured"), arg("sagitta"), arg("lines"));
    topic.def("cone", &cone, arg("diameter"), arg("height"), arg("top_diameter"), arg("bottom_tilt_deg"),
              arg("bottom_high_deg"), arg("top_tilt_deg"), arg("top_high_deg"), arg("thickness"), arg("measured"),
              arg("sagitta"), arg("lines"));
    topic.def("oblique_cone", &oblique_cone, arg("diameter"), arg("height"), arg("offset"), arg("top_diameter"),
              arg("thickness"), arg("measured"), arg("sagitta"), arg("lines"));
    topic.def("transition", &transition, arg("bottom"), arg("top"), arg("height"), arg("offset"), arg("tilt_deg"),
              arg("high_deg"), arg("surface"), arg("thickness"), arg("measured"), arg("sagitta"), arg("lines"));
    topic.def("to_point", &to_point, arg("bottom"), arg("apex"), arg("height"), arg("thickness"), arg("measured"),
              arg("sagitta"), arg("lines"));
    topic.def("gore", &gore, arg("diameter"), arg("gores"), arg("from_deg"), arg("to_deg"), arg("thickness"),
              arg("measured"), arg("sagitta"), arg("lines"));
    topic.def("ruled_strip", &ruled_strip, arg("bottom"), arg("top"), arg("rulings"), arg("thickness"));
    topic.def(
        "round_outline", [](py::handle d) { return development::round_outline(length(d, "diameter")); },
        arg("diameter"));
    topic.def(
        "rectangle_outline",
        [](py::handle l, py::handle w, py::handle r) {
            return development::rectangle_outline(length(l, "length"), length(w, "width"), length(r, "corner_radius"));
        },
        arg("length"), arg("width"), arg("corner_radius"));
}
