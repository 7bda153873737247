#include <foldswing/opening.hpp>

#include "batch.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace opening = foldswing::opening;
using door::Kind;
using opening::Corners;
using opening::Wanted;

namespace {

constexpr std::array<const char*, opening::kReadings> kReadings{"width_top",    "width_bottom",    "height_left",
                                                                "height_right", "diagonal_rising", "diagonal_falling"};
constexpr std::array<const char*, 4> kEdges{"sill", "right", "head", "left"};

const char* word(opening::Status status) {
    switch (status) {
        case opening::Status::checked:
            return "checked";
        case opening::Status::misread:
            return "misread";
        case opening::Status::decided:
            return "decided";
        case opening::Status::assumed:
            return "assumed";
        case opening::Status::impossible:
            break;
    }
    return "impossible";
}
const char* word(opening::GapState state) {
    switch (state) {
        case opening::GapState::kept:
            return "kept";
        case opening::GapState::tight:
            return "tight";
        case opening::GapState::leaks:
            return "leaks";
        case opening::GapState::will_not_shut:
            break;
    }
    return "will not shut";
}
const char* word(opening::PanelStatus status) {
    switch (status) {
        case opening::PanelStatus::fits:
            return "fits";
        case opening::PanelStatus::tight:
            return "tight";
        case opening::PanelStatus::leaks:
            return "leaks";
        case opening::PanelStatus::will_not_shut:
            return "will not shut";
        case opening::PanelStatus::none:
            break;
    }
    return "none";
}

template <std::size_t N>
py::object numbers(const std::array<double, N>& values) {
    door::F64 a(static_cast<py::ssize_t>(N));
    std::copy(values.begin(), values.end(), a.mutable_data());
    return door::freeze(std::move(a));
}
py::object corners_array(const Corners& c) { return door::points_array({c.begin(), c.end()}); }

Corners corners_of(py::handle h) {
    const auto points = door::points(h, "opening");
    if (points.size() != 4)
        throw foldswing::InvalidInput("opening", std::to_string(points.size()) + " points", "four corners");
    Corners out{};
    std::copy(points.begin(), points.end(), out.begin());
    return out;
}

py::tuple square_tuple(const opening::OutOfSquare& s) {
    return py::make_tuple(numbers(s.corners), s.diagonals, s.widths, s.heights);
}

opening::Edge edge_of(const std::string& name) {
    for (std::size_t i = 0; i < kEdges.size(); ++i)
        if (name == kEdges[i]) return static_cast<opening::Edge>(i);
    throw foldswing::InvalidInput("hinge", "'" + name + "'", "'sill', 'right', 'head' or 'left'");
}

Wanted wanted_of(py::handle gaps, const py::list& seals, const std::string& hinge, bool painted, py::handle paint_panel,
                 py::handle paint_body) {
    Wanted out;
    const door::F64 given = door::array(gaps, {"gaps", Kind::length});
    if (given.ndim() > 1 || (given.ndim() == 1 && given.size() != 4))
        throw foldswing::InvalidInput("gaps", std::to_string(given.size()) + " values",
                                      "one for all edges, or four: sill, right, head, left");
    for (std::size_t i = 0; i < 4; ++i) {
        out.gap[i] = door::Columns::get(given, i);
        const py::object seal = seals[i];
        if (!seal.is_none()) {
            const py::tuple pair = seal;
            out.seal[i] = opening::Seal{door::scalar(pair[0], {"seal free", Kind::length}),
                                        door::scalar(pair[1], {"seal squeezed", Kind::length})};
        }
    }
    out.painted = painted;
    out.paint_panel = door::scalar(paint_panel, {"paint_panel", Kind::length});
    out.paint_body = door::scalar(paint_body, {"paint_body", Kind::length});
    out.hinge = edge_of(hinge);
    return out;
}

py::tuple panel_tuple(const opening::Panel& p) {
    py::list gaps;
    for (std::size_t i = 0; i < 4; ++i) {
        const opening::EdgeGap& g = p.gaps[i];
        const py::object seal = g.seal ? py::object(py::make_tuple(g.seal->free, g.seal->squeezed)) : py::none();
        gaps.append(py::make_tuple(kEdges[i], g.wanted, g.paint, seal, g.needed, g.least_bare, g.greatest_bare,
                                   g.least_painted, g.greatest_painted, word(g.state)));
    }
    return py::make_tuple(word(p.status), corners_array(p.corners), numbers(p.sides), p.diagonal_rising,
                          p.diagonal_falling, gaps, p.explanation);
}

void bind_panel(py::module_& topic, const char* name, opening::Panel (*cut)(const Corners&, const Wanted&)) {
    topic.def(
        name,
        [cut](py::handle corners, py::handle gaps, const py::list& seals, const std::string& hinge, bool painted,
              py::handle paint_panel, py::handle paint_body) {
            return panel_tuple(
                cut(corners_of(corners), wanted_of(gaps, seals, hinge, painted, paint_panel, paint_body)));
        },
        py::arg("opening"), py::arg("gaps"), py::arg("seals"), py::arg("hinge"), py::arg("painted"),
        py::arg("paint_panel"), py::arg("paint_body"));
}

void bind_panel(py::module_& topic, const char* name, const char* size,
                opening::Panel (*cut)(const Corners&, const Wanted&, double)) {
    topic.def(
        name,
        [cut, size](py::handle corners, py::handle gaps, const py::list& seals, const std::string& hinge, bool painted,
                    py::handle paint_panel, py::handle paint_body, py::handle given) {
            return panel_tuple(cut(corners_of(corners), wanted_of(gaps, seals, hinge, painted, paint_panel, paint_body),
                                   door::scalar(given, {size, Kind::length})));
        },
        py::arg("opening"), py::arg("gaps"), py::arg("seals"), py::arg("hinge"), py::arg("painted"),
        py::arg("paint_panel"), py::arg("paint_body"), py::arg(size));
}

}  // namespace

