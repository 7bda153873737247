#include <foldswing/pivot_window.hpp>

#include "landing.hpp"
#include "plane.hpp"
#include "topics.hpp"

namespace py = pybind11;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Outline;
using foldswing::Point;
namespace hinge = foldswing::hinge;

namespace {

/// (panel, clear_of, travel_from_deg, travel_to_deg, gap, cell), or None.
std::optional<hinge::Swing> swing_of(const py::object& given) {
    if (given.is_none()) return std::nullopt;
    const auto t = py::cast<py::tuple>(given);
    hinge::Swing swing;
    swing.panel = door::outlines(t[0], "panel");
    swing.clear_of = door::outlines(t[1], "clear_of");
    swing.turn_from_deg = door::scalar(t[2], {"travel_from_deg", Kind::angle});
    swing.turn_to_deg = door::scalar(t[3], {"travel_to_deg", Kind::angle});
    swing.gap = door::scalar(t[4], {"gap", Kind::length});
    swing.cell = door::scalar(t[5], {"cell", Kind::length});
    return swing;
}

/// (landings, turn_from_deg, turn_to_deg, every).
hinge::FreeStop free_stop_of(const py::tuple& t) {
    return {door::landings(t[0]), door::scalar(t[1], {"turn_from_deg", Kind::angle}),
            door::scalar(t[2], {"turn_to_deg", Kind::angle}), py::cast<bool>(t[3])};
}

std::vector<Outline> region_of(const py::object& given, const char* name) {
    if (given.is_none()) return {};
    return door::outlines(given, name);
}

py::tuple outlines_out(std::vector<Outline>&& outlines) {
    py::tuple out(outlines.size());
    for (std::size_t i = 0; i < outlines.size(); ++i) out[i] = py::cast(std::move(outlines[i]));
    return out;
}

/// (n, 2, 2): each thing's two ends.
template <class Items, class Ends>
py::object ends_array(const Items& items, Ends ends) {
    door::F64 a({static_cast<py::ssize_t>(items.size()), py::ssize_t{2}, py::ssize_t{2}});
    double* to = a.mutable_data();
    for (const auto& item : items)
        for (const Point p : ends(item)) {
            *to++ = p.x;
            *to++ = p.y;
        }
    return door::freeze(std::move(a));
}

template <class T, class Items, class Get>
py::object codes(const Items& items, Get get) {
    py::array_t<T> a(static_cast<py::ssize_t>(items.size()));
    std::transform(items.begin(), items.end(), a.mutable_data(), get);
    return door::freeze(std::move(a));
}

/// The fields of PivotWindow in order.
py::tuple pivot_window(py::handle landings, const py::object& within, const py::object& swing, const py::list& free,
                       py::handle sagitta) {
    const auto asked = door::landings(landings);
    const auto region = region_of(within, "within");
    const auto moving = swing_of(swing);
    std::vector<hinge::FreeStop> stops;
    for (const py::handle f : free) stops.push_back(free_stop_of(py::cast<py::tuple>(f)));
    const double close = door::scalar(sagitta, {"sagitta", Kind::length});
    hinge::PivotWindow w;
    {
        const py::gil_scoped_release nogil;  // everything below was copied out of Python
        w = hinge::pivot_window(asked, region, moving, stops, close);
    }
    door::F64 half_planes({static_cast<py::ssize_t>(w.limits.size()), py::ssize_t{3}});
    double* to = half_planes.mutable_data();
    for (const auto& l : w.limits)
        for (const double v : {l.a, l.b, l.c}) *to++ = v;
    door::F64 cells({static_cast<py::ssize_t>(w.cells.size()), py::ssize_t{3}});
    to = cells.mutable_data();
    for (const auto& c : w.cells)
        for (const double v : {c.low.x, c.low.y, c.side}) *to++ = v;
    py::tuple binding(w.binding.size());
    for (std::size_t i = 0; i < w.binding.size(); ++i) binding[i] = w.binding[i];
    return py::make_tuple(
        word(w.status), outlines_out(std::move(w.outlines)), outlines_out(std::move(w.outer)), w.bounded,
        door::freeze(std::move(half_planes)),
        codes<std::int32_t>(w.limits, [](const auto& l) { return static_cast<std::int32_t>(l.landing); }), binding,
        ends_array(w.sides,
                   [](const auto& s) {
                       return std::array{s.from, s.to};
                   }),
        codes<std::int32_t>(w.sides, [](const auto& s) { return s.limit; }),
        codes<std::int32_t>(w.sides, [](const auto& s) { return s.binding; }),
        ends_array(w.runs, [](const auto& r) { return r; }), door::point_array(w.best.centre), w.best.radius,
        w.explanation, outlines_out(std::move(w.landed)), door::freeze(std::move(cells)),
        codes<std::int8_t>(w.cells, [](const auto& c) { return static_cast<std::int8_t>(c.status); }), w.clear_area,
        w.undecided_area, w.fouled_area);
}

hinge::AngleWish wish_of(const std::string& word, const py::object& spots, const char* name) {
    hinge::AngleWish wish;
    if (word == "forgiveness")
        wish.wish = hinge::Wish::forgiveness;
    else if (word == "gap")
        wish.wish = hinge::Wish::gap;
    else if (word == "near")
        wish.wish = hinge::Wish::near;
    else if (word == "hole")
        wish.wish = hinge::Wish::hole;
    else
        throw InvalidInput("wish", "'" + word + "'", "'forgiveness', 'gap', 'near' or 'hole'");
    if (!spots.is_none()) wish.spots = door::points(spots, name);
    return wish;
}

/// The rows of AngleChoice as columns, and the best of all.
py::tuple pivot_by_angle(py::handle landings, const py::tuple& free, const py::object& within, const py::object& swing,
                         const std::string& wish, const py::object& spots, int angles) {
    const auto asked = door::landings(landings);
    const auto stop = free_stop_of(free);
    const auto region = region_of(within, "within");
    const auto moving = swing_of(swing);
    const auto wanted = wish_of(wish, spots, "spots");
    door::Batch<hinge::AngleChoice> rows{{}, true};
    door::Batch<hinge::AngleChoice> best;
    {
        const py::gil_scoped_release nogil;  // everything below was copied out of Python
        rows.items = hinge::pivot_by_angle(asked, stop, region, moving, wanted, angles);
        best.items = {hinge::best_angle(asked, stop, region, moving, wanted, angles)};
    }
    const auto fields = [](const door::Batch<hinge::AngleChoice>& b) {
        return py::make_tuple(door::field(b, [](const auto& c) { return c.turn_deg; }),
                              door::status_field(b, [](const auto& c) { return c.status; }),
                              door::point_field(b, [](const auto& c) { return c.pivot; }),
                              door::field(b, [](const auto& c) { return c.forgiveness; }),
                              door::field(b, [](const auto& c) { return c.gap; }),
                              door::field(b, [](const auto& c) { return c.score; }),
                              b.batched ? codes<std::int32_t>(b.items, [](const auto& c) { return c.hole; })
                                        : py::object(py::int_(b.items.front().hole)));
    };
    return py::make_tuple(fields(rows), fields(best));
}

}  // namespace

void bind_pivot_window(py::module_& topic) {
    topic.def("pivot_window", &pivot_window, py::arg("landings"), py::arg("within"), py::arg("swing"), py::arg("free"),
              py::arg("sagitta"));
    topic.def("pivot_by_angle", &pivot_by_angle, py::arg("landings"), py::arg("free"), py::arg("within"),
              py::arg("swing"), py::arg("wish"), py::arg("spots"), py::arg("angles"));
}
