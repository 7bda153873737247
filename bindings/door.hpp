#pragma once
// Where Python values become doubles. Plain numbers and float arrays pass untouched; anything else (a shop string, a
// quantity, a list of them) is turned into one by foldswing.units, which holds every conversion.
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <array>
#include <cmath>
#include <foldswing/error.hpp>
#include <foldswing/plane.hpp>
#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace door {
namespace py = pybind11;
using F64 = py::array_t<double, py::array::c_style | py::array::forcecast>;

/// What the number means: decides which units a quantity or a shop string may carry.
enum class Kind { length, angle, number, force, mass };

struct Arg {
    const char* name;
    Kind kind;
};

inline const char* kind_name(Kind kind) noexcept {
    switch (kind) {
        case Kind::length:
            return "length";
        case Kind::angle:
            return "angle";
        case Kind::force:
            return "force";
        case Kind::mass:
            return "mass";
        case Kind::number:
            break;
    }
    return "number";
}

/// A plain Python float or int (numpy.float64 is a float; bool is refused by the units door).
inline bool is_plain(py::handle h) noexcept {
    return PyFloat_Check(h.ptr()) || (PyLong_Check(h.ptr()) && !PyBool_Check(h.ptr()));
}

inline double plain(py::handle h, const char* name) {
    const double v = PyFloat_Check(h.ptr()) ? PyFloat_AS_DOUBLE(h.ptr()) : PyLong_AsDouble(h.ptr());
    if (v == -1.0 && PyErr_Occurred() != nullptr) {  // an int too large for a double
        PyErr_Clear();
        throw foldswing::InvalidInput(name, std::numeric_limits<double>::infinity(), "finite");
    }
    return v;
}

/// A float64 array of any shape (0-d for a scalar).
inline F64 array(py::handle h, Arg arg) {
    if (is_plain(h)) {
        F64 out{std::vector<py::ssize_t>{}};
        *out.mutable_data() = plain(h, arg.name);
        return out;
    }
    if (py::isinstance<py::array_t<double>>(h)) return py::cast<F64>(h);
    const py::object convert = py::module_::import("foldswing.units").attr("_door");
    return py::cast<F64>(convert(h, arg.name, kind_name(arg.kind)));
}

inline double scalar(py::handle h, Arg arg) {
    if (is_plain(h)) return plain(h, arg.name);
    const F64 a = array(h, arg);
    if (a.ndim() != 0) throw foldswing::InvalidInput(arg.name, "an array", "one number");
    return *a.data();
}

/// Points as (x, y) or (n, 2).
inline std::vector<foldswing::Point> points(py::handle h, const char* name) {
    const F64 a = array(h, {name, Kind::length});
    const bool one = a.ndim() == 1 && a.shape(0) == 2;
    if (!one && (a.ndim() != 2 || a.shape(1) != 2))
        throw foldswing::InvalidInput(name, "shape " + py::cast<std::string>(py::str(a.attr("shape"))),
                                      "(x, y) or (n, 2)");
    std::vector<foldswing::Point> out(static_cast<std::size_t>(a.size() / 2));
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = {a.data()[2 * i], a.data()[2 * i + 1]};
    return out;
}

inline foldswing::Point point(py::handle h, const char* name) {
    const auto all = points(h, name);
    if (all.size() != 1)
        throw foldswing::InvalidInput(name, std::to_string(all.size()) + " points", "one point (x, y)");
    return all.front();
}

/// Arrays handed out are read-only. The flag itself is set: calling setflags would take a microsecond.
inline py::object freeze(py::array a) {
    py::detail::array_proxy(a.ptr())->flags &= ~py::detail::npy_api::NPY_ARRAY_WRITEABLE_;
    return a;
}
inline py::object point_array(foldswing::Point p) {
    F64 a(2);
    a.mutable_data()[0] = p.x;
    a.mutable_data()[1] = p.y;
    return freeze(std::move(a));
}
inline py::object points_array(const std::vector<foldswing::Point>& points) {
    F64 a({static_cast<py::ssize_t>(points.size()), py::ssize_t{2}});
    for (std::size_t i = 0; i < points.size(); ++i) {
        a.mutable_data()[2 * i] = points[i].x;
        a.mutable_data()[2 * i + 1] = points[i].y;
    }
    return freeze(std::move(a));
}

