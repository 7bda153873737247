#include <foldswing/station.hpp>

#include "batch.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace station = foldswing::station;
using door::Kind;
using station::Differences;

namespace {

// The order in which the front hands the fields over.
constexpr std::array<double Differences::*, 7> kFields{
    &Differences::worktop_up,    &Differences::nose_out,       &Differences::sill_up, &Differences::head_up,
    &Differences::lower_edge_up, &Differences::outer_face_out, &Differences::thicker};

Differences differences(const double* numbers) {
    Differences d;
    for (std::size_t i = 0; i < kFields.size(); ++i) d.*kFields[i] = numbers[i];
    return d;
}

py::tuple numbers(const Differences& d) {
    py::tuple out(kFields.size());
    for (std::size_t i = 0; i < kFields.size(); ++i) out[i] = d.*kFields[i];
    return out;
}

/// Rows of `before` numbers and the differences.
template <class T, class Make>
std::vector<T> rows(py::handle given, const char* name, std::size_t before, Make make) {
    const door::F64 a = door::array(given, {name, Kind::length});
    const auto columns = static_cast<py::ssize_t>(before + kFields.size());
    if (a.size() == 0) return {};
    if (a.ndim() != 2 || a.shape(1) != columns)
        throw foldswing::InvalidInput(name, "shape " + py::cast<std::string>(py::str(a.attr("shape"))),
                                      "rows of " + std::to_string(columns) + " numbers");
    std::vector<T> out;
    for (py::ssize_t i = 0; i < a.shape(0); ++i) out.push_back(make(a.data() + i * columns));
    return out;
}

std::vector<station::Measured> measured(py::handle given) {
    return rows<station::Measured>(given, "measured", 2, [](const double* row) {
        return station::Measured{row[0], row[1], differences(row + 2)};
    });
}

std::vector<station::Bow> bows(py::handle given) {
    return rows<station::Bow>(given, "bows", 3, [](const double* row) {
        return station::Bow{row[0], row[1], row[2], differences(row + 3)};
    });
}

py::object array(const std::vector<double>& values) {
    return door::freeze(door::F64(static_cast<py::ssize_t>(values.size()), values.data()));
}

}  // namespace

void bind_station(py::module_& m) {
    auto topic = m.def_submodule("station");
    topic.def(
        "sizes_at",
        [](const foldswing::gate::Sizes& stated, py::handle given) {
            const door::F64 a = door::array(given, {"differences", Kind::length});
            if (a.size() != static_cast<py::ssize_t>(kFields.size()))
                throw foldswing::InvalidInput("differences", std::to_string(a.size()) + " numbers",
                                              "one for each field");
            return station::sizes_at(stated, differences(a.data()));
        },
        py::arg("stated"), py::arg("differences"));
    topic.def(
        "differences_at",
        [](py::handle at_places, py::handle along, py::handle from_left) {
            return numbers(station::differences_at(measured(at_places), bows(along),
                                                   door::scalar(from_left, {"from_left", Kind::length})));
        },
        py::arg("measured"), py::arg("bows"), py::arg("from_left"));
    topic.def(
        "bow_places",
        [](py::handle chord, py::handle rise, py::handle most) {
            return array(station::bow_places(door::scalar(chord, {"chord", Kind::length}),
                                             door::scalar(rise, {"rise", Kind::length}),
                                             door::scalar(most, {"most", Kind::length})));
        },
        py::arg("chord"), py::arg("rise"), py::arg("most"));
    topic.def(
        "stretches",
        [](py::handle width, py::handle places, py::handle at_places) {
            const door::F64 at = door::array(places, {"places", Kind::length});
            if (at.ndim() > 1)
                throw foldswing::InvalidInput("places", std::to_string(at.ndim()) + " axes", "a list of lengths");
            py::list out;
            for (const station::Stretch& s :
                 station::stretches(door::scalar(width, {"width", Kind::length}),
                                    {at.data(), static_cast<std::size_t>(at.size())}, measured(at_places)))
                out.append(py::make_tuple(s.from_left, s.from, s.to));
            return out;
        },
        py::arg("width"), py::arg("places"), py::arg("measured"));
}
