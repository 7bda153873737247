#include <foldswing/fitting.hpp>

#include "landings.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace fitting = foldswing::fitting;
using door::F64;
using door::Kind;
using fitting::HolesFit;
using fitting::Which;
using foldswing::InvalidInput;

namespace {

std::vector<double> numbers(py::handle h, door::Arg arg) {
    const F64 a = door::array(h, arg);
    if (a.ndim() != 1) throw InvalidInput(arg.name, std::to_string(a.ndim()) + " axes", "a list of numbers");
    return {a.data(), a.data() + a.size()};
}
std::vector<double> numbers(py::handle h, door::Arg arg, std::size_t count) {
    std::vector<double> out = numbers(h, arg);
    if (out.size() != count)
        throw InvalidInput(arg.name, std::to_string(out.size()) + " values", "as many as there are of the others");
    return out;
}
std::optional<double> maybe(py::handle h, door::Arg arg) {
    return h.is_none() ? std::nullopt : std::optional<double>(door::scalar(h, arg));
}
py::object array(const std::vector<double>& values) {
    return door::freeze(F64(static_cast<py::ssize_t>(values.size()), values.data()));
}
py::object square(const std::vector<double>& values, std::size_t n) {
    F64 a({static_cast<py::ssize_t>(n), static_cast<py::ssize_t>(n)});
    std::copy(values.begin(), values.end(), a.mutable_data());
    return door::freeze(std::move(a));
}
py::object matrix(const fitting::Covariance& c) { return square({c.xx, c.xy, c.xy, c.yy}, 2); }
fitting::Covariance covariance_of(py::handle h, const char* name) {
    const F64 c = door::array(h, {name, Kind::number});
    if (c.ndim() != 2 || c.shape(0) != 2 || c.shape(1) != 2)
        throw InvalidInput(name, std::to_string(c.size()) + " values", "two by two");
    return {c.data()[0], c.data()[1], c.data()[3]};
}
fitting::FoundPivot found_pivot(py::handle place, py::handle covariance) {
    return {door::point(place, "pivot"), covariance_of(covariance, "pivot_covariance")};
}
py::tuple ellipse(const fitting::Ellipse& e) { return py::make_tuple(e.semi_major, e.semi_minor, e.angle_deg); }

py::tuple pivot_from_poses(const door::Batch<foldswing::Pose>& poses, py::handle weights, py::handle pose_error) {
    const std::vector<double> w =
        weights.is_none() ? std::vector<double>{} : numbers(weights, {"weights", Kind::number});
    const auto error = maybe(pose_error, {"pose_error", Kind::length});
    const auto p = fitting::pivot_from_poses(poses.items, w, error);
    return py::make_tuple(foldswing::hinge::word(p.status), door::point_array(p.pivot),
                          door::point_array(p.panel_point), door::point_array(p.direction),
                          door::points_array(p.residuals), p.scatter, matrix(p.covariance), p.explanation);
}

py::tuple pivot_from_arc(py::handle points, py::handle reading_error) {
    const auto p =
        fitting::pivot_from_arc(door::points(points, "points"), maybe(reading_error, {"reading_error", Kind::length}));
    const char* word = p.status == foldswing::arc::FitStatus::circle     ? "circle"
                       : p.status == foldswing::arc::FitStatus::straight ? "straight"
                                                                         : "not_converged";
    return py::make_tuple(word, door::point_array(p.pivot), matrix(p.covariance), p.radius, p.swept_deg, p.explanation);
}

std::size_t place(double v, const char* name) {
    if (v == -1.0) return fitting::kNoEdge;
    if (!(v >= 0.0 && v <= 1e6 && v == static_cast<double>(static_cast<std::size_t>(v))))
        throw InvalidInput(name, v, "a place in the list, from 0");
    return static_cast<std::size_t>(v);
}

/// Readings as columns.
std::vector<fitting::Reading> readings(const py::tuple& columns) {
    const auto points = door::points(columns[1], "point");
    const auto n = points.size();
    const auto stop = numbers(columns[0], {"stop", Kind::number}, n);
    const auto normals = door::points(columns[2], "normal");
    if (normals.size() != n) throw InvalidInput("normal", std::to_string(normals.size()) + " values", "one for each");
    const auto offset = numbers(columns[3], {"offset", Kind::length}, n);
    const auto distance = numbers(columns[4], {"distance", Kind::length}, n);
    const auto error = numbers(columns[5], {"standard_error", Kind::length}, n);
    const auto edge = numbers(columns[6], {"edge", Kind::number}, n);
    std::vector<fitting::Reading> out(n);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = {place(stop[i], "stop"), points[i], normals[i], offset[i], distance[i], error[i],
                  place(edge[i], "edge")};
    return out;
}

py::tuple fit_tuple(const HolesFit& f) {
    py::list unseen;
    for (const auto& v : f.unseen) unseen.append(array({v.begin(), v.end()}));
    py::list checks;
    for (const auto& c : f.checks)
        checks.append(py::make_tuple(c.residual, c.redundancy, c.normalised, c.smallest_noticed, c.checked));
    return py::make_tuple(fitting::word(f.status), door::point_array(f.holes.panel), door::point_array(f.holes.body),
                          door::point_array(f.drawn.panel), door::point_array(f.drawn.body),
                          square(f.covariance, f.parameters), ellipse(f.panel_ellipse), ellipse(f.body_ellipse),
                          py::tuple(unseen), array(f.turns_deg), array(f.turn_standard_errors), array(f.edges),
                          py::tuple(checks), f.suspect ? py::object(py::int_(*f.suspect)) : py::object(py::none()),
                          py::tuple(py::cast(f.alike)), f.misfit, f.spare, f.explanation);
}

py::tuple fit_holes(const py::tuple& columns, py::handle turns, py::handle turn_errors, py::handle panel,
                    py::handle body, py::handle edge_errors, py::handle drilling, py::handle apart,
                    py::handle confidence, py::handle pivot, py::handle pivot_covariance) {
    const auto turn = numbers(turns, {"turn_deg", Kind::angle});
    const auto turn_error = numbers(turn_errors, {"standard_error_deg", Kind::angle}, turn.size());
    std::vector<fitting::Stop> stops;
    for (std::size_t i = 0; i < turn.size(); ++i) stops.push_back({turn[i], turn_error[i]});
    const auto given = readings(columns);
    const fitting::Holes drawn{door::point(panel, "panel_hole"), door::point(body, "body_hole")};
    fitting::Known known{
        numbers(edge_errors, {"edge_errors", Kind::length}), door::scalar(drilling, {"drilling_error", Kind::length}),
        door::scalar(apart, {"apart_error", Kind::length}), door::scalar(confidence, {"confidence", Kind::number})};
    if (!pivot.is_none()) known.pivot = found_pivot(pivot, pivot_covariance);
    HolesFit out;
    {
        const py::gil_scoped_release nogil;  // plain structs only: no Python object is touched
        out = fitting::fit_holes(given, stops, drawn, known);
    }
    return fit_tuple(out);
}

/// What of a fit the moves need: status, holes, drawing, covariance, what was not seen, edges.
HolesFit fit_of(const py::tuple& t) {
    HolesFit f;
    const auto status = py::cast<std::string>(t[0]);
    f.status = status == "both"     ? fitting::HolesStatus::both
               : status == "partly" ? fitting::HolesStatus::partly
                                    : fitting::HolesStatus::not_converged;
    f.holes = {door::point(t[1], "panel_hole"), door::point(t[2], "body_hole")};
    f.drawn = {door::point(t[3], "panel_drawn"), door::point(t[4], "body_drawn")};
    f.edges = numbers(t[7], {"edges", Kind::length});
    f.parameters = 4 + f.edges.size();
    const F64 c = door::array(t[5], {"covariance", Kind::number});
    if (static_cast<std::size_t>(c.size()) != f.parameters * f.parameters)
        throw InvalidInput("covariance", std::to_string(c.size()) + " values", "a square of 4 and one for each edge");
    f.covariance.assign(c.data(), c.data() + c.size());
    for (const py::handle h : py::reinterpret_borrow<py::iterable>(t[6])) {
        const auto v = numbers(h, {"unseen", Kind::number}, 4);
        f.unseen.push_back({v[0], v[1], v[2], v[3]});
    }
    return f;
}

Which which_of(const std::string& word) {
    for (const Which w : {Which::none, Which::body, Which::panel, Which::both, Which::together})
        if (word == fitting::word(w)) return w;
    throw InvalidInput("which", "'" + word.substr(0, 40) + "'", "none, body, panel, both or together");
}

std::optional<fitting::Slot> slot_of(py::handle h) {
    if (h.is_none()) return std::nullopt;
    const auto t = py::reinterpret_borrow<py::tuple>(h);
    return fitting::Slot{door::point(t[0], "direction"), door::scalar(t[1], {"forward", Kind::length}),
                         door::scalar(t[2], {"backward", Kind::length})};
}

py::tuple correct(const py::tuple& fit, const py::iterable& landings, const py::tuple& lines, py::handle error,
                  py::handle packing, bool anew, const std::vector<std::string>& allowed, const py::tuple& slots) {
    const auto wanted = door::landings(landings, "landings");
    const auto edge = numbers(lines[0], {"edge", Kind::number}, wanted.size());
    const auto turn_error = numbers(lines[1], {"turn_error_deg", Kind::angle}, wanted.size());
    std::vector<fitting::Target> targets;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        targets.push_back({wanted[i], place(edge[i], "edge"), turn_error[i]});
    std::vector<Which> which;
    which.reserve(allowed.size());
    for (const auto& word : allowed) which.push_back(which_of(word));
    const fitting::Setting setting{door::scalar(error, {"setting_error", Kind::length}),
                                   door::scalar(packing, {"packing_error", Kind::length}), anew, slot_of(slots[0]),
                                   slot_of(slots[1])};
    const auto out = fitting::correct(fit_of(fit), targets, setting, which);
    py::list moves;
    for (const auto& m : out.moves)
        moves.append(py::make_tuple(fitting::word(m.which), door::point_array(m.panel), door::point_array(m.body),
                                    array(m.left), array(m.spread), m.worst, m.right_at_least));
    return py::make_tuple(py::tuple(moves), out.advised);
}

py::tuple pair_at(const fitting::PairAt& p) {
    return py::make_tuple(p.turn_deg, door::point_array(p.apart), matrix(p.covariance), p.tilt_deg, p.clearance,
                          p.seen);
}

py::tuple pair_out_of_line(const py::tuple& left, const py::tuple& right, py::handle span, py::handle bush_length,
                           py::handle turns, py::handle from, py::handle to) {
    const auto out = fitting::pair_out_of_line(
        fit_of(left), fit_of(right), door::scalar(span, {"span", Kind::length}),
        door::scalar(bush_length, {"bush_length", Kind::length}), numbers(turns, {"turns_deg", Kind::angle}),
        door::scalar(from, {"turn_from_deg", Kind::angle}), door::scalar(to, {"turn_to_deg", Kind::angle}));
    py::list at;
    for (const auto& p : out.at) at.append(pair_at(p));
    return py::make_tuple(door::point_array(out.body), door::point_array(out.panel), py::tuple(at), pair_at(out.worst));
}

}  // namespace

