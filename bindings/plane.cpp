#include <foldswing/plane.hpp>

#include "batch.hpp"
#include "topics.hpp"

namespace py = pybind11;
using door::Batch;
using door::Columns;
using door::Kind;
using foldswing::Outline;
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

py::tuple hole_arrays(const Outline& o) {
    py::tuple out(o.holes().size());
    for (std::size_t i = 0; i < o.holes().size(); ++i) out[i] = door::points_array(o.holes()[i]);
    return out;
}

Outline make_outline(py::handle points, const py::iterable& holes) {
    std::vector<foldswing::Ring> rings;
    for (const py::handle h : holes) rings.push_back(door::points(h, "holes"));
    return Outline(door::points(points, "points"), std::move(rings));
}

}  // namespace

void bind_plane(py::module_& m) {
    auto topic = m.def_submodule("plane");

    py::class_<Batch<Pose>> pose(topic, "Pose");
    pose.def(py::init(&make_pose), py::arg("x"), py::arg("y"), py::arg("angle_deg"))
        .def_property_readonly("x", [](const Batch<Pose>& b) { return door::field(b, [](const Pose& p) { return p.x; }); })
        .def_property_readonly("y", [](const Batch<Pose>& b) { return door::field(b, [](const Pose& p) { return p.y; }); })
        .def_property_readonly("angle_deg",
                               [](const Batch<Pose>& b) { return door::field(b, [](const Pose& p) { return p.angle_deg; }); })
        .def("apply", &apply, py::arg("points"))
        .def("compose",
             [](const Batch<Pose>& a, const Batch<Pose>& b) {
                 door::BatchSize size;
                 size.take(a.size(), a.batched, "self");
                 size.take(b.size(), b.batched, "other");
                 return door::make_batch<Pose>(size, [&](std::size_t i) { return a.at(i).compose(b.at(i)); });
             },
             py::arg("other"))
        .def("inverse", [](const Batch<Pose>& a) {
            door::BatchSize size;
            size.take(a.size(), a.batched, "self");
            return door::make_batch<Pose>(size, [&](std::size_t i) { return a.at(i).inverse(); });
        });
    door::finish_value(pose, {"x", "y", "angle_deg"});

    py::class_<Outline> outline(topic, "Outline");
    outline.def(py::init(&make_outline), py::arg("points"), py::arg("holes") = py::tuple())
        .def_property_readonly("points", [](const Outline& o) { return door::points_array(o.corners()); })
        .def_property_readonly("holes", &hole_arrays);
    door::finish_value(outline, {"points", "holes"});
}
