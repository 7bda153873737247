#pragma once
// A plain struct of measured sizes, bound as a frozen value with keyword arguments: one table gives name, kind of
// number, member and default, where there is one.
#include <optional>

#include "batch.hpp"

namespace door {

template <class T>
struct SizeField {
    Arg arg;
    double T::*member;
    bool required;
};

template <class T, std::size_t N>
void bind_sizes(py::module_& topic, const std::array<SizeField<T>, N>& fields) {
    py::class_<T> cls(topic, "Sizes");
    cls.def(py::init([fields](const py::kwargs& given) {
        T out;
        std::size_t taken = 0;
        for (const auto& f : fields) {
            if (given.contains(f.arg.name)) {
                out.*f.member = scalar(given[f.arg.name], f.arg);
                ++taken;
            } else if (f.required) {
                throw foldswing::InvalidInput(f.arg.name, "nothing", "given");
            }
        }
        if (taken != given.size())
            for (const auto& [key, unused] : given) {
                const auto name = py::cast<std::string>(key);
                const bool known =
                    std::any_of(fields.begin(), fields.end(), [&](const auto& f) { return name == f.arg.name; });
                if (!known) throw foldswing::InvalidInput("sizes", "'" + name + "'", "among the sizes of this value");
            }
        require_valid(out);
        return out;
    }));
    py::list names;
    for (const auto& f : fields) {
        names.append(f.arg.name);
        cls.def_property_readonly(f.arg.name, [member = f.member](const T& t) { return t.*member; });
    }
    py::module_::import("foldswing._values").attr("attach")(cls, py::tuple(names));
}

}  // namespace door
