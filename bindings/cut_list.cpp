#include <foldswing/cut_list.hpp>

#include "door.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace cut = foldswing::cut_list;
using cut::Grain;
using door::Kind;
using foldswing::InvalidInput;

namespace {

Grain grain(const std::string& name, py::handle h) {
    const auto word = py::cast<std::string>(py::str(h));
    if (word == "any") return Grain::any;
    if (word == "length") return Grain::along_length;
    if (word == "width") return Grain::along_width;
    throw InvalidInput(name, "'" + word.substr(0, 40) + "'", "'any', 'length' or 'width'");
}

std::size_t count(const std::string& name, py::handle h) {
    const double n = door::scalar(h, {name.c_str(), Kind::number});
    if (!(n >= 1.0 && n <= static_cast<double>(cut::kMostPieces) && n == std::floor(n)))
        throw InvalidInput(name, n, "a whole number from 1 to 500");
    return static_cast<std::size_t>(n);
}

/// Sheets and blanks have the same fields.
template <class T>
std::vector<T> rectangles(const py::sequence& given, const std::string& list) {
    std::vector<T> out;
    for (const py::handle h : given) {
        const std::string at = list + "[" + std::to_string(out.size()) + "].";
        const auto size = [&](const char* field) {
            return door::scalar(h.attr(field), {(at + field).c_str(), Kind::length});
        };
        out.push_back({py::cast<std::string>(py::str(h.attr("name"))), size("length"), size("width"),
                       count(at + "count", h.attr("count")), grain(at + "grain", h.attr("grain"))});
    }
    return out;
}

template <class... Field>
py::object result(const char* type, Field&&... fields) {
    return py::module_::import("foldswing.cut_list").attr(type)(std::forward<Field>(fields)...);
}

py::tuple corner_and_size(const cut::Rectangle& r) { return py::make_tuple(r.x, r.y, r.length, r.width); }

py::object lay_out(const py::sequence& blanks, const py::sequence& sheets, py::handle kerf, py::handle edge,
                   bool guillotine, py::handle least_remnant) {
    using py::literals::operator""_a;
    const auto wanted = rectangles<cut::Blank>(blanks, "blanks");
    const auto stock = rectangles<cut::Sheet>(sheets, "sheets");
    const cut::Options options{door::scalar(kerf, {"kerf", Kind::length}), door::scalar(edge, {"edge", Kind::length}),
                               guillotine, door::scalar(least_remnant, {"least_remnant", Kind::length})};
    cut::Layout done;
    {
        const py::gil_scoped_release nogil;  // C++ values only: no Python object is touched
        done = cut::lay_out(wanted, stock, options);
    }
    py::tuple used(done.sheets.size());
    for (std::size_t i = 0; i < done.sheets.size(); ++i) {
        const auto& sheet = done.sheets[i];
        py::tuple pieces(sheet.pieces.size());
        for (std::size_t p = 0; p < sheet.pieces.size(); ++p) {
            const auto& piece = sheet.pieces[p];
            pieces[p] = result("Placed", "blank"_a = piece.blank, "piece"_a = piece.piece,
                               "name"_a = wanted[piece.blank].name, "x"_a = piece.at.x, "y"_a = piece.at.y,
                               "length"_a = piece.at.length, "width"_a = piece.at.width, "turned"_a = piece.turned);
        }
        py::tuple remnants(sheet.remnants.size());
        for (std::size_t r = 0; r < sheet.remnants.size(); ++r) remnants[r] = corner_and_size(sheet.remnants[r]);
        const auto& of = stock[sheet.stock];
        used[i] = result("UsedSheet", "stock"_a = sheet.stock, "name"_a = of.name, "length"_a = of.length,
                         "width"_a = of.width, "pieces"_a = pieces, "remnants"_a = remnants, "use"_a = sheet.use);
    }
    py::tuple left(done.left.size());
    for (std::size_t i = 0; i < done.left.size(); ++i) {
        const auto& l = done.left[i];
        left[i] = result("Left", "blank"_a = l.blank, "pieces"_a = l.pieces, "fits_none"_a = l.fits_none,
                         "reason"_a = l.reason);
    }
    const char* status = "all";
    if (done.status == cut::Status::short_of_stock) status = "short_of_stock";
    if (done.status == cut::Status::too_large) status = "too_large";
    return result("Layout", "status"_a = status, "sheets"_a = used, "left"_a = left, "use"_a = done.use,
                  "explanation"_a = done.explanation);
}

}  // namespace

void bind_cut_list(py::module_& m) {
    auto topic = m.def_submodule("cut_list");
    topic.def("lay_out", &lay_out, py::arg("blanks"), py::arg("sheets"), py::arg("kerf"), py::arg("edge"),
              py::arg("guillotine"), py::arg("least_remnant"));
}