void bind_opening(py::module_& m) {
    auto topic = m.def_submodule("opening");
    topic.def(
        "fit",
        [](py::handle width_top, py::handle width_bottom, py::handle height_left, py::handle height_right,
           const py::object& rising, const py::object& falling, py::handle reading_error) {
            const auto length = [](py::handle h, const char* name) { return door::scalar(h, {name, Kind::length}); };
            const auto read = [&](const py::object& h, const char* name) {
                return h.is_none() ? std::nullopt : std::optional(length(h, name));
            };
            const opening::Opening o = opening::fit(
                {length(width_top, kReadings[0]), length(width_bottom, kReadings[1]), length(height_left, kReadings[2]),
                 length(height_right, kReadings[3]), read(rising, kReadings[4]), read(falling, kReadings[5])},
                length(reading_error, "reading_error"));
            const auto name = [](opening::Reading r) { return py::str(kReadings[static_cast<std::size_t>(r)]); };
            return py::make_tuple(word(o.status), corners_array(o.corners), numbers(o.sizes), numbers(o.misfit),
                                  o.worst_misfit, o.worst_misfit > 0.0 ? py::object(name(o.worst)) : py::none(),
                                  numbers(o.should_read), o.suspect ? py::object(name(*o.suspect)) : py::none(),
                                  square_tuple(o.square), o.explanation);
        },
        py::arg("width_top"), py::arg("width_bottom"), py::arg("height_left"), py::arg("height_right"),
        py::arg("diagonal_rising"), py::arg("diagonal_falling"), py::arg("reading_error"));
    topic.def(
        "out_of_square", [](py::handle corners) { return square_tuple(opening::out_of_square(corners_of(corners))); },
        py::arg("opening"));
    door::closed_form(topic, "bare_gap", &opening::bare_gap,
                      {{{"painted", Kind::length}, {"paint_panel", Kind::length}, {"paint_body", Kind::length}}});
    door::closed_form(topic, "painted_gap", &opening::painted_gap,
                      {{{"bare", Kind::length}, {"paint_panel", Kind::length}, {"paint_body", Kind::length}}});
    bind_panel(topic, "square_panel", &opening::square_panel);
    bind_panel(topic, "matched_panel", &opening::matched_panel);
    bind_panel(topic, "longest_panel", "across", &opening::longest_panel);
    bind_panel(topic, "deepest_panel", "along", &opening::deepest_panel);
    topic.def(
        "given_panel",
        [](py::handle corners, py::handle gaps, const py::list& seals, const std::string& hinge, bool painted,
           py::handle paint_panel, py::handle paint_body, py::handle along, py::handle across, py::handle hinge_gap) {
            return panel_tuple(opening::given_panel(
                corners_of(corners), wanted_of(gaps, seals, hinge, painted, paint_panel, paint_body),
                door::scalar(along, {"along", Kind::length}), door::scalar(across, {"across", Kind::length}),
                door::scalar(hinge_gap, {"hinge_gap", Kind::length})));
        },
        py::arg("opening"), py::arg("gaps"), py::arg("seals"), py::arg("hinge"), py::arg("painted"),
        py::arg("paint_panel"), py::arg("paint_body"), py::arg("along"), py::arg("across"), py::arg("hinge_gap"));
}