/// "raise" or "nan".
inline bool nan_wanted(const std::string& invalid) {
    if (invalid == "nan") return true;
    if (invalid != "raise") throw foldswing::InvalidInput("invalid", "'" + invalid + "'", "'raise' or 'nan'");
    return false;
}

/// Index text of the flat position i in `shape`: "3" or "1, 4".
inline std::string index_text(std::size_t i, const std::vector<py::ssize_t>& shape) {
    std::string text;
    for (std::size_t d = shape.size(); d-- > 0;) {
        const auto n = static_cast<std::size_t>(shape[d]);
        if (!text.empty()) text.insert(0, ", ");
        text.insert(0, std::to_string(i % n));
        i /= n;
    }
    return text;
}

template <std::size_t>
using Handle = py::handle;

/// Binds a closed form double f(double...) as a function that takes scalars or arrays, broadcast together.
/// The names are those of the C++ parameters, so that an error can name the element of the array at fault.
template <class Fn, std::size_t... I>
void closed_form_impl(py::module_& m, const char* function, Fn fn, std::array<Arg, sizeof...(I)> args,
                      std::index_sequence<I...>) {
    constexpr std::size_t n_args = sizeof...(I);
    m.def(
        function,
        [fn, args](Handle<I>... given, const std::string& invalid) -> py::object {
            const bool nan = nan_wanted(invalid);
            const auto checked = [&](auto... x) {
                if (!nan) return fn(x...);
                try {
                    return fn(x...);
                } catch (const foldswing::InvalidInput&) {
                    return std::numeric_limits<double>::quiet_NaN();
                }
            };
            if ((is_plain(given) && ...)) return py::float_(checked(plain(given, args[I].name)...));
            std::array<F64, n_args> in{array(given, args[I])...};
            if (((in[I].ndim() == 0) && ...)) return py::float_(checked(*in[I].data()...));
            const py::module_ np = py::module_::import("numpy");
            py::tuple shape_tuple;
            try {
                shape_tuple = np.attr("broadcast_shapes")(in[I].attr("shape")...);
            } catch (const py::error_already_set& e) {
                throw foldswing::InvalidInput("shapes", e.what(), "arrays that broadcast together");
            }
            const auto shape = py::cast<std::vector<py::ssize_t>>(shape_tuple);
            F64 out(shape);
            std::array<const double*, n_args> data{};
            std::array<std::size_t, n_args> step{};
            for (std::size_t k = 0; k < n_args; ++k) {
                if (in[k].size() != 1 && !py::tuple(in[k].attr("shape")).equal(shape_tuple))
                    in[k] = py::cast<F64>(np.attr("broadcast_to")(in[k], shape_tuple));  // the cast makes it contiguous
                data[k] = in[k].data();
                step[k] = in[k].size() == 1 ? 0 : 1;
            }
            double* const result = out.mutable_data();
            const auto n = static_cast<std::size_t>(out.size());
            {
                const py::gil_scoped_release nogil;  // raw pointers only below: no Python object is touched
                for (std::size_t i = 0; i < n; ++i) {
                    try {
                        result[i] = fn(data[I][i * step[I]]...);
                    } catch (const foldswing::InvalidInput& e) {
                        if (!nan) throw e.at(index_text(i, shape));
                        result[i] = std::numeric_limits<double>::quiet_NaN();
                    }
                }
            }
            return out;
        },
        py::arg(args[I].name)..., py::kw_only(), py::arg("invalid") = "raise");
}

template <class R, class... A>
void closed_form(py::module_& m, const char* function, R (*fn)(A...), const std::array<Arg, sizeof...(A)>& args) {
    closed_form_impl(m, function, fn, args, std::index_sequence_for<A...>{});
}

}  // namespace door
