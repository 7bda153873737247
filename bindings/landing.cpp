#include "landing.hpp"

#include <foldswing/landing.hpp>

#include "topics.hpp"

namespace py = pybind11;
using door::Batch;
using door::Columns;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Point;
using foldswing::hinge::Landing;
using foldswing::hinge::LandingKind;
using foldswing::hinge::PivotSolution;
using foldswing::hinge::Way;
namespace hinge = foldswing::hinge;

namespace {

std::string text_of(py::handle h) {
    return py::isinstance<py::str>(h) ? "'" + py::cast<std::string>(h) + "'" : "no word";
}

LandingKind kind_of(py::handle h) {
    if (py::isinstance<py::str>(h)) {
        const auto given = py::cast<std::string>(h);
        for (const LandingKind k : {LandingKind::on, LandingKind::at_least, LandingKind::at_most})
            if (given == hinge::word(k)) return k;
    }
    throw InvalidInput("kind", text_of(h), "'on', 'at_least' or 'at_most'");
}

Way way_of(py::handle h) {
    if (py::isinstance<py::str>(h)) {
        const auto given = py::cast<std::string>(h);
        if (given == "shorter") return Way::shorter;
        if (given == "clockwise") return Way::clockwise;
        if (given == "counter-clockwise") return Way::counter_clockwise;
    }
    throw InvalidInput("way", text_of(h), "'shorter', 'clockwise' or 'counter-clockwise'");
}

/// A constructor of landings: its columns are read first, then asked for item i.
struct Turn {
    Columns in;
    door::F64 turn, tolerance;
    LandingKind kind;
    Turn(py::handle turn_deg, py::handle tolerance_mm, py::handle word)
        : turn(in.column(turn_deg, {"turn_deg", Kind::angle})),
          tolerance(in.column(tolerance_mm, {"tolerance", Kind::length})),
          kind(kind_of(word)) {}
    [[nodiscard]] double turn_at(std::size_t i) const { return Columns::get(turn, i); }
    [[nodiscard]] double tolerance_at(std::size_t i) const { return Columns::get(tolerance, i); }
};

Batch<Landing> make_landing(py::handle turn_deg, py::handle point, py::handle normal, py::handle offset,
                            py::handle tolerance, py::handle kind) {
    Turn t(turn_deg, tolerance, kind);
    const auto points = t.in.point_column(point, "point");
    const auto normals = t.in.point_column(normal, "normal");
    const auto offsets = t.in.column(offset, {"offset", Kind::length});
    return door::make_batch<Landing>(t.in.size(), [&](std::size_t i) {
        return Landing(t.turn_at(i), Columns::get_point(points, i), Columns::get_point(normals, i),
                       Columns::get(offsets, i), t.tolerance_at(i), t.kind);
    });
}

Batch<Landing> at_height(py::handle turn_deg, py::handle edge, py::handle height, py::handle tolerance,
                         py::handle kind) {
    Turn t(turn_deg, tolerance, kind);
    const auto edges = t.in.point_column(edge, "edge");
    const auto heights = t.in.column(height, {"height", Kind::length});
    return door::make_batch<Landing>(t.in.size(), [&](std::size_t i) {
        return hinge::lands_at_height(t.turn_at(i), Columns::get_point(edges, i), Columns::get(heights, i),
                                      t.tolerance_at(i), t.kind);
    });
}

Batch<Landing> below(py::handle turn_deg, py::handle edge, py::handle face_point, py::handle face_normal,
                     py::handle drop, py::handle tolerance, py::handle kind) {
    Turn t(turn_deg, tolerance, kind);
    const auto edges = t.in.point_column(edge, "edge");
    const auto places = t.in.point_column(face_point, "face_point");
    const auto normals = t.in.point_column(face_normal, "face_normal");
    const auto drops = t.in.column(drop, {"drop", Kind::length});
    return door::make_batch<Landing>(t.in.size(), [&](std::size_t i) {
        return hinge::lands_below(t.turn_at(i), Columns::get_point(edges, i), Columns::get_point(places, i),
                                  Columns::get_point(normals, i), Columns::get(drops, i), t.tolerance_at(i), t.kind);
    });
}

std::pair<Point, Point> two_points(py::handle h, const char* name) {
    const auto ends = door::points(h, name);
    if (ends.size() != 2) throw InvalidInput(name, std::to_string(ends.size()) + " points", "two points, shape (2, 2)");
    return {ends[0], ends[1]};
}

Batch<Landing> flush(py::handle face, py::handle line, py::handle way, py::handle tolerance, py::handle kind) {
    const auto [face_a, face_b] = two_points(face, "face");
    const auto [line_a, line_b] = two_points(line, "line");
    return {{hinge::lands_flush(face_a, face_b, line_a, line_b, way_of(way),
                                door::scalar(tolerance, {"tolerance", Kind::length}), kind_of(kind))},
            false};
}

py::tuple on_point(py::handle turn_deg, py::handle point, py::handle target, py::handle tolerance) {
    Turn t(turn_deg, tolerance, py::str("on"));
    const auto points = t.in.point_column(point, "point");
    const auto targets = t.in.point_column(target, "target");
    Batch<Landing> across{{}, t.in.size().batched()};
    Batch<Landing> up = across;
    door::make_batch<int>(t.in.size(), [&](std::size_t i) {
        const auto [x, y] = hinge::lands_on_point(t.turn_at(i), Columns::get_point(points, i),
                                                  Columns::get_point(targets, i), t.tolerance_at(i));
        across.items.push_back(x);
        up.items.push_back(y);
        return 0;
    });
    return py::make_tuple(std::move(across), std::move(up));
}

py::object turn_to_face(py::handle face, py::handle wanted, py::handle way) {
    Columns in;
    const auto faces = in.point_column(face, "face");
    const auto wanteds = in.point_column(wanted, "wanted");
    const Way w = way_of(way);
    const auto turns = door::make_batch<double>(in.size(), [&](std::size_t i) {
        return hinge::turn_to_face(Columns::get_point(faces, i), Columns::get_point(wanteds, i), w);
    });
    return door::field(turns, [](double v) { return v; });
}

py::object turn_to_level(py::handle face, py::handle way) {
    Columns in;
    const auto faces = in.point_column(face, "face");
    const Way w = way_of(way);
    const auto turns = door::make_batch<double>(
        in.size(), [&](std::size_t i) { return hinge::turn_to_level(Columns::get_point(faces, i), w); });
    return door::field(turns, [](double v) { return v; });
}

py::object miss(const Batch<Landing>& landing, py::handle pivot) {
    Columns in;
    const auto pivots = in.point_column(pivot, "pivot");
    door::BatchSize size = in.size();
    size.take(landing.size(), landing.batched, "self");
    const auto misses = door::make_batch<double>(
        size, [&](std::size_t i) { return landing.at(i).miss(Columns::get_point(pivots, i)); });
    return door::field(misses, [](double v) { return v; });
}

py::tuple solve_pivot(py::handle landings) {
    const py::object keep_alive = py::isinstance<py::iterable>(landings) && !py::isinstance<py::str>(landings)
                                      ? py::object(py::tuple(py::reinterpret_borrow<py::object>(landings)))
                                      : py::reinterpret_borrow<py::object>(landings);
    const auto list = door::landing_list(keep_alive);
    door::BatchSize size;
    for (const auto* l : list) size.take(l->size(), l->batched, "landings");
    Batch<PivotSolution> out;
    {
        const py::gil_scoped_release
            nogil;  // the landings are immutable and kept alive above; no Python object is touched
        std::vector<Landing> now;
        now.reserve(list.size());
        out = door::make_batch<PivotSolution>(size, [&](std::size_t i) {
            now.clear();
            for (const auto* l : list) now.push_back(l->at(i));
            return hinge::solve_pivot(now);
        });
    }
    door::F64 residuals(out.batched ? std::vector<py::ssize_t>{static_cast<py::ssize_t>(out.size()),
                                                               static_cast<py::ssize_t>(list.size())}
                                    : std::vector<py::ssize_t>{static_cast<py::ssize_t>(list.size())});
    double* to = residuals.mutable_data();
    for (const PivotSolution& s : out.items) to = std::copy(s.residuals.begin(), s.residuals.end(), to);
    py::object words;
    if (out.batched) {
        py::tuple all(out.size());
        for (std::size_t i = 0; i < out.size(); ++i) all[i] = out.items[i].explanation;
        words = all;
    } else {
        words = py::str(out.items.front().explanation);
    }
    return py::make_tuple(door::status_field(out, [](const auto& s) { return s.status; }),
                          door::point_field(out, [](const auto& s) { return s.pivot; }),
                          door::point_field(out, [](const auto& s) { return s.direction; }),
                          door::freeze(std::move(residuals)), words);
}

}  // namespace

