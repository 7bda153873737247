#include <foldswing/arc.hpp>
#include <optional>

#include "batch.hpp"
#include "topics.hpp"

namespace arc = foldswing::arc;
namespace py = pybind11;
using door::Arg;
using door::F64;
using door::Kind;

namespace {

constexpr Arg kChord{"chord", Kind::length};
constexpr Arg kRise{"rise", Kind::length};
constexpr Arg kRadius{"radius", Kind::length};
constexpr Arg kStation{"station", Kind::length};
constexpr Arg kChordError{"chord_error", Kind::length};
constexpr Arg kRiseError{"rise_error", Kind::length};

py::tuple measures(const arc::Arc& a) { return py::make_tuple(a.chord, a.rise, a.radius, a.length, a.angle_deg); }

constexpr std::array<double arc::Arc::*, 5> kMeasures{&arc::Arc::chord, &arc::Arc::rise, &arc::Arc::radius,
                                                      &arc::Arc::length, &arc::Arc::angle_deg};

/// Scalars: (code, [measures of each arc], sentence). Arrays: (codes, [five arrays of each of two arcs], '').
py::tuple solve(const py::object& chord, const py::object& rise, const py::object& radius, const py::object& length,
                const py::object& angle_deg) {
    const std::array<py::object, 5> given{chord, rise, radius, length, angle_deg};
    constexpr std::array<Arg, 5> args{kChord, kRise, kRadius, Arg{"length", Kind::length},
                                      Arg{"angle_deg", Kind::angle}};
    constexpr std::array<std::optional<double> arc::Known::*, 5> slots{
        &arc::Known::chord, &arc::Known::rise, &arc::Known::radius, &arc::Known::length, &arc::Known::angle_deg};
    std::vector<std::size_t> which;
    for (std::size_t k = 0; k < given.size(); ++k)
        if (!given[k].is_none()) which.push_back(k);
    if (which.size() != 2) (void)arc::solve({});  // one place words the rule
    F64 first = door::array(given[which[0]], args[which[0]]);
    F64 second = door::array(given[which[1]], args[which[1]]);
    const auto known = [&](double a, double b) {
        arc::Known k;
        k.*slots[which[0]] = a;
        k.*slots[which[1]] = b;
        return k;
    };
    if (first.ndim() == 0 && second.ndim() == 0) {
        const arc::Known k = known(*first.data(), *second.data());
        const arc::Solution s = arc::solve(k);
        py::list arcs;
        const int count = s.status == arc::Answers::straight ? 1 : static_cast<int>(s.status);
        for (int i = 0; i < count; ++i) arcs.append(measures(s.arcs[static_cast<std::size_t>(i)]));
        return py::make_tuple(static_cast<int>(s.status), arcs, arc::explain(k, s));
    }
    py::tuple both;
    try {
        both = py::tuple(py::module_::import("numpy").attr("broadcast_arrays")(first, second));
    } catch (const py::error_already_set& e) {
        throw foldswing::InvalidInput("shapes", e.what(), "arrays that broadcast together");
    }
    first = py::cast<F64>(both[0]);
    second = py::cast<F64>(both[1]);
    const std::vector<py::ssize_t> shape(first.shape(), first.shape() + first.ndim());
    py::array_t<std::int8_t> codes(shape);
    std::array<std::array<F64, 5>, 2> out;
    std::array<std::array<double*, 5>, 2> to{};
    for (std::size_t j = 0; j < 2; ++j)
        for (std::size_t m = 0; m < 5; ++m) {
            out[j][m] = F64(shape);
            to[j][m] = out[j][m].mutable_data();
        }
    const double* const a = first.data();
    const double* const b = second.data();
    std::int8_t* const code = codes.mutable_data();
    const auto n = static_cast<std::size_t>(first.size());
    {
        const py::gil_scoped_release nogil;  // raw pointers only below: no Python object is touched
        for (std::size_t i = 0; i < n; ++i) {
            try {
                const arc::Solution s = arc::solve(known(a[i], b[i]));
                code[i] = static_cast<std::int8_t>(s.status);
                for (std::size_t j = 0; j < 2; ++j)
                    for (std::size_t m = 0; m < 5; ++m) to[j][m][i] = s.arcs[j].*kMeasures[m];
            } catch (const foldswing::InvalidInput& e) {
                throw e.at(door::index_text(i, shape));
            }
        }
    }
    py::list arcs;
    for (auto& one : out) {
        py::tuple five(5);
        for (std::size_t m = 0; m < 5; ++m) five[m] = door::freeze(std::move(one[m]));
        arcs.append(five);
    }
    return py::make_tuple(door::freeze(std::move(codes)), arcs, "");
}

/// The fields of ThreePointArc in order, status as a code; a batch axis first where a point was given as (n, 2).
py::tuple from_points(const py::object& first, const py::object& middle, const py::object& last) {
    door::Columns in;
    const F64 a = in.point_column(first, "first");
    const F64 b = in.point_column(middle, "middle");
    const F64 c = in.point_column(last, "last");
    const auto all = door::make_batch<arc::ThreePointArc>(in.size(), [&](std::size_t i) {
        return arc::from_points(door::Columns::get_point(a, i), door::Columns::get_point(b, i),
                                door::Columns::get_point(c, i));
    });
    py::object status =
        py::int_(static_cast<int>(all.items.empty() ? arc::ThreePointStatus::arc : all.items.front().status));
    if (all.batched) {
        py::array_t<std::int8_t> codes(static_cast<py::ssize_t>(all.size()));
        std::transform(all.items.begin(), all.items.end(), codes.mutable_data(),
                       [](const arc::ThreePointArc& t) { return static_cast<std::int8_t>(t.status); });
        status = door::freeze(std::move(codes));
    }
    const auto field = [&](double arc::ThreePointArc::*m) {
        return door::field(all, [m](const arc::ThreePointArc& t) { return t.*m; });
    };
    return py::make_tuple(status, door::point_field(all, [](const arc::ThreePointArc& t) { return t.centre; }),
                          field(&arc::ThreePointArc::radius), field(&arc::ThreePointArc::curvature),
                          field(&arc::ThreePointArc::sweep_deg), field(&arc::ThreePointArc::chord),
                          field(&arc::ThreePointArc::rise), field(&arc::ThreePointArc::length));
}

py::object numbers(const std::vector<double>& values) {
    return door::freeze(F64(static_cast<py::ssize_t>(values.size()), values.data()));
}

py::tuple fit(const py::object& points, int method, const py::object& reading_error) {
    const auto cloud = door::points(points, "points");
    std::optional<double> error;
    if (!reading_error.is_none()) error = door::scalar(reading_error, {"reading_error", Kind::length});
    arc::Fit f;
    {
        const py::gil_scoped_release nogil;  // works on the copy of the points: no Python object is touched
        f = arc::fit(cloud, static_cast<arc::FitMethod>(method), error);
    }
    return py::make_tuple(static_cast<int>(f.status), door::point_array(f.centre), f.radius, f.curvature, f.rms,
                          door::point_array(f.centre_standard_error), f.radius_standard_error,
                          f.curvature_standard_error, numbers(f.residuals), door::points_array(f.feet), f.iterations,
                          f.explanation);
}

py::tuple layers(const py::object& radius, const py::object& thicknesses, const py::object& angle_deg, bool inside) {
    const F64 t = door::array(thicknesses, {"thicknesses", Kind::length});
    if (t.ndim() > 1)
        throw foldswing::InvalidInput("thicknesses", std::to_string(t.ndim()) + " axes", "a number or a list of them");
    const auto all = arc::layers(door::scalar(radius, kRadius), {t.data(), static_cast<std::size_t>(t.size())},
                                 door::scalar(angle_deg, {"angle_deg", Kind::angle}),
                                 inside ? arc::Face::inside : arc::Face::outside);
    const auto column = [&](double arc::Layer::*m) {
        std::vector<double> v(all.size());
        std::transform(all.begin(), all.end(), v.begin(), [m](const arc::Layer& l) { return l.*m; });
        return numbers(v);
    };
    return py::make_tuple(column(&arc::Layer::outer_radius), column(&arc::Layer::inner_radius),
                          column(&arc::Layer::outer_length), column(&arc::Layer::middle_length),
                          column(&arc::Layer::inner_length));
}

/// (chord, rise, stations, heights, distances along the arc).
py::tuple rise_table(const py::object& chord, const py::object& rise, const py::object& stations) {
    const F64 x = door::array(stations, {"stations", Kind::length});
    if (x.ndim() > 1)
        throw foldswing::InvalidInput("stations", std::to_string(x.ndim()) + " axes", "a number or a list of them");
    const double c = door::scalar(chord, kChord);
    const double h = door::scalar(rise, kRise);
    const std::vector<double> at(x.data(), x.data() + x.size());
    std::vector<double> heights;
    std::vector<double> along;
    for (std::size_t i = 0; i < at.size(); ++i) {
        try {
            heights.push_back(arc::height(c, h, at[i]));
            along.push_back(arc::along(c, h, at[i]));
        } catch (const foldswing::InvalidInput& e) {
            if (e.parameter() != "station") throw;
            throw foldswing::InvalidInput("stations", e.value(), e.rule()).at(std::to_string(i));
        }
    }
    return py::make_tuple(c, h, numbers(at), numbers(heights), numbers(along));
}

}  // namespace

