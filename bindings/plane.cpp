#include "plane.hpp"

#include <algorithm>
#include <cmath>

#include "plane_docs.hpp"
#include "topics.hpp"

namespace py = pybind11;
using door::Batch;
using door::Columns;
using door::Kind;
using foldswing::Outline;
using foldswing::Path;
using foldswing::Point;
using foldswing::Pose;

namespace {

Batch<Pose> make_pose(py::handle x, py::handle y, py::handle angle_deg) {
    Columns in;
    const auto xs = in.column(x, {"x", Kind::length});
    const auto ys = in.column(y, {"y", Kind::length});
    const auto as = in.column(angle_deg, {"angle_deg", Kind::angle});
    return door::make_batch<Pose>(in.size(), [&](std::size_t i) {
        const Pose p{Columns::get(xs, i), Columns::get(ys, i), Columns::get(as, i)};
        foldswing::require_valid(p);
        return p;
    });
}

/// (n, 2) for one pose, (batch, n, 2) for a batch; a single point drops its axis.
py::object apply(const Batch<Pose>& pose, py::handle points) {
    const auto in = door::array(points, {"points", Kind::length});
    const bool one = in.ndim() == 1;
    const auto corners = door::points(in, "points");
    std::vector<py::ssize_t> shape;
    if (pose.batched) shape.push_back(static_cast<py::ssize_t>(pose.size()));
    if (!one) shape.push_back(static_cast<py::ssize_t>(corners.size()));
    shape.push_back(2);
    door::F64 out(shape);
    std::vector<Point> carried(corners.size());
    double* to = out.mutable_data();
    for (const Pose& p : pose.items) {
        p.apply(corners, carried);
        for (const Point q : carried) {
            *to++ = q.x;
            *to++ = q.y;
        }
    }
    return door::freeze(std::move(out));
}

py::object doubles_array(const std::vector<double>& angles) {
    door::F64 a(static_cast<py::ssize_t>(angles.size()));
    std::copy(angles.begin(), angles.end(), a.mutable_data());
    return door::freeze(std::move(a));
}

py::tuple hole_arrays(const Outline& o) {
    py::tuple out(o.holes().size());
    for (std::size_t i = 0; i < o.holes().size(); ++i) out[i] = door::points_array(o.holes()[i]);
    return out;
}

Outline make_outline(py::handle points, py::handle holes) {
    std::vector<foldswing::Ring> rings;
    if (!py::isinstance<py::iterable>(holes) || py::isinstance<py::str>(holes))
        throw foldswing::InvalidInput("holes", py::cast<std::string>(py::repr(holes)).substr(0, 80),
                                      "a sequence of rings");
    for (const py::handle h : holes)
        rings.push_back(door::points(h, ("holes[" + std::to_string(rings.size()) + "]").c_str()));
    return Outline(door::points(points, "points"), std::move(rings));
}

py::tuple as_tuple(std::vector<Outline> outlines) {
    py::tuple out(outlines.size());
    for (std::size_t i = 0; i < outlines.size(); ++i) out[i] = py::cast(std::move(outlines[i]));
    return out;
}

/// Moved by one pose, or a tuple by a batch of them.
template <class T>
py::object moved(const T& thing, const Batch<Pose>& pose) {
    if (!pose.batched) return py::cast(thing.moved(pose.items.front()));
    py::tuple out(pose.size());
    for (std::size_t i = 0; i < pose.size(); ++i) out[i] = py::cast(thing.moved(pose.items[i]));
    return out;
}

template <class T>
T mirrored(const T& thing, py::handle point, py::handle direction) {
    return thing.mirrored(door::point(point, "point"), door::point(direction, "direction"));
}

std::vector<double> numbers(py::handle h, door::Arg arg) {
    const auto a = door::array(h, arg);
    if (a.ndim() > 1)
        throw foldswing::InvalidInput(arg.name, std::to_string(a.ndim()) + " axes", "a number or one axis");
    return {a.data(), a.data() + a.size()};
}

/// One sweep stands for every segment.
Path make_path(py::handle points, py::handle sweep_deg, bool closed) {
    auto corners = door::points(points, "points");
    const auto given = door::array(sweep_deg, {"sweep_deg", Kind::angle});
    auto sweeps = numbers(given, {"sweep_deg", Kind::angle});
    if (given.ndim() == 0 && !corners.empty()) sweeps.assign(corners.size() - (closed ? 0 : 1), sweeps.front());
    return {std::move(corners), std::move(sweeps), closed};
}

Batch<Pose> compose(const Batch<Pose>& a, const Batch<Pose>& b) {
    door::BatchSize size;
    size.take(a.size(), a.batched, "self");
    size.take(b.size(), b.batched, "other");
    return door::make_batch<Pose>(size, [&](std::size_t i) { return a.at(i).compose(b.at(i)); });
}

Batch<Pose> inverse(const Batch<Pose>& a) {
    door::BatchSize size;
    size.take(a.size(), a.batched, "self");
    return door::make_batch<Pose>(size, [&](std::size_t i) { return a.at(i).inverse(); });
}

Batch<Pose> about(py::handle pivot, py::handle turn_deg) {
    Columns in;
    const auto pivots = in.point_column(pivot, "pivot");
    const auto turns = in.column(turn_deg, {"turn_deg", Kind::angle});
    return door::make_batch<Pose>(in.size(), [&](std::size_t i) {
        const Pose p = Pose::about(Columns::get_point(pivots, i), Columns::get(turns, i));
        foldswing::require_valid(p);
        return p;
    });
}

constexpr double kSagitta = 0.005;  // mm, the default of the front

py::object radii(const Path& path) {
    std::vector<double> out(path.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = path.radius(i);
    return doubles_array(out);
}

py::object centres(const Path& path) {
    std::vector<Point> out(path.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = path.centre(i);
    return door::points_array(out);
}

py::object flatten(const Path& path, py::handle sagitta) {
    return door::points_array(path.flatten(door::scalar(sagitta, {"sagitta", Kind::length})));
}

Outline path_outline(const Path& path, py::handle sagitta) {
    return path.outline(door::scalar(sagitta, {"sagitta", Kind::length}));
}

py::object mirror_points(py::handle points, py::handle point, py::handle direction) {
    const auto in = door::array(points, {"points", Kind::length});
    auto all = door::points(in, "points");
    const Point on = door::point(point, "point");
    const Point along = door::point(direction, "direction");
    for (Point& p : all) p = foldswing::mirror(p, on, along);
    return in.ndim() == 1 ? door::point_array(all.front()) : door::points_array(all);
}

py::tuple distance(py::handle a, py::handle b) {
    const auto as = door::outlines(a, "a");
    const auto bs = door::outlines(b, "b");
    const auto s = [&] {
        const py::gil_scoped_release nogil;  // copies of the outlines only: no Python object is touched
        return foldswing::distance(as, bs);
    }();
    return py::make_tuple(s.distance, s.depth, door::point_array(s.point_a), door::point_array(s.point_b), s.index_a,
                          s.index_b);
}

py::tuple offset(const Outline& outline, py::handle distance, const std::string& corners, py::handle sagitta,
                 py::handle mitre_limit) {
    foldswing::OffsetOptions options;
    if (corners == "mitre")
        options.corners = foldswing::Corners::mitre;
    else if (corners != "round")
        throw foldswing::InvalidInput("corners", "'" + corners + "'", "'round' or 'mitre'");
    options.sagitta = door::scalar(sagitta, {"sagitta", Kind::length});
    options.mitre_limit = door::scalar(mitre_limit, {"mitre_limit", Kind::number});
    const double by = door::scalar(distance, {"distance", Kind::length});
    auto result = [&] {
        const py::gil_scoped_release nogil;  // the outline is immutable and held by the caller
        return foldswing::offset(outline, by, options);
    }();
    return as_tuple(std::move(result));
}

py::tuple unite(py::handle outlines) {
    const auto given = door::outlines(outlines, "outlines");
    auto result = [&] {
        const py::gil_scoped_release nogil;  // copies of the outlines only: no Python object is touched
        return foldswing::unite(given);
    }();
    return as_tuple(std::move(result));
}

/// int8: -1 outside, 0 on the edge, 1 inside.
py::object locate(const Outline& outline, py::handle points) {
    const auto in = door::array(points, {"points", Kind::length});
    const auto all = door::points(in, "points");
    py::array_t<std::int8_t> out(in.ndim() == 1 ? std::vector<py::ssize_t>{}
                                                : std::vector<py::ssize_t>{static_cast<py::ssize_t>(all.size())});
    std::transform(all.begin(), all.end(), out.mutable_data(),
                   [&](Point p) { return static_cast<std::int8_t>(foldswing::locate(outline, p)); });
    return door::freeze(std::move(out));
}

}  // namespace

void bind_plane(py::module_& m) {
    auto topic = m.def_submodule("plane");

    py::class_<Batch<Pose>> pose(topic, "Pose", pose_doc);
    pose.def(py::init(&make_pose), py::arg("x"), py::arg("y"), py::arg("angle_deg"))
        .def_property_readonly("x",
                               [](const Batch<Pose>& b) { return door::field(b, [](const Pose& p) { return p.x; }); })
        .def_property_readonly("y",
                               [](const Batch<Pose>& b) { return door::field(b, [](const Pose& p) { return p.y; }); })
        .def_property_readonly(
            "angle_deg", [](const Batch<Pose>& b) { return door::field(b, [](const Pose& p) { return p.angle_deg; }); })
        .def("apply", &apply, py::arg("points"), pose_apply_doc)
        .def("compose", &compose, py::arg("other"), pose_compose_doc)
        .def("inverse", &inverse, pose_inverse_doc)
        .def_static("about", &about, py::arg("pivot"), py::arg("turn_deg"), pose_about_doc);
    door::finish_value(pose, {"x", "y", "angle_deg"});

    py::class_<Outline> outline(topic, "Outline", outline_doc);
    outline.def(py::init(&make_outline), py::arg("points"), py::arg("holes") = py::tuple())
        .def_property_readonly("points", [](const Outline& o) { return door::points_array(o.corners()); })
        .def_property_readonly("holes", &hole_arrays)
        .def("moved", &moved<Outline>, py::arg("pose"), moved_doc)
        .def("mirrored", &mirrored<Outline>, py::arg("point"), py::arg("direction"), mirrored_doc);
    door::finish_value(outline, {"points", "holes"});

    py::class_<Path> path(topic, "Path", path_doc);
    path.def(py::init(&make_path), py::arg("points"), py::arg("sweep_deg"), py::arg("closed") = false)
        .def_property_readonly("points", [](const Path& p) { return door::points_array(p.points()); })
        .def_property_readonly("sweep_deg", [](const Path& p) { return doubles_array(p.sweep_deg()); })
        .def_property_readonly("closed", &Path::closed)
        .def_property_readonly("length", py::overload_cast<>(&Path::length, py::const_))
        .def_property_readonly("radii", &radii)
        .def_property_readonly("centres", &centres)
        .def("flatten", &flatten, py::arg("sagitta") = kSagitta, flatten_doc)
        .def("outline", &path_outline, py::arg("sagitta") = kSagitta, path_outline_doc)
        .def("moved", &moved<Path>, py::arg("pose"), moved_doc)
        .def("mirrored", &mirrored<Path>, py::arg("point"), py::arg("direction"), mirrored_doc)
        .def("reversed", &Path::reversed, reversed_doc);
    door::finish_value(path, {"points", "sweep_deg", "closed"});

    topic.def("area", &foldswing::area, py::arg("outline"));
    topic.def(
        "centroid", [](const Outline& o) { return door::point_array(foldswing::centroid(o)); }, py::arg("outline"));
    topic.def("locate", &locate, py::arg("outline"), py::arg("points"));
    topic.def("mirror", &mirror_points, py::arg("points"), py::arg("point"), py::arg("direction"));
    topic.def(
        "with_disc",
        [](const Path& ring, py::handle centre, py::handle radius) {
            return foldswing::with_disc(ring, door::point(centre, "centre"),
                                        door::scalar(radius, {"radius", Kind::length}));
        },
        py::arg("ring"), py::arg("centre"), py::arg("radius"));
    topic.def(
        "round_corners",
        [](const Outline& o, py::handle r) {
            return foldswing::round_corners(o, numbers(r, {"radii", Kind::length}));
        },
        py::arg("outline"), py::arg("radii"));
    topic.def("distance", &distance, py::arg("a"), py::arg("b"));
    topic.def("offset", &offset, py::arg("outline"), py::arg("distance"), py::arg("corners"), py::arg("sagitta"),
              py::arg("mitre_limit"));
    topic.def("unite", &unite, py::arg("outlines"));
    topic.def(
        "room",
        [](py::handle outlines, py::handle points) {
            const auto given = door::outlines(outlines, "outlines");
            Columns in;
            const auto places = in.point_column(points, "points");
            const auto rooms = door::make_batch<double>(
                in.size(), [&](std::size_t i) { return foldswing::room(given, Columns::get_point(places, i)); });
            return door::field(rooms, [](double v) { return v; });
        },
        py::arg("outlines"), py::arg("points"));
    topic.def(
        "largest_circle",
        [](py::handle outlines) {
            const auto given = door::outlines(outlines, "outlines");
            foldswing::Circle circle;
            {
                const py::gil_scoped_release nogil;  // the outlines were copied
                circle = foldswing::largest_circle(given);
            }
            return py::make_tuple(door::point_array(circle.centre), circle.radius);
        },
        py::arg("outlines"));
}