void bind_landing(py::module_& topic) {
    py::class_<Batch<Landing>> landing(topic, "Landing");
    const auto number = [](double (Landing::*get)() const noexcept) {
        return
            [get](const Batch<Landing>& b) { return door::field(b, [get](const Landing& l) { return (l.*get)(); }); };
    };
    const auto place = [](Point (Landing::*get)() const noexcept) {
        return [get](const Batch<Landing>& b) {
            return door::point_field(b, [get](const Landing& l) { return (l.*get)(); });
        };
    };
    landing
        .def(py::init(&make_landing), py::arg("turn_deg"), py::arg("point"), py::arg("normal"), py::arg("offset"),
             py::arg("tolerance") = 1.0, py::arg("kind") = "on")
        .def_property_readonly("turn_deg", number(&Landing::turn_deg))
        .def_property_readonly("point", place(&Landing::point))
        .def_property_readonly("normal", place(&Landing::normal))
        .def_property_readonly("offset", number(&Landing::offset))
        .def_property_readonly("tolerance", number(&Landing::tolerance))
        .def_property_readonly("kind", [](const Batch<Landing>& b) { return hinge::word(b.items.front().kind()); })
        .def("miss", &miss, py::arg("pivot"),
             R"doc(Signed distance of the landed point beyond the line, on the side the normal points to.

Parameters
----------
pivot : (2,) or (n, 2) lengths
    Where the panel would be hinged, mm.

Returns
-------
float or ndarray
    Miss, mm.
)doc");
    door::finish_value(landing, {"turn_deg", "point", "normal", "offset", "tolerance", "kind"});

    const auto kw = py::kw_only();
    topic.def("lands_at_height", &at_height, py::arg("turn_deg"), py::arg("edge"), py::arg("height"), kw,
              py::arg("tolerance") = 1.0, py::arg("kind") = "on");
    topic.def("lands_below", &below, py::arg("turn_deg"), py::arg("edge"), py::arg("face_point"),
              py::arg("face_normal"), py::arg("drop"), kw, py::arg("tolerance") = 1.0, py::arg("kind") = "on");
    topic.def("lands_flush", &flush, py::arg("face"), py::arg("line"), kw, py::arg("way") = "shorter",
              py::arg("tolerance") = 1.0, py::arg("kind") = "on");
    topic.def("lands_on_point", &on_point, py::arg("turn_deg"), py::arg("point"), py::arg("target"), kw,
              py::arg("tolerance") = 1.0);
    topic.def("turn_to_face", &turn_to_face, py::arg("face"), py::arg("wanted"), kw, py::arg("way") = "shorter");
    topic.def("turn_to_level", &turn_to_level, py::arg("face"), kw, py::arg("way") = "shorter");
    topic.def("solve_pivot", &solve_pivot, py::arg("landings"));
}