void bind_arc(py::module_& m) {
    auto topic = m.def_submodule("arc");
    door::closed_form(topic, "radius", &arc::radius, {{kChord, kRise}});
    door::closed_form(topic, "curvature", &arc::curvature, {{kChord, kRise}});
    door::closed_form(topic, "rise", &arc::rise, {{kChord, kRadius}});
    door::closed_form(topic, "rise_major", &arc::rise_major, {{kChord, kRadius}});
    door::closed_form(topic, "length", &arc::length, {{kChord, kRise}});
    door::closed_form(topic, "angle_deg", &arc::angle_deg, {{kChord, kRise}});
    door::closed_form(topic, "chord", &arc::chord, {{kRise, kRadius}});
    door::closed_form(topic, "height", &arc::height, {{kChord, kRise, kStation}});
    door::closed_form(topic, "along", &arc::along, {{kChord, kRise, kStation}});
    door::closed_form(topic, "radius_standard_error", &arc::radius_standard_error,
                      {{kChord, kRise, kChordError, kRiseError}});
    door::closed_form(topic, "radius_smallest", &arc::radius_smallest, {{kChord, kRise, kChordError, kRiseError}});
    door::closed_form(topic, "radius_largest", &arc::radius_largest, {{kChord, kRise, kChordError, kRiseError}});
    topic.def("solve", &solve, py::arg("chord"), py::arg("rise"), py::arg("radius"), py::arg("length"),
              py::arg("angle_deg"));
    topic.def("from_points", &from_points, py::arg("first"), py::arg("middle"), py::arg("last"));
    topic.def("fit", &fit, py::arg("points"), py::arg("method"), py::arg("reading_error"));
    topic.def("layers", &layers, py::arg("radius"), py::arg("thicknesses"), py::arg("angle_deg"), py::arg("inside"));
    topic.def("rise_table", &rise_table, py::arg("chord"), py::arg("rise"), py::arg("stations"));
}
