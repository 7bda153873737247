#include "carry.hpp"

#include "blank.hpp"
#include "blank_topics.hpp"

namespace py = pybind11;
namespace blank = foldswing::blank;
using blank::Face;
using blank::FoldMap;
using blank::Profile;
using door::F64;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Path;
using foldswing::Point;

namespace door {

Face face(const std::string& word) {
    if (word == "lower") return Face::lower;
    if (word == "upper") return Face::upper;
    throw InvalidInput("face", "'" + word + "'", "'lower' or 'upper'");
}

F64 space_points(py::handle h, const char* name) {
    F64 a = array(h, {name, Kind::length});
    const bool one = a.ndim() == 1 && a.shape(0) == 3;
    if (!one && (a.ndim() != 2 || a.shape(1) != 3))
        throw InvalidInput(name, "shape " + py::cast<std::string>(py::str(a.attr("shape"))), "(x, y, z) or (n, 3)");
    return a;
}

}  // namespace door

namespace {

std::size_t held_flat(py::handle held) {
    const double n = door::scalar(held, {"held", Kind::number});
    if (!(n >= 0.0 && n < 1e9) || n != static_cast<double>(static_cast<std::size_t>(n)))
        throw InvalidInput("held", n, "the place of a flat, from 0");
    return static_cast<std::size_t>(n);
}

py::object to_folded(const Profile& profile, py::handle points, const std::string& face, py::handle held) {
    const FoldMap map(profile, held_flat(held));
    const Face on = door::face(face);
    const F64 given = door::array(points, {"points", Kind::length});
    const auto all = door::points(given, "points");
    F64 out = given.ndim() == 1 ? F64(3) : F64({static_cast<py::ssize_t>(all.size()), py::ssize_t{3}});
    double* to = out.mutable_data();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const Point p = map.to_folded(all[i].x, on);
        to[3 * i] = p.x;
        to[3 * i + 1] = all[i].y;
        to[3 * i + 2] = p.y;
    }
    return door::freeze(std::move(out));
}

py::object to_blank(const Profile& profile, py::handle points, const std::string& face, py::handle within,
                    py::handle held) {
    const FoldMap map(profile, held_flat(held));
    const Face on = door::face(face);
    const double near = door::scalar(within, {"within", Kind::length});
    const F64 given = door::space_points(points, "points");
    std::vector<Point> at;
    std::vector<double> miss;
    py::list of;
    py::list part;
    for (py::ssize_t i = 0; i < given.size() / 3; ++i) {
        const double* p = given.data() + 3 * i;
        for (const auto& found : map.to_blank({p[0], p[2]}, on, near)) {
            at.push_back({found.along, p[1]});
            miss.push_back(found.miss);
            of.append(i);
            part.append(found.part);
        }
    }
    return py::module_::import("foldswing.carry")
        .attr("OnBlank")(door::points_array(at), of, door::numbers(miss), part);
}

py::object along(const Profile& profile, py::handle places, const std::string& face, bool from_face) {
    const FoldMap map(profile);
    const Face on = door::face(face);
    const F64 given = door::array(places, {from_face ? "along_face" : "along", Kind::length});
    F64 out(std::vector<py::ssize_t>(given.shape(), given.shape() + given.ndim()));
    double* to = out.mutable_data();
    for (py::ssize_t i = 0; i < given.size(); ++i)
        to[i] = from_face ? map.from_face(given.data()[i], on) : map.to_face(given.data()[i], on);
    if (given.ndim() == 0) return py::float_(*out.data());
    return door::freeze(std::move(out));
}

}  // namespace

void bind_carry(py::module_& m) {
    auto topic = m.def_submodule("carry");
    topic.def("to_folded", &to_folded, py::arg("profile"), py::arg("points"), py::arg("face"), py::kw_only(),
              py::arg("held") = 0);
    topic.def("to_blank", &to_blank, py::arg("profile"), py::arg("points"), py::arg("face"), py::kw_only(),
              py::arg("within"), py::arg("held") = 0);
    topic.def(
        "measured_spans",
        [](const Profile& p) {
            std::vector<Point> spans;
            for (const auto& s : blank::measured_spans(p)) spans.push_back({s.start, s.end});
            return door::points_array(spans);
        },
        py::arg("profile"));
    topic.def(
        "along_face",
        [](const Profile& p, py::handle places, const std::string& face) { return along(p, places, face, false); },
        py::arg("profile"), py::arg("along"), py::arg("face"));
    topic.def(
        "along_blank",
        [](const Profile& p, py::handle places, const std::string& face) { return along(p, places, face, true); },
        py::arg("profile"), py::arg("along_face"), py::arg("face"));
    topic.def(
        "path_on_blank",
        [](const Profile& p, const Path& path, const std::string& face, py::handle sagitta) {
            return FoldMap(p).path_from_face(path, door::face(face), door::scalar(sagitta, {"sagitta", Kind::length}));
        },
        py::arg("profile"), py::arg("path"), py::arg("face"), py::kw_only(), py::arg("sagitta"));
    topic.def(
        "path_on_face",
        [](const Profile& p, const Path& path, const std::string& face, py::handle sagitta) {
            return FoldMap(p).path_to_face(path, door::face(face), door::scalar(sagitta, {"sagitta", Kind::length}));
        },
        py::arg("profile"), py::arg("path"), py::arg("face"), py::kw_only(), py::arg("sagitta"));
}
