#include <foldswing/curved_flange.hpp>
#include <foldswing/edge_finish.hpp>
#include <foldswing/ready_section.hpp>

#include "bend.hpp"
#include "blank.hpp"
#include "blank_topics.hpp"

namespace py = pybind11;
namespace blank = foldswing::blank;
using blank::EdgeFinish;
using blank::Metal;
using blank::Profile;
using door::Kind;
using foldswing::InvalidInput;

namespace {

double length(py::handle h, const char* name) { return door::scalar(h, {name, Kind::length}); }
double factor(py::handle h) { return door::scalar(h, {"k_factor", Kind::number}); }

/// The metal's own arguments, the same for every ready section: (thickness, radius, k_factor, deduction, allowance,
/// coupon).
Metal metal_of(const py::tuple& m) {
    return {length(m[0], "thickness"), length(m[1], "radius"), door::basis(m[2], m[3], m[4], m[5])};
}

template <class Class, class... Field>
py::object result(const char* module, const Class& type, Field&&... fields) {
    return py::module_::import(module).attr(type)(std::forward<Field>(fields)...);
}

py::object edge_result(const EdgeFinish& e) {
    return result("foldswing.edge_finish", "EdgeFinish", door::parts_tuple(e.tail), e.addition, e.rule,
                  e.edge_from_line, e.rule_text, e.source, e.note);
}

std::optional<EdgeFinish> edge_given(py::handle h, const std::string& name) {
    if (h.is_none()) return std::nullopt;
    if (!py::hasattr(h, "tail") || !py::hasattr(h, "edge_from_line"))
        throw InvalidInput(name, door::quoted(h), "an EdgeFinish");
    EdgeFinish out;
    for (const py::handle p : py::cast<py::sequence>(h.attr("tail")))
        out.tail.push_back(door::part(p, name + ".tail[" + std::to_string(out.tail.size()) + "]"));
    const bool sound = out.tail.empty() || (std::holds_alternative<blank::Bend>(out.tail.front()) &&
                                            std::holds_alternative<blank::Flat>(out.tail.back()));
    if (!sound) throw InvalidInput(name + ".tail", "other parts", "bend, flat, ... beginning with a bend");
    out.edge_from_line = length(h.attr("edge_from_line"), (name + ".edge_from_line").c_str());
    return out;
}

blank::Hem hem_kind(const std::string& word) {
    if (word == "closed") return blank::Hem::closed;
    if (word == "open") return blank::Hem::open;
    if (word == "teardrop") return blank::Hem::teardrop;
    if (word == "double") return blank::Hem::doubled;
    throw InvalidInput("kind", "'" + word + "'", "'closed', 'open', 'teardrop' or 'double'");
}

const char* easing_word(blank::Easing e) noexcept {
    switch (e) {
        case blank::Easing::none:
            return "none";
        case blank::Easing::notches:
            return "notches";
        case blank::Easing::darts:
            return "darts";
        case blank::Easing::impossible:
            break;
    }
    return "impossible";
}

void bind_sections(py::module_& m) {
    auto topic = m.def_submodule("ready_section");
    topic.def("angle", [](py::handle a, py::handle b, py::handle turned, const py::tuple& metal) {
        return blank::angle_section(length(a, "leg_a"), length(b, "leg_b"), metal_of(metal),
                                    door::scalar(turned, {"angle_deg", Kind::angle}));
    });
    topic.def("channel", [](py::handle a, py::handle web, py::handle b, const py::tuple& metal) {
        return blank::channel(length(a, "flange_a"), length(web, "web"), length(b, "flange_b"), metal_of(metal));
    });
    topic.def("lipped_channel", [](py::handle lip, py::handle flange, py::handle web, const py::tuple& metal) {
        return blank::lipped_channel(length(lip, "lip"), length(flange, "flange"), length(web, "web"), metal_of(metal));
    });
    topic.def("hat", [](py::handle brim, py::handle height, py::handle top, const py::tuple& metal) {
        return blank::hat(length(brim, "brim"), length(height, "height"), length(top, "top"), metal_of(metal));
    });
    topic.def("zed", [](py::handle a, py::handle height, py::handle b, const py::tuple& metal) {
        return blank::zed(length(a, "flange_a"), length(height, "height"), length(b, "flange_b"), metal_of(metal));
    });
    topic.def("joggle", [](py::handle before, py::handle depth, py::handle run_out, py::handle after,
                           const py::tuple& metal) {
        const blank::Joggle j = blank::joggle(length(before, "before"), length(depth, "depth"),
                                              length(run_out, "run_out"), length(after, "after"), metal_of(metal));
        return result("foldswing.ready_section", "Joggle", j.profile, j.angle_deg, j.slope, j.take_up, j.least_run_out,
                      j.short_run_out);
    });
}

void bind_edges(py::module_& m) {
    auto topic = m.def_submodule("edge_finish");
    topic.def("hem", [](const std::string& kind, py::handle width, py::handle opening, py::handle thickness,
                        py::handle k_factor) {
        return edge_result(blank::hem(hem_kind(kind), length(width, "width"), length(opening, "opening"),
                                      length(thickness, "thickness"), factor(k_factor)));
    });
    topic.def("wired_edge", [](py::handle wire, py::handle thickness, py::handle k_factor, py::handle turned) {
        return edge_result(blank::wired_edge(length(wire, "wire_diameter"), length(thickness, "thickness"),
                                             factor(k_factor), door::scalar(turned, {"turned_deg", Kind::angle})));
    });
    topic.def("lock_seam", [](const std::string& kind, py::handle width, py::handle thickness, py::handle k_factor) {
        if (kind != "single" && kind != "double") throw InvalidInput("kind", "'" + kind + "'", "'single' or 'double'");
        return edge_result(blank::lock_seam(kind == "single" ? blank::Seam::single : blank::Seam::doubled,
                                            length(width, "width"), length(thickness, "thickness"), factor(k_factor)));
    });
    topic.def("finished", [](const Profile& profile, py::handle start, py::handle end) {
        return blank::finished(profile, edge_given(start, "start"), edge_given(end, "end"));
    });
    topic.def("tabs_and_slots", [](py::handle edge, std::size_t count, py::handle tab_width, py::handle thickness,
                                   py::handle through, py::handle proud, py::handle clearance) {
        const blank::TabsAndSlots t = blank::tabs_and_slots(length(edge, "edge"), count, length(tab_width, "tab_width"),
                                                            length(thickness, "thickness"), length(through, "through"),
                                                            length(proud, "proud"), length(clearance, "clearance"));
        return result("foldswing.edge_finish", "TabsAndSlots", door::numbers(t.centres), t.tab_width, t.tab_height,
                      t.slot_length, t.slot_width, t.between, t.to_end);
    });
}

void bind_curved(py::module_& m) {
    auto topic = m.def_submodule("curved_flange");
    topic.def("curved_flange", [](const std::string& curve, py::handle radius, py::handle arc, py::handle depth,
                                  py::handle angle, py::handle limit, py::handle tolerance, const py::tuple& metal) {
        if (curve != "hollow" && curve != "bulging")
            throw InvalidInput("curve", "'" + curve + "'", "'hollow' or 'bulging'");
        blank::CurvedFlangeSize size;
        size.curve = curve == "hollow" ? blank::Curve::hollow : blank::Curve::bulging;
        size.radius_in_plan = length(radius, "radius_in_plan");
        size.arc_deg = door::scalar(arc, {"arc_deg", Kind::angle});
        size.depth = length(depth, "depth");
        size.angle_deg = door::scalar(angle, {"angle_deg", Kind::angle});
        size.strain_limit = door::scalar(limit, {"strain_limit", Kind::number});
        size.flat_tolerance = length(tolerance, "flat_tolerance");
        const blank::CurvedFlange c = blank::curved_flange(size, metal_of(metal));
        return result("foldswing.curved_flange", "CurvedFlange", easing_word(c.easing), c.strain, c.bend_radius,
                      c.edge_radius, c.finished_edge_radius, c.cuts, c.cut_width, c.cut_depth, c.root_radius, c.outline,
                      c.explanation);
    });
}

}  // namespace

void bind_edge_finish(py::module_& m) {
    bind_sections(m);
    bind_edges(m);
    bind_curved(m);
}
