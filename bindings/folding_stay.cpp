#include <foldswing/folding_stay.hpp>

#include "motion.hpp"
#include "plane.hpp"
#include "stay.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace folding = foldswing::folding_stay;
using door::Kind;
using folding::LinkMotion;
using folding::Wanted;

namespace {

struct Link : MotionBatch {};

LinkMotion::Link link_of(const std::string& link) {
    if (link == "body") return LinkMotion::Link::body;
    if (link == "panel") return LinkMotion::Link::panel;
    throw foldswing::InvalidInput("link", "'" + link + "'", "'body' or 'panel'");
}

/// (fixed, panel, pivot, turn_deg, past_centre_deg, share, folds).
Wanted wanted_of(const py::tuple& given) {
    if (given.size() != 7) throw foldswing::InvalidInput("wanted", std::to_string(given.size()) + " values", "seven");
    const auto folds = py::cast<std::string>(py::str(py::object(given[6])));
    if (folds != "left" && folds != "right")
        throw foldswing::InvalidInput("folds", "'" + folds + "'", "'left' or 'right'");
    return {{door::point(py::object(given[0]), "fixed"), door::point(py::object(given[1]), "panel")},
            door::point(py::object(given[2]), "pivot"),
            door::scalar(py::object(given[3]), {"turn_deg", Kind::angle}),
            door::scalar(py::object(given[4]), {"past_centre_deg", Kind::angle}),
            door::scalar(py::object(given[5]), {"share", Kind::number}),
            folds == "left"};
}

py::tuple wanted_tuple(const Wanted& w) {
    return py::make_tuple(door::point_array(w.pins.fixed), door::point_array(w.pins.panel), door::point_array(w.pivot),
                          w.turn_deg, w.past_centre_deg, w.share, w.left ? "left" : "right");
}

/// The fields of FoldingStay in order.
py::tuple folding_stay(const py::tuple& wanted) {
    const folding::FoldingStay s = folding::folding_stay(wanted_of(wanted));
    return py::make_tuple(folding::word(s.status), s.first, s.second, door::point_array(s.joint_shut),
                          door::point_array(s.joint_stop), s.folded_deg, s.past_centre, s.straight_deg, s.longer,
                          s.explanation);
}

/// For the body's link and the panel's: gap, lower bound, turn of the panel, points of link and body, body.
py::list links_gap(const py::tuple& wanted, py::handle width, py::handle fixed, py::handle tolerance) {
    const Wanted w = wanted_of(wanted);
    const double across = door::scalar(width, {"width", Kind::length});
    const auto still = door::outlines(fixed, "fixed");
    const double close = door::scalar(tolerance, {"tolerance", Kind::length});
    std::array<foldswing::clearance::Gap, 2> gaps;
    {
        const py::gil_scoped_release nogil;  // copies only
        gaps = folding::links_gap(w, across, still, close);
    }
    const LinkMotion motion(w, LinkMotion::Link::body);
    py::list out;
    for (const auto& g : gaps)
        out.append(py::make_tuple(g.gap, g.lower_bound, motion.turn_at(g.at), door::point_array(g.panel_point),
                                  door::point_array(g.fixed_point), g.body));
    return out;
}

py::tuple links_room(const py::tuple& wanted, py::handle width, py::handle sagitta) {
    const Wanted w = wanted_of(wanted);
    const double across = door::scalar(width, {"width", Kind::length});
    const double close = door::scalar(sagitta, {"sagitta", Kind::length});
    std::vector<foldswing::Outline> room;
    {
        const py::gil_scoped_release nogil;  // copies only
        room = folding::links_room(w, across, close);
    }
    py::tuple out(room.size());
    for (std::size_t i = 0; i < room.size(); ++i) out[i] = py::cast(std::move(room[i]));
    return out;
}

}  // namespace

void bind_folding_stay(py::module_& m) {
    auto topic = m.def_submodule("folding_stay");
    topic.def("folding_stay", &folding_stay, py::arg("wanted"));
    topic.def(
        "seen_from_panel", [](const py::tuple& w) { return wanted_tuple(folding::seen_from_panel(wanted_of(w))); },
        py::arg("wanted"));
    topic.def(
        "lug_moment",
        [](py::handle past_centre, py::handle push) {
            folding::FoldingStay s;
            s.past_centre = door::scalar(past_centre, {"past_centre", Kind::length});
            return folding::lug_moment(s, door::scalar(push, {"push", Kind::force}));
        },
        py::arg("past_centre"), py::arg("push"));
    [[maybe_unused]] const py::class_<Link, MotionBatch> link_motion(
        topic, "LinkMotion", "How one link moves, as a motion: the joint at the origin of its own coordinates.");
    topic.def(
        "link_motion",
        [](const py::tuple& wanted, const std::string& link) {
            Link out;
            out.items.push_back(std::make_shared<const LinkMotion>(wanted_of(wanted), link_of(link)));
            return out;
        },
        py::arg("wanted"), py::arg("link"));
    topic.def(
        "link_bar",
        [](py::handle length, py::handle width) {
            return folding::link_bar(door::scalar(length, {"length", Kind::length}),
                                     door::scalar(width, {"width", Kind::length}));
        },
        py::arg("length"), py::arg("width"));
    topic.def("links_gap", &links_gap, py::arg("wanted"), py::arg("width"), py::arg("fixed"), py::arg("tolerance"));
    topic.def("links_room", &links_room, py::arg("wanted"), py::arg("width"), py::arg("sagitta"));
}