void bind_fitting(py::module_& m) {
    auto topic = m.def_submodule("fitting");
    topic.def(
        "ellipse",
        [](py::handle covariance, py::handle confidence) {
            return ellipse(fitting::ellipse(covariance_of(covariance, "covariance"),
                                            door::scalar(confidence, {"confidence", Kind::number})));
        },
        py::arg("covariance"), py::arg("confidence"));
    topic.def("pivot_from_poses", &pivot_from_poses, py::arg("poses"), py::arg("weights"), py::arg("pose_error"));
    topic.def("pivot_from_arc", &pivot_from_arc, py::arg("points"), py::arg("reading_error"));
    topic.def("fit_holes", &fit_holes, py::arg("columns"), py::arg("turns"), py::arg("turn_errors"), py::arg("panel"),
              py::arg("body"), py::arg("edge_errors"), py::arg("drilling_error"), py::arg("apart_error"),
              py::arg("confidence"), py::arg("pivot"), py::arg("pivot_covariance"));
    topic.def(
        "agreement",
        [](py::handle pivot, py::handle covariance, py::handle other, py::handle other_covariance,
           py::handle confidence) {
            const auto found = fitting::agreement(found_pivot(pivot, covariance), found_pivot(other, other_covariance),
                                                  door::scalar(confidence, {"confidence", Kind::number}));
            return py::make_tuple(found.apart, found.agrees);
        },
        py::arg("pivot"), py::arg("pivot_covariance"), py::arg("other"), py::arg("other_covariance"),
        py::arg("confidence"));
    topic.def("correct", &correct, py::arg("fit"), py::arg("landings"), py::arg("lines"), py::arg("error"),
              py::arg("packing"), py::arg("anew"), py::arg("allowed"), py::arg("slots"));
    topic.def("pair_out_of_line", &pair_out_of_line, py::arg("left"), py::arg("right"), py::arg("span"),
              py::arg("bush_length"), py::arg("turns_deg"), py::arg("turn_from_deg"), py::arg("turn_to_deg"));
    topic.def(
        "measured_again",
        [](py::handle before, py::handle before_error, py::handle again, py::handle reading_error) {
            const fitting::Measured was{door::scalar(before, {"before", Kind::length}),
                                        door::scalar(before_error, {"before_error", Kind::length})};
            const auto now = fitting::measured_again(was, numbers(again, {"again", Kind::length}),
                                                     door::scalar(reading_error, {"reading_error", Kind::length}));
            return py::make_tuple(now.value, now.standard_error);
        },
        py::arg("before"), py::arg("before_error"), py::arg("again"), py::arg("reading_error"));
    topic.def(
        "readings_to_average",
        [](py::handle reading, py::handle setting, py::handle tolerance, py::handle share) {
            return fitting::readings_to_average(door::scalar(reading, {"reading_error", Kind::length}),
                                                door::scalar(setting, {"setting_error", Kind::length}),
                                                door::scalar(tolerance, {"tolerance", Kind::length}),
                                                door::scalar(share, {"share", Kind::number}));
        },
        py::arg("reading_error"), py::arg("setting_error"), py::arg("tolerance"), py::arg("share"));
    topic.def(
        "drilling_ceiling",
        [](py::handle deviation, py::handle tolerance, py::handle turns_deg) {
            return fitting::drilling_ceiling(door::scalar(deviation, {"deviation", Kind::length}),
                                             door::scalar(tolerance, {"tolerance", Kind::length}),
                                             numbers(turns_deg, {"turns_deg", Kind::angle}));
        },
        py::arg("deviation"), py::arg("tolerance"), py::arg("turns_deg"));
}
